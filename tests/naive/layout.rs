//! What stands where along one run: taps, transitions, turns, offsets, what was counted by eye, parts in line. Rules 4, 9,
//! 10 and 24 of counting. It places points; it cuts and joins nothing.

use std::collections::BTreeMap;

use coilstick::ground::Length;
use coilstick::trade::{Class, Per, Phase, Where};
use rust_decimal::prelude::ToPrimitive;

use crate::made::{Kin, Made, Shape};
use crate::meetings::{Meets, RunEnd, Spot};
use crate::view::{Child, Stuff, View};

/// What stands at a point.
#[derive(Debug, Clone)]
pub(crate) enum Stand {
    Tap(Child),
    /// A transition behind the least piece of the parent's tube with which the run begins (or a return ends).
    Transition(RunEnd),
    Elbow,
    EighthBend,
    InLine(Assembly),
    /// A part that a person counted by eye.
    Counted(Made, Phase),
}

/// Parts in line that mate with each other directly: they cut the run once.
#[derive(Debug, Clone)]
pub(crate) struct Assembly {
    pub(crate) place: Where,
    pub(crate) parts: Vec<(Made, Phase)>,
    /// Between part k and part k + 1: an opening of each.
    pub(crate) joined: Vec<(usize, usize)>,
}

/// A least piece of the parent's tube at an end of a run, and what it is made of.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lead {
    pub(crate) stuff: Stuff,
    pub(crate) length: Length,
}

/// A run laid out.
#[derive(Debug, Clone, Default)]
pub(crate) struct Laid {
    /// By distance from the beginning; no two at one point.
    pub(crate) points: BTreeMap<Length, Stand>,
    pub(crate) start_lead: Option<Lead>,
    pub(crate) end_lead: Option<Lead>,
    /// Runs in error: this one, or children that find no place on it.
    pub(crate) faults: BTreeMap<usize, &'static str>,
    /// Whether a pattern row was left out.
    pub(crate) row_left_out: bool,
}

/// Lays a run out.
pub(crate) fn lay(view: &View<'_>, run: usize) -> Laid {
    let mut laid = Laid {
        start_lead: lead(view, run, RunEnd::Start),
        end_lead: lead(view, run, RunEnd::End),
        ..Laid::default()
    };
    transitions(view, run, &mut laid);
    taps(view, run, &mut laid);
    turns(view, run, &mut laid);
    parts_in_line(view, run, &mut laid);
    laid
}

/// Behind a tee or a reducer of another system a run begins with a least piece of the parent's tube (rule 8).
fn lead(view: &View<'_>, run: usize, end: RunEnd) -> Option<Lead> {
    let Meets::Run { parent, spot } = view.meetings.of(run, end) else { return None };
    let parents = view.system_id(*parent);
    let size = view.size_at(run, end);
    let goes_on =
        *spot == Spot::End && view.children_at_end(*parent).len() == 1 && view.end_size(*parent) == size;
    if view.sits_in(run, parents) || goes_on {
        return None;
    }
    let variant = view.stuff(*parent, size).variant;
    let stuff = view.stuff_of(parents, variant, size, view.run(run).service);
    Some(Lead { stuff, length: view.system(parents).least_piece })
}

impl Laid {
    /// Whether a point is free: strictly inside, nothing on it, not inside a least piece of the parent's tube.
    fn is_free(&self, view: &View<'_>, run: usize, at: Length) -> bool {
        let length = view.run(run).length;
        let in_start = self.start_lead.is_some_and(|lead| at <= lead.length);
        let in_end = self.end_lead.is_some_and(|lead| {
            view.run(run).tail.is_none() && at.nanometres() >= length.nanometres() - lead.length.nanometres()
        });
        at > Length::ZERO && at < length && !in_start && !in_end && !self.points.contains_key(&at)
    }

    /// The next free point onward by least pieces, or back from the end (rule 4).
    fn free_from(&self, view: &View<'_>, run: usize, wished: Length) -> Option<Length> {
        let (length, least) = (view.run(run).length.nanometres(), view.least_piece(run).nanometres());
        let mut onward = wished.nanometres();
        while onward < length {
            if self.is_free(view, run, Length::from_nanometres(onward)) {
                return Some(Length::from_nanometres(onward));
            }
            onward += least;
        }
        // Where the run ends with a least piece of its parent's tube, its own tube is over at the transition.
        let over = self.end_lead.filter(|_| view.run(run).tail.is_none());
        let mut back = length - over.map_or(0, |lead| lead.length.nanometres()) - least;
        while back > 0 {
            if self.is_free(view, run, Length::from_nanometres(back)) {
                return Some(Length::from_nanometres(back));
            }
            back -= least;
        }
        None
    }

