//! Every built-in pattern in every built-in water system: built, balanced, complete, priced; and the parts of some counted
//! by hand.

use std::collections::BTreeSet;

use coilstick::estimate::Alternative;
use coilstick::estimate::takeoff::EndMet;
use coilstick::trade::Job;

use crate::house::{House, house, water_systems};

const HEAD: &str = "run,service,size,length,joins,at,to,pattern,fixture,turns,holes,sleeves,tees,elbows,couplings,reducers,caps,reduce to,phase,system,rise\n";

/// A run list in which each pattern stands as it is meant: the patterns, then the rows.
const JOBS: [(&[&str], &str); 34] = [
    (
        &["service entry", "trunk"],
        "C1,cold,SIZE,30,main,,,service entry; trunk\nC2,cold,1/2,9,C1,,sink,branch\n",
    ),
    (&["existing service"], "C1,cold,SIZE,30,street,,,existing service,meter\n"),
    (&["tie-in"], "C1,cold,SIZE,30,main,,old main,tie-in\n"),
    (
        &["temporary cap"],
        "C1,cold,SIZE,30,main,,,temporary cap\nC2,cold,SIZE,9,C1,,sink,fixture supply,,,,,,,,,,,tie-in\n",
    ),
    (
        &["branch", "fixture supply"],
        "C1,cold,SIZE,30,main,,,branch\nC2,cold,SIZE,9,C1,,sink,fixture supply\n",
    ),
    (&["toilet", "stub-out bracket"], "C1,cold,SIZE,20,main,,toilet,toilet; stub-out bracket\n"),
    (&["lavatory"], "C1,cold,SIZE,20,main,,lavatory,lavatory\nH1,hot,SIZE,20,main,,lavatory,lavatory\n"),
    (&["kitchen sink"], "C1,cold,SIZE,20,main,,sink,kitchen sink\nH1,hot,SIZE,20,main,,sink,kitchen sink\n"),
    (&["laundry tub"], "C1,cold,SIZE,20,main,,tub,laundry tub\nH1,hot,SIZE,20,main,,tub,laundry tub\n"),
    (&["dishwasher", "hammer arrester"], "H1,hot,SIZE,20,main,,dishwasher,dishwasher; hammer arrester\n"),
    (
        &["washer box"],
        "C1,cold,SIZE,20,main,,washer,washer box; hammer arrester\nH1,hot,SIZE,20,main,,washer,washer box; hammer arrester\n",
    ),
    (&["ice maker"], "C1,cold,SIZE,20,main,,ice maker,ice maker\n"),
    (&["ice maker with line"], "C1,cold,SIZE,20,main,,ice maker,ice maker with line\n"),
    (&["hose bibb", "vacuum breaker"], "C1,cold,SIZE,20,main,,bibb,hose bibb; vacuum breaker\n"),
    (
        &["freeze-proof bibb", "stop and waste"],
        "C1,cold,SIZE,20,main,,bibb,stop and waste; freeze-proof bibb\n",
    ),
    (
        &["shower valve", "shower riser"],
        "C1,cold,SIZE,20,main,,shower,shower valve\nH1,hot,SIZE,20,main,,shower,shower valve\nX1,mixed,SIZE,4,shower,,shower head,shower riser\n",
    ),
    (
        &["tub valve", "tub spout"],
        "C1,cold,SIZE,20,main,,tub,tub valve\nH1,hot,SIZE,20,main,,tub,tub valve\nX1,mixed,SIZE,4,tub,,tub head,shower riser\nX2,mixed,SIZE,1,tub,,spout,tub spout\n",
    ),
    (
        &["tub with shower", "spout drop"],
        "C1,cold,SIZE,20,main,,tub,tub with shower\nH1,hot,SIZE,20,main,,tub,tub with shower\nX1,mixed,SIZE,4,tub,,tub head,shower riser\nX2,mixed,SIZE,1,tub,,spout,spout drop\n",
    ),
    (
        &["tank heater"],
        "C1,cold,SIZE,20,main,,heater,tank heater\nH1,hot,SIZE,20,heater,,sink,tank heater; fixture supply\n",
    ),
    (
        &["heater connectors"],
        "C1,cold,SIZE,20,main,,heater,tank heater; heater connectors\nH1,hot,SIZE,20,heater,,sink,tank heater; heater connectors; fixture supply\n",
    ),
    (
        &["tankless heater"],
        "C1,cold,SIZE,20,main,,heater,tankless heater\nH1,hot,SIZE,20,heater,,sink,tankless heater; fixture supply\n",
    ),
    (&["relief discharge"], "D1,hot,3/4,6,heater relief,,,relief discharge,relief valve\n"),
    (&["pan drain"], "D1,cold,1,12,heater pan,,,pan drain,drain pan\n"),
    (
        &["expansion tank"],
        "C1,cold,SIZE,20,main,,sink,fixture supply\nC2,cold,SIZE,1,C1,4,tank,expansion tank\n",
    ),
    (
        &["softener loop", "softener"],
        "C1,cold,SIZE,30,main,,,softener loop; softener\nC2,cold,SIZE,9,C1,,sink,fixture supply\n",
    ),
    (&["filter"], "C1,cold,SIZE,30,main,,sink,filter; fixture supply\n"),
    (
        &["home-run manifold", "home run"],
        "C1,cold,SIZE,30,main,,cold manifold,home-run manifold\nD1,cold,1/2,20,cold manifold,,toilet,home run; toilet\nD2,cold,1/2,25,cold manifold,,lavatory,home run; lavatory\n",
    ),
    (
        &["hot return"],
        "H1,hot,SIZE,40,main,,sink,fixture supply\nR1,return,SIZE,30,H1,35,heater return,hot return\n",
    ),
    (
        &["bonding jumper", "sleeves", "protection plates"],
        "C1,cold,SIZE,30,main,,sink,bonding jumper; sleeves; protection plates; fixture supply,,,7,2\n",
    ),
    (
        &["insulation", "bend supports"],
        "H1,hot,SIZE,30.5,main,,sink,insulation; bend supports; fixture supply,,3\n",
    ),
    // Drains and vents, in one of the demo systems beside each of water.
    (
        &[
            "sewer connection",
            "stack",
            "stack cleanout",
            "toilet drain",
            "lavatory drain",
            "trap arm",
            "vent",
            "vent through roof",
        ],
        "D1,drain,3,20,sewer,,,sewer connection\nD2,drain,3,9,D1,,,stack; stack cleanout,,,,,,,,,,,,,9\nD3,drain,3,4,D2,2,WC,toilet drain\n\
         D4,drain,1-1/2,4,D2,4,Lav,lavatory drain; trap arm\nV1,vent,3,8,D2,,roof,vent; vent through roof\n",
    ),
    (
        &["tub drain", "shower stall drain", "sink drain", "laundry tub drain", "washer drain", "cleanout"],
        "D1,drain,3,20,sewer,,,cleanout\nD2,drain,1-1/2,5,D1,3,Tub,tub drain\nD3,drain,2,5,D1,6,Shower,shower stall drain\n\
         D4,drain,1-1/2,5,D1,9,Sink,sink drain\nD5,drain,1-1/2,5,D1,12,Laundry tub,laundry tub drain\n\
         D6,drain,2,5,D1,15,Washer,washer drain\nC1,cold,1/2,20,main,,Washer,washer box\nH1,hot,1/2,20,main,,Washer,washer box\n",
    ),
    (
        &["toilet riser", "floor drain", "condensate receptor", "air admittance valve"],
        "D1,drain,3,20,sewer,,,\nD2,drain,3,2,D1,3,WC,toilet riser,,,,,,,,,,,,,2\nD3,drain,2,4,D1,6,Floor,floor drain\n\
         D4,drain,2,4,D1,9,Receptor,condensate receptor\nV1,vent,1-1/2,6,D1,12,Attic,air admittance valve\n",
    ),
    (&["counted"], "C1,cold,SIZE,30,,,,counted,,,,,1,2,1,,\n"),
];

