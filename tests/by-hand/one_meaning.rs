//! One meaning of rows and names, a rule a job, worked out on paper: one tube in two systems, what is bridged before a later
//! phase, two turns at one point, names by whole words, inlets of a manifold, rows that leave variant and color open. The
//! number in brackets is the rule. Common practice, built-in tables; systems, parts and prices of the cases are invented.

use coilstick::estimate::Alternative;
use coilstick::estimate::estimate;
use coilstick::estimate::unit_prices;
use coilstick::ground::{Length, LengthUnit};
use coilstick::trade::Job;

use crate::odd_ends::takes;

const PEX: &str = "pex-clamp";
const COPPER: &str = "copper-solder";
const PRESS: (&str, &str) = ("job", "item,value\nwater system,copper-press\ncompare with,copper-solder-m\n");

/// (18) Type L is the tube of both: the coupling of the soldered run takes it on both sides. Joints of 3/4: coupling 2,
/// soldered; the cap of the second run is pressed. Solder 2 x 0.00548 = 0.01096 lb. Straps: 10/6 and 6/6 up: 2 + 1.
#[test]
fn soldered_copper_goes_on_in_pressed_copper_with_a_soldered_coupling() {
    let runs =
        "run,service,size,length,joins,system\nC1,cold,3/4,10 ft,main,\nC2,cold,3/4,6 ft,C1,copper-press\n";
    takes(
        &[("runs", runs)],
        COPPER,
        &[
            ("tube 3/4 type L", "16"),
            ("coupling 3/4", "1"),
            ("cap 3/4", "1"),
            ("solder", "0.011"),
            ("flux", "0.0219"),
            ("tube strap 3/4", "3"),
        ],
    );
}

/// (18) The pressed branch sits in the cups of the tee, soldered: no transition and no least piece. Joints of 3/4: tee 3 and
/// the trunk's cap 1, soldered; the branch's cap is pressed. Solder 4 x 0.00548 = 0.02192 lb, flux 4 x 0.01096 = 0.04384.
#[test]
fn pressed_copper_behind_a_soldered_tee_is_soldered_in_its_cup() {
    let runs = "run,service,size,length,joins,at,system\nC1,cold,3/4,10 ft,main,,\nC2,cold,3/4,6 ft,C1,5 ft,copper-press\n";
    takes(
        &[("runs", runs)],
        COPPER,
        &[
            ("tube 3/4 type L", "16"),
            ("tee 3/4 x 3/4 x 3/4", "1"),
            ("cap 3/4", "2"),
            ("solder", "0.0219"),
            ("flux", "0.0438"),
            ("tube strap 3/4", "3"),
        ],
    );
}

/// (18) The other way about the tee is pressed, and all that sits in it: solder is for the cap of the soldered branch alone.
#[test]
fn soldered_copper_behind_a_pressed_tee_is_pressed() {
    let runs = "run,service,size,length,joins,at,system\nC1,cold,3/4,10 ft,main,,\nC2,cold,3/4,6 ft,C1,5 ft,copper-solder\n";
    takes(
        &[("runs", runs), PRESS],
        "copper-press",
        &[
            ("tube 3/4 type L", "16"),
            ("tee 3/4 x 3/4 x 3/4", "1"),
            ("cap 3/4", "2"),
            ("solder", "0.0055"),
            ("flux", "0.011"),
            ("tube strap 3/4", "3"),
        ],
    );
}

/// (18) Type M and pressed type L have neither fit nor variant in common: a transition. It is soldered to type M: with the
/// pressed cap that is one joint of solder.
#[test]
fn type_m_meets_pressed_type_l_by_a_transition() {
    let runs =
        "run,service,size,length,joins,system\nC1,cold,3/4,10 ft,main,\nC2,cold,3/4,6 ft,C1,copper-press\n";
    takes(
        &[("runs", runs), PRESS],
        "copper-solder-m",
        &[
            ("tube 3/4 type M", "10"),
            ("tube 3/4 type L", "6"),
            ("press transition 3/4", "1"),
            ("cap 3/4", "1"),
            ("solder", "0.0055"),
            ("flux", "0.011"),
            ("tube strap 3/4", "3"),
        ],
    );
}

const LATE: &str =
    "part,ports,class\nlate box,cold: joint 1/2,device\ncopper box,cold: cup joint 1/2,device\n";
const LATE_PATTERNS: &str = "pattern,part,quantity,per,phase\nlate box,late box,1,place,trim\ncopper box,copper box,1,place,trim\n\
    shut,cap,1,end,rough-in\n";

