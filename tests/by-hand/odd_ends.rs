//! One rule a job, worked out on paper: transitions, returns, manifolds, plugs, tails that go on, what is underground. The
//! number in brackets is the rule. A line reads phase (unless rough-in), service (unless cold), part, size, variant.

use std::collections::BTreeMap;

use coilstick::estimate::estimate;
use coilstick::report;
use coilstick::trade::Job;
use rust_decimal::Decimal;

use crate::rows;

/// What a system takes of a job, line by line.
pub(crate) fn taken(tables: &[(&str, &str)], system: &str) -> BTreeMap<String, String> {
    let job = Job::from_texts(tables);
    let estimate = estimate(&job);
    let errors: Vec<_> = job.notices.iter().chain(&estimate.notices).filter(|n| n.is_error()).collect();
    assert!(errors.is_empty(), "{errors:#?}");
    let files = report::bytes(&job, &estimate).unwrap();
    let mut taken = BTreeMap::new();
    for row in rows(std::str::from_utf8(&files[1]).unwrap()) {
        if row["alternative"] != system {
            continue;
        }
        let usual = ["rough-in", "cold", ""];
        let words =
            ["phase", "service", "part", "size", "variant"].map(|column| row[column].trim_end_matches('"'));
        let words: Vec<&str> = words.into_iter().filter(|word| !usual.contains(word)).collect();
        let sum: &mut Decimal = taken.entry(words.join(" ")).or_default();
        *sum += Decimal::from_str_exact(&row["need"]).unwrap();
    }
    taken.into_iter().map(|(line, need)| (line, need.normalize().to_string())).collect()
}

pub(crate) fn takes(tables: &[(&str, &str)], system: &str, paper: &[(&str, &str)]) {
    let paper: BTreeMap<String, String> =
        paper.iter().map(|(line, need)| ((*line).to_owned(), (*need).to_owned())).collect();
    let program = taken(tables, system);
    let lines =
        |these: &BTreeMap<String, String>| these.iter().map(|(l, n)| format!("{l}: {n}")).collect::<Vec<_>>();
    crate::same(system, &lines(&paper), &lines(&program));
}

const PEX: &str = "pex-clamp";
const COPPER: &str = "copper-solder";

/// (8, 18) Where the tube would go on, the transition stands at the seam. 10 ft are 120/32: 4 clips; 6 ft one strap. Solder:
/// transition and cap, 2 x 0.00548 = 0.01096 lb (0.011), flux 0.02192 oz (0.0219). All in copper it is one piece of 16 ft.
#[test]
fn where_plastic_goes_on_in_copper_a_transition_stands_at_the_seam() {
    let runs =
        "run,service,size,length,joins,system\nC1,cold,3/4,10 ft,main,\nC2,cold,3/4,6 ft,C1,copper-solder\n";
    takes(
        &[("runs", runs)],
        PEX,
        &[
            ("tube 3/4 blue", "10"),
            ("tube 3/4 type L", "6"),
            ("copper transition 3/4", "1"),
            ("cap 3/4", "1"),
            ("clamp ring 3/4", "1"),
            ("solder", "0.011"),
            ("flux", "0.0219"),
            ("tube clip 3/4", "4"),
            ("tube strap 3/4", "1"),
        ],
    );
    takes(
        &[("runs", runs)],
        COPPER,
        &[
            ("tube 3/4 type L", "16"),
            ("cap 3/4", "1"),
            ("solder", "0.0055"),
            ("flux", "0.011"),
            ("tube strap 3/4", "3"),
        ],
    );
}

/// (8) Behind a tee the child begins with 2 in. of the parent's tube, out of its own 6 ft. Rings 3/4: tee 2, cap 1; 1/2: tee 1,
/// transition 1. Solder: transition and cap, 2 x 0.00261 = 0.00522 lb.
#[test]
fn behind_a_tee_a_child_in_copper_begins_with_a_least_piece_of_plastic() {
    let runs = "run,service,size,length,joins,at,system\nC1,cold,3/4,10 ft,main,,\nC2,cold,1/2,6 ft,C1,5 ft,copper-solder\n";
    takes(
        &[("runs", runs)],
        PEX,
        &[
            ("tube 3/4 blue", "10"),
            ("tube 1/2 blue", "0.1667"),
            ("tube 1/2 type L", "5.8333"),
            ("tee 3/4 x 3/4 x 1/2", "1"),
            ("copper transition 1/2", "1"),
            ("cap 3/4", "1"),
            ("cap 1/2", "1"),
            ("clamp ring 3/4", "3"),
            ("clamp ring 1/2", "2"),
            ("solder", "0.0052"),
            ("flux", "0.0104"),
            ("tube clip 3/4", "4"),
            ("tube strap 1/2", "1"),
        ],
    );
}

