//! Notices on the terminal: drawn with the row they speak of, one line each, or as JSON for programs.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use serde::Serialize;

use super::args::Options;
use super::screen::{Paint, Screen};
use crate::ground::{Notice, Severity, Spot};
use crate::table::{ExcerptCell, TableFile, excerpts};

/// The most cells of a row that are drawn on each side of the one in question.
const AROUND: usize = 3;

/// Shows all notices, in the order of files, sheets, rows and columns, and a line that counts them.
pub(super) fn show(notices: &[Notice], job: Option<&Path>, options: &Options, screen: &mut Screen) {
    let shown: Vec<&Notice> = notices.iter().filter(|n| n.is_error() || !screen.is_quiet()).collect();
    if options.json {
        for notice in &shown {
            screen.aside(&as_json(notice));
        }
        return;
    }
    let rows =
        if options.short { BTreeMap::new() } else { job.map(|job| rows_of(&shown, job)).unwrap_or_default() };
    for notice in &shown {
        let lines = if options.short { vec![in_one_line(notice)] } else { drawn(notice, &rows, screen) };
        for line in lines {
            screen.aside(&line);
        }
    }
    let (errors, warnings) = (count(&shown, Severity::Error), count(&shown, Severity::Warning));
    if errors + warnings > 0 && !options.short {
        let counted = |n: usize, word: &str| format!("{n} {word}{}", if n == 1 { "" } else { "s" });
        screen.aside(&format!("{}, {}", counted(errors, "error"), counted(warnings, "warning")));
    }
}

fn count(notices: &[&Notice], severity: Severity) -> usize {
    notices.iter().filter(|notice| notice.severity == severity).count()
}

fn word_of(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Remark => "remark",
    }
}

/// `error unknown-name runs.csv:H7: joins names "heatr"...; type "heater", or...`
fn in_one_line(notice: &Notice) -> String {
    let Notice { severity, kind, spots, found, remedy, .. } = notice;
    let spot = spots.first().map(ToString::to_string).unwrap_or_default();
    format!("{} {kind} {spot}: {found}; {remedy}", word_of(*severity))
}

#[derive(Serialize)]
struct Told<'a> {
    severity: Severity,
    kind: &'a str,
    cells: Vec<String>,
    found: &'a str,
    expected: &'a str,
    remedy: &'a str,
}

fn as_json(notice: &Notice) -> String {
    let cells = notice.spots.iter().map(ToString::to_string).collect();
    let Notice { severity, kind, found, expected, remedy, .. } = notice;
    let told = Told { severity: *severity, kind, cells, found, expected, remedy };
    serde_json::to_string(&told).unwrap_or_default()
}

type Rows = BTreeMap<Spot, Vec<ExcerptCell>>;

/// The notice, the row it speaks of, the other cells, what was expected and what to type.
fn drawn(notice: &Notice, rows: &Rows, screen: &Screen) -> Vec<String> {
    let paint = match notice.severity {
        Severity::Error => Paint::Red,
        Severity::Warning | Severity::Remark => Paint::Yellow,
    };
    let first = notice.spots.first();
    let mut lines = vec![format!(
        "{} {} {}",
        screen.paint(paint, word_of(notice.severity)),
        screen.paint(Paint::Bold, &first.map(ToString::to_string).unwrap_or_default()),
        screen.paint(Paint::Dim, notice.kind),
    )];
    lines.push(format!("  {}", notice.found));
    if let Some(spot) = first
        && let Some(cells) = rows.get(&whole_row(spot))
    {
        lines.extend(row_lines(spot, cells, screen));
    }
    for other in notice.spots.iter().skip(1).take(6) {
        let cell = rows.get(&whole_row(other)).map(|cells| summary(other, cells)).unwrap_or_default();
        lines.push(format!("  see       {other}{cell}"));
    }
    lines.push(format!("  expected  {}", notice.expected));
    lines.push(format!("  do        {}", notice.remedy));
    lines.push(String::new());
    lines
}

/// The cells around the one in question, a heading over each.
fn row_lines(spot: &Spot, cells: &[ExcerptCell], screen: &Screen) -> Vec<String> {
    let at = cells.iter().position(|cell| cell.column >= spot.column).unwrap_or(0);
    let from = at.saturating_sub(AROUND);
    let mut near: Vec<&ExcerptCell> = cells[from..cells.len().min(at + AROUND + 1)].iter().collect();
    if from > 0 {
        near.insert(0, &cells[0]);
    }
    let (mut heads, mut texts, mut marks) = (String::new(), String::new(), String::new());
    for cell in near {
        let head: String = cell.heading.as_deref().unwrap_or("").chars().take(24).collect();
        let text: String = cell.text.chars().take(24).map(|c| if c.is_control() { ' ' } else { c }).collect();
        let width = head.chars().count().max(text.chars().count()) + 3;
        heads.push_str(&format!("{head:width$}"));
        texts.push_str(&format!("{text:width$}"));
        let mark =
            if cell.column == spot.column { "^".repeat(text.chars().count().max(1)) } else { String::new() };
        marks.push_str(&format!("{mark:width$}"));
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

/// What the other side's cell holds.
fn summary(spot: &Spot, cells: &[ExcerptCell]) -> String {
    let cell = cells.iter().find(|cell| cell.column == spot.column).or_else(|| cells.first());
    cell.map(|cell| format!(": {}", cell.text.chars().take(40).collect::<String>())).unwrap_or_default()
}

fn whole_row(spot: &Spot) -> Spot {
    Spot { column: 0, ..spot.clone() }
}

/// Reads again the rows that notices speak of, each table once.
fn rows_of(notices: &[&Notice], job: &Path) -> Rows {
    let mut wanted: BTreeMap<(Arc<str>, Option<Arc<str>>), BTreeSet<u32>> = BTreeMap::new();
    for spot in notices.iter().flat_map(|n| n.spots.iter().take(7)).filter(|spot| spot.row > 0) {
        wanted.entry((spot.file.clone(), spot.sheet.clone())).or_default().insert(spot.row);
    }
    let mut rows = Rows::new();
    for ((file, sheet), numbers) in wanted {
        let Some(path) = path_of(&file, job) else { continue };
        let table = TableFile::File { path, shown: file.clone(), sheet: sheet.clone() };
        for (row, cells) in excerpts(&table, &numbers) {
            rows.insert(Spot { file: file.clone(), sheet: sheet.clone(), row, column: 0 }, cells);
        }
    }
    rows
}

/// The file a notice names: inside the job's folder, beside it, or the job itself.
fn path_of(file: &str, job: &Path) -> Option<PathBuf> {
    let beside = job.parent().unwrap_or(Path::new("."));
    [job.join(file), job.to_path_buf(), beside.join(file), PathBuf::from(file)]
        .into_iter()
        .find(|path| path.is_file())
}
