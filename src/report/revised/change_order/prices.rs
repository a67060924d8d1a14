//! The sheet Prices moved: what prices alone did to each item, the largest effect first, and the offers that moved,
//! ran out, came or went.

use rust_decimal::Decimal;
use rust_xlsxwriter::{Workbook, XlsxError};

use super::{difference, identity, quantity_kind};
use crate::estimate::revision::{ItemChange, OfferChange, OfferWhat, Revision};
use crate::ground::money::round_half_away;
use crate::report::form::{Binding, Kind, Page, Paper, Tone, Written, columns, letters, shown};

columns! {
    ()
    PART "part", 30.0, Text;
    SYSTEM "system", 32.0, Text;
    SIZE "size", 16.0, Text;
    UNIT "unit", 9.0, Text;
    NEED "need now", 10.0, Whole;
    OLD "at old prices", 11.0, Money;
    NEW "at new prices", 11.0, Money;
    MOVED "moved", 11.0, Money;
    POINTS "percent", 9.0, Percent;
    REMARK "bought by now", 40.0, Wrap;
}
const ACROSS: u16 = 10;

/// Writes the sheet; gives the cell of what prices moved in all.
pub(super) fn write(
    out: &mut Workbook,
    binding: &Binding<'_>,
    revision: &Revision,
) -> Result<String, XlsxError> {
    let about =
        "What the prices alone moved, at the new quantities, the largest effect first; below it the offers.";
    let mut page =
        Page::open(out, binding, "Prices moved", "Prices moved", about, Paper::Landscape, columns())?;
    page.headings(1)?;
    let first = page.row;
    for item in revision.moved_by_price() {
        line(&mut page, item)?;
    }
    let nothing = revision.moved_by_price().is_empty();
    let guard = page.guard(0, nothing)?;
    page.blanks(0..ACROSS, Tone::Total)?;
    page.text(0, "moved by prices alone", Tone::Total)?;
    let formula = Page::sum(MOVED, (first, guard));
    page.formula(MOVED, &formula, revision.totals.price, Tone::Total)?;
    let total = format!("='Prices moved'!${}${}", letters(MOVED), shown(page.row));
    page.next();
    page.next();
    offers(&mut page, binding, revision)?;
    page.print_to(page.row, REMARK)?;
    Ok(total)
}

fn line(page: &mut Page<'_>, item: &ItemChange) -> Written {
    identity(page, item)?;
    let now = item.new.as_ref();
    page.number_as(NEED, quantity_kind(item), now.map_or(Decimal::ZERO, |side| side.need), Tone::Plain)?;
    let new = now.and_then(|side| side.cost).unwrap_or_default();
    let old = new - item.by_price;
    page.number(OLD, old, Tone::Plain)?;
    page.number(NEW, new, Tone::Plain)?;
    let formula = difference(page, 2, NEW, OLD);
    page.formula(MOVED, &formula, item.by_price, Tone::Plain)?;
    points(page, old, new)?;
    let packs = now.iter().flat_map(|side| &side.packs);
    let packs = packs.map(|pack| format!("{} x {}", pack.packs.normalize(), pack.offer));
    let packs = packs.collect::<Vec<_>>().join("; ");
    page.text(REMARK, &packs, Tone::Muted)?;
    page.end_fitted(&[(REMARK, &packs)])
}

/// Percent of the old sum; of nothing there is none.
fn points(page: &mut Page<'_>, old: Decimal, new: Decimal) -> Written {
    let points = (new - old).checked_mul(Decimal::ONE_HUNDRED).and_then(|more| more.checked_div(old));
    let Some(points) = points else { return page.text(POINTS, "", Tone::Plain) };
    let (old, new) = (page.here(OLD), page.here(NEW));
    let formula = format!("=ROUND(ROUND(({new}-{old})*100/{old},6),1)");
    let points = round_half_away(round_half_away(points, 6), 1);
    page.formula(POINTS, &formula, points, Tone::Plain)
}

/// Offers that changed.
fn offers(page: &mut Page<'_>, binding: &Binding<'_>, revision: &Revision) -> Written {
    page.band("Offers of the price lists", ACROSS, &binding.look.band)?;
    if revision.offers.is_empty() {
        page.put(0, "No offer changed.", &binding.look.subtitle)?;
        return page.end();
    }
    let headings =
        ["what it is", "supplier", "sold as", "code", "what", "old", "new", "moved", "percent", "bought by"];
    page.heads(0, headings, |at| (OLD..=POINTS).contains(&at))?;
    for offer in &revision.offers {
        offer_line(page, offer)?;
    }
    Ok(())
}

fn offer_line(page: &mut Page<'_>, offer: &OfferChange) -> Written {
    let tone = if offer.bought { Tone::Plain } else { Tone::Muted };
    let text = |page: &mut Page<'_>, at: u16, words: &str| {
        let format = page.look.cell(Kind::Text, tone).clone();
        page.put(at, words, &format)
    };
    for (at, words) in (0_u16..).zip([&offer.called, &offer.supplier, &offer.sold_as]) {
        page.text(at, words, tone)?;
    }
    page.text(UNIT, &offer.code, tone)?;
    text(page, NEED, offer.what.word())?;
    match &offer.what {
        OfferWhat::Moved { old, new, .. } => {
            page.number_as(OLD, Kind::Price, *old, tone)?;
            page.number_as(NEW, Kind::Price, *new, tone)?;
            let formula = difference(page, 4, NEW, OLD);
            page.formula_as(MOVED, Kind::Price, &formula, *new - *old, tone)?;
            points(page, *old, *new)?;
        }
        OfferWhat::Expired(day) => page.text(OLD, &format!("until {day}"), tone)?,
        OfferWhat::NotYet(day) => page.text(NEW, &format!("from {day}"), tone)?,
        OfferWhat::Breaks | OfferWhat::New | OfferWhat::Gone => {}
    }
    let bought = match (offer.bought, &offer.what) {
        (true, OfferWhat::Gone) => "the estimate before",
        (true, _) => "this estimate",
        (false, _) => "",
    };
    page.text(REMARK, bought, tone)?;
    page.end()
}