/// (15, 16) The box comes at trim and is of 1/2: the reducer and 2 in. of 1/2 tube stand at rough-in, capped in 1/2. Rings:
/// 3/4 the reducer 1; 1/2 the reducer 1 and the cap 1, at trim the box 1. Clips 120/32: 4.
#[test]
fn the_reducer_before_a_later_part_stands_at_rough_in_capped_in_its_size() {
    let runs = "run,service,size,length,joins,to,pattern\nC1,cold,3/4,10 ft,main,wall,late box\n";
    let paper = [
        ("tube 3/4 blue", "10"),
        ("tube 1/2 blue", "0.1667"),
        ("reducing coupling 3/4 x 1/2", "1"),
        ("cap 1/2", "1"),
        ("clamp ring 3/4", "1"),
        ("clamp ring 1/2", "2"),
        ("trim late box 1/2", "1"),
        ("trim clamp ring 1/2", "1"),
        ("tube clip 3/4", "4"),
    ];
    takes(&[("runs", runs), ("parts", LATE), ("patterns", LATE_PATTERNS)], PEX, &paper);
    // A cap that the pattern writes is the same cap: of the tube that stands open then.
    let runs = "run,service,size,length,joins,to,pattern\nC1,cold,3/4,10 ft,main,wall,late box; shut\n";
    takes(&[("runs", runs), ("parts", LATE), ("patterns", LATE_PATTERNS)], PEX, &paper);
}

/// (15, 16) The box takes soldered copper: the transition and 2 in. of copper stand at rough-in under a soldered cap. Solder
/// of 1/2: transition and cap 2 x 0.00261 = 0.00522 lb, at trim the box 0.00261. Rings: the transition 1.
#[test]
fn the_transition_before_a_later_part_stands_at_rough_in_capped_in_its_system() {
    let paper = [
        ("tube 1/2 blue", "10"),
        ("tube 1/2 type L", "0.1667"),
        ("copper transition 1/2", "1"),
        ("cap 1/2", "1"),
        ("clamp ring 1/2", "1"),
        ("solder", "0.0052"),
        ("flux", "0.0104"),
        ("trim copper box 1/2", "1"),
        ("trim solder", "0.0026"),
        ("trim flux", "0.0052"),
        ("tube clip 1/2", "4"),
    ];
    for pattern in ["copper box", "copper box; shut"] {
        let runs =
            format!("run,service,size,length,joins,to,pattern\nC1,cold,1/2,10 ft,main,wall,{pattern}\n");
        takes(&[("runs", &runs), ("parts", LATE), ("patterns", LATE_PATTERNS)], PEX, &paper);
    }
}

/// (15, 16) A run of the tie-in has nothing before it: all that bridges is of the tie-in too.
#[test]
fn what_is_bridged_on_a_later_run_stands_in_the_phase_of_the_run() {
    let runs =
        "run,service,size,length,joins,to,pattern,phase\nC1,cold,3/4,10 ft,main,wall,late box,tie-in\n";
    takes(
        &[("runs", runs), ("parts", LATE), ("patterns", LATE_PATTERNS)],
        PEX,
        &[
            ("tie-in tube 3/4 blue", "10"),
            ("tie-in tube 1/2 blue", "0.1667"),
            ("tie-in reducing coupling 3/4 x 1/2", "1"),
            ("tie-in cap 1/2", "1"),
            ("tie-in clamp ring 3/4", "1"),
            ("tie-in clamp ring 1/2", "2"),
            ("trim late box 1/2", "1"),
            ("trim clamp ring 1/2", "1"),
            ("tie-in tube clip 3/4", "4"),
        ],
    );
}

/// (16, 17) A part without a size of its own is of the size of its run, whatever tube stands open; a cap alone is of the tube
/// that it finds. The gauge sits on 3/4: a reducer and 2 in. lead back to it. Rings: 3/4 both reducers and the gauge 3; 1/2
/// both reducers 2. Clips 120/32: 4.
#[test]
fn a_part_that_shuts_a_tube_and_is_no_cap_is_of_the_size_of_its_run() {
    let runs = "run,service,size,length,joins,pattern\nC1,cold,3/4,10 ft,main,necked\n";
    let parts = "part,ports,class\ntest gauge,joint,device\n";
    let patterns = "pattern,part,quantity,per,size\nnecked,reducing coupling,1,end,3/4 x 1/2\n\
        necked,tube,2 in,end,\nnecked,test gauge,1,end,\n";
    takes(
        &[("runs", runs), ("parts", parts), ("patterns", patterns)],
        PEX,
        &[
            ("tube 3/4 blue", "10.1667"),
            ("tube 1/2 blue", "0.1667"),
            ("reducing coupling 3/4 x 1/2", "2"),
            ("test gauge 3/4", "1"),
            ("clamp ring 3/4", "3"),
            ("clamp ring 1/2", "2"),
            ("tube clip 3/4", "4"),
        ],
    );
}

