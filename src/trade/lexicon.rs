//! The words of one job: each text once, each with a small number that lives as long as the job.

use std::sync::atomic::{AtomicU32, Ordering};

use rustc_hash::FxHashMap;

/// A word of a [`Lexicon`]: a size, an area, a variant, a tube... The word 0 is the empty one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Word(pub u32);

impl Word {
    /// No word at all.
    pub const EMPTY: Self = Self(0);

    /// Whether nothing was written.
    pub fn is_empty(self) -> bool {
        self == Self::EMPTY
    }
}

/// The words of one job. Words match without case and extra spaces and are shown as first written.
#[derive(Debug, Clone)]
pub struct Lexicon {
    shown: Vec<Box<str>>,
    index: FxHashMap<Box<str>, Word>,
    compared: Compared,
}

/// How many names were set against unknown ones so far.
#[derive(Debug, Default)]
struct Compared(AtomicU32);

impl Clone for Compared {
    fn clone(&self) -> Self {
        Self(AtomicU32::new(self.0.load(Ordering::Relaxed)))
    }
}

/// So many names of one job are set against unknown ones: beyond them what is unknown is told without the nearest, since
/// nobody mends so many names one by one.
const MOST_COMPARED: u32 = 2_000_000;

impl Default for Lexicon {
    fn default() -> Self {
        Self {
            shown: vec![Box::from("")],
            index: FxHashMap::from_iter([(Box::from(""), Word::EMPTY)]),
            compared: Compared::default(),
        }
    }
}

impl Lexicon {
    /// The word of a text, taken up if it is new.
    pub fn word(&mut self, text: &str) -> Word {
        if let Some(word) = self.index.get(text) {
            return *word;
        }
        let folded = crate::ground::name::fold(text);
        let word = match self.index.get(folded.as_str()) {
            Some(word) => *word,
            None => {
                let word = Word(u32::try_from(self.shown.len()).unwrap_or(u32::MAX));
                self.shown.push(Box::from(text.split_whitespace().collect::<Vec<_>>().join(" ")));
                self.index.insert(Box::from(folded.as_str()), word);
                word
            }
        };
        // The spelling as written is kept beside the folded one, so that it is folded once.
        self.index.insert(Box::from(text), word);
        word
    }

    /// The word of a text, if it was ever written.
    pub fn find(&self, text: &str) -> Option<Word> {
        self.index.get(text).or_else(|| self.index.get(crate::ground::name::fold(text).as_str())).copied()
    }

    /// The names that an unknown one is set against.
    pub(super) fn near(&self, names: impl Iterator<Item = Word>) -> impl Iterator<Item = &str> {
        self.near_texts(names.map(|word| self.text(word)))
    }

    /// The same of names that are no words.
    pub(super) fn near_texts<'n>(
        &self,
        names: impl Iterator<Item = &'n str>,
    ) -> impl Iterator<Item = &'n str> {
        names.take_while(|_| self.compared.0.fetch_add(1, Ordering::Relaxed) < MOST_COMPARED)
    }

    /// The text of a word as first written.
    pub fn text(&self, word: Word) -> &str {
        self.shown.get(word.0 as usize).map_or("", |text| text)
    }
}
