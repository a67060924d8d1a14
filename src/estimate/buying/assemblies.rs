//! Assemblies: every way to make up a fitting from what is sold. A fitting in larger sizes with reducing couplings in its
//! ports; reducing couplings one behind the other; a transition as two adapters screwed into each other, one of each
//! system. A short piece of tube stands wherever two sockets meet. What a way costs is weighed elsewhere.

use super::Market;
use super::matching::{is_sold, is_tee};
use crate::estimate::item::Sizes;
use crate::estimate::takeoff::{Because, Takeoff};
use crate::estimate::{Color, Item, ItemId, Items, Stub, sizes_text};
use crate::trade::{Class, Fit, Offer, Part, PartId, Port, Sex, SystemId, UsedAs, Word};

/// A reducing coupling: its larger size, then its smaller.
type Reducer = (Word, Word);

/// One way to make up a fitting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Way {
    /// The fittings that it is made up from.
    pub(super) fittings: Vec<Item>,
    /// The pieces of tube between their sockets.
    pub(super) stubs: Vec<Stub>,
    /// Threads screwed into each other: the system that they are counted with, and their size.
    pub(super) threads: Vec<(SystemId, Word)>,
}

/// A fitting that is made up.
struct Fitting<'a> {
    market: &'a Market<'a>,
    item: &'a Item,
    part: &'a Part,
}

/// A sold fitting in larger sizes, if any, and the reducing couplings that make another of it.
struct Reduced {
    /// The sizes of all its ports.
    base: Option<Vec<Word>>,
    couplings: Vec<Reducer>,
}

/// All ways to make up a fitting of a system, by the offers of the price list.
pub(super) fn ways(
    market: &Market<'_>,
    items: &Items,
    takeoff: &Takeoff,
    (id, system): (ItemId, SystemId),
) -> Vec<Way> {
    let fitting = Fitting::of(market, items.get(id));
    if fitting.part.used_as.contains(&UsedAs::Transition) {
        let other = fitting.other_side(items, takeoff, id, system);
        return other.map_or(Vec::new(), |other| fitting.of_adapters(system, other));
    }
    let length = market.catalog.system(system).least_piece;
    let ways = fitting.reduced().into_iter().map(|way| {
        // Without a larger fitting the first coupling stands in no other.
        let between = way.couplings.iter().skip(usize::from(way.base.is_none()));
        Way {
            stubs: between.map(|(large, _)| Stub { system, size: *large, length }).collect(),
            fittings: fitting.parts(system, &way),
            threads: Vec::new(),
        }
    });
    ways.collect()
}

/// What sold parts could make a fitting, in words: `tee 1 x 1 x 3/4 with reducing couplings 1 x 3/4 and 3/4 x 1/2`. Of all
/// ways the one with the fewest couplings, then the first offer.
pub(super) fn could_be_made_from(market: &Market<'_>, item: &Item) -> Option<String> {
    if item.class != Class::Fitting || item.sizes.as_slice().is_empty() {
        return None;
    }
    let fitting = Fitting::of(market, item);
    let Reduced { base, couplings } = fitting.reduced().into_iter().min_by_key(|way| way.couplings.len())?;
    let sizes: Vec<String> =
        couplings.iter().map(|(large, small)| sizes_text(market.lexicon, &[*large, *small])).collect();
    let couplings = match &sizes[..] {
        [one] => format!("a reducing coupling {one}"),
        all => format!("reducing couplings {}", all.join(" and ")),
    };
    Some(match base {
        Some(base) => {
            format!("{} {} with {couplings}", fitting.part.name, sizes_text(market.lexicon, &base))
        }
        None => couplings,
    })
}

impl<'a> Fitting<'a> {
    fn of(market: &'a Market<'a>, item: &'a Item) -> Self {
        Self { market, item, part: market.catalog.part(item.part) }
    }

    /// All ways to reduce what is sold to its sizes.
    fn reduced(&self) -> Vec<Reduced> {
        let (market, sold) = (self.market, self.reducers());
        let sizes = self.item.sizes.as_slice();
        if let ([first, second], true) = (sizes, self.part.used_as.contains(&UsedAs::ReducingCoupling)) {
            let chains = chains(&sold, self.larger_first(*first, *second)).into_iter();
            let long = chains.filter(|chain| chain.len() > 1);
            return long.map(|couplings| Reduced { base: None, couplings }).collect();
        }
        let wanted = written_out(self.part, sizes);
        let mut offers: Vec<_> = market.offers_called(self.item).to_vec();
        offers.retain(|offer| is_sold(market, self.item, market.offer(*offer)));
        offers.sort_by(|a, b| market.in_order(*a, *b));
        let mut all = Vec::new();
        for offer in offers {
            let sizes = written_out(self.part, &market.offer(offer).sizes);
            // A tee may be turned about: its runs change places.
            let turned = match sizes[..] {
                [first, second, branch] if is_tee(self.part) => Some(vec![second, first, branch]),
                _ => None,
            };
            for base in [sizes].into_iter().chain(turned) {
                let ways = self.in_ports(&sold, &base, &wanted).into_iter();
                all.extend(ways.map(|couplings| Reduced { base: Some(base.clone()), couplings }));
            }
        }
        all
    }

