//! The texts that the rows of a job keep as they are written: names, notes, descriptions. A long text that many cells say
//! is kept once.

use std::collections::HashSet;
use std::sync::Arc;

/// A text of a job as it is written, spaces around it gone.
pub(in crate::trade) type Text = Arc<str>;

/// The long texts that were read so far.
#[derive(Debug, Default)]
pub(in crate::trade) struct Texts {
    long: HashSet<Text>,
}

impl Texts {
    /// The text to keep: one that is as long as a sentence is looked for among those that are kept already.
    pub(in crate::trade) fn kept(&mut self, text: &str) -> Text {
        const LONG: usize = 32;
        if text.len() < LONG {
            return Arc::from(text);
        }
        if let Some(kept) = self.long.get(text) {
            return kept.clone();
        }
        let kept: Text = Arc::from(text);
        self.long.insert(kept.clone());
        kept
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_text_that_two_cells_say_is_kept_once() {
        let mut texts = Texts::default();
        let note = "behind the water heater, on the north wall";
        assert!(Arc::ptr_eq(&texts.kept(note), &texts.kept(note)));
        assert_eq!(&*texts.kept("short"), "short");
    }
}
