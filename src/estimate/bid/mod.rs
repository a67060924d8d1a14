//! The bid: from what the work costs to what is asked for it.
//!
//! | line | its base |
//! |---|---|
//! | material | the order: the sum of its rounded lines |
//! | labor, tools | as reckoned |
//! | lump-sum labor | as stated |
//! | small parts | material x points |
//! | delivery | the sum the job states, and the fee of each supplier that the order buys from |
//! | marked up fees | as stated |
//! | **direct cost** | the sum of the lines above |
//! | contingency | direct cost x points |
//! | overhead | (direct cost + contingency) x points |
//! | profit as a markup | (direct cost + contingency + overhead) x points |
//! | profit as a margin | (direct cost + contingency + overhead) x points / (100 - points) |
//! | **price of the work** | the sum of direct cost and the three |
//! | sales tax | what material of each class costs, exempt parts apart, x its rate; small parts, labor (by the lump too), tools and delivery x theirs |
//! | fees | as stated |
//! | **bid** | price of the work + sales tax + fees |
//!
//! Each line is rounded to cents once, half away from zero; sums are sums of rounded lines. The tax is added up unrounded
//! and rounded once. A markup is a share of the cost, a margin a share of the price of the work: price = cost / (1 - margin)
//! and markup = margin / (1 - margin). The tax is on what is bought, as one who uses the goods up pays it; neither tax nor
//! fees are marked up. It chooses nothing and knows no offers: costing calls it for each alternative.

use rust_decimal::Decimal;

use crate::ground::money::{round_half_away, to_cents};
use crate::trade::{Class, ProfitAs, Settings, SumAs, Taxed};

pub(super) const HUNDRED: Decimal = Decimal::ONE_HUNDRED;

/// What the work costs before anything is added to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Spent {
    /// Material: what the order comes to.
    pub material: Decimal,
    /// What of it is taxed, by class in the order of [`Class::ALL`]: all but exempt parts.
    pub taxable: [Decimal; Class::ALL.len()],
    /// Labor.
    pub labor: Decimal,
    /// Tools and one-offs.
    pub tools: Decimal,
    /// The delivery fees of the suppliers that the order buys from.
    pub supplier_fees: Decimal,
}

/// What is asked for the work, line by line; every sum in cents.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Bid {
    /// What the work costs before anything is added to it.
    pub spent: Spent,
    /// Labor that is stated by the lump.
    pub lump_sum_labor: Decimal,
    /// Small parts that nobody counts.
    pub small_parts: Decimal,
    /// Delivery: the stated sum and the suppliers' fees.
    pub delivery: Decimal,
    /// Fees among the direct costs.
    pub marked_up_fees: Decimal,
    /// Direct cost.
    pub direct: Decimal,
    /// For what cannot be foreseen.
    pub contingency: Decimal,
    /// Overhead.
    pub overhead: Decimal,
    /// Profit, by markup or by margin.
    pub profit: Decimal,
    /// The price of the work, before tax and fees.
    pub price: Decimal,
    /// Sales tax.
    pub tax: Decimal,
    /// Fees that are handed on.
    pub fees: Decimal,
    /// What is asked.
    pub total: Decimal,
}

