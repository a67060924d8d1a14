//! Reads the rows of a sheet of an xlsx workbook, cell by cell as they stream. It knows no headings.

use std::path::{Path, PathBuf};

use super::assemble::Assembler;
use super::findings::{damaged, no_sheet};
use super::limits::Limits;
use super::number::{Format, shown};
use super::plain::Stamp;
use super::row::Kind;
use super::xlsx_book::{Book, Part, Shared, take_text, unescape};
use super::xml::Token;
use super::{Go, Sink, caps};
use crate::ground::notice::Finding;

/// The workbook that was read last, with what its sheets share; nothing before the first.
pub(super) type Kept = Option<(PathBuf, Option<Stamp>, Book, Shared)>;

/// Hands the rows of a sheet over that have cells; of the first visible sheet where none is named. What the sheets share
/// is read once where they follow one another.
pub(super) fn rows(
    path: &Path,
    sheet: Option<&str>,
    limits: &Limits,
    kept: &mut Kept,
    sink: &mut dyn Sink,
) -> Result<(), Finding> {
    let stamp = Stamp::of(path);
    if !kept.as_ref().is_some_and(|(of, then, ..)| of == path && *then == stamp) {
        // The one before goes first: two workbooks at once are one too many.
        *kept = None;
        let mut book = Book::open(path, limits)?;
        let shared = book.shared()?;
        *kept = Some((path.to_owned(), stamp, book, shared));
    }
    let Some((_, _, book, shared)) = kept else { return Ok(()) };
    let name = match sheet {
        Some(name) => name.to_owned(),
        None => book.first_sheet().unwrap_or_default().to_owned(),
    };
    let texts = book.most_unpacked();
    let Some(part) = book.sheet(&name)? else {
        return Err(no_sheet(&name));
    };
    let mut assembler = Assembler::new(limits, sink);
    let (row, column, value) = (0, 0, String::new());
    let mut cells = Cells { part, shared, row, column, value, texts };
    // Where the sheet breaks off the row at hand may lack cells: it is left out.
    cells.all(&mut assembler)?;
    assembler.end();
    Ok(())
}

/// The cells of a sheet on their way.
struct Cells<'a> {
    part: Part<'a>,
    shared: &'a Shared,
    /// The row and column, from 1, of the last cell: a cell without an address stands right of it.
    row: u32,
    column: u32,
    value: String,
    /// How much shared text its cells may still point at, and what is told beyond.
    texts: (u64, Finding),
}

