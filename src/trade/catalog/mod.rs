//! The catalog of one job: parts, systems, sizes, joints, supports, fixtures and patterns, the user's rows over the
//! built-in ones.

use rustc_hash::{FxHashMap, FxHashSet};

use super::lexicon::{Lexicon, Word};
use super::run::Run;
use crate::ground::name::fold;

pub(super) mod code_rules;
pub(super) mod drains;
pub(super) mod fits;
mod merge;
pub(super) mod part;
pub(super) mod pattern;
pub(super) mod port;
pub(super) mod published;
pub(super) mod system;
pub(super) mod take_out;
pub(super) mod test_day;

use code_rules::CodeRule;
use drains::{DrainUnits, MeetingRow, TurningRow};
use part::{Class, Part, PartId, UsedAs};
use pattern::{Pattern, PatternId};
use published::{Consumption, Fixture, SupportRule, TubeSize};
use system::{System, SystemId};
use take_out::TakeOut;
use test_day::{PressureTest, TestGauge, Water};

/// All tables of what exists, merged and indexed. Lists are in table order (built-in first); ids are indices.
#[derive(Debug, Clone, Default)]
pub struct Catalog {
    /// Parts.
    pub parts: Vec<Part>,
    /// Systems.
    pub systems: Vec<System>,
    /// Sizes of tube.
    pub sizes: Vec<TubeSize>,
    /// What joints consume.
    pub joints: Vec<Consumption>,
    /// Supports.
    pub supports: Vec<SupportRule>,
    /// Fixtures.
    pub fixtures: Vec<Fixture>,
    /// The fittings of drains where runs meet.
    pub meetings: Vec<MeetingRow>,
    /// The fittings of drains where they turn.
    pub turnings: Vec<TurningRow>,
    /// What fixtures send into the drains.
    pub drain_units: Vec<DrainUnits>,
    /// What code families ask of tests.
    pub pressure_tests: Vec<PressureTest>,
    /// How finely gauges are marked.
    pub test_gauges: Vec<TestGauge>,
    /// What water weighs.
    pub water: Vec<Water>,
    /// What codes ask.
    pub code_rules: Vec<CodeRule>,
    /// How far tube stops from the centers of fittings.
    pub take_outs: Vec<TakeOut>,
    /// Patterns.
    pub patterns: Vec<Pattern>,
    /// All joints that any table names.
    pub(super) joint_names: Vec<Word>,
    system_by_name: FxHashMap<Word, SystemId>,
    pattern_by_name: FxHashMap<Word, PatternId>,
    /// Parts by any word they go by: name, other names.
    parts_by_word: FxHashMap<Word, Vec<PartId>>,
    /// Parts by the word for what the count takes them for.
    parts_by_use: FxHashMap<Word, Vec<PartId>>,
    known_sizes: FxHashSet<Word>,
    /// The parts that are manifolds.
    manifolds: Vec<PartId>,
    /// The sizes of tube, and its variants.
    tube_sizes: FxHashSet<Word>,
    tube_variants: FxHashSet<Word>,
    /// What systems go by, and tubes.
    known_systems: FxHashSet<Word>,
    order_by_size: FxHashMap<(Word, Word), u32>,
}

impl Catalog {
    /// The system of a name.
    pub fn system_named(&self, name: Word) -> Option<SystemId> {
        self.system_by_name.get(&name).copied()
    }

    /// A system.
    pub fn system(&self, id: SystemId) -> &System {
        &self.systems[id.0 as usize]
    }

    /// A part.
    pub fn part(&self, id: PartId) -> &Part {
        &self.parts[id.0 as usize]
    }

    /// The pattern of a name.
    pub fn pattern_named(&self, name: Word) -> Option<PatternId> {
        self.pattern_by_name.get(&name).copied()
    }

    /// A pattern.
    pub fn pattern(&self, id: PatternId) -> &Pattern {
        &self.patterns[id.0 as usize]
    }

    /// The system that a run's patterns lay it in, instead of the one that it would have (none: drains of a job that
    /// names no drain system); the first row that speaks of both decides. A run's own system is not asked here.
    pub fn laid_in(&self, run: &Run, instead_of: Option<SystemId>, lexicon: &Lexicon) -> Option<SystemId> {
        let patterns = run.patterns.iter().filter_map(|name| self.pattern_named(*name));
        let mut rows = patterns.flat_map(|pattern| &self.pattern(pattern).rows);
        rows.find_map(|row| {
            let system = row.laid_in.filter(|_| !row.in_error)?;
            let meant = match instead_of {
                Some(instead_of) => self.takes_in(&row.systems, instead_of),
                None => row.systems.is_empty(),
            };
            (meant && row.is_for(run, lexicon)).then(|| self.system_named(system))?
        })
    }

    /// The place of a size among the sizes of a tube (larger is larger); nothing where the tube has no such size.
    pub fn order(&self, tube: Word, size: Word) -> Option<u32> {
        self.order_by_size.get(&(tube, size)).copied()
    }

    /// All parts that go by a word, or, where none does, that the count takes for it ("transition").
    pub fn parts_called_or_used(&self, word: Word) -> &[PartId] {
        match self.parts_by_word.get(&word) {
            Some(list) => list,
            None => self.parts_by_use.get(&word).map_or(&[], |list| list),
        }
    }

