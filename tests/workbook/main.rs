//! The workbook judged from outside: an independent spreadsheet engine recalculates it, before and after edits, and
//! agrees with the program to the cent.
#![allow(clippy::float_arithmetic, reason = "the outside engine counts in floats")]
#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

#[path = "../golden/book.rs"]
mod book;
mod cells;
mod edits;
mod engine;
mod examples;
mod house;
mod labor;
mod runs;
mod stale;
mod starter;

use coilstick::estimate::takeoff::{Because, Line};
use engine::{Opened, differences};
use house::{Edits, house, house_held};
use ironcalc::base::cell::CellValue;
use rust_decimal::Decimal;

/// The workbook of the house after edits, with the choices held that are made without them.
fn workbook(edits: &Edits) -> Vec<u8> {
    let (job, estimate) = house_held(edits);
    let [workbook, ..] = coilstick::report::bytes(&job, &estimate).unwrap();
    workbook
}

/// Opens the house as written, edits it there, and holds every formula against the house edited in its tables. What an
/// alternate moves is a value at the prices as read: after other edits than those of the bid its columns are passed over.
fn meets(edits: &Edits, edit: impl Fn(&mut Opened)) {
    meets_but(edits, edit, |cell: &engine::Cell| cell.0 == "Bid inside" && cell.2 > FIRST_ALTERNATE);
}

/// The column of the last system on the sheet Bid inside.
const FIRST_ALTERNATE: i32 = 4;

/// The same with no cell passed over.
fn meets_all(edits: &Edits, edit: impl Fn(&mut Opened)) {
    meets_but(edits, edit, |_| false);
}

