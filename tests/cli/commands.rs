//! The commands on jobs without mistakes: where they write, what they print, what they leave alone.

use std::fs;
use std::io::Read;
use std::path::Path;
use std::process::Stdio;

use crate::bench::{Bench, SMALL};

const FILES: [&str; 15] = [
    "bid.csv",
    "checks.csv",
    "comparison.csv",
    "cut-plan.csv",
    "estimate.json",
    "estimate.xlsx",
    "held.csv",
    "labor.csv",
    "order.csv",
    "orders.csv",
    "owner.csv",
    "owner.json",
    "request-for-quote.csv",
    "takeoff.csv",
    "test-day.csv",
];

/// What an output folder holds: the files, and the tables that they were made from.
fn all_written() -> Vec<&'static str> {
    let mut all = [&FILES[..], &["inputs", "papers"]].concat();
    all.sort_unstable();
    all
}

/// A scratch folder with the starter in `job`.
fn with_starter(name: &str) -> Bench {
    let bench = Bench::new(name);
    bench.clean(&["new", "job"]);
    bench
}

#[test]
fn a_folder_with_one_workbook_alone_is_that_workbook() {
    let bench = Bench::new("one-workbook");
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/guest-lodge");
    let lodge = format!("{folder}/guest-lodge.xlsx");
    bench.clean(&["estimate", folder, "-o", "of folder"]);
    bench.clean(&["estimate", &lodge, "-o", "of book"]);
    for name in FILES {
        let read = |out: &str| fs::read(bench.path(&format!("{out}/{name}"))).unwrap();
        assert!(read("of folder") == read("of book"), "{name}");
    }
    fs::create_dir(bench.path("two")).unwrap();
    fs::copy(&lodge, bench.path("two/one.xlsx")).unwrap();
    fs::copy(&lodge, bench.path("two/other.xlsx")).unwrap();
    let two = bench.run(&["check", "two"]);
    assert!(two.err.contains("name the workbook itself: one.xlsx"), "{}", two.err);
}

#[test]
fn check_writes_nothing() {
    let bench = with_starter("check");
    let before = bench.everything();
    let ran = bench.clean(&["check", "job"]);
    assert!(ran.out.contains(" runs, nothing to say\n"), "{}", ran.out);
    assert!(ran.out.contains("The local code and"), "{}", ran.out);
    assert_eq!(bench.everything(), before);
}

#[test]
fn an_estimate_stands_beside_its_job_and_leaves_the_job_alone() {
    let bench = with_starter("beside");
    let (before, job) = (bench.everything(), bench.names("job"));
    let ran = bench.clean(&["estimate", "job"]);
    assert!(ran.out.contains("written: job-estimate"), "{}", ran.out);
    assert_eq!(bench.names("."), ["job", "job-estimate"]);
    assert_eq!(bench.names("job-estimate"), all_written());
    for (path, bytes) in before {
        assert_eq!(fs::read(path).unwrap(), bytes);
    }
    // From inside the job, and with a slash behind its name, it is the same folder.
    let inside = bench.command(&["estimate", "."]).current_dir(bench.path("job")).output().unwrap();
    assert!(inside.status.success());
    bench.clean(&["estimate", "job/"]);
    assert_eq!(bench.names("."), ["job", "job-estimate"]);
    assert_eq!(bench.names("job"), job);
}

#[test]
fn an_estimate_never_stands_inside_its_job() {
    let bench = with_starter("inside");
    let before = bench.everything();
    for out in ["job", "job/out", "job/a/b", "./job/../job/out"] {
        let ran = bench.run(&["estimate", "job", "-o", out]);
        assert_eq!(ran.status, 2, "{out}");
        assert!(ran.err.contains("inside the job"), "{}", ran.err);
    }
    assert_eq!(bench.everything(), before);
}