    /// Whether a word names tube.
    pub fn is_tube(&self, word: Word) -> bool {
        self.parts_called_or_used(word).iter().any(|id| self.part(*id).class == Class::Tube)
    }

    /// Whether any tube, or any opening of a part, has a size.
    pub fn knows_size(&self, size: Word) -> bool {
        self.known_sizes.contains(&size)
    }

    /// Whether a word names a system, a tube family or a fit.
    pub fn knows_system_or_tube(&self, word: Word) -> bool {
        self.known_systems.contains(&word)
    }

    /// Whether any tube has a size.
    pub(super) fn is_tube_size(&self, size: Word) -> bool {
        self.tube_sizes.contains(&size)
    }

    /// Whether any tube has a variant.
    pub(super) fn is_tube_variant(&self, variant: Word) -> bool {
        self.tube_variants.contains(&variant)
    }

    /// All names that parts go by.
    pub fn part_names<'a>(&'a self, lexicon: &'a Lexicon) -> impl Iterator<Item = &'a str> {
        lexicon
            .near(self.parts.iter().flat_map(|part| std::iter::once(&part.word).chain(&*part.also)).copied())
    }

    /// The names of all systems, their tubes and their fits.
    pub fn system_names<'a>(&'a self, lexicon: &'a Lexicon) -> impl Iterator<Item = &'a str> {
        lexicon.near(self.system_words().filter(|word| !word.is_empty()))
    }

    /// The words that systems go by: their names, their tubes and their fits.
    pub(super) fn system_words(&self) -> impl Iterator<Item = Word> {
        self.systems.iter().flat_map(|system| [system.name, system.tube, system.fit])
    }

    /// All sizes.
    pub fn size_names<'a>(&'a self, lexicon: &'a Lexicon) -> impl Iterator<Item = &'a str> {
        lexicon.near(self.sizes.iter().map(|size| size.size))
    }

    /// All parts that go by a word.
    pub fn parts_called(&self, word: Word) -> &[PartId] {
        self.parts_by_word.get(&word).map_or(&[], |list| list)
    }

    /// The manifolds whose names begin with words, whole ones (a header of 1 is none of 12), fewest ports first: a row of
    /// a pattern names all of them, and the runs that meet the place decide which one serves.
    pub fn manifolds(&self, words: Word, lexicon: &Lexicon) -> Vec<PartId> {
        let words = fold(lexicon.text(words));
        let begins = |name: &str| {
            name.strip_prefix(words.as_str()).is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
        };
        let all = self.manifolds.iter().copied();
        let mut found: Vec<PartId> = all.filter(|id| begins(&fold(&self.part(*id).name))).collect();
        found.sort_by_key(|id| self.part(*id).ports.len());
        found
    }

    /// The parts that the engine may take for a use in a system, those made for it by name before those made for all.
    pub fn parts_used_as(&self, used_as: UsedAs, system: SystemId) -> impl Iterator<Item = PartId> {
        let fits = move |named: bool| {
            (0_u32..).zip(&self.parts).filter_map(move |(id, part)| {
                (part.used_as.contains(&used_as)
                    && part.systems.is_empty() != named
                    && self.takes_in(&part.systems, system))
                .then_some(PartId(id))
            })
        };
        fits(true).chain(fits(false))
    }

    /// Brings the indices up to date after tables were added.
    pub(crate) fn index(&mut self, lexicon: &mut Lexicon) {
        self.parts_by_use.clear();
        for (id, part) in (0_u32..).zip(&self.parts) {
            for used in &part.used_as {
                let word = lexicon.word(used.word());
                self.parts_by_use.entry(word).or_default().push(PartId(id));
            }
        }
        let own = self.parts.iter().flat_map(|part| part.ports.iter().filter_map(|port| port.size));
        let parts = (0_u32..).zip(&self.parts);
        let manifolds = parts.filter(|(_, part)| part.class == Class::Manifold);
        self.manifolds = manifolds.map(|(id, _)| PartId(id)).collect();
        self.tube_sizes = self.sizes.iter().map(|size| size.size).collect();
        let tube = self.parts.iter().filter(|part| part.class == Class::Tube);
        self.tube_variants = tube.map(|part| part.variant).collect();
        let tubes = self.sizes.iter().map(|size| size.tube);
        let may_be_added = fits::MAY_BE_ADDED.map(|fit| lexicon.word(fit));
        self.known_systems = self.system_words().chain(tubes).chain(may_be_added).collect();
        self.known_sizes = self.sizes.iter().map(|size| size.size).chain(own).collect();
        self.system_by_name = (0_u32..).zip(&self.systems).map(|(i, s)| (s.name, SystemId(i))).collect();
        self.parts_by_word.clear();
        // A part's own name goes before what others are also called: a user's part takes no built-in one's place by chance.
        let all = || (0_u32..).zip(&self.parts).map(|(i, part)| (PartId(i), part));
        let names = all().map(|(id, part)| (id, part.word));
        let others = all().flat_map(|(id, part)| part.also.iter().map(move |word| (id, *word)));
        for (id, word) in names.chain(others) {
            let list = self.parts_by_word.entry(word).or_default();
            if !list.contains(&id) {
                list.push(id);
            }
        }
        let mut sorted: Vec<&TubeSize> = self.sizes.iter().collect();
        sorted.sort_by_key(|size| size.order);
        self.order_by_size = (0_u32..).zip(sorted).map(|(i, s)| ((s.tube, s.size), i)).collect();
    }
}
