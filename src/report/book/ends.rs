//! The sheet Ends: ends of tube that no part fills, and the balance of ends against sockets; for test day.

use rust_decimal::Decimal;
use rust_xlsxwriter::Workbook;

use super::{BOX, Book};
use crate::estimate::alternative::Alternative;
use crate::estimate::takeoff::{Balance, EndLine, EndMet};
use crate::ground::name::natural;
use crate::report::facts::{end_met, run_end};
use crate::report::form::{Column, Kind, Page, Paper, Tone, Written, of_sheet, on_sheet, put_row, whole};

const ACROSS: u16 = 8;

fn columns<'a>() -> [Column<&'a EndLine>; 8] {
    use Kind::{Middle, Text, Whole};
    [
        on_sheet("", (4.0, Middle, Tone::Plain), |_, _| BOX.into()),
        on_sheet("run", (16.0, Text, Tone::Plain), |w, end| w.run_name(end.run).into()),
        on_sheet("end", (12.0, Text, Tone::Plain), |_, end| run_end(end.end).into()),
        on_sheet("service", (10.0, Text, Tone::Plain), |_, end| end.service.word().into()),
        on_sheet("size", (10.0, Text, Tone::Plain), |w, end| w.word(end.size).into()),
        on_sheet("how many", (9.0, Whole, Tone::Plain), |_, end| whole(end.copies)),
        on_sheet("phase", (13.0, Text, Tone::Plain), |_, end| end.phase.word().into()),
        on_sheet("area", (20.0, Text, Tone::Plain), |w, end| w.run(end.run).map(|of| w.word(of.area)).into()),
    ]
}

/// Writes the sheet.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let about = format!(
        "Ends that no part fills. Walk them before the test: each is capped, joined or shut.{}",
        book.printed()
    );
    let mut page =
        Page::open(out, &book.binding, "Ends", "Ends", &about, Paper::Portrait, of_sheet(&columns()))?;
    page.headings(0)?;
    book.each_alternative(&mut page, ACROSS - 1, |page, index, alternative| {
        book.alternative_band(page, index, ACROSS)?;
        for met in [EndMet::Capped, EndMet::Plugged, EndMet::OnSite, EndMet::Elsewhere] {
            group(page, book, alternative, met)?;
        }
        balance(page, book, alternative)
    })
}

fn group(page: &mut Page<'_>, book: &Book<'_>, alternative: &Alternative, met: EndMet) -> Written {
    let words = &book.words;
    let mut ends: Vec<&EndLine> = alternative.takeoff.ends.iter().filter(|end| end.met == met).collect();
    if ends.is_empty() {
        return Ok(());
    }
    ends.sort_by(|a, b| {
        natural(words.run_name(a.run), words.run_name(b.run))
            .then_with(|| (a.end, a.phase).cmp(&(b.end, b.phase)))
    });
    page.band(end_met(met), ACROSS, &book.look().band_light)?;
    for end in ends {
        put_row(page, words, (0, &columns()), &end)?;
        page.next();
    }
    Ok(())
}

/// Male ends against what fills them, by system and size.
fn balance(page: &mut Page<'_>, book: &Book<'_>, alternative: &Alternative) -> Written {
    if alternative.takeoff.balance.is_empty() {
        return Ok(());
    }
    page.next();
    page.band("Tube ends against sockets", ACROSS, &book.look().block)?;
    let headings = ["system", "size", "tube ends", "joined", "on site", "elsewhere", "check"];
    page.heads(1, headings, |at| (3..7).contains(&at))?;
    let catalog = &book.words.job.catalog;
    let mut lines: Vec<&Balance> = alternative.takeoff.balance.iter().collect();
    lines.sort_by_cached_key(|line| {
        let system = catalog.system(line.system);
        (line.system, catalog.order(system.tube, line.size), book.words.word(line.size))
    });
    for line in lines {
        page.texts(1, [book.words.system(line.system), book.words.word(line.size)], Tone::Plain)?;
        for (at, number) in (3..).zip([line.male, line.filled, line.on_site, line.elsewhere]) {
            page.number_as(at, Kind::Whole, Decimal::from(number), Tone::Plain)?;
        }
        let balanced = line.filled.checked_add(line.on_site).and_then(|sum| sum.checked_add(line.elsewhere));
        let (words, tone) = match balanced == Some(line.male) {
            true => ("balances", Tone::Muted),
            false => ("does not balance", Tone::Warn),
        };
        page.text(7, words, tone)?;
        page.next();
    }
    Ok(())
}
