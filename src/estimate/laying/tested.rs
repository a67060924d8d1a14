//! The ends of drains and vents: what stands open is closed for the test of every phase but trim, and opened again by what
//! comes later (rules D12 and D13 of drains).

use super::super::network::Start;
use super::super::takeoff::{Because, EndMet};
use super::Laying;
use super::chain::{Chain, EndOf, Open, Standing, State, thread_cap};
use super::ends::last_phase;
use super::findings;
use super::rules::Rule;
use super::sheet::{Sheet, port_sizes};
use crate::estimate::{RunEnd, RunId};
use crate::ground::Length;
use crate::trade::{Phase, UsedAs};

impl<'j> Laying<'j, '_> {
    /// Builds one end of a drain or vent, phase by phase: its own parts, the port of its place, test caps on what stands
    /// open. Gives the first phase whose test it stood through before the runs that meet it came.
    pub(super) fn lay_tested_end(
        &mut self,
        (id, which): (RunId, RunEnd),
        end: EndOf,
        own: &[(Phase, Rule<'j>)],
    ) -> Option<Phase> {
        let resolved = self.resolved(id);
        let is_met = self.is_met(id, which);
        let last_own = last_phase(own);
        let mut chain = self.bare_end(end, which, &resolved);
        let (mut waited, mut has_parts) = (None, false);
        for phase in Phase::ALL {
            if is_met && !self.is_unmet(id, which, phase) {
                self.doubt_met_parts(id, which, own, phase);
                continue;
            }
            has_parts |= own.iter().any(|(one, _)| *one == phase);
            self.put_own(&mut chain, own, which, phase);
            if !is_met {
                self.fill_port(&mut chain, which, phase, last_own);
            }
            if phase < resolved.phase {
                continue;
            }
            if is_met {
                waited = waited.or(Some(phase));
                self.close_for_test(&mut chain, id, which, phase);
                continue;
            }
            self.set_between(&mut chain, own, which, phase, false);
            let later =
                own.iter().any(|(p, _)| *p > phase) || self.later_port(&chain, which, phase, last_own);
            self.end_phase(&mut chain, id, which, phase, later);
        }
        self.cut_off(&chain);
        if let Some(piece) = end.piece {
            match (is_met, chain.is_built_on) {
                (true, true) => self.segments.build_on((piece, which)),
                (true, false) => {}
                (false, _) => self.stand_own(&chain, id, (piece, which)),
            }
        }
        if is_met {
            self.join_once_more(&chain, has_parts);
        } else {
            self.leave_plugged(&chain, id, which);
        }
        waited
    }

    /// The tube that an end begins with.
    fn bare_end(&self, end: EndOf, which: RunEnd, resolved: &super::resolve::Resolved) -> Chain {
        match resolved.outermost(which) {
            Some(lead) => Chain::of_tube_in(EndOf { size: lead.size, ..end }, lead.system),
            None => Chain::of_tube(end),
        }
    }

    /// Rule D9 of drains: the run's own piece is shorter by what a larger port asks for, unless that is all of it.
    fn cut_off(&mut self, chain: &Chain) {
        let (Some(piece), Some(less)) = (chain.end.piece, Length::ZERO.checked_sub(chain.cut_off)) else {
            return;
        };
        if less < Length::ZERO
            && let Some(item) = self.segments.lengthen(piece, less)
        {
            self.sheet.tube_length(chain.end.owner, item, less, Because::Between);
        }
    }

    /// Parts on an end that a run has met by their phase are left out, with a warning.
    fn doubt_met_parts(&mut self, id: RunId, which: RunEnd, own: &[(Phase, Rule<'j>)], phase: Phase) {
        for (_, rule) in own.iter().filter(|(one, _)| *one == phase) {
            let words = if which == RunEnd::Start { "beginning" } else { "end" };
            let (run, rule) = (self.job.runs[id.index()].row, rule.row.row);
            self.sheet.warn(findings::met_end_part(self.job, run, rule, words));
        }
    }

    /// The run that meets an end joins it: a male end once more where a cap was cut off it or parts stand on it; what is
    /// left over of those parts is joined to nothing.
    fn join_once_more(&mut self, chain: &Chain, has_parts: bool) {
        let copies = chain.end.owner.copies;
        let capped = |one: &Standing| matches!(one.state, State::Shut(_));
        if has_parts {
            self.sheet.male_ends(chain.end.system, chain.end.size, copies);
            for one in chain.standing.iter().filter(|one| !capped(one)) {
                if let Open::Male(system, size) = one.open {
                    self.sheet.male_ends(system, size, -copies);
                }
            }
            return;
        }
        for one in chain.standing.iter().filter(|one| capped(one)) {
            if let Open::Male(system, size) = one.open {
                self.sheet.male_ends(system, size, copies);
            }
        }
    }

    /// Ends that a tool closed and that nothing joins any more: nobody knows here what is to become of them.
    fn leave_plugged(&mut self, chain: &Chain, id: RunId, which: RunEnd) {
        for one in &chain.standing {
            if let (Open::Male(system, size), State::Plugged(since)) = (one.open, one.state) {
                let owner = chain.end.owner.in_phase(since);
                self.sheet.end(owner, id, which, EndMet::OnSite, system, size);
            }
        }
    }

    /// What stands open at the end of a phase: closed by the sewer or the open air, met on site or elsewhere, or closed for
    /// the test.
    fn end_phase(&mut self, chain: &mut Chain, id: RunId, which: RunEnd, phase: Phase, later: bool) {
        if !chain.stands_open() {
            return;
        }
        let meets = self.network.meets(id);
        let place = self.place_at(id, which);
        let (alone, root) =
            (meets.start == Start::Alone, which == RunEnd::Start && meets.start == Start::Root);
        let closes = place.is_some_and(|place| self.network.places[place.index()].always);
        if (closes || alone || root) && !later {
            if root && chain.is_bare() {
                self.sheet.warn(findings::root(self.job, &self.job.runs[id.index()]));
            }
            let met = if alone { EndMet::Elsewhere } else { EndMet::OnSite };
            self.meet_on_site(chain, id, which, (met, chain.end.owner.phase), closes);
        } else if place.is_some() && !later {
            self.doubt_port(id, which);
        }
        if phase == Phase::Trim {
            // What is set at trim is shut by its fixture.
            self.meet_on_site(chain, id, which, (EndMet::OnSite, phase), true);
        }
        self.close_for_test(chain, id, which, phase);
    }

    /// Ends of tube that are met: listed, and gone. What closes everything takes all that stands open.
    fn meet_on_site(
        &mut self,
        chain: &mut Chain,
        id: RunId,
        which: RunEnd,
        (met, phase): (EndMet, Phase),
        all: bool,
    ) {
        let owner = chain.end.owner.in_phase(phase);
        let is_met = |one: &Standing| one.is_open() && (all || matches!(one.open, Open::Male(..)));
        for one in chain.standing.iter().filter(|one| is_met(one)) {
            if let Open::Male(system, size) = one.open {
                self.sheet.end(owner, id, which, met, system, size);
            }
        }
        chain.standing.retain(|one| !is_met(one));
    }

    /// Rule D12: test caps on all that stands open, with their joints; where the system has none a tool closes it.
    fn close_for_test(&mut self, chain: &mut Chain, id: RunId, which: RunEnd, phase: Phase) {
        if phase == Phase::Trim {
            return;
        }
        let owner = chain.end.owner.in_phase(phase);
        for index in 0..chain.standing.len() {
            let Standing { open, state: State::Open } = chain.standing[index] else { continue };
            chain.standing[index].state = match open {
                Open::Male(system, size) => {
                    let state = cap_for_test(&mut self.sheet, chain, (open, phase));
                    let met = if state == State::Shut(phase) { EndMet::Capped } else { EndMet::Plugged };
                    self.sheet.end(owner, id, which, met, system, size);
                    state
                }
                Open::Socket(..) => cap_for_test(&mut self.sheet, chain, (open, phase)),
                Open::Thread(sex, size) => {
                    thread_cap(&mut self.sheet, owner, chain.end.system, sex, size, Because::TestCap);
                    State::Shut(phase)
                }
                // A nut is closed without a tube in it.
                Open::Nut(_) => State::Shut(phase),
            };
        }
    }
}

/// The system's test cap on an end of tube or in a socket; a plug that is a tool where it has none.
fn cap_for_test(sheet: &mut Sheet<'_, '_>, chain: &Chain, (open, phase): (Open, Phase)) -> State {
    let (Open::Male(system, size) | Open::Socket(system, size)) = open else { return State::Plugged(phase) };
    let Some(part) = sheet.tables.used(system, UsedAs::TestCap) else { return State::Plugged(phase) };
    let owner = chain.end.owner.in_phase(phase);
    let sizes = port_sizes(sheet.job.catalog.part(part), &[], size);
    sheet.part(owner, part, system, &sizes, 1, Because::TestCap);
    if matches!(open, Open::Socket(..)) {
        sheet.male_ends(system, size, owner.copies);
    }
    sheet.joints(owner, system, system, size, 1, Because::TestCap);
    State::Shut(phase)
}
