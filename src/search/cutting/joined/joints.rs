//! What sticks and joints cost at least together, and plans that cost just that. Every stick that holds a part of a
//! long piece costs a joint: so each stock counts twice, dry at its price, and wet at that of a joint more, and only
//! wet sticks hold the fluid that long pieces are taken for. Sets of sticks are gone through from the cheapest on;
//! the first that the linear program does not refuse is a bound, and each is tried in earnest by `fitting`.
//! That is a bound for any number of joints: each part but one of each long piece has its joint in it. The weights that the
//! linear program proves are also those of `walking`. Called by [`super`] and `walking`.

use super::fitting::{fit, useful};
use crate::search::cutting::order::{Demand, JoinOrder, JoinedPlan};
use crate::search::cutting::whole::columns::{Goal, Grain, Ways, relax};
use crate::search::cutting::whole::job::{Fluid, Job, Kind, Piece};
use crate::search::cutting::whole::stock_selection::{Cut, Known, Selection, cheapest};
use crate::search::effort::{Dice, Effort};
use crate::search::gcd;
use std::cmp::Reverse;

/// Sets tried in earnest, and how often each.
const MOST_TRIED: u32 = 30;
const TURNS: u64 = 2;
/// Sets gone through, and lengths beyond which nothing is.
const MOST_SETS: u32 = 500;
const MOST_LENGTHS: usize = 400;
/// Lengths beyond which the linear program is solved coarsely.
const MOST_FINE: usize = 150;
const COARSE: usize = 60;
/// Crumbs that stand for long pieces.
const MOST_CRUMBS: u128 = 100_000;

/// The bound, and the best plan below a cost, if one was found. `few` are the fewest parts of each long piece.
pub(super) fn search(
    order: &JoinOrder<'_>,
    few: &[u64],
    below: u64,
    effort: &mut Effort,
) -> Option<(u64, Option<JoinedPlan>)> {
    let job = Wet::new(order, few)?;
    let longs: u64 = order.long.iter().fold(0, |sum, long| sum.saturating_add(long.count));
    let unpaid = longs.checked_mul(order.joint)?;
    let limit = u128::from(below.checked_add(unpaid)?);
    let mut known = job.known(order, few);
    let (mut bound, mut tried, mut ways) = (None, 0, Ways::default());
    let need = job.job.counts();
    let grain = if need.len() > MOST_FINE { Grain::Coarse(COARSE) } else { Grain::Fine };
    let tenth = effort.left() / 10;
    let root = effort.within(tenth, |effort| {
        relax(&job.job, &need, &job.job.most(), Goal::Bound, grain, &mut ways, effort)
    });
    known.cuts.extend(root.map(|root| root.cut));
    for _ in 0..MOST_SETS {
        let part = effort.left() / 10;
        let selection = effort.within(part, |effort| cheapest(&job.job, &known, Some(limit), effort));
        let (sticks, price) = match selection {
            Selection::Cheapest { sticks, price } => (sticks, price),
            Selection::NoneBelow => {
                bound = bound.or(Some(limit));
                break;
            }
            Selection::Spent { bound: least, .. } => {
                bound = bound.or(Some(least));
                break;
            }
        };
        if bound.is_none() {
            let relaxed = effort.within(part, |effort| {
                relax(&job.job, &need, &sticks, Goal::Fractions, grain, &mut ways, effort)
            });
            if let Some(relaxed) = relaxed.filter(|relaxed| !relaxed.cut.met_by(&sticks)) {
                known.cuts.push(relaxed.cut);
                continue;
            }
            bound = Some(price);
        } else if let Some(relaxed) = effort
            .within(part, |effort| relax(&job.job, &need, &sticks, Goal::Fractions, grain, &mut ways, effort))
            && !relaxed.cut.met_by(&sticks)
        {
            known.cuts.push(relaxed.cut);
            continue;
        }
        tried += 1;
        let found = (0..TURNS).find_map(|turn| job.try_set(order, few, &sticks, turn, effort));
        if found.is_some() || tried >= MOST_TRIED || effort.is_spent() {
            let bound = bound.unwrap_or(0).saturating_sub(u128::from(unpaid));
            return Some((u64::try_from(bound).ok()?, found));
        }
        known.refused.push(sticks);
    }
    let bound = bound.unwrap_or(0).saturating_sub(u128::from(unpaid));
    Some((u64::try_from(bound).ok()?, None))
}

