//! What holds of all checks: nothing is judged by what is unknown, what has no rule is not judged and is counted, a user's
//! rows lie over the program's own, and the order of rows changes nothing.

use coilstick::checks::{Checks, Verdict};
use coilstick::trade::CheckOf;

use crate::Tables;

fn of(checks: &Checks, kind: CheckOf, what: &str) -> (Verdict, String) {
    let found = checks.list.iter().find(|check| check.of == kind && check.what == what);
    let found = found.unwrap_or_else(|| panic!("{} of {what}", kind.word()));
    (found.verdict, found.asks.clone())
}

/// A family that no table names has no rules: nothing fails, nothing holds, and all kinds are listed as without one.
#[test]
fn a_family_without_rows_judges_nothing() {
    let checks = Tables::mended().typed("job", "code family", "value", "a village").checks();
    assert_eq!((checks.count(Verdict::Fails), checks.count(Verdict::Holds)), (0, 0));
    assert_eq!(checks.family, "a village");
    assert!(checks.without_a_rule().contains(&CheckOf::StaticPressure));
    assert!(checks.list.iter().all(|check| check.rule.is_none()));
}

#[test]
fn what_the_job_does_not_say_is_not_judged() {
    let checks = Tables::mended().without_row("job", "static pressure").checks();
    assert_eq!(of(&checks, CheckOf::StaticPressure, "main").0, Verdict::NotJudged);
    // A supply without a pattern says nothing of what stands at its end.
    let checks = Tables::mended().typed("runs", "C15", "pattern", "").checks();
    assert_eq!(of(&checks, CheckOf::Stop, "C15").0, Verdict::NotJudged);
    assert_eq!(checks.count(Verdict::Fails), 0);
}

/// A vent is taken away: its trap is vented by nothing of its own, and the way to what airs the drain is too long.
#[test]
fn a_trap_without_its_vent_fails() {
    let checks = Tables::mended().without_row("runs", "V8").checks();
    let kinds: Vec<&str> = checks.failed().map(|check| check.of.word()).collect();
    assert_eq!(kinds, ["trap arm", "trap vent"], "{kinds:?}");
    assert!(checks.failed().all(|check| check.what == "D33"));
}

/// Where a whole drain has no vent anywhere, nothing airs its trap.
#[test]
fn a_drain_without_any_vent_airs_no_trap() {
    use coilstick::trade::Job;
    let runs = "run,service,size,length,joins,to,fixture\nD1,drain,3,10 ft,sewer,,\n\
        D2,drain,1-1/2,4 ft,D1,sink,lavatory\n";
    let job = Job::from_texts(&[("job", "item,value\ndrain system,pvc-cement\n"), ("runs", runs)]);
    let checks = coilstick::checks::check(&job, &coilstick::estimate::estimate(&job));
    let (verdict, _) = of(&checks, CheckOf::TrapVent, "D2");
    assert_eq!(verdict, Verdict::Fails);
    assert!(!checks.list.iter().any(|check| check.of == CheckOf::TrapArm), "its way has no end");
}

/// The user's row takes the place of the built-in one where it says as much, and a row that says more goes before.
#[test]
fn rows_of_the_job_lie_over_those_of_the_program() {
    let own = Tables::mended().typed("code rules", "IRC 1", "check", "static pressure");
    let own = own.typed("code rules", "IRC 1", "of", "").typed("code rules", "IRC 1", "value", "60");
    let own = own.typed("code rules", "IRC 1", "unit", "psi at most").typed("runs", "C2", "note", "-");
    let (verdict, asks) = of(&own.checks(), CheckOf::StaticPressure, "main");
    assert_eq!((verdict, asks.as_str()), (Verdict::Fails, "60 psi at most"));
}

#[test]
fn runs_in_another_order_give_the_same_checks() {
    let texts = |checks: &Checks| -> Vec<(String, Verdict)> {
        let mut all: Vec<_> = checks.list.iter().map(|check| (check.saw.clone(), check.verdict)).collect();
        all.sort();
        all
    };
    let mut turned = Tables::mended();
    turned.0.get_mut("runs").unwrap()[1..].reverse();
    assert_eq!(texts(&Tables::mended().checks()), texts(&turned.checks()));
}
