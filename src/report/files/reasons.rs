//! Why every quantity of `estimate.json` is there: runs and rules once, each with its cell, and reasons as rows that name
//! them by their places.

use std::collections::{BTreeMap, BTreeSet};

use crate::estimate::alternative::Alternative;
use crate::estimate::takeoff::{Line, Subject};
use crate::ground::RowAt;
use crate::report::facts::{Wording, rule_of, service};
use crate::report::form::{AMOUNT, Column, PLACE, TEXT, Value, fields, in_json, whole};
use crate::trade::Run;

/// The rules that reasons rest on, by the rows of their tables.
pub(super) struct Rules(BTreeMap<RowAt, u32>);

impl Rules {
    /// Those of all alternatives.
    pub(super) fn of(words: &Wording<'_>) -> Self {
        let lines = words.estimate.alternatives.iter().flat_map(|of| &of.takeoff.lines);
        let rows: BTreeSet<RowAt> = lines.filter_map(rule_of).collect();
        Self(rows.into_iter().zip(0..).collect())
    }

    /// The list of them: rows of the table `patterns`, each with its pattern.
    pub(super) fn list<'a>(&self, words: &Wording<'a>) -> Vec<(&'a str, String)> {
        let mut patterns: BTreeMap<RowAt, &str> = BTreeMap::new();
        for pattern in &words.job.catalog.patterns {
            patterns.extend(pattern.rows.iter().map(|rule| (rule.row, &*pattern.name)));
        }
        let cell = |row: &RowAt| words.job.sources.cell(*row, "pattern").to_string();
        self.0.keys().map(|row| (patterns.get(row).copied().unwrap_or(""), cell(row))).collect()
    }

    /// The reasons of an alternative.
    pub(super) fn reasons<'a>(&self, of: &'a Alternative) -> impl Iterator<Item = Row<'a>> {
        let row = |line| Row { line, rule: rule_of(line).and_then(|row| self.0.get(&row).copied()) };
        of.takeoff.lines.iter().map(row)
    }
}

fields! {
    /// A run, in the order of the job, which is that of their names where reasons name them.
    pub(super) fn put_run / run_shape (out, words: &Wording<'_>, run: &Run) {
        put "run": TEXT, "its name" => &*run.name;
        put "cell": TEXT, "the cell of its name" => words.job.sources.cell(run.row, "run").to_string();
    }

    /// A rule.
    pub(super) fn put_rule / rule_shape (out, rule: (&str, String)) {
        put "pattern": TEXT, "the pattern" => rule.0;
        put "cell": TEXT, "the cell of its name" => &rule.1;
    }
}

/// A line of the takeoff, and the place of its rule.
pub(super) struct Row<'a> {
    line: &'a Line,
    rule: Option<u32>,
}

pub(super) fn columns<'a>() -> [Column<Row<'a>>; 9] {
    [
        in_json("item", PLACE, "its place in the list of items", |_, row| whole(row.line.item.0)),
        // Amounts of what joints consume are small: six places, so that they add up.
        in_json("quantity", AMOUNT, "how much", |w, row| Value::Places(w.quantity(row.line), 6)),
        in_json("why", TEXT, "why it is there", |w, row| w.because(row.line).into()),
        in_json("run", PLACE.or_null(), "the place of its run", |_, row| match row.line.subject {
            Subject::Run(run) => whole(run.0),
            Subject::Place(_) => Value::Nothing,
        }),
        in_json("place", TEXT.or_null(), "the place it is at, where it is no run's", |w, row| {
            match row.line.subject {
                Subject::Run(_) => Value::Nothing,
                Subject::Place(_) => w.subject(row.line.subject).into(),
            }
        }),
        in_json("rule", PLACE.or_null(), "the place of its rule", |_, row| row.rule.map(whole).into()),
        in_json("service", TEXT, "what flows in it", |_, row| service(row.line.service).into()),
        in_json("phase", TEXT, "when it is installed", |_, row| row.line.phase.word().into()),
        in_json("area", TEXT, "where it is installed", |w, row| w.word(row.line.area).into()),
    ]
}
