//! What a cell is asked for, and what is told where it holds something else: what was expected and what to type instead.
//! [`super::Record`] asks; nothing is read here.

use rust_decimal::Decimal;

use super::figures::{fraction_typed, plain_form, whole, with_points};
use super::findings::short;
use super::row::{Cell, Kind};
use crate::ground::notice::{Finding, error, findings};
use crate::ground::{Date, LengthUnit};

/// What a cell is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ask {
    Length,
    Lengths,
    Size,
    Sizes,
    Count,
    Number,
    Money,
    Percent,
    Discount,
    Day,
    YesNo,
}

impl Ask {
    pub(super) fn is_of_length(self) -> bool {
        matches!(self, Self::Length | Self::Lengths)
    }

    fn expected(self) -> &'static str {
        match self {
            Self::Length => "a length such as 12' 6 1/2\", 12.5 or 3.81 m",
            Self::Lengths => "lengths parted by ; such as 4' 6\"; 8'",
            Self::Size => "a size such as 1/2, 3/4 or 1-1/4",
            Self::Sizes => "sizes such as 3/4 or 1 x 3/4 x 1/2",
            Self::Count => "a whole number",
            Self::Number => "a number such as 12.5",
            Self::Money => "an amount such as 12.50, or 41.30 per C",
            Self::Percent => "a percentage such as 10 or 7.5",
            Self::Discount => "a discount such as 25 or 25+15",
            Self::Day => "a day such as 2026-03-01",
            Self::YesNo => "yes or no",
        }
    }
}

/// What is wrong with a cell whatever its column holds.
pub(super) fn of_any_column(heading: &str, cell: Cell<'_>) -> Option<Finding> {
    let Cell { kind, text } = cell;
    // A formula without its result is told once a table.
    (kind == Kind::Fault)
        .then(|| fault(heading, text))
        .or_else(|| (kind == Kind::TooLong).then(|| long_cell(heading, text)))
}

/// What is wrong with a cell that does not hold what it is asked for; `unit` is that of bare lengths.
pub(super) fn of_another_kind(
    heading: &str,
    cell: Cell<'_>,
    ask: Ask,
    unit: LengthUnit,
    decimal_commas: bool,
) -> Finding {
    if matches!(cell.kind, Kind::Day | Kind::MonthYear) {
        day_instead(heading, cell, ask)
    } else if matches!(cell.kind, Kind::Shown | Kind::Scaled) {
        number_format(heading, cell, ask)
    } else {
        misread(heading, cell, ask, remedy(ask, cell, unit, decimal_commas))
    }
}

/// A formula that ended in an error.
fn fault(heading: &str, found: &str) -> Finding {
    error(
        "fault-in-cell",
        format!("{heading} is {}, the error of a formula", short(found)),
        "a value",
        "mend the formula, or type the value over it",
    )
}

/// Formulas without their results: how many, and the heading of the first.
pub(super) fn no_results(heading: &str, cells: u64) -> Finding {
    error(
        "formula-without-result",
        match cells {
            1 => format!("{heading} is a formula whose result was not saved"),
            cells => {
                format!("{cells} cells are formulas whose results were not saved, the first under {heading}")
            }
        },
        "formulas with their results, as spreadsheets save them",
        "open the workbook in a spreadsheet, let it recalculate and save it, or type the values over them",
    )
}

/// A text above the limit.
fn long_cell(heading: &str, begins: &str) -> Finding {
    error(
        "long-cell",
        format!("{heading} holds a very long text that begins \"{}\"", short(begins)),
        "a text of a few lines at most",
        "shorten it, or raise the limit: --limit letters=32767",
    )
}

/// A name above the limit.
pub(super) fn long_name(heading: &str, found: &str) -> Finding {
    error(
        "long-name",
        format!("{heading} is a name of {} letters that begins \"{}\"", found.chars().count(), short(found)),
        "a name of a few words",
        format!("shorten it, and tell the rest under note; or raise the limit: --limit name={}", found.len()),
    )
}

/// A day where something else belongs, and what was probably typed.
fn day_instead(heading: &str, cell: Cell<'_>, ask: Ask) -> Finding {
    let again = "format the column as Text, then type it again";
    error(
        "day-instead",
        format!("{heading} is the day {}: the spreadsheet made one of what was typed", cell.text),
        ask.expected(),
        match typed(ask, cell) {
            Some(typed) => format!("{again}: {typed} was probably meant"),
            None => again.to_owned(),
        },
    )
}

