//! The block of the sheet Comparison that says what each alternative costs installed: material, tools, labor, sales tax,
//! hours, joints; and where copper and plastic tie.

use rust_decimal::Decimal;
use rust_xlsxwriter::XlsxError;

use super::Book;
use super::look::{Kind, Tone};
use super::page::{Page, letters, shown};
use super::settings::tax_name;
use crate::estimate::installed::Installed;
use crate::ground::money::{in_currency, points};
use crate::trade::Taxed;

/// Writes the block under the cost lines: names in column 0, the alternatives from column `first` on. `material` is the
/// row of total material.
pub(super) fn write(
    page: &mut Page<'_>,
    book: &Book<'_>,
    (first, across): (u16, u16),
    material: u32,
    alternatives: &[usize],
) -> Result<(), XlsxError> {
    let compared = &book.words.estimate.comparison;
    let job = book.words.job;
    let installed = |index: usize| compared.installed.get(index).copied().unwrap_or_default();
    page.next();
    let band = match (job.tools.is_some(), book.words.priced_labor()) {
        (true, true) => "Installed",
        (true, false) => "Installed: labor is not in it",
        (false, true) => "Installed: tools are not in it",
        (false, false) => "Installed: labor and tools are not in it",
    };
    page.band(band, across, &book.look().block)?;
    let start = page.row;
    row(page, "material", Tone::Plain)?;
    for (column, index) in (first..).zip(alternatives) {
        let formula = format!("={}{}", letters(column), shown(material));
        page.formula(column, &formula, installed(*index).material, Tone::Plain)?;
    }
    page.next();
    sums(page, book, "tools", first, alternatives, (job.tools.is_some(), "tools_cost_"), |of| of.tools)?;
    let priced = book.words.priced_labor();
    sums(page, book, "labor", first, alternatives, (priced, "labor_cost_"), |of| of.labor)?;
    row(page, "sales tax on these", Tone::Plain)?;
    for (column, index) in (first..).zip(alternatives) {
        let formula = tax(book, *index);
        page.formula(column, &formula, installed(*index).tax, Tone::Plain)?;
    }
    page.next();
    let total = page.row;
    row(page, "installed", Tone::Total)?;
    for (column, index) in (first..).zip(alternatives) {
        let letters = letters(column);
        let formula = format!("=SUM({letters}{}:{letters}{})", shown(start), shown(total - 1));
        page.formula(column, &formula, installed(*index).total, Tone::Total)?;
    }
    page.next();
    against_first(page, book, first, total, alternatives)?;
    counts(page, book, first, alternatives)?;
    tie(page, book, across)
}

/// The sales tax on material, line by line, and on tools and labor where they are taxed.
fn tax(book: &Book<'_>, index: usize) -> String {
    let n = index + 1;
    let mut sum = format!("SUMIFS(order_tax,order_alternative,{n})");
    if book.words.job.tools.is_some() {
        sum.push_str(&format!("+tools_cost_{n}*{}/100", tax_name(Taxed::Tools)));
    }
    if book.words.priced_labor() {
        sum.push_str(&format!("+labor_cost_{n}*{}/100", tax_name(Taxed::Labor)));
    }
    format!("=ROUND(ROUND({sum},6),2)")
}

fn row(page: &mut Page<'_>, name: &str, tone: Tone) -> Result<(), XlsxError> {
    page.text(0, name, tone)?;
    page.text(1, "", tone)
}

/// A row of sums that other sheets name; where the job says nothing of them, so does the row.
fn sums(
    page: &mut Page<'_>,
    book: &Book<'_>,
    name: &str,
    first: u16,
    alternatives: &[usize],
    (stated, cell): (bool, &str),
    sum: fn(&Installed) -> Decimal,
) -> Result<(), XlsxError> {
    row(page, name, Tone::Plain)?;
    for (column, index) in (first..).zip(alternatives) {
        match book.words.estimate.comparison.installed.get(*index).filter(|_| stated) {
            Some(of) => page.formula(column, &format!("={cell}{}", index + 1), sum(of), Tone::Plain)?,
            None => page.text(column, "not in it", Tone::Muted)?,
        }
    }
    page.next();
    Ok(())
}

