//! Top-up: an order that falls short of its supplier's minimum is topped up with more of what is bought there.
//! It knows what more can be had of each line at one supplier, one sum after the other; where lines are bought is
//! decided by [`super::meet_in_the_middle`], which calls it.

use std::collections::BTreeMap;

use rustc_hash::FxHashMap;

use super::{Quote, Sourcing};
use crate::search::sums::{has, or_more};

/// Up to so many cents all sums that lines come to are looked at.
const WIDEST: u64 = 1 << 12;
/// Where lines have so few ways together, each of them is looked at, however far away the sum is.
const FEW: usize = 4_096;

/// What the order of one supplier can be topped up with.
pub(super) struct TopUp<'a, 'b> {
    of: &'a Sourcing<'b>,
    seller: usize,
    /// What is known goes up to so many cents.
    range: u64,
    /// By line: what more of it costs, sums going up, with the packs it then takes; once it was asked for.
    more: Vec<Option<Vec<(u64, u64)>>>,
    /// The same of what is far away, with how far was looked.
    far: FxHashMap<usize, (u64, Vec<(u64, u64)>)>,
    /// Whether all that can be had is known.
    whole: bool,
    /// From each sum on, the least that all lines together can come to.
    least: Vec<u64>,
}

/// What tops up an order.
pub(super) struct ToppedUp {
    /// So many cents more.
    pub(super) cents: u64,
    /// Lines with what they then cost and take.
    pub(super) lines: Vec<(usize, Quote)>,
}

impl<'a, 'b> TopUp<'a, 'b> {
    /// Of one supplier's order.
    pub(super) fn new(of: &'a Sourcing<'b>, seller: usize) -> Self {
        Self {
            of,
            seller,
            range: 0,
            more: Vec::new(),
            far: FxHashMap::default(),
            whole: true,
            least: Vec::new(),
        }
    }

    /// Whether all that can be had is known, as far as was asked for.
    pub(super) fn is_whole(&self) -> bool {
        self.whole
    }

    /// Looks as far as so many cents, at least.
    pub(super) fn reach(&mut self, cents: u64) {
        if cents <= self.range || self.range == WIDEST {
            return;
        }
        self.range = cents.saturating_mul(2).min(WIDEST);
        self.more = vec![None; self.of.lines.len()];
        self.whole = true;
        let mut sums = Sums::none(self.range);
        for line in 0..self.more.len() {
            sums.add(self.more(line));
        }
        // What is farther away is met by the cent, for all that is known.
        self.least = if self.whole { sums.next(self.range + 1) } else { Vec::new() };
    }

    /// No choice of lines tops up what is missing for less.
    pub(super) fn at_least(&self, missing: u64) -> u64 {
        let place = usize::try_from(missing).unwrap_or(usize::MAX);
        self.least.get(place).copied().unwrap_or(missing)
    }

    /// The least that tops up what is missing with the lines that are bought here: more of as few of them as that
    /// takes, the first. Nothing where they do not come to so much, or where no step is left.
    pub(super) fn fill(&mut self, missing: u64, lines: &[Quote], steps: &mut u64) -> Option<ToppedUp> {
        let whole = self.whole;
        let filled = self.step_by_step(missing, lines, steps);
        let is_exact = filled.as_ref().is_some_and(|filled| filled.cents == missing);
        if missing <= self.range || is_exact || *steps == 0 {
            return filled;
        }
        // It is far away: where the lines have few ways together, each of them is looked at.
        match self.by_few_ways(missing, lines, steps) {
            Some(known) => {
                self.whole = whole;
                known
            }
            None => filled,
        }
    }

