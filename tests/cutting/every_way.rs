//! The least cost of small joined orders by trying everything: stick by stick, every set of whole pieces and every length
//! of a part of each long piece on it, none shorter than the shortest. Shares no code with the planner.

use coilstick::search::cutting::{Demand, JoinOrder};
use std::collections::HashMap;

/// The least cost of sticks and joints, or nothing if there is no way.
pub(crate) fn least(order: &JoinOrder<'_>) -> Option<u64> {
    let copies = |rows: &[Demand]| -> Vec<u64> {
        rows.iter().flat_map(|row| (0..row.count).map(|_| row.length)).collect()
    };
    let mut whole = copies(order.whole.demands);
    whole.sort_unstable_by(|a, b| b.cmp(a));
    let long = copies(order.long);
    let number = u64::try_from(whole.len()).unwrap() + long.iter().sum::<u64>();
    let left = order.whole.stocks.iter().map(|stock| stock.available.unwrap_or(number).min(number)).collect();
    let joined = u64::try_from(long.len()).unwrap() * order.joint;
    let mut trial = Trial { order, known: HashMap::new() };
    // Each part has a joint but one of each piece.
    trial.least(&State { whole, long, left }).map(|cost| cost - joined)
}

/// What is left to cut and to cut from.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
struct State {
    whole: Vec<u64>,
    long: Vec<u64>,
    left: Vec<u64>,
}

struct Trial<'a> {
    order: &'a JoinOrder<'a>,
    known: HashMap<State, Option<u64>>,
}

impl Trial<'_> {
    fn least(&mut self, state: &State) -> Option<u64> {
        if state.whole.is_empty() && state.long.iter().all(|&length| length == 0) {
            return Some(0);
        }
        if let Some(known) = self.known.get(state) {
            return *known;
        }
        let mut best = None;
        for (number, stock) in self.order.whole.stocks.iter().enumerate() {
            if state.left[number] > 0 {
                let mut next = state.clone();
                next.left[number] -= 1;
                // The cut after the last piece need not be whole.
                self.whole(&next, stock.length + self.order.whole.kerf, stock.price, &mut best);
            }
        }
        self.known.insert(state.clone(), best);
        best
    }

    /// Every set of whole pieces on a stick. The first of all that are left is on it, for some stick must have it.
    fn whole(&mut self, state: &State, room: u64, cost: u64, best: &mut Option<u64>) {
        let Some(first) = state.whole.first().map(|length| length + self.order.whole.kerf) else {
            return self.parts(state, 0, room, cost, false, best);
        };
        if first <= room {
            let mut next = state.clone();
            next.whole.remove(0);
            self.more(&next, 0, room - first, cost, best);
        }
    }

    /// Further whole pieces, or none.
    fn more(&mut self, state: &State, from: usize, room: u64, cost: u64, best: &mut Option<u64>) {
        self.parts(state, 0, room, cost, true, best);
        for at in from..state.whole.len() {
            let takes = state.whole[at] + self.order.whole.kerf;
            if takes <= room && (at == from || state.whole[at] != state.whole[at - 1]) {
                let mut next = state.clone();
                next.whole.remove(at);
                self.more(&next, at, room - takes, cost, best);
            }
        }
    }

    /// Every length of a part of each long piece from one on, or none.
    fn parts(
        &mut self,
        state: &State,
        long: usize,
        room: u64,
        cost: u64,
        used: bool,
        best: &mut Option<u64>,
    ) {
        let Some(&left) = state.long.get(long) else {
            let mut state = state.clone();
            state.long.sort_unstable();
            if used && let Some(rest) = self.least(&state) {
                *best = Some(best.map_or(cost + rest, |best| best.min(cost + rest)));
            }
            return;
        };
        // With all whole pieces cut, some stick must have a part of the first long piece that is left.
        if left == 0 || used {
            self.parts(state, long + 1, room, cost, used, best);
        }
        let kerf = self.order.whole.kerf;
        for part in self.order.shortest.max(1)..=left.min(room.saturating_sub(kerf)) {
            // What is left must be nothing or long enough for a part.
            if part == left || left - part >= self.order.shortest {
                let mut next = state.clone();
                next.long[long] -= part;
                self.parts(&next, long + 1, room - part - kerf, cost + self.order.joint, true, best);
            }
        }
    }
}
