//! `compare` with several jobs: layouts of a house side by side, each against the first.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::args::{Options, Trial};
use super::narrow::{Figures, table, wrapped};
use super::notices;
use super::outputs::refuse_inside;
use super::screen::Screen;
use super::{CouldNot, Done, read};
use crate::estimate::estimate;
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
        if let Some(out) = out {
            refuse_inside(out, path)?;
        }
        let mut job = read(path, screen)?;
        super::trial::apply(&mut job, trial, None, screen)?;
        screen.step("counting and buying");
        let estimated = estimate(&job);
        read_jobs.push((path, job, estimated));
    }
    let sides: Vec<(String, Side<'_>)> =
        read_jobs.iter().map(|(path, job, estimate)| (name_of(path), Side { job, estimate })).collect();
    let compared = side_by_side(&sides, all_systems).map_err(CouldNot::Say)?;
    let mut all: Vec<Notice> = Vec::new();
    for (path, _, estimated) in &read_jobs {
        let of_job = estimated.told.iter();
        // Doubts of every job at once would bury the table: `check` shows them.
        for notice in of_job.filter(|notice| notice.is_error() || notice.kind == "prices-changed") {
            let mut notice = notice.clone();
            for spot in &mut notice.spots {
                if !spot.file.starts_with("--") && path.is_dir() {
                    spot.file = Arc::from(path.join(&*spot.file).to_string_lossy());
                }
            }
            all.push(notice);
        }
    }
    let all = in_order(all);
    notices::show(&all, None, options, screen);
    match out {
        Some(out) => {
            report::write_layouts(&compared, out).map_err(|why| CouldNot::Say(why.to_string()))?;
            screen.say(&format!("written: {}", out.join("layouts.csv").display()));
        }
        None => {
            for line in told(&compared, screen) {
                screen.result(&line);
            }
        }
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
    let mut lines = super::trial::said(&layouts.tried, screen);
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
