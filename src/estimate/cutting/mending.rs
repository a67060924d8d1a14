//! Mending a packing: pieces of a few sticks, and those that found no stick, are taken out and packed anew, each
//! stick as full as can be, again and again. Waste gathers on ever fewer sticks, until the last piece finds its
//! room. Which sticks looks random and is the same always. Finds packings, proves nothing. Called by `least` where
//! the rules of `packing` leave pieces over.

use super::effort::Effort;
use super::filling::Filling;
use super::normal::Job;
use super::packing::{Load, Packed};

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
pub(super) fn mend(job: &Job, packed: &Packed, turn: u64, effort: &mut Effort) -> Option<Vec<Load>> {
    let sticks: u64 = packed.loads.iter().map(|load| load.times).chain(packed.sticks.iter().copied()).sum();
    let pieces: u64 = job.pieces.iter().map(|piece| piece.count).sum();
    if sticks == 0 || sticks > MOST_STICKS || pieces > MOST_PIECES || !effort.spend(sticks + pieces) {
        return None;
    }
    let mut mending = Mending::new(job, packed, turn)?;
    while !mending.loose.is_empty() {
        let work = mending.change();
        if !effort.spend(work) {
            return None;
        }
    }
    Some(mending.loads())
}

/// Numbers that look random and are the same always (splitmix64).
pub(super) struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number below `end`.
    pub(super) fn below(&mut self, end: usize) -> usize {
        (self.next() % end.max(1) as u64) as usize
    }
}

/// A stick that is being filled: its pieces one by one, by index.
#[derive(Debug, Clone)]
struct Stick {
    kind: usize,
    room: u64,
    pieces: Vec<usize>,
}

struct Mending {
    /// Lengths of pieces by index.
    lengths: Vec<u64>,
    sticks: Vec<Stick>,
    /// Pieces without a stick.
    loose: Vec<usize>,
    /// How much less gathered waste may become in one change, as a sum of roots: a way out of dead ends.
    leeway: usize,
    dice: Dice,
    filling: Filling,
}

impl Mending {
    fn new(job: &Job, packed: &Packed, turn: u64) -> Option<Self> {
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
        Some(Mending { lengths, sticks, loose, leeway, dice: Dice(turn), filling: Filling::default() })
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
            for (at, stick) in chosen.into_iter().zip(made) {
                self.sticks[at] = stick;
            }
            self.loose = loose;
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

    fn loads(self) -> Vec<Load> {
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
        filled.map(load).collect()
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
