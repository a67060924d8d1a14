//! `cut-plan.csv`: in every alternative a row for each run that a coil or stick gives pieces of one length, in the order
//! to cut; and the cut plans of `estimate.json`.

use crate::estimate::CutLength;
use crate::estimate::item::ItemId;
use crate::estimate::order::{CutPiece, Cutting, Joined, TubePlan};
use crate::ground::Length;
use crate::report::facts::Wording;
use crate::report::facts::cuts::{Bar, ToCut, bars, basis};
use crate::report::form::{
    CENTS, Column, Holds, OfItem, PLACE, PRICE, QUANTITY, TEXT, Value, WHOLE, YES_NO, csv, fields, in_csv,
    of_item, whole,
};

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

fields! {
    /// A cut plan in `estimate.json`: what each coil and stick is cut into, pieces that are joined.
    pub(super) fn put / shape (out, words: &Wording<'_>, plan: &TubePlan) {
        put "item": PLACE, "the tube" => whole(plan.item.0);
        put "cost": CENTS, "what its coils and sticks cost, with the joints of pieces that are joined" => Value::Cents(plan.cost);
        put "bound": CENTS, "no plan can cost less" => Value::Cents(plan.bound);
        put "proven_least": YES_NO, "whether cost and bound meet" => plan.is_least();
        // Where all pieces stay whole the bound is for them as given, else for every way to part long ones.
        put "bound_for": BOUND_FOR, "pieces as given, or every way to part those that are longer than all that is sold" =>
            if plan.joined.is_empty() { "given" } else { "parted" };
        put "kerf": QUANTITY, "what a saw cut loses" => length(words, plan.kerf);
        put "taken_out": QUANTITY, "how much less than center to center its pieces are together" => length(words, plan.taken_out);
        put "joints": WHOLE, "joints between parts of pieces" => whole(plan.joints);
        put "per_joint": PRICE, "what such a joint costs" => Value::Price(plan.per_joint);
        put "extra_couplings": WHOLE, "couplings more than the takeoff has, with a minus fewer" => whole(plan.extra_couplings);
        each "cuttings": cutting_shape(), "coils and sticks that are cut alike" =>
            &plan.cuttings, |out, cutting| put_cutting(out, words, cutting);
        each "joined": joined_shape(), "pieces that are made of parts" =>
            &plan.joined, |out, joined| put_joined(out, words, joined);
    }

    fn put_cutting / cutting_shape (out, words: &Wording<'_>, cutting: &Cutting) {
        put "sold_as": TEXT, "what it is cut from" => words.cut_from(cutting).0;
        put "times": WHOLE, "how many are cut alike" => whole(cutting.times);
        put "length": QUANTITY, "its length" => length(words, cutting.length);
        put "left": QUANTITY, "what is left of it" => length(words, cutting.left);
        put "worth_keeping": YES_NO, "as long as the job says is worth keeping" => words.is_worth_keeping(cutting);
        each "pieces": piece_shape(), "what is cut from it" =>
            &cutting.pieces, |out, piece| put_piece(out, words, piece);
    }

    fn put_piece / piece_shape (out, words: &Wording<'_>, piece: &CutPiece) {
        put "length": QUANTITY, "the length of a piece" => length(words, piece.length);
        put "count": WHOLE, "how many" => whole(piece.number);
        put "part_of_longer": YES_NO, "whether they are joined to a longer one" => piece.joined;
        lists "runs": [("run", "the run", TEXT), ("pieces", "how many of them", WHOLE)], "the runs they are for" =>
            piece.runs.iter().map(|of| vec![words.run_name(of.run).into(), whole(of.number)]);
        lists "cut": CUT, "how those are cut, a row for each in their order" =>
            piece.runs.iter().map(|of| how_cut(words, &of.cut, piece.joined.then_some(piece.length)));
    }

    fn put_joined / joined_shape (out, words: &Wording<'_>, joined: &Joined) {
        put "run": TEXT, "the run" => words.run_name(joined.run);
        put "copies": WHOLE, "how many such pieces" => whole(joined.copies);
        put "length": QUANTITY, "the length of the whole piece" => length(words, joined.length);
        lists "cut": CUT, "how the whole of it is cut, in one row" => [how_cut(words, &joined.cut, None)];
        each "parts": part_shape(), "its parts" => &joined.parts, |out, (part, count)| {
            put_part(out, length(words, *part), whole(*count));
        };
    }

    fn put_part / part_shape (out, length: Value, count: Value) {
        put "length": QUANTITY, "the length of a part" => length.clone();
        put "count": WHOLE, "how many" => count.clone();
    }
}

/// How a piece is cut, in a row.
const CUT: [(&str, &str, Holds); 7] = [
    ("basis", "how its length is measured", Holds::word(&["as cut", "center to center"])),
    ("as_cut", "the length as cut", QUANTITY.or_null()),
    ("beginning", "what its beginning stands in", TEXT.or_null()),
    ("beginning_takes_out", "what that takes out", QUANTITY.or_null()),
    ("end", "what its end stands in", TEXT.or_null()),
    ("end_takes_out", "what that takes out", QUANTITY.or_null()),
    ("placed", "whether somebody said where the fittings of its run stand", YES_NO),
];

/// What the bound of a cut plan is for.
const BOUND_FOR: Holds = Holds::word(&["given", "parted"]);

/// A length as files have it.
fn length(words: &Wording<'_>, length: Length) -> Value {
    Value::Quantity(words.shown(length))
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
