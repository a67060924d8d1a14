//! What labor and tools find wrong or doubtful: every text of these notices stands here.

use super::item::Items;
use super::labor::{Labor, LaborLine, Task};
use super::ranking::called;
use crate::ground::{Notice, RowAt, Severity, Spot};
use crate::trade::{Job, SystemId, ToolRow, WorkPer};

/// So many kinds of work are named in one notice.
const NAMED: usize = 8;

/// How a task is called in a sentence and on sheets: `joints of copper-solder 3/4`.
pub(crate) fn task_called(job: &Job, items: &Items, task: &Task) -> String {
    let (lexicon, catalog) = (&job.lexicon, &job.catalog);
    let of = |what: &str, word: crate::trade::Word| match word.is_empty() {
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
    }
}

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
            Notice::new(
                Severity::Warning,
                "no-hours",
                vec![table_spot(job)],
                format!("no hours for {}{more}: the labor of {system} is incomplete", names.join("; ")),
                format!("a row per {} of the table labor for all that is installed", per.word()),
                format!("add a row per {} with hours; 0 where the work is in other rows", per.word()),
            )
        })
    };
    WorkPer::ALL.into_iter().filter_map(of_kind).collect()
}

/// A tool that is rented for as long as the crew works, where nobody knows how long that is.
pub(super) fn tool_without_days(job: &Job, row: &ToolRow) -> Notice {
    Notice::new(
        Severity::Warning,
        "tool-without-days",
        vec![job.sources.cell(row.row, "days")],
        format!("{} is rented and the days of the crew are not known: it is not priced", row.tool),
        "days, or hours for all work in the table labor".to_owned(),
        "type how many days of work it is rented for".to_owned(),
    )
}

/// Hours, or what they cost, that are larger than anything that is reckoned with.
pub(super) fn hours_beyond(job: &Job) -> Notice {
    Notice::new(
        Severity::Error,
        "labor-too-large",
        vec![table_spot(job)],
        "the hours of this job, or what they cost, are larger than is reckoned with: labor is not in the sums"
            .to_owned(),
        "the hours and wages of a house".to_owned(),
        "look for hours, wages or a count with too many digits".to_owned(),
    )
}

/// A tool whose price is larger than anything that is reckoned with.
pub(super) fn tool_beyond(job: &Job, row: &ToolRow) -> Notice {
    Notice::new(
        Severity::Error,
        "tool-too-large",
        vec![job.sources.cell(row.row, "price")],
        format!("what {} costs is larger than is reckoned with: it is not priced", row.tool),
        "the price of a tool, over so many jobs and days".to_owned(),
        "look for a price, jobs or days with too many digits".to_owned(),
    )
}

/// The table of labor nearest to the job, as a whole; where it has no rows, the first table of the job.
fn table_spot(job: &Job) -> Spot {
    let rows = job.labor.iter().flatten();
    let of_labor = rows.max_by_key(|row| (row.nearness, row.row)).map(|row| row.row.source);
    let first = || job.sources.iter().find(|(_, source)| !source.built_in).map(|(id, _)| id);
    match of_labor.or_else(first) {
        Some(source) => job.sources.row(RowAt { source, row: 0 }),
        None => job.sources.row(
            job.runs.first().map_or(RowAt { source: crate::ground::SourceId(0), row: 0 }, |run| run.row),
        ),
    }
}
