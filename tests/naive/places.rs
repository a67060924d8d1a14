//! What stands at places, and which end of which run fills which port: rules 15 and 23 of counting.

use std::collections::BTreeMap;

use coilstick::ground::money::round_up;
use coilstick::trade::{Class, PatternRow, Per, Phase, PortName, Service, SystemId, Where, Word};
use rust_decimal::prelude::ToPrimitive;

use crate::build::Builder;
use crate::drains::is_drain_side;
use crate::made::{Made, Shape};
use crate::meetings::{Meets, RunEnd};
use crate::view::{View, begins_with};
use crate::world::{Excuse, FittingId, Loose, MouthId, Tag};

/// A part with ports that stands at a place.
#[derive(Debug, Clone)]
pub(crate) struct PlacePart {
    pub(crate) place: String,
    pub(crate) fitting: FittingId,
    pub(crate) tag: Tag,
    pub(crate) system: SystemId,
}

/// What a row puts at a place, before it stands there.
#[derive(Debug, Clone)]
pub(crate) struct Wanted {
    pub(crate) made: Made,
    /// How many; of parts with ports whole.
    pub(crate) quantity: rust_decimal::Decimal,
    pub(crate) tag: Tag,
    pub(crate) system: SystemId,
    /// The words of a row that names a manifold.
    pub(crate) word: Word,
}

/// What all rows put at all places, and what stands at no place.
#[derive(Debug, Default)]
pub(crate) struct AllWanted {
    pub(crate) at: BTreeMap<String, Vec<Wanted>>,
    pub(crate) nowhere: Vec<Wanted>,
    /// Parts that rows bring in two sizes: no row of them counts.
    in_two_sizes: Vec<(String, Option<coilstick::trade::PartId>)>,
    pub(crate) row_left_out: bool,
}

/// The runs that meet a place, by name, each with its end.
pub(crate) fn meeting(view: &View<'_>, place: &str) -> Vec<(usize, RunEnd)> {
    let mut found = Vec::new();
    for run in view.runs() {
        for end in [RunEnd::Start, RunEnd::End] {
            if *view.meetings.of(run, end) == Meets::Place(place.to_owned()) {
                found.push((run, end));
            }
        }
    }
    found
}

/// What stands at every place (rule 15).
pub(crate) fn wanted(view: &View<'_>) -> AllWanted {
    let mut all = AllWanted::default();
    for (name, place) in &view.meetings.places {
        let Some(row) = place.row.map(|row| &view.job.places[row]) else { continue };
        for pattern in &row.patterns {
            for rule in view.pattern_rows(*pattern, view.alternative.water) {
                if rule.per != Per::Place || !place_is_asked_for(view, rule, row) {
                    continue;
                }
                let phase = rule.phase.unwrap_or_default();
                let tag = Tag { phase, service: None, area: row.area, copies: 1, run: None };
                // A place has no size of its own: where the row writes none it is that of the first run that meets it.
                let first = meeting(view, name).first().map(|(run, end)| view.size_at(*run, *end));
                if first.is_none() && asks_for_a_size(view, rule) {
                    all.row_left_out = true;
                    continue;
                }
                want(view, &mut all, name, rule, first.unwrap_or_default(), view.alternative.water, tag);
            }
        }
    }
    // A part with ports of both sides is of the water side, where a run of it brings the part (D14).
    for of_both in [true, false] {
        for run in view.runs() {
            for rule in view.rows(run) {
                let first = !view.of_drains(run) && is_of_both_sides(view, rule);
                if rule.per == Per::Place && first == of_both {
                    want_of_run(view, &mut all, run, rule);
                }
            }
        }
    }
    all
}

/// Whether a port is named by services of the drain side alone.
pub(crate) fn is_port_of_drains(name: &PortName) -> bool {
    match name {
        PortName::Services(services) => services.iter().all(|service| is_drain_side(*service)),
        PortName::Unnamed | PortName::In => false,
    }
}

/// Whether the part of a row has named ports of the drain side and others.
fn is_of_both_sides(view: &View<'_>, rule: &PatternRow) -> bool {
    let Some((made, _)) = view.row_part(rule, Word::EMPTY, view.alternative.water) else { return false };
    let drains = made.openings.iter().filter(|one| is_port_of_drains(&one.name)).count();
    drains > 0 && drains < made.openings.len()
}

