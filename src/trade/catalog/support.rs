//! Spacing of supports by tube and size.

use crate::ground::{Length, RowAt};
use crate::table::TableFile;
use crate::trade::lexicon::Word;
use crate::trade::reading::Reading;
use crate::trade::shape::shape;

shape! {
    /// The table `supports`.
    SUPPORTS = "supports", Noticed, Column {
        Tube = "tube", required, Text, "the tube family";
        Size = "size", required, Size, "the size of the tube";
        Across = "across", optional, Length, "the most between two supports of level tube";
        Up = "up", optional, Length, "the most between two supports of a riser";
        Part = "part", required, Text, "the part that supports it";
        Source = "source", optional, Text, "where the figures are published";
    }
}

/// A row of the table `supports`.
#[derive(Debug, Clone)]
pub struct SupportRule {
    /// Where it stands.
    pub row: RowAt,
    /// The tube family.
    pub tube: Word,
    /// The size.
    pub size: Word,
    /// The most between two supports of level tube.
    pub across: Option<Length>,
    /// The most between two supports of a riser.
    pub up: Option<Length>,
    /// The part that supports it, by the words written.
    pub part: Word,
    /// Where the figures are published.
    pub source: Box<str>,
}

/// Reads a table of supports; rows in error are left out with a notice.
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<SupportRule> {
    let mut list = Vec::new();
    reading.read(file, &SUPPORTS, |row| {
        for needed in [Column::Tube, Column::Size, Column::Part] {
            row.needed(needed);
        }
        let rule = SupportRule {
            row: row.at(),
            tube: row.word(Column::Tube),
            size: row.size(Column::Size).unwrap_or_default(),
            across: row.positive_length(Column::Across),
            up: row.positive_length(Column::Up),
            part: row.word(Column::Part),
            source: row.text(Column::Source).into(),
        };
        if !row.in_error() {
            list.push(rule);
        }
    });
    list
}
