//! Sound houses raise no doubt: a thousand generated ones, with prices, hours, tools and terms, of which no figure is out of
//! the ordinary, unlike the others or misspelled.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

use std::path::{Path, PathBuf};

use coilstick::ground::{Length, LengthUnit};
use coilstick::trade::Job;

use crate::generate::{Wrong, house};

/// What is said of a cell that may have been meant otherwise.
const DOUBTS: [&str; 12] = [
    "out-of-the-ordinary",
    "unlike-the-others",
    "looks-like-another",
    "part-of-another-system",
    "alternate-none",
    "alternate-unnamed",
    "value-elsewhere",
    "beyond-a-house",
    "no-such-figure",
    "unknown-sold-variant",
    "unknown-tube",
    "only-never",
];

const TERMS: &str = "item,for,value\ndate,,2026-03-16\nwater system,,pex-clamp\ncompare with,,copper-solder\noverhead,,OVERHEAD\n\
profit,,PROFIT\ncontingency,,5\nsmall parts,,2\ndelivery,,45\nfee,permit,140\nsales tax,,6.5\nburden,,32\nrate,journeyman,44\n\
rate,helper,27\ncrew,journeyman,1\ncrew,helper,1\nproductivity,,PRODUCTIVITY\ndifficulty,,10\nhours a day,,8\n\
allowance,fitting,5\nallowance,ring,8\nstatic pressure,,62\nkerf,,1/8 in\n";

fn text(path: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap()
}

/// The run list of a house that is no tower: the generator draws a rise of any part of a length.
fn of_three_floors(runs: &str) -> String {
    let headings: Vec<&str> = runs.lines().next().unwrap().split(',').collect();
    let rise = headings.iter().position(|heading| heading.starts_with("rise")).unwrap();
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(runs.as_bytes());
    let mut writer = csv::Writer::from_writer(Vec::new());
    for record in reader.records() {
        let mut cells: Vec<String> = record.unwrap().iter().map(str::to_owned).collect();
        let is_high = Length::read(&cells[rise], LengthUnit::Foot)
            .is_some_and(|rise| rise.abs() > Length::whole(30, LengthUnit::Foot));
        if is_high {
            cells[rise].clear();
        }
        writer.write_record(&cells).unwrap();
    }
    String::from_utf8(writer.into_inner().unwrap()).unwrap()
}

#[test]
fn a_thousand_sound_houses_raise_no_doubt() {
    let lists = ["fennwick-supply-2026-01-05", "tidegate-plumbing-goods-2026-02-01"];
    let lists = lists.map(|name| text(&format!("price-lists/{name}.csv")));
    let prices = format!("{}{}", lists[0], lists[1].split_once('\n').unwrap().1);
    let (labor, tools) =
        (text("price-lists/invented-hours/labor.csv"), text("price-lists/invented-hours/tools.csv"));
    let mut doubts: Vec<String> = Vec::new();
    for seed in 20_000..21_000 {
        let pick = |some: [&'static str; 3]| some[usize::try_from(seed % 3).unwrap()];
        let terms = TERMS
            .replace("OVERHEAD", pick(["8", "12", "25"]))
            .replace("PROFIT", pick(["10", "15", "20"]))
            .replace("PRODUCTIVITY", pick(["80", "95", "110"]));
        let mut texts = house(seed, Wrong(0));
        texts.retain(|(name, _)| *name != "job");
        texts
            .iter_mut()
            .filter(|(name, _)| *name == "runs")
            .for_each(|(_, runs)| *runs = of_three_floors(runs));
        texts.push(("job", terms));
        // The lists are the same in all houses: some of these are enough.
        if seed % 40 == 0 {
            texts.push(("prices", prices.clone()));
            texts.push(("labor", labor.clone()));
            texts.push(("tools", tools.clone()));
        }
        let texts: Vec<(&str, &str)> = texts.iter().map(|(name, text)| (*name, text.as_str())).collect();
        let job = Job::from_texts(&texts);
        let of_house = job.notices.iter().filter(|notice| DOUBTS.contains(&notice.kind));
        doubts.extend(of_house.map(|notice| {
            let spot = notice.spots.first().map(ToString::to_string).unwrap_or_default();
            format!("house {seed} {} {spot}: {}", notice.kind, notice.found)
        }));
    }
    assert!(doubts.is_empty(), "{} doubts:\n{}", doubts.len(), doubts[..doubts.len().min(40)].join("\n"));
}

/// Folders under a path that hold a run list.
fn jobs_under(path: &Path, found: &mut Vec<PathBuf>) {
    if path.join("runs.csv").exists() {
        found.push(path.to_owned());
    }
    let mut entries: Vec<PathBuf> =
        std::fs::read_dir(path).unwrap().map(|entry| entry.unwrap().path()).collect();
    entries.sort();
    entries.retain(|entry| entry.is_dir() && !entry.ends_with("expected"));
    entries.iter().for_each(|entry| jobs_under(entry, found));
}

#[test]
fn no_job_of_the_examples_and_of_the_tests_by_hand_raises_a_doubt() {
    let mut jobs = Vec::new();
    for folder in [
        "examples",
        "tests/guest-lodge",
        "tests/by-hand",
        "tests/published",
        "tests/revise/shed",
        "templates/blank-job",
    ] {
        jobs_under(&Path::new(env!("CARGO_MANIFEST_DIR")).join(folder), &mut jobs);
    }
    assert!(jobs.len() >= 14, "{jobs:?}");
    for path in jobs {
        let job = Job::read(&path).unwrap();
        let doubts: Vec<_> = job.notices.iter().filter(|notice| DOUBTS.contains(&notice.kind)).collect();
        assert!(doubts.is_empty(), "{}: {doubts:#?}", path.display());
    }
}
