//! Costing: what the order of one alternative comes to, by cost line, and with it what is asked for the job.
//!
//! Subtotals are sums of rounded lines. What becomes of them is the [`super::bid`]'s; here the order is added up,
//! line by line with the sales tax of its class, and the delivery fee of each supplier that it buys from. It chooses
//! nothing.

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use super::bid;
use super::{Bid, CostLine, Item, ItemId, Items, OrderLine, Spent};
use crate::ground::money::round_half_away;
use crate::ground::notice::error;
use crate::ground::{Notice, RowAt};
use crate::trade::{Class, Job, Taxed, Word};

/// What one alternative costs and asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cost {
    /// The sum of each cost line, in the order of [`CostLine::ALL`].
    pub lines: [Decimal; 5],
    /// Total material.
    pub material: Decimal,
    /// Order lines without an offer.
    pub not_priced: Vec<ItemId>,
    /// Whether the takeoff is whole: no run left out, no part missing from the tables.
    pub complete: bool,
    /// What is asked for the job, line by line.
    pub bid: Bid,
    /// Fittings and joining as a share of tube cost, in points to one place; nothing without tube.
    pub fittings_share: Option<Decimal>,
}

/// The sums of an alternative are larger than money is counted in.
pub(super) fn sums_too_large(job: &Job) -> Notice {
    let finding = error(
        "sums-too-large",
        "the sums of this job do not fit the 28 digits that money is counted in",
        "the prices and quantities of a house",
        "look for a price or a length with too many digits",
    );
    finding.at(job.runs.first().map(|run| job.sources.row(RowAt { row: 0, ..run.row })))
}

impl Cost {
    /// A cost of which nothing is known: sums that do not fit are not shown as anything.
    pub(super) fn nothing() -> Self {
        Self {
            lines: [Decimal::ZERO; 5],
            material: Decimal::ZERO,
            not_priced: Vec::new(),
            complete: false,
            bid: Bid::default(),
            fittings_share: None,
        }
    }
}

/// What an order comes to, with labor and tools; `complete` says whether its takeoff is whole. Nothing where the sums do
/// not fit 28 digits.
pub fn cost(
    job: &Job,
    items: &Items,
    order: &[OrderLine],
    (labor, tools): (Decimal, Decimal),
    complete: bool,
) -> Option<Cost> {
    let mut lines = [Decimal::ZERO; CostLine::ALL.len()];
    let mut taxable = [Decimal::ZERO; Class::ALL.len()];
    let mut not_priced = Vec::new();
    for line in order {
        let item = items.get(line.item);
        match line.extended {
            Some(sum) => {
                let of_class = &mut lines[CostLine::of(item.class) as usize];
                *of_class = of_class.checked_add(sum)?;
                if !is_exempt(job, item) {
                    let of_class = &mut taxable[item.class as usize];
                    *of_class = of_class.checked_add(sum)?;
                }
            }
            None => not_priced.push(line.item),
        }
    }
    let material = lines.iter().try_fold(Decimal::ZERO, |sum, line| sum.checked_add(*line))?;
    let supplier_fees = supplier_fees(job, order)?;
    let bid = bid::bid(&job.settings, Spent { material, taxable, labor, tools, supplier_fees })?;
    let fittings_share = fittings_share(&lines);
    Some(Cost { lines, material, not_priced, complete, bid, fittings_share })
}

/// The rate of sales tax on an item, in points: none where its part is exempt.
pub(crate) fn tax_rate(job: &Job, item: &Item) -> Decimal {
    match is_exempt(job, item) {
        true => Decimal::ZERO,
        false => job.settings.bid.tax_rate(Taxed::Class(item.class), job.settings.sales_tax),
    }
}

/// The sales tax on what is bought of an item, not rounded; nothing where it is exempt.
pub(crate) fn tax_on(job: &Job, item: &Item, sum: Decimal) -> Option<Decimal> {
    let tax = || sum.checked_mul(tax_rate(job, item)).unwrap_or_default() / Decimal::ONE_HUNDRED;
    (!is_exempt(job, item)).then(tax)
}

/// Whether the job says of its part that no sales tax is taken on it.
pub(crate) fn is_exempt(job: &Job, item: &Item) -> bool {
    let mut exempt = job.settings.bid.exempt.iter();
    exempt.any(|(word, _)| job.catalog.parts_called_or_used(*word).contains(&item.part))
}

