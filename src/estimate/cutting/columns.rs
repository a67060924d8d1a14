//! Ways of cutting one stick, made as they are wanted: the linear program over all ways of cutting, solved by
//! making only the columns that pay. Its prices of pieces, rounded to whole numbers, weigh the pieces for an
//! inequality that `knapsack` proves; its fractions of ways guide the dives. Called by `least` and `dive`.
#![allow(clippy::float_arithmetic)]

use super::effort::Effort;
use super::knapsack::{Best, Item, best_fillings};
use super::normal::Job;
use super::packing::Load;
use super::purchase::Cut;
use super::simplex::{Column, Simplex};
use std::collections::BTreeSet;

/// A way of cutting one stick of a kind: pieces of the job by index and count, longest first.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Way {
    pub(super) kind: usize,
    pub(super) pieces: Vec<(usize, u64)>,
}

/// All ways made so far.
#[derive(Debug, Default)]
pub(super) struct Ways {
    pub(super) list: Vec<Way>,
    seen: BTreeSet<Way>,
}

/// So many ways are kept at most, and so many sorts of pieces reckoned with.
const MOST_WAYS: usize = 30_000;
const MOST_ROWS: usize = 1_500;

impl Ways {
    /// Remembers a way; its number, if it is new.
    pub(super) fn add(&mut self, way: Way) -> Option<usize> {
        if self.list.len() >= MOST_WAYS || !self.seen.insert(way.clone()) {
            return None;
        }
        self.list.push(way);
        Some(self.list.len() - 1)
    }

    /// Remembers how the sticks of a packing are cut.
    pub(super) fn add_loads(&mut self, loads: &[Load]) {
        for load in loads {
            self.add(Way { kind: load.kind, pieces: load.pieces.clone() });
        }
    }
}

/// The optimum of the linear program, or what is known of it.
#[derive(Debug)]
pub(super) struct Relaxed {
    /// Ways by number, and how many sticks are cut so, in fractions.
    pub(super) uses: Vec<(usize, f64)>,
    /// Whether pieces are left over, that no fraction of a stick can take.
    pub(super) short: bool,
    /// A proven inequality for these pieces.
    pub(super) cut: Cut,
}

/// Rows of the program: pieces wanted, then kinds of which there are not enough for all.
struct Rows {
    pieces: Vec<usize>,
    row_of_piece: Vec<usize>,
    row_of_kind: Vec<usize>,
    right: Vec<f64>,
    missing_costs: Vec<f64>,
    costs: Vec<f64>,
}

const NO_ROW: usize = usize::MAX;

/// Solves the program for so many pieces and sticks. `None` if the steps do not suffice, or floats.
/// If the inequality is not met by the sticks, the pieces do not go in, and the rest of the answer is idle.
pub(super) fn relax(
    job: &Job,
    need: &[u64],
    sticks: &[u64],
    ways: &mut Ways,
    effort: &mut Effort,
) -> Option<Relaxed> {
    let rows = rows(job, need, sticks)?;
    let mut simplex = Simplex::new(rows.right.clone(), rows.missing_costs.clone());
    for row in 0..rows.pieces.len() {
        simplex.add(Column { cost: 0.0, entries: vec![(row, -1.0)] });
    }
    let first = rows.right.len() + rows.pieces.len();
    let mut numbers: Vec<usize> = Vec::new();
    let usable = |way: &Way| sticks[way.kind] > 0 && way.pieces.iter().all(|&(p, n)| n <= need[p]);
    for (number, way) in ways.list.iter().enumerate().filter(|(_, way)| usable(way)) {
        simplex.add(column(way, &rows));
        numbers.push(number);
    }
    effort.spend(ways.list.len() as u64 * 4);
    loop {
        if !simplex.optimise(effort) {
            return None;
        }
        let (items, scale) = items(job, need, &rows, simplex.duals());
        let lens: Vec<u64> = job.kinds.iter().map(|kind| kind.len).collect();
        let best = best_fillings(&items, &lens, effort);
        let weight = items.iter().map(|item| u128::from(item.value) * u128::from(item.count)).sum();
        let cut = Cut { worth: best.iter().map(|best| best.bound).collect(), need: weight };
        let _ = scale;
        if !cut.met_by(sticks) {
            return Some(Relaxed { uses: Vec::new(), short: true, cut });
        }
        let made = add_best(best, &rows, sticks, ways, &mut simplex, &mut numbers);
        if made == 0 {
            let (mut uses, mut short) = (Vec::new(), false);
            for (number, value) in simplex.values().filter(|&(_, value)| value > 1e-7) {
                match number.checked_sub(first) {
                    Some(way) => uses.push((numbers[way], value)),
                    None => short |= number < rows.pieces.len() && value > 1e-4,
                }
            }
            uses.sort_by_key(|&(number, _)| number);
            return Some(Relaxed { uses, short, cut });
        }
        if effort.is_spent() {
            return None;
        }
    }
}

