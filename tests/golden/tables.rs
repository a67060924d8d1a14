//! The tables of an example as rows, to be shuffled, converted and written elsewhere.

use std::path::{Path, PathBuf};

use crate::project;

/// A table: its name, its headings first.
pub(crate) struct Table {
    pub(crate) name: String,
    pub(crate) rows: Vec<Vec<String>>,
}

impl Table {
    fn read(path: &Path) -> Self {
        let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_path(path).unwrap();
        let rows =
            reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect();
        Self { name: path.file_stem().unwrap().to_str().unwrap().to_owned(), rows }
    }

    /// As CSV text.
    pub(crate) fn text(&self) -> String {
        let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
        for row in &self.rows {
            writer.write_record(row).unwrap();
        }
        String::from_utf8(writer.into_inner().unwrap()).unwrap()
    }
}

/// The tables of a folder, by name.
pub(crate) fn of(folder: &str) -> Vec<Table> {
    let mut paths: Vec<PathBuf> =
        std::fs::read_dir(project(folder)).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "csv"));
    paths.sort();
    paths.iter().map(|path| Table::read(path)).collect()
}

/// A place for a job beside the price lists that it names: `<it>/examples/job` and `<it>/price-lists`. Gone when dropped.
pub(crate) struct Elsewhere {
    root: PathBuf,
}

impl Elsewhere {
    pub(crate) fn new(name: &str) -> Self {
        let root = std::env::temp_dir().join(format!("golden-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&root);
        let here = Self { root };
        std::fs::create_dir_all(here.job()).unwrap();
        std::fs::create_dir_all(here.hours()).unwrap();
        here
    }

    pub(crate) fn job(&self) -> PathBuf {
        self.root.join("examples/job")
    }

    pub(crate) fn prices(&self) -> PathBuf {
        self.root.join("price-lists")
    }

    fn hours(&self) -> PathBuf {
        self.prices().join("invented-hours")
    }

    /// Writes the tables of a job, and the shared price lists and hours, each after a change.
    pub(crate) fn write(&self, tables: &str, change: impl Fn(&mut Table)) {
        let hours = ("price-lists/invented-hours", self.hours());
        for (from, to) in [(tables, self.job()), ("price-lists", self.prices()), hours] {
            for mut table in of(from) {
                change(&mut table);
                std::fs::write(to.join(format!("{}.csv", table.name)), table.text()).unwrap();
            }
        }
    }
}

impl Drop for Elsewhere {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.root);
    }
}
