//! What flows in the drains: the drainage units of each fixture on their way to the sewer (rule D17 of drains). Units are
//! summed; what they ask of sizes is for checks.

use rust_decimal::Decimal;

use super::findings;
use super::{Network, Place, Start};
use crate::estimate::{RunEnd, RunId};
use crate::ground::Notice;
use crate::trade::{Job, Service, Word};

/// The units of all drains.
#[derive(Debug, Clone, Default)]
pub(crate) struct Units {
    /// For each run of the job: what leaves it at its beginning.
    pub(crate) leaves: Vec<Decimal>,
    /// What all fixtures together send in.
    pub(crate) sent: Decimal,
    /// What arrives where drains begin: at the sewer, on site, at a place.
    pub(crate) arrives: Decimal,
    /// Places with a fixture that no drain meets, by name.
    pub(crate) undrained: Vec<Box<str>>,
    /// Fixtures that no table has.
    pub(crate) notices: Vec<Notice>,
}

/// Sends the units of every fixture down to where its drain begins.
pub(crate) fn flow(job: &Job, network: &Network) -> Units {
    let mut units = Units { leaves: vec![Decimal::ZERO; job.runs.len()], ..Units::default() };
    if !job.runs.iter().any(|run| run.service == Service::Drain) {
        return units;
    }
    let family = job.code_family();
    let is_drain = |id: &&RunId| job.runs[id.index()].service == Service::Drain;
    let mut enters = vec![Decimal::ZERO; job.runs.len()];
    for place in &network.places {
        let drains: Vec<RunId> = place.ends.iter().filter(is_drain).copied().collect();
        let fixture = fixture_of(job, place);
        if fixture.is_empty() {
            continue;
        }
        let Some(first) = drains.first() else {
            if !place.always {
                units.undrained.push(place.name.clone());
            }
            continue;
        };
        match job.catalog.drain_units(family, fixture) {
            Some(row) => {
                enters[first.index()] += row.units;
                units.sent += row.units;
            }
            None => {
                let (fixture, family) = (job.lexicon.text(fixture), job.family_called());
                let row = job.runs[first.index()].row;
                units.notices.push(findings::no_drain_units(job, row, fixture, family));
            }
        }
    }
    // Children before parents: each run hands on what it has once all that empties into it is known.
    for id in upstream_first(network) {
        let own = enters[id.index()];
        units.leaves[id.index()] = own;
        match network.meets(id).start {
            Start::Run(parent) => enters[parent.index()] += own,
            Start::Alone | Start::Root | Start::Place(_) => {
                if job.runs[id.index()].service == Service::Drain {
                    units.arrives += own;
                }
            }
        }
    }
    units
}

/// The kind of a place: as its row says it, else the first of the runs that meet it; the empty word where nobody does.
pub(in crate::estimate) fn fixture_of(job: &Job, place: &Place) -> Word {
    let of_row = place.row.map(|row| job.places[row].fixture);
    // A run that begins here and ends at a place says the kind of that one.
    let begins = place.starts.iter().filter(|id| job.runs[id.index()].to.is_none());
    let of_runs = place.ends.iter().chain(begins).map(|id| job.runs[id.index()].fixture);
    of_row.into_iter().chain(of_runs).find(|fixture| !fixture.is_empty()).unwrap_or_default()
}

/// All runs that are laid, each after all that ties into it.
fn upstream_first(network: &Network) -> Vec<RunId> {
    let begins = |id: &RunId| !matches!(network.meets(*id).start, Start::Run(_));
    let mut order: Vec<RunId> = network.laid().filter(begins).collect();
    let mut next = 0;
    while let Some(id) = order.get(next).copied() {
        let meets = network.meets(id);
        let children = meets.taps.iter().map(|tap| tap.child).chain(meets.at_end.iter().copied());
        order.extend(children.filter(|child| child.by == RunEnd::Start).map(|child| child.run));
        next += 1;
    }
    order.reverse();
    order
}
