//! What is said of cut plans, each thing once: coil by coil and stick by stick the pieces to cut, for which run, how long as
//! they are cut, what stands on their ends, and what nobody said. The file, the sheet and the paper for the bench show it.

use std::collections::HashMap;

use super::wording::{Wording, plain, tape};
use crate::estimate::alternative::Alternative;
use crate::estimate::order::{CutPiece, Cutting, TubePlan};
use crate::estimate::{CutLength, PieceEnd, RunId};
use crate::ground::money::round_half_away;
use crate::ground::{Length, LengthUnit};
use crate::trade::Way;

/// What is said of lengths center to center.
pub(in crate::report) const TAKE_OFF: &str = "center to center: take off for the fittings when you cut";

/// How the length of a piece is measured.
pub(in crate::report) fn basis(cut: &CutLength) -> &'static str {
    if cut.as_cut.is_some() { "as cut" } else { "center to center" }
}

/// Coils or sticks of one tube that are cut alike.
pub(in crate::report) struct Bar<'a> {
    pub(in crate::report) cutting: &'a Cutting,
    /// The place of the cutting in its plan, from 1.
    pub(in crate::report) number: u64,
    /// The first and the last of the coils or sticks, of all of the plan from 1.
    pub(in crate::report) bars: (u64, u64),
    /// What is cut of them, in order.
    pub(in crate::report) pieces: Vec<ToCut<'a>>,
}

/// Equal pieces of coils or sticks that are cut alike, for one run; or what is spare.
pub(in crate::report) struct ToCut<'a> {
    pub(in crate::report) piece: &'a CutPiece,
    /// The run; nothing where it is spare.
    pub(in crate::report) run: Option<RunId>,
    /// How many, of all of these coils or sticks.
    pub(in crate::report) pieces: u64,
    /// What to write on them: the run, and which of its pieces: `K2, 1 to 3 of 4`. Empty where it is spare.
    pub(in crate::report) label: String,
    /// How they are cut; nothing where it is spare.
    pub(in crate::report) cut: Option<&'a CutLength>,
}

impl ToCut<'_> {
    /// The length of each as it is cut; nothing where it is center to center, or spare. A part of a longer piece is as long
    /// as the plan says.
    pub(in crate::report) fn as_cut(&self) -> Option<Length> {
        let as_cut = self.cut?.as_cut?;
        Some(if self.piece.joined { self.piece.length } else { as_cut })
    }

    /// How its length is measured; empty where it is spare.
    pub(in crate::report) fn basis(&self) -> &'static str {
        self.cut.map_or("", basis)
    }

    /// What stands on one end of it and what that takes out; nothing is said of parts, which end against each other.
    pub(in crate::report) fn end(&self, at: usize) -> Option<&PieceEnd> {
        self.cut.filter(|_| !self.piece.joined).and_then(|cut| cut.ends.get(at))
    }

    /// Whether nobody said where the fittings of its run stand: it is measured where it goes, before it is cut.
    pub(in crate::report) fn is_unplaced(&self) -> bool {
        self.cut.is_some_and(|cut| cut.is_unplaced)
    }
}

/// What a plan cuts, bar by bar: all that a paper for the bench needs.
pub(in crate::report) fn bars<'a>(words: &Wording<'a>, plan: &'a TubePlan) -> Vec<Bar<'a>> {
    let mut of_run: HashMap<RunId, (u64, u64)> = HashMap::new();
    for cutting in &plan.cuttings {
        for (run, pieces, _) in cutting.pieces.iter().flat_map(|piece| shares(cutting, piece)) {
            if let Some(run) = run {
                of_run.entry(run).or_default().1 += pieces;
            }
        }
    }
    let mut first = 1_u64;
    let mut bars = Vec::new();
    for (number, cutting) in (1_u64..).zip(&plan.cuttings) {
        let last = first.saturating_add(cutting.times.saturating_sub(1));
        let to_cut = |piece: &'a CutPiece| {
            let shares = shares(cutting, piece).into_iter();
            shares.map(move |(run, pieces, cut)| (piece, run, pieces, cut))
        };
        let pieces = cutting.pieces.iter().flat_map(to_cut).map(|(piece, run, pieces, cut)| {
            let label = run.map_or_else(String::new, |run| {
                let (done, all) = of_run.entry(run).or_default();
                let from = *done + 1;
                *done += pieces;
                which_of(words.run_name(run), (from, *done), *all)
            });
            ToCut { piece, run, pieces, label, cut }
        });
        let pieces = pieces.collect();
        bars.push(Bar { cutting, number, bars: (first, last), pieces });
        first = last.saturating_add(1);
    }
    bars
}