impl Cells<'_> {
    fn all(&mut self, to: &mut Assembler<'_>) -> Result<(), Finding> {
        let mut in_data = false;
        loop {
            match self.part.next()? {
                Token::Open => match self.part.name() {
                    "sheetData" => in_data = true,
                    "col" if !in_data => self.column(to),
                    "row" if in_data => {
                        let named = self.part.attribute("r");
                        self.row = match named.as_deref().map(str::parse) {
                            Some(Ok(row)) => row,
                            Some(Err(_)) => u32::MAX,
                            None => self.row.saturating_add(1),
                        };
                        self.column = 0;
                        let [hidden, height] = self.part.attributes(["hidden", "ht"]);
                        if hides(hidden.as_deref(), height.as_deref()) {
                            to.hide_row(self.row);
                        }
                    }
                    "c" if in_data => {
                        if matches!(self.cell(to)?, Go::Stop) {
                            return Ok(());
                        }
                    }
                    _ => {}
                },
                Token::Close if self.part.name() == "sheetData" => return self.part.finish(),
                Token::Close | Token::Text => {}
                Token::End => {
                    return Err(damaged("the sheet has no end"));
                }
            }
        }
    }

    /// Tells of columns that are hidden.
    fn column(&self, to: &mut Assembler<'_>) {
        let [hidden, width] = self.part.attributes(["hidden", "width"]);
        if hides(hidden.as_deref(), width.as_deref()) {
            let [from, until] = self.part.attributes(["min", "max"]);
            let number = |text: Option<std::borrow::Cow<'_, str>>| text.and_then(|text| text.parse().ok());
            if let (Some(from), Some(until)) = (number(from), number(until)) {
                to.hide_columns(from, until);
            }
        }
    }

    fn cell(&mut self, to: &mut Assembler<'_>) -> Result<Go, Finding> {
        self.column = self.column.saturating_add(1);
        let mut known = true;
        let [address, style, holds] = self.part.attributes(["r", "s", "t"]);
        let style = style.and_then(|s| s.parse::<usize>().ok()).unwrap_or(0);
        let holds = Holding::of(holds.as_deref());
        if let Some(address) = address {
            match place(&address) {
                Some((row, column)) => (self.row, self.column) = (row, column),
                None => {
                    to.no_address(&address);
                    known = false;
                }
            }
        }
        let (formula, valued) = self.content(holds)?;
        if !known {
            return Ok(Go::On);
        }
        if formula && !valued {
            return Ok(to.cell(self.row, self.column, Kind::NoResult, ""));
        }
        let plain = Format::default();
        let format = self.shared.formats.get(style).unwrap_or(&plain);
        let (kind, number) = self.value(holds, format);
        if holds == Holding::SharedText {
            match self.texts.0.checked_sub(self.value.len() as u64) {
                Some(left) => self.texts.0 = left,
                None => return Err(self.texts.1.clone()),
            }
        }
        Ok(to.cell(self.row, self.column, kind, number.as_deref().unwrap_or(&self.value)))
    }

    /// Takes what stands in a cell into `self.value`: whether it has a formula, and whether it has a value.
    fn content(&mut self, holds: Holding) -> Result<(bool, bool), Finding> {
        self.value.clear();
        let (mut formula, mut valued, mut in_value) = (false, false, false);
        loop {
            match self.part.next()? {
                Token::Open => match self.part.name() {
                    "f" => formula = true,
                    "v" => {
                        in_value = true;
                        // The empty text is a result; an empty number is none.
                        valued |= holds == Holding::FormulaText;
                    }
                    "is" if holds == Holding::InlineText => {
                        take_text(&mut self.part, "is", &mut self.value)?;
                        valued = true;
                    }
                    _ => {}
                },
                Token::Close => match self.part.name() {
                    "v" => in_value = false,
                    "c" => return Ok((formula, valued)),
                    "sheetData" => {
                        return Err(damaged("a cell without its end"));
                    }
                    _ => {}
                },
                Token::Text if in_value && holds != Holding::InlineText => {
                    if self.value.len() <= caps::CELL_BYTES {
                        self.value.push_str(self.part.text());
                    }
                    valued = true;
                }
                Token::Text => {}
                Token::End => return Err(damaged("a cell without its end")),
            }
        }
    }

    /// The kind of the cell, and its text where that is not `self.value`.
    fn value(&mut self, holds: Holding, format: &Format) -> (Kind, Option<String>) {
        if self.value.is_empty() {
            return (Kind::Empty, None);
        }
        match holds {
            Holding::SharedText => {
                match self.value.trim().parse().ok().and_then(|i| self.shared.texts.get(i)) {
                    Some(text) => {
                        self.value.clear();
                        self.value.push_str(text);
                        (Kind::Text, None)
                    }
                    None => (Kind::Fault, Some("a text that the workbook does not hold".to_owned())),
                }
            }
            Holding::InlineText => (Kind::Text, None),
            Holding::FormulaText => {
                let mut text = String::new();
                unescape(&self.value, &mut text);
                (Kind::Text, Some(text))
            }
            Holding::Truth => match self.value.trim() {
                "1" | "true" | "TRUE" => (Kind::Truth, Some("TRUE".to_owned())),
                "0" | "false" | "FALSE" => (Kind::Truth, Some("FALSE".to_owned())),
                _ => (Kind::Fault, None),
            },
            Holding::Fault => (Kind::Fault, None),
            Holding::IsoDay => match self.value.get(..10).and_then(crate::ground::Date::read) {
                Some(day) => (Kind::Day, Some(day.to_string())),
                None => (Kind::Text, None),
            },
            Holding::Number if *format == Format::Number && is_shortest(&self.value) => (Kind::Number, None),
            Holding::Number => match number(&self.value) {
                Some(number) => {
                    let (kind, text) = shown(number, format, self.shared.from_1904);
                    (kind, Some(text))
                }
                None => (Kind::Text, None),
            },
        }
    }
}

