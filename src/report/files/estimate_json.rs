//! `estimate.json`: the whole result for programs, on one line. Items, runs and rules stand in it once, each in a list;
//! all else names them by their place there. Decimals are written as text, as the CSV files have them.

use rust_decimal::Decimal;

use super::{bid, comparison, cut_plan, labor, order, orders, reasons, request, takeoff, test_day};
use crate::checks::TestDay;
use crate::estimate::alternative::Alternative;
use crate::estimate::installed::joints_to_make;
use crate::estimate::landed::{BuyingPlan, Given};
use crate::estimate::order::CostLine;
use crate::estimate::unit_prices::{RunPrice, UnitPrice, unit_prices};
use crate::ground::Notice;
use crate::report::facts::{OrderRow, Wording, back, rows, wording};
use crate::report::form::{Column, Object, Value, in_json, json, whole};

/// The bytes of the file.
pub(super) fn write(words: &Wording<'_>, day: &TestDay) -> Vec<u8> {
    let (job, estimate) = (words.job, words.estimate);
    let orders = rows::order(words);
    let ranks = rows::ranks(words);
    let rules = reasons::Rules::of(words);
    json::file(|out| {
        out.put("job", &*job.settings.name);
        out.put("date", job.settings.date);
        out.put("currency", &*job.settings.currency);
        out.put("unit", words.length_unit().abbreviation());
        out.put("complete", estimate.is_complete());
        out.put("prices", words.prices());
        out.each("items", estimate.items.ids(), |out, id| {
            out.put("system", words.item_system(id));
            out.put("part", words.part_name(id));
            out.put("size", words.sizes(id));
            out.put("variant", words.variant(id));
            out.put("class", words.item(id).class.word());
            out.put("unit", words.unit(id));
        });
        reasons::put_runs(out, words);
        rules.put(out, words);
        out.each("alternatives", estimate.alternatives.iter().enumerate(), |out, (index, of)| {
            put_alternative(out, words, index, of, (&orders, &ranks), &rules);
            test_day::put(out, words, day, index);
        });
        orders::put(out, words, &orders);
        request::put(out, words, &orders, &ranks);
        put_returns(out, words, &orders);
        comparison::put(out, words);
        bid::put_allowances(out, words);
        bid::put_alternates(out, words);
        put_unit_prices(out, words);
        out.each("left_out", &estimate.left_out, |out, left| {
            out.put("run", words.run_name(left.run));
            out.put("row", words.run(left.run).map(|run| words.spot(run.row)));
            out.put("why", &*left.why);
        });
        put_notices(out, &estimate.told);
    })
}

