//! Which tables a path holds, as the door finds them: a job, a folder of tables that jobs share, a price list.

use std::path::Path;
use std::sync::Arc;

use super::job::NOT_TABLES;
use super::table_list::SHAPES;
use super::words::Trouble;
use super::words_reading::ReadingTrouble;
use crate::ground::name::fold_heading;
use crate::ground::{Notice, Spot, TableName};
use crate::table::{self, Found, FoundTable, TableFile};

/// The tables of a job; one CSV file of any other name is its run list, and a folder that has no CSV file but one
/// workbook is that workbook.
pub(super) fn job(path: &Path) -> Result<Found, Notice> {
    let mut found = table::open(path).or_else(|notice| match table::workbooks(path).as_slice() {
        [only] if notice.kind == "no-tables" => table::open(only),
        _ => Err(notice),
    })?;
    if let [only] = found.tables.as_mut_slice()
        && only.file.sheet().is_none()
        && !path.is_dir()
        && !SHAPES.iter().any(|shape| only.is(shape.name))
    {
        "runs".clone_into(&mut only.name);
    }
    if found.tables.iter().any(|table| table.is("runs")) {
        tell_hidden(&mut found);
        return Ok(found);
    }
    if let Some(hidden) = found.hidden.iter().find(|sheet| sheet.name == "runs") {
        let trouble = ReadingTrouble::HiddenRunList { name: &hidden.written };
        return Err(Trouble::Reading(trouble).word(vec![hidden.spot.clone()]));
    }
    let file = path.file_name().map_or_else(|| path.to_string_lossy(), |name| name.to_string_lossy());
    Err(Trouble::NoRunList.word(vec![Spot::file(file)]))
}

/// The tables of a path that a job names, shown by that path.
pub(super) fn shared(home: &Path, written: &str) -> Result<Found, Notice> {
    let path = home.join(written);
    let mut found = table::open(&path)?;
    let folder = path.is_dir();
    for table in &mut found.tables {
        if let TableFile::File { shown, .. } = &mut table.file {
            *shown = match (folder, written) {
                (true, "") => shown.clone(),
                (true, written) => Arc::from(format!("{written}/{shown}")),
                (false, written) => Arc::from(written),
            };
        }
    }
    for sheet in &mut found.hidden {
        sheet.spot.file = TableName::of_file(written, &path);
    }
    tell_hidden(&mut found);
    Ok(found)
}

/// Tells of sheets that are hidden and not read: those that are named as a table each, others in one remark.
fn tell_hidden(found: &mut Found) {
    let hidden = std::mem::take(&mut found.hidden);
    let (tables, others): (Vec<_>, Vec<_>) = hidden
        .into_iter()
        .partition(|sheet| SHAPES.iter().any(|shape| fold_heading(shape.name) == sheet.name));
    for sheet in tables {
        let trouble = ReadingTrouble::HiddenTable { name: &sheet.written };
        found.notices.push(Trouble::Reading(trouble).word(vec![sheet.spot]));
    }
    let others = others.into_iter().filter(|sheet| !NOT_TABLES.contains(&sheet.name.as_str()));
    let (names, spots): (Vec<String>, Vec<Spot>) = others.map(|sheet| (sheet.written, sheet.spot)).unzip();
    if let Some(first) = spots.into_iter().next() {
        let trouble = ReadingTrouble::HiddenSheets { names: &names.join(", ") };
        found.notices.push(Trouble::Reading(trouble).word(vec![first]));
    }
}

/// The price lists that a path holds, as the user writes it: a CSV file, a workbook, or a folder of both. With each the
/// tables that lie beside it; a folder with a table `prices` is a job, whose list is that alone.
///
/// # Errors
///
/// The notice that the path leads nowhere, or that a folder has no price list.
pub(super) fn price_lists(home: &Path, written: &str) -> Result<Vec<Found>, Notice> {
    let path = home.join(written);
    let workbooks = table::workbooks(&path);
    let csv = match shared(home, written) {
        Ok(found) if found.tables.iter().any(|table| table.is("prices")) => return Ok(vec![found]),
        Ok(found) => Some(found),
        Err(_) if !workbooks.is_empty() => None,
        Err(notice) if path.is_dir() && notice.kind == "no-tables" => {
            return Err(Trouble::NoPriceList.word(notice.spots));
        }
        Err(notice) => return Err(notice),
    };
    let mut lists: Vec<Found> = csv.into_iter().collect();
    for workbook in workbooks {
        let name = workbook.file_name().unwrap_or_default().to_string_lossy();
        let written = Path::new(written).join(&*name).to_string_lossy().into_owned();
        match shared(home, &written) {
            Ok(found) => lists.push(found),
            // What is no list is told beside those that are.
            Err(mut notice) => {
                let file = TableName::of_file(&written, &workbook);
                notice.spots.iter_mut().for_each(|spot| spot.file = file.clone());
                lists.push(Found { notices: vec![notice], ..Found::default() });
            }
        }
    }
    Ok(lists)
}

/// The price lists among the tables of one file or folder: of those with a table `prices` that alone, else all.
pub(super) fn lists_of(mut found: Found) -> Vec<FoundTable> {
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
