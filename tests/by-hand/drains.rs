//! Drains and vents, a rule a job, worked out on paper by the rules of drains (the number in brackets). Everything is measured
//! up the stream: `joins` leads toward the sewer. A line reads phase (unless rough-in), service, part, size; cement, primer
//! and hangers are left out where they are not what the rule is about. Sizes of a meeting are run, run, branch.

use std::collections::BTreeMap;

use coilstick::estimate::estimate;
use coilstick::trade::Job;

use crate::odd_ends::taken;

/// The lines of a job of drains in one system but for what joints and spacing ask for.
fn drained(system: &str, runs: &str) -> BTreeMap<String, String> {
    let job = format!("item,value\ndrain system,{system}\ncompare with,none\n");
    let tables = [("job", job.as_str()), ("runs", runs)];
    ends_balance(&tables);
    let mut lines = taken(&tables, system);
    lines.retain(|line, _| {
        !["cement", "primer", "pipe hanger", "shielded"].iter().any(|part| line.contains(part))
    });
    lines
}

/// (D20) Ends of pipe are what fills them, whatever is capped, cut off and joined again.
fn ends_balance(tables: &[(&str, &str)]) {
    for alternative in estimate(&Job::from_texts(tables)).alternatives {
        for of in &alternative.takeoff.balance {
            assert_eq!(of.male, of.filled + of.coupled + of.on_site + of.elsewhere, "{of:?}");
        }
    }
}

fn takes(runs: &str, paper: &[(&str, &str)]) {
    takes_in("pvc-cement", runs, paper);
}

fn takes_in(system: &str, runs: &str, paper: &[(&str, &str)]) {
    let paper: BTreeMap<String, String> =
        paper.iter().map(|(line, need)| ((*line).to_owned(), (*need).to_owned())).collect();
    let lines =
        |these: &BTreeMap<String, String>| these.iter().map(|(l, n)| format!("{l}: {n}")).collect::<Vec<_>>();
    crate::same(system, &lines(&paper), &lines(&drained(system, runs)));
}

/// What is told of a job of drains, by its kinds.
fn told(runs: &str) -> Vec<String> {
    let tables = [("job", "item,value\ndrain system,pvc-cement\n"), ("runs", runs)];
    let estimate = estimate(&Job::from_texts(&tables));
    let kinds = estimate.told.iter().map(|notice| notice.kind.to_owned());
    kinds.filter(|kind| !["nothing-priced", "no-drain-units"].contains(&kind.as_str())).collect()
}

const HEAD: &str = "run,service,size,path (ft),joins,at,to,to at,pattern,phase,tee\n";

/// (D7) Flow turns from upright to level at the foot of a stack: a long sweep, and never a quarter bend. One run of two legs
/// is cut by it into two pieces; the upper end is capped for the test.
#[test]
fn the_foot_of_a_stack_is_a_long_sweep() {
    let expected = [("drain tube 3", "18"), ("drain long sweep 3", "1"), ("drain test cap 3", "1")];
    takes(&format!("{HEAD}D,drain,3,\"N 10, up 8\",sewer,,,,,,\n"), &expected);
    // As two runs it is the same: the child turns at the parent's end.
    takes(&format!("{HEAD}D,drain,3,N 10,sewer,,,,,,\nS,drain,3,up 8,D,,,,,,\n"), &expected);
}

/// (D7) An arm that turns down to the drain below: flow turns from level to upright, a quarter bend.
#[test]
fn an_arm_that_turns_down_is_a_quarter_bend() {
    takes(
        &format!("{HEAD}D,drain,2,\"up 3, E 4\",sewer,,,,,,\n"),
        &[("drain tube 2", "7"), ("drain quarter bend 2", "1"), ("drain test cap 2", "1")],
    );
}

