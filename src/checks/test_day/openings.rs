//! What has to be closed for a test: the caps and plugs that the takeoff counts, those that an earlier test left on, and what
//! the takeoff leaves: ends at the sewer, at the main and over the roof, ends that a later run meets.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use super::sections::{House, Standpoint};
use super::water::push;
use super::{Opening, Shuts};
use crate::estimate::map::{Begins, Ends};
use crate::estimate::takeoff::{Because, EndLine, EndMet, Line, Subject, Takeoff};
use crate::estimate::{Item, Items, RunEnd, RunId};
use crate::ground::{Length, RowAt};
use crate::trade::{Class, Fit, Job, Per, Phase, Side, Word};

/// A cap or plug that the takeoff puts on for a test.
struct Cap<'t> {
    line: &'t Line,
    item: Item,
    side: Side,
    end: Option<RunEnd>,
    /// The phase before whose work it is taken off.
    off: Phase,
}

/// What closes the openings of an alternative, test after test.
pub(super) struct Closing<'a> {
    job: &'a Job,
    house: &'a House<'a>,
    caps: Vec<Cap<'a>>,
    /// For each run the tube that patterns set on one such run, as over a roof.
    pub(super) set_on: Vec<Length>,
    /// Ends that a tool closes, with the phase before whose work it is taken out.
    plugged: Vec<(&'a EndLine, Phase)>,
    /// Ends that are met on site or elsewhere.
    met: Vec<&'a EndLine>,
    /// The inside diameters of the tube of each run, by size.
    inside: BTreeMap<(RunId, Word), Option<Length>>,
}

impl<'a> Closing<'a> {
    pub(super) fn of(job: &'a Job, items: &Items, house: &'a House<'a>, takeoff: &'a Takeoff) -> Self {
        let later = later_parts(job, takeoff);
        // An end is opened by the run that meets it, by a part that a pattern sets on it, or when the fixture is set.
        let off = |(run, end): (RunId, RunEnd), after: Phase| {
            let parts = later.get(&run).into_iter().flatten();
            let parts = parts.filter(|(phase, per)| *phase > after && end.takes(*per));
            let parts = parts.map(|(phase, _)| *phase).min();
            let met = house.met_after((run, end), after);
            parts.into_iter().chain(met).min().unwrap_or(Phase::Trim)
        };
        let mut capped: BTreeMap<(RunId, Phase), Vec<RunEnd>> = BTreeMap::new();
        for end in takeoff.ends.iter().filter(|end| end.met == EndMet::Capped) {
            capped.entry((end.run, end.phase)).or_default().push(end.end);
        }
        let mut caps = Vec::new();
        let mut inside = BTreeMap::new();
        for line in &takeoff.lines {
            let item = *items.get(line.item);
            let of_system = item.system.map(|system| job.catalog.system(system).side);
            let side = line.service.map(|service| service.side()).or(of_system).unwrap_or(Side::Water);
            if let (Subject::Run(run), true, [size]) = (line.subject, item.is_length(), item.sizes.as_slice())
            {
                inside.entry((run, *size)).or_insert_with(|| self::inside(job, &item));
            }
            if item.class != Class::Cap || !matches!(line.because, Because::TestCap | Because::OpenEnd) {
                continue;
            }
            let end = match line.subject {
                Subject::Run(run) => {
                    let ends = capped.get_mut(&(run, line.phase)).filter(|ends| !ends.is_empty());
                    let is_free = |end: RunEnd| {
                        house
                            .meeting((run, end))
                            .iter()
                            .all(|other| job.runs[other.index()].phase() > line.phase)
                    };
                    // A socket has no line of its own among the ends.
                    let free = || if is_free(RunEnd::End) { RunEnd::End } else { RunEnd::Start };
                    Some(ends.map_or_else(free, |ends| ends.remove(0)))
                }
                Subject::Place(_) => None,
            };
            let off = match (line.subject, end) {
                (Subject::Run(run), Some(end)) => off((run, end), line.phase),
                (Subject::Run(_) | Subject::Place(_), _) => Phase::Trim,
            };
            caps.push(Cap { line, item, side, end, off });
        }
        let plugged = takeoff.ends.iter().filter(|end| end.met == EndMet::Plugged);
        Self {
            job,
            house,
            caps,
            set_on: tube_set_on(job, items, takeoff),
            plugged: plugged.map(|end| (end, off((end.run, end.end), end.phase))).collect(),
            met: takeoff
                .ends
                .iter()
                .filter(|end| matches!(end.met, EndMet::OnSite | EndMet::Elsewhere))
                .collect(),
            inside,
        }
    }

