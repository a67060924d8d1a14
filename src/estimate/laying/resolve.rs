//! What each run is built of in one alternative: its system, tube, color, and how it begins where systems meet
//! (rules 6, 8, 9 and 20 of counting).

use super::super::network::{End, Network, Start};
use super::findings;
use super::sheet::Sheet;
use crate::estimate::{Color, RunEnd, RunId};

use crate::trade::Job;
use crate::trade::{Phase, Run, Service, Side, SystemId, TurnsAs, Word};

/// What one run is built of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Resolved {
    pub(super) system: SystemId,
    pub(super) size: Word,
    /// The size it ends in: its tail's, or its own.
    pub(super) end_size: Word,
    pub(super) variant: Word,
    pub(super) color: Color,
    pub(super) phase: Phase,
    pub(super) copies: i64,
    /// Turns that take an elbow and cut the run.
    pub(super) elbows: u32,
    /// Turns taken as bends.
    pub(super) bends: u32,
    /// Whether offsets are elbows that cut.
    pub(super) cuts_offsets: bool,
    /// The tube that the run begins with, where it leaves a tee or a reducer of another system.
    pub(super) lead_in: Option<Lead>,
    /// The same at the end of a return.
    pub(super) lead_out: Option<Lead>,
}

/// The tube of a parent of another system.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Lead {
    pub(super) system: SystemId,
    pub(super) variant: Word,
}

impl Resolved {
    /// What a run that is not resolved_runs is built of: nothing. No line is ever written of it.
    pub(super) const NOTHING: Self = Self {
        system: SystemId(0),
        size: Word::EMPTY,
        end_size: Word::EMPTY,
        variant: Word::EMPTY,
        color: Color::None,
        phase: Phase::RoughIn,
        copies: 0,
        elbows: 0,
        bends: 0,
        cuts_offsets: false,
        lead_in: None,
        lead_out: None,
    };
}

/// Resolves all runs; a run that cannot be resolved_runs is barred, and has none.
pub(super) fn resolve(
    sheet: &mut Sheet<'_, '_>,
    network: &Network,
    system: SystemId,
) -> Vec<Option<Resolved>> {
    let mut resolved_runs: Vec<Option<Resolved>> = vec![None; sheet.job.runs.len()];
    let drains = sheet.job.catalog.system_named(sheet.job.settings.drain_system);
    for id in network.laid() {
        resolved_runs[id.index()] = one(sheet, id, system, drains);
    }
    for id in network.laid() {
        let lead_in = match network.meets(id).start {
            Start::Run(parent) => lead(sheet.job, network, &resolved_runs, id, parent, RunEnd::Start),
            Start::Alone | Start::Root | Start::Place(_) => None,
        };
        let lead_out = match network.meets(id).end {
            End::Run(parent) => lead(sheet.job, network, &resolved_runs, id, parent, RunEnd::End),
            End::Free | End::Place(_) => None,
        };
        if let Some(resolved) = &mut resolved_runs[id.index()] {
            (resolved.lead_in, resolved.lead_out) = (lead_in, lead_out);
        }
    }
    resolved_runs
}

/// Judges every run of the job, whatever it meets: one that cannot be built in a system is barred.
pub(super) fn judge_all(sheet: &mut Sheet<'_, '_>, system: SystemId) {
    let drains = sheet.job.catalog.system_named(sheet.job.settings.drain_system);
    for (index, run) in (0_u32..).zip(&sheet.job.runs) {
        if !run.in_error {
            one(sheet, RunId(index), system, drains);
        }
    }
}

/// Rule 8: behind a tee or a reducer of another system a run begins with the parent's tube, unless its own tube sits in
/// the fittings of the parent's; at a seam it does not.
fn lead(
    job: &Job,
    network: &Network,
    resolved_runs: &[Option<Resolved>],
    run: RunId,
    parent: RunId,
    by: RunEnd,
) -> Option<Lead> {
    let (own, of_parent) = (resolved_runs[run.index()]?, resolved_runs[parent.index()]?);
    if job.catalog.shares_fittings(own.system, of_parent.system) {
        return None;
    }
    let size = if by == RunEnd::Start { own.size } else { own.end_size };
    let at_end = &network.meets(parent).at_end;
    let seam = matches!(&**at_end, [one] if one.run == run && one.by == by) && size == of_parent.end_size;
    (!seam).then_some(Lead { system: of_parent.system, variant: of_parent.variant })
}

