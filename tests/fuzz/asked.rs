//! A table read to its end, each row asked in every column for everything that a cell can hold.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

use coilstick::ground::{LengthUnit, Notice, Sources};
use coilstick::table::{Holds, Record, Shape, TableFile, excerpts, read};

/// What came of a table.
#[derive(Debug, Default)]
pub(crate) struct Told {
    /// Its rows.
    pub(crate) rows: usize,
    /// Its rows of which every cell held what its column holds.
    pub(crate) sound: usize,
}

/// A file as a table.
pub(crate) fn table_file(path: &Path) -> TableFile {
    let shown = path.file_name().unwrap().to_string_lossy().into_owned();
    TableFile::File { path: path.to_owned(), shown: Arc::from(shown), sheet: None, elsewhere: false }
}

/// Each notice has a place and all its texts, and does not call names.
pub(crate) fn judge_notices<'a>(notices: impl IntoIterator<Item = &'a Notice>) {
    for notice in notices {
        assert!(!notice.spots.is_empty(), "{notice:?}");
        for text in [&notice.found, &notice.expected, &notice.remedy] {
            assert!(!text.is_empty(), "{notice:?}");
            assert!(text.chars().count() < 2_000, "a notice of {} characters: {text:.200}", text.len());
        }
    }
}

/// Reads a table by a shape, asks every cell for everything, and draws the rows that are spoken of.
pub(crate) fn ask_all(file: &TableFile, shape: &Shape) -> Told {
    let (mut sources, mut notices, mut told) = (Sources::default(), Vec::new(), Told::default());
    let mut last = 0;
    read(file, shape, LengthUnit::Foot, &mut sources, &mut notices, &mut |record| {
        assert!(record.at().row > last, "row {} behind row {last}", record.at().row);
        last = record.at().row;
        told.rows += 1;
        for column in 0..shape.columns.len() {
            ask_as_held(record, shape, column);
        }
        told.sound += usize::from(!record.misread());
        for column in 0..=shape.columns.len() {
            ask_otherwise(record, column);
        }
    });
    judge_notices(&notices);
    let mut rows: BTreeSet<u32> = BTreeSet::new();
    for spot in notices.iter().flat_map(|notice| &notice.spots).filter(|spot| spot.row > 0).take(8) {
        assert!(!spot.address().is_empty(), "{spot:?}");
        rows.insert(spot.row);
    }
    if !rows.is_empty() {
        let drawn = excerpts(&file.spot(), &rows);
        assert!(drawn.keys().all(|row| rows.contains(row)));
    }
    told
}

fn ask_as_held(record: &mut Record<'_>, shape: &Shape, column: usize) {
    match shape.columns[column].holds {
        Holds::Text => drop(record.text(column).map(str::to_owned)),
        Holds::Length => drop(record.length(column)),
        Holds::Lengths => drop(record.lengths(column)),
        Holds::Size => drop(record.sizes(column)),
        Holds::Count => drop(record.count(column)),
        Holds::Number => drop(record.money(column)),
        Holds::Percent => drop(record.percent(column)),
        Holds::Discount => drop(record.discount(column)),
        Holds::Date => drop(record.date(column)),
        Holds::YesNo => drop(record.yes_no(column)),
    }
}

/// Asks a cell for everything else; a column beyond the last is none.
fn ask_otherwise(record: &mut Record<'_>, column: usize) {
    let blank = record.is_blank(column);
    assert!(!blank || record.text(column).is_none());
    drop((record.length(column), record.lengths(column), record.size(column), record.sizes(column)));
    drop((record.count(column), record.number(column), record.money(column), record.percent(column)));
    drop((record.discount(column), record.date(column), record.yes_no(column)));
    drop((record.further(), record.further_words(), record.has(column), record.spot(column)));
}
