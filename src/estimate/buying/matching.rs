//! Which offers are for an item: part by any of its names, sizes, system, variant, color, and the day.
//!
//! It chooses no supplier and knows no sums; what it passes over it says, so that a notice can.

use super::Market;
use super::lot::{Lot, Misfit, lot};
use crate::estimate::item::Item;
use crate::estimate::order::OfferId;
use crate::ground::Date;
use crate::trade::{Catalog, Offer, Part, SystemId, UsedAs, Word};

/// The offers for one item.
pub(super) struct Found {
    /// What can be bought, in the order of [`Market::in_order`]: of equal choices the first is taken.
    pub(super) lots: Vec<Lot>,
    /// What names the item and cannot be used, with why.
    pub(super) passed: Vec<(OfferId, Passed)>,
}

/// Why an offer that names an item is not used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Passed {
    /// Its last day is before the day of the job.
    Expired(Date),
    /// Its first day is after the day of the job.
    NotYet(Date),
    /// Its unit does not fit.
    Unit(Misfit),
}

/// The offers for an item. Where some name its very variant or color, those that leave it open are not used.
pub(super) fn find(market: &Market<'_>, item: &Item) -> Found {
    let mut found = Found { lots: Vec::new(), passed: Vec::new() };
    let mut good: Vec<(OfferId, (bool, bool))> = Vec::new();
    for &id in market.offers_called(item) {
        let offer = market.offer(id);
        if offer.in_error || !names(market, offer, item) {
            continue;
        }
        match out_of_date(market.terms.date, offer) {
            Some(why) => found.passed.push((id, why)),
            None => good.push((id, (is_exact_variant(offer, item), is_exact_color(market, offer, item)))),
        }
    }
    // Only what can be bought decides whether an exact match is there.
    for (id, _) in &good {
        match lot(market.lexicon, *id, market.offer(*id), item) {
            Ok(lot) => found.lots.push(lot),
            Err(misfit) => found.passed.push((*id, Passed::Unit(misfit))),
        }
    }
    let exact = |lot: &Lot| good.iter().find(|(id, _)| *id == lot.offer).map_or((false, false), |g| g.1);
    if let Some(best) = found.lots.iter().map(exact).max() {
        found.lots.retain(|lot| exact(lot) == best);
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
    let kind = (offer.variant, offer.color);
    describes(market, offer.part, &offer.sizes, &offer.systems, kind, item)
}

/// Whether a row of a table (an offer, stock, a held choice) speaks of an item. What it leaves empty is any.
pub(super) fn describes(
    market: &Market<'_>,
    part: Word,
    sizes: &[Word],
    systems: &[Word],
    (variant, color): (Word, Word),
    item: &Item,
) -> bool {
    let own_color = market.color_word(item);
    (variant.is_empty() || item.variant.is_empty() || variant == item.variant)
        && (color.is_empty() || own_color.is_none_or(|own| color == own))
        && item.system.is_none_or(|system| market.catalog.takes_in(systems, system))
        && market.catalog.parts_called_or_used(part).contains(&item.part)
        && same_sizes(market.catalog.part(item.part), sizes, item.sizes.as_slice())
}

/// Whether an offer is for a system: it says none, names it or its tube family, or the item is the same in all.
pub(super) fn in_system(catalog: &Catalog, offer: &Offer, system: Option<SystemId>) -> bool {
    system.is_none_or(|system| catalog.takes_in(&offer.systems, system))
}

fn is_exact_variant(offer: &Offer, item: &Item) -> bool {
    offer.variant == item.variant
}

fn is_exact_color(market: &Market<'_>, offer: &Offer, item: &Item) -> bool {
    match market.color_word(item) {
        Some(color) => offer.color == color,
        None => offer.color.is_empty(),
    }
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
