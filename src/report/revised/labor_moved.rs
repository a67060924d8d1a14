//! The block Labor of the change order: hours work by work, and what they cost. Called by [`super::change_order`] alone.

use rust_decimal::Decimal;
use rust_xlsxwriter::XlsxError;

use super::change_order::{
    ACROSS, AMOUNT, BEFORE, CHANGE, COST_BEFORE, COST_NOW, NOW, PART, REMARK, UNIT, named_row,
};
use crate::estimate::revision::Revision;
use crate::report::book::look::{Kind, Look, Tone};
use crate::report::book::page::{Page, letters, shown};

/// The hours of labor that the change moves, work by work, and what they cost at the old wages; `net` is the row of what
/// adds and deducts of material come to.
pub(super) fn write(
    page: &mut Page<'_>,
    look: &Look,
    revision: &Revision,
    net: u32,
) -> Result<(), XlsxError> {
    page.band("Labor, in hours of one person", ACROSS, &look.band)?;
    let Some(labor) = &revision.labor else {
        page.paragraph(&sentence(super::NO_LABOR), ACROSS, &look.paragraph)?;
        page.next();
        return Ok(());
    };
    let first = page.row;
    for of in &labor.works {
        named_row(page, &super::csv::work(of), Tone::Plain)?;
        hours_row(page, [of.old, of.new], Tone::Plain)?;
    }
    page.put(
        PART,
        if labor.works.is_empty() { "nothing" } else { "insert rows above this line" },
        &look.guard,
    )?;
    let guard = page.row;
    page.next();
    named_row(page, "hours moved", Tone::Total)?;
    let letters_of = letters(CHANGE);
    let formula = format!("=SUM({letters_of}{}:{letters_of}{})", shown(first), shown(guard));
    let [before, now] = labor.hours;
    page.formula_as(CHANGE, Kind::Length, &formula, now - before, Tone::Total)?;
    if !labor.whole {
        page.text(REMARK, "some works have no hours", Tone::Total)?;
    }
    page.next();
    let Some([before, now]) = labor.cost else {
        page.paragraph(&sentence(super::NO_LABOR), ACROSS, &look.paragraph)?;
        page.next();
        return Ok(());
    };
    // Money is taken on the sum of all hours, so that it is the bid's to the cent.
    named_row(page, "labor moved by hours, at the old wages", Tone::Plain)?;
    page.number(COST_BEFORE, before, Tone::Plain)?;
    page.number(COST_NOW, before + labor.by_hours, Tone::Plain)?;
    let formula = format!("=ROUND({}-{},2)", page.here(COST_NOW), page.here(COST_BEFORE));
    let by_hours = page.here(AMOUNT);
    page.formula(AMOUNT, &formula, labor.by_hours, Tone::Plain)?;
    page.next();
    named_row(page, "labor moved by wages alone", Tone::Plain)?;
    page.number(COST_BEFORE, before + labor.by_hours, Tone::Plain)?;
    page.number(COST_NOW, now, Tone::Plain)?;
    let formula = format!("=ROUND({}-{},2)", page.here(COST_NOW), page.here(COST_BEFORE));
    page.formula(AMOUNT, &formula, labor.by_wages, Tone::Plain)?;
    page.next();
    named_row(page, "net of adds and deducts with labor", Tone::Total)?;
    let formula = format!("={}{}+{by_hours}", letters(AMOUNT), shown(net));
    page.formula(AMOUNT, &formula, revision.totals.quantity() + labor.by_hours, Tone::Total)?;
    page.next();
    page.next();
    Ok(())
}

/// Hours before, now and the difference, in the columns of need.
fn hours_row(page: &mut Page<'_>, [before, now]: [Decimal; 2], tone: Tone) -> Result<(), XlsxError> {
    page.text(UNIT, "h", tone)?;
    page.number_as(BEFORE, Kind::Length, before, tone)?;
    page.number_as(NOW, Kind::Length, now, tone)?;
    let change = format!("=ROUND({}-{},2)", page.here(NOW), page.here(BEFORE));
    page.formula_as(CHANGE, Kind::Length, &change, now - before, tone)?;
    page.next();
    Ok(())
}

/// A remark as a sentence of its own.
fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(char::to_uppercase).into_iter().flatten();
    first.chain(letters).chain(['.']).collect()
}
