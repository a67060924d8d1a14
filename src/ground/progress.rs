//! How far long work is, by units of real work: stages count them up, and whoever has a terminal may look. It changes no
//! result, knows no terminal and reads no clock.

use std::sync::atomic::{AtomicU64, Ordering};

/// The kinds of long work, in the order in which a command comes to them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Work {
    /// Rows of tables that are read.
    Rows,
    /// Runs that are laid, in each alternative.
    Runs,
    /// Cut plans that are made while tube is bought; how many it takes is known at the end.
    Plans,
    /// Doubts that are weighed.
    Doubts,
    /// Files and sheets that are written.
    Files,
}

impl Work {
    /// All kinds, in their order.
    pub const ALL: [Self; 5] = [Self::Rows, Self::Runs, Self::Plans, Self::Doubts, Self::Files];

    /// What is counted, as it is shown behind the count.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Rows => "rows read",
            Self::Runs => "runs laid",
            Self::Plans => "cut plans made",
            Self::Doubts => "doubts weighed",
            Self::Files => "files and sheets written",
        }
    }
}

/// Units of one kind of work.
struct Units {
    done: AtomicU64,
    /// How many there are, where that is known; 0 where it is not.
    all: AtomicU64,
}

/// What this process has done; a job more adds to it.
static UNITS: [Units; Work::ALL.len()] =
    [const { Units { done: AtomicU64::new(0), all: AtomicU64::new(0) } }; Work::ALL.len()];

/// That so much work of a kind is to come.
pub(crate) fn ahead(work: Work, units: usize) {
    add(&UNITS[work as usize].all, units);
}

/// That so much work of a kind was done.
pub(crate) fn done(work: Work, units: usize) {
    add(&UNITS[work as usize].done, units);
}

fn add(counter: &AtomicU64, units: usize) {
    counter.fetch_add(u64::try_from(units).unwrap_or(0), Ordering::Relaxed);
}

/// The last kind of work that was begun: how much is done, and of how much where that is known.
pub fn now() -> Option<(Work, u64, Option<u64>)> {
    let read = |work: &Work| {
        let units = &UNITS[*work as usize];
        let (done, all) = (units.done.load(Ordering::Relaxed), units.all.load(Ordering::Relaxed));
        (done > 0 || all > 0).then_some((*work, done, (all > 0).then_some(all.max(done))))
    };
    Work::ALL.iter().rev().find_map(read)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_work_that_was_begun_is_told_with_its_count() {
        // Other tests of this process count rows and runs; no one writes files but this one and those that come after it.
        ahead(Work::Files, 3);
        done(Work::Files, 2);
        let (work, done, all) = now().unwrap();
        assert!(work == Work::Files && done >= 2 && all.is_some_and(|all| all >= 3 && all >= done));
    }
}
