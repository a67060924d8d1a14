//! Items of two estimates set against each other: what more and what less is needed of each, what is bought for it,
//! and what quantities and prices each moved.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::Side;
use super::named::{Key, Named};
use crate::estimate::OrderLine;
use crate::estimate::buying::Market;
use crate::estimate::ranking;
use crate::ground::LengthUnit;
use crate::ground::money::round_half_away;

/// What became of an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// It was not there before.
    Added,
    /// It is not there now.
    Dropped,
    /// More or less of it is needed.
    Changed,
    /// As much is needed, and it is bought otherwise or at another price.
    Bought,
    /// Nothing.
    Same,
}

impl What {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Added => "added",
            Self::Dropped => "dropped",
            Self::Changed => "changed",
            Self::Bought => "bought otherwise",
            Self::Same => "same",
        }
    }
}

/// So many packs of one offer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PackOf {
    /// Who sells it, how, and its code.
    pub offer: String,
    /// How many.
    pub packs: Decimal,
    /// The price of one, or the net price of loose goods.
    pub price: Decimal,
    /// Whether unopened packs may go back, where the list says so.
    pub returnable: Option<bool>,
}

/// An item on one side.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OfSide {
    /// What is installed.
    pub need: Decimal,
    /// What is bought.
    pub buy: Decimal,
    /// What it costs; nothing where it is not priced.
    pub cost: Option<Decimal>,
    /// What it is bought by.
    pub packs: Vec<PackOf>,
}

/// Packs of one offer before and now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PackChange {
    /// The offer.
    pub offer: String,
    /// How many before.
    pub old: Decimal,
    /// How many now.
    pub new: Decimal,
    /// Whether unopened packs may go back, where the list says so.
    pub returnable: Option<bool>,
}

/// An item before and now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ItemChange {
    /// The item.
    pub named: Named,
    /// Before.
    pub old: Option<OfSide>,
    /// Now, at the old prices.
    pub same_prices: Option<OfSide>,
    /// Now.
    pub new: Option<OfSide>,
    /// What quantities moved, at the old prices.
    pub by_quantity: Decimal,
    /// Whether the old prices do not name it, so that its quantity is taken at the new ones.
    pub at_new_prices: bool,
    /// What prices moved, at the new quantities.
    pub by_price: Decimal,
    /// What came into the sums or left them because it has a price on one side alone.
    pub by_unpriced: Decimal,
}

impl ItemChange {
    /// What became of it.
    pub fn what(&self) -> What {
        match (&self.old, &self.new) {
            (None, _) => What::Added,
            (_, None) => What::Dropped,
            (Some(old), Some(new)) if old.need != new.need => What::Changed,
            (Some(old), Some(new)) if old != new => What::Bought,
            (Some(_), Some(_)) => What::Same,
        }
    }

    /// The new side at the old prices; at its own where the old prices do not name it.
    pub fn now(&self) -> &Option<OfSide> {
        if self.same_prices.is_some() { &self.same_prices } else { &self.new }
    }

    /// How much more is needed, whatever the prices; below zero where less is.
    pub fn more(&self) -> Decimal {
        need(self.same_prices.as_ref()) - need(self.old.as_ref())
    }

    /// How much more is bought at the old prices.
    pub fn more_bought(&self) -> Decimal {
        let bought = |side: &Option<OfSide>| side.as_ref().map_or(Decimal::ZERO, |side| side.buy);
        bought(&self.same_prices) - bought(&self.old)
    }

    /// Whether it is an add: more is needed, or as much costs more for its pieces differ.
    pub fn is_add(&self) -> bool {
        let more = self.more();
        more > Decimal::ZERO || more.is_zero() && self.by_quantity > Decimal::ZERO
    }

    /// Whether it is a deduct: less is needed, or as much costs less for its pieces differ.
    pub fn is_deduct(&self) -> bool {
        let more = self.more();
        more < Decimal::ZERO || more.is_zero() && self.by_quantity < Decimal::ZERO
    }

    /// Whether it has no price on a side where it is needed.
    pub fn is_not_priced(&self) -> bool {
        [&self.old, &self.new].into_iter().flatten().any(|side| side.cost.is_none())
    }

    /// Whether more or less of it is needed and that costs nothing: the same is bought.
    pub fn is_covered(&self) -> bool {
        !self.more().is_zero() && self.by_quantity.is_zero() && self.more_bought().is_zero()
    }

