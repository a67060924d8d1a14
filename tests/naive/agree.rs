//! The engine and the naive counter must count the same, on generated houses and on the examples.
//!
//! `COILSTICK_JOBS` says how many houses are counted by both; `COILSTICK_SEED` where they begin. A difference is shown with
//! the smallest job that still has it.

use std::collections::BTreeMap;

use coilstick::estimate::take_off;
use coilstick::ground::{Length, LengthUnit};
use coilstick::trade::Job;
use coilstick::trade::{Class, Fit, Side};

use crate::chance::Chance;
use crate::engine::{Difference, Tally, by_engine, by_naive};
use crate::generate::{Texts, Wrong, house};
use crate::invariants::job_of;
use crate::shrink::{cells_of, shrink};
use crate::tables::{PARTS, PATTERNS};
use crate::total::Count;
use crate::world::World;
use crate::{count_beside, naive_count};

/// What two counters count differently in a job, in any alternative.
fn differences(job: &Job) -> Vec<Difference> {
    between(&by_engine(job), job, &naive_count(job))
}

/// What two counts say differently, alternative by alternative.
pub(crate) fn between(engine: &[Tally], job: &Job, naive: &[(Count, World)]) -> Vec<Difference> {
    if engine.len() != naive.len() {
        let text = format!("alternatives: {} against {}", engine.len(), naive.len());
        return vec![Difference { kind: "alternatives".to_owned(), text }];
    }
    let pairs = engine.iter().zip(naive);
    pairs.flat_map(|(engine, (count, world))| engine.differences(&by_naive(job, count, world))).collect()
}

pub(crate) fn number(variable: &str, otherwise: u64) -> u64 {
    std::env::var(variable).ok().and_then(|text| text.parse().ok()).unwrap_or(otherwise)
}

