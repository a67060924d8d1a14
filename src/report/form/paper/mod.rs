//! A paper that is handed over: who sends it to whom, what it says, tables, lists, bars, lines to sign. It is values alone,
//! and has two forms: a workbook of one sheet, and a page that prints and reads on a telephone. It knows no trade; the
//! papers of an estimate and of a revision are made of it.

mod sheet;
mod web;

use rust_decimal::Decimal;
use rust_xlsxwriter::XlsxError;

use super::look::Kind;
use super::table::Value;
use crate::ground::inert::kept_on_a_line;
use crate::ground::money::{QUANTITY_PLACES, round_half_away};
use crate::ground::threads::in_threads;
use crate::ground::{Date, money};

/// A paper.
pub(in crate::report) struct Paper {
    /// The name of its files, without the ending.
    pub(in crate::report) name: String,
    /// What it is: `Bid`.
    pub(in crate::report) title: String,
    /// What it is of, below it.
    pub(in crate::report) about: String,
    /// Who sends it, a line each; the first is the name.
    pub(in crate::report) from: Vec<String>,
    /// A word before the one who gets it, and the lines of the address.
    pub(in crate::report) to: (&'static str, Vec<String>),
    /// Numbers, days, names; those without a value are left out.
    pub(in crate::report) facts: Vec<(&'static str, String)>,
    /// What must not be overlooked.
    pub(in crate::report) banners: Vec<String>,
    /// The columns of its sheet, in tenths of a character: what tables stand in.
    pub(in crate::report) grid: Vec<u16>,
    pub(in crate::report) blocks: Vec<Block>,
    /// What stands at the foot of each page.
    pub(in crate::report) foot: String,
    /// Whether paper is cut in metres.
    pub(in crate::report) metric: bool,
    /// Whether it lies across.
    pub(in crate::report) lies: bool,
    /// The day that its file says it is of.
    pub(in crate::report) day: Option<Date>,
}

/// Something on a paper, one below the other.
pub(in crate::report) enum Block {
    Heading(String),
    Words(String),
    List(Vec<String>),
    Table(Table),
    /// Lengths, drawn.
    Bars(Vec<Bar>),
    /// Lines to sign: who signs, and what is written beside it.
    Sign(Vec<Signs>),
}

/// Rows under headings.
pub(in crate::report) struct Table {
    pub(in crate::report) columns: Vec<TableColumn>,
    pub(in crate::report) rows: Vec<Row>,
}

/// A column of a table.
pub(in crate::report) struct TableColumn {
    /// What stands over it; where all are empty there is no row of headings.
    pub(in crate::report) heading: String,
    /// How many columns of the sheet it takes.
    pub(in crate::report) span: u16,
    pub(in crate::report) kind: Kind,
}

/// A row of a table.
pub(in crate::report) enum Row {
    Cells(Vec<Cell>),
    /// A sum, or what else is to stand out.
    Sum(Vec<Cell>),
    /// Words over the rows that follow.
    Band(String),
}

/// A cell of a table.
pub(in crate::report) enum Cell {
    Of(Value),
    /// For reference.
    Muted(Value),
    /// To be filled in.
    Fill,
    /// Boxes to tick, each with a word.
    Tick(&'static [&'static str]),
}

/// A length of something, drawn.
pub(in crate::report) struct Bar {
    /// What it is: `1 of 3: coil of 100 ft`.
    pub(in crate::report) words: String,
    /// How long it is, in any unit.
    pub(in crate::report) length: i64,
    /// How long one is that takes the whole width: bars that may be compared have one scale.
    pub(in crate::report) scale: i64,
    /// What it is parted into, in the same unit, each with its words; what is left is not among them.
    pub(in crate::report) parts: Vec<(i64, String)>,
}

/// A line to sign.
pub(in crate::report) struct Signs {
    /// For whom: `For Birch & Vale Plumbing`.
    pub(in crate::report) of: String,
    /// Who, where it is known.
    pub(in crate::report) name: String,
}

/// What is written beside a signature.
const BESIDE_A_SIGNATURE: [&str; 3] = ["signature", "name, title", "date"];

impl<V: Into<Value>> From<V> for Cell {
    fn from(value: V) -> Self {
        Self::Of(value.into())
    }
}

/// A column of a table by its heading, how many columns of the sheet it takes and what it holds.
pub(in crate::report) fn over(heading: &str, span: u16, kind: Kind) -> TableColumn {
    TableColumn { heading: heading.to_owned(), span, kind }
}

/// A file: its path from the output folder, and its bytes.
pub(in crate::report) type Named = (Box<str>, Vec<u8>);

impl Paper {
    /// A paper with nothing on it.
    pub(in crate::report) fn new(name: &str, title: &str, grid: &[u16]) -> Self {
        Self {
            name: name.to_owned(),
            title: title.to_owned(),
            about: String::new(),
            from: Vec::new(),
            to: ("", Vec::new()),
            facts: Vec::new(),
            banners: Vec::new(),
            grid: grid.to_vec(),
            blocks: Vec::new(),
            foot: String::new(),
            metric: false,
            lies: false,
            day: None,
        }
    }

