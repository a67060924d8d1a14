//! Houses with drains, vents and paths, worked out on paper by the rules and the tables of the drain side. Nobody may
//! regenerate these numbers. Common practice; the houses are invented.

use std::collections::BTreeMap;

use coilstick::trade::Phase;
use rust_decimal::Decimal;

use crate::build::EndMet;
use crate::by_hand::{expect, shown};
use crate::count_texts;
use crate::tables::{DRAIN_PATTERNS, PARTS, PATTERNS};
use crate::total::Count;

/// The count of a run list in a system of drains, the first of its alternatives; amounts to nine places.
pub(crate) fn counted(runs: &str, drains: &str) -> (BTreeMap<String, String>, Count) {
    let patterns = format!("{PATTERNS}{DRAIN_PATTERNS}");
    let settings =
        format!("item,value\nwater system,copper-solder\ncompare with,none\ndrain system,{drains}\n");
    let (_, mut counts) = count_texts(&vec![
        ("runs", runs.to_owned()),
        ("job", settings),
        ("patterns", patterns),
        ("parts", PARTS.to_owned()),
    ]);
    let (mut count, _) = counts.swap_remove(0);
    for quantity in count.lines.values_mut().filter(|quantity| quantity.scale() > 12) {
        *quantity = quantity.round_dp(12);
    }
    let mut found = shown(&count);
    for text in found.values_mut() {
        let amount: Decimal = text.parse().expect("an amount");
        *text = amount.round_dp(9).normalize().to_string();
    }
    (found, count)
}

/// How many of a part are counted in a phase, by size.
pub(crate) fn in_phase(count: &Count, part: &str, phase: Phase) -> Vec<(String, String)> {
    let mut sums: BTreeMap<String, Decimal> = BTreeMap::new();
    for (key, quantity) in count.lines.iter().filter(|(key, _)| key.part == part && key.phase == phase) {
        *sums.entry(key.size.clone()).or_default() += quantity;
    }
    sums.into_iter().map(|(size, quantity)| (size, quantity.to_string())).collect()
}

pub(crate) fn pairs(all: &[(&str, &str)]) -> Vec<(String, String)> {
    all.iter().map(|(size, quantity)| ((*size).to_owned(), (*quantity).to_owned())).collect()
}

/// The pieces of a size of tube in inches, with how often each is cut.
pub(crate) fn pieces(count: &Count, size: &str) -> Vec<(i64, i64)> {
    let of_size = count.pieces.iter().filter(|((_, of, _), _)| of == size);
    let mut found: BTreeMap<i64, i64> = BTreeMap::new();
    for (_, lengths) in of_size {
        for (length, times) in lengths {
            assert_eq!(length % 25_400_000, 0, "whole inches in these houses");
            *found.entry(length / 25_400_000).or_default() += times;
        }
    }
    found.into_iter().collect()
}

fn ends(count: &Count, met: EndMet) -> usize {
    count.ends.iter().filter(|end| end.met == met).count()
}

/// One bath and a kitchen over a crawl space, without a path: the building drain D1 hangs level under the floor, the stack
/// D2 stands on its end, and a second stack D7 on the end of D6. All of it is rough-in but what comes with the fixtures.
const CRAWL_SPACE: &str = "run,service,size,length,rise,joins,at,to,to at,tee,pattern\n\
    D1,drain,3,24,,sewer,,,,,sewer connection\n\
    D2,drain,3,8,8,D1,,,,,stack cleanout\n\
    D3,drain,3,3,,D1,20,toilet 1,,,toilet drain\n\
    D4,drain,1-1/2,6,,D1,12,tub 1,,wye,tub drain\n\
    D5,drain,1-1/2,5,,D2,3,lavatory 1,,,lavatory drain\n\
    D6,drain,2,9,,D1,8,,,,\n\
    D7,drain,2,4,4,D6,,,,,\n\
    D8,drain,1-1/2,3,,D7,2,sink 1,,,sink drain\n\
    V1,vent,2,10,,D2,,roof,,,\n\
    V2,vent,1-1/2,7,,D4,4,,,,\n\
    V3,vent,1-1/2,3,0,V2,,V1,6,,\n\
    V4,vent,1-1/2,10,,D7,,roof,,,\n";

