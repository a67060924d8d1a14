//! Buying: from the needs of one alternative to the lines of its order.
//!
//! Item by item: allowance, what is on hand, the offers that match and are good on the day, the cheapest whole packs
//! or the cut plan at each supplier. Then, for all lines together, which supplier sells which line, so that goods and
//! delivery fees cost least. A choice that is locked is kept. A need that nobody sells is not priced and noticed, never
//! zero. The walk calls [`make_up`] and [`buy`] once for each alternative; costing sums it up.

mod ask;
mod assemblies;
mod choosing;
mod coupling_iteration;
mod extra_couplings;
mod findings;
mod locked;
mod lot;
mod market;
mod matching;
mod notices;
mod ordering;
mod parts;
pub mod price;
mod rivals;
mod shelf;
mod substitution;
#[cfg(test)]
pub(super) mod tests;
mod tube;

use std::collections::BTreeSet;

pub use market::Market;
pub use rivals::{Rival, rivals};
pub use substitution::make_up;
pub(super) use {findings::HELD_ELSEWHERE, findings::held_for_nothing, lot::repriced};

use super::takeoff::Takeoff;
use super::{BuyingPlan, Items, OrderLine, Substitute, TubePlan};
use crate::ground::Notice;
use ask::OrderBuilder;
use ordering::ToBuy;

/// What is bought for one alternative.
#[derive(Debug, Clone)]
pub struct Bought {
    /// The order, in the order shown: class, part name, system, size, variant, color.
    pub order: Vec<OrderLine>,
    /// How tube is cut, in the same order.
    pub plans: Vec<TubePlan>,
    /// Which suppliers get an order, and what that costs with delivery.
    pub plan: BuyingPlan,
    /// Fittings that are made up from others.
    pub built: Vec<Substitute>,
    /// The rows of the table `held` that speak of what it needs, by their index.
    pub held: BTreeSet<usize>,
    /// What is wrong or doubtful in its prices.
    pub notices: Vec<Notice>,
}

/// Buys what one alternative needs at the least landed cost, or keeps the choices that are locked.
///
/// Each line is bought from one supplier. Of equal sums the fewer suppliers are taken, then the fewer packs, then the
/// first by name, then the row of the offer. Where the cut plan of a tube adds couplings, they are needed too: lines
/// are asked for again until the couplings are those of the suppliers that are chosen. `built` says which fittings are
/// made up from others.
pub fn buy(market: &Market<'_>, items: &Items, takeoff: &Takeoff, built: Vec<Substitute>) -> Bought {
    let (alternative, effort) = (takeoff.sides(), tube::EFFORT);
    let builder = OrderBuilder { market, items, alternative, substitutes: &built, effort };
    let to_buy = ToBuy::of(&builder, takeoff);
    let order = to_buy.order(&builder);
    let notices = notices::notices(&builder, &takeoff.lines, &order);
    let held = order.lines.iter().flat_map(|(ask, _)| &ask.locked.rows).copied().collect();
    let plan = order.plan;
    let (lines, plans): (Vec<_>, Vec<_>) =
        order.lines.into_iter().map(|(_, settled)| (settled.line, settled.plan)).unzip();
    Bought { order: lines, plans: plans.into_iter().flatten().collect(), plan, held, notices, built }
}
