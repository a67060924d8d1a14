//! What a JSON file may hold, as a JSON Schema: every key with its type and what it says. The list of keys of an object is
//! written once, with `fields`: the writer of the object and its shape are both made of it. Rows of tables have their keys from
//! their columns. It writes no file.

use serde::ser::{Serialize, SerializeMap, Serializer};
use serde_json::{Value as Json, json};

use super::holds::{Holds, KINDS};
use super::table::Column;

/// What an object holds, key by key in the order written.
#[derive(Debug, Default)]
pub(in crate::report) struct Shape {
    fields: Vec<Field>,
}

#[derive(Debug)]
struct Field {
    key: &'static str,
    help: &'static str,
    holds: Node,
    /// Whether the key is there in every object.
    always: bool,
}

#[derive(Debug)]
enum Node {
    One(Holds),
    Object(Shape),
    /// An object, or null.
    Maybe(Shape),
    List(Holds),
    /// A list of objects.
    Each(Shape),
    /// A list of lists, each with such values.
    Lists(Vec<Cell>),
    /// An object of the names of columns, and of rows.
    Table(Vec<Cell>),
}

/// A value of a list: its name and what it says.
type Cell = (&'static str, &'static str, Holds);

/// The cells of rows, as their columns say.
fn cells<Row>(columns: &[Column<Row>]) -> Vec<Cell> {
    columns.iter().filter_map(Column::keyed).collect()
}

/// One more key each, by the same names by which an object is written.
impl Shape {
    fn add(&mut self, key: &'static str, help: &'static str, holds: Node) {
        self.fields.push(Field { key, help, holds, always: true });
    }

    pub(in crate::report) fn put(&mut self, key: &'static str, help: &'static str, holds: Holds) {
        self.add(key, help, Node::One(holds));
    }

    pub(in crate::report) fn list(&mut self, key: &'static str, help: &'static str, holds: Holds) {
        self.add(key, help, Node::List(holds));
    }

    pub(in crate::report) fn object(&mut self, key: &'static str, help: &'static str, holds: Self) {
        self.add(key, help, Node::Object(holds));
    }

    /// A value that has its own shape.
    pub(in crate::report) fn shape(
        &mut self,
        key: &'static str,
        help: &'static str,
        holds: impl Into<OwnShape>,
    ) {
        match holds.into() {
            OwnShape::One(holds) => self.put(key, help, holds),
            OwnShape::Object(shape) => self.object(key, help, shape),
        }
    }

    pub(in crate::report) fn maybe(&mut self, key: &'static str, help: &'static str, holds: Self) {
        self.add(key, help, Node::Maybe(holds));
    }

    pub(in crate::report) fn each(&mut self, key: &'static str, help: &'static str, holds: Self) {
        self.add(key, help, Node::Each(holds));
    }

    pub(in crate::report) fn lists(
        &mut self,
        key: &'static str,
        help: &'static str,
        holds: impl Into<Vec<Cell>>,
    ) {
        self.add(key, help, Node::Lists(holds.into()));
    }

    pub(in crate::report) fn rows<Row>(
        &mut self,
        key: &'static str,
        help: &'static str,
        columns: &[Column<Row>],
    ) {
        let mut shape = Self::default();
        cells(columns).into_iter().for_each(|(key, help, holds)| shape.put(key, help, holds));
        self.each(key, help, shape);
    }

    pub(in crate::report) fn table<Row>(
        &mut self,
        key: &'static str,
        help: &'static str,
        columns: &[Column<Row>],
    ) {
        self.add(key, help, Node::Table(cells(columns)));
    }

    /// The key before is not there in every object.
    pub(in crate::report) fn sometimes(&mut self) {
        if let Some(field) = self.fields.last_mut() {
            field.always = false;
        }
    }

    /// All keys of another object stand in this one too.
    pub(in crate::report) fn also(&mut self, other: Self) {
        self.fields.extend(other.fields);
    }

    /// The schema of a file that holds this.
    pub(in crate::report) fn file(&self, name: &str, about: &str, format: u32) -> String {
        let file = File { shape: self, name, about, format };
        serde_json::to_string_pretty(&file).unwrap_or_default() + "\n"
    }
}

/// What has its own shape: one value, or an object.
pub(in crate::report) enum OwnShape {
    One(Holds),
    Object(Shape),
}