#[test]
fn a_bath_and_a_kitchen_over_a_crawl_space_in_cemented_pipe() {
    // D1, 24 ft of 3, is cut at 8, 12 and 20: 8, 4, 8, 4. Its beginning is clamped by the flexible coupling: no cement.
    //   At 8: D6, level, no bearing: 90: combination 3 x 3 x 2. At 12: D4 with `wye`: wye 3 x 3 x 1-1/2.
    //   At 20: D3: combination 3. At its end D2, upright: long sweep 3.
    // D2, 8 ft up: the cleanout tee one least piece (2 in) inside, D5 at 3 ft: sanitary tee 3 x 3 x 1-1/2: 2 in, 34 in, 5 ft.
    //   V1, upright, goes straight on at its end in 2: reducing coupling 3 x 2.
    // D3: closet bend, flange on it; its mouth is open at the test: cap 3. Bolts and ring at trim.
    // D4, 6 ft, is cut by V2 at 4: vent, upright on a level drain: combination 1-1/2. P-trap, waste and overflow (closed).
    // D5 and D8 end in a cap 1-1/2 until the trap adapter at trim.
    // D6's end: D7, upright: long sweep 2. D7 is cut by D8 at 2: sanitary tee 2 x 2 x 1-1/2; V4 goes on at its end in 1-1/2:
    //   reducing coupling 2 x 1-1/2.
    // V2's end: V3, level on upright, a vent: quarter bend 1-1/2. V3's end in V1 at 6 ft: level on upright, vents: sanitary
    //   tee 2 x 2 x 1-1/2. V1: 6 ft, and 4 ft with 12 in. over the roof. V4: 10 ft with 12 in.: 11 ft: 10 ft and 1 ft, coupling.
    // Tube: 3: 24 + 8 + 3 = 35. 2: 9 + 4 + 10 + 1 = 24. 1-1/2: 6 + 5 + 3 + 7 + 3 + 10 + 1 = 35.
    // Joints of 3: combination D3 3, combination D6 2, wye 2, long sweep 2, cleanout tee 2, sanitary tee 2, reducer 1, closet bend
    //   1, flange 1, cap 1: 17. Of 2: D6's branch 1, long sweep 2, sanitary tee D8 2, reducers 1 + 1, V3's tee 2: 9. Of 1-1/2:
    //   wye's branch 1, combination V2 3, trap 1, waste 1, D5's branch 1, its cap and adapter 2, D8's branch 1, its cap and
    //   adapter 2, quarter bend 2, V3's branch 1, V4's reducer 1 and coupling 2: 18.
    // Cement 17/20 + 9/30 + 18/45 = 0.85 + 0.3 + 0.4 = 1.55 pint; primer half: 0.775.
    // Hangers, 4 ft level and 10 ft up: 3: 24/4 = 6, D2 1, D3 1: 8. 2: 9/4 up: 3, D7 1, V1 1: 5. 1-1/2: D4 2, D5 2, D8 1, V2 1,
    //   V3 1, V4 1: 8.
    let (found, count) = counted(CRAWL_SPACE, "pvc-cement");
    expect(
        &found,
        &[
            ("tube 3", "35"),
            ("tube 2", "24"),
            ("tube 1-1/2", "35"),
            ("flexible coupling 3", "1"),
            ("combination 3 x 3 x 3", "1"),
            ("combination 3 x 3 x 2", "1"),
            ("combination 1-1/2 x 1-1/2 x 1-1/2", "1"),
            ("wye 3 x 3 x 1-1/2", "1"),
            ("sanitary tee 3 x 3 x 1-1/2", "1"),
            ("sanitary tee 2 x 2 x 1-1/2", "2"),
            ("long sweep 3", "1"),
            ("long sweep 2", "1"),
            ("quarter bend 1-1/2", "1"),
            ("reducing coupling 3 x 2", "1"),
            ("reducing coupling 2 x 1-1/2", "1"),
            ("coupling 1-1/2", "1"),
            ("cleanout tee 3", "1"),
            ("closet bend 3", "1"),
            ("closet flange 3", "1"),
            ("closet bolts", "1"),
            ("wax ring", "1"),
            ("P-trap 1-1/2", "1"),
            ("waste and overflow 1-1/2", "1"),
            ("trap adapter 1-1/2", "2"),
            ("roof flashing", "2"),
            ("test cap 3", "1"),
            ("test cap 1-1/2", "2"),
            ("cement pvc", "1.55"),
            ("primer", "0.775"),
            ("pipe hanger 3", "8"),
            ("pipe hanger 2", "5"),
            ("pipe hanger 1-1/2", "8"),
        ],
    );
    assert_eq!(pieces(&count, "3"), [(2, 1), (34, 1), (36, 1), (48, 2), (60, 1), (96, 2)]);
    assert_eq!(pieces(&count, "2"), [(24, 2), (60, 1), (72, 1), (108, 1)]);
    assert_eq!(pieces(&count, "1-1/2"), [(12, 1), (24, 1), (36, 2), (48, 1), (60, 1), (84, 1), (120, 1)]);
    assert_eq!(in_phase(&count, "test cap", Phase::RoughIn), pairs(&[("1-1/2", "2"), ("3", "1")]));
    assert_eq!(in_phase(&count, "trap adapter", Phase::Trim), pairs(&[("1-1/2", "2")]));
    // Both vents end at the roof; two arms and the flange are capped.
    assert_eq!((ends(&count, EndMet::OnSite), ends(&count, EndMet::Capped)), (2, 3));
    assert!(count.left_out.is_empty() && count.missing.is_empty(), "{count:?}");
}

