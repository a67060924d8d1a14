//! Files that appear whole or not at all: written beside their folder first, then moved in, and moved back where one
//! cannot be. Called by [`super::write`] alone.

use std::fmt;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use rust_xlsxwriter::XlsxError;

use crate::ground::inert;

/// Why the files of an estimate could not be written. None of them is there then; what was there before still is.
#[derive(Debug)]
pub enum WriteError {
    /// The disk did not allow it.
    Disk {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        why: io::Error,
    },
    /// A file that this program did not write has the name of one of its outputs.
    Foreign(PathBuf),
    /// The workbook could not hold it.
    Workbook(XlsxError),
}

impl fmt::Display for WriteError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Disk { path, why } => write!(f, "{} could not be written: {why}", inert::path(path)),
            Self::Foreign(path) => {
                let path = inert::path(path);
                write!(f, "{path} is there already and is no output of this program; name another folder")
            }
            Self::Workbook(why) => write!(f, "the workbook could not be made: {why}"),
        }
    }
}

impl std::error::Error for WriteError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Self::Disk { why, .. } => Some(why),
            Self::Foreign(_) => None,
            Self::Workbook(why) => Some(why),
        }
    }
}

fn disk(path: &Path) -> impl FnOnce(io::Error) -> WriteError + use<> {
    let path = path.to_owned();
    |why| WriteError::Disk { path, why }
}

/// Puts files into a folder, all or none. The last of them is the mark: a file that says that earlier ones there are this
/// program's.
pub(in crate::report) fn place(files: &[(&str, Vec<u8>)], out: &Path) -> Result<(), WriteError> {
    refuse_foreign(files, out)?;
    let fresh = beside(out, "part");
    let made = fill(files, &fresh).and_then(|()| move_in(files, &fresh, out));
    // What is left of the folder beside is of no use to anybody.
    let _ = fs::remove_dir_all(&fresh);
    made
}

/// Puts one CSV file into a folder. A file of its name there is ours if it begins with the same headings.
pub(in crate::report) fn place_one(name: &str, bytes: &[u8], out: &Path) -> Result<(), WriteError> {
    let path = out.join(name);
    let first_line = |bytes: &[u8]| bytes.split(|b| *b == b'\n').next().map(<[u8]>::to_vec);
    match fs::read(&path) {
        Ok(there) if first_line(&there) != first_line(bytes) => return Err(WriteError::Foreign(path)),
        Ok(_) => {}
        Err(why) if why.kind() == io::ErrorKind::NotFound => {}
        Err(why) => return Err(disk(&path)(why)),
    }
    fs::create_dir_all(out).map_err(disk(out))?;
    let fresh = beside(&path, "part");
    let placed = fs::write(&fresh, bytes).and_then(|()| fs::rename(&fresh, &path)).map_err(disk(&path));
    let _ = fs::remove_file(&fresh);
    placed
}

/// A folder beside another, with a name that nobody else uses.
fn beside(out: &Path, what: &str) -> PathBuf {
    let name = out.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
    let hidden = format!(".{name}.{what}-{}", std::process::id());
    match out.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.join(hidden),
        Some(_) | None => PathBuf::from(hidden),
    }
}

fn refuse_foreign(files: &[(&str, Vec<u8>)], out: &Path) -> Result<(), WriteError> {
    let ours = files.last().is_some_and(|(mark, _)| is_ours(&out.join(mark)));
    for (name, _) in files {
        let path = out.join(name);
        match fs::symlink_metadata(&path) {
            Ok(there) if !there.is_file() || !ours => return Err(WriteError::Foreign(path)),
            Ok(_) => {}
            Err(why) if why.kind() == io::ErrorKind::NotFound => {}
            Err(why) => return Err(disk(&path)(why)),
        }
    }
    match fs::metadata(out) {
        Ok(there) if !there.is_dir() => Err(WriteError::Foreign(out.to_owned())),
        Ok(_) | Err(_) => Ok(()),
    }
}

/// Whether a file begins as `estimate.json` and `revision.json` do, with the program's name in it.
fn is_ours(mark: &Path) -> bool {
    use io::Read;
    let mut start = String::new();
    let read = fs::File::open(mark).and_then(|file| file.take(200).read_to_string(&mut start));
    read.is_ok() && start.contains("\"format\"") && start.contains(env!("CARGO_PKG_NAME"))
}

