//! The form of every JSON file: objects whose keys stand in the order in which they are put, decimals as text, whole
//! numbers and yes or no as JSON has them. It knows no table; the files of this floor are written with it.

use serde::Serialize;

use super::table::{Column, Value};
use crate::ground::inert::json;
use crate::report::facts::Wording;

/// An object on its way into a file.
pub(in crate::report) struct Object<'o> {
    out: &'o mut Vec<u8>,
    empty: bool,
}

/// The bytes of one object, on a line.
pub(super) fn line(fill: impl FnOnce(&mut Object<'_>)) -> Vec<u8> {
    let mut out = Vec::new();
    object(&mut out, fill);
    out.push(b'\n');
    out
}

impl Object<'_> {
    /// One value.
    pub(in crate::report) fn put(&mut self, key: &str, value: impl Into<Value>) {
        self.key(key);
        put(self.out, &value.into());
    }

    /// One value that has its own shape.
    pub(in crate::report) fn shape(&mut self, key: &str, value: &impl Serialize) {
        self.key(key);
        text(self.out, value);
    }

    /// An object within it.
    pub(in crate::report) fn object(&mut self, key: &str, fill: impl FnOnce(&mut Object<'_>)) {
        self.key(key);
        object(self.out, fill);
    }

    /// An object of something that may not be there.
    pub(in crate::report) fn maybe<T>(
        &mut self,
        key: &str,
        value: Option<T>,
        fill: impl FnOnce(&mut Object<'_>, T),
    ) {
        match value {
            Some(value) => self.object(key, |out| fill(out, value)),
            None => self.put(key, Value::Nothing),
        }
    }

    /// A list of values.
    pub(in crate::report) fn list(&mut self, key: &str, values: impl IntoIterator<Item = impl Into<Value>>) {
        self.key(key);
        list(self.out, values, |out, value| put(out, &value.into()));
    }

    /// A list of lists of values: the rows of a table without its keys.
    pub(in crate::report) fn lists(&mut self, key: &str, rows: impl IntoIterator<Item = Vec<Value>>) {
        self.key(key);
        list(self.out, rows, |out, row| list(out, row, |out, value| put(out, &value)));
    }

    /// A list of objects.
    pub(in crate::report) fn each<T>(
        &mut self,
        key: &str,
        of: impl IntoIterator<Item = T>,
        fill: impl Fn(&mut Object<'_>, T),
    ) {
        self.key(key);
        list(self.out, of, |out, one| object(out, |inside| fill(inside, one)));
    }

    /// The rows of a table as objects: those of its columns that have a key.
    pub(in crate::report) fn rows<Row>(
        &mut self,
        key: &str,
        words: &Wording<'_>,
        columns: &[Column<Row>],
        rows: impl IntoIterator<Item = Row>,
    ) {
        self.each(key, rows, |out, row| {
            for column in columns {
                if let Some(key) = column.key() {
                    out.put(key, (column.cell)(words, &row));
                }
            }
        });
    }

    /// The rows of a long table: its keys once, then each row as a list.
    pub(in crate::report) fn table<Row>(
        &mut self,
        key: &str,
        (words, columns): (&Wording<'_>, &[Column<Row>]),
        rows: impl IntoIterator<Item = Row>,
    ) {
        self.object(key, |out| {
            out.list("columns", columns.iter().filter_map(Column::key));
            let keyed = || columns.iter().filter(|column| column.key().is_some());
            let cells = |row: Row| keyed().map(|column| (column.cell)(words, &row)).collect();
            out.lists("rows", rows.into_iter().map(cells));
        });
    }

    fn key(&mut self, key: &str) {
        if !std::mem::take(&mut self.empty) {
            self.out.push(b',');
        }
        text(self.out, key);
        self.out.push(b':');
    }
}

fn object(out: &mut Vec<u8>, fill: impl FnOnce(&mut Object<'_>)) {
    out.push(b'{');
    fill(&mut Object { out, empty: true });
    out.push(b'}');
}

fn list<T>(out: &mut Vec<u8>, of: impl IntoIterator<Item = T>, put: impl Fn(&mut Vec<u8>, T)) {
    out.push(b'[');
    for (at, one) in of.into_iter().enumerate() {
        if at > 0 {
            out.push(b',');
        }
        put(out, one);
    }
    out.push(b']');
}

fn put(out: &mut Vec<u8>, value: &Value) {
    match value {
        Value::Nothing => out.extend(b"null"),
        Value::YesNo(yes) => text(out, yes),
        Value::Whole(_) => out.extend(value.written().bytes()),
        Value::Text(words) | Value::Size(words) => text(out, words),
        Value::Quantity(_)
        | Value::Cents(_)
        | Value::Price(_)
        | Value::Percent(_)
        | Value::Places(..)
        | Value::Day(_) => text(out, &value.written()),
    }
}

fn text(out: &mut Vec<u8>, value: &(impl Serialize + ?Sized)) {
    json(out, value);
}
