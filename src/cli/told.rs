//! What a command has to say, as one value: parts in their order, each with the key under which programs find it and the
//! words that people read. `drawn` makes lines of it for a terminal, `document` JSON. It prints nothing.

use rust_decimal::Decimal;
use serde::ser::{Serialize, SerializeMap, SerializeSeq, Serializer};
use serde_json::Value;

use crate::ground::money::{cents, points, quantity, signed};

/// A color of the terminal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Paint {
    /// Errors.
    Red,
    /// Warnings.
    Yellow,
    /// What to look at.
    Bold,
    /// What stands behind.
    Dim,
}

/// What a command says. A part without a key is for people alone.
#[derive(Debug, Default)]
pub(super) struct Told {
    pub(super) parts: Vec<(&'static str, Part)>,
}

/// One part of it.
#[derive(Debug)]
pub(super) enum Part {
    /// Words behind a label, which wrap under themselves.
    Words(Words),
    /// A value for programs, of which people read elsewhere.
    Value(Value),
    /// Rows of facts.
    Table(Table),
    /// Parts that belong together.
    Group(Told),
    /// Several of a kind, each with its parts.
    Each(Vec<Told>),
    /// A text that was asked for and is handed on as it is.
    Verbatim(String),
    /// An empty line.
    Gap,
}

/// Words behind a label.
#[derive(Debug)]
pub(super) struct Words {
    pub(super) label: String,
    pub(super) words: String,
    pub(super) paint: Option<Paint>,
    /// Whether `--quiet` leaves them: they say what is wrong.
    pub(super) grave: bool,
}

impl Words {
    /// Words behind a label.
    pub(super) fn new(label: impl Into<String>, words: impl Into<String>) -> Self {
        Self { label: label.into(), words: words.into(), paint: None, grave: false }
    }

    /// The same in a color.
    pub(super) fn painted(self, paint: Paint) -> Self {
        Self { paint: Some(paint), ..self }
    }

    /// The same, shown even where only errors are.
    pub(super) fn grave(self) -> Self {
        Self { paint: Some(Paint::Red), grave: true, ..self }
    }
}

impl Told {
    /// Words for people and programs.
    pub(super) fn words(&mut self, key: &'static str, words: Words) {
        self.parts.push((key, Part::Words(words)));
    }

    /// Words for people alone.
    pub(super) fn say(&mut self, label: impl Into<String>, words: impl Into<String>) {
        self.words("", Words::new(label, words));
    }

    /// A head over what follows, for people alone.
    pub(super) fn head(&mut self, words: impl Into<String>) {
        self.words("", Words::new("", words).painted(Paint::Bold));
    }

    /// A value for programs.
    pub(super) fn value(&mut self, key: &'static str, value: impl Into<Value>) {
        self.parts.push((key, Part::Value(value.into())));
    }

    /// Rows of facts.
    pub(super) fn table(&mut self, key: &'static str, table: Table) {
        self.parts.push((key, Part::Table(table)));
    }

    /// Several of a kind.
    pub(super) fn each(&mut self, key: &'static str, all: Vec<Self>) {
        self.parts.push((key, Part::Each(all)));
    }

    /// Parts that belong together.
    pub(super) fn group(&mut self, key: &'static str, parts: Self) {
        self.parts.push((key, Part::Group(parts)));
    }

    /// An empty line.
    pub(super) fn gap(&mut self) {
        self.parts.push(("", Part::Gap));
    }

    /// That files were written: a line each.
    pub(super) fn written(&mut self, paths: impl IntoIterator<Item = String>) {
        let paths: Vec<String> = paths.into_iter().collect();
        for path in &paths {
            self.say("written: ", path);
        }
        self.value("written", paths);
    }
}

/// Rows of facts: one thing is one column or one row for people, and always an object for programs.
#[derive(Debug)]
pub(super) struct Table {
    pub(super) facts: Vec<Fact>,
    /// Cells of each thing, one a fact.
    pub(super) things: Vec<Vec<Cell>>,
    pub(super) lies: Lies,
}

impl Table {
    /// A table with a column a thing: its heads. [`Table::row`] adds the facts.
    pub(super) fn across(key: &'static str, heads: impl IntoIterator<Item = String>) -> Self {
        let things = heads.into_iter().map(|head| vec![Cell::text(head)]).collect();
        Self { facts: vec![Fact::new(key, "")], things, lies: Lies::Across }
    }

    /// A list down the page, its facts under their heads.
    pub(super) fn listed<const N: usize>(facts: [&'static str; N], things: Vec<Vec<Cell>>) -> Self {
        let facts = facts.map(|head| Fact::new(head, head)).into();
        Self { facts, things, lies: Lies::Down { headed: true, most: None } }
    }

    /// One more fact, with its cell of each thing.
    pub(super) fn row(&mut self, key: &'static str, head: &str, cells: impl IntoIterator<Item = Cell>) {
        self.facts.push(Fact::new(key, head));
        let mut cells = cells.into_iter();
        self.things.iter_mut().for_each(|thing| thing.push(cells.next().unwrap_or_else(Cell::nothing)));
    }
}

/// One fact of the things of a table.
#[derive(Debug)]
pub(super) struct Fact {
    /// Under which programs find it; empty: they do not.
    pub(super) key: &'static str,
    /// What stands before or above it; of a fact without one, people see nothing.
    pub(super) head: String,
}

impl Fact {
    /// A fact for people and programs.
    pub(super) fn new(key: &'static str, head: impl Into<String>) -> Self {
        Self { key, head: head.into() }
    }
}

/// How a table lies for people.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Lies {
    /// A column a thing, headed by its first fact.
    Across,
    /// A row a thing; the last fact is words, which wrap.
    Down {
        /// Whether heads stand above.
        headed: bool,
        /// How many things people see, and where the others are.
        most: Option<(usize, String)>,
    },
}

/// A cell: what people read, and what programs do. One is made from the other's figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Cell {
    pub(super) shown: String,
    pub(super) value: Value,
}

