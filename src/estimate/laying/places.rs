//! What stands at places: `per place` parts, manifolds among them (rules 15 and 23 of counting). Who fills their ports is
//! in `ports`.

use super::findings;
use rust_decimal::prelude::ToPrimitive;

use super::super::network::{End, Place, Start};
use super::super::takeoff::{Because, Missing, Subject};
use super::chain::{Offer, offers};
use super::rules::{Rule, manifolds, rules_of};
use super::sheet::{Owner, port_sizes};
use super::{Laying, owner_of};
use crate::estimate::{PlaceId, RunEnd, RunId};
use crate::ground::RowAt;
use crate::ground::money::round_up;
use crate::trade::Adds;
use crate::trade::PortName;
use crate::trade::{Class, Fit, PartId, PatternRow, Per, Port, Service, Side, SystemId, Where, Word};

/// A part that stands at a place.
#[derive(Debug, Clone)]
pub(super) struct PlacedPart {
    pub(super) part: PartId,
    pub(super) system: SystemId,
    pub(super) owner: Owner,
    pub(super) rule: RowAt,
    /// Who says that it stands there: a run's row or the place's.
    pub(super) row: RowAt,
    /// The sizes of its openings.
    pub(super) sizes: Vec<Word>,
    /// The size of the end it sits on.
    size: Word,
    pub(super) ports: Vec<PlacedPort>,
}

/// One of its openings that is not closed for good.
#[derive(Debug, Clone)]
pub(super) struct PlacedPort {
    pub(super) port: Port,
    pub(super) offer: Offer,
    pub(super) filled: bool,
}

/// More of one part than stand at any place of a house; a row above it is in error and left out alone.
const MOST_AT_A_PLACE: i64 = 1_000;

