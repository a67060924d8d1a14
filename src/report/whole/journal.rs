//! The journal of a run that moves files: what stands where before, and where it goes, so that whoever comes after a run that
//! was broken off can undo it. It is read as a stranger's: a name in it that is none of this program's outputs, or leads
//! elsewhere, makes it worth nothing.

use std::collections::BTreeSet;
use std::io::{self, Read};
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::fingerprint::Fingerprint;

/// The moves of a run; the mark is the last.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Journal {
    program: Box<str>,
    pub(super) moves: Vec<Move>,
}

/// What becomes of one name in the output folder.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Move {
    /// The file, by its path from the output folder with `/` between.
    pub(super) name: Box<str>,
    /// What is to stand there; nothing where the new set has no such file.
    pub(super) new: Option<Fingerprint>,
    /// What stands there before.
    pub(super) old: Option<Old>,
}

/// A file that stood there before.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Old {
    pub(super) sha256: Fingerprint,
    /// Where it is kept if somebody wrote in it; else it goes.
    pub(super) kept: Option<Box<str>>,
}

/// Why a file is kept: its name says it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kept {
    /// Somebody wrote in it.
    Edited,
    /// It is not known whether somebody did.
    Before,
}

impl Kept {
    const ALL: [Self; 2] = [Self::Edited, Self::Before];

    const fn word(self) -> &'static str {
        match self {
            Self::Edited => "edited",
            Self::Before => "before",
        }
    }
}

/// The most bytes of a journal, far more than the moves of a thousand tables.
const MOST_BYTES: u64 = 16 << 20;

/// The deepest path of an output: `inputs/shared-1/prices.csv`.
const DEEPEST: usize = 3;

impl Journal {
    pub(super) fn of(moves: Vec<Move>) -> Self {
        Self { program: env!("CARGO_PKG_NAME").into(), moves }
    }

    pub(super) fn bytes(&self) -> Vec<u8> {
        // Texts and lists alone: nothing in it can fail.
        serde_json::to_vec(self).unwrap_or_default()
    }

    /// Reads a journal; nothing where it is not what this program writes. `is_output` knows the outputs of all commands.
    pub(super) fn read(file: impl Read, is_output: fn(&str) -> bool) -> io::Result<Option<Self>> {
        let mut bytes = Vec::new();
        file.take(MOST_BYTES + 1).read_to_end(&mut bytes)?;
        if bytes.len() as u64 > MOST_BYTES {
            return Ok(None);
        }
        let read = serde_json::from_slice::<Self>(&bytes).ok();
        Ok(read.filter(|journal| journal.is_ours(is_output)))
    }

    /// The folders below the output folder that its names need, the deepest first.
    pub(super) fn folders(&self) -> Vec<&str> {
        let names = self.moves.iter().map(|one| &*one.name);
        let mut all: Vec<&str> = names.flat_map(folders_of).collect::<BTreeSet<_>>().into_iter().collect();
        all.sort_by_key(|folder| std::cmp::Reverse(folder.matches('/').count()));
        all
    }

    fn is_ours(&self, is_output: fn(&str) -> bool) -> bool {
        let mut names = BTreeSet::new();
        let mut all_new = |name| names.insert(name);
        let is_kept = |of: &str, kept: &str| Kept::ALL.iter().any(|why| is_kept_name(of, *why, kept));
        &*self.program == env!("CARGO_PKG_NAME")
            && self.moves.iter().all(|one| {
                let kept = one.old.as_ref().and_then(|old| old.kept.as_deref());
                is_plain(&one.name)
                    && is_output(&one.name)
                    && all_new(&*one.name)
                    && kept.is_none_or(|kept| is_kept(&one.name, kept) && all_new(kept))
            })
    }
}

/// The folders of a name: of `inputs/shared-1/prices.csv` `inputs` and `inputs/shared-1`.
pub(super) fn folders_of(name: &str) -> impl Iterator<Item = &str> {
    name.match_indices('/').filter_map(|(at, _)| name.get(..at))
}