#[test]
fn the_same_house_in_hubless_iron() {
    // No trap adapter, no test cap: two adapters are missing, and the ends are tested with tools. The cleanout tee stands 4 in.
    // inside. V4's split is one joint that closes two ends. Shielded couplings: 3: 17 less the cap: 16. 2: 9. 1-1/2: 18 less two
    // caps, two adapters and one at the split: 13. Hangers, 5 ft level and 15 ft up: 3: 24/5 up: 5, 1, 1: 7. 2: 9/5 up: 2, 1, 1: 4.
    // 1-1/2: D4 2, D5 1, D8 1, V2, V3, V4 1 each: 7.
    let (found, count) = counted(CRAWL_SPACE, "iron-coupled");
    let of = |name: &str| found.get(name).map(String::as_str);
    for (name, quantity) in [
        ("shielded coupling 3", "16"),
        ("shielded coupling 2", "9"),
        ("shielded coupling 1-1/2", "13"),
        ("pipe hanger 3", "7"),
        ("pipe hanger 2", "4"),
        ("pipe hanger 1-1/2", "7"),
        ("tube 1-1/2", "35"),
        ("sanitary tee 2 x 2 x 1-1/2", "2"),
        ("closet flange 3", "1"),
    ] {
        assert_eq!(of(name), Some(quantity), "{name}");
    }
    for name in ["test cap 3", "coupling 1-1/2", "trap adapter 1-1/2", "cement pvc", "primer"] {
        assert_eq!(of(name), None, "{name}");
    }
    assert_eq!(count.missing.iter().map(String::as_str).collect::<Vec<_>>(), ["trap adapter"]);
    assert_eq!(pieces(&count, "3"), [(4, 1), (32, 1), (36, 1), (48, 2), (60, 1), (96, 2)]);
    assert_eq!(ends(&count, EndMet::Capped), 0);
}

