//! One need as it is put to the suppliers — what is needed, what the shelf has, which choices are locked, which offers
//! there are — and the line that it becomes. Asking reads the market and writes nothing down: what is doubtful stands in
//! these values, and `notices` tells it of what is finally decided.

use rust_decimal::Decimal;

use super::Market;
use super::locked::Locked;
use super::lot::Lot;
use super::matching::{self, Passed};
use super::shelf::{Shelf, Stock};
use crate::estimate::takeoff::Need;
use crate::estimate::{Item, ItemId, Items, OfferId, OrderLine, Pick, Substitute, TubePlan};
use crate::ground::name::{fold, natural};
use crate::ground::{Length, LengthUnit};
use crate::trade::{Phase, Sides};

/// What the order of one alternative is made out from.
pub(super) struct OrderBuilder<'a> {
    pub(super) market: &'a Market<'a>,
    pub(super) items: &'a Items,
    pub(super) alternative: Sides,
    /// The fittings that are made up.
    pub(super) substitutes: &'a [Substitute],
    /// The most steps for the plan of a tube.
    pub(super) effort: u64,
}

/// One need with all that decides what is bought for it.
pub(super) struct Ask<'a> {
    pub(super) id: ItemId,
    pub(super) item: &'a Item,
    phase: Phase,
    pub(super) need: Decimal,
    /// In percent; zero for what has none.
    pub(super) allowance: Decimal,
    pub(super) on_hand: Vec<Stock>,
    pub(super) locked: Locked,
    pub(super) lots: Vec<Lot>,
    /// Offers that name the item and cannot be used.
    pub(super) passed: Vec<(OfferId, Passed)>,
}

/// The line that a need becomes.
pub(super) struct Settled {
    pub(super) line: OrderLine,
    /// How its tube is cut.
    pub(super) plan: Option<TubePlan>,
    /// Why it has no price; nothing where it has one.
    pub(super) not_priced: Option<NotPriced>,
    /// An offer whose packs are too odd beside others to be sure of the cheapest.
    pub(super) too_odd: Option<OfferId>,
    /// Lengths that are bought beside the locked ones.
    pub(super) beside_locked: Vec<(OfferId, u64)>,
}

/// Why an item is not priced.
#[derive(Debug, Clone, Copy)]
pub(super) enum NotPriced {
    /// Nobody sells it.
    NoOffer,
    /// Every offer for it is out of date or has a unit that does not fit.
    NoUsableOffer,
    /// A piece that must be without a joint is longer than every coil or stick offered.
    PieceTooLong(Length),
    /// A piece has no parts that fit the lengths offered and are no shorter than the job allows.
    CannotJoin(Length),
    /// The sums are beyond what is reckoned with.
    TooLarge,
}

impl<'a> OrderBuilder<'a> {
    /// What is asked for a need, with what is left on the shelf.
    pub(super) fn ask(&self, need: &Need, shelf: &Shelf) -> Ask<'a> {
        let item = self.items.get(need.item);
        let found = matching::find(self.market, item);
        let mut locked = Locked::of(self.market, self.alternative, item);
        let substitutes = || self.substitutes.iter().filter(|one| one.item == need.item);
        let as_locked = |one: &Substitute| fold(&self.market.made_up_as(self.items, one));
        locked.lost.retain(|(_, text)| substitutes().all(|one| as_locked(one) != *text));
        let allowance = match substitutes().next() {
            // It is in what the fitting is made up from.
            Some(_) => Decimal::ZERO,
            None => self.market.settings.added_to(item.class, need.quantity),
        };
        Ask {
            id: need.item,
            item,
            phase: need.phase,
            need: need.quantity,
            allowance,
            on_hand: shelf.stock(self.market, item),
            locked,
            lots: found.lots,
            passed: found.passed,
        }
    }
}

impl Ask<'_> {
    /// A line on which nothing is bought yet.
    pub(super) fn line(&self) -> OrderLine {
        OrderLine {
            by_plan: Decimal::ZERO,
            item: self.id,
            phase: self.phase,
            need: self.need,
            allowance: self.allowance,
            allow: Decimal::ZERO,
            on_hand: Decimal::ZERO,
            picks: Vec::new(),
            extended: None,
        }
    }

    /// Why nothing can be bought where there are no lots.
    pub(super) fn no_offer(&self) -> NotPriced {
        if self.passed.is_empty() { NotPriced::NoOffer } else { NotPriced::NoUsableOffer }
    }
}

impl Settled {
    pub(super) fn of(line: OrderLine) -> Self {
        Self { line, plan: None, not_priced: None, too_odd: None, beside_locked: Vec::new() }
    }

    pub(super) fn not_priced(line: OrderLine, why: NotPriced) -> Self {
        Self { not_priced: Some(why), ..Self::of(line) }
    }
}

/// What is left of a need and its allowance: the shelf gives to the need first.
pub(super) fn rest(need: Decimal, allow: Decimal, on_hand: Decimal) -> (Decimal, Decimal) {
    let to_need = on_hand.min(need);
    (need - to_need, allow - (on_hand - to_need))
}

/// Lots by supplier, suppliers by name.
pub(super) fn by_supplier(market: &Market<'_>, lots: &[Lot]) -> Vec<Vec<Lot>> {
    let text = |lot: &Lot| market.lexicon.text(lot.supplier);
    let mut lots = lots.to_vec();
    lots.sort_by(|a, b| natural(text(a), text(b)).then_with(|| a.supplier.cmp(&b.supplier)));
    lots.chunk_by(|a, b| a.supplier == b.supplier).map(<[Lot]>::to_vec).collect()
}

/// So many of each lot as picks, among which a need and its allowance are parted, larger packs first: each covers what it
/// can of the need, then of the allowance; the rest of what is bought is left over.
pub(super) fn picks(
    bought: &[(Lot, u64)],
    unit: LengthUnit,
    (mut need, mut allow): (Decimal, Decimal),
) -> Option<Vec<Pick>> {
    let pick = |(lot, count): &(Lot, u64)| {
        let mut pick = lot.pick(*count, unit)?;
        pick.need = pick.buy.min(need);
        pick.allow = (pick.buy - pick.need).min(allow);
        pick.left_over = (pick.buy - pick.need - pick.allow).normalize();
        need -= pick.need;
        allow -= pick.allow;
        Some(pick)
    };
    bought.iter().map(pick).collect()
}
