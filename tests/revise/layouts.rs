//! Jobs side by side.

use coilstick::estimate::estimate;
use coilstick::estimate::revision::layouts::{Figure, side_by_side};
use coilstick::trade::Job;

use crate::{house, side};

#[test]
fn two_layouts_stand_side_by_side_with_what_the_second_is_more() {
    let [job, (name, runs), prices, labor, tools] = house::tables();
    let longer = runs.replace("C4,cold,1/2,18.25", "C4,cold,1/2,28.25");
    let (old, new) = (
        Job::from_texts(&[job, (name, runs), prices, labor, tools]),
        Job::from_texts(&[job, (name, &longer), prices, labor, tools]),
    );
    let (was, is) = (estimate(&old), estimate(&new));
    let sides = [("a".to_owned(), side(&old, &was)), ("b".to_owned(), side(&new, &is))];
    let layouts = side_by_side(&sides, false).unwrap();
    assert_eq!(layouts.columns.len(), 2);
    assert_eq!(layouts.columns[1].job, "Lodge on Alder Lane & annex (b)");
    let row = |name: &str| &layouts.rows.iter().find(|row| row.name.trim() == name).unwrap().cells;
    let half = row("1/2, ft");
    assert_eq!(half[1].more_than(&half[0]), "+10");
    let [Figure::Money(first), Figure::Money(second)] = row("material, USD")[..] else { panic!() };
    assert_eq!((first, second), (was.alternatives[0].cost.material, is.alternatives[0].cost.material));
    // Sizes from small to large, and together the whole.
    let sizes: Vec<&str> =
        layouts.rows.iter().filter(|row| row.name.starts_with("  ")).map(|row| row.name.trim()).collect();
    assert_eq!(sizes, ["1/2, ft", "3/4, ft", "1, ft"]);
    let all: rust_decimal::Decimal = sizes.iter().map(|size| row(size)[0].number()).sum();
    assert_eq!(all, row("tube, ft")[0].number());
    assert_eq!(side_by_side(&sides, true).unwrap().columns.len(), 4);
}

#[test]
fn two_currencies_are_not_compared() {
    let [(table, job), runs, prices, labor, tools] = house::tables();
    let euros = job.replace("currency,,USD", "currency,,EUR");
    let old = Job::from_texts(&[(table, job), runs, prices, labor, tools]);
    let new = Job::from_texts(&[(table, &euros), runs, prices, labor, tools]);
    let (was, is) = (estimate(&old), estimate(&new));
    let sides = [("a".to_owned(), side(&old, &was)), ("b".to_owned(), side(&new, &is))];
    assert!(side_by_side(&sides, false).unwrap_err().contains("two currencies"));
}
