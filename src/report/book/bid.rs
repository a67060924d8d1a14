//! The sheet Bid inside: how the price comes about, line by line, for the chosen system, for each system compared, and with
//! each alternate taken; adds and deducts; profit said as a markup and as a margin; how sums are rounded. These are
//! inside figures: what is handed over is the paper Bid.

use rust_decimal::Decimal;
use rust_xlsxwriter::Workbook;

use super::Book;
use super::costs::{self, Block, Moves};
use super::edits::close_unedited;
use crate::estimate::AllowanceCost;
use crate::estimate::alternates::{Alternate, Difference, Moved};
use crate::estimate::bid::both_ways;
use crate::report::facts::{BidLine, allowances};
use crate::report::form::{Kind, Page, Paper, Tone, Written, column, letters, shown};
use crate::trade::Class;

/// Its name: the paper that is handed over is the bid.
pub(super) const SHEET: &str = "Bid inside";

/// The column of the chosen system.
const BASE: u16 = 2;

const ROUNDING: &str = "Each line is rounded to cents once, half a cent away from zero; sums are sums of rounded lines. \
     Sales tax is added up over the lines of the order, each at the rate of its class, and rounded once; it is on what \
     is bought, not on the price. Neither tax nor fees that are handed on are marked up.";

const ALTERNATES: &str = "An alternate is priced by counting and buying the whole job again with it. What it moves is \
     shown above as values, at the prices as read: after a price is edited, run the program again. Percentages, rates and \
     fees follow edits. Two alternates together may come to a little less or more than the two apart.";

const ALLOWANCES: &str = "As estimated: the job was bought once more without any allowance. A part and a few percent \
     are two parts, and a bag that is bought in any case costs nothing more. After an edit, run the program again.";

/// What stands between material, labor, tools and the tax of a bid; fees that the job states are the same in every bid.
const OTHER_LINES: [BidLine; 5] =
    [BidLine::SmallParts, BidLine::Delivery, BidLine::Contingency, BidLine::Overhead, BidLine::Profit];

/// Writes the sheet and names the sums of its columns.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let estimate = book.words.estimate;
    let systems: Vec<usize> = (0..estimate.alternatives.len()).take(40).collect();
    let priced: Vec<(&Alternate, &Moved)> =
        estimate.optional.iter().filter_map(|one| Some((one, one.moved.as_ref()?))).collect();
    let mut columns = vec![column("line", 28.0, Kind::Text), column("percent", 9.0, Kind::Percent)];
    for index in &systems {
        let name = book.words.alternative(*index);
        let heading = match estimate.comparison.is_whole(*index) {
            true => name.to_owned(),
            false => format!("{name}: NOT WHOLE"),
        };
        columns.push(column(&heading, 15.0, Kind::Money));
    }
    for (one, _) in &priced {
        columns.push(column(&format!("alternate: {}", book.words.word(one.name)), 17.0, Kind::Money));
    }
    columns.push(column("what it is taken on", 58.0, Kind::Wrap));
    let across = u16::try_from(columns.len()).unwrap_or(u16::MAX);
    let currency = &*book.words.job.settings.currency;
    let about = format!(
        "Inside figures: not to be handed over. The first column of sums is the base bid. Sums in {currency}."
    );
    let mut page = Page::open(out, &book.binding, SHEET, SHEET, &about, Paper::Landscape, columns)?;
    if estimate.alternatives.is_empty() {
        return page.paragraph("Nothing could be taken off.", across, &book.look().banner);
    }
    page.headings(BASE)?;
    let heads: Vec<String> = page.columns.iter().map(|column| column.heading.clone()).collect();
    let fitted: Vec<(u16, &str)> = (0..).zip(heads.iter().map(String::as_str)).collect();
    page.fit_row(page.row - 1, &fitted)?;
    let block = costs::write(&mut page, book, BASE, &systems)?;
    notes(&mut page, book, &block, across - 1)?;
    // What stands below hangs on what alternates move.
    profit(&mut page, book, across)?;
    let firsts = BASE + u16::try_from(systems.len()).unwrap_or(0);
    let sheet = Sheet { systems: systems.len(), firsts, across };
    let below = page.row;
    // Adds and deducts stand above what the alternates move: the rows of the values are known ahead.
    let moves = moves_from(below + 10);
    let classes = classes_moved(&priced);
    for (column, (_, moved)) in (firsts..).zip(&priced) {
        costs::write_moved(&mut page, book, &block, (column, BASE), (moves, &classes), &moved.bid)?;
    }
    differences(&mut page, book, &block, &sheet, &priced)?;
    what_moves(&mut page, book, &sheet, (&priced, &classes))?;
    allowances_come_to(&mut page, book, across)?;
    page.next();
    page.band("How it is rounded", across, &book.look().block)?;
    page.paragraph(ROUNDING, across, &book.look().paragraph)?;
    for (line, name) in
        [(BidLine::Price, "bid_price"), (BidLine::Tax, "bid_tax"), (BidLine::Total, "bid_total")]
    {
        book.name_cell(name, SHEET, BASE, block.row(line) - 1);
    }
    for (column, id) in (BASE..firsts).zip(1..) {
        book.name_cell(&format!("bid_against_{id}"), SHEET, column, below + 6);
    }
    for (column, id) in (firsts..across - 1).zip(1..) {
        book.name_cell(&format!("alternate_{id}"), SHEET, column, below + 6);
    }
    close_unedited(page)
}

