//! One cut plan of a tube: what is asked of every supplier, and the plan of coils and sticks where each has one price.
//! Which breaks of their prices are reached is decided by [`super::breaks`].
//!
//! The plan replaces the allowance of length unless the job says otherwise. Pieces longer than every length are joined,
//! each joint at what its coupling and its ends cost.

use rust_decimal::Decimal;

use super::cuts::{Cuts, Spare, couplings_of_takeoff, cuts, length, taken_out};
use crate::estimate::OrderLine;
use crate::estimate::buying::ask::{Ask, NotPriced, OrderBuilder};
use crate::estimate::buying::extra_couplings::price_of_a_joint;
use crate::estimate::buying::lot::Lot;
use crate::estimate::buying::price;
use crate::estimate::buying::shelf::Stock as OnHand;
use crate::estimate::takeoff::Piece;
use crate::ground::progress::{self, Work};
use crate::ground::{Length, LengthUnit};
use crate::search::cutting::{
    CutOrder, Demand, JoinOrder, JoinedPlan, NoPlan, Stock, USUAL_EFFORT, plan_joined,
};
use crate::trade::{CutSettings, System, TubeAllowance};

/// The most steps for the plan of one tube of a house at one supplier, a second or two: nearly every house takes less than a
/// hundredth of them, and those that take more are mostly proven by them.
pub(in crate::estimate::buying) const EFFORT: u64 = USUAL_EFFORT / 5;
/// The same where many orders are only compared, and where pieces are joined: those plans are seldom proven by more.
pub(in crate::estimate::buying) const COMPARED: u64 = USUAL_EFFORT / 20;
/// More pieces of one tube than a large house has. Beyond, effort is that of an order that is only compared and falls with
/// the square of the pieces, and sticks are cut to the sixteenth of an inch above: a whole street is planned well, and the
/// plan says how far from proven.
const HOUSE: u64 = 1_000;
/// A sixteenth of an inch.
const SIXTEENTH: i64 = LengthUnit::Inch.nanometres() / 16;
/// One inch, the unit that coils are cut in.
const INCH: i64 = LengthUnit::Inch.nanometres();

/// What is asked of every supplier.
pub(super) struct Asked<'a> {
    /// The line on which nothing is bought yet.
    pub(super) line: OrderLine,
    pieces: &'a [Piece],
    pub(super) unit: LengthUnit,
    /// What the job says of the allowance of tube.
    pub(super) allowance: TubeAllowance,
    spare: Spare,
    /// Length and number of what is on the shelf.
    pub(super) shelf: Vec<(Length, u64)>,
    /// What their fittings take out of them all.
    pub(super) taken_out: Length,
    /// What is needed where the pieces are cut: the need less what their fittings take out.
    pub(super) need_as_cut: Decimal,
    /// Couplings that the takeoff has for the same pieces.
    pub(super) of_takeoff: i64,
    /// What a cut loses.
    pub(super) kerf: Length,
    /// No part of a joined piece is shorter.
    shortest: Length,
    /// What a joint costs, in cents.
    pub(super) joint: u64,
    /// The most steps for one plan.
    pub(super) effort: u64,
}

impl<'a> Asked<'a> {
    /// Nothing where what the job adds does not fit.
    pub(super) fn of(builder: &OrderBuilder<'_>, ask: &Ask<'_>, pieces: &'a [Piece]) -> Option<Self> {
        let settings = builder.market.settings;
        let (unit, allowance) = (settings.units, settings.tube_allowance);
        let system = ask.item.system.map(|system| builder.market.catalog.system(system));
        let taken_out = taken_out(pieces);
        let need_as_cut = less(ask.need, taken_out, unit)?;
        Some(Self {
            line: ask.line(),
            pieces,
            unit,
            allowance,
            spare: spare(allowance, unit, (need_as_cut, ask.allowance))?,
            taken_out,
            need_as_cut,
            shelf: ask.on_hand.iter().filter_map(OnHand::lengths).collect(),
            of_takeoff: couplings_of_takeoff(pieces, system.and_then(|system| system.stock_length)),
            kerf: system.map_or(Length::ZERO, |system| settings.cutting.kerf_of(system)),
            shortest: shortest_part(&settings.cutting, system),
            joint: price::cents(price_of_a_joint(builder.market, builder.items, ask.item))?,
            effort: builder.effort,
        })
    }

