//! What is doubtful in a job though it reads well: figures out of the ordinary or unlike the others, names that look like
//! another, rows that nothing can use, cells that nothing reckons with yet. It refuses nothing; what is doubtful is read
//! as it is written, and told.

use super::catalog::Catalog;
use super::labor::LaborRow;
use super::price_list::PriceList;
use super::reading::{Reading, named};
use super::run::{PlaceRow, Run};
use super::settings::Settings;
use super::supplies::{OnHand, Supplier};
use super::tool::ToolRow;
use crate::ground::Spot;
use crate::table::FoundTable;

mod beside_others;
mod figures;
mod lookalike;
mod made_for;
mod ordinary;
mod unused;

pub(super) use ordinary::ORDINARY;

/// What of a job is judged.
pub(super) struct Judged<'a> {
    pub(super) settings: &'a Settings,
    pub(super) catalog: &'a Catalog,
    pub(super) runs: &'a [Run],
    pub(super) places: &'a [PlaceRow],
    pub(super) prices: &'a PriceList,
    pub(super) on_hand: &'a [OnHand],
    pub(super) suppliers: &'a [Supplier],
    pub(super) labor: &'a [LaborRow],
    pub(super) tools: &'a [ToolRow],
}

/// Tells what is doubtful; the limits of figures stand in tables `ordinary`, the later over the earlier.
pub(super) fn tell(judged: &Judged<'_>, layers: [&[FoundTable]; 3], reading: &mut Reading) {
    let mut limits = ordinary::Limits::default();
    for tables in layers {
        named(tables, ORDINARY.name).for_each(|table| limits.lay(&table.file, reading));
    }
    // What its like contradict says more than a limit of the trade does.
    let first = reading.notices.len();
    beside_others::figures(judged, reading);
    let told: Vec<Vec<Spot>> =
        reading.notices.iter().skip(first).map(|notice| notice.spots.clone()).collect();
    let then = reading.notices.len();
    figures::figures(judged, &limits, reading);
    let outside = reading.notices.split_off(then);
    reading.notices.extend(outside.into_iter().filter(|notice| !told.contains(&notice.spots)));
    lookalike::names(judged, reading);
    made_for::rows(judged, reading);
    unused::tell(judged, reading);
}
