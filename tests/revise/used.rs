//! The sheet Used, filled in by other programs and read back.

use std::fs;
use std::io::{Cursor, Read as _, Write as _};
use std::path::{Path, PathBuf};

use coilstick::estimate::revision::variance::{LineVariance, Variance, lines, variance};
use coilstick::estimate::{Estimate, estimate};
use coilstick::trade::used::{self, is_filled};
use coilstick::trade::{Class, Job};
use ironcalc::base::Model;
use ironcalc::base::cell::CellValue;
use ironcalc::export::save_xlsx_to_writer;
use ironcalc::import::load_from_xlsx_bytes;
use rust_decimal::Decimal;

use crate::engine::{Opened, differences};
use crate::{house, side};

fn d(text: &str) -> Decimal {
    Decimal::from_str_exact(text).unwrap()
}

fn job() -> (Job, Estimate) {
    let job = Job::from_texts(&house::tables());
    let estimate = estimate(&job);
    (job, estimate)
}

/// A workbook in the outside engine, with a way to fill its sheet in.
struct Filling {
    model: Model<'static>,
    sheet: u32,
}

impl Filling {
    fn of(workbook: &[u8]) -> Self {
        let workbook = load_from_xlsx_bytes(workbook, "estimate", "en", "UTC").unwrap();
        let model = Model::from_workbook(workbook, "en").unwrap();
        let sheets = model.get_worksheets_properties();
        let sheet = u32::try_from(sheets.iter().position(|sheet| sheet.name == "Used").unwrap()).unwrap();
        Self { model, sheet }
    }

    fn text(&self, row: i32, column: i32) -> String {
        match self.model.get_cell_value_by_index(self.sheet, row, column).unwrap() {
            CellValue::String(text) => text,
            CellValue::Number(number) => number.to_string(),
            CellValue::None | CellValue::Boolean(_) => String::new(),
        }
    }

    fn column(&self, heading: &str) -> i32 {
        (1..40).find(|column| (1..10).any(|row| self.text(row, *column) == heading)).unwrap()
    }

    /// The row of a line by its number.
    fn row(&self, line: u32) -> i32 {
        (5..400).find(|row| self.text(*row, 1) == line.to_string()).unwrap()
    }

    fn type_in(&mut self, line: u32, heading: &str, text: &str) {
        let (row, column) = (self.row(line), self.column(heading));
        self.model.set_user_input(self.sheet, row, column, text.to_owned()).unwrap();
    }

    fn save(mut self, name: &str) -> PathBuf {
        self.model.evaluate();
        let bytes = save_xlsx_to_writer(&self.model, Cursor::new(Vec::new())).unwrap().into_inner();
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("revise-used");
        fs::create_dir_all(&folder).unwrap();
        let path = folder.join(name);
        fs::write(&path, bytes).unwrap();
        path
    }
}

fn workbook(job: &Job, estimate: &Estimate) -> Vec<u8> {
    let [workbook, ..] = coilstick::report::bytes(job, estimate).unwrap();
    workbook
}

fn compared(job: &Job, estimate: &Estimate, path: &Path) -> Variance {
    variance(side(job, estimate), &used::read(path, job).unwrap())
}

fn kinds(variance: &Variance) -> Vec<&str> {
    variance.notices.iter().map(|notice| notice.kind).collect()
}

fn first_of(all: &[LineVariance], class: Class) -> &LineVariance {
    all.iter().find(|line| line.named.class == class).unwrap()
}

#[test]
fn a_workbook_filled_by_another_program_comes_back_line_by_line() {
    let (job, estimate) = job();
    let all = lines(side(&job, &estimate));
    let (tube, ring) = (first_of(&all, Class::Tube), first_of(&all, Class::Ring));
    let mut filling = Filling::of(&workbook(&job, &estimate));
    let (used_tube, used_ring) = (tube.need + d("11.5"), ring.need - d("2"));
    filling.type_in(tube.line, "used", &used_tube.to_string());
    filling.type_in(ring.line, "used", &used_ring.to_string());
    filling.type_in(ring.line, "note", "two left in the truck");
    let path = filling.save("filled.xlsx");
    assert!(is_filled(&path));
    let variance = compared(&job, &estimate, &path);
    assert_eq!(kinds(&variance), Vec::<&str>::new());
    assert_eq!(variance.lines.len(), all.len());
    let of = |line: u32| &variance.lines[usize::try_from(line).unwrap() - 1];
    assert_eq!(of(tube.line).against_need(), Some(d("11.5")));
    assert_eq!(of(tube.line).against_bought(), Some(used_tube - tube.bought));
    assert_eq!(of(ring.line).against_need(), Some(d("-2")));
    assert_eq!((of(ring.line).covering(), &*of(ring.line).note), (Some(d("0")), "two left in the truck"));
    // What nobody wrote down has no number.
    let empty = variance.lines.iter().filter(|line| ![tube.line, ring.line].contains(&line.line));
    for line in empty {
        assert_eq!(
            (line.used, line.against_need(), line.points(), line.covering()),
            (None, None, None, None)
        );
    }
    let classes: Vec<_> = variance.classes.iter().map(|one| (one.class, one.filled)).collect();
    assert_eq!(classes, [(Class::Tube, 1), (Class::Ring, 1)]);
    assert_eq!(variance.classes[0].allowance, None, "a cut plan stands in its place");
    assert_eq!(variance.classes[1].allowance, Some(d("10")));
}

