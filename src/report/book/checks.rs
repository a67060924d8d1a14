//! The sheet Checks: what the rules of the code family say of the job. It decides nothing.

use rust_xlsxwriter::Workbook;

use super::{Book, WIDEST, edits};
use crate::checks::{Check, Checks, DECIDES, Verdict};
use crate::ground::money::cents;
use crate::report::form::{Kind, Page, Paper, Tone, Written, column};

/// Writes the sheet: what fails, what is not judged, what holds.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let checks = book.checks;
    let [fails, open, holds] =
        [Verdict::Fails, Verdict::NotJudged, Verdict::Holds].map(|verdict| checks.count(verdict));
    let about = format!(
        "By the rules of {}: {fails} fail, {open} are not judged, {holds} hold. {DECIDES}",
        checks.family
    );
    let columns = vec![
        column("check", 15.0, Kind::Wrap),
        column("run or place", 14.0, Kind::Wrap),
        column("saw", 38.0, Kind::Wrap),
        column("asks", 26.0, Kind::Wrap),
        column("what to do", 34.0, Kind::Wrap),
        column("where", 30.0, Kind::Wrap),
        column("rule", 19.0, Kind::Wrap),
        column("source", 32.0, Kind::Wrap),
        column("status", 13.0, Kind::Text),
    ];
    let mut page = Page::open(out, &book.binding, "Checks", "Checks", &about, Paper::Landscape, columns)?;
    page.headings(0)?;
    for verdict in [Verdict::Fails, Verdict::NotJudged, Verdict::Holds] {
        let mut all = checks.list.iter().filter(|check| check.verdict == verdict).peekable();
        if all.peek().is_some() {
            page.band(verdict.word(), 9, &book.look().band)?;
        }
        all.try_for_each(|check| line(&mut page, check))?;
    }
    forgotten(&mut page, book, checks)?;
    if checks.list.is_empty() {
        page.put(0, "Nothing to check.", &book.look().subtitle)?;
    }
    page.widen(WIDEST)?;
    edits::close_unedited(page)
}

/// What the list may lack, each with the row to paste and what it costs.
fn forgotten(page: &mut Page<'_>, book: &Book<'_>, checks: &Checks) -> Written {
    if checks.forgotten.is_empty() {
        return Ok(());
    }
    page.band("Did you forget? The row to add stands under \"what to do\".", 9, &book.look().band)?;
    for one in &checks.forgotten {
        let costs = one.costs.map(|sum| format!("the bid is {} more with it", cents(sum)));
        let (costs, to_add) = (costs.unwrap_or_else(|| "not priced".to_owned()), one.to_add());
        let cells = ["forgotten", &one.what, &one.why, &costs, &to_add, "", "", &one.source, ""];
        // What it costs was found by estimating the job once more with it.
        page.follows_in_part(3);
        row(page, cells, Tone::Plain)?;
    }
    Ok(())
}

/// Writes the cells of a row, the first in its tone.
fn row(page: &mut Page<'_>, cells: [&str; 9], tone: Tone) -> Written {
    let mut fitted = Vec::new();
    for (at, words) in (0_u16..).zip(cells) {
        page.text(at, words, if at == 0 { tone } else { Tone::Plain })?;
        fitted.push((at, words));
    }
    page.end_fitted(&fitted)
}

fn line(page: &mut Page<'_>, check: &Check) -> Written {
    let tone = match check.verdict {
        Verdict::Fails => Tone::Warn,
        Verdict::NotJudged => Tone::Muted,
        Verdict::Holds => Tone::Plain,
    };
    let rule = check.rule.as_ref();
    let (called, cells) = (rule.map(|rule| rule.called()).unwrap_or_default(), check.cells());
    let cells = [
        check.of.word(),
        &check.what,
        &check.saw,
        &check.asks,
        &check.remedy,
        &cells,
        &called,
        rule.map_or("", |rule| &rule.source),
        rule.map_or("", |rule| rule.status),
    ];
    row(page, cells, tone)
}
