//! Every CSV file goes through a spreadsheet and comes back: no cell that is meant as text is one that such a program would
//! run, or turn into a number, a day, a time or a truth and give back as something else. The model of what it turns is
//! written here anew and shares nothing with the program's guard (common practice: what spreadsheets do on opening CSV).

use std::collections::{BTreeMap, BTreeSet};

use coilstick::estimate::estimate;
use coilstick::report;
use coilstick::trade::Job;

use crate::EXAMPLES;

/// Columns of numbers and days, which a spreadsheet may take for what they are.
const NUMBERS: [&str; 28] = [
    "costs",
    "need",
    "allow",
    "on hand",
    "pack",
    "packs",
    "buy",
    "left over",
    "price",
    "extended",
    "plan",
    "times",
    "pieces",
    "quantity",
    "hours each",
    "for",
    "difficulty %",
    "hours",
    "percent",
    "count",
    "amount",
    "needed",
    "length (ft)",
    "piece (ft)",
    "as cut (ft)",
    "beginning take-out (ft)",
    "end take-out (ft)",
    "left (ft)",
];

/// What a spreadsheet gives back for the text of a cell; nothing where it leaves it as it is.
fn changed(text: &str) -> Option<String> {
    let shown = text.trim_start_matches(['\u{feff}', '\u{200b}', ' ']);
    if shown.starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠', '\t', '\r', '\n']) {
        return Some("run".to_owned());
    }
    let back = number(text).or_else(|| truth(text)).or_else(|| day(text)).or_else(|| fraction(text));
    back.filter(|back| back != text)
}

fn number(text: &str) -> Option<String> {
    let plain: String = text.chars().filter(|c| !",$% ".contains(*c)).collect();
    if !plain.starts_with(|c: char| c.is_ascii_digit() || c == '.') {
        return None;
    }
    let number: f64 = plain.parse().ok()?;
    let digits = plain.chars().filter(char::is_ascii_digit).count();
    Some(if digits > 11 { format!("{number:e}") } else { number.to_string() })
}

fn truth(text: &str) -> Option<String> {
    let upper = text.to_uppercase();
    ["TRUE", "FALSE"].contains(&&*upper).then(|| upper + " as a truth")
}

fn day(text: &str) -> Option<String> {
    let parts: Vec<&str> = text.split(['/', '-', ' ', ':', '.']).filter(|part| !part.is_empty()).collect();
    let is_number = |part: &&str| part.parse::<u32>().is_ok();
    let is_month = |part: &&str| {
        let part = part.to_lowercase();
        let months = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];
        months.iter().any(|month| part.starts_with(month) && part.chars().all(char::is_alphabetic))
    };
    let numbers = parts.iter().filter(|part| is_number(part)).count();
    let months = parts.iter().filter(|part| is_month(part)).count();
    let all = numbers + months == parts.len() && (2..=3).contains(&parts.len());
    (all && numbers > 0 && months < 2).then(|| "a day".to_owned())
}

fn fraction(text: &str) -> Option<String> {
    let (whole, part) = text.split_once([' ', '-'])?;
    let (above, below) = part.split_once('/')?;
    let all = [whole, above, below].iter().all(|number| number.trim().parse::<u32>().is_ok());
    all.then(|| "a decimal".to_owned())
}

