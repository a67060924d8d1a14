//! What is there before anything is bought: choices that are held, and stock on the shelf, found for each item.
//!
//! Stock that fits several items goes to the first in the order shown, then to the next.

use std::cmp::Ordering;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::Market;
use super::building::Built;
use super::lot::Lot;
use super::matching::{describes, find_lot};
use crate::estimate::item::{Item, Items};
use crate::estimate::order::OfferId;
use crate::ground::name::{fold, natural};
use crate::ground::{Length, LengthUnit};
use crate::trade::{MeantFor, OnHand, Pack, PricedPer, SoldAs, SystemId, Word};

/// What stands before the parts in the table `held` where a fitting is built.
const BUILT_FROM: &str = "built from ";

/// A choice that is held for an item.
pub(super) struct Held {
    /// The row of the table `held`, by its index.
    pub(super) row: usize,
    /// The lot it keeps; nothing where the offer cannot be bought for the item now.
    pub(super) lot: Option<Lot>,
    /// What it is built from, folded, where it is held that it is built.
    pub(super) built: Option<String>,
    /// So many packs; nothing where the row leaves it open.
    pub(super) packs: Option<u64>,
    /// Whether of the smallest packs too so many are bought, even where fewer would do.
    pub(super) at_least: bool,
}

/// The choices held for an item in one alternative, each offer once (the last row counts). The day of an offer is not
/// judged: it was chosen. Where rows name the alternative, those that name none do not count. A row that names none but a
/// system speaks of an item without one in the alternative of that system only.
pub(super) fn held(market: &Market<'_>, alternative: SystemId, item: &Item) -> Vec<Held> {
    let own = market.catalog.system(alternative).name;
    let mut rows = rows(market, alternative, item);
    if rows.iter().any(|(_, held)| held.alternative == own) {
        rows.retain(|(_, held)| held.alternative == own);
    }
    let kept = |(row, held): (usize, &crate::trade::Held)| {
        let wanted = fold(&held.offer);
        let offers = market.offers_called(item).iter().copied();
        let mut offers: Vec<OfferId> = offers.filter(|id| fold(&market.kept_as(*id)) == wanted).collect();
        offers.sort_by(|a, b| market.in_order(*a, *b));
        let lot = offers.into_iter().find_map(|id| find_lot(market, id, item));
        let at_least = fold(&held.plan) == "at least";
        let built = wanted.starts_with(BUILT_FROM).then_some(wanted);
        Held { row, lot, built, packs: held.packs.map(u64::from), at_least }
    };
    let mut choices: Vec<Held> = Vec::new();
    for choice in rows.into_iter().map(kept) {
        let offer = |held: &Held| held.lot.as_ref().map(|lot| lot.offer);
        if offer(&choice).is_some() {
            choices.retain(|held| offer(held) != offer(&choice));
        }
        choices.push(choice);
    }
    choices
}

/// The rows of the table `held` that speak of an item in one alternative, whether they count or not.
pub(super) fn rows<'a>(
    market: &Market<'a>,
    alternative: SystemId,
    item: &Item,
) -> Vec<(usize, &'a crate::trade::Held)> {
    let own = market.catalog.system(alternative).name;
    let speaks = |held: &crate::trade::Held| {
        let systems: &[Word] = if held.system.is_empty() { &[] } else { &[held.system] };
        let meant_for = MeantFor { systems, variant: held.variant, color: held.color };
        let of_alternative = match held.alternative {
            Word::EMPTY => item.system.is_some() || market.catalog.takes_in(systems, alternative),
            named => named == own,
        };
        !held.in_error && of_alternative && describes(market, held.part, &held.sizes, &meant_for, item)
    };
    market.job.held.iter().enumerate().filter(|(_, held)| speaks(held)).collect()
}

/// What is left of the stock on the shelf, row by row.
#[derive(Clone)]
pub(super) struct Shelf {
    left: Vec<Decimal>,
}

/// So much stock for an item.
pub(super) struct Stock {
    /// The row of the table `on hand`, by its index.
    pub(super) row: usize,
    /// Pieces or an amount; of tube, how many lengths.
    pub(super) quantity: Decimal,
    /// Of tube, how long each is.
    pub(super) length: Option<Length>,
}

impl Market<'_> {
    /// The lengths of a tube that are on hand, each with how many there are, before any is cut.
    pub(crate) fn lengths_on_hand(&self, item: &Item) -> Vec<(Length, Decimal)> {
        let stock = Shelf::of(self).stock(self, item);
        stock.into_iter().filter_map(|stock| Some((stock.length?, stock.quantity))).collect()
    }
}

impl Shelf {
    pub(super) fn of(market: &Market<'_>) -> Self {
        let there = market.job.on_hand.iter();
        let left = there.map(|stock| if stock.in_error { Decimal::ZERO } else { stock.quantity });
        Self { left: left.collect() }
    }

