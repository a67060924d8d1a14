//! Fittings where drains and vents meet and turn (rules D6 to D9 of drains): by the tables `meetings` and `turnings`, with the
//! bushing where a smaller tube enters, and the street bend in the branch of a wye.

use super::super::network::drains::{self, AtEnd};
use super::super::network::{Child, Tap};
use super::super::takeoff::Because;
use super::between::larger_first;
use super::findings;
use super::openings::{both_sides, opening};
use super::pieces::SegmentEnd;
use super::sheet::Owner;
use super::{Laying, owner_of};
use crate::estimate::{PieceEnd, RunId};
use crate::trade::{Angle, Meeting, Met, PartId, SystemId, Turned, UsedAs, Word};

/// What ties in at one point: one child, or two opposite each other.
#[derive(Debug, Clone, Copy)]
pub(super) struct TiesIn {
    /// The first by size and name.
    pub(super) first: Child,
    second: Option<Child>,
    met: Met,
}

/// A tube in an opening: its system and size.
type Tube = (SystemId, Word);

impl Laying<'_, '_> {
    /// All fittings where drains and vents meet one run.
    pub(super) fn meet_drains(&mut self, parent: RunId) {
        let (job, network) = (self.job, self.network);
        let (run, resolved) = (&job.runs[parent.index()], self.resolved(parent));
        let meets = network.meets(parent);
        for together in meets.taps.chunk_by(|a, b| a.at == b.at) {
            for ties_in in self.ties_in(parent, together) {
                if self.is_no_larger(parent, ties_in, resolved.size) {
                    let ends = self.ends_at_tap(ties_in.first);
                    self.meeting(parent, ties_in, [(resolved.system, resolved.size); 2], ends);
                }
            }
        }
        let larger = |child: Child| {
            let tube = job.catalog.system(resolved.system).tube;
            job.catalog.order(tube, self.size_of(child))
        };
        // What is wrong there was told where runs were connected.
        let Ok(Some(at_end)) = drains::at_end(job, run, &meets.at_end, larger) else { return };
        let of_parent = (resolved.system, resolved.end_size);
        match at_end {
            AtEnd::Straight(child) => {
                if !self.grows(parent, child, resolved.end_size) {
                    match self.size_of(child) == resolved.end_size {
                        true => self.seam(parent, child),
                        false => self.reducer(parent, child),
                    }
                }
            }
            AtEnd::Turn(child, turned) => {
                if !self.grows(parent, child, resolved.end_size) {
                    self.turning(parent, child, turned);
                }
            }
            AtEnd::Through { goes_on, branch, met } => {
                let ties_in = TiesIn { first: branch, second: None, met };
                self.tie_in_at_end(parent, goes_on, ties_in, of_parent);
            }
            AtEnd::Pair { goes_on, branches: [first, second], met } => {
                if job.catalog.meeting(&met, resolved.system).is_none() {
                    let rows = meets.at_end.iter().map(|child| self.row(child.run)).collect();
                    let notice = findings::no_double_tee(job, rows, run.row, &run.name);
                    for child in &meets.at_end {
                        self.sheet.barred.push(child.run);
                    }
                    self.sheet.warn(notice);
                    return;
                }
                let ties_in = TiesIn { first, second: Some(second), met };
                self.tie_in_at_end(parent, goes_on, ties_in, of_parent);
            }
        }
    }

    fn tie_in_at_end(&mut self, parent: RunId, goes_on: Child, ties_in: TiesIn, of_parent: Tube) {
        if self.grows(parent, goes_on, of_parent.1)
            || !self.is_no_larger(parent, ties_in, of_parent.1)
            || !self.has_size(parent, goes_on)
        {
            return;
        }
        let other = (self.socketed(of_parent.0, goes_on), self.size_of(goes_on));
        let ends = [self.end_of_parent(parent), self.end_of_child(goes_on)];
        self.meeting(parent, ties_in, [of_parent, other], ends);
    }

