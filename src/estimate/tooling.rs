//! Tools and one-offs of one alternative: those of the systems that its runs are really laid in, and what they cost the
//! job. It knows no hours but the days of the crew. The walk calls `equip` once for each alternative.
//!
//! Bought: the price over the jobs it is shared by. Rented: price x days of work, or x weeks of five days, begun ones
//! whole, over the jobs. Owned: nothing, and listed. Each to cents once.

use rust_decimal::Decimal;

use super::takeoff::{Because, Subject, Takeoff};
use super::{Items, Labor, RunId};
use crate::ground::Notice;
use crate::ground::money::{MOST, round_up, to_cents};
use crate::ground::notice::{error, warning};
use crate::trade::{Had, Job, SystemId, ToolRow};

/// Days of work in a week of renting.
pub(crate) const DAYS_A_WEEK: u32 = 5;

/// One tool that an alternative uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ToolLine {
    /// Its row (index into `Job::tools`).
    pub tool: usize,
    /// The system that asks for it.
    pub system: SystemId,
    /// The first run by name that is laid in that system.
    pub run: RunId,
    /// So many times its price: once where it is bought, days or weeks where it is rented; nothing where they are not
    /// known.
    pub times: Option<Decimal>,
    /// What it costs the job, in cents; nothing where it is not priced.
    pub cost: Option<Decimal>,
}

/// The tools of one alternative.
#[derive(Debug, Clone, Default)]
pub struct Tools {
    /// Whether the job has a table of tools at all; without one everything here is zero and means nothing.
    pub stated: bool,
    /// Tool by tool, in the order of the table.
    pub lines: Vec<ToolLine>,
    /// What they cost, in cents.
    pub cost: Decimal,
    /// What is wrong or doubtful in them.
    pub notices: Vec<Notice>,
}

impl Tools {
    /// Whether the cost of every tool is known.
    pub fn is_whole(&self) -> bool {
        self.stated && self.lines.iter().all(|line| line.cost.is_some())
    }
}

/// Finds what an alternative needs of the table `tools`, and what that costs.
pub(super) fn equip(job: &Job, items: &Items, takeoff: &Takeoff, labor: &Labor) -> Tools {
    let Some(table) = &job.tools else { return Tools::default() };
    let laid = systems_laid(items, takeoff);
    let mut tools = Tools { stated: true, ..Tools::default() };
    for (at, row) in table.iter().enumerate() {
        let user = laid.iter().find(|(system, _)| job.catalog.takes_in(&row.systems, *system));
        let Some((system, run)) = user.copied() else { continue };
        let times = times(row, labor);
        let cost = times.and_then(|times| cost(row, times)).filter(|cost| *cost <= MOST);
        tools.notices.extend(match (times, cost) {
            (_, Some(_)) => None,
            (None, None) => Some(tool_without_days(job, row)),
            (Some(_), None) => Some(tool_beyond(job, row)),
        });
        tools.cost = tools.cost.saturating_add(cost.unwrap_or_default());
        tools.lines.push(ToolLine { tool: at, system, run, times, cost });
    }
    tools
}

/// The systems that runs are laid in, each with its first run, in the order of the table of systems.
fn systems_laid(items: &Items, takeoff: &Takeoff) -> Vec<(SystemId, RunId)> {
    let mut laid: Vec<(SystemId, RunId)> = Vec::new();
    for line in takeoff.lines.iter().filter(|line| line.because == Because::Length) {
        if let (Some(system), Subject::Run(run)) = (items.get(line.item).system, line.subject)
            && !laid.iter().any(|(known, _)| *known == system)
        {
            laid.push((system, run));
        }
    }
    laid.sort_by_key(|(system, _)| *system);
    laid
}

/// How many times the price of a tool is paid.
fn times(row: &ToolRow, labor: &Labor) -> Option<Decimal> {
    let days = || row.days.or_else(|| labor.has_all_hours().then_some(labor.days));
    match row.had {
        Had::Bought => Some(Decimal::ONE),
        Had::Owned => Some(Decimal::ZERO),
        Had::RentedByDay => days().map(round_up),
        Had::RentedByWeek => days()?.checked_div(DAYS_A_WEEK.into()).map(round_up),
    }
}

fn cost(row: &ToolRow, times: Decimal) -> Option<Decimal> {
    Some(to_cents(row.price.checked_mul(times)?.checked_div(row.jobs)?))
}

/// A tool that is rented for as long as the crew works, where nobody knows how long that is.
fn tool_without_days(job: &Job, row: &ToolRow) -> Notice {
    warning(
        "tool-without-days",
        format!("{} is rented and the days of the crew are not known: it is not priced", row.tool),
        "days, or hours for all work in the table labor",
        "type how many days of work it is rented for",
    )
    .at([job.sources.cell(row.row, "days")])
}

/// A tool whose price is larger than anything that is reckoned with.
fn tool_beyond(job: &Job, row: &ToolRow) -> Notice {
    error(
        "tool-too-large",
        format!("what {} costs is larger than is reckoned with: it is not priced", row.tool),
        "the price of a tool, over so many jobs and days",
        "look for a price, jobs or days with too many digits",
    )
    .at([job.sources.cell(row.row, "price")])
}
