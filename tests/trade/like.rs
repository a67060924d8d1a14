//! Places and rooms that are like others: a job that says so is the job in which every run is written.

use coilstick::estimate::estimate;
use coilstick::ground::LengthUnit;
use coilstick::report;
use coilstick::trade::{COLUMNS, Job};

const ITEMS: &str = "item,value\nwater system,pex-clamp\ndrain system,pvc-cement\n";

fn job(places: &str, runs: &str) -> Job {
    Job::from_texts(&[("job", ITEMS), ("places", places), ("runs", runs)])
}

/// Every cell of every run and every place by name, whatever row it stands in.
fn said(job: &Job) -> Vec<Vec<String>> {
    let runs = job.runs.iter().map(|run| {
        COLUMNS.iter().map(|column| (column.cell)(run).text(&job.lexicon, LengthUnit::Foot)).collect()
    });
    let word = |word| job.lexicon.text(word).to_owned();
    let places = job.places.iter().map(|place| {
        let patterns = place.patterns.iter().map(|pattern| word(*pattern)).collect::<Vec<_>>().join(";");
        let scope = place.scope.written(&job.lexicon);
        vec![
            place.name.to_string(),
            word(place.fixture),
            patterns,
            word(place.area),
            word(place.level),
            scope,
        ]
    });
    let mut all: Vec<Vec<String>> = runs.chain(places).collect();
    all.sort();
    all
}

/// The takeoff of every alternative as it is written.
fn counted(job: &Job) -> String {
    let files = report::bytes(job, &estimate(job)).unwrap();
    let at = report::FILES.iter().position(|file| *file == "takeoff.csv").unwrap();
    String::from_utf8(files[at].clone()).unwrap()
}

fn assert_same(like: &Job, written: &Job) {
    assert_eq!(said(like), said(written));
    assert_eq!(counted(like), counted(written));
    assert!(counted(like).contains("rough-in,cold"));
}

fn kinds(job: &Job) -> Vec<&str> {
    job.notices.iter().map(|notice| notice.kind).collect()
}

const TUB: &str = "place,fixture,pattern,area,level,like\n\
                   tub,tub and shower,tub valve,hall bath,upper,\n";
const TUB_RUNS: &str = "run,service,size,path (ft),pattern,joins,at,to,area,level,note\n\
                        C1,cold,3/4,E 30,trunk,main,,,hall,upper,\n\
                        H1,hot,3/4,E 30,trunk,main,,,hall,upper,\n\
                        D1,drain,3,E 30,trunk,sewer,,,hall,upper,\n\
                        C2,cold,1/2,S 2; up 3,,C1,10,tub,hall bath,upper,\n\
                        H2,hot,1/2,S 2.5; up 3,,H1,10,tub,hall bath,upper,\n\
                        X1,mixed,1/2,up 4,shower riser,tub,,tub head,hall bath,upper,\n\
                        X2,mixed,1/2,down 1,tub spout,tub,,tub spout,hall bath,upper,\n\
                        D2,drain,1-1/2,S 3,tub drain; trap arm,D1,11,tub,hall bath,upper,\n\
                        V1,vent,1-1/2,up 12,vent,D2,1.5,roof,hall bath,upper,\n";

#[test]
fn a_place_like_another_is_counted_as_if_its_runs_were_written() {
    let like = job(
        &format!("{TUB}tub B,,,,,tub\n"),
        &format!(
            "{TUB_RUNS}C2 tub B,,,,,,20,,,,\nH2 tub B,,,,,,20,,,,\nD2 tub B,,,S 4,,,21,,,,around the post\n\
             V1 tub B,,,up 9,,,2,,,,\n"
        ),
    );
    let written = job(
        &format!("{TUB}tub B,tub and shower,tub valve,hall bath,upper,\n"),
        &format!(
            "{TUB_RUNS}C2 tub B,cold,1/2,S 2; up 3,,C1,20,tub B,hall bath,upper,\n\
             H2 tub B,hot,1/2,S 2.5; up 3,,H1,20,tub B,hall bath,upper,\n\
             X1 tub B,mixed,1/2,up 4,shower riser,tub B,,tub B head,hall bath,upper,\n\
             X2 tub B,mixed,1/2,down 1,tub spout,tub B,,tub B spout,hall bath,upper,\n\
             D2 tub B,drain,1-1/2,S 4,tub drain; trap arm,D1,21,tub B,hall bath,upper,around the post\n\
             V1 tub B,vent,1-1/2,up 9,vent,D2 tub B,2,roof,hall bath,upper,\n"
        ),
    );
    assert_eq!(kinds(&like), ["brought-by-like"]);
    assert_same(&like, &written);
}

