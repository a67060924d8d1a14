//! The papers of an estimate: what is handed over, sent or taken along, each a file of its own, as a workbook and as a page.
//! They are values alone, as estimated; the workbook of the estimate is where figures are alive. No disk is touched here.

pub(super) mod bid;
mod cut_plan;
pub(super) mod order;
mod request;
mod shopping;
mod test_day;

use rust_xlsxwriter::XlsxError;

use super::facts::{OrderRow, Wording, parties, rows};
use super::files::Gathered;
use super::form::paper::{Paper, files_of};
use super::whole::New;
use crate::ground::LengthUnit;

/// What the papers are written from.
struct Desk<'a> {
    words: Wording<'a>,
    gathered: &'a Gathered,
    orders: Vec<OrderRow<'a>>,
    /// The place of every item in the order of all papers.
    ranks: Vec<u32>,
}

/// The files of all papers, each with its path from the output folder.
///
/// # Errors
///
/// What a workbook could not hold.
pub(super) fn files(words: &Wording<'_>, gathered: &Gathered) -> Result<Vec<New>, XlsxError> {
    let (orders, ranks) = (rows::order(words), rows::ranks(words));
    let desk = Desk { words: *words, gathered, orders, ranks };
    let mut papers = vec![bid::paper(&desk)];
    papers.extend(order::papers(&desk));
    papers.extend(request::papers(&desk));
    papers.push(shopping::paper(&desk));
    papers.extend(cut_plan::paper(&desk));
    papers.extend(test_day::paper(&desk));
    files_of(&papers)
}

impl Desk<'_> {
    /// A paper without anything on it but who sends it and which estimate it is of.
    fn sheet(&self, name: &str, title: &str, grid: &[u16]) -> Paper {
        let terms = &self.words.job.settings;
        let job = self.words.job_called();
        let called = if job.is_empty() { String::new() } else { format!("{job} \u{b7} ") };
        let banners = self.words.tried().map(|_| "NOT REAL PRICES: changed for a trial.".to_owned());
        Paper {
            about: job,
            from: parties::firm(&terms.parties.firm),
            banners: banners.into_iter().collect(),
            foot: format!("{called}estimate {}", self.gathered.number),
            metric: self.words.length_unit() != LengthUnit::Foot,
            day: terms.date,
            ..Paper::new(name, title, grid)
        }
    }

    /// The currency behind a word: `sum, USD`.
    fn in_currency(&self, word: &str) -> String {
        let currency = &self.words.job.settings.currency;
        if currency.is_empty() { word.to_owned() } else { format!("{word}, {currency}") }
    }
}
