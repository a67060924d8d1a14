//! The settings of two jobs: what the table `job` says otherwise.

use super::runs::Field;
use crate::trade::Job;

/// Settings that differ, in the order of the table `job`.
pub(super) fn changes(old: &Job, new: &Job) -> Vec<Field> {
    let texts = |job: &Job| job.settings.compared(&job.lexicon);
    let pairs = texts(old).into_iter().zip(texts(new));
    let changed = pairs.filter(|((_, old), (_, new))| old != new);
    changed.map(|((heading, old), (_, new))| Field { heading, old, new }).collect()
}