/// What is asked for work that costs so much. Nothing where the sums do not fit 28 digits, or a margin leaves nothing for
/// the cost.
pub fn bid(terms: &Settings, spent: Spent) -> Option<Bid> {
    let said = &terms.bid;
    let stated = |is: SumAs| {
        let mut these = said.sums.iter().filter(|one| one.is == is);
        these.try_fold(Decimal::ZERO, |sum, one| sum.checked_add(one.sum))
    };
    let lump_sum_labor = stated(SumAs::LumpSumLabor)?;
    let labor = spent.labor.checked_add(lump_sum_labor)?;
    let small_parts = to_cents(points_of(said.small_parts, spent.material)?);
    let delivery = said.delivery.checked_add(spent.supplier_fees)?;
    let marked_up_fees = stated(SumAs::MarkedUpFee)?;
    let direct = sum(&[spent.material, labor, spent.tools, small_parts, delivery, marked_up_fees])?;
    let contingency = to_cents(points_of(terms.contingency, direct)?);
    let overhead = to_cents(points_of(terms.overhead, direct.checked_add(contingency)?)?);
    let cost = sum(&[direct, contingency, overhead])?;
    let profit = profit(terms.profit, said.profit_as, cost)?;
    let price = cost.checked_add(profit)?;
    let rate = |of: Taxed| said.tax_rate(of, terms.sales_tax);
    let mut material_tax = Decimal::ZERO;
    for (class, taxable) in Class::ALL.into_iter().zip(spent.taxable) {
        material_tax = material_tax.checked_add(points_of(rate(Taxed::Class(class)), taxable)?)?;
    }
    let tax = to_cents(sum(&[
        material_tax,
        points_of(rate(Taxed::SmallParts), small_parts)?,
        points_of(rate(Taxed::Labor), labor)?,
        points_of(rate(Taxed::Tools), spent.tools)?,
        points_of(rate(Taxed::Delivery), delivery)?,
    ])?);
    let handed_on = stated(SumAs::Fee)?;
    let total = sum(&[price, tax, handed_on])?;
    Some(Bid {
        spent,
        lump_sum_labor,
        small_parts,
        delivery,
        marked_up_fees,
        direct,
        contingency,
        overhead,
        profit,
        price,
        tax,
        fees: handed_on,
        total,
    })
}

/// Profit on a cost, in cents: points of the cost, or points of the price that cost and profit make.
pub fn profit(points: Decimal, profit_as: ProfitAs, cost: Decimal) -> Option<Decimal> {
    let of = match profit_as {
        ProfitAs::Markup => HUNDRED,
        ProfitAs::Margin => HUNDRED.checked_sub(points)?,
    };
    if of <= Decimal::ZERO {
        return None;
    }
    Some(to_cents(cost.checked_mul(points)?.checked_div(of)?))
}

/// The same profit said both ways, in points to two places: as a markup on the cost, and as a margin of the price.
pub fn both_ways(points: Decimal, profit_as: ProfitAs) -> Option<(Decimal, Decimal)> {
    let two = |number: Decimal| round_half_away(round_half_away(number, 6), 2);
    let share = |of: Decimal| points.checked_mul(HUNDRED)?.checked_div(of);
    match profit_as {
        ProfitAs::Markup => Some((points, two(share(HUNDRED.checked_add(points)?)?))),
        ProfitAs::Margin if points < HUNDRED => Some((two(share(HUNDRED.checked_sub(points)?)?), points)),
        ProfitAs::Margin => None,
    }
}

/// So many points of a sum, not rounded.
pub(super) fn points_of(points: Decimal, base: Decimal) -> Option<Decimal> {
    base.checked_mul(points)?.checked_div(HUNDRED)
}

fn sum(sums: &[Decimal]) -> Option<Decimal> {
    sums.iter().try_fold(Decimal::ZERO, |sum, one| sum.checked_add(*one))
}

impl Spent {
    /// What is spent where something moves it as it moves `from` to `to`.
    pub fn moved(self, from: Self, to: Self) -> Option<Self> {
        let move_ = |one: Decimal, from: Decimal, to: Decimal| one.checked_add(to.checked_sub(from)?);
        let mut taxable = self.taxable;
        for ((one, from), to) in taxable.iter_mut().zip(from.taxable).zip(to.taxable) {
            *one = move_(*one, from, to)?;
        }
        Some(Self {
            material: move_(self.material, from.material, to.material)?,
            taxable,
            labor: move_(self.labor, from.labor, to.labor)?,
            tools: move_(self.tools, from.tools, to.tools)?,
            supplier_fees: move_(self.supplier_fees, from.supplier_fees, to.supplier_fees)?,
        })
    }
}

impl Bid {
    /// What it costs to do the work, overhead and contingency among it: what profit is taken on.
    pub fn cost(&self) -> Decimal {
        self.price - self.profit
    }
}
