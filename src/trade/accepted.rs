//! Rows of the table `job` that accept a notice. Only what is said; which notice it is, is found where all of them are
//! known, in the estimate.

use crate::ground::RowAt;

/// A row that accepts one notice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Accepted {
    /// The kind of the notice, as written.
    pub kind: Box<str>,
    /// Its cell, or the name it speaks of, as written.
    pub what: Box<str>,
    /// The row that says so.
    pub row: RowAt,
}
