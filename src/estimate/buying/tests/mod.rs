//! Buying on a small invented house: allowances, matching, days, units, suppliers, tube, what is held and on hand.

pub(in crate::estimate) mod fixture;
mod substitution;

use super::*;
use crate::estimate::{CostLine, Item, ItemId};
use crate::ground::{Date, Length, LengthUnit};
use crate::trade::{Class, Pack, Phase, PricedPer, SoldAs};
use fixture::{House, d};

fn only_line(house: &House) -> (OrderLine, Vec<Notice>) {
    let bought = house.buy();
    let [line] = &bought.order[..] else { panic!("{:?}", bought.order) };
    (line.clone(), bought.notices)
}

fn kinds(notices: &[Notice]) -> Vec<&'static str> {
    notices.iter().map(|notice| notice.kind).collect()
}

/// A house that needs so many of a part.
fn needing(part: &str, sizes: &[&str], class: Class, count: i64) -> House {
    let mut house = House::new();
    let item = house.item(part, sizes, class, "");
    house.need(item, count);
    house
}

fn of_elbows(count: i64) -> House {
    needing("elbow", &["3/4"], Class::Fitting, count)
}

/// A house of pieces of tube, so many feet long and so many.
fn of_tube(pieces: &[(&str, u32)]) -> (House, ItemId) {
    let mut house = House::new();
    let tube = house.item("tube", &["3/4"], Class::Tube, "");
    pieces.iter().for_each(|(feet, copies)| house.tube(tube, feet, *copies, false));
    (house, tube)
}

fn with_allowance(class: Class, points: &str) -> House {
    let mut house = House::new();
    house.settings.allowances.push((class, d(points), None));
    house
}

#[test]
fn an_allowance_is_taken_on_the_total_of_a_part_and_rounded_up_once() {
    for (need, allow) in [(100, "10"), (105, "11"), (1, "1")] {
        let mut house = with_allowance(Class::Fitting, "10");
        let elbow = house.item("elbow", &["3/4"], Class::Fitting, "");
        // In many lines: one by one each would be rounded up to 2.
        (0..need).for_each(|_| house.need(elbow, 1));
        house.offer("Invented Supply", "elbow", &["3/4"], "1.00");
        let (line, _) = only_line(&house);
        assert_eq!(line.allow, d(allow));
        assert_eq!(line.picks[0].buy, line.need + line.allow);
    }
}

#[test]
fn a_part_of_which_fewer_are_needed_than_the_job_says_has_no_allowance() {
    for (need, allow) in [(1, "0"), (9, "0"), (10, "1"), (11, "1")] {
        let mut house = with_allowance(Class::Fitting, "5");
        house.settings.no_allowance_under.push((Class::Fitting, d("10")));
        let elbow = house.item("elbow", &["3/4"], Class::Fitting, "");
        house.need(elbow, need);
        house.offer("Invented Supply", "elbow", &["3/4"], "1.00");
        let (line, _) = only_line(&house);
        assert_eq!((line.allow, line.allowance.is_zero()), (d(allow), need < 10), "{need}");
    }
}

#[test]
fn devices_have_no_allowance() {
    let mut house = needing("washer box", &["1/2"], Class::Device, 10);
    house.settings.allowances.push((Class::Device, d("10"), None));
    house.offer("Invented Supply", "washer box", &["1/2"], "20");
    assert_eq!(only_line(&house).0.extended, Some(d("200")));
}

#[test]
fn what_is_bought_is_need_and_allowance_and_what_is_left_over() {
    let mut house = needing("clamp ring", &["3/4"], Class::Ring, 171);
    house.settings.allowances.push((Class::Ring, d("5"), None));
    house.bag("Invented Supply", "clamp ring", &["3/4"], 100, "30.00");
    house.bag("Invented Supply", "clamp ring", &["3/4"], 25, "9.00");
    let (line, _) = only_line(&house);
    // 180 with the allowance: 100 + 4 bags of 25 are 66.00, two of 100 are 60.00.
    assert_eq!(line.extended, Some(d("60.00")));
    let [pick] = &line.picks[..] else { panic!("{line:?}") };
    assert_eq!((pick.need, pick.allow, pick.left_over, pick.packs), (d("171"), d("9"), d("20"), d("2")));
}

#[test]
fn the_cheapest_supplier_is_taken_then_the_one_with_fewer_packs_then_the_first_by_name() {
    let mut house = of_elbows(50);
    house.bag("Zeta", "elbow", &["3/4"], 25, "10.00");
    house.bag("Beta", "elbow", &["3/4"], 50, "20.00");
    house.bag("Alpha", "elbow", &["3/4"], 50, "20.00");
    house.bag("Dear", "elbow", &["3/4"], 50, "20.01");
    let (line, _) = only_line(&house);
    let offer = &house.prices.offers[line.picks[0].offer.0 as usize];
    assert_eq!(house.lexicon.text(offer.supplier), "Alpha");
}

