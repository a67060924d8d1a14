//! Notices on the terminal: drawn with the row they speak of, one line each, or as JSON for programs.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::args::Options;
use super::narrow::{WIDTH, cut, padded, wrapped};
use super::screen::{Paint, Screen};
use crate::doubts::{counted, weightiest};
use crate::ground::{Hangs, Notice, Severity, Spot};
use crate::report::facts::wording;
use crate::table::{ExcerptCell, excerpts};
use unicode_width::UnicodeWidthStr;

/// The most cells of a row that are drawn on each side of the one in question.
const AROUND: usize = 3;

/// The most characters of a cell that are drawn.
const CELL: usize = 24;

/// The most cells of the other side that are shown.
const SIDES: usize = 6;

/// Shows all notices, in the order of files, sheets, rows and columns, and a line that counts them.
pub(super) fn show(notices: &[Notice], options: &Options, screen: &mut Screen) {
    let shown: Vec<&Notice> = notices.iter().filter(|n| n.is_error() || !screen.is_quiet()).collect();
    if options.json {
        for notice in &shown {
            screen.aside(&as_json(notice));
        }
        return;
    }
    if options.short {
        for notice in &shown {
            screen.aside(&in_one_line(notice));
        }
        return;
    }
    let rows = rows_of(&shown);
    for group in shown.chunk_by(|a, b| same_but_found(a, b)) {
        for line in drawn(group, &rows, screen) {
            screen.aside(&line);
        }
    }
    let tally = counted(shown.iter().copied());
    if !tally.is_empty() {
        screen.aside(&tally);
    }
}

/// The most notices that are named.
const NAMED: usize = 5;

/// The last lines of a command: how many errors and warnings there are, and those that matter most; none where there is neither error nor warning. The rest stands `elsewhere`: on a sheet, or above.
pub(super) fn weightiest_lines(told: &[Notice], elsewhere: &str, screen: &Screen) -> Vec<String> {
    let weighty = weightiest(told);
    if weighty.is_empty() {
        return Vec::new();
    }
    let grave = told.iter().filter(|notice| notice.severity != Severity::Remark);
    let head = format!("  {}:", counted(grave.clone()));
    let mut lines = vec![screen.paint_result(Paint::Yellow, &head)];
    for one in weighty.iter().take(NAMED) {
        let bullet = if one.notice.is_error() { "    error  " } else { "    " };
        lines.extend(wrapped(bullet, &one.words()));
    }
    let named: usize = weighty.iter().take(NAMED).map(|one| 1 + one.more).sum();
    match grave.count().saturating_sub(named) {
        0 => lines.push(format!("    what to do: {elsewhere}")),
        more => lines.push(format!("    and {more} more: {elsewhere}")),
    }
    lines
}

/// Whether two notices say different things of the same cells, to be mended the same way: they are drawn as one.
fn same_but_found(a: &Notice, b: &Notice) -> bool {
    (a.severity, a.kind, &a.spots, &a.expected, &a.remedy)
        == (b.severity, b.kind, &b.spots, &b.expected, &b.remedy)
}

/// A command that could do nothing, for programs.
pub(super) fn could_not_as_json(why: &str) -> String {
    let (expected, remedy) = (String::new(), String::new());
    as_json(&Notice::new(Severity::Error, "could-not", Vec::new(), why.to_owned(), expected, remedy))
}

/// `error unknown-name runs.csv:H7: joins names "heatr"...; type "heater", or...`
fn in_one_line(notice: &Notice) -> String {
    let Notice { severity, kind, spots, found, remedy, .. } = notice;
    let spot = spots.first().map(ToString::to_string).unwrap_or_default();
    let hangs = notice.hangs.as_ref().filter(|hangs| hangs.moved().is_some());
    let hangs = hangs.map(|hangs| format!("; {}", hangs.words())).unwrap_or_default();
    format!("{} {kind} {spot}: {found}{hangs}; {remedy}", wording::severity(*severity))
}

#[derive(Serialize)]
struct Told<'a> {
    severity: Severity,
    kind: &'a str,
    cells: Vec<String>,
    found: &'a str,
    expected: &'a str,
    remedy: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    hangs: Option<&'a Hangs>,
    #[serde(skip_serializing_if = "Option::is_none")]
    accepted: Option<String>,
}

fn as_json(notice: &Notice) -> String {
    let cells = notice.spots.iter().map(ToString::to_string).collect();
    let Notice { severity, kind, found, expected, remedy, .. } = notice;
    let accepted = notice.accepted.as_ref().map(ToString::to_string);
    let hangs = notice.hangs.as_ref();
    let told = Told { severity: *severity, kind, cells, found, expected, remedy, hangs, accepted };
    serde_json::to_string(&told).unwrap_or_default()
}

type Rows = BTreeMap<Spot, Vec<ExcerptCell>>;

