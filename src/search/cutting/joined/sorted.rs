//! The rows of a joined order sorted, and equal ones made one, so that their order changes nothing; and the way back to the
//! rows as they came. Searches nothing. Called by [`super`] first and last.

use crate::search::cutting::order::{
    CutOrder, Demand, JoinOrder, JoinedPlan, Layout, NoPlan, Parting, Stock,
};
use std::cmp::Reverse;
use std::collections::VecDeque;

/// Which rows are one, and how many there are of each: in the order in which they came.
type Members = Vec<Vec<(usize, u64)>>;

/// An order's rows: the longest first, of equal sticks the cheapest, and those with a number before those without.
pub(super) struct Sorted {
    stocks: Vec<Stock>,
    of_stocks: Members,
    demands: Vec<Demand>,
    of_demands: Members,
    long: Vec<Demand>,
    of_long: Members,
}

impl Sorted {
    pub(super) fn new(order: &JoinOrder<'_>) -> Result<Self, NoPlan> {
        let whole = &order.whole;
        let is_empty = |demand: &Demand| demand.count > 0 && demand.length == 0;
        if let Some(demand) = whole.demands.iter().position(is_empty) {
            return Err(NoPlan::NoLength { demand });
        }
        if let Some(long) = order.long.iter().position(is_empty) {
            return Err(NoPlan::CannotJoin { long });
        }
        let mut rows: Vec<usize> =
            (0..whole.stocks.len()).filter(|&row| whole.stocks[row].available != Some(0)).collect();
        let key = |stock: &Stock| (Reverse(stock.length), stock.price, stock.available.is_none());
        rows.sort_by_key(|&row| (key(&whole.stocks[row]), row));
        let (mut stocks, mut of_stocks): (Vec<Stock>, Members) = (Vec::new(), Vec::new());
        for row in rows {
            let stock = whole.stocks[row];
            let number = stock.available.unwrap_or(u64::MAX);
            match (stocks.last_mut(), of_stocks.last_mut()) {
                (Some(last), Some(members)) if key(last) == key(&stock) => {
                    last.available = last.available.map(|sum| sum.saturating_add(number));
                    members.push((row, number));
                }
                _ => {
                    stocks.push(stock);
                    of_stocks.push(vec![(row, number)]);
                }
            }
        }
        let (demands, of_demands) = merged(whole.demands).ok_or(NoPlan::Overflow)?;
        let (long, of_long) = merged(order.long).ok_or(NoPlan::Overflow)?;
        let sorted = Sorted { stocks, of_stocks, demands, of_demands, long, of_long };
        let longest = sorted.stocks.first().map_or(0, |stock| stock.length);
        match sorted.demands.first() {
            Some(piece) if piece.length > longest => Err(sorted.name(NoPlan::TooLong { demand: 0 })),
            Some(_) | None => Ok(sorted),
        }
    }

    pub(super) fn order<'a>(&'a self, order: &JoinOrder<'a>) -> JoinOrder<'a> {
        let whole = CutOrder { stocks: &self.stocks, demands: &self.demands, ..order.whole };
        JoinOrder { whole, long: &self.long, ..*order }
    }

    /// Names the row as it came.
    pub(super) fn name(&self, none: NoPlan) -> NoPlan {
        let first = |members: &Members, row: usize| {
            members.get(row).and_then(|rows| rows.first()).map_or(0, |&(row, _)| row)
        };
        match none {
            NoPlan::TooLong { demand } => NoPlan::TooLong { demand: first(&self.of_demands, demand) },
            NoPlan::NoLength { demand } => NoPlan::NoLength { demand: first(&self.of_demands, demand) },
            NoPlan::CannotJoin { long } => NoPlan::CannotJoin { long: first(&self.of_long, long) },
            NoPlan::NotEnoughStock | NoPlan::NotFound | NoPlan::Overflow => none,
        }
    }

    /// Says a plan in the rows as they came.
    pub(super) fn unfold(&self, order: &JoinOrder<'_>, plan: &JoinedPlan) -> Option<JoinedPlan> {
        let queues = |members: &Members| -> Vec<VecDeque<(usize, u64)>> {
            members.iter().map(|rows| rows.iter().copied().collect()).collect()
        };
        let (mut stocks, mut demands, mut long) =
            (queues(&self.of_stocks), queues(&self.of_demands), queues(&self.of_long));
        let mut layouts = Vec::new();
        for layout in &plan.layouts {
            let mut rest = layout.times;
            while rest > 0 {
                let next = self.next_layout(order, layout, rest, &mut stocks, &mut demands)?;
                rest = rest.checked_sub(next.times).filter(|_| next.times > 0)?;
                layouts.push(next);
            }
        }
        let mut partings = Vec::new();
        for parting in &plan.partings {
            for (long, times) in take(long.get_mut(parting.long)?, parting.times)? {
                partings.push(Parting { long, times, parts: parting.parts.clone() });
            }
        }
        Some(JoinedPlan { layouts, partings, ..plan.clone() })
    }

    /// As many sticks of a layout as are alike in the rows as they came.
    fn next_layout(
        &self,
        order: &JoinOrder<'_>,
        layout: &Layout,
        most: u64,
        stocks: &mut [VecDeque<(usize, u64)>],
        demands: &mut [VecDeque<(usize, u64)>],
    ) -> Option<Layout> {
        let row = stocks.get_mut(layout.stock)?;
        let mut times = most.min(row.front()?.1);
        for &(piece, each) in layout.pieces.iter().filter(|&&(piece, _)| piece < self.demands.len()) {
            times = times.min((demands[piece].front()?.1 / each).max(1));
        }
        let stock = take(row, times)?.first()?.0;
        let mut pieces = Vec::new();
        for &(piece, each) in &layout.pieces {
            match demands.get_mut(piece) {
                Some(row) => {
                    let taken = take(row, each.checked_mul(times)?)?;
                    // Where a row ends within a stick there is one stick.
                    let share = |number: u64| if taken.len() > 1 { number } else { number / times };
                    pieces.extend(taken.iter().map(|&(row, number)| (row, share(number))));
                }
                None => pieces.push((piece - self.demands.len() + order.whole.demands.len(), each)),
            }
        }
        Some(Layout { stock, times, pieces, left_over: layout.left_over })
    }
}

/// Rows by length, the longest first; rows of nothing are left out.
fn merged(rows: &[Demand]) -> Option<(Vec<Demand>, Members)> {
    let mut sorted: Vec<usize> = (0..rows.len()).filter(|&row| rows[row].count > 0).collect();
    sorted.sort_by_key(|&row| (Reverse(rows[row].length), row));
    let (mut demands, mut members): (Vec<Demand>, Members) = (Vec::new(), Vec::new());
    for row in sorted {
        let Demand { length, count } = rows[row];
        match (demands.last_mut(), members.last_mut()) {
            (Some(last), Some(rows)) if last.length == length => {
                last.count = last.count.checked_add(count)?;
                rows.push((row, count));
            }
            _ => {
                demands.push(Demand { length, count });
                members.push(vec![(row, count)]);
            }
        }
    }
    Some((demands, members))
}

/// Takes so many from the front rows: which, and how many of each.
fn take(rows: &mut VecDeque<(usize, u64)>, mut number: u64) -> Option<Vec<(usize, u64)>> {
    let mut taken = Vec::new();
    while number > 0 {
        let (row, left) = rows.front_mut()?;
        let some = number.min(*left);
        taken.push((*row, some));
        number -= some;
        *left -= if *left == u64::MAX { 0 } else { some };
        if *left == 0 {
            rows.pop_front();
        }
    }
    Some(taken)
}
