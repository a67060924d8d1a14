//! Tables of published figures: sizes of tube, what joints consume, spacing of supports, what fixtures need of water.

use rust_decimal::Decimal;

use crate::ground::Length;
use crate::table::TableFile;
use crate::trade::lexicon::Word;
use crate::trade::reading::findings::not_above_zero;
use crate::trade::reading::{Reading, Row, Text};
use crate::trade::shape::table;

table! {
    /// The table `sizes`.
    SIZES = "sizes", Noticed, SizeColumn;
    /// A row of the table `sizes`.
    TubeSize {
        tube: Word = "tube", required, Text, "the tube family";
            |row, at| { row.needed(at); row.word(at) };
        size: Word = "size", required, Size, "the size, a name: 3/4, 15 mm";
            |row, at| { row.needed(at); row.size(at).unwrap_or_default() };
        order: Decimal = "order", required, Number, "its place among the sizes of the tube: larger is larger";
            |row, at| { row.needed(at); row.number(at).value().unwrap_or_default() };
        variant: Word = "variant", optional, Text, "the variant the figures are for";
            |row, at| row.word(at);
        outside: Option<Length> = "outside", optional, Length, "outside diameter";
            |row, at| row.positive_length(at);
        inside: Option<Length> = "inside", optional, Length, "inside diameter";
            |row, at| row.positive_length(at);
        source: Text = "source", optional, Text, "where the figures are published";
            |row, at| row.kept(at);
    }
}

/// Reads a table of sizes; rows without tube, size or order are left out with a notice.
pub(super) fn sizes(file: &TableFile, reading: &mut Reading) -> Vec<TubeSize> {
    reading.rows(file, &SIZES, |row| Some(TubeSize::read(row)).filter(|_| !row.in_error()))
}

table! {
    /// The table `joints`.
    JOINTS = "joints", Noticed, JointColumn;
    /// A row of the table `joints`: what a joint consumes.
    Consumption {
        joint: Word = "joint", required, Text, "the joint: clamp, solder, thread";
            |row, at| row.word(at);
        size: Word = "size", required, Size, "the size it is for; empty: every size without a row of its own";
            |row, at| row.size(at).unwrap_or_default();
        part: Word = "part", required, Text, "the part it consumes; empty: it consumes nothing";
            |row, at| row.word(at);
        amount: Decimal = "amount", required, Number, "how much of it";
            |row, at| { row.needed(at); row.positive(at).unwrap_or_default() };
        unit: Word = "unit", required, Text, "its unit: each, lb, oz, roll";
            |row, at| { row.needed(at); row.word(at) };
        per: u32 = "per", required, Count, "for how many joints";
            per;
        source: Text = "source", optional, Text, "where the figure is published";
            |row, at| row.kept(at);
    }
}

/// Reads a table of joints: what they consume, and among `names` all joints (a push-fit joint consumes nothing).
pub(super) fn joints(file: &TableFile, reading: &mut Reading, names: &mut Vec<Word>) -> Vec<Consumption> {
    reading.rows(file, &JOINTS, |row| {
        row.needed(JointColumn::joint);
        let joint = row.word(JointColumn::joint);
        if !names.contains(&joint) {
            names.push(joint);
        }
        if row.text(JointColumn::part).is_empty() {
            return None;
        }
        Some(Consumption::read(row)).filter(|_| !row.in_error())
    })
}

/// For how many joints: one or more.
fn per(row: &mut Row<'_, '_>, at: usize) -> u32 {
    row.needed(at);
    let per = row.count(at);
    if per == Some(0) {
        row.trouble(at, not_above_zero("per", 0));
    }
    per.unwrap_or(1)
}

table! {
    /// The table `supports`.
    SUPPORTS = "supports", Noticed, SupportColumn;
    /// A row of the table `supports`.
    SupportRule {
        tube: Word = "tube", required, Text, "the tube family";
            |row, at| { row.needed(at); row.word(at) };
        size: Word = "size", required, Size, "the size of the tube";
            |row, at| { row.needed(at); row.size(at).unwrap_or_default() };
        across: Option<Length> = "across", optional, Length, "the most between two supports of level tube";
            |row, at| row.positive_length(at);
        up: Option<Length> = "up", optional, Length, "the most between two supports of a riser";
            |row, at| row.positive_length(at);
        part: Word = "part", required, Text, "the part that supports it";
            |row, at| { row.needed(at); row.word(at) };
        source: Text = "source", optional, Text, "where the figures are published";
            |row, at| row.kept(at);
    }
}

/// Reads a table of supports; rows in error are left out with a notice.
pub(super) fn supports(file: &TableFile, reading: &mut Reading) -> Vec<SupportRule> {
    reading.rows(file, &SUPPORTS, |row| Some(SupportRule::read(row)).filter(|_| !row.in_error()))
}

table! {
    /// The table `fixtures`.
    FIXTURES = "fixtures", Noticed, FixtureColumn;
    /// A row of the table `fixtures`: what a kind of place needs of water.
    Fixture {
        fixture: Word = "fixture", required, Text, "the kind of place: lavatory, kitchen sink";
            |row, at| { row.needed(at); row.word(at) };
        units: Option<Decimal> = "units", optional, Number, "water supply fixture units, hot and cold together, for checks";
            |row, at| row.zero_or_more(at);
        flow: Option<Decimal> = "flow", optional, Number, "flow in gallons a minute; not used yet";
            |row, at| row.zero_or_more(at);
        heights: Box<str> = "heights", optional, Text, "heights over the floor; not used yet";
            |row, at| row.text(at).into();
        source: Text = "source", optional, Text, "where the figures are published";
            |row, at| row.kept(at);
    }
}

/// Reads a table of fixtures; rows in error are left out with a notice.
pub(super) fn fixtures(file: &TableFile, reading: &mut Reading) -> Vec<Fixture> {
    reading.rows(file, &FIXTURES, |row| Some(Fixture::read(row)).filter(|_| !row.in_error()))
}
