//! The cheapest set of sticks that may hold all pieces: it meets every inequality known to hold for all packings,
//! and is not among the sets refused. Exact, in whole numbers; knows nothing of how pieces are packed. Called by
//! `least`, which learns inequalities and refuses sets as it goes.

use super::job::Job;
use crate::search::effort::Effort;

/// An inequality that every packing meets: each piece is given a weight, `worth` is the most weight that one
/// stick of a kind can hold, and `need` is the weight of all pieces. The sticks' worth must reach the need.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Cut {
    pub(crate) worth: Vec<u64>,
    pub(crate) need: u128,
}

impl Cut {
    /// Each piece weighs its length.
    pub(crate) fn by_length(job: &Job) -> Cut {
        Cut {
            worth: job.kinds.iter().map(|kind| kind.len).collect(),
            need: job.pieces.iter().map(|piece| u128::from(piece.len) * u128::from(piece.count)).sum(),
        }
    }

    /// Do these sticks meet it?
    pub(crate) fn met_by(&self, sticks: &[u64]) -> bool {
        self.missing(sticks) == 0
    }

    fn missing(&self, sticks: &[u64]) -> u128 {
        let held = self.worth.iter().zip(sticks).map(|(&w, &n)| u128::from(w) * u128::from(n)).sum();
        self.need.saturating_sub(held)
    }
}

/// What is known of all sets of sticks.
#[derive(Debug, Default)]
pub(crate) struct Known {
    /// Inequalities that hold for every packing.
    pub(crate) cuts: Vec<Cut>,
    /// Sets into which the pieces do not go, nor into any part of them.
    pub(crate) refused: Vec<Vec<u64>>,
    /// Kinds that are the same sticks used in two ways: the first of them, the other, and how many there are in all.
    pub(crate) shared: Vec<(usize, usize, u64)>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Selection {
    /// The cheapest set, and its price.
    Cheapest { sticks: Vec<u64>, price: u128 },
    /// No set is cheaper than the limit.
    NoneBelow,
    /// The steps are spent: no set costs less than this bound, and this set, if any, is the cheapest seen.
    Spent { bound: u128, seen: Option<Vec<u64>> },
}

/// More kinds than so many are not decided one by one (the search goes a call deeper for each).
const MOST_KINDS: usize = 1_000;

/// The cheapest set of sticks below a limit in price. Of equally cheap sets, the one with more of the kind that
/// gives most length for its price, then of the next.
pub(crate) fn cheapest(job: &Job, known: &Known, below: Option<u128>, effort: &mut Effort) -> Selection {
    let mut order: Vec<usize> = (0..job.kinds.len()).collect();
    order.sort_by(|&a, &b| {
        let (left, right) = (&job.kinds[a], &job.kinds[b]);
        let by_ratio = (u128::from(left.price) * u128::from(right.len))
            .cmp(&(u128::from(right.price) * u128::from(left.len)));
        by_ratio.then(a.cmp(&b))
    });
    let ratios = known.cuts.iter().map(|cut| steps(job, known, cut, &order)).collect();
    let partners = partners(known, &order);
    let sticks = vec![0; job.kinds.len()];
    let missing: Vec<u128> = known.cuts.iter().map(|cut| cut.need).collect();
    let mut search = Search {
        job,
        known,
        order,
        ratios,
        partners,
        sticks,
        best: None,
        limit: below,
        spent: false,
        effort,
    };
    let root = search.bound(0, 0, &missing);
    if job.kinds.len() > MOST_KINDS {
        return Selection::Spent { bound: root.unwrap_or(0), seen: None };
    }
    search.descend(0, 0, &missing);
    let (best, spent) = (search.best, search.spent);
    match (best, spent) {
        (best, true) => Selection::Spent { bound: root.unwrap_or(0), seen: best.map(|(_, sticks)| sticks) },
        (Some((price, sticks)), false) => Selection::Cheapest { sticks, price },
        (None, false) => Selection::NoneBelow,
    }
}

/// A step towards the need of an inequality: one more stick of a kind, or one used in the other of two ways.
#[derive(Debug, Clone, Copy)]
struct Step {
    /// The place of the kind in the order; and of the other, where one is turned into the other.
    place: usize,
    turned: Option<usize>,
    worth: u64,
    price: u64,
}

/// All steps for a cut, those that give most of its weight for their price first.
fn steps(job: &Job, known: &Known, cut: &Cut, order: &[usize]) -> Vec<Step> {
    let place = |kind: usize| order.iter().position(|&other| other == kind).unwrap_or(0);
    let mut steps: Vec<Step> = Vec::new();
    for (at, &kind) in order.iter().enumerate() {
        let (worth, price) = (cut.worth[kind], job.kinds[kind].price);
        steps.push(Step { place: at, turned: None, worth, price });
    }
    for &(one, other, _) in &known.shared {
        let (less, more) = if (job.kinds[one].price, one) < (job.kinds[other].price, other) {
            (one, other)
        } else {
            (other, one)
        };
        let step = Step {
            place: place(less),
            turned: Some(place(more)),
            worth: cut.worth[more].saturating_sub(cut.worth[less]),
            price: job.kinds[more].price - job.kinds[less].price,
        };
        steps.push(step);
    }
    steps.retain(|step| step.worth > 0);
    steps.sort_by(|a, b| {
        let cross = |x: &Step, y: &Step| u128::from(x.price) * u128::from(y.worth);
        cross(a, b).cmp(&cross(b, a)).then((a.place, a.turned).cmp(&(b.place, b.turned)))
    });
    steps
}

struct Search<'a> {
    job: &'a Job,
    known: &'a Known,
    order: Vec<usize>,
    ratios: Vec<Vec<Step>>,
    /// For each place that of the kind that is the same sticks, and how many there are of both.
    partners: Vec<Option<(usize, u64)>>,
    sticks: Vec<u64>,
    best: Option<(u128, Vec<u64>)>,
    limit: Option<u128>,
    spent: bool,
    effort: &'a mut Effort,
}

