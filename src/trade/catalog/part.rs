//! Parts: things bought, each a kind with its ports.

use super::port::{self, Fit, Port};
use crate::ground::notice::findings;
use crate::table::TableFile;
use crate::trade::lexicon::Word;
use crate::trade::reading::{Reading, Row, Text};
use crate::trade::shape::{table, words};

table! {
    /// The table `parts`.
    PARTS = "parts", Noticed, Column;
    /// A row of the parts table.
    Part(in_error) {
        name: Text = "part", required, Text, "the name of a thing that is bought";
            |row, at| row.needed_name(at);
        ports: Box<[Port]> = "ports", required, Text, "its openings in the order in which sizes are read: joint, joint, male thread 3/4; empty: none";
            ports;
        class: Class = "class", required, Text, "what allowances, labor and the order go by: tube, fitting, ring, valve...";
            |row, at| { row.needed(at); row.choice(at).unwrap_or(Class::Fitting) };
        used_as: Box<[UsedAs]> = "used as", optional, Text, "what the count takes it for: tee, elbow, coupling, cap...; several with semicolons";
            |row, at| row.choices(at);
        also: Box<[Word]> = "also called", optional, Text, "other names of the trade, parted by semicolons";
            |row, at| row.words(at);
        variant: Word = "variant", optional, Text, "which one of its kind: type L, brass";
            |row, at| row.word(at);
        section: Word = "section", optional, Text, "where a store keeps it";
            |row, at| row.word(at);
        supports: u32 = "supports", optional, Count, "supports that each one asks for";
            |row, at| row.count(at).unwrap_or(0);
        systems: Box<[Word]> = "system" ["systems"], optional, Text, "systems, tube families or fits it is made for, parted by semicolons; empty: all";
            |row, at| row.words(at);
        note: Text = "note", optional, Text, "a note";
            |row, at| row.kept(at);
    } beside {
        /// Its name as a word.
        word: Word; |row| row.lexicon.word(&name);
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

impl Class {
    /// Whether it is used up by joints in amounts, and has no size.
    pub const fn is_used_up(self) -> bool {
        match self {
            Self::Consumable => true,
            Self::Tube
            | Self::Fitting
            | Self::Ring
            | Self::Valve
            | Self::Device
            | Self::Manifold
            | Self::Support
            | Self::Cap
            | Self::Trim
            | Self::Tool => false,
        }
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
        /// Of drains: a level branch into an upright run; of vents either way up.
        SanitaryTee = "sanitary tee",
        /// The same with two branches opposite each other.
        DoubleSanitaryTee = "double sanitary tee",
        /// A branch of 45 degrees.
        Wye = "wye",
        /// Two of them opposite each other.
        DoubleWye = "double wye",
        /// A wye and an eighth bend in one: a branch of 90 degrees into a level run.
        Combination = "combination",
        /// A long turn of 90 degrees.
        LongSweep = "long sweep",
        /// A short turn of 90 degrees.
        QuarterBend = "quarter bend",
        /// A turn of 45 degrees that stands in the branch of a wye.
        StreetEighthBend = "street eighth bend",
        /// From a larger socket to a smaller tube.
        Bushing = "bushing",
        /// On an open end of a drain while it is tested.
        TestCap = "test cap",
        /// Opens a drain both ways.
        TwoWayCleanout = "two-way cleanout",
        /// Under a toilet, from a level drain up to the floor.
        ClosetBend = "closet bend",
        /// On the floor, under a toilet: what stands under it is upright.
        ClosetFlange = "closet flange",
    }
}

impl UsedAs {
    /// Whether it is a fitting in which a run ties into another.
    pub const fn is_meeting(self) -> bool {
        match self {
            Self::Tee
            | Self::SanitaryTee
            | Self::DoubleSanitaryTee
            | Self::Wye
            | Self::DoubleWye
            | Self::Combination
            | Self::TwoWayCleanout => true,
            Self::Elbow
            | Self::EighthBend
            | Self::Coupling
            | Self::ReducingCoupling
            | Self::Cap
            | Self::Plug
            | Self::Adapter
            | Self::Transition
            | Self::Tube
            | Self::LongSweep
            | Self::QuarterBend
            | Self::StreetEighthBend
            | Self::Bushing
            | Self::TestCap
            | Self::ClosetBend
            | Self::ClosetFlange => false,
        }
    }
}

impl Part {
    /// Whether runs tie into each other in it: its sizes are written out, one for each opening.
    pub fn is_meeting(&self) -> bool {
        self.used_as.iter().any(|used| used.is_meeting())
    }

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
    reading.rows(file, &PARTS, |row| Some(Part::read(row)))
}

fn ports(row: &mut Row<'_, '_>, at: usize) -> Box<[Port]> {
    let written = row.text(at).to_owned();
    port::read(&written, row.lexicon).map(Vec::into).unwrap_or_else(|why| {
        row.trouble(at, unread_ports(&written, why));
        Box::default()
    })
}

findings! {
    /// Ports that cannot be read.
    fn unread_ports(found: &str, why: &str) = error("unread-ports",
        "ports is \"{found}\": {why}",
        "a list such as joint, male thread 3/4",
        "type joint, tube end, male thread, female thread, compression, closed or closed tube end for each opening, \
         parted by commas");
}
