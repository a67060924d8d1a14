//! Lengths as they are cut, worked out on paper: center to center less the take-out of what each end stands in. All
//! take-outs are made up for the test; what a piece is called is its run and its length center to center.

use coilstick::estimate::estimate;
use coilstick::report;
use coilstick::trade::Job;

use crate::{Row, rows};

const ITEMS: &str = "item,for,value\nwater system,,copper-solder\ncompare with,,none\n";
const PRICES: &str = "supplier,part,size,price,system,sold as,pack,per\n\
    Invented,tube,3/4,17,copper,stick,10 ft,pack\nInvented,tube,1/2,11,copper,stick,10 ft,pack\n\
    Invented,coupling,3/4,0.90,,each,,each\n";
const TAKE_OUTS: &str = "part,size,opening,take-out,source\nelbow,3/4,,3/4 in,made up for the test\n\
    tee,3/4,run,5/8 in,made up for the test\ntee,1/2,branch,3/4 in,made up for the test\n";
/// Two elbows 10 ft 1 in. apart, and a tee behind the second.
const LINE: &str = "run,service,size,length,joins,at,to,turns,turns at\n\
    A,cold,3/4,16 ft 1 in,main,,,2,2 ft; 12 ft 1 in\nB,cold,1/2,5 ft,A,14 ft,lav,,\n";

struct Written {
    cuts: Vec<Row>,
    takeoff: Vec<Row>,
    order: Vec<Row>,
    told: Vec<String>,
}

/// A job of a run list and a table of take-outs, in copper.
fn written(runs: &str, take_outs: &str, also: &[(&str, &str)]) -> Written {
    let mut tables = vec![("runs", runs), ("job", ITEMS), ("prices", PRICES)];
    tables.retain(|(name, _)| also.iter().all(|(other, _)| other != name));
    tables.extend(also.iter().copied());
    tables.extend((!take_outs.is_empty()).then_some(("take-outs", take_outs)));
    let job = Job::from_texts(&tables);
    let estimate = estimate(&job);
    let told = estimate.told.iter().map(|notice| format!("{} {}", notice.kind, notice.found)).collect();
    let files = report::bytes(&job, &estimate).unwrap();
    let file = |name: &str| {
        let at = report::FILES.iter().position(|file| *file == name).unwrap();
        rows(std::str::from_utf8(&files[at]).unwrap())
    };
    Written { cuts: file("cut-plan.csv"), takeoff: file("takeoff.csv"), order: file("order.csv"), told }
}

/// The pieces of a cut plan in words: size, label, what it is cut to (in feet), how that is measured, and what its ends
/// take out.
fn pieces(of: &Written) -> Vec<String> {
    let words = |row: &Row| {
        let cells = ["size", "label", "as cut (ft)", "basis", "beginning take-out (ft)", "end take-out (ft)"];
        cells.map(|cell| row[cell].trim_end_matches('"').to_owned()).join(" | ")
    };
    let mut all: Vec<String> = of.cuts.iter().map(words).collect();
    all.sort();
    all
}

fn tube<'a>(rows: &'a [Row], size: &str) -> &'a Row {
    rows.iter().find(|row| row["part"] == "tube" && row["size"].trim_end_matches('"') == size).unwrap()
}

