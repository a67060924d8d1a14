//! The published schemas of `estimate.json` and `revision.json`: every file of every example is valid under them; closed, so that
//! a key which they do not name is wrong, they name every key that is written; and every key that they name is written by some job.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

mod checker;
#[path = "../cli/scratch.rs"]
mod scratch;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use coilstick::doubts::weigh;
use coilstick::estimate::revision::{Side, revise};
use coilstick::estimate::{Estimate, estimate};
use coilstick::report;
use coilstick::trade::Job;
use serde_json::Value;

use checker::{Checker, named};
use scratch::Scratch;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn schema(file: &str) -> Value {
    serde_json::from_str(&report::schema(file).unwrap()).unwrap()
}

/// Every job below a folder: folders with a run list, and the workbook that is one.
fn jobs(folder: &Path, all: &mut Vec<PathBuf>) {
    let is_job = folder.join("runs.csv").is_file();
    let workbook = folder.join("guest-lodge.xlsx");
    all.extend(is_job.then(|| folder.to_path_buf()));
    all.extend(workbook.is_file().then_some(workbook));
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            jobs(&path, all);
        }
    }
}

/// A job that says what no example has a reason to: mistakes, a part that no table has, a doubt, an accepted notice, held choices,
/// a fitting that nobody sells, iron without parts between, what only one alternative needs.
fn odd(scratch: &Scratch) -> PathBuf {
    for (name, text) in [
        (
            "runs",
            "run,service,size,length (ft),pattern,joins,at (ft),to,phase,count\n\
             M1,cold,3/4,420,no such part,main,,,,\n\
             C1,cold,1/2,11,fixture supply,M1,9,sink,,\n\
             C2,cold,1/2,ten,,M1,12,,,\n\
             D1,drain,3,40,,sewer,,,underground,\n\
             X1,hot,1/2,25,,,,,,3\n",
        ),
        ("patterns", "pattern,part,quantity,per\nno such part,zeppelin mast,1,run\n"),
        (
            "job",
            "item,for,value\ndate,,2026-03-16\nwater system,,pex-clamp\ndrain system,,iron-coupled\n\
             compare with,,copper-solder; pvc-cement\noverhead,,900\nmargin,,15\n\
             accept,out of the ordinary,margin\naccept,out of the ordinary,runs.csv:D2\nallowance,fitting,5\n\
             price list,,prices.csv\n",
        ),
    ] {
        scratch.write(&format!("odd/{name}.csv"), text);
    }
    let list = fs::read_to_string(root().join("price-lists/fennwick-supply-2026-01-05.csv")).unwrap();
    // Nobody sells the tee: it is made up from others.
    let list: Vec<&str> = list.lines().filter(|row| !row.contains(",tee,3/4 x 3/4 x 1/2,")).collect();
    scratch.write("odd/prices.csv", &list.join("\n"));
    scratch.path("odd")
}

/// A job and its estimate, as the program makes it.
fn estimated(path: &Path) -> (Job, Estimate) {
    let job = Job::read(path).unwrap();
    let mut made = estimate(&job);
    weigh(&job, &mut made);
    (job, made)
}

/// Holds a document against a schema, open and closed; gives the places of the keys that it has.
fn held(schema: &Value, document: &Value, of: &str) -> BTreeSet<String> {
    let mut open = Checker::new(schema, false);
    open.check(document);
    assert!(open.wrong.is_empty(), "{of}: {:#?}", open.wrong);
    let mut closed = Checker::new(schema, true);
    closed.check(document);
    assert!(closed.wrong.is_empty(), "{of}: {:#?}", closed.wrong);
    closed.written
}

fn all_written(schema: &Value, written: &BTreeSet<String>) {
    let mut all = BTreeSet::new();
    named(schema, "", &mut all);
    assert!(all.len() > 60, "{}", all.len());
    let never: Vec<&String> = all.difference(written).collect();
    assert!(never.is_empty(), "no job writes {never:#?}");
}

