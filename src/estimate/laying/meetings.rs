//! Fittings where runs meet: tees, reducing couplings, seams, transitions (rules 3, 5, 8 and 26 of counting).

use super::super::network::Child;
use super::super::takeoff::Because;
use super::between::{larger_first, transition_words};
use super::findings;
use super::openings::{both_sides, of_transition, of_used, opening};
use super::pieces::{SegmentEnd, couple};
use super::run::Laid;
use super::{Laying, owner_of};
use crate::estimate::{PieceEnd, RunEnd, RunId};
use crate::ground::RowAt;
use crate::trade::{Meeting, Seam, SystemId, UsedAs, Word};

impl Laying<'_, '_> {
    /// All fittings where children meet one run.
    pub(super) fn meet_children(&mut self, parent: RunId) {
        let network = self.network;
        let meets = network.meets(parent);
        if meets.taps.is_empty() && meets.at_end.is_empty() {
            return;
        }
        if !self.job.runs[parent.index()].service.is_water() {
            return self.meet_drains(parent);
        }
        let resolved = self.resolved(parent);
        for tap in &meets.taps {
            let size = self.size_of(tap.child);
            let own = |size| (resolved.system, size);
            let branch = (self.socketed(resolved.system, tap.child), size);
            let [before, behind] = self.ends_at_tap(tap.child);
            let ends = [before, behind, self.end_of_child(tap.child)];
            self.tee(parent, tap.child, [own(resolved.size), own(resolved.size), branch], ends);
            self.doubt_size(parent, tap.child, resolved.size);
        }
        for child in &meets.at_end {
            self.doubt_size(parent, *child, resolved.end_size);
        }
        match *meets.at_end.as_slice() {
            [one] if self.size_of(one) == resolved.end_size => self.seam(parent, one),
            [one] => self.reducer(parent, one),
            [one, two] => self.end_tee(parent, one, two),
            _ => {}
        }
    }

    /// The size of a child where it meets.
    pub(super) fn size_of(&self, child: Child) -> Word {
        let resolved = self.resolved(child.run);
        match child.by {
            RunEnd::Start => resolved.size,
            RunEnd::End => resolved.end_size,
        }
    }

    fn doubt_size(&mut self, parent: RunId, child: Child, met: Word) {
        let size = self.size_of(child);
        let tube = self.job.catalog.system(self.resolved(parent).system).tube;
        let order = |size| self.job.catalog.order(tube, size);
        if order(size) > order(met) && order(met).is_some() {
            let (run, of) = (self.row(child.run), self.row(parent));
            let (size, parent_size) = (self.job.lexicon.text(size), self.job.lexicon.text(met));
            self.sheet.warn(findings::larger_child(self.job, run, of, size, parent_size));
        }
    }

    /// The tube of the parent must have the child's size, or there is no fitting between them.
    pub(super) fn has_size(&mut self, parent: RunId, child: Child) -> bool {
        let system = self.job.catalog.system(self.resolved(parent).system);
        let size = self.size_of(child);
        if self.job.catalog.order(system.tube, size).is_some() {
            return true;
        }

        let (size, system) = (self.job.lexicon.text(size), self.job.lexicon.text(system.name));
        let (run, of) = (self.row(child.run), &self.job.runs[parent.index()]);
        let parent_name = &of.name;
        let notice = findings::no_size_to_meet(self.job, run, of.row, parent_name, size, system);
        self.sheet.bar(child.run, notice);
        false
    }

    /// Whose tube a child puts into a fitting of its parent: its own where it sits there, else that of the parent, with
    /// which it begins.
    pub(super) fn socketed(&self, parent: SystemId, child: Child) -> SystemId {
        let own = self.resolved(child.run).system;
        if self.job.catalog.shares_fittings(parent, own) { own } else { parent }
    }

    /// A tee; it carries the service, area and phase of the child that is its branch. Each opening has the system and
    /// size of the tube in it.
    fn tee(
        &mut self,
        parent: RunId,
        branch: Child,
        tubes: [(SystemId, Word); 3],
        ends: [Option<SegmentEnd>; 3],
    ) {
        if !self.has_size(parent, branch) {
            return;
        }
        let system = self.resolved(parent).system;
        let owner = owner_of(self.job, self.resolved(branch.run), branch.run);
        let [one, two, third] = tubes;
        let [first, second] =
            if larger_first(&self.sheet, system, one.1, two.1)[0] == one.1 { [one, two] } else { [two, one] };
        if let Some(part) = self.sheet.used(parent, system, UsedAs::Tee, "tee") {
            let because = Because::Tee(branch.run);
            let sizes = [first.1, second.1, third.1];
            self.sheet.part(owner, part, system, &sizes, 1, because);
            self.joints_of(owner, system, &[first, second, third], because);
            let catalog = &self.job.catalog;
            let stands = [0, 1, 2].map(|at| opening(catalog, (part, at), (system, tubes[at].1), &sizes));
            self.stand(ends, stands);
        }
    }

