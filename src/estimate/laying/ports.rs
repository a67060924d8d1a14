//! The ports of what stands at places, filled by the runs that meet them in the order of their names; and what becomes of
//! those that nothing fills (rules 15 and 23 of counting).

use super::super::network::{Child, End, Place, Start};
use super::super::takeoff::Because;
use super::Laying;
use super::chain::{Chain, Offer, mates, plug, stop_up, thread_cap};
use super::findings;
use super::places::{PlacedPart, PlacedPort};
use crate::estimate::{PlaceId, RunEnd, RunId};
use crate::ground::RowAt;
use crate::trade::PortName;
use crate::trade::{Class, Phase, Port, Service, UsedAs};

/// Where a port is: its place, which part there, which of its openings.
type PortAt = (PlaceId, usize, usize);

impl Laying<'_, '_> {
    /// The place that a run's end meets.
    pub(super) fn place_at(&self, id: RunId, which: RunEnd) -> Option<PlaceId> {
        let meets = self.network.meets(id);
        match (which, meets.start, meets.end) {
            (RunEnd::Start, Start::Place(place), _) | (RunEnd::End, _, End::Place(place)) => Some(place),
            _ => None,
        }
    }

    /// The open port for what stands at a run's end, in a phase or (with `later`) after it: ports that name the service
    /// before those that take any, among them those that it mates with at once, then as written.
    fn port_for(
        &self,
        end: &Chain,
        which: RunEnd,
        phase: Phase,
        last_own: Phase,
        later: bool,
    ) -> Option<PortAt> {
        let id = end.end.run;
        let place = self.place_at(id, which)?;
        let (service, own) = (self.job.runs[id.index()].service, self.resolved(id).phase);
        let inlet = which == RunEnd::End;
        let takes = |stand: &PlacedPart, port: &PlacedPort, named: bool| {
            let is_manifold = self.job.catalog.part(stand.part).class == Class::Manifold;
            let is_named = port.port.name != PortName::Unnamed;
            named == is_named && fits(&port.port, service, inlet, is_manifold) && !port.filled
        };
        let is_now = |stand: &PlacedPart| {
            let when = stand.owner.phase.max(own).max(last_own);
            if later { when > phase } else { when == phase }
        };
        let at_once =
            |port: &PlacedPort| end.standing.iter().any(|one| mates(&self.job.catalog, one.open, port.offer));
        for (named, direct) in [(true, true), (true, false), (false, true), (false, false)] {
            for (i, stand) in self.placed[place.index()].iter().enumerate() {
                let is_it = |port: &PlacedPort| takes(stand, port, named) && (!direct || at_once(port));
                if let Some(j) = stand.ports.iter().position(is_it) {
                    return is_now(stand).then_some((place, i, j));
                }
            }
        }
        None
    }

    /// Whether a later phase has a port for this end.
    pub(super) fn later_port(&self, end: &Chain, which: RunEnd, phase: Phase, last_own: Phase) -> bool {
        self.port_for(end, which, phase, last_own, true).is_some()
    }

    /// What that port offers.
    pub(super) fn later_offer(&self, end: &Chain, which: RunEnd, phase: Phase) -> Option<Offer> {
        let (place, stand, port) = self.port_for(end, which, phase, Phase::Underground, true)?;
        Some(self.placed[place.index()][stand].ports[port].offer)
    }

    /// A port of this phase takes what stands open, with what must stand between.
    pub(super) fn fill_port(&mut self, chain: &mut Chain, which: RunEnd, phase: Phase, last_own: Phase) {
        let Some((place, stand, port)) = self.port_for(chain, which, phase, last_own, false) else { return };
        let there = &self.placed[place.index()][stand];
        let (offer, because) = (there.ports[port].offer, Because::Rule(there.rule));
        let Some((from, _)) = chain.choose(&self.job.catalog, &[offer], phase) else { return };
        let open = chain.take(&mut self.sheet, from);
        if let Some(open) = chain.reach(&mut self.sheet, open, offer, phase, because) {
            if let Offer::Male(system, size) = offer {
                self.sheet.male_ends(system, size, chain.end.owner.copies);
            }
            chain.join(&mut self.sheet, open, offer, phase, because);
            let there = &self.placed[place.index()][stand];
            chain.stand_in(&self.job.catalog, (there.part, port), (offer, there.system), &there.sizes);
            chain.is_built_on = true;
        }
        self.placed[place.index()][stand].ports[port].filled = true;
    }

