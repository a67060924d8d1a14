//! Lays the network in one system: what every run, end, meeting and place asks for, line by line (rules 3 to 24 of
//! counting). One public verb: [`lay`].
//!
//! `resolve` says what each run is built of, `run` lays it along its length, `along` counts what does not cut it, `ends`
//! builds its ends as `chain`s, `between` what they need to mate, `places` stands what is at places, `ports` fills its
//! ports, `meetings` joins runs of water, `drains` those of drains and vents, `tested` closes their ends for each test, `openings`
//! says what ends of tube stand in, `pieces` makes whole pieces of tube; all of them write on one `sheet`.

mod along;
mod between;
mod chain;
mod changes;
mod drains;
mod ends;
mod findings;
mod meetings;
mod openings;
mod pieces;
mod places;
mod points;
mod ports;
mod resolve;
mod rules;
mod run;
mod sheet;
mod tables;
mod tested;

use super::network::{Child, Network};
use super::takeoff::{Subject, Takeoff};
use super::{Items, PlaceId, RunId};
use crate::ground::Notice;
use crate::ground::progress::{self, Work};
use crate::trade::Job;
use crate::trade::{PartId, Side, Sides};
pub(super) use findings::UNCOUNTED;
use pieces::Segments;
use places::PlacedPart;
use resolve::Resolved;
use rules::Rule;
use run::Laid;
use rustc_hash::FxHashMap;
use sheet::{Owner, Sheet};

pub(super) use tables::Tables;

/// Takes off one alternative: the network with its systems given to every run that names none. Gives the takeoff and
/// the runs that are in error in this system; a run in error in one alternative is out of all, so the caller connects
/// the network again without them.
pub(super) fn lay<'j>(
    job: &'j Job,
    network: &'j Network,
    tables: &'j Tables,
    sides: Sides,
    items: &mut Items,
) -> (Takeoff, Vec<RunId>) {
    let mut sheet = Sheet::new(job, tables, sides, items);
    let resolved_runs = resolve::resolve(&mut sheet, network, sides);
    let mut rank = vec![0; job.runs.len()];
    for (position, id) in network.order.iter().enumerate() {
        rank[id.index()] = position;
    }
    let has = |side: &Side| job.runs.iter().any(|run| run.service.side() == *side);
    let mut laying = Laying {
        sides: Side::ALL.into_iter().filter(has).collect(),
        job,
        network,
        sheet,
        rules: vec![Vec::new(); job.runs.len()],
        resolved_runs,
        rank,
        laid: vec![None; job.runs.len()],
        tapped: FxHashMap::default(),
        segments: Segments::default(),
        placed: Vec::new(),
        in_two_sizes: Vec::new(),
        late_joins: Vec::new(),
        cuts: 0,
    };
    laying.place_parts();
    progress::ahead(Work::Runs, network.laid().count());
    for id in network.laid() {
        laying.laid[id.index()] = laying.lay_run(id);
        progress::done(Work::Runs, 1);
    }
    if laying.sheet.barred.is_empty() {
        for id in network.laid() {
            laying.meet_children(id);
        }
        laying.join_returns();
    }
    laying.judge_places();
    let Laying { mut sheet, segments, .. } = laying;
    segments.write(&mut sheet);
    sheet.done()
}

/// The runs that cannot be built in one of the alternatives whatever they meet (an unknown system or size, a tail that is
/// not smaller), with the notices that say so.
pub(super) fn cannot_be_built(job: &Job, tables: &Tables) -> (Vec<RunId>, Vec<Notice>) {
    let (mut items, mut barred, mut notices) = (Items::default(), Vec::new(), Vec::new());
    for sides in &job.sides {
        let mut sheet = Sheet::new(job, tables, *sides, &mut items);
        resolve::judge_all(&mut sheet, *sides);
        let (takeoff, found) = sheet.done();
        barred.extend(found);
        notices.extend(takeoff.notices);
    }
    (barred, notices)
}

/// One alternative while it is laid.
struct Laying<'j, 'i> {
    job: &'j Job,
    /// The sides of the house that the job has runs of.
    sides: Vec<Side>,
    network: &'j Network,
    sheet: Sheet<'j, 'i>,
    /// For each run of the job: the pattern rows that are meant for it.
    rules: Vec<Vec<Rule<'j>>>,
    /// For each run of the job: what it is built of; none where it is left out.
    resolved_runs: Vec<Option<Resolved>>,
    /// For each run of the job: its place in the order of names.
    rank: Vec<usize>,
    laid: Vec<Option<Laid>>,
    /// The segments before and behind the point where a child ties in.
    tapped: FxHashMap<Child, (u32, u32)>,
    segments: Segments,
    /// Cuts that numbers in cells ask for so far.
    cuts: i64,
    /// For each place: what stands there.
    placed: Vec<Vec<PlacedPart>>,
    /// Parts that rows bring in two sizes to one place: an error of those rows.
    in_two_sizes: Vec<(PlaceId, PartId)>,
    /// Seams at the ends of returns: the parent's last segment, the return's, the return.
    late_joins: Vec<(u32, u32, RunId)>,
}

impl Laying<'_, '_> {
    /// What a run is built of. Every run that is laid is resolved_runs: those that cannot be are barred before.
    fn resolved(&self, id: RunId) -> Resolved {
        self.resolved_runs[id.index()].unwrap_or(Resolved::NOTHING)
    }

    fn laid(&self, id: RunId) -> Laid {
        self.laid[id.index()].unwrap_or(Laid::NOTHING)
    }
}

/// Whose lines those of a run are.
fn owner_of(job: &Job, resolved: Resolved, id: RunId) -> Owner {
    let run = &job.runs[id.index()];
    Owner {
        subject: Subject::Run(id),
        service: Some(run.service),
        phase: resolved.phase,
        area: run.area,
        copies: resolved.copies,
    }
}
