//! Fittings that nobody sells, built from what is sold, on whole jobs: a transition as two adapters, whose run a short
//! piece of tube is booked on, what the order and the papers say of it.

use coilstick::estimate::Alternative;
use coilstick::estimate::OrderLine;
use coilstick::estimate::{Estimate, estimate};
use coilstick::trade::Job;
use rust_decimal::Decimal;

fn d(text: &str) -> Decimal {
    Decimal::from_str_exact(text).unwrap()
}

fn line<'a>(job: &Job, estimate: &Estimate, of: &'a Alternative, name: &str, system: &str) -> &'a OrderLine {
    let is_it = |line: &&OrderLine| {
        let item = estimate.items.get(line.item);
        let own = item.system.map_or("", |id| job.lexicon.text(job.catalog.system(id).name));
        &*job.catalog.part(item.part).name == name && (system.is_empty() || own == system)
    };
    of.order.iter().find(is_it).unwrap_or_else(|| panic!("no {name} of {system}"))
}

/// Plastic from the main, copper behind it; nobody sells what joins the two.
const RUNS: &str =
    "run,service,size,length (ft),joins,system\nA,cold,3/4,10,main,\nB,cold,3/4,8,A,copper-solder\n";
const PRICES: &str = "supplier,part,size,price,system,sold as,pack\nMill (invented),tube,3/4,30,pex,coil,100 ft\n\
    Mill (invented),tube,3/4,20,copper,stick,20 ft\nMill (invented),male adapter,3/4,3,pex,,\n\
    Mill (invented),female adapter,3/4,9,pex,,\nMill (invented),female adapter,3/4,4,copper,,\n\
    Mill (invented),male adapter,3/4,5,copper,,\nMill (invented),cap,3/4,1,,,\n\
    Mill (invented),clamp ring,3/4,0.3,pex,,\nMill (invented),tube clip,3/4,0.1,,,\n\
    Mill (invented),tube strap,3/4,0.2,,,\nMill (invented),solder,,8,,bag,1 lb\n\
    Mill (invented),flux,,4,,bag,2 oz\nMill (invented),thread tape,,1.5,,bag,1 roll\n";

fn two_systems(terms: &str, more: &str) -> (Job, Estimate) {
    let terms = format!("item,value\nwater system,pex-clamp\ncompare with,none\n{terms}");
    let prices = format!("{PRICES}{more}");
    let labor = "per,hours,system\njoint,0.05,\nthread,0.2,\nlength,0.01,\nplace,0,\nsupport,0,\n";
    let job = Job::from_texts(&[("runs", RUNS), ("job", &terms), ("prices", &prices), ("labor", labor)]);
    let estimate = estimate(&job);
    (job, estimate)
}

#[test]
fn a_transition_that_nobody_sells_is_two_adapters_screwed_into_each_other() {
    let (job, estimate) = two_systems("", "");
    let chosen = &estimate.alternatives[0];
    let [built] = &chosen.built[..] else { panic!("{:?}", chosen.built) };
    // A male one of plastic at 3.00 and a female one of copper at 4.00, not 9.00 and 5.00.
    assert_eq!(line(&job, &estimate, chosen, "male adapter", "pex-clamp").need, d("1"));
    assert_eq!(line(&job, &estimate, chosen, "female adapter", "copper-solder").need, d("1"));
    assert_eq!((built.count, built.joints(), built.threads.len(), built.stubs.len()), (1, 0, 1, 0));
    // The thread is taped: one of the forty joints of a roll.
    let tape = line(&job, &estimate, chosen, "thread tape", "");
    assert_eq!((tape.need, tape.by_plan, tape.extended), (d("0.025"), d("0.025"), Some(d("1.5"))));
    let transition = line(&job, &estimate, chosen, "copper transition", "");
    assert_eq!((transition.need, transition.by_plan, transition.extended), (d("0"), d("-1"), Some(d("0"))));
    assert!(chosen.cost.not_priced.is_empty());
    // Its thread takes its hours; the ends of tube are those of the transition.
    let threads = chosen
        .labor
        .lines
        .iter()
        .filter(|line| matches!(line.task, coilstick::estimate::Task::Thread { .. }));
    assert_eq!(threads.map(|line| line.hours).collect::<Vec<_>>(), [Some(d("0.2"))]);
    let said: Vec<_> = estimate.notices.iter().filter(|one| one.kind == "built-from-others").collect();
    assert!(said[0].found.contains("with 1 threaded joint more"), "{}", said[0].found);
    assert!(said[0].found.contains("7.00 more") || said[0].found.contains("of 2 ways"), "{}", said[0].found);
}

