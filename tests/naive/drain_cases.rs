//! Small jobs, each about one rule of the drain side, with what stands there worked out on paper; nobody may regenerate it.
//! Only fittings and what is on the ends are shown; feet, cement and hangers are tried on the houses in `drain_by_hand`.

use coilstick::trade::Phase;

use crate::drain_by_hand::{counted, in_phase, pairs, pieces};
use crate::total::Count;

const HEADINGS: &str = "run,service,size,path,length,joins,at,to,to at,tee,pattern,lie\n";

/// Fittings of a run list, with how many where there are more than one, and the count.
fn fittings(rows: &str, system: &str) -> (Vec<String>, Count) {
    let (found, count) = counted(&format!("{HEADINGS}{rows}"), system);
    let elsewhere = ["tube", "cement", "primer", "pipe hanger", "shielded coupling"];
    let shown = found
        .into_iter()
        .filter(|(name, _)| elsewhere.iter().all(|one| !name.starts_with(one)))
        .map(|(name, times)| if times == "1" { name } else { format!("{name}: {times}") })
        .collect();
    (shown, count)
}

fn expect(rows: &str, expected: &[&str]) -> Count {
    let (found, count) = fittings(rows, "pvc-cement");
    assert_eq!(found, expected, "{rows}");
    assert!(count.left_out.is_empty(), "{:?}", count.left_out);
    count
}

/// A building drain that goes east, in 3; its end is open, and capped for the test.
const EAST: &str = "D1,drain,3,E 20,,sewer,,,,,,\n";
/// A stack on the sewer, in 3; its end likewise.
const STACK: &str = "D1,drain,3,up 20,,sewer,,,,,,\n";

/// The same, so short that what is left behind a tap is no longer than a stick of 10 ft.
const SHORT_EAST: &str = "D1,drain,3,E 12,,sewer,,,,,,\n";
const SHORT_STACK: &str = "D1,drain,3,up 14,,sewer,,,,,,\n";

#[test]
fn a_level_run_ties_in_by_its_angle() {
    // NE on E is 45, N on E is 90. Each run's own end is capped.
    expect(
        &format!("{SHORT_EAST}D2,drain,2,NE 4,,D1,5,,,,,\n"),
        &["test cap 2", "test cap 3", "wye 3 x 3 x 2"],
    );
    let at_90 = ["combination 3 x 3 x 2", "test cap 2", "test cap 3"];
    expect(&format!("{SHORT_EAST}D2,drain,2,N 4,,D1,5,,,,,\n"), &at_90);
    // No bearing of the child: 90; upright: 90.
    expect(&format!("{SHORT_EAST}D2,drain,2,,4,D1,5,,,,,\n"), &at_90);
    expect(&format!("{SHORT_EAST}D2,drain,2,up 4,,D1,5,,,,,\n"), &at_90);
}

#[test]
fn a_wye_said_is_at_45_and_has_its_bend_where_bearings_say_90() {
    let wye = ["test cap 2", "test cap 3", "wye 3 x 3 x 2"];
    expect(&format!("{SHORT_EAST}D2,drain,2,,4,D1,5,,,wye,,\n"), &wye);
    expect(&format!("{SHORT_EAST}D2,drain,2,SE 4,,D1,5,,,y,,\n"), &wye);
    let bent = ["street eighth bend 2", "test cap 2", "test cap 3", "wye 3 x 3 x 2"];
    expect(&format!("{SHORT_EAST}D2,drain,2,N 4,,D1,5,,,wye,,\n"), &bent);
    // Upright on upright it stands unasked.
    expect(&format!("{SHORT_STACK}D2,drain,2,up 4,,D1,5,,,,,\n"), &bent);
}

#[test]
fn a_vent_against_the_flow_is_at_45() {
    // SW on E is 135. The vent turns up behind SW: quarter bend; it ends at the roof.
    let vent = ["quarter bend 2", "roof flashing", "test cap 3", "wye 3 x 3 x 2"];
    expect(&format!("{SHORT_EAST}V1,vent,2,SW 4; up 3,,D1,5,roof,,,,\n"), &vent);
}

