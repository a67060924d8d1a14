//! Builds one alternative: lays every run as tube, cuts it where something stands, and puts tees, elbows, reducers,
//! couplings and transitions where runs meet (rules 3, 4, 6, 8 to 12 and 26). Ends that no run meets are in `ends`.

use std::collections::BTreeMap;

use coilstick::ground::Length;
use coilstick::trade::{Fit, Phase, SystemId, UsedAs, Word};

use crate::layout::{Assembly, Laid, Lead, Stand, lay};
use crate::made::{Kin, Made, Shape};
use crate::meetings::{Meets, RunEnd};
use crate::places::PlacePart;
use crate::view::{Child, View};
use crate::world::{Excuse, FittingId, MouthId, Tag, World};

/// What becomes of an end that no part fills.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum EndMet {
    OnSite,
    Elsewhere,
    Capped,
}

/// An end of tube that no part fills.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct EndSeen {
    pub(crate) run: String,
    pub(crate) end: RunEnd,
    pub(crate) met: EndMet,
    pub(crate) size: String,
    pub(crate) service: &'static str,
    pub(crate) phase: Phase,
    pub(crate) copies: i64,
}

/// One alternative while it is built.
pub(crate) struct Builder<'a> {
    pub(crate) view: View<'a>,
    pub(crate) world: World,
    /// The two ends of each run.
    pub(crate) ends: BTreeMap<usize, [MouthId; 2]>,
    pub(crate) seen: Vec<EndSeen>,
    pub(crate) place_parts: Vec<PlacePart>,
    /// Openings that a part leaves beside the way of the tube, the phase of the part, and whose they are.
    pub(crate) beside: Vec<(MouthId, Phase, usize)>,
    /// Whether a pattern row was left out: the estimate is incomplete.
    pub(crate) row_left_out: bool,
}

/// A cut in a run: what stands there between two ends of tube.
struct Cut {
    run: usize,
    left: MouthId,
    right: MouthId,
    stand: Stand,
}

