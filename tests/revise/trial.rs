//! Prices tried without a new list, choices held and made anew.

use coilstick::estimate::estimate;
use coilstick::estimate::revision::revise;
use coilstick::estimate::trial::{hold, try_price};
use coilstick::trade::Job;
use rust_decimal::Decimal;

use crate::{house, side};

fn job() -> Job {
    Job::from_texts(&house::tables())
}

/// The price of the first offer with a code.
fn price(job: &Job, code: &str) -> Decimal {
    job.prices.offers.iter().find(|offer| &*offer.code == code).unwrap().price
}

fn d(text: &str) -> Decimal {
    Decimal::from_str_exact(text).unwrap()
}

#[test]
fn a_part_and_what_narrows_it_name_the_offers_that_move() {
    let mut tried = job();
    try_price(&mut tried, "tube, copper", "12").unwrap();
    // 3.41 x 1.12 = 3.8192.
    assert_eq!(price(&tried, "L100"), d("3.8192"));
    assert_eq!(price(&tried, "T100"), d("92.5"));
    let mut tried = job();
    try_price(&mut tried, " Tube , PEX, 1 ", "-5 %").unwrap();
    assert_eq!((price(&tried, "T100"), price(&tried, "T75")), (d("87.875"), d("0.52")));
    for (words, code) in [
        ("tubes, copper-solder, type l, 3/4", "L75"),
        ("fittings, F13", "F13"),
        ("tee, 3/4 x 3/4 x 1/2, pex", "F13"),
        ("all, Harbor Pipe (invented)", "V75"),
        ("valves", "V75"),
    ] {
        let mut tried = job();
        try_price(&mut tried, words, "+10").unwrap();
        assert_eq!(price(&tried, code), (price(&job(), code) * d("1.1")).normalize(), "{words}");
    }
}

#[test]
fn breaks_move_with_the_price_and_discounts_stay() {
    let mut tried = job();
    try_price(&mut tried, "elbow, copper, 1/2", "10").unwrap();
    let offer = tried.prices.offers.iter().find(|offer| &*offer.code == "E50").unwrap();
    assert_eq!((offer.price, offer.breaks[0].1), (d("0.682"), d("0.605")));
    let mut tried = job();
    try_price(&mut tried, "tee, F13", "10").unwrap();
    let offer = tried.prices.offers.iter().find(|offer| &*offer.code == "F13").unwrap();
    assert_eq!(&*offer.discount, [d("25"), d("15")]);
}

#[test]
fn what_nothing_is_called_is_answered_with_the_nearest_names() {
    let said = |words: &str, points: &str| try_price(&mut job(), words, points).unwrap_err().to_string();
    assert!(said("copper tube", "12").contains("\"tube, copper\""), "{}", said("copper tube", "12"));
    assert!(said("elbo", "12").contains("\"elbow\""));
    assert!(said("tube, coper", "12").contains("\"copper\""));
    assert!(said("tube, type L", "much").contains("12 or -5"));
    assert!(said("tube", "-100").contains("above -100"));
    assert!(said("tube, pex, type L", "5").contains("nothing would change"));
    assert!(said(" , ", "5").contains("names no part"));
    // Nothing is changed where anything is refused.
    let mut tried = job();
    assert!(try_price(&mut tried, "elbo", "12").is_err());
    assert_eq!(price(&tried, "E50"), price(&job(), "E50"));
}