    /// The same with one line after the other, as near as a step of the last of them comes.
    fn step_by_step(&mut self, missing: u64, lines: &[Quote], steps: &mut u64) -> Option<ToppedUp> {
        let seller = self.seller;
        let mut here = (0..lines.len()).filter(|line| lines[*line].seller == seller);
        let mut parts: Vec<Part> = Vec::new();
        let mut rest = missing;
        // What is far away is come near to with one line after the other.
        while rest > self.range {
            let Some(line) = here.next() else {
                self.whole = false;
                return beyond(parts, rest, lines);
            };
            let ways = self.far(line, rest.saturating_add(self.range));
            *steps = steps.saturating_sub(ways.len() as u64);
            let (near, beyond) = ways.split_at(ways.partition_point(|way| way.0 <= rest - self.range / 2));
            let (cents, packs) = near.last().copied().unwrap_or((0, lines[line].packs));
            let more = beyond.iter().map(|(further, packs)| (further - cents, *packs)).collect();
            parts.push(Part { line, cents, packs, more });
            rest -= cents;
        }
        let mut layers = vec![Sums::none(self.range)];
        for at in 0.. {
            if layers[at].has(rest) {
                break;
            }
            if at == parts.len() {
                let Some(line) = here.next() else { break };
                let more = self.more(line).to_vec();
                parts.push(Part { line, cents: 0, packs: lines[line].packs, more });
            }
            let mut sums = layers[at].clone();
            let work = parts[at].more.len() * sums.bits.len();
            *steps = steps.saturating_sub(work as u64 / 16 + 1);
            if *steps == 0 {
                return None;
            }
            sums.add(&parts[at].more);
            layers.push(sums);
        }
        let near = layers[layers.len() - 1].from(rest)?;
        self.whole &= missing <= self.range || near == rest;
        let cents = missing - rest + near;
        Some(ToppedUp { cents, lines: taken(parts, &layers, near, lines) })
    }

    /// The least that tops up what is missing where the lines bought here have few ways together; nothing where they have
    /// many.
    fn by_few_ways(&mut self, missing: u64, lines: &[Quote], steps: &mut u64) -> Option<Option<ToppedUp>> {
        let seller = self.seller;
        let mut all = 1;
        let mut here = Vec::new();
        for line in (0..lines.len()).filter(|line| lines[*line].seller == seller) {
            // One more of what is bought costs no more than that.
            let whole = std::mem::replace(&mut self.whole, true);
            let ways = self.far(line, missing.saturating_add(lines[line].cents));
            let is_whole = std::mem::replace(&mut self.whole, whole);
            all *= ways.len() + 1;
            if all > FEW || !is_whole {
                return None;
            }
            here.push((line, ways));
        }
        *steps = steps.saturating_sub(all as u64);
        let mut sums: BTreeMap<u64, Vec<(usize, Quote)>> = BTreeMap::from([(0, Vec::new())]);
        for (line, ways) in here {
            for (sum, taken) in sums.clone() {
                for (more, packs) in &ways {
                    let more_of_it = Quote {
                        cents: lines[line].cents.saturating_add(*more),
                        packs: *packs,
                        ..lines[line]
                    };
                    // The sums that came first take more of fewer lines.
                    sums.entry(sum.saturating_add(*more))
                        .or_insert_with(|| [&taken[..], &[(line, more_of_it)]].concat());
                }
            }
        }
        let found = sums.range(missing..).next();
        Some(found.map(|(cents, lines)| ToppedUp { cents: *cents, lines: lines.clone() }))
    }

    /// What more of a line costs, as far as so many cents.
    fn far(&mut self, line: usize, range: u64) -> Vec<(u64, u64)> {
        if self.far.get(&line).is_none_or(|(known, _)| *known < range) {
            let ways = self.ways(line, range);
            self.far.insert(line, (range, ways));
        }
        let (_, ways) = &self.far[&line];
        ways[..ways.partition_point(|way| way.0 <= range)].to_vec()
    }

    /// What more of a line costs.
    fn more(&mut self, line: usize) -> &[(u64, u64)] {
        if self.more[line].is_none() {
            let ways = self.ways(line, self.range);
            self.more[line] = Some(ways);
        }
        self.more[line].as_deref().unwrap_or_default()
    }

