//! The bound of all sets of suppliers that take in those open and none of those closed: what each line is worth at most.
//!
//! A worth is given to each line so that no supplier, whatever lines it gets, is paid more worth than its lines, its fee
//! and its minimum order cost. Then the worths of all lines together, with what the open suppliers charge in any case, are
//! a bound, whatever the worths are. They begin at what a line costs where it is cheapest, and rise line by line to the
//! next dearer supplier until the fee of some supplier is used up.
//!
//! A minimum order comes in by a share, as in [`super::shares`]: a supplier's lines then cost a part less, and its fee the
//! same part of the minimum more. Any share holds; each supplier gets the one that leaves most of its fee, the worths rise
//! anew, and the best bound is kept. Weights, and so ties, are exact: a share is a whole part of 2^14, and a weight has 64 digits below a cent.

use super::shares::WHOLE;
use super::{SUPPLIER, Sourcing, Weight, standing, weight};
use crate::search::effort::Effort;

/// What is decided of a supplier.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stand {
    /// Nothing yet.
    Free,
    /// It has an order.
    Open,
    /// It has none.
    Closed,
}

/// Shares are sought so many times.
const ROUNDS: usize = 4;

/// What one line costs at a supplier, by the place of the supplier or of the line.
#[derive(Clone, Copy)]
struct Cost {
    at: u32,
    cents: u64,
    packs: u64,
}

/// The quotes of an order by line and by supplier.
pub(super) struct Quotes {
    by_line: Vec<Vec<Cost>>,
    by_seller: Vec<Vec<Cost>>,
}

/// The bound of all sets that are left, and what it says of each supplier.
pub(super) struct Ascent {
    /// No set costs less.
    pub(super) bound: Weight,
    /// What is left of each supplier's fee: a set with the supplier costs so much more than the bound at least.
    pub(super) left: Vec<Weight>,
}

impl Quotes {
    /// Of an order.
    pub(super) fn of(of: &Sourcing<'_>) -> Self {
        let place = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
        let mut by_seller = vec![Vec::new(); of.sellers.len()];
        let mut by_line = Vec::with_capacity(of.lines.len());
        for (line, quotes) in of.lines.iter().enumerate() {
            let cost = |at: usize, cents: u64, packs: u64| Cost { at: place(at), cents, packs };
            by_line.push(quotes.iter().map(|quote| cost(quote.seller, quote.cents, quote.packs)).collect());
            for quote in quotes {
                by_seller[quote.seller].push(cost(line, quote.cents, quote.packs));
            }
        }
        Self { by_line, by_seller }
    }

    /// The bound of what is left, each supplier's share to begin with; the shares become those that gave it. Nothing where
    /// a line is sold by none that may be open.
    pub(super) fn ascend(
        &self,
        of: &Sourcing<'_>,
        stands: &[Stand],
        shares: &mut [u128],
        effort: &mut Effort,
    ) -> Option<Ascent> {
        let is_open: Vec<bool> = stands.iter().map(|stand| *stand == Stand::Open).collect();
        let fee = |s: usize| if is_open[s] { 0 } else { SUPPLIER + weight(of.sellers[s].fee, 0) };
        let least = |s: usize| of.sellers[s].least.saturating_sub(of.sellers[s].held.unwrap_or(0));
        let left = |s: usize, share: u128, worths: &[Weight]| {
            let paid = self.by_seller[s].iter();
            let paid = paid.map(|cost| worths[cost.at as usize].saturating_sub(part_of(cost, share))).sum();
            (fee(s) + part(least(s), share)).checked_sub(paid)
        };
        let asks_a_minimum = |s: &usize| stands[*s] != Stand::Closed && least(*s) > 0;
        let asking: Vec<usize> = (0..stands.len()).filter(asks_a_minimum).collect();
        let mut best: Option<(Ascent, Vec<u128>)> = None;
        for round in 0.. {
            let mut lefts: Vec<Weight> =
                (0..stands.len()).map(|s| fee(s) + part(least(s), shares[s])).collect();
            let worths = self.rise(stands, shares, &mut lefts, effort)?;
            // An open supplier is paid in full: what is left of its minimum order too.
            let of_open = lefts.iter().zip(&is_open).filter(|(_, is_open)| **is_open).map(|(left, _)| *left);
            let worth: Weight = worths.iter().copied().chain(of_open).sum();
            let bound = standing(of.sellers, &is_open) + worth;
            if best.as_ref().is_none_or(|(best, _)| best.bound < bound) {
                best = Some((Ascent { bound, left: lefts }, shares.to_vec()));
            }
            if round == ROUNDS || effort.is_spent() {
                break;
            }
            let before = shares.to_vec();
            for s in &asking {
                effort.spend(self.by_seller[*s].len() as u64 * 16);
                let share = self.best_share(*s, least(*s), &worths);
                if left(*s, share, &worths) > left(*s, shares[*s], &worths) {
                    shares[*s] = share;
                }
            }
            if *shares == before {
                break;
            }
        }
        let (best, of_best) = best?;
        shares.copy_from_slice(&of_best);
        Some(best)
    }