/// What pieces and room for long ones weigh at the optimum of the linear program, and how much weight a stick can hold:
/// what sticks hold together must reach the weight of all that is cut.
pub(super) struct Weights {
    /// By the rows of the order.
    pub(super) pieces: Vec<u64>,
    /// Of so much length of long pieces.
    pub(super) fluid: u64,
    pub(super) crumb: u64,
    /// Of a part, for each stick that holds one.
    pub(super) part: u64,
    /// For each of the useful stocks: what one holds without a part and with one.
    pub(super) sticks: Vec<(u64, u64)>,
}

/// Weighs an order whose rows are sorted and all different.
pub(super) fn weights(order: &JoinOrder<'_>, few: &[u64], effort: &mut Effort) -> Option<Weights> {
    let long: u128 = order.long.iter().map(|l| u128::from(l.length) * u128::from(l.count)).sum();
    if order.whole.stocks.iter().any(|stock| u128::from(stock.length) >= long) {
        // What one stick holds of long pieces is then bounded by them, and cuts between them would weigh nothing.
        return None;
    }
    let Wet { job, crumb, .. } = Wet::new(order, few)?;
    let need = job.counts();
    if need.len() > MOST_FINE {
        return None;
    }
    let relaxed = relax(&job, &need, &job.most(), Goal::Bound, Grain::Fine, &mut Ways::default(), effort)?;
    let weight = |demand: &Demand| {
        let length = (demand.length + order.whole.kerf) / crumb;
        job.pieces.iter().position(|piece| piece.len == length).map_or(0, |p| relaxed.weights[p])
    };
    let fluid = job.fluid.map_or(0, |fluid| relaxed.weights[fluid.piece]);
    // A whole piece as short as a crumb weighs nothing here: less is never wrong.
    let weight =
        |demand: &Demand| if (demand.length + order.whole.kerf) / crumb <= 1 { 0 } else { weight(demand) };
    let worth = &relaxed.cut.worth;
    Some(Weights {
        pieces: order.whole.demands.iter().map(weight).collect(),
        fluid,
        crumb,
        part: relaxed.wetness,
        sticks: (0..worth.len() / 2).map(|stock| (worth[2 * stock], worth[2 * stock + 1])).collect(),
    })
}

/// The order with each stock dry and wet, in crumbs.
struct Wet {
    job: Job,
    /// The length of one.
    crumb: u64,
    /// Which of the stocks each kind is: the dry one and then the wet one, and at last none.
    stocks: Vec<Option<usize>>,
}

impl Wet {
    fn new(order: &JoinOrder<'_>, few: &[u64]) -> Option<Self> {
        let (whole, kerf) = (&order.whole, u128::from(order.whole.kerf));
        let fluid: u128 = order.long.iter().map(|l| u128::from(l.length) * u128::from(l.count)).sum();
        let useful = useful(order);
        let wanted = || whole.demands.iter().filter(|demand| demand.count > 0);
        let stocks = || useful.iter().map(|&s| whole.stocks[s]);
        // A part on a wet stick has its one cut at the stick's cost.
        let lengths = wanted().map(|demand| u128::from(demand.length) + kerf);
        let lengths =
            lengths.chain(stocks().flat_map(|s| [u128::from(s.length), u128::from(s.length) + kerf]));
        let measure = lengths.fold(fluid, gcd);
        // Where there is no common measure, pieces are taken for a little shorter and sticks for a little longer.
        let crumb = measure.max(fluid / MOST_CRUMBS).max(1);
        let mut pieces: Vec<Piece> = Vec::new();
        let mut sorted: Vec<(u64, u64)> = Vec::new();
        for demand in wanted() {
            sorted.push((u64::try_from((u128::from(demand.length) + kerf) / crumb).ok()?, demand.count));
        }
        sorted.sort_unstable_by_key(|&(length, _)| Reverse(length));
        for (len, count) in sorted.into_iter().filter(|&(len, _)| len > 0) {
            match pieces.last_mut() {
                Some(last) if last.len == len => last.count += count,
                _ => pieces.push(Piece { len, count }),
            }
        }
        if pieces.len() > MOST_LENGTHS {
            return None;
        }
        pieces.push(Piece { len: 1, count: u64::try_from(fluid / crumb).ok()? });
        let total: u64 = pieces.iter().map(|piece| piece.count).sum();
        let parts: u64 = few.iter().zip(order.long).map(|(few, long)| few * long.count).sum();
        let (mut kinds, mut of_kinds) = (Vec::new(), Vec::new());
        for (&s, stock) in useful.iter().zip(stocks()) {
            let most = stock.available.unwrap_or(total).min(total.max(parts));
            let dry = u64::try_from((u128::from(stock.length) + kerf).div_ceil(crumb)).ok()?;
            let wet = u64::try_from(u128::from(stock.length).div_ceil(crumb)).ok()?;
            let joined = stock.price.checked_add(order.joint)?;
            kinds.push(Kind { len: dry, price: stock.price, most, wet: false });
            kinds.push(Kind { len: wet, price: joined, most, wet: true });
            of_kinds.extend([Some(s), Some(s)]);
        }
        // A part more on a wet stick costs its joint and takes no stick.
        kinds.push(Kind { len: 0, price: order.joint, most: parts, wet: true });
        of_kinds.push(None);
        let fluid = Some(Fluid { piece: pieces.len() - 1, parts });
        Some(Wet { job: Job { pieces, kinds, fluid }, crumb: u64::try_from(crumb).ok()?, stocks: of_kinds })
    }

