//! Laws that hold for every pair of jobs: the parts are the whole to the cent, nothing changes against itself, there and
//! back are opposite, and the order of rows says nothing. Tried on the examples and on generated edits.

use std::collections::BTreeMap;
use std::path::Path;

use coilstick::estimate::revision::{ItemChange, Revision};
use coilstick::ground::{Length, LengthUnit};
use coilstick::trade::Job;
use rust_decimal::Decimal;

use crate::house;
use crate::revised;

/// Numbers by chance, the same every time.
struct Chance(u64);

impl Chance {
    fn below(&mut self, many: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap() % many
    }
}

fn house_job() -> Job {
    Job::from_texts(&house::tables())
}

fn key(item: &ItemChange) -> String {
    let named = &item.named;
    format!("{} {} {} {}", named.part, named.system, named.size, named.variant)
}

/// The parts of a revision are its whole, on every level.
fn adds_up(revision: &Revision) {
    let totals = &revision.totals;
    let difference = totals.new - totals.old;
    assert_eq!(totals.adds + totals.deducts + totals.price + totals.unpriced, difference);
    let sum = |of: fn(&ItemChange) -> Decimal| revision.items.iter().map(of).sum::<Decimal>();
    assert_eq!(sum(|item| item.by_quantity), totals.quantity());
    assert_eq!(sum(|item| item.by_price), totals.price);
    assert_eq!(revision.adds().map(|item| item.by_quantity).sum::<Decimal>(), totals.adds);
    assert_eq!(revision.deducts().map(|item| item.by_quantity).sum::<Decimal>(), totals.deducts);
    let cost = |side: &Option<coilstick::estimate::revision::OfSide>| {
        side.as_ref().and_then(|side| side.cost).unwrap_or_default()
    };
    for item in &revision.items {
        let whole = cost(&item.new) - cost(&item.old);
        assert_eq!(item.by_quantity + item.by_price + item.by_unpriced, whole, "{}", key(item));
        assert!(!(item.is_add() && item.is_deduct()));
    }
    let of = |name: &str| revision.bid.iter().find(|line| line.line == name).unwrap();
    assert_eq!(of("material").new - of("material").old, difference);
}

fn by_key(revision: &Revision) -> BTreeMap<String, Decimal> {
    let changed = revision.items.iter().filter(|item| !item.more().is_zero());
    changed.map(|item| (key(item), item.more())).collect()
}

/// Everything that must hold of two jobs.
fn lawful(old: &Job, new: &Job) -> Revision {
    let there = revised(old, new);
    adds_up(&there);
    let back = revised(new, old);
    adds_up(&back);
    if there.totals.price.is_zero() && there.totals.unpriced.is_zero() && there.offers.is_empty() {
        let opposite: BTreeMap<String, Decimal> =
            by_key(&back).into_iter().map(|(key, more)| (key, -more)).collect();
        assert_eq!(by_key(&there), opposite);
        assert_eq!(there.totals.adds, -back.totals.deducts);
    }
    let names = |revision: &Revision| revision.runs.iter().map(|run| run.name.clone()).collect::<Vec<_>>();
    assert_eq!(names(&there), names(&back));
    there
}

fn examples() -> Vec<Job> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let jobs = ["lake-cabin", "counted-by-eye", "guest-lodge/guest-lodge.xlsx"];
    jobs.map(|job| Job::read(&root.join(job)).unwrap()).into()
}

/// Changes one thing of a run list.
fn edit(job: &mut Job, chance: &mut Chance) {
    let at = chance.below(job.runs.len());
    let joined = |name: &str| {
        let named = |other: &Option<std::sync::Arc<str>>| {
            other.as_deref().is_some_and(|one| one.eq_ignore_ascii_case(name))
        };
        job.runs.iter().any(|run| named(&run.joins) || named(&run.to))
    };
    let is_leaf = !joined(&job.runs[at].name) && job.runs[at].joins.is_some();
    match chance.below(4) {
        0 if is_leaf => {
            job.runs.remove(at);
        }
        1 if is_leaf => {
            let mut copy = job.runs[at].clone();
            copy.name = format!("{} again", copy.name).into();
            copy.to = copy.to.map(|to| format!("{to} again").into());
            copy.at = copy.at.and_then(|at| at.checked_sub(Length::whole(1, LengthUnit::Inch)));
            job.runs.push(copy);
        }
        2 => {
            let turns = job.runs[at].turns.unwrap_or(0);
            if job.runs[at].turns.is_some() && job.runs[at].turns_at.is_empty() {
                job.runs[at].turns = Some(turns + 1);
            }
        }
        _ => {
            let more = i64::try_from(chance.below(40)).unwrap() + 1;
            let length = job.runs[at].length;
            job.runs[at].length = length.checked_add(Length::whole(more, LengthUnit::Inch)).unwrap();
        }
    }
}

