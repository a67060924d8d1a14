//! The sheets Labor lines and Hours: what there is to do, line by line, each with the row of the table labor that speaks
//! of it; and that table as read, where a person changes the hours.

use rust_decimal::Decimal;
use rust_xlsxwriter::{Workbook, XlsxError};

use super::Book;
use super::labor::{area_words, areas, stands};
use super::look::{Kind, Tone};
use super::page::{Page, Paper, column};
use crate::estimate::labor::LaborLine;
use crate::trade::LaborRow;
use crate::trade::{Phase, Word, WorkPer};

const ALTERNATIVE: u16 = 0;
const PHASE: u16 = 1;
const AREA: u16 = 2;
const PER: u16 = 3;
const WORK: u16 = 4;
const UNIT: u16 = 5;
const QUANTITY: u16 = 6;
const EACH: u16 = 7;
const FOR: u16 = 8;
const DIFFICULTY: u16 = 9;
const HOURS: u16 = 10;
const ROW: u16 = 11;
const ALTERNATIVE_ID: u16 = 13;
const PHASE_ID: u16 = 14;
const AREA_ID: u16 = 15;
const HOURS_ROW: u16 = 16;
const WITHOUT: u16 = 17;

/// Writes both sheets and names their columns.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Result<(), XlsxError> {
    if !stands(book) {
        return Ok(());
    }
    lines(out, book)?;
    table(out, book)
}

/// What there is to do.
fn lines(out: &mut Workbook, book: &mut Book<'_>) -> Result<(), XlsxError> {
    let mut columns = vec![
        column("alternative", 14.0, Kind::Text),
        column("phase", 11.0, Kind::Text),
        column("area", 14.0, Kind::Text),
        column("per", 8.0, Kind::Text),
        column("work", 36.0, Kind::Text),
        column("unit", 7.0, Kind::Text),
        column("quantity", 10.0, Kind::Percent),
        column("hours", 8.0, Kind::Percent),
        column("for", 7.0, Kind::Percent),
        column("difficulty %", 9.0, Kind::Percent),
        column("hours together", 10.0, Kind::Money),
        column("hours are in", 40.0, Kind::Text),
        column("", 2.0, Kind::Text),
    ];
    for key in ["alternative id", "phase id", "area id", "row in Hours", "without hours"] {
        columns.push(column(key, 9.5, Kind::Percent));
    }
    let about = format!(
        "Quantity x hours / for, with the difficulty of the area, over the productivity; to 0.01 a line.{}",
        book.printed()
    );
    let paper = Paper::Landscape;
    let mut page =
        Page::open(out, &book.binding, "Labor lines", "Labor, line by line", &about, paper, columns)?;
    page.headings(WORK + 1)?;
    let first = page.row;
    let areas = areas(book);
    let estimate = book.words.estimate;
    let mut printed = page.row;
    for (index, alternative) in estimate.alternatives.iter().enumerate() {
        for line in &alternative.labor.lines {
            words_of(&mut page, book, index, line)?;
            hours_of(&mut page, book, line)?;
            keys_of(&mut page, &areas, index, line)?;
            page.next();
        }
        if index == 0 {
            printed = page.row.saturating_sub(1);
        }
    }
    let guard = page.row;
    page.put(WORK, "insert rows above this line", &book.look().guard)?;
    page.sheet.set_print_area(0, 0, printed, ROW)?;
    page.sheet.autofilter(first - 1, 0, guard.saturating_sub(1).max(first), ROW)?;
    for (name, column) in [
        ("labor_alternative", ALTERNATIVE_ID),
        ("labor_phase", PHASE_ID),
        ("labor_area", AREA_ID),
        ("labor_without", WITHOUT),
        ("labor_line_hours", HOURS),
    ] {
        book.name(name, "'Labor lines'", column, first, guard);
    }
    Ok(())
}

fn words_of(page: &mut Page<'_>, book: &Book<'_>, index: usize, line: &LaborLine) -> Result<(), XlsxError> {
    page.text(ALTERNATIVE, book.words.alternative(index), Tone::Muted)?;
    page.text(PHASE, line.phase.word(), Tone::Plain)?;
    let area = if line.by_plan { "by the cut plan" } else { area_words(book, line.area) };
    page.text(AREA, area, Tone::Plain)?;
    page.text(PER, line.per.word(), Tone::Plain)?;
    page.text(WORK, &book.words.task(&line.task), Tone::Plain)?;
    page.text(UNIT, unit_of(book, line.per), Tone::Plain)
}

