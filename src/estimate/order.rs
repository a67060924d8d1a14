//! What is bought: the shapes of cut plans and order lines, plain data below all that reckons with them.

use rust_decimal::Decimal;

use super::cut_length::CutLength;
use super::{ItemId, RunId};
use crate::ground::Length;
use crate::ground::money::{round_half_away, round_up, to_cents};
use crate::trade::{Class, Offer, Phase};

/// The id of an offer: its index in `PriceList::offers`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct OfferId(pub u32);

/// One coil or stick of a cut plan and the pieces cut from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cutting {
    /// The offer it is bought by; nothing for a length from the shelf.
    pub offer: Option<OfferId>,
    /// How many coils or sticks are cut so.
    pub times: u64,
    /// Its length.
    pub length: Length,
    /// Pieces in the order to cut.
    pub pieces: Vec<CutPiece>,
    /// What is left of it when the last piece is cut off.
    pub left: Length,
}

/// Equal pieces of one coil or stick.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CutPiece {
    /// How long each is (in coils to the inch above).
    pub length: Length,
    /// How many in one coil or stick.
    pub number: u64,
    /// The runs they are for (of all coils or sticks that are cut so); none for spare length.
    pub runs: Vec<CutFor>,
    /// Whether they are parts of longer pieces.
    pub joined: bool,
}

/// Equal pieces for one run that are cut alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CutFor {
    /// The run.
    pub run: RunId,
    /// How many.
    pub number: u64,
    /// How each is cut; of parts, how the longer piece is.
    pub cut: CutLength,
}

/// A piece longer than every length on sale, joined from parts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Joined {
    /// Whose piece it is.
    pub run: RunId,
    /// How many such pieces.
    pub copies: u64,
    /// Its whole length.
    pub length: Length,
    /// Its parts, longest first, with how many there are of each.
    pub parts: Vec<(Length, u64)>,
    /// How the whole of it is cut.
    pub cut: CutLength,
}

/// How one tube is cut from what is sold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TubePlan {
    /// The tube.
    pub item: ItemId,
    /// Coil by coil, stick by stick.
    pub cuttings: Vec<Cutting>,
    /// What each cut loses.
    pub kerf: Length,
    /// How much less than center to center its pieces are together: what their fittings take out.
    pub taken_out: Length,
    /// Pieces that are joined; where there are any, the bound is for every way to part them.
    pub joined: Vec<Joined>,
    /// Joints between their parts.
    pub joints: i64,
    /// What one joint is reckoned at: its coupling and what its ends consume at the least price of each, and their labor
    /// where it is priced.
    pub per_joint: Decimal,
    /// Couplings that joining long pieces adds (or, negative, spares) against the takeoff.
    pub extra_couplings: i64,
    /// What the plan costs: its coils and sticks, and its joints.
    pub cost: Decimal,
    /// What no plan can cost less than, with the same supplier's offers.
    pub bound: Decimal,
}

impl TubePlan {
    /// Whether the plan is proven least.
    pub fn is_least(&self) -> bool {
        self.cost == self.bound
    }
}

/// So many of one offer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pick {
    /// The offer.
    pub offer: OfferId,
    /// Of the need, what these packs cover.
    pub need: Decimal,
    /// Of the allowance, what these packs cover.
    pub allow: Decimal,
    /// Packs, coils or sticks; for loose goods the quantity itself.
    pub packs: Decimal,
    /// What is in them.
    pub buy: Decimal,
    /// What is in them and not needed: `buy = need + allow + left_over` (on hand was taken off before).
    pub left_over: Decimal,
    /// Net price, 4 places, in the unit quoted.
    pub net: Decimal,
    /// Price of one pack in cents, or the net price of loose goods.
    pub price: Decimal,
    /// The sum, in cents.
    pub extended: Decimal,
}

impl Pick {
    /// How many are bought of packs that hold so much each: of loose tube how many whole feet or metres.
    pub(crate) fn count(&self, offer: &Offer, holds: Decimal) -> Decimal {
        match offer.is_loose() {
            true => self.buy.checked_div(holds).map_or(self.buy, |count| round_half_away(count, 0)),
            false => self.packs,
        }
    }

