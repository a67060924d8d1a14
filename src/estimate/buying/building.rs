//! Building a fitting that nobody sells from what is sold (rule 25 of counting): a fitting in larger sizes with
//! reducing couplings in its ports, or reducing couplings one behind the other, a short piece of tube wherever two
//! sockets meet. The takeoff keeps the fitting; the order shows minus for it and plus for what it is built from, with
//! the joints that are more. Called by the walk before anything is bought.
//!
//! Of all ways the one that costs least by its unit prices is taken: the cheapest unit price of each part, of each
//! piece of tube and of what its joints consume; of equal ones the one with fewer parts, then the first offer. What
//! stands on the shelf, or is held, is left alone.

use std::cmp::Ordering;

use rust_decimal::Decimal;

use super::super::item::{Item, ItemId, Items, Sizes};
use super::super::needs::needs;
use super::super::takeoff::{PartOf, Piece, Takeoff};
use super::lot::{Lot, Sold};
use super::made_of::{chains, in_both_ways, is_sold, written_out};
use super::matching::{find, is_tee};
use super::{Market, by_plan, kept};
use crate::estimate::network::RunId;
use crate::estimate::ranking::called;
use crate::ground::Length;
use crate::trade::{Class, Substitutes, SystemId, UsedAs, Word};

/// A fitting that is built from others.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Built {
    /// The fitting.
    pub item: ItemId,
    /// How many are built.
    pub count: i64,
    /// What one is built from, and what the joints between it and its pieces of tube consume.
    pub of: Vec<(ItemId, Decimal)>,
    /// The short pieces of tube in one: the tube, and its length.
    pub stubs: Vec<(ItemId, Length)>,
    /// The fittings that it is built from, each with the sizes of its ports.
    pub fittings: Vec<(ItemId, Vec<Word>)>,
}

impl Built {
    /// Joints that building one adds: two at each piece of tube.
    pub fn joints(&self) -> usize {
        self.stubs.len() * 2
    }

    /// Its pieces of tube, as pieces to cut.
    pub(super) fn pieces(&self, run: RunId) -> impl Iterator<Item = Piece> {
        let copies = u32::try_from(self.count).unwrap_or(0);
        self.stubs.iter().map(move |(item, length)| Piece {
            item: *item,
            length: *length,
            run,
            copies,
            no_joint: false,
            part: PartOf::Itself,
        })
    }
}

/// What is built in an alternative. Items that only building needs are taken up.
pub fn build(market: &Market<'_>, items: &mut Items, takeoff: &Takeoff) -> Vec<Built> {
    if market.terms.substitutes == Substitutes::None {
        return Vec::new();
    }
    let mut built = Vec::new();
    for need in needs(market.catalog, items, market.terms.units, &takeoff.lines) {
        let item = *items.get(need.item);
        let Some(system) = item.system.filter(|_| item.class == Class::Fitting) else { continue };
        let shelf = kept::Shelf::of(market);
        if !kept::held(market, takeoff.system, &item).is_empty() || !shelf.stock(market, &item).is_empty() {
            continue;
        }
        let sold = unit_price(&find(market, &item).lots);
        let allowed = match market.terms.substitutes {
            Substitutes::None => false,
            Substitutes::Needed => sold.is_none(),
            Substitutes::Cheaper => true,
        };
        let way = allowed.then(|| cheapest(market, items, takeoff, (need.item, &item), system)).flatten();
        let Some((_, way)) = way.filter(|(cost, _)| sold.is_none_or(|sold| *cost < sold)) else { continue };
        let count = i64::try_from(need.quantity.trunc().mantissa()).unwrap_or(0);
        if count > 0 {
            built.push(taken_up(market, items, takeoff, (need.item, count), system, &way));
        }
    }
    built
}

