//! `revision.json`: the whole of a revision for programs, with decimals as text. No workbook here.

use serde::Serialize;

use crate::estimate::revision::{
    Face, Field, ItemChange, LaborChange, Named, OfSide, OfferChange, OfferWhat, Revision, RunChange,
};
use crate::ground::Notice;
use crate::ground::money::{cents, points, price, quantity};
use crate::report::AS_LISTED;
use crate::report::json_out::{FORMAT, NoticeOut, notice_out};

#[derive(Serialize)]
struct File<'a> {
    format: u32,
    program: &'static str,
    what: &'static str,
    how: &'static str,
    complete: bool,
    prices: String,
    currency: &'a str,
    unit: &'static str,
    old: FaceOut<'a>,
    new: FaceOut<'a>,
    totals: TotalsOut,
    items: Vec<ItemOut<'a>>,
    runs: Vec<RunOut<'a>>,
    terms: Vec<FieldOut<'a>>,
    offers: Vec<OfferOut<'a>>,
    labor: Option<LaborOut>,
    bid: Vec<BidOut<'a>>,
    bids_unlike: Vec<String>,
    notices: Vec<NoticeOut<'a>>,
}

#[derive(Serialize)]
struct FaceOut<'a> {
    job: &'a str,
    date: Option<&'a str>,
    system: &'a str,
    complete: bool,
    not_priced: usize,
    joints_to_make: i64,
    hours: Option<String>,
    all_hours_stated: bool,
}

#[derive(Serialize)]
struct TotalsOut {
    adds: String,
    deducts: String,
    by_quantity: String,
    by_price: String,
    price_on_one_side_alone: String,
    material_old: String,
    material_new: String,
}

#[derive(Serialize)]
struct LaborOut {
    works: Vec<WorkOut>,
    hours_old: String,
    hours_new: String,
    cost_old: Option<String>,
    cost_new: Option<String>,
    by_hours: String,
    by_wages: String,
    all_hours_stated: bool,
}

#[derive(Serialize)]
struct WorkOut {
    per: &'static str,
    work: String,
    hours_old: String,
    hours_new: String,
}

fn labor_out(of: &LaborChange) -> LaborOut {
    let works = of.works.iter().map(|work| WorkOut {
        per: work.per.word(),
        work: work.work.clone(),
        hours_old: cents(work.old),
        hours_new: cents(work.new),
    });
    LaborOut {
        works: works.collect(),
        hours_old: cents(of.hours[0]),
        hours_new: cents(of.hours[1]),
        cost_old: of.cost.map(|[old, _]| cents(old)),
        cost_new: of.cost.map(|[_, new]| cents(new)),
        by_hours: cents(of.by_hours),
        by_wages: cents(of.by_wages),
        all_hours_stated: of.whole,
    }
}

#[derive(Serialize)]
struct ItemOut<'a> {
    what: &'static str,
    side: &'static str,
    #[serde(flatten)]
    named: NamedOut<'a>,
    old: Option<SideOut>,
    at_old_prices: Option<SideOut>,
    new: Option<SideOut>,
    by_quantity: String,
    at_new_prices: bool,
    by_price: String,
    price_on_one_side_alone: String,
    packs: Vec<PackOut>,
}

#[derive(Serialize)]
struct NamedOut<'a> {
    system: &'a str,
    part: &'a str,
    size: &'a str,
    variant: &'a str,
    class: &'static str,
    unit: &'a str,
}

#[derive(Serialize)]
struct SideOut {
    need: String,
    buy: String,
    cost: Option<String>,
}

#[derive(Serialize)]
struct PackOut {
    offer: String,
    old: String,
    new: String,
    returnable: Option<bool>,
}

#[derive(Serialize)]
struct RunOut<'a> {
    name: &'a str,
    is: &'static str,
    what: &'static str,
    fields: Vec<FieldOut<'a>>,
    moved: Vec<MovedOut<'a>>,
    old: Option<String>,
    new: Option<String>,
}

#[derive(Serialize)]
struct FieldOut<'a> {
    heading: &'a str,
    old: &'a str,
    new: &'a str,
}

#[derive(Serialize)]
struct MovedOut<'a> {
    #[serde(flatten)]
    named: NamedOut<'a>,
    more: String,
}

#[derive(Serialize)]
struct OfferOut<'a> {
    what: &'static str,
    supplier: &'a str,
    code: &'a str,
    called: &'a str,
    sold_as: &'a str,
    per: &'a str,
    old: Option<String>,
    new: Option<String>,
    points: Option<String>,
    day: Option<String>,
    bought: bool,
    at: String,
}

#[derive(Serialize)]
struct BidOut<'a> {
    line: &'a str,
    old: Option<String>,
    new: Option<String>,
    difference: String,
}

