//! Nothing of the workbook goes on standing after an edit: every number is an input that is watched, a formula, colored
//! and named as made before the edit, or was read or counted and hangs on nothing that is edited.

use std::path::Path;

use coilstick::estimate::estimate;
use coilstick::trade::Job;
use ironcalc::base::cell::CellValue;

use crate::cells::{Cell, Held, INPUT, Sheet, address, sheets};
use crate::engine::Opened;
use crate::{examples, house};

/// Where numbers stand that hang on nothing that may be edited.
enum Where {
    /// Anywhere on the sheet.
    All,
    /// Under these headings.
    Under(&'static [&'static str]),
    /// In rows of these names.
    In(&'static [&'static str]),
    /// Below a band of this name.
    Below(&'static str),
}
use Where::{All, Below, In, Under};

/// The sheets and places of such numbers, and why they hang on nothing.
const AS_READ: [(&str, Where, &str); 19] = [
    ("Runs", All, "the run list as read"),
    ("Rules", All, "the patterns as read"),
    ("Reasons", Under(&["quantity"]), "counted from the run list; what is added up over it follows"),
    ("Reasons", Under(&["alternative id", "item id", "takeoff id"]), "what formulas look up by"),
    ("Takeoff", Under(&["takeoff id", "item id", "alternative id"]), "what formulas look up by"),
    (
        "Takeoff",
        Under(&["how many", "tube ends", "joined", "on site", "elsewhere"]),
        "counted from the run list",
    ),
    ("Prices", Under(&["offer"]), "what formulas look up by"),
    (
        "Prices",
        Under(&["pack", "for", "from packs 1", "from packs 2"]),
        "how an offer is sold: another is a new offer",
    ),
    ("Order", Under(&ORDER_IDS), "what formulas look up by"),
    ("Order", Under(&["planned for"]), "the need that the choice was made for: the check is held against it"),
    ("Labor lines", Under(&["quantity"]), "counted from the run list and the cut plan"),
    ("Labor lines", Under(&LABOR_IDS), "what formulas look up by"),
    ("Hours", Under(&["for"]), "the unit of the hours as read"),
    ("Tools", Under(&["tool id", "alternative id"]), "what formulas look up by"),
    ("Used", Under(&["line", "class id", "order line"]), "what formulas look up by"),
    (
        "Cut plan",
        Under(&["in each", "ft", "m", "for the runs"]),
        "pieces counted from the run list, cut as the plan says",
    ),
    ("Summary", In(&["joints to make", "turns taken as bends", "ends that no part fills"]), "counted"),
    ("Comparison", In(&["joints to make", "tube, ft", "tube, m"]), "counted"),
    ("Comparison", Below("Parts that only one side has"), "counted"),
];
const ORDER_IDS: [&str; 8] = [
    "alternative id",
    "line id",
    "item id",
    "offer id",
    "cost line id",
    "supplier id",
    "row id",
    "not priced",
];
const LABOR_IDS: [&str; 5] = ["alternative id", "phase id", "area id", "row in Hours", "without hours"];

/// Figures with two decimals that are no sum: what stands behind them, or the words they stand in.
const NO_SUMS: [&str; 6] = [" ft", " m", " in", " psi", " a line", "at 80 an hour takes 1.25"];

/// What a cell is that neither follows nor says anything; nothing where it does.
fn unnamed(sheet: &Sheet, cell: &Cell) -> Option<String> {
    let what = match &cell.held {
        Held::Formula(_) => return None,
        Held::Number(number) => (cell.ground != INPUT).then(|| number.to_string()),
        Held::Text(text) => has_sum(text).then(|| text.clone()),
    };
    let is_known = sheet.is_colored(cell.at) || is_as_read(sheet, cell);
    let what = what.filter(|_| !is_known)?;
    Some(format!("{}!{} ({}): {what}", sheet.name, address(cell.at), sheet.heading(cell.at)))
}

fn is_as_read(sheet: &Sheet, cell: &Cell) -> bool {
    AS_READ.iter().filter(|(name, ..)| *name == sheet.name).any(|(_, place, why)| {
        assert!(!why.is_empty());
        match place {
            All => true,
            Under(headings) => headings.contains(&sheet.heading(cell.at)),
            In(names) => names.contains(&sheet.words((cell.at.0, 1))),
            Below(band) => (1..cell.at.0).any(|row| sheet.words((row, 1)) == *band),
        }
    })
}

