//! Pieces longer than every stick, joined from parts: where they are parted is chosen too. The plan states a bound
//! for every way of parting them, not for the parts chosen.
//!
//! Rows are sorted first, and equal ones made one (`sorted`), so that their order changes nothing. The bound takes long pieces
//! for something that fills any room on any stick: with the fewest joints that each may have, and (`joints`) with a
//! joint for every stick that holds a part; small orders are gone through in every way (`every_way`). Where that finds no
//! plan that meets its bound, long pieces are parted by rule (whole sticks and a rest; as the rooms of the bound's own plan
//! allow; whole lengths of each sort of stick and a rest), and each parting is cut by [`plan`]. Of all plans the cheapest is
//! kept, with no two parts of one piece on one stick (`drawn`). Called by the buying of tube; it knows nothing of
//! couplings but what one costs.

mod board;
mod drawn;
mod every_way;
mod fitting;
mod joints;
mod rooms;
mod sorted;
mod stairs;
mod walking;

use crate::search::cutting::order::{
    CutOrder, CutPlan, Demand, JoinOrder, JoinedPlan, Layout, NoPlan, Parting, Stock,
};
use crate::search::cutting::whole::plan;
use crate::search::effort::Effort;
use crate::search::gcd;
use drawn::{Drawn, copies, in_order};
use sorted::Sorted;
use std::cmp::Reverse;

/// Long pieces beyond which they are parted by rule alone.
const MOST_LONG: u64 = 500;
/// Sorts of sticks that long pieces are parted by.
const MOST_LENGTHS: usize = 6;
/// Crumbs that stand for long pieces in the bound.
const MOST_CRUMBS: u128 = 100_000;

/// Plans cuts and joints of an order; without long pieces it is the plan of [`plan`].
///
/// Another order of rows changes nothing but the indices in the plan. Of equal costs the plan with fewer joints is taken,
/// then the first found.
///
/// # Errors
/// See [`NoPlan`]; [`NoPlan::CannotJoin`] where a long piece has no parts that are long enough.
pub fn plan_joined(order: &JoinOrder<'_>) -> Result<JoinedPlan, NoPlan> {
    if order.long.iter().all(|long| long.count == 0) {
        let CutPlan { layouts, cost, bound } = plan(&order.whole)?;
        return Ok(JoinedPlan { layouts, parts: Vec::new(), partings: Vec::new(), joints: 0, cost, bound });
    }
    let sorted = Sorted::new(order)?;
    let found = plan_sorted(&sorted.order(order)).map_err(|none| sorted.name(none))?;
    sorted.unfold(order, &found).ok_or(NoPlan::Overflow)
}

/// Plans an order whose rows are sorted and all different.
fn plan_sorted(order: &JoinOrder<'_>) -> Result<JoinedPlan, NoPlan> {
    let whole = &order.whole;
    let longest = whole.stocks.first().map_or(0, |stock| stock.length);
    let few = fewest(order, longest)?;
    let share = whole.effort / 4;
    let mut kept = Kept { best: None, failed: NoPlan::NotFound, bound: 0 };
    kept.take(order, cut(order, by_lengths(order, longest, longest), share));
    let relaxed = bound(order, &few, share);
    kept.raise(relaxed.as_ref().map_or(0, |(_, bound)| *bound));
    let copies =
        if total(order.long.iter().map(|long| long.count)) > MOST_LONG { Vec::new() } else { copies(order) };
    if copies.is_empty() {
        // Parts of the longest sticks are never two of one piece on one stick.
        return kept.plan();
    }
    if let Some((rooms, _)) = relaxed.as_ref().filter(|_| kept.is_open()) {
        kept.take(order, cut(order, by_rooms(order, rooms, longest), share / 8));
    }
    if kept.is_open()
        && let Some(walked) =
            every_way::search(order, (&copies, &few), kept.bound, kept.cost(), &mut Effort::new(share))
    {
        if walked.bound == u64::MAX {
            return Err(unjoinable(order));
        }
        if let Some(found) = walked.drawn.and_then(|drawn| drawn.plan(order)) {
            kept.take(order, Ok(found));
        }
        kept.raise(walked.bound);
    }
    if kept.is_open() {
        let below = kept.cost().min(u64::MAX / 2);
        if let Some((least, found)) = joints::search(order, &few, below, &mut Effort::new(share / 2)) {
            kept.raise(least);
            if let Some(found) = found {
                kept.take(order, Ok(found));
            }
        }
    }
    if let Some((rooms, _)) = relaxed.as_ref().filter(|_| kept.is_open()) {
        kept.take(order, cut(order, by_rooms(order, rooms, longest), share));
    }
    let mut lengths: Vec<u64> = whole.stocks.iter().map(|stock| stock.length).collect();
    lengths.dedup();
    lengths.retain(|length| *length >= order.shortest.max(1));
    for length in lengths.into_iter().take(MOST_LENGTHS).skip(1) {
        if kept.is_open() {
            kept.take(order, cut(order, by_lengths(order, length, longest), share / 8));
        }
    }
    kept.plan()
}

