//! The most value in one stick: pieces with values, at most so many of each. In whole numbers, exact or with a
//! bound that is. Called by `columns` to propose ways of cutting and to prove inequalities.

use crate::search::effort::Effort;

/// Equal pieces with a value each.
#[derive(Debug, Clone, Copy)]
pub(super) struct Item {
    pub(super) len: u64,
    pub(super) value: u64,
    pub(super) count: u64,
}

/// What one stick can hold.
#[derive(Debug, Clone)]
pub(super) struct Best {
    /// No filling is worth more.
    pub(super) bound: u64,
    /// The best filling found: items by index and count. Worth `bound`, unless the steps were too few.
    pub(super) items: Vec<(usize, u64)>,
}

/// The largest table: entries of 8 bytes, and cells of one bit.
const MOST_ENTRIES: u64 = 2 << 20;
const MOST_CELLS: u64 = 256 << 20;
/// Steps of the search for a good filling, the least before a table is made instead, and where none can be made.
const FEW_STEPS: u64 = 2_000;
const MANY_STEPS: u64 = 400_000;
/// What one of them counts in effort.
const STEP: u64 = 8;

/// How much is spent on a filling.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Care {
    /// A good one will do.
    Quick,
    /// The best one is wanted.
    Thorough,
}

/// The best filling for sticks of each of these lengths, where it is worth more than that length's `floor`; else
/// none, and the floor is the bound.
pub(super) fn best_fillings(
    items: &[Item],
    sticks: &[(u64, u64)],
    care: Care,
    effort: &mut Effort,
) -> Vec<Best> {
    let mut order: Vec<usize> =
        (0..items.len()).filter(|&i| items[i].value > 0 && items[i].count > 0).collect();
    order.sort_by(|&a, &b| {
        let cross = |x: usize, y: usize| u128::from(items[x].value) * u128::from(items[y].len);
        cross(b, a).cmp(&cross(a, b)).then(a.cmp(&b))
    });
    let sorted: Vec<Item> = order.iter().map(|&i| items[i]).collect();
    let longest = sticks.iter().map(|&(len, _)| len).max().unwrap_or(0);
    let parts: u64 =
        sorted.iter().map(|item| u64::from((item.count.min(longest / item.len) + 1).ilog2()) + 1).sum();
    let work = longest.saturating_mul(parts);
    let tabled = care == Care::Thorough && longest < MOST_ENTRIES && work <= MOST_CELLS;
    let steps = if care == Care::Quick {
        FEW_STEPS
    } else if tabled {
        FEW_STEPS.max(work / 8 / sticks.len().max(1) as u64)
    } else {
        MANY_STEPS
    };
    let above = Above::new(&sorted);
    let tried: Vec<(Best, bool)> =
        sticks.iter().map(|&(len, floor)| by_search(&above, len, floor, steps, effort)).collect();
    let mut found: Vec<Best> = if tried.iter().all(|(_, exact)| *exact) || !tabled || !effort.spend(work) {
        tried.into_iter().map(|(best, _)| best).collect()
    } else {
        by_table(&sorted, sticks, longest)
    };
    for best in &mut found {
        for (i, _) in &mut best.items {
            *i = order[*i];
        }
        best.items.sort_unstable();
    }
    found
}

/// Bounds for what can still be added to a filling.
struct Above<'a> {
    items: &'a [Item],
    /// Value for length, in 2^-20, rounded up.
    dense: Vec<u64>,
    /// The shortest item from each place on.
    shortest: Vec<u64>,
    /// Items by length, each with the most value of all that are no longer.
    single: Vec<(u64, u64)>,
}

impl Above<'_> {
    fn new(items: &[Item]) -> Above<'_> {
        let mut shortest: Vec<u64> = items.iter().map(|item| item.len).collect();
        for i in (1..shortest.len()).rev() {
            shortest[i - 1] = shortest[i - 1].min(shortest[i]);
        }
        let dense = |item: &Item| (u128::from(item.value) << 20).div_ceil(u128::from(item.len));
        let dense = items.iter().map(|item| u64::try_from(dense(item)).unwrap_or(u64::MAX)).collect();
        let mut single: Vec<(u64, u64)> = items.iter().map(|item| (item.len, item.value)).collect();
        single.sort_unstable();
        for i in 1..single.len() {
            single[i].1 = single[i].1.max(single[i - 1].1);
        }
        Above { items, dense, shortest, single }
    }

    /// No more value than this goes into the rest of the length, from items at this place on.
    fn most(&self, rest: u64, at: usize) -> u64 {
        if at >= self.items.len() || rest < self.shortest[at] {
            return 0;
        }
        let by_length = self.by_length(rest, at);
        if rest - self.shortest[at] >= self.shortest[at] {
            return by_length;
        }
        // There is room for a single item.
        let end = self.single.partition_point(|&(len, _)| len <= rest);
        by_length.min(end.checked_sub(1).map_or(0, |i| self.single[i].1))
    }

    /// The same by length alone: the more of an item is given up for later ones, the less it says in all.
    fn by_length(&self, rest: u64, at: usize) -> u64 {
        let dense = self.dense.get(at).copied().unwrap_or(0);
        u64::try_from((u128::from(rest) * u128::from(dense)) >> 20).unwrap_or(u64::MAX)
    }
}

