//! Repair a packing: pieces of a few sticks, and those that found no stick, are taken out and packed anew, each
//! stick as full as can be, again and again. Waste gathers on ever fewer sticks, until the last piece finds its
//! room. Parts of one long piece grow into waste where another shrinks. Which sticks looks random and is the same always.
//! Finds packings, proves nothing. Called by `least` where the rules of `packing` leave pieces over, and by `fitting`.

use super::job::{Job, Load, Packed};
use super::repair_fill::Filling;
use crate::search::effort::{Dice, Effort};

/// Beyond so many sticks and pieces nothing is mended one by one.
const MOST_STICKS: u64 = 3_000;
const MOST_PIECES: u64 = 20_000;
/// Pieces taken from one stick, and from those without a stick.
const MOST_TAKEN: usize = 9;
/// Sticks packed anew at once.
const MOST_TOGETHER: usize = 3;
/// So often another stick is looked for in place of one that is full.
const LOOKS: usize = 4;

/// Mends a packing into given sticks until all pieces are in or the effort is spent. Another `turn` goes another way.
pub(crate) fn repair(job: &Job, packed: &Packed, turn: u64, effort: &mut Effort) -> Option<Vec<Load>> {
    repair_parts(job, &[], packed, turn, effort).map(|(loads, _)| loads)
}

/// The parts of one long piece, which may change as long as they make up its length.
#[derive(Debug, Clone)]
pub(crate) struct Elastic {
    /// Pieces of the job of which there is one.
    pub(crate) parts: Vec<usize>,
    /// No part is shorter or longer.
    pub(crate) shortest: u64,
    pub(crate) longest: u64,
}

/// The same with parts that may change. With the lengths of all pieces as they have become.
pub(crate) fn repair_parts(
    job: &Job,
    elastic: &[Elastic],
    packed: &Packed,
    turn: u64,
    effort: &mut Effort,
) -> Option<(Vec<Load>, Vec<u64>)> {
    let sticks: u64 = packed.loads.iter().map(|load| load.times).chain(packed.sticks.iter().copied()).sum();
    let pieces: u64 = job.pieces.iter().map(|piece| piece.count).sum();
    if sticks == 0 || sticks > MOST_STICKS || pieces > MOST_PIECES || !effort.spend(sticks + pieces) {
        return None;
    }
    let mut repair = Repair::new(job, elastic, packed, turn)?;
    while !repair.loose.is_empty() {
        let work = match repair.dice.below(if elastic.is_empty() { 1 } else { 4 }) {
            0 | 1 => repair.change(),
            2 => repair.shift(elastic),
            _ => repair.lay(elastic),
        };
        if !effort.spend(work) {
            return None;
        }
    }
    Some(repair.loads())
}

/// A stick that is being filled: its pieces one by one, by index.
#[derive(Debug, Clone)]
struct Stick {
    kind: usize,
    room: u64,
    pieces: Vec<usize>,
}

struct Repair {
    /// Lengths of pieces by index.
    lengths: Vec<u64>,
    sticks: Vec<Stick>,
    /// Pieces without a stick.
    loose: Vec<usize>,
    /// The stick of each part that may change; none while it is loose, and for all other pieces.
    places: Vec<Option<usize>>,
    is_part: Vec<bool>,
    /// How much less gathered waste may become in one change, as a sum of roots: a way out of dead ends.
    leeway: usize,
    dice: Dice,
    filling: Filling,
}

impl Repair {
    fn new(job: &Job, elastic: &[Elastic], packed: &Packed, turn: u64) -> Option<Self> {
        let lengths: Vec<u64> = job.pieces.iter().map(|piece| piece.len).collect();
        let one_by_one = |p: usize, n: u64| (0..n).map(move |_| p);
        let mut sticks = Vec::new();
        for load in &packed.loads {
            let pieces: Vec<usize> = load.pieces.iter().flat_map(|&(p, n)| one_by_one(p, n)).collect();
            let used = length_of(&lengths, &pieces);
            let stick = Stick { kind: load.kind, room: job.kinds[load.kind].len.checked_sub(used)?, pieces };
            sticks.extend((0..load.times).map(|_| stick.clone()));
        }
        for (kind, &n) in packed.sticks.iter().enumerate() {
            let stick = Stick { kind, room: job.kinds[kind].len, pieces: Vec::new() };
            sticks.extend((0..n).map(|_| stick.clone()));
        }
        let loose: Vec<usize> = packed.left.iter().enumerate().flat_map(|(p, &n)| one_by_one(p, n)).collect();
        let room: u128 = sticks.iter().map(|stick| u128::from(stick.room)).sum();
        // What the sticks are longer than all pieces, for each stick.
        let spare = room.checked_sub(u128::from(length_of(&lengths, &loose)))? / sticks.len() as u128;
        let leeway = usize::try_from(root(u64::try_from(spare).ok()?)).ok()? * 3 / 4;
        let mut is_part = vec![false; lengths.len()];
        elastic.iter().flat_map(|long| &long.parts).for_each(|&p| is_part[p] = true);
        let places = vec![None; lengths.len()];
        let (dice, filling) = (Dice::new(turn), Filling::default());
        let mut repair = Repair { lengths, sticks, loose, places, is_part, leeway, dice, filling };
        (0..repair.sticks.len()).for_each(|at| repair.place(at));
        Some(repair)
    }

