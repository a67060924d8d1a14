//! Reaching least orders: with the open suppliers fixed, every line goes to one of them, and more may be bought of it
//! than is needed, so that each order reaches its least sum and all together cost least. Called by
//! [`super::sourcing`] for the sets of suppliers where the cheapest places of the lines do not reach it by themselves.
//!
//! **The bound.** A cent bought where an order falls short is worth something; with so much off each cent (a share
//! below the whole, of each supplier its own) the lines part again, and what they cost then with the shares of all
//! least sums added is a bound, whatever the shares. Shares are whole parts of [`WHOLE`], so the bound is exact; good
//! ones are sought supplier by supplier by halving.
//!
//! **The answer.** [`super::halves`] goes through all choices within a small distance of the bound. Where there is one,
//! the best is least; where there is none, the distance grows by half. Steps are counted; when they are used up, only
//! the most promising choices are followed, and the bound says how far they may be from the least.

use super::halves::Halves;
use super::sourcing::{Quote, Sourcing};

/// What a cent bought at a supplier may be worth at most is a part of this.
pub(super) const WHOLE: u128 = 1 << 14;
/// Orders that may have to reach a least sum at once.
pub(super) const ORDERS: usize = 6;
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

/// The bound of a set of suppliers, and the shares that gave it.
pub(super) struct Reach {
    /// No choice costs less, in cents.
    pub(super) bound: u64,
    /// By supplier.
    pub(super) shares: Vec<u128>,
    /// The bound in parts of a cent.
    pub(super) value: u128,
}

/// The best choice for a set of suppliers.
pub(super) struct Reached {
    /// Each line's supplier and sum; nothing where no choice was found that costs at most so much.
    pub(super) lines: Option<Vec<Quote>>,
    /// No choice of the set costs less.
    pub(super) bound: u64,
}

/// What an order must still reach, by supplier; zero where nothing is asked.
fn short(of: &Sourcing<'_>, open: &[bool]) -> Vec<u64> {
    let sellers = of.sellers.iter().zip(open);
    let short = sellers.map(|(seller, open)| match open {
        true => seller.least.saturating_sub(seller.held.unwrap_or(0)),
        false => 0,
    });
    short.collect()
}

/// What open suppliers charge and hold whatever is decided, in cents.
pub(super) fn standing(of: &Sourcing<'_>, open: &[bool]) -> u128 {
    let sellers = of.sellers.iter().zip(open).filter(|(_, open)| **open);
    sellers.map(|(seller, _)| u128::from(seller.fee) + u128::from(seller.held.unwrap_or(0))).sum()
}

/// The bound of a set of suppliers.
pub(super) fn relax(of: &Sourcing<'_>, open: &[bool]) -> Reach {
    let short = short(of, open);
    let mut shares = vec![0_u128; open.len()];
    for _ in 0..3 {
        for seller in (0..open.len()).filter(|s| short[*s] > 0) {
            let (mut low, mut high) = (0, WHOLE);
            while high - low > 1 {
                let middle = u128::midpoint(low, high);
                shares[seller] = middle;
                if bought(of, open, &shares, seller) < u128::from(short[seller]) {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            let at = |share: u128, shares: &mut Vec<u128>| {
                shares[seller] = share;
                value(of, open, shares, &short)
            };
            let (of_low, of_high) = (at(low, &mut shares), at(high, &mut shares));
            if of_low > of_high {
                shares[seller] = low;
            }
        }
    }
    let value = climb(of, open, &mut shares, &short);
    Reach { bound: u64::try_from(value.div_ceil(WHOLE)).unwrap_or(u64::MAX), shares, value }
}

/// Better shares near those found: one or two of them moved at a time, in ever smaller steps. Supplier by supplier
/// alone the search may stop where two would have to move together.
fn climb(of: &Sourcing<'_>, open: &[bool], shares: &mut Vec<u128>, short: &[u64]) -> u128 {
    let asked: Vec<usize> = (0..open.len()).filter(|s| short[*s] > 0).collect();
    let mut best = value(of, open, shares, short);
    let mut step = WHOLE >> 3;
    while step > 0 {
        let mut better = false;
        for one in &asked {
            for other in &asked {
                for (up, other_up) in [(true, true), (true, false), (false, true), (false, false)] {
                    let mut moved = shares.clone();
                    for (seller, up) in
                        [(*one, up), (*other, other_up)].iter().take(1 + usize::from(one != other))
                    {
                        let share = moved[*seller];
                        moved[*seller] =
                            if *up { (share + step).min(WHOLE) } else { share.saturating_sub(step) };
                    }
                    let reached = value(of, open, &moved, short);
                    if reached > best {
                        (best, *shares, better) = (reached, moved, true);
                    }
                }
            }
        }
        if !better {
            step >>= 1;
        }
    }
    best
}

/// What a quote costs in parts of a cent, its share taken off.
pub(super) fn reduced(shares: &[u128], quote: &Quote) -> u128 {
    (WHOLE - shares[quote.seller]) * u128::from(quote.cents)
}

/// The quote of a line that costs least with its share taken off.
pub(super) fn least<'q>(quotes: &'q [Quote], open: &[bool], shares: &[u128]) -> Option<&'q Quote> {
    quotes.iter().filter(|quote| open[quote.seller]).min_by_key(|quote| reduced(shares, quote))
}

/// What the lines would buy at one supplier.
fn bought(of: &Sourcing<'_>, open: &[bool], shares: &[u128], seller: usize) -> u128 {
    let there = of.lines.iter().filter_map(|quotes| least(quotes, open, shares));
    there.filter(|quote| quote.seller == seller).map(|quote| u128::from(quote.cents)).sum()
}

/// The bound that shares give, in parts of a cent.
fn value(of: &Sourcing<'_>, open: &[bool], shares: &[u128], short: &[u64]) -> u128 {
    let lines = of.lines.iter().filter_map(|quotes| least(quotes, open, shares));
    let lines: u128 = lines.map(|quote| reduced(shares, quote)).sum();
    let least: u128 = shares.iter().zip(short).map(|(share, short)| share * u128::from(*short)).sum();
    standing(of, open) * WHOLE + lines + least
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
