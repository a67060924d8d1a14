//! The sheets Runs and Rules: the run list and the patterns as read, so that every reason leads to what a person
//! wrote. They are copies: the job's own tables are where a change belongs.

use std::collections::{BTreeMap, BTreeSet};

use rust_xlsxwriter::Workbook;

use super::{Book, WIDEST};
use crate::estimate::ids::RunId;
use crate::ground::name::fold_heading;
use crate::ground::{RowAt, SourceId};
use crate::report::facts::{Wording, plain};
use crate::report::form::{
    Column, Kind, Page, Paper, SheetColumn, Tone, Value, Written, column, of_sheet, on_sheet, put_cell,
    put_row,
};
use crate::table::Holds;
use crate::trade::{Adds, COLUMNS, Cell, Pattern, PatternRow, Phase, Run, RunColumn, Side, Where, Word};

/// The first row of both sheets under title, line and headings, counted from 0.
const FIRST: u32 = 4;

/// Every row of the run lists in the order of the tables, those of alternates among them; a run of the base bid has an id.
fn as_read<'a>(words: &Wording<'a>) -> Vec<(Option<RunId>, &'a Run)> {
    let base = (0..).zip(&words.job.runs).map(|(id, run)| (Some(RunId(id)), run));
    let optional = words.job.alternates.runs.iter().map(|run| (None, run));
    let mut rows: Vec<(Option<RunId>, &Run)> = base.chain(optional).collect();
    rows.sort_by_key(|(_, run)| run.row);
    rows
}

/// Rows of the sheet Runs, by run of the base bid.
pub(super) fn run_rows(words: &Wording<'_>) -> Vec<u32> {
    let mut rows = vec![FIRST; words.job.runs.len()];
    for (row, (id, _)) in (FIRST..).zip(as_read(words)) {
        if let Some(place) = id.and_then(|id| rows.get_mut(id.index())) {
            *place = row;
        }
    }
    rows
}

/// Rows of the sheet Rules, by row of the patterns table.
pub(super) fn rule_rows(words: &Wording<'_>) -> BTreeMap<RowAt, u32> {
    let rules = shown_patterns(words).flat_map(|pattern| &pattern.rows);
    (FIRST..).zip(rules).map(|(row, rule)| (rule.row, row)).collect()
}

/// Writes the run list: every row and every column that somebody filled, in the order of the tables.
pub(super) fn write_runs(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let words = book.words;
    let unit = words.length_unit().abbreviation();
    let about = "The run list as read. A change belongs in the job's own table; then run the program again.";
    let left_out: BTreeSet<RunId> = words.estimate.left_out.iter().map(|left| left.run).collect();
    let rows = as_read(&words);
    let further = further_columns(&words, &rows);
    let all = run_columns(&words, unit, &further);
    let cells: Vec<Vec<Value>> = rows.iter().map(|(_, run)| run_cells(&words, run, &further)).collect();
    let places = heading_places(&words, &rows);
    // A column that nobody filled is not shown.
    let is_filled = |at: &usize| cells.iter().any(|row| !matches!(row.get(*at), Some(Value::Nothing) | None));
    let mut filled: Vec<usize> = (0..all.len()).filter(|at| *at < 3 || is_filled(at)).collect();
    filled.sort_by_key(|at| places.get(&key(all[*at].0)).copied().unwrap_or((usize::MAX, 0)));
    let mut columns: Vec<SheetColumn> = filled.iter().map(|at| all[*at].1.clone()).collect();
    columns.push(column("counted", 20.0, Kind::Text));
    columns.push(column("read from", 24.0, Kind::Text));
    let behind = u16::try_from(filled.len()).unwrap_or(u16::MAX);
    let mut page = Page::open(out, &book.binding, "Runs", "Runs", about, Paper::Landscape, columns)?;
    page.headings(1)?;
    debug_assert_eq!(page.row, FIRST);
    for ((id, run), row) in rows.iter().zip(&cells) {
        let out_of_count = id.is_some_and(|id| left_out.contains(&id));
        let tone = if out_of_count { Tone::Warn } else { Tone::Plain };
        for (at, cell) in (0_u16..).zip(filled.iter().map(|i| &row[*i])) {
            put_cell(&mut page, at, cell, tone)?;
        }
        let counted = match (out_of_count, id) {
            (true, _) => "left out",
            (false, Some(_)) => "yes",
            (false, None) => "with its alternate",
        };
        page.text(behind, counted, tone)?;
        page.text(behind + 1, &words.spot(run.row), Tone::Muted)?;
        page.next();
    }
    page.widen(WIDEST)?;
    let last = page.last_that_fits();
    page.print_to(page.row.saturating_sub(1), last)?;
    super::drawing::write(&mut page, book, "Runs")
}