/// (D7) Level to level is a long sweep, 45 degrees an eighth bend; a vent turns with a quarter bend.
#[test]
fn level_turns_are_long_sweeps_and_eighth_bends_and_vents_take_quarter_bends() {
    takes(
        &format!(
            "{HEAD}D,drain,2,\"N 4, E 4, SE 4, up 1\",sewer,,,,,,\nV,vent,1-1/2,\"up 5, W 3, NW 2\",D,,roof,,,,\n"
        ),
        &[
            ("drain tube 2", "13"),
            ("drain long sweep 2", "2"),
            ("drain eighth bend 2", "1"),
            // The drain ends upright and the vent goes on upright, smaller.
            ("vent reducing coupling 2 x 1-1/2", "1"),
            // 5 + 3 + 2 and a foot above the roof.
            ("vent tube 1-1/2", "11"),
            ("vent quarter bend 1-1/2", "1"),
            ("vent eighth bend 1-1/2", "1"),
            ("vent roof flashing", "1"),
        ],
    );
}

/// (D6) A level branch into a level drain: 45 degrees a wye, 90 a combination; an upright one into a level drain a combination;
/// a level one into a stack a sanitary tee.
#[test]
fn what_ties_in_takes_a_wye_a_combination_or_a_sanitary_tee() {
    takes(
        &format!(
            "{HEAD}D,drain,4,\"N 20, up 8\",sewer,,,,,,\nA,drain,2,NE 3,D,4,,,,,\nB,drain,2,E 3,D,8,,,,,\n\
             C,drain,2,up 3,D,12,,,,,\nE,drain,2,W 3,D,up 2,,,,,\n"
        ),
        &[
            ("drain tube 4", "28"),
            ("drain tube 2", "12"),
            ("drain long sweep 4", "1"),
            ("drain wye 4 x 4 x 2", "1"),
            ("drain combination 4 x 4 x 2", "2"),
            ("drain sanitary tee 4 x 4 x 2", "1"),
            ("drain test cap 4", "1"),
            ("drain test cap 2", "4"),
            // 20 ft level and 8 ft up, parted at 4, 8, 12, 20 and 22 ft: no piece is above 10 ft.
        ],
    );
}

/// (D6) 135 degrees up the stream is against the flow: an error of the drain that ties in; a vent meets at 45 then.
#[test]
fn at_135_degrees_a_drain_flows_against_the_stream_and_a_vent_takes_a_wye() {
    let drain = format!("{HEAD}D,drain,3,N 20,sewer,,,,,,\nA,drain,2,SE 3,D,4,,,,,\n");
    assert_eq!(told(&drain), ["against-the-stream"]);
    let along = format!("{HEAD}D,drain,3,N 20,sewer,,,,,,\nA,drain,2,N 3,D,4,,,,,\n");
    assert_eq!(told(&along), ["along-its-parent"]);
    takes(
        &format!("{HEAD}D,drain,3,N 10,sewer,,,,,,\nV,vent,2,SE 3,D,4,roof,,,,\n"),
        &[
            ("drain tube 3", "10"),
            ("drain test cap 3", "1"),
            ("vent wye 3 x 3 x 2", "1"),
            ("vent tube 2", "4"),
            ("vent roof flashing", "1"),
        ],
    );
}

/// (D6) Two level branches of one size opposite each other in a stack take one double sanitary tee; of two sizes, or one with
/// a fitting of its own, each its own.
#[test]
fn two_branches_opposite_each_other_take_one_double_sanitary_tee() {
    let stack = format!("{HEAD}S,drain,3,up 9,sewer,,roof,,,,\n");
    let common = [("drain tube 3", "10"), ("drain roof flashing", "1"), ("drain test cap 2", "2")];
    let with = |more: &[(&'static str, &'static str)]| [&common[..], more].concat();
    takes(
        &format!("{stack}A,drain,2,E 3,S,4,,,,,\nB,drain,2,W 3,S,4,,,,,\n"),
        &with(&[("drain tube 2", "6"), ("drain double sanitary tee 3 x 3 x 2 x 2", "1")]),
    );
    takes(
        &format!("{stack}A,drain,2,E 3,S,4,,,,,\nB,drain,2,N 3,S,4,,,,,\n"),
        &with(&[("drain tube 2", "6"), ("drain sanitary tee 3 x 3 x 2", "2")]),
    );
    takes(
        &format!("{stack}A,drain,2,E 3,S,4,,,,,wye\nB,drain,2,W 3,S,4,,,,,\n"),
        &with(&[
            ("drain tube 2", "6"),
            ("drain sanitary tee 3 x 3 x 2", "1"),
            ("drain wye 3 x 3 x 2", "1"),
            ("drain street eighth bend 2", "1"),
        ]),
    );
}

