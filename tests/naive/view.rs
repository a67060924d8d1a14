//! One alternative of one job as the naive counter looks at it: which runs are in it, of what tube, who meets whom, and
//! which part a word or a use means. Lookups only; every other module of this test asks it.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

use coilstick::ground::Length;
use coilstick::trade::Job;
use coilstick::trade::{
    Adds, Class, Fit, PartId, PatternRow, Per, Phase, Run, Service, System, SystemId, TurnsAs, Word,
};

use crate::made::{Made, Shape};
use crate::meetings::{Meetings, Meets, RunEnd, Spot};
use crate::sheets::{Sheet, Sheets};

/// What tube is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Stuff {
    pub(crate) system: SystemId,
    pub(crate) variant: Word,
    pub(crate) color: &'static str,
    pub(crate) size: Word,
}

/// A run where it ties into another one: with its beginning, or (a return) with its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Child {
    pub(crate) run: usize,
    pub(crate) with: RunEnd,
    pub(crate) size: Word,
}

/// The systems of an alternative: of water, and of drains where the job names one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Alternative {
    pub(crate) water: SystemId,
    pub(crate) drain: Option<SystemId>,
}

/// The system of a run in an alternative: its own, else the alternative's of its side.
pub(crate) fn system_of(job: &Job, run: &Run, alternative: Alternative) -> Option<SystemId> {
    let named = |word: Word| {
        (0_u32..)
            .zip(&job.catalog.systems)
            .find(|(_, system)| system.name == word)
            .map(|(id, _)| SystemId(id))
    };
    if !run.system.is_empty() {
        return named(run.system);
    }
    let usual = match run.service {
        Service::Cold | Service::Hot | Service::Mixed | Service::Return => Some(alternative.water),
        Service::Drain | Service::Vent => alternative.drain,
    };
    // A row of a pattern may lay its runs in another system than they would have.
    for name in &run.patterns {
        let pattern = job.catalog.pattern_named(*name).map(|id| job.catalog.pattern(id));
        for row in pattern.map_or(&[][..], |pattern| &pattern.rows) {
            let Some(word) = row.laid_in else { continue };
            let called = usual.map(|id| &job.catalog.systems[id.0 as usize]);
            let instead = row.systems.is_empty()
                || called.is_some_and(|one| {
                    [one.name, one.tube, one.fit].iter().any(|of| row.systems.contains(of))
                });
            if instead && !row.in_error && row.is_for(run, &job.lexicon) {
                return named(word);
            }
        }
    }
    usual
}

/// One alternative of one job.
#[derive(Clone, Copy)]
pub(crate) struct View<'a> {
    pub(crate) job: &'a Job,
    pub(crate) sheets: &'a Sheets,
    pub(crate) meetings: &'a Meetings,
    pub(crate) out: &'a BTreeSet<usize>,
    pub(crate) alternative: Alternative,
}

