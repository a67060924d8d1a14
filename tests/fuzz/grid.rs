//! A table as cells, and what is done to it: cells, rows and columns that change places or come twice, headings that change,
//! numbers at borders, odd characters, long texts.

use std::fmt;

use crate::draw::Draw;
use crate::hard;
use crate::seeds::Seeds;

/// A table of an example, or what became of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Grid {
    pub(crate) name: String,
    pub(crate) rows: Vec<Vec<String>>,
}

/// No table that a run makes has more cells.
const MOST_CELLS: usize = 40_000;

/// No text that is repeated gets longer: above what the door takes for one cell.
const LONGEST: usize = 300_000;

/// So many rows are shown of a table that fails.
const SHOWN: usize = 40;

impl Grid {
    /// Reads a sound CSV text, by another reader than the one that is judged.
    pub(crate) fn of_csv(name: &str, text: &str) -> Self {
        let mut reader =
            csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
        let rows = reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect());
        Self { name: name.to_owned(), rows: rows.collect() }
    }

    /// The heading row and some rows in a line below it.
    pub(crate) fn window(&self, draw: &mut Draw<'_>, most: usize) -> Self {
        let below = self.rows.len().saturating_sub(1);
        let first = 1 + draw.below(below);
        let rows = self.rows.iter().take(1).chain(self.rows.iter().skip(first).take(1 + draw.below(most)));
        Self { name: self.name.clone(), rows: rows.cloned().collect() }
    }

    /// The place of a row below the headings, if there is one.
    fn row(&self, draw: &mut Draw<'_>) -> Option<usize> {
        (self.rows.len() > 1).then(|| 1 + draw.below(self.rows.len() - 1))
    }

    /// The place of a cell: mostly below the headings.
    fn cell(&self, draw: &mut Draw<'_>) -> Option<(usize, usize)> {
        let row = if draw.once_in(16) { draw.below(self.rows.len()) } else { self.row(draw).unwrap_or(0) };
        let cells = self.rows.get(row).filter(|cells| !cells.is_empty())?;
        Some((row, draw.below(cells.len())))
    }

    fn at(&mut self, (row, column): (usize, usize)) -> Option<&mut String> {
        self.rows.get_mut(row)?.get_mut(column)
    }

    /// Changes one thing. What needs a cell or a row that is not there changes nothing.
    pub(crate) fn change(&mut self, draw: &mut Draw<'_>, seeds: &Seeds) {
        let kind = draw.below(24);
        match kind {
            0..=9 => {
                let Some(place) = self.cell(draw) else { return };
                let written = self.rows[place.0][place.1].clone();
                let new = self.other_text(&written, place.1, draw, seeds);
                if let Some(cell) = self.at(place) {
                    *cell = new;
                }
            }
            10..=12 => {
                let (Some(a), Some(b)) = (self.cell(draw), self.cell(draw)) else { return };
                let (first, second) = (self.rows[a.0][a.1].clone(), self.rows[b.0][b.1].clone());
                (self.rows[a.0][a.1], self.rows[b.0][b.1]) = (second, first);
            }
            13 | 14 => {
                if let (Some(a), Some(b)) = (self.row(draw), self.row(draw)) {
                    self.rows.swap(a, b);
                }
            }
            15 | 16 => self.swap_columns(draw),
            17 => {
                if let Some(row) = self.row(draw) {
                    self.rows.remove(row);
                }
            }
            18 | 19 => self.repeat_row(draw),
            20 => {
                let row = draw.below(self.rows.len() + 1);
                self.rows.insert(row, self.odd_row(draw));
            }
            21 => {
                let column = draw.below(self.rows.first().map_or(0, Vec::len));
                for row in self.rows.iter_mut().filter(|row| row.len() > column) {
                    row.remove(column);
                }
            }
            22 => {
                // Rows of the same table of another example, under these headings.
                let Some(other) = seeds.table_like(&self.name, draw) else { return };
                let others = other.window(draw, 6).rows;
                self.rows.extend(others.into_iter().skip(1));
            }
            _ => {
                let heading = seeds.heading(draw).to_owned();
                let column = draw.below(self.rows.first().map_or(0, Vec::len) + 1);
                for (at, row) in self.rows.iter_mut().enumerate() {
                    let text = if at == 0 { heading.clone() } else { draw.one(&hard::CELLS).to_owned() };
                    row.insert(column.min(row.len()), text);
                }
            }
        }
    }

    /// What stands in a cell instead of a text.
    fn other_text(&self, written: &str, column: usize, draw: &mut Draw<'_>, seeds: &Seeds) -> String {
        match draw.below(12) {
            0..=2 => draw.one(&hard::CELLS).to_owned(),
            3 | 4 => {
                // Of the same column, mostly: a name that another row has.
                let Some(row) = self.row(draw) else { return String::new() };
                self.rows[row].get(column).cloned().unwrap_or_default()
            }
            5 => seeds.cell(draw).to_owned(),
            6 => made_of_parts(draw),
            7 => other_number(written, draw),
            8 | 9 => other_characters(written, draw),
            10 => {
                format!("{written}{}{}", draw.one(&[";", "; ", " ", ",", " x ", "+"]), draw.one(&hard::CELLS))
            }
            _ => written.repeat((*draw.one(&[&2, &3, &40, &3_000])).min(LONGEST / (written.len() + 1))),
        }
    }

    fn swap_columns(&mut self, draw: &mut Draw<'_>) {
        let columns = self.rows.first().map_or(0, Vec::len);
        let (a, b) = (draw.below(columns), draw.below(columns));
        // With their headings nothing changes but the order; without, all cells stand under another.
        let first = usize::from(draw.once_in(2));
        for row in self.rows.iter_mut().skip(first).filter(|row| row.len() > a.max(b)) {
            row.swap(a, b);
        }
    }

    fn repeat_row(&mut self, draw: &mut Draw<'_>) {
        let Some(row) = self.row(draw) else { return };
        let whole = self.rows[row].clone();
        let cells = self.rows.iter().map(Vec::len).sum::<usize>();
        let times = (*draw.one(&[&1, &1, &1, &2, &5, &60]))
            .min((MOST_CELLS - cells.min(MOST_CELLS)) / (whole.len() + 1));
        let named_anew = draw.once_in(2);
        for turn in 0..times {
            let mut copy = whole.clone();
            if named_anew && let Some(name) = copy.first_mut() {
                name.push_str(&format!("-{turn}"));
            }
            self.rows.insert(row, copy);
        }
    }

    /// A row that is none: blank, a comment, the headings again, a sum, cells beyond the last heading.
    fn odd_row(&self, draw: &mut Draw<'_>) -> Vec<String> {
        let width = self.rows.first().map_or(0, Vec::len);
        match draw.below(6) {
            0 => vec![String::new(); width],
            1 => vec!["# a comment".to_owned()],
            2 => self.rows.first().cloned().unwrap_or_default(),
            3 => vec!["total".to_owned(), draw.one(&hard::CELLS).to_owned()],
            4 => vec!["x".to_owned(); width + 1 + draw.below(3)],
            _ => (0..width).map(|_| draw.one(&hard::CELLS).to_owned()).collect(),
        }
    }
}

