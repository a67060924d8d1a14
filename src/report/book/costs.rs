//! The block of costs that the sheets Summary, Bid and Comparison share: cost lines, and the bid line by line; one column
//! an alternative, all of it formulas over the order and the named settings.

use rust_decimal::Decimal;
use rust_xlsxwriter::XlsxError;

use super::Book;
use super::settings::{supplier_fee_name, tax_name};
use crate::estimate::alternative::Alternative;
use crate::estimate::bid::Bid;
use crate::estimate::order::CostLine;
use crate::report::facts::{BidLine, PROFIT_AS, stated_cell};
use crate::report::form::{Kind, Page, Tone, Written, letters, shown};
use crate::trade::{Class, Settings, Taxed};

/// Where the lines of a block stand, counted from 0.
pub(super) struct Block {
    /// The first cost line.
    pub(super) lines: u32,
    /// Total material.
    pub(super) material: u32,
    /// The lines of the bid, from material on, one a row.
    rows: Rows,
}

impl Block {
    /// The row of a line of the bid, as a spreadsheet shows it.
    pub(super) fn row(&self, line: BidLine) -> u32 {
        self.rows.of(line)
    }
}

/// Where the sums that an alternate moves stand as values, as a spreadsheet shows the rows.
#[derive(Clone, Copy)]
pub(super) struct Moves {
    pub(super) material: u32,
    pub(super) labor: u32,
    pub(super) tools: u32,
    pub(super) supplier_fees: u32,
    /// The first class of what is taxed, of so many rows as there are classes shown.
    pub(super) taxable: u32,
}

/// Writes the block: names in column 0, percentages in column 1, the alternatives from column `first` on.
pub(super) fn write(
    page: &mut Page<'_>,
    book: &Book<'_>,
    first: u16,
    alternatives: &[usize],
) -> Result<Block, XlsxError> {
    let lines = page.row;
    for (i, cost_line) in (0_usize..).zip(CostLine::ALL) {
        page.side_by_side(cost_line.word(), Tone::Plain, (first, alternatives), |page, column, index| {
            let (n, line) = (index + 1, i + 1);
            let formula = format!("=SUMIFS(order_extended,order_alternative,{n},order_cost_line,{line})");
            let sum = book.words.estimate.alternatives.get(*index).map(|a| a.cost.lines[i]);
            page.formula_as(column, Kind::Money, &formula, sum.unwrap_or_default(), Tone::Plain)
        })?;
    }
    let material = page.row;
    let rows = Rows { lines, material, all: BidLine::all(&book.words.job.settings) };
    for line in &rows.all {
        name(page, book, *line)?;
        for (column, index) in (first..).zip(alternatives) {
            let Some(of) = book.words.estimate.alternatives.get(*index) else { continue };
            let result = line.amount(&book.words.job.settings, &of.cost.bid);
            amount(page, &rows, *line, column, &Spent::of(book, *index), result)?;
        }
        page.next();
    }
    Ok(Block { lines, material, rows })
}

/// Writes the bid with an alternate taken beside a block: what is spent is that of column `base` and what the alternate
/// moves, all else follows as in every column.
pub(super) fn write_moved(
    page: &mut Page<'_>,
    book: &Book<'_>,
    block: &Block,
    (column, base): (u16, u16),
    (moves, classes): (Moves, &[Class]),
    bid: &Bid,
) -> Written {
    let back = page.row;
    let terms = &book.words.job.settings;
    for line in &block.rows.all {
        page.row = block.rows.of(*line) - 1;
        let of_base = format!("{}{}", letters(base), block.rows.of(*line));
        let moved = |row: u32| format!("={of_base}+{}{row}", letters(column));
        let mut tax = tax_on_order(0);
        for (row, class) in (moves.taxable..).zip(classes) {
            tax.push_str(&format!("+{}{row}*{}/100", letters(column), tax_name(Taxed::Class(*class))));
        }
        let spent = Spent {
            material: Some(moved(moves.material)),
            labor: Some(moved(moves.labor)),
            tools: Some(moved(moves.tools)),
            delivery: moved(moves.supplier_fees),
            tax,
        };
        amount(page, &block.rows, *line, column, &spent, line.amount(terms, bid))?;
        page.follows_in_part(column);
    }
    page.row = back;
    Ok(())
}

/// The rows of a block.
struct Rows {
    lines: u32,
    material: u32,
    all: Vec<BidLine>,
}

impl Rows {
    /// The row of a line, as a spreadsheet shows it.
    fn of(&self, line: BidLine) -> u32 {
        let place = self.all.iter().position(|one| *one == line).unwrap_or(0);
        shown(self.material.saturating_add(u32::try_from(place).unwrap_or(0)))
    }
}

fn tone(line: BidLine) -> Tone {
    if line.is_sum() { Tone::Total } else { Tone::Plain }
}

/// The name of a line and the percentage it is reckoned by.
fn name(page: &mut Page<'_>, book: &Book<'_>, line: BidLine) -> Written {
    let terms = &book.words.job.settings;
    page.text(0, &line.name(terms), tone(line))?;
    match line.setting(terms) {
        Some((cell, points)) => page.formula_as(1, Kind::Percent, &format!("={cell}"), points, Tone::Muted),
        None => page.text(1, "", tone(line)),
    }
}

