//! Tube at every supplier, and who sells it once that is decided for all lines together.
//!
//! Every supplier gets a quick plan with a proven bound first; only those that by their cost or their bound belong to
//! the best choice are planned in earnest. Called by [`super::buy`] and its rounds.

use rust_decimal::Decimal;

use super::lot::Lot;
use super::tube::{Asked, Offered, by_supplier, finish, of_supplier, tube_plan};
use super::tube_held::held;
use super::tube_more::{more, number};
use super::{Ask, Desk, Doubt, NotPriced};
use crate::estimate::item::ItemId;
use crate::estimate::order::{Cutting, OrderLine, TubePlan};
use crate::estimate::takeoff::Piece;
use crate::trade::Word;

/// What becomes of a tube before it is known who sells it.
pub(super) enum Quoted<'a> {
    /// Nothing is left to decide: the choice is held, or it is not priced.
    Settled(Box<(OrderLine, Option<TubePlan>)>),
    /// What each supplier asks.
    Open(Box<Open<'a>>),
}

/// A tube and what each supplier asks for it.
pub(super) struct Open<'a> {
    asked: Asked<'a>,
    /// By name of the supplier; none empty.
    pub(super) offers: Vec<OfSupplier>,
}

/// The plan of one supplier.
pub(super) struct OfSupplier {
    pub(super) supplier: Word,
    pub(super) lots: Vec<Lot>,
    offered: Offered,
    /// Whether all steps were spent on it.
    in_earnest: bool,
}

/// Asks every supplier for one tube. What the plan of any of them cuts off the shelf is not there for another tube.
pub(super) fn quote<'a>(desk: &mut Desk<'_>, ask: Ask<'a>, pieces: &'a [Piece]) -> Quoted<'a> {
    let asked = match Asked::of(desk, ask, pieces) {
        Ok(asked) => asked,
        Err(ask) => return not_priced(desk, &ask, NotPriced::TooLarge),
    };
    let ask = &asked.ask;
    if !ask.held.is_empty() {
        let held = held(desk, &asked)
            .and_then(|offered| finish(desk, &asked, &offered, None).ok_or(NotPriced::TooLarge));
        return match held {
            Ok((line, plan)) => {
                take_from_shelf(desk, ask, plan.as_ref());
                notice_couplings(desk, ask, plan.as_ref());
                Quoted::Settled(Box::new((line, plan)))
            }
            Err(reason) => not_priced(desk, ask, reason),
        };
    }
    if ask.lots.is_empty() {
        return not_priced(desk, ask, ask.no_offer());
    }
    let mut offers = Vec::new();
    let mut failed = None;
    for lots in by_supplier(desk, &ask.lots) {
        match of_supplier(&asked, &lots, 0) {
            Ok(offered) => {
                let supplier = lots[0].supplier;
                offers.push(OfSupplier { supplier, lots, offered, in_earnest: false });
            }
            Err(reason) => failed = failed.or(Some(reason)),
        }
    }
    if offers.is_empty() {
        return not_priced(desk, ask, failed.unwrap_or(NotPriced::NoUsableOffer));
    }
    for offer in &offers {
        let plan = offer.offered.cut.as_ref().map(|cut| tube_plan(&asked, &offer.offered, cut));
        take_from_shelf(desk, ask, plan.as_ref());
    }
    Quoted::Open(Box::new(Open { asked, offers }))
}

fn not_priced<'a>(desk: &mut Desk<'_>, ask: &Ask<'_>, reason: NotPriced) -> Quoted<'a> {
    desk.not_priced(ask, reason);
    Quoted::Settled(Box::new((ask.line(Decimal::ZERO, Decimal::ZERO), None)))
}

impl OfSupplier {
    /// What its plan costs, in cents.
    pub(super) fn cents(&self) -> u64 {
        self.offered.cents
    }

    /// No plan of this supplier with as many joints costs less: the bound is for tube and joints together, and what so
    /// many joints take stands on lines of their own.
    pub(super) fn bound(&self) -> u64 {
        self.offered.bound.saturating_sub(self.offered.joining).min(self.offered.cents)
    }

    /// Whether its plan joins long pieces.
    pub(super) fn is_joined(&self) -> bool {
        self.offered.cut.as_ref().is_some_and(|cut| !cut.plan.partings.is_empty())
    }

    /// What its plan costs with the joints of long pieces.
    pub(super) fn with_joints(&self) -> u64 {
        self.offered.sum()
    }

