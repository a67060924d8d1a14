//! Labor: the hours that one alternative takes, work by work, and what they cost. Every hour comes of a row of the
//! user's table `labor`; what no row speaks of has *no hours* and is listed, never zero.
//!
//! `work` counts what there is to do, `rows` finds the row that speaks of it. It knows no prices but wages. The walk
//! calls `reckon` once for each alternative.
//!
//! Hours of a line: quantity x hours of the row / for so many, with the difficulty of the area, over the productivity;
//! rounded to 0.01 once. Wages of one person-hour: the mean of the crew with the burden on it, to 4 places. The cost is
//! the sum of hours at that rate, to cents once.

mod findings;
mod rows;
mod work;

use rust_decimal::Decimal;

use super::network::Network;
use super::takeoff::Takeoff;
use super::{Items, OrderLine, Substitute, Task, TubePlan};
use crate::ground::Notice;
use crate::ground::money::{MOST, to_cents, to_hundredths, to_net};
use crate::trade::LaborRow;
use crate::trade::{Job, Phase, SystemId, Word, WorkPer};

/// One line of labor: work of one kind in one phase and area.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LaborLine {
    /// What is worked on.
    pub task: Task,
    /// What its hours are for.
    pub per: WorkPer,
    /// When.
    pub phase: Phase,
    /// Where.
    pub area: Word,
    /// Whether the cut plan asks for it (or, with a minus, spares it), not the takeoff.
    pub by_plan: bool,
    /// How much: joints, pieces, runs, places; of tube its length in the job's unit, exact.
    pub quantity: Decimal,
    /// The row of the table that speaks of it (index into `Job::labor`).
    pub rule: Option<usize>,
    /// Points that the area adds.
    pub difficulty: Decimal,
    /// Hours of one person, to 0.01; nothing where no row speaks of it.
    pub hours: Option<Decimal>,
}

/// Hours of one phase in one area.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spread {
    /// When.
    pub phase: Phase,
    /// Where.
    pub area: Word,
    /// Hours of one person.
    pub hours: Decimal,
}

/// The labor of one alternative.
#[derive(Debug, Clone, Default)]
pub struct Labor {
    /// Whether the job has a table of labor at all; without one everything here is zero and means nothing.
    pub stated: bool,
    /// Line by line: by phase, area, kind of work.
    pub lines: Vec<LaborLine>,
    /// Hours of one person, all lines together.
    pub hours: Decimal,
    /// The same by phase and area.
    pub spread: Vec<Spread>,
    /// How many work together.
    pub heads: Decimal,
    /// Hours that the crew works, to 0.01.
    pub crew_hours: Decimal,
    /// Days of the crew, to 0.01.
    pub days: Decimal,
    /// What an hour of one person costs, burden and all, to 4 places; nothing where wages are not said.
    pub rate: Option<Decimal>,
    /// What the hours cost, in cents; zero where wages are not said.
    pub cost: Decimal,
    /// What is wrong or doubtful in it.
    pub notices: Vec<Notice>,
}

impl Labor {
    /// Lines of which no row of the table speaks.
    pub fn without_hours(&self) -> impl Iterator<Item = &LaborLine> {
        self.lines.iter().filter(|line| line.hours.is_none())
    }

    /// Whether hours are stated for all the work.
    pub fn has_all_hours(&self) -> bool {
        self.stated && self.without_hours().next().is_none()
    }

    /// Whether all its hours are known and priced.
    pub fn is_whole(&self) -> bool {
        self.has_all_hours() && self.rate.is_some()
    }
}

/// What one alternative is made of, as far as labor asks.
pub(super) struct Asked<'a> {
    /// The job.
    pub(super) job: &'a Job,
    /// How runs meet.
    pub(super) network: &'a Network,
    /// What is counted.
    pub(super) items: &'a Items,
    /// What is installed.
    pub(super) takeoff: &'a Takeoff,
    /// How tube is cut.
    pub(super) plans: &'a [TubePlan],
    /// Fittings that are built from others.
    pub(super) built: &'a [Substitute],
    /// What is bought.
    pub(super) order: &'a [OrderLine],
}

