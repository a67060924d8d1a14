//! The cut plans of whole jobs, every example and generated houses, checked from what the takeoff asks for and the order
//! buys. It shares no code with the planner or the buying: it measures every stick with its kerf, finds every piece,
//! puts joined pieces together again, counts joints and adds the cost again.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

use coilstick::estimate::Alternative;
use coilstick::estimate::takeoff::PartOf;
use coilstick::estimate::{Estimate, estimate};
use coilstick::estimate::{OrderLine, TubePlan};
use coilstick::trade::{Class, Job, TubeAllowance};
use rust_decimal::Decimal;

use crate::families::Dice;

const INCH: i64 = 25_400_000;

/// What is wrong with the cut plans of a job; nothing if they are right. With how many plans there are, how many are
/// least, and how many of them join pieces.
fn faults(job: &Job, estimate: &Estimate) -> (Vec<String>, [usize; 3]) {
    let mut faults = Vec::new();
    let mut counts = [0; 3];
    for alternative in &estimate.alternatives {
        for plan in alternative.plans.iter().filter(|plan| !plan.cuttings.is_empty()) {
            let line = alternative.order.iter().find(|line| line.item == plan.item).unwrap();
            counts[0] += 1;
            counts[1] += usize::from(plan.is_least());
            counts[2] += usize::from(!plan.joined.is_empty());
            let whose = format!("{:?} of {:?}", plan.item, alternative.system);
            sticks(job, plan, line, &mut |fault| faults.push(format!("{whose}: {fault}")));
            pieces(job, estimate, alternative, plan, &mut |fault| faults.push(format!("{whose}: {fault}")));
            money(plan, line, &mut |fault| faults.push(format!("{whose}: {fault}")));
        }
    }
    (faults, counts)
}

/// The kerf that the terms say for the system of a tube, read from the rows of the table `job` once more.
fn kerf(job: &Job, plan: &TubePlan, estimate_item: &coilstick::estimate::Item) -> i64 {
    let system = job.catalog.system(estimate_item.system.unwrap());
    let text = |word| job.lexicon.text(word).to_owned();
    let mut best = (0, 0);
    for kerf in &job.settings.cutting.kerf {
        let of = text(kerf.of);
        let rank = match of {
            of if of == text(system.name) => 3,
            of if of == text(system.tube) => 2,
            of if of.is_empty() && system.stock_length.is_some() => 1,
            _ => 0,
        };
        if rank > best.0 {
            best = (rank, kerf.width.nanometres());
        }
    }
    assert_eq!(plan.kerf.nanometres(), best.1, "the kerf of the plan");
    best.1
}

/// Every stick: its pieces and cuts fit, what is left is left; no more sticks than bought, no more lengths than on hand.
fn sticks(job: &Job, plan: &TubePlan, line: &OrderLine, fault: &mut dyn FnMut(String)) {
    let kerf = i128::from(plan.kerf.nanometres());
    let mut used: BTreeMap<u32, u64> = BTreeMap::new();
    let mut of_shelf: BTreeMap<i64, u64> = BTreeMap::new();
    for cutting in &plan.cuttings {
        let length = i128::from(cutting.length.nanometres());
        let sum: i128 = cutting
            .pieces
            .iter()
            .map(|p| (i128::from(p.length.nanometres()) + kerf) * i128::from(p.number))
            .sum();
        if sum - kerf > length || cutting.pieces.is_empty() {
            fault(format!("{sum} with kerf {kerf} in {length}"));
        }
        if i128::from(cutting.left.nanometres()) != (length - sum).max(0) {
            fault(format!("left {} of {length} less {sum}", cutting.left.nanometres()));
        }
        match cutting.offer {
            Some(offer) => *used.entry(offer.0).or_default() += cutting.times,
            None => *of_shelf.entry(cutting.length.nanometres()).or_default() += cutting.times,
        }
    }
    for (offer, times) in used {
        let packs: Decimal =
            line.picks.iter().filter(|pick| pick.offer.0 == offer).map(|pick| pick.packs).sum();
        if packs < Decimal::from(times) {
            fault(format!("{times} sticks are cut and {packs} bought"));
        }
    }
    for (length, times) in of_shelf {
        let there: Decimal = job
            .on_hand
            .iter()
            .filter(|stock| stock.length.is_some_and(|one| one.nanometres() == length))
            .map(|stock| stock.quantity)
            .sum();
        if there < Decimal::from(times) {
            fault(format!("{times} lengths from the shelf, where {there} lie"));
        }
    }
}