    /// Joints of the openings of a fitting of a system, equal tubes together.
    pub(super) fn joints_of(
        &mut self,
        owner: super::sheet::Owner,
        fitting: SystemId,
        tubes: &[(SystemId, Word)],
        because: Because,
    ) {
        for (index, tube) in tubes.iter().enumerate() {
            if !tubes[..index].contains(tube) {
                let n = tubes.iter().filter(|other| *other == tube).count();
                let n = i64::try_from(n).unwrap_or(0);
                self.sheet.joints(owner, tube.0, fitting, tube.1, n, because);
            }
        }
    }

    /// Two children at an end: the larger goes on, the smaller is the branch, of equal ones the later by name. In a
    /// bull-head both children are the run and the parent is the branch.
    fn end_tee(&mut self, parent: RunId, one: Child, two: Child) {
        let resolved = self.resolved(parent);
        let tube = self.job.catalog.system(resolved.system).tube;
        let order = |child: Child| self.job.catalog.order(tube, self.size_of(child));
        let (larger, smaller) = if order(two) > order(one) { (two, one) } else { (one, two) };
        if !self.has_size(parent, larger) || !self.has_size(parent, smaller) {
            return;
        }
        let speaks_of_joins = |child: Child| {
            child.by == RunEnd::Start && self.job.runs[child.run.index()].tee == Some(Meeting::Bull)
        };
        let of_parent = (resolved.system, resolved.end_size);
        let at_parent = self.end_of_parent(parent);
        let [at_larger, at_branch] = [larger, smaller].map(|child| self.end_of_child(child));
        let [larger, branch] =
            [larger, smaller].map(|child| (self.socketed(resolved.system, child), self.size_of(child)));
        let (tubes, ends) = if speaks_of_joins(one) || speaks_of_joins(two) {
            ([larger, branch, of_parent], [at_larger, at_branch, at_parent])
        } else {
            ([of_parent, larger, branch], [at_parent, at_larger, at_branch])
        };
        self.tee(parent, smaller, tubes, ends);
    }

    pub(super) fn reducer(&mut self, parent: RunId, child: Child) {
        if !self.has_size(parent, child) {
            return;
        }
        let resolved = self.resolved(parent);
        let owner = owner_of(self.job, self.resolved(child.run), child.run);
        if let Some(part) =
            self.sheet.used(parent, resolved.system, UsedAs::ReducingCoupling, "reducing coupling")
        {
            let sizes = larger_first(&self.sheet, resolved.system, resolved.end_size, self.size_of(child));
            let because = Because::Reducer(child.run);
            self.sheet.part(owner, part, resolved.system, &sizes, 1, because);
            let own = (resolved.system, resolved.end_size);
            let of_child = (self.socketed(resolved.system, child), self.size_of(child));
            let (own_end, child_end) = (self.end_of_parent(parent), self.end_of_child(child));
            let (tubes, ends) = match sizes[0] == own.1 {
                true => ([own, of_child], [own_end, child_end]),
                false => ([of_child, own], [child_end, own_end]),
            };
            self.joints_of(owner, resolved.system, &tubes, because);
            self.stand(ends, both_sides(&self.job.catalog, Some(part), resolved.system, sizes));
        }
    }

