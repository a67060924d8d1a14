//! Every example in every water system of the tables: what is always true. The system takes the place of the job's own, and
//! stands alone, so that no other alternative hides what is missing in it.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use coilstick::estimate::Alternative;
use coilstick::estimate::takeoff::JointKind;
use coilstick::estimate::{Estimate, estimate};
use coilstick::ground::money::round_half_away;
use coilstick::report;
use coilstick::trade::{Class, Job, Side, SystemId, Word};
use rust_decimal::Decimal;

use crate::kept::difference;
use crate::same::{shuffle, to_metres};
use crate::tables::Elsewhere;
use crate::{EXAMPLES, KEPT};

/// The names of the water systems that a job knows.
fn water_systems(job: &Job) -> Vec<String> {
    let systems = job.catalog.systems.iter().filter(|system| system.side == Side::Water);
    systems.map(|system| job.lexicon.text(system.name).to_owned()).collect()
}

/// A job in one system and no other.
fn only_in(mut job: Job, system: &str) -> Job {
    let (water, drain) = (job.lexicon.find(system).unwrap(), job.settings.drain_system);
    job.lay_in(&[water, drain]);
    job
}

/// An example in one system.
struct Tried {
    what: String,
    job: Job,
    estimate: Estimate,
}

/// Every example in every system, estimated once for all tests.
fn tried() -> &'static [Tried] {
    static TRIED: OnceLock<Vec<Tried>> = OnceLock::new();
    TRIED.get_or_init(|| {
        let mut tried = Vec::new();
        for example in &EXAMPLES {
            for system in water_systems(&Job::read(&example.path()).unwrap()) {
                let job = only_in(Job::read(&example.path()).unwrap(), &system);
                let estimate = estimate(&job);
                assert_eq!(estimate.alternatives.len(), 1);
                tried.push(Tried { what: format!("{} in {system}", example.name), job, estimate });
            }
        }
        assert!(tried.len() >= 2 * EXAMPLES.len(), "{}", tried.len());
        tried
    })
}

/// Tries something on every example in every system.
fn everywhere(mut each: impl FnMut(&str, &Job, &Estimate, &Alternative)) {
    for Tried { what, job, estimate } in tried() {
        each(what, job, estimate, &estimate.alternatives[0]);
    }
}

/// Nuts over tube ends, by system and size: they fill an end, and are no joint of the system.
fn nuts(alternative: &Alternative) -> BTreeMap<(SystemId, Word), i64> {
    let mut nuts = BTreeMap::new();
    for made in alternative.takeoff.made.iter().filter(|made| made.kind == JointKind::Compression) {
        *nuts.entry((made.system, made.size)).or_default() += made.count;
    }
    nuts
}

#[test]
fn no_example_has_an_error_or_misses_a_part_in_any_system() {
    everywhere(|what, job, estimate, alternative| {
        assert!(estimate.left_out.is_empty(), "{what}: {:?}", estimate.left_out);
        assert!(alternative.takeoff.missing.is_empty(), "{what}: {:?}", alternative.takeoff.missing);
        let errors: Vec<_> = job.notices.iter().chain(&estimate.notices).filter(|n| n.is_error()).collect();
        assert!(errors.is_empty(), "{what}: {errors:#?}");
    });
}

#[test]
fn ends_balance_in_every_system() {
    everywhere(|what, _, _, alternative| {
        let balance = &alternative.takeoff.balance;
        assert!(!balance.is_empty(), "{what}");
        for row in balance {
            assert_eq!(row.male, row.filled + row.coupled + row.on_site + row.elsewhere, "{what}: {row:?}");
        }
        let filled: i64 = balance.iter().map(|row| row.filled + row.declared).sum();
        let nuts: i64 = nuts(alternative).values().sum();
        assert!(filled > 0, "{what}");
        assert_eq!(filled - nuts, alternative.takeoff.joints, "{what}: nuts {nuts}");
    });
}

#[test]
fn rings_are_the_joints_of_every_ring_system() {
    let mut systems_of_rings = 0;
    everywhere(|what, job, estimate, alternative| {
        let is_ring = |part: Word| {
            job.catalog.parts_called(part).iter().any(|id| job.catalog.part(*id).class == Class::Ring)
        };
        let joined_by_rings = |system: SystemId| {
            let joint = job.catalog.system(system).joint;
            job.catalog.joints.iter().any(|row| row.joint == joint && is_ring(row.part))
        };
        let mut expected: BTreeMap<(SystemId, Word), i64> = BTreeMap::new();
        for row in alternative.takeoff.balance.iter().filter(|row| joined_by_rings(row.system)) {
            *expected.entry((row.system, row.size)).or_default() += row.filled + row.declared;
        }
        for (key, nuts) in nuts(alternative).into_iter().filter(|(key, _)| joined_by_rings(key.0)) {
            *expected.entry(key).or_default() -= nuts;
        }
        expected.retain(|_, joints| *joints != 0);
        let mut rings: BTreeMap<(SystemId, Word), i64> = BTreeMap::new();
        for line in &alternative.takeoff.lines {
            let item = estimate.items.get(line.item);
            if item.class == Class::Ring {
                *rings.entry((item.system.unwrap(), item.sizes.as_slice()[0])).or_default() += line.count;
            }
        }
        assert_eq!(rings, expected, "{what}");
        systems_of_rings += usize::from(!rings.is_empty());
    });
    assert!(systems_of_rings >= EXAMPLES.len());
}

