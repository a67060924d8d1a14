//! The sheet Summary: the bid of the chosen alternative on one page, what is not in it, and where the rest stands.

use rust_decimal::Decimal;
use rust_xlsxwriter::Workbook;

use super::costs::{self, Block};
use super::edits::{self, close_unedited};
use super::{Book, chart, notes};
use crate::doubts::{counted, weightiest};
use crate::estimate::alternative::Alternative;
use crate::estimate::installed::joints_to_make;
use crate::report::facts::BidLine;
use crate::report::form::{Kind, Page, Paper, Tone, Written, column, letters, shown};

const ACROSS: u16 = 4;
const SUM: u16 = 2;
const NOTE: u16 = 3;

/// Writes the sheet.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let terms = &book.words.job.settings;
    let columns = vec![
        column("cost line", 30.0, Kind::Text),
        column("percent", 10.0, Kind::Percent),
        column(if terms.currency.is_empty() { "sum" } else { &terms.currency }, 15.0, Kind::Money),
        column("what it is", 46.0, Kind::Wrap),
    ];
    let title = if terms.name.is_empty() { "Estimate" } else { &terms.name };
    let about = about(book);
    let mut page = Page::open(out, &book.binding, "Summary", title, &about, Paper::Portrait, columns)?;
    banner(&mut page, book)?;
    if let Some(tried) = book.words.tried() {
        let words = format!("{tried}. Nothing here is to be ordered or bid by.");
        page.paragraph(&words, ACROSS, &book.look().banner)?;
    }
    edits::line(&mut page, ACROSS)?;
    page.paragraph_as_estimated(&book.words.as_estimated(), ACROSS, &book.look().paragraph)?;
    page.next();
    doubts_line(&mut page, book)?;
    let Some(chosen) = book.words.estimate.alternatives.first() else {
        doubts(&mut page, book)?;
        return page.paragraph("Nothing could be taken off.", ACROSS, &book.look().banner);
    };
    let heading = page.row;
    page.heading_row()?;
    page.sheet.set_freeze_panes(2, 0)?;
    let block = costs::write(&mut page, book, SUM, &[0])?;
    beside(&mut page, book, chosen, heading + 1)?;
    chart_here(&mut page, book);
    facts(&mut page, book, chosen, &block)?;
    edits::count(&mut page, book, (SUM, NOTE))?;
    suppliers(&mut page, book)?;
    doubts(&mut page, book)?;
    page.next();
    page.band("To be read before use", ACROSS, &book.look().block)?;
    page.paragraph(notes::SHORT_CAUTION, ACROSS, &book.look().paragraph)?;
    // What stands below leads about on the screen alone.
    page.print_to(page.row.saturating_sub(1), ACROSS - 1)?;
    page.next();
    page.band("In this workbook", ACROSS, &book.look().block)?;
    for (group, sheets) in super::listed(book.words.job) {
        page.band(group, ACROSS, &book.look().band_light)?;
        for (sheet, holds) in sheets {
            page.link(0, sheet, 0, sheet)?;
            page.put(1, holds, book.look().cell(Kind::Text, Tone::Muted))?;
            page.texts(2, ["", ""], Tone::Plain)?;
            page.next();
        }
    }
    close_unedited(page)
}

/// Leaves room for the chart, which is drawn when the figures it goes by are written.
fn chart_here(page: &mut Page<'_>, book: &mut Book<'_>) {
    page.next();
    book.chart_row = Some(page.row);
    let systems = u32::try_from(book.words.estimate.alternatives.len()).unwrap_or(u32::MAX);
    page.row = page.row.saturating_add(chart::rows(systems));
}

fn about(book: &Book<'_>) -> String {
    let terms = &book.words.job.settings;
    let mut parts = vec!["Bid summary".to_owned()];
    if let Some(date) = terms.date {
        parts.push(date.to_string());
    }
    if let Some(chosen) = book.words.estimate.alternatives.first() {
        let (chosen, called) = (book.words.system(chosen.system), book.words.system_in_words(chosen.system));
        let named = if called == chosen { String::new() } else { format!(" ({chosen})") };
        parts.push(format!("water in {called}{named}"));
    }
    let drain = book.words.word(terms.drain_system);
    if !drain.is_empty() {
        parts.push(format!("drains in {drain}"));
    }
    parts.push(format!("estimate {}", book.number));
    parts.join("  \u{b7}  ")
}

/// What must not be overlooked: an incomplete count.
fn banner(page: &mut Page<'_>, book: &Book<'_>) -> Written {
    let Some(why) = book.words.estimate.incomplete(book.words.job) else { return Ok(()) };
    page.next();
    let words = format!("{why}. The sums do not hold everything. See the sheet Notices.");
    page.paragraph(&words, ACROSS, &book.look().banner)?;
    page.end()
}

/// The notes beside the cost lines: what is in each, and what a tax or markup is taken on.
fn beside(page: &mut Page<'_>, book: &Book<'_>, chosen: &Alternative, first: u32) -> Written {
    let end = page.row;
    let notes = [
        "tube and pipe, in coils and sticks",
        "elbows, tees, couplings, caps and plugs",
        "rings, solder, flux, cement, primer, tape",
        "clips, straps, brackets; plates, sleeves, insulation",
        "valves, boxes, regulators, manifolds, trim",
    ];
    let terms = &book.words.job.settings;
    page.row = first;
    for note in notes {
        page.text(NOTE, note, Tone::Muted)?;
        page.next();
    }
    for line in BidLine::all(terms) {
        costs::taken_on(page, NOTE, line, terms, chosen)?;
        page.next();
    }
    page.row = end;
    Ok(())
}

