//! `cut-plan.csv`: in every alternative a row for each run that a coil or stick gives pieces of one length, in the order
//! to cut; and the cut plans of `estimate.json`.

use crate::estimate::CutLength;
use crate::estimate::item::ItemId;
use crate::estimate::order::TubePlan;
use crate::ground::Length;
use crate::report::facts::Wording;
use crate::report::facts::cuts::{Bar, ToCut, bars, basis};
use crate::report::form::{Column, Object, OfItem, Value, csv, in_csv, of_item, whole};

/// Pieces of one length for one run, of all coils or sticks cut alike.
pub(super) struct Row<'a> {
    alternative: usize,
    item: ItemId,
    bar: &'a Bar<'a>,
    cut: &'a ToCut<'a>,
}

impl OfItem for Row<'_> {
    fn of(&self) -> (usize, ItemId) {
        (self.alternative, self.item)
    }
}

impl Row<'_> {
    /// What an end of the pieces stands in.
    fn stands_in(&self, w: &Wording<'_>, at: usize) -> Value {
        self.cut.end(at).map(|end| w.piece_end(end)).into()
    }

    /// What it takes out.
    fn take_out(&self, w: &Wording<'_>, at: usize) -> Value {
        shown(w, self.cut.end(at).and_then(|end| w.take_out(end)))
    }
}

/// A length, where there is one.
fn shown(w: &Wording<'_>, length: Option<Length>) -> Value {
    length.map_or(Value::Nothing, |length| Value::Quantity(w.shown(length)))
}

pub(super) fn columns<'a>() -> [Column<Row<'a>>; 24] {
    [
        of_item::alternative(),
        of_item::part(),
        of_item::system(),
        of_item::size(),
        of_item::variant(),
        in_csv("plan", "coils or sticks that are cut alike have one number", |_, row| whole(row.bar.number)),
        in_csv("times", "how many coils or sticks are cut alike", |_, row| whole(row.bar.cutting.times)),
        in_csv("sold as", "what it is cut from", |w, row| w.cut_from(row.bar.cutting).0.into()),
        in_csv("length (unit)", "its length", |w, row| Value::Quantity(w.shown(row.bar.cutting.length))),
        in_csv("piece (unit)", "the length of a piece: of a coil to the inch above", |w, row| {
            Value::Quantity(w.shown(row.cut.piece.length))
        }),
        in_csv("pieces", "how many, of all coils or sticks cut alike", |_, row| whole(row.cut.pieces)),
        in_csv("run", "the run they are for; empty: spare", |w, row| {
            row.cut.run.map_or("", |run| w.run_name(run)).into()
        }),
        in_csv("label", "what to write on them: the run, and which of its pieces", |_, row| {
            (&row.cut.label).into()
        }),
        in_csv("part of a longer piece", "whether they are joined to a longer one", |_, row| {
            row.cut.piece.joined.into()
        }),
        in_csv(
            "basis",
            "as cut: less the take-outs of the fittings; center to center: take off for them",
            |_, row| row.cut.basis().into(),
        ),
        in_csv("as cut (unit)", "the length of a piece as it is cut; empty: center to center", |w, row| {
            shown(w, row.cut.as_cut())
        }),
        in_csv("beginning in", "the fitting that it begins in, with a table take-outs", |w, row| {
            row.stands_in(w, 0)
        }),
        in_csv("beginning take-out (unit)", "what that takes out; empty: not known", |w, row| {
            row.take_out(w, 0)
        }),
        in_csv("end in", "the fitting that it ends in, with a table take-outs", |w, row| row.stands_in(w, 1)),
        in_csv("end take-out (unit)", "what that takes out; empty: not known", |w, row| row.take_out(w, 1)),
        in_csv(
            "placed",
            "no: nobody said where the turns of its run are (turns at), so measure it where it goes",
            |_, row| row.cut.run.map(|_| !row.cut.is_unplaced()).into(),
        ),
        in_csv("left (unit)", "what is left of it", |w, row| Value::Quantity(w.shown(row.bar.cutting.left))),
        in_csv("worth keeping", "as long as the job says is worth keeping", |w, row| {
            w.is_worth_keeping(row.bar.cutting).into()
        }),
        of_item::estimate(),
    ]
}

/// The bytes of the file.
pub(super) fn write(words: &Wording<'_>) -> Vec<u8> {
    let mut of_plans = Vec::new();
    for (alternative, of) in words.estimate.alternatives.iter().enumerate() {
        of_plans.extend(of.plans.iter().map(|plan| (alternative, plan.item, bars(words, plan))));
    }
    let mut rows = Vec::new();
    for (alternative, item, bars) in &of_plans {
        for bar in bars {
            let (alternative, item) = (*alternative, *item);
            rows.extend(bar.pieces.iter().map(|cut| Row { alternative, item, bar, cut }));
        }
    }
    csv::table(words, &columns(), rows)
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
        out.put("taken_out", length(plan.taken_out));
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
                out.lists(
                    "runs",
                    piece.runs.iter().map(|of| vec![words.run_name(of.run).into(), whole(of.number)]),
                );
                // And how those are cut, a row for each in their order.
                let part = piece.joined.then_some(piece.length);
                out.lists("cut", piece.runs.iter().map(|of| how_cut(words, &of.cut, part)));
            });
        });
        out.each("joined", &plan.joined, |out, joined| {
            out.put("run", words.run_name(joined.run));
            out.put("copies", whole(joined.copies));
            out.put("length", length(joined.length));
            out.list("cut", how_cut(words, &joined.cut, None));
            out.each("parts", &joined.parts, |out, (part, count)| {
                out.put("length", length(*part));
                out.put("count", whole(*count));
            });
        });
    });
}

/// How a piece is cut, in a row: how its length is measured, the length as cut, what its beginning stands in and what that
/// takes out, the same of its end, whether somebody said where the turns of its run are. A part of a longer piece is as long
/// as the plan says.
fn how_cut(words: &Wording<'_>, cut: &CutLength, part: Option<Length>) -> Vec<Value> {
    let as_cut = cut.as_cut.map(|as_cut| part.unwrap_or(as_cut));
    let mut row = vec![basis(cut).into(), shown(words, as_cut)];
    for end in &cut.ends {
        row.extend(match part {
            None => [words.piece_end(end).into(), shown(words, words.take_out(end))],
            // A part ends against another.
            Some(_) => [Value::Nothing, Value::Nothing],
        });
    }
    row.push((!cut.is_unplaced).into());
    row
}