/// (11) On a run without a joint every turn bends and nothing is split, in sticks too: only the cap is soldered.
#[test]
fn a_run_without_a_joint_is_neither_turned_by_elbows_nor_split() {
    let runs = "run,service,size,length,joins,turns,no joint\nR1,cold,1/2,30 ft,main,3,yes\n";
    takes(
        &[("runs", runs)],
        COPPER,
        &[
            ("tube 1/2 type L", "30"),
            ("cap 1/2", "1"),
            ("solder", "0.0026"),
            ("flux", "0.0052"),
            ("tube strap 1/2", "5"),
        ],
    );
}

/// (15, 17) The second mixed outlet is plugged: one plug with its joint, of the run that brings the valve (C1). The drop-ear
/// elbow's thread is plugged until the arm fills it. Rings: cold 1 and the plug's 1; hot 1; mixed valve 1, drop-ear elbow 1.
/// Clips: 120/32 -> 4 each; the riser 1, its drop-ear elbow 1.
#[test]
fn a_valve_that_only_showers_has_its_spout_outlet_plugged() {
    let runs = "run,service,size,length,joins,to,pattern,rise\n\
        C1,cold,1/2,10 ft,main,shower,shower valve,\n\
        H1,hot,1/2,10 ft,main,shower,shower valve,\n\
        X1,mixed,1/2,4 ft,shower,head,shower riser,4 ft\n";
    takes(
        &[("runs", runs)],
        PEX,
        &[
            ("tube 1/2 blue", "10"),
            ("hot tube 1/2 red", "10"),
            ("mixed tube 1/2 red", "4"),
            ("shower valve 1/2", "1"),
            ("plug 1/2", "1"),
            ("mixed drop-ear elbow 1/2", "1"),
            ("mixed thread plug 1/2", "1"),
            ("trim mixed shower arm 1/2", "1"),
            ("clamp ring 1/2", "2"),
            ("hot clamp ring 1/2", "1"),
            ("mixed clamp ring 1/2", "2"),
            ("mixed thread tape", "0.025"),
            ("trim mixed thread tape", "0.025"),
            ("tube clip 1/2", "4"),
            ("hot tube clip 1/2", "4"),
            ("mixed tube clip 1/2", "2"),
        ],
    );
}

/// (22, 26) The return goes on from the end of the hot line, one piece of 35 ft, and ends in a tee of the cold one, which with its
/// joints carries the service of the return. Clips: 240/32 -> 8; 180/32 -> 6; 360/32 -> 12.
#[test]
fn a_return_goes_on_from_the_hot_line_and_ends_in_a_tee() {
    let runs = "run,service,size,length,joins,to,to at\n\
        C1,cold,3/4,30 ft,main,,\n\
        H1,hot,1/2,20 ft,main,,\n\
        R1,return,1/2,15 ft,H1,C1,10 ft\n";
    takes(
        &[("runs", runs)],
        PEX,
        &[
            ("tube 3/4 blue", "30"),
            ("hot tube 1/2 red", "20"),
            ("return tube 1/2 red", "15"),
            ("return tee 3/4 x 3/4 x 1/2", "1"),
            ("cap 3/4", "1"),
            ("clamp ring 3/4", "1"),
            ("return clamp ring 3/4", "2"),
            ("return clamp ring 1/2", "1"),
            ("tube clip 3/4", "12"),
            ("hot tube clip 1/2", "8"),
            ("return tube clip 1/2", "6"),
        ],
    );
}

