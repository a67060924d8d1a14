//! Tables over tables: the user's rows over the program's own, by their keys.

use std::collections::HashMap;

use super::catalog::Catalog;
use super::fixture::Fixture;
use super::joint::Consumption;
use super::lexicon::{Lexicon, Word};
use super::part::Part;
use super::pattern::Pattern;
use super::row::Desk;
use super::support::SupportRule;
use super::system::System;
use super::tube_size::TubeSize;
use super::words::Trouble;
use crate::ground::RowAt;

/// The rows of one folder of tables.
#[derive(Debug, Default)]
pub(super) struct Rows {
    pub(super) parts: Vec<Part>,
    pub(super) systems: Vec<System>,
    pub(super) sizes: Vec<TubeSize>,
    pub(super) joints: Vec<Consumption>,
    pub(super) supports: Vec<SupportRule>,
    pub(super) fixtures: Vec<Fixture>,
}

/// A row that takes the place of another with its key.
trait Keyed {
    /// The heading of the first column of its key.
    const HEADING: &'static str;

    /// Its key.
    fn key(&self) -> [Word; 3];

    /// Where it stands.
    fn at(&self) -> RowAt;
}

macro_rules! keyed {
    ($($row:ty: $heading:literal, $one:ident => $key:expr;)+) => {
        $(impl Keyed for $row {
            const HEADING: &'static str = $heading;

            fn key(&self) -> [Word; 3] {
                let $one = self;
                $key
            }

            fn at(&self) -> RowAt {
                self.row
            }
        })+
    };
}

keyed! {
    Part: "part", part => [part.word, part.variant, Word::EMPTY];
    System: "system", system => [system.name, Word::EMPTY, Word::EMPTY];
    TubeSize: "size", size => [size.tube, size.size, size.variant];
    Consumption: "joint", joint => [joint.joint, joint.size, joint.part];
    SupportRule: "size", support => [support.tube, support.size, Word::EMPTY];
    Fixture: "fixture", fixture => [fixture.fixture, Word::EMPTY, Word::EMPTY];
}

/// Lays rows over a catalog: a row takes the place of the row with its key, or comes after all.
pub(super) fn lay(catalog: &mut Catalog, rows: Rows, desk: &mut Desk) {
    over(&mut catalog.parts, rows.parts, desk);
    over(&mut catalog.systems, rows.systems, desk);
    over(&mut catalog.sizes, rows.sizes, desk);
    over(&mut catalog.joints, rows.joints, desk);
    over(&mut catalog.supports, rows.supports, desk);
    over(&mut catalog.fixtures, rows.fixtures, desk);
}

/// Lays patterns over patterns: one takes the place of the pattern of its name whole.
pub(super) fn lay_patterns(catalog: &mut Catalog, patterns: Vec<Pattern>, lexicon: &mut Lexicon) {
    let mut places: HashMap<Word, usize> = HashMap::new();
    for (place, pattern) in catalog.patterns.iter().enumerate() {
        places.insert(lexicon.word(&pattern.name), place);
    }
    for pattern in patterns {
        let name = lexicon.word(&pattern.name);
        if let Some(place) = places.get(&name) {
            catalog.patterns[*place] = pattern;
        } else {
            places.insert(name, catalog.patterns.len());
            catalog.patterns.push(pattern);
        }
    }
}

/// The order of the rows below is kept, so that ids and ties do not depend on what a user adds.
fn over<T: Keyed>(into: &mut Vec<T>, rows: Vec<T>, desk: &mut Desk) {
    // Key, place, and whether this very table has it already.
    let mut places: HashMap<[Word; 3], (usize, bool)> = HashMap::new();
    for (place, row) in into.iter().enumerate() {
        places.insert(row.key(), (place, false));
    }
    for row in rows {
        let key = row.key();
        if let Some((place, twice)) = places.get_mut(&key) {
            if *twice {
                let words = key.map(|word| desk.lexicon.text(word)).join(" ");
                let key = words.split_whitespace().collect::<Vec<_>>().join(" ");
                desk.trouble(row.at(), T::HEADING, Trouble::RowTwice { key: &key });
            }
            *twice = true;
            into[*place] = row;
        } else {
            places.insert(key, (into.len(), true));
            into.push(row);
        }
    }
}