    /// What is still there for an item.
    pub(super) fn stock(&self, market: &Market<'_>, item: &Item) -> Vec<Stock> {
        let rows = market.job.on_hand.iter().enumerate().filter(|(row, stock)| {
            let (systems, variant, color) = (&*stock.systems, stock.variant, stock.color);
            let meant_for = MeantFor { systems, variant, color };
            self.left[*row] > Decimal::ZERO && describes(market, stock.part, &stock.sizes, &meant_for, item)
        });
        let mut rows: Vec<_> = rows.collect();
        rows.sort_by(|(_, one), (_, other)| in_order(market, one, other));
        let stock = rows
            .into_iter()
            .map(|(row, stock)| Stock { row, quantity: self.left[row], length: stock.length })
            .filter(|stock| stock.length.is_some() == item.is_length());
        stock.collect()
    }

    /// Leaves no more than so much on a row.
    pub(super) fn leave(&mut self, row: usize, quantity: Decimal) {
        if let Some(left) = self.left.get_mut(row) {
            *left = quantity.min(*left).max(Decimal::ZERO);
        }
    }

    /// Takes so much off a row.
    pub(super) fn take(&mut self, row: usize, quantity: Decimal) {
        if let Some(left) = self.left.get_mut(row) {
            *left = left.checked_sub(quantity).unwrap_or_default().max(Decimal::ZERO);
        }
    }
}

/// Which of two rows of stock is used first: by what they name, whatever the order of rows.
fn in_order(market: &Market<'_>, one: &OnHand, other: &OnHand) -> Ordering {
    let text = |word: &Word| market.lexicon.text(*word);
    let words = |stock: &OnHand| {
        let words = [stock.part].into_iter().chain(stock.sizes.iter().copied());
        words.chain(stock.systems.iter().copied()).chain([stock.variant, stock.color]).collect::<Vec<_>>()
    };
    let (first, second) = (words(one), words(other));
    let pairs = first.iter().zip(&second).map(|(one, other)| natural(text(one), text(other)));
    pairs
        .fold(Ordering::Equal, Ordering::then)
        .then(first.len().cmp(&second.len()))
        .then(one.length.cmp(&other.length))
        .then(one.quantity.cmp(&other.quantity))
}

/// Lengths on the shelf that a plan may cut, and the rows they come from.
pub(super) fn lengths(stock: &[Stock]) -> Vec<(usize, Length, u64)> {
    let lengths = stock.iter().filter_map(|stock| {
        let number = stock.quantity.trunc().to_u64().filter(|number| *number > 0)?;
        Some((stock.row, stock.length.filter(|length| *length > Length::ZERO)?, number))
    });
    lengths.collect()
}

impl Market<'_> {
    /// How the table `held` says that a fitting is built, and from what.
    pub fn built_as(&self, items: &Items, built: &Built) -> String {
        built_from(&super::building::words(self, items, built))
    }

    /// How the table `held` names an offer of an item: supplier, how it is sold, and its code where it has one.
    /// `Fennwick Supply, coil of 100 ft, F-4121`.
    pub fn kept_as(&self, id: OfferId) -> String {
        let offer = self.offer(id);
        let sold = match (offer.sold_as, offer.pack) {
            (SoldAs::Each, _) => match offer.per {
                PricedPer::Length(_) => String::from("loose"),
                PricedPer::Each | PricedPer::Pack | PricedPer::Many(_) => String::from("each"),
            },
            (sold_as, pack) => format!("{} of {}", way(sold_as), holds(pack)),
        };
        let mut text = format!("{}, {sold}", self.lexicon.text(offer.supplier));
        if !offer.code.is_empty() {
            text.push_str(", ");
            text.push_str(&offer.code);
        }
        text
    }
}

/// How the table `held` says what a fitting is built from.
pub(super) fn built_from(parts: &str) -> String {
    format!("{BUILT_FROM}{parts}")
}

fn way(sold_as: SoldAs) -> &'static str {
    match sold_as {
        SoldAs::Coil => "coil",
        SoldAs::Stick => "stick",
        SoldAs::Bag => "bag",
        SoldAs::Each => "each",
    }
}

fn holds(pack: Pack) -> String {
    match pack {
        Pack::Count(count) => count.to_string(),
        Pack::Amount(amount) => amount.normalize().to_string(),
        Pack::Length(length) => {
            // In whichever unit is the rounder.
            let metres = length.nanometres() % LengthUnit::Foot.nanometres() != 0;
            let unit = if metres { LengthUnit::Metre } else { LengthUnit::Foot };
            format!("{} {}", length.shown(unit).normalize(), unit.abbreviation())
        }
    }
}
