//! One run, laid: the points where it is cut, its segments, its length and turns (rules 4, 6, 9 to 12 and 24 of counting).
//! What is counted along it without cutting it is in `along`.

use super::super::network::{Child, End, Start, Tap};
use super::super::takeoff::Because;
use super::findings;
use super::openings::{of_transition, of_used};
use super::pieces::Segment;
use super::points::{Points, Stands};
use super::resolve::{Lead, Resolved};
use super::rules::Rule;
use super::sheet::{Owner, port_sizes};
use super::{Laying, owner_of};
use crate::estimate::{ItemId, RunEnd, RunId};
use crate::ground::Length;
use crate::trade::{Fit, PartId, Per, Phase, Run, SystemId, UsedAs, Where, Word};

/// More cuts than any run of a house has; a run above it is in error before they are placed.
pub(super) const MOST_CUTS: i64 = 100_000;
/// Cuts that numbers in cells may ask for in all runs of a job together, those beyond [`A_FEW`] of each: what is kept of a
/// job grows with its rows, and not with a number in each of them.
const MOST_CUTS_IN_ALL: i64 = 1_000_000;
/// Turns and parts in line that a run has.
const A_FEW: i64 = 10;

/// A part counted by eye: the row that counts it, the part, how many.
pub(super) type Counted<'j> = (Rule<'j>, PartId, i64);

/// What other runs must know of a laid run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Laid {
    /// Its first segment.
    pub(super) first: u32,
    /// Its last segment (its tail, if it has one).
    pub(super) last: u32,
    /// The phase of a part on its beginning that comes before its parent.
    pub(super) earlier_at_start: Option<Phase>,
    /// The phase of a part on its end that comes before the runs that meet the end.
    pub(super) earlier_at_end: Option<Phase>,
    /// Whether its first segment is one piece with its parent's last.
    pub(super) joined_at_start: bool,
}

impl Laid {
    /// What a run that is not laid leaves.
    pub(super) const NOTHING: Self =
        Self { first: 0, last: 0, earlier_at_start: None, earlier_at_end: None, joined_at_start: false };
}