/// Two storeys on a slab, by paths: B1, B2, B3, B8 and B10 lie in the ground; the stack B4 and what ties into it, and the washer's
/// riser B9, are rough-in.
const ON_A_SLAB: &str = "run,service,size,path (ft),lie,phase,joins,at,to,to at,tee,pattern\n\
    B1,drain,4,E 20; N 10,slab,,sewer,,,,,sewer connection\n\
    B2,drain,3,N 6; up 4,,underground,B1,E 8,toilet 1,,,toilet riser\n\
    B3,drain,2,NE 5,ground,,B1,14,shower 1,,,shower stall drain\n\
    B4,drain,3,up 10,,,B1,,,,,\n\
    B5,drain,1-1/2,E 3,,,B4,up 6,lavatory 1,,,lavatory drain\n\
    B6,drain,1-1/2,W 4,,,B4,6,lavatory 2,,,lavatory drain\n\
    B7,drain,3,S 4,,,B4,up 8,toilet 2,,,toilet drain\n\
    B8,drain,2,W 5; up 3,slab,,B1,N 4,,,,\n\
    B9,drain,2,up 2; W 1,,,B8,,washer,,,washer drain\n\
    B10,drain,4,up 2,slab,,B1,E 2,,,two-way cleanout,cleanout\n\
    V1,vent,3,up 5; NE 2; up 6,,,B4,,roof,,,\n\
    V2,vent,2,E 3; up 11; N 6,,,B9,1,V1,up 3,,\n";

