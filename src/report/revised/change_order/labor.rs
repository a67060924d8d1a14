//! The block Labor of the change order: hours work by work, and what they cost. Called by [`super::change_order`] alone.

use super::{ACROSS, AMOUNT, BEFORE, CHANGE, COSTS, NOW, PART, REMARK, UNIT, before_and_now, named_row};
use crate::estimate::revision::Revision;
use crate::report::form::look::{Kind, Look, Tone};
use crate::report::form::page::{Page, Written, letters, shown};

/// The hours of labor that the change moves, work by work, and what they cost at the old wages; `net` is the row of what
/// adds and deducts of material come to.
pub(super) fn write(page: &mut Page<'_>, look: &Look, revision: &Revision, net: u32) -> Written {
    page.band("Labor, in hours of one person", ACROSS, &look.band)?;
    let Some(labor) = &revision.labor else {
        page.paragraph(&sentence(super::super::NO_LABOR), ACROSS, &look.paragraph)?;
        return page.end();
    };
    let first = page.row;
    for of in &labor.works {
        named_row(page, &super::super::csv::work(of), Tone::Plain)?;
        page.text(UNIT, "h", Tone::Plain)?;
        let hours = [Some(of.old), Some(of.new)];
        before_and_now(page, [BEFORE, NOW, CHANGE], Kind::Length, hours, Tone::Plain)?;
        page.next();
    }
    let guard = page.guard(PART, labor.works.is_empty())?;
    named_row(page, "hours moved", Tone::Total)?;
    let formula = Page::sum(CHANGE, (first, guard));
    let [before, now] = labor.hours;
    page.formula_as(CHANGE, Kind::Length, &formula, now - before, Tone::Total)?;
    if !labor.whole {
        page.text(REMARK, "some works have no hours", Tone::Total)?;
    }
    page.next();
    let Some([before, now]) = labor.cost else {
        page.paragraph(&sentence(super::super::NO_LABOR), ACROSS, &look.paragraph)?;
        return page.end();
    };
    // Money is taken on the sum of all hours, so that it is the bid's to the cent.
    named_row(page, "labor moved by hours, at the old wages", Tone::Plain)?;
    let by_hours = page.here(AMOUNT);
    let at_old_wages = before + labor.by_hours;
    before_and_now(page, COSTS, Kind::Money, [Some(before), Some(at_old_wages)], Tone::Plain)?;
    page.next();
    named_row(page, "labor moved by wages alone", Tone::Plain)?;
    before_and_now(page, COSTS, Kind::Money, [Some(at_old_wages), Some(now)], Tone::Plain)?;
    page.next();
    named_row(page, "net of adds and deducts with labor", Tone::Total)?;
    let formula = format!("={}{}+{by_hours}", letters(AMOUNT), shown(net));
    page.formula(AMOUNT, &formula, revision.totals.quantity() + labor.by_hours, Tone::Total)?;
    page.next();
    page.end()
}

/// A remark as a sentence of its own.
fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(char::to_uppercase).into_iter().flatten();
    first.chain(letters).chain(['.']).collect()
}
