//! One grouping of long pieces gone through: the longest whole piece left is put on a new stick together with others, in
//! every way, dry or for a group, as long as no bound and no earlier way that left no more to do for no more money stands
//! against it. Called by `every_way`.

use super::board::{Board, Prices, Sort};
use super::drawn::{Drawn, Stick};
use super::rooms::lay;
use crate::search::effort::Effort;
use rustc_hash::FxHashMap;
use std::rc::Rc;

/// Steps of the search for one filling, and for one state.
const OF_FILLING: u64 = 30;
const OF_STATE: u64 = 200;
/// Steps of each set that is looked at for prices.
const OF_SET: u64 = 20;
/// Ways kept for one state, and in all.
const MOST_LABELS: usize = 1_000;
const MOST_KEPT: usize = 500_000;
/// Steps of laying the parts of one group.
const LAYING: u64 = 4_000;

/// The best so far.
pub(super) struct Found {
    /// Only what costs less is of use.
    pub(super) below: u64,
    pub(super) drawn: Option<Drawn>,
    /// The least that a way would have cost whose parts could not be laid.
    pub(super) failed: u64,
}

/// A stick that has been filled: its sort, its whole pieces, and the group that has the rest of it.
#[derive(Clone)]
struct Placed {
    sort: usize,
    pieces: Vec<(usize, u64)>,
    room: u64,
    group: Option<usize>,
}

/// What a group needed, could have of parts, and was shut to.
type Before = (u64, u64, u64);

/// What is left to do after a way that has cost so much.
struct Label {
    cost: u64,
    need: Vec<u64>,
    spare: Vec<u64>,
    shut: Vec<u64>,
    /// Scarce sticks left.
    left: Vec<u64>,
}

/// By the numbers of scarce sticks that are left, written as one number.
pub(super) type StairsOf = FxHashMap<u64, Rc<Prices>>;

/// One grouping, as far as it has been gone.
pub(super) struct Walk<'a> {
    board: &'a Board<'a>,
    groups: &'a [Vec<usize>],
    /// Whole pieces left, by length.
    rest: Vec<u64>,
    rest_length: u64,
    left: Vec<u64>,
    /// What each group still needs of rooms, and how many parts more it may have.
    need: Vec<u64>,
    spare: Vec<u64>,
    /// Whole pieces up to this length, that fit beside a part on an earlier stick of the group, lie on no later one of it: only
    /// the rooms of all sticks of a group together matter, so that a plan remains one when they are moved up.
    shut: Vec<u64>,
    placed: Vec<Placed>,
    seen: FxHashMap<Vec<u64>, Vec<Label>>,
    kept: usize,
    /// Steps of making prices that are not taken off the effort yet.
    unpaid: u64,
    known: &'a mut StairsOf,
    now: Option<(u64, Rc<Prices>)>,
    /// What all whole pieces left weigh.
    rest_weight: u64,
    /// A joint for each group: what a plan costs less than its sticks with all their joints.
    saved: u64,
    limit: u64,
    width: usize,
    found: &'a mut Found,
}

impl<'a> Walk<'a> {
    pub(super) fn new(
        board: &'a Board<'a>,
        groups: &'a [Vec<usize>],
        limit: u64,
        width: usize,
        found: &'a mut Found,
        known: &'a mut StairsOf,
    ) -> Self {
        let kerf = board.rule.kerf;
        let lengths = |group: &Vec<usize>| group.iter().map(|&copy| board.copies[copy].0).sum::<u64>();
        let shared = |group: &Vec<usize>| group.len() as u64 - 1;
        let parts =
            |group: &Vec<usize>| group.iter().map(|&copy| board.copies[copy].1).fold(0, u64::saturating_add);
        Walk {
            board,
            groups,
            rest: board.pieces.iter().map(|&(_, count)| count).collect(),
            rest_length: board.pieces.iter().map(|&(length, count)| length * count).sum(),
            left: board.sorts.iter().map(|sort| sort.most).collect(),
            need: groups.iter().map(|group| lengths(group) + kerf * shared(group)).collect(),
            spare: groups.iter().map(|group| parts(group).saturating_sub(shared(group))).collect(),
            shut: vec![0; groups.len()],
            placed: Vec::new(),
            seen: FxHashMap::default(),
            kept: 0,
            unpaid: 0,
            known,
            now: None,
            rest_weight: board
                .pieces
                .iter()
                .enumerate()
                .map(|(piece, row)| board.weight(piece) * row.1)
                .sum(),
            saved: board.order.joint.saturating_mul(groups.len() as u64),
            limit,
            width,
            found,
        }
    }

