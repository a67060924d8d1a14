//! `takeoff.csv` and the takeoff of `estimate.json`: what is installed in every alternative, without allowances. The file
//! is by phase and service, the rows of JSON by area too. It adds nothing up.

use crate::estimate::item::ItemId;
use crate::estimate::needs::takeoff_rows;
use crate::estimate::takeoff::TakeoffRow;
use crate::report::facts::{Wording, service};
use crate::report::form::{Column, OfItem, QUANTITY, TEXT, Value, csv, in_both, in_json, of_item};

/// A row of the takeoff of an alternative.
pub(super) struct Row {
    pub(super) alternative: usize,
    pub(super) of: TakeoffRow,
}

impl OfItem for Row {
    fn of(&self) -> (usize, ItemId) {
        (self.alternative, self.of.item)
    }
}

pub(super) const COLUMNS: [Column<Row>; 12] = [
    of_item::alternative(),
    in_both(["phase", "phase"], TEXT, "when it is installed", |_, row| row.of.phase.word().into()),
    in_both(["service", "service"], TEXT, "what flows in it; empty where no run brought it", |_, row| {
        service(row.of.service).into()
    }),
    in_json("area", TEXT, "where it is installed", |w, row| w.word(row.of.area).into()),
    of_item::system(),
    of_item::part(),
    of_item::size(),
    of_item::variant(),
    of_item::id(),
    of_item::unit(),
    in_both(["need", "need"], QUANTITY, "how much of it is installed", |_, row| Value::Quantity(row.of.need)),
    of_item::estimate(),
];

/// The bytes of the file.
pub(super) fn write(words: &Wording<'_>) -> Vec<u8> {
    let (job, items) = (words.job, &words.estimate.items);
    let of_one = |(alternative, of): (usize, &crate::estimate::alternative::Alternative)| {
        let rows = takeoff_rows(&job.lexicon, &job.catalog, items, job.settings.units, &of.takeoff.lines);
        rows.into_iter().map(move |of| Row { alternative, of })
    };
    csv::table(words, &COLUMNS, words.estimate.alternatives.iter().enumerate().flat_map(of_one))
}
