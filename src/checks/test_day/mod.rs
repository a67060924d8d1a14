//! Test day: what is closed, filled and held for the test of each phase, of water and of drains (rules D12 and D18 of drains).
//! Its verb is [`test_day`].
//!
//! What is closed comes from the takeoff, where things are from the map, what a code family asks from the table
//! `pressure tests`. What is not known is said, and nothing is guessed: a height without a path, a tube without an inside
//! diameter, a rule without a row.

mod openings;
mod sections;
mod water;

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use crate::estimate::takeoff::{Line, Subject, Takeoff};
use crate::estimate::{Estimate, Item, ItemId, RunEnd, RunId, map};
use crate::ground::Length;
use crate::trade::{Attitude, Job, Phase, PressureTest, Service, Side, TestGauge, TestMethod, Word};
use openings::Closing;
use sections::{House, Standpoint};
use water::Standing;

/// Test day of a job.
#[derive(Debug, Clone)]
pub struct TestDay {
    /// The code family that the tests go by, as the job names it.
    pub family: Box<str>,
    /// Psi of a foot of water, and its temperature in degrees Fahrenheit.
    pub water: Option<(Decimal, Decimal)>,
    /// The tests of each alternative: drains and water of a phase, phase by phase.
    pub alternatives: Vec<Vec<Test>>,
}

/// The test of one side of the house when a phase is done.
#[derive(Debug, Clone)]
pub struct Test {
    /// Water or drains.
    pub side: Side,
    /// The phase that is done.
    pub phase: Phase,
    /// How the code family lets it be tested.
    pub ways: Vec<WayToTest>,
    /// The most psi that a gauge shows at a test with water: of water lines where they begin, of drains at their lowest point.
    pub shows: Option<Decimal>,
    /// The gauge that the code family asks for at that.
    pub gauge: Option<TestGauge>,
    /// What is tested by itself: piping that is open to each other.
    pub sections: Vec<Section>,
    /// What has to be closed, what is closed already, what stays open.
    pub openings: Vec<Opening>,
    /// Pressures to look for at the levels and at the feet of stacks.
    pub marks: Vec<Mark>,
    /// What the tube of this phase holds.
    pub laid: Filled,
    /// What all that is open to it holds, earlier phases too.
    pub filled: Filled,
    /// Runs that are in no test: nothing joins them to the main.
    pub apart: Vec<RunId>,
}

/// One way to test that a code family has a rule for.
#[derive(Debug, Clone)]
pub struct WayToTest {
    /// The rule.
    pub rule: PressureTest,
    /// The least pressure that it asks for in psi; nothing where it asks for none, or that of the job is not known.
    pub psi: Option<Decimal>,
    /// Tube families of the test that may not be tested so.
    pub never_in: Vec<Word>,
}

/// Piping that is open to each other.
#[derive(Debug, Clone)]
pub struct Section {
    /// The run that it begins with: at the sewer, at the main, or nowhere.
    pub root: RunId,
    /// Its runs.
    pub runs: Vec<RunId>,
    /// How high it is filled, or at what pressure it is held.
    pub top: Top,
    /// Its highest and its lowest point over the beginning of its root, as far as they are known.
    pub reaches: Option<(Length, Length)>,
    /// The psi at its lowest point.
    pub most_psi: Option<Decimal>,
    /// The psi at its highest point.
    pub least_psi: Option<Decimal>,
    /// Runs of it whose height is not known.
    pub unmeasured: Vec<RunId>,
}

/// Up to where a section stands under water. Heights are over the beginning of its root.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Top {
    /// It is filled up to an open end over the roof.
    Open {
        /// The run that ends there.
        run: RunId,
        /// How high.
        height: Length,
    },
    /// Every end is closed: it is filled through a pipe set for the test.
    Pipe {
        /// How far over the highest fitting.
        over: Length,
        /// How high in all.
        height: Length,
    },
    /// It is held at a pressure, read where it begins.
    Held {
        /// In psi.
        psi: Decimal,
    },
    /// Nobody knows it.
    NotKnown(Unknown),
}