#[test]
fn the_formulas_of_the_sheet_agree_before_and_after_it_is_filled_in() {
    let (job, estimate) = job();
    let bytes = workbook(&job, &estimate);
    let mut book = Opened::new(&bytes);
    let before = book.formulas();
    book.recalculate();
    let wrong = differences(&book.formulas(), &before);
    assert!(wrong.is_empty(), "{:#?}", &wrong[..wrong.len().min(8)]);
    let all = lines(side(&job, &estimate));
    let ring = first_of(&all, Class::Ring);
    let (_, column) = book.find("Used", "used");
    let (head, _) = book.find("Used", "line");
    let row = head + i32::try_from(ring.line).unwrap();
    book.type_number("Used", (row, column), &(ring.need + d("3")).to_string());
    book.recalculate();
    let at = |book: &Opened, heading: &str| book.number("Used", (row, book.find("Used", heading).1));
    assert!((at(&book, "against need") - 3.0).abs() < 1e-9);
    let points: f64 = (d("300") / ring.need).to_string().parse().unwrap();
    assert!((at(&book, "percent") - points).abs() < 0.051);
    // The class sums over the lines that are filled in, and over no other.
    let class = book.find("Used", "ring").0;
    let filled = book.number("Used", (class, book.find("Used", "lines filled in").1));
    assert!((filled - 1.0).abs() < 1e-9);
    let empty = book.value("Used", head + 1, book.find("Used", "against need").1);
    assert_eq!(empty, CellValue::String("-".to_owned()));
}

#[test]
fn a_tape_is_read_as_it_is_written_and_the_order_of_lines_does_not_matter() {
    let (job, estimate) = job();
    let all = lines(side(&job, &estimate));
    let tube = first_of(&all, Class::Tube);
    let row = |line: &LineVariance, used: &str| {
        let LineVariance { line, named, need, .. } = line;
        format!(
            "{line},{},{},{},\"{}\",{},{need},\"{used}\",Lodge on Alder Lane & annex\n",
            named.part, named.size, named.system, named.variant, named.unit
        )
    };
    let mut text = "Used\nwhat was used\n\nline,part,size,system,variant,unit,need,used,job\n".to_owned();
    for line in all.iter().rev() {
        let used = if line.line == tube.line { "40' 6\"\"".to_owned() } else { line.need.to_string() };
        text += &row(line, &used);
    }
    let variance = variance(side(&job, &estimate), &used::from_text(&text, &job));
    assert_eq!(kinds(&variance), Vec::<&str>::new(), "{:#?}", variance.notices);
    assert_eq!(variance.lines[0].used, Some(d("40.5")));
    assert!(variance.lines.iter().all(|line| line.used.is_some()));
    for class in variance.classes.iter().filter(|class| class.class != Class::Tube) {
        assert_eq!((class.covering, class.used), (Some(d("0")), class.need), "{:?}", class.class);
    }
    // Numbers of lines that were typed anew are told by the text beside them.
    let renumbered = text.lines().map(|line| match line.split_once(',') {
        Some((number, rest)) if number.parse::<u32>().is_ok() => format!("{},{rest}\n", 900),
        _ => format!("{line}\n"),
    });
    let renumbered: String = renumbered.collect();
    let again = crate::used::variance(side(&job, &estimate), &used::from_text(&renumbered, &job));
    assert_eq!(again.lines, variance.lines);
}

#[test]
fn the_allowance_that_covers_is_the_next_tenth_of_a_point_up() {
    let (job, estimate) = job();
    let mut line = lines(side(&job, &estimate))[0].clone();
    // 100 needed and 110.04 used: 10.04 points, so 10.1; 110 used: 10.
    (line.need, line.used) = (d("100"), Some(d("110.04")));
    assert_eq!((line.covering(), line.points()), (Some(d("10.1")), Some(d("10"))));
    line.used = Some(d("110"));
    assert_eq!(line.covering(), Some(d("10")));
    (line.need, line.used) = (d("0"), Some(d("2")));
    assert_eq!((line.covering(), line.points()), (None, None));
}

