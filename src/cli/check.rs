//! `check`: reads everything, shows every notice, writes nothing.

use std::path::Path;

use serde_json::json;

use super::job::{incomplete, read};
use super::notices::weightiest_of;
use super::told::{Paint, Told, Words};
use super::{CouldNot, Outcome};
use crate::checks::{Checks, DECIDES, Rule, Verdict};
use crate::doubts::weigh;
use crate::estimate::estimate;
use crate::ground::money::{cents, signed};
use crate::table::Limits;

/// What the rules of the code family say: what fails, then how many hold and how many are not judged.
fn checked(checks: &Checks, short: bool, told: &mut Told) {
    if !short {
        told.gap();
        for check in checks.failed() {
            let rule = check.rule.as_ref().map(|rule| format!(" ({})", rule.called()));
            let (saw, asks, remedy) = (&check.saw, &check.asks, &check.remedy);
            let words = format!("{saw}; {asks}{}; {remedy}", rule.unwrap_or_default());
            told.words("", Words::new(format!("fails {}: ", check.cell()), words).painted(Paint::Yellow));
        }
        let [fails, open, holds] =
            [Verdict::Fails, Verdict::NotJudged, Verdict::Holds].map(|verdict| checks.count(verdict));
        let none = checks.without_a_rule().len();
        told.say(
            "",
            format!(
                "checks by {}: {fails} fail, {holds} hold, {open} are not judged ({none} kinds have no rule here). {DECIDES}",
                checks.family
            ),
        );
    }
    if !short && !checks.forgotten.is_empty() {
        told.gap();
        told.head("Did you forget?");
        for one in &checks.forgotten {
            let costs = one.costs.map(|sum| format!("; with it the bid is {}", signed(sum, cents)));
            told.say(format!("  {}: ", one.what), format!("{}{}", one.why, costs.unwrap_or_default()));
        }
        told.say("", "the rows to add stand on the sheet Checks of the estimate, and in --json");
    }
    let forgotten = checks.forgotten.iter().map(|one| {
        json!({
            "what": one.what,
            "why": one.why,
            "source": one.source,
            "row_to_add": one.line,
            "place_to_add": one.place,
            "bid_more": one.costs.map(cents),
        })
    });
    told.value("forgotten", forgotten.collect::<Vec<_>>());
    told.value("code_family", checks.family.as_str());
    let all = checks.list.iter().map(|check| {
        let rule = check.rule.as_ref();
        json!({
            "check": check.of.word(),
            "verdict": check.verdict.word(),
            "run_or_place": check.what,
            "saw": check.saw,
            "asks": check.asks,
            "remedy": check.remedy,
            "cells": check.spots.iter().map(ToString::to_string).collect::<Vec<_>>(),
            "rule": rule.map(Rule::called),
            "source": rule.map(|rule| rule.source.as_str()),
            "status": rule.map(|rule| rule.status),
        })
    });
    told.value("checks", all.collect::<Vec<_>>());
}

/// Checks a job; where notices are a line each, nothing is said beside them.
pub(super) fn check(path: &Path, limits: &Limits, short: bool) -> Result<Outcome, CouldNot> {
    let job = read(path, limits)?;
    let mut estimate = estimate(&job);
    weigh(&job, &mut estimate);
    let mut told = Told::default();
    told.value("runs", job.runs.len());
    match job.runs.len() {
        0 => told.say("", "the run list has no rows yet: fill runs, then check again"),
        _ if !estimate.told.is_empty() => {}
        1 => told.say("", "1 run, nothing to say"),
        runs => told.say("", format!("{runs} runs, nothing to say")),
    }
    if !short {
        incomplete(&job, &estimate, "", &mut told);
        weightiest_of(&estimate.told, "see above", &mut told);
    }
    let checks = crate::checks::check(&job, &estimate);
    if !job.runs.is_empty() {
        checked(&checks, short, &mut told);
    }
    let whole = estimate.is_complete();
    Ok(Outcome { notices: estimate.told, told, whole })
}