const SIZES: [&str; 3] = ["1/2", "3/4", "1"];

fn built(rows: &str, size: &str) -> House {
    house(&water_systems(), &[("runs", &format!("{HEAD}{}", rows.replace("SIZE", size)))])
}

#[test]
fn every_built_in_pattern_is_built_balanced_and_priced_in_every_system() {
    for (patterns, rows) in JOBS {
        for size in SIZES {
            // A meeting in an odd size that nobody sells is made up from others, and priced so.
            built(rows, size).is_whole(&format!("{} in {size}", patterns.join("; ")), &["built-from-others"]);
        }
    }
}

#[test]
fn the_demo_price_lists_have_every_part_of_every_pattern() {
    let mut unpriced = BTreeSet::new();
    for (_, rows) in JOBS {
        for size in SIZES {
            let made = built(rows, size);
            unpriced.extend(made.alternatives.iter().flat_map(|of| made.unpriced(of)));
        }
    }
    assert_eq!(unpriced, BTreeSet::new());
}

#[test]
fn every_built_in_pattern_is_tried() {
    let job = Job::from_texts(&[("runs", "run,service,size,length\nA,cold,1/2,10\n")]);
    for pattern in &job.catalog.patterns {
        let tried = JOBS.iter().any(|(names, _)| names.contains(&&*pattern.name));
        assert!(tried, "no job here has the pattern {}", pattern.name);
        assert!(pattern.rows.iter().all(|row| !row.in_error), "{}", pattern.name);
    }
}

