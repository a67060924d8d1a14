//! Cuts: the pieces of one tube as the cut planner wants them, and its plan as the order shows it.
//!
//! All lengths are nanometres, as they are cut: shorter than center to center where take-outs say so; pieces for coils are
//! cut to the inch above. Pieces longer than the longest length offered
//! are joined from parts; the planner chooses where. What a plan costs is none of its business.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::estimate::buying::ask::NotPriced;
use crate::estimate::buying::lot::Lot;
use crate::estimate::buying::price;
use crate::estimate::order::{CutFor, CutPiece, Cutting, Joined};
use crate::estimate::takeoff::Piece;
use crate::estimate::{CutLength, RunId};
use crate::ground::Length;
use crate::search::cutting::{Demand, Layout, Parting};

/// The runs that equal pieces belong to with how each is cut, and how many of each; spare length belongs to none.
type Runs = Vec<(Option<(RunId, CutLength)>, u64)>;
/// The same by the length of the pieces.
type ByLength = BTreeMap<i64, Runs>;

/// Pieces to cut, the longest first.
pub(super) struct Cuts {
    /// Pieces that stay whole.
    pub(super) demands: Vec<Demand>,
    /// By demand: the runs its pieces belong to.
    runs: Vec<Runs>,
    /// Pieces that are joined from parts.
    pub(super) long: Vec<Demand>,
    /// The same of those.
    long_runs: Vec<Runs>,
}

/// Spare length that no run asks for.
pub(super) struct Spare {
    /// Points that are added to each piece.
    pub(super) each: Decimal,
    /// What is cut beside the pieces.
    pub(super) at_end: Length,
}

/// The pieces of a tube where `longest` is the longest length offered, and `reach` the longest there is (a length on
/// the shelf may be longer). They are cut to the next whole `grid` above, but where only that makes one too long.
pub(super) fn cuts(
    pieces: &[Piece],
    spare: &Spare,
    longest: Length,
    reach: Length,
    grid: i64,
) -> Result<Cuts, NotPriced> {
    let (longest, reach) = (longest.nanometres(), reach.nanometres());
    if longest <= 0 || grid <= 0 {
        return Err(NotPriced::TooLarge);
    }
    let on_grid = |length: i64| match length.div_euclid(grid) + i64::from(length.rem_euclid(grid) > 0) {
        up if length <= longest && up.saturating_mul(grid) > longest => length,
        up => up.saturating_mul(grid),
    };
    let (mut whole, mut long, mut spares): (ByLength, ByLength, ByLength) = Default::default();
    for piece in pieces {
        let length = on_grid(lengthened(piece.to_cut(), spare).ok_or(NotPriced::TooLarge)?.nanometres());
        if piece.no_joint && length > reach {
            return Err(NotPriced::PieceTooLong(piece.to_cut()));
        }
        let list = if length <= longest || piece.no_joint { &mut whole } else { &mut long };
        list.entry(length).or_default().push((Some((piece.run, piece.cut)), u64::from(piece.copies)));
    }
    // Spare length is any length: it is cut as whole lengths and a rest, and nothing joins them.
    let at_end = on_grid(spare.at_end.nanometres().max(0));
    if at_end >= longest {
        let number = (at_end / longest).unsigned_abs();
        spares.entry(longest).or_default().push((None, number));
    }
    if at_end % longest > 0 {
        spares.entry(at_end % longest).or_default().push((None, 1));
    }
    let (mut demands, mut runs) = self::demands(whole)?;
    let (more, of_none) = self::demands(spares)?;
    demands.extend(more);
    runs.extend(of_none);
    let (long, long_runs) = self::demands(long)?;
    Ok(Cuts { demands, runs, long, long_runs })
}

fn demands(by_length: ByLength) -> Result<(Vec<Demand>, Vec<Runs>), NotPriced> {
    let (mut demands, mut runs) = (Vec::new(), Vec::new());
    for (length, members) in by_length.into_iter().rev() {
        let count = members.iter().try_fold(0_u64, |sum, (_, count)| sum.checked_add(*count));
        let length = u64::try_from(length).unwrap_or(0);
        demands.push(Demand { length, count: count.ok_or(NotPriced::TooLarge)? });
        runs.push(members);
    }
    Ok((demands, runs))
}

/// Couplings that the takeoff has for the same pieces, where the system says how long its lengths are.
pub(super) fn couplings_of_takeoff(pieces: &[Piece], stock: Option<Length>) -> i64 {
    let Some(stock) = stock.filter(|stock| *stock > Length::ZERO) else { return 0 };
    let couplings = pieces.iter().filter(|piece| !piece.no_joint).map(|piece| {
        let (whole, rest) =
            (piece.length.nanometres() / stock.nanometres(), piece.length.nanometres() % stock.nanometres());
        let parts = whole + i64::from(rest > 0);
        parts.saturating_sub(1).saturating_mul(i64::from(piece.copies))
    });
    couplings.fold(0, i64::saturating_add)
}

