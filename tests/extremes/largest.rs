//! Each number of each table at the largest that is read, and beyond: nothing panics, nothing is lost without a word.

use coilstick::estimate::revision::{Side, revise};
use coilstick::estimate::trial::try_price;
use coilstick::estimate::{Estimate, estimate};
use coilstick::report;
use coilstick::table::Holds;
use coilstick::trade::{Job, SHAPES};

/// A sound house whose tables have a cell under every heading that holds a number.
const HOUSE: [(&str, &str); 13] = [
    (
        "runs",
        "run,service,size,length,joins,at,to,to at,reduce to,tail,turns,turns with elbow,turns at,offsets,rise,count,pattern,hooks\n\
         A,cold,3/4,40 ft,main,,,,1/2,4 ft,2,1,3 ft; 9 ft,1,2 ft,,,\n\
         B,cold,1/2,12 ft,A,10 ft,sink,,,,,,,,,,,\n\
         C,hot,1/2,12 ft,,,,,,,,,,,,3,hooked,2\n\
         D,return,1/2,12 ft,,,A,5 ft,,,,,,,,,,\n",
    ),
    (
        "prices",
        "supplier,part,size,price,system,sold as,pack,per,discount,breaks,low,high,quantity\n\
         Mill Supply (invented),tube,1/2,36,pex-clamp,coil,100 ft,pack,5,2: 30,30,40,\n\
         Mill Supply (invented),tube,3/4,60,pex-clamp,coil,100 ft,pack,,,,,\n\
         Mill Supply (invented),clamp ring,1/2,0.40,pex,bag,10,pack,,,,,\n\
         Mill Supply (invented),clamp ring,3/4,0.60,pex,each,,,,,,,\n\
         Mill Supply (invented),elbow,3/4,2,pex,each,,,,,,,\n",
    ),
    ("suppliers", "supplier,delivery fee,least order\nMill Supply (invented),25,10\n"),
    (
        "labor",
        "per,hours,unit\njoint,0.1,1\nlength,0.02,ft\nrun,0.2,\npart,0.1,\nsupport,0.1,\nthread,0.1,\nplace,0.1,\n",
    ),
    ("tools", "tool,how,price,jobs,days\ncutter,bought,20,4,\npump,rented by day,20,1,2\n"),
    ("on hand", "part,size,quantity,length\ntube,1/2,1,20 ft\nclamp ring,1/2,4,\n"),
    (
        "patterns",
        "pattern,part,quantity,per,every,where\nhooked,cap,1,hooks,,\nhooked,ball valve,1,run,,3 ft\n",
    ),
    ("joints", "joint,size,part,amount,unit,per\nclamp,,clamp ring,1,each,1\n"),
    ("supports", "tube,size,across,up,part\npex,1/2,32 in,10 ft,tube clip\n"),
    ("sizes", "tube,size,order,outside,inside\npex,1/2,0.5,0.625,0.475\n"),
    ("fixtures", "fixture,units,flow\nkitchen sink,1.4,1.75\n"),
    ("held", "part,size,offer,packs\ntube,1/2,\"Mill Supply (invented), coil of 100 ft\",2\n"),
    (
        "job",
        "item,for,value\nwater system,,pex-clamp\ncompare with,,none\noverhead,,10\nprofit,,10\ncontingency,,5\nsmall parts,,2\n\
         delivery,,20\nfee,permit,100\nmarked up fee,bond,100\nsales tax,,7\nburden,,30\nrate,,40\ncrew,,2\nproductivity,,90\n\
         difficulty,,10\nhours a day,,8\nallowance,fitting,5\nallowance,tube,5\ntube allowance,,piece\nstatic pressure,,60\n",
    ),
];

const NUMBERS: [&str; 7] = [
    "1000000000",
    "1000000000.01",
    "1000000000001",
    "79228162514264337593543950335",
    "1e27",
    "0.000001",
    "0.0000001",
];
const COUNTS: [&str; 4] = ["1000000", "1000001", "4294967295", "9223372036854775807"];
const LENGTHS: [&str; 4] = ["1000000 m", "1000001 m", "9223372036854775807 ft", "0.000001 mm"];
const SHARES: [&str; 4] = ["1000", "1000.01", "79228162514264337593543950335", "99.999999"];

/// The house with another text in one cell.
fn with(table: &str, row: usize, column: usize, text: &str) -> Vec<(&'static str, String)> {
    let changed = |name: &str, rows: &str| {
        let mut lines: Vec<String> = rows.lines().map(str::to_owned).collect();
        if name == table {
            let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(lines[row].as_bytes());
            let mut cells: Vec<String> =
                reader.records().next().unwrap().unwrap().iter().map(str::to_owned).collect();
            text.clone_into(&mut cells[column]);
            lines[row] = cells
                .iter()
                .map(|cell| format!("\"{}\"", cell.replace('"', "\"\"")))
                .collect::<Vec<_>>()
                .join(",");
        }
        lines.join("\n") + "\n"
    };
    HOUSE.iter().map(|(name, rows)| (*name, changed(name, rows))).collect()
}