#[test]
fn two_storeys_on_a_slab_by_paths_in_three_phases() {
    // B1, 30 ft of 4: cleanout at 2, B2 at 8 (N on E: 90: combination 4 x 4 x 3), B3 at 14 (NE on E: 45: wye 4 x 4 x 2), its own
    //   change at 20 (level, 90: long sweep 4), B8 at 24 (W on N: 90: combination 4 x 4 x 2): 2, 6, 6, 6, 4, 6.
    //   Its end is open at the underground test: cap 4. B4, upright on level: long sweep in the larger size, 4, with a bushing
    //   4 x 3; it joins the end once more, so no coupling.
    // B2, 3: N to up: long sweep 3: 6 and 4. Its upright end: cap 3 underground, the flange at trim; that one's mouth needs none.
    // B3, 2: 5 ft; P-trap, 8 in., cap 2 underground; the shower drain at trim.
    // B4, 3: B5 and B6 at 6, E and W, one size: double sanitary tee 3 x 1-1/2; B7 at 8: sanitary tee 3: 6, 2, 2; the last is one
    //   piece with V1's first 5: 7. V1: up to NE, NE to up: two quarter bends 3; V2 in its last leg at 3 (10 along): sanitary tee
    //   3 x 3 x 2: 2, 3, and 3 with 12 in.: 4.
    // B7: closet bend, flange, cap 3. B5, B6: cap 1-1/2, trap adapter at trim.
    // B8, 2: W to up: long sweep 2: 5, 3; its end: cap 2 underground; B9 goes straight on: coupling 2. B9: V2 at 1, level on
    //   upright: sanitary tee 2; up to W: quarter bend 2: 1, 1, 1; P-trap, 30 in., the box.
    // V2, 2: two quarter bends 2: 3, 11 (10 and 1: coupling 2), 6.
    // B10, 4: two-way cleanout 4; adapter and plug.
    // Tube: 4: 30 + 2 = 32. 3: 10 + 10 + 4 + 13 + 1 = 38. 2: 60 + 8 + 96 + 36 + 30 + 240 = 470 in. 1-1/2: 7.
    // Joints of 4: cleanout 3, adapter 1, B2's 2, B3's 2, B8's 2, long sweep 2, the foot 2, cap 1: 15. Of 3: B2's branch 1, sweep
    //   2, cap 1, flange 1; B4 in the bushing 1, double tee 2, B7's tee 3, closet bend 1, flange 1, cap 1; quarter bends 4, V2's tee
    //   2: 20. Of 2: B3's branch 1, trap 2, cap 1, shower drain 1; B8's branch 1, sweep 2, cap 1, coupling 2; V2's tee on B9 3,
    //   quarter bend 2, trap 2, box 1; V2's bends 4, coupling 2, branch 1: 26. Of 1-1/2: branches 2, caps 2, adapters 2: 6.
    // Cement 15/15 + 20/20 + 26/30 + 6/45 = 3 pint; primer 1.5. One thread: 1/40 of a roll.
    // Hangers above ground, level by 4 ft and up by 10: 3: B4 1, B7 1, V1 1 + 2 (11 up): 5. 2: B9 1 + 1, V2 3 (9 level) + 2: 7.
    //   1-1/2: 1 + 1.
    let (found, count) = counted(ON_A_SLAB, "pvc-cement");
    expect(
        &found,
        &[
            ("tube 4", "32"),
            ("tube 3", "38"),
            ("tube 2", "39.166666667"),
            ("tube 1-1/2", "7"),
            ("flexible coupling 4", "1"),
            ("two-way cleanout 4 x 4 x 4", "1"),
            ("cleanout adapter 4", "1"),
            ("cleanout plug 4", "1"),
            ("combination 4 x 4 x 3", "1"),
            ("combination 4 x 4 x 2", "1"),
            ("wye 4 x 4 x 2", "1"),
            ("long sweep 4", "2"),
            ("long sweep 3", "1"),
            ("long sweep 2", "1"),
            ("bushing 4 x 3", "1"),
            ("double sanitary tee 3 x 3 x 1-1/2 x 1-1/2", "1"),
            ("sanitary tee 3 x 3 x 3", "1"),
            ("sanitary tee 2 x 2 x 2", "1"),
            ("sanitary tee 3 x 3 x 2", "1"),
            ("quarter bend 3", "2"),
            ("quarter bend 2", "3"),
            ("coupling 2", "2"),
            ("closet bend 3", "1"),
            ("closet flange 3", "2"),
            ("closet bolts", "2"),
            ("wax ring", "2"),
            ("P-trap 2", "2"),
            ("shower drain 2", "1"),
            ("washer box 2", "1"),
            ("trap adapter 1-1/2", "2"),
            ("roof flashing", "1"),
            ("test cap 4", "1"),
            ("test cap 3", "2"),
            ("test cap 2", "2"),
            ("test cap 1-1/2", "2"),
            ("cement pvc", "3"),
            ("primer", "1.5"),
            ("thread tape", "0.025"),
            ("pipe hanger 3", "5"),
            ("pipe hanger 2", "7"),
            ("pipe hanger 1-1/2", "2"),
        ],
    );
    assert_eq!(pieces(&count, "4"), [(24, 2), (48, 1), (72, 4)]);
    assert_eq!(pieces(&count, "3"), [(24, 2), (36, 1), (48, 3), (72, 2), (84, 1)]);
    let of_two = [(8, 1), (12, 4), (30, 1), (36, 2), (60, 2), (72, 1), (120, 1)];
    assert_eq!(pieces(&count, "2"), of_two);
    let underground = pairs(&[("2", "2"), ("3", "1"), ("4", "1")]);
    assert_eq!(in_phase(&count, "test cap", Phase::Underground), underground);
    assert_eq!(in_phase(&count, "test cap", Phase::RoughIn), pairs(&[("1-1/2", "2"), ("3", "1")]));
    assert_eq!(in_phase(&count, "long sweep", Phase::RoughIn), pairs(&[("4", "1")]));
    assert_eq!(in_phase(&count, "bushing", Phase::RoughIn), pairs(&[("4 x 3", "1")]));
    assert_eq!(in_phase(&count, "closet flange", Phase::Trim), pairs(&[("3", "1")]));
    assert_eq!(ends(&count, EndMet::Capped), 7);
    assert!(count.left_out.is_empty() && count.missing.is_empty(), "{count:?}");
}

