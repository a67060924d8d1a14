//! Matches the headings of a file with the columns of a shape, once for each table, and says what is wrong with them. It
//! reads no row.

use super::findings::short;
use super::row::Row;
use super::{Further, Holds, Shape};
use crate::ground::LengthUnit;
use crate::ground::name::{fold_heading, nearest};
use crate::ground::notice::{Finding, error, warning};
use crate::ground::spot::column_letters;

/// Where the columns of a shape stand in one file, and the unit of their bare numbers.
#[derive(Debug, Default)]
pub(super) struct Bound {
    /// For each column of the shape: its position from 0, and the unit of its bare lengths.
    pub(super) columns: Vec<Option<(usize, LengthUnit)>>,
    /// Further columns that are kept: heading and position.
    pub(super) further: Vec<(String, usize)>,
    /// Folded heading and column (from 1) of all that is read.
    pub(super) found: Vec<(String, u32)>,
    /// How many cells the row of headings has.
    pub(super) width: usize,
    /// Those of them that say nothing.
    pub(super) nameless: Vec<usize>,
    /// Required headings that are not there.
    pub(super) missing: Vec<&'static str>,
    /// Whether rows can be read at all.
    pub(super) usable: bool,
}

impl Bound {
    /// All columns that are read, those of the shape before further ones: heading and position.
    pub(super) fn read<'a>(&'a self, shape: &Shape) -> impl Iterator<Item = (&'a str, usize)> {
        let named = shape.columns.iter().zip(&self.columns);
        let named = named.filter_map(|(column, place)| Some((column.heading, (*place)?.0)));
        named.chain(self.further.iter().map(|(heading, position)| (heading.as_str(), *position)))
    }
}

/// Binds the headings; `bare` is the unit of lengths whose heading names none, `tell` takes what is wrong by column from 0.
pub(super) fn bind(
    shape: &Shape,
    row: &Row,
    bare: LengthUnit,
    tell: &mut dyn FnMut(Option<usize>, Finding),
) -> Bound {
    let mut bound = Bound { columns: vec![None; shape.columns.len()], usable: true, ..Bound::default() };
    bound.width = row.len();
    let mut spoiled = vec![false; shape.columns.len()];
    // Where no heading is known, the text is another thing altogether and is not repeated.
    let known = (0..bound.width).any(|at| !matches!(find(shape, row.cell(at).text), Match::None));
    for position in 0..bound.width {
        let heading = row.cell(position).text;
        let number = u32::try_from(position + 1).unwrap_or(0);
        if heading.is_empty() {
            bound.nameless.push(position);
            continue;
        }
        let found = match find(shape, heading) {
            Match::SaysMore(index) => {
                let name = shape.columns[index].heading;
                tell(Some(position), heading_says_more(heading, name));
                Match::Column(index, None)
            }
            found @ (Match::Column(..) | Match::OtherUnit(_) | Match::None) => found,
        };
        match found {
            Match::SaysMore(_) => {}
            Match::Column(index, unit) => match bound.columns.get(index).copied().flatten() {
                Some((first, _)) => {
                    let first = u32::try_from(first + 1).unwrap_or(0);
                    tell(Some(position), twice_column(heading, first));
                }
                None => {
                    bound.columns[index] = Some((position, unit.unwrap_or(bare)));
                    bound.found.push((fold_heading(shape.columns[index].heading), number));
                }
            },
            Match::OtherUnit(index) => {
                let name = shape.columns[index].heading;
                tell(Some(position), unknown_unit(heading, name));
                spoiled[index] = true;
                bound.usable &= !shape.columns[index].required;
            }
            Match::None if shape.further == Further::Kept => further(heading, position, &mut bound, tell),
            Match::None if shape.further == Further::Passed => {}
            Match::None if known => {
                let nearest = nearest(heading, shape.columns.iter().map(|c| c.heading)).first().copied();
                tell(Some(position), unknown_column(heading, nearest, shape.name));
            }
            Match::None => {}
        }
    }
    bound.missing = shape
        .columns
        .iter()
        .zip(bound.columns.iter().zip(&spoiled))
        .filter(|(column, (place, spoiled))| column.required && place.is_none() && !**spoiled)
        .filter(|(column, _)| !stands_in(column.unless, shape, &bound.columns))
        .map(|(column, _)| column.heading)
        .collect();
    bound.usable &= bound.missing.is_empty();
    bound
}

/// Whether the column that may stand in another's place is there.
fn stands_in(unless: Option<&str>, shape: &Shape, places: &[Option<(usize, LengthUnit)>]) -> bool {
    let mut named = shape.columns.iter().zip(places);
    unless.is_some_and(|other| named.any(|(column, place)| column.heading == other && place.is_some()))
}

/// Keeps a further column.
fn further(heading: &str, position: usize, bound: &mut Bound, tell: &mut dyn FnMut(Option<usize>, Finding)) {
    let folded = fold_heading(heading);
    match bound.found.iter().find(|(name, _)| *name == folded) {
        Some((_, first)) => tell(Some(position), twice_column(heading, *first)),
        None => {
            bound.found.push((folded, u32::try_from(position + 1).unwrap_or(0)));
            bound.further.push((heading.to_owned(), position));
        }
    }
}