/// A number whose format shows a unit that does not belong there, or other digits.
fn number_format(heading: &str, cell: Cell<'_>, ask: Ask) -> Finding {
    let shown = short(cell.text);
    error(
        "number-format",
        match cell.kind == Kind::Scaled {
            true => format!(
                "{heading} is {shown}, and the number format of the cell shows other digits, as in thousands"
            ),
            false => format!("{heading} is shown as \"{shown}\" by the number format of the cell"),
        },
        ask.expected(),
        "format the cell as a plain number, look at what it shows then, and type what is meant",
    )
}

/// Anything else its column does not hold.
fn misread(heading: &str, cell: Cell<'_>, ask: Ask, remedy: String) -> Finding {
    error("misread-cell", format!("{heading} is \"{}\"", short(cell.text)), ask.expected(), remedy)
}

/// What was probably typed where a spreadsheet made a day of it.
fn typed(ask: Ask, cell: Cell<'_>) -> Option<String> {
    let fraction = fraction_typed(Date::read(cell.text)?, cell.kind == Kind::MonthYear);
    match ask {
        Ask::Length | Ask::Lengths => Some(format!("{fraction}\"")),
        Ask::Size | Ask::Sizes | Ask::Number => Some(fraction),
        // Chained discounts give the same price in either order.
        Ask::Discount => Some(fraction.replace('/', "+")),
        Ask::Count | Ask::Money | Ask::Percent | Ask::Day | Ask::YesNo => None,
    }
}

/// What to type instead of a misread cell.
fn remedy(ask: Ask, cell: Cell<'_>, unit: LengthUnit, decimal_commas: bool) -> String {
    if decimal_commas && with_points(cell.text).is_none() {
        let plain = cell.text.replace('.', "");
        let comma = cell.text.replace('.', ",");
        return format!("type {plain} if the point parts thousands, {comma} if it is the decimal mark");
    }
    let plain = plain_form(cell.text);
    match ask {
        Ask::Length | Ask::Lengths => match plain.filter(|_| cell.text.contains([',', 'e', 'E'])) {
            Some(plain) => format!("type {plain}"),
            None => format!(
                "type feet and inches, or a number with its unit; a bare number is read in {}",
                unit.abbreviation()
            ),
        },
        Ask::Size | Ask::Sizes => "type it as the trade writes it: 1/2, 3/4, 1-1/4".to_owned(),
        Ask::Count => match plain.and_then(|plain| whole(&plain)) {
            Some(plain) => format!("type {plain}"),
            None => "type digits alone, without a fraction".to_owned(),
        },
        Ask::Money if cell.text.matches(',').count() == 1 && !cell.text.contains('.') && plain.is_some() => {
            let (comma, none) = (plain.unwrap_or_default(), plain_form(&cell.text.replace(',', "")));
            let none = none.unwrap_or_default();
            format!("type {comma} if the comma is the decimal mark, {none} if it parts thousands")
        }
        Ask::Number | Ask::Money => match plain {
            Some(plain) => format!("type {plain}"),
            None => "type digits alone, with a decimal point if need be, or leave it empty".to_owned(),
        },
        Ask::Percent => match plain {
            Some(plain) => format!("type {plain}"),
            None => "type the points alone: 10".to_owned(),
        },
        Ask::Discount => "type the points, one after another: 25+15".to_owned(),
        Ask::Day => {
            match whole(cell.text).and_then(Date::from_serial).filter(|_| cell.kind == Kind::Number) {
                Some(day) => format!("format the cell as a date, or type {day}"),
                None => "type year, month and day: 2026-03-01".to_owned(),
            }
        }
        Ask::YesNo => "type yes or no".to_owned(),
    }
}

findings! {
    /// A fraction where a percentage is written in points.
    pub(super) fn fraction_for_percent(heading: &str, found: &str, points: Decimal) = warning("fraction-for-percent",
        "{heading} is {found}, which is read as {points} %",
        "a percentage in points",
        "type {points}, or format the cell as a percentage");
}