/// (21, 1) Three alike that stand alone: their beginnings are met elsewhere, their ends are stub-outs. Joints each: stub-out 1, in copper
/// an elbow 2. 9 x 0.00261 = 0.02349 lb. Clips each 84/32 -> 3, stub-out 1; straps 2 and 1.
#[test]
fn a_run_counted_three_times_takes_everything_three_times() {
    let runs = "run,service,size,length,pattern,turns,count\nR1,cold,1/2,7 ft,fixture supply,1,3\n";
    takes(
        &[("runs", runs)],
        PEX,
        &[
            ("tube 1/2 blue", "21"),
            ("stub-out 1/2", "3"),
            ("trim supply stop 1/2", "3"),
            ("clamp ring 1/2", "3"),
            ("tube clip 1/2", "12"),
        ],
    );
    takes(
        &[("runs", runs)],
        COPPER,
        &[
            ("tube 1/2 type L", "21"),
            ("elbow 1/2", "3"),
            ("stub-out 1/2", "3"),
            ("trim supply stop 1/2", "3"),
            ("solder", "0.0235"),
            ("flux", "0.047"),
            ("tube strap 1/2", "9"),
        ],
    );
}

/// (16, 19, 26, 11) The line in the ground is underground and lies without supports; 40 ft are two sticks and a coupling of it. The reducing
/// coupling is of the child, rough-in. Solder underground 2 x 0.00856 = 0.01712; rough-in 0.00856 + 2 x 0.00548 = 0.01952 lb.
#[test]
fn a_line_in_the_ground_is_underground_and_what_meets_it_is_of_the_child() {
    let runs = "run,service,size,length,joins,lie\nR1,cold,1,40 ft,main,ground\nR2,cold,3/4,10 ft,R1,\n";
    takes(
        &[("runs", runs)],
        COPPER,
        &[
            ("underground tube 1 type L", "40"),
            ("underground coupling 1", "1"),
            ("underground solder", "0.0171"),
            ("underground flux", "0.0342"),
            ("tube 3/4 type L", "10"),
            ("reducing coupling 1 x 3/4", "1"),
            ("cap 3/4", "1"),
            ("solder", "0.0195"),
            ("flux", "0.039"),
            ("tube strap 3/4", "2"),
        ],
    );
}

/// (9) Of three turns one takes an elbow where tube bends, all three where it does not. 144/32 -> 5 clips (4.5).
#[test]
fn a_turn_with_an_elbow_takes_it_where_the_others_bend() {
    let runs = "run,service,size,length,joins,turns,turns with elbow\nR1,cold,1/2,12 ft,main,3,1\n";
    takes(
        &[("runs", runs)],
        PEX,
        &[
            ("tube 1/2 blue", "12"),
            ("elbow 1/2", "1"),
            ("cap 1/2", "1"),
            ("clamp ring 1/2", "3"),
            ("tube clip 1/2", "5"),
        ],
    );
    // 7 x 0.00261 = 0.01827 lb.
    takes(
        &[("runs", runs)],
        COPPER,
        &[
            ("tube 1/2 type L", "12"),
            ("elbow 1/2", "3"),
            ("cap 1/2", "1"),
            ("solder", "0.0183"),
            ("flux", "0.0365"),
            ("tube strap 1/2", "2"),
        ],
    );
}

/// (6, 8) A run with a tail ends in the tail's size: the half-inch child goes on from it, one piece of 7 ft; the 3/4 child of
/// another run takes a second reducing coupling. Clips: 120/32 -> 4 and 24/32 -> 1; 60/32 -> 2.
#[test]
fn a_run_with_a_tail_ends_in_the_size_of_the_tail() {
    let runs = "run,service,size,length,joins,reduce to,tail\n\
        A1,cold,3/4,10 ft,main,1/2,2 ft\nA2,cold,1/2,5 ft,A1,,\n";
    takes(
        &[("runs", runs)],
        PEX,
        &[
            ("tube 3/4 blue", "10"),
            ("tube 1/2 blue", "7"),
            ("reducing coupling 3/4 x 1/2", "1"),
            ("cap 1/2", "1"),
            ("clamp ring 3/4", "1"),
            ("clamp ring 1/2", "2"),
            ("tube clip 3/4", "4"),
            ("tube clip 1/2", "3"),
        ],
    );
    takes(
        &[("runs", &runs.replace("A2,cold,1/2", "A2,cold,3/4"))],
        PEX,
        &[
            ("tube 3/4 blue", "15"),
            ("tube 1/2 blue", "2"),
            ("reducing coupling 3/4 x 1/2", "2"),
            ("cap 3/4", "1"),
            ("clamp ring 3/4", "3"),
            ("clamp ring 1/2", "2"),
            ("tube clip 3/4", "6"),
            ("tube clip 1/2", "1"),
        ],
    );
}

