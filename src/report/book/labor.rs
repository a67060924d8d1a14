//! The sheet Labor: the crew and what an hour of it costs, the difficulty of areas, what each alternative takes, and its
//! hours by phase and area. What a person may change is shaded; all else follows, here and on the sheets after it.

use rust_decimal::Decimal;
use rust_xlsxwriter::Workbook;

use super::{Book, edits};
use crate::estimate::labor::Labor;
use crate::ground::name::natural;
use crate::report::form::{Kind, Page, Paper, SheetColumn, Tone, Written, column};
use crate::trade::{Phase, Word};

/// So many alternatives stand side by side.
const MOST: usize = 40;

/// The areas that labor is listed by, in the order shown; the id of one is its place, from 1.
pub(super) fn areas(book: &Book<'_>) -> Vec<Word> {
    let alternatives = book.words.estimate.alternatives.iter();
    let mut areas: Vec<Word> =
        alternatives.flat_map(|a| a.labor.spread.iter().map(|spread| spread.area)).collect();
    areas.sort_by(|a, b| natural(book.words.word(*a), book.words.word(*b)));
    areas.dedup();
    areas
}

/// How an area is shown.
pub(super) fn area_words<'a>(book: &Book<'a>, area: Word) -> &'a str {
    if area.is_empty() { "no area" } else { book.words.word(area) }
}

/// The name of a cell of one alternative.
pub(super) fn name_of(what: &str, alternative: usize) -> String {
    format!("labor_{what}_{}", alternative + 1)
}

/// Writes the sheet and names its cells.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let alternatives: Vec<usize> = (0..book.words.estimate.alternatives.len()).take(MOST).collect();
    let mut columns: Vec<SheetColumn> = vec![column("", 28.0, Kind::Text), column("", 12.0, Kind::Text)];
    columns.extend((0..alternatives.len().max(3)).map(|_| column("", 24.0, Kind::Money)));
    let across = u16::try_from(columns.len()).unwrap_or(5);
    let about = "The hours are the job's own, none is a fact. Shaded cells may be changed here.";
    let across_paper = alternatives.len() > super::UPRIGHT;
    let paper = if across_paper { Paper::Landscape } else { Paper::Portrait };
    let mut page = Page::open(out, &book.binding, "Labor", "Labor", about, paper, columns)?;
    page.next();
    crew(&mut page, book, across)?;
    page.next();
    difficulty(&mut page, book, across)?;
    page.next();
    totals(&mut page, book, across, &alternatives)?;
    page.next();
    spread(&mut page, book, across, &alternatives)?;
    page.print_to(page.row, across - 1)?;
    edits::close(page, book, "Labor")
}

/// Who works, for what wages, and what an hour costs.
fn crew(page: &mut Page<'_>, book: &mut Book<'_>, across: u16) -> Written {
    let terms = &book.words.job.settings;
    let crew = &terms.crew;
    page.band("The crew", across, &book.look().block)?;
    let currency = &*terms.currency;
    let each = if currency.is_empty() { "an hour".to_owned() } else { format!("{currency} an hour") };
    page.heads(0, ["who", "", "how many", &each, "together"], |at| at > 1)?;
    let first = page.row;
    let members = crew.members();
    for member in &members {
        let who = book.words.word(member.who);
        page.named(if who.is_empty() { "each of the crew" } else { who }, Tone::Plain)?;
        page.number_as(2, Kind::Percent, member.heads, Tone::Input)?;
        match member.rate {
            Some(rate) => page.number_as(3, Kind::Price, rate, Tone::Input)?,
            None => page.text(3, "no rate", Tone::Warn)?,
        }
        let wages = member.rate.and_then(|rate| rate.checked_mul(member.heads));
        match wages {
            Some(wages) => {
                let formula = format!("={}*{}", page.here(2), page.here(3));
                page.formula_as(4, Kind::Price, &formula, wages, Tone::Plain)?;
            }
            None => page.text(4, "", Tone::Plain)?,
        }
        page.next();
    }
    let rows = (first, page.row - 1);
    let heads: Decimal = members.iter().map(|member| member.heads).sum();
    let wages: Option<Decimal> =
        members.iter().map(|member| member.rate.and_then(|rate| rate.checked_mul(member.heads))).sum();
    page.named("the crew", Tone::Total)?;
    page.formula_as(2, Kind::Percent, &Page::sum(2, rows), heads, Tone::Total)?;
    book.name_cell("crew_heads", "Labor", 2, page.row);
    page.text(3, "", Tone::Total)?;
    match wages {
        Some(wages) => page.formula_as(4, Kind::Price, &Page::sum(4, rows), wages, Tone::Total)?,
        None => page.text(4, "", Tone::Total)?,
    }
    book.name_cell("crew_wages", "Labor", 4, page.row);
    page.next();
    for (name, cell, value, what) in [
        ("burden, %", "burden_percent", crew.burden, "on wages: taxes, insurance and the like"),
        ("productivity, %", "productivity_percent", crew.productivity, "at 80 an hour takes 1.25"),
        ("hours a day", "hours_a_day", crew.hours_a_day, "of the crew"),
    ] {
        page.named(name, Tone::Plain)?;
        page.number_as(2, Kind::Percent, value, Tone::Input)?;
        book.name_cell(cell, "Labor", 2, page.row);
        page.put(3, what, book.look().cell(Kind::Text, Tone::Muted))?;
        page.next();
    }
    page.named("an hour of one person costs", Tone::Total)?;
    let rate = book.words.estimate.alternatives.first().and_then(|a| a.labor.rate);
    match rate {
        Some(rate) => {
            let formula = "=ROUND(ROUND(crew_wages*(100+burden_percent)/(crew_heads*100),6),4)";
            page.formula_as(2, Kind::Price, formula, rate, Tone::Total)?;
        }
        None => page.text(2, "not priced", Tone::Warn)?,
    }
    book.name_cell("labor_rate", "Labor", 2, page.row);
    page.end()
}

