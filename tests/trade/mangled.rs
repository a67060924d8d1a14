//! Tables with cells that nobody would type: nothing panics, and a row is in error exactly where an error says so.

use std::collections::BTreeSet;

use coilstick::trade::Job;

const CELLS: [&str; 26] = [
    "",
    "0",
    "-1",
    "1.5",
    "99999999999999999999999999999999",
    "1e5",
    "-0",
    "NaN",
    "ten",
    "1/2",
    "3/4 x 1/2",
    "12' 6\"",
    "; ;",
    "a=b;c",
    "=1+1",
    "joint, , joint",
    "hot: plugged: site joint 1/0",
    "x x x",
    "\u{1F6B0}",
    "'",
    "%",
    "2026-02-30",
    "100 ft",
    "tube",
    "counted",
    "0.00000000000000000000000000001",
];

/// The next of a fixed row of numbers.
fn next(state: &mut u64) -> usize {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    usize::try_from(*state >> 40).unwrap()
}

/// A table with some of its cells exchanged for others.
fn mangled(text: &str, state: &mut u64) -> String {
    let mut out = csv::Writer::from_writer(Vec::new());
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
    for (row, record) in reader.records().enumerate() {
        let record = record.unwrap();
        let cells: Vec<&str> = record
            .iter()
            .map(|cell| {
                if row > 0 && next(state).is_multiple_of(9) { CELLS[next(state) % CELLS.len()] } else { cell }
            })
            .collect();
        out.write_record(&cells).unwrap();
    }
    String::from_utf8(out.into_inner().unwrap()).unwrap()
}

#[test]
fn a_row_is_in_error_exactly_where_an_error_says_so() {
    let tables = [
        ("job", include_str!("../guest-lodge/job.csv")),
        ("runs", include_str!("../guest-lodge/runs.csv")),
        ("places", include_str!("../guest-lodge/places.csv")),
        ("prices", include_str!("../guest-lodge/prices.csv")),
        ("patterns", include_str!("../../templates/patterns.csv")),
        ("parts", include_str!("../../templates/parts.csv")),
        ("systems", include_str!("../../templates/systems.csv")),
        ("sizes", include_str!("../../templates/sizes.csv")),
        ("joints", include_str!("../../templates/joints.csv")),
        ("supports", include_str!("../../templates/supports.csv")),
        ("suppliers", include_str!("../guest-lodge/suppliers.csv")),
    ];
    let mut state = 7;
    for _ in 0..60 {
        let texts: Vec<(&str, String)> =
            tables.iter().map(|(name, text)| (*name, mangled(text, &mut state))).collect();
        let texts: Vec<(&str, &str)> = texts.iter().map(|(name, text)| (*name, text.as_str())).collect();
        let job = Job::from_texts(&texts);
        let rows_of = |file: &str| -> BTreeSet<u32> {
            let errors = job.notices.iter().filter(|notice| notice.is_error());
            let spots = errors.filter_map(|notice| notice.spots.first());
            spots.filter(|spot| &*spot.file == file).map(|spot| spot.row).collect()
        };
        let all_runs = job.runs.iter().chain(&job.alternates.runs);
        let runs: BTreeSet<u32> = all_runs.filter(|run| run.in_error).map(|run| run.row.row).collect();
        assert!(!runs.is_empty());
        assert_eq!(runs, rows_of("runs.csv"));
        let places: BTreeSet<u32> = job
            .places
            .iter()
            .chain(&job.alternates.places)
            .filter(|place| place.in_error)
            .map(|p| p.row.row)
            .collect();
        assert_eq!(places, rows_of("places.csv"));
        let offers: BTreeSet<u32> =
            job.prices.offers.iter().filter(|offer| offer.in_error).map(|offer| offer.row.row).collect();
        assert_eq!(offers, rows_of("prices.csv"));
    }
}