pub(crate) fn shown(texts: &Texts) -> String {
    let patterns_and_parts = |name: &str| name == "parts" || name == "systems" || name == "joints";
    texts
        .iter()
        .filter(|(name, _)| !patterns_and_parts(name))
        .map(|(name, text)| {
            let mut lines = text.lines();
            let heads: Vec<&str> = lines.next().unwrap_or("").split(',').collect();
            let rows: Vec<String> = lines
                .map(|line| {
                    let cells = heads.iter().zip(cells_of(line));
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
    compare(10_000, 3000, house, |texts| differences(&job_of(texts)));
}

/// Counts so many generated houses by both; of each kind of difference the first is shown as the smallest job that has it.
pub(crate) fn compare(
    first: u64,
    jobs: u64,
    house: impl Fn(u64, Wrong) -> Texts,
    differences: impl Fn(&Texts) -> Vec<Difference>,
) {
    let (jobs, first) = (number("COILSTICK_JOBS", jobs), number("COILSTICK_SEED", first));
    let shown_at_most = number("COILSTICK_SHOWN", 3);
    let mut kinds: BTreeMap<String, (u32, u64)> = BTreeMap::new();
    let (mut differ, mut smallest_jobs) = (0, String::new());
    for seed in first..first + jobs {
        let wrong = Wrong([0, 0, 3, 8][usize::try_from(seed % 4).unwrap_or(0)]);
        let texts = house(seed, wrong);
        let found = differences(&texts);
        let Some(one) = found.first() else { continue };
        differ += 1;
        let known = kinds.entry(one.kind.clone()).or_insert((0, seed));
        known.0 += 1;
        if known.0 == 1 && kinds.len() as u64 <= shown_at_most {
            let kind = one.kind.clone();
            let still = |texts: &Texts| differences(texts).first().is_some_and(|one| one.kind == kind);
            let smallest = shrink(&texts, still);
            let texts: Vec<String> = differences(&smallest)
                .into_iter()
                .take(12)
                .map(|one| format!("    {}\n", one.text))
                .collect();
            let shown = shown(&smallest);
            smallest_jobs +=
                &format!("seed {seed}, engine against naive counter:\n{shown}{}", texts.concat());
        }
    }
    assert!(
        differ == 0,
        "{smallest_jobs}{differ} of {jobs} jobs differ; by kind, with the first seed: {kinds:#?}"
    );
}

/// Small jobs that the counters once counted differently: run lists, built with the patterns of the generated houses.
const ONCE_DIFFERENT: [&str; 17] = [
    // An underground run: its end is met, and its port filled, underground.
    "run,service,size,length,to,lie,pattern\nC1,cold,1/2,20,shower,slab,half shower\n",
    // What is put between an end and a later part comes before the end is shut.
    "run,service,size,length,to,pattern\nC1,cold,3/8,17,washer,late washer\n",
    // A stop in the phase of its stub-out, and one behind a cap: counted, though nothing is open for it.
    "run,service,size,length,phase,pattern\nA1,hot,1/2,20,trim,fixture supply; shut both\n",
    // A row for both ends of a run with a tail has the size of each.
    "run,service,size,length,reduce to,tail,pattern\nA1,cold,3/4,8,3/8,2,plates; half a label\n",
    // An early part with a thread waits for the run that meets the end; so does a cap on a piece of another tube.
    "run,service,size,length,joins,lie,pattern\nC1,cold,1/2,14,,slab,small end\nC2,cold,1/2,21,C1,,\n",
    "run,service,size,length,joins,system,phase,pattern\nC1,cold,1/2,9,,pex-clamp,tie-in,\nC2,cold,3/8,20,C1,copper-solder,,shut start\n",
    // A cap written for a phase before its run is joined with the run.
    "run,service,size,length,phase,pattern\nA1,cold,3/8,15,tie-in,temporary cap\n",
    // What is open is shut at the end of each phase until the next part comes.
    "run,service,size,length,pattern\nA1,cold,1/2,20,twice late\nA2,cold,1/2,20,late tail\n",
    // A thread that faces a socket is bridged; of two openings the one that mates goes on.
    "run,service,size,length,joins,to,pattern\nH1,hot,3/4,12,,manifold,manifold\nH2,hot,1/2,20,manifold,,tankless heater\nC1,cold,3/4,18,,heater,tankless heater\nH3,hot,3/4,15,heater,,drained start\n",
    // Nothing joins the end of a return, wherever it ends.
    "run,service,size,length,joins\nR1,return,3/8,18,\nC1,cold,1/2,20,R1\n",
    // A distance beyond its run is found before circles are sought.
    "run,service,size,length,joins,at,to\nC1,cold,3/4,15,R1,9,heater\nH1,hot,3/4,27,heater,,\nR1,return,1/2,8,H1,,\n",
    // A part in two rows of one run stands once; counted parts cut, which a run without a joint cannot be.
    "run,service,size,length,to,pattern,no joint,caps\nC1,cold,1/2,9,washer,washer box; washer box,,\nA1,cold,1/2,22,,counted,yes,3\n",
    // Between two threads stands tube of the run's size.
    "run,service,size,length,joins,to,pattern\nC1,cold,1/2,9,,heater,\nH2,hot,1/2,9,heater,,tie-in; tankless heater\n",
    // Rows of one part in two sizes at a place: none of them counts, however many there are.
    "run,service,size,length,joins,fixture,pattern\nC1,cold,1/2,9,street,meter,existing service\nC2,cold,1,9,street,,existing service\nC3,cold,1/2,9,street,,existing service\n",
    // A return that goes to itself.
    "run,service,size,length,to,to at\nR3,return,1/2,12,R3,1\n",
    // A variant of copper is none of plastic.
    "run,service,size,length,joins,variant\nC1,cold,3/4,24,,\nC2,cold,3/4,9,C1,type M\n",
    // A stub-out shuts the way of the tube; the tee's other opening goes to the port, with what stands between.
    "run,service,size,length,to,pattern\nH1,hot,1/2,8,lavatory,stub and two; loop heater\n",
];

/// A manifold that a row of `places` stands where no run comes.
#[test]
fn both_counters_give_a_manifold_that_no_run_meets_its_supports() {
    let texts = vec![
        ("runs", "run,service,size,length\nC1,cold,1/2,8\n".to_owned()),
        ("places", "place,pattern\nspare,manifold\n".to_owned()),
        ("patterns", PATTERNS.to_owned()),
        ("parts", PARTS.to_owned()),
    ];
    let job = job_of(&texts);
    let found: Vec<String> = differences(&job).into_iter().map(|one| one.text).collect();
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn both_counters_agree_on_jobs_that_they_once_counted_differently() {
    for runs in ONCE_DIFFERENT {
        let texts = vec![
            ("runs", runs.to_owned()),
            ("patterns", PATTERNS.to_owned()),
            ("parts", PARTS.to_owned()),
            ("job", "item,value\nwater system,pex-clamp\ncompare with,copper-solder\n".to_owned()),
        ];
        let found: Vec<String> = differences(&job_of(&texts)).into_iter().map(|one| one.text).collect();
        assert!(found.is_empty(), "{runs}{}", found.join("\n"));
    }
}

/// The tables of a folder that the naive counter reads for itself.
pub(crate) fn texts_of(folder: &std::path::Path) -> Texts {
    ["runs", "job", "parts", "systems", "meetings", "turnings"]
        .into_iter()
        .filter_map(|name| Some((name, std::fs::read_to_string(folder.join(format!("{name}.csv"))).ok()?)))
        .collect()
}

#[test]
fn both_counters_agree_on_the_examples_in_every_water_system() {
    let home = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut folders = vec![home.join("tests/guest-lodge")];
    folders.extend(std::fs::read_dir(home.join("examples")).unwrap().map(|entry| entry.unwrap().path()));
    let mut jobs = 0;
    for folder in folders {
        let Ok(mut job) = Job::read(&folder) else { continue };
        let texts = texts_of(&folder);
        // One of them is a workbook: its tables are those of the lodge among the tests.
        if texts.iter().all(|(name, _)| *name != "runs") {
            continue;
        }
        jobs += 1;
        let water = job.catalog.systems.iter().filter(|system| system.side == Side::Water);
        let water: Vec<_> = water.map(|system| system.name).collect();
        assert!(water.len() > 1);
        job.lay_in(&water);
        let (counted, naive) = count_beside(&job, &texts);
        let found = between(&by_engine(&job), &counted, &naive);
        let found: Vec<String> = found.into_iter().map(|one| one.text).collect();
        assert!(found.is_empty(), "{}:\n{}", folder.display(), found.join("\n"));
    }
    assert!(jobs >= 3, "{jobs} jobs were found");
}

/// Draws houses, some of them with much that is wrong.
fn houses(seeds: std::ops::Range<u64>) -> impl Iterator<Item = (u64, Texts)> {
    seeds.map(|seed| (seed, house(seed, Wrong((seed % 3) * 4))))
}

#[test]
fn every_male_end_is_filled_or_met_in_the_takeoff() {
    for (seed, texts) in houses(500_000..500_600) {
        for takeoff in take_off(&job_of(&texts)).takeoffs.iter().filter(|takeoff| takeoff.missing.is_empty())
        {
            for balance in &takeoff.balance {
                let met = balance.filled + balance.on_site + balance.elsewhere;
                assert_eq!(balance.male, met, "seed {seed}: {balance:?}\n{}", shown(&texts));
            }
        }
    }
}

#[test]
fn rings_of_the_takeoff_are_its_joints() {
    for (seed, texts) in houses(500_600..501_200) {
        let job = job_of(&texts);
        let taken = take_off(&job);
        for takeoff in &taken.takeoffs {
            let part = |item| job.catalog.part(taken.items.get(item).part);
            let has_nut = |item| part(item).ports.iter().any(|port| port.fit == Fit::Compression);
            if takeoff.lines.iter().any(|line| has_nut(line.item)) {
                continue;
            }
            let mut rings = BTreeMap::new();
            for line in takeoff.lines.iter().filter(|line| taken.items.get(line.item).class == Class::Ring) {
                let item = taken.items.get(line.item);
                *rings.entry((item.system.unwrap(), item.sizes.as_slice()[0])).or_insert(0) += line.count;
            }
            let in_rings = |system| job.lexicon.text(job.catalog.system(system).name).starts_with("pex");
            let joints = takeoff.balance.iter().filter(|balance| in_rings(balance.system));
            let joints: BTreeMap<_, _> = joints
                .map(|balance| ((balance.system, balance.size), balance.filled + balance.declared))
                .filter(|(_, joints)| *joints != 0)
                .collect();
            assert_eq!(rings, joints, "seed {seed}\n{}", shown(&texts));
        }
    }
}

#[test]
fn the_order_of_rows_and_the_unit_of_lengths_change_nothing_in_the_takeoff() {
    for (seed, texts) in houses(501_200..501_500) {
        let first = by_engine(&job_of(&texts));
        assert!(first == by_engine(&job_of(&texts)), "seed {seed}: the same job is counted differently");
        let mut chance = Chance::new(seed);
        let mut shuffled = texts.clone();
        for (name, text) in &mut shuffled {
            if *name == "runs" || *name == "places" {
                let mut lines: Vec<&str> = text.lines().collect();
                chance.shuffle(&mut lines[1..]);
                *text = lines.join("\n") + "\n";
            }
        }
        assert!(first == by_engine(&job_of(&shuffled)), "seed {seed}: the order of rows\n{}", shown(&texts));
        for unit in [LengthUnit::Metre, LengthUnit::Millimetre, LengthUnit::Inch] {
            let written = in_unit(&texts, unit);
            assert!(
                first == by_engine(&job_of(&written)),
                "seed {seed}: lengths in {unit:?}\n{}",
                shown(&texts)
            );
        }
    }
}

/// The run list with its lengths written in another unit; in metres bare, as the job then says.
fn in_unit(texts: &Texts, unit: LengthUnit) -> Texts {
    let bare = unit == LengthUnit::Metre;
    let rewrite = |text: &str| match Length::read(text, LengthUnit::Foot) {
        Some(length) if bare => length.in_units(unit).normalize().to_string(),
        Some(length) => format!("{} {}", length.in_units(unit).normalize(), unit.abbreviation()),
        None => text.to_owned(),
    };
    let lengths = ["length", "at", "to at", "tail", "turns at", "rise"];
    let mut written = texts.clone();
    for (name, text) in &mut written {
        if *name == "job" && bare {
            text.push_str("units,m\n");
        }
        if *name != "runs" {
            continue;
        }
        let mut lines = text.lines();
        let head = lines.next().unwrap_or("").to_owned();
        let heads: Vec<&str> = head.split(',').collect();
        let rows = lines.map(|line| {
            let cells = heads.iter().zip(cells_of(line)).map(|(head, cell)| {
                if cell.is_empty() || !lengths.contains(head) {
                    return cell;
                }
                let inner = cell.strip_prefix('"').and_then(|cell| cell.strip_suffix('"'));
                let plain = inner.map_or_else(|| cell.clone(), |inner| inner.replace("\"\"", "\""));
                plain.split(';').map(|one| rewrite(one.trim())).collect::<Vec<_>>().join("; ")
            });
            cells.collect::<Vec<_>>().join(",")
        });
        *text = std::iter::once(head.clone()).chain(rows).collect::<Vec<_>>().join("\n") + "\n";
    }
    written
}
