//! What hangs on doubts. A cell that may have been meant otherwise is told with another reading of it; here the job is
//! estimated with that reading, and the notice says what the bid would be. It stands above the estimate, since it reads
//! the tables once more. Its verb is [`weigh`]; [`weightiest`] puts notices in the order in which they matter.
//!
//! At most [`MOST`] readings of a job are estimated, those that may move the most: errors before warnings before remarks;
//! among them what the table `job` says (it is taken on everything), then runs and places, the longest run first, then
//! offers of parts that are ordered, by what the order of the part comes to, then all else in its order.

mod weightiest;

use std::cmp::Reverse;
use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::estimate::Estimate;
use crate::estimate::whole::{Sums, sums};
use crate::ground::hangs::{Moves, Sum};
use crate::ground::name::fold_heading;
use crate::ground::progress::{self, Work};
use crate::ground::threads::in_threads;
use crate::ground::{Hangs, Instead, Notice, Severity, Spot};
use crate::trade::{JOB, Job, Offer};
pub use weightiest::{Weighty, counted, weightiest};

/// The most readings that are estimated.
pub const MOST: usize = 10;

/// Above so many rows of the run list no other reading is estimated.
pub const MOST_RUNS: usize = 2_000;

/// Above so many offers no other reading is estimated.
pub const MOST_OFFERS: usize = 20_000;

/// Gives each notice that has another reading what hangs on it. Where the job is not as its tables say (prices are
/// tried, choices kept), is too large, or has more doubts than are estimated, that is not known.
pub fn weigh(job: &Job, estimate: &mut Estimate) {
    let has_other = |notice: &Notice| !notice.otherwise.is_empty() && notice.accepted.is_none();
    let mut doubted: Vec<usize> =
        (0..estimate.told.len()).filter(|at| has_other(&estimate.told[*at])).collect();
    if doubted.is_empty() {
        return;
    }
    let largest = Largest::of(job, estimate);
    doubted.sort_by_cached_key(|at| (largest.rank(&estimate.told[*at]), *at));
    let mut readings: Vec<Vec<Instead>> = Vec::new();
    let too_large =
        job.runs.len() + job.alternates.runs.len() > MOST_RUNS || job.prices.offers.len() > MOST_OFFERS;
    if job.is_as_read() && !too_large {
        for at in &doubted {
            let reading = &estimate.told[*at].otherwise;
            if readings.len() < MOST && !readings.contains(reading) {
                readings.push(reading.clone());
            }
        }
    }
    let as_read = Sums::of(estimate);
    progress::ahead(Work::Doubts, readings.len());
    let read_otherwise = |reading: &Vec<Instead>| {
        let sums = sums(&job.otherwise(reading));
        progress::done(Work::Doubts, 1);
        sums
    };
    let others: Vec<Option<Sums>> = in_threads(&readings, read_otherwise);
    for at in doubted {
        let notice = &mut estimate.told[at];
        let other = readings.iter().position(|reading| *reading == notice.otherwise);
        let other = other.and_then(|at| others.get(at).copied().flatten());
        notice.hangs = Some(hangs(as_read, other));
    }
}

/// What hangs on a doubt, by the sums with both readings. Where nothing is priced either way no sum says it.
fn hangs(as_read: Option<Sums>, otherwise: Option<Sums>) -> Hangs {
    let (Some(as_read), Some(otherwise)) = (as_read, otherwise) else { return Hangs::NotKnown };
    if as_read.bid.is_zero() && otherwise.bid.is_zero() {
        return Hangs::NotKnown;
    }
    let is_bare = |sums: Sums| sums.bid == sums.material;
    let sum = if is_bare(as_read) && is_bare(otherwise) { Sum::Material } else { Sum::Bid };
    let whole = (as_read.whole, otherwise.whole);
    Hangs::Moves(Moves { sum, as_read: as_read.bid, otherwise: otherwise.bid, whole })
}

/// What says, without an estimate, which doubts may move the most.
struct Largest<'a> {
    job: &'a Job,
    estimate: &'a Estimate,
    /// Runs and places by their rows, with the length of a run.
    runs: BTreeMap<Spot, Decimal>,
    offers: BTreeMap<Spot, &'a Offer>,
}

/// Less is more: the weight, the kind of row, and the amount of it the other way round.
type Rank = (Severity, u8, Reverse<Decimal>);

impl<'a> Largest<'a> {
    fn of(job: &'a Job, estimate: &'a Estimate) -> Self {
        let runs = job.runs.iter().chain(&job.alternates.runs);
        let runs = runs.map(|run| (job.sources.row(run.row), Decimal::from(run.length.nanometres())));
        let places = job.places.iter().map(|place| (job.sources.row(place.row), Decimal::ZERO));
        let offers = job.prices.offers.iter().map(|offer| (job.sources.row(offer.row), offer));
        Self { job, estimate, runs: runs.chain(places).collect(), offers: offers.collect() }
    }

    fn rank(&self, notice: &Notice) -> Rank {
        let (kind, amount) = match notice.otherwise.first() {
            Some(instead) => self.row(&instead.spot),
            None => (u8::MAX, Decimal::ZERO),
        };
        (notice.severity, kind, Reverse(amount))
    }

    fn row(&self, spot: &Spot) -> (u8, Decimal) {
        let row = Spot { column: 0, ..spot.clone() };
        if table_of(spot) == fold_heading(JOB.name) {
            (0, Decimal::ZERO)
        } else if let Some(length) = self.runs.get(&row) {
            (1, *length)
        } else if let Some(offer) = self.offers.get(&row) {
            (2, self.ordered(offer))
        } else {
            (3, Decimal::ZERO)
        }
    }

    /// What the chosen order of an offer's part comes to.
    fn ordered(&self, offer: &Offer) -> Decimal {
        let parts = self.job.catalog.parts_called_or_used(offer.part);
        let order = self.estimate.alternatives.first().map(|chosen| chosen.order.as_slice());
        let lines = order.unwrap_or_default().iter();
        let of_part = lines.filter(|line| parts.contains(&self.estimate.items.get(line.item).part));
        of_part.filter_map(|line| line.extended).fold(Decimal::ZERO, Decimal::saturating_add)
    }
}

/// The name of the table that a cell stands in: its sheet, or its file without the ending.
fn table_of(spot: &Spot) -> String {
    let file = spot.file.rsplit(['/', '\\']).next().unwrap_or(&spot.file);
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    fold_heading(spot.sheet.as_deref().unwrap_or(stem))
}
