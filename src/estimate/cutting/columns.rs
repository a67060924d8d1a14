//! Ways of cutting one stick, made as they are wanted: the linear program over all ways of cutting, solved by
//! making only the columns that pay. Its prices of pieces, rounded to whole numbers, weigh the pieces for an
//! inequality that `knapsack` proves; its fractions of ways guide the dives. Called by `least` and `dive`.
#![allow(clippy::float_arithmetic)]

use super::effort::Effort;
use super::knapsack::{Best, Care, Item, best_fillings};
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

/// What the program is solved for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Goal {
    /// The strongest inequality.
    Bound,
    /// How the sticks might be cut; the very optimum only where the sticks are too few.
    Fractions,
}

/// How far from the optimum fractions may be, as a part of the price of each stick.
const LOOSE: f64 = 0.002;

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

/// So many further ways that share no piece with the best are added with it.
const MOST_APART: usize = 8;

const NO_ROW: usize = usize::MAX;

/// Solves the program for so many pieces and sticks. `None` if the steps do not suffice, or floats.
/// If the inequality is not met by the sticks, the pieces do not go in, and the rest of the answer is idle.
pub(super) fn relax(
    job: &Job,
    need: &[u64],
    sticks: &[u64],
    goal: Goal,
    ways: &mut Ways,
    effort: &mut Effort,
) -> Option<Relaxed> {
    let mut program = Program::new(job, need, sticks, ways, effort)?;
    let mut care = Care::Quick;
    let mut slack = if goal == Goal::Fractions { LOOSE } else { 0.0 };
    while program.simplex.optimise(effort) {
        let priced = program.priced(need);
        let floors = program.floors(priced.scale, slack);
        let best = best_fillings(&priced.items, &floors, care, effort);
        let weight = priced.items.iter().map(|item| u128::from(item.value) * u128::from(item.count)).sum();
        let cut = Cut { worth: best.iter().map(|best| best.bound).collect(), need: weight };
        if !cut.met_by(sticks) {
            return Some(Relaxed { uses: Vec::new(), short: true, cut });
        }
        let made = program.add_best(&best);
        if made > 0 {
            program.add_apart(priced.items, &floors, best, effort);
            care = Care::Quick;
        } else if care == Care::Quick {
            care = Care::Thorough;
        } else {
            let short = program.is_short();
            if !short || slack == 0.0 {
                return Some(Relaxed { uses: program.uses(), short, cut });
            }
            // Short of sticks, it seems: go on to the end, for the proof.
            (slack, care) = (0.0, Care::Quick);
        }
        if effort.is_spent() {
            return None;
        }
    }
    None
}

/// The program: rows are the pieces wanted, then the kinds of which there are not enough for all.
struct Program<'a> {
    job: &'a Job,
    sticks: &'a [u64],
    ways: &'a mut Ways,
    pieces: Vec<usize>,
    row_of_piece: Vec<usize>,
    row_of_kind: Vec<usize>,
    /// The price of a stick of each kind; the dearest is 1.
    costs: Vec<f64>,
    simplex: Simplex,
    /// Columns from this one on are ways, of these numbers.
    first: usize,
    numbers: Vec<usize>,
}

/// Pieces with their prices in whole numbers, each `scale` times as large.
struct Priced {
    items: Vec<Item>,
    scale: f64,
}

impl<'a> Program<'a> {
    fn new(
        job: &'a Job,
        need: &[u64],
        sticks: &'a [u64],
        ways: &'a mut Ways,
        effort: &mut Effort,
    ) -> Option<Self> {
        let pieces: Vec<usize> = (0..need.len()).filter(|&p| need[p] > 0).collect();
        let total: u64 = need.iter().sum();
        let scarce: Vec<usize> = (0..sticks.len()).filter(|&k| sticks[k] > 0 && sticks[k] < total).collect();
        if pieces.len() + scarce.len() > MOST_ROWS {
            return None;
        }
        let dearest = job.kinds.iter().map(|kind| kind.price).max().unwrap_or(0).max(1) as f64;
        let longest = pieces.first().map_or(1, |&p| job.pieces[p].len) as f64;
        let (mut row_of_piece, mut row_of_kind) = (vec![NO_ROW; need.len()], vec![NO_ROW; sticks.len()]);
        let (mut right, mut unit_costs) = (Vec::new(), Vec::new());
        for (row, &p) in pieces.iter().enumerate() {
            row_of_piece[p] = row;
            // A little more than wanted, a different little for each: else the walk stands still among equals.
            right.push(need[p] as f64 + 1e-7 * (1 + (row * 37) % 101) as f64);
            unit_costs.push(10.0 + 100.0 * job.pieces[p].len as f64 / longest);
        }
        // And so that much more of the sticks, lest there be too few.
        let more: f64 = right.iter().map(|value: &f64| value.fract()).sum();
        for (i, &k) in scarce.iter().enumerate() {
            row_of_kind[k] = pieces.len() + i;
            right.push(sticks[k] as f64 + more);
            unit_costs.push(0.0);
        }
        let first = right.len() + pieces.len();
        let mut simplex = Simplex::new(right, unit_costs);
        for row in 0..pieces.len() {
            simplex.add(Column { cost: 0.0, entries: vec![(row, -1.0)] });
        }
        let costs = job.kinds.iter().map(|kind| kind.price as f64 / dearest).collect();
        let numbers = Vec::new();
        let mut program =
            Program { job, sticks, ways, pieces, row_of_piece, row_of_kind, costs, simplex, first, numbers };
        program.add_known(need);
        effort.spend(program.ways.list.len() as u64 * 4);
        Some(program)
    }

