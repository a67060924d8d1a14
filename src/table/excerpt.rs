//! Reads some rows of a table again, as they stand, so that the command line can draw them under a notice. It judges
//! nothing and takes no notices.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::asides::comment;
use super::limits::Limits;
use super::row::Row;
use super::{Doors, Go, Sink, TableFile, feed};
use crate::ground::Spot;
use crate::ground::notice::Finding;

/// A cell of an excerpt.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ExcerptCell {
    /// Its column, from 1.
    pub column: u32,
    /// The heading over it, where it has one.
    pub heading: Option<String>,
    /// What stands in it, as a person would see it.
    pub text: String,
}

/// The cells of the wanted rows of a table, by any place in it, that hold something, in one pass over it. Rows that are
/// blank or not there are left out; so is all of a table that cannot be read or is no file.
pub fn excerpts(table: &Spot, rows: &BTreeSet<u32>) -> BTreeMap<u32, Vec<ExcerptCell>> {
    let mut taking = Taking { wanted: rows, headings: None, taken: BTreeMap::new() };
    if let Some(path) = table.file.path().filter(|path| path.is_file()) {
        let (shown, sheet) = (Arc::from(&*table.file), table.sheet.clone());
        let file = TableFile::File { path: path.to_owned(), shown, sheet, elsewhere: false };
        feed(&file, &Limits::default(), &mut Doors::default(), &mut taking);
    }
    taking.taken
}

/// As much of a text as anybody draws.
fn beginning(text: &str) -> String {
    const DRAWN: usize = 200;
    text.chars().take(DRAWN).collect()
}

struct Taking<'a> {
    wanted: &'a BTreeSet<u32>,
    headings: Option<Vec<String>>,
    taken: BTreeMap<u32, Vec<ExcerptCell>>,
}

impl Sink for Taking<'_> {
    fn row(&mut self, number: u32, row: &Row) -> Go {
        if row.is_blank() {
            return Go::On;
        }
        if self.headings.is_none() && comment(row).is_none() {
            self.headings = Some((0..row.len()).map(|i| row.cell(i).text.to_owned()).collect());
        }
        let headings = self.headings.as_deref().unwrap_or(&[]);
        if self.wanted.contains(&number) {
            let cells = (0..row.len())
                .map(|position| (position, row.cell(position)))
                .filter(|(_, cell)| !cell.is_empty())
                .map(|(position, cell)| ExcerptCell {
                    column: u32::try_from(position + 1).unwrap_or(0),
                    heading: headings.get(position).filter(|h| !h.is_empty()).map(|h| beginning(h)),
                    text: beginning(cell.text),
                })
                .collect();
            self.taken.insert(number, cells);
        }
        // Rows come from the top down: behind the last wanted one there is nothing to find.
        if self.wanted.last().is_some_and(|last| number < *last) { Go::On } else { Go::Stop }
    }

    fn tell(&mut self, _: u32, _: u32, _: Finding) {}

    fn decimal_commas(&mut self, _: bool) {}
}
