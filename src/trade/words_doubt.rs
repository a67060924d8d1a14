//! The words of notices about cells that may have been meant otherwise: misspelled names, values in the wrong cell,
//! figures out of the ordinary. Each says what may have been meant, so that what hangs on it can be shown. The other
//! notices of this floor are in `words`.

use rust_decimal::Decimal;

use super::judged::Slip;
use super::words::{Named, Trouble};
use crate::ground::{Instead, Notice, Severity, Spot};

/// What may have been meant otherwise.
#[derive(Debug, Clone)]
pub(super) enum Doubt<'a> {
    // Alternates.
    /// A word for nothing in a cell that names alternates.
    AlternateNone { found: &'a str },
    /// A word for yes where an alternate should be named.
    AlternateUnnamed { found: &'a str },
    // Names.
    /// A name that looks like another one misspelled; how many rows have it.
    LookAlike { what: &'a str, found: &'a str, other: &'a str, rows: usize },
    // The job.
    /// An item whose value stands in another cell of the row.
    ValueElsewhere { item: &'a str, found: &'a str, heading: &'a str },
    // Figures.
    /// A figure beyond any house.
    BeyondAHouse { heading: &'a str, found: &'a str, most: &'a str },
    /// A figure outside its limits, and what was probably meant.
    NotOrdinary { what: &'a str, found: &'a str, ordinary: &'a str, source: &'a str, meant: Option<String> },
    /// A figure that the other rows contradict, unless it is a slip of the pen.
    StandsOut { what: &'a str, found: &'a str, slip: Slip, others: usize, meant: &'a str },
    /// A row of limits of a figure that is not looked at.
    NoSuchFigure { found: &'a str, nearest: String },
    // Parts and systems.
    /// A row whose part is made for none of its systems.
    OtherSystem { part: &'a str, systems: &'a str, made_for: &'a str },
    /// A row of what is sold or on hand in a variant that its part does not have.
    OtherVariant { part: &'a str, found: &'a str, nearest: Option<&'a str> },
    /// Supports of a tube that no system and no size has.
    NoSuchTube { found: &'a str, nearest: Option<&'a str> },
    /// A value asked for in `only` that its column never has.
    NeverHeld { column: &'a str, found: &'a str, known: &'a str },
}

impl Doubt<'_> {
    /// The notice, in words, about these cells: the first is where to go, and what may have been meant is meant there.
    pub(super) fn word(self, spots: Vec<Spot>) -> Notice {
        // Of a column that the table does not have no cell can be read otherwise.
        let is_cell = spots.first().is_some_and(|spot| spot.column > 0);
        let meant = self.meant().filter(|_| is_cell);
        let (severity, kind, found, expected, remedy) = self.text();
        let notice = Notice::new(severity, kind, spots, found, expected, remedy);
        match meant {
            Some(meant) => notice.or_read(meant),
            None => notice,
        }
    }

    /// What may have been meant in the first cell.
    fn meant(&self) -> Option<String> {
        match self {
            // Any name will do: the row is then not in the base bid.
            Self::AlternateNone { found } => Some(format!("alternate {found}")),
            Self::ValueElsewhere { found, .. } => Some((*found).to_owned()),
            Self::NotOrdinary { meant, .. } => meant.clone(),
            Self::StandsOut { meant, .. } => Some((*meant).to_owned()),
            Self::OtherVariant { nearest, .. } | Self::NoSuchTube { nearest, .. } => {
                nearest.map(str::to_owned)
            }
            // Names stand in more cells than one: who notices them says in which.
            Self::AlternateUnnamed { .. }
            | Self::LookAlike { .. }
            | Self::BeyondAHouse { .. }
            | Self::NoSuchFigure { .. }
            | Self::OtherSystem { .. }
            | Self::NeverHeld { .. } => None,
        }
    }

    /// The table of all texts.
    fn text(self) -> (Severity, &'static str, String, String, String) {
        use Severity::{Error, Warning};
        match self {
            Self::AlternateNone { found } => (
                Warning,
                "alternate-none",
                format!("alternate is \"{found}\", which is read as nothing: the row is in the base bid"),
                "the name of the optional work that the row belongs to, or an empty cell".to_owned(),
                format!("empty the cell, or type \"alternate {found}\" if the work is optional"),
            ),
            Self::AlternateUnnamed { found } => (
                Error,
                "alternate-unnamed",
                format!("alternate is \"{found}\", which names no optional work"),
                "the name of the optional work that the row belongs to, or without and its name".to_owned(),
                "type the name of the alternate, the same in each of its rows, or empty the cell".to_owned(),
            ),
            Self::LookAlike { what, found, other, rows } => (
                Warning,
                "looks-like-another",
                match rows {
                    0 | 1 => format!("the {what} \"{found}\" stands in one row and looks like \"{other}\""),
                    rows => {
                        format!("the {what} \"{found}\" stands in {rows} rows and looks like \"{other}\"")
                    }
                },
                "one spelling for one thing".to_owned(),
                format!("type {other} if that is meant, or leave it"),
            ),
            Self::ValueElsewhere { item, found, heading } => (
                Error,
                "value-elsewhere",
                format!("{item} has no value, and {heading} is \"{found}\""),
                "what is said of the item under value".to_owned(),
                format!("move {found} from {heading} to value"),
            ),
            Self::BeyondAHouse { heading, found, most } => (
                Error,
                "beyond-a-house",
                format!("{heading} is {found}, which is beyond any house"),
                most.to_owned(),
                "look whether digits were typed twice, or two cells run together".to_owned(),
            ),
            Self::NotOrdinary { what, found, ordinary, source, meant } => (
                Warning,
                "out-of-the-ordinary",
                format!("{what} is {found}"),
                match source {
                    "" => format!("{ordinary}, as the table ordinary has it"),
                    source => format!("{ordinary} ({source})"),
                },
                match meant {
                    Some(meant) => format!("type {meant} if that is meant, or leave it"),
                    None => "look at it once more, or leave it".to_owned(),
                },
            ),
            Self::StandsOut { what, found, slip, others, meant } => (
                Warning,
                "unlike-the-others",
                format!(
                    "{what} is {found}, {} what {} to expect",
                    slip.in_words(),
                    match others {
                        1 => "the other row leads".to_owned(),
                        others => format!("{others} other rows lead"),
                    }
                ),
                "a figure in line with those of its like".to_owned(),
                format!("type {meant} if that is meant, or leave it"),
            ),
            Self::NoSuchFigure { found, nearest } => (
                Warning,
                "no-such-figure",
                format!("no figure goes by \"{found}\""),
                "a figure as the program's own table ordinary names it".to_owned(),
                match nearest.as_str() {
                    "" => "take the row out".to_owned(),
                    nearest => format!("type {nearest} if that is meant, or take the row out"),
                },
            ),
            Self::OtherSystem { part, systems, made_for } => (
                Warning,
                "part-of-another-system",
                format!(
                    "{part} is said for {systems}, and is made for {made_for}: nothing will use this row"
                ),
                "a system that the part is made for, or an empty cell".to_owned(),
                format!("type {made_for}, or the part that is meant"),
            ),
            Self::OtherVariant { part, found, nearest } => (
                Warning,
                "unknown-sold-variant",
                format!("no {part} has the variant \"{found}\": nothing will use this row"),
                "a variant of the part in the table parts, or an empty cell".to_owned(),
                type_or(nearest, "empty the cell"),
            ),
            Self::NoSuchTube { found, nearest } => (
                Warning,
                "unknown-tube",
                format!("no system and no size has the tube \"{found}\": nothing will use this row"),
                "a tube family of the table sizes".to_owned(),
                type_or(nearest, "take the row out"),
            ),
            Self::NeverHeld { column, found, known } => (
                Warning,
                "only-never",
                format!("only asks {column} for \"{found}\", which it never is: nothing will use this row"),
                known.to_owned(),
                format!("type one of these words behind {column}="),
            ),
        }
    }
}

impl Trouble<'_> {
    /// What may have been meant where something is written that is not known, or stands there twice.
    pub(super) fn otherwise(&self, spots: &[Spot]) -> Vec<Instead> {
        let Some(first) = spots.first() else { return Vec::new() };
        if let Self::RowTwice { .. } | Self::LaborTwice { .. } = self {
            let row = Spot { column: 0, ..first.clone() };
            return vec![Instead { spot: row, text: String::new() }];
        }
        let meant = if let Self::UnknownItem { nearest, .. } | Self::NoSuchArea { nearest, .. } = self {
            first_of(nearest)
        } else if let Self::UnknownName { what, nearest, .. } = self {
            first_of(nearest).filter(|_| what.stands_alone())
        } else if let Self::UnreadColumn { nearest, .. } = self {
            first_of(nearest)
        } else if let Self::PartOfAPoint { points, .. } = self {
            Some(*points)
        } else if let Self::TaxTooHigh { found } = self {
            return tax_meant(found).map(|text| Instead { spot: first.clone(), text }).into_iter().collect();
        } else {
            None
        };
        meant.map(|text| Instead { spot: first.clone(), text: text.to_owned() }).into_iter().collect()
    }
}

impl Slip {
    /// How far a figure is off.
    fn in_words(self) -> String {
        match self {
            Self::Over(times) => format!("about {times} times"),
            Self::Under(10) => "about a tenth of".to_owned(),
            Self::Under(100) => "about a hundredth of".to_owned(),
            Self::Under(times) => format!("about one in {times} of"),
            Self::Factor | Self::HundredAndPoints => "not".to_owned(),
        }
    }
}

impl Named {
    /// Whether the cell of such a name holds one name alone.
    const fn stands_alone(self) -> bool {
        match self {
            Self::SoldPart | Self::Supplier | Self::SoldColor | Self::Part | Self::Variant | Self::Joint => {
                true
            }
            Self::Pattern
            | Self::System
            | Self::SystemOrTube
            | Self::SoldSystem
            | Self::Size
            | Self::SoldSize
            | Self::Column => false,
        }
    }
}

fn type_or(nearest: Option<&str>, otherwise: &str) -> String {
    match nearest {
        Some(nearest) => format!("type {nearest} if that is meant, or {otherwise}"),
        None => otherwise.to_owned(),
    }
}

/// The tax that was probably meant by one that no state takes: 7.25 for 72.5 or 725.
fn tax_meant(found: &str) -> Option<String> {
    let written = Decimal::from_str_exact(found).ok()?;
    let ordinary = |meant: &Decimal| *meant <= Decimal::from(15);
    let mut meant = [Slip::Over(10), Slip::Over(100)].into_iter().filter_map(|slip| slip.mended(written));
    meant.find(ordinary).map(|meant| meant.to_string())
}

/// The first of some names that a text lists in quotation marks.
fn first_of(nearest: &str) -> Option<&str> {
    nearest.split('"').nth(1)
}
