//! Joints by system, size, phase and area are the joints of the balance.

use std::collections::BTreeMap;
use std::path::Path;

use coilstick::estimate::take_off;
use coilstick::estimate::takeoff::{JointKind, Takeoff};
use coilstick::trade::Job;

/// Each system and size: sockets that are filled or declared, against joints made.
fn balances(takeoff: &Takeoff) {
    let mut made: BTreeMap<_, i64> = BTreeMap::new();
    let mut of_tube = 0;
    for joint in &takeoff.made {
        match joint.kind {
            JointKind::Tube => of_tube += joint.count,
            JointKind::Compression => {}
            JointKind::Thread => continue,
        }
        *made.entry((joint.system, joint.size)).or_default() += joint.count;
    }
    for balance in &takeoff.balance {
        let joints = made.remove(&(balance.system, balance.size)).unwrap_or_default();
        assert_eq!(joints, balance.filled + balance.declared, "{balance:?}");
    }
    assert!(made.values().all(|count| *count == 0), "{made:?}");
    assert_eq!(of_tube, takeoff.joints);
}

#[test]
fn joints_made_are_the_sockets_that_the_balance_says_are_filled() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut alternatives = 0;
    for folder in ["examples", "tests/by-hand"] {
        for entry in std::fs::read_dir(root.join(folder)).unwrap() {
            let path = entry.unwrap().path();
            let inside = path.join("guest-lodge.xlsx");
            let Ok(job) = Job::read(if inside.exists() { &inside } else { &path }) else { continue };
            for takeoff in take_off(&job).takeoffs {
                balances(&takeoff);
                assert!(takeoff.joints > 0, "{}", path.display());
                alternatives += 1;
            }
        }
    }
    assert!(alternatives >= 10, "{alternatives}");
}

#[test]
fn joints_carry_the_phase_and_area_of_their_run() {
    let job = Job::from_texts(&[(
        "runs",
        "run,service,size,length,turns with elbow,turns,area,phase\n\
         A,cold,3/4,10,2,2,bath,\nB,cold,3/4,10,1,1,kitchen,trim\n",
    )]);
    let taken = take_off(&job);
    let of = |area: &str| {
        let made = taken.takeoffs[0].made.iter().filter(|made| job.lexicon.text(made.area) == area);
        made.map(|made| (made.phase.word(), made.count)).collect::<Vec<_>>()
    };
    // A: two elbows, four joints; B: one elbow, two. Their ends are met elsewhere.
    assert_eq!(of("bath"), [("rough-in", 4)]);
    assert_eq!(of("kitchen"), [("trim", 2)]);
}

#[test]
fn the_joints_of_a_fitting_built_from_others_have_their_hours() {
    // Nobody sells the tee 3/4 x 3/4 x 1/2: it is a tee of 3/4 with a piece of tube and a reducing coupling in its branch,
    // two joints of 3/4 more than the three of the tee itself.
    let job = Job::from_texts(&[
        ("job", "item,value\nwater system,pex-clamp\ncompare with,none\nturns in plastic,bend\n"),
        ("runs", "run,service,size,length,joins,at\nA,cold,3/4,10,,\nB,cold,1/2,10,A,5\n"),
        (
            "prices",
            "supplier,part,size,price,sold as,pack\nInvented,tube,3/4,30,coil,100 ft\nInvented,tube,1/2,20,coil,100 ft\n\
             Invented,tee,3/4 x 3/4 x 3/4,2,,\nInvented,reducing coupling,3/4 x 1/2,1,,\nInvented,cap,1/2,1,,\n\
             Invented,cap,3/4,1,,\nInvented,clamp ring,3/4,0.2,,\nInvented,clamp ring,1/2,0.2,,\n\
             Invented,tube clip,3/4,0.1,,\nInvented,tube clip,1/2,0.1,,\n",
        ),
        ("labor", "per,system,hours\njoint,pex-clamp,0.1\n"),
    ]);
    let estimate = coilstick::estimate::estimate(&job);
    let chosen = &estimate.alternatives[0];
    let [built] = &chosen.built[..] else { panic!("{:?}", chosen.built) };
    assert_eq!((built.count, built.joints()), (1, 2));
    let joints = |by_plan: bool| -> rust_decimal::Decimal {
        let lines = chosen.labor.lines.iter().filter(|line| line.by_plan == by_plan);
        lines.filter(|line| line.per == coilstick::trade::WorkPer::Joint).map(|line| line.quantity).sum()
    };
    assert_eq!(joints(false), chosen.takeoff.joints.into());
    assert_eq!(joints(true), 2.into());
    assert_eq!(estimate.comparison.installed[0].joints, chosen.takeoff.joints + 2);
}