    /// Whether caps of a side are put on for the test of a phase.
    pub(super) fn has(&self, side: Side, phase: Phase) -> bool {
        self.caps.iter().any(|cap| cap.side == side && cap.line.phase == phase)
    }

    /// The openings at a test.
    pub(super) fn openings(&self, (side, phase): (Side, Phase), of: &[Standpoint<'_>]) -> Vec<Opening> {
        let mut list = Listing {
            closing: self,
            standpoints: of,
            section_of: vec![None; self.job.runs.len()],
            seen: BTreeSet::new(),
            openings: Vec::new(),
        };
        for (at, standpoint) in of.iter().enumerate() {
            standpoint.section.runs.iter().for_each(|run| list.section_of[run.index()] = Some(at));
        }
        for cap in self.caps.iter().filter(|cap| cap.side == side && cap.line.phase == phase) {
            list.cap(cap, Shuts::Cap(cap.line.item));
        }
        let stands = |since: Phase, off: Phase| since < phase && off > phase;
        for cap in self.caps.iter().filter(|cap| cap.side == side && stands(cap.line.phase, cap.off)) {
            list.cap(cap, Shuts::StillOn(cap.line.item));
        }
        for (end, off) in &self.plugged {
            if end.service.side() == side && (end.phase == phase || stands(end.phase, *off)) {
                list.end((end.run, end.end), Shuts::Tool, (end.size, end.copies));
            }
        }
        list.left_by_the_takeoff(side, phase);
        list.openings
    }

    /// The name of the place at an end of a run.
    fn place(&self, (run, end): (RunId, RunEnd)) -> Option<Box<str>> {
        let of = self.house.map().run(run);
        let place = match (end, of.begins, of.ends) {
            (RunEnd::Start, Begins::Place(place), _) | (RunEnd::End, _, Ends::Place(place)) => place,
            (RunEnd::Start | RunEnd::End, ..) => return None,
        };
        Some(self.house.map().place(place).name.clone())
    }
}

/// The openings of one test while they are listed.
struct Listing<'l, 'a> {
    closing: &'l Closing<'a>,
    standpoints: &'l [Standpoint<'l>],
    /// For each run: its section.
    section_of: Vec<Option<usize>>,
    /// The ends that are listed.
    seen: BTreeSet<(RunId, RunEnd)>,
    openings: Vec<Opening>,
}

impl Listing<'_, '_> {
    fn cap(&mut self, cap: &Cap<'_>, shuts: Shuts) {
        let job = self.closing.job;
        let size = cap.item.sizes.as_slice().first().copied().unwrap_or_default();
        let opening = match (cap.line.subject, cap.end) {
            (Subject::Run(run), Some(end)) => {
                self.seen.insert((run, end));
                let (joined, sizes) = (job.catalog.part(cap.item.part).ports.iter(), (run, size));
                // A thread is no tube: no table says how wide it is.
                let is_thread = joined.clone().any(|port| matches!(port.fit, Fit::Thread(_)));
                let inside = self.closing.inside.get(&sizes).copied().flatten().filter(|_| !is_thread);
                self.at_end((run, end), shuts, size, inside)
            }
            (subject, _) => {
                let place =
                    if let Subject::Place(place) = subject { job.places.get(place as usize) } else { None };
                Opening {
                    place: place.map(|place| (&*place.name).into()),
                    level: place.map(|place| place.level).unwrap_or_default(),
                    ..Opening::bare(shuts, size, subject, cap.line.area)
                }
            }
        };
        self.openings.push(Opening { count: cap.line.count, off: Some(cap.off), ..opening });
    }

    /// An end of tube that no cap of the takeoff closes, once.
    fn end(&mut self, (run, end): (RunId, RunEnd), shuts: Shuts, (size, copies): (Word, u32)) {
        if self.seen.insert((run, end)) {
            let inside = self.closing.inside.get(&(run, size)).copied().flatten();
            let opening = self.at_end((run, end), shuts, size, inside);
            self.openings.push(Opening { count: copies.into(), ..opening });
        }
    }

    /// An opening at an end of a run, with what stands over it.
    fn at_end(
        &self,
        (run, end): (RunId, RunEnd),
        shuts: Shuts,
        size: Word,
        inside: Option<Length>,
    ) -> Opening {
        let of = &self.closing.job.runs[run.index()];
        let standpoint = self.section_of[run.index()].and_then(|at| self.standpoints.get(at));
        let height = standpoint.and_then(|at| at.house.height(at.section.root, (run, end)));
        let set_on = self.closing.set_on.get(run.index()).filter(|_| shuts == Shuts::StaysOpen);
        let height = height.and_then(|height| height.checked_add(set_on.copied().unwrap_or_default()));
        let over = standpoint.zip(height).filter(|_| shuts != Shuts::StaysOpen);
        let psi = over.and_then(|(at, height)| at.psi(height));
        Opening {
            end: Some(end),
            place: self.closing.place((run, end)),
            level: of.level,
            height,
            head: over.and_then(|(at, height)| at.head(height)),
            psi,
            push: psi.zip(inside).and_then(|(psi, inside)| push(psi, inside)),
            ..Opening::bare(shuts, size, Subject::Run(run), of.area)
        }
    }