/// Builds one alternative.
pub(crate) fn build(view: View<'_>) -> Builder<'_> {
    let mut builder = Builder {
        view,
        world: World { kin: Kin::of(view.job), ..World::default() },
        ends: BTreeMap::new(),
        seen: Vec::new(),
        place_parts: Vec::new(),
        beside: Vec::new(),
        row_left_out: false,
    };
    let mut cuts = Vec::new();
    for run in view.runs() {
        builder.lay_tube(run, &mut cuts);
    }
    for cut in cuts {
        builder.fill_cut(cut);
    }
    for run in view.runs() {
        builder.meet_at_end(run);
    }
    builder.stand_at_places();
    builder.finish_ends();
    builder.plug_spare_ports();
    builder.close_beside();
    builder.add_loose();
    builder
}

impl<'a> Builder<'a> {
    /// Whose a thing of a run is.
    pub(crate) fn tag(&self, run: usize) -> Tag {
        let row = self.view.run(run);
        Tag {
            phase: row.phase(),
            service: Some(row.service),
            area: row.area,
            copies: i64::from(row.copies()),
            run: Some(run),
        }
    }

    pub(crate) fn end(&self, run: usize, end: RunEnd) -> MouthId {
        match end {
            RunEnd::Start => self.ends[&run][0],
            RunEnd::End => self.ends[&run][1],
        }
    }

    /// The tube of a run, cut at each of its points.
    fn lay_tube(&mut self, run: usize, cuts: &mut Vec<Cut>) {
        let laid = lay(&self.view, run);
        assert!(laid.faults.is_empty(), "runs in error are left out before anything is built");
        self.row_left_out |= laid.row_left_out;
        let row = self.view.run(run);
        let (tag, no_joint) = (self.tag(run), row.no_joint);
        let own = self.view.stuff(run, row.size);
        let Laid { points, start_leads, end_leads, .. } = laid;
        // Which tube lies between two points: a lead's at the ends, else the run's own.
        let of_piece = |from: Length, to: Length| {
            let mut reach = 0;
            for lead in &start_leads {
                reach += lead.length.nanometres();
                if to.nanometres() <= reach {
                    return lead.stuff;
                }
            }
            let mut reach = row.length.nanometres();
            for lead in end_leads.iter().filter(|_| row.tail.is_none()) {
                reach -= lead.length.nanometres();
                if from.nanometres() >= reach {
                    return lead.stuff;
                }
            }
            own
        };
        let mut begun = Length::ZERO;
        let mut first = None;
        let mut open: Option<(MouthId, Stand)> = None;
        let stops = points.into_iter().map(|(at, stand)| (at, Some(stand))).chain([(row.length, None)]);
        for (at, stand) in stops {
            let piece = at.checked_sub(begun).expect("points go onward");
            let [left, right] = self.world.tube(of_piece(begun, at), piece, tag, no_joint, true);
            first.get_or_insert(left);
            if let Some((before, stand)) = open.take() {
                cuts.push(Cut { run, left: before, right: left, stand });
            }
            match stand {
                Some(stand) => open = Some((right, stand)),
                None => {
                    let last = self.lay_tail(run, right, &end_leads, cuts);
                    self.ends.insert(run, [first.expect("a run has tube"), last]);
                }
            }
            begun = at;
        }
    }

    /// The tail behind its reducing coupling; gives the run's last end.
    fn lay_tail(&mut self, run: usize, last: MouthId, leads: &[Lead], cuts: &mut Vec<Cut>) -> MouthId {
        let row = self.view.run(run);
        let (Some(tail), Some(smaller)) = (row.tail, row.reduce_to) else { return last };
        let tag = self.tag(run);
        let own = self.view.stuff(run, smaller);
        let own_length = leads
            .iter()
            .fold(tail, |rest, lead| rest.checked_sub(lead.length).expect("checked when laid out"));
        let [left, mut end] = self.world.tube(own, own_length, tag, row.no_joint, true);
        self.reduce(own.system, last, left, tag);
        for lead in leads.iter().rev() {
            let [begins, ends] = self.world.tube(lead.stuff, lead.length, tag, row.no_joint, true);
            cuts.push(Cut { run, left: end, right: begins, stand: lead.behind.clone() });
            end = ends;
        }
        end
    }

    fn fill_cut(&mut self, cut: Cut) {
        let Cut { run, left, right, stand } = cut;
        let system = self.view.system_id(run);
        let size = self.world.mouth(left).size;
        match stand {
            Stand::Tap(child) if self.view.of_drains(run) => self.tie_in(run, left, right, &[child]),
            Stand::Tap(child) => self.tap(run, left, right, child),
            Stand::Pair(one, other) => self.tie_in(run, left, right, &[one, other]),
            Stand::Reducer(of_run) => {
                // It is of the system of the tube that it reduces: that of the turning.
                let Shape::TubeEnd(system) = self.world.mouth(left).shape else {
                    panic!("a reducing coupling joins tube ends")
                };
                self.reduce(system, left, right, self.tag(of_run));
            }
            Stand::Turning(part) => self.two_way(&part, system, size, left, right, self.tag(run)),
            Stand::Transition(end) => {
                let parent =
                    self.view.meetings.parent(run, end).expect("a transition stands behind a parent");
                self.transition(self.view.system_id(parent), left, right, self.tag(run));
            }
            Stand::Elbow => self.two_way(UsedAs::Elbow.word(), system, size, left, right, self.tag(run)),
            Stand::EighthBend => {
                self.two_way(UsedAs::EighthBend.word(), system, size, left, right, self.tag(run))
            }
            Stand::InLine(assembly) => self.in_line(run, left, right, &assembly),
            Stand::Counted(made, phase) => {
                let tag = Tag { phase, ..self.tag(run) };
                let joints = made.openings.iter().filter(|opening| opening.shape != Shape::Closed).count();
                let fitting = self.world.fitting(made, tag);
                for _ in 0..joints {
                    self.world.declare(system, self.view.run(run).size, tag);
                }
                for mouth in self.world.fittings[fitting.0].mouths.clone().into_iter().chain([left, right]) {
                    self.world.excuse(mouth, Excuse::Declared);
                }
            }
        }
    }

    /// A fitting with two equal sockets between two ends of tube.
    pub(crate) fn two_way(
        &mut self,
        used: &str,
        system: SystemId,
        size: Word,
        left: MouthId,
        right: MouthId,
        tag: Tag,
    ) {
        let made = self.view.network_part(used, &[size, size], system);
        let fitting = self.world.fitting(made, tag);
        self.world.join(left, self.world.opening(fitting, 0), tag);
        self.world.join(right, self.world.opening(fitting, 1), tag);
    }

    /// A reducing coupling between two ends of tube of one system; its larger side is read first.
    pub(crate) fn reduce(&mut self, system: SystemId, a: MouthId, b: MouthId, tag: Tag) {
        let (first, second) = (self.world.mouth(a).size, self.world.mouth(b).size);
        let (larger, smaller) = if self.view.larger(first, second).is_ge() { (a, b) } else { (b, a) };
        let sizes = [self.world.mouth(larger).size, self.world.mouth(smaller).size];
        let made = self.view.network_part(UsedAs::ReducingCoupling.word(), &sizes, system);
        let fitting = self.world.fitting(made, tag);
        self.world.join(larger, self.world.opening(fitting, 0), tag);
        self.world.join(smaller, self.world.opening(fitting, 1), tag);
    }

    /// A transition between ends of tube of two systems; it is of the parent's system.
    pub(crate) fn transition(&mut self, parents: SystemId, a: MouthId, b: MouthId, tag: Tag) {
        let size = self.world.mouth(a).size;
        let system_of = |mouth: MouthId| match self.world.mouth(mouth).shape {
            Shape::TubeEnd(system) => system,
            other => panic!("a transition joins tube ends, not {other:?}"),
        };
        let (of_a, of_b) = (system_of(a), system_of(b));
        let other = if of_a == parents { of_b } else { of_a };
        let made = self.transition_part(parents, other, size);
        let to_a = self.opening_for(&made, of_a);
        let to_b = match self.opening_for(&made, of_b) {
            // A clamp takes any tube: the other side is the other opening.
            same if same == to_a => 1 - to_a,
            other => other,
        };
        let fitting = self.world.fitting(made, tag);
        self.world.join(a, self.world.opening(fitting, to_a), tag);
        self.world.join(b, self.world.opening(fitting, to_b), tag);
    }

    /// The opening of a transition that tube of a system sits in: its own before one that it shares.
    pub(crate) fn opening_for(&self, made: &Made, tube: SystemId) -> usize {
        let own = made.openings.iter().position(|one| one.shape == Shape::Socket(tube));
        let kin = &self.world.kin;
        let shared = || made.openings.iter().position(|one| one.shape.mates(Shape::TubeEnd(tube), kin));
        own.or_else(shared).expect("a transition has an opening for both systems")
    }

    /// The transition made for the first system, else the one made for the other; one whose opening is for the very
    /// system before one that the tube only sits in.
    pub(crate) fn transition_part(&self, first: SystemId, other: SystemId, size: Word) -> Made {
        for exactly in [true, false] {
            for (made_for, wanted) in [(first, other), (other, first)] {
                for part in self.view.used_as(UsedAs::Transition.word(), made_for) {
                    let mut made = Made::of(&self.view, part, &[], size, made_for);
                    let ports = &self.view.job.catalog.parts[part.0 as usize].ports;
                    let names = |index: usize, system: SystemId| match ports[index].fit {
                        Fit::Joint(Some(word)) => self.view.made_for(&[word], system),
                        Fit::Joint(None)
                        | Fit::TubeEnd(_)
                        | Fit::Thread(_)
                        | Fit::Compression
                        | Fit::Closed
                        | Fit::ClosedTubeEnd => false,
                    };
                    let own = |index: usize| {
                        let shape = made.openings[index].shape;
                        shape == Shape::Socket(made_for) || !exactly && shape == Shape::Compression
                    };
                    let is_for = |index: usize| {
                        let tube = Shape::TubeEnd(wanted);
                        names(index, wanted)
                            || !exactly && made.openings[index].shape.mates(tube, &self.world.kin)
                    };
                    if made.openings.len() != 2 {
                        continue;
                    }
                    let found = [(0, 1), (1, 0)].into_iter().find(|(near, far)| own(*near) && is_for(*far));
                    if let Some((_, far)) = found {
                        if names(far, wanted) {
                            made.openings[far].shape = Shape::Socket(wanted);
                        }
                        return made;
                    }
                }
            }
        }
        let mut made = Made::missing(&self.view, UsedAs::Transition.word(), &[size, size], first);
        made.openings[1].shape = Shape::Socket(other);
        made
    }

    /// A tee where a child ties in between the ends: parent, parent, child; it is the child's (rule 26).
    fn tap(&mut self, parent: usize, left: MouthId, right: MouthId, child: Child) {
        let branch = self.end(child.run, child.with);
        self.tee(self.view.system_id(parent), [left, right, branch], self.tag(child.run));
    }

    /// A tee over three ends of tube: run, run, branch. The larger run is read first.
    fn tee(&mut self, system: SystemId, ends: [MouthId; 3], tag: Tag) {
        let [first, second, branch] = ends;
        let size = |mouth: MouthId| self.world.mouth(mouth).size;
        let turned = self.view.larger(size(first), size(second)).is_lt();
        let [first, second] = if turned { [second, first] } else { [first, second] };
        let ends = [first, second, branch];
        let made = self.view.network_part(UsedAs::Tee.word(), &ends.map(size), system);
        let fitting = self.world.fitting(made, tag);
        for (index, end) in ends.into_iter().enumerate() {
            self.world.join(end, self.world.opening(fitting, index), tag);
        }
    }

    /// Parts in line between two ends of tube.
    fn in_line(&mut self, run: usize, left: MouthId, right: MouthId, assembly: &Assembly) {
        let (up, down) = assembly.faces();
        let mut fittings: Vec<(FittingId, Phase)> = Vec::new();
        for (made, phase) in &assembly.parts {
            let tag = Tag { phase: *phase, ..self.tag(run) };
            fittings.push((self.world.fitting(made.clone(), tag), *phase));
        }
        for (index, (mine, theirs)) in assembly.joined.iter().enumerate() {
            let (first, second) = (fittings[index], fittings[index + 1]);
            let tag = Tag { phase: first.1.max(second.1), ..self.tag(run) };
            let (a, b) = (self.world.opening(first.0, *mine), self.world.opening(second.0, *theirs));
            self.world.join(a, b, tag);
        }
        let last = fittings.len() - 1;
        for (tube, opening, (fitting, phase)) in [(left, up, fittings[0]), (right, down, fittings[last])] {
            let Some(opening) = opening else {
                self.beside.push((tube, phase, run));
                continue;
            };
            let target = self.world.opening(fitting, opening);
            let facing = self.bridge(run, self.view.run(run).size, tube, target, phase);
            self.world.join(facing, target, Tag { phase, ..self.tag(run) });
        }
        for (fitting, phase) in fittings {
            for mouth in self.world.free(fitting) {
                self.beside.push((mouth, phase, run));
            }
        }
    }

    /// What meets at the end of a run: nothing, one run that goes on, or two (rules 3 and 8).
    fn meet_at_end(&mut self, parent: usize) {
        if self.view.of_drains(parent) {
            self.meet_at_end_of_drain(parent);
            return;
        }
        let children = self.view.children_at_end(parent);
        let end = self.end(parent, RunEnd::End);
        let system = self.view.system_id(parent);
        match children.as_slice() {
            [] => {}
            [only] => self.go_on(parent, end, *only),
            [larger, smaller] => {
                let (first, second) =
                    (self.end(larger.run, larger.with), self.end(smaller.run, smaller.with));
                let bull = children.iter().any(|one| one.with == RunEnd::Start && self.view.is_bull(one.run));
                let ends = if bull { [first, second, end] } else { [end, first, second] };
                self.tee(system, ends, self.tag(smaller.run));
            }
            _ => panic!("three at one end are left out before anything is built"),
        }
    }

    /// One run goes on at the end of another: in one piece, or with a coupling, a transition or a reducing coupling.
    pub(crate) fn go_on(&mut self, parent: usize, end: MouthId, child: Child) {
        let begins = self.end(child.run, child.with);
        let tag = self.tag(child.run);
        let system = self.view.system_id(parent);
        let size = self.view.end_size(parent);
        if child.size != size {
            self.reduce(system, end, begins, tag);
            return;
        }
        if !self.view.sits_in(child.run, system) {
            self.transition(system, end, begins, tag);
            return;
        }
        if let Some(used) = self.elbow_at_beginning(child) {
            // Where two systems meet it is of the parent's (rule 8).
            self.two_way(used, system, size, end, begins, tag);
            return;
        }
        let same_tube = self.view.stuff(parent, size) == self.view.stuff(child.run, size);
        let same_joints = self.view.run(parent).no_joint == self.view.run(child.run).no_joint;
        let shut_before = [(parent, RunEnd::End), (child.run, child.with)]
            .into_iter()
            .any(|(run, end)| self.has_early_part(run, end) || self.is_open_at_test(run, end));
        if same_tube && same_joints && !shut_before {
            self.world.one_piece(end, begins);
        } else {
            self.seam(system, size, end, begins, tag);
        }
    }

    /// What turns a run of the water side where it goes on from another one (D1).
    fn elbow_at_beginning(&self, child: Child) -> Option<&'static str> {
        let row = self.view.run(child.run);
        let cuts = self.view.turns_are_elbows(child.run) && !row.no_joint;
        match self.view.change_at_beginning(child.run)? {
            90 => (self.view.elbows(child.run) > 0).then(|| UsedAs::Elbow.word()),
            _ => cuts.then(|| UsedAs::EighthBend.word()),
        }
    }

    /// Where one tube is joined to another of its kind: with a coupling, or (D10) by the joint alone.
    pub(crate) fn seam(&mut self, system: SystemId, size: Word, a: MouthId, b: MouthId, tag: Tag) {
        if self.view.seam_is_a_joint(system) {
            self.world.join_tubes(system, a, b, tag);
        } else {
            self.two_way(UsedAs::Coupling.word(), system, size, a, b, tag);
        }
    }

    /// The first phase in which a run meets an end; nothing where none does.
    pub(crate) fn met_in(&self, run: usize, end: RunEnd) -> Option<Phase> {
        let parent = match self.view.meetings.of(run, end) {
            Meets::Run { parent, .. } => Some(self.view.run(*parent).phase()),
            Meets::Nothing | Meets::Place(_) => None,
        };
        let children = match end {
            RunEnd::Start => None,
            RunEnd::End => {
                self.view.children_at_end(run).iter().map(|child| self.view.run(child.run).phase()).min()
            }
        };
        parent.into_iter().chain(children).min()
    }
}
