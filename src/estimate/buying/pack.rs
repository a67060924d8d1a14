//! Pieces and amounts: the cheapest packs and loose goods of each supplier, or the packs that are held. Who sells is
//! decided for all lines together.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::kept::Held;
use super::lot::{Lot, Sold, is_counted_each};
use super::{Ask, Desk, Doubt, Market, NotPriced, price, share_out};
use crate::estimate::item::Item;
use crate::estimate::order::{OrderLine, Pick};
use crate::ground::money::round_up;
use crate::ground::name::natural;
use crate::search::packs::combinations;
use crate::search::packs::{Cover, Kind, Loose, cover, floor};
use crate::trade::Word;

/// What is left to buy of a need, as counted by the search.
struct Rest {
    need: Decimal,
    allow: Decimal,
    /// The two together in whole pieces, or in millionths of an amount.
    units: u64,
    /// Units in one: 1 for pieces, 1,000,000 for amounts.
    scale: u64,
}

/// What becomes of an item that is counted in pieces or by amount, before it is known who sells it.
pub(super) enum Quoted<'a> {
    /// Nothing is left to decide: the shelf gives all, the choice is held, or it is not priced.
    Settled(Box<OrderLine>),
    /// What each supplier asks.
    Open(Box<Open<'a>>),
}

/// An item and what each supplier asks for it.
pub(super) struct Open<'a> {
    pub(super) ask: Ask<'a>,
    line: OrderLine,
    rest: Rest,
    /// By name of the supplier; none empty.
    pub(super) offers: Vec<Offered>,
}

/// The cheapest packs of one supplier.
pub(super) struct Offered {
    pub(super) supplier: Word,
    lots: Vec<Lot>,
    kinds: Vec<Kind>,
    loose: Vec<Loose>,
    pub(super) cover: Cover,
    /// Nothing costs less at this supplier, in cents.
    pub(super) bound: u64,
}

/// Asks every supplier for one item. Takes off the shelf what it gives.
pub(super) fn quote<'a>(desk: &mut Desk<'_>, ask: Ask<'a>) -> Quoted<'a> {
    let is_amount = !is_counted_each(desk.market.lexicon, ask.item);
    let allow = match is_amount {
        true => price::allowance_of_amount(ask.need, ask.allowance),
        false => price::allowance(ask.need, ask.allowance),
    };
    let Some((line, rest)) = allow.and_then(|allow| rest_to_buy(&ask, allow, is_amount)) else {
        desk.not_priced(&ask, NotPriced::TooLarge);
        return Quoted::Settled(Box::new(ask.line(Decimal::ZERO, Decimal::ZERO)));
    };
    take_from_shelf(desk, &ask, line.on_hand);
    if rest.units == 0 {
        return Quoted::Settled(Box::new(OrderLine { extended: Some(Decimal::ZERO), ..line }));
    }
    if !ask.held.is_empty() {
        return Quoted::Settled(Box::new(held(desk, &ask, line, &rest)));
    }
    if ask.lots.is_empty() {
        desk.not_priced(&ask, ask.no_offer());
        return Quoted::Settled(Box::new(line));
    }
    let offers = offers(desk, &ask, &rest);
    if offers.is_empty() {
        desk.not_priced(&ask, NotPriced::TooLarge);
        return Quoted::Settled(Box::new(line));
    }
    Quoted::Open(Box::new(Open { ask, line, rest, offers }))
}

impl Offered {
    /// All ways to cover the rest that cost no more than so many cents.
    fn ways(&self, rest: &Rest, most: u64) -> Option<Vec<Cover>> {
        combinations(rest.units, &self.kinds, &self.loose, most)
    }
}

impl Open<'_> {
    /// What so many cents and packs at one supplier are: every way that costs no more than `most`.
    pub(super) fn ways(&self, supplier: Word, most: u64) -> Option<Vec<(u64, u64)>> {
        let offered = self.offers.iter().find(|offered| offered.supplier == supplier)?;
        let ways = offered.ways(&self.rest, most)?;
        Some(ways.into_iter().map(|way| (way.cents, way.packs)).collect())
    }

    /// Buys it at one supplier for so many cents: the cheapest there, or more where an order must reach its least.
    pub(super) fn settle(self, desk: &mut Desk<'_>, supplier: Word, cents: u64) -> OrderLine {
        let Self { ask, line, rest, offers } = self;
        let Some(offered) = offers.into_iter().find(|offered| offered.supplier == supplier) else {
            desk.not_priced(&ask, NotPriced::NoUsableOffer);
            return line;
        };
        if !offered.cover.proven {
            desk.notice_offer(ask.id, offered.lots[0].offer, Doubt::PacksTooOdd);
        }
        let cover = match cents == offered.cover.cents {
            true => None,
            false => {
                offered.ways(&rest, cents).and_then(|ways| ways.into_iter().find(|way| way.cents == cents))
            }
        };
        let picks = picks(&offered.lots, &cover.unwrap_or(offered.cover));
        complete(desk, &ask, line, picks, &rest)
    }
}

