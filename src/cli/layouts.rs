//! `compare` with several jobs: layouts of a house side by side, each against the first.

use std::path::{Path, PathBuf};

use super::args::{Options, Trial};
use super::narrow::{Figures, table, wrapped};
use super::screen::Screen;
use super::{CouldNot, Done, job, notices, why};
use crate::estimate::revision::Side;
use crate::estimate::revision::layouts::{LayoutRow, Layouts, side_by_side};
use crate::ground::Notice;
use crate::ground::notice::in_order;
use crate::report;

/// Compares jobs.
pub(super) fn layouts(
    paths: &[PathBuf],
    out: Option<&Path>,
    all_systems: bool,
    trial: &Trial,
    options: &Options,
    screen: &mut Screen,
) -> Result<Done, CouldNot> {
    let mut read_jobs = Vec::new();
    for path in paths {
        let (job, estimated) = job::estimated(path, out, trial, &options.limits(), screen)?;
        read_jobs.push((path, job, estimated));
    }
    let sides: Vec<(String, Side<'_>)> =
        read_jobs.iter().map(|(path, job, estimate)| (name_of(path), Side { job, estimate })).collect();
    let compared = side_by_side(&sides, all_systems).map_err(why)?;
    let mut all: Vec<Notice> = Vec::new();
    for (_, _, estimated) in &read_jobs {
        let of_job = estimated.told.iter();
        // Doubts of every job at once would bury the table: `check` shows them.
        for notice in of_job.filter(|notice| notice.is_error() || notice.kind == "prices-changed") {
            let mut notice = notice.clone();
            notice.show_paths();
            all.push(notice);
        }
    }
    let kept = out.map(|out| report::write_layouts(&compared, out)).transpose().map_err(why)?;
    let mut all = in_order(all);
    all.extend(kept.unwrap_or_default());
    notices::show(&all, options, screen);
    match out {
        Some(out) => screen.written(&out.join("layouts.csv")),
        None => screen.results(told(&compared, screen)),
    }
    let done = if all.iter().any(Notice::is_error) { Done::Incomplete } else { Done::Clean };
    Ok(done.unless(read_jobs.iter().all(|(_, _, estimated)| estimated.is_complete())))
}

/// What a job is called where it has no name of its own.
fn name_of(path: &Path) -> String {
    let named = path.canonicalize().unwrap_or_else(|_| path.to_path_buf());
    named.file_stem().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default()
}

fn told(layouts: &Layouts, screen: &Screen) -> Vec<String> {
    let mut lines = job::tried(&layouts.tried, screen);
    for (at, column) in (1..).zip(&layouts.columns) {
        let not_whole = if column.complete { "" } else { "  (incomplete)" };
        let text = format!("{}, {}{not_whole}", column.job, column.system);
        lines.extend(wrapped(&format!("  ({at}) "), &text));
    }
    lines.push(String::new());
    let mut heads = vec!["(1)".to_owned()];
    for at in 2..=layouts.columns.len() {
        heads.extend([format!("({at})"), format!("({at}) - (1)")]);
    }
    let cells = |row: &LayoutRow| {
        let mut cells = Vec::new();
        for (at, cell) in row.cells.iter().enumerate() {
            cells.push(cell.shown());
            cells.extend(row.cells.first().filter(|_| at > 0).map(|first| cell.more_than(first)));
        }
        cells
    };
    let rows: Vec<Figures> =
        layouts.rows.iter().map(|row| Figures { head: row.name.clone(), cells: cells(row) }).collect();
    lines.extend(table(&heads, &rows));
    lines
}
