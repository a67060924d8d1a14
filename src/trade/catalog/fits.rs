//! What fits a tube: the one rule for rows that say which system (or tube family, or fit), variant and color they are
//! for, and whose fittings a tube sits in. What a row leaves empty is any. The takeoff, joints, supports, prices, stock,
//! substitutes and unit prices all ask here; what a thing costs or how it is counted is not known.

use super::Catalog;
use super::part::{PartId, UsedAs};
use super::port::Fit;
use super::system::SystemId;
use crate::trade::lexicon::Word;

/// Fits that parts of the program's own are made for and that no system of its own has: a user may add one by tables alone
/// (hub and spigot pipe, caulked with lead and oakum).
pub(super) const MAY_BE_ADDED: [&str; 1] = ["bell"];

/// What a row of any table says that it is for; what is empty is any.
#[derive(Debug, Clone, Copy, Default)]
pub struct MeantFor<'a> {
    /// Systems, tube families or fits.
    pub systems: &'a [Word],
    /// A variant: type L.
    pub variant: Word,
    /// A color of tube.
    pub color: Word,
}

/// A thing that a row may be meant for; of what is empty the thing is any.
#[derive(Debug, Clone, Copy)]
pub struct Thing {
    /// Its system, where what is bought depends on it.
    pub system: Option<SystemId>,
    /// Its variant.
    pub variant: Word,
    /// Its color.
    pub color: Word,
}

impl Catalog {
    /// Whether a row is meant for a thing.
    pub fn fits(&self, row: &MeantFor<'_>, thing: &Thing) -> bool {
        let any_or_same = |said: Word, is: Word| said.is_empty() || is.is_empty() || said == is;
        any_or_same(row.variant, thing.variant)
            && any_or_same(row.color, thing.color)
            && thing
                .system
                .is_none_or(|system| self.takes_in(row.systems, system) && self.tells_apart(row, system))
    }

    /// A row that names no system may say by its variant or color what it is for: type L is none of plastic, and red is
    /// none of tube that no color is sold of.
    fn tells_apart(&self, row: &MeantFor<'_>, system: SystemId) -> bool {
        if !row.systems.is_empty() {
            return true;
        }
        let of = self.system(system);
        let mut tubes =
            self.sizes.iter().filter(|size| size.variant == row.variant).map(|size| size.tube).peekable();
        let is_of_tube = row.variant.is_empty()
            || row.variant == of.variant
            || tubes.peek().is_none()
            || tubes.any(|tube| tube == of.tube);
        let is_colored = row.color.is_empty() || of.colors;
        is_of_tube && is_colored
    }

    /// Whether words of a row (systems, tube families or fits; none: all) take in a system.
    pub fn takes_in(&self, words: &[Word], system: SystemId) -> bool {
        let system = self.system(system);
        let names = |word: &Word| {
            *word == system.name || *word == system.tube || *word == system.fit && !word.is_empty()
        };
        words.is_empty() || words.iter().any(names)
    }

    /// Whether the tube of each of two systems sits in the fittings of the other: one tube family, and one fit (a clamp or
    /// a crimp ring on one barb) or one variant of the systems' own (type L in a cup and in a press socket).
    pub fn shares_fittings(&self, one: SystemId, other: SystemId) -> bool {
        let (a, b) = (self.system(one), self.system(other));
        one == other || a.tube == b.tube && (a.fit == b.fit && !a.fit.is_empty() || a.variant == b.variant)
    }

    /// Whose joint tube of one system makes in a fitting of another that it sits in: that of the tube where the fit is
    /// one, else that of the fitting.
    pub fn joint_of(&self, tube: SystemId, fitting: SystemId) -> SystemId {
        if self.system(tube).fit == self.system(fitting).fit { tube } else { fitting }
    }

    /// The system that an opening's word (a system, a tube family or a fit) means on a run of a system: the run's own
    /// where the word takes it in, else the first in the table; nothing where no system goes by the word.
    pub fn system_meant(&self, word: Word, own: SystemId) -> Option<SystemId> {
        if self.takes_in(&[word], own) {
            return Some(own);
        }
        self.system_named(word).or_else(|| self.systems_of(&[word]).next())
    }

    /// The systems that words take in, in the order of the table.
    pub fn systems_of<'a>(&'a self, words: &'a [Word]) -> impl Iterator<Item = SystemId> + 'a {
        let all = (0_u32..).zip(&self.systems).map(|(id, _)| SystemId(id));
        all.filter(move |id| self.takes_in(words, *id))
    }

    /// The part that goes by a word in a system: the variant asked for, or the first that is made for the system.
    pub fn part_called(&self, word: Word, variant: Word, system: SystemId) -> Option<PartId> {
        let made = |id: &&PartId| {
            let part = self.part(**id);
            self.takes_in(&part.systems, system) && (variant.is_empty() || part.variant == variant)
        };
        self.parts_called(word).iter().find(made).copied()
    }

    /// Whether two transitions lead between the same two systems: a copper transition on plastic and a plastic transition
    /// on copper are one thing. The second is one made for systems that some words take in.
    pub fn same_transition(&self, part: PartId, own: SystemId, other: PartId, words: &[Word]) -> bool {
        let is_one = |id: PartId| self.part(id).used_as.contains(&UsedAs::Transition);
        if !is_one(part) || !is_one(other) {
            return false;
        }
        let Some([first, second]) = self.sides(part, own) else { return false };
        let meet = |a: &[SystemId], b: &[SystemId]| a.iter().any(|one| b.contains(one));
        let made_for = &self.part(other).systems;
        self.systems_of(words).filter(|system| self.takes_in(made_for, *system)).any(|system| {
            self.sides(other, system).is_some_and(|[near, far]| {
                meet(&first, &far) && meet(&second, &near) || meet(&first, &near) && meet(&second, &far)
            })
        })
    }

    /// The systems that each of the two openings of a part takes, on tube of a system.
    fn sides(&self, part: PartId, own: SystemId) -> Option<[Vec<SystemId>; 2]> {
        let side = |fit: Fit| match fit {
            Fit::Joint(None) => Some(vec![own]),
            Fit::Joint(Some(word)) => Some(self.systems_of(&[word]).collect()),
            Fit::TubeEnd(_) | Fit::Thread(_) | Fit::Compression | Fit::Closed | Fit::ClosedTubeEnd => None,
        };
        let [one, two] = &*self.part(part).ports else { return None };
        Some([side(one.fit)?, side(two.fit)?])
    }
}
