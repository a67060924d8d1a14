//! Tools and one-offs: what a system needs beside its parts, bought, rented or owned. What an alternative uses of them
//! is for the estimate.

use std::collections::HashMap;

use rust_decimal::Decimal;

use super::lexicon::Word;
use super::reading::findings::negative_price;
use super::reading::{Reading, Row};
use super::shape::{findings, shape, words};
use crate::ground::RowAt;
use crate::table::{Got, TableFile};

shape! {
    /// The table `tools`.
    TOOLS = "tools", Noticed, Column {
        Tool = "tool", required, Text, "what it is: press tool, clamp cutter, torch set";
        System = "system" ["systems"], optional, Text, "systems or tube families it is for, parted by semicolons; empty: all";
        How = "how", required, Text, "bought, owned, rented by day or rented by week (a week is 5 days of work)";
        Price = "price", optional, Number, "what it costs; rented: a day or a week; owned: nothing";
        Jobs = "jobs", optional, Number, "over how many jobs it is shared; empty: 1";
        Days = "days", optional, Number, "rented: for how many days of work; empty: the days of the crew";
        Note = "note" ["notes", "source"], optional, Text, "a note";
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

/// A row of the table `tools`.
#[derive(Debug, Clone)]
pub struct ToolRow {
    /// Where it stands.
    pub row: RowAt,
    /// What it is, as written.
    pub tool: Box<str>,
    /// Systems or tube families; empty: all.
    pub systems: Box<[Word]>,
    /// How it is had.
    pub had: Had,
    /// What it costs, a day or a week where it is rented.
    pub price: Decimal,
    /// Over how many jobs it is shared.
    pub jobs: Decimal,
    /// For how many days it is rented; nothing: the days of the crew.
    pub days: Option<Decimal>,
    /// A note, as written.
    pub note: Box<str>,
}

/// Reads a table of tools; rows in error are left out, with their notices.
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<ToolRow> {
    let mut list = Vec::new();
    let mut seen = HashMap::new();
    reading.read(file, &TOOLS, |row| {
        row.doubt_if_once_more(&mut seen);
        let tool = row.needed(Column::Tool);
        row.needed(Column::How);
        let had = row.choice(Column::How).unwrap_or(Had::Owned);
        let tool = ToolRow {
            row: row.at(),
            tool,
            systems: row.words(Column::System),
            had,
            price: price(row, had),
            jobs: row.positive(Column::Jobs).unwrap_or(Decimal::ONE),
            days: row.positive(Column::Days),
            note: row.text(Column::Note).into(),
        };
        if !row.in_error() {
            list.push(tool);
        }
    });
    list
}

/// A tool that is bought or rented for nothing is more often a forgotten price than a gift: it is an error.
fn price(row: &mut Row<'_, '_>, had: Had) -> Decimal {
    let price = row.sum(Column::Price);
    match (had, price) {
        (_, Got::Value(price)) if price.is_sign_negative() && !price.is_zero() => {
            row.trouble(Column::Price, negative_price(price));
        }
        (Had::Owned, Got::Value(_) | Got::Empty) | (_, Got::Misread) => {}
        (_, Got::Value(price)) if price.is_zero() => row.trouble(Column::Price, tool_for_nothing()),
        (_, Got::Value(price)) => return price,
        (_, Got::Empty) => row.empty(Column::Price),
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
