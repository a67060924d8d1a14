//! What a row of `runs` or `places` says of alternates in its column `alternate`: names of optional work that it belongs
//! to, or `without NAME` where a row of the base bid is left out. What becomes of the rows is for `alternates`.

use super::lexicon::{Lexicon, Word};
use super::reading::{Row, parts};
use crate::ground::name::fold;
use crate::ground::notice::findings;

/// What a row says of alternates.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Scope {
    /// The alternates it belongs to; none: the base bid.
    pub of: Box<[Word]>,
    /// The alternates that leave it out.
    pub without: Box<[Word]>,
}

impl Scope {
    /// Reads a cell: names parted by semicolons, each alone or after `without`. A word for nothing is nothing, told; a
    /// word for yes names no alternate, which is an error.
    pub(super) fn read(row: &mut Row<'_, '_>, column: impl Into<usize>) -> Self {
        let column = column.into();
        let (mut of, mut without) = (Vec::new(), Vec::new());
        let text = row.text(column).to_owned();
        for one in parts(&text) {
            let folded = fold(one);
            if NOTHING.contains(&folded.as_str()) {
                row.trouble(column, alternate_none(one, &format!("alternate {one}")));
                continue;
            }
            match without_name(one) {
                Some(name) if !name.is_empty() => without.push(row.lexicon.word(name)),
                None if !NAMELESS.contains(&folded.as_str()) => of.push(row.lexicon.word(one)),
                Some(_) | None => row.trouble(column, alternate_unnamed(one)),
            }
        }
        Self { of: of.into(), without: without.into() }
    }

    /// The cell as it is typed.
    pub fn written(&self, lexicon: &Lexicon) -> String {
        self.written_with(Word::EMPTY, "", lexicon)
    }

    /// The cell with one alternate in place of another.
    pub(super) fn written_with(&self, name: Word, other: &str, lexicon: &Lexicon) -> String {
        let text = |word: Word| if word == name { other } else { lexicon.text(word) };
        let of = self.of.iter().map(|word| text(*word).to_owned());
        let without = self.without.iter().map(|word| format!("without {}", text(*word)));
        of.chain(without).collect::<Vec<_>>().join("; ")
    }

    /// Whether the row names any alternate.
    pub(super) fn is_said(&self) -> bool {
        !self.of.is_empty() || !self.without.is_empty()
    }

    /// Whether the row is in the base bid.
    pub fn is_base(&self) -> bool {
        self.of.is_empty()
    }

    /// Whether the row is there where one alternate is taken.
    pub fn is_with(&self, name: Word) -> bool {
        (self.is_base() || self.of.contains(&name)) && !self.without.contains(&name)
    }
}

/// What people write in the cell of a row that is in the base bid.
const NOTHING: [&str; 13] =
    ["no", "n", "none", "n/a", "na", "n.a.", "-", "--", "0", "base", "base bid", "false", "nil"];

/// What people write in the cell of a row that is optional, without saying which alternate it is.
const NAMELESS: [&str; 13] =
    ["yes", "y", "x", "true", "1", "opt", "opt.", "option", "optional", "alt", "alt.", "alternate", "add"];

/// Words before the name of an alternate that leaves a row out.
const WITHOUT: [&str; 13] = [
    "without",
    "w/o",
    "excluding",
    "excludes",
    "exclude",
    "excluded from",
    "excl.",
    "excl",
    "except",
    "minus",
    "less",
    "not in",
    "deleted by",
];

/// The name behind a word for `without`; empty where the word stands alone.
fn without_name(text: &str) -> Option<&str> {
    WITHOUT.iter().find_map(|word| {
        let (first, name) = text.split_at_checked(word.len())?;
        let parted = name.is_empty() || name.starts_with(char::is_whitespace);
        (parted && first.eq_ignore_ascii_case(word)).then_some(name.trim())
    })
}

findings! {
    /// A word for yes where an alternate should be named.
    fn alternate_unnamed(found: &str) = error("alternate-unnamed",
        "alternate is \"{found}\", which names no optional work",
        "the name of the optional work that the row belongs to, or without and its name",
        "type the name of the alternate, the same in each of its rows, or empty the cell");

    /// A word for nothing in a cell that names alternates. Any name will do as what may have been meant: the row is then
    /// not in the base bid.
    fn alternate_none(found: &str, meant: &str) = warning("alternate-none",
        "alternate is \"{found}\", which is read as nothing: the row is in the base bid",
        "the name of the optional work that the row belongs to, or an empty cell",
        "empty the cell, or type \"{meant}\" if the work is optional") meaning meant;
}
