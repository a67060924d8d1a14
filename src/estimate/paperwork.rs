//! Paperwork: what is doubtful in the papers of the chosen alternative though its sums are right. Tube that is bought by the
//! foot and so has no cut plan; prices that end before goods are needed or before the bid does; one delivery fee for goods
//! of several days. It reads an order and changes nothing. The walk calls `look_over` once.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::ranking::called;
use super::{Alternative, ItemId, Items, OfferId, OrderLine};
use crate::ground::money::cents;
use crate::ground::notice::{Finding, remark};
use crate::ground::{Date, Notice, RowAt};
use crate::trade::{Job, Offer, Phase, SoldAs, Word};

/// What is doubtful in the papers of an alternative.
pub(super) fn look_over(job: &Job, items: &Items, chosen: &Alternative) -> Vec<Notice> {
    let check = PaperCheck { job, items, chosen };
    let mut notices = Vec::new();
    notices.extend(check.by_the_foot());
    notices.extend(check.prices_end_before_needed());
    notices.extend(check.prices_end_before_bid());
    notices.extend(check.one_fee());
    notices
}

struct PaperCheck<'a> {
    job: &'a Job,
    items: &'a Items,
    chosen: &'a Alternative,
}

impl PaperCheck<'_> {
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
        Some(bought_by_the_foot(&called, more).at([self.job.sources.cell(row, "sold as")]))
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
            let spots = [self.job.sources.cell(row, "value"), self.job.sources.cell(offer, "good until")];
            price_ends_before_needed(lines, until, needed).at(spots)
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
        let spots = [self.job.sources.cell(row, "value"), self.job.sources.cell(offer, "good until")];
        Some(price_ends_before_bid(ends().count(), until, bid).at(spots))
    }

    /// Suppliers with a delivery fee whose goods are needed on several days: the fee is counted once.
    fn one_fee(&self) -> Vec<Notice> {
        let of_one = |supplier: Word| {
            let row = self.job.supplier(supplier).filter(|row| !row.delivery_fee.is_zero())?;
            let days = delivery_days(self.job, self.chosen, supplier);
            let finding = || one_fee_counted(self.job.lexicon.text(supplier), row.delivery_fee, &days);
            (days.len() > 1).then(|| finding().at([self.job.sources.cell(row.row, "delivery fee")]))
        };
        self.chosen.buying.suppliers.iter().filter_map(|order| of_one(order.supplier)).collect()
    }
}

/// The days on which goods of one supplier are needed, each once; goods without a day count as of no day.
pub(crate) fn delivery_days(job: &Job, of: &Alternative, supplier: Word) -> Vec<Date> {
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

/// Tube is bought by the foot: the first of it, and how many more.
fn bought_by_the_foot(called: &str, more: usize) -> Finding {
    let found = match more {
        0 => format!("{called} is bought by the foot: it has no cut plan"),
        more => format!("{called} and {more} more are bought by the foot: they have no cut plan"),
    };
    remark(
        "no-cut-plan",
        found,
        "offers of coils or sticks with their lengths",
        "ask what coils or sticks it comes in, as request-for-quote.csv does: `sold as` coil, `pack` 100 ft",
    )
}

/// Prices end before goods are needed.
fn price_ends_before_needed(lines: usize, until: Date, needed: Date) -> Finding {
    remark(
        "price-ends-before-needed",
        format!("{} {until}, and the goods are needed on {needed}", ends(lines)),
        "prices that are good on the day the goods are delivered",
        format!("order by {until}, or ask for prices that are good until {needed}"),
    )
}

/// Prices end before the bid does.
fn price_ends_before_bid(lines: usize, until: Date, bid: Date) -> Finding {
    remark(
        "price-ends-before-bid",
        format!("the bid is good until {bid}; {} {until} or soon after", ends(lines)),
        "a bid that ends with the prices it is made of",
        format!("let the bid end on {until}, or ask for prices that are good until {bid}"),
    )
}

/// One delivery fee is counted for goods of several days.
fn one_fee_counted(supplier: &str, fee: Decimal, days: &[Date]) -> Finding {
    let (number, days) = (days.len(), days.iter().map(Date::to_string).collect::<Vec<_>>().join(", "));
    let fee = cents(fee);
    remark(
        "one-fee-counted",
        format!(
            "one delivery fee of {fee} is counted for {supplier}, whose goods are needed on {number} days: {days}"
        ),
        "a fee for each delivery that is charged",
        "ask for one delivery, or add the fees of the others as the item delivery of the table job",
    )
}

fn ends(lines: usize) -> String {
    match lines {
        1 => "the price of one line of the order ends on".to_owned(),
        lines => format!("the prices of {lines} lines of the order end on"),
    }
}
