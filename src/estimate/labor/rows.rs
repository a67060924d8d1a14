//! Which row of the table `labor` speaks of some work.
//!
//! The written rule: of the rows that match, the one that says the most cells; of those that say as many, the one that
//! names the part, then the class, the very system, any system, all sizes of a fitting, any size, the variant, the kind
//! of place; then the table nearest to the job; then the later row.

use super::Asked;
use crate::estimate::{Item, Task};
use crate::trade::{Catalog, PartId, SystemId, Word, WorkPer};
use crate::trade::{LaborRow, Nearness};

/// What a row is asked about.
pub(super) struct Question<'a> {
    per: WorkPer,
    part: Option<PartId>,
    class: Option<crate::trade::Class>,
    system: SystemId,
    sizes: &'a [Word],
    variant: Word,
    fixture: Word,
    /// What is done once for the whole job.
    work: Word,
}

/// Asks about a task; what has no system of its own is judged in that of the alternative.
pub(super) fn question<'a>(asked: &'a Asked<'a>, task: &'a Task, per: WorkPer) -> Question<'a> {
    let alternative = asked.takeoff.system;
    let of_item = |item: &'a Item, fixture: Word| Question {
        part: Some(item.part),
        class: Some(item.class),
        sizes: item.sizes.as_slice(),
        variant: item.variant,
        fixture,
        ..Question::of(per, item.system.unwrap_or(alternative))
    };
    match task {
        Task::Joint { system, size } | Task::Thread { system, size } => of_a_joint(per, *system, size),
        Task::Item(id) => of_item(asked.items.get(*id), Word::EMPTY),
        Task::Run { tube, fixture } => of_item(asked.items.get(*tube), *fixture),
        Task::Place { fixture } => Question { fixture: *fixture, ..Question::of(per, alternative) },
        Task::Job { work } => Question { work: *work, ..Question::of(per, alternative) },
    }
}

/// Asks about a joint of tube or of a thread.
pub(super) fn of_a_joint(per: WorkPer, system: SystemId, size: &Word) -> Question<'_> {
    Question { sizes: std::slice::from_ref(size), ..Question::of(per, system) }
}

impl Question<'_> {
    /// About work of which nothing more is said.
    fn of(per: WorkPer, system: SystemId) -> Self {
        Self {
            per,
            part: None,
            class: None,
            system,
            sizes: &[],
            variant: Word::EMPTY,
            fixture: Word::EMPTY,
            work: Word::EMPTY,
        }
    }
}

/// How much a row says of what is asked: more is nearer. The order of the fields is the written rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Says {
    cells: u8,
    part: bool,
    class: bool,
    own_system: bool,
    system: bool,
    all_sizes: bool,
    size: bool,
    variant: bool,
    fixture: bool,
    nearness: Nearness,
    place: usize,
}

/// The row that speaks of what is asked, by its index.
pub(super) fn find(catalog: &Catalog, table: &[LaborRow], asks: &Question<'_>) -> Option<usize> {
    let matching =
        table.iter().enumerate().filter_map(|(place, row)| Some((says(catalog, row, place, asks)?, place)));
    matching.max().map(|(_, place)| place)
}

/// What a row says of what is asked; nothing where it speaks of something else.
fn says(catalog: &Catalog, row: &LaborRow, place: usize, asks: &Question<'_>) -> Option<Says> {
    // Cells that a row of its kind does not read were noticed, and say nothing.
    let of_part = matches!(row.per, WorkPer::Length | WorkPer::Part | WorkPer::Support);
    let of_place = matches!(row.per, WorkPer::Run | WorkPer::Place);
    let of_tube = !matches!(row.per, WorkPer::Place | WorkPer::Job);
    let part = of_part && !row.part.is_empty();
    let class = row.per == WorkPer::Part && row.class.is_some();
    let system = of_tube && !row.systems.is_empty();
    let size = of_tube && !row.sizes.is_empty();
    let variant = of_part && !row.variant.is_empty();
    let fixture = of_place && !row.fixture.is_empty();
    let called = |id: PartId| catalog.parts_called_or_used(row.part).contains(&id);
    let matches = row.per == asks.per
        && (!part || asks.part.is_some_and(called))
        && (!class || row.class == asks.class)
        && (!system || catalog.takes_in(&row.systems, asks.system))
        && (!size || *row.sizes == *asks.sizes || *row.sizes == asks.sizes[..asks.sizes.len().min(1)])
        && (!variant || row.variant == asks.variant)
        && (!fixture || row.fixture == asks.fixture)
        && (row.per != WorkPer::Job || row.part == asks.work);
    let own_system = system && row.systems.contains(&catalog.system(asks.system).name);
    let cells = [part, class, system, size, variant, fixture].into_iter().map(u8::from).sum();
    matches.then_some(Says {
        cells,
        part,
        class,
        own_system,
        system,
        all_sizes: size && row.sizes.len() > 1,
        size,
        variant,
        fixture,
        nearness: row.nearness,
        place,
    })
}
