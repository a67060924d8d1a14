//! What is asked of the cutter and what it answers: plain data, shared by all ways to plan. No arithmetic.

/// The steps after which a hard order is given up, its plan not proven least: some ten seconds of an ordinary
/// machine in a release build. Nearly every house takes less than a hundredth of it.
pub const USUAL_EFFORT: u64 = 6_000_000_000;

/// A coil, a stick or an offcut that can be cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stock {
    /// Its length in whole units, the same unit for all lengths of the order.
    pub length: u64,
    /// The price of one, in whole units of money. Zero for what is on hand already.
    pub price: u64,
    /// At most so many can be had; `None` is any number.
    pub available: Option<u64>,
}

/// Equal pieces that are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Demand {
    /// The length of one piece.
    pub length: u64,
    /// How many of them.
    pub count: u64,
}

/// What is to be cut, from what.
#[derive(Debug, Clone, Copy)]
pub struct CutOrder<'a> {
    /// All that can be bought or is on hand.
    pub stocks: &'a [Stock],
    /// All pieces wanted. Demands of zero pieces are passed over; two demands may have one length.
    pub demands: &'a [Demand],
    /// The length lost by one cut. Between k pieces of one stick there are k - 1 cuts, so pieces fit where the
    /// sum of (piece + kerf) is at most stick + kerf.
    pub kerf: u64,
    /// The most steps to spend on proving and improving; [`USUAL_EFFORT`] is a good choice. Steps, never
    /// seconds: the same order has the same plan on every machine. With zero there is still a plan and a bound.
    pub effort: u64,
}

/// One way of cutting a stick, and how many sticks are cut that way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layout {
    /// Which of [`CutOrder::stocks`].
    pub stock: usize,
    /// So many sticks are cut alike.
    pub times: u64,
    /// Which of [`CutOrder::demands`], and how many pieces of it on each of these sticks; longest first.
    pub pieces: Vec<(usize, u64)>,
    /// The length that remains of each stick after the last piece is cut off; zero if the last cut would use it up.
    pub left_over: u64,
}

/// How to cut everything, what that costs, and what it must cost at least.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CutPlan {
    /// The sticks, longest first.
    pub layouts: Vec<Layout>,
    /// The price of all sticks of the plan.
    pub cost: u64,
    /// No plan costs less than this: proven in whole numbers.
    pub bound: u64,
}

impl CutPlan {
    /// Is this plan proven to be the least in cost?
    #[must_use]
    pub fn is_least(&self) -> bool {
        self.cost == self.bound
    }
}

/// Why there is no plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoPlan {
    /// A piece is longer than every stick that can be had.
    TooLong {
        /// Which of [`CutOrder::demands`]: the longest, the first of several as long.
        demand: usize,
    },
    /// A piece has no length.
    NoLength {
        /// Which of [`CutOrder::demands`]: the first of them.
        demand: usize,
    },
    /// The pieces do not go into all the sticks that can be had: proven.
    NotEnoughStock,
    /// A piece that may be joined cannot be parted into parts that are long enough and fit a stick.
    CannotJoin {
        /// Which of [`JoinOrder::long`]: the first of them.
        long: usize,
    },
    /// No way was found to get the pieces into the sticks that can be had, nor a proof that there is none.
    NotFound,
    /// The numbers are too large to reckon with.
    Overflow,
}

/// What is to be cut, and pieces that may be joined from parts.
#[derive(Debug, Clone, Copy)]
pub struct JoinOrder<'a> {
    /// What is on sale or on hand, and the pieces that stay whole.
    pub whole: CutOrder<'a>,
    /// Pieces that may be joined, each longer than every stick of which there is any number; all of them wanted.
    pub long: &'a [Demand],
    /// No part is shorter, whatever the least piece is that its buyer would couple.
    pub shortest: u64,
    /// What one joint costs, in whole units of money.
    pub joint: u64,
}

/// How long pieces are parted: so many of one of them alike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Parting {
    /// Which of [`JoinOrder::long`].
    pub long: usize,
    /// So many are parted alike.
    pub times: u64,
    /// Which of [`JoinedPlan::parts`], each with how often; longest first.
    pub parts: Vec<(usize, u64)>,
}

/// How to cut everything with the joints that it takes, what that costs and must cost at least.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JoinedPlan {
    /// The sticks. Demands beyond those that stay whole are [`JoinedPlan::parts`], in their order.
    pub layouts: Vec<Layout>,
    /// Lengths of parts, longest first, and how many there are of each.
    pub parts: Vec<Demand>,
    /// How long pieces are parted.
    pub partings: Vec<Parting>,
    /// Joints between parts.
    pub joints: u64,
    /// The price of all sticks, and of the joints.
    pub cost: u64,
    /// No plan costs less, however the long pieces are parted: proven in whole numbers.
    pub bound: u64,
}

impl JoinedPlan {
    /// Is this plan proven to be the least in cost?
    #[must_use]
    pub fn is_least(&self) -> bool {
        self.cost == self.bound
    }
}
