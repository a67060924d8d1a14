//! Which suppliers get an order, what that costs and what may be said of it, in `estimate.json`; and what is built from
//! other fittings. It decides nothing.

use crate::estimate::Substitute;
use crate::estimate::landed::{BuyingPlan, FewSuppliers, Given, OneSupplier, SupplierOrder};
use crate::report::facts::Wording;
use crate::report::form::{AMOUNT, CENTS, PLACE, TEXT, Value, WHOLE, YES_NO, fields, whole};

fields! {
    /// The buying plan of an alternative.
    pub(super) fn put / shape (out, words: &Wording<'_>, plan: &BuyingPlan) {
        put "cost": CENTS, "goods and delivery" => Value::Cents(plan.cost);
        put "bound": CENTS, "no order of these lines can cost less" => Value::Cents(plan.bound);
        put "proven_least": YES_NO, "whether cost and bound meet" => plan.is_least();
        put "claim": TEXT, "what may be said of the cost" => plan.said();
        list "given": TEXT, "what the claim takes as it is" => plan.given.iter().map(|given| given.words());
        put "not_priced": WHOLE, "how many lines have no price" => whole(plan.not_priced);
        put "with_held": YES_NO, "whether choices were held" => plan.given.contains(&Given::Locked);
        put "goods": CENTS, "the goods of all orders" => Value::Cents(plan.goods());
        put "delivery": CENTS, "the delivery fees of all orders" => Value::Cents(plan.fees());
        each "suppliers": supplier_shape(), "the order of each supplier"
            => &plan.suppliers, |out, order| put_supplier(out, words, order);
        each "with_one": one_shape(), "what it would cost from one supplier alone"
            => &plan.with_one, |out, one| put_one(out, words, one);
        maybe "with_two": few_shape(), "what it would cost from the two that make it least; null where nobody looked"
            => plan.with_two.as_ref(), |out, few| put_few(out, words, few);
    }

    fn put_supplier / supplier_shape (out, words: &Wording<'_>, order: &SupplierOrder) {
        put "supplier": TEXT, "who sells" => words.word(order.supplier);
        put "goods": CENTS, "the goods" => Value::Cents(order.goods);
        put "delivery": CENTS, "the delivery fee" => Value::Cents(order.fee);
        put "least_order": CENTS, "the minimum order" => Value::Cents(order.minimum_order);
        put "least_order_met": YES_NO, "whether the goods reach it" => order.met;
        put "filled_up_by": CENTS, "what was bought more to reach it" => Value::Cents(order.topped_up);
    }

    fn put_one / one_shape (out, words: &Wording<'_>, one: &OneSupplier) {
        put "supplier": TEXT, "who sells" => words.word(one.supplier);
        put "landed": CENTS.or_null(), "goods and delivery; null where it lacks something" => one.landed.map(Value::Cents);
        list "lacks": PLACE, "the items that it does not sell" => one.lacks.iter().map(|item| whole(item.0));
    }

    fn put_few / few_shape (out, words: &Wording<'_>, few: &FewSuppliers) {
        list "suppliers": TEXT, "who sell" => few.suppliers.iter().map(|supplier| words.word(*supplier));
        put "landed": CENTS, "goods and delivery" => Value::Cents(few.landed);
        put "bound": CENTS, "no order from two can cost less" => Value::Cents(few.bound);
    }

    /// A fitting that is made up from others.
    pub(super) fn put_built / built_shape (out, built: &Substitute) {
        put "item": PLACE, "the fitting" => whole(built.item.0);
        put "built": WHOLE, "how many are built" => whole(built.count);
        put "from_shelf": WHOLE, "how many are taken from what is on hand" => whole(built.from_shelf);
        each "of": part_shape(), "what one is built of" => &built.of, |out, (item, amount)| {
            put_part(out, (item.0, Value::Places(*amount, 6)));
        };
        put "joints_each": WHOLE, "joints to make for one" => whole(built.joints());
        put "threaded_joints_each": WHOLE, "threaded joints to make for one" => whole(built.threads.len());
        put "sold": YES_NO, "whether somebody sells it too" => built.why.is_sold;
        put "because": TEXT, "why it is built" => built.why.because();
    }

    fn put_part / part_shape (out, part: (u32, Value)) {
        put "item": PLACE, "the item" => whole(part.0);
        put "amount": AMOUNT, "how much of it" => part.1.clone();
    }
}
