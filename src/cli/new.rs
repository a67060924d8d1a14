//! `new`: a starter job that runs clean as it is, as a folder of CSV tables or as one workbook; and the built-in tables
//! to copy rows from.

use std::fs;
use std::path::{Path, PathBuf};

use super::args::New;
use super::screen::Screen;
use super::{CouldNot, Done, why};
use crate::ground::name::nearest;
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
    screen.say(&format!("written: {} (its prices and hours are invented; put your own in)", path.display()));
    screen.say(&format!("next: coilstick estimate {}", path.display()));
    Ok(Done::Clean)
}

fn workbook(path: &Path, screen: &mut Screen) -> Result<Done, CouldNot> {
    let path: PathBuf =
        if path.extension().is_some() { path.to_path_buf() } else { path.with_extension("xlsx") };
    refuse_taken(&path)?;
    let bytes = starter::blank(&Job::from_texts(&STARTER)).map_err(why)?;
    let fresh = beside(&path);
    fs::write(&fresh, bytes).and_then(|()| fs::rename(&fresh, &path)).map_err(|why| {
        let _ = fs::remove_file(&fresh);
        not_written(&path, &why)
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

fn not_written(path: &Path, why: &std::io::Error) -> CouldNot {
    CouldNot::Say(format!("{} could not be written: {why}", path.display()))
}

fn beside(path: &Path) -> PathBuf {
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
    path.with_file_name(format!(".{name}.part-{}", std::process::id()))
}
