//! The whole search: do the pieces go into given sticks, yes or no. Stick by stick, the longest piece first, with
//! no more waste in all than the sticks are longer than the pieces. Exact where it comes to an end; made for few
//! sticks or little waste. Called by `least` when nothing quicker has decided.

use super::super::job::{Job, Load};
use crate::search::effort::Effort;
use std::collections::HashSet;

/// The answer.
#[derive(Debug)]
pub(crate) enum Decided {
    /// They go in so.
    Packs(Vec<Load>),
    /// They do not: proven.
    Never,
    /// The steps were too few.
    Unknown,
}

/// The most sticks and pieces that are searched one by one (the search goes a call deeper for each), the most ways of filling one stick, the most
/// numbers in the states remembered.
const MOST_STICKS: u128 = 600;
const MOST_PIECES: u64 = 2_000;
const MOST_FILLINGS: usize = 3_000;
const MOST_REMEMBERED: usize = 4 << 20;

/// Decides whether the pieces go into these sticks.
pub(crate) fn decide(job: &Job, sticks: &[u64], effort: &mut Effort) -> Decided {
    let need = job.counts();
    if sticks.iter().map(|&n| u128::from(n)).sum::<u128>() > MOST_STICKS
        || need.iter().sum::<u64>() > MOST_PIECES
    {
        return Decided::Unknown;
    }
    let held: u128 =
        job.kinds.iter().zip(sticks).map(|(kind, &n)| u128::from(kind.len) * u128::from(n)).sum();
    let wanted: u128 = job.pieces.iter().map(|piece| u128::from(piece.len) * u128::from(piece.count)).sum();
    let Some(waste) = held.checked_sub(wanted) else { return Decided::Never };
    let mut search = Search {
        job,
        need,
        sticks: sticks.to_vec(),
        loads: Vec::new(),
        failed: HashSet::new(),
        partial: false,
        effort,
    };
    if search.descend(waste) {
        return Decided::Packs(search.loads);
    }
    if search.partial { Decided::Unknown } else { Decided::Never }
}

/// One way of filling a stick.
struct Filling {
    wasted: u64,
    kind: usize,
    pieces: Vec<(usize, u64)>,
}

/// A stick that is being filled.
struct Stick {
    kind: usize,
    /// The most waste allowed.
    waste: u128,
    /// The length of all pieces from each one on: what can still be added.
    below: Vec<u128>,
    chosen: Vec<(usize, u64)>,
    fillings: Vec<Filling>,
}

struct Search<'a> {
    job: &'a Job,
    need: Vec<u64>,
    sticks: Vec<u64>,
    loads: Vec<Load>,
    /// States from which there is no packing: pieces and sticks left.
    failed: HashSet<Vec<u64>>,
    /// Something was left out, so that a failure is no proof.
    partial: bool,
    effort: &'a mut Effort,
}

