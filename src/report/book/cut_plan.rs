//! The sheet Cut plan, the list to cut from at the bench: every coil and stick numbered and drawn as a bar, under it the
//! pieces to cut from it, in order, each with its runs and boxes to tick; then pieces that are joined, and offcuts worth
//! keeping.

use rust_decimal::Decimal;
use rust_xlsxwriter::Workbook;

use super::{Book, edits};
use crate::estimate::order::{CutFor, Cutting, TubePlan};
use crate::ground::Length;
use crate::report::facts::Wording;
use crate::report::facts::cuts::{TAKE_OFF, bars, basis, measured};
use crate::report::form::{BOX, Kind, Page, Paper, Tone, Written, column};

/// Columns of words before the bar.
const WORDS: u16 = 6;
/// The column of the runs.
const RUNS: u16 = 4;
/// Cells that a whole coil or stick is drawn in.
const CELLS: u16 = 50;
/// Boxes that stand side by side.
const MOST_BOXES: usize = 5;

/// Writes the sheet.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let unit = book.words.length_unit();
    let mut columns = vec![
        column("", 9.0, Kind::Text),
        column("in each", 7.0, Kind::Whole),
        column(unit.abbreviation(), 9.0, Kind::Length),
        column(book.words.tape_heading(), 14.0, Kind::Text),
        column("for the runs", 27.0, Kind::Text),
        column("", 2.0, Kind::Text),
    ];
    columns.extend((0..CELLS).map(|_| column("", 0.6, Kind::Text)));
    let measured = measured(&book.words.estimate.alternatives).unwrap_or(TAKE_OFF);
    let about = format!("How tube is cut from what is bought, {measured}.{}", book.printed());
    let mut page = Page::open(out, &book.binding, "Cut plan", "Cut plan", &about, Paper::Portrait, columns)?;
    page.headings(0)?;
    let across = WORDS + CELLS;
    for column in WORDS - 1..across {
        page.sheet.write_blank(page.row - 1, column, &book.look().heading)?;
    }
    let mut any = false;
    let mut printed = None;
    for (index, alternative) in book.words.estimate.alternatives.iter().enumerate() {
        if alternative.plans.iter().all(|plan| plan.cuttings.is_empty()) {
            continue;
        }
        any = true;
        book.alternative_band(&mut page, index, across)?;
        for plan in alternative.plans.iter().filter(|plan| !plan.cuttings.is_empty()) {
            write_plan(&mut page, book, plan)?;
        }
        printed.get_or_insert(page.row.saturating_sub(1));
    }
    if !any {
        page.put(0, "No tube is bought by coil or stick.", &book.look().subtitle)?;
    }
    page.print_to(printed.unwrap_or(page.row), across - 1)?;
    edits::close_unedited(page)
}

fn write_plan(page: &mut Page<'_>, book: &Book<'_>, plan: &TubePlan) -> Written {
    let words = &book.words;
    page.next();
    let system = words.item_system(plan.item);
    let mut name = words.item_name(plan.item);
    if !system.is_empty() {
        name = format!("{name} ({system})");
    }
    page.band_as_estimated(&name, (WORDS + CELLS, RUNS), &book.look().block)?;
    page.put(0, &how_good(book, plan), &book.look().subtitle)?;
    page.follows_in_part(0);
    page.next();
    if plan.kerf > Length::ZERO {
        page.put(0, &format!("Each cut loses {}.", book.words.on_tape(plan.kerf)), &book.look().subtitle)?;
        page.next();
    }
    let all: u64 = plan.cuttings.iter().map(|cutting| cutting.times).sum();
    let mut keep = Vec::new();
    for bar in &bars(words, plan) {
        let numbers = match bar.bars {
            (first, last) if first == last => format!("{first} of {all}"),
            (first, last) => format!("{first} to {last} of {all}"),
        };
        if book.words.is_worth_keeping(bar.cutting) {
            keep.push((numbers.clone(), bar.cutting));
        }
        write_cutting(page, book, bar.cutting, &numbers)?;
    }
    joined(page, book, plan)?;
    worth_keeping(page, book, &keep)
}

/// Pieces longer than every length on sale, and what each is made of.
fn joined(page: &mut Page<'_>, book: &Book<'_>, plan: &TubePlan) -> Written {
    if plan.joined.is_empty() {
        return Ok(());
    }
    page.band("Joined from parts", WORDS + CELLS, &book.look().band_light)?;
    for piece in &plan.joined {
        let part = |(length, number): &(Length, u64)| match number {
            1 => book.words.on_tape(*length),
            number => format!("{number} of {}", book.words.on_tape(*length)),
        };
        let parts: Vec<String> = piece.parts.iter().map(part).collect();
        let words = format!("{}: {}", book.words.run_name(piece.run), parts.join(" + "));
        length_row(page, book, BOX, (piece.copies.into(), piece.length), &words)?;
    }
    Ok(())
}

