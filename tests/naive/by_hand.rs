//! Tiny jobs whose counts were worked out on paper; nobody may regenerate these numbers. Common practice, built-in tables.

use std::collections::BTreeMap;

use coilstick::trade::Job;
use coilstick::trade::SystemId;

use crate::judge::alternatives;
use crate::total::Count;
use crate::{count_job, naive_count};

/// The count of a run list in one of the two built-in systems, as `part size variant` (feet for tube) over all phases.
fn counted(runs: &str, system: &str) -> (BTreeMap<String, String>, Count) {
    counted_with(&[("runs", runs)], system)
}

fn counted_with(texts: &[(&str, &str)], system: &str) -> (BTreeMap<String, String>, Count) {
    let job = Job::from_texts(texts);
    let count = of_system(&job, system);
    (shown(&count), count)
}

fn of_system(job: &Job, system: &str) -> Count {
    let word = job.lexicon.find(system).expect("a built-in system");
    let id: SystemId = job.catalog.system_named(word).expect("a built-in system");
    let place = alternatives(job).iter().position(|one| one.water == id).expect("an alternative");
    count_job(job).swap_remove(place)
}

pub(crate) fn shown(count: &Count) -> BTreeMap<String, String> {
    let mut sums = BTreeMap::new();
    for (key, quantity) in &count.lines {
        let words = [&*key.part, &*key.size, &*key.variant].into_iter().filter(|word| !word.is_empty());
        let name = words.collect::<Vec<_>>().join(" ");
        let feet = rust_decimal::Decimal::from(304_800_000);
        let quantity = if key.unit == "nm" { quantity / feet } else { *quantity };
        *sums.entry(name).or_insert(rust_decimal::Decimal::ZERO) += quantity;
    }
    sums.into_iter().map(|(name, quantity)| (name, quantity.normalize().to_string())).collect()
}

pub(crate) fn expect(found: &BTreeMap<String, String>, expected: &[(&str, &str)]) {
    let expected: BTreeMap<String, String> =
        expected.iter().map(|(name, quantity)| ((*name).to_owned(), (*quantity).to_owned())).collect();
    assert_eq!(*found, expected);
}

/// A 3/4 trunk of 30 ft from the main; a 1/2 branch of 10 ft at 12 ft with two turns to a lavatory's stub-out. The trunk
/// goes on as 1/2 for 8 ft to another stub-out, straight.
const LAVATORIES: &str = "run,service,size,length,joins,at,to,turns,pattern\n\
    C1,cold,3/4,30,main,,,0,\n\
    C2,cold,1/2,10,C1,12,lavatory 1,2,fixture supply\n\
    C3,cold,1/2,8,C1,,lavatory 2,0,fixture supply\n";

#[test]
fn two_lavatories_in_clamped_plastic() {
    // Tube: 3/4 blue 30; 1/2 blue 10 + 8. Pieces: C1 is cut by the tap: 12 and 18; C2 one of 10, C3 one of 8.
    // Fittings: tee 3/4 x 3/4 x 1/2; reducing coupling 3/4 x 1/2; two stub-outs 1/2; two stops (trim).
    // Joints: 3/4: tee 2, reducer 1 = 3. 1/2: tee 1, reducer 1, stub-outs 2 = 4; the stops' nuts are no joints.
    // Clips: 3/4: 30 ft at 32 in = 360/32 = 11.25, so 12. 1/2: 120/32 = 3.75, so 4; 96/32 = 3; two stub-outs one each:
    // 2. Together 9.
    // Ends: C1's beginning on site. Both other ends are filled.
    let (found, count) = counted(LAVATORIES, "pex-clamp");
    expect(
        &found,
        &[
            ("tube 3/4 blue", "30"),
            ("tube 1/2 blue", "18"),
            ("tee 3/4 x 3/4 x 1/2", "1"),
            ("reducing coupling 3/4 x 1/2", "1"),
            ("stub-out 1/2", "2"),
            ("supply stop 1/2", "2"),
            ("clamp ring 3/4", "3"),
            ("clamp ring 1/2", "4"),
            ("tube clip 3/4", "12"),
            ("tube clip 1/2", "9"),
        ],
    );
    assert_eq!(count.bends, 2);
    assert_eq!(count.ends.len(), 1);
    let pieces: i64 = count.pieces.values().flat_map(|lengths| lengths.values()).sum();
    assert_eq!(pieces, 4);
}

