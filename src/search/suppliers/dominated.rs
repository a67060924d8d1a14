//! Suppliers that need not be looked at: another sells all that they sell for no more, charges no more for its order, and
//! reaches its minimum order with any of these lines. Whatever is bought of the one is bought as well of the other.

use super::{Sourcing, weight};
use crate::search::effort::Effort;

/// Pairs of quotes that are compared, at most; suppliers that are not compared are looked at.
const STEPS: u64 = 20_000_000;

/// Whether each supplier need not be looked at. One that has an order in any case is, and of two that are alike in all the
/// first.
pub(super) fn dominated(of: &Sourcing<'_>) -> Vec<bool> {
    let mut by_seller: Vec<Vec<(usize, u64, u64)>> = vec![Vec::new(); of.sellers.len()];
    for (line, quotes) in of.lines.iter().enumerate() {
        for quote in quotes {
            by_seller[quote.seller].push((line, quote.cents, quote.packs));
        }
    }
    let mut dominated = vec![false; of.sellers.len()];
    let mut effort = Effort::new(STEPS);
    for one in (0..of.sellers.len()).filter(|s| of.sellers[*s].held.is_none()) {
        let (seller, lines) = (&of.sellers[one], &by_seller[one]);
        // Of one that is dominated itself it is enough to know who dominates that.
        dominated[one] = (0..of.sellers.len()).any(|other| {
            if other == one || dominated[other] || by_seller[other].len() < lines.len() {
                return false;
            }
            let by = &of.sellers[other];
            let fee = if by.held.is_some() { 0 } else { by.fee };
            let least = by.least.saturating_sub(by.held.unwrap_or(0));
            // Of two that may cost the same the first is taken.
            let mut first = other < one || fee < seller.fee || by.held.is_some();
            let mut there = by_seller[other].iter();
            fee <= seller.fee
                && lines.iter().all(|(line, cents, packs)| {
                    effort.spend(1);
                    let Some((_, theirs, their_packs)) = there.find(|(at, ..)| at == line) else {
                        return false;
                    };
                    let (ours, cheaper) = (weight(*cents, *packs), weight(*theirs, *their_packs));
                    first |= cheaper < ours;
                    cheaper <= ours && *theirs >= least
                })
                && first
                && !effort.is_spent()
        });
    }
    dominated
}
