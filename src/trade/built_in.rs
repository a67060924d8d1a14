//! The program's own tables, part of the program, read through the same door as the user's.

use super::folder;
use crate::table::FoundTable;

/// The built-in tables by name; `new` prints them, jobs lay their own over them.
pub const TABLES: [(&str, &str); 8] = [
    ("parts", include_str!("../../templates/parts.csv")),
    ("systems", include_str!("../../templates/systems.csv")),
    ("sizes", include_str!("../../templates/sizes.csv")),
    ("joints", include_str!("../../templates/joints.csv")),
    ("supports", include_str!("../../templates/supports.csv")),
    ("fixtures", include_str!("../../templates/fixtures.csv")),
    ("patterns", include_str!("../../templates/patterns.csv")),
    ("ordinary", include_str!("../../templates/ordinary.csv")),
];

const SHOWN: [&str; 8] = [
    "built-in parts",
    "built-in systems",
    "built-in sizes",
    "built-in joints",
    "built-in supports",
    "built-in fixtures",
    "built-in patterns",
    "built-in ordinary",
];

/// Whether a file that a notice shows is one of these.
pub(super) fn is_shown_as(file: &str) -> bool {
    SHOWN.contains(&file)
}

/// The tables as the door takes them.
pub(super) fn tables() -> Vec<FoundTable> {
    TABLES.into_iter().zip(SHOWN).map(|((name, text), shown)| folder::text(name, shown, text)).collect()
}