fn rows(job: &Job, need: &[u64], sticks: &[u64]) -> Option<Rows> {
    let pieces: Vec<usize> = (0..need.len()).filter(|&p| need[p] > 0).collect();
    let total: u64 = need.iter().sum();
    let scarce: Vec<usize> = (0..sticks.len()).filter(|&k| sticks[k] > 0 && sticks[k] < total).collect();
    if pieces.len() + scarce.len() > MOST_ROWS {
        return None;
    }
    let dearest = job.kinds.iter().map(|kind| kind.price).max().unwrap_or(0).max(1) as f64;
    let longest = pieces.first().map_or(1, |&p| job.pieces[p].len) as f64;
    let (mut row_of_piece, mut row_of_kind) = (vec![NO_ROW; need.len()], vec![NO_ROW; sticks.len()]);
    let (mut right, mut missing_costs) = (Vec::new(), Vec::new());
    for (row, &p) in pieces.iter().enumerate() {
        row_of_piece[p] = row;
        // A little more than wanted, by a different little for each: else the walk stands still among equals.
        right.push(need[p] as f64 + 1e-7 * (1 + (row * 37) % 101) as f64);
        missing_costs.push(10.0 + 100.0 * job.pieces[p].len as f64 / longest);
    }
    // And so that much more of the sticks, lest there be too few.
    let more: f64 = right.iter().map(|value: &f64| value.fract()).sum();
    for (i, &k) in scarce.iter().enumerate() {
        row_of_kind[k] = pieces.len() + i;
        right.push(sticks[k] as f64 + more);
        missing_costs.push(0.0);
    }
    let costs = job.kinds.iter().map(|kind| kind.price as f64 / dearest).collect();
    Some(Rows { pieces, row_of_piece, row_of_kind, right, missing_costs, costs })
}

fn column(way: &Way, rows: &Rows) -> Column {
    let mut entries: Vec<(usize, f64)> =
        way.pieces.iter().map(|&(p, n)| (rows.row_of_piece[p], n as f64)).collect();
    if rows.row_of_kind[way.kind] != NO_ROW {
        entries.push((rows.row_of_kind[way.kind], 1.0));
    }
    Column { cost: rows.costs[way.kind], entries }
}

/// The prices of pieces in whole numbers, as fine as sums of them allow.
fn items(job: &Job, need: &[u64], rows: &Rows, duals: &[f64]) -> (Vec<Item>, f64) {
    let longest = job.kinds.first().map_or(0, |kind| kind.len);
    let shortest = rows.pieces.last().map_or(1, |&p| job.pieces[p].len);
    let total: u64 = need.iter().sum();
    let many = (longest / shortest.max(1)).min(total) + 1;
    let bits = 54u32.saturating_sub(many.ilog2() + 1).min(32);
    let scale = (1u64 << bits) as f64;
    let price = |p: usize| (duals[rows.row_of_piece[p]].clamp(0.0, 120.0) * scale) as u64;
    let item = |&p: &usize| Item { len: job.pieces[p].len, value: price(p), count: need[p] };
    (rows.pieces.iter().map(item).collect(), scale)
}

/// Adds the ways that pay at the present prices; how many.
fn add_best(
    best: Vec<Best>,
    rows: &Rows,
    sticks: &[u64],
    ways: &mut Ways,
    simplex: &mut Simplex,
    numbers: &mut Vec<usize>,
) -> usize {
    let mut made = 0;
    for (kind, best) in best.into_iter().enumerate().filter(|&(kind, _)| sticks[kind] > 0) {
        let pieces = best.items.into_iter().map(|(i, n)| (rows.pieces[i], n)).collect();
        let way = Way { kind, pieces };
        let column = column(&way, rows);
        if simplex.gain(&column) < -1e-7
            && let Some(number) = ways.add(way)
        {
            simplex.add(column);
            numbers.push(number);
            made += 1;
        }
    }
    made
}
