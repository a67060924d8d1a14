//! The cut plan for the bench: every coil and stick as a bar, all of a paper to one scale, and below it the pieces with boxes
//! to tick; of the chosen alternative. It adds nothing up.

use super::Desk;
use crate::estimate::order::{CutPiece, Cutting, TubePlan};
use crate::ground::Length;
use crate::report::facts::cuts;
use crate::report::form::paper::{Bar, Block, Cell, Paper, Row, Table, over};
use crate::report::form::{Kind, Value, whole};
use crate::trade::SoldAs;

/// The sheet has so many narrow columns, in which bars are drawn.
const CELLS: usize = 60;
const WIDTH: u16 = 14;

/// Above so many equal pieces there is one box for all.
const MOST_BOXES: usize = 5;

pub(super) fn paper(desk: &Desk<'_>) -> Option<Paper> {
    let chosen = desk.words.estimate.alternatives.first()?;
    let plans: Vec<&TubePlan> = chosen.plans.iter().filter(|plan| !plan.cuttings.is_empty()).collect();
    if plans.is_empty() {
        return None;
    }
    let mut paper = desk.sheet("cut-plan", "Cut plan", &[WIDTH; CELLS]);
    paper.facts = vec![("pipes", desk.words.alternative_in_words(0))];
    let measured = cuts::measured([chosen]).unwrap_or(cuts::TAKE_OFF);
    paper.blocks.push(Block::Words(format!("Lengths are {measured}.")));
    let bars: Vec<(&TubePlan, Vec<cuts::Bar<'_>>)> =
        plans.into_iter().map(|plan| (plan, cuts::bars(&desk.words, plan))).collect();
    let pieces = || bars.iter().flat_map(|(_, bars)| bars).flat_map(|bar| &bar.pieces);
    if pieces().any(cuts::ToCut::is_unplaced) {
        paper.blocks.push(Block::Words(UNPLACED.to_owned()));
    }
    let cuttings = || bars.iter().flat_map(|(_, bars)| bars).map(|bar| bar.cutting);
    if cuttings().count() > 1 {
        let words = "Sticks are drawn to one scale, and coils to one scale.";
        paper.blocks.push(Block::Words(words.to_owned()));
    }
    let longest = |coil: bool| {
        let of = cuttings().filter(|cutting| desk.is_coil(cutting) == coil);
        of.map(|cutting| cutting.length.nanometres()).max().unwrap_or(1)
    };
    let scales = [longest(false), longest(true)];
    for (plan, bars) in &bars {
        tube(&mut paper, desk, plan, bars, scales);
    }
    Some(paper)
}

/// What is said where the run list does not say where a run turns.
const UNPLACED: &str = "Where it says \"measure\", the run list does not say where the run turns or where its fittings stand: \
     the lengths are right together and each of them only by chance. Measure the piece where it goes, and cut it last.";

/// A tube; the scales are those of sticks and of coils.
fn tube(paper: &mut Paper, desk: &Desk<'_>, plan: &TubePlan, bars: &[cuts::Bar<'_>], scales: [i64; 2]) {
    let words = &desk.words;
    let name = match words.item_system(plan.item) {
        "" => words.item_name(plan.item),
        system => format!("{} ({system})", words.item_name(plan.item)),
    };
    paper.blocks.push(Block::Heading(name));
    if plan.kerf > Length::ZERO {
        paper.blocks.push(Block::Words(format!("Each cut loses {}.", words.on_tape(plan.kerf))));
    }
    let all = bars.last().map_or(0, |bar| bar.bars.1);
    for (at, one) in bars.iter().enumerate() {
        let numbers = match one.bars {
            (first, last) if first == last => format!("{first} of {all}"),
            (first, last) => format!("{first} to {last} of {all}"),
        };
        paper.blocks.push(Block::Bars(vec![bar(desk, one.cutting, (&numbers, scales))]));
        paper.blocks.push(Block::Table(pieces(desk, one, at == 0)));
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
    let one = |piece: &CutPiece| {
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

/// The pieces of coils or sticks that are cut alike; headings stand over the first of a tube.
fn pieces(desk: &Desk<'_>, bar: &cuts::Bar<'_>, with_headings: bool) -> Table {
    let words = &desk.words;
    let head = |words: &'static str| if with_headings { words } else { "" };
    let columns = vec![
        over("", 7, Kind::Text),
        over(head("pieces"), 5, Kind::Whole),
        over(head(words.tape_heading()), 10, Kind::Right),
        over(head(words.length_unit().abbreviation()), 8, Kind::Number),
        over(head("mark it"), 16, Kind::Wrap),
        over("", 14, Kind::Wrap),
    ];
    let row = |of: &cuts::ToCut<'_>| {
        let mark = if of.label.is_empty() { "spare".to_owned() } else { of.label.clone() };
        let mut said = Vec::new();
        said.extend(of.piece.joined.then_some("a part, to be joined"));
        said.extend(of.is_unplaced().then_some("measure"));
        said.extend(
            (words.takes_out() && of.cut.is_some() && of.as_cut().is_none()).then_some("center to center"),
        );
        Row::Cells(vec![
            Cell::Tick(boxes_for(of.pieces)),
            whole(of.pieces).into(),
            words.on_tape(of.piece.length).into(),
            Cell::Muted(Value::Quantity(words.shown(of.piece.length))),
            mark.into(),
            Cell::Muted(said.join(", ").into()),
        ])
    };
    Table { columns, rows: bar.pieces.iter().map(row).collect() }
}

/// A box for each piece, as far as they fit.
fn boxes_for(number: u64) -> &'static [&'static str] {
    const BOXES: [&str; MOST_BOXES] = [""; MOST_BOXES];
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