/// A, center to center: 24 in. to the first elbow, 121 to the second, 23 to the tee, 25 to its end under a cap. Cut:
/// 24 - 3/4 = 23-1/4 (1.9375 ft); 121 - 2 x 3/4 = 119-1/2 (9.9583); 23 - 3/4 - 5/8 = 21-5/8 (1.8021); 25 - 5/8 = 24-3/8
/// (2.0313, from 2.03125 half up). B: 60 - 3/4 = 59-1/4 (4.9375). Of A 193 in. less 4-1/4 are 188-3/4: 15.7292 ft of two
/// sticks, 4.2708 left. One stick gives 119-1/2 and leaves 1/2 in. (0.0417), the other 69-1/4 and leaves 50-3/4 (4.2292).
#[test]
fn a_copper_line_of_two_elbows_and_a_tee_is_cut_as_its_fittings_leave_it() {
    let of = written(LINE, TAKE_OUTS, &[]);
    assert_eq!(
        pieces(&of),
        [
            "1/2 | B | 4.9375 | as cut | 0.0625 | 0",
            "3/4 | A, 1 of 4 | 9.9583 | as cut | 0.0625 | 0.0625",
            "3/4 | A, 2 of 4 | 2.0313 | as cut | 0.0521 | 0",
            "3/4 | A, 3 of 4 | 1.9375 | as cut | 0 | 0.0625",
            "3/4 | A, 4 of 4 | 1.8021 | as cut | 0.0625 | 0.0521",
        ]
    );
    let left: Vec<&str> = of.cuts.iter().map(|row| &*row["left (ft)"]).collect();
    assert_eq!(left, ["5.0625", "0.0417", "4.2292", "4.2292", "4.2292"]);
    assert!(of.cuts.iter().all(|row| row["placed"] == "yes" && row["part of a longer piece"] == "no"));
    // What is installed is center to center; what is bought, what is cut.
    assert_eq!(tube(&of.takeoff, "3/4")["need"], "16.0833");
    let line = tube(&of.order, "3/4");
    let cells = ["need", "packs", "buy", "left over", "extended"].map(|cell| &*line[cell]);
    assert_eq!(cells, ["15.7292", "2", "20", "4.2708", "34.00"]);
    assert!(of.order.iter().all(|row| row["part"] != "coupling"));
}

/// Without the table the longest of them, 121 in., goes into no stick of 120: it is joined, with a coupling.
#[test]
fn without_take_outs_the_line_is_cut_center_to_center_and_joined() {
    let of = written(LINE, "", &[]);
    let whole: Vec<&Row> = of.cuts.iter().filter(|row| row["part of a longer piece"] == "no").collect();
    let lengths: Vec<&str> = whole.iter().map(|row| &*row["piece (ft)"]).collect();
    assert_eq!(lengths, ["5", "2.0833", "2", "1.9167"]);
    for row in &of.cuts {
        let cells = ["basis", "as cut (ft)", "beginning in", "beginning take-out (ft)", "end take-out (ft)"];
        assert_eq!(cells.map(|cell| &*row[cell]), ["center to center", "", "", "", ""]);
    }
    assert_eq!(tube(&of.order, "3/4")["need"], "16.0833");
    let coupling = of.order.iter().find(|row| row["part"] == "coupling").unwrap();
    assert_eq!(coupling["need"], "1");
}

/// No row for the tee: what touches it is cut center to center, and only what lies between the elbows is not.
#[test]
fn a_piece_with_one_end_that_is_not_known_is_cut_center_to_center() {
    let of = written(LINE, "part,take-out\nelbow,3/4 in\n", &[]);
    assert_eq!(
        pieces(&of),
        [
            "1/2 | B |  | center to center |  | 0",
            "3/4 | A, 1 of 4 | 9.9583 | as cut | 0.0625 | 0.0625",
            "3/4 | A, 2 of 4 |  | center to center |  | 0",
            "3/4 | A, 3 of 4 | 1.9375 | as cut | 0 | 0.0625",
            "3/4 | A, 4 of 4 |  | center to center | 0.0625 | ",
        ]
    );
    let of_tee: Vec<&str> = of.cuts.iter().map(|row| &*row["beginning in"]).collect();
    assert_eq!(of_tee[0], "tee 3/4 x 3/4 x 1/2, branch");
    // 193 in. less 3/4 and 1-1/2.
    assert_eq!(tube(&of.order, "3/4")["need"], "15.8958");
}

