//! The cheapest whole packs, and loose goods beside them, that hold at least so many: exact, whatever the need.
//!
//! A covering knapsack over whole numbers that knows nothing of parts or suppliers. Packs may have breaks: from so
//! many of one kind on, each costs less. Of equal sums the one of fewer packs wins (loose goods count one each).
//!
//! **Why a large need is made small.** Let `b` be the pack with the best price for what it holds (of equal ones the
//! largest), `c` what it holds, `h` the common measure of what all packs hold. Among any `c / h` other packs some hold
//! a multiple of `c` together (sums of the first 1, 2, 3... of them have only `c / h` remainders); so many `b` hold
//! the same and cost no more. So some best choice has fewer than `c / h` other packs beyond those that a break asks
//! for. The same holds for loose goods: `c` of them cost at least `floor(c x unit price)`, since adding whole cents
//! changes no rounding, and the price of `b` is whole cents. So all but a bounded part of any need is `b`, and the
//! search runs over the rest, whose size depends on packs and breaks alone. Where loose goods have the better price than
//! every pack, a need that reaches their last break is all loose, by the same argument.

mod combinations;

use std::cmp::Reverse;

use super::gcd;
pub use combinations::combinations;

/// One kind of pack.
#[derive(Debug, Clone)]
pub struct Kind {
    /// What one holds; not zero.
    pub holds: u64,
    /// From so many packs on, so many cents each: the first from 1, prices going down.
    pub tiers: Vec<(u64, u64)>,
}

impl Kind {
    /// What so many cost.
    pub fn cents(&self, packs: u64) -> Option<u64> {
        let tier = self.tiers.iter().rev().find(|(from, _)| packs >= *from);
        tier.map_or(Some(0), |(_, cents)| cents.checked_mul(packs))
    }
}

/// One kind of loose goods.
#[derive(Debug, Clone)]
pub struct Loose {
    /// From so many on, so many ten-thousandths of money for `per` of them: the first from 1, prices going down.
    pub tiers: Vec<(u64, u64)>,
    /// How many the price is for; not zero.
    pub per: u64,
}

impl Loose {
    /// What so many cost, rounded as every price is: to 6 places, then to cents.
    pub fn cents(&self, quantity: u64) -> u64 {
        let tier = self.tiers.iter().rev().find(|(from, _)| quantity >= *from);
        tier.map_or(0, |(_, net)| {
            let millionths = half_up(u128::from(quantity) * u128::from(*net) * 100, u128::from(self.per));
            u64::try_from(half_up(millionths, 10_000)).unwrap_or(u64::MAX)
        })
    }

    /// The cheapest way to have at least so many: as they are, or up to a break.
    fn least(&self, quantity: u64) -> (u64, u64) {
        let ups = self.tiers.iter().map(|(from, _)| quantity.max(*from));
        ups.map(|bought| (self.cents(bought), bought)).min().unwrap_or((u64::MAX, quantity))
    }
}

/// What covers a need.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cover {
    /// The sum in cents.
    pub cents: u64,
    /// Packs, and loose goods one each.
    pub packs: u64,
    /// How many of each kind of pack.
    pub counts: Vec<u64>,
    /// Which loose goods, and how many of them.
    pub loose: Option<(usize, u64)>,
    /// Whether nothing can cost less. Only packs so large and so odd beside each other that the search would not end
    /// leave it open.
    pub proven: bool,
}

/// Cells that the search may fill: some hundred megabytes, which packs that are sold never come near.
const CELLS: u64 = 3_000_000;

