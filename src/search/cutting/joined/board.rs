//! What is searched in every way (`every_way`): pieces with their kerf, sorts of sticks, copies of long pieces and all ways to
//! group them; and what is left of it costs at least. Searches nothing. Called by `every_way` and `walking`.

use super::fitting::useful;
use super::joints::Weights;
use super::rooms::Rule;
use super::stairs::Stairs;
use crate::search::cutting::order::JoinOrder;

/// Copies of long pieces, whole pieces and lengths of them beyond which nothing is searched.
const MOST_COPIES: usize = 6;
const MOST_PIECES: u64 = 120;
/// The longest sticks that all of it fills, beyond which nothing is searched.
const MOST_STICKS: u64 = 200;
/// Lengths added up stay far inside 64 bits.
const MOST_LENGTH: u64 = 1 << 56;

/// Sticks of one sort.
pub(super) struct Sort {
    pub(super) length: u64,
    pub(super) price: u64,
    pub(super) most: u64,
    pub(super) is_scarce: bool,
    pub(super) stock: usize,
}

/// The order as it is searched: pieces with their kerf, longest first; sticks longest first.
pub(super) struct Board<'a> {
    pub(super) order: &'a JoinOrder<'a>,
    pub(super) pieces: Vec<(u64, u64)>,
    pub(super) sorts: Vec<Sort>,
    /// The length of each copy, and how many parts it can have.
    pub(super) copies: Vec<(u64, u64)>,
    pub(super) rows: &'a [usize],
    pub(super) rule: Rule,
    pub(super) weights: Option<Weights>,
}
impl<'a> Board<'a> {
    pub(super) fn new(order: &'a JoinOrder<'a>, rows: &'a [usize]) -> Option<Self> {
        let (whole, kerf) = (&order.whole, order.whole.kerf);
        let pieces: Vec<(u64, u64)> =
            whole.demands.iter().map(|row| (row.length + kerf, row.count)).collect();
        let total: u64 = pieces.iter().map(|&(_, count)| count).fold(0, u64::saturating_add);
        if rows.len() > MOST_COPIES || total > MOST_PIECES {
            return None;
        }
        let rule = Rule { kerf, shortest: order.shortest.max(1) };
        let copies: Vec<(u64, u64)> = rows
            .iter()
            .map(|&row| order.long[row].length)
            .map(|length| (length, length / rule.shortest))
            .collect();
        let parts = copies.iter().map(|&(_, parts)| parts).fold(0, u64::saturating_add);
        let sort = |stock: usize| {
            let row = whole.stocks[stock];
            let most = row.available.unwrap_or(u64::MAX).min(total.saturating_add(parts));
            Sort { length: row.length, price: row.price, most, is_scarce: row.available.is_some(), stock }
        };
        let sorts: Vec<Sort> = useful(order).into_iter().map(sort).collect();
        let lengths = pieces.iter().map(|&(length, count)| length.saturating_mul(count));
        let all = lengths.chain(copies.iter().map(|&(length, _)| length)).fold(0, u64::saturating_add);
        let longest = sorts.first()?.length;
        let is_small =
            [all, longest, kerf.saturating_mul(1 << 10), rule.shortest].iter().all(|&n| n < MOST_LENGTH);
        (is_small && all / longest.max(1) <= MOST_STICKS).then_some(Board {
            order,
            pieces,
            sorts,
            copies,
            rows,
            rule,
            weights: None,
        })
    }

    pub(super) fn dearest(&self) -> u64 {
        self.sorts.iter().map(|sort| sort.price).max().unwrap_or(0).saturating_add(self.order.joint).max(1)
    }

    /// What lengths cost with so many of each sort left.
    fn stairs(&self, left: &[u64], most_cost: u64) -> Stairs {
        let whole: u64 = self.pieces.iter().map(|&(length, count)| length * count).sum();
        let long: u64 = self.copies.iter().map(|&(length, _)| length).sum();
        let sticks =
            self.sorts.iter().zip(left).map(|(sort, &left)| (sort.length + self.rule.kerf, sort.price, left));
        // As many as `least` may ask for.
        let copies = self.copies.len() as u64;
        let longest = self.sorts.first().map_or(1, |sort| sort.length.max(1));
        let cuts = (long + self.rule.kerf * copies) / longest + 2 * copies;
        Stairs::new(&sticks.collect::<Vec<_>>(), whole + long + self.rule.kerf * cuts, most_cost)
    }

