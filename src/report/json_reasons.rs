//! Why every quantity of `estimate.json` is there: runs and rules once, each with its cell, and reasons as rows that name
//! them by their places. Called by [`super::json_out`] alone.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::wording::{self, Wording};
use crate::estimate::alternative::Alternative;
use crate::estimate::takeoff::{Because, Line, Subject};
use crate::ground::RowAt;
use crate::ground::money::to_places;

/// A run of the base bid.
#[derive(Serialize)]
pub(super) struct RunOut<'a> {
    run: &'a str,
    cell: String,
}

/// The runs in the order of the job, which is that of their names where reasons name them.
pub(super) fn runs_out<'a>(words: &Wording<'a>) -> Vec<RunOut<'a>> {
    let cell = |row: RowAt| words.job.sources.cell(row, "run").to_string();
    words.job.runs.iter().map(|run| RunOut { run: &run.name, cell: cell(run.row) }).collect()
}

/// A row of the table `patterns` that some reason rests on.
#[derive(Serialize)]
pub(super) struct RuleOut<'a> {
    pattern: &'a str,
    cell: String,
}

/// The rules that reasons rest on, by the rows of their tables.
pub(super) struct Rules(BTreeMap<RowAt, usize>);

impl Rules {
    /// Those of all alternatives.
    pub(super) fn of(words: &Wording<'_>) -> Self {
        let lines = words.estimate.alternatives.iter().flat_map(|of| &of.takeoff.lines);
        let rows: BTreeSet<RowAt> = lines.filter_map(rule).collect();
        Self(rows.into_iter().zip(0..).collect())
    }

    /// The list of them.
    pub(super) fn out<'a>(&self, words: &Wording<'a>) -> Vec<RuleOut<'a>> {
        let mut patterns: BTreeMap<RowAt, &'a str> = BTreeMap::new();
        for pattern in &words.job.catalog.patterns {
            patterns.extend(pattern.rows.iter().map(|rule| (rule.row, &*pattern.name)));
        }
        let rule = |row: &RowAt| RuleOut {
            pattern: patterns.get(row).copied().unwrap_or(""),
            cell: words.job.sources.cell(*row, "pattern").to_string(),
        };
        self.0.keys().map(rule).collect()
    }
}

/// The rule that a line rests on.
fn rule(line: &Line) -> Option<RowAt> {
    match line.because {
        Because::Rule(row) => Some(row),
        Because::Length
        | Because::Tail
        | Because::TailReducer
        | Because::Tee(_)
        | Because::Reducer(_)
        | Because::Seam(_)
        | Because::Transition(_)
        | Because::Between
        | Because::Turn
        | Because::Offset
        | Because::Split
        | Because::Adapter
        | Because::OpenEnd
        | Because::Plugged
        | Because::Spacing
        | Because::TailSpacing
        | Because::PartSupport => None,
    }
}

/// The reasons of one alternative: what a row holds, and the rows.
#[derive(Serialize)]
pub(super) struct ReasonsOut<'a> {
    columns: [&'static str; 9],
    rows: Vec<ReasonOut<'a>>,
}

/// A row: it is written as a list, in the order of the columns.
#[derive(Serialize)]
struct ReasonOut<'a>(
    u32,
    String,
    String,
    Option<u32>,
    Option<String>,
    Option<usize>,
    &'static str,
    &'static str,
    &'a str,
);

/// The reasons of an alternative. Amounts of what joints consume are small: six places, so that they add up.
pub(super) fn reasons_out<'a>(words: &Wording<'a>, rules: &Rules, of: &Alternative) -> ReasonsOut<'a> {
    let row = |line: &Line| {
        let (run, place) = match line.subject {
            Subject::Run(run) => (Some(run.0), None),
            Subject::Place(_) => (None, Some(words.subject(line.subject))),
        };
        ReasonOut(
            line.item.0,
            to_places(words.quantity(line), 6),
            words.because(line),
            run,
            place,
            rule(line).and_then(|row| rules.0.get(&row).copied()),
            wording::service(line.service),
            line.phase.word(),
            words.word(line.area),
        )
    };
    ReasonsOut {
        columns: ["item", "quantity", "why", "run", "place", "rule", "service", "phase", "area"],
        rows: of.takeoff.lines.iter().map(row).collect(),
    }
}