#[test]
fn two_lavatories_in_soldered_copper() {
    // As above; the two turns are elbows 1/2, at 3 1/3 and 6 2/3 ft. Joints: 3/4: 3; 1/2: 4 and two an elbow: 8.
    // Solder: 3 x 0.548/100 + 8 x 0.261/100 = 0.01644 + 0.02088 = 0.03732 lb; flux twice that in oz: 0.07464.
    // Straps: 3/4: 30/6 = 5. 1/2: 10/6 up: 2; 8/6 up: 2; stub-outs 2: together 6.
    // Pieces: 12 and 18 of 3/4; three of C2; one of C3: none is above 20 ft.
    let (found, count) = counted(LAVATORIES, "copper-solder");
    expect(
        &found,
        &[
            ("tube 3/4 type L", "30"),
            ("tube 1/2 type L", "18"),
            ("tee 3/4 x 3/4 x 1/2", "1"),
            ("elbow 1/2", "2"),
            ("reducing coupling 3/4 x 1/2", "1"),
            ("stub-out 1/2", "2"),
            ("supply stop 1/2", "2"),
            ("solder", "0.03732"),
            ("flux", "0.07464"),
            ("tube strap 3/4", "5"),
            ("tube strap 1/2", "6"),
        ],
    );
    let pieces: i64 = count.pieces.values().flat_map(|lengths| lengths.values()).sum();
    assert_eq!((count.bends, pieces), (0, 6));
}

#[test]
fn a_washer_box_and_a_hose_bibb_in_soldered_copper() {
    // C1, 1/2, 25 ft, from the main to a hose bibb: the drop-ear elbow is soldered on: 1 joint; the bibb screws into it: 1
    // thread; its other side is closed. The tap cuts C1 to 10 and 15 ft: no piece is longer than a stick of 20 ft.
    // C2, 1/2, 6 ft, joins C1 at 10 ft: tee 1/2 x 1/2 x 1/2: 3 joints; to the box: 1.
    // H1, 1/2, 6 ft, joins nothing and goes to the box: a root: its beginning on site; box: 1 joint.
    // Joints 1/2: drop-ear 1, tee 3, box 2 = 6: solder 6 x 0.261/100 = 0.01566 lb, flux 0.03132 oz; tape 1/40 roll.
    // Straps: 25/6: 5; 6/6: 1; 6/6: 1; the drop-ear elbow 1: together 8.
    let runs = "run,service,size,length,joins,at,to,pattern\n\
        C1,cold,1/2,25,main,,garden,hose bibb\n\
        C2,cold,1/2,6,C1,10,washer,washer box\n\
        H1,hot,1/2,6,,,washer,washer box\n";
    let (found, count) = counted(runs, "copper-solder");
    expect(
        &found,
        &[
            ("tube 1/2 type L", "37"),
            ("tee 1/2 x 1/2 x 1/2", "1"),
            ("drop-ear elbow 1/2", "1"),
            ("hose bibb 1/2", "1"),
            ("washer box 1/2", "1"),
            ("solder", "0.01566"),
            ("flux", "0.03132"),
            ("thread tape", "0.025"),
            ("tube strap 1/2", "8"),
        ],
    );
    assert_eq!(count.ends.len(), 2);
}

#[test]
fn a_regulator_is_one_assembly_and_is_not_given_adapters_twice() {
    // The built-in service entry at the start of 40 ft of 1 in.: ball valve, union, adapter + regulator + adapter, union:
    // four cuts, five pieces: 2 in, 2 in, 2 in, 2 in and the rest. Joints: each of the four has 2: 8. Threads: 2.
    // The run's end is open: a cap: 1 joint more.
    let runs = "run,service,size,length,joins,pattern\nC1,cold,1,40,main,service entry\n";
    let (found, count) = counted(runs, "pex-clamp");
    expect(
        &found,
        &[
            ("tube 1 blue", "40"),
            ("ball valve 1", "1"),
            ("union 1", "2"),
            ("male adapter 1", "2"),
            ("pressure regulator 1", "1"),
            ("cap 1", "1"),
            ("clamp ring 1", "9"),
            ("thread tape", "0.05"),
            ("tube clip 1", "15"),
        ],
    );
    let pieces: i64 = count.pieces.values().flat_map(|lengths| lengths.values()).sum();
    assert_eq!(pieces, 5);
}

