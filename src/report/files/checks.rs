//! `checks.csv`: what the rules of the code family say of the job, those that fail first, and what the list may lack. It decides
//! nothing.

use crate::checks::{Check, Checks, Forgotten, Rule};
use crate::report::facts::Wording;
use crate::report::form::{Column, Value, csv, in_csv};

/// A check, or what the list may lack.
pub(super) enum Row<'a> {
    Judged(&'a Check),
    Forgotten(&'a Forgotten),
}

impl<'a> Row<'a> {
    fn rule(&self) -> Option<&'a Rule> {
        match self {
            Self::Judged(check) => check.rule.as_ref(),
            Self::Forgotten(_) => None,
        }
    }

    /// What a check says, or what is forgotten.
    fn text(&self, of: fn(&'a Check) -> &'a str, or: fn(&'a Forgotten) -> &'a str) -> &'a str {
        match self {
            Self::Judged(check) => of(check),
            Self::Forgotten(one) => or(one),
        }
    }
}

pub(super) fn columns<'a>() -> [Column<Row<'a>>; 12] {
    [
        in_csv(
            "verdict",
            "fails, not judged, holds, or forgotten; the local code and the inspector decide",
            |_, row| row.text(|check| check.verdict.word(), |_| "forgotten").into(),
        ),
        in_csv("check", "what is looked at; of what is forgotten, what it is", |_, row| {
            row.text(|check| check.of.word(), |one| &one.what).into()
        }),
        in_csv("run or place", "of which run or place", |_, row| {
            row.text(|check| &check.what, |_| "").into()
        }),
        in_csv("saw", "what the job says there; why a house has what is forgotten", |_, row| {
            row.text(|check| &check.saw, |one| &one.why).into()
        }),
        in_csv("asks", "what the rule asks; where it is not judged, why", |_, row| {
            row.text(|check| &check.asks, |_| "").into()
        }),
        in_csv(
            "what to do",
            "what would satisfy it; the row of the run list to add, and the place",
            |_, row| match row {
                Row::Judged(check) => (&check.remedy).into(),
                Row::Forgotten(one) => one.to_add().into(),
            },
        ),
        in_csv(
            "costs",
            "how much more the bid is with what is forgotten; empty where it is not priced",
            |_, row| match row {
                Row::Judged(_) => Value::Nothing,
                Row::Forgotten(one) => one.costs.map(Value::Cents).into(),
            },
        ),
        in_csv("where", "the cells that it speaks of", |_, row| match row {
            Row::Judged(check) => check.cells().into(),
            Row::Forgotten(_) => Value::Nothing,
        }),
        in_csv("rule", "the code family and the section", |_, row| row.rule().map(Rule::called).into()),
        in_csv("source", "where the rule is published", |_, row| {
            row.text(|check| check.rule.as_ref().map_or("", |rule| &rule.source), |one| &one.source).into()
        }),
        in_csv("status", "found, found-restated, computed, from memory or common practice", |_, row| {
            row.rule().map(|rule| rule.status).into()
        }),
        in_csv("estimate", "complete, or INCOMPLETE: something is left out or not priced", |w, _| {
            w.mark(0).into()
        }),
    ]
}

/// The bytes of the file.
pub(super) fn write(words: &Wording<'_>, checks: &Checks) -> Vec<u8> {
    let mut all: Vec<&Check> = checks.list.iter().collect();
    // Stable: of one verdict they stay in their order.
    all.sort_by_key(|check| check.verdict);
    let judged = all.into_iter().map(Row::Judged);
    csv::table(words, &columns(), judged.chain(checks.forgotten.iter().map(Row::Forgotten)))
}