impl From<Holds> for OwnShape {
    fn from(holds: Holds) -> Self {
        Self::One(holds)
    }
}

impl From<Shape> for OwnShape {
    fn from(shape: Shape) -> Self {
        Self::Object(shape)
    }
}

/// The whole schema of a file.
struct File<'a> {
    shape: &'a Shape,
    name: &'a str,
    about: &'a str,
    format: u32,
}

impl Serialize for File<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut map = to.serialize_map(None)?;
        map.serialize_entry("$schema", "https://json-schema.org/draft/2020-12/schema")?;
        map.serialize_entry("$id", &format!("urn:{}:{}:{}", env!("CARGO_PKG_NAME"), self.name, self.format))?;
        map.serialize_entry("title", self.name)?;
        map.serialize_entry("description", self.about)?;
        self.shape.entries(&mut map, "object")?;
        map.serialize_entry("$defs", &Kinds)?;
        map.end()
    }
}

/// The kinds of text, as the schema names them.
struct Kinds;

impl Serialize for Kinds {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut map = to.serialize_map(Some(KINDS.len()))?;
        for (name, pattern, about) in KINDS {
            map.serialize_entry(
                name,
                &json!({ "type": "string", "pattern": pattern, "description": about }),
            )?;
        }
        map.end()
    }
}

impl Shape {
    /// Its keys within an object of a schema.
    fn entries<M: SerializeMap>(&self, map: &mut M, of: impl Serialize) -> Result<(), M::Error> {
        map.serialize_entry("type", &of)?;
        map.serialize_entry("properties", &Properties(&self.fields))?;
        let always = self.fields.iter().filter(|field| field.always).map(|field| field.key);
        map.serialize_entry("required", &always.collect::<Vec<_>>())
    }
}

impl Serialize for Shape {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut map = to.serialize_map(None)?;
        self.entries(&mut map, "object")?;
        map.end()
    }
}

struct Properties<'a>(&'a [Field]);

impl Serialize for Properties<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut map = to.serialize_map(Some(self.0.len()))?;
        for field in self.0 {
            map.serialize_entry(field.key, field)?;
        }
        map.end()
    }
}

impl Serialize for Field {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        if let Node::One(holds) = &self.holds {
            return holds.schema(self.help).serialize(to);
        }
        let mut map = to.serialize_map(None)?;
        map.serialize_entry("description", self.help)?;
        match &self.holds {
            Node::One(_) => {}
            Node::Object(shape) => shape.entries(&mut map, "object")?,
            Node::Maybe(shape) => shape.entries(&mut map, ["object", "null"])?,
            Node::List(holds) => {
                map.serialize_entry("type", "array")?;
                map.serialize_entry("items", &holds.schema(self.help))?;
            }
            Node::Each(shape) => {
                map.serialize_entry("type", "array")?;
                map.serialize_entry("items", shape)?;
            }
            Node::Lists(cells) => {
                map.serialize_entry("type", "array")?;
                map.serialize_entry("items", &row(cells))?;
            }
            Node::Table(cells) => {
                map.serialize_entry("type", "object")?;
                map.serialize_entry("properties", &table(cells))?;
                map.serialize_entry("required", &["columns", "rows"])?;
            }
        }
        map.end()
    }
}

/// A list with such values, more of which may stand behind them.
fn row(cells: &[Cell]) -> Json {
    let all: Vec<Json> = cells
        .iter()
        .map(|(name, help, holds)| {
            let mut schema = holds.schema(help);
            if let Json::Object(schema) = &mut schema {
                schema.insert("title".to_owned(), Json::from(*name));
            }
            schema
        })
        .collect();
    json!({ "type": "array", "prefixItems": all, "minItems": cells.len() })
}

/// The names of columns, and rows that have a value under each; more columns may stand behind them.
fn table(cells: &[Cell]) -> Json {
    let names: Vec<Json> = cells.iter().map(|(name, ..)| json!({ "const": name })).collect();
    json!({
        "columns": {
            "type": "array", "prefixItems": names, "minItems": cells.len(), "description": "what stands in each place of a row"
        },
        "rows": { "type": "array", "items": row(cells), "description": "the rows, each a list" },
    })
}
