//! What is always true of the naive count of drains, vents and paths, tried on generated houses.

use std::collections::{BTreeMap, BTreeSet};

use coilstick::ground::Severity;
use coilstick::ground::name::fold;
use coilstick::trade::{Job, Phase, Run, Service};
use rust_decimal::Decimal;

use crate::build::EndMet;
use crate::count_texts;
use crate::drain_tables::with_drain_tables;
use crate::drains::fault_of_row;
use crate::generate::{Wrong, house_with_drains};
use crate::invariants::job_of;
use crate::made::Shape;
use crate::total::Count;
use crate::world::World;

fn generated(seeds: std::ops::Range<u64>, wrong: Wrong, mut each: impl FnMut(u64, &Job, &Count, &World)) {
    for seed in seeds {
        let (job, counts) = count_texts(&house_with_drains(seed, wrong));
        for (count, world) in &counts {
            each(seed, &job, count, world);
        }
    }
}

/// The cells of runs of the drain side.
fn is_drain(service: Service) -> bool {
    matches!(service, Service::Drain | Service::Vent)
}

#[test]
fn every_end_of_a_house_with_drains_is_joined_or_excused() {
    generated(0..300, Wrong(3), |seed, _, _, world| {
        for mouth in &world.mouths {
            let filled = !mouth.joined.is_empty() || mouth.goes_on.is_some() || mouth.excuse.is_some();
            let shut = matches!(mouth.shape, Shape::Closed | Shape::ClosedTubeEnd(_));
            assert!(filled || shut, "seed {seed}: {mouth:?} is left open");
        }
    });
}

#[test]
fn one_joint_fills_two_ends_of_tube_only_where_a_seam_is_a_joint() {
    generated(300..500, Wrong(0), |seed, job, _, world| {
        for joint in &world.joints {
            let iron = joint
                .tube
                .is_some_and(|system| job.lexicon.text(job.catalog.system(system).name) == "iron-coupled");
            assert!(joint.fills == 1 || (joint.fills == 2 && iron), "seed {seed}: {joint:?}");
            let Some((a, b)) = joint.between else { continue };
            let (a, b) = (world.mouth(a), world.mouth(b));
            assert!(a.size == b.size && a.size == joint.size, "seed {seed}: {a:?} {b:?}");
            let tube = |shape: Shape| matches!(shape, Shape::TubeEnd(_));
            assert!(joint.fills == 1 || tube(a.shape) && tube(b.shape), "seed {seed}: {a:?} {b:?}");
        }
    });
}

#[test]
fn a_run_is_as_long_as_its_legs_and_what_the_roof_adds_is_beyond() {
    generated(500..700, Wrong(3), |seed, job, _, world| {
        let mut lies: BTreeMap<usize, (i64, i64)> = BTreeMap::new();
        for tube in world.tubes.iter().filter(|tube| tube.along) {
            let sums = lies.entry(tube.run).or_default();
            sums.0 += tube.length.nanometres() - tube.beyond.nanometres();
            sums.1 += tube.beyond.nanometres();
        }
        for (run, (length, beyond)) in lies {
            let row = &job.runs[run];
            let tail = row.tail.map_or(0, coilstick::ground::Length::nanometres);
            assert_eq!(length, row.length.nanometres() + tail, "seed {seed}: {}", row.name);
            let to_roof = row.to.as_deref().is_some_and(|to| to.eq_ignore_ascii_case("roof"));
            assert_eq!(beyond, if to_roof { 12 * 25_400_000 } else { 0 }, "seed {seed}: {}", row.name);
        }
    });
}

#[test]
fn shielded_couplings_are_the_joints_of_iron_and_cement_is_never_asked_for_by_it() {
    generated(700..900, Wrong(3), |seed, job, _, world| {
        let name = |system| job.lexicon.text(job.catalog.system(system).name);
        for joint in &world.joints {
            if let crate::world::JointKind::Of(system) = joint.kind {
                assert!(joint.tube.is_some(), "seed {seed}: {} joins no tube", name(system));
            }
        }
    });
    generated(900..1000, Wrong(0), |seed, _, count, world| {
        let couplings: Decimal = count
            .lines
            .iter()
            .filter(|(key, _)| key.part == "shielded coupling")
            .map(|(_, quantity)| quantity)
            .sum();
        let of_iron = count.joints.iter().filter(|((system, _), _)| system == "iron-coupled");
        let ends: i64 = of_iron.map(|(_, ends)| ends).sum();
        let twice: i64 =
            world.joints.iter().filter(|joint| joint.fills == 2).map(|joint| joint.tag.copies).sum();
        assert_eq!(couplings, Decimal::from(ends - twice), "seed {seed}");
    });
}

