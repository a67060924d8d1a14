//! What comes near an item that nobody sells, and what sold parts could make it.
//!
//! Only for notices: nothing here is bought. A fitting is made from one sold in larger sizes with reducing couplings
//! in its ports, at most two to a port; of all ways the one with the fewest couplings, then the first offer.

use super::Market;
use super::matching::{fits, is_tee, normal, out_of_date};
use crate::estimate::item::Item;
use crate::estimate::order::OfferId;
use crate::estimate::ranking::sizes_text;
use crate::ground::name::natural;
use crate::trade::{Class, Fit, Offer, PartId, UsedAs, Word};

/// Reducing couplings between a port and the size wanted.
const DEEPEST: usize = 2;
/// How many offers a notice names.
const NAMED: usize = 3;

/// Offers of the same part in another size, another system, variant or color: the nearest first.
pub(super) fn nearest(market: &Market<'_>, item: &Item) -> Vec<OfferId> {
    let part = market.catalog.part(item.part);
    let wanted = normal(part, item.sizes.as_slice());
    let mut near: Vec<(bool, usize, OfferId)> = Vec::new();
    for &id in market.offers_called(item) {
        let offer = market.offer(id);
        let offered = normal(part, &offer.sizes);
        let other = wanted.iter().filter(|size| !offered.contains(size)).count()
            + wanted.len().abs_diff(offered.len());
        near.push((!fits(market, offer, item), other, id));
    }
    near.sort_unstable();
    near.into_iter().take(NAMED).map(|(_, _, id)| id).collect()
}

/// What sold parts could make a fitting, in words: `tee 1 x 1 x 3/4 with reducing couplings 1 x 3/4, 3/4 x 1/2`.
pub(super) fn recipe(market: &Market<'_>, item: &Item) -> Option<String> {
    if item.class != Class::Fitting || item.sizes.as_slice().is_empty() {
        return None;
    }
    let reducers = reducers(market, item);
    let part = market.catalog.part(item.part);
    if let ([large, small], true) = (item.sizes.as_slice(), part.used_as.contains(&UsedAs::ReducingCoupling))
    {
        let (large, small) = in_order(market, item, *large, *small);
        let chain = chain(market, item, &reducers, large, small)?;
        return (chain.len() > 1).then(|| called_couplings(market, &chain));
    }
    let wanted = written_out(market, item, item.sizes.as_slice());
    let mut best: Option<Recipe> = None;
    for &id in market.offers_called(item) {
        let offer = market.offer(id);
        if !is_sold(market, item, offer) {
            continue;
        }
        let offered = written_out(market, item, &offer.sizes);
        for base in in_both_ways(market, item, &offered) {
            let Some(couplings) = couplings(market, item, &reducers, &base, &wanted) else { continue };
            if best.as_ref().is_none_or(|best| couplings.len() < best.couplings.len()) {
                best = Some(Recipe { base: id, sizes: offered.clone(), couplings });
            }
        }
    }
    let best = best.filter(|best| !best.couplings.is_empty())?;
    let name = market.lexicon.text(market.offer(best.base).part);
    let sizes = sizes_text(market.lexicon, &best.sizes);
    Some(format!("{name} {sizes} with {}", called_couplings(market, &best.couplings)))
}

/// A sold fitting and the reducing couplings that make another of it.
struct Recipe {
    base: OfferId,
    sizes: Vec<Word>,
    couplings: Vec<(Word, Word)>,
}

/// Whether an offer can be bought for the item's system on the day.
pub(super) fn is_sold(market: &Market<'_>, item: &Item, offer: &Offer) -> bool {
    !offer.in_error && fits(market, offer, item) && out_of_date(market.terms.date, offer).is_none()
}

/// The sizes of all ports: a tee's three, another part's as they are, one size for each port where one is written.
pub(super) fn written_out(market: &Market<'_>, item: &Item, sizes: &[Word]) -> Vec<Word> {
    let part = market.catalog.part(item.part);
    match (sizes, is_tee(part)) {
        ([one], true) => vec![*one; 3],
        ([run, branch], true) => vec![*run, *run, *branch],
        ([one], false) => vec![*one; part.ports.len().max(1)],
        _ => sizes.to_vec(),
    }
}

/// A tee may be turned about: its runs change places.
pub(super) fn in_both_ways(market: &Market<'_>, item: &Item, sizes: &[Word]) -> Vec<Vec<Word>> {
    match (is_tee(market.catalog.part(item.part)), sizes) {
        (true, [first, second, branch]) => {
            vec![vec![*first, *second, *branch], vec![*second, *first, *branch]]
        }
        _ => vec![sizes.to_vec()],
    }
}

