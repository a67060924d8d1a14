//! `estimate.json`: the whole result for programs, on one line. Items, runs and rules stand in it once, each in a list;
//! all else names them by their place there. Decimals are written as text, as the CSV files have them.

use rust_decimal::Decimal;

use super::alternative::{self, Shared};
use super::reasons::Rules;
use super::{bid, comparison, notices, orders, reasons, request};
use crate::checks::TestDay;
use crate::estimate::LeftOut;
use crate::estimate::buying::Market;
use crate::estimate::item::ItemId;
use crate::estimate::unit_prices::{RunPrice, UnitPrice, unit_prices};
use crate::report::facts::{Back, Wording, asked, back, rows, sent};
use crate::report::form::{
    AMOUNT, CENTS, Column, DAY, PERCENT, PLACE, PRICE, QUANTITY, TEXT, Value, YES_NO, fields, in_json,
    json_file, whole,
};
use crate::report::whole::mark_shape;
use crate::trade::Offer;

/// The bytes of the file.
pub(super) fn write(words: &Wording<'_>, (number, day): (&str, &TestDay)) -> Vec<u8> {
    json_file::file(|out| put(out, words, number, day))
}

fields! {
    /// All of it.
    fn put / shape (out, words: &Wording<'_>, number: &str, day: &TestDay) with {
        let (job, estimate) = (words.job, words.estimate);
        let orders = rows::order(words);
        let ranks = rows::ranks(words);
        let rules = Rules::of(words);
        let market = Market::open(job);
        let shared = Shared { orders: &orders, ranks: &ranks, rules: &rules, day };
    } {
        put "job": TEXT, "the name of the job" => &*job.settings.name;
        put "number": TEXT, "the number by which papers say which estimate they are of" => number;
        put "date": DAY.or_null(), "the day prices must be good on" => job.settings.date;
        put "currency": TEXT, "of all sums" => &*job.settings.currency;
        put "unit": TEXT, "of lengths: ft or m" => words.length_unit().abbreviation();
        put "complete": YES_NO, "whether everything is counted, priced and, where hours are stated, has its hours" =>
            estimate.is_complete();
        put "prices": TEXT, "as listed, or that they are changed for a trial" => words.prices();
        each "items": item_shape(), "all that is bought; named elsewhere by its place here, from 0" =>
            estimate.items.ids(), |out, id| put_item(out, words, id);
        each "runs": reasons::run_shape(), "the runs; named elsewhere by their place here, from 0" =>
            &job.runs, |out, run| reasons::put_run(out, words, run);
        each "rules": reasons::rule_shape(), "rows of the table patterns; named elsewhere by their place here, from 0" =>
            rules.list(words), reasons::put_rule;
        each "alternatives": alternative::shape(), "the systems compared, the chosen one first" =>
            estimate.alternatives.iter().enumerate(), |out, (index, of)| alternative::put(out, words, index, of, shared);
        each "orders": orders::shape(), "what the chosen one orders of whom for which phase" =>
            &sent(words, &orders), |out, order| orders::put(out, words, order);
        each "quote_request": request::shape(), "what suppliers are asked for" =>
            &asked(words, &orders, &ranks), |out, one| request::put(out, words, &market, one);
        each "returns": return_shape(), "what may go back" =>
            returned(&back(words, &orders)), |out, (one, offer)| put_return(out, words, one, offer);
        object "comparison": comparison::shape(), "the alternatives side by side" =>
            |out| comparison::put(out, words);
        each "allowances": bid::allowance_shape(), "what allowances come to in the chosen one, by class" =>
            &estimate.allowances, bid::put_allowance;
        each "alternates": bid::alternate_shape(), "optional work, and what each moves" =>
            bid::alternates(words), |out, one| bid::put_alternate(out, words, one);
        maybe "unit_prices": prices_shape(), "what one more is asked for in the chosen one" =>
            estimate.alternatives.first(), |out, chosen| {
                let prices = unit_prices(job, &estimate.items, chosen);
                put_prices(out, words, prices);
            };
        each "left_out": left_shape(), "runs that are not counted" =>
            &estimate.left_out, |out, left| put_left(out, words, left);
        each "notices": notices::shape(), "what is wrong or doubtful in the tables" => &estimate.told, notices::put;
    }

    fn put_item / item_shape (out, words: &Wording<'_>, id: ItemId) {
        put "system": TEXT, "the system it is for; empty where any will do" => words.item_system(id);
        put "part": TEXT, "what it is" => words.part_name(id);
        put "size": TEXT, "its sizes as the trade writes them" => words.sizes(id);
        put "variant": TEXT, "its variant and color" => words.variant(id);
        put "class": TEXT, "what allowances, labor and the order go by" => words.item(id).class.word();
        put "unit": TEXT, "the unit it is counted in" => words.unit(id);
    }

    /// Prices for extras.
    fn put_prices / prices_shape (out, words: &Wording<'_>, prices: (Vec<UnitPrice>, Vec<RunPrice>)) with {
        let (parts, runs) = prices;
    } {
        table "parts": &PARTS, "of each part" => (words, &PARTS), parts;
        table "runs": &RUNS, "of each run" => (words, &RUNS), runs;
    }

    fn put_return / return_shape (out, words: &Wording<'_>, one: &Back<'_, '_>, offer: &Offer) {
        put "supplier": TEXT, "who sold it" => words.supplier(offer);
        put "code": TEXT, "the supplier's own code" => &*offer.code;
        put "item": PLACE, "the item" => whole(one.row.line.item.0);
        put "sold_as": TEXT, "how it is sold" => words.sold_as(offer);
        put "whole_packs_left": QUANTITY, "when need and allowance are used up" => Value::Quantity(one.surely);
        put "whole_packs_left_without_allowance": QUANTITY, "when only the need is used up" =>
            Value::Quantity(one.at_most);
    }

    fn put_left / left_shape (out, words: &Wording<'_>, left: &LeftOut) {
        put "run": TEXT, "the run" => words.run_name(left.run);
        put "row": TEXT.or_null(), "its row" => words.run(left.run).map(|run| words.spot(run.row));
        put "why": TEXT, "why it is left out" => &*left.why;
    }
}

