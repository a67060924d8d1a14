//! Packing by rule: pieces into given sticks, or into sticks bought as they are needed, one stick after the other,
//! until all are in, nothing fits or the effort is spent. Quick, never proves anything. Called by `least` for first plans and by `classical` for what remains of a packing.

use super::fullest::fullest;
use super::job::{Job, Load, Packed, Piece};
use crate::search::effort::Effort;
use std::cmp::Ordering;

/// How one stick is filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fill {
    /// The longest piece that fits, and so on: first fit, longest first.
    Longest,
    /// The longest piece that fits, then whatever fills the stick best.
    Fullest,
}

/// Which stick is cut next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Next {
    /// The longest.
    LongStick,
    /// The shortest that takes any piece.
    ShortStick,
    /// The one that the longest piece and others fill with the least waste.
    Tightest,
}

/// Packs pieces into given sticks.
pub(crate) fn pack(
    job: &Job,
    need: &[u64],
    sticks: &[u64],
    fill: Fill,
    next: Next,
    effort: &mut Effort,
) -> Packed {
    let choose = |table: &mut Table<'_>, sticks: &[u64], effort: &mut Effort| {
        let kinds = (0..sticks.len()).filter(|&k| sticks[k] > 0);
        match next {
            Next::LongStick => first_filled(table, kinds, fill, effort),
            Next::ShortStick => first_filled(table, kinds.rev(), fill, effort),
            Next::Tightest => best_filled(table, kinds, fill, effort, |job, a, b| {
                (job.kinds[a.kind].len - a.used).cmp(&(job.kinds[b.kind].len - b.used))
            }),
        }
    };
    run(job, need, sticks, choose, effort)
}

/// Buying as one goes looks at so many kinds for each stick, those that give most length for their price.
const MOST_LOOKED_AT: usize = 64;

/// Packs pieces into sticks bought as they are needed: each time the one that costs least for the length used.
pub(crate) fn shop(job: &Job, need: &[u64], sticks: &[u64], fill: Fill, effort: &mut Effort) -> Packed {
    let mut order: Vec<usize> = (0..sticks.len()).collect();
    let for_length =
        |k: usize, other: usize| u128::from(job.kinds[k].price) * u128::from(job.kinds[other].len);
    order.sort_by(|&a, &b| for_length(a, b).cmp(&for_length(b, a)).then(a.cmp(&b)));
    let choose = |table: &mut Table<'_>, sticks: &[u64], effort: &mut Effort| {
        let longest = table.at_or_after(0);
        let needed = table.rest.get(longest)?.len;
        let usable = order.iter().copied().filter(|&k| sticks[k] > 0 && job.kinds[k].len >= needed);
        best_filled(table, usable.take(MOST_LOOKED_AT), fill, effort, |job, a, b| {
            let (left, right) = (u128::from(job.kinds[a.kind].price), u128::from(job.kinds[b.kind].price));
            (left * u128::from(b.used)).cmp(&(right * u128::from(a.used)))
        })
    };
    run(job, need, sticks, choose, effort)
}

struct Filled {
    kind: usize,
    used: u64,
    pieces: Vec<(usize, u64)>,
}

/// Pieces still to pack, with a way to skip those used up.
struct Table<'a> {
    job: &'a Job,
    rest: Vec<Piece>,
    /// The next index, from this one on, that has pieces left; shortened as it is walked.
    onward: Vec<usize>,
}

impl Table<'_> {
    fn at_or_after(&mut self, from: usize) -> usize {
        let mut end = from;
        while end < self.rest.len() && self.rest[end].count == 0 {
            end = self.onward[end];
        }
        let mut at = from;
        while at < end {
            let then = self.onward[at];
            self.onward[at] = end;
            at = then;
        }
        end
    }

    fn first_fitting(&mut self, cap: u64) -> Option<usize> {
        let from = self.rest.partition_point(|piece| piece.len > cap);
        Some(self.at_or_after(from)).filter(|&at| at < self.rest.len())
    }
}

