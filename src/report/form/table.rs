//! One column of an output table: what it is called, what it says, and the cell of a row. A list of them is a table: a
//! CSV file, rows of `estimate.json`, a plain sheet and what a reader is told of them follow from it. `csv` and `json` ask
//! it.

use rust_decimal::Decimal;

use super::holds::{Holds, PLACE, TEXT};
use super::look::{Kind, Tone};
use super::page::{Page, SheetColumn, Written, column};
use crate::estimate::item::ItemId;
use crate::ground::{Date, money};
use crate::report::facts::Wording;

/// One cell, by what it holds: how it is written follows from that in every file.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::report) enum Value {
    /// Nothing is known, or nothing has a place here.
    Nothing,
    /// Any text, a user's or our own.
    Text(String),
    /// The sizes of tube or of a part.
    Size(String),
    /// A quantity or a length.
    Quantity(Decimal),
    /// A whole number: a count, an id.
    Whole(Decimal),
    /// A sum, of money or of hours.
    Cents(Decimal),
    /// A price.
    Price(Decimal),
    /// A percentage.
    Percent(Decimal),
    /// A small amount, with so many places at most.
    Places(Decimal, u32),
    /// A day, which a spreadsheet may take for one.
    Day(Date),
    /// Yes or no.
    YesNo(bool),
}

impl Value {
    /// Its text in a file, not yet guarded against being run.
    pub(in crate::report) fn written(&self) -> String {
        match self {
            Self::Nothing => String::new(),
            Self::Text(words) | Self::Size(words) => words.clone(),
            Self::Quantity(number) => money::quantity(*number),
            Self::Whole(number) => money::plain(*number),
            Self::Cents(sum) => money::cents(*sum),
            Self::Price(net) => money::price(*net),
            Self::Percent(percent) => money::points(*percent),
            Self::Places(number, places) => money::to_places(*number, *places),
            Self::Day(day) => day.to_string(),
            Self::YesNo(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        }
    }
}

/// What becomes a cell by its type alone.
macro_rules! cells {
    ($($of:ty: |$one:ident| $value:expr;)+) => {
        $(impl From<$of> for Value {
            fn from($one: $of) -> Self {
                $value
            }
        })+
    };
}

cells! {
    &str: |words| Self::Text(words.to_owned());
    String: |words| Self::Text(words);
    &String: |words| Self::Text(words.clone());
    bool: |yes| Self::YesNo(yes);
    Date: |day| Self::Day(day);
}

impl<V: Into<Value>> From<Option<V>> for Value {
    fn from(value: Option<V>) -> Self {
        value.map_or(Self::Nothing, Into::into)
    }
}

/// A whole number.
pub(in crate::report) fn whole(number: impl Into<Decimal>) -> Value {
    Value::Whole(number.into())
}

/// A column of a table of `Row`s.
#[derive(Clone, Copy)]
pub(in crate::report) struct Column<Row> {
    /// What stands over it; `(unit)` in it is the unit of length. Empty: no CSV file has it.
    heading: &'static str,
    /// Its key in `estimate.json` and what stands there; empty: it is not there.
    key: &'static str,
    holds: Holds,
    /// What it says, for a reader of the file.
    help: &'static str,
    /// Its width in characters on a sheet, what it holds there and how it speaks; nothing: no sheet has it.
    on_sheet: Option<(f64, Kind, Tone)>,
    pub(in crate::report) cell: fn(&Wording<'_>, &Row) -> Value,
}

impl<Row> Column<Row> {
    /// What stands over it in a CSV file.
    pub(in crate::report) fn heading(&self, words: &Wording<'_>) -> Option<String> {
        let unit = format!("({})", words.length_unit().abbreviation());
        (!self.heading.is_empty()).then(|| self.heading.replace("(unit)", &unit))
    }

    /// Its heading and what it says, for a reader of the file; nothing where no CSV file has it.
    fn said(&self) -> Option<Said> {
        (!self.heading.is_empty()).then_some((self.heading, self.help))
    }

    /// Its key in `estimate.json`.
    pub(in crate::report) fn key(&self) -> Option<&'static str> {
        (!self.key.is_empty()).then_some(self.key)
    }

