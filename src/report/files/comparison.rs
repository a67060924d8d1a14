//! `comparison.csv` and the comparison of `estimate.json`: one row a cost line with its unit, one column an alternative.
//! Every percentage is of the chosen one.

use rust_decimal::Decimal;

use crate::estimate::comparison::RankedBy;
use crate::estimate::installed::Installed;
use crate::estimate::order::CostLine;
use crate::report::facts::{BidLine, Wording};
use crate::report::form::{Object, Said, Table, Value, whole};

/// The columns before those of systems.
const FIRST: [Said; 2] = [
    (
        "cost line",
        "what is compared: cost lines, the bid, what it costs installed, hours, joints, length of tube",
    ),
    ("unit", "the unit of the line; of percentages what they are of"),
];

/// What the columns of the file say.
pub(super) fn columns() -> Vec<Said> {
    FIRST
        .into_iter()
        .chain([("(system)", "a column for each system compared, the chosen one first")])
        .collect()
}

/// The bytes of the file.
pub(in crate::report) fn write(words: &Wording<'_>) -> Vec<u8> {
    let alternatives = &words.estimate.alternatives;
    let named = (0..alternatives.len()).map(|index| words.alternative(index));
    let mut table = Table::new(FIRST.map(|(heading, _)| heading).into_iter().chain(named));
    let terms = &words.job.settings;
    let (currency, of_chosen) = (&*terms.currency, words.percent_of());
    let mut line = |name: &str, unit: &str, cells: Vec<Value>| {
        table.row([name.into(), unit.into()].into_iter().chain(cells));
    };
    for (i, cost_line) in CostLine::ALL.iter().enumerate() {
        let sums = alternatives.iter().map(|a| Value::Cents(a.cost.lines[i]));
        line(cost_line.word(), currency, sums.collect());
    }
    let material = alternatives.iter().map(|a| Value::Cents(a.cost.material));
    line("material", currency, material.collect());
    let comparison = &words.estimate.comparison;
    type Difference = (Decimal, Option<Decimal>);
    let sums = |list: &[Difference]| list.iter().map(|d| Value::Cents(d.0)).collect();
    let shares = |list: &[Difference]| list.iter().map(|d| d.1.map(Value::Percent).into()).collect();
    line("difference", currency, sums(&comparison.differences));
    line("difference %", &of_chosen, shares(&comparison.differences));
    for of in BidLine::all(terms).into_iter().filter(|line| *line != BidLine::Material) {
        let amounts = alternatives.iter().map(|a| Value::Cents(of.amount(terms, &a.cost.bid)));
        line(&of.name(terms), currency, amounts.collect());
    }
    let of = |cell: fn(&Installed) -> Value| comparison.installed.iter().map(cell).collect::<Vec<_>>();
    line("tax on material, tools and labor", currency, of(|of| Value::Cents(of.tax)));
    line("installed", currency, of(|of| Value::Cents(of.total)));
    line("installed difference", currency, sums(&comparison.installed_differences));
    line("installed difference %", &of_chosen, shares(&comparison.installed_differences));
    line("hours", "h", of(|of| of.hours.map(Value::Cents).into()));
    line("crew days", "days", of(|of| of.days.map(Value::Cents).into()));
    line("not priced", "parts", alternatives.iter().map(|a| whole(a.cost.not_priced.len())).collect());
    line("joints to make", "each", of(|of| whole(of.joints)));
    let unit = words.length_unit().abbreviation();
    line("tube length", unit, comparison.feet.iter().map(|length| Value::Quantity(*length)).collect());
    let of_each = |cell: &dyn Fn(usize) -> Value| (0..alternatives.len()).map(cell).collect::<Vec<_>>();
    line("in words", "", of_each(&|index| words.alternative_in_words(index).into()));
    line("prices", "", of_each(&|_| words.prices().into()));
    line("estimate", "", of_each(&|index| words.mark(index).into()));
    table.bytes()
}

/// The comparison in `estimate.json`.
pub(super) fn put(out: &mut Object<'_>, words: &Wording<'_>) {
    let comparison = &words.estimate.comparison;
    out.object("comparison", |out| {
        out.put("sentence", &comparison.sentence);
        out.put("cheapest", comparison.cheapest.map(|index| words.alternative(index)));
        let ranked_by = match comparison.ranked_by {
            RankedBy::Material => "material",
            RankedBy::Installed => "installed",
        };
        out.put("ranked_by", ranked_by);
        out.put("percent_of", words.alternative(0));
        out.each("columns", 0..words.estimate.alternatives.len(), |out, index| {
            let difference = comparison.differences.get(index);
            out.put("alternative", words.alternative(index));
            out.put("difference", difference.map(|d| Value::Cents(d.0)));
            out.put("difference_percent", difference.and_then(|d| d.1).map(Value::Percent));
            out.put("tube_length", comparison.feet.get(index).map(|length| Value::Quantity(*length)));
            super::labor::put_installed(out, words, index);
        });
        out.maybe("tie", comparison.tie.as_ref(), |out, tie| {
            out.put("tube", words.word(tie.tube));
            out.put("price_change_percent", tie.at.map(|at| Value::Percent(at.points)));
            out.put("alternative", words.alternative(tie.on));
            out.put("installed", tie.at.map(|at| Value::Cents(at.total)));
            out.put("against", words.alternative(tie.against));
            out.put("against_installed", tie.at.map(|at| Value::Cents(at.other)));
        });
        out.each("one_sided", &comparison.one_sided, |out, one| {
            out.put("alternative", words.alternative(one.alternative));
            out.put("item", whole(one.item.0));
            out.put("need", Value::Quantity(one.need));
        });
    });
}
