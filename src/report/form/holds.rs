//! What one value of a JSON file holds, and its JSON Schema: text, a whole number, a kind of decimal. It knows no key.

use serde_json::{Value as Json, json};

/// What one value holds.
#[derive(Debug, Clone, Copy)]
pub(in crate::report) struct Holds {
    is: Is,
    /// Whether it may be null: nothing is known, or nothing has a place here.
    may_lack: bool,
}

#[derive(Debug, Clone, Copy)]
enum Is {
    /// Plain JSON of this type.
    Plain(&'static str),
    /// A kind of text, by its place in [`KINDS`].
    Kind(usize),
    /// This number and no other.
    Just(u32),
    /// One of a few words.
    Word(&'static [&'static str]),
}

impl Holds {
    const fn plain(of: &'static str) -> Self {
        Self { is: Is::Plain(of), may_lack: false }
    }

    const fn kind(at: usize) -> Self {
        Self { is: Is::Kind(at), may_lack: false }
    }

    /// One of a few words.
    pub(in crate::report) const fn word(words: &'static [&'static str]) -> Self {
        Self { is: Is::Word(words), may_lack: false }
    }

    /// This number and no other.
    pub(in crate::report) const fn just(number: u32) -> Self {
        Self { is: Is::Just(number), may_lack: false }
    }

    /// The same, or null.
    pub(in crate::report) const fn or_null(self) -> Self {
        Self { may_lack: true, ..self }
    }

    /// Its schema, with what it says.
    pub(super) fn schema(self, help: &str) -> Json {
        match (self.is, self.may_lack) {
            (Is::Plain(of), false) => json!({ "type": of, "description": help }),
            (Is::Plain(of), true) => json!({ "type": [of, "null"], "description": help }),
            (Is::Just(number), _) => json!({ "const": number, "description": help }),
            (Is::Word(words), false) => json!({ "enum": words, "description": help }),
            (Is::Word(words), true) => {
                json!({ "anyOf": [{ "enum": words }, { "type": "null" }], "description": help })
            }
            (Is::Kind(at), false) => json!({ "$ref": reference(at), "description": help }),
            (Is::Kind(at), true) => {
                json!({ "anyOf": [{ "$ref": reference(at) }, { "type": "null" }], "description": help })
            }
        }
    }
}

/// Any text, a user's or our own; empty where nothing is said.
pub(in crate::report) const TEXT: Holds = Holds::plain("string");
/// A whole number.
pub(in crate::report) const WHOLE: Holds = Holds::plain("integer");
/// True or false.
pub(in crate::report) const YES_NO: Holds = Holds::plain("boolean");
/// The place in a list of the file, from 0.
pub(in crate::report) const PLACE: Holds = WHOLE;
/// A sum of money or hours.
pub(in crate::report) const CENTS: Holds = Holds::kind(0);
/// A price.
pub(in crate::report) const PRICE: Holds = Holds::kind(1);
/// A quantity or a length.
pub(in crate::report) const QUANTITY: Holds = Holds::kind(2);
/// A percentage.
pub(in crate::report) const PERCENT: Holds = Holds::kind(3);
/// A decimal of any places.
pub(in crate::report) const AMOUNT: Holds = Holds::kind(4);
/// A day.
pub(in crate::report) const DAY: Holds = Holds::kind(5);
/// A fingerprint.
pub(in crate::report) const SHA256: Holds = Holds::kind(6);

/// The kinds of text: decimals are written as text, so that none is rounded by its reader.
pub(super) const KINDS: [(&str, &str, &str); 7] = [
    ("cents", r"^-?[0-9]+\.[0-9]{2}$", "a sum of money or hours, with two places"),
    ("price", r"^-?[0-9]+\.[0-9]{2,4}$", "a price, with two to four places"),
    ("quantity", r"^-?[0-9]+(\.[0-9]{1,4})?$", "a quantity or a length, with up to four places"),
    ("percent", r"^-?[0-9]+(\.[0-9]{1,2})?$", "a percentage, with up to two places: 5 is five in a hundred"),
    ("amount", r"^-?[0-9]+(\.[0-9]+)?$", "a decimal"),
    ("day", "^[0-9]{4}-[0-9]{2}-[0-9]{2}$", "a day: 2026-03-01"),
    ("sha256", "^[0-9a-f]{64}$", "a SHA-256 as 64 hexadecimal digits"),
];

fn reference(at: usize) -> String {
    format!("#/$defs/{}", KINDS[at].0)
}
