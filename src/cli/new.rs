//! `new`: a starter job that runs clean as it is, as a folder of CSV tables or as one workbook; and the built-in tables
//! to copy rows from.

use std::fs;
use std::path::{Path, PathBuf};

use super::args::New;
use super::told::{Part, Told};
use super::words::near;
use super::{CouldNot, Outcome, Refusal, why};
use crate::ground::inert;
use crate::report::starter::{self, STARTER};
use crate::report::{self, Disk, RealDisk};
use crate::trade::{Job, TABLES};

/// Writes a starter, or prints a built-in table.
pub(super) fn new(new: &New) -> Result<Outcome, CouldNot> {
    match (&new.table, &new.path) {
        (Some(name), _) => print_table(name),
        (None, Some(path)) if new.workbook => workbook(path),
        (None, Some(path)) => folder(path),
        (None, None) => Err(why("name a folder for the new job")),
    }
}

fn print_table(name: &str) -> Result<Outcome, CouldNot> {
    // No hours and no tools are built in: those printed are the starter's, and invented.
    let tables = || TABLES.into_iter().chain(starter::invented());
    let Some((_, text)) = tables().find(|(known, _)| known.eq_ignore_ascii_case(name)) else {
        let names: Vec<&str> = tables().map(|(name, _)| name).collect();
        let near = near(name, names.iter().copied());
        let why = format!("no built-in table is called \"{name}\": there are {}", names.join(", "));
        return Err(Refusal::new("no-such-table", why).near(near).into());
    };
    let mut told = Told::default();
    told.value("table", name);
    told.parts.push(("text", Part::Verbatim(text.to_owned())));
    Ok(Outcome::of(told))
}

fn folder(path: &Path) -> Result<Outcome, CouldNot> {
    // What an earlier run left that was broken off is no job, and an empty folder is as good as none.
    report::mend(path).map_err(why)?;
    if !fs::read_dir(path).is_ok_and(|mut inside| inside.next().is_none()) {
        refuse_taken(path)?;
    }
    report::write_starter(path).map_err(why)?;
    let mut told = Told::default();
    let shown = inert::path(path);
    told.say("written: ", format!("{shown} (its prices and hours are invented; put your own in)"));
    told.value("written", STARTER.map(|(name, _)| inert::path(&path.join(format!("{name}.csv")))).to_vec());
    told.say("next: ", format!("coilstick estimate {shown}"));
    Ok(Outcome::of(told))
}

fn workbook(path: &Path) -> Result<Outcome, CouldNot> {
    let path: PathBuf =
        if path.extension().is_some() { path.to_path_buf() } else { path.with_extension("xlsx") };
    refuse_taken(&path)?;
    let bytes = starter::blank(&Job::from_texts(&STARTER)).map_err(why)?;
    // Written beside first: it appears whole or not at all. The name is always the same, so that nothing stays there.
    let fresh = beside(&path);
    let _ = fs::remove_file(&fresh);
    RealDisk.write(&fresh, &bytes).and_then(|()| RealDisk.rename(&fresh, &path)).map_err(|reason| {
        let _ = fs::remove_file(&fresh);
        why(format!("{} could not be written: {reason}", inert::path(&path)))
    })?;
    let mut told = Told::default();
    told.written([inert::path(&path)]);
    told.say("next: ", "print its walk sheet, fill runs and prices, then estimate it");
    Ok(Outcome::of(told))
}

fn refuse_taken(path: &Path) -> Result<(), CouldNot> {
    if fs::symlink_metadata(path).is_ok() {
        return Err(why(format!("{} is there already; name another", inert::path(path))));
    }
    if let Some(parent) = path.parent().filter(|parent| !parent.as_os_str().is_empty()) {
        fs::create_dir_all(parent).map_err(why)?;
    }
    Ok(())
}

fn beside(path: &Path) -> PathBuf {
    let mut name = std::ffi::OsString::from(".");
    name.push(path.file_name().unwrap_or_default());
    name.push(".part");
    path.with_file_name(name)
}
