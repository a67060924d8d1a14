//! What the writing of whole folders asks of a disk, an operation a function, so that a test can stop it after each. It
//! knows no file by name. [`RealDisk`] is the one that writes.

use std::fs::{self, File, TryLockError};
use std::io::{self, Read, Write};
use std::path::Path;

/// What stands at a path, which is not followed if it is a link.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum There {
    /// Nothing.
    Nothing,
    /// A file.
    File,
    /// A folder.
    Folder,
    /// A link, a pipe, a device.
    Other,
}

/// A lock that was asked for.
#[derive(Debug)]
pub enum Lock {
    /// It is held as long as this lives; the end of the process frees it.
    Mine(File),
    /// Another run holds it.
    OfAnother,
}

/// A disk.
///
/// Every function fails with what the system says. None follows a link in the last part of a path.
#[allow(clippy::missing_errors_doc, reason = "all of them say what the system says")]
pub trait Disk: Sync {
    /// What stands at a path.
    fn there(&self, path: &Path) -> io::Result<There>;
    /// A file, to read.
    fn open(&self, path: &Path) -> io::Result<Box<dyn Read>>;
    /// Writes a new file; when this returns its bytes are on the disk.
    fn write(&self, path: &Path, bytes: &[u8]) -> io::Result<()>;
    /// Makes a folder in one that is there.
    fn create_dir(&self, path: &Path) -> io::Result<()>;
    /// Moves a file to a name that nothing has.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Removes a file.
    fn remove_file(&self, path: &Path) -> io::Result<()>;
    /// Removes an empty folder.
    fn remove_dir(&self, path: &Path) -> io::Result<()>;
    /// Waits until the names in a folder are on the disk.
    fn sync_dir(&self, path: &Path) -> io::Result<()>;
    /// Whether another program holds a file.
    fn is_held(&self, path: &Path) -> io::Result<bool>;
    /// Takes a lock, whose file is made where there is none.
    fn lock(&self, path: &Path) -> io::Result<Lock>;
}

/// The disk of this machine.
#[derive(Debug, Clone, Copy)]
pub struct RealDisk;

/// How often a lock is asked for whose file goes away at the same moment.
const LOCK_TURNS: usize = 20;

impl Disk for RealDisk {
    fn there(&self, path: &Path) -> io::Result<There> {
        match fs::symlink_metadata(path) {
            Ok(there) if there.is_file() => Ok(There::File),
            Ok(there) if there.is_dir() => Ok(There::Folder),
            Ok(_) => Ok(There::Other),
            Err(why) if why.kind() == io::ErrorKind::NotFound => Ok(There::Nothing),
            Err(why) => Err(why),
        }
    }

    fn open(&self, path: &Path) -> io::Result<Box<dyn Read>> {
        Ok(Box::new(File::open(path)?))
    }

    fn write(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        let mut file = File::create_new(path)?;
        file.write_all(bytes)?;
        file.sync_all()
    }

    fn create_dir(&self, path: &Path) -> io::Result<()> {
        fs::create_dir(path)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        // A rename would take the place of a file without a word.
        match self.there(to)? {
            There::Nothing => fs::rename(from, to),
            There::File | There::Folder | There::Other => Err(io::ErrorKind::AlreadyExists.into()),
        }
    }

    fn remove_file(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn remove_dir(&self, path: &Path) -> io::Result<()> {
        fs::remove_dir(path)
    }

    #[cfg(unix)]
    fn sync_dir(&self, path: &Path) -> io::Result<()> {
        match File::open(path)?.sync_all() {
            // Some file systems have no such thing for folders.
            Err(why) if matches!(why.kind(), io::ErrorKind::InvalidInput | io::ErrorKind::Unsupported) => {
                Ok(())
            }
            other => other,
        }
    }

    /// Other systems open no folder as a file.
    #[cfg(not(unix))]
    fn sync_dir(&self, _: &Path) -> io::Result<()> {
        Ok(())
    }

    fn is_held(&self, path: &Path) -> io::Result<bool> {
        let file = match File::open(path) {
            Ok(file) => file,
            // So do systems say it that let one program alone open a file.
            Err(why) if cfg!(windows) && why.kind() != io::ErrorKind::NotFound => return Ok(true),
            Err(why) => return Err(why),
        };
        // Where files cannot be locked nobody has locked it.
        Ok(matches!(file.try_lock(), Err(TryLockError::WouldBlock)))
    }

    fn lock(&self, path: &Path) -> io::Result<Lock> {
        for _ in 0..LOCK_TURNS {
            let file = File::options().write(true).create(true).truncate(false).open(path)?;
            match file.try_lock() {
                Ok(()) if is_still(&file, path)? => return Ok(Lock::Mine(file)),
                // The run that had it has ended and taken its file away.
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => return Ok(Lock::OfAnother),
                // A file system without locks: the run goes on as before there were any.
                Err(TryLockError::Error(why)) if why.kind() == io::ErrorKind::Unsupported => {
                    return Ok(Lock::Mine(file));
                }
                Err(TryLockError::Error(why)) => return Err(why),
            }
        }
        Ok(Lock::OfAnother)
    }
}

/// Whether an open file is still the one at its path.
#[cfg(unix)]
fn is_still(file: &File, path: &Path) -> io::Result<bool> {
    use std::os::unix::fs::MetadataExt;
    let mine = file.metadata()?;
    match fs::symlink_metadata(path) {
        Ok(there) => Ok((there.dev(), there.ino()) == (mine.dev(), mine.ino())),
        Err(why) if why.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(why) => Err(why),
    }
}

#[cfg(not(unix))]
fn is_still(_: &File, path: &Path) -> io::Result<bool> {
    path.try_exists()
}
