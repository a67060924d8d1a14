//! What the table `job` says of the bid, item by item: taxes by class, exemptions, fees, sums. Called by the reading of
//! the table alone.

use rust_decimal::Decimal;

use super::super::bid_terms::{Fee, Taxed};
use super::super::lexicon::Lexicon;
use super::super::part::Class;
use super::super::row::{Row, pick};
use super::super::words::Trouble;
use super::{Column, Terms, points, wrong};
use crate::ground::money::to_cents;
use crate::ground::name::fold;

/// What a tax is named for; nothing where no such thing is taxed. "For fittings" is as good as "for fitting", and tools
/// are the parts of that class and the one-offs alike.
fn taxed(narrowed: &str) -> Vec<Taxed> {
    let known: Vec<(Taxed, &'static str)> = Taxed::all().map(|taxed| (taxed, taxed.word())).collect();
    match pick(narrowed, &known).or_else(|| pick(narrowed.trim_end_matches('s'), &known)) {
        Some(Taxed::Tools | Taxed::Class(Class::Tool)) => vec![Taxed::Tools, Taxed::Class(Class::Tool)],
        Some(one) => vec![one],
        None => Vec::new(),
    }
}

pub(super) fn take_tax(narrowed: &str, row: &mut Row<'_, '_>, terms: &mut Terms) {
    let rate = tax(row);
    if narrowed.is_empty() {
        terms.sales_tax = rate;
        return;
    }
    let taxed = taxed(narrowed);
    if taxed.is_empty() {
        let words: Vec<&str> = Taxed::all().map(Taxed::word).collect();
        row.trouble(Column::For, Trouble::UnknownWord { heading: "for", found: narrowed, known: &words });
    }
    terms.bid.tax_rates.extend(taxed.into_iter().map(|one| (one, rate)));
}

/// The points of a sales tax: up to a hundred, and doubtful where it is beyond any that is taken.
fn tax(row: &mut Row<'_, '_>) -> Decimal {
    let rate = points(row, "sales tax");
    if rate > Decimal::ONE_HUNDRED {
        wrong(row, "sales tax", "points from 0 to 100, such as 7 or 7.25");
        return Decimal::ZERO;
    }
    if rate > HIGHEST_TAX {
        row.trouble(Column::Value, Trouble::TaxTooHigh { found: &rate.normalize().to_string() });
    }
    rate
}

/// A tax on sales above this is doubtful (common practice: in the states a tenth or less, elsewhere up to 27).
const HIGHEST_TAX: Decimal = Decimal::from_parts(30, 0, 0, false, 0);

/// A class of which none is taxed, or a part; that there is such a part is judged with the catalog.
pub(super) fn take_exempt(narrowed: &str, row: &mut Row<'_, '_>, lexicon: &mut Lexicon, terms: &mut Terms) {
    if narrowed.is_empty() {
        let help = "a class or a part on which no sales tax is taken";
        row.trouble(Column::For, Trouble::EmptyCell { heading: "for", help });
        return;
    }
    if row.yes_no(Column::Value) != Some(true) {
        return;
    }
    let taxed = taxed(narrowed);
    if taxed.is_empty() {
        terms.bid.exempt.push((lexicon.word(narrowed), row.at()));
    }
    terms.bid.untaxed.extend(taxed);
}

/// A fee is called as `for` says, else by its own item: `permit`, `bond`.
pub(super) fn take_fee(narrowed: &str, row: &mut Row<'_, '_>, terms: &mut Terms, marked_up: bool) {
    let item = fold(row.text(Column::Item));
    let item = item.strip_suffix(" fee").unwrap_or(&item);
    let named = !matches!(item, "fee" | "fees" | "marked up");
    let name = match (named, narrowed.is_empty()) {
        (true, true) => item.to_owned(),
        (true, false) => format!("{item}, {narrowed}"),
        (false, false) => narrowed.to_owned(),
        (false, true) => {
            let help = "what the fee is for: permit, inspection, bond";
            row.trouble(Column::For, Trouble::EmptyCell { heading: "for", help });
            return;
        }
    };
    let sum = sum(row, &name);
    terms.bid.fees.push(Fee { name: name.into(), sum, marked_up });
}

/// A sum of money from zero up, in cents.
pub(super) fn sum(row: &mut Row<'_, '_>, item: &str) -> Decimal {
    let sum = row.number(Column::Value).value().unwrap_or_default();
    if sum.is_sign_negative() || to_cents(sum) != sum {
        wrong(row, item, "a sum in whole cents, from 0");
        return Decimal::ZERO;
    }
    sum
}
