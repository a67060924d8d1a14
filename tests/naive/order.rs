//! A second count of the order: what the takeoff needs, plus what fittings built from others consume, plus what the cut
//! plans join more or less than the takeoff, rebuilt from the list of what is built and from the tables, and held against
//! every line of the order. On the examples and on generated houses of whose fittings many are sold by nobody.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

use std::collections::{BTreeMap, BTreeSet};

use coilstick::estimate::takeoff::JointKind;
use coilstick::estimate::{Alternative, Substitute};
use coilstick::estimate::{Estimate, estimate, take_off};
use coilstick::estimate::{Item, ItemId, Items};
use coilstick::trade::Job;
use coilstick::trade::{Class, Fit, SystemId, UsedAs, Word};
use rust_decimal::Decimal;

use crate::chance::Chance;
use crate::generate::{Texts, Wrong, house};
use crate::invariants::job_of;

/// What is needed of every item; only what is not zero.
type Counted = BTreeMap<ItemId, Decimal>;

fn add(counted: &mut Counted, item: ItemId, more: Decimal) {
    *counted.entry(item).or_default() += more;
}

/// Adds what so many joints of a system and size consume, by the rows of the table `joints`: a row for the size stands
/// before the row of all sizes for the same part.
fn add_joints(
    counted: &mut Counted,
    of: (&Job, &Items),
    joint: Word,
    (system, size): (SystemId, Word),
    n: Decimal,
) {
    let (job, items) = of;
    let rows = || job.catalog.joints.iter().filter(|row| row.joint == joint);
    for row in rows() {
        let own = row.size == size && !size.is_empty();
        let has_own = rows().any(|other| other.size == size && other.part == row.part);
        if !own && (has_own || !row.size.is_empty()) {
            continue;
        }
        let consumed = items.ids().find(|id| {
            let item = items.get(*id);
            let part = job.catalog.part(item.part);
            (part.word == row.part || part.also.contains(&row.part))
                && item.system.is_none_or(|own| own == system)
                && job.catalog.takes_in(&part.systems, system)
                && (item.class == Class::Consumable || item.sizes.as_slice() == [size])
        });
        let amount = row.amount * n / Decimal::from(row.per);
        match consumed {
            Some(item) => add(counted, item, amount),
            None => panic!("nothing that the joint consumes is an item: {}", job.lexicon.text(row.part)),
        }
    }
}

/// What the takeoff needs.
fn of_takeoff(job: &Job, estimate: &Estimate, of: &Alternative) -> Counted {
    let mut counted = Counted::new();
    let foot = Decimal::from(job.settings.units.nanometres());
    for line in &of.takeoff.lines {
        let count = Decimal::from(line.count);
        let amount = match line.joint {
            Some(row) => {
                let row = &job.catalog.joints[row as usize];
                count * row.amount / Decimal::from(row.per)
            }
            None if estimate.items.get(line.item).class == Class::Tube => count / foot,
            None => count,
        };
        add(&mut counted, line.item, amount);
    }
    counted
}

/// Adds what one kind of built fitting takes: its parts for itself, tube between them, and what the joints of that
/// tube and its threads consume.
fn add_built(counted: &mut Counted, job: &Job, items: &Items, built: &Substitute) {
    let n = Decimal::from(built.count);
    let foot = Decimal::from(job.settings.units.nanometres());
    add(counted, built.item, -n);
    for (fitting, _) in &built.fittings {
        add(counted, *fitting, n);
    }
    for stub in &built.stubs {
        let joint = job.catalog.system(stub.system).joint;
        add_joints(counted, (job, items), joint, (stub.system, stub.size), n * Decimal::TWO);
    }
    for (system, size) in &built.spigots {
        add_joints(counted, (job, items), job.catalog.system(*system).joint, (*system, *size), n);
    }
    let thread = job.lexicon.find("thread").unwrap();
    for (system, size) in &built.threads {
        add_joints(counted, (job, items), thread, (*system, *size), n);
    }
    // Which tube a piece is cut from depends on its run; there must be a least piece for each stub of each fitting.
    let mut wanted: BTreeMap<(SystemId, Word), i64> = BTreeMap::new();
    for stub in &built.stubs {
        assert_eq!(stub.length, job.catalog.system(stub.system).least_piece);
        *wanted.entry((stub.system, stub.size)).or_default() += stub.length.nanometres() * built.count;
    }
    for piece in &built.cut {
        let tube = items.get(piece.item);
        let length = piece.length.nanometres() * i64::from(piece.copies);
        add(counted, piece.item, Decimal::from(length) / foot);
        *wanted.get_mut(&(tube.system.unwrap(), tube.sizes.as_slice()[0])).unwrap() -= length;
    }
    assert!(wanted.values().all(|left| *left == 0), "{wanted:?}");
}

