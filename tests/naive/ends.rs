//! What sits on the ends of runs: chains of parts, and what shuts the rest; what is put between two things is in `bridge`.
//! Rules 14, 16 and 17 of counting. Phase by phase: an end that is shut until a later phase is joined once in each.

use coilstick::ground::Length;
use coilstick::trade::{Adds, Class, Per, Phase, Word};
use rust_decimal::prelude::ToPrimitive;

use crate::build::{Builder, EndMet, EndSeen};
use crate::made::{Kin, Made, Shape};
use crate::meetings::{Meets, RunEnd};
use crate::paths::Attitude;
use crate::world::{Excuse, FittingId, MouthId, Tag};

/// A link of a chain.
#[derive(Debug, Clone)]
enum Link {
    Part(Made),
    Tube(Length),
}

/// An end of a run while its chain grows.
pub(crate) struct Growing {
    run: usize,
    end: RunEnd,
    /// What faces outward now, and since when.
    face: Option<(MouthId, Phase)>,
    /// What a written cap shuts, and since when.
    under_cap: Option<(MouthId, Phase)>,
    /// Further openings of its parts.
    side: Vec<(MouthId, Phase)>,
}

impl Builder<'_> {
    /// All ends of all runs, in the order of run names, so that ports are filled in that order (rule 15).
    pub(crate) fn finish_ends(&mut self) {
        for run in self.view.runs() {
            for end in [RunEnd::Start, RunEnd::End] {
                match self.met_in(run, end) {
                    Some(met) => self.early_parts(run, end, met),
                    None => self.finish_end(run, end),
                }
            }
        }
    }

    /// The links of a run's patterns at one end with their phases, those of a phase together, in the order written.
    fn links(&self, run: usize, end: RunEnd) -> Vec<(Phase, Link)> {
        let (size, system) = (self.view.size_at(run, end), self.view.system_id(run));
        let mut links = Vec::new();
        // At an upright end the turning under it stands instead (D11).
        let is_upright = self.view.of_drains(run) && self.view.attitude_at_end(run, end) == Attitude::Upright;
        let is_left_out = |made: &Made| {
            let part = made.part.map(|id| &self.view.job.catalog.parts[id.0 as usize]);
            is_upright && part.is_some_and(|part| self.view.is_used_as(part, "closet bend"))
        };
        for row in self.view.rows(run) {
            let here = match row.per {
                Per::Start => end == RunEnd::Start,
                Per::End => end == RunEnd::End,
                Per::Both => true,
                Per::Run
                | Per::Turn
                | Per::Bend
                | Per::Elbow
                | Per::Tap
                | Per::Place
                | Per::Length
                | Per::Column(_) => false,
            };
            if !here {
                continue;
            }
            let phase = row.phase.unwrap_or(self.view.run(run).phase());
            if let Adds::Tube(length) = row.adds {
                links.push((phase, Link::Tube(length)));
            } else if let Some((made, quantity)) = self.view.row_part(row, size, system)
                && (!made.openings.is_empty() || made.part.is_none())
                && !is_left_out(&made)
            {
                for _ in 0..quantity.to_u64().unwrap_or(0) {
                    links.push((phase, Link::Part(made.clone())));
                }
            }
        }
        links.sort_by_key(|(phase, _)| *phase);
        links
    }

    /// Whether an end that runs meet carries a part of an earlier phase.
    pub(crate) fn has_early_part(&self, run: usize, end: RunEnd) -> bool {
        let Some(met) = self.met_in(run, end) else { return false };
        self.links(run, end).iter().any(|(phase, _)| *phase < met)
    }

    /// On a met end only parts of a phase before every run that meets it are counted: temporary caps.
    fn early_parts(&mut self, run: usize, end: RunEnd, met: Phase) {
        let mut growing = self.growing(run, end);
        let links = self.links(run, end);
        if links.iter().all(|(phase, _)| *phase >= met) {
            self.cap_met_end(run, end);
            return;
        }
        let mut early: Vec<(Phase, Link)> = links.into_iter().filter(|(phase, _)| *phase < met).collect();
        self.lengthen(run, end, &mut early);
        if early.is_empty() {
            self.cap_met_end(run, end);
            return;
        }
        for (phase, link) in early {
            self.add_link(&mut growing, phase, link);
        }
        for (mouth, since) in growing.face.into_iter().chain(growing.side) {
            if self.world.is_open(mouth) && self.view.of_drains(run) {
                self.shut_for_test(run, end, mouth, self.shut_phase(run).max(since), true);
            }
            if self.world.is_open(mouth) {
                self.world.excuse(mouth, Excuse::Later);
            }
        }
    }

    fn growing(&self, run: usize, end: RunEnd) -> Growing {
        let face = Some((self.end(run, end), self.view.run(run).phase()));
        Growing { run, end, face, under_cap: None, side: Vec::new() }
    }

    /// An end that no run meets: its own chain first, then a port of the place, then what shuts it.
    fn finish_end(&mut self, run: usize, end: RunEnd) {
        let mut growing = self.growing(run, end);
        let mut links = self.links(run, end);
        self.lengthen(run, end, &mut links);
        for (index, (phase, link)) in links.iter().enumerate() {
            if matches!(link, Link::Part(made) if self.is_tube_cap(made)) {
                self.bridge_before_cap(&mut growing, &links[index + 1..], *phase);
            }
            self.add_link(&mut growing, *phase, link.clone());
        }
        if let Meets::Place(place) = self.view.meetings.of(run, end) {
            let faces = self.open_face(&growing, Phase::Trim).map(|(face, _)| face);
            let faces: Vec<MouthId> =
                faces.into_iter().chain(growing.side.iter().map(|(mouth, _)| *mouth)).collect();
            let port = if faces.is_empty() { None } else { self.choose_port(place, run, end, &faces) };
            if let Some((port, _)) = port {
                self.turn_to(&mut growing, &[port]);
            }
            if let Some((_, phase)) = port {
                self.turn_from_what_is_shut(&mut growing, phase.max(self.view.run(run).phase()));
            }
            let since = growing.face.or(growing.under_cap).map_or(Phase::Underground, |(_, since)| since);
            if let Some((port, phase)) = port
                && let phase = phase.max(since).max(self.view.run(run).phase())
                && self.open_face(&growing, phase).is_some()
            {
                self.connect(&mut growing, port, phase);
                growing.face = None;
            }
        }
        self.settle(&growing);
        self.beside.extend(growing.side.into_iter().map(|(mouth, phase)| (mouth, phase, run)));
    }

    /// Tube with nothing before it in a chain of the drain side lengthens the run's last piece (D13).
    fn lengthen(&mut self, run: usize, end: RunEnd, links: &mut Vec<(Phase, Link)>) {
        let (of_drains, phase) = (self.view.of_drains(run), self.view.run(run).phase());
        while let Some((of_link, Link::Tube(length))) = links.first().filter(|_| of_drains).cloned()
            && of_link <= phase
        {
            links.remove(0);
            let mouth = self.end(run, end);
            let tube = self.world.tube_of(mouth).expect("a run ends in tube");
            tube.length = tube.length.checked_add(length).expect("a piece of a house");
            tube.beyond = tube.beyond.checked_add(length).expect("a piece of a house");
        }
    }

    /// Turns another opening outward where that one mates with what comes and the face does not.
    fn turn_to(&self, growing: &mut Growing, targets: &[MouthId]) {
        let mates = |mouth: MouthId| {
            let open = self.as_joined_later(mouth);
            targets.iter().any(|one| {
                open.mates_with(self.world.mouth(*one).shape, self.world.mouth(*one).size, &self.world.kin)
            })
        };
        let Some((face, _)) = growing.face.filter(|(face, _)| !mates(*face)) else { return };
        if matches!(self.world.mouth(face).shape, Shape::ClosedTubeEnd(_)) {
            return;
        }
        if let Some(other) = growing.side.iter_mut().find(|(mouth, _)| mates(*mouth))
            && let Some(face) = &mut growing.face
        {
            std::mem::swap(other, face);
        }
    }

    /// Turns another opening outward where the face is shut through a phase: a stub-out behind a tee.
    fn turn_from_what_is_shut(&self, growing: &mut Growing, phase: Phase) {
        if self.open_face(growing, phase).is_some() || growing.side.is_empty() {
            return;
        }
        growing.face = Some(growing.side.remove(0));
    }

    /// What a part of a phase finds open: the face; a stub-out that was shut before; what a cap of an earlier phase shuts.
    fn open_face(&self, growing: &Growing, phase: Phase) -> Option<(MouthId, bool)> {
        match (growing.face, growing.under_cap) {
            (Some((face, since)), _) => match self.world.mouth(face).shape {
                Shape::ClosedTubeEnd(_) => (phase > since).then_some((face, true)),
                Shape::Closed => None,
                Shape::TubeEnd(_) | Shape::Socket(_) | Shape::Thread(_) | Shape::Compression => {
                    Some((face, false))
                }
            },
            (None, Some((mouth, since))) => (phase > since).then_some((mouth, true)),
            (None, None) => None,
        }
    }

    /// Whether a part is a cap on whatever tube stands open, written without a size: a temporary cap.
    fn is_tube_cap(&self, made: &Made) -> bool {
        self.view.class(made.part) == Class::Cap
            && made.written.is_empty()
            && matches!(made.openings.as_slice(), [one] if one.shape == Shape::Socket(made.system))
    }

    /// A temporary cap is of the tube that stands open when it is put on, in its size and system.
    fn as_cap_of_what_is_open(&self, growing: &Growing, phase: Phase, made: Made) -> Made {
        let Some((face, _)) = self.open_face(growing, phase).filter(|_| self.is_tube_cap(&made)) else {
            return made;
        };
        let mouth = self.world.mouth(face);
        if let (Shape::TubeEnd(system) | Shape::ClosedTubeEnd(system), Some(part)) = (mouth.shape, made.part)
        {
            return Made::of(&self.view, part, &[], mouth.size, system);
        }
        made
    }

    /// The reducer, transition and least piece before a part of a later phase stand at rough-in (the run's phase, if
    /// later), ahead of a temporary cap of that phase.
    fn bridge_before_cap(&mut self, growing: &mut Growing, rest: &[(Phase, Link)], phase: Phase) {
        let run = growing.run;
        if phase < self.view.cap_phase(run) {
            return;
        }
        let Some((_, false)) = self.open_face(growing, phase) else { return };
        let shapes: Vec<(Shape, Word)> = match rest.iter().find(|(later, _)| *later > phase) {
            Some((_, Link::Tube(_))) => return,
            Some((_, Link::Part(made))) => {
                let open = made.openings.iter().filter(|one| one.shape != Shape::Closed);
                open.map(|one| (one.shape, one.size)).collect()
            }
            None => {
                let Meets::Place(place) = self.view.meetings.of(run, growing.end) else { return };
                let faces: Vec<MouthId> =
                    growing.face.iter().chain(&growing.side).map(|(mouth, _)| *mouth).collect();
                let port = self.choose_port(place, run, growing.end, &faces);
                let later = port.filter(|(_, of_port)| (*of_port).max(self.view.run(run).phase()) > phase);
                later
                    .map(|(port, _)| (self.world.mouth(port).shape, self.world.mouth(port).size))
                    .into_iter()
                    .collect()
            }
        };
        // What comes later stands there as openings that nothing is joined to yet.
        let targets: Vec<MouthId> =
            shapes.into_iter().map(|(shape, size)| self.world.later_opening(shape, size)).collect();
        self.turn_to(growing, &targets);
        let Some((face, false)) = self.open_face(growing, phase) else { return };
        let is_shut = |one: &MouthId| matches!(self.world.mouth(*one).shape, Shape::ClosedTubeEnd(_));
        let mates = targets.iter().copied().find(|one| self.world.mates(face, *one));
        let Some(target) = mates.or_else(|| targets.iter().copied().find(|one| !is_shut(one))) else {
            return;
        };
        if matches!(self.world.mouth(target).shape, Shape::Socket(_) | Shape::Compression) {
            let facing = self.bridge(run, self.view.size_at(run, growing.end), face, target, phase);
            growing.face = Some((facing, phase));
        }
    }

    fn add_link(&mut self, growing: &mut Growing, phase: Phase, link: Link) {
        let tag = Tag { phase, ..self.tag(growing.run) };
        match link {
            Link::Tube(length) => {
                let stuff = self.view.stuff(growing.run, self.view.size_at(growing.run, growing.end));
                if self.open_face(growing, phase).is_none() {
                    return;
                }
                let [near, far] = self.world.tube(stuff, length, tag, false, false);
                self.connect(growing, near, phase);
                growing.face = Some((far, phase));
            }
            Link::Part(made) => {
                let made = self.as_cap_of_what_is_open(growing, phase, made);
                let fitting = self.world.fitting(made, tag);
                self.turn_to(growing, &self.world.free(fitting));
                let Some((face, _)) = self.open_face(growing, phase) else {
                    self.stands_astray(fitting);
                    return;
                };
                let Some(inlet) = self.inlet(face, fitting) else {
                    self.stands_astray(fitting);
                    return;
                };
                let sits_on = self.connect(growing, inlet, phase);
                self.face_outward(growing, fitting, sits_on, phase);
            }
        }
    }

    fn stands_astray(&mut self, fitting: FittingId) {
        for mouth in self.world.fittings[fitting.0].mouths.clone() {
            self.world.excuse(mouth, Excuse::Astray);
        }
    }

    /// The opening of a part that goes onto what is open: the first that mates, else the first at all.
    fn inlet(&mut self, face: MouthId, fitting: FittingId) -> Option<MouthId> {
        let free = self.world.free(fitting);
        let open = self.as_joined_later(face);
        free.iter()
            .copied()
            .find(|one| {
                open.mates_with(self.world.mouth(*one).shape, self.world.mouth(*one).size, &self.world.kin)
            })
            .or(free
                .iter()
                .copied()
                .find(|one| !matches!(self.world.mouth(*one).shape, Shape::ClosedTubeEnd(_))))
    }

    /// A face as a later phase finds it: a shut tube end is a tube end.
    fn as_joined_later(&self, face: MouthId) -> Facing {
        let mouth = self.world.mouth(face);
        let shape = match mouth.shape {
            Shape::ClosedTubeEnd(system) => Shape::TubeEnd(system),
            other @ (Shape::TubeEnd(_)
            | Shape::Socket(_)
            | Shape::Thread(_)
            | Shape::Compression
            | Shape::Closed) => other,
        };
        Facing { shape, size: mouth.size }
    }

    /// After a part went on: its next opening faces outward, further ones stand beside.
    fn face_outward(&mut self, growing: &mut Growing, fitting: FittingId, sits_on: MouthId, phase: Phase) {
        let mut free = self.world.free(fitting).into_iter();
        growing.face = free.next().map(|mouth| (mouth, phase));
        growing.side.extend(free.map(|mouth| (mouth, phase)));
        growing.under_cap = self.world.is_cap(&self.view, fitting).then_some((sits_on, phase));
    }

    /// Joins what is open to a target of a phase, with what must stand between; gives what the target sits on.
    fn connect(&mut self, growing: &mut Growing, target: MouthId, phase: Phase) -> MouthId {
        let run = growing.run;
        let (face, was_shut) = self.open_face(growing, phase).expect("asked before");
        if let Shape::ClosedTubeEnd(system) = self.world.mouth(face).shape {
            self.world.mouths[face.0].shape = Shape::TubeEnd(system);
        }
        let joined = phase.max(self.view.run(run).phase());
        // What stands open is shut at the end of its phase, no earlier than the end of the run is.
        let since = growing.face.map_or(Phase::Underground, |(_, since)| since);
        let shut_in = self.shut_phase(run).max(since);
        // What stands between comes when the end is shut for the test, unless it was shut already (rule 17).
        let between = if was_shut { joined } else { joined.min(shut_in) };
        let facing = self.bridge(run, self.view.size_at(run, growing.end), face, target, between);
        if phase > shut_in && !was_shut {
            self.shut(run, growing.end, facing, shut_in, true);
        }
        self.world.join(facing, target, Tag { phase: joined, ..self.tag(run) });
        facing
    }

    /// What no part and no port filled: met on site or elsewhere, or shut.
    fn settle(&mut self, growing: &Growing) {
        let (Some((face, since)), run, end) = (growing.face, growing.run, growing.end) else { return };
        let shape = self.world.mouth(face).shape;
        let is_tube = matches!(shape, Shape::TubeEnd(_));
        let closed_by_place = match self.view.meetings.of(run, end) {
            Meets::Place(place) => self.view.meetings.closes(place),
            Meets::Nothing | Meets::Run { .. } => false,
        };
        let alone = self.view.stands_alone(run);
        let root = end == RunEnd::Start && *self.view.meetings.of(run, end) == Meets::Nothing;
        if matches!(shape, Shape::Closed | Shape::ClosedTubeEnd(_)) {
            return;
        }
        if is_tube && alone {
            self.world.excuse(face, Excuse::Elsewhere);
            self.see(run, end, EndMet::Elsewhere, face, self.view.run(run).phase());
        } else if closed_by_place || (is_tube && root) {
            self.world.excuse(face, Excuse::OnSite);
            if is_tube {
                self.see(run, end, EndMet::OnSite, face, self.view.run(run).phase());
            }
        } else {
            // What a later part leaves open is shut with that part.
            self.shut(run, end, face, self.shut_phase(run).max(since), false);
        }
    }

    pub(crate) fn see(&mut self, run: usize, end: RunEnd, met: EndMet, face: MouthId, phase: Phase) {
        let row = self.view.run(run);
        self.seen.push(EndSeen {
            run: row.name.to_string(),
            end,
            met,
            size: self.view.text(self.world.mouth(face).size).to_owned(),
            service: row.service.word(),
            phase,
            copies: i64::from(row.copies()),
        });
    }
}

/// An opening by its shape and size.
struct Facing {
    shape: Shape,
    size: Word,
}

impl Facing {
    fn mates_with(&self, shape: Shape, size: Word, kin: &Kin) -> bool {
        self.size == size && self.shape.mates(shape, kin)
    }
}