    /// Its files by their names: the workbook and the page.
    ///
    /// # Errors
    ///
    /// What the workbook could not hold.
    pub(in crate::report) fn files(&self) -> Result<[Named; 2], XlsxError> {
        let file = |ending: &str| format!("{FOLDER}/{}.{ending}", self.name).into();
        Ok([(file("xlsx"), sheet::bytes(self)?), (file("html"), web::bytes(self))])
    }

    /// Facts that have a value.
    fn known_facts(&self) -> impl Iterator<Item = (&'static str, &str)> {
        self.facts.iter().filter(|(_, value)| !value.is_empty()).map(|(name, value)| (*name, value.as_str()))
    }
}

/// The files of papers, each written in a thread of its own.
///
/// # Errors
///
/// What a workbook could not hold.
pub(in crate::report) fn files_of(papers: &[Paper]) -> Result<Vec<Named>, XlsxError> {
    let mut files = Vec::with_capacity(2 * papers.len());
    for of_one in in_threads(papers, Paper::files) {
        files.extend(of_one?);
    }
    Ok(files)
}

/// The folder of an output folder that papers stand in.
pub const FOLDER: &str = "papers";

/// Whether a name in an output folder is that of a paper.
pub(in crate::report) fn is_paper(name: &str) -> bool {
    let file = name.strip_prefix(FOLDER).and_then(|rest| rest.strip_prefix('/'));
    file.is_some_and(|file| {
        !file.contains('/') && [".xlsx", ".html"].iter().any(|ending| file.ends_with(ending))
    })
}

/// What a cell shows.
fn shown(value: &Value) -> String {
    match value {
        Value::Cents(sum) => grouped(&money::cents(*sum)),
        Value::Price(net) => grouped(&money::price(*net)),
        Value::Quantity(number) => grouped(&money::quantity(*number)),
        Value::Whole(number) => grouped(&money::plain(*number)),
        Value::Nothing
        | Value::Text(_)
        | Value::Size(_)
        | Value::Percent(_)
        | Value::Places(..)
        | Value::Day(_)
        | Value::YesNo(_) => value.written(),
    }
}

/// The number of a cell, with the places that it shows; nothing where it holds words.
fn number(value: &Value) -> Option<Decimal> {
    match value {
        Value::Quantity(number) => Some(round_half_away(*number, QUANTITY_PLACES)),
        Value::Whole(number)
        | Value::Cents(number)
        | Value::Price(number)
        | Value::Percent(number)
        | Value::Places(number, _) => Some(*number),
        Value::Nothing | Value::Text(_) | Value::Size(_) | Value::Day(_) | Value::YesNo(_) => None,
    }
}

/// A number with a comma before each three digits of its whole part: `12,345.60`.
fn grouped(number: &str) -> String {
    let (whole, part) = number.split_at(number.find('.').unwrap_or(number.len()));
    let (sign, digits) = whole.split_at(usize::from(whole.starts_with('-')));
    let mut grouped = String::with_capacity(number.len() + 4);
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    format!("{sign}{grouped}{part}")
}

/// The name of a file, of a name that somebody chose: its words in small letters and hyphens, and a number where two would
/// be alike.
pub(in crate::report) fn file_name(before: &str, name: &str, taken: &[String]) -> String {
    /// As long as any disk takes.
    const MOST: usize = 40;
    let mut words = String::new();
    for c in kept_on_a_line(name).chars().flat_map(char::to_lowercase) {
        match c {
            c if c.is_alphanumeric() => words.push(c),
            _ if words.is_empty() || words.ends_with('-') => {}
            _ => words.push('-'),
        }
    }
    let short: String = words.chars().take(MOST).collect();
    let stem = format!("{before}-{}", short.trim_matches('-'));
    let stem = stem.trim_end_matches('-').to_owned();
    let numbered = std::iter::once(stem.clone()).chain((2_u32..).map(|n| format!("{stem}-{n}")));
    numbered.into_iter().find(|name| !taken.contains(name)).unwrap_or(stem)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_have_a_comma_before_each_three_digits() {
        for (number, shown) in
            [("0.00", "0.00"), ("999.10", "999.10"), ("1234.50", "1,234.50"), ("-1234567", "-1,234,567")]
        {
            assert_eq!(grouped(number), shown);
        }
    }

    #[test]
    fn files_have_the_words_of_a_supplier_and_none_is_there_twice() {
        assert_eq!(file_name("order", "Fennwick Supply (invented)", &[]), "order-fennwick-supply-invented");
        let taken = ["order-fennwick".to_owned()];
        assert_eq!(file_name("order", "FENNWICK", &taken), "order-fennwick-2");
        assert_eq!(file_name("order", "../..\\:", &[]), "order");
        assert_eq!(file_name("order", "\u{1}", &["order".to_owned()]), "order-2");
        assert_eq!(file_name("order", &"x".repeat(300), &[]).len(), 46);
    }

    #[test]
    fn a_name_is_of_a_paper_where_it_stands_in_their_folder() {
        assert!(is_paper("papers/bid.xlsx") && is_paper("papers/order-2.html"));
        for other in ["bid.xlsx", "papers/a/bid.xlsx", "papers/bid.csv", "papers", "papersbid.html"] {
            assert!(!is_paper(other), "{other}");
        }
    }
}
