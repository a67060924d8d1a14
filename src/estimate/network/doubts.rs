//! What is certain but doubtful in how runs meet: it is counted as written, with a warning. Called by the network once
//! nothing more is left out.

use super::findings;
use super::{Building, Child, End, Place, Start};
use crate::estimate::{RunEnd, RunId};
use crate::ground::Length;
use crate::trade::{Meeting, Run, Service};

/// Where runs lead, as far as it is known: each is gone through once, however many returns tie into it.
struct Feeding {
    /// For each place, whether it heats.
    heats: Vec<bool>,
    /// For each run, where its last branch of its own service stands.
    last: Vec<Option<Length>>,
    /// For each run, whether all that flows in it goes to a place that heats.
    whole: Vec<Option<bool>>,
}

impl Building<'_> {
    /// What is certain but doubtful, once nothing more is left out.
    pub(super) fn warn(&mut self) {
        let mut doubts = Vec::new();
        let mut feeding = Feeding {
            heats: self.heated_places(),
            last: vec![None; self.meets.len()],
            whole: vec![None; self.meets.len()],
        };
        for id in self.laid() {
            let (run, meets) = (self.run(id), &self.meets[id.index()]);
            if run.service == Service::Vent
                && meets.end == End::Free
                && meets.at_end.is_empty()
                && run.to.is_none()
                && !self.has_parts_at_its_end(run)
            {
                doubts.push(findings::vent_ends_nowhere(self.job, run.row));
            }
            if let (Service::Drain, Start::Place(place)) = (run.service, meets.start)
                && !self.names.places[place.index()].always
            {
                doubts.push(findings::no_sewer(self.job, run.row, &self.names.places[place.index()].name));
            }
            if run.copies() == 0 {
                doubts.push(findings::count_zero(self.job, run.row));
            }
            if run.tee == Some(Meeting::Bull) && !self.stands_at_a_bull(id) {
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
                    // A vent begins on drains: that is what it is for.
                    (Service::Return, Service::Hot) | (Service::Vent, Service::Drain) => true,
                    // What does not go together there is an error, and is left out.
                    (Service::Drain | Service::Vent, _) => true,
                    // What goes round comes back to the heater by its cold opening.
                    (Service::Return, Service::Cold) => {
                        ties_in && self.feeds(id, child.to_at.unwrap_or(run.length), &mut feeding)
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

    /// Whether a pattern of a run puts something at its end, as an air admittance valve.
    fn has_parts_at_its_end(&self, run: &Run) -> bool {
        let mut patterns = run.patterns.iter().filter_map(|name| self.job.catalog.pattern_named(*name));
        patterns.any(|id| self.job.catalog.pattern(id).rows.iter().any(|row| row.at_an_end()))
    }

    /// For each place, whether it heats: a cold run ends there and a hot one begins.
    fn heated_places(&self) -> Vec<bool> {
        let flows = |runs: &[RunId], service| runs.iter().any(|run| self.run(*run).service == service);
        let heats = |place: &Place| flows(&place.ends, Service::Cold) && flows(&place.starts, Service::Hot);
        self.places().iter().map(heats).collect()
    }

    /// Whether all that flows in a run from a distance on goes to a place that heats: neither it nor what it goes on in at
    /// its end sends any of its own service elsewhere.
    fn feeds(&self, id: RunId, from: Length, feeding: &mut Feeding) -> bool {
        if self.last_branch(id, feeding) > from {
            return false;
        }
        // Rings are left out, so that the way on comes to an end.
        let (mut at, mut passed) = (id, Vec::new());
        let feeds = loop {
            let known = feeding.whole[at.index()].filter(|_| at != id);
            if let Some(known) = known {
                break known;
            }
            passed.push(at);
            if at != id && self.last_branch(at, feeding) > Length::ZERO {
                break false;
            }
            let mut on = self.meets[at.index()].at_end.iter().filter(|child| self.goes_on(at, child));
            match (self.meets[at.index()].end, on.next(), on.next()) {
                (End::Place(place), _, _) => break feeding.heats[place.index()],
                (End::Free, Some(child), None) => at = child.run,
                (End::Free | End::Run(_), _, _) => break false,
            }
        };
        // What is known of a run is so from its beginning on; of the first it is known from a distance on alone.
        for run in passed.into_iter().skip(1) {
            feeding.whole[run.index()] = Some(feeds);
        }
        feeds
    }

    /// Whether a child is the beginning of a run of the same service.
    fn goes_on(&self, id: RunId, child: &Child) -> bool {
        child.by == RunEnd::Start && self.run(child.run).service == self.run(id).service
    }

    /// How far along a run its last branch of its own service stands; nowhere is its beginning.
    fn last_branch(&self, id: RunId, feeding: &mut Feeding) -> Length {
        *feeding.last[id.index()].get_or_insert_with(|| {
            let taps = self.meets[id.index()].taps.iter().rev();
            taps.filter(|tap| self.goes_on(id, &tap.child)).map(|tap| tap.at).next().unwrap_or(Length::ZERO)
        })
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