impl<'j> Laying<'j, '_> {
    /// Lays one run; nothing where it has an error.
    pub(super) fn lay_run(&mut self, id: RunId) -> Option<Laid> {
        let job = self.job;
        let (run, resolved) = (&job.runs[id.index()], self.resolved(id));
        let owner = owner_of(self.job, resolved, id);
        let rules = std::mem::take(&mut self.rules[id.index()]);
        let mut points = Points::new(run.length, self.job.catalog.system(resolved.system).least_piece);
        self.lead(id, &resolved, &mut points, owner)?;
        self.stand_taps(id, &mut points)?;
        let counted = self.counted_on(id, run, &resolved, &rules)?;
        self.stand_turns(id, run, &resolved, &counted, &mut points, owner)?;
        self.stand_in_line(id, run, &resolved, &rules, &mut points, owner)?;
        self.count_counted(run, &resolved, counted, owner);
        let (first, last) = self.segments_of(id, run, &resolved, &points, owner)?;
        self.supports_of(run, &resolved, owner);
        self.add_along(id, run, &resolved, &rules, owner);
        self.sheet.takeoff.bends += i64::from(resolved.bends + resolved.bends_at_start()) * resolved.copies;
        let earlier_at_start = self.lay_end(id, &rules, RunEnd::Start, first);
        let earlier_at_end = self.lay_end(id, &rules, RunEnd::End, last);
        Some(Laid { first, last, earlier_at_start, earlier_at_end, joined_at_start: false })
    }

    /// Rule 8: behind a tee of another system stand a least piece of its tube and a transition.
    fn lead(&mut self, id: RunId, resolved: &Resolved, points: &mut Points, owner: Owner) -> Option<()> {
        let meets = self.network.meets(id);
        let row = self.job.runs[id.index()].row;
        let leads = [
            (resolved.wide_in, RunEnd::Start),
            (resolved.lead_in, RunEnd::Start),
            (resolved.wide_out, RunEnd::End),
            (resolved.lead_out, RunEnd::End),
        ];
        for (of, end) in leads {
            let Some(of) = of else { continue };
            let is_wide = of.size != if end == RunEnd::Start { resolved.size } else { resolved.end_size };
            let least = self.job.catalog.system(of.system).least_piece;
            // Behind the piece in the larger size the other one begins.
            let inside = match (end, resolved.wide_in) {
                (RunEnd::Start, Some(_)) if !is_wide => least.checked_add(least)?,
                (RunEnd::Start | RunEnd::End, _) => least,
            };
            let other = match (end, meets.start, meets.end, meets.at_end.as_slice()) {
                (RunEnd::Start, Start::Run(parent), ..) => parent,
                (RunEnd::End, _, End::Run(parent), _) => parent,
                (RunEnd::End, _, End::Free, [child]) => child.run,
                _ => continue,
            };
            let (at, size) = match (end, self.job.runs[id.index()].tail) {
                (RunEnd::Start, _) => (points.lead_in(inside), resolved.size),
                (RunEnd::End, Some(tail)) => ((tail > least).then_some(tail), resolved.end_size),
                (RunEnd::End, None) => (points.lead_out(least), resolved.end_size),
            };
            let Some(at) = at else {
                let other = self.job.runs[other.index()].row;
                self.sheet.bar(id, findings::too_short_for_transition(self.job, row, other, least));
                return None;
            };
            let outer_first = match is_wide {
                true => {
                    // A turning at an end with all that belongs to it is the child's.
                    let child = if meets.end == End::Free && end == RunEnd::End { other } else { id };
                    let owner = owner_of(self.job, self.resolved(child), child);
                    self.reduce(owner, of.system, [of.size, size], Because::Turning(child));
                    of_used(&self.sheet, of.system, UsedAs::ReducingCoupling, [of.size, size])
                }
                false => {
                    self.transition(id, id, of.system, resolved.system, size, owner);
                    of_transition(&self.sheet, of.system, resolved.system, size)
                }
            };
            let [outer, inner] = outer_first;
            match (end, self.job.runs[id.index()].tail) {
                (RunEnd::Start, _) => points.stand(at, Stands::Fitting([outer, inner])),
                (RunEnd::End, None) => points.stand(at, Stands::Fitting([inner, outer])),
                // It stands in the tail.
                (RunEnd::End, Some(_)) => {}
            }
        }
        Some(())
    }

    /// Rule 4: taps stand as written; of several at one point the largest does, and the others move on.
    fn stand_taps(&mut self, id: RunId, points: &mut Points) -> Option<()> {
        let network = self.network;
        let taps = &network.meets(id).taps;
        let parent = &self.job.runs[id.index()];
        let is_drain = !parent.service.is_water();
        let resolved = self.resolved(id);
        let mut moved: Vec<(Child, Length)> = Vec::new();
        let mut stand: Vec<Tap> = Vec::new();
        for together in taps.chunk_by(|a, b| a.at == b.at) {
            let mut children: Vec<Child> = match is_drain {
                // Two opposite each other take one fitting.
                true => self.ties_in(id, together).iter().map(|ties_in| ties_in.first).collect(),
                false => together.iter().map(|tap| tap.child).collect(),
            };
            let tube = self.job.catalog.system(resolved.system).tube;
            let order = |c: &Child| {
                let d = self.resolved(c.run);
                self.job.catalog.order(tube, if c.by == RunEnd::Start { d.size } else { d.end_size })
            };
            // Stable: equal sizes stay in the order of their names.
            children.sort_by_key(|child| std::cmp::Reverse(order(child)));
            for (index, child) in children.into_iter().enumerate() {
                if index == 0 && points.place(together[0].at) {
                    points.stand(together[0].at, Stands::Tap(child));
                    stand.push(Tap { at: together[0].at, child });
                } else {
                    moved.push((child, together[0].at));
                }
            }
        }
        for tap in &stand {
            if points.is_close(tap.at, parent.length) {
                let (run, least) = (self.job.runs[tap.child.run.index()].row, self.least(&resolved));
                self.sheet.warn(findings::close_tap(self.job, run, parent.row, least));
            }
        }
        for (child, at) in moved {
            let Run { row: run, name, .. } = &self.job.runs[child.run.index()];
            let run = *run;
            let Some(at) = points.next_free(at) else {
                self.sheet.bar(child.run, findings::no_free_point(self.job, run, "at", "its tee"));
                continue;
            };
            points.stand(at, Stands::Tap(child));
            self.sheet.warn(findings::moved_tap(self.job, run, parent.row, name));
        }
        Some(())
    }

    pub(super) fn least(&self, resolved: &Resolved) -> Length {
        self.job.catalog.system(resolved.system).least_piece
    }

    /// Takes down that numbers in cells ask for so many cuts in a run; nothing where they are too many.
    pub(super) fn may_cut(&mut self, id: RunId, cuts: i64) -> Option<()> {
        let in_all = self.cuts.saturating_add((cuts - A_FEW).max(0));
        if cuts > MOST_CUTS || in_all > MOST_CUTS_IN_ALL {
            self.sheet.bar(id, findings::too_many(self.job, self.job.runs[id.index()].row));
            return None;
        }
        self.cuts = in_all;
        Some(())
    }

    /// Rule 10: parts in line, those of one `where` together.
    fn stand_in_line(
        &mut self,
        id: RunId,
        run: &'j Run,
        resolved: &Resolved,
        rules: &[Rule<'j>],
        points: &mut Points,
        owner: Owner,
    ) -> Option<()> {
        let in_line = |rule: &&Rule<'j>| {
            rule.row.stands.is_some() && rule.row.per != Per::Place && self.has_ports(rule)
        };
        let rules: Vec<Rule<'j>> = rules.iter().filter(in_line).copied().collect();
        for group in rules.chunk_by(|a, b| a.row.stands == b.row.stands) {
            let Some(from) = self.where_from(id, run, resolved, group[0]) else { continue };
            let mut parts: Vec<(Rule<'j>, PartId)> = Vec::new();
            for rule in group {
                let n = self.whole_quantity(id, run, resolved, rule)?;
                if n > 0 && run.no_joint {
                    self.sheet.bar(id, findings::no_joint_part(self.job, run.row, rule.row.row));
                    return None;
                }
                if let Some(part) = rule.part {
                    self.may_cut(id, n)?;
                    parts.extend((0..n).map(|_| (*rule, part)));
                }
            }
            while !parts.is_empty() {
                let Some(at) = points.next_free(from) else {
                    let notice = findings::no_free_point(self.job, run.row, "length", "the parts in line");
                    self.sheet.bar(id, notice);
                    return None;
                };
                let sides = self.assemble(id, resolved, &mut parts, owner);
                points.stand(at, Stands::Fitting(sides));
            }
        }
        Some(())
    }

    /// Where a part in line would stand. A distance that is not inside the run is an error of the pattern's row, which
    /// is left out alone.
    fn where_from(&mut self, id: RunId, run: &Run, resolved: &Resolved, rule: Rule<'_>) -> Option<Length> {
        let least = self.least(resolved);
        let inside = |at: Length| at > Length::ZERO && at < run.length;
        match rule.row.stands {
            Some(Where::Start) | None => Some(least),
            Some(Where::End) => run.length.checked_sub(least),
            Some(Where::At(at)) => {
                let from = if at < Length::ZERO { run.length.checked_add(at)? } else { at };
                if !inside(from) {
                    let notice = findings::where_outside(self.job, run.row, rule.row.row, run.length);
                    self.sheet.leave_out_rule(id, notice, resolved.system);
                    return None;
                }
                Some(from)
            }
        }
    }

    /// Rule 24: the parts with openings that a column of the run counts, each with its number.
    fn counted_on(
        &mut self,
        id: RunId,
        run: &'j Run,
        resolved: &Resolved,
        rules: &[Rule<'j>],
    ) -> Option<Vec<Counted<'j>>> {
        let mut counted = Vec::new();
        for rule in rules {
            let by_count = matches!(rule.row.per, Per::Column(_) | Per::Turn | Per::Bend | Per::Elbow);
            let Some(part) =
                rule.part.filter(|_| by_count && rule.row.stands.is_none() && self.has_ports(rule))
            else {
                continue;
            };
            let n = self.whole_quantity(id, run, resolved, rule)?;
            if n > 0 && run.no_joint {
                self.sheet.bar(id, findings::no_joint_part(self.job, run.row, rule.row.row));
                return None;
            }
            counted.push((*rule, part, n));
        }
        Some(counted)
    }

    /// Writes them down: every opening is a joint of the run's size, and the balance lists them as declared.
    fn count_counted(&mut self, run: &Run, resolved: &Resolved, counted: Vec<Counted<'j>>, owner: Owner) {
        for (rule, part, n) in counted {
            let catalog_part = self.job.catalog.part(part);
            let reduced =
                catalog_part.used_as.contains(&UsedAs::ReducingCoupling).then_some(run.reduce_to).flatten();
            let given: Vec<Word> = match reduced {
                Some(small) if rule.row.sizes.is_empty() => vec![resolved.size, small],
                Some(_) | None => rule.row.sizes.to_vec(),
            };
            let sizes = port_sizes(catalog_part, &given, resolved.size);
            let owner = owner.in_phase(rule.row.phase.unwrap_or(owner.phase));
            let because = Because::Rule(rule.row.row);
            self.sheet.part(owner, part, resolved.system, &sizes, n, because);
            let open = catalog_part.ports.iter().filter(|port| port.fit != Fit::Closed).count();
            let ports = i64::try_from(open).unwrap_or(0);
            self.sheet.declared_joints(owner, resolved.system, resolved.size, n, ports, because);
            let supports = n * i64::from(catalog_part.supports);
            self.sheet.supports(owner, resolved.system, resolved.size, supports, Because::PartSupport);
        }
    }

    /// Cuts the run at its points; gives its first and last segment.
    fn segments_of(
        &mut self,
        id: RunId,
        run: &Run,
        resolved: &Resolved,
        points: &Points,
        owner: Owner,
    ) -> Option<(u32, u32)> {
        let copies = run.copies();
        let Some(tube) = self.sheet.tube(resolved.system, resolved.size, resolved.variant, resolved.color)
        else {
            self.sheet.missing(id, resolved.system, "tube".to_owned());
            return None;
        };
        let mut segments: Vec<(ItemId, Length)> = Vec::new();
        let mut cuts: Vec<Stands> = Vec::new();
        let mut from = Length::ZERO;
        for (at, stands) in points.all() {
            segments.push((tube, at.checked_sub(from)?));
            cuts.push(stands);
            from = at;
        }
        segments.push((tube, run.length.checked_sub(from)?));
        for (of, segment) in [resolved.wide_in, resolved.lead_in].into_iter().flatten().zip(&mut segments) {
            segment.0 = self.lead_tube(of, owner)?;
        }
        let out = [resolved.wide_out, resolved.lead_out].into_iter().flatten();
        for (of, segment) in out.zip(segments.iter_mut().rev()).filter(|_| run.tail.is_none()) {
            segment.0 = self.lead_tube(of, owner)?;
        }
        for (item, length) in merged(&segments) {
            self.sheet.tube_length(owner, item, length, Because::Length);
        }
        let (mut first, mut last) = (None, 0);
        if let Some(tail) = run.tail {
            self.tail(id, resolved, tail, owner, (&mut segments, &mut cuts))?;
        }
        let (no_joint, is_unplaced) = (run.no_joint, points.is_unplaced);
        for (item, length) in segments {
            let segment = Segment { item, length, run: id, copies, no_joint, owner, is_unplaced };
            last = self.segments.add(segment);
            first = first.or(Some(last));
        }
        for (before, stands) in (first?..last).zip(cuts) {
            let sides = [(before, RunEnd::End), (before + 1, RunEnd::Start)].map(Some);
            match stands {
                Stands::Fitting(fitting) => self.stand(sides, fitting),
                Stands::Tap(child) => {
                    self.tapped.insert(child, (before, before + 1));
                }
            }
        }
        Some((first?, last))
    }

    /// The parent's tube that a run begins with behind a tee of another system.
    fn lead_tube(&mut self, of: Lead, owner: Owner) -> Option<ItemId> {
        let color = super::resolve::color_of(self.job, of.system, owner.service);
        self.sheet.tube(of.system, of.size, of.variant, color)
    }

    /// A reducing coupling between two pieces of tube of one system, the larger first.
    fn reduce(&mut self, owner: Owner, system: SystemId, sizes: [Word; 2], because: Because) {
        if let Some(part) =
            self.sheet.used(owner.subject, system, UsedAs::ReducingCoupling, "reducing coupling")
        {
            self.sheet.part(owner, part, system, &sizes, 1, because);
            for size in sizes {
                self.sheet.joints(owner, system, system, size, 1, because);
            }
        }
    }

    /// Rule 6: a reducing coupling and the tail.
    fn tail(
        &mut self,
        id: RunId,
        resolved: &Resolved,
        tail: Length,
        owner: Owner,
        (segments, cuts): (&mut Vec<(ItemId, Length)>, &mut Vec<Stands>),
    ) -> Option<()> {
        let part = self.sheet.used(id, resolved.system, UsedAs::ReducingCoupling, "reducing coupling")?;
        let because = Because::TailReducer;
        self.sheet.part(owner, part, resolved.system, &[resolved.size, resolved.end_size], 1, because);
        self.sheet.joints(owner, resolved.system, resolved.system, resolved.size, 1, because);
        self.sheet.joints(owner, resolved.system, resolved.system, resolved.end_size, 1, because);
        let own = self.sheet.tube(resolved.system, resolved.end_size, resolved.variant, resolved.color)?;
        let sizes = [resolved.size, resolved.end_size];
        let reduced = of_used(&self.sheet, resolved.system, UsedAs::ReducingCoupling, sizes);
        cuts.push(Stands::Fitting(reduced));
        match resolved.lead_out {
            Some(of) => {
                let least = self.job.catalog.system(of.system).least_piece;
                let lead = self.lead_tube(of, owner)?;
                let rest = tail.checked_sub(least)?;
                self.sheet.tube_length(owner, own, rest, Because::Tail);
                self.sheet.tube_length(owner, lead, least, Because::Tail);
                segments.extend([(own, rest), (lead, least)]);
                let [outer, inner] =
                    of_transition(&self.sheet, of.system, resolved.system, resolved.end_size);
                cuts.push(Stands::Fitting([inner, outer]));
            }
            None => {
                self.sheet.tube_length(owner, own, tail, Because::Tail);
                segments.push((own, tail));
            }
        }
        Some(())
    }
}

/// Lengths of one tube together, in the order in which they come.
fn merged<T: PartialEq + Copy>(segments: &[(T, Length)]) -> Vec<(T, Length)> {
    let mut sums: Vec<(T, Length)> = Vec::new();
    for (item, length) in segments {
        match sums.iter_mut().find(|(other, _)| other == item) {
            Some((_, sum)) => *sum = sum.checked_add(*length).unwrap_or(Length::LONGEST),
            None => sums.push((*item, *length)),
        }
    }
    sums
}
