//! What is always true of the naive count, tried on generated houses: it must first agree with itself.

use std::collections::BTreeMap;

use coilstick::trade::Job;
use rust_decimal::Decimal;

use crate::agree::texts_of;
use crate::generate::{Texts, Wrong, house};
use crate::made::Shape;
use crate::total::Count;
use crate::world::{JointKind, World};
use crate::{count_beside, naive_count};

pub(crate) fn job_of(texts: &Texts) -> Job {
    let texts: Vec<(&str, &str)> = texts.iter().map(|(name, text)| (*name, text.as_str())).collect();
    Job::from_texts(&texts)
}

fn generated(seeds: std::ops::Range<u64>, wrong: Wrong, mut each: impl FnMut(u64, &Job, &Count, &World)) {
    for seed in seeds {
        let job = job_of(&house(seed, wrong));
        for (count, world) in naive_count(&job) {
            each(seed, &job, &count, &world);
        }
    }
}

#[test]
fn every_end_is_joined_or_excused() {
    generated(0..200, Wrong(4), |seed, _, _, world| {
        for mouth in &world.mouths {
            let filled = !mouth.joined.is_empty() || mouth.goes_on.is_some() || mouth.excuse.is_some();
            let shut = matches!(mouth.shape, Shape::Closed | Shape::ClosedTubeEnd(_));
            assert!(filled || shut, "seed {seed}: {mouth:?} is left open");
        }
    });
}

#[test]
fn males_are_sockets_filled_by_fit_and_size() {
    generated(200..350, Wrong(0), |seed, _, _, world| {
        for joint in &world.joints {
            let Some((a, b)) = joint.between else { continue };
            let (a, b) = (world.mouth(a), world.mouth(b));
            assert!(a.size == b.size && a.size == joint.size, "seed {seed}: {a:?} {b:?}");
            let male = |shape: Shape| match shape {
                Shape::TubeEnd(_) | Shape::ClosedTubeEnd(_) => true,
                Shape::Thread(sex) => sex == coilstick::trade::Sex::Male,
                Shape::Socket(_) | Shape::Compression | Shape::Closed => false,
            };
            assert!(male(a.shape) != male(b.shape), "seed {seed}: {a:?} {b:?}");
        }
    });
}

#[test]
fn the_engine_makes_as_many_joints_as_sockets_are_filled() {
    use coilstick::estimate::takeoff::JointKind;
    for seed in 3000..3400 {
        let job = job_of(&house(seed, Wrong(2)));
        // Pressed copper may be soldered into a cup: of one tube the sockets may be of several systems.
        let tube = |system: coilstick::trade::SystemId| job.catalog.system(system).tube;
        for takeoff in coilstick::estimate::take_off(&job).takeoffs {
            let mut joints: BTreeMap<_, i64> = BTreeMap::new();
            for made in takeoff.made.iter().filter(|made| made.kind != JointKind::Thread) {
                *joints.entry((tube(made.system), made.size)).or_default() += made.count;
            }
            let mut filled: BTreeMap<_, i64> = BTreeMap::new();
            for balance in &takeoff.balance {
                let sockets = balance.filled + balance.declared;
                *filled.entry((tube(balance.system), balance.size)).or_default() += sockets;
            }
            filled.retain(|_, sockets| *sockets != 0);
            assert_eq!(joints, filled, "seed {seed}");
        }
    }
}

#[test]
fn a_run_is_as_long_as_written_and_its_tail_is_extra() {
    generated(1600..1700, Wrong(4), |seed, job, _, world| {
        let mut lies: BTreeMap<usize, i64> = BTreeMap::new();
        for tube in world.tubes.iter().filter(|tube| tube.along) {
            *lies.entry(tube.run).or_default() += tube.length.nanometres() - tube.beyond.nanometres();
        }
        for (run, length) in lies {
            let row = &job.runs[run];
            let tail = row.tail.map_or(0, coilstick::ground::Length::nanometres);
            assert_eq!(length, row.length.nanometres() + tail, "seed {seed}: {}", row.name);
        }
    });
}

#[test]
fn the_examples_are_counted_whole() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut jobs = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let Ok(job) = Job::read(&path) else { continue };
        let texts = texts_of(&path);
        // One of them is a workbook, the same lodge as among the tests.
        if texts.iter().all(|(name, _)| *name != "runs") {
            continue;
        }
        jobs += 1;
        for (count, world) in count_beside(&job, &texts).1 {
            assert!(count.left_out.is_empty(), "{}: {:?}", path.display(), count.left_out);
            assert!(count.missing.is_empty(), "{}: {:?}", path.display(), count.missing);
            assert!(!world.tubes.is_empty(), "{}", path.display());
        }
    }
    assert!(jobs > 0);
}

#[test]
fn rings_are_the_joints_of_ring_systems() {
    generated(350..500, Wrong(4), |seed, job, count, _| {
        let rings = ["clamp ring", "crimp ring", "expansion ring"];
        let mut found: BTreeMap<(String, String), Decimal> = BTreeMap::new();
        for (key, quantity) in count.lines.iter().filter(|(key, _)| rings.contains(&&*key.part)) {
            *found.entry((key.system.clone(), key.size.clone())).or_default() += quantity;
        }
        let of_rings = |system: &str| system.starts_with("pex");
        let joints = count.joints.iter().filter(|((system, _), number)| of_rings(system) && **number != 0);
        let expected: BTreeMap<_, _> =
            joints.map(|(key, number)| (key.clone(), Decimal::from(*number))).collect();
        assert_eq!(found, expected, "seed {seed}: {:?}", job.settings.name);
    });
}

