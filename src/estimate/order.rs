//! What is bought: the shapes of cut plans and order lines, plain data below all that reckons with them.

use rust_decimal::Decimal;

use super::ids::RunId;
use super::item::ItemId;
use crate::ground::Length;
use crate::trade::{Class, Phase};

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
    /// The runs they are for, each with how many of them (of all coils or sticks that are cut so); none for spare length.
    pub runs: Vec<(RunId, u64)>,
    /// Whether they are parts of longer pieces.
    pub joined: bool,
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

/// One line of the order: an item of the whole job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OrderLine {
    /// Of the need, what is added to the takeoff, or with a minus spared: couplings of cut plans and what their joints
    /// consume, and what fittings are built from.
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