    /// What holds for all sets of sticks: enough length, enough of it on wet ones, and no fewer of these than parts.
    fn known(&self, order: &JoinOrder<'_>, few: &[u64]) -> Known {
        let kinds = &self.job.kinds;
        let wet =
            |worth: &dyn Fn(&Kind) -> u64| kinds.iter().map(|k| if k.wet { worth(k) } else { 0 }).collect();
        let parts = few.iter().zip(order.long).map(|(few, l)| u128::from(*few) * u128::from(l.count)).sum();
        let fluid = self.job.pieces.last().map_or(0, |piece| u128::from(piece.count));
        let cuts = vec![
            Cut::by_length(&self.job),
            Cut { worth: wet(&|_| 1), need: parts },
            Cut { worth: wet(&|kind| kind.len), need: fluid },
        ];
        let scarce = |k: &usize| self.stocks[*k].is_some_and(|s| order.whole.stocks[s].available.is_some());
        let shared = (0..kinds.len()).step_by(2).filter(scarce).map(|k| (k, k + 1, kinds[k].most)).collect();
        Known { cuts, refused: Vec::new(), shared }
    }

    /// Tries sticks dry and wet in earnest: as many parts as there are wet ones.
    fn try_set(
        &self,
        order: &JoinOrder<'_>,
        few: &[u64],
        sticks: &[u64],
        turn: u64,
        effort: &mut Effort,
    ) -> Option<JoinedPlan> {
        let mut of_stock = vec![0; order.whole.stocks.len()];
        let mut parts = 0;
        for ((&stock, kind), &n) in self.stocks.iter().zip(&self.job.kinds).zip(sticks) {
            if let Some(stock) = stock {
                of_stock[stock] += n;
            }
            parts += if kind.wet { n } else { 0 };
        }
        let mut many: Vec<Vec<u64>> =
            few.iter().zip(order.long).map(|(few, l)| vec![*few; l.count as usize]).collect();
        let mut more = parts.checked_sub(many.iter().flatten().sum())?;
        // Parts beyond the fewest go to any pieces that can be parted so often.
        let mut takes: Vec<(usize, usize)> = many
            .iter()
            .enumerate()
            .flat_map(|(long, list)| (0..list.len()).map(move |copy| (long, copy)))
            .collect();
        let mut dice = Dice::new(turn);
        while more > 0 && !takes.is_empty() {
            let at = dice.below(takes.len());
            let (long, copy) = takes[at];
            let parts = many[long][copy] + 1;
            if parts.checked_mul(order.shortest.max(1))? > order.long[long].length {
                takes.swap_remove(at);
                continue;
            }
            many[long][copy] = parts;
            more -= 1;
        }
        if more > 0 {
            return None;
        }
        fit(order, &many, &of_stock, turn, effort)
    }
}
