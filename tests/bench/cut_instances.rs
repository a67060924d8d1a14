//! Runs the cutting planner on instance files, or on the families made by recipe, and prints what it did.
//!
//! `cut-instances FILE...` prints `file<tab>cost<tab>bound<tab>milliseconds`, a line for each file; with one length of stock
//! the cost is the count of sticks. `cut-instances --families [NAME]` prints, for each family, how many were
//! proven least, the worst gap and the times; `--each` before it prints every instance not proven or slow.
//!
//! A file of orders with pieces that are joined (it begins with a row `order NAME`; `tests/cutting/instances/README.md` has
//! the form) gives a line for each order: `name<tab>cost<tab>bound<tab>milliseconds<tab>` and `least`, or the gap in
//! percent of the cost. `--effort N` before the files gives so many steps instead of the usual ones.
#![allow(clippy::print_stdout, clippy::print_stderr)]

#[path = "../cutting/checker.rs"]
mod checker;
#[allow(dead_code, reason = "the tests use all of it")]
#[path = "../cutting/families.rs"]
mod families;
#[path = "../cutting/joined_checker.rs"]
mod joined_checker;
#[path = "../cutting/reading.rs"]
mod reading;

use coilstick::search::cutting::{CutOrder, CutPlan, USUAL_EFFORT, plan, plan_joined};
use reading::{Asked, Instance};
use std::process::ExitCode;
use std::time::{Duration, Instant};

fn main() -> ExitCode {
    let mut words: Vec<String> = std::env::args().skip(1).collect();
    let each = words.iter().any(|word| word == "--each");
    words.retain(|word| word != "--each");
    let effort = words.iter().position(|word| word == "--effort").and_then(|at| {
        let steps = words.get(at + 1)?.parse().ok()?;
        words.drain(at..at + 2);
        Some(steps)
    });
    if words.is_empty() {
        eprintln!("cut-instances [--effort N] FILE... | --families [NAME] [--each]");
        return ExitCode::from(2);
    }
    if words[0] == "--families" {
        return run_families(words.get(1).map(String::as_str), each);
    }
    let mut status = ExitCode::SUCCESS;
    for file in &words {
        let text = std::fs::read_to_string(file).ok();
        if let Some(orders) = text.as_ref().and_then(|text| reading::read_joined(text)) {
            for (name, asked) in &orders {
                if !joined(name, asked, effort.unwrap_or(USUAL_EFFORT)) {
                    status = ExitCode::from(2);
                }
            }
            continue;
        }
        let read = text.and_then(|text| reading::read(file, &text));
        match read.as_ref().and_then(timed) {
            Some((plan, time)) => println!("{file}\t{}\t{}\t{}", plan.cost, plan.bound, time.as_millis()),
            None => {
                eprintln!("{file}: cannot be read or planned");
                status = ExitCode::from(2);
            }
        }
    }
    status
}

/// Plans and checks one instance.
fn timed(instance: &Instance) -> Option<(CutPlan, Duration)> {
    let order =
        CutOrder { stocks: &instance.stocks, demands: &instance.demands, kerf: 0, effort: USUAL_EFFORT };
    let begun = Instant::now();
    let planned = plan(&order).ok()?;
    let time = begun.elapsed();
    let faults = checker::faults(&order, &planned);
    if !faults.is_empty() {
        eprintln!("{}: {faults:?}", instance.name);
        return None;
    }
    Some((planned, time))
}

/// Plans, checks and prints one order with pieces that are joined; false if it cannot be planned.
fn joined(name: &str, asked: &Asked, effort: u64) -> bool {
    let order = asked.order(effort);
    let begun = Instant::now();
    let planned = plan_joined(&order);
    let time = begun.elapsed().as_millis();
    let plan = match planned {
        Ok(plan) => plan,
        Err(none) => {
            eprintln!("{name}: {none:?}");
            return false;
        }
    };
    let faults = joined_checker::faults(&order, &plan);
    if !faults.is_empty() {
        eprintln!("{name}: {faults:?}");
        return false;
    }
    // In hundredths of a percent of the cost.
    let gap = (plan.cost - plan.bound) * 10_000 / plan.cost.max(1);
    let proven = match plan.cost == plan.bound {
        true => "least".to_owned(),
        false => format!("gap {}.{:02}", gap / 100, gap % 100),
    };
    println!("{name}\t{}\t{}\t{time}\t{proven}", plan.cost, plan.bound);
    true
}

fn run_families(only: Option<&str>, each: bool) -> ExitCode {
    let mut status = ExitCode::SUCCESS;
    println!("family\tinstances\tproven\tworst gap %\tabove known\tmedian ms\tworst ms");
    for family in
        families::all().into_iter().filter(|family| only.is_none_or(|name| family.name.starts_with(name)))
    {
        let (mut proven, mut worst_gap, mut above, mut times) = (0, 0, 0, Vec::new());
        for (instance, known) in &family.instances {
            let Some((plan, time)) = timed(instance) else {
                status = ExitCode::from(1);
                continue;
            };
            proven += usize::from(plan.is_least());
            above += usize::from(known.is_some_and(|known| plan.cost > known));
            // In hundredths of a percent of the cost.
            worst_gap = worst_gap.max((plan.cost - plan.bound) * 10_000 / plan.cost.max(1));
            if each && (!plan.is_least() || time.as_millis() > 1000) {
                println!("  {}\t{}\t{}\t{}", instance.name, plan.cost, plan.bound, time.as_millis());
            }
            times.push(time);
        }
        times.sort();
        let (median, worst) = (times.get(times.len() / 2), times.last());
        let show = |time: Option<&Duration>| time.map_or(0, Duration::as_millis);
        println!(
            "{}\t{}\t{proven}\t{}.{:02}\t{above}\t{}\t{}",
            family.name,
            family.instances.len(),
            worst_gap / 100,
            worst_gap % 100,
            show(median),
            show(worst)
        );
    }
    status
}
