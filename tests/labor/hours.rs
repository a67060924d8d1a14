//! Which row of hours speaks of which work, and what the hours come to.

use super::*;

/// Two elbows: four joints of 3/4, 10 ft of tube, in the crawl space.
const RUNS: &str =
    "run,service,size,length,turns with elbow,turns,area,lie\nA,cold,3/4,10,2,2,crawl space,ground\n";
const NO_COMPARISON: &str = "compare with,,none\n";

fn of(terms: &str, labor: &str) -> (Job, Estimate) {
    let job = job(&format!("{NO_COMPARISON}{terms}"), RUNS, labor, "");
    let estimated = estimate(&job);
    (job, estimated)
}

fn labor(terms: &str, rows: &str) -> Labor {
    of(terms, rows).1.alternatives[0].labor.clone()
}

fn line<'a>(labor: &'a Labor, per: &str) -> &'a LaborLine {
    let mut lines = labor.lines.iter().filter(|line| line.per.word() == per);
    let line = lines.next().unwrap();
    assert!(lines.next().is_none(), "one line per {per}");
    line
}

#[test]
fn without_a_table_there_is_no_labor_and_nothing_is_said_of_it() {
    let (_, estimated) = of("", "");
    let labor = &estimated.alternatives[0].labor;
    assert!(!labor.stated && labor.lines.is_empty() && labor.cost.is_zero());
    assert!(estimated.notices.iter().all(|notice| notice.kind != "no-hours"));
}

#[test]
fn a_line_is_its_quantity_by_the_hours_of_its_row() {
    let labor = labor("", "joint,,,,,,,0.15,\nlength,,,,,,,3,100 ft\n");
    // 4 x 0.15 = 0.60; 10 ft x 3 / 100 = 0.30.
    assert_eq!(line(&labor, "joint").hours, Some(d("0.60")));
    assert_eq!(line(&labor, "length").hours, Some(d("0.30")));
    assert_eq!((labor.hours, labor.has_all_hours(), labor.is_whole()), (d("0.90"), true, false));
    assert_eq!(labor.cost, d("0"));
}

#[test]
fn the_row_that_says_most_wins_whatever_the_order() {
    let rows = ["joint,,,,,,,1,\n", "joint,,,pex,,,,2,\n", "joint,,,pex-clamp,,,,3,\n"];
    for order in [[0, 1, 2], [2, 1, 0], [1, 2, 0]] {
        let table: String = order.iter().map(|row| rows[*row]).collect();
        assert_eq!(line(&labor("", &table), "joint").hours, Some(d("12")), "{order:?}");
    }
    let with_size = format!("{}joint,,,,3/4,,,4,\njoint,,,pex,3/4,,,5,\n", rows.concat());
    assert_eq!(line(&labor("", &with_size), "joint").hours, Some(d("20")));
}

#[test]
fn productivity_and_difficulty_stretch_the_hours_and_are_rounded_once() {
    let terms = "productivity,,80\ndifficulty,crawl space,25\n";
    let labor = labor(terms, "joint,,,,,,,0.07,\nlength,,,,,,,0.333,10 ft\n");
    // 4 x 0.07 x 1.25 / 0.8 = 0.4375: 0.44. 10 ft: 0.333 x 1.25 / 0.8 = 0.5203: 0.52.
    assert_eq!(line(&labor, "joint").hours, Some(d("0.44")));
    assert_eq!(line(&labor, "length").hours, Some(d("0.52")));
    assert_eq!(labor.spread.len(), 1);
    assert_eq!(labor.spread[0].hours, d("0.96"));
}

#[test]
fn an_hour_costs_the_mean_wages_of_the_crew_with_the_burden_on_them() {
    let terms = "crew,journeyman,1\ncrew,helper,2\nrate,journeyman,52\nrate,helper,31\nburden,,28.5\nhours a day,,9\n";
    let labor = labor(terms, "joint,,,,,,,10,\nlength,,,,,,,0,\n");
    // (52 + 2 x 31) / 3 = 38; with 28.5 points 48.83 an hour. 40 hours: 1,953.20. 40 / 3 = 13.33 hours of the crew,
    // 40 / 3 / 9 = 1.48 days.
    assert_eq!((labor.hours, labor.rate, labor.cost), (d("40"), Some(d("48.83")), d("1953.20")));
    assert_eq!((labor.heads, labor.crew_hours, labor.days), (d("3"), d("13.33"), d("1.48")));
    assert!(labor.is_whole());
}

