//! What an alternative uses of the table of tools, and what that costs.

use super::*;

const RUNS: &str = "run,service,size,length,turns,system\nA,cold,3/4,10,4,\nB,cold,3/4,10,4,pex-clamp\n";
const TOOLS: &str = "tool,system,how,price,jobs,days\n\
    torch,copper-solder,bought,50,3,\n\
    clamp tool,pex,bought,70,,\n\
    cutter,,owned,,,\n\
    crimper,pex-crimp,bought,90,,\n\
    lift,,rented by day,40,,\n\
    bender,copper,rented by week,25,,6\n";

fn tools_of(terms: &str, labor: &str) -> (Job, Estimate) {
    let job = job(terms, RUNS, labor, TOOLS);
    let estimated = estimate(&job);
    (job, estimated)
}

fn shown(job: &Job, estimated: &Estimate, at: usize) -> Vec<(String, Option<Decimal>)> {
    let table = job.tools.as_ref().unwrap();
    let lines = estimated.alternatives[at].tools.lines.iter();
    lines.map(|line| (table[line.tool].tool.to_string(), line.cost)).collect()
}

#[test]
fn an_alternative_pays_for_the_tools_of_the_systems_it_is_laid_in() {
    // Copper bends by elbows: 8 joints a run. 16 hours by one person are two days.
    let rows = "joint,,,copper,,,,1,\njoint,,,pex,,,,0,\nlength,,,,,,,0,\nsupport,,,,,,,0,\n";
    let (job, estimated) = tools_of("", rows);
    let named = |list: &[(&str, Option<&str>)]| -> Vec<(String, Option<Decimal>)> {
        list.iter().map(|(tool, cost)| ((*tool).to_owned(), cost.map(d))).collect()
    };
    // pex: everything lies in pex, no hour is worked and no day is rented.
    let pex = [("clamp tool", Some("70")), ("cutter", Some("0")), ("lift", Some("0"))];
    assert_eq!(shown(&job, &estimated, 0), named(&pex));
    // copper: run B stays in pex. The torch is shared by three jobs: 16.67. The crew works 8 joints: one day of the lift.
    // Six days of work are two weeks begun of the bender.
    let copper = [
        ("torch", Some("16.67")),
        ("clamp tool", Some("70")),
        ("cutter", Some("0")),
        ("lift", Some("40")),
        ("bender", Some("50")),
    ];
    assert_eq!(shown(&job, &estimated, 1), named(&copper));
    assert_eq!(estimated.alternatives[1].labor.hours, d("8"));
    assert_eq!(estimated.alternatives[1].tools.cost, d("176.67"));
    assert!(estimated.alternatives[1].tools.is_whole());
}

#[test]
fn a_tool_rented_for_unknown_days_is_not_priced() {
    let (job, estimated) = tools_of("", "");
    assert_eq!(shown(&job, &estimated, 0)[2], ("lift".to_owned(), None));
    assert!(!estimated.alternatives[0].tools.is_whole());
    assert!(estimated.notices.iter().any(|notice| notice.kind == "tool-without-days"));
}

#[test]
fn without_a_table_there_are_no_tools() {
    let job = job("", RUNS, "", "");
    let tools = &estimate(&job).alternatives[0].tools;
    assert!(!tools.stated && tools.lines.is_empty() && tools.cost.is_zero());
}