/// The cheapest packs and loose goods that hold at least `need`. Nothing where nothing is offered or sums do not fit.
pub fn cover(need: u64, kinds: &[Kind], loose: &[Loose]) -> Option<Cover> {
    if need == 0 {
        return Some(Cover { cents: 0, packs: 0, counts: vec![0; kinds.len()], loose: None, proven: true });
    }
    let best = best_kind(kinds);
    // Whether loose goods have the better price, and from how many on.
    let loose_first = best_tier_of_loose(loose)
        .filter(|(which, _)| best.is_none_or(|(kind, tier)| !beats(&kinds[kind], tier, &loose[*which])));
    if let Some((which, from)) = loose_first
        && need >= from
    {
        return finish(need, vec![0; kinds.len()], Some((which, need)), kinds, loose, true);
    }
    let Some((best, tier)) = best else {
        let (_, which) = (0..loose.len()).map(|i| (loose[i].least(need), i)).min()?;
        let bought = loose[which].least(need).1;
        return finish(need, Vec::new(), Some((which, bought)), kinds, loose, true);
    };
    let aside = match loose_first {
        Some(_) => 0,
        None => set_aside(need, kinds, loose, best, tier),
    };
    let rest = need - aside * kinds[best].holds;
    if !fits(rest.div_ceil(measure(kinds, loose)), kinds) {
        return single_kind(need, kinds, loose);
    }
    let (mut counts, bought) = search(rest, kinds, loose)?;
    counts[best] += aside;
    finish(need, counts, bought, kinds, loose, true)
}

/// What a need costs at least, were packs bought in parts: at the best price for what any pack holds.
pub fn floor(need: u64, kinds: &[Kind], loose: &[Loose]) -> u64 {
    let packs =
        kinds.iter().flat_map(|kind| kind.tiers.iter().map(|tier| (u128::from(tier.1) * 100, kind.holds)));
    let loose = loose.iter().flat_map(|loose| loose.tiers.iter().map(|tier| (u128::from(tier.1), loose.per)));
    // Ten-thousandths of money; loose goods are rounded to cents, by half a cent down at most.
    let sums = packs.chain(loose).map(|(net, of)| u128::from(need) * net / u128::from(of.max(1)));
    let least = sums.min().unwrap_or(0).saturating_sub(51) / 100;
    u64::try_from(least).unwrap_or(u64::MAX)
}

/// What every quantity held is a multiple of: with loose goods one, else the common measure of the packs.
fn measure(kinds: &[Kind], loose: &[Loose]) -> u64 {
    match loose.is_empty() {
        true => kinds.iter().fold(0, |measure, kind| gcd(measure, kind.holds)).max(1),
        false => 1,
    }
}

/// Whether the search over a need, in measures, stays within its cells.
fn fits(need: u64, kinds: &[Kind]) -> bool {
    let layers = u64::try_from(kinds.len()).unwrap_or(u64::MAX).saturating_add(1);
    need.saturating_add(1).saturating_mul(layers) <= CELLS
}

/// Kind and tier of the best price for what a pack holds; of equal ones the largest pack, then the lower break.
fn best_kind(kinds: &[Kind]) -> Option<(usize, usize)> {
    let all = kinds.iter().enumerate().flat_map(|(k, kind)| (0..kind.tiers.len()).map(move |t| (k, t)));
    all.min_by(|a, b| {
        let (x, y) = (&kinds[a.0], &kinds[b.0]);
        let price =
            |kind: &Kind, tier: usize, other: &Kind| u128::from(kind.tiers[tier].1) * u128::from(other.holds);
        price(x, a.1, y).cmp(&price(y, b.1, x)).then_with(|| {
            (Reverse(x.holds), x.tiers[a.1].0, a.0).cmp(&(Reverse(y.holds), y.tiers[b.1].0, b.0))
        })
    })
}

/// Which loose goods are cheapest at their last break, and from how many on.
fn best_tier_of_loose(loose: &[Loose]) -> Option<(usize, u64)> {
    let last = |i: &usize| loose[*i].tiers.last().map_or((0, u64::MAX), |tier| *tier);
    let unit = |i: &usize, other: &usize| u128::from(last(i).1) * u128::from(loose[*other].per);
    let which = (0..loose.len()).min_by(|a, b| unit(a, b).cmp(&unit(b, a)).then_with(|| a.cmp(b)))?;
    Some((which, last(&which).0))
}