/// What was found (once for each notice of a group), the row it speaks of, the other cells, what was expected and what
/// to type.
fn drawn(group: &[&Notice], rows: &Rows, screen: &Screen) -> Vec<String> {
    let Some(notice) = group.first() else { return Vec::new() };
    let paint = match notice.severity {
        Severity::Error => Paint::Red,
        Severity::Warning | Severity::Remark => Paint::Yellow,
    };
    let first = notice.spots.first();
    let mut lines = vec![format!(
        "{} {} {}",
        screen.paint(paint, wording::severity(notice.severity)),
        screen.paint(Paint::Bold, &first.map(ToString::to_string).unwrap_or_default()),
        screen.paint(Paint::Dim, notice.kind),
    )];
    for notice in group {
        lines.extend(wrapped("  ", &notice.found));
        lines.extend(notice.hangs.iter().flat_map(|hangs| wrapped("  hangs     ", &hangs.words())));
    }
    if let Some(spot) = first
        && let Some(cells) = rows.get(&whole_row(spot))
    {
        lines.extend(row_lines(spot, cells, screen));
    }
    for other in notice.spots.iter().skip(1).take(SIDES) {
        let cell = rows.get(&whole_row(other)).map(|cells| summary(other, cells)).unwrap_or_default();
        lines.push(cut(&format!("  see       {other}{cell}"), WIDTH));
    }
    if let Some(more) = notice.spots.len().checked_sub(1 + SIDES).filter(|more| *more > 0) {
        lines.push(format!("            and {more} more"));
    }
    lines.extend(wrapped("  expected  ", &notice.expected));
    lines.extend(wrapped("  do        ", &notice.remedy));
    lines.push(String::new());
    lines
}

/// The cells around the one in question, a heading over each; as many as a line holds, the row's first among them.
fn row_lines(spot: &Spot, cells: &[ExcerptCell], screen: &Screen) -> Vec<String> {
    let at = cells.iter().position(|cell| cell.column >= spot.column).unwrap_or(0);
    let (mut heads, mut texts, mut marks) = (String::new(), String::new(), String::new());
    for cell in around(cells, at) {
        let (head, text, width) = shown_cell(cell);
        heads.push_str(&padded(&head, width));
        texts.push_str(&padded(&text, width));
        let mark = if cell.column == spot.column { "^".repeat(text.width().max(1)) } else { String::new() };
        marks.push_str(&padded(&mark, width));
    }
    let mut lines = vec![
        format!("  {:>8}  {}", "", screen.paint(Paint::Dim, heads.trim_end())),
        format!("  {:>8}  {}", spot.row, texts.trim_end()),
    ];
    if !marks.trim_end().is_empty() {
        lines.push(format!("  {:>8}  {}", "", screen.paint(Paint::Bold, marks.trim_end())));
    }
    lines
}

/// A cell's heading and text as drawn, and the width of both with the gap behind.
fn shown_cell(cell: &ExcerptCell) -> (String, String, usize) {
    let head = cut(cell.heading.as_deref().unwrap_or(""), CELL);
    let text = cut(&cell.text, CELL);
    let width = head.width().max(text.width()) + 3;
    (head, text, width)
}

/// The cells to draw: the one at `at`, the row's first, then neighbours on both sides in turn while a line holds them.
fn around(cells: &[ExcerptCell], at: usize) -> Vec<&ExcerptCell> {
    let room = WIDTH - 12;
    let mut taken = vec![at];
    let mut width = cells.get(at).map_or(0, |cell| shown_cell(cell).2);
    let neighbours = (1..=AROUND).flat_map(|step| [at.checked_sub(step), at.checked_add(step)]).flatten();
    for index in std::iter::once(0).chain(neighbours) {
        let Some(cell) = cells.get(index) else { continue };
        let more = shown_cell(cell).2;
        if !taken.contains(&index) && width + more <= room {
            taken.push(index);
            width += more;
        }
    }
    taken.sort_unstable();
    taken.into_iter().filter_map(|index| cells.get(index)).collect()
}

/// What the other side's cell holds; of a whole row its first cells.
fn summary(spot: &Spot, cells: &[ExcerptCell]) -> String {
    match cells.iter().find(|cell| cell.column == spot.column) {
        Some(cell) => format!(": {}", cut(&cell.text, 40)),
        None => {
            let texts: Vec<String> = cells.iter().take(4).map(|cell| cut(&cell.text, CELL)).collect();
            format!(": {}", texts.join(", "))
        }
    }
}

fn whole_row(spot: &Spot) -> Spot {
    Spot { column: 0, ..spot.clone() }
}

/// Reads again the rows that notices speak of, each table once.
fn rows_of(notices: &[&Notice]) -> Rows {
    let mut wanted: BTreeMap<Spot, BTreeSet<u32>> = BTreeMap::new();
    for spot in notices.iter().flat_map(|n| n.spots.iter().take(1 + SIDES)).filter(|spot| spot.row > 0) {
        wanted.entry(Spot { row: 0, column: 0, ..spot.clone() }).or_default().insert(spot.row);
    }
    let mut rows = Rows::new();
    for (whole, numbers) in wanted {
        for (row, cells) in excerpts(&whole, &numbers) {
            rows.insert(Spot { row, ..whole.clone() }, cells);
        }
    }
    rows
}
