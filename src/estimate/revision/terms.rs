//! The terms of two jobs: what the table `job` says otherwise.

use rust_decimal::Decimal;

use super::runs::Field;
use crate::trade::{Job, Terms, TubeAllowance, TurnsAs};

/// Terms that differ, in the order of the table `job`; notes and the name do not count.
pub(super) fn changes(old: &Job, new: &Job) -> Vec<Field> {
    let (old, new) = (texts(old), texts(new));
    let pairs = old.into_iter().zip(new);
    let changed = pairs.filter(|((_, old), (_, new))| old != new);
    changed.map(|((heading, old), (_, new))| Field { heading, old, new }).collect()
}

fn texts(job: &Job) -> Vec<(String, String)> {
    let Terms { date, currency, water_system, drain_system, allowances, .. } = &job.terms;
    let points = |points: Decimal| format!("{} %", points.normalize());
    let word = |word| job.lexicon.text(word).to_owned();
    let mut texts = vec![
        ("date".to_owned(), date.map(|date| date.to_string()).unwrap_or_default()),
        ("currency".to_owned(), currency.to_string()),
        ("water system".to_owned(), word(*water_system)),
        ("drain system".to_owned(), word(*drain_system)),
    ];
    texts.extend(
        allowances.iter().map(|(class, much, _)| (format!("allowance, {}", class.word()), points(*much))),
    );
    let Terms { contingency, overhead, profit, sales_tax, .. } = &job.terms;
    for (name, much) in
        [("contingency", contingency), ("overhead", overhead), ("profit", profit), ("sales tax", sales_tax)]
    {
        texts.push((name.to_owned(), points(*much)));
    }
    let turns = match job.terms.turns_in_plastic {
        TurnsAs::Bend => "bend",
        TurnsAs::Elbow => "elbow",
    };
    let tube = match job.terms.tube_allowance {
        TubeAllowance::Plan => "plan",
        TubeAllowance::Piece => "piece",
        TubeAllowance::End => "end",
    };
    texts.push(("turns in plastic".to_owned(), turns.to_owned()));
    texts.push(("colors".to_owned(), if job.terms.colors { "yes" } else { "no" }.to_owned()));
    texts.push(("tube allowance".to_owned(), tube.to_owned()));
    texts
}
