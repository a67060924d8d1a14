//! Which suppliers get an order: all sets of suppliers, parted by one supplier after the other, those of the lowest bound
//! first, until none is left that may cost less than the best. Called by [`super::source`]; how an order that falls short
//! of its minimum is topped up is [`minimum_order`]'s.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::ascent::{Quotes, Stand};
use super::dominated::dominated;
use super::within::{Fewer, Within};
use super::{
    Quote, SUPPLIER, Sourced, Sourcing, Weight, cents, goods, minimum_order, shares, standing, weight,
};
use crate::search::effort::Effort;

/// Quotes that are looked at, more or less, before what is left stays undecided.
const STEPS: u64 = 40_000_000;
/// The same where only sets of the same cost are left, which would have fewer suppliers or packs.
const OF_EQUAL: u64 = 10_000_000;
/// Sets in which a minimum order is in the way that may be gone through with many steps.
const HARD: u32 = 3;
/// Steps that the search of one such set is counted as.
const OF_ONE: u64 = 300_000;

/// Sets that are not decided.
enum Left {
    /// All that take in some suppliers and none of some others, with the shares of their minimum orders.
    Sets(Vec<Stand>, Vec<u128>),
    /// One in which a minimum order is in the way.
    Short(Vec<bool>),
    /// The same with its own bound.
    Bounded(Box<(Vec<bool>, Within, shares::Reach)>),
}

struct Search<'a, 'b> {
    of: &'a Sourcing<'b>,
    quotes: Quotes,
    /// The best so far, with its weight and its set. Of equal weights the set whose first names are open comes first.
    best: Option<(Weight, Reverse<Vec<bool>>, Sourced)>,
    /// What is not decided, by its bound, then in the order found.
    left: BTreeMap<(Weight, u64), Left>,
    found: u64,
    /// The least that a set which stays undecided may cost.
    undecided: u64,
    effort: Effort,
    hard: u32,
}

/// The best set of suppliers and what it comes to.
pub(super) fn best(of: &Sourcing<'_>) -> Option<Sourced> {
    let mut search = Search {
        of,
        quotes: Quotes::of(of),
        best: None,
        left: BTreeMap::new(),
        found: 0,
        undecided: u64::MAX,
        effort: Effort::new(STEPS),
        hard: HARD,
    };
    let stand = |(dominated, seller): (bool, &super::Seller)| match (seller.held, dominated) {
        (Some(_), _) => Stand::Open,
        (None, true) => Stand::Closed,
        (None, false) => Stand::Free,
    };
    let stands: Vec<Stand> = dominated(of).into_iter().zip(of.sellers).map(stand).collect();
    if stands.iter().filter(|stand| **stand == Stand::Open).count() > of.most {
        return None;
    }
    search.put(0, Left::Sets(stands, vec![0; of.sellers.len()]));
    while let Some(((bound, _), next)) = search.left.pop_first() {
        if search.best.as_ref().is_some_and(|(best, ..)| *best < bound) {
            break;
        }
        let equal = search.best.as_ref().is_some_and(|(_, _, best)| best.cents <= cents(bound));
        if search.effort.is_spent() || equal && search.effort.left() < STEPS - OF_EQUAL {
            search.undecided = search.undecided.min(cents(bound));
            break;
        }
        match next {
            Left::Sets(stands, shares) => search.part(bound, stands, shares),
            Left::Short(open) => search.bound_short(bound, open),
            Left::Bounded(set) => search.decide_short(*set),
        }
    }
    let (_, _, mut best) = search.best?;
    best.bound = best.cents.min(search.undecided);
    Some(best)
}

impl Search<'_, '_> {
    /// Keeps sets to be decided later.
    fn put(&mut self, bound: Weight, left: Left) {
        self.left.insert((bound, self.found), left);
        self.found += 1;
    }

    /// Whether no set of this weight, the first of which is given, can be better than what is there.
    fn is_beaten(&self, bound: Weight, first: &[bool]) -> bool {
        self.best.as_ref().is_some_and(|(best, set, _)| match (*best).cmp(&bound) {
            std::cmp::Ordering::Less => true,
            std::cmp::Ordering::Equal => *set.0 >= *first,
            std::cmp::Ordering::Greater => false,
        })
    }

    /// Keeps a choice for a set if it is better.
    fn keep(&mut self, weight: Weight, set: Vec<bool>, lines: Vec<Quote>) {
        if !self.is_beaten(weight, &set) {
            self.best = Some((weight, Reverse(set), sourced(self.of, lines)));
        }
    }

