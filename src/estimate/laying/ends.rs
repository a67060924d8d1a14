//! The ends of runs: what patterns build on them, the port of a place that takes them, the cap on what stays open, phase
//! by phase (rules 14 to 17 of counting); and parts in line, which are built the same way between two ends.

use super::super::network::{End, Start};
use super::super::takeoff::{Because, EndMet};
use super::chain::{Chain, EndOf, Offer, Open, Standing, State, mates, nothing_to_fill, offers};
use super::findings;
use super::pieces::SegmentEnd;
use super::resolve::Resolved;
use super::rules::Rule;
use super::sheet::{Owner, port_sizes};
use super::{Laying, owner_of};
use crate::estimate::{Opening, PieceEnd, RunEnd, RunId};
use crate::ground::Length;
use crate::trade::Adds;
use crate::trade::{Attitude, Class, Fit, PartId, Phase, SystemId, UsedAs, Word};
use rust_decimal::prelude::ToPrimitive;

/// More of one part than any end of a house has.
const MOST_AT_AN_END: u32 = 100;

impl<'j> Laying<'j, '_> {
    /// Builds one end of a run. Gives the phase of a part on it that comes before the runs that meet it.
    pub(super) fn lay_end(
        &mut self,
        id: RunId,
        rules: &[Rule<'j>],
        which: RunEnd,
        piece: u32,
    ) -> Option<Phase> {
        let resolved = self.resolved(id);
        let end = self.end_of(id, &resolved, which);
        let own: Vec<(Phase, Rule<'j>)> = rules
            .iter()
            .filter(|rule| which.takes(rule.row.per) && rule.row.stands.is_none() && self.has_ports(rule))
            .map(|rule| (rule.row.phase.unwrap_or(resolved.phase), *rule))
            .collect();
        if !self.job.runs[id.index()].service.is_water() {
            let end = EndOf { piece: Some(piece), base: resolved.phase, ..end };
            return self.lay_tested_end((id, which), end, &own);
        }
        if self.is_met(id, which) {
            return self.lay_met_end(id, (piece, which), end, &own);
        }
        // The run's own parts take the end first; a port is filled by what they leave open.
        let last_own = last_phase(&own);
        let mut chain = Chain::of_tube(end);
        for phase in Phase::ALL {
            self.put_own(&mut chain, &own, which, phase);
            self.fill_port(&mut chain, which, phase, last_own);
            if phase < end.base {
                continue;
            }
            self.set_between(&mut chain, &own, which, phase, false);
            let later =
                own.iter().any(|(p, _)| *p > phase) || self.later_port(&chain, which, phase, last_own);
            self.close(&mut chain, id, which, phase, later);
        }
        self.stand_own(&chain, id, (piece, which));
        None
    }

    /// Takes down what the run's own end stands in, where no run meets it. Of a run that stands alone nobody knows what
    /// others put there.
    pub(super) fn stand_own(&mut self, chain: &Chain, id: RunId, end: SegmentEnd) {
        let is_alone = self.network.meets(id).start == Start::Alone;
        let free = if is_alone { PieceEnd::default() } else { PieceEnd::NoFitting };
        self.segments.stand(end, chain.own.unwrap_or(free));
    }

    pub(super) fn end_of(&self, id: RunId, resolved: &Resolved, which: RunEnd) -> EndOf {
        let size = if which == RunEnd::Start { resolved.size } else { resolved.end_size };
        EndOf {
            run: id,
            owner: owner_of(self.job, *resolved, id),
            system: resolved.system,
            size,
            variant: resolved.variant,
            color: resolved.color,
            base: resolved.phase.max(Phase::RoughIn),
            joins_from: resolved.phase,
            piece: None,
        }
    }

    /// Rule 16, fine print: parts of a phase before every run that meets the end are counted with their joints (the
    /// temporary cap); others are left out with a warning. What such parts leave open waits for the run that comes.
    fn lay_met_end(
        &mut self,
        id: RunId,
        (piece, which): SegmentEnd,
        end: EndOf,
        own: &[(Phase, Rule<'j>)],
    ) -> Option<Phase> {
        let mut earliest = None;
        let resolved = self.resolved(id);
        let lead = resolved.outermost(which);
        let system = lead.map_or(end.system, |lead| lead.system);
        let mut chain = Chain::of_tube_in(end, system);
        let mut own: Vec<&(Phase, Rule<'j>)> = own.iter().collect();
        own.sort_by_key(|(phase, _)| *phase);
        for (phase, rule) in own {
            if self.is_unmet(id, which, *phase) {
                self.put_one(&mut chain, *phase, *rule);
                earliest = Some(earliest.map_or(*phase, |e: Phase| e.min(*phase)));
            } else {
                let words = if which == RunEnd::Start { "beginning" } else { "end" };
                let (run, rule) = (self.job.runs[id.index()].row, rule.row.row);
                self.sheet.warn(findings::met_end_part(self.job, run, rule, words));
            }
        }
        if chain.is_built_on {
            self.segments.build_on((piece, which));
        }
        if earliest.is_some() {
            // The run that meets the end joins it once more; a spigot that waits on it is joined to nothing.
            self.sheet.male_ends(system, end.size, end.owner.copies);
            for one in chain.standing.iter().filter(|one| one.is_open()) {
                if let Open::Male(system, size) = one.open {
                    self.sheet.male_ends(system, size, -end.owner.copies);
                }
            }
        }
        earliest
    }

    pub(super) fn put_own(
        &mut self,
        chain: &mut Chain,
        own: &[(Phase, Rule<'j>)],
        which: RunEnd,
        phase: Phase,
    ) {
        let mut rest: Vec<Rule<'j>> =
            own.iter().filter(|(p, _)| *p == phase).map(|(_, rule)| *rule).collect();
        while !rest.is_empty() {
            let rule = rest.remove(self.next_in(chain, &rest, phase));
            if self.stands_under(chain, which, &rule) {
                continue;
            }
            self.doubt_flange(chain, which, &rule, own);
            if self.shuts_tube(&rule) && phase >= chain.end.base {
                self.set_between(chain, own, which, phase, true);
            }
            self.put_one(chain, phase, rule);
        }
    }

    /// Rule D11 of drains: at an end that is upright the turning under it stands for the closet bend.
    fn stands_under(&self, chain: &Chain, which: RunEnd, rule: &Rule<'j>) -> bool {
        self.is_used_as(rule, UsedAs::ClosetBend) && self.drain_lies(chain, which) == Some(Attitude::Upright)
    }

    /// A closet flange at a level end without a closet bend would lie on its edge.
    fn doubt_flange(&mut self, chain: &Chain, which: RunEnd, rule: &Rule<'j>, own: &[(Phase, Rule<'j>)]) {
        let has_bend = own.iter().any(|(_, other)| self.is_used_as(other, UsedAs::ClosetBend));
        let is_flange = self.is_used_as(rule, UsedAs::ClosetFlange);
        if is_flange && !has_bend && self.drain_lies(chain, which) == Some(Attitude::Level) {
            let run = self.job.runs[chain.end.run.index()].row;
            self.sheet.warn(findings::no_closet_bend(self.job, run, rule.row.row));
        }
    }

    /// How a drain or vent lies at one of its ends; nothing of water.
    fn drain_lies(&self, chain: &Chain, which: RunEnd) -> Option<Attitude> {
        let run = &self.job.runs[chain.end.run.index()];
        let course = if which == RunEnd::Start { run.begins() } else { run.ends() };
        (!run.service.is_water()).then_some(course.attitude)
    }

    fn is_used_as(&self, rule: &Rule<'j>, used: UsedAs) -> bool {
        rule.part.is_some_and(|part| self.job.catalog.part(part).used_as.contains(&used))
    }

    /// Whether a rule writes a cap on whatever tube stands open, without a size of its own: a temporary cap.
    fn shuts_tube(&self, rule: &Rule<'j>) -> bool {
        rule.row.sizes.is_empty()
            && rule.part.is_some_and(|part| {
                let part = self.job.catalog.part(part);
                part.class == Class::Cap && matches!(&*part.ports, [one] if one.fit == Fit::Joint(None))
            })
    }

    /// The system and the size of tube that a rule's part is for: those of the run; a cap's are those of the tube that it
    /// finds open.
    fn tube_for(&self, chain: &Chain, rule: &Rule<'j>, phase: Phase) -> (SystemId, Word) {
        let of_cap = if self.shuts_tube(rule) { chain.tube_open(phase) } else { None };
        of_cap.unwrap_or((chain.end.system, chain.end.size))
    }

    /// The next part in the order written; an adapter written behind a thread that the tube faces comes first, so that
    /// it is not doubled.
    fn next_in(&self, chain: &Chain, rest: &[Rule<'j>], phase: Phase) -> usize {
        if self.mates_at_once(chain, &rest[0], phase) {
            return 0;
        }
        let is_adapter = |rule: &Rule<'j>| self.is_used_as(rule, UsedAs::Adapter);
        rest.iter().position(|rule| is_adapter(rule) && self.mates_at_once(chain, rule, phase)).unwrap_or(0)
    }

    fn mates_at_once(&self, chain: &Chain, rule: &Rule<'j>, phase: Phase) -> bool {
        let Some(part) = rule.part else { return true };
        let tube = self.tube_for(chain, rule, phase);
        let (catalog, offers) = (&self.job.catalog, self.offers_of(part, &rule.row.sizes, tube));
        chain
            .choose(catalog, &offers, phase)
            .is_some_and(|(from, to)| mates(catalog, chain.standing[from].open, offers[to]))
    }

    fn offers_of(&self, part: PartId, given: &[Word], (system, size): (SystemId, Word)) -> Vec<Offer> {
        let part = self.job.catalog.part(part);
        offers(&self.sheet, &part.ports, &port_sizes(part, given, size), system)
    }

    fn put_one(&mut self, chain: &mut Chain, phase: Phase, rule: Rule<'j>) {
        let because = Because::Rule(rule.row.row);
        match (&rule.row.adds, rule.part) {
            (Adds::Tube(length), _) if chain.is_bare() && self.lengthens(chain, *length, phase, because) => {}
            (Adds::Tube(length), _) => {
                chain.put_tube(&mut self.sheet, *length, phase, because);
            }
            (Adds::Part(_, n), Some(part)) => {
                let Some(n) = n.to_u32().filter(|n| *n <= MOST_AT_AN_END) else {
                    let run = self.job.runs[chain.end.run.index()].row;
                    self.sheet.bar(chain.end.run, findings::too_many(self.job, run));
                    return;
                };
                let (system, size) = self.tube_for(chain, &rule, phase);
                let sizes = port_sizes(self.job.catalog.part(part), &rule.row.sizes, size);
                for _ in 0..n {
                    if !chain.put(&mut self.sheet, (part, system), &sizes, phase, because) {
                        nothing_to_fill(&mut self.sheet, chain.end.run, rule.row.row, part);
                    }
                }
            }
            (Adds::Part(..) | Adds::Nothing, _) => {}
        }
    }

    /// Rule D13 of drains: tube with nothing before it lengthens the run's own piece, in the run's phase. Whether it does.
    fn lengthens(&mut self, chain: &Chain, more: Length, phase: Phase, because: Because) -> bool {
        let Some(piece) = chain.end.piece.filter(|_| phase == chain.end.joins_from) else { return false };
        let Some(item) = self.segments.lengthen(piece, more) else { return false };
        self.sheet.tube_length(chain.end.owner, item, more, because);
        true
    }

    /// Rule 17: what a later phase needs between itself and the end (an adapter, a reducer) is set before the end is shut;
    /// before a written cap only what leaves tube open for it.
    pub(super) fn set_between(
        &mut self,
        chain: &mut Chain,
        own: &[(Phase, Rule<'j>)],
        which: RunEnd,
        phase: Phase,
        before_cap: bool,
    ) {
        let mut later: Vec<&(Phase, Rule<'j>)> = own.iter().filter(|(p, _)| *p > phase).collect();
        later.sort_by_key(|(p, _)| *p);
        let offers = match later.first() {
            Some((_, rule)) => match rule.part {
                Some(part) => self.offers_of(part, &rule.row.sizes, (chain.end.system, chain.end.size)),
                None => vec![Offer::Male(chain.end.system, chain.end.size)],
            },
            None => self.later_offer(chain, which, phase).into_iter().collect::<Vec<_>>(),
        };
        let Some((from, to)) = chain.choose(&self.job.catalog, &offers, phase) else { return };
        // An end that is shut already is opened by the later phase, which then brings what it needs.
        let takes_tube = matches!(offers[to], Offer::Socket(..) | Offer::Nut(_));
        if !chain.standing[from].is_open() || before_cap && !takes_tube {
            return;
        }
        let open = chain.take(&mut self.sheet, from);
        if let Some(open) = chain.reach(&mut self.sheet, open, offers[to], phase, Because::Between) {
            chain.standing.insert(from, Standing::open(open));
        }
    }

    /// What stands open at the end of a phase: closed by the main, met on site or elsewhere, or capped.
    fn close(&mut self, chain: &mut Chain, id: RunId, which: RunEnd, phase: Phase, later: bool) {
        if !chain.stands_open() {
            return;
        }
        let meets = self.network.meets(id);
        let place = self.place_at(id, which);
        let owner = chain.end.owner;
        let (alone, root) =
            (meets.start == Start::Alone, which == RunEnd::Start && meets.start == Start::Root);
        let closes = place.is_some_and(|place| self.network.places[place.index()].always);
        let open_ends: Vec<(SystemId, Word)> = chain
            .standing
            .iter()
            .filter_map(|one| match (one.state, one.open) {
                (State::Open, Open::Male(system, size)) => Some((system, size)),
                (State::Shut(_) | State::Plugged(_), _)
                | (State::Open, Open::Socket(..) | Open::Nut(_) | Open::Thread(..)) => None,
            })
            .collect();
        if (closes || alone || root) && !later {
            if root && chain.is_bare() {
                self.sheet.warn(findings::root(self.job, &self.job.runs[id.index()]));
            }
            // `main` and `sewer` close whatever touches them; else only ends of tube are met.
            let is_met = |one: &Standing| one.is_open() && (closes || matches!(one.open, Open::Male(..)));
            chain.standing.retain(|one| !is_met(one));
            let met = if alone { EndMet::Elsewhere } else { EndMet::OnSite };
            for (system, size) in open_ends {
                self.sheet.end(owner, id, which, met, system, size);
            }
            chain.cap(&mut self.sheet, phase);
        } else {
            if place.is_some() && !later {
                self.doubt_port(id, which);
            }
            chain.cap(&mut self.sheet, phase);
            for (system, size) in open_ends {
                self.sheet.end(owner.in_phase(phase), id, which, EndMet::Capped, system, size);
            }
        }
    }

    /// Whether a run meets an end (children, a parent, the run a return ties into).
    pub(super) fn is_met(&self, id: RunId, which: RunEnd) -> bool {
        let meets = self.network.meets(id);
        match which {
            RunEnd::Start => matches!(meets.start, Start::Run(_)),
            RunEnd::End => matches!(meets.end, End::Run(_)) || !meets.at_end.is_empty(),
        }
    }

    /// Whether no run has met an end yet in a phase.
    pub(super) fn is_unmet(&self, id: RunId, which: RunEnd, phase: Phase) -> bool {
        let meets = self.network.meets(id);
        let before = |run: RunId| phase < self.resolved(run).phase;
        match which {
            RunEnd::Start => match meets.start {
                Start::Run(parent) => before(parent),
                Start::Alone | Start::Root | Start::Place(_) => true,
            },
            RunEnd::End => {
                let parent = match meets.end {
                    End::Run(parent) => before(parent),
                    End::Free | End::Place(_) => true,
                };
                parent && meets.at_end.iter().all(|child| before(child.run))
            }
        }
    }

    /// Builds the first of some parts into the line of a run, with those that mate with it: one cut, its two tube ends
    /// joined to what is built. Gives what they stand in: of several parts together that is not known.
    pub(super) fn assemble(
        &mut self,
        id: RunId,
        resolved: &Resolved,
        parts: &mut Vec<(Rule<'j>, PartId)>,
        owner: Owner,
    ) -> [PieceEnd; 2] {
        let mut end = self.end_of(id, resolved, RunEnd::Start);
        (end.owner, end.joins_from) = (owner, Phase::Underground);
        let mut chain = Chain::of_tube(end);
        let tube = Offer::Male(resolved.system, resolved.size);
        let mut last = None;
        while !parts.is_empty() {
            let rules: Vec<Rule<'j>> = parts.iter().map(|(rule, _)| *rule).collect();
            let index = match last {
                None => self.next_in(&chain, &rules, resolved.phase),
                // Once a part stands, only what mates with it at once goes on; a socket takes the tube.
                Some(_) if chain.standing.iter().any(|one| mates(&self.job.catalog, one.open, tube)) => break,
                Some(_) => {
                    match rules.iter().position(|rule| self.mates_at_once(&chain, rule, resolved.phase)) {
                        Some(index) => index,
                        None => break,
                    }
                }
            };
            let (rule, part) = parts.remove(index);
            let phase = rule.row.phase.unwrap_or(resolved.phase);
            let sizes = port_sizes(self.job.catalog.part(part), &rule.row.sizes, resolved.size);
            let part_in = (part, resolved.system);
            if !chain.put(&mut self.sheet, part_in, &sizes, phase, Because::Rule(rule.row.row)) {
                nothing_to_fill(&mut self.sheet, id, rule.row.row, part);
            }
            last = Some((phase, rule));
        }
        let (phase, because) = match last {
            Some((phase, rule)) => (phase, Because::Rule(rule.row.row)),
            None => (resolved.phase, Because::Between),
        };
        let mut other_side = None;
        if let Some(index) = chain.standing.iter().position(Standing::is_open) {
            let open = chain.take(&mut self.sheet, index);
            if let (Open::Socket(system, size), Some(PieceEnd::NotKnown(Some(own)))) = (open, chain.own) {
                other_side = Some(PieceEnd::NotKnown(Some(Opening { system, size, ..own })));
            }
            if let Some(open) = chain.reach(&mut self.sheet, open, tube, phase, because) {
                chain.join(&mut self.sheet, open, tube, phase, because);
            }
        } else {
            let mut other = Chain::of_tube(end);
            other.cap(&mut self.sheet, end.base);
        }
        chain.cap(&mut self.sheet, end.base);
        let sides = [chain.own, other_side].map(|side| side.filter(|_| chain.parts == 1));
        sides.map(Option::unwrap_or_default)
    }
}

/// The last phase in which something is put on an end.
pub(super) fn last_phase(own: &[(Phase, Rule<'_>)]) -> Phase {
    own.iter().map(|(phase, _)| *phase).max().unwrap_or(Phase::Underground)
}