/// A file: its name, its headings, its rows.
type CsvFile = (&'static str, Vec<String>, Vec<Vec<String>>);

/// The CSV files of an estimate: name, headings, rows.
fn files(job: &Job) -> Vec<CsvFile> {
    let bytes = report::bytes(job, &estimate(job)).unwrap();
    let named = report::FILES.into_iter().zip(bytes).filter(|(name, _)| name.ends_with(".csv"));
    named
        .map(|(name, bytes)| {
            let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(bytes.as_slice());
            let cells = |row: &csv::StringRecord| row.iter().map(str::to_owned).collect::<Vec<_>>();
            let headings = cells(reader.headers().unwrap());
            (name, headings, reader.records().map(|row| cells(&row.unwrap())).collect())
        })
        .collect()
}

/// The cells of all files that are meant as text, and a heading with what is wrong where one would be changed.
fn no_text_would_be_changed(job: &Job) -> usize {
    let (mut wrong, mut texts) = (Vec::new(), 0);
    for (name, headings, rows) in files(job) {
        let table_of_sums = ["comparison.csv", "bid.csv"].contains(&name);
        for heading in &headings {
            wrong.extend(changed(heading).map(|to| format!("{name}: heading {heading} becomes {to}")));
        }
        for row in &rows {
            for (at, (heading, cell)) in headings.iter().zip(row).enumerate() {
                let is_plan_of_held = name == "held.csv" && heading == "plan";
                let is_shelf_of_request = name == "request-for-quote.csv" && heading == "on hand";
                let is_pack_of_request = name == "request-for-quote.csv" && heading == "pack";
                let words = is_plan_of_held || is_shelf_of_request || is_pack_of_request;
                let is_day = name == "owner.csv" && ["date", "good until"].contains(&&*row[0]);
                let is_number = NUMBERS.contains(&&**heading) && !words || table_of_sums && at > 2;
                if is_number
                    || is_day
                    || table_of_sums && at > 1 && changed(cell).is_some() && number(cell).is_some()
                {
                    continue;
                }
                texts += 1;
                wrong.extend(changed(cell).map(|to| format!("{name}, {heading}: {cell} becomes {to}")));
            }
        }
    }
    assert!(wrong.is_empty(), "{} of {texts}: {:#?}", wrong.len(), &wrong[..wrong.len().min(20)]);
    texts
}

/// Names that a spreadsheet spoils, and names that begin as a guard does.
const NAMES: [&str; 14] = [
    "3-4",
    "10-12",
    "00123",
    "1E5",
    "TRUE",
    "2026-01-02",
    "=x",
    "@x",
    "＝x",
    "12:30",
    "Mar 5",
    "1234567890123",
    "''3-4",
    "'quick'",
];

/// A job in which every name that a user gives is such a one.
fn job(held: &str) -> Job {
    let mut runs = String::from("run,service,size,length (ft),pattern,joins,at (ft),area,alternate\n");
    for (at, name) in NAMES.iter().enumerate() {
        let joins = if at == 0 { "main".to_owned() } else { format!("{},{at}", NAMES[0]) };
        let joins = if at == 0 { format!("{joins},") } else { joins };
        let size = if at == 0 { "3/4" } else { "3/8" };
        runs += &format!("{name},cold,{size},{},,{joins},1-2,\n", if at == 0 { 40 } else { 7 });
    }
    runs += "9-9,cold,3/8,5,,3-4,20,1-2,5-6\n";
    let mut prices = String::from("supplier,part,size,price,sold as,pack,per,code\n");
    for (size, code) in [("3/8", "1-2"), ("3/4", "00456")] {
        prices += &format!("3/4,tube,{size},9.5,coil,100 ft,pack,{code}\n");
    }
    for (part, size, code) in [
        ("tee", "3/4 x 3/4 x 3/8", "1E7"),
        ("elbow", "3/8", "12/25"),
        ("cap", "3/8", "=1+1"),
        ("cap", "3/4", "TRUE"),
        ("clamp ring", "3/8", "123456789012345"),
        ("clamp ring", "3/4", "''00"),
        ("tube clip", "3/8", "70156"),
    ] {
        prices += &format!("3/4,{part},{size},1.25,each,,each,{code}\n");
    }
    let terms = "item,for,value\nname,,1/2\ncompare with,,none\njob reference,,12-3\nship to,,7/8\n";
    let labor = "per,work,system,size,area,hours\njoint,,,,,0.1\n";
    let mut tables = vec![("runs", &*runs), ("prices", &*prices), ("job", terms), ("labor", labor)];
    tables.extend((!held.is_empty()).then_some(("held", held)));
    Job::from_texts(&tables)
}

#[test]
fn no_text_of_an_example_is_one_that_a_spreadsheet_would_change() {
    for example in &EXAMPLES {
        let texts = no_text_would_be_changed(&Job::read(&example.path()).unwrap());
        assert!(texts > 500, "{}: only {texts} texts", example.name);
    }
}

#[test]
fn names_codes_and_sizes_that_a_spreadsheet_spoils_are_guarded_in_every_file() {
    let job = job("");
    assert!(job.runs.iter().any(|run| &*run.name == "'3-4"), "a mark of somebody's own stays");
    assert!(no_text_would_be_changed(&job) > 100);
}

/// A column of one of the files, as it is written.
fn column(job: &Job, file: &str, heading: &str) -> BTreeSet<String> {
    let (_, headings, rows) = files(job).into_iter().find(|(name, ..)| *name == file).unwrap();
    let at = headings.iter().position(|name| name == heading).unwrap();
    rows.into_iter().map(|row| row[at].clone()).filter(|cell| !cell.is_empty()).collect()
}

#[test]
fn what_is_added_to_a_cell_is_taken_off_when_it_is_read_back() {
    let job = job("");
    let quoted = |cell: &String| format!("\"{}\"", cell.replace('"', "\"\""));
    // Run names of the cut plan, as a run list has them.
    let mut runs = String::from("run,service,size,length\n");
    for name in column(&job, "cut-plan.csv", "run") {
        runs += &format!("{},cold,1/2,10\n", quoted(&name));
    }
    let again = Job::from_texts(&[("runs", &runs)]);
    let names = |job: &Job| job.runs.iter().map(|run| run.name.to_string()).collect::<BTreeSet<_>>();
    assert_eq!(names(&again), names(&job));
    // Codes, suppliers and sizes of the order, as a price list has them.
    let mut prices = String::from("supplier,part,size,price,code\n");
    let (_, headings, rows) = files(&job).into_iter().find(|(name, ..)| *name == "order.csv").unwrap();
    let rows: Vec<BTreeMap<&str, &String>> =
        rows.iter().map(|row| headings.iter().map(String::as_str).zip(row).collect()).collect();
    for row in rows.iter().filter(|row| row["status"] == "bought") {
        let cells = ["supplier", "part", "size", "price", "code"].map(|heading| quoted(row[heading]));
        prices += &format!("{}\n", cells.join(","));
    }
    let again = Job::from_texts(&[("runs", "run,service,size,length\nA,cold,3/4,10\n"), ("prices", &prices)]);
    let codes =
        |job: &Job| job.prices.offers.iter().map(|offer| offer.code.to_string()).collect::<BTreeSet<_>>();
    let bought = codes(&again);
    assert!(bought.len() > 5 && bought.is_subset(&codes(&job)), "{bought:?}");
    let sizes = |job: &Job| {
        let of =
            job.prices.offers.iter().flat_map(|offer| offer.sizes.iter().map(|size| job.lexicon.text(*size)));
        of.map(str::to_owned).collect::<BTreeSet<_>>()
    };
    assert_eq!(sizes(&again), BTreeSet::from(["3/4".to_owned(), "3/8".to_owned()]));
    assert!(again.prices.offers.iter().all(|offer| again.lexicon.text(offer.supplier) == "3/4"));
}

#[test]
fn held_choices_of_such_names_are_kept_when_they_come_back() {
    let first = job("");
    let held = |job: &Job| {
        let bytes = report::bytes(job, &estimate(job)).unwrap();
        let at = report::FILES.iter().position(|name| *name == "held.csv").unwrap();
        String::from_utf8(bytes[at].clone()).unwrap()
    };
    let written = held(&first);
    let again = job(&written);
    assert!(again.held.len() > 4);
    let estimated = estimate(&again);
    let about_held =
        again.notices.iter().chain(&estimated.notices).filter(|notice| notice.kind.starts_with("held"));
    assert_eq!(about_held.count(), 0);
    assert_eq!(held(&again), written);
}

#[test]
fn every_file_says_whether_the_estimate_is_complete_in_the_same_columns() {
    let whole = Job::read(&EXAMPLES[0].path()).unwrap();
    let mut missing = whole.clone();
    missing.prices.offers.retain(|offer| !whole.lexicon.text(offer.part).contains("clip"));
    for ((name, headings, rows), (_, same, marked)) in files(&whole).into_iter().zip(files(&missing)) {
        let text = |rows: &[Vec<String>]| rows.concat().join(" ");
        assert_eq!(headings, same, "{name}");
        assert!(!text(&rows).contains("INCOMPLETE") && text(&rows).contains("complete"), "{name}");
        assert!(text(&marked).contains("INCOMPLETE"), "{name}");
    }
}