/// A part with ports of both sides: each port in the size and the system of the first run of its side that meets the
/// place; the whole in those of the water side, where that has a run there.
fn of_both_sides(view: &View<'_>, place: &str, wanted: &mut Wanted, rule: &PatternRow) {
    let meeting = meeting(view, place);
    let first = |of_drains: bool| {
        let found = meeting.iter().find(|(run, _)| view.of_drains(*run) == of_drains);
        found.map(|(run, end)| (*run, view.size_at(*run, *end), view.system_id(*run)))
    };
    let brought_by_drain = wanted.tag.service.is_some_and(is_drain_side);
    if let Some((run, size, system)) = first(false).filter(|_| brought_by_drain)
        && let Some((made, _)) = view.row_part(rule, size, system)
    {
        wanted.made = made;
        wanted.system = system;
        wanted.tag.service = Some(view.run(run).service);
    }
    if let Some((_, size, _)) = first(false).filter(|_| wanted.tag.service.is_none() && rule.sizes.is_empty())
    {
        let of_water = wanted.made.openings.iter_mut().filter(|one| !is_port_of_drains(&one.name));
        of_water.for_each(|opening| opening.size = size);
    }
    let Some((_, size, system)) = first(true) else { return };
    for opening in wanted.made.openings.iter_mut().filter(|one| is_port_of_drains(&one.name)) {
        opening.shape = match opening.shape {
            Shape::Socket(_) => Shape::Socket(system),
            Shape::TubeEnd(_) => Shape::TubeEnd(system),
            other => other,
        };
        if rule.sizes.len() < 2 {
            opening.size = size;
        }
    }
}

/// Whether a row's part takes its size from the run that meets it.
fn asks_for_a_size(view: &View<'_>, rule: &PatternRow) -> bool {
    let probe = Word::EMPTY;
    let made = view.row_part(rule, probe, view.alternative.water);
    made.is_some_and(|(made, _)| {
        made.openings.iter().any(|one| one.size == probe && one.shape != Shape::Closed)
    })
}

/// Whether a place has what a row's `only` asks for; it can be asked for its fixture, area and level.
fn place_is_asked_for(view: &View<'_>, rule: &PatternRow, place: &coilstick::trade::PlaceRow) -> bool {
    rule.only.iter().all(|(column, value)| match view.text(*column) {
        "fixture" => place.fixture == *value,
        "area" => place.area == *value,
        "level" => place.level == *value,
        // What only a run could say (its service) is taken as met.
        _ => true,
    })
}

fn want_of_run(view: &View<'_>, all: &mut AllWanted, run: usize, rule: &PatternRow) {
    let place_at = |end: RunEnd| match view.meetings.of(run, end) {
        Meets::Place(place) => Some(place.clone()),
        Meets::Nothing | Meets::Run { .. } => None,
    };
    let row = view.run(run);
    let tag = Tag {
        phase: rule.phase.unwrap_or(row.phase()),
        service: Some(row.service),
        area: row.area,
        copies: i64::from(row.copies()),
        run: Some(run),
    };
    let (to, joined) = (place_at(RunEnd::End), place_at(RunEnd::Start));
    let (place, end) = match (rule.stands, to, joined) {
        (Some(Where::Start), _, None) => {
            all.row_left_out = true;
            return;
        }
        (Some(Where::Start), _, Some(place)) => (Some(place), RunEnd::Start),
        (_, Some(place), _) => (Some(place), RunEnd::End),
        (_, None, Some(place)) => (Some(place), RunEnd::Start),
        (_, None, None) => (None, RunEnd::End),
    };
    let (size, system) = (view.size_at(run, end), view.system_id(run));
    match place {
        Some(place) if table_speaks_for(view, &place) => {}
        Some(place) => want(view, all, &place, rule, size, system, tag),
        None => {
            if let Some((made, quantity)) = view.row_part(rule, size, system) {
                all.nowhere.push(Wanted { made, quantity, tag, system, word: Word::EMPTY });
            }
        }
    }
}

/// Whether the table `places` gives a place a pattern.
fn table_speaks_for(view: &View<'_>, place: &str) -> bool {
    let row = view.meetings.places.get(place).and_then(|place| place.row);
    row.is_some_and(|row| !view.job.places[row].patterns.is_empty())
}

