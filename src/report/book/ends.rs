//! Below the takeoff: ends of tube that no part fills, and the balance of ends against sockets. The test sheet says how they
//! are closed.

use rust_decimal::Decimal;

use super::Book;
use crate::estimate::alternative::Alternative;
use crate::estimate::takeoff::{Balance, EndLine, EndMet};
use crate::ground::name::natural;
use crate::report::facts::{end_met, run_end};
use crate::report::form::{Kind, Page, Tone, Written};

/// So many columns of the takeoff.
const ACROSS: u16 = 6;

/// Writes what each alternative has.
pub(super) fn write(page: &mut Page<'_>, book: &Book<'_>) -> Written {
    page.next();
    page.band("Ends that no part fills: each is capped, joined or shut", ACROSS, &book.look().block)?;
    for (index, alternative) in book.words.estimate.alternatives.iter().enumerate() {
        book.alternative_band(page, index, ACROSS)?;
        for met in [EndMet::Capped, EndMet::Plugged, EndMet::OnSite, EndMet::Elsewhere] {
            group(page, book, alternative, met)?;
        }
        balance(page, book, alternative)?;
    }
    Ok(())
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
    page.heads(0, ["run", "end", "size", "service", "how many", "phase"], |at| at == 4)?;
    for end in ends {
        page.texts(0, [words.run_name(end.run), run_end(end.end), words.word(end.size)], Tone::Plain)?;
        page.text(3, end.service.word(), Tone::Plain)?;
        page.number_as(4, Kind::Whole, Decimal::from(end.copies), Tone::Plain)?;
        page.text(5, end.phase.word(), Tone::Plain)?;
        page.next();
    }
    Ok(())
}

/// Male ends against what fills them, by system and size.
fn balance(page: &mut Page<'_>, book: &Book<'_>, alternative: &Alternative) -> Written {
    if alternative.takeoff.balance.is_empty() {
        return Ok(());
    }
    page.band("Tube ends against sockets", ACROSS, &book.look().band_light)?;
    page.heads(0, ["system", "joined, on site, elsewhere", "size", "check", "tube ends", ""], |at| at == 4)?;
    let catalog = &book.words.job.catalog;
    let mut lines: Vec<&Balance> = alternative.takeoff.balance.iter().collect();
    lines.sort_by_cached_key(|line| {
        let system = catalog.system(line.system);
        (line.system, catalog.order(system.tube, line.size), book.words.word(line.size))
    });
    for line in lines {
        let ends = format!("{} + {} + {}", line.filled, line.on_site, line.elsewhere);
        page.texts(0, [book.words.system(line.system), &ends, book.words.word(line.size)], Tone::Plain)?;
        let balanced = line.filled.checked_add(line.on_site).and_then(|sum| sum.checked_add(line.elsewhere));
        let (words, tone) = match balanced == Some(line.male) {
            true => ("balances", Tone::Muted),
            false => ("does not balance", Tone::Warn),
        };
        page.text(3, words, tone)?;
        page.number_as(4, Kind::Whole, Decimal::from(line.male), Tone::Plain)?;
        page.text(5, "", Tone::Plain)?;
        page.next();
    }
    Ok(())
}