/// The line with what the shelf gives, and what is left to buy.
fn rest_to_buy(ask: &Ask<'_>, allow: Decimal, is_amount: bool) -> Option<(OrderLine, Rest)> {
    let wanted = ask.need.checked_add(allow)?;
    let mut on_hand = Decimal::ZERO;
    for stock in &ask.on_hand {
        on_hand = on_hand.checked_add(stock.quantity)?;
    }
    let on_hand = on_hand.min(wanted);
    // The shelf gives to the need first.
    let need = ask.need - on_hand.min(ask.need);
    let allow_left = allow - (on_hand - (ask.need - need));
    let scale = if is_amount { 1_000_000 } else { 1 };
    let units = round_up((need + allow_left).checked_mul(Decimal::from(scale))?).to_u64()?;
    Some((ask.line(allow, on_hand), Rest { need, allow: allow_left, units, scale }))
}

/// The least that a need in points of allowance costs at any supplier, what is on hand taken off, in cents; nothing
/// where something is to be bought and nobody sells it.
pub(super) fn least(
    market: &Market<'_>,
    item: &Item,
    lots: &[Lot],
    (need, points, on_hand): (Decimal, Decimal, Decimal),
) -> Option<u64> {
    let is_amount = !is_counted_each(market.lexicon, item);
    let allow = match is_amount {
        true => price::allowance_of_amount(need, points)?,
        false => price::allowance(need, points)?,
    };
    let scale = if is_amount { 1_000_000 } else { 1 };
    let rest = need.checked_add(allow)?.checked_sub(on_hand)?.max(Decimal::ZERO);
    let units = round_up(rest.checked_mul(Decimal::from(scale))?).to_u64()?;
    if units == 0 {
        return Some(0);
    }
    let of_supplier = |supplier: Word| {
        let lots = without_dearer_doubles(lots.iter().filter(|lot| lot.supplier == supplier));
        let (kinds, loose) = kinds(&lots, scale);
        cover(units, &kinds, &loose).map(|cover| cover.cents)
    };
    let mut suppliers: Vec<Word> = lots.iter().map(|lot| lot.supplier).collect();
    suppliers.sort_unstable();
    suppliers.dedup();
    suppliers.into_iter().filter_map(of_supplier).min()
}

/// Takes so much off the rows of stock, the first row first.
fn take_from_shelf(desk: &mut Desk<'_>, ask: &Ask<'_>, mut taken: Decimal) {
    for stock in &ask.on_hand {
        let here = stock.quantity.min(taken);
        desk.shelf.take(stock.row, here);
        taken -= here;
    }
}

/// The cheapest packs of every supplier, by name.
fn offers(desk: &Desk<'_>, ask: &Ask<'_>, rest: &Rest) -> Vec<Offered> {
    let mut suppliers: Vec<_> = ask.lots.iter().map(|lot| lot.supplier).collect();
    suppliers.sort_by(|a, b| {
        natural(desk.market.lexicon.text(*a), desk.market.lexicon.text(*b)).then_with(|| a.cmp(b))
    });
    suppliers.dedup();
    let of_supplier = |supplier: Word| {
        let lots = without_dearer_doubles(ask.lots.iter().filter(|lot| lot.supplier == supplier));
        let (kinds, loose) = kinds(&lots, rest.scale);
        let cover = cover(rest.units, &kinds, &loose)?;
        let bound =
            if cover.proven { cover.cents } else { floor(rest.units, &kinds, &loose).min(cover.cents) };
        Some(Offered { supplier, lots, kinds, loose, cover, bound })
    };
    suppliers.into_iter().filter_map(of_supplier).collect()
}

