//! The table `code rules`: what a code asks of drains, vents, water and their parts, a row a figure. Which row speaks of a
//! case is decided here; what a job has is looked at by the floor of checks.

use rust_decimal::Decimal;

use super::Catalog;
use crate::table::TableFile;
use crate::trade::lexicon::Word;
use crate::trade::reading::{Reading, Row, Text};
use crate::trade::run::Slope;
use crate::trade::shape::{table, words};

words! {
    /// What a check looks at, as the table names it.
    pub enum CheckOf {
        /// Drainage units on a drain against what it carries at its size and slope.
        DrainCapacity = "drain capacity",
        /// The least fall of level drains.
        DrainSlope = "drain slope",
        /// A drain at a fixture.
        FixtureDrain = "fixture drain",
        /// A trap between a fixture and the drain.
        Trap = "trap",
        /// The least size of a trap and of the drain behind it, by fixture.
        TrapSize = "trap size",
        /// The way from a trap to its vent.
        TrapArm = "trap arm",
        /// The fall from a trap to its vent.
        TrapArmFall = "trap arm fall",
        /// How a trap is vented.
        TrapVent = "trap vent",
        /// The fixtures of a bathroom group, which may have one wet vent.
        BathroomGroup = "bathroom group",
        /// The least size of a vent.
        VentSize = "vent size",
        /// The drainage units that a vent airs.
        VentUnits = "vent units",
        /// The length of a vent to the open air.
        VentLength = "vent length",
        /// Where a vent ends.
        VentEnd = "vent end",
        /// How far a vent stands over the roof.
        VentAboveRoof = "vent above roof",
        /// How far apart cleanouts are.
        CleanoutSpacing = "cleanout spacing",
        /// A cleanout at the foot of a stack.
        StackCleanout = "stack cleanout",
        /// A cleanout of the building drain.
        DrainCleanout = "building drain cleanout",
        /// A fitting where the flow turns from level to upright.
        LevelToUpright = "level to upright",
        /// A fitting where the flow turns from upright to level.
        UprightToLevel = "upright to level",
        /// A fitting where the flow turns from level to level.
        LevelToLevel = "level to level",
        /// What may drain into a double sanitary tee.
        DoubleTee = "double sanitary tee",
        /// The height of a washer's standpipe.
        Standpipe = "standpipe",
        /// Static pressure without a regulator.
        StaticPressure = "static pressure",
        /// An expansion tank where a house is shut off from the main.
        ExpansionTank = "expansion tank",
        /// The line from a heater's relief valve.
        ReliefLine = "relief line",
        /// The drain of a heater's pan.
        PanDrain = "pan drain",
        /// Metal between plastic tube and a heater.
        MetalAtHeater = "metal at heater",
        /// A stop at a fixture.
        Stop = "stop",
        /// An arrester at a valve that shuts fast.
        HammerArrester = "hammer arrester",
        /// Plates over holes near the face of the wood.
        Plate = "protection plate",
        /// Spacing of supports of level tube.
        SupportAcross = "support across",
        /// Spacing of supports of risers.
        SupportUp = "support up",
        /// Heights of fixtures over the floor.
        FixtureHeight = "fixture height",
        /// Water supply fixture units on a tube.
        WaterUnits = "water units",
    }
}

words! {
    /// Whether a row gives the most or the least, and in what; or whether something is needed or not allowed.
    pub enum RuleUnit {
        /// Fixture units at most.
        MostUnits = "units at most",
        /// Feet at most.
        MostFeet = "ft at most",
        /// Inches at most.
        MostInches = "in at most",
        /// Pounds a square inch at most.
        MostPsi = "psi at most",
        /// Diameters of the pipe at most.
        MostDiameters = "diameters at most",
        /// Inches at least.
        LeastInches = "in at least",
        /// Inches a foot at least.
        LeastSlope = "in/ft at least",
        /// A share of the drain's diameter at least.
        LeastOfDrain = "of the drain at least",
        /// Must be there; with a value from so many feet on.
        Needed = "needed",
        /// Allowed without a limit.
        Allowed = "allowed",
        /// Allowed for drains of one fixture up to so many inches.
        AllowedForFixture = "in of a fixture drain at most",
        /// Not allowed.
        Never = "not allowed",
    }
}

words! {
    /// How well a figure is known.
    pub enum Status {
        /// Read in the published text.
        Found = "found",
        /// Read where others restate the text.
        Restated = "found-restated",
        /// Worked out from found figures.
        Computed = "computed",
        /// From memory: look it up before you rely on it.
        FromMemory = "from memory",
        /// What the trade does.
        CommonPractice = "common practice",
    }
}

