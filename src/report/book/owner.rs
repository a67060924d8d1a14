//! The sheet Owner: a page to print and hand over. Scope, price, alternates and what is not included; no costs, hours,
//! markups or suppliers. Its sums follow those of the sheet Bid.

use rust_xlsxwriter::Workbook;

use super::Book;
use crate::report::facts::{CAUTIONS, Owner};
use crate::report::form::{Kind, Page, Paper, Tone, Written, column};

const ACROSS: u16 = 4;
const SUM: u16 = 3;

/// Writes the sheet.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let owner = Owner::of(&book.words);
    let currency = if owner.currency.is_empty() { "sum" } else { &*owner.currency };
    let columns = vec![
        column("", 24.0, Kind::Text),
        column("", 30.0, Kind::Text),
        column("", 22.0, Kind::Text),
        column(currency, 16.0, Kind::Money),
    ];
    let title = if owner.job.is_empty() { "Price" } else { &*owner.job };
    let about = about(&owner);
    let mut page = Page::open(out, &book.binding, "Owner", title, &about, Paper::Portrait, columns)?;
    page.next();
    if !owner.complete {
        let words = "THIS PRICE IS NOT COMPLETE: part of the work is not counted or not priced.";
        page.paragraph(words, ACROSS, &book.look().banner)?;
        page.next();
    }
    scope(&mut page, book, &owner)?;
    price(&mut page, book, &owner)?;
    alternates(&mut page, book, &owner)?;
    let marked = |line: &str| format!("\u{2022} {line}");
    let not_included = owner.not_included.iter().map(|line| marked(line));
    book.list(&mut page, ACROSS, "Not included", not_included)?;
    book.list(&mut page, ACROSS, "Please note", CAUTIONS.map(marked))
}

fn about(owner: &Owner) -> String {
    let mut parts: Vec<String> = owner.date.iter().map(ToString::to_string).collect();
    parts.push(match &owner.good_until {
        Some(date) => format!("this price is good until {date}"),
        None => "no day is stated until which this price is good".to_owned(),
    });
    parts.join("  \u{b7}  ")
}

fn scope(page: &mut Page<'_>, book: &Book<'_>, owner: &Owner) -> Written {
    page.band("The work", ACROSS, &book.look().block)?;
    for line in &owner.work {
        page.paragraph(line, ACROSS, &book.look().paragraph)?;
    }
    let mut before = None;
    for one in &owner.scope {
        let place = match (one.level.is_empty(), one.area.is_empty()) {
            (true, true) => "elsewhere".to_owned(),
            (false, false) => format!("{}, {}", one.area, one.level),
            (true, false) => one.area.clone(),
            (false, true) => one.level.clone(),
        };
        let shown = if before.as_ref() == Some(&place) { "" } else { &*place };
        page.texts(0, [shown, &one.fixture], Tone::Plain)?;
        page.text(2, &one.with, Tone::Muted)?;
        page.number_as(SUM, Kind::Whole, one.count.into(), Tone::Plain)?;
        page.next();
        before = Some(place);
    }
    page.end()
}

fn price(page: &mut Page<'_>, book: &Book<'_>, owner: &Owner) -> Written {
    let currency = if owner.currency.is_empty() { String::new() } else { format!(", in {}", owner.currency) };
    page.band(&format!("The price{currency}"), ACROSS, &book.look().block)?;
    for line in &owner.price {
        let tone = if line.is_total { Tone::Total } else { Tone::Plain };
        page.named(&line.name, tone)?;
        page.text(2, "", tone)?;
        page.formula(SUM, &format!("={}", line.cell), line.amount, tone)?;
        page.next();
    }
    page.end()
}

fn alternates(page: &mut Page<'_>, book: &Book<'_>, owner: &Owner) -> Written {
    if owner.alternates.is_empty() {
        return Ok(());
    }
    let words = "Alternates, each by itself against the price above, tax included";
    page.band(words, ACROSS, &book.look().block)?;
    for one in &owner.alternates {
        let plain = book.look().cell(Kind::Text, Tone::Plain);
        page.put(0, &one.name, plain)?;
        page.sheet.write_blank(page.row, 1, plain)?;
        match one.amount {
            Some(amount) => {
                let cell = &one.cell;
                let word = match amount {
                    zero if zero.is_zero() => "the same",
                    _ => one.word,
                };
                let formula = format!("=IF({cell}<0,\"deduct\",IF({cell}>0,\"add\",\"the same\"))");
                page.formula_words(2, &formula, word, Tone::Plain)?;
                page.formula(SUM, &format!("=MAX({cell},0-{cell})"), amount, Tone::Plain)?;
            }
            None => {
                page.text(2, "not priced", Tone::Warn)?;
                page.text(SUM, "", Tone::Plain)?;
            }
        }
        page.next();
    }
    page.end()
}
