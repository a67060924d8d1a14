//! Substitutes: what a fitting is made up from where it is not bought as it is sold, as plain data with its words. What
//! is made up, and how, is decided in buying; the takeoff keeps the fitting. Orders, labor, bids and papers read it.

use rust_decimal::Decimal;

use super::ranking::called;
use super::takeoff::Piece;
use super::{Item, ItemId, Items, Task};
use crate::ground::money::cents;
use crate::ground::{Length, LengthUnit};
use crate::trade::{Catalog, Lexicon, SystemId, Word};

/// A fitting that is made up from others.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Substitute {
    /// The fitting.
    pub item: ItemId,
    /// How many are made up.
    pub count: i64,
    /// How many more the shelf serves.
    pub from_shelf: i64,
    /// What one is made up from, and what the joints between it and its pieces of tube consume.
    pub of: Vec<(ItemId, Decimal)>,
    /// The fittings that it is made up from, each with the sizes of its ports.
    pub fittings: Vec<(ItemId, Vec<Word>)>,
    /// The short pieces of tube in one.
    pub stubs: Vec<Stub>,
    /// Joints between its fittings without a piece of tube between, a spigot in a socket: the system and size of each.
    pub spigots: Vec<(SystemId, Word)>,
    /// Threads that are screwed into each other in one: the system they are counted with, and their size.
    pub threads: Vec<(SystemId, Word)>,
    /// The short pieces of tube of all of them, each on the run where its fitting stands.
    pub cut: Vec<Piece>,
    /// Why it is made up so.
    pub why: Why,
}

/// A short piece of tube between two sockets of what is made up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stub {
    /// The system of its tube.
    pub system: SystemId,
    /// Its size.
    pub size: Word,
    /// Its length: the least piece of the system.
    pub length: Length,
}

/// Why a fitting is made up as it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Why {
    /// Whether the fitting is sold, and only costs less made up.
    pub is_sold: bool,
    /// Whether the table `held` says that it is made up so.
    pub is_held: bool,
    /// Ways that what is sold allows, those apart that ask for more than another.
    pub ways: usize,
    /// What else was compared and comes nearest; nothing where whole orders were not compared.
    pub instead: Option<Instead>,
}

/// Another way to have a fitting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Instead {
    /// What it is made up from there; nothing where it is bought as it is sold.
    pub of: Option<String>,
    /// How much more the whole order, and its labor where that is priced, come to.
    pub more: Decimal,
    /// Whether labor is in that.
    pub with_labor: bool,
}

impl Substitute {
    /// Joints of tube that making up one adds: two at each piece of tube, one at each spigot.
    pub fn joints(&self) -> usize {
        self.stubs.len() * 2 + self.spigots.len()
    }

    /// How much of an item all of them are made up from, tube in a unit of length.
    pub(crate) fn takes(&self, item: ItemId, unit: LengthUnit) -> Decimal {
        let each: Decimal = self.of.iter().filter(|(of, _)| *of == item).map(|(_, each)| *each).sum();
        let pieces = self.cut.iter().filter(|piece| piece.item == item).map(|piece| {
            let all = Decimal::from(piece.length.nanometres()).saturating_mul(Decimal::from(piece.copies));
            all / Decimal::from(unit.nanometres())
        });
        each.saturating_mul(Decimal::from(self.count)).saturating_add(pieces.sum())
    }

    /// The joints of tube and threads that are made within one, as work.
    pub(super) fn tasks(&self) -> impl Iterator<Item = Task> {
        let joints = self.stubs.iter().flat_map(|stub| {
            let task = Task::Joint { system: stub.system, size: stub.size };
            [task, task]
        });
        let of_spigot = |(system, size): &(_, Word)| Task::Joint { system: *system, size: *size };
        let joints = joints.chain(self.spigots.iter().map(of_spigot));
        let threads = self.threads.iter();
        joints.chain(threads.map(|(system, size)| Task::Thread { system: *system, size: *size }))
    }

    /// What making up one adds in joints, in words: `2 joints more`, `1 threaded joint more`.
    pub fn joints_in_words(&self) -> String {
        let so_many = |count: usize, one: &str| match count {
            0 => None,
            1 => Some(format!("1 {one}")),
            count => Some(format!("{count} {one}s")),
        };
        let all = [so_many(self.joints(), "joint"), so_many(self.threads.len(), "threaded joint")];
        let all: Vec<String> = all.into_iter().flatten().collect();
        match all.is_empty() {
            true => "no joint more".to_owned(),
            false => format!("{} more", all.join(" and ")),
        }
    }

    /// What one is made up from, in words.
    pub(super) fn in_words(&self, lexicon: &Lexicon, catalog: &Catalog, items: &Items) -> String {
        let fittings: Vec<Item> = self.fittings.iter().map(|(id, _)| *items.get(*id)).collect();
        in_words(lexicon, catalog, &fittings)
    }
}

/// Fittings in words: `tee 3/4 x 3/4 x 3/4 and 2 x reducing coupling 3/4 x 1/2`.
pub(super) fn in_words(lexicon: &Lexicon, catalog: &Catalog, fittings: &[Item]) -> String {
    let mut counted: Vec<(String, usize)> = Vec::new();
    for item in fittings {
        let name = called(lexicon, catalog, item);
        match counted.iter_mut().find(|(known, _)| *known == name) {
            Some((_, count)) => *count += 1,
            None => counted.push((name, 1)),
        }
    }
    let name = |(name, count)| if count == 1 { name } else { format!("{count} x {name}") };
    let names: Vec<String> = counted.into_iter().map(name).collect();
    match names.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        Some(_) | None => names.concat(),
    }
}

impl Why {
    /// Why a fitting is made up as it is, in words.
    pub fn because(&self) -> String {
        let with_labor = self.instead.as_ref().is_some_and(|instead| instead.with_labor);
        let order = if with_labor { "the order with labor" } else { "the order" };
        match (&self.instead, self.ways) {
            (_, _) if self.is_held => "it is held so".to_owned(),
            (Some(Instead { of: None, more, .. }), _) => {
                format!("bought as it is sold, {order} would come to {} more", cents(*more))
            }
            (Some(Instead { of: Some(of), more, .. }), ways) if more.is_zero() => {
                format!(
                    "of {ways} ways one that costs as little as any: {order} would come to the same with {of}"
                )
            }
            (Some(Instead { of: Some(of), more, .. }), ways) => {
                format!("of {ways} ways the cheapest: {order} would come to {} more with {of}", cents(*more))
            }
            (None, 1) if !self.is_sold => "what is sold allows no other way".to_owned(),
            (None, 1) => "by itself it adds less to the order than the fitting as it is sold".to_owned(),
            (None, ways) => format!("of {ways} ways the one that by itself adds least to the order"),
        }
    }
}
