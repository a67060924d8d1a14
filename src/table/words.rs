//! The words of this floor's notices.

use crate::ground::{Notice, Severity, Spot};

/// What can be wrong with a table before anybody asks what it means.
pub(super) enum Trouble<'a> {
    /// The file could not be read.
    Unreadable { why: String },
    /// A column that nothing reads.
    UnknownHeading { heading: &'a str, nearest: Vec<&'a str>, table: &'a str },
    /// A heading that must be there is not.
    MissingHeading { heading: &'a str, table: &'a str },
    /// A cell that does not hold what its column holds.
    Misread { heading: &'a str, found: String, expected: &'static str, remedy: &'a str },
}

impl Trouble<'_> {
    /// The notice, in words.
    pub(super) fn word(self, spot: Spot) -> Notice {
        let (severity, kind, found, expected, remedy) = match self {
            Self::Unreadable { why } => (
                Severity::Error,
                "unreadable-table",
                format!("the table could not be read: {why}"),
                "a CSV file or a workbook".to_owned(),
                "save it again and name it again".to_owned(),
            ),
            Self::UnknownHeading { heading, nearest, table } => (
                Severity::Warning,
                "unknown-column",
                format!("the column \"{heading}\" is not read"),
                format!("a column of the table {table}"),
                match nearest.first() {
                    Some(name) => {
                        format!("type \"{name}\" if that is meant, or leave the column as your own")
                    }
                    None => "leave it as your own, or take it out".to_owned(),
                },
            ),
            Self::MissingHeading { heading, table } => (
                Severity::Error,
                "missing-column",
                format!("the table {table} has no column \"{heading}\""),
                format!("a heading \"{heading}\" in its first row"),
                format!("type \"{heading}\" over its column"),
            ),
            Self::Misread { heading, found, expected, remedy } => (
                Severity::Error,
                "misread-cell",
                format!("{heading} is \"{found}\""),
                expected.to_owned(),
                remedy.to_owned(),
            ),
        };
        Notice { severity, kind, spots: vec![spot], found, expected, remedy }
    }
}
