//! `bid.csv` and the bids of `estimate.json`: the bid line by line, one column for each system and for each alternate
//! taken, and what each alternate moves.

use crate::estimate::allowances::AllowanceCost;
use crate::estimate::alternates::{Alternate, Difference};
use crate::estimate::alternative::Alternative;
use crate::estimate::bid::{Bid, both_ways};
use crate::report::facts::{BidLine, Wording, allowances};
use crate::report::form::{CENTS, PERCENT, Said, TEXT, Table, Value, YES_NO, fields};
use crate::report::mark_of;

/// The columns before those of systems and alternates.
const FIRST: [Said; 3] = [
    ("line", "the line of the bid: a cost, a markup, a tax, a fee; below them what allowances add"),
    ("percent", "the percentage that it is"),
    ("taken on", "what it is a percentage of"),
];

/// What the columns of the file say.
pub(super) fn columns() -> Vec<Said> {
    let systems = ("(system)", "a column for each system compared: the sum of the line");
    let alternates = ("alternate: (name)", "a column for each alternate: the sum with it taken");
    FIRST.into_iter().chain([systems, alternates]).collect()
}

/// The bytes of the file.
pub(super) fn write(words: &Wording<'_>) -> Vec<u8> {
    let (terms, estimate) = (&words.job.settings, words.estimate);
    let priced = || estimate.optional.iter().filter_map(|one| Some((one, one.moved.as_ref()?)));
    let systems = (0..estimate.alternatives.len()).map(|index| words.alternative(index).to_owned());
    let alternates = priced().map(|(one, _)| format!("alternate: {}", words.word(one.name)));
    let first = FIRST.map(|(heading, _)| heading.to_owned());
    let mut table = Table::new(first.into_iter().chain(systems).chain(alternates));
    let Some(chosen) = estimate.alternatives.first() else { return table.bytes() };
    let of_systems = estimate.alternatives.iter().map(|one| &one.cost.bid);
    let bids: Vec<&Bid> = of_systems.chain(priced().map(|(_, moved)| &moved.bid)).collect();
    for line in BidLine::all(terms) {
        let front: [Value; 3] = [
            line.name(terms).into(),
            line.points(terms).map(Value::Percent).into(),
            line.taken_on(terms, chosen).into(),
        ];
        table.row(front.into_iter().chain(bids.iter().map(|bid| Value::Cents(line.amount(terms, bid)))));
    }
    let front = |name: &str, why: &str| [name.into(), Value::Nothing, why.into()];
    let against = bids.iter().map(|bid| Value::Cents(bid.total - chosen.cost.bid.total));
    table.row(front("against the base bid", "").into_iter().chain(against));
    if let Some((markup, margin)) = both_ways(terms.profit, terms.bid.profit_as) {
        table.row(["profit as a markup on the cost".into(), Value::Percent(markup)]);
        table.row(["profit as a margin of the price".into(), Value::Percent(margin)]);
    }
    for one in &estimate.allowances {
        let name = format!("of material: {} allowance", one.class.word());
        let front = [name.into(), Value::Percent(one.percent), allowances::comes_to(one).into()];
        table.row(front.into_iter().chain([Value::Cents(one.adds())]));
    }
    table.row(front("prices", &words.prices()));
    let of_systems = (0..estimate.alternatives.len()).map(|index| words.mark(index));
    let marks = of_systems.chain(priced().map(|(one, _)| mark_of(one.complete && estimate.is_complete())));
    table.row(front("estimate", "").into_iter().chain(marks.map(Into::into)));
    table.bytes()
}

/// The lines of a bid, of the chosen work or with an alternate.
type Line<'b> = (BidLine, (&'b Alternative, &'b Bid));

/// All lines of bids.
pub(super) fn lines<'b>(
    words: &Wording<'_>,
    of: impl IntoIterator<Item = (&'b Alternative, &'b Bid)>,
) -> Vec<Line<'b>> {
    let all = || BidLine::all(&words.job.settings);
    of.into_iter().flat_map(|of| all().into_iter().map(move |line| (line, of))).collect()
}

/// Each piece of optional work, with the chosen alternative.
pub(super) fn alternates<'a>(words: &Wording<'a>) -> Vec<(&'a Alternative, &'a Alternate)> {
    let chosen = words.estimate.alternatives.first();
    chosen
        .into_iter()
        .flat_map(|chosen| words.estimate.optional.iter().map(move |one| (chosen, one)))
        .collect()
}

fields! {
    /// A line of a bid in `estimate.json`.
    pub(super) fn put_line / line_shape (out, words: &Wording<'_>, line: Line<'_>) with {
        let terms = &words.job.settings;
        let (line, (of, bid)) = line;
    } {
        put "name": TEXT, "its name" => line.name(terms);
        put "percent": PERCENT.or_null(), "the percentage that it is" => line.points(terms).map(Value::Percent);
        put "taken_on": TEXT, "what it is a percentage of" => line.taken_on(terms, of);
        put "amount": CENTS, "the sum" => Value::Cents(line.amount(terms, bid));
    }

    /// What the allowance of a class comes to in the chosen system.
    pub(super) fn put_allowance / allowance_shape (out, one: &AllowanceCost) {
        put "class": TEXT, "the class" => one.class.word();
        put "percent": PERCENT, "the allowance" => Value::Percent(one.percent);
        put "material_without": CENTS, "what the class costs without it" => Value::Cents(one.without);
        put "material_with": CENTS, "what the class costs with it" => Value::Cents(one.with);
        put "adds": CENTS, "what it adds" => Value::Cents(one.adds());
        put "adds_percent": PERCENT.or_null(), "the same in percent" => one.points().map(Value::Percent);
    }

    /// A piece of optional work.
    pub(super) fn put_alternate / alternate_shape (out, words: &Wording<'_>, one: (&Alternative, &Alternate)) with {
        let (chosen, one) = one;
        let job = words.job;
        let brings = one.brings.iter().filter_map(|at| job.alternates.runs.get(*at));
        let leaves_out = one.leaves_out.iter().filter_map(|at| job.runs.get(*at));
        let moved = one.moved.as_ref();
    } {
        put "name": TEXT, "its name" => words.word(one.name);
        put "row": TEXT, "the first row that names it" => words.spot(one.row);
        put "complete": YES_NO, "whether everything of it is counted and priced" => one.complete;
        list "brings": TEXT, "the runs that it brings" => brings.map(|run| &*run.name);
        list "leaves_out": TEXT, "the runs of the base that it leaves out" => leaves_out.map(|run| &*run.name);
        maybe "moves": moves_shape(), "what it adds or, with a minus, takes off; null where it is not priced" =>
            moved.map(|moved| moved.against(&chosen.cost.bid)), put_moves;
        each "bid_lines": line_shape(), "the bid with it" =>
            lines(words, moved.map(|moved| (chosen, &moved.bid))), |out, line| put_line(out, words, line);
    }

    fn put_moves / moves_shape (out, more: Difference) {
        put "material": CENTS, "in material" => Value::Cents(more.material);
        put "labor_and_tools": CENTS, "in labor and tools" => Value::Cents(more.labor);
        put "tax": CENTS, "in sales tax" => Value::Cents(more.tax);
        put "bid": CENTS, "in the bid" => Value::Cents(more.total);
    }
}
