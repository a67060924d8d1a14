//! The market of a job: its price list with an index, and the tables that say what offers mean.
//!
//! It is opened once for a job and serves every alternative. It also holds the form of what is kept: choices that an
//! edited workbook holds, and stock on the shelf.

use std::collections::HashMap;

use rust_decimal::Decimal;

use crate::estimate::item::{Color, Item, ItemId};
use crate::estimate::order::OfferId;
use crate::estimate::ranking::{called, sizes_text};
use crate::ground::{Length, Sources};
use crate::trade::{Catalog, Lexicon, Offer, PriceList, Run, Terms, Word};

/// The tables of a job that buying looks at.
#[derive(Debug, Clone, Copy)]
pub struct Tables<'a> {
    /// The words.
    pub lexicon: &'a Lexicon,
    /// Parts, systems, sizes.
    pub catalog: &'a Catalog,
    /// Where rows stand.
    pub sources: &'a Sources,
    /// The runs, for the rows that notices name.
    pub runs: &'a [Run],
    /// All offers.
    pub prices: &'a PriceList,
    /// Allowances, day, units.
    pub terms: &'a Terms,
}

/// The price lists of a job, opened for buying.
#[derive(Debug)]
pub struct Market<'a> {
    pub(super) lexicon: &'a Lexicon,
    pub(super) catalog: &'a Catalog,
    pub(super) sources: &'a Sources,
    pub(super) runs: &'a [Run],
    pub(super) prices: &'a PriceList,
    pub(super) terms: &'a Terms,
    /// Offers by the word they call the part, in the order of the price list.
    by_part: HashMap<Word, Vec<OfferId>>,
}

/// A choice that a run of the program keeps: so many packs of this offer for this item.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Held {
    /// The item.
    pub item: ItemId,
    /// The offer.
    pub offer: OfferId,
    /// Packs, coils or sticks. Of an item's packs the smallest is reckoned anew: it fills the rest.
    pub packs: Decimal,
}

/// Stock to use first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OnHand {
    /// The item.
    pub item: ItemId,
    /// How much; of tube, how many lengths.
    pub quantity: Decimal,
    /// Of tube, how long each is.
    pub length: Option<Length>,
}

/// What is decided or there before anything is bought.
#[derive(Debug, Clone, Copy, Default)]
pub struct Kept<'a> {
    /// Choices that are held.
    pub held: &'a [Held],
    /// Stock on the shelf.
    pub on_hand: &'a [OnHand],
}

impl<'a> Market<'a> {
    /// Opens the price lists of a job.
    pub fn open(tables: Tables<'a>) -> Self {
        let Tables { lexicon, catalog, sources, runs, prices, terms } = tables;
        let mut by_part: HashMap<Word, Vec<OfferId>> = HashMap::new();
        for (id, offer) in (0_u32..).zip(&prices.offers) {
            by_part.entry(offer.part).or_default().push(OfferId(id));
        }
        Self { lexicon, catalog, sources, runs, prices, terms, by_part }
    }

    /// Whether there is such an offer.
    pub(super) fn has(&self, id: OfferId) -> bool {
        (id.0 as usize) < self.prices.offers.len()
    }

    pub(super) fn offer(&self, id: OfferId) -> &'a Offer {
        &self.prices.offers[id.0 as usize]
    }

    /// The offers that call an item's part by one of its names, in the order of the price list.
    pub(super) fn offers_called(&self, item: &Item) -> Vec<OfferId> {
        let part = self.catalog.part(item.part);
        let words = std::iter::once(&part.word).chain(&*part.also);
        let mut offers: Vec<OfferId> =
            words.filter_map(|word| self.by_part.get(word)).flatten().copied().collect();
        offers.sort_unstable();
        offers.dedup();
        offers
    }

    /// The word of the color an item is bought in; nothing where it is sold without regard to color.
    pub(super) fn color_word(&self, item: &Item) -> Option<Word> {
        // A color that no table names is a word that no offer has.
        let word = |color: Color| self.lexicon.find(color.word()).unwrap_or(Word(u32::MAX));
        match item.color {
            Color::None => None,
            Color::Red | Color::Blue => Some(word(item.color)),
        }
    }

    pub(super) fn called(&self, item: &Item) -> String {
        called(self.lexicon, self.catalog, item)
    }

    /// How an offer is called in a sentence: `tee 1 x 1 x 3/4 (pex) of Supplier`.
    pub(super) fn offer_called(&self, id: OfferId) -> String {
        let offer = self.offer(id);
        let mut text = String::from(self.lexicon.text(offer.part));
        if !offer.sizes.is_empty() {
            text.push(' ');
            text.push_str(&sizes_text(self.lexicon, &offer.sizes));
        }
        let more = offer.systems.iter().chain([&offer.variant, &offer.color]);
        let more: Vec<&str> =
            more.map(|word| self.lexicon.text(*word)).filter(|word| !word.is_empty()).collect();
        if !more.is_empty() {
            text.push_str(&format!(" ({})", more.join(", ")));
        }
        format!("{text} of {}", self.lexicon.text(offer.supplier))
    }
}
