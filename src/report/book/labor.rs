//! The sheet Labor: the crew and what an hour of it costs, the difficulty of areas, what each alternative takes, and its
//! hours by phase and area. What a person may change is shaded; all else follows, here and on the sheets after it.

use rust_decimal::Decimal;
use rust_xlsxwriter::{Workbook, XlsxError};

use super::Book;
use super::look::{Kind, Tone};
use super::page::{Column, Page, Paper, column, letters, shown};
use crate::ground::name::natural;
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

/// Whether the job has hours, and so the sheets of labor.
pub(super) fn stands(book: &Book<'_>) -> bool {
    book.words.job.labor.is_some()
}

/// The name of a cell of one alternative.
pub(super) fn name_of(what: &str, alternative: usize) -> String {
    format!("labor_{what}_{}", alternative + 1)
}

/// Writes the sheet and names its cells.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Result<(), XlsxError> {
    if !stands(book) {
        return Ok(());
    }
    let alternatives: Vec<usize> = (0..book.words.estimate.alternatives.len()).take(MOST).collect();
    let mut columns: Vec<Column> = vec![column("", 30.0, Kind::Text), column("", 14.0, Kind::Text)];
    columns.extend((0..alternatives.len().max(3)).map(|_| column("", 15.0, Kind::Money)));
    let across = u16::try_from(columns.len()).unwrap_or(5);
    let about = "The hours are the job's own, none is a fact. Shaded cells may be changed here.";
    let across_paper = alternatives.len() > super::comparison::UPRIGHT;
    let paper = if across_paper { Paper::Landscape } else { Paper::Portrait };
    let mut page = Page::open(out, &book.binding, "Labor", "Labor", about, paper, columns)?;
    page.next();
    crew(&mut page, book, across)?;
    page.next();
    difficulty(&mut page, book, across)?;
    page.next();
    totals(&mut page, book, across, &alternatives)?;
    page.next();
    spread(&mut page, book, across, &alternatives)
}

/// Headings of a block, words to the left in the first columns.
fn headings(page: &mut Page<'_>, words: &[&str], left: usize) -> Result<(), XlsxError> {
    for (at, (column, words)) in (0_u16..).zip(words).enumerate() {
        let format = if at < left { &page.look.heading } else { &page.look.heading_right };
        page.put(column, words, format)?;
    }
    page.next();
    Ok(())
}

