//! What each run is built of in one alternative: its system, tube, color, and how it begins where systems meet
//! (rules 6, 8, 9 and 20 of counting).

use super::super::network::{End, Network, Start, drains};
use super::findings;
use super::sheet::Sheet;
use crate::estimate::{Color, RunEnd, RunId};

use crate::trade::Job;
use crate::trade::{Angle, Phase, Run, Service, Sides, SystemId, TurnsAs, UsedAs, Word};

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
    /// Turns that take an elbow and cut the run between its ends.
    pub(super) elbows: u32,
    /// Turns taken as bends.
    pub(super) bends: u32,
    /// Whether offsets are elbows that cut.
    pub(super) cuts_offsets: bool,
    /// The fitting where the run goes on from its parent in another bearing, if that is no bend (water alone).
    pub(super) first_turn: Option<UsedAs>,
    /// Whether it stands inside the run, behind a reducing coupling or a transition.
    pub(super) turns_inside: bool,
    /// Turns of 90 degrees at its beginning: one or none, taken with an elbow or as a bend.
    pub(super) turns_at_start: u32,
    /// The tube that the run begins with, where it leaves a tee or a reducer of another system.
    pub(super) lead_in: Option<Lead>,
    /// The same at the end of a return.
    pub(super) lead_out: Option<Lead>,
    /// A piece in a larger size before each of the two, where one of another system enters a turning (rule D9 of drains).
    pub(super) wide_in: Option<Lead>,
    pub(super) wide_out: Option<Lead>,
}

/// The tube that a run begins or ends with instead of its own: of a parent of another system, or the larger tube that enters
/// a turning in a system without bushings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Lead {
    pub(super) system: SystemId,
    pub(super) variant: Word,
    pub(super) size: Word,
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
        first_turn: None,
        turns_inside: false,
        turns_at_start: 0,
        lead_in: None,
        lead_out: None,
        wide_in: None,
        wide_out: None,
    };
}

impl Resolved {
    /// The piece with which the run meets another one, where it is not of its own tube.
    pub(super) fn outermost(&self, which: RunEnd) -> Option<Lead> {
        match which {
            RunEnd::Start => self.wide_in.or(self.lead_in),
            RunEnd::End => self.wide_out.or(self.lead_out),
        }
    }

    /// Turns at its beginning that are taken as bends.
    pub(super) fn bends_at_start(&self) -> u32 {
        if self.first_turn.is_none() { self.turns_at_start } else { 0 }
    }
}

/// Resolves all runs; a run that cannot be resolved_runs is barred, and has none.
pub(super) fn resolve(sheet: &mut Sheet<'_, '_>, network: &Network, sides: Sides) -> Vec<Option<Resolved>> {
    let mut resolved_runs: Vec<Option<Resolved>> = vec![None; sheet.job.runs.len()];
    for id in network.laid() {
        resolved_runs[id.index()] = one(sheet, id, sides);
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
    for id in network.laid() {
        turn_at_end(sheet, network, &mut resolved_runs, id);
    }
    resolved_runs
}

/// What the change of direction at the end of a run asks of the two that meet there: on the water side it is a turn of the
/// child; in a drain system without bushings the smaller of two sizes begins with a piece of the larger (rules D1 and D9).
fn turn_at_end(sheet: &Sheet<'_, '_>, network: &Network, resolved_runs: &mut [Option<Resolved>], id: RunId) {
    let job = sheet.job;
    let meets = network.meets(id);
    let [child] = *meets.at_end.as_slice() else { return };
    let (Some(parent), Some(mut own)) = (resolved_runs[id.index()], resolved_runs[child.run.index()]) else {
        return;
    };
    let size = if child.by == RunEnd::Start { own.size } else { own.end_size };
    if let Some((_, angle)) = drains::turn_of_child(job, id, meets) {
        let run = &job.runs[child.run.index()];
        let as_elbows = own.cuts_offsets;
        let is_quarter = angle == Angle::Quarter;
        own.turns_at_start = u32::from(is_quarter);
        own.first_turn = match (run.no_joint, is_quarter) {
            (true, _) => None,
            (false, true) => (as_elbows || run.turns_with_elbow > 0).then_some(UsedAs::Elbow),
            (false, false) => as_elbows.then_some(UsedAs::EighthBend),
        };
        own.turns_inside = size != parent.end_size || !job.catalog.shares_fittings(parent.system, own.system);
        // It is the first of the turns, and takes the first elbow.
        if is_quarter && own.first_turn.is_some() && !as_elbows {
            let elbows = run.turns_with_elbow.saturating_sub(1).min(run.turns.unwrap_or(0));
            (own.elbows, own.bends) = (elbows, run.turns.unwrap_or(0) - elbows);
        }
    }
    let turns = matches!(
        drains::at_end(job, &job.runs[id.index()], &meets.at_end, |_| None),
        Ok(Some(drains::AtEnd::Turn(..)))
    );
    let is_drain = !job.runs[id.index()].service.is_water();
    let has_bushing = sheet.tables.used(parent.system, UsedAs::Bushing).is_some();
    if is_drain && turns && size != parent.end_size && !has_bushing {
        let order = |size| job.catalog.order(job.catalog.system(parent.system).tube, size);
        if order(size) < order(parent.end_size) {
            let lead = Some(Lead { system: parent.system, variant: parent.variant, size: parent.end_size });
            match child.by {
                RunEnd::Start if own.lead_in.is_some() => own.wide_in = lead,
                RunEnd::Start => own.lead_in = lead,
                RunEnd::End if own.lead_out.is_some() => own.wide_out = lead,
                RunEnd::End => own.lead_out = lead,
            }
        } else if let Some(parent) = &mut resolved_runs[id.index()] {
            parent.lead_out = Some(Lead { system: parent.system, variant: parent.variant, size });
        }
    }
    resolved_runs[child.run.index()] = Some(own);
}

/// Judges every run of the job, whatever it meets: one that cannot be built in a system is barred.
pub(super) fn judge_all(sheet: &mut Sheet<'_, '_>, sides: Sides) {
    for (index, run) in (0_u32..).zip(&sheet.job.runs) {
        if !run.in_error {
            one(sheet, RunId(index), sides);
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
    let turns = || {
        let met = drains::at_end(job, &job.runs[parent.index()], at_end, |_| None);
        matches!(met, Ok(Some(drains::AtEnd::Turn(..)))) && !job.runs[parent.index()].service.is_water()
    };
    let seam = matches!(&**at_end, [one] if one.run == run && one.by == by)
        && size == of_parent.end_size
        && !turns();
    (!seam).then_some(Lead { system: of_parent.system, variant: of_parent.variant, size })
}

fn one(sheet: &mut Sheet<'_, '_>, id: RunId, sides: Sides) -> Option<Resolved> {
    let job = sheet.job;
    let run = &job.runs[id.index()];
    let usual = if run.service.is_water() { Some(sides.water) } else { sides.drain };
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
        ..Resolved::NOTHING
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