/// (9, 4) Two elbows at 4 ft: the second stands a least piece on, at 4 ft 2 in. Pieces: 4 ft, 2 in., 5 ft 10 in. Solder: two
/// elbows and the cap, 5 x 0.00548 = 0.0274 lb. In tube that bends the places matter to nothing: one piece, one ring.
#[test]
fn two_turns_at_one_point_are_two_turns() {
    let runs = "run,service,size,length,joins,turns,turns at\nC1,cold,3/4,10 ft,main,2,4 ft; 4 ft\n";
    takes(
        &[("runs", runs)],
        COPPER,
        &[
            ("tube 3/4 type L", "10"),
            ("elbow 3/4", "2"),
            ("cap 3/4", "1"),
            ("solder", "0.0274"),
            ("flux", "0.0548"),
            ("tube strap 3/4", "2"),
        ],
    );
    takes(
        &[("runs", runs)],
        PEX,
        &[("tube 3/4 blue", "10"), ("cap 3/4", "1"), ("clamp ring 3/4", "1"), ("tube clip 3/4", "4")],
    );
    let job = Job::from_texts(&[("runs", runs)]);
    let estimate = estimate(&job);
    let pieces = |of: &Alternative| {
        let mut list: Vec<Length> = of.takeoff.pieces.iter().map(|piece| piece.length).collect();
        list.sort_unstable();
        list
    };
    let inches = |list: &[i64]| list.iter().map(|n| Length::whole(*n, LengthUnit::Inch)).collect::<Vec<_>>();
    assert_eq!(pieces(&estimate.alternatives[0]), inches(&[120]));
    assert_eq!(pieces(&estimate.alternatives[1]), inches(&[2, 48, 70]));
}

const HEADERS: &str = "part,ports,class\n\
    \"header of 1\",\"in: joint 3/4, joint 1/2\",manifold\n\
    \"header of 12\",\"in: joint 3/4, joint 1/2, joint 1/2, joint 1/2\",manifold\n\
    \"header with return\",\"in: joint 3/4, in: joint 3/4, joint 1/2, joint 1/2\",manifold\n";

/// (23) Two runs end at the header: only the one with two inlets serves, though each other has outlets enough. Its spare outlet
/// is capped. Rings: 3/4 the inlets 2; 1/2 the run 1 and the spare's cap 1, the cap of the run's own end 1.
#[test]
fn a_second_run_that_ends_at_a_manifold_needs_a_second_inlet() {
    let runs = "run,service,size,length,joins,to,pattern\n\
        C1,cold,3/4,10 ft,main,board,board\nC2,cold,3/4,10 ft,main,board,board\nC3,cold,1/2,10 ft,board,,\n";
    let patterns = "pattern,part,quantity,per\nboard,header,1,place\n";
    takes(
        &[("runs", runs), ("parts", HEADERS), ("patterns", patterns)],
        PEX,
        &[
            ("tube 3/4 blue", "20"),
            ("tube 1/2 blue", "10"),
            ("header with return 3/4 x 1/2", "1"),
            ("cap 1/2", "2"),
            ("clamp ring 3/4", "2"),
            ("clamp ring 1/2", "3"),
            ("tube clip 3/4", "8"),
            ("tube clip 1/2", "4"),
        ],
    );
}

/// Tube named red or blue at 60.00 a hundred feet and tube of any color at 50.00: what is left open is for any, and the
/// cheaper is bought. 10 ft of 3/4 need one coil.
#[test]
fn an_offer_that_leaves_color_or_variant_open_competes_by_price() {
    let runs = "run,service,size,length,joins\nC1,cold,3/4,10 ft,main\n";
    let prices = "supplier,part,size,price,system,variant,color,sold as,pack\n\
        Hilltop,tube,3/4,60.00,pex,,blue,coil,100 ft\n\
        Hilltop,tube,3/4,50.00,pex,,,coil,100 ft\n\
        Hilltop,tube,3/4,40.00,copper,type L,,stick,10 ft\n\
        Hilltop,tube,3/4,30.00,copper,,,stick,10 ft\n";
    let job = Job::from_texts(&[("runs", runs), ("prices", prices)]);
    let estimate = estimate(&job);
    let paid = |of: &Alternative| {
        let tube = of.order.iter().find(|line| estimate.items.get(line.item).is_length());
        tube.and_then(|line| line.extended).map(|sum| sum.normalize().to_string())
    };
    assert_eq!(paid(&estimate.alternatives[0]).as_deref(), Some("50"));
    assert_eq!(paid(&estimate.alternatives[1]).as_deref(), Some("30"));
}