/// Estimates the house and writes all its files. What is not told must be a whole bid.
fn comes_through(what: &str, tables: &[(&'static str, String)]) -> bool {
    let texts: Vec<(&str, &str)> = tables.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let job = Job::from_texts(&texts);
    let done = estimate(&job);
    report::bytes(&job, &done).unwrap_or_else(|why| panic!("{what}: {why:?}"));
    let told = job.notices.iter().chain(&done.notices).any(coilstick::ground::Notice::is_error);
    let chosen = &done.alternatives[0];
    let whole = chosen.cost.complete && chosen.cost.not_priced.is_empty() && !chosen.cost.bid.total.is_zero();
    if value_is_largest(what) {
        moved(&job, &done);
    }
    assert!(
        told || whole || !chosen.cost.not_priced.is_empty(),
        "{what} is not told and the bid is not whole"
    );
    told
}

/// The largest that is read, of which there is most to be moved.
fn value_is_largest(what: &str) -> bool {
    ["1000000000", "1000000", "1000000 m", "1000", "all together"].iter().any(|value| what.ends_with(value))
}

/// Sets the house against the sound one, both ways, and tries a price.
fn moved(job: &Job, done: &Estimate) {
    let sound = Job::from_texts(&HOUSE);
    let of_sound = estimate(&sound);
    let (old, new) = (Side { job: &sound, estimate: &of_sound }, Side { job, estimate: done });
    for (before, now) in [(old, new), (new, old)] {
        let between = now.job.at_prices_of(before.job);
        let same_prices = estimate(&between);
        revise(before, Side { job: &between, estimate: &same_prices }, now);
    }
    let mut tried = job.clone();
    if try_price(&mut tried, "tube", "1000").is_ok() {
        estimate(&tried);
    }
}

#[test]
fn the_house_itself_is_sound() {
    let texts: Vec<(&str, &str)> = HOUSE.to_vec();
    let job = Job::from_texts(&texts);
    let errors: Vec<_> = job.notices.iter().filter(|notice| notice.is_error()).collect();
    assert!(errors.is_empty(), "{errors:#?}");
}

#[test]
fn no_number_of_a_table_is_too_large_to_be_told() {
    let mut judged = 0;
    for (table, rows) in HOUSE.iter().filter(|(name, _)| *name != "job") {
        let shape = SHAPES.into_iter().find(|shape| shape.name == *table).unwrap();
        let headings: Vec<&str> = rows.lines().next().unwrap().split(',').collect();
        for (column, heading) in headings.iter().enumerate() {
            let holds = shape
                .columns
                .iter()
                .find(|one| one.heading == *heading)
                .map_or(Holds::Count, |one| one.holds);
            let values: &[&str] = match holds {
                Holds::Number => &NUMBERS,
                Holds::Count => &COUNTS,
                Holds::Length | Holds::Lengths => &LENGTHS,
                Holds::Percent | Holds::Discount => &SHARES,
                Holds::Text if ["pack", "per", "unit", "quantity", "breaks", "every"].contains(heading) => &[
                    "1000000",
                    "1000001",
                    "1000000 ft",
                    "1: 1000000001",
                    "1000001: 3",
                    "9223372036854775807",
                ],
                Holds::Text | Holds::Size | Holds::Date | Holds::YesNo => continue,
            };
            for (row, _) in rows.lines().enumerate().skip(1) {
                for value in values {
                    comes_through(
                        &format!("{table} {heading} row {row}: {value}"),
                        &with(table, row, column, value),
                    );
                    judged += 1;
                }
            }
        }
    }
    assert!(judged > 300, "{judged}");
}

#[test]
fn no_number_of_the_job_is_too_large_to_be_told() {
    let rows = HOUSE.iter().find(|(name, _)| *name == "job").unwrap().1;
    for (row, line) in rows.lines().enumerate().skip(3) {
        for value in NUMBERS.iter().chain(&SHARES) {
            comes_through(&format!("{line}: {value}"), &with("job", row, 2, value));
        }
        let beyond = with("job", row, 2, "79228162514264337593543950335");
        assert!(
            comes_through(line, &beyond) || line.starts_with("tube allowance"),
            "{line}: beyond any house and not told"
        );
    }
}

#[test]
fn all_the_largest_numbers_together_are_told() {
    let mut texts: Vec<(&str, String)> =
        HOUSE.iter().map(|(name, rows)| (*name, (*rows).to_owned())).collect();
    for (name, text) in &mut texts {
        match *name {
            "labor" => {
                *text =
                    "per,hours,unit\njoint,1000000000,0.000001\nlength,1000000000,0.000001 ft\n".to_owned()
            }
            "suppliers" => {
                *text = "supplier,delivery fee,least order\nMill Supply (invented),1000000000,1000000000\n"
                    .to_owned()
            }
            "tools" => {
                *text =
                    "tool,how,price,jobs,days\npump,rented by day,1000000000,0.000001,1000000000\n".to_owned()
            }
            "job" => {
                *text = text
                    .replace("rate,,40", "rate,,1000000000")
                    .replace("productivity,,90", "productivity,,0.1")
            }
            _ => {}
        }
    }
    assert!(comes_through("all together", &texts));
    let texts: Vec<(&str, &str)> = texts.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let done = estimate(&Job::from_texts(&texts));
    for kind in ["labor-too-large", "tool-too-large"] {
        assert!(done.notices.iter().any(|notice| notice.kind == kind), "{kind}: {:#?}", done.notices);
    }
    assert!(!done.alternatives[0].cost.complete);
}

/// What is read is so small that sums fit; a job that was changed in memory may go beyond.
#[test]
fn sums_beyond_what_money_is_counted_in_are_told_and_the_bid_is_incomplete() {
    let mut job = Job::from_texts(&HOUSE);
    job.settings.overhead = rust_decimal::Decimal::MAX;
    let estimate = estimate(&job);
    assert!(estimate.notices.iter().any(|notice| notice.kind == "sums-too-large"));
    assert!(!estimate.is_complete());
}