fn run(
    job: &Job,
    need: &[u64],
    sticks: &[u64],
    choose: impl Fn(&mut Table<'_>, &[u64], &mut Effort) -> Option<Filled>,
    effort: &mut Effort,
) -> Packed {
    let rest = job.pieces.iter().zip(need).map(|(piece, &count)| Piece { len: piece.len, count }).collect();
    let mut table = Table { job, rest, onward: (1..=need.len()).collect() };
    let (mut sticks, mut loads) = (sticks.to_vec(), Vec::new());
    effort.spend(need.len() as u64);
    while table.at_or_after(0) < need.len() && !effort.is_spent() {
        let Some(filled) = choose(&mut table, &sticks, effort) else { break };
        let alike = filled.pieces.iter().map(|&(p, n)| table.rest[p].count / n).min().unwrap_or(0);
        let times = alike.min(sticks[filled.kind]);
        if times == 0 {
            break;
        }
        for &(p, n) in &filled.pieces {
            table.rest[p].count -= n * times;
        }
        sticks[filled.kind] -= times;
        loads.push(Load { kind: filled.kind, times, pieces: filled.pieces });
    }
    Packed { loads, left: table.rest.iter().map(|piece| piece.count).collect(), sticks }
}

fn first_filled(
    table: &mut Table<'_>,
    mut kinds: impl Iterator<Item = usize>,
    fill: Fill,
    effort: &mut Effort,
) -> Option<Filled> {
    kinds.find_map(|kind| filled(table, kind, fill, effort))
}

/// The best of all kinds that take the longest piece left; the longer kind where two are as good.
fn best_filled(
    table: &mut Table<'_>,
    kinds: impl Iterator<Item = usize>,
    fill: Fill,
    effort: &mut Effort,
    better: impl Fn(&Job, &Filled, &Filled) -> Ordering,
) -> Option<Filled> {
    let longest = table.at_or_after(0);
    let needed = table.rest.get(longest)?.len;
    let mut best: Option<Filled> = None;
    for kind in kinds {
        if table.job.kinds[kind].len < needed {
            continue;
        }
        if let Some(now) = filled(table, kind, fill, effort)
            && best
                .as_ref()
                .is_none_or(|best| better(table.job, &now, best).then(kind.cmp(&best.kind)) == Ordering::Less)
        {
            best = Some(now);
        }
    }
    best
}

fn filled(table: &mut Table<'_>, kind: usize, fill: Fill, effort: &mut Effort) -> Option<Filled> {
    let len = table.job.kinds[kind].len;
    let first = table.first_fitting(len)?;
    let mut pieces = match fill {
        Fill::Fullest => {
            table.rest[first].count -= 1;
            let mut pieces = fullest(&table.rest, len - table.rest[first].len, effort);
            table.rest[first].count += 1;
            match pieces.iter_mut().find(|(p, _)| *p == first) {
                Some((_, n)) => *n += 1,
                None => pieces.push((first, 1)),
            }
            pieces
        }
        Fill::Longest => longest_first(table, len, effort),
    };
    pieces.sort_unstable();
    let used = pieces.iter().map(|&(p, n)| table.rest[p].len * n).sum();
    Some(Filled { kind, used, pieces })
}

fn longest_first(table: &mut Table<'_>, len: u64, effort: &mut Effort) -> Vec<(usize, u64)> {
    let (mut rest, mut at, mut pieces) = (len, 0, Vec::new());
    // Looking up a piece takes the longer, the less of the table is at hand.
    let look_up = 8 + u64::from(table.rest.len().max(1).ilog2()).pow(2) / 2;
    while let Some(fitting) = table.first_fitting(rest) {
        let p = table.at_or_after(fitting.max(at));
        if p >= table.rest.len() {
            break;
        }
        effort.spend(look_up);
        let n = table.rest[p].count.min(rest / table.rest[p].len);
        pieces.push((p, n));
        rest -= n * table.rest[p].len;
        at = p + 1;
    }
    pieces
}