/// A row of the user's for threads of 3/4 stands beside the row for all sizes: the thread between the two adapters asks for a
/// tenth of an ounce of compound and for its tape, as every thread of the takeoff does.
#[test]
fn the_thread_between_two_adapters_asks_for_what_every_thread_does() {
    let joints = "joint,size,part,amount,unit,per\nthread,3/4,joint compound,1,oz,10\n";
    let parts = "part,ports,class\njoint compound,,consumable\n";
    let prices = format!("{PRICES}Mill (invented),joint compound,,2,,bag,4 oz\n");
    let terms = "item,value\nwater system,pex-clamp\ncompare with,none\n";
    let tables = [("runs", RUNS), ("job", terms), ("prices", &*prices), ("joints", joints), ("parts", parts)];
    let job = Job::from_texts(&tables);
    let estimate = estimate(&job);
    let chosen = &estimate.alternatives[0];
    assert_eq!(chosen.built[0].threads.len(), 1);
    let tape = line(&job, &estimate, chosen, "thread tape", "");
    let compound = line(&job, &estimate, chosen, "joint compound", "");
    assert_eq!((tape.need, tape.extended), (d("0.025"), Some(d("1.5"))));
    assert_eq!((compound.need, compound.extended), (d("0.1"), Some(d("2"))));
}

#[test]
fn a_transition_is_bought_where_it_is_sold_and_left_where_no_pair_is() {
    let (_, estimate) = two_systems("", "Mill (invented),copper transition,3/4,6,,,\n");
    assert!(estimate.alternatives[0].built.is_empty());
    let (_, estimate) = two_systems("substitutes,none\n", "");
    assert_eq!(estimate.alternatives[0].cost.not_priced.len(), 1);
}

#[test]
fn a_sold_transition_is_built_only_where_the_job_allows_it_and_it_costs_less() {
    // Two adapters at 7.00 and a roll of tape at 1.50 are 8.50.
    for (terms, price, built) in [
        ("substitutes,cheaper\n", "8.60", 1),
        ("substitutes,cheaper\n", "8.50", 0),
        ("substitutes,needed\n", "8.60", 0),
        // With wages the thread takes 0.2 h at 20.00: 12.50.
        ("substitutes,cheaper\nrate,20\n", "12.60", 1),
        ("substitutes,cheaper\nrate,20\n", "12.50", 0),
    ] {
        let (_, estimate) =
            two_systems(terms, &format!("Mill (invented),copper transition,3/4,{price},,,\n"));
        let chosen = &estimate.alternatives[0];
        assert_eq!(chosen.built.len(), built, "{terms} {price}");
        if let Some(built) = chosen.built.first() {
            assert!(built.why.is_sold);
            let instead = built.why.instead.as_ref().unwrap();
            assert_eq!((instead.of.as_deref(), instead.more), (None, d("0.10")));
        }
    }
}

/// A tee of 3/4 x 3/4 x 1/2 on the hot side and one on the cold; nobody sells it.
fn two_tees(prices: &str, held: &str) -> (Job, Estimate) {
    let runs = "run,service,size,length (ft),joins,at (ft)\nC,cold,3/4,10,main,\nC1,cold,1/2,8,C,5\n\
                H,hot,3/4,10,,\nH1,hot,1/2,8,H,5\n";
    let terms = "item,value\nwater system,pex-clamp\ncompare with,none\n";
    let list = format!(
        "supplier,part,size,price,color,sold as,pack\nMill (invented),tube,3/4,30,red,coil,100 ft\n\
         Mill (invented),tube,3/4,30,blue,coil,100 ft\nMill (invented),tube,1/2,20,red,coil,100 ft\n\
         Mill (invented),tube,1/2,20,blue,coil,100 ft\nMill (invented),tee,3/4,2,,,\n\
         Mill (invented),reducing coupling,3/4 x 1/2,1,,,\nMill (invented),cap,1/2,1,,,\n\
         Mill (invented),cap,3/4,1,,,\nMill (invented),clamp ring,3/4,0.3,,,\nMill (invented),clamp ring,1/2,0.2,,,\n\
         Mill (invented),tube clip,3/4,0.1,,,\nMill (invented),tube clip,1/2,0.1,,,\n{prices}"
    );
    let job = Job::from_texts(&[("runs", runs), ("job", terms), ("prices", &list), ("held", held)]);
    let estimate = estimate(&job);
    (job, estimate)
}

const NOTHING_HELD: &str = "part,offer\n";

