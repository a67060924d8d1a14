//! Did you forget: what a house with these fixtures always has and this list has not, each with the row to add and what it
//! costs, estimated with that row.

use rust_decimal::Decimal;

use super::house::House;
use crate::estimate::estimate;
use crate::ground::RowAt;
use crate::trade::{Job, OftenForgotten, Service, Word};

/// What the list may lack.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Forgotten {
    /// What it is.
    pub what: String,
    /// Why a house has it.
    pub why: String,
    /// Where that is published.
    pub source: String,
    /// The row to add, as a line of the job's own run list.
    pub line: String,
    /// The place to add with it; empty: none.
    pub place: String,
    /// How much more the bid would be; nothing where it is not all priced, or the list is very long.
    pub costs: Option<Decimal>,
    /// The row of the table that says it.
    pub row: RowAt,
}

impl Forgotten {
    /// What to add, in words: the row of the run list, and of places where there is one.
    pub fn to_add(&self) -> String {
        match &*self.place {
            "" => self.line.clone(),
            place => format!("{}; in places: {place}", self.line),
        }
    }
}

/// In a longer list nothing is estimated anew for what was forgotten.
const MOST_RUNS: usize = 2_000;

/// What the list lacks, in the order of the table.
pub(super) fn forgotten(house: &House<'_>) -> Vec<Forgotten> {
    let job = house.job;
    let rows = job.often_forgotten.iter();
    let has_side = |row: &OftenForgotten| {
        row.side.is_none_or(|side| house.laid().any(|id| house.run(id).service.side() == side))
    };
    let lacking: Vec<&OftenForgotten> = rows
        .filter(|row| has_side(row))
        .filter(|row| row.has.iter().any(|word| is_there(house, *word)))
        .filter(|row| !row.lacks.iter().any(|word| is_there(house, *word)))
        .collect();
    let mut base = None;
    let mut costs = |row: &OftenForgotten| {
        let with = Some(job).filter(|job| job.runs.len() <= MOST_RUNS)?.with_forgotten(row)?;
        let base = *base.get_or_insert_with(|| price(&job.chosen_alone()));
        price(&with)?.checked_sub(base?)
    };
    let told = lacking.into_iter().map(|row| Forgotten {
        what: row.what.to_string(),
        why: row.why.to_string(),
        source: row.source.to_string(),
        line: line(house, row),
        place: row.place.to_string(),
        costs: costs(row),
        row: row.row,
    });
    told.collect()
}

/// What is asked for a job, where all of it is priced.
fn price(job: &Job) -> Option<Decimal> {
    let estimate = estimate(job);
    let chosen = estimate.alternatives.first()?;
    estimate.is_complete().then_some(chosen.cost.bid.total)
}

/// Whether the house has a kind of fixture, a part, a pattern or a service by this name.
fn is_there(house: &House<'_>, word: Word) -> bool {
    let name = house.text(word);
    house.map.places.iter().any(|place| place.fixture == word)
        || house.job.places.iter().any(|place| place.fixture == word || place.patterns.contains(&word))
        || house.laid().any(|id| {
            let run = house.run(id);
            run.fixture == word || run.patterns.contains(&word)
        })
        || Service::ALL
            .iter()
            .any(|service| service.word() == name && house.of_service(*service).next().is_some())
        || house.has_part(name)
}

/// The row to add, under the headings of the run list that the job has.
fn line(house: &House<'_>, row: &OftenForgotten) -> String {
    let source = house.job.runs.first().and_then(|run| house.job.sources.get(run.row.source));
    let mut headings: Vec<(u32, &str)> = source.map_or_else(Vec::new, |source| {
        source.headings.iter().map(|(heading, column)| (*column, heading.as_str())).collect()
    });
    headings.sort_unstable();
    let last = headings.last().map_or(0, |(column, _)| *column);
    let cell = |column: u32| {
        let heading = headings.iter().find(|(at, _)| *at == column).map_or("", |(_, heading)| heading);
        let text = row.under(heading);
        // A list of paths has no lengths: level runs go anywhere, vents up.
        match heading {
            "path" if !headings.iter().any(|(_, heading)| *heading == "length") => {
                format!("{} {}", if &*row.service == "vent" { "up" } else { "E" }, row.length)
            }
            _ => text.to_owned(),
        }
    };
    let cells: Vec<String> = (1..=last).map(cell).collect();
    cells.join(",").trim_end_matches(',').to_owned()
}
