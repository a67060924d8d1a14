//! A bathroom from a lecture book (`lecture-bathroom/README.md`): five risers of 1/2 in. adding to 9.5 ft, five stub-outs,
//! five elbows, five branches of 1/2 in.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::counting::{Counted, beside, number};

#[test]
fn five_risers_take_five_stub_outs_five_elbows_and_five_branches() {
    let job = "item,value\nwater system,copper-solder\ncompare with,pex-clamp\nturns in plastic,elbow\n";
    let counted = Counted::of(&[("runs", &beside("lecture-bathroom/runs.csv")), ("job", job)]);
    for system in ["copper-solder", "pex-clamp"] {
        let five = Decimal::from(5);
        assert_eq!(counted.need_of(system, "tube", "1/2"), number("9.5"), "{system}");
        let of = |part| counted.need(system, "", part);
        assert_eq!(of("stub-out"), BTreeMap::from([("1/2".to_owned(), five)]), "{system}");
        assert_eq!(of("elbow"), BTreeMap::from([("1/2".to_owned(), five)]), "{system}");
        assert_eq!(of("tee"), BTreeMap::from([("3/4 x 3/4 x 1/2".to_owned(), five)]), "{system}");
    }
}

/// Where plastic bends, the five turns take no elbow.
#[test]
fn where_tube_bends_the_risers_take_no_elbow() {
    let counted = Counted::of(&[("runs", &beside("lecture-bathroom/runs.csv"))]);
    assert!(counted.need("pex-clamp", "", "elbow").is_empty());
    assert_eq!(counted.estimate.alternatives[0].takeoff.bends, 5);
}
