//! What is certain but doubtful in how runs meet: it is counted as written, with a warning. Called by the network once
//! nothing more is left out.

use super::findings;
use super::{Building, Child, End, Place, Start};
use crate::estimate::{RunEnd, RunId};
use crate::ground::Length;
use crate::trade::Service;

impl Building<'_> {
    /// What is certain but doubtful, once nothing more is left out.
    pub(super) fn warn(&mut self) {
        let mut doubts = Vec::new();
        let heats = self.heated_places();
        for id in self.laid() {
            let (run, meets) = (self.run(id), &self.meets[id.index()]);
            if run.copies() == 0 {
                doubts.push(findings::count_zero(self.job, run.row));
            }
            if run.bull && !self.stands_at_a_bull(id) {
                doubts.push(findings::bull_elsewhere(self.job, run.row));
            }
            let children = meets
                .taps
                .iter()
                .map(|tap| (tap.child, true))
                .chain(meets.at_end.iter().map(|c| (*c, false)));
            for (child, between) in children {
                let ties_in = child.by == RunEnd::End;
                let child = self.run(child.run);
                let fits = match (child.service, run.service) {
                    // A vent begins and ends on drains: that is what it is for.
                    (Service::Return, Service::Hot) | (Service::Vent, Service::Drain) => true,
                    // What goes round comes back to the heater by its cold opening.
                    (Service::Return, Service::Cold) => {
                        ties_in && self.feeds(id, child.to_at.unwrap_or(run.length), &heats)
                    }
                    (own, parent) => own == parent,
                };
                if !fits {
                    let (service, parent_service) = (child.service.word(), run.service.word());
                    doubts.push(findings::other_service(
                        self.job,
                        child.row,
                        run.row,
                        service,
                        parent_service,
                    ));
                }
                if between && child.phase() > run.phase() {
                    let (run, parent, parent_name) = (child.row, run.row, &*run.name);
                    doubts.push(findings::later_tap(self.job, run, parent, parent_name));
                }
            }
        }
        self.notices.extend(doubts);
    }

    /// For each place, whether it heats: a cold run ends there and a hot one begins.
    fn heated_places(&self) -> Vec<bool> {
        let flows = |runs: &[RunId], service| runs.iter().any(|run| self.run(*run).service == service);
        let heats = |place: &Place| flows(&place.ends, Service::Cold) && flows(&place.starts, Service::Hot);
        self.places().iter().map(heats).collect()
    }

    /// Whether all that flows in a run from a distance on goes to one of these places: neither it nor what it goes on in
    /// at its end sends any of its own service elsewhere.
    fn feeds(&self, id: RunId, from: Length, places: &[bool]) -> bool {
        let (mut id, mut from) = (id, from);
        loop {
            let (service, meets) = (self.run(id).service, &self.meets[id.index()]);
            let of_it = |child: &Child| child.by == RunEnd::Start && self.run(child.run).service == service;
            if meets.taps.iter().any(|tap| tap.at > from && of_it(&tap.child)) {
                return false;
            }
            let mut on = meets.at_end.iter().filter(|child| of_it(child));
            match (meets.end, on.next(), on.next()) {
                (End::Place(place), _, _) => return places[place.index()],
                // Rings are left out, so that the way on comes to an end.
                (End::Free, Some(child), None) => (id, from) = (child.run, Length::ZERO),
                (End::Free | End::Run(_), _, _) => return false,
            }
        }
    }

    /// Whether a run's beginning is one of two children at an end.
    fn stands_at_a_bull(&self, id: RunId) -> bool {
        match self.meets[id.index()].start {
            Start::Run(parent) => {
                let at_end = &self.meets[parent.index()].at_end;
                at_end.len() == 2 && at_end.iter().any(|c| c.run == id && c.by == RunEnd::Start)
            }
            Start::Alone | Start::Root | Start::Place(_) => false,
        }
    }
}