table! {
    /// The table `code rules`.
    CODE_RULES = "code rules", Noticed, RuleColumn;
    /// A row of the table `code rules`: one figure of a code. An empty `of`, `size` or `slope` fits anything.
    CodeRule {
        family: Word = "code family", required, Text, "the code family whose rule it is: IRC, UPC, or your own";
            |row, at| { row.needed(at); row.word(at) };
        edition: Text = "edition", optional, Text, "its edition";
            |row, at| row.kept(at);
        section: Text = "section", optional, Text, "its section or table";
            |row, at| row.kept(at);
        check: Option<CheckOf> = "check", required, Text, "what it limits, as the program's own table code rules names it: drain capacity, trap arm, vent size";
            |row, at| { row.needed(at); row.choice(at) };
        of: Word = "of", optional, Text, "what it is of: branch, stack or building drain, a fixture, a fitting, a tube family";
            |row, at| row.word(at);
        size: Word = "size", optional, Size, "the size it is for";
            |row, at| row.size(at).unwrap_or_default();
        slope: Option<Slope> = "slope", optional, Text, "the fall it is for, in inches a foot: 1/4; between two rows the flatter one counts";
            slope;
        value: Option<Decimal> = "value", optional, Number, "the figure";
            |row, at| row.zero_or_more(at);
        unit: Option<RuleUnit> = "unit", required, Text, "what the figure is, and whether it is the most or the least: units at most, ft at most, in at least, needed, allowed, not allowed";
            |row, at| { row.needed(at); row.choice(at) };
        source: Text = "source", optional, Text, "where it is published";
            |row, at| row.kept(at);
        status: Option<Status> = "status", optional, Text, "found, found-restated, computed, from memory or common practice";
            |row, at| row.choice(at);
    }
}

/// What a rule is asked for: the case that a check looks at.
#[derive(Debug, Clone, Copy, Default)]
pub struct Case {
    /// What it is of.
    pub of: Word,
    /// The size.
    pub size: Word,
    /// The fall.
    pub slope: Option<Slope>,
    /// The kind of figure; nothing: any.
    pub unit: Option<RuleUnit>,
}

fn slope(row: &mut Row<'_, '_>, at: usize) -> Option<Slope> {
    let text = row.text(at).to_owned();
    let slope = Slope::read(&text);
    if slope.is_none() && !text.is_empty() {
        row.trouble(at, not_a_slope(&text));
    }
    slope
}

/// Reads a table of code rules; rows in error are left out with a notice.
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<CodeRule> {
    reading.rows(file, &CODE_RULES, |row| {
        let read = CodeRule::read(row);
        if let Some(unit) = read.unit
            && read.value.is_none()
            && !matches!(unit, RuleUnit::Needed | RuleUnit::Allowed | RuleUnit::Never)
        {
            row.trouble(RuleColumn::value, no_figure(unit.word()));
        }
        Some(read).filter(|_| !row.in_error())
    })
}

impl Catalog {
    /// The rule of a family that speaks of a case: the one with the most cells filled, of several the steepest that is no
    /// steeper than the drain, then the last.
    pub fn code_rule(&self, family: Word, check: CheckOf, case: Case) -> Option<&CodeRule> {
        let says = |cell: Word, is: Word| (!cell.is_empty()).then_some(cell == is);
        let weight = |row: &CodeRule| {
            let cells = [
                says(row.of, case.of),
                says(row.size, case.size),
                row.slope.map(|least| case.slope.is_some_and(|slope| slope >= least)),
                case.unit.map(|unit| row.unit == Some(unit)),
            ];
            super::drains::filled(&cells).map(|filled| (filled, row.slope))
        };
        let of = self.code_rules.iter().filter(|row| row.family == family && row.check == Some(check));
        let all = of.filter_map(|row| Some((weight(row)?, row)));
        all.max_by_key(|(weight, _)| *weight).map(|(_, row)| row)
    }
}

crate::ground::notice::findings! {
    /// A fall that is none.
    fn not_a_slope(found: &str) = error("unread-slope",
        "slope is {found}",
        "a fall in inches a foot: 1/4",
        "type the fall, or leave it empty");

    /// A rule without its figure.
    fn no_figure(unit: &str) = error("no-figure",
        "the rule has no value for \"{unit}\"",
        "a figure",
        "type the figure, or needed, allowed or not allowed as its unit");
}
