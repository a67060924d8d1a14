//! Fittings that are built from others, on a small invented house.

use super::super::fixture::{House, d};
use super::super::{Bought, Market};
use super::*;
use crate::trade::SoldAs;

/// A house that asks for tees of 3/4 x 3/4 x 1/2, with tube of both sizes.
fn house(tees: i64) -> House {
    let mut house = House::new();
    for size in ["1/2", "3/4", "1"] {
        let tube = house.item("tube", &[size], Class::Tube, "");
        house.tube(tube, "10", 1, false);
        house.length("Invented Supply", size, SoldAs::Coil, 100, "50.00");
    }
    let tee = house.item("tee", &["3/4", "3/4", "1/2"], Class::Fitting, "");
    house.need(tee, tees);
    house.item("reducing coupling", &["3/4", "1/2"], Class::Fitting, "");
    house
}

fn sum_of(house: &House, bought: &Bought, name: &str, sizes: &[&str]) -> (Decimal, Decimal) {
    let mut items = house.items.clone();
    build(&Market::open(&house.job), &mut items, &house.takeoff());
    let sizes: Vec<Word> = sizes.iter().map(|size| house.lexicon.find(size).unwrap()).collect();
    let is_it = |line: &&crate::estimate::order::OrderLine| {
        let item = items.get(line.item);
        &*house.catalog.part(item.part).name == name && item.sizes.as_slice() == sizes
    };
    let line = bought.order.iter().find(is_it).unwrap();
    (line.need, line.by_plan)
}

#[test]
fn a_tee_that_nobody_sells_is_built_from_the_cheapest_that_is_sold() {
    let mut house = house(3);
    // A tee of 1 with three couplings is dearer than one of 3/4 with one.
    house.offer("Invented Supply", "tee", &["1"], "2.00");
    house.offer("Invented Supply", "tee", &["3/4"], "2.50");
    house.offer("Invented Supply", "reducing coupling", &["1", "3/4"], "1.50");
    house.offer("Invented Supply", "reducing coupling", &["1", "1/2"], "1.50");
    house.offer("Invented Supply", "reducing coupling", &["3/4", "1/2"], "1.00");
    let bought = house.buy();
    let [built] = &bought.built[..] else { panic!("{:?}", bought.built) };
    assert_eq!((built.count, built.joints()), (3, 2));
    assert_eq!(sum_of(&house, &bought, "tee", &["3/4", "3/4", "1/2"]), (d("0"), d("-3")));
    assert_eq!(sum_of(&house, &bought, "tee", &["3/4", "3/4", "3/4"]), (d("3"), d("3")));
    assert_eq!(sum_of(&house, &bought, "reducing coupling", &["3/4", "1/2"]), (d("3"), d("3")));
    // Three pieces of 2 in. between the tees and the couplings are half a foot of tube.
    assert_eq!(sum_of(&house, &bought, "tube", &["3/4"]), (d("10.5"), d("0.5")));
    let kinds: Vec<_> = bought.notices.iter().map(|notice| notice.kind).collect();
    assert_eq!(kinds, ["built-from-others"]);
    // Three coils, 3 x 2.50, 3 x 1.00.
    assert_eq!(bought.plan.cost, d("160.50"));
}

#[test]
fn ends_balance_in_what_is_built() {
    let mut house = house(1);
    house.offer("Invented Supply", "tee", &["1"], "2.00");
    house.offer("Invented Supply", "reducing coupling", &["1", "3/4"], "1.50");
    house.offer("Invented Supply", "reducing coupling", &["3/4", "1/2"], "1.00");
    let mut items = house.items.clone();
    let built = build(&Market::open(&house.job), &mut items, &house.takeoff());
    let [built] = &built[..] else { panic!("{built:?}") };
    // A tee of 1 thrice, reduced to 3/4, 3/4 and by two couplings to 1/2.
    let sockets = |size: &str| {
        let size = house.lexicon.find(size).unwrap();
        built.fittings.iter().flat_map(|(_, ports)| ports).filter(|port| **port == size).count()
    };
    let ends = |size: &str| {
        let size = house.lexicon.find(size).unwrap();
        built.stubs.iter().filter(|(tube, _)| items.get(*tube).sizes.as_slice() == [size]).count() * 2
    };
    let open = ["1", "3/4", "1/2"].map(|size| sockets(size) - ends(size));
    assert_eq!(open, [0, 2, 1], "what the runs put their ends into");
    assert_eq!(built.joints(), 8);
}

#[test]
fn a_long_reduction_is_built_from_two_couplings() {
    let mut house = house(0);
    let long = house.item("reducing coupling", &["1", "1/2"], Class::Fitting, "");
    house.need(long, 2);
    house.offer("Invented Supply", "reducing coupling", &["1", "3/4"], "1.50");
    house.offer("Invented Supply", "reducing coupling", &["3/4", "1/2"], "1.00");
    let bought = house.buy();
    assert_eq!(bought.built[0].joints(), 2);
    assert_eq!(sum_of(&house, &bought, "reducing coupling", &["1", "1/2"]), (d("0"), d("-2")));
    assert_eq!(sum_of(&house, &bought, "reducing coupling", &["1", "3/4"]), (d("2"), d("2")));
}

#[test]
fn what_is_sold_is_built_only_where_the_job_allows_it_and_it_costs_less() {
    for (allowed, built) in [(Substitutes::Needed, 0), (Substitutes::Cheaper, 1), (Substitutes::None, 0)] {
        let mut house = house(3);
        house.terms.substitutes = allowed;
        house.offer("Invented Supply", "tee", &["3/4", "1/2"], "9.00");
        house.offer("Invented Supply", "tee", &["3/4"], "2.50");
        house.offer("Invented Supply", "reducing coupling", &["3/4", "1/2"], "1.00");
        assert_eq!(house.buy().built.len(), built, "{allowed:?}");
    }
}

#[test]
fn where_nothing_can_make_it_a_fitting_is_not_priced() {
    let mut house = house(3);
    house.offer("Invented Supply", "tee", &["3/4"], "2.50");
    let bought = house.buy();
    assert_eq!((bought.built.len(), bought.notices[0].kind), (0, "not-priced"));
}