#[test]
fn a_tee_matches_with_its_runs_turned_and_by_its_other_names_and_a_branch_is_no_run() {
    for (name, sizes, is_it) in [
        ("Branch  TEE", ["1", "3/4", "1/2"], true),
        ("Branch  TEE", ["3/4", "1", "1/2"], true),
        ("tee", ["1", "1/2", "3/4"], false),
    ] {
        let mut house = needing("tee", &["1", "3/4", "1/2"], Class::Fitting, 1);
        house.offer("Invented Supply", name, &sizes, "4.00");
        let (line, notices) = only_line(&house);
        assert_eq!(line.extended, is_it.then(|| d("4.00")), "{sizes:?}");
        assert_eq!(kinds(&notices).contains(&"not-priced"), !is_it, "{sizes:?}");
    }
}

#[test]
fn one_size_means_all_ports_and_two_are_run_and_branch() {
    let mut house = House::new();
    let even = house.item("tee", &["3/4", "3/4", "3/4"], Class::Fitting, "");
    let reduced = house.item("tee", &["3/4", "3/4", "1/2"], Class::Fitting, "");
    house.need(even, 1);
    house.need(reduced, 1);
    house.offer("Invented Supply", "tee", &["3/4"], "3.00");
    house.offer("Invented Supply", "tee", &["3/4", "1/2"], "5.00");
    let sums: Vec<_> = house.buy().order.iter().map(|line| line.extended).collect();
    // In the order shown: the smaller branch first.
    assert_eq!(sums, [Some(d("5.00")), Some(d("3.00"))]);
}

#[test]
fn an_offer_for_another_system_is_none_and_one_for_the_family_is() {
    for (system, sum) in [("copper", None), ("pex", Some(d("1"))), ("PEX-clamp", Some(d("1")))] {
        let mut house = of_elbows(1);
        let word = house.lexicon.word(system);
        house.offer("Invented Supply", "elbow", &["3/4"], "1").systems = [word].into();
        assert_eq!(only_line(&house).0.extended, sum, "{system}");
    }
}

#[test]
fn an_open_variant_competes_by_price_with_an_exact_one_and_another_is_never_taken() {
    let mut house = House::new();
    let brass = house.lexicon.word("brass");
    let plastic = house.lexicon.word("plastic");
    let elbow = house.item("elbow", &["3/4"], Class::Fitting, "");
    let item = Item { variant: brass, ..*house.items.get(elbow) };
    let elbow = house.items.id(item);
    house.need(elbow, 1);
    house.offer("Invented Supply", "elbow", &["3/4"], "1.00");
    house.offer("Invented Supply", "elbow", &["3/4"], "3.00").variant = brass;
    house.offer("Invented Supply", "elbow", &["3/4"], "0.10").variant = plastic;
    assert_eq!(only_line(&house).0.extended, Some(d("1.00")));
    house.offer("Invented Supply", "elbow", &["3/4"], "0.90").variant = brass;
    assert_eq!(only_line(&house).0.extended, Some(d("0.90")));
}

#[test]
fn offers_that_are_out_of_date_are_noticed_and_not_used() {
    let mut house = of_elbows(1);
    house.settings.date = Date::new(2026, 3, 1);
    house.offer("Invented Supply", "elbow", &["3/4"], "1.00").good_until = Date::new(2026, 2, 28);
    house.offer("Invented Supply", "elbow", &["3/4"], "2.00").good_from = Date::new(2026, 3, 2);
    house.offer("Invented Supply", "elbow", &["3/4"], "3.00").good_until = Date::new(2026, 3, 1);
    let (line, notices) = only_line(&house);
    assert_eq!(line.extended, Some(d("3.00")));
    assert_eq!(kinds(&notices), ["offer-expired", "offer-not-yet-good"]);
    let spots: Vec<String> = notices[0].spots.iter().map(ToString::to_string).collect();
    assert_eq!(spots, ["prices.csv:row 2", "runs.csv:row 7"]);
    house.settings.date = None;
    assert_eq!(only_line(&house).0.extended, Some(d("1.00")));
}

#[test]
fn a_unit_that_does_not_fit_is_noticed_and_not_used() {
    let (mut house, _) = of_tube(&[("10", 1)]);
    house.offer("Invented Supply", "tube", &["3/4"], "40.00");
    let elbow = house.item("elbow", &["3/4"], Class::Fitting, "");
    house.need(elbow, 1);
    house.offer("Invented Supply", "elbow", &["3/4"], "1.00").per =
        PricedPer::Length(Length::whole(1, LengthUnit::Foot));
    let bought = house.buy();
    assert!(bought.order.iter().all(|line| line.extended.is_none()));
    assert_eq!(kinds(&bought.notices), ["offer-unit", "offer-unit", "not-priced", "not-priced"]);
}

