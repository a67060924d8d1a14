//! One stick filled as full as can be from a few single pieces, in no order: of several ways equally full, any one.
//! Called by `repair`, thousands of times for one packing, and so it keeps its tables. `fullest` is its like for sorted
//! pieces by the number.

use crate::search::effort::Dice;
use crate::search::sums::{greatest, has, or_more};

/// Pieces looked at together where lengths are too fine for a table of sums.
const MOST_HALVED: usize = 18;

/// Tables that are used again.
#[derive(Default)]
pub(super) struct Filling {
    sums: Vec<u64>,
    left: Vec<(u64, u32)>,
    right: Vec<(u64, u32)>,
}

impl Filling {
    /// Moves free pieces to a stick, to fill most of its room. The room that remains, and the steps taken.
    pub(super) fn fill(
        &mut self,
        lengths: &[u64],
        mut room: u64,
        free: &mut Vec<usize>,
        pieces: &mut Vec<usize>,
        dice: &mut Dice,
    ) -> (u64, u64) {
        // Every other time the longest that fits goes in, whatever comes.
        if dice.below(2) == 1
            && let Some(at) = (0..free.len())
                .filter(|&i| lengths[free[i]] <= room)
                .max_by_key(|&i| (lengths[free[i]], free[i]))
        {
            room -= lengths[free[at]];
            pieces.push(free.swap_remove(at));
        }
        for i in (1..free.len()).rev() {
            free.swap(i, dice.below(i + 1));
        }
        let words = room / 64 + 1;
        let table = words * (free.len() as u64 + 1);
        let halved = free.len().min(MOST_HALVED);
        let halving = (16 << (halved / 2)) * halved as u64;
        let (filled, steps) = if free.len() <= MOST_HALVED && halving < table || table > 8 * halving {
            (self.by_halves(lengths, room, free, pieces), halving)
        } else {
            (self.by_table(lengths, room, free, pieces, words as usize), table)
        };
        (room - filled, 16 + steps + 4 * free.len() as u64)
    }

    /// By a table of all sums, one bit each: row i has those of the first i pieces.
    fn by_table(
        &mut self,
        lengths: &[u64],
        room: u64,
        free: &mut Vec<usize>,
        pieces: &mut Vec<usize>,
        words: usize,
    ) -> u64 {
        self.sums.clear();
        self.sums.resize(words * (free.len() + 1), 0);
        self.sums[0] = 1;
        for (i, &p) in free.iter().enumerate() {
            let (done, next) = self.sums.split_at_mut((i + 1) * words);
            let (before, with) = (&done[i * words..], &mut next[..words]);
            with.copy_from_slice(before);
            or_more(with, before, lengths[p]);
        }
        let row = |i: usize| &self.sums[i * words..(i + 1) * words];
        let filled = greatest(row(free.len()), room);
        let mut sum = filled;
        for i in (0..free.len()).rev() {
            if !has(row(i), sum) {
                let p = free.swap_remove(i);
                sum -= lengths[p];
                pieces.push(p);
            }
        }
        filled
    }

    /// By all sums of one half of the pieces, each with the greatest sum of the other half that still fits.
    fn by_halves(
        &mut self,
        lengths: &[u64],
        room: u64,
        free: &mut Vec<usize>,
        pieces: &mut Vec<usize>,
    ) -> u64 {
        let halved = free.len().min(MOST_HALVED);
        let (one, other) = free[..halved].split_at(halved / 2);
        all_sums(lengths, one, room, &mut self.left);
        all_sums(lengths, other, room, &mut self.right);
        let (mut best, mut chosen) = (0, 0);
        let mut rest = self.right.len();
        for &(sum, mask) in &self.left {
            while rest > 1 && sum + self.right[rest - 1].0 > room {
                rest -= 1;
            }
            let (with, others) = self.right[rest - 1];
            if sum + with > best {
                best = sum + with;
                chosen = u64::from(mask) | u64::from(others) << (halved / 2);
            }
        }
        for i in (0..halved).rev() {
            if chosen >> i & 1 == 1 {
                pieces.push(free.swap_remove(i));
            }
        }
        best
    }
}

/// All sums that fit, the least first, each with its pieces as bits.
fn all_sums(lengths: &[u64], pieces: &[usize], room: u64, sums: &mut Vec<(u64, u32)>) {
    sums.clear();
    sums.push((0, 0));
    for (i, &p) in pieces.iter().enumerate() {
        for at in 0..sums.len() {
            let (sum, mask) = sums[at];
            if sum + lengths[p] <= room {
                sums.push((sum + lengths[p], mask | 1 << i));
            }
        }
    }
    sums.sort_unstable();
}
