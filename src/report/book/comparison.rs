//! The sheet Comparison: every alternative in a column, live sums of the order and differences; and what
//! only one side has.

use rust_decimal::Decimal;
use rust_xlsxwriter::Workbook;

use super::costs;
use super::edits::close_unedited;
use super::{Book, Sides, chart, installed};
use crate::estimate::installed::joints_to_make;
use crate::report::form::{Kind, Page, Paper, Tone, Written, column};

/// The column of the first alternative.
const FIRST: u16 = 2;
/// What is said of a system whose sums do not hold everything.
const NOT_WHOLE: &str = "NOT WHOLE, its sums are too low";

/// Writes the sheet.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let estimate = book.words.estimate;
    let alternatives: Vec<usize> = (0..estimate.alternatives.len()).take(40).collect();
    let mut columns = vec![column("cost line", 26.0, Kind::Text), column("percent", 9.0, Kind::Percent)];
    for index in &alternatives {
        columns.push(column(book.words.alternative(*index), 16.0, Kind::Money));
    }
    while columns.len() < 6 {
        columns.push(column("", 16.0, Kind::Text));
    }
    let across = u16::try_from(columns.len()).unwrap_or(u16::MAX);
    let currency = &*book.words.job.settings.currency;
    let about = if currency.is_empty() { String::new() } else { format!("All sums in {currency}.") };
    let paper = if alternatives.len() > super::UPRIGHT { Paper::Landscape } else { Paper::Portrait };
    let mut page = Page::open(out, &book.binding, "Comparison", "Comparison", &about, paper, columns)?;
    if !estimate.comparison.sentence.is_empty() {
        page.paragraph_as_estimated(&book.words.as_estimated(), across, &book.look().paragraph)?;
        page.run_again(page.row, 0)?;
    }
    page.headings(FIRST)?;
    let heading = page.row - 1;
    in_words(&mut page, book, &alternatives)?;
    let block = costs::write(&mut page, book, FIRST, &alternatives)?;
    let all = (FIRST, &*alternatives);
    let differences = &estimate.comparison.differences;
    let total = ("material against the first", block.material);
    installed::against_first(&mut page, book, all, total, differences)?;
    facts(&mut page, book, all)?;
    let lines = installed::write(&mut page, book, across, block.material, all)?;
    page.next();
    one_sided(&mut page, book, across)?;
    close_unedited(page)?;
    // The summary stands before it in the workbook, and shows what it says.
    let Some(at) = book.chart_row else { return Ok(()) };
    let last = FIRST + u16::try_from(alternatives.len()).unwrap_or(1).saturating_sub(1);
    chart::draw(
        out.worksheet_from_name("Summary")?,
        at,
        currency,
        &chart::Drawn { heading, lines, columns: (FIRST, last) },
    )
}

/// What people call each system, under its name; one that is not whole is marked above its sums.
fn in_words(page: &mut Page<'_>, book: &Book<'_>, alternatives: &[usize]) -> Written {
    let called = |index: &usize| match book.words.estimate.comparison.is_whole(*index) {
        true => (book.words.alternative_in_words(*index), Tone::Muted),
        false => (format!("{}: {NOT_WHOLE}", book.words.alternative_in_words(*index)), Tone::Warn),
    };
    let called: Vec<(String, Tone)> = alternatives.iter().map(called).collect();
    for (column, (words, tone)) in (FIRST..).zip(&called) {
        page.put(column, words, book.look().cell(Kind::Wrap, *tone))?;
    }
    let cells: Vec<(u16, &str)> = (FIRST..).zip(called.iter().map(|(words, _)| &**words)).collect();
    page.end_fitted(&cells)
}

fn facts(page: &mut Page<'_>, book: &Book<'_>, all: Sides<'_>) -> Written {
    let estimate = book.words.estimate;
    page.side_by_side("lines not priced", Tone::Plain, all, |page, column, index| {
        let formula = format!("=SUMIFS(order_not_priced,order_alternative,{})", index + 1);
        let count = Decimal::from(estimate.alternatives[*index].cost.not_priced.len());
        page.formula_as(column, Kind::Whole, &formula, count, Tone::Plain)
    })?;
    page.side_by_side("joints to make", Tone::Plain, all, |page, column, index| {
        let joints = joints_to_make(&estimate.alternatives[*index]);
        page.number_as(column, Kind::Whole, Decimal::from(joints), Tone::Plain)
    })?;
    let tube = format!("tube, {}", book.words.length_unit().abbreviation());
    page.side_by_side(&tube, Tone::Plain, all, |page, column, index| {
        let length = estimate.comparison.feet.get(*index).copied().unwrap_or_default();
        page.number_as(column, Kind::Length, length, Tone::Plain)
    })?;
    installed::ranked(page, "complete", all, |index| estimate.comparison.is_whole(index))
}

fn one_sided(page: &mut Page<'_>, book: &Book<'_>, across: u16) -> Written {
    let list = &book.words.estimate.comparison.one_sided;
    if list.is_empty() {
        return Ok(());
    }
    page.band("Parts that only one side has", across, &book.look().block)?;
    for one in list {
        page.text(0, book.words.alternative(one.alternative), Tone::Muted)?;
        let kind = book.quantity_kind(one.item);
        page.number_as(1, kind, one.need, Tone::Plain)?;
        let words = format!("{} {}", book.words.unit(one.item), book.words.item_name(one.item));
        let words = words.strip_prefix("each ").unwrap_or(&words);
        page.blanks(FIRST + 1..across, Tone::Plain)?;
        page.put(FIRST, words, book.look().cell(Kind::Text, Tone::Plain))?;
        page.next();
    }
    Ok(())
}
