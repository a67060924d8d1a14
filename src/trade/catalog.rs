//! The catalog of one job: parts, systems, sizes, joints, supports, fixtures and patterns, the user's rows over the
//! built-in ones.

use std::collections::HashMap;

use super::lexicon::Word;
use super::part::{Part, PartId, UsedAs};
use super::pattern::{Pattern, PatternId};
use super::place::Fixture;
use super::system::{Consumption, SupportRule, System, SystemId, TubeSize};

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
    /// Patterns.
    pub patterns: Vec<Pattern>,
    pub(super) system_by_name: HashMap<Word, SystemId>,
    pub(super) pattern_by_name: HashMap<Word, PatternId>,
    /// Parts by any word they go by: name, other names.
    pub(super) parts_by_word: HashMap<Word, Vec<PartId>>,
    pub(super) order_by_size: HashMap<(Word, Word), u32>,
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

    /// The place of a size among the sizes of a tube (larger is larger); nothing where the tube has no such size.
    pub fn order(&self, tube: Word, size: Word) -> Option<u32> {
        self.order_by_size.get(&(tube, size)).copied()
    }

    /// Whether words of a row (systems or tube families; none: all) take in a system.
    pub fn takes_in(&self, words: &[Word], system: SystemId) -> bool {
        let system = self.system(system);
        words.is_empty() || words.contains(&system.name) || words.contains(&system.tube)
    }

    /// The part that goes by a word in a system: the variant asked for, or the first that is made for the system.
    pub fn part_called(&self, word: Word, variant: Word, system: SystemId) -> Option<PartId> {
        let made = |id: &&PartId| {
            let part = self.part(**id);
            self.takes_in(&part.systems, system) && (variant.is_empty() || part.variant == variant)
        };
        self.parts_by_word.get(&word)?.iter().find(made).copied()
    }

    /// All parts that go by a word.
    pub fn parts_called(&self, word: Word) -> &[PartId] {
        self.parts_by_word.get(&word).map_or(&[], |list| list)
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
    pub(crate) fn index(&mut self) {
        self.system_by_name = (0_u32..).zip(&self.systems).map(|(i, s)| (s.name, SystemId(i))).collect();
        self.parts_by_word.clear();
        for (i, part) in (0_u32..).zip(&self.parts) {
            for word in std::iter::once(&part.word).chain(&*part.also) {
                let list = self.parts_by_word.entry(*word).or_default();
                if !list.contains(&PartId(i)) {
                    list.push(PartId(i));
                }
            }
        }
        let mut sorted: Vec<&TubeSize> = self.sizes.iter().collect();
        sorted.sort_by_key(|size| size.order);
        self.order_by_size = (0_u32..).zip(sorted).map(|(i, s)| ((s.tube, s.size), i)).collect();
    }
}
