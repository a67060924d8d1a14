//! What must change nothing, tried on every example.

use std::path::Path;
use std::process::Command;

use coilstick::ground::{Length, LengthUnit};
use coilstick::report::FILES;
use rust_decimal::Decimal;

use crate::expected::results;
use crate::kept::difference;
use crate::tables::{Elsewhere, Table, of};
use crate::{EXAMPLES, Example};

/// Holds the results of a changed job against those of the job as it is.
fn gives_the_same(example: &Example, changed: &Path, what: &str) {
    let (as_it_is, found) = (results(&example.path()), results(changed));
    for ((name, kept), (_, found)) in as_it_is.iter().zip(&found) {
        assert!(kept == found, "{}, {what}: {name}\n{}", example.name, difference(kept, found));
    }
}

/// Shuffles all rows but the headings: a fixed sequence, so that a failure comes again.
pub(crate) fn shuffle(table: &mut Table, mut seed: u64) {
    for last in (2..table.rows.len()).rev() {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let range = u64::try_from(last).unwrap();
        table.rows.swap(last, usize::try_from((seed >> 33) % range).unwrap() + 1);
    }
}

#[test]
fn the_order_of_rows_changes_nothing() {
    for example in &EXAMPLES {
        for seed in 1..4 {
            let there = Elsewhere::new(&format!("shuffled-{}-{seed}", example.name));
            there.write(example.tables, |table| shuffle(table, seed));
            gives_the_same(example, &there.job(), "rows shuffled");
        }
    }
}

#[test]
fn a_shuffled_table_has_all_its_rows_in_another_order() {
    for table in of("examples/lake-cabin") {
        let mut shuffled = Table { name: table.name.clone(), rows: table.rows.clone() };
        shuffle(&mut shuffled, 1);
        assert_eq!(table.rows[0], shuffled.rows[0]);
        assert!(table.rows.len() < 4 || table.rows != shuffled.rows, "{}", table.name);
        let (mut before, mut after) = (table.rows, shuffled.rows);
        before.sort();
        after.sort();
        assert_eq!(before, after);
    }
}

/// The columns that hold lengths.
const LENGTHS: [&str; 8] = ["length", "path", "at", "to at", "tail", "rise", "turns at", "pack"];

/// A length, or a leg of a path, as metres, to the nanometre; `bare` is what a length without a unit is.
fn metres(cell: &str, bare: LengthUnit) -> String {
    let one = |text: &str| {
        let (bearing, length) = text.split_at(text.find(|c: char| !c.is_alphabetic()).unwrap_or(0));
        let length = Length::read(length.trim(), bare).unwrap_or_else(|| panic!("{text} is no length"));
        let metres = format!("{} m", Decimal::new(length.nanometres(), 9).normalize());
        format!("{bearing} {metres}").trim().to_owned()
    };
    cell.split(';').map(|part| one(part.trim())).collect::<Vec<_>>().join("; ")
}

/// Writes every length in metres; of packs those of tube that are in feet.
pub(crate) fn to_metres(table: &mut Table, bare: LengthUnit) {
    let [headings, rows @ ..] = table.rows.as_mut_slice() else { return };
    for (at, heading) in headings.iter().enumerate() {
        let name = heading.split('(').next().unwrap_or_default().trim();
        if !LENGTHS.contains(&name) {
            continue;
        }
        for cell in rows.iter_mut().filter_map(|row| row.get_mut(at)) {
            if !cell.is_empty() && (name != "pack" || cell.ends_with("ft")) {
                *cell = metres(cell, bare);
            }
        }
    }
}

#[test]
fn the_unit_of_length_changes_nothing() {
    for example in &EXAMPLES {
        let there = Elsewhere::new(&format!("metres-{}", example.name));
        there.write(example.tables, |table| to_metres(table, example.units()));
        gives_the_same(example, &there.job(), "each length in metres");
    }
}

/// 1 ft is 0.3048 m and 1 in is 0.0254 m, by definition: 18' 6" are 5.6388 m.
#[test]
fn feet_and_inches_become_the_metres_that_are_defined() {
    assert_eq!(metres("18' 6\"", LengthUnit::Foot), "5.6388 m");
    assert_eq!(metres("9' 6\"; 12'", LengthUnit::Foot), "2.8956 m; 3.6576 m");
    let mut runs = of("examples/lake-cabin").into_iter().find(|table| table.name == "runs").unwrap();
    to_metres(&mut runs, LengthUnit::Foot);
    assert!(runs.text().lines().skip(1).all(|row| row.contains(" m,")));
}

#[test]
fn a_folder_of_csv_files_and_a_workbook_give_the_same() {
    for example in &EXAMPLES {
        let there = Elsewhere::new(&format!("workbook-{}", example.name));
        there.write(example.tables, |_| {});
        let tables: Vec<(String, String)> =
            of(example.tables).into_iter().map(|table| (table.name.clone(), table.text())).collect();
        let texts: Vec<(&str, &str)> =
            tables.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
        let book = there.job().join("job.xlsx");
        std::fs::write(&book, crate::book::of_tables(&texts)).unwrap();
        gives_the_same(example, &book, "as a workbook");
        gives_the_same(example, &there.job(), "as a folder");
    }
}

/// Two processes, so that nothing that differs between them (seeds of hashes, the clock) can be in a file.
#[test]
fn two_runs_of_the_program_write_the_same_bytes() {
    for example in &EXAMPLES {
        let there = Elsewhere::new(&format!("twice-{}", example.name));
        let out = |name: &str| there.prices().join(name);
        for name in ["first", "second"] {
            let mut program = Command::new(env!("CARGO_BIN_EXE_coilstick"));
            let done = program.arg("estimate").arg(example.path()).arg("-o").arg(out(name)).output().unwrap();
            assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
        }
        for file in FILES {
            let [first, second] =
                ["first", "second"].map(|name| std::fs::read(out(name).join(file)).unwrap());
            assert!(!first.is_empty() && first == second, "{}: {file}", example.name);
        }
    }
}
