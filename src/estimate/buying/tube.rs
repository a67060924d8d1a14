//! Tube at one supplier: coils and sticks by the cut plan, or loose by its length; whichever costs less. Every supplier
//! is asked by [`super::tube_quotes`].
//!
//! All coils and sticks of one supplier go into one plan; which breaks of their prices are reached is decided by
//! [`super::tube_breaks`]. The plan replaces the allowance of length unless the job says otherwise; loose tube has no
//! plan and takes the allowance. Pieces longer than every length of a supplier are joined, each joint at what its coupling
//! and its ends cost.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::by_plan::price_of_a_joint;
use super::cuts::{Cuts, Spare, couplings_of_takeoff, cuts, cuttings};
use super::kept::lengths;
use super::lot::{Lot, Sold};
use super::{Ask, Desk, NotPriced, price, share_out, tube_breaks};
use crate::estimate::cutting::{CutOrder, JoinOrder, JoinedPlan, NoPlan, Stock, USUAL_EFFORT, plan_joined};
use crate::estimate::item::Items;
use crate::estimate::order::{OrderLine, Pick, TubePlan};
use crate::estimate::sold::whole_unit;
use crate::estimate::takeoff::{PartOf, Piece};
use crate::ground::money::{round_half_away, round_up};
use crate::ground::name::natural;
use crate::ground::{Length, LengthUnit};
use crate::trade::{CutTerms, System, TubeAllowance};

/// The most steps for the plan of one tube of a house at one supplier, a second or two: nearly every house takes less than a
/// hundredth of them, and those that take more are mostly proven by them.
pub(super) const EFFORT: u64 = USUAL_EFFORT / 5;
/// The same where many orders are only compared, and where pieces are joined: those plans are seldom proven by more.
pub(super) const COMPARED: u64 = USUAL_EFFORT / 20;
/// More pieces of one tube than a large house has. Beyond, effort is that of an order that is only compared and falls with
/// the square of the pieces, and sticks are cut to the sixteenth of an inch above: a whole street is planned well, and the
/// plan says how far from proven.
const HOUSE: u64 = 1_000;
/// A sixteenth of an inch.
const SIXTEENTH: i64 = LengthUnit::Inch.nanometres() / 16;
/// One inch, the unit that coils are cut in.
const INCH: i64 = LengthUnit::Inch.nanometres();

/// The pieces of every item, by item id.
pub(super) fn pieces_by_item(items: &Items, pieces: &[Piece]) -> Vec<Vec<Piece>> {
    let mut by_item = vec![Vec::new(); items.len()];
    for piece in pieces.iter().filter(|piece| piece.copies > 0 && piece.length > Length::ZERO) {
        // What the takeoff parts at the stock length is one piece again: the plan parts it where that costs least.
        let whole = match piece.part {
            PartOf::Itself => *piece,
            PartOf::Lengths => continue,
            PartOf::Rest(length) => Piece { length, ..*piece },
        };
        if let Some(list) = by_item.get_mut(piece.item.0 as usize) {
            list.push(whole);
        }
    }
    by_item
}

/// What is asked of every supplier.
pub(super) struct Asked<'a> {
    pub(super) ask: Ask<'a>,
    pieces: &'a [Piece],
    unit: LengthUnit,
    spare: Spare,
    /// Row, length and number of what is on the shelf.
    shelf: Vec<(usize, Length, u64)>,
    /// Couplings that the takeoff has for the same pieces.
    pub(super) of_takeoff: i64,
    /// What a cut loses.
    kerf: Length,
    /// No part of a joined piece is shorter.
    shortest: Length,
    /// What a joint costs, in cents.
    joint: u64,
    /// The most steps for one plan.
    pub(super) effort: u64,
}

