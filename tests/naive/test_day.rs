//! Test day on generated houses: what is always true of it.

use coilstick::checks::{Shuts, Test, Top, test_day};
use coilstick::estimate::takeoff::Because;
use coilstick::estimate::{Estimate, estimate};
use coilstick::trade::{Class, Job, Phase, Side};
use rust_decimal::Decimal;

use crate::generate::{Wrong, house, house_with_drains};
use crate::invariants::job_of;

/// Tries a job: how many caps there are in all its tests.
pub(crate) fn laws(named: &str, job: &Job, estimate: &Estimate) -> i64 {
    let day = test_day(job, estimate);
    assert_eq!(day.alternatives.len(), estimate.alternatives.len(), "{named}");
    let mut all = 0;
    for (tests, of) in day.alternatives.iter().zip(&estimate.alternatives) {
        for phase in [Phase::Underground, Phase::RoughIn, Phase::TieIn] {
            let counted = of.takeoff.lines.iter().filter(|line| {
                line.phase == phase
                    && matches!(line.because, Because::TestCap | Because::OpenEnd)
                    && estimate.items.get(line.item).class == Class::Cap
            });
            let counted: i64 = counted.map(|line| line.count).sum();
            let of_phase = tests.iter().filter(|test| test.phase == phase).flat_map(|test| &test.openings);
            let listed = of_phase.filter(|opening| matches!(opening.shuts, Shuts::Cap(_)));
            let listed: i64 = listed.map(|opening| opening.count).sum();
            assert_eq!(listed, counted, "{named}: the caps of {phase:?} are those of the takeoff");
            all += listed;
        }
        for side in [Side::Water, Side::Drain] {
            gallons_add_up(named, tests.iter().filter(|test| test.side == side).collect());
        }
        tests.iter().for_each(|test| push_grows_with_depth(named, test));
        if !job.runs.iter().any(|run| !run.service.is_water()) {
            assert!(tests.iter().all(|test| test.side == Side::Water), "{named}");
        }
    }
    all
}

/// What each phase laid is what is filled in the last, as far as the phases follow each other.
fn gallons_add_up(named: &str, tests: Vec<&Test>) {
    let mut sum = Decimal::ZERO;
    for test in tests {
        sum += test.laid.gallons;
        assert_eq!(sum.round_dp(12), test.filled.gallons.round_dp(12), "{named}: {:?}", test.phase);
    }
}

/// Of two openings of one size in one section the lower has more over it; nothing is over the top.
fn push_grows_with_depth(named: &str, test: &Test) {
    for section in &test.sections {
        if let Top::Open { height: top, .. } | Top::Pipe { height: top, .. } = section.top {
            let of_section = |opening: &&coilstick::checks::Opening| match opening.subject {
                coilstick::estimate::takeoff::Subject::Run(run) => section.runs.contains(&run),
                coilstick::estimate::takeoff::Subject::Place(_) => false,
            };
            let mut measured: Vec<_> = test
                .openings
                .iter()
                .filter(of_section)
                .filter_map(|opening| Some((opening.size, opening.height?, opening.psi?, opening.push?)))
                .collect();
            measured.sort_by_key(|(size, height, ..)| (*size, *height));
            for pair in measured.windows(2).filter(|pair| pair[0].0 == pair[1].0) {
                let ((_, low, more, harder), (_, high, less, softer)) = (pair[0], pair[1]);
                assert!(more >= less && harder >= softer, "{named}: {low:?} {high:?} under {top:?}");
                assert!(low >= high || high >= top || more > less && harder > softer, "{named}");
            }
        }
    }
}

#[test]
fn caps_are_those_of_the_takeoff_gallons_add_up_and_push_grows_with_depth() {
    let mut caps = 0;
    for seed in 0..100 {
        for texts in [house_with_drains(seed, Wrong(seed % 3)), house(seed, Wrong(0))] {
            let job = job_of(&texts);
            caps += laws(&format!("seed {seed}"), &job, &estimate(&job));
        }
    }
    assert!(caps > 200, "{caps}");
}

#[test]
fn every_example_keeps_the_same_laws() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut caps = 0;
    for name in [
        "lake-cabin",
        "counted-by-eye",
        "guest-lodge/guest-lodge.xlsx",
        "courtyard-manifold",
        "courtyard-trunk",
        "orchard-house",
        "ferry-house",
        "mill-cottage",
    ] {
        let job = Job::read(&root.join("examples").join(name)).unwrap();
        caps += laws(name, &job, &estimate(&job));
    }
    assert!(caps > 0);
}
