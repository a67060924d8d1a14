//! Edits of a job of which choices are held: typed into the workbook and recalculated from outside, its sheets agree with
//! each other, and every cell is to the cent what a run of the program on the edited tables writes there, or says that it
//! was made before the edit.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use coilstick::estimate::estimate;
use coilstick::trade::Job;

use crate::cells::{Held, sheets};
use crate::engine::{self, Opened, differences};

/// A cell of a table: its file, words that stand in its row and in no other, the heading, and what is written there.
type OfTable = (&'static str, Vec<&'static str>, &'static str, &'static str);
/// A cell of the workbook: its sheet, words that stand in its row, the heading, and what is typed.
type OfSheet = (&'static str, Vec<&'static str>, &'static str, &'static str);

/// One edit, made in both.
type Edit = (Vec<OfTable>, Vec<OfSheet>);

const FENNWICK: &str = "prices/fennwick-supply-2026-01-05.csv";

/// The tables of the lake cabin, by file, with a tee on the shelf.
fn tables() -> BTreeMap<String, String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut tables = BTreeMap::new();
    for (from, to) in
        [("examples/lake-cabin", ""), ("price-lists", "prices/"), ("price-lists/invented-hours", "hours/")]
    {
        for entry in std::fs::read_dir(root.join(from)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|ending| ending == "csv") {
                let name = path.file_name().unwrap().to_str().unwrap();
                tables.insert(format!("{to}{name}"), std::fs::read_to_string(&path).unwrap());
            }
        }
    }
    let job = tables["job.csv"].replace("../../price-lists/invented-hours", "hours");
    tables.insert("job.csv".to_owned(), job.replace("../../price-lists", "prices"));
    tables.insert("on hand.csv".to_owned(), "part,size,system,quantity\ntee,1/2,pex-clamp,1\n".to_owned());
    tables
}

/// The job of some tables, read from a folder of its own.
fn job(tables: &BTreeMap<String, String>, name: &str) -> Job {
    let folder: PathBuf = std::env::temp_dir().join(format!("coilstick-edits-{name}-{}", std::process::id()));
    for (file, text) in tables {
        let path = folder.join(file);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }
    let job = Job::read(&folder).unwrap();
    std::fs::remove_dir_all(folder).unwrap();
    job
}

fn file(job: &Job, name: &str) -> Vec<u8> {
    let at = coilstick::report::FILES.iter().position(|file| *file == name).unwrap();
    coilstick::report::bytes(job, &estimate(job)).unwrap()[at].clone()
}

/// The tables with the choices held that are made by them, and their workbook.
static HELD: LazyLock<(BTreeMap<String, String>, Vec<u8>)> = LazyLock::new(|| {
    let mut tables = tables();
    let held = String::from_utf8(file(&job(&tables, "free"), "held.csv")).unwrap();
    tables.insert("held.csv".to_owned(), held);
    let workbook = file(&job(&tables, "held"), "estimate.xlsx");
    (tables, workbook)
});

/// Writes into a cell of a table.
fn write(tables: &mut BTreeMap<String, String>, (file, row, heading, is): &OfTable) {
    let mut reader =
        csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(tables[*file].as_bytes());
    let records: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let column = records[0].iter().position(|cell| cell == *heading).unwrap();
    let is_it = |record: &csv::StringRecord| row.iter().all(|word| record.iter().any(|cell| cell == *word));
    let rows: Vec<usize> = (1..records.len()).filter(|at| is_it(&records[*at])).collect();
    assert_eq!(rows.len(), 1, "rows of {file} with {row:?}");
    let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
    for (at, record) in records.iter().enumerate() {
        let cells =
            record.iter().enumerate().map(|(i, cell)| if (at, i) == (rows[0], column) { is } else { cell });
        writer.write_record(cells).unwrap();
    }
    let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
    tables.insert((*file).to_owned(), text);
}