/// Depth first, the most valuable for their length first. Says whether it came to an end.
fn by_search(above: &Above<'_>, len: u64, floor: u64, steps: u64, effort: &mut Effort) -> (Best, bool) {
    let items = above.items;
    let root = above.most(len, 0).max(floor);
    let (mut taken, mut best, mut best_value): (Vec<(usize, u64)>, Vec<_>, u64) =
        (Vec::new(), Vec::new(), floor);
    let (mut value, mut rest, mut at, mut used) = (0u64, len, 0, 0);
    loop {
        while at < items.len() && value.saturating_add(above.most(rest, at)) > best_value {
            used += 1;
            let n = items[at].count.min(rest / items[at].len);
            if n > 0 {
                taken.push((at, n));
                rest -= n * items[at].len;
                value += n * items[at].value;
            }
            at += 1;
        }
        if value > best_value {
            (best_value, best) = (value, taken.clone());
        }
        loop {
            used += 1;
            let Some((i, n)) = taken.pop() else {
                effort.spend(used * STEP);
                return (Best { bound: best_value, items: best }, true);
            };
            if used > steps {
                effort.spend(used * STEP);
                return (Best { bound: root, items: best }, false);
            }
            (rest, value) = (rest + items[i].len, value - items[i].value);
            if value.saturating_add(above.most(rest, i + 1)) > best_value {
                if n > 1 {
                    taken.push((i, n - 1));
                }
                at = i + 1;
                break;
            }
            if n > 1 && value.saturating_add(above.by_length(rest, i + 1)) > best_value {
                taken.push((i, n - 1));
                continue;
            }
            // Fewer still of this item are worth even less.
            (rest, value) = (rest + (n - 1) * items[i].len, value - (n - 1) * items[i].value);
        }
    }
}

/// One table for all lengths, and one bit for each part of an item and length: whether the part is taken.
fn by_table(items: &[Item], sticks: &[(u64, u64)], longest: u64) -> Vec<Best> {
    let size = longest as usize + 1;
    let words = size.div_ceil(64);
    let (mut now, mut then) = (vec![0u64; size], vec![0u64; size]);
    let mut parts: Vec<(usize, u64)> = Vec::new();
    for (i, item) in items.iter().enumerate() {
        let (mut rest, mut part) = (item.count.min(longest / item.len), 1);
        while rest > 0 {
            parts.push((i, part.min(rest)));
            rest -= part.min(rest);
            part *= 2;
        }
    }
    let mut taken = vec![0u64; words * parts.len()];
    for (&(i, n), bits) in parts.iter().zip(taken.chunks_exact_mut(words)) {
        let (len, value) = ((n * items[i].len) as usize, n * items[i].value);
        then[..len].copy_from_slice(&now[..len]);
        for ((new, &without), &with) in then[len..].iter_mut().zip(&now[len..]).zip(&now[..size - len]) {
            *new = without.max(with + value);
        }
        for (w, word) in bits.iter_mut().enumerate() {
            let (from, to) = (w * 64, (w * 64 + 64).min(size));
            for (bit, (new, old)) in then[from..to].iter().zip(&now[from..to]).enumerate() {
                *word |= u64::from(new > old) << bit;
            }
        }
        std::mem::swap(&mut now, &mut then);
    }
    sticks
        .iter()
        .map(|&(len, floor)| {
            let mut rest = len as usize;
            let mut chosen: Vec<(usize, u64)> = Vec::new();
            for (&(i, n), bits) in parts.iter().zip(taken.chunks_exact(words)).rev() {
                if bits[rest / 64] >> (rest % 64) & 1 == 1 {
                    rest -= (n * items[i].len) as usize;
                    match chosen.last_mut() {
                        Some((last, count)) if *last == i => *count += n,
                        _ => chosen.push((i, n)),
                    }
                }
            }
            Best { bound: now[len as usize].max(floor), items: chosen }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The most value by trying every count of every item.
    fn by_trying(items: &[Item], len: u64) -> u64 {
        let Some((item, others)) = items.split_first() else { return 0 };
        let most = item.count.min(len / item.len);
        (0..=most).map(|n| n * item.value + by_trying(others, len - n * item.len)).max().unwrap_or(0)
    }

    #[test]
    fn search_and_table_find_what_trying_everything_finds() {
        let mut state = 1u64;
        let mut next = |most: u64| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) % most
        };
        for _ in 0..3000 {
            let items: Vec<Item> = (0..1 + next(6))
                .map(|_| Item { len: 1 + next(30), value: 1 + next(50) * 1_000, count: 1 + next(4) })
                .collect();
            let sticks = [(20 + next(60), 0), (10 + next(30), next(50_000))];
            let mut sorted = items.clone();
            sorted.sort_by(|a, b| (b.value * a.len).cmp(&(a.value * b.len)));
            let longest = sticks[0].0.max(sticks[1].0);
            let tabled = by_table(&sorted, &sticks, longest);
            let searched = best_fillings(&items, &sticks, Care::Thorough, &mut Effort::new(u64::MAX));
            for ((&(len, floor), table), search) in sticks.iter().zip(&tabled).zip(&searched) {
                let most = by_trying(&items, len);
                assert_eq!((table.bound, search.bound), (most.max(floor), most.max(floor)));
                let value: u64 = search.items.iter().map(|&(i, n)| n * items[i].value).sum();
                let used: u64 = search.items.iter().map(|&(i, n)| n * items[i].len).sum();
                assert!(used <= len && (value == most || most <= floor));
            }
        }
    }
}