#[test]
fn two_opposite_of_one_size_take_one_fitting_and_others_stand_apart() {
    let pair = ["double sanitary tee 3 x 3 x 2 x 2", "test cap 2: 2", "test cap 3"];
    expect(&format!("{SHORT_STACK}D2,drain,2,E 4,,D1,6,,,,,\nD3,drain,2,W 4,,D1,6,,,,,\n"), &pair);
    expect(&format!("{SHORT_STACK}D2,drain,2,,4,D1,6,,,,,\nD3,drain,2,,4,D1,6,,,,,\n"), &pair);
    // A quarter round, of one bearing, or with a part named: two fittings, the second a least piece (2 in.) farther on.
    let apart = ["sanitary tee 3 x 3 x 2: 2", "test cap 2: 2", "test cap 3"];
    for (one, other, tee) in [("E 4", "N 4", ""), ("E 4", "E 4", ""), ("E 4", "W 4", "sanitary tee")] {
        let rows = format!("{SHORT_STACK}D2,drain,2,{one},,D1,6,,,,,\nD3,drain,2,{other},,D1,6,,,{tee},,\n");
        let count = expect(&rows, &apart);
        assert_eq!(pieces(&count, "3"), [(2, 1), (72, 1), (94, 1)]);
    }
    // Of two sizes: the larger first.
    let sizes = [
        "sanitary tee 3 x 3 x 1-1/2",
        "sanitary tee 3 x 3 x 2",
        "test cap 1-1/2",
        "test cap 2",
        "test cap 3",
    ];
    expect(&format!("{SHORT_STACK}D2,drain,1-1/2,E 4,,D1,6,,,,,\nD3,drain,2,W 4,,D1,6,,,,,\n"), &sizes);
    // Three: a pair, and one farther on.
    let three =
        ["double sanitary tee 3 x 3 x 2 x 2", "sanitary tee 3 x 3 x 2", "test cap 2: 3", "test cap 3"];
    let rows = "D2,drain,2,,4,D1,6,,,,,\nD3,drain,2,,4,D1,6,,,,,\nD4,drain,2,,4,D1,6,,,,,\n";
    expect(&format!("{SHORT_STACK}{rows}"), &three);
    // On a level run no pair stands.
    let level = ["combination 3 x 3 x 2: 2", "test cap 2: 2", "test cap 3"];
    expect(&format!("{SHORT_EAST}D2,drain,2,N 4,,D1,6,,,,,\nD3,drain,2,S 4,,D1,6,,,,,\n"), &level);
}

#[test]
fn at_an_end_one_goes_on_and_the_others_tie_in() {
    // Straight on in one size: one piece of 24 ft, in 10, 10 and 4: two couplings.
    let count = expect(&format!("{EAST}D2,drain,3,E 4,,D1,,,,,,\n"), &["coupling 3: 2", "test cap 3"]);
    assert_eq!(pieces(&count, "3"), [(48, 1), (120, 2)]);
    // D2 goes on, D3 ties in; D1's 20 ft are 10 and 10.
    let rows = format!("{EAST}D2,drain,3,E 4,,D1,,,,,,\nD3,drain,2,N 4,,D1,,,,,,\n");
    expect(&rows, &["combination 3 x 3 x 2", "coupling 3", "test cap 2", "test cap 3"]);
    // On a stack's end a pair and what goes up.
    let rows = "V1,vent,2,up 4,,D1,,roof,,,,\nD2,drain,2,E 4,,D1,,,,,,\nD3,drain,2,W 4,,D1,,,,,,\n";
    expect(
        &format!("{STACK}{rows}"),
        // The vent goes straight on in 2.
        &["coupling 3", "double sanitary tee 3 x 2 x 2 x 2", "roof flashing", "test cap 2: 2"],
    );
}

#[test]
fn a_smaller_vent_grows_behind_a_bushing_or_out_of_its_own_end() {
    // V1, 2, up 6; V2, 3, goes on north: quarter bend in 3, V1 enters by a bushing 3 x 2; V2's own change: quarter bend 3.
    let rows = format!("{EAST}V1,vent,2,up 6,,D1,5,,,,,\nV2,vent,3,N 4; up 2,,V1,,roof,,,,\n");
    let grown = [
        "bushing 3 x 2",
        "combination 3 x 3 x 2",
        "coupling 3",
        "quarter bend 3: 2",
        "roof flashing",
        "test cap 3",
    ];
    // D1 is cut at 5 ft: 5, and 15 in 10 and 5.
    expect(&rows, &grown);
    // In iron 4 in. of 3 come out of V1's end, behind a reducing coupling.
    let (found, count) = fittings(&rows, "iron-coupled");
    assert_eq!(
        found,
        ["combination 3 x 3 x 2", "quarter bend 3: 2", "reducing coupling 3 x 2", "roof flashing"]
    );
    assert_eq!(pieces(&count, "2"), [(68, 1)]);
    assert_eq!(pieces(&count, "3"), [(4, 1), (36, 1), (48, 1), (60, 2), (120, 1)]);
}

