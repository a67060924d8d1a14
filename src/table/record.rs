//! One row of a table, asked cell by cell for what its columns hold. Every misread cell becomes a notice here; what a
//! cell means is for the floors above.

use rust_decimal::Decimal;

use super::ask::{Ask, fraction_for_percent, long_name, of_another_kind, of_any_column};
use super::figures::{decimal, discount, percent, whole, with_points, yes_no};
use super::headings::Bound;
use super::money::Quoted;
use super::row::{Cell, Kind, Row};
use super::{Budget, Further, Shape};
use crate::ground::size::{canonical, canonical_list};
use crate::ground::spot::RowAt;
use crate::ground::{Date, Length, LengthUnit, Notice, Sources, Spot};

/// What a cell gave.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Got<T> {
    /// Nothing stands there.
    Empty,
    /// What stands there.
    Value(T),
    /// Something else stands there; the notice is already taken down.
    Misread,
}

impl<T> Got<T> {
    /// The value, if there is one.
    pub fn value(self) -> Option<T> {
        match self {
            Self::Value(value) => Some(value),
            Self::Empty | Self::Misread => None,
        }
    }
}

/// Formulas of a table that are needed and whose results were not saved.
#[derive(Debug, Default)]
pub(super) struct NoResults {
    /// How many there are.
    pub(super) cells: u64,
    /// The first of them: heading and cell.
    pub(super) first: Vec<(String, Spot)>,
}

impl NoResults {
    /// Takes one down.
    pub(super) fn meet(&mut self, heading: &str, spot: impl FnOnce() -> Spot) {
        const SHOWN: usize = 4;
        self.cells += 1;
        if self.first.len() < SHOWN {
            self.first.push((heading.to_owned(), spot()));
        }
    }
}

/// One row of a table.
pub struct Record<'a> {
    pub(super) at: RowAt,
    pub(super) shape: &'a Shape,
    pub(super) bound: &'a Bound,
    pub(super) row: &'a Row,
    pub(super) decimal_commas: bool,
    pub(super) sources: &'a Sources,
    pub(super) notices: &'a mut Vec<Notice>,
    pub(super) budget: &'a mut Budget,
    pub(super) no_results: &'a mut NoResults,
    pub(super) misread: bool,
}

