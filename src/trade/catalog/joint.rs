//! What joints consume: a ring each, solder and flux, cement, tape.

use rust_decimal::Decimal;

use crate::table::TableFile;
use crate::trade::lexicon::Word;
use crate::trade::reading::findings::not_above_zero;
use crate::trade::reading::{Reading, Row};
use crate::trade::shape::table;

table! {
    /// The table `joints`.
    JOINTS = "joints", Noticed;
    /// A row of the table `joints`: what a joint consumes.
    Consumption {
        joint: Word = "joint", required, Text, "the joint: clamp, solder, thread";
            |row, at| row.word(at);
        size: Word = "size", required, Size, "the size it is for; empty: every size without a row of its own";
            |row, at| row.size(at).unwrap_or_default();
        part: Word = "part", required, Text, "the part it consumes; empty: it consumes nothing";
            |row, at| row.word(at);
        amount: Decimal = "amount", required, Number, "so much of it";
            |row, at| { row.needed(at); row.positive(at).unwrap_or_default() };
        unit: Word = "unit", required, Text, "in this unit: each, lb, oz, roll";
            |row, at| { row.needed(at); row.word(at) };
        per: u32 = "per", required, Count, "for so many joints";
            per;
        source: Box<str> = "source", optional, Text, "where the figure is published";
            |row, at| row.text(at).into();
    }
}

/// Reads a table of joints: what they consume, and among `names` all joints (a push-fit joint consumes nothing).
pub(super) fn read(file: &TableFile, reading: &mut Reading, names: &mut Vec<Word>) -> Vec<Consumption> {
    reading.rows(file, &JOINTS, |row| {
        row.needed(JOINT);
        let joint = row.word(JOINT);
        if !names.contains(&joint) {
            names.push(joint);
        }
        if row.text(PART).is_empty() {
            return None;
        }
        Some(Consumption::read(row)).filter(|_| !row.in_error())
    })
}

/// The places of two columns.
const JOINT: usize = 0;
const PART: usize = 2;

/// For how many joints: one or more.
fn per(row: &mut Row<'_, '_>, at: usize) -> u32 {
    row.needed(at);
    let per = row.count(at);
    if per == Some(0) {
        row.trouble(at, not_above_zero("per", 0));
    }
    per.unwrap_or(1)
}
