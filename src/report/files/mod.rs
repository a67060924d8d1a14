//! The files of an estimate but the workbook: a file of this folder each, with its columns, its cells and, where
//! `estimate.json` has the same rows, their keys. The list of all files is [`WRITTEN`]. No disk is touched here.

mod alternative;
mod bid;
mod buying;
mod checks;
pub(super) mod comparison;
mod cut_plan;
pub(super) mod estimate_json;
mod held;
mod labor;
pub(super) mod notices;
mod order;
mod orders;
mod owner;
mod reasons;
mod request;
mod takeoff;
mod test_day;

use rust_xlsxwriter::XlsxError;

use crate::checks::{Checks, TestDay, check, test_day};
use crate::report::facts::{Owner, Wording};
use crate::report::form::{Said, said};
use crate::report::whole::Fingerprint;

/// One file of an estimate.
pub(super) struct File {
    pub(super) name: &'static str,
    /// What it is, for a reader of the folder.
    pub(super) about: &'static str,
    /// Makes its bytes.
    pub(super) write: Write,
    /// Its columns and what they say; none where it is no table.
    pub(super) columns: fn() -> Vec<Said>,
}

/// The files of an estimate in the order written. The last, `estimate.json`, is the mark by which a folder is known.
pub(super) const WRITTEN: [File; 15] = [
    other("estimate.xlsx", "the costed workbook, alive, and the because of each number", |words, of| {
        super::book::write(*words, (&of.number, &of.checks))
    }),
    table(
        "takeoff.csv",
        "what is installed, in every system compared",
        |words, _| Ok(takeoff::write(words)),
        || said(&takeoff::COLUMNS),
    ),
    table(
        "order.csv",
        "what to buy, pack by pack, with the suppliers' own codes",
        |words, _| Ok(order::write(words)),
        || said(&order::columns()),
    ),
    table(
        "cut-plan.csv",
        "coil by coil and stick by stick, what is cut from it and what is left: a row for each run that gets pieces of \
         one length",
        |words, _| Ok(cut_plan::write(words)),
        || said(&cut_plan::columns()),
    ),
    table(
        "labor.csv",
        "the hours of every system, line by line, each with the row of your table that speaks of it",
        |words, _| Ok(labor::write(words)),
        || said(&labor::columns()),
    ),
    table(
        "comparison.csv",
        "a row a cost line, a column a system: material and installed",
        |words, _| Ok(comparison::write(words)),
        comparison::columns,
    ),
    table(
        "bid.csv",
        "the price line by line: costs, contingency, overhead, profit, tax, fees",
        |words, _| Ok(bid::write(words)),
        bid::columns,
    ),
    table(
        "owner.csv",
        "what may be handed over: scope in words and counts, price, alternates, what is not included; no costs, hours, \
         markups or suppliers",
        |words, of| Ok(owner::csv(&of.owner, words)),
        || said(&owner::COLUMNS),
    ),
    other("owner.json", "the same for programs", |_, of| Ok(owner::json(&of.owner))),
    table(
        "held.csv",
        "the choices made (which offer, how many packs), to be kept by a later run: copy it into the job",
        |words, _| Ok(held::write(words)),
        || said(&held::COLUMNS),
    ),
    table(
        "orders.csv",
        "the order by supplier and phase, with your reference, the address and the day it is needed; a row for the \
         delivery fee, so that the rows of a supplier come to what it will bill before tax",
        |words, _| Ok(orders::write(words)),
        || said(&orders::columns()),
    ),
    table(
        "request-for-quote.csv",
        "the whole need without prices, tube by the coil and the stick; filled in by a supplier it is a price list",
        |words, _| Ok(request::write(words)),
        || said(&request::columns()),
    ),
    table(
        "test-day.csv",
        "for water and for drains, phase by phase: what is asked, the openings to close and the caps, gallons and pounds \
         of water, head, pressure and push",
        |words, of| Ok(test_day::write(words, &of.test_day)),
        || said(&test_day::COLUMNS),
    ),
    table(
        "checks.csv",
        "what the rules of the code family say of the job: what fails, what is not judged and why, what holds; then what \
         the list may have been forgotten, with the row to add and what it costs",
        |words, of| Ok(checks::write(words, &of.checks)),
        || said(&checks::columns()),
    ),
    other("estimate.json", "the whole result, for programs, on one line", |words, of| {
        Ok(estimate_json::write(words, (&of.number, &of.test_day)))
    }),
];

/// What several files of an estimate are written from.
pub(super) struct Gathered {
    /// The number by which papers say which estimate they are of.
    pub(super) number: String,
    pub(super) owner: Owner,
    pub(super) test_day: TestDay,
    pub(super) checks: Checks,
}

impl Gathered {
    /// Gathers it.
    pub(super) fn of(words: &Wording<'_>) -> Self {
        let (job, estimate) = (words.job, words.estimate);
        Self {
            number: number(words),
            owner: Owner::of(words),
            test_day: test_day(job, estimate),
            checks: check(job, estimate),
        }
    }
}

/// A number that is of this estimate and of none that counts, buys or asks for anything else: from what its files say.
pub(super) fn number(words: &Wording<'_>) -> String {
    let all = [takeoff::write(words), order::write(words), bid::write(words)].concat();
    let print = Fingerprint::of(&all);
    let digits = print.digits();
    format!("{}-{}", &digits[..4], &digits[4..8])
}

/// What makes the bytes of a file.
type Write = fn(&Wording<'_>, &Gathered) -> Result<Vec<u8>, XlsxError>;

/// A table.
const fn table(name: &'static str, about: &'static str, write: Write, columns: fn() -> Vec<Said>) -> File {
    File { name, about, write, columns }
}

/// A file that is no table.
const fn other(name: &'static str, about: &'static str, write: Write) -> File {
    File { name, about, write, columns: Vec::new }
}
