//! One row of cells in the one form that CSV and workbooks share. It is filled by the doors, reused from row to row, and
//! asked by [`super::Record`]; it knows no headings.

use std::borrow::Cow;

use super::limits::Limits;
use crate::ground::inert::bare;

/// What a cell is, before anybody asks what it should be. The text of each is what a person would see.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// Nothing.
    Empty,
    /// Words, or a number typed as words: every cell of a CSV file.
    Text,
    /// A number of a workbook, as its shortest decimal.
    Number,
    /// A number of a workbook that is shown as a percentage: `5%` for 0.05.
    Percent,
    /// A number of a workbook with what its format shows around it: `31 in`, `$7.1`.
    Shown,
    /// A number of a workbook whose format shows other digits: in thousands.
    Scaled,
    /// A yes or no of a workbook: `TRUE` or `FALSE`.
    Truth,
    /// A day, as ISO text.
    Day,
    /// A day that is shown as month and year alone, as ISO text: what a typed `1/32` becomes.
    MonthYear,
    /// A time of day or a span of time.
    Time,
    /// The error a formula ended in: `#N/A`.
    Fault,
    /// A formula whose result was not saved.
    NoResult,
    /// A text above the cap: its beginning.
    TooLong,
}

impl Kind {
    /// Whether the door has noticed the cell before anybody asks for it.
    pub(super) fn is_noticed(self) -> bool {
        matches!(self, Self::Fault | Self::NoResult | Self::TooLong)
    }

    /// The letter that stands for it between a child process and its parent.
    pub(super) fn letter(self) -> u8 {
        match self {
            Self::Empty => b'-',
            Self::Text => b't',
            Self::Number => b'n',
            Self::Percent => b'p',
            Self::Shown => b'u',
            Self::Scaled => b'k',
            Self::Truth => b'b',
            Self::Day => b'd',
            Self::MonthYear => b'm',
            Self::Time => b'h',
            Self::Fault => b'e',
            Self::NoResult => b'f',
            Self::TooLong => b'l',
        }
    }

    /// The kind a letter stands for.
    pub(super) fn from_letter(letter: u8) -> Option<Self> {
        use Kind::*;
        let all = [
            Empty, Text, Number, Percent, Shown, Scaled, Truth, Day, MonthYear, Time, Fault, NoResult,
            TooLong,
        ];
        all.into_iter().find(|kind| kind.letter() == letter)
    }
}

/// A cell: its kind and its text without spaces around it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Cell<'a> {
    pub(super) kind: Kind,
    pub(super) text: &'a str,
}

impl Cell<'_> {
    /// Whether nothing stands in it.
    pub(super) fn is_empty(self) -> bool {
        self.kind == Kind::Empty
    }
}

const NOTHING: Span = Span { start: 0, end: 0, kind: Kind::Empty };

#[derive(Debug, Clone, Copy)]
struct Span {
    start: usize,
    end: usize,
    kind: Kind,
}

/// A row of cells.
#[derive(Debug)]
pub(super) struct Row {
    text: String,
    spans: Vec<Span>,
    noticed: bool,
    beyond: Option<usize>,
    /// How many cells of it are looked at, and how many bytes of one.
    most: (usize, usize),
}

impl Row {
    /// An empty row within the limits.
    pub(super) fn within(limits: &Limits) -> Self {
        let most = (limits.columns(), limits.letters());
        Self { text: String::new(), spans: Vec::new(), noticed: false, beyond: None, most }
    }

    /// Makes it empty; what it has reserved stays.
    pub(super) fn clear(&mut self) {
        self.text.clear();
        self.spans.clear();
        self.noticed = false;
        self.beyond = None;
    }

    /// Adds a cell at the right; of cells beyond the cap of columns only the place of one is kept.
    pub(super) fn push(&mut self, kind: Kind, text: &str) {
        if self.spans.len() < self.most.0 {
            let span = self.span(kind, text);
            self.spans.push(span);
        } else if !text.trim().is_empty() {
            self.beyond = Some(self.most.0);
        }
    }

    /// Puts a cell where it belongs; a later one takes the place of an earlier one. Whether there was an earlier one.
    pub(super) fn put(&mut self, column: usize, kind: Kind, text: &str) -> bool {
        if column >= self.most.0 {
            self.beyond = self.beyond.or(Some(column));
            return false;
        }
        if self.spans.len() <= column {
            self.spans.resize(column + 1, NOTHING);
        }
        let span = self.span(kind, text);
        match self.spans.get_mut(column) {
            Some(place) => std::mem::replace(place, span).kind != Kind::Empty,
            None => false,
        }
    }