/// One way to build a fitting.
struct Way {
    /// The fitting that others stand in; nothing where couplings alone do.
    base: Option<Vec<Word>>,
    couplings: Vec<(Word, Word)>,
    /// The sizes of the pieces of tube between sockets.
    stubs: Vec<Word>,
}

/// The cheapest way, by unit prices.
fn cheapest(
    market: &Market<'_>,
    items: &Items,
    takeoff: &Takeoff,
    (id, item): (ItemId, &Item),
    system: SystemId,
) -> Option<(Decimal, Way)> {
    let mut best: Option<(Decimal, usize, Way)> = None;
    for way in ways(market, item, items.get(id).sizes) {
        let Some(cost) = cost(market, items, takeoff, item, system, &way) else { continue };
        let parts = way.couplings.len();
        let is_better = best
            .as_ref()
            .is_none_or(|(least, fewest, _)| cost.cmp(least).then(parts.cmp(fewest)) == Ordering::Less);
        if is_better {
            best = Some((cost, parts, way));
        }
    }
    best.map(|(cost, _, way)| (cost, way))
}

/// All ways, by the offers of the price list.
fn ways(market: &Market<'_>, item: &Item, sizes: Sizes) -> Vec<Way> {
    let part = market.catalog.part(item.part);
    if let ([first, second], true) = (sizes.as_slice(), part.used_as.contains(&UsedAs::ReducingCoupling)) {
        let chains = chains(market, item, *first, *second);
        let several = chains.into_iter().filter(|chain| chain.len() > 1);
        return several
            .map(|couplings| Way {
                base: None,
                stubs: couplings.iter().skip(1).map(|(large, _)| *large).collect(),
                couplings,
            })
            .collect();
    }
    let wanted = written_out(market, item, sizes.as_slice());
    let mut all = Vec::new();
    for &id in market.offers_called(item) {
        let offer = market.offer(id);
        if !is_sold(market, item, offer) {
            continue;
        }
        for base in in_both_ways(market, item, &written_out(market, item, &offer.sizes)) {
            if base.len() == wanted.len() {
                all.extend(in_ports(market, item, &base, &wanted));
            }
        }
    }
    all
}

/// The ways to bring each port of a sold fitting to the size wanted.
fn in_ports(market: &Market<'_>, item: &Item, base: &[Word], wanted: &[Word]) -> Vec<Way> {
    let mut ways = vec![Way { base: Some(base.to_vec()), couplings: Vec::new(), stubs: Vec::new() }];
    for (sold, size) in base.iter().zip(wanted) {
        let chains = chains(market, item, *sold, *size);
        let mut longer = Vec::new();
        for way in &ways {
            for chain in &chains {
                let mut couplings = way.couplings.clone();
                couplings.extend(chain);
                let mut stubs = way.stubs.clone();
                stubs.extend(chain.iter().map(|(large, _)| *large));
                longer.push(Way { base: way.base.clone(), couplings, stubs });
            }
        }
        ways = longer;
    }
    ways.retain(|way| !way.couplings.is_empty());
    ways
}

/// What one costs by the unit prices of all that is in it; nothing where something is not sold.
fn cost(
    market: &Market<'_>,
    items: &Items,
    takeoff: &Takeoff,
    item: &Item,
    system: SystemId,
    way: &Way,
) -> Option<Decimal> {
    let mut sum = Decimal::ZERO;
    for fitting in fittings(market, item, system, way) {
        sum = sum.checked_add(unit_price(&find(market, &fitting).lots)?)?;
    }
    let least = market.catalog.system(system).least_piece;
    for size in &way.stubs {
        let tube = tube_of(items, takeoff, system, *size)?;
        let price = length_price(&find(market, items.get(tube)).lots)?;
        sum = sum.checked_add(price.checked_mul(Decimal::from(least.nanometres()))?)?;
        for (consumed, amount) in by_plan::asked_by_joints(market, items, system, *size, 2) {
            let price = unit_price(&find(market, items.get(consumed)).lots).unwrap_or_default();
            sum = sum.checked_add(price.checked_mul(amount)?)?;
        }
    }
    Some(sum)
}