    /// What ties in at one point between the ends of a run, the largest first, then by name: pairs where the table has a
    /// fitting for them, else each child by itself.
    pub(super) fn ties_in(&self, parent: RunId, together: &[Tap]) -> Vec<TiesIn> {
        let (job, run) = (self.job, &self.job.runs[parent.index()]);
        let system = self.resolved(parent).system;
        let tube = job.catalog.system(system).tube;
        let mut left: Vec<Child> = together.iter().map(|tap| tap.child).collect();
        // Stable: equal sizes stay in the order of their names.
        left.sort_by_key(|child| std::cmp::Reverse(job.catalog.order(tube, self.size_of(*child))));
        let mut units = Vec::new();
        while !left.is_empty() {
            let (first, at) = (left.remove(0), together[0].at);
            let pair = |other: &Child| {
                let met = drains::pair(job, run, at, [first, *other])?;
                job.catalog.meeting(&met, system).and_then(|row| self.part_of(row.part, system))?;
                Some(met)
            };
            match left.iter().enumerate().find_map(|(index, other)| Some((index, pair(other)?))) {
                Some((index, met)) => {
                    units.push(TiesIn { first, second: Some(left.remove(index)), met });
                }
                None => {
                    if let Ok(met) = drains::met(job, run, at, first) {
                        units.push(TiesIn { first, second: None, met });
                    }
                }
            }
        }
        units
    }

    /// Rule D7: a drain never gets smaller on its way; vents may. Whether what ties in fits.
    fn is_no_larger(&mut self, parent: RunId, ties_in: TiesIn, met: Word) -> bool {
        let children = [Some(ties_in.first), ties_in.second].into_iter().flatten();
        let mut fits = true;
        for child in children {
            fits &= !self.grows(parent, child, met) && self.has_size(parent, child);
        }
        fits
    }

    /// Whether a drain is larger than what it empties into: it is out of the count then.
    fn grows(&mut self, parent: RunId, child: Child, met: Word) -> bool {
        let size = self.size_of(child);
        let tube = self.job.catalog.system(self.resolved(parent).system).tube;
        let order = |size| self.job.catalog.order(tube, size);
        let run = &self.job.runs[child.run.index()];
        let is_larger = order(size) > order(met) && order(met).is_some();
        if is_larger && run.service == crate::trade::Service::Drain {
            let (size, met) = (self.job.lexicon.text(size), self.job.lexicon.text(met));
            let of = self.row(parent);
            self.sheet.bar(child.run, findings::drain_gets_smaller(self.job, run.row, of, size, met));
            return true;
        }
        false
    }

    /// The part that a table names, in a system: by its names, else by what the count takes it for.
    fn part_of(&self, word: Word, system: SystemId) -> Option<PartId> {
        let catalog = &self.job.catalog;
        let called = catalog.part_called(word, Word::EMPTY, system);
        called.or_else(|| {
            let used = catalog.parts_called_or_used(word).iter().copied();
            used.into_iter().find(|part| catalog.takes_in(&catalog.part(*part).systems, system))
        })
    }

    /// The fitting of a meeting and what stands in its branch: by the child's row, else by the table.
    fn parts_of_meeting(&self, ties_in: TiesIn, system: SystemId) -> (Option<Word>, Option<Word>) {
        let catalog = &self.job.catalog;
        let row = catalog.meeting(&ties_in.met, system);
        let by_table = row.map(|row| row.part);
        let branch = row.map(|row| row.branch_part).filter(|part| !part.is_empty());
        let named = match self.job.runs[ties_in.first.run.index()].tee {
            Some(Meeting::By(part)) => Some((part, false)),
            Some(Meeting::ByWye(part)) => Some((part, true)),
            Some(Meeting::Bull) | None => None,
        };
        let same = |part: Word| {
            by_table.is_some_and(|of_table| self.part_of(of_table, system) == self.part_of(part, system))
        };
        match named {
            None => (by_table, branch),
            Some((part, _)) if same(part) => (by_table, branch),
            // A wye of 90 degrees has its street bend.
            Some((part, true)) if ties_in.met.angle == Angle::Quarter => {
                (Some(part), self.job.lexicon.find(UsedAs::StreetEighthBend.word()))
            }
            Some((part, _)) => (Some(part), None),
        }
    }

