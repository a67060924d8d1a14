//! Assemblies: every way to make up a fitting from what is sold. A fitting in larger sizes with reducing couplings in its
//! ports; reducing couplings one behind the other; a transition as two adapters screwed into each other, one of each
//! system. A short piece of tube stands wherever two sockets meet. What a way costs is weighed elsewhere.

use super::Market;
use super::matching::{is_sold, is_tee};
use crate::estimate::item::{Color, Item, ItemId, Items, Sizes};
use crate::estimate::ranking::sizes_text;
use crate::estimate::substitute::Stub;
use crate::estimate::takeoff::{Because, Takeoff};
use crate::ground::name::natural;
use crate::trade::{Class, Fit, Offer, PartId, Port, Sex, SystemId, UsedAs, Word};

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

/// All ways to make up a fitting of a system, by the offers of the price list.
pub(super) fn ways(
    market: &Market<'_>,
    items: &Items,
    takeoff: &Takeoff,
    (id, system): (ItemId, SystemId),
) -> Vec<Way> {
    let item = items.get(id);
    if market.catalog.part(item.part).used_as.contains(&UsedAs::Transition) {
        return of_adapters(market, items, takeoff, (id, system));
    }
    let length = market.catalog.system(system).least_piece;
    let ways = reduced(market, item).into_iter().map(|Reduced { base, couplings }| {
        // Without a larger fitting the first coupling stands in no other.
        let between = couplings.iter().skip(usize::from(base.is_none()));
        Way {
            fittings: fittings(market, item, system, base.as_deref(), &couplings),
            stubs: between.map(|(large, _)| Stub { system, size: *large, length }).collect(),
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
    let Reduced { base, couplings } =
        reduced(market, item).into_iter().min_by_key(|way| way.couplings.len())?;
    let sizes: Vec<String> =
        couplings.iter().map(|(large, small)| sizes_text(market.lexicon, &[*large, *small])).collect();
    let couplings = match &sizes[..] {
        [one] => format!("a reducing coupling {one}"),
        all => format!("reducing couplings {}", all.join(" and ")),
    };
    let name = &market.catalog.part(item.part).name;
    Some(match base {
        Some(base) => format!("{name} {} with {couplings}", sizes_text(market.lexicon, &base)),
        None => couplings,
    })
}

/// A sold fitting in larger sizes, if any, and the reducing couplings that make another of it.
struct Reduced {
    /// The sizes of all its ports.
    base: Option<Vec<Word>>,
    couplings: Vec<Reducer>,
}

/// All ways to reduce what is sold to the sizes of a fitting.
fn reduced(market: &Market<'_>, item: &Item) -> Vec<Reduced> {
    let part = market.catalog.part(item.part);
    let sold = reducers(market, item);
    if let ([first, second], true) = (item.sizes.as_slice(), part.used_as.contains(&UsedAs::ReducingCoupling))
    {
        let (large, small) = in_order(market, item, *first, *second);
        let chains = chains(market, item, &sold, large, small).into_iter();
        let long = chains.filter(|chain| chain.len() > 1);
        return long.map(|couplings| Reduced { base: None, couplings }).collect();
    }
    let wanted = written_out(market, item, item.sizes.as_slice());
    let mut offers: Vec<_> = market.offers_called(item).to_vec();
    offers.retain(|offer| is_sold(market, item, market.offer(*offer)));
    offers.sort_by(|a, b| market.in_order(*a, *b));
    let mut all = Vec::new();
    for offer in offers {
        for base in in_both_ways(market, item, &written_out(market, item, &market.offer(offer).sizes)) {
            for couplings in in_ports(market, item, &sold, &base, &wanted) {
                all.push(Reduced { base: Some(base.clone()), couplings });
            }
        }
    }
    all
}

/// The reducing couplings that bring each port of a sold fitting to the size wanted, in every way.
fn in_ports(
    market: &Market<'_>,
    item: &Item,
    sold: &[Reducer],
    base: &[Word],
    wanted: &[Word],
) -> Vec<Vec<Reducer>> {
    if base.len() != wanted.len() {
        return Vec::new();
    }
    let mut ways: Vec<Vec<Reducer>> = vec![Vec::new()];
    for (at, (size, wanted)) in base.iter().zip(wanted).enumerate() {
        if size != wanted && !takes_couplings(market, item, at) {
            return Vec::new();
        }
        let chains = chains(market, item, sold, *size, *wanted);
        let longer = |way: &Vec<Reducer>| {
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
    couplings: &[Reducer],
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

/// The sizes of all ports: a tee's three, another part's as they are, one size for each port where one is written.
pub(super) fn written_out(market: &Market<'_>, item: &Item, sizes: &[Word]) -> Vec<Word> {
    let part = market.catalog.part(item.part);
    match (sizes, is_tee(part)) {
        ([one], true) => vec![*one; 3],
        ([run, branch], true) => vec![*run, *run, *branch],
        ([one], false) => vec![*one; part.ports.len().max(1)],
        _ => sizes.to_vec(),
    }
}

/// A tee may be turned about: its runs change places.
fn in_both_ways(market: &Market<'_>, item: &Item, sizes: &[Word]) -> Vec<Vec<Word>> {
    match (is_tee(market.catalog.part(item.part)), sizes) {
        (true, [first, second, branch]) => {
            vec![vec![*first, *second, *branch], vec![*second, *first, *branch]]
        }
        _ => vec![sizes.to_vec()],
    }
}

/// Whether a reducing coupling goes into a port, by its place among the sizes: a socket takes one, a thread does not.
fn takes_couplings(market: &Market<'_>, item: &Item, at: usize) -> bool {
    let ports = &market.catalog.part(item.part).ports;
    ports.get(at).is_some_and(|port| matches!(port.fit, Fit::Joint(_)))
}

/// All chains of one or two of the reducing couplings that are sold, from one size to another: the larger first. One
/// empty chain where the sizes are the same; none where the first is the smaller.
fn chains(market: &Market<'_>, item: &Item, sold: &[Reducer], large: Word, small: Word) -> Vec<Vec<Reducer>> {
    if large == small {
        return vec![Vec::new()];
    }
    if in_order(market, item, large, small) != (large, small) {
        return Vec::new();
    }
    let direct = sold.iter().filter(|pair| **pair == (large, small)).map(|pair| vec![*pair]);
    let first = sold.iter().filter(|(from, to)| *from == large && *to != small);
    let through = first.filter(|(_, middle)| sold.contains(&(*middle, small)));
    direct.chain(through.map(|pair| vec![*pair, (pair.1, small)])).collect()
}

/// Reducing couplings sold for the item's system, larger size first, each once by the text of their sizes.
fn reducers(market: &Market<'_>, item: &Item) -> Vec<Reducer> {
    let Some(system) = item.system else { return Vec::new() };
    let parts: Vec<PartId> = market.catalog.parts_used_as(UsedAs::ReducingCoupling, system).collect();
    let is_reducer = |offer: &&Offer| {
        market.catalog.parts_called_or_used(offer.part).iter().any(|part| parts.contains(part))
    };
    let mut pairs = Vec::new();
    for offer in market.job.prices.offers.iter().filter(is_reducer) {
        if let [first, second] = offer.sizes[..]
            && is_sold(market, item, offer)
        {
            let pair = in_order(market, item, first, second);
            if !pairs.contains(&pair) {
                pairs.push(pair);
            }
        }
    }
    let text = |word: Word| market.lexicon.text(word);
    pairs.sort_by(|a, b| natural(text(a.0), text(b.0)).then_with(|| natural(text(a.1), text(b.1))));
    pairs
}

/// Two sizes, the larger of the item's tube first.
fn in_order(market: &Market<'_>, item: &Item, a: Word, b: Word) -> Reducer {
    let tube = item.system.map_or(Word::EMPTY, |system| market.catalog.system(system).tube);
    if market.catalog.order(tube, a) >= market.catalog.order(tube, b) { (a, b) } else { (b, a) }
}
