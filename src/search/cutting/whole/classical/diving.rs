//! A dive: from the fractions of the linear program to a packing into given sticks, by fixing the ways of cutting
//! that are nearly whole, solving for the rest, and so on to the end. Finds packings, proves nothing.
//! Called by `least`, several times with another first choice.
#![allow(clippy::float_arithmetic)]

use super::super::columns::{Goal, Grain, Relaxed, Ways, relax};
use super::super::job::{Job, Load};
use super::super::packing::{Fill, Next, pack};
use crate::search::effort::Effort;

/// What remains to be packed.
#[derive(Clone)]
struct Rest {
    need: Vec<u64>,
    sticks: Vec<u64>,
}

/// How many dead ends one dive may meet.
const MOST_FAILS: u32 = 12;
/// From this fraction on, ways are fixed together at first.
const NEARLY_ONE: f64 = 0.75;
/// A dive goes no deeper than so many fixed ways (a call or less for each).
const MOST_FIXED: usize = 2_000;
/// Fractions are this far from exact at most.
const MUCH_LESS: f64 = 1e-3;
/// So many ways are tried one by one, where none can be fixed together with others.
const MOST_SINGLE: usize = 4;

/// Dives into these sticks from the optimum of the whole. `turn` 0 takes the nearest ways each time; later turns
/// rate them a little otherwise.
pub(crate) fn dive(
    job: &Job,
    sticks: &[u64],
    root: &Relaxed,
    turn: u64,
    ways: &mut Ways,
    effort: &mut Effort,
) -> Option<Vec<Load>> {
    let rest = Rest { need: job.counts(), sticks: sticks.to_vec() };
    Dive { job, turn, ways, effort, fails: MOST_FAILS, fixed: Vec::new() }.plunge(&rest, &root.uses)
}

struct Dive<'a> {
    job: &'a Job,
    turn: u64,
    ways: &'a mut Ways,
    effort: &'a mut Effort,
    fails: u32,
    /// The sticks fixed so far.
    fixed: Vec<Load>,
}

impl Dive<'_> {
    /// Fixes ways, the more the better, such that the program for the rest has an answer; and dives on from there.
    fn plunge(&mut self, rest: &Rest, uses: &[(usize, f64)]) -> Option<Vec<Load>> {
        let order = self.rated(uses);
        let mut together = order.iter().filter(|&&(_, value, _)| value >= NEARLY_ONE).count().max(1);
        let mut single = 1;
        loop {
            let (from, to) = if together > 0 { (0, together) } else { (single, single + 1) };
            let chosen = order.get(from..to)?;
            let (mut next, before) = (rest.clone(), self.fixed.len());
            for &(number, _, times) in chosen {
                self.fix(&mut next, number, times);
            }
            if self.fixed.len() > before
                && self.fixed.len() < MOST_FIXED
                && let Some(found) = self.follow(next)
            {
                return Some(found);
            }
            self.fixed.truncate(before);
            if self.fails == 0 || self.effort.is_spent() {
                return None;
            }
            if together > 0 {
                together /= 3;
            } else {
                single += 1;
            }
            if single > MOST_SINGLE {
                return None;
            }
        }
    }

    fn follow(&mut self, next: Rest) -> Option<Vec<Load>> {
        if let Some(loads) = pack_rest(self.job, &next, self.effort) {
            return Some(self.fixed.drain(..).chain(loads).collect());
        }
        let relaxed =
            relax(self.job, &next.need, &next.sticks, Goal::Fractions, Grain::Fine, self.ways, self.effort)?;
        if relaxed.short || !relaxed.cut.met_by(&next.sticks) {
            return None;
        }
        let found = self.plunge(&next, &relaxed.uses);
        if found.is_none() {
            self.fails = self.fails.saturating_sub(1);
        }
        found
    }

    /// Ways with their rated fraction and how often they are to be fixed, the nearest to whole first.
    fn rated(&self, uses: &[(usize, f64)]) -> Vec<(usize, f64, u64)> {
        let rate = |&(number, value): &(usize, f64)| {
            let (value, noise) = (value + MUCH_LESS, self.noise(number));
            if value >= 1.0 { (number, 2.0 + noise, value as u64) } else { (number, value + noise, 1) }
        };
        let mut order: Vec<(usize, f64, u64)> = uses.iter().map(rate).collect();
        order.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        order
    }

    /// Cuts so many sticks this way, or as many as pieces and sticks allow.
    fn fix(&mut self, rest: &mut Rest, number: usize, times: u64) {
        let way = &self.ways.list[number];
        let by_pieces = way.pieces.iter().map(|&(p, n)| rest.need[p] / n).min().unwrap_or(0);
        let times = times.min(rest.sticks[way.kind]).min(by_pieces);
        if times > 0 {
            way.pieces.iter().for_each(|&(p, n)| rest.need[p] -= n * times);
            rest.sticks[way.kind] -= times;
            self.fixed.push(Load { kind: way.kind, times, pieces: way.pieces.clone() });
        }
    }

    /// What this turn adds to the rate of a way: nothing in turn 0, up to 0.3 in later ones.
    fn noise(&self, number: usize) -> f64 {
        let mixed = (number as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15).wrapping_mul(2 * self.turn + 1);
        if self.turn == 0 { 0.0 } else { ((mixed >> 40) % 301) as f64 / 1000.0 }
    }
}

fn pack_rest(job: &Job, rest: &Rest, effort: &mut Effort) -> Option<Vec<Load>> {
    for next in [Next::Tightest, Next::ShortStick] {
        for fill in [Fill::Longest, Fill::Fullest] {
            let packed = pack(job, &rest.need, &rest.sticks, fill, next, effort);
            if packed.is_whole() {
                return Some(packed.loads);
            }
        }
    }
    None
}