    /// Rule 8: one piece, unless something parts it.
    pub(super) fn seam(&mut self, parent: RunId, child: Child) {
        let (first, second) = (self.resolved(parent), self.resolved(child.run));
        let owner = owner_of(self.job, second, child.run);
        let because = Because::Seam(child.run);
        if self.turned_at(parent, child, owner) {
            return;
        }
        let ends = [self.end_of_parent(parent), self.end_of_child(child)];
        if first.system != second.system && self.job.catalog.shares_fittings(first.system, second.system) {
            // One coupling, the tube on each side with a joint of its own.
            if let Some(part) = self.sheet.used(parent, first.system, UsedAs::Coupling, "coupling") {
                let size = first.end_size;
                self.sheet.part(owner, part, first.system, &[size, size], 1, because);
                let tubes = [(first.system, size), (second.system, size)];
                self.joints_of(owner, first.system, &tubes, because);
                self.stand(ends, both_sides(&self.job.catalog, Some(part), first.system, [size; 2]));
            }
            return;
        }
        if first.system != second.system {
            self.transition(parent, child.run, first.system, second.system, first.end_size, owner);
            self.stand(ends, of_transition(&self.sheet, first.system, second.system, first.end_size));
            return;
        }
        // A part of an earlier phase on either side of the seam was there when the other came.
        let of_child = self.laid(child.run);
        let own = if child.by == RunEnd::Start { of_child.earlier_at_start } else { of_child.earlier_at_end };
        let capped_before = self.laid(parent).earlier_at_end.or(own).is_some();
        let no_joint = |run: RunId| self.job.runs[run.index()].no_joint;
        let parted = first.variant != second.variant
            || first.color != second.color
            || no_joint(parent) != no_joint(child.run)
            || capped_before;
        if parted {
            couple(&mut self.sheet, parent, owner, first.system, first.end_size, 1, because);
            let coupled = match self.job.catalog.system(first.system).seam {
                Seam::Joint => [PieceEnd::NoFitting; 2],
                Seam::Coupling => of_used(&self.sheet, first.system, UsedAs::Coupling, [first.end_size; 2]),
            };
            self.stand(ends, coupled);
        } else {
            self.segments_join(parent, child);
        }
    }

    /// Rule D1 of drains: where a run of water goes on in another bearing an elbow stands at the seam, unless the tube bends
    /// or stands behind another fitting. Whether one does.
    fn turned_at(&mut self, parent: RunId, child: Child, owner: super::sheet::Owner) -> bool {
        let (first, second) = (self.resolved(parent), self.resolved(child.run));
        let Some(fitting) = second.first_turn.filter(|_| !second.turns_inside) else { return false };
        if let Some(part) = self.sheet.used(parent, first.system, fitting, fitting.word()) {
            let size = first.end_size;
            self.sheet.part(owner, part, first.system, &[size, size], 1, Because::Turning(child.run));
            let tubes = [(first.system, size), (second.system, size)];
            self.joints_of(owner, first.system, &tubes, Because::Turning(child.run));
            let ends = [self.end_of_parent(parent), self.end_of_child(child)];
            self.stand(ends, both_sides(&self.job.catalog, Some(part), first.system, [size; 2]));
        }
        true
    }

    /// One piece of the parent's last segment and the child's. A run that a system has no tube for has none.
    fn segments_join(&mut self, parent: RunId, child: Child) {
        let (Some(of_parent), Some(of_child)) = (self.laid[parent.index()], self.laid[child.run.index()])
        else {
            return;
        };
        let met = if child.by == RunEnd::Start { of_child.first } else { of_child.last };
        let of_parent = of_parent.last;
        self.segments.go_on([(of_parent, RunEnd::End), (met, child.by)]);
        match child.by {
            RunEnd::Start => {
                self.segments.join(of_parent, met);
                if let Some(laid) = &mut self.laid[child.run.index()] {
                    laid.joined_at_start = true;
                }
            }
            // A return's end: the piece belongs to the run it joins, if it is one piece with it, else to this parent.
            RunEnd::End => self.late_joins.push((of_parent, met, child.run)),
        }
    }

    /// Seams at the ends of returns come last: the first run of a piece is the one the return joins.
    pub(super) fn join_returns(&mut self) {
        for (of_parent, met, run) in std::mem::take(&mut self.late_joins) {
            let Laid { first, last, joined_at_start, .. } = self.laid(run);
            if joined_at_start && first == last {
                self.segments.join(met, of_parent);
            } else {
                self.segments.join(of_parent, met);
            }
        }
    }

    /// A fitting where two systems meet, of the first of them.
    pub(super) fn transition(
        &mut self,
        at: RunId,
        because_of: RunId,
        from: SystemId,
        to: SystemId,
        size: Word,
        owner: super::sheet::Owner,
    ) {
        let Some(fitting) = self.sheet.tables.transition(from, to) else {
            let what = transition_words(&self.sheet, from, to);
            self.sheet.missing(at, from, what);
            return;
        };
        let because = Because::Transition(because_of);
        self.sheet.part(owner, fitting.part, from, &[size, size], 1, because);
        if fitting.clamped {
            self.sheet.compression_joint(owner, from, size);
            self.sheet.compression_joint(owner, to, size);
            return;
        }
        self.sheet.joints(owner, from, fitting.near, size, 1, because);
        self.sheet.joints(owner, to, fitting.far, size, 1, because);
    }

    pub(super) fn row(&self, run: RunId) -> RowAt {
        self.job.runs[run.index()].row
    }
}