/// The cheapest plan so far, why there is none, and the greatest bound.
struct Kept {
    best: Option<JoinedPlan>,
    failed: NoPlan,
    bound: u64,
}

impl Kept {
    fn cost(&self) -> u64 {
        self.best.as_ref().map_or(u64::MAX, |best| best.cost)
    }

    fn is_open(&self) -> bool {
        self.cost() > self.bound
    }

    fn raise(&mut self, bound: u64) {
        self.bound = self.bound.max(bound);
    }

    /// Takes over a plan if it is better, with no two parts of one piece on one stick.
    fn take(&mut self, order: &JoinOrder<'_>, found: Result<JoinedPlan, NoPlan>) {
        let found = match found {
            // Of more sticks than are drawn only the first plan is taken: parts as long as the longest stick never lie two
            // on one.
            Ok(found) => {
                let drawn = Drawn::of(order, &found).and_then(|drawn| drawn.plan(order));
                drawn.or_else(|| self.best.is_none().then_some(found))
            }
            // Other parts may go in.
            Err(NoPlan::NotEnoughStock) => None,
            Err(none) => {
                self.failed = none;
                None
            }
        };
        let better = |found: &JoinedPlan| {
            self.best.as_ref().is_none_or(|best| (found.cost, found.joints) < (best.cost, best.joints))
        };
        if let Some(found) = found.filter(better) {
            self.best = Some(found);
        }
    }

    fn plan(self) -> Result<JoinedPlan, NoPlan> {
        let bound = self.bound;
        self.best.map(|best| JoinedPlan { bound: bound.min(best.cost), ..best }).ok_or(self.failed)
    }
}

/// Why all ways together come to no plan: a piece that has no parts of the sticks of which there is any number, or else
/// too few sticks.
fn unjoinable(order: &JoinOrder<'_>) -> NoPlan {
    let any = order.whole.stocks.iter().filter(|stock| stock.available.is_none());
    let Some(longest) = any.map(|stock| stock.length).max() else { return NoPlan::NotEnoughStock };
    let has_none =
        |long: &Demand| long.length.div_ceil(longest.max(1)).saturating_mul(order.shortest) > long.length;
    let long = order.long.iter().position(has_none);
    long.map_or(NoPlan::NotEnoughStock, |long| NoPlan::CannotJoin { long })
}

/// The fewest parts that each long piece can have.
fn fewest(order: &JoinOrder<'_>, longest: u64) -> Result<Vec<u64>, NoPlan> {
    let few = |(number, long): (usize, &Demand)| {
        let parts = long.length.checked_div(longest).map(|full| full + u64::from(long.length % longest > 0));
        let parts = parts.ok_or(NoPlan::CannotJoin { long: number })?;
        let least = parts.checked_mul(order.shortest).ok_or(NoPlan::Overflow)?;
        // More parts are only shorter.
        if least <= long.length { Ok(parts) } else { Err(NoPlan::CannotJoin { long: number }) }
    };
    order.long.iter().enumerate().map(few).collect()
}

/// One long piece, so many times, and its parts: lengths, longest first, with how many there are of each.
type Parted = Vec<(usize, u64, Vec<(u64, u64)>)>;

/// Whole lengths and a rest; where the rest would be too short the length before it gives way.
fn by_lengths(order: &JoinOrder<'_>, length: u64, longest: u64) -> Parted {
    let parts = |long: &Demand| split(long.length, length, order.shortest, longest);
    order.long.iter().enumerate().map(|(number, long)| (number, long.count, parts(long))).collect()
}

