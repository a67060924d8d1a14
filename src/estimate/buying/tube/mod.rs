//! Tube: what every supplier asks for it, and the line and plan once it is decided for all lines together who sells it.
//!
//! Every supplier gets a quick plan with a proven bound first; only those that by their cost or their bound belong to
//! the best choice are planned in earnest.

mod breaks;
mod cuts;
mod plan;
mod supplier;
mod top_up;

use rust_decimal::Decimal;

use super::ask::{self, Ask, NotPriced, OrderBuilder, Settled, by_supplier};
use super::choosing::Asks;
use super::lot::{Lot, Sold};
use super::price;
use super::shelf::Shelf;
use crate::estimate::takeoff::Piece;
use crate::estimate::{OrderLine, TubePlan};
use crate::ground::LengthUnit;
use crate::trade::{TubeAllowance, Word};
use cuts::cuttings;
use plan::{Asked, Cut, Offered};
pub(super) use plan::{COMPARED, EFFORT};
use supplier::{locked, of_supplier, shelf_length};
use top_up::{Picks, more, number};

/// A tube and what each supplier asks for it.
pub(super) struct Open<'a> {
    asked: Asked<'a>,
    /// By name of the supplier; none empty.
    offers: Vec<OfSupplier>,
    /// Plans in earnest that are not proven: each may have taken all steps.
    hard: u32,
}

/// So many plans of one tube may take all steps; those of other suppliers take a part of them.
const HARD: u32 = 6;
/// The part that they take.
const EASY: u64 = 50;

/// The plan of one supplier.
struct OfSupplier {
    supplier: Word,
    lots: Vec<Lot>,
    offered: Offered,
    /// Whether all steps were spent on it.
    in_earnest: bool,
}

/// Asks every supplier for one tube; what the plan of any of them cuts off the shelf is not there for another tube. A tube
/// is settled at once where the choice is locked, or it cannot be priced.
pub(super) fn quote<'a>(
    builder: &OrderBuilder<'_>,
    ask: &Ask<'_>,
    pieces: &'a [Piece],
    shelf: &mut Shelf,
) -> Result<Open<'a>, Box<Settled>> {
    let not_priced = |why: NotPriced| Box::new(Settled::not_priced(ask.line(), why));
    let asked = Asked::of(builder, ask, pieces).ok_or_else(|| not_priced(NotPriced::TooLarge))?;
    if !ask.locked.choices.is_empty() {
        let (offered, beside_locked) = locked(&asked, ask).map_err(not_priced)?;
        let settled = settle(&asked, &offered, None);
        if settled.not_priced.is_none() {
            take_from_shelf(shelf, ask, &offered);
        }
        return Err(Box::new(Settled { beside_locked, ..settled }));
    }
    let mut offers = Vec::new();
    let mut failed = None;
    for lots in by_supplier(builder.market, &ask.lots) {
        match of_supplier(&asked, &lots, 0) {
            Ok(offered) => {
                take_from_shelf(shelf, ask, &offered);
                offers.push(OfSupplier { supplier: lots[0].supplier, lots, offered, in_earnest: false });
            }
            Err(why) => failed = failed.or(Some(why)),
        }
    }
    match offers.is_empty() {
        true => Err(not_priced(failed.unwrap_or_else(|| ask.no_offer()))),
        false => Ok(Open { asked, offers, hard: 0 }),
    }
}

impl OfSupplier {
    /// No plan of this supplier with as many joints costs less: the bound is for tube and joints together, and what so
    /// many joints take stands on lines of their own.
    fn bound(&self) -> u64 {
        self.offered.bound.saturating_sub(self.offered.joining).min(self.offered.cents)
    }

    fn sells(&self, is_so: fn(&Sold) -> bool) -> bool {
        self.lots.iter().any(|lot| is_so(&lot.sold))
    }
}