/// Adds what the cut plans join more than the takeoff, or spare of it.
fn add_couplings(counted: &mut Counted, job: &Job, items: &Items, of: &Alternative) {
    for plan in of.plans.iter().filter(|plan| plan.extra_couplings != 0) {
        let tube = items.get(plan.item);
        let (system, size) = (tube.system.unwrap(), tube.sizes.as_slice()[0]);
        let n = Decimal::from(plan.extra_couplings);
        let coupling = job.catalog.parts_used_as(UsedAs::Coupling, system).next().unwrap();
        let is_it = |item: &Item| {
            item.part == coupling
                && item.system.is_none_or(|own| own == system)
                && item.sizes.as_slice() == [size]
        };
        let coupling = items.ids().find(|id| is_it(items.get(*id))).unwrap();
        add(counted, coupling, n);
        let joint = job.catalog.system(system).joint;
        add_joints(counted, (job, items), joint, (system, size), n * Decimal::TWO);
    }
}

/// The openings of a fitting, each with its size: `socket`, `male` or the thread.
fn openings(job: &Job, item: &Item, sizes: &[Word]) -> Vec<(String, Word)> {
    let ports = job.catalog.part(item.part).ports.iter().enumerate();
    let opening = |(at, port): (usize, &coilstick::trade::Port)| {
        let fit = match port.fit {
            Fit::Joint(_) => "socket".to_owned(),
            other => format!("{other:?}"),
        };
        let size = port.size.or_else(|| sizes.get(at).copied()).unwrap_or(sizes[sizes.len() - 1]);
        (fit, size)
    };
    ports.map(opening).collect()
}

/// What is built has the openings of the fitting that it stands for, and two sockets for each piece of tube in it, a socket
/// and a male end for each spigot, and a male and a female thread for each thread: no end is left over, and none is missing.
fn ends_balance(job: &Job, items: &Items, built: &Substitute) {
    let fitting = items.get(built.item);
    let mut wanted = openings(job, fitting, fitting.sizes.as_slice());
    for stub in &built.stubs {
        wanted.extend([("socket".to_owned(), stub.size), ("socket".to_owned(), stub.size)]);
    }
    for (_, size) in &built.spigots {
        wanted.extend([("socket".to_owned(), *size), ("TubeEnd(None)".to_owned(), *size)]);
    }
    let mut there = Vec::new();
    for (part, sizes) in &built.fittings {
        there.extend(openings(job, items.get(*part), sizes));
    }
    let of_thread = |one: &(String, Word)| one.0.starts_with("Thread");
    let mut threads: Vec<(String, Word)> = there.iter().filter(|one| of_thread(one)).cloned().collect();
    if !wanted.iter().any(of_thread) {
        there.retain(|one| !of_thread(one));
        threads.sort();
        let mut screwed: Vec<(String, Word)> = Vec::new();
        for (_, size) in &built.threads {
            screwed.extend([("Thread(Female)".to_owned(), *size), ("Thread(Male)".to_owned(), *size)]);
        }
        screwed.sort();
        assert_eq!(threads, screwed, "{built:?}");
    }
    wanted.sort();
    there.sort();
    assert_eq!(there, wanted, "{built:?}");
}

/// Rings are the joints: those of the takeoff, two for each piece of tube in what is built, two for each coupling that the
/// cut plans add.
fn rings_are_joints(job: &Job, items: &Items, of: &Alternative) -> usize {
    let mut joints: BTreeMap<(SystemId, Word), i64> = BTreeMap::new();
    for made in of.takeoff.made.iter().filter(|made| made.kind == JointKind::Tube) {
        *joints.entry((made.system, made.size)).or_default() += made.count;
    }
    for built in &of.built {
        for stub in &built.stubs {
            *joints.entry((stub.system, stub.size)).or_default() += 2 * built.count;
        }
        for spigot in &built.spigots {
            *joints.entry(*spigot).or_default() += built.count;
        }
    }
    for plan in &of.plans {
        let tube = items.get(plan.item);
        *joints.entry((tube.system.unwrap(), tube.sizes.as_slice()[0])).or_default() +=
            2 * plan.extra_couplings;
    }
    let mut rings = 0;
    for line in &of.order {
        let item = items.get(line.item);
        let (Class::Ring, Some(system)) = (item.class, item.system) else { continue };
        let made = joints.get(&(system, item.sizes.as_slice()[0])).copied().unwrap_or(0);
        assert_eq!(line.need, Decimal::from(made), "{}", job.catalog.part(item.part).name);
        rings += 1;
    }
    rings
}

