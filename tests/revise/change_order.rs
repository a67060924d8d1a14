//! The files of a revision: the workbook recalculated by an outside engine, the CSV, the JSON.

use coilstick::estimate::revision::Revision;
use coilstick::report::{REVISION_FILES, revision_bytes};
use coilstick::trade::Job;
use rust_decimal::Decimal;

use crate::engine::{Opened, differences};
use crate::kept::{are_as_kept, kept};
use crate::{house, revised};

/// The house, and the house with one run less, one longer, one more, and other prices.
fn revision() -> Revision {
    let [job, (name, runs), (list, prices), labor, tools] = house::tables();
    let old = Job::from_texts(&[job, (name, runs), (list, prices), labor, tools]);
    let mut edited = runs.replace("C4,cold,1/2,18.25", "C4,cold,1/2,27.25");
    edited = edited.lines().filter(|line| !line.starts_with("H4,")).collect::<Vec<_>>().join("\n") + "\n";
    edited += "=C5,cold,1/2,40,fixture supply,C1,24,porch sink,3,2,porch,lavatory,\n";
    let dearer = prices
        .replace("tube,1,92.5,pex", "tube,1,97.35,pex")
        .replace("stub-out,1/2,41.30", "stub-out,1/2,38.10");
    revised(&old, &Job::from_texts(&[job, (name, &edited), (list, &dearer), labor, tools]))
}

#[test]
fn every_formula_of_the_change_order_agrees_with_the_result_beside_it() {
    let revision = revision();
    assert!(
        revision.adds().count() > 2 && revision.deducts().count() > 0 && revision.moved_by_price().len() > 1
    );
    let [workbook, ..] = revision_bytes(&revision, &[]).unwrap();
    let mut book = Opened::new(&workbook);
    let cached = book.formulas();
    book.recalculate();
    let wrong = differences(&book.formulas(), &cached);
    assert!(wrong.is_empty(), "{} cells differ: {:#?}", wrong.len(), &wrong[..wrong.len().min(8)]);
    assert!(cached.len() > 30, "only {} formulas", cached.len());
}

#[test]
fn an_edited_cost_reaches_the_sum_of_adds_and_the_material_now() {
    let revision = revision();
    let [workbook, ..] = revision_bytes(&revision, &[]).unwrap();
    let mut book = Opened::new(&workbook);
    let first = revision.adds().next().unwrap();
    let row = book.find("Change order", "Adds").0 + 1;
    let column = book.find("Change order", "cost now").1;
    let amount = book.find("Change order", "USD").1;
    let now = first.old.as_ref().and_then(|side| side.cost).unwrap_or_default() + first.by_quantity;
    assert_eq!(book.number("Change order", (row, column)).to_string(), now.normalize().to_string());
    book.type_number("Change order", (row, column), &(now + Decimal::ONE_HUNDRED).to_string());
    book.recalculate();
    let sum = book.find("Change order", "sum of adds").0;
    let material = book.find("Change order", "material now").0;
    let close =
        |cell: f64, expected: Decimal| (cell - expected.to_string().parse::<f64>().unwrap()).abs() < 1e-6;
    assert!(close(book.number("Change order", (sum, amount)), revision.totals.adds + Decimal::ONE_HUNDRED));
    assert!(close(
        book.number("Change order", (material, amount)),
        revision.totals.new + Decimal::ONE_HUNDRED
    ));
}

#[test]
fn the_same_revision_gives_the_same_bytes() {
    let revision = revision();
    let once = revision_bytes(&revision, &[]).unwrap();
    std::thread::sleep(std::time::Duration::from_millis(1100));
    assert!(once == revision_bytes(&revision, &[]).unwrap());
}

#[test]
fn adds_and_deducts_stand_apart_in_csv_and_json() {
    let revision = revision();
    let [_, csv, json] = revision_bytes(&revision, &[]).unwrap();
    let csv = String::from_utf8(csv).unwrap();
    let of = |kind: &str| csv.lines().filter(|line| line.starts_with(&format!("{kind},"))).count();
    assert_eq!((of("add"), of("deduct")), (revision.adds().count(), revision.deducts().count()));
    assert_eq!((of("sum of adds"), of("sum of deducts"), of("net")), (1, 1, 1));
    let json: serde_json::Value = serde_json::from_slice(&json).unwrap();
    assert_eq!((&json["format"], &json["what"]), (&2.into(), &"revision".into()));
    assert_eq!(json["totals"]["adds"].as_str(), Some(&*format!("{:.2}", revision.totals.adds)));
    assert_eq!(json["prices"], "as listed");
    // A cell of a user that a spreadsheet would run is text.
    let [workbook, ..] = revision_bytes(&revision, &[]).unwrap();
    let book = Opened::new(&workbook);
    let (row, column) = book.find("Runs", "\"=C5\"");
    assert!(!book.is_formula("Runs", row, column));
}

#[test]
fn the_change_order_of_the_cabin_is_the_one_that_is_kept() {
    let example = |name: &str| {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name);
        Job::read(&path).unwrap()
    };
    let revision = revised(&example("lake-cabin"), &example("lake-cabin/changed"));
    let files = REVISION_FILES.into_iter().zip(revision_bytes(&revision, &[]).unwrap());
    let texts: Vec<(String, String)> = files.map(|(name, bytes)| kept(name, bytes)).collect();
    let folder =
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/lake-cabin/changed/expected");
    are_as_kept(&folder, &texts);
}
