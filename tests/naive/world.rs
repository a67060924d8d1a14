//! The things themselves: every piece of tube, every fitting, every opening, and every joint made between two of them.
//! It knows no rule of counting but what can be joined to what.

use coilstick::ground::Length;
use coilstick::trade::{Class, Phase, Service, SystemId, Word};

use crate::made::{Kin, Made, Shape};
use crate::view::{Stuff, View};

/// An end of tube or an opening of a fitting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct MouthId(pub(crate) usize);

/// A fitting that is there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct FittingId(pub(crate) usize);

/// Why an opening may stay without a joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Excuse {
    OnSite,
    Elsewhere,
    /// A port of a part at a place that nothing fills: a warning.
    Unfilled,
    /// A port declared met, or an end where a counted part cuts the tube.
    Declared,
    /// An opening that comes after the phase in which ends are capped.
    Later,
    /// A part of a chain that found nothing open to stand on.
    Astray,
}

#[derive(Debug, Clone)]
pub(crate) struct Mouth {
    pub(crate) shape: Shape,
    pub(crate) size: Word,
    /// The phase of each joint made on it.
    pub(crate) joined: Vec<Phase>,
    /// The mouth of the tube that goes on from here in one piece.
    pub(crate) goes_on: Option<MouthId>,
    pub(crate) excuse: Option<Excuse>,
}

/// Whose a thing is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Tag {
    pub(crate) phase: Phase,
    pub(crate) service: Option<Service>,
    pub(crate) area: Word,
    pub(crate) copies: i64,
    pub(crate) run: Option<usize>,
}

#[derive(Debug, Clone)]
pub(crate) struct Tube {
    pub(crate) stuff: Stuff,
    pub(crate) length: Length,
    pub(crate) run: usize,
    pub(crate) tag: Tag,
    pub(crate) no_joint: bool,
    pub(crate) mouths: [MouthId; 2],
    /// Whether it lies along its run, and is no extra piece of a chain or between two parts.
    pub(crate) along: bool,
    /// How much of it is beyond its run's length.
    pub(crate) beyond: Length,
}

#[derive(Debug, Clone)]
pub(crate) struct Fitting {
    pub(crate) made: Made,
    pub(crate) mouths: Vec<MouthId>,
    pub(crate) tag: Tag,
}

/// What makes a joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum JointKind {
    Of(SystemId),
    Thread,
    Compression,
}

#[derive(Debug, Clone)]
pub(crate) struct Joint {
    pub(crate) kind: JointKind,
    /// Whose tube is in it.
    pub(crate) tube: Option<SystemId>,
    pub(crate) size: Word,
    pub(crate) tag: Tag,
    /// Whether a counted part declares it.
    pub(crate) declared: bool,
    /// The two openings, where both are there.
    pub(crate) between: Option<(MouthId, MouthId)>,
    /// How many male ends it fills: two where tube is joined to tube.
    pub(crate) fills: i64,
}

impl Joint {
    /// A joint of a system's tube in its own fitting, whose openings are not there.
    fn alone(system: SystemId, size: Word, tag: Tag, declared: bool) -> Self {
        Self { kind: JointKind::Of(system), tube: Some(system), size, tag, declared, between: None, fills: 1 }
    }
}

/// So many of a part without openings.
#[derive(Debug, Clone)]
pub(crate) struct Loose {
    pub(crate) made: Made,
    pub(crate) quantity: rust_decimal::Decimal,
    pub(crate) tag: Tag,
}

/// Everything installed in one alternative.
#[derive(Debug, Default)]
pub(crate) struct World {
    pub(crate) kin: Kin,
    pub(crate) mouths: Vec<Mouth>,
    pub(crate) tubes: Vec<Tube>,
    pub(crate) fittings: Vec<Fitting>,
    pub(crate) joints: Vec<Joint>,
    pub(crate) loose: Vec<Loose>,
}

impl World {
    pub(crate) fn mouth(&self, id: MouthId) -> &Mouth {
        &self.mouths[id.0]
    }

    fn new_mouth(&mut self, shape: Shape, size: Word) -> MouthId {
        self.mouths.push(Mouth { shape, size, joined: Vec::new(), goes_on: None, excuse: None });
        MouthId(self.mouths.len() - 1)
    }

    /// An opening of something that comes later: it is built toward, and nothing is joined to it.
    pub(crate) fn later_opening(&mut self, shape: Shape, size: Word) -> MouthId {
        let mouth = self.new_mouth(shape, size);
        self.excuse(mouth, Excuse::Later);
        mouth
    }

    /// A piece of tube with its two ends.
    pub(crate) fn tube(
        &mut self,
        stuff: Stuff,
        length: Length,
        tag: Tag,
        no_joint: bool,
        along: bool,
    ) -> [MouthId; 2] {
        assert!(length > Length::ZERO, "no piece has length zero");
        let end = Shape::TubeEnd(stuff.system);
        let mouths = [self.new_mouth(end, stuff.size), self.new_mouth(end, stuff.size)];
        let run = tag.run.expect("tube belongs to a run");
        self.tubes.push(Tube { stuff, length, run, tag, no_joint, mouths, along, beyond: Length::ZERO });
        mouths
    }