/// Each edit by itself, and at the end all of them together.
fn hold(name: &str, edits: &[Edit]) {
    let (tables, workbook) = &*HELD;
    let base = sheets(workbook);
    let colored: BTreeSet<engine::Cell> = base
        .iter()
        .flat_map(|sheet| {
            let cells = sheet.cells.values().filter(|cell| sheet.is_colored(cell.at));
            cells.map(|cell| (sheet.name.clone(), cell.at.0, cell.at.1))
        })
        .collect();
    assert!(colored.len() > 20 && colored.len() < 2_000, "{} cells are as estimated", colored.len());
    let all: Edit = edits.iter().cloned().fold(Edit::default(), |mut all, (of_table, of_sheet)| {
        all.0.extend(of_table);
        all.1.extend(of_sheet);
        all
    });
    for (at, (of_table, of_sheet)) in edits.iter().chain([&all]).enumerate() {
        let mut book = Opened::new(workbook);
        for (sheet, row, heading, typed) in of_sheet {
            let cell = (book.row_of(sheet, row), book.find(sheet, heading).1);
            book.type_number(sheet, cell, typed);
        }
        book.recalculate();
        agrees_with_itself(&book, of_sheet);
        let mut tables = tables.clone();
        for cell in of_table {
            write(&mut tables, cell);
        }
        let rerun = sheets(&file(&job(&tables, &format!("{name}-{at}")), "estimate.xlsx"));
        let mut expected = BTreeMap::new();
        for sheet in &rerun {
            for cell in sheet.cells.values() {
                // Where a block begins may hang on what is told; what it says of edits goes with it.
                if matches!(&cell.held, Held::Formula(formula) if !formula.contains("edited")) {
                    expected.insert((sheet.name.clone(), cell.at.0, cell.at.1), cell.shown());
                }
            }
        }
        let mut found = book.formulas();
        let passed = |cell: &engine::Cell| colored.contains(cell) || book.is_of_edits(cell);
        found.retain(|cell, _| !passed(cell));
        expected.retain(|cell, _| !passed(cell));
        let wrong = differences(&expected, &found);
        assert!(
            wrong.is_empty(),
            "{of_sheet:?}: {} cells differ: {:#?}",
            wrong.len(),
            &wrong[..wrong.len().min(8)]
        );
        assert!(found.len() > 3_000, "only {} formulas", found.len());
    }
}

/// Sums that stand on several sheets are the same on all of them, and the first says how many cells were edited.
fn agrees_with_itself(book: &Opened, edits: &[OfSheet]) {
    let at = |sheet: &str, row: &str, column: i32| book.number(sheet, (book.find(sheet, row).0, column));
    let last = |sheet: &str, row: &str, column: i32| book.number(sheet, (book.last(sheet, row), column));
    let same = |what: &str, sums: &[f64]| {
        assert!(sums.iter().all(|sum| (sum - sums[0]).abs() < 5e-3), "{edits:?}: {what}: {sums:?}");
    };
    let suppliers: f64 = book
        .sheets()
        .iter()
        .filter(|sheet| sheet.starts_with("Order - "))
        .map(|sheet| at(sheet, "all goods from this supplier", 10))
        .sum();
    let extended = book.find("Order", "extended").1;
    let material = [
        at("Summary", "material", 3),
        at("Bid inside", "material", 3),
        at("Comparison", "material", 3),
        at("Order", "total material", extended),
        at("Suppliers", "all orders", 2),
        suppliers,
    ];
    same("material", &material);
    // The five cost lines stand above their sum.
    let total = book.find("Summary", "material").0;
    let lines: f64 = (total - 5..total).map(|row| book.number("Summary", (row, 3))).sum();
    same("cost lines", &[lines, material[0]]);
    same(
        "labor",
        &[
            at("Summary", "labor", 3),
            at("Bid inside", "labor", 3),
            at("Labor", "cost, USD", 3),
            last("Comparison", "labor", 3),
        ],
    );
    same(
        "hours",
        &[
            at("Labor", "hours of one person", 3),
            last("Labor", "together", 3),
            last("Comparison", "hours of one person", 3),
        ],
    );
    same(
        "an hour",
        &[at("Labor", "an hour of one person costs", 3), at("Unit prices", "labor an hour of one person", 5)],
    );
    for line in [
        "tools",
        "delivery",
        "small parts",
        "contingency",
        "overhead",
        "profit",
        "price of the work",
        "sales tax",
        "bid",
    ] {
        same(line, &[at("Summary", line, 3), at("Bid inside", line, 3), at("Comparison", line, 3)]);
    }
    let edited = at("Summary", "inputs edited since the estimate", 3);
    same("edited", &[edited, f64::from(u32::try_from(edits.len()).unwrap())]);
    book.starting("Summary", if edits.len() == 1 { "1 input was edited here" } else { "" });
}

