//! The least cost by trying everything: each piece in turn into each stick begun, or into a new one. For a handful
//! of pieces; shares no code with the planner.

use coilstick::search::cutting::CutOrder;

/// The least cost, or nothing if the pieces do not go in.
pub(crate) fn least(order: &CutOrder<'_>) -> Option<u64> {
    let pieces =
        order.demands.iter().flat_map(|demand| (0..demand.count).map(|_| demand.length)).collect::<Vec<_>>();
    let left = order.stocks.iter().map(|stock| stock.available.unwrap_or(u64::MAX)).collect();
    let mut trial = Trial { order, pieces, left, begun: Vec::new(), best: None };
    trial.place(0, 0);
    trial.best
}

struct Trial<'a> {
    order: &'a CutOrder<'a>,
    pieces: Vec<u64>,
    left: Vec<u64>,
    /// What remains of each stick begun.
    begun: Vec<u64>,
    best: Option<u64>,
}

impl Trial<'_> {
    fn place(&mut self, piece: usize, cost: u64) {
        if self.best.is_some_and(|best| best <= cost) {
            return;
        }
        let Some(&length) = self.pieces.get(piece) else {
            self.best = Some(cost);
            return;
        };
        for stick in 0..self.begun.len() {
            // A cut goes between this piece and the one before it.
            if let Some(rest) = self.begun[stick].checked_sub(length + self.order.kerf) {
                let before = std::mem::replace(&mut self.begun[stick], rest);
                self.place(piece + 1, cost);
                self.begun[stick] = before;
            }
        }
        for (number, stock) in self.order.stocks.iter().enumerate() {
            if self.left[number] > 0 && stock.length >= length {
                self.left[number] -= 1;
                self.begun.push(stock.length - length);
                self.place(piece + 1, cost + stock.price);
                self.begun.pop();
                self.left[number] += 1;
            }
        }
    }
}
