//! Where outputs stand: beside the job, never in it. It writes nothing; the commands that write call it.

use std::path::{Path, PathBuf};

use super::{CouldNot, why};

/// Refuses a folder for outputs that is the job's own or lies in it: its files would be read as tables next time.
pub(super) fn refuse_inside(out: Option<&Path>, job: &Path) -> Result<(), CouldNot> {
    let Some(out) = out.filter(|out| is_inside(out, job)) else { return Ok(()) };
    let out = out.display();
    Err(why(format!("{out} is inside the job; outputs stand beside it. Name another folder with -o")))
}

/// `<job>-estimate` beside the job, for the ending `estimate`.
pub(super) fn beside(job: &Path, ending: &str) -> PathBuf {
    // A path such as `.` has no name of its own: the folder it leads to has.
    let named = match job.file_name() {
        Some(_) => job.to_path_buf(),
        None => job.canonicalize().unwrap_or_else(|_| job.to_path_buf()),
    };
    let stem = if named.is_dir() { named.file_name() } else { named.file_stem() };
    let stem = stem.map(|s| s.to_string_lossy().into_owned()).unwrap_or_default();
    named.with_file_name(format!("{stem}-{ending}"))
}

/// Whether a folder is the job's own or lies in it.
fn is_inside(out: &Path, job: &Path) -> bool {
    let Ok(job) = job.canonicalize() else { return false };
    let mut at = Some(out.to_path_buf());
    // The folder may not be there yet: its nearest ancestor that is decides.
    while let Some(path) = at {
        if let Ok(there) = path.canonicalize() {
            return job.is_dir() && there.starts_with(&job);
        }
        let parent = path.parent().map(Path::to_path_buf);
        at = match parent {
            Some(parent) if parent.as_os_str().is_empty() => Some(PathBuf::from(".")),
            other => other,
        };
    }
    false
}
