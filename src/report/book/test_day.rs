//! The sheet Test day: a page to take along. For each phase what is closed, filled and held, how hard it pushes, and lines to
//! sign; of the chosen alternative alone. No arithmetic.

use rust_decimal::Decimal;
use rust_xlsxwriter::Workbook;

use super::{BOX, Book};
use crate::checks::{Mark, Opening, Shuts, Test};
use crate::ground::Length;
use crate::ground::money::round_half_away;
use crate::report::facts::test_day as told;
use crate::report::form::{Kind, Page, Paper, Tone, Written, column};

const ACROSS: u16 = 10;
/// The columns.
const COUNT: u16 = 1;
const WHAT: u16 = 2;
const SIZE: u16 = 3;
const PLACE: u16 = 4;
const OFF: u16 = 5;
const HEIGHT: u16 = 6;
const HEAD: u16 = 7;
const PSI: u16 = 8;
const PUSH: u16 = 9;
/// So many sections of one test are told one by one.
const SECTIONS: usize = 4;
/// Up to so many rows go on one page.
const ON_A_PAGE: u32 = 80;

/// Writes the sheet.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let unit = book.words.length_unit().abbreviation();
    let columns = vec![
        column("", 3.5, Kind::Middle),
        column("how many", 6.5, Kind::Whole),
        column("closed by", 17.0, Kind::Text),
        column("size", 7.5, Kind::Text),
        column("where", 31.0, Kind::Text),
        column("off before", 10.5, Kind::Text),
        column(&format!("height ({unit})"), 9.0, Kind::Length),
        column(&format!("head ({unit})"), 9.0, Kind::Length),
        column("psi", 7.0, Kind::Percent),
        column("push on each (lb)", 9.0, Kind::Percent),
    ];
    let name = &book.words.job.settings.name;
    let about = format!(
        "{name}{}The code family is {}.",
        if name.is_empty() { "" } else { ". " },
        book.test_day.family
    );
    let mut page = Page::open(out, &book.binding, "Test day", "Test day", &about, Paper::Portrait, columns)?;
    page.next();
    let estimate = book.words.estimate;
    let missing = estimate.alternatives.first().is_some_and(|of| !of.takeoff.missing.is_empty());
    if missing || !estimate.left_out.is_empty() {
        let words =
            "THIS LIST IS NOT COMPLETE: something is left out of the count, and its openings are not here.";
        page.paragraph(words, ACROSS, &book.look().banner)?;
    }
    let tests = book.test_day.alternatives.first().map_or(&[][..], Vec::as_slice);
    if tests.is_empty() {
        return page.paragraph("Nothing is tested before the trim.", ACROSS, &book.look().paragraph);
    }
    for test in tests {
        one(&mut page, book, test)?;
    }
    let order = told::of_sides(&told::ORDER, tests);
    let numbered: Vec<String> = (1..).zip(order).map(|(at, words)| format!("{at}. {words}")).collect();
    book.list(&mut page, ACROSS, "The order of the work", numbered)?;
    book.list(&mut page, ACROSS, "Cautions", told::of_sides(&told::TEST_CAUTIONS, tests))?;
    sign(&mut page, book, tests)?;
    if page.row <= ON_A_PAGE {
        page.sheet.set_print_fit_to_pages(1, 1);
    }
    Ok(())
}

