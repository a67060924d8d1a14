//! The part of `estimate.json` that says which suppliers get an order and what that costs. Called by
//! [`super::json_out`].

use rust_decimal::Decimal;
use serde::Serialize;

use super::json_out::{ItemOut, item_out};
use super::wording::Wording;
use crate::estimate::landed::{BuyingPlan, FewSuppliers, OneSupplier, SupplierOrder};

#[derive(Serialize)]
pub(super) struct BuyingOut<'a> {
    cost: Decimal,
    bound: Decimal,
    proven_least: bool,
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
        goods: plan.goods(),
        delivery: plan.fees(),
        suppliers: plan.suppliers.iter().map(order).collect(),
        with_one: plan.with_one.iter().map(one).collect(),
        with_two: plan.with_two.as_ref().map(few),
    }
}
