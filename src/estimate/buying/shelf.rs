//! The shelf: stock that is there before anything is bought, found for each item. Asking takes from a copy of it.
//!
//! Stock that fits several items goes to the first in the order shown, then to the next.

use std::cmp::Ordering;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::Market;
use super::matching::describes;
use crate::estimate::Item;
use crate::ground::Length;
use crate::trade::{MeantFor, OnHand};

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

impl Stock {
    /// Lengths that a plan may cut: how long, and how many.
    pub(super) fn lengths(&self) -> Option<(Length, u64)> {
        let number = self.quantity.trunc().to_u64().filter(|number| *number > 0)?;
        Some((self.length.filter(|length| *length > Length::ZERO)?, number))
    }
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

    /// Takes so much off the rows of stock, the first row first.
    pub(super) fn take(&mut self, stock: &[Stock], mut quantity: Decimal) {
        for one in stock {
            let here = one.quantity.min(quantity);
            self.leave(one.row, one.quantity - here);
            quantity -= here;
        }
    }
}

/// Which of two rows of stock is used first: by what they name, whatever the order of rows.
fn in_order(market: &Market<'_>, one: &OnHand, other: &OnHand) -> Ordering {
    let words = |stock: &OnHand| {
        let words = [stock.part].into_iter().chain(stock.sizes.iter().copied());
        words.chain(stock.systems.iter().copied()).chain([stock.variant, stock.color]).collect::<Vec<_>>()
    };
    market
        .compare(&words(one), &words(other))
        .then(one.length.cmp(&other.length))
        .then(one.quantity.cmp(&other.quantity))
}