/// The text of the file.
pub(super) fn write(revision: &Revision, notices: &[Notice]) -> Result<Vec<u8>, serde_json::Error> {
    let totals = &revision.totals;
    let file = File {
        format: FORMAT,
        program: env!("CARGO_PKG_NAME"),
        what: "revision",
        how: super::HOW,
        complete: super::csv::is_whole(revision),
        prices: super::tried(revision).unwrap_or_else(|| AS_LISTED.to_owned()),
        currency: &revision.currency,
        unit: revision.unit,
        old: face_out(&revision.old),
        new: face_out(&revision.new),
        totals: TotalsOut {
            adds: cents(totals.adds),
            deducts: cents(totals.deducts),
            by_quantity: cents(totals.quantity()),
            by_price: cents(totals.price),
            price_on_one_side_alone: cents(totals.unpriced),
            material_old: cents(totals.old),
            material_new: cents(totals.new),
        },
        items: revision.items.iter().map(item_out).collect(),
        runs: revision.runs.iter().map(run_out).collect(),
        terms: revision.terms.iter().map(field_out).collect(),
        offers: revision.offers.iter().map(offer_out).collect(),
        bid: revision
            .bid
            .iter()
            .map(|line| BidOut {
                line: &line.line,
                old: line.stated[0].then(|| cents(line.old)),
                new: line.stated[1].then(|| cents(line.new)),
                difference: cents(line.new - line.old),
            })
            .collect(),
        labor: revision.labor.as_ref().map(labor_out),
        bids_unlike: revision.unlike(),
        notices: notices.iter().map(notice_out).collect(),
    };
    let mut bytes = serde_json::to_vec(&file)?;
    bytes.push(b'\n');
    Ok(bytes)
}

fn face_out(face: &Face) -> FaceOut<'_> {
    FaceOut {
        job: &face.name,
        date: face.date.as_deref(),
        system: &face.system,
        complete: face.complete,
        not_priced: face.not_priced,
        joints_to_make: face.joints,
        hours: face.hours.map(cents),
        all_hours_stated: face.all_hours,
    }
}

fn named_out(named: &Named) -> NamedOut<'_> {
    NamedOut {
        system: &named.system,
        part: &named.part,
        size: &named.size,
        variant: &named.variant,
        class: named.class.word(),
        unit: &named.unit,
    }
}

fn item_out(item: &ItemChange) -> ItemOut<'_> {
    let side = |side: &Option<OfSide>| {
        side.as_ref().map(|side| SideOut {
            need: quantity(side.need),
            buy: quantity(side.buy),
            cost: side.cost.map(cents),
        })
    };
    let packs = item.packs().into_iter().map(|pack| PackOut {
        old: quantity(pack.old),
        new: quantity(pack.new),
        returnable: pack.returnable,
        offer: pack.offer,
    });
    ItemOut {
        what: item.what().word(),
        side: match (item.is_add(), item.is_deduct()) {
            (true, _) => "add",
            (false, true) => "deduct",
            (false, false) => "",
        },
        named: named_out(&item.named),
        old: side(&item.old),
        at_old_prices: side(&item.same_prices),
        new: side(&item.new),
        by_quantity: cents(item.by_quantity),
        at_new_prices: item.at_new_prices,
        by_price: cents(item.by_price),
        price_on_one_side_alone: cents(item.by_unpriced),
        packs: packs.collect(),
    }
}

fn run_out(run: &RunChange) -> RunOut<'_> {
    RunOut {
        name: &run.name,
        is: if run.is_place { "place" } else { "run" },
        what: run.what.word(),
        fields: run.fields.iter().map(field_out).collect(),
        moved: run
            .moved
            .iter()
            .map(|one| MovedOut { named: named_out(&one.named), more: quantity(one.more) })
            .collect(),
        old: run.old.as_ref().map(ToString::to_string),
        new: run.new.as_ref().map(ToString::to_string),
    }
}

fn field_out(field: &Field) -> FieldOut<'_> {
    FieldOut { heading: &field.heading, old: &field.old, new: &field.new }
}

fn offer_out(offer: &OfferChange) -> OfferOut<'_> {
    let (old, new, moved, day) = match &offer.what {
        OfferWhat::Moved { old, new, points } => (Some(*old), Some(*new), *points, None),
        OfferWhat::Expired(day) | OfferWhat::NotYet(day) => (None, None, None, Some(day.to_string())),
        OfferWhat::Breaks | OfferWhat::New | OfferWhat::Gone => (None, None, None, None),
    };
    OfferOut {
        what: offer.what.word(),
        supplier: &offer.supplier,
        code: &offer.code,
        called: &offer.called,
        sold_as: &offer.sold_as,
        per: &offer.per,
        old: old.map(price),
        new: new.map(price),
        points: moved.map(points),
        day,
        bought: offer.bought,
        at: offer.spot.to_string(),
    }
}