/// Puts a part at a place, once for each place and part.
fn want(
    view: &View<'_>,
    all: &mut AllWanted,
    place: &str,
    rule: &PatternRow,
    size: Word,
    system: SystemId,
    tag: Tag,
) {
    let word = match rule.adds {
        coilstick::trade::Adds::Part(word, _) => word,
        coilstick::trade::Adds::Tube(_) | coilstick::trade::Adds::Nothing => return,
    };
    let Some((made, quantity)) = view.row_part(rule, size, system) else { return };
    let mut wanted = Wanted { made, quantity, tag, system, word };
    if is_of_both_sides(view, rule) {
        of_both_sides(view, place, &mut wanted, rule);
    }
    let part = wanted.made.part;
    if all.in_two_sizes.iter().any(|(name, other)| name == place && *other == part) {
        return;
    }
    let there = all.at.entry(place.to_owned()).or_default();
    if let Some(same) = there.iter().find(|one| one.made.part == part && one.made.what == wanted.made.what) {
        let sizes = |made: &Made| made.openings.iter().map(|one| one.size).collect::<Vec<_>>();
        if sizes(&same.made) != sizes(&wanted.made) {
            // Rows of one part and different sizes at one place: neither can be counted on.
            there.retain(|one| one.made.part != part);
            all.in_two_sizes.push((place.to_owned(), part));
            all.row_left_out = true;
        }
        return;
    }
    there.push(wanted);
}

/// Which manifold serves a place, and the runs that find no port on the largest (rule 23).
pub(crate) fn manifold(view: &View<'_>, wanted: &Wanted, place: &str) -> (Made, Vec<usize>) {
    let ends = meeting(view, place);
    let runs_with =
        |which: RunEnd| ends.iter().filter(|(_, end)| *end == which).map(|(run, _)| *run).collect::<Vec<_>>();
    let (inlets, outlets) = (runs_with(RunEnd::End), runs_with(RunEnd::Start));
    let words = view.text(wanted.word);
    let mut candidates: Vec<Made> = (0_u32..)
        .zip(&view.job.catalog.parts)
        .filter(|(_, part)| part.class == Class::Manifold && begins_with(&part.name, words))
        .filter(|(_, part)| view.made_for(&part.systems, wanted.system))
        .map(|(id, _)| {
            let id = coilstick::trade::PartId(id);
            Made::of(view, id, &wanted.made.written, wanted.made.stands_in, wanted.system)
        })
        .collect();
    candidates.sort_by_key(|made| made.openings.len());
    let ports = |made: &Made, inlet: bool| {
        made.openings
            .iter()
            .filter(|one| one.shape != Shape::Closed && (one.name == PortName::In) == inlet)
            .count()
    };
    let serves = |made: &&Made| ports(made, true) >= inlets.len() && ports(made, false) >= outlets.len();
    match candidates.iter().find(serves) {
        Some(made) => (made.clone(), Vec::new()),
        None => {
            let largest = candidates.pop().unwrap_or_else(|| wanted.made.clone());
            let over =
                inlets.iter().skip(ports(&largest, true)).chain(outlets.iter().skip(ports(&largest, false)));
            let over = over.copied().collect();
            (largest, over)
        }
    }
}

/// Runs that find no port on the largest manifold.
pub(crate) fn too_many(view: &View<'_>) -> Vec<usize> {
    let mut over = Vec::new();
    for (place, there) in &wanted(view).at {
        for one in there.iter().filter(|one| view.class(one.made.part) == Class::Manifold) {
            over.extend(manifold(view, one, place).1);
        }
    }
    over
}

