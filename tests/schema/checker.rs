//! A small checker of JSON Schema (draft 2020-12): the keywords that the published schemas use, and no other. Beside what is
//! wrong it says which keys of the schema a document has.

use std::collections::BTreeSet;

use regex::Regex;
use serde_json::{Map, Value};

/// A document held against a schema.
pub(crate) struct Checker<'s> {
    root: &'s Value,
    /// Whether what the schema does not name is wrong.
    pub(crate) closed: bool,
    pub(crate) wrong: Vec<String>,
    /// The places in the schema of the keys that are written.
    pub(crate) written: BTreeSet<String>,
}

impl<'s> Checker<'s> {
    pub(crate) fn new(root: &'s Value, closed: bool) -> Self {
        Self { root, closed, wrong: Vec::new(), written: BTreeSet::new() }
    }

    /// Holds a document against the schema.
    pub(crate) fn check(&mut self, document: &Value) {
        let root = self.root;
        self.is_of(root, document, ("", ""));
    }

    fn must(&mut self, holds: bool, place: &str, what: impl FnOnce() -> String) {
        if !holds && self.wrong.len() < 20 {
            self.wrong.push(format!("{place}: {}", what()));
        }
    }

    /// A value against a schema; `at` are the places of the value and of the schema.
    fn is_of(&mut self, schema: &'s Value, value: &Value, (place, of): (&str, &str)) {
        for (keyword, said) in schema.as_object().expect("a schema is an object") {
            match keyword.as_str() {
                "$schema" | "$id" | "title" | "description" | "$defs" => {}
                "$ref" => {
                    let name = said.as_str().and_then(|to| to.strip_prefix("#/$defs/")).unwrap();
                    let (root, to) = (self.root, &format!("/$defs/{name}"));
                    self.is_of(root.pointer(to).expect("what is named is there"), value, (place, to));
                }
                "type" => {
                    let several = said.as_array().into_iter().flatten().chain(said.as_str().map(|_| said));
                    let types: Vec<&str> = several.filter_map(Value::as_str).collect();
                    self.must(types.iter().any(|one| is_a(one, value)), place, || {
                        format!("{value} is no {types:?}")
                    });
                }
                "const" => self.must(said == value, place, || format!("{value} is not {said}")),
                "enum" => {
                    let known = said.as_array().unwrap().contains(value);
                    self.must(known, place, || format!("{value} is none of {said}"));
                }
                "pattern" => {
                    let pattern = Regex::new(said.as_str().unwrap()).unwrap();
                    let fits = value.as_str().is_none_or(|text| pattern.is_match(text));
                    self.must(fits, place, || format!("{value} is not {pattern}"));
                }
                "anyOf" => {
                    let fits = |one: &'s Value| {
                        let mut alone = Checker::new(self.root, self.closed);
                        alone.is_of(one, value, (place, of));
                        alone.wrong.is_empty()
                    };
                    let any = said.as_array().unwrap().iter().any(fits);
                    self.must(any, place, || format!("{value} is none of {said}"));
                }
                "properties" => {
                    if let Value::Object(keys) = value {
                        self.keys(said.as_object().unwrap(), keys, (place, of));
                    }
                }
                "required" => {
                    for key in said.as_array().unwrap().iter().filter_map(Value::as_str) {
                        let there = value.as_object().is_none_or(|keys| keys.contains_key(key));
                        self.must(there, place, || format!("{key} is missing"));
                    }
                }
                "items" => {
                    for (at, one) in value.as_array().into_iter().flatten().enumerate() {
                        self.is_of(said, one, (&format!("{place}/{at}"), &format!("{of}/items")));
                    }
                }
                "prefixItems" => {
                    let (all, kinds) =
                        (value.as_array().map_or(&[][..], Vec::as_slice), said.as_array().unwrap());
                    self.must(!self.closed || all.len() <= kinds.len(), place, || {
                        "more values than it names".to_owned()
                    });
                    for (at, (kind, one)) in kinds.iter().zip(all).enumerate() {
                        self.is_of(kind, one, (&format!("{place}/{at}"), &format!("{of}/prefixItems/{at}")));
                    }
                }
                "minItems" => {
                    let enough =
                        value.as_array().is_none_or(|all| all.len() as u64 >= said.as_u64().unwrap());
                    self.must(enough, place, || format!("fewer values than {said}"));
                }
                other => panic!("the checker does not know {other}"),
            }
        }
    }

    fn keys(&mut self, known: &'s Map<String, Value>, keys: &Map<String, Value>, (place, of): (&str, &str)) {
        for (key, value) in keys {
            let (inside, schema) = (format!("{place}/{key}"), format!("{of}/properties/{key}"));
            match known.get(key) {
                Some(kind) => {
                    self.is_of(kind, value, (&inside, &schema));
                    self.written.insert(schema);
                }
                None => self.must(!self.closed, &inside, || "no key of the schema".to_owned()),
            }
        }
    }
}

fn is_a(kind: &str, value: &Value) -> bool {
    match kind {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "integer" => value.is_i64() || value.is_u64(),
        "boolean" => value.is_boolean(),
        "null" => value.is_null(),
        other => panic!("the checker does not know the type {other}"),
    }
}

/// The places of all keys that a schema names.
pub(crate) fn named(schema: &Value, of: &str, all: &mut BTreeSet<String>) {
    for (key, kind) in schema["properties"].as_object().into_iter().flatten() {
        let place = format!("{of}/properties/{key}");
        named(kind, &place, all);
        all.insert(place);
    }
    if schema["items"].is_object() {
        named(&schema["items"], &format!("{of}/items"), all);
    }
}
