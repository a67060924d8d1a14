//! Which tables there are: those that a job may hold, the program's own, and those that a path holds, as the door finds
//! them (a job, a folder of tables that jobs share, a price list).

use std::path::Path;
use std::sync::Arc;

use super::kept::Home;
use crate::ground::name::{fold_heading, nearest};
use crate::ground::notice::{Finding, findings, remark, warning};
use crate::ground::{Notice, Sources, Spot, TableName};
use crate::table::{self, Found, FoundTable, Limits, Shape, TableFile};

/// The tables that a job may hold, in the order in which documents list them.
pub const SHAPES: [&Shape; 26] = [
    &super::settings::JOB,
    &super::run::RUNS,
    &super::run::PLACES,
    &super::price_list::PRICES,
    &super::catalog::pattern::PATTERNS,
    &super::catalog::part::PARTS,
    &super::catalog::system::SYSTEMS,
    &super::catalog::published::SIZES,
    &super::catalog::published::JOINTS,
    &super::catalog::published::SUPPORTS,
    &super::catalog::published::FIXTURES,
    &super::catalog::drains::MEETINGS,
    &super::catalog::drains::TURNINGS,
    &super::catalog::drains::DRAIN_UNITS,
    &super::catalog::test_day::PRESSURE_TESTS,
    &super::catalog::test_day::TEST_GAUGES,
    &super::catalog::test_day::WATER,
    &super::catalog::code_rules::CODE_RULES,
    &super::catalog::take_out::TAKE_OUTS,
    &super::forgotten::FORGOTTEN,
    &super::labor::LABOR,
    &super::tool::TOOLS,
    &super::supplies::SUPPLIERS,
    &super::supplies::ON_HAND,
    &super::supplies::HELD,
    &super::doubtful::ORDINARY,
];

/// The hidden sheet of a starter workbook with the words to choose from.
pub const LISTS: &str = "lists";

/// Sheets of a starter workbook that hold no table: help, the sheet to walk the framing with, lists to choose from.
const NOT_TABLES: [&str; 3] = ["help", "walk", LISTS];

/// Writes the lists of the built-in tables from their names.
macro_rules! built_in {
    ($($name:literal),+) => {
        /// The built-in tables by name; `new` prints them, jobs lay their own over them.
        pub const TABLES: [(&str, &str); [$($name),+].len()] =
            [$(($name, include_str!(concat!("../../templates/", $name, ".csv")))),+];

        const SHOWN: [&str; TABLES.len()] = [$(concat!("built-in ", $name)),+];
    };
}

built_in!(
    "parts",
    "systems",
    "sizes",
    "joints",
    "supports",
    "fixtures",
    "meetings",
    "turnings",
    "drain units",
    "pressure tests",
    "test gauges",
    "water",
    "code rules",
    "often forgotten",
    "patterns",
    "ordinary"
);

/// The tables as the door takes them.
pub(super) fn built_in() -> Vec<FoundTable> {
    TABLES.into_iter().zip(SHOWN).map(|((name, table), shown)| text(name, shown, table)).collect()
}

/// The notices of tables that no job has, and that were not read either: the table `job` may name a file of any name.
pub(super) fn unknown(tables: &[FoundTable], read: &Sources) -> Vec<Notice> {
    let is_known = |table: &FoundTable| {
        SHAPES.iter().any(|shape| table.is(shape.name)) || NOT_TABLES.contains(&table.name.as_str())
    };
    // Two ways may lead to one file.
    let place = |file: &TableName| file.path().and_then(|path| path.canonicalize().ok());
    let is_read = |spot: &Spot| {
        let mut there = read.iter().filter(|(_, source)| source.sheet == spot.sheet);
        place(&spot.file)
            .is_some_and(|path| there.any(|(_, source)| place(&source.file).as_ref() == Some(&path)))
    };
    let unknown = tables.iter().filter(|table| !is_known(table)).map(|table| (table, table.file.spot()));
    let unread = unknown.filter(|(_, spot)| !is_read(spot));
    unread.map(|(table, spot)| unknown_table(&table.written).at([spot])).collect()
}