/// (D6) Without bearings a level branch leaves a level drain at 90 degrees; `wye` in its row says 45. Where the bearings say 90
/// a wye has its street eighth bend.
#[test]
fn a_wye_says_45_degrees_or_takes_its_street_bend() {
    let head = "run,service,size,length,path (ft),joins,at,tee\n";
    let drain =
        [("drain tube 3", "10"), ("drain test cap 3", "1"), ("drain tube 2", "4"), ("drain test cap 2", "1")];
    let with = |more: &[(&'static str, &'static str)]| [&drain[..], more].concat();
    takes(
        &format!("{head}D,drain,3,10,,sewer,,\nA,drain,2,4,,D,4,\n"),
        &with(&[("drain combination 3 x 3 x 2", "1")]),
    );
    takes(
        &format!("{head}D,drain,3,10,,sewer,,\nA,drain,2,4,,D,4,wye\n"),
        &with(&[("drain wye 3 x 3 x 2", "1")]),
    );
    takes(
        &format!("{head}D,drain,3,,N 10,sewer,,\nA,drain,2,,E 4,D,4,wye\n"),
        &with(&[("drain wye 3 x 3 x 2", "1"), ("drain street eighth bend 2", "1")]),
    );
}

/// (D6, D7) At the end of a stack one goes straight on and the other ties in; where none goes on both are in error.
#[test]
fn at_an_end_one_goes_straight_on_and_the_other_ties_in() {
    takes(
        &format!("{HEAD}S,drain,3,up 4,sewer,,,,,,\nV,vent,2,up 6,S,,roof,,,,\nA,drain,2,E 3,S,,,,,,\n"),
        &[
            ("drain tube 3", "4"),
            ("drain sanitary tee 3 x 2 x 2", "1"),
            ("drain tube 2", "3"),
            ("drain test cap 2", "1"),
            ("vent tube 2", "7"),
            ("vent roof flashing", "1"),
        ],
    );
    let none = format!("{HEAD}D,drain,3,N 10,sewer,,,,,,\nA,drain,2,E 3,D,,,,,,\nB,drain,2,W 3,D,,,,,,\n");
    assert_eq!(told(&none), ["none-goes-on"]);
}

/// (D7) A drain larger than what it empties into is an error; a vent may grow. No drain ties into a vent, and water meets
/// drains only at places.
#[test]
fn a_drain_never_gets_smaller_on_its_way() {
    let drain = format!("{HEAD}D,drain,2,N 10,sewer,,,,,,\nA,drain,3,E 3,D,4,,,,,\n");
    assert_eq!(told(&drain), ["drain-gets-smaller"]);
    let vent = format!("{HEAD}D,drain,2,up 4,sewer,,,,,,\nV,vent,3,up 3,D,,roof,,,,\n");
    assert_eq!(told(&vent), Vec::<String>::new());
    let into =
        format!("{HEAD}D,drain,2,up 4,sewer,,,,,,\nV,vent,2,up 3,D,,roof,,,,\nA,drain,2,E 3,V,1,,,,,\n");
    assert_eq!(told(&into), ["drain-into-vent"]);
    let water = format!("{HEAD}D,drain,2,up 4,sewer,,,,,,\nC,cold,1/2,E 3,D,1,,,,,\n");
    assert_eq!(told(&water), ["water-and-drain"]);
}

