//! The files of an estimate but the workbook: a file of this folder each, with its columns, its cells and, where
//! `estimate.json` has the same rows, their keys. The list of all files is [`WRITTEN`]. No disk is touched here.

mod bid;
mod checks;
pub(super) mod comparison;
mod cut_plan;
pub(super) mod estimate_json;
mod held;
mod labor;
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
    /// Makes its bytes.
    pub(super) write: Write,
    /// Its columns and what they say; none where they are the job's systems, or it is no table.
    pub(super) columns: fn() -> Vec<Said>,
}

/// The files of an estimate in the order written. The last, `estimate.json`, is the mark by which a folder is known.
pub(super) const WRITTEN: [File; 15] = [
    other("estimate.xlsx", |words, of| super::book::write(*words, (&of.number, &of.checks))),
    table("takeoff.csv", |words, _| Ok(takeoff::write(words)), || said(&takeoff::COLUMNS)),
    table("order.csv", |words, _| Ok(order::write(words)), || said(&order::columns())),
    table("cut-plan.csv", |words, _| Ok(cut_plan::write(words)), || said(&cut_plan::columns())),
    table("labor.csv", |words, _| Ok(labor::write(words)), || said(&labor::columns())),
    other("comparison.csv", |words, _| Ok(comparison::write(words))),
    other("bid.csv", |words, _| Ok(bid::write(words))),
    table("owner.csv", |words, of| Ok(owner::csv(&of.owner, words)), || said(&owner::COLUMNS)),
    other("owner.json", |_, of| Ok(owner::json(&of.owner))),
    table("held.csv", |words, _| Ok(held::write(words)), || said(&held::COLUMNS)),
    table("orders.csv", |words, _| Ok(orders::write(words)), || said(&orders::columns())),
    table("request-for-quote.csv", |words, _| Ok(request::write(words)), || said(&request::columns())),
    table("test-day.csv", |words, of| Ok(test_day::write(words, &of.test_day)), || said(&test_day::COLUMNS)),
    table("checks.csv", |words, of| Ok(checks::write(words, &of.checks)), || said(&checks::columns())),
    other("estimate.json", |words, of| Ok(estimate_json::write(words, &of.test_day))),
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

/// A file with columns of its own.
const fn table(name: &'static str, write: Write, columns: fn() -> Vec<Said>) -> File {
    File { name, write, columns }
}

/// A file whose columns are the job's systems, or that is no table.
const fn other(name: &'static str, write: Write) -> File {
    File { name, write, columns: Vec::new }
}