/// Changes some prices, and drops one now and then.
fn move_prices(job: &mut Job, chance: &mut Chance) {
    for _ in 0..5 {
        let at = chance.below(job.prices.offers.len());
        if chance.below(5) == 0 {
            job.prices.offers.remove(at);
        } else {
            let points = i64::try_from(chance.below(60)).unwrap() - 20;
            let price = &mut job.prices.offers[at].price;
            *price = (*price * Decimal::from(100 + points) / Decimal::from(100)).round_dp(4);
        }
    }
}

#[test]
fn a_job_against_itself_is_empty() {
    for job in examples().into_iter().chain([house_job()]) {
        let revision = lawful(&job, &job);
        assert!(revision.is_empty(), "{:#?}", revision.runs);
    }
}

#[test]
fn the_parts_are_the_whole_and_there_and_back_are_opposite_for_generated_edits() {
    let house = house_job();
    let mut changed = 0;
    for seed in 1..=60 {
        let mut chance = Chance(seed);
        let mut new = house.clone();
        for _ in 0..=chance.below(4) {
            edit(&mut new, &mut chance);
        }
        let revision = lawful(&house, &new);
        changed += usize::from(!revision.is_empty());
        // The same with other prices.
        move_prices(&mut new, &mut chance);
        let revision = lawful(&house, &new);
        assert!(!revision.offers.is_empty());
    }
    assert!(changed > 40, "{changed} edits changed anything");
}

#[test]
fn the_laws_hold_for_edits_of_every_example() {
    for (seed, job) in (1..).zip(examples()) {
        let mut chance = Chance(seed);
        let mut new = job.clone();
        for _ in 0..3 {
            edit(&mut new, &mut chance);
        }
        move_prices(&mut new, &mut chance);
        lawful(&job, &new);
    }
}

#[test]
fn the_order_of_rows_changes_nothing() {
    let house = house_job();
    let mut turned = house.clone();
    turned.runs.reverse();
    assert!(lawful(&house, &turned).is_empty());
    let mut new = house.clone();
    edit(&mut new, &mut Chance(7));
    let mut new_turned = new.clone();
    new_turned.runs.reverse();
    let (one, other) = (revised(&house, &new), revised(&turned, &new_turned));
    assert_eq!(one.items, other.items);
    assert_eq!(one.totals, other.totals);
}

#[test]
fn other_words_for_the_same_thing_are_no_change() {
    let [job, (name, runs), prices, labor, tools] = house::tables();
    let loud = runs.replace("crawl space", "Crawl  Space").replace("hall lavatory", "HALL lavatory");
    let new = Job::from_texts(&[job, (name, &loud), prices, labor, tools]);
    let revision = lawful(&house_job(), &new);
    assert!(revision.is_empty(), "{:#?}", revision.runs);
}

#[test]
fn a_run_of_an_alternate_that_changed_is_a_change_and_so_is_what_the_alternate_costs() {
    const PRICES: &str = "supplier,part,size,price,sold as,pack\nInvented,tube,1/2,20,coil,25 ft\n";
    let job = |length: &str| {
        let runs = format!("run,service,size,length,alternate\nA,cold,1/2,20,\nB,cold,1/2,{length},shed\n");
        Job::from_texts(&[("job", "item,value\ncompare with,none\n"), ("runs", &runs), ("prices", PRICES)])
    };
    let revision = lawful(&job("20"), &job("40"));
    assert!(!revision.is_empty());
    let [run] = &revision.runs[..] else { panic!("{:#?}", revision.runs) };
    assert_eq!(run.name, "B");
    let line = revision.bid.iter().find(|line| line.line == "alternate: shed").unwrap();
    // One coil more, then two.
    assert_eq!((line.old, line.new), (Decimal::from(20), Decimal::from(40)));
}
