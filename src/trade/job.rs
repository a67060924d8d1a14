//! A job: everything that was read for one house. (The reading joins from its own branch.)

use super::{Catalog, Lexicon, PlaceRow, PriceList, Run, Terms};
use crate::ground::{Notice, Sources};

/// One house to price, read.
#[derive(Debug, Clone)]
pub struct Job {
    /// Its words.
    pub lexicon: Lexicon,
    /// Its tables.
    pub sources: Sources,
    /// What exists.
    pub catalog: Catalog,
    /// Its terms.
    pub terms: Terms,
    /// The run list.
    pub runs: Vec<Run>,
    /// The table `places`.
    pub places: Vec<PlaceRow>,
    /// Prices.
    pub prices: PriceList,
    /// What was wrong.
    pub notices: Vec<Notice>,
}