/// What a line comes to: a formula where it follows from others or from other sheets.
fn amount(
    page: &mut Page<'_>,
    rows: &Rows,
    line: BidLine,
    column: u16,
    spent: &Spent,
    result: Decimal,
) -> Written {
    match formula(rows, line, column, spent) {
        Some(formula) => page.formula_as(column, Kind::Money, &formula, result, tone(line)),
        // Labor and tools of which the job says nothing, or nothing that is priced: they add nothing.
        None if result.is_zero() => page.text(column, "", tone(line)),
        None => page.as_estimated_as(column, (Kind::Money, result), tone(line)),
    }
}

/// What a line is taken on, in words; whether the profit is a markup or a margin follows its setting.
pub(super) fn taken_on(
    page: &mut Page<'_>,
    column: u16,
    line: BidLine,
    terms: &Settings,
    of: &Alternative,
) -> Written {
    let words = line.taken_on(terms, of);
    if line != BidLine::Profit {
        return page.text(column, words, if line.is_sum() { Tone::Total } else { Tone::Muted });
    }
    let [markup, margin] = PROFIT_AS;
    let formula = format!("=IF(profit_is_margin=1,\"{margin}\",\"{markup}\")");
    page.formula_words(column, &formula, words, Tone::Muted)
}

/// What stands on the lines that do not follow from those above them, as formulas.
struct Spent {
    /// Nothing: the cost lines above are added up.
    material: Option<String>,
    /// Nothing: it is a value, and so are the tools.
    labor: Option<String>,
    tools: Option<String>,
    delivery: String,
    /// The sales tax on the order, not rounded.
    tax: String,
}

impl Spent {
    /// Of an alternative.
    fn of(book: &Book<'_>, index: usize) -> Self {
        let n = index + 1;
        Self {
            material: None,
            labor: book.words.priced_labor().then(|| format!("=labor_cost_{n}")),
            tools: book.words.job.tools.is_some().then(|| format!("=tools_cost_{n}")),
            delivery: delivery(book, index),
            tax: tax_on_order(index),
        }
    }
}

/// The stated sum, and the fee of each supplier that the alternative buys from.
fn delivery(book: &Book<'_>, index: usize) -> String {
    let mut formula = "=delivery_stated".to_owned();
    for id in 1..=book.suppliers.len() {
        let bought = format!("SUMIFS(order_extended,order_alternative,{},order_supplier,{id})", index + 1);
        formula.push_str(&format!("+IF({bought}>0,{},0)", supplier_fee_name(id)));
    }
    formula
}

/// The sales tax on the order of an alternative, not rounded.
fn tax_on_order(index: usize) -> String {
    format!("SUMIFS(order_tax,order_alternative,{})", index + 1)
}

/// All labor of a column: that by the lump stands in the rows below that by hours.
fn all_labor(rows: &Rows, letter: &str) -> String {
    let (first, last) = (rows.of(BidLine::Labor), rows.of(BidLine::Tools) - 1);
    if first == last { format!("{letter}{first}") } else { format!("SUM({letter}{first}:{letter}{last})") }
}

/// The formula of a line; nothing where it is a value.
fn formula(rows: &Rows, line: BidLine, column: u16, spent: &Spent) -> Option<String> {
    let letter = letters(column);
    let cell = |line: BidLine| format!("{letter}{}", rows.of(line));
    let span = |from: BidLine, to: BidLine| format!("SUM({}:{})", cell(from), cell(to));
    let above = rows.of(line) - 1;
    let to_cents = |of: String| format!("=ROUND(ROUND({of},6),2)");
    Some(match line {
        BidLine::Labor => return spent.labor.clone(),
        BidLine::Tools => return spent.tools.clone(),
        BidLine::Delivery => spent.delivery.clone(),
        BidLine::LumpSumLabor(at) | BidLine::MarkedUpFee(at) | BidLine::Fee(at) => {
            format!("={}", stated_cell(at))
        }
        BidLine::Material => spent
            .material
            .clone()
            .unwrap_or_else(|| format!("=SUM({letter}{}:{letter}{above})", shown(rows.lines))),
        BidLine::SmallParts => to_cents(format!("{}*small_parts_percent/100", cell(BidLine::Material))),
        BidLine::Direct => format!("=SUM({}:{letter}{above})", cell(BidLine::Material)),
        BidLine::Contingency => to_cents(format!("{}*contingency_percent/100", cell(BidLine::Direct))),
        BidLine::Overhead => {
            to_cents(format!("{}*overhead_percent/100", span(BidLine::Direct, BidLine::Contingency)))
        }
        BidLine::Profit => {
            // A margin that leaves nothing for the cost divides by nothing, and the sheet says so.
            let of = "IF(profit_is_margin=1,MAX(0,100-profit_percent),100)";
            to_cents(format!("{}*profit_percent/{of}", span(BidLine::Direct, BidLine::Overhead)))
        }
        BidLine::Price => format!("={}", span(BidLine::Direct, BidLine::Profit)),
        BidLine::Tax => to_cents(format!(
            "{}+({}*tax_small_parts+{}*tax_labor+{}*tax_tools+{}*tax_delivery)/100",
            spent.tax,
            cell(BidLine::SmallParts),
            all_labor(rows, &letter),
            cell(BidLine::Tools),
            cell(BidLine::Delivery)
        )),
        BidLine::Total => format!("=SUM({}:{letter}{above})", cell(BidLine::Price)),
    })
}