    /// Whether a piece is longer than every length of these lots.
    pub(super) fn joins(&self, lots: &[Lot]) -> bool {
        let longest = lots.iter().map(Lot::length).max().unwrap_or_default();
        self.pieces.iter().any(|piece| piece.to_cut() > longest)
    }

    /// How many large houses have so many pieces.
    fn houses(&self) -> u64 {
        let pieces = u64::try_from(self.pieces.len()).unwrap_or(u64::MAX);
        pieces.div_ceil(HOUSE).max(1)
    }
}

/// What the job says, or else the least piece of the system: nothing shorter is put between two fittings.
fn shortest_part(cutting: &CutSettings, system: Option<&System>) -> Length {
    match cutting.shortest_joined {
        Length::ZERO => system.map_or(Length::ZERO, |system| system.least_piece),
        said => said,
    }
}

/// What the job adds to the pieces of a tube; nothing where that does not fit.
fn spare(allowance: TubeAllowance, unit: LengthUnit, (need, percent): (Decimal, Decimal)) -> Option<Spare> {
    let (mut each, mut at_end) = (Decimal::ZERO, Length::ZERO);
    match allowance {
        TubeAllowance::Plan => {}
        TubeAllowance::Piece => each = percent,
        TubeAllowance::End => {
            at_end = Length::from_decimal(price::allowance(need, percent)?, unit)?;
        }
    }
    Some(Spare { each, at_end })
}

/// A length of tube less another; exact where a whole number of nanometres says both.
fn less(need: Decimal, taken_out: Length, unit: LengthUnit) -> Option<Decimal> {
    if taken_out == Length::ZERO {
        return Some(need);
    }
    let unit = Decimal::from(unit.nanometres());
    let left = need.checked_mul(unit)?.round().checked_sub(Decimal::from(taken_out.nanometres()))?;
    left.checked_div(unit)
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
    pub(super) cuts: Cuts,
    pub(super) plan: JoinedPlan,
    pub(super) lots: Vec<Lot>,
    /// Of every stock of the plan: the lots, then lengths on the shelf.
    pub(super) lengths: Vec<Length>,
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
}

/// One plan where each sale has one price. Two sales may be of one lot: what is held, and more of it.
pub(super) fn plan_at(asked: &Asked<'_>, sales: &[Sale], effort: u64) -> Result<Offered, NotPriced> {
    let lengths: Vec<Length> = sales
        .iter()
        .map(|sale| sale.lot.length())
        .chain(asked.shelf.iter().map(|(length, _)| *length))
        .collect();
    let longest = sales.iter().map(|sale| sale.lot.length()).max().unwrap_or_default();
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
        let shelf = || (Some(0), asked.shelf.get(at - sales.len()).map(|(_, number)| *number));
        let (price, available) = number.unwrap_or_else(shelf);
        Stock { length: units(lengths[at]), price: price.unwrap_or(0), available }
    };
    let stocks: Vec<Stock> = (0..lengths.len()).map(stock).collect();
    let whole = CutOrder { stocks: &stocks, demands: &cuts.demands, kerf: units(asked.kerf), effort };
    let order = JoinOrder { whole, long: &cuts.long, shortest: units(asked.shortest), joint: asked.joint };
    let plan = plan_joined(&order).map_err(|none| reason(none, &cuts))?;
    progress::done(Work::Plans, 1);
    let mut counts = vec![0_u64; sales.len()];
    for layout in &plan.layouts {
        if let Some(count) = counts.get_mut(layout.stock) {
            *count = count.saturating_add(layout.times);
        }
    }
    let picks = picks(sales, &counts);
    let sums = picks.iter().map(|(lot, count)| lot.cents(*count));
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
    picks.sort_by_key(|(sale, _, _)| std::cmp::Reverse(sale.lot.length()));
    let bought = picks.into_iter().map(|(sale, count, free)| {
        (sale.lot.clone(), if free { sale.lot.up_to_a_break(count) } else { count })
    });
    bought.collect()
}

fn reason(none: NoPlan, cuts: &Cuts) -> NotPriced {
    let length = |of: Option<&Demand>| of.map_or(Length::ZERO, |demand| length(demand.length));
    match none {
        NoPlan::TooLong { demand } => NotPriced::PieceTooLong(length(cuts.demands.get(demand))),
        NoPlan::CannotJoin { long } => NotPriced::CannotJoin(length(cuts.long.get(long))),
        NoPlan::NoLength { .. } | NoPlan::NotEnoughStock | NoPlan::NotFound => NotPriced::NoUsableOffer,
        NoPlan::Overflow => NotPriced::TooLarge,
    }
}
