//! `comparison.csv` and the comparison of `estimate.json`: one row a cost line with its unit, one column an alternative.
//! Every percentage is of the chosen one.

use rust_decimal::Decimal;

use super::labor;
use crate::estimate::comparison::{OneSided, RankedBy};
use crate::estimate::installed::Installed;
use crate::estimate::order::CostLine;
use crate::estimate::tie::Tie;
use crate::report::facts::{BidLine, Wording};
use crate::report::form::{CENTS, Holds, PERCENT, PLACE, QUANTITY, Said, TEXT, Table, Value, fields, whole};

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

/// The words of what alternatives are ranked by.
const RANKED_BY: Holds = Holds::word(&["material", "installed"]);

fields! {
    /// The comparison in `estimate.json`.
    pub(super) fn put / shape (out, words: &Wording<'_>) with {
        let comparison = &words.estimate.comparison;
    } {
        put "sentence": TEXT, "the verdict" => &comparison.sentence;
        put "cheapest": TEXT.or_null(), "the alternative that costs least; null where none may be ranked" =>
            comparison.cheapest.map(|index| words.alternative(index));
        put "ranked_by": RANKED_BY, "what they are ranked by" => match comparison.ranked_by {
            RankedBy::Material => "material",
            RankedBy::Installed => "installed",
        };
        put "percent_of": TEXT, "the alternative that every percentage is of" => words.alternative(0);
        each "columns": column_shape(), "a column an alternative" =>
            0..words.estimate.alternatives.len(), |out, index| put_column(out, words, index);
        maybe "tie": tie_shape(), "where copper and plastic tie" =>
            comparison.tie.as_ref(), |out, tie| put_tie(out, words, tie);
        each "one_sided": one_sided_shape(), "parts that one alternative needs and no other" =>
            &comparison.one_sided, |out, one| put_one_sided(out, words, one);
    }

    fn put_column / column_shape (out, words: &Wording<'_>, index: usize) with {
        let comparison = &words.estimate.comparison;
        let difference = comparison.differences.get(index);
    } {
        put "alternative": TEXT, "its system" => words.alternative(index);
        put "difference": CENTS.or_null(), "how much more its material costs than that of the first" =>
            difference.map(|d| Value::Cents(d.0));
        put "difference_percent": PERCENT.or_null(), "the same in percent" =>
            difference.and_then(|d| d.1).map(Value::Percent);
        put "tube_length": QUANTITY.or_null(), "the length of its tube" =>
            comparison.feet.get(index).map(|length| Value::Quantity(*length));
        maybe "installed": labor::installed_shape(), "what it costs installed" =>
            comparison.installed.get(index), |out, of| labor::put_installed(out, words, index, of);
    }

    fn put_tie / tie_shape (out, words: &Wording<'_>, tie: &Tie) {
        put "tube": TEXT, "the tube whose price is changed" => words.word(tie.tube);
        put "price_change_percent": PERCENT.or_null(), "by how many percent, on every offer; null where no price makes them tie" =>
            tie.at.map(|at| Value::Percent(at.points));
        put "alternative": TEXT, "the alternative of that tube" => words.alternative(tie.on);
        put "installed": CENTS.or_null(), "what it costs then" => tie.at.map(|at| Value::Cents(at.total));
        put "against": TEXT, "the other" => words.alternative(tie.against);
        put "against_installed": CENTS.or_null(), "what the other costs then" => tie.at.map(|at| Value::Cents(at.other));
    }

    fn put_one_sided / one_sided_shape (out, words: &Wording<'_>, one: &OneSided) {
        put "alternative": TEXT, "the alternative" => words.alternative(one.alternative);
        put "item": PLACE, "the item" => whole(one.item.0);
        put "need": QUANTITY, "how much of it" => Value::Quantity(one.need);
    }
}