impl<'a> Asked<'a> {
    /// Nothing where what the job adds does not fit.
    pub(super) fn of(desk: &Desk<'_>, ask: Ask<'a>, pieces: &'a [Piece]) -> Result<Self, Box<Ask<'a>>> {
        let joint = price::cents(price_of_a_joint(desk.market, desk.items, ask.item));
        let (Some(spare), Some(joint)) = (spare(desk, &ask), joint) else { return Err(Box::new(ask)) };
        let shelf = lengths(&ask.on_hand);
        let system = ask.item.system.map(|system| desk.market.catalog.system(system));
        let cutting = &desk.market.terms.cutting;
        Ok(Self {
            pieces,
            unit: desk.market.terms.units,
            spare,
            shelf,
            of_takeoff: couplings_of_takeoff(pieces, system.and_then(|system| system.stock_length)),
            kerf: system.map_or(Length::ZERO, |system| cutting.kerf_of(system)),
            shortest: shortest_part(cutting, system),
            joint,
            effort: desk.effort,
            ask,
        })
    }

    /// Whether a piece is longer than every length of these lots.
    pub(super) fn joins(&self, lots: &[Lot]) -> bool {
        let fits =
            |piece: &Piece, lot: &Lot| matches!(lot.sold, Sold::Lengths(length) if piece.length <= length);
        self.pieces.iter().any(|piece| !lots.iter().any(|lot| fits(piece, lot)))
    }

    /// How many large houses have so many pieces.
    fn houses(&self) -> u64 {
        let pieces = u64::try_from(self.pieces.len()).unwrap_or(u64::MAX);
        pieces.div_ceil(HOUSE).max(1)
    }
}

/// What the job says, or else the least piece of the system: nothing shorter is put between two fittings.
fn shortest_part(cutting: &CutTerms, system: Option<&System>) -> Length {
    match cutting.shortest_joined {
        Length::ZERO => system.map_or(Length::ZERO, |system| system.least_piece),
        said => said,
    }
}

/// What the job adds to the pieces of a tube; nothing where that does not fit.
fn spare(desk: &Desk<'_>, ask: &Ask<'_>) -> Option<Spare> {
    let (mut each, mut at_end) = (Decimal::ZERO, Length::ZERO);
    match desk.market.terms.tube_allowance {
        TubeAllowance::Plan => {}
        TubeAllowance::Piece => each = ask.allowance,
        TubeAllowance::End => {
            let allow = price::allowance(ask.need, ask.allowance)?;
            at_end = Length::from_decimal(allow, desk.market.terms.units)?;
        }
    }
    Some(Spare { each, at_end })
}

/// What one supplier offers for all of a tube.
pub(super) struct Offered {
    /// What the tube costs.
    pub(super) cents: u64,
    /// What the joints of its long pieces cost.
    pub(super) joining: u64,
    /// No plan of this supplier costs less, joints counted.
    pub(super) bound: u64,
    pub(super) picks: Vec<(Lot, u64)>,
    /// Nothing where the tube is bought loose.
    pub(super) cut: Option<Cut>,
}

/// A plan and what it is made from.
pub(super) struct Cut {
    cuts: Cuts,
    pub(super) plan: JoinedPlan,
    lots: Vec<Lot>,
    /// Of every stock of the plan.
    lengths: Vec<Length>,
}

impl Offered {
    /// Tube and joints.
    pub(super) fn sum(&self) -> u64 {
        self.cents.saturating_add(self.joining)
    }

    pub(super) fn count(&self) -> u64 {
        self.picks.iter().fold(0, |sum, (_, count)| sum.saturating_add(*count))
    }

    /// How many of a lot its plan opens.
    pub(super) fn opened(&self, lot: &Lot) -> u64 {
        let layouts = self.cut.iter().flat_map(|cut| cut.plan.layouts.iter().map(move |one| (cut, one)));
        let of_lot =
            layouts.filter(|(cut, one)| cut.lots.get(one.stock).is_some_and(|it| it.offer == lot.offer));
        of_lot.fold(0, |sum, (_, one)| sum.saturating_add(one.times))
    }