    /// Notes which parts lie on a stick.
    fn place(&mut self, at: usize) {
        for &p in self.sticks[at].pieces.iter().filter(|&&p| self.is_part[p]) {
            self.places[p] = Some(at);
        }
    }

    /// Lets one part of a long piece grow into the waste of its stick, and another shrink. That is kept if less length is
    /// without a stick, or the waste no less gathered. Says how many steps it took.
    fn shift(&mut self, elastic: &[Elastic]) -> u64 {
        let long = &elastic[self.dice.below(elastic.len())];
        let many = long.parts.len();
        let one = self.dice.below(many);
        let other = (one + 1 + self.dice.below(many.saturating_sub(1))) % many;
        let (grown, shrunk) = (long.parts[one], long.parts[other]);
        let Some(at) = self.places[grown].filter(|_| one != other) else { return 16 };
        let room = self.sticks[at].room;
        let by = room
            .min(long.longest.saturating_sub(self.lengths[grown]))
            .min(self.lengths[shrunk].saturating_sub(long.shortest));
        match self.places[shrunk] {
            Some(from) if from != at => {
                let given = self.sticks[from].room;
                let before = root(room) + root(given);
                let after = root(room - by) + root(given + by);
                if by == 0 || after > before + self.dice.below(self.leeway) as u64 {
                    return 16;
                }
                self.sticks[from].room += by;
            }
            Some(_) => return 16,
            None => {}
        }
        self.sticks[at].room -= by;
        self.lengths[grown] += by;
        self.lengths[shrunk] -= by;
        16
    }

    /// Parts a long piece anew, mostly to fill sticks that waste something, and what lay loose goes where its parts lay.
    /// Kept as other changes are. Says how many steps it took.
    fn lay(&mut self, elastic: &[Elastic]) -> u64 {
        let long = &elastic[self.dice.below(elastic.len())];
        let before = (self.loose.clone(), long.parts.iter().map(|&p| self.lengths[p]).collect::<Vec<_>>());
        let mut changed: Vec<(usize, Stick)> = Vec::new();
        for &p in &long.parts {
            match self.places[p].take() {
                Some(at) => {
                    self.save(at, &mut changed);
                    self.sticks[at].pieces.retain(|&other| other != p);
                    self.sticks[at].room += self.lengths[p];
                }
                None => self.loose.retain(|&other| other != p),
            }
        }
        let left = changed.len();
        let mut work = 64 + (self.sticks.len() * long.parts.len()) as u64 / 2;
        let laid = self.lay_parts(long, before.1.iter().sum(), &mut changed);
        if laid && !self.loose.is_empty() {
            for at in changed[..left].iter().map(|&(at, _)| at) {
                let stick = &mut self.sticks[at];
                let (room, steps) = self.filling.fill(
                    &self.lengths,
                    stick.room,
                    &mut self.loose,
                    &mut stick.pieces,
                    &mut self.dice,
                );
                stick.room = room;
                work += steps;
            }
        }
        let (was, is) = (length_of(&self.lengths, &before.0), length_of(&self.lengths, &self.loose));
        let spread: u64 = changed.iter().map(|(_, stick)| root(stick.room)).sum();
        let then: u64 = changed.iter().map(|&(at, _)| root(self.sticks[at].room)).sum();
        if laid && (is < was || (is == was && then <= spread + self.dice.below(self.leeway) as u64)) {
            changed.iter().for_each(|&(at, _)| self.place(at));
            return work;
        }
        for (&p, length) in long.parts.iter().zip(before.1) {
            self.lengths[p] = length;
            self.places[p] = None;
        }
        self.loose = before.0;
        for (at, stick) in changed {
            self.sticks[at] = stick;
            self.place(at);
        }
        work
    }

    /// Keeps a stick as it is before it changes.
    fn save(&self, at: usize, changed: &mut Vec<(usize, Stick)>) {
        if changed.iter().all(|&(other, _)| other != at) {
            changed.push((at, self.sticks[at].clone()));
        }
    }

