//! Couplings that cut plans add to the takeoff or spare, and what their joints consume, as plus or minus on the order
//! (rule 25 of counting): the takeoff keeps its own couplings. Called by [`super::buy`] once tube is bought.

use rust_decimal::Decimal;

use super::super::item::{Color, Item, ItemId, Items, Sizes};
use super::super::labor;
use super::super::takeoff::Need;
use super::building::Built;
use super::lot::{Lot, Sold};
use super::{Market, matching};
use crate::ground::LengthUnit;
use crate::ground::money::to_cents;
use crate::trade::{Class, PartId, SystemId, UsedAs, Word};

/// What the plans add to each item, or with a minus spare of it; `couplings` is what each tube's plan adds.
pub(super) fn by_plan(
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
    let catalog = market.catalog;
    let joint = catalog.system(system).joint;
    let rows = |of: Word| catalog.joints.iter().filter(move |row| row.joint == joint && row.size == of);
    // A row for the size stands before the row for all sizes of the same part.
    let general = rows(Word::EMPTY).filter(|row| rows(size).all(|own| own.part != row.part));
    let mut asked = Vec::new();
    for row in rows(size).chain(general) {
        let part = catalog.part_called(row.part, Word::EMPTY, system);
        if let Some(item) = part.and_then(|part| item_of(items, part, system, size)) {
            asked.push((item, row.amount * Decimal::from(joints) / Decimal::from(row.per.max(1))));
        }
    }
    asked
}

/// What one threaded joint consumes: an item that is taken up already, or the one that it would be.
pub(super) fn asked_by_a_thread(
    market: &Market<'_>,
    items: &Items,
    system: SystemId,
    size: Word,
) -> Vec<(Item, Decimal)> {
    let catalog = market.catalog;
    let Some(joint) = market.lexicon.find("thread") else { return Vec::new() };
    let each = market.lexicon.find("each");
    let rows = |of: Word| catalog.joints.iter().filter(move |row| row.joint == joint && row.size == of);
    // As the takeoff reads the table: rows for the size stand instead of those for all sizes.
    let of = if rows(size).next().is_some() { size } else { Word::EMPTY };
    let mut asked = Vec::new();
    for row in rows(of) {
        let Some(part) = catalog.part_called(row.part, Word::EMPTY, system) else { continue };
        let known = item_of(items, part, system, size).map(|id| *items.get(id));
        let item = known.unwrap_or_else(|| Item {
            part,
            system: catalog.part(part).takes_system().then_some(system),
            sizes: Sizes::default(),
            variant: catalog.part(part).variant,
            color: Color::None,
            class: catalog.part(part).class,
            unit: if Some(row.unit) == each { Word::EMPTY } else { row.unit },
        });
        asked.push((item, row.amount / Decimal::from(row.per.max(1))));
    }
    asked
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
    to_cents(sum.fold(labor, |sum, one| sum.saturating_add(one)))
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

/// What building fittings adds to each item: minus the fitting, plus what it is built from.
pub(super) fn by_building(built: &[Built], unit: LengthUnit) -> Vec<(ItemId, Decimal)> {
    let mut sums = Vec::new();
    for one in built {
        let count = Decimal::from(one.count);
        add(&mut sums, one.item, -count);
        for (item, each) in &one.of {
            add(&mut sums, *item, each.saturating_mul(count));
        }
        for piece in &one.cut {
            let all = Decimal::from(piece.length.nanometres()).saturating_mul(Decimal::from(piece.copies));
            add(&mut sums, piece.item, all / Decimal::from(unit.nanometres()));
        }
    }
    sums
}

/// Adds to the sum of an item. What does not fit stays at the largest number, which nothing is priced for.
pub(super) fn add(sums: &mut Vec<(ItemId, Decimal)>, item: ItemId, more: Decimal) {
    match sums.iter_mut().find(|(known, _)| *known == item) {
        Some((_, sum)) => *sum = sum.saturating_add(more),
        None => sums.push((item, more)),
    }
}

/// The needs with what the plans add; nothing is needed less than not at all.
pub(super) fn with_plans(needs: &mut Vec<Need>, sums: &[(ItemId, Decimal)], tubes: &[Need]) {
    for (item, more) in sums {
        match needs.iter_mut().find(|need| need.item == *item) {
            Some(need) => {
                need.quantity = need.quantity.checked_add(*more).unwrap_or(need.quantity).max(Decimal::ZERO);
            }
            None if *more > Decimal::ZERO => {
                let phase = tubes.first().map(|tube| tube.phase).unwrap_or_default();
                needs.push(Need { item: *item, quantity: *more, phase });
            }
            None => {}
        }
    }
}

/// What a fitting is built from is needed no later than the fitting.
pub(super) fn no_later(needs: &mut [Need], built: &[Built], of_built: &[Need]) {
    for one in built {
        let Some(fitting) = of_built.iter().find(|need| need.item == one.item) else { continue };
        let parts = one.of.iter().map(|(item, _)| *item).chain(one.cut.iter().map(|piece| piece.item));
        for part in parts {
            for need in needs.iter_mut().filter(|need| need.item == part) {
                need.phase = need.phase.min(fitting.phase);
            }
        }
    }
}
