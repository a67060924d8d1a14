//! Two jobs set against each other: laws that hold for every pair, jobs worked on paper, the change order recalculated
//! by an outside engine, prices tried, and workbooks that come back filled in.
#![allow(clippy::float_arithmetic, reason = "the outside engine counts in floats")]
#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

mod by_hand;
mod change_order;
#[path = "../workbook/engine.rs"]
#[allow(dead_code, reason = "not every suite asks the engine for everything")]
mod engine;
#[path = "../workbook/house.rs"]
#[allow(dead_code, reason = "not every suite asks the house for everything")]
mod house;
#[path = "../golden/kept.rs"]
mod kept;
mod laws;
mod layouts;
mod trial;
mod used;

use coilstick::estimate::revision::{Revision, Side, revise};
use coilstick::estimate::{Estimate, estimate};
use coilstick::trade::Job;

/// What changed from one job to another.
fn revised(old: &Job, new: &Job) -> Revision {
    let between = new.at_prices_of(old);
    let (was, same_prices, is) = (estimate(old), estimate(&between), estimate(new));
    revise(side(old, &was), side(&between, &same_prices), side(new, &is))
}

fn side<'a>(job: &'a Job, estimate: &'a Estimate) -> Side<'a> {
    Side { job, estimate }
}
