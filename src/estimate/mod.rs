//! The arithmetic, pure: network, takeoff, cutting, buying, costing, comparison.

pub mod buying;
pub mod comparison;
pub mod costing;
pub mod cutting;
pub mod item;
pub mod needs;
pub mod network;
pub mod order;
pub mod ranking;
pub mod takeoff;
mod words_buying;

use crate::ground::Notice;
use item::Items;
use network::RunId;
use order::{Alternative, Comparison};

/// A run that is not in the count.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// The run.
    pub run: RunId,
    /// Why, as a sentence.
    pub why: String,
}

/// A job estimated: every alternative taken off, cut, bought and costed.
#[derive(Debug, Clone)]
pub struct Estimate {
    /// What is counted in it.
    pub items: Items,
    /// The alternatives, the chosen one first.
    pub alternatives: Vec<Alternative>,
    /// All of them side by side.
    pub comparison: Comparison,
    /// Runs that are not in the count.
    pub left_out: Vec<LeftOut>,
    /// What is wrong or doubtful in the user's tables.
    pub notices: Vec<Notice>,
}
