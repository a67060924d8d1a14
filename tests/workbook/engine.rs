//! The outside judge: an independent spreadsheet engine that opens a workbook, changes cells and recalculates it.

use std::collections::BTreeMap;

use ironcalc::base::Model;
use ironcalc::base::cell::CellValue;
use ironcalc::import::load_from_xlsx_bytes;

/// A workbook in the engine.
pub(crate) struct Opened {
    model: Model<'static>,
}

/// A cell: sheet, row and column as the engine counts them.
pub(crate) type Cell = (String, i32, i32);

impl Opened {
    /// Opens the bytes of a workbook; nothing is recalculated yet.
    pub(crate) fn new(bytes: &[u8]) -> Self {
        let workbook = load_from_xlsx_bytes(bytes, "estimate", "en", "UTC").unwrap();
        Self { model: Model::from_workbook(workbook, "en").unwrap() }
    }

    /// Recalculates everything.
    pub(crate) fn recalculate(&mut self) {
        self.model.evaluate();
    }

    /// The names of its sheets.
    pub(crate) fn sheets(&self) -> Vec<String> {
        self.model.get_worksheets_properties().into_iter().map(|sheet| sheet.name).collect()
    }

    fn index(&self, sheet: &str) -> u32 {
        u32::try_from(self.sheets().iter().position(|name| name == sheet).unwrap()).unwrap()
    }

    /// What every formula cell shows.
    pub(crate) fn formulas(&self) -> BTreeMap<Cell, CellValue> {
        let names = self.sheets();
        let mut found = BTreeMap::new();
        for cell in self.model.get_all_cells() {
            if self.model.get_cell_formula(cell.index, cell.row, cell.column).unwrap().is_some() {
                let value = self.model.get_cell_value_by_index(cell.index, cell.row, cell.column).unwrap();
                found.insert((names[cell.index as usize].clone(), cell.row, cell.column), value);
            }
        }
        found
    }

    /// What a cell holds.
    pub(crate) fn value(&self, sheet: &str, row: i32, column: i32) -> CellValue {
        self.model.get_cell_value_by_index(self.index(sheet), row, column).unwrap()
    }

    /// Whether a cell is a formula.
    pub(crate) fn is_formula(&self, sheet: &str, row: i32, column: i32) -> bool {
        self.model.get_cell_formula(self.index(sheet), row, column).unwrap().is_some()
    }

    /// The first cell of a sheet that shows these words.
    pub(crate) fn find(&self, sheet: &str, words: &str) -> (i32, i32) {
        let index = self.index(sheet);
        let mut cells: Vec<(i32, i32)> = self
            .model
            .get_all_cells()
            .into_iter()
            .filter(|cell| cell.index == index)
            .filter(|cell| self.value(sheet, cell.row, cell.column) == CellValue::String(words.to_owned()))
            .map(|cell| (cell.row, cell.column))
            .collect();
        cells.sort_unstable();
        *cells.first().unwrap_or_else(|| panic!("no cell of {sheet} shows {words}"))
    }

    /// The last row of a sheet that shows these words in its first column.
    pub(crate) fn last(&self, sheet: &str, words: &str) -> i32 {
        let index = self.index(sheet);
        let cells =
            self.model.get_all_cells().into_iter().filter(|cell| (cell.index, cell.column) == (index, 1));
        let shows = |row: &i32| self.value(sheet, *row, 1) == CellValue::String(words.to_owned());
        cells
            .map(|cell| cell.row)
            .filter(shows)
            .max()
            .unwrap_or_else(|| panic!("no row of {sheet} shows {words}"))
    }

    /// The first words of a sheet that begin so.
    pub(crate) fn starting(&self, sheet: &str, beginning: &str) -> String {
        let index = self.index(sheet);
        let cells = self.model.get_all_cells().into_iter().filter(|cell| cell.index == index);
        let mut words = cells.filter_map(|cell| match self.value(sheet, cell.row, cell.column) {
            CellValue::String(words) => Some(words),
            CellValue::Number(_) | CellValue::Boolean(_) | CellValue::None => None,
        });
        words.find(|words| words.starts_with(beginning)).unwrap_or_else(|| panic!("{beginning}"))
    }

    /// Whether a formula speaks of edits: it counts them, names what was made before them, or says that another offer is
    /// cheaper now.
    pub(crate) fn is_of_edits(&self, (sheet, row, column): &Cell) -> bool {
        let formula = self.model.get_cell_formula(self.index(sheet), *row, *column).unwrap();
        let formula = formula.unwrap_or_default();
        let held_against = formula.strip_prefix("=IF(").and_then(|rest| rest.split_once('='));
        let counts = held_against.is_some_and(|(cell, rest)| {
            cell.chars().all(|c| c.is_ascii_alphanumeric())
                && rest.ends_with(",0,1)")
                && !rest.starts_with("\"\"")
        });
        let cheaper = formula.starts_with("=IF(ROUND(SUMIFS(order_extended,order_line,");
        let says = ["edited", "order_cheaper", "run again"].iter().any(|of| formula.contains(of));
        counts || cheaper || says
    }

    /// The cell in the row of one text and under a heading.
    pub(crate) fn at(&self, sheet: &str, in_row: &str, heading: &str) -> (i32, i32) {
        (self.find(sheet, in_row).0, self.find(sheet, heading).1)
    }

    /// The first row of a sheet whose cells show all of these words.
    pub(crate) fn row_of(&self, sheet: &str, words: &[&str]) -> i32 {
        let index = self.index(sheet);
        let cells = self.model.get_all_cells().into_iter().filter(|cell| cell.index == index);
        let mut shown: BTreeMap<i32, Vec<String>> = BTreeMap::new();
        for cell in cells {
            if let CellValue::String(words) = self.value(sheet, cell.row, cell.column) {
                shown.entry(cell.row).or_default().push(words);
            }
        }
        let has_all =
            |(_, there): &(&i32, &Vec<String>)| words.iter().all(|word| there.iter().any(|one| one == word));
        let row = shown.iter().find(has_all).map(|(row, _)| *row);
        row.unwrap_or_else(|| panic!("no row of {sheet} shows {words:?}"))
    }

    /// Types a number into a cell, as a person does.
    pub(crate) fn type_number(&mut self, sheet: &str, (row, column): (i32, i32), number: &str) {
        let index = self.index(sheet);
        assert!(!self.is_formula(sheet, row, column), "a person does not type over a formula");
        self.model.set_user_input(index, row, column, number.to_owned()).unwrap();
    }

    /// The number in a cell.
    pub(crate) fn number(&self, sheet: &str, (row, column): (i32, i32)) -> f64 {
        match self.value(sheet, row, column) {
            CellValue::Number(number) => number,
            other @ (CellValue::None | CellValue::String(_) | CellValue::Boolean(_)) => {
                panic!("{sheet} row {row} column {column} holds {other:?}")
            }
        }
    }
}

/// The cells in which two recalculations differ, with what each shows. Numbers agree when they are the same to a
/// thousandth of a cent.
pub(crate) fn differences(one: &BTreeMap<Cell, CellValue>, other: &BTreeMap<Cell, CellValue>) -> Vec<String> {
    let same = |a: &CellValue, b: &CellValue| match (a, b) {
        (CellValue::Number(a), CellValue::Number(b)) => (a - b).abs() < 1e-5,
        (a, b) => a == b,
    };
    one.iter()
        .filter(|(cell, value)| !other.get(*cell).is_some_and(|there| same(value, there)))
        .map(|(cell, value)| format!("{cell:?}: {value:?} against {:?}", other.get(cell)))
        .collect()
}
