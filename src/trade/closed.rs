//! The closed lists of trade words that columns hold, for whoever asks what one of them means. What they mean is written
//! once, where each list is.

use super::catalog::part::{Class, UsedAs};
use super::catalog::system::{Seam, TurnsAs};
use super::catalog::take_out::Way;
use super::labor::WorkPer;
use super::pack::SoldAs;
use super::run::{Attitude, Bearing, Lie, Phase, Service, Side};
use super::shape::Words;
use super::tool::Had;

/// A closed list: the table and the column that hold its words, and each word with what it means.
#[derive(Debug)]
pub struct Closed {
    /// The table.
    pub table: &'static str,
    /// The column.
    pub column: &'static str,
    words: &'static [(&'static str, &'static str)],
}

impl Closed {
    const fn of<W: Words>(table: &'static str, column: &'static str) -> Self {
        Self { table, column, words: W::ABOUT }
    }

    /// Its words, each with what it means: `waste on its way out`.
    pub fn words(&self) -> impl Iterator<Item = (&'static str, String)> {
        self.words.iter().map(|(word, about)| (*word, in_a_line(about)))
    }
}

/// The lists, in the order of their tables.
pub const CLOSED: [Closed; 14] = [
    Closed::of::<Service>("runs", "service"),
    Closed::of::<Bearing>("runs", "path"),
    Closed::of::<Lie>("runs", "lie"),
    Closed::of::<Phase>("runs", "phase"),
    Closed::of::<SoldAs>("prices", "sold as"),
    Closed::of::<Class>("parts", "class"),
    Closed::of::<UsedAs>("parts", "used as"),
    Closed::of::<Side>("systems", "side"),
    Closed::of::<Seam>("systems", "seam"),
    Closed::of::<TurnsAs>("systems", "turns"),
    Closed::of::<Attitude>("meetings", "parent attitude"),
    Closed::of::<Way>("take-outs", "opening"),
    Closed::of::<WorkPer>("labor", "per"),
    Closed::of::<Had>("tools", "how"),
];

/// A doc comment as words behind a colon: no great letter before it and no full stop.
fn in_a_line(about: &str) -> String {
    let about = about.trim().trim_end_matches('.');
    let mut letters = about.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::SHAPES;

    #[test]
    fn each_list_has_its_column_and_each_word_a_meaning() {
        for list in CLOSED {
            let shape = SHAPES.iter().find(|shape| shape.name == list.table).unwrap();
            assert!(shape.columns.iter().any(|column| column.heading == list.column), "{}", list.column);
            assert!(list.words().all(|(_, about)| !about.is_empty()), "{}", list.column);
        }
        assert_eq!(CLOSED[0].words().nth(4), Some(("drain", "waste on its way out".to_owned())));
    }
}
