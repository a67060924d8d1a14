//! Parts of a few long pieces laid into the rooms of the sticks that they share, none shorter than the shortest and no
//! two of one piece on one stick. Exact for one piece; of several it looks for a way in which all hang together in a
//! tree: each piece but the last fills rooms of its own and shares one more with what is left. Called by `walking`.

use std::cmp::Reverse;

/// Parts that lie in one room: which piece, and how long.
pub(super) type Laid = Vec<Vec<(usize, u64)>>;

/// What holds for all parts.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rule {
    pub(super) kerf: u64,
    /// No part is shorter; at least one unit.
    pub(super) shortest: u64,
}

/// Lays pieces of these lengths into rooms, a part takes its length and one cut of its room. Nothing if no way was
/// found in so many steps.
pub(super) fn lay(lengths: &[u64], rooms: &[u64], rule: Rule, steps: &mut u64) -> Option<Laid> {
    let mut laying =
        Laying { lengths, rule, rooms: rooms.to_vec(), laid: vec![Vec::new(); rooms.len()], steps };
    let free: Vec<usize> = (0..lengths.len()).collect();
    let mut open: Vec<usize> = (0..rooms.len()).collect();
    open.sort_by_key(|&room| (Reverse(rooms[room]), room));
    laying.place(&free, &open).then_some(laying.laid)
}

struct Laying<'a> {
    lengths: &'a [u64],
    rule: Rule,
    /// What remains of each room.
    rooms: Vec<u64>,
    laid: Laid,
    steps: &'a mut u64,
}

impl Laying<'_> {
    /// Lays the free pieces into open rooms, the largest first.
    fn place(&mut self, free: &[usize], open: &[usize]) -> bool {
        match *free {
            [] => return true,
            [last] => return self.place_last(last, open),
            _ => {}
        }
        for (at, &piece) in free.iter().enumerate() {
            if free[..at].iter().any(|&other| self.lengths[other] == self.lengths[piece]) {
                continue;
            }
            let rest: Vec<usize> = free.iter().copied().filter(|&other| other != piece).collect();
            if self.choose(piece, &rest, open, &mut Vec::new(), 0, 0) {
                return true;
            }
        }
        false
    }

    /// One piece alone: the fewest rooms, the largest first.
    fn place_last(&mut self, piece: usize, open: &[usize]) -> bool {
        let least = self.rule.shortest + self.rule.kerf;
        let mut open: Vec<usize> = open.iter().copied().filter(|&room| self.rooms[room] >= least).collect();
        open.sort_by_key(|&room| (Reverse(self.rooms[room]), room));
        let mut sum = 0;
        for number in 0..open.len() {
            sum += self.rooms[open[number]];
            if sum >= self.need(piece, number as u64 + 1) {
                return self.fill(piece, &open[..=number], None);
            }
        }
        false
    }

    /// What a piece in so many parts takes.
    fn need(&self, piece: usize, parts: u64) -> u64 {
        self.lengths[piece] + self.rule.kerf * parts
    }

    /// Chooses the rooms that a piece has for itself, then one that it shares.
    fn choose(
        &mut self,
        piece: usize,
        rest: &[usize],
        open: &[usize],
        own: &mut Vec<usize>,
        from: usize,
        sum: u64,
    ) -> bool {
        if *self.steps == 0 {
            return false;
        }
        *self.steps -= 1;
        let least = self.rule.shortest + self.rule.kerf;
        let parts = own.len() as u64 + 1;
        let need = self.need(piece, parts);
        // The shared room takes what is missing, and never less than the shortest.
        let missing = need.saturating_sub(sum).max(least);
        if missing + own.len() as u64 * least <= need {
            for &shared in open.iter().rev().filter(|room| !own.contains(room)) {
                if self.rooms[shared] >= missing + least
                    && self.try_share(piece, rest, open, own, shared, missing)
                {
                    return true;
                }
            }
        }
        if missing == least && sum + least >= need {
            return false;
        }
        for at in from..open.len() {
            let room = self.rooms[open[at]];
            if room >= least && (at == from || room != self.rooms[open[at - 1]]) {
                own.push(open[at]);
                let is_found = self.choose(piece, rest, open, own, at + 1, sum + room);
                own.pop();
                if is_found {
                    return true;
                }
            }
        }
        false
    }

    fn try_share(
        &mut self,
        piece: usize,
        rest: &[usize],
        open: &[usize],
        own: &[usize],
        shared: usize,
        missing: u64,
    ) -> bool {
        let (rooms, laid) = (self.rooms.clone(), self.laid.clone());
        if self.fill(piece, own, Some((shared, missing))) {
            let left: Vec<usize> = open.iter().copied().filter(|room| !own.contains(room)).collect();
            if self.place(rest, &left) {
                return true;
            }
        }
        (self.rooms, self.laid) = (rooms, laid);
        false
    }

    /// Fills rooms with one piece: as far as they go, the last of them give way.
    fn fill(&mut self, piece: usize, own: &[usize], shared: Option<(usize, u64)>) -> bool {
        let kerf = self.rule.kerf;
        let least = self.rule.shortest + kerf;
        let parts = (own.len() + usize::from(shared.is_some())) as u64;
        let held: u64 = own.iter().map(|&room| self.rooms[room]).sum::<u64>() + shared.map_or(0, |(_, n)| n);
        let Some(mut excess) = held.checked_sub(self.need(piece, parts)) else { return false };
        if parts * least > self.need(piece, parts) {
            return false;
        }
        if let Some((room, part)) = shared {
            self.laid[room].push((piece, part - kerf));
            self.rooms[room] -= part;
        }
        for &room in own.iter().rev() {
            let give = excess.min(self.rooms[room].saturating_sub(least));
            excess -= give;
            let part = self.rooms[room] - give;
            self.laid[room].push((piece, part - kerf));
            self.rooms[room] = give;
        }
        excess == 0
    }
}
