//! What `explain` says of a part comes to the figures of the order, whatever is made up, spared or taken by others.

use std::fs;
use std::path::Path;

use rust_decimal::Decimal;
use serde_json::Value;

use crate::bench::Bench;

fn orchard() -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/orchard-house").to_str().unwrap().to_owned()
}

fn decimal(cell: &Value) -> Option<Decimal> {
    Decimal::from_str_exact(cell.as_str()?).ok()
}

/// The lines of a part down to its need, with the figures of each.
fn lines_to_need(bench: &Bench, asked: &str) -> Vec<(Decimal, String)> {
    let out = bench.clean(&["explain", &orchard(), asked, "--json"]).out;
    let document: Value = serde_json::from_str(&out).unwrap();
    let lines = document["result"]["explained"][0]["lines"].as_array().unwrap().clone();
    let said = |line: &Value| line["what"].as_str().unwrap_or_default().to_owned();
    let end = lines.iter().position(|line| said(line) == "need").unwrap();
    let lines = lines.iter().take(end + 1);
    lines.filter_map(|line| Some((decimal(&line["amount"])?, said(line)))).collect()
}

/// The need of the row of order.csv that holds some cells; `tests/golden` keeps that file.
fn ordered(cells: &str) -> Decimal {
    let order = fs::read_to_string(Path::new(&orchard()).join("expected/order.csv")).unwrap();
    let at = order.lines().next().unwrap().split(',').position(|heading| heading == "need").unwrap();
    let row = order.lines().find(|row| row.contains(cells)).unwrap();
    Decimal::from_str_exact(row.split(',').nth(at).unwrap()).unwrap()
}

#[test]
fn the_lines_of_a_part_add_up_to_the_need_of_the_order() {
    let bench = Bench::new("explained-order");
    for (asked, row, words) in [
        ("cement, pvc", ",cement,,,pvc,", "made up from others"),
        ("cement, pvc", ",cement,,,pvc,", "spared by the cut plan"),
        ("coupling 4", ",coupling,pvc-cement,4,", "spared by the cut plan"),
        ("combination 4 x 4 x 3", ",combination,pvc-cement,4 x 4 x 3,", "not sold so"),
        ("wye 4 x 4 x 3", ",wye,pvc-cement,4 x 4 x 3,", "made up from others"),
        ("street eighth bend 3", ",street eighth bend,pvc-cement,3,", "made up from others"),
    ] {
        let lines = lines_to_need(&bench, asked);
        let (last, all) = lines.split_last().unwrap();
        assert_eq!(last.0, ordered(row), "{asked}");
        // What the takeoff comes to is a sum of the lines above it.
        let sum: Decimal =
            all.iter().filter(|(_, what)| what != "in the takeoff").map(|(much, _)| *much).sum();
        // Each line is rounded to four places.
        let slack = Decimal::new(i64::try_from(all.len()).unwrap(), 4);
        assert!((sum - last.0).abs() < slack, "{asked}: {lines:?}");
        assert!(all.iter().any(|(_, what)| what.contains(words)), "{asked}: {lines:?}");
    }
}

#[test]
fn what_is_suggested_is_explained() {
    let bench = Bench::new("explained-near");
    let mut tried = 0;
    for asked in ["tank heater", "cemnt", "coupling 9", "street eighth", "wye 3 x 9", "floor drain"] {
        let ran = bench.run(&["explain", &orchard(), asked]);
        let text = ran.err.replace('\n', " ");
        let listed = ran
            .err
            .lines()
            .filter_map(|line| line.strip_prefix("  nearest: ").or_else(|| line.strip_prefix("           ")));
        let meant = text.split_once("did you mean `").and_then(|(_, rest)| rest.split_once('`'));
        for name in listed.chain(meant.map(|(name, _)| name)) {
            bench.clean(&["explain", &orchard(), name]);
            tried += 1;
        }
    }
    assert!(tried > 5, "{tried}");
}
