//! Files that appear in a folder whole or not at all, whatever ends the run. It knows no output by name but the mark, the
//! last file of a set. Called by [`super::write`] and its like.
//!
//! New files are written into a folder of work inside the output folder; a journal there names every move before the first
//! is made. The mark goes first and comes last, so that a folder with a mark holds one whole set. A run that is broken off
//! is undone by the next one; where it was past its last move, only its folder of work is left to clear. What somebody else
//! put into the folder is not touched; what somebody wrote in is kept under another name.

mod disk;
mod error;
mod fingerprint;
mod folder;
mod journal;
mod mark;
mod plan;

pub use disk::{Disk, Lock, RealDisk, There};
pub use error::{Refusal, WriteError};
pub(in crate::report) use fingerprint::Fingerprint;
pub(in crate::report) use journal::is_plain;
pub(in crate::report) use mark::mark_shape;

use std::path::Path;

use crate::ground::threads::in_threads;
use crate::ground::{Notice, Spot, notice};
use folder::Folder;
use mark::{Listed, sealed};
use plan::{Known, plan};

/// The folder of work inside an output folder; it is there only while a run writes, or after one was broken off.
pub(in crate::report) const WORK: &str = crate::trade::kept::WORK;

/// Where files go.
#[derive(Clone, Copy)]
pub(in crate::report) struct Place<'a> {
    pub(in crate::report) out: &'a Path,
    pub(in crate::report) disk: &'a dyn Disk,
    /// Which names are outputs of this program, of any command.
    pub(in crate::report) is_output: fn(&str) -> bool,
    /// The mark of an estimate.
    pub(in crate::report) estimate: &'static str,
}

/// A file to put into a folder: its path there with `/` between, and its bytes.
pub(in crate::report) type New = (Box<str>, Vec<u8>);

/// Puts a set of files into a folder, all or none. The last is the mark: it is sealed here, with the fingerprints of the
/// others. Gives the notices of what was kept.
pub(in crate::report) fn place_set(mut files: Vec<New>, at: Place<'_>) -> Result<Vec<Notice>, WriteError> {
    let mut prints = in_threads(&files, |(_, bytes)| Fingerprint::of(bytes));
    prints.pop();
    let Some((mark, bytes)) = files.pop() else { return Ok(Vec::new()) };
    let others = files.iter().zip(&prints);
    let listed: Vec<Listed> =
        others.map(|((name, _), print)| Listed { name: name.clone(), sha256: print.clone() }).collect();
    let bytes = sealed(bytes, &listed);
    prints.push(Fingerprint::of(&bytes));
    files.push((mark, bytes));
    place(&files, &prints, Known::ByMark, at)
}

/// Puts one file that stands for itself into a folder. One of its name there is ours if it begins with the same headings.
pub(in crate::report) fn place_one(
    name: &str,
    bytes: Vec<u8>,
    at: Place<'_>,
) -> Result<Vec<Notice>, WriteError> {
    let print = Fingerprint::of(&bytes);
    place(&[(name.into(), bytes)], &[print], Known::ByHeadings, at)
}

/// Puts one picture into a folder, sealed: one of its name there is ours if it begins with the same line, and is kept if somebody
/// wrote in it.
pub(in crate::report) fn place_picture(
    name: &str,
    bytes: Vec<u8>,
    at: Place<'_>,
) -> Result<Vec<Notice>, WriteError> {
    let bytes = mark::sealed_picture(bytes);
    let print = Fingerprint::of(&bytes);
    place(&[(name.into(), bytes)], &[print], Known::BySeal, at)
}

/// Makes a folder of files that nobody has yet.
pub(in crate::report) fn place_new(files: &[New], at: Place<'_>) -> Result<(), WriteError> {
    let prints = in_threads(files, |(_, bytes)| Fingerprint::of(bytes));
    place(files, &prints, Known::Never, at).map(drop)
}

/// Sets right what a run that was broken off left in a folder; a folder that is not there, or holds nothing of that kind, is
/// left as it is.
pub(in crate::report) fn mend(at: Place<'_>) -> Result<(), WriteError> {
    let work = at.out.join(WORK);
    match at.disk.there(&work).map_err(error::disk(&work))? {
        There::Folder => Folder::open(at)?.mended().map(drop),
        There::Nothing | There::File | There::Other => Ok(()),
    }
}

/// The files of a set, of those that `is_asked`, that are not as its mark says; none where there is no mark.
pub(in crate::report) fn edited(
    mark: &str,
    is_asked: impl Fn(&str) -> bool,
    at: Place<'_>,
) -> Result<Vec<String>, WriteError> {
    let Some(mark) = plan::read_mark(mark, at)? else { return Ok(Vec::new()) };
    let mut edited = Vec::new();
    for name in mark.names().filter(|name| is_asked(name)) {
        let print = at.disk.open(&at.out.join(name)).and_then(Fingerprint::of_file).ok();
        if print.as_ref() != mark.of(name) {
            edited.push(name.to_owned());
        }
    }
    Ok(edited)
}

fn place(
    files: &[New],
    prints: &[Fingerprint],
    known: Known,
    at: Place<'_>,
) -> Result<Vec<Notice>, WriteError> {
    let folder = Folder::open(at)?.mended()?;
    let journal = plan(files, prints, known, at)?;
    folder.replace(files, &journal)?;
    let kept = journal.moves.iter().filter_map(|one| Some((one, one.old.as_ref()?.kept.as_deref()?)));
    Ok(kept.map(|(one, kept)| kept_notice(&one.name, kept, known)).collect())
}

/// What is told of a file that was kept.
fn kept_notice(name: &str, kept: &str, known: Known) -> Notice {
    let found = match known {
        Known::ByMark | Known::BySeal | Known::Never => {
            format!("{name} was changed after it was written; it is kept as {kept}")
        }
        Known::ByHeadings => format!("another {name} was there; it is kept as {kept}"),
    };
    let remedy = format!("take over from {kept} what you want to keep, or remove it");
    notice::remark("kept-output", found, "files as they were written", remedy).at([Spot::file(name)])
}