impl<'a> View<'a> {
    pub(crate) fn run(&self, run: usize) -> &'a Run {
        &self.job.runs[run]
    }

    pub(crate) fn sheet(&self, run: usize) -> &'a Sheet {
        self.sheets.runs.get(run).unwrap_or(&self.sheets.nothing_said)
    }

    /// Whether a row says that its parent is the branch of its tee (rule 3).
    pub(crate) fn is_bull(&self, run: usize) -> bool {
        self.run(run).tee == Some(coilstick::trade::Meeting::Bull)
    }

    pub(crate) fn text(&self, word: Word) -> &'a str {
        self.job.lexicon.text(word)
    }

    /// The runs that are counted, in the order of their names.
    pub(crate) fn runs(&self) -> Vec<usize> {
        self.meetings.by_name.iter().copied().filter(|run| !self.out.contains(run)).collect()
    }

    pub(crate) fn system_id(&self, run: usize) -> SystemId {
        system_of(self.job, self.run(run), self.alternative).expect("a run without a system is left out")
    }

    pub(crate) fn system(&self, id: SystemId) -> &'a System {
        &self.job.catalog.systems[id.0 as usize]
    }

    pub(crate) fn system_named(&self, word: Word) -> Option<SystemId> {
        (0_u32..)
            .zip(&self.job.catalog.systems)
            .find(|(_, system)| system.name == word)
            .map(|(id, _)| SystemId(id))
    }

    /// The system that an opening's word means on a run of a system: its own where the word fits it, else the first.
    pub(crate) fn system_meant(&self, word: Word, own: SystemId) -> Option<SystemId> {
        let all = (0_u32..).zip(&self.job.catalog.systems).map(|(id, _)| SystemId(id));
        let goes_by = |id: &SystemId| self.made_for(&[word], *id);
        std::iter::once(own).chain(self.system_named(word)).chain(all).find(goes_by)
    }

    /// Whether the tube of a run sits in the fittings of another system.
    pub(crate) fn sits_in(&self, run: usize, fittings: SystemId) -> bool {
        crate::made::Kin::of(self.job).are(self.system_id(run), fittings)
    }

    pub(crate) fn least_piece(&self, run: usize) -> Length {
        self.system(self.system_id(run)).least_piece
    }

    /// The size in which a run ends: its tail's, where it has one (rule 6).
    pub(crate) fn end_size(&self, run: usize) -> Word {
        let row = self.run(run);
        match (row.tail, row.reduce_to) {
            (Some(_), Some(smaller)) => smaller,
            (Some(_) | None, Some(_) | None) => row.size,
        }
    }

    pub(crate) fn size_at(&self, run: usize, end: RunEnd) -> Word {
        match end {
            RunEnd::Start => self.run(run).size,
            RunEnd::End => self.end_size(run),
        }
    }

    /// The tube of a run in one of its sizes.
    pub(crate) fn stuff(&self, run: usize, size: Word) -> Stuff {
        let system = self.system_id(run);
        let row = self.run(run);
        let variant = if self.is_made_in(system, row) { row.variant } else { self.system(system).variant };
        self.stuff_of(system, variant, size, row.service)
    }

    /// Whether a run's variant is one of its tube: type M is none of plastic. One that no table knows is taken at its word,
    /// as is one of a run that names its system.
    fn is_made_in(&self, system: SystemId, row: &Run) -> bool {
        let tubes: BTreeSet<Word> = self
            .job
            .catalog
            .sizes
            .iter()
            .filter(|size| size.variant == row.variant)
            .map(|size| size.tube)
            .collect();
        let own = self.system(system);
        !row.variant.is_empty()
            && (!row.system.is_empty()
                || tubes.is_empty()
                || tubes.contains(&own.tube)
                || row.variant == own.variant)
    }

    /// Tube of a system, in the color of what flows (rule 20).
    pub(crate) fn stuff_of(&self, system: SystemId, variant: Word, size: Word, service: Service) -> Stuff {
        let colored = self.job.settings.colors && self.system(system).colors;
        let color = match service {
            Service::Hot | Service::Mixed | Service::Return if colored => "red",
            Service::Cold if colored => "blue",
            Service::Hot
            | Service::Mixed
            | Service::Return
            | Service::Cold
            | Service::Drain
            | Service::Vent => "",
        };
        Stuff { system, variant, color, size }
    }

    /// Which of two sizes is larger, by the orders of the table `sizes`.
    pub(crate) fn larger(&self, a: Word, b: Word) -> Ordering {
        let order =
            |size: Word| self.job.catalog.sizes.iter().find(|row| row.size == size).map(|row| row.order);
        if a == b { Ordering::Equal } else { order(a).cmp(&order(b)) }
    }

    /// Everything that ties into a run: beginnings of runs that join it, ends of returns that go to it.
    fn children(&self, parent: usize) -> Vec<(Spot, Child)> {
        let mut found = Vec::new();
        for run in self.runs() {
            for with in [RunEnd::Start, RunEnd::End] {
                if let Meets::Run { parent: met, spot } = self.meetings.of(run, with)
                    && *met == parent
                {
                    found.push((*spot, Child { run, with, size: self.size_at(run, with) }));
                }
            }
        }
        // The largest first, then by name: they were found by name, and the sort keeps that.
        found.sort_by(|(_, a), (_, b)| self.larger(b.size, a.size));
        found
    }

    pub(crate) fn children_inside(&self, parent: usize) -> BTreeMap<Length, Vec<Child>> {
        let mut inside: BTreeMap<Length, Vec<Child>> = BTreeMap::new();
        for (spot, child) in self.children(parent) {
            if let Spot::Inside(at) = spot {
                inside.entry(at).or_default().push(child);
            }
        }
        inside
    }

    pub(crate) fn children_at_end(&self, parent: usize) -> Vec<Child> {
        let at_end = |(spot, child): (Spot, Child)| (spot == Spot::End).then_some(child);
        self.children(parent).into_iter().filter_map(at_end).collect()
    }

    pub(crate) fn is_joined(&self, run: usize) -> bool {
        !self.children(run).is_empty()
    }

    /// Joins nothing, is joined by nothing, ends at no place (rule 1).
    pub(crate) fn stands_alone(&self, run: usize) -> bool {
        *self.meetings.of(run, RunEnd::Start) == Meets::Nothing
            && *self.meetings.of(run, RunEnd::End) == Meets::Nothing
            && !self.is_joined(run)
    }

    /// The rows of a run's patterns that are for it, in the order written.
    pub(crate) fn rows(&self, run: usize) -> Vec<&'a PatternRow> {
        let mut rows = Vec::new();
        let patterns = &self.run(run).patterns;
        // A run to the roof is built so unasked, once (D13).
        let roof = self.job.lexicon.find("vent through roof").filter(|name| {
            *self.meetings.of(run, RunEnd::End) == Meets::Place("roof".to_owned()) && !patterns.contains(name)
        });
        for name in patterns.iter().copied().chain(roof) {
            rows.extend(self.pattern_rows(name, self.system_id(run)));
        }
        rows.retain(|row| row.is_for(self.run(run), &self.job.lexicon));
        rows
    }

    /// The sound rows of a pattern that are for a system.
    pub(crate) fn pattern_rows(&self, name: Word, system: SystemId) -> Vec<&'a PatternRow> {
        let pattern = self.job.catalog.pattern_named(name).map(|id| self.job.catalog.pattern(id));
        let rows = pattern.map_or(&[][..], |pattern| &pattern.rows);
        rows.iter().filter(|row| !row.in_error && self.made_for(&row.systems, system)).collect()
    }

    /// Whether a list of systems, tube families and fits (empty: all) takes in a system.
    pub(crate) fn made_for(&self, words: &[Word], system: SystemId) -> bool {
        let system = self.system(system);
        let called = [system.name, system.tube, system.fit];
        words.is_empty() || called.iter().any(|one| !self.text(*one).is_empty() && words.contains(one))
    }

    /// The part that a pattern row, a joint or a support asks for by its words: by a name of the part, else by its use.
    pub(crate) fn part(&self, word: Word, variant: Word, system: SystemId) -> Option<PartId> {
        let known = (0_u32..).zip(&self.job.catalog.parts).map(|(id, part)| (PartId(id), part));
        let goes_by = |part: &coilstick::trade::Part| part.word == word || part.also.contains(&word);
        let used_for = |part: &coilstick::trade::Part| self.is_used_as(part, self.text(word));
        let named = known.clone().any(|(_, part)| goes_by(part));
        known
            .filter(|(_, part)| if named { goes_by(part) } else { used_for(part) })
            .filter(|(_, part)| variant.is_empty() || part.variant == variant)
            .filter(|(_, part)| self.made_for(&part.systems, system))
            // A name before another name of some other part.
            .min_by_key(|(_, part)| part.word != word)
            .map(|(id, _)| id)
    }

    /// The parts used as something in a system: those that name the system first, then those for all.
    pub(crate) fn used_as(&self, used: &str, system: SystemId) -> Vec<PartId> {
        let mut found = Vec::new();
        for named in [true, false] {
            for (id, part) in (0_u32..).zip(&self.job.catalog.parts) {
                if self.is_used_as(part, used)
                    && part.systems.is_empty() != named
                    && self.made_for(&part.systems, system)
                {
                    found.push(PartId(id));
                }
            }
        }
        found
    }

    /// Whether a part is used as something.
    pub(crate) fn is_used_as(&self, part: &coilstick::trade::Part, used: &str) -> bool {
        let read_here = self.sheets.uses.get(&coilstick::ground::name::fold(&part.name));
        part.used_as.iter().any(|one| one.word() == used)
            || read_here.is_some_and(|uses| uses.iter().any(|one| one == used))
    }

    /// A part of the network all of whose openings are joints of the system, in the sizes given.
    pub(crate) fn network_part(&self, used: &str, sizes: &[Word], system: SystemId) -> Made {
        self.fitting(used, sizes, system, false)
    }

    /// A part of the network in the sizes given: by what it is used as, else by its name. All its openings are joints of
    /// the system, or the first is a spigot.
    pub(crate) fn fitting(&self, used: &str, sizes: &[Word], system: SystemId, spigot: bool) -> Made {
        let plain = |id: &PartId| {
            let ports = &self.job.catalog.parts[id.0 as usize].ports;
            let fits = |(index, fit): (usize, Fit)| match fit {
                Fit::Joint(None) => index > 0 || !spigot,
                Fit::TubeEnd(None) => index == 0 && spigot,
                _ => false,
            };
            ports.len() == sizes.len() && ports.iter().map(|port| port.fit).enumerate().all(fits)
        };
        let named = || {
            let parts = (0_u32..).zip(&self.job.catalog.parts);
            let called = parts.filter(|(_, part)| coilstick::ground::name::fold(&part.name) == used);
            called.filter(|(_, part)| self.made_for(&part.systems, system)).map(|(id, _)| PartId(id))
        };
        match self.used_as(used, system).into_iter().find(plain).or_else(|| named().find(plain)) {
            Some(part) => Made::of(self, part, sizes, sizes[0], system),
            None => {
                let mut made = Made::missing(self, used, sizes, system);
                if spigot {
                    made.openings[0].shape = Shape::TubeEnd(system);
                }
                made
            }
        }
    }

    /// How many turns of a run take an elbow (rule 9, and rule 11 for runs without a joint).
    pub(crate) fn elbows(&self, run: usize) -> u32 {
        let row = self.run(run);
        if row.no_joint || !self.turns_are_elbows(run) { row.turns_with_elbow } else { self.turns(run) }
    }

    pub(crate) fn bends(&self, run: usize) -> u32 {
        self.turns(run) - self.elbows(run)
    }

    /// The turns of a run, with that at its beginning where it goes on in another bearing (D1).
    pub(crate) fn turns(&self, run: usize) -> u32 {
        self.run(run).turns.unwrap_or(0) + u32::from(self.change_at_beginning(run) == Some(90))
    }

    /// Whether turns of the run's tube are elbows, by its system or by what the job says of plastic.
    pub(crate) fn turns_are_elbows(&self, run: usize) -> bool {
        match self.system(self.system_id(run)).turns {
            TurnsAs::Elbow => true,
            TurnsAs::Bend => self.job.settings.turns_in_plastic == TurnsAs::Elbow,
        }
    }

    /// How often a row's quantity counts on a run, for rows that do not stand at an end or a place.
    pub(crate) fn times(&self, row: &PatternRow, run: usize) -> rust_decimal::Decimal {
        use rust_decimal::Decimal;
        match row.per {
            Per::Run => Decimal::ONE,
            Per::Turn => Decimal::from(self.turns(run)),
            Per::Bend => Decimal::from(self.bends(run)),
            Per::Elbow => Decimal::from(self.elbows(run)),
            Per::Tap => Decimal::from(self.children_inside(run).values().flatten().count()),
            Per::Length => match row.every {
                Some(every) => Decimal::from(begun(self.run(run).length, every)),
                None => Decimal::ZERO,
            },
            Per::Column(column) => self.run(run).counted(column),
            Per::Start | Per::End | Per::Both | Per::Place => Decimal::ZERO,
        }
    }

    /// The part a row adds, made for where it stands, and how many; nothing for tube.
    pub(crate) fn row_part(
        &self,
        row: &PatternRow,
        size: Word,
        system: SystemId,
    ) -> Option<(Made, rust_decimal::Decimal)> {
        match &row.adds {
            Adds::Part(word, quantity) => {
                let made =
                    match self.part(*word, row.variant, system).or_else(|| self.manifold(*word, system)) {
                        Some(part) => Made::of(self, part, &row.sizes, size, system),
                        None => Made::unknown(self, *word, size, system),
                    };
                Some((made, *quantity))
            }
            Adds::Tube(_) | Adds::Nothing => None,
        }
    }

    /// The smallest manifold that begins with a row's words; which one serves is settled where it stands (rule 23).
    fn manifold(&self, word: Word, system: SystemId) -> Option<PartId> {
        (0_u32..)
            .zip(&self.job.catalog.parts)
            .filter(|(_, part)| part.class == Class::Manifold && begins_with(&part.name, self.text(word)))
            .filter(|(_, part)| self.made_for(&part.systems, system))
            .min_by_key(|(_, part)| part.ports.len())
            .map(|(id, _)| PartId(id))
    }

    /// The class of a part; what no table has counts as a fitting.
    pub(crate) fn class(&self, part: Option<PartId>) -> Class {
        part.map_or(Class::Fitting, |id| self.job.catalog.parts[id.0 as usize].class)
    }

    /// When an end of a run is capped unasked: with its run, no earlier than rough-in (rule 16).
    pub(crate) fn cap_phase(&self, run: usize) -> Phase {
        self.run(run).phase().max(Phase::RoughIn)
    }
}

/// Whether a name begins with the words of another, whole ones.
pub(crate) fn begins_with(name: &str, words: &str) -> bool {
    let (name, words) = (name.to_lowercase(), words.to_lowercase());
    let mut of_name = name.split_whitespace();
    words.split_whitespace().all(|word| of_name.next() == Some(word))
}

/// How many of a length another one has begun.
pub(crate) fn begun(length: Length, each: Length) -> i64 {
    let (length, each) = (length.nanometres(), each.nanometres());
    length / each + i64::from(length % each != 0)
}
