//! Which runs are left out: those in error and all that join them, until nothing more falls out, over all alternatives.

use std::collections::{BTreeMap, BTreeSet};

use coilstick::trade::Job;
use coilstick::trade::Service;

use crate::drains::is_drain_side;
use crate::layout::lay;
use crate::meetings::{Meetings, Meets, RunEnd, connect};
use crate::places::{meeting, too_many};
use crate::sheets::Sheets;
use crate::view::{Alternative, View};

/// A job judged: who meets whom, and who is left out with why.
#[derive(Debug)]
pub(crate) struct Judged {
    pub(crate) meetings: Meetings,
    pub(crate) out: BTreeSet<usize>,
    pub(crate) why: BTreeMap<usize, &'static str>,
}

/// The systems compared (D19): the job's of both sides, then those that it names, each beside the job's of the other side. Of a
/// side that has no runs none is compared, but water where the job has no drains either.
pub(crate) fn alternatives(job: &Job) -> Vec<Alternative> {
    let named = |word| job.catalog.system_named(word);
    let Some(water) = named(job.settings.water_system) else { return Vec::new() };
    let chosen = Alternative { water, drain: named(job.settings.drain_system) };
    let has_drains = job.runs.iter().any(|row| is_drain_side(row.service));
    let has_water = job.runs.iter().any(|row| !is_drain_side(row.service));
    let of_water = job.settings.compare_with.iter().filter(|_| has_water || !has_drains);
    let of_drains = job.settings.compare_drains.iter().filter(|_| has_drains);
    let mut all = vec![chosen];
    let others = of_water.filter_map(|word| named(*word)).map(|water| Alternative { water, ..chosen }).chain(
        of_drains.filter_map(|word| named(*word)).map(|drain| Alternative { drain: Some(drain), ..chosen }),
    );
    for other in others {
        if !all.contains(&other) {
            all.push(other);
        }
    }
    all
}

/// Judges a job: rows first, then meetings, then what finds no place on a run in any alternative.
pub(crate) fn judge(job: &Job, sheets: &Sheets) -> Judged {
    let meetings = connect(job, sheets);
    let mut why = meetings.faults.clone();
    let mut out: BTreeSet<usize> = why.keys().copied().collect();
    leave_out_what_joins(&meetings, &mut out, &mut why);
    loop {
        let mut faults = meeting_faults(job, sheets, &meetings, &out);
        if faults.is_empty() {
            faults = laying_faults(job, sheets, &meetings, &out);
        }
        if faults.is_empty() {
            return Judged { meetings, out, why };
        }
        for (run, fault) in faults {
            out.insert(run);
            why.entry(run).or_insert(fault);
        }
        leave_out_what_joins(&meetings, &mut out, &mut why);
    }
}

/// A run is left out with everything that joins it, a return with the run that it goes to.
fn leave_out_what_joins(
    meetings: &Meetings,
    out: &mut BTreeSet<usize>,
    why: &mut BTreeMap<usize, &'static str>,
) {
    loop {
        let runs = meetings.count();
        let joins_one = |run: &usize| {
            [RunEnd::Start, RunEnd::End]
                .iter()
                .any(|end| meetings.parent(*run, *end).is_some_and(|parent| out.contains(&parent)))
        };
        let found: Vec<usize> = (0..runs).filter(|run| !out.contains(run)).filter(joins_one).collect();
        if found.is_empty() {
            return;
        }
        for run in found {
            out.insert(run);
            why.entry(run).or_insert("it joins a run that is left out");
        }
    }
}