/// The delivery fee of a supplier.
pub(crate) fn delivery_fee(job: &Job, supplier: Word) -> Decimal {
    job.supplier(supplier).map_or(Decimal::ZERO, |row| row.delivery_fee)
}

/// Once for each supplier that something is bought from.
fn supplier_fees(job: &Job, order: &[OrderLine]) -> Option<Decimal> {
    let picks = order.iter().flat_map(|line| &line.picks).filter(|pick| !pick.packs.is_zero());
    let suppliers: BTreeSet<Word> = picks
        .filter_map(|pick| job.prices.offers.get(pick.offer.0 as usize))
        .map(|offer| offer.supplier)
        .collect();
    suppliers.iter().try_fold(Decimal::ZERO, |sum, supplier| sum.checked_add(delivery_fee(job, *supplier)))
}

/// Fittings and joining as a share of tube cost, in points to one place.
fn fittings_share(lines: &[Decimal; 5]) -> Option<Decimal> {
    let of = |line: CostLine| lines[line as usize];
    let small = of(CostLine::Fittings).checked_add(of(CostLine::Joining))?;
    let share = small.checked_mul(Decimal::ONE_HUNDRED)?.checked_div(of(CostLine::Tube))?;
    Some(round_half_away(share, 1))
}

#[cfg(test)]
mod tests {
    use super::super::buying::tests::fixture::{House, d};
    use super::*;
    use crate::trade::SoldAs;

    fn house() -> House {
        let mut house = House::new();
        let tube = house.item("tube", &["3/4"], Class::Tube, "");
        house.tube(tube, "90", 1, false);
        house.length("Invented Supply", "3/4", SoldAs::Coil, 100, "50.00");
        let elbow = house.item("elbow", &["3/4"], Class::Fitting, "");
        house.need(elbow, 3);
        house.offer("Invented Supply", "elbow", &["3/4"], "1.115");
        house
    }

    #[test]
    fn material_is_added_up_by_cost_line_with_the_tax_of_its_class() {
        let mut house = house();
        house.settings.sales_tax = d("8.25");
        house.settings.bid.tax_rates = vec![(Taxed::Class(Class::Fitting), d("2"))];
        let bought = house.buy();
        let cost = cost(&house.job, &house.items, &bought.order, (d("0"), d("0")), true).unwrap();
        // 3 at 1.115 are 3.345: 3.35 (half away from zero). 8.25 % of 50.00 is 4.125, 2 % of 3.35 is 0.067.
        assert_eq!((cost.material, cost.bid.spent.taxable[Class::Fitting as usize]), (d("53.35"), d("3.35")));
        assert_eq!(cost.bid.tax, d("4.19"));
        assert_eq!(cost.lines, [d("50.00"), d("3.35"), d("0"), d("0"), d("0")]);
        assert_eq!(cost.fittings_share, Some(d("6.7")));
    }

    #[test]
    fn each_supplier_that_sells_something_delivers_once() {
        let mut house = house();
        house.supplier("Invented Supply", "40.00", "0");
        house.supplier("Nobody's Supply (invented)", "25.00", "0");
        let bought = house.buy();
        let cost = cost(&house.job, &house.items, &bought.order, (d("0"), d("0")), true).unwrap();
        assert_eq!(cost.bid.spent.supplier_fees, d("40.00"));
        assert_eq!((cost.bid.delivery, cost.bid.direct), (d("40.00"), d("93.35")));
    }

    #[test]
    fn what_is_not_priced_is_counted_and_never_zero() {
        let mut house = house();
        let valve = house.item("ball valve", &["1"], Class::Valve, "");
        house.need(valve, 1);
        let bought = house.buy();
        let cost = cost(&house.job, &house.items, &bought.order, (d("0"), d("0")), true).unwrap();
        assert_eq!(cost.not_priced, [valve]);
        assert_eq!(cost.material, d("53.35"));
        let line = bought.order.iter().find(|line| line.item == valve).unwrap();
        assert_eq!((line.extended, line.picks.len()), (None, 0));
    }

    #[test]
    fn without_tube_there_is_no_share_of_it() {
        let house = House::new();
        let cost = cost(&house.job, &house.items, &[], (d("0"), d("0")), true).unwrap();
        assert_eq!((cost.fittings_share, cost.bid.total), (None, d("0")));
    }
}
