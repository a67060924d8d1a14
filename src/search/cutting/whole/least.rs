//! The walk to the least plan: first plans by rule, then the cheapest set of sticks not yet refused, again and
//! again, until the pieces go into one. Says how far it came: a plan and a proven bound. Called by `plan`.

use super::classical::{Decided, decide, dive};
use super::columns::{Goal, Grain, Relaxed, Ways, relax};
use super::job::{Found, Job, Load, Packed, price_of};
use super::packing::{Fill, Next, pack, shop};
use super::repair::repair;
use super::stock_selection::{Cut, Known, Selection, cheapest};
use crate::search::cutting::order::NoPlan;
use crate::search::effort::Effort;

/// Shares of all effort for one set of sticks in each round: a set that does not yield waits for the next round.
const ROUNDS: [u64; 4] = [400, 60, 8, 1];
/// Steps for one set in each round, where the share is less and the effort allows it.
const LEAST_STEPS: [u64; 4] = [8_000_000, 60_000_000, 0, 0];
/// Steps of repair for each piece, by rounds.
const REPAIR_STEPS: [u64; 4] = [10_000, 50_000, 100_000, 400_000];
/// Beyond so many lengths the linear program is solved coarsely first: with so many prices in each round.
const FEW_LENGTHS: u64 = 64;
const COARSE: [usize; 2] = [24, 60];
/// So many sets are left undecided in one round.
const MOST_OPEN: usize = 60;

/// The cheapest packing of a job, as far as the effort goes.
pub(super) fn least(job: &Job, effort: &mut Effort) -> Result<Found, NoPlan> {
    if job.pieces.iter().all(|piece| piece.count == 0) {
        return Ok(Found { loads: Vec::new(), cost: 0, bound: 0 });
    }
    let known = Known { cuts: vec![Cut::by_length(job)], refused: Vec::new(), shared: Vec::new() };
    let mut walk = Walk {
        job,
        need: job.counts(),
        all: effort.left(),
        known,
        ways: Ways::default(),
        best: None,
        bound: 0,
        relaxed: false,
    };
    if !walk.known.cuts[0].met_by(&job.most()) {
        return Err(NoPlan::NotEnoughStock);
    }
    walk.first_plans(effort);
    for round in 0..ROUNDS.len() {
        match walk.round(round, effort) {
            Outcome::Done | Outcome::Spent => break,
            Outcome::Open => {}
        }
    }
    match walk.best {
        Some((cost, loads)) => Ok(Found { loads, cost, bound: walk.bound }),
        None if walk.bound == u128::MAX => Err(NoPlan::NotEnoughStock),
        None => Err(NoPlan::NotFound),
    }
}

enum Outcome {
    /// The best is least, or there is no packing at all.
    Done,
    /// The steps are spent.
    Spent,
    /// Some sets are undecided.
    Open,
}

/// What became of one set of sticks.
enum Verdict {
    Packs,
    /// A new inequality excludes it.
    Cut,
    Refused,
    Undecided,
}

/// What the linear program says of a set of sticks.
enum Solved {
    /// They are too few: an inequality says so.
    Cut,
    /// They suffice in fractions.
    Fits(Relaxed),
    Unknown,
}

struct Walk<'a> {
    job: &'a Job,
    /// How many of each piece are wanted.
    need: Vec<u64>,
    all: u64,
    known: Known,
    ways: Ways,
    best: Option<(u128, Vec<Load>)>,
    bound: u128,
    /// Whether the linear program of the whole job was solved or given up.
    relaxed: bool,
}

