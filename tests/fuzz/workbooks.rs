//! The target `workbooks`: tables of examples as xlsx part by part, and workbooks that other programs saved, with marks of
//! their XML moved, numbers of it at borders, and bytes damaged. Some are xls, xlsb and ods, which a child process reads.

use std::fmt;
use std::fs;
use std::sync::OnceLock;

use coilstick::table::{FoundTable, open, read_guarded_by};
use coilstick::trade::{Job, SHAPES};

use crate::asked::{ask_all, judge_notices};
use crate::draw::Draw;
use crate::driver::{Target, folder};
use crate::encoded::damage;
use crate::hard;
use crate::package::{Parts, package, parts, workbook_parts};
use crate::seeds::seeds;

/// A workbook.
pub(crate) struct Input {
    ending: &'static str,
    bytes: Vec<u8>,
    /// Whether it is read as a whole job too.
    as_a_job: bool,
    /// The shape that sheets of unknown names are read by.
    shape: usize,
}

impl fmt::Display for Input {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{} bytes of {}", self.bytes.len(), self.ending)?;
        if self.ending != "xlsx" || zip::ZipArchive::new(std::io::Cursor::new(&self.bytes)).is_err() {
            return Ok(());
        }
        parts(&self.bytes).iter().try_for_each(|(name, bytes)| {
            writeln!(f, "--- {name}\n{}", String::from_utf8_lossy(&bytes[..bytes.len().min(4_000)]))
        })
    }
}

pub(crate) const WORKBOOKS: Target<Input> = Target {
    name: "workbooks",
    short: 250,
    longest: 500,
    memory: 192 << 20,
    steps: &["opened", "gave a row", "gave a row without a mistake"],
    least: 15,
    make,
    judge,
};

/// Saved xlsx workbooks, part by part.
fn saved() -> &'static [Parts] {
    static SAVED: OnceLock<Vec<Parts>> = OnceLock::new();
    SAVED.get_or_init(|| {
        let books = seeds().workbooks.iter().filter(|(name, _)| name.ends_with("xlsx"));
        books.map(|(_, bytes)| parts(bytes)).collect()
    })
}

fn make(draw: &mut Draw<'_>) -> Input {
    let squeezed = draw.once_in(4);
    let (ending, bytes) = match draw.below(48) {
        0 => guarded(draw),
        1..=8 => {
            let mut parts = saved()[draw.below(saved().len())].clone();
            change_parts(&mut parts, draw);
            ("xlsx", package(&parts, squeezed))
        }
        kind => {
            let mut grids = Vec::new();
            for _ in 0..draw.few().min(3) {
                let mut grid = seeds().table(draw).window(draw, 6);
                (0..draw.few().min(3)).for_each(|_| grid.change(draw, seeds()));
                grids.push(grid);
            }
            let mut parts = workbook_parts(&grids, draw);
            if kind < 40 {
                change_parts(&mut parts, draw);
            }
            let mut bytes = package(&parts, squeezed);
            if kind == 9 {
                damage(&mut bytes, draw);
            }
            ("xlsx", bytes)
        }
    };
    Input { ending, bytes, as_a_job: draw.once_in(32), shape: draw.below(SHAPES.len()) }
}

/// A workbook of another kind, or an xlsx that says it is one, damaged.
fn guarded(draw: &mut Draw<'_>) -> (&'static str, Vec<u8>) {
    let (name, bytes) = &seeds().workbooks[draw.below(seeds().workbooks.len())];
    let ending = ["xls", "ods", "xlsx"].into_iter().find(|ending| name.ends_with(ending)).unwrap();
    let mut bytes = bytes.clone();
    if ending == "ods" && draw.once_in(2) {
        let mut parts = parts(&bytes);
        change_parts(&mut parts, draw);
        bytes = package(&parts, true);
    } else {
        damage(&mut bytes, draw);
    }
    (if draw.once_in(8) { "xlsb" } else { ending }, bytes)
}

/// Changes some of the parts; seldom one is gone, there twice, or has the name of another.
fn change_parts(parts: &mut Parts, draw: &mut Draw<'_>) {
    for _ in 0..draw.few().min(4) {
        let at = draw.below(parts.len());
        // Sheets and their texts say most.
        let telling = parts.iter().position(|(name, _)| {
            name.ends_with(["worksheets/sheet1.xml", "sharedStrings.xml"][draw.below(2)])
                || name == "content.xml"
        });
        let at = telling.filter(|_| !draw.once_in(3)).unwrap_or(at);
        let Some((name, bytes)) = parts.get_mut(at) else { return };
        match draw.below(24) {
            0 => damage(bytes, draw),
            1 if draw.once_in(4) => drop(parts.remove(at)),
            2 if draw.once_in(4) => name.push('x'),
            3 if draw.once_in(4) => {
                let other = parts[draw.below(parts.len())].1.clone();
                parts[at].1 = other;
            }
            _ => *bytes = change_marks(&String::from_utf8_lossy(bytes), draw).into_bytes(),
        }
    }
}