/// (D9) A turning has the larger size, and the smaller tube enters it through a bushing. Joints of cement: 3 in. in the sweep,
/// the bushing's spigot in it, 2 in. in the bushing. Hubless iron has no bushing: 4 in. of the larger pipe, out of the smaller
/// run, and a reducing coupling.
#[test]
fn a_smaller_tube_enters_a_turning_through_a_bushing() {
    let runs = format!("{HEAD}D,drain,3,N 5,sewer,,,,,,\nA,drain,2,up 4,D,,,,,,\n");
    takes(
        &runs,
        &[
            ("drain tube 3", "5"),
            ("drain long sweep 3", "1"),
            ("drain bushing 3 x 2", "1"),
            ("drain tube 2", "4"),
            ("drain test cap 2", "1"),
        ],
    );
    takes_in(
        "iron-coupled",
        &runs,
        &[
            ("drain tube 3", "5.3333"),
            ("drain long sweep 3", "1"),
            ("drain reducing coupling 3 x 2", "1"),
            ("drain tube 2", "3.6667"),
        ],
    );
}

/// (D10) A piece longer than ten feet is split: a coupling in PVC, one shielded coupling and no part in iron. 25 ft are
/// 10 + 10 + 5: two seams.
#[test]
fn a_split_of_hubless_iron_is_one_shielded_coupling_and_no_part() {
    let runs = format!("{HEAD}D,drain,3,N 25,sewer,,,,,,\n");
    takes(&runs, &[("drain tube 3", "25"), ("drain coupling 3", "2"), ("drain test cap 3", "1")]);
    let job = "item,value\ndrain system,iron-coupled\ncompare with,none\n";
    let lines = taken(&[("job", job), ("runs", &runs)], "iron-coupled");
    let is = |line: &str| lines.get(line).map(String::as_str);
    // 25 ft level: 25 / 5 = 5 hangers.
    assert_eq!(is("drain shielded coupling 3"), Some("2"));
    assert_eq!(is("drain pipe hanger 3"), Some("5"));
    assert_eq!(lines.keys().filter(|line| line.contains("coupling")).count(), 1);
}

/// (D12) Before the pour the riser is capped; cut off, the stack goes on from it: a coupling at the seam. The shower's riser
/// stays capped until its drain is set at trim.
#[test]
fn what_is_tested_before_the_pour_is_capped_cut_off_and_joined_again() {
    takes(
        &format!(
            "{HEAD}D,drain,3,\"N 6, up 1\",sewer,,,,,underground,\nS,drain,3,up 8,D,,roof,,,,\n\
             A,drain,2,E 4,D,3,Shower,,shower stall drain,underground,\n"
        ),
        &[
            ("underground drain tube 3", "7"),
            ("underground drain long sweep 3", "1"),
            ("underground drain combination 3 x 3 x 2", "1"),
            ("underground drain test cap 3", "1"),
            // The arm of 4 ft and 8 in. from the trap to the floor.
            ("underground drain tube 2", "4.6667"),
            ("underground drain P-trap 2", "1"),
            ("underground drain test cap 2", "1"),
            // 8 ft and a foot above the roof.
            ("drain tube 3", "9"),
            ("drain coupling 3", "1"),
            ("drain roof flashing", "1"),
            ("trim drain shower drain 2", "1"),
        ],
    );
}

/// (D11) At an upright end the turning under it stands for the closet bend; at a level one the closet bend is there. The mouth
/// of the flange is capped for the test at rough-in; bolts and ring come at trim.
#[test]
fn a_toilet_has_a_closet_bend_only_where_its_drain_ends_level() {
    let trim = [("trim drain closet bolts", "1"), ("trim drain wax ring", "1")];
    let common = [("drain closet flange 3", "1"), ("drain test cap 3", "1"), trim[0], trim[1]];
    takes(
        &format!("{HEAD}D,drain,3,N 6,sewer,,WC,,toilet drain,,\n"),
        &[&common[..], &[("drain tube 3", "6"), ("drain closet bend 3", "1")]].concat(),
    );
    takes(
        &format!("{HEAD}D,drain,3,\"N 6, up 1\",sewer,,WC,,toilet drain,,\n"),
        &[&common[..], &[("drain tube 3", "7"), ("drain long sweep 3", "1")]].concat(),
    );
}

