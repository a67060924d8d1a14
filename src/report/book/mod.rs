//! The costed workbook: choices are values, consequences are formulas with our result beside them.
//!
//! One file a sheet, or two where sheets belong together; [`look`] and [`page`] know no trade. Formulas use SUM,
//! SUMIFS, ROUND, ROUNDUP, MAX, IF, INDEX and MATCH alone, over their own row, named settings and named columns
//! looked up by integer ids. Called by [`super::write`].

mod bid;
mod comparison;
mod costs;
mod cut_plan;
mod doubts;
mod ends;
mod inputs;
mod installed;
mod labor;
mod labor_lines;
pub(super) mod look;
pub(super) mod notes;
mod order;
mod order_columns;
mod orders;
mod owner;
pub(super) mod page;
mod prices;
mod quotes;
mod reasons;
mod settings;
mod shopping;
mod summary;
mod suppliers;
mod takeoff;
mod tools;
mod unit_prices;
mod used;

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook, XlsxError};

use super::rows::{self, OrderRow};
use super::wording::Wording;
use crate::estimate::item::ItemId;
use crate::ground::name::natural;
use crate::ground::threads::in_threads;
use crate::ground::{LengthUnit, RowAt};
use crate::trade::Offer;
use look::{Kind, Look};
use page::{Binding, letters, shown};
use prices::Listed;

/// Above so many rows of reasons the need on the order is a value: every formula over them would scan them all.
const LIVE_REASONS: usize = 20_000;

/// Writes one sheet, or two that belong together.
type Write = fn(&mut Workbook, &mut Book<'_>) -> Result<(), XlsxError>;

/// The sheets in their order, in parts that are about as much work: each is written in a thread of its own.
const PARTS: [&[Write]; 3] = [
    &[
        summary::write,
        bid::write,
        owner::write,
        unit_prices::write,
        takeoff::write,
        order::write,
        shopping::write,
        suppliers::write,
        orders::write,
        quotes::write_request,
        quotes::write_returns,
        comparison::write,
        labor::write,
        labor_lines::write,
        tools::write,
        cut_plan::write,
        ends::write,
        used::write,
    ],
    &[reasons::write],
    &[
        inputs::write_runs,
        inputs::write_rules,
        prices::write,
        settings::write,
        notes::write_notices,
        notes::write_cautions,
    ],
];

/// What the sheets share.
#[derive(Clone)]
struct Book<'a> {
    words: Wording<'a>,
    binding: Binding<'a>,
    orders: Vec<OrderRow<'a>>,
    /// The place of every item in the order of the sheets.
    ranks: Vec<u32>,
    /// Takeoff rows by area of each alternative, and the row of each line.
    takeoff: Vec<(Vec<rows::TakeoffRow>, Vec<usize>)>,
    /// Whether needs are formulas over the reasons.
    live: bool,
    prices: Listed,
    /// Suppliers that sell something of the job, in name order; the id of one is its place here, from 1.
    suppliers: Vec<&'a str>,
    /// Rows of the sheet Runs, by run.
    run_rows: Vec<u32>,
    /// Rows of the sheet Rules, by row of the patterns table.
    rule_rows: BTreeMap<RowAt, u32>,
    /// Names of the part that is being written and what they stand for, given to the workbook at the end.
    names: Vec<(String, String)>,
}

impl<'a> Book<'a> {
    fn look(&self) -> &'a Look {
        self.binding.look
    }

    /// How wide a column of suppliers must be, within reason.
    fn supplier_width(&self) -> f64 {
        let longest = self.suppliers.iter().map(|name| name.chars().count()).max().unwrap_or(0);
        f64::from(u8::try_from(longest.clamp(12, 34)).unwrap_or(34))
    }

    /// What a sheet says of its print where it holds several systems: paper is for the one that is bought.
    fn printed(&self) -> &'static str {
        if self.words.estimate.alternatives.len() > 1 { " The chosen system alone is printed." } else { "" }
    }

    /// How quantities of an item are shown: lengths, pieces, or amounts by weight, volume...
    fn quantity_kind(&self, item: ItemId) -> Kind {
        if self.words.item(item).is_length() {
            Kind::Length
        } else if self.words.unit(item).eq_ignore_ascii_case("each") {
            Kind::Whole
        } else {
            Kind::Amount
        }
    }

    /// Names a column of a sheet from its first row to its guard row.
    fn name(&mut self, name: &str, sheet: &str, column: u16, first: u32, last: u32) {
        let column = letters(column);
        let range = format!("={sheet}!${column}${}:${column}${}", shown(first), shown(last));
        self.names.push((name.to_owned(), range));
    }

    /// Names one cell.
    fn name_cell(&mut self, name: &str, sheet: &str, column: u16, row: u32) {
        self.names.push((name.to_owned(), format!("={sheet}!${}${}", letters(column), shown(row))));
    }
}

