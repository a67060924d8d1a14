//! Cuts: the pieces of one tube as the cut planner wants them, and its plan as the order shows it.
//!
//! Lengths are counted in one unit: inches for coils, each piece to the inch above; nanometres for sticks, exact.
//! Pieces longer than the longest length offered are split here. What a plan costs is none of its business.

use std::collections::BTreeMap;

use super::NotPriced;
use super::lot::Lot;
use crate::estimate::cutting::{CutPlan, Demand};
use crate::estimate::network::RunId;
use crate::estimate::order::Cutting;
use crate::estimate::takeoff::Piece;
use crate::ground::Length;

/// Pieces to cut, the longest first.
pub(super) struct Cuts {
    /// Nanometres in one unit.
    pub(super) unit: i64,
    /// What the planner is asked for.
    pub(super) demands: Vec<Demand>,
    /// By demand: the runs its pieces belong to, and how many of each; spare length belongs to none.
    runs: Vec<Vec<(Option<RunId>, u64)>>,
    /// Couplings that splitting makes.
    pub(super) couplings: i64,
}

/// Spare length that no run asks for.
pub(super) struct Spare {
    /// Points that are added to each piece.
    pub(super) each: rust_decimal::Decimal,
    /// What is cut beside the pieces.
    pub(super) at_end: Length,
}

/// The pieces of a tube where `longest` is the longest length offered, and `reach` the longest there is (a length on
/// the shelf may be longer).
pub(super) fn cuts(
    pieces: &[&Piece],
    spare: &Spare,
    longest: Length,
    reach: Length,
    unit: i64,
) -> Result<Cuts, NotPriced> {
    let whole = longest.nanometres() / unit;
    if whole <= 0 {
        return Err(NotPriced::TooLarge);
    }
    let mut by_length: BTreeMap<i64, Vec<(Option<RunId>, u64)>> = BTreeMap::new();
    let mut couplings = 0_i64;
    for piece in pieces {
        let length = lengthened(piece.length, spare).ok_or(NotPriced::TooLarge)?;
        let units = up(length, unit);
        let copies = u64::from(piece.copies);
        if piece.no_joint && units > whole {
            if units > reach.nanometres() / unit {
                return Err(NotPriced::PieceTooLong(piece.length));
            }
            by_length.entry(units).or_default().push((Some(piece.run), copies));
            continue;
        }
        let parts = split(units, whole, &mut by_length, Some(piece.run), copies);
        let joined = parts.saturating_sub(1).checked_mul(i64::from(piece.copies));
        couplings = joined.and_then(|joined| couplings.checked_add(joined)).ok_or(NotPriced::TooLarge)?;
    }
    if spare.at_end > Length::ZERO {
        split(up(spare.at_end, unit), whole, &mut by_length, None, 1);
    }
    let (mut demands, mut runs) = (Vec::new(), Vec::new());
    for (units, members) in by_length.into_iter().rev() {
        let count = members.iter().try_fold(0_u64, |sum, (_, count)| sum.checked_add(*count));
        let length = u64::try_from(units).unwrap_or(0);
        demands.push(Demand { length, count: count.ok_or(NotPriced::TooLarge)? });
        runs.push(members);
    }
    Ok(Cuts { unit, demands, runs, couplings })
}

/// Couplings that the takeoff has for the same pieces, where the system says how long its lengths are.
pub(super) fn couplings_of_takeoff(pieces: &[&Piece], stock: Option<Length>) -> i64 {
    let Some(stock) = stock.filter(|stock| *stock > Length::ZERO) else { return 0 };
    let couplings = pieces.iter().filter(|piece| !piece.no_joint).map(|piece| {
        let parts = up(piece.length, stock.nanometres());
        parts.saturating_sub(1).saturating_mul(i64::from(piece.copies))
    });
    couplings.fold(0, i64::saturating_add)
}

/// Splits a length into whole ones and a rest; how many parts that makes.
fn split(
    units: i64,
    whole: i64,
    by_length: &mut BTreeMap<i64, Vec<(Option<RunId>, u64)>>,
    run: Option<RunId>,
    copies: u64,
) -> i64 {
    let (wholes, rest) = (units / whole, units % whole);
    if wholes > 0 {
        let count = copies.saturating_mul(wholes.unsigned_abs());
        by_length.entry(whole).or_default().push((run, count));
    }
    if rest > 0 {
        by_length.entry(rest).or_default().push((run, copies));
    }
    wholes + i64::from(rest > 0)
}

fn lengthened(length: Length, spare: &Spare) -> Option<Length> {
    if spare.each.is_zero() {
        return Some(length);
    }
    use rust_decimal::prelude::ToPrimitive;
    let more = super::price::with_percent(length.nanometres().into(), spare.each)?;
    crate::ground::money::round_up(more).to_i64().map(Length::from_nanometres)
}

/// A length in whole units, rounded up.
fn up(length: Length, unit: i64) -> i64 {
    let (whole, rest) = (length.nanometres() / unit, length.nanometres() % unit);
    whole + i64::from(rest > 0)
}

/// A plan as the order shows it, coil by coil, stick by stick. Stocks of the plan are first the lots, then lengths on
/// the shelf.
pub(super) fn cuttings(cuts: &Cuts, plan: &CutPlan, lots: &[&Lot], lengths: &[Length]) -> Vec<Cutting> {
    let mut left = cuts.runs.clone();
    for runs in &mut left {
        // Taken from the back, so that the first runs are cut first.
        runs.reverse();
    }
    let mut cuttings = Vec::new();
    for layout in &plan.layouts {
        let length = lengths.get(layout.stock).copied().unwrap_or_default();
        let mut used = 0_i64;
        let mut pieces = Vec::new();
        for (demand, number) in &layout.pieces {
            let units = i64::try_from(cuts.demands[*demand].length).unwrap_or(i64::MAX);
            let piece = units.saturating_mul(cuts.unit);
            used = used.saturating_add(piece.saturating_mul(i64::try_from(*number).unwrap_or(i64::MAX)));
            let runs = take(&mut left[*demand], number.saturating_mul(layout.times));
            pieces.push((Length::from_nanometres(piece), *number, runs));
        }
        cuttings.push(Cutting {
            offer: lots.get(layout.stock).map(|lot| lot.offer),
            times: layout.times,
            length,
            pieces,
            left: Length::from_nanometres(length.nanometres().saturating_sub(used).max(0)),
        });
    }
    cuttings
}

/// Takes so many pieces; the runs they belong to.
fn take(left: &mut Vec<(Option<RunId>, u64)>, mut number: u64) -> Vec<RunId> {
    let mut runs = Vec::new();
    while number > 0
        && let Some((run, count)) = left.last_mut()
    {
        let taken = number.min(*count);
        (number, *count) = (number - taken, *count - taken);
        if let Some(run) = *run
            && runs.last() != Some(&run)
        {
            runs.push(run);
        }
        if *count == 0 {
            left.pop();
        }
    }
    runs
}