    /// The reducing couplings that bring each port of a sold fitting to the size wanted, in every way. A socket takes one,
    /// a thread does not.
    fn in_ports(&self, sold: &[Reducer], base: &[Word], wanted: &[Word]) -> Vec<Vec<Reducer>> {
        if base.len() != wanted.len() {
            return Vec::new();
        }
        let is_socket =
            |at: usize| self.part.ports.get(at).is_some_and(|port| matches!(port.fit, Fit::Joint(_)));
        let mut ways: Vec<Vec<Reducer>> = vec![Vec::new()];
        for (at, (size, wanted)) in base.iter().zip(wanted).enumerate() {
            if size != wanted && !is_socket(at) {
                return Vec::new();
            }
            let chains = chains(sold, (*size, *wanted));
            let longer = |way: &Vec<Reducer>| {
                let longer = chains.iter().map(|chain| [&way[..], chain].concat());
                longer.collect::<Vec<_>>()
            };
            ways = ways.iter().flat_map(longer).collect();
        }
        ways.retain(|couplings| !couplings.is_empty());
        ways
    }

    /// A fitting in other sizes and the reducing couplings in it, as items.
    fn parts(&self, system: SystemId, way: &Reduced) -> Vec<Item> {
        let tee = is_tee(self.part);
        let base = way.base.iter().map(|sizes| Item { sizes: Sizes::of(sizes, tee), ..*self.item });
        let coupling = self.market.catalog.parts_used_as(UsedAs::ReducingCoupling, system).next();
        let couplings = way.couplings.iter().filter_map(|(large, small)| {
            Some(Item { part: coupling?, sizes: Sizes::of(&[*large, *small], false), ..*self.item })
        });
        base.chain(couplings).collect()
    }

    /// Reducing couplings sold for its system, each once by the text of their sizes.
    fn reducers(&self) -> Vec<Reducer> {
        let (market, catalog) = (self.market, self.market.catalog);
        let Some(system) = self.item.system else { return Vec::new() };
        let parts: Vec<PartId> = catalog.parts_used_as(UsedAs::ReducingCoupling, system).collect();
        let is_reducer =
            |offer: &&Offer| catalog.parts_called_or_used(offer.part).iter().any(|part| parts.contains(part));
        let mut pairs = Vec::new();
        for offer in market.job.prices.offers.iter().filter(is_reducer) {
            if let [first, second] = offer.sizes[..]
                && is_sold(market, self.item, offer)
            {
                pairs.push(self.larger_first(first, second));
            }
        }
        pairs.sort_by(|a, b| market.compare(&[a.0, a.1], &[b.0, b.1]));
        pairs.dedup();
        pairs
    }

    /// Two sizes, the larger of its tube first.
    fn larger_first(&self, a: Word, b: Word) -> Reducer {
        let catalog = self.market.catalog;
        let tube = self.item.system.map_or(Word::EMPTY, |system| catalog.system(system).tube);
        if catalog.order(tube, a) >= catalog.order(tube, b) { (a, b) } else { (b, a) }
    }

    /// A transition as two adapters: one to a male thread on one side, one to a female thread on the other.
    fn of_adapters(&self, system: SystemId, other: SystemId) -> Vec<Way> {
        let (catalog, [size]) = (self.market.catalog, self.item.sizes.as_slice()) else { return Vec::new() };
        let adapter = |part: PartId, system: SystemId| Item {
            part,
            system: Some(system),
            sizes: Sizes::of(&[*size, *size], false),
            variant: catalog.part(part).variant,
            color: Color::None,
            class: catalog.part(part).class,
            unit: Word::EMPTY,
        };
        let mut ways = Vec::new();
        for sex in [Sex::Male, Sex::Female] {
            for first in adapters(self.market, system, sex) {
                for second in adapters(self.market, other, sex.opposite()) {
                    let fittings = vec![adapter(first, system), adapter(second, other)];
                    ways.push(Way { fittings, stubs: Vec::new(), threads: vec![(system, *size)] });
                }
            }
        }
        ways
    }

    /// The system on the other side of a transition: that of the first run that changes there, else the one that its
    /// opening names. Systems of one tube and fit (a clamp or a crimp ring on one barb) take one adapter.
    fn other_side(&self, items: &Items, takeoff: &Takeoff, id: ItemId, system: SystemId) -> Option<SystemId> {
        let catalog = self.market.catalog;
        let is_other = |one: &SystemId| !catalog.shares_fittings(*one, system);
        let changes = takeoff.lines.iter().filter(|line| line.item == id).find_map(|line| {
            let Because::Transition(run) = line.because else { return None };
            let pieces = takeoff.pieces.iter().filter(|piece| piece.run == run);
            pieces.filter_map(|piece| items.get(piece.item).system).find(is_other)
        });
        let named = || {
            let mut meant = self.part.ports.iter().filter_map(|port| {
                let Fit::Joint(Some(word)) = port.fit else { return None };
                catalog.system_meant(word, system)
            });
            meant.find(is_other)
        };
        changes.or_else(named)
    }
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

/// The sizes of all ports: a tee's three, another part's as they are, one size for each port where one is written.
pub(super) fn written_out(part: &Part, sizes: &[Word]) -> Vec<Word> {
    match (sizes, is_tee(part)) {
        ([one], true) => vec![*one; 3],
        ([run, branch], true) => vec![*run, *run, *branch],
        ([one], false) => vec![*one; part.ports.len().max(1)],
        _ => sizes.to_vec(),
    }
}

/// All chains of one or two of the reducing couplings that are sold, from one size to another: the larger first. One
/// empty chain where the sizes are the same; none where the first is the smaller.
fn chains(sold: &[Reducer], (large, small): Reducer) -> Vec<Vec<Reducer>> {
    if large == small {
        return vec![Vec::new()];
    }
    let direct = sold.iter().filter(|pair| **pair == (large, small)).map(|pair| vec![*pair]);
    let first = sold.iter().filter(|(from, to)| *from == large && *to != small);
    let through = first.filter(|(_, middle)| sold.contains(&(*middle, small)));
    direct.chain(through.map(|pair| vec![*pair, (pair.1, small)])).collect()
}
