//! The bid of two estimates, line by line.

use rust_decimal::Decimal;

use super::{BidChange, Side};
use crate::estimate::{Cost, CostLine};

/// What stands before the name of an alternate.
pub const ALTERNATE: &str = "alternate: ";

/// Every line of either bid, in the order of the bid; behind it what each alternate is, against the bid.
pub(super) fn changes(old: Side<'_>, new: Side<'_>) -> Vec<BidChange> {
    let sides = [old, new];
    let lines = |side: Side<'_>| {
        let mut all = side.chosen().map_or(Vec::new(), |chosen| lines(&chosen.cost));
        all.extend(optional(side));
        all
    };
    let (old, new) = (lines(old), lines(new));
    let mut changes: Vec<BidChange> = Vec::new();
    let of = |list: &[(String, Decimal, bool)], name: &str| {
        list.iter().find(|(line, ..)| line == name).map_or(Decimal::ZERO, |(_, sum, _)| *sum)
    };
    for (line, _, is_sum) in new.iter().chain(&old) {
        if !changes.iter().any(|change| change.line == *line) {
            let (old, new) = (of(&old, line), of(&new, line));
            let stated = sides.map(|side| is_stated(side, line));
            changes.push(BidChange { line: line.clone(), old, new, is_sum: *is_sum, stated });
        }
    }
    changes
}

/// What each alternate adds to the bid, or deducts.
fn optional(side: Side<'_>) -> Vec<(String, Decimal, bool)> {
    let Some(base) = side.chosen().map(|chosen| chosen.cost.bid.total) else { return Vec::new() };
    let priced = side.estimate.optional.iter().filter_map(|one| Some((one, one.moved.as_ref()?)));
    let against = priced.map(|(one, moved)| {
        let name = format!("{ALTERNATE}{}", side.job.lexicon.text(one.name));
        (name, moved.bid.total.checked_sub(base).unwrap_or_default(), false)
    });
    against.collect()
}

/// Whether a job says anything of a line.
fn is_stated(side: Side<'_>, line: &str) -> bool {
    if line.starts_with(ALTERNATE) {
        return optional(side).iter().any(|(name, ..)| name == line);
    }
    side.chosen().is_none_or(|chosen| match line {
        "labor" => chosen.labor.stated && chosen.labor.rate.is_some(),
        "tools" => chosen.tools.stated,
        _ => true,
    })
}

/// The lines of one bid: name, sum, whether it is a sum of others.
fn lines(cost: &Cost) -> Vec<(String, Decimal, bool)> {
    let bid = &cost.bid;
    let material = CostLine::ALL.iter().zip(&cost.lines).map(|(line, sum)| (line.word(), *sum, false));
    let rest = [
        ("material", cost.material, true),
        ("labor", bid.spent.labor, false),
        ("lump-sum labor", bid.lump_sum_labor, false),
        ("tools", bid.spent.tools, false),
        ("small parts", bid.small_parts, false),
        ("delivery", bid.delivery, false),
        ("fees that are marked up", bid.marked_up_fees, false),
        ("direct cost", bid.direct, true),
        ("contingency", bid.contingency, false),
        ("overhead", bid.overhead, false),
        ("profit", bid.profit, false),
        ("price of the work", bid.price, true),
        ("sales tax", bid.tax, false),
        ("fees", bid.fees, false),
        ("bid", bid.total, true),
    ];
    material.chain(rest).map(|(name, sum, is_sum)| (name.to_owned(), sum, is_sum)).collect()
}
