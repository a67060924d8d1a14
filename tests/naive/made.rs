//! A part made ready to be joined: which part, in which system, each opening with its shape and size. Not yet installed.

use coilstick::trade::{Fit, PartId, PortName, Sex, SystemId, Word};

use crate::view::View;

/// Which systems' tube sits in each other's fittings, and whose joint it then makes.
#[derive(Debug, Clone, Default)]
pub(crate) struct Kin(Vec<Family>);

/// What decides that of one system.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Family {
    tube: String,
    fit: String,
    variant: String,
}

impl Kin {
    pub(crate) fn of(job: &coilstick::trade::Job) -> Self {
        let text = |word: Word| job.lexicon.text(word).to_owned();
        let family = |system: &coilstick::trade::System| Family {
            tube: text(system.tube),
            fit: text(system.fit),
            variant: text(system.variant),
        };
        Self(job.catalog.systems.iter().map(family).collect())
    }

    fn family(&self, system: SystemId) -> &Family {
        &self.0[system.0 as usize]
    }

    /// One tube, and one fit or one variant (rule 18); a system without a fit shares none.
    pub(crate) fn are(&self, a: SystemId, b: SystemId) -> bool {
        let (one, other) = (self.family(a), self.family(b));
        let one_fit = !one.fit.is_empty() && one.fit == other.fit;
        a == b || one.tube == other.tube && (one_fit || one.variant == other.variant)
    }

    /// Soldered in a cup, pressed in a press socket; in one fit as the tube is.
    pub(crate) fn joint(&self, tube: SystemId, fitting: SystemId) -> SystemId {
        if self.family(tube).fit == self.family(fitting).fit { tube } else { fitting }
    }
}

/// The shape of one opening, or of an end of tube.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shape {
    /// A tube end or spigot: the male of a system's joint.
    TubeEnd(SystemId),
    /// What a tube end of the system sits in.
    Socket(SystemId),
    Thread(Sex),
    /// A nut over a tube end of any system.
    Compression,
    /// Nothing can join it.
    Closed,
    /// Shut in its phase, a tube end later.
    ClosedTubeEnd(SystemId),
}

impl Shape {
    /// Whether two openings of one size join without anything between.
    pub(crate) fn mates(self, other: Self, kin: &Kin) -> bool {
        match (self, other) {
            (Self::TubeEnd(a), Self::Socket(b)) | (Self::Socket(a), Self::TubeEnd(b)) => kin.are(a, b),
            (Self::TubeEnd(_), Self::Compression) | (Self::Compression, Self::TubeEnd(_)) => true,
            (Self::Thread(a), Self::Thread(b)) => a == b.opposite(),
            (
                Self::TubeEnd(_)
                | Self::Socket(_)
                | Self::Thread(_)
                | Self::Compression
                | Self::Closed
                | Self::ClosedTubeEnd(_),
                _,
            ) => false,
        }
    }
}

/// An opening of a part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Opening {
    pub(crate) shape: Shape,
    pub(crate) size: Word,
    pub(crate) name: PortName,
    pub(crate) plugged: bool,
}

/// A part made ready.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Made {
    /// The part; nothing where no table has it in the system.
    pub(crate) part: Option<PartId>,
    /// What is missing, where it is.
    pub(crate) what: String,
    pub(crate) system: SystemId,
    pub(crate) openings: Vec<Opening>,
    /// The sizes written in its row, if any.
    pub(crate) written: Vec<Word>,
    /// The size of the run where it stands.
    pub(crate) stands_in: Word,
}

impl Made {
    /// A part with sizes as written: one for every opening, or one for each; none for the size where it stands.
    pub(crate) fn of(
        view: &View<'_>,
        part: PartId,
        written: &[Word],
        stands_in: Word,
        system: SystemId,
    ) -> Self {
        let row = &view.job.catalog.parts[part.0 as usize];
        let in_system =
            |named: Option<Word>| named.and_then(|word| view.system_meant(word, system)).unwrap_or(system);
        let openings = row.ports.iter().enumerate().map(|(index, port)| Opening {
            shape: match port.fit {
                Fit::Joint(named) => Shape::Socket(in_system(named)),
                Fit::TubeEnd(named) => Shape::TubeEnd(in_system(named)),
                Fit::Thread(sex) => Shape::Thread(sex),
                Fit::Compression => Shape::Compression,
                Fit::Closed => Shape::Closed,
                Fit::ClosedTubeEnd => Shape::ClosedTubeEnd(system),
            },
            size: port.size.unwrap_or(match written {
                [] => stands_in,
                [one] => *one,
                each => each.get(index).copied().unwrap_or(stands_in),
            }),
            name: port.name.clone(),
            plugged: port.plugged,
        });
        let openings = openings.collect();
        Self { part: Some(part), what: String::new(), system, openings, written: written.to_vec(), stands_in }
    }

    /// A fitting of the network that no table has: it joins, but is not counted.
    pub(crate) fn missing(view: &View<'_>, used: &str, sizes: &[Word], system: SystemId) -> Self {
        let texts: Vec<&str> = sizes.iter().map(|size| view.text(*size)).collect();
        let socket = |size: &Word| Opening {
            shape: Shape::Socket(system),
            size: *size,
            name: PortName::Unnamed,
            plugged: false,
        };
        Self {
            part: None,
            what: format!("{used} {}", texts.join(" x ")),
            system,
            openings: sizes.iter().map(socket).collect(),
            written: sizes.to_vec(),
            stands_in: sizes[0],
        }
    }

    /// A part of a pattern that no table has in the system.
    pub(crate) fn unknown(view: &View<'_>, word: Word, stands_in: Word, system: SystemId) -> Self {
        let what = view.text(word).to_owned();
        Self { part: None, what, system, openings: Vec::new(), written: Vec::new(), stands_in }
    }

    /// Whether two openings of two parts join without anything between.
    pub(crate) fn mates(&self, mine: usize, other: &Self, theirs: usize, kin: &Kin) -> bool {
        let (a, b) = (&self.openings[mine], &other.openings[theirs]);
        a.size == b.size && a.shape.mates(b.shape, kin)
    }
}