/// (D4) Without a path a drain lies level, one whose rise is its length stands upright, a vent that says nothing goes up; what is
/// between is an error, and so is a drain that falls up the stream.
#[test]
fn without_a_path_the_rise_says_how_a_drain_lies() {
    let head = "run,service,size,length,joins,at,to,rise\n";
    takes(
        &format!("{head}D,drain,3,10,sewer,,,\nS,drain,3,8,D,,,8\nA,drain,2,3,S,2,,\nV,vent,3,9,S,,roof,\n"),
        &[
            ("drain tube 3", "18"),
            ("drain long sweep 3", "1"),
            ("drain sanitary tee 3 x 3 x 2", "1"),
            // The stack and its vent are one piece of 6 + 9 + 1 ft, listed under the stack: one coupling.
            ("drain coupling 3", "1"),
            ("drain tube 2", "3"),
            ("drain test cap 2", "1"),
            ("vent tube 3", "10"),
            ("vent roof flashing", "1"),
        ],
    );
    assert_eq!(told(&format!("{head}D,drain,3,10,sewer,,,4\n")), ["level-or-upright"]);
    assert_eq!(told(&format!("{head}D,drain,3,10,sewer,,,-10\n")), ["drain-goes-down"]);
}

/// (D3, 22) A vent may end at a vent, where it is one more child: level into an upright one a sanitary tee.
#[test]
fn a_vent_that_ties_back_takes_a_sanitary_tee() {
    takes(
        &format!(
            "{HEAD}S,drain,3,up 4,sewer,,,,,,\nV,vent,3,up 8,S,,roof,,,,\nA,drain,2,E 6,S,2,,,,,\n\
             VA,vent,1-1/2,\"up 5, W 6\",A,,V,3,,,\n"
        ),
        &[
            ("drain tube 3", "4"),
            ("drain sanitary tee 3 x 3 x 2", "1"),
            ("drain tube 2", "6"),
            ("vent tube 3", "9"),
            // The arm turns up: the sweep has the size of the drain, the vent enters by a bushing.
            ("vent quarter bend 2", "1"),
            ("vent bushing 2 x 1-1/2", "1"),
            ("vent tube 1-1/2", "11"),
            ("vent quarter bend 1-1/2", "1"),
            ("vent sanitary tee 3 x 3 x 1-1/2", "1"),
            ("vent roof flashing", "1"),
            // Stack and vent are one piece: 2 + 3 ft between the two tees.
        ],
    );
}

/// (D1) On the water side a path gives length, rise and turns; a 45-degree change is one eighth bend in copper and nothing in
/// plastic, and where a run goes on in another bearing an elbow stands at its beginning.
#[test]
fn a_path_of_water_gives_its_turns_and_eighth_bends() {
    let runs = "run,service,size,path (ft),joins,system\nA,cold,3/4,\"E 10, up 3, N 4, NE 2\",main,\nB,cold,3/4,NW 6,A,\n";
    let lines = taken(&[("runs", runs)], "copper-solder");
    let is = |line: &str| lines.get(line).map(String::as_str);
    // Turns at 10 and 13 ft, and where B leaves NE for NW; the eighth bend at 17 ft.
    assert_eq!(is("elbow 3/4"), Some("3"));
    assert_eq!(is("45 elbow 3/4"), Some("1"));
    assert_eq!(is("tube 3/4 type L"), Some("25"));
    let plastic = taken(&[("runs", runs)], "pex-clamp");
    assert!(!plastic.keys().any(|line| line.contains("elbow")));
}

