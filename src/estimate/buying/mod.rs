//! Buying: from the needs of one alternative to the lines of its order.
//!
//! Item by item: allowance, what is on hand, the offers that match and are good on the day, the cheapest whole packs
//! or the cut plan at each supplier. Then, for all lines together, which supplier sells which line, so that goods and
//! delivery fees cost least. A choice that is held is kept. A need that nobody sells is not priced and noticed, never
//! zero. The walk calls [`buy`] once for each alternative; costing sums it up.

pub mod building;
mod by_plan;
mod choosing;
mod cuts;
#[cfg(test)]
pub(super) mod fixture;
mod given;
mod kept;
mod lot;
mod made_of;
mod market;
mod matching;
mod pack;
pub mod price;
mod recipes;
mod repriced;
mod rounds;
#[cfg(test)]
mod tests;
mod tube;
mod tube_breaks;
mod tube_held;
mod tube_more;
mod tube_quotes;
mod weighing;

use std::collections::{BTreeSet, HashSet};

use rust_decimal::Decimal;

pub use market::Market;
pub use repriced::repriced;

use super::ids::RunId;
use super::item::{Item, ItemId, Items};
use super::landed::{BuyingPlan, Given};
use super::needs::needs;
use super::order::{OfferId, OrderLine, Pick, TubePlan};
use super::ranking::ranks;
use super::takeoff::{Line, Need, Piece, Subject, Takeoff};
use super::words_buying::{Doubt, fewer};
use crate::ground::name::fold;
use crate::ground::{Notice, Spot};
use crate::trade::{Class, Phase, SystemId};
use building::Built;
use kept::{Held, Shelf, Stock};
use lot::Lot;
use matching::Passed;

/// What is bought for one alternative.
#[derive(Debug, Clone)]
pub struct Bought {
    /// The order, in the order shown: class, part name, system, size, variant, color.
    pub order: Vec<OrderLine>,
    /// How tube is cut, in the same order.
    pub plans: Vec<TubePlan>,
    /// Which suppliers get an order, and what that costs with delivery.
    pub plan: BuyingPlan,
    /// Fittings that are built from others.
    pub built: Vec<Built>,
    /// The rows of the table `held` that speak of what it needs, by their index.
    pub held: BTreeSet<usize>,
    /// What is wrong or doubtful in its prices.
    pub notices: Vec<Notice>,
}

/// Buys what one alternative needs at the least landed cost, or keeps the choices that are held.
///
/// Each line is bought from one supplier. Of equal sums the fewer suppliers are taken, then the fewer packs, then the
/// first by name, then the row of the offer. Where the cut plan of a tube adds couplings, they are needed too: lines
/// are asked for again until the couplings are those of the suppliers that are chosen. `built` says which fittings are
/// built from others.
pub fn buy(market: &Market<'_>, items: &Items, takeoff: &Takeoff, built: Vec<Built>) -> Bought {
    with_effort(market, items, takeoff, built, tube::EFFORT)
}