/// (11) 15 + 15 + 15 ft without a cut are one length of 45: 20, 20, 5, two couplings. Exactly 20 ft take none, a sixty-fourth more one.
/// Joints 1/2: couplings 4, cap 1: 5 x 0.00261 = 0.01305 lb.
#[test]
fn a_piece_across_seams_is_split_as_one_length() {
    let runs =
        "run,service,size,length,joins\nA,cold,1/2,15 ft,main\nB,cold,1/2,15 ft,A\nC,cold,1/2,15 ft,B\n";
    takes(
        &[("runs", runs)],
        COPPER,
        &[
            ("tube 1/2 type L", "45"),
            ("coupling 1/2", "2"),
            ("cap 1/2", "1"),
            // 0.01305 and 0.0261, to four places half away from zero.
            ("solder", "0.0131"),
            ("flux", "0.0261"),
            ("tube strap 1/2", "9"),
        ],
    );
    for (length, couplings) in
        [("20 ft", None), ("240 1/64 in", Some("1")), ("40 ft", Some("1")), ("60 ft", Some("2"))]
    {
        let runs = format!("run,service,size,length,joins\nA,cold,1/2,{length},main\n");
        let taken = taken(&[("runs", &runs)], COPPER);
        assert_eq!(taken.get("coupling 1/2").map(String::as_str), couplings, "{length}");
    }
}

/// (14, 16) A cap written for an end that stays open is that end's cap, not one more.
#[test]
fn a_temporary_cap_on_an_end_that_stays_open_is_its_only_cap() {
    let runs = "run,service,size,length,joins,pattern\nA,cold,1/2,8 ft,main,temporary cap\n";
    takes(
        &[("runs", runs)],
        PEX,
        &[("tube 1/2 blue", "8"), ("cap 1/2", "1"), ("clamp ring 1/2", "1"), ("tube clip 1/2", "3")],
    );
}

/// (23) Four runs leave the manifold: the smallest that serves has five outlets; the spare one is capped. Rings 3/4: 1; 1/2: 4 at the manifold, 4
/// caps at open ends, 1 at the spare port. Clips 120/32 -> 4; 4 x 96/32 = 12.
#[test]
fn the_smallest_manifold_that_serves_is_taken_and_its_spare_port_capped() {
    let parts = "part,ports,class\n\
        manifold of 3,\"in: joint 3/4, joint 1/2, joint 1/2, joint 1/2\",manifold\n\
        manifold of 8,\"in: joint 3/4, joint 1/2, joint 1/2, joint 1/2, joint 1/2, joint 1/2, joint 1/2, joint 1/2, joint 1/2\",manifold\n\
        manifold of 5,\"in: joint 3/4, joint 1/2, joint 1/2, joint 1/2, joint 1/2, joint 1/2\",manifold\n";
    let patterns = "pattern,part,quantity,per\nhome run,manifold of,1,place\n";
    let runs = "run,service,size,length,joins,to,pattern\n\
        C1,cold,3/4,10 ft,main,manifold,home run\n\
        D1,cold,1/2,8 ft,manifold,,\nD2,cold,1/2,8 ft,manifold,,\nD3,cold,1/2,8 ft,manifold,,\nD4,cold,1/2,8 ft,manifold,,\n";
    takes(
        &[("parts", parts), ("patterns", patterns), ("runs", runs)],
        PEX,
        &[
            ("tube 3/4 blue", "10"),
            ("tube 1/2 blue", "32"),
            ("manifold of 5 3/4 x 1/2", "1"),
            ("cap 1/2", "5"),
            ("clamp ring 3/4", "1"),
            ("clamp ring 1/2", "9"),
            ("tube clip 3/4", "4"),
            ("tube clip 1/2", "12"),
        ],
    );
}
