//! Which tables a path holds, as the door finds them: a job, a folder of tables that jobs share, a price list.

use std::path::Path;
use std::sync::Arc;

use super::table_list::SHAPES;
use super::words::Trouble;
use crate::ground::name::fold_heading;
use crate::ground::{Notice, Spot};
use crate::table::{self, Found, FoundTable, TableFile};

/// The tables of a job; one CSV file of any other name is its run list.
pub(super) fn job(path: &Path) -> Result<Found, Notice> {
    let mut found = table::open(path)?;
    if let [only] = found.tables.as_mut_slice()
        && only.file.sheet().is_none()
        && !path.is_dir()
        && !SHAPES.iter().any(|shape| only.is(shape.name))
    {
        "runs".clone_into(&mut only.name);
    }
    if found.tables.iter().any(|table| table.is("runs")) {
        return Ok(found);
    }
    let file = path.file_name().map_or_else(|| path.to_string_lossy(), |name| name.to_string_lossy());
    Err(Trouble::NoRunList.word(vec![Spot { file: Arc::from(file), sheet: None, row: 0, column: 0 }]))
}

/// The tables of a path that a job names, shown by that path.
pub(super) fn shared(home: &Path, written: &str) -> Result<Found, Notice> {
    let path = home.join(written);
    let mut found = table::open(&path)?;
    let folder = path.is_dir();
    for table in &mut found.tables {
        if let TableFile::File { shown, .. } = &mut table.file {
            *shown = if folder { Arc::from(format!("{written}/{shown}")) } else { Arc::from(written) };
        }
    }
    Ok(found)
}

/// The price lists among the tables of a path: of a workbook or folder with a table `prices` that alone, else all.
pub(super) fn price_lists(mut found: Found) -> Vec<FoundTable> {
    if found.tables.iter().any(|table| table.is("prices")) {
        found.tables.retain(|table| table.is("prices"));
    }
    found.tables
}

/// A table given as CSV text.
pub(super) fn text(name: &str, shown: &'static str, text: &'static str) -> FoundTable {
    let file = TableFile::BuiltIn { name: shown, text };
    FoundTable { written: name.to_owned(), name: fold_heading(name), file }
}
