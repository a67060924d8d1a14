//! How much of a job is read, each limit once: its name, what goes without saying, its help. A user gives more (or less) by
//! `--limit NAME=N`. Reaching a limit is a notice; what lies beyond is not read. What nobody can change is in `caps`.

use std::collections::BTreeMap;

use super::caps;
use crate::ground::name::nearest;
use crate::ground::notice::{Finding, error, findings};
use crate::ground::spot::SourceId;
use crate::ground::{Notice, Severity, Spot};

/// Writes the limits from one list of entries.
macro_rules! limits {
    ($($(#[$doc:meta])* $name:ident = $usual:literal, $help:literal;)+) => {
        /// How much of a job is read.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub struct Limits {
            $($(#[$doc])* pub $name: u64,)+
        }

        impl Default for Limits {
            fn default() -> Self {
                Self { $($name: $usual,)+ }
            }
        }

        impl Limits {
            /// All limits in the order in which documents list them: name, what goes without saying, help.
            pub const ALL: [(&str, u64, &str); [$($usual),+].len()] =
                [$((stringify!($name), $usual, $help)),+];

            fn named(&mut self, name: &str) -> Option<&mut u64> {
                $(if name == stringify!($name) {
                    return Some(&mut self.$name);
                })+
                None
            }
        }
    };
}

limits! {
    /// Rows of all tables.
    rows = 2_000_000, "rows of all tables of a job together";
    /// Cells of all tables.
    cells = 40_000_000, "cells of all tables together";
    /// Megabytes of text.
    text = 256, "megabytes of text in all cells together";
    /// Columns of one table.
    columns = 256, "columns of one table";
    /// Bytes of one cell.
    letters = 4_000, "letters of one cell, those with accents counting double";
    /// Bytes of one name.
    name = 500, "letters of one name: of a run, a place, an area, a part, those with accents counting double";
    /// Tables of a job.
    tables = 200, "tables and price lists of a job";
    /// Files of one folder.
    files = 10_000, "files of one folder";
    /// Megabytes of one file.
    file = 256, "megabytes of one file";
    /// How much larger a part of a workbook may be unpacked.
    unpacked = 100, "how many times its own size a workbook unpacks to, beyond the first 8 megabytes";
    /// Notices of one kind.
    notices = 1_000, "notices of one kind that are listed for one table";
}

impl Limits {
    /// These limits with one of them as a person says it: `rows=4000000`.
    ///
    /// # Errors
    ///
    /// What to say instead, in a sentence.
    pub fn with(mut self, said: &str) -> Result<Self, String> {
        let (name, number) = said.split_once('=').unwrap_or((said, ""));
        let name = name.trim().to_lowercase();
        let Some(limit) = self.named(&name) else {
            let names = Self::ALL.map(|(name, ..)| name);
            let near = nearest(&name, names.into_iter());
            let near = near.first().map(|near| format!("; {near} is the nearest")).unwrap_or_default();
            return Err(format!("there is no limit \"{name}\"{near}. There are {}", names.join(", ")));
        };
        let digits: String = number.trim().chars().filter(|c| !matches!(c, ',' | '_')).collect();
        match digits.parse() {
            Ok(most @ 1..) => *limit = most,
            Ok(0) | Err(_) => {
                return Err(format!("type a whole number above zero behind it: {name}={limit}"));
            }
        }
        Ok(self)
    }

    /// The bytes of one file.
    pub(super) fn file_bytes(&self) -> u64 {
        self.file.saturating_mul(MEGABYTE)
    }

    /// The bytes that a part of a workbook of so many bytes may unpack to.
    pub(super) fn unpacked_bytes(&self, packed: u64) -> u64 {
        packed.saturating_mul(self.unpacked).saturating_add(FIRST_UNPACKED).min(caps::PART_BYTES)
    }

    /// The columns of one table that are looked at.
    pub(super) fn columns(&self) -> usize {
        usize::try_from(self.columns.min(u64::from(caps::SHEET_COLUMNS))).unwrap_or(usize::MAX)
    }

    /// The bytes of the text of one cell.
    pub(super) fn letters(&self) -> usize {
        usize::try_from(self.letters).map_or(caps::CELL_BYTES, |letters| letters.min(caps::CELL_BYTES))
    }

    /// The bytes of one name.
    pub(super) fn name(&self) -> usize {
        usize::try_from(self.name).unwrap_or(usize::MAX)
    }

    /// The tables of a job.
    pub(crate) fn tables(&self) -> usize {
        usize::try_from(self.tables).unwrap_or(usize::MAX)
    }

    /// What is told where there are more tables.
    pub(crate) fn tables_reached(&self) -> Finding {
        reached("from this table on none is read", "tables", self.tables)
    }
}

const MEGABYTE: u64 = 1 << 20;
/// So many times the notices of one kind are listed of all kinds and tables of a job.
const MOST_KINDS: u64 = 20;
/// A small workbook packs well: its first megabytes are not held against its size.
const FIRST_UNPACKED: u64 = 8 * MEGABYTE;

/// A limit that was reached: what is not read, of which limit, and how much it is.
pub(super) fn reached(what: &str, name: &'static str, most: u64) -> Finding {
    let help = Limits::ALL.iter().find(|(known, ..)| *known == name).map_or("", |(.., help)| help);
    error(
        "large-table",
        format!("{what}: the limit is {most} {help}"),
        "what belongs to this job",
        format!(
            "take out what does not belong to it, or raise the limit: --limit {name}={}",
            most.saturating_mul(2)
        ),
    )
}

/// How much of a job was read and told so far, and how much may be.
#[derive(Debug, Clone, Default)]
pub(crate) struct Budget {
    /// How much may be read.
    pub(crate) limits: Limits,
    rows: u64,
    cells: u64,
    text: u64,
    /// How often each kind of notice was met in each table.
    met: BTreeMap<(SourceId, &'static str), u64>,
    /// How many notices are listed in all.
    listed: u64,
}

impl Budget {
    /// A job of which nothing is read.
    pub(crate) fn of(limits: Limits) -> Self {
        Self { limits, ..Self::default() }
    }

    /// Takes down that a row is read; what is reached where there is no room for it any more.
    pub(crate) fn take(&mut self, cells: usize, text: usize) -> Option<Finding> {
        self.rows += 1;
        self.cells = self.cells.saturating_add(cells as u64);
        self.text = self.text.saturating_add(text as u64);
        let Limits { rows, cells, text, .. } = self.limits;
        let mut all = [
            (self.rows > rows, "rows", rows),
            (self.cells > cells, "cells", cells),
            (self.text > text.saturating_mul(MEGABYTE), "text", text),
        ]
        .into_iter();
        let (_, name, most) = all.find(|(is_reached, ..)| *is_reached)?;
        Some(reached("from here on nothing is read", name, most))
    }

    /// Takes a notice of a table down; of too many of one kind that there are more, once.
    pub(crate) fn list(&mut self, table: SourceId, notices: &mut Vec<Notice>, notice: Notice) {
        let most = self.limits.notices;
        let met = self.met.entry((table, notice.kind)).or_default();
        if *met > most {
            return;
        }
        *met += 1;
        // Beyond what anybody reads a table gets one notice of each kind.
        let is_listed = *met <= most && (self.listed < most.saturating_mul(MOST_KINDS) || *met == 1);
        self.listed += 1;
        if is_listed {
            notices.push(notice);
        } else {
            *met = most + 1;
            let spots = notice.spots.into_iter().take(1).map(|spot| Spot { row: 0, column: 0, ..spot });
            notices.push(many_alike(notice.severity, notice.kind, spots.collect()));
        }
    }
}

/// More notices of one kind than are listed. It weighs as much as they do.
fn many_alike(severity: Severity, kind: &str, spots: Vec<Spot>) -> Notice {
    let finding = match severity {
        Severity::Error => many_errors(kind),
        Severity::Warning => many_warnings(kind),
        Severity::Remark => many_remarks(kind),
    };
    finding.at(spots)
}

findings! {
    fn many_errors(kind: &str) = error("many-alike",
        "more errors of this table are {kind} than are listed",
        "a few cells in error",
        "mend the first ones: one change often mends a whole column");

    fn many_warnings(kind: &str) = warning("many-alike",
        "more warnings of this table are {kind} than are listed",
        "a few doubtful cells",
        "mend the first ones: one change often mends a whole column");

    fn many_remarks(kind: &str) = remark("many-alike",
        "more remarks of this table are {kind} than are listed",
        "a few cells to look at",
        "nothing, or mend the first ones: one change often mends a whole column");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_limit_is_raised_and_lowered_by_its_name() {
        let limits = Limits::default().with("rows=4,000,000").and_then(|limits| limits.with("Letters = 20"));
        let limits = limits.unwrap_or_default();
        assert_eq!((limits.rows, limits.letters, limits.cells), (4_000_000, 20, 40_000_000));
        assert!(
            Limits::ALL.iter().all(|(name, usual, _)| {
                Limits::default().named(name).is_some_and(|limit| *limit == *usual)
            })
        );
    }

    #[test]
    fn a_limit_that_there_is_not_is_answered_with_the_nearest_and_the_list() {
        let why = Limits::default().with("row=5").err().unwrap_or_default();
        assert!(
            why.starts_with("there is no limit \"row\"; rows is the nearest. There are rows, cells,"),
            "{why}"
        );
        for said in ["rows", "rows=", "rows=0", "rows=-1", "rows=many"] {
            let why = Limits::default().with(said).err().unwrap_or_default();
            assert_eq!(why, "type a whole number above zero behind it: rows=2000000", "{said}");
        }
    }

    #[test]
    fn notices_of_one_kind_are_listed_up_to_the_limit_and_counted_by_table() {
        let mut budget = Budget::of(Limits { notices: 2, ..Limits::default() });
        let mut notices = Vec::new();
        for table in [0, 1] {
            for _ in 0..5 {
                let notice = error("no-heading", "a", "b", "c").at([Spot::file("t")]);
                budget.list(SourceId(table), &mut notices, notice);
            }
        }
        let kinds: Vec<&str> = notices.iter().map(|notice| notice.kind).collect();
        assert_eq!(
            kinds,
            ["no-heading", "no-heading", "many-alike", "no-heading", "no-heading", "many-alike"]
        );
        assert!(notices.iter().all(Notice::is_error));
    }
}
