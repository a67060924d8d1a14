//! The cut plan for the bench: every coil and stick as a bar, all of a paper to one scale, and below it the pieces with boxes
//! to tick; of the chosen alternative. It adds nothing up.

use super::Desk;
use crate::estimate::order::{Cutting, TubePlan};
use crate::ground::Length;
use crate::report::form::paper::{Bar, Block, Cell, Paper, Row, Table, over};
use crate::report::form::{Kind, Value, whole};
use crate::trade::SoldAs;

/// The sheet has so many narrow columns, in which bars are drawn.
const CELLS: usize = 60;
const WIDTH: f64 = 1.4;

/// Above so many equal pieces there is one box for all.
const MOST_BOXES: u64 = 5;

pub(super) fn paper(desk: &Desk<'_>) -> Option<Paper> {
    let chosen = desk.words.estimate.alternatives.first()?;
    let plans: Vec<&TubePlan> = chosen.plans.iter().filter(|plan| !plan.cuttings.is_empty()).collect();
    if plans.is_empty() {
        return None;
    }
    let mut paper = desk.sheet("cut-plan", "Cut plan", &[WIDTH; CELLS]);
    paper.facts = vec![("pipes", desk.words.alternative_in_words(0))];
    paper.blocks.push(Block::Words(
        "Lengths are center to center: take off for the fittings when you cut.".to_owned(),
    ));
    let cuttings = || plans.iter().flat_map(|plan| &plan.cuttings);
    if cuttings().count() > 1 {
        let words = "Sticks are drawn to one scale, and coils to one scale.";
        paper.blocks.push(Block::Words(words.to_owned()));
    }
    let longest = |coil: bool| {
        let of = cuttings().filter(|cutting| desk.is_coil(cutting) == coil);
        of.map(|cutting| cutting.length.nanometres()).max().unwrap_or(1)
    };
    let scales = [longest(false), longest(true)];
    for plan in &plans {
        tube(&mut paper, desk, plan, scales);
    }
    Some(paper)
}

/// A tube; the scales are those of sticks and of coils.
fn tube(paper: &mut Paper, desk: &Desk<'_>, plan: &TubePlan, scales: [i64; 2]) {
    let words = &desk.words;
    let name = match words.item_system(plan.item) {
        "" => words.item_name(plan.item),
        system => format!("{} ({system})", words.item_name(plan.item)),
    };
    paper.blocks.push(Block::Heading(name));
    if plan.kerf > Length::ZERO {
        paper.blocks.push(Block::Words(format!("Each cut loses {}.", words.on_tape(plan.kerf))));
    }
    let all: u64 = plan.cuttings.iter().map(|cutting| cutting.times).sum();
    let mut first = 1;
    for cutting in &plan.cuttings {
        let numbers = match cutting.times {
            1 => format!("{first} of {all}"),
            times => format!("{first} to {} of {all}", first + times - 1),
        };
        let first_of_tube = first == 1;
        first += cutting.times;
        paper.blocks.push(Block::Bars(vec![bar(desk, cutting, (&numbers, scales))]));
        paper.blocks.push(Block::Table(pieces(desk, cutting, first_of_tube)));
    }
    joined(paper, desk, plan);
}

fn bar(desk: &Desk<'_>, cutting: &Cutting, (numbers, scales): (&str, [i64; 2])) -> Bar {
    let words = &desk.words;
    let (sold, supplier) = words.cut_from(cutting);
    let keep = if words.is_worth_keeping(cutting) { ", keep it" } else { "" };
    let left = match cutting.left > Length::ZERO {
        true => format!("; {} left{keep}", words.on_tape(cutting.left)),
        false => "; nothing left".to_owned(),
    };
    let one = |piece: &crate::estimate::order::CutPiece| {
        let number = usize::try_from(piece.number).unwrap_or(usize::MAX).min(MOST_PARTS);
        std::iter::repeat_n((piece.length.nanometres(), words.on_tape(piece.length)), number)
    };
    Bar {
        words: format!("{numbers}: {sold}, {supplier}{left}"),
        length: cutting.length.nanometres(),
        scale: scales[usize::from(desk.is_coil(cutting))],
        parts: cutting.pieces.iter().flat_map(one).take(MOST_PARTS).collect(),
    }
}

/// More pieces than this cannot be told apart in a bar.
const MOST_PARTS: usize = 200;

/// The pieces of a coil or stick; headings stand over the first of a tube.
fn pieces(desk: &Desk<'_>, cutting: &Cutting, with_headings: bool) -> Table {
    let words = &desk.words;
    let head = |words: &'static str| if with_headings { words } else { "" };
    let columns = vec![
        over("", 7, Kind::Text),
        over(head("in each"), 5, Kind::Whole),
        over(head(words.tape_heading()), 10, Kind::Right),
        over(head(words.length_unit().abbreviation()), 8, Kind::Number),
        over(head("for the runs"), 30, Kind::Wrap),
    ];
    let row = |piece: &crate::estimate::order::CutPiece| {
        let names: Vec<&str> = piece.runs.iter().map(|(run, _)| words.run_name(*run)).collect();
        let mut runs = names.join(", ");
        if piece.joined {
            runs.push_str(": a part, to be joined");
        } else if names.is_empty() {
            runs.push_str("spare");
        }
        let boxes = piece.number.saturating_mul(cutting.times);
        Row::Cells(vec![
            Cell::Tick(boxes_for(boxes)),
            whole(piece.number).into(),
            words.on_tape(piece.length).into(),
            Cell::Muted(Value::Quantity(words.shown(piece.length))),
            runs.into(),
        ])
    };
    Table { columns, rows: cutting.pieces.iter().map(row).collect() }
}

/// A box for each piece, as far as they fit.
fn boxes_for(number: u64) -> &'static [&'static str] {
    const BOXES: [&str; MOST_BOXES as usize] = [""; MOST_BOXES as usize];
    let number = usize::try_from(number).unwrap_or(usize::MAX);
    BOXES.get(..number).unwrap_or(&[""])
}

/// Pieces longer than every length on sale, and what each is made of.
fn joined(paper: &mut Paper, desk: &Desk<'_>, plan: &TubePlan) {
    if plan.joined.is_empty() {
        return;
    }
    let words = &desk.words;
    let line = |piece: &crate::estimate::order::Joined| {
        let part = |(length, number): &(Length, u64)| match number {
            1 => words.on_tape(*length),
            number => format!("{number} of {}", words.on_tape(*length)),
        };
        let parts: Vec<String> = piece.parts.iter().map(part).collect();
        let copies = if piece.copies == 1 { String::new() } else { format!("{} x ", piece.copies) };
        let whole = words.on_tape(piece.length);
        format!("{copies}{}, {whole}: {}", words.run_name(piece.run), parts.join(" + "))
    };
    paper.blocks.push(Block::Words("Joined from parts:".to_owned()));
    paper.blocks.push(Block::List(plan.joined.iter().map(line).collect()));
}

impl Desk<'_> {
    /// Whether something is cut from a coil; what the shelf has is taken for a stick.
    fn is_coil(&self, cutting: &Cutting) -> bool {
        let offer = cutting.offer.and_then(|id| self.words.offer(id));
        offer.is_some_and(|offer| offer.sold_as == SoldAs::Coil)
    }
}
