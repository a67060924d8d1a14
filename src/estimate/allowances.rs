//! What allowances come to: the chosen alternative is bought once more without any, and what lies between the two orders
//! is what they cost. A percentage does not say it: one fitting and five percent are two fittings, and a bag that is
//! bought in any case costs nothing more. Called by the walk for the chosen alternative alone; it changes nothing.

use rust_decimal::Decimal;

use super::alternative::Alternative;
use super::buying::{self, Market};
use super::{Items, OrderLine};
use crate::ground::money::round_half_away;
use crate::ground::notice::remark;
use crate::ground::{Notice, RowAt};
use crate::trade::{Class, Job};

/// What the allowance of a class comes to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AllowanceCost {
    /// The class.
    pub class: Class,
    /// The allowance in points.
    pub percent: Decimal,
    /// What is paid for the class without any allowance.
    pub without: Decimal,
    /// What is paid for it as it is ordered.
    pub with: Decimal,
}

impl AllowanceCost {
    /// What it adds.
    pub fn adds(&self) -> Decimal {
        self.with - self.without
    }

    /// The same in points of what is paid without it, to one place; nothing where that is nothing.
    pub fn points(&self) -> Option<Decimal> {
        let points = self.adds().checked_mul(Decimal::ONE_HUNDRED)?.checked_div(self.without)?;
        Some(round_half_away(points, 1))
    }
}

/// What the allowances of a job come to in its chosen alternative, by class; nothing where it states none. Lines that
/// nobody prices are in neither sum. What is made up from other parts stays made up.
pub(super) fn allowance_costs(job: &Job, items: &Items, chosen: Option<&Alternative>) -> Vec<AllowanceCost> {
    let stated = |class: &Class| !job.settings.added(*class).is_zero();
    let Some(chosen) = chosen.filter(|_| Class::ALL.iter().any(stated)) else {
        return Vec::new();
    };
    let mut settings = job.settings.clone();
    settings.allowances.clear();
    let market = Market::open(job).with(&settings);
    let without = buying::buy(&market, items, &chosen.takeoff, chosen.built.clone());
    let of = |class: Class| {
        let paid = |order: &[OrderLine]| {
            let lines = order.iter().filter(|line| items.get(line.item).class == class);
            lines.filter_map(|line| line.extended).fold(Decimal::ZERO, Decimal::saturating_add)
        };
        let (without, with) = (paid(&without.order), paid(&chosen.order));
        AllowanceCost { class, percent: job.settings.added(class), without, with }
    };
    let all = Class::ALL.into_iter().map(of);
    all.filter(|one| stated(&one.class) && !one.with.is_zero() || !one.adds().is_zero()).collect()
}

/// So many times its percentage an allowance may come to before a remark says so.
const TIMES: Decimal = Decimal::TWO;

/// Allowances that come to much more money than their percentage.
pub(super) fn rounded_up(job: &Job, costs: &[AllowanceCost]) -> Vec<Notice> {
    let of = |one: &AllowanceCost| {
        let row = job.settings.allowance(one.class).1?;
        let points = one.points()?;
        let is_more = one.percent > Decimal::ZERO && points > one.percent.checked_mul(TIMES)?;
        is_more.then(|| comes_to_more(job, one, points, row))
    };
    costs.iter().filter_map(of).collect()
}

fn comes_to_more(job: &Job, one: &AllowanceCost, points: Decimal, row: RowAt) -> Notice {
    let (class, percent) = (one.class.word(), one.percent.normalize());
    let adds = crate::ground::money::in_currency(&job.settings.currency, one.adds());
    let finding = remark(
        "allowance-rounds-up",
        format!(
            "an allowance of {percent} % on {class} comes to {adds}, {} % of what they cost without it",
            points.normalize()
        ),
        "an allowance that costs about as much as it says; one of a part and a few percent are two",
        format!(
            "nothing, or add a row to job: no allowance under, {class}, 10: then only parts of which ten or more are needed have it"
        ),
    );
    finding.at([job.sources.cell(row, "value")])
}