    /// Lays so much length in parts: each fills a stick, if any takes just such a part, and the last goes where it
    /// leaves least.
    fn lay_parts(&mut self, long: &Elastic, mut rest: u64, changed: &mut Vec<(usize, Stick)>) -> bool {
        let many = long.parts.len() as u64;
        for (&p, after) in long.parts.iter().zip((0..many).rev()) {
            let least = long.shortest.max(rest.saturating_sub(after * long.longest));
            let most = long.longest.min(rest.saturating_sub(after * long.shortest));
            let takes = |at: &usize| self.sticks[*at].room >= least;
            let at = if after == 0 {
                (0..self.sticks.len()).filter(takes).min_by_key(|&at| self.sticks[at].room)
            } else {
                let filled = (0..self.sticks.len()).filter(takes).filter(|&at| self.sticks[at].room <= most);
                let mut fit: Vec<usize> = filled.collect();
                if fit.is_empty() {
                    fit = (0..self.sticks.len()).filter(takes).collect();
                }
                let any = self.dice.below(fit.len());
                fit.get(any).copied()
            };
            let Some(at) = at.filter(|_| least <= most) else { return false };
            self.save(at, changed);
            let part = self.sticks[at].room.min(most);
            self.sticks[at].room -= part;
            self.sticks[at].pieces.push(p);
            self.lengths[p] = part;
            rest -= part;
        }
        true
    }

    /// Packs some sticks anew. That is kept if no more length is without a stick, and the waste no less gathered.
    /// Says how many steps it took.
    fn change(&mut self) -> u64 {
        let chosen = self.choose();
        let (mut free, mut made) = (Vec::new(), Vec::new());
        let (mut spread, mut taken) = (0, 0);
        for &at in &chosen {
            let mut stick = self.sticks[at].clone();
            spread += root(stick.room);
            let before = free.len();
            take(&mut self.dice, &mut stick.pieces, &mut free);
            stick.room += length_of(&self.lengths, &free[before..]);
            taken += stick.pieces.len() as u64;
            made.push(stick);
        }
        let mut loose = self.loose.clone();
        take(&mut self.dice, &mut loose, &mut free);
        let mut work = 64 + taken + loose.len() as u64;
        for stick in &mut made {
            let (room, steps) =
                self.filling.fill(&self.lengths, stick.room, &mut free, &mut stick.pieces, &mut self.dice);
            stick.room = room;
            work += steps;
        }
        loose.extend(free);
        let (before, after) = (length_of(&self.lengths, &self.loose), length_of(&self.lengths, &loose));
        let then: u64 = made.iter().map(|stick| root(stick.room)).sum();
        if after < before || (after == before && then <= spread + self.dice.below(self.leeway) as u64) {
            self.loose = loose;
            for &p in &self.loose {
                self.places[p] = None;
            }
            for (at, stick) in chosen.into_iter().zip(made) {
                self.sticks[at] = stick;
                self.place(at);
            }
        }
        work
    }

    /// One to three sticks, rather such as are not full.
    fn choose(&mut self) -> Vec<usize> {
        let many = 1 + self.dice.below(MOST_TOGETHER.min(self.sticks.len()));
        let mut chosen = Vec::with_capacity(many);
        while chosen.len() < many {
            let mut at = self.dice.below(self.sticks.len());
            for _ in 0..LOOKS {
                if self.sticks[at].room > 0 {
                    break;
                }
                at = self.dice.below(self.sticks.len());
            }
            if !chosen.contains(&at) {
                chosen.push(at);
            }
        }
        chosen
    }

    fn loads(self) -> (Vec<Load>, Vec<u64>) {
        let filled = self.sticks.into_iter().filter(|stick| !stick.pieces.is_empty());
        let load = |mut stick: Stick| {
            stick.pieces.sort_unstable();
            let mut pieces: Vec<(usize, u64)> = Vec::new();
            for p in stick.pieces {
                match pieces.last_mut() {
                    Some((last, n)) if *last == p => *n += 1,
                    _ => pieces.push((p, 1)),
                }
            }
            Load { kind: stick.kind, times: 1, pieces }
        };
        (filled.map(load).collect(), self.lengths)
    }
}

fn length_of(lengths: &[u64], pieces: &[usize]) -> u64 {
    pieces.iter().map(|&p| lengths[p]).sum()
}

/// Takes out some pieces, any of them.
fn take(dice: &mut Dice, pieces: &mut Vec<usize>, free: &mut Vec<usize>) {
    for _ in 0..pieces.len().min(MOST_TAKEN) {
        free.push(pieces.swap_remove(dice.below(pieces.len())));
    }
}

/// The square root in 256ths: two small wastes weigh more than a large one.
fn root(room: u64) -> u64 {
    (u128::from(room) << 16).isqrt() as u64
}