    /// A fitting with its openings.
    pub(crate) fn fitting(&mut self, made: Made, tag: Tag) -> FittingId {
        let mouths = made.openings.iter().map(|opening| (opening.shape, opening.size)).collect::<Vec<_>>();
        let mouths = mouths.into_iter().map(|(shape, size)| self.new_mouth(shape, size)).collect();
        self.fittings.push(Fitting { made, mouths, tag });
        FittingId(self.fittings.len() - 1)
    }

    pub(crate) fn opening(&self, fitting: FittingId, index: usize) -> MouthId {
        self.fittings[fitting.0].mouths[index]
    }

    pub(crate) fn mates(&self, a: MouthId, b: MouthId) -> bool {
        let (a, b) = (self.mouth(a), self.mouth(b));
        a.size == b.size && a.shape.mates(b.shape, &self.kin)
    }

    /// Makes a joint between two openings that mate.
    pub(crate) fn join(&mut self, a: MouthId, b: MouthId, tag: Tag) {
        let (first, second) = (self.mouth(a).clone(), self.mouth(b).clone());
        assert!(self.mates(a, b), "these do not mate: {first:?} and {second:?}");
        let kind = match (first.shape, second.shape) {
            (Shape::TubeEnd(tube), Shape::Socket(fitting))
            | (Shape::Socket(fitting), Shape::TubeEnd(tube)) => JointKind::Of(self.kin.joint(tube, fitting)),
            (Shape::Thread(_), _) => JointKind::Thread,
            (
                Shape::TubeEnd(_)
                | Shape::Socket(_)
                | Shape::Compression
                | Shape::Closed
                | Shape::ClosedTubeEnd(_),
                _,
            ) => JointKind::Compression,
        };
        for mouth in [a, b] {
            self.mouths[mouth.0].joined.push(tag.phase);
        }
        let tube = [first.shape, second.shape].into_iter().find_map(|shape| match shape {
            Shape::TubeEnd(tube) => Some(tube),
            Shape::Socket(_) | Shape::Thread(_) | Shape::Compression => None,
            Shape::Closed | Shape::ClosedTubeEnd(_) => None,
        });
        let between = Some((a, b));
        self.joints.push(Joint { kind, tube, size: first.size, tag, declared: false, between, fills: 1 });
    }

    /// One joint that closes two ends of tube, where a system's seam is a joint and no part (D10).
    pub(crate) fn join_tubes(&mut self, system: SystemId, a: MouthId, b: MouthId, tag: Tag) {
        for mouth in [a, b] {
            self.mouths[mouth.0].joined.push(tag.phase);
        }
        let alone = Joint::alone(system, self.mouth(a).size, tag, false);
        self.joints.push(Joint { between: Some((a, b)), fills: 2, ..alone });
    }

    /// The same where a piece is longer than the stock length.
    pub(crate) fn split_by_joint(&mut self, system: SystemId, size: Word, tag: Tag) {
        self.joints.push(Joint { fills: 2, ..Joint::alone(system, size, tag, false) });
    }

    /// The tube that an end belongs to, if it is one.
    pub(crate) fn tube_of(&mut self, mouth: MouthId) -> Option<&mut Tube> {
        self.tubes.iter_mut().find(|tube| tube.mouths.contains(&mouth))
    }

    /// A joint that a counted part declares.
    pub(crate) fn declare(&mut self, system: SystemId, size: Word, tag: Tag) {
        self.joints.push(Joint::alone(system, size, tag, true));
    }

    /// A joint of a coupling in a piece that is longer than the stock length.
    pub(crate) fn split_joint(&mut self, system: SystemId, size: Word, tag: Tag) {
        self.joints.push(Joint::alone(system, size, tag, false));
    }

    /// Two tubes are one piece.
    pub(crate) fn one_piece(&mut self, a: MouthId, b: MouthId) {
        self.mouths[a.0].goes_on = Some(b);
        self.mouths[b.0].goes_on = Some(a);
    }

    pub(crate) fn excuse(&mut self, mouth: MouthId, excuse: Excuse) {
        self.mouths[mouth.0].excuse = Some(excuse);
    }

    /// Whether nothing is joined to it and nothing excuses that.
    pub(crate) fn is_open(&self, mouth: MouthId) -> bool {
        let mouth = self.mouth(mouth);
        mouth.joined.is_empty() && mouth.goes_on.is_none() && mouth.excuse.is_none()
    }

    /// The openings of a fitting that something can still join.
    pub(crate) fn free(&self, fitting: FittingId) -> Vec<MouthId> {
        let mouths = &self.fittings[fitting.0].mouths;
        mouths
            .iter()
            .copied()
            .filter(|one| self.is_open(*one) && self.mouth(*one).shape != Shape::Closed)
            .collect()
    }

    /// Whether a fitting only shuts what it sits on: a cap or plug with one opening.
    pub(crate) fn is_cap(&self, view: &View<'_>, fitting: FittingId) -> bool {
        let fitting = &self.fittings[fitting.0];
        fitting.mouths.len() == 1 && view.class(fitting.made.part) == Class::Cap
    }
}
