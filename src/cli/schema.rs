//! `schema`: the form of a JSON file that the program writes, as a JSON Schema. It prints nothing.

use super::args::verbatim;
use super::words::near;
use super::{CouldNot, Outcome, Refusal};
use crate::report;

/// The schema of a file by its name, with or without its ending.
pub(super) fn schema(file: &str) -> Result<Outcome, CouldNot> {
    let names = report::SCHEMAS.map(|(name, _)| name);
    let is_it = |name: &&&str| **name == file || name.strip_suffix(".json") == Some(file);
    match names.iter().find(is_it).and_then(|name| report::schema(name)) {
        Some(text) => Ok(verbatim(text.as_bytes())),
        None => {
            let why = format!("no schema of `{file}`; there are those of {}", names.join(" and "));
            Err(Refusal::new("no-such-schema", why).near(near(file, names.into_iter())).into())
        }
    }
}