    /// Whether its plan is proven at the prices that it was planned with.
    pub(super) fn is_least_at_its_prices(&self) -> bool {
        self.cut.as_ref().is_none_or(|cut| cut.plan.cost == cut.plan.bound)
    }
}

/// Lots by supplier, suppliers by name.
pub(super) fn by_supplier(desk: &Desk<'_>, lots: &[Lot]) -> Vec<Vec<Lot>> {
    let text = |lot: &Lot| desk.market.lexicon.text(lot.supplier);
    let mut lots = lots.to_vec();
    lots.sort_by(|a, b| natural(text(a), text(b)));
    lots.chunk_by(|a, b| a.supplier == b.supplier).map(<[Lot]>::to_vec).collect()
}

/// What a supplier offers: all in coils and sticks, or all loose.
pub(super) fn of_supplier(asked: &Asked<'_>, lots: &[Lot], effort: u64) -> Result<Offered, NotPriced> {
    let (whole, loose): (Vec<Lot>, Vec<Lot>) =
        lots.iter().cloned().partition(|lot| matches!(lot.sold, Sold::Lengths(_)));
    let mut best: Result<Offered, NotPriced> = Err(NotPriced::NoUsableOffer);
    let loosely = loose.iter().map(|lot| by_length(asked, lot).ok_or(NotPriced::TooLarge));
    let planned = (!whole.is_empty()).then(|| tube_breaks::in_lengths(asked, &whole, effort));
    for offered in planned.into_iter().chain(loosely) {
        best = match (best, offered) {
            (Ok(best), Ok(new)) => {
                let bound = best.bound.min(new.bound);
                let better = (new.sum(), new.count()) < (best.sum(), best.count());
                Ok(Offered { bound, ..if better { new } else { best } })
            }
            (Ok(best), Err(_)) => Ok(best),
            (Err(_), offered) => offered,
        };
    }
    best
}

/// Loose tube: its length and the allowance, in whole feet or metres.
pub(super) fn by_length(asked: &Asked<'_>, lot: &Lot) -> Option<Offered> {
    let Sold::ByLength(per) = lot.sold else { return None };
    let whole = Decimal::from(whole_unit(per).nanometres());
    // The allowance is rounded up once, as everywhere: then the order's sums meet.
    let allow = price::allowance(asked.ask.need, asked.ask.allowance)?;
    let wanted = asked.ask.need.checked_add(allow)?.checked_sub(shelf_length(asked))?;
    let wanted = wanted.max(Decimal::ZERO).checked_mul(Decimal::from(asked.unit.nanometres()))?;
    let quantity = round_up(wanted.checked_div(whole)?).to_u64()?;
    let per = Decimal::from(per.nanometres());
    let cents = |quantity: u64| {
        let length = Decimal::from(quantity).checked_mul(whole)?;
        price::cents(price::of_loose(length, lot.tier(quantity).net, per)?)
    };
    let ups = lot.tiers.iter().map(|tier| if quantity == 0 { 0 } else { quantity.max(tier.from) });
    let (cents, quantity) = ups.filter_map(|quantity| Some((cents(quantity)?, quantity))).min()?;
    // Loose tube keeps the couplings of the takeoff.
    let joining = u64::try_from(asked.of_takeoff).ok()?.checked_mul(asked.joint)?;
    let bound = cents.checked_add(joining)?;
    Some(Offered { cents, joining, bound, picks: vec![(lot.clone(), quantity)], cut: None })
}

/// All of the shelf in the unit shown.
fn shelf_length(asked: &Asked<'_>) -> Decimal {
    let sum = asked.shelf.iter().fold(0_i128, |sum, (_, length, number)| {
        sum.saturating_add(i128::from(length.nanometres()).saturating_mul(i128::from(*number)))
    });
    let sum = Decimal::try_from_i128_with_scale(sum, 0).unwrap_or(Decimal::MAX);
    sum / Decimal::from(asked.unit.nanometres())
}

/// Coils or sticks that a plan may cut, at one price.
#[derive(Clone)]
pub(super) struct Sale {
    pub(super) lot: Lot,
    /// What one counts for in the plan.
    pub(super) price: Decimal,
    /// So many are there and no more; nothing where the plan says how many.
    pub(super) held: Option<u64>,
    /// Whether all that are there are bought, needed or not.
    pub(super) all: bool,
}

impl Sale {
    /// As many as the plan asks for, at the first price.
    pub(super) fn free(lot: &Lot) -> Self {
        Self { lot: lot.clone(), price: lot.tiers[0].price, held: None, all: false }
    }

    /// So many that stand there for nothing; what is opened of them is bought.
    pub(super) fn there(lot: &Lot, number: u64) -> Self {
        Self { price: Decimal::ZERO, held: Some(number), ..Self::free(lot) }
    }