/// A house of fixtures: so many of each.
#[test]
fn so_many_fixtures_take_so_many_stops_lines_and_escutcheons() {
    let mut rows = String::from("C1,cold,3/4,60,main,,,trunk\nH1,hot,3/4,60,main,,,trunk\n");
    let (toilets, lavatories, sinks, tubs, dishwashers) = (5, 7, 2, 1, 2);
    let mut at = 2;
    let mut fixture = |name: &str, n: usize, services: &[&str]| {
        for k in 1..=n {
            for service in services {
                at += 1;
                let (letter, trunk) = if *service == "cold" { ("C", "C1") } else { ("H", "H1") };
                let row = format!("{letter}{at}0,{service},1/2,8,{trunk},{at},{name} {k},{name}\n");
                rows.push_str(&row);
            }
        }
    };
    fixture("toilet", toilets, &["cold"]);
    fixture("lavatory", lavatories, &["cold", "hot"]);
    fixture("kitchen sink", sinks, &["cold", "hot"]);
    fixture("laundry tub", tubs, &["cold", "hot"]);
    fixture("dishwasher", dishwashers, &["hot"]);
    let made = built(&rows, "1/2");
    let number = |n: usize| i64::try_from(n).unwrap();
    let supplies = number(toilets + 2 * (lavatories + sinks + tubs) + dishwashers);
    for of in &made.alternatives {
        let name = made.system(of);
        for part in ["stub-out", "supply stop", "escutcheon"] {
            assert_eq!(made.count(of, part), supplies, "{part} in {name}");
        }
        assert_eq!(made.count(of, "toilet supply line"), number(toilets), "{name}");
        assert_eq!(made.count(of, "faucet supply line"), 2 * number(lavatories + sinks + tubs), "{name}");
        assert_eq!(made.count(of, "dishwasher supply line"), number(dishwashers), "{name}");
        // The two trunks end open, and nothing else does.
        assert_eq!(made.count(of, "cap"), 2, "{name}");
        assert!(of.takeoff.missing.is_empty());
    }
}

fn in_all(made: &House, check: impl Fn(&Alternative, &str)) {
    for of in &made.alternatives {
        check(of, made.system(of));
    }
}

