//! Notices on the terminal: drawn with the row they speak of, one line each, or as JSON for programs.

use std::collections::{BTreeMap, BTreeSet};

use super::args::Form;
use super::drawn::{Line, cut, padded, wrapped};
use super::screen::Screen;
use super::told::{Paint, Told, Words};
use crate::doubts::{counted, weightiest};
use crate::ground::inert::shown;
use crate::ground::{Notice, Severity, Spot};
use crate::report::facts::wording;
use crate::table::{ExcerptCell, excerpts};
use unicode_width::UnicodeWidthStr;

/// The most cells of a row that are drawn on each side of the one in question.
const AROUND: usize = 3;

/// The most characters of a cell that are drawn.
const CELL: usize = 24;

/// The most cells of the other side that are shown.
const SIDES: usize = 6;

/// Shows notices, in the order of files, sheets, rows and columns, and where they are drawn a line that counts them.
pub(super) fn show(notices: &[&Notice], form: Form, screen: &mut Screen) {
    match form {
        Form::Short => notices.iter().for_each(|notice| screen.aside(&in_one_line(notice).into())),
        Form::Drawn | Form::Json => draw(notices, screen),
    }
}

/// Draws notices.
fn draw(notices: &[&Notice], screen: &mut Screen) {
    let rows = rows_of(notices);
    for group in notices.chunk_by(|a, b| same_but_found(a, b)) {
        drawn(group, &rows, screen.width()).iter().for_each(|line| screen.aside(line));
    }
    let tally = counted(notices.iter().copied());
    if !tally.is_empty() {
        screen.aside(&tally.into());
    }
}

/// The most notices that are named.
const NAMED: usize = 5;

/// The last lines of a command: how many errors and warnings there are, and those that matter most; none where there is neither
/// error nor warning. The rest stands `elsewhere`: on a sheet, or above. Programs have the counts.
pub(super) fn weightiest_of(told: &[Notice], elsewhere: &str, out: &mut Told) {
    let many = |severity| told.iter().filter(|notice| notice.severity == severity).count();
    out.value("errors", many(Severity::Error));
    out.value("warnings", many(Severity::Warning));
    out.value("remarks", many(Severity::Remark));
    let weighty = weightiest(told);
    if weighty.is_empty() {
        return;
    }
    let grave = told.iter().filter(|notice| notice.severity != Severity::Remark);
    let head = format!("{}:", counted(grave.clone()));
    out.words("", Words::new("  ", head).painted(Paint::Yellow));
    for one in weighty.iter().take(NAMED) {
        let bullet = if one.notice.is_error() { "    error  " } else { "    " };
        out.say(bullet, one.words());
    }
    let named: usize = weighty.iter().take(NAMED).map(|one| 1 + one.more).sum();
    match grave.count().saturating_sub(named) {
        0 => out.say("    what to do: ", elsewhere),
        more => out.say("    ", format!("and {more} more: {elsewhere}")),
    }
}

/// Whether two notices say different things of the same cells, to be mended the same way: they are drawn as one.
fn same_but_found(a: &Notice, b: &Notice) -> bool {
    (a.severity, a.kind, &a.spots, &a.expected, &a.remedy)
        == (b.severity, b.kind, &b.spots, &b.expected, &b.remedy)
}

/// `error unknown-name runs.csv:H7: joins names "heatr"...; type "heater", or...`
fn in_one_line(notice: &Notice) -> String {
    let Notice { severity, kind, spots, found, remedy, .. } = notice;
    let spot = spots.first().map(ToString::to_string).unwrap_or_default();
    let hangs = notice.hangs.as_ref().filter(|hangs| hangs.moved().is_some());
    let hangs = hangs.map(|hangs| format!("; {}", hangs.words())).unwrap_or_default();
    format!("{} {kind} {spot}: {found}{hangs}; {remedy}", wording::severity(*severity))
}

type Rows = BTreeMap<Spot, Vec<ExcerptCell>>;