/// What an attribute or a text may say instead.
const SAID: [&str; 40] = [
    "",
    "0",
    "1",
    "2",
    "-1",
    "s",
    "str",
    "inlineStr",
    "b",
    "e",
    "n",
    "d",
    "A1",
    "B2",
    "A0",
    "a1",
    "XFD1",
    "XFE1",
    "A1048576",
    "A1048577",
    "ZZZZZZZ1",
    "A99999999999",
    "A1:XFD1048576",
    "4294967295",
    "4294967296",
    "18446744073709551616",
    "1e308",
    "1e-320",
    "NaN",
    "0.1",
    "2958465",
    "2958466",
    "-0.5",
    "60",
    "hidden",
    "true",
    "&#0;",
    "&#x110000;",
    "&bogus;",
    "_x000D_",
];

/// XML with its marks taken out, put in twice, moved, cut, or saying something else.
fn change_marks(text: &str, draw: &mut Draw<'_>) -> String {
    let mut pieces: Vec<String> = Vec::new();
    let mut rest = text;
    while let Some(end) = rest.find('>') {
        let start = rest[..end].rfind('<').unwrap_or(0);
        pieces.push(rest[..start].to_owned());
        pieces.push(rest[start..=end].to_owned());
        rest = &rest[end + 1..];
    }
    pieces.push(rest.to_owned());
    for _ in 0..draw.few().min(10) {
        let (at, other) = (draw.below(pieces.len()), draw.below(pieces.len()));
        match draw.below(12) {
            0 => pieces[at].clear(),
            1 => pieces.insert(at, pieces[other].clone()),
            2 => pieces.swap(at, other),
            3 => {
                let piece: String = pieces[at].chars().map(|c| if c == '/' { ' ' } else { c }).collect();
                pieces[at] = piece;
            }
            4 => pieces.insert(
                at,
                ["<!--", "-->", "<![CDATA[", "]]>", "<?x", "<r>", "</row>", "</c>"][draw.below(8)].to_owned(),
            ),
            5 => {
                let again = pieces[at.min(other)..at.max(other)].concat();
                let times = [1, 2, 200][draw.below(3)];
                if again.len() * times < 200_000 {
                    pieces.insert(at, again.repeat(times));
                }
            }
            6 if draw.once_in(3) => pieces.truncate(at + 1),
            7 | 8 => pieces[at] = with_another_attribute(&pieces[at], draw),
            _ => {
                let text = if draw.once_in(2) { draw.one(&SAID) } else { draw.one(&hard::CELLS) };
                if !pieces[at].starts_with('<') {
                    pieces[at] = text.to_owned();
                }
            }
        }
    }
    pieces.concat()
}

/// A mark in which one attribute says something else.
fn with_another_attribute(mark: &str, draw: &mut Draw<'_>) -> String {
    let quotes: Vec<usize> = mark.match_indices('"').map(|(at, _)| at).collect();
    let pairs: Vec<(usize, usize)> = quotes.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect();
    match pairs.get(draw.below(pairs.len())) {
        Some((from, to)) => format!("{}{}{}", &mark[..=*from], draw.one(&SAID), &mark[*to..]),
        None => mark.replacen(
            '>',
            &format!(" {}=\"{}\">", draw.one(&["r", "t", "s", "min", "hidden"]), draw.one(&SAID)),
            1,
        ),
    }
}

fn judge(input: &Input) -> usize {
    read_guarded_by(env!("CARGO_BIN_EXE_coilstick"));
    let path = folder().join("book").with_extension(input.ending);
    fs::write(&path, &input.bytes).unwrap();
    if input.as_a_job {
        match Job::read(&path) {
            Ok(job) => judge_notices(&job.notices),
            Err(notice) => judge_notices([&notice]),
        }
    }
    let found = match open(&path) {
        Ok(found) => found,
        Err(notice) => {
            judge_notices([&notice]);
            return 0;
        }
    };
    judge_notices(&found.notices);
    let (mut rows, mut sound) = (0, 0);
    for table in found.tables.iter().take(8) {
        let shape = shape_of(table).unwrap_or(input.shape);
        let told = ask_all(&table.file, SHAPES[shape]);
        (rows, sound) = (rows + told.rows, sound + told.sound);
    }
    1 + usize::from(rows > 0) + usize::from(sound > 0)
}

fn shape_of(table: &FoundTable) -> Option<usize> {
    SHAPES.iter().position(|shape| table.is(shape.name))
}