    /// The worths of all lines, raised a step a line in turn until each stands at some supplier's fee that is used up. What
    /// an open supplier is paid is paid in any case: there a worth does not rise. Nothing where a line is sold by none that
    /// may be open.
    fn rise(
        &self,
        stands: &[Stand],
        shares: &[u128],
        lefts: &mut [Weight],
        effort: &mut Effort,
    ) -> Option<Vec<Weight>> {
        let mut costs: Vec<Vec<(usize, Weight)>> = Vec::with_capacity(self.by_line.len());
        let mut worths: Vec<Weight> = Vec::with_capacity(self.by_line.len());
        for line in &self.by_line {
            let may_be = line.iter().filter(|cost| stands[cost.at as usize] != Stand::Closed);
            let part = |cost: &Cost| (cost.at as usize, part_of(cost, shares[cost.at as usize]));
            let of_line: Vec<(usize, Weight)> = may_be.map(part).collect();
            worths.push(of_line.iter().map(|(_, cost)| *cost).min()?);
            costs.push(of_line);
        }
        let mut rising: Vec<usize> = (0..costs.len()).collect();
        while !rising.is_empty() && !effort.is_spent() {
            rising.retain(|line| {
                let (worth, costs) = (&mut worths[*line], &costs[*line]);
                effort.spend(costs.len() as u64);
                let (mut least, mut next) = (Weight::MAX, Weight::MAX);
                for (seller, cost) in costs {
                    if cost > worth {
                        next = next.min(*cost);
                    } else if stands[*seller] == Stand::Open {
                        return false;
                    } else {
                        least = least.min(lefts[*seller]);
                    }
                }
                let step = least.min(next - *worth);
                for (seller, _) in costs.iter().filter(|(_, cost)| cost <= worth) {
                    lefts[*seller] -= step;
                }
                *worth += step;
                step > 0
            });
        }
        Some(worths)
    }

    /// The share of a supplier that leaves most of its fee: the first by which the lines that are worth more than they cost
    /// there come to its minimum order.
    fn best_share(&self, seller: usize, least: u64, worths: &[Weight]) -> u128 {
        let reaches = |share: u128| {
            let lines = self.by_seller[seller].iter();
            let lines = lines.filter(|cost| worths[cost.at as usize] > part_of(cost, share));
            lines.map(|cost| u128::from(cost.cents)).sum::<u128>() >= u128::from(least)
        };
        let (mut low, mut high) = (0, WHOLE);
        while low < high {
            let middle = u128::midpoint(low, high);
            if reaches(middle) { high = middle } else { low = middle + 1 }
        }
        low
    }
}

/// A share of so many cents, as a weight.
fn part(cents: u64, share: u128) -> Weight {
    (u128::from(cents) * share) << (64 - WHOLE.ilog2())
}

/// What a line costs, its share taken off.
fn part_of(cost: &Cost, share: u128) -> Weight {
    weight(0, cost.packs) + part(cost.cents, WHOLE - share)
}