    /// Puts something of the run's own at the next free point; where there is none the run is in error.
    fn put(&mut self, view: &View<'_>, run: usize, wished: Length, stand: Stand) -> Option<Length> {
        let at = self.free_from(view, run, wished);
        match at {
            Some(at) => {
                self.points.insert(at, stand);
            }
            None => {
                self.faults.insert(run, "no free point is left on the run");
            }
        }
        at
    }
}

/// Transitions stand where the parent's least piece ends, whatever else is on the run.
fn transitions(view: &View<'_>, run: usize, laid: &mut Laid) {
    let row = view.run(run);
    let length = row.length.nanometres();
    let start = laid.start_lead.map(|lead| lead.length.nanometres());
    // In a run with a tail the end is the tail's: its transition stands in the tail.
    let end = laid.end_lead.filter(|_| row.tail.is_none()).map(|lead| length - lead.length.nanometres());
    let in_tail = laid.end_lead.zip(row.tail).map(|(lead, tail)| tail > lead.length);
    let inside = |at: Option<i64>| at.is_none_or(|at| at > 0 && at < length);
    let apart = start.zip(end).is_none_or(|(start, end)| start < end);
    if !inside(start) || !inside(end) || !apart || in_tail == Some(false) {
        laid.faults.insert(run, "the run is too short for the least piece of its parent's tube");
        return;
    }
    if let Some(at) = start {
        laid.points.insert(Length::from_nanometres(at), Stand::Transition(RunEnd::Start));
    }
    if let Some(at) = end {
        laid.points.insert(Length::from_nanometres(at), Stand::Transition(RunEnd::End));
    }
}

fn taps(view: &View<'_>, run: usize, laid: &mut Laid) {
    let least = view.least_piece(run).nanometres();
    let inside = view.children_inside(run);
    let mut moved: Vec<(Length, Child)> = Vec::new();
    for (at, children) in &inside {
        for (rank, child) in (0_i64..).zip(children) {
            if rank == 0 && laid.is_free(view, run, *at) {
                laid.points.insert(*at, Stand::Tap(*child));
            } else {
                moved.push((Length::from_nanometres(at.nanometres() + rank * least), *child));
            }
        }
    }
    for (wished, child) in moved {
        match laid.free_from(view, run, wished) {
            Some(at) => {
                laid.points.insert(at, Stand::Tap(child));
            }
            None => {
                laid.faults.insert(child.run, "no free point is left for the tap");
            }
        }
    }
}

/// What a person counted by eye: ported parts per a count column, without `where` (rule 24).
fn counted(view: &View<'_>, run: usize) -> Vec<(Made, Phase)> {
    let row_of_run = view.run(run);
    let mut all = Vec::new();
    for row in view.rows(run) {
        if !matches!(row.per, Per::Column(_)) || row.stands.is_some() {
            continue;
        }
        let Some((mut made, quantity)) = view.row_part(row, row_of_run.size, view.system_id(run)) else {
            continue;
        };
        // A reducer of a counted run is named by `reduce to`.
        if let (Some(smaller), None, [], 2) =
            (row_of_run.reduce_to, row_of_run.tail, &*row.sizes, made.openings.len())
            && made.part.is_some_and(|id| {
                view.job.catalog.parts[id.0 as usize]
                    .used_as
                    .contains(&coilstick::trade::UsedAs::ReducingCoupling)
            })
        {
            made.openings[1].size = smaller;
        }
        if made.openings.is_empty() {
            continue;
        }
        let times = (quantity * view.times(row, run)).to_u64().unwrap_or(0);
        for _ in 0..times {
            all.push((made.clone(), row.phase.unwrap_or(row_of_run.phase())));
        }
    }
    all
}

/// Turns that cut, then offsets that cut; what was counted by eye cuts evenly with the turns.
fn turns(view: &View<'_>, run: usize, laid: &mut Laid) {
    let row = view.run(run);
    let counted = counted(view, run);
    let elbows = i64::from(view.elbows(run));
    if row.no_joint && (elbows > 0 || !counted.is_empty()) {
        laid.faults.insert(run, "a part in line on a run without a joint");
        return;
    }
    let said: Vec<Length> = row.turns_at.iter().copied().take(elbows.try_into().unwrap_or(0)).collect();
    let evenly_turns = if said.is_empty() { elbows } else { 0 };
    let n = evenly_turns + i64::try_from(counted.len()).expect("few parts are counted");
    let evenly = |k: i64, n: i64| {
        let nanometres = i128::from(row.length.nanometres()) * i128::from(k) / i128::from(n + 1);
        Length::from_nanometres(i64::try_from(nanometres).expect("inside the run"))
    };
    for at in said {
        laid.put(view, run, at, Stand::Elbow);
    }
    for k in 1..=evenly_turns {
        laid.put(view, run, evenly(k, n), Stand::Elbow);
    }
    for (k, (made, phase)) in (evenly_turns + 1..).zip(counted) {
        laid.put(view, run, evenly(k, n), Stand::Counted(made, phase));
    }
    if row.no_joint || !view.turns_are_elbows(run) {
        return;
    }
    let offsets = i64::from(row.offsets);
    for k in 1..=offsets {
        if let Some(first) = laid.put(view, run, evenly(k, offsets), Stand::EighthBend) {
            let second = first.nanometres() + view.least_piece(run).nanometres();
            laid.put(view, run, Length::from_nanometres(second), Stand::EighthBend);
        }
    }
}

