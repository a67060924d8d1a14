//! The words of this floor's notices about prices as they are written, about sheets that are hidden, and about cells
//! that are read and used by nothing.

use super::words::{Text, error, remark, warning};

/// What can be wrong or doubtful in a price as it is written, and in what a table holds beside its rows.
#[derive(Debug, Clone)]
pub(super) enum ReadingTrouble<'a> {
    /// A sum that is for something, or words, where a plain sum belongs.
    NotASum { heading: &'a str, found: &'a str },
    /// Sums in another currency than the job's.
    OtherCurrency { found: &'a str, job: &'a str, rows: usize },
    /// What a price is for, behind it in its cell, in no known word.
    ForWhat { found: &'a str, expected: &'a str },
    /// Two cells that say what a price is for.
    TwoPers { counts: &'a str, other: &'a str, heading: &'a str },
    /// `M` on tube in a job in metres: a thousand, or a metre.
    ThousandOrMetre { price: &'a str, thousandth: &'a str },
    /// A price below the lowest or above the highest seen.
    OutOfRange { price: &'a str, side: &'a str, bound: &'a str },
    /// A row that stands there already, to the letter, and counts once more.
    AddsUpTwice { first: &'a str },
    /// A hidden sheet with the name of a table.
    HiddenTable { name: &'a str },
    /// The run list is a hidden sheet.
    HiddenRunList { name: &'a str },
    /// Other hidden sheets.
    HiddenSheets { names: &'a str },
    /// A column or an item that is read and used by nothing.
    Unused { what: &'a str, rows: usize },
}

impl ReadingTrouble<'_> {
    pub(super) fn text(self) -> Text {
        match self {
            Self::NotASum { heading, found } => error(
                "not-a-sum",
                format!("{heading} is \"{found}\""),
                "a sum of money such as 12.50".to_owned(),
                "type the sum alone, or leave it empty".to_owned(),
            ),
            Self::OtherCurrency { found, job, rows } => warning(
                "other-currency",
                match rows {
                    1 => format!("a sum is in {found} and is read as {job} as it stands"),
                    rows => format!(
                        "{rows} sums are not in {job}, the first in {found}: they are read as they stand"
                    ),
                },
                format!("sums in {job}, the currency of the job"),
                "type the sums in the currency of the job, or say another in the item currency".to_owned(),
            ),
            Self::ForWhat { found, expected } => error(
                "unread-price-for",
                format!("price is for \"{found}\""),
                expected.to_owned(),
                "type the price alone here, and what it is for in per".to_owned(),
            ),
            Self::TwoPers { counts, other, heading } => warning(
                "two-pers",
                format!("this price is read per {counts}, and {heading} says {other}"),
                "one word for what a price is for".to_owned(),
                "type what the price is for in per, and the price alone in its cell".to_owned(),
            ),
            Self::ThousandOrMetre { price, thousandth } => error(
                "thousand-or-metre",
                format!(
                    "the price is {price} per M, and lengths are in metres here: {thousandth} a metre if M is a \
                     thousand, {price} a metre if it is a metre"
                ),
                "m for a metre, 1000 m for a thousand of them".to_owned(),
                "type m or 1000 m in per".to_owned(),
            ),
            Self::OutOfRange { price, side, bound } => warning(
                "price-out-of-range",
                format!("price is {price}, {side} {bound}"),
                "a price from low to high".to_owned(),
                "correct the price, or low and high if it was seen".to_owned(),
            ),
            Self::AddsUpTwice { first } => warning(
                "row-once-more",
                format!("this row is {first} once more, cell by cell, and counts once more"),
                "one row for what is there once".to_owned(),
                "take one of the two out, or put them together; a note parts them if both are meant"
                    .to_owned(),
            ),
            Self::HiddenTable { name } => warning(
                "hidden-table",
                format!("the sheet {name} is hidden and is not read"),
                "tables on sheets in sight".to_owned(),
                "show the sheet if it belongs to the job, else give it another name".to_owned(),
            ),
            Self::HiddenRunList { name } => error(
                "hidden-run-list",
                format!("the job has no run list: the sheet {name} is hidden and is not read"),
                "tables on sheets in sight".to_owned(),
                format!("show the sheet {name}"),
            ),
            Self::HiddenSheets { names } => remark(
                "hidden-sheets",
                format!("hidden and not read: {names}"),
                "tables on sheets in sight".to_owned(),
                "nothing, if they do not belong to the job".to_owned(),
            ),
            Self::Unused { what, rows } => remark(
                "not-used-yet",
                match rows {
                    1 => format!("{what} is read and used by nothing yet"),
                    rows => format!("{what} is read and used by nothing yet, in {rows} rows"),
                },
                "what an estimate rests on".to_owned(),
                "nothing: it may stay".to_owned(),
            ),
        }
    }
}