fn facts(page: &mut Page<'_>, book: &Book<'_>, chosen: &Alternative, block: &Block) -> Written {
    page.next();
    page.band("What to know about these sums", ACROSS, &book.look().block)?;
    let not_priced = Decimal::from(chosen.cost.not_priced.len());
    let note = if chosen.cost.not_priced.is_empty() {
        "every line of the order has a price"
    } else {
        "these lines of the order have no price and add nothing to the sums"
    };
    let formula = Some("=SUMIFS(order_not_priced,order_alternative,1)");
    fact(page, "lines not priced", Kind::Whole, formula, not_priced, note)?;
    let formula = "=SUMIFS(order_out_of_step,order_alternative,1)";
    let note = "above 0 after an edit: see the column check of the sheet Order";
    fact(page, "lines out of step with their plan", Kind::Whole, Some(formula), Decimal::ZERO, note)?;
    let formula = "=SUMIFS(order_cheaper,order_alternative,1)";
    let note = "above 0 after an edit of prices: see the column check of the sheet Order, and run again";
    let name = "lines that another offer is cheaper for";
    fact(page, name, Kind::Whole, Some(formula), Decimal::ZERO, note)?;
    if let Some(share) = chosen.cost.fittings_share {
        let cell = |line: u32| format!("{}{}", letters(SUM), shown(block.lines + line));
        let (tube, fittings, joining) = (cell(0), cell(1), cell(2));
        let formula = format!("=IF({tube}=0,0,ROUND(ROUND(100*({fittings}+{joining})/{tube},6),1))");
        let note = "fittings and joining as a share of tube, counted piece by piece; a flat share of the tube, \
                    as a quick bid would take for them, is set against this figure";
        fact(page, "fittings against tube, %", Kind::Percent, Some(&formula), share, note)?;
    }
    let joints = "joints of tube, threads apart; with those that the cut plan and made-up fittings add";
    let bends = "turns where tube bends and no elbow was counted";
    let ends = "below the sheet Takeoff; the test sheet says how each is closed";
    fact(page, "joints to make", Kind::Whole, None, joints_to_make(chosen).into(), joints)?;
    fact(page, "turns taken as bends", Kind::Whole, None, chosen.takeoff.bends.into(), bends)?;
    fact(page, "ends that no part fills", Kind::Whole, None, chosen.takeoff.ends.len().into(), ends)
}

/// One figure with what it says; a formula where it follows edits.
fn fact(
    page: &mut Page<'_>,
    name: &str,
    kind: Kind,
    formula: Option<&str>,
    number: Decimal,
    note: &str,
) -> Written {
    page.named(name, Tone::Plain)?;
    match formula {
        Some(formula) => page.formula_as(SUM, kind, formula, number, Tone::Plain)?,
        None => page.number_as(SUM, kind, number, Tone::Plain)?,
    }
    page.text(NOTE, note, Tone::Muted)?;
    page.end_fitted(&[(NOTE, note)])
}

/// What each supplier gets of the chosen alternative.
fn suppliers(page: &mut Page<'_>, book: &Book<'_>) -> Written {
    if book.suppliers.is_empty() {
        return Ok(());
    }
    page.next();
    page.band("By supplier", ACROSS, &book.look().block)?;
    for (id, supplier) in (1_u32..).zip(&book.suppliers) {
        let picks = book.orders.iter().filter(|row| row.alternative == 0).filter_map(|row| row.pick);
        let of_supplier: Vec<Decimal> = picks
            .filter(|(_, offer)| book.words.supplier(offer) == *supplier)
            .map(|(pick, _)| pick.extended)
            .collect();
        if of_supplier.is_empty() {
            continue;
        }
        let sum: Decimal = of_supplier.iter().sum();
        let formula = format!("=SUMIFS(order_extended,order_alternative,1,order_supplier,{id})");
        page.named(supplier, Tone::Plain)?;
        page.formula(SUM, &formula, sum, Tone::Plain)?;
        let lines = of_supplier.len();
        page.text(NOTE, &format!("{lines} line{}", if lines == 1 { "" } else { "s" }), Tone::Muted)?;
        page.next();
    }
    Ok(())
}

/// The most notices that stand on the summary.
const MOST: usize = 5;

/// How many there are, in one line whatever they are: what stands below keeps its place.
fn doubts_line(page: &mut Page<'_>, book: &Book<'_>) -> Written {
    let told = &book.words.estimate.told;
    let many = if told.is_empty() { "nothing wrong or doubtful".to_owned() } else { counted(told.iter()) };
    page.link(0, "Notices", 0, &format!("{many}, as estimated: see the sheet Notices"))?;
    page.next();
    page.end()
}

/// What is wrong or doubtful and matters most, below the sums: the cell, what was found and what hangs on it. These are
/// words: they follow no edit.
fn doubts(page: &mut Page<'_>, book: &Book<'_>) -> Written {
    let weighty = weightiest(&book.words.estimate.told);
    if weighty.is_empty() {
        return Ok(());
    }
    page.next();
    page.band_as_estimated("What is wrong or doubtful", (ACROSS, NOTE), &book.look().block)?;
    for one in weighty.iter().take(MOST) {
        let weight = if one.notice.is_error() { "error" } else { "warning" };
        page.paragraph_as_estimated(&format!("{weight}  {}", one.words()), ACROSS, &book.look().paragraph)?;
    }
    let named: usize = weighty.iter().take(MOST).map(|one| 1 + one.more).sum();
    let all: usize = weighty.iter().map(|one| 1 + one.more).sum();
    if all > named {
        let more = format!("and {} more errors and warnings on the sheet Notices", all - named);
        page.paragraph(&more, ACROSS, &book.look().paragraph)?;
    }
    Ok(())
}
