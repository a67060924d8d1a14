//! One alternative: what the stages made of the network in one system, side by side. Plain data.

use rust_decimal::Decimal;

use super::takeoff::Takeoff;
use super::tooling::Tools;
use super::{BuyingPlan, Cost, ItemId, Labor, OrderLine, Substitute, TubePlan};
use crate::ground::Notice;
use crate::trade::{SystemId, Word};

/// One alternative, taken off, cut, bought and costed.
#[derive(Debug, Clone)]
pub struct Alternative {
    /// What it is called: its system, or the systems of both sides of the house.
    pub name: Word,
    /// The system of water runs that name none.
    pub system: SystemId,
    /// What is installed.
    pub takeoff: Takeoff,
    /// How tube is cut.
    pub plans: Vec<TubePlan>,
    /// What is bought, in the order shown.
    pub order: Vec<OrderLine>,
    /// Which suppliers get an order, and what that costs with delivery.
    pub buying: BuyingPlan,
    /// Fittings that are built from others.
    pub built: Vec<Substitute>,
    /// What it costs.
    pub cost: Cost,
    /// The hours it takes.
    pub labor: Labor,
    /// The tools it needs.
    pub tools: Tools,
    /// What is wrong or doubtful in its prices.
    pub notices: Vec<Notice>,
}

impl Alternative {
    /// How many of an item are made up from other fittings.
    pub(crate) fn made_up(&self, item: ItemId) -> Decimal {
        let of_it = self.built.iter().filter(|built| built.item == item);
        of_it.map(|built| Decimal::from(built.count)).sum()
    }
}
