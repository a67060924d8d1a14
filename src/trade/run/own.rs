//! A row of the run list that says only what is its own of a run that is there once more because a place is like another: it
//! has a name, and neither service nor size.

use super::Run;
use super::check;
use super::columns::{Column, RUNS};
use crate::ground::LengthUnit;
use crate::ground::notice::findings;
use crate::trade::reading::findings::empty_cell;
use crate::trade::reading::{Reading, Row};

/// What a run that is like another may have of its own.
const OWN: [Column; 8] = [
    Column::name,
    Column::length,
    Column::path,
    Column::joins,
    Column::at,
    Column::to,
    Column::to_at,
    Column::note,
];

/// What a row says of a run that is like another.
#[derive(Debug)]
pub(in crate::trade) struct OwnRow {
    /// The row as a run.
    pub(in crate::trade) run: Run,
    /// The first cell that says more than may be its own.
    beyond: Option<&'static str>,
    bare: LengthUnit,
}

impl OwnRow {
    /// A row that is read as a run.
    pub(super) fn read(row: &mut Row<'_, '_>, mut run: Run) -> Self {
        let may = OWN.map(usize::from);
        let filled = (0..RUNS.columns.len()).filter(|column| !row.is_blank(*column));
        let beyond =
            filled.filter(|column| !may.contains(column)).map(|column| RUNS.columns[column].heading).next();
        check::path(&mut run, &mut |column, finding| row.trouble(column, finding));
        run.in_error = row.in_error();
        Self { run, beyond, bare: row.bare }
    }

    /// Gives a run what is its own; a run that joins or ends elsewhere does so where the row says, or at the end.
    pub(in crate::trade) fn give(self, run: &mut Run, reading: &mut Reading) {
        let Self { run: own, beyond, bare } = self;
        run.row = own.row;
        run.in_error |= own.in_error || beyond.is_some();
        if let Some(heading) = beyond {
            reading.trouble(own.row, heading, beyond_its_own(heading, &own.name));
        }
        let has_at = own.at.is_some() || own.at_leg.is_some();
        if own.joins.is_some() || has_at {
            (run.at, run.at_leg) = (own.at, own.at_leg);
        }
        let has_to_at = own.to_at.is_some() || own.to_at_leg.is_some();
        if own.to.is_some() || has_to_at {
            (run.to_at, run.to_at_leg) = (own.to_at, own.to_at_leg);
        }
        run.joins = own.joins.or_else(|| run.joins.take());
        run.to = own.to.or_else(|| run.to.take());
        if !own.note.is_empty() {
            run.note = own.note;
        }
        if own.path_is_written {
            (run.length, run.rise, run.path, run.path_is_written) = (own.length, own.rise, own.path, true);
            (run.turns, run.turns_at, run.eighths) = (own.turns, own.turns_at, own.eighths);
        } else if own.length > crate::ground::Length::ZERO {
            if run.path.is_some() {
                run.in_error = true;
                reading.trouble(own.row, "length", length_for_a_path(&run.name));
            }
            run.length = own.length;
        }
        let (row, mut wrong) = (run.row, false);
        check::own(run, bare, &mut |column, finding| {
            wrong |= finding.is_error();
            reading.trouble(row, RUNS.columns[usize::from(column)].heading, finding);
        });
        run.in_error |= wrong;
    }

    /// The run of which service and size are missing, where it is like none.
    pub(in crate::trade) fn incomplete(self, reading: &mut Reading) -> Run {
        let mut run = self.run;
        let has_way = run.path_is_written || run.length > crate::ground::Length::ZERO;
        let missing = [Column::service, Column::size].into_iter().chain((!has_way).then_some(Column::length));
        for column in missing.map(|column| &RUNS.columns[usize::from(column)]) {
            reading.trouble(run.row, column.heading, empty_cell(column.heading, column.help));
        }
        run.in_error = true;
        run
    }
}

findings! {
    /// A cell that a run which is like another cannot have of its own.
    fn beyond_its_own(heading: &str, name: &str) = error("beyond-its-own",
        "{heading} is given in the row of \"{name}\", which is like another run",
        "joins, at, to, to at, length or path, and note: all else is as in the run that it is like",
        "empty {heading}, or write the run whole, with its service and size, and take its place out of like");

    /// A length where the run that it is like goes by a path.
    fn length_for_a_path(name: &str) = error("length-for-a-path",
        "length is given for \"{name}\", and the run that it is like goes by a path",
        "a path, from which length, rise and turns follow",
        "type the path of this run in place of its length");
}