    /// Packs whose number changed with the quantities, at the old prices.
    pub fn packs(&self) -> Vec<PackChange> {
        let now = if self.at_new_prices { &self.new } else { &self.same_prices };
        let of = |side: &Option<OfSide>| side.as_ref().map_or(Vec::new(), |side| side.packs.clone());
        let mut changes: BTreeMap<String, PackChange> = BTreeMap::new();
        for (packs, is_old) in [(of(&self.old), true), (of(now), false)] {
            for pack in packs {
                let change = changes.entry(pack.offer.clone()).or_insert_with(|| PackChange {
                    offer: pack.offer.clone(),
                    old: Decimal::ZERO,
                    new: Decimal::ZERO,
                    returnable: pack.returnable,
                });
                match is_old {
                    true => change.old += pack.packs,
                    false => change.new += pack.packs,
                }
            }
        }
        changes.into_values().filter(|change| change.old != change.new).collect()
    }
}

fn need(side: Option<&OfSide>) -> Decimal {
    side.map_or(Decimal::ZERO, |side| side.need)
}

/// An item on three sides: the side and item that it is sorted by, what each side has of it, and its name.
type Met = (usize, usize, [Option<OfSide>; 3], Named);

/// All items of either side, in the order shown.
pub(super) fn changes(old: Side<'_>, same_prices: Side<'_>, new: Side<'_>) -> Vec<ItemChange> {
    let unit = new.job.settings.units;
    let sides = [old, same_prices, new];
    let keys = sides.map(|side| ranking::keys(&side.job.lexicon, &side.job.catalog, &side.estimate.items));
    let mut all: BTreeMap<Key, Met> = BTreeMap::new();
    for (at, side) in sides.into_iter().enumerate() {
        let market = Market::open(side.job);
        for line in side.chosen().map_or(&[][..], |chosen| &chosen.order) {
            let named = Named::of(side.job, side.estimate.items.get(line.item), unit);
            let item = line.item.0 as usize;
            let entry = all.entry(named.key()).or_insert_with(|| (at, item, [None, None, None], named));
            entry.2[at] = Some(of_side(side, &market, line, unit));
        }
    }
    let mut all: Vec<_> = all.into_values().collect();
    all.sort_by(|a, b| ranking::compare(&keys[a.0][a.1], &keys[b.0][b.1]));
    all.into_iter().map(|(_, _, sides, named)| change(named, sides)).collect()
}

fn of_side(side: Side<'_>, market: &Market<'_>, line: &OrderLine, unit: LengthUnit) -> OfSide {
    let is_length = side.estimate.items.get(line.item).is_length();
    let own = side.job.settings.units;
    let told = |quantity: Decimal| match is_length && own != unit {
        true => {
            let (above, below) = (Decimal::from(own.nanometres()), Decimal::from(unit.nanometres()));
            let told = quantity.checked_mul(above).and_then(|much| much.checked_div(below));
            round_half_away(told.unwrap_or(quantity), 6).normalize()
        }
        false => quantity.normalize(),
    };
    let packs = line.picks.iter().map(|pick| PackOf {
        offer: market.kept_as(pick.offer),
        packs: pick.packs.normalize(),
        price: pick.price.normalize(),
        returnable: side.job.prices.offers.get(pick.offer.0 as usize).and_then(|offer| offer.returnable),
    });
    OfSide {
        need: told(line.need),
        buy: told(line.picks.iter().map(|pick| pick.buy).sum()),
        cost: line.extended,
        packs: packs.collect(),
    }
}

/// What quantities, prices and missing prices each moved. The three are the whole difference.
fn change(named: Named, [old, same_prices, new]: [Option<OfSide>; 3]) -> ItemChange {
    // What is not needed costs nothing; what is not priced has no cost at all.
    let cost = |side: &Option<OfSide>| side.as_ref().map_or(Some(Decimal::ZERO), |side| side.cost);
    let (was, between, is) = (cost(&old), cost(&same_prices), cost(&new));
    let mut change = ItemChange {
        named,
        by_quantity: Decimal::ZERO,
        at_new_prices: false,
        by_price: Decimal::ZERO,
        by_unpriced: Decimal::ZERO,
        old,
        same_prices,
        new,
    };
    match (was, between, is) {
        (Some(was), Some(between), Some(is)) => {
            change.by_quantity = between - was;
            change.by_price = is - between;
        }
        (Some(was), None, Some(is)) => {
            change.by_quantity = is - was;
            change.at_new_prices = true;
        }
        (was, _, is) => change.by_unpriced = is.unwrap_or_default() - was.unwrap_or_default(),
    }
    change
}
