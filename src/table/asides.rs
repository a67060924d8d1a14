//! Rows of a table that are no rows: comments, headings once more, sums of the rows above; and rows and columns that a
//! spreadsheet hides. The door asks here before it hands a row over, and once more at the end of a table.

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use super::figures::{decimal, with_points};
use super::headings::Bound;
use super::money::Quoted;
use super::row::{Cell, Kind, Row};
use super::{Holds, Shape};
use crate::ground::name::fold_heading;
use crate::ground::notice::{Finding, error, remark, warning};
use crate::ground::{Length, LengthUnit};

/// What was passed over or is to be told of a table at its end.
#[derive(Debug, Default)]
pub(super) struct Asides {
    /// Rows that begin with `#`.
    pub(super) comments: Met,
    /// Those of them that may be rows whose name begins with `#`.
    pub(super) numbered: Met,
    /// Headings once more.
    pub(super) headings: Met,
    /// Rows that a spreadsheet hides and that are read.
    pub(super) hidden: Vec<u32>,
    hides: BTreeSet<u32>,
    /// Columns, from 1, that a spreadsheet hides, from and to.
    hidden_columns: Vec<(u32, u32)>,
    heads: Vec<String>,
    /// The row of the headings.
    pub(super) headed: u32,
    /// What the first numbered comment would be without its mark.
    pub(super) unmarked: String,
}

/// How many rows of a kind were met, and where the first stands: row and column from 1.
#[derive(Debug, Default, Clone, Copy)]
pub(super) struct Met {
    pub(super) rows: u32,
    pub(super) first: (u32, u32),
}

impl Met {
    fn meet(&mut self, row: u32, position: usize) {
        if self.rows == 0 {
            self.first = (row, u32::try_from(position + 1).unwrap_or(0));
        }
        self.rows += 1;
    }
}

/// Ranges of hidden columns that are kept: no sheet has more.
const MOST_HIDDEN: usize = 1_000;

impl Asides {
    /// Whether a row is a comment: it is counted.
    pub(super) fn is_comment(&mut self, number: u32, row: &Row) -> bool {
        let Some(position) = comment(row) else { return false };
        let text = row.cell(position).text.trim_start_matches('#');
        let more = (position + 1..row.len()).any(|at| !row.cell(at).is_empty());
        let numbered = more && text.starts_with(|c: char| c.is_ascii_digit());
        if !numbered {
            self.comments.meet(number, position);
            return true;
        }
        if self.numbered.rows == 0 {
            text.clone_into(&mut self.unmarked);
        }
        self.numbered.meet(number, position);
        true
    }

    /// Takes down what the headings are.
    pub(super) fn begin(&mut self, number: u32, row: &Row) {
        self.headed = number;
        self.heads = (0..row.len()).map(|at| fold_heading(row.cell(at).text)).collect();
    }

    /// Whether a row is the headings once more: it is counted.
    pub(super) fn is_headings(&mut self, number: u32, row: &Row) -> bool {
        let mut filled = (0..row.len()).filter(|at| !row.cell(*at).is_empty()).peekable();
        let first = filled.peek().copied().unwrap_or(0);
        let named = self.heads.iter().filter(|head| !head.is_empty()).count();
        let mut equal = 0;
        for at in filled {
            if self.heads.get(at).is_none_or(|head| *head != fold_heading(row.cell(at).text)) {
                return false;
            }
            equal += 1;
        }
        let same = equal > 1 && equal == named;
        if same {
            self.headings.meet(number, first);
        }
        same
    }

    /// Hears that a spreadsheet hides a row.
    pub(super) fn hide_row(&mut self, row: u32) {
        self.hides.insert(row);
    }

    /// Hears that a spreadsheet hides columns, from and to, counted from 1.
    pub(super) fn hide_columns(&mut self, from: u32, to: u32) {
        if self.hidden_columns.len() < MOST_HIDDEN {
            self.hidden_columns.push((from, to));
        }
    }

    /// Takes down that a row is read.
    pub(super) fn is_read(&mut self, number: u32) {
        if self.hides.remove(&number) {
            self.hidden.push(number);
        }
    }

    /// Whether a spreadsheet hides a column, counted from 1.
    pub(super) fn hides_column(&self, column: u32) -> bool {
        self.hidden_columns.iter().any(|(from, to)| (*from..=*to).contains(&column))
    }
}