/// Whether a pack costs no more for what it holds than the loose goods at their last break.
fn beats(kind: &Kind, tier: usize, loose: &Loose) -> bool {
    let net = loose.tiers.last().map_or(u64::MAX, |tier| tier.1);
    // Cents x 100 are the ten-thousandths of a net price.
    let pack = u128::from(kind.tiers[tier].1) * 100 * u128::from(loose.per);
    pack <= u128::from(kind.holds) * u128::from(net)
}

/// How many of the best pack are surely in some best choice, beyond what the search decides. See above.
fn set_aside(need: u64, kinds: &[Kind], loose: &[Loose], best: usize, tier: usize) -> u64 {
    let holds = u128::from(kinds[best].holds);
    let measure = kinds.iter().fold(0, |measure, kind| gcd(measure, kind.holds));
    let others = || kinds.iter().enumerate().filter(|(k, _)| *k != best).map(|(_, kind)| kind);
    let last_break = |tiers: &[(u64, u64)]| tiers.last().map_or(0, |(from, _)| u128::from(*from));
    let for_breaks: u128 = others().map(|kind| last_break(&kind.tiers) * u128::from(kind.holds)).sum();
    let largest = others().map(|kind| u128::from(kind.holds)).max().unwrap_or(0);
    let other_packs = (holds / u128::from(measure.max(1))).saturating_sub(1) * largest;
    let of_best = u128::from(kinds[best].tiers[tier].0) * holds;
    let of_loose: u128 = loose.iter().map(|loose| last_break(&loose.tiers) + holds).sum();
    let bound = [for_breaks, other_packs, of_best, of_loose].iter().fold(0_u128, |a, b| a.saturating_add(*b));
    u64::try_from(u128::from(need).saturating_sub(bound) / holds).unwrap_or(0)
}

/// The best choice of packs before one kind, for one quantity held: what the search fills in.
#[derive(Clone, Copy)]
struct Cell {
    cents: u64,
    packs: u64,
    /// The quantity held without this kind.
    from: u32,
    /// How many of this kind.
    count: u32,
}

const UNREACHED: Cell = Cell { cents: u64::MAX, packs: u64::MAX, from: 0, count: 0 };

impl Cell {
    fn is_better(&self, other: &Self) -> bool {
        (self.cents, self.packs) < (other.cents, other.packs)
    }

    fn more(&self, packs: u64, cents: u64, from: u32) -> Option<Self> {
        if self.cents == u64::MAX {
            return None;
        }
        Some(Self {
            cents: self.cents.checked_add(cents.checked_mul(packs)?)?,
            packs: self.packs.checked_add(packs)?,
            from,
            count: self.count.checked_add(u32::try_from(packs).ok()?)?,
        })
    }
}

type Chosen = (Vec<u64>, Option<(usize, u64)>);

/// The exact search, kind by kind over the quantity held; whatever is at least `need` is one quantity.
fn search(need: u64, kinds: &[Kind], loose: &[Loose]) -> Option<Chosen> {
    let measure = measure(kinds, loose);
    let top = usize::try_from(need.div_ceil(measure)).ok()?;
    let mut first = vec![UNREACHED; top + 1];
    first[0] = Cell { cents: 0, packs: 0, from: 0, count: 0 };
    let mut layers = vec![first];
    for kind in kinds {
        let before = layers.last()?;
        let holds = usize::try_from(kind.holds / measure).unwrap_or(usize::MAX);
        let next = with_kind(before, kind, holds, top);
        layers.push(next);
    }
    let (end, bought) = best_end(layers.last()?, need, loose)?;
    let mut counts = vec![0; kinds.len()];
    let mut held = end;
    for (k, count) in counts.iter_mut().enumerate().rev() {
        let cell = layers[k + 1][held];
        *count = u64::from(cell.count);
        held = cell.from as usize;
    }
    Some((counts, bought))
}