/// Every piece of the takeoff is there, whole or joined, with its allowance and no more than an inch above.
fn pieces(
    job: &Job,
    estimate: &Estimate,
    alternative: &Alternative,
    plan: &TubePlan,
    fault: &mut dyn FnMut(String),
) {
    let item = estimate.items.get(plan.item);
    kerf(job, plan, item);
    let percent = match job.settings.tube_allowance {
        TubeAllowance::Piece => job.settings.allowance(Class::Tube).0,
        TubeAllowance::Plan | TubeAllowance::End => Decimal::ZERO,
    };
    let longest_sold =
        plan.cuttings.iter().filter(|c| c.offer.is_some()).map(|c| c.length.nanometres()).max();
    let mut wanted: Vec<(i64, bool)> = Vec::new();
    let made_up = alternative.built.iter().flat_map(|built| &built.cut);
    let all = alternative.takeoff.pieces.iter().chain(made_up);
    for piece in all.filter(|piece| piece.item == plan.item) {
        let length = match piece.part {
            PartOf::Itself => piece.length,
            PartOf::Lengths => continue,
            PartOf::Rest(length) => length,
        };
        let length = piece.cut.as_cut.unwrap_or(length);
        let length =
            Decimal::from(length.nanometres()) * (Decimal::ONE_HUNDRED + percent) / Decimal::ONE_HUNDRED;
        let length = i64::try_from(length.ceil().mantissa() / 10_i128.pow(length.ceil().scale())).unwrap();
        wanted.extend((0..piece.copies).map(|_| (length, piece.no_joint)));
    }
    let (mut found, mut parts, mut spare): (Vec<(i64, bool)>, Vec<i64>, i64) = Default::default();
    for cutting in &plan.cuttings {
        for piece in &cutting.pieces {
            let number = piece.number * cutting.times;
            let length = piece.length.nanometres();
            match (piece.joined, piece.runs.is_empty()) {
                (true, _) => parts.extend((0..number).map(|_| length)),
                (false, true) => spare += length * i64::try_from(number).unwrap(),
                (false, false) => found.extend((0..number).map(|_| (length, false))),
            }
        }
    }
    let mut of_joined = Vec::new();
    let mut joints = 0;
    for joined in &plan.joined {
        let sum: i64 =
            joined.parts.iter().map(|(length, n)| length.nanometres() * i64::try_from(*n).unwrap()).sum();
        if sum != joined.length.nanometres() {
            fault(format!("parts of {sum} for {}", joined.length.nanometres()));
        }
        let number: u64 = joined.parts.iter().map(|(_, n)| n).sum();
        joints += (number - 1) * joined.copies;
        for (length, n) in &joined.parts {
            if *length < job.settings.cutting.shortest_joined {
                fault(format!("a part of {length}"));
            }
            of_joined.extend((0..n * joined.copies).map(|_| length.nanometres()));
        }
        if longest_sold.is_some_and(|longest| joined.length.nanometres() <= longest) {
            fault(format!("{} is joined where it fits a stick", joined.length));
        }
        found.extend((0..joined.copies).map(|_| (joined.length.nanometres(), true)));
    }
    of_joined.sort_unstable();
    parts.sort_unstable();
    if of_joined != parts {
        fault(format!("parts {parts:?} are cut and {of_joined:?} joined"));
    }
    if i64::try_from(joints).unwrap() != plan.joints {
        fault(format!("{joints} joints and not {}", plan.joints));
    }
    wanted.sort_unstable();
    found.sort_unstable();
    if wanted.len() != found.len() {
        fault(format!("{} pieces for {}", found.len(), wanted.len()));
    }
    for ((want, no_joint), (cut, joined)) in wanted.iter().zip(&found) {
        if cut < want || cut - want >= INCH {
            fault(format!("a piece of {cut} for {want}"));
        }
        let alike = wanted.iter().filter(|(length, _)| length == want).all(|(_, no_joint)| *no_joint);
        if *no_joint && *joined && alike {
            fault(format!("{want} is joined and must not be"));
        }
    }
    let need = alternative.order.iter().find(|line| line.item == plan.item).unwrap();
    let allow = match job.settings.tube_allowance {
        TubeAllowance::End => need.allow,
        TubeAllowance::Plan | TubeAllowance::Piece => Decimal::ZERO,
    };
    let spare = Decimal::from(spare) / Decimal::from(job.settings.units.nanometres());
    if spare.round_dp(8) < allow.round_dp(8) {
        fault(format!("{spare} spare for {allow}"));
    }
}

