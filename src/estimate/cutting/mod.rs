//! Cutting pieces from coils, sticks and offcuts on hand at least cost, with a lower bound that is proven.
//!
//! One dimension and whole numbers only: lengths in any whole unit (nanometres will do), prices in any whole
//! unit of money. It knows nothing of tube, suppliers or tables, keeps no state, reads no clock and prints
//! nothing. The buying plan calls it; so may anything that cuts lengths from lengths.
//!
//! How it works: sticks bought and pieces cut are decided apart. `purchase` finds the cheapest set of sticks
//! that meets every inequality known to hold for all plans (the first: enough length in all); `least` tries to
//! pack the pieces into that set: by rule, by `mending` what the rule left over, by dives. Where they do not go
//! in, it learns a new inequality or refuses the set, and asks again. The cheapest set not yet refused is a
//! proven bound all the while, and the first that packs is least. Floats propose inequalities and cuts
//! (`columns`), and whole numbers check all that is claimed.

mod board;
mod columns;
mod completion;
mod dive;
mod drawn;
mod effort;
mod every_way;
mod filling;
mod fitting;
mod fullest;
mod joining;
mod joints;
mod knapsack;
mod least;
mod mending;
mod normal;
mod packing;
mod peel;
mod purchase;
mod rooms;
mod simplex;
mod sorted;
mod stairs;
mod walking;

use effort::Effort;
pub use joining::{JoinOrder, JoinedPlan, Parting, plan_joined};

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

/// Plans the cuts of an order: the cheapest plan found, and the greatest bound proven.
///
/// The same order has the same plan always, and the order of stocks and demands changes nothing but the indices
/// in it. Ties go to the longer stick and the longer piece, then to whichever plan was found first.
///
/// # Errors
/// See [`NoPlan`].
///
/// ```
/// use coilstick::estimate::cutting::{CutOrder, Demand, Stock, USUAL_EFFORT, plan};
/// let stocks = [Stock { length: 240, price: 1098, available: None }];
/// let demands = [Demand { length: 100, count: 3 }, Demand { length: 38, count: 2 }];
/// let plan = plan(&CutOrder { stocks: &stocks, demands: &demands, kerf: 1, effort: USUAL_EFFORT }).unwrap();
/// assert_eq!(plan.cost, 2 * 1098);
/// assert!(plan.is_least());
/// ```
pub fn plan(order: &CutOrder<'_>) -> Result<CutPlan, NoPlan> {
    let normal = normal::normal_form(order)?;
    let mut effort = Effort::new(order.effort);
    let (job, settled) = peel::peel(&normal.job).ok_or(NoPlan::NotEnoughStock)?;
    let mut found = least::least(&job, &mut effort)?;
    found.add(&job, settled);
    normal.unfold(order, &found)
}