/// The cells after one more kind of pack may be taken, at any of its prices.
fn with_kind(before: &[Cell], kind: &Kind, holds: usize, top: usize) -> Vec<Cell> {
    let position = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
    let mut next: Vec<Cell> =
        before.iter().enumerate().map(|(at, cell)| Cell { from: position(at), count: 0, ..*cell }).collect();
    for (from, cents) in &kind.tiers {
        let mut with = vec![UNREACHED; top + 1];
        let step = usize::try_from(*from).unwrap_or(usize::MAX).saturating_mul(holds);
        for (at, cell) in before.iter().enumerate() {
            let fresh = Cell { count: 0, ..*cell };
            if let Some(more) = fresh.more(*from, *cents, position(at)) {
                improve(&mut with, at.saturating_add(step).min(top), more);
            }
        }
        for at in 0..top {
            let cell = with[at];
            if let Some(more) = cell.more(1, *cents, cell.from) {
                improve(&mut with, at.saturating_add(holds).min(top), more);
            }
        }
        for (old, new) in next.iter_mut().zip(with) {
            if new.is_better(old) {
                *old = new;
            }
        }
    }
    next
}

fn improve(cells: &mut [Cell], at: usize, cell: Cell) {
    if cell.is_better(&cells[at]) {
        cells[at] = cell;
    }
}

/// Where the packs end and the loose goods begin.
fn best_end(cells: &[Cell], need: u64, loose: &[Loose]) -> Option<(usize, Option<(usize, u64)>)> {
    let top = cells.len() - 1;
    let whole = &cells[top];
    let mut best =
        (whole.cents < u64::MAX).then_some(((whole.cents, whole.packs), (top, None::<(usize, u64)>)));
    for (held, cell) in cells[..top].iter().enumerate().rev().filter(|(_, cell)| cell.cents < u64::MAX) {
        let rest = need - u64::try_from(held).unwrap_or(need);
        for (which, goods) in loose.iter().enumerate() {
            let (cents, bought) = goods.least(rest);
            let sum = (cell.cents.saturating_add(cents), cell.packs.saturating_add(bought));
            if best.as_ref().is_none_or(|(least, _)| sum < *least) {
                best = Some((sum, (held, Some((which, bought)))));
            }
        }
    }
    best.map(|(_, end)| end)
}

/// The cheapest way with one kind of pack, or with loose goods, alone: where the search would not end.
fn single_kind(need: u64, kinds: &[Kind], loose: &[Loose]) -> Option<Cover> {
    let packs = (0..kinds.len()).flat_map(|k| {
        let enough = need.div_ceil(kinds[k].holds);
        kinds[k].tiers.iter().map(move |(from, _)| (k, enough.max(*from)))
    });
    let packs = packs.filter_map(|(k, count)| {
        let mut counts = vec![0; kinds.len()];
        counts[k] = count;
        finish(need, counts, None, kinds, loose, false)
    });
    let loosely = (0..loose.len()).filter_map(|i| {
        let bought = loose[i].least(need).1;
        finish(need, vec![0; kinds.len()], Some((i, bought)), kinds, loose, false)
    });
    packs.chain(loosely).min_by_key(|cover| (cover.cents, cover.packs))
}

/// Sums up what was chosen, each kind at the price its number gets.
fn finish(
    need: u64,
    counts: Vec<u64>,
    bought: Option<(usize, u64)>,
    kinds: &[Kind],
    loose: &[Loose],
    proven: bool,
) -> Option<Cover> {
    let (mut cents, mut packs, mut held) = (0_u64, 0_u64, 0_u128);
    for (kind, count) in kinds.iter().zip(&counts) {
        cents = cents.checked_add(kind.cents(*count)?)?;
        packs = packs.checked_add(*count)?;
        held += u128::from(*count) * u128::from(kind.holds);
    }
    if let Some((which, quantity)) = bought {
        cents = cents.checked_add(loose.get(which)?.cents(quantity))?;
        packs = packs.checked_add(quantity)?;
        held += u128::from(quantity);
    }
    (held >= u128::from(need) && cents < u64::MAX).then_some(Cover {
        cents,
        packs,
        counts,
        loose: bought,
        proven,
    })
}

/// Rounded to the nearest whole number, halves up; `below` is not zero.
fn half_up(above: u128, below: u128) -> u128 {
    let (whole, rest) = (above / below, above % below);
    whole + u128::from(rest >= below - rest)
}