/// Where the first filled cell of a comment stands: it begins with `#`. A heading that is `#` alone is none.
pub(super) fn comment(row: &Row) -> Option<usize> {
    let first = (0..row.len()).find(|at| !row.cell(*at).is_empty())?;
    let Cell { kind: Kind::Text, text } = row.cell(first) else { return None };
    let alone = (first + 1..row.len()).all(|at| row.cell(at).is_empty());
    (text.starts_with('#') && (text != "#" || alone)).then_some(first)
}

/// The sums of the figures of a table so far, to know a row that is their sum.
#[derive(Debug, Default)]
pub(super) struct Sums {
    /// By the place of the column in the list of figures.
    columns: Vec<Column>,
    /// Where the texts of a row stand.
    texts: Vec<usize>,
    rows: u32,
    /// Rows since the last that was a sum.
    since: u32,
    /// The last row, where it is the sum of all others.
    last: Option<Likely>,
}

#[derive(Debug)]
struct Column {
    position: usize,
    holds: Holds,
    unit: LengthUnit,
    /// Whether the table is about this figure: the length of runs, the price of offers.
    main: bool,
    /// Whether it says how often the row counts.
    often: bool,
    /// Of all rows, of those since the last sum, and of these each so often as the row counts.
    all: Decimal,
    part: Decimal,
    counted: Decimal,
}

/// A row that is likely the sum of all others: its number and the cells that say so, from 1.
#[derive(Debug, Clone)]
pub(super) struct Likely {
    pub(super) row: u32,
    pub(super) cells: Vec<u32>,
}

/// What a row is by its figures.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Verdict {
    /// A row.
    Row,
    /// The sum of rows above, by these cells, from 1.
    Sum(Vec<u32>),
    /// A row that is named as a sum and whose figures, these cells, are none.
    NamedSo(Vec<u32>),
}

impl Sums {
    /// Sums of a table whose headings are bound.
    pub(super) fn of(shape: &Shape, bound: &Bound) -> Self {
        let is_figure = |holds| matches!(holds, Holds::Length | Holds::Number | Holds::Count);
        let figures = || shape.columns.iter().enumerate().filter(move |(_, column)| is_figure(column.holds));
        let main = figures()
            .find(|(_, column)| column.required)
            .or_else(|| figures().next())
            .map(|(index, _)| index);
        let mut sums = Self::default();
        for (index, (column, place)) in shape.columns.iter().zip(&bound.columns).enumerate() {
            let Some((position, unit)) = *place else { continue };
            if is_figure(column.holds) {
                let often = ["count", "quantity"].contains(&column.heading);
                let main = Some(index) == main;
                sums.columns.push(Column { main, often, ..Column::new(position, column.holds, unit) });
            } else {
                sums.texts.push(position);
            }
        }
        let further = bound.further.iter();
        let further = further.map(|(_, at)| Column::new(*at, Holds::Number, LengthUnit::default()));
        sums.columns.extend(further);
        sums
    }

    /// What a row is; one that is no sum is added.
    pub(super) fn meet(&mut self, number: u32, row: &Row, decimal_commas: bool) -> Verdict {
        let figures: Vec<Option<Decimal>> = self
            .columns
            .iter()
            .map(|column| column.figure(row, decimal_commas).filter(|figure| !figure.is_zero()))
            .collect();
        let cells = |equal: &dyn Fn(&Column, Decimal) -> bool| -> Vec<u32> {
            let pairs = self.columns.iter().zip(&figures);
            let found = pairs.filter(|(column, figure)| figure.is_some_and(|figure| equal(column, figure)));
            found.map(|(column, _)| u32::try_from(column.position + 1).unwrap_or(0)).collect()
        };
        let above = cells(&|column, figure| {
            let sums = [(self.rows, column.all), (self.since, column.part), (self.since, column.counted)];
            sums.iter().any(|(rows, sum)| *rows > 0 && *sum == figure)
        });
        let texts = self.texts.iter().filter(|at| !row.cell(**at).is_empty()).count();
        // A supplier may be called so too: a sum says nothing else in words.
        let named = name(row).filter(|how| *how == Named::Alone || texts <= 1);
        let nameless = self.rows > 1 && texts == 0;
        if !above.is_empty() && (named.is_some() || nameless) {
            self.since = 0;
            for column in &mut self.columns {
                (column.part, column.counted) = (Decimal::ZERO, Decimal::ZERO);
            }
            return Verdict::Sum(above);
        }
        let filled = cells(&|_, _| true);
        let of_all = cells(&|column, figure| column.all == figure);
        let main = self.columns.iter().find(|column| column.main);
        let exact = main.filter(|main| {
            let text = row.cell(main.position).text;
            let digits = text.bytes().filter(u8::is_ascii_digit).count();
            let met = of_all.contains(&u32::try_from(main.position + 1).unwrap_or(0));
            met && self.rows >= LEAST_OTHERS && (of_all.len() > 1 || digits >= SURE_DIGITS)
        });
        let likely = exact.is_some();
        self.last = likely.then_some(Likely { row: number, cells: of_all });
        self.add(&figures);
        match named {
            Some(Named::Alone) if !filled.is_empty() => {
                self.last = None;
                Verdict::NamedSo(filled)
            }
            Some(Named::Alone | Named::WithMore) | None => Verdict::Row,
        }
    }