    /// What sticks and their joints may not cost.
    fn limit(&self) -> u64 {
        self.limit.min(self.found.below).saturating_add(self.saved)
    }

    /// What is left costs at least so much: the length of it all, and a joint and a cut for each stick that the groups
    /// still need if each had a longest one for itself; and as much as its weight, for no stick holds more weight than
    /// `joints` has proven. Nothing if there are not enough sticks.
    fn least(&mut self) -> Option<u64> {
        let board = self.board;
        let longest = board.sorts[0].length;
        let wet: u64 = self.need.iter().map(|need| need.div_ceil(longest)).sum();
        let length = self.rest_length + self.need.iter().sum::<u64>() + wet * board.rule.kerf;
        let weight = match &board.weights {
            Some(weights) => {
                let rooms = u128::from(weights.fluid) * u128::from(self.need.iter().sum::<u64>());
                self.rest_weight
                    .saturating_add(u64::try_from(rooms / u128::from(weights.crumb)).unwrap_or(u64::MAX))
                    .saturating_add(weights.part.saturating_mul(wet))
            }
            None => 0,
        };
        let Prices { lengths, weights, .. } = self.stairs()?;
        let by_length = lengths.price(length)?.checked_add(board.order.joint.checked_mul(wet)?)?;
        let by_weight = weights.as_ref().map_or(Some(0), |stairs| stairs.price(weight))?;
        Some(by_length.max(by_weight))
    }

    /// For the scarce sticks that are left.
    fn stairs(&mut self) -> Option<&Prices> {
        let board = self.board;
        let scarce = board.sorts.iter().zip(&self.left).filter(|(sort, _)| sort.is_scarce);
        let key = scarce
            .fold(0_u64, |key, (sort, &left)| key.wrapping_mul(sort.most.wrapping_add(1)).wrapping_add(left));
        if self.now.as_ref().is_none_or(|(now, _)| *now != key) {
            let left = &self.left;
            // What plans may cost only falls.
            let most_cost =
                self.found.below.saturating_add(board.order.joint.saturating_mul(board.copies.len() as u64));
            let work = &mut self.unpaid;
            let stairs = self.known.entry(key).or_insert_with(|| {
                let prices = board.prices(left, most_cost);
                *work += OF_SET * prices.looked_at();
                Rc::new(prices)
            });
            self.now = Some((key, Rc::clone(stairs)));
        }
        self.now.as_ref().map(|(_, prices)| &**prices)
    }

    /// Goes on from a state that has cost so much.
    pub(super) fn descend(&mut self, cost: u64, effort: &mut Effort) {
        if !effort.spend(OF_STATE + std::mem::take(&mut self.unpaid)) {
            return;
        }
        if self.is_known(cost, effort) {
            return;
        }
        let Some(first) = self.rest.iter().position(|&count| count > 0) else {
            let least = self.least_of_rooms().map(|least| least.saturating_add(cost));
            if least.is_some_and(|least| least < self.limit()) {
                self.pour(cost, 0, effort);
            }
            return;
        };
        let mut children = self.children(first, cost, effort);
        children.sort_by(|a, b| {
            let key = |child: &(u64, Placed)| (child.0, child.1.room, child.1.sort, child.1.group);
            key(a).cmp(&key(b)).then_with(|| a.1.pieces.cmp(&b.1.pieces))
        });
        children.truncate(self.width);
        for (bound, child) in children {
            if bound >= self.limit() {
                break;
            }
            let more = self.price(&child);
            let before = self.put(&child);
            self.placed.push(child);
            self.descend(cost.saturating_add(more), effort);
            if let Some(child) = self.placed.pop() {
                self.take_back(&child, before);
            }
            if effort.is_spent() {
                return;
            }
        }
    }

