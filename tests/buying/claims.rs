//! What is said of an order: least only where something is ordered, of what is priced, and with what the proof rests on.

use coilstick::estimate::estimate;
use coilstick::estimate::{BuyingPlan, Claim, Given};
use coilstick::report::{FILES, bytes};
use coilstick::trade::Job;

/// The buying plan of the first alternative, and the text of `estimate.json`.
fn of(tables: &[(&str, &str)]) -> (BuyingPlan, String) {
    let job = Job::from_texts(tables);
    let estimate = estimate(&job);
    let at = FILES.iter().position(|file| *file == "estimate.json").unwrap();
    let json = bytes(&job, &estimate).unwrap().into_iter().nth(at).unwrap();
    (estimate.alternatives[0].buying.clone(), String::from_utf8(json).unwrap())
}

const RUNS: &str = "run,service,size,length (ft)\nC1,cold,3/4,10\n";
const TUBE: &str = "supplier,part,size,price,sold as,pack\nMill,tube,3/4,20,coil,100 ft\n";
const JOB: &str = "item,value\nwater system,pex-clamp\ncompare with,none\n";

#[test]
fn an_order_without_a_price_is_not_called_least() {
    let (plan, json) = of(&[("job", JOB), ("runs", RUNS), ("prices", "supplier,part,size,price\n")]);
    assert_eq!((plan.claim(), plan.is_least()), (Claim::NoOrder, false));
    assert_eq!(plan.said(), "nothing that is needed is priced");
    assert!(!json.replace(' ', "").contains("\"proven_least\":true"), "{json}");
}

#[test]
fn a_run_list_without_runs_has_no_order_and_no_least() {
    let runs = "run,service,size,length (ft)\n";
    let (plan, json) = of(&[("job", JOB), ("runs", runs), ("prices", TUBE)]);
    assert_eq!((plan.said().as_str(), plan.is_least()), ("nothing is ordered", false));
    assert!(!json.replace(' ', "").contains("\"proven_least\":true"), "{json}");
}

#[test]
fn where_lines_have_no_price_it_is_the_least_of_what_is_priced() {
    let (plan, json) = of(&[("job", JOB), ("runs", RUNS), ("prices", TUBE)]);
    assert_eq!((plan.claim(), plan.is_least()), (Claim::Least, false));
    assert_eq!(plan.said(), "least of what is priced, proven");
    assert!(json.contains("least of what is priced, proven"), "{json}");
}

#[test]
fn what_a_proof_rests_on_is_said_with_it() {
    // A tee of 3/4 x 3/4 x 1/2 that nobody sells; tube by the coil and by the foot; a length on hand for either color, and a
    // coil that both could be cut from.
    let runs =
        "run,service,size,length (ft),joins,at (ft)\nC,cold,3/4,10,main,\nC1,cold,1/2,8,C,5\nH,hot,3/4,9,,\n";
    let prices = "supplier,part,size,price,sold as,pack,per\nMill,tube,3/4,20,coil,100 ft,pack\nMill,tube,3/4,0.9,each,,1 ft\n\
                  Mill,tube,1/2,15,coil,100 ft,pack\nMill,tee,3/4,2,,,\nMill,reducing coupling,3/4 x 1/2,1,,,\n";
    let hand = "part,size,quantity,length (ft)\ntube,3/4,1,9.5\n";
    let (plan, _) = of(&[("job", JOB), ("runs", runs), ("prices", prices), ("on hand", hand)]);
    assert_eq!(plan.given, [Given::MadeUp, Given::Loose, Given::Shelf, Given::Apart]);
    let with = "with the fittings made up as listed, each tube in lengths or loose, not both, what is on hand used as listed \
                and each line in packs of its own";
    assert_eq!(plan.said(), format!("least of what is priced {with}, proven"));
}