/// Of rows that speak of an opening the one with the most cells filled counts; of the others the later. A row of another
/// size, opening, fitting or system speaks of others. 60 in. less the branch of the tee.
#[test]
fn the_row_that_says_most_of_an_opening_counts() {
    for (rows, feet) in [
        ("tee,,,,,1 in\n", "4.9167"),
        ("tee,,,,,1 in\ntee,1/2,,,,1/2 in\n", "4.9583"),
        ("tee,1/2,,,,1/2 in\ntee,,,,,1 in\n", "4.9583"),
        ("tee,1/2,,,,1/2 in\ntee,,branch,,,1 in\n", "4.9167"),
        ("tee,1/2,branch,,,1 in\ntee,1/2,branch,,copper,1-1/2 in\n", "4.875"),
        ("tee,1/2,branch,,cup,1 in\ntee,1/2,branch,,press,2 in\n", "4.9167"),
        ("tee,1/2,branch,,,1 in\ntee,1/2,branch,3/4 x 3/4 x 1/2,,2 in\n", "4.8333"),
        ("tee,1/2,branch,,,1 in\ntee,1/2,branch,1/2 x 1/2 x 1/2,,2 in\n", "4.9167"),
        ("tee,3/4,,,,1 in\n", ""),
        ("tee,1/2,run,,,1 in\n", ""),
        ("elbow,1/2,,,,1 in\n", ""),
        ("tee,1/2,,,pex,1 in\n", ""),
    ] {
        let of = written(LINE, &format!("part,size,opening,fitting,system,take-out\n{rows}"), &[]);
        assert_eq!(tube(&of.cuts, "1/2")["as cut (ft)"], feet, "{rows}");
    }
}

/// A heading may name the unit, and a cell another: 60 in. less 7/8, less 25.4 mm (1 in.).
#[test]
fn a_heading_names_the_unit_of_bare_take_outs() {
    for (cell, feet) in [("7/8", "4.9271"), ("25.4 mm", "4.9167"), ("0", "5")] {
        let of = written(LINE, &format!("part,take-out (in)\ntee,{cell}\n"), &[]);
        assert_eq!(tube(&of.cuts, "1/2")["as cut (ft)"], feet, "{cell}: {:?}", of.told);
    }
}

/// A goes on as C in one piece: 16 ft 1 in. with no cut at their seam, from the second elbow to C's elbow 48 in. on and 36
/// behind. 4 ft from elbow to end of A and 4 ft of C to its elbow are 96 in. less 1-1/2: 94-1/2 (7.875 ft). The last piece
/// ends under a cap.
#[test]
fn one_piece_across_two_runs_has_the_ends_of_both() {
    let runs = "run,service,size,length,joins,turns,turns at\nA,cold,3/4,8 ft,main,1,4 ft\nC,cold,3/4,7 ft,A,1,4 ft\n";
    let of = written(runs, TAKE_OUTS, &[]);
    assert_eq!(
        pieces(&of),
        [
            "3/4 | A, 1 of 2 | 7.875 | as cut | 0.0625 | 0.0625",
            "3/4 | A, 2 of 2 | 3.9375 | as cut | 0 | 0.0625",
            "3/4 | C | 2.9375 | as cut | 0.0625 | 0",
        ]
    );
}

/// A valve in line at 3 ft of 8: each side less 1 in. Beside it a coupling, reducing: the tail of 2 ft less 1/2 in., and the
/// run's own end less the same. 36 - 1 = 35 (2.9167 ft), 60 - 1 - 1/2 = 58-1/2 (4.875), 24 - 1/2 = 23-1/2 (1.9583).
#[test]
fn valves_in_line_and_tails_take_out_on_both_sides() {
    let runs = "run,service,size,length,joins,pattern,reduce to,tail\nA,cold,3/4,8 ft,main,shut,1/2,2 ft\n";
    let patterns = "pattern,part,quantity,per,where\nshut,ball valve,1,run,3 ft\n";
    let take_outs = "part,take-out\nball valve,1 in\nreducing coupling,1/2 in\n";
    let of = written(runs, take_outs, &[("patterns", patterns)]);
    assert_eq!(
        pieces(&of),
        [
            "1/2 | A | 1.9583 | as cut | 0.0417 | 0",
            "3/4 | A, 1 of 2 | 4.875 | as cut | 0.0833 | 0.0417",
            "3/4 | A, 2 of 2 | 2.9167 | as cut | 0 | 0.0833",
        ]
    );
}

