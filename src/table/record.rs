//! One row of a table, asked cell by cell for what its columns hold. Every misread cell becomes a notice here.

use rust_decimal::Decimal;

use super::words::Trouble;
use super::{Holds, Shape};
use crate::ground::size::{canonical, canonical_list};
use crate::ground::spot::RowAt;
use crate::ground::{Date, Length, LengthUnit, Notice, Sources};

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

/// Where the columns of a shape stand in one file, and the unit of their bare numbers.
#[derive(Debug, Clone)]
pub(super) struct Bound {
    /// For each column of the shape: its position from 0, and the unit its heading names.
    pub(super) columns: Vec<Option<(usize, Option<LengthUnit>)>>,
    /// Further columns that are kept: heading and position.
    pub(super) further: Vec<(String, usize)>,
}

/// One row of a table.
pub struct Record<'a> {
    pub(super) at: RowAt,
    pub(super) shape: &'a Shape,
    pub(super) bound: &'a Bound,
    pub(super) cells: &'a [&'a str],
    pub(super) bare: LengthUnit,
    pub(super) sources: &'a Sources,
    pub(super) notices: &'a mut Vec<Notice>,
    pub(super) misread: bool,
}

impl Record<'_> {
    /// Where the row stands.
    pub fn at(&self) -> RowAt {
        self.at
    }

    /// Whether any cell asked for so far was misread.
    pub fn misread(&self) -> bool {
        self.misread
    }

    /// The tables read so far, to make spots of.
    pub fn sources(&self) -> &Sources {
        self.sources
    }

    /// Takes a notice down.
    pub fn notice(&mut self, notice: Notice) {
        self.notices.push(notice);
    }

    /// Words; a number is given as it reads. Spaces around it are gone.
    pub fn text(&self, column: usize) -> Option<&str> {
        let (position, _) = (*self.bound.columns.get(column)?)?;
        let text = self.cells.get(position)?.trim();
        (!text.is_empty()).then_some(text)
    }

    /// A length.
    pub fn length(&mut self, column: usize) -> Got<Length> {
        let unit = self.unit(column);
        self.ask(column, "a length such as 12' 6 1/2\", 12.5 or 3.81 m", |t| Length::read(t, unit))
    }

    /// Several lengths parted by `;`.
    pub fn lengths(&mut self, column: usize) -> Got<Vec<Length>> {
        let unit = self.unit(column);
        self.ask(column, "lengths parted by ;", |t| t.split(';').map(|one| Length::read(one, unit)).collect())
    }

    /// One size in its one form.
    pub fn size(&mut self, column: usize) -> Got<String> {
        self.ask(column, "a size such as 1/2, 3/4 or 1-1/4", canonical)
    }

    /// The sizes of a fitting.
    pub fn sizes(&mut self, column: usize) -> Got<Vec<String>> {
        self.ask(column, "sizes such as 3/4 or 1 x 3/4 x 1/2", canonical_list)
    }

    /// A whole number.
    pub fn count(&mut self, column: usize) -> Got<i64> {
        self.ask(column, "a whole number", |t| t.parse().ok())
    }

    /// A decimal number.
    pub fn number(&mut self, column: usize) -> Got<Decimal> {
        self.ask(column, "a number", |t| Decimal::from_str_exact(t).ok())
    }

    /// A percentage in points (`10` or `10 %`).
    pub fn percent(&mut self, column: usize) -> Got<Decimal> {
        self.ask(column, "a percentage such as 10", |t| {
            Decimal::from_str_exact(t.strip_suffix('%').unwrap_or(t).trim()).ok()
        })
    }

    /// Chained percentages: `25+15` or `25/15`.
    pub fn discount(&mut self, column: usize) -> Got<Vec<Decimal>> {
        self.ask(column, "a discount such as 25 or 25+15", |t| {
            t.split(['+', '/'])
                .map(|one| Decimal::from_str_exact(one.trim().trim_end_matches('%').trim()).ok())
                .collect()
        })
    }

    /// A day.
    pub fn date(&mut self, column: usize) -> Got<Date> {
        self.ask(column, "a day such as 2026-03-01", Date::read)
    }

    /// Yes or no.
    pub fn yes_no(&mut self, column: usize) -> Got<bool> {
        self.ask(column, "yes or no", |t| match t.to_ascii_lowercase().as_str() {
            "yes" | "y" | "x" | "true" | "1" => Some(true),
            "no" | "n" | "false" | "0" => Some(false),
            _ => None,
        })
    }

    /// The cells of further columns that hold something: heading and number; words are not numbers and are passed over.
    pub fn further(&self) -> Vec<(&str, Decimal)> {
        self.bound
            .further
            .iter()
            .filter_map(|(heading, position)| {
                let number = Decimal::from_str_exact(self.cells.get(*position)?.trim()).ok()?;
                Some((heading.as_str(), number))
            })
            .collect()
    }

    fn unit(&self, column: usize) -> LengthUnit {
        self.bound.columns.get(column).and_then(|c| *c).and_then(|(_, unit)| unit).unwrap_or(self.bare)
    }

    fn ask<T>(&mut self, column: usize, expected: &'static str, read: impl Fn(&str) -> Option<T>) -> Got<T> {
        let Some(text) = self.text(column) else { return Got::Empty };
        if let Some(value) = read(text) {
            return Got::Value(value);
        }
        let found = text.to_owned();
        self.misread = true;
        let Some(definition) = self.shape.columns.get(column) else { return Got::Misread };
        let spot = self.sources.cell(self.at, definition.heading);
        let remedy = if definition.holds == Holds::Length {
            "type feet and inches, or a number"
        } else {
            definition.help
        };
        self.notices
            .push(Trouble::Misread { heading: definition.heading, found, expected, remedy }.word(spot));
        Got::Misread
    }
}
