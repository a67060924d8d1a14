//! Every example's workbook, recalculated from outside.

use std::path::{Path, PathBuf};

use coilstick::estimate::estimate;
use coilstick::trade::Job;

use crate::engine::{Opened, differences};

pub(crate) fn jobs() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let inside = |folder: &str| {
        let entries = std::fs::read_dir(root.join(folder)).unwrap();
        entries
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.join("runs.csv").exists())
            .collect::<Vec<_>>()
    };
    let mut jobs: Vec<PathBuf> = ["examples", "tests"].into_iter().flat_map(inside).collect();
    jobs.sort();
    jobs
}

#[test]
fn every_example_agrees_with_an_outside_recalculation() {
    let jobs = jobs();
    assert!(jobs.len() >= 2, "there are examples");
    for path in jobs {
        let job = Job::read(&path).unwrap();
        agrees(&job, &path.display().to_string());
    }
}

/// Sticks shorter and longer than the system's: what the cut plan adds and spares stands in the formulas of the order.
#[test]
fn couplings_of_the_cut_plan_agree_with_an_outside_recalculation() {
    for stock in ["10 ft", "40 ft"] {
        let prices = format!(
            "supplier,part,size,price,sold as,pack,per\nInvented,tube,3/4,20,stick,{stock},pack\nInvented,coupling,3/4,1,each,,each\n\
             Invented,solder,,30,bag,1 lb,pack\nInvented,flux,,5,bag,4 oz,pack\n"
        );
        let job = Job::from_texts(&[
            ("runs", "run,service,size,length (ft),joins\nC1,cold,3/4,65,main\n"),
            ("job", "item,value\nwater system,copper-solder\ncompare with,none\nallowance fitting,5\n"),
            ("prices", &prices),
        ]);
        agrees(&job, stock);
    }
}

/// What fittings take out of the pieces that a plan cuts stands in the formulas of the order, and in no hour of labor.
#[test]
fn what_fittings_take_out_agrees_with_an_outside_recalculation() {
    let prices = "supplier,part,size,price,sold as,pack,per\nInvented,tube,3/4,20,stick,10 ft,pack\n\
                  Invented,elbow,3/4,1,each,,each\nInvented,solder,,30,bag,1 lb,pack\nInvented,flux,,5,bag,4 oz,pack\n";
    let mut tables = vec![
        (
            "runs",
            "run,service,size,length,joins,turns,turns at\nC1,cold,3/4,14 ft 1 in,main,2,2 ft; 12 ft 1 in\n",
        ),
        (
            "job",
            "item,for,value\nwater system,,copper-solder\ncompare with,,none\nallowance,tube,7\ntube allowance,,piece\n\
             rate,,30\n",
        ),
        ("prices", prices),
        ("labor", "per,hours,unit\nlength,4,100 ft\njoint,0.1,\n"),
    ];
    let hours = |job: &Job| {
        estimate(job).alternatives[0]
            .labor
            .lines
            .iter()
            .map(|line| line.hours)
            .sum::<Option<rust_decimal::Decimal>>()
    };
    let center_to_center = hours(&Job::from_texts(&tables));
    tables.push(("take-outs", "part,take-out\nelbow,3/4 in\n"));
    let job = Job::from_texts(&tables);
    let line = &estimate(&job).alternatives[0].order[0];
    // 169 in. less 3/4 on both sides of both elbows.
    assert_eq!((line.need * rust_decimal::Decimal::from(12)).round_dp(9), rust_decimal::Decimal::from(166));
    assert_eq!(hours(&job), center_to_center);
    agrees(&job, "take-outs");
}

/// A transition of two adapters, and tees of which one is on the shelf: the order, the request for quotes and the unit
/// prices of what is built are formulas too.
#[test]
fn what_is_built_from_others_agrees_with_an_outside_recalculation() {
    let prices = "supplier,part,size,price,system,sold as,pack\nMill,tube,3/4,30,pex,coil,100 ft\n\
                  Mill,tube,1/2,20,pex,coil,100 ft\nMill,tube,3/4,20,copper,stick,20 ft\nMill,tee,3/4,2,,,\n\
                  Mill,reducing coupling,3/4 x 1/2,1,,,\nMill,male adapter,3/4,3,pex,,\n\
                  Mill,female adapter,3/4,4,copper,,\nMill,cap,3/4,1,,,\nMill,cap,1/2,1,,,\n\
                  Mill,clamp ring,3/4,0.3,,bag,10\nMill,clamp ring,1/2,0.2,,,\nMill,solder,,8,,bag,1 lb\n\
                  Mill,flux,,4,,bag,2 oz\nMill,thread tape,,1.5,,bag,1 roll\n";
    let job = Job::from_texts(&[
        (
            "runs",
            "run,service,size,length (ft),joins,at (ft),system\nA,cold,3/4,10,main,,\nA1,cold,1/2,8,A,3,\n\
             A2,cold,1/2,8,A,6,\nB,cold,3/4,8,A,,copper-solder\n",
        ),
        (
            "job",
            "item,for,value\nwater system,,pex-clamp\ncompare with,,none\nallowance,fitting,10\nrate,,30\n",
        ),
        ("on hand", "part,size,quantity\ntee,3/4 x 3/4 x 1/2,1\n"),
        ("labor", "per,hours\njoint,0.05\nthread,0.2\nlength,0.01\nplace,0\nsupport,0\n"),
        ("prices", prices),
    ]);
    assert_eq!(estimate(&job).alternatives[0].built.len(), 2);
    agrees(&job, "built");
}

/// The workbook of a job, recalculated, shows what we wrote into it.
fn agrees(job: &Job, name: &str) {
    let [workbook, ..] = coilstick::report::bytes(job, &estimate(job)).unwrap();
    let mut book = Opened::new(&workbook);
    let cached = book.formulas();
    book.recalculate();
    let wrong = differences(&book.formulas(), &cached);
    assert!(wrong.is_empty(), "{name}: {} cells differ: {:#?}", wrong.len(), &wrong[..wrong.len().min(8)]);
    assert!(cached.len() > 30, "{name}: only {} formulas", cached.len());
}
