//! Parts: things bought, each a kind with its ports.

use super::port::{self, Fit, Port};
use crate::ground::{Length, RowAt};
use crate::table::TableFile;
use crate::trade::lexicon::Word;
use crate::trade::reading::findings::not_above_zero;
use crate::trade::reading::{Reading, Row};
use crate::trade::shape::{findings, shape, words};

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

words! {
    /// What allowances, labor and the order go by.
    pub enum Class {
        /// Tube and pipe, by length.
        Tube = "tube",
        /// Fittings.
        Fitting = "fitting",
        /// Rings of ring systems.
        Ring = "ring",
        /// Valves.
        Valve = "valve",
        /// Regulators, boxes, heads: things that have no allowance.
        Device = "device",
        /// Manifolds.
        Manifold = "manifold",
        /// Clips, straps, hangers, plates.
        Support = "support",
        /// Solder, flux, cement, tape: no size.
        Consumable = "consumable",
        /// Caps and plugs.
        Cap = "cap",
        /// What is set with the fixtures.
        Trim = "trim",
        /// Tools.
        Tool = "tool",
    }
}

words! {
    /// Which part the engine takes where the network asks for one.
    pub enum UsedAs {
        /// Where a run ties in.
        Tee = "tee",
        /// Where a run turns 90 degrees.
        Elbow = "elbow",
        /// Where it turns 45 degrees.
        EighthBend = "eighth bend",
        /// Where two tubes of one size meet.
        Coupling = "coupling",
        /// Where two sizes meet.
        ReducingCoupling = "reducing coupling",
        /// On an open tube end (or, with a thread, on an open male thread).
        Cap = "cap",
        /// In an open socket (or, with a thread, in an open female thread).
        Plug = "plug",
        /// From tube to thread.
        Adapter = "adapter",
        /// From one system to another.
        Transition = "transition",
        /// The tube itself.
        Tube = "tube",
    }
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
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<Part> {
    let mut list = Vec::new();
    reading.read(file, &PARTS, |row| list.push(read_row(row)));
    list
}

fn read_row(row: &mut Row<'_, '_>) -> Part {
    let name = row.needed(Column::Name);
    row.needed(Column::Class);
    let class = row.choice(Column::Class);
    let ports: Box<str> = row.text(Column::Ports).into();
    let ports = port::read(&ports, row.lexicon).unwrap_or_else(|why| {
        row.trouble(Column::Ports, unread_ports(&ports, why));
        Vec::new()
    });
    let take_out = row.length(Column::TakeOut).value();
    if let Some(length) = take_out.filter(|length| *length < Length::ZERO) {
        row.trouble(Column::TakeOut, not_above_zero("take-out", length));
    }
    let word = row.lexicon.word(&name);
    let mut part = Part {
        row: row.at(),
        in_error: false,
        word,
        name,
        variant: row.word(Column::Variant),
        ports: ports.into(),
        class: class.unwrap_or(Class::Fitting),
        used_as: row.choices(Column::UsedAs),
        also: row.words(Column::Also),
        section: row.word(Column::Section),
        supports: row.count(Column::Supports).unwrap_or(0),
        take_out,
        systems: row.words(Column::System),
        note: row.text(Column::Note).into(),
    };
    part.in_error = row.in_error();
    part
}

findings! {
    /// Ports that cannot be read.
    fn unread_ports(found: &str, why: &str) = error("unread-ports",
        "ports is \"{found}\": {why}",
        "a list such as joint, male thread 3/4",
        "type joint, tube end, male thread, female thread, compression, closed or closed tube end for each opening, \
         parted by commas");
}