/// The cost again: what is bought and the joints.
fn money(plan: &TubePlan, line: &OrderLine, fault: &mut dyn FnMut(String)) {
    let tube: Decimal = line.picks.iter().map(|pick| pick.price * pick.packs).sum();
    let cost = tube + plan.per_joint * Decimal::from(plan.joints);
    if cost != plan.cost || line.extended != Some(tube) {
        fault(format!("{cost} and not {}", plan.cost));
    }
    if plan.bound > plan.cost {
        fault(format!("the bound {} is above {}", plan.bound, plan.cost));
    }
}

/// Checks a job and says how many plans it has, how many are least, how many join.
pub(crate) fn checked(job: &Job, name: &str) -> [usize; 3] {
    let (faults, counts) = faults(job, &estimate(job));
    assert_eq!(faults, Vec::<String>::new(), "{name}");
    counts
}

#[test]
fn the_cut_plans_of_every_example_pass_the_checker_however_tube_is_cut() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut folders: Vec<_> = ["examples", "tests"]
        .iter()
        .flat_map(|folder| std::fs::read_dir(root.join(folder)).unwrap().map(|entry| entry.unwrap().path()))
        .filter(|path| path.join("runs.csv").exists())
        .collect();
    folders.sort();
    assert!(folders.len() >= 3);
    let length =
        |text: &str| coilstick::ground::Length::read(text, coilstick::ground::LengthUnit::Foot).unwrap();
    let mut sum = [0; 3];
    for folder in folders {
        for (kerf, allowance, shortest) in [
            ("0 in", TubeAllowance::Plan, "0 in"),
            ("1/8 in", TubeAllowance::Piece, "18 in"),
            ("3 mm", TubeAllowance::End, "6 ft"),
        ] {
            let mut job = Job::read(&folder).unwrap();
            let row = job.runs[0].row;
            let of = coilstick::trade::Word::EMPTY;
            job.settings.cutting.kerf = vec![coilstick::trade::Kerf { of, width: length(kerf), row }];
            job.settings.cutting.shortest_joined = length(shortest);
            job.settings.tube_allowance = allowance;
            for (class, points, _) in &mut job.settings.allowances {
                if *class == Class::Tube {
                    *points = Decimal::from(7);
                }
            }
            let counts = checked(&job, &format!("{} {kerf}", folder.display()));
            sum = [0, 1, 2].map(|at| sum[at] + counts[at]);
        }
    }
    println!("examples: {} cut plans, {} proven least, {} with joined pieces", sum[0], sum[1], sum[2]);
    assert!(sum[0] > 50 && sum[1] * 100 >= sum[0] * 95, "{sum:?}");
}

/// A generated house of runs that stand alone, some longer than every stick, some that must be one length.
fn house(seed: u64, runs: u64) -> Job {
    let mut dice = Dice::new(70_000 + seed);
    let mut table = String::from("run,service,size,length,no joint\n");
    for run in 0..runs {
        let size = ["1/2", "3/4"][usize::try_from(dice.between(0, 1)).unwrap()];
        let long = dice.between(0, 9) == 0;
        let sixteenths = if long { dice.between(3_900, 12_000) } else { dice.between(64, 3_200) };
        let service = ["cold", "hot"][usize::try_from(dice.between(0, 1)).unwrap()];
        let no_joint = if dice.between(0, 9) == 0 && !long { "yes" } else { "" };
        writeln!(table, "R{run},{service},{size},{}/16 in,{no_joint}", sixteenths).unwrap();
    }
    let prices = "supplier,part,size,price,system,color,sold as,pack,per\n\
        Invented,tube,1/2,36,pex,red,coil,100 ft,pack\nInvented,tube,1/2,98,pex,red,coil,300 ft,pack\n\
        Invented,tube,1/2,36,pex,blue,coil,100 ft,pack\nInvented,tube,3/4,66,pex,,coil,100 ft,pack\n\
        Invented,tube,3/4,14,pex,,stick,20 ft,pack\nInvented,tube,1/2,31,copper,,stick,20 ft,pack\n\
        Invented,tube,1/2,17,copper,,stick,10 ft,pack\nInvented,tube,3/4,55,copper,,stick,20 ft,pack\n\
        Second,tube,3/4,54,copper,,stick,20 ft,pack\nSecond,tube,3/4,29,copper,,stick,10 ft,pack\n\
        Invented,coupling,1/2,1.10,,,each,,each\nInvented,coupling,3/4,2.35,,,each,,each\n\
        Invented,clamp ring,1/2,9,pex,,bag,25,pack\nInvented,solder,,31,,,bag,1 lb,pack\n";
    let on_hand = "part,size,quantity,length,system\ntube,1/2,2,7 ft,copper\ntube,3/4,1,26 ft,copper\ntube,1/2,1,31 ft,pex\n";
    let shortest = ["6 in", "12 in", "4 ft"][usize::try_from(dice.between(0, 2)).unwrap()];
    let job = format!(
        "item,for,value\nwater system,,pex-clamp\ncompare with,,copper-solder\nkerf,,1/8 in\nkerf,{},1 mm\n\
         shortest joined piece,,{shortest}\ntube allowance,,{}\nallowance,tube,{}\n",
        ["pex", "pex-clamp"][usize::try_from(dice.between(0, 1)).unwrap()],
        ["plan", "piece", "end"][usize::try_from(dice.between(0, 2)).unwrap()],
        dice.between(0, 9),
    );
    Job::from_texts(&[("runs", &table), ("prices", prices), ("on hand", on_hand), ("job", &job)])
}

