//! Opens plain files, and nothing else: a pipe, a socket or a device would keep the program waiting, or never end. Says
//! whether a file changed while it was read.

use std::fs::{File, Metadata, OpenOptions};
use std::path::Path;
use std::time::SystemTime;

use super::findings::{large_file, unreadable};
use super::limits::Limits;
use crate::ground::notice::{Finding, error, findings};

/// Opens a plain file of no more bytes than are read.
pub(super) fn open(path: &Path, limits: &Limits) -> Result<File, Finding> {
    let unreadable = |why: std::io::Error| unreadable(&why);
    is_plain(&std::fs::metadata(path).map_err(unreadable)?)?;
    let mut options = OpenOptions::new();
    options.read(true);
    // What takes the place of the file meanwhile does not keep us waiting.
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt as _;
        let flags = rustix::fs::OFlags::NONBLOCK.bits();
        options.custom_flags(i32::try_from(flags).unwrap_or_default());
    }
    let file = options.open(path).map_err(unreadable)?;
    let opened = file.metadata().map_err(unreadable)?;
    is_plain(&opened)?;
    if opened.len() > limits.file_bytes() {
        return Err(large_file(limits));
    }
    Ok(file)
}

/// Whether what a path leads to is a plain file; else what it is.
pub(super) fn is_plain(found: &Metadata) -> Result<(), Finding> {
    match (found.is_file(), found.is_dir()) {
        (true, _) => Ok(()),
        (false, true) => Err(no_plain_file("a folder")),
        (false, false) => Err(no_plain_file("a pipe, a socket or a device")),
    }
}

/// What shows that a file is still the same: its length, and when it was last written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stamp(u64, Option<SystemTime>);

impl Stamp {
    /// That of a path, where it leads to anything.
    pub(super) fn of(path: &Path) -> Option<Self> {
        let found = std::fs::metadata(path).ok()?;
        Some(Self(found.len(), found.modified().ok()))
    }
}

/// What is no file.
fn no_plain_file(what: &str) -> Finding {
    error(
        "no-plain-file",
        format!("it is {what}, and no file"),
        "a CSV file or a workbook (xlsx, xlsb, xls, ods)",
        "write the table into a file and name that",
    )
}

findings! {
    /// A file that changed while it was read.
    pub(super) fn changed_meanwhile() = error("changed-meanwhile",
        "the file changed while it was read, so rows of it may be old or missing",
        "a file that nobody saves meanwhile",
        "run it again when the file is saved");
}
