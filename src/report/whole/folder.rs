//! The output folder while a run writes into it: its lock, its folder of work, the moves and how they are undone. It decides
//! nothing: the journal says what goes where.

use std::cell::Cell;
use std::path::{Path, PathBuf};

use super::disk::{Lock, There};
use super::error::{Refusal, WriteError, disk};
use super::fingerprint::Fingerprint;
use super::journal::{Journal, Kept, Move, Old, kept_name};
use super::{New, Place, WORK};
use crate::ground::threads::in_threads;

/// The files in the folder of work.
const LOCK: &str = "lock";
/// Moves that are not all made, or not all undone.
const JOURNAL: &str = crate::trade::kept::JOURNAL;
/// A journal on its way.
const PART: &str = "journal.part";
/// Moves that are all made or undone: what is left there may go.
const DONE: &str = "journal.done";

/// Its folders: of new files, and of those that were there before.
const NEW: &str = "new";
const ASIDE: &str = "old";

/// How often the folder of work is made anew when another run takes it away at the same moment.
const TURNS: usize = 20;

/// An output folder that nobody else writes into.
pub(super) struct Folder<'a> {
    at: Place<'a>,
    work: PathBuf,
    /// Freed when this goes.
    lock: Option<Lock>,
    /// Folders that were not there before, the outermost first.
    made: Vec<PathBuf>,
    /// Whether files were put in.
    filled: Cell<bool>,
}

type Done = Result<(), WriteError>;

impl<'a> Folder<'a> {
    /// Makes the folder where there is none, and takes its lock.
    pub(super) fn open(at: Place<'a>) -> Result<Self, WriteError> {
        let work = at.out.join(WORK);
        let mut folder = Self { at, work, lock: None, made: Vec::new(), filled: Cell::new(false) };
        folder.make()?;
        folder.take_lock()?;
        Ok(folder)
    }

    /// The folder, in which nothing of a run that was broken off is left.
    pub(super) fn mended(self) -> Result<Self, WriteError> {
        for name in [DONE, JOURNAL] {
            let path = self.work.join(name);
            if self.there(&path)? != There::File {
                continue;
            }
            let file = self.at.disk.open(&path).map_err(disk(&path))?;
            let journal = Journal::read(file, self.at.is_output).map_err(disk(&path))?;
            let journal = journal.ok_or(WriteError::Journal(path))?;
            self.refuse_links(&journal)?;
            if name == JOURNAL {
                self.undo(&journal).and_then(|()| self.settle())?;
            }
            self.clear(&journal)?;
        }
        self.remove(&self.work.join(PART))?;
        Ok(self)
    }

    /// Puts files in as the journal says; where that fails everything is as it was.
    pub(super) fn replace(&self, files: &[New], journal: &Journal) -> Done {
        let filled = self.write_journal(journal).and_then(|()| self.fill(files, journal));
        let moved = filled.and_then(|()| self.move_in(journal)).and_then(|()| self.settle());
        if moved.is_err() {
            // Where that fails too, the journal stays and the next run does it.
            let undone = self.undo(journal).and_then(|()| self.settle());
            let _ = undone.and_then(|()| self.clear(journal));
            return moved;
        }
        self.filled.set(true);
        // The set is there. What cannot be cleared now is cleared by the next run.
        let _ = self.clear(journal);
        Ok(())
    }

    /// The folder itself, with those above it.
    fn make(&mut self) -> Done {
        let out = self.at.out;
        // With a point behind it a link is followed: the folder may be one.
        match self.at.disk.there(&out.join(".")) {
            Ok(There::Folder) => return Ok(()),
            // It is a file itself, or one of those above it is.
            Err(why) if why.kind() == std::io::ErrorKind::NotADirectory => {
                return Err(match self.there(out) {
                    Ok(_) => self.foreign(out),
                    Err(_) => disk(out)(why),
                });
            }
            Ok(There::Nothing | There::File | There::Other) => {}
            Err(why) => return Err(disk(out)(why)),
        }
        let above = out.ancestors().filter(|path| !path.as_os_str().is_empty());
        let mut missing = Vec::new();
        for path in above {
            if self.there(&path.join("."))? == There::Folder {
                break;
            }
            missing.push(path);
        }
        for path in missing.into_iter().rev() {
            match self.at.disk.create_dir(path) {
                Ok(()) => self.made.push(path.to_owned()),
                // Another run made it.
                Err(why) if why.kind() == std::io::ErrorKind::AlreadyExists => {}
                Err(why) => return Err(disk(path)(why)),
            }
        }
        Ok(())
    }