    /// Adds all ways made before that do not cut more than is wanted.
    fn add_known(&mut self, need: &[u64]) {
        for number in 0..self.ways.list.len() {
            let way = &self.ways.list[number];
            if self.sticks[way.kind] > 0 && way.pieces.iter().all(|&(p, n)| n <= need[p]) {
                self.simplex.add(self.column(way));
                self.numbers.push(number);
            }
        }
    }

    fn column(&self, way: &Way) -> Column {
        let entries = way.pieces.iter().map(|&(p, n)| (self.row_of_piece[p], n as f64));
        let scarce = self.row_of_kind[way.kind];
        let entries = entries.chain((scarce != NO_ROW).then_some((scarce, 1.0))).collect();
        Column { cost: self.costs[way.kind], entries }
    }

    /// The prices of pieces, as fine as sums of them allow.
    fn priced(&self, need: &[u64]) -> Priced {
        let longest = self.job.kinds.first().map_or(0, |kind| kind.len);
        let shortest = self.pieces.last().map_or(1, |&p| self.job.pieces[p].len);
        let total: u64 = need.iter().sum();
        let many = (longest / shortest.max(1)).min(total) + 1;
        let bits = 54u32.saturating_sub(many.ilog2() + 1).min(32);
        let scale = (1u64 << bits) as f64;
        let price = |p: usize| (self.simplex.duals()[self.row_of_piece[p]].clamp(0.0, 120.0) * scale) as u64;
        let item = |&p: &usize| Item { len: self.job.pieces[p].len, value: price(p), count: need[p] };
        Priced { items: self.pieces.iter().map(item).collect(), scale }
    }

    /// For each kind its length, and the value from which on a way of cutting it is wanted.
    fn floors(&self, scale: f64, slack: f64) -> Vec<(u64, u64)> {
        let floor = |kind: usize| {
            let scarce = self.row_of_kind[kind];
            let held = if scarce == NO_ROW { 0.0 } else { self.simplex.duals()[scarce] };
            ((self.costs[kind] - held).max(0.0) * scale * (1.0 + slack)) as u64
        };
        self.job.kinds.iter().enumerate().map(|(k, kind)| (kind.len, floor(k))).collect()
    }

    /// Adds the ways that pay at the present prices; how many.
    fn add_best(&mut self, best: &[Best]) -> usize {
        let mut made = 0;
        for (kind, best) in best.iter().enumerate().filter(|&(kind, _)| self.sticks[kind] > 0) {
            let pieces = best.items.iter().map(|&(i, n)| (self.pieces[i], n)).collect();
            let way = Way { kind, pieces };
            let column = self.column(&way);
            if self.simplex.gain(&column) < -1e-7
                && let Some(number) = self.ways.add(way)
            {
                self.simplex.add(column);
                self.numbers.push(number);
                made += 1;
            }
        }
        made
    }

    /// Adds ways of the pieces that the best way of the longest kind leaves over, and so on: fewer rounds.
    fn add_apart(
        &mut self,
        mut items: Vec<Item>,
        floors: &[(u64, u64)],
        best: Vec<Best>,
        effort: &mut Effort,
    ) {
        let Some(kind) = best.iter().position(|best| !best.items.is_empty()) else { return };
        let mut last = best;
        for _ in 0..MOST_APART.min(self.pieces.len() / 8) {
            for &(i, n) in &last[kind].items {
                items[i].count -= n;
            }
            last = best_fillings(&items, floors, Care::Quick, effort);
            if self.add_best(&last) == 0 || last[kind].items.is_empty() {
                break;
            }
        }
    }

    /// Whether pieces are left over that no fraction of a stick takes.
    fn is_short(&self) -> bool {
        self.simplex.values().any(|(number, value)| number < self.pieces.len() && value > 1e-4)
    }

    fn uses(&self) -> Vec<(usize, f64)> {
        let used = self.simplex.values().filter(|&(_, value)| value > 1e-7);
        let way =
            |(number, value): (usize, f64)| Some((self.numbers[number.checked_sub(self.first)?], value));
        let mut uses: Vec<(usize, f64)> = used.filter_map(way).collect();
        uses.sort_by_key(|&(number, _)| number);
        uses
    }
}