/// The same with so many steps for the plan of a tube.
fn with_effort(
    market: &Market<'_>,
    items: &Items,
    takeoff: &Takeoff,
    built: Vec<Built>,
    effort: u64,
) -> Bought {
    let unit = market.terms.units;
    let ranks = ranks(market.lexicon, market.catalog, items);
    let mut needs = needs(market.catalog, items, unit, &takeoff.lines);
    needs.sort_by_key(|need| ranks[need.item.0 as usize]);
    let mut desk = Desk {
        market,
        items,
        alternative: takeoff.system,
        effort,
        shelf: Shelf::of(market),
        built: built.iter().map(|one| (one.item, fold(&market.built_as(items, one)))).collect(),
        examples: examples(items, &takeoff.lines),
        noticed: HashSet::new(),
        met: BTreeSet::new(),
        notices: Vec::new(),
    };
    let by_building = by_plan::by_building(&built, unit);
    desk.show_by_building(&built);
    let of_built: Vec<Need> =
        needs.iter().filter(|need| built.iter().any(|one| one.item == need.item)).copied().collect();
    by_plan::with_plans(&mut needs, &by_building, &of_built);
    by_plan::no_later(&mut needs, &built, &of_built);
    needs.sort_by_key(|need| ranks[need.item.0 as usize]);
    let stubs: Vec<Piece> = built.iter().flat_map(|built| &built.cut).copied().collect();
    let mut pieces = tube::pieces_by_item(items, &takeoff.pieces);
    for (of_item, more) in pieces.iter_mut().zip(tube::pieces_by_item(items, &stubs)) {
        of_item.extend(more);
    }
    let given = given::beforehand(market, items, &needs, !built.is_empty());
    let (tubes, others): (Vec<Need>, Vec<Need>) =
        needs.into_iter().partition(|need| items.get(need.item).is_length());
    let mut cut: Vec<tube_quotes::Quoted<'_>> = Vec::with_capacity(tubes.len());
    for need in &tubes {
        let ask = desk.ask(need, items.get(need.item));
        cut.push(tube_quotes::quote(&mut desk, ask, &pieces[need.item.0 as usize]));
    }
    let needed = Needed { tubes: &tubes, others, ranks: &ranks, by_building, given };
    let bought = rounds::rounds(&mut desk, cut, &needed);
    Bought { notices: fewer(desk.notices, market.job), held: desk.met, built, ..bought }
}

/// What an alternative needs.
struct Needed<'a> {
    tubes: &'a [Need],
    /// All but tube, without what cut plans add.
    others: Vec<Need>,
    /// The place of every item in the order shown.
    ranks: &'a [u32],
    /// What building fittings adds to each item; it stands in the needs already.
    by_building: Vec<(ItemId, Decimal)>,
    /// What is given before anything is bought.
    given: Vec<Given>,
}

/// One need with all that decides what is bought for it.
struct Ask<'a> {
    id: ItemId,
    item: &'a Item,
    phase: Phase,
    need: Decimal,
    /// In points; zero for what has none.
    allowance: Decimal,
    on_hand: Vec<Stock>,
    held: Vec<Held>,
    lots: Vec<Lot>,
    /// Whether an offer names the item and cannot be used.
    passed: bool,
}

impl Ask<'_> {
    /// Why nothing can be bought where there are no lots.
    fn no_offer(&self) -> NotPriced {
        if self.passed { NotPriced::NoUsableOffer } else { NotPriced::NoOffer }
    }

    /// A line on which nothing is bought yet.
    fn line(&self, allow: Decimal, on_hand: Decimal) -> OrderLine {
        OrderLine {
            by_plan: Decimal::ZERO,
            item: self.id,
            phase: self.phase,
            need: self.need,
            allowance: self.allowance,
            allow,
            on_hand,
            picks: Vec::new(),
            extended: None,
        }
    }
}

/// What is at hand while an order is made out: the market, and the notices.
struct Desk<'a> {
    market: &'a Market<'a>,
    items: &'a Items,
    alternative: SystemId,
    /// The most steps for the plan of a tube.
    effort: u64,
    shelf: Shelf,
    /// What is built, and how the table `held` says so, folded.
    built: Vec<(ItemId, String)>,
    /// By item: a run that needs it.
    examples: Vec<Option<RunId>>,
    /// Offers that were noticed already, so that each is noticed once.
    noticed: HashSet<OfferId>,
    /// Rows of held choices that speak of something that is needed.
    met: BTreeSet<usize>,
    notices: Vec<Notice>,
}

/// How a desk stood before lines were asked for.
struct Before {
    shelf: Shelf,
    noticed: HashSet<OfferId>,
    notices: usize,
}

impl<'a> Desk<'a> {
    /// How it stands now.
    fn before(&self) -> Before {
        Before { shelf: self.shelf.clone(), noticed: self.noticed.clone(), notices: self.notices.len() }
    }

