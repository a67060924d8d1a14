//! `draw`: where its picture goes, what it says, and that no file of anybody else is lost by it.

use std::fs;

use crate::bench::Bench;

const HOUSE: &str = "run,service,size,path (ft),joins,at (ft),to,level\n\
     M1,cold,3/4,E 12; up 3,main,,,ground\n\
     C1,cold,1/2,N 6; up 2,M1,8,sink,ground\n";

fn house(name: &str) -> Bench {
    let bench = Bench::new(name);
    bench.write("house/runs.csv", HOUSE);
    bench
}

#[test]
fn a_drawing_stands_beside_its_job_and_leaves_the_job_alone() {
    let bench = house("draw-beside");
    let job = bench.names("house");
    let ran = bench.clean(&["draw", "house"]);
    assert!(ran.out.contains("2 runs to scale by their paths"), "{}", ran.out);
    assert!(ran.out.contains("written: house-drawing.svg"), "{}", ran.out);
    assert_eq!(bench.names("."), ["house", "house-drawing.svg"]);
    assert_eq!(bench.names("house"), job);
    let first = bench.read("house-drawing.svg");
    assert!(first.contains(">C1<") && first.contains("at 8'"), "{first}");
    bench.clean(&["draw", "house/", "-o", "pictures/of it.svg"]);
    assert_eq!(bench.read("pictures/of it.svg"), first);
    let inside = bench.command(&["draw", "."]).current_dir(bench.path("house")).output().unwrap();
    assert!(inside.status.success());
    assert_eq!(bench.names("."), ["house", "house-drawing.svg", "pictures"]);
    assert_eq!(bench.names("house"), job);
}

#[test]
fn a_drawing_never_stands_inside_its_job_nor_under_a_name_that_is_no_picture() {
    let bench = house("draw-inside");
    let before = bench.everything();
    for out in ["house/a.svg", "house/a/b.svg", "./house/../house/a.svg"] {
        let ran = bench.run(&["draw", "house", "-o", out]);
        assert!(ran.status == 2 && ran.err.contains("inside the job"), "{out}: {}", ran.err);
    }
    for out in ["house.png", "runs.csv", "picture", "..", "out/"] {
        let ran = bench.run(&["draw", "house", "-o", out]);
        assert!(ran.status == 2 && ran.err.contains("let it end in .svg"), "{out}: {}", ran.err);
    }
    assert_eq!(bench.everything(), before);
}

#[test]
fn what_somebody_else_drew_stays_and_what_somebody_wrote_in_is_kept() {
    let bench = house("draw-foreign");
    bench.write("mine.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\"/>\n");
    let ran = bench.run(&["draw", "house", "-o", "mine.svg"]);
    assert!(ran.status == 2 && ran.err.contains("no output of this program"), "{}", ran.err);
    assert!(bench.read("mine.svg").starts_with("<svg"));
    bench.clean(&["draw", "house"]);
    let first = bench.read("house-drawing.svg");
    // Another picture takes the place of one in which nobody wrote, without a word.
    bench.write("house/runs.csv", &HOUSE.replace("E 12", "E 14"));
    let ran = bench.clean(&["draw", "house"]);
    assert_eq!(ran.err, "");
    assert_ne!(bench.read("house-drawing.svg"), first);
    assert_eq!(bench.names("."), ["house", "house-drawing.svg", "mine.svg"]);
    // A remark of somebody's in it is kept.
    let noted = bench.read("house-drawing.svg").replace("</svg>", "<!-- ask the owner --></svg>");
    bench.write("house-drawing.svg", &noted);
    bench.write("house/runs.csv", HOUSE);
    let ran = bench.clean(&["draw", "house"]);
    assert!(ran.err.contains("it is kept as house-drawing-edited.svg"), "{}", ran.err);
    assert_eq!(bench.read("house-drawing-edited.svg"), noted);
    assert_eq!(bench.read("house-drawing.svg"), first);
}

#[test]
fn a_job_in_error_is_drawn_with_what_is_wrong_marked() {
    let bench = house("draw-errors");
    bench.write("house/runs.csv", &HOUSE.replace(",8,sink", ",80,sink"));
    let ran = bench.run(&["draw", "house"]);
    assert_eq!(ran.status, 1, "{ran:?}");
    assert!(ran.out.contains("left out: C1, it is in error"), "{}", ran.out);
    let picture = bench.read("house-drawing.svg");
    assert!(picture.contains("class=\"ring\"") && picture.contains("What is marked"), "{picture}");
    assert!(picture.contains("error runs.csv:F3"), "{picture}");
    assert!(picture.contains("run out"), "what is left out is drawn where it would be: {picture}");
}

#[test]
fn programs_get_what_is_drawn_and_where() {
    let bench = house("draw-json");
    bench.write("house/runs.csv", &format!("{HOUSE}C2,cold,1/2,,M1,5,tub,\n"));
    let told = bench.document(&["draw", "house"]);
    let result = &told["result"];
    assert_eq!((&result["to_scale"], &result["not_to_scale"]), (&2.into(), &1.into()), "{told}");
    assert_eq!(result["left_out"].as_array().unwrap().len(), 1, "{told}");
    assert_eq!(result["written"][0], "house-drawing.svg");
    assert_eq!(told["status"], 1);
    let nothing = bench.document(&["draw", "no such house"]);
    assert_eq!((&nothing["status"], &nothing["result"]), (&2.into(), &serde_json::Value::Null));
}

#[test]
fn a_run_list_alone_and_a_starter_are_drawn() {
    let bench = Bench::new("draw-list");
    bench.clean(&["new", "job"]);
    let ran = bench.clean(&["draw", "job"]);
    assert!(
        ran.out.contains("5 runs to scale by their paths, 6 without a path below, not to scale"),
        "{}",
        ran.out
    );
    fs::copy(bench.path("job/runs.csv"), bench.path("walk.csv")).unwrap();
    let ran = bench.run(&["draw", "walk.csv"]);
    assert!(ran.status < 2, "{ran:?}");
    assert_eq!(bench.names("."), ["job", "job-drawing.svg", "walk-drawing.svg", "walk.csv"]);
}
