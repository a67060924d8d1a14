//! The sheet Comparison: every alternative in a column, live sums of the order, differences and a bar chart; and what
//! only one side has.

use rust_decimal::Decimal;
use rust_xlsxwriter::{Chart, ChartFont, ChartLegendPosition, ChartType, Color, Workbook};

use super::costs::{self, Block};
use super::{Book, Sides, installed};
use crate::estimate::installed::joints_to_make;
use crate::estimate::order::CostLine;
use crate::report::form::{Kind, Page, Paper, Tone, Written, column};

/// The column of the first alternative.
const FIRST: u16 = 2;
/// Tints of the accent from dark to light, one a cost line.
const TINTS: [u32; 5] = [0x21_5968, 0x4F_7F8C, 0x7F_A8B3, 0xAE_C9D0, 0xD6_E4E8];

/// What is said of a system whose sums do not hold everything.
const NOT_WHOLE: &str = "NOT WHOLE, its sums are too low";

/// Writes the sheet.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let estimate = book.words.estimate;
    let alternatives: Vec<usize> = (0..estimate.alternatives.len()).take(40).collect();
    let mut columns = vec![column("cost line", 26.0, Kind::Text), column("percent", 9.0, Kind::Percent)];
    for index in &alternatives {
        columns.push(column(book.words.alternative(*index), 16.0, Kind::Money));
    }
    while columns.len() < 6 {
        columns.push(column("", 16.0, Kind::Text));
    }
    let across = u16::try_from(columns.len()).unwrap_or(u16::MAX);
    let currency = &*book.words.job.settings.currency;
    let about = if currency.is_empty() { String::new() } else { format!("All sums in {currency}.") };
    let paper = if alternatives.len() > super::UPRIGHT { Paper::Landscape } else { Paper::Portrait };
    let mut page = Page::open(out, &book.binding, "Comparison", "Comparison", &about, paper, columns)?;
    if !estimate.comparison.sentence.is_empty() {
        page.paragraph(&book.words.as_estimated(), across, &book.look().paragraph)?;
    }
    page.headings(FIRST)?;
    let heading = page.row - 1;
    in_words(&mut page, book, &alternatives)?;
    let block = costs::write(&mut page, book, FIRST, &alternatives)?;
    let all = (FIRST, &*alternatives);
    let differences = &estimate.comparison.differences;
    let total = ("material against the first", block.material);
    installed::against_first(&mut page, book, all, total, differences)?;
    facts(&mut page, book, all)?;
    installed::write(&mut page, book, across, block.material, all)?;
    page.next();
    // The chart stands whole on paper, on the page behind the figures.
    let turn = page.row;
    page.sheet.set_page_breaks(&[turn])?;
    chart(&mut page, &block, heading, &alternatives)?;
    one_sided(&mut page, book, across)
}

/// What people call each system, under its name; one that is not whole is marked above its sums.
fn in_words(page: &mut Page<'_>, book: &Book<'_>, alternatives: &[usize]) -> Written {
    let called = |index: &usize| match book.words.estimate.comparison.is_whole(*index) {
        true => (book.words.alternative_in_words(*index), Tone::Muted),
        false => (format!("{}: {NOT_WHOLE}", book.words.alternative_in_words(*index)), Tone::Warn),
    };
    let called: Vec<(String, Tone)> = alternatives.iter().map(called).collect();
    for (column, (words, tone)) in (FIRST..).zip(&called) {
        page.put(column, words, book.look().cell(Kind::Wrap, *tone))?;
    }
    let cells: Vec<(u16, &str)> = (FIRST..).zip(called.iter().map(|(words, _)| &**words)).collect();
    page.end_fitted(&cells)
}

fn facts(page: &mut Page<'_>, book: &Book<'_>, all: Sides<'_>) -> Written {
    let estimate = book.words.estimate;
    page.side_by_side("lines not priced", Tone::Plain, all, |page, column, index| {
        let formula = format!("=SUMIFS(order_not_priced,order_alternative,{})", index + 1);
        let count = Decimal::from(estimate.alternatives[*index].cost.not_priced.len());
        page.formula_as(column, Kind::Whole, &formula, count, Tone::Plain)
    })?;
    page.side_by_side("joints to make", Tone::Plain, all, |page, column, index| {
        let joints = joints_to_make(&estimate.alternatives[*index]);
        page.number_as(column, Kind::Whole, Decimal::from(joints), Tone::Plain)
    })?;
    let tube = format!("tube, {}", book.words.length_unit().abbreviation());
    page.side_by_side(&tube, Tone::Plain, all, |page, column, index| {
        let length = estimate.comparison.feet.get(*index).copied().unwrap_or_default();
        page.number_as(column, Kind::Length, length, Tone::Plain)
    })?;
    installed::ranked(page, "complete", all, |index| estimate.comparison.is_whole(index))
}

fn chart(page: &mut Page<'_>, block: &Block, heading: u32, alternatives: &[usize]) -> Written {
    let Some(last) = u16::try_from(alternatives.len()).ok().filter(|n| *n > 0).map(|n| FIRST + n - 1) else {
        return Ok(());
    };
    let font = ChartFont::new().set_name("Arial").set_size(9).clone();
    let mut chart = Chart::new(ChartType::BarStacked);
    for (i, (line, tint)) in (0_u32..).zip(CostLine::ALL.iter().zip(TINTS)) {
        let row = block.lines + i;
        chart
            .add_series()
            .set_name(line.word())
            .set_categories(("Comparison", heading, FIRST, heading, last))
            .set_values(("Comparison", row, FIRST, row, last))
            .set_gap(60)
            .set_format(
                rust_xlsxwriter::ChartFormat::new()
                    .set_solid_fill(rust_xlsxwriter::ChartSolidFill::new().set_color(Color::RGB(tint))),
            );
    }
    chart
        .title()
        .set_name("Material by cost line")
        .set_font(ChartFont::new().set_name("Arial").set_size(11).set_bold());
    chart.legend().set_position(ChartLegendPosition::Bottom).set_font(&font);
    // A bar chart is lying: its first axis is the one of the values.
    chart.x_axis().set_font(&font).set_num_format("#,##0");
    chart.y_axis().set_font(&font).set_reverse();
    let height = 180 + 45 * u32::from(last - FIRST + 1);
    chart.set_width(660).set_height(height);
    page.sheet.insert_chart_with_offset(page.row, 0, &chart, 6, 6)?;
    // A row is 20 pixels high.
    page.row = page.row.saturating_add(height / 20 + 2);
    Ok(())
}

fn one_sided(page: &mut Page<'_>, book: &Book<'_>, across: u16) -> Written {
    let list = &book.words.estimate.comparison.one_sided;
    if list.is_empty() {
        return Ok(());
    }
    page.band("Parts that only one side has", across, &book.look().block)?;
    for one in list {
        page.text(0, book.words.alternative(one.alternative), Tone::Muted)?;
        let kind = book.quantity_kind(one.item);
        page.number_as(1, kind, one.need, Tone::Plain)?;
        let words = format!("{} {}", book.words.unit(one.item), book.words.item_name(one.item));
        let words = words.strip_prefix("each ").unwrap_or(&words);
        page.blanks(FIRST + 1..across, Tone::Plain)?;
        page.put(FIRST, words, book.look().cell(Kind::Text, Tone::Plain))?;
        page.next();
    }
    Ok(())
}