    /// Puts it back as it stood.
    fn back_to(&mut self, before: &Before) {
        self.shelf.clone_from(&before.shelf);
        self.noticed.clone_from(&before.noticed);
        self.notices.truncate(before.notices);
    }

    /// Does something as it stood before, and nothing of that stays.
    fn aside<T>(&mut self, before: &Before, work: impl FnOnce(&mut Self) -> T) -> T {
        let now = (self.shelf.clone(), self.noticed.clone(), self.notices.clone());
        self.back_to(before);
        let done = work(self);
        (self.shelf, self.noticed, self.notices) = now;
        done
    }

    fn ask<'b>(&mut self, need: &Need, item: &'b Item) -> Ask<'b> {
        let held = self.held(need.item, item);
        let found = matching::find(self.market, item);
        let is_held =
            |id: OfferId| held.iter().any(|held| held.lot.as_ref().is_some_and(|lot| lot.offer == id));
        for (offer, why) in found.passed.iter().filter(|(offer, _)| !is_held(*offer)) {
            self.notice_offer(need.item, *offer, Doubt::of_passed(*why));
        }
        for lot in found.lots.iter().filter(|lot| lot.odd_break) {
            self.notice_offer(need.item, lot.offer, Doubt::OddBreak);
        }
        self.notice_doubles(need.item, &found.lots);
        Ask {
            id: need.item,
            item,
            phase: need.phase,
            need: need.quantity,
            allowance: self.allowance(need.item, item),
            on_hand: self.shelf.stock(self.market, item),
            held,
            lots: found.lots,
            passed: !found.passed.is_empty(),
        }
    }

    /// The choices held for an item; one that cannot be met is noticed and left out.
    fn held(&mut self, id: ItemId, item: &Item) -> Vec<Held> {
        self.met.extend(kept::rows(self.market, self.alternative, item).into_iter().map(|(row, _)| row));
        let (kept, lost): (Vec<Held>, Vec<Held>) =
            kept::held(self.market, self.alternative, item).into_iter().partition(|held| held.lot.is_some());
        let is_built = |held: &Held| {
            let of_item = self.built.iter().filter(|(one, _)| *one == id);
            of_item.into_iter().any(|(_, built)| held.built.as_ref() == Some(built))
        };
        for held in lost.into_iter().filter(|held| !is_built(held)).collect::<Vec<_>>() {
            let row = self.market.job.held[held.row].row;
            let spots = std::iter::once(self.market.job.sources.row(row)).chain(self.example(id));
            let spots = spots.collect();
            self.notice(id, spots, &Doubt::HeldUnusable);
        }
        kept
    }

    /// The allowance of an item's class in points. Devices have none; of a fitting that is built it is in what it is built
    /// from.
    fn allowance(&self, id: ItemId, item: &Item) -> Decimal {
        match item.class {
            _ if self.built.iter().any(|(one, _)| *one == id) => Decimal::ZERO,
            Class::Device => Decimal::ZERO,
            class => self.market.terms.allowance(class).0.max(Decimal::ZERO),
        }
    }

    /// Offers of one supplier that are the same but for price and days.
    fn notice_doubles(&mut self, item: ItemId, lots: &[Lot]) {
        // As the list has them: it is the later row that is told.
        let mut lots: Vec<&Lot> = lots.iter().collect();
        lots.sort_by_key(|lot| lot.offer);
        for (at, second) in lots.iter().enumerate() {
            let market = self.market;
            let offer = market.offer(second.offer);
            let same = |first: &&&Lot| {
                let other = market.offer(first.offer);
                first.supplier == second.supplier
                    && first.sold == second.sold
                    && other.code == offer.code
                    && other.systems == offer.systems
                    && other.variant == offer.variant
                    && other.color == offer.color
            };
            let Some(first) = lots[..at].iter().find(same) else { continue };
            let one_price = first.tiers == second.tiers;
            let doubt = Doubt::OfferTwice { first: market.row(first.offer), one_price };
            self.notice_offer(item, second.offer, doubt);
        }
    }

    /// Takes a notice down about an offer: its row, and a run that needs the item.
    fn notice_offer(&mut self, item: ItemId, offer: OfferId, doubt: Doubt) {
        if !self.noticed.insert(offer) {
            return;
        }
        let mut spots = vec![self.market.row(offer)];
        if let Doubt::OfferTwice { first, .. } = &doubt {
            spots.push(first.clone());
        }
        spots.extend(self.example(item));
        self.notice(item, spots, &doubt);
    }

    fn notice(&mut self, item: ItemId, spots: Vec<Spot>, doubt: &Doubt<'_>) {
        let called = self.market.called(self.items.get(item));
        self.notices.push(doubt.word(&called, spots));
    }

    /// Takes down that an item is not priced: what comes near it, and what could make it.
    fn not_priced(&mut self, ask: &Ask<'_>, reason: NotPriced) {
        let near = made_of::nearest(self.market, ask.item);
        let mut spots: Vec<Spot> = self.example(ask.id).into_iter().collect();
        spots.extend(near.iter().map(|id| self.market.row(*id)));
        let near = near.iter().map(|id| self.market.offer_called(*id)).collect();
        let made_of = made_of::recipe(self.market, ask.item);
        self.notice(ask.id, spots, &Doubt::NotPriced { reason, near, made_of });
    }

    /// Takes down what is built from what; what only building needs is shown by the run of its fitting.
    fn show_by_building(&mut self, built: &[Built]) {
        for one in built {
            let run = self.examples.get(one.item.0 as usize).copied().flatten();
            for (item, _) in &one.of {
                if let Some(example @ None) = self.examples.get_mut(item.0 as usize) {
                    *example = run;
                }
            }
            let of = building::words(self.market, self.items, one);
            let spots = self.example(one.item).into_iter().collect();
            self.notice(one.item, spots, &Doubt::BuiltFrom { of, built: one });
        }
    }

    fn example(&self, item: ItemId) -> Option<Spot> {
        let run = self.examples.get(item.0 as usize).copied().flatten()?;
        let run = self.market.job.runs.get(run.0 as usize)?;
        Some(self.market.job.sources.row(run.row))
    }
}