impl Search<'_> {
    /// Decides the kinds from this place on.
    fn descend(&mut self, at: usize, price: u128, missing: &[u128]) {
        if at == self.order.len() {
            if missing.iter().all(|&m| m == 0) && !self.is_refused() {
                self.limit = Some(price);
                self.best = Some((price, self.sticks.clone()));
            }
            return;
        }
        let kind = self.order[at];
        let each = self.job.kinds[kind];
        let last = at + 1 == self.order.len();
        let shared = self.known.shared.iter().find(|&&(one, other, _)| one == kind || other == kind);
        // The other kind has none yet, if it is decided later.
        let held = |&(one, other, all): &(usize, usize, u64)| all - self.sticks[one].max(self.sticks[other]);
        let most = shared.map_or(each.most, held);
        let free = each.price == 0 && shared.is_none();
        let mut n = if free { each.most } else { self.most_useful(at, missing).min(most) };
        let least = if free {
            n
        } else if last {
            self.least_last(kind, missing)
        } else {
            0
        };
        if last {
            // Only the least number that will do can be the cheapest here.
            n = n.max(least).min(most);
            if n < least {
                return;
            }
            n = least;
        }
        let mut before: Option<u128> = None;
        loop {
            self.spent |= !self.effort.spend(8 + 4 * (self.known.cuts.len() * self.order.len()) as u64);
            if self.spent {
                return;
            }
            let now = price + u128::from(each.price) * u128::from(n);
            let then = self.missing_after(kind, n, missing);
            let bound = self.bound(at + 1, now, &then);
            if bound.is_some_and(|bound| self.limit.is_none_or(|limit| bound < limit)) {
                self.sticks[kind] = n;
                self.descend(at + 1, now, &then);
                self.sticks[kind] = 0;
            } else if bound.is_none()
                || before.is_some_and(|before| bound.is_some_and(|bound| bound > before))
            {
                // The bound is convex in n: once it rises towards fewer sticks it rises on.
                return;
            }
            before = bound;
            if n <= least {
                return;
            }
            n -= 1;
        }
    }

    fn missing_after(&self, kind: usize, n: u64, missing: &[u128]) -> Vec<u128> {
        let held = |cut: &Cut| u128::from(cut.worth[kind]) * u128::from(n);
        self.known.cuts.iter().zip(missing).map(|(cut, &m)| m.saturating_sub(held(cut))).collect()
    }

    /// More sticks of this kind than so many serve nothing, whatever else is bought.
    fn most_useful(&self, at: usize, missing: &[u128]) -> u64 {
        let kind = self.order[at];
        let most = self.job.kinds[kind].most;
        let refused = self.known.refused.iter().map(|set| set[kind].saturating_add(1)).max().unwrap_or(0);
        let counted = self.known.cuts.iter().zip(missing).filter(|(cut, _)| cut.worth[kind] > 0);
        let by_cuts = counted.map(|(cut, &m)| to_reach(m, cut.worth[kind], most)).max();
        by_cuts.unwrap_or(0).max(refused).min(most)
    }

    /// The least number of the last kind with which all inequalities are met and the set is not refused.
    fn least_last(&self, kind: usize, missing: &[u128]) -> u64 {
        let impossible = self.job.kinds[kind].most.saturating_add(1);
        let by_cuts =
            self.known.cuts.iter().zip(missing).map(|(cut, &m)| to_reach(m, cut.worth[kind], impossible));
        let within = |set: &&Vec<u64>| (0..set.len()).all(|k| k == kind || self.sticks[k] <= set[k]);
        let refused = self.known.refused.iter().filter(within).map(|set| set[kind].saturating_add(1));
        by_cuts.chain(refused).max().unwrap_or(0)
    }

    fn is_refused(&self) -> bool {
        self.known.refused.iter().any(|set| self.sticks.iter().zip(set).all(|(have, most)| have <= most))
    }

    /// No completion of the sticks chosen so far costs less; `None` if there is none. Each inequality by itself,
    /// in fractions of sticks.
    fn bound(&self, at: usize, price: u128, missing: &[u128]) -> Option<u128> {
        let mut most = price;
        for (steps, &m) in self.ratios.iter().zip(missing) {
            most = most.max(price + self.fractional(steps, at, m)?);
        }
        Some(most)
    }

    fn fractional(&self, steps: &[Step], at: usize, missing: u128) -> Option<u128> {
        let (mut rest, mut price) = (missing, 0u128);
        for step in steps.iter().filter(|step| step.place >= at) {
            if rest == 0 {
                break;
            }
            let Some(most) = self.most_of(step, at) else { continue };
            let (worth, each) = (u128::from(step.worth), u128::from(step.price));
            let held = worth * u128::from(most);
            if held >= rest {
                // Rounded down where the product is too large: still a bound.
                let last = rest.checked_mul(each).map_or(rest / worth * each, |all| all.div_ceil(worth));
                return Some(price + last);
            }
            rest -= held;
            price += each * u128::from(most);
        }
        (rest == 0).then_some(price)
    }

    /// How often a step may be taken while the kinds before this place are decided; none if another step stands for
    /// it. Of two ways to use the same sticks, both open, the cheaper comes with the turn to the other; where that turn
    /// gives more for its price than the cheaper way itself, all are taken for cheaper than they are.
    fn most_of(&self, step: &Step, at: usize) -> Option<u64> {
        let most = self.job.kinds[self.order[step.place]].most;
        match (self.partners[step.place], step.turned) {
            (None, _) => Some(most),
            (Some((_, all)), Some(other)) => (other >= at).then_some(all),
            (Some((other, all)), None) if other < at => Some(all - self.sticks[self.order[other]]),
            (Some((other, all)), None) => {
                // Both are open: the cheaper alone, and the turn.
                let (mine, its) = (self.order[step.place], self.order[other]);
                let (mine, its) = ((self.job.kinds[mine].price, mine), (self.job.kinds[its].price, its));
                (mine < its).then_some(all)
            }
        }
    }
}

/// For each place in the order that of the other use of the same sticks.
fn partners(known: &Known, order: &[usize]) -> Vec<Option<(usize, u64)>> {
    let place = |kind: usize| order.iter().position(|&other| other == kind);
    let partner = |&kind: &usize| {
        let shared = known.shared.iter().find(|&&(one, other, _)| one == kind || other == kind);
        shared.and_then(|&(one, other, all)| Some((place(if one == kind { other } else { one })?, all)))
    };
    order.iter().map(partner).collect()
}

/// How many sticks of some worth reach a need; `never` if none do.
fn to_reach(need: u128, worth: u64, never: u64) -> u64 {
    match (need, worth) {
        (0, _) => 0,
        (_, 0) => never,
        _ => u64::try_from(need.div_ceil(u128::from(worth))).unwrap_or(never).min(never),
    }
}
