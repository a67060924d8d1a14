//! A job as read: its names, terms, catalog, places, runs and prices.

use super::{Catalog, Lexicon, PlaceRow, PriceList, Run, Terms};
use crate::ground::Sources;

/// One house to price, as read from its tables.
#[derive(Debug, Clone)]
pub struct Job {
    /// Every word written in its tables.
    pub lexicon: Lexicon,
    /// The tables it was read from.
    pub sources: Sources,
    /// What the table `job` says.
    pub terms: Terms,
    /// What exists: parts, systems, patterns...
    pub catalog: Catalog,
    /// The table `places`.
    pub places: Vec<PlaceRow>,
    /// The run list.
    pub runs: Vec<Run>,
    /// All price lists.
    pub prices: PriceList,
}