/// A row that names no system says by its variant or color what it is for: copper at 5.00 and red tube at 4.00 a coil are no
/// plastic for cold water, nor is the coil copper.
#[test]
fn a_row_without_a_system_is_not_for_a_tube_that_has_no_such_variant_or_color() {
    let runs = "run,service,size,length,joins\nC1,cold,3/4,10 ft,main\n";
    let prices = "supplier,part,size,price,variant,color,sold as,pack\n\
        Hilltop,tube,3/4,60.00,,blue,coil,100 ft\nHilltop,tube,3/4,4.00,,red,coil,100 ft\n\
        Hilltop,tube,3/4,5.00,type L,,stick,10 ft\n";
    let job = Job::from_texts(&[("runs", runs), ("prices", prices)]);
    let estimate = estimate(&job);
    let paid = |of: &Alternative| {
        let tube = of.order.iter().find(|line| estimate.items.get(line.item).is_length());
        tube.and_then(|line| line.extended).map(|sum| sum.normalize().to_string())
    };
    assert_eq!(paid(&estimate.alternatives[0]).as_deref(), Some("60"));
    assert_eq!(paid(&estimate.alternatives[1]).as_deref(), Some("5"));
}

/// A fixture that takes no water counts for nothing, which is no mistake.
#[test]
fn units_of_nothing_are_nothing() {
    let runs = "run,service,size,length,joins\nC1,cold,3/4,10 ft,main\n";
    let fixtures = "fixture,units,flow\nfloor sink,0,0\nbar sink,-1,\n";
    let job = Job::from_texts(&[("runs", runs), ("fixtures", fixtures)]);
    let errors = job.notices.iter().filter(|notice| notice.is_error());
    let errors: Vec<String> = errors.map(|one| one.spots[0].to_string()).collect();
    assert_eq!(errors, ["fixtures.csv:B3"]);
    let word = job.lexicon.find("floor sink").unwrap();
    let sink = job.catalog.fixtures.iter().find(|one| one.fixture == word).unwrap();
    assert_eq!((sink.units, sink.flow), (Some(0.into()), Some(0.into())));
}

/// A part on copper that leads to plastic and one on plastic that leads to copper are one thing, by either name: 4.00.
#[test]
fn a_transition_is_found_by_the_name_of_the_one_that_leads_the_other_way() {
    let runs = "run,service,size,length,joins,system\nC1,cold,3/4,10 ft,main,copper-solder\nC2,cold,3/4,6 ft,C1,pex-clamp\n";
    let price = |system: &str| {
        let prices = format!(
            "supplier,part,size,price,system\nHilltop,copper transition,3/4,4.00,{system}\nHilltop,copper transition,3/4,2.00,pex-expansion\n"
        );
        let job = Job::from_texts(&[("runs", runs), ("prices", &prices)]);
        let estimate = estimate(&job);
        let called = |line: &coilstick::estimate::OrderLine| {
            &*job.catalog.part(estimate.items.get(line.item).part).name == "pex transition"
        };
        let line = estimate.alternatives[0].order.iter().find(|line| called(line)).unwrap();
        line.extended.map(|sum| sum.normalize().to_string())
    };
    // The word of its row may be the system, the tube or the fit.
    for system in ["pex-clamp", "pex", "barb"] {
        assert_eq!(price(system).as_deref(), Some("4"), "{system}");
    }
    assert_eq!(price("cpvc-cement"), None);
}

/// The valve's spout outlet takes soldered copper: three rings at 0.50 and 0.00261 lb of solder at 20.00 with 0.00522 oz of
/// flux at 1.00: 1.50 + 0.0522 + 0.00522 = 1.55742, to 4 places 1.5574. (All in plastic it would be four rings: 2.00.)
#[test]
fn a_unit_price_asks_for_the_own_joint_of_each_opening() {
    let runs = "run,service,size,length,joins,to,pattern\n\
        C1,cold,1/2,10 ft,main,bath,tub with shower\nH1,hot,1/2,10 ft,main,bath,tub with shower\n\
        X1,mixed,1/2,4 ft,bath,head,shower riser\nX2,mixed,1/2,2 ft,bath,spout,spout drop\n";
    let prices = "supplier,part,size,price,system,variant,sold as,pack\n\
        Hilltop,tub and shower valve,1/2,100.00,,,,\n\
        Hilltop,clamp ring,1/2,0.50,,,,\n\
        Hilltop,solder,,20.00,,,,1 lb\n\
        Hilltop,flux,,1.00,,,,1 oz\n";
    let job = Job::from_texts(&[("runs", runs), ("prices", prices)]);
    let estimate = estimate(&job);
    let (parts, _) = unit_prices(&job, &estimate.items, &estimate.alternatives[0]);
    let is_valve = |item| &*job.catalog.part(estimate.items.get(item).part).name == "tub and shower valve";
    let valve = parts.iter().find(|one| is_valve(one.item)).unwrap();
    assert_eq!(valve.joints.to_string(), "1.5574");
}
