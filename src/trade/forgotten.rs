//! The table `often forgotten`: what a house with such fixtures always has, what shows that a list has it, and the run that
//! is added where it has not. Whether a list lacks it is for checks.

use super::reading::{Reading, Row, Text, all_rows};
use super::run::{self, PlaceRow, Run, Side};
use super::scope::Scope;
use super::shape::table;
use crate::ground::name::fold_heading;
use crate::table::{FoundTable, TableFile};
use crate::trade::lexicon::Word;

table! {
    /// The table `often forgotten`.
    FORGOTTEN = "often forgotten", Passed, Column;
    /// A row of the table `often forgotten`.
    OftenForgotten {
        what: Text = "what", required, Text, "what is often forgotten";
            |row, at| row.needed_name(at);
        side: Option<Side> = "side", optional, Text, "water or drain: only of lists that have runs of this side";
            |row, at| row.choice(at);
        has: Box<[Word]> = "house has", required, Text, "kinds of fixtures, parts or services (drain) of which the house has one, parted by semicolons";
            |row, at| { row.needed(at); row.words(at) };
        lacks: Box<[Word]> = "list lacks", required, Text, "parts, patterns or kinds of fixtures of which the list has none, parted by semicolons";
            |row, at| { row.needed(at); row.words(at) };
        why: Text = "why", required, Text, "why a house has it";
            |row, at| row.kept(at);
        source: Text = "source", optional, Text, "where that is published";
            |row, at| row.kept(at);
        run: Text = "run", required, Text, "the run that is added: its name";
            |row, at| row.needed_name(at);
        service: Text = "service", required, Text, "as in the run list";
            |row, at| row.kept(at);
        size: Text = "size", required, Text, "as in the run list";
            |row, at| row.kept(at);
        length: Text = "length", required, Text, "as in the run list";
            |row, at| row.kept(at);
        pattern: Text = "pattern", required, Text, "as in the run list";
            |row, at| row.kept(at);
        joins: Text = "joins", optional, Text, "as in the run list";
            |row, at| row.kept(at);
        to: Text = "to", optional, Text, "as in the run list";
            |row, at| row.kept(at);
        place: Text = "place", optional, Text, "a place that is added with the run";
            |row, at| row.kept(at);
    } beside {
        /// The run that is added; nothing where its cells are in error.
        added: Option<Run>; |_| None;
    }
}

impl OftenForgotten {
    /// What a row of the run list that adds it holds under a heading.
    pub fn under(&self, heading: &str) -> &str {
        match &*fold_heading(heading) {
            "run" | "name" => &self.run,
            "service" => &self.service,
            "size" => &self.size,
            "length" => &self.length,
            "pattern" | "patterns" => &self.pattern,
            "joins" | "from" => &self.joins,
            "to" => &self.to,
            _ => "",
        }
    }
}

impl OftenForgotten {
    /// The place that is added with the run.
    pub(super) fn added_place(&self) -> Option<PlaceRow> {
        (!self.place.is_empty()).then(|| PlaceRow {
            row: self.row,
            in_error: false,
            name: self.place.clone(),
            fixture: Word::EMPTY,
            patterns: Box::default(),
            area: Word::EMPTY,
            level: Word::EMPTY,
            scope: Scope::default(),
            like: Default::default(),
        })
    }
}

/// Reads the tables, the job's rows in place of the program's own of their name, each with its run.
pub(super) fn read(layers: [&[FoundTable]; 3], reading: &mut Reading) -> Vec<OftenForgotten> {
    let mut list: Vec<OftenForgotten> = Vec::new();
    for tables in layers {
        for mut row in all_rows(tables, "oftenforgotten", reading, one) {
            let is_it = |known: &OftenForgotten| known.what.eq_ignore_ascii_case(&row.what);
            match list.iter_mut().find(|known| is_it(known)) {
                Some(known) => std::mem::swap(known, &mut row),
                None => list.push(row),
            }
        }
    }
    list
}

/// Reads one table: its own columns, and once more as a list of runs.
fn one(file: &TableFile, reading: &mut Reading) -> Vec<OftenForgotten> {
    let mut rows =
        reading.rows(file, &FORGOTTEN, |row| Some(OftenForgotten::read(row)).filter(|_| !row.in_error()));
    let (_, runs) = run::read(file, &mut Vec::new(), reading);
    for row in &mut rows {
        row.added = runs.iter().find(|run| run.row.row == row.row.row && !run.in_error).cloned();
    }
    rows
}
