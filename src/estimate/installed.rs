//! What each alternative costs installed: material, tools, labor and the sales tax on them; with the joints to make and
//! the hours. Ranking and sentences are the comparison's. One public verb: [`install`].

use rust_decimal::Decimal;

use super::costing::tax_rate;
use super::whole::lacks;
use super::{Alternative, ItemId, Items};
use crate::ground::money::to_cents;
use crate::trade::{Job, Taxed};

/// What one alternative costs installed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Installed {
    /// Total material.
    pub material: Decimal,
    /// Tools and one-offs; zero where the job has no table of them.
    pub tools: Decimal,
    /// Labor; zero where the job has no table of it.
    pub labor: Decimal,
    /// Sales tax on the three, in cents.
    pub tax: Decimal,
    /// All of it.
    pub total: Decimal,
    /// Tube joints to make, those that the cut plan adds or spares among them.
    pub joints: i64,
    /// Hours of one person; nothing where they are not known for all the work.
    pub hours: Option<Decimal>,
    /// Days of the crew; nothing where they are not known.
    pub days: Option<Decimal>,
    /// Whether everything in it is counted and priced, so that it may be ranked.
    pub whole: bool,
}

/// Adds up what one alternative costs installed. Sums that do not fit 28 digits are not whole. Labor whose wages are not
/// said is not in it.
pub(crate) fn install(job: &Job, items: &Items, of: &Alternative) -> Installed {
    let (labor, tools) = (&of.labor, &of.tools);
    let order: Vec<(ItemId, Decimal)> =
        of.order.iter().map(|line| (line.item, line.extended.unwrap_or_default())).collect();
    let sums = on_top(job, items, &order, tools.cost, labor.cost);
    let (tax, total) = sums.unwrap_or_default();
    let has_hours = labor.has_all_hours();
    Installed {
        material: of.cost.material,
        tools: tools.cost,
        labor: labor.cost,
        tax,
        total,
        joints: joints_to_make(of),
        hours: has_hours.then_some(labor.hours),
        days: has_hours.then_some(labor.days),
        whole: sums.is_some() && lacks(job, of).is_empty(),
    }
}

/// The sales tax on an order, tools and labor, and all of it together.
pub(super) fn on_top(
    job: &Job,
    items: &Items,
    order: &[(ItemId, Decimal)],
    tools: Decimal,
    labor: Decimal,
) -> Option<(Decimal, Decimal)> {
    let rate = |of: Taxed| job.settings.bid.tax_rate(of, job.settings.sales_tax);
    let of_tools = tools.checked_mul(rate(Taxed::Tools))?;
    let mut taxed = labor.checked_mul(rate(Taxed::Labor))?.checked_add(of_tools)?;
    let mut sum = tools.checked_add(labor)?;
    for (item, extended) in order {
        sum = sum.checked_add(*extended)?;
        taxed = taxed.checked_add(extended.checked_mul(tax_rate(job, items.get(*item)))?)?;
    }
    let tax = to_cents(taxed.checked_div(Decimal::ONE_HUNDRED)?);
    Some((tax, sum.checked_add(tax)?))
}

/// Joints to make: tube joints of the takeoff, two for each coupling that a cut plan adds (fewer for each that it spares),
/// and those in fittings built from others.
pub(crate) fn joints_to_make(of: &Alternative) -> i64 {
    let by_plan = of.plans.iter().map(|plan| plan.extra_couplings.saturating_mul(2));
    let in_built = of.built.iter().map(|built| {
        let each = i64::try_from(built.joints()).unwrap_or(i64::MAX);
        built.count.saturating_mul(each)
    });
    by_plan.chain(in_built).fold(of.takeoff.joints, i64::saturating_add)
}
