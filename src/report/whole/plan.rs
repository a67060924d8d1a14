//! What becomes of each name in the output folder, decided before anything is moved: whose file it is, and whether it may
//! go. All that stands in the way is found at once.

use std::collections::BTreeSet;
use std::io::Read;
use std::path::{Path, PathBuf};

use super::disk::There;
use super::error::{Refusal, WriteError, disk};
use super::fingerprint::Fingerprint;
use super::journal::{Journal, Kept, Move, Old, folders_of, is_plain, kept_name};
use super::mark::{Mark, is_sealed_picture};
use super::{New, Place};

/// How it is known which files there are this program's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Known {
    /// The mark lists them with their fingerprints.
    ByMark,
    /// A file that begins with the same line is; whether somebody wrote in it is not known.
    ByHeadings,
    /// A file that begins with the same line is; its last line says whether somebody wrote in it.
    BySeal,
    /// None is.
    Never,
}

/// Says what becomes of each name, or what stands in the way.
pub(super) fn plan(
    files: &[New],
    prints: &[Fingerprint],
    known: Known,
    at: Place<'_>,
) -> Result<Journal, WriteError> {
    let mark_name = files.last().map_or("", |(name, _)| name);
    let mark = read_mark(mark_name, at)?.filter(|_| known == Known::ByMark);
    let estimate =
        read_mark(at.estimate, at)?.filter(|_| [Known::ByHeadings, Known::BySeal].contains(&known));
    let mut planning = Planning {
        at,
        known,
        mark: mark.as_ref(),
        mark_name,
        estimate: estimate.as_ref(),
        refused: Vec::new(),
        taken: BTreeSet::new(),
    };
    // What the set before had and this one has not goes too.
    let is_new = |name: &str| files.iter().any(|(new, _)| **new == *name);
    let gone: Vec<&str> = mark.iter().flat_map(Mark::names).filter(|name| !is_new(name)).collect();
    let mut moves = Vec::new();
    for name in gone.into_iter().filter(|name| is_plain(name) && (at.is_output)(name)) {
        if planning.there(name)? == There::File {
            let old = planning.old(name, None)?;
            moves.push(Move { name: name.into(), new: None, old });
        }
    }
    for ((name, bytes), print) in files.iter().zip(prints) {
        let old = planning.old(name, Some(bytes))?;
        moves.push(Move { name: name.clone(), new: Some(print.clone()), old });
    }
    match planning.refused {
        none if none.is_empty() => Ok(Journal::of(moves)),
        refused => Err(WriteError::Refused(refused)),
    }
}

/// The mark of that name in the folder.
pub(super) fn read_mark(name: &str, at: Place<'_>) -> Result<Option<Mark>, WriteError> {
    let path = at.out.join(name);
    match at.disk.there(&path).map_err(disk(&path))? {
        There::File if Path::new(name).extension().is_some_and(|ending| ending == "json") => {
            at.disk.open(&path).and_then(Mark::read).map_err(disk(&path))
        }
        There::File | There::Nothing | There::Folder | There::Other => Ok(None),
    }
}

struct Planning<'a> {
    at: Place<'a>,
    known: Known,
    mark: Option<&'a Mark>,
    mark_name: &'a str,
    /// That of an estimate in the folder: a file of its set is not replaced alone.
    estimate: Option<&'a Mark>,
    refused: Vec<Refusal>,
    /// Names under which files are kept.
    taken: BTreeSet<String>,
}