    fn take_lock(&mut self) -> Done {
        let path = self.work.join(LOCK);
        let mut turns = 0;
        loop {
            match self.there(&self.work)? {
                There::Folder => {}
                There::Nothing => match self.at.disk.create_dir(&self.work) {
                    Err(why) if why.kind() != std::io::ErrorKind::AlreadyExists => {
                        return Err(disk(&self.work)(why));
                    }
                    Ok(()) | Err(_) => {}
                },
                There::File | There::Other => return Err(self.foreign(&self.work)),
            }
            match self.there(&path)? {
                There::File | There::Nothing => {}
                There::Folder | There::Other => return Err(self.foreign(&path)),
            }
            match self.at.disk.lock(&path) {
                Ok(Lock::OfAnother) => return Err(WriteError::Busy(self.at.out.to_owned())),
                Ok(lock) => {
                    self.lock = Some(lock);
                    return Ok(());
                }
                // The run before this one has just ended, and its folder of work with it.
                Err(why) if why.kind() == std::io::ErrorKind::NotFound && turns < TURNS => turns += 1,
                Err(why) => return Err(disk(&path)(why)),
            }
        }
    }

    /// Refuses folders that are links: what a journal names would lead elsewhere.
    fn refuse_links(&self, journal: &Journal) -> Done {
        let folders = journal.folders();
        let [new, aside, out] = self.homes();
        let inside = |home: &Path| folders.iter().rev().map(|at| home.join(at)).collect::<Vec<_>>();
        let all = [vec![new.clone()], inside(&new), vec![aside.clone()], inside(&aside), inside(&out)];
        for path in all.concat() {
            match self.there(&path)? {
                There::Folder | There::Nothing => {}
                There::File | There::Other => return Err(self.foreign(&path)),
            }
        }
        Ok(())
    }

    /// Writes the journal, in one step as others see it.
    fn write_journal(&self, journal: &Journal) -> Done {
        let (part, path) = (self.work.join(PART), self.work.join(JOURNAL));
        self.at.disk.write(&part, &journal.bytes()).map_err(disk(&part))?;
        self.rename(&part, &path)?;
        self.sync(&self.work)
    }

    /// Writes the new files into the folder of work, and makes the folders that the moves need.
    fn fill(&self, files: &[New], journal: &Journal) -> Done {
        let mut folders = journal.folders();
        folders.reverse();
        let [new, aside, out] = self.homes();
        self.make_dir(&new)?;
        self.make_dir(&aside)?;
        for home in [new, aside, out] {
            folders.iter().try_for_each(|folder| self.make_dir(&home.join(folder)))?;
        }
        // Most of the time of a small job is spent waiting for the disk.
        let (disk_of, homes) = (self.at.disk, self.homes());
        let written = in_threads(files, |(name, bytes)| {
            let [new, _, out] = &homes;
            disk_of.write(&new.join(&**name), bytes).map_err(disk(&out.join(&**name)))
        });
        written.into_iter().collect::<Done>()?;
        folders.iter().try_for_each(|folder| self.sync(&self.fresh(folder)))?;
        self.sync(&self.work.join(NEW))
    }

    /// Makes the moves: the mark before goes first, the new one comes last.
    fn move_in(&self, journal: &Journal) -> Done {
        let Some((mark, others)) = journal.moves.split_last() else { return Ok(()) };
        self.move_old(mark)?;
        for one in others {
            self.move_old(one)?;
            self.move_new(one)?;
        }
        self.sync_out(journal)?;
        self.move_new(mark)?;
        self.sync(self.at.out)
    }

    fn move_old(&self, one: &Move) -> Done {
        let Some(old) = &one.old else { return Ok(()) };
        self.rename(&self.out(&one.name), &self.old_place(&one.name, old))
    }

    fn move_new(&self, one: &Move) -> Done {
        if one.new.is_none() {
            return Ok(());
        }
        self.rename(&self.fresh(&one.name), &self.out(&one.name))
    }

    /// Undoes what was moved, the mark first and last again. What is done already, and what was not begun, is left alone;
    /// so it may be broken off and done again.
    fn undo(&self, journal: &Journal) -> Done {
        let Some((mark, others)) = journal.moves.split_last() else { return Ok(()) };
        self.undo_new(mark)?;
        for one in others {
            self.undo_new(one)?;
            self.undo_old(one)?;
        }
        self.sync_out(journal)?;
        self.undo_old(mark)?;
        self.sync(self.at.out)
    }

    /// Whether the file before was moved away.
    fn is_moved(&self, name: &str, old: &Old) -> Result<bool, WriteError> {
        let place = self.old_place(name, old);
        // A file of somebody else's may have come to the place of one that is kept.
        Ok(self.there(&place)? == There::File && (old.kept.is_none() || self.print(&place)? == old.sha256))
    }

    fn undo_new(&self, one: &Move) -> Done {
        let Some(new) = &one.new else { return Ok(()) };
        let was_moved = match &one.old {
            Some(old) => self.is_moved(&one.name, old)?,
            None => true,
        };
        let path = self.out(&one.name);
        if !was_moved || self.there(&path)? != There::File {
            return Ok(());
        }
        if self.print(&path)? == *new {
            return self.remove(&path);
        }
        match &one.old {
            // Somebody has written in it meanwhile.
            Some(_) => self.rename(&path, &self.free_name(&one.name)?),
            // Somebody has written in it, or put it there: it stays, and whoever comes next is told.
            None => Ok(()),
        }
    }

