//! What else serves a line of an order: the other offers for its item, and what the line would cost from each of them
//! alone. Nothing is decided by it; the workbook watches these sums when prices are edited.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::Market;
use super::lot::{Lot, Sold};
use super::matching;
use crate::estimate::{Item, OfferId, OrderLine};
use crate::ground::Length;
use crate::ground::money::round_up;

/// Another offer that serves a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rival {
    /// The offer.
    pub offer: OfferId,
    /// What the line costs from it alone.
    pub costs: Decimal,
}

/// The other offers that serve a line which is bought, the cheapest first. Of tube in whole lengths those count that are no
/// shorter than the longest length bought: so many of them hold the same pieces. How many shorter ones the pieces need
/// would be another cut plan.
pub fn rivals(market: &Market<'_>, item: &Item, line: &OrderLine) -> Vec<Rival> {
    if line.picks.is_empty() {
        return Vec::new();
    }
    let lots = matching::find(market, item).lots;
    let chosen = |lot: &&Lot| line.picks.iter().any(|pick| pick.offer == lot.offer);
    let longest = lots.iter().filter(chosen).map(Lot::length).max().unwrap_or(Length::ZERO);
    let packs: Decimal = line.picks.iter().map(|pick| pick.packs).sum();
    let rival = |lot: &Lot| {
        let count = match lot.sold {
            Sold::Packs(holds) => round_up(line.to_buy().checked_div(holds)?),
            Sold::Pieces(_) => round_up(line.to_buy()),
            Sold::Lengths(length) if longest > Length::ZERO && length >= longest => packs,
            Sold::Lengths(_) | Sold::ByLength(_) => return None,
        };
        let costs = lot.pick(count.to_u64()?, market.settings.units)?.extended;
        Some(Rival { offer: lot.offer, costs })
    };
    let others = lots.iter().filter(|lot| line.picks.len() > 1 || !chosen(lot));
    let mut rivals: Vec<Rival> = others.filter_map(rival).collect();
    rivals.sort_by(|a, b| a.costs.cmp(&b.costs).then_with(|| market.in_order(a.offer, b.offer)));
    rivals
}
