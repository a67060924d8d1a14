//! `new`: a starter job that runs clean as it is, as a folder of CSV tables or as one workbook; and the built-in tables
//! to copy rows from.

use std::fs;
use std::path::{Path, PathBuf};

use super::args::New;
use super::screen::Screen;
use super::{CouldNot, Done, why};
use crate::ground::name::nearest;
use crate::report::starter::{self, STARTER};
use crate::report::{self, Disk, RealDisk};
use crate::trade::{Job, TABLES};

/// Tables of the starter that can be printed to copy from, every row marked invented.
const INVENTED: [&str; 2] = ["labor", "tools"];

/// Writes a starter, or prints a built-in table.
pub(super) fn new(new: &New, screen: &mut Screen) -> Result<Done, CouldNot> {
    match (&new.table, &new.path) {
        (Some(name), _) => print_table(name, screen),
        (None, Some(path)) if new.workbook => workbook(path, screen),
        (None, Some(path)) => folder(path, screen),
        (None, None) => Err(CouldNot::Say("name a folder for the new job".to_owned())),
    }
}

fn print_table(name: &str, screen: &mut Screen) -> Result<Done, CouldNot> {
    // No hours and no tools are built in: those printed are the starter's, and invented.
    let tables = || TABLES.iter().chain(STARTER.iter().filter(|(name, _)| INVENTED.contains(name)));
    let Some((_, text)) = tables().find(|(known, _)| known.eq_ignore_ascii_case(name)) else {
        let names: Vec<&str> = tables().map(|(name, _)| *name).collect();
        let near = nearest(name, names.iter().copied());
        let near = near.first().map(|near| format!("; did you mean {near}?")).unwrap_or_default();
        let why = format!("no built-in table is called \"{name}\": there are {}{near}", names.join(", "));
        return Err(CouldNot::Say(why));
    };
    screen.bytes(text.as_bytes());
    Ok(Done::Clean)
}

fn folder(path: &Path, screen: &mut Screen) -> Result<Done, CouldNot> {
    // What an earlier run left that was broken off is no job, and an empty folder is as good as none.
    report::mend(path).map_err(why)?;
    if !fs::read_dir(path).is_ok_and(|mut inside| inside.next().is_none()) {
        refuse_taken(path)?;
    }
    report::write_starter(path).map_err(why)?;
    screen.say(&format!("written: {} (its prices and hours are invented; put your own in)", path.display()));
    screen.say(&format!("next: coilstick estimate {}", path.display()));
    Ok(Done::Clean)
}

fn workbook(path: &Path, screen: &mut Screen) -> Result<Done, CouldNot> {
    let path: PathBuf =
        if path.extension().is_some() { path.to_path_buf() } else { path.with_extension("xlsx") };
    refuse_taken(&path)?;
    let bytes = starter::blank(&Job::from_texts(&STARTER)).map_err(why)?;
    // Written beside first: it appears whole or not at all. The name is always the same, so that nothing stays there.
    let fresh = beside(&path);
    let _ = fs::remove_file(&fresh);
    RealDisk.write(&fresh, &bytes).and_then(|()| RealDisk.rename(&fresh, &path)).map_err(|why| {
        let _ = fs::remove_file(&fresh);
        CouldNot::Say(format!("{} could not be written: {why}", path.display()))
    })?;
    screen.written(&path);
    screen.say("next: print its walk sheet, fill runs and prices, then estimate it");
    Ok(Done::Clean)
}

fn refuse_taken(path: &Path) -> Result<(), CouldNot> {
    if fs::symlink_metadata(path).is_ok() {
        return Err(CouldNot::Say(format!("{} is there already; name another", path.display())));
    }
    if let Some(parent) = path.parent().filter(|parent| !parent.as_os_str().is_empty()) {
        fs::create_dir_all(parent).map_err(why)?;
    }
    Ok(())
}

fn beside(path: &Path) -> PathBuf {
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
    path.with_file_name(format!(".{name}.part"))
}
