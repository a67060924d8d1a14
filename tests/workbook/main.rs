//! The workbook judged from outside: an independent spreadsheet engine recalculates it, before and after edits.
mod house;

#[test]
fn t() {
    let (job, estimate) = house::house(&house::Edits::default());
    coilstick::report::write(&job, &estimate, std::path::Path::new("/tmp/report-out")).unwrap();
}