impl<'j> Laying<'j, '_> {
    /// Stands at each place what the table `places` or the runs say, once; and gathers the rules of every run.
    pub(super) fn place_parts(&mut self) {
        self.placed = vec![Vec::new(); self.network.places.len()];
        for index in 0..self.network.places.len() {
            let place = PlaceId(u32::try_from(index).unwrap_or(u32::MAX));
            self.place_by_row(place);
        }
        let network = self.network;
        for id in network.laid() {
            let ends_at = network.meets(id).end;
            let through_roof = matches!(ends_at, End::Place(place) if network.places[place.index()].is_roof);
            let has_rules = through_roof || !self.job.runs[id.index()].patterns.is_empty();
            if self.resolved_runs[id.index()].is_none() || !has_rules {
                continue;
            }
            let resolved = self.resolved(id);
            self.rules[id.index()] = rules_of(&mut self.sheet, id, &resolved, through_roof);
        }
        // What both sides bring to a place is of the water side (rule D14 of drains).
        for side in Side::ALL {
            for id in network.laid().filter(|id| self.job.runs[id.index()].service.side() == side) {
                let of_place = self.rules[id.index()].iter().filter(|rule| rule.row.per == Per::Place);
                for rule in of_place.copied().collect::<Vec<_>>() {
                    self.place_by_run(id, rule);
                }
            }
        }
        self.write_placed();
    }

    /// What the pattern of a row of `places` says stands there whether or not a run meets it.
    fn place_by_row(&mut self, id: PlaceId) {
        let place = &self.network.places[id.index()];
        let Some(number) = place.row else { return };
        let row = &self.job.places[number];
        let system = self.sheet.takeoff.system;
        for pattern in &row.patterns {
            let Some(pattern) = self.job.catalog.pattern_named(*pattern) else { continue };
            for rule in self.job.catalog.pattern(pattern).rows.iter().filter(|rule| rule.per == Per::Place) {
                if rule.in_error {
                    self.sheet.warn(findings::broken_rule(self.job, rule.row, row.row));
                    continue;
                }
                let meant = rule.only.iter().all(|(column, value)| {
                    let name = self.job.lexicon.text(*column);
                    let own = match name {
                        "fixture" => row.fixture,
                        "level" => row.level,
                        "area" => row.area,
                        // What only a run could say (its service) is taken as met: the place stands without one.
                        _ => *value,
                    };
                    own == *value
                });
                if !meant || !self.job.catalog.takes_in(&rule.systems, system) {
                    continue;
                }
                let owner = Owner {
                    subject: Subject::Place(u32::try_from(number).unwrap_or(u32::MAX)),
                    service: None,
                    phase: rule.phase.unwrap_or_default(),
                    area: row.area,
                    copies: 1,
                };
                let size = self.first_size_at(place);
                if size.is_none() && rule.sizes.is_empty() && self.asks_for_size(rule, system) {
                    if place.left_out.is_empty() {
                        let notice = findings::place_needs_size(self.job, rule.row, row.row);
                        self.sheet.leave_out_rule(owner.subject, notice, system);
                    } else {
                        self.sheet.miss_rule(owner.subject, system);
                    }
                    continue;
                }
                self.place(id, rule, system, size.unwrap_or(Word::EMPTY), owner, row.row);
            }
        }
    }

    fn asks_for_size(&self, rule: &PatternRow, system: SystemId) -> bool {
        let Adds::Part(word, _) = rule.adds else { return false };
        let part = self.job.catalog.part_called(word, rule.variant, system);
        part.is_some_and(|part| {
            self.job
                .catalog
                .part(part)
                .ports
                .iter()
                .any(|port| port.size.is_none() && port.fit != Fit::Closed)
        })
    }

    /// The size of the first run by name that meets a place.
    fn first_size_at(&self, place: &Place) -> Option<Word> {
        let starts = place.starts.iter().map(|id| (*id, RunEnd::Start));
        let ends = place.ends.iter().map(|id| (*id, RunEnd::End));
        let rank = |id: &RunId| self.rank[id.index()];
        let mut all: Vec<(RunId, RunEnd)> = starts.chain(ends).collect();
        all.sort_by_key(|(id, end)| (rank(id), *end));
        all.into_iter().find_map(|(id, end)| {
            let resolved = self.resolved_runs[id.index()]?;
            Some(if end == RunEnd::Start { resolved.size } else { resolved.end_size })
        })
    }

    /// Rule 15: a `per place` row counts once for each place and part, whichever runs bring it.
    fn place_by_run(&mut self, id: RunId, rule: Rule<'j>) {
        let (run, resolved, meets) = (&self.job.runs[id.index()], self.resolved(id), self.network.meets(id));
        let joined = match meets.start {
            Start::Place(place) => Some(place),
            Start::Alone | Start::Root | Start::Run(_) => None,
        };
        let ended = match meets.end {
            End::Place(place) => Some(place),
            End::Free | End::Run(_) => None,
        };
        let at_start = rule.row.stands == Some(Where::Start);
        if at_start && joined.is_none() {
            let notice = findings::start_without_place(self.job, run.row, rule.row.row);
            self.sheet.leave_out_rule(id, notice, resolved.system);
            return;
        }
        let (place, size) = match (at_start, ended, joined) {
            (false, Some(place), _) => (Some(place), resolved.end_size),
            (true, _, place) | (false, None, place) => (place, resolved.size),
        };
        let owner = owner_of(self.job, resolved, id).in_phase(rule.row.phase.unwrap_or(resolved.phase));
        match place {
            None => self.place_nowhere(&rule, resolved.system, resolved.end_size, owner),
            Some(place) => {
                let by_table = self.network.places[place.index()]
                    .row
                    .is_some_and(|i| !self.job.places[i].patterns.is_empty());
                if !by_table {
                    self.place(place, rule.row, resolved.system, size, owner, run.row);
                }
            }
        }
    }

    /// A run that touches no place: once for each copy, its ports declared met.
    fn place_nowhere(&mut self, rule: &Rule<'_>, system: SystemId, size: Word, owner: Owner) {
        let (Some(part), Adds::Part(_, n)) = (rule.part, &rule.row.adds) else { return };
        let catalog_part = self.job.catalog.part(part);
        if !catalog_part.is_site() {
            let sizes = port_sizes(catalog_part, &rule.row.sizes, size);
            let because = Because::Rule(rule.row.row);
            let n = round_up(*n).to_i64().unwrap_or(i64::MAX);
            if n > MOST_AT_A_PLACE {
                let run = rule.row.row;
                self.sheet.leave_out_rule(owner.subject, findings::too_many(self.job, run), system);
                return;
            }
            self.sheet.part(owner, part, system, &sizes, n, because);
            let supports = n * i64::from(catalog_part.supports);
            self.sheet.supports(owner, system, size, supports, Because::PartSupport);
        }
    }

    #[allow(clippy::too_many_arguments)]
    fn place(
        &mut self,
        place: PlaceId,
        rule: &PatternRow,
        system: SystemId,
        size: Word,
        owner: Owner,
        row: RowAt,
    ) {
        let Adds::Part(word, n) = rule.adds else { return };
        let named = self.job.catalog.part_called(word, rule.variant, system);
        let part = match named.filter(|part| self.job.catalog.part(*part).class != Class::Manifold) {
            Some(part) => part,
            None => match self.manifold(place, word, system, rule, owner.subject) {
                Some(part) => part,
                None => return,
            },
        };
        let catalog_part = self.job.catalog.part(part);
        let open: Vec<&Port> = catalog_part.ports.iter().filter(|port| port.fit != Fit::Closed).collect();
        let size = match only_side(&open) {
            Some(side) if owner.service.is_none() => {
                self.first_at(place, side).map_or(size, |first| first.size)
            }
            Some(_) | None => size,
        };
        let mut sizes = port_sizes(catalog_part, &rule.sizes, size);
        let mut offers = offers(&self.sheet, &catalog_part.ports, &sizes, system);
        let mut owner = owner;
        let (mut listed, mut listed_in) = (sizes.clone(), system);
        if has_both_sides(&open) {
            let by_drain = owner.service.is_some_and(|service| service.side() == Side::Drain);
            let water = self.first_at(place, Side::Water).filter(|_| by_drain || owner.service.is_none());
            let drain = self.first_at(place, Side::Drain);
            for (at, port) in open.iter().enumerate() {
                // One size written is that of the water side.
                let (first, written) = if port.side() == Some(Side::Drain) { (drain, 1) } else { (water, 0) };
                let Some(first) = first else { continue };
                if rule.sizes.len() <= written && port.size.is_none() {
                    sizes[at] = first.size;
                }
                if let Fit::Joint(None) = port.fit {
                    let is_own = port.side() == Some(Side::Water) && !by_drain;
                    offers[at] = Offer::Socket(if is_own { system } else { first.system }, sizes[at]);
                }
            }
            // A job without water there lists it as of the drain.
            let side = if by_drain && water.is_none() { Side::Drain } else { Side::Water };
            let of_side = open.iter().zip(&sizes).filter(|(port, _)| port.side() == Some(side));
            listed = of_side.map(|(_, size)| *size).collect();
            if let Some(first) = water.filter(|_| by_drain) {
                (owner.service, listed_in) = (Some(first.service), first.system);
            }
        }
        // What no run meets sits on no end: its supports are of its first opening for tube.
        let first =
            open.iter().zip(&sizes).find(|(port, _)| matches!(port.fit, Fit::Joint(_) | Fit::TubeEnd(_)));
        let size = if size.is_empty() { first.map_or(size, |(_, first)| *first) } else { size };
        let ports: Vec<PlacedPort> = open
            .into_iter()
            .zip(&offers)
            .map(|(port, offer)| PlacedPort { port: port.clone(), offer: *offer, filled: false })
            .collect();
        if let Some(there) = self.placed[place.index()].iter().find(|there| there.part == part) {
            let same = there.ports.iter().map(|p| p.offer_size()).eq(ports.iter().map(|p| p.offer_size()));
            if !same {
                let (name, part_name) = (&*self.network.places[place.index()].name, &*catalog_part.name);
                let notice = findings::different_sizes(self.job, row, there.row, name, part_name);
                self.sheet.leave_out_rule(owner.subject, notice, system);
                self.in_two_sizes.push((place, part));
            }
            return;
        }
        let n = round_up(n).to_i64().unwrap_or(i64::MAX);
        if n > MOST_AT_A_PLACE {
            self.sheet.leave_out_rule(owner.subject, findings::too_many(self.job, rule.row), system);
            return;
        }
        for _ in 0..n {
            let (ports, sizes) = (ports.clone(), listed.clone());
            self.placed[place.index()].push(PlacedPart {
                part,
                system: listed_in,
                owner,
                rule: rule.row,
                row,
                sizes,
                size,
                ports,
            });
        }
    }

    /// The first run of a side by name that meets a place.
    fn first_at(&self, place: PlaceId, side: Side) -> Option<FirstAt> {
        let place = &self.network.places[place.index()];
        let starts = place.starts.iter().map(|id| (*id, RunEnd::Start));
        let all = starts.chain(place.ends.iter().map(|id| (*id, RunEnd::End)));
        let of_side = all.filter(|(id, _)| self.job.runs[id.index()].service.side() == side);
        let (id, end) = of_side.min_by_key(|(id, end)| (self.rank[id.index()], *end))?;
        let resolved = self.resolved_runs[id.index()]?;
        let size = if end == RunEnd::Start { resolved.size } else { resolved.end_size };
        Some(FirstAt { service: self.job.runs[id.index()].service, system: resolved.system, size })
    }

    /// Writes down what stands at places, once it is known which parts two rows bring in two sizes: those are left out.
    fn write_placed(&mut self) {
        for (index, placed) in self.placed.iter_mut().enumerate() {
            let out = &self.in_two_sizes;
            placed.retain(|stand| {
                !out.iter().any(|(place, part)| place.index() == index && *part == stand.part)
            });
            for stand in placed {
                let part = self.job.catalog.part(stand.part);
                if !part.is_site() {
                    let because = Because::Rule(stand.rule);
                    self.sheet.part(stand.owner, stand.part, stand.system, &stand.sizes, 1, because);
                    let supports = i64::from(part.supports);
                    self.sheet.supports(
                        stand.owner,
                        stand.system,
                        stand.size,
                        supports,
                        Because::PartSupport,
                    );
                }
            }
        }
    }

    /// Rule 23: the smallest manifold that serves; where none does, the largest, and the last runs by name are errors.
    fn manifold(
        &mut self,
        id: PlaceId,
        word: Word,
        system: SystemId,
        rule: &PatternRow,
        subject: Subject,
    ) -> Option<PartId> {
        let network = self.network;
        let place = &network.places[id.index()];
        let made = manifolds(&self.job.catalog, &self.job.lexicon, word, system);
        let (inlets, outlets) = self.by_side(place);
        let openings = |part: &PartId, inlet: bool| {
            let ports = &self.job.catalog.part(*part).ports;
            ports
                .iter()
                .filter(|port| (port.name == PortName::In) == inlet && port.fit != Fit::Closed)
                .count()
        };
        let serves =
            |part: &&PartId| openings(part, true) >= inlets.len() && openings(part, false) >= outlets.len();
        if let Some(part) = made.iter().find(serves) {
            return Some(*part);
        }
        let Some(part) = made.last() else {
            // What a run asks for was missed with its rules.
            if let Subject::Place(number) = subject {
                let what = self.job.lexicon.text(word).to_owned();
                let (place, rule) = (self.job.places[number as usize].row, rule.row);
                let name = self.job.lexicon.text(self.job.catalog.system(system).name);
                self.sheet.warn(findings::unknown_part(self.job, place, rule, &what, name));
                self.sheet.takeoff.missing.push(Missing { subject, what, system });
            }
            return None;
        };
        for (runs, inlet) in [(&inlets, true), (&outlets, false)] {
            let (openings, many) = (openings(part, inlet), runs.len());
            let finding = if inlet { findings::manifold_fed_twice } else { findings::manifold_too_small };
            for run in runs.iter().skip(openings) {
                let row = self.job.runs[run.index()].row;
                self.sheet.bar(*run, finding(self.job, row, rule.row, &place.name, many, openings));
            }
        }
        Some(*part)
    }

    /// The runs at a manifold's inlets and at its outlets, by name: water comes in by ends and leaves by beginnings.
    fn by_side(&self, place: &Place) -> (Vec<RunId>, Vec<RunId>) {
        let (mut inlets, mut outlets) = (place.ends.clone(), place.starts.clone());
        for list in [&mut inlets, &mut outlets] {
            list.sort_by_key(|id| self.rank[id.index()]);
        }
        (inlets, outlets)
    }
}

/// What the first run of a side brings to a place.
#[derive(Debug, Clone, Copy)]
struct FirstAt {
    service: Service,
    system: SystemId,
    size: Word,
}

/// Whether some openings are of the water side and some of the drain side.
fn has_both_sides(open: &[&Port]) -> bool {
    Side::ALL.into_iter().all(|side| open.iter().any(|port| port.side() == Some(side)))
}

/// The side that all openings are of, where they are of one.
fn only_side(open: &[&Port]) -> Option<Side> {
    let side = open.first()?.side()?;
    open.iter().all(|port| port.side() == Some(side)).then_some(side)
}

impl PlacedPort {
    fn offer_size(&self) -> Word {
        match self.offer {
            Offer::Socket(_, size)
            | Offer::Male(_, size)
            | Offer::Nut(size)
            | Offer::Thread(_, size)
            | Offer::Shut(_, size) => size,
        }
    }
}
