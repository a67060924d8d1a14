//! `revision.json`: the whole of a revision for programs, with decimals as text. No workbook here.

use crate::estimate::revision::{
    Face, Field, ItemChange, LaborChange, Named, OfSide, OfferChange, OfferWhat, Revision, RunChange,
};
use crate::ground::Notice;
use crate::report::files::estimate_json::put_notices;
use crate::report::form::{Object, Value, json, whole};

/// The bytes of the file.
pub(super) fn write(revision: &Revision, notices: &[Notice]) -> Vec<u8> {
    let totals = &revision.totals;
    json::file(|out| {
        out.put("what", "revision");
        out.put("how", super::HOW);
        out.put("complete", super::is_whole(revision));
        out.put("prices", super::prices(revision));
        out.put("currency", &revision.currency);
        out.put("unit", revision.unit);
        out.object("old", |out| put_side(out, &revision.old));
        out.object("new", |out| put_side(out, &revision.new));
        out.object("totals", |out| {
            out.put("adds", Value::Cents(totals.adds));
            out.put("deducts", Value::Cents(totals.deducts));
            out.put("by_quantity", Value::Cents(totals.quantity()));
            out.put("by_price", Value::Cents(totals.price));
            out.put("price_on_one_side_alone", Value::Cents(totals.unpriced));
            out.put("material_old", Value::Cents(totals.old));
            out.put("material_new", Value::Cents(totals.new));
        });
        out.each("items", &revision.items, put_item);
        out.each("runs", &revision.runs, put_run);
        out.each("terms", &revision.terms, put_field);
        out.each("offers", &revision.offers, put_offer);
        out.maybe("labor", revision.labor.as_ref(), put_labor);
        out.each("bid", &revision.bid, |out, line| {
            out.put("line", &line.line);
            out.put("old", line.stated[0].then_some(Value::Cents(line.old)));
            out.put("new", line.stated[1].then_some(Value::Cents(line.new)));
            out.put("difference", Value::Cents(line.new - line.old));
        });
        out.list("bids_unlike", revision.unlike());
        put_notices(out, notices);
    })
}

fn put_side(out: &mut Object<'_>, side: &Face) {
    out.put("job", &side.name);
    out.put("date", side.date.as_deref());
    out.put("system", &side.system);
    out.put("complete", side.complete);
    out.put("not_priced", whole(side.not_priced));
    out.put("joints_to_make", whole(side.joints));
    out.put("hours", side.hours.map(Value::Cents));
    out.put("all_hours_stated", side.all_hours);
}

fn put_labor(out: &mut Object<'_>, of: &LaborChange) {
    out.each("works", &of.works, |out, work| {
        out.put("per", work.per.word());
        out.put("work", &work.work);
        out.put("hours_old", Value::Cents(work.old));
        out.put("hours_new", Value::Cents(work.new));
    });
    out.put("hours_old", Value::Cents(of.hours[0]));
    out.put("hours_new", Value::Cents(of.hours[1]));
    out.put("cost_old", of.cost.map(|[old, _]| Value::Cents(old)));
    out.put("cost_new", of.cost.map(|[_, new]| Value::Cents(new)));
    out.put("by_hours", Value::Cents(of.by_hours));
    out.put("by_wages", Value::Cents(of.by_wages));
    out.put("all_hours_stated", of.whole);
}

fn put_named(out: &mut Object<'_>, named: &Named) {
    out.put("system", &named.system);
    out.put("part", &named.part);
    out.put("size", &named.size);
    out.put("variant", &named.variant);
    out.put("class", named.class.word());
    out.put("unit", &named.unit);
}

fn put_item(out: &mut Object<'_>, item: &ItemChange) {
    let side = |out: &mut Object<'_>, side: &OfSide| {
        out.put("need", Value::Quantity(side.need));
        out.put("buy", Value::Quantity(side.buy));
        out.put("cost", side.cost.map(Value::Cents));
    };
    let which = match (item.is_add(), item.is_deduct()) {
        (true, _) => "add",
        (false, true) => "deduct",
        (false, false) => "",
    };
    out.put("what", item.what().word());
    out.put("side", which);
    put_named(out, &item.named);
    out.maybe("old", item.old.as_ref(), side);
    out.maybe("at_old_prices", item.same_prices.as_ref(), side);
    out.maybe("new", item.new.as_ref(), side);
    out.put("by_quantity", Value::Cents(item.by_quantity));
    out.put("at_new_prices", item.at_new_prices);
    out.put("by_price", Value::Cents(item.by_price));
    out.put("price_on_one_side_alone", Value::Cents(item.by_unpriced));
    out.each("packs", item.packs(), |out, pack| {
        out.put("offer", pack.offer);
        out.put("old", Value::Quantity(pack.old));
        out.put("new", Value::Quantity(pack.new));
        out.put("returnable", pack.returnable);
    });
}

fn put_run(out: &mut Object<'_>, run: &RunChange) {
    out.put("name", &run.name);
    out.put("is", if run.is_place { "place" } else { "run" });
    out.put("what", run.what.word());
    out.each("fields", &run.fields, put_field);
    out.each("moved", &run.moved, |out, one| {
        put_named(out, &one.named);
        out.put("more", Value::Quantity(one.more));
    });
    out.put("old", run.old.as_ref().map(ToString::to_string));
    out.put("new", run.new.as_ref().map(ToString::to_string));
}

fn put_field(out: &mut Object<'_>, field: &Field) {
    out.put("heading", &field.heading);
    out.put("old", &field.old);
    out.put("new", &field.new);
}

fn put_offer(out: &mut Object<'_>, offer: &OfferChange) {
    let (old, new, moved, day) = match &offer.what {
        OfferWhat::Moved { old, new, points } => (Some(*old), Some(*new), *points, None),
        OfferWhat::Expired(day) | OfferWhat::NotYet(day) => (None, None, None, Some(day.to_string())),
        OfferWhat::Breaks | OfferWhat::New | OfferWhat::Gone => (None, None, None, None),
    };
    out.put("what", offer.what.word());
    out.put("supplier", &offer.supplier);
    out.put("code", &offer.code);
    out.put("called", &offer.called);
    out.put("sold_as", &offer.sold_as);
    out.put("per", &offer.per);
    out.put("old", old.map(Value::Price));
    out.put("new", new.map(Value::Price));
    out.put("points", moved.map(Value::Percent));
    out.put("day", day);
    out.put("bought", offer.bought);
    out.put("at", offer.spot.to_string());
}