impl Cell {
    /// Nothing is known.
    pub(super) fn nothing() -> Self {
        Self::instead("")
    }

    /// Words that stand where there is no figure.
    pub(super) fn instead(words: &str) -> Self {
        Self { shown: words.to_owned(), value: Value::Null }
    }

    /// Words.
    pub(super) fn text(words: impl Into<String>) -> Self {
        let shown: String = words.into();
        Self { value: Value::from(shown.as_str()), shown }
    }

    /// A sum of money or hours; programs read decimals as text, as in every file.
    pub(super) fn cents(sum: Decimal) -> Self {
        Self::text(cents(sum))
    }

    /// A quantity or a length.
    pub(super) fn quantity(number: Decimal) -> Self {
        Self::text(quantity(number))
    }

    /// A whole number.
    pub(super) fn count(number: impl Into<i128>) -> Self {
        let number: i128 = number.into();
        let value = i64::try_from(number).map_or_else(|_| Value::from(number.to_string()), Value::from);
        Self { shown: number.to_string(), value }
    }

    /// Yes, or another word for no.
    pub(super) fn yes_or(yes: bool, no: &str) -> Self {
        Self { shown: if yes { "yes" } else { no }.to_owned(), value: Value::from(yes) }
    }

    /// A difference, which people read with its sign.
    pub(super) fn more(number: Decimal, written: fn(Decimal) -> String) -> Self {
        Self { shown: signed(number, written), value: Value::from(written(number)) }
    }

    /// A percentage that is a difference.
    pub(super) fn more_points(percent: Option<Decimal>) -> Self {
        percent.map_or_else(Self::nothing, |percent| Self::more(percent, points))
    }

    /// The same with words of the figure behind it, for people.
    pub(super) fn with(self, words: &str) -> Self {
        let shown = if self.shown.is_empty() { self.shown } else { format!("{}{words}", self.shown) };
        Self { shown, ..self }
    }
}

impl Serialize for Told {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut map = to.serialize_map(None)?;
        for (key, part) in self.parts.iter().filter(|(key, _)| !key.is_empty()) {
            match part {
                Part::Words(words) => map.serialize_entry(key, &words.words)?,
                Part::Value(value) => map.serialize_entry(key, value)?,
                Part::Table(table) => map.serialize_entry(key, table)?,
                Part::Group(told) => map.serialize_entry(key, told)?,
                Part::Each(all) => map.serialize_entry(key, all)?,
                Part::Verbatim(text) => map.serialize_entry(key, text)?,
                Part::Gap => {}
            }
        }
        map.end()
    }
}

impl Serialize for Table {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut list = to.serialize_seq(None)?;
        // What only rules a table off is nothing for programs.
        for cells in self.things.iter().filter(|cells| cells.iter().any(|cell| !cell.value.is_null())) {
            list.serialize_element(&Thing(&self.facts, cells))?;
        }
        list.end()
    }
}

/// A thing of a table as an object.
struct Thing<'a>(&'a [Fact], &'a [Cell]);

impl Serialize for Thing<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut map = to.serialize_map(None)?;
        for (fact, cell) in self.0.iter().zip(self.1).filter(|(fact, _)| !fact.key.is_empty()) {
            map.serialize_entry(fact.key, &cell.value)?;
        }
        map.end()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn programs_find_each_keyed_part_and_people_s_words_are_not_among_them() {
        let mut told = Told::default();
        told.head("a head");
        told.words("why", Words::new("  ", "so"));
        told.value("runs", 3);
        told.table(
            "systems",
            Table {
                facts: vec![Fact::new("system", ""), Fact::new("sum", "sum"), Fact::new("", "% of it")],
                things: vec![vec![Cell::text("pex"), Cell::cents(Decimal::ONE), Cell::text("7")]],
                lies: Lies::Across,
            },
        );
        told.gap();
        told.each("lines", vec![Told::default()]);
        assert_eq!(
            serde_json::to_string(&told).unwrap(),
            r#"{"why":"so","runs":3,"systems":[{"system":"pex","sum":"1.00"}],"lines":[{}]}"#
        );
    }

    #[test]
    fn a_difference_has_its_sign_for_people_and_is_a_number_for_programs() {
        let cell = Cell::more(Decimal::new(150, 2), cents);
        assert_eq!((cell.shown.as_str(), cell.value), ("+1.50", Value::from("1.50")));
        assert_eq!(Cell::count(7).value, Value::from(7));
        assert_eq!(Cell::nothing().with(" %"), Cell::nothing());
    }
}