fn rows_of(pattern: &str) -> &'static str {
    JOBS.iter().find(|(names, _)| names.contains(&pattern)).unwrap().1
}

/// Feet of tube by the tube family, of a run.
fn inches_of(made: &House, of: &Alternative, family: &str) -> i64 {
    let lines = of.takeoff.lines.iter().filter(|line| made.items.get(line.item).is_length());
    let of_family = lines.filter(|line| {
        let system = made.job.catalog.system(made.items.get(line.item).system.unwrap());
        made.job.lexicon.text(system.tube) == family
    });
    of_family.map(|line| line.count).sum::<i64>() / 25_400_000
}

#[test]
fn a_spout_drop_is_never_of_plastic() {
    let made = built(rows_of("spout drop"), "1/2");
    in_all(&made, |of, name| {
        // The drop is a foot of soldered copper, straight into the outlet of the valve.
        let copper = inches_of(&made, of, "copper");
        let all = 12 * (20 + 20 + 4 + 1);
        assert_eq!(copper, if name.starts_with("copper") { all } else { 12 }, "{name}");
        assert_eq!(made.count(of, "copper transition") + made.count(of, "pex transition"), 0, "{name}");
        assert_eq!(made.count(of, "tub spout"), 1);
    });
}

#[test]
fn a_relief_discharge_ends_open_without_cap_thread_or_valve() {
    let made = built(rows_of("relief discharge"), "3/4");
    in_all(&made, |of, name| {
        for part in ["cap", "thread cap", "thread plug", "plug", "ball valve"] {
            assert_eq!(made.count(of, part), 0, "{part} in {name}");
        }
        assert_eq!(made.count(of, "female adapter"), 1, "{name}");
        assert!(of.takeoff.ends.iter().all(|end| end.met != EndMet::Capped), "{name}");
        assert_eq!(inches_of(&made, of, "pex"), 0, "{name}");
    });
}

#[test]
fn plastic_is_kept_off_the_heater_and_copper_off_its_steel() {
    let made = built(rows_of("heater connectors"), "3/4");
    in_all(&made, |of, name| {
        let copper = name.starts_with("copper");
        assert_eq!(made.count(of, "heater connector"), if copper { 0 } else { 2 }, "{name}");
        assert_eq!(made.count(of, "dielectric union"), if copper { 2 } else { 0 }, "{name}");
    });
}

#[test]
fn what_is_for_plastic_alone_is_counted_in_plastic_alone() {
    let jumped = built(rows_of("bonding jumper"), "3/4");
    in_all(&jumped, |of, name| {
        assert_eq!(jumped.count(of, "bonding jumper"), i64::from(!name.starts_with("copper")), "{name}");
        assert_eq!((jumped.count(of, "protection plate"), jumped.count(of, "sleeve")), (7, 2), "{name}");
    });
    let bent = built(rows_of("bend supports"), "3/4");
    in_all(&bent, |of, name| {
        assert_eq!(bent.count(of, "bend support"), if name.starts_with("pex") { 3 } else { 0 }, "{name}");
        // 30.5 ft of the run, begun feet.
        assert_eq!(bent.count(of, "pipe insulation"), 31, "{name}");
    });
}

#[test]
fn a_home_run_manifold_is_the_smallest_that_serves_and_its_spare_openings_are_capped() {
    let made = built(rows_of("home run"), "3/4");
    in_all(&made, |of, name| {
        assert_eq!(made.count(of, "distribution manifold of 4"), 1, "{name}");
        assert_eq!(made.count(of, "cap"), 2, "{name}");
    });
}

#[test]
fn a_softener_loop_is_shut_until_the_softener_is_set() {
    let made = built(rows_of("softener"), "1");
    in_all(&made, |of, name| {
        assert_eq!((made.count(of, "tee"), made.count(of, "ball valve")), (2, 1), "{name}");
        assert_eq!(made.count(of, "plug"), 2, "{name}");
    });
}