#[test]
fn the_same_offer_twice_is_noticed() {
    let mut house = of_elbows(1);
    house.offer("Invented Supply", "elbow", &["3/4"], "1.00");
    house.offer("Invented Supply", "elbow", &["3/4"], "2.00");
    let (line, notices) = only_line(&house);
    assert_eq!((line.extended, kinds(&notices)), (Some(d("1.00")), vec!["offer-twice"]));
}

#[test]
fn a_fitting_that_nobody_sells_is_not_priced_and_the_notice_says_what_could_make_it() {
    let mut house = needing("tee", &["1", "3/4", "1/2"], Class::Fitting, 2);
    house.item("reducing coupling", &["1", "3/4"], Class::Fitting, "");
    house.offer("Invented Supply", "tee", &["1", "1", "3/4"], "4.00");
    house.offer("Invented Supply", "tee", &["1", "1", "1"], "3.00");
    house.offer("Invented Supply", "reducer", &["1", "3/4"], "2.00");
    house.offer("Invented Supply", "reducer", &["3/4", "1/2"], "2.00");
    let (line, notices) = only_line(&house);
    assert_eq!((line.extended, kinds(&notices)), (None, vec!["not-priced"]));
    assert_eq!(
        notices[0].remedy,
        "add a row with its price to the price list; it could be made from tee 1 x 1 x 3/4 with \
         reducing couplings 1 x 3/4 and 3/4 x 1/2"
    );
    assert!(notices[0].found.contains("nearest offers: tee 1 x 1 x 3/4 of Invented Supply"), "{notices:?}");
}

#[test]
fn solder_is_bought_by_the_roll() {
    let mut house = with_allowance(Class::Consumable, "10");
    let row = house.joint_row("solder", "0.261", "lb", 100);
    let solder = house.item("solder", &[], Class::Consumable, "lb");
    house.line(solder, 400, Some(row), 0, Phase::RoughIn, None);
    for (pounds, price) in [("1", "30.00"), ("0.5", "16.00")] {
        let offer = house.offer("Invented Supply", "solder", &[], price);
        (offer.sold_as, offer.pack, offer.per) = (SoldAs::Bag, Pack::Amount(d(pounds)), PricedPer::Pack);
    }
    let (line, _) = only_line(&house);
    // 4 x 0.261 are 1.044, with 10 % 1.1484: one roll of 1 lb and one of 0.5.
    assert_eq!((line.need, line.allow, line.extended), (d("1.044"), d("0.1044"), Some(d("46.00"))));
    assert_eq!(line.picks.len(), 2);
    assert_eq!(line.picks[1].left_over, d("0.3516"));
}

#[test]
fn stock_on_hand_is_used_first() {
    let mut house = of_elbows(10);
    house.offer("Invented Supply", "elbow", &["3/4"], "1.00");
    for (there, bought) in [("4", "6"), ("40", "0")] {
        house.on_hand.clear();
        house.shelf("elbow", "3/4", there, None);
        let line = &house.buy().order[0];
        assert_eq!(line.extended, Some(d(bought)));
        assert_eq!(line.on_hand, d(there).min(d("10")));
    }
}

#[test]
fn held_packs_are_kept_and_the_smallest_fills_the_rest() {
    let mut house = needing("clamp ring", &["3/4"], Class::Ring, 171);
    house.bag("Dear", "clamp ring", &["3/4"], 100, "90.00");
    house.bag("Dear", "clamp ring", &["3/4"], 25, "29.00");
    house.bag("Cheap", "clamp ring", &["3/4"], 25, "1.00");
    house.hold("clamp ring", "3/4", 0, 1);
    house.hold("clamp ring", "3/4", 1, 7);
    let line = &house.buy().order[0];
    let packs: Vec<_> = line.picks.iter().map(|pick| pick.packs).collect();
    assert_eq!(packs, [d("1"), d("3")]);
    assert_eq!(line.extended, Some(d("177.00")));
}

#[test]
fn tube_is_cut_from_the_coils_of_one_supplier() {
    let (mut house, _) = of_tube(&[("60", 2), ("40", 1)]);
    house.length("Invented Supply", "3/4", SoldAs::Coil, 100, "50.00");
    house.length("Invented Supply", "3/4", SoldAs::Coil, 300, "120.00");
    let bought = house.buy();
    let line = &bought.order[0];
    // 160 ft in two coils of 100: 60 + 40 and 60.
    assert_eq!((line.extended, line.need), (Some(d("100.00")), d("160")));
    assert_eq!(line.picks[0].left_over, d("40"));
    let plan = &bought.plans[0];
    assert!(plan.is_least());
    let cut: u64 =
        plan.cuttings.iter().map(|c| c.times * c.pieces.iter().map(|p| p.number).sum::<u64>()).sum();
    assert_eq!((cut, plan.extra_couplings), (3, 0));
    assert_eq!(CostLine::of(house.items.get(line.item).class), CostLine::Tube);
}

