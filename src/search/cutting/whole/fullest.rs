//! The fullest stick: which pieces use up most of a length. Sums only, no prices. Called where sticks are filled
//! one by one (`packing`) and where useless length is taken off the stock (`normal`).

use super::job::Piece;
use crate::search::effort::Effort;
use crate::search::sums::{greatest, has};

/// The most 64-bit words for tables of reachable sums (32 MB).
const MOST_WORDS: u64 = 4 << 20;
/// Steps of the search where a table would be too large.
const SEARCH_STEPS: u64 = 20_000;

/// The greatest sum of pieces that is at most `cap`; or `cap`, if that would be more work than `most_work`.
pub(super) fn fullest_length(pieces: &[Piece], cap: u64, most_work: u64) -> u64 {
    if pieces.len() as u64 > most_work {
        return cap;
    }
    let total: u128 = pieces.iter().map(|piece| u128::from(piece.len) * u128::from(piece.count)).sum();
    if total <= u128::from(cap) {
        return u64::try_from(total).unwrap_or(cap);
    }
    let words = cap / 64 + 1;
    let fitting: Vec<&Piece> = pieces.iter().filter(|piece| piece.len <= cap).collect();
    if words > MOST_WORDS || words.saturating_mul(fitting.len() as u64) > most_work {
        return cap;
    }
    let mut sums = vec![0u64; words as usize];
    sums[0] = 1;
    for piece in fitting.iter().rev() {
        add_piece(&mut sums, piece.len, piece.count, cap);
        if has(&sums, cap) {
            return cap;
        }
    }
    greatest(&sums, cap)
}

/// The pieces, by index and count, that fill most of `cap`, at most `count` of each; of several such sets, the
/// one with more of the longest piece, then of the next. Near the most only, where that is much work to find.
pub(super) fn fullest(pieces: &[Piece], cap: u64, effort: &mut Effort) -> Vec<(usize, u64)> {
    let fitting: Vec<usize> =
        (0..pieces.len()).filter(|&i| pieces[i].count > 0 && pieces[i].len <= cap).collect();
    effort.spend(pieces.len() as u64);
    let total: u128 = fitting.iter().map(|&i| u128::from(pieces[i].len) * u128::from(pieces[i].count)).sum();
    if total <= u128::from(cap) {
        return fitting.iter().map(|&i| (i, pieces[i].count)).collect();
    }
    let words = cap / 64 + 1;
    let work = words.saturating_mul(fitting.len() as u64 + 1);
    if work <= MOST_WORDS && effort.spend(work) {
        by_table(pieces, &fitting, cap, words as usize)
    } else {
        by_search(pieces, &fitting, cap, effort)
    }
}

fn by_table(pieces: &[Piece], fitting: &[usize], cap: u64, words: usize) -> Vec<(usize, u64)> {
    // Layer i: the sums of the i shortest pieces.
    let mut layers = vec![0u64; words * (fitting.len() + 1)];
    layers[0] = 1;
    for (i, &p) in fitting.iter().rev().enumerate() {
        layers.copy_within(i * words..(i + 1) * words, (i + 1) * words);
        add_piece(&mut layers[(i + 1) * words..(i + 2) * words], pieces[p].len, pieces[p].count, cap);
    }
    let mut rest = greatest(&layers[fitting.len() * words..], cap);
    let mut chosen = Vec::new();
    for (i, &p) in fitting.iter().enumerate() {
        let below = fitting.len() - 1 - i;
        let shorter = &layers[below * words..(below + 1) * words];
        let most = pieces[p].count.min(rest / pieces[p].len);
        let taken = (0..=most).rev().find(|n| has(shorter, rest - n * pieces[p].len)).unwrap_or(0);
        if taken > 0 {
            chosen.push((p, taken));
            rest -= taken * pieces[p].len;
        }
    }
    chosen
}

/// Adds to the sums all that come of up to `count` more pieces.
fn add_piece(sums: &mut [u64], len: u64, count: u64, cap: u64) {
    let mut rest = count.min(cap / len.max(1));
    let mut part = 1;
    while rest > 0 {
        let now = part.min(rest);
        shift_or(sums, now * len);
        rest -= now;
        part *= 2;
    }
}

fn shift_or(sums: &mut [u64], by: u64) {
    let (skip, bits) = ((by / 64) as usize, by % 64);
    for j in (skip..sums.len()).rev() {
        let mut word = sums[j - skip] << bits;
        if bits > 0 && j > skip {
            word |= sums[j - skip - 1] >> (64 - bits);
        }
        sums[j] |= word;
    }
}

/// Longest first, then fewer of the last piece taken, until the stick is full or the steps are spent.
fn by_search(pieces: &[Piece], fitting: &[usize], cap: u64, effort: &mut Effort) -> Vec<(usize, u64)> {
    let Some(&last) = fitting.last() else { return Vec::new() };
    let shortest = pieces[last].len;
    let mut taken: Vec<(usize, u64)> = Vec::new();
    let (mut best, mut best_rest) = (Vec::new(), cap);
    let (mut rest, mut at) = (cap, 0);
    for _ in 0..SEARCH_STEPS {
        effort.spend(8);
        while rest >= shortest && at < fitting.len() {
            at += fitting[at..].partition_point(|&p| pieces[p].len > rest);
            let Some(&p) = fitting.get(at) else { break };
            let n = pieces[p].count.min(rest / pieces[p].len);
            taken.push((at, n));
            rest -= n * pieces[p].len;
            at += 1;
        }
        if rest < best_rest {
            best_rest = rest;
            best = taken.clone();
        }
        if best_rest == 0 {
            break;
        }
        let Some((i, n)) = taken.pop() else { break };
        rest += pieces[fitting[i]].len;
        if n > 1 {
            taken.push((i, n - 1));
        }
        at = i + 1;
    }
    best.into_iter().map(|(i, n)| (fitting[i], n)).collect()
}