/// Reckons the labor of one alternative.
pub(super) fn reckon(asked: &Asked<'_>) -> Labor {
    let crew = &asked.job.settings.crew;
    let Some(table) = &asked.job.labor else { return Labor::default() };
    let mut lines = work::lines(asked, table);
    for line in &mut lines {
        line.difficulty = crew.difficulty_of(line.area);
        line.hours = line.rule.and_then(|rule| hours(line, &table[rule], crew.productivity));
    }
    let total = |lines: &[LaborLine]| {
        let hours = lines.iter().filter_map(|line| line.hours);
        hours.fold(Decimal::ZERO, |sum, hours| sum.checked_add(hours).unwrap_or(Decimal::MAX))
    };
    let hours = total(&lines);
    let spread = lines
        .chunk_by(|a, b| (a.phase, a.area) == (b.phase, b.area))
        .map(|of| Spread { phase: of[0].phase, area: of[0].area, hours: total(of) })
        .collect();
    let heads = crew.members().iter().fold(Decimal::ZERO, |sum, member| sum.saturating_add(member.heads));
    let rate = loaded_rate(asked.job);
    let over = |by: Decimal| hours.checked_div(by).map_or(Decimal::ZERO, to_hundredths);
    let cost = rate.and_then(|rate| hours.checked_mul(rate)).map(to_cents).filter(|cost| *cost <= MOST);
    let uncounted = lines.iter().any(|line| line.rule.is_some() && line.hours.is_none());
    let is_beyond = uncounted || hours > MOST || rate.is_some() && cost.is_none();
    let mut labor = Labor {
        stated: true,
        lines,
        hours,
        spread,
        heads,
        crew_hours: over(heads),
        days: over(heads.checked_mul(crew.hours_a_day).unwrap_or(Decimal::MAX)),
        rate,
        cost: cost.unwrap_or_default(),
        notices: Vec::new(),
    };
    labor.notices = findings::without_hours(asked.job, asked.items, asked.takeoff.system, &labor);
    labor.notices.extend(is_beyond.then(|| findings::hours_beyond(asked.job)));
    labor
}

/// What the labor of one joint of tube costs where no area makes it harder, for the cut plan, which weighs joints against
/// tube; nothing where hours or wages are not said.
pub(super) fn price_of_a_joint(job: &Job, system: SystemId, size: Word) -> Option<Decimal> {
    price_of(job, &rows::of_a_joint(WorkPer::Joint, system, &size))
}

/// The same of one threaded joint, for weighing what fittings are built from.
pub(super) fn price_of_a_thread(job: &Job, system: SystemId, size: Word) -> Option<Decimal> {
    price_of(job, &rows::of_a_joint(WorkPer::Thread, system, &size))
}

fn price_of(job: &Job, question: &rows::Question<'_>) -> Option<Decimal> {
    let table = job.labor.as_ref()?;
    let row = &table[rows::find(&job.catalog, table, question)?];
    let hours = row.hours.checked_mul(Decimal::ONE_HUNDRED)?;
    let hours = hours.checked_div(row.for_so_many.checked_mul(job.settings.crew.productivity)?)?;
    hours.checked_mul(loaded_rate(job)?)
}

/// Hours of a line by its row.
fn hours(line: &LaborLine, row: &LaborRow, productivity: Decimal) -> Option<Decimal> {
    let harder = Decimal::ONE_HUNDRED.checked_add(line.difficulty)?;
    let hours = line.quantity.checked_mul(row.hours)?.checked_mul(harder)?;
    Some(to_hundredths(hours.checked_div(row.for_so_many.checked_mul(productivity)?)?))
}

/// What an hour of one person costs: the mean wages of the crew, and the burden on them.
fn loaded_rate(job: &Job) -> Option<Decimal> {
    let crew = &job.settings.crew;
    let (mut wages, mut heads) = (Decimal::ZERO, Decimal::ZERO);
    for member in crew.members() {
        wages = wages.checked_add(member.heads.checked_mul(member.rate?)?)?;
        heads = heads.checked_add(member.heads)?;
    }
    let burdened = wages.checked_mul(Decimal::ONE_HUNDRED.checked_add(crew.burden)?)?;
    Some(to_net(burdened.checked_div(heads.checked_mul(Decimal::ONE_HUNDRED)?)?))
}