    /// The last row of the table, where its figures are the sums of all others.
    pub(super) fn last(&self) -> Option<&Likely> {
        self.last.as_ref()
    }

    fn add(&mut self, figures: &[Option<Decimal>]) {
        self.rows += 1;
        self.since += 1;
        let pairs = || self.columns.iter().zip(figures);
        let often = pairs().find(|(column, _)| column.often).and_then(|(_, figure)| *figure);
        let often = often.unwrap_or(Decimal::ONE);
        for (column, figure) in self.columns.iter_mut().zip(figures) {
            let Some(figure) = figure else { continue };
            // Beyond what money is counted in nothing is a sum any more.
            let more = |sum: Decimal, figure: Decimal| sum.checked_add(figure).unwrap_or(Decimal::MIN);
            column.all = more(column.all, *figure);
            column.part = more(column.part, *figure);
            let often = if column.often { Decimal::ONE } else { often };
            column.counted = more(column.counted, figure.checked_mul(often).unwrap_or(*figure));
        }
    }
}

/// So many other rows a row without a name must sum up, and so many digits its figure must have where it is one alone:
/// three fives and a fifteen are no sum.
const LEAST_OTHERS: u32 = 3;
const SURE_DIGITS: usize = 3;

impl Column {
    fn new(position: usize, holds: Holds, unit: LengthUnit) -> Self {
        let zero = Decimal::ZERO;
        Self { position, holds, unit, main: false, often: false, all: zero, part: zero, counted: zero }
    }

    /// The figure of a row; lengths in nanometres.
    fn figure(&self, row: &Row, decimal_commas: bool) -> Option<Decimal> {
        let cell = row.cell(self.position);
        if !matches!(cell.kind, Kind::Text | Kind::Number | Kind::Shown) {
            return None;
        }
        let is_text = cell.kind == Kind::Text;
        if self.holds == Holds::Length {
            let plain = if is_text && decimal_commas { with_points(cell.text)? } else { cell.text.into() };
            return Length::read(&plain, self.unit).map(|length| Decimal::from(length.nanometres()));
        }
        if let Some(number) = decimal(cell.text) {
            return Some(number);
        }
        match Quoted::read(cell.text, is_text && decimal_commas)? {
            Quoted::Sum(money) => Some(money.amount),
            Quoted::None => None,
        }
    }
}

/// How a row is named as a sum.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Named {
    /// `Total`, `Grand total:`
    Alone,
    /// `Total cold`, `hot, sum`: only its figures tell.
    WithMore,
}

/// A longer text names no sum.
const MOST_NAMED: usize = 40;

const NAMES: [&str; 12] = [
    "total",
    "totals",
    "sum",
    "sums",
    "subtotal",
    "subtotals",
    "sub total",
    "sub-total",
    "grand total",
    "grand totals",
    "sum total",
    "total sum",
];

/// How the first text of a row names a sum; or the second, behind the name of a supplier.
fn name(row: &Row) -> Option<Named> {
    let texts = (0..row.len()).map(|at| row.cell(at));
    let mut texts = texts.filter(|cell| cell.kind == Kind::Text && decimal(cell.text).is_none());
    let first = named(texts.next()?.text);
    first.or_else(|| named(texts.next()?.text).filter(|how| *how == Named::Alone))
}

