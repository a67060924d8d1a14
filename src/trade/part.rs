//! Parts: things bought, each a kind with its ports.

use super::lexicon::{Lexicon, Word};
use super::port;
use super::row::{Desk, Row, parts, pick};
use super::run::Service;
use super::shape::shape;
use super::words::Trouble;
use crate::ground::{Length, RowAt};
use crate::table::{Got, TableFile};

shape! {
    /// The table `parts`.
    PARTS = "parts", Noticed, Column {
        Name = "part", required, Text, "the name of a thing that is bought";
        Ports = "ports", required, Text, "its openings in the order in which sizes are read: joint, joint, male thread 3/4; empty: none";
        Class = "class", required, Text, "what allowances, labor and the order go by: tube, fitting, ring, valve...";
        UsedAs = "used as", optional, Text, "what the count takes it for: tee, elbow, coupling, cap...; several with semicolons";
        Also = "also called", optional, Text, "other names of the trade, parted by semicolons";
        Variant = "variant", optional, Text, "which one of its kind: type L, brass";
        Section = "section", optional, Text, "where a store keeps it";
        Supports = "supports", optional, Count, "supports that each one asks for";
        TakeOut = "take-out" ["takeout"], optional, Length, "from its center to the end of the tube inside it; not used yet";
        System = "system" ["systems"], optional, Text, "systems, tube families or fits it is made for, parted by semicolons; empty: all";
        Note = "note", optional, Text, "a note";
    }
}

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
    /// Whether a cell of the row was misread: what needs the part is left out.
    pub in_error: bool,
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

/// Reads a table of parts; rows in error stay in it, so that their names are known.
pub(super) fn read(file: &TableFile, desk: &mut Desk) -> Vec<Part> {
    let classes = Class::ALL.map(|class| (class, class.word()));
    let mut list = Vec::new();
    desk.read(file, &PARTS, |row, lexicon| list.push(read_row(row, lexicon, &classes)));
    list
}

fn read_row(row: &mut Row<'_, '_>, lexicon: &mut Lexicon, classes: &[(Class, &'static str)]) -> Part {
    let name = row.needed(Column::Name);
    let class = row.one_of(Column::Class, classes);
    if class == Got::Empty {
        row.empty(Column::Class);
    }
    let ports: Box<str> = row.text(Column::Ports).into();
    let ports = match port::read(&ports, lexicon) {
        Ok(ports) => ports.into(),
        Err(why) => {
            row.trouble(Column::Ports, Trouble::Ports { found: &ports, why });
            Box::default()
        }
    };
    let take_out = row.length(Column::TakeOut).value();
    if let Some(length) = take_out.filter(|length| *length < Length::ZERO) {
        row.trouble(
            Column::TakeOut,
            Trouble::NotPositive { heading: "take-out", found: &length.to_string() },
        );
    }
    let word = lexicon.word(&name);
    let mut part = Part {
        row: row.at(),
        in_error: false,
        word,
        name,
        variant: row.word(Column::Variant, lexicon),
        ports,
        class: class.value().unwrap_or(Class::Fitting),
        used_as: used_as(row),
        also: row.words(Column::Also, lexicon),
        section: row.word(Column::Section, lexicon),
        supports: row.count(Column::Supports).unwrap_or(0),
        take_out,
        systems: row.words(Column::System, lexicon),
        note: row.text(Column::Note).into(),
    };
    part.in_error = row.in_error();
    part
}

fn used_as(row: &mut Row<'_, '_>) -> Box<[UsedAs]> {
    let text: Box<str> = row.text(Column::UsedAs).into();
    let mut uses = Vec::new();
    for one in parts(&text) {
        match pick(one, &UsedAs::ALL) {
            Some(used) => uses.push(used),
            None => {
                let known = UsedAs::ALL.map(|(_, word)| word);
                row.trouble(
                    Column::UsedAs,
                    Trouble::UnknownWord { heading: "used as", found: one, known: &known },
                );
            }
        }
    }
    uses.into()
}
