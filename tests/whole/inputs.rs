//! The tables that an estimate keeps are the job again: its estimate is the same to the byte, and the commands that read a
//! job read the folder.

use std::fs;
use std::path::Path;

use coilstick::estimate::estimate;
use coilstick::report;
use coilstick::trade::Job;

use crate::desk::{Desk, files};

fn project(path: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path).to_string_lossy().into_owned()
}

#[test]
fn an_estimate_of_the_kept_tables_of_every_example_is_the_same_to_the_byte() {
    let desk = Desk::new("inputs-examples");
    let mut jobs: Vec<String> = [
        "lake-cabin",
        "lake-cabin/changed",
        "counted-by-eye",
        "guest-lodge",
        "courtyard-trunk",
        "courtyard-manifold",
        "orchard-house",
        "ferry-house",
        "mill-cottage",
    ]
    .map(|job| project(&format!("examples/{job}")))
    .into();
    jobs.push(project("examples/guest-lodge/guest-lodge.xlsx"));
    jobs.push(project("examples/counted-by-eye/runs.csv"));
    for (at, job) in jobs.iter().enumerate() {
        let (first, again, third) = (desk.path("first"), desk.path("again"), desk.path("third"));
        for (from, to) in [(Path::new(job), &first), (&first.join("inputs"), &again), (&again, &third)] {
            let job = Job::read(from).unwrap_or_else(|why| panic!("{}: {}", from.display(), why.found));
            report::write(&job, &estimate(&job), to).unwrap();
        }
        let all = files(&first);
        assert!(all.contains_key("inputs/inputs.json") && all.len() > 14, "{job}");
        assert!(all == files(&again), "{job}, by the folder of tables");
        assert!(all == files(&third), "{job}, by the folder of the estimate");
        let names: Vec<&String> = all.keys().filter(|name| name.starts_with("inputs/")).collect();
        match at {
            // The tables of the job, its price lists, the hours; not what lies beside them.
            0 => assert_eq!(
                names,
                [
                    "inputs/inputs.json",
                    "inputs/job.csv",
                    "inputs/runs.csv",
                    "inputs/shared-1/labor.csv",
                    "inputs/shared-1/tools.csv",
                    "inputs/shared-2/fennwick-supply-2026-01-05.csv",
                    "inputs/shared-2/tidegate-plumbing-goods-2026-02-01.csv",
                    "inputs/suppliers.csv",
                ]
            ),
            _ => assert!(names.len() >= 2, "{names:?}"),
        }
        for folder in [first, again, third] {
            fs::remove_dir_all(folder).unwrap();
        }
    }
}

#[test]
fn a_run_list_of_any_name_and_lists_in_files_and_workbooks_are_kept() {
    let desk = Desk::new("inputs-kinds");
    desk.job("a", 40, false);
    fs::copy(desk.path("a/runs.csv"), desk.path("walk.csv")).unwrap();
    desk.write("a/notes.csv", "what,is\nnot,read\n");
    desk.write(
        "a/job.csv",
        "item,for,value\nprice list,,../lists/mill.csv; own lists; ../lists\nwater system,,pex-clamp\n",
    );
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    for (column, (head, cell)) in
        (0_u16..).zip([("supplier", "Acre (invented)"), ("part", "elbw"), ("size", "1/2"), ("price", "0.50")])
    {
        sheet.write_string(0, column, head).unwrap();
        sheet.write_string(1, column, cell).unwrap();
    }
    fs::create_dir(desk.path("a/own lists")).unwrap();
    fs::write(desk.path("a/own lists/acre.xlsx"), book.save_to_buffer().unwrap()).unwrap();
    for job in ["a", "walk.csv"] {
        let (first, again) = (format!("{job} first"), format!("{job} again"));
        desk.done(&["estimate", job, "-o", &first]);
        desk.done(&["estimate", &format!("{first}/inputs"), "-o", &again]);
        let (mut first, mut again) = (files(&desk.path(&first)), files(&desk.path(&again)));
        // A table that is not read is not kept, and so not remarked again.
        for all in [&mut first, &mut again].into_iter().filter(|_| job == "a") {
            for name in ["estimate.json", "estimate.xlsx", "owner.json"] {
                all.remove(name);
            }
        }
        let parted: Vec<&String> = first.keys().filter(|name| first.get(*name) != again.get(*name)).collect();
        assert!(parted.is_empty() && first.len() == again.len(), "{job}: {parted:?}");
        assert!(!first.contains_key("inputs/notes.csv"));
    }
    // Notices name the places that the job has, of the copy too.
    let (_, said) = desk.run(&["check", "a first", "--short"]);
    assert!(said.contains("own lists/acre.xlsx Sheet1!B2"), "{said}");
}

#[test]
fn the_folder_of_an_estimate_is_read_as_its_job() {
    let desk = Desk::new("inputs-commands");
    desk.job("a", 40, true);
    desk.job("b", 70, true);
    desk.done(&["estimate", "a", "-o", "bid one"]);
    for words in [&["check"][..], &["explain", "clamp ring"], &["compare"]] {
        let with = |job: &'static str| [&words[..1], &[job], &words[1..]].concat();
        assert_eq!(desk.done(&with("bid one")), desk.done(&with("a")), "{words:?}");
    }
    let changed = desk.done(&["revise", "a", "b"]);
    assert_eq!(desk.done(&["revise", "bid one", "b"]), changed);
    // Where somebody wrote in the kept tables, they are not what the bid was made from.
    let runs = desk.read("bid one/inputs/runs.csv");
    desk.write("bid one/inputs/runs.csv", &runs.replace(",40,", ",50,"));
    for words in [&["check", "bid one"][..], &["revise", "bid one", "b"]] {
        let said = desk.done(words);
        assert!(said.contains("edited-inputs") && said.contains("inputs/runs.csv"), "{said}");
    }
    desk.write("bid one/inputs/runs.csv", &runs);
    // A trial is not what the tables say: it keeps none.
    desk.done(&["estimate", "a", "-o", "trial", "--price-change", "tube", "10"]);
    assert!(!desk.path("trial/inputs").exists());
    let (status, said) = desk.run(&["revise", "trial", "b"]);
    assert!(status == 2 && said.contains("a trial keeps none"), "{said}");
    // Neither the folder nor what it keeps is overwritten by an estimate of itself.
    let before = files(&desk.path("bid one"));
    for job in ["bid one", "bid one/inputs", "bid one/inputs/runs.csv"] {
        let (status, said) = desk.run(&["estimate", job, "-o", "bid one"]);
        assert_eq!(status, 2, "{job}: {said}");
    }
    assert_eq!(files(&desk.path("bid one")), before);
}

#[test]
fn a_table_that_changes_while_it_is_read_is_told() {
    let desk = Desk::new("inputs-changed");
    desk.job("a", 40, false);
    let job = Job::read(&desk.path("a")).unwrap();
    let runs = desk.read("a/runs.csv");
    desk.write("a/runs.csv", &format!("{runs}M2,cold,1/2,10,fixture supply,main,tub\n"));
    let told = report::write(&job, &estimate(&job), &desk.path("out")).unwrap_err();
    assert!(told.to_string().contains("runs.csv was changed while it was read"), "{told}");
    assert!(!desk.path("out").exists());
}