/// A heading as columns are found by.
fn key(heading: &str) -> String {
    fold_heading(heading)
}

/// Where each heading stands in the run lists: of several lists the first that has it.
fn heading_places(words: &Wording<'_>, rows: &[(Option<RunId>, &Run)]) -> BTreeMap<String, (usize, u32)> {
    let mut sources: Vec<SourceId> = Vec::new();
    for (_, run) in rows {
        if !sources.contains(&run.row.source) {
            sources.push(run.row.source);
        }
    }
    let mut places = BTreeMap::new();
    for (list, source) in sources.into_iter().enumerate() {
        let headings = words.job.sources.get(source).map_or(&[][..], |source| &source.headings);
        for (heading, number) in headings {
            places.entry(heading.clone()).or_insert((list, *number));
        }
    }
    places
}

/// The user's own columns, each once.
fn further_columns(words: &Wording<'_>, rows: &[(Option<RunId>, &Run)]) -> Vec<Word> {
    let mut all: Vec<Word> = rows.iter().flat_map(|(_, run)| run.further_columns()).collect();
    all.sort_by(|a, b| crate::ground::name::natural(words.word(*a), words.word(*b)).then(a.cmp(b)));
    all.dedup();
    all
}

/// Widths of columns that are wider or narrower than others that hold the same.
const WIDTHS: [(&str, f64); 18] = [
    ("run", 14.0),
    ("service", 8.0),
    ("length", 10.0),
    ("pattern", 18.0),
    ("tee", 6.0),
    ("to", 15.0),
    ("tail", 7.0),
    ("turns", 6.0),
    ("rise", 7.0),
    ("lie", 8.0),
    ("slope", 7.0),
    ("level", 8.0),
    ("area", 14.0),
    ("count", 6.0),
    ("variant", 10.0),
    ("phase", 11.0),
    ("alternate", 14.0),
    ("note", 34.0),
];

/// The columns that the sheet has: paths only where a run has one.
fn shown_columns<'a>(words: &Wording<'a>) -> impl Iterator<Item = &'static RunColumn> + use<'a> {
    let has_paths = words.job.runs.iter().any(|run| run.path.is_some());
    COLUMNS.iter().filter(move |column| has_paths || column.heading != "path")
}

/// All columns, each with the heading it is read by.
fn run_columns<'a>(words: &Wording<'a>, unit: &str, further: &[Word]) -> Vec<(&'a str, SheetColumn)> {
    let known = shown_columns(words).map(|one| {
        let (kind, usual) = match one.holds {
            Holds::Length => (Kind::Length, 8.0),
            Holds::Count | Holds::Number | Holds::Percent => (Kind::Percent, 7.0),
            Holds::Lengths => (Kind::Text, 12.0),
            Holds::Size => (Kind::Text, 8.0),
            Holds::YesNo => (Kind::Text, 6.0),
            Holds::Text | Holds::Discount | Holds::Date => (Kind::Text, 13.0),
        };
        let heading = match one.holds.is_in_a_unit() {
            true => format!("{} ({unit})", one.heading),
            false => one.heading.to_owned(),
        };
        let width = WIDTHS.iter().find(|(of, _)| *of == one.heading).map_or(usual, |(_, width)| *width);
        (one.heading, column(&heading, width, kind))
    });
    let own = further.iter().map(|name| (words.word(*name), column(words.word(*name), 9.0, Kind::Percent)));
    known.chain(own).collect()
}

fn run_cells(words: &Wording<'_>, run: &Run, further: &[Word]) -> Vec<Value> {
    let known = shown_columns(words).map(|column| shown(words, (column.cell)(run)));
    let own =
        further.iter().map(|column| run.further(*column).map_or(Value::Nothing, |cell| shown(words, cell)));
    known.chain(own).collect()
}

