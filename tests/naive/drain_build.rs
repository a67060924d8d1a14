//! Puts the fittings of the drain side where runs meet: meetings with what stands in their branches, turnings with their
//! bushings (D6, D7 and D9 of the rules for drains). What stands where is decided in `drains`.

use coilstick::trade::{SystemId, Word};

use crate::build::Builder;
use crate::drains::{AtEnd, Meeting};
use crate::meetings::{Meets, RunEnd, Spot};
use crate::view::Child;
use crate::world::{MouthId, Tag};

impl Builder<'_> {
    /// One child or a pair ties in between two ends of a run.
    pub(crate) fn tie_in(&mut self, parent: usize, left: MouthId, right: MouthId, branches: &[Child]) {
        let first = branches[0];
        let Meets::Run { spot: Spot::Inside(at), .. } = *self.view.meetings.of(first.run, first.with) else {
            panic!("what ties in between the ends of a run is inside it")
        };
        let meeting = match branches {
            [one, other] => self.view.pair_meeting(parent, at, *one, *other),
            _ => self.view.meeting(parent, Spot::Inside(at), first).expect("left out before it is built"),
        };
        self.meet(self.view.system_id(parent), [left, right], branches, &meeting);
    }

    /// What meets at the end of a run of the drain side (D7).
    pub(crate) fn meet_at_end_of_drain(&mut self, parent: usize) {
        let end = self.end(parent, RunEnd::End);
        let system = self.view.system_id(parent);
        match self.view.at_end(parent).expect("what is in error is left out before anything is built") {
            AtEnd::Nothing => {}
            AtEnd::Straight(child) => self.go_on(parent, end, child),
            AtEnd::Turn(child, part) => {
                let begins = self.end(child.run, child.with);
                self.turn(&part, system, [end, begins], self.tag(child.run));
            }
            AtEnd::Ties { through, branches, meeting } => {
                let goes_on = self.end(through.run, through.with);
                self.meet(system, [end, goes_on], &branches, &meeting);
            }
        }
    }

    fn size(&self, mouth: MouthId) -> Word {
        self.world.mouth(mouth).size
    }

    /// A fitting over two ends of the run and one branch or two; it is the branch's, of two the first's by name (D8). The
    /// larger run is read first.
    fn meet(&mut self, system: SystemId, runs: [MouthId; 2], branches: &[Child], meeting: &Meeting) {
        let tag = self.tag(branches[0].run);
        let [first, second] = runs;
        let turned = self.view.larger(self.size(first), self.size(second)).is_lt();
        let mut ends = if turned { vec![second, first] } else { vec![first, second] };
        for branch in branches {
            let mut end = self.end(branch.run, branch.with);
            if let Some(part) = &meeting.branch_part {
                let sizes = [self.size(end); 2];
                let made = self.view.fitting(part, &sizes, system, true);
                let street = self.world.fitting(made, tag);
                self.world.join(end, self.world.opening(street, 1), tag);
                end = self.world.opening(street, 0);
            }
            ends.push(end);
        }
        let sizes: Vec<Word> = ends.iter().map(|end| self.size(*end)).collect();
        let made = self.view.network_part(&meeting.part, &sizes, system);
        let fitting = self.world.fitting(made, tag);
        for (index, end) in ends.into_iter().enumerate() {
            self.world.join(end, self.world.opening(fitting, index), tag);
        }
    }

    /// A fitting between two runs, in the larger size; the smaller one enters it through a bushing (D9).
    fn turn(&mut self, part: &str, system: SystemId, ends: [MouthId; 2], tag: Tag) {
        let [a, b] = ends.map(|end| self.size(end));
        let larger = if self.view.larger(a, b).is_ge() { a } else { b };
        let made = self.view.network_part(part, &[larger; 2], system);
        let fitting = self.world.fitting(made, tag);
        for (index, end) in ends.into_iter().enumerate() {
            let facing = self.bushed(system, end, larger, tag);
            self.world.join(facing, self.world.opening(fitting, index), tag);
        }
    }

    /// An end of tube made as large as a port: itself, or the spigot of a bushing on it.
    pub(crate) fn bushed(&mut self, system: SystemId, end: MouthId, port: Word, tag: Tag) -> MouthId {
        let size = self.size(end);
        if size == port {
            return end;
        }
        let made = self.view.fitting("bushing", &[port, size], system, true);
        let bushing = self.world.fitting(made, tag);
        self.world.join(end, self.world.opening(bushing, 1), tag);
        self.world.opening(bushing, 0)
    }
}
