//! The sheets Runs and Rules: the run list and the patterns as read, so that every reason leads to what a person
//! wrote. They are copies: the job's own tables are where a change belongs.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;
use rust_xlsxwriter::{Workbook, XlsxError};

use super::Book;
use super::look::{Kind, Tone};
use super::page::{Column, Page, Paper, column};
use crate::estimate::network::RunId;
use crate::ground::{Length, RowAt};
use crate::report::wording::{Wording, plain};
use crate::trade::pattern::Adds;
use crate::trade::{Lie, PatternRow, Per, Run, Where, Word};

/// The first row of both sheets under title, line and headings, counted from 0.
const FIRST: u32 = 4;

/// Rows of the sheet Runs, by run.
pub(super) fn run_rows(words: &Wording<'_>) -> Vec<u32> {
    (FIRST..).zip(&words.job.runs).map(|(row, _)| row).collect()
}

/// Rows of the sheet Rules, by row of the patterns table.
pub(super) fn rule_rows(words: &Wording<'_>) -> BTreeMap<RowAt, u32> {
    let rules = words.job.catalog.patterns.iter().flat_map(|pattern| &pattern.rows);
    (FIRST..).zip(rules).map(|(row, rule)| (rule.row, row)).collect()
}

/// One cell of a run as read.
enum Cell {
    Nothing,
    Words(String),
    Number(Decimal),
    Length(Decimal),
}

/// Writes the run list.
pub(super) fn write_runs(out: &mut Workbook, book: &mut Book<'_>) -> Result<(), XlsxError> {
    let words = book.words;
    let unit = words.length_unit().abbreviation();
    let about = "The run list as read. A change belongs in the job's own table; then run the program again.";
    let left_out: BTreeSet<RunId> = words.estimate.left_out.iter().map(|left| left.run).collect();
    let counts = count_columns(&words);
    let all = run_columns(&words, unit, &counts);
    let cells: Vec<Vec<Cell>> = words.job.runs.iter().map(|run| run_cells(&words, run, &counts)).collect();
    // A column that nobody filled is not shown.
    let filled: Vec<usize> = (0..all.len())
        .filter(|i| *i < 3 || cells.iter().any(|row| !matches!(row.get(*i), Some(Cell::Nothing) | None)))
        .collect();
    let mut columns: Vec<Column> = filled.iter().map(|i| all[*i].clone()).collect();
    columns.push(column("counted", 9.0, Kind::Text));
    columns.push(column("read from", 24.0, Kind::Text));
    let behind = u16::try_from(filled.len()).unwrap_or(u16::MAX);
    let mut page = Page::open(out, &book.binding, "Runs", "Runs", about, Paper::Landscape, columns)?;
    page.headings(1)?;
    debug_assert_eq!(page.row, FIRST);
    for ((id, run), row) in (0_u32..).zip(&words.job.runs).zip(&cells) {
        let out_of_count = left_out.contains(&RunId(id));
        let tone = if out_of_count { Tone::Warn } else { Tone::Plain };
        for (at, cell) in (0_u16..).zip(filled.iter().map(|i| &row[*i])) {
            match cell {
                Cell::Nothing => page.text(at, "", tone)?,
                Cell::Words(text) => page.text(at, text, tone)?,
                Cell::Number(number) => page.number_as(at, Kind::Percent, *number, tone)?,
                Cell::Length(number) => page.number_as(at, Kind::Length, *number, tone)?,
            }
        }
        page.text(behind, if out_of_count { "left out" } else { "yes" }, tone)?;
        page.text(behind + 1, &words.spot(run.row), Tone::Muted)?;
        page.next();
    }
    Ok(())
}

/// The further columns of the run list that hold numbers, in name order.
fn count_columns(words: &Wording<'_>) -> Vec<Word> {
    let mut counts: Vec<_> =
        words.job.runs.iter().flat_map(|run| &run.counts).map(|(name, _)| *name).collect();
    counts.sort_by(|a, b| crate::ground::name::natural(words.word(*a), words.word(*b)));
    counts.dedup();
    // A sheet is wide enough for these; more would print as dust.
    counts.truncate(60);
    counts
}

