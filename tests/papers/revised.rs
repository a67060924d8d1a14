//! Papers of a revision: what the customer signs adds up and shows nothing inside; an order of only what is added is what
//! lies between the two orders.

use std::path::Path;

use calamine::{Data, Reader, Xlsx};
use coilstick::estimate::estimate;
use coilstick::estimate::revision::{Revision, Side, revise};
use coilstick::report::revision_paper_bytes;
use coilstick::trade::Job;
use rust_decimal::Decimal;

use crate::{cells, texts};

/// The change of the cabin, and its papers by name.
fn change_of_the_cabin() -> (Revision, Vec<(Box<str>, Vec<u8>)>) {
    let example =
        |name: &str| Job::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name)).unwrap();
    let (old, new) = (example("lake-cabin"), example("lake-cabin/changed"));
    let between = new.at_prices_of(&old);
    let (was, same, is) = (estimate(&old), estimate(&between), estimate(&new));
    let side = |job, estimate| Side { job, estimate };
    let (before, now) = (Side { job: &old, estimate: &was }, Side { job: &new, estimate: &is });
    let revision = revise(before, side(&between, &same), now);
    let papers = revision_paper_bytes(&revision, [before, now]).unwrap();
    (revision, papers)
}

/// Rows of a sheet of a paper: the first words of each and its last number.
fn sums(workbook: &[u8], sheet: &str) -> Vec<(String, Decimal)> {
    let mut book: Xlsx<_> = Xlsx::new(std::io::Cursor::new(workbook.to_vec())).unwrap();
    let range = book.worksheet_range(sheet).unwrap();
    let row = |cells: &[Data]| {
        let words = cells.iter().find_map(|cell| match cell {
            Data::String(words) if !words.is_empty() => Some(words.clone()),
            _ => None,
        })?;
        let Some(Data::Float(sum)) = cells.last() else { return None };
        Some((words, Decimal::from_str_exact(&format!("{sum:.2}")).unwrap()))
    };
    range.rows().filter_map(row).collect()
}

fn paper<'p>(papers: &'p [(Box<str>, Vec<u8>)], name: &str) -> &'p [u8] {
    &papers.iter().find(|(one, _)| **one == *format!("papers/{name}")).unwrap().1
}

#[test]
fn the_change_order_of_the_customer_adds_up_and_shows_nothing_inside() {
    let (revision, papers) = change_of_the_cabin();
    let rows = sums(paper(&papers, "change-order.xlsx"), "Change order");
    let at = |name: &str| rows.iter().position(|(words, _)| words == name).unwrap();
    let [change, before, now] =
        ["this change", "price in all before", "price in all now"].map(|name| rows[at(name)].1);
    let [old, new] = &revision.bids;
    assert_eq!((before, now, change), (old.total, new.total, new.total - old.total));
    let lines: Decimal = rows[..at("this change")].iter().map(|(_, sum)| *sum).sum();
    assert_eq!(lines, change, "the lines are the change: {rows:?}");
    let mut shown = texts(std::str::from_utf8(paper(&papers, "change-order.html")).unwrap());
    shown.extend(cells(paper(&papers, "change-order.xlsx")));
    for word in ["overhead", "profit", "margin", "markup", "contingency", "Fennwick", "Tidegate", "hours"] {
        assert!(!shown.iter().any(|text| text.to_lowercase().contains(&word.to_lowercase())), "{word}");
    }
    for sum in [revision.totals.adds, revision.totals.new, new.direct, new.overhead, new.profit] {
        assert!(!shown.contains(&sum.normalize().to_string()), "{sum} is an inside sum");
    }
    // What comes in costs more than its material: markups are inside.
    assert!(rows[at("more material and work")].1 > revision.totals.adds);
}

#[test]
fn the_order_of_what_is_added_lies_between_the_two_orders() {
    let (revision, papers) = change_of_the_cabin();
    let mut between = Decimal::ZERO;
    let mut loose = 0;
    for one in &revision.extra {
        between += if one.more.is_sign_positive() { one.sum } else { -one.sum };
        loose += 1;
    }
    // The prices of both are the same. Goods priced by the hundred are rounded line by line.
    let moved = revision.totals.new - revision.totals.old;
    assert!((between - moved).abs() <= Decimal::new(loose, 2), "{between} and {moved}");
    let names: Vec<&str> = papers.iter().map(|(name, _)| &**name).collect();
    for supplier in ["fennwick-supply-invented", "tidegate-plumbing-goods-invented"] {
        assert!(names.contains(&&*format!("papers/order-more-{supplier}.xlsx")), "{names:?}");
    }
    let page =
        String::from_utf8(paper(&papers, "order-more-fennwick-supply-invented.html").to_vec()).unwrap();
    assert!(page.contains("In addition to our order before") && page.contains("Not needed now"));
    assert!(!page.contains("Tidegate"));
}

#[test]
fn the_inside_change_order_has_the_bid_line_by_line() {
    let (revision, papers) = change_of_the_cabin();
    let rows = sums(paper(&papers, "change-order-inside.xlsx"), "Change order, inside");
    for line in revision.bid.iter().filter(|line| line.stated == [true, true]) {
        assert!(rows.contains(&(line.line.clone(), line.new - line.old)), "{}: {rows:?}", line.line);
    }
}
