//! Held choices: which offer and how many packs the buying must keep, so that an edited workbook can be met.

use std::collections::HashMap;

use super::lexicon::Word;
use super::reading::Reading;
use super::shape::shape;
use crate::ground::RowAt;
use crate::table::TableFile;

shape! {
    /// The table `held`.
    HELD = "held", Noticed, Column {
        Alternative = "alternative", optional, Text, "the alternative (its system) that keeps it; empty: all of them. A row that names one goes before those that name none";
        Part = "part", required, Text, "the part that is bought";
        Size = "size", optional, Size, "its sizes";
        System = "system", optional, Text, "the system it is bought for";
        Variant = "variant", optional, Text, "its variant";
        Color = "color" ["colour"], optional, Text, "its color";
        Offer = "offer", optional, Text, "the offer to keep, or what a fitting is built from, as held.csv writes it";
        Packs = "packs", optional, Count, "so many of its packs";
        Plan = "plan", optional, Text, "cut plan: the number is that of a plan; at least: so many of the smallest packs, even where fewer would do";
        Estimate = "estimate", optional, Text, "of held.csv: whether the estimate was complete; changes nothing";
    }
}

/// A row of the table `held`.
#[derive(Debug, Clone)]
pub struct Held {
    /// Where it stands.
    pub row: RowAt,
    /// Whether a cell of the row was misread: it holds nothing.
    pub in_error: bool,
    /// The alternative that keeps it, by the name of its system; empty: all of them.
    pub alternative: Word,
    /// The part, by the words written.
    pub part: Word,
    /// Its sizes.
    pub sizes: Box<[Word]>,
    /// The system it is bought for; empty: any.
    pub system: Word,
    /// Its variant.
    pub variant: Word,
    /// Its color.
    pub color: Word,
    /// The offer to keep, as written.
    pub offer: Box<str>,
    /// So many of its packs.
    pub packs: Option<u32>,
    /// What the number is: of a cut plan, or at least so many; as written.
    pub plan: Box<str>,
}

/// Reads a table of held choices.
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<Held> {
    let mut list = Vec::new();
    let mut seen = HashMap::new();
    reading.read(file, &HELD, |row| {
        row.doubt_if_once_more(&mut seen);
        row.needed(Column::Part);
        let mut held = Held {
            row: row.at(),
            in_error: false,
            alternative: row.word(Column::Alternative),
            part: row.word(Column::Part),
            sizes: row.sizes(Column::Size),
            system: row.word(Column::System),
            variant: row.word(Column::Variant),
            color: row.word(Column::Color),
            offer: row.text(Column::Offer).into(),
            packs: row.count(Column::Packs),
            plan: row.text(Column::Plan).into(),
        };
        held.in_error = row.in_error();
        list.push(held);
    });
    list
}