/// (D1) What stands beside a path must agree with it.
#[test]
fn a_length_a_rise_or_turns_off_the_path_are_told() {
    let head = "run,service,size,path (ft),length,rise,turns,joins\n";
    let of = |row: &str| {
        let job = Job::from_texts(&[("runs", &format!("{head}{row}\n"))]);
        job.notices.iter().map(|notice| notice.kind).collect::<Vec<_>>()
    };
    assert_eq!(of("A,cold,1/2,\"E 4, up 2\",6.04,2,1,main"), Vec::<&str>::new());
    assert_eq!(of("A,cold,1/2,\"E 4, up 2\",6.05,,,main"), ["off-the-path"]);
    assert_eq!(of("A,cold,1/2,\"E 4, up 2\",,3,,main"), ["off-the-path"]);
    assert_eq!(of("A,cold,1/2,\"E 4, up 2\",,,2,main"), ["off-the-path"]);
    assert_eq!(of("A,cold,1/2,\"E 4, SW 2\",,,,main"), ["turned-back"]);
    assert_eq!(of("A,cold,1/2,\"E 4, W 2\",,,,main"), ["turned-back"]);
}

/// (D1) A place along a run may name its leg: `up 2` is two feet into the last leg that goes up.
#[test]
fn a_place_along_a_run_may_name_its_leg() {
    let of = |at: &str| {
        let runs =
            format!("{HEAD}D,drain,3,\"N 5, up 4, E 3, up 6\",sewer,,,,,,\nA,drain,2,W 3,D,{at},,,,,\n");
        let job = Job::from_texts(&[("runs", &runs)]);
        (
            job.runs[1].at.map(|at| at.to_string()),
            job.notices.iter().map(|notice| notice.kind).collect::<Vec<_>>(),
        )
    };
    assert_eq!(of("up 2"), of("14"));
    assert_eq!(of("up 7").1, ["not-on-the-path"]);
    assert_eq!(of("S 1").1, ["not-on-the-path"]);
}

/// A material by tables alone: hub and spigot iron, each joint caulked with lead and oakum (D10). Figures of 1918, public domain:
/// Dibble, Elements of Plumbing, soil-pipe fittings: 3 lb and 8 oz a joint of 4 in., 1-1/2 lb and 4 oz of 2 in.
#[test]
fn a_user_adds_hub_and_spigot_iron_with_lead_and_oakum_by_tables_alone() {
    let tables = [
        ("job", "item,value\ndrain system,iron-caulked\ncompare with,none\n"),
        ("runs", "run,service,size,path (ft),joins,at\nD,drain,4,N 12,sewer,\nA,drain,2,E 3,D,4\n"),
        (
            "systems",
            "system,side,tube,fit,joint,seam,stock length,least piece,turns\n\
             iron-caulked,drain,bell iron,bell,lead and oakum,joint,5 ft,6 in,elbow\n",
        ),
        ("sizes", "tube,size,order\nbell iron,2,2\nbell iron,4,4\n"),
        (
            "joints",
            "joint,size,part,amount,unit,per\nlead and oakum,2,lead,1.5,lb,1\nlead and oakum,2,oakum,4,oz,1\n\
             lead and oakum,4,lead,3,lb,1\nlead and oakum,4,oakum,8,oz,1\n",
        ),
        (
            "supports",
            "tube,size,across,up,part\nbell iron,2,5 ft,15 ft,pipe hanger\nbell iron,4,5 ft,15 ft,pipe hanger\n",
        ),
        ("parts", "part,ports,class,system\nlead,,consumable,bell iron\noakum,,consumable,bell iron\n"),
    ];
    ends_balance(&tables);
    // D is cut at 4 ft; of the 8 ft behind it 5 and 3 are one joint. Joints of 4 in.: two in the fitting and the seam; of
    // 2 in. one: 3 x 3 + 1.5 = 10.5 lb, 3 x 8 + 4 = 28 oz. 12 / 5 and 3 / 5: 3 and 1 hangers. Iron is tested with plugs.
    let paper = [
        ("drain combination 4 x 4 x 2", "1"),
        ("drain lead", "10.5"),
        ("drain oakum", "28"),
        ("drain pipe hanger 2", "1"),
        ("drain pipe hanger 4", "3"),
        ("drain tube 2", "3"),
        ("drain tube 4", "12"),
    ];
    let paper: BTreeMap<String, String> =
        paper.iter().map(|(line, need)| ((*line).to_owned(), (*need).to_owned())).collect();
    assert_eq!(taken(&tables, "iron-caulked"), paper);
}

