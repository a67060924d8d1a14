//! What is open at the test of a phase, and what shuts it: D12 of the rules for drains. A cap stays until something comes,
//! and the end is then joined once more. A system without a part used as test cap is tested with tools.

use coilstick::trade::Phase;

use crate::build::{Builder, EndMet};
use crate::made::{Made, Shape};
use crate::meetings::RunEnd;
use crate::world::{Excuse, MouthId, Tag};

impl Builder<'_> {
    /// When the ends of a run are shut unasked: of drains for the test of its own phase, else as rule 16 says.
    pub(crate) fn shut_phase(&self, run: usize) -> Phase {
        if self.view.of_drains(run) { self.view.run(run).phase() } else { self.view.cap_phase(run) }
    }

    /// Whether an end of the drain side that runs meet was open at a test: all of them are of later phases.
    pub(crate) fn is_open_at_test(&self, run: usize, end: RunEnd) -> bool {
        self.view.of_drains(run) && self.met_in(run, end).is_some_and(|met| self.view.run(run).phase() < met)
    }

    /// Shuts what a phase leaves open on the drain side; `comes` says that something will be joined to it later.
    pub(crate) fn shut_for_test(
        &mut self,
        run: usize,
        end: RunEnd,
        mouth: MouthId,
        phase: Phase,
        comes: bool,
    ) {
        let shape = self.world.mouth(mouth).shape;
        let (socket, of) = match shape {
            Shape::TubeEnd(of) => (false, of),
            Shape::Socket(of) => (true, of),
            Shape::Thread(_) | Shape::Compression | Shape::Closed | Shape::ClosedTubeEnd(_) => {
                self.close(mouth, self.view.system_id(run), Tag { phase, ..self.tag(run) });
                return;
            }
        };
        // What is set with the fixtures is tested by nobody.
        let cap =
            if phase == Phase::Trim { None } else { self.view.used_as("test cap", of).first().copied() };
        let Some(part) = cap else {
            if !comes {
                self.world.excuse(mouth, Excuse::OnSite);
                if !socket {
                    self.see(run, end, EndMet::OnSite, mouth, phase);
                }
            }
            return;
        };
        let tag = Tag { phase, ..self.tag(run) };
        let size = self.world.mouth(mouth).size;
        let fitting = self.world.fitting(Made::of(&self.view, part, &[], size, of), tag);
        let (over, inside) = (self.world.opening(fitting, 0), self.world.opening(fitting, 1));
        if socket {
            // Glued into a socket it sits there with its own tube end.
            self.world.mouths[inside.0].shape = Shape::TubeEnd(of);
            self.world.excuse(over, Excuse::Later);
            self.world.join(mouth, inside, tag);
        } else {
            self.world.join(mouth, over, tag);
            self.see(run, end, EndMet::Capped, mouth, phase);
        }
    }

    /// Caps on an end that runs of later phases meet, where no part stands on it before.
    pub(crate) fn cap_met_end(&mut self, run: usize, end: RunEnd) {
        if self.is_open_at_test(run, end) {
            let mouth = self.end(run, end);
            self.shut_for_test(run, end, mouth, self.view.run(run).phase(), true);
        }
    }
}