impl Builder<'_> {
    /// Stands every part at its place.
    pub(crate) fn stand_at_places(&mut self) {
        let AllWanted { at, nowhere, row_left_out, .. } = wanted(&self.view);
        self.row_left_out |= row_left_out;
        for (place, there) in at {
            for mut one in there {
                if self.view.class(one.made.part) == Class::Manifold {
                    one.made = manifold(&self.view, &one, &place).0;
                }
                for fitting in self.stand(&one) {
                    let (tag, system) = (one.tag, one.system);
                    self.place_parts.push(PlacePart { place: place.clone(), fitting, tag, system });
                }
            }
        }
        for one in nowhere {
            for fitting in self.stand(&one) {
                for mouth in self.world.free(fitting) {
                    self.world.excuse(mouth, Excuse::Declared);
                }
            }
        }
    }

    /// The fittings that a row puts at a place; parts without ports are counted loose.
    fn stand(&mut self, one: &Wanted) -> Vec<FittingId> {
        if one.made.part.is_some() && one.made.openings.is_empty() {
            let quantity = round_up(one.quantity);
            self.world.loose.push(Loose { made: one.made.clone(), quantity, tag: one.tag });
            return Vec::new();
        }
        let times = one.quantity.to_u64().unwrap_or(0);
        (0..times).map(|_| self.world.fitting(one.made.clone(), one.tag)).collect()
    }

    /// The port of a place that an end of a run fills, by service; one that mates comes before one that does not.
    pub(crate) fn choose_port(
        &self,
        place: &str,
        run: usize,
        end: RunEnd,
        faces: &[MouthId],
    ) -> Option<(MouthId, Phase)> {
        let service = self.view.run(run).service;
        let mut candidates: Vec<(bool, bool, MouthId, Phase)> = Vec::new();
        for part in self.place_parts.iter().filter(|part| part.place == place) {
            let fitting = &self.world.fittings[part.fitting.0];
            for (opening, mouth) in fitting.made.openings.iter().zip(&fitting.mouths) {
                let free = self.world.is_open(*mouth)
                    && !matches!(opening.shape, Shape::Closed | Shape::ClosedTubeEnd(_));
                if free && takes(&opening.name, self.view.class(fitting.made.part), service, end) {
                    let unnamed = opening.name == PortName::Unnamed;
                    let mates = faces.iter().any(|face| self.world.mates(*face, *mouth));
                    candidates.push((unnamed, !mates, *mouth, part.tag.phase));
                }
            }
        }
        // Ports that name the service before unnamed ones, ports that mate before others, else in the order written.
        candidates.sort_by_key(|(unnamed, bridged, _, _)| (*unnamed, *bridged));
        candidates.first().map(|(_, _, mouth, phase)| (*mouth, *phase))
    }

    /// Ports that the trade plugs, and spare ports of manifolds; other unfilled ports are a warning.
    pub(crate) fn plug_spare_ports(&mut self) {
        for part in self.place_parts.clone() {
            let manifold = self.view.class(self.world.fittings[part.fitting.0].made.part) == Class::Manifold;
            for (index, mouth) in self.world.fittings[part.fitting.0].mouths.clone().into_iter().enumerate() {
                let plugged = self.world.fittings[part.fitting.0].made.openings[index].plugged;
                if !self.world.is_open(mouth) || self.world.mouth(mouth).shape == Shape::Closed {
                    continue;
                }
                if manifold {
                    self.close_spare(mouth, &part);
                } else if plugged {
                    self.close(mouth, part.system, part.tag);
                } else {
                    self.world.excuse(mouth, Excuse::Unfilled);
                }
            }
        }
    }
}

/// Whether a port takes an end of a service.
fn takes(name: &PortName, class: Class, service: Service, end: RunEnd) -> bool {
    match name {
        PortName::Services(services) => services.contains(&service),
        PortName::In => end == RunEnd::End,
        PortName::Unnamed => class != Class::Manifold || end == RunEnd::Start,
    }
}

impl Builder<'_> {
    /// A spare port of a manifold is shut with the system's cap (rule 23): one cap, one joint.
    fn close_spare(&mut self, mouth: MouthId, part: &PlacePart) {
        let (shape, size) = (self.world.mouth(mouth).shape, self.world.mouth(mouth).size);
        let Shape::Socket(system) = shape else {
            self.close(mouth, part.system, part.tag);
            return;
        };
        let made =
            self.one_opening(coilstick::trade::UsedAs::Cap.word(), Shape::Socket(system), size, system);
        let fitting = self.world.fitting(made, part.tag);
        self.world.declare(system, size, part.tag);
        self.world.excuse(self.world.opening(fitting, 0), Excuse::Declared);
        self.world.excuse(mouth, Excuse::Declared);
    }
}
