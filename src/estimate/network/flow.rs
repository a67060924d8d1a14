//! What may tie into what: water and drains apart, drains never into vents nor against the stream (rules D3, D6 and D7 of
//! drains). An error of a meeting leaves out the child; who meets whom is known before.

use super::drains;
use super::findings;
use super::{Building, Child, End, Meets, Out};
use crate::trade::{Angle, Run};

impl Building<'_> {
    /// Rules D3 and D7: what may tie into a run of one side of the house. Whether anything may not.
    pub(super) fn judge_sides(&mut self, parent: &Run, meets: &Meets) -> bool {
        let children = meets.taps.iter().map(|tap| tap.child).chain(meets.at_end.iter().copied());
        let mut found = false;
        for child in children {
            let run = self.run(child.run);
            if parent.service.is_water() && run.service.is_water()
                || drains::ties_in(parent.service, run.service, child.by)
            {
                continue;
            }
            let (row, of) = (run.row, parent.row);
            let (service, of_parent) = (run.service.word(), parent.service.word());
            let notice = match parent.service.is_water() == run.service.is_water() {
                true => findings::drain_into_vent(self.job, row, of, service, of_parent),
                false => findings::water_and_drain(self.job, row, of, service, of_parent),
            };
            self.error(child.run, notice);
            found = true;
        }
        found
    }

    /// Rules D6 and D7: the angles at which drains and vents meet a run between its ends and at its end.
    pub(super) fn judge_drains(&mut self, parent: &Run, meets: &Meets) {
        for tap in &meets.taps {
            if let Err(drains::Wrong::Angle(child, angle)) = drains::met(self.job, parent, tap.at, tap.child)
            {
                self.wrong_angle(parent, child, angle);
            }
        }
        // What joins an end at a place or at a run is told above.
        if meets.end != End::Free {
            return;
        }
        let runs: Vec<&Run> = meets.at_end.iter().map(|child| self.run(child.run)).collect();
        match drains::at_end(self.job, parent, &meets.at_end, |_| None) {
            Ok(_) => {}
            Err(drains::Wrong::Angle(child, angle)) => self.wrong_angle(parent, child, angle),
            Err(wrong @ (drains::Wrong::NoneGoesOn | drains::Wrong::TooMany)) => {
                let notice = match wrong {
                    drains::Wrong::TooMany => findings::three_at_one_end(self.job, &runs, parent),
                    drains::Wrong::NoneGoesOn | drains::Wrong::Angle(..) => findings::none_goes_on(
                        self.job,
                        runs.iter().map(|run| run.row).collect(),
                        parent.row,
                        &parent.name,
                    ),
                };
                self.notices.push(notice);
                for child in &meets.at_end {
                    self.out[child.run.index()] = Some(Out::Error);
                }
            }
        }
    }

    fn wrong_angle(&mut self, parent: &Run, child: Child, angle: Angle) {
        let run = self.run(child.run);
        let (row, of, name) = (run.row, parent.row, &*parent.name);
        let notice = match angle {
            Angle::Straight => findings::along_its_parent(self.job, row, of, name),
            Angle::Eighth | Angle::Quarter | Angle::Against | Angle::Back => {
                findings::against_the_stream(self.job, row, of, name, angle.word())
            }
        };
        self.error(child.run, notice);
    }
}