/// A cell as it was written.
fn shown(words: &Wording<'_>, cell: Cell<'_>) -> Value {
    let text = match cell {
        Cell::Length(Some(length)) => return Value::Quantity(words.shown(length)),
        Cell::Count { written: Some(count), .. } => return Value::Quantity(count.into()),
        Cell::Number(count) if count > 0 => return Value::Quantity(count.into()),
        Cell::Decimal(number) => return Value::Quantity(number),
        Cell::Choice { written, .. } => written.unwrap_or("").to_owned(),
        // The heading names the unit.
        Cell::Lengths(list) => {
            list.iter().map(|length| plain(words.shown(*length))).collect::<Vec<_>>().join("; ")
        }
        Cell::Text(_)
        | Cell::Word(_)
        | Cell::Words(_)
        | Cell::Length(None)
        | Cell::Count { written: None, .. }
        | Cell::Number(_)
        | Cell::Yes(_)
        | Cell::Path(_)
        | Cell::Meeting(_)
        | Cell::Scope(_) => cell.text(&words.job.lexicon, words.length_unit()),
    };
    if text.is_empty() { Value::Nothing } else { text.into() }
}

/// The patterns that the sheet has: those of drains only where the job has drains.
fn shown_patterns<'a>(words: &Wording<'a>) -> impl Iterator<Item = &'a Pattern> + use<'a> {
    let has_drains = words.job.runs.iter().any(|run| !run.service.is_water());
    words.job.catalog.patterns.iter().filter(move |pattern| has_drains || pattern.side != Some(Side::Drain))
}

/// Writes the patterns.
pub(super) fn write_rules(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let words = book.words;
    let about =
        "The patterns as read, built in or your own. A change belongs in the table patterns of the job.";
    let columns = rule_columns();
    let mut page =
        Page::open(out, &book.binding, "Rules", "Rules", about, Paper::Landscape, of_sheet(&columns))?;
    page.headings(1)?;
    for pattern in shown_patterns(&words) {
        for rule in &pattern.rows {
            put_row(&mut page, &words, (0, &columns), &(&*pattern.name, rule))?;
            page.next();
        }
    }
    page.widen(WIDEST)
}

/// A row of a pattern, behind the name of the pattern.
fn rule_columns<'a>() -> [Column<(&'a str, &'a PatternRow)>; 13] {
    use Kind::{Percent, Text};
    use Tone::{Muted, Plain};
    [
        on_sheet("pattern", (18.0, Text, Plain), |_, (pattern, _)| (*pattern).into()),
        on_sheet("part", (24.0, Text, Plain), |w, (_, rule)| match (&rule.adds, rule.laid_in) {
            (Adds::Part(part, _), _) => w.word(*part).into(),
            (Adds::Tube(_), _) => "tube".into(),
            (Adds::Nothing, Some(system)) => format!("laid in {}", w.word(system)).into(),
            (Adds::Nothing, None) => "nothing".into(),
        }),
        on_sheet("quantity", (9.0, Percent, Plain), |w, (_, rule)| match &rule.adds {
            Adds::Part(_, quantity) => Value::Quantity(*quantity),
            Adds::Tube(piece) => w.length_words(*piece).into(),
            Adds::Nothing => Value::Nothing,
        }),
        on_sheet("per", (12.0, Text, Plain), |w, (_, rule)| rule.per.word(&w.job.lexicon).into()),
        on_sheet("size", (12.0, Text, Plain), |w, (_, rule)| w.size_list(&rule.sizes).into()),
        on_sheet("variant", (10.0, Text, Plain), |w, (_, rule)| w.word(rule.variant).into()),
        on_sheet("where", (10.0, Text, Plain), |w, (_, rule)| match rule.stands {
            Some(Where::Start) => "start".into(),
            Some(Where::End) => "end".into(),
            Some(Where::At(distance)) => w.length_words(distance).into(),
            None => Value::Nothing,
        }),
        on_sheet("every", (10.0, Text, Plain), |w, (_, rule)| rule.every.map(|of| w.length_words(of)).into()),
        on_sheet("system", (16.0, Text, Plain), |w, (_, rule)| w.list(&rule.systems).into()),
        on_sheet("only", (18.0, Text, Plain), |w, (_, rule)| {
            let asked = |(column, value): &(Word, Word)| format!("{}={}", w.word(*column), w.word(*value));
            rule.only.iter().map(asked).collect::<Vec<_>>().join("; ").into()
        }),
        on_sheet("phase", (11.0, Text, Plain), |_, (_, rule)| rule.phase.map(Phase::word).into()),
        on_sheet("note", (48.0, Text, Plain), |_, (_, rule)| (&*rule.note).into()),
        on_sheet("read from", (24.0, Text, Muted), |w, (_, rule)| w.spot(rule.row).into()),
    ]
}