/// What was found (once for each notice of a group), the row it speaks of, the other cells, what was expected and what
/// to type.
fn drawn(group: &[&Notice], rows: &Rows, width: usize) -> Vec<Line> {
    let Some(notice) = group.first() else { return Vec::new() };
    let mut lines = head(notice, width);
    let mut say =
        |label: &str, words: &str| lines.extend(wrapped(label, words, width).into_iter().map(Line::from));
    for notice in group {
        say("  ", &notice.found);
        notice.hangs.iter().for_each(|hangs| say("  hangs     ", &hangs.words()));
    }
    let first = notice.spots.first();
    if let Some(spot) = first
        && let Some(cells) = rows.get(&whole_row(spot))
    {
        lines.extend(row_lines(spot, cells, width));
    }
    let mut say =
        |label: &str, words: &str| lines.extend(wrapped(label, words, width).into_iter().map(Line::from));
    for other in notice.spots.iter().skip(1).take(SIDES) {
        let cell = rows.get(&whole_row(other)).map(|cells| summary(other, cells)).unwrap_or_default();
        say("  see       ", &format!("{other}{cell}"));
    }
    if let Some(more) = notice.spots.len().checked_sub(1 + SIDES).filter(|more| *more > 0) {
        say("            ", &format!("and {more} more"));
    }
    for (label, words) in [("  expected  ", &notice.expected), ("  do        ", &notice.remedy)] {
        if !words.is_empty() {
            say(label, words);
        }
    }
    lines.push(Line::default());
    lines
}

/// How much it weighs, where it is, and its kind; on one line where there is room.
fn head(notice: &Notice, width: usize) -> Vec<Line> {
    let paint = match notice.severity {
        Severity::Error => Paint::Red,
        Severity::Warning | Severity::Remark => Paint::Yellow,
    };
    let severity = (Some(paint), wording::severity(notice.severity).to_owned());
    let spot = notice.spots.first().map(ToString::to_string).unwrap_or_default();
    let spot = shown(&spot);
    let space = || (None, " ".to_owned());
    let kind = (Some(Paint::Dim), notice.kind.to_owned());
    if severity.1.len() + spot.width() + notice.kind.len() + 2 <= width {
        let spot = (Some(Paint::Bold), spot.into_owned());
        return vec![Line(vec![severity, space(), spot, space(), kind])];
    }
    let mut lines = vec![Line(vec![severity, space(), kind])];
    let spot = wrapped("  ", &spot, width).into_iter();
    lines.extend(spot.map(|text| Line::of(Some(Paint::Bold), text)));
    lines
}

/// The cells around the one in question, a heading over each; as many as a line holds, the row's first among them.
fn row_lines(spot: &Spot, cells: &[ExcerptCell], width: usize) -> Vec<Line> {
    let at = cells.iter().position(|cell| cell.column >= spot.column).unwrap_or(0);
    let (mut heads, mut texts, mut marks) = (String::new(), String::new(), String::new());
    for cell in around(cells, at, width.saturating_sub(12)) {
        let (head, text, wide) = shown_cell(cell, width);
        heads.push_str(&padded(&head, wide));
        texts.push_str(&padded(&text, wide));
        let mark = if cell.column == spot.column { "^".repeat(text.width().max(1)) } else { String::new() };
        marks.push_str(&padded(&mark, wide));
    }
    let line = |number: &str, text: &str, paint| {
        Line(vec![(None, format!("  {number:>8}  ")), (paint, text.trim_end().to_owned())])
    };
    let mut lines = vec![line("", &heads, Some(Paint::Dim)), line(&spot.row.to_string(), &texts, None)];
    if !marks.trim_end().is_empty() {
        lines.push(line("", &marks, Some(Paint::Bold)));
    }
    lines
}

/// A cell's heading and text as drawn, and the width of both with the gap behind.
fn shown_cell(cell: &ExcerptCell, width: usize) -> (String, String, usize) {
    let most = CELL.min(width.saturating_sub(12));
    let head = cut(cell.heading.as_deref().unwrap_or(""), most);
    let text = cut(&cell.text, most);
    let wide = head.width().max(text.width()) + 3;
    (head, text, wide)
}

/// The cells to draw: the one at `at`, the row's first, then neighbours on both sides in turn while a line holds them.
fn around(cells: &[ExcerptCell], at: usize, room: usize) -> Vec<&ExcerptCell> {
    let mut taken = vec![at];
    let mut used = cells.get(at).map_or(0, |cell| shown_cell(cell, room + 12).2);
    let neighbours = (1..=AROUND).flat_map(|step| [at.checked_sub(step), at.checked_add(step)]).flatten();
    for index in std::iter::once(0).chain(neighbours) {
        let Some(cell) = cells.get(index) else { continue };
        let more = shown_cell(cell, room + 12).2;
        if !taken.contains(&index) && used + more <= room {
            taken.push(index);
            used += more;
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