/// The tables of a job; one CSV file of any other name is its run list, and a folder that has no CSV file but one
/// workbook is that workbook.
pub(super) fn job(path: &Path, limits: &Limits) -> Result<Found, Notice> {
    let open = |path: &Path| table::open_within(path, limits);
    let mut found = open(path).or_else(|notice| match table::workbooks(path, limits).as_slice() {
        [only] if notice.kind == "no-tables" => open(only),
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
        return Err(hidden_run_list(&hidden.written).at([hidden.spot.clone()]));
    }
    // It may be among the tables that are too many.
    let beyond = found.notices.into_iter().find(|notice| notice.kind == "large-table");
    Err(beyond.unwrap_or_else(|| no_run_list().at([Spot::of_path(path)])))
}

/// The tables of a path that a job names, shown by that path.
pub(super) fn shared(home: &Home, written: &str, limits: &Limits) -> Result<Found, Notice> {
    let Some(path) = home.path(written) else { return Ok(Found::default()) };
    let mut found = table::open_within(&path, limits)?;
    let folder = path.is_dir();
    for table in &mut found.tables {
        if let TableFile::File { shown, elsewhere, .. } = &mut table.file {
            *elsewhere = true;
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
        found.notices.push(hidden_table(&sheet.written).at([sheet.spot]));
    }
    let others = others.into_iter().filter(|sheet| !NOT_TABLES.contains(&sheet.name.as_str()));
    let (names, spots): (Vec<String>, Vec<Spot>) = others.map(|sheet| (sheet.written, sheet.spot)).unzip();
    if let Some(first) = spots.into_iter().next() {
        found.notices.push(hidden_sheets(&names.join(", ")).at([first]));
    }
}

/// The price lists that a path holds, as the user writes it: a CSV file, a workbook, or a folder of both. With each the
/// tables that lie beside it; a folder with a table `prices` is a job, whose list is that alone.
///
/// # Errors
///
/// The notice that the path leads nowhere, or that a folder has no price list.
pub(super) fn price_lists(home: &Home, written: &str, limits: &Limits) -> Result<Vec<Found>, Notice> {
    let Some(path) = home.path(written) else { return Ok(Vec::new()) };
    let workbooks = table::workbooks(&path, limits);
    let csv = match shared(home, written, limits) {
        Ok(found) if found.tables.iter().any(|table| table.is("prices")) => return Ok(vec![found]),
        Ok(found) => Some(found),
        Err(_) if !workbooks.is_empty() => None,
        Err(notice) if path.is_dir() && notice.kind == "no-tables" => {
            return Err(no_price_list_there().at(notice.spots));
        }
        Err(notice) => return Err(notice),
    };
    let mut lists: Vec<Found> = csv.into_iter().collect();
    for workbook in workbooks {
        let name = workbook.file_name().unwrap_or_default().to_string_lossy();
        let written = Path::new(written).join(&*name).to_string_lossy().into_owned();
        match shared(home, &written, limits) {
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

/// A table that no job has.
fn unknown_table(written: &str) -> Finding {
    let near = nearest(written, SHAPES.iter().map(|shape| shape.name));
    let found = format!("the table \"{written}\" is not read");
    let quoted: Vec<String> = near.iter().map(|name| format!("\"{name}\"")).collect();
    match quoted.join(" or ") {
        none if none.is_empty() => remark("unknown-table", found, "a table of a job", "leave it as your own"),
        some => {
            let remedy = format!("name it {some} if that is meant");
            warning("unknown-table", found, "a table of a job", remedy)
        }
    }
}

findings! {
    /// A job without a run list.
    fn no_run_list() = error("no-run-list",
        "the job has no run list",
        "a table \"runs\" with one run a row",
        "add the table runs (a file runs.csv, or a sheet runs)");

    /// A folder of price lists without any.
    fn no_price_list_there() = error("no-price-list-there",
        "the folder has no price list",
        "a folder with price lists: CSV files or workbooks",
        "put the price list into it, or name the file itself");

    /// A hidden sheet with the name of a table.
    fn hidden_table(name: &str) = warning("hidden-table",
        "the sheet {name} is hidden and is not read",
        "tables on sheets in sight",
        "show the sheet if it belongs to the job, else give it another name");

    /// The run list is a hidden sheet.
    fn hidden_run_list(name: &str) = error("hidden-run-list",
        "the job has no run list: the sheet {name} is hidden and is not read",
        "tables on sheets in sight",
        "show the sheet {name}");

    /// Other hidden sheets.
    fn hidden_sheets(names: &str) = remark("hidden-sheets",
        "hidden and not read: {names}",
        "tables on sheets in sight",
        "nothing, if they do not belong to the job");
}
