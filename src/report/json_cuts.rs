//! The cut plans of `estimate.json`: what each coil and stick is cut into, pieces that are joined, offcuts worth keeping.
//! Called by [`super::json_out`] alone.

use serde::Serialize;

use super::wording::Wording;
use crate::estimate::order::{Cutting, Joined, TubePlan};
use crate::ground::Length;
use crate::ground::money::{cents, price, quantity};

/// How one tube is cut.
#[derive(Serialize)]
pub(super) struct PlanOut<'a> {
    item: u32,
    cost: String,
    bound: String,
    proven_least: bool,
    /// `given` where all pieces stay whole, `parted` where the bound is for every way to part long pieces.
    bound_for: &'static str,
    kerf: String,
    joints: i64,
    per_joint: String,
    extra_couplings: i64,
    cuttings: Vec<CuttingOut<'a>>,
    joined: Vec<JoinedOut<'a>>,
}

#[derive(Serialize)]
struct JoinedOut<'a> {
    run: &'a str,
    copies: u64,
    length: String,
    parts: Vec<PartOut>,
}

#[derive(Serialize)]
struct PartOut {
    length: String,
    count: u64,
}

#[derive(Serialize)]
struct CuttingOut<'a> {
    sold_as: String,
    times: u64,
    length: String,
    left: String,
    worth_keeping: bool,
    pieces: Vec<PieceOut<'a>>,
}

#[derive(Serialize)]
struct PieceOut<'a> {
    length: String,
    count: u64,
    part_of_longer: bool,
    /// The runs they are for, each with how many of them.
    runs: Vec<(&'a str, u64)>,
}

/// A cut plan in words.
pub(super) fn plan_out<'a>(words: &Wording<'a>, plan: &TubePlan) -> PlanOut<'a> {
    PlanOut {
        item: plan.item.0,
        cost: cents(plan.cost),
        bound: cents(plan.bound),
        proven_least: plan.is_least(),
        bound_for: if plan.joined.is_empty() { "given" } else { "parted" },
        kerf: quantity(words.shown(plan.kerf)),
        joints: plan.joints,
        per_joint: price(plan.per_joint),
        extra_couplings: plan.extra_couplings,
        cuttings: plan.cuttings.iter().map(|cutting| cutting_out(words, cutting)).collect(),
        joined: plan.joined.iter().map(|joined| joined_out(words, joined)).collect(),
    }
}

fn joined_out<'a>(words: &Wording<'a>, joined: &Joined) -> JoinedOut<'a> {
    let part =
        |(length, count): &(Length, u64)| PartOut { length: quantity(words.shown(*length)), count: *count };
    JoinedOut {
        run: words.run_name(joined.run),
        copies: joined.copies,
        length: quantity(words.shown(joined.length)),
        parts: joined.parts.iter().map(part).collect(),
    }
}

fn cutting_out<'a>(words: &Wording<'a>, cutting: &Cutting) -> CuttingOut<'a> {
    CuttingOut {
        sold_as: words.cut_from(cutting).0,
        times: cutting.times,
        length: quantity(words.shown(cutting.length)),
        left: quantity(words.shown(cutting.left)),
        worth_keeping: words.is_worth_keeping(cutting),
        pieces: cutting
            .pieces
            .iter()
            .map(|piece| PieceOut {
                length: quantity(words.shown(piece.length)),
                count: piece.number,
                part_of_longer: piece.joined,
                runs: piece.runs.iter().map(|(run, pieces)| (words.run_name(*run), *pieces)).collect(),
            })
            .collect(),
    }
}