/// D20: in each phase the caps put on are the ends open at its test, less those still capped from an earlier one. A cap is
/// never followed by another on the same end, and each is there before what is joined to the end later.
#[test]
fn an_end_is_capped_once_and_joined_again_later_if_at_all() {
    generated(1000..1200, Wrong(0), |seed, job, _, world| {
        let caps: Vec<_> = world
            .fittings
            .iter()
            .filter(|fitting| {
                fitting.made.part.is_some_and(|part| &*job.catalog.part(part).name == "test cap")
            })
            .collect();
        for cap in caps {
            assert!(cap.tag.phase != Phase::Trim, "seed {seed}: nothing is tested at trim");
            let joints: Vec<_> = world
                .joints
                .iter()
                .filter(|joint| {
                    joint.between.is_some_and(|(a, b)| cap.mouths.contains(&a) || cap.mouths.contains(&b))
                })
                .collect();
            assert_eq!(joints.len(), 1, "seed {seed}: a cap has one joint");
            let (a, b) = joints[0].between.unwrap_or_else(|| unreachable!("filtered"));
            let end = if cap.mouths.contains(&a) { b } else { a };
            let joined = &world.mouth(end).joined;
            assert!(joined.len() <= 2, "seed {seed}: {joined:?}");
            let later = joined.iter().filter(|phase| **phase > cap.tag.phase).count();
            assert_eq!(later + 1, joined.len(), "seed {seed}: {joined:?} around {:?}", cap.tag.phase);
        }
    });
}

#[test]
fn no_system_without_test_caps_has_one_and_its_open_ends_are_met() {
    generated(1200..1400, Wrong(2), |seed, _, count, _| {
        let capped = count.ends.iter().filter(|end| end.met == EndMet::Capped);
        let drains = capped.filter(|end| end.service == "drain" || end.service == "vent");
        let caps: Decimal =
            count.lines.iter().filter(|(key, _)| key.part == "test cap").map(|(_, n)| n).sum();
        let of_tube: i64 = drains.map(|end| end.copies).sum();
        assert!(caps >= Decimal::from(of_tube), "seed {seed}: {caps} caps on {of_tube} ends");
        for key in count.lines.keys().filter(|key| key.part == "test cap") {
            assert!(key.system != "iron-coupled", "seed {seed}: {key:?}");
        }
    });
}

#[test]
fn the_order_of_rows_changes_nothing_in_a_house_with_drains() {
    for seed in 1400..1500 {
        let texts = house_with_drains(seed, Wrong(3));
        let mut turned = texts.clone();
        for (_, text) in turned.iter_mut().filter(|(name, _)| *name == "runs") {
            let mut lines: Vec<&str> = text.lines().collect();
            lines[1..].reverse();
            *text = lines.join("\n") + "\n";
        }
        let ((_, once), (_, again)) = (count_texts(&texts), count_texts(&turned));
        for ((a, _), (b, _)) in once.iter().zip(&again) {
            assert_eq!(a.lines, b.lines, "seed {seed}");
            assert_eq!(a.cut, b.cut, "seed {seed}");
            assert_eq!(a.ends, b.ends, "seed {seed}");
        }
    }
}

/// Water alone is counted as without the tables and the reading of the drain side (D14).
#[test]
fn water_alone_is_counted_the_same_beside_the_tables_of_drains() {
    for seed in 1500..1600 {
        let texts = crate::generate::house(seed, Wrong(2));
        let alone = crate::naive_count(&crate::invariants::job_of(&texts));
        let (_, beside) = count_texts(&texts);
        assert_eq!(alone.len(), beside.len());
        for ((a, _), (b, _)) in alone.iter().zip(&beside) {
            let left_out =
                |count: &Count| count.left_out.iter().map(|(run, _)| run.clone()).collect::<Vec<_>>();
            assert_eq!(left_out(a), left_out(b), "seed {seed}");
            assert_eq!(a.lines, b.lines, "seed {seed}");
            assert_eq!(a.cut, b.cut, "seed {seed}");
            assert_eq!(a.ends, b.ends, "seed {seed}");
        }
    }
}

