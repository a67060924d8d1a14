//! `variance.csv` and `layouts.csv`: what was used, line by line, and jobs side by side. No workbook here.

use rust_decimal::Decimal;

use crate::estimate::revision::layouts::{Figure, Layouts};
use crate::estimate::revision::variance::{ClassVariance, LineVariance, Variance};
use crate::report::facts::said_of_prices;
use crate::report::form::{Said, Table, Value, whole};
use crate::report::mark_of;

/// A column: its heading, what it says, its cell of a line, its cell of a class.
type Column = (&'static str, &'static str, fn(&LineVariance) -> Value, fn(&ClassVariance) -> Value);

const COLUMNS: [Column; 17] = [
    ("kind", "a line, or a class of parts below", |_| "line".into(), |_| "class".into()),
    ("line", "the number of the line on the sheet Used", |of| whole(of.line), |_| Value::Nothing),
    ("part", "what it is; of a class its name", |of| (&of.named.part).into(), |of| of.class.word().into()),
    ("system", "the system it is for", |of| (&of.named.system).into(), |_| Value::Nothing),
    ("size", "its sizes", |of| Value::Size(of.named.size.clone()), |_| Value::Nothing),
    ("variant", "its variant and color", |of| (&of.named.variant).into(), |_| Value::Nothing),
    ("unit", "the unit it is counted in", |of| (&of.named.unit).into(), |of| (&of.unit).into()),
    ("need", "what the estimate needs", |of| Value::Quantity(of.need), |of| Value::Quantity(of.need)),
    ("bought", "what it buys", |of| Value::Quantity(of.bought), |of| Value::Quantity(of.bought)),
    (
        "used",
        "what was used; empty where nobody filled it in",
        |of| number(of.used),
        |of| Value::Quantity(of.used),
    ),
    (
        "against need",
        "how much more was used than needed",
        |of| number(of.against_need()),
        |of| Value::Quantity(of.used - of.need),
    ),
    ("percent", "the same in percent of the need", |of| percent(of.points()), |_| Value::Nothing),
    (
        "against bought",
        "how much more was used than bought",
        |of| number(of.against_bought()),
        |of| Value::Quantity(of.used - of.bought),
    ),
    (
        "allowance that covers",
        "the allowance that would have covered what was used",
        |of| percent(of.covering()),
        |of| percent(of.covering),
    ),
    (
        "allowance that was",
        "the allowance that the estimate had; empty beside a cut plan",
        |of| Value::Percent(of.allowance),
        |of| percent(of.allowance),
    ),
    (
        "covers each line",
        "of a class: the allowance that would have covered each of its lines",
        |_| Value::Nothing,
        |of| percent(of.covering_each),
    ),
    (
        "note",
        "what was noted; of a class how many lines are filled in",
        |of| (&of.note).into(),
        |of| filled(of).into(),
    ),
];

fn number(number: Option<Decimal>) -> Value {
    number.map(Value::Quantity).into()
}

fn percent(percent: Option<Decimal>) -> Value {
    percent.map(Value::Percent).into()
}

/// How much of a class is filled in.
fn filled(of: &ClassVariance) -> String {
    let by_plan = if of.allowance.is_none() { "; a cut plan takes the place of the allowance" } else { "" };
    format!("{} of {} lines filled in{by_plan}", of.filled, of.lines)
}

/// What the columns of `variance.csv` say.
pub(super) fn variance_columns() -> Vec<Said> {
    COLUMNS.map(|(heading, help, ..)| (heading, help)).into()
}

/// The bytes of `variance.csv`: lines that nobody filled in have no number; then a row a class.
pub(super) fn variance(variance: &Variance) -> Vec<u8> {
    let mut table = Table::new(COLUMNS.map(|column| column.0));
    for line in &variance.lines {
        table.row(COLUMNS.map(|(_, _, cell, _)| cell(line)));
    }
    for class in &variance.classes {
        table.row(COLUMNS.map(|(.., cell)| cell(class)));
    }
    table.bytes()
}

/// The first column of `layouts.csv`.
const LINE: Said = ("line", "what is compared: cost lines, installed, bid, hours, joints, tube");

/// What stands behind each layout but the first.
const MORE: Said = ("more than the first", "how much more than in the first job");

/// What the columns of `layouts.csv` say.
pub(super) fn layout_columns() -> Vec<Said> {
    vec![LINE, ("(job, system)", "a column for each job, in its system"), MORE]
}

/// The bytes of `layouts.csv`: a row a figure, a column a layout, and behind each but the first what it is more.
pub(super) fn layouts(layouts: &Layouts) -> Vec<u8> {
    let mut headings = vec![LINE.0.to_owned()];
    for (at, column) in layouts.columns.iter().enumerate() {
        headings.push(format!("{}, {}", column.job, column.system));
        if at > 0 {
            headings.push(MORE.0.to_owned());
        }
    }
    let mut table = Table::new(headings);
    for row in &layouts.rows {
        let mut cells = vec![Value::from(row.name.trim())];
        for (at, cell) in row.cells.iter().enumerate() {
            let written = |number: Decimal| match cell {
                Figure::Money(_) => Value::Cents(number),
                Figure::Count(_) => whole(number),
                Figure::Much(_) => Value::Quantity(number),
            };
            cells.push(written(cell.number()));
            if let (true, Some(first)) = (at > 0, row.cells.first()) {
                cells.push(written(cell.number() - first.number()));
            }
        }
        table.row(cells);
    }
    let mut words = |name: &str, word: &dyn Fn(bool) -> String| {
        let mut cells = vec![Value::from(name)];
        for (at, column) in layouts.columns.iter().enumerate() {
            cells.push(word(column.complete).into());
            cells.extend((at > 0).then_some(Value::Nothing));
        }
        table.row(cells);
    };
    words("prices", &|_| said_of_prices(&layouts.tried));
    words("estimate", &|complete| mark_of(complete).to_owned());
    table.bytes()
}