    /// What the takeoff does not close: where the water comes in and goes out, the open air, ends that wait for a run.
    fn left_by_the_takeoff(&mut self, side: Side, phase: Phase) {
        let (job, house) = (self.closing.job, self.closing.house);
        let runs = |run: &RunId| self.section_of[run.index()].is_some();
        let runs: Vec<RunId> = house.laid().iter().copied().filter(runs).collect();
        for id in runs {
            let (run, of) = (&job.runs[id.index()], house.map().run(id));
            let end_size = run.reduce_to.filter(|_| run.tail.is_some()).unwrap_or(run.size);
            let always = |end| matches!(end, Some(place) if house.map().place(place).always);
            let begins = if let Begins::Place(place) = of.begins { Some(place) } else { None };
            let ends = if let Ends::Place(place) = of.ends { Some(place) } else { None };
            let come_in = if side == Side::Water { Shuts::Main } else { Shuts::Sewer };
            if always(begins) {
                self.end((id, RunEnd::Start), come_in, (run.size, run.copies()));
            }
            if always(ends) {
                let shuts = if house.ends_over_roof(id) { Shuts::StaysOpen } else { come_in };
                self.end((id, RunEnd::End), shuts, (end_size, run.copies()));
            }
            for (end, size) in [(RunEnd::Start, run.size), (RunEnd::End, end_size)] {
                let meeting = house.meeting((id, end));
                let waits = meeting.iter().all(|other| job.runs[other.index()].phase() > phase);
                if !meeting.is_empty() && waits {
                    self.end((id, end), Shuts::Tool, (size, run.copies()));
                }
            }
        }
        for end in &self.closing.met {
            if end.service.side() == side && end.phase <= phase && self.section_of[end.run.index()].is_some()
            {
                self.end((end.run, end.end), Shuts::Tool, (end.size, end.copies));
            }
        }
    }
}

impl Opening {
    /// One of which nothing more is known.
    fn bare(shuts: Shuts, size: Word, subject: Subject, area: Word) -> Self {
        Self {
            shuts,
            size,
            subject,
            area,
            end: None,
            place: None,
            level: Word::EMPTY,
            count: 1,
            off: None,
            height: None,
            head: None,
            psi: None,
            push: None,
        }
    }
}

/// For each run the tube that patterns set on one such run.
fn tube_set_on(job: &Job, items: &Items, takeoff: &Takeoff) -> Vec<Length> {
    let mut set_on = vec![0_i64; job.runs.len()];
    for line in &takeoff.lines {
        if let (Subject::Run(run), Because::Rule(_)) = (line.subject, line.because)
            && items.get(line.item).is_length()
        {
            set_on[run.index()] = set_on[run.index()].saturating_add(line.count);
        }
    }
    let copies = job.runs.iter().map(|run| i64::from(run.copies().max(1)));
    set_on.into_iter().zip(copies).map(|(all, copies)| Length::from_nanometres(all / copies)).collect()
}

/// For each run the phases in which patterns set parts on its ends, and on which ends.
fn later_parts(job: &Job, takeoff: &Takeoff) -> HashMap<RunId, Vec<(Phase, Per)>> {
    let rows = job.catalog.patterns.iter().flat_map(|pattern| &pattern.rows);
    let at_ends = rows.filter(|row| RunEnd::Start.takes(row.per) || RunEnd::End.takes(row.per));
    let at_ends: HashMap<RowAt, Per> = at_ends.map(|row| (row.row, row.per)).collect();
    let mut later: HashMap<RunId, Vec<(Phase, Per)>> = HashMap::new();
    for line in &takeoff.lines {
        if let (Subject::Run(run), Because::Rule(row)) = (line.subject, line.because)
            && let Some(per) = at_ends.get(&row)
        {
            later.entry(run).or_default().push((line.phase, *per));
        }
    }
    later
}

/// The inside diameter of the tube of an item; nothing where no table says it.
pub(super) fn inside(job: &Job, item: &Item) -> Option<Length> {
    let (system, [size]) = (item.system?, item.sizes.as_slice()) else { return None };
    job.catalog.inside(job.catalog.system(system).tube, *size, item.variant)
}
