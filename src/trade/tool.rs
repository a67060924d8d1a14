//! Tools and one-offs: what a system needs beside its parts, bought, rented or owned. What an alternative uses of them
//! is for the estimate.

use rust_decimal::Decimal;

use super::lexicon::Word;
use super::reading::findings::negative_price;
use super::reading::{Reading, Row, Seen, Text};
use super::shape::{table, words};
use crate::ground::notice::findings;
use crate::table::{Got, TableFile};

table! {
    /// The table `tools`.
    TOOLS = "tools", Noticed, Column;
    /// A row of the table `tools`.
    ToolRow {
        tool: Text = "tool", required, Text, "what it is: press tool, clamp cutter, torch set";
            |row, at| row.needed_name(at);
        systems: Box<[Word]> = "system" ["systems"], optional, Text, "systems or tube families it is for, parted by semicolons; empty: all";
            |row, at| row.words(at);
        had: Had = "how", required, Text, "bought, owned, rented by day or rented by week (a week is 5 days of work)";
            |row, at| { row.needed(at); row.choice(at).unwrap_or(Had::Owned) };
        price: Decimal = "price", optional, Number, "what it costs; rented: a day or a week; owned: nothing";
            |row, at| price(row, at, had);
        jobs: Decimal = "jobs", optional, Number, "over how many jobs it is shared; empty: 1";
            |row, at| row.positive(at).unwrap_or(Decimal::ONE);
        days: Option<Decimal> = "days", optional, Number, "rented: for how many days of work; empty: the days of the crew";
            |row, at| row.positive(at);
        note: Text = "note" ["notes", "source"], optional, Text, "a note";
            |row, at| row.kept(at);
    }
}

words! {
    /// How a tool is had.
    pub enum Had {
        /// Bought for the job, or for so many.
        Bought = "bought",
        /// There already: it costs this job nothing.
        Owned = "owned",
        /// Rented by the day.
        RentedByDay = "rented by day" ["rented"],
        /// Rented by the week of five days of work.
        RentedByWeek = "rented by week",
    }
}

/// Reads a table of tools; rows in error are left out, with their notices.
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<ToolRow> {
    let mut seen = Seen::default();
    reading.rows(file, &TOOLS, |row| {
        row.doubt_if_once_more(&mut seen);
        Some(ToolRow::read(row)).filter(|_| !row.in_error())
    })
}

/// A tool that is bought or rented for nothing is more often a forgotten price than a gift: it is an error.
fn price(row: &mut Row<'_, '_>, at: usize, had: Had) -> Decimal {
    let price = row.sum(at);
    match (had, price) {
        (_, Got::Value(price)) if price.is_sign_negative() && !price.is_zero() => {
            row.trouble(at, negative_price(price));
        }
        (Had::Owned, Got::Value(_) | Got::Empty) | (_, Got::Misread) => {}
        (_, Got::Value(price)) if price.is_zero() => row.trouble(at, tool_for_nothing()),
        (_, Got::Value(price)) => return price,
        (_, Got::Empty) => row.empty(at),
    }
    Decimal::ZERO
}

findings! {
    /// A tool bought or rented for nothing.
    fn tool_for_nothing() = error("tool-for-nothing",
        "price is 0 of a tool that is not owned",
        "a price above zero, or owned",
        "type the price, or owned in how");
}
