//! The workbook judged from outside: an independent spreadsheet engine recalculates it, before and after edits, and
//! agrees with the program to the cent.
#![allow(clippy::float_arithmetic, reason = "the outside engine counts in floats")]
#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

mod engine;
mod examples;
mod house;
mod starter;

use coilstick::estimate::takeoff::{Because, Line};
use engine::{Opened, differences};
use house::{Edits, house, house_held};
use ironcalc::base::cell::CellValue;

/// The workbook of the house after edits, with the choices held that are made without them.
fn workbook(edits: &Edits) -> Vec<u8> {
    let (job, estimate) = house_held(edits);
    let [workbook, ..] = coilstick::report::bytes(&job, &estimate).unwrap();
    workbook
}

/// Opens the house as written, edits it there, and holds every formula against the house edited in its tables.
fn meets(edits: &Edits, edit: impl Fn(&mut Opened)) {
    let mut edited = Opened::new(&workbook(&Edits::default()));
    let before = edited.formulas();
    edit(&mut edited);
    edited.recalculate();
    let mut rerun = Opened::new(&workbook(edits));
    let cached = rerun.formulas();
    rerun.recalculate();
    let wrong = differences(&edited.formulas(), &cached);
    assert!(wrong.is_empty(), "{} cells differ: {:#?}", wrong.len(), &wrong[..wrong.len().min(8)]);
    assert!(differences(&before, &cached).len() > 3, "the edit changed nothing");
}

fn agrees(edits: &Edits) {
    let (job, estimate) = house(edits);
    let [workbook, ..] = coilstick::report::bytes(&job, &estimate).unwrap();
    let mut book = Opened::new(&workbook);
    let cached = book.formulas();
    book.recalculate();
    let wrong = differences(&book.formulas(), &cached);
    assert!(wrong.is_empty(), "{} cells differ: {:#?}", wrong.len(), &wrong[..wrong.len().min(8)]);
    assert!(cached.len() > 300, "only {} formulas", cached.len());
}

#[test]
fn every_formula_agrees_with_the_result_written_beside_it() {
    agrees(&Edits::default());
}

#[test]
fn formulas_agree_where_lengths_are_metres_and_prices_are_for_feet() {
    agrees(&Edits { job: vec![("currency,,USD", "units,,m")], ..Edits::default() });
}

#[test]
fn formulas_agree_where_tube_is_bought_loose() {
    let prices = vec![
        ("tube 1 in,coil,100 ft,pack,10,", "tube 1 in,each,,ft,10,50: 80"),
        ("tube 1/2 in,coil,100 ft,ft", "tube 1/2 in,each,,ft"),
    ];
    agrees(&Edits { prices, ..Edits::default() });
}

#[test]
fn an_edited_price_reaches_order_summary_and_comparison() {
    let dearer = Edits { prices: vec![("tube,1,92.5,pex", "tube,1,97.35,pex")], ..Edits::default() };
    meets(&dearer, |book| {
        let cell = book.at("Prices", "T100", "price");
        assert_eq!(book.number("Prices", cell), 92.5);
        book.type_number("Prices", cell, "97.35");
    });
}

#[test]
fn an_edited_discount_is_taken_after_the_one_before() {
    let edits =
        Edits { prices: vec![("F13,,each,,each,25+15,", "F13,,each,,each,25+40,")], ..Edits::default() };
    meets(&edits, |book| {
        let cell = book.at("Prices", "F13", "off 2 %");
        assert_eq!(book.number("Prices", cell), 15.0);
        book.type_number("Prices", cell, "40");
    });
}

#[test]
fn an_edited_allowance_buys_more_of_the_smallest_packs() {
    let edits = Edits { job: vec![("allowance,ring,10", "allowance,ring,30")], ..Edits::default() };
    meets(&edits, |book| {
        let cell = book.at("Settings", "ring allowance", "percent");
        book.type_number("Settings", cell, "30");
    });
}

#[test]
fn an_edited_allowance_that_reaches_a_price_break_gets_its_price() {
    // 18 half-inch elbows and 50 % are 27: from 25 on they cost 0.55.
    let edits = Edits { job: vec![("allowance,fitting,5", "allowance,fitting,200")], ..Edits::default() };
    meets(&edits, |book| {
        let cell = book.at("Settings", "fitting allowance", "percent");
        book.type_number("Settings", cell, "200");
    });
}