fn fill(files: &[(&str, Vec<u8>)], fresh: &Path) -> Result<(), WriteError> {
    if let Some(parent) = fresh.parent().filter(|parent| !parent.as_os_str().is_empty()) {
        fs::create_dir_all(parent).map_err(disk(parent))?;
    }
    let _ = fs::remove_dir_all(fresh);
    fs::create_dir(fresh).map_err(disk(fresh))?;
    for (name, bytes) in files {
        let path = fresh.join(name);
        fs::write(&path, bytes).map_err(disk(&path))?;
    }
    Ok(())
}

/// Moves the files in. A folder that is not there yet appears in one step; in one that is, earlier outputs step aside
/// and come back where anything fails.
fn move_in(files: &[(&str, Vec<u8>)], fresh: &Path, out: &Path) -> Result<(), WriteError> {
    if !out.exists() {
        return fs::rename(fresh, out).map_err(disk(out));
    }
    let aside = beside(out, "before");
    let _ = fs::remove_dir_all(&aside);
    fs::create_dir(&aside).map_err(disk(&aside))?;
    let mut moved = Vec::new();
    let result = files.iter().try_for_each(|(name, _)| {
        let path = out.join(name);
        let there = path.exists();
        if there {
            fs::rename(&path, aside.join(name)).map_err(disk(&path))?;
        }
        moved.push((*name, there));
        fs::rename(fresh.join(name), &path).map_err(disk(&path))
    });
    if result.is_err() {
        for (name, there) in moved {
            let path = out.join(name);
            let _ = fs::remove_file(&path);
            if there {
                let _ = fs::rename(aside.join(name), &path);
            }
        }
    }
    let _ = fs::remove_dir_all(&aside);
    result
}

#[cfg(test)]
mod tests {
    use super::*;

    const MARK: &str = "estimate.json";

    fn folder(name: &str) -> PathBuf {
        let path = std::env::temp_dir().join(format!("coilstick-whole-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).unwrap();
        path
    }

    fn files(text: &str) -> Vec<(&'static str, Vec<u8>)> {
        let mark = format!("{{\"format\": 1, \"program\": \"coilstick\", \"text\": \"{text}\"}}");
        vec![("order.csv", text.as_bytes().to_vec()), (MARK, mark.into_bytes())]
    }

    #[test]
    fn earlier_outputs_are_replaced_and_other_files_stay() {
        let home = folder("replaced");
        let out = home.join("out");
        place(&files("one"), &out).unwrap();
        fs::write(out.join("notes.txt"), "mine").unwrap();
        place(&files("two"), &out).unwrap();
        assert_eq!(fs::read_to_string(out.join("order.csv")).unwrap(), "two");
        assert_eq!(fs::read_to_string(out.join("notes.txt")).unwrap(), "mine");
        assert_eq!(fs::read_dir(&home).unwrap().count(), 1, "nothing is left beside");
        fs::remove_dir_all(home).unwrap();
    }

    #[test]
    fn a_file_of_that_name_that_we_did_not_write_is_refused_and_stays() {
        let home = folder("foreign");
        fs::write(home.join("order.csv"), "an input").unwrap();
        assert!(matches!(place(&files("one"), &home), Err(WriteError::Foreign(_))));
        assert_eq!(fs::read_to_string(home.join("order.csv")).unwrap(), "an input");
        assert!(!home.join(MARK).exists());
        fs::remove_dir_all(home).unwrap();
    }

    #[test]
    fn where_one_file_cannot_be_placed_the_earlier_ones_are_back() {
        let home = folder("back");
        let out = home.join("out");
        place(&files("one"), &out).unwrap();
        let fresh = beside(&out, "part");
        let two = files("two");
        fill(&two[..1], &fresh).unwrap();
        // The second file is not in the fresh folder: moving it fails after the first was moved.
        assert!(move_in(&two, &fresh, &out).is_err());
        assert_eq!(fs::read_to_string(out.join("order.csv")).unwrap(), "one");
        assert!(is_ours(&out.join(MARK)));
        fs::remove_dir_all(home).unwrap();
    }
}
