//! Recipes: every way to build a fitting from what is sold. A fitting in larger sizes with reducing couplings in its
//! ports; reducing couplings one behind the other; a transition as two adapters screwed into each other, one of each
//! system. A short piece of tube stands wherever two sockets meet. What a way costs is weighed elsewhere.

use super::Market;
use super::made_of::{chains, in_both_ways, is_sold, takes_couplings, written_out};
use super::matching::is_tee;
use crate::estimate::item::{Color, Item, ItemId, Items, Sizes};
use crate::estimate::takeoff::{Because, Takeoff};
use crate::ground::Length;
use crate::trade::{Fit, PartId, Port, Sex, SystemId, UsedAs, Word};

/// One way to build a fitting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Way {
    /// The fittings that it is built from.
    pub(super) fittings: Vec<Item>,
    /// The pieces of tube between their sockets.
    pub(super) stubs: Vec<Stub>,
    /// Threads screwed into each other: the system that they are counted with, and their size.
    pub(super) threads: Vec<(SystemId, Word)>,
}

/// A short piece of tube between two sockets of what is built.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stub {
    /// The system of its tube.
    pub system: SystemId,
    /// Its size.
    pub size: Word,
    /// Its length: the least piece of the system.
    pub length: Length,
}

/// All ways to build a fitting of a system, by the offers of the price list.
pub(super) fn ways(
    market: &Market<'_>,
    items: &Items,
    takeoff: &Takeoff,
    (id, system): (ItemId, SystemId),
) -> Vec<Way> {
    let item = items.get(id);
    let part = market.catalog.part(item.part);
    if part.used_as.contains(&UsedAs::Transition) {
        return of_adapters(market, items, takeoff, (id, system));
    }
    let reduced = |base: Option<&[Word]>, chains: &[(Word, Word)], stubs: Vec<Word>| {
        let length = market.catalog.system(system).least_piece;
        Way {
            fittings: fittings(market, item, system, base, chains),
            stubs: stubs.into_iter().map(|size| Stub { system, size, length }).collect(),
            threads: Vec::new(),
        }
    };
    if let ([first, second], true) = (item.sizes.as_slice(), part.used_as.contains(&UsedAs::ReducingCoupling))
    {
        let chains = chains(market, item, *first, *second).into_iter().filter(|chain| chain.len() > 1);
        let between = |chain: &[(Word, Word)]| chain.iter().skip(1).map(|(large, _)| *large).collect();
        return chains.map(|chain| reduced(None, &chain, between(&chain))).collect();
    }
    let wanted = written_out(market, item, item.sizes.as_slice());
    let mut all = Vec::new();
    let sold = market.offers_called(item).iter().copied();
    let mut sold: Vec<_> = sold.filter(|offer| is_sold(market, item, market.offer(*offer))).collect();
    sold.sort_by(|a, b| market.in_order(*a, *b));
    for offer in sold {
        let offer = market.offer(offer);
        for base in in_both_ways(market, item, &written_out(market, item, &offer.sizes)) {
            if base.len() == wanted.len() {
                for couplings in in_ports(market, item, &base, &wanted) {
                    let stubs = couplings.iter().map(|(large, _)| *large).collect();
                    all.push(reduced(Some(&base), &couplings, stubs));
                }
            }
        }
    }
    all
}

/// The reducing couplings that bring each port of a sold fitting to the size wanted, in every way.
fn in_ports(market: &Market<'_>, item: &Item, base: &[Word], wanted: &[Word]) -> Vec<Vec<(Word, Word)>> {
    let mut ways: Vec<Vec<(Word, Word)>> = vec![Vec::new()];
    for (at, (sold, size)) in base.iter().zip(wanted).enumerate() {
        if sold != size && !takes_couplings(market, item, at) {
            return Vec::new();
        }
        let chains = chains(market, item, *sold, *size);
        let longer = |way: &Vec<(Word, Word)>| {
            let longer = chains.iter().map(|chain| way.iter().chain(chain).copied().collect());
            longer.collect::<Vec<Vec<_>>>()
        };
        ways = ways.iter().flat_map(longer).collect();
    }
    ways.retain(|couplings| !couplings.is_empty());
    ways
}

