//! `variance.csv` and `layouts.csv`: what was used, line by line, and jobs side by side. No workbook here.

use rust_decimal::Decimal;

use crate::estimate::revision::layouts::Layouts;
use crate::estimate::revision::variance::Variance;
use crate::report::csv_out::{Table, text};
use crate::report::wording::to_places;

/// The text of `variance.csv`: lines that nobody filled in have no number; then a row a class.
pub(super) fn variance(variance: &Variance) -> String {
    let mut table = Table::new(&[
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
    let number = |number: Option<Decimal>| number.map(|number| to_places(number, 4)).unwrap_or_default();
    for line in &variance.lines {
        let named = &line.named;
        table.row([
            line.line.to_string(),
            text(&named.part),
            text(&named.system),
            text(&named.size),
            text(&named.variant),
            text(&named.unit),
            to_places(line.need, 4),
            to_places(line.bought, 4),
            number(line.used),
            number(line.against_need()),
            number(line.points()),
            number(line.against_bought()),
            number(line.covering()),
            to_places(line.allowance, 4),
            String::new(),
            text(&line.note),
        ]);
    }
    for class in &variance.classes {
        table.row([
            "class".to_owned(),
            class.class.word().to_owned(),
            String::new(),
            String::new(),
            String::new(),
            text(&class.unit),
            to_places(class.need, 4),
            to_places(class.bought, 4),
            to_places(class.used, 4),
            to_places(class.used - class.need, 4),
            String::new(),
            to_places(class.used - class.bought, 4),
            number(class.covering),
            class.allowance.map_or_else(|| "cut plan".to_owned(), |points| to_places(points, 4)),
            number(class.covering_each),
            format!("{} of {} lines filled in", class.filled, class.lines),
        ]);
    }
    table.text()
}

/// The text of `layouts.csv`: a row a figure, a column a layout, and behind each but the first what it is more.
pub(super) fn layouts(layouts: &Layouts) -> String {
    let mut headings = vec!["line".to_owned()];
    for (at, column) in layouts.columns.iter().enumerate() {
        headings.push(text(&format!("{}, {}", column.job, column.system)));
        if at > 0 {
            headings.push("more than the first".to_owned());
        }
    }
    let mut table = Table::new(&headings.iter().map(String::as_str).collect::<Vec<_>>());
    for row in &layouts.rows {
        let mut cells = vec![row.name.trim().to_owned()];
        for (at, cell) in row.cells.iter().enumerate() {
            cells.push(to_places(cell.number(), 4));
            if let (true, Some(first)) = (at > 0, row.cells.first()) {
                cells.push(to_places(cell.number() - first.number(), 4));
            }
        }
        table.row(cells);
    }
    let mut complete = vec!["complete".to_owned()];
    for (at, column) in layouts.columns.iter().enumerate() {
        complete.push(if column.complete { "yes" } else { "no" }.to_owned());
        if at > 0 {
            complete.push(String::new());
        }
    }
    table.row(complete);
    if let Some(tried) = crate::report::wording::tried(&layouts.tried) {
        table.row(["prices".to_owned(), tried]);
    }
    table.text()
}