/// The percentage that each area adds.
fn difficulty(page: &mut Page<'_>, book: &mut Book<'_>, across: u16) -> Written {
    page.band("Difficulty of areas", across, &book.look().block)?;
    page.heads(0, ["area", "", "added, %"], |at| at > 1)?;
    let first = page.row;
    for area in areas(book) {
        page.named(area_words(book, area), Tone::Plain)?;
        let points = book.words.job.settings.crew.difficulty_of(area);
        page.number_as(2, Kind::Percent, points, Tone::Input)?;
        page.next();
    }
    book.name("area_difficulty", "Labor", 2, first, page.row);
    page.end()
}

/// Names of the alternatives over their columns.
fn alternatives_over(page: &mut Page<'_>, book: &Book<'_>, first: [&str; 2], all: &[usize]) -> Written {
    let named = all.iter().map(|index| book.words.alternative(*index));
    page.heads(0, first.into_iter().chain(named), |at| at > 1)
}

/// What each alternative takes and costs.
fn totals(page: &mut Page<'_>, book: &mut Book<'_>, across: u16, all: &[usize]) -> Written {
    page.band("What it takes", across, &book.look().block)?;
    alternatives_over(page, book, ["labor", ""], all)?;
    let estimate = book.words.estimate;
    let currency = &*book.words.job.settings.currency;
    let cost = if currency.is_empty() { "cost".to_owned() } else { format!("cost, {currency}") };
    // What it is called, its cells, how it follows from hours and lines (# is the number of the alternative), and what it comes to.
    type Total<'t> = (&'t str, &'static str, &'static str, fn(&Labor) -> Decimal);
    let rows: [Total<'_>; 5] = [
        ("hours of one person", "hours", "=SUMIFS(labor_line_hours,labor_alternative,#)", |of| of.hours),
        ("hours of the crew", "crew_hours", "=ROUND(ROUND(labor_hours_#/crew_heads,6),2)", |of| {
            of.crew_hours
        }),
        ("days of the crew", "days", "=ROUND(ROUND(labor_hours_#/(crew_heads*hours_a_day),6),2)", |of| {
            of.days
        }),
        (&cost, "cost", "=ROUND(ROUND(labor_hours_#*labor_rate,6),2)", |of| of.cost),
        ("lines without hours", "without", "=SUMIFS(labor_without,labor_alternative,#)", |of| {
            Decimal::from(of.without_hours().count())
        }),
    ];
    for (name, cell, formula, value) in rows {
        let tone = if cell == "cost" { Tone::Total } else { Tone::Plain };
        let kind = if cell == "without" { Kind::Whole } else { Kind::Money };
        page.side_by_side(name, tone, (2, all), |page, at, index| {
            book.name_cell(&name_of(cell, *index), "Labor", at, page.row);
            if cell == "cost" && !book.words.priced_labor() {
                return page.text(at, "not priced", Tone::Warn);
            }
            let formula = formula.replace('#', &(index + 1).to_string());
            page.formula_as(at, kind, &formula, value(&estimate.alternatives[*index].labor), tone)
        })?;
    }
    Ok(())
}

/// Hours by phase and area.
fn spread(page: &mut Page<'_>, book: &Book<'_>, across: u16, all: &[usize]) -> Written {
    page.band("Hours of one person by phase and area", across, &book.look().block)?;
    alternatives_over(page, book, ["area", "phase"], all)?;
    let estimate = book.words.estimate;
    let areas = areas(book);
    let hours = |index: usize, phase: Phase, area: Word| {
        let mut spread = estimate.alternatives[index].labor.spread.iter();
        spread.find(|of| of.phase == phase && of.area == area).map(|of| of.hours)
    };
    for (p, phase) in (1..).zip(Phase::ALL) {
        for (a, area) in (1..).zip(&areas) {
            if all.iter().all(|index| hours(*index, phase, *area).is_none()) {
                continue;
            }
            page.texts(0, [area_words(book, *area), phase.word()], Tone::Plain)?;
            for (at, index) in (2..).zip(all) {
                let n = index + 1;
                let formula =
                    format!("=SUMIFS(labor_line_hours,labor_alternative,{n},labor_phase,{p},labor_area,{a})");
                let result = hours(*index, phase, *area).unwrap_or_default();
                page.formula(at, &formula, result, Tone::Plain)?;
            }
            page.next();
        }
    }
    page.side_by_side("together", Tone::Total, (2, all), |page, at, index| {
        let result = estimate.alternatives[*index].labor.hours;
        page.formula(at, &format!("=labor_hours_{}", index + 1), result, Tone::Total)
    })
}