#[test]
fn an_edited_markup_is_taken_once_on_its_base() {
    let edits = Edits {
        job: vec![("overhead,,10", "overhead,,12.5"), ("sales tax,,7.25", "sales tax,,8")],
        ..Edits::default()
    };
    meets(&edits, |book| {
        let overhead = book.at("Settings", "overhead", "percent");
        book.type_number("Settings", overhead, "12.5");
        let tax = book.at("Settings", "sales tax", "percent");
        book.type_number("Settings", tax, "8");
    });
}

#[test]
fn an_edited_delivery_fee_reaches_the_landed_sum() {
    let suppliers = vec![("Harbor Pipe (invented),45,150", "Harbor Pipe (invented),61.25,150")];
    let edits = Edits { suppliers, ..Edits::default() };
    meets(&edits, |book| {
        let cell = book.at("Suppliers", "Harbor Pipe (invented)", "delivery");
        assert_eq!(book.number("Suppliers", cell), 45.0);
        book.type_number("Suppliers", cell, "61.25");
    });
}

#[test]
fn a_least_order_that_is_not_reached_is_said_on_the_sheet_of_suppliers() {
    let mut book = Opened::new(&workbook(&Edits::default()));
    let cell = book.at("Suppliers", "Mill Supply (invented)", "least order");
    book.type_number("Suppliers", cell, "100000");
    book.recalculate();
    book.find("Suppliers", "below the least order");
    let whole = workbook(&Edits::default());
    let as_it_was = Opened::new(&whole);
    as_it_was.find("Suppliers", "ok");
}

#[test]
fn an_edited_choice_of_larger_packs_meets_a_run_that_holds_it() {
    let edits = Edits { held: vec![("R50X\",1,", "R50X\",0,")], ..Edits::default() };
    meets(&edits, |book| {
        let cell = book.at("Order", "R50X", "packs chosen");
        assert_eq!(book.number("Order", cell), 1.0);
        book.type_number("Order", cell, "0");
    });
}

#[test]
fn all_edits_together_meet_a_run_with_all_of_them() {
    let edits = Edits {
        job: vec![("allowance,support,5", "allowance,support,0"), ("contingency,,3", "contingency,,4.5")],
        prices: vec![("stub-out,1/2,41.30", "stub-out,1/2,44.45")],
        ..Edits::default()
    };
    meets(&edits, |book| {
        for (setting, percent) in [("support allowance", "0"), ("contingency", "4.5")] {
            let cell = book.at("Settings", setting, "percent");
            book.type_number("Settings", cell, percent);
        }
        let cell = book.at("Prices", "S50", "price");
        book.type_number("Prices", cell, "44.45");
    });
}

#[test]
fn a_need_that_the_cut_plan_was_not_made_for_is_said_so() {
    let mut book = Opened::new(&workbook(&Edits::default()));
    // The first reason that is a length is that of the first run.
    let cell = book.at("Reasons", "its own length", "quantity");
    assert_eq!(book.number("Reasons", cell), 34.5);
    book.type_number("Reasons", cell, "40");
    book.recalculate();
    let check = book.at("Order", "T100", "check");
    assert_eq!(book.value("Order", check.0, check.1), CellValue::String("plan the cuts again".to_owned()));
    let out_of_step = book.at("Summary", "lines out of step with their plan", "USD");
    assert_eq!(book.number("Summary", out_of_step), 1.0);
}

#[test]
fn larger_packs_that_exceed_the_need_are_said_so() {
    let mut book = Opened::new(&workbook(&Edits::default()));
    let cell = book.at("Order", "R50X", "packs chosen");
    assert_eq!(book.number("Order", cell), 1.0);
    book.type_number("Order", cell, "4");
    book.recalculate();
    let check = book.at("Order", "R50X", "check");
    assert_eq!(book.value("Order", check.0, check.1), CellValue::String("choose packs again".to_owned()));
}

#[test]
fn a_cell_that_a_spreadsheet_would_run_is_text() {
    let book = Opened::new(&workbook(&Edits::default()));
    let (row, column) = book.find("Runs", "=HYPERLINK(\"x\")");
    assert!(!book.is_formula("Runs", row, column));
}

#[test]
fn the_same_estimate_gives_the_same_bytes() {
    let (job, estimate) = house(&Edits::default());
    let once = coilstick::report::bytes(&job, &estimate).unwrap();
    std::thread::sleep(std::time::Duration::from_millis(1100));
    assert!(once == coilstick::report::bytes(&job, &estimate).unwrap());
}

