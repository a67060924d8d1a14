//! What flows in the drains: the drainage units of each fixture on their way to the sewer (rule D17 of drains). Units are
//! summed; what they ask of sizes is for checks.

use rust_decimal::Decimal;

use super::findings;
use super::{Network, Start};
use crate::estimate::{RunEnd, RunId};
use crate::ground::Notice;
use crate::trade::{Job, Service};

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
    let (family, named) = job.code_family();
    let is_drain = |id: &&RunId| job.runs[id.index()].service == Service::Drain;
    let mut enters = vec![Decimal::ZERO; job.runs.len()];
    for place in &network.places {
        let by_row = place.row.map(|row| job.places[row].fixture);
        let drains: Vec<RunId> = place.ends.iter().filter(is_drain).copied().collect();
        let of_runs = || {
            let met = place.ends.iter().chain(&place.starts).map(|id| job.runs[id.index()].fixture);
            let mut named = met.filter(|fixture| !fixture.is_empty());
            named.next()
        };
        let Some(fixture) = by_row.filter(|fixture| !fixture.is_empty()).or_else(of_runs) else {
            continue;
        };
        let Some(first) = drains.first() else {
            if !place.always {
                units.undrained.push(place.name.clone());
            }
            continue;
        };
        match family.and_then(|family| job.catalog.drain_units(family, fixture)) {
            Some(row) => {
                enters[first.index()] += row.units;
                units.sent += row.units;
            }
            None => {
                let (fixture, row) = (job.lexicon.text(fixture), job.runs[first.index()].row);
                units.notices.push(findings::no_drain_units(job, row, fixture, named));
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
