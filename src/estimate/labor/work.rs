//! What there is to do in one alternative: joints, tube, parts, supports, runs, places and what is done once, added up by kind of work,
//! phase and area, each with the row of the table that speaks of it.
//!
//! What joints consume has its hours in the joints. Fittings and caps have theirs there too, unless a row speaks of
//! them. Runs and places have hours only where a row speaks of them. All other work must have a row.

use std::collections::BTreeSet;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use rustc_hash::FxHashMap;

use super::{Asked, LaborLine, rows};
use crate::estimate::Task;
use crate::estimate::ranking::ranks;
use crate::estimate::takeoff::{Because, JointKind, Subject};
use crate::ground::name::natural;
use crate::trade::LaborRow;
use crate::trade::{Class, Phase, Word, WorkPer};

/// Work of one kind, in one phase and area, from the takeoff or from the cut plan.
type Key = (Task, Phase, Word, bool);

/// Sums by kind of work: pieces, or nanometres of tube.
#[derive(Default)]
struct Tally {
    list: Vec<(Key, i128)>,
    index: FxHashMap<Key, usize>,
}

impl Tally {
    fn add(&mut self, task: Task, phase: Phase, area: Word, by_plan: bool, count: i64) {
        let key = (task, phase, area, by_plan);
        let list = &mut self.list;
        let at = *self.index.entry(key).or_insert_with(|| {
            list.push((key, 0));
            list.len() - 1
        });
        list[at].1 = list[at].1.saturating_add(i128::from(count));
    }
}

/// The lines of labor, in the order shown, without their hours.
pub(super) fn lines(asked: &Asked<'_>, table: &[LaborRow]) -> Vec<LaborLine> {
    let mut tally = Tally::default();
    of_takeoff(asked, &mut tally);
    of_plans(asked, &mut tally);
    of_runs(asked, &mut tally);
    of_places(asked, &mut tally);
    of_job(table, &mut tally);
    let mut known: FxHashMap<Task, Option<usize>> = FxHashMap::default();
    let mut lines = Vec::new();
    for ((task, phase, area, by_plan), sum) in tally.list {
        let per = per(asked, &task);
        let find = || rows::find(&asked.job.catalog, table, &rows::question(asked, &task, per));
        let rule = *known.entry(task).or_insert_with(find);
        if sum == 0 || (rule.is_none() && !needs_hours(asked, &task)) {
            continue;
        }
        let quantity = quantity(asked, per, sum);
        lines.push(LaborLine {
            task,
            per,
            phase,
            area,
            by_plan,
            quantity,
            rule,
            difficulty: Decimal::ZERO,
            hours: None,
        });
    }
    sort(asked, &mut lines);
    lines
}

fn per(asked: &Asked<'_>, task: &Task) -> WorkPer {
    match task {
        Task::Joint { .. } => WorkPer::Joint,
        Task::Thread { .. } => WorkPer::Thread,
        Task::Item(id) => match asked.items.get(*id).class {
            Class::Tube => WorkPer::Length,
            Class::Support => WorkPer::Support,
            Class::Fitting
            | Class::Ring
            | Class::Valve
            | Class::Device
            | Class::Manifold
            | Class::Consumable
            | Class::Cap
            | Class::Trim
            | Class::Tool => WorkPer::Part,
        },
        Task::Run { .. } => WorkPer::Run,
        Task::Place { .. } => WorkPer::Place,
        Task::Job { .. } => WorkPer::Job,
    }
}

/// Whether the labor is incomplete where no row speaks of a task.
fn needs_hours(asked: &Asked<'_>, task: &Task) -> bool {
    match task {
        Task::Joint { .. } | Task::Thread { .. } => true,
        Task::Item(id) => !matches!(asked.items.get(*id).class, Class::Fitting | Class::Cap),
        Task::Run { .. } | Task::Place { .. } | Task::Job { .. } => false,
    }
}

fn quantity(asked: &Asked<'_>, per: WorkPer, sum: i128) -> Decimal {
    let whole = Decimal::try_from_i128_with_scale(sum, 0).unwrap_or(Decimal::MAX);
    match per {
        WorkPer::Length => (whole / Decimal::from(asked.job.settings.units.nanometres())).normalize(),
        WorkPer::Joint
        | WorkPer::Thread
        | WorkPer::Part
        | WorkPer::Support
        | WorkPer::Run
        | WorkPer::Place
        | WorkPer::Job => whole,
    }
}

/// Joints, and what is installed.
fn of_takeoff(asked: &Asked<'_>, tally: &mut Tally) {
    for made in &asked.takeoff.made {
        let (system, size) = (made.system, made.size);
        let task = match made.kind {
            JointKind::Tube => Task::Joint { system, size },
            JointKind::Thread => Task::Thread { system, size },
            // Its nut comes with its part, and so do its hours.
            JointKind::Compression => continue,
        };
        tally.add(task, made.phase, made.area, false, made.count);
    }
    for line in &asked.takeoff.lines {
        if !matches!(asked.items.get(line.item).class, Class::Ring | Class::Consumable) {
            tally.add(Task::Item(line.item), line.phase, line.area, false, line.count);
        }
    }
}