    pub(super) fn prices(&self, left: &[u64], most_cost: u64) -> Prices {
        let (lengths, weights) = (self.stairs(left, most_cost), self.stairs_of_weights(left, most_cost));
        let wet =
            |(sort, &left): (&Sort, &u64)| (sort.length, sort.price.saturating_add(self.order.joint), left);
        let sticks: Vec<(u64, u64, u64)> = self.sorts.iter().zip(left).map(wet).collect();
        let long = self.copies.iter().map(|&(length, _)| length + self.rule.kerf).sum();
        Prices { lengths, weights, rooms: Stairs::new(&sticks, long, most_cost) }
    }

    /// What weights cost with so many of each sort left, each dry or with a part.
    fn stairs_of_weights(&self, left: &[u64], most_cost: u64) -> Option<Stairs> {
        let weights = self.weights.as_ref()?;
        let mut sticks = Vec::new();
        for ((sort, &left), &(dry, wet)) in self.sorts.iter().zip(left).zip(&weights.sticks) {
            sticks.push((dry, sort.price, left));
            sticks.push((wet, sort.price.saturating_add(self.order.joint), left));
        }
        let whole =
            (0..self.pieces.len()).map(|piece| self.weight(piece) * self.pieces[piece].1).sum::<u64>();
        let copies = self.copies.len() as u64;
        let long = self.copies.iter().map(|&(length, _)| length).sum::<u64>() + self.rule.kerf * copies;
        let rooms = u128::from(weights.fluid) * u128::from(long) / u128::from(weights.crumb);
        let parts = long / self.sorts.first().map_or(1, |sort| sort.length.max(1)) + copies;
        let up_to =
            u64::try_from(rooms).ok()?.checked_add(whole)?.checked_add(weights.part.checked_mul(parts)?)?;
        Some(Stairs::new(&sticks, up_to, most_cost))
    }

    pub(super) fn weight(&self, piece: usize) -> u64 {
        self.weights.as_ref().map_or(0, |weights| weights.pieces[piece])
    }
}

/// All ways to group the copies, those with most groups first; of equal copies one of the ways that look alike.
pub(super) fn groupings(copies: &[(u64, u64)]) -> Vec<Vec<Vec<usize>>> {
    let mut all: Vec<Vec<Vec<usize>>> = vec![Vec::new()];
    for copy in 0..copies.len() {
        let mut next = Vec::new();
        for groups in all {
            for at in 0..groups.len() {
                let mut more = groups.clone();
                more[at].push(copy);
                next.push(more);
            }
            let mut more = groups;
            more.push(vec![copy]);
            next.push(more);
        }
        all = next;
    }
    let named = |groups: &Vec<Vec<usize>>| {
        let mut names: Vec<Vec<u64>> =
            groups.iter().map(|group| group.iter().map(|&copy| copies[copy].0).collect()).collect();
        names.sort();
        names
    };
    let mut known = std::collections::BTreeSet::new();
    all.retain(|groups| known.insert(named(groups)));
    all.sort_by_key(|groups| std::cmp::Reverse(groups.len()));
    all
}

/// What is left costs at least.
pub(super) struct Prices {
    pub(super) lengths: Stairs,
    pub(super) weights: Option<Stairs>,
    /// What rooms cost on sticks that hold nothing but one part each.
    pub(super) rooms: Stairs,
}

impl Prices {
    /// Sets that were looked at to make them.
    pub(super) fn looked_at(&self) -> u64 {
        let weights = self.weights.as_ref().map_or(0, Stairs::looked_at);
        self.lengths.looked_at() + weights + self.rooms.looked_at()
    }
}
