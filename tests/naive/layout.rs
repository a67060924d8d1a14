//! What stands where along one run: taps, transitions, turns, offsets, what was counted by eye, parts in line. Rules 4, 9,
//! 10 and 24 of counting. It places points; it cuts and joins nothing.

use std::collections::BTreeMap;

use coilstick::ground::Length;
use coilstick::trade::{Class, Per, Phase, Where};
use rust_decimal::prelude::ToPrimitive;

use crate::drains::{AtEnd, Tapped};
use crate::made::{Kin, Made, Shape};
use crate::meetings::{Meets, RunEnd, Spot};
use crate::view::{Child, Stuff, View};

/// What stands at a point.
#[derive(Debug, Clone)]
pub(crate) enum Stand {
    Tap(Child),
    /// Two that tie in opposite each other.
    Pair(Child, Child),
    /// A transition behind the least piece of the parent's tube with which the run begins (or a return ends).
    Transition(RunEnd),
    /// A reducing coupling behind the least piece of a turning's larger size; it is this run's (D9).
    Reducer(usize),
    Elbow,
    EighthBend,
    /// What turns a run of the drain side: a part of the table `turnings`.
    Turning(String),
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

/// A least piece of other tube at an end of a run, what it is made of, and what stands behind it.
#[derive(Debug, Clone)]
pub(crate) struct Lead {
    pub(crate) stuff: Stuff,
    pub(crate) length: Length,
    pub(crate) behind: Stand,
}

/// How long leads are together, in nanometres.
fn together(leads: &[Lead]) -> i64 {
    leads.iter().map(|lead| lead.length.nanometres()).sum()
}

/// A run laid out.
#[derive(Debug, Clone, Default)]
pub(crate) struct Laid {
    /// By distance from the beginning; no two at one point.
    pub(crate) points: BTreeMap<Length, Stand>,
    /// From the beginning onward.
    pub(crate) start_leads: Vec<Lead>,
    /// From the end back.
    pub(crate) end_leads: Vec<Lead>,
    /// Runs in error: this one, or children that find no place on it.
    pub(crate) faults: BTreeMap<usize, &'static str>,
    /// Whether a pattern row was left out.
    pub(crate) row_left_out: bool,
}

/// Lays a run out.
pub(crate) fn lay(view: &View<'_>, run: usize) -> Laid {
    let mut laid = Laid {
        start_leads: leads(view, run, RunEnd::Start),
        end_leads: leads(view, run, RunEnd::End),
        ..Laid::default()
    };
    transitions(view, run, &mut laid);
    taps(view, run, &mut laid);
    turns(view, run, &mut laid);
    parts_in_line(view, run, &mut laid);
    laid
}

/// Behind a tee, a reducer or a turning of another system a run begins with a least piece of the parent's tube (rule 8); at
/// a turning larger than the run, in a system without bushings, with one of the larger size (D9).
fn leads(view: &View<'_>, run: usize, end: RunEnd) -> Vec<Lead> {
    let Meets::Run { parent, spot } = view.meetings.of(run, end) else { return own_lead(view, run, end) };
    let parents = view.system_id(*parent);
    let size = view.size_at(run, end);
    let length = view.system(parents).least_piece;
    let at_end = *spot == Spot::End;
    let turns = at_end && view.of_drains(*parent) && matches!(view.at_end(*parent), Ok(AtEnd::Turn(..)));
    let mut leads = Vec::new();
    let of_size = |size| {
        let variant = view.stuff(*parent, size).variant;
        view.stuff_of(parents, variant, size, view.run(run).service)
    };
    let larger = view.end_size(*parent);
    if turns && view.larger(larger, size).is_gt() && !view.has_bushing(parents) {
        leads.push(Lead { stuff: of_size(larger), length, behind: Stand::Reducer(run) });
    }
    let goes_on =
        at_end && !turns && view.children_at_end(*parent).len() == 1 && view.end_size(*parent) == size;
    if !view.sits_in(run, parents) && !goes_on {
        leads.push(Lead { stuff: of_size(size), length, behind: Stand::Transition(end) });
    }
    leads
}

/// The least piece in the size of a larger vent that goes on from a run in another bearing, out of the run's end (D9).
fn own_lead(view: &View<'_>, run: usize, end: RunEnd) -> Vec<Lead> {
    if end == RunEnd::Start || !view.of_drains(run) || view.has_bushing(view.system_id(run)) {
        return Vec::new();
    }
    match view.at_end(run) {
        Ok(AtEnd::Turn(child, _)) if view.larger(child.size, view.end_size(run)).is_gt() => {
            let length = view.least_piece(run);
            vec![Lead { stuff: view.stuff(run, child.size), length, behind: Stand::Reducer(child.run) }]
        }
        Ok(AtEnd::Nothing | AtEnd::Straight(_) | AtEnd::Turn(..) | AtEnd::Ties { .. }) | Err(_) => Vec::new(),
    }
}

impl Laid {
    /// Whether a point is free: strictly inside, nothing on it, not inside a least piece of the parent's tube.
    fn is_free(&self, view: &View<'_>, run: usize, at: Length) -> bool {
        let length = view.run(run).length;
        let in_start = !self.start_leads.is_empty() && at.nanometres() <= together(&self.start_leads);
        let in_end = !self.end_leads.is_empty()
            && view.run(run).tail.is_none()
            && at.nanometres() >= length.nanometres() - together(&self.end_leads);
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
        let over = if view.run(run).tail.is_none() { together(&self.end_leads) } else { 0 };
        let mut back = length - over - least;
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

/// What stands behind leads stands where they end, whatever else is on the run.
fn transitions(view: &View<'_>, run: usize, laid: &mut Laid) {
    let row = view.run(run);
    let length = row.length.nanometres();
    // In a run with a tail the end is the tail's: its leads are in the tail.
    let end = if row.tail.is_none() { together(&laid.end_leads) } else { 0 };
    let over_tail = row.tail.is_some_and(|tail| together(&laid.end_leads) >= tail.nanometres());
    if together(&laid.start_leads) + end >= length || over_tail {
        laid.faults.insert(run, "the run is too short for the least piece of its parent's tube");
        return;
    }
    let mut at = 0;
    for lead in &laid.start_leads {
        at += lead.length.nanometres();
        laid.points.insert(Length::from_nanometres(at), lead.behind.clone());
    }
    let mut at = length;
    for lead in laid.end_leads.iter().filter(|_| row.tail.is_none()) {
        at -= lead.length.nanometres();
        laid.points.insert(Length::from_nanometres(at), lead.behind.clone());
    }
}

fn taps(view: &View<'_>, run: usize, laid: &mut Laid) {
    let least = view.least_piece(run).nanometres();
    let inside = view.children_inside(run);
    let mut moved: Vec<(Length, Tapped)> = Vec::new();
    let stand = |tapped: &Tapped| match tapped {
        Tapped::One(child) => Stand::Tap(*child),
        Tapped::Pair(one, other) => Stand::Pair(*one, *other),
    };
    for (at, children) in &inside {
        for (rank, tapped) in (0_i64..).zip(view.tapped(run, *at, children)) {
            if rank == 0 && laid.is_free(view, run, *at) {
                laid.points.insert(*at, stand(&tapped));
            } else {
                moved.push((Length::from_nanometres(at.nanometres() + rank * least), tapped));
            }
        }
    }
    for (wished, tapped) in moved {
        if let Some(at) = laid.free_from(view, run, wished) {
            laid.points.insert(at, stand(&tapped));
            continue;
        }
        let runs = match tapped {
            Tapped::One(child) => vec![child.run],
            Tapped::Pair(one, other) => vec![one.run, other.run],
        };
        for child in runs {
            laid.faults.insert(child, "no free point is left for the tap");
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
    let has_path = view.sheet(run).path.is_some();
    let evenly_turns = if said.is_empty() && !has_path { elbows } else { 0 };
    let n = evenly_turns + i64::try_from(counted.len()).expect("few parts are counted");
    let evenly = |k: i64, n: i64| {
        let nanometres = i128::from(row.length.nanometres()) * i128::from(k) / i128::from(n + 1);
        Length::from_nanometres(i64::try_from(nanometres).expect("inside the run"))
    };
    let turned = |at: Length, angle: u16, eighth: Stand, quarter: Stand| {
        let lies = view.attitude_at(run, at);
        let turned = |after| view.turning(row.service, view.system_id(run), lies, after, angle);
        match (view.of_drains(run), angle) {
            (true, _) => Stand::Turning(turned(lies)),
            (false, 45) => eighth,
            (false, _) => quarter,
        }
    };
    if has_path {
        changes(view, run, laid);
    }
    for at in said.into_iter().filter(|_| !has_path) {
        laid.put(view, run, at, turned(at, 90, Stand::EighthBend, Stand::Elbow));
    }
    for k in 1..=evenly_turns {
        let at = evenly(k, n);
        laid.put(view, run, at, turned(at, 90, Stand::EighthBend, Stand::Elbow));
    }
    for (k, (made, phase)) in (evenly_turns + 1..).zip(counted) {
        laid.put(view, run, evenly(k, n), Stand::Counted(made, phase));
    }
    if row.no_joint || !view.turns_are_elbows(run) {
        return;
    }
    let offsets = i64::from(row.offsets);
    for k in 1..=offsets {
        let at = evenly(k, offsets);
        let eighth = turned(at, 45, Stand::EighthBend, Stand::Elbow);
        if let Some(first) = laid.put(view, run, at, eighth.clone()) {
            let second = first.nanometres() + view.least_piece(run).nanometres();
            laid.put(view, run, Length::from_nanometres(second), eighth);
        }
    }
}

/// The changes of a path, and that at the beginning where it stands behind something, as they come along it (D1).
fn changes(view: &View<'_>, run: usize, laid: &mut Laid) {
    let Some(path) = &view.sheet(run).path else { return };
    let row = view.run(run);
    let cuts = view.turns_are_elbows(run) && !row.no_joint;
    let mut elbows = view.elbows(run);
    if let Some(angle) = view.change_at_beginning(run) {
        let is_elbow = if angle == 90 { elbows > 0 } else { cuts };
        elbows = elbows.saturating_sub(u32::from(angle == 90));
        if is_elbow && view.begins_behind_something(run) {
            let stand = if angle == 90 { Stand::Elbow } else { Stand::EighthBend };
            laid.put(view, run, view.least_piece(run), stand);
        }
    }
    for change in path.changes() {
        let is_turn = change.angle == 90;
        let stands = if is_turn { elbows > 0 } else { cuts };
        elbows = elbows.saturating_sub(u32::from(is_turn));
        if !stands {
            continue;
        }
        let stand = if view.of_drains(run) {
            let system = view.system_id(run);
            Stand::Turning(view.turning(row.service, system, change.before, change.after, change.angle))
        } else if is_turn {
            Stand::Elbow
        } else {
            Stand::EighthBend
        };
        laid.put(view, run, change.at, stand);
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
