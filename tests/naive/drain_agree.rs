//! The engine and the naive counter must count the same of houses with drains, vents and paths. The engine reads its own tables
//! and the run list as written; the naive counter reads tables of drains and paths by itself.

use crate::agree::{between, compare};
use crate::count_texts;
use crate::engine::{Difference, by_engine};
use crate::generate::{Texts, house_with_drains};
use crate::invariants::job_of;

fn differences(texts: &Texts) -> Vec<Difference> {
    let (job, naive) = count_texts(texts);
    between(&by_engine(&job_of(texts)), &job, &naive)
}

#[test]
fn both_counters_agree_on_generated_houses_with_drains() {
    compare(20_000, 1500, house_with_drains, differences);
}
