//! The cells of a workbook as its file holds them: what is written, how it is shown, and where color follows an edit. The
//! files are those that the program writes; it is no reader for others.

use std::collections::BTreeMap;
use std::io::{Cursor, Read};

use ironcalc::base::cell::CellValue;
use zip::ZipArchive;

/// What a cell holds.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Held {
    Number(f64),
    Text(String),
    Formula(String),
}

/// One cell that is not empty.
#[derive(Debug, Clone)]
pub(crate) struct Cell {
    /// Row and column, counted from 1.
    pub(crate) at: (i32, i32),
    pub(crate) held: Held,
    /// Of a formula the result that stands in the file, a number or words.
    pub(crate) result: Result<f64, String>,
    /// The color of its ground, as the file writes it.
    pub(crate) ground: String,
}

/// One sheet.
#[derive(Debug)]
pub(crate) struct Sheet {
    pub(crate) name: String,
    pub(crate) cells: BTreeMap<(i32, i32), Cell>,
    /// Headings by column and row.
    headings: BTreeMap<(i32, i32), String>,
    /// First and last cell of what is colored after an edit.
    colored: Vec<((i32, i32), (i32, i32))>,
}

/// The ground of what may be edited, and of headings.
pub(crate) const INPUT: &str = "FFFFF8DC";
const HEADING: &str = "FF215968";

impl Cell {
    /// What a formula shows, by the result that stands in the file.
    pub(crate) fn shown(&self) -> CellValue {
        match &self.result {
            Ok(number) => CellValue::Number(*number),
            Err(words) => CellValue::String(words.clone()),
        }
    }
}

impl Sheet {
    /// Whether a cell is colored after an edit.
    pub(crate) fn is_colored(&self, (row, column): (i32, i32)) -> bool {
        let within = |((top, left), (bottom, right)): &((i32, i32), (i32, i32))| {
            (*top..=*bottom).contains(&row) && (*left..=*right).contains(&column)
        };
        self.colored.iter().any(within)
    }

    /// The words in a cell.
    pub(crate) fn words(&self, at: (i32, i32)) -> &str {
        match self.cells.get(&at).map(|cell| &cell.held) {
            Some(Held::Text(text)) => text,
            Some(Held::Number(_) | Held::Formula(_)) | None => "",
        }
    }

    /// The heading over a cell: the nearest above it in its column.
    pub(crate) fn heading(&self, (row, column): (i32, i32)) -> &str {
        let above = self.headings.range((column, 0)..(column, row)).next_back();
        above.map_or("", |(_, heading)| heading)
    }
}

/// All sheets in their order.
pub(crate) fn sheets(bytes: &[u8]) -> Vec<Sheet> {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut file = |name: &str| {
        let mut text = String::new();
        archive.by_name(name).map(|mut file| file.read_to_string(&mut text).unwrap()).ok().map(|_| text)
    };
    let (book, styles) = (file("xl/workbook.xml").unwrap(), file("xl/styles.xml").unwrap());
    let shared = file("xl/sharedStrings.xml").unwrap_or_default();
    let shared: Vec<String> =
        elements(&shared, "si").map(|item| elements(item, "t").map(plain).collect()).collect();
    let grounds = grounds(&styles);
    let names = elements(&book, "sheets").flat_map(|list| list.split("<sheet ").skip(1));
    let names: Vec<String> = names.map(|sheet| plain(attribute(sheet, "name").unwrap())).collect();
    let numbered = names.into_iter().zip(1..);
    numbered
        .map(|(name, number)| {
            let text = file(&format!("xl/worksheets/sheet{number}.xml")).unwrap();
            let cells = text.split("<c r=\"").skip(1).filter_map(|cell| read(cell, &shared, &grounds));
            let cells: BTreeMap<_, _> = cells.map(|cell| (cell.at, cell)).collect();
            let headings = cells.values().filter(|cell| cell.ground == HEADING);
            let headings = headings.filter_map(|cell| match &cell.held {
                Held::Text(text) => Some(((cell.at.1, cell.at.0), text.clone())),
                Held::Number(_) | Held::Formula(_) => None,
            });
            Sheet { name, headings: headings.collect(), cells, colored: colored(&text) }
        })
        .collect()
}