    /// What more of a line costs, up to so many cents. Where there are too many ways to go through, half as far.
    fn ways(&mut self, line: usize, mut range: u64) -> Vec<(u64, u64)> {
        let Some(quote) = self.of.lines[line].iter().find(|quote| quote.seller == self.seller) else {
            return Vec::new();
        };
        while range > 0 {
            if let Some(ways) = (self.of.ways)(line, quote.seller, quote.cents.saturating_add(range)) {
                let more = ways.into_iter().filter(|way| way.0 > quote.cents);
                return more.map(|(cents, packs)| (cents - quote.cents, packs)).collect();
            }
            self.whole = false;
            range /= 2;
        }
        Vec::new()
    }
}

/// A line that an order is topped up with.
struct Part {
    line: usize,
    /// What more of it is taken in any case, in cents, and the packs it then takes.
    cents: u64,
    packs: u64,
    /// What still more costs, and the packs then.
    more: Vec<(u64, u64)>,
}

/// What tops up the rest where no line comes near enough to it: one line that goes beyond it, the one that costs least.
fn beyond(parts: Vec<Part>, rest: u64, lines: &[Quote]) -> Option<ToppedUp> {
    let first = |part: &Part| part.more.iter().copied().find(|(more, _)| *more >= rest);
    let all = (0..parts.len()).filter_map(|at| Some((first(&parts[at])?, at)));
    let ((more, packs), beyond) = all.min()?;
    let mut cents = more;
    let mut taken = Vec::new();
    for (at, part) in parts.into_iter().enumerate() {
        cents = cents.saturating_add(part.cents);
        let (sum, packs) = if at == beyond { (part.cents + more, packs) } else { (part.cents, part.packs) };
        if sum > 0 {
            let quote = lines[part.line];
            taken.push((part.line, Quote { cents: quote.cents.saturating_add(sum), packs, ..quote }));
        }
    }
    Some(ToppedUp { cents, lines: taken })
}

/// The lines of which more is taken so that together they come to a sum: as few as it takes.
fn taken(parts: Vec<Part>, layers: &[Sums], mut rest: u64, lines: &[Quote]) -> Vec<(usize, Quote)> {
    let mut taken = Vec::new();
    for (at, mut part) in parts.into_iter().enumerate().rev() {
        if let Some(before) = layers.get(at).filter(|before| layers.len() > at + 1 && !before.has(rest)) {
            let ways = part.more.iter().filter(|(more, _)| *more <= rest && before.has(rest - more));
            if let Some((more, packs)) = ways.min_by_key(|(more, packs)| (*packs, *more)).copied() {
                part.cents += more;
                part.packs = packs;
                rest -= more;
            }
        }
        if part.cents > 0 {
            let quote = lines[part.line];
            let cents = quote.cents.saturating_add(part.cents);
            taken.push((part.line, Quote { cents, packs: part.packs, ..quote }));
        }
    }
    taken
}

/// Sums up to a largest, a bit each.
#[derive(Clone)]
struct Sums {
    bits: Vec<u64>,
    most: u64,
}

impl Sums {
    /// Nothing but zero.
    fn none(most: u64) -> Self {
        let words = usize::try_from(most / 64).unwrap_or(0) + 1;
        let mut bits = vec![0; words];
        bits[0] = 1;
        Self { bits, most }
    }

    fn has(&self, sum: u64) -> bool {
        sum <= self.most && has(&self.bits, sum)
    }

    /// One of these more, or none.
    fn add(&mut self, more: &[(u64, u64)]) {
        let before = self.bits.clone();
        more.iter().for_each(|(more, _)| or_more(&mut self.bits, &before, *more));
    }

    /// The first sum from one on.
    fn from(&self, sum: u64) -> Option<u64> {
        (sum..=self.most).find(|sum| self.has(*sum))
    }

    /// From each sum on, the first; behind the largest this one.
    fn next(&self, behind: u64) -> Vec<u64> {
        let mut next = vec![behind; usize::try_from(self.most).unwrap_or(0) + 1];
        let mut last = behind;
        for (place, next) in next.iter_mut().enumerate().rev() {
            let sum = place as u64;
            if self.has(sum) {
                last = sum;
            }
            *next = last;
        }
        next
    }
}