fn run_columns(words: &Wording<'_>, unit: &str, counts: &[Word]) -> Vec<Column> {
    let of = |name: &str| format!("{name} ({unit})");
    let mut columns = vec![
        column("run", 14.0, Kind::Text),
        column("service", 8.0, Kind::Text),
        column("size", 8.0, Kind::Text),
        column(&of("length"), 10.0, Kind::Length),
        column("pattern", 18.0, Kind::Text),
        column("joins", 13.0, Kind::Text),
        column(&of("at"), 8.0, Kind::Length),
        column("tee", 6.0, Kind::Text),
        column("to", 15.0, Kind::Text),
        column(&of("to at"), 8.0, Kind::Length),
        column("reduce to", 8.0, Kind::Text),
        column(&of("tail"), 7.0, Kind::Length),
        column("turns", 6.0, Kind::Percent),
        column("turns with elbow", 7.0, Kind::Percent),
        column(&of("turns at"), 12.0, Kind::Text),
        column("offsets", 7.0, Kind::Percent),
        column(&of("rise"), 7.0, Kind::Length),
        column("lie", 8.0, Kind::Text),
        column("slope", 7.0, Kind::Text),
        column("fixture", 13.0, Kind::Text),
        column("level", 8.0, Kind::Text),
        column("area", 14.0, Kind::Text),
        column("count", 6.0, Kind::Percent),
        column("system", 13.0, Kind::Text),
        column("variant", 10.0, Kind::Text),
        column("phase", 11.0, Kind::Text),
        column("no joint", 6.0, Kind::Text),
    ];
    columns.extend(counts.iter().map(|name| column(words.word(*name), 8.0, Kind::Percent)));
    columns.push(column("note", 34.0, Kind::Text));
    columns
}

fn run_cells(words: &Wording<'_>, run: &Run, counts: &[Word]) -> Vec<Cell> {
    let text = |words: &str| if words.is_empty() { Cell::Nothing } else { Cell::Words(words.to_owned()) };
    let length = |length: Option<Length>| length.map_or(Cell::Nothing, |l| Cell::Length(words.shown(l)));
    let count = |count: u32| if count == 0 { Cell::Nothing } else { Cell::Number(Decimal::from(count)) };
    let maybe = |count: Option<u32>| count.map_or(Cell::Nothing, |c| Cell::Number(Decimal::from(c)));
    let turns_at: Vec<String> = run.turns_at.iter().map(|l| plain(words.shown(*l))).collect();
    let rise = (run.rise != Length::ZERO).then_some(run.rise);
    let lie = match run.lie {
        Lie::Framing => "",
        Lie::Slab => "slab",
        Lie::Ground => "ground",
    };
    let mut cells = vec![
        text(&run.name),
        text(run.service.word()),
        text(words.word(run.size)),
        length(Some(run.length)),
        text(&words.list(&run.patterns)),
        text(run.joins.as_deref().unwrap_or("")),
        length(run.at),
        text(if run.bull { "bull" } else { "" }),
        text(run.to.as_deref().unwrap_or("")),
        length(run.to_at),
        text(run.reduce_to.map_or("", |size| words.word(size))),
        length(run.tail),
        maybe(run.turns),
        count(run.turns_with_elbow),
        text(&turns_at.join("; ")),
        count(run.offsets),
        length(rise),
        text(lie),
        text(&run.slope),
        text(words.word(run.fixture)),
        text(words.word(run.level)),
        text(words.word(run.area)),
        maybe(run.count),
        text(words.word(run.system)),
        text(words.word(run.variant)),
        text(run.phase.map_or("", |phase| phase.word())),
        text(if run.no_joint { "yes" } else { "" }),
    ];
    cells.extend(counts.iter().map(|column| {
        let number = run.counted(*column);
        if number.is_zero() { Cell::Nothing } else { Cell::Number(number) }
    }));
    cells.push(text(&run.note));
    cells
}