#[test]
fn a_port_larger_than_the_tube_takes_a_bushing_or_a_least_piece_of_the_run() {
    // A 2 in. run to a trap of 3: bushing; the mouth of the body is capped.
    let rows = format!("{EAST}D2,drain,2,N 4,,D1,5,,,,wide floor drain,\n");
    let (found, _) = fittings(&rows, "pvc-cement");
    let with_bushing =
        ["P-trap 3", "bushing 3 x 2", "combination 3 x 3 x 2", "coupling 3", "floor drain body 3"];
    assert_eq!(found[..5], with_bushing);
    assert_eq!(found[5..], ["test cap 3: 2"]);
    let (found, count) = fittings(&rows, "iron-coupled");
    let in_iron = ["P-trap 3", "combination 3 x 3 x 2", "floor drain body 3", "reducing coupling 3 x 2"];
    assert_eq!(found, in_iron);
    assert_eq!(pieces(&count, "2"), [(44, 1)]);
    assert_eq!(pieces(&count, "3"), [(4, 1), (60, 2), (120, 1)]);
}

#[test]
fn every_phase_caps_what_it_leaves_open_once() {
    // D2 in the ground: its end is capped underground; trap and tube at rough-in, capped again; the receptor at trim.
    let rows =
        format!("{EAST}D2,drain,2,N 4,,D1,5,,,,late trap,slab\n").replace("sewer,,,,,,", "sewer,,,,,,slab");
    let count = expect(
        &rows,
        &["P-trap 2", "combination 3 x 3 x 2", "coupling 3", "receptor 2", "test cap 2: 2", "test cap 3"],
    );
    assert_eq!(in_phase(&count, "test cap", Phase::Underground), pairs(&[("2", "1"), ("3", "1")]));
    assert_eq!(in_phase(&count, "test cap", Phase::RoughIn), pairs(&[("2", "1")]));
    assert_eq!(in_phase(&count, "receptor", Phase::Trim), pairs(&[("2", "1")]));
    // Joints of 2: the branch, two caps, the trap's two, the receptor: 6.
    assert_eq!(count.joints.get(&("pvc-cement".to_owned(), "2".to_owned())), Some(&6));
    // A trap left open is a socket: the cap sits in it, one joint. Branch, trap, cap.
    let rows = format!("{EAST}D2,drain,2,N 4,,D1,5,,,,bare trap,\n");
    let bare = ["P-trap 2", "combination 3 x 3 x 2", "coupling 3", "test cap 2", "test cap 3"];
    let count = expect(&rows, &bare);
    assert_eq!(count.joints.get(&("pvc-cement".to_owned(), "2".to_owned())), Some(&3));
}

#[test]
fn an_end_is_open_at_a_test_only_if_all_that_meet_it_come_later() {
    let in_slab = "D1,drain,3,E 9,,sewer,,,,,,slab\n";
    // A later tap: no cap on the parent but at its end.
    let count = expect(
        &format!("{in_slab}D2,drain,2,N 4,,D1,5,,,,,\n"),
        &["combination 3 x 3 x 2", "test cap 2", "test cap 3"],
    );
    assert_eq!(in_phase(&count, "test cap", Phase::Underground), pairs(&[("3", "1")]));
    assert_eq!(in_phase(&count, "combination", Phase::RoughIn), pairs(&[("3 x 3 x 2", "1")]));
    // Of two at the end one comes with the parent: the cap is on that one's end.
    let (slab, later) = ("D2,drain,3,E 4,,D1,,,,,,slab\n", "D3,drain,2,N 4,,D1,,,,,,\n");
    let count =
        expect(&format!("{in_slab}{slab}{later}"), &["combination 3 x 3 x 2", "test cap 2", "test cap 3"]);
    assert_eq!(in_phase(&count, "test cap", Phase::Underground), pairs(&[("3", "1")]));
    // Both come later: D1's end is capped, then joined by the fitting; D2's end too.
    let count = expect(
        &format!("{in_slab}{}{later}", slab.replace("slab", "")),
        &["combination 3 x 3 x 2", "test cap 2", "test cap 3: 2"],
    );
    assert_eq!(in_phase(&count, "test cap", Phase::Underground), pairs(&[("3", "1")]));
    // Straight on in a later phase: a coupling, though nothing else differs; in iron one joint and no part. Joints in iron: 1 that
    // fills two ends.
    let straight = format!("{in_slab}{}", slab.replace("slab", ""));
    expect(&straight, &["coupling 3", "test cap 3: 2"]);
    let (found, count) = fittings(&straight, "iron-coupled");
    assert!(found.is_empty(), "{found:?}");
    assert_eq!(count.joints.get(&("iron-coupled".to_owned(), "3".to_owned())), Some(&2));
    assert_eq!(in_phase(&count, "shielded coupling", Phase::RoughIn), pairs(&[("3", "1")]));
    // In another bearing: the turning joins the end, and no coupling is added.
    let turned = format!("{in_slab}D2,drain,3,N 4,,D1,,,,,,\n");
    expect(&turned, &["long sweep 3", "test cap 3: 2"]);
}