/// An id as sheets show it: from 1, since some programs take an empty cell for a 0.
fn id_of(index: u32) -> Decimal {
    Decimal::from(index) + Decimal::ONE
}

/// The id of a supplier: its place among those of the order, from 1.
fn supplier_id(book: &Book<'_>, offer: &Offer) -> u32 {
    let name = book.words.supplier(offer);
    let place = book.suppliers.iter().position(|supplier| *supplier == name).unwrap_or(0);
    u32::try_from(place).unwrap_or(0).saturating_add(1)
}

/// The bytes of `estimate.xlsx`.
pub(super) fn write(words: Wording<'_>) -> Result<Vec<u8>, XlsxError> {
    let look = Look::new();
    // A footer holds 255 characters in all, and & begins a code in it.
    let foot: String = words.job.settings.name.chars().take(80).collect::<String>().replace('&', "&&");
    let metric = words.length_unit() != LengthUnit::Foot;
    let tried = !words.job.prices.tried.is_empty();
    let binding = Binding { look: &look, foot: &foot, metric, tried };
    let book = gather(words, binding);
    let mut out = Workbook::new();
    // A third of the time for a tenth more bytes (measured).
    out.set_zip_compression_level(3);
    out.set_properties(&properties(&words)?);
    let parts = in_threads(&PARTS, |sheets| {
        let (mut part, mut book) = (Workbook::new(), book.clone());
        sheets.iter().try_for_each(|write| write(&mut part, &mut book))?;
        Ok::<_, XlsxError>((part, book.names))
    });
    for part in parts {
        let (mut part, names) = part?;
        out.worksheets_mut().append(part.worksheets_mut());
        for (name, range) in names {
            out.define_name(name, &range)?;
        }
    }
    out.save_to_buffer()
}

fn gather<'a>(words: Wording<'a>, binding: Binding<'a>) -> Book<'a> {
    let alternatives = &words.estimate.alternatives;
    let orders = rows::order(&words);
    let ranks = rows::ranks(&words);
    let reasons: usize = alternatives.iter().map(|a| a.takeoff.lines.len()).sum();
    let offers = || orders.iter().filter_map(|row| row.pick.map(|(_, offer)| offer));
    let mut suppliers: Vec<&str> = offers().map(|offer| words.supplier(offer)).collect();
    let who = alternatives.iter().flat_map(|of| &of.buying.with_one).map(|one| words.word(one.supplier));
    suppliers.extend(who);
    suppliers.sort_by(|a, b| natural(a, b));
    suppliers.dedup();
    let prices = Listed::of(&words, &orders);
    Book {
        takeoff: (0..alternatives.len()).map(|i| rows::takeoff(&words, i, &ranks)).collect(),
        ranks,
        live: reasons <= LIVE_REASONS,
        run_rows: inputs::run_rows(&words),
        rule_rows: inputs::rule_rows(&words),
        words,
        binding,
        orders,
        prices,
        suppliers,
        names: Vec::new(),
    }
}

/// The day of the job, or a fixed one: the same input gives the same bytes.
fn properties(words: &Wording<'_>) -> Result<DocProperties, XlsxError> {
    let (year, month, day) = words.job.settings.date.map_or((2000, 1, 1), |date| date.parts());
    // A spreadsheet knows no day before 1900.
    let created = ExcelDateTime::from_ymd(year.clamp(1900, 9999), month, day)?;
    let title: String = words.job.settings.name.chars().take(200).collect();
    Ok(DocProperties::new().set_title(title).set_creation_datetime(&created))
}
