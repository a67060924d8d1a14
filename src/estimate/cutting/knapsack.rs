//! The most value in one stick: pieces with values, at most so many of each. In whole numbers, exact or with a
//! bound that is. Called by `columns` to propose ways of cutting and to prove inequalities.

use super::effort::Effort;

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
/// Steps of the search before a table is made instead, and where none can be made.
const FEW_STEPS: u64 = 3_000;
const MANY_STEPS: u64 = 400_000;

/// The best filling for sticks of each of these lengths.
pub(super) fn best_fillings(items: &[Item], lens: &[u64], effort: &mut Effort) -> Vec<Best> {
    let mut order: Vec<usize> =
        (0..items.len()).filter(|&i| items[i].value > 0 && items[i].count > 0).collect();
    order.sort_by(|&a, &b| {
        let cross = |x: usize, y: usize| u128::from(items[x].value) * u128::from(items[y].len);
        cross(b, a).cmp(&cross(a, b)).then(a.cmp(&b))
    });
    let sorted: Vec<Item> = order.iter().map(|&i| items[i]).collect();
    let longest = lens.iter().copied().max().unwrap_or(0);
    let parts: u64 =
        sorted.iter().map(|item| u64::from((item.count.min(longest / item.len) + 1).ilog2()) + 1).sum();
    let work = longest.saturating_mul(parts);
    let tabled = longest < MOST_ENTRIES && work <= MOST_CELLS;
    let steps = if tabled { FEW_STEPS.max(work / 8 / lens.len().max(1) as u64) } else { MANY_STEPS };
    let tried: Vec<(Best, bool)> = lens.iter().map(|&len| by_search(&sorted, len, steps, effort)).collect();
    let mut found: Vec<Best> = if tried.iter().all(|(_, exact)| *exact) || !tabled || !effort.spend(work) {
        tried.into_iter().map(|(best, _)| best).collect()
    } else {
        by_table(&sorted, lens, longest)
    };
    for best in &mut found {
        for (i, _) in &mut best.items {
            *i = order[*i];
        }
        best.items.sort_unstable();
    }
    found
}

/// Depth first, the most valuable for their length first. Says whether it came to an end.
fn by_search(items: &[Item], len: u64, steps: u64, effort: &mut Effort) -> (Best, bool) {
    let mut shortest: Vec<u64> = items.iter().map(|item| item.len).collect();
    for i in (1..shortest.len()).rev() {
        shortest[i - 1] = shortest[i - 1].min(shortest[i]);
    }
    let above = |value: u64, rest: u64, at: usize| {
        items.get(at).map_or(value, |item| {
            let more = u128::from(rest) * u128::from(item.value) / u128::from(item.len);
            u64::try_from(u128::from(value) + more).unwrap_or(u64::MAX)
        })
    };
    let root = above(0, len, 0);
    let (mut taken, mut best, mut best_value): (Vec<(usize, u64)>, Vec<_>, u64) = (Vec::new(), Vec::new(), 0);
    let (mut value, mut rest, mut at, mut used) = (0, len, 0, 0);
    loop {
        while at < items.len() && rest >= shortest[at] && above(value, rest, at) > best_value {
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
                effort.spend(used * 4);
                return (Best { bound: best_value, items: best }, true);
            };
            if used > steps {
                effort.spend(used * 4);
                return (Best { bound: root, items: best }, false);
            }
            (rest, value) = (rest + items[i].len, value - items[i].value);
            if above(value, rest, i + 1) > best_value {
                if n > 1 {
                    taken.push((i, n - 1));
                }
                at = i + 1;
                break;
            }
            // Fewer still of this item are worth even less.
            (rest, value) = (rest + (n - 1) * items[i].len, value - (n - 1) * items[i].value);
        }
    }
}

/// One table for all lengths, and one bit for each part of an item and length: whether the part is taken.
fn by_table(items: &[Item], lens: &[u64], longest: u64) -> Vec<Best> {
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
    lens.iter()
        .map(|&len| {
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
            Best { bound: now[len as usize], items: chosen }
        })
        .collect()
}
