//! The words of what does not fit: a table that asks for a part which is not made for the system. Every text of these
//! notices stands here.

use crate::ground::{Notice, RowAt, Severity};
use crate::trade::{Job, SystemId, Word};

/// Which table asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Asking {
    /// The table `joints`.
    Joints,
    /// The table `supports`.
    Supports,
}

/// A row asks for a part that no row of the table parts makes for the system.
pub(super) fn not_made_for(
    job: &Job,
    asking: Asking,
    (row, part): (RowAt, Word),
    system: SystemId,
) -> Notice {
    let text = |word: Word| job.lexicon.text(word);
    let of = job.catalog.system(system);
    let (name, what) = (text(of.name), text(part));
    let mut made_for: Vec<&str> = Vec::new();
    for id in job.catalog.parts_called(part) {
        for word in &job.catalog.part(*id).systems {
            if !made_for.contains(&text(*word)) {
                made_for.push(text(*word));
            }
        }
    }
    let made = match &*made_for {
        [] => format!("no part is called {what}"),
        list => format!("{what} is made for {}", list.join(", ")),
    };
    let (heading, asks, own) = match asking {
        Asking::Joints => (
            "joint",
            format!("a {} joint of {name} asks for {what}", text(of.joint)),
            "give the system a joint of its own in joints",
        ),
        Asking::Supports => (
            "tube",
            format!("{} tube of {name} hangs on {what}", text(of.tube)),
            "name another part in supports",
        ),
    };
    let (of_system, of_row) = (job.sources.cell(of.row, heading), job.sources.cell(row, "part"));
    let is_built_in = job.sources.get(row.source).is_some_and(|source| source.built_in);
    Notice::new(
        Severity::Error,
        "part-not-made-for",
        if is_built_in { vec![of_system, of_row] } else { vec![of_row, of_system] },
        format!("{asks}, and {made}: none is counted; {name} is incomplete and never ranked"),
        format!("a part that is made for {name}"),
        format!("type a row {what} in parts with {name} among its `system`, or {own}"),
    )
}
