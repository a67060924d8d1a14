//! Held choices: which offer and how many packs the buying must keep, so that an edited workbook can be met.

use std::collections::HashMap;

use super::lexicon::Word;
use super::reading::{Reading, Row};
use super::shape::table;
use crate::table::TableFile;

table! {
    /// The table `held`.
    HELD = "held", Noticed;
    /// A row of the table `held`.
    Held(in_error) {
        alternative: Word = "alternative", optional, Text, "the alternative (its system) that keeps it; empty: all of them. A row that names one goes before those that name none";
            |row, at| row.word(at);
        part: Word = "part", required, Text, "the part that is bought";
            |row, at| { row.needed(at); row.word(at) };
        sizes: Box<[Word]> = "size", optional, Size, "its sizes";
            |row, at| row.sizes(at);
        system: Word = "system", optional, Text, "the system it is bought for";
            |row, at| row.word(at);
        variant: Word = "variant", optional, Text, "its variant";
            |row, at| row.word(at);
        color: Word = "color" ["colour"], optional, Text, "its color";
            |row, at| row.word(at);
        offer: Box<str> = "offer", optional, Text, "the offer to keep, or what a fitting is built from, as held.csv writes it";
            |row, at| row.text(at).into();
        packs: Option<u32> = "packs", optional, Count, "so many of its packs";
            |row, at| row.count(at);
        plan: Box<str> = "plan", optional, Text, "cut plan: the number is that of a plan; at least: so many of the smallest packs, even where fewer would do";
            |row, at| row.text(at).into();
    } unread {
        "estimate", optional, Text, "of held.csv: whether the estimate was complete; changes nothing";
    }
}

/// Reads a table of held choices.
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<Held> {
    let mut seen = HashMap::new();
    reading.rows(file, &HELD, |row| {
        row.doubt_if_once_more(&mut seen);
        Some(Held::read(row))
    })
}