/// What its schema is called, and what the file is.
const FILE: (&str, &str) =
    ("estimate", "An estimate of coilstick: what is installed, bought and cut, and what it costs.");

/// Its schema.
pub(in crate::report) fn schema() -> String {
    json_file::schema(FILE, shape(), mark_shape())
}

/// What may go back; lines of which nothing would be left whole are left out.
fn returned<'b, 'r, 'a>(list: &'b [Back<'r, 'a>]) -> impl Iterator<Item = (&'b Back<'r, 'a>, &'a Offer)> {
    let left = list.iter().filter(|one| one.at_most > Decimal::ZERO);
    left.filter_map(|one| Some((one, one.row.offer()?)))
}

/// What one more of each part is asked for in the chosen alternative.
const PARTS: [Column<UnitPrice>; 12] = [
    in_json("item", PLACE, "its place in the list of items", |_, one| whole(one.item.0)),
    in_json("paid", PRICE, "the average price of the packs of the order", |_, one| Value::Price(one.paid)),
    in_json("allowance_percent", PERCENT, "the allowance of its class", |_, one| {
        Value::Percent(one.allowance)
    }),
    in_json("material", PRICE, "with the allowance", |_, one| Value::Price(one.material)),
    in_json("joints", PRICE, "what its joints consume", |_, one| Value::Price(one.joints)),
    in_json("hours", AMOUNT, "of it and its joints", |_, one| Value::Places(one.hours, 4)),
    in_json("labor", PRICE, "at the rate of the crew", |_, one| Value::Price(one.labor)),
    in_json("direct_cost", PRICE, "material, joints, labor and small parts", |_, one| {
        Value::Price(one.asked.direct)
    }),
    in_json("price", CENTS, "with markups", |_, one| Value::Cents(one.asked.price)),
    in_json("tax", CENTS, "sales tax", |_, one| Value::Cents(one.asked.tax)),
    in_json("to_ask", CENTS, "price and tax", |_, one| {
        Value::Cents(one.asked.price.saturating_add(one.asked.tax))
    }),
    in_json("whole", YES_NO, "whether everything is in it", |_, one| one.whole.into()),
];

/// What one more run like one of the job is asked for.
const RUNS: [Column<RunPrice>; 5] = [
    in_json("run", PLACE, "the place of the run", |_, one| whole(one.run.0)),
    in_json("direct_cost", PRICE, "material, labor and small parts", |_, one| Value::Price(one.asked.direct)),
    in_json("price", CENTS, "with markups", |_, one| Value::Cents(one.asked.price)),
    in_json("tax", CENTS, "sales tax", |_, one| Value::Cents(one.asked.tax)),
    in_json("to_ask", CENTS, "price and tax", |_, one| {
        Value::Cents(one.asked.price.saturating_add(one.asked.tax))
    }),
];