#[test]
fn a_temporary_cap_is_counted_and_the_end_is_joined_again_at_the_tie_in() {
    // C1, 3/4, 10 ft, alone would be open; C2 of the tie-in goes on for 5 ft to the old main. Cap 3/4: 1 joint at
    // rough-in; coupling at the tie-in: 2 joints; C2's end: ball valve in line (2 joints), adapter onto the threaded
    // outlet (1 joint, 1 thread). C1's beginning: a root: on site. Rings: 1 + 2 + 2 + 1 = 6.
    // Clips: 10 ft: 3.75: 4; 5 ft: 1.875: 2.
    let runs = "run,service,size,length,joins,to,phase,pattern\n\
        C1,cold,3/4,10,,,,temporary cap\n\
        C2,cold,3/4,5,C1,old main,tie-in,tie-in\n";
    let (found, count) = counted(runs, "pex-clamp");
    expect(
        &found,
        &[
            ("tube 3/4 blue", "15"),
            ("cap 3/4", "1"),
            ("coupling 3/4", "1"),
            ("ball valve 3/4", "1"),
            ("male adapter 3/4", "1"),
            ("clamp ring 3/4", "6"),
            ("thread tape", "0.025"),
            ("tube clip 3/4", "6"),
        ],
    );
    assert_eq!(count.ends.len(), 1);
}

#[test]
fn a_bull_head_a_branch_of_another_system_and_a_split_trunk() {
    // In copper. C1, 3/4, 45 ft from the main, straight: nothing taps it: 20 + 20 + 5: two couplings, 4 joints 3/4.
    // At its end C2 (3/4, 4 ft) and C3 (1/2, plastic, 4 ft) with a bull-head: tee 3/4 x 1/2 x 3/4: 2 joints 3/4, 1 of 1/2.
    // C3 begins with a least piece of 2 in of copper 1/2, then the transition: copper joint 1/2, clamp joint 1/2; the
    // plastic is 4 ft less 2 in: 3.8333... ft. Both ends are open: cap 3/4: 1 joint; cap 1/2 of plastic: 1 clamp joint.
    // Copper joints: 3/4: 4 + 2 + 1 = 7; 1/2: 1 + 1 = 2. Solder 7 x 0.548/100 + 2 x 0.261/100 = 0.04358; flux 0.08716.
    // Straps: 45/6: 8; 4/6: 1. Clips of C3: 48/32: 2.
    let runs = "run,service,size,length,joins,system,tee\n\
        C1,cold,3/4,45,main,,\n\
        C2,cold,3/4,4,C1,,\n\
        C3,cold,1/2,48 in,C1,pex-clamp,bull\n";
    let (mut found, count) = counted(runs, "copper-solder");
    let plastic = found.remove("tube 1/2 blue").unwrap();
    assert!(plastic.starts_with("3.83333333"), "{plastic}");
    let copper = found.remove("tube 1/2 type L").unwrap();
    assert!(copper.starts_with("0.16666666"), "{copper}");
    expect(
        &found,
        &[
            ("tube 3/4 type L", "49"),
            ("coupling 3/4", "2"),
            ("tee 3/4 x 1/2 x 3/4", "1"),
            ("pex transition 1/2", "1"),
            ("cap 3/4", "1"),
            ("cap 1/2", "1"),
            ("clamp ring 1/2", "2"),
            ("solder", "0.04358"),
            ("flux", "0.08716"),
            ("tube strap 3/4", "9"),
            ("tube clip 1/2", "2"),
        ],
    );
    assert_eq!(count.ends.len(), 3);
}