/// (D14, 15) A washer box takes hot, cold and the standpipe, whichever run brings it: it is listed once, in the size of the water.
#[test]
fn a_washer_box_is_filled_from_both_sides_and_listed_in_the_size_of_the_water() {
    let runs = "run,service,size,length,joins,to,pattern\nC,cold,1/2,9,main,Washer,washer box\nH,hot,1/2,9,main,Washer,washer box\n\
                D,drain,2,5,sewer,Washer,washer drain\n";
    let tables = [("job", "item,value\ndrain system,pvc-cement\ncompare with,none\n"), ("runs", runs)];
    ends_balance(&tables);
    let lines = taken(&tables, "pex-clamp + pvc-cement");
    assert_eq!(lines.get("washer box 1/2").map(String::as_str), Some("1"));
    assert_eq!(lines.keys().filter(|line| line.contains("washer box")).count(), 1);
    assert!(!lines.keys().any(|line| line.contains("test cap")), "{lines:?}");
    let water = [("runs", "run,service,size,length,joins,to,pattern\nC,cold,1/2,9,main,Washer,washer box\n")];
    let told = estimate(&Job::from_texts(&water)).told;
    let ports: Vec<_> =
        told.iter().filter(|notice| notice.kind == "unfilled-port").map(|n| &n.found).collect();
    assert_eq!(ports, ["no run fills the hot opening of the washer box at \"Washer\""]);
}

/// (15, D14) A box that the table `places` says stands there is of the system of the alternative, as any other part: tube of
/// another system meets it by a transition and a least piece. One that a run brings is of that run, whoever else meets it.
#[test]
fn a_box_of_both_sides_follows_the_rules_of_water_on_its_water_side() {
    let job = ("job", "item,value\nwater system,copper-solder\ncompare with,none\n");
    let places = ("places", "place,pattern\nWasher,washer box\n");
    let runs = ("runs", "run,service,size,length,joins,to,system\nC,cold,1/2,9,main,Washer,pex-clamp\n");
    let lines = taken(&[job, places, runs], "copper-solder");
    let is = |line: &str| lines.get(line).map(String::as_str);
    // 2 in. of copper out of the box.
    assert_eq!(
        (is("copper transition 1/2"), is("tube 1/2 type L"), is("tube 1/2 blue")),
        (Some("1"), Some("0.1667"), Some("9"))
    );
    let runs = (
        "runs",
        "run,service,size,length,joins,to,pattern\nC,cold,1/2,9,main,Washer,\nM,mixed,1/2,9,main,Washer,washer box\n",
    );
    let lines = taken(&[job, runs], "copper-solder");
    assert_eq!(lines.get("mixed washer box 1/2").map(String::as_str), Some("1"));
    assert_eq!(lines.keys().filter(|line| line.contains("washer box")).count(), 1);
}

/// (18) Iron has no two-way cleanout: the alternative is incomplete, and the three joints of what will stand there are made.
#[test]
fn the_joints_of_a_fitting_that_a_system_lacks_are_made_nevertheless() {
    let runs = format!("{HEAD}D,drain,2,N 8,sewer,,,,,,\nC,drain,2,up 2,D,4,,,,,two-way cleanout\n");
    let job = Job::from_texts(&[
        ("job", "item,value\ndrain system,iron-coupled\ncompare with,none\n"),
        ("runs", &runs),
    ]);
    let estimate = estimate(&job);
    let takeoff = &estimate.alternatives[0].takeoff;
    assert_eq!((takeoff.missing.len(), takeoff.joints), (1, 3));
}

