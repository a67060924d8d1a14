//! What the targets begin with: the tables of every example, of the jobs worked by hand, of every case of a mistake, the
//! starter and the price lists; and the workbooks that other programs saved.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use coilstick::trade::{SHAPES, TABLES};

use crate::draw::Draw;
use crate::grid::Grid;

/// The tables of one job.
#[derive(Debug, Clone)]
pub(crate) struct Tables {
    pub(crate) grids: Vec<Grid>,
}

/// Everything to begin with.
pub(crate) struct Seeds {
    /// Whole houses.
    pub(crate) houses: Vec<Tables>,
    /// Jobs of a few rows, each with a mistake.
    pub(crate) mistakes: Vec<Tables>,
    /// Price lists, built-in tables and the tables of labor that examples share.
    pub(crate) lists: Vec<Grid>,
    /// Workbooks, each with its name.
    pub(crate) workbooks: Vec<(String, Vec<u8>)>,
    cells: Vec<String>,
    headings: Vec<String>,
}

pub(crate) fn project(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// The seeds, read once.
pub(crate) fn seeds() -> &'static Seeds {
    static SEEDS: OnceLock<Seeds> = OnceLock::new();
    SEEDS.get_or_init(Seeds::read)
}

impl Seeds {
    fn read() -> Self {
        let mut houses = Vec::new();
        for of in ["examples", "tests/guest-lodge", "tests/by-hand", "tests/published", "templates"] {
            gather(&project(of), &mut houses);
        }
        assert!(houses.len() >= 10, "{}", houses.len());
        let mut lists: Vec<Grid> = TABLES.iter().map(|(name, text)| Grid::of_csv(name, text)).collect();
        for path in files(&project("price-lists")).into_iter().filter(|path| ends_in(path, "csv")) {
            let stem = path.file_stem().unwrap().to_string_lossy().into_owned();
            let name = if is_table(&stem) { stem.as_str() } else { "prices" };
            lists.push(Grid::of_csv(name, &fs::read_to_string(&path).unwrap()));
        }
        let mistakes = files(&project("tests/mistakes")).into_iter().filter(|path| ends_in(path, "txt"));
        let mistakes: Vec<Tables> = mistakes.map(|path| sections(&path)).collect();
        assert!(mistakes.len() >= 195, "{}", mistakes.len());
        let is_workbook = |path: &PathBuf| ["xlsx", "xls", "ods"].iter().any(|ending| ends_in(path, ending));
        let saved = ["tests/door/saved", "examples", "tests/revise"].map(|of| files(&project(of)));
        let workbooks =
            saved.into_iter().flatten().filter(is_workbook).map(|path| {
                (path.file_name().unwrap().to_string_lossy().into_owned(), fs::read(&path).unwrap())
            });
        let workbooks: Vec<_> = workbooks.collect();
        assert!(workbooks.len() >= 10, "{}", workbooks.len());
        let grids = houses.iter().chain(&mistakes).flat_map(|tables| &tables.grids).chain(&lists);
        let cells: BTreeSet<&String> =
            grids.clone().flat_map(|grid| grid.rows.iter().skip(1)).flatten().collect();
        let headings: BTreeSet<&String> = grids.filter_map(|grid| grid.rows.first()).flatten().collect();
        let (cells, headings) = (owned(cells), owned(headings));
        Self { houses, mistakes, lists, workbooks, cells, headings }
    }

    /// A cell of any table.
    pub(crate) fn cell(&self, draw: &mut Draw<'_>) -> &str {
        &self.cells[draw.below(self.cells.len())]
    }

    /// A heading of any table.
    pub(crate) fn heading(&self, draw: &mut Draw<'_>) -> &str {
        &self.headings[draw.below(self.headings.len())]
    }

    /// A house, or a job of a few rows.
    pub(crate) fn tables(&self, draw: &mut Draw<'_>) -> &Tables {
        let of = if draw.once_in(2) { &self.mistakes } else { &self.houses };
        &of[draw.below(of.len())]
    }

    /// A table of any job or list.
    pub(crate) fn table(&self, draw: &mut Draw<'_>) -> &Grid {
        if draw.once_in(4) {
            return &self.lists[draw.below(self.lists.len())];
        }
        let tables = self.tables(draw);
        &tables.grids[draw.below(tables.grids.len())]
    }

    /// A table of that name of some other job.
    pub(crate) fn table_like(&self, name: &str, draw: &mut Draw<'_>) -> Option<&Grid> {
        let all =
            self.houses.iter().chain(&self.mistakes).flat_map(|tables| &tables.grids).chain(&self.lists);
        let like: Vec<&Grid> = all.filter(|grid| grid.name == name).collect();
        like.get(draw.below(like.len())).copied()
    }
}

fn owned(texts: BTreeSet<&String>) -> Vec<String> {
    texts.into_iter().cloned().collect()
}

fn is_table(name: &str) -> bool {
    SHAPES.iter().any(|shape| shape.name.replace('-', " ") == name.replace('-', " "))
}

fn ends_in(path: &Path, ending: &str) -> bool {
    path.extension().is_some_and(|own| own == ending)
}

/// All files of a folder and its folders, by name.
pub(crate) fn files(folder: &Path) -> Vec<PathBuf> {
    let mut entries: Vec<PathBuf> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    entries.sort();
    let inside = |path: PathBuf| if path.is_dir() { files(&path) } else { vec![path] };
    entries.into_iter().flat_map(inside).collect()
}

/// Every folder that holds a run list is a house.
fn gather(folder: &Path, houses: &mut Vec<Tables>) {
    let tables: Vec<PathBuf> = files(folder)
        .into_iter()
        .filter(|path| ends_in(path, "csv") && is_table(&path.file_stem().unwrap().to_string_lossy()))
        .collect();
    for runs in tables.iter().filter(|path| path.ends_with("runs.csv")) {
        let beside = tables.iter().filter(|path| path.parent() == runs.parent());
        let grids = beside.map(|path| {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            Grid::of_csv(&name, &fs::read_to_string(path).unwrap())
        });
        houses.push(Tables { grids: grids.collect() });
    }
}

/// The tables of a case of a mistake; one plain run where it has no run list.
fn sections(path: &Path) -> Tables {
    let text = fs::read_to_string(path).unwrap();
    let mut grids = Vec::new();
    for section in text.split("--- ").filter(|section| !section.is_empty()) {
        let (name, table) = section.split_once('\n').unwrap();
        if let Some(name) = name.strip_suffix(".csv") {
            grids.push(Grid::of_csv(name, table));
        }
    }
    if !grids.iter().any(|grid| grid.name == "runs") {
        grids.push(Grid::of_csv("runs", "run,service,size,length\nA,cold,1/2,10\n"));
    }
    Tables { grids }
}
