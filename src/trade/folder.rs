//! Which tables a path holds: the CSV files of a folder, or one CSV file that is a run list.

use std::path::Path;
use std::sync::Arc;

use super::words::Trouble;
use crate::ground::name::{fold_heading, natural};
use crate::ground::{Notice, Spot};
use crate::table::TableFile;

/// A table and the name it goes by.
#[derive(Debug, Clone)]
pub(super) struct Named {
    /// The name as written, without the ending of a file.
    pub(super) name: String,
    /// The name in the form in which names of tables match.
    pub(super) folded: String,
    /// Where it is.
    pub(super) file: TableFile,
}

impl Named {
    /// A table of a name.
    pub(super) fn new(name: &str, file: TableFile) -> Self {
        Self { name: name.to_owned(), folded: fold_heading(name), file }
    }

    /// The file as notices show it.
    pub(super) fn spot(&self) -> Spot {
        let file = match &self.file {
            TableFile::File { shown, .. } => shown.clone(),
            TableFile::BuiltIn { name, .. } => Arc::from(*name),
        };
        Spot { file, sheet: None, row: 0, column: 0 }
    }
}

/// The tables of a path, in the order of their names. `shown` stands before the names of files in notices; `alone` is
/// the name of the table that a single CSV file is, nothing where it goes by its own name.
pub(super) fn tables(path: &Path, shown: &str, alone: Option<&str>) -> Result<Vec<Named>, String> {
    let kind = std::fs::metadata(path).map_err(|why| why.to_string())?;
    if !kind.is_dir() {
        let file = path.file_name().and_then(|name| name.to_str()).unwrap_or("table.csv");
        let Some(stem) = csv_stem(file) else {
            return Err("it is neither a folder nor a CSV file".to_owned());
        };
        let shown = if shown.is_empty() { file } else { shown };
        return Ok(vec![named(alone.unwrap_or(stem), path, shown)]);
    }
    let mut files = Vec::new();
    for entry in std::fs::read_dir(path).map_err(|why| why.to_string())? {
        let entry = entry.map_err(|why| why.to_string())?;
        if let Some(file) = entry.file_name().to_str()
            && csv_stem(file).is_some()
            && !file.starts_with('.')
        {
            files.push(file.to_owned());
        }
    }
    files.sort_by(|a, b| natural(a, b));
    let table = |file: &String| {
        let stem = csv_stem(file).unwrap_or(file);
        let shown = if shown.is_empty() { file.clone() } else { format!("{shown}/{file}") };
        named(stem, &path.join(file), &shown)
    };
    Ok(files.iter().map(table).collect())
}

/// The notice that a path holds no job.
pub(super) fn no_job(path: &Path, why: &str) -> Notice {
    let file = Arc::from(path.file_name().and_then(|name| name.to_str()).unwrap_or("job"));
    Trouble::NoJob { why }.word(vec![Spot { file, sheet: None, row: 0, column: 0 }])
}

fn named(name: &str, path: &Path, shown: &str) -> Named {
    Named::new(name, TableFile::File { path: path.to_owned(), shown: Arc::from(shown), sheet: None })
}

fn csv_stem(file: &str) -> Option<&str> {
    let (stem, ending) = file.rsplit_once('.')?;
    ending.eq_ignore_ascii_case("csv").then_some(stem)
}