/// A length in parts of one length and a rest that is not too short.
fn split(whole: u64, length: u64, shortest: u64, longest: u64) -> Vec<(u64, u64)> {
    let (full, rest) = (whole / length.max(1), whole % length.max(1));
    let missing = shortest.saturating_sub(rest);
    let parts = match (rest, full) {
        (0, _) => vec![(length, full)],
        (_, 1..) if missing > 0 && length >= shortest + missing => {
            vec![(length, full - 1), (length - missing, 1), (shortest, 1)]
        }
        _ if missing > 0 => evenly(whole, longest),
        _ => vec![(length, full), (rest, 1)],
    };
    in_order(parts)
}

/// The fewest parts, as even as can be.
fn evenly(whole: u64, longest: u64) -> Vec<(u64, u64)> {
    let parts = whole.div_ceil(longest.max(1)).max(1);
    let (each, more) = (whole / parts, whole % parts);
    vec![(each + 1, more), (each, parts - more)]
}

/// A stick of the bound's plan, so many times, and the room that whole pieces leave on it, one cut included.
type Rooms = Vec<(u64, u64)>;

/// No plan costs less, and the rooms of the plan that costs just that. It is a bound for any number of parts: more than the
/// fewest take more joints and more cuts, and parts together fill no more than crumbs that fit anywhere.
fn bound(order: &JoinOrder<'_>, few: &[u64], effort: u64) -> Option<(Rooms, u64)> {
    let (whole, kerf) = (&order.whole, order.whole.kerf);
    let mut fluid = 0_u128;
    let mut joints = 0_u128;
    for (long, parts) in order.long.iter().zip(few) {
        let each = u128::from(long.length) + u128::from(kerf) * u128::from(*parts);
        fluid += each * u128::from(long.count);
        joints += u128::from(parts.saturating_sub(1)) * u128::from(long.count);
    }
    let with_kerf = |length: u64| u128::from(length) + u128::from(kerf);
    // Every room must be full crumbs: they measure sticks as well as pieces.
    let wanted = whole.demands.iter().filter(|demand| demand.count > 0).map(|demand| demand.length);
    let lengths = wanted.chain(whole.stocks.iter().map(|stock| stock.length));
    let measure = lengths.fold(fluid, |measure, length| gcd(measure, with_kerf(length)));
    // Where there is no common measure, pieces are taken for a little shorter and sticks for a little longer.
    let crumb = measure.max(fluid / MOST_CRUMBS).max(1);
    let down = |length: u64| u64::try_from(with_kerf(length) / crumb * crumb).ok();
    let up = |length: u64| u64::try_from(with_kerf(length).div_ceil(crumb) * crumb).ok();
    let stocks: Vec<Stock> = whole
        .stocks
        .iter()
        .map(|stock| Some(Stock { length: up(stock.length)?, ..*stock }))
        .collect::<Option<_>>()?;
    let mut demands: Vec<Demand> = Vec::new();
    for demand in whole.demands {
        let length = down(demand.length)?;
        demands.push(Demand { length: length.max(1), count: if length == 0 { 0 } else { demand.count } });
    }
    demands.push(Demand { length: u64::try_from(crumb).ok()?, count: u64::try_from(fluid / crumb).ok()? });
    let relaxed = plan(&CutOrder { stocks: &stocks, demands: &demands, kerf: 0, effort }).ok()?;
    let joints = u64::try_from(joints * u128::from(order.joint)).ok()?;
    let room = |layout: &Layout| {
        let pieces = layout.pieces.iter().filter(|(demand, _)| *demand < whole.demands.len());
        let used = pieces.map(|(demand, n)| with_kerf(whole.demands[*demand].length) * u128::from(*n));
        let room = with_kerf(whole.stocks[layout.stock].length).saturating_sub(used.sum());
        (layout.times, u64::try_from(room).unwrap_or(0))
    };
    Some((relaxed.layouts.iter().map(room).collect(), relaxed.bound.checked_add(joints)?))
}

