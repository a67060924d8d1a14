//! A dive: from the fractions of the linear program to a packing into given sticks, by fixing the ways of cutting
//! that are nearly whole, solving for the rest, and so on to the end. Finds packings, proves nothing.
//! Called by `least`, several times with another first choice.
#![allow(clippy::float_arithmetic)]

use super::columns::{Relaxed, Ways, relax};
use super::effort::Effort;
use super::normal::Job;
use super::packing::{Fill, Load, Next, pack};

/// What remains to be packed, and what is fixed.
struct Rest {
    need: Vec<u64>,
    sticks: Vec<u64>,
    fixed: Vec<Load>,
}

/// Dives into these sticks from the optimum of the whole. `turn` 0 takes the nearest way each time; a later turn
/// passes over some at one depth.
pub(super) fn dive(
    job: &Job,
    sticks: &[u64],
    root: &Relaxed,
    turn: usize,
    ways: &mut Ways,
    effort: &mut Effort,
) -> Option<Vec<Load>> {
    let mut rest = Rest { need: job.counts(), sticks: sticks.to_vec(), fixed: Vec::new() };
    let (odd_depth, passed_over) = odd_choice(turn);
    let mut uses = root.uses.clone();
    for depth in 0.. {
        let skip = if depth == odd_depth { passed_over } else { 0 };
        if !fix_some(&mut rest, &uses, ways, skip, depth < 2) {
            return None;
        }
        if let Some(loads) = pack_rest(job, &rest, effort) {
            rest.fixed.extend(loads);
            return Some(rest.fixed);
        }
        let relaxed = relax(job, &rest.need, &rest.sticks, ways, effort)?;
        if relaxed.short || !relaxed.cut.met_by(&rest.sticks) {
            return None;
        }
        uses = relaxed.uses;
    }
    None
}

/// At which depth a turn makes another choice, and how many ways it passes over there.
fn odd_choice(turn: usize) -> (usize, usize) {
    // Turns 1, 2, 3...: (0, 1), (1, 1), (0, 2), (2, 1), (1, 2), (0, 3)... along the diagonals.
    let (mut line, mut left) = (0, turn.saturating_sub(1));
    while left > line {
        left -= line + 1;
        line += 1;
    }
    if turn == 0 { (0, 0) } else { (line - left, left + 1) }
}

/// Fixes the whole parts of the ways, and then the nearest to one more; false if nothing could be fixed.
fn fix_some(rest: &mut Rest, uses: &[(usize, f64)], ways: &Ways, skip: usize, gently: bool) -> bool {
    let mut order: Vec<(usize, f64)> = uses.to_vec();
    order.sort_by(|a, b| b.1.fract().total_cmp(&a.1.fract()).then(a.0.cmp(&b.0)));
    let mut any = false;
    for &(number, value) in &order {
        any |= fix(rest, ways, number, (value + 1e-5) as u64);
    }
    let order: Vec<(usize, f64)> =
        order.into_iter().filter(|(_, value)| (value + 1e-5).fract() > 2e-5).collect();
    let least = if gently { 0.95 } else { 0.8 };
    let mut chosen = 0;
    for &(number, value) in order.iter().skip(skip) {
        if chosen > 0 && value.fract() < least {
            break;
        }
        if fix(rest, ways, number, 1) {
            chosen += 1;
        }
    }
    any || chosen > 0
}

/// Cuts so many sticks this way, or as many as pieces and sticks allow.
fn fix(rest: &mut Rest, ways: &Ways, number: usize, times: u64) -> bool {
    let way = &ways.list[number];
    let by_pieces = way.pieces.iter().map(|&(p, n)| rest.need[p] / n).min().unwrap_or(0);
    let times = times.min(rest.sticks[way.kind]).min(by_pieces);
    if times == 0 {
        return false;
    }
    for &(p, n) in &way.pieces {
        rest.need[p] -= n * times;
    }
    rest.sticks[way.kind] -= times;
    rest.fixed.push(Load { kind: way.kind, times, pieces: way.pieces.clone() });
    true
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