#[test]
fn every_estimate_is_valid_and_every_key_is_of_the_schema_and_written() {
    let schema = schema("estimate.json");
    let scratch = Scratch::new("schema", "estimates");
    let mut paths = vec![odd(&scratch)];
    jobs(&root().join("examples"), &mut paths);
    jobs(&root().join("tests"), &mut paths);
    assert!(paths.len() > 15, "{paths:?}");
    let mut written = BTreeSet::new();
    for path in paths {
        let (job, made) = estimated(&path);
        let out = scratch.path("out");
        let _ = fs::remove_dir_all(&out);
        report::write(&job, &made, &out).unwrap();
        let document = serde_json::from_str(&scratch.read("out/estimate.json")).unwrap();
        written.extend(held(&schema, &document, &path.display().to_string()));
    }
    all_written(&schema, &written);
}

#[test]
fn every_revision_is_valid_and_every_key_is_of_the_schema_and_written() {
    let schema = schema("revision.json");
    let scratch = Scratch::new("schema", "revisions");
    let mut written = BTreeSet::new();
    let cabin = root().join("examples/lake-cabin");
    let odd = odd(&scratch);
    for (old, new) in [(&cabin, &cabin.join("changed")), (&cabin, &odd), (&odd, &cabin)] {
        let ((old, of_old), (new, of_new)) = (estimated(old), estimated(new));
        let between = new.at_prices_of(&old);
        let of_between = estimate(&between);
        let [old_side, between, new_side] = [(&old, &of_old), (&between, &of_between), (&new, &of_new)]
            .map(|(job, estimate)| Side { job, estimate });
        let revision = revise(old_side, between, new_side);
        let out = scratch.path("out");
        let _ = fs::remove_dir_all(&out);
        report::write_revision(&revision, [old_side, new_side], &of_new.told, &out).unwrap();
        let document = serde_json::from_str(&scratch.read("out/revision.json")).unwrap();
        written.extend(held(&schema, &document, "revision"));
    }
    all_written(&schema, &written);
}

/// What a reader is told of the schema: its draft, its name without a host, its version, and that keys may be added.
#[test]
fn the_schemas_have_a_name_and_are_open() {
    let scratch = Scratch::new("schema", "printed");
    for (file, name) in [("estimate.json", "estimate"), ("revision.json", "revision")] {
        let schema = schema(file);
        let printed = scratch.command(&["schema", file]).output().unwrap();
        assert!(printed.status.success() && printed.stdout == report::schema(file).unwrap().as_bytes());
        assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
        assert_eq!(schema["$id"], format!("urn:coilstick:{name}:{}", report::FORMAT));
        assert_eq!(schema["properties"]["format"]["const"], report::FORMAT);
        let text = report::schema(file).unwrap();
        assert!(!text.contains("additionalProperties") && text.ends_with("}\n"));
    }
    assert!(report::schema("owner.json").is_none());
}

/// The checker finds what is wrong: a key too many, one too few, another type, another text.
#[test]
fn the_checker_finds_what_is_wrong() {
    let schema: Value = serde_json::json!({
        "type": "object", "required": ["a"],
        "properties": {
            "a": { "$ref": "#/$defs/cents" },
            "b": { "type": "array", "items": { "anyOf": [{ "type": "integer" }, { "type": "null" }] } },
            "c": { "type": "array", "minItems": 1, "prefixItems": [{ "const": 2 }] },
        },
        "$defs": { "cents": { "type": "string", "pattern": "^[0-9]+\\.[0-9]{2}$" } },
    });
    let wrong = |text: &str, closed: bool| {
        let mut checker = Checker::new(&schema, closed);
        checker.check(&serde_json::from_str(text).unwrap());
        checker.wrong.len()
    };
    assert_eq!(wrong(r#"{"a":"1.00","b":[1,null],"c":[2]}"#, true), 0);
    assert_eq!(wrong(r#"{"a":"1.00","d":1,"c":[2,3]}"#, false), 0);
    for text in [
        r#"{"b":[]}"#,
        r#"{"a":"1.0"}"#,
        r#"{"a":1}"#,
        r#"{"a":"1.00","b":[1.5]}"#,
        r#"{"a":"1.00","c":[3]}"#,
        r#"{"a":"1.00","c":[]}"#,
        r#"{"a":"1.00","d":1}"#,
        r#"{"a":"1.00","c":[2,3]}"#,
        "[]",
    ] {
        assert!(wrong(text, true) > 0, "{text}");
    }
}