impl Planning<'_> {
    /// What stands under a name; nothing where one of its folders is none.
    fn there(&self, name: &str) -> Result<There, WriteError> {
        for folder in folders_of(name) {
            if self.on_disk(folder)? != There::Folder {
                return Ok(There::Nothing);
            }
        }
        self.on_disk(name)
    }

    fn on_disk(&self, name: &str) -> Result<There, WriteError> {
        let path = self.at.out.join(name);
        self.at.disk.there(&path).map_err(disk(&path))
    }

    /// What is to be done with what stands under a name, where `new` is to stand.
    fn old(&mut self, name: &str, new: Option<&[u8]>) -> Result<Option<Old>, WriteError> {
        for folder in folders_of(name) {
            match self.on_disk(folder)? {
                There::Folder | There::Nothing => {}
                There::File | There::Other => {
                    self.refuse(Refusal::Foreign(self.at.out.join(folder)));
                    return Ok(None);
                }
            }
        }
        let path = self.at.out.join(name);
        match self.there(name)? {
            There::Nothing => return Ok(None),
            There::File => {}
            There::Folder | There::Other => {
                self.refuse(Refusal::Foreign(path));
                return Ok(None);
            }
        }
        self.refuse_open(&path)?;
        let sha256 = self.at.disk.open(&path).and_then(Fingerprint::of_file).map_err(disk(&path))?;
        let whose = match self.known {
            Known::ByMark => self.by_mark(name, &sha256),
            Known::ByHeadings => self.by_headings(name, &path, &sha256, new.unwrap_or_default())?,
            Known::BySeal => {
                let file = self.at.disk.open(&path).map_err(disk(&path))?;
                let is_sealed = is_sealed_picture(file).map_err(disk(&path))?;
                let whose = self.by_headings(name, &path, &sha256, new.unwrap_or_default())?;
                whose.map(|kept| kept.filter(|_| !is_sealed).map(|_| Kept::Edited))
            }
            Known::Never => Err(Refusal::Foreign(path)),
        };
        match whose {
            Ok(kept) => {
                let kept = kept.map(|why| self.kept(name, why)).transpose()?;
                Ok(Some(Old { sha256, kept: kept.map(Box::from) }))
            }
            Err(refusal) => {
                self.refuse(refusal);
                Ok(None)
            }
        }
    }

    /// Whether a file is kept, as the mark of its set says.
    fn by_mark(&self, name: &str, there: &Fingerprint) -> Result<Option<Kept>, Refusal> {
        let Some(mark) = self.mark else { return Err(Refusal::Foreign(self.at.out.join(name))) };
        if name == self.mark_name {
            return Ok((!mark.is_sealed).then_some(Kept::Edited));
        }
        Ok(match mark.of(name) {
            Some(written) if written == there => None,
            Some(_) => Some(Kept::Edited),
            None => Some(Kept::Before),
        })
    }

    /// Whether a file that stands for itself is kept.
    fn by_headings(
        &self,
        name: &str,
        path: &Path,
        there: &Fingerprint,
        new: &[u8],
    ) -> Result<Result<Option<Kept>, Refusal>, WriteError> {
        if *there == Fingerprint::of(new) {
            return Ok(Ok(None));
        }
        if self.estimate.is_some_and(|estimate| estimate.of(name).is_some()) {
            return Ok(Err(Refusal::OfEstimate(path.to_owned())));
        }
        let end = new.iter().position(|byte| *byte == b'\n').map_or(new.len(), |at| at + 1);
        let headings = new.get(..end).unwrap_or(new);
        let mut first = Vec::new();
        let file = self.at.disk.open(path).map_err(disk(path))?;
        file.take(headings.len() as u64).read_to_end(&mut first).map_err(disk(path))?;
        let foreign = || Refusal::Foreign(path.to_owned());
        Ok(if first == headings { Ok(Some(Kept::Before)) } else { Err(foreign()) })
    }

    /// The name under which a file is kept: the first that nothing has.
    fn kept(&mut self, name: &str, why: Kept) -> Result<String, WriteError> {
        let mut number = 1;
        loop {
            let kept = kept_name(name, why, number);
            if self.on_disk(&kept)? == There::Nothing && self.taken.insert(kept.clone()) {
                return Ok(kept);
            }
            number += 1;
        }
    }

    /// Refuses a file that another program has open: it says so by a file of its own beside it, or by a lock on it.
    fn refuse_open(&mut self, path: &Path) -> Result<(), WriteError> {
        let beside = office_locks(path);
        for lock in beside {
            if self.at.disk.there(&lock).map_err(disk(&lock))? != There::Nothing {
                self.refuse(Refusal::Open(path.to_owned(), Some(lock)));
                return Ok(());
            }
        }
        if self.at.disk.is_held(path).map_err(disk(path))? {
            self.refuse(Refusal::Open(path.to_owned(), None));
        }
        Ok(())
    }

    fn refuse(&mut self, refusal: Refusal) {
        if !self.refused.contains(&refusal) {
            self.refused.push(refusal);
        }
    }
}

/// The files that office programs put beside one that they have open (common practice).
fn office_locks(path: &Path) -> [PathBuf; 2] {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    [format!(".~lock.{name}#"), format!("~${name}")].map(|lock| path.with_file_name(lock))
}