/// A fitting in other sizes and the reducing couplings in it, as items.
fn fittings(
    market: &Market<'_>,
    item: &Item,
    system: SystemId,
    base: Option<&[Word]>,
    couplings: &[(Word, Word)],
) -> Vec<Item> {
    let tee = is_tee(market.catalog.part(item.part));
    let mut fittings: Vec<Item> = Vec::new();
    fittings.extend(base.map(|sizes| Item { sizes: Sizes::of(sizes, tee), ..*item }));
    let coupling = market.catalog.parts_used_as(UsedAs::ReducingCoupling, system).next();
    for (large, small) in couplings {
        let sizes = Sizes::of(&[*large, *small], false);
        fittings.extend(coupling.map(|part| Item { part, sizes, ..*item }));
    }
    fittings
}

/// A transition as two adapters: one to a male thread on one side, one to a female thread on the other.
fn of_adapters(
    market: &Market<'_>,
    items: &Items,
    takeoff: &Takeoff,
    (id, system): (ItemId, SystemId),
) -> Vec<Way> {
    let item = items.get(id);
    let [size] = item.sizes.as_slice() else { return Vec::new() };
    let Some(other) = other_side(market, items, takeoff, (id, system)) else { return Vec::new() };
    let mut ways = Vec::new();
    for sex in [Sex::Male, Sex::Female] {
        for first in adapters(market, system, sex) {
            for second in adapters(market, other, sex.opposite()) {
                let adapter = |part: PartId, system: SystemId| Item {
                    part,
                    system: Some(system),
                    sizes: Sizes::of(&[*size, *size], false),
                    variant: market.catalog.part(part).variant,
                    color: Color::None,
                    class: market.catalog.part(part).class,
                    unit: Word::EMPTY,
                };
                ways.push(Way {
                    fittings: vec![adapter(first, system), adapter(second, other)],
                    stubs: Vec::new(),
                    threads: vec![(system, *size)],
                });
            }
        }
    }
    ways
}

/// The system on the other side of a transition: that of the first run that changes there, else the one that its opening
/// names. Systems of one tube and fit (a clamp or a crimp ring on one barb) take one adapter.
fn other_side(
    market: &Market<'_>,
    items: &Items,
    takeoff: &Takeoff,
    (id, system): (ItemId, SystemId),
) -> Option<SystemId> {
    let catalog = market.catalog;
    let changes = takeoff.lines.iter().filter(|line| line.item == id).find_map(|line| {
        let Because::Transition(run) = line.because else { return None };
        let pieces = takeoff.pieces.iter().filter(|piece| piece.run == run);
        let mut systems = pieces.filter_map(|piece| items.get(piece.item).system);
        systems.find(|of_run| !catalog.shares_fittings(*of_run, system))
    });
    let named = || {
        let ports = catalog.part(items.get(id).part).ports.iter();
        let mut meant = ports.filter_map(|port| {
            let Fit::Joint(Some(word)) = port.fit else { return None };
            catalog.system_meant(word, system)
        });
        meant.find(|meant| !catalog.shares_fittings(*meant, system))
    };
    changes.or_else(named)
}

/// The parts that lead from a system's tube to a thread of this sex and its own size.
fn adapters(market: &Market<'_>, system: SystemId, sex: Sex) -> impl Iterator<Item = PartId> {
    let fits = move |part: &PartId| {
        let ports = &market.catalog.part(*part).ports;
        let has = |fit: Fit| ports.iter().any(|port: &Port| port.fit == fit && port.size.is_none());
        ports.len() == 2 && has(Fit::Joint(None)) && has(Fit::Thread(sex))
    };
    market.catalog.parts_used_as(UsedAs::Adapter, system).filter(fits)
}