    fn price(&self, stick: &Placed) -> u64 {
        let joint = if stick.group.is_some() { self.board.order.joint } else { 0 };
        self.board.sorts[stick.sort].price.saturating_add(joint)
    }

    /// Puts a stick down; what its group needed before.
    fn put(&mut self, stick: &Placed) -> Before {
        self.left[stick.sort] -= 1;
        for &(piece, number) in &stick.pieces {
            self.rest[piece] -= number;
            self.rest_length -= self.board.pieces[piece].0 * number;
            self.rest_weight -= self.board.weight(piece) * number;
        }
        let Some(group) = stick.group else { return (0, 0, 0) };
        let before = (self.need[group], self.spare[group], self.shut[group]);
        self.need[group] = before.0.saturating_sub(stick.room - self.board.rule.kerf);
        self.spare[group] -= 1;
        let rule = self.board.rule;
        // Nothing more goes to a group that is served; and where few ways are looked at, none of them is shut.
        let shut = before.2.max(stick.room - rule.kerf - rule.shortest);
        self.shut[group] = if self.need[group] == 0 || self.width < usize::MAX { 0 } else { shut };
        before
    }

    fn take_back(&mut self, stick: &Placed, before: Before) {
        self.left[stick.sort] += 1;
        for &(piece, number) in &stick.pieces {
            self.rest[piece] += number;
            self.rest_length += self.board.pieces[piece].0 * number;
            self.rest_weight += self.board.weight(piece) * number;
        }
        if let Some(group) = stick.group {
            (self.need[group], self.spare[group], self.shut[group]) = before;
        }
    }

    /// Whether an earlier way came to the same pieces for no more money with no more to do, and all from there was seen.
    fn is_known(&mut self, cost: u64, effort: &mut Effort) -> bool {
        let scarce = self.board.sorts.iter().zip(&self.left).filter(|(sort, _)| sort.is_scarce);
        let left: Vec<u64> = scarce.map(|(_, &left)| left).collect();
        let no_more = |one: &[u64], other: &[u64]| one.iter().zip(other).all(|(one, other)| one <= other);
        if let Some(labels) = self.seen.get(&self.rest) {
            effort.spend(labels.len() as u64 * 4);
            if labels.iter().any(|known| {
                known.cost <= cost
                    && no_more(&known.need, &self.need)
                    && no_more(&known.shut, &self.shut)
                    && no_more(&self.spare, &known.spare)
                    && no_more(&left, &known.left)
            }) {
                return true;
            }
        }
        if self.kept < MOST_KEPT {
            let label = Label {
                cost,
                need: self.need.clone(),
                spare: self.spare.clone(),
                shut: self.shut.clone(),
                left,
            };
            let labels = self.seen.entry(self.rest.clone()).or_default();
            let before = labels.len();
            labels.retain(|known| {
                !(label.cost <= known.cost
                    && no_more(&label.need, &known.need)
                    && no_more(&label.shut, &known.shut)
                    && no_more(&known.spare, &label.spare)
                    && no_more(&known.left, &label.left))
            });
            self.kept -= before - labels.len();
            if labels.len() < MOST_LABELS {
                labels.push(label);
                self.kept += 1;
            }
        }
        false
    }