/// Why a figure of a test is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unknown {
    /// No path says how high things are.
    Heights,
    /// No row of a table says what the code family asks.
    Rule,
    /// The job does not say the static pressure.
    StaticPressure,
}

/// What becomes of an opening at a test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shuts {
    /// A cap or plug of the takeoff that is put on for this test.
    Cap(ItemId),
    /// One that an earlier test left on.
    StillOn(ItemId),
    /// A plug that is a tool: no part of the takeoff.
    Tool,
    /// The plug in the end at the sewer, a tool.
    Sewer,
    /// Where the water comes in: the gauge and the filling hose or the pump.
    Main,
    /// It stays open, over the roof.
    StaysOpen,
}

/// An opening of what is tested.
#[derive(Debug, Clone)]
pub struct Opening {
    /// What becomes of it.
    pub shuts: Shuts,
    /// Its size.
    pub size: Word,
    /// Whose it is.
    pub subject: Subject,
    /// Which end of a run it is.
    pub end: Option<RunEnd>,
    /// The place at that end, by its name.
    pub place: Option<Box<str>>,
    /// The room or part of the house.
    pub area: Word,
    /// The floor of the house.
    pub level: Word,
    /// How many.
    pub count: i64,
    /// The phase before whose work it is taken off; nothing of what is no cap.
    pub off: Option<Phase>,
    /// How high it is over the beginning of its section's root.
    pub height: Option<Length>,
    /// The water over it.
    pub head: Option<Length>,
    /// The psi at it.
    pub psi: Option<Decimal>,
    /// The pounds that push on each.
    pub push: Option<Decimal>,
}

/// What a mark is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MarkOf {
    /// The lowest tube of a level.
    Level(Word),
    /// The foot of a stack, by its run.
    StackFoot(RunId),
}

/// A point at which the pressure is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Mark {
    /// What it is.
    pub of: MarkOf,
    /// How high it is over the beginning of its section's root.
    pub height: Length,
    /// The water over it, where the test is filled to a height.
    pub head: Option<Length>,
    /// The psi at it.
    pub psi: Option<Decimal>,
}

/// What tube holds.
#[derive(Debug, Clone, Default)]
pub struct Filled {
    /// Gallons of all whose inside diameter is known.
    pub gallons: Decimal,
    /// What they weigh in pounds.
    pub pounds: Option<Decimal>,
    /// Tube whose inside diameter no table says: it is not in the gallons.
    pub not_known: Vec<ItemId>,
}

/// Says what is closed, filled and held when each phase of a job is tested.
pub fn test_day(job: &Job, estimate: &Estimate) -> TestDay {
    let map = map(job);
    let house = House::of(job, estimate, &map);
    let water = job.catalog.water_at(job.settings.water_temperature);
    // A family that no table names has no rules.
    let (family, named) = (Some(job.code_family()).filter(|family| !family.is_empty()), job.family_called());
    let day = Day { job, estimate, house: &house, family, water: water.map(|row| Standing(row.psi_a_foot)) };
    let alternatives = estimate.alternatives.iter().map(|of| day.tests(&of.takeoff)).collect();
    TestDay { family: named.into(), water: water.map(|row| (row.psi_a_foot, row.temperature)), alternatives }
}

/// What the tests of all alternatives share.
struct Day<'a> {
    job: &'a Job,
    estimate: &'a Estimate,
    house: &'a House<'a>,
    family: Option<Word>,
    water: Option<Standing>,
}

