//! The cut plans of `estimate.json`: what each coil and stick is cut into, pieces that are joined, offcuts worth keeping.
//! Called by [`super::json_out`] alone.

use rust_decimal::Decimal;
use serde::Serialize;

use super::json_out::{ItemOut, item_out};
use super::wording::Wording;
use crate::estimate::order::{Cutting, Joined, TubePlan};
use crate::ground::Length;

/// How one tube is cut.
#[derive(Serialize)]
pub(super) struct PlanOut<'a> {
    #[serde(flatten)]
    item: ItemOut<'a>,
    cost: Decimal,
    bound: Decimal,
    proven_least: bool,
    /// `given` where all pieces stay whole, `parted` where the bound is for every way to part long pieces.
    bound_for: &'static str,
    kerf: Decimal,
    joints: i64,
    per_joint: Decimal,
    extra_couplings: i64,
    cuttings: Vec<CuttingOut<'a>>,
    joined: Vec<JoinedOut<'a>>,
}

#[derive(Serialize)]
struct JoinedOut<'a> {
    run: &'a str,
    copies: u64,
    length: Decimal,
    parts: Vec<PartOut>,
}

#[derive(Serialize)]
struct PartOut {
    length: Decimal,
    count: u64,
}

#[derive(Serialize)]
struct CuttingOut<'a> {
    sold_as: String,
    times: u64,
    length: Decimal,
    left: Decimal,
    worth_keeping: bool,
    pieces: Vec<PieceOut<'a>>,
}

#[derive(Serialize)]
struct PieceOut<'a> {
    length: Decimal,
    count: u64,
    part_of_longer: bool,
    runs: Vec<&'a str>,
}

/// A cut plan in words.
pub(super) fn plan_out<'a>(words: &Wording<'a>, plan: &TubePlan) -> PlanOut<'a> {
    PlanOut {
        item: item_out(words, plan.item),
        cost: plan.cost,
        bound: plan.bound,
        proven_least: plan.is_least(),
        bound_for: if plan.joined.is_empty() { "given" } else { "parted" },
        kerf: words.shown(plan.kerf).normalize(),
        joints: plan.joints,
        per_joint: plan.per_joint,
        extra_couplings: plan.extra_couplings,
        cuttings: plan.cuttings.iter().map(|cutting| cutting_out(words, cutting)).collect(),
        joined: plan.joined.iter().map(|joined| joined_out(words, joined)).collect(),
    }
}

fn joined_out<'a>(words: &Wording<'a>, joined: &Joined) -> JoinedOut<'a> {
    let part =
        |(length, count): &(Length, u64)| PartOut { length: words.shown(*length).normalize(), count: *count };
    JoinedOut {
        run: words.run_name(joined.run),
        copies: joined.copies,
        length: words.shown(joined.length).normalize(),
        parts: joined.parts.iter().map(part).collect(),
    }
}

fn cutting_out<'a>(words: &Wording<'a>, cutting: &Cutting) -> CuttingOut<'a> {
    CuttingOut {
        sold_as: words.cut_from(cutting).0,
        times: cutting.times,
        length: words.shown(cutting.length).normalize(),
        left: words.shown(cutting.left).normalize(),
        worth_keeping: words.is_worth_keeping(cutting),
        pieces: cutting
            .pieces
            .iter()
            .map(|piece| PieceOut {
                length: words.shown(piece.length).normalize(),
                count: piece.number,
                part_of_longer: piece.joined,
                runs: piece.runs.iter().map(|run| words.run_name(*run)).collect(),
            })
            .collect(),
    }
}