/// The reducing couplings that turn the ports of a sold part into those wanted; nothing where one port cannot be.
fn couplings(
    market: &Market<'_>,
    item: &Item,
    reducers: &[(Word, Word)],
    base: &[Word],
    wanted: &[Word],
) -> Option<Vec<(Word, Word)>> {
    if base.len() != wanted.len() {
        return None;
    }
    let mut all = Vec::new();
    for (at, (sold, size)) in base.iter().zip(wanted).enumerate() {
        if sold != size && !takes_couplings(market, item, at) {
            return None;
        }
        all.extend(chain(market, item, reducers, *sold, *size)?);
    }
    Some(all)
}

/// Whether a reducing coupling goes into a port, by its place among the sizes: a socket takes one, a thread does not.
pub(super) fn takes_couplings(market: &Market<'_>, item: &Item, at: usize) -> bool {
    let ports = &market.catalog.part(item.part).ports;
    ports.get(at).is_some_and(|port| matches!(port.fit, Fit::Joint(_)))
}

/// The fewest reducing couplings from a larger size to a smaller one, at most [`DEEPEST`].
fn chain(
    market: &Market<'_>,
    item: &Item,
    reducers: &[(Word, Word)],
    large: Word,
    small: Word,
) -> Option<Vec<(Word, Word)>> {
    if large == small {
        return Some(Vec::new());
    }
    if in_order(market, item, large, small) != (large, small) {
        return None;
    }
    if reducers.contains(&(large, small)) {
        return Some(vec![(large, small)]);
    }
    let through = reducers.iter().filter(|(from, _)| DEEPEST > 1 && *from == large);
    let middle = through.map(|(_, to)| *to).find(|to| reducers.contains(&(*to, small)))?;
    Some(vec![(large, middle), (middle, small)])
}

/// All chains of reducing couplings that are sold, at most [`DEEPEST`] in one, from one size to another: the larger
/// first. One empty chain where the sizes are the same; none where the first is the smaller.
pub(super) fn chains(market: &Market<'_>, item: &Item, large: Word, small: Word) -> Vec<Vec<(Word, Word)>> {
    if large == small {
        return vec![Vec::new()];
    }
    if in_order(market, item, large, small) != (large, small) {
        return Vec::new();
    }
    let sold = reducers(market, item);
    let direct = sold.iter().filter(|pair| **pair == (large, small)).map(|pair| vec![*pair]);
    let first = sold.iter().filter(|(from, to)| *from == large && *to != small);
    let through = first.filter(|(_, middle)| sold.contains(&(*middle, small)));
    direct.chain(through.map(|pair| vec![*pair, (pair.1, small)])).collect()
}

/// Reducing couplings sold for the item's system, larger size first, each once by the text of their sizes.
fn reducers(market: &Market<'_>, item: &Item) -> Vec<(Word, Word)> {
    let Some(system) = item.system else { return Vec::new() };
    let parts: Vec<PartId> = market.catalog.parts_used_as(UsedAs::ReducingCoupling, system).collect();
    let is_reducer = |offer: &&Offer| {
        market.catalog.parts_called_or_used(offer.part).iter().any(|part| parts.contains(part))
    };
    let mut pairs = Vec::new();
    for offer in market.job.prices.offers.iter().filter(is_reducer) {
        if let [first, second] = offer.sizes[..]
            && is_sold(market, item, offer)
        {
            let pair = in_order(market, item, first, second);
            if !pairs.contains(&pair) {
                pairs.push(pair);
            }
        }
    }
    let text = |word: Word| market.lexicon.text(word);
    pairs.sort_by(|a, b| natural(text(a.0), text(b.0)).then_with(|| natural(text(a.1), text(b.1))));
    pairs
}

/// Two sizes, the larger of the item's tube first.
fn in_order(market: &Market<'_>, item: &Item, a: Word, b: Word) -> (Word, Word) {
    let tube = item.system.map_or(Word::EMPTY, |system| market.catalog.system(system).tube);
    if market.catalog.order(tube, a) >= market.catalog.order(tube, b) { (a, b) } else { (b, a) }
}

fn called_couplings(market: &Market<'_>, couplings: &[(Word, Word)]) -> String {
    let sizes: Vec<String> =
        couplings.iter().map(|(large, small)| sizes_text(market.lexicon, &[*large, *small])).collect();
    match sizes.len() {
        1 => format!("a reducing coupling {}", sizes[0]),
        _ => format!("reducing couplings {}", sizes.join(" and ")),
    }
}
