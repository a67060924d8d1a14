//! `--json`: one document of one shape from every command and for every failure, made of the same figures as the lines.

use std::path::Path;

use serde_json::Value;

use crate::bench::Bench;

fn example(path: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(path).to_str().unwrap().to_owned()
}

/// A bench with a job of errors in `wrong` and nothing in `nothing`.
fn with_errors(name: &str) -> Bench {
    let bench = Bench::new(name);
    bench.clean(&["new", "wrong"]);
    bench.write(
        "wrong/runs.csv",
        "run,service,size,length,joins,at,pattern,to\nM1,cold,3/4,40,main,,,\nC1,cold,1/2,ten,M1,5,fixture supply,sink\n",
    );
    bench
}

#[test]
fn every_command_and_every_failure_is_one_document() {
    let bench = with_errors("json-all");
    let (cabin, changed) = (example("lake-cabin"), example("lake-cabin/changed"));
    let inside = format!("{cabin}/out");
    let (good, new, wrong) = (cabin.as_str(), changed.as_str(), "wrong");
    for (words, command, status) in [
        (&["check", good][..], "check", 0),
        (&["estimate", good, "-o", "out"], "estimate", 0),
        (&[good, "-o", "out"], "estimate", 0),
        (&["estimate", good, "-o", "out", "-q"], "estimate", 0),
        (&["compare", good], "compare", 0),
        (&["compare", good, "-o", "out-b"], "compare", 0),
        (&["compare", good, new, "--all-systems"], "compare", 0),
        (&["explain", good, "tee"], "explain", 0),
        (&["explain", good, "bid", "--all-systems"], "explain", 0),
        (&["revise", good, new], "revise", 0),
        (&["revise", good, new, "-o", "out-c"], "revise", 0),
        (&["revise", good, good], "revise", 0),
        (&["revise", good, "--price-change", "all", "3"], "revise", 0),
        (&["revise", good, "--used", "out/estimate.xlsx"], "revise", 0),
        (&["new", "fresh"], "new", 0),
        (&["new", "fresh.xlsx", "--workbook"], "new", 0),
        (&["new", "--table", "parts"], "new", 0),
        (&["completions", "bash"], "completions", 0),
        (&["man"], "man", 0),
        (&["schema"], "schema", 0),
        (&["schema", "revision"], "schema", 0),
        (&["help"], "help", 0),
        (&["help", "revise"], "help", 0),
        (&["help", "job"], "help", 0),
        (&["help", "waste"], "help", 0),
        (&["help", "topics"], "help", 0),
        (&["help", "recirculation"], "help", 0),
        (&["help", "order.csv"], "help", 0),
        (&["check", wrong], "check", 1),
        (&["estimate", wrong, "-o", "out-d"], "estimate", 1),
        (&["compare", wrong, "-q"], "compare", 1),
        (&["explain", wrong, "tube"], "explain", 1),
        (&["revise", wrong, wrong], "revise", 1),
        (&["check", "no-such-job"], "check", 2),
        (&["no-such-job"], "estimate", 2),
        (&["explain", good, "zeppelin"], "explain", 2),
        (&["estimate", good, "-o", &inside], "estimate", 2),
        (&["revise", good], "revise", 2),
        (&["new", "wrong"], "new", 2),
        (&["new", "--table", "partz"], "new", 2),
        (&["help", "zeppelin"], "help", 2),
        (&["check"], "check", 2),
        (&["check", good, "--nonsense"], "check", 2),
        (&["check", good, "--short"], "check", 2),
        (&["schema", "estimate.jsn"], "schema", 2),
        (&["completions", "fishy"], "completions", 2),
    ] {
        let document = bench.document(words);
        assert_eq!(
            (&document["command"], &document["status"]),
            (&Value::from(command), &Value::from(status)),
            "{words:?}"
        );
        let notices = document["notices"].as_array().unwrap();
        assert!(status == 0 || !notices.is_empty(), "{words:?}: {document}");
        for notice in notices {
            assert!(notice["kind"].as_str().is_some_and(|kind| !kind.is_empty()), "{notice}");
            assert!(notice["found"].as_str().is_some_and(|found| !found.is_empty()), "{notice}");
        }
    }
    // No command is named.
    for words in [&["estimat", "job"][..], &["--nonsense"], &[]] {
        assert_eq!(
            (&bench.document(words)["command"], &bench.document(words)["status"]),
            (&Value::Null, &Value::from(2))
        );
    }
}

#[test]
fn the_result_has_the_figures_of_the_files() {
    let bench = Bench::new("json-figures");
    let cabin = example("lake-cabin");
    let told = bench.document(&["estimate", &cabin, "-o", "out"]);
    let result = &told["result"];
    let written = result["written"].as_array().unwrap();
    // Beside what it wrote stand the papers and the tables that it was made from.
    assert_eq!(written.len() + 2, bench.names("out").len());
    assert!(written.iter().all(|path| bench.path(path.as_str().unwrap()).exists()), "{written:?}");
    let comparison = bench.read("out/comparison.csv");
    let row = |name: &str| {
        let row =
            comparison.lines().find(|row| row.starts_with(name)).unwrap_or_else(|| panic!("{comparison}"));
        row.rsplitn(3, ',').take(2).map(str::to_owned).collect::<Vec<_>>()
    };
    let systems = result["systems"].as_array().unwrap();
    let of = |key: &str| {
        systems.iter().rev().map(|one| one[key].to_string().trim_matches('"').to_owned()).collect::<Vec<_>>()
    };
    assert_eq!(systems[0]["system"], "pex-clamp + pvc-cement");
    assert_eq!(of("joints"), row("joints to make,"));
    assert_eq!(of("tube"), row("tube length,"));
    let compared = bench.document(&["compare", &cabin]);
    assert_eq!(compared["result"]["systems"][1]["material"], systems[1]["material"]);
    assert!(compared["result"]["systems"][1]["installed_percent"].as_str().is_some());
    // What stands in the first column of a row of figures is explained with its cells.
    let tee = bench.document(&["explain", &cabin, "tee 3/4 x 3/4 x 1/2"]);
    let lines = tee["result"]["explained"][0]["lines"].as_array().unwrap();
    assert!(lines.iter().any(|line| line["cells"][0] == "runs.csv:F14" && line["amount"] == "1"), "{tee}");
    assert!(lines.iter().any(|line| line["what"] == "need"), "{tee}");
    let revised = bench.document(&["revise", &cabin, &example("lake-cabin/changed")]);
    let result = &revised["result"];
    assert!(result["adds"].as_array().unwrap().len() > 5 && result["sum_of_adds"].is_string(), "{result}");
    assert!(
        result["runs"].as_array().unwrap().iter().any(|run| run["name"] == "C4" && run["what"] == "dropped")
    );
    let check = bench.document(&["check", &cabin]);
    assert_eq!(check["result"]["errors"], 0);
    assert_eq!(check["result"]["complete"], true);
}
