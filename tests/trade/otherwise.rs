//! What may have been meant: notices that say how a cell may be read otherwise, and what the job is then.

use coilstick::ground::{Instead, Notice};
use coilstick::trade::Job;
use rust_decimal::Decimal;

const RUN: &str = "run,service,size,length,alternate,area,to\nA,cold,1/2,10,,,\n";

fn job(tables: &[(&str, &str)]) -> Job {
    let mut texts = tables.to_vec();
    if !texts.iter().any(|(name, _)| *name == "runs") {
        texts.push(("runs", RUN));
    }
    Job::from_texts(&texts)
}

/// The notice of a kind; there is one.
fn told<'a>(job: &'a Job, kind: &str) -> &'a Notice {
    let mut of_kind = job.notices.iter().filter(|notice| notice.kind == kind);
    let notice = of_kind.next().unwrap_or_else(|| panic!("no {kind}: {:#?}", job.notices));
    assert!(of_kind.next().is_none(), "{kind} twice: {:#?}", job.notices);
    notice
}

fn otherwise(job: &Job, kind: &str) -> Vec<String> {
    let shown = |instead: &Instead| format!("{}={}", instead.spot, instead.text);
    told(job, kind).otherwise.iter().map(shown).collect()
}

#[test]
fn a_word_for_nothing_may_be_the_name_of_an_alternate() {
    let runs = format!("{RUN}B,cold,1/2,12,no,,\n");
    let job = job(&[("runs", &runs)]);
    assert_eq!(job.runs.len(), 2, "both runs are in the base bid");
    let notice = told(&job, "alternate-none");
    assert_eq!(notice.otherwise[0].spot.to_string(), "runs.csv:E3");
    let other = job.otherwise(&notice.otherwise);
    assert_eq!((other.runs.len(), other.alternates.runs.len()), (1, 1));
}

#[test]
fn words_for_without_leave_a_row_out_of_an_alternate() {
    for word in ["without", "w/o", "Excl", "excluding", "minus", "less", "not in"] {
        let runs = format!("{RUN}B,cold,1/2,12,patio,,\nC,cold,1/2,12,{word} patio,,\n");
        let job = job(&[("runs", &runs)]);
        assert_eq!(job.notices, [], "{word}");
        assert_eq!(job.runs.len(), 2, "{word}: it is in the base bid");
        let with = job.with_alternate(job.alternates.names[0].0);
        assert_eq!(with.runs.len(), 2, "{word}: and not with the patio");
    }
}

#[test]
fn a_misspelled_alternate_is_meant_as_the_others_in_all_its_cells() {
    let runs = format!(
        "{RUN}B,cold,1/2,1,patio; softner,,\nC,cold,1/2,1,softener,,\nD,cold,1/2,2,softener,,\nE,cold,1/2,3,patio,,\n"
    );
    let job = job(&[("runs", &runs)]);
    assert_eq!(otherwise(&job, "looks-like-another"), ["runs.csv:E3=patio; softener"]);
    assert_eq!(job.otherwise(&told(&job, "looks-like-another").otherwise).alternates.names.len(), 2);
}

#[test]
fn an_item_misspelled_may_be_the_nearest_one() {
    let job = job(&[("job", "item,value\noverhed,9\n")]);
    assert_eq!(otherwise(&job, "unknown-item"), ["job.csv:A2=overhead"]);
    assert_eq!(job.otherwise(&told(&job, "unknown-item").otherwise).settings.overhead, Decimal::from(9));
}

#[test]
fn a_value_beside_its_cell_is_moved_there() {
    let job = job(&[("job", "item,for,value,note\noverhead,9,,\n")]);
    let notice = told(&job, "value-elsewhere");
    assert!(notice.is_error());
    let other = job.otherwise(&notice.otherwise);
    assert_eq!((other.settings.overhead, other.notices.len()), (Decimal::from(9), 0));
}

#[test]
fn a_figure_out_of_the_ordinary_says_what_was_probably_meant() {
    let rows = [
        ("overhead,900", "9"),
        ("margin,99", "9.9"),
        ("markup,1.15", "15"),
        ("burden,1.32", "32"),
        ("burden,132", "32"),
        ("productivity,0.9", "90"),
        ("hours a day,80", "8"),
        ("crew,50", "5"),
        ("rate,4400", "44"),
        ("static pressure,620", "62"),
    ];
    let hours = ("labor", "per,hours\njoint,0.1\n");
    for (row, meant) in rows {
        let text = format!("item,value\n{row}\n");
        let job = job(&[("job", &text), hours]);
        let told = otherwise(&job, "out-of-the-ordinary");
        assert_eq!(told, [format!("job.csv:B2={meant}")], "{row}");
    }
}