    /// All sticks that hold the longest piece left, with what the plan would cost at least.
    fn children(&mut self, first: usize, cost: u64, effort: &mut Effort) -> Vec<(u64, Placed)> {
        let mut children = Vec::new();
        for sort in 0..self.board.sorts.len() {
            let length = self.board.sorts[sort].length + self.board.rule.kerf;
            let (piece, _) = self.board.pieces[first];
            if self.left[sort] == 0 || piece > length {
                continue;
            }
            let mut pieces = Vec::new();
            let most = self.rest[first].min(length / piece);
            for number in (1..=most).rev() {
                pieces.push((first, number));
                self.fillings(
                    sort,
                    first + 1,
                    length - piece * number,
                    &mut pieces,
                    cost,
                    &mut children,
                    effort,
                );
                pieces.pop();
            }
        }
        children
    }

    #[allow(clippy::too_many_arguments, reason = "the state of one recursion")]
    fn fillings(
        &mut self,
        sort: usize,
        from: usize,
        room: u64,
        pieces: &mut Vec<(usize, u64)>,
        cost: u64,
        children: &mut Vec<(u64, Placed)>,
        effort: &mut Effort,
    ) {
        let fits = |&piece: &usize| self.rest[piece] > 0 && self.board.pieces[piece].0 <= room;
        let Some(piece) = (from..self.rest.len()).find(fits) else {
            if effort.spend(OF_FILLING) {
                self.offer(sort, room, pieces, cost, children);
            }
            return;
        };
        let (length, _) = self.board.pieces[piece];
        for number in (0..=self.rest[piece].min(room / length)).rev() {
            if number > 0 {
                pieces.push((piece, number));
            }
            self.fillings(sort, piece + 1, room - length * number, pieces, cost, children, effort);
            if number > 0 {
                pieces.pop();
            }
        }
    }

    /// One filling, dry or for each of the groups.
    fn offer(
        &mut self,
        sort: usize,
        room: u64,
        pieces: &[(usize, u64)],
        cost: u64,
        children: &mut Vec<(u64, Placed)>,
    ) {
        let rule = self.board.rule;
        if self.is_full(room, pieces) && !self.fits_shorter(sort, room) {
            self.weigh(Placed { sort, pieces: pieces.to_vec(), room, group: None }, cost, children);
        }
        if room < rule.shortest + rule.kerf {
            return;
        }
        let shortest = pieces.last().map_or(u64::MAX, |&(piece, _)| self.board.pieces[piece].0);
        for group in 0..self.groups.len() {
            if shortest <= self.shut[group] {
                continue;
            }
            let alike = |&other: &usize| {
                self.need[other] == self.need[group]
                    && self.spare[other] == self.spare[group]
                    && self.shut[other] == self.shut[group]
                    && self.lengths(other).eq(self.lengths(group))
            };
            if self.need[group] == 0 || self.spare[group] == 0 || (0..group).any(|other| alike(&other)) {
                continue;
            }
            self.weigh(Placed { sort, pieces: pieces.to_vec(), room, group: Some(group) }, cost, children);
        }
    }

    fn lengths(&self, group: usize) -> impl Iterator<Item = u64> {
        self.groups[group].iter().map(|&copy| self.board.copies[copy].0)
    }

    /// On a stick without a part no piece is left out that fits: it would only take room elsewhere.
    fn is_full(&self, room: u64, pieces: &[(usize, u64)]) -> bool {
        let used =
            |piece: usize| pieces.iter().find(|&&(at, _)| at == piece).map_or(0, |&(_, number)| number);
        let fits = |piece: &usize| self.board.pieces[*piece].0 <= room && self.rest[*piece] > used(*piece);
        !(0..self.rest.len()).any(|piece| fits(&piece))
    }

