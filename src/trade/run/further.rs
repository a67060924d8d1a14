//! The further columns of a run list, which patterns count by and ask for: a user's own headings.

use std::collections::{HashMap, HashSet};

use super::Run;
use super::columns::{COLUMNS, RUNS, RunColumn};
use crate::ground::name::{fold, fold_heading};
use crate::ground::size::canonical;
use crate::ground::{SourceId, Sources};
use crate::table::Holds;
use crate::trade::lexicon::{Lexicon, Word};

/// The further columns of a job's run lists.
#[derive(Debug, Default)]
pub(in crate::trade) struct RunColumns {
    /// Folded heading, the word that the counts of a run go by, and where it stands.
    list: Vec<Further>,
}

/// A further column of a run list.
#[derive(Debug)]
pub(in crate::trade) struct Further {
    pub(in crate::trade) folded: String,
    pub(in crate::trade) word: Word,
    pub(in crate::trade) source: SourceId,
}

impl RunColumns {
    /// Adds the further columns of a run list that is read.
    pub(in crate::trade) fn add(
        &mut self,
        source: Option<SourceId>,
        runs: &[Run],
        sources: &Sources,
        lexicon: &mut Lexicon,
    ) {
        let Some(source) = source else { return };
        let mut seen: HashSet<Word> = HashSet::new();
        let mut as_written: HashMap<String, Word> = HashMap::new();
        let counts = runs.iter().flat_map(|run| run.counts.iter().map(|(heading, _)| *heading));
        let words = runs.iter().flat_map(|run| run.words.iter().map(|(heading, _)| *heading));
        for word in counts.chain(words) {
            if seen.insert(word) {
                as_written.entry(folded(lexicon.text(word))).or_insert(word);
            }
        }
        let known = |folded: &str| RUNS.columns.iter().any(|column| fold_heading(column.heading) == folded);
        let headings = sources.get(source).map_or(&[][..], |source| &source.headings);
        for (folded, _) in headings.iter().filter(|(folded, _)| !known(folded)) {
            let written = as_written.get(folded).copied();
            let word = written.unwrap_or_else(|| lexicon.word(folded));
            if !self.list.iter().any(|further| further.folded == *folded) {
                self.list.push(Further { folded: folded.clone(), word, source });
            }
        }
    }

    /// The word of a further column by its heading, in any spelling.
    pub(in crate::trade) fn further(&self, heading: &str) -> Option<Word> {
        let folded = folded(heading);
        self.list.iter().find(|further| further.folded == folded).map(|further| further.word)
    }

    /// All further columns in the order of the run list.
    pub(in crate::trade) fn iter(&self) -> impl Iterator<Item = &Further> {
        self.list.iter()
    }

    /// Their headings as written.
    pub(in crate::trade) fn further_names<'a>(
        &'a self,
        lexicon: &'a Lexicon,
    ) -> impl Iterator<Item = &'a str> {
        self.list.iter().map(|further| lexicon.text(further.word))
    }

    /// All columns that `only` may ask for.
    pub(in crate::trade) fn names_asked<'a>(&'a self, lexicon: &'a Lexicon) -> impl Iterator<Item = &'a str> {
        RunColumn::asked().map(|column| column.heading).chain(self.further_names(lexicon))
    }

    /// The word of a column that `only` may ask for, in any spelling.
    pub(in crate::trade) fn asked(&self, column: &str, lexicon: &mut Lexicon) -> Option<Word> {
        let folded = fold_heading(column);
        match RunColumn::asked().find(|known| fold_heading(known.heading) == folded) {
            Some(known) => Some(lexicon.word(known.heading)),
            None => self.further(column),
        }
    }

    /// A value that `only` asks a column for, in the one form in which it is compared.
    pub(in crate::trade) fn value(&self, column: &str, value: &str) -> String {
        let folded = fold_heading(column);
        match COLUMNS.iter().find(|known| fold_heading(known.heading) == folded).map(|known| known.holds) {
            Some(Holds::Size) => canonical(value).unwrap_or_default(),
            Some(_) | None => fold(value),
        }
    }
}

/// A heading without the unit it may name.
fn folded(heading: &str) -> String {
    let name = match heading.trim().strip_suffix(')').and_then(|h| h.split_once('(')) {
        Some((name, _)) => name,
        None => heading,
    };
    fold_heading(name)
}