#[test]
fn at_an_upright_end_no_closet_bend_stands() {
    // N, then up: a long sweep under it; flange and its mouth's cap. At a level end the bend.
    let upright = format!("{EAST}D2,drain,3,N 4; up 2,,D1,5,,,,toilet drain,\n");
    let (found, _) = fittings(&upright, "pvc-cement");
    let of_upright = [
        "closet bolts",
        "closet flange 3",
        "combination 3 x 3 x 3",
        "coupling 3",
        "long sweep 3",
        "test cap 3: 2",
        "wax ring",
    ];
    assert_eq!(found, of_upright);
    let (found, _) = fittings(&upright.replace("; up 2", ""), "pvc-cement");
    let of_level = [
        "closet bend 3",
        "closet bolts",
        "closet flange 3",
        "combination 3 x 3 x 3",
        "coupling 3",
        "test cap 3: 2",
        "wax ring",
    ];
    assert_eq!(found, of_level);
}

#[test]
fn what_is_wrong_where_drains_meet_leaves_out_the_child() {
    let out = |rows: &str, expected: &[(&str, &str)]| {
        let (_, count) = fittings(rows, "pvc-cement");
        let found: Vec<(&str, &str)> = count.left_out.iter().map(|(run, why)| (run.as_str(), *why)).collect();
        assert_eq!(found, expected, "{rows}");
    };
    let of =
        |parent: &str, child: &str, expected: &[(&str, &str)]| out(&format!("{parent}{child}"), expected);
    of(EAST, "D2,drain,2,SW 4,,D1,5,,,,,\n", &[("D2", "against the flow")]);
    of(EAST, "D2,drain,2,W 4,,D1,5,,,,,\n", &[("D2", "level along level")]);
    of(EAST, "D2,drain,2,E 4,,D1,5,,,,,\n", &[("D2", "level along level")]);
    of(EAST, "D2,drain,2,W 4,,D1,,,,,,\n", &[("D2", "the run turns back")]);
    of(EAST, "D2,drain,4,N 4,,D1,5,,,,,\n", &[("D2", "a drain is larger than what it ties into")]);
    of(EAST, "D2,drain,4,E 4,,D1,,,,,,\n", &[("D2", "a drain is larger than what it ties into")]);
    of(EAST, "C1,cold,1/2,N 4,,D1,5,,,,,\n", &[("C1", "water and drain meet only at places")]);
    of(
        EAST,
        "V1,vent,3,up 4,,D1,5,roof,,,,\nD2,drain,2,E 4,,V1,2,,,,,\n",
        &[("D2", "no drain ties into a vent")],
    );
    let both = [("D2", "none of two goes straight on"), ("D3", "none of two goes straight on")];
    of(EAST, "D2,drain,2,N 4,,D1,,,,,,\nD3,drain,2,S 4,,D1,,,,,,\n", &both);
    let three = [("D2", "three at one end"), ("D3", "three at one end"), ("D4", "three at one end")];
    of(EAST, "D2,drain,2,E 4,,D1,,,,,,\nD3,drain,2,N 4,,D1,,,,,,\nD4,drain,2,S 4,,D1,,,,,,\n", &three);
    of(EAST, "D2,drain,2,E 4; down 1,,D1,5,,,,,\n", &[("D2", "a drain goes down")]);
    of(EAST, "V1,vent,2,up 4,,D1,5,D1,9,,,\n", &[("V1", "only a return may name a run in to")]);
    of(EAST, "D2,drain,2,N 4,,D1,up 2,,,,,\n", &[("D2", "at is on no leg of the run that it joins")]);
}