/// Where the columns of the sheet stand.
struct Sheet {
    systems: usize,
    /// The column of the first alternate.
    firsts: u16,
    across: u16,
}

/// What each line is taken on, at the right.
fn notes(page: &mut Page<'_>, book: &Book<'_>, block: &Block, at: u16) -> Written {
    let (back, terms) = (page.row, &book.words.job.settings);
    let Some(chosen) = book.words.estimate.alternatives.first() else { return Ok(()) };
    for line in BidLine::all(terms) {
        page.row = block.row(line) - 1;
        costs::taken_on(page, at, line, terms, chosen)?;
    }
    page.row = back;
    Ok(())
}

const fn moves_from(row: u32) -> Moves {
    Moves {
        material: shown(row),
        labor: shown(row + 1),
        tools: shown(row + 2),
        supplier_fees: shown(row + 3),
        taxable: shown(row + 4),
    }
}

/// Every column against the base bid: seven rows with the band and the word.
fn differences(
    page: &mut Page<'_>,
    book: &Book<'_>,
    block: &Block,
    sheet: &Sheet,
    priced: &[(&Alternate, &Moved)],
) -> Written {
    let estimate = book.words.estimate;
    page.next();
    page.band("Adds and deducts against the base bid", sheet.across, &book.look().block)?;
    let base = &estimate.alternatives[0].cost.bid;
    let of_systems = estimate.alternatives.iter().take(sheet.systems).map(|one| {
        Moved { from: base.spent, to: one.cost.bid.spent, bid: one.cost.bid.clone() }.against(base)
    });
    let all: Vec<Difference> =
        of_systems.chain(priced.iter().map(|(_, moved)| moved.against(base))).collect();
    type Part = (&'static str, &'static [BidLine], fn(&Difference) -> Decimal);
    let parts: [Part; 5] = [
        ("material", &[BidLine::Material], |d| d.material),
        ("labor and tools", &[BidLine::Labor, BidLine::Tools], |d| d.labor),
        ("other lines of the bid", &OTHER_LINES, |d| d.total - d.material - d.labor - d.tax),
        ("sales tax", &[BidLine::Tax], |d| d.tax),
        ("the whole bid", &[BidLine::Total], |d| d.total),
    ];
    for (i, (name, lines, result)) in parts.into_iter().enumerate() {
        let tone = if i == 4 { Tone::Total } else { Tone::Plain };
        page.side_by_side(name, tone, (BASE, &all), |page, column, difference| {
            let term = |line: &BidLine| {
                let row = block.row(*line);
                format!("+{}{row}-${}{row}", letters(column), letters(BASE))
            };
            let formula: String = lines.iter().map(term).collect();
            if column >= sheet.firsts {
                page.follows_in_part(column);
            }
            page.formula(column, &format!("=ROUND({},2)", &formula[1..]), result(difference), tone)
        })?;
    }
    page.side_by_side("", Tone::Plain, (BASE, &all), |page, column, difference| {
        let cell = format!("{}{}", letters(column), shown(page.row - 1));
        let words = match difference.total {
            zero if zero.is_zero() => "the same",
            less if less.is_sign_negative() => "deduct",
            _ => "add",
        };
        let formula = format!("=IF({cell}<0,\"deduct\",IF({cell}>0,\"add\",\"the same\"))");
        if column >= sheet.firsts {
            page.follows_in_part(column);
        }
        page.formula_words(column, &formula, words, Tone::Muted)
    })
}

