//! What joints consume: a ring each, solder and flux, cement, tape.

use rust_decimal::Decimal;

use crate::ground::RowAt;
use crate::table::TableFile;
use crate::trade::lexicon::Word;
use crate::trade::reading::Reading;
use crate::trade::reading::findings::not_above_zero;
use crate::trade::shape::shape;

shape! {
    /// The table `joints`.
    JOINTS = "joints", Noticed, Column {
        Joint = "joint", required, Text, "the joint: clamp, solder, thread";
        Size = "size", required, Size, "the size it is for; empty: every size without a row of its own";
        Part = "part", required, Text, "the part it consumes; empty: it consumes nothing";
        Amount = "amount", required, Number, "so much of it";
        Unit = "unit", required, Text, "in this unit: each, lb, oz, roll";
        Per = "per", required, Count, "for so many joints";
        Source = "source", optional, Text, "where the figure is published";
    }
}

/// A row of the table `joints`: what a joint consumes.
#[derive(Debug, Clone)]
pub struct Consumption {
    /// Where it stands.
    pub row: RowAt,
    /// The joint: `clamp`, `solder`, `thread`.
    pub joint: Word,
    /// The size it is for; the empty word: all.
    pub size: Word,
    /// The part consumed, by the words written.
    pub part: Word,
    /// So much of it...
    pub amount: Decimal,
    /// ...in this unit (`each`, `lb`, `oz`)...
    pub unit: Word,
    /// ...for so many joints.
    pub per: u32,
    /// Where the figure is published.
    pub source: Box<str>,
}

/// Reads a table of joints: what they consume, and among `names` all joints (a push-fit joint consumes nothing).
pub(super) fn read(file: &TableFile, reading: &mut Reading, names: &mut Vec<Word>) -> Vec<Consumption> {
    let mut list = Vec::new();
    reading.read(file, &JOINTS, |row| {
        row.needed(Column::Joint);
        let joint = row.word(Column::Joint);
        if !names.contains(&joint) {
            names.push(joint);
        }
        if row.text(Column::Part).is_empty() {
            return;
        }
        for needed in [Column::Amount, Column::Unit, Column::Per] {
            row.needed(needed);
        }
        let per = row.count(Column::Per);
        if per == Some(0) {
            row.trouble(Column::Per, not_above_zero("per", 0));
        }
        let consumption = Consumption {
            row: row.at(),
            joint,
            size: row.size(Column::Size).unwrap_or_default(),
            part: row.word(Column::Part),
            amount: row.positive(Column::Amount).unwrap_or_default(),
            unit: row.word(Column::Unit),
            per: per.unwrap_or(1),
            source: row.text(Column::Source).into(),
        };
        if !row.in_error() {
            list.push(consumption);
        }
    });
    list
}