#[test]
fn hours_in_minutes_and_a_unit_left_out_are_told() {
    let of = |row: &str| {
        let text = format!("per,hours,unit\n{row}\n");
        otherwise(&job(&[("labor", &text)]), "out-of-the-ordinary")
    };
    assert_eq!(of("joint,15,"), ["labor.csv:B2=0.25"]);
    assert_eq!(of("length,4.6,"), ["labor.csv:C2=100 ft"]);
    assert_eq!(of("place,240,"), ["labor.csv:B2=4"]);
}

#[test]
fn inches_read_as_feet_are_told_beside_the_other_runs() {
    let text = "run,service,size,length\nA,cold,1/2,10\nB,cold,1/2,12\nC,cold,1/2,9\nD,cold,1/2,14\nE,cold,1/2,126\n\
                F,cold,1/2,11\n";
    let job = job(&[("runs", text)]);
    assert_eq!(otherwise(&job, "unlike-the-others"), ["runs.csv:D6=10.5 ft"]);
}

#[test]
fn a_decimal_point_in_the_wrong_place_is_told_beside_the_other_prices() {
    const HEADINGS: &str = "supplier,part,size,price,system,sold as,pack";
    let sound = [
        ("elbow,1/2", "1.10", "pex,each,"),
        ("elbow,3/4", "1.75", "pex,each,"),
        ("elbow,1", "3.05", "pex,each,"),
        ("tube,1/2", "36", "pex,coil,100 ft"),
        ("tube,1/2", "100.44", "pex,coil,300 ft"),
        ("tube,3/4", "66", "pex,coil,100 ft"),
    ];
    let list = |wrong: Option<(usize, &str)>| {
        let mut text = format!("{HEADINGS}\n");
        for supplier in ["Mill Supply (invented)", "Pond Supply (invented)"] {
            for (at, (thing, price, rest)) in sound.iter().enumerate() {
                let price = match wrong {
                    Some((one, other)) if one == at && supplier.starts_with("Pond") => other,
                    Some(_) | None => *price,
                };
                text += &format!("{supplier},{thing},{price},{rest}\n");
            }
        }
        text
    };
    let sound_list = list(None);
    assert_eq!(job(&[("prices", &sound_list)]).notices, []);
    for (at, (thing, price, _)) in sound.iter().enumerate() {
        let price = Decimal::from_str_exact(price).unwrap();
        for (factor, name) in [
            ((100, 0), "a hundred times"),
            ((10, 0), "ten times"),
            ((1, 1), "a tenth"),
            ((1, 2), "a hundredth"),
        ] {
            let wrong = (price * Decimal::new(factor.0, factor.1)).normalize().to_string();
            let text = list(Some((at, &wrong)));
            let job = job(&[("prices", &text)]);
            let meant = format!("prices.csv:D{}={}", at + 8, price.normalize());
            let all: Vec<String> = job
                .notices
                .iter()
                .flat_map(|notice| &notice.otherwise)
                .map(|one| format!("{}={}", one.spot, one.text))
                .collect();
            assert!(all.contains(&meant), "{thing} at {name}: {all:?}");
        }
    }
}

#[test]
fn names_that_look_alike_are_meant_as_the_one_that_is_said_more_often() {
    let text = "run,service,size,length,to,area\nA,cold,1/2,10,hall lavatory,hall bath\nB,hot,1/2,10,hall lavatory,hall bath\nC,cold,1/2,10,hall lavatry,\n";
    assert_eq!(otherwise(&job(&[("runs", text)]), "looks-like-another"), ["runs.csv:E4=hall lavatory"]);
    let sensible = "run,service,size,length,to,area\nA,cold,1/2,10,bath 1,north\nB,hot,1/2,10,bath 2,south\nC,cold,1/2,10,B1,kitchen\nD,cold,1/2,10,B2,kitchen 2\n";
    assert_eq!(job(&[("runs", sensible)]).notices, []);
}
