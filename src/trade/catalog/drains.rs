//! Tables of the drain side: the fitting where two runs meet, the fitting of a change of direction, what each fixture sends
//! into the drains. Which row speaks of a meeting is decided here; how runs meet is the network's.

use rust_decimal::Decimal;

use super::Catalog;
use super::system::SystemId;
use crate::ground::notice::findings;
use crate::table::TableFile;
use crate::trade::lexicon::Word;
use crate::trade::reading::{Reading, Row, Text};
use crate::trade::run::{Angle, Attitude, Met, Service, Side, Turned};
use crate::trade::shape::{table, words};

words! {
    /// Which of several runs at one point.
    pub enum Together {
        /// Two level children of one size opposite each other.
        Pair = "pair",
    }
}

table! {
    /// The table `meetings`.
    MEETINGS = "meetings", Noticed, MeetingColumn;
    /// A row of the table `meetings`: the fitting where a child ties into its parent. An empty cell fits anything.
    MeetingRow {
        side: Option<Side> = "side", optional, Text, "drain or water; the water side has its tees and asks for no row";
            |row, at| row.choice(at);
        system: Word = "system", optional, Text, "the system, tube family or fit of the parent";
            |row, at| row.word(at);
        parent: Option<Service> = "parent", optional, Text, "the service of the parent: drain or vent";
            |row, at| row.choice(at);
        parent_attitude: Option<Attitude> = "parent attitude", optional, Text, "level or upright";
            |row, at| row.choice(at);
        child: Option<Service> = "child", optional, Text, "the service of the child: drain or vent";
            |row, at| row.choice(at);
        child_attitude: Option<Attitude> = "child attitude", optional, Text, "level or upright";
            |row, at| row.choice(at);
        angle: Option<Angle> = "angle", optional, Text, "0, 45 or 90 degrees between the two, both up the stream";
            |row, at| row.choice(at);
        together: Option<Together> = "where", optional, Text, "pair: two level children of one size opposite each other";
            |row, at| row.choice(at);
        part: Word = "part", required, Text, "the fitting, by any name of the part";
            |row, at| { row.needed(at); row.word(at) };
        branch_part: Word = "branch part", optional, Text, "what stands in its branch";
            |row, at| row.word(at);
        note: Text = "note", optional, Text, "a note";
            |row, at| row.kept(at);
    }
}

table! {
    /// The table `turnings`.
    TURNINGS = "turnings", Noticed, TurningColumn;
    /// A row of the table `turnings`: the fitting of a change of direction. An empty cell fits anything.
    TurningRow {
        side: Option<Side> = "side", optional, Text, "drain or water; turns of the water side are elbows and ask for no row";
            |row, at| row.choice(at);
        system: Word = "system", optional, Text, "the system, tube family or fit";
            |row, at| row.word(at);
        service: Option<Service> = "service", optional, Text, "drain or vent";
            |row, at| row.choice(at);
        parent_attitude: Option<Attitude> = "parent attitude", optional, Text, "how the leg nearer to the sewer lies: level or upright";
            |row, at| row.choice(at);
        child_attitude: Option<Attitude> = "child attitude", optional, Text, "how the leg behind it lies: level or upright";
            |row, at| row.choice(at);
        angle: Option<Angle> = "angle", optional, Text, "45 or 90 degrees";
            |row, at| row.choice(at);
        part: Word = "part", required, Text, "the fitting, by any name of the part";
            |row, at| { row.needed(at); row.word(at) };
        note: Text = "note", optional, Text, "a note";
            |row, at| row.kept(at);
    }
}

table! {
    /// The table `drain units`.
    DRAIN_UNITS = "drain units", Noticed, UnitColumn;
    /// A row of the table `drain units`: what a kind of fixture sends into the drains.
    DrainUnits {
        family: Word = "code family", required, Text, "the code family whose figure it is: IRC, UPC, or your own";
            |row, at| { row.needed(at); row.word(at) };
        fixture: Word = "fixture", required, Text, "the kind of place: lavatory, water closet";
            |row, at| { row.needed(at); row.word(at) };
        units: Decimal = "units", required, Number, "drainage fixture units";
            |row, at| { row.needed(at); row.zero_or_more(at).unwrap_or_default() };
        trap: Word = "trap", optional, Size, "the least size of its trap";
            |row, at| row.size(at).unwrap_or_default();
        also: Box<[Word]> = "also called", optional, Text, "other names of the fixture, parted by semicolons";
            |row, at| row.words(at);
        source: Text = "source", optional, Text, "where the figure is published";
            |row, at| row.kept(at);
    }
}

