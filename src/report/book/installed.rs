//! The block of the sheet Comparison that says what each alternative costs installed: material, tools, labor, sales tax,
//! hours, joints; and where copper and plastic tie.

use rust_decimal::Decimal;
use rust_xlsxwriter::XlsxError;

use super::settings::tax_name;
use super::{Book, Sides};
use crate::estimate::installed::Installed;
use crate::ground::money::{in_currency, points};
use crate::report::form::{Kind, Page, Tone, Written, letters, shown};
use crate::trade::Taxed;

/// Writes the block under the cost lines, the alternatives side by side. `material` is the row of total material. Gives the row
/// of the first line that is added up, and that of the sum.
pub(super) fn write(
    page: &mut Page<'_>,
    book: &Book<'_>,
    across: u16,
    material: u32,
    all: Sides<'_>,
) -> Result<(u32, u32), XlsxError> {
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
    page.side_by_side("material", Tone::Plain, all, |page, column, index| {
        let formula = format!("={}{}", letters(column), shown(material));
        page.formula(column, &formula, installed(*index).material, Tone::Plain)
    })?;
    sums(page, book, "tools", all, (job.tools.is_some(), "tools_cost_"), |of| of.tools)?;
    sums(page, book, "labor", all, (book.words.priced_labor(), "labor_cost_"), |of| of.labor)?;
    page.side_by_side("sales tax on these", Tone::Plain, all, |page, column, index| {
        page.formula(column, &tax(book, *index), installed(*index).tax, Tone::Plain)
    })?;
    let total = page.row;
    page.side_by_side("installed", Tone::Total, all, |page, column, index| {
        page.formula(column, &Page::sum(column, (start, total - 1)), installed(*index).total, Tone::Total)
    })?;
    let differences = &compared.installed_differences;
    against_first(page, book, all, ("installed against the first", total), differences)?;
    counts(page, book, all)?;
    tie(page, book, across)?;
    Ok((start, total))
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

/// A row of sums that other sheets name; where the job says nothing of them, so does the row.
fn sums(
    page: &mut Page<'_>,
    book: &Book<'_>,
    name: &str,
    all: Sides<'_>,
    (stated, cell): (bool, &str),
    sum: fn(&Installed) -> Decimal,
) -> Written {
    let installed = &book.words.estimate.comparison.installed;
    page.side_by_side(name, Tone::Plain, all, |page, column, index| {
        match installed.get(*index).filter(|_| stated) {
            Some(of) => page.formula(column, &format!("={cell}{}", index + 1), sum(of), Tone::Plain),
            None => page.text(column, "not in it", Tone::Muted),
        }
    })
}

/// What each alternative comes to against the first, as a sum and as a percentage, from the row of a total.
pub(super) fn against_first(
    page: &mut Page<'_>,
    book: &Book<'_>,
    all: Sides<'_>,
    (name, total): (&str, u32),
    differences: &[(Decimal, Option<Decimal>)],
) -> Written {
    let compared = &book.words.estimate.comparison;
    let tone = |index: usize| if compared.may_differ(index) { Tone::Plain } else { Tone::Warn };
    let cell = |column: u16| format!("{}{}", letters(column), shown(total));
    let base = format!("${}${}", letters(all.0), shown(total));
    page.side_by_side(name, Tone::Plain, all, |page, column, index| {
        let difference = differences.get(*index).map(|d| d.0).unwrap_or_default();
        page.formula(column, &format!("={}-{base}", cell(column)), difference, tone(*index))
    })?;
    let name = format!("the same, {}", book.words.percent_of());
    page.side_by_side(&name, Tone::Plain, all, |page, column, index| {
        let percent = differences.get(*index).and_then(|d| d.1).unwrap_or_default();
        let formula = format!("=IF({base}=0,0,ROUND(ROUND(100*({}-{base})/{base},6),1))", cell(column));
        page.formula_as(column, Kind::Percent, &formula, percent, tone(*index))
    })
}

/// Whether the sums of each alternative hold everything: only then is it ranked.
pub(super) fn ranked(
    page: &mut Page<'_>,
    name: &str,
    all: Sides<'_>,
    whole: impl Fn(usize) -> bool,
) -> Written {
    page.side_by_side(name, Tone::Plain, all, |page, column, index| {
        let (words, tone) = if whole(*index) { ("yes", Tone::Plain) } else { ("no: not ranked", Tone::Warn) };
        page.put(column, words, page.look.cell(Kind::Right, tone))
    })
}

/// Hours, days, joints, and whether the sums hold everything.
fn counts(page: &mut Page<'_>, book: &Book<'_>, all: Sides<'_>) -> Written {
    let installed = &book.words.estimate.comparison.installed;
    type Count = (&'static str, &'static str, fn(&Installed) -> Option<Decimal>);
    let counts: [Count; 2] = [
        ("hours of one person", "labor_hours_", |of| of.hours),
        ("days of the crew", "labor_days_", |of| of.days),
    ];
    for (name, cell, value) in counts {
        page.side_by_side(name, Tone::Plain, all, |page, column, index| {
            match installed.get(*index).and_then(value) {
                Some(value) => page.formula(column, &format!("={cell}{}", index + 1), value, Tone::Plain),
                None if book.has_hours() => page.text(column, "incomplete", Tone::Warn),
                None => page.text(column, "no hours", Tone::Muted),
            }
        })?;
    }
    page.side_by_side("joints to make", Tone::Plain, all, |page, column, index| {
        let joints = installed.get(*index).map(|of| of.joints).unwrap_or_default();
        page.number_as(column, Kind::Whole, Decimal::from(joints), Tone::Plain)
    })?;
    ranked(page, "counted and priced whole", all, |index| installed.get(index).is_some_and(|of| of.whole))
}

/// Where copper and plastic tie: a value, since prices are rounded pack by pack.
fn tie(page: &mut Page<'_>, book: &Book<'_>, across: u16) -> Written {
    let Some(tie) = &book.words.estimate.comparison.tie else { return Ok(()) };
    let words = &book.words;
    let currency = &*words.job.settings.currency;
    let (on, against) = (words.alternative(tie.on), words.alternative(tie.against));
    let Some(at) = &tie.at else {
        let text = format!(
            "No price of {} tube makes {on} tie with {against}, choices held: not at no cost, not at eleven times the \
             price. This sentence does not follow edits.",
            words.word(tie.tube),
        );
        return page.paragraph_as_estimated(&text, across, &book.look().paragraph);
    };
    let more = if at.points.is_sign_negative() { "less" } else { "more" };
    let text = format!(
        "Where they tie: with every offer of {} tube {} % {more}, choices held, {on} comes to {} installed and \
         {against} to {}. Worked out pack by pack at the prices of the price lists; this sentence does not \
         follow edits.",
        words.word(tie.tube),
        points(at.points.abs()),
        in_currency(currency, at.total),
        in_currency(currency, at.other),
    );
    page.paragraph_as_estimated(&text, across, &book.look().paragraph)
}
