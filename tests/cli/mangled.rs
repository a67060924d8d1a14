//! Damaged tables through the whole estimate: whatever stands in them, it ends, and what it says has its parts.

use coilstick::estimate::estimate;
use coilstick::report;
use coilstick::trade::Job;

/// A generator with a seed of its own (xorshift, Marsaglia 2003): the same tables in every run of the test.
struct Chance(u64);

impl Chance {
    fn next(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % below.max(1) as u64).unwrap()
    }
}

const TABLES: [(&str, &str); 5] = [
    ("job", include_str!("../../templates/starter/job.csv")),
    ("runs", include_str!("../../examples/lake-cabin/runs.csv")),
    ("prices", include_str!("../../templates/starter/prices.csv")),
    ("patterns", include_str!("../../templates/patterns.csv")),
    ("parts", include_str!("../../templates/parts.csv")),
];

/// Cells that are hard to read, to count or to write.
const CELLS: [&str; 24] = [
    "",
    "0",
    "-1",
    "1e300",
    "99999999999999999999",
    "0.0000001",
    "=1+1",
    "main",
    "sewer",
    "M1",
    "C2",
    "heater",
    "1/0",
    "12' 6 1/2\"",
    "3/4",
    "1 x 3/4 x 1/2",
    "counted; counted",
    "\"",
    "\u{fffd}",
    "run",
    "start",
    "end",
    "-3 ft",
    "1000000",
];

/// One table with a few cells, lines or bytes changed.
fn mangled(text: &str, chance: &mut Chance) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for _ in 0..=chance.next(6) {
        let (at, other) = (chance.next(lines.len()), chance.next(lines.len()));
        match chance.next(8) {
            0 => lines.swap(at, other),
            1 => lines[at] = lines[other].clone(),
            2 => lines[at] = lines[at].chars().rev().collect(),
            3 if lines.len() > 2 => drop(lines.remove(at)),
            4 => {
                let mut bytes = lines[at].clone().into_bytes();
                for _ in 0..3 {
                    let place = chance.next(bytes.len());
                    if let Some(byte) = bytes.get_mut(place) {
                        *byte = u8::try_from(chance.next(256)).unwrap();
                    }
                }
                lines[at] = String::from_utf8_lossy(&bytes).into_owned();
            }
            _ => {
                let mut cells: Vec<&str> = lines[at].split(',').collect();
                let place = chance.next(cells.len());
                cells[place] = CELLS[chance.next(CELLS.len())];
                lines[at] = cells.join(",");
            }
        }
    }
    lines.join("\n")
}

/// Estimates some tables and judges what came back; everything is written too, into memory.
fn judge(tables: &[(&str, String)], write: bool) -> usize {
    let texts: Vec<(&str, &str)> = tables.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let job = Job::from_texts(&texts);
    let estimate = estimate(&job);
    for notice in job.notices.iter().chain(&estimate.notices) {
        assert!(
            !notice.spots.is_empty() && !notice.found.is_empty() && !notice.remedy.is_empty(),
            "{notice:?}"
        );
    }
    if write {
        report::bytes(&job, &estimate).unwrap();
    }
    estimate.left_out.len()
}

#[test]
fn mangled_tables_of_an_example_never_end_the_program() {
    let mut chance = Chance(0x5eed_c011);
    let mut left_out = 0;
    for turn in 0..300 {
        let changed = chance.next(TABLES.len());
        let tables: Vec<(&str, String)> = TABLES
            .iter()
            .enumerate()
            .filter(|(at, (name, _))| *at == changed || !["patterns", "parts"].contains(name))
            .map(|(at, (name, text))| {
                (
                    *name,
                    if at == changed || *name == "runs" {
                        mangled(text, &mut chance)
                    } else {
                        (*text).to_owned()
                    },
                )
            })
            .collect();
        left_out += judge(&tables, turn % 30 == 0);
    }
    assert!(left_out > 100, "the tables were hurt at all: {left_out}");
}

#[test]
fn bytes_without_any_sense_never_end_the_program() {
    let mut chance = Chance(0xc0ff_ee11);
    for _ in 0..200 {
        let length = chance.next(600);
        let bytes: Vec<u8> = (0..length).map(|_| u8::try_from(chance.next(256)).unwrap()).collect();
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let head = "run,service,size,length,joins,at,to,turns,count\n";
        judge(&[("runs", format!("{head}{text}")), ("prices", text.clone()), ("job", text)], false);
    }
}

#[test]
fn a_folder_of_bytes_is_answered_by_the_program_itself() {
    let bench = crate::bench::Bench::new("bytes");
    let mut chance = Chance(0xbad_f00d);
    for turn in 0..12 {
        let bytes: Vec<u8> = (0..400).map(|_| u8::try_from(chance.next(256)).unwrap()).collect();
        std::fs::write(bench.path("runs.csv"), &bytes).unwrap();
        std::fs::write(bench.path("book.xlsx"), [b"PK\x03\x04", bytes.as_slice()].concat()).unwrap();
        let job = if turn % 2 == 0 { "runs.csv" } else { "book.xlsx" };
        assert_ne!(bench.run(&["check", job]).status, 0);
    }
}
