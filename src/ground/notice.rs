//! A notice: something wrong or doubtful in the user's tables, as a value that is collected and shown, never thrown.
//!
//! Each stage has a function for each of its notices, beside what finds it: that function is the one definition of the
//! notice, with its weight, its kind and its three texts, and gives a [`Finding`]. The command line draws them.

use super::hangs::Hangs;
use super::spot::{Instead, Spot};
use serde::Serialize;

/// How much a notice weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// The count is uncertain: what it touches is left out and the estimate is incomplete.
    Error,
    /// The count is certain but probably not what was meant.
    Warning,
    /// Good to know.
    Remark,
}

/// Something wrong or doubtful in the user's tables.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Notice {
    /// How much it weighs.
    pub severity: Severity,
    /// Its kind, in kebab case, the same in every version: `unknown-run`, `three-at-one-end`.
    pub kind: &'static str,
    /// The cells it speaks of; the first is where to go, the others are the other side.
    pub spots: Vec<Spot>,
    /// What was found, a whole sentence without a full stop at its end.
    pub found: String,
    /// What was expected there.
    pub expected: String,
    /// What to type or do.
    pub remedy: String,
    /// Cells that may have been meant otherwise, each with what may have been meant: read so, the job shows what hangs
    /// on the doubt. Empty where there is no other reading.
    pub otherwise: Vec<Instead>,
    /// What hangs on it; nothing where there is no other reading, or nobody weighed it.
    pub hangs: Option<Hangs>,
    /// The cell of the table `job` that accepts it.
    pub accepted: Option<Spot>,
}

impl Notice {
    /// A notice without another reading.
    pub fn new(
        severity: Severity,
        kind: &'static str,
        spots: Vec<Spot>,
        found: String,
        expected: String,
        remedy: String,
    ) -> Self {
        let (otherwise, hangs, accepted) = (Vec::new(), None, None);
        Self { severity, kind, spots, found, expected, remedy, otherwise, hangs, accepted }
    }

    /// The same notice, with what may have been meant in its first cell.
    #[must_use]
    pub fn or_read(mut self, text: impl Into<String>) -> Self {
        let text = text.into();
        self.otherwise.extend(self.spots.first().map(|spot| Instead { spot: spot.clone(), text }));
        self
    }

    /// Makes it a remark that a cell of the job accepts.
    pub fn accept(&mut self, by: Spot) {
        self.severity = Severity::Remark;
        self.remedy = format!("nothing: it is accepted in {by}");
        self.accepted = Some(by);
    }

    /// The same notice, with what may have been meant in several cells together.
    #[must_use]
    pub fn or_each(mut self, cells: impl IntoIterator<Item = Instead>) -> Self {
        self.otherwise.extend(cells);
        self
    }

    /// Shows its cells by the whole paths of their files, where two jobs have files of the same names.
    pub(crate) fn show_paths(&mut self) {
        self.spots.iter_mut().for_each(|spot| spot.file.show_path());
    }

    /// Whether it leaves the count uncertain.
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }
}

/// What is wrong or doubtful, before it is said where: a notice without its cells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    severity: Severity,
    kind: &'static str,
    found: String,
    expected: String,
    remedy: String,
    meant: Option<String>,
}

/// A finding that leaves the count uncertain: its kind, what was found, what was expected, what to type.
pub fn error(
    kind: &'static str,
    found: impl Into<String>,
    expected: impl Into<String>,
    remedy: impl Into<String>,
) -> Finding {
    Finding::of(Severity::Error, kind, found.into(), expected.into(), remedy.into())
}

/// A finding that leaves the count certain, but probably not what was meant.
pub fn warning(
    kind: &'static str,
    found: impl Into<String>,
    expected: impl Into<String>,
    remedy: impl Into<String>,
) -> Finding {
    Finding::of(Severity::Warning, kind, found.into(), expected.into(), remedy.into())
}

/// A finding that is good to know.
pub fn remark(
    kind: &'static str,
    found: impl Into<String>,
    expected: impl Into<String>,
    remedy: impl Into<String>,
) -> Finding {
    Finding::of(Severity::Remark, kind, found.into(), expected.into(), remedy.into())
}

impl Finding {
    fn of(severity: Severity, kind: &'static str, found: String, expected: String, remedy: String) -> Self {
        let [found, expected, remedy] = [found, expected, remedy].map(readable);
        Self { severity, kind, found, expected, remedy, meant: None }
    }

