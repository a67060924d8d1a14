//! What the table `job` says of drains: their fall.

use super::Column;
use super::item::ItemRow;
use crate::ground::RowAt;
use crate::ground::size::canonical;
use crate::trade::lexicon::{Lexicon, Word};
use crate::trade::run::Slope;

/// The fall of drains of a size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SlopeFor {
    /// The size; the empty word is all.
    pub size: Word,
    /// Whether larger ones are meant too.
    pub and_larger: bool,
    /// The fall.
    pub slope: Slope,
    /// The row that says so.
    pub row: RowAt,
}

impl SlopeFor {
    /// What stands behind the item where two jobs are compared.
    pub(super) fn heading(&self, lexicon: &Lexicon) -> String {
        match (lexicon.text(self.size), self.and_larger) {
            ("", _) => String::new(),
            (size, false) => format!(", {size}"),
            (size, true) => format!(", {size} and larger"),
        }
    }
}

/// Reads the item `slope`.
pub(super) fn slope(it: &mut ItemRow<'_, '_, '_>) {
    let Some(slope) = Slope::read(it.row.text(Column::Value)) else {
        it.wrong("a fall such as 1/4 (inches a foot), 1/4 in/ft, 2 % or 20 mm/m");
        return;
    };
    let said = it.of.trim().to_lowercase();
    let larger = ["and larger", "and up", "or larger"].into_iter().find_map(|words| said.strip_suffix(words));
    let size = canonical(larger.unwrap_or(&said).trim());
    if size.is_none() && !said.is_empty() {
        it.unknown_for(&["a size", "a size and larger: 3 and larger"]);
        return;
    }
    let size = size.map(|size| it.row.lexicon.word(&size)).unwrap_or_default();
    let (and_larger, row) = (larger.is_some(), it.row.at());
    let slopes = &mut it.settings.slopes;
    slopes.retain(|one| (one.size, one.and_larger) != (size, and_larger));
    slopes.push(SlopeFor { size, and_larger, slope, row });
}
