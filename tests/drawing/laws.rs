//! What is true of every picture.

use std::fmt::Write as _;

use coilstick::estimate::map;
use coilstick::report::drawing_bytes;
use coilstick::trade::Job;

use crate::{HOUSE, drawn_list, project};

const JOBS: [&str; 10] = [
    "templates/starter",
    "examples/lake-cabin",
    "examples/counted-by-eye",
    "examples/courtyard-manifold",
    "examples/courtyard-trunk",
    "examples/guest-lodge/guest-lodge.xlsx",
    "examples/orchard-house",
    "examples/ferry-house",
    "examples/mill-cottage",
    "tests/drawing/a-small-house",
];

/// The marks of a picture nest, and each attribute is closed: every program that reads XML reads it.
fn look_at(picture: &str) {
    let mut open: Vec<&str> = Vec::new();
    let body = &picture[picture.find("<svg").unwrap()..];
    for mark in body.split('<').skip(1) {
        let (mark, _) = mark.split_once('>').unwrap_or_else(|| panic!("an open mark: {mark}"));
        assert!(mark.matches('"').count() % 2 == 0, "{mark}");
        let name = mark.split([' ', '/']).next().unwrap();
        match (mark.strip_prefix('/'), mark.ends_with('/')) {
            (Some(closed), _) => assert_eq!(open.pop(), Some(closed)),
            (None, true) => {}
            (None, false) => open.push(name),
        }
        let known = ["svg", "title", "desc", "style", "g", "path", "circle", "text", "tspan"];
        assert!(mark.starts_with('/') || known.contains(&name), "{name} is nothing that a picture needs");
    }
    assert!(open.is_empty(), "{open:?}");
    // Whole numbers alone, so that every machine writes the same.
    let shapes = picture.split("</style>").nth(1).unwrap();
    for numbers in shapes.split([' ', '<']).filter(|word| {
        ["d=\"", "x=\"", "y=\"", "cx=\"", "cy=\"", "r=\"", "stroke-width=\""]
            .iter()
            .any(|of| word.starts_with(of))
    }) {
        assert!(!numbers.contains('.'), "{numbers}");
    }
}

/// Whether a picture has a word as a name of a run: bold along its line, or among those without room.
fn names(picture: &str, run: &str) -> bool {
    picture.contains(&format!("<tspan class=\"bold\">{run}</tspan>")) || {
        let rest = picture.split("for want of room").nth(1).unwrap_or_default();
        rest.split(['>', ';', '<']).any(|text| text.trim().split(' ').next() == Some(run))
    }
}

#[test]
fn every_run_that_is_laid_has_its_name_in_the_picture() {
    let mut looked = 0;
    for path in JOBS {
        let job = Job::read(&project(path)).unwrap_or_else(|why| panic!("{why:?}"));
        let map = map(&job);
        let picture = String::from_utf8(drawing_bytes(&job, &map)).unwrap();
        look_at(&picture);
        for id in &map.order {
            let name = &job.runs[id.index()].name;
            assert!(names(&picture, name), "{path}: {name}");
            looked += 1;
        }
    }
    assert!(looked > 150, "{looked} runs");
    let picture = drawn_list("names", HOUSE);
    look_at(&picture);
    for row in HOUSE.lines().skip(1) {
        let name = row.split(',').next().unwrap();
        assert!(names(&picture, name), "{name}");
    }
}

#[test]
fn rows_in_another_order_give_the_same_picture() {
    let (head, rows) = HOUSE.split_once('\n').unwrap();
    let mut rows: Vec<&str> = rows.lines().collect();
    let first = drawn_list("order", HOUSE);
    rows.reverse();
    for turn in 0..3 {
        rows.rotate_left(7 + turn);
        let text = format!("{head}\n{}\n", rows.join("\n"));
        // Where a notice stands is another row; all else is the same.
        let now = drawn_list("order", &text);
        let plain = |picture: &str| -> String {
            picture.lines().filter(|line| !line.contains("runs.csv:")).collect()
        };
        assert_eq!(plain(&now), plain(&first));
    }
}

#[test]
fn a_picture_grows_with_its_runs_and_no_faster() {
    let street = |houses: usize| {
        let mut text = String::from("run,service,size,path (ft),joins,at (ft),to\nM,cold,2,E 90000,main,,\n");
        for house in 0..houses {
            let at = 20 * house + 10;
            let _ = writeln!(text, "S{house},cold,1,N 30; up 3,M,{at},");
            let _ = writeln!(text, "B{house},cold,1/2,E 8,S{house},12,sink {house}");
            let _ = writeln!(text, "L{house},cold,1/2,,S{house},20,bibb {house}");
        }
        drawn_list("street", &text.replace(",,S", ",W 4,S"))
    };
    let (few, many) = (street(250), street(1_000));
    look_at(&many);
    assert!(many.len() < few.len() * 5, "{} and {}", few.len(), many.len());
    assert!(names(&many, "S999") && names(&many, "B0"));
}

#[test]
fn a_chain_as_long_as_a_street_is_drawn() {
    let mut text = String::from("run,service,size,length (ft),joins\nR0,cold,1,4,main\n");
    for at in 1..5_000 {
        let _ = writeln!(text, "R{at},cold,1,4,R{}", at - 1);
    }
    let picture = drawn_list("chain", &text);
    assert!(names(&picture, "R4999"));
}