/// Whether what a heading says in brackets would change its numbers: `price (per C)`.
fn says_more(unit: &str) -> bool {
    let unit = unit.trim();
    let word = unit.to_lowercase();
    let rest = word.strip_prefix('/').or_else(|| word.strip_prefix("per "));
    ["C", "M"].contains(&unit)
        || matches!(word.as_str(), "100" | "1000" | "hundred" | "thousand")
        || rest.is_some_and(|rest| {
            !matches!(rest.trim(), "each" | "ea" | "piece" | "pack" | "day" | "week" | "hour")
        })
}

enum Match {
    Column(usize, Option<LengthUnit>),
    /// A column whose heading says more than is read.
    SaysMore(usize),
    OtherUnit(usize),
    None,
}

/// The column a heading means: its whole text, else its text before a unit: `length (ft)`, `at [in]`, `Length, ft`,
/// `length ft`.
fn find(shape: &Shape, heading: &str) -> Match {
    if let Some(index) = column_of(shape, heading) {
        return Match::Column(index, None);
    }
    let bracketed = heading
        .strip_suffix(')')
        .and_then(|h| h.rsplit_once('('))
        .or_else(|| heading.strip_suffix(']').and_then(|h| h.rsplit_once('[')))
        .or_else(|| heading.rsplit_once(','));
    if let Some((name, unit)) = bracketed
        && let Some(index) = column_of(shape, name)
    {
        let lengths = matches!(shape.columns[index].holds, Holds::Length | Holds::Lengths);
        return match LengthUnit::from_word(unit) {
            Some(unit) => Match::Column(index, Some(unit)),
            None if lengths => Match::OtherUnit(index),
            None if shape.columns[index].holds == Holds::Number && says_more(unit) => Match::SaysMore(index),
            // `price ($)` and `turns (each)` say nothing that changes a reading.
            None => Match::Column(index, None),
        };
    }
    if let Some((name, word)) = heading.rsplit_once(char::is_whitespace)
        && let Some(unit) = LengthUnit::from_word(word)
        && let Some(index) = column_of(shape, name)
        && matches!(shape.columns[index].holds, Holds::Length | Holds::Lengths)
    {
        return Match::Column(index, Some(unit));
    }
    Match::None
}

fn column_of(shape: &Shape, heading: &str) -> Option<usize> {
    let folded = fold_heading(heading);
    shape.columns.iter().position(|column| {
        fold_heading(column.heading) == folded
            || column.also.iter().any(|other| fold_heading(other) == folded)
    })
}

/// A column that nothing reads, and the heading that was perhaps meant.
fn unknown_column(heading: &str, nearest: Option<&str>, table: &str) -> Finding {
    warning(
        "unknown-column",
        format!("the column \"{}\" is not read", short(heading)),
        format!("a column of the table {table}"),
        match nearest {
            Some(name) => format!("type \"{name}\" if that is meant, or leave the column as your own"),
            None => "leave it as your own, or take it out".to_owned(),
        },
    )
}

/// A heading that stands twice; where the one that is read stands, from 1.
fn twice_column(heading: &str, first: u32) -> Finding {
    let first = column_letters(first);
    error(
        "twice-column",
        format!("the column \"{}\" is there twice: {first} is read, this one is not", short(heading)),
        "each heading once",
        "take one of the two out, or give it another heading",
    )
}

/// A heading that names a unit nobody knows.
fn unknown_unit(heading: &str, name: &str) -> Finding {
    error(
        "unknown-unit",
        format!("the heading \"{}\" names a unit that is not known", short(heading)),
        "ft, in, m, cm or mm",
        format!("type \"{name} (ft)\" or \"{name} (m)\", and the lengths in that unit"),
    )
}

/// A heading that says what would change its numbers.
fn heading_says_more(heading: &str, name: &str) -> Finding {
    warning(
        "heading-says-more",
        format!("the heading \"{}\" says what the numbers are for, and that is not read", short(heading)),
        format!("the heading {name} alone"),
        format!("type {name} alone, and say in each row what its number is for: in a price list in per"),
    )
}

/// Headings that must be there and are not.
pub(super) fn missing_columns(headings: &[&str], table: &str) -> Finding {
    let (list, columns) = listed(headings);
    let theirs = if headings.len() == 1 { "its column" } else { "their columns" };
    error(
        "missing-column",
        format!("the table {table} has no {columns} {list}, so none of it is read"),
        "headings in the first row that is not blank",
        format!("type {list} over {theirs}"),
    )
}

/// A file that a job names and that is not the table it is taken for: what stands in it is not repeated.
pub(super) fn not_the_table(headings: &[&str], table: &str) -> Finding {
    let (list, columns) = listed(headings);
    error(
        "missing-column",
        format!("it is no table {table}: it has no {columns} {list}, so none of it is read"),
        format!("a table {table} with its headings in the first row that is not blank"),
        "name the file that is meant, or type the headings over their columns",
    )
}

/// Headings in a list, and the word before them.
fn listed(headings: &[&str]) -> (String, &'static str) {
    let list = headings.iter().map(|heading| format!("\"{heading}\"")).collect::<Vec<_>>().join(", ");
    (list, if headings.len() == 1 { "column" } else { "columns" })
}