fn meets_but(edits: &Edits, edit: impl Fn(&mut Opened), passed: impl Fn(&engine::Cell) -> bool) {
    let mut edited = Opened::new(&workbook(&Edits::default()));
    let before = edited.formulas();
    edit(&mut edited);
    edited.recalculate();
    let mut rerun = Opened::new(&workbook(edits));
    let mut cached = rerun.formulas();
    rerun.recalculate();
    let of_edits = |cell: &engine::Cell| passed(cell) || rerun.is_of_edits(cell);
    cached.retain(|cell, _| !of_edits(cell));
    let mut found = edited.formulas();
    found.retain(|cell, _| !of_edits(cell));
    let wrong = differences(&found, &cached);
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
fn an_edited_number_from_which_there_is_an_allowance_reaches_the_order_and_the_unit_prices() {
    let was = "no allowance under,fitting,4";
    let edits = Edits { job: vec![(was, "no allowance under,fitting,20")], ..Edits::default() };
    meets(&edits, |book| {
        let cell = book.at("Settings", "no fitting allowance under", "percent");
        book.type_number("Settings", cell, "20");
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
    meets_all(&edits, |book| {
        let overhead = book.at("Settings", "overhead", "percent");
        book.type_number("Settings", overhead, "12.5");
        let tax = book.at("Settings", "sales tax", "percent");
        book.type_number("Settings", tax, "8");
    });
}

/// Each setting of the bid by itself: its words on the sheet Settings, the line of the table `job` and what it becomes,
/// and what is typed.
#[test]
fn each_setting_of_the_bid_edited_by_itself_meets_a_run_with_it() {
    for (setting, line, edited, typed) in [
        ("small parts", "small parts,,1.5", "small parts,,2.75", "2.75"),
        ("contingency", "contingency,,3", "contingency,,0", "0"),
        ("overhead", "overhead,,10", "overhead,,14.5", "14.5"),
        ("profit", "profit,,8", "profit,,17.5", "17.5"),
        ("sales tax", "sales tax,,7.25", "sales tax,,8.875", "8.875"),
        ("tax on delivery", "sales tax,delivery,2", "sales tax,delivery,4", "4"),
        ("tax on support parts", "tax exempt,support,yes", "sales tax,support,3.5", "3.5"),
        ("delivery", "delivery,,30", "delivery,,62.5", "62.5"),
        (
            "lump-sum labor: demolition",
            "lump-sum labor,demolition,240",
            "lump-sum labor,demolition,95.5",
            "95.5",
        ),
        ("tax on labor", "sales tax,labor,1.5", "sales tax,labor,0", "0"),
        ("fee: permit", "fee,permit,185", "fee,permit,210.4", "210.4"),
        ("fee: bond", "marked up fee,bond,90", "marked up fee,bond,0", "0"),
    ] {
        let edits = Edits { job: vec![(line, edited)], ..Edits::default() };
        meets_all(&edits, |book| {
            let cell = book.at("Settings", setting, "percent");
            book.type_number("Settings", cell, typed);
        });
    }
}

#[test]
fn a_profit_that_becomes_a_margin_meets_a_run_that_says_margin() {
    for (points, typed) in [("8", "8"), ("20", "20"), ("33.33", "33.33")] {
        let line: &'static str = Box::leak(format!("margin,,{points}").into_boxed_str());
        let edits = Edits { job: vec![("profit,,8", line)], ..Edits::default() };
        meets_all(&edits, |book| {
            let percent = book.at("Settings", "profit", "percent");
            book.type_number("Settings", percent, typed);
            let which = book.at("Settings", "profit is a", "percent");
            book.type_number("Settings", which, "margin");
        });
    }
}

#[test]
fn the_owner_is_told_no_inside_figure() {
    let (job, estimate) = house(&Edits::default());
    let files = coilstick::report::bytes(&job, &estimate).unwrap();
    let file = |name: &str| {
        let at = coilstick::report::FILES.iter().position(|file| *file == name).unwrap();
        String::from_utf8(files[at].clone()).unwrap()
    };
    let bid = &estimate.alternatives[0].cost.bid;
    let inside = [bid.spent.material, bid.direct, bid.contingency, bid.overhead, bid.profit]
        .map(|sum| format!("{sum:.2}"));
    let papers = coilstick::report::paper_bytes(&job, &estimate).unwrap();
    let paper = papers.iter().find(|(name, _)| &**name == "papers/bid.html").unwrap();
    let paper = String::from_utf8(paper.1.clone()).unwrap();
    let given = file("owner.csv") + &file("owner.json") + &paper;
    for word in inside.iter().map(String::as_str).chain([
        "Harbor",
        "Mill",
        "overhead",
        "contingency",
        "profit",
        "bond",
    ]) {
        assert!(!given.contains(word), "{word}");
    }
    assert!(given.contains(&format!("price in all,,,{:.2}", bid.total)));
    assert!(given.contains("patching of walls") && given.contains("2026-04-15"));
    let shown = paper.replace(',', "");
    for sum in [bid.price, bid.tax, bid.total] {
        assert!(shown.contains(&format!(">{sum:.2}<")), "{sum}");
    }
}

#[test]
fn an_edited_delivery_fee_is_charged_where_something_is_bought() {
    let mut book = Opened::new(&workbook(&Edits::default()));
    let cell = book.at("Settings", "delivery fee of Mill Supply (invented)", "percent");
    assert_eq!(book.number("Settings", cell), 20.0);
    book.type_number("Settings", cell, "33.25");
    let delivery = book.at("Comparison", "delivery", "pex-clamp");
    assert_eq!(book.number("Comparison", delivery), 95.0);
    book.recalculate();
    assert_eq!(book.number("Comparison", delivery), 108.25);
}

#[test]
fn an_edited_delivery_fee_reaches_what_the_supplier_will_bill() {
    let (job, estimate) = house_held(&Edits::default());
    let mut book = Opened::new(&workbook(&Edits::default()));
    let order = &estimate.alternatives[0].buying.suppliers[0];
    let name = job.lexicon.text(order.supplier);
    let sheets = book.sheets();
    let words = name.split(" (").next().unwrap();
    let sheet = sheets.iter().find(|sheet| sheet.starts_with("Order - ") && sheet.contains(words)).unwrap();
    let total = book.at(sheet, "to pay this supplier, before tax", "sum");
    let close = |cell: f64, sum: Decimal| (cell - sum.to_string().parse::<f64>().unwrap()).abs() < 1e-6;
    assert!(close(book.number(sheet, total), order.goods + order.fee));
    let cell = book.at("Settings", &format!("delivery fee of {name}"), "percent");
    book.type_number("Settings", cell, "61.5");
    book.recalculate();
    assert!(close(book.number(sheet, total), order.goods + Decimal::new(615, 1)));
}

#[test]
fn an_edited_delivery_fee_reaches_the_landed_sum() {
    let suppliers = vec![("Harbor Pipe (invented),45,150", "Harbor Pipe (invented),61.25,150")];
    let edits = Edits { suppliers, ..Edits::default() };
    meets(&edits, |book| {
        let cell = book.at("Settings", "delivery fee of Harbor Pipe (invented)", "percent");
        assert_eq!(book.number("Settings", cell), 45.0);
        book.type_number("Settings", cell, "61.25");
    });
}

#[test]
fn a_least_order_that_is_not_reached_is_said_on_the_sheet_of_suppliers() {
    let mut book = Opened::new(&workbook(&Edits::default()));
    let cell = book.at("Suppliers", "Mill Supply (invented)", "minimum order");
    book.type_number("Suppliers", cell, "100000");
    book.recalculate();
    book.find("Suppliers", "below the minimum order");
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
    let (row, column) = book.find("Runs", "\"=HYPERLINK(\"x\")\"");
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

/// The sheets that go to suppliers come to what the summary says of each, before and after an edit.
#[test]
fn the_sheets_to_suppliers_come_to_the_sums_of_the_summary() {
    let mut book = Opened::new(&workbook(&Edits::default()));
    for edited in [false, true] {
        if edited {
            let cell = book.at("Prices", "T100", "price");
            book.type_number("Prices", cell, "97.35");
            book.recalculate();
        }
        let sheets = book.sheets();
        let sheets: Vec<&String> = sheets.iter().filter(|name| name.starts_with("Order - ")).collect();
        assert!(sheets.len() >= 2, "{sheets:?}");
        let mut sum = 0.0;
        for sheet in sheets {
            let row = book.find(sheet, "all goods from this supplier").0;
            let goods = book.number(sheet, (row, 10));
            let CellValue::String(title) = book.value(sheet, 1, 1) else { panic!("{sheet} has no title") };
            let name = title.strip_prefix("Order: ").unwrap();
            let there = book.number("Summary", (book.find("Summary", name).0, 3));
            assert!((goods - there).abs() < 1e-6, "{sheet}: {goods} and {there}");
            sum += goods;
        }
        let material = book.number("Summary", (book.find("Summary", "material").0, 3));
        assert!((sum - material).abs() < 1e-6, "{sum} and {material}");
    }
}

/// The stub-out of the house is sold each at 41.30 for a hundred: by hand one is worth 0.413.
#[test]
fn what_is_priced_by_the_hundred_goes_back_at_a_hundredth_and_says_what_its_price_is_for() {
    let mut book = Opened::new(&workbook(&Edits::default()));
    book.recalculate();
    let row = book.find("Suppliers", "stub-out 1/2").0;
    let at_most = book.number("Suppliers", (row, 4));
    let worth = book.number("Suppliers", (row, 5));
    assert!(at_most >= 1.0, "{at_most} may go back");
    assert!((worth - (at_most * 41.3).round() / 100.0).abs() < 1e-9, "{at_most} are worth {worth}");
    let sheet = "Order - Harbor Pipe (invented)";
    let row = book.find(sheet, "stub-out").0;
    let (number, sum) = (book.number(sheet, (row, 6)), book.number(sheet, (row, 10)));
    assert_eq!(book.value(sheet, row, 9), CellValue::String("100".to_owned()));
    assert!((sum - (number * 41.3).round() / 100.0).abs() < 1e-9, "{number} come to {sum}");
}

/// A system of which parts are not priced looks cheaper than it is: every sheet that shows its sums says so.
#[test]
fn a_system_that_is_not_priced_whole_is_marked_where_its_sums_stand() {
    let offers =
        ("compare with,,copper-solder,", "compare with,,copper-solder,\noffered alternates,,copper-solder,");
    let (job, mut estimate) = house(&Edits { job: vec![offers], ..Edits::default() });
    estimate.comparison.installed[0].whole = true;
    estimate.comparison.installed[1].whole = false;
    let files = coilstick::report::bytes(&job, &estimate).unwrap();
    let book = Opened::new(&files[0]);
    let (row, first) = book.find("Comparison", "complete");
    assert_eq!(book.value("Comparison", row, first + 2), CellValue::String("yes".to_owned()));
    assert_eq!(book.value("Comparison", row, first + 3), CellValue::String("no: not ranked".to_owned()));
    let CellValue::String(called) =
        book.value("Comparison", book.find("Comparison", "copper-solder").0 + 1, 4)
    else {
        panic!("nothing stands under the name of the system")
    };
    assert!(called.ends_with(": NOT WHOLE, its sums are too low"), "{called}");
    book.find("Bid inside", "copper-solder: NOT WHOLE");
    let text = |name: &str| {
        let at = coilstick::report::FILES.iter().position(|file| *file == name).unwrap();
        String::from_utf8(files[at].clone()).unwrap()
    };
    assert!(text("comparison.csv").contains("\r\nestimate,,complete,INCOMPLETE\r\n"));
    let owner = text("owner.csv");
    let line = owner.lines().find(|line| line.contains("instead of")).unwrap();
    assert!(line.contains("not priced") && line.ends_with(",,"), "{line}");
}

#[test]
fn csv_files_have_the_columns_of_the_documents() {
    let (job, estimate) = house(&Edits::default());
    let [_, takeoff, order, _, _, comparison, bid, owner, _, held, _, _, _, _, json] =
        coilstick::report::bytes(&job, &estimate).unwrap();
    let first = |bytes: &[u8]| String::from_utf8_lossy(bytes).lines().next().unwrap().to_owned();
    assert_eq!(first(&takeoff), "alternative,phase,service,system,part,size,variant,unit,need,estimate");
    assert_eq!(
        first(&order),
        "supplier,code,part,system,size,variant,phase,unit,need,allow,on hand,pack,packs,buy,left over,price,per,extended,status,prices,estimate"
    );
    assert_eq!(first(&comparison), "cost line,unit,pex-clamp,copper-solder");
    assert_eq!(
        first(&bid),
        "line,percent,taken on,pex-clamp,copper-solder,alternate: annex bath,alternate: bare kitchen"
    );
    assert_eq!(first(&owner), "section,item,detail,count,amount");
    assert_eq!(first(&held), "alternative,part,size,system,variant,color,offer,packs,plan,estimate");
    let json: serde_json::Value = serde_json::from_slice(&json).unwrap();
    assert_eq!(json["format"], 2);
    let material = &json["alternatives"][0]["cost"]["material"];
    assert_eq!(material.as_str(), Some(&*estimate.alternatives[0].cost.material.to_string()));
}

#[test]
fn an_incomplete_count_is_said_on_the_first_sheet() {
    let (job, mut estimate) = house(&Edits::default());
    let why = "C4 joins a run that nobody wrote".to_owned();
    estimate.left_out.push(coilstick::estimate::LeftOut { run: coilstick::estimate::RunId(3), why });
    let [workbook, .., json] = coilstick::report::bytes(&job, &estimate).unwrap();
    let book = Opened::new(&workbook);
    book.find(
        "Summary",
        "INCOMPLETE: 1 run is left out, 8 parts are not priced. The sums do not hold everything. See the sheet \
         Notices.",
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
    book.find("Order", "\"@Harbor]Pipe' (invented)\"");
    assert!(String::from_utf8(order).unwrap().contains("\n\"\"\"@Harbor]Pipe' (invented)\"\"\","));
}
