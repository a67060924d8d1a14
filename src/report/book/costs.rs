//! The block of costs that the sheets Summary and Comparison share: cost lines, material, tax and markups, bid; one
//! column an alternative, all of it formulas over the order and the named settings.

use rust_decimal::Decimal;
use rust_xlsxwriter::XlsxError;

use super::Book;
use super::look::{Kind, Tone};
use super::page::{Page, letters, shown};
use super::settings::markup_name;
use crate::estimate::order::{CostLine, Markup};

/// Where the lines of a block stand, counted from 0.
pub(super) struct Block {
    /// The first cost line.
    pub(super) lines: u32,
    /// Total material.
    pub(super) material: u32,
}

/// What a markup or tax is taken on, in words.
pub(super) fn taken_on(markup: &str) -> &'static str {
    match markup {
        "sales tax" | "contingency" => "on material",
        "overhead" => "on material and contingency",
        "profit" => "on material, contingency and overhead; a markup, not a margin",
        _ => "on all lines above it",
    }
}

/// Writes the block: names in column 0, percentages in column 1, the alternatives from column `first` on.
pub(super) fn write(
    page: &mut Page<'_>,
    book: &Book<'_>,
    first: u16,
    alternatives: &[usize],
) -> Result<Block, XlsxError> {
    let lines = page.row;
    for (i, cost_line) in (0_usize..).zip(CostLine::ALL) {
        page.text(0, cost_line.word(), Tone::Plain)?;
        page.text(1, "", Tone::Plain)?;
        for (column, alternative) in (first..).zip(alternatives) {
            let formula = format!(
                "=SUMIFS(order_extended,order_alternative,{},order_cost_line,{})",
                alternative + 1,
                i + 1
            );
            let sum = book.words.estimate.alternatives.get(*alternative).map(|a| a.cost.lines[i]);
            page.formula_as(column, Kind::Money, &formula, sum.unwrap_or_default(), Tone::Plain)?;
        }
        page.next();
    }
    let material = page.row;
    total(page, "material", (lines, material - 1), first, alternatives, |i| {
        book.words.estimate.alternatives.get(i).map(|a| a.cost.material)
    })?;
    markups(page, book, material, first, alternatives)?;
    let last = page.row - 1;
    total(page, "bid", (material, last), first, alternatives, |i| {
        book.words.estimate.alternatives.get(i).map(|a| a.cost.bid)
    })?;
    Ok(Block { lines, material })
}

fn total(
    page: &mut Page<'_>,
    name: &str,
    (from, to): (u32, u32),
    first: u16,
    alternatives: &[usize],
    sum: impl Fn(usize) -> Option<Decimal>,
) -> Result<(), XlsxError> {
    page.text(0, name, Tone::Total)?;
    page.text(1, "", Tone::Total)?;
    for (column, alternative) in (first..).zip(alternatives) {
        let letters = letters(column);
        let formula = format!("=SUM({letters}{}:{letters}{})", shown(from), shown(to));
        page.formula_as(column, Kind::Money, &formula, sum(*alternative).unwrap_or_default(), Tone::Total)?;
    }
    page.next();
    Ok(())
}

fn markups(
    page: &mut Page<'_>,
    book: &Book<'_>,
    material: u32,
    first: u16,
    alternatives: &[usize],
) -> Result<(), XlsxError> {
    let list = |index: usize| -> &[Markup] {
        book.words.estimate.alternatives.get(index).map_or(&[], |a| &a.cost.markups)
    };
    let names: Vec<&str> = list(0).iter().map(|markup| markup.name).collect();
    for (i, name) in names.iter().enumerate() {
        page.text(0, name, Tone::Plain)?;
        let percent = list(0).get(i).map(|m| m.percent).unwrap_or_default();
        page.formula_as(1, Kind::Percent, &format!("={}", markup_name(name)), percent, Tone::Muted)?;
        for (column, alternative) in (first..).zip(alternatives) {
            let letters = letters(column);
            let base = match *name {
                "sales tax" => format!("{letters}{}", shown(material)),
                _ => format!("SUM({letters}{}:{letters}{})", shown(material), shown(page.row - 1)),
            };
            let formula = format!("=ROUND(ROUND({base}*{}/100,6),2)", markup_name(name));
            let amount = list(*alternative).get(i).map(|m| m.amount).unwrap_or_default();
            page.formula_as(column, Kind::Money, &formula, amount, Tone::Plain)?;
        }
        page.next();
    }
    Ok(())
}
