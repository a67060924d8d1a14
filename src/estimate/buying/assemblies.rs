//! Assemblies: every way to make up a fitting from what is sold. A fitting in larger sizes with reducing couplings or bushings
//! in its ports; reducing couplings one behind the other; a combination as a wye with a street eighth bend in its branch; a
//! transition as two adapters screwed into each other, one of each system. A short piece of tube stands wherever two
//! sockets meet; a bushing and a street bend have a spigot of their own. What a way costs is weighed elsewhere.

use super::Market;
use super::matching::{is_sold, is_tee, same_sizes};
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
    /// Spigots in sockets, without a piece of tube between.
    pub(super) spigots: Vec<(SystemId, Word)>,
    /// Threads screwed into each other: the system that they are counted with, and their size.
    pub(super) threads: Vec<(SystemId, Word)>,
}

/// What reduces a port of a fitting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum By {
    /// A socket on both sides: a piece of tube stands between it and the port.
    Couplings,
    /// A spigot that stands in the port.
    Bushings,
}

impl By {
    const fn used_as(self) -> UsedAs {
        match self {
            Self::Couplings => UsedAs::ReducingCoupling,
            Self::Bushings => UsedAs::Bushing,
        }
    }
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
    let mut ways = fitting.of_larger(system);
    ways.extend(fitting.of_wyes(system));
    ways
}

/// What sold parts could make a fitting, in words: `tee 1 x 1 x 3/4 with reducing couplings 1 x 3/4 and 3/4 x 1/2`. Of all
/// ways the one with the fewest couplings, then the first offer.
pub(super) fn could_be_made_from(market: &Market<'_>, item: &Item) -> Option<String> {
    if item.class != Class::Fitting || item.sizes.as_slice().is_empty() {
        return None;
    }
    let fitting = Fitting::of(market, item);
    let reduced = fitting.reduced(By::Couplings);
    let Reduced { base, couplings } = reduced.into_iter().min_by_key(|way| way.couplings.len())?;
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

    /// The fitting in larger sizes, reduced by couplings or by bushings.
    fn of_larger(&self, system: SystemId) -> Vec<Way> {
        let length = self.market.catalog.system(system).least_piece;
        let by_couplings = self.reduced(By::Couplings).into_iter().map(|way| {
            // Without a larger fitting the first coupling stands in no other.
            let between = way.couplings.iter().skip(usize::from(way.base.is_none()));
            Way {
                stubs: between.map(|(large, _)| Stub { system, size: *large, length }).collect(),
                spigots: Vec::new(),
                fittings: self.parts(system, &way, By::Couplings),
                threads: Vec::new(),
            }
        });
        let by_bushings = self.reduced(By::Bushings).into_iter().map(|way| Way {
            stubs: Vec::new(),
            spigots: way.couplings.iter().map(|(large, _)| (system, *large)).collect(),
            fittings: self.parts(system, &way, By::Bushings),
            threads: Vec::new(),
        });
        by_couplings.chain(by_bushings).collect()
    }

    /// A combination as a wye in its sizes, as sold or reduced, with a street eighth bend in its branch.
    fn of_wyes(&self, system: SystemId) -> Vec<Way> {
        let catalog = self.market.catalog;
        let used = |use_| catalog.parts_used_as(use_, system).next();
        let (Some(wye), Some(bend)) = (used(UsedAs::Wye), used(UsedAs::StreetEighthBend)) else {
            return Vec::new();
        };
        let sizes = written_out(self.part, self.item.sizes.as_slice());
        let ([_, _, branch], true) = (&sizes[..], self.part.used_as.contains(&UsedAs::Combination)) else {
            return Vec::new();
        };
        let of = |part: PartId, sizes: &[Word]| Item { part, ..self.sized(catalog.part(part), sizes) };
        let (wye, bend) = (of(wye, &sizes), of(bend, &[*branch; 2]));
        let sold = |item: &Item| {
            let mut offers = self.market.offers_called(item).iter().map(|id| self.market.offer(*id));
            let part = catalog.part(item.part);
            offers.any(|offer| {
                is_sold(self.market, item, offer) && same_sizes(part, &offer.sizes, item.sizes.as_slice())
            })
        };
        if !sold(&bend) {
            return Vec::new();
        }
        let as_sold = sold(&wye).then(|| Way {
            fittings: vec![wye],
            stubs: Vec::new(),
            spigots: Vec::new(),
            threads: Vec::new(),
        });
        let reduced = Fitting::of(self.market, &wye).of_larger(system);
        let with_bend = |mut way: Way| {
            way.fittings.push(bend);
            way.spigots.push((system, *branch));
            way
        };
        as_sold.into_iter().chain(reduced).map(with_bend).collect()
    }

    /// The item in the sizes of a part of the same kind.
    fn sized(&self, part: &Part, sizes: &[Word]) -> Item {
        Item {
            sizes: Sizes::of(sizes, part.is_meeting() || is_tee(part)),
            variant: part.variant,
            ..*self.item
        }
    }

    /// All ways to reduce what is sold to its sizes.
    fn reduced(&self, by: By) -> Vec<Reduced> {
        let (market, sold) = (self.market, self.reducers(by));
        if sold.is_empty() && by == By::Bushings {
            return Vec::new();
        }
        let sizes = self.item.sizes.as_slice();
        if let ([first, second], true) = (sizes, self.part.used_as.contains(&by.used_as())) {
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
    fn parts(&self, system: SystemId, way: &Reduced, by: By) -> Vec<Item> {
        let base = way.base.iter().map(|sizes| self.sized(self.part, sizes));
        let coupling = self.market.catalog.parts_used_as(by.used_as(), system).next();
        let couplings = way.couplings.iter().filter_map(|(large, small)| {
            Some(Item { part: coupling?, sizes: Sizes::of(&[*large, *small], false), ..*self.item })
        });
        base.chain(couplings).collect()
    }

    /// Reducing couplings or bushings sold for its system, each once by the text of their sizes.
    fn reducers(&self, by: By) -> Vec<Reducer> {
        let (market, catalog) = (self.market, self.market.catalog);
        let Some(system) = self.item.system else { return Vec::new() };
        let parts: Vec<PartId> = catalog.parts_used_as(by.used_as(), system).collect();
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
                    let (stubs, spigots) = (Vec::new(), Vec::new());
                    ways.push(Way { fittings, stubs, spigots, threads: vec![(system, *size)] });
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
        ([run, branch], false) if part.ports.len() == 4 && part.is_meeting() => {
            vec![*run, *run, *branch, *branch]
        }
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
