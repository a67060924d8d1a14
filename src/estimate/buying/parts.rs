//! Pieces and amounts: the cheapest packs and loose goods of each supplier, or the packs that are locked. Who sells is
//! decided for all lines together.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::ask::{self, Ask, NotPriced, OrderBuilder, Settled, by_supplier};
use super::choosing::Asks;
use super::lot::{Lot, Sold, is_counted_each};
use super::shelf::Shelf;
use super::{Market, price};
use crate::estimate::{Item, OrderLine};
use crate::ground::LengthUnit;
use crate::ground::money::round_up;
use crate::search::packs::{Cover, Kind, Loose, combinations, cover, floor};
use crate::trade::Word;

/// What is left to buy of a need.
struct Rest {
    need: Decimal,
    allow: Decimal,
    /// The two together as the search counts them.
    units: u64,
}

/// An item and what each supplier asks for it.
pub(super) struct Open {
    line: OrderLine,
    rest: Rest,
    unit: LengthUnit,
    /// By name of the supplier; none empty.
    offers: Vec<Offered>,
}

/// The cheapest packs of one supplier.
struct Offered {
    supplier: Word,
    lots: Vec<Lot>,
    kinds: Vec<Kind>,
    loose: Vec<Loose>,
    cover: Cover,
    /// Nothing costs less at this supplier, in cents.
    bound: u64,
}

/// Asks every supplier for one item, and takes off the shelf what it gives. A line is settled at once where the shelf
/// gives all, the choice is locked, or it cannot be priced.
pub(super) fn quote(
    builder: &OrderBuilder<'_>,
    ask: &Ask<'_>,
    shelf: &mut Shelf,
) -> Result<Open, Box<Settled>> {
    let (market, unit) = (builder.market, builder.market.settings.units);
    let not_priced = |line: OrderLine, why| Err(Box::new(Settled::not_priced(line, why)));
    let Some((line, rest)) = rest_to_buy(market, ask) else {
        return not_priced(ask.line(), NotPriced::TooLarge);
    };
    shelf.take(&ask.on_hand, line.on_hand);
    if rest.units == 0 {
        return Err(Box::new(Settled::of(OrderLine { extended: Some(Decimal::ZERO), ..line })));
    }
    if !ask.locked.choices.is_empty() {
        return match locked(market, ask, &rest) {
            Some(bought) => Err(Box::new(complete(line, &bought, &rest, unit))),
            None => not_priced(line, NotPriced::TooLarge),
        };
    }
    let offers = offers(market, &ask.lots, rest.units, scale(market, ask.item));
    if offers.is_empty() {
        return not_priced(line, if ask.lots.is_empty() { ask.no_offer() } else { NotPriced::TooLarge });
    }
    Ok(Open { line, rest, unit, offers })
}

impl Open {
    /// What each supplier asks.
    pub(super) fn asks(&self) -> Vec<Asks> {
        let asks = |of: &Offered| Asks {
            supplier: of.supplier,
            cents: of.cover.cents,
            bound: of.bound,
            packs: of.cover.packs,
        };
        self.offers.iter().map(asks).collect()
    }

    fn ways_at(&self, supplier: Word, most: u64) -> Option<Vec<Cover>> {
        let of = self.offers.iter().find(|of| of.supplier == supplier)?;
        combinations(self.rest.units, &of.kinds, &of.loose, most)
    }

    /// What so many cents and packs at one supplier are: every way that costs no more than `most`.
    pub(super) fn ways(&self, supplier: Word, most: u64) -> Option<Vec<(u64, u64)>> {
        Some(self.ways_at(supplier, most)?.into_iter().map(|way| (way.cents, way.packs)).collect())
    }