    fn undo_old(&self, one: &Move) -> Done {
        let Some(old) = &one.old else { return Ok(()) };
        let path = self.out(&one.name);
        // Somebody may have put a file there meanwhile: it stays, and what is kept is so already.
        match self.is_moved(&one.name, old)? && self.there(&path)? == There::Nothing {
            true => self.rename(&self.old_place(&one.name, old), &path),
            false => Ok(()),
        }
    }

    /// Says that all moves are made or undone.
    fn settle(&self) -> Done {
        let (journal, done) = (self.work.join(JOURNAL), self.work.join(DONE));
        if self.there(&journal)? == There::File {
            self.rename(&journal, &done)?;
        }
        Ok(())
    }

    /// Clears the folder of work of all that the journal names, and of folders that stand empty.
    fn clear(&self, journal: &Journal) -> Done {
        for one in &journal.moves {
            self.remove(&self.fresh(&one.name))?;
            self.drop_old(one)?;
        }
        let folders = journal.folders();
        let homes = self.homes();
        let inside = homes.iter().flat_map(|home| folders.iter().map(|folder| home.join(folder)));
        for folder in inside.chain(homes.iter().take(2).cloned()) {
            // One that holds a file stays.
            let _ = self.at.disk.remove_dir(&folder);
        }
        self.remove(&self.work.join(PART))?;
        self.remove(&self.work.join(DONE))
    }

    /// Removes a file that was there before, if it is the one whose fingerprint was taken; one that somebody wrote in at the
    /// last moment is kept.
    fn drop_old(&self, one: &Move) -> Done {
        let path = self.aside(&one.name);
        match &one.old {
            Some(old) if self.there(&path)? == There::File => match self.print(&path)? == old.sha256 {
                true => self.remove(&path),
                false => self.rename(&path, &self.free_name(&one.name)?),
            },
            Some(_) | None => Ok(()),
        }
    }

    /// The three places that have the same folders: that of new files, that of files before, and the folder itself.
    fn homes(&self) -> [PathBuf; 3] {
        [self.work.join(NEW), self.work.join(ASIDE), self.at.out.to_owned()]
    }

    fn fresh(&self, name: &str) -> PathBuf {
        self.work.join(NEW).join(name)
    }

    fn aside(&self, name: &str) -> PathBuf {
        self.work.join(ASIDE).join(name)
    }

    fn out(&self, name: &str) -> PathBuf {
        self.at.out.join(name)
    }

    fn old_place(&self, name: &str, old: &Old) -> PathBuf {
        old.kept.as_ref().map_or_else(|| self.aside(name), |kept| self.out(kept))
    }

    fn free_name(&self, name: &str) -> Result<PathBuf, WriteError> {
        let mut number = 1;
        loop {
            let path = self.out(&kept_name(name, Kept::Edited, number));
            if self.there(&path)? == There::Nothing {
                return Ok(path);
            }
            number += 1;
        }
    }

    fn foreign(&self, path: &Path) -> WriteError {
        WriteError::Refused(vec![Refusal::Foreign(path.to_owned())])
    }

    fn there(&self, path: &Path) -> Result<There, WriteError> {
        self.at.disk.there(path).map_err(disk(path))
    }

    fn print(&self, path: &Path) -> Result<Fingerprint, WriteError> {
        self.at.disk.open(path).and_then(Fingerprint::of_file).map_err(disk(path))
    }

    fn rename(&self, from: &Path, to: &Path) -> Done {
        // Of the two the one that people know is named.
        let named = if from.starts_with(&self.work) { to } else { from };
        self.at.disk.rename(from, to).map_err(disk(named))
    }

    fn remove(&self, path: &Path) -> Done {
        match self.there(path)? {
            There::File => self.at.disk.remove_file(path).map_err(disk(path)),
            There::Nothing | There::Folder | There::Other => Ok(()),
        }
    }

    fn make_dir(&self, path: &Path) -> Done {
        match self.there(path)? {
            There::Folder => Ok(()),
            There::Nothing | There::File | There::Other => self.at.disk.create_dir(path).map_err(disk(path)),
        }
    }

    fn sync(&self, path: &Path) -> Done {
        self.at.disk.sync_dir(path).map_err(disk(path))
    }

    /// Waits for the names in all folders that the moves touch.
    fn sync_out(&self, journal: &Journal) -> Done {
        let there = |folder: &&str| self.there(&self.out(folder)).is_ok_and(|there| there == There::Folder);
        journal.folders().into_iter().filter(there).try_for_each(|folder| self.sync(&self.out(folder)))
    }
}

impl Drop for Folder<'_> {
    /// Frees the lock, and takes away what is empty of what this run made.
    fn drop(&mut self) {
        if self.lock.is_some() {
            let _ = self.remove(&self.work.join(LOCK));
        }
        self.lock = None;
        let _ = self.at.disk.remove_dir(&self.work);
        if !self.filled.get() {
            for path in self.made.iter().rev() {
                let _ = self.at.disk.remove_dir(path);
            }
        }
    }
}