fn put_alternative<'a>(
    out: &mut Object<'_>,
    words: &Wording<'a>,
    index: usize,
    of: &Alternative,
    (orders, ranks): (&[OrderRow<'a>], &[u32]),
    rules: &reasons::Rules,
) {
    let of_takeoff = &of.takeoff;
    out.put("system", words.word(of.name));
    out.put("chosen", index == 0);
    out.put("complete", words.estimate.comparison.is_whole(index));
    let rows = rows::takeoff(words, index, ranks).0.into_iter();
    out.rows("takeoff", words, &takeoff::COLUMNS, rows.map(|of| takeoff::Row { alternative: index, of }));
    reasons::put(out, words, rules, of);
    let bought = orders.iter().filter(|row| row.alternative == index).copied();
    out.rows("order", words, &order::columns(), bought);
    cut_plan::put(out, words, &of.plans);
    out.object("buying", |out| put_buying(out, words, &of.buying));
    out.each("built", &of.built, |out, built| {
        out.put("item", whole(built.item.0));
        out.put("built", whole(built.count));
        out.put("from_shelf", whole(built.from_shelf));
        out.each("of", &built.of, |out, (item, amount)| {
            out.put("item", whole(item.0));
            out.put("amount", Value::Places(*amount, 6));
        });
        out.put("joints_each", whole(built.joints()));
        out.put("threaded_joints_each", whole(built.threads.len()));
        out.put("sold", built.why.is_sold);
        out.put("because", built.why.because());
    });
    out.each("ends", &of_takeoff.ends, |out, end| {
        out.put("run", words.run_name(end.run));
        out.put("end", wording::run_end(end.end));
        out.put("is", wording::end_met(end.met));
        out.put("size", words.word(end.size));
        out.put("service", end.service.word());
        out.put("phase", end.phase.word());
        out.put("count", whole(end.copies));
    });
    out.each("balance", &of_takeoff.balance, |out, balance| {
        out.put("system", words.system(balance.system));
        out.put("size", words.word(balance.size));
        out.put("male", whole(balance.male));
        out.put("filled", whole(balance.filled));
        if balance.coupled != 0 {
            out.put("coupled", whole(balance.coupled));
        }
        out.put("on_site", whole(balance.on_site));
        out.put("elsewhere", whole(balance.elsewhere));
        out.put("declared", whole(balance.declared));
    });
    out.each("missing", &of_takeoff.missing, |out, missing| {
        out.put("asked_by", words.subject(missing.subject));
        out.put("what", &*missing.what);
        out.put("system", words.system(missing.system));
    });
    out.put("turns_as_bends", whole(of_takeoff.bends));
    out.put("joints_to_make", whole(joints_to_make(of)));
    let cost = &of.cost;
    out.object("cost", |out| {
        out.each("lines", CostLine::ALL.iter().zip(&cost.lines), |out, (line, sum)| {
            out.put("line", line.word());
            out.put("sum", Value::Cents(*sum));
        });
        out.put("material", Value::Cents(cost.material));
        bid::put_lines(out, words, [(of, &cost.bid)]);
        out.put("bid", Value::Cents(cost.bid.total));
        out.list("not_priced", cost.not_priced.iter().map(|item| whole(item.0)));
        out.put("fittings_share_percent", cost.fittings_share.map(Value::Percent));
    });
    labor::put(out, words, of);
    labor::put_tools(out, words, of);
}

/// Which suppliers get an order, what that costs, and what may be said of it.
fn put_buying(out: &mut Object<'_>, words: &Wording<'_>, plan: &BuyingPlan) {
    out.put("cost", Value::Cents(plan.cost));
    out.put("bound", Value::Cents(plan.bound));
    out.put("proven_least", plan.is_least());
    out.put("claim", plan.said());
    out.list("given", plan.given.iter().map(|given| given.words()));
    out.put("not_priced", whole(plan.not_priced));
    out.put("with_held", plan.given.contains(&Given::Locked));
    out.put("goods", Value::Cents(plan.goods()));
    out.put("delivery", Value::Cents(plan.fees()));
    out.each("suppliers", &plan.suppliers, |out, order| {
        out.put("supplier", words.word(order.supplier));
        out.put("goods", Value::Cents(order.goods));
        out.put("delivery", Value::Cents(order.fee));
        out.put("least_order", Value::Cents(order.minimum_order));
        out.put("least_order_met", order.met);
        out.put("filled_up_by", Value::Cents(order.topped_up));
    });
    out.each("with_one", &plan.with_one, |out, one| {
        out.put("supplier", words.word(one.supplier));
        out.put("landed", one.landed.map(Value::Cents));
        out.list("lacks", one.lacks.iter().map(|item| whole(item.0)));
    });
    out.maybe("with_two", plan.with_two.as_ref(), |out, few| {
        out.list("suppliers", few.suppliers.iter().map(|supplier| words.word(*supplier)));
        out.put("landed", Value::Cents(few.landed));
        out.put("bound", Value::Cents(few.bound));
    });
}

/// What one more of each part is asked for in the chosen alternative.
const PARTS: [Column<UnitPrice>; 12] = [
    in_json("item", "its place in the list of items", |_, one| whole(one.item.0)),
    in_json("paid", "the average price of the packs of the order", |_, one| Value::Price(one.paid)),
    in_json("allowance_percent", "the allowance of its class", |_, one| Value::Percent(one.allowance)),
    in_json("material", "with the allowance", |_, one| Value::Price(one.material)),
    in_json("joints", "what its joints consume", |_, one| Value::Price(one.joints)),
    in_json("hours", "of it and its joints", |_, one| Value::Places(one.hours, 4)),
    in_json("labor", "at the rate of the crew", |_, one| Value::Price(one.labor)),
    in_json("direct_cost", "material, joints, labor and small parts", |_, one| {
        Value::Price(one.asked.direct)
    }),
    in_json("price", "with markups", |_, one| Value::Cents(one.asked.price)),
    in_json("tax", "sales tax", |_, one| Value::Cents(one.asked.tax)),
    in_json("to_ask", "price and tax", |_, one| Value::Cents(one.asked.price.saturating_add(one.asked.tax))),
    in_json("whole", "whether everything is in it", |_, one| one.whole.into()),
];

/// What one more run like one of the job is asked for.
const RUNS: [Column<RunPrice>; 5] = [
    in_json("run", "the place of the run", |_, one| whole(one.run.0)),
    in_json("direct_cost", "material, labor and small parts", |_, one| Value::Price(one.asked.direct)),
    in_json("price", "with markups", |_, one| Value::Cents(one.asked.price)),
    in_json("tax", "sales tax", |_, one| Value::Cents(one.asked.tax)),
    in_json("to_ask", "price and tax", |_, one| Value::Cents(one.asked.price.saturating_add(one.asked.tax))),
];

/// Prices for extras; nothing where nothing is taken off.
fn put_unit_prices(out: &mut Object<'_>, words: &Wording<'_>) {
    out.maybe("unit_prices", words.estimate.alternatives.first(), |out, chosen| {
        let (parts, runs) = unit_prices(words.job, &words.estimate.items, chosen);
        out.table("parts", (words, &PARTS), parts);
        out.table("runs", (words, &RUNS), runs);
    });
}

/// What may go back; lines of which nothing would be left whole are left out.
fn put_returns(out: &mut Object<'_>, words: &Wording<'_>, orders: &[OrderRow<'_>]) {
    let list = back(words, orders);
    let left = list.iter().filter(|one| one.at_most > Decimal::ZERO);
    out.each("returns", left.filter_map(|one| Some((one, one.row.offer()?))), |out, (one, offer)| {
        out.put("supplier", words.supplier(offer));
        out.put("code", &*offer.code);
        out.put("item", whole(one.row.line.item.0));
        out.put("sold_as", words.sold_as(offer));
        out.put("whole_packs_left", Value::Quantity(one.surely));
        out.put("whole_packs_left_without_allowance", Value::Quantity(one.at_most));
    });
}

/// Notices, each with its cells.
pub(in crate::report) fn put_notices(out: &mut Object<'_>, notices: &[Notice]) {
    out.each("notices", notices, |out, notice| {
        out.shape("severity", &notice.severity);
        out.put("kind", notice.kind);
        out.list("at", notice.spots.iter().map(ToString::to_string));
        out.put("found", &notice.found);
        out.put("expected", &notice.expected);
        out.put("remedy", &notice.remedy);
        if let Some(hangs) = &notice.hangs {
            out.shape("hangs", hangs);
        }
        if let Some(cell) = &notice.accepted {
            out.put("accepted", cell.to_string());
        }
    });
}