    /// Buys it at one supplier for so many cents: the cheapest there, or more where an order must reach its minimum.
    pub(super) fn settle(&self, (supplier, cents): (Word, u64)) -> Settled {
        let line = self.line.clone();
        let Some(of) = self.offers.iter().find(|of| of.supplier == supplier) else {
            return Settled::not_priced(line, NotPriced::NoUsableOffer);
        };
        let more = match cents == of.cover.cents {
            true => None,
            false => self.ways_at(supplier, cents).into_iter().flatten().find(|way| way.cents == cents),
        };
        let bought = bought(&of.lots, more.as_ref().unwrap_or(&of.cover));
        let too_odd = (!of.cover.proven).then_some(of.lots[0].offer);
        Settled { too_odd, ..complete(line, &bought, &self.rest, self.unit) }
    }
}

/// Units in one of an item, as the search counts them: 1 of a piece, 1,000,000 of an amount.
fn scale(market: &Market<'_>, item: &Item) -> u64 {
    if is_counted_each(market.lexicon, item) { 1 } else { 1_000_000 }
}

/// What an allowance in percent adds to a need.
fn allowed(scale: u64, need: Decimal, percent: Decimal) -> Option<Decimal> {
    match scale {
        1 => price::allowance(need, percent),
        _ => price::allowance_of_amount(need, percent),
    }
}

fn units(quantity: Decimal, scale: u64) -> Option<u64> {
    round_up(quantity.checked_mul(Decimal::from(scale))?).to_u64()
}

/// The line with what the shelf gives, and what is left to buy.
fn rest_to_buy(market: &Market<'_>, ask: &Ask<'_>) -> Option<(OrderLine, Rest)> {
    let scale = scale(market, ask.item);
    let allow = allowed(scale, ask.need, ask.allowance)?;
    let wanted = ask.need.checked_add(allow)?;
    let there = ask.on_hand.iter().try_fold(Decimal::ZERO, |sum, one| sum.checked_add(one.quantity))?;
    let on_hand = there.min(wanted);
    let (need, left) = ask::rest(ask.need, allow, on_hand);
    let units = units(need + left, scale)?;
    Some((OrderLine { allow, on_hand, ..ask.line() }, Rest { need, allow: left, units }))
}

/// The least that a need and its allowance cost at any supplier, what is on hand taken off, in cents; nothing where
/// something is to be bought and nobody sells it.
pub(super) fn least(
    market: &Market<'_>,
    item: &Item,
    lots: &[Lot],
    (need, percent, on_hand): (Decimal, Decimal, Decimal),
) -> Option<u64> {
    let scale = scale(market, item);
    let wanted = need.checked_add(allowed(scale, need, percent)?)?;
    match units(wanted.checked_sub(on_hand)?.max(Decimal::ZERO), scale)? {
        0 => Some(0),
        units => offers(market, lots, units, scale).iter().map(|of| of.cover.cents).min(),
    }
}

/// The cheapest packs of every supplier, by name.
fn offers(market: &Market<'_>, lots: &[Lot], units: u64, scale: u64) -> Vec<Offered> {
    let of_supplier = |lots: Vec<Lot>| {
        let lots = without_dearer_doubles(&lots);
        let (kinds, loose) = kinds(&lots, scale);
        let cover = cover(units, &kinds, &loose)?;
        let bound = if cover.proven { cover.cents } else { floor(units, &kinds, &loose).min(cover.cents) };
        Some(Offered { supplier: lots[0].supplier, lots, kinds, loose, cover, bound })
    };
    by_supplier(market, lots).into_iter().filter_map(of_supplier).collect()
}

/// Lots without those that hold as much as another and cost no less at any number: packs first, larger packs before
/// smaller, then loose goods, each in the order found.
fn without_dearer_doubles(lots: &[Lot]) -> Vec<Lot> {
    let mut lots: Vec<&Lot> = lots.iter().collect();
    // The sort is stable: of equal ones the first stays first.
    lots.sort_by_key(|lot| (!matches!(lot.sold, Sold::Packs(_)), -holds(lot)));
    let dearer = |(at, lot): (usize, &&Lot), (other, than): (usize, &&Lot)| {
        lot.sold == than.sold
            && lot.tiers.len() == 1
            && (than.tiers[0].price, other) < (lot.tiers[0].price, at)
    };
    let all = || lots.iter().enumerate();
    let kept = all().filter(|lot| !all().any(|other| dearer(*lot, other)));
    kept.map(|(_, lot)| (*lot).clone()).collect()
}