    /// Coils, sticks, or whole units of loose tube.
    pub(super) fn count(&self) -> u64 {
        self.offered.count()
    }
}

impl Open<'_> {
    /// Spends all steps on the plan of one supplier, where that is not done and may find a better one; whether it did.
    pub(super) fn plan_in_earnest(&mut self, supplier: Word) -> bool {
        let Some(of) = self.offers.iter_mut().find(|of| of.supplier == supplier) else { return false };
        if of.in_earnest || of.bound() == of.cents() {
            return false;
        }
        of.in_earnest = true;
        if let Ok(better) = of_supplier(&self.asked, &of.lots, self.asked.effort) {
            of.offered = better;
        }
        true
    }

    /// The tube.
    pub(super) fn item(&self) -> ItemId {
        self.asked.ask.id
    }

    /// Couplings that the plan of each supplier adds to the takeoff, or spares.
    pub(super) fn couplings(&self) -> impl Iterator<Item = (Word, i64)> {
        self.offers.iter().map(|of| {
            let more = of.offered.cut.as_ref().map_or(0, |cut| {
                let joints = i64::try_from(cut.plan.joints).unwrap_or(i64::MAX);
                joints.saturating_sub(self.asked.of_takeoff)
            });
            (of.supplier, more)
        })
    }

    /// What so many cents and lengths at one supplier are: its plan, and every way to buy more of what it offers beside it
    /// that costs no more than `most`. Another plan that costs more is no way.
    pub(super) fn ways(&self, supplier: Word, most: u64) -> Option<Vec<(u64, u64)>> {
        let of = self.offers.iter().find(|of| of.supplier == supplier)?;
        let ways = more(&of.offered, &of.lots, most)?;
        Some(ways.into_iter().map(|(cents, picks)| (cents, number(&picks))).collect())
    }

    /// Buys it at one supplier for so many cents: as its plan says, or more where an order must reach its least.
    pub(super) fn settle(
        &self,
        desk: &mut Desk<'_>,
        supplier: Word,
        cents: u64,
    ) -> (OrderLine, Option<TubePlan>) {
        let ask = &self.asked.ask;
        let of = self.offers.iter().find(|of| of.supplier == supplier);
        let bought = of.filter(|of| of.offered.cents != cents).and_then(|of| {
            let ways = more(&of.offered, &of.lots, cents)?;
            ways.into_iter().find(|(sum, _)| *sum == cents)
        });
        match of.and_then(|of| finish(desk, &self.asked, &of.offered, bought)) {
            Some((line, plan)) => {
                notice_couplings(desk, ask, plan.as_ref());
                (line, plan)
            }
            None => {
                desk.not_priced(ask, NotPriced::TooLarge);
                (ask.line(Decimal::ZERO, Decimal::ZERO), None)
            }
        }
    }
}

fn notice_couplings(desk: &mut Desk<'_>, ask: &Ask<'_>, plan: Option<&TubePlan>) {
    if let Some(plan) = plan.filter(|plan| plan.extra_couplings != 0) {
        // The run of the longest piece that is joined; where couplings are spared, any run of the tube.
        let most = plan.joined.iter().rev().max_by_key(|joined| joined.length).map(|joined| joined.run);
        let runs = &desk.market.job.runs;
        let joined = most.and_then(|run| runs.get(run.index())).filter(|_| plan.extra_couplings > 0);
        let spot = joined.map(|run| desk.market.job.sources.row(run.row)).or_else(|| desk.example(ask.id));
        desk.notice(ask.id, spot.into_iter().collect(), &Doubt::CouplingsByPlan(plan.extra_couplings));
    }
}

/// Takes the lengths that a plan cuts off the rows of stock; loose tube takes all that is there. Of several plans for
/// the same tube the one that leaves least counts.
fn take_from_shelf(desk: &mut Desk<'_>, ask: &Ask<'_>, plan: Option<&TubePlan>) {
    for stock in &ask.on_hand {
        let used = plan.map_or(stock.quantity, |plan| {
            let of_row = |cutting: &&Cutting| cutting.offer.is_none() && Some(cutting.length) == stock.length;
            plan.cuttings.iter().filter(of_row).map(|cutting| Decimal::from(cutting.times)).sum()
        });
        desk.shelf.leave(stock.row, stock.quantity - used.min(stock.quantity));
    }
}
