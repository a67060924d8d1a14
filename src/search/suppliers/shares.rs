//! The bound of a set of suppliers whose orders must reach a minimum. Whatever the shares, it holds.
//!
//! A cent bought where an order falls short is worth something; with so much off each cent (a share below the whole, of
//! each supplier its own) the lines part again, and what they cost then with the shares of all minimum orders added is a
//! bound. Shares are whole parts of [`WHOLE`], so the bound is exact; good ones are sought supplier by supplier by
//! halving. Called by `minimum_order`; `meet_in_the_middle` reads its shares.

use super::{Quote, Sourcing};

/// What a cent bought at a supplier may be worth at most is a part of this.
pub(super) const WHOLE: u128 = 1 << 14;
/// Orders that may have to reach a minimum at once.
pub(super) const ORDERS: usize = 6;

/// The bound of a set of suppliers, and the shares that gave it.
pub(super) struct Reach {
    /// No choice costs less, in cents.
    pub(super) bound: u64,
    /// By supplier.
    pub(super) shares: Vec<u128>,
    /// The bound in parts of a cent.
    pub(super) value: u128,
}

/// What an order must still reach, by supplier; zero where nothing is asked.
pub(super) fn short(of: &Sourcing<'_>, open: &[bool]) -> Vec<u64> {
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
    if asked.len() > ORDERS {
        // No choice is sought where so many orders fall short.
        return best;
    }
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