    /// What nothing filled: plugged where the trade plugs it, else doubtful. And runs that found no opening.
    pub(super) fn judge_places(&mut self) {
        for (index, placed) in std::mem::take(&mut self.placed).into_iter().enumerate() {
            let place = &self.network.places[index];
            let has_ports = placed.iter().any(|stand| !stand.ports.is_empty());
            // A run that is left out may bring what others meet there.
            if !place.always && !has_ports && place.left_out.is_empty() {
                self.judge_bare(place);
            }
            for stand in &placed {
                let is_manifold = self.job.catalog.part(stand.part).class == Class::Manifold;
                let copies = stand.owner.copies > 0;
                for port in stand.ports.iter().filter(|port| !port.filled && copies) {
                    // Of a side that the job has no runs of nothing is told.
                    if port.port.side().is_some_and(|side| !self.sides.contains(&side)) {
                        continue;
                    }
                    if port.port.plugged || is_manifold {
                        self.plug_port(stand, port, is_manifold);
                    } else if !matches!(port.offer, Offer::Shut(..)) && !self.is_left_out(place, port) {
                        let part = &*self.job.catalog.part(stand.part).name;
                        let port = port_words(&port.port);
                        let (spot, rule) = (stand.row, stand.rule);
                        self.sheet.warn(findings::unfilled_port(
                            self.job,
                            spot,
                            rule,
                            &place.name,
                            part,
                            port,
                        ));
                    }
                }
            }
        }
    }

    /// Whether a run that is left out would fill an opening.
    fn is_left_out(&self, place: &Place, port: &PlacedPort) -> bool {
        let fills = |child: &Child| {
            let service = self.job.runs[child.run.index()].service;
            fits(&port.port, service, child.by == RunEnd::End, false)
        };
        place.left_out.iter().any(fills)
    }

    fn plug_port(&mut self, stand: &PlacedPart, port: &PlacedPort, is_manifold: bool) {
        match port.offer {
            Offer::Socket(system, size) if is_manifold => {
                stop_up(&mut self.sheet, stand.owner, system, size, UsedAs::Cap, Because::Plugged);
            }
            Offer::Socket(system, size) => plug(&mut self.sheet, stand.owner, system, size, Because::Plugged),
            Offer::Thread(sex, size) => {
                thread_cap(&mut self.sheet, stand.owner, stand.system, sex, size, Because::Plugged);
            }
            Offer::Male(system, size) => {
                self.sheet.male_ends(system, size, stand.owner.copies);
                if let Some(part) = self.sheet.used(stand.owner.subject, system, UsedAs::Cap, "cap") {
                    self.sheet.part(stand.owner, part, system, &[size], 1, Because::Plugged);
                    self.sheet.joints(stand.owner, system, system, size, 1, Because::Plugged);
                }
            }
            Offer::Nut(_) | Offer::Shut(..) => {}
        }
    }

    /// A bare place is met once by ends and once by beginnings of each service.
    fn judge_bare(&mut self, place: &Place) {
        for list in [&place.ends, &place.starts] {
            for service in Service::ALL {
                let mut runs = list.iter().filter(|id| self.job.runs[id.index()].service == service);
                let Some(first) = runs.next() else { continue };
                let other = self.job.runs[first.index()].row;
                let more: Vec<RowAt> = runs.map(|id| self.job.runs[id.index()].row).collect();
                for run in more {
                    let place = &*place.name;
                    self.sheet.warn(findings::bare_met_twice(self.job, run, other, place, service.word()));
                }
            }
        }
    }

    /// A run's end at a place whose parts have no opening left for it.
    pub(super) fn doubt_port(&mut self, id: RunId, which: RunEnd) {
        let Some(place) = self.place_at(id, which) else { return };
        let has_ports = self.placed[place.index()].iter().any(|stand| !stand.ports.is_empty());
        let place = &self.network.places[place.index()];
        if has_ports && !place.always && place.left_out.is_empty() {
            let run = &self.job.runs[id.index()];
            self.sheet.warn(findings::no_port_left(self.job, run.row, &place.name, run.service.word()));
        }
    }
}

/// Whether a run of a service fills an opening: one that names the service, an inlet by its end, any other as it comes, but
/// of a manifold by its beginning alone.
fn fits(port: &Port, service: Service, inlet: bool, is_manifold: bool) -> bool {
    match &port.name {
        PortName::Services(services) => services.contains(&service),
        PortName::In => inlet,
        PortName::Unnamed => !(is_manifold && inlet),
    }
}

fn port_words(port: &Port) -> String {
    match &port.name {
        PortName::Unnamed => "open".to_owned(),
        PortName::In => "inlet".to_owned(),
        PortName::Services(services) => services.iter().map(|s| s.word()).collect::<Vec<_>>().join(" or "),
    }
}