/// Lots without those that hold as much as another and cost no less at any number: packs first, larger packs before
/// smaller, then loose goods, each in the order found.
fn without_dearer_doubles<'l>(lots: impl Iterator<Item = &'l Lot>) -> Vec<Lot> {
    let rank = |lot: &Lot| match lot.sold {
        Sold::Packs(holds) => (0, -holds),
        Sold::Lengths(_) | Sold::Pieces(_) | Sold::ByLength(_) => (1, Decimal::ZERO),
    };
    let mut lots: Vec<&Lot> = lots.collect();
    // The sort is stable: of equal ones the first stays first.
    lots.sort_by_key(|lot| rank(lot));
    let dearer = |(at, lot): (usize, &&Lot), (other, than): (usize, &&Lot)| {
        lot.sold == than.sold
            && lot.tiers.len() == 1
            && (than.tiers[0].price, other) < (lot.tiers[0].price, at)
    };
    let all = || lots.iter().enumerate();
    let kept = all().filter(|lot| !all().any(|other| dearer(*lot, other)));
    kept.map(|(_, lot)| (*lot).clone()).collect()
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

/// What was chosen, as picks: larger packs first, loose goods last.
fn picks(lots: &[Lot], cover: &Cover) -> Vec<(Lot, u64)> {
    let packs = lots.iter().filter(|lot| matches!(lot.sold, Sold::Packs(_))).zip(&cover.counts);
    let mut picks: Vec<(Lot, u64)> = packs.map(|(lot, count)| (lot.clone(), *count)).collect();
    if let Some((which, quantity)) = cover.loose
        && let Some(lot) = lots.iter().filter(|lot| matches!(lot.sold, Sold::Pieces(_))).nth(which)
    {
        picks.push((lot.clone(), quantity));
    }
    picks.retain(|(_, count)| *count > 0);
    picks
}

/// The packs that are held: the larger as they are, the smallest fills the rest.
fn held(desk: &mut Desk<'_>, ask: &Ask<'_>, line: OrderLine, rest: &Rest) -> OrderLine {
    let mut packs: Vec<(Lot, Decimal)> = Vec::new();
    for held in &ask.held {
        packs.extend(held.lot.clone().map(|lot| (lot, Decimal::from(held.packs.unwrap_or(0)))));
    }
    let holds = |lot: &Lot| match lot.sold {
        Sold::Packs(holds) => holds,
        Sold::Pieces(_) | Sold::Lengths(_) | Sold::ByLength(_) => Decimal::ZERO,
    };
    packs.sort_by(|(a, _), (b, _)| {
        holds(b).cmp(&holds(a)).then_with(|| desk.market.in_order(a.offer, b.offer))
    });
    let Some((smallest, larger)) = packs.split_last() else {
        desk.not_priced(ask, NotPriced::NoUsableOffer);
        return line;
    };
    let filled = || {
        let mut left = rest.need.checked_add(rest.allow)?;
        for (lot, count) in larger {
            left = left.checked_sub(holds(lot).checked_mul(*count)?)?;
        }
        let left = left.max(Decimal::ZERO);
        let one = holds(&smallest.0);
        let count = if one.is_zero() { left } else { left.checked_div(one)? };
        let is_it = |held: &&Held| held.lot.as_ref().is_some_and(|lot| lot.offer == smallest.0.offer);
        let at_least = ask.held.iter().find(is_it).is_some_and(|held| held.at_least);
        let count = if at_least { count.max(smallest.1) } else { count };
        let mut picks: Vec<(Lot, u64)> =
            larger.iter().map(|(lot, count)| Some((lot.clone(), count.to_u64()?))).collect::<Option<_>>()?;
        picks.push((smallest.0.clone(), round_up(count).to_u64()?));
        Some(picks)
    };
    match filled() {
        Some(picks) => complete(desk, ask, line, picks, rest),
        None => {
            desk.not_priced(ask, NotPriced::TooLarge);
            line
        }
    }
}

/// The line with its picks and their sum.
fn complete(
    desk: &mut Desk<'_>,
    ask: &Ask<'_>,
    line: OrderLine,
    chosen: Vec<(Lot, u64)>,
    rest: &Rest,
) -> OrderLine {
    let unit = desk.market.terms.units;
    let picks: Option<Vec<Pick>> = chosen.iter().map(|(lot, count)| pick(lot, *count, unit)).collect();
    let sum = picks
        .as_ref()
        .and_then(|picks| picks.iter().try_fold(Decimal::ZERO, |sum, pick| sum.checked_add(pick.extended)));
    let (Some(mut picks), Some(sum)) = (picks, sum) else {
        desk.not_priced(ask, NotPriced::TooLarge);
        return line;
    };
    share_out(&mut picks, rest.need, rest.allow);
    OrderLine { picks, extended: Some(sum), ..line }
}

/// So many of one lot at the price that this number gets.
fn pick(lot: &Lot, count: u64, unit: crate::ground::LengthUnit) -> Option<Pick> {
    let tier = lot.tier(count);
    let packs = Decimal::from(count);
    let extended = match lot.sold {
        Sold::Pieces(per) => price::of_loose(packs, tier.net, Decimal::from(per))?,
        Sold::Packs(_) | Sold::Lengths(_) | Sold::ByLength(_) => price::of_packs(packs, tier.price)?,
    };
    Some(Pick {
        offer: lot.offer,
        need: Decimal::ZERO,
        allow: Decimal::ZERO,
        packs,
        buy: packs.checked_mul(lot.holds(unit))?.normalize(),
        left_over: Decimal::ZERO,
        net: tier.net,
        price: tier.price,
        extended,
    })
}
