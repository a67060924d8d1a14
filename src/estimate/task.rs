//! What hours are for: joints, threads, what is set or hung, runs, places and the whole job. Low, for what a fitting is made up of has
//! its work too.

use super::ranking::called;
use super::{ItemId, Items};
use crate::trade::{Job, SystemId, Word};

/// What is worked on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Task {
    /// Joints of tube.
    Joint {
        /// The system.
        system: SystemId,
        /// The size.
        size: Word,
    },
    /// Threaded joints.
    Thread {
        /// The system of the run they are on.
        system: SystemId,
        /// The size.
        size: Word,
    },
    /// Tube that is hung, a part that is set, supports.
    Item(ItemId),
    /// Runs of a tube that go to a kind of place.
    Run {
        /// The tube.
        tube: ItemId,
        /// The kind of place; empty: none is said.
        fixture: Word,
    },
    /// Places of a kind.
    Place {
        /// The kind; empty: none is said.
        fixture: Word,
    },
    /// Work that is done once for the whole job.
    Job {
        /// What it is; empty: it is not said.
        work: Word,
    },
}

/// How a task is called in a sentence and on sheets: `joints of copper-solder 3/4`.
pub(crate) fn task_called(job: &Job, items: &Items, task: &Task) -> String {
    let (lexicon, catalog) = (&job.lexicon, &job.catalog);
    let of = |what: &str, word: Word| match word.is_empty() {
        true => what.to_owned(),
        false => format!("{what}: {}", lexicon.text(word)),
    };
    let joint = |what: &str, system: SystemId, size| {
        format!("{what}, {} {}", lexicon.text(catalog.system(system).name), lexicon.text(size))
    };
    match task {
        Task::Joint { system, size } => joint("joint", *system, *size),
        Task::Thread { system, size } => joint("threaded joint", *system, *size),
        Task::Item(id) => called(lexicon, catalog, items.get(*id)),
        Task::Run { tube, fixture } => {
            of(&format!("run of {}", called(lexicon, catalog, items.get(*tube))), *fixture)
        }
        Task::Place { fixture } => of("place", *fixture),
        Task::Job { work } => of("job", *work),
    }
}
