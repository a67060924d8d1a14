//! Jobs that are workbooks: hidden sheets, and prices whose number formats say more than their numbers.

use std::path::PathBuf;

use coilstick::ground::Severity;
use coilstick::trade::{Job, PricedPer};
use rust_decimal::Decimal;
use rust_xlsxwriter::{Format, Workbook, Worksheet};

/// A workbook of this test run with a sheet `runs` and what is written beside it.
fn book(name: &str, write: impl FnOnce(&mut Workbook)) -> PathBuf {
    let mut workbook = Workbook::new();
    let runs = workbook.add_worksheet().set_name("runs").unwrap();
    fill(runs, &[&["run", "service", "size", "length"], &["A", "cold", "1/2", "10"]]);
    write(&mut workbook);
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("trade-workbooks");
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join(name);
    workbook.save(&path).unwrap();
    path
}

fn fill(sheet: &mut Worksheet, rows: &[&[&str]]) {
    for (row, cells) in (0_u32..).zip(rows) {
        for (column, cell) in (0_u16..).zip(*cells) {
            sheet.write(row, column, *cell).unwrap();
        }
    }
}

/// Severity, kind and place of each notice.
fn said(job: &Job) -> Vec<(Severity, &'static str, String)> {
    job.notices.iter().map(|one| (one.severity, one.kind, one.spots[0].to_string())).collect()
}

#[test]
fn a_hidden_sheet_is_named_and_more_loudly_where_it_is_named_as_a_table() {
    let path = book("hidden.xlsx", |workbook| {
        for name in ["Prices", "old notes", "scratch", "lists"] {
            let sheet = workbook.add_worksheet().set_name(name).unwrap();
            fill(sheet, &[&["supplier", "part", "size", "price"], &["Mill (invented)", "elbow", "1/2", "1"]]);
            sheet.set_hidden(true);
        }
    });
    let job = Job::read(&path).unwrap();
    assert!(job.prices.offers.is_empty());
    assert_eq!(
        said(&job),
        [
            (Severity::Warning, "hidden-table", "hidden.xlsx Prices".to_owned()),
            (Severity::Remark, "hidden-sheets", "hidden.xlsx old notes".to_owned()),
        ]
    );
    assert_eq!(job.notices[1].found, "hidden and not read: old notes, scratch");
}

#[test]
fn a_hidden_run_list_is_named_where_there_is_no_other() {
    let mut workbook = Workbook::new();
    workbook.add_worksheet().set_name("prices").unwrap();
    workbook.add_worksheet().set_name("runs").unwrap().set_hidden(true);
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("trade-workbooks");
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join("no-runs.xlsx");
    workbook.save(&path).unwrap();
    let notice = Job::read(&path).unwrap_err();
    assert_eq!((notice.kind, &*notice.spots[0].to_string()), ("hidden-run-list", "no-runs.xlsx runs"));
}

#[test]
fn prices_are_read_as_their_formats_show_them() {
    let path = book("formats.xlsx", |workbook| {
        let sheet = workbook.add_worksheet().set_name("prices").unwrap();
        let heads = ["supplier", "part", "size", "price", "sold as", "per"];
        let row = |size: &'static str| ["Mill (invented)", "elbow", size, "", "each", ""];
        fill(sheet, &[&heads, &row("1/2"), &row("3/4"), &row("1"), &row("1-1/4"), &row("1-1/2")]);
        let with = |code: &str| Format::new().set_num_format(code);
        sheet.write_with_format(1, 3, 7.1, &with("$#,##0.00_);[Red]($#,##0.00)")).unwrap();
        sheet.write_with_format(2, 3, 41.3, &with("0.00\"/C\"")).unwrap();
        sheet.write_with_format(3, 3, 1234.5, &with("#,##0.00")).unwrap();
        sheet.write_with_format(4, 3, 9, &with("[$€-407] #,##0.00")).unwrap();
        sheet.write_with_format(5, 3, 12_000, &with("#,##0,")).unwrap();
    });
    let job = Job::read(&path).unwrap();
    let d = |text| Decimal::from_str_exact(text).unwrap();
    let mut offers: Vec<_> = job.prices.offers.iter().collect();
    offers.sort_by_key(|offer| offer.row.row);
    let read: Vec<_> = offers.iter().take(4).map(|offer| (offer.price, offer.per)).collect();
    assert_eq!(
        read,
        [
            (d("7.1"), PricedPer::Each),
            (d("41.3"), PricedPer::Many(100)),
            (d("1234.5"), PricedPer::Each),
            (d("9"), PricedPer::Each),
        ]
    );
    assert!(offers[4].in_error);
    assert_eq!(
        said(&job),
        [
            (Severity::Warning, "other-currency", "formats.xlsx prices!D5".to_owned()),
            (Severity::Error, "number-format", "formats.xlsx prices!D6".to_owned()),
        ]
    );
}
