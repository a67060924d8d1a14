//! Which offers are for an item: part by any of its names, sizes, system, variant, color, and the day.
//!
//! It chooses no supplier and knows no sums; what it passes over it says, so that a notice can.

use super::Market;
use super::lot::{Lot, Misfit, lot};
use crate::estimate::{Item, OfferId};
use crate::ground::Date;
use crate::trade::{MeantFor, Offer, Part, SystemId, Thing, UsedAs, Word};

/// How many of the nearest offers are named.
const NAMED: usize = 3;

/// The offers for one item.
pub(super) struct Found {
    /// What can be bought, in the order of [`Market::in_order`]: of equal choices the first is taken.
    pub(super) lots: Vec<Lot>,
    /// What names the item and cannot be used, with why.
    pub(super) passed: Vec<(OfferId, Passed)>,
}

/// Why an offer that names an item is not used.
#[derive(Debug, Clone, Copy)]
pub(super) enum Passed {
    /// Its last day is before the day of the job.
    Expired(Date),
    /// Its first day is after the day of the job.
    NotYet(Date),
    /// Its unit does not fit.
    Unit(Misfit),
}

/// The offers for an item. All that fit compete by price, whether they name its variant and color or leave them open.
pub(super) fn find(market: &Market<'_>, item: &Item) -> Found {
    let mut found = Found { lots: Vec::new(), passed: Vec::new() };
    for id in market.offers_for(item) {
        let offer = market.offer(id);
        if let Some(why) = out_of_date(market.settings.date, offer) {
            found.passed.push((id, why));
            continue;
        }
        match lot(market.lexicon, id, offer, item) {
            Ok(lot) => found.lots.push(lot),
            Err(misfit) => found.passed.push((id, Passed::Unit(misfit))),
        }
    }
    found.lots.sort_by(|a, b| market.in_order(a.offer, b.offer));
    found
}

/// One offer as a lot for an item, whatever its day; nothing where it does not match.
pub(super) fn find_lot(market: &Market<'_>, id: OfferId, item: &Item) -> Option<Lot> {
    let offer = market.offer(id);
    (!offer.in_error && names(market, offer, item)).then(|| lot(market.lexicon, id, offer, item).ok())?
}

/// Whether an offer speaks of an item at all, whatever its day and unit.
pub(super) fn names(market: &Market<'_>, offer: &Offer, item: &Item) -> bool {
    describes(market, offer.part, &offer.sizes, &offer.meant_for(), item)
}

/// Whether a row of a table (an offer, stock, a held choice) speaks of an item. What it leaves empty is any. A transition
/// goes by the name of the one that leads the other way between the same systems too.
pub(super) fn describes(
    market: &Market<'_>,
    part: Word,
    sizes: &[Word],
    meant_for: &MeantFor<'_>,
    item: &Item,
) -> bool {
    let catalog = market.catalog;
    let called = catalog.parts_called_or_used(part);
    let same_transition = |system: SystemId| {
        called.iter().any(|other| catalog.same_transition(item.part, system, *other, meant_for.systems))
    };
    let thing = if called.contains(&item.part) {
        thing(market, item)
    } else if item.system.is_some_and(same_transition) {
        Thing { system: None, ..thing(market, item) }
    } else {
        return false;
    };
    catalog.fits(meant_for, &thing)
        && is_made_for(market, meant_for, item)
        && same_sizes(catalog.part(item.part), sizes, item.sizes.as_slice())
}

/// Whether what an offer says of systems, variant and color takes an item in.
pub(super) fn fits(market: &Market<'_>, offer: &Offer, item: &Item) -> bool {
    let meant_for = offer.meant_for();
    market.catalog.fits(&meant_for, &thing(market, item)) && is_made_for(market, &meant_for, item)
}

/// Whether a row and a part that is of no system of its own are for one system at least: cement for CPVC is none for PVC.
fn is_made_for(market: &Market<'_>, meant_for: &MeantFor<'_>, item: &Item) -> bool {
    let catalog = market.catalog;
    let made_for = &catalog.part(item.part).systems;
    item.system.is_some()
        || made_for.is_empty()
        || meant_for.systems.is_empty()
        || catalog.systems_of(made_for).any(|system| catalog.takes_in(meant_for.systems, system))
}