const BATH: &str = "place,fixture,pattern,area,level,like\n\
                    lavatory bath 1,lavatory,,bath 1,lower,\n\
                    toilet bath 1,water closet,,bath 1,lower,\n\
                    kitchen sink,kitchen sink,,kitchen,lower,\n";
const BATH_RUNS: &str = "run,service,size,length,pattern,joins,at,to,area,level\n\
                         C1,cold,3/4,40,trunk,main,,,hall,lower\n\
                         C2,cold,3/4,6,trunk,C1,10,,bath 1,lower\n\
                         C3,cold,1/2,3,lavatory,C2,,lavatory bath 1,bath 1,lower\n\
                         C4,cold,1/2,4,toilet,C2,2,toilet bath 1,bath 1,lower\n\
                         C5,cold,1/2,9,kitchen sink,C2,4,kitchen sink,kitchen,lower\n\
                         H1,hot,3/4,40,trunk,main,,,hall,lower\n\
                         H2 to bath 1,hot,1/2,9,lavatory,H1,10,lavatory bath 1,bath 1,lower\n";

#[test]
fn a_room_like_another_has_all_its_runs_and_places_under_its_own_name() {
    let more = "lavatory bath 2,lavatory,,bath 2,upper,\ntoilet bath 2,water closet,,bath 2,upper,\n\
                lavatory bath 3,lavatory,,bath 3,lower,\ntoilet bath 3,water closet,,bath 3,lower,\n";
    let runs = |bath: &str, level: &str, joins: &str, at: &str, long: &str| {
        format!(
            "C2 {bath},cold,3/4,{long},trunk,{joins},{at},,{bath},{level}\n\
             C3 {bath},cold,1/2,3,lavatory,C2 {bath},,lavatory {bath},{bath},{level}\n\
             C4 {bath},cold,1/2,4,toilet,C2 {bath},2,toilet {bath},{bath},{level}\n\
             H2 to {bath},hot,1/2,9,lavatory,H1,{at},lavatory {bath},{bath},{level}\n"
        )
    };
    let written = job(
        &format!("{BATH}{more}"),
        &format!(
            "{BATH_RUNS}{}{}",
            runs("bath 2", "upper", "C1", "20", "6"),
            runs("bath 3", "lower", "C1", "30", "7")
        ),
    );
    // Bath 3 is like bath 2, which is like bath 1; the rows may stand in any order.
    for places in [
        "bath 2,,,,upper,bath 1\nbath 3,,,,lower,bath 2\n",
        "bath 3,,,,lower,bath 2\nbath 2,,,,upper,bath 1\n",
    ] {
        let like = job(
            &format!("{BATH}{places}"),
            &format!(
                "{BATH_RUNS}C2 bath 2,,,,,,20,,,\nH2 to bath 2,,,,,,20,,,\nH2 to bath 3,,,,,H1,30,,,\nC2 bath 3,,,7,,C1,30,,,\n"
            ),
        );
        assert_eq!(kinds(&like), ["brought-by-like", "brought-by-like"]);
        assert_same(&like, &written);
    }
}

#[test]
fn a_run_that_joins_elsewhere_does_so_at_the_end_unless_its_row_says_where() {
    let like = job(&format!("{TUB}tub B,,,,,tub\n"), &format!("{TUB_RUNS}C2 tub B,,,,,C2,,,,,\n"));
    let run = like.runs.iter().find(|run| &*run.name == "C2 tub B").unwrap();
    assert_eq!((run.joins.as_deref(), run.at, run.to.as_deref()), (Some("C2"), None, Some("tub B")));
}

#[test]
fn a_row_without_service_and_size_is_an_error_where_nothing_is_like_another() {
    let job = job(TUB, &format!("{TUB_RUNS}C9,,,,,C1,20,,,,\n"));
    assert_eq!(kinds(&job), ["empty-cell"; 3]);
    assert!(job.runs.iter().any(|run| &*run.name == "C9" && run.in_error));
}

#[test]
fn an_alternate_takes_all_that_is_like_another_with_it() {
    let job = job(
        &format!(
            "{}guest bath,,,,,,hall bath\n",
            TUB.replace("level", "level,alternate").replace("upper,", "upper,,")
        )
        .replace("guest bath,,,,,,", "guest bath,,,,,second bath,"),
        TUB_RUNS,
    );
    assert_eq!(job.alternates.runs.len(), 6);
    assert_eq!(job.alternates.places.len(), 1);
    assert!(job.runs.len() == 9 && job.places.len() == 1);
}
