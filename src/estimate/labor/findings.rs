//! The notices of labor, a function each. Called by [`super::reckon`].

use super::{Labor, LaborLine};
use crate::estimate::Items;
use crate::estimate::task::task_called;
use crate::ground::notice::{error, warning};
use crate::ground::{Notice, RowAt, SourceId, Spot};
use crate::trade::{Job, SystemId, WorkPer};

/// So many kinds of work are named in one notice.
const NAMED: usize = 8;

/// The work of one alternative that no row of the table speaks of: a notice for each kind of it.
pub(super) fn without_hours(job: &Job, items: &Items, alternative: SystemId, labor: &Labor) -> Vec<Notice> {
    let system = job.lexicon.text(job.catalog.system(alternative).name);
    let of_kind = |per: WorkPer| {
        let mut names: Vec<String> = Vec::new();
        for line in labor.without_hours().filter(|line: &&LaborLine| line.per == per) {
            let name = task_called(job, items, &line.task);
            if !names.contains(&name) {
                names.push(name);
            }
        }
        let number = names.len();
        names.truncate(NAMED);
        (number > 0).then(|| {
            let more = if number > NAMED { format!(" and {} more", number - NAMED) } else { String::new() };
            warning(
                "no-hours",
                format!("no hours for {}{more}: the labor of {system} is incomplete", names.join("; ")),
                format!("a row per {} of the table labor for all that is installed", per.word()),
                format!("add a row per {} with hours; 0 where the work is in other rows", per.word()),
            )
            .at([table_spot(job)])
        })
    };
    WorkPer::ALL.into_iter().filter_map(of_kind).collect()
}

/// Hours, or what they cost, that are larger than anything that is reckoned with.
pub(super) fn hours_beyond(job: &Job) -> Notice {
    error(
        "labor-too-large",
        "the hours of this job, or what they cost, are larger than is reckoned with: labor is not in the sums",
        "the hours and wages of a house",
        "look for hours, wages or a count with too many digits",
    ).at([table_spot(job)])
}

/// The table of labor nearest to the job, as a whole; where it has no rows, the first table of the job.
fn table_spot(job: &Job) -> Spot {
    let rows = job.labor.iter().flatten();
    let of_labor = rows.max_by_key(|row| (row.nearness, row.row)).map(|row| row.row.source);
    match of_labor.or_else(|| job.sources.first_of_the_job()) {
        Some(source) => job.sources.row(RowAt { source, row: 0 }),
        None => {
            job.sources.row(job.runs.first().map_or(RowAt { source: SourceId(0), row: 0 }, |run| run.row))
        }
    }
}
