//! `compare` with several jobs: layouts of a house side by side, each against the first.

use std::path::{Path, PathBuf};

use serde_json::Value;

use super::args::Trial;
use super::told::{Cell, Fact, Lies, Table, Told};
use super::{CouldNot, Outcome, job, why};
use crate::estimate::revision::Side;
use crate::estimate::revision::layouts::{LayoutRow, Layouts, side_by_side};
use crate::ground::Notice;
use crate::ground::inert;
use crate::ground::notice::in_order;
use crate::report;
use crate::table::Limits;

/// Compares jobs.
pub(super) fn layouts(
    paths: &[PathBuf],
    out: Option<&Path>,
    all_systems: bool,
    trial: &Trial,
    limits: &Limits,
) -> Result<Outcome, CouldNot> {
    let mut read_jobs = Vec::new();
    for path in paths {
        let (job, estimated) = job::estimated(path, out, trial, limits)?;
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
    let mut told = Told::default();
    let mut all = in_order(all);
    match out {
        Some(out) => {
            all.extend(report::write_layouts(&compared, out).map_err(why)?);
            told.written([inert::path(&out.join("layouts.csv"))]);
        }
        None => side_by_side_told(&compared, &mut told),
    }
    let whole = read_jobs.iter().all(|(_, _, estimated)| estimated.is_complete());
    Ok(Outcome { notices: all, told, whole })
}

/// What a job is called where it has no name of its own.
fn name_of(path: &Path) -> String {
    let named = path.canonicalize().unwrap_or_else(|_| path.to_path_buf());
    named.file_stem().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default()
}

fn side_by_side_told(layouts: &Layouts, told: &mut Told) {
    job::tried(&layouts.tried, told);
    for (at, column) in (1..).zip(&layouts.columns) {
        let not_whole = if column.complete { "" } else { "  (incomplete)" };
        told.say(format!("  ({at}) "), format!("{}, {}{not_whole}", column.job, column.system));
    }
    told.gap();
    let mut heads = vec!["(1)".to_owned()];
    for at in 2..=layouts.columns.len() {
        heads.extend([format!("({at})"), format!("({at}) - (1)")]);
    }
    let cells = |row: &LayoutRow| {
        let mut cells = Vec::new();
        for (at, cell) in row.cells.iter().enumerate() {
            cells.push(Cell::text(cell.shown()));
            let more = row.cells.first().filter(|_| at > 0).map(|first| Cell::text(cell.more_than(first)));
            cells.extend(more);
        }
        cells
    };
    let mut table = Table::across("", heads);
    layouts.rows.iter().for_each(|row| table.row("", &row.name, cells(row)));
    told.table("", table);
    // Programs have an object a layout, and its figures by their names.
    let facts =
        [Fact::new("job", ""), Fact::new("system", ""), Fact::new("complete", ""), Fact::new("figures", "")];
    let things = layouts.columns.iter().enumerate().map(|(at, column)| {
        let figure = |row: &LayoutRow| Some((row.name.clone(), Value::from(row.cells.get(at)?.shown())));
        let figures = layouts.rows.iter().filter_map(figure).collect();
        let figures = Cell { shown: String::new(), value: Value::Object(figures) };
        vec![
            Cell::text(&*column.job),
            Cell::text(&*column.system),
            Cell::yes_or(column.complete, "no"),
            figures,
        ]
    });
    let lies = Lies::Down { headed: false, most: None };
    told.table("layouts", Table { facts: facts.into(), things: things.collect(), lies });
}
