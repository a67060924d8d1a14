//! Whether everything of a job is in its sums, and what is not. The one place that says so: the workbook, the files, the
//! terminal and the exit status ask it. Called by the walk, by what is installed and by all that shows a sum.

use rust_decimal::Decimal;

use super::Alternative;
use super::laying::UNCOUNTED;
use super::{Estimate, Walked, accepted};
use crate::ground::Notice;
use crate::trade::Job;

/// Something that is not in the sums.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lack {
    /// The run list has no rows.
    NoRuns,
    /// No system that it names could be taken off.
    NothingTakenOff,
    /// Runs that are left out.
    LeftOut(usize),
    /// Errors in the tables.
    Errors(usize),
    /// Runs left out or errors, where it is only known that there are some.
    NotCounted,
    /// Joints and supports of which the tables do not say what they take.
    Uncounted(usize),
    /// Parts that no table has.
    Missing(usize),
    /// Parts without a price, and how many there are in all.
    NotPriced(usize, usize),
    /// Tools without a price or without their days.
    Tools(usize),
    /// Lines of work without hours, in a job that has a table of them.
    NoHours(usize),
    /// Wages are said of some of the crew alone.
    NoWages,
    /// Sums beyond what money is counted in.
    TooLarge,
}

impl Lack {
    /// In words: `3 parts are not priced`.
    pub fn words(self) -> String {
        let counted = |count: usize, one: &str, many: &str| {
            if count == 1 { format!("1 {one}") } else { format!("{count} {many}") }
        };
        match self {
            Self::NoRuns => "the run list has no rows".to_owned(),
            Self::NothingTakenOff => "nothing could be taken off".to_owned(),
            Self::LeftOut(count) => counted(count, "run is left out", "runs are left out"),
            Self::Errors(count) => counted(count, "error in the tables", "errors in the tables"),
            Self::NotCounted => "not all is counted".to_owned(),
            Self::Uncounted(1) => "what 1 size of joints or supports takes is not counted".to_owned(),
            Self::Uncounted(count) => format!("what {count} sizes of joints or supports take is not counted"),
            Self::Missing(count) => counted(count, "part that no table has", "parts that no table has"),
            Self::NotPriced(count, all) if count == all => "nothing is priced".to_owned(),
            Self::NotPriced(count, _) => counted(count, "part is not priced", "parts are not priced"),
            Self::Tools(count) => counted(count, "tool is not priced", "tools are not priced"),
            Self::NoHours(count) => {
                counted(count, "line of work has no hours", "lines of work have no hours")
            }
            Self::NoWages => "a rate is missing in the crew, so that labor is not priced".to_owned(),
            Self::TooLarge => "the sums are too large".to_owned(),
        }
    }
}

/// What is not in the sums of an alternative.
pub(crate) fn lacks(job: &Job, of: &Alternative) -> Vec<Lack> {
    let mut lacks = Vec::new();
    if !of.cost.complete {
        lacks.push(Lack::NotCounted);
    }
    let mut some = |count: usize, lack: Lack| lacks.extend((count > 0).then_some(lack));
    let missing = of.takeoff.missing.len();
    some(missing, Lack::Missing(missing));
    let not_priced = of.cost.not_priced.len();
    some(not_priced, Lack::NotPriced(not_priced, of.order.len()));
    let tools = of.tools.lines.iter().filter(|line| line.cost.is_none()).count();
    some(tools, Lack::Tools(tools));
    let no_hours = if of.labor.stated { of.labor.without_hours().count() } else { 0 };
    some(no_hours, Lack::NoHours(no_hours));
    let wages = of.labor.stated && of.labor.rate.is_none() && !job.settings.crew.rates.is_empty();
    some(usize::from(wages), Lack::NoWages);
    lacks
}

/// Whether all runs of a job are counted, as its notices say: an error, or a run list without rows, leaves something out.
fn is_counted(job: &Job, told: &[Notice]) -> bool {
    let no_runs = job.runs.is_empty() && job.alternates.runs.is_empty();
    !no_runs && !told.iter().any(Notice::is_error)
}

