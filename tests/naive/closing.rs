//! What is put on an open end: caps on tube, plugs in sockets, thread caps and thread plugs (rules 16 and 17 of counting). On the
//! drain side `test_caps` decides.

use coilstick::trade::{PartId, Phase, Sex, SystemId, UsedAs, Word};

use crate::build::{Builder, EndMet};
use crate::made::{Made, Shape};
use crate::meetings::RunEnd;
use crate::world::{Excuse, MouthId, Tag};

impl Builder<'_> {
    /// Shuts an end of a run, whether or not something comes to it later; a capped tube end is listed.
    pub(crate) fn shut(&mut self, run: usize, end: RunEnd, mouth: MouthId, phase: Phase, comes: bool) {
        if self.view.of_drains(run) {
            self.shut_for_test(run, end, mouth, phase, comes);
            return;
        }
        if matches!(self.world.mouth(mouth).shape, Shape::TubeEnd(_)) {
            self.see(run, end, EndMet::Capped, mouth, phase);
        }
        self.close(mouth, self.view.system_id(run), Tag { phase, ..self.tag(run) });
    }

    /// Puts on an open end what shuts it: a cap on a tube end, a plug in a socket, a thread cap or a thread plug.
    pub(crate) fn close(&mut self, mouth: MouthId, system: SystemId, tag: Tag) {
        let (shape, size) = (self.world.mouth(mouth).shape, self.world.mouth(mouth).size);
        let (used, wanted, system) = match shape {
            Shape::TubeEnd(of) => (UsedAs::Cap.word(), Shape::Socket(of), of),
            Shape::Socket(of) => (UsedAs::Plug.word(), Shape::TubeEnd(of), of),
            Shape::Thread(Sex::Male) => (UsedAs::Cap.word(), Shape::Thread(Sex::Female), system),
            Shape::Thread(Sex::Female) => (UsedAs::Plug.word(), Shape::Thread(Sex::Male), system),
            Shape::Compression | Shape::Closed | Shape::ClosedTubeEnd(_) => {
                self.world.excuse(mouth, Excuse::Later);
                return;
            }
        };
        let made = self.one_opening(used, wanted, size, system);
        let fitting = self.world.fitting(made, tag);
        let opening = self.world.opening(fitting, 0);
        self.world.join(mouth, opening, tag);
    }

    /// The first part used so that has the one opening wanted.
    pub(crate) fn one_opening(&self, used: &str, wanted: Shape, size: Word, system: SystemId) -> Made {
        let makes = |part: PartId| Made::of(&self.view, part, &[], size, system);
        let fits = |made: &Made| made.openings.len() == 1 && made.openings[0].shape == wanted;
        let found = self.view.used_as(used, system).into_iter().map(makes).find(fits);
        found.unwrap_or_else(|| {
            let mut made = Made::missing(&self.view, used, &[size], system);
            made.openings[0].shape = wanted;
            made
        })
    }

    /// Openings beside the way of the tube are shut with the end of their run, if they are there by then.
    pub(crate) fn close_beside(&mut self) {
        for (mouth, phase, run) in std::mem::take(&mut self.beside) {
            if !self.world.is_open(mouth) {
                continue;
            }
            let shut_in = self.shut_phase(run).max(phase);
            if self.view.of_drains(run) {
                self.shut_for_test(run, RunEnd::End, mouth, shut_in, false);
                continue;
            }
            self.close(mouth, self.view.system_id(run), Tag { phase: shut_in, ..self.tag(run) });
        }
    }
}