    /// Decides some sets, or parts them.
    fn part(&mut self, bound: Weight, mut stands: Vec<Stand>, mut shares: Vec<u128>) {
        let is = |stands: &[Stand], wanted: Stand| -> Vec<bool> {
            stands.iter().map(|stand| *stand == wanted).collect()
        };
        let may_be =
            |stands: &[Stand]| -> Vec<bool> { stands.iter().map(|stand| *stand != Stand::Closed).collect() };
        if self.is_beaten(bound, &may_be(&stands)) {
            return;
        }
        let open = is(&stands, Stand::Open);
        let opened = open.iter().filter(|open| **open).count();
        if opened == self.of.most {
            return self.decide(open);
        }
        if opened + 1 == self.of.most {
            return self.one_more(&open, &stands);
        }
        if opened + 2 == self.of.most {
            return self.two_more(open, stands, &shares);
        }
        let Some(ascent) = self.quotes.ascend(self.of, &stands, &mut shares, &mut self.effort) else {
            return;
        };
        let bound = bound.max(ascent.bound);
        if self.is_beaten(bound, &may_be(&stands)) {
            return;
        }
        // The suppliers whose fee is used up are where the lines are worth most.
        let tight = |(stand, left): (&Stand, &Weight)| match stand {
            Stand::Open => true,
            Stand::Free => *left == 0,
            Stand::Closed => false,
        };
        self.try_some(&stands.iter().zip(&ascent.left).map(tight).collect::<Vec<_>>());
        if let Some((best, ..)) = self.best {
            for (stand, left) in stands.iter_mut().zip(&ascent.left) {
                if *stand == Stand::Free && bound + left > best {
                    *stand = Stand::Closed;
                }
            }
        }
        if self.is_beaten(bound, &may_be(&stands)) {
            return;
        }
        let Some((_, lines)) = self.cheapest(&may_be(&stands)) else { return };
        let is_used = |s: usize| lines.iter().any(|quote| quote.seller == s);
        let free = is(&stands, Stand::Free);
        if !free.contains(&true) {
            return self.decide(open);
        }
        let sold = goods(self.of.sellers, &lines);
        let next = (0..free.len()).filter(|s| free[*s]).max_by_key(|s| (is_used(*s), sold[*s], Reverse(*s)));
        let Some(next) = next else { return };
        if (0..free.len()).all(|s| !free[s] || !is_used(s)) && !self.is_short(&open, &lines) {
            // No other supplier is wanted.
            return self.decide(open);
        }
        for (stand, more) in [(Stand::Open, ascent.left[next]), (Stand::Closed, 0)] {
            let mut stands = stands.clone();
            stands[next] = stand;
            self.put(bound + more, Left::Sets(stands, shares.clone()));
        }
    }

    /// Parts the sets of the open suppliers and at most two more by the first of these.
    fn two_more(&mut self, open: Vec<bool>, mut stands: Vec<Stand>, shares: &[u128]) {
        let may_be: Vec<bool> = stands.iter().map(|stand| *stand != Stand::Closed).collect();
        let Some((mut bound, _)) = self.cheapest(&may_be) else { return };
        bound -= standing(self.of.sellers, &may_be);
        for s in 0..stands.len() {
            if stands[s] == Stand::Free {
                stands[s] = Stand::Open;
                let mut set = open.clone();
                set[s] = true;
                let bound = bound + standing(self.of.sellers, &set);
                self.put(bound, Left::Sets(stands.clone(), shares.to_vec()));
                stands[s] = Stand::Closed;
            }
        }
        self.decide(open);
    }

    /// Decides the sets of the open suppliers and at most one more.
    fn one_more(&mut self, open: &[bool], stands: &[Stand]) {
        self.decide(open.to_vec());
        let mut at: Vec<Option<Weight>> = Vec::with_capacity(self.of.lines.len());
        let mut more: Vec<(Weight, Weight, usize)> = vec![(0, 0, 0); open.len()];
        for quotes in self.of.lines {
            let there = quotes.iter().filter(|quote| open[quote.seller]);
            let there = there.map(|quote| weight(quote.cents, quote.packs)).min();
            at.push(there);
            for quote in quotes {
                let new = weight(quote.cents, quote.packs);
                let (spared, added, newly) = &mut more[quote.seller];
                match there {
                    Some(there) => *spared += there.saturating_sub(new),
                    None => (*added, *newly) = (*added + new, *newly + 1),
                }
            }
        }
        self.effort.spend(self.of.lines.iter().map(|quotes| quotes.len() as u64).sum());
        let unsold = at.iter().filter(|there| there.is_none()).count();
        let sum = at.iter().flatten().sum::<Weight>() + standing(self.of.sellers, open);
        for (s, (spared, added, newly)) in more.into_iter().enumerate() {
            if stands[s] != Stand::Free || newly < unsold {
                continue;
            }
            let mut set = open.to_vec();
            set[s] = true;
            let all = sum + added + SUPPLIER + weight(self.of.sellers[s].fee, 0) - spared;
            if !self.is_beaten(all, &set) {
                self.decide(set);
            }
        }
    }