fn read(text: &str, shared: &[String], grounds: &[String]) -> Option<Cell> {
    let (at, rest) = text.split_once('"')?;
    let head = rest.split('>').next()?;
    let style: usize = attribute(head, "s").map_or(0, |style| style.parse().unwrap());
    let body = if head.ends_with('/') { "" } else { rest.split("</c>").next()? };
    let value = elements(body, "v").next();
    let held = match (elements(body, "f").next(), attribute(head, "t")) {
        (Some(formula), _) => Held::Formula(plain(formula)),
        (None, Some("s")) => Held::Text(shared[value?.parse::<usize>().unwrap()].clone()),
        (None, _) => Held::Number(value?.parse().unwrap()),
    };
    let words = attribute(head, "t") == Some("str");
    let result = match (&held, value) {
        (Held::Formula(_), Some(value)) if !words => Ok(value.parse().unwrap()),
        (_, value) => Err(value.map(plain).unwrap_or_default()),
    };
    Some(Cell { at: place(at), held, result, ground: grounds.get(style).cloned().unwrap_or_default() })
}

/// The color of the ground of every format, in their order.
fn grounds(styles: &str) -> Vec<String> {
    let fills: Vec<&str> = styles.split("<fill>").skip(1).collect();
    let color = |fill: &str| {
        let color = fill.split("<fgColor ").nth(1).and_then(|color| attribute(color, "rgb"));
        color.unwrap_or_default().to_owned()
    };
    let formats = elements(styles, "cellXfs").flat_map(|list| list.split("<xf ").skip(1));
    let fill = |format: &str| attribute(format, "fillId").map_or(0, |id| id.parse::<usize>().unwrap());
    formats.map(|format| fills.get(fill(format)).map(|fill| color(fill)).unwrap_or_default()).collect()
}

/// The cells that are colored as soon as something was edited.
fn colored(sheet: &str) -> Vec<((i32, i32), (i32, i32))> {
    let blocks = sheet.split("<conditionalFormatting sqref=\"").skip(1);
    let of_edits = blocks.filter(|block| {
        let block = block.split("</conditionalFormatting>").next().unwrap();
        block.contains("<formula>edited&gt;0</formula>")
    });
    let ranges = of_edits.flat_map(|block| block.split('"').next().unwrap().split(' '));
    ranges
        .map(|range| match range.split_once(':') {
            Some((first, last)) => (place(first), place(last)),
            None => (place(range), place(range)),
        })
        .collect()
}

/// The insides of the elements of a name.
fn elements<'t>(text: &'t str, name: &str) -> impl Iterator<Item = &'t str> {
    let (open, close) = (format!("<{name}"), format!("</{name}>"));
    let mut rest = text;
    std::iter::from_fn(move || {
        loop {
            let after = &rest[rest.find(&open)? + open.len()..];
            let whole = after.starts_with('>') || after.starts_with(' ');
            let (head, body) = after.split_once('>')?;
            rest = body;
            if whole && !head.ends_with('/') {
                let inside = &body[..body.find(&close)?];
                rest = &body[inside.len()..];
                return Some(inside);
            }
        }
    })
}

fn attribute<'t>(head: &'t str, name: &str) -> Option<&'t str> {
    let head = head.split('>').next()?;
    let key = format!("{name}=\"");
    let at = if head.starts_with(&key) { 0 } else { head.find(&format!(" {key}"))? + 1 };
    head[at + key.len()..].split('"').next()
}

fn plain(text: &str) -> String {
    let marks = [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&apos;", "'"), ("&amp;", "&")];
    marks.iter().fold(text.to_owned(), |text, (mark, is)| text.replace(mark, is))
}

/// Row and column of an address.
fn place(address: &str) -> (i32, i32) {
    let digits = address.find(|c: char| c.is_ascii_digit()).unwrap();
    let (letters, row) = address.split_at(digits);
    let column = letters.bytes().fold(0, |column, letter| column * 26 + i32::from(letter - b'A') + 1);
    (row.parse().unwrap(), column)
}

/// The address of a cell.
pub(crate) fn address((row, column): (i32, i32)) -> String {
    let mut letters = String::new();
    let mut left = column;
    while left > 0 {
        let letter = u8::try_from((left - 1) % 26).unwrap() + b'A';
        letters.insert(0, char::from(letter));
        left = (left - 1) / 26;
    }
    format!("{letters}{row}")
}