/// Some of the pieces of a run.
fn which_of(run: &str, (from, to): (u64, u64), all: u64) -> String {
    match (from == to, all) {
        (_, 0 | 1) => run.to_owned(),
        (true, all) => format!("{run}, {from} of {all}"),
        (false, all) => format!("{run}, {from} to {to} of {all}"),
    }
}

/// The runs that pieces of all coils or sticks cut alike are for, each with how many; what is spare last, for nobody.
fn shares<'a>(cutting: &Cutting, piece: &'a CutPiece) -> Vec<(Option<RunId>, u64, Option<&'a CutLength>)> {
    let all = piece.number.saturating_mul(cutting.times);
    let named: u64 = piece.runs.iter().map(|of| of.number).sum();
    // Of coils that came out alike one by one the runs are those of each; of many that were never told apart, of all.
    let times = if named <= piece.number { cutting.times } else { 1 };
    let of_run = piece.runs.iter().map(|of| (Some(of.run), of.number.saturating_mul(times), Some(&of.cut)));
    let mut shares: Vec<_> = of_run.collect();
    let spare = all.saturating_sub(named.saturating_mul(times));
    shares.extend((spare > 0).then_some((None, spare, None)));
    shares
}

impl Wording<'_> {
    /// What an end of a piece stands in, in words: `tee 3/4 x 3/4 x 1/2, branch`; empty where nothing is known of it.
    pub(in crate::report) fn piece_end(&self, end: &PieceEnd) -> String {
        let Some(opening) = end.opening() else {
            return if *end == PieceEnd::NoFitting { "no fitting".to_owned() } else { String::new() };
        };
        let part = self.job.catalog.part(opening.part);
        let sizes = self.size_list(opening.fitting.as_slice());
        let branch = if opening.way == Way::Branch { ", branch" } else { "" };
        format!("{} {sizes}{branch}", part.name).trim_end().to_owned()
    }

    /// What an end takes out.
    pub(in crate::report) fn take_out(&self, end: &PieceEnd) -> Option<Length> {
        end.take_out(&self.job.catalog)
    }

    /// Whether any take-outs are known.
    pub(in crate::report) fn takes_out(&self) -> bool {
        !self.job.catalog.take_outs.is_empty()
    }

    /// A length as it is measured: feet and inches to the sixteenth, or whole millimeters.
    pub(in crate::report) fn on_tape(&self, length: Length) -> String {
        match self.length_unit() {
            LengthUnit::Foot | LengthUnit::Inch => tape(length),
            LengthUnit::Metre | LengthUnit::Centimetre | LengthUnit::Millimetre => {
                plain(round_half_away(length.shown(LengthUnit::Millimetre), 0))
            }
        }
    }
}

/// How the lengths of all cut plans of some alternatives are measured, in words; nothing where no tube is cut.
pub(crate) fn measured<'a>(alternatives: impl IntoIterator<Item = &'a Alternative>) -> Option<&'static str> {
    let plans = alternatives.into_iter().flat_map(|of| &of.plans);
    let (mut as_cut, mut center_to_center) = (false, false);
    for piece in plans.flat_map(|plan| &plan.cuttings).flat_map(|cutting| &cutting.pieces) {
        for of in &piece.runs {
            as_cut |= of.cut.as_cut.is_some();
            center_to_center |= of.cut.as_cut.is_none();
        }
    }
    Some(match (as_cut, center_to_center) {
        (false, false) => return None,
        (false, true) => TAKE_OFF,
        (true, false) => "as cut: less the take-outs of the fittings",
        (true, true) => {
            "as cut, less the take-outs of the fittings, where those of both ends are known, else center to center: \
             take off for them when you cut"
        }
    })
}