/// What the traced lines of an item come to, in the unit of the order.
fn traced(job: &Job, estimate: &Estimate, alternative: &Alternative) -> Vec<Decimal> {
    let mut sums = vec![Decimal::ZERO; estimate.items.len()];
    let of_unit = Decimal::from(job.settings.units.nanometres());
    for line in &alternative.takeoff.lines {
        let count = Decimal::from(line.count);
        sums[line.item.0 as usize] += match line.joint {
            Some(row) => {
                let row = &job.catalog.joints[row as usize];
                count * row.amount / Decimal::from(row.per)
            }
            None if estimate.items.get(line.item).is_length() => count / of_unit,
            None => count,
        };
    }
    sums
}

#[test]
fn nothing_vanishes_and_nothing_is_priced_at_zero_in_any_system() {
    everywhere(|what, job, estimate, alternative| {
        let places = |quantity: Decimal| round_half_away(quantity, 4);
        let mut traced = traced(job, estimate, alternative);
        let (mut sum, mut not_priced) = (Decimal::ZERO, Vec::new());
        for line in &alternative.order {
            let was = std::mem::take(&mut traced[line.item.0 as usize]);
            assert_eq!(places(was + line.by_plan), places(line.need), "{what}: {line:?}");
            match line.extended {
                Some(extended) => {
                    // Longer sticks than the takeoff goes by spare a coupling.
                    let is_spared = line.need.is_zero() && line.by_plan < Decimal::ZERO;
                    assert!(extended > Decimal::ZERO || is_spared, "{what}: {line:?}");
                    sum += extended;
                    let bought: Decimal = line.picks.iter().map(|pick| pick.buy - pick.left_over).sum();
                    assert_eq!(
                        places(bought + line.on_hand),
                        places(line.need + line.allow),
                        "{what}: {line:?}"
                    );
                }
                None => not_priced.push(line.item),
            }
        }
        assert!(traced.iter().all(Decimal::is_zero), "{what}: something is traced and not ordered");
        assert_eq!(sum, alternative.cost.material, "{what}");
        let mut listed = alternative.cost.not_priced.clone();
        listed.sort();
        not_priced.sort();
        assert_eq!(not_priced, listed, "{what}");
    });
}

#[test]
fn pieces_add_up_to_the_tube_of_every_system() {
    everywhere(|what, _, estimate, alternative| {
        let mut feet: BTreeMap<u32, i64> = BTreeMap::new();
        for line in &alternative.takeoff.lines {
            if estimate.items.get(line.item).is_length() {
                *feet.entry(line.item.0).or_default() += line.count;
            }
        }
        let mut pieces: BTreeMap<u32, i64> = BTreeMap::new();
        for piece in &alternative.takeoff.pieces {
            *pieces.entry(piece.item.0).or_default() += piece.length.nanometres() * i64::from(piece.copies);
        }
        assert_eq!(feet, pieces, "{what}");
    });
}

/// The kept files of a job in one system.
fn files(job: &std::path::Path, system: &str) -> Vec<(&'static str, String)> {
    let job = only_in(Job::read(job).unwrap(), system);
    let bytes = report::bytes(&job, &estimate(&job)).unwrap();
    let named = report::FILES.into_iter().zip(bytes).filter(|(name, _)| KEPT.contains(name));
    named.map(|(name, bytes)| (name, String::from_utf8(bytes).unwrap())).collect()
}

#[test]
fn the_order_of_rows_and_the_unit_of_length_change_nothing_in_any_system() {
    for example in &EXAMPLES {
        let there = Elsewhere::new(&format!("every-system-{}", example.name));
        there.write(example.tables, |table| {
            shuffle(table, 7);
            to_metres(table, example.units());
        });
        for system in water_systems(&Job::read(&example.path()).unwrap()) {
            for ((name, as_it_is), (_, changed)) in
                files(&example.path(), &system).iter().zip(&files(&there.job(), &system))
            {
                let differs = || difference(as_it_is, changed);
                assert!(as_it_is == changed, "{} in {system}: {name}\n{}", example.name, differs());
            }
        }
    }
}