/// Each row: the cell of a table, the cell of the workbook, and what is written into both.
macro_rules! edits {
    ($([$file:expr, [$($row:expr),+], $heading:expr] as [$sheet:expr, [$($in_row:expr),+], $under:expr] = $value:expr;)+) => {
        [$((
            vec![($file, vec![$($row),+], $heading, $value)],
            vec![($sheet, vec![$($in_row),+], $under, $value)],
        )),+]
    };
}

#[test]
fn edited_prices_and_discounts_meet_a_run_with_them() {
    hold(
        "prices",
        &edits! {
            // A coil, a fitting, a bag of rings, an offer of the other system.
            [FENNWICK, ["F-4121"], "price"] as ["Prices", ["F-4121"], "price"] = "41.1";
            [FENNWICK, ["F-5199"], "price"] as ["Prices", ["F-5199"], "price"] = "1.07";
            [FENNWICK, ["F-4289"], "price"] as ["Prices", ["F-4289"], "price"] = "7.77";
            [FENNWICK, ["F-9259"], "price"] as ["Prices", ["F-9259"], "price"] = "26.05";
            // Discounts of a valve, of a stick, of a fitting bought nine times.
            [FENNWICK, ["F-5899"], "discount"] as ["Prices", ["F-5899"], "off 1 %"] = "0";
            [FENNWICK, ["F-9245"], "discount"] as ["Prices", ["F-9245"], "off 1 %"] = "17.5";
            [FENNWICK, ["F-5031"], "discount"] as ["Prices", ["F-5031"], "off 1 %"] = "33.33";
        },
    );
}

#[test]
fn edited_allowances_meet_a_run_with_them() {
    hold(
        "allowances",
        &edits! {
            ["job.csv", ["allowance", "fitting"], "value"] as ["Settings", ["fitting allowance"], "percent"] = "12";
            ["job.csv", ["allowance", "ring"], "value"] as ["Settings", ["ring allowance"], "percent"] = "60";
            ["job.csv", ["allowance", "support"], "value"] as ["Settings", ["support allowance"], "percent"] = "0";
            ["job.csv", ["allowance", "consumable"], "value"] as
                ["Settings", ["consumable allowance"], "percent"] = "25";
        },
    );
}

#[test]
fn edited_wages_burden_productivity_and_days_meet_a_run_with_them() {
    hold(
        "wages",
        &edits! {
            ["job.csv", ["rate", "journeyman"], "value"] as ["Labor", ["journeyman"], "USD an hour"] = "48.25";
            ["job.csv", ["rate", "helper"], "value"] as ["Labor", ["helper"], "USD an hour"] = "24.4";
            ["job.csv", ["crew", "helper"], "value"] as ["Labor", ["helper"], "how many"] = "2";
            ["job.csv", ["burden"], "value"] as ["Labor", ["burden, %"], "how many"] = "38.5";
            ["job.csv", ["productivity"], "value"] as ["Labor", ["productivity, %"], "how many"] = "77";
            ["job.csv", ["difficulty", "bath"], "value"] as ["Labor", ["bath"], "added, %"] = "35";
            ["job.csv", ["hours a day"], "value"] as ["Labor", ["hours a day"], "how many"] = "6.5";
        },
    );
}

