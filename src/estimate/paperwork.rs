//! Paperwork: what is doubtful in the papers of the chosen alternative though its sums are right. Tube that is bought by the
//! foot and so has no cut plan; prices that end before goods are needed or before the bid does; one delivery fee for goods
//! of several days. It reads an order and changes nothing. The walk calls `look_over` once.

use std::collections::BTreeMap;

use super::item::{ItemId, Items};
use super::order::{Alternative, OfferId, OrderLine};
use super::ranking::called;
use super::words_papers::Paper;
use crate::ground::{Date, Notice, RowAt};
use crate::trade::{Job, Offer, Phase, SoldAs, Word};

/// What is doubtful in the papers of an alternative.
pub(super) fn look_over(job: &Job, items: &Items, chosen: &Alternative) -> Vec<Notice> {
    let desk = Desk { job, items, chosen };
    let mut notices = Vec::new();
    notices.extend(desk.by_the_foot());
    notices.extend(desk.prices_end_before_needed());
    notices.extend(desk.prices_end_before_bid());
    notices.extend(desk.one_fee());
    notices
}

struct Desk<'a> {
    job: &'a Job,
    items: &'a Items,
    chosen: &'a Alternative,
}

impl Desk<'_> {
    /// Every line with each offer it is bought by.
    fn bought(&self) -> impl Iterator<Item = (&OrderLine, OfferId, &Offer)> {
        self.chosen.order.iter().flat_map(move |line| {
            line.picks.iter().filter_map(move |pick| Some((line, pick.offer, self.offer(pick.offer)?)))
        })
    }

    fn offer(&self, id: OfferId) -> Option<&Offer> {
        self.job.prices.offers.get(id.0 as usize)
    }

    /// Tube that is bought by the foot: nobody knows what lengths it will come in.
    fn by_the_foot(&self) -> Option<Notice> {
        let loose = |offer: &Offer| offer.sold_as == SoldAs::Each;
        let mut lines = self
            .bought()
            .filter(|(line, _, offer)| self.items.get(line.item).is_length() && loose(offer))
            .map(|(line, _, offer)| (line.item, offer.row));
        let first: Option<(ItemId, RowAt)> = lines.next();
        let (item, row) = first?;
        let more = lines.count();
        let called = called(&self.job.lexicon, &self.job.catalog, self.items.get(item));
        let spot = self.job.sources.cell(row, "sold as");
        Some(Paper::ByTheFoot { called, more }.word(vec![spot]))
    }

    /// Prices of which the last day is before goods are needed, told once for each last day and day of need.
    fn prices_end_before_needed(&self) -> Vec<Notice> {
        let mut ends: BTreeMap<(Date, Date), (usize, RowAt, RowAt)> = BTreeMap::new();
        for (line, _, offer) in self.bought() {
            let Some(needed) = self.job.settings.order.needed_row(line.phase) else { continue };
            let Some(until) = offer.good_until.filter(|until| *until < needed.day) else { continue };
            ends.entry((until, needed.day)).or_insert((0, offer.row, needed.row)).0 += 1;
        }
        let of_days = ends.into_iter().map(|((until, needed), (lines, offer, row))| {
            let spots = vec![self.job.sources.cell(row, "value"), self.job.sources.cell(offer, "good until")];
            Paper::PriceEndsBeforeNeeded { lines, until, needed }.word(spots)
        });
        of_days.collect()
    }

    /// A bid that stands longer than prices it is made of.
    fn prices_end_before_bid(&self) -> Option<Notice> {
        let (bid, row) = self.job.settings.bid.good_until?;
        let ends = || {
            let ends = self.bought().filter_map(|(_, _, offer)| Some((offer.good_until?, offer.row)));
            ends.filter(|(until, _)| *until < bid)
        };
        let (until, offer) = ends().min()?;
        let spots = vec![self.job.sources.cell(row, "value"), self.job.sources.cell(offer, "good until")];
        Some(Paper::PriceEndsBeforeBid { lines: ends().count(), until, bid }.word(spots))
    }

    /// Suppliers with a delivery fee whose goods are needed on several days: the fee is counted once.
    fn one_fee(&self) -> Vec<Notice> {
        let of_one = |supplier: Word| {
            let row = self.job.supplier(supplier).filter(|row| !row.delivery_fee.is_zero())?;
            let days = delivery_days(self.job, self.chosen, supplier);
            let paper = Paper::OneFee {
                supplier: self.job.lexicon.text(supplier).to_owned(),
                fee: row.delivery_fee,
                days: days.clone(),
            };
            let spots = vec![self.job.sources.cell(row.row, "delivery fee")];
            (days.len() > 1).then(|| paper.word(spots))
        };
        self.chosen.buying.suppliers.iter().filter_map(|order| of_one(order.supplier)).collect()
    }
}

/// The days on which goods of one supplier are needed, each once; goods without a day count as of no day.
pub fn delivery_days(job: &Job, of: &Alternative, supplier: Word) -> Vec<Date> {
    let is_theirs = |line: &&OrderLine| {
        let offers = line.picks.iter().filter_map(|pick| job.prices.offers.get(pick.offer.0 as usize));
        offers.into_iter().any(|offer| offer.supplier == supplier)
    };
    let phases = of.order.iter().filter(is_theirs).map(|line| line.phase);
    let mut days: Vec<Date> =
        phases.filter_map(|phase: Phase| job.settings.order.needed_for(phase)).collect();
    days.sort_unstable();
    days.dedup();
    days
}
