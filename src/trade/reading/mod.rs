//! Reading: what is gathered while the tables of a job are read, and one row of a table as the files of this floor ask
//! it. It knows no table by itself; every table of `trade` is read through it.

use super::lexicon::{Lexicon, Word};
use crate::ground::notice::Finding;
use crate::ground::{Instead, LengthUnit, Notice, RowAt, SourceId, Sources, Spot};
use crate::table::{self, FoundTable, Shape, TableFile};

pub(super) mod findings;
mod row;
pub(super) mod unknown;

pub(super) use row::{MEANT_AS_A_FRACTION, MOST_COUNTED, Row, is_beyond, parts};

/// What reading a job gathers: its words, its tables, its notices, the unit of bare lengths and the currency.
#[derive(Debug, Default)]
pub(super) struct Reading {
    pub(super) lexicon: Lexicon,
    pub(super) sources: Sources,
    pub(super) notices: Vec<Notice>,
    pub(super) bare: LengthUnit,
    /// The currency of the job; empty before its settings are read.
    pub(super) currency: Box<str>,
}

impl Reading {
    /// Reads a table row by row.
    pub(super) fn read(
        &mut self,
        file: &TableFile,
        shape: &'static Shape,
        each: impl FnMut(&mut Row<'_, '_>),
    ) -> Option<SourceId> {
        self.read_by(false, file, shape, each)
    }

    /// The same of a sheet whose headings may stand under a title.
    pub(super) fn read_by(
        &mut self,
        titled: bool,
        file: &TableFile,
        shape: &'static Shape,
        mut each: impl FnMut(&mut Row<'_, '_>),
    ) -> Option<SourceId> {
        let Self { lexicon, sources, notices, bare, currency } = self;
        table::read_from(file, shape, *bare, titled, (sources, notices), &mut |record| {
            each(&mut Row { record, shape, bare: *bare, currency, lexicon, called: None, wrong: false });
        })
    }

    /// Reads a table into a list, row by row.
    pub(super) fn rows<T>(
        &mut self,
        file: &TableFile,
        shape: &'static Shape,
        mut each: impl FnMut(&mut Row<'_, '_>) -> Option<T>,
    ) -> Vec<T> {
        let mut list = Vec::new();
        self.read(file, shape, |row| list.extend(each(row)));
        list
    }

    /// The text of a word, of its own.
    pub(super) fn text(&self, word: Word) -> String {
        self.lexicon.text(word).to_owned()
    }

    /// Takes a notice down about a cell of a row that is already read.
    pub(super) fn trouble(&mut self, at: RowAt, heading: &str, finding: Finding) {
        let spot = self.sources.cell(at, heading);
        self.notices.push(worded(finding, [spot]));
    }

    /// The same about several cells: the first is where to go, the others are the other side.
    pub(super) fn trouble_of(&mut self, spots: impl IntoIterator<Item = Spot>, finding: Finding) {
        self.notices.push(worded(finding, spots));
    }

    /// The same, with what may have been meant in several cells together.
    pub(super) fn trouble_or(&mut self, at: RowAt, heading: &str, finding: Finding, instead: Vec<Instead>) {
        let spot = self.sources.cell(at, heading);
        self.notices.push(worded(finding, [spot]).or_each(instead));
    }

    /// The same about a row that may stand there by mistake: without it the job would be another.
    pub(super) fn trouble_of_row(&mut self, at: RowAt, heading: &str, finding: Finding) {
        let spot = self.sources.cell(at, heading);
        self.notices.push(or_without_row(worded(finding, [spot])));
    }
}

/// The notice of a finding about these cells, each cell that it repeats cut where it holds pages.
fn worded(finding: Finding, spots: impl IntoIterator<Item = Spot>) -> Notice {
    const LONG: usize = 200;
    const SHOWN: usize = 60;
    let mut notice = finding.at(spots);
    if notice.found.chars().nth(LONG).is_some() {
        let cut = |(at, part): (usize, &str)| match part.char_indices().nth(SHOWN) {
            Some((end, _)) if at % 2 == 1 => format!("{}…", &part[..end]),
            Some(_) | None => part.to_owned(),
        };
        notice.found = notice.found.split('"').enumerate().map(cut).collect::<Vec<_>>().join("\"");
    }
    notice
}

/// The same notice; without the row of its first cell the job would be another.
fn or_without_row(notice: Notice) -> Notice {
    let row = notice.spots.first().map(|spot| Spot { column: 0, ..spot.clone() });
    notice.or_each(row.map(|spot| Instead { spot, text: String::new() }))
}

/// The tables of a name.
pub(super) fn named<'a>(tables: &'a [FoundTable], name: &'a str) -> impl Iterator<Item = &'a FoundTable> {
    tables.iter().filter(move |table| table.name == name)
}

/// The rows of all tables of a name.
pub(super) fn all_rows<T>(
    tables: &[FoundTable],
    name: &str,
    reading: &mut Reading,
    mut read: impl FnMut(&TableFile, &mut Reading) -> Vec<T>,
) -> Vec<T> {
    named(tables, name).flat_map(|table| read(&table.file, reading)).collect()
}