/// Whether words name a sum of money: figures with two decimals.
fn has_sum(text: &str) -> bool {
    let digit = |at: usize| text.as_bytes().get(at).is_some_and(u8::is_ascii_digit);
    let point = |(at, _): (usize, &str)| {
        let is_sum = at > 0 && digit(at - 1) && digit(at + 1) && digit(at + 2) && !digit(at + 3);
        is_sum && !NO_SUMS.iter().any(|other| text[at + 3..].starts_with(other) || text == *other)
    };
    text.match_indices('.').any(point)
}

fn workbook(job: &Job) -> Vec<u8> {
    let [workbook, ..] = coilstick::report::bytes(job, &estimate(job)).unwrap();
    workbook
}

fn example(name: &str) -> Job {
    Job::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name)).unwrap()
}

#[test]
fn every_number_is_an_input_or_follows_or_says_that_it_was_made_before_an_edit() {
    let mut jobs: Vec<(String, Job)> = Vec::new();
    for path in examples::jobs() {
        jobs.push((path.display().to_string(), Job::read(&path).unwrap()));
    }
    jobs.push(("the house".to_owned(), house::house(&house::Edits::default()).0));
    for (name, job) in jobs {
        let sheets = sheets(&workbook(&job));
        let all =
            sheets.iter().flat_map(|sheet| sheet.cells.values().filter_map(|cell| unnamed(sheet, cell)));
        let found: Vec<String> = all.collect();
        assert!(found.is_empty(), "{name}: {} cells: {:#?}", found.len(), &found[..found.len().min(12)]);
    }
}

/// A value slipped in where a formula stood is seen: but for how an offer is sold, no place that is as read has formulas.
#[test]
fn a_value_in_place_of_a_formula_is_seen() {
    let sheets = sheets(&workbook(&example("lake-cabin")));
    let (mut seen, mut unseen) = (0, Vec::new());
    for sheet in &sheets {
        for cell in sheet.cells.values().filter(|cell| matches!(cell.held, Held::Formula(_))) {
            let slipped = Cell { held: Held::Number(7.31), ..cell.clone() };
            let says = matches!(&cell.held, Held::Formula(formula) if formula.contains("run again"));
            let is_input = says || cell.ground == INPUT || sheet.is_colored(cell.at);
            match unnamed(sheet, &slipped) {
                Some(_) => seen += 1,
                None if is_input || (sheet.name == "Prices" && sheet.heading(cell.at) == "for") => {}
                None => unseen.push(format!("{}!{}", sheet.name, address(cell.at))),
            }
        }
    }
    assert!(seen > 1_000, "{seen}");
    assert!(unseen.is_empty(), "{} cells: {:#?}", unseen.len(), &unseen[..unseen.len().min(12)]);
}

/// All that is shaded is typed over at once: each is counted, once.
#[test]
fn every_shaded_cell_that_is_typed_over_is_counted() {
    for job in [example("lake-cabin"), house::house(&house::Edits::default()).0] {
        let bytes = workbook(&job);
        let mut book = Opened::new(&bytes);
        let edited = book.at("Summary", "inputs edited since the estimate", "what it is");
        let edited = (edited.0, 3);
        book.recalculate();
        assert_eq!(book.number("Summary", edited), 0.0);
        let mut typed = 0.0;
        for sheet in sheets(&bytes) {
            let shaded = sheet.cells.values().filter(|cell| cell.ground == INPUT);
            for cell in shaded {
                if let Held::Number(number) = cell.held {
                    book.type_number(&sheet.name, cell.at, &(number + 1.0).to_string());
                    typed += 1.0;
                }
            }
        }
        assert!(typed > 100.0, "{typed}");
        book.recalculate();
        assert_eq!(book.number("Summary", edited), typed);
        let line = book.starting("Summary", &format!("{typed} inputs were edited here."));
        assert!(line.ends_with("were made before the edit: run again."), "{line}");
    }
}

