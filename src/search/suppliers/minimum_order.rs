//! Minimum orders: with the open suppliers fixed, every line goes to one of them, and more may be bought of it than is
//! needed, so that each order reaches its minimum and all together cost least. Called by [`super::source`] for the sets
//! of suppliers where the cheapest places of the lines do not reach it by themselves.
//!
//! `shares` gives the bound. `meet_in_the_middle` goes through all choices within a small distance of it: where there is
//! one, the best is least; where there is none, the distance grows by a quarter. Steps are counted; when they are used up,
//! only the most promising choices are followed, and the bound says how far they may be from the least.

use super::meet_in_the_middle::Halves;
use super::shares::{ORDERS, Reach, short, standing};
use super::{Quote, Sourcing};

/// Steps for one set of suppliers before a promising choice is looked for.
const FEW: u64 = 300_000;
/// Steps for a promising choice, and for all that cost less than it.
const STEPS: u64 = 3_000_000;
/// Distances, each a quarter larger, at which a promising choice is looked for.
const TRIES: u32 = 16;
/// Choices of a half that are followed when steps are used up.
const BEAM: usize = 2_000;
/// The first distance from the bound, in cents.
const FIRST: u64 = 16;

/// The best choice for a set of suppliers.
pub(super) struct Reached {
    /// Each line's supplier and sum; nothing where no choice was found that costs at most so much.
    pub(super) lines: Option<Vec<Quote>>,
    /// No choice of the set costs less.
    pub(super) bound: u64,
}

/// The best choice for a set of suppliers that costs at most so many cents. `hard` sets may still be gone through with
/// many steps.
pub(super) fn reach(of: &Sourcing<'_>, open: &[bool], reach: &Reach, most: u64, hard: &mut u32) -> Reached {
    let short = short(of, open);
    if short.iter().filter(|short| **short > 0).count() > ORDERS {
        return Reached { lines: None, bound: reach.bound };
    }
    let mut halves = Halves::new(of, open, reach, &short);
    let mut most = most.min(ceiling(of, &short));
    let (mut distance, mut bound, mut left) = (FIRST, reach.bound, FEW);
    let mut followed: Option<Vec<Quote>> = None;
    loop {
        let to = reach.bound.saturating_add(distance).min(most);
        let Some(found) = halves.best(to, &mut left) else {
            if followed.is_some() {
                return Reached { lines: followed, bound };
            }
            // What a promising choice costs is as far as the others need to be gone through.
            let lines = promising(&mut halves, reach, (distance, most), *hard > 0);
            let Some(lines) = lines else { return Reached { lines: None, bound } };
            if *hard == 0 {
                return Reached { lines: Some(lines), bound };
            }
            most = sum(of, open, &lines).saturating_sub(1);
            followed = Some(lines);
            left = STEPS;
            *hard -= 1;
            continue;
        };
        if found.least {
            bound = to.saturating_add(1);
        }
        if let Some(lines) = found.lines {
            let bound = if found.least { sum(of, open, &lines) } else { bound };
            return Reached { lines: Some(lines), bound };
        }
        if to == most {
            return Reached { lines: followed, bound };
        }
        distance = distance.saturating_add(distance / 4);
    }
}

/// A choice found by following the most promising alone, at distances that grow until there is one; at last the one that
/// the shares give.
fn promising(
    halves: &mut Halves<'_, '_>,
    reach: &Reach,
    (mut distance, most): (u64, u64),
    is_worth_it: bool,
) -> Option<Vec<Quote>> {
    let mut left = if is_worth_it { STEPS } else { 0 };
    let many = (0..TRIES).find_map(|_| {
        let to = reach.bound.saturating_add(distance).min(most);
        distance = distance.saturating_add(distance / 4);
        halves.promising(to, &mut left, BEAM)
    });
    many.or_else(|| halves.promising(most, &mut FEW.clone(), 1))
}

/// What a choice costs in all, in cents.
fn sum(of: &Sourcing<'_>, open: &[bool], lines: &[Quote]) -> u64 {
    let lines = lines.iter().map(|quote| u128::from(quote.cents));
    u64::try_from(lines.sum::<u128>() + standing(of, open)).unwrap_or(u64::MAX)
}

/// More than any choice that is worth looking at costs: every line at its dearest, and every least sum once more with
/// one line more than it takes.
fn ceiling(of: &Sourcing<'_>, short: &[u64]) -> u64 {
    let dearest = |quotes: &Vec<Quote>| quotes.iter().map(|quote| quote.cents).max().unwrap_or(0);
    let lines = of.lines.iter().fold(0_u64, |sum, quotes| sum.saturating_add(dearest(quotes)));
    let largest = of.lines.iter().map(dearest).max().unwrap_or(0);
    let least = short.iter().fold(0_u64, |sum, one| sum.saturating_add(one.saturating_add(largest)));
    let fees = of
        .sellers
        .iter()
        .fold(0_u64, |sum, seller| sum.saturating_add(seller.fee).saturating_add(seller.held.unwrap_or(0)));
    lines.saturating_add(least).saturating_add(fees)
}