/// Why an item is not priced.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum NotPriced {
    /// Nobody sells it.
    NoOffer,
    /// Every offer for it is out of date or has a unit that does not fit.
    NoUsableOffer,
    /// A piece that must be without a joint is longer than every coil or stick offered.
    PieceTooLong(crate::ground::Length),
    /// A piece has no parts that fit the lengths offered and are no shorter than the job allows.
    CannotJoin(crate::ground::Length),
    /// The sums are beyond what is reckoned with.
    TooLarge,
}

impl Doubt<'_> {
    fn of_passed(why: Passed) -> Self {
        match why {
            Passed::Expired(until) => Self::Expired(until),
            Passed::NotYet(from) => Self::NotYet(from),
            Passed::Unit(misfit) => Self::Unit(misfit.found()),
        }
    }
}

/// By item: the first run in the order of the lines that needs it.
fn examples(items: &Items, lines: &[Line]) -> Vec<Option<RunId>> {
    let mut examples = vec![None; items.len()];
    for line in lines {
        if let (Some(example), Subject::Run(run)) = (examples.get_mut(line.item.0 as usize), line.subject)
            && example.is_none()
            && line.count != 0
        {
            *example = Some(run);
        }
    }
    examples
}

/// Parts a need and its allowance among picks, larger packs first: each covers what it can of the need, then of the
/// allowance; the rest of what is bought is left over.
fn share_out(picks: &mut [Pick], mut need: Decimal, mut allow: Decimal) {
    for pick in picks {
        pick.need = pick.buy.min(need);
        pick.allow = (pick.buy - pick.need).min(allow);
        pick.left_over = (pick.buy - pick.need - pick.allow).normalize();
        need -= pick.need;
        allow -= pick.allow;
    }
}