impl Market<'_> {
    /// The offers nearest to an item that nobody sells: the same part in another size, system, variant or color, the
    /// nearest first.
    pub(crate) fn nearest(&self, item: &Item) -> Vec<OfferId> {
        let part = self.catalog.part(item.part);
        let wanted = normal(part, item.sizes.as_slice());
        let far = |id: OfferId| {
            let offer = self.offer(id);
            let offered = normal(part, &offer.sizes);
            let other = wanted.iter().filter(|size| !offered.contains(size)).count()
                + wanted.len().abs_diff(offered.len());
            (!fits(self, offer, item), other, id)
        };
        let mut near: Vec<_> = self.offers_called(item).iter().map(|id| far(*id)).collect();
        near.sort_unstable();
        near.into_iter().take(NAMED).map(|(_, _, id)| id).collect()
    }

    /// Why a near offer is not bought for an item, where its name does not show it: behind a comma, or nothing.
    pub(super) fn why_not(&self, id: OfferId, item: &Item) -> String {
        let offer = self.offer(id);
        match out_of_date(self.settings.date, offer) {
            _ if offer.in_error => ", whose row is in error".to_owned(),
            _ if !names(self, offer, item) => String::new(),
            Some(Passed::Expired(until)) => format!(", which was good until {until}"),
            Some(Passed::NotYet(from)) => format!(", which is good from {from}"),
            Some(Passed::Unit(_)) | None => match lot(self.lexicon, id, offer, item) {
                Ok(_) => String::new(),
                Err(_) => ", whose price or unit does not fit".to_owned(),
            },
        }
    }

    /// The offers that speak of an item, whatever their day and unit, in the order of the price list.
    pub(crate) fn offers_for(&self, item: &Item) -> Vec<OfferId> {
        let names = |id: &OfferId| {
            let offer = self.offer(*id);
            !offer.in_error && names(self, offer, item)
        };
        self.offers_called(item).iter().copied().filter(names).collect()
    }
}

/// Whether an offer can be bought for the item's system on the day.
pub(super) fn is_sold(market: &Market<'_>, item: &Item, offer: &Offer) -> bool {
    !offer.in_error && fits(market, offer, item) && out_of_date(market.settings.date, offer).is_none()
}

/// What an item is, for the rule that says what fits it.
fn thing(market: &Market<'_>, item: &Item) -> Thing {
    let color = market.color_word(item).unwrap_or_default();
    Thing { system: item.system, variant: item.variant, color }
}

/// Why an offer is not good on the day of the job; without a day nothing is judged.
pub(super) fn out_of_date(today: Option<Date>, offer: &Offer) -> Option<Passed> {
    let today = today?;
    match (offer.good_from, offer.good_until) {
        (_, Some(until)) if until < today => Some(Passed::Expired(until)),
        (Some(from), _) if from > today => Some(Passed::NotYet(from)),
        _ => None,
    }
}

/// Whether two ways of writing the sizes of a part mean the same. A part that has no size in the job is met by any.
pub(super) fn same_sizes(part: &Part, offered: &[Word], wanted: &[Word]) -> bool {
    wanted.is_empty() || normal(part, offered) == normal(part, wanted)
}

/// The one form of a part's sizes: one where all are the same; run, run, branch of a tee with its runs in one order
/// (two sizes are run and branch); two equal ends of a coupling in one order.
pub(super) fn normal(part: &Part, sizes: &[Word]) -> Vec<Word> {
    let mut sizes = sizes.to_vec();
    if sizes.windows(2).all(|pair| pair[0] == pair[1]) {
        sizes.truncate(1);
        return sizes;
    }
    if is_tee(part) {
        if let [run, branch] = sizes[..] {
            sizes = vec![run, run, branch];
        }
        if sizes.len() == 3 {
            sizes[..2].sort_unstable();
        }
    } else if let ([run, branch], true) = (&sizes[..], part.ports.len() == 4 && part.is_meeting()) {
        sizes = vec![*run, *run, *branch, *branch];
    } else if let ([first, second], 2) = (&part.ports[..], sizes.len())
        && first.fit == second.fit
    {
        sizes.sort_unstable();
    }
    sizes
}

/// Whether a part reads run, run, branch.
pub(super) fn is_tee(part: &Part) -> bool {
    let alike = part.ports.windows(2).all(|pair| pair[0].fit == pair[1].fit);
    part.used_as.contains(&UsedAs::Tee) || (part.ports.len() == 3 && alike)
}