#[test]
fn a_heater_a_shower_and_three_taps_at_one_point() {
    // In plastic. C1, 3/4, 20 ft, from the main to the heater: the cold port is a male thread 3/4: female adapter 3/4.
    // Ball valve at 2 in from the end, union at 4 in from the end (the first of the two takes the end's place).
    // H1, 3/4, 10 ft, begins at the heater: female adapter 3/4; union at its start. Its end is open: cap 3/4.
    // C2 (1/2, 5 ft), C3 (1/2, 6 ft), C4 (3/8, 3 ft) tap C1 at 8 ft: at 8 ft, 8 ft 2 in, 8 ft 4 in: tees
    // 3/4 x 3/4 x 1/2 twice, 3/4 x 3/4 x 3/8. C2 goes to the shower valve with H2 (1/2, 5 ft, on H1 at 5 ft: tee).
    // M1, 1/2, 7 ft, begins at the valve and ends in a drop-ear elbow: shower arm in it at trim; until then the elbow's
    // female thread takes a thread plug. The second mixed outlet of the valve is plugged. C3 and C4 end open: caps.
    // Rings 3/4: C1: adapter 1, valve 2, union 2, tees 6 = 11; H1: adapter 1, union 2, tee 2, cap 1 = 6: together 17.
    // Rings 1/2: tees 2 + H2's 1, valve's ports 3, its plug 1, drop-ear 1, C3's cap 1 = 9. Rings 3/8: tee 1, cap 1 = 2.
    // Threads: 2 at the heater, plug and arm in the elbow: 4 x 1/40 = 0.1 roll.
    // Clips 3/4: 240/32 = 7.5: 8; 120/32 = 3.75: 4: 12. 1/2: 60/32: 2 (C2), 72/32: 3 (C3), 60/32: 2 (H2), 84/32: 3 (M1),
    // the drop-ear elbow 1: 11. 3/8: 36/32: 2.
    let runs = "run,service,size,length,joins,at,to,pattern\n\
        C1,cold,3/4,20,main,,heater,tank heater\n\
        H1,hot,3/4,10,heater,,,tank heater\n\
        C2,cold,1/2,5,C1,8,shower,shower valve\n\
        H2,hot,1/2,5,H1,5,shower,shower valve\n\
        M1,mixed,1/2,7,shower,,,shower riser\n\
        C3,cold,1/2,6,C1,8,,\n\
        C4,cold,3/8,3,C1,8,,\n";
    let (found, count) = counted(runs, "pex-clamp");
    expect(
        &found,
        &[
            ("tube 3/4 blue", "20"),
            ("tube 3/4 red", "10"),
            ("tube 1/2 blue", "11"),
            ("tube 1/2 red", "12"),
            ("tube 3/8 blue", "3"),
            ("female adapter 3/4", "2"),
            ("ball valve 3/4", "1"),
            ("union 3/4", "2"),
            ("tee 3/4 x 3/4 x 1/2", "3"),
            ("tee 3/4 x 3/4 x 3/8", "1"),
            ("shower valve 1/2", "1"),
            ("plug 1/2", "1"),
            ("drop-ear elbow 1/2", "1"),
            ("shower arm 1/2", "1"),
            ("thread plug 1/2", "1"),
            ("cap 3/4", "1"),
            ("cap 1/2", "1"),
            ("cap 3/8", "1"),
            ("clamp ring 3/4", "17"),
            ("clamp ring 1/2", "9"),
            ("clamp ring 3/8", "2"),
            ("thread tape", "0.1"),
            ("tube clip 3/4", "12"),
            ("tube clip 1/2", "11"),
            ("tube clip 3/8", "2"),
        ],
    );
    // C1 lies in six pieces: 8 ft, 2 in, 2 in, what is left to the union, 2 in, 2 in.
    let inch = 25_400_000;
    let blue =
        count.pieces.iter().find(|((_, size, variant), _)| size == "3/4" && variant == "blue").unwrap();
    let expected = BTreeMap::from([(2 * inch, 4), (96 * inch, 1), ((240 - 100 - 4) * inch, 1)]);
    assert_eq!(*blue.1, expected);
}

#[test]
fn what_is_in_error_is_left_out_with_what_joins_it_and_its_parent_counts_without_it() {
    let runs = "run,service,size,length,joins,at\n\
        C1,cold,3/4,10,main,\n\
        C2,cold,1/2,4,C1,11\n\
        C3,cold,1/2,4,C2,\n\
        C4,cold,1/2,4,nowhere,\n";
    let (found, count) = counted(runs, "pex-clamp");
    expect(
        &found,
        &[("tube 3/4 blue", "10"), ("cap 3/4", "1"), ("clamp ring 3/4", "1"), ("tube clip 3/4", "4")],
    );
    let left_out: Vec<&str> = count.left_out.iter().map(|(run, _)| run.as_str()).collect();
    assert_eq!(left_out, ["C2", "C3", "C4"]);
    let job = Job::from_texts(&[("runs", runs)]);
    assert_eq!(naive_count(&job).len(), 2);
}
