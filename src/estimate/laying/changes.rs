//! Changes of direction along one run: elbows at turns and offsets (rules 9 and 10 of counting), those of a path where they are
//! (rule D1 of drains), on the drain side by the table `turnings`; and what is counted by eye, which cuts the run as they do.

use super::super::takeoff::Because;
use super::Laying;
use super::findings;
use super::openings::both_sides;
use super::points::{Points, Stands, evenly};
use super::resolve::Resolved;
use super::run::Counted;
use super::sheet::Owner;
use crate::estimate::RunId;
use crate::ground::Length;
use crate::trade::{Angle, Attitude, PartId, Path, Run, Turned, UsedAs};

/// Fittings of changes of direction that are alike: the part, and how many.
type Fittings = Vec<(PartId, i64)>;

impl<'j> Laying<'j, '_> {
    /// Rules 9 and 10: elbows at turns, and offsets of two 45-degree elbows. What is counted by eye cuts the run evenly
    /// with the turns that do (rule 24).
    pub(super) fn stand_turns(
        &mut self,
        id: RunId,
        run: &Run,
        resolved: &Resolved,
        counted: &[Counted<'j>],
        points: &mut Points,
        owner: Owner,
    ) -> Option<()> {
        let by_eye: i64 = counted.iter().map(|(_, _, n)| n).sum();
        let elbows = i64::from(resolved.elbows);
        let offsets = if resolved.cuts_offsets { i64::from(run.offsets) } else { 0 };
        self.may_cut(id, i64::from(run.turns.unwrap_or(0)).max(elbows).max(offsets).max(by_eye))?;
        let mut fittings: Fittings = Vec::new();
        if let Some(fitting) = resolved.first_turn.filter(|_| resolved.turns_inside) {
            let at = self.free_or_bar(id, run, points, self.least(resolved), ("path", "its turns"))?;
            let part = self.sheet.used(id, resolved.system, fitting, fitting.word());
            self.stand_at(points, at, resolved, part);
            add(&mut fittings, part, 1);
        }
        let mut elbow = None;
        let own = match &run.path {
            Some(path) => self.stand_changes(id, run, resolved, path, points, &mut fittings)?,
            None => {
                let turned = Turned {
                    service: run.service,
                    parent: Attitude::Level,
                    child: Attitude::Level,
                    angle: Angle::Quarter,
                };
                if elbows > 0 {
                    elbow = self.fitting(id, run, resolved, turned);
                    add(&mut fittings, elbow, elbows);
                }
                elbows
            }
        };
        if run.path.is_none() {
            for at in run.turns_at.iter().take(usize::try_from(elbows).unwrap_or(0)) {
                let at = self.free_or_bar(id, run, points, *at, ("turns", "its elbows"))?;
                self.stand_at(points, at, resolved, elbow);
            }
        }
        let even = by_eye + if run.path.is_some() || !run.turns_at.is_empty() { 0 } else { own };
        for k in 1..=even {
            let what = if by_eye > 0 { ("length", "what is counted on it") } else { ("turns", "its elbows") };
            let at = self.free_or_bar(id, run, points, evenly(run.length, k, even), what)?;
            // Of what is counted by eye nobody knows which stands where.
            self.stand_at(points, at, resolved, elbow.filter(|_| by_eye == 0));
        }
        points.is_unplaced = even > 0 || offsets > 0;
        let mut bends = Vec::new();
        for k in 1..=offsets {
            let what = ("offsets", "its offsets");
            let first = self.free_or_bar(id, run, points, evenly(run.length, k, offsets), what)?;
            let second = first.checked_add(self.least(resolved))?;
            bends.extend([first, self.free_or_bar(id, run, points, second, what)?]);
        }
        self.write_turns(resolved, owner, fittings, Because::Turn);
        if offsets > 0 {
            let attitude = run.course_at(run.length).attitude;
            let turned =
                Turned { service: run.service, parent: attitude, child: attitude, angle: Angle::Eighth };
            let mut fittings = Fittings::new();
            let bend = self.fitting(id, run, resolved, turned);
            for at in bends {
                self.stand_at(points, at, resolved, bend);
            }
            add(&mut fittings, bend, 2 * offsets);
            self.write_turns(resolved, owner, fittings, Because::Offset);
        }
        Some(())
    }

    /// Rule D1: the changes of a path that cut it, each where it is. Gives how many there are.
    fn stand_changes(
        &mut self,
        id: RunId,
        run: &Run,
        resolved: &Resolved,
        path: &Path,
        points: &mut Points,
        fittings: &mut Fittings,
    ) -> Option<i64> {
        let (mut quarters, mut cuts) = (0, 0);
        for change in path.changes() {
            let angle = change.angle();
            let is_cut = match angle {
                Angle::Quarter => {
                    quarters += 1;
                    quarters <= resolved.elbows
                }
                Angle::Straight | Angle::Eighth | Angle::Against | Angle::Back => resolved.cuts_offsets,
            };
            if !is_cut {
                continue;
            }
            let is_close = points.is_close(change.at, run.length);
            let at = self.free_or_bar(id, run, points, change.at, ("path", "its turns"))?;
            if is_close {
                let least = self.least(resolved).as_typed(self.job.settings.units);
                self.sheet.warn(findings::close_turn(self.job, run.row, &least));
            }
            let (parent, child) = (change.from.attitude(), change.to.attitude());
            let turned = Turned { service: run.service, parent, child, angle };
            let part = self.fitting(id, run, resolved, turned);
            self.stand_at(points, at, resolved, part);
            add(fittings, part, 1);
            cuts += 1;
        }
        Some(cuts)
    }

    /// Takes down that a fitting of a change of direction stands at a point.
    fn stand_at(&self, points: &mut Points, at: Length, resolved: &Resolved, part: Option<PartId>) {
        let sides = both_sides(&self.job.catalog, part, resolved.system, [resolved.size; 2]);
        points.stand(at, Stands::Fitting(sides));
    }

    /// The fitting of a change of direction: an elbow of the water side, on the drain side what the table says.
    fn fitting(&mut self, id: RunId, run: &Run, resolved: &Resolved, turned: Turned) -> Option<PartId> {
        if !run.service.is_water() {
            return self.part_of_turn(id, turned, resolved.system);
        }
        let (use_, what) = match turned.angle {
            Angle::Eighth => (UsedAs::EighthBend, "eighth bend"),
            Angle::Straight | Angle::Quarter | Angle::Against | Angle::Back => (UsedAs::Elbow, "elbow"),
        };
        self.sheet.used(id, resolved.system, use_, what)
    }

    /// The next free point from one on; where there is none the run is in error.
    fn free_or_bar(
        &mut self,
        id: RunId,
        run: &Run,
        points: &mut Points,
        from: Length,
        (heading, what): (&str, &str),
    ) -> Option<Length> {
        let free = points.next_free(from);
        if free.is_none() {
            self.sheet.bar(id, findings::no_free_point(self.job, run.row, heading, what));
        }
        free
    }

    /// Fittings in line, each with its two joints.
    fn write_turns(&mut self, resolved: &Resolved, owner: Owner, fittings: Fittings, because: Because) {
        let (system, size) = (resolved.system, resolved.size);
        for (part, n) in fittings {
            self.sheet.part(owner, part, system, &[size, size], n, because);
            self.sheet.joints(owner, system, system, size, 2 * n, because);
        }
    }
}

/// So many more of a part, where there is one.
fn add(fittings: &mut Fittings, part: Option<PartId>, n: i64) {
    let Some(part) = part else { return };
    match fittings.iter_mut().find(|(one, _)| *one == part) {
        Some((_, count)) => *count += n,
        None => fittings.push((part, n)),
    }
}