    /// The same finding, with what may have been meant in its first cell; nothing is told of a cell that there is not.
    #[must_use]
    pub fn meaning(mut self, text: impl Into<String>) -> Self {
        self.meant = Some(text.into());
        self
    }

    /// Whether it leaves the count uncertain.
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }

    /// The notice about these cells: the first is where to go, the others are the other side.
    pub fn at(self, spots: impl IntoIterator<Item = Spot>) -> Notice {
        let spots: Vec<Spot> = spots.into_iter().collect();
        // Of a column that the table does not have no cell can be read otherwise.
        let meant = self.meant.filter(|_| spots.first().is_some_and(|spot| spot.column > 0));
        let notice = Notice::new(self.severity, self.kind, spots, self.found, self.expected, self.remedy);
        match meant {
            Some(meant) => notice.or_read(meant),
            None => notice,
        }
    }
}

/// The most letters of one text of a notice; a name in it may be as long as a cell.
const MOST_LETTERS: usize = 1_000;

/// A text that somebody can read: beyond its most letters it is cut, with a mark.
fn readable(mut text: String) -> String {
    if let Some((end, _)) = text.char_indices().nth(MOST_LETTERS) {
        text.truncate(end);
        text.push('…');
    }
    text
}

/// Writes notices down, each as a function that gives a [`Finding`]: its weight, its kind, and its three texts (what was
/// found, what was expected, what to type), in which its arguments stand between braces. Behind `meaning` stands what may
/// have been meant. A notice whose texts must be put together first is a plain function that calls its weight.
///
/// ```ignore
/// findings! {
///     /// A tail that is not smaller than its run.
///     fn tail_not_smaller(tail: &str, size: &str) = error("tail-not-smaller",
///         "reduce to is {tail} on a run of {size}",
///         "a size smaller than {size}",
///         "type the smaller size of the tail, or empty reduce to and tail");
/// }
/// ```
macro_rules! findings {
    ($(
        $(#[$doc:meta])*
        $vis:vis fn $name:ident($($arg:ident: $type:ty),*) =
            $weight:ident($kind:literal, $found:literal, $expected:literal, $remedy:literal)
            $(meaning $meant:ident)?;
    )+) => {$(
        $(#[$doc])*
        $vis fn $name($($arg: $type),*) -> crate::ground::notice::Finding {
            crate::ground::notice::$weight($kind, format!($found), format!($expected), format!($remedy))
                $(.meaning($meant.to_string()))?
        }
    )+};
}

/// Defines notices of a job's cells: as [`findings!`], with the cells behind `at`, the first where to go.
///
/// ```ignore
/// notices! {
///     /// A run that ends at a run and is no return.
///     fn to_names_run(job, run: RowAt, name: &str) at [cell(run, "to")] = error("to-names-run",
///         "to names the run \"{name}\"",
///         "a place; only a return may end at a run",
///         "put the run in `joins` of the other row, or name a place");
/// }
/// ```
macro_rules! notices {
    ($(
        $(#[$doc:meta])*
        $vis:vis fn $name:ident($job:ident $(, $arg:ident: $type:ty)*)
            at [$($of:ident($($cell:expr),+)),+] =
            $weight:ident($kind:literal, $found:literal, $expected:literal, $remedy:literal);
    )+) => {$(
        $(#[$doc])*
        #[allow(clippy::too_many_arguments, reason = "what a text names is handed over by its name")]
        $vis fn $name($job: &Job $(, $arg: $type)*) -> Notice {
            crate::ground::notice::$weight($kind, format!($found), format!($expected), format!($remedy))
                .at([$($job.sources.$of($($cell),+)),+])
        }
    )+};
}

pub(crate) use {findings, notices};

/// Puts notices into the order in which they are shown: by file, sheet, row, column, then kind and text; doubles go.
pub fn in_order(mut notices: Vec<Notice>) -> Vec<Notice> {
    notices.sort_by(|a, b| {
        (&a.spots, a.severity, a.kind, &a.found).cmp(&(&b.spots, b.severity, b.kind, &b.found))
    });
    notices.dedup();
    notices
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_as_long_as_a_cell_makes_no_text_that_nobody_reads() {
        let long = "é".repeat(4_000);
        let notice = error("unknown-word", format!("joins is {long}"), "a run", long.clone()).at([]);
        let letters = [&notice.found, &notice.remedy].map(|text| text.chars().count());
        assert_eq!(letters, [MOST_LETTERS + 1; 2]);
        assert!(notice.found.starts_with("joins is é") && notice.found.ends_with("é…"));
        assert_eq!(notice.expected, "a run");
    }
}
