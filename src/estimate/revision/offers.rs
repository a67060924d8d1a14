//! Offers of two price lists: what moved, by how much and how many points, what ran out, what is new and what is gone.
//!
//! An offer is the same as before where supplier and code are, or else supplier, part, sizes, system, variant, color
//! and the way it is sold. What a move does to the sums is told by the items that are bought by it.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::Side;
use crate::estimate::buying::price;
use crate::estimate::ranking::offered;
use crate::ground::money::{round_half_away, to_net};
use crate::ground::name::{fold, natural};
use crate::ground::{Date, LengthUnit, Spot};
use crate::trade::{Job, Offer, Pack, PricedPer, SoldAs};

/// What became of an offer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OfferWhat {
    /// Its net price moved: before and now, for the same quantity, and by how many points.
    Moved {
        /// Before.
        old: Decimal,
        /// Now.
        new: Decimal,
        /// In points of the old one, to one place; nothing where it was free.
        points: Option<Decimal>,
    },
    /// The price is the same, and breaks or discounts are not.
    Breaks,
    /// It was good on the day before and is not on the day now: its last day.
    Expired(Date),
    /// It is good only from a later day on.
    NotYet(Date),
    /// It was in no list before.
    New,
    /// It is in no list now.
    Gone,
}

impl OfferWhat {
    /// The word for it.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Moved { .. } => "moved",
            Self::Breaks => "other breaks",
            Self::Expired(_) => "expired",
            Self::NotYet(_) => "not yet good",
            Self::New => "new",
            Self::Gone => "gone",
        }
    }
}

/// An offer before and now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OfferChange {
    /// Who sells it.
    pub supplier: String,
    /// The supplier's own code.
    pub code: String,
    /// What it is: part, sizes, systems, variant, color.
    pub called: String,
    /// How it is sold.
    pub sold_as: String,
    /// What the prices shown are for: one pack, or the quantity quoted.
    pub per: String,
    /// What became of it.
    pub what: OfferWhat,
    /// Whether the new estimate, or for one that is gone the old one, buys by it.
    pub bought: bool,
    /// Its row now, or before where it is gone.
    pub spot: Spot,
}

/// Offers that changed: those that are bought first, then the largest move, then by name.
pub(super) fn changes(old: Side<'_>, new: Side<'_>) -> Vec<OfferChange> {
    let unit = new.job.settings.units;
    let (was, is) = (listed(old.job), listed(new.job));
    let (bought_before, bought_now) = (bought(old), bought(new));
    let mut changes = Vec::new();
    let mut met = vec![false; old.job.prices.offers.len()];
    for (at, offer) in new.job.prices.offers.iter().enumerate() {
        let before =
            is.names[at].iter().find_map(|name| was.by_name.get(name)?.iter().find(|one| !met[**one]));
        let told = |what| told(new.job, offer, what, bought_now[at], unit);
        let Some(before) = before.copied() else {
            changes.push(told(OfferWhat::New));
            continue;
        };
        met[before] = true;
        let what = between((old.job, &old.job.prices.offers[before]), (new.job, offer), unit);
        changes.extend(what.map(told));
    }
    for (at, offer) in old.job.prices.offers.iter().enumerate().filter(|(at, _)| !met[*at]) {
        changes.push(told(old.job, offer, OfferWhat::Gone, bought_before[at], unit));
    }
    let points = |change: &OfferChange| match change.what {
        OfferWhat::Moved { points, .. } => points.unwrap_or_default().abs(),
        OfferWhat::Breaks
        | OfferWhat::Expired(_)
        | OfferWhat::NotYet(_)
        | OfferWhat::New
        | OfferWhat::Gone => Decimal::ZERO,
    };
    changes.sort_by(|a, b| {
        b.bought
            .cmp(&a.bought)
            .then_with(|| points(b).cmp(&points(a)))
            .then_with(|| natural(&a.supplier, &b.supplier))
            .then_with(|| natural(&a.called, &b.called))
            .then_with(|| natural(&a.sold_as, &b.sold_as))
            .then_with(|| a.code.cmp(&b.code))
    });
    changes
}