    /// Whether a cheaper stick, of which there is any number, takes the same pieces.
    fn fits_shorter(&self, sort: usize, room: u64) -> bool {
        let this = &self.board.sorts[sort];
        let used = this.length + self.board.rule.kerf - room;
        let takes = |other: &Sort| {
            !other.is_scarce && other.price <= this.price && other.length + self.board.rule.kerf >= used
        };
        self.board.sorts[sort + 1..].iter().any(takes)
    }

    fn weigh(&mut self, stick: Placed, cost: u64, children: &mut Vec<(u64, Placed)>) {
        let more = self.price(&stick);
        let before = self.put(&stick);
        let least = self.least();
        self.take_back(&stick, before);
        let bound = least.and_then(|least| least.checked_add(cost)?.checked_add(more));
        if let Some(bound) = bound.filter(|&bound| bound < self.limit()) {
            children.push((bound, stick));
        }
    }

    /// No whole piece is left: each group that still needs rooms has sticks for itself, longer ones first.
    fn pour(&mut self, cost: u64, from: usize, effort: &mut Effort) {
        if !effort.spend(OF_STATE) {
            return;
        }
        let Some(group) = self.need.iter().position(|&need| need > 0) else {
            self.finish(cost);
            return;
        };
        for sort in from..self.board.sorts.len() {
            let room = self.board.sorts[sort].length + self.board.rule.kerf;
            if self.left[sort] == 0
                || self.spare[group] == 0
                || room < self.board.rule.shortest + self.board.rule.kerf
            {
                continue;
            }
            let stick = Placed { sort, pieces: Vec::new(), room, group: Some(group) };
            let cost = cost.saturating_add(self.price(&stick));
            let before = self.put(&stick);
            let least = self.least_of_rooms().map(|least| least.saturating_add(cost));
            if least.is_some_and(|least| least < self.limit()) {
                self.placed.push(stick.clone());
                let is_served = self.need[group] == 0;
                self.pour(cost, if is_served { 0 } else { sort }, effort);
                self.placed.pop();
            }
            self.take_back(&stick, before);
            if effort.is_spent() {
                return;
            }
        }
    }

    /// What the groups still need, on sticks for themselves, if each could have all that are scarce.
    fn least_of_rooms(&mut self) -> Option<u64> {
        self.stairs()?;
        let (_, prices) = self.now.as_ref()?;
        let mut needs = self.need.iter().filter(|&&need| need > 0);
        needs.try_fold(0_u64, |sum, &need| sum.checked_add(prices.rooms.price(need)?))
    }

    /// All is placed: the parts are laid, and the plan is kept if it is the cheapest.
    fn finish(&mut self, cost: u64) {
        let cost = cost.saturating_sub(self.saved);
        if cost >= self.limit.min(self.found.below) {
            return;
        }
        let board = self.board;
        let mut sticks: Vec<Stick> = self
            .placed
            .iter()
            .map(|placed| Stick {
                stock: board.sorts[placed.sort].stock,
                times: 1,
                whole: placed.pieces.clone(),
                parts: Vec::new(),
            })
            .collect();
        for (number, group) in self.groups.iter().enumerate() {
            let lengths: Vec<u64> = group.iter().map(|&copy| board.copies[copy].0).collect();
            let of_group: Vec<usize> =
                (0..self.placed.len()).filter(|&at| self.placed[at].group == Some(number)).collect();
            let rooms: Vec<u64> = of_group.iter().map(|&at| self.placed[at].room).collect();
            let Some(laid) = lay(&lengths, &rooms, board.rule, &mut { LAYING }) else {
                self.found.failed = self.found.failed.min(cost);
                return;
            };
            for (&at, parts) in of_group.iter().zip(laid) {
                sticks[at].parts = parts.into_iter().map(|(piece, length)| (group[piece], length)).collect();
            }
        }
        sticks.retain(|stick| !stick.whole.is_empty() || !stick.parts.is_empty());
        self.found.below = cost;
        self.found.drawn = Some(Drawn { sticks, copies: board.rows.to_vec() });
    }
}
