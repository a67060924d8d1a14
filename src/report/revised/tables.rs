//! `variance.csv` and `layouts.csv`: what was used, line by line, and jobs side by side. No workbook here.

use rust_decimal::Decimal;

use crate::estimate::revision::layouts::{Figure, Layouts};
use crate::estimate::revision::variance::Variance;
use crate::report::csv_table::{Cell, Table};
use crate::report::{AS_LISTED, mark_of};

/// The text of `variance.csv`: lines that nobody filled in have no number; then a row a class.
pub(super) fn variance(variance: &Variance) -> String {
    let mut table = Table::new(&[
        "kind",
        "line",
        "part",
        "system",
        "size",
        "variant",
        "unit",
        "need",
        "bought",
        "used",
        "against need",
        "points",
        "against bought",
        "allowance that covers",
        "allowance that was",
        "covers each line",
        "note",
    ]);
    let number = |number: Option<Decimal>| Cell::maybe(number, Cell::quantity);
    let points = |points: Option<Decimal>| Cell::maybe(points, Cell::points);
    for line in &variance.lines {
        let named = &line.named;
        table.row([
            Cell::text("line"),
            Cell::whole(line.line),
            Cell::text(&named.part),
            Cell::text(&named.system),
            Cell::size(&named.size),
            Cell::text(&named.variant),
            Cell::text(&named.unit),
            Cell::quantity(line.need),
            Cell::quantity(line.bought),
            number(line.used),
            number(line.against_need()),
            points(line.points()),
            number(line.against_bought()),
            points(line.covering()),
            Cell::points(line.allowance),
            Cell::empty(),
            Cell::text(&line.note),
        ]);
    }
    for class in &variance.classes {
        let by_plan =
            if class.allowance.is_none() { "; a cut plan takes the place of the allowance" } else { "" };
        table.row([
            Cell::text("class"),
            Cell::empty(),
            Cell::text(class.class.word()),
            Cell::empty(),
            Cell::empty(),
            Cell::empty(),
            Cell::text(&class.unit),
            Cell::quantity(class.need),
            Cell::quantity(class.bought),
            Cell::quantity(class.used),
            Cell::quantity(class.used - class.need),
            Cell::empty(),
            Cell::quantity(class.used - class.bought),
            points(class.covering),
            points(class.allowance),
            points(class.covering_each),
            Cell::text(&format!("{} of {} lines filled in{by_plan}", class.filled, class.lines)),
        ]);
    }
    table.text()
}

/// The text of `layouts.csv`: a row a figure, a column a layout, and behind each but the first what it is more.
pub(super) fn layouts(layouts: &Layouts) -> String {
    let mut headings = vec!["line".to_owned()];
    for (at, column) in layouts.columns.iter().enumerate() {
        headings.push(format!("{}, {}", column.job, column.system));
        if at > 0 {
            headings.push("more than the first".to_owned());
        }
    }
    let mut table = Table::new(&headings);
    for row in &layouts.rows {
        let mut cells = vec![Cell::text(row.name.trim())];
        for (at, cell) in row.cells.iter().enumerate() {
            let written = |number: Decimal| match cell {
                Figure::Money(_) => Cell::cents(number),
                Figure::Count(_) => Cell::whole(number),
                Figure::Much(_) => Cell::quantity(number),
            };
            cells.push(written(cell.number()));
            if let (true, Some(first)) = (at > 0, row.cells.first()) {
                cells.push(written(cell.number() - first.number()));
            }
        }
        table.row(cells);
    }
    let words = |name: &str, word: &dyn Fn(bool) -> String| {
        let mut cells = vec![Cell::text(name)];
        for (at, column) in layouts.columns.iter().enumerate() {
            cells.push(Cell::text(&word(column.complete)));
            cells.extend((at > 0).then(Cell::empty));
        }
        cells
    };
    let prices = crate::report::wording::tried(&layouts.tried).unwrap_or_else(|| AS_LISTED.to_owned());
    table.row(words("prices", &|_| prices.clone()));
    table.row(words("estimate", &|complete| mark_of(complete).to_owned()));
    table.text()
}