/// Offcuts as long as the job says are worth keeping.
fn worth_keeping(page: &mut Page<'_>, book: &Book<'_>, keep: &[(String, &Cutting)]) -> Written {
    if keep.is_empty() {
        return Ok(());
    }
    page.band("Offcuts worth keeping", WORDS + CELLS, &book.look().band_light)?;
    for (numbers, cutting) in keep {
        length_row(page, book, BOX, (cutting.times.into(), cutting.left), &format!("of {numbers}"))?;
    }
    Ok(())
}

/// The cost of a plan against what no plan can cost less than.
fn how_good(book: &Book<'_>, plan: &TubePlan) -> String {
    let currency = &book.words.job.settings.currency;
    let money = |sum: Decimal| crate::ground::money::in_currency(currency, sum);
    // Where pieces are joined the bound is for every way to part them; else for the pieces as they are.
    let joined = match plan.joints {
        0 => String::new(),
        1 => format!(" with 1 joint at {}", money(plan.per_joint)),
        n => format!(" with {n} joints at {}", money(plan.per_joint)),
    };
    let (least, any) = match plan.joined.is_empty() {
        true => ("the lowest cost for these pieces at this supplier", "no plan for these pieces"),
        false => (
            "the lowest cost at this supplier, wherever long pieces are joined",
            "no plan, wherever long pieces are joined,",
        ),
    };
    let mut text = if plan.is_least() {
        format!("{}{joined}: {least}.", money(plan.cost))
    } else {
        format!("{}{joined}; {any} can cost less than {}.", money(plan.cost), money(plan.bound))
    };
    match plan.extra_couplings {
        0 => {}
        n if n > 0 => text.push_str(&format!(" Joins {n} more than the takeoff counts.")),
        n => text.push_str(&format!(" Spares {} couplings of the takeoff.", n.unsigned_abs())),
    }
    text
}

fn write_cutting(page: &mut Page<'_>, book: &Book<'_>, cutting: &Cutting, numbers: &str) -> Written {
    let words = &book.words;
    let (sold, supplier) = words.cut_from(cutting);
    let left = words.length_words(cutting.left);
    page.put(
        0,
        &format!("{numbers}: {sold}, {supplier}; {left} left"),
        book.look().cell(Kind::Text, Tone::Total),
    )?;
    page.blanks(1..WORDS - 1, Tone::Total)?;
    bar(page, book, cutting)?;
    page.next();
    for piece in &cutting.pieces {
        let mut names: Vec<String> = piece.runs.iter().map(|of| for_run(words, of)).collect();
        names.dedup();
        // A box for each piece, as far as they fit.
        let boxes = usize::try_from(piece.number.saturating_mul(cutting.times)).unwrap_or(usize::MAX);
        let boxes = BOX.repeat(if boxes <= MOST_BOXES { boxes } else { 1 });
        let mut runs = names.join(", ");
        if piece.joined {
            runs.push_str(": a part, to be joined");
        } else if names.is_empty() {
            runs.push_str("spare");
        }
        length_row(page, book, &boxes, (piece.number.into(), piece.length), &runs)?;
    }
    Ok(())
}

/// A run, and that its pieces are cut center to center where others are not.
fn for_run(words: &Wording<'_>, of: &CutFor) -> String {
    let run = words.run_name(of.run);
    match of.cut.as_cut {
        None if words.takes_out() => format!("{run} ({})", basis(&of.cut)),
        None | Some(_) => run.to_owned(),
    }
}

/// Boxes to tick, how many of a length, and what they are for.
fn length_row(
    page: &mut Page<'_>,
    book: &Book<'_>,
    boxes: &str,
    (count, length): (Decimal, Length),
    words: &str,
) -> Written {
    page.text(0, boxes, Tone::Plain)?;
    page.number(1, count, Tone::Plain)?;
    page.number(2, book.words.shown(length), Tone::Plain)?;
    page.text(3, &book.words.on_tape(length), Tone::Plain)?;
    page.put(4, words, book.look().cell(Kind::Wrap, Tone::Muted))?;
    page.end_fitted(&[(4, words)])
}

/// The coil or stick as a row of cells: pieces in two tints in turn, what is left hatched.
fn bar(page: &mut Page<'_>, book: &Book<'_>, cutting: &Cutting) -> Written {
    let whole = i128::from(cutting.length.nanometres().max(1));
    let mut ends: Vec<i128> = Vec::new();
    let mut used = 0_i128;
    'pieces: for piece in &cutting.pieces {
        for _ in 0..piece.number {
            used += i128::from(piece.length.nanometres());
            ends.push(used);
            // More pieces than this cannot be told apart in so few cells.
            if ends.len() > 2_000 {
                break 'pieces;
            }
        }
    }
    for cell in 0..CELLS {
        // The middle of the cell decides which piece it shows.
        let middle = whole * (2 * i128::from(cell) + 1) / (2 * i128::from(CELLS));
        let piece = ends.iter().position(|end| middle < *end);
        let format = match piece {
            Some(piece) => &book.look().bar[piece % 2],
            None => &book.look().bar_left,
        };
        page.sheet.write_blank(page.row, WORDS + cell, format)?;
    }
    Ok(())
}
