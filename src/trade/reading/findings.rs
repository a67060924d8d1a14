//! What can be wrong with one cell or row of any table, each notice one function. What only one table can get wrong
//! stands beside its reading; names that nothing defines are in `unknown`.

use std::fmt::Display;

use crate::ground::name::nearest;
use crate::ground::notice::{Finding, error, findings, warning};
use crate::trade::shape::type_nearest;

/// A cell that must hold something is empty.
pub(crate) fn empty_cell(heading: &str, help: &str) -> Finding {
    error("empty-cell", format!("{heading} is empty"), help, format!("type {heading}"))
}

/// A cell holds none of the words it may hold.
pub(crate) fn unknown_word(heading: &str, found: &str, known: &[&str]) -> Finding {
    let remedy = type_nearest(&nearest(found, known.iter().copied()), "type one of these words");
    error("unknown-word", format!("{heading} is \"{found}\""), one_of(known), remedy)
}

/// A count beyond any house.
pub(crate) fn too_many(heading: &str, found: impl Display) -> Finding {
    beyond_a_house(heading, found, "a whole number up to 1000000")
}

findings! {
    /// A row with the key of another row of the same table.
    pub(crate) fn row_twice(key: &str) = warning("row-twice",
        "{key} stands in the table twice; the last row counts",
        "one row for each",
        "take out the row that is not meant");

    /// A row that stands there already, to the letter, and counts once more.
    pub(crate) fn row_once_more(first: impl Display) = warning("row-once-more",
        "this row is {first} once more, cell by cell, and counts once more",
        "one row for what is there once",
        "take one of the two out, or put them together; a note parts them if both are meant");

    /// A sum that is for something, or words, where a plain sum belongs.
    pub(crate) fn not_a_sum(heading: &str, found: &str) = error("not-a-sum",
        "{heading} is \"{found}\"",
        "a sum of money such as 12.50",
        "type the sum alone, or leave it empty");

    /// A price below nothing.
    pub(crate) fn negative_price(found: impl Display) = error("price-negative",
        "price is {found}",
        "a price above zero",
        "type the price without its sign");

    /// A number or length that must be above zero is not.
    pub(crate) fn not_above_zero(heading: &str, found: impl Display) = error("not-above-zero",
        "{heading} is {found}",
        "{heading} above zero",
        "type {heading} above zero");

    /// A count that is not a whole number from zero up.
    pub(crate) fn not_a_count(heading: &str, found: impl Display) = error("not-a-count",
        "{heading} is {found}",
        "a whole number, zero or more",
        "type a whole number, or leave {heading} empty");

    /// A number that must not be below zero is.
    pub(crate) fn below_zero(heading: &str, found: impl Display) = error("below-zero",
        "{heading} is {found}",
        "zero or more",
        "type {heading} without its sign, or leave it empty");

    /// A figure beyond any house.
    pub(crate) fn beyond_a_house(heading: &str, found: impl Display, most: &str) = error("beyond-a-house",
        "{heading} is {found}, which is beyond any house",
        "{most}",
        "look whether digits were typed twice, or two cells run together");

    /// A percentage so small that a fraction may have been meant.
    pub(crate) fn part_of_a_percent(item: &str, found: &str, meant: &str) = warning("part-of-a-point",
        "{item} is {found}, which is read as {found} in a hundred",
        "percent: 7 is 7 in a hundred",
        "type {meant} if {meant} % is meant; else leave it") meaning meant;

    /// A value that its cell or item cannot have.
    pub(crate) fn wrong_value(item: &str, found: &str, expected: &str) = error("wrong-value",
        "{item} is \"{found}\"",
        "{expected}",
        "type {expected}");
}

/// Sums in another currency than the job's.
pub(crate) fn other_currency(found: &str, job: &str, rows: usize) -> Finding {
    warning(
        "other-currency",
        match rows {
            1 => format!("a sum is in {found} and is read as {job} as it stands"),
            rows => {
                format!("{rows} sums are not in {job}, the first in {found}: they are read as they stand")
            }
        },
        format!("sums in {job}, the currency of the job"),
        "type the sums in the currency of the job, or say another in the item currency",
    )
}

/// A name that looks like another one misspelled; how many rows have it.
pub(crate) fn looks_like_another(what: &str, found: &str, other: &str, rows: usize) -> Finding {
    let rows = if rows < 2 { "one row".to_owned() } else { format!("{rows} rows") };
    warning(
        "looks-like-another",
        format!("the {what} \"{found}\" stands in {rows} and looks like \"{other}\""),
        "one spelling for one thing",
        format!("type {other} if that is meant, or leave it"),
    )
}

/// Words that one may choose from, in one sentence.
pub(crate) fn one_of(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}