#[test]
fn edited_hours_and_tools_meet_a_run_with_them() {
    const HOURS: &str = "hours/labor.csv";
    const TOOLS: &str = "hours/tools.csv";
    hold(
        "hours",
        &edits! {
            [HOURS, ["invented: pulled through the framing"], "hours"] as
                ["Hours", ["invented: pulled through the framing"], "hours"] = "2.35";
            [HOURS, ["washer box"], "hours"] as ["Hours", ["washer box"], "hours"] = "0.95";
            [HOURS, ["place"], "hours"] as ["Hours", ["place"], "hours"] = "0.4";
            [HOURS, ["invented: pvc-cement, all other sizes"], "hours"] as
                ["Hours", ["invented: pvc-cement, all other sizes"], "hours"] = "0.095";
            [TOOLS, ["drill for studs and joists"], "price"] as
                ["Tools", ["drill for studs and joists"], "price"] = "44.5";
            [TOOLS, ["clamp tool"], "jobs"] as ["Tools", ["clamp tool"], "jobs"] = "5";
            [TOOLS, ["torch and hose"], "price"] as ["Tools", ["torch and hose"], "price"] = "101";
        },
    );
}

#[test]
fn edited_markups_taxes_and_fees_meet_a_run_with_them() {
    let one_cell = edits! {
        ["job.csv", ["margin"], "value"] as ["Settings", ["profit"], "percent"] = "18";
        ["job.csv", ["overhead"], "value"] as ["Settings", ["overhead"], "percent"] = "11.5";
        ["job.csv", ["contingency"], "value"] as ["Settings", ["contingency"], "percent"] = "0";
        ["job.csv", ["small parts"], "value"] as ["Settings", ["small parts"], "percent"] = "3.25";
        ["job.csv", ["sales tax"], "value"] as ["Settings", ["sales tax"], "percent"] = "8.25";
        ["job.csv", ["delivery"], "value"] as ["Settings", ["delivery"], "percent"] = "35";
        ["job.csv", ["fee", "permit"], "value"] as ["Settings", ["fee: permit"], "percent"] = "175";
    };
    hold("terms", &one_cell);
    // A profit that becomes a markup, and a rate of a class that was exempt.
    let markup = (
        vec![("job.csv", vec!["margin"], "item", "profit")],
        vec![("Settings", vec!["profit is a"], "percent", "markup")],
    );
    let valve = || vec!["tax exempt", "valve"];
    let rate = (
        vec![("job.csv", valve(), "value", "4.5"), ("job.csv", valve(), "item", "sales tax")],
        vec![("Settings", vec!["tax on valve parts"], "percent", "4.5")],
    );
    hold("states", &[markup, rate]);
}

#[test]
fn edited_fees_minimum_orders_stock_and_packs_meet_a_run_with_them() {
    const SUPPLIER: &str = "Fennwick Supply (invented)";
    hold(
        "order",
        &edits! {
            ["suppliers.csv", [SUPPLIER], "delivery fee"] as
                ["Settings", ["delivery fee of Fennwick Supply (invented)"], "percent"] = "61.25";
            ["suppliers.csv", [SUPPLIER], "least order"] as ["Suppliers", [SUPPLIER], "minimum order"] = "900";
            ["on hand.csv", ["tee"], "quantity"] as ["Order", ["F-5199"], "from the shelf"] = "3";
            ["held.csv", ["Fennwick Supply (invented), coil of 100 ft, F-4121"], "packs"] as
                ["Order", ["F-4121"], "packs chosen"] = "3";
        },
    );
}
