//! What may be had beside the base bid, in `estimate.json`: what each piece of optional work moves, and what one more of
//! each part and one more run is asked for. Called by [`super::json_out`] alone.

use serde::Serialize;

use super::json_out::{BidLineOut, bid_lines_out};
use super::wording::Wording;
use crate::estimate::alternates::Alternate;
use crate::estimate::unit_prices::{RunPrice, UnitPrice, unit_prices};
use crate::ground::money::{cents, points, price, to_places};

/// One piece of optional work.
#[derive(Serialize)]
pub(super) struct AlternateOut<'a> {
    name: &'a str,
    row: String,
    complete: bool,
    brings: Vec<&'a str>,
    leaves_out: Vec<&'a str>,
    /// What it adds to the bid or, with a minus, takes off it; nothing where it is not priced.
    moves: Option<MovesOut>,
    bid_lines: Vec<BidLineOut>,
}

#[derive(Serialize)]
struct MovesOut {
    material: String,
    labor_and_tools: String,
    tax: String,
    bid: String,
}

/// All optional work, by name.
pub(super) fn alternates_out<'a>(words: &Wording<'a>) -> Vec<AlternateOut<'a>> {
    let estimate = words.estimate;
    let Some(chosen) = estimate.alternatives.first() else { return Vec::new() };
    let job = words.job;
    let of_one = |one: &Alternate| {
        let brings = one.brings.iter().filter_map(|at| job.alternates.runs.get(*at));
        let leaves_out = one.leaves_out.iter().filter_map(|at| job.runs.get(*at));
        let moved = one.moved.as_ref();
        AlternateOut {
            name: words.word(one.name),
            row: words.spot(one.row),
            complete: one.complete,
            brings: brings.map(|run| &*run.name).collect(),
            leaves_out: leaves_out.map(|run| &*run.name).collect(),
            moves: moved.map(|moved| {
                let more = moved.against(&chosen.cost.bid);
                MovesOut {
                    material: cents(more.material),
                    labor_and_tools: cents(more.labor),
                    tax: cents(more.tax),
                    bid: cents(more.total),
                }
            }),
            bid_lines: moved.map_or_else(Vec::new, |moved| bid_lines_out(&job.settings, chosen, &moved.bid)),
        }
    };
    estimate.optional.iter().map(of_one).collect()
}

/// Prices for extras in the chosen alternative.
#[derive(Serialize)]
pub(super) struct UnitPricesOut {
    parts: PartsOut,
    runs: MoreRunsOut,
}

#[derive(Serialize)]
struct PartsOut {
    columns: [&'static str; 12],
    rows: Vec<PartOut>,
}

/// A row: it is written as a list, in the order of the columns.
#[derive(Serialize)]
struct PartOut(u32, String, String, String, String, String, String, String, String, String, String, bool);

#[derive(Serialize)]
struct MoreRunsOut {
    columns: [&'static str; 5],
    rows: Vec<MoreRunOut>,
}

/// A row: it is written as a list, in the order of the columns.
#[derive(Serialize)]
struct MoreRunOut(u32, String, String, String, String);

/// What one more of each part, and one more run like one of the job, is asked for; nothing where nothing is taken off.
pub(super) fn unit_prices_out(words: &Wording<'_>) -> Option<UnitPricesOut> {
    let chosen = words.estimate.alternatives.first()?;
    let (parts, runs) = unit_prices(words.job, &words.estimate.items, chosen);
    let part = |one: &UnitPrice| {
        PartOut(
            one.item.0,
            price(one.paid),
            points(one.allowance),
            price(one.material),
            price(one.joints),
            to_places(one.hours, 4),
            price(one.labor),
            price(one.asked.direct),
            cents(one.asked.price),
            cents(one.asked.tax),
            cents(one.asked.price.saturating_add(one.asked.tax)),
            one.whole,
        )
    };
    let run = |one: &RunPrice| {
        let asked = one.asked;
        let to_ask = cents(asked.price.saturating_add(asked.tax));
        MoreRunOut(one.run.0, price(asked.direct), cents(asked.price), cents(asked.tax), to_ask)
    };
    Some(UnitPricesOut {
        parts: PartsOut {
            columns: [
                "item",
                "paid",
                "allowance_percent",
                "material",
                "joints",
                "hours",
                "labor",
                "direct_cost",
                "price",
                "tax",
                "to_ask",
                "whole",
            ],
            rows: parts.iter().map(part).collect(),
        },
        runs: MoreRunsOut {
            columns: ["run", "direct_cost", "price", "tax", "to_ask"],
            rows: runs.iter().map(run).collect(),
        },
    })
}
