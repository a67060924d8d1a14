//! `draw`: the house as a picture, with what notices and checks speak of marked in it.

use std::path::{Path, PathBuf};

use super::notices::weightiest_of;
use super::told::{Told, Words};
use super::{CouldNot, Outcome, Refusal, job, why};
use crate::checks::{Check, failing};
use crate::estimate::{estimate, map};
use crate::ground::inert;
use crate::report::{Shows, write_drawing};
use crate::table::Limits;

/// The most runs that are named as left out; the picture shows all.
const NAMED: usize = 10;

/// A picture is made in a second: of a longer list `check` alone says what fails.
const MOST_CHECKED: usize = 2_000;

/// Draws a job into a file.
pub(super) fn draw(path: &Path, out: Option<&Path>, limits: &Limits) -> Result<Outcome, CouldNot> {
    let file = out.map_or_else(|| beside(path), Path::to_path_buf);
    job::refuse_inside(Some(&file), path)?;
    let job = job::read(path, limits)?;
    let map = map(&job);
    // What fails a check is marked like a warning; it is no notice, and `check` tells it.
    let mut marked = map.clone();
    if job.runs.len() <= MOST_CHECKED {
        marked.told.extend(failing(&job, &estimate(&job)).iter().map(Check::marked));
    }
    let Some(written) = write_drawing(&job, &marked, &file) else {
        let why = format!("{} is no name of a picture: let it end in .svg", inert::path(&file));
        return Err(Refusal::new("could-not", why).into());
    };
    let kept = written.map_err(why)?;
    let shows = Shows::of(&job, &map);
    let mut told = Told::default();
    told.words("shows", Words::new("", shows.words()));
    told.value("to_scale", shows.to_scale);
    told.value("not_to_scale", shows.not_to_scale);
    let left_out = map
        .order
        .iter()
        .filter_map(|id| Some(format!("{}, {}", job.runs[id.index()].name, map.run(*id).out.as_ref()?)));
    let left_out: Vec<String> = left_out.collect();
    left_out.iter().take(NAMED).for_each(|one| told.say("  left out: ", one));
    if let Some(more) = left_out.len().checked_sub(NAMED).filter(|more| *more > 0) {
        told.say("  left out: ", format!("{more} more"));
    }
    let whole = left_out.is_empty();
    told.value("left_out", left_out);
    weightiest_of(&map.told, "see the numbers in the picture", &mut told);
    told.written([inert::path(&file)]);
    Ok(Outcome { notices: [map.told, kept].concat(), told, whole })
}

/// `<job>-drawing.svg` beside the job.
fn beside(path: &Path) -> PathBuf {
    let mut name = job::beside(path, "drawing").into_os_string();
    name.push(".svg");
    name.into()
}
