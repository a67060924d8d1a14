//! Another order of rows of runs, places, prices, suppliers and stock: the same takeoff, order, cut plans, cost and bound.

use std::collections::BTreeSet;
use std::path::Path;

use coilstick::estimate::BuyingPlan;
use coilstick::estimate::estimate;
use coilstick::report::{FILES, bytes};
use coilstick::trade::Job;

use crate::generated::Numbers;
use crate::generated_tube::{OfTube, generated_tube};

/// The files that must be the same: none of them names a row.
const SAME: [&str; 5] = ["takeoff.csv", "order.csv", "cut-plan.csv", "comparison.csv", "held.csv"];

/// What is made of a job, by file, and what each alternative's buying plan says.
fn made(job: &Job) -> (Vec<(&'static str, String)>, Vec<BuyingPlan>) {
    let estimate = estimate(job);
    let files = bytes(job, &estimate).unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    let named = FILES.into_iter().zip(files).filter(|(name, _)| SAME.contains(name));
    let mut plans: Vec<BuyingPlan> = estimate.alternatives.into_iter().map(|one| one.buying).collect();
    // Words are numbered as they are read: suppliers are compared by what they are called.
    for plan in &mut plans {
        for order in &mut plan.suppliers {
            order.supplier = Default::default();
        }
        plan.with_one.clear();
        if let Some(two) = &mut plan.with_two {
            two.suppliers.clear();
        }
    }
    (named.map(|(name, bytes)| (name, text(bytes))).collect(), plans)
}

/// The rows of a table below its heading in another order. A quoted cell never spans lines here.
fn shuffled(table: &str, numbers: &mut Numbers) -> String {
    let mut lines: Vec<&str> = table.lines().collect();
    for last in (2..lines.len()).rev() {
        let other = 1 + usize::try_from(numbers.below(last as u64)).unwrap();
        lines.swap(last, other);
    }
    lines.join("\n") + "\n"
}

fn is_the_same(what: &str, first: &Job, other: &Job) {
    let ((files, plans), (other_files, other_plans)) = (made(first), made(other));
    assert_eq!((files.len(), other_files.len()), (SAME.len(), SAME.len()), "{what}");
    for ((name, one), (_, two)) in files.iter().zip(&other_files) {
        let apart = one.lines().zip(two.lines()).find(|(one, two)| one != two);
        assert!(one == two, "{what}: {name}: {apart:#?}");
    }
    assert_eq!(plans, other_plans, "{what}");
}

fn job_of_tube(of: &OfTube, mut other: impl FnMut(&str) -> String) -> Job {
    Job::from_texts(&[
        ("job", &of.job),
        ("runs", &other(&of.runs)),
        ("patterns", &of.of.patterns),
        ("parts", &of.of.parts),
        ("prices", &other(&of.of.prices)),
        ("suppliers", &other(&of.of.suppliers)),
        ("on hand", &other(&of.of.on_hand)),
    ])
}

#[test]
fn another_order_of_rows_buys_the_same_tube_and_parts() {
    for seed in 201..=240 {
        let of = generated_tube(seed);
        let mut numbers = Numbers::new(seed);
        let first = job_of_tube(&of, str::to_owned);
        for _ in 0..2 {
            let other = job_of_tube(&of, |table| shuffled(table, &mut numbers));
            is_the_same(&format!("seed {seed}"), &first, &other);
        }
    }
}

/// Offers of equal price that part only in code, pack or supplier; two of a tube, two of a part, and two ways to build a tee.
#[test]
fn equal_offers_are_chosen_by_what_they_say_and_not_by_their_rows() {
    let prices = "supplier,part,size,price,code,sold as,pack\nMill B,tube,3/4,30,Z-2,coil,100 ft\n\
        Mill A,tube,3/4,30,Z-9,coil,100 ft\nMill A,tube,3/4,30,Z-10,coil,100 ft\nMill B,tube,1/2,20,,coil,100 ft\n\
        Mill A,tube,1/2,20,,coil,100 ft\nMill A,clamp ring,3/4,0.3,R-2,,\nMill A,clamp ring,3/4,0.3,R-1,,\n\
        Mill A,tee,3/4 x 3/4 x 3/4,2,T-2,,\nMill A,tee,3/4 x 3/4 x 3/4,2,T-1,,\nMill A,tee,3/4 x 1/2 x 3/4,2,T-3,,\n\
        Mill A,reducing coupling,3/4 x 1/2,1,,,\nMill A,clamp ring,1/2,0.2,,,\nMill B,cap,1/2,1,,,\n\
        Mill A,cap,1/2,1,,,\nMill A,cap,3/4,1,C-2,,\nMill A,cap,3/4,1,C-1,bag,1\n";
    let runs = "run,service,size,length (ft),joins,at (ft),to\nC,cold,3/4,10,main,,\nC1,cold,1/2,8,C,5,\n\
                C2,cold,1/2,8,C,7,\nD,cold,3/4,12,main,,\n";
    let terms = "item,value\nwater system,pex-clamp\ncompare with,copper-solder\n";
    let hand = "part,size,quantity,length (ft)\ntube,3/4,1,6\ntube,3/4,1,4\nclamp ring,3/4,2,\n";
    let job = |other: &mut dyn FnMut(&str) -> String| {
        Job::from_texts(&[
            ("job", terms),
            ("runs", &other(runs)),
            ("prices", &other(prices)),
            ("on hand", &other(hand)),
        ])
    };
    let first = job(&mut str::to_owned);
    let mut numbers = Numbers::new(3);
    for turn in 0..40 {
        is_the_same(&format!("turn {turn}"), &first, &job(&mut |table| shuffled(table, &mut numbers)));
    }
}

/// A folder with its tables, and the price lists and tables that its job names, all rows but the job's in another order.
fn copied(from: &Path, to: &Path, numbers: &mut Numbers) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap();
        if path.is_dir() {
            continue;
        }
        let tables: BTreeSet<&str> = ["job.csv", "patterns.csv", "held.csv"].into();
        let is_table = path.extension().is_some_and(|kind| kind == "csv");
        match is_table.then(|| std::fs::read_to_string(&path).unwrap()) {
            Some(text) if !tables.contains(name.to_str().unwrap()) => {
                std::fs::write(to.join(name), shuffled(&text, numbers)).unwrap();
            }
            _ => drop(std::fs::copy(&path, to.join(name)).unwrap()),
        }
    }
}

#[test]
fn another_order_of_rows_of_the_examples_gives_the_same() {
    let home = Path::new(env!("CARGO_MANIFEST_DIR"));
    let scratch = std::env::temp_dir().join(format!("coilstick-rows-{}", std::process::id()));
    for (seed, name) in (1..).zip(["lake-cabin", "counted-by-eye", "courtyard-trunk", "courtyard-manifold"]) {
        let mut numbers = Numbers::new(seed);
        copied(&home.join("price-lists"), &scratch.join("price-lists"), &mut numbers);
        let hours = home.join("price-lists/invented-hours");
        copied(&hours, &scratch.join("price-lists/invented-hours"), &mut numbers);
        let folder = scratch.join("examples").join(name);
        copied(&home.join("examples").join(name), &folder, &mut numbers);
        let first = Job::read(&home.join("examples").join(name)).unwrap();
        is_the_same(name, &first, &Job::read(&folder).unwrap());
    }
    std::fs::remove_dir_all(&scratch).unwrap();
}
