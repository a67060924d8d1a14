//! What is in no sum: the exit status, and the word in every output. Warnings alone change nothing.

use serde_json::Value;

use crate::bench::{Bench, SMALL};

/// A house of which all is priced: its files by name.
fn starter(name: &str) -> Bench {
    let bench = Bench::new(name);
    bench.clean(&["new", "house"]);
    bench
}

/// Every output of the job says that it is incomplete, and why; every command ends with status 1.
fn is_incomplete(bench: &Bench, why: &str) {
    let ran = bench.run(&["estimate", "house"]);
    assert_eq!(ran.status, 1, "{ran:?}");
    let told = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("INCOMPLETE: ") && told.contains(why), "{why}: {}", ran.out);
    let json: Value = serde_json::from_str(&bench.read("house-estimate/estimate.json")).unwrap();
    assert_eq!(json["complete"], false, "{why}");
    assert_eq!(json["alternatives"][0]["complete"], false, "{why}");
    let owner: Value = serde_json::from_str(&bench.read("house-estimate/owner.json")).unwrap();
    assert_eq!(owner["complete"], false, "{why}");
    assert!(bench.read("house-estimate/owner.csv").contains("\nestimate,INCOMPLETE,"), "{why}");
    let line = |file: &str| {
        let text = bench.read(file);
        text.lines().find(|line| line.starts_with("estimate,")).map(str::to_owned).unwrap_or_default()
    };
    assert!(line("house-estimate/comparison.csv").starts_with("estimate,,INCOMPLETE"), "{why}");
    assert!(line("house-estimate/bid.csv").starts_with("estimate,,,INCOMPLETE"), "{why}");
    let book = texts_of(&bench.path("house-estimate/estimate.xlsx"));
    assert!(book.contains("INCOMPLETE: ") && book.contains(why), "{why}");
    for command in ["check", "compare"] {
        let ran = bench.run(&[command, "house"]);
        let told = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(ran.status == 1 && told.contains(why), "{command}, {why}: {ran:?}");
    }
    let quiet = bench.run(&["check", "house", "-q"]);
    assert!(quiet.status == 1 && quiet.err.contains(why), "{quiet:?}");
}

fn texts_of(book: &std::path::Path) -> String {
    let mut archive = zip::ZipArchive::new(std::fs::File::open(book).unwrap()).unwrap();
    let mut texts = String::new();
    std::io::Read::read_to_string(&mut archive.by_name("xl/sharedStrings.xml").unwrap(), &mut texts).unwrap();
    texts
}

#[test]
fn a_bid_of_which_nothing_is_priced_is_incomplete() {
    let bench = Bench::new("no-prices");
    bench.write("house/runs.csv", SMALL);
    is_incomplete(&bench, "nothing is priced");
}

#[test]
fn a_part_that_nobody_sells_makes_the_bid_incomplete() {
    let bench = starter("not-priced");
    let text = bench.read("house/prices.csv");
    let kept: Vec<&str> = text.lines().filter(|line| !line.contains("supply stop")).collect();
    assert!(kept.len() < text.lines().count());
    bench.write("house/prices.csv", &(kept.join("\n") + "\n"));
    is_incomplete(&bench, "not priced");
}

#[test]
fn an_empty_run_list_is_incomplete() {
    let bench = starter("no-runs");
    let headings = bench.read("house/runs.csv").lines().next().unwrap().to_owned();
    bench.write("house/runs.csv", &(headings + "\n"));
    let ran = bench.run(&["estimate", "house"]);
    assert!(ran.status == 1 && ran.out.contains("INCOMPLETE: the run list has no rows"), "{ran:?}");
    is_incomplete(&bench, "the run list has no rows");
}

#[test]
fn a_tool_without_days_makes_the_bid_incomplete() {
    let bench = Bench::new("no-days");
    bench.write("house/runs.csv", "run,service,size,length\nA,cold,1/2,10\n");
    bench.write("house/prices.csv", &prices());
    bench.write("house/tools.csv", "tool,system,how,price\npress tool,pex,rented by day,30\n");
    is_incomplete(&bench, "1 tool is not priced");
}

/// What a run of its own needs in plastic.
fn prices() -> String {
    let rows = [
        "tube,1/2,pex,37.00,100 ft,coil",
        "clamp ring,1/2,pex,0.30,,",
        "cap,1/2,pex,0.90,,",
        "tube clip,1/2,pex,0.20,,",
    ];
    let rows = rows.map(|row| format!("Mill (invented),{row}\n"));
    format!("supplier,part,size,system,price,pack,sold as\n{}", rows.concat())
}

