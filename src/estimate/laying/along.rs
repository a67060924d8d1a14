//! What is counted along one run without cutting it: supports by spacing, and what its patterns add by run, turn, tap or
//! length (rules 14, 19 and 24 of counting).

use super::findings;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::super::takeoff::{Because, Subject};
use super::Laying;
use super::resolve::Resolved;
use super::rules::Rule;
use super::run::MOST_CUTS;
use super::sheet::{Owner, port_sizes};
use crate::estimate::{RunEnd, RunId};
use crate::ground::Length;
use crate::ground::money::round_up;
use crate::trade::Adds;
use crate::trade::{Attitude, Lie, Per, Phase, Run, Word};

impl<'j> Laying<'j, '_> {
    /// Rule 19: supports by spacing, across and up, and of the tail.
    pub(super) fn supports_of(&mut self, run: &Run, resolved: &Resolved, owner: Owner) {
        // A drain laid underground lies in the ground unless its row says otherwise (rule D15 of drains).
        let in_the_ground =
            !run.service.is_water() && resolved.phase == Phase::Underground && !run.lie_is_written;
        if run.lie != Lie::Framing || in_the_ground {
            return;
        }
        let up = run.upright();
        let along = run.length.checked_sub(up).unwrap_or(Length::ZERO);
        self.spacing(resolved, resolved.size, along, up, owner, Because::Spacing);
        if let Some(tail) = run.tail {
            let goes_up =
                run.ends().attitude == Attitude::Upright && (run.path.is_some() || !run.service.is_water());
            let (along, up) = if goes_up { (Length::ZERO, tail) } else { (tail, Length::ZERO) };
            self.spacing(resolved, resolved.end_size, along, up, owner, Because::TailSpacing);
        }
    }

    fn spacing(
        &mut self,
        resolved: &Resolved,
        size: Word,
        along: Length,
        up: Length,
        owner: Owner,
        because: Because,
    ) {
        let Some(rule) = self.sheet.tables.support(&self.job.catalog, resolved.system, size) else {
            if let Subject::Run(run) = owner.subject {
                self.sheet.no_support_rule(run, resolved.system, size);
            }
            return;
        };
        let rule = &self.job.catalog.supports[rule];
        let n = spaced(along, rule.across) + spaced(up, rule.up);
        self.sheet.supports(owner, resolved.system, size, n, because);
    }

    /// Parts without openings: plates, brackets, insulation.
    pub(super) fn add_along(
        &mut self,
        id: RunId,
        run: &Run,
        resolved: &Resolved,
        rules: &[Rule<'j>],
        owner: Owner,
    ) {
        for rule in rules {
            let Some(part) = rule.part else { continue };
            if self.has_ports(rule) || rule.row.per == Per::Place {
                continue;
            }
            let owner = owner.in_phase(rule.row.phase.unwrap_or(owner.phase));
            // At both ends each has the size of its end.
            let ends = match rule.row.per {
                Per::Both => [Some((Per::Start, resolved.size)), Some((Per::End, resolved.end_size))],
                Per::End => [Some((Per::End, resolved.end_size)), None],
                per @ (Per::Run
                | Per::Turn
                | Per::Bend
                | Per::Elbow
                | Per::Start
                | Per::Tap
                | Per::Place
                | Per::Length
                | Per::Column(_)) => [Some((per, resolved.size)), None],
            };
            for (per, size) in ends.into_iter().flatten() {
                let n = round_up(self.quantity(id, run, resolved, rule, per)).to_i64().unwrap_or(i64::MAX);
                let sizes = port_sizes(self.job.catalog.part(part), &rule.row.sizes, size);
                self.sheet.part(owner, part, resolved.system, &sizes, n, Because::Rule(rule.row.row));
            }
        }
    }

    pub(super) fn has_ports(&self, rule: &Rule<'_>) -> bool {
        rule.part.is_none_or(|part| !self.job.catalog.part(part).ports.is_empty())
    }

    /// A rule's quantity for one copy of a run, whole as reading asks of parts with openings; nothing (and the run is
    /// barred) where it is beyond counting.
    pub(super) fn whole_quantity(
        &mut self,
        id: RunId,
        run: &Run,
        resolved: &Resolved,
        rule: &Rule<'_>,
    ) -> Option<i64> {
        let quantity = self.quantity(id, run, resolved, rule, rule.row.per);
        if quantity > Decimal::from(MOST_CUTS) {
            self.sheet.bar(id, findings::too_many(self.job, run.row));
            return None;
        }
        round_up(quantity).to_i64()
    }

    /// A rule's quantity times what it is for.
    fn quantity(&self, id: RunId, run: &Run, resolved: &Resolved, rule: &Rule<'_>, per: Per) -> Decimal {
        let Adds::Part(_, each) = rule.row.adds else { return Decimal::ZERO };
        let meets = self.network.meets(id);
        let unmet = |end: RunEnd| u32::from(self.is_unmet(id, end, rule.row.phase.unwrap_or(resolved.phase)));
        let times = match per {
            Per::Run => Decimal::ONE,
            Per::Turn => Decimal::from(resolved.elbows + resolved.bends + resolved.turns_at_start),
            Per::Bend => Decimal::from(resolved.bends + resolved.bends_at_start()),
            Per::Elbow => {
                Decimal::from(resolved.elbows + resolved.turns_at_start - resolved.bends_at_start())
            }
            Per::Start => Decimal::from(unmet(RunEnd::Start)),
            Per::End => Decimal::from(unmet(RunEnd::End)),
            Per::Both => Decimal::from(unmet(RunEnd::Start) + unmet(RunEnd::End)),
            Per::Tap => Decimal::from(meets.taps.len()),
            Per::Place => Decimal::ZERO,
            Per::Length => Decimal::from(spaced(run.length, rule.row.every)),
            Per::Column(column) => run.counted(column),
        };
        each.checked_mul(times).unwrap_or(Decimal::MAX)
    }
}

/// How many spacings begun are in a length; none where there is no spacing.
fn spaced(length: Length, spacing: Option<Length>) -> i64 {
    match spacing.map(Length::nanometres) {
        Some(spacing) if spacing > 0 && length > Length::ZERO => (length.nanometres() - 1) / spacing + 1,
        Some(_) | None => 0,
    }
}
