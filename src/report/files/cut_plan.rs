//! `cut-plan.csv`: in every alternative a row for each run that a coil or stick gives pieces of one length, in the order
//! to cut; and the cut plans of `estimate.json`.

use crate::estimate::item::ItemId;
use crate::estimate::order::{CutPiece, Cutting, TubePlan};
use crate::report::facts::Wording;
use crate::report::form::{Column, Object, OfItem, Value, csv, in_csv, of_item, whole};

/// Pieces of one length for one run, of all coils or sticks cut alike.
pub(super) struct Row<'a> {
    alternative: usize,
    item: ItemId,
    /// The place of the coil or stick in its plan, from 1.
    number: u64,
    cutting: &'a Cutting,
    piece: &'a CutPiece,
    run: &'a str,
    pieces: u64,
}

impl OfItem for Row<'_> {
    fn of(&self) -> (usize, ItemId) {
        (self.alternative, self.item)
    }
}

pub(super) fn columns<'a>() -> [Column<Row<'a>>; 16] {
    [
        of_item::alternative(),
        of_item::part(),
        of_item::system(),
        of_item::size(),
        of_item::variant(),
        in_csv("plan", "coils or sticks that are cut alike have one number", |_, row| whole(row.number)),
        in_csv("times", "how many coils or sticks are cut alike", |_, row| whole(row.cutting.times)),
        in_csv("sold as", "what it is cut from", |w, row| w.cut_from(row.cutting).0.into()),
        in_csv("length (unit)", "its length", |w, row| Value::Quantity(w.shown(row.cutting.length))),
        in_csv("piece (unit)", "the length of a piece", |w, row| Value::Quantity(w.shown(row.piece.length))),
        in_csv("pieces", "how many, of all coils or sticks cut alike", |_, row| whole(row.pieces)),
        in_csv("run", "the run they are for; empty: spare", |_, row| row.run.into()),
        in_csv("part of a longer piece", "whether they are joined to a longer one", |_, row| {
            row.piece.joined.into()
        }),
        in_csv("left (unit)", "what is left of it", |w, row| Value::Quantity(w.shown(row.cutting.left))),
        in_csv("worth keeping", "as long as the job says is worth keeping", |w, row| {
            w.is_worth_keeping(row.cutting).into()
        }),
        of_item::estimate(),
    ]
}

/// The bytes of the file.
pub(super) fn write(words: &Wording<'_>) -> Vec<u8> {
    let mut rows = Vec::new();
    for (alternative, of) in words.estimate.alternatives.iter().enumerate() {
        for plan in &of.plans {
            for (number, cutting) in (1_u64..).zip(&plan.cuttings) {
                for piece in &cutting.pieces {
                    let of_run = |(run, pieces)| Row {
                        alternative,
                        item: plan.item,
                        number,
                        cutting,
                        piece,
                        run,
                        pieces,
                    };
                    rows.extend(shares(words, cutting, piece).into_iter().map(of_run));
                }
            }
        }
    }
    csv::table(words, &columns(), rows)
}

/// The runs that pieces of all coils or sticks cut alike are for, each with how many; what is spare last, for nobody.
fn shares<'a>(words: &Wording<'a>, cutting: &Cutting, piece: &CutPiece) -> Vec<(&'a str, u64)> {
    let all = piece.number.saturating_mul(cutting.times);
    let named: u64 = piece.runs.iter().map(|(_, pieces)| *pieces).sum();
    // Of coils that came out alike one by one the runs are those of each; of many that were never told apart, of all.
    let times = if named <= piece.number { cutting.times } else { 1 };
    let mut shares: Vec<(&str, u64)> =
        piece.runs.iter().map(|(run, pieces)| (words.run_name(*run), pieces.saturating_mul(times))).collect();
    let spare = all.saturating_sub(named.saturating_mul(times));
    shares.extend((spare > 0).then_some(("", spare)));
    shares
}

/// The cut plans of an alternative in `estimate.json`: what each coil and stick is cut into, pieces that are joined.
pub(super) fn put(out: &mut Object<'_>, words: &Wording<'_>, plans: &[TubePlan]) {
    let length = |length| Value::Quantity(words.shown(length));
    out.each("cut_plans", plans, |out, plan| {
        out.put("item", whole(plan.item.0));
        out.put("cost", Value::Cents(plan.cost));
        out.put("bound", Value::Cents(plan.bound));
        out.put("proven_least", plan.is_least());
        // Where all pieces stay whole the bound is for them as given, else for every way to part long ones.
        out.put("bound_for", if plan.joined.is_empty() { "given" } else { "parted" });
        out.put("kerf", length(plan.kerf));
        out.put("joints", whole(plan.joints));
        out.put("per_joint", Value::Price(plan.per_joint));
        out.put("extra_couplings", whole(plan.extra_couplings));
        out.each("cuttings", &plan.cuttings, |out, cutting| {
            out.put("sold_as", words.cut_from(cutting).0);
            out.put("times", whole(cutting.times));
            out.put("length", length(cutting.length));
            out.put("left", length(cutting.left));
            out.put("worth_keeping", words.is_worth_keeping(cutting));
            out.each("pieces", &cutting.pieces, |out, piece| {
                out.put("length", length(piece.length));
                out.put("count", whole(piece.number));
                out.put("part_of_longer", piece.joined);
                // The runs they are for, each with how many of them.
                let of_run = |(run, pieces): &(_, u64)| vec![words.run_name(*run).into(), whole(*pieces)];
                out.lists("runs", piece.runs.iter().map(of_run));
            });
        });
        out.each("joined", &plan.joined, |out, joined| {
            out.put("run", words.run_name(joined.run));
            out.put("copies", whole(joined.copies));
            out.put("length", length(joined.length));
            out.each("parts", &joined.parts, |out, (part, count)| {
                out.put("length", length(*part));
                out.put("count", whole(*count));
            });
        });
    });
}
