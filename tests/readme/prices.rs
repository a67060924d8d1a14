//! The worked rows of the page of prices: what each says is what is paid.

use coilstick::estimate::{Estimate, estimate};
use coilstick::trade::Job;
use rust_decimal::Decimal;

use super::page;

/// The price list of the section that shows how one is written.
fn list() -> String {
    let text = page("price-lists/README.md");
    let (_, section) = text.split_once("## A price list of your own").unwrap();
    section.split("```csv\n").nth(1).unwrap().split("```").next().unwrap().to_owned()
}

/// What an order line of a part comes to: packs, and the sum.
fn bought(estimate: &Estimate, job: &Job, part: &str) -> (Decimal, Decimal) {
    let is_it = |line: &&coilstick::estimate::OrderLine| {
        &*job.catalog.part(estimate.items.get(line.item).part).name == part
    };
    let line = estimate.alternatives[0].order.iter().find(is_it).unwrap();
    (line.picks.iter().map(|pick| pick.packs).sum(), line.extended.unwrap())
}

/// Worked by hand: 36.00 less 10 % is 32.40; 171 at 0.74 is 126.54; 30 at 41.30 a hundred is 12.39; 9.80 x 0.75 x 0.85 is
/// 6.2475, a bag 6.25; ten valves are 116.00.
#[test]
fn each_worked_row_costs_what_the_page_says() {
    let runs = "run,service,size,length (ft),pattern,joins,tees\n\
                A,hot,3/4,171,,,\nB,cold,1/2,90,many tees,,30\nC,cold,3/4,30,ten valves,,\n";
    let patterns =
        "pattern,part,quantity,per,where\nmany tees,tee,1,tees,\nten valves,ball valve,10,run,start\n";
    let job = Job::from_texts(&[
        ("runs", runs),
        ("patterns", patterns),
        ("prices", &list()),
        ("job", "item,value\ncompare with,none\ndate,2026-03-16\n"),
    ]);
    let estimate = estimate(&job);
    assert_eq!(bought(&estimate, &job, "tee"), (Decimal::from(30), Decimal::new(1_239, 2)));
    assert_eq!(bought(&estimate, &job, "ball valve"), (Decimal::from(10), Decimal::new(11_600, 2)));
    let (bags, rings) = bought(&estimate, &job, "clamp ring");
    assert_eq!(rings, bags * Decimal::new(625, 2));
    let tubes: Vec<Decimal> = estimate.alternatives[0].order.iter().flat_map(|line| line.extended).collect();
    for sum in [Decimal::new(12_654, 2), Decimal::new(3_240, 2)] {
        assert!(tubes.contains(&sum), "{sum}: {tubes:?}");
    }
    let said = page("price-lists/README.md");
    for figure in ["32.40 a coil", "34.56", "126.54", "12.39", "6.25 a bag (6.2475", "from 10 on 11.60"] {
        assert!(said.contains(figure), "{figure}");
    }
}
