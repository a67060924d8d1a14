//! The market of a job: its price list with an index, and how offers are called.
//!
//! It is opened once for a job and serves every alternative.

use std::cmp::Ordering;

use crate::estimate::joint_rows::JointRows;
use crate::estimate::ranking::{called, offered};
use crate::estimate::{Color, Item, OfferId};
use crate::ground::Spot;
use crate::ground::name::natural;
use crate::trade::{Catalog, Job, Lexicon, Offer, PartId, Settings, UsedAs, Word};

/// The price lists of a job, opened for buying.
#[derive(Debug)]
pub struct Market<'a> {
    pub(super) job: &'a Job,
    pub(super) lexicon: &'a Lexicon,
    pub(super) catalog: &'a Catalog,
    pub(super) settings: &'a Settings,
    /// What joints consume.
    pub(super) joints: JointRows,
    /// The offers that name a part by any of its names, and for a transition those of any other, in the order of the
    /// price list.
    by_part: Vec<Vec<OfferId>>,
}

impl<'a> Market<'a> {
    /// Opens the price lists of a job.
    pub fn open(job: &'a Job) -> Self {
        let catalog = &job.catalog;
        let mut by_part: Vec<Vec<OfferId>> = vec![Vec::new(); catalog.parts.len()];
        let all = (0_u32..).zip(&catalog.parts);
        let transitions: Vec<PartId> = all
            .filter(|(_, part)| part.used_as.contains(&UsedAs::Transition))
            .map(|(id, _)| PartId(id))
            .collect();
        for (id, offer) in (0_u32..).zip(&job.prices.offers) {
            let called = catalog.parts_called_or_used(offer.part);
            for part in called {
                by_part[part.0 as usize].push(OfferId(id));
            }
            if called.iter().any(|part| transitions.contains(part)) {
                for part in transitions.iter().filter(|part| !called.contains(part)) {
                    by_part[part.0 as usize].push(OfferId(id));
                }
            }
        }
        let joints = JointRows::of(catalog, &job.lexicon);
        Self { job, lexicon: &job.lexicon, catalog, settings: &job.settings, joints, by_part }
    }

    /// The same market for a job of other settings.
    pub(in crate::estimate) fn with(self, settings: &'a Settings) -> Self {
        Self { settings, ..self }
    }

    pub(super) fn offer(&self, id: OfferId) -> &'a Offer {
        &self.job.prices.offers[id.0 as usize]
    }

    /// The offers that name an item's part, in the order of the price list.
    pub(super) fn offers_called(&self, item: &Item) -> &[OfferId] {
        self.by_part.get(item.part.0 as usize).map_or(&[], |list| list)
    }

    /// Which of two offers comes first where nothing else decides: by supplier, by what is named, by price, then by all
    /// that is written, whatever the order of rows. Rows that are alike in all of it stand in the order of the list.
    pub(super) fn in_order(&self, a: OfferId, b: OfferId) -> Ordering {
        let (first, second) = (self.offer(a), self.offer(b));
        // What is left is compared as it is written down here; it only has to be the same for the same rows.
        let rest = |offer: &Offer| {
            let sold = (offer.sold_as, offer.pack, offer.per, &offer.discount, &offer.breaks);
            let days = (offer.good_from, offer.good_until, offer.returnable);
            format!("{sold:?} {days:?} {}", offer.description)
        };
        self.compare(&[first.supplier, first.part], &[second.supplier, second.part])
            .then_with(|| self.compare(&first.sizes, &second.sizes))
            .then_with(|| self.compare(&first.systems, &second.systems))
            .then_with(|| self.compare(&[first.variant, first.color], &[second.variant, second.color]))
            .then_with(|| first.price.cmp(&second.price))
            .then_with(|| natural(&first.code, &second.code))
            .then_with(|| rest(first).cmp(&rest(second)))
            .then_with(|| a.cmp(&b))
    }

    /// Which of two rows of words comes first: word by word, numbers by their value.
    pub(super) fn compare(&self, one: &[Word], other: &[Word]) -> Ordering {
        let text = |word: &Word| self.lexicon.text(*word);
        let pairs = one.iter().zip(other).map(|(one, other)| natural(text(one), text(other)));
        pairs.fold(Ordering::Equal, Ordering::then).then(one.len().cmp(&other.len()))
    }

    /// Where an offer stands.
    pub(super) fn row(&self, id: OfferId) -> Spot {
        self.job.sources.row(self.offer(id).row)
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
    pub(crate) fn offer_called(&self, id: OfferId) -> String {
        let offer = self.offer(id);
        let text = offered(self.lexicon, offer);
        format!("{text} of {}", self.lexicon.text(offer.supplier))
    }
}
