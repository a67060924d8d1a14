//! Tube whose price has breaks at one supplier: which prices are reached is decided beside the cut plan. Called by
//! [`super::supplier`] for all coils and sticks of one supplier; it cuts nothing itself.
//!
//! **The bound.** A range of prices is given to each lot, from the price that so many of it get to a lower one. Whoever
//! buys within the range buys at least the number that its first price asks for (or pays for that number, where fewer
//! are opened) and pays no less than its last price for each. So a plan in which that number stands there for nothing,
//! every further one costs the last price, and the number itself is added at the last price, is a bound for all ways
//! to buy within the ranges. Where a range is one price the bound is what is paid. Ranges are halved where the bound
//! and what is paid part, the lowest bound first: the ranges together are always all ways to buy, so the lowest bound
//! of those that are left is one for all.

use super::plan::{Asked, COMPARED, Offered, Sale, plan_at};
use crate::estimate::buying::ask::NotPriced;
use crate::estimate::buying::lot::Lot;
use crate::estimate::buying::price;

/// Ranges that are planned for one tube at one supplier. Three lots of three prices have 27 ends.
const MOST: usize = 120;
/// Plans that are not proven least, after which no more are made: each may have taken all steps.
const HARD: u32 = 6;

/// From which price to which, of each lot, by their places.
type Ranges = Vec<(usize, usize)>;

/// A choice of ranges that may hold something cheaper than what is there.
struct Open {
    ranges: Ranges,
    /// Nothing within the ranges costs less.
    bound: u64,
    /// Where to halve: the lot and the last price of the lower half.
    halve: Option<(usize, usize)>,
}

/// All in coils and sticks: the cheapest found, with the bound for all ways to reach a break or not.
pub(super) fn in_lengths(asked: &Asked<'_>, lots: &[Lot], effort: u64) -> Result<Offered, NotPriced> {
    let first: Vec<Sale> = lots.iter().map(Sale::free).collect();
    if lots.iter().all(|lot| lot.tiers.len() == 1) {
        return plan_at(asked, &first, effort);
    }
    // Of all plans together only a few can be hard.
    let most = if asked.joins(lots) { effort.min(COMPARED) } else { effort };
    let effort = most / u64::from(HARD);
    let mut best = plan_at(asked, &first, effort)?;
    let all: Ranges = lots.iter().map(|lot| (0, lot.tiers.len() - 1)).collect();
    let mut open = vec![within(asked, lots, all, 0, effort, &mut best)?.0];
    // What nothing within ranges costs less than that are not looked at any further.
    let mut settled = u64::MAX;
    let (mut left, mut hard) = (if effort == 0 { 0 } else { MOST }, HARD);
    while let Some(at) = (0..open.len()).min_by_key(|at| (open[*at].bound, &open[*at].ranges)) {
        let next = open.swap_remove(at);
        if next.bound >= best.sum() {
            settled = settled.min(next.bound);
            break;
        }
        let halves = next.halve.filter(|_| left > 1 && hard > 0).map(|at| halves(&next.ranges, at));
        let Some(halves) = halves else {
            settled = settled.min(next.bound);
            continue;
        };
        for ranges in halves {
            left -= 1;
            let (half, proven) = within(asked, lots, ranges, next.bound, effort, &mut best)?;
            hard = hard.saturating_sub(u32::from(!proven));
            open.push(half);
        }
    }
    let bound = settled.min(best.sum());
    Ok(Offered { bound, ..best })
}

/// Plans within ranges, keeps what it comes to if that is better, and says where to halve them. Also whether the plan
/// is proven. `bound` is that of wider ranges.
fn within(
    asked: &Asked<'_>,
    lots: &[Lot],
    ranges: Ranges,
    bound: u64,
    effort: u64,
    best: &mut Offered,
) -> Result<(Open, bool), NotPriced> {
    let mut sales = Vec::new();
    let mut standing = 0_u64;
    for (lot, (from, to)) in lots.iter().zip(&ranges) {
        let (number, last) = (lot.tiers[*from].from, lot.tiers[*to].price);
        if *from > 0 {
            let paid = price::cents(last).and_then(|cents| cents.checked_mul(number));
            standing = paid.and_then(|paid| standing.checked_add(paid)).ok_or(NotPriced::TooLarge)?;
            sales.push(Sale::there(lot, number));
        }
        sales.push(Sale { price: last, ..Sale::free(lot) });
    }
    let planned = plan_at(asked, &sales, effort)?;
    let lowest = planned.bound.checked_add(standing).ok_or(NotPriced::TooLarge)?.max(bound);
    let proven = planned.is_least_at_its_prices();
    let halve = widest(lots, &ranges, &planned);
    let (sum, count) = (planned.sum(), planned.count());
    if (sum, count) < (best.sum(), best.count()) {
        *best = planned;
    }
    Ok((Open { ranges, bound: lowest, halve }, proven))
}

/// The lot for which most lies between what is paid and what the bound counts, and the price that it gets, or the one
/// before its last. Nothing where nothing lies between.
fn widest(lots: &[Lot], ranges: &Ranges, planned: &Offered) -> Option<(usize, usize)> {
    let wide = lots.iter().zip(ranges).enumerate().filter(|(_, (_, (from, to)))| from < to);
    let apart = |(at, (lot, (from, to))): (usize, (&Lot, &(usize, usize)))| {
        let opened = planned.opened(lot);
        let bought = lot.up_to_a_break(opened);
        let counted = price::cents(lot.tiers[*to].price)?.checked_mul(opened.max(lot.tiers[*from].from))?;
        let counted = if *from == 0 && opened == 0 { 0 } else { counted };
        let paid = lot.cents(bought)?;
        let reached = lot.tiers.iter().rposition(|tier| bought >= tier.from).unwrap_or(0);
        let last = reached.max(*from).min(to.saturating_sub(1));
        Some((paid.checked_sub(counted)?, std::cmp::Reverse(at), last))
    };
    let widest = wide.filter_map(apart).max();
    widest.filter(|(apart, ..)| *apart > 0).map(|(_, at, last)| (at.0, last))
}

/// The ranges with one lot up to a price, and with it beyond.
fn halves(ranges: &Ranges, (lot, last): (usize, usize)) -> [Ranges; 2] {
    let (mut lower, mut upper) = (ranges.clone(), ranges.clone());
    lower[lot].1 = last;
    upper[lot].0 = last + 1;
    [lower, upper]
}
