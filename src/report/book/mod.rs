//! The costed workbook: choices are values, consequences are formulas with our result beside them.
//!
//! One file a sheet, or two where sheets belong together. Formulas use SUM,
//! SUMIFS, ROUND, ROUNDUP, MAX, IF, INDEX and MATCH alone, over their own row, named settings and named columns
//! looked up by integer ids. Called by [`super::write`].

mod bid;
mod chart;
mod checks;
mod comparison;
mod costs;
mod cut_plan;
mod drawing;
mod edits;
mod ends;
mod inputs;
mod installed;
mod labor;
mod labor_lines;
pub(super) mod notes;
mod order;
mod order_columns;
mod orders;
mod prices;
mod reasons;
mod returns;
mod rivals;
mod settings;
mod summary;
mod suppliers;
mod takeoff;
mod tools;
mod unit_prices;
mod used;

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_xlsxwriter::{Color, Workbook, XlsxError};

use crate::checks::Checks;
use crate::estimate::alternative::Alternative;
use crate::estimate::item::ItemId;
use crate::estimate::takeoff::TakeoffRow;
use crate::ground::name::natural;
use crate::ground::progress::{self, Work};
use crate::ground::threads::in_threads;
use crate::ground::{LengthUnit, RowAt};
use crate::report::facts::{OrderRow, Wording, rows};
use crate::report::form::{
    ACCENT, Binding, Kind, Look, Page, Written, bytes_of, keep_off_paper, letters, new_book, properties,
    shown, tab,
};
use crate::trade::{Job, Offer};
use prices::Listed;
use rivals::Rivals;

/// A column of words on a sheet that is looked at is as wide as its longest, up to so many characters.
const WIDEST: u32 = 100;

/// Above so many rows of reasons the need on the order is a value: every formula over them would scan them all.
const LIVE_REASONS: usize = 20_000;

/// So many systems stand beside each other on upright paper; more lie across it.
const UPRIGHT: usize = 3;

/// Alternatives by their index, side by side from a column on.
type Sides<'s> = (u16, &'s [usize]);

/// Sheets that a person needs for the same; their tabs have one color.
struct Group {
    /// What they are.
    called: &'static str,
    tab: Color,
    sheets: &'static [Sheet],
}