    /// A whole set: its cost is exact unless a minimum order is in the way.
    fn decide(&mut self, open: Vec<bool>) {
        let Some((weight, lines)) = self.cheapest(&open) else { return };
        match self.is_short(&open, &lines) {
            true => self.put(weight, Left::Short(open)),
            false => self.keep(weight, open, lines),
        }
    }

    /// Every line where it costs least among the open suppliers, and the weight of that; nothing where a line has no
    /// supplier.
    fn cheapest(&mut self, open: &[bool]) -> Option<(Weight, Vec<Quote>)> {
        let mut sum = standing(self.of.sellers, open);
        let mut lines = Vec::with_capacity(self.of.lines.len());
        for quotes in self.of.lines {
            self.effort.spend(quotes.len() as u64);
            let there = quotes.iter().filter(|quote| open[quote.seller]);
            let best = there.min_by_key(|quote| weight(quote.cents, quote.packs))?;
            sum += weight(best.cents, best.packs);
            lines.push(*best);
        }
        Some((sum, lines))
    }

    fn is_short(&self, open: &[bool], lines: &[Quote]) -> bool {
        let goods = goods(self.of.sellers, lines);
        (0..goods.len()).any(|s| open[s] && goods[s] < self.of.sellers[s].least)
    }

    /// Some suppliers, without those of them that it costs less to drop.
    fn try_some(&mut self, open: &[bool]) {
        let within = Within::of(self.of, open);
        self.effort.spend(within.quotes() * (1 + within.places.len() as u64 / 2));
        match within.drop_some(self.of) {
            Fewer::Enough(weight, open, lines) => self.keep(weight, open, lines),
            Fewer::None => {}
        }
    }

    /// The own bound of a set in which a minimum order is in the way.
    fn bound_short(&mut self, bound: Weight, open: Vec<bool>) {
        if self.is_beaten(bound, &open) {
            return;
        }
        let within = Within::of(self.of, &open);
        let reach = within.with(self.of, |of| shares::relax(of, &vec![true; of.sellers.len()]));
        self.effort.spend(within.quotes() * 100);
        self.put(bound.max(weight(reach.bound, 0)), Left::Bounded(Box::new((open, within, reach))));
    }

    /// The best choice of a set in which a minimum order is in the way.
    fn decide_short(&mut self, (open, within, reach): (Vec<bool>, Within, shares::Reach)) {
        let most = self.best.as_ref().map_or(u64::MAX, |(_, _, best)| best.cents);
        if reach.bound > most {
            return;
        }
        let hard = &mut self.hard;
        let reached = within
            .with(self.of, |of| minimum_order::reach(of, &vec![true; of.sellers.len()], &reach, most, hard));
        self.effort.spend(OF_ONE);
        self.undecided = self.undecided.min(reached.bound);
        if let Some(lines) = reached.lines {
            let lines = within.outside(lines);
            let sourced = sourced(self.of, lines);
            let weights = sourced.lines.iter().map(|quote| weight(quote.cents, quote.packs));
            let weight = standing(self.of.sellers, &sourced.open) + weights.sum::<Weight>();
            self.keep(weight, open, sourced.lines);
        }
    }
}

/// What lines come to where they are bought. A supplier that nothing is bought from has no order.
fn sourced(of: &Sourcing<'_>, lines: Vec<Quote>) -> Sourced {
    let mut open: Vec<bool> = of.sellers.iter().map(|seller| seller.held.is_some()).collect();
    lines.iter().for_each(|quote| open[quote.seller] = true);
    let sum = cents(standing(of.sellers, &open));
    let cents = lines.iter().fold(sum, |sum, quote| sum.saturating_add(quote.cents));
    Sourced { cents, bound: 0, lines, open }
}