    fn length(&self) -> Length {
        match self.lot.sold {
            Sold::Lengths(length) => length,
            Sold::Packs(_) | Sold::Pieces(_) | Sold::ByLength(_) => Length::ZERO,
        }
    }
}

/// One plan where each sale has one price. Two sales may be of one lot: what is held, and more of it.
pub(super) fn plan_at(asked: &Asked<'_>, sales: &[Sale], effort: u64) -> Result<Offered, NotPriced> {
    let lengths: Vec<Length> =
        sales.iter().map(Sale::length).chain(asked.shelf.iter().map(|(_, length, _)| *length)).collect();
    let longest = sales.iter().map(Sale::length).max().unwrap_or_default();
    let reach = lengths.iter().copied().max().unwrap_or_default();
    // Exact lengths where sticks are offered, else whole inches; of a whole street sixteenths.
    let coils = sales.iter().all(|sale| sale.lot.coil);
    let grid = match (coils, asked.houses() > 1) {
        (true, _) => INCH,
        (false, true) => SIXTEENTH,
        (false, false) => 1,
    };
    let cuts = cuts(asked.pieces, &asked.spare, longest, reach, grid)?;
    let effort = match (asked.houses(), cuts.long.is_empty()) {
        (1, true) => effort,
        (1, false) => effort.min(COMPARED),
        (many, _) => effort.min(COMPARED) / many.saturating_mul(many),
    };
    let units = |length: Length| u64::try_from(length.nanometres()).unwrap_or(0);
    let stock = |at: usize| {
        let number = sales.get(at).map(|sale| (price::cents(sale.price), sale.held));
        let shelf = || (Some(0), asked.shelf.get(at - sales.len()).map(|(_, _, number)| *number));
        let (price, available) = number.unwrap_or_else(shelf);
        Stock { length: units(lengths[at]), price: price.unwrap_or(0), available }
    };
    let stocks: Vec<Stock> = (0..lengths.len()).map(stock).collect();
    let whole = CutOrder { stocks: &stocks, demands: &cuts.demands, kerf: units(asked.kerf), effort };
    let order = JoinOrder { whole, long: &cuts.long, shortest: units(asked.shortest), joint: asked.joint };
    let plan = plan_joined(&order).map_err(|none| reason(none, &cuts))?;
    let mut counts = vec![0_u64; sales.len()];
    for layout in &plan.layouts {
        if let Some(count) = counts.get_mut(layout.stock) {
            *count = count.saturating_add(layout.times);
        }
    }
    let picks = picks(sales, &counts);
    let sums = picks.iter().map(|(lot, count)| price_of_so_many(lot, *count));
    let cents = sums.sum::<Option<u64>>().ok_or(NotPriced::TooLarge)?;
    let joining = plan.joints.checked_mul(asked.joint).ok_or(NotPriced::TooLarge)?;
    // Sums of tube and joints are compared from here on.
    cents.checked_add(joining).ok_or(NotPriced::TooLarge)?;
    let bound = plan.bound;
    let lots = sales.iter().map(|sale| sale.lot.clone()).collect();
    Ok(Offered { cents, joining, bound, picks, cut: Some(Cut { cuts, plan, lots, lengths }) })
}

/// What is bought of each lot, the longest first: what is held as it is, else what the plan opens, or more where a break
/// makes that cheaper.
fn picks(sales: &[Sale], opened: &[u64]) -> Vec<(Lot, u64)> {
    let mut picks: Vec<(&Sale, u64, bool)> = Vec::new();
    for (sale, opened) in sales.iter().zip(opened) {
        let held = sale.held.filter(|_| sale.all);
        let (count, more) = (held.unwrap_or(*opened), held.is_none() && *opened > 0);
        match picks.iter_mut().find(|(known, _, _)| known.lot.offer == sale.lot.offer) {
            Some((_, sum, free)) => (*sum, *free) = (sum.saturating_add(count), *free || more),
            None => picks.push((sale, count, more)),
        }
    }
    picks.retain(|(_, count, _)| *count > 0);
    picks.sort_by_key(|(sale, _, _)| std::cmp::Reverse(sale.length()));
    let bought = picks.into_iter().map(|(sale, count, free)| {
        (sale.lot.clone(), if free { least_for(&sale.lot, count) } else { count })
    });
    bought.collect()
}

fn reason(none: NoPlan, cuts: &Cuts) -> NotPriced {
    let length = |demand: Option<&crate::estimate::cutting::Demand>| {
        let units = demand.map_or(0, |demand| demand.length);
        Length::from_nanometres(i64::try_from(units).unwrap_or(i64::MAX))
    };
    match none {
        NoPlan::TooLong { demand } => NotPriced::PieceTooLong(length(cuts.demands.get(demand))),
        NoPlan::CannotJoin { long } => NotPriced::CannotJoin(length(cuts.long.get(long))),
        NoPlan::NoLength { .. } | NoPlan::NotEnoughStock | NoPlan::NotFound => NotPriced::NoUsableOffer,
        NoPlan::Overflow => NotPriced::TooLarge,
    }
}

/// So many, or as many as a break asks for where that costs less.
pub(super) fn least_for(lot: &Lot, count: u64) -> u64 {
    if count == 0 {
        return 0;
    }
    let ups = lot.tiers.iter().map(|tier| count.max(tier.from));
    ups.min_by_key(|count| (price_of_so_many(lot, *count).unwrap_or(u64::MAX), *count)).unwrap_or(count)
}

pub(super) fn price_of_so_many(lot: &Lot, count: u64) -> Option<u64> {
    price::cents(lot.tier(count).price)?.checked_mul(count)
}

/// The order line and the plan of what was chosen; `more` is what is bought where that is more than the plan asks for.
pub(super) fn finish(
    desk: &Desk<'_>,
    asked: &Asked<'_>,
    offered: &Offered,
    more: Option<(u64, Vec<(Lot, u64)>)>,
) -> Option<(OrderLine, Option<TubePlan>)> {
    let ask = &asked.ask;
    let (cents, bought) = more.unwrap_or_else(|| (offered.cents, offered.picks.clone()));
    let loose = bought.iter().any(|(lot, _)| matches!(lot.sold, Sold::ByLength(_)));
    let (allowance, allow) = match (loose, desk.market.terms.tube_allowance) {
        (true, _) => (ask.allowance, price::allowance(ask.need, ask.allowance)?),
        (false, TubeAllowance::Plan) => (Decimal::ZERO, Decimal::ZERO),
        (false, TubeAllowance::Piece) => {
            (ask.allowance, price::allowance_of_amount(ask.need, ask.allowance)?)
        }
        (false, TubeAllowance::End) => (ask.allowance, price::allowance(ask.need, ask.allowance)?),
    };
    let wanted = ask.need.checked_add(allow)?;
    let plan = offered.cut.as_ref().map(|cut| tube_plan(asked, offered, cut));
    let on_hand = match &plan {
        Some(plan) => cut_from_shelf(plan, asked.unit),
        None => shelf_length(asked),
    };
    let on_hand = on_hand.min(wanted).normalize();
    let mut picks = Vec::new();
    for (lot, count) in &bought {
        picks.push(pick(asked, lot, *count)?);
    }
    let need = ask.need - on_hand.min(ask.need);
    share_out(&mut picks, need, allow - (on_hand - (ask.need - need)));
    let line = ask.line(allow, on_hand);
    let extended = Some(price::from_cents(cents));
    Some((OrderLine { allowance, picks, extended, ..line }, plan))
}

pub(super) fn tube_plan(asked: &Asked<'_>, offered: &Offered, cut: &Cut) -> TubePlan {
    let parts = (cut.plan.parts.as_slice(), cut.plan.partings.as_slice());
    let (cuttings, joined) = cuttings(&cut.cuts, &cut.plan.layouts, parts, &cut.lots, &cut.lengths);
    let joints = i64::try_from(cut.plan.joints).unwrap_or(i64::MAX);
    TubePlan {
        item: asked.ask.id,
        cuttings,
        kerf: asked.kerf,
        joined,
        joints,
        per_joint: price::from_cents(asked.joint),
        extra_couplings: joints.saturating_sub(asked.of_takeoff),
        cost: price::from_cents(offered.sum()),
        bound: price::from_cents(offered.bound),
    }
}

/// The length of the pieces that a plan cuts from the shelf.
fn cut_from_shelf(plan: &TubePlan, unit: LengthUnit) -> Decimal {
    let from_shelf = plan.cuttings.iter().filter(|cutting| cutting.offer.is_none());
    let lengths = from_shelf.flat_map(|cutting| {
        let times = i128::from(cutting.times);
        cutting.pieces.iter().map(move |piece| {
            i128::from(piece.length.nanometres()).saturating_mul(i128::from(piece.number)) * times
        })
    });
    let sum = Decimal::try_from_i128_with_scale(lengths.sum(), 0).unwrap_or(Decimal::ZERO);
    sum / Decimal::from(unit.nanometres())
}

/// So many of one lot.
fn pick(asked: &Asked<'_>, lot: &Lot, count: u64) -> Option<Pick> {
    let tier = lot.tier(count);
    let number = Decimal::from(count);
    let (packs, buy, extended) = match lot.sold {
        Sold::ByLength(per) => {
            let length = number.checked_mul(Decimal::from(whole_unit(per).nanometres()))?;
            let quantity = length.checked_div(Decimal::from(asked.unit.nanometres()))?;
            let sum = price::of_loose(length, tier.net, Decimal::from(per.nanometres()))?;
            (quantity, quantity, sum)
        }
        Sold::Lengths(_) | Sold::Packs(_) | Sold::Pieces(_) => {
            let holds = lot.holds(asked.unit);
            (number, number.checked_mul(holds)?, price::of_packs(number, tier.price)?)
        }
    };
    Some(Pick {
        offer: lot.offer,
        need: Decimal::ZERO,
        allow: Decimal::ZERO,
        packs: packs.normalize(),
        buy: round_half_away(buy, 10).normalize(),
        left_over: Decimal::ZERO,
        net: tier.net,
        price: tier.price,
        extended,
    })
}
