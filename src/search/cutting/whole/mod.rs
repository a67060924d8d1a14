//! Pieces that stay whole: the least plan of an order without joints. One verb, [`plan`]; how it works stands in
//! the page of [`super`]. `joined` borrows its linear program, its choice of sticks and its repair.

mod classical;
pub(super) mod columns;
mod fixed_pairs;
mod fullest;
pub(super) mod job;
mod knapsack;
mod least;
mod normal;
pub(super) mod packing;
pub(super) mod repair;
mod repair_fill;
mod simplex;
pub(super) mod stock_selection;

use super::order::{CutOrder, CutPlan, NoPlan};
use crate::search::effort::Effort;

/// Plans the cuts of an order: the cheapest plan found, and the greatest bound proven.
///
/// The same order has the same plan always, and the order of stocks and demands changes nothing but the indices
/// in it. Ties go to the longer stick and the longer piece, then to whichever plan was found first.
///
/// # Errors
/// See [`NoPlan`].
///
/// ```
/// use coilstick::search::cutting::{CutOrder, Demand, Stock, USUAL_EFFORT, plan};
/// let stocks = [Stock { length: 240, price: 1098, available: None }];
/// let demands = [Demand { length: 100, count: 3 }, Demand { length: 38, count: 2 }];
/// let plan = plan(&CutOrder { stocks: &stocks, demands: &demands, kerf: 1, effort: USUAL_EFFORT }).unwrap();
/// assert_eq!(plan.cost, 2 * 1098);
/// assert!(plan.is_least());
/// ```
pub fn plan(order: &CutOrder<'_>) -> Result<CutPlan, NoPlan> {
    let normal = normal::normal_form(order)?;
    let mut effort = Effort::new(order.effort);
    let (job, settled) = fixed_pairs::take_out(&normal.job).ok_or(NoPlan::NotEnoughStock)?;
    let mut found = least::least(&job, &mut effort)?;
    found.add(&job, settled);
    normal.unfold(order, &found)
}
