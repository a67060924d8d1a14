//! Price lists: one offer of one supplier a row.

use rust_decimal::Decimal;

use super::lexicon::Word;
use crate::ground::{Date, Length, RowAt};

/// How a thing is sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SoldAs {
    /// A coil of tube.
    Coil,
    /// A stick of tube.
    Stick,
    /// A bag, box or roll of so many.
    Bag,
    /// Loose: any number or length.
    Each,
}

/// What one of it holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pack {
    /// So many pieces.
    Count(i64),
    /// So much tube.
    Length(Length),
    /// So much of a consumable, in the unit of its joints row (a 1 lb roll).
    Amount(Decimal),
}

/// What the price is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PricedPer {
    /// One piece.
    Each,
    /// One pack, coil or stick.
    Pack,
    /// One foot (or metre) of tube.
    Length(Length),
    /// So many pieces: a hundred, a thousand.
    Many(i64),
}

/// A row of a price list.
#[derive(Debug, Clone)]
pub struct Offer {
    /// Where it stands.
    pub row: RowAt,
    /// Whether a cell of the row was misread: it is not used.
    pub in_error: bool,
    /// Who sells it.
    pub supplier: Word,
    /// What it is, by the words written.
    pub part: Word,
    /// Its sizes in reading order; none for parts without a size.
    pub sizes: Box<[Word]>,
    /// The price before discounts.
    pub price: Decimal,
    /// Systems or tube families it is for; empty: any.
    pub systems: Box<[Word]>,
    /// Its variant; empty: any.
    pub variant: Word,
    /// Its color; empty: any.
    pub color: Word,
    /// The supplier's own code, as written.
    pub code: Box<str>,
    /// The supplier's own words, as written.
    pub description: Box<str>,
    /// How it is sold.
    pub sold_as: SoldAs,
    /// What one of it holds.
    pub pack: Pack,
    /// What the price is for.
    pub per: PricedPer,
    /// Chained discounts in points.
    pub discount: Box<[Decimal]>,
    /// From so many packs on, this price.
    pub breaks: Box<[(i64, Decimal)]>,
    /// Lowest and highest price seen, if the user keeps them.
    pub low: Option<Decimal>,
    /// Highest price seen.
    pub high: Option<Decimal>,
    /// First day it is good.
    pub good_from: Option<Date>,
    /// Last day it is good.
    pub good_until: Option<Date>,
    /// Whether unopened packs may go back.
    pub returnable: Option<bool>,
}

/// All offers of all price lists of a job.
#[derive(Debug, Clone, Default)]
pub struct PriceList {
    /// In the order of supplier, part, size, row; the id of an offer is its index.
    pub offers: Vec<Offer>,
}