    /// The fitting in which one child, or two, tie in; it carries the service, area and phase of the first.
    fn meeting(
        &mut self,
        parent: RunId,
        ties_in: TiesIn,
        [one, two]: [Tube; 2],
        run_ends: [Option<SegmentEnd>; 2],
    ) {
        let TiesIn { first, second, .. } = ties_in;
        let system = self.resolved(parent).system;
        let owner = owner_of(self.job, self.resolved(first.run), first.run);
        let because = Because::Tee(first.run);
        let (part, in_branch) = self.parts_of_meeting(ties_in, system);
        // The joints of a fitting that the system does not have are made in whatever stands there.
        let part = self.known(parent, part, system);
        let sizes = larger_first(&self.sheet, system, one.1, two.1);
        let [first_run, second_run] = if sizes[0] == one.1 { [one, two] } else { [two, one] };
        let branch = (self.socketed(system, first), self.size_of(first));
        let mut tubes = vec![first_run, second_run];
        let mut all = vec![first_run.1, second_run.1, branch.1];
        match in_branch {
            None => tubes.push(branch),
            Some(bend) => {
                // Its spigot stands in the branch, the child's tube in its socket.
                if let Some(bend) = self.known(parent, Some(bend), system) {
                    self.sheet.part(owner, bend, system, &[branch.1; 2], 1, because);
                }
                self.sheet.male_ends(system, branch.1, owner.copies);
                tubes.push((system, branch.1));
                self.sheet.joints(owner, branch.0, system, branch.1, 1, because);
            }
        }
        if let Some(second) = second {
            tubes.push((self.socketed(system, second), self.size_of(second)));
            all.push(self.size_of(second));
        }
        if let Some(part) = part {
            self.sheet.part(owner, part, system, &all, 1, because);
            let catalog = &self.job.catalog;
            let stands = |at: usize, size: Word| opening(catalog, (part, at), (system, size), &all);
            let runs = [stands(0, one.1), stands(1, two.1)];
            // Behind a bend in the branch nobody knows how far the tube stops from the center.
            let branch = if in_branch.is_some() { PieceEnd::default() } else { stands(2, branch.1) };
            let other = second.map(|second| (second, stands(3, self.size_of(second))));
            self.stand(run_ends, runs);
            self.stand([self.end_of_child(first)], [branch]);
            if let Some((second, other)) = other {
                self.stand([self.end_of_child(second)], [other]);
            }
        }
        self.joints_of(owner, system, &tubes, because);
    }

    /// Rules D7 and D9: the fitting of a change of direction at an end. It has the larger size.
    fn turning(&mut self, parent: RunId, child: Child, turned: Turned) {
        if !self.has_size(parent, child) {
            return;
        }
        let (of_parent, of_child) = (self.resolved(parent), self.resolved(child.run));
        let system = of_parent.system;
        let owner = owner_of(self.job, of_child, child.run);
        let because = Because::Turning(child.run);
        let part = self.job.catalog.turning(&turned, system).map(|row| row.part);
        let sizes = larger_first(&self.sheet, system, of_parent.end_size, self.size_of(child));
        let part = self.known(parent, part, system);
        if let Some(part) = part {
            self.sheet.part(owner, part, system, &[sizes[0]; 2], 1, because);
        }
        let lead = of_child.outermost(child.by);
        let end = |lead: Option<super::resolve::Lead>, own: Word| lead.map_or(own, |lead| lead.size);
        let tubes = [
            (system, end(of_parent.lead_out, of_parent.end_size)),
            (self.socketed(system, child), end(lead, self.size_of(child))),
        ];
        let ends = [self.end_of_parent(parent), self.end_of_child(child)];
        let stands = both_sides(&self.job.catalog, part, system, [sizes[0]; 2]);
        for (tube, (end, stands)) in tubes.into_iter().zip(ends.into_iter().zip(stands)) {
            match tube.1 == sizes[0] {
                true => {
                    self.sheet.joints(owner, tube.0, system, tube.1, 1, because);
                    self.stand([end], [stands]);
                }
                // How far a tube in a bushing stops from the center is not known.
                false => self.bushing(owner, system, sizes[0], tube, because),
            }
        }
    }

    /// A bushing in a larger socket, and a tube in it.
    fn bushing(&mut self, owner: Owner, system: SystemId, socket: Word, tube: Tube, because: Because) {
        if let Some(part) = self.sheet.used(owner.subject, system, UsedAs::Bushing, "bushing") {
            self.sheet.part(owner, part, system, &[socket, tube.1], 1, because);
            self.sheet.male_ends(system, socket, owner.copies);
            self.sheet.joints(owner, system, system, socket, 1, because);
            self.sheet.joints(owner, tube.0, system, tube.1, 1, because);
        }
    }

    /// The part of a word, or that it is missing.
    fn known(&mut self, run: RunId, word: Option<Word>, system: SystemId) -> Option<PartId> {
        let Some(word) = word else {
            self.sheet.missing(run, system, "fitting for how two runs meet".to_owned());
            return None;
        };
        let part = self.part_of(word, system);
        if part.is_none() {
            let what = self.job.lexicon.text(word).to_owned();
            self.sheet.missing(run, system, what);
        }
        part
    }

    /// The part of a change of direction along a run of the drain side.
    pub(super) fn part_of_turn(&mut self, run: RunId, turned: Turned, system: SystemId) -> Option<PartId> {
        let part = self.job.catalog.turning(&turned, system).map(|row| row.part);
        self.known(run, part, system)
    }
}
