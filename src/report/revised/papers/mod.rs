//! The papers of a revision: the change order for the customer and the one for inside, and an order to each supplier of only
//! what is added. They are values alone.

mod inside;
mod order;
mod owner;

use rust_xlsxwriter::XlsxError;

use crate::estimate::revision::{Revision, Side};
use crate::ground::LengthUnit;
use crate::report::facts::parties;
use crate::report::form::paper::{Paper, files_of};
use crate::report::whole::New;
use crate::report::{number_of, revised};

/// What the papers are written from.
struct Desk<'a> {
    revision: &'a Revision,
    /// The job now.
    new: Side<'a>,
    /// The numbers of both estimates.
    numbers: [String; 2],
}

/// The files of all papers, each with its path from the output folder.
///
/// # Errors
///
/// What a workbook could not hold.
pub(super) fn files(revision: &Revision, sides: [Side<'_>; 2]) -> Result<Vec<New>, XlsxError> {
    let numbers = sides.map(|side| number_of(side.job, side.estimate));
    let desk = Desk { revision, new: sides[1], numbers };
    let mut papers = vec![owner::paper(&desk), inside::paper(&desk)];
    papers.extend(order::papers(&desk));
    files_of(&papers)
}

impl Desk<'_> {
    /// A paper without anything on it but who sends it and which estimates it is of.
    fn sheet(&self, name: &str, title: &str, grid: &[u16]) -> Paper {
        let settings = &self.new.job.settings;
        let about = revised::title(self.revision);
        let called = if about.is_empty() { String::new() } else { format!("{about} \u{b7} ") };
        let banner =
            revised::tried(self.revision).map(|_| "NOT REAL PRICES: changed for a trial.".to_owned());
        let [old, new] = &self.numbers;
        Paper {
            about,
            from: parties::firm(&settings.parties.firm),
            banners: banner.into_iter().collect(),
            foot: format!("{called}estimate {old}, now {new}"),
            metric: settings.units != LengthUnit::Foot,
            day: settings.date,
            ..Paper::new(name, title, grid)
        }
    }

    /// A word of a heading with the currency.
    fn in_currency(&self, word: &str) -> String {
        let currency = &self.revision.currency;
        if currency.is_empty() { word.to_owned() } else { format!("{word}, {currency}") }
    }
}