/// Parts in line, joined to assemblies where rows of one `where` mate directly.
fn parts_in_line(view: &View<'_>, run: usize, laid: &mut Laid) {
    let row_of_run = view.run(run);
    let length = row_of_run.length.nanometres();
    let least = view.least_piece(run).nanometres();
    let kin = Kin::of(view.job);
    let mut assemblies: Vec<Assembly> = Vec::new();
    for row in view.rows(run) {
        let (Some(place), false) = (row.stands, row.per == Per::Place) else { continue };
        let Some((made, quantity)) = view.row_part(row, row_of_run.size, view.system_id(run)) else {
            continue;
        };
        if made.part.is_some() && made.openings.is_empty() {
            continue;
        }
        if let Where::At(at) = place {
            let at = if at < Length::ZERO { length + at.nanometres() } else { at.nanometres() };
            if at <= 0 || at >= length {
                laid.row_left_out = true;
                continue;
            }
        }
        let times = (quantity * view.times(row, run)).to_u64().unwrap_or(0);
        for _ in 0..times {
            let phase = row.phase.unwrap_or(row_of_run.phase());
            add_in_line(&mut assemblies, place, made.clone(), phase, &kin);
        }
    }
    if row_of_run.no_joint && !assemblies.is_empty() {
        laid.faults.insert(run, "a part in line on a run without a joint");
        return;
    }
    for assembly in assemblies {
        let wished = match assembly.place {
            Where::Start => least,
            Where::End => length - least,
            Where::At(at) if at < Length::ZERO => length + at.nanometres(),
            Where::At(at) => at.nanometres(),
        };
        laid.put(view, run, Length::from_nanometres(wished), Stand::InLine(assembly));
    }
}

/// Adds a part to the last assembly of its `where` if it mates with its last part, else begins another.
fn add_in_line(assemblies: &mut Vec<Assembly>, place: Where, made: Made, phase: Phase, kin: &Kin) {
    if let Some(assembly) = assemblies.iter_mut().rev().find(|assembly| assembly.place == place)
        && let Some((last, _)) = assembly.parts.last()
    {
        let used = assembly.joined.last().map(|(_, inlet)| *inlet);
        // Its last opening faces onward; one opening is kept for the tube or the part before it.
        let open = (0..last.openings.len()).rev().filter(|mine| Some(*mine) != used);
        for mine in open {
            let found = (0..made.openings.len()).find(|theirs| last.mates(mine, &made, *theirs, kin));
            if let Some(theirs) = found {
                assembly.joined.push((mine, theirs));
                assembly.parts.push((made, phase));
                return;
            }
        }
    }
    assemblies.push(Assembly { place, parts: vec![(made, phase)], joined: Vec::new() });
}

impl Assembly {
    /// The opening of its first part that faces the beginning of the run, and of its last part that faces the end.
    pub(crate) fn faces(&self) -> (Option<usize>, Option<usize>) {
        let last = self.parts.len() - 1;
        let used = |part: usize, opening: usize| {
            (part > 0 && self.joined[part - 1].1 == opening)
                || (part < last && self.joined[part].0 == opening)
        };
        let open = |part: usize| {
            let openings = &self.parts[part].0.openings;
            (0..openings.len())
                .filter(|one| !used(part, *one) && openings[*one].shape != Shape::Closed)
                .collect::<Vec<usize>>()
        };
        let up = open(0).first().copied();
        let down = open(last).into_iter().find(|one| last > 0 || Some(*one) != up);
        (up, down)
    }
}

/// Whether a part without openings is sized by the tube where it stands: what holds it, and rings.
pub(crate) fn is_sized_by_tube(class: Class) -> bool {
    match class {
        Class::Tube | Class::Ring | Class::Support => true,
        Class::Fitting
        | Class::Valve
        | Class::Device
        | Class::Manifold
        | Class::Consumable
        | Class::Cap
        | Class::Trim
        | Class::Tool => false,
    }
}