fn named(text: &str) -> Option<Named> {
    let text = text.trim_matches(|c: char| !c.is_alphanumeric());
    if text.len() > MOST_NAMED {
        return None;
    }
    let text = text.to_lowercase();
    let is = |word: &str| NAMES.contains(&word);
    let mut words = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    if is(&text) {
        return Some(Named::Alone);
    }
    let (front, back) = (words.next().unwrap_or(""), words.next_back().unwrap_or(""));
    (is(front) || is(back) || front == "grand" && text.starts_with("grand total")).then_some(Named::WithMore)
}

/// Rows that begin with `#`.
pub(super) fn comment_rows(rows: u32) -> Finding {
    remark(
        "comment-rows",
        match rows {
            1 => "a row begins with # and is passed over as a comment".to_owned(),
            rows => format!("{rows} rows begin with # and are passed over as comments"),
        },
        "# before what is to be read by people alone",
        "nothing; where a row is meant, take its # away",
    )
}

/// Rows whose first cell is `#` and a number, which may be a name.
pub(super) fn comment_or_name(rows: u32) -> Finding {
    warning(
        "comment-or-name",
        match rows {
            1 => "a row begins with # and a number and is passed over as a comment".to_owned(),
            rows => format!("{rows} rows begin with # and a number and are passed over as comments"),
        },
        "a name without # before it, or a comment",
        "take the # away where the row is meant; type a space behind it where it is a comment",
    )
}

/// The headings once more.
pub(super) fn headings_again(rows: u32) -> Finding {
    remark(
        "headings-again",
        match rows {
            1 => "the headings stand here once more: the row is passed over".to_owned(),
            rows => format!("the headings stand here and in {} more rows: they are passed over", rows - 1),
        },
        "headings once, over the first row",
        "nothing, or take them out",
    )
}

/// What sums are expected to be.
const NO_SUMS: &str = "rows of the table alone: sums are made by the program";

/// A row that is the sum of rows above.
pub(super) fn sum_row() -> Finding {
    error("sum-row", "the row is the sum of rows above and is left out", NO_SUMS, "take the row out")
}

/// A row that is named as a sum and is none.
pub(super) fn named_as_sum() -> Finding {
    warning(
        "named-as-sum",
        "the row is named as a sum and is read as a row: its figures are not the sums of the rows above",
        NO_SUMS,
        "take the row out if it is a sum; else give it another name",
    )
}

/// The last row is the sum of all others and is not named so.
pub(super) fn like_a_sum() -> Finding {
    warning(
        "like-a-sum",
        "the last row is read, and its figures are the sums of all other rows",
        NO_SUMS,
        "take the row out if it is a sum",
    )
}

/// Rows that a spreadsheet hides.
pub(super) fn hidden_rows(rows: &[u32]) -> Finding {
    let listed = ranges(rows);
    warning(
        "hidden-rows",
        match rows.len() {
            1 => format!("row {listed} is hidden and is read"),
            _ => format!("rows {listed} are hidden and are read"),
        },
        IN_SIGHT,
        "show all rows and look at them: filters count too; take out what is not meant",
    )
}

/// A column that a spreadsheet hides.
pub(super) fn hidden_column(heading: &str) -> Finding {
    warning(
        "hidden-column",
        format!("the column {heading} is hidden and is read"),
        IN_SIGHT,
        "show the column and look at it; take it out if it is not meant",
    )
}

const IN_SIGHT: &str = "what is read in sight";

/// Rows in words, at most as many as are read: `5 to 7, 9`.
fn ranges(rows: &[u32]) -> String {
    const MOST: usize = 8;
    let mut list: Vec<(u32, u32)> = Vec::new();
    for row in rows {
        match list.last_mut() {
            Some((_, last)) if *last + 1 == *row => *last = *row,
            Some(_) | None => list.push((*row, *row)),
        }
    }
    let shown = list.iter().take(MOST).map(|(first, last)| match first == last {
        true => first.to_string(),
        false => format!("{first} to {last}"),
    });
    let shown: Vec<String> = shown.collect();
    let more = if list.len() > MOST { " and more" } else { "" };
    format!("{}{more}", shown.join(", "))
}
