//! Ways of cutting one stick, made as they are wanted: the linear program over all ways of cutting, solved by
//! making only the columns that pay. Its prices of pieces, rounded to whole numbers, weigh the pieces for an
//! inequality that `knapsack` proves; its fractions of ways guide the dives. Called by `least`, `classical` and `joints`.
#![allow(clippy::float_arithmetic)]

use super::job::{Job, Load};
use super::knapsack::{Best, Care, Item, best_fillings};
use super::simplex::{Column, Simplex};
use super::stock_selection::Cut;
use crate::search::effort::Effort;
use std::collections::BTreeSet;

/// A way of cutting one stick of a kind: pieces of the job by index and count, longest first.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Way {
    pub(crate) kind: usize,
    pub(crate) pieces: Vec<(usize, u64)>,
}

/// All ways made so far.
#[derive(Debug, Default)]
pub(crate) struct Ways {
    pub(crate) list: Vec<Way>,
    /// Those of the last answer of the program.
    last: Vec<usize>,
    seen: BTreeSet<Way>,
}

/// So many ways are kept at most, and so many sorts of pieces reckoned with.
const MOST_WAYS: usize = 30_000;
const MOST_ROWS: usize = 1_500;

impl Ways {
    /// Remembers a way; its number, if it is new.
    pub(crate) fn add(&mut self, way: Way) -> Option<usize> {
        if self.list.len() >= MOST_WAYS || !self.seen.insert(way.clone()) {
            return None;
        }
        self.list.push(way);
        Some(self.list.len() - 1)
    }

    /// Remembers how the sticks of a packing are cut.
    pub(crate) fn add_loads(&mut self, loads: &[Load]) {
        for load in loads {
            self.add(Way { kind: load.kind, pieces: load.pieces.clone() });
        }
    }
}

/// What the program is solved for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Goal {
    /// The strongest inequality.
    Bound,
    /// How the sticks might be cut; the very optimum only where the sticks are too few.
    Fractions,
}

/// How finely pieces are priced.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Grain {
    /// Each length has a price of its own.
    Fine,
    /// Some lengths have prices, and those between them prices between: a weaker inequality for much less work.
    /// The fractions mean nothing.
    Coarse(usize),
}

/// How far from the optimum fractions may be, as a part of the price of each stick.
const LOOSE: f64 = 0.002;

/// The optimum of the linear program, or what is known of it.
#[derive(Debug)]
pub(crate) struct Relaxed {
    /// Ways by number, and how many sticks are cut so, in fractions.
    pub(crate) uses: Vec<(usize, f64)>,
    /// Whether pieces are left over, that no fraction of a stick can take.
    pub(crate) short: bool,
    /// A proven inequality for these pieces.
    pub(crate) cut: Cut,
    /// What each of the pieces weighs in it, by the number of the piece; and each wet stick for being wet.
    pub(crate) weights: Vec<u64>,
    pub(crate) wetness: u64,
}

/// So many further ways that share no piece with the best are added with it.
const MOST_APART: usize = 8;

const NO_ROW: usize = usize::MAX;