#[test]
fn short_pieces_are_cut_from_the_tube_of_their_own_run() {
    let (job, estimate) = two_tees("", NOTHING_HELD);
    let chosen = &estimate.alternatives[0];
    // A tee of 3/4, 2 in. of tube and a coupling on each run: 10 ft and 2 in. of each color.
    let tubes = chosen.order.iter().filter(|line| {
        let item = estimate.items.get(line.item);
        item.is_length() && item.sizes.as_slice() == [job.lexicon.find("3/4").unwrap()]
    });
    let more: Vec<_> = tubes.map(|line| line.by_plan.round_dp(6)).collect();
    assert_eq!(more, [d("0.166667"), d("0.166667")]);
    for plan in &chosen.plans {
        for piece in plan.cuttings.iter().flat_map(|cutting| &cutting.pieces) {
            let names: Vec<&str> = piece.runs.iter().map(|of| &*job.runs[of.run.index()].name).collect();
            let of_hot = names.iter().any(|name| name.starts_with('H'));
            assert!(names.iter().all(|name| name.starts_with('H') == of_hot), "{names:?}");
        }
    }
}

fn file(job: &Job, estimate: &Estimate, name: &str) -> Vec<String> {
    let at = coilstick::report::FILES.iter().position(|file| *file == name).unwrap();
    let bytes = coilstick::report::bytes(job, estimate).unwrap().into_iter().nth(at).unwrap();
    String::from_utf8(bytes).unwrap().lines().map(str::to_owned).collect()
}

#[test]
fn the_papers_say_what_is_built_and_ask_for_it() {
    let (job, estimate) = two_tees("", NOTHING_HELD);
    let order = file(&job, &estimate, "order.csv");
    let tee = order.iter().find(|row| row.contains("tee") && row.contains("3/4 x 3/4 x 1/2")).unwrap();
    assert!(tee.contains(",0.00,built,"), "{tee}");
    let json: serde_json::Value =
        serde_json::from_str(&file(&job, &estimate, "estimate.json").join("\n")).unwrap();
    let built = &json["alternatives"][0]["built"][0];
    assert_eq!((built["built"].as_i64(), built["joints_each"].as_i64()), (Some(2), Some(2)));
    let item = usize::try_from(built["item"].as_u64().unwrap()).unwrap();
    assert_eq!(json["items"][item]["size"], "3/4 x 3/4 x 1/2");
    // Two of it are asked for, and what they are built from too.
    let asked = file(&job, &estimate, "request-for-quote.csv");
    let quantity = |sizes: &str| {
        let row = asked.iter().find(|row| row.starts_with(&format!(",tee,{sizes},"))).unwrap();
        row.split(',').any(|cell| cell == "2")
    };
    assert!(quantity("3/4 x 3/4 x 1/2") && quantity("3/4 x 3/4 x 3/4"), "{asked:#?}");
}

#[test]
fn one_more_of_what_is_built_has_a_price() {
    let (job, estimate) = two_tees("", NOTHING_HELD);
    let chosen = &estimate.alternatives[0];
    let (parts, _) = coilstick::estimate::unit_prices(&job, &estimate.items, chosen);
    let built = parts.iter().find(|one| one.item == chosen.built[0].item).unwrap();
    // A tee 2.00, a coupling 1.00, two rings at 0.30, a sixth of a foot of tube at 0.30: 3.65.
    assert_eq!(built.paid, d("3.65"));
}

#[test]
fn what_is_held_as_built_stays_built_and_what_is_held_as_sold_stays_bought() {
    let (job, estimate) = two_tees("", NOTHING_HELD);
    let held = file(&job, &estimate, "held.csv").join("\n");
    assert!(held.contains("made up from tee 3/4 x 3/4 x 3/4 (pex-clamp) and reducing coupling"), "{held}");
    // Now it is sold, and still built.
    let sold = "Mill (invented),tee,3/4 x 3/4 x 1/2,1,,,\n";
    let again = two_tees(sold, &held).1;
    assert!(again.alternatives[0].built[0].why.is_held);
    assert_eq!(again.alternatives[0].cost.material, estimate.alternatives[0].cost.material);
    assert!(again.notices.iter().all(|notice| !notice.kind.starts_with("held")), "{:#?}", again.notices);
    // An older held.csv says it in other words.
    let as_before = two_tees(sold, &held.replace("made up from", "built from")).1;
    assert!(as_before.alternatives[0].built[0].why.is_held);
    assert!(two_tees(sold, NOTHING_HELD).1.alternatives[0].built.is_empty());
    // What nobody sells any more cannot be built so: that is said, and it is built as it can be.
    let gone = held.replace("made up from tee 3/4 x 3/4 x 3/4", "built from tee 1 x 1 x 1");
    let other = two_tees("", &gone).1;
    assert!(!other.alternatives[0].built[0].why.is_held);
    assert!(other.notices.iter().any(|notice| notice.kind == "held-offer-unusable"));
}
