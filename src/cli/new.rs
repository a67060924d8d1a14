//! `new`: a starter job that runs clean as it is, as a folder of CSV tables or as one workbook; and the built-in tables
//! to copy rows from.

use std::fs;
use std::path::{Path, PathBuf};

use super::args::New;
use super::told::{Part, Told};
use super::words::near;
use super::{CouldNot, Outcome, Refusal, why};
use crate::ground::inert;
use crate::report::starter;
use crate::trade::{Job, TABLES};

/// The tables of the starter, in the order in which they are read about.
const STARTER: [(&str, &str); 6] = [
    ("job", include_str!("../../templates/starter/job.csv")),
    ("runs", include_str!("../../templates/starter/runs.csv")),
    ("places", include_str!("../../templates/starter/places.csv")),
    ("prices", include_str!("../../templates/starter/prices.csv")),
    ("labor", include_str!("../../templates/starter/labor.csv")),
    ("tools", include_str!("../../templates/starter/tools.csv")),
];

/// Tables of the starter that can be printed to copy from, every row marked invented.
const INVENTED: [&str; 2] = ["labor", "tools"];

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
    let tables = || TABLES.iter().chain(STARTER.iter().filter(|(name, _)| INVENTED.contains(name)));
    let Some((_, text)) = tables().find(|(known, _)| known.eq_ignore_ascii_case(name)) else {
        let names: Vec<&str> = tables().map(|(name, _)| *name).collect();
        let near = near(name, names.iter().copied());
        let why = format!("no built-in table is called \"{name}\": there are {}", names.join(", "));
        return Err(Refusal::new("no-such-table", why).near(near).into());
    };
    let mut told = Told::default();
    told.value("table", name);
    told.parts.push(("text", Part::Verbatim((*text).to_owned())));
    Ok(Outcome::of(told))
}

fn folder(path: &Path) -> Result<Outcome, CouldNot> {
    refuse_taken(path)?;
    // Written beside first: the job appears whole or not at all.
    let fresh = beside(path);
    let fill = || -> std::io::Result<()> {
        fs::create_dir_all(&fresh)?;
        for (name, text) in STARTER {
            fs::write(fresh.join(format!("{name}.csv")), text)?;
        }
        fs::rename(&fresh, path)
    };
    fill().map_err(|why| {
        let _ = fs::remove_dir_all(&fresh);
        not_written(path, &why)
    })?;
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
    let fresh = beside(&path);
    fs::write(&fresh, bytes).and_then(|()| fs::rename(&fresh, &path)).map_err(|why| {
        let _ = fs::remove_file(&fresh);
        not_written(&path, &why)
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

fn not_written(path: &Path, why: &std::io::Error) -> CouldNot {
    super::why(format!("{} could not be written: {why}", inert::path(path)))
}

fn beside(path: &Path) -> PathBuf {
    let mut name = std::ffi::OsString::from(".");
    name.push(path.file_name().unwrap_or_default());
    name.push(format!(".part-{}", std::process::id()));
    path.with_file_name(name)
}