fn lengthened(length: Length, spare: &Spare) -> Option<Length> {
    if spare.each.is_zero() {
        return Some(length);
    }
    use rust_decimal::prelude::ToPrimitive;
    let more = price::with_percent(length.nanometres().into(), spare.each)?;
    crate::ground::money::round_up(more).to_i64().map(Length::from_nanometres)
}

/// Sticks of one layout that are told apart by the runs of their pieces; more are shown as so many alike.
const TOLD_APART: u64 = 2_000;

/// A plan as the order shows it, coil by coil, stick by stick, and the pieces that are joined. Stocks of the plan are
/// first the lots, then lengths on the shelf; its demands first the whole pieces, then the parts.
pub(super) fn cuttings(
    cuts: &Cuts,
    layouts: &[Layout],
    (parts, partings): (&[Demand], &[Parting]),
    lots: &[Lot],
    lengths: &[Length],
) -> (Vec<Cutting>, Vec<Joined>) {
    let mut left = cuts.runs.clone();
    let (joined, parts_left) = joined(cuts, parts, partings);
    left.extend(parts_left);
    for runs in &mut left {
        // Taken from the back, so that the first runs are cut first.
        runs.reverse();
    }
    let length_of = |demand: usize| match cuts.demands.get(demand) {
        Some(whole) => whole.length,
        None => parts.get(demand - cuts.demands.len()).map_or(0, |part| part.length),
    };
    let mut cuttings: Vec<Cutting> = Vec::new();
    for layout in layouts {
        let (sticks, alike) = match layout.times {
            times @ ..=TOLD_APART => (times, 1),
            times => (1, times),
        };
        for _ in 0..sticks {
            let pieces = layout.pieces.iter().map(|(demand, number)| CutPiece {
                length: length(length_of(*demand)),
                number: *number,
                runs: by_run(&take(&mut left[*demand], number.saturating_mul(alike))),
                joined: *demand >= cuts.demands.len(),
            });
            let cutting = Cutting {
                offer: lots.get(layout.stock).map(|lot| lot.offer),
                times: alike,
                length: lengths.get(layout.stock).copied().unwrap_or_default(),
                pieces: pieces.collect(),
                left: length(layout.left_over),
            };
            match cuttings.last_mut() {
                Some(last)
                    if (&last.pieces, last.offer, last.length)
                        == (&cutting.pieces, cutting.offer, cutting.length) =>
                {
                    last.times += cutting.times;
                }
                Some(_) | None => cuttings.push(cutting),
            }
        }
    }
    (cuttings, joined)
}

/// The pieces that are joined, run by run, and the runs that their parts belong to.
fn joined(cuts: &Cuts, parts: &[Demand], partings: &[Parting]) -> (Vec<Joined>, Vec<Runs>) {
    let mut left = cuts.long_runs.clone();
    left.iter_mut().for_each(|runs| runs.reverse());
    let mut of_parts: Vec<Runs> = vec![Vec::new(); parts.len()];
    let mut joined = Vec::new();
    for parting in partings {
        for (run, copies) in take(&mut left[parting.long], parting.times) {
            for (part, number) in &parting.parts {
                of_parts[*part].push((run, number.saturating_mul(copies)));
            }
            joined.extend(run.map(|(run, cut)| Joined {
                run,
                cut,
                copies,
                length: length(cuts.long[parting.long].length),
                parts: parting.parts.iter().map(|(part, n)| (length(parts[*part].length), *n)).collect(),
            }));
        }
    }
    (joined, of_parts)
}

/// Takes so many pieces; the runs they belong to, each with how many of them.
fn take(left: &mut Runs, mut number: u64) -> Runs {
    let mut taken = Runs::new();
    while number > 0
        && let Some((run, count)) = left.last_mut()
    {
        let here = number.min(*count);
        (number, *count) = (number - here, *count - here);
        taken.push((*run, here));
        if *count == 0 {
            left.pop();
        }
    }
    taken
}

/// Runs one after the other, each with all its pieces that are cut alike; spare length is of none.
fn by_run(taken: &Runs) -> Vec<CutFor> {
    let same = taken.chunk_by(|a, b| a.0 == b.0);
    let of = |same: &[(Option<(RunId, CutLength)>, u64)]| {
        let (run, cut) = same.first()?.0?;
        let number = same.iter().fold(0, |sum: u64, one| sum.saturating_add(one.1));
        Some(CutFor { run, number, cut })
    };
    same.filter_map(of).collect()
}

/// How much less than center to center pieces are together: what their fittings take out.
pub(super) fn taken_out(pieces: &[Piece]) -> Length {
    let taken = |piece: &Piece| {
        let each = piece.length.nanometres() - piece.to_cut().nanometres();
        each.saturating_mul(i64::from(piece.copies))
    };
    Length::from_nanometres(pieces.iter().map(taken).fold(0, i64::saturating_add))
}

/// The search's units as a length.
pub(super) fn length(units: u64) -> Length {
    Length::from_nanometres(i64::try_from(units).unwrap_or(i64::MAX))
}