fn unit_of(book: &Book<'_>, per: WorkPer) -> &'static str {
    match per {
        WorkPer::Length => book.words.length_unit().abbreviation(),
        WorkPer::Joint
        | WorkPer::Thread
        | WorkPer::Part
        | WorkPer::Support
        | WorkPer::Run
        | WorkPer::Place => "each",
    }
}

fn hours_of(page: &mut Page<'_>, book: &Book<'_>, line: &LaborLine) -> Result<(), XlsxError> {
    let kind = if line.per == WorkPer::Length { Kind::Length } else { Kind::Whole };
    page.number_as(QUANTITY, kind, line.quantity, Tone::Plain)?;
    let rows = book.words.job.labor.as_deref().unwrap_or_default();
    let Some((row, hours)) = line.rule.and_then(|rule| rows.get(rule)).zip(line.hours) else {
        for column in [EACH, FOR, DIFFICULTY, ROW] {
            page.text(column, "", Tone::Plain)?;
        }
        return page.text(HOURS, "no hours", Tone::Warn);
    };
    let at = page.here(HOURS_ROW);
    page.formula(EACH, &format!("=INDEX(hours_hours,{at})"), row.hours, Tone::Plain)?;
    page.formula(FOR, &format!("=INDEX(hours_for,{at})"), row.for_so_many, Tone::Plain)?;
    let area = page.here(AREA_ID);
    page.formula(DIFFICULTY, &format!("=INDEX(area_difficulty,{area})"), line.difficulty, Tone::Plain)?;
    let (quantity, each, many, harder) =
        (page.here(QUANTITY), page.here(EACH), page.here(FOR), page.here(DIFFICULTY));
    let formula =
        format!("=ROUND(ROUND({quantity}*{each}*(100+{harder})/({many}*productivity_percent),6),2)");
    page.formula(HOURS, &formula, hours, Tone::Plain)?;
    page.text(ROW, &book.words.spot(row.row), Tone::Muted)
}

fn keys_of(page: &mut Page<'_>, areas: &[Word], index: usize, line: &LaborLine) -> Result<(), XlsxError> {
    let id = |place: Option<usize>| Decimal::from(place.map_or(0, |place| place + 1));
    page.number(ALTERNATIVE_ID, Decimal::from(index + 1), Tone::Muted)?;
    page.number(PHASE_ID, id(Phase::ALL.iter().position(|phase| *phase == line.phase)), Tone::Muted)?;
    page.number(AREA_ID, id(areas.iter().position(|area| *area == line.area)), Tone::Muted)?;
    match line.rule.filter(|_| line.hours.is_some()) {
        Some(rule) => page.number(HOURS_ROW, Decimal::from(rule + 1), Tone::Muted)?,
        None => page.text(HOURS_ROW, "", Tone::Muted)?,
    }
    page.number(WITHOUT, Decimal::from(u8::from(line.hours.is_none())), Tone::Muted)
}

/// The table labor as read.
fn table(out: &mut Workbook, book: &mut Book<'_>) -> Result<(), XlsxError> {
    let columns = vec![
        column("per", 9.0, Kind::Text),
        column("part", 22.0, Kind::Text),
        column("class", 11.0, Kind::Text),
        column("system", 18.0, Kind::Text),
        column("size", 10.0, Kind::Text),
        column("variant", 10.0, Kind::Text),
        column("fixture", 14.0, Kind::Text),
        column("hours", 9.0, Kind::Percent),
        column("for", 8.0, Kind::Percent),
        column("used", 7.0, Kind::Text),
        column("note", 30.0, Kind::Text),
        column("read from", 38.0, Kind::Text),
    ];
    let about = "The table labor as read. Shaded cells may be changed here: labor follows.";
    let paper = Paper::Landscape;
    let mut page = Page::open(out, &book.binding, "Hours", "Hours", about, paper, columns)?;
    page.headings(1)?;
    let first = page.row;
    let rows: &[LaborRow] = book.words.job.labor.as_deref().unwrap_or_default();
    let lines = || book.words.estimate.alternatives.iter().flat_map(|a| &a.labor.lines);
    for (at, row) in rows.iter().enumerate() {
        let used = lines().any(|line| line.rule == Some(at));
        page.text(0, row.per.word(), Tone::Plain)?;
        page.text(1, book.words.word(row.part), Tone::Plain)?;
        page.text(2, row.class.map_or("", crate::trade::Class::word), Tone::Plain)?;
        page.text(3, &book.words.list(&row.systems), Tone::Plain)?;
        page.text(4, &book.words.size_list(&row.sizes), Tone::Plain)?;
        page.text(5, book.words.word(row.variant), Tone::Plain)?;
        page.text(6, book.words.word(row.fixture), Tone::Plain)?;
        page.number(7, row.hours, Tone::Input)?;
        page.number(8, row.for_so_many, Tone::Plain)?;
        page.text(9, if used { "yes" } else { "" }, Tone::Plain)?;
        page.text(10, &row.note, Tone::Muted)?;
        page.text(11, &book.words.spot(row.row), Tone::Muted)?;
        page.next();
    }
    page.put(1, "add no rows here: add them to the table and run the program again", &book.look().guard)?;
    book.name("hours_hours", "Hours", 7, first, page.row);
    book.name("hours_for", "Hours", 8, first, page.row);
    page.sheet.autofilter(first - 1, 0, page.row.saturating_sub(1).max(first), 11)?;
    Ok(())
}
