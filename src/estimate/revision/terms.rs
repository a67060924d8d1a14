//! The terms of two jobs: what the table `job` says otherwise.

use rust_decimal::Decimal;

use super::runs::Field;
use crate::trade::{Job, SaidFor, Settings};

/// Settings that differ, in the order of the table `job`; notes and the name do not count.
pub(super) fn changes(old: &Job, new: &Job) -> Vec<Field> {
    let (old, new) = (texts(old), texts(new));
    let pairs = old.into_iter().zip(new);
    let changed = pairs.filter(|((_, old), (_, new))| old != new);
    changed.map(|((heading, old), (_, new))| Field { heading, old, new }).collect()
}

fn texts(job: &Job) -> Vec<(String, String)> {
    let Settings { date, currency, water_system, drain_system, allowances, .. } = &job.settings;
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
    let Settings { contingency, overhead, profit, sales_tax, .. } = &job.settings;
    for (name, much) in
        [("contingency", contingency), ("overhead", overhead), ("profit", profit), ("sales tax", sales_tax)]
    {
        texts.push((name.to_owned(), points(*much)));
    }
    let bid = &job.settings.bid;
    texts.push(("profit as".to_owned(), bid.profit_as.word().to_owned()));
    texts.push(("small parts".to_owned(), points(bid.small_parts)));
    texts.push(("delivery".to_owned(), bid.delivery.normalize().to_string()));
    let fees: Vec<String> =
        bid.fees.iter().map(|fee| format!("{} {}", fee.name, fee.sum.normalize())).collect();
    texts.push(("fees".to_owned(), fees.join("; ")));
    let rates: Vec<String> =
        bid.tax_rates.iter().map(|(of, much)| format!("{} {}", of.word(), points(*much))).collect();
    texts.push(("sales tax by class".to_owned(), rates.join("; ")));
    let crew = &job.settings.crew;
    let said = |list: &[SaidFor]| {
        let one = |said: &SaidFor| format!("{} {}", word(said.who), said.value.normalize()).trim().to_owned();
        list.iter().map(one).collect::<Vec<_>>().join("; ")
    };
    texts.push(("crew".to_owned(), said(&crew.heads)));
    texts.push(("rate".to_owned(), said(&crew.rates)));
    texts.push(("burden".to_owned(), points(crew.burden)));
    texts.push(("productivity".to_owned(), points(crew.productivity)));
    texts.push(("difficulty".to_owned(), said(&crew.difficulty)));
    texts.push(("turns in plastic".to_owned(), job.settings.turns_in_plastic.word().to_owned()));
    texts.push(("colors".to_owned(), if job.settings.colors { "yes" } else { "no" }.to_owned()));
    texts.push(("tube allowance".to_owned(), job.settings.tube_allowance.word().to_owned()));
    texts
}