/// At a regulator with threads an adapter takes the tube, and how far that is from the point where both stand is not known:
/// center to center. An adapter alone at an end, facing a thread, is: 96 - 1 = 95 in. (7.9167 ft).
#[test]
fn several_parts_together_leave_the_length_center_to_center() {
    let take_outs = "part,take-out\nmale adapter,1 in\npressure regulator,2 in\n";
    let patterns =
        "pattern,part,quantity,per,where\nset,pressure regulator,1,run,4 ft\nthread,hose bibb,1,end,\n";
    let head = "run,service,size,length,joins,pattern\n";
    let of = written(&format!("{head}A,cold,3/4,8 ft,main,set\n"), take_outs, &[("patterns", patterns)]);
    assert!(of.cuts.iter().all(|row| row["basis"] == "center to center"), "{:?}", pieces(&of));
    let take_outs = "part,take-out\nfemale adapter,1 in\n";
    let of = written(&format!("{head}A,cold,3/4,8 ft,main,thread\n"), take_outs, &[("patterns", patterns)]);
    assert_eq!(pieces(&of), ["3/4 | A | 7.9167 | as cut | 0 | 0.0833"]);
}

/// Three pieces of a run with two turns that nobody placed: they are cut as the table says, 8 ft in thirds of 32 in., and
/// said to have no place.
#[test]
fn turns_without_a_place_are_said_so() {
    let runs = "run,service,size,length,joins,turns\nA,cold,3/4,8 ft,main,2\nB,cold,1/2,5 ft,main,0\n";
    let of = written(runs, TAKE_OUTS, &[]);
    let placed: Vec<[&str; 2]> =
        of.cuts.iter().map(|row| ["as cut (ft)", "placed"].map(|cell| &*row[cell])).collect();
    assert_eq!(
        placed,
        [["5", "yes"], ["2.6042", "no"], ["2.6042", "no"], ["2.5417", "no"]],
        "32 - 3/4 = 31-1/4; 32 - 1-1/2 = 30-1/2"
    );
}

/// 1 in. between two elbows that take out 3/4 in. each: nothing is left, which is told; the piece is cut center to center.
#[test]
fn a_piece_of_which_nothing_is_left_is_told() {
    let runs = "run,service,size,length,joins,turns,turns at\nA,cold,3/4,8 ft,main,2,4 ft; 4 ft 1 in\n";
    let of = written(runs, TAKE_OUTS, &[]);
    let told: Vec<&String> = of.told.iter().filter(|told| told.starts_with("nothing-left")).collect();
    assert_eq!(
        told,
        [
            "nothing-left a piece of this run is 1 in center to center, and its fittings take out 3/4 in and 3/4 in: \
          nothing is left of it"
        ]
    );
    let short = of.cuts.iter().find(|row| row["piece (ft)"] == "0.0833").unwrap();
    assert_eq!((&*short["basis"], &*short["as cut (ft)"]), ("center to center", ""));
}

/// Tube that is bought by the foot is bought center to center; nothing is cut from it by a plan.
#[test]
fn loose_tube_is_bought_center_to_center() {
    let prices = "supplier,part,size,price,system,per\nInvented,tube,3/4,1.70,copper,ft\nInvented,tube,1/2,1.10,copper,ft\n";
    let of = written(LINE, TAKE_OUTS, &[("prices", prices)]);
    assert!(of.cuts.is_empty());
    assert_eq!(tube(&of.order, "3/4")["need"], "16.0833");
}

/// A coil is cut to the inch above what is cut: 119-1/2 in. between two elbows are 120 (10 ft), not 121.
#[test]
fn coils_are_cut_to_the_inch_above_what_is_cut() {
    let items = "item,for,value\nwater system,,pex-clamp\ncompare with,,none\nturns in plastic,,elbow\n";
    let prices =
        "supplier,part,size,price,system,sold as,pack,per\nInvented,tube,3/4,66,pex,coil,100 ft,pack\n";
    let runs =
        "run,service,size,length,joins,turns,turns at\nA,cold,3/4,14 ft 1 in,main,2,2 ft; 12 ft 1 in\n";
    let of = written(runs, TAKE_OUTS, &[("job", items), ("prices", prices)]);
    let cells = ["piece (ft)", "as cut (ft)", "basis"];
    let cut: Vec<[&str; 3]> = of.cuts.iter().map(|row| cells.map(|cell| &*row[cell])).collect();
    assert_eq!(
        cut,
        [["10", "9.9583", "as cut"], ["2", "1.9375", "as cut"], ["2", "1.9375", "as cut"]],
        "both short pieces are 23-1/4 in., told apart by what stands on their ends"
    );
}