#[test]
fn a_file_of_somebody_elses_is_not_overwritten_and_one_of_our_own_is() {
    let bench = with_starter("foreign");
    bench.write("out/order.csv", "my own list\n");
    let before = bench.everything();
    let ran = bench.run(&["estimate", "job", "-o", "out"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("order.csv") && ran.err.contains("no output of this program"), "{}", ran.err);
    assert_eq!(bench.everything(), before);
    bench.write("beside/letter.txt", "stays");
    bench.clean(&["estimate", "job", "-o", "beside"]);
    let first = bench.read("beside/order.csv");
    bench.clean(&["estimate", "job", "-o", "beside"]);
    assert_eq!(bench.read("beside/order.csv"), first);
    assert_eq!(bench.read("beside/letter.txt"), "stays");
    bench.write("wall", "a file");
    assert_eq!(bench.run(&["estimate", "job", "-o", "wall"]).status, 2);
    assert_eq!(bench.read("wall"), "a file");
}

#[test]
fn a_path_alone_means_estimate() {
    let bench = with_starter("path-alone");
    let ran = bench.clean(&["job", "-o", "out"]);
    assert!(ran.out.contains("written: out"), "{}", ran.out);
    assert_eq!(bench.names("out"), all_written());
    let quiet = bench.clean(&["--quiet", "job", "-o", "out"]);
    assert_eq!((quiet.out.as_str(), quiet.err.as_str()), ("", ""));
}

#[test]
fn a_run_list_alone_is_a_job() {
    let bench = Bench::new("list-alone");
    bench.write("walk.csv", SMALL);
    let ran = bench.run(&["walk.csv"]);
    assert!(ran.err.contains("nothing-priced") && ran.out.contains("written: walk-estimate"), "{ran:?}");
    assert!(ran.status == 1 && ran.out.contains("INCOMPLETE: nothing is priced"), "{ran:?}");
    assert_eq!(bench.names("."), ["walk-estimate", "walk.csv"]);
}

#[test]
fn the_same_job_gives_the_same_bytes_wherever_it_is_written() {
    let bench = with_starter("same-bytes");
    bench.clean(&["estimate", "job", "-o", "a"]);
    bench.clean(&["estimate", "job", "-o", "b"]);
    for file in FILES {
        let of = |folder: &str| fs::read(bench.path(folder).join(file)).unwrap();
        assert_eq!(of("a"), of("b"), "{file}");
    }
}

#[test]
fn compare_prints_a_table_or_writes_its_file() {
    let bench = with_starter("compare");
    let (before, job) = (bench.everything(), bench.names("job"));
    let ran = bench.clean(&["compare", "job"]);
    for words in
        ["pex-clamp", "copper-solder", "total material", "difference", "joints to make", "clamp ring"]
    {
        assert!(ran.out.contains(words), "{words} is missing: {}", ran.out);
    }
    assert_eq!(bench.everything(), before);
    let ran = bench.clean(&["compare", "job", "-o", "side-by-side"]);
    assert!(ran.out.contains("comparison.csv"));
    assert_eq!(bench.names("side-by-side"), ["comparison.csv"]);
    bench.write("mine/comparison.csv", "apples,pears\n");
    assert_eq!(bench.run(&["compare", "job", "-o", "mine"]).status, 2);
    assert_eq!(bench.read("mine/comparison.csv"), "apples,pears\n");
    assert_eq!(bench.run(&["compare", "job", "-o", "job"]).status, 2);
    assert_eq!(bench.names("job"), job);
}

#[test]
fn explain_knows_a_part_by_its_size_by_its_name_alone_and_by_its_other_names() {
    let bench = with_starter("explain");
    let tee = bench.clean(&["explain", "job", "tee 3/4 x 3/4 x 1/2"]).out;
    assert!(tee.starts_with("tee 3/4 x 3/4 x 1/2 in pex-clamp + pvc-cement\n"), "{tee}");
    assert!(
        tee.contains("C2 ties in here") && tee.contains("[runs.csv:F4]") && tee.contains("need"),
        "{tee}"
    );
    let all = bench.clean(&["explain", "job", "tee"]).out;
    assert!(all.contains("tee 3/4 x 3/4 x 1/2") && all.contains("tee 1/2"), "{all}");
    let elbows = bench.clean(&["explain", "job", "elbow"]).out;
    assert_eq!(bench.clean(&["explain", "job", "quarter bend"]).out, elbows);
    assert_eq!(bench.clean(&["explain", "job", "Quarter  Bend 1/2"]).out.matches(" in ").count(), 1);
}

/// Sums and hours are explained line by line with their cells, and end in the figure of the files.
#[test]
fn explain_walks_hours_and_money_to_their_cells() {
    let bench = Bench::new("explain-sums");
    let cabin = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/lake-cabin");
    let cabin = cabin.to_str().unwrap();
    bench.clean(&["estimate", cabin, "-o", "out"]);
    let bid = bench.read("out/bid.csv");
    let figure = |line: &str| {
        let row = bid.lines().find(|row| row.starts_with(&format!("{line},"))).unwrap();
        row.split(',').rev().nth(3).unwrap().to_owned()
    };
    // The row of the job that says the points, by its cell.
    let job = std::fs::read_to_string(Path::new(cabin).join("job.csv")).unwrap();
    let row = job.lines().position(|row| row.starts_with("overhead,")).unwrap() + 1;
    let overhead = bench.clean(&["explain", cabin, "overhead"]).out;
    assert!(overhead.starts_with("overhead in pex-clamp + pvc-cement\n"), "{overhead}");
    assert!(overhead.contains(&format!("[job.csv:C{row}]")), "{overhead}");
    for line in
        ["material", "labor", "tools", "delivery", "direct cost", "sales tax", "price of the work", "bid"]
    {
        let told = bench.clean(&["explain", cabin, line]).out;
        let last = told.lines().rev().find(|row| !row.is_empty()).unwrap().to_owned();
        assert!(last.trim_start().starts_with(&figure(line)), "{line}: {last} is not {}", figure(line));
    }
    // The hours are those of labor.csv, and a work is explained alone.
    let labor = bench.clean(&["explain", cabin, "hours"]).out;
    let joints = bench.clean(&["explain", cabin, "joint, pex-clamp 1/2"]).out;
    assert!(
        joints.contains("labor.csv:") && joints.lines().all(|row| labor.contains(row) || !row.contains('['))
    );
    // A tube by its name is a part, its cost by the cost.
    assert!(bench.clean(&["explain", cabin, "cost of tube"]).out.contains("tube: the sum of these lines"));
    assert!(
        bench
            .clean(&["explain", cabin, "supports"])
            .out
            .starts_with("cost of supports, plates, insulation in")
    );
    let permit = bench.clean(&["explain", cabin, "permit"]).out;
    let cell = job.lines().position(|row| row.starts_with("fee,permit")).unwrap() + 1;
    assert!(permit.contains("140.00") && permit.contains(&format!("[job.csv:C{cell}]")), "{permit}");
    // One system unless all are asked for.
    assert_eq!(bench.clean(&["explain", cabin, "bid"]).out.matches("bid in ").count(), 1);
    assert_eq!(bench.clean(&["explain", cabin, "bid", "--all-systems"]).out.matches("bid in ").count(), 2);
    // What the chosen system has not is explained in the one that has it.
    assert!(bench.clean(&["explain", cabin, "solder"]).out.contains("solder in copper-solder"));
}

#[test]
fn explain_of_a_part_that_is_not_there_names_the_nearest() {
    let bench = with_starter("explain-nothing");
    let ran = bench.run(&["explain", "job", "teee"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("no part, sum or work called \"teee\"; did you mean `tee`?"), "{}", ran.err);
    let ran = bench.run(&["explain", "job", "zeppelin mast"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("order.csv"), "{}", ran.err);
}

#[test]
fn every_line_on_the_terminal_is_under_a_hundred_columns() {
    let bench = Bench::new("narrow");
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut texts = Vec::new();
    for job in ["examples/lake-cabin", "examples/counted-by-eye"] {
        let job = root.join(job);
        let job = job.to_str().unwrap();
        for words in [&["check", job][..], &["compare", job], &["estimate", job, "-o", "out"]] {
            let ran = bench.clean(words);
            texts.extend([ran.out, ran.err]);
        }
    }
    for words in [&["--help"][..], &["new", "--help"], &["estimate", "--help"], &["explain", "--help"]] {
        texts.push(bench.clean(words).out);
    }
    for line in texts.iter().flat_map(|text| text.lines()) {
        assert!(line.chars().count() < 100, "{line}");
    }
}

#[test]
fn help_teaches_on_one_screen() {
    let bench = Bench::new("help");
    let help = bench.clean(&["--help"]).out;
    assert!(help.lines().count() <= 40, "{} lines", help.lines().count());
    assert_eq!(bench.clean(&["-h"]).out, help);
    for words in
        ["Examples:", "coilstick new my-house", "coilstick explain", "Exit status", "licensed plumber"]
    {
        assert!(help.contains(words), "{words}");
    }
    let none = bench.run(&[]);
    assert_eq!((none.status, none.err), (2, help));
    assert!(bench.clean(&["--version"]).out.starts_with("coilstick "));
    assert_eq!(bench.run(&["check"]).status, 2);
    assert_eq!(bench.run(&["check", "job", "--nonsense"]).status, 2);
    assert_eq!(bench.run(&["check", "job", "--short", "--json"]).status, 2);
}

#[test]
fn completions_and_the_man_page_come_from_the_same_definition() {
    let bench = Bench::new("shell");
    for shell in ["bash", "zsh", "fish"] {
        let text = bench.clean(&["completions", shell]).out;
        for command in ["estimate", "explain", "completions", "workbook"] {
            assert!(text.contains(command), "{shell}: {command}");
        }
    }
    let man = bench.clean(&["man"]).out;
    assert!(
        man.contains(".TH coilstick") && man.contains("estimate") && man.contains("Exit status"),
        "{man}"
    );
}

#[test]
fn a_reader_that_closes_the_pipe_ends_nothing_in_a_panic() {
    let bench = Bench::new("pipe");
    let cabin = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/lake-cabin");
    let cabin = cabin.to_str().unwrap();
    for words in [
        &["new", "--table", "parts"][..],
        &["compare", cabin],
        &["compare", cabin, "--json"],
        &["check", cabin, "--json"],
        &["explain", cabin, "tube"],
        &["man"],
        &["help", "runs"],
        &["chek", "job", "--json"],
    ] {
        let mut child = bench.command(words).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        drop(child.stdout.take());
        let mut err = String::new();
        child.stderr.take().unwrap().read_to_string(&mut err).unwrap();
        let status = child.wait().unwrap();
        assert!(status.code().is_some_and(|code| code <= 2), "{words:?}: {status} {err}");
        assert!(!err.contains("panicked"), "{words:?}: {err}");
    }
}

#[test]
fn help_works_as_the_flag_does() {
    let bench = Bench::new("help-as-a-flag");
    assert_eq!(bench.clean(&["help"]).out, bench.clean(&["--help"]).out);
    for command in
        ["new", "check", "estimate", "compare", "draw", "revise", "explain", "schema", "completions", "man"]
    {
        assert_eq!(bench.clean(&["help", command]).out, bench.clean(&[command, "--help"]).out, "{command}");
    }
}

/// A workbook of one price list, with the rows of a CSV text.
fn write_list(bench: &Bench, name: &str, text: &str) {
    let mut out = rust_xlsxwriter::Workbook::new();
    let sheet = out.add_worksheet();
    for (row, line) in (0_u32..).zip(text.lines()) {
        for (column, cell) in (0_u16..).zip(line.split(',')) {
            sheet.write_string(row, column, cell).unwrap();
        }
    }
    fs::write(bench.path(name), out.save_to_buffer().unwrap()).unwrap();
}

#[test]
fn a_folder_of_price_lists_is_read_with_its_workbooks() {
    let bench = with_starter("lists");
    let list = "supplier,part,size,price\nMill Supply (invented),elbw,1/2,0.01\n";
    let job = bench.read("job/job.csv");
    bench.write("job/job.csv", &format!("{job}price list,,lists,\n"));
    // An empty folder is told, and a workbook alone is read.
    fs::create_dir(bench.path("job/lists")).unwrap();
    let ran = bench.run(&["check", "job"]);
    assert_eq!(ran.status, 1);
    assert!(ran.err.contains("the folder has no price list"), "{}", ran.err);
    write_list(&bench, "job/lists/mill.xlsx", list);
    let ran = bench.run(&["check", "job", "--short"]);
    assert_eq!(ran.err.matches("unknown-sold-part lists/mill.xlsx Sheet1!B2").count(), 1, "{}", ran.err);
    // So is one beside a CSV list; what is no workbook by its bytes is told, and the others are read.
    bench.write("job/lists/acre.csv", &list.replace("elbw", "tea"));
    bench.write("job/lists/words.xlsx", "no workbook at all");
    let ran = bench.run(&["check", "job", "--short"]);
    for told in ["unknown-sold-part lists/acre.csv:B2", "lists/mill.xlsx Sheet1!B2", "lists/words.xlsx"] {
        assert!(ran.err.contains(told), "{told}\n{}", ran.err);
    }
}

#[test]
fn a_folder_of_newer_prices_is_read_with_its_workbooks() {
    let bench = with_starter("newer");
    fs::create_dir(bench.path("newer")).unwrap();
    let ran = bench.run(&["revise", "job", "--prices", "newer"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("the folder has no price list"), "{}", ran.err);
    write_list(&bench, "newer/mill.xlsx", "supplier,part,size,price\nMill Supply (invented),elbw,1/2,0.01\n");
    let ran = bench.run(&["revise", "job", "--prices", "newer", "--short"]);
    assert!(ran.err.contains("unknown-sold-part mill.xlsx Sheet1!B2"), "{}", ran.err);
}

#[test]
fn the_terminal_and_the_files_write_one_figure_one_way() {
    let bench = Bench::new("one-way");
    bench.write("job/runs.csv", "run,service,size,length,joins\nA,cold,1/2,\"100' 11 7/8\"\"\",main\n");
    // Sold in sticks of 10 ft alone, so that the plan joins more often than sticks of 20 ft would ask for.
    bench.write(
        "job/prices.csv",
        "supplier,part,size,system,price,sold as,pack,per\nMill,tube,1/2,copper,9,stick,10 ft,pack\n\
         Mill,tube,1/2,pex,31.337,coil,150 ft,pack\nMill,coupling,1/2,copper,1.10,each,,each\n",
    );
    bench.write(
        "job/job.csv",
        "item,value\nwater system,copper-solder\ncompare with,pex-clamp\ncurrency,USD\n",
    );
    let ran = bench.run(&["estimate", "job", "-o", "out"]);
    let compared = bench.run(&["compare", "job"]);
    let file = bench.read("out/comparison.csv");
    let line = |text: &str, name: &str| -> Vec<String> {
        let row =
            text.lines().find(|row| row.trim_start().starts_with(name)).unwrap_or_else(|| panic!("{text}"));
        row.trim_start()[name.len()..]
            .split([',', ' '])
            .map(str::to_owned)
            .filter(|cell| !cell.is_empty())
            .collect()
    };
    let joints = line(&file, "joints to make,each");
    assert_eq!(line(&ran.out, "joints to make"), joints, "{}", ran.out);
    assert_eq!(line(&compared.out, "joints to make"), joints);
    // Eleven sticks in a row, and the cap's joint.
    let both = joints[0].parse::<i64>().unwrap();
    assert!(both >= 20, "the plan's joints are among them: {both}");
    assert_eq!(line(&ran.out, "tube, ft"), ["100.9896", "100.9896"]);
    assert_eq!(line(&file, "tube length,ft"), ["100.9896", "100.9896"]);
    assert_eq!(line(&compared.out, "tube, ft"), ["100.9896", "100.9896"]);
}

#[test]
fn one_difference_has_one_percentage_of_one_base() {
    let bench = Bench::new("one-base");
    let cabin = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/lake-cabin");
    let cabin = cabin.to_str().unwrap();
    let ran = bench.clean(&["estimate", cabin, "-o", "out"]);
    let compared = bench.clean(&["compare", cabin]);
    let file = bench.read("out/comparison.csv");
    let row = file.lines().find(|row| row.starts_with("installed difference %,")).unwrap();
    let chosen = "pex-clamp + pvc-cement";
    let percent = row.strip_prefix(&format!("installed difference %,% of {chosen},0,")).unwrap();
    let said = format!("({percent} % of what {chosen} costs)");
    assert!(ran.out.split_whitespace().collect::<Vec<_>>().join(" ").contains(&said), "{said}: {}", ran.out);
    let mut told =
        compared.out.lines().filter(|line| line.trim_start().starts_with("% of pex-clamp + pvc-cement"));
    assert!(told.next_back().unwrap().ends_with(&format!("+{percent}")), "{}", compared.out);
}
