//! The part of `estimate.json` that says which suppliers get an order, what that costs, and what is built from others. Called by
//! [`super::json_out`].

use rust_decimal::Decimal;
use serde::Serialize;

use super::wording::Wording;
use crate::estimate::item::ItemId;
use crate::estimate::landed::{BuyingPlan, FewSuppliers, Given, OneSupplier, SupplierOrder};
use crate::estimate::substitute::Substitute;
use crate::ground::money::{cents, to_places};

#[derive(Serialize)]
pub(super) struct BuyingOut<'a> {
    cost: String,
    bound: String,
    /// Proven least, all lines being priced, with what is given.
    proven_least: bool,
    /// What may be said of the cost, as on the sheet Suppliers.
    claim: String,
    /// What cost and bound take as it is.
    given: Vec<&'static str>,
    not_priced: usize,
    /// Choices are held: cost and bound are with what is held.
    with_held: bool,
    goods: String,
    delivery: String,
    suppliers: Vec<SupplierOut<'a>>,
    with_one: Vec<OneOut<'a>>,
    with_two: Option<FewOut<'a>>,
}

#[derive(Serialize)]
struct SupplierOut<'a> {
    supplier: &'a str,
    goods: String,
    delivery: String,
    least_order: String,
    least_order_met: bool,
    filled_up_by: String,
}

#[derive(Serialize)]
struct OneOut<'a> {
    supplier: &'a str,
    landed: Option<String>,
    lacks: Vec<u32>,
}

#[derive(Serialize)]
struct FewOut<'a> {
    suppliers: Vec<&'a str>,
    landed: String,
    bound: String,
}

/// A fitting that is built from others.
#[derive(Serialize)]
pub(super) struct BuiltOut {
    item: u32,
    built: i64,
    from_shelf: i64,
    /// What one is built from and what its joints consume.
    of: Vec<PartOut>,
    joints_each: usize,
    threaded_joints_each: usize,
    sold: bool,
    because: String,
}

#[derive(Serialize)]
struct PartOut {
    item: u32,
    amount: String,
}

/// What is built in an alternative.
pub(super) fn built_out(built: &Substitute) -> BuiltOut {
    let part = |(item, amount): &(ItemId, Decimal)| PartOut { item: item.0, amount: to_places(*amount, 6) };
    BuiltOut {
        item: built.item.0,
        built: built.count,
        from_shelf: built.from_shelf,
        of: built.of.iter().map(part).collect(),
        joints_each: built.joints(),
        threaded_joints_each: built.threads.len(),
        sold: built.why.is_sold,
        because: built.why.because(),
    }
}

/// The buying plan of an alternative.
pub(super) fn buying_out<'a>(words: &Wording<'a>, plan: &BuyingPlan) -> BuyingOut<'a> {
    let order = |order: &SupplierOrder| SupplierOut {
        supplier: words.word(order.supplier),
        goods: cents(order.goods),
        delivery: cents(order.fee),
        least_order: cents(order.least_order),
        least_order_met: order.met,
        filled_up_by: cents(order.topped_up),
    };
    let one = |one: &OneSupplier| OneOut {
        supplier: words.word(one.supplier),
        landed: one.landed.map(cents),
        lacks: one.lacks.iter().map(|item| item.0).collect(),
    };
    let few = |few: &FewSuppliers| FewOut {
        suppliers: few.suppliers.iter().map(|supplier| words.word(*supplier)).collect(),
        landed: cents(few.landed),
        bound: cents(few.bound),
    };
    BuyingOut {
        cost: cents(plan.cost),
        bound: cents(plan.bound),
        proven_least: plan.is_least(),
        claim: plan.said(),
        given: plan.given.iter().map(|given| given.words()).collect(),
        not_priced: plan.not_priced,
        with_held: plan.given.contains(&Given::Held),
        goods: cents(plan.goods()),
        delivery: cents(plan.fees()),
        suppliers: plan.suppliers.iter().map(order).collect(),
        with_one: plan.with_one.iter().map(one).collect(),
        with_two: plan.with_two.as_ref().map(few),
    }
}