#[test]
fn the_same_house_with_all_priced_is_complete() {
    let bench = Bench::new("all-priced");
    bench.write("house/job.csv", "item,for,value\ncompare with,,none\n");
    bench.write("house/runs.csv", "run,service,size,length\nA,cold,1/2,10\n");
    bench.write("house/prices.csv", &prices());
    let ran = bench.clean(&["estimate", "house"]);
    assert!(!ran.out.to_lowercase().contains("incomplete"), "{}", ran.out);
}

#[test]
fn work_without_hours_makes_the_bid_incomplete_where_the_job_has_hours() {
    let bench = Bench::new("no-hours");
    bench.write("house/runs.csv", "run,service,size,length\nA,cold,1/2,10\n");
    bench.write("house/prices.csv", &prices());
    // Nothing is said of wages: the hours that are not known are missing all the same.
    bench.write("house/labor.csv", "per,hours,unit,system\nlength,1,100,pex\n");
    is_incomplete(&bench, "no hours");
}

/// A system of one's own, of which all is priced; its tables beside a rule for supports.
fn of_my_own(name: &str) -> Bench {
    let bench = Bench::new(name);
    bench.write("house/job.csv", "item,for,value\nwater system,,my way\ncompare with,,none\n");
    bench.write("house/runs.csv", "run,service,size,length\nA,cold,1/2,10\n");
    bench.write("house/systems.csv", "system,side,tube,fit,joint\nmy way,water,my tube,barb,my ring\n");
    bench.write("house/sizes.csv", "tube,size,order\nmy tube,1/2,1\n");
    bench.write("house/joints.csv", "joint,size,part,amount,unit,per\nmy ring,,clamp ring,1,each,1\n");
    bench.write("house/prices.csv", &prices().replace("pex", ""));
    bench
}

#[test]
fn what_the_tables_do_not_count_makes_the_bid_incomplete_unless_the_job_accepts_it() {
    let bench = of_my_own("not-counted");
    is_incomplete(&bench, "what 1 size of joints or supports takes is not counted");
    bench.write(
        "house/job.csv",
        "item,for,value\nwater system,,my way\ncompare with,,none\naccept,no support rule,runs.csv:C2\n",
    );
    let ran = bench.clean(&["estimate", "house"]);
    assert!(!ran.out.contains("INCOMPLETE") && ran.err.contains("accepted in job.csv:C4"), "{ran:?}");
}

#[test]
fn a_part_that_no_table_has_makes_the_bid_incomplete() {
    let bench = Bench::new("missing");
    bench.write("house/job.csv", "item,value\nwater system,steel-screw\ncompare with,none\n");
    bench.write("house/runs.csv", "run,service,size,length,joins,turns\nA,cold,3/4,10,main,1\n");
    bench.write(
        "house/systems.csv",
        "system,side,tube,fit,joint,least piece,turns\nsteel-screw,water,steel,thread,solder,2 in,elbow\n",
    );
    bench.write("house/sizes.csv", "tube,size,order\nsteel,3/4,0.75\n");
    bench.write(
        "house/parts.csv",
        "part,ports,class,used as,system\nelbow,\"pex-clamp joint, pex-clamp joint\",fitting,elbow,pex\n",
    );
    is_incomplete(&bench, "no table has");
}

#[test]
fn warnings_alone_keep_status_zero() {
    let bench = starter("warnings-alone");
    let job = bench.read("house/job.csv").replace("overhead,,0,", "overhead,,0.09,");
    bench.write("house/job.csv", &job);
    let ran = bench.clean(&["estimate", "house"]);
    assert!(ran.err.contains("warning ") && !ran.out.contains("INCOMPLETE"), "{ran:?}");
    bench.clean(&["check", "house"]);
    bench.clean(&["compare", "house"]);
}

#[test]
fn a_revision_of_what_is_incomplete_ends_with_status_one() {
    let bench = starter("revise-incomplete");
    bench.write("now/runs.csv", &bench.read("house/runs.csv"));
    let ran = bench.run(&["revise", "house", "now"]);
    assert!(ran.status == 1 && ran.out.contains("the estimate now is incomplete"), "{ran:?}");
    let beside = bench.run(&["compare", "house", "now"]);
    assert!(beside.status == 1 && beside.out.contains("(incomplete)"), "{beside:?}");
}
