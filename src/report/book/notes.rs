//! The sheet Notices: what is wrong or doubtful in the tables, what was left out, and what may hurt
//! someone.

use rust_xlsxwriter::Workbook;

use super::Book;
use super::edits::close_unedited;
use crate::ground::{Hangs, Notice, Severity};
use crate::report::facts::wording::severity;
use crate::report::form::{Kind, Page, Paper, SheetColumn, Tone, Written, column};

/// The first caution, for the summary.
pub(super) const SHORT_CAUTION: &str = "Quantities, costs and checks are an aid to a person who knows the work. They are no \
     design and no approval: the local code, the authority that inspects and a licensed plumber decide. \
     Read the cautions on the sheet Notices before anything is built.";

/// What may hurt someone, each with its heading. Facts of the trade among them are common practice.
const CAUTIONS: [(&str, &str); 9] = [
    (
        "An aid, not a design",
        "This workbook counts what a run list says. Whether the piping is right is for the local code, the \
         authority that inspects, and a licensed plumber.",
    ),
    (
        "Water that people drink",
        "Use tube, fittings, valves and solder that are certified for drinking water and lead-free. The workbook \
         does not know what is in a part.",
    ),
    (
        "Hot water",
        "Hot water scalds. Set the heater and the mixing valves as the code asks, and check the temperature at the \
         tap before anyone uses it. (common practice)",
    ),
    (
        "Testing",
        "Test with water. Compressed air in plastic pipe can burst it and throw pieces. Keep people away while the \
         system is under test pressure. (common practice)",
    ),
    (
        "Fire",
        "A torch in framing can start a fire that shows hours later. Shield the wood, keep water or an \
         extinguisher at hand, and look again before leaving. (common practice)",
    ),
    (
        "Fumes",
        "Primer, cement and flux give off fumes. Open windows, wear gloves and eye protection, and keep flames \
         away. (common practice)",
    ),
    (
        "Electrical ground",
        "A metal water service may have been the ground of the house. Where plastic takes its place, have an \
         electrician check the grounding first.",
    ),
    (
        "Before it is covered",
        "Do not bury or close in a joint that has not been tested and inspected. The test sheet lists what must be \
         capped, joined or shut. (common practice)",
    ),
    (
        "Prices",
        "Prices are as good as the price list and its dates. Ask the supplier before you bid on them.",
    ),
];

/// Writes what is wrong or doubtful, and the runs that are not in the count.
pub(super) fn write_notices(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let about =
        "What is wrong or doubtful in the tables, and what to type. Errors leave the count incomplete.";
    let mut columns = notice_columns();
    columns.push(column("what hangs on it", 27.0, Kind::Wrap));
    let mut page = Page::open(out, &book.binding, "Notices", "Notices", about, Paper::Landscape, columns)?;
    page.run_again(page.row, 0)?;
    page.headings(0)?;
    left_out(&mut page, book)?;
    missing(&mut page, book)?;
    let all = &book.words.estimate.told;
    for severity in [Severity::Error, Severity::Warning, Severity::Remark] {
        for notice in all.iter().filter(|notice| notice.severity == severity) {
            let hangs = notice.hangs.as_ref().map(Hangs::words).unwrap_or_default();
            page.words_as_estimated(5, &hangs, Tone::Plain)?;
            page.follows_in_part(FOUND);
            write_notice(&mut page, notice)?;
        }
    }
    if all.is_empty() {
        page.put(0, "Nothing to report.", &book.look().subtitle)?;
        page.next();
    }
    cautions(&mut page, book)?;
    close_unedited(page)
}

fn left_out(page: &mut Page<'_>, book: &Book<'_>) -> Written {
    let left_out = &book.words.estimate.left_out;
    if left_out.is_empty() {
        return Ok(());
    }
    page.band("Runs that are not in the count", 6, &book.look().band)?;
    for left in left_out {
        let spot = book.words.run(left.run).map(|run| book.words.spot(run.row)).unwrap_or_default();
        line(page, "left out", Tone::Warn, [&spot, book.words.run_name(left.run), "", &left.why])?;
    }
    page.end()
}

fn missing(page: &mut Page<'_>, book: &Book<'_>) -> Written {
    let alternatives = &book.words.estimate.alternatives;
    if alternatives.iter().all(|a| a.takeoff.missing.is_empty()) {
        return Ok(());
    }
    page.band("Parts that no table has", 6, &book.look().band)?;
    for alternative in alternatives {
        for missing in &alternative.takeoff.missing {
            let spot =
                book.words.subject_row(missing.subject).map(|row| book.words.spot(row)).unwrap_or_default();
            let found = format!("{} asks for {}", book.words.subject(missing.subject), missing.what);
            let expected = format!("such a part in {}", book.words.system(missing.system));
            line(page, "missing", Tone::Warn, [&spot, &found, &expected, "add it to the table parts"])?;
        }
    }
    page.end()
}

/// The column of what was found, which may name a sum.
const FOUND: u16 = 2;

/// The columns of a list of notices.
pub(in crate::report) fn notice_columns() -> Vec<SheetColumn> {
    vec![
        column("weight", 8.5, Kind::Text),
        column("where", 24.0, Kind::Wrap),
        column("found", 42.0, Kind::Wrap),
        column("expected", 32.0, Kind::Wrap),
        column("what to do", 36.0, Kind::Wrap),
    ]
}

/// One notice as a row: its weight, where, found, expected, what to do.
pub(crate) fn write_notice(page: &mut Page<'_>, notice: &Notice) -> Written {
    let tone = match notice.severity {
        Severity::Error => Tone::Warn,
        Severity::Warning => Tone::Plain,
        Severity::Remark => Tone::Muted,
    };
    let spots: Vec<String> = notice.spots.iter().take(6).map(ToString::to_string).collect();
    line(
        page,
        severity(notice.severity),
        tone,
        [&spots.join("; "), &notice.found, &notice.expected, &notice.remedy],
    )
}

fn line(page: &mut Page<'_>, word: &str, tone: Tone, cells: [&str; 4]) -> Written {
    page.text(0, word, tone)?;
    let mut fitted = Vec::new();
    for (at, words) in (1_u16..).zip(cells) {
        page.text(at, words, Tone::Plain)?;
        fitted.push((at, words));
    }
    page.end_fitted(&fitted)
}

/// What may hurt someone, below the notices.
fn cautions(page: &mut Page<'_>, book: &Book<'_>) -> Written {
    page.next();
    page.band("Cautions: to be read before anything is bought or built", 6, &book.look().block)?;
    for (heading, words) in CAUTIONS {
        page.paragraph(&format!("{heading}. {words}"), 6, &book.look().paragraph)?;
    }
    Ok(())
}
