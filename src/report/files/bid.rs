//! `bid.csv` and the bids of `estimate.json`: the bid line by line, one column for each system and for each alternate
//! taken, and what each alternate moves.

use crate::estimate::alternative::Alternative;
use crate::estimate::bid::{Bid, both_ways};
use crate::report::facts::{BidLine, Wording, allowances};
use crate::report::form::{Object, Said, Table, Value};
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

/// The lines of a bid in `estimate.json`, of the chosen work or with an alternate.
pub(super) fn put_lines<'b>(
    out: &mut Object<'_>,
    words: &Wording<'_>,
    of: impl IntoIterator<Item = (&'b Alternative, &'b Bid)>,
) {
    let terms = &words.job.settings;
    let lines = of.into_iter().flat_map(|of| BidLine::all(terms).into_iter().map(move |line| (line, of)));
    out.each("bid_lines", lines, |out, (line, (of, bid))| {
        out.put("name", line.name(terms));
        out.put("percent", line.points(terms).map(Value::Percent));
        out.put("taken_on", line.taken_on(terms, of));
        out.put("amount", Value::Cents(line.amount(terms, bid)));
    });
}

/// What allowances come to in the chosen system, by class.
pub(super) fn put_allowances(out: &mut Object<'_>, words: &Wording<'_>) {
    out.each("allowances", &words.estimate.allowances, |out, one| {
        out.put("class", one.class.word());
        out.put("percent", Value::Percent(one.percent));
        out.put("material_without", Value::Cents(one.without));
        out.put("material_with", Value::Cents(one.with));
        out.put("adds", Value::Cents(one.adds()));
        out.put("adds_percent", one.points().map(Value::Percent));
    });
}

/// What each piece of optional work moves, by name.
pub(super) fn put_alternates(out: &mut Object<'_>, words: &Wording<'_>) {
    let (job, estimate) = (words.job, words.estimate);
    let of_chosen = estimate.alternatives.first();
    let all = of_chosen.into_iter().flat_map(|chosen| estimate.optional.iter().map(move |one| (chosen, one)));
    out.each("alternates", all, |out, (chosen, one)| {
        let brings = one.brings.iter().filter_map(|at| job.alternates.runs.get(*at));
        let leaves_out = one.leaves_out.iter().filter_map(|at| job.runs.get(*at));
        out.put("name", words.word(one.name));
        out.put("row", words.spot(one.row));
        out.put("complete", one.complete);
        out.list("brings", brings.map(|run| &*run.name));
        out.list("leaves_out", leaves_out.map(|run| &*run.name));
        let moved = one.moved.as_ref();
        // What it adds or, with a minus, takes off; nothing where it is not priced.
        out.maybe("moves", moved.map(|moved| moved.against(&chosen.cost.bid)), |out, more| {
            out.put("material", Value::Cents(more.material));
            out.put("labor_and_tools", Value::Cents(more.labor));
            out.put("tax", Value::Cents(more.tax));
            out.put("bid", Value::Cents(more.total));
        });
        put_lines(out, words, moved.map(|moved| (chosen, &moved.bid)));
    });
}