#[test]
fn hours_of_zero_are_stated_and_no_row_is_no_hours() {
    let stated = labor("", "joint,,,,,,,0,\nlength,,,,,,,0,\n");
    assert!(stated.has_all_hours() && stated.hours.is_zero() && stated.lines.len() == 2);
    let (_, estimated) = of("rate,,50\n", "joint,,,,,,,0.1,\n");
    let labor = &estimated.alternatives[0].labor;
    assert_eq!(line(labor, "length").hours, None);
    assert!(!labor.has_all_hours() && !labor.is_whole());
    assert!(estimated.notices.iter().any(|notice| notice.kind == "no-hours"));
}

#[test]
fn fittings_have_their_hours_in_their_joints_unless_a_row_speaks_of_them() {
    let rows = "joint,,,,,,,0.1,\nlength,,,,,,,0,\n";
    assert!(labor("", rows).lines.iter().all(|line| line.per.word() != "part"));
    let with_elbows = labor("", &format!("{rows}part,elbow,,,,,,0.25,\n"));
    assert_eq!(line(&with_elbows, "part").hours, Some(d("0.50")));
    let by_class = labor("", &format!("{rows}part,,fitting,,,,,0.2,\npart,ell,,,,,,0.25,\n"));
    assert_eq!(
        line(&by_class, "part").hours,
        Some(d("0.50")),
        "a part by another of its names, before its class"
    );
}

#[test]
fn runs_and_places_have_hours_where_a_row_says_so() {
    let runs = "run,service,size,length,to,fixture,area\nA,cold,1/2,10,bath sink,lavatory,bath\n\
                B,hot,1/2,10,bath sink,,bath\nC,cold,1/2,5,,,\n";
    let rows = format!(
        "joint,,,,,,,0,\nlength,,,,,,,0,\n{BASE}run,,,,,,,0.2,\nrun,,,,,,lavatory,0.5,\nplace,,,,,,,1,\n"
    );
    let job = job(NO_COMPARISON, runs, &rows, "");
    let estimated = estimate(&job);
    let labor = &estimated.alternatives[0].labor;
    let sum = |per: &str| -> Decimal {
        labor.lines.iter().filter(|line| line.per.word() == per).filter_map(|line| line.hours).sum()
    };
    // Two runs at 0.2 and one to a lavatory at 0.5; one place.
    assert_eq!((sum("run"), sum("place")), (d("0.9"), d("1")));
}

#[test]
fn joints_that_a_cut_plan_adds_have_their_hours() {
    // 30 ft without a stock length, sold in sticks of 10 ft: the plan joins it with two couplings, four joints.
    let prices = "supplier,part,size,price,system,sold as,pack\nDemo,tube,3/4,9,pex,stick,10 ft\n\
                  Demo,coupling,3/4,1,pex,,\nDemo,clamp ring,3/4,0.2,pex,,\n";
    let labor = format!("{HEADINGS}{BASE}joint,,,,,,,0.1,\nlength,,,,,,,0,\npart,coupling,,,,,,0.02,\n");
    let job = Job::from_texts(&[
        ("job", "item,for,value\ncompare with,,none\ncolors,,no\n"),
        ("runs", "run,service,size,length,lie,area\nA,cold,3/4,30,ground,yard\n"),
        ("prices", prices),
        ("labor", &labor),
    ]);
    let estimated = estimate(&job);
    let alternative = &estimated.alternatives[0];
    assert_eq!(alternative.plans[0].extra_couplings, 2);
    let by_plan: Vec<_> = alternative.labor.lines.iter().filter(|line| line.by_plan).collect();
    let shown: Vec<_> = by_plan.iter().map(|line| (line.per.word(), line.quantity, line.hours)).collect();
    assert_eq!(shown, [("joint", d("4"), Some(d("0.40"))), ("part", d("2"), Some(d("0.04")))]);
}