/// What became of an offer that is in both lists; nothing where all is as before.
fn between(
    (old_job, old): (&Job, &Offer),
    (new_job, new): (&Job, &Offer),
    unit: LengthUnit,
) -> Option<OfferWhat> {
    match (out_of_date(old_job, old), out_of_date(new_job, new)) {
        (None, Some(what)) => return Some(what),
        (Some(_), Some(_)) => return None,
        (_, None) => {}
    }
    let same_quote = old.per == new.per && old.pack == new.pack;
    let price = |offer: &Offer| match same_quote {
        true => price::net(offer.price, &offer.discount),
        false => of_one(offer, unit),
    };
    let (was, is) = (price(old)?, price(new)?);
    if was != is {
        let more = is.checked_sub(was)?.checked_mul(Decimal::ONE_HUNDRED)?;
        let points = more.checked_div(was).map(|points| round_half_away(points, 1).normalize());
        return Some(OfferWhat::Moved { old: was, new: is, points });
    }
    (old.breaks != new.breaks || old.pack != new.pack).then_some(OfferWhat::Breaks)
}

/// The net price of one piece, one foot (or metre), or one of the unit that joints consume, to 4 places.
fn of_one(offer: &Offer, unit: LengthUnit) -> Option<Decimal> {
    let net = price::net(offer.price, &offer.discount)?;
    let quoted = offer.priced_for(unit);
    net.checked_div(quoted).map(|price| to_net(price).normalize())
}

/// Why an offer is not good on the day of its job.
fn out_of_date(job: &Job, offer: &Offer) -> Option<OfferWhat> {
    let today = job.settings.date?;
    match (offer.good_from, offer.good_until) {
        (_, Some(until)) if until < today => Some(OfferWhat::Expired(until)),
        (Some(from), _) if from > today => Some(OfferWhat::NotYet(from)),
        _ => None,
    }
}

/// The offers of a job by the names they are known again by.
struct Listed {
    /// By offer: by code, then by what it is.
    names: Vec<Vec<String>>,
    by_name: BTreeMap<String, Vec<usize>>,
}

fn listed(job: &Job) -> Listed {
    let mut listed = Listed { names: Vec::new(), by_name: BTreeMap::new() };
    for (at, offer) in job.prices.offers.iter().enumerate() {
        let supplier = fold(job.lexicon.text(offer.supplier));
        let whole =
            [supplier.clone(), fold(&offered(&job.lexicon, offer)), fold(&sold(offer, LengthUnit::Foot))]
                .join("\n");
        let mut names = Vec::new();
        if !offer.code.is_empty() {
            names.push(
                [supplier, "code".to_owned(), fold(&offer.code), fold(&offered(&job.lexicon, offer))]
                    .join("\n"),
            );
        }
        names.push(whole);
        for name in &names {
            listed.by_name.entry(name.clone()).or_default().push(at);
        }
        listed.names.push(names);
    }
    listed
}

/// By offer: whether the chosen alternative buys by it.
fn bought(side: Side<'_>) -> Vec<bool> {
    let mut bought = vec![false; side.job.prices.offers.len()];
    let lines = side.chosen().map_or(&[][..], |chosen| &chosen.order);
    for pick in lines.iter().flat_map(|line| &line.picks) {
        if let Some(one) = bought.get_mut(pick.offer.0 as usize) {
            *one = true;
        }
    }
    bought
}

fn told(job: &Job, offer: &Offer, what: OfferWhat, bought: bool, unit: LengthUnit) -> OfferChange {
    OfferChange {
        supplier: job.lexicon.text(offer.supplier).to_owned(),
        code: offer.code.to_string(),
        called: offered(&job.lexicon, offer),
        sold_as: sold(offer, unit),
        per: per(offer, unit),
        what,
        bought,
        spot: job.sources.row(offer.row),
    }
}

pub(super) fn sold(offer: &Offer, unit: LengthUnit) -> String {
    let holds = match offer.pack {
        Pack::Count(count) => count.to_string(),
        Pack::Amount(amount) => amount.normalize().to_string(),
        Pack::Length(length) => format!("{} {}", length.shown(unit).normalize(), unit.abbreviation()),
    };
    match offer.sold_as {
        SoldAs::Coil => format!("coil of {holds}"),
        SoldAs::Stick => format!("stick of {holds}"),
        SoldAs::Bag => format!("pack of {holds}"),
        SoldAs::Each if offer.per == PricedPer::Pack => format!("pack of {holds}"),
        SoldAs::Each => "loose".to_owned(),
    }
}

pub(super) fn per(offer: &Offer, unit: LengthUnit) -> String {
    match offer.per {
        PricedPer::Each => "each".to_owned(),
        PricedPer::Pack => sold(offer, unit),
        PricedPer::Length(length) => {
            let number = length.shown(unit).normalize().to_string();
            let unit = unit.abbreviation();
            if number == "1" { unit.to_owned() } else { format!("{number} {unit}") }
        }
        PricedPer::Many(many) => many.to_string(),
    }
}
