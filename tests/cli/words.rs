//! Words that nobody knows: what is near to them is said, in a few short lines; and what the program helps with.

use std::path::Path;

use crate::bench::Bench;

fn cabin() -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/lake-cabin").to_str().unwrap().to_owned()
}

#[test]
fn a_misspelled_command_is_no_path() {
    let bench = Bench::new("misspelled");
    for (words, said) in [
        (&["estimat", "job"][..], "no command `estimat`; did you mean `estimate`?"),
        (&["chek", "job"], "no command `chek`; did you mean `check`?"),
        (&["chek"], "no command `chek`; did you mean `check`?"),
        (&["-q", "revice", "a", "b"], "no command `revice`; did you mean `revise`?"),
        (&["frobnicate", "job"], "no command `frobnicate`; there are new, check, estimate,"),
        (&["check", "job", "--shrt"], "did you mean `--short`?"),
        (&["new", "--table", "paterns"], "did you mean `patterns`?"),
        (&["help", "rums"], "did you mean `runs`?"),
    ] {
        let ran = bench.run(words);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{words:?}");
        let err = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(err.contains(said), "{words:?}: {err}");
    }
    // What is there is a path, whatever its name.
    bench.clean(&["new", "chek"]);
    assert!(bench.clean(&["chek", "-o", "out"]).out.contains("written: out"));
    assert!(bench.run(&["nowhere/at-all"]).err.contains("nowhere/at-all"));
}

#[test]
fn what_explain_does_not_know_is_answered_with_at_most_five_short_lines() {
    let bench = Bench::new("near");
    for asked in ["1/2", "tee 9/8", "teee", "zeppelin mast", "fixture", "elbo", "", "overhed", "rinng 1/2"] {
        let ran = bench.run(&["explain", &cabin(), asked]);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{asked}");
        assert!(ran.err.lines().count() <= 8, "{}", ran.err);
        assert!(ran.err.lines().all(|line| line.chars().count() <= 96), "{}", ran.err);
        let near: Vec<&str> = ran.err.lines().filter_map(|line| line.strip_prefix("  nearest: ")).collect();
        assert!(near.iter().all(|near| *near != asked), "{}", ran.err);
    }
    let ran = bench.run(&["explain", &cabin(), "1/2"]);
    assert!(ran.err.lines().count() == 6 && ran.err.contains("  nearest: "), "{}", ran.err);
}

#[test]
fn help_knows_commands_tables_columns_items_and_words() {
    let bench = Bench::new("help-words");
    for (word, said) in [
        ("runs", "reduce to"),
        ("Runs", "needed"),
        ("prices", "supplier"),
        ("job", "overhead"),
        ("overhead", "job"),
        ("joins", "runs"),
        ("waste", "what was bought and not installed"),
        ("per C", "for a hundred"),
        ("revise", "--prices"),
        ("drain", "waste on its way out"),
        ("drain", "lavatory drain"),
        ("vent", "air of the drains"),
        ("vent", "vent through roof"),
        ("underground", "under the slab or in the ground"),
        ("slab", "no spacing of supports"),
        ("toilet", "supply stop"),
        ("toilet", "toilet riser"),
        ("lavatory drain", "trap adapter"),
        ("trap", "P-trap"),
        ("trap", "tub drain"),
        ("toilet flange", "closet flange"),
        ("lavatory", "drain units"),
        ("pvc-cement", "cemented PVC drain pipe"),
        // What is written at length, with the rows to type.
        ("topics", "recirculation"),
        ("recirculation", "R1,return,1/2,38,hot return,H1,38,C1,6,2"),
        ("recirculation", "see also: coilstick help worked examples"),
        ("tie in", "temporary cap"),
        ("own system", "ring-metric,water,metric"),
        ("paths", "so far into the last leg that goes up"),
        ("runs", "center to center"),
        ("per C", "41.30/C"),
        ("cautions", "Compressed air in plastic pipe can burst it"),
        ("install", "cargo install --path ."),
        // Files that are written, and their columns.
        ("order.csv", "written by: coilstick estimate"),
        ("order.csv", "bought and neither needed nor allowed for"),
        ("takeoff", "how much of it is installed"),
        ("comparison.csv", "a column for each system compared"),
        ("change-order.csv", "by quantity"),
        ("left over", "order.csv"),
        ("files", "request-for-quote.csv"),
        ("estimate.json", "coilstick schema"),
    ] {
        let out = bench.clean(&["help", word]).out;
        assert!(out.split_whitespace().collect::<Vec<_>>().join(" ").contains(said), "{word}: {out}");
    }
    let near = bench.run(&["help", "lavatory drian"]);
    assert!(near.status == 2 && near.err.contains("lavatory drain"), "{}", near.err);
    // Whatever table can be printed is named.
    let new = bench.clean(&["new", "--help"]).out.split_whitespace().collect::<Vec<_>>().join(" ");
    for table in ["meetings", "turnings", "drain units", "ordinary", "labor", "tools"] {
        assert!(new.contains(table), "{table}: {new}");
        bench.clean(&["new", "--table", table]);
    }
    let near = bench.run(&["help", "recirculaton"]);
    assert!(near.status == 2 && near.err.contains("nearest: recirculation"), "{}", near.err);
    let none = bench.run(&["help", "zeppelin"]);
    assert!(
        none.status == 2
            && none.err.split_whitespace().collect::<Vec<_>>().join(" ").contains("the tables are job,"),
        "{}",
        none.err
    );
}

#[test]
fn quiet_leaves_nothing_but_errors_and_what_is_asked_for_as_a_text() {
    let bench = Bench::new("quiet-everywhere");
    let (cabin, changed) = (cabin(), cabin() + "/changed");
    for words in [
        &["check", &cabin][..],
        &["estimate", &cabin, "-o", "out"],
        &["compare", &cabin],
        &["compare", &cabin, &changed],
        &["revise", &cabin, &changed],
        &["explain", &cabin, "bid"],
        &["new", "fresh"],
    ] {
        let ran = bench.clean(&[words, &["-q"]].concat());
        assert_eq!((ran.out.as_str(), ran.err.as_str()), ("", ""), "{words:?}");
    }
    assert!(bench.clean(&["new", "--table", "parts", "-q"]).out.lines().count() > 10);
    assert!(bench.clean(&["completions", "bash", "-q"]).out.lines().count() > 10);
    // What is grave is said.
    bench.write("bare/runs.csv", crate::bench::SMALL);
    for words in [&["compare", "bare", "-q"][..], &["estimate", "bare", "-q"], &["check", "bare", "-q"]] {
        let ran = bench.run(words);
        assert!(
            ran.status == 1 && ran.out.is_empty() && ran.err.contains("nothing is priced"),
            "{words:?}: {ran:?}"
        );
    }
}
