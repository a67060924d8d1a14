//! `checks.csv`: what the rules of the code family say of the job, those that fail first. It decides nothing.

use crate::checks::{Check, check};
use crate::report::facts::Wording;
use crate::report::form::{Column, csv, in_csv};

pub(super) const COLUMNS: [Column<Check>; 10] = [
    in_csv("verdict", "fails, not judged, or holds; the local code and the inspector decide", |_, row| {
        row.verdict.word().into()
    }),
    in_csv("check", "what is looked at", |_, row| row.of.word().into()),
    in_csv("run or place", "of which run or place", |_, row| (&row.what).into()),
    in_csv("saw", "what the job says there", |_, row| (&row.saw).into()),
    in_csv("asks", "what the rule asks; where it is not judged, why", |_, row| (&row.asks).into()),
    in_csv("what to do", "what would satisfy it", |_, row| (&row.remedy).into()),
    in_csv("where", "the cells that it speaks of", |_, row| row.cells().into()),
    in_csv("rule", "the code family and the section", |_, row| row.rule.as_ref().map(|rule| rule.called()).into()),
    in_csv("source", "where the rule is published", |_, row| row.rule.as_ref().map(|rule| &rule.source).into()),
    in_csv("status", "found, found-restated, computed, from memory or common practice", |_, row| {
        row.rule.as_ref().map(|rule| rule.status).into()
    }),
];

/// The bytes of the file.
pub(super) fn write(words: &Wording<'_>) -> Vec<u8> {
    let mut all = check(words.job, words.estimate).list;
    // Stable: of one verdict they stay in their order.
    all.sort_by_key(|check: &Check| check.verdict);
    csv::table(words, &COLUMNS, all.into_iter())
}
