//! A run list longer than any house has: every row is read, and what is noticed stays as short as for a short one. How
//! long it takes is measured by the benchmark.

use std::fmt::Write;

use coilstick::trade::Job;

const RUNS: usize = 20_000;

#[test]
fn twenty_thousand_runs_are_typed() {
    let mut text = String::from(
        "run,service,size,length (ft),pattern,joins,at,to,reduce to,tail,turns,rise,fixture,level,area,studs,note\n",
    );
    for i in 0..RUNS {
        let parent = i / 5;
        writeln!(
            text,
            "R{i},cold,1/2,\"{}' 6\"\"\",fixture supply; branch,R{parent},{}.5,place {i},3/8,\"1' 6\"\"\",{},3',lavatory,main,bath {},{},as drawn",
            8 + i % 30,
            i % 7,
            i % 4,
            i % 50,
            i % 6,
        )
        .unwrap();
    }
    let job = Job::from_texts(&[("runs", &text)]);
    assert_eq!(job.runs.len(), RUNS);
    assert!(job.runs.iter().all(|run| !run.in_error));
    assert!(job.notices.len() < 10, "{} notices", job.notices.len());
}