impl Day<'_> {
    /// The tests of an alternative.
    fn tests(&self, takeoff: &Takeoff) -> Vec<Test> {
        let closing = Closing::of(self.job, &self.estimate.items, self.house, takeoff);
        let sides = [Side::Drain, Side::Water].map(|side| (side, self.tube(side, takeoff)));
        let mut all = Vec::new();
        for phase in Phase::ALL.into_iter().filter(|phase| *phase != Phase::Trim) {
            for (side, tube) in &sides {
                let lays_tube = tube.iter().any(|(_, line)| line.phase == phase);
                if lays_tube || self.house.has(*side, phase) || closing.has(*side, phase) {
                    all.push(self.test((*side, phase), tube, &closing));
                }
            }
        }
        all
    }

    /// The tube of a side that is under test.
    fn tube<'t>(&self, side: Side, takeoff: &'t Takeoff) -> Vec<(Item, &'t Line)> {
        let of_side = |item: &Item| {
            item.system.is_some_and(|system| self.job.catalog.system(system).side == side) && item.is_length()
        };
        let all = takeoff.lines.iter().map(|line| (*self.estimate.items.get(line.item), line));
        all.filter(|(item, line)| of_side(item) && self.house.is_tested(line.subject)).collect()
    }

    fn test(&self, (side, phase): (Side, Phase), tube: &[(Item, &Line)], closing: &Closing<'_>) -> Test {
        let tube: Vec<(Item, &Line)> = tube.iter().filter(|(_, line)| line.phase <= phase).copied().collect();
        let ways = self.ways((side, phase), &tube);
        let standpoints = self.house.sections((side, phase)).into_iter();
        let standpoints: Vec<Standpoint<'_>> =
            standpoints.map(|section| self.filled_up(section, side, &ways, &closing.set_on)).collect();
        let shows = standpoints.iter().filter_map(|of| match of.section.top {
            Top::Held { psi } => Some(psi),
            Top::Open { .. } | Top::Pipe { .. } | Top::NotKnown(_) => of.section.most_psi,
        });
        let shows = shows.max();
        let gauge = self.family.zip(shows);
        let gauge = gauge.and_then(|(family, psi)| self.job.catalog.test_gauge(family, psi));
        let openings = closing.openings((side, phase), &standpoints);
        let marks = standpoints.iter().flat_map(|of| self.marks(of, side)).collect();
        Test {
            side,
            phase,
            shows,
            gauge: gauge.cloned(),
            openings,
            marks,
            laid: self.fill(tube.iter().filter(|(_, line)| line.phase == phase)),
            filled: self.fill(tube.iter()),
            apart: self.house.apart((side, phase)),
            sections: standpoints.into_iter().map(|of| of.section).collect(),
            ways,
        }
    }

    /// The ways to test that the code family has a rule for.
    fn ways(&self, tested: (Side, Phase), tube: &[(Item, &Line)]) -> Vec<WayToTest> {
        let Some(family) = self.family else { return Vec::new() };
        let system = |item: &Item| item.system.map(|system| self.job.catalog.system(system).tube);
        let tubes: BTreeSet<Word> = tube.iter().filter_map(|(item, _)| system(item)).collect();
        let rules = TestMethod::ALL.into_iter();
        let rules = rules.filter_map(|method| self.job.catalog.pressure_test(family, tested, method));
        let way = |rule: &PressureTest| WayToTest {
            psi: match rule.is_working {
                true => self.job.settings.static_pressure.map(|psi| psi.max(rule.pressure.unwrap_or(psi))),
                false => rule.pressure,
            },
            never_in: tubes
                .iter()
                .filter(|tube| !rule.tubes.is_empty() && !rule.tubes.contains(tube))
                .copied()
                .collect(),
            rule: rule.clone(),
        };
        rules.map(way).collect()
    }

    /// A section with what stands over its points at a test with water.
    fn filled_up<'s>(
        &'s self,
        section: Section,
        side: Side,
        ways: &[WayToTest],
        set_on: &[Length],
    ) -> Standpoint<'s> {
        let by_water = ways.iter().find(|way| way.rule.method == TestMethod::Water);
        let top = match (side, by_water) {
            (Side::Water, None) => Top::NotKnown(Unknown::Rule),
            (Side::Water, Some(way)) => match way.psi {
                Some(psi) => Top::Held { psi },
                None if way.rule.is_working => Top::NotKnown(Unknown::StaticPressure),
                None => Top::NotKnown(Unknown::Rule),
            },
            (Side::Drain, way) => self.top_of_drains(&section, way, set_on),
        };
        let mut standpoint =
            Standpoint { section: Section { top, ..section }, house: self.house, water: self.water };
        if let Some((highest, lowest)) = standpoint.section.reaches {
            standpoint.section.most_psi = standpoint.psi(lowest);
            standpoint.section.least_psi = standpoint.psi(highest);
        }
        standpoint
    }

    /// The lowest of the open tops; where every end is closed, so far over the highest fitting as the rule asks.
    fn top_of_drains(&self, section: &Section, way: Option<&WayToTest>, set_on: &[Length]) -> Top {
        let over_roof: Vec<RunId> =
            section.runs.iter().copied().filter(|run| self.house.ends_over_roof(*run)).collect();
        let height = |run: &RunId| {
            let end = self.house.height(section.root, (*run, RunEnd::End))?;
            end.checked_add(*set_on.get(run.index())?)
        };
        if !over_roof.is_empty() {
            let tops: Option<Vec<(Length, RunId)>> =
                over_roof.iter().map(|run| Some((height(run)?, *run))).collect();
            let lowest = tops.and_then(|tops| tops.into_iter().min());
            return lowest.map_or(Top::NotKnown(Unknown::Heights), |(height, run)| Top::Open { run, height });
        }
        let Some(over) = way.and_then(|way| way.rule.head) else { return Top::NotKnown(Unknown::Rule) };
        let known = section.reaches.filter(|_| section.unmeasured.is_empty());
        let height = known.and_then(|(highest, _)| highest.checked_add(over));
        height.map_or(Top::NotKnown(Unknown::Heights), |height| Top::Pipe { over, height })
    }

    /// Gallons of some lines of tube.
    fn fill<'l>(&self, tube: impl Iterator<Item = &'l (Item, &'l Line)>) -> Filled {
        let mut filled = Filled::default();
        for (item, line) in tube {
            let inside = openings::inside(self.job, item);
            let held = inside.and_then(|inside| water::gallons(Length::from_nanometres(line.count), inside));
            match held.and_then(|held| filled.gallons.checked_add(held)) {
                Some(sum) => filled.gallons = sum,
                None if !filled.not_known.contains(&line.item) => filled.not_known.push(line.item),
                None => {}
            }
        }
        filled.not_known.sort_unstable();
        filled.pounds = self.water.and_then(|water| water.pounds(filled.gallons));
        filled
    }

    /// The lowest tube of each level and the foot of each stack, from the top down.
    fn marks(&self, of: &Standpoint<'_>, side: Side) -> Vec<Mark> {
        let mut lowest_of: BTreeMap<Word, Length> = BTreeMap::new();
        let mut marks = Vec::new();
        let mark = |of_what: MarkOf, height: Length| Mark {
            of: of_what,
            height,
            head: of.head(height),
            psi: of.psi(height),
        };
        for id in &of.section.runs {
            let run = &self.job.runs[id.index()];
            let Some((_, lowest)) = self.house.reach(of.section.root, *id) else { continue };
            let height = lowest_of.entry(run.level).or_insert(lowest);
            *height = lowest.min(*height);
            if side == Side::Drain && self.is_stack(*id) {
                let foot = self.house.height(of.section.root, (*id, RunEnd::Start));
                marks.extend(foot.map(|height| mark(MarkOf::StackFoot(*id), height)));
            }
        }
        let mut levels: Vec<(Word, Length)> = lowest_of.into_iter().collect();
        levels.sort_by_key(|(level, height)| (std::cmp::Reverse(*height), *level));
        marks.sort_by_key(|mark: &Mark| std::cmp::Reverse(mark.height));
        let levels = levels.into_iter().map(|(level, height)| mark(MarkOf::Level(level), height));
        levels.chain(marks).collect()
    }

    /// Whether a run is a stack: an upright drain out of a level one, or out of none, into which others empty.
    fn is_stack(&self, id: RunId) -> bool {
        let run = &self.job.runs[id.index()];
        let stands = run.service == Service::Drain && run.begins().attitude == Attitude::Upright;
        stands && self.house.out_of_level(id) && self.house.carries_drains(id)
    }
}