/// The fittings of a way, as items.
fn fittings(market: &Market<'_>, item: &Item, system: SystemId, way: &Way) -> Vec<Item> {
    let tee = is_tee(market.catalog.part(item.part));
    let mut fittings: Vec<Item> = Vec::new();
    fittings.extend(way.base.as_ref().map(|sizes| Item { sizes: Sizes::of(sizes, tee), ..*item }));
    let coupling = market.catalog.parts_used_as(UsedAs::ReducingCoupling, system).next();
    for (large, small) in &way.couplings {
        let sizes = Sizes::of(&[*large, *small], false);
        fittings.extend(coupling.map(|part| Item { part, sizes, ..*item }));
    }
    fittings
}

/// Takes up the items of a way.
fn taken_up(
    market: &Market<'_>,
    items: &mut Items,
    takeoff: &Takeoff,
    (id, count): (ItemId, i64),
    system: SystemId,
    way: &Way,
) -> Built {
    let item = *items.get(id);
    let mut of: Vec<(ItemId, Decimal)> = Vec::new();
    let mut parts = Vec::new();
    for fitting in fittings(market, &item, system, way) {
        let id = items.id(fitting);
        by_plan::add(&mut of, id, Decimal::ONE);
        parts.push((id, written_out(market, &fitting, fitting.sizes.as_slice())));
    }
    let least = market.catalog.system(system).least_piece;
    let mut stubs = Vec::new();
    for size in &way.stubs {
        if let Some(tube) = tube_of(items, takeoff, system, *size) {
            stubs.push((tube, least));
        }
        for (consumed, amount) in by_plan::asked_by_joints(market, items, system, *size, 2) {
            by_plan::add(&mut of, consumed, amount);
        }
    }
    Built { item: id, count, of, stubs, fittings: parts }
}

/// The tube of a size that is installed, the first taken up: short pieces are cut from it.
fn tube_of(items: &Items, takeoff: &Takeoff, system: SystemId, size: Word) -> Option<ItemId> {
    let of = |piece: &Piece| {
        let tube = items.get(piece.item);
        tube.system == Some(system) && tube.sizes.as_slice() == [size]
    };
    takeoff.pieces.iter().filter(|piece| of(piece)).map(|piece| piece.item).min()
}

/// The cheapest price of one, or of one unit of what joints consume.
fn unit_price(lots: &[Lot]) -> Option<Decimal> {
    let price = |lot: &Lot| {
        let price = lot.tiers[0].price;
        match lot.sold {
            Sold::Packs(holds) => price.checked_div(holds),
            Sold::Pieces(per) => price.checked_div(Decimal::from(per)),
            Sold::Lengths(_) | Sold::ByLength(_) => None,
        }
    };
    lots.iter().filter_map(price).min()
}

/// The cheapest price of a nanometre of tube.
fn length_price(lots: &[Lot]) -> Option<Decimal> {
    let price = |lot: &Lot| match lot.sold {
        Sold::Lengths(length) | Sold::ByLength(length) => {
            lot.tiers[0].price.checked_div(Decimal::from(length.nanometres()))
        }
        Sold::Packs(_) | Sold::Pieces(_) => None,
    };
    lots.iter().filter_map(price).min()
}

/// What a fitting is built from, in words: `tee 3/4 x 3/4 x 3/4 and reducing coupling 3/4 x 1/2`.
pub(super) fn words(market: &Market<'_>, items: &Items, built: &Built) -> String {
    let names: Vec<String> =
        built.fittings.iter().map(|(id, _)| called(market.lexicon, market.catalog, items.get(*id))).collect();
    match names.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        Some((last, _)) => last.clone(),
        None => String::new(),
    }
}

#[cfg(test)]
#[path = "building_tests.rs"]
mod tests;