fn against_first(
    page: &mut Page<'_>,
    book: &Book<'_>,
    first: u16,
    total: u32,
    alternatives: &[usize],
) -> Result<(), XlsxError> {
    let compared = &book.words.estimate.comparison;
    let differences = &compared.installed_differences;
    let tone = |index: usize| if compared.may_differ(index) { Tone::Plain } else { Tone::Warn };
    let cell = |column: u16| format!("{}{}", letters(column), shown(total));
    let base = format!("${}${}", letters(first), shown(total));
    row(page, "installed against the first", Tone::Plain)?;
    for (column, index) in (first..).zip(alternatives) {
        let difference = differences.get(*index).map(|d| d.0).unwrap_or_default();
        page.formula(column, &format!("={}-{base}", cell(column)), difference, tone(*index))?;
    }
    page.next();
    row(page, &format!("the same, {}", book.words.percent_of()), Tone::Plain)?;
    for (column, index) in (first..).zip(alternatives) {
        let percent = differences.get(*index).and_then(|d| d.1).unwrap_or_default();
        let formula = format!("=IF({base}=0,0,ROUND(ROUND(100*({}-{base})/{base},6),1))", cell(column));
        page.formula_as(column, Kind::Percent, &formula, percent, tone(*index))?;
    }
    page.next();
    Ok(())
}

/// Hours, days, joints, and whether the sums hold everything.
fn counts(page: &mut Page<'_>, book: &Book<'_>, first: u16, alternatives: &[usize]) -> Result<(), XlsxError> {
    let installed = &book.words.estimate.comparison.installed;
    let stated = super::labor::stands(book);
    for (name, cell, value) in [
        ("hours of one person", "labor_hours_", hours as fn(&Installed) -> Option<Decimal>),
        ("days of the crew", "labor_days_", days),
    ] {
        row(page, name, Tone::Plain)?;
        for (column, index) in (first..).zip(alternatives) {
            match installed.get(*index).and_then(value) {
                Some(value) => {
                    page.formula(column, &format!("={cell}{}", index + 1), value, Tone::Plain)?;
                }
                None if stated => page.text(column, "incomplete", Tone::Warn)?,
                None => page.text(column, "no hours", Tone::Muted)?,
            }
        }
        page.next();
    }
    row(page, "joints to make", Tone::Plain)?;
    for (column, index) in (first..).zip(alternatives) {
        let joints = installed.get(*index).map(|of| of.joints).unwrap_or_default();
        page.number_as(column, Kind::Whole, Decimal::from(joints), Tone::Plain)?;
    }
    page.next();
    row(page, "counted and priced whole", Tone::Plain)?;
    for (column, index) in (first..).zip(alternatives) {
        let whole = installed.get(*index).is_some_and(|of| of.whole);
        let (words, tone) = if whole { ("yes", Tone::Plain) } else { ("no: not ranked", Tone::Warn) };
        page.put(column, words, book.look().cell(Kind::Right, tone))?;
    }
    page.next();
    Ok(())
}

fn hours(of: &Installed) -> Option<Decimal> {
    of.hours
}

fn days(of: &Installed) -> Option<Decimal> {
    of.days
}

/// Where copper and plastic tie: a value, since prices are rounded pack by pack.
fn tie(page: &mut Page<'_>, book: &Book<'_>, across: u16) -> Result<(), XlsxError> {
    let Some(tie) = &book.words.estimate.comparison.tie else { return Ok(()) };
    let words = &book.words;
    let currency = &*words.job.settings.currency;
    let (on, against) = (words.alternative(tie.on), words.alternative(tie.against));
    let Some(at) = &tie.at else {
        let text = format!(
            "No price of {} tube makes {on} tie with {against}, choices held: not for nothing, not at eleven times the \
             price. This sentence does not follow edits.",
            words.word(tie.tube),
        );
        return page.paragraph(&text, across, &book.look().paragraph);
    };
    let more = if at.points.is_sign_negative() { "less" } else { "more" };
    let text = format!(
        "Where they tie: with every offer of {} tube {} % {more}, choices held, {on} comes to {} installed and \
         {against} to {}. Reckoned pack by pack at the prices of the price lists; this sentence does not \
         follow edits.",
        words.word(tie.tube),
        points(at.points.abs()),
        in_currency(currency, at.total),
        in_currency(currency, at.other),
    );
    page.paragraph(&text, across, &book.look().paragraph)
}
