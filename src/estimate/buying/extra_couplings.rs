//! Extra couplings: those that cut plans add to the takeoff or spare, and what their joints consume, as plus or minus on
//! the order (rule 25 of counting). The takeoff keeps its own couplings.

use rust_decimal::Decimal;

use super::lot::{Lot, Sold};
use super::{Market, matching};
use crate::estimate::labor;
use crate::estimate::takeoff::{JointKind, Need};
use crate::estimate::{Item, ItemId, Items};
use crate::trade::{Class, PartId, SystemId, UsedAs, Word};

/// What the plans add to each item, or with a minus spare of it; `couplings` is what each tube's plan adds.
pub(super) fn added(
    market: &Market<'_>,
    items: &Items,
    couplings: &[(ItemId, i64)],
) -> Vec<(ItemId, Decimal)> {
    let mut sums: Vec<(ItemId, Decimal)> = Vec::new();
    for (tube, count) in couplings.iter().filter(|(_, count)| *count != 0) {
        let tube = *items.get(*tube);
        let (Some(system), [size]) = (tube.system, tube.sizes.as_slice()) else { continue };
        for (item, each) in asked_by_a_coupling(market, items, system, *size) {
            let more = each.saturating_mul(Decimal::from(*count));
            add(&mut sums, item, more);
        }
    }
    sums
}

/// A coupling and what its two joints consume: each item with how much of it.
fn asked_by_a_coupling(
    market: &Market<'_>,
    items: &Items,
    system: SystemId,
    size: Word,
) -> Vec<(ItemId, Decimal)> {
    let coupling = market.catalog.parts_used_as(UsedAs::Coupling, system).next();
    let coupling = coupling.and_then(|part| item_of(items, part, system, size));
    let joints = asked_by_joints(market, items, system, size, 2);
    coupling.into_iter().map(|id| (id, Decimal::ONE)).chain(joints).collect()
}

/// What so many joints consume: each item with how much of it.
pub(super) fn asked_by_joints(
    market: &Market<'_>,
    items: &Items,
    system: SystemId,
    size: Word,
    joints: u32,
) -> Vec<(ItemId, Decimal)> {
    let asks = market.joints.asks(market.catalog, JointKind::Tube, (system, size), joints);
    asks.into_iter().filter_map(|(item, amount)| Some((items.find(&item)?, amount))).collect()
}

fn item_of(items: &Items, part: PartId, system: SystemId, size: Word) -> Option<ItemId> {
    items.ids().find(|id| is_item(items.get(*id), part, system, size))
}

/// What a joint between two parts of a piece costs, in cents: its coupling and what its two ends consume at the least
/// price of each, and their labor where hours and wages are said. What nobody sells costs nothing here.
pub(super) fn price_of_a_joint(market: &Market<'_>, items: &Items, tube: &Item) -> Decimal {
    let (Some(system), [size]) = (tube.system, tube.sizes.as_slice()) else { return Decimal::ZERO };
    let each = |(item, amount): (ItemId, Decimal)| {
        let lots = matching::find(market, items.get(item)).lots;
        let least = lots.iter().filter_map(for_one).min().unwrap_or_default();
        least.saturating_mul(amount)
    };
    let sum = asked_by_a_coupling(market, items, system, *size).into_iter().map(each);
    let labor = labor::price_of_a_joint(market.job, system, *size).unwrap_or_default();
    let labor = labor.saturating_mul(Decimal::TWO);
    sum.fold(labor, Decimal::saturating_add)
}

/// The price of one piece, or one unit of an amount, where the first pack or piece is bought.
fn for_one(lot: &Lot) -> Option<Decimal> {
    let first = lot.tiers.first()?.price;
    match lot.sold {
        Sold::Packs(holds) => first.checked_div(holds),
        Sold::Pieces(per) => first.checked_div(Decimal::from(per)),
        Sold::Lengths(_) | Sold::ByLength(_) => None,
    }
}

fn is_item(item: &Item, part: PartId, system: SystemId, size: Word) -> bool {
    item.part == part
        && item.system.is_none_or(|own| own == system)
        && (item.class == Class::Consumable || item.sizes.as_slice() == [size])
}

/// Adds to the sum of an item. What does not fit is the largest number there is, which nothing can price.
pub(super) fn add<T: PartialEq>(sums: &mut Vec<(T, Decimal)>, item: T, more: Decimal) {
    match sums.iter_mut().find(|(known, _)| *known == item) {
        Some((_, sum)) => *sum = sum.saturating_add(more),
        None => sums.push((item, more)),
    }
}

/// The needs with what is added to them; nothing is needed less than not at all. What is new is needed as early as the
/// first of those that ask for it.
pub(super) fn add_to_needs(needs: &mut Vec<Need>, sums: &[(ItemId, Decimal)], asked_by: &[Need]) {
    for (item, more) in sums {
        match needs.iter_mut().find(|need| need.item == *item) {
            Some(need) => need.quantity = need.quantity.saturating_add(*more).max(Decimal::ZERO),
            None if *more > Decimal::ZERO => {
                let phase = asked_by.first().map(|first| first.phase).unwrap_or_default();
                needs.push(Need { item: *item, quantity: *more, phase });
            }
            None => {}
        }
    }
}