impl Walk<'_> {
    fn first_plans(&mut self, effort: &mut Effort) {
        let (need, most) = (self.need.clone(), self.job.most());
        // The first rule is cheap, and there must be a plan even without any effort.
        let mut free = Effort::new(u64::MAX);
        self.keep(shop(self.job, &need, &most, Fill::Longest, &mut free));
        for next in [Next::LongStick, Next::ShortStick, Next::Tightest] {
            if self.best.is_none() {
                self.keep(pack(self.job, &need, &most, Fill::Longest, next, &mut free));
            }
        }
        effort.spend(u64::MAX - free.left());
        let packed =
            effort.within(self.all / 20, |effort| shop(self.job, &need, &most, Fill::Fullest, effort));
        self.keep(packed);
    }

    /// Takes over a packing if it is whole and better.
    fn keep(&mut self, packed: Packed) {
        if packed.is_whole() {
            self.keep_loads(packed.loads);
        }
    }

    fn keep_loads(&mut self, loads: Vec<Load>) {
        let cost = price_of(self.job, &loads);
        self.ways.add_loads(&loads);
        if self.best.as_ref().is_none_or(|(best, _)| cost < *best) {
            self.best = Some((cost, loads));
        }
    }

    fn limit(&self) -> Option<u128> {
        self.best.as_ref().map(|&(cost, _)| cost)
    }

    /// Goes through the sets, the cheapest first; those that do not yield are passed over until the next round.
    fn round(&mut self, round: usize, effort: &mut Effort) -> Outcome {
        let proven = self.known.refused.len();
        let mut open: Vec<Vec<u64>> = Vec::new();
        let outcome = loop {
            if self.limit().is_some_and(|cost| cost <= self.bound) {
                break Outcome::Done;
            }
            let share = (self.all / 40).max(20_000);
            let selection =
                effort.within(share, |effort| cheapest(self.job, &self.known, self.limit(), effort));
            // Once a set is passed over, nothing beyond its price is proven.
            let proven_now = if open.is_empty() { self.limit().unwrap_or(u128::MAX) } else { 0 };
            let (sticks, bound) = match selection {
                Selection::NoneBelow => (None, proven_now),
                Selection::Cheapest { sticks, price } => (Some(sticks), proven_now.min(price)),
                Selection::Spent { bound, seen } => (seen, proven_now.min(bound)),
            };
            self.bound = self.bound.max(bound);
            let Some(sticks) = sticks else {
                let done = self.limit().map_or(self.bound == u128::MAX, |cost| cost <= self.bound);
                break if done { Outcome::Done } else { Outcome::Open };
            };
            let verdict = effort.within(self.share(round), |effort| self.judge(&sticks, round, effort));
            match verdict {
                Verdict::Packs | Verdict::Cut => {}
                Verdict::Refused => self.known.refused.push(sticks),
                Verdict::Undecided => {
                    open.push(sticks.clone());
                    self.known.refused.push(sticks);
                    if open.len() >= MOST_OPEN || effort.is_spent() {
                        break if effort.is_spent() { Outcome::Spent } else { Outcome::Open };
                    }
                }
            }
        };
        let refused = self.known.refused.split_off(proven);
        self.known.refused.extend(refused.into_iter().filter(|set| !open.contains(set)));
        outcome
    }

    /// The steps for one set of sticks.
    fn share(&self, round: usize) -> u64 {
        (self.all / ROUNDS[round]).max(LEAST_STEPS[round].min(self.all / 8))
    }

    /// Do the pieces go into these sticks? The quick ways first.
    fn judge(&mut self, sticks: &[u64], round: usize, effort: &mut Effort) -> Verdict {
        let begun = match round {
            0 => match self.pack_by_rule(sticks, effort) {
                None => return Verdict::Packs,
                Some(begun) => begun,
            },
            _ => self.begin(sticks, effort),
        };
        let pieces: u64 = self.need.iter().sum();
        let lengths = self.need.iter().filter(|&&n| n > 0).count() as u64;
        if let Some(&grain) = COARSE.get(round).filter(|_| lengths > FEW_LENGTHS) {
            let half = effort.left() / 2;
            let solve =
                |effort: &mut Effort| self.solve(sticks, Goal::Fractions, Grain::Coarse(grain), effort);
            if let Solved::Cut = effort.within(half, solve) {
                return Verdict::Cut;
            }
        }
        // The program takes about the third power of the lengths: where that is out of reach, repair has it all.
        let solvable = 2 * lengths.pow(3) < effort.left();
        let share = if solvable { effort.left() / 4 } else { effort.left() };
        let share = share.min(REPAIR_STEPS[round].saturating_mul(pieces));
        if let Some(loads) = effort.within(share, |effort| repair(self.job, &begun, round as u64, effort)) {
            self.keep_loads(loads);
            return Verdict::Packs;
        }
        if solvable { self.judge_by_program(sticks, round, effort) } else { Verdict::Undecided }
    }

    /// The linear program in full, dives from its answer, and at last the whole search.
    fn judge_by_program(&mut self, sticks: &[u64], round: usize, effort: &mut Effort) -> Verdict {
        if !self.relaxed && self.job.kinds.len() > 1 {
            self.relaxed = true;
            if let Solved::Cut = self.solve(sticks, Goal::Bound, Grain::Fine, effort) {
                return Verdict::Cut;
            }
        }
        let relaxed = match self.solve(sticks, Goal::Fractions, Grain::Fine, effort) {
            Solved::Cut => return Verdict::Cut,
            Solved::Fits(relaxed) => Some(relaxed),
            Solved::Unknown => None,
        };
        let half = effort.left() / 2;
        if let Some(relaxed) = relaxed.filter(|relaxed| !relaxed.short)
            && effort.within(half, |effort| self.dive(sticks, &relaxed, round, effort))
        {
            return Verdict::Packs;
        }
        match decide(self.job, sticks, effort) {
            Decided::Packs(loads) => {
                self.keep_loads(loads);
                Verdict::Packs
            }
            Decided::Never => Verdict::Refused,
            Decided::Unknown => Verdict::Undecided,
        }
    }

    /// Solves the linear program for these sticks, or for all that can be had, and learns its inequality if these
    /// sticks do not meet it.
    fn solve(&mut self, sticks: &[u64], goal: Goal, grain: Grain, effort: &mut Effort) -> Solved {
        let most = self.job.most();
        let limits = match goal {
            Goal::Bound => &most,
            Goal::Fractions => sticks,
        };
        match relax(self.job, &self.need, limits, goal, grain, &mut self.ways, effort) {
            Some(relaxed) if relaxed.cut.met_by(sticks) => Solved::Fits(relaxed),
            Some(relaxed) => {
                self.known.cuts.push(relaxed.cut);
                Solved::Cut
            }
            None => Solved::Unknown,
        }
    }

    /// A packing to be repaired.
    fn begin(&self, sticks: &[u64], effort: &mut Effort) -> Packed {
        let part = effort.left() / 8;
        effort
            .within(part, |effort| pack(self.job, &self.need, sticks, Fill::Fullest, Next::Tightest, effort))
    }

    /// Packs by every rule; what is left over is bought beside, which may be a better plan than the best. Nothing if
    /// all pieces went in, else the packing that left least.
    fn pack_by_rule(&mut self, sticks: &[u64], effort: &mut Effort) -> Option<Packed> {
        let need = self.need.clone();
        let mut least: Option<(u128, Packed)> = None;
        for fill in [Fill::Longest, Fill::Fullest] {
            for next in [Next::Tightest, Next::LongStick, Next::ShortStick] {
                let half = effort.left() / 4;
                let packed = effort.within(half, |effort| pack(self.job, &need, sticks, fill, next, effort));
                if packed.is_whole() {
                    self.keep_loads(packed.loads);
                    return None;
                }
                let used = |k: usize| sticks[k] - packed.sticks[k];
                let rest: Vec<u64> = (0..sticks.len()).map(|k| self.job.kinds[k].most - used(k)).collect();
                let mut whole = shop(self.job, &packed.left, &rest, Fill::Longest, effort);
                self.ways.add_loads(&packed.loads);
                whole.loads.extend_from_slice(&packed.loads);
                self.keep(whole);
                let left = self.job.pieces.iter().zip(&packed.left);
                let left = left.map(|(piece, &n)| u128::from(piece.len) * u128::from(n)).sum();
                if least.as_ref().is_none_or(|(other, _)| left < *other) {
                    least = Some((left, packed));
                }
            }
        }
        least.map(|(_, packed)| packed)
    }

    fn dive(&mut self, sticks: &[u64], root: &Relaxed, round: usize, effort: &mut Effort) -> bool {
        // Some turns of each round; the last round goes on as long as it may.
        let turns = match round {
            0 => 0..2,
            1 => 2..10,
            2 => 10..50,
            _ => 50..100_000,
        };
        for turn in turns {
            if effort.is_spent() {
                return false;
            }
            if let Some(loads) = dive(self.job, sticks, root, turn, &mut self.ways, effort) {
                self.keep_loads(loads);
                return true;
            }
        }
        false
    }
}