/// What each alternate moves, as values; and which of them are not to be relied on.
fn what_moves(
    page: &mut Page<'_>,
    book: &Book<'_>,
    sheet: &Sheet,
    (priced, classes): (&[(&Alternate, &Moved)], &[Class]),
) -> Written {
    if book.words.estimate.optional.is_empty() {
        return Ok(());
    }
    page.next();
    let said_at = (sheet.across, sheet.firsts);
    page.band_as_estimated("What an alternate moves", said_at, &book.look().block)?;
    type Part = (&'static str, fn(&crate::estimate::bid::Spent) -> Decimal);
    let parts: [Part; 4] = [
        ("material", |s| s.material),
        ("labor", |s| s.labor),
        ("tools", |s| s.tools),
        ("delivery fees", |s| s.supplier_fees),
    ];
    for (name, of) in parts {
        page.side_by_side(name, Tone::Plain, (sheet.firsts, priced), |page, column, (_, moved)| {
            page.as_estimated_as(column, (Kind::Price, of(&moved.to) - of(&moved.from)), Tone::Plain)
        })?;
    }
    for class in classes {
        let name = format!("of it taxed as {}", class.word());
        page.side_by_side(&name, Tone::Plain, (sheet.firsts, priced), |page, column, (_, moved)| {
            page.as_estimated_as(column, (Kind::Price, moved_of(moved, *class)), Tone::Plain)
        })?;
    }
    page.paragraph(ALTERNATES, sheet.across, &book.look().subtitle_wrapped)?;
    for one in &book.words.estimate.optional {
        let words = scope(book, one);
        let format = if one.complete { &book.look().paragraph } else { &book.look().banner };
        page.paragraph_as_estimated(&words, sheet.across, format)?;
    }
    Ok(())
}

/// What an alternate moves of what is taxed in a class.
fn moved_of(moved: &Moved, class: Class) -> Decimal {
    moved.to.taxable[class as usize] - moved.from.taxable[class as usize]
}

/// The classes of which some alternate moves what is taxed.
fn classes_moved(priced: &[(&Alternate, &Moved)]) -> Vec<Class> {
    let moves = |class: &Class| priced.iter().any(|(_, moved)| !moved_of(moved, *class).is_zero());
    Class::ALL.into_iter().filter(moves).collect()
}

/// What an alternate brings and leaves out, and whether its price holds everything.
fn scope(book: &Book<'_>, one: &Alternate) -> String {
    let job = book.words.job;
    let list = |runs: Vec<&str>| if runs.is_empty() { "none".to_owned() } else { runs.join(", ") };
    let brings = one.brings.iter().filter_map(|at| job.alternates.runs.get(*at)).map(|run| &*run.name);
    let leaves_out = one.leaves_out.iter().filter_map(|at| job.runs.get(*at)).map(|run| &*run.name);
    let state = match (&one.moved, one.complete) {
        (None, _) => " NOT PRICED: see Notices.",
        (Some(_), false) => " INCOMPLETE: something in it is left out or not priced; see Notices.",
        (Some(_), true) => "",
    };
    let (name, brings, leaves_out) =
        (book.words.word(one.name), list(brings.collect()), list(leaves_out.collect()));
    format!("{name}: runs it brings: {brings}; runs it leaves out: {leaves_out}.{state}")
}

/// The same profit as a markup and as a margin, each under its own heading.
fn profit(page: &mut Page<'_>, book: &Book<'_>, across: u16) -> Written {
    let terms = &book.words.job.settings;
    page.next();
    page.band("The profit as markup and as margin", across, &book.look().block)?;
    let Some((markup, margin)) = both_ways(terms.profit, terms.bid.profit_as) else { return Ok(()) };
    let p = "profit_percent";
    let rows = [
        (
            "MARKUP: percent of the cost",
            format!("=IF(profit_is_margin=1,ROUND(ROUND(100*{p}/MAX(0,100-{p}),6),2),{p})"),
            markup,
            "what is added to direct cost, contingency and overhead",
        ),
        (
            "MARGIN: percent of the price",
            format!("=IF(profit_is_margin=1,{p},ROUND(ROUND(100*{p}/(100+{p}),6),2))"),
            margin,
            "what is left of the price of the work when its cost is paid",
        ),
    ];
    for (name, formula, result, note) in rows {
        page.text(0, name, Tone::Plain)?;
        page.formula_as(1, Kind::Percent, &formula, result, Tone::Plain)?;
        page.text(across - 1, note, Tone::Muted)?;
        page.next();
    }
    Ok(())
}

/// What allowances come to in money, class by class.
fn allowances_come_to(page: &mut Page<'_>, book: &Book<'_>, across: u16) -> Written {
    let costs = &book.words.estimate.allowances;
    if costs.is_empty() {
        return Ok(());
    }
    page.next();
    let band = "What allowances come to, within material";
    page.band_as_estimated(band, (across, across - 1), &book.look().block)?;
    for one in costs {
        page.text(0, &format!("{} allowance", one.class.word()), Tone::Plain)?;
        page.as_estimated_as(1, (Kind::Percent, one.percent), Tone::Plain)?;
        page.as_estimated_as(BASE, (Kind::Money, one.adds()), Tone::Plain)?;
        page.words_as_estimated(across - 1, &allowances::comes_to(one), Tone::Muted)?;
        page.next();
    }
    page.text(0, "together", Tone::Total)?;
    page.as_estimated_as(BASE, (Kind::Money, costs.iter().map(AllowanceCost::adds).sum()), Tone::Total)?;
    page.text(across - 1, "", Tone::Total)?;
    page.next();
    page.paragraph(ALLOWANCES, across, &book.look().paragraph)
}
