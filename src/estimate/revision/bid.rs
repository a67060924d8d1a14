//! The bid of two estimates, line by line.

use rust_decimal::Decimal;

use super::{BidChange, Side};
use crate::estimate::order::{Cost, CostLine};

/// Every line of either bid, in the order of the bid.
pub(super) fn changes(old: Side<'_>, new: Side<'_>) -> Vec<BidChange> {
    let lines = |side: Side<'_>| side.chosen().map_or(Vec::new(), |chosen| lines(&chosen.cost));
    let (old, new) = (lines(old), lines(new));
    let mut changes: Vec<BidChange> = Vec::new();
    let of = |list: &[(String, Decimal, bool)], name: &str| {
        list.iter().find(|(line, ..)| line == name).map_or(Decimal::ZERO, |(_, sum, _)| *sum)
    };
    for (line, _, is_sum) in new.iter().chain(&old) {
        if !changes.iter().any(|change| change.line == *line) {
            let (old, new) = (of(&old, line), of(&new, line));
            changes.push(BidChange { line: line.clone(), old, new, is_sum: *is_sum });
        }
    }
    changes
}

/// The lines of one bid: name, sum, whether it is a sum of others.
fn lines(cost: &Cost) -> Vec<(String, Decimal, bool)> {
    let mut lines: Vec<(String, Decimal, bool)> = CostLine::ALL
        .iter()
        .zip(&cost.lines)
        .map(|(line, sum)| (line.word().to_owned(), *sum, false))
        .collect();
    lines.push(("material".to_owned(), cost.material, true));
    lines.extend(cost.markups.iter().map(|markup| (markup.name.to_owned(), markup.amount, false)));
    lines.push(("bid".to_owned(), cost.bid, true));
    lines
}
