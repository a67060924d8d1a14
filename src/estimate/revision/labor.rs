//! The labor of two estimates: which work takes more hours and which less, and what that costs at the old wages. Money is
//! taken on the sum of all hours, as the bid takes it, never work by work.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::Side;
use crate::estimate::Labor;
use crate::estimate::task::task_called;
use crate::ground::money::to_cents;
use crate::ground::name::natural;
use crate::trade::WorkPer;

/// Work of one kind before and now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WorkChange {
    /// What its hours are for.
    pub per: WorkPer,
    /// What it is.
    pub work: String,
    /// Hours of one person before.
    pub old: Decimal,
    /// Hours now.
    pub new: Decimal,
}

/// What a change does to labor: `by_hours + by_wages = cost now - cost before`, exactly.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LaborChange {
    /// Work whose hours changed, as the table of labor parts it, then by its name.
    pub works: Vec<WorkChange>,
    /// Hours of one person before and now.
    pub hours: [Decimal; 2],
    /// What the hours cost before and now; nothing where wages are not said on both sides.
    pub cost: Option<[Decimal; 2]>,
    /// What the hours moved, at the old wages.
    pub by_hours: Decimal,
    /// What the wages moved, at the new hours.
    pub by_wages: Decimal,
    /// Whether all work of both sides has hours.
    pub whole: bool,
}

/// The labor of both sides; nothing where a side states none.
pub(super) fn change(old: Side<'_>, new: Side<'_>) -> Option<LaborChange> {
    let stated = |side: Side<'_>| side.chosen().map(|of| of.labor.clone()).filter(|labor| labor.stated);
    let (before, now): (Labor, Labor) = (stated(old)?, stated(new)?);
    let mut works: BTreeMap<(WorkPer, String), [Decimal; 2]> = BTreeMap::new();
    for (at, (side, labor)) in [(old, &before), (new, &now)].into_iter().enumerate() {
        for line in &labor.lines {
            let work = task_called(side.job, &side.estimate.items, &line.task);
            let hours = works.entry((line.per, work)).or_default();
            hours[at] += line.hours.unwrap_or_default();
        }
    }
    let mut works: Vec<WorkChange> = works
        .into_iter()
        .filter(|(_, [old, new])| old != new)
        .map(|((per, work), [old, new])| WorkChange { per, work, old, new })
        .collect();
    works.sort_by(|a, b| a.per.cmp(&b.per).then_with(|| natural(&a.work, &b.work)));
    let rates = before.rate.zip(now.rate);
    let at_old_wages = rates.and_then(|(rate, _)| now.hours.checked_mul(rate)).map(to_cents);
    let at_old_wages = at_old_wages.unwrap_or_default();
    let cost = rates.map(|_| [before.cost, now.cost]);
    Some(LaborChange {
        works,
        hours: [before.hours, now.hours],
        by_hours: cost.map_or(Decimal::ZERO, |[old, _]| at_old_wages - old),
        by_wages: cost.map_or(Decimal::ZERO, |[_, new]| new - at_old_wages),
        cost,
        whole: before.has_all_hours() && now.has_all_hours(),
    })
}
