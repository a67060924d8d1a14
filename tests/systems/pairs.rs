//! Every ordered pair of built-in water systems meets: at a tee, at a seam, at a reducer, at a thread.

use coilstick::estimate::takeoff::Because;

use crate::house::{house, water_systems};

/// A trunk and what ties into it in another system: between its ends, and at its end in the same size or a smaller one.
fn runs(parent: &str, child: &str, at_end: &str) -> String {
    format!(
        "run,service,size,length,joins,at,to,system,pattern\n\
         C1,cold,3/4,20,main,,,{parent},\n\
         C2,cold,1/2,10,C1,8,sink,{child},fixture supply\n\
         C3,cold,{at_end},10,C1,,lavatory,{child},fixture supply\n"
    )
}

#[test]
fn every_two_systems_meet_with_nothing_missing() {
    let systems = water_systems();
    assert!(systems.len() >= 7);
    let mut pairs = 0;
    for parent in &systems {
        for child in &systems {
            for at_end in ["3/4", "1/2"] {
                let made = house(std::slice::from_ref(parent), &[("runs", &runs(parent, child, at_end))]);
                made.is_whole(&format!("{child} from {parent}, {at_end} at the end"), &[]);
                pairs += 1;
            }
        }
    }
    assert_eq!(pairs, 2 * systems.len() * systems.len());
}

#[test]
fn a_transition_stands_where_the_tube_of_one_does_not_sit_in_the_fittings_of_the_other() {
    let systems = water_systems();
    // Tube, fit and variant, as written in the table `systems`: one tube needs none where one of the other two is the same.
    let made_of = |name: &str| match name {
        "pex-clamp" | "pex-crimp" => ("pex", "barb", ""),
        "pex-expansion" => ("pex", "expansion", "PEX-a"),
        "copper-solder" => ("copper", "cup", "type L"),
        "copper-solder-m" => ("copper", "cup", "type M"),
        "copper-press" => ("copper", "press", "type L"),
        "cpvc-cement" => ("cpvc", "socket", ""),
        other => panic!("what is {other} made of?"),
    };
    let sits = |a: (&str, &str, &str), b: (&str, &str, &str)| a.0 == b.0 && (a.1 == b.1 || a.2 == b.2);
    for parent in &systems {
        for child in &systems {
            let made = house(std::slice::from_ref(parent), &[("runs", &runs(parent, child, "3/4"))]);
            let takeoff = &made.alternatives[0].takeoff;
            let lines = takeoff.lines.iter();
            let transitions: i64 = lines
                .filter(|line| matches!(line.because, Because::Transition(_)) && line.joint.is_none())
                .map(|line| line.count)
                .sum();
            let wanted = if sits(made_of(parent), made_of(child)) { 0 } else { 2 };
            assert_eq!(transitions, wanted, "{child} from {parent}");
        }
    }
}

#[test]
fn a_crimp_branch_of_a_clamp_trunk_takes_its_own_ring_in_the_tee() {
    let made = house(&["pex-clamp".to_owned()], &[("runs", &runs("pex-clamp", "pex-crimp", "3/4"))]);
    let of = &made.alternatives[0];
    // Clamp rings: two of the tee, one of the coupling at the seam.
    assert_eq!(made.count(of, "clamp ring"), 3);
    // Crimp rings: the branch of the tee, the other side of the coupling, two stub-outs.
    assert_eq!(made.count(of, "crimp ring"), 4);
    assert_eq!(made.count(of, "coupling"), 1);
}

#[test]
fn a_seam_from_type_l_to_type_m_is_a_coupling() {
    let made =
        house(&["copper-solder".to_owned()], &[("runs", &runs("copper-solder", "copper-solder-m", "3/4"))]);
    let of = &made.alternatives[0];
    assert_eq!(made.count(of, "coupling"), 1);
    // Three of the tee, two of the coupling, two stub-outs; no least piece of type L before the type M.
    assert_eq!(of.takeoff.joints, 7);
    let text = |line: &coilstick::estimate::takeoff::Line| {
        made.job.lexicon.text(made.items.get(line.item).variant).to_owned()
    };
    let of_m = of.takeoff.lines.iter().filter(|line| text(line) == "type m" || text(line) == "type M");
    let feet: i64 = of_m.map(|line| line.count).sum();
    assert_eq!(feet, 20 * 304_800_000);
}

/// A system in millimetres by a few rows: its system, sizes, joint, supports, ring; no transition of its own.
const MILLIMETRES: [(&str, &str); 4] = [
    ("systems", "system,side,tube,fit,joint,turns\nmetric-ring,water,metric,metric ring,metric ring,bend\n"),
    ("sizes", "tube,size,order\nmetric,15 mm,15\nmetric,22 mm,22\nmetric,1/2,15.5\nmetric,3/4,22.5\n"),
    ("joints", "joint,size,part,amount,unit,per\nmetric ring,,metric ring,1,each,1\n"),
    (
        "parts",
        "part,ports,class,used as,system\n\
         metric ring,,ring,,metric\n\
         metric clip,,support,,metric\n\
         metric transition,\"joint, metric ring joint\",fitting,transition,\n",
    ),
];

#[test]
fn a_system_of_ones_own_meets_every_other_by_one_transition() {
    for other in water_systems() {
        for (parent, child) in [("metric-ring", other.as_str()), (other.as_str(), "metric-ring")] {
            let supports = "tube,size,across,up,part\n\
                metric,15 mm,2 ft,4 ft,metric clip\nmetric,22 mm,2 ft,4 ft,metric clip\n\
                metric,1/2,2 ft,4 ft,metric clip\nmetric,3/4,2 ft,4 ft,metric clip\n";
            let list = runs(parent, child, "3/4");
            let mut tables = vec![("runs", list.as_str()), ("supports", supports)];
            tables.extend(MILLIMETRES);
            let made = house(&[parent.to_owned()], &tables);
            let takeoff = &made.alternatives[0].takeoff;
            assert!(takeoff.missing.is_empty(), "{child} from {parent}: {:?}", takeoff.missing);
            crate::house::balances(&format!("{child} from {parent}"), takeoff);
            let transition: i64 = takeoff
                .lines
                .iter()
                .filter(|line| matches!(line.because, Because::Transition(_)) && line.joint.is_none())
                .map(|line| line.count)
                .sum();
            assert_eq!(transition, 2, "{child} from {parent}");
        }
    }
}
