//! The files of an estimate but the workbook: a file of this folder each, with its columns, its cells and, where
//! `estimate.json` has the same rows, their keys. The list of all files is [`WRITTEN`]. No disk is touched here.

mod bid;
pub(super) mod comparison;
mod cut_plan;
pub(super) mod estimate_json;
mod held;
mod labor;
mod order;
mod orders;
mod reasons;
mod request;
mod takeoff;
mod unit_prices;

use rust_xlsxwriter::XlsxError;

use super::column::said;
use super::owner::{self, Owner};
use super::wording::Wording;

/// One file of an estimate.
pub(super) struct File {
    pub(super) name: &'static str,
    /// Makes its bytes.
    pub(super) write: fn(&Wording<'_>, &Owner) -> Result<Vec<u8>, XlsxError>,
    /// Its columns and what they say; none where they are the job's systems, or it is no table.
    pub(super) columns: fn() -> Vec<(&'static str, &'static str)>,
}

/// The files of an estimate in the order written.
pub(super) const WRITTEN: [File; 13] = [
    other("estimate.xlsx", |words, _| super::book::write(*words)),
    File {
        name: "takeoff.csv",
        write: |words, _| Ok(takeoff::write(words)),
        columns: || said(&takeoff::COLUMNS),
    },
    File {
        name: "order.csv",
        write: |words, _| Ok(order::write(words)),
        columns: || said(&order::columns()),
    },
    File {
        name: "cut-plan.csv",
        write: |words, _| Ok(cut_plan::write(words)),
        columns: || said(&cut_plan::columns()),
    },
    File {
        name: "labor.csv",
        write: |words, _| Ok(labor::write(words)),
        columns: || said(&labor::columns()),
    },
    other("comparison.csv", |words, _| Ok(comparison::write(words))),
    other("bid.csv", |words, _| Ok(bid::write(words))),
    File { name: "owner.csv", write: |words, owner| Ok(owner.csv(words)), columns: || said(&owner::COLUMNS) },
    other("owner.json", |_, owner| Ok(owner.json())),
    File { name: "held.csv", write: |words, _| Ok(held::write(words)), columns: || said(&held::COLUMNS) },
    File {
        name: "orders.csv",
        write: |words, _| Ok(orders::write(words)),
        columns: || said(&orders::columns()),
    },
    File {
        name: "request-for-quote.csv",
        write: |words, _| Ok(request::write(words)),
        columns: || said(&request::columns()),
    },
    other("estimate.json", |words, _| Ok(estimate_json::write(words))),
];

/// A file whose columns are the job's systems, or that is no table.
const fn other(name: &'static str, write: fn(&Wording<'_>, &Owner) -> Result<Vec<u8>, XlsxError>) -> File {
    File { name, write, columns: Vec::new }
}