/// One test: what is asked, what is closed, what is read.
fn one(page: &mut Page<'_>, book: &Book<'_>, test: &Test) -> Written {
    let (words, day) = (&book.words, book.test_day);
    page.band(&told::title(test), ACROSS, &book.look().band)?;
    let ways = test.ways.iter();
    let ways = ways.map(|way| format!("{} ({})", told::way(words, way), told::known(words, &way.rule)));
    let ways = ways.collect::<Vec<_>>().join(". ");
    let asked = if ways.is_empty() { told::NOT_JUDGED } else { &*ways };
    let mut said = vec![format!("Rules: {asked}.")];
    for section in test.sections.iter().take(SECTIONS) {
        said.push(told::top(words, day, test, section));
        said.extend(told::unmeasured(words, day, test.side, section));
    }
    let more = test.sections.len().saturating_sub(SECTIONS);
    if more > 0 {
        said.push(format!("{more} more parts that are tested by themselves stand in test-day.csv."));
    }
    said.push(format!("To fill: {}", told::fill(words, test)));
    said.push(format!("Gauge: {}", told::gauge(words, test)));
    said.extend(told::apart(words, test));
    for line in &said {
        page.paragraph(line, ACROSS, &book.look().paragraph)?;
    }
    page.heading_row()?;
    for opening in &test.openings {
        put_opening(page, book, opening)?;
    }
    for mark in &test.marks {
        put_mark(page, book, mark)?;
    }
    page.end()
}

fn put_opening(page: &mut Page<'_>, book: &Book<'_>, of: &Opening) -> Written {
    let words = &book.words;
    let open = matches!(of.shuts, Shuts::StaysOpen);
    page.text(0, if open { "" } else { BOX }, Tone::Plain)?;
    page.number(COUNT, of.count.into(), Tone::Plain)?;
    page.text(WHAT, &told::shuts(words, of), Tone::Plain)?;
    page.text(SIZE, words.word(of.size), Tone::Plain)?;
    page.text(PLACE, &told::place(words, of), Tone::Plain)?;
    page.text(OFF, of.off.map_or("", |phase| phase.word()), Tone::Plain)?;
    figures(page, book, (of.height, of.head), of.psi)?;
    number(page, PUSH, of.push, 0)?;
    page.end()
}

fn put_mark(page: &mut Page<'_>, book: &Book<'_>, of: &Mark) -> Written {
    page.blanks([0, COUNT, SIZE, PLACE, OFF], Tone::Muted)?;
    page.text(WHAT, &told::mark(&book.words, of.of), Tone::Muted)?;
    figures(page, book, (Some(of.height), of.head), of.psi)?;
    page.text(PUSH, "", Tone::Plain)?;
    page.end()
}

/// Height, head and pressure: a hundredth of a foot, a tenth of a psi.
fn figures(
    page: &mut Page<'_>,
    book: &Book<'_>,
    (height, head): (Option<Length>, Option<Length>),
    psi: Option<Decimal>,
) -> Written {
    number(page, HEIGHT, height.map(|height| book.words.length(height)), 2)?;
    number(page, HEAD, head.map(|head| book.words.length(head)), 2)?;
    number(page, PSI, psi, 1)
}

fn number(page: &mut Page<'_>, at: u16, number: Option<Decimal>, places: u32) -> Written {
    match number {
        Some(number) => page.number(at, round_half_away(number, places), Tone::Plain),
        None => page.text(at, "", Tone::Plain),
    }
}

/// A line to sign for each test.
fn sign(page: &mut Page<'_>, book: &Book<'_>, tests: &[Test]) -> Written {
    const CELLS: [(u16, u16, &str); 4] = [
        (0, SIZE, "test"),
        (PLACE, PLACE, "date, from and to, pressure"),
        (OFF, HEIGHT, "who tested"),
        (HEAD, PUSH, "inspector"),
    ];
    page.band("Held", ACROSS, &book.look().block)?;
    let row = |page: &mut Page<'_>, words: [&str; 4], format| {
        for ((first, last, _), words) in CELLS.into_iter().zip(words) {
            if first < last {
                page.sheet.merge_range(page.row, first, page.row, last, "", format)?;
            }
            page.put(first, words, format)?;
        }
        page.end()
    };
    row(page, CELLS.map(|(.., heading)| heading), &book.look().heading)?;
    for test in tests {
        page.sheet.set_row_height(page.row, 22)?;
        row(page, [&told::title(test), "", "", ""], &book.look().pencil)?;
    }
    Ok(())
}