    /// How many of its packs stay whole where so much is left over.
    pub(crate) fn left_whole(&self, left: Decimal, holds: Decimal) -> Decimal {
        let packs = left.max(Decimal::ZERO).checked_div(holds).unwrap_or_default();
        round_half_away(packs, 6).floor().normalize().min(self.packs)
    }

    /// What so many of its packs cost, in cents; goods priced by the hundred cost a hundredth of that price each.
    pub(crate) fn worth(&self, packs: Decimal, priced_for: Decimal) -> Decimal {
        let worth = packs.checked_mul(self.price).and_then(|sum| sum.checked_div(priced_for));
        to_cents(worth.unwrap_or_default())
    }
}

/// One line of the order: an item of the whole job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OrderLine {
    /// Of the need, what is added to the takeoff, or with a minus spared: couplings of cut plans and what their joints
    /// consume, what fittings are built from, and of tube what fittings take out of the pieces that a plan cuts.
    pub by_plan: Decimal,
    /// The item.
    pub item: ItemId,
    /// The first phase that needs it.
    pub phase: Phase,
    /// What is installed (feet or metres of tube to as many places as it takes; pieces; amounts).
    pub need: Decimal,
    /// The allowance in points.
    pub allowance: Decimal,
    /// What it adds, rounded up once.
    pub allow: Decimal,
    /// Taken from the shelf.
    pub on_hand: Decimal,
    /// What is bought, larger packs first, all of one supplier; empty: not priced.
    pub picks: Vec<Pick>,
    /// The sum of the picks; nothing where it is not priced.
    pub extended: Option<Decimal>,
}

impl OrderLine {
    /// What is left of need and allowance after the shelf.
    pub(crate) fn to_buy(&self) -> Decimal {
        round_half_away(self.need + self.allow - self.on_hand, 6).max(Decimal::ZERO)
    }

    /// What is in all its packs.
    pub(crate) fn bought(&self) -> Decimal {
        self.picks.iter().map(|pick| pick.buy).sum()
    }

    /// What is in its larger packs: all but the last.
    pub(crate) fn in_larger_packs(&self) -> Decimal {
        self.picks.iter().rev().skip(1).map(|pick| pick.buy).sum()
    }

    /// The fewest of its smallest packs that cover what the larger ones leave, where one holds so much.
    pub(crate) fn fewest(&self, holds: Decimal) -> Decimal {
        let rest = (self.to_buy() - self.in_larger_packs()).max(Decimal::ZERO);
        rest.checked_div(holds).map_or(Decimal::ZERO, round_up)
    }

    /// What its packs hold and nobody needs.
    pub(crate) fn left_over(&self) -> Decimal {
        self.picks.iter().map(|pick| pick.left_over).sum()
    }

    /// Whether the takeoff has it and nothing of it is to be had: all is made up from other fittings, or longer sticks than
    /// the takeoff goes by spare it.
    pub(crate) fn is_spared(&self) -> bool {
        self.need.is_zero() && self.by_plan.is_sign_negative() && self.picks.is_empty()
    }
}

/// A line of the cost: classes of parts that are shown together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CostLine {
    /// Tube.
    Tube,
    /// Fittings, caps and plugs.
    Fittings,
    /// Rings, solder, flux, cement, tape: what joints consume.
    Joining,
    /// Clips, straps, brackets; what goes by the same class: plates, sleeves, insulation.
    Supports,
    /// Valves, devices, manifolds, trim.
    ValvesAndDevices,
}

impl CostLine {
    /// All of them in the order shown.
    pub const ALL: [Self; 5] =
        [Self::Tube, Self::Fittings, Self::Joining, Self::Supports, Self::ValvesAndDevices];

    /// The one table that maps a class to its cost line.
    pub const fn of(class: Class) -> Self {
        match class {
            Class::Tube => Self::Tube,
            Class::Fitting | Class::Cap => Self::Fittings,
            Class::Ring | Class::Consumable => Self::Joining,
            Class::Support => Self::Supports,
            Class::Valve | Class::Device | Class::Manifold | Class::Trim | Class::Tool => {
                Self::ValvesAndDevices
            }
        }
    }

    /// Its heading.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Tube => "tube",
            Self::Fittings => "fittings",
            Self::Joining => "joining",
            Self::Supports => "supports, plates, insulation",
            Self::ValvesAndDevices => "valves and devices",
        }
    }
}