/// (D9) A trap larger than the pipe that enters it, in iron: 4 in. of the larger pipe out of the smaller, and a reducing
/// coupling. 6 ft less 4 in.; 4 in. and 6 in. of 3.
#[test]
fn a_port_larger_than_its_pipe_in_iron_takes_its_piece_out_of_the_pipe() {
    let tables = [
        ("job", "item,value\ndrain system,iron-coupled\ncompare with,none\n"),
        (
            "patterns",
            "pattern,part,quantity,per,size\nwide,P-trap,1,end,3\nwide,tube,6 in,end,\nwide,floor drain body,1,end,3\n",
        ),
        ("runs", &format!("{HEAD}D,drain,2,N 6,sewer,,,,wide,,\n")),
    ];
    ends_balance(&tables);
    let paper = [
        ("drain tube 2", "5.6667"),
        ("drain tube 3", "0.8333"),
        ("drain reducing coupling 3 x 2", "1"),
        ("drain P-trap 3", "1"),
        ("drain floor drain body 3", "1"),
        ("drain shielded coupling 2", "1"),
        // At the reducing coupling, on both sides of the trap, at the body.
        ("drain shielded coupling 3", "4"),
        ("drain pipe hanger 2", "2"),
    ];
    crate::odd_ends::takes(&tables, "iron-coupled", &paper);
}

/// (D7, D9) PVC of 3 turns off iron of 4: the bend is of iron, in 4; 4 in. of it, a reducing coupling, 4 in. of iron 3, the
/// transition; 5 ft less 8 in. of PVC. Of 3 the order has 0.3333 ft of iron and 4.3333 ft of PVC.
#[test]
fn a_smaller_run_of_another_system_behind_a_bend_of_iron_begins_with_two_pieces_of_iron() {
    let runs = "run,service,size,path (ft),joins,system\nD,drain,4,N 5,sewer,\nE,drain,3,NE 5,D,pvc-cement\n";
    let tables = [("job", "item,value\ndrain system,iron-coupled\ncompare with,none\n"), ("runs", runs)];
    ends_balance(&tables);
    let lines = taken(&tables, "iron-coupled");
    let is = |line: &str| lines.get(line).map(String::as_str);
    assert_eq!((is("drain eighth bend 4"), is("drain reducing coupling 4 x 3")), (Some("1"), Some("1")));
    assert_eq!((is("drain tube 4"), is("drain tube 3")), (Some("5.3333"), Some("4.6666")));
    // The bend 2, the reducing coupling 1; the reducing coupling 1.
    assert_eq!(is("drain shielded coupling 4"), Some("3"));
}

/// (1, D1) A place on a leg is a distance: without a run that is joined, or at a place, it is an error as any other. A length that
/// cannot be read is told as that alone.
#[test]
fn a_place_on_a_leg_of_nothing_is_an_error_and_an_unread_length_is_told_once() {
    let errors = |rows: &str| -> Vec<&str> {
        let runs = format!("run,service,size,path,length,joins,at,to,to at\n{rows}");
        let tables = [("job", "item,value\ndrain system,pvc-cement\ncompare with,none\n"), ("runs", &runs)];
        let job = Job::from_texts(&tables);
        let of_estimate = estimate(&job).notices.into_iter().filter(coilstick::ground::Notice::is_error);
        let of_job = job.notices.iter().filter(|notice| notice.is_error()).cloned();
        let mut kinds: Vec<&str> = of_job.chain(of_estimate).map(|notice| notice.kind).collect();
        kinds.sort_unstable();
        kinds.dedup();
        kinds
    };
    assert_eq!(errors("D,drain,3,N 8,,,up 2,,\n"), ["distance-without-run"]);
    assert_eq!(errors("D,drain,3,N 8,,sewer,up 2,,\n").len(), 1);
    assert_eq!(errors("D,drain,3,N 8,,sewer,,,\n"), [""; 0]);
    let unread = errors("D,drain,3,N 8,nine,sewer,,,\n");
    assert!(unread.len() == 1 && unread[0] != "off-the-path", "{unread:?}");
}