    /// The row with other texts in some of its cells, columns counted from 1; column 0 is the whole row.
    pub(super) fn with<'a>(&self, cells: impl Iterator<Item = (u32, &'a str)>) -> Self {
        let (text, spans, noticed) = (String::new(), Vec::new(), false);
        let mut row = Self { text, spans, noticed, ..*self };
        for column in 0..self.len() {
            let cell = self.cell(column);
            row.push(cell.kind, cell.text);
        }
        for (column, text) in cells {
            match usize::try_from(column).ok().and_then(|column| column.checked_sub(1)) {
                Some(column) => {
                    row.put(column, Kind::Text, text);
                }
                None => row.clear(),
            }
        }
        row
    }

    fn span(&mut self, kind: Kind, text: &str) -> Span {
        let (kind, text) = if text.len() > self.most.1 {
            let end = text.char_indices().nth(40).map_or(text.len(), |(at, _)| at);
            (Kind::TooLong, text.get(..end).unwrap_or(""))
        } else {
            (kind, text.trim())
        };
        // The guard that a writer of ours put on comes off, whatever program the text went through since.
        let unguarded = if kind == Kind::Text { bare(text) } else { Cow::Borrowed(text) };
        let text = unguarded.trim();
        // A text of spaces alone says no more than an empty cell.
        let kind = match kind == Kind::Text {
            true if text.is_empty() => Kind::Empty,
            true if is_fault(text) => Kind::Fault,
            _ => kind,
        };
        self.noticed |= kind.is_noticed();
        let start = self.text.len();
        self.text.push_str(text);
        Span { start, end: self.text.len(), kind }
    }

    /// The cell of a column counted from 0; empty beyond the last.
    pub(super) fn cell(&self, column: usize) -> Cell<'_> {
        let span = self.spans.get(column).copied().unwrap_or(NOTHING);
        Cell { kind: span.kind, text: self.text.get(span.start..span.end).unwrap_or("") }
    }

    /// The bytes of text in all its cells.
    pub(super) fn text_bytes(&self) -> usize {
        self.text.len()
    }

    /// How many cells it has, empty ones among them.
    pub(super) fn len(&self) -> usize {
        self.spans.len()
    }

    /// The column, from 0, of a cell beyond the cap of columns.
    pub(super) fn beyond(&self) -> Option<usize> {
        self.beyond
    }

    /// Whether nothing stands in it, up to the cap of columns.
    pub(super) fn is_blank(&self) -> bool {
        self.spans.iter().all(|span| span.kind == Kind::Empty)
    }

    /// Whether one of its cells gets a notice before anybody asks for it.
    pub(super) fn has_noticed(&self) -> bool {
        self.noticed
    }
}

/// Whether a text is the error of a formula, as CSV and ods hold it: `#N/A`, `Err:502`.
fn is_fault(text: &str) -> bool {
    match text.as_bytes() {
        [b'#', ..] => {
            matches!(
                text,
                "#N/A"
                    | "#DIV/0!"
                    | "#VALUE!"
                    | "#REF!"
                    | "#NAME?"
                    | "#NUM!"
                    | "#NULL!"
                    | "#SPILL!"
                    | "#CALC!"
            )
        }
        [b'E', b'r', b'r', b':', number @ ..] => number.len() == 3 && number.iter().all(u8::is_ascii_digit),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_cell_twice_keeps_the_later() {
        let mut row = Row::within(&Limits::default());
        assert!(!row.put(2, Kind::Text, "first"));
        assert!(row.put(2, Kind::Number, "2"));
        assert_eq!(row.cell(2), Cell { kind: Kind::Number, text: "2" });
        assert_eq!(row.cell(0).kind, Kind::Empty);
        assert_eq!(row.len(), 3);
    }

    #[test]
    fn a_row_can_be_read_with_other_cells() {
        let mut row = Row::within(&Limits::default());
        row.push(Kind::Text, "B1");
        row.push(Kind::Text, "no");
        let other = row.with([(2, ""), (4, "x")].into_iter());
        let texts: Vec<&str> = (0..other.len()).map(|column| other.cell(column).text).collect();
        assert_eq!(texts, ["B1", "", "", "x"]);
        assert!(row.with([(0, "")].into_iter()).is_blank());
    }

    #[test]
    fn a_text_beyond_the_cap_keeps_only_its_beginning() {
        let mut row = Row::within(&Limits::default());
        row.push(Kind::Text, &"é".repeat(2_001));
        assert_eq!(row.cell(0).kind, Kind::TooLong);
        assert_eq!(row.cell(0).text.chars().count(), 40);
        assert!(row.has_noticed());
    }

    #[test]
    fn every_kind_has_a_letter_of_its_own() {
        for letter in 0..=u8::MAX {
            if let Some(kind) = Kind::from_letter(letter) {
                assert_eq!(kind.letter(), letter);
            }
        }
    }
}