#[test]
fn a_piece_longer_than_every_coil_is_joined_unless_it_must_not_be() {
    let (mut house, tube) = of_tube(&[("250", 2)]);
    house.length("Invented Supply", "3/4", SoldAs::Coil, 100, "50.00");
    let bought = house.buy();
    // Two of 250 ft: four whole coils and two halves in a fifth.
    assert_eq!(bought.order[0].extended, Some(d("250.00")));
    assert_eq!(bought.plans[0].extra_couplings, 4);
    assert_eq!(kinds(&bought.notices), ["couplings-by-plan"]);

    house.tube(tube, "101", 1, true);
    let Bought { order, plans, notices, .. } = house.buy();
    assert_eq!((order[0].extended, plans.len()), (None, 0));
    assert!(notices[0].found.contains("a piece of tube 3/4 (pex-clamp) of 101 ft"), "{notices:?}");
}

#[test]
fn longer_sticks_than_the_system_is_handled_in_spare_couplings() {
    let (mut house, _) = of_tube(&[("20", 3)]);
    house.catalog.systems[0].stock_length = Some(Length::whole(10, LengthUnit::Foot));
    house.length("Invented Supply", "3/4", SoldAs::Stick, 20, "30.00");
    let bought = house.buy();
    assert_eq!((bought.order[0].extended, bought.plans[0].extra_couplings), (Some(d("90.00")), -3));
}

#[test]
fn pieces_are_cut_from_sticks_to_their_exact_length() {
    let mut house = House::new();
    let tube = house.item("tube", &["1/2"], Class::Tube, "");
    // Eight pieces of 1.25 ft and a hair less than an inch fit one stick of 10 ft only if nothing is rounded up.
    house.tube(tube, "1.25", 8, false);
    house.length("Invented Supply", "1/2", SoldAs::Stick, 10, "9.00");
    assert_eq!(house.buy().order[0].extended, Some(d("9.00")));
}

#[test]
fn loose_tube_takes_the_allowance_and_goes_by_whole_feet() {
    let (mut house, _) = of_tube(&[("100.5", 1)]);
    house.settings.allowances.push((Class::Tube, d("10"), None));
    let offer = house.offer("Invented Supply", "tube", &["3/4"], "0.50");
    offer.per = PricedPer::Length(Length::whole(1, LengthUnit::Foot));
    let (line, _) = only_line(&house);
    // 110.55 with the allowance, 111 ft.
    assert_eq!((line.extended, line.allow, line.picks[0].left_over), (Some(d("55.50")), d("10.5"), d("0")));
}

#[test]
fn offcuts_on_the_shelf_are_cut_first_and_cost_nothing() {
    let (mut house, _) = of_tube(&[("30", 2)]);
    house.length("Invented Supply", "3/4", SoldAs::Coil, 50, "25.00");
    let length = Some(Length::whole(35, LengthUnit::Foot));
    house.shelf("tube", "3/4", "1", length);
    let bought = house.buy();
    let line = &bought.order[0];
    assert_eq!((line.extended, line.on_hand, line.picks[0].left_over), (Some(d("25.00")), d("30"), d("20")));
}

#[test]
fn held_coils_are_kept_even_where_fewer_would_do() {
    let (mut house, _) = of_tube(&[("60", 2)]);
    house.length("Invented Supply", "3/4", SoldAs::Coil, 100, "50.00");
    house.length("Invented Supply", "3/4", SoldAs::Coil, 300, "120.00");
    house.hold("tube", "3/4", 1, 1);
    let bought = house.buy();
    assert_eq!(bought.order[0].extended, Some(d("120.00")));
    assert_eq!((bought.plans[0].cost, bought.plans[0].bound), (d("120"), d("100")));
    house.held[0].packs = Some(0);
    let bought = house.buy();
    assert_eq!(kinds(&bought.notices), ["held-lengths-too-few"]);
}

#[test]
fn a_break_on_coils_is_reached_where_that_costs_less() {
    let (mut house, _) = of_tube(&[("100", 9)]);
    house.length("Invented Supply", "3/4", SoldAs::Coil, 100, "10.00").breaks = [(10, d("8.00"))].into();
    let bought = house.buy();
    assert_eq!((bought.order[0].extended, bought.order[0].picks[0].packs), (Some(d("80.00")), d("10")));
}