/// Solves the program for so many pieces and sticks. `None` if the steps do not suffice, or floats.
/// If the inequality is not met by the sticks, the pieces do not go in, and the rest of the answer is idle.
pub(crate) fn relax(
    job: &Job,
    need: &[u64],
    sticks: &[u64],
    goal: Goal,
    grain: Grain,
    ways: &mut Ways,
    effort: &mut Effort,
) -> Option<Relaxed> {
    let mut program = Program::new(job, need, sticks, grain, ways, effort)?;
    let mut care = Care::Quick;
    let mut slack = if goal == Goal::Fractions { LOOSE } else { 0.0 };
    while program.simplex.optimise(effort) {
        let priced = program.priced(need);
        let floors = program.floors(priced.scale, slack);
        let best = program.best(&priced.items, &floors, care, effort);
        let weight = priced.items.iter().map(|item| u128::from(item.value) * u128::from(item.count)).sum();
        let mut cut = Cut { worth: best.iter().map(|best| best.bound).collect(), need: weight };
        program.add_wetness(priced.scale, &mut cut);
        let wetness = if job.fluid.is_some() { program.wetness(priced.scale) } else { 0 };
        let mut weights = vec![0; need.len()];
        program.pieces.iter().zip(&priced.items).for_each(|(&p, item)| weights[p] = item.value);
        if !cut.met_by(sticks) {
            program.remember();
            return Some(Relaxed { uses: Vec::new(), short: true, cut, weights, wetness });
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
                program.remember();
                return Some(Relaxed { uses: program.uses(), short, cut, weights, wetness });
            }
            // Short of sticks, it seems: go on to the end, for the proof.
            (slack, care) = (0.0, Care::Quick);
        }
        if effort.is_spent() {
            program.remember();
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
    /// Rows that have to do with pieces, and that of wet sticks.
    rows: usize,
    /// For each piece its row, and how much of it is of that row; the rest is of the next.
    row_of_piece: Vec<(usize, f64)>,
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
        grain: Grain,
        ways: &'a mut Ways,
        effort: &mut Effort,
    ) -> Option<Self> {
        let pieces: Vec<usize> = (0..need.len()).filter(|&p| need[p] > 0).collect();
        let total: u64 = need.iter().sum();
        let scarce: Vec<usize> = (0..sticks.len()).filter(|&k| sticks[k] > 0 && sticks[k] < total).collect();
        let marks = match grain {
            Grain::Fine => pieces.clone(),
            Grain::Coarse(spread) => marks(job, &pieces, sticks, spread),
        };
        if marks.len() + scarce.len() > MOST_ROWS {
            return None;
        }
        let dearest = job.kinds.iter().map(|kind| kind.price).max().unwrap_or(0).max(1) as f64;
        let longest = pieces.first().map_or(1, |&p| job.pieces[p].len) as f64;
        let (mut row_of_piece, mut row_of_kind) =
            (vec![(NO_ROW, 1.0); need.len()], vec![NO_ROW; sticks.len()]);
        let mut right = vec![0.0; marks.len()];
        for &p in &pieces {
            let row = marks.partition_point(|&mark| mark <= p) - 1;
            let share = match marks.get(row + 1) {
                Some(&next) if marks[row] < p => {
                    let (high, low) = (job.pieces[marks[row]].len, job.pieces[next].len);
                    (job.pieces[p].len - low) as f64 / (high - low) as f64
                }
                Some(_) | None => 1.0,
            };
            row_of_piece[p] = (row, share);
            right[row] += share * need[p] as f64;
            if share < 1.0 {
                right[row + 1] += (1.0 - share) * need[p] as f64;
            }
        }
        // A little more than wanted, a different little for each: else the walk stands still among equals.
        let little = |row: usize| 1e-7 * (1 + (row * 37) % 101) as f64;
        right.iter_mut().enumerate().for_each(|(row, value)| *value += little(row));
        let mut unit_costs: Vec<f64> =
            marks.iter().map(|&p| 10.0 + 100.0 * job.pieces[p].len as f64 / longest).collect();
        if let Some(fluid) = job.fluid {
            right.push(fluid.parts as f64 + little(marks.len()));
            unit_costs.push(110.0);
        }
        // And so that much more of the sticks, lest there be too few.
        let more: f64 = (0..right.len()).map(little).sum();
        let rows = right.len();
        for (i, &k) in scarce.iter().enumerate() {
            row_of_kind[k] = rows + i;
            right.push(sticks[k] as f64 + more);
            unit_costs.push(0.0);
        }
        let first = right.len() + rows;
        let mut simplex = Simplex::new(right, unit_costs);
        for row in 0..rows {
            simplex.add(Column { cost: 0.0, entries: vec![(row, -1.0)] });
        }
        let costs = job.kinds.iter().map(|kind| kind.price as f64 / dearest).collect();
        let numbers = Vec::new();
        let mut program = Program {
            job,
            sticks,
            ways,
            pieces,
            rows,
            row_of_piece,
            row_of_kind,
            costs,
            simplex,
            first,
            numbers,
        };
        program.add_known(need, effort);
        effort.spend(program.ways.list.len() as u64 * 4);
        Some(program)
    }

    /// Adds all ways made before that do not cut more than is wanted; those of the last answer first, to begin
    /// where that ended.
    fn add_known(&mut self, need: &[u64], effort: &mut Effort) {
        let last = std::mem::take(&mut self.ways.last);
        for &number in &last {
            self.add_old(number, need);
        }
        if !self.numbers.is_empty() {
            self.simplex.optimise(effort);
        }
        let added: BTreeSet<usize> = last.into_iter().collect();
        for number in (0..self.ways.list.len()).filter(|number| !added.contains(number)) {
            self.add_old(number, need);
        }
    }

    fn add_old(&mut self, number: usize, need: &[u64]) {
        let way = &self.ways.list[number];
        if self.sticks[way.kind] > 0 && way.pieces.iter().all(|&(p, n)| n <= need[p]) {
            self.simplex.add(self.column(way));
            self.numbers.push(number);
        }
    }

    fn column(&self, way: &Way) -> Column {
        let mut entries: Vec<(usize, f64)> = Vec::with_capacity(2 * way.pieces.len() + 1);
        for &(p, n) in &way.pieces {
            let (row, share) = self.row_of_piece[p];
            // Rows come in order, longest pieces first.
            add_entry(&mut entries, row, share * n as f64);
            if share < 1.0 {
                add_entry(&mut entries, row + 1, (1.0 - share) * n as f64);
            }
        }
        if self.is_wet(way.kind) {
            entries.push((self.rows - 1, 1.0));
        }
        let scarce = self.row_of_kind[way.kind];
        entries.extend((scarce != NO_ROW).then_some((scarce, 1.0)));
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
        let of_row = |row: usize| self.simplex.duals()[row].clamp(0.0, 120.0);
        let price = |p: usize| {
            let (row, share) = self.row_of_piece[p];
            let mixed = if share < 1.0 { (1.0 - share) * of_row(row + 1) } else { 0.0 };
            ((share * of_row(row) + mixed) * scale) as u64
        };
        let item = |&p: &usize| Item { len: self.job.pieces[p].len, value: price(p), count: need[p] };
        Priced { items: self.pieces.iter().map(item).collect(), scale }
    }

    /// For each kind its length, and the value from which on a way of cutting it is wanted.
    fn floors(&self, scale: f64, slack: f64) -> Vec<(u64, u64)> {
        let floor = |kind: usize| {
            let scarce = self.row_of_kind[kind];
            let held = if scarce == NO_ROW { 0.0 } else { self.simplex.duals()[scarce] };
            let wetness = if self.is_wet(kind) { self.wetness(scale) } else { 0 };
            (((self.costs[kind] - held).max(0.0) * scale * (1.0 + slack)) as u64).saturating_sub(wetness)
        };
        self.job.kinds.iter().enumerate().map(|(k, kind)| (kind.len, floor(k))).collect()
    }

    /// The last row counts wet sticks, if anything is fluid.
    fn is_wet(&self, kind: usize) -> bool {
        self.job.fluid.is_some() && self.job.kinds[kind].wet
    }

    /// What a wet stick is worth for being wet.
    fn wetness(&self, scale: f64) -> u64 {
        (self.simplex.duals()[self.rows - 1].clamp(0.0, 120.0) * scale) as u64
    }

    fn add_wetness(&self, scale: f64, cut: &mut Cut) {
        let Some(fluid) = self.job.fluid else { return };
        let wetness = self.wetness(scale);
        cut.need += u128::from(wetness) * u128::from(fluid.parts);
        for (_, worth) in cut.worth.iter_mut().enumerate().filter(|(kind, _)| self.is_wet(*kind)) {
            *worth += wetness;
        }
    }

    /// The best fillings of all kinds; those that stay dry have nothing of the fluid.
    fn best(&self, items: &[Item], floors: &[(u64, u64)], care: Care, effort: &mut Effort) -> Vec<Best> {
        let Some(at) = self.pieces.iter().position(|&p| self.job.fluid.is_some_and(|fluid| p == fluid.piece))
        else {
            return best_fillings(items, floors, care, effort);
        };
        let of = |wet: bool| (0..floors.len()).filter(move |&k| self.job.kinds[k].wet == wet);
        let mut dry = items.to_vec();
        dry[at].count = 0;
        let mut all: Vec<(usize, Best)> = Vec::new();
        for (wet, items) in [(false, dry.as_slice()), (true, items)] {
            let sticks: Vec<(u64, u64)> = of(wet).map(|k| floors[k]).collect();
            all.extend(of(wet).zip(best_fillings(items, &sticks, care, effort)));
        }
        all.sort_by_key(|&(kind, _)| kind);
        all.into_iter().map(|(_, best)| best).collect()
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
            last = self.best(&items, floors, Care::Quick, effort);
            if self.add_best(&last) == 0 || last[kind].items.is_empty() {
                break;
            }
        }
    }

    /// Whether pieces are left over that no fraction of a stick takes.
    fn is_short(&self) -> bool {
        self.simplex.values().any(|(number, value)| number < self.rows && value > 1e-4)
    }

    fn remember(&mut self) {
        self.ways.last = self.uses().into_iter().map(|(number, _)| number).collect();
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

fn add_entry(entries: &mut Vec<(usize, f64)>, row: usize, value: f64) {
    match entries.iter_mut().rev().take(2).find(|(other, _)| *other == row) {
        Some((_, sum)) => *sum += value,
        None => entries.push((row, value)),
    }
}

/// Pieces with prices of their own where the grain is coarse: evenly spread, and where another piece ceases to
/// fit beside them on one of the sticks.
fn marks(job: &Job, pieces: &[usize], sticks: &[u64], spread: usize) -> Vec<usize> {
    let last = pieces.len() - 1;
    let spread = spread.min(last).max(1);
    let mut marks: Vec<usize> = (0..=spread).map(|i| pieces[i * last / spread]).collect();
    let shortest = job.pieces[pieces[last]].len;
    for (kind, _) in job.kinds.iter().zip(sticks).filter(|&(_, &n)| n > 0).take(4) {
        for edge in [
            kind.len.saturating_sub(shortest),
            kind.len.saturating_sub(2 * shortest),
            kind.len / 2,
            kind.len / 3,
        ] {
            let at = pieces.partition_point(|&p| job.pieces[p].len > edge);
            marks.extend([at.saturating_sub(1), at].into_iter().filter_map(|at| pieces.get(at)));
        }
    }
    marks.sort_unstable();
    marks.dedup();
    marks
}
