//! What allowances come to, in words: for the sheet Bid inside, `bid.csv` and the terminal. It adds nothing up but the classes.

use rust_decimal::Decimal;

use super::Wording;
use crate::estimate::AllowanceCost;
use crate::ground::money::{cents, in_currency, points};

/// What the allowance of a class comes to: `99.35 without it, 31.2 % more`.
pub(crate) fn comes_to(one: &AllowanceCost) -> String {
    let more = one.points().map(|more| format!(", {} % more", points(more)));
    format!("{} without it{}", cents(one.without), more.unwrap_or_default())
}

/// What all of them come to, in a sentence; nothing where the job states none.
pub(crate) fn all_come_to(words: &Wording<'_>) -> Option<String> {
    let costs = &words.estimate.allowances;
    let money = |sum: Decimal| in_currency(&words.job.settings.currency, sum);
    let adds: Decimal = costs.iter().map(AllowanceCost::adds).sum();
    let adding = costs.iter().filter(|one| !one.adds().is_zero());
    let of = |one: &AllowanceCost| {
        let more = one.points().map(|more| format!(", {} % more", points(more)));
        format!("{} {}{}", one.class.word(), money(one.adds()), more.unwrap_or_default())
    };
    let each: Vec<String> = adding.map(of).collect();
    let each = if each.is_empty() { String::new() } else { format!(": {}", each.join("; ")) };
    (!costs.is_empty()).then(|| format!("allowances come to {} of the material{each}", money(adds)))
}
