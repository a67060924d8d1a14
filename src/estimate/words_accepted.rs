//! What is said of rows that accept a notice and accept none: every text of these stands here.

use crate::ground::{Notice, Severity, Spot};

/// Why a row accepts nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Unused {
    /// One of its cells is empty: for, or value.
    Empty { heading: &'static str },
    /// Nothing of the kind is said of the job; with what comes near it.
    UnknownKind { kind: String, nearest: Vec<String> },
    /// Nothing of the kind speaks of the cell or name; with where the kind stands.
    SpeaksOfNothing { kind: String, what: String, stands: Vec<Spot> },
    /// Several notices of the kind speak of the name, at these cells.
    Several { kind: String, what: String, stands: Vec<Spot> },
    /// It is an error, which stands there.
    Error { kind: String, at: Option<Spot> },
}

/// The most cells that a remedy names.
const CELLS: usize = 3;

impl Unused {
    /// The notice of the row: its cells of the kind and of what it names.
    pub(super) fn word(self, kind_cell: Spot, what_cell: Spot) -> Notice {
        let kind = "accepts-nothing";
        let expected =
            "the kind of a notice in for, and its cell or the name that it speaks of as value".to_owned();
        let (kind, spots, found, expected, remedy) = match self {
            Self::Empty { heading } => (
                kind,
                vec![if heading == "for" { kind_cell } else { what_cell }],
                format!("nothing is accepted by this row: {heading} is empty"),
                expected,
                "type the kind of the notice and its cell, as they stand beside each other".to_owned(),
            ),
            Self::UnknownKind { kind: of, nearest } => {
                let nearest: Vec<String> = nearest.iter().map(|one| format!("\"{one}\"")).collect();
                let remedy = match nearest.is_empty() {
                    true => "take the row out, or type the kind of a notice as it stands beside its cell"
                        .to_owned(),
                    false => format!("type {} if that is meant, or take the row out", nearest.join(" or ")),
                };
                let found =
                    format!("nothing is accepted by this row: the job has no notice of the kind \"{of}\"");
                (kind, vec![kind_cell], found, expected, remedy)
            }
            Self::SpeaksOfNothing { kind: of, what, stands } => (
                kind,
                vec![what_cell],
                format!(
                    "nothing is accepted by this row: no notice of the kind \"{of}\" speaks of \"{what}\""
                ),
                expected,
                format!("type where one stands, {}, or take the row out", cells(&stands)),
            ),
            Self::Several { kind: of, what, stands } => (
                kind,
                vec![what_cell],
                format!(
                    "nothing is accepted by this row: {} notices of the kind \"{of}\" speak of \"{what}\"",
                    stands.len()
                ),
                "a row for each notice that is accepted, by its cell".to_owned(),
                format!("type the cell: {}", cells(&stands)),
            ),
            Self::Error { kind: of, at } => {
                let at = at.map(|spot| format!(" at {spot}")).unwrap_or_default();
                (
                    "error-not-accepted",
                    vec![what_cell],
                    format!("\"{of}\"{at} is an error, and an error cannot be accepted"),
                    "a warning or a remark: what is in error is in no sum".to_owned(),
                    "mend what the error says, and take this row out".to_owned(),
                )
            }
        };
        Notice::new(Severity::Warning, kind, spots, found, expected, remedy)
    }
}

/// `prices.csv:D7, prices.csv:D9 or 4 more`.
fn cells(spots: &[Spot]) -> String {
    let named: Vec<String> = spots.iter().take(CELLS).map(ToString::to_string).collect();
    match spots.len().saturating_sub(CELLS) {
        0 => named.join(" or "),
        more => format!("{} or {more} more", named.join(", ")),
    }
}
