//! Marginal cost: what each way to make up a fitting adds to the order by itself, line by line at the cheapest supplier of each
//! line, in whole packs, with breaks, allowance and what is on hand; and what its joints take in labor where hours and
//! wages are said. Tube is weighed by its length, for the pieces are short. Called by [`super::make_up`], which then
//! compares whole orders.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::estimate::buying::assemblies::Way;
use crate::estimate::buying::extra_couplings::{add, asked_by_joints};
use crate::estimate::buying::locked::Locked;
use crate::estimate::buying::lot::{Lot, Sold};
use crate::estimate::buying::matching::find;
use crate::estimate::buying::shelf::Shelf;
use crate::estimate::buying::{Market, parts, price};
use crate::estimate::labor;
use crate::estimate::takeoff::{JointKind, Need, Takeoff};
use crate::estimate::{Item, ItemId, Items, RunId, Stub};
use crate::trade::{Class, Word};

/// What an alternative needs so far, and what is on the shelf for each item.
pub(super) struct Scales<'a> {
    market: &'a Market<'a>,
    takeoff: &'a Takeoff,
    needs: BTreeMap<Item, Decimal>,
    /// What the shelf has for each item that is needed, taken in the order shown.
    on_hand: BTreeMap<Item, Decimal>,
}

impl<'a> Scales<'a> {
    /// With the needs of the takeoff, in the order shown.
    pub(super) fn of(market: &'a Market<'a>, items: &Items, takeoff: &'a Takeoff, needs: &[Need]) -> Self {
        let mut scales = Self { market, takeoff, needs: BTreeMap::new(), on_hand: BTreeMap::new() };
        let mut shelf = Shelf::of(market);
        for need in needs {
            let item = *items.get(need.item);
            if item.is_length() {
                continue;
            }
            let stock = shelf.stock(market, &item);
            let there = stock.iter().fold(Decimal::ZERO, |sum, one| sum.saturating_add(one.quantity));
            let percent = market.settings.added_to(item.class, need.quantity);
            let allow = price::allowance(need.quantity, percent).unwrap_or_default();
            shelf.take(&stock, there.min(need.quantity.saturating_add(allow)));
            scales.needs.insert(item, need.quantity);
            scales.on_hand.insert(item, there);
        }
        // What nothing needs yet may be on the shelf too; it is looked up when a way asks for it.
        scales
    }

    /// How many of a fitting the shelf serves. The allowance is in what the rest is made up from.
    pub(super) fn served(&self, item: &Item) -> Decimal {
        self.shelf(item).trunc()
    }

    fn shelf(&self, item: &Item) -> Decimal {
        self.on_hand.get(item).copied().unwrap_or_else(|| {
            let stock = Shelf::of(self.market).stock(self.market, item);
            stock.iter().fold(Decimal::ZERO, |sum, one| sum.saturating_add(one.quantity))
        })
    }

    /// What the order pays for so much of an item at its cheapest supplier; nothing where nobody sells it and the shelf
    /// has less.
    fn paid(&self, item: &Item, need: Decimal) -> Option<u64> {
        let locked = Locked::of(self.market, self.takeoff.sides(), item).choices;
        let lots = match locked.is_empty() {
            true => find(self.market, item).lots,
            false => locked.into_iter().map(|choice| choice.lot).collect(),
        };
        let of = (need, self.market.settings.added_to(item.class, need), self.shelf(item));
        parts::least(self.market, item, &lots, of)
    }

    fn needed(&self, item: &Item) -> Decimal {
        self.needs.get(item).copied().unwrap_or_default()
    }

    /// What the order pays for the last so many of an item.
    pub(super) fn saved(&self, item: &Item, count: Decimal) -> Option<Decimal> {
        let all = self.needed(item);
        let rest = all.checked_sub(count)?.max(Decimal::ZERO);
        let (all, rest) = (self.paid(item, all)?, self.paid(item, rest)?);
        Some(price::from_cents(all.saturating_sub(rest)))
    }

