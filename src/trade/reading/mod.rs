//! Reading: what is gathered while the tables of a job are read, and one row of a table as the files of this floor ask
//! it. It knows no table by itself; every table of `trade` is read through it.

use super::lexicon::{Lexicon, Word};
use crate::ground::notice::Finding;
use crate::ground::{Instead, LengthUnit, Notice, RowAt, SourceId, Sources, Spot};
use crate::table::{self, Budget, Doors, FoundTable, Limits, Shape, TableFile, Taking};

pub(super) mod findings;
mod row;
mod texts;
pub(super) mod unknown;

pub(super) use row::{MEANT_AS_A_FRACTION, MOST_COUNTED, Row, Seen, is_beyond, parts};
pub(super) use texts::Text;
use texts::Texts;

/// What reading a job gathers: its words, its tables, its notices, the unit of bare lengths and the currency.
#[derive(Default)]
pub(super) struct Reading {
    pub(super) lexicon: Lexicon,
    pub(super) sources: Sources,
    pub(super) notices: Vec<Notice>,
    pub(super) bare: LengthUnit,
    /// The currency of the job; empty before its settings are read.
    pub(super) currency: Box<str>,
    /// How much is read, and may be.
    pub(super) budget: Budget,
    /// Texts that rows keep.
    pub(super) texts: Texts,
    /// What the door keeps from table to table.
    pub(super) doors: Doors,
}

impl Reading {
    /// A job of which nothing is read, within limits.
    pub(super) fn within(limits: Limits) -> Self {
        Self { budget: Budget::of(limits), ..Self::default() }
    }

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
        let Self { lexicon, sources, notices, bare, currency, budget, texts, doors } = self;
        let into = Taking { sources, notices, budget, doors };
        table::read_from(file, shape, *bare, titled, into, &mut |record| {
            let (called, wrong) = (None, false);
            each(&mut Row { record, shape, bare: *bare, currency, lexicon, texts, called, wrong });
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

    /// Takes a notice of a row down, unless there are too many of its kind.
    fn list(&mut self, at: RowAt, notice: Notice) {
        self.budget.list(at.source, &mut self.notices, notice);
    }

    /// Takes a notice down about a cell of a row that is already read.
    pub(super) fn trouble(&mut self, at: RowAt, heading: &str, finding: Finding) {
        let spot = self.sources.cell(at, heading);
        self.list(at, worded(finding, [spot]));
    }

    /// The same about several cells: the first is where to go, the others are the other side.
    pub(super) fn trouble_of(&mut self, at: RowAt, spots: impl IntoIterator<Item = Spot>, finding: Finding) {
        self.list(at, worded(finding, spots));
    }

    /// The same, with what may have been meant in several cells together.
    pub(super) fn trouble_or(&mut self, at: RowAt, heading: &str, finding: Finding, instead: Vec<Instead>) {
        let spot = self.sources.cell(at, heading);
        self.list(at, worded(finding, [spot]).or_each(instead));
    }

    /// The same about a row that may stand there by mistake: without it the job would be another.
    pub(super) fn trouble_of_row(&mut self, at: RowAt, heading: &str, finding: Finding) {
        let spot = self.sources.cell(at, heading);
        self.list(at, or_without_row(worded(finding, [spot])));
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