/// One sheet, or several of a kind.
struct Sheet {
    write: fn(&mut Workbook, &mut Book<'_>) -> Written,
    /// Its name and what it holds, as the summary lists it; nothing where the summary does not.
    listed: Option<(&'static str, &'static str)>,
    /// Whether the job has what is on it.
    is_there: fn(&Job) -> bool,
    /// Whether anybody reads it on paper.
    is_printed: bool,
}

/// Sheets of every workbook that the summary does not list.
const fn unlisted(write: fn(&mut Workbook, &mut Book<'_>) -> Written) -> Sheet {
    Sheet { write, listed: None, is_there: |_| true, is_printed: true }
}

/// A sheet of every workbook.
const fn one(
    write: fn(&mut Workbook, &mut Book<'_>) -> Written,
    name: &'static str,
    holds: &'static str,
) -> Sheet {
    Sheet { listed: Some((name, holds)), ..unlisted(write) }
}

impl Sheet {
    /// Only where the job has what is on it.
    const fn where_job(mut self, has: fn(&Job) -> bool) -> Self {
        self.is_there = has;
        self
    }

    /// To be looked at and not printed: it is long, and asked for a cell at a time.
    const fn on_screen(mut self) -> Self {
        self.is_printed = false;
        self
    }
}

/// The name of the sheet that prices extras.
const UNIT_PRICES: &str = "Unit prices";

const HAS_HOURS: fn(&Job) -> bool = |job| job.labor.is_some();

/// The sheets in the order in which a person needs them; each group is written in a thread of its own.
const GROUPS: [Group; 4] = [
    Group {
        called: "papers",
        tab: ACCENT,
        sheets: &[
            unlisted(summary::write),
            one(
                bid::write,
                bid::SHEET,
                "how the price comes about; alternates as adds and deducts; inside figures",
            ),
            one(comparison::write, "Comparison", "the systems side by side"),
            unlisted(orders::write),
        ],
    },
    Group {
        called: "work",
        tab: tab::WORK,
        sheets: &[
            one(order::write, "Order", "what is bought: packs, prices, sums; choices are shaded"),
            one(
                suppliers::write,
                "Suppliers",
                "the order of each supplier with its fee; one supplier, two; what may go back",
            ),
            one(takeoff::write, "Takeoff", "what is installed, by phase, service and area; ends of tube"),
            one(cut_plan::write, "Cut plan", "coil by coil, stick by stick; its paper is for the bench")
                .on_screen(),
            one(labor::write, "Labor", "the crew, what an hour costs, hours by phase and area; edited here")
                .where_job(HAS_HOURS),
            one(tools::write, "Tools", "tools and one-offs of each system; prices are edited here")
                .where_job(|job| job.tools.is_some()),
            one(used::write, "Used", "to fill in on site: what was really used"),
        ],
    },
    Group {
        called: "inputs",
        tab: tab::INPUTS,
        sheets: &[
            one(settings::write, "Settings", "allowances, markups and tax are edited here").on_screen(),
            one(prices::write, "Prices", "the offers; prices and discounts are edited here").on_screen(),
            one(labor_lines::write_hours, "Hours", "the table labor as read; hours are edited here")
                .where_job(HAS_HOURS)
                .on_screen(),
            one(inputs::write_runs, "Runs", "the run list as read; those with a path drawn"),
            one(inputs::write_rules, "Rules", "the patterns as read").on_screen(),
        ],
    },
    Group {
        called: "appendix",
        tab: tab::APPENDIX,
        sheets: &[
            one(notes::write_notices, "Notices", "what is wrong or doubtful; what may hurt someone"),
            one(checks::write, "Checks", "what the rules of the code family say; an aid, no design")
                .on_screen(),
            one(unit_prices::write, UNIT_PRICES, "what one more of each part or run is asked for")
                .on_screen(),
            one(labor_lines::write, "Labor lines", "what there is to do, line by line")
                .where_job(HAS_HOURS)
                .on_screen(),
            one(reasons::write, "Reasons", "why each quantity is what it is").on_screen(),
        ],
    },
];

/// The groups of sheets that a job has, each sheet with what it holds.
fn listed(job: &Job) -> impl Iterator<Item = (&'static str, Vec<(&'static str, &'static str)>)> {
    GROUPS.iter().map(|group| {
        let there = group.sheets.iter().filter(|sheet| (sheet.is_there)(job));
        (group.called, there.filter_map(|sheet| sheet.listed).collect())
    })
}

/// What the sheets share.
#[derive(Clone)]
struct Book<'a> {
    words: Wording<'a>,
    binding: Binding<'a>,
    checks: &'a Checks,
    /// The number by which papers say which estimate they are of.
    number: &'a str,
    orders: Vec<OrderRow<'a>>,
    /// Takeoff rows by area of each alternative, and the row of each line.
    takeoff: Vec<(Vec<TakeoffRow>, Vec<usize>)>,
    /// Whether needs are formulas over the reasons.
    live: bool,
    /// The row at which the sheet of reasons is full.
    most_reasons: u32,
    prices: Listed,
    /// Offers that lines were not bought from.
    rivals: Rivals,
    /// Suppliers that sell something of the job, in name order; the id of one is its place here, from 1.
    suppliers: Vec<&'a str>,
    /// Rows of the sheet Runs, by run.
    run_rows: Vec<u32>,
    /// Rows of the sheet Rules, by row of the patterns table.
    rule_rows: BTreeMap<RowAt, u32>,
    /// The row of the summary at which the chart stands, once it is written.
    chart_row: Option<u32>,
    /// Names of the part that is being written and what they stand for, given to the workbook at the end.
    names: Vec<(String, String)>,
}

impl<'a> Book<'a> {
    fn look(&self) -> &'a Look {
        self.binding.look
    }

    /// Whether the job has hours, and so the sheets of labor.
    fn has_hours(&self) -> bool {
        self.words.job.labor.is_some()
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

    /// The band over what is one alternative's.
    fn alternative_band(&self, page: &mut Page<'_>, index: usize, across: u16) -> Written {
        let name = format!("Alternative {}: {}", index + 1, self.words.alternative(index));
        page.band(&name, across, &self.look().band)
    }

    /// Writes what each alternative has, of which that of the chosen one alone is printed, up to a column.
    fn each_alternative(
        &self,
        page: &mut Page<'_>,
        last: u16,
        mut write: impl FnMut(&mut Page<'_>, usize, &'a Alternative) -> Written,
    ) -> Written {
        let mut printed = page.row;
        for (index, alternative) in self.words.estimate.alternatives.iter().enumerate() {
            write(page, index, alternative)?;
            printed = if index == 0 { page.row } else { printed };
            page.next();
        }
        page.print_to(printed, last)
    }

    /// The named column of the order that holds how many of a row are ordered, and how that is shown.
    fn ordered_in(&self, row: &OrderRow<'_>) -> (&'static str, Kind) {
        if row.is_loose() {
            ("order_buy", self.quantity_kind(row.line.item))
        } else {
            ("order_packs", Kind::Whole)
        }
    }

    /// Names a column of a sheet from its first row to its guard row.
    fn name(&mut self, name: &str, sheet: &str, column: u16, first: u32, last: u32) {
        let column = letters(column);
        let range = format!("='{sheet}'!${column}${}:${column}${}", shown(first), shown(last));
        self.names.push((name.to_owned(), range));
    }

    /// Names columns of a sheet from its first row to its guard row.
    fn names(&mut self, sheet: &str, (first, last): (u32, u32), names: &[(&str, u16)]) {
        for (name, column) in names {
            self.name(name, sheet, *column, first, last);
        }
    }

    /// Names one cell.
    fn name_cell(&mut self, name: &str, sheet: &str, column: u16, row: u32) {
        self.names.push((name.to_owned(), format!("='{sheet}'!${}${}", letters(column), shown(row))));
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
pub(super) fn write(words: Wording<'_>, (number, checks): (&str, &Checks)) -> Result<Vec<u8>, XlsxError> {
    let look = Look::new();
    let foot = Binding::foot(&words.job.settings.name);
    let metric = words.length_unit() != LengthUnit::Foot;
    let tried = !words.job.prices.tried.is_empty();
    let binding = Binding { look: &look, foot: &foot, metric, tried };
    let book = gather(words, (binding, (number, checks)), reasons::MOST_ROWS);
    let mut out = new_book()?;
    // A third of the time for a tenth more bytes (measured).
    out.set_zip_compression_level(3);
    out.set_properties(&properties(&words.job.settings.name, words.job.settings.date)?);
    let is_there = |sheet: &&Sheet| (sheet.is_there)(words.job);
    progress::ahead(Work::Files, GROUPS.iter().flat_map(|of| of.sheets.iter().filter(is_there)).count());
    let parts = in_threads(&GROUPS, |group| {
        let (mut part, mut book) = (new_book()?, book.clone());
        for sheet in group.sheets.iter().filter(is_there) {
            let before = part.worksheets().len();
            (sheet.write)(&mut part, &mut book)?;
            for written in part.worksheets_mut().iter_mut().skip(before) {
                written.set_tab_color(group.tab);
                if !sheet.is_printed {
                    keep_off_paper(written)?;
                }
            }
            progress::done(Work::Files, 1);
        }
        Ok::<_, XlsxError>((part, book.names))
    });
    for part in parts {
        let (mut part, names) = part?;
        out.worksheets_mut().append(part.worksheets_mut());
        for (name, range) in names {
            out.define_name(name, &range)?;
        }
    }
    bytes_of(out)
}

fn gather<'a>(
    words: Wording<'a>,
    (binding, (number, checks)): (Binding<'a>, (&'a str, &'a Checks)),
    most_reasons: u32,
) -> Book<'a> {
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
    let rivals = Rivals::of(&words, &orders, &prices);
    Book {
        takeoff: (0..alternatives.len()).map(|i| rows::takeoff(&words, i, &ranks)).collect(),
        live: reasons <= LIVE_REASONS,
        most_reasons,
        run_rows: inputs::run_rows(&words),
        rule_rows: inputs::rule_rows(&words),
        words,
        binding,
        checks,
        number,
        orders,
        prices,
        rivals,
        suppliers,
        chart_row: None,
        names: Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;

    #[test]
    fn a_full_sheet_of_reasons_says_how_many_more_there_are() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/lake-cabin");
        let job = Job::read(&folder).unwrap_or_else(|why| panic!("{why:?}"));
        let estimate = crate::estimate::estimate(&job);
        let all: usize = estimate.alternatives.iter().map(|one| one.takeoff.lines.len()).sum();
        let (words, look) = (Wording { job: &job, estimate: &estimate }, Look::new());
        let binding = Binding { look: &look, foot: "", metric: false, tried: false };
        let checks = Checks::default();
        // The headings stand in row 4.
        for (full_at, more) in [(24, Some(all - 20)), (reasons::MOST_ROWS, None)] {
            let (mut out, mut book) = (Workbook::new(), gather(words, (binding, ("", &checks)), full_at));
            let written = reasons::write(&mut out, &mut book).and_then(|()| bytes_of(out));
            let written = written.unwrap_or_else(|why| panic!("{why}"));
            let text = crate::table::all_texts(&written);
            let said = text.split("the sheet ends here: ").nth(1);
            let said = said.and_then(|rest| rest.split(' ').next()?.parse::<usize>().ok());
            assert_eq!(said, more, "full at row {full_at}");
        }
    }
}
