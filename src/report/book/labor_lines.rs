//! The sheets Labor lines and Hours: what there is to do, line by line, each with the row of the table labor that speaks
//! of it; and that table as read, where a person changes the hours.

use rust_decimal::Decimal;
use rust_xlsxwriter::Workbook;

use super::labor::{area_words, areas};
use super::{Book, WIDEST, edits};
use crate::estimate::labor::LaborLine;
use crate::report::form::{
    Column, Kind, Page, Paper, Tone, Value, Written, columns, of_sheet, on_sheet, put_row,
};
use crate::trade::{Class, LaborRow, Phase, Word, WorkPer};

columns! {
    ()
    ALTERNATIVE "alternative", 14.0, Text;
    PHASE "phase", 11.0, Text;
    AREA "area", 14.0, Text;
    PER "per", 8.0, Text;
    WORK "work", 36.0, Text;
    UNIT "unit", 7.0, Text;
    QUANTITY "quantity", 10.0, Percent;
    EACH "hours", 8.0, Percent;
    FOR "for", 7.0, Percent;
    DIFFICULTY "difficulty %", 9.0, Percent;
    HOURS "hours together", 10.0, Money;
    ROW "hours are in", 40.0, Text;
    GAP "", 2.0, Text;
    ALTERNATIVE_ID "alternative id", 9.5, Percent;
    PHASE_ID "phase id", 9.5, Percent;
    AREA_ID "area id", 9.5, Percent;
    HOURS_ROW "row in Hours", 9.5, Percent;
    WITHOUT "without hours", 9.5, Percent;
}

/// Writes the sheet Labor lines: what there is to do.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let about = format!(
        "Quantity x hours / for, with the difficulty of the area, over the productivity; to 0.01 a line.{}",
        book.printed()
    );
    let paper = Paper::Landscape;
    let mut page =
        Page::open(out, &book.binding, "Labor lines", "Labor, line by line", &about, paper, columns())?;
    page.headings(WORK + 1)?;
    let first = page.row;
    let areas = areas(book);
    let estimate = book.words.estimate;
    let mut printed = page.row;
    for (index, alternative) in estimate.alternatives.iter().enumerate() {
        for line in &alternative.labor.lines {
            words_of(&mut page, book, index, line)?;
            hours_of(&mut page, book, line)?;
            ids_of(&mut page, &areas, index, line)?;
            page.next();
        }
        if index == 0 {
            printed = page.row.saturating_sub(1);
        }
    }
    let guard = page.guard(WORK, false)?;
    page.print_to(printed, ROW)?;
    page.filter((first, guard), ROW)?;
    let names = [
        ("labor_alternative", ALTERNATIVE_ID),
        ("labor_phase", PHASE_ID),
        ("labor_area", AREA_ID),
        ("labor_without", WITHOUT),
        ("labor_line_hours", HOURS),
    ];
    book.names("Labor lines", (first, guard), &names);
    page.widen(WIDEST)
}

fn words_of(page: &mut Page<'_>, book: &Book<'_>, index: usize, line: &LaborLine) -> Written {
    page.text(ALTERNATIVE, book.words.alternative(index), Tone::Muted)?;
    page.text(PHASE, line.phase.word(), Tone::Plain)?;
    let area = if line.by_plan { "by the cut plan" } else { area_words(book, line.area) };
    page.texts(AREA, [area, line.per.word(), &book.words.task(&line.task)], Tone::Plain)?;
    page.text(UNIT, book.words.work_unit(line.per), Tone::Plain)
}

fn hours_of(page: &mut Page<'_>, book: &Book<'_>, line: &LaborLine) -> Written {
    let kind = if line.per == WorkPer::Length { Kind::Length } else { Kind::Whole };
    page.number_as(QUANTITY, kind, line.quantity, Tone::Plain)?;
    let Some((row, hours)) = book.words.hours_row(line).zip(line.hours) else {
        page.blanks([EACH, FOR, DIFFICULTY, ROW], Tone::Plain)?;
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

fn ids_of(page: &mut Page<'_>, areas: &[Word], index: usize, line: &LaborLine) -> Written {
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

/// A row of the table labor, and whether it speaks of a line of labor.
fn hours_columns<'a>() -> [Column<(&'a LaborRow, bool)>; 12] {
    use Kind::{Percent, Text};
    use Tone::{Input, Muted, Plain};
    [
        on_sheet("per", (9.0, Text, Plain), |_, (row, _)| row.per.word().into()),
        on_sheet("part", (22.0, Text, Plain), |w, (row, _)| w.word(row.part).into()),
        on_sheet("class", (11.0, Text, Plain), |_, (row, _)| row.class.map(Class::word).into()),
        on_sheet("system", (18.0, Text, Plain), |w, (row, _)| w.list(&row.systems).into()),
        on_sheet("size", (10.0, Text, Plain), |w, (row, _)| w.size_list(&row.sizes).into()),
        on_sheet("variant", (10.0, Text, Plain), |w, (row, _)| w.word(row.variant).into()),
        on_sheet("fixture", (14.0, Text, Plain), |w, (row, _)| w.word(row.fixture).into()),
        on_sheet("hours", (9.0, Percent, Input), |_, (row, _)| Value::Quantity(row.hours)),
        on_sheet("for", (8.0, Percent, Plain), |_, (row, _)| Value::Quantity(row.for_so_many)),
        on_sheet("used", (7.0, Text, Plain), |_, (_, used)| used.then_some("yes").into()),
        on_sheet("note", (30.0, Text, Muted), |_, (row, _)| (&*row.note).into()),
        on_sheet("read from", (38.0, Text, Muted), |w, (row, _)| w.spot(row.row).into()),
    ]
}

/// Writes the sheet Hours: the table labor as read.
pub(super) fn write_hours(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let columns = hours_columns();
    let about = "The table labor as read. Shaded cells may be changed here: labor follows.";
    let paper = Paper::Landscape;
    let mut page = Page::open(out, &book.binding, "Hours", "Hours", about, paper, of_sheet(&columns))?;
    page.headings(1)?;
    let first = page.row;
    let rows: &[LaborRow] = book.words.job.labor.as_deref().unwrap_or_default();
    let lines = || book.words.estimate.alternatives.iter().flat_map(|a| &a.labor.lines);
    for (at, row) in rows.iter().enumerate() {
        let used = lines().any(|line| line.rule == Some(at));
        put_row(&mut page, &book.words, (0, &columns), &(row, used))?;
        page.next();
    }
    page.put(1, "add no rows here: add them to the table and run the program again", &book.look().guard)?;
    book.name("hours_hours", "Hours", 7, first, page.row);
    book.name("hours_for", "Hours", 8, first, page.row);
    page.sheet.autofilter(first - 1, 0, page.row.saturating_sub(1).max(first), 11)?;
    page.print_to(page.row, 11)?;
    page.widen(WIDEST)?;
    edits::close(page, book, "Hours")
}