#[test]
fn pieces_add_up_to_the_feet_of_tube() {
    generated(500..650, Wrong(4), |seed, _, count, _| {
        let mut feet: BTreeMap<(String, String, String), Decimal> = BTreeMap::new();
        for (key, quantity) in count.lines.iter().filter(|(key, _)| key.unit == "nm") {
            let tube = (key.system.clone(), key.size.clone(), key.variant.clone());
            *feet.entry(tube).or_default() += quantity;
        }
        let pieces: BTreeMap<_, Decimal> = count
            .pieces
            .iter()
            .map(|(tube, lengths)| {
                let sum = lengths
                    .iter()
                    .map(|(length, number)| Decimal::from(*length) * Decimal::from(*number))
                    .sum();
                (tube.clone(), sum)
            })
            .filter(|(_, sum): &(_, Decimal)| !sum.is_zero())
            .collect();
        assert_eq!(feet, pieces, "seed {seed}");
    });
}

#[test]
fn the_order_of_rows_changes_nothing() {
    for seed in 650..750 {
        let texts = house(seed, Wrong(5));
        let turned: Texts = texts
            .iter()
            .map(|(name, text)| {
                let mut lines: Vec<&str> = text.lines().collect();
                if *name == "runs" || *name == "places" {
                    lines[1..].reverse();
                }
                (*name, lines.join("\n") + "\n")
            })
            .collect();
        let once = naive_count(&job_of(&texts));
        let again = naive_count(&job_of(&turned));
        for ((a, _), (b, _)) in once.iter().zip(&again) {
            assert_eq!(a.lines, b.lines, "seed {seed}");
            assert_eq!(a.pieces, b.pieces, "seed {seed}");
            assert_eq!(a.ends, b.ends, "seed {seed}");
        }
    }
}

/// Generated houses must try the rules: each of these comes up often among four hundred.
#[test]
fn generated_houses_hold_what_the_rules_speak_of() {
    let mut seen: BTreeMap<&'static str, u32> = BTreeMap::new();
    generated(750..1150, Wrong(3), |_, _, count, world| {
        let mut see = |what: &'static str, there: bool| *seen.entry(what).or_default() += u32::from(there);
        let part = |name: &str| count.lines.keys().any(|key| key.part == name);
        for name in ["tee", "elbow", "45 elbow", "coupling", "reducing coupling", "cap", "plug", "thread cap"]
        {
            let known =
                ["tee", "elbow", "45 elbow", "coupling", "reducing coupling", "cap", "plug", "thread cap"];
            let index = known.iter().position(|one| *one == name).unwrap_or(0);
            see(known[index], part(name));
        }
        see("thread plug", part("thread plug"));
        see("copper transition", part("copper transition"));
        see("pex transition", part("pex transition"));
        see("crimp", part("crimp ring"));
        see(
            "further transitions",
            ["expansion", "press", "cpvc"].iter().any(|to| part(&format!("{to} transition"))),
        );
        see("cement", part("cement"));
        see("manifold", part("manifold of 2") || part("manifold of 4"));
        for service in ["mixed", "return"] {
            see(service, count.lines.keys().any(|key| key.service == service));
        }
        see("an area", count.lines.keys().any(|key| !key.area.is_empty()));
        see("threaded manifold", part("threaded manifold of 2") || part("threaded manifold of 4"));
        see("sized manifold", part("sized manifold of 3") || part("sized manifold of 5"));
        see("blind manifold", part("blind manifold of 3"));
        see("mixing valve", part("mixing valve"));
        see("loop heater", part("loop heater"));
        see("one piece over two runs", world.mouths.iter().any(|mouth| mouth.goes_on.is_some()));
        see("joined in two phases", world.mouths.iter().any(|mouth| mouth.joined.len() > 1));
        see("compression", world.joints.iter().any(|joint| joint.kind == JointKind::Compression));
        see("declared", world.joints.iter().any(|joint| joint.declared));
        see("left out", !count.left_out.is_empty());
        see("a row left out", count.row_left_out);
        see("bends", count.bends > 0);
        see("sound", count.left_out.is_empty());
    });
    for (what, times) in &seen {
        assert!(*times >= 5, "{what} came up {times} times");
    }
}

#[test]
fn rows_drawn_sound_are_counted_and_every_deliberate_error_is_found() {
    let (mut runs, mut out) = (0, 0);
    for seed in 1150..1300 {
        let job = job_of(&house(seed, Wrong(0)));
        runs += job.runs.len();
        out += naive_count(&job).first().map_or(0, |(count, _)| count.left_out.len());
    }
    assert!(out * 20 < runs, "{out} of {runs} sound rows are left out");
    let mut found: BTreeMap<&str, usize> = BTreeMap::new();
    generated(1300..1900, Wrong(8), |_, _, count, _| {
        for (_, why) in &count.left_out {
            *found.entry(why).or_default() += 1;
        }
    });
    for why in [
        "a cell of the row is in error",
        "another run has the same name",
        "at is not on the run that it joins",
        "at is given on a place",
        "joins names nothing that is known",
        "only a return may name a run in to",
        "the runs join each other in a circle",
        "it joins a run that is left out",
        "three at one end",
        "the run ends at a place",
        "nothing joins the end of a return",
        "count 0 on a run that does not stand alone",
        "count on a run that joins or is joined",
        "a tap on a run without a joint",
        "a part in line on a run without a joint",
        "no free point is left on the run",
        "too many runs for the largest manifold",
    ] {
        assert!(found.contains_key(why), "never found: {why}; found {found:#?}");
    }
}
