//! A job at the prices of another: its own runs, places and terms, the other's price list in the words of this one.
//! Nothing is priced here; the revision asks for it, to tell what quantities moved from what prices moved.

use super::job::Job;
use super::lexicon::{Lexicon, Word};
use super::price_list::Offer;
use crate::ground::{RowAt, SourceId};

impl Job {
    /// This job at the prices of another, judged on the other's day.
    pub fn at_prices_of(&self, other: &Self) -> Self {
        let mut job = self.clone();
        let first: Vec<SourceId> =
            other.sources.iter().map(|(_, one)| job.sources.add(one.clone())).collect();
        let row = |row: RowAt| RowAt {
            source: first.get(usize::from(row.source.0)).copied().unwrap_or(row.source),
            ..row
        };
        let lexicon = &mut job.lexicon;
        let offers =
            other.prices.offers.iter().map(|offer| told(offer, &other.lexicon, lexicon, row(offer.row)));
        job.prices.offers = offers.collect();
        job.prices.tried = other.prices.tried.clone();
        job.terms.date = other.terms.date;
        job
    }
}

/// An offer in the words of another lexicon.
fn told(offer: &Offer, from: &Lexicon, into: &mut Lexicon, row: RowAt) -> Offer {
    let mut word = |word: Word| into.word(from.text(word));
    Offer {
        row,
        supplier: word(offer.supplier),
        part: word(offer.part),
        sizes: offer.sizes.iter().map(|size| word(*size)).collect(),
        systems: offer.systems.iter().map(|system| word(*system)).collect(),
        variant: word(offer.variant),
        color: word(offer.color),
        ..offer.clone()
    }
}