/// How many warnings of an alternative say that something is not counted, and are not accepted.
fn uncounted(of: &Alternative, told: &[Notice]) -> usize {
    let accepted = |notice: &Notice| {
        told.iter().any(|one| {
            one.accepted.is_some()
                && (one.kind, &one.spots, &one.found) == (notice.kind, &notice.spots, &notice.found)
        })
    };
    let says_so = |notice: &&Notice| UNCOUNTED.contains(&notice.kind) && !accepted(notice);
    of.takeoff.notices.iter().filter(says_so).count()
}

/// Marks what is not wholly counted, as all that is told of the job says it.
pub(super) fn mark(job: &Job, told: &[Notice], alternatives: &mut [Alternative]) {
    let counted = is_counted(job, told);
    for of in alternatives {
        of.cost.complete &= counted && uncounted(of, told) == 0;
    }
}

/// Whether everything is in the sums of what was walked, in its chosen system.
pub(super) fn is_whole(job: &Job, walked: &Walked) -> bool {
    walked.alternatives.first().is_some_and(|chosen| lacks(job, chosen).is_empty())
}

impl Estimate {
    /// Whether everything of the job is in the sums of its chosen system.
    pub fn is_complete(&self) -> bool {
        self.left_out.is_empty() && self.comparison.is_whole(0)
    }

    /// What is not in the sums of the chosen system; nothing where it is complete.
    pub fn lacks(&self, job: &Job) -> Vec<Lack> {
        if self.is_complete() {
            return Vec::new();
        }
        let mut all = Vec::new();
        let mut some = |count: usize, lack: Lack| all.extend((count > 0).then_some(lack));
        let no_runs = job.runs.is_empty() && job.alternates.runs.is_empty();
        some(usize::from(no_runs), Lack::NoRuns);
        some(self.left_out.len(), Lack::LeftOut(self.left_out.len()));
        let errors = self.told.iter().filter(|notice| notice.is_error()).count();
        some(errors, Lack::Errors(errors));
        let uncounted = self.alternatives.first().map_or(0, |chosen| uncounted(chosen, &self.told));
        some(uncounted, Lack::Uncounted(uncounted));
        match self.alternatives.first() {
            None => all.push(Lack::NothingTakenOff),
            Some(chosen) => {
                all.extend(lacks(job, chosen).into_iter().filter(|lack| *lack != Lack::NotCounted));
            }
        }
        if all.is_empty() {
            all.push(Lack::TooLarge);
        }
        all
    }

    /// `INCOMPLETE: 2 runs are left out, 1 part is not priced`; nothing where the estimate is complete.
    pub fn incomplete(&self, job: &Job) -> Option<String> {
        if self.is_complete() {
            return None;
        }
        let lacks: Vec<String> = self.lacks(job).into_iter().map(Lack::words).collect();
        Some(format!("INCOMPLETE: {}", lacks.join(", ")))
    }
}

/// The sums that a doubt may move.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Sums {
    /// The bid in the chosen system.
    pub bid: Decimal,
    /// Its material.
    pub material: Decimal,
    /// Whether everything is in them.
    pub whole: bool,
}

impl Sums {
    /// Those of an estimate.
    pub(crate) fn of(estimate: &Estimate) -> Option<Self> {
        let chosen = estimate.alternatives.first()?;
        let whole = estimate.is_complete();
        Some(Self { bid: chosen.cost.bid.total, material: chosen.cost.material, whole })
    }
}

/// The sums of a job in its chosen system, without alternates, comparison and papers: less work than an estimate.
pub(crate) fn sums(job: &Job) -> Option<Sums> {
    let mut walked = super::walk(job);
    let told = accepted::apply(job, job.notices.iter().chain(&walked.notices).cloned().collect());
    mark(job, &told, &mut walked.alternatives);
    let whole = is_whole(job, &walked);
    let chosen = walked.alternatives.first()?;
    Some(Sums { bid: chosen.cost.bid.total, material: chosen.cost.material, whole })
}
