//! What hangs on a doubt: a sum of the job as it is read, and as it would be if a cell was meant otherwise. It only
//! holds and words; `doubts` finds it out.

use rust_decimal::Decimal;
use serde::{Serialize, Serializer};

use super::money::cents;

/// What hangs on a doubt.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Hangs {
    /// The job was not estimated with the other reading.
    NotKnown,
    /// A sum as read and read otherwise.
    Moves(Moves),
}

/// A sum of the job as read and read otherwise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moves {
    /// Which sum.
    pub sum: Sum,
    /// What it is as the job is read.
    pub as_read: Decimal,
    /// What it would be.
    pub otherwise: Decimal,
    /// Whether everything is in it as the job is read, and whether everything would be.
    pub whole: (bool, bool),
}

/// The sum that a doubt moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sum {
    /// The bid in the chosen system.
    Bid,
    /// Its material, where the bid is nothing but that.
    Material,
}

impl Sum {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Bid => "bid",
            Self::Material => "material",
        }
    }
}

impl Moves {
    /// How much more it would be; with a minus less.
    pub fn more(&self) -> Decimal {
        self.otherwise.checked_sub(self.as_read).unwrap_or_default()
    }
}

impl Hangs {
    /// How much the sum would move, either way; nothing where that is not known.
    pub fn moved(&self) -> Option<Decimal> {
        match self {
            Self::NotKnown => None,
            Self::Moves(moves) => Some(moves.more().abs()),
        }
    }

    /// In words: `the bid would be 3711.69 instead of 3427.00, 284.69 more`.
    pub fn words(&self) -> String {
        let moves = match self {
            Self::NotKnown => return "not known".to_owned(),
            Self::Moves(moves) => moves,
        };
        let (sum, more) = (moves.sum.word(), moves.more());
        let whole = match moves.whole {
            (true, false) => ", and incomplete",
            (false, true) => ", and complete",
            (true, true) | (false, false) => "",
        };
        if more.is_zero() {
            return format!("the {sum} would be the same{whole}");
        }
        let way = if more.is_sign_negative() { "less" } else { "more" };
        format!(
            "the {sum} would be {} instead of {}, {} {way}{whole}",
            cents(moves.otherwise),
            cents(moves.as_read),
            cents(more.abs()),
        )
    }
}

/// As programs read it: the words, and the sums where they are known.
#[derive(Serialize)]
struct Out {
    words: String,
    sum: Option<&'static str>,
    as_read: Option<Decimal>,
    otherwise: Option<Decimal>,
    more: Option<Decimal>,
}

impl Serialize for Hangs {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let moves = match self {
            Self::NotKnown => None,
            Self::Moves(moves) => Some(moves),
        };
        Out {
            words: self.words(),
            sum: moves.map(|moves| moves.sum.word()),
            as_read: moves.map(|moves| moves.as_read),
            otherwise: moves.map(|moves| moves.otherwise),
            more: moves.map(Moves::more),
        }
        .serialize(to)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moves(as_read: &str, otherwise: &str, whole: (bool, bool)) -> Hangs {
        let d = |text: &str| Decimal::from_str_exact(text).unwrap();
        Hangs::Moves(Moves { sum: Sum::Bid, as_read: d(as_read), otherwise: d(otherwise), whole })
    }

    #[test]
    fn what_hangs_on_a_doubt_is_said_with_both_sums() {
        let more = moves("3427", "3711.69", (true, true));
        assert_eq!(more.words(), "the bid would be 3711.69 instead of 3427.00, 284.69 more");
        let less = moves("1234567.5", "0.5", (true, false));
        assert_eq!(
            less.words(),
            "the bid would be 0.50 instead of 1234567.50, 1234567.00 less, and incomplete"
        );
        assert_eq!(moves("5", "5.00", (false, true)).words(), "the bid would be the same, and complete");
        assert_eq!((Hangs::NotKnown.words().as_str(), Hangs::NotKnown.moved()), ("not known", None));
    }
}