impl fmt::Display for Grid {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "--- {}.csv", self.name)?;
        for row in self.rows.iter().take(SHOWN) {
            writeln!(f, "{}", row.iter().map(|cell| format!("{cell:?}")).collect::<Vec<_>>().join(","))?;
        }
        if self.rows.len() > SHOWN { writeln!(f, "... {} rows", self.rows.len()) } else { Ok(()) }
    }
}

/// A text put together of what cells are made of.
pub(crate) fn made_of_parts(draw: &mut Draw<'_>) -> String {
    (0..1 + draw.below(7)).map(|_| draw.one(&hard::PARTS)).collect()
}

/// The first number of a text as another: near it, far from it, with its point moved.
fn other_number(written: &str, draw: &mut Draw<'_>) -> String {
    let Some(start) = written.find(|c: char| c.is_ascii_digit()) else { return "1".to_owned() };
    let (front, rest) = written.split_at(start);
    let end = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
    let (digits, behind) = rest.split_at(end);
    let number: i128 = digits.parse::<u64>().unwrap_or(0).into();
    let other = match draw.below(7) {
        0 => number + 1,
        1 => number - 1,
        2 => number * 10,
        3 => number / 10,
        4 => number * 1_000,
        5 => -number,
        _ => return format!("{front}{digits}.{}{behind}", draw.below(100)),
    };
    format!("{front}{other}{behind}")
}

/// A text with a few characters put in, taken out, or changed.
pub(crate) fn other_characters(written: &str, draw: &mut Draw<'_>) -> String {
    let mut characters: Vec<char> = written.chars().collect();
    for _ in 0..draw.few().min(6) {
        let at = draw.below(characters.len() + 1);
        match draw.below(4) {
            0 if at < characters.len() => drop(characters.remove(at)),
            1 if at < characters.len() => characters[at] = draw.character(),
            2 if at < characters.len() => characters.insert(at, characters[at]),
            _ => characters.insert(at, draw.character()),
        }
    }
    characters.into_iter().collect()
}