/// What a pack holds; nothing of loose goods.
fn holds(lot: &Lot) -> Decimal {
    match lot.sold {
        Sold::Packs(holds) => holds,
        Sold::Pieces(_) | Sold::Lengths(_) | Sold::ByLength(_) => Decimal::ZERO,
    }
}

/// Lots as the search counts them; the order of packs and of loose goods is that of the lots.
fn kinds(lots: &[Lot], scale: u64) -> (Vec<Kind>, Vec<Loose>) {
    let (mut kinds, mut loose) = (Vec::new(), Vec::new());
    for lot in lots {
        match lot.sold {
            Sold::Packs(holds) => {
                let units = holds.checked_mul(Decimal::from(scale)).and_then(|units| units.to_u64());
                let tiers = lot.tiers.iter().map(|tier| (tier.from, price::cents(tier.price).unwrap_or(0)));
                kinds.push(Kind { holds: units.unwrap_or(u64::MAX).max(1), tiers: tiers.collect() });
            }
            Sold::Pieces(per) => {
                let net = |net: Decimal| (net * Decimal::from(10_000)).to_u64().unwrap_or(u64::MAX);
                let tiers = lot.tiers.iter().map(|tier| (tier.from, net(tier.net)));
                loose.push(Loose { tiers: tiers.collect(), per });
            }
            // Tube goes through the cut plan.
            Sold::Lengths(_) | Sold::ByLength(_) => {}
        }
    }
    (kinds, loose)
}

/// What was chosen, with how many: larger packs first, loose goods last.
fn bought(lots: &[Lot], cover: &Cover) -> Vec<(Lot, u64)> {
    let packs =
        lots.iter().filter(|lot| matches!(lot.sold, Sold::Packs(_))).zip(cover.counts.iter().copied());
    let mut loose = lots.iter().filter(|lot| matches!(lot.sold, Sold::Pieces(_)));
    let loose = cover.loose.and_then(|(which, quantity)| Some((loose.nth(which)?, quantity)));
    let chosen = packs.chain(loose).filter(|(_, count)| *count > 0);
    chosen.map(|(lot, count)| (lot.clone(), count)).collect()
}

/// The packs that are locked: the larger as they are, the smallest fills the rest.
fn locked(market: &Market<'_>, ask: &Ask<'_>, rest: &Rest) -> Option<Vec<(Lot, u64)>> {
    let mut choices: Vec<_> = ask.locked.choices.iter().collect();
    choices.sort_by(|a, b| {
        holds(&b.lot).cmp(&holds(&a.lot)).then_with(|| market.in_order(a.lot.offer, b.lot.offer))
    });
    let (smallest, larger) = choices.split_last()?;
    let mut left = rest.need.checked_add(rest.allow)?;
    let mut bought = Vec::new();
    for choice in larger {
        let packs = choice.packs.unwrap_or(0);
        left = left.checked_sub(holds(&choice.lot).checked_mul(Decimal::from(packs))?)?;
        bought.push((choice.lot.clone(), packs));
    }
    let left = left.max(Decimal::ZERO);
    let one = holds(&smallest.lot);
    let count = if one.is_zero() { left } else { left.checked_div(one)? };
    let least = smallest.packs.filter(|_| smallest.at_least).unwrap_or(0);
    bought.push((smallest.lot.clone(), round_up(count).to_u64()?.max(least)));
    Some(bought)
}

/// The line with what is bought and its sum.
fn complete(line: OrderLine, bought: &[(Lot, u64)], rest: &Rest, unit: LengthUnit) -> Settled {
    let priced = ask::picks(bought, unit, (rest.need, rest.allow)).and_then(|picks| {
        let sum = picks.iter().try_fold(Decimal::ZERO, |sum, pick| sum.checked_add(pick.extended))?;
        Some((picks, sum))
    });
    match priced {
        Some((picks, sum)) => Settled::of(OrderLine { picks, extended: Some(sum), ..line }),
        None => Settled::not_priced(line, NotPriced::TooLarge),
    }
}