#[test]
fn an_unedited_workbook_says_nothing_of_edits() {
    let mut book = Opened::new(&workbook(&example("orchard-house")));
    book.recalculate();
    for (cell, value) in book.formulas() {
        if let CellValue::String(words) = value {
            assert!(!words.contains("run again"), "{cell:?}: {words}");
        }
    }
}

/// Two suppliers of everything; the second asks so much for a delivery that its cheaper tees are not worth it.
fn two_suppliers() -> Job {
    let prices = "supplier,part,size,price,system,sold as,pack,breaks\nMill,tube,3/4,30,pex,coil,100 ft,\n\
                  Mill,tube,1/2,20,pex,coil,100 ft,\nMill,tee,3/4 x 3/4 x 1/2,2.00,,,,\nMill,cap,3/4,1,,,,\n\
                  Mill,cap,1/2,1,,,,\nMill,clamp ring,3/4,3,,bag,10,\nMill,clamp ring,1/2,0.2,,,,\n\
                  Dock,tee,3/4 x 3/4 x 1/2,1.90,,,,2: 1.80\nDock,tube,1/2,21,pex,coil,150 ft,\n\
                  Dock,clamp ring,3/4,5,,bag,25,\n";
    let runs = "run,service,size,length (ft),joins,at (ft)\nA,cold,3/4,10,main,\nA1,cold,1/2,8,A,3\nA2,cold,1/2,8,A,6\n";
    let job = "item,for,value\nwater system,,pex-clamp\ncompare with,,none\n";
    let suppliers = "supplier,delivery fee\nDock,25\n";
    Job::from_texts(&[("runs", runs), ("job", job), ("prices", prices), ("suppliers", suppliers)])
}

/// Worked by hand. Two tees are 4.00 at Mill and, from two on, 3.60 at Dock: 0.40 less, as estimated. The coil of half-inch
/// is 20 at Mill, and a longer one 21 at Dock. A bag of 25
/// rings is 5.00 at Dock; Mill's bag of ten holds the four that are needed.
#[test]
fn another_offer_is_cheaper_where_it_undercuts_the_chosen_one_by_more_than_as_estimated() {
    let is_cheaper = |part: &str, size: &str, edit: Option<(&str, &str, &str)>| {
        let mut book = Opened::new(&workbook(&two_suppliers()));
        if let Some((supplier, heading, typed)) = edit {
            let row = book.row_of("Prices", &[supplier, part, size]);
            let column = book.find("Prices", heading).1;
            book.type_number("Prices", (row, column), typed);
        }
        book.recalculate();
        let ordered = if part == "tube" { "tube, blue" } else { part };
        let (row, column) = (book.row_of("Order", &[ordered, size]), book.find("Order", "check").1);
        let CellValue::String(check) = book.value("Order", row, column) else { panic!("no check") };
        let counted = book.find("Summary", "lines that another offer is cheaper for").0;
        let counted = book.number("Summary", (counted, 3)) > 0.0;
        assert_eq!(counted, check == "another offer is cheaper now: run again", "{check}");
        counted
    };
    let tee = "3/4 x 3/4 x 1/2";
    assert!(!is_cheaper("tee", tee, None));
    for (part, size, supplier, heading, typed, cheaper) in [
        ("tee", tee, "Mill", "price", "2.01", true),
        ("tee", tee, "Mill", "price", "1.95", false),
        ("tee", tee, "Dock", "price 1", "1.79", true),
        ("tee", tee, "Dock", "price", "1.79", true),
        ("tee", tee, "Dock", "price", "1.85", false),
        ("tee", tee, "Dock", "off 1 %", "1", true),
        ("tube", "1/2", "Mill", "price", "21", false),
        ("tube", "1/2", "Mill", "price", "21.01", true),
        ("tube", "1/2", "Dock", "price", "19.99", true),
        ("clamp ring", "3/4", "Mill", "price", "5", false),
        ("clamp ring", "3/4", "Mill", "price", "5.01", true),
    ] {
        let found = is_cheaper(part, size, Some((supplier, heading, typed)));
        assert_eq!(found, cheaper, "{part} {supplier} {heading} {typed}");
    }
}