impl Search<'_> {
    fn descend(&mut self, waste: u128) -> bool {
        let Some(longest) = (0..self.need.len()).find(|&p| self.need[p] > 0) else { return true };
        let state: Vec<u64> = self.need.iter().chain(&self.sticks).copied().collect();
        if self.failed.contains(&state) {
            return false;
        }
        let mut fillings = Vec::new();
        for kind in 0..self.sticks.len() {
            if self.job.kinds[kind].len < self.job.pieces[longest].len {
                break;
            }
            if self.sticks[kind] > 0 {
                fillings.extend(self.fillings(kind, longest, waste));
            }
        }
        // The least waste first, then more of the longer pieces.
        fillings.sort_by(|a, b| {
            (a.wasted, a.kind).cmp(&(b.wasted, b.kind)).then(longer_first(&a.pieces, &b.pieces))
        });
        for Filling { wasted, kind, pieces } in fillings {
            if !self.effort.spend(64 + 4 * self.need.len() as u64) {
                self.partial = true;
                return false;
            }
            self.sticks[kind] -= 1;
            pieces.iter().for_each(|&(p, n)| self.need[p] -= n);
            self.loads.push(Load { kind, times: 1, pieces: pieces.clone() });
            if self.descend(waste - u128::from(wasted)) {
                return true;
            }
            self.loads.pop();
            pieces.iter().for_each(|&(p, n)| self.need[p] += n);
            self.sticks[kind] += 1;
        }
        if !self.partial && self.failed.len() * state.len() < MOST_REMEMBERED {
            self.failed.insert(state);
        }
        false
    }

    /// All fillings of one stick with the longest piece in it, of little enough waste, that no exchange for a
    /// longer piece or one more piece betters.
    fn fillings(&mut self, kind: usize, longest: usize, waste: u128) -> Vec<Filling> {
        let mut below: Vec<u128> = vec![0; self.need.len() + 1];
        for p in (0..self.need.len()).rev() {
            below[p] = below[p + 1] + u128::from(self.job.pieces[p].len) * u128::from(self.need[p]);
        }
        self.effort.spend(self.need.len() as u64);
        let mut stick = Stick { kind, waste, below, chosen: vec![(longest, 1)], fillings: Vec::new() };
        self.need[longest] -= 1;
        self.fill(&mut stick, longest, self.job.kinds[kind].len - self.job.pieces[longest].len);
        self.need[longest] += 1;
        stick.fillings
    }

    /// Adds pieces from this one on to a stick with so much length left.
    fn fill(&mut self, stick: &mut Stick, from: usize, rest: u64) {
        if stick.fillings.len() >= MOST_FILLINGS || !self.effort.spend(16) {
            self.partial = true;
            return;
        }
        let mut at = from + self.job.pieces[from..].partition_point(|piece| piece.len > rest);
        while at < self.need.len() && self.need[at] == 0 {
            at += 1;
            self.effort.spend(1);
        }
        if at >= self.need.len() {
            if u128::from(rest) <= stick.waste && self.is_tight(&stick.chosen, rest) {
                stick.fillings.push(Filling {
                    wasted: rest,
                    kind: stick.kind,
                    pieces: merged(&stick.chosen),
                });
            }
            return;
        }
        if u128::from(rest).saturating_sub(stick.below[at]) > stick.waste {
            return;
        }
        // With one of this piece, and perhaps more; then without.
        self.need[at] -= 1;
        stick.chosen.push((at, 1));
        self.fill(stick, at, rest - self.job.pieces[at].len);
        stick.chosen.pop();
        self.need[at] += 1;
        self.fill(stick, at + 1, rest);
    }

    /// No piece but the first can be exchanged for a longer one, and none fits beside.
    fn is_tight(&self, chosen: &[(usize, u64)], rest: u64) -> bool {
        let longer = |p: usize| (0..p).rev().find(|&q| self.need[q] > 0).map(|q| self.job.pieces[q].len);
        let exchanged = chosen
            .iter()
            .skip(1)
            .any(|&(p, _)| longer(p).is_some_and(|len| len - self.job.pieces[p].len <= rest));
        let last = (0..self.need.len()).rev().find(|&q| self.need[q] > 0);
        !exchanged && last.is_none_or(|q| self.job.pieces[q].len > rest)
    }
}

fn merged(chosen: &[(usize, u64)]) -> Vec<(usize, u64)> {
    let mut pieces: Vec<(usize, u64)> = Vec::new();
    for &(p, n) in chosen {
        match pieces.last_mut() {
            Some((last, count)) if *last == p => *count += n,
            _ => pieces.push((p, n)),
        }
    }
    pieces
}

fn longer_first(a: &[(usize, u64)], b: &[(usize, u64)]) -> std::cmp::Ordering {
    let key =
        |pieces: &[(usize, u64)]| pieces.iter().map(|&(p, n)| (p, std::cmp::Reverse(n))).collect::<Vec<_>>();
    key(a).cmp(&key(b))
}