/// Writes the patterns.
pub(super) fn write_rules(out: &mut Workbook, book: &mut Book<'_>) -> Result<(), XlsxError> {
    let words = book.words;
    let about =
        "The patterns as read, built in or your own. A change belongs in the table patterns of the job.";
    let columns = vec![
        column("pattern", 18.0, Kind::Text),
        column("part", 24.0, Kind::Text),
        column("quantity", 9.0, Kind::Percent),
        column("per", 12.0, Kind::Text),
        column("size", 12.0, Kind::Text),
        column("variant", 10.0, Kind::Text),
        column("where", 10.0, Kind::Text),
        column("every", 10.0, Kind::Text),
        column("system", 16.0, Kind::Text),
        column("only", 18.0, Kind::Text),
        column("phase", 11.0, Kind::Text),
        column("note", 48.0, Kind::Text),
        column("read from", 24.0, Kind::Text),
    ];
    let mut page = Page::open(out, &book.binding, "Rules", "Rules", about, Paper::Landscape, columns)?;
    page.headings(1)?;
    for pattern in &words.job.catalog.patterns {
        for rule in &pattern.rows {
            page.text(0, &pattern.name, Tone::Plain)?;
            write_rule(&mut page, &words, rule)?;
            page.next();
        }
    }
    Ok(())
}

fn write_rule(page: &mut Page<'_>, words: &Wording<'_>, rule: &PatternRow) -> Result<(), XlsxError> {
    let length =
        |length: Length| format!("{} {}", plain(words.shown(length)), words.length_unit().abbreviation());
    match &rule.adds {
        Adds::Part(part, quantity) => {
            page.text(1, words.word(*part), Tone::Plain)?;
            page.number(2, *quantity, Tone::Plain)?;
        }
        Adds::Tube(piece) => {
            page.text(1, "tube", Tone::Plain)?;
            page.text(2, &length(*piece), Tone::Plain)?;
        }
        Adds::Nothing => {
            let laid = rule.laid_in.map_or("nothing".to_owned(), |of| format!("laid in {}", words.word(of)));
            page.text(1, &laid, Tone::Muted)?;
            page.text(2, "", Tone::Plain)?;
        }
    }
    let stands = match rule.stands {
        Some(Where::Start) => "start".to_owned(),
        Some(Where::End) => "end".to_owned(),
        Some(Where::At(distance)) => length(distance),
        None => String::new(),
    };
    let only: Vec<String> = rule
        .only
        .iter()
        .map(|(column, value)| format!("{}={}", words.word(*column), words.word(*value)))
        .collect();
    page.text(3, per(words, rule.per), Tone::Plain)?;
    page.text(4, &words.size_list(&rule.sizes), Tone::Plain)?;
    page.text(5, words.word(rule.variant), Tone::Plain)?;
    page.text(6, &stands, Tone::Plain)?;
    page.text(7, &rule.every.map(length).unwrap_or_default(), Tone::Plain)?;
    page.text(8, &words.list(&rule.systems), Tone::Plain)?;
    page.text(9, &only.join("; "), Tone::Plain)?;
    page.text(10, rule.phase.map_or("", |phase| phase.word()), Tone::Plain)?;
    page.text(11, &rule.note, Tone::Plain)?;
    page.text(12, &words.spot(rule.row), Tone::Muted)
}

fn per<'a>(words: &Wording<'a>, per: Per) -> &'a str {
    match per {
        Per::Run => "run",
        Per::Turn => "turn",
        Per::Bend => "bend",
        Per::Elbow => "elbow",
        Per::Start => "start",
        Per::End => "end",
        Per::Both => "both",
        Per::Tap => "tap",
        Per::Place => "place",
        Per::Length => "length",
        Per::Column(column) => words.word(column),
    }
}
