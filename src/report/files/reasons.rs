//! Why every quantity of `estimate.json` is there: runs and rules once, each with its cell, and reasons as rows that name
//! them by their places.

use std::collections::{BTreeMap, BTreeSet};

use crate::estimate::alternative::Alternative;
use crate::estimate::takeoff::{Line, Subject};
use crate::ground::RowAt;
use crate::report::facts::{Wording, rule_of, service};
use crate::report::form::{Column, Object, Value, in_json, whole};

/// The runs in the order of the job, which is that of their names where reasons name them.
pub(super) fn put_runs(out: &mut Object<'_>, words: &Wording<'_>) {
    out.each("runs", &words.job.runs, |out, run| {
        out.put("run", &*run.name);
        out.put("cell", words.job.sources.cell(run.row, "run").to_string());
    });
}

/// The rules that reasons rest on, by the rows of their tables.
pub(super) struct Rules(BTreeMap<RowAt, u32>);

impl Rules {
    /// Those of all alternatives.
    pub(super) fn of(words: &Wording<'_>) -> Self {
        let lines = words.estimate.alternatives.iter().flat_map(|of| &of.takeoff.lines);
        let rows: BTreeSet<RowAt> = lines.filter_map(rule_of).collect();
        Self(rows.into_iter().zip(0..).collect())
    }

    /// The list of them: rows of the table `patterns`.
    pub(super) fn put(&self, out: &mut Object<'_>, words: &Wording<'_>) {
        let mut patterns: BTreeMap<RowAt, &str> = BTreeMap::new();
        for pattern in &words.job.catalog.patterns {
            patterns.extend(pattern.rows.iter().map(|rule| (rule.row, &*pattern.name)));
        }
        out.each("rules", self.0.keys(), |out, row| {
            out.put("pattern", patterns.get(row).copied().unwrap_or(""));
            out.put("cell", words.job.sources.cell(*row, "pattern").to_string());
        });
    }
}

/// A line of the takeoff, and the place of its rule.
struct Row<'a> {
    line: &'a Line,
    rule: Option<u32>,
}

fn columns<'a>() -> [Column<Row<'a>>; 9] {
    [
        in_json("item", "its place in the list of items", |_, row| whole(row.line.item.0)),
        // Amounts of what joints consume are small: six places, so that they add up.
        in_json("quantity", "how much", |w, row| Value::Places(w.quantity(row.line), 6)),
        in_json("why", "why it is there", |w, row| w.because(row.line).into()),
        in_json("run", "the place of its run", |_, row| match row.line.subject {
            Subject::Run(run) => whole(run.0),
            Subject::Place(_) => Value::Nothing,
        }),
        in_json("place", "the place it is at, where it is no run's", |w, row| match row.line.subject {
            Subject::Run(_) => Value::Nothing,
            Subject::Place(_) => w.subject(row.line.subject).into(),
        }),
        in_json("rule", "the place of its rule", |_, row| row.rule.map(whole).into()),
        in_json("service", "what flows in it", |_, row| service(row.line.service).into()),
        in_json("phase", "when it is installed", |_, row| row.line.phase.word().into()),
        in_json("area", "where it is installed", |w, row| w.word(row.line.area).into()),
    ]
}

/// The reasons of an alternative.
pub(super) fn put(out: &mut Object<'_>, words: &Wording<'_>, rules: &Rules, of: &Alternative) {
    let row = |line| Row { line, rule: rule_of(line).and_then(|row| rules.0.get(&row).copied()) };
    out.table("reasons", (words, &columns()), of.takeoff.lines.iter().map(row));
}