impl Record<'_> {
    /// Where the row stands.
    pub fn at(&self) -> RowAt {
        self.at
    }

    /// Where a cell of the row stands; the whole row where the table has no such column.
    pub fn spot(&self, column: usize) -> Spot {
        match self.shape.columns.get(column) {
            Some(definition) => self.sources.cell(self.at, definition.heading),
            None => self.sources.row(self.at),
        }
    }

    /// Whether the table has the column at all.
    pub fn has(&self, column: usize) -> bool {
        self.bound.columns.get(column).is_some_and(Option::is_some)
    }

    /// Whether any cell asked for so far was misread, or the row holds a formula's error or the like.
    pub fn misread(&self) -> bool {
        self.misread
    }

    /// The tables read so far, to make spots of.
    pub fn sources(&self) -> &Sources {
        self.sources
    }

    /// Takes a notice down.
    pub fn notice(&mut self, notice: Notice) {
        self.budget.list(self.at.source, self.notices, notice);
    }

    /// Words; a number, a percentage or a day of a workbook is given as it reads (`12`, `0.5`, `5%`, `2026-03-01`).
    /// Spaces around it are gone.
    pub fn text(&self, column: usize) -> Option<&str> {
        let (cell, _) = self.cell(column)?;
        (!cell.is_empty() && !cell.kind.is_noticed()).then_some(cell.text)
    }

    /// A name, or several parted by `;`: words, none of them longer than the limit of names; a longer one is told, and
    /// nothing is read.
    pub fn name(&mut self, column: usize) -> Option<&str> {
        let longest = self.budget.limits.name();
        let long = self.text(column).filter(|text| text.len() > longest);
        if let Some(name) = long.and_then(|text| text.split(';').find(|name| name.len() > longest)) {
            let heading = self.shape.columns.get(column).map_or("", |definition| definition.heading);
            let notice = long_name(heading, name).at([self.spot(column)]);
            self.misread = true;
            self.notice(notice);
            return None;
        }
        self.text(column)
    }

    /// Whether nothing stands there, not even what cannot be read.
    pub fn is_blank(&self, column: usize) -> bool {
        self.cell(column).is_none_or(|(cell, _)| cell.is_empty())
    }

    /// Whether a cell is a formula whose result was not saved.
    pub(crate) fn lacks_result(&self, column: usize) -> bool {
        self.cell(column).is_some_and(|(cell, _)| cell.kind == Kind::NoResult)
    }

    /// Tells of a cell that is needed and cannot be read whatever it should hold. Only for tables of which that is not told
    /// before anybody asks.
    pub(crate) fn tell_noticed(&mut self, column: usize) {
        let Some((cell, _)) = self.cell(column).filter(|(cell, _)| cell.kind.is_noticed()) else { return };
        let heading = self.shape.columns.get(column).map_or("", |definition| definition.heading);
        let (spot, finding) = (self.spot(column), of_any_column(heading, cell));
        self.misread = true;
        match finding {
            Some(finding) => self.notice(finding.at([spot])),
            None => self.no_results.meet(heading, || spot),
        }
    }

    /// A length whose bare numbers are in a unit of the row's own, not of the heading.
    pub(crate) fn length_in(&mut self, column: usize, unit: LengthUnit) -> Got<Length> {
        self.ask(column, Ask::Length, |text, _| Length::read(text, unit))
    }

    /// A length.
    pub fn length(&mut self, column: usize) -> Got<Length> {
        self.ask(column, Ask::Length, Length::read)
    }

    /// Several lengths parted by `;`.
    pub fn lengths(&mut self, column: usize) -> Got<Vec<Length>> {
        self.ask(column, Ask::Lengths, |t, unit| t.split(';').map(|one| Length::read(one, unit)).collect())
    }

    /// Words that hold lengths, with the unit of those that name none; decimal commas between digits are points.
    pub fn measured(&mut self, column: usize) -> Got<(String, LengthUnit)> {
        let commas = self.decimal_commas;
        self.ask_as_written(column, Ask::Lengths, |text, unit| {
            Some((if commas { points_between_digits(text) } else { text.to_owned() }, unit))
        })
    }

    /// One size in its one form.
    pub fn size(&mut self, column: usize) -> Got<String> {
        self.ask(column, Ask::Size, |t, _| canonical(t))
    }

    /// The sizes of a fitting.
    pub fn sizes(&mut self, column: usize) -> Got<Vec<String>> {
        self.ask(column, Ask::Sizes, |t, _| canonical_list(t))
    }

    /// A whole number; `12.0` is 12.
    pub fn count(&mut self, column: usize) -> Got<i64> {
        self.ask(column, Ask::Count, |t, _| whole(t))
    }

    /// A decimal number. A cell that is shown as a percentage gives its value: 0.05 for `5%`.
    pub fn number(&mut self, column: usize) -> Got<Decimal> {
        self.decimal(column, Ask::Number)
    }

    /// A sum of money, or words that there is none, as people write them: `$7.10`, `1,234.50`, `41.30/C`, `no bid`.
    pub fn money(&mut self, column: usize) -> Got<Quoted> {
        let decimal_commas =
            self.decimal_commas && self.cell(column).is_some_and(|(c, _)| c.kind == Kind::Text);
        self.ask_as_written(column, Ask::Money, |t, _| Quoted::read(t, decimal_commas))
    }

    /// A sum of money in a text that holds more than one, as [`Record::money`] reads it.
    pub fn money_in(&self, text: &str) -> Option<Quoted> {
        Quoted::read(text, self.decimal_commas)
    }

    /// A percentage in points (`10` or `10 %`). A workbook number between 0 and 1 is a fraction: 0.05 is 5, with a
    /// warning unless the cell is shown as a percentage.
    pub fn percent(&mut self, column: usize) -> Got<Decimal> {
        match self.fraction(column) {
            Some(points) => Got::Value(points),
            None => self.ask(column, Ask::Percent, |t, _| percent(t)),
        }
    }

    /// Chained percentages: `25+15` or `25/15`. Workbook numbers are read as in [`Record::percent`].
    pub fn discount(&mut self, column: usize) -> Got<Vec<Decimal>> {
        match self.fraction(column) {
            Some(points) => Got::Value(vec![points]),
            None => self.ask(column, Ask::Discount, |t, _| discount(t)),
        }
    }

    /// A day: ISO text, or a date cell of a workbook.
    pub fn date(&mut self, column: usize) -> Got<Date> {
        self.ask(column, Ask::Day, |t, _| Date::read(t))
    }

    /// Yes or no.
    pub fn yes_no(&mut self, column: usize) -> Got<bool> {
        self.ask(column, Ask::YesNo, |t, _| yes_no(t))
    }

    /// The cells of further columns that hold a number: heading and number. Words are not numbers and are passed over:
    /// [`Record::further_words`] has them.
    pub fn further(&self) -> Vec<(&str, Decimal)> {
        self.further_cells().filter_map(|(heading, cell)| Some((heading, self.counted(cell)?))).collect()
    }

    /// The cells of further columns that hold something else than a number: heading and text.
    pub fn further_words(&self) -> Vec<(&str, &str)> {
        self.further_cells()
            .filter(|(_, cell)| self.counted(*cell).is_none())
            .map(|(heading, cell)| (heading, cell.text))
            .collect()
    }

    /// The number of a further cell.
    fn counted(&self, cell: Cell<'_>) -> Option<Decimal> {
        if cell.kind == Kind::Shown {
            return decimal(&bare(cell.text)?);
        }
        let commas = cell.kind == Kind::Text && self.decimal_commas;
        let plain = if commas { with_points(cell.text)? } else { cell.text.into() };
        (cell.kind != Kind::Scaled).then(|| decimal(&plain)).flatten()
    }

    fn further_cells(&self) -> impl Iterator<Item = (&str, Cell<'_>)> {
        self.bound
            .further
            .iter()
            .take_while(|(_, position)| *position < self.row.len())
            .map(|(heading, position)| (heading.as_str(), self.row.cell(*position)))
            .filter(|(_, cell)| !cell.is_empty() && !cell.kind.is_noticed())
    }

    fn cell(&self, column: usize) -> Option<(Cell<'_>, LengthUnit)> {
        let (position, unit) = self.bound.columns.get(column).copied().flatten()?;
        Some((self.row.cell(position), unit))
    }

    fn decimal(&mut self, column: usize, ask: Ask) -> Got<Decimal> {
        if let Some((Cell { kind: Kind::Percent, text }, _)) = self.cell(column)
            && let Some(value) = percent(text).and_then(|points| points.checked_mul(Decimal::new(1, 2)))
        {
            return Got::Value(value.normalize());
        }
        self.ask(column, ask, |t, _| decimal(t))
    }

    /// The points of a workbook number that is a fraction.
    fn fraction(&mut self, column: usize) -> Option<Decimal> {
        let (cell, _) = self.cell(column)?;
        if cell.kind == Kind::Percent {
            return percent(cell.text);
        }
        let number = decimal(cell.text)?;
        if cell.kind != Kind::Number || number.is_zero() || number.abs() >= Decimal::ONE {
            return None;
        }
        let points = number.checked_mul(Decimal::ONE_HUNDRED)?.normalize();
        let heading = self.shape.columns.get(column)?.heading;
        let notice = fraction_for_percent(heading, cell.text, points).at([self.spot(column)]);
        self.notice(notice);
        Some(points)
    }

    /// What a text means, its decimal commas made points.
    fn ask<T>(&mut self, column: usize, ask: Ask, read: impl Fn(&str, LengthUnit) -> Option<T>) -> Got<T> {
        let commas = self.decimal_commas
            && ask != Ask::Day
            && self.cell(column).is_some_and(|(cell, _)| cell.kind == Kind::Text);
        self.ask_as_written(column, ask, |text, unit| match commas {
            true => with_points(text).and_then(|text| read(&text, unit)),
            false => read(text, unit),
        })
    }

    fn ask_as_written<T>(
        &mut self,
        column: usize,
        ask: Ask,
        read: impl Fn(&str, LengthUnit) -> Option<T>,
    ) -> Got<T> {
        let Some((cell, unit)) = self.cell(column) else { return Got::Empty };
        let got = match cell.kind {
            Kind::Empty => return Got::Empty,
            Kind::Fault | Kind::NoResult | Kind::TooLong => {
                self.misread = true;
                if self.shape.further == Further::Passed {
                    self.tell_noticed(column);
                }
                return Got::Misread;
            }
            Kind::Text => read(cell.text, unit),
            // A unit that the format shows counts; words that change nothing are passed over.
            Kind::Shown if ask.is_of_length() => read(cell.text, unit),
            Kind::Shown if ask != Ask::Day => {
                read(cell.text, unit).or_else(|| bare(cell.text).and_then(|text| read(&text, unit)))
            }
            Kind::Number if ask != Ask::Day => read(cell.text, unit),
            Kind::Truth if ask == Ask::YesNo => read(cell.text, unit),
            Kind::Day | Kind::MonthYear if ask == Ask::Day => read(cell.text, unit),
            Kind::Number
            | Kind::Percent
            | Kind::Shown
            | Kind::Scaled
            | Kind::Truth
            | Kind::Day
            | Kind::MonthYear
            | Kind::Time => None,
        };
        match got {
            Some(value) => Got::Value(value),
            None => self.misread_cell(column, ask),
        }
    }

    #[cold]
    fn misread_cell<T>(&mut self, column: usize, ask: Ask) -> Got<T> {
        self.misread = true;
        let Some((position, unit)) = self.bound.columns.get(column).copied().flatten() else {
            return Got::Misread;
        };
        let heading = self.shape.columns.get(column).map_or("", |definition| definition.heading);
        let finding = of_another_kind(heading, self.row.cell(position), ask, unit, self.decimal_commas);
        let notice = finding.at([self.sources.cell(self.at, heading)]);
        self.notice(notice);
        Got::Misread
    }
}

/// The number alone, where what a format shows around it changes nothing: `3 pcs`, `$250`.
fn bare(shown: &str) -> Option<String> {
    const CHANGES_NOTHING: [&str; 17] = [
        "", "each", "ea", "ea.", "pc", "pcs", "pcs.", "piece", "pieces", "h", "hr", "hrs", "hour", "hours",
        "day", "days", "x",
    ];
    match Quoted::read(shown, false)? {
        Quoted::Sum(money) if CHANGES_NOTHING.contains(&&*money.per.to_lowercase()) => {
            Some(money.amount.to_string())
        }
        Quoted::Sum(_) | Quoted::None => None,
    }
}
/// The text with each comma between two digits made a point.
fn points_between_digits(text: &str) -> String {
    let is_digit =
        |at: Option<usize>| at.and_then(|at| text.as_bytes().get(at)).is_some_and(u8::is_ascii_digit);
    let plain = text.char_indices().map(|(at, c)| match c {
        ',' if is_digit(at.checked_sub(1)) && is_digit(Some(at + 1)) => '.',
        c => c,
    });
    plain.collect()
}
