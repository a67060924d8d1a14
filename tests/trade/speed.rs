//! How long a long run list takes, measured where somebody asks for it: no clock decides whether the tests pass.

use std::fmt::Write;
use std::time::Instant;

use coilstick::trade::Job;

#[test]
#[ignore = "a measurement: cargo test --release --test trade -- --ignored --nocapture"]
fn a_hundred_thousand_runs_are_typed() {
    let mut text = String::from(
        "run,service,size,length (ft),pattern,joins,at,to,reduce to,tail,turns,rise,fixture,level,area,studs,note\n",
    );
    for i in 0..100_000 {
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
    let started = Instant::now();
    let job = Job::from_texts(&[("runs", &text)]);
    let took = started.elapsed();
    assert_eq!(job.runs.len(), 100_000);
    eprintln!("100,000 runs in {took:?}, {} notices", job.notices.len());
    let started = Instant::now();
    Job::from_texts(&[("runs", "run,service,size,length\nA,cold,1/2,10\n")]);
    eprintln!("a job of one run in {:?}", started.elapsed());
}
