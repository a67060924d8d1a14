//! Why files could not be put into a folder, in sentences.

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

use rust_xlsxwriter::XlsxError;

use crate::ground::inert;

/// Why the files of a command could not be written. None of them is there then; what was there before still is.
#[derive(Debug)]
pub enum WriteError {
    /// The disk did not allow it.
    Disk {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        why: io::Error,
    },
    /// What stands in the way: all of it at once.
    Refused(Vec<Refusal>),
    /// Another run writes into the folder.
    Busy(PathBuf),
    /// What an earlier run says of its moves is not what this program writes.
    Journal(PathBuf),
    /// A table is no longer as it was read.
    Changed(PathBuf),
    /// The workbook could not hold it.
    Workbook(XlsxError),
}

/// A file that stands in the way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refusal {
    /// It has the name of an output, and this program did not write it.
    Foreign(PathBuf),
    /// Another program has it open; with the file that says so, where there is one.
    Open(PathBuf, Option<PathBuf>),
    /// It belongs to the estimate in the same folder.
    OfEstimate(PathBuf),
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Foreign(path) => {
                let path = inert::path(path);
                write!(f, "{path} is there already and is no output of this program; name another folder")
            }
            Self::Open(path, None) => {
                write!(f, "{} is open in another program; close it there", inert::path(path))
            }
            Self::Open(path, Some(lock)) => {
                let (path, lock) = (inert::path(path), inert::path(lock));
                write!(f, "{path} is open in another program; close it there (if none has it, remove {lock})")
            }
            Self::OfEstimate(path) => {
                write!(f, "{} belongs to the estimate in its folder; name another folder", inert::path(path))
            }
        }
    }
}

impl fmt::Display for WriteError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Disk { path, why } => write!(f, "{} could not be written: {why}", inert::path(path)),
            Self::Refused(refused) => {
                for (at, one) in refused.iter().enumerate() {
                    let gap = if at > 0 { "\n" } else { "" };
                    write!(f, "{gap}{one}")?;
                }
                Ok(())
            }
            Self::Busy(out) => {
                write!(f, "another run is writing into {}; wait until it has ended", inert::path(out))
            }
            Self::Journal(path) => write!(
                f,
                "{} is damaged: it should say which files a run moved that was broken off; take what you need out of \
                 its folder, remove that folder, and run again",
                inert::path(path)
            ),
            Self::Changed(path) => {
                write!(f, "{} was changed while it was read; run again", inert::path(path))
            }
            Self::Workbook(why) => write!(f, "the workbook could not be made: {why}"),
        }
    }
}

impl std::error::Error for WriteError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Self::Disk { why, .. } => Some(why),
            Self::Workbook(why) => Some(why),
            Self::Refused(_) | Self::Busy(_) | Self::Journal(_) | Self::Changed(_) => None,
        }
    }
}

/// What the disk says of a path.
pub(super) fn disk(path: &Path) -> impl FnOnce(io::Error) -> WriteError + use<> {
    let path = path.to_owned();
    |why| WriteError::Disk { path, why }
}
