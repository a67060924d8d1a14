//! Where copper and plastic tie: the one percentage on every offer of copper tube, choices held, at which the two cost
//! the same installed. Every price is reckoned anew at each percentage that is tried, rounding and all; nothing is taken
//! to be in proportion. One public verb: [`tie`].

use rust_decimal::Decimal;

use super::buying::{Market, repriced};
use super::installed::on_top;
use super::{Alternative, Installed, Items};
use crate::trade::{Job, Word};

/// The tube that the percentage is on, where one of the two is of it.
const COPPER: &str = "copper";

/// Hundredths of a point that are tried: from tube for nothing to eleven times its price.
const TRIED: std::ops::RangeInclusive<i64> = -10_000..=100_000;

/// Whether and where two alternatives cost the same installed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tie {
    /// The alternative whose tube the percentage is on, by its index.
    pub on: usize,
    /// The other.
    pub against: usize,
    /// The tube.
    pub tube: Word,
    /// Where they tie; nothing where no price of the tube makes them, were it for nothing or eleven times as dear.
    pub at: Option<TiedAt>,
}

/// Where two alternatives tie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TiedAt {
    /// The percentage, to 0.01: above zero the tube may cost more, below it must cost less.
    pub points: Decimal,
    /// What the alternative of that tube comes to at that percentage...
    pub total: Decimal,
    /// ...and what the other does, which may have runs of that tube too.
    pub other: Decimal,
}

/// Finds where the cheapest in copper and the cheapest in another tube tie; without copper, the cheapest of all and the
/// cheapest in another tube. `ranked` are those that may be
/// ranked, by index, the cheapest first.
pub(crate) fn tie(
    job: &Job,
    items: &Items,
    alternatives: &[Alternative],
    installed: &[Installed],
    ranked: &[usize],
) -> Option<Tie> {
    let tube = |at: usize| job.catalog.system(alternatives[at].system).tube;
    let is_copper = |at: &usize| job.lexicon.find(COPPER).is_some_and(|copper| tube(*at) == copper);
    let copper = ranked.iter().copied().find(is_copper);
    let other = |than: usize| ranked.iter().copied().find(|at| tube(*at) != tube(than));
    let (on, against) = match copper {
        Some(copper) => (copper, other(copper)?),
        None => (other(*ranked.first()?)?, *ranked.first()?),
    };
    let market = Market::open(job);
    let at = |which: usize, hundredths: i64| {
        let factor = Decimal::new(10_000_i64.checked_add(hundredths)?, 4);
        total(&market, job, items, &alternatives[which], tube(on), factor)
    };
    // What is reckoned anew at the price as it is must be what the order says; else nothing is said.
    if at(on, 0)? != installed[on].total || at(against, 0)? != installed[against].total {
        return None;
    }
    let gap = |hundredths: i64| at(on, hundredths)?.checked_sub(at(against, hundredths)?);
    let (mut below, mut above) = (*TRIED.start(), *TRIED.end());
    if gap(below)? >= Decimal::ZERO || gap(above)? < Decimal::ZERO {
        return Some(Tie { on, against, tube: tube(on), at: None });
    }
    while above - below > 1 {
        let middle = below + (above - below) / 2;
        if gap(middle)? < Decimal::ZERO { below = middle } else { above = middle }
    }
    let nearer = if gap(below)?.abs() < gap(above)?.abs() { below } else { above };
    let (total, other) = (at(on, nearer)?, at(against, nearer)?);
    let tied = TiedAt { points: Decimal::new(nearer, 2), total, other };
    Some(Tie { on, against, tube: tube(on), at: Some(tied) })
}

/// What an alternative comes to installed where all offers of a tube are multiplied.
fn total(
    market: &Market<'_>,
    job: &Job,
    items: &Items,
    of: &Alternative,
    tube: Word,
    factor: Decimal,
) -> Option<Decimal> {
    let mut sums = Vec::with_capacity(of.order.len());
    for line in &of.order {
        let item = items.get(line.item);
        let moves = item.is_length()
            && item.system.is_some_and(|system| job.catalog.system(system).tube == tube)
            && factor != Decimal::ONE;
        let mut sum = Decimal::ZERO;
        for pick in &line.picks {
            let extended = if moves { repriced(market, item, pick, factor)? } else { pick.extended };
            sum = sum.checked_add(extended)?;
        }
        sums.push((line.item, sum));
    }
    on_top(job, items, &sums, of.tools.cost, of.labor.cost).map(|(_, total)| total)
}
