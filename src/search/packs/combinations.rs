//! All ways to cover a need within a sum: whole packs and loose goods, more than is needed with them. Where an order
//! must reach its supplier's least sum, the cheapest way is not always the best. Called where an order must be topped up.

use std::collections::BTreeMap;

use super::{Cover, Kind, Loose};

/// Combinations that are looked at for one line at one supplier.
const STEPS: u32 = 40_000;

/// The ways that cost no more than `most`, one of each sum (the one of fewest packs, of these the one with
/// fewest of the first kind), sums going up. Nothing where there are too many.
pub fn combinations(need: u64, kinds: &[Kind], loose: &[Loose], most: u64) -> Option<Vec<Cover>> {
    // More of one kind than there are steps: no need to go through them.
    let cheapest = kinds.iter().filter_map(|kind| kind.tiers.last()).map(|tier| tier.1);
    if cheapest.min().is_some_and(|cents| most / cents.max(1) > u64::from(STEPS)) {
        return None;
    }
    let mut walk = Walk { kinds, loose, most, left: STEPS, found: BTreeMap::new() };
    walk.kind(0, need, &mut vec![0; kinds.len()], 0)?;
    Some(walk.found.into_values().collect())
}

struct Walk<'a> {
    kinds: &'a [Kind],
    loose: &'a [Loose],
    most: u64,
    left: u32,
    found: BTreeMap<u64, Cover>,
}

impl Walk<'_> {
    /// Every number of one kind, then of the next. Nothing when steps are used up.
    fn kind(&mut self, at: usize, rest: u64, counts: &mut Vec<u64>, spent: u64) -> Option<()> {
        self.left = self.left.checked_sub(1)?;
        let Some(kind) = self.kinds.get(at) else {
            return self.loose(rest, counts, spent);
        };
        let last_break = kind.tiers.last().map_or(1, |tier| tier.0);
        let mut count = 0;
        loop {
            // A break may make more of them cheaper again.
            let sum = kind.cents(count)?.saturating_add(spent);
            if sum <= self.most {
                counts[at] = count;
                let held = count.saturating_mul(kind.holds);
                self.kind(at + 1, rest.saturating_sub(held), counts, sum)?;
            } else if count >= last_break {
                break;
            }
            self.left = self.left.checked_sub(1)?;
            count += 1;
        }
        counts[at] = 0;
        Some(())
    }

    fn loose(&mut self, rest: u64, counts: &[u64], spent: u64) -> Option<()> {
        if rest == 0 {
            self.take(counts, None, spent);
        }
        for (which, loose) in self.loose.iter().enumerate() {
            let last_break = loose.tiers.last().map_or(1, |tier| tier.0);
            let mut quantity = rest.max(1);
            loop {
                let sum = loose.cents(quantity).saturating_add(spent);
                if sum <= self.most {
                    self.take(counts, Some((which, quantity)), sum);
                } else if quantity >= last_break {
                    break;
                }
                self.left = self.left.checked_sub(1)?;
                quantity += 1;
            }
        }
        Some(())
    }

    fn take(&mut self, counts: &[u64], loose: Option<(usize, u64)>, cents: u64) {
        let packs = counts
            .iter()
            .fold(loose.map_or(0, |(_, quantity)| quantity), |sum, count| sum.saturating_add(*count));
        let is_better = self.found.get(&cents).is_none_or(|known| packs < known.packs);
        if is_better {
            let cover = Cover { cents, packs, counts: counts.to_vec(), loose, proven: true };
            self.found.insert(cents, cover);
        }
    }
}
