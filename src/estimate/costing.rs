//! Costing: what the order of one alternative comes to, by cost line, and what is asked for the job.
//!
//! Subtotals are sums of rounded lines. Each markup and tax is taken once on its base and rounded to cents:
//!
//! | markup | its base |
//! |---|---|
//! | contingency | material |
//! | overhead | material + contingency |
//! | profit (a markup, not a margin) | material + contingency + overhead |
//! | sales tax | material |
//!
//! The bid is material and all four. It chooses nothing and knows no offers.

use rust_decimal::Decimal;

use super::item::Items;
use super::order::{Cost, CostLine, Markup, OrderLine};
use crate::ground::money::{round_half_away, to_cents};
use crate::trade::Terms;

/// What an order comes to; `complete` says whether its takeoff is whole. Nothing where the sums do not fit 28 digits.
pub fn cost(items: &Items, terms: &Terms, order: &[OrderLine], complete: bool) -> Option<Cost> {
    let mut lines = [Decimal::ZERO; CostLine::ALL.len()];
    let mut not_priced = Vec::new();
    for line in order {
        match line.extended {
            Some(sum) => {
                let of_class = &mut lines[CostLine::of(items.get(line.item).class) as usize];
                *of_class = of_class.checked_add(sum)?;
            }
            None => not_priced.push(line.item),
        }
    }
    let material = lines.iter().try_fold(Decimal::ZERO, |sum, line| sum.checked_add(*line))?;
    let contingency = markup("contingency", terms.contingency, material)?;
    let with_contingency = material.checked_add(contingency.amount)?;
    let overhead = markup("overhead", terms.overhead, with_contingency)?;
    let with_overhead = with_contingency.checked_add(overhead.amount)?;
    let profit = markup("profit", terms.profit, with_overhead)?;
    let tax = markup("sales tax", terms.sales_tax, material)?;
    let bid = with_overhead.checked_add(profit.amount)?.checked_add(tax.amount)?;
    let fittings_share = fittings_share(&lines);
    let markups = vec![contingency, overhead, profit, tax];
    Some(Cost { lines, material, not_priced, complete, markups, bid, fittings_share })
}

fn markup(name: &'static str, percent: Decimal, base: Decimal) -> Option<Markup> {
    let amount = to_cents(base.checked_mul(percent)?.checked_div(Decimal::ONE_HUNDRED)?);
    Some(Markup { name, percent, base, amount })
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
    use super::super::buying::fixture::{House, d};
    use super::*;
    use crate::trade::{Class, SoldAs};

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
    fn each_markup_is_taken_once_on_its_base() {
        let mut house = house();
        let terms = &mut house.terms;
        (terms.contingency, terms.overhead, terms.profit, terms.sales_tax) =
            (d("5"), d("10"), d("20"), d("8.25"));
        let bought = house.buy();
        let cost = cost(&house.items, &house.terms, &bought.order, true).unwrap();
        // 3 at 1.115 are 3.345: 3.35 (half away from zero). Material 53.35; contingency 5 %: 2.6675, 2.67;
        // overhead 10 % of 56.02: 5.60; profit 20 % of 61.62: 12.324, 12.32; tax 8.25 % of 53.35: 4.401, 4.40.
        assert_eq!(cost.material, d("53.35"));
        let amounts: Vec<_> = cost.markups.iter().map(|m| (m.name, m.base, m.amount)).collect();
        assert_eq!(
            amounts,
            [
                ("contingency", d("53.35"), d("2.67")),
                ("overhead", d("56.02"), d("5.60")),
                ("profit", d("61.62"), d("12.32")),
                ("sales tax", d("53.35"), d("4.40")),
            ]
        );
        assert_eq!(cost.bid, d("78.34"));
        assert_eq!(cost.lines, [d("50.00"), d("3.35"), d("0"), d("0"), d("0")]);
        assert_eq!(cost.fittings_share, Some(d("6.7")));
    }

    #[test]
    fn what_is_not_priced_is_counted_and_never_zero() {
        let mut house = house();
        let valve = house.item("ball valve", &["1"], Class::Valve, "");
        house.need(valve, 1);
        let bought = house.buy();
        let cost = cost(&house.items, &house.terms, &bought.order, true).unwrap();
        assert_eq!(cost.not_priced, [valve]);
        assert_eq!(cost.material, d("53.35"));
        let line = bought.order.iter().find(|line| line.item == valve).unwrap();
        assert_eq!((line.extended, line.picks.len()), (None, 0));
    }

    #[test]
    fn without_tube_there_is_no_share_of_it() {
        let house = House::new();
        let cost = cost(&house.items, &house.terms, &[], true).unwrap();
        assert_eq!((cost.fittings_share, cost.bid), (None, d("0")));
    }
}