/// Generated houses must try the rules: each of these comes up often among three hundred.
#[test]
fn generated_houses_with_drains_hold_what_the_rules_speak_of() {
    let mut seen: BTreeMap<&'static str, u32> = BTreeMap::new();
    const PARTS: [&str; 27] = [
        "sanitary tee",
        "double sanitary tee",
        "wye",
        "combination",
        "two-way cleanout",
        "long sweep",
        "quarter bend",
        "eighth bend",
        "street eighth bend",
        "bushing",
        "test cap",
        "reducing coupling",
        "coupling",
        "transition coupling",
        "shielded coupling",
        "closet bend",
        "closet flange",
        "P-trap",
        "trap adapter",
        "waste and overflow",
        "shower drain",
        "floor drain body",
        "cleanout plug",
        "cleanout tee",
        "air admittance valve",
        "roof flashing",
        "flexible coupling",
    ];
    let (mut runs, mut out) = (0, 0);
    generated(1600..1900, Wrong(0), |_, job, count, world| {
        for name in PARTS {
            *seen.entry(name).or_default() += u32::from(count.lines.keys().any(|key| key.part == name));
        }
        let mut see = |what: &'static str, there: bool| *seen.entry(what).or_default() += u32::from(there);
        see("one piece over two runs", world.mouths.iter().any(|mouth| mouth.goes_on.is_some()));
        see("joined in two phases", world.mouths.iter().any(|mouth| mouth.joined.len() > 1));
        see("a seam that is a joint", world.joints.iter().any(|joint| joint.fills == 2));
        see("an end met on site by tools", count.ends.iter().any(|end| end.met == EndMet::OnSite));
        see("washer box", count.lines.keys().any(|key| key.part == "washer box"));
        for phase in [Phase::Underground, Phase::RoughIn, Phase::TieIn, Phase::Trim] {
            let of_drains = |service: &str| service == "drain" || service == "vent";
            see(phase.word(), count.lines.keys().any(|key| key.phase == phase && of_drains(key.service)));
        }
        runs += job.runs.iter().filter(|row| is_drain(row.service)).count();
        out += count.left_out.len();
    });
    for (what, times) in &seen {
        assert!(*times >= 10, "{what} came up {times} times");
    }
    assert!(out * 12 < runs, "{out} of {runs} sound rows are left out");
}

#[test]
fn every_deliberate_error_of_drains_is_found() {
    let mut found: BTreeMap<&str, usize> = BTreeMap::new();
    generated(1900..2200, Wrong(10), |_, _, count, _| {
        for (_, why) in &count.left_out {
            *found.entry(why).or_default() += 1;
        }
    });
    for why in [
        "the path turns back",
        "a drain goes down",
        "neither level nor upright",
        "the path has another number of turns",
        "at is on no leg of the run that it joins",
        "no drain ties into a vent",
        "a drain is larger than what it ties into",
        "only a return may name a run in to",
        "water and drain meet only at places",
    ] {
        assert!(found.contains_key(why), "never found: {why}; found {found:#?}");
    }
}

/// The kinds of errors by which the program finds what a row of paths and drains says against itself.
const OF_ROWS: [&str; 7] = [
    "off-the-path",
    "turned-back",
    "unread-path",
    "drain-goes-down",
    "level-or-upright",
    "turns-of-upright",
    "not-on-the-path",
];

/// Whether a row measures into a leg of what is no run: the program tells that where runs are connected.
fn is_at_no_run(job: &Job, run: &Run) -> bool {
    let is_run = |name: Option<&str>| {
        name.is_some_and(|name| job.runs.iter().any(|other| fold(&other.name) == fold(name)))
    };
    run.at_leg.is_some() && !is_run(run.joins.as_deref())
        || run.to_at_leg.is_some() && !is_run(run.to.as_deref())
}

#[test]
fn both_readings_of_paths_find_the_same_rows_in_error() {
    let (mut rows, mut of_no_fault) = (0, 0);
    for seed in 2200..2700 {
        let texts = house_with_drains(seed, Wrong(12));
        let read = job_of(&texts);
        let errors = read.notices.iter().filter(|notice| notice.severity == Severity::Error);
        let of_rows = errors.filter(|notice| OF_ROWS.contains(&notice.kind));
        let theirs: BTreeSet<u32> = of_rows.filter_map(|notice| Some(notice.spots.first()?.row)).collect();
        let (job, sheets) = crate::sheets::read(&with_drain_tables(&texts)).laid_over(&read);
        let both = job.runs.iter().zip(&sheets.runs);
        let ours: BTreeSet<u32> = both
            .filter(|(run, sheet)| fault_of_row(run, sheet).is_some() && !is_at_no_run(&job, run))
            .map(|(run, _)| run.row.row)
            .collect();
        let theirs: BTreeSet<u32> = theirs
            .into_iter()
            .filter(|row| job.runs.iter().all(|run| run.row.row != *row || !is_at_no_run(&job, run)))
            .collect();
        assert_eq!(ours, theirs, "seed {seed}: {}", crate::agree::shown(&texts));
        rows += ours.len();
        of_no_fault += read.runs.len() - ours.len();
        for (run, of_program) in
            job.runs.iter().zip(&read.runs).filter(|(run, _)| !run.in_error && !is_at_no_run(&job, run))
        {
            let said = |run: &Run| (run.length, run.rise, run.turns.unwrap_or(0), run.at, run.to_at);
            assert_eq!(said(run), said(of_program), "seed {seed}: {}", run.name);
        }
    }
    assert!(rows > 300 && of_no_fault > 5000, "{rows} rows in error, {of_no_fault} sound");
}