#[test]
fn above_twenty_thousand_reasons_the_need_is_a_value() {
    let (job, mut estimate) = house(&Edits::default());
    let alternative = &mut estimate.alternatives[0];
    let is_length = |line: &&Line| line.because == Because::Length;
    let line = *alternative.takeoff.lines.iter().find(is_length).unwrap();
    let of_item = alternative.order.iter_mut().find(|order| order.item == line.item).unwrap();
    let need = of_item.need;
    let mut nothing = line;
    nothing.count = 0;
    alternative.takeoff.lines.extend(std::iter::repeat_n(nothing, 20_001));
    let [workbook, ..] = coilstick::report::bytes(&job, &estimate).unwrap();
    let book = Opened::new(&workbook);
    let cell = book.at("Order", "T100", "need");
    assert!(!book.is_formula("Order", cell.0, cell.1));
    assert_eq!(book.number("Order", cell).to_string(), need.normalize().to_string());
    let about = book.value("Order", 2, 1);
    let CellValue::String(about) = about else { panic!("{about:?}") };
    assert!(about.contains("20,000"), "{about}");
}

#[test]
fn csv_files_have_the_columns_of_the_documents() {
    let (job, estimate) = house(&Edits::default());
    let [_, takeoff, order, _, comparison, held, json] = coilstick::report::bytes(&job, &estimate).unwrap();
    let first = |bytes: &[u8]| String::from_utf8_lossy(bytes).lines().next().unwrap().to_owned();
    assert_eq!(first(&takeoff), "alternative,phase,service,system,part,size,variant,unit,need");
    assert_eq!(
        first(&order),
        "supplier,code,part,system,size,variant,phase,unit,need,allow,on hand,pack,packs,buy,left over,price,extended"
    );
    assert_eq!(first(&comparison), "cost line,pex-clamp,copper-solder");
    assert_eq!(first(&held), "part,size,system,variant,color,offer,packs,plan");
    let json: serde_json::Value = serde_json::from_slice(&json).unwrap();
    assert_eq!(json["format"], 1);
    let material = &json["alternatives"][0]["cost"]["material"];
    assert_eq!(material.as_str(), Some(&*estimate.alternatives[0].cost.material.to_string()));
}

#[test]
fn an_incomplete_count_is_said_on_the_first_sheet() {
    let (job, mut estimate) = house(&Edits::default());
    let why = "C4 joins a run that nobody wrote".to_owned();
    estimate.left_out.push(coilstick::estimate::LeftOut { run: coilstick::estimate::network::RunId(3), why });
    let [workbook, .., json] = coilstick::report::bytes(&job, &estimate).unwrap();
    let book = Opened::new(&workbook);
    book.find(
        "Summary",
        "INCOMPLETE: 1 run is left out. The sums do not hold everything. See the sheet Notices.",
    );
    book.find("Notices", "C4 joins a run that nobody wrote");
    let row = book.find("Runs", "C4").0;
    let (_, counted) = book.find("Runs", "counted");
    assert_eq!(book.value("Runs", row, counted), CellValue::String("left out".to_owned()));
    let json: serde_json::Value = serde_json::from_slice(&json).unwrap();
    assert_eq!(json["complete"], false);
    assert_eq!(json["left_out"][0]["run"], "C4");
}

#[test]
fn a_job_of_which_nothing_could_be_taken_off_still_gets_its_files() {
    let (job, mut estimate) = house(&Edits::default());
    estimate.alternatives.clear();
    estimate.comparison.differences.clear();
    estimate.comparison.one_sided.clear();
    let [workbook, ..] = coilstick::report::bytes(&job, &estimate).unwrap();
    Opened::new(&workbook).find("Summary", "Nothing could be taken off.");
}

#[test]
fn words_that_would_break_a_sheet_do_not() {
    let long = "&L&P [Red] \u{1} \u{7} ' \" <a> 家 ".repeat(60);
    let name: &'static str = Box::leak(format!("name,,\"{}\"", long.replace('"', "\"\"")).into_boxed_str());
    let job = vec![("name,,Lodge on Alder Lane & annex", name)];
    let prices = vec![("Harbor Pipe (invented),tube,1,", "@Harbor]Pipe' (invented),tube,1,")];
    let edits = Edits { job, prices, ..Edits::default() };
    let (job, estimate) = house(&edits);
    let [workbook, _, order, ..] = coilstick::report::bytes(&job, &estimate).unwrap();
    let mut book = Opened::new(&workbook);
    let cached = book.formulas();
    book.recalculate();
    assert!(differences(&book.formulas(), &cached).is_empty());
    book.find("Order", "@Harbor]Pipe' (invented)");
    assert!(String::from_utf8(order).unwrap().contains("\n'@Harbor]Pipe' (invented),"));
}
