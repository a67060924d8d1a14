//! The part of `estimate.json` that says which suppliers get an order, what that costs, and what is built from others. Called by
//! [`super::json_out`].

use rust_decimal::Decimal;
use serde::Serialize;

use super::json_out::{ItemOut, item_out};
use super::wording::Wording;
use crate::estimate::buying::building::Built;
use crate::estimate::item::ItemId;
use crate::estimate::landed::{BuyingPlan, FewSuppliers, Given, OneSupplier, SupplierOrder};

#[derive(Serialize)]
pub(super) struct BuyingOut<'a> {
    cost: Decimal,
    bound: Decimal,
    /// Proven least, all lines being priced, with what is given.
    proven_least: bool,
    /// What may be said of the cost, as on the sheet Suppliers.
    claim: String,
    /// What cost and bound take as it is.
    given: Vec<&'static str>,
    not_priced: usize,
    /// Choices are held: cost and bound are with what is held.
    with_held: bool,
    goods: Decimal,
    delivery: Decimal,
    suppliers: Vec<SupplierOut<'a>>,
    with_one: Vec<OneOut<'a>>,
    with_two: Option<FewOut<'a>>,
}

#[derive(Serialize)]
struct SupplierOut<'a> {
    supplier: &'a str,
    goods: Decimal,
    delivery: Decimal,
    least_order: Decimal,
    least_order_met: bool,
    filled_up_by: Decimal,
}

#[derive(Serialize)]
struct OneOut<'a> {
    supplier: &'a str,
    landed: Option<Decimal>,
    lacks: Vec<ItemOut<'a>>,
}

#[derive(Serialize)]
struct FewOut<'a> {
    suppliers: Vec<&'a str>,
    landed: Decimal,
    bound: Decimal,
}

/// A fitting that is built from others.
#[derive(Serialize)]
pub(super) struct BuiltOut<'a> {
    item: ItemOut<'a>,
    built: i64,
    from_shelf: i64,
    /// What one is built from and what its joints consume.
    of: Vec<PartOut<'a>>,
    joints: usize,
    threaded_joints: usize,
    sold: bool,
    because: String,
}

#[derive(Serialize)]
struct PartOut<'a> {
    item: ItemOut<'a>,
    amount: Decimal,
}

/// What is built in an alternative.
pub(super) fn built_out<'a>(words: &Wording<'a>, built: &Built) -> BuiltOut<'a> {
    let part = |(item, amount): &(ItemId, Decimal)| PartOut { item: item_out(words, *item), amount: *amount };
    BuiltOut {
        item: item_out(words, built.item),
        built: built.count,
        from_shelf: built.from_shelf,
        of: built.of.iter().map(part).collect(),
        joints: built.joints(),
        threaded_joints: built.threads.len(),
        sold: built.why.is_sold,
        because: built.why.because(),
    }
}

/// The buying plan of an alternative.
pub(super) fn buying_out<'a>(words: &Wording<'a>, plan: &BuyingPlan) -> BuyingOut<'a> {
    let order = |order: &SupplierOrder| SupplierOut {
        supplier: words.word(order.supplier),
        goods: order.goods,
        delivery: order.fee,
        least_order: order.least_order,
        least_order_met: order.met,
        filled_up_by: order.topped_up,
    };
    let one = |one: &OneSupplier| OneOut {
        supplier: words.word(one.supplier),
        landed: one.landed,
        lacks: one.lacks.iter().map(|item| item_out(words, *item)).collect(),
    };
    let few = |few: &FewSuppliers| FewOut {
        suppliers: few.suppliers.iter().map(|supplier| words.word(*supplier)).collect(),
        landed: few.landed,
        bound: few.bound,
    };
    BuyingOut {
        cost: plan.cost,
        bound: plan.bound,
        proven_least: plan.is_least(),
        claim: plan.said(),
        given: plan.given.iter().map(|given| given.words()).collect(),
        not_priced: plan.not_priced,
        with_held: plan.given.contains(&Given::Held),
        goods: plan.goods(),
        delivery: plan.fees(),
        suppliers: plan.suppliers.iter().map(order).collect(),
        with_one: plan.with_one.iter().map(one).collect(),
        with_two: plan.with_two.as_ref().map(few),
    }
}