#[test]
fn a_stack_in_iron_begins_with_a_least_piece_where_a_bushing_would_stand() {
    // In iron B4 begins with 4 in. of 4 out of its 10 ft, and a reducing coupling 4 x 3: 5 ft 8 in. to the pair at 6.
    // Tube: 4: 32 ft and 4 in. 3: 38 ft less 4 in. The seam of B8 and B9 is one joint, as is V2's split.
    let (found, count) = counted(ON_A_SLAB, "iron-coupled");
    let of = |name: &str| found.get(name).map(String::as_str);
    assert_eq!(of("reducing coupling 4 x 3"), Some("1"));
    assert_eq!(of("bushing 4 x 3"), None);
    assert_eq!(of("coupling 2"), None);
    assert_eq!(of("tube 4"), Some("32.333333333"));
    assert_eq!(of("tube 3"), Some("37.666666667"));
    assert_eq!(pieces(&count, "4"), [(4, 1), (24, 2), (48, 1), (72, 4)]);
    assert_eq!(pieces(&count, "3"), [(24, 2), (36, 1), (48, 3), (68, 1), (72, 1), (84, 1)]);
    // Of 4: iron has no two-way cleanout, whose three joints are made nevertheless: 3; B2's 2, B3's 2, B8's 2, long sweep 2, the foot
    // 2, the reducing coupling 1; no cap. It has no cleanout adapter either: the plug, a male thread, is given the adapter
    // that rule 17 puts on a tube: 1. Together 15. Of 2: 26 less two caps, and one each at the seam and the split: 22.
    assert_eq!(of("shielded coupling 4"), Some("15"));
    assert_eq!(of("female adapter 4"), Some("1"));
    assert_eq!(of("shielded coupling 2"), Some("22"));
    let missing: Vec<&str> = count.missing.iter().map(String::as_str).collect();
    assert_eq!(missing, ["cleanout adapter", "trap adapter", "two-way cleanout 4 x 4 x 4"]);
}

/// Water by paths: two turns and a change of 45 degrees in C1, a branch in its last leg east, and C3, which goes on from its end in
/// another bearing.
const WATER: &str = "run,service,size,path (ft),joins,at,to,pattern,system\n\
    C1,cold,3/4,E 10; up 3; E 4; NE 5,main,,,,SYSTEM\n\
    C2,cold,1/2,N 6; up 2,C1,E 2,lavatory,fixture supply,SYSTEM\n\
    C3,cold,3/4,E 3,C1,,,,SYSTEM\n";

#[test]
fn water_by_paths_turns_where_its_legs_do() {
    // Copper. C1, 22 ft: elbows at 10 and 13, tee at 15 (2 into the last leg east), 45 elbow at 17: 10, 3, 2, 2, 5. C3 goes on from
    // NE to E: a 45 elbow at the seam, no coupling; 3 ft, cap. C2: elbow at 6: 6, 2.
    // Joints of 3/4: 4 + 4 + 2 + 1 = 11; of 1/2: 1 + 2 + 1 = 4. Solder 11 x 0.00548 + 4 x 0.00261 = 0.07072; flux twice that.
    // Straps: C1 19/6 up: 4, and 3 up: 1; C3 1: 6. C2 6/6: 1, 2 up: 1, the stub-out 1: 3.
    let (found, count) = counted(&WATER.replace("SYSTEM", "copper-solder"), "pvc-cement");
    expect(
        &found,
        &[
            ("tube 3/4 type L", "25"),
            ("tube 1/2 type L", "8"),
            ("tee 3/4 x 3/4 x 1/2", "1"),
            ("elbow 3/4", "2"),
            ("elbow 1/2", "1"),
            ("45 elbow 3/4", "2"),
            ("cap 3/4", "1"),
            ("stub-out 1/2", "1"),
            ("supply stop 1/2", "1"),
            ("solder", "0.07072"),
            ("flux", "0.14144"),
            ("tube strap 3/4", "6"),
            ("tube strap 1/2", "3"),
        ],
    );
    assert_eq!(pieces(&count, "3/4"), [(24, 2), (36, 2), (60, 1), (120, 1)]);
    assert_eq!(count.bends, 0);
}

#[test]
fn plastic_bends_where_its_legs_turn() {
    // Plastic bends: C1 is cut by the tee alone, 15 and 7, and C3 is one piece with the 7: 10. Three turns are bends; changes of 45
    // degrees are none.
    let (found, count) = counted(&WATER.replace("SYSTEM", "pex-clamp"), "pvc-cement");
    assert_eq!(found.get("clamp ring 3/4").map(String::as_str), Some("3"));
    assert_eq!(found.get("clamp ring 1/2").map(String::as_str), Some("2"));
    assert!(found.keys().all(|name| !name.contains("elbow") && !name.contains("coupling")));
    assert_eq!(pieces(&count, "3/4"), [(120, 1), (180, 1)]);
    assert_eq!(count.bends, 3);
}