#[test]
fn a_workbook_that_another_office_program_saved_is_read() {
    // Filled in and saved by LibreOffice: the shed of this folder, 47.5 ft of tube where 42 were needed, and 6 rings
    // where 5 were.
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/revise");
    let job = Job::read(&folder.join("shed")).unwrap();
    let estimate = estimate(&job);
    let variance = compared(&job, &estimate, &folder.join("saved-by-libreoffice.xlsx"));
    assert_eq!(kinds(&variance), Vec::<&str>::new(), "{:#?}", variance.notices);
    let filled: Vec<(String, Option<Decimal>, Option<Decimal>)> = variance
        .lines
        .iter()
        .filter(|line| line.used.is_some())
        .map(|line| (line.named.called(), line.used, line.against_need()))
        .collect();
    let expected = [("tube 1/2, blue", "47.5", "5.5"), ("clamp ring 1/2", "6", "1")]
        .map(|(name, used, more)| (name.to_owned(), Some(d(used)), Some(d(more))));
    assert_eq!(filled, expected);
    let note = variance.lines.iter().find(|line| line.named.part == "clamp ring").unwrap();
    assert_eq!(note.note, "one dropped in the crawl space");
}

/// The workbook as a program saves it that writes formulas and no results.
fn without_results(path: &Path) -> PathBuf {
    let mut from = zip::ZipArchive::new(fs::File::open(path).unwrap()).unwrap();
    let name = format!("bare-{}", path.file_name().unwrap().to_string_lossy());
    let bare = path.with_file_name(name);
    let mut to = zip::ZipWriter::new(fs::File::create(&bare).unwrap());
    for at in 0..from.len() {
        let mut part = from.by_index(at).unwrap();
        let mut bytes = Vec::new();
        part.read_to_end(&mut bytes).unwrap();
        let name = part.name().unwrap().into_owned();
        if name.contains("worksheets/sheet") {
            let text = String::from_utf8(bytes).unwrap();
            let cells = text.split_inclusive("</c>").map(|cell| {
                match (cell.find("<f"), cell.find("<v>"), cell.find("</v>")) {
                    (Some(_), Some(from), Some(to)) => format!("{}{}", &cell[..from], &cell[to + 4..]),
                    _ => cell.to_owned(),
                }
            });
            bytes = cells.collect::<String>().into_bytes();
        }
        to.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
        to.write_all(&bytes).unwrap();
    }
    to.finish().unwrap();
    bare
}

#[test]
fn a_workbook_saved_without_results_is_asked_only_for_what_is_needed() {
    let (job, estimate) = job();
    let all = lines(side(&job, &estimate));
    let tubes: Vec<u32> =
        all.iter().filter(|line| line.named.class == Class::Tube).map(|line| line.line).collect();
    let ring = first_of(&all, Class::Ring).line;
    let mut filling = Filling::of(&workbook(&job, &estimate));
    let written = ["12' 6\"", "12 ft 6 in", "3.5", "12ft", "6 in"];
    for (line, text) in tubes.iter().zip(written) {
        filling.type_in(*line, "used", text);
    }
    filling.type_in(ring, "used", "7");
    let path = without_results(&filling.save("typed.xlsx"));
    let variance = compared(&job, &estimate, &path);
    assert_eq!(kinds(&variance), Vec::<&str>::new());
    let used = |line: u32| variance.lines[usize::try_from(line).unwrap() - 1].used;
    let feet = ["12.5", "12.5", "3.5", "12", "0.5"].map(d);
    assert!(!tubes.is_empty());
    for (line, feet) in tubes.iter().zip(feet) {
        assert_eq!(used(*line), Some(feet), "{line}");
    }
    assert_eq!(used(ring), Some(d("7")));
}

#[test]
fn formulas_that_are_needed_and_have_no_results_are_told_once_a_sheet() {
    let (job, estimate) = job();
    let all = lines(side(&job, &estimate));
    let mut filling = Filling::of(&workbook(&job, &estimate));
    for line in all.iter().take(6) {
        filling.type_in(line.line, "used", "=3+4");
    }
    let path = without_results(&filling.save("formulas.xlsx"));
    let read = used::read(&path, &job).unwrap();
    let told: Vec<_> = read.notices.iter().map(|notice| (notice.kind, notice.spots.len())).collect();
    assert_eq!(told, [("formula-without-result", 4)]);
    let notice = &read.notices[0];
    assert!(
        notice.found.starts_with("6 cells are formulas whose results were not saved"),
        "{}",
        notice.found
    );
    assert!(notice.remedy.contains("recalculate"), "{}", notice.remedy);
}