#[test]
fn every_output_says_that_the_prices_are_not_real() {
    let mut tried = job();
    try_price(&mut tried, "all", "10").unwrap();
    let estimated = estimate(&tried);
    let [workbook, _, order, _, _, comparison, bid, owner, owner_json, _, orders, _, _, _, json] =
        coilstick::report::bytes(&tried, &estimated).unwrap();
    let words = "NOT REAL PRICES, changed for a trial: all +10 %";
    let order = String::from_utf8(order).unwrap();
    let rows: Vec<&str> = order.lines().skip(1).collect();
    assert!(rows.len() > 5 && rows.iter().all(|row| row.contains(words)), "{rows:#?}");
    for text in [orders, comparison, bid, owner, owner_json] {
        assert!(String::from_utf8(text).unwrap().contains(words));
    }
    let json: serde_json::Value = serde_json::from_slice(&json).unwrap();
    assert_eq!(json["prices"], words);
    assert!(json["notices"].as_array().unwrap().iter().any(|notice| notice["kind"] == "prices-changed"));
    let book = crate::engine::Opened::new(&workbook);
    for sheet in ["Order", "Comparison", "Prices", "Used", "Settings", "Bid inside"] {
        book.find(sheet, &format!("{sheet}  (NOT REAL PRICES)"));
    }
    book.find("Summary", &format!("{words}. Nothing here is to be ordered or bid by."));
    // And where nothing is tried nothing says so.
    let real = job();
    let [_, _, order, ..] = coilstick::report::bytes(&real, &estimate(&real)).unwrap();
    assert!(!String::from_utf8(order).unwrap().contains("NOT REAL"));
}

#[test]
fn the_workbook_of_a_trial_recalculates_to_the_tried_sums() {
    let mut tried = job();
    try_price(&mut tried, "all", "12.5").unwrap();
    let [workbook, ..] = coilstick::report::bytes(&tried, &estimate(&tried)).unwrap();
    let mut book = crate::engine::Opened::new(&workbook);
    let cached = book.formulas();
    book.recalculate();
    let wrong = crate::engine::differences(&book.formulas(), &cached);
    assert!(wrong.is_empty(), "{:#?}", &wrong[..wrong.len().min(8)]);
}

#[test]
fn held_choices_stay_and_free_ones_go_where_it_is_cheaper() {
    // Ten rings of the smaller bag cost less than one of ten now: rings are bought otherwise, unless they are held.
    let real = job();
    let chosen = estimate(&real);
    let before = side(&real, &chosen);
    let (mut free, mut held) = (job(), job());
    hold(&mut held, before, true);
    for tried in [&mut free, &mut held] {
        try_price(tried, "clamp ring, R50X", "300").unwrap();
    }
    let (free_estimate, held_estimate) = (estimate(&free), estimate(&held));
    let material = |estimate: &coilstick::estimate::Estimate| estimate.alternatives[0].cost.material;
    assert!(material(&free_estimate) < material(&held_estimate));
    let revision = revise(before, before, side(&held, &held_estimate));
    let moved = revision.moved_by_price();
    assert_eq!(moved.len(), 1);
    let packs = |side: &Option<coilstick::estimate::revision::OfSide>| {
        let packs = side.as_ref().unwrap().packs.iter();
        packs.map(|pack| (pack.offer.clone(), pack.packs)).collect::<Vec<_>>()
    };
    assert_eq!(packs(&moved[0].old), packs(&moved[0].new));
    // Every other choice is as before too: held, the estimate at its own prices is the same.
    let mut same = job();
    hold(&mut same, before, true);
    let again = estimate(&same);
    let revision = revise(before, before, side(&same, &again));
    assert!(
        revision.is_empty(),
        "{:#?}",
        revision.items.iter().filter(|i| i.by_price != d("0")).collect::<Vec<_>>()
    );
}

#[test]
fn choices_of_one_plan_are_held_for_another() {
    let real = job();
    let chosen = estimate(&real);
    let [table, (name, runs), prices, labor, tools] = house::tables();
    let longer = runs.replace("C4,cold,1/2,18.25", "C4,cold,1/2,27.25");
    let mut new = Job::from_texts(&[table, (name, &longer), prices, labor, tools]);
    hold(&mut new, side(&real, &chosen), false);
    let estimated = estimate(&new);
    let alternative = &estimated.alternatives[0];
    assert_eq!(alternative.cost.not_priced, chosen.alternatives[0].cost.not_priced);
    assert!(
        alternative.notices.iter().all(|notice| !notice.kind.starts_with("held")),
        "{:#?}",
        alternative.notices
    );
}
