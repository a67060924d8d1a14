//! Parts: things bought, each a kind with its ports.

use super::lexicon::Word;
use super::run::Service;
use crate::ground::{Length, RowAt};

/// The id of a part in the catalog.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PartId(pub u32);

/// What allowances, labor and the order go by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Class {
    /// Tube and pipe, by length.
    Tube,
    /// Fittings.
    Fitting,
    /// Rings of ring systems.
    Ring,
    /// Valves.
    Valve,
    /// Regulators, boxes, heads: things that have no allowance.
    Device,
    /// Manifolds.
    Manifold,
    /// Clips, straps, hangers, plates.
    Support,
    /// Solder, flux, cement, tape: no size.
    Consumable,
    /// Caps and plugs.
    Cap,
    /// What is set with the fixtures.
    Trim,
    /// Tools.
    Tool,
}

impl Class {
    /// All of them in the order in which sheets list them.
    pub const ALL: [Self; 11] = [
        Self::Tube,
        Self::Fitting,
        Self::Ring,
        Self::Valve,
        Self::Device,
        Self::Manifold,
        Self::Support,
        Self::Consumable,
        Self::Cap,
        Self::Trim,
        Self::Tool,
    ];

    /// The word for it in every table.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Tube => "tube",
            Self::Fitting => "fitting",
            Self::Ring => "ring",
            Self::Valve => "valve",
            Self::Device => "device",
            Self::Manifold => "manifold",
            Self::Support => "support",
            Self::Consumable => "consumable",
            Self::Cap => "cap",
            Self::Trim => "trim",
            Self::Tool => "tool",
        }
    }
}

/// Which part the engine takes where the network asks for one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum UsedAs {
    /// Where a run ties in.
    Tee,
    /// Where a run turns 90 degrees.
    Elbow,
    /// Where it turns 45 degrees.
    EighthBend,
    /// Where two tubes of one size meet.
    Coupling,
    /// Where two sizes meet.
    ReducingCoupling,
    /// On an open tube end (or, with a thread, on an open male thread).
    Cap,
    /// In an open socket (or, with a thread, in an open female thread).
    Plug,
    /// From tube to thread.
    Adapter,
    /// From one system to another.
    Transition,
    /// The tube itself.
    Tube,
}

impl UsedAs {
    /// All of them with the word for each in the parts table.
    pub const ALL: [(Self, &'static str); 10] = [
        (Self::Tee, "tee"),
        (Self::Elbow, "elbow"),
        (Self::EighthBend, "eighth bend"),
        (Self::Coupling, "coupling"),
        (Self::ReducingCoupling, "reducing coupling"),
        (Self::Cap, "cap"),
        (Self::Plug, "plug"),
        (Self::Adapter, "adapter"),
        (Self::Transition, "transition"),
        (Self::Tube, "tube"),
    ];
}

/// The two sides of a thread.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sex {
    /// Outside thread.
    Male,
    /// Inside thread.
    Female,
}

impl Sex {
    /// The one it screws into.
    pub const fn opposite(self) -> Self {
        match self {
            Self::Male => Self::Female,
            Self::Female => Self::Male,
        }
    }

    /// The word for it in the parts table.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Male => "male",
            Self::Female => "female",
        }
    }
}

/// How one opening of a part joins. A socket takes a tube end, whatever its shape (barb, cup, press...).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Fit {
    /// `joint`: the socket of the run's system, or of the system named (`copper-solder joint`).
    Joint(Option<Word>),
    /// `tube end`: a male end of the run's system (a street end, a spigot), or of the system named.
    TubeEnd(Option<Word>),
    /// `male thread`, `female thread`.
    Thread(Sex),
    /// `compression`: a nut and ferrule over a tube end of any system; it asks for nothing more.
    Compression,
    /// `closed`: nothing can join it, nothing need.
    Closed,
    /// `closed tube end`: shut in its phase, a male end later (a stop goes over a stub-out).
    ClosedTubeEnd,
}

/// What a port is called where the part has sides.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum PortName {
    /// It takes any service.
    Unnamed,
    /// It takes these services.
    Services(Box<[Service]>),
    /// The inlet of a manifold.
    In,
}

/// One opening of a part.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Port {
    /// What it is called.
    pub name: PortName,
    /// `plugged:` it is plugged where nothing fills it.
    pub plugged: bool,
    /// `site`: it is there on site already and is not bought.
    pub site: bool,
    /// How it joins.
    pub fit: Fit,
    /// A size of its own.
    pub size: Option<Word>,
}

/// A row of the parts table.
#[derive(Debug, Clone)]
pub struct Part {
    /// Where it stands.
    pub row: RowAt,
    /// Its name as first written.
    pub name: Box<str>,
    /// Its name as a word (folded).
    pub word: Word,
    /// Red, brass, type L...
    pub variant: Word,
    /// Its openings in the order in which sizes are read; a clip or a plate has none.
    pub ports: Box<[Port]>,
    /// What allowances and the order go by.
    pub class: Class,
    /// What the engine takes it for.
    pub used_as: Box<[UsedAs]>,
    /// Other names of the trade.
    pub also: Box<[Word]>,
    /// Where a store keeps it.
    pub section: Word,
    /// Supports that it asks for.
    pub supports: u32,
    /// From the center to the tube's end inside it.
    pub take_out: Option<Length>,
    /// Systems or tube families it is made for; empty: all.
    pub systems: Box<[Word]>,
    /// A note, as written.
    pub note: Box<str>,
}

impl Part {
    /// Whether it is there on site already and is not bought: all its ports are `site` ports.
    pub fn is_site(&self) -> bool {
        !self.ports.is_empty() && self.ports.iter().all(|port| port.site)
    }

    /// Whether what is bought depends on the run's system: it has a joint or tube end that names no system.
    pub fn takes_system(&self) -> bool {
        self.ports
            .iter()
            .any(|port| matches!(port.fit, Fit::Joint(None) | Fit::TubeEnd(None) | Fit::ClosedTubeEnd))
    }
}
