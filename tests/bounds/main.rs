//! What reading a job costs, by the bytes that it asks the machine for: at most so many times the bytes of its files, for
//! every table, however the rows are wrong. Bytes are counted, not seconds: the same input gives the same count.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

mod book;

use std::alloc::System;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard};

use cap::Cap;
use coilstick::trade::{Job, SHAPES};

#[global_allocator]
static COUNTED: Cap<System> = Cap::new(System, usize::MAX);

/// One measure at a time.
static ALONE: Mutex<()> = Mutex::new(());

fn alone() -> MutexGuard<'static, ()> {
    ALONE.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
}

/// What a piece of work asked for: the bytes of all requests together, and those that its result keeps.
#[derive(Debug, Clone, Copy)]
struct Cost {
    asked: usize,
    kept: usize,
}

fn cost<T>(work: impl FnOnce() -> T) -> (Cost, T) {
    let (asked, kept) = (COUNTED.total_allocated(), COUNTED.allocated());
    let done = work();
    let (more, now) = (COUNTED.total_allocated(), COUNTED.allocated());
    (Cost { asked: more - asked, kept: now.saturating_sub(kept) }, done)
}

/// A fresh folder with these tables.
fn folder(name: &str, tables: &[(&str, &str)]) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("bounds").join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    for (table, text) in tables {
        fs::write(folder.join(format!("{table}.csv")), text).unwrap();
    }
    folder
}

const RUNS: &str = "run,service,size,length\nA,cold,1/2,10\n";

/// The table of a shape in which each cell of each row holds what `cell` gives for its row and column.
fn table(columns: &[&str], rows: usize, cell: impl Fn(usize, usize) -> String) -> String {
    let line = |row| (0..columns.len()).map(|column| cell(row, column)).collect::<Vec<_>>().join(",");
    let lines = (0..rows).map(line);
    std::iter::once(columns.join(",")).chain(lines).map(|line| line + "\n").collect()
}

/// The cost of a job with so many rows in one table.
fn cost_of(shape: &str, columns: &[&str], rows: usize, cell: impl Fn(usize, usize) -> String) -> Cost {
    let text = table(columns, rows, cell);
    let tables = [("runs", RUNS), (shape, text.as_str())];
    let tables = if shape == "runs" { &tables[1..] } else { &tables[..] };
    let path = folder("rows", tables);
    let (cost, job) = cost(|| Job::read(&path));
    drop(job);
    cost
}

/// Four times the rows cost at most so many times as much; what a job costs without them is taken off.
fn is_near_linear(what: &str, of: impl Fn(usize) -> Cost) {
    let [none, some, more] = [1, 250, 1_000].map(of);
    let asked = |cost: Cost| cost.asked.saturating_sub(none.asked);
    let kept = |cost: Cost| cost.kept.saturating_sub(none.kept);
    assert!(asked(more) <= 5 * asked(some) + 200_000, "{what}: {none:?} {some:?} {more:?}");
    assert!(kept(more) <= 5 * kept(some) + 200_000, "{what}: {none:?} {some:?} {more:?}");
}

fn columns_of(shape: &coilstick::table::Shape) -> Vec<&'static str> {
    shape.columns.iter().map(|column| column.heading).collect()
}

#[test]
fn every_table_costs_what_its_rows_are_however_wrong_they_are() {
    let _alone = alone();
    for shape in SHAPES {
        let columns = columns_of(shape);
        for (how, cell) in [
            ("one name in every cell", (|_, _| "nowhere".to_owned()) as fn(usize, usize) -> String),
            ("another name in every cell", |row, column| format!("name{row}x{column}")),
            ("numbers", |row, _| format!("{}", row % 50 + 1)),
            ("numbers beyond any house", |_, _| "99999999999999999999".to_owned()),
        ] {
            is_near_linear(&format!("{} of {how}", shape.name), |rows| {
                cost_of(shape.name, &columns, rows, cell)
            });
        }
    }
}

#[test]
fn further_columns_of_the_run_list_cost_what_their_cells_are() {
    let _alone = alone();
    let named: Vec<String> = (0..200).map(|column| format!("mine {column}")).collect();
    let columns: Vec<&str> =
        ["run", "service", "size", "length"].into_iter().chain(named.iter().map(String::as_str)).collect();
    let of = |rows: usize| {
        cost_of("runs", &columns, rows, |row, column| match column {
            0 => format!("R{row}"),
            1 => "cold".to_owned(),
            2 => "1/2".to_owned(),
            3 => "10".to_owned(),
            _ => "7".to_owned(),
        })
    };
    let [some, more] = [50, 200].map(of);
    assert!(more.asked <= 5 * some.asked, "{some:?} {more:?}");
}

#[test]
fn a_typed_number_costs_nothing() {
    let _alone = alone();
    for shape in SHAPES {
        let columns = columns_of(shape);
        let of = |number: &str| cost_of(shape.name, &columns, 20, |_, _| number.to_owned());
        let (small, large) = (of("2"), of("900000"));
        assert!(large.asked <= 2 * small.asked + 400_000, "{}: {small:?} {large:?}", shape.name);
    }
}

#[test]
fn long_names_are_not_kept() {
    let _alone = alone();
    let columns = ["run", "service", "size", "length", "joins", "note"];
    let long = "n".repeat(130_000);
    let of = |rows: usize| {
        cost_of("runs", &columns, rows, |row, column| match column {
            0 | 4 | 5 => format!("R{row}{long}"),
            1 => "cold".to_owned(),
            2 => "1/2".to_owned(),
            _ => "10".to_owned(),
        })
    };
    let [some, more] = [25, 100].map(of);
    // The file itself is read whole: 390 kB a row. Beyond it a row costs a few short texts.
    assert!(more.asked <= some.asked + 75 * 450_000, "{some:?} {more:?}");
    assert!(more.kept < some.kept + 500_000, "{some:?} {more:?}");
}