/// Holds every line of the order against the second count; how many fittings are built, and couplings added or spared.
fn judge(what: &str, job: &Job, estimate: &Estimate) -> (i64, i64, usize) {
    let (mut built, mut couplings, mut rings) = (0, 0, 0);
    for of in &estimate.alternatives {
        let mut counted = of_takeoff(job, estimate, of);
        for one in &of.built {
            ends_balance(job, &estimate.items, one);
            add_built(&mut counted, job, &estimate.items, one);
            built += one.count;
        }
        add_couplings(&mut counted, job, &estimate.items, of);
        couplings += of.plans.iter().map(|plan| plan.extra_couplings.abs()).sum::<i64>();
        for line in &of.order {
            let wanted = counted.remove(&line.item).unwrap_or_default();
            let part = job.catalog.part(estimate.items.get(line.item).part);
            let apart = (line.need - wanted).abs();
            assert!(apart < Decimal::new(1, 9), "{what}: {} {} {wanted}", part.name, line.need);
        }
        counted.retain(|_, need| need.abs() > Decimal::new(1, 9));
        assert!(counted.is_empty(), "{what}: not on the order: {counted:?}");
        rings += rings_are_joints(job, &estimate.items, of);
    }
    (built, couplings, rings)
}

/// Prices for a house: all that it needs but some fittings, and what those could be built from.
fn prices(texts: &Texts, chance: &mut Chance) -> String {
    let job = job_of(texts);
    let taken = take_off(&job);
    let text = |word: Word| job.lexicon.text(word);
    let mut rows: BTreeSet<String> = BTreeSet::new();
    let mut sizes: BTreeMap<SystemId, BTreeSet<Word>> = BTreeMap::new();
    for id in taken.items.ids() {
        let item = taken.items.get(id);
        let part = job.catalog.part(item.part);
        let system = item.system.map_or("", |id| text(job.catalog.system(id).name));
        let written: Vec<&str> = item.sizes.as_slice().iter().map(|size| text(*size)).collect();
        let (sold, pack, price) = match item.class {
            Class::Tube => ("stick", "20 ft".to_owned(), 1_000),
            _ if !item.unit.is_empty() => ("bag", format!("1 {}", text(item.unit)), 700),
            _ => ("each", String::new(), 100),
        };
        if let (Class::Tube, Some(system)) = (item.class, item.system) {
            sizes.entry(system).or_default().extend(item.sizes.as_slice());
        }
        let may_lack = part.used_as.contains(&UsedAs::Transition) || item.sizes.as_slice().len() > 1;
        if item.class == Class::Fitting && may_lack && chance.percent(50) {
            continue;
        }
        let price = price + chance.below(400);
        rows.insert(format!("{},{},{system},{sold},{pack},{price}", part.name, written.join(" x ")));
    }
    for (system, sizes) in &sizes {
        let name = text(job.catalog.system(*system).name);
        let order =
            |size: &&Word| job.catalog.sizes.iter().find(|row| row.size == **size).map(|row| row.order);
        let mut sizes: Vec<&Word> = sizes.iter().collect();
        sizes.sort_by_key(|size| order(size));
        for (at, size) in sizes.iter().enumerate() {
            let size = text(**size);
            for part in ["male adapter", "female adapter", "coupling"] {
                rows.insert(format!("{part},{size},{name},each,,{}", 200 + chance.below(300)));
            }
            rows.insert(format!("tee,{size} x {size} x {size},{name},each,,{}", 200 + chance.below(300)));
            for smaller in &sizes[..at] {
                let smaller = text(**smaller);
                rows.insert(format!(
                    "reducing coupling,{size} x {smaller},{name},each,,{}",
                    200 + chance.below(300)
                ));
            }
        }
    }
    let mut table = "supplier,part,size,system,sold as,pack,price\n".to_owned();
    for row in rows {
        let (row, cents) = row.rsplit_once(',').unwrap();
        let cents: u64 = cents.parse().unwrap();
        table.push_str(&format!("Mill (invented),{row},{}.{:02}\n", cents / 100, cents % 100));
    }
    table
}

#[test]
fn the_order_of_generated_houses_is_the_takeoff_with_what_is_built_and_joined() {
    let (mut built, mut couplings, mut rings) = (0, 0, 0);
    for seed in 70_000..70_040 {
        let mut texts = house(seed, Wrong(0));
        let table = prices(&texts, &mut Chance::new(seed));
        texts.push(("prices", table));
        let job = job_of(&texts);
        let more = judge(&format!("seed {seed}"), &job, &estimate(&job));
        (built, couplings, rings) = (built + more.0, couplings + more.1, rings + more.2);
    }
    println!("{built} fittings built, {couplings} couplings added or spared, {rings} lines of rings");
    assert!(built > 200 && couplings > 100 && rings > 200, "{built} {couplings} {rings}");
}

#[test]
fn the_order_of_the_examples_is_the_takeoff_with_what_is_built_and_joined() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut jobs = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let Ok(job) = Job::read(&path) else { continue };
        jobs += 1;
        judge(&path.display().to_string(), &job, &estimate(&job));
    }
    assert!(jobs >= 5);
}
