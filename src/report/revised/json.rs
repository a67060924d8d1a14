//! `revision.json`: the whole of a revision for programs, with decimals as text. No workbook here.

use crate::estimate::revision::{
    BidChange, Face, Field, ItemChange, LaborChange, Named, OfSide, OfferChange, OfferWhat, PackChange,
    Revision, RunChange, Totals, WorkChange,
};
use crate::ground::Notice;
use crate::report::files::notices;
use crate::report::form::{
    CENTS, Holds, Object, PERCENT, PRICE, QUANTITY, Shape, TEXT, Value, WHOLE, YES_NO, fields, json_file,
    whole,
};
use crate::report::whole::mark_shape;

/// The bytes of the file.
pub(super) fn write(revision: &Revision, notices: &[Notice]) -> Vec<u8> {
    json_file::file(|out| put(out, revision, notices))
}

/// Its schema.
pub(in crate::report) fn schema() -> String {
    json_file::schema(FILE, shape(), mark_shape())
}

/// What its schema is called, and what the file is.
const FILE: (&str, &str) =
    ("revision", "A revision of coilstick: two jobs set against each other, and what the change costs.");

fields! {
    /// All of it.
    fn put / shape (out, revision: &Revision, notices: &[Notice]) {
        put "what": Holds::word(&["revision"]), "what the file is" => "revision";
        put "how": TEXT, "how prices are taken" => super::HOW;
        put "complete": YES_NO, "whether everything is counted and priced on both sides" => super::is_whole(revision);
        put "prices": TEXT, "as listed, or that they are changed for a trial" => super::prices(revision);
        put "currency": TEXT, "of all sums" => &revision.currency;
        put "unit": TEXT, "of lengths: ft or m" => revision.unit;
        object "old": side_shape(), "the job before" => |out| put_side(out, &revision.old);
        object "new": side_shape(), "the job now" => |out| put_side(out, &revision.new);
        object "totals": totals_shape(), "what material moves" => |out| put_totals(out, &revision.totals);
        each "items": item_shape(), "the items that changed" => &revision.items, put_item;
        each "runs": run_shape(), "the runs and places that changed" => &revision.runs, put_run;
        each "terms": field_shape(), "what else of the job changed" => &revision.terms, put_field;
        each "offers": offer_shape(), "the offers that changed" => &revision.offers, put_offer;
        maybe "labor": labor_shape(), "the hours that changed; null where a side states none" => revision.labor.as_ref(), put_labor;
        each "bid": bid_shape(), "the bid line by line" => &revision.bid, put_bid;
        list "bids_unlike": TEXT, "why the two bids are not alike" => revision.unlike();
        each "notices": notices::shape(), "what is wrong or doubtful in the tables" => notices, notices::put;
    }

    fn put_side / side_shape (out, side: &Face) {
        put "job": TEXT, "its name" => &side.name;
        put "date": TEXT.or_null(), "the day its prices are judged on" => side.date.as_deref();
        put "system": TEXT, "the system it is built in" => &side.system;
        put "complete": YES_NO, "whether everything of it is counted" => side.complete;
        put "not_priced": WHOLE, "how many items have no price" => whole(side.not_priced);
        put "joints_to_make": WHOLE, "joints to make" => whole(side.joints);
        put "hours": CENTS.or_null(), "hours of one person" => side.hours.map(Value::Cents);
        put "all_hours_stated": YES_NO, "whether every line has its hours" => side.all_hours;
    }

    fn put_totals / totals_shape (out, totals: &Totals) {
        put "adds": CENTS, "what is added" => Value::Cents(totals.adds);
        put "deducts": CENTS, "what is taken off" => Value::Cents(totals.deducts);
        put "by_quantity": CENTS, "what quantities move, at the old prices" => Value::Cents(totals.quantity());
        put "by_price": CENTS, "what prices alone move, at the new quantities" => Value::Cents(totals.price);
        put "price_on_one_side_alone": CENTS, "what only one of the two price lists names" => Value::Cents(totals.unpriced);
        put "material_old": CENTS, "the material before" => Value::Cents(totals.old);
        put "material_new": CENTS, "the material now" => Value::Cents(totals.new);
    }

    fn put_bid / bid_shape (out, line: &BidChange) {
        put "line": TEXT, "its name" => &line.line;
        put "old": CENTS.or_null(), "before; null where it is not stated" => line.stated[0].then_some(Value::Cents(line.old));
        put "new": CENTS.or_null(), "now; null where it is not stated" => line.stated[1].then_some(Value::Cents(line.new));
        put "difference": CENTS, "how much more" => Value::Cents(line.new - line.old);
    }

    fn put_labor / labor_shape (out, of: &LaborChange) {
        each "works": work_shape(), "the work whose hours changed" => &of.works, put_work;
        put "hours_old": CENTS, "all hours before" => Value::Cents(of.hours[0]);
        put "hours_new": CENTS, "all hours now" => Value::Cents(of.hours[1]);
        put "cost_old": CENTS.or_null(), "what they cost before; null without wages" => of.cost.map(|[old, _]| Value::Cents(old));
        put "cost_new": CENTS.or_null(), "what they cost now" => of.cost.map(|[_, new]| Value::Cents(new));
        put "by_hours": CENTS, "what hours move, at the old wages" => Value::Cents(of.by_hours);
        put "by_wages": CENTS, "what wages alone move" => Value::Cents(of.by_wages);
        put "all_hours_stated": YES_NO, "whether every line of both sides has its hours" => of.whole;
    }

    fn put_work / work_shape (out, work: &WorkChange) {
        put "per": TEXT, "what the hours are for" => work.per.word();
        put "work": TEXT, "what is done" => &work.work;
        put "hours_old": CENTS, "hours before" => Value::Cents(work.old);
        put "hours_new": CENTS, "hours now" => Value::Cents(work.new);
    }

    fn put_named / named_shape (out, named: &Named) {
        put "system": TEXT, "the system it is for; empty where any will do" => &named.system;
        put "part": TEXT, "what it is" => &named.part;
        put "size": TEXT, "its sizes as the trade writes them" => &named.size;
        put "variant": TEXT, "its variant and color" => &named.variant;
        put "class": TEXT, "what allowances, labor and the order go by" => named.class.word();
        put "unit": TEXT, "the unit it is counted in" => &named.unit;
    }

    fn put_item_front / item_front (out, item: &ItemChange) {
        put "what": TEXT, "what became of it" => item.what().word();
        put "side": Holds::word(&["add", "deduct", ""]), "whether it adds or deducts" =>
            match (item.is_add(), item.is_deduct()) {
                (true, _) => "add",
                (false, true) => "deduct",
                (false, false) => "",
            };
    }

    fn put_item_sides / item_sides (out, item: &ItemChange) {
        maybe "old": of_side_shape(), "before" => item.old.as_ref(), put_of_side;
        maybe "at_old_prices": of_side_shape(), "now, at the old prices" => item.same_prices.as_ref(), put_of_side;
        maybe "new": of_side_shape(), "now" => item.new.as_ref(), put_of_side;
        put "by_quantity": CENTS, "what the change of quantity comes to" => Value::Cents(item.by_quantity);
        put "at_new_prices": YES_NO, "whether the old prices do not name it" => item.at_new_prices;
        put "by_price": CENTS, "what prices alone moved" => Value::Cents(item.by_price);
        put "price_on_one_side_alone": CENTS, "what only one price list names" => Value::Cents(item.by_unpriced);
        each "packs": pack_shape(), "the packs that changed" => &item.packs(), put_pack;
    }

    fn put_of_side / of_side_shape (out, side: &OfSide) {
        put "need": QUANTITY, "what is installed" => Value::Quantity(side.need);
        put "buy": QUANTITY, "what is bought" => Value::Quantity(side.buy);
        put "cost": CENTS.or_null(), "what it costs; null where it has no price" => side.cost.map(Value::Cents);
    }

    fn put_pack / pack_shape (out, pack: &PackChange) {
        put "offer": TEXT, "the offer" => &pack.offer;
        put "old": QUANTITY, "how many packs before" => Value::Quantity(pack.old);
        put "new": QUANTITY, "how many packs now" => Value::Quantity(pack.new);
        put "returnable": YES_NO.or_null(), "whether unopened packs may go back; null where nobody says" => pack.returnable;
    }

    fn put_run / run_shape (out, run: &RunChange) {
        put "name": TEXT, "its name" => &run.name;
        put "is": Holds::word(&["place", "run"]), "what it is" => if run.is_place { "place" } else { "run" };
        put "what": TEXT, "what became of it" => run.what.word();
        each "fields": field_shape(), "the cells that changed" => &run.fields, put_field;
        each "moved": moved_shape(), "what that moved" => &run.moved, |out, one| {
            put_named(out, &one.named);
            put_more(out, Value::Quantity(one.more));
        };
        put "old": TEXT.or_null(), "its row before" => run.old.as_ref().map(ToString::to_string);
        put "new": TEXT.or_null(), "its row now" => run.new.as_ref().map(ToString::to_string);
    }

    fn put_more / more_shape (out, more: Value) {
        put "more": QUANTITY, "how much more, with a minus less" => more.clone();
    }

    fn put_field / field_shape (out, field: &Field) {
        put "heading": TEXT, "the column or the item" => &field.heading;
        put "old": TEXT, "what it said" => &field.old;
        put "new": TEXT, "what it says" => &field.new;
    }

    fn put_offer / offer_shape (out, offer: &OfferChange) with {
        let (old, new, moved, day) = match &offer.what {
            OfferWhat::Moved { old, new, points } => (Some(*old), Some(*new), *points, None),
            OfferWhat::Expired(day) | OfferWhat::NotYet(day) => (None, None, None, Some(day.to_string())),
            OfferWhat::Breaks | OfferWhat::New | OfferWhat::Gone => (None, None, None, None),
        };
    } {
        put "what": TEXT, "what became of it" => offer.what.word();
        put "supplier": TEXT, "who sells" => &offer.supplier;
        put "code": TEXT, "the supplier's own code" => &offer.code;
        put "called": TEXT, "what it is" => &offer.called;
        put "sold_as": TEXT, "how it is sold" => &offer.sold_as;
        put "per": TEXT, "what the price is for" => &offer.per;
        put "old": PRICE.or_null(), "the net price before" => old.map(Value::Price);
        put "new": PRICE.or_null(), "the net price now" => new.map(Value::Price);
        put "points": PERCENT.or_null(), "by how many percent it moved" => moved.map(Value::Percent);
        put "day": TEXT.or_null(), "the day on which it ended or begins" => day;
        put "bought": YES_NO, "whether it is bought" => offer.bought;
        put "at": TEXT, "its row" => offer.spot.to_string();
    }
}

/// What the item is stands between what became of it and its sides.
fn put_item(out: &mut Object<'_>, item: &ItemChange) {
    put_item_front(out, item);
    put_named(out, &item.named);
    put_item_sides(out, item);
}

fn item_shape() -> Shape {
    joined([item_front(), named_shape(), item_sides()])
}

fn moved_shape() -> Shape {
    joined([named_shape(), more_shape()])
}

fn joined<const N: usize>(shapes: [Shape; N]) -> Shape {
    let mut all = Shape::default();
    shapes.into_iter().for_each(|shape| all.also(shape));
    all
}