/// What cut plans add or spare, couplings with two joints each, and the joints in fittings built from others. They stand
/// in no area.
fn of_plans(asked: &Asked<'_>, tally: &mut Tally) {
    for plan in asked.plans.iter().filter(|plan| plan.extra_couplings != 0) {
        let item = asked.items.get(plan.item);
        let phase = asked.order.iter().find(|line| line.item == plan.item).map(|line| line.phase);
        let (Some(system), [size]) = (item.system, item.sizes.as_slice()) else { continue };
        let task = Task::Joint { system, size: *size };
        let joints = plan.extra_couplings.saturating_mul(2);
        tally.add(task, phase.unwrap_or_default(), Word::EMPTY, true, joints);
    }
    for built in asked.built {
        let phase = asked.order.iter().find(|line| line.item == built.item).map(|line| line.phase);
        for task in built.tasks() {
            tally.add(task, phase.unwrap_or_default(), Word::EMPTY, true, built.count);
        }
    }
    for line in asked.order {
        let item = asked.items.get(line.item);
        let one = if item.is_length() { asked.job.settings.units.nanometres() } else { 1 };
        // Hours of tube go by its length center to center, whatever its fittings take out.
        let plan = asked.plans.iter().find(|plan| plan.item == line.item);
        let taken_out = plan.map_or(0, |plan| plan.taken_out.nanometres());
        let count = line.by_plan.saturating_mul(Decimal::from(one)).round().to_i64();
        if let Some(count) = count.and_then(|count| count.checked_add(taken_out))
            && !matches!(item.class, Class::Ring | Class::Consumable)
        {
            tally.add(Task::Item(line.item), line.phase, Word::EMPTY, true, count);
        }
    }
}

/// Runs, by their tube: each has one line of its own length.
fn of_runs(asked: &Asked<'_>, tally: &mut Tally) {
    for line in &asked.takeoff.lines {
        let Subject::Run(run) = line.subject else { continue };
        if line.because == Because::Length {
            let run = &asked.job.runs[run.index()];
            let task = Task::Run { tube: line.item, fixture: run.fixture };
            tally.add(task, line.phase, line.area, false, run.copies().into());
        }
    }
}

/// Places that runs meet or that the table `places` has, but for `main`. Kind and area are those of the table, or of the
/// first run by name that ends there and says any; so many as the runs that end there are copied.
fn of_places(asked: &Asked<'_>, tally: &mut Tally) {
    let runs = &asked.job.runs;
    for place in asked.network.places.iter().filter(|place| !place.always) {
        let row = place.row.map(|row| &asked.job.places[row]);
        let meeting = || place.ends.iter().chain(&place.starts).map(|run| &runs[run.index()]);
        if row.is_none() && meeting().next().is_none() {
            continue;
        }
        let said = |of_row: Word, of_run: fn(&crate::trade::Run) -> Word| {
            let of_runs = || meeting().map(of_run).find(|word| !word.is_empty()).unwrap_or_default();
            if of_row.is_empty() { of_runs() } else { of_row }
        };
        let fixture = said(row.map(|row| row.fixture).unwrap_or_default(), |run| run.fixture);
        let area = said(row.map(|row| row.area).unwrap_or_default(), |run| run.area);
        let copies = meeting().map(crate::trade::Run::copies).max().unwrap_or(1);
        tally.add(Task::Place { fixture }, Phase::RoughIn, area, false, copies.into());
    }
}

/// What is done once for the whole job: each work that a row names, at rough-in, in no area.
fn of_job(table: &[LaborRow], tally: &mut Tally) {
    let named: BTreeSet<Word> =
        table.iter().filter(|row| row.per == WorkPer::Job).map(|row| row.part).collect();
    for work in named {
        tally.add(Task::Job { work }, Phase::RoughIn, Word::EMPTY, false, 1);
    }
}

/// Puts lines in the order shown: phase, area, kind of work; items as in every list; joints by system and size; what the
/// cut plan asks for last.
fn sort(asked: &Asked<'_>, lines: &mut [LaborLine]) {
    let (lexicon, catalog) = (&asked.job.lexicon, &asked.job.catalog);
    let ranks = ranks(lexicon, catalog, asked.items);
    let text = |word: Word| lexicon.text(word);
    // Lines of one kind of work go by a text, then a number, then a text.
    let key = |task: &Task| match task {
        Task::Joint { system, size } | Task::Thread { system, size } => {
            let system = catalog.system(*system);
            let order = catalog.order(system.tube, *size).unwrap_or(u32::MAX);
            (text(system.name), order, text(*size))
        }
        Task::Item(id) => ("", ranks[id.0 as usize], ""),
        Task::Run { tube, fixture } => ("", ranks[tube.0 as usize], text(*fixture)),
        Task::Place { fixture: of } | Task::Job { work: of } => ("", 0, text(*of)),
    };
    lines.sort_by(|a, b| {
        let (first, second) = (key(&a.task), key(&b.task));
        (a.phase.cmp(&b.phase))
            .then_with(|| natural(text(a.area), text(b.area)))
            .then_with(|| a.per.cmp(&b.per))
            .then_with(|| natural(first.0, second.0))
            .then_with(|| first.1.cmp(&second.1))
            .then_with(|| natural(first.2, second.2))
            .then_with(|| a.by_plan.cmp(&b.by_plan))
    });
}