/// What a cell says that it holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Holding {
    Number,
    SharedText,
    InlineText,
    FormulaText,
    Truth,
    Fault,
    IsoDay,
}

impl Holding {
    fn of(word: Option<&str>) -> Self {
        match word {
            Some("s") => Self::SharedText,
            Some("inlineStr" | "is") => Self::InlineText,
            Some("str") => Self::FormulaText,
            Some("b") => Self::Truth,
            Some("e") => Self::Fault,
            Some("d") => Self::IsoDay,
            Some(_) | None => Self::Number,
        }
    }
}

/// Whether a row or a column is hidden: said so, filtered out, or of no height.
fn hides(hidden: Option<&str>, size: Option<&str>) -> bool {
    matches!(hidden, Some("1" | "true")) || size.and_then(number).is_some_and(|size| size == 0.0)
}

/// A number as a workbook writes it; not the words that a float also reads (`inf`, `nan`).
fn number(text: &str) -> Option<f64> {
    let text = text.trim();
    let plain = text.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'+' | b'e' | b'E'));
    if plain { text.parse().ok() } else { None }
}

/// Whether a number is written as its shortest decimal already, so that it need not be read to be shown.
fn is_shortest(text: &str) -> bool {
    let digits = text.strip_prefix('-').unwrap_or(text);
    let (whole, places) = digits.split_once('.').unwrap_or((digits, "1"));
    let plain = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    digits.len() <= 15
        && plain(whole)
        && plain(places)
        && !places.ends_with('0')
        && (whole == "0" || !whole.starts_with('0'))
        && text != "-0"
}

/// The row and column, from 1, of an address such as `C7`. Nothing where no sheet has such a cell: `XFE1`, `A1048577`,
/// `A0`, and numbers so long that they would wrap around.
fn place(address: &str) -> Option<(u32, u32)> {
    let digits = address.find(|c: char| !c.is_ascii_alphabetic())?;
    let (letters, digits) = address.split_at(digits);
    if !(1..=3).contains(&letters.len()) || !(1..=7).contains(&digits.len()) {
        return None;
    }
    let column = letters.bytes().fold(0, |sum, b| sum * 26 + u32::from(b.to_ascii_uppercase() - b'A') + 1);
    let row = if digits.bytes().all(|b| b.is_ascii_digit()) { digits.parse().ok()? } else { 0 };
    ((1..=caps::SHEET_ROWS).contains(&row) && column <= caps::SHEET_COLUMNS).then_some((row, column))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_that_is_its_shortest_decimal_is_kept_as_written() {
        for text in ["0", "12", "-0.5", "12.5", "100", "0.285"] {
            assert!(is_shortest(text), "{text}");
            let (_, shown) = shown(text.parse().unwrap(), &Format::Number, false);
            assert_eq!(shown, text);
        }
        for text in ["007", "1.50", "1e5", "-0", "0.28499999999999998", "+1", ".5", "5.", "", "-"] {
            assert!(!is_shortest(text), "{text}");
        }
    }

    #[test]
    fn only_addresses_that_a_sheet_has_are_places() {
        assert_eq!(place("C7"), Some((7, 3)));
        assert_eq!(place("XFD1048576"), Some((1_048_576, 16_384)));
        for address in
            ["XFE1", "A1048577", "A0", "A99999999999", "A4294967298", "7", "C", "", "A-1", "AAAA1", "Ä1"]
        {
            assert_eq!(place(address), None, "{address}");
        }
    }
}
