//! Labor and tools: joints by system, size, phase and area; which row of hours speaks of which work; crew, rates and
//! days; tools bought, rented and owned. Small jobs whose sums are worked beside them.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

mod comparison;
mod hours;
mod joints;
mod tools;

use coilstick::estimate::{Estimate, estimate};
use coilstick::estimate::{Labor, LaborLine};
use coilstick::trade::Job;
use rust_decimal::Decimal;

const HEADINGS: &str = "per,part,class,system,size,variant,fixture,hours,unit\n";
const BASE: &str = "thread,,,,,,,0.1,\nsupport,,,,,,,0.05,\npart,,valve,,,,,0.3,\n";

fn d(text: &str) -> Decimal {
    Decimal::from_str_exact(text).unwrap()
}

/// A job of a few tables; `labor` without its headings.
fn job(job: &str, runs: &str, labor: &str, tools: &str) -> Job {
    let terms = format!("item,for,value\n{job}");
    let labor = format!("{HEADINGS}{labor}");
    let mut texts: Vec<(&str, &str)> = vec![("job", &terms), ("runs", runs)];
    if labor != HEADINGS {
        texts.push(("labor", &labor));
    }
    if !tools.is_empty() {
        texts.push(("tools", tools));
    }
    Job::from_texts(&texts)
}