/// Whether a name leads to a file below the output folder on every system.
pub(in crate::report) fn is_plain(name: &str) -> bool {
    let parts: Vec<&str> = name.split('/').collect();
    let is_part = |part: &&str| {
        let mut path = Path::new(part).components();
        let alone = matches!((path.next(), path.next()), (Some(std::path::Component::Normal(_)), None));
        alone && !part.contains(['\\', '\0']) && *part != super::WORK
    };
    parts.len() <= DEEPEST && parts.iter().all(is_part)
}

/// The name under which a file is kept: `estimate-edited.xlsx`, or with `-2`, `-3`... All of them stand in the output folder
/// itself: a table among the kept tables would be read as one.
pub(super) fn kept_name(name: &str, why: Kept, number: u32) -> String {
    let file = name.rsplit('/').next().unwrap_or(name);
    let (stem, ending) = file.rsplit_once('.').unwrap_or((file, ""));
    let number = if number > 1 { format!("-{number}") } else { String::new() };
    let dot = if ending.is_empty() { "" } else { "." };
    format!("{stem}-{}{number}{dot}{ending}", why.word())
}

fn is_kept_name(name: &str, why: Kept, kept: &str) -> bool {
    let first = kept_name(name, why, 1);
    let number = || {
        let (stem, ending) = first.rsplit_once('.').unwrap_or((&first, ""));
        let rest = kept.strip_prefix(stem)?.strip_suffix(ending)?;
        rest.strip_suffix('.').unwrap_or(rest).strip_prefix('-')?.parse::<u32>().ok()
    };
    is_plain(kept) && (kept == first || number().is_some_and(|number| kept == kept_name(name, why, number)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn journal(name: &str, kept: Option<&str>) -> Option<Journal> {
        let old = kept.map(|kept| Old { sha256: Fingerprint::of(b""), kept: Some(kept.into()) });
        let one = Move { name: name.into(), new: None, old };
        let is_output =
            |name: &str| name == "order.csv" || name.starts_with("inputs/") || name.contains("..");
        Journal::read(&Journal::of(vec![one]).bytes()[..], is_output).unwrap()
    }

    #[test]
    fn a_journal_with_a_name_that_is_no_output_is_worth_nothing() {
        assert!(journal("order.csv", None).is_some());
        assert!(journal("inputs/shared-1/mill.csv", Some("mill-edited.csv")).is_some());
        for name in [
            "letter.txt",
            "../order.csv",
            "/order.csv",
            "inputs/../order.csv",
            "inputs//a.csv",
            "inputs/a/b/c.csv",
        ] {
            assert!(journal(name, None).is_none(), "{name}");
        }
        for kept in
            ["letter.txt", "../order-edited.csv", "order.csv", "order-edited-x.csv", "order-edited-1.csv"]
        {
            assert!(journal("order.csv", Some(kept)).is_none(), "{kept}");
        }
        for kept in ["order-edited.csv", "order-edited-2.csv", "order-before-17.csv"] {
            assert!(journal("order.csv", Some(kept)).is_some(), "{kept}");
        }
        let damaged = b"{\"program\":\"coilstick\",\"moves\":[{\"na";
        assert!(Journal::read(&damaged[..], |_| true).unwrap().is_none());
        assert!(Journal::read(io::repeat(b'['), |_| true).unwrap().is_none());
    }

    #[test]
    fn a_file_is_kept_under_a_name_that_says_why() {
        assert_eq!(kept_name("estimate.xlsx", Kept::Edited, 1), "estimate-edited.xlsx");
        assert_eq!(kept_name("estimate.xlsx", Kept::Edited, 3), "estimate-edited-3.xlsx");
        assert_eq!(kept_name("inputs/shared-1/list", Kept::Before, 1), "list-before");
    }
}
