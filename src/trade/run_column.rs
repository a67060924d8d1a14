//! The columns of the run list as patterns speak of them: what `only` may ask a run for, and further columns that
//! `per` may count by.

use rust_decimal::Decimal;

use super::lexicon::{Lexicon, Word};
use super::pattern::PatternRow;
use super::row::pick;
use super::run::{LIES, PHASES, RUNS, Run, SERVICES};
use crate::ground::name::{fold, fold_heading};
use crate::ground::size::canonical;
use crate::ground::{SourceId, Sources};

/// The columns of every run list that `only` may ask for; all further columns come on top.
pub const ASKED: [&str; 17] = [
    "run",
    "service",
    "size",
    "reduce to",
    "turns",
    "turns with elbow",
    "offsets",
    "lie",
    "slope",
    "fixture",
    "level",
    "area",
    "count",
    "system",
    "variant",
    "phase",
    "no joint",
];

/// The further columns of a job's run lists.
#[derive(Debug, Default)]
pub(super) struct RunColumns {
    /// Folded heading, the word that the counts of a run go by, and where it stands.
    list: Vec<Further>,
}

/// A further column of a run list.
#[derive(Debug)]
pub(super) struct Further {
    pub(super) folded: String,
    pub(super) word: Word,
    pub(super) source: SourceId,
}

impl RunColumns {
    /// Adds the further columns of a run list that is read.
    pub(super) fn add(
        &mut self,
        source: Option<SourceId>,
        runs: &[Run],
        sources: &Sources,
        lexicon: &mut Lexicon,
    ) {
        let Some(source) = source else { return };
        let mut as_written: Vec<(String, Word)> = Vec::new();
        let counts = runs.iter().flat_map(|run| run.counts.iter().map(|(heading, _)| *heading));
        let words = runs.iter().flat_map(|run| run.words.iter().map(|(heading, _)| *heading));
        for word in counts.chain(words) {
            if !as_written.iter().any(|(_, known)| *known == word) {
                as_written.push((folded(lexicon.text(word)), word));
            }
        }
        let known = |folded: &str| RUNS.columns.iter().any(|column| fold_heading(column.heading) == folded);
        let headings = sources.get(source).map_or(&[][..], |source| &source.headings);
        for (folded, _) in headings.iter().filter(|(folded, _)| !known(folded)) {
            let written = as_written.iter().find(|(name, _)| name == folded).map(|(_, word)| *word);
            let word = written.unwrap_or_else(|| lexicon.word(folded));
            if !self.list.iter().any(|further| further.folded == *folded) {
                self.list.push(Further { folded: folded.clone(), word, source });
            }
        }
    }

    /// The word of a further column by its heading, in any spelling.
    pub(super) fn further(&self, heading: &str) -> Option<Word> {
        let folded = folded(heading);
        self.list.iter().find(|further| further.folded == folded).map(|further| further.word)
    }

    /// All further columns in the order of the run list.
    pub(super) fn iter(&self) -> impl Iterator<Item = &Further> {
        self.list.iter()
    }

    /// Their headings as written.
    pub(super) fn further_names<'a>(&'a self, lexicon: &'a Lexicon) -> impl Iterator<Item = &'a str> {
        self.list.iter().map(|further| lexicon.text(further.word))
    }

    /// The word of a column that `only` may ask for, in any spelling.
    pub(super) fn asked(&self, column: &str, lexicon: &mut Lexicon) -> Option<Word> {
        let folded = fold_heading(column);
        match ASKED.iter().find(|known| fold_heading(known) == folded) {
            Some(known) => Some(lexicon.word(known)),
            None => self.further(column),
        }
    }

    /// A value that `only` asks a column for, in the one form in which it is compared.
    pub(super) fn value(&self, column: &str, value: &str) -> String {
        match fold_heading(column).as_str() {
            "size" | "reduceto" => canonical(value).unwrap_or_default(),
            _ => fold(value),
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

impl PatternRow {
    /// Whether a run has the values that the row asks for in `only`.
    pub fn is_for(&self, run: &Run, lexicon: &Lexicon) -> bool {
        self.only.iter().all(|(column, value)| run.holds(*column, *value, lexicon))
    }
}

impl Run {
    /// Whether a column of the run holds a value. An empty value asks for an empty cell; numbers compare by value.
    pub fn holds(&self, column: Word, value: Word, lexicon: &Lexicon) -> bool {
        let text = lexicon.text(value);
        let number = |count: Option<u32>| match count {
            None => text.is_empty(),
            Some(count) => Decimal::from_str_exact(text).is_ok_and(|asked| asked == Decimal::from(count)),
        };
        match lexicon.text(column) {
            "run" => fold(&self.name) == fold(text),
            "service" => pick(text, &SERVICES) == Some(self.service),
            "size" => self.size == value,
            "reduce to" => self.reduce_to.unwrap_or_default() == value,
            "turns" => number(self.turns),
            "turns with elbow" => number(Some(self.turns_with_elbow)),
            "offsets" => number(Some(self.offsets)),
            "lie" => {
                pick(text, &LIES) == Some(self.lie) || (text.is_empty() && self.lie_as_written.is_empty())
            }
            "slope" => fold(&self.slope) == fold(text),
            "fixture" => self.fixture == value,
            "level" => self.level == value,
            "area" => self.area == value,
            "count" => number(self.count),
            "system" => self.system == value,
            "variant" => self.variant == value,
            "phase" => pick(text, &PHASES) == Some(self.phase()),
            "no joint" => matches!(text, "yes" | "y" | "x" | "true" | "1") == self.no_joint,
            _ => {
                let number = self.counts.iter().find(|(name, _)| *name == column).map(|(_, number)| *number);
                let words = self.words.iter().find(|(name, _)| *name == column).map(|(_, words)| *words);
                match number {
                    Some(held) => Decimal::from_str_exact(text).is_ok_and(|asked| asked == held),
                    None => words.unwrap_or_default() == value,
                }
            }
        }
    }
}