impl Open<'_> {
    /// What each supplier asks.
    pub(super) fn asks(&self) -> Vec<Asks> {
        let asks = |of: &OfSupplier| Asks {
            supplier: of.supplier,
            cents: of.offered.cents,
            bound: of.bound(),
            packs: of.offered.count(),
        };
        self.offers.iter().map(asks).collect()
    }

    /// The cheapest of some suppliers by itself, joints counted: of equal sums the one with fewer lengths, then the first
    /// by name.
    pub(super) fn cheapest(&self, may_be: impl Fn(Word) -> bool) -> Option<Word> {
        let offers = self.offers.iter().filter(|of| may_be(of.supplier));
        offers.min_by_key(|of| (of.offered.sum(), of.offered.count())).map(|of| of.supplier)
    }

    /// Couplings that the plan of each supplier adds to the takeoff, or spares.
    pub(super) fn couplings(&self) -> impl Iterator<Item = (Word, i64)> {
        let more = |cut: &Cut| joints(cut).saturating_sub(self.asked.of_takeoff);
        self.offers.iter().map(move |of| (of.supplier, of.offered.cut.as_ref().map_or(0, more)))
    }

    /// Whether the plan of any supplier joins long pieces.
    pub(super) fn is_joined(&self) -> bool {
        let mut cuts = self.offers.iter().filter_map(|of| of.offered.cut.as_ref());
        cuts.any(|cut| !cut.plan.partings.is_empty())
    }

    /// Whether a supplier sells it both in lengths and loose.
    pub(super) fn is_in_two_ways(&self) -> bool {
        let loose = |sold: &Sold| matches!(sold, Sold::ByLength(_));
        let whole = |sold: &Sold| matches!(sold, Sold::Lengths(_));
        self.offers.iter().any(|of| of.sells(loose) && of.sells(whole))
    }

    /// Spends all steps on the plan of one supplier, where that is not done and may find a better one; whether it did.
    pub(super) fn plan_in_earnest(&mut self, supplier: Word) -> bool {
        let Some(of) = self.offers.iter_mut().find(|of| of.supplier == supplier) else { return false };
        if of.in_earnest || of.bound() == of.offered.cents {
            return false;
        }
        of.in_earnest = true;
        let effort = if self.hard < HARD { self.asked.effort } else { self.asked.effort / EASY };
        if let Ok(better) = of_supplier(&self.asked, &of.lots, effort) {
            of.offered = better;
        }
        self.hard += u32::from(of.bound() < of.offered.cents);
        true
    }

    /// The plan of a supplier, and every way to buy more of what it offers beside it that costs no more than `most`.
    fn ways_at(&self, supplier: Word, most: u64) -> Option<Vec<(u64, Picks)>> {
        let of = self.offers.iter().find(|of| of.supplier == supplier)?;
        more(&of.offered, &of.lots, most)
    }

    /// What so many cents and lengths at one supplier are. Another plan that costs more is no way.
    pub(super) fn ways(&self, supplier: Word, most: u64) -> Option<Vec<(u64, u64)>> {
        let ways = self.ways_at(supplier, most)?;
        Some(ways.into_iter().map(|(cents, picks)| (cents, number(&picks))).collect())
    }

    /// Buys it at one supplier for so many cents: as its plan says, or more where an order must reach its minimum.
    pub(super) fn settle(&self, (supplier, cents): (Word, u64)) -> Settled {
        let Some(of) = self.offers.iter().find(|of| of.supplier == supplier) else {
            return Settled::not_priced(self.asked.line.clone(), NotPriced::TooLarge);
        };
        let more = match of.offered.cents == cents {
            true => None,
            false => self.ways_at(supplier, cents).into_iter().flatten().find(|(sum, _)| *sum == cents),
        };
        settle(&self.asked, &of.offered, more)
    }
}

/// Takes the lengths that a plan cuts off the rows of stock; loose tube takes all that is there. Of several plans for
/// the same tube the one that leaves least counts.
fn take_from_shelf(shelf: &mut Shelf, ask: &Ask<'_>, offered: &Offered) {
    for stock in &ask.on_hand {
        let used = offered.cut.as_ref().map_or(stock.quantity, |cut| {
            let stocks = cut.plan.layouts.iter().filter(|layout| layout.stock >= cut.lots.len());
            let of_row = stocks.filter(|layout| cut.lengths.get(layout.stock).copied() == stock.length);
            of_row.map(|layout| Decimal::from(layout.times)).sum()
        });
        shelf.leave(stock.row, stock.quantity - used.min(stock.quantity));
    }
}

/// Joints between the parts of long pieces.
fn joints(cut: &Cut) -> i64 {
    i64::try_from(cut.plan.joints).unwrap_or(i64::MAX)
}

/// The order line and the plan of what was chosen; `more` is what is bought where that is more than the plan asks for.
fn settle(asked: &Asked<'_>, offered: &Offered, more: Option<(u64, Picks)>) -> Settled {
    match line(asked, offered, more) {
        Some((line, plan)) => Settled { plan, ..Settled::of(line) },
        None => Settled::not_priced(asked.line.clone(), NotPriced::TooLarge),
    }
}

fn line(
    asked: &Asked<'_>,
    offered: &Offered,
    more: Option<(u64, Picks)>,
) -> Option<(OrderLine, Option<TubePlan>)> {
    // What is bought loose is bought by its length center to center.
    let need = if offered.cut.is_some() { asked.need_as_cut } else { asked.line.need };
    let (by_plan, percent) = (need - asked.line.need, asked.line.allowance);
    let (cents, bought) = more.unwrap_or_else(|| (offered.cents, offered.picks.clone()));
    let loose = bought.iter().any(|(lot, _)| matches!(lot.sold, Sold::ByLength(_)));
    let (allowance, allow) = match (loose, asked.allowance) {
        (false, TubeAllowance::Plan) => (Decimal::ZERO, Decimal::ZERO),
        (false, TubeAllowance::Piece) => (percent, price::allowance_of_amount(need, percent)?),
        (true, _) | (false, TubeAllowance::End) => (percent, price::allowance(need, percent)?),
    };
    let plan = offered.cut.as_ref().map(|cut| tube_plan(asked, offered, cut));
    let on_hand = match &plan {
        Some(plan) => cut_from_shelf(plan, asked.unit),
        None => shelf_length(asked),
    };
    let on_hand = on_hand.min(need.checked_add(allow)?).normalize();
    let picks = ask::picks(&bought, asked.unit, ask::rest(need, allow, on_hand))?;
    let extended = Some(price::from_cents(cents));
    Some((
        OrderLine { need, by_plan, allowance, allow, on_hand, picks, extended, ..asked.line.clone() },
        plan,
    ))
}

fn tube_plan(asked: &Asked<'_>, offered: &Offered, cut: &Cut) -> TubePlan {
    let parts = (cut.plan.parts.as_slice(), cut.plan.partings.as_slice());
    let (cuttings, joined) = cuttings(&cut.cuts, &cut.plan.layouts, parts, &cut.lots, &cut.lengths);
    TubePlan {
        item: asked.line.item,
        cuttings,
        kerf: asked.kerf,
        taken_out: asked.taken_out,
        joined,
        joints: joints(cut),
        per_joint: price::from_cents(asked.joint),
        extra_couplings: joints(cut).saturating_sub(asked.of_takeoff),
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