/// Who works, for what wages, and what an hour costs.
fn crew(page: &mut Page<'_>, book: &mut Book<'_>, across: u16) -> Result<(), XlsxError> {
    let terms = &book.words.job.settings;
    let crew = &terms.crew;
    page.band("The crew", across, &book.look().block)?;
    let currency = &*terms.currency;
    let each = if currency.is_empty() { "an hour".to_owned() } else { format!("{currency} an hour") };
    headings(page, &["who", "", "how many", &each, "together"], 2)?;
    let first = page.row;
    let members = crew.members();
    for member in &members {
        let who = book.words.word(member.who);
        page.text(0, if who.is_empty() { "each of the crew" } else { who }, Tone::Plain)?;
        page.text(1, "", Tone::Plain)?;
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
    let last = page.row - 1;
    let sum = |column: u16| format!("=SUM({0}{1}:{0}{2})", letters(column), shown(first), shown(last));
    let heads: Decimal = members.iter().map(|member| member.heads).sum();
    let wages: Option<Decimal> =
        members.iter().map(|member| member.rate.and_then(|rate| rate.checked_mul(member.heads))).sum();
    page.text(0, "the crew", Tone::Total)?;
    page.text(1, "", Tone::Total)?;
    page.formula_as(2, Kind::Percent, &sum(2), heads, Tone::Total)?;
    book.name_cell("crew_heads", "Labor", 2, page.row);
    page.text(3, "", Tone::Total)?;
    match wages {
        Some(wages) => page.formula_as(4, Kind::Price, &sum(4), wages, Tone::Total)?,
        None => page.text(4, "", Tone::Total)?,
    }
    book.name_cell("crew_wages", "Labor", 4, page.row);
    page.next();
    for (name, cell, value, what) in [
        ("burden, %", "burden_percent", crew.burden, "on wages: taxes, insurance and the like"),
        ("productivity, %", "productivity_percent", crew.productivity, "at 80 an hour takes 1.25"),
        ("hours a day", "hours_a_day", crew.hours_a_day, "of the crew"),
    ] {
        page.text(0, name, Tone::Plain)?;
        page.text(1, "", Tone::Plain)?;
        page.number_as(2, Kind::Percent, value, Tone::Input)?;
        book.name_cell(cell, "Labor", 2, page.row);
        page.put(3, what, book.look().cell(Kind::Text, Tone::Muted))?;
        page.next();
    }
    page.text(0, "an hour of one person costs", Tone::Total)?;
    page.text(1, "", Tone::Total)?;
    let rate = book.words.estimate.alternatives.first().and_then(|a| a.labor.rate);
    match rate {
        Some(rate) => {
            let formula = "=ROUND(ROUND(crew_wages*(100+burden_percent)/(crew_heads*100),6),4)";
            page.formula_as(2, Kind::Price, formula, rate, Tone::Total)?;
        }
        None => page.text(2, "not priced", Tone::Warn)?,
    }
    book.name_cell("labor_rate", "Labor", 2, page.row);
    page.next();
    Ok(())
}

/// The points that each area adds.
fn difficulty(page: &mut Page<'_>, book: &mut Book<'_>, across: u16) -> Result<(), XlsxError> {
    page.band("Difficulty of areas", across, &book.look().block)?;
    headings(page, &["area", "", "points added, %"], 2)?;
    let first = page.row;
    for area in areas(book) {
        page.text(0, area_words(book, area), Tone::Plain)?;
        page.text(1, "", Tone::Plain)?;
        let points = book.words.job.settings.crew.difficulty_of(area);
        page.number_as(2, Kind::Percent, points, Tone::Input)?;
        page.next();
    }
    book.name("area_difficulty", "Labor", 2, first, page.row);
    page.next();
    Ok(())
}

/// Names of the alternatives over their columns.
fn alternatives_over(
    page: &mut Page<'_>,
    book: &Book<'_>,
    first: &str,
    second: &str,
    alternatives: &[usize],
) -> Result<(), XlsxError> {
    let mut words = vec![first, second];
    words.extend(alternatives.iter().map(|index| book.words.alternative(*index)));
    headings(page, &words, 2)
}

/// What each alternative takes and costs.
fn totals(
    page: &mut Page<'_>,
    book: &mut Book<'_>,
    across: u16,
    alternatives: &[usize],
) -> Result<(), XlsxError> {
    page.band("What it takes", across, &book.look().block)?;
    alternatives_over(page, book, "labor", "", alternatives)?;
    let estimate = book.words.estimate;
    let labor = |index: usize| &estimate.alternatives[index].labor;
    let priced = estimate.alternatives.first().is_some_and(|a| a.labor.rate.is_some());
    let currency = &*book.words.job.settings.currency;
    let cost = if currency.is_empty() { "cost".to_owned() } else { format!("cost, {currency}") };
    for (name, what) in [
        ("hours of one person", Total::Hours),
        ("hours of the crew", Total::CrewHours),
        ("days of the crew", Total::Days),
        (&*cost, Total::Cost),
        ("lines without hours", Total::Without),
    ] {
        let tone = if matches!(what, Total::Cost) { Tone::Total } else { Tone::Plain };
        page.text(0, name, tone)?;
        page.text(1, "", tone)?;
        for (at, index) in (2..).zip(alternatives) {
            let n = index + 1;
            let (cell, kind, formula, value) = match what {
                Total::Hours => {
                    let formula = format!("=SUMIFS(labor_line_hours,labor_alternative,{n})");
                    ("hours", Kind::Money, formula, labor(*index).hours)
                }
                Total::CrewHours => {
                    let formula = format!("=ROUND(ROUND(labor_hours_{n}/crew_heads,6),2)");
                    ("crew_hours", Kind::Money, formula, labor(*index).crew_hours)
                }
                Total::Days => {
                    let formula = format!("=ROUND(ROUND(labor_hours_{n}/(crew_heads*hours_a_day),6),2)");
                    ("days", Kind::Money, formula, labor(*index).days)
                }
                Total::Cost => {
                    let formula = format!("=ROUND(ROUND(labor_hours_{n}*labor_rate,6),2)");
                    ("cost", Kind::Money, formula, labor(*index).cost)
                }
                Total::Without => {
                    let formula = format!("=SUMIFS(labor_without,labor_alternative,{n})");
                    let count = Decimal::from(labor(*index).without_hours().count());
                    ("without", Kind::Whole, formula, count)
                }
            };
            if matches!(what, Total::Cost) && !priced {
                page.text(at, "not priced", Tone::Warn)?;
            } else {
                page.formula_as(at, kind, &formula, value, tone)?;
            }
            book.name_cell(&name_of(cell, *index), "Labor", at, page.row);
        }
        page.next();
    }
    Ok(())
}

/// A row of the totals.
enum Total {
    Hours,
    CrewHours,
    Days,
    Cost,
    Without,
}

/// Hours by phase and area.
fn spread(
    page: &mut Page<'_>,
    book: &Book<'_>,
    across: u16,
    alternatives: &[usize],
) -> Result<(), XlsxError> {
    page.band("Hours of one person by phase and area", across, &book.look().block)?;
    alternatives_over(page, book, "area", "phase", alternatives)?;
    let estimate = book.words.estimate;
    let areas = areas(book);
    let hours = |index: usize, phase: Phase, area: Word| {
        let mut spread = estimate.alternatives[index].labor.spread.iter();
        spread.find(|of| of.phase == phase && of.area == area).map(|of| of.hours)
    };
    for (p, phase) in (1..).zip(Phase::ALL) {
        for (a, area) in (1..).zip(&areas) {
            if alternatives.iter().all(|index| hours(*index, phase, *area).is_none()) {
                continue;
            }
            page.text(0, area_words(book, *area), Tone::Plain)?;
            page.text(1, phase.word(), Tone::Plain)?;
            for (at, index) in (2..).zip(alternatives) {
                let formula = format!(
                    "=SUMIFS(labor_line_hours,labor_alternative,{},labor_phase,{p},labor_area,{a})",
                    index + 1
                );
                let result = hours(*index, phase, *area).unwrap_or_default();
                page.formula(at, &formula, result, Tone::Plain)?;
            }
            page.next();
        }
    }
    page.text(0, "together", Tone::Total)?;
    page.text(1, "", Tone::Total)?;
    for (at, index) in (2..).zip(alternatives) {
        let result = estimate.alternatives[*index].labor.hours;
        page.formula(at, &format!("=labor_hours_{}", index + 1), result, Tone::Total)?;
    }
    page.next();
    Ok(())
}
