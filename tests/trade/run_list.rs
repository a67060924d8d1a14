//! Rows of the run list.

use coilstick::ground::{Instead, Length, LengthUnit};
use coilstick::trade::{Job, Lie, Meeting, Phase, Run, Service};
use rust_decimal::Decimal;

fn job(text: &str) -> Job {
    Job::from_texts(&[("runs", text)])
}

fn only(text: &str) -> Run {
    let mut job = job(text);
    // The slope is read, and used by nothing yet.
    job.notices.retain(|notice| notice.kind != "not-used-yet");
    assert_eq!(job.notices, []);
    job.runs.into_iter().next().unwrap()
}

fn inches(count: i64) -> Length {
    Length::whole(count, LengthUnit::Inch)
}

#[test]
fn every_cell_of_a_run_is_read() {
    let text = "run,service,size,length (ft),pattern,joins,at,tee,to,reduce to,tail,turns,turns with elbow,turns at,\
                offsets,rise,lie,slope,fixture,level,area,system,variant,phase,no joint,note\n\
                B 1,Hot,3/4\"\"\",12.5,Fixture Supply; trunk,A 1,\"3' 6\"\"\",BULL,sink,.5,18 in,2,1,2; 5 ft 6 in,\
                1,-3',framing,1/4,Kitchen Sink,main,kitchen,copper-solder,type M,Rough In,no,as drawn\n";
    let text = text.replace("3/4\"\"\"", "\"3/4\"\"\"");
    let run = only(&text);
    assert_eq!((&*run.name, run.service, run.length), ("B 1", Service::Hot, inches(150)));
    assert_eq!((run.joins.as_deref(), run.at, run.tee), (Some("A 1"), Some(inches(42)), Some(Meeting::Bull)));
    assert_eq!((run.to.as_deref(), run.tail), (Some("sink"), Some(inches(18))));
    assert_eq!((run.turns, run.turns_with_elbow, run.offsets), (Some(2), 1, 1));
    assert_eq!(&*run.turns_at, [inches(24), inches(66)]);
    assert_eq!(
        (run.rise, run.lie, run.phase, run.no_joint),
        (inches(-36), Lie::Framing, Some(Phase::RoughIn), false)
    );
    assert_eq!((run.patterns.len(), run.count, run.copies(), &*run.note), (2, None, 1, "as drawn"));
}

#[test]
fn words_match_without_case_and_are_shown_as_first_written() {
    let job = job(
        "run,service,size,length,pattern,area\nA,cold,1/2,10,Trunk,Hall  Bath\nB,cold,.5,10,TRUNK,hall bath\n",
    );
    assert_eq!(job.notices, []);
    assert_eq!(job.runs[0].patterns, job.runs[1].patterns);
    assert_eq!((job.runs[0].area, job.runs[0].size), (job.runs[1].area, job.runs[1].size));
    assert_eq!(job.lexicon.text(job.runs[1].area), "Hall Bath");
}

#[test]
fn a_run_in_slab_or_ground_is_underground_unless_a_phase_is_named() {
    let job = job(
        "run,service,size,length,lie,phase\nA,cold,1/2,10,slab,\nB,cold,1/2,10,ground,tie-in\nC,cold,1/2,10,,\n",
    );
    assert_eq!(job.notices, []);
    let phases: Vec<_> = job.runs.iter().map(Run::phase).collect();
    assert_eq!(phases, [Phase::Underground, Phase::TieIn, Phase::RoughIn]);
}

#[test]
fn a_row_in_error_stays_in_the_list_so_that_its_name_is_known() {
    let job = job("run,service,size,length\nA,cold,1/2,ten\nB,cold,1/2,10\n");
    let in_error: Vec<_> = job.runs.iter().map(|run| (&*run.name, run.in_error)).collect();
    assert_eq!(in_error, [("A", true), ("B", false)]);
    assert_eq!(job.notices.len(), 1);
}

#[test]
fn further_columns_are_counts_where_a_pattern_names_them() {
    let job = Job::from_texts(&[
        (
            "runs",
            "run,service,size,length,Nail-Plates,pattern,wing\nA,cold,1/2,10,4,mine,old\nB,cold,1/2,10,,mine,new\n",
        ),
        ("patterns", "pattern,part,per,only\nmine,tube clip,nail plates,wing=Old\n"),
    ]);
    assert_eq!(job.notices, []);
    let row = &job.catalog.patterns.last().unwrap().rows[0];
    let counted: Vec<_> = job
        .runs
        .iter()
        .map(|run| match row.per {
            coilstick::trade::Per::Column(column) => (run.counted(column), row.is_for(run, &job.lexicon)),
            _ => panic!("per is a column"),
        })
        .collect();
    assert_eq!(counted, [(Decimal::from(4), true), (Decimal::ZERO, false)]);
}

#[test]
fn only_asks_for_the_value_of_a_column_in_any_spelling() {
    let run =
        "run,service,size,length,lie,phase,fixture,no joint,turns\nA,hot,0.75,10,slab,,Kitchen  Sink,yes,2\n";
    for (only, holds) in [
        ("service=HOT", true),
        ("Service=cold", false),
        ("size=3/4", true),
        ("size=.75", true),
        ("lie=slab", true),
        ("phase=underground", true),
        ("phase=rough in", false),
        ("fixture=kitchen sink", true),
        ("No Joint=yes", true),
        ("no-joint=no", false),
        ("turns=2", true),
        ("turns=2.0; service=hot", true),
        ("turns=2; service=cold", false),
        ("system=", true),
        ("area=", true),
        ("area=bath", false),
    ] {
        let patterns = format!("pattern,part,per,only\nmine,cap,end,{only}\n");
        let job = Job::from_texts(&[("runs", run), ("patterns", &patterns)]);
        assert_eq!(job.notices, [], "{only}");
        let row = &job.catalog.patterns.last().unwrap().rows[0];
        assert_eq!(row.is_for(&job.runs[0], &job.lexicon), holds, "{only}");
    }
}

#[test]
fn a_counted_run_names_its_reducers_without_a_tail() {
    let run = only("run,service,size,length,pattern,reduce to,reducers\nA,cold,3/4,40,counted,1/2,3\n");
    assert_eq!((run.tail, run.reduce_to.is_some()), (None, true));
}

#[test]
fn a_return_may_end_along_a_run() {
    let job = job("run,service,size,length,joins,to,to at\nH,hot,1/2,20,,,\nR,return,1/2,20,H,H,3\n");
    assert_eq!(job.notices, []);
    assert_eq!(job.runs[1].to_at, Some(inches(36)));
}

#[test]
fn a_cell_can_be_read_as_it_may_have_been_meant() {
    let job = job("run,service,size,length (ft)\nB1,cold,1/2,10\nB2,cold,1/2,20\n");
    let cell = Instead { spot: job.sources.cell(job.runs[0].row, "length"), text: "15".to_owned() };
    let gone = Instead { spot: job.sources.row(job.runs[1].row), text: String::new() };
    let other = job.otherwise(&[cell, gone]);
    assert_eq!(other.runs.iter().map(|run| run.length).collect::<Vec<_>>(), [inches(180)]);
    assert_eq!(job.otherwise(&[]).runs.len(), job.runs.len());
}
