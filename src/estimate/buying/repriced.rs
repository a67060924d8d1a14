//! A pick at another price, its choice held: what the same packs of the same offer cost when the offer costs more or less.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::Market;
use super::lot::{Sold, lot};
use super::price;
use crate::estimate::item::Item;
use crate::estimate::order::Pick;

/// What a pick costs where every price of its offer is multiplied; nothing where that cannot be reckoned.
pub fn repriced(market: &Market<'_>, item: &Item, pick: &Pick, factor: Decimal) -> Option<Decimal> {
    let mut offer = market.offer(pick.offer).clone();
    offer.price = offer.price.checked_mul(factor)?;
    for (_, price) in &mut offer.breaks {
        *price = price.checked_mul(factor)?;
    }
    let lot = lot(market.lexicon, pick.offer, &offer, item).ok()?;
    let unit = market.terms.units;
    match lot.sold {
        Sold::Packs(_) | Sold::Lengths(_) => {
            price::of_packs(pick.packs, lot.tier(pick.packs.to_u64()?).price)
        }
        Sold::Pieces(per) => price::of_loose(pick.buy, lot.tier(pick.buy.to_u64()?).net, Decimal::from(per)),
        Sold::ByLength(per) => {
            let whole = crate::estimate::sold::whole_unit(per).in_units(unit);
            let count = pick.buy.checked_div(whole)?.round().to_u64()?;
            price::of_loose(pick.buy, lot.tier(count).net, per.in_units(unit))
        }
    }
}
