//! The engine and the naive counter must count the same, on generated houses and on the examples.
//!
//! `COILSTICK_JOBS` says how many houses are counted by both; `COILSTICK_SEED` where they begin. A difference is shown with
//! the smallest job that still has it.

use std::collections::BTreeMap;

use coilstick::trade::job::Job;

use crate::engine::{Difference, by_engine, by_naive};
use crate::generate::{Texts, Wrong, house};
use crate::invariants::job_of;
use crate::naive_count;
use crate::shrink::shrink;

/// What two counters count differently in a job, in any alternative.
fn differences(job: &Job) -> Vec<Difference> {
    let engine = by_engine(job);
    let naive = naive_count(job);
    assert_eq!(engine.len(), naive.len(), "they do not compare the same systems");
    let pairs = engine.iter().zip(&naive);
    pairs.flat_map(|(engine, (count, world))| engine.differences(&by_naive(job, count, world))).collect()
}

fn number(variable: &str, otherwise: u64) -> u64 {
    std::env::var(variable).ok().and_then(|text| text.parse().ok()).unwrap_or(otherwise)
}

fn shown(texts: &Texts) -> String {
    let patterns_and_parts = |name: &str| name == "parts" || name == "systems" || name == "joints";
    texts
        .iter()
        .filter(|(name, _)| !patterns_and_parts(name))
        .map(|(name, text)| {
            let mut lines = text.lines();
            let heads: Vec<&str> = lines.next().unwrap_or("").split(',').collect();
            let rows: Vec<String> = lines
                .map(|line| {
                    let cells = heads.iter().zip(crate::shrink::cells_of(line));
                    let filled = cells.filter(|(_, cell)| !cell.is_empty());
                    filled.map(|(head, cell)| format!("{head}={cell}")).collect::<Vec<_>>().join(" ")
                })
                .collect();
            format!("  {name}:\n    {}\n", rows.join("\n    "))
        })
        .collect()
}

#[test]
fn both_counters_agree_on_generated_houses() {
    let (jobs, first) = (number("COILSTICK_JOBS", 4000), number("COILSTICK_SEED", 10_000));
    let shown_at_most = number("COILSTICK_SHOWN", 3);
    let mut kinds: BTreeMap<String, (u32, u64)> = BTreeMap::new();
    let mut differ = 0;
    for seed in first..first + jobs {
        let wrong = Wrong([0, 0, 3, 8][usize::try_from(seed % 4).unwrap_or(0)]);
        let texts = house(seed, wrong);
        let found = differences(&job_of(&texts));
        let Some(one) = found.first() else { continue };
        differ += 1;
        let known = kinds.entry(one.kind.clone()).or_insert((0, seed));
        known.0 += 1;
        if known.0 == 1 && kinds.len() as u64 <= shown_at_most {
            let kind = one.kind.clone();
            let still =
                |texts: &Texts| differences(&job_of(texts)).first().is_some_and(|one| one.kind == kind);
            let smallest = shrink(&texts, still);
            println!("seed {seed}, engine against naive counter:\n{}", shown(&smallest));
            for one in differences(&job_of(&smallest)).iter().take(12) {
                println!("    {}", one.text);
            }
        }
    }
    assert!(differ == 0, "{differ} of {jobs} jobs differ; by kind, with the first seed: {kinds:#?}");
}

#[test]
fn both_counters_agree_on_the_examples() {
    let home = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut folders = vec![home.join("tests/guest-lodge")];
    folders.extend(std::fs::read_dir(home.join("examples")).unwrap().map(|entry| entry.unwrap().path()));
    let mut jobs = 0;
    for folder in folders {
        let Ok(job) = Job::read(&folder) else { continue };
        jobs += 1;
        let found: Vec<String> = differences(&job).into_iter().map(|one| one.text).collect();
        assert!(found.is_empty(), "{}:\n{}", folder.display(), found.join("\n"));
    }
    assert!(jobs >= 3, "{jobs} jobs were found");
}
