//! Fittings that are built from others, on a small invented house.

use rust_decimal::Decimal;

use super::fixture::{House, d};
use crate::estimate::buying::{Bought, Market, make_up};
use crate::estimate::{Items, Substitute};
use crate::search::Dice;
use crate::trade::{Class, SoldAs, Substitutes, Word};

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

/// The items with those that only making up needs, and what is made up.
fn made_up(house: &House) -> (Items, Vec<Substitute>) {
    let mut items = house.items.clone();
    let made_up = make_up(&Market::open(&house.job), &mut items, &house.takeoff());
    (items, made_up)
}

fn sum_of(house: &House, bought: &Bought, name: &str, sizes: &[&str]) -> (Decimal, Decimal) {
    let (items, _) = made_up(house);
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
    let (_, built) = made_up(&house);
    let [built] = &built[..] else { panic!("{built:?}") };
    // A tee of 1 thrice, reduced to 3/4, 3/4 and by two couplings to 1/2.
    let sockets = |size: &str| {
        let size = house.lexicon.find(size).unwrap();
        built.fittings.iter().flat_map(|(_, ports)| ports).filter(|port| **port == size).count()
    };
    let ends = |size: &str| {
        let size = house.lexicon.find(size).unwrap();
        built.stubs.iter().filter(|stub| stub.size == size).count() * 2
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
        house.settings.substitutes = allowed;
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

/// A tee of 3/4 with one coupling, or one of 1 with three: by unit prices the first costs less.
fn two_ways(tees: i64) -> House {
    let mut house = house(tees);
    house.bag("Invented Supply", "tee", &["3/4"], 25, "25.00");
    house.offer("Invented Supply", "tee", &["1"], "4.00");
    house.offer("Invented Supply", "reducing coupling", &["3/4", "1/2"], "1.00");
    house.offer("Invented Supply", "reducing coupling", &["1", "3/4"], "1.00");
    house.offer("Invented Supply", "reducing coupling", &["1", "1/2"], "1.00");
    house
}

#[test]
fn the_way_that_costs_least_in_whole_packs_is_taken() {
    let named = |house: &House, bought: &Bought| {
        let (items, _) = made_up(house);
        let sizes = items.get(bought.built[0].fittings[0].0).sizes;
        house.lexicon.text(sizes.as_slice()[0]).to_owned()
    };
    // One: a bag of 25 and a coupling are 26.00; a tee of 1 at 4.00 and three couplings are 7.00.
    let house = two_ways(1);
    let bought = house.buy();
    assert_eq!((&*named(&house, &bought), bought.plan.cost), ("1", d("157.00")));
    // The next is a tee of 1 whose branch goes from 1 to 3/4 to 1/2: a coupling more.
    let why = &bought.built[0].why;
    assert_eq!((why.ways, why.instead.as_ref().unwrap().more), (3, d("1.00")));
    // Five: 25.00 and five couplings are 30.00 against 35.00.
    let house = two_ways(5);
    let bought = house.buy();
    assert_eq!((&*named(&house, &bought), bought.plan.cost), ("3/4", d("180.00")));
    // One, with a tee of 3/4 on the shelf: a coupling is all that is bought.
    let mut house = two_ways(1);
    house.shelf("tee", "3/4", "1", None);
    let bought = house.buy();
    assert_eq!((&*named(&house, &bought), bought.plan.cost), ("3/4", d("151.00")));
}

#[test]
fn what_the_shelf_has_is_used_and_the_rest_is_built() {
    let mut house = two_ways(5);
    house.shelf("tee", "3/4", "2", None);
    // The row of the shelf is of another size: a tee of 3/4 and none of those that are asked for.
    assert_eq!(house.buy().built[0].count, 5);
    house.job.on_hand[0].sizes = ["3/4", "3/4", "1/2"].map(|size| house.lexicon.find(size).unwrap()).into();
    let bought = house.buy();
    assert_eq!(bought.built[0].count, 3);
    assert_eq!(sum_of(&house, &bought, "tee", &["3/4", "3/4", "1/2"]), (d("2"), d("-3")));
    assert!(bought.order.iter().all(|line| line.extended.is_some()));
    // An allowance is in what the rest is built from, and asks for no third of what is on the shelf.
    house.settings.allowances.push((Class::Fitting, d("10"), None));
    let bought = house.buy();
    assert_eq!((bought.built[0].count, bought.built[0].from_shelf), (3, 2));
    assert!(bought.order.iter().all(|line| line.extended.is_some()));
}

#[test]
fn each_short_piece_is_cut_on_the_run_where_its_fitting_stands() {
    let mut house = house(0);
    let tee = house.item("tee", &["3/4", "3/4", "1/2"], Class::Fitting, "");
    for run in [0, 2, 2] {
        house.line(tee, 1, None, run, crate::trade::Phase::RoughIn, None);
    }
    house.offer("Invented Supply", "tee", &["3/4"], "2.50");
    house.offer("Invented Supply", "reducing coupling", &["3/4", "1/2"], "1.00");
    house.shelf("tee", "3/4", "1", None);
    let on_runs = |house: &House| {
        made_up(house).1[0].cut.iter().map(|piece| (piece.run.0, piece.copies)).collect::<Vec<_>>()
    };
    assert_eq!(on_runs(&house), [(0, 1), (2, 1), (2, 1)]);
    // One from the shelf goes to the first.
    house.job.on_hand[0].sizes = ["3/4", "3/4", "1/2"].map(|size| house.lexicon.find(size).unwrap()).into();
    assert_eq!(on_runs(&house), [(2, 1), (2, 1)]);
}

#[test]
fn a_fitting_that_asks_for_a_delivery_of_its_own_may_cost_less_built() {
    let mut house = house(1);
    house.settings.substitutes = Substitutes::Cheaper;
    // 3.00 there and a delivery of 20.00, against 3.50 here; without the fee it is bought.
    house.offer("Far Supply", "tee", &["3/4", "3/4", "1/2"], "3.00");
    house.offer("Invented Supply", "tee", &["3/4"], "2.50");
    house.offer("Invented Supply", "reducing coupling", &["3/4", "1/2"], "1.00");
    assert_eq!((house.buy().built.len(), house.buy().plan.cost), (0, d("153.00")));
    house.supplier("Far Supply", "20", "0");
    let bought = house.buy();
    assert_eq!((bought.built.len(), bought.plan.cost), (1, d("153.50")));
    assert_eq!(bought.built[0].why.instead.as_ref().unwrap().more, d("19.50"));
}

/// Whatever the packs, fees and shelf: the way that is chosen is the one whose order comes to least, tried by leaving
/// out of the price list every other tee that it could be made up from.
#[test]
fn no_other_way_would_have_made_the_order_cheaper() {
    let mut dice = Dice::new(1);
    let mut other_than_by_unit = 0;
    for case in 0..60 {
        let mut sold = Vec::new();
        for supplier in ["Alder", "Birch"] {
            for (part, sizes) in [
                ("tee", &["3/4"][..]),
                ("tee", &["1"]),
                ("reducing coupling", &["3/4", "1/2"]),
                ("reducing coupling", &["1", "3/4"]),
                ("reducing coupling", &["1", "1/2"]),
            ] {
                let pack = [1, 5, 10][dice.below(3)];
                let price = Decimal::from((80 + dice.below(300)) * pack) / Decimal::from(100);
                sold.push((supplier, part, sizes, i64::try_from(pack).unwrap(), price.to_string()));
            }
        }
        let (tees, fee, shelf) = (1 + dice.below(6), dice.below(12).to_string(), dice.below(3).to_string());
        let with = |without: &[&str]| {
            let mut house = house(i64::try_from(tees).unwrap());
            for (supplier, part, sizes, pack, price) in &sold {
                if *part != "tee" || *sizes != without {
                    house.bag(supplier, part, sizes, *pack, price);
                }
            }
            house.shelf("tee", "3/4", &shelf, None);
            house.supplier("Birch", &fee, "0");
            house.buy()
        };
        let free = with(&[]).plan.cost;
        for without in ["3/4", "1"] {
            let forced = with(&[without]);
            assert_eq!(forced.built.len(), 1, "{case}");
            assert!(free <= forced.plan.cost, "{case}: {free} and {}", forced.plan.cost);
            other_than_by_unit += usize::from(free < forced.plan.cost);
        }
    }
    assert!(other_than_by_unit > 30, "{other_than_by_unit}");
}