/// Reads a table of meetings; rows in error are left out with a notice.
pub(super) fn meetings(file: &TableFile, reading: &mut Reading) -> Vec<MeetingRow> {
    reading.rows(file, &MEETINGS, |row| {
        let read = MeetingRow::read(row);
        if matches!(read.angle, Some(Angle::Against | Angle::Back)) {
            row.trouble(MeetingColumn::angle, no_such_meeting());
        }
        Some(read).filter(|_| !row.in_error())
    })
}

/// Reads a table of turnings; rows in error are left out with a notice.
pub(super) fn turnings(file: &TableFile, reading: &mut Reading) -> Vec<TurningRow> {
    reading.rows(file, &TURNINGS, |row| {
        let read = TurningRow::read(row);
        if matches!(read.angle, Some(Angle::Straight | Angle::Against | Angle::Back)) {
            row.trouble(TurningColumn::angle, no_such_turning());
        }
        Some(read).filter(|_| !row.in_error())
    })
}

/// Reads a table of drain units; rows in error are left out with a notice.
pub(super) fn units(file: &TableFile, reading: &mut Reading) -> Vec<DrainUnits> {
    reading.rows(file, &DRAIN_UNITS, |row| Some(DrainUnits::read(row)).filter(|_| !row.in_error()))
}

/// Of a row that speaks of a case, how many of its cells are filled; nothing where one says otherwise.
pub(super) fn filled(cells: &[Option<bool>]) -> Option<usize> {
    if cells.contains(&Some(false)) {
        return None;
    }
    Some(cells.iter().flatten().count())
}

fn says<T: PartialEq>(cell: Option<T>, is: T) -> Option<bool> {
    cell.map(|cell| cell == is)
}

impl Catalog {
    /// The row that speaks of a meeting in a system: the one with the most cells filled, of several the last.
    pub fn meeting(&self, met: &Met, system: SystemId) -> Option<&MeetingRow> {
        let together = met.pair.then_some(Together::Pair);
        let weight = |row: &&MeetingRow| {
            if row.together != together {
                return None;
            }
            filled(&[
                says(row.side, self.system(system).side),
                self.says_system(row.system, system),
                says(row.parent, met.parent.0),
                says(row.parent_attitude, met.parent.1),
                says(row.child, met.child.0),
                says(row.child_attitude, met.child.1),
                says(row.angle, met.angle),
            ])
        };
        let all = self.meetings.iter().filter_map(|row| Some((weight(&row)?, row)));
        all.max_by_key(|(weight, _)| *weight).map(|(_, row)| row)
    }

    /// The row that speaks of a change of direction in a system: the one with the most cells filled, of several the last.
    pub fn turning(&self, turned: &Turned, system: SystemId) -> Option<&TurningRow> {
        let weight = |row: &&TurningRow| {
            filled(&[
                says(row.side, self.system(system).side),
                self.says_system(row.system, system),
                says(row.service, turned.service),
                says(row.parent_attitude, turned.parent),
                says(row.child_attitude, turned.child),
                says(row.angle, turned.angle),
            ])
        };
        let all = self.turnings.iter().filter_map(|row| Some((weight(&row)?, row)));
        all.max_by_key(|(weight, _)| *weight).map(|(_, row)| row)
    }

    fn says_system(&self, cell: Word, system: SystemId) -> Option<bool> {
        (!cell.is_empty()).then(|| self.takes_in(&[cell], system))
    }

    /// What a kind of fixture sends into the drains by a code family; the last row that speaks of it.
    pub fn drain_units(&self, family: Word, fixture: Word) -> Option<&DrainUnits> {
        let speaks = |row: &&DrainUnits| {
            row.family == family && (row.fixture == fixture || row.also.contains(&fixture))
        };
        self.drain_units.iter().rev().find(speaks)
    }
}

findings! {
    /// An angle at which no run ties in.
    fn no_such_meeting() = error("no-such-angle",
        "angle is more than 90 degrees",
        "0, 45 or 90: what meets at more flows against the stream",
        "type the angle between the two, both up the stream");

    /// A change of direction that no fitting makes.
    fn no_such_turning() = error("no-such-angle",
        "angle is neither 45 nor 90 degrees",
        "45 or 90",
        "type the change of direction");
}