/// Errors of meetings among the runs that are left (rules 3, 7, 21, 22 and 24).
fn meeting_faults(
    job: &Job,
    sheets: &Sheets,
    meetings: &Meetings,
    out: &BTreeSet<usize>,
) -> BTreeMap<usize, &'static str> {
    let mut faults = BTreeMap::new();
    let all = alternatives(job);
    // Which fittings there are is another thing in each alternative.
    for alternative in all.iter().copied() {
        let view = View { job, sheets, meetings, out, alternative };
        for run in view.runs() {
            faults.extend(view.unfit_children(run));
        }
    }
    let Some(first) = all.first().copied() else { return faults };
    let view = View { job, sheets, meetings, out, alternative: first };
    for run in view.runs() {
        let row = view.run(run);
        let children = view.children_at_end(run);
        let ends_somewhere = *meetings.of(run, RunEnd::End) != Meets::Nothing;
        if row.no_joint {
            for child in view.children_inside(run).values().flatten() {
                faults.insert(child.run, "a tap on a run without a joint");
            }
        }
        for child in &children {
            let ends_in_a_run = meetings.parent(run, RunEnd::End).is_some();
            if row.service == Service::Return || ends_in_a_run {
                faults.insert(child.run, "nothing joins the end of a return");
            } else if ends_somewhere {
                faults.insert(child.run, "the run ends at a place");
            } else if children.len() > 2 && !view.of_drains(run) {
                faults.insert(child.run, "three at one end");
            }
        }
        let joins =
            *meetings.of(run, RunEnd::Start) != Meets::Nothing || meetings.parent(run, RunEnd::End).is_some();
        let joined = view.is_joined(run);
        match row.count {
            Some(0) if !view.stands_alone(run) => {
                faults.insert(run, "count 0 on a run that does not stand alone");
            }
            Some(count) if count > 1 && (joins || joined) => {
                faults.insert(run, "count on a run that joins or is joined");
            }
            Some(count) if count > 1 => {
                if let Meets::Place(place) = meetings.of(run, RunEnd::End)
                    && meeting(&view, place).len() > 1
                {
                    faults.insert(run, "another run meets the place of a run counted above 1");
                }
            }
            Some(_) | None => {}
        }
        let counted = row.patterns.iter().any(|pattern| view.text(*pattern).eq_ignore_ascii_case("counted"));
        if counted && (joins || joined) {
            faults.insert(run, "a counted run that joins or is joined");
        }
    }
    faults
}

/// Children that no fitting joins to a run: its tube does not come in their size. One that goes on alone is not asked.
fn no_size_to_meet(view: &View<'_>, run: usize) -> Vec<usize> {
    let tube = view.system(view.system_id(run)).tube;
    let comes_in = |size| view.job.catalog.sizes.iter().any(|row| row.tube == tube && row.size == size);
    let at_end = view.children_at_end(run);
    let goes_on = |size| at_end.len() == 1 && size == view.end_size(run);
    let inside = view.children_inside(run).into_values().flatten();
    let met = inside.chain(at_end.iter().copied().filter(|child| !goes_on(child.size)));
    met.filter(|child| !comes_in(child.size)).map(|child| child.run).collect()
}

/// Whether the tube of a run comes in the sizes that its row names: a size may be one of the other side of the house.
fn comes_in_its_sizes(view: &View<'_>, run: usize) -> bool {
    let tube = view.system(view.system_id(run)).tube;
    let comes_in = |size| view.job.catalog.sizes.iter().any(|row| row.tube == tube && row.size == size);
    [Some(view.run(run).size), view.run(run).reduce_to].into_iter().flatten().all(comes_in)
}

/// Errors that show when runs are laid out; one in any alternative counts for all.
fn laying_faults(
    job: &Job,
    sheets: &Sheets,
    meetings: &Meetings,
    out: &BTreeSet<usize>,
) -> BTreeMap<usize, &'static str> {
    let mut faults = BTreeMap::new();
    for alternative in alternatives(job) {
        let view = View { job, sheets, meetings, out, alternative };
        for run in view.runs() {
            if !comes_in_its_sizes(&view, run) {
                faults.insert(run, "the run's tube has no such size");
            }
            faults.extend(lay(&view, run).faults);
            for child in no_size_to_meet(&view, run) {
                faults.insert(child, "the parent's tube has no such size");
            }
        }
        for run in too_many(&view) {
            faults.insert(run, "too many runs for the largest manifold");
        }
    }
    faults
}