    /// Its key, what it says and what stands there, for the schema of `estimate.json`.
    pub(in crate::report) fn keyed(&self) -> Option<(&'static str, &'static str, Holds)> {
        Some((self.key()?, self.help, self.holds))
    }
}

/// A heading of a CSV file and what stands under it.
pub(in crate::report) type Said = (&'static str, &'static str);

/// What the columns of a CSV file say.
pub(in crate::report) fn said<Row>(columns: &[Column<Row>]) -> Vec<Said> {
    columns.iter().filter_map(Column::said).collect()
}

/// A column of a CSV file alone.
pub(in crate::report) const fn in_csv<Row>(
    heading: &'static str,
    help: &'static str,
    cell: fn(&Wording<'_>, &Row) -> Value,
) -> Column<Row> {
    Column { heading, key: "", holds: TEXT, help, on_sheet: None, cell }
}

/// A column of `estimate.json` alone.
pub(in crate::report) const fn in_json<Row>(
    key: &'static str,
    holds: Holds,
    help: &'static str,
    cell: fn(&Wording<'_>, &Row) -> Value,
) -> Column<Row> {
    Column { heading: "", key, holds, help, on_sheet: None, cell }
}

/// A column of both.
pub(in crate::report) const fn in_both<Row>(
    [heading, key]: [&'static str; 2],
    holds: Holds,
    help: &'static str,
    cell: fn(&Wording<'_>, &Row) -> Value,
) -> Column<Row> {
    Column { heading, key, holds, help, on_sheet: None, cell }
}

/// A column of a sheet alone.
pub(in crate::report) const fn on_sheet<Row>(
    heading: &'static str,
    (width, kind, tone): (f64, Kind, Tone),
    cell: fn(&Wording<'_>, &Row) -> Value,
) -> Column<Row> {
    Column { heading, key: "", holds: TEXT, help: "", on_sheet: Some((width, kind, tone)), cell }
}

/// The columns as a sheet opens with them.
pub(in crate::report) fn of_sheet<Row>(columns: &[Column<Row>]) -> Vec<SheetColumn> {
    let shown = columns.iter().filter_map(|column| Some((column.heading, column.on_sheet?)));
    shown.map(|(heading, (width, kind, _))| column(heading, width, kind)).collect()
}

/// Writes the cells of a row of a sheet from a column on; the row is not ended.
pub(in crate::report) fn put_row<Row>(
    page: &mut Page<'_>,
    words: &Wording<'_>,
    (first, columns): (u16, &[Column<Row>]),
    row: &Row,
) -> Written {
    let shown = columns.iter().filter_map(|column| Some((column.on_sheet?.2, column.cell)));
    (first..).zip(shown).try_for_each(|(at, (tone, cell))| put_cell(page, at, &cell(words, row), tone))
}

/// Writes one cell of a sheet.
pub(in crate::report) fn put_cell(page: &mut Page<'_>, at: u16, value: &Value, tone: Tone) -> Written {
    match value {
        Value::Quantity(number)
        | Value::Whole(number)
        | Value::Cents(number)
        | Value::Price(number)
        | Value::Percent(number)
        | Value::Places(number, _) => page.number(at, *number, tone),
        Value::Nothing | Value::Text(_) | Value::Size(_) | Value::Day(_) | Value::YesNo(_) => {
            page.text(at, &value.written(), tone)
        }
    }
}

/// A row that speaks of an item of one alternative.
pub(in crate::report) trait OfItem {
    /// The index of the alternative, 0 for the chosen one, and the item.
    fn of(&self) -> (usize, ItemId);
}

/// The columns that say what an item is, and those that stand at both ends of a file.
pub(in crate::report) mod of_item {
    use super::{Column, OfItem, PLACE, Value, in_csv, in_json, whole};

    macro_rules! columns {
        ($($name:ident = $heading:literal, $help:literal, $cell:expr;)+) => {
            $(pub(in crate::report) const fn $name<Row: OfItem>() -> Column<Row> {
                in_csv($heading, $help, $cell)
            })+
        };
    }

    /// The item itself, for programs.
    pub(in crate::report) const fn id<Row: OfItem>() -> Column<Row> {
        in_json("item", PLACE, "its place in the list of items", |_, row| whole(row.of().1.0))
    }

    columns! {
        alternative = "alternative", "the system that it is an alternative of",
            |w, row| w.alternative(row.of().0).into();
        part = "part", "what it is", |w, row| w.part_name(row.of().1).into();
        system = "system", "the system it is for; empty where any will do",
            |w, row| w.item_system(row.of().1).into();
        size = "size", "its sizes as the trade writes them", |w, row| Value::Size(w.sizes(row.of().1));
        variant = "variant", "its variant and color", |w, row| w.variant(row.of().1).into();
        unit = "unit", "the unit it is counted in", |w, row| w.unit(row.of().1).into();
        estimate = "estimate", "complete, or INCOMPLETE: something is left out or not priced",
            |w, row| w.mark(row.of().0).into();
    }
}
