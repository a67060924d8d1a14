//! Checks and test day: what a job says, held against the rules of its code family, what a house of its kind may have been
//! forgotten, and what is closed and filled when it is tested. It stands above the estimate, which it only reads. An aid, no design: the local code and the inspector decide.
//!
//! Every rule is a row of a table (`code rules`, `drain units`, `supports`, `pressure tests`). A check without a row is not judged, and so is
//! one of which the job does not say enough: nothing is judged by what is unknown.

mod arms;
mod capacity;
mod cleanouts;
mod fittings;
mod forgotten;
mod framing;
mod house;
mod rule;
mod test_day;
mod traps;
mod vents;
mod water;

pub use forgotten::Forgotten;
pub use rule::{Check, Rule, Verdict};
pub use test_day::{
    Filled, Mark, MarkOf, Opening, Section, Shuts, Test, TestDay, Top, Unknown, WayToTest, test_day,
};

use crate::estimate::Estimate;
use crate::trade::{CheckOf, Job};
use house::House;

/// All that was checked of a job.
#[derive(Debug, Clone, Default)]
pub struct Checks {
    /// The code family, as it is called.
    pub family: String,
    /// The checks: by what they look at, then by run.
    pub list: Vec<Check>,
    /// What the list may lack, in the order of the table `often forgotten`.
    pub forgotten: Vec<Forgotten>,
}

/// What every list of checks says beside it.
pub const DECIDES: &str = "The local code and the inspector decide: these checks are an aid, not a design.";

/// Holds a job against the rules of its code family, and seeks what may have been forgotten.
pub fn check(job: &Job, estimate: &Estimate) -> Checks {
    let house = House::of(job, estimate);
    Checks {
        family: job.family_called().to_owned(),
        list: judged(&house),
        forgotten: forgotten::forgotten(&house),
    }
}

/// What fails of a job, for its picture: what may have been forgotten stands nowhere in it.
pub fn failing(job: &Job, estimate: &Estimate) -> Vec<Check> {
    let mut list = judged(&House::of(job, estimate));
    list.retain(|check| check.verdict == Verdict::Fails);
    list
}

fn judged(house: &House<'_>) -> Vec<Check> {
    let mut list = Vec::new();
    if house.has_drains() {
        let arms = arms::walk(house);
        list.extend(capacity::check(house, &arms));
        list.extend(traps::check(house));
        list.extend(arms::check(house, &arms));
        list.extend(vents::check(house, &arms));
        list.extend(cleanouts::check(house));
        list.extend(fittings::check(house));
        list.extend(framing::standpipe(house));
    }
    list.extend(water::check(house));
    list.extend(framing::check(house));
    // Stable: of one kind they stay in the order of the runs.
    list.sort_by_key(|check: &Check| check.of);
    list
}

impl Checks {
    /// How many have a verdict.
    pub fn count(&self, verdict: Verdict) -> usize {
        self.list.iter().filter(|check| check.verdict == verdict).count()
    }

    /// Those that fail.
    pub fn failed(&self) -> impl Iterator<Item = &Check> {
        self.list.iter().filter(|check| check.verdict == Verdict::Fails)
    }

    /// What no rule of the family speaks of, each once.
    pub fn without_a_rule(&self) -> Vec<CheckOf> {
        let mut all: Vec<CheckOf> =
            self.list.iter().filter(|check| check.lacks_rule()).map(|check| check.of).collect();
        all.dedup();
        all
    }
}