/// Parts that fill the rooms of a plan: the longest piece into the largest room, until one room takes what is left.
fn by_rooms(order: &JoinOrder<'_>, rooms: &Rooms, longest: u64) -> Parted {
    let (sticks, pieces) = (total(rooms.iter().map(|(n, _)| *n)), total(order.long.iter().map(|l| l.count)));
    if sticks > 10 * MOST_LONG || pieces > MOST_LONG {
        return by_lengths(order, longest, longest);
    }
    let (shortest, kerf) = (order.shortest.max(1), order.whole.kerf);
    let mut rooms: Vec<u64> =
        rooms.iter().flat_map(|(n, room)| (0..*n).map(|_| room.saturating_sub(kerf))).collect();
    let mut pieces: Vec<(usize, u64)> = Vec::new();
    for (number, long) in order.long.iter().enumerate() {
        pieces.extend((0..long.count).map(|_| (number, long.length)));
    }
    pieces.sort_by_key(|(number, length)| (Reverse(*length), *number));
    let mut parted = Parted::new();
    for (number, length) in pieces {
        let (mut rest, mut parts) = (length, Vec::new());
        while rest > 0 {
            let fits = (0..rooms.len()).filter(|at| rooms[*at] >= rest).min_by_key(|at| rooms[*at]);
            let largest = || (0..rooms.len()).max_by_key(|at| (rooms[*at], Reverse(*at)));
            let Some(at) = fits.or_else(largest) else { break };
            let part = match rooms[at] {
                room if room >= rest => rest,
                room if rest - room >= shortest => room,
                _ => rest.saturating_sub(shortest),
            };
            if part < shortest || (part < rest && rest - part < shortest) {
                break;
            }
            parts.push((part, 1));
            rest -= part;
            rooms[at] = rooms[at].saturating_sub(part + kerf);
        }
        if rest > 0 {
            parts.extend(split(rest, longest, shortest, longest));
            if parts.iter().any(|(part, _)| *part < shortest) {
                parts = split(length, longest, shortest, longest);
            }
        }
        parted.push((number, 1, in_order(parts)));
    }
    parted.sort();
    parted.dedup_by(|next, one| {
        let alike = next.0 == one.0 && next.2 == one.2;
        if alike {
            one.1 += next.1;
        }
        alike
    });
    parted
}

fn total(counts: impl Iterator<Item = u64>) -> u64 {
    counts.fold(0, u64::saturating_add)
}

/// Has whole pieces and parts cut, and adds the joints.
fn cut(order: &JoinOrder<'_>, parted: Parted, effort: u64) -> Result<JoinedPlan, NoPlan> {
    let mut lengths: Vec<u64> =
        parted.iter().flat_map(|(_, _, parts)| parts.iter().map(|(length, _)| *length)).collect();
    lengths.sort_unstable_by_key(|length| Reverse(*length));
    lengths.dedup();
    let mut parts: Vec<Demand> = lengths.into_iter().map(|length| Demand { length, count: 0 }).collect();
    let mut partings: Vec<Parting> = Vec::new();
    let mut joints = 0_u64;
    for (long, times, list) in parted {
        let mut uses: Vec<(usize, u64)> = Vec::new();
        let mut made = 0_u64;
        for (length, number) in list {
            let at = parts.iter().position(|part| part.length == length).ok_or(NoPlan::Overflow)?;
            let more = number.checked_mul(times).ok_or(NoPlan::Overflow)?;
            parts[at].count = parts[at].count.checked_add(more).ok_or(NoPlan::Overflow)?;
            made = made.checked_add(number).ok_or(NoPlan::Overflow)?;
            uses.push((at, number));
        }
        let more = made.saturating_sub(1).checked_mul(times).ok_or(NoPlan::Overflow)?;
        joints = joints.checked_add(more).ok_or(NoPlan::Overflow)?;
        partings.push(Parting { long, times, parts: uses });
    }
    let demands: Vec<Demand> = order.whole.demands.iter().chain(&parts).copied().collect();
    let CutPlan { layouts, cost, .. } = plan(&CutOrder { demands: &demands, effort, ..order.whole })?;
    let joining = joints.checked_mul(order.joint).ok_or(NoPlan::Overflow)?;
    let cost = cost.checked_add(joining).ok_or(NoPlan::Overflow)?;
    Ok(JoinedPlan { layouts, parts, partings, joints, cost, bound: 0 })
}
