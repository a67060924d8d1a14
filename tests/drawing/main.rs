//! Pictures of jobs: every run that is laid has its name in them, what is planted in a run list is seen, and the same job gives
//! the same bytes. One small picture is kept whole; it may be regenerated (`GOLDEN=write cargo test --test drawing`), and the
//! difference, and the picture itself, are what is reviewed.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

mod kept;
mod laws;
mod planted;

use std::fs;
use std::path::{Path, PathBuf};

use coilstick::estimate::map;
use coilstick::report::drawing_bytes;
use coilstick::trade::Job;

/// A house of two storeys with water, drains and vents, all of it by paths (invented).
pub(crate) const HOUSE: &str = include_str!("two-storeys.csv");

fn project(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// The picture of a job.
fn drawn(path: &Path) -> String {
    let job = Job::read(path).unwrap_or_else(|why| panic!("{why:?}"));
    String::from_utf8(drawing_bytes(&job, &map(&job))).unwrap()
}

/// The picture of a run list; each test names its own.
fn drawn_list(name: &str, runs: &str) -> String {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("drawing").join(name);
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join("runs.csv"), runs).unwrap();
    drawn(&folder)
}

/// The points of the line of a run: what follows its title.
fn line_of<'a>(picture: &'a str, run: &str) -> &'a str {
    let begin = picture.find(&format!("<title>{run}: ")).unwrap_or_else(|| panic!("no {run}"));
    let group = &picture[begin..];
    let group = &group[..group.find("</g>").unwrap()];
    let line = &group[group.find("<path class=\"run").unwrap_or_else(|| panic!("no line: {group}"))..];
    line.split(" d=\"").nth(1).unwrap().split('"').next().unwrap()
}