fn one(sheet: &mut Sheet<'_, '_>, id: RunId, water: SystemId, drains: Option<SystemId>) -> Option<Resolved> {
    let job = sheet.job;
    let run = &job.runs[id.index()];
    let side = if matches!(run.service, Service::Drain | Service::Vent) { Side::Drain } else { Side::Water };
    let usual = match side {
        Side::Water => Some(water),
        Side::Drain => drains,
    };
    let system = if run.system.is_empty() {
        let Some(system) = job.catalog.laid_in(run, usual, &job.lexicon).or(usual) else {
            sheet.bar(id, findings::no_drain_system(job, run.row));
            return None;
        };
        system
    } else {
        // A name that no table has is an error of reading, and such a run is not laid.
        let Some(system) = job.catalog.system_named(run.system) else {
            sheet.barred.push(id);
            return None;
        };
        system
    };
    let known = size_is_known(sheet, id, run, system, run.size, "size")
        & run.reduce_to.is_none_or(|size| size_is_known(sheet, id, run, system, size, "reduce to"));
    if !known {
        return None;
    }
    let end_size = match (run.reduce_to, run.tail) {
        (Some(size), Some(_)) => size,
        _ => run.size,
    };
    let tube = job.catalog.system(system).tube;
    if run.tail.is_some() && job.catalog.order(tube, end_size) >= job.catalog.order(tube, run.size) {
        let (size, reduce_to) = (job.lexicon.text(run.size), job.lexicon.text(end_size));
        sheet.bar(id, findings::tail_not_smaller(job, run.row, size, reduce_to));
        return None;
    }
    let turns = run.turns.unwrap_or(0);
    let as_elbows =
        job.catalog.system(system).turns == TurnsAs::Elbow || job.settings.turns_in_plastic == TurnsAs::Elbow;

    // An elbow on a run without a joint is an error of reading.
    let elbows = match (run.no_joint, as_elbows) {
        (true, _) => 0,
        (false, true) => turns,
        (false, false) => run.turns_with_elbow.min(turns),
    };
    Some(Resolved {
        system,
        size: run.size,
        end_size,
        variant: variant_of(job, run, system),
        color: color_of(job, system, Some(run.service)),
        phase: run.phase(),
        copies: i64::from(run.copies()),
        elbows,
        bends: turns - elbows,
        cuts_offsets: as_elbows && !run.no_joint,
        lead_in: None,
        lead_out: None,
    })
}

fn size_is_known(
    sheet: &mut Sheet<'_, '_>,
    id: RunId,
    run: &Run,
    system: SystemId,
    size: Word,
    heading: &'static str,
) -> bool {
    let job = sheet.job;
    let tube = job.catalog.system(system).tube;
    if job.catalog.order(tube, size).is_some() {
        return true;
    }
    let mut known: Vec<(rust_decimal::Decimal, &str)> = job
        .catalog
        .sizes
        .iter()
        .filter(|s| s.tube == tube)
        .map(|s| (s.order, job.lexicon.text(s.size)))
        .collect();
    known.sort();
    known.dedup();
    let known = known.iter().map(|(_, name)| *name).collect::<Vec<_>>().join(", ");
    let system = job.lexicon.text(job.catalog.system(system).name);
    let size = job.lexicon.text(size);
    sheet.bar(id, findings::unknown_size(job, run.row, heading, size, system, known));
    false
}

/// A run's own variant where its tube is made in it (type M is no variant of plastic), else the system's.
fn variant_of(job: &Job, run: &Run, system: SystemId) -> Word {
    let system = job.catalog.system(system);
    let known = |tube: Option<Word>| {
        job.catalog.sizes.iter().any(|s| s.variant == run.variant && tube.is_none_or(|tube| s.tube == tube))
    };
    let means_it = !run.variant.is_empty()
        && (run.variant == system.variant
            || !run.system.is_empty()
            || known(Some(system.tube))
            || !known(None));
    if means_it { run.variant } else { system.variant }
}

/// Rule 20: hot, return and mixed red, cold blue, where the system sells it so and the job wants it.
pub(super) fn color_of(job: &Job, system: SystemId, service: Option<Service>) -> Color {
    if !job.settings.colors || !job.catalog.system(system).colors {
        return Color::None;
    }
    match service {
        Some(Service::Cold) => Color::Blue,
        Some(Service::Hot | Service::Mixed | Service::Return) => Color::Red,
        Some(Service::Drain | Service::Vent) | None => Color::None,
    }
}