#[test]
fn the_cut_plans_of_generated_houses_pass_the_checker() {
    let mut sum = [0; 3];
    for seed in 0..24 {
        let job = house(seed, [12, 25, 50, 90][usize::try_from(seed % 4).unwrap()]);
        assert!(job.notices.iter().all(|notice| !notice.is_error()), "{:?}", job.notices);
        let counts = checked(&job, &format!("house {seed}"));
        sum = [0, 1, 2].map(|at| sum[at] + counts[at]);
    }
    println!(
        "generated houses: {} cut plans, {} proven least, {} with joined pieces",
        sum[0], sum[1], sum[2]
    );
    assert!(sum[0] > 100 && sum[2] > 30, "{sum:?}");
}

/// 150 ft from 100 ft coils is one joint: a coupling at 1.10, two rings at 9.00 for 25, and 0.2 hours at 30.00 with 20 %
/// on it.
#[test]
fn a_joint_costs_its_coupling_what_its_ends_consume_and_their_labor() {
    let prices = "supplier,part,size,price,system,sold as,pack,per\nInvented,tube,1/2,36,pex,coil,100 ft,pack\n\
                  Invented,coupling,1/2,1.10,,each,,each\nInvented,clamp ring,1/2,9,pex,bag,25,pack\n";
    let mut texts = vec![
        ("runs", "run,service,size,length (ft)\nA,cold,1/2,150\n"),
        ("prices", prices),
        ("job", "item,for,value\ncompare with,,none\nrate,,30\nburden,,20\n"),
    ];
    for (labor, per_joint, cost) in [(false, "1.82", "73.82"), (true, "9.02", "81.02")] {
        if labor {
            texts.push(("labor", "per,hours,unit,size\njoint,0.1,,1/2\n"));
        }
        let job = Job::from_texts(&texts);
        assert!(job.notices.iter().all(|notice| !notice.is_error()), "{:?}", job.notices);
        let plan = estimate(&job).alternatives[0].plans[0].clone();
        let of = |text: &str| text.parse::<Decimal>().unwrap();
        assert_eq!((plan.joints, plan.per_joint, plan.cost), (1, of(per_joint), of(cost)));
        assert!(plan.is_least());
    }
}

/// 20 ft 1 in. from sticks of 20 ft would be joined with a crumb of 1 in.: nobody couples less than a least piece.
#[test]
fn no_part_is_shorter_than_the_least_piece_of_the_system_unless_the_job_says_so() {
    let inch = coilstick::ground::LengthUnit::Inch.nanometres();
    let prices = "supplier,part,size,price,system,sold as,pack,per\n\
        Invented,tube,1/2,31,copper,stick,20 ft,pack\nInvented,coupling,1/2,1.10,,each,,each\n";
    let runs = "run,service,size,length (in)\nA,cold,1/2,241\nB,cold,1/2,238\n";
    for (said, shortest) in [("", 2 * inch), ("shortest joined piece,,1 in\n", inch)] {
        let items = format!("item,for,value\nwater system,,copper-solder\ncompare with,,none\n{said}");
        let job = Job::from_texts(&[("runs", runs), ("prices", prices), ("job", &items)]);
        let plan = estimate(&job).alternatives[0].plans[0].clone();
        let parts: Vec<i64> = plan.joined[0].parts.iter().map(|(length, _)| length.nanometres()).collect();
        assert_eq!(parts.iter().sum::<i64>(), 241 * inch);
        assert!(parts.iter().all(|part| *part >= shortest), "{said}: {parts:?}");
        assert_eq!(plan.joints, 1);
    }
}