    /// What making up so many adds to the order, and their labor; nothing where something is not to be had.
    pub(super) fn adds(&self, items: &Items, way: &Way, count: Decimal) -> Option<Decimal> {
        let mut sum = labor_of(self.market, way).checked_mul(count)?;
        for (item, each) in asked(self.market, items, way) {
            let before = self.needed(&item);
            let after = before.checked_add(each.checked_mul(count)?)?;
            // What joints consume is asked for in any case; where nobody sells it, that is said of its own line.
            let may_lack = matches!(item.class, Class::Ring | Class::Consumable);
            let paid = |need: Decimal| match self.paid(&item, need) {
                None if may_lack || need.is_zero() => Some(0),
                paid => paid,
            };
            let paid = paid(after)?.saturating_sub(paid(before)?);
            sum = sum.checked_add(price::from_cents(paid))?;
        }
        for stub in &way.stubs {
            let tube = tube_for(items, self.takeoff, None, stub)?;
            let each = length_price(&find(self.market, items.get(tube)).lots)?;
            let all = Decimal::from(stub.length.nanometres()).checked_mul(count)?;
            sum = sum.checked_add(each.checked_mul(all)?)?;
        }
        Some(sum)
    }

    /// Counts a way among the needs.
    pub(super) fn add(&mut self, items: &Items, way: &Way, count: Decimal) {
        for (item, each) in asked(self.market, items, way) {
            let need = self.needs.entry(item).or_default();
            *need = need.saturating_add(each.saturating_mul(count));
        }
    }
}

/// The parts of a way, and what its joints and threads consume: each with how much one fitting asks for.
pub(super) fn asked(market: &Market<'_>, items: &Items, way: &Way) -> Vec<(Item, Decimal)> {
    let of_joints = way.stubs.iter().flat_map(|stub| {
        let asked = asked_by_joints(market, items, stub.system, stub.size, 2);
        asked.into_iter().map(|(id, amount)| (*items.get(id), amount))
    });
    let of_spigots = way.spigots.iter().flat_map(|(system, size)| {
        let asked = asked_by_joints(market, items, *system, *size, 1);
        asked.into_iter().map(|(id, amount)| (*items.get(id), amount))
    });
    let of_thread = |thread| market.joints.asks(market.catalog, JointKind::Thread, thread, 1);
    let of_threads = way.threads.iter().copied().flat_map(of_thread);
    let parts = way.fittings.iter().map(|fitting| (*fitting, Decimal::ONE));
    let mut asked: Vec<(Item, Decimal)> = Vec::new();
    for (item, amount) in parts.chain(of_joints).chain(of_spigots).chain(of_threads) {
        add(&mut asked, item, amount);
    }
    asked
}

/// What the joints and threads of a way take in labor; nothing where hours or wages are not said.
pub(super) fn labor_of(market: &Market<'_>, way: &Way) -> Decimal {
    let of_joint = |stub: &Stub| {
        let one = labor::price_of_a_joint(market.job, stub.system, stub.size).unwrap_or_default();
        one.saturating_mul(Decimal::TWO)
    };
    let of_spigot =
        |(system, size): &(_, Word)| labor::price_of_a_joint(market.job, *system, *size).unwrap_or_default();
    let joints = way.stubs.iter().map(of_joint).chain(way.spigots.iter().map(of_spigot));
    let threads = way.threads.iter().map(|(system, size): &(_, Word)| {
        labor::price_of_a_thread(market.job, *system, *size).unwrap_or_default()
    });
    joints.chain(threads).fold(Decimal::ZERO, |sum, one| sum.saturating_add(one))
}

/// The tube that a short piece is cut from: that of its run, else one of the run's color, else the first taken up.
/// Nothing where no such tube is installed.
pub(super) fn tube_for(items: &Items, takeoff: &Takeoff, run: Option<RunId>, stub: &Stub) -> Option<ItemId> {
    let pieces = || takeoff.pieces.iter();
    let color = pieces().find(|piece| Some(piece.run) == run).map(|piece| items.get(piece.item).color);
    let fits = pieces().filter(|piece| {
        let tube = items.get(piece.item);
        tube.system == Some(stub.system) && tube.sizes.as_slice() == [stub.size]
    });
    let farther =
        fits.map(|piece| (Some(piece.run) != run, Some(items.get(piece.item).color) != color, piece.item));
    farther.min().map(|(_, _, tube)| tube)
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
