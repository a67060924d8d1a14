//! Substitution: making up a fitting that nobody sells from what is sold (rule 25 of counting). The takeoff keeps the
//! fitting; the order shows minus for it and plus for what it is made up from, with the joints that are more. Called by
//! the walk before anything is bought.
//!
//! What stands on the shelf is used first, the first runs by name; the rest is made up. A fitting that is locked as it is
//! sold is bought; one that is locked as made up is made up so. Every way (`assemblies`) is weighed by its marginal cost:
//! what it adds to the order by itself; a way that asks for all that another asks for, and more, is out. Then the whole
//! order is made out with each of the few best ways, one fitting after the other, and the one whose order and labor come
//! to least is taken; of equal ones the one that adds least by itself, then the one with fewer parts, then the first
//! offer. Whole orders are counted, and a large job gets few or none.

mod marginal_cost;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::Market;
use super::ask::OrderBuilder;
use super::assemblies::{Way, ways, written_out};
use super::locked::{Locked, made_up_from};
use super::matching::find;
use super::ordering::{ToBuy, needs_in_order};
use super::tube::COMPARED;
use crate::estimate::substitute::{Instead, Why, in_words};
use crate::estimate::takeoff::{PartOf, Piece, Subject, Takeoff};
use crate::estimate::{CutLength, Item, ItemId, Items, RunId, Substitute};
use crate::ground::name::{fold, natural};
use crate::trade::{Class, Substitutes};
use marginal_cost::{Scales, asked, labor_of, tube_for};

/// Ways of one fitting whose whole orders are compared.
const TRIED: usize = 3;
/// Whole orders that are made out in one alternative of a house.
const ORDERS: usize = 16;
/// Pieces of tube of all whole orders together: a street gets fewer of them.
const PIECES: usize = 8_000;

/// A fitting that may be made up, and its ways, the one that adds least first.
struct Candidate {
    item: ItemId,
    count: i64,
    /// How many of it the shelf serves.
    served: i64,
    is_sold: bool,
    is_held: bool,
    /// What making it up adds to the order by itself, less what buying it would: below zero is cheaper made up.
    against: Decimal,
    ways: Vec<Way>,
}

impl Candidate {
    fn why(&self, ways: usize, instead: Option<Instead>) -> Why {
        Why { is_sold: self.is_sold, is_held: self.is_held, ways, instead }
    }

    /// Whether it is made up before whole orders are compared.
    fn is_made_up_at_first(&self) -> bool {
        !self.is_sold || self.is_held || self.against < Decimal::ZERO
    }
}

/// What is made up in an alternative. Items that only that needs are taken up.
pub fn make_up(market: &Market<'_>, items: &mut Items, takeoff: &Takeoff) -> Vec<Substitute> {
    if market.settings.substitutes == Substitutes::None {
        return Vec::new();
    }
    let candidates = candidates(market, items, takeoff);
    let at_first = |one: &Candidate| one.is_made_up_at_first().then_some(0);
    let mut choice: Vec<Option<usize>> = candidates.iter().map(at_first).collect();
    let trial = Trial { market, takeoff, candidates: &candidates };
    let why = trial.compare_orders(items, &mut choice);
    let made_up = candidates.iter().zip(&choice).zip(why).filter_map(|((candidate, chosen), instead)| {
        let way = candidate.ways.get((*chosen)?)?;
        let why = candidate.why(candidate.ways.len(), instead);
        Some(trial.taken_up(items, candidate, way, why))
    });
    made_up.collect()
}

/// The fittings that are made up, or may be, in the order shown. Each is weighed with those before it made up.
fn candidates(market: &Market<'_>, items: &Items, takeoff: &Takeoff) -> Vec<Candidate> {
    let (_, needs) = needs_in_order(market, items, takeoff);
    let may_be = |item: &Item| {
        let is_sold = !find(market, item).lots.is_empty();
        let allowed = match market.settings.substitutes {
            Substitutes::None => false,
            Substitutes::Needed => !is_sold,
            Substitutes::Cheaper => true,
        };
        let locked = Locked::of(market, takeoff.sides(), item);
        let made_up = locked.substitute().map(str::to_owned);
        let may_be =
            item.class == Class::Fitting && locked.choices.is_empty() && (allowed || made_up.is_some());
        may_be.then_some((is_sold, made_up))
    };
    // Where a fitting is all that is bought of a supplier, making it up spares the delivery too.
    let fee = market.job.suppliers.iter().map(|row| row.delivery_fee).max().unwrap_or_default();
    let mut candidates = Vec::new();
    let mut scales: Option<Scales<'_>> = None;
    for need in &needs {
        let item = *items.get(need.item);
        let (Some(system), Some((is_sold, held))) = (item.system, may_be(&item)) else { continue };
        let scales = scales.get_or_insert_with(|| Scales::of(market, items, takeoff, &needs));
        let served = scales.served(&item).min(need.quantity);
        let count = need.quantity.trunc() - served;
        if count <= Decimal::ZERO {
            continue;
        }
        let mut ways = ways(market, items, takeoff, (need.item, system));
        let is_its = |way: &Way| Some(fold(&made_up_from(&named(market, way)))) == held;
        let is_held = ways.iter().any(is_its);
        match is_held {
            true => ways.retain(is_its),
            false if is_sold && market.settings.substitutes != Substitutes::Cheaper => continue,
            false => {}
        }
        let weigh = |way: Way| Some((scales.adds(items, &way, count)?, way.fittings.len(), way));
        let mut weighed: Vec<_> = without_more(ways).into_iter().filter_map(weigh).collect();
        // The sort is stable: of equal ways the one of the first offer stays first.
        weighed.sort_by_key(|(adds, parts, _)| (*adds, *parts));
        let Some((least, _, _)) = weighed.first() else { continue };
        let bought = if is_sold { scales.saved(&item, count) } else { Some(Decimal::ZERO) };
        let Some(against) = bought.map(|bought| *least - bought) else { continue };
        if is_sold && against >= fee && !is_held {
            continue;
        }
        let candidate = Candidate {
            item: need.item,
            count: count.to_i64().unwrap_or(0),
            served: served.to_i64().unwrap_or(0),
            is_sold,
            is_held,
            against,
            ways: weighed.into_iter().map(|(_, _, way)| way).collect(),
        };
        if candidate.is_made_up_at_first() {
            scales.add(items, &candidate.ways[0], count);
        }
        candidates.push(candidate);
    }
    candidates
}

/// Ways without those that ask for all that another asks for: they never cost less.
fn without_more(ways: Vec<Way>) -> Vec<Way> {
    fn holds<T: PartialEq + Clone>(all: &[T], part: &[T]) -> bool {
        let mut left = all.to_vec();
        part.iter()
            .all(|one| left.iter().position(|other| other == one).map(|at| left.swap_remove(at)).is_some())
    }
    let asks_for_all = |way: &Way, other: &Way| {
        holds(&way.fittings, &other.fittings)
            && holds(&way.stubs, &other.stubs)
            && holds(&way.spigots, &other.spigots)
            && holds(&way.threads, &other.threads)
    };
    let mut kept: Vec<Way> = Vec::new();
    for way in ways {
        if !kept.iter().any(|other| asks_for_all(&way, other)) {
            kept.retain(|other| !asks_for_all(other, &way));
            kept.push(way);
        }
    }
    kept
}

/// A job's order with one choice for each fitting that may be made up.
struct Trial<'a> {
    market: &'a Market<'a>,
    takeoff: &'a Takeoff,
    candidates: &'a [Candidate],
}

/// What an order comes to: lines that nobody sells, then goods, fees and the labor of what is made up.
type Sum = (usize, Decimal);

impl Trial<'_> {
    fn order(&self, items: &Items, choice: &[Option<usize>]) -> Sum {
        let mut items = items.clone();
        let mut substitutes = Vec::new();
        let mut labor = Decimal::ZERO;
        for (candidate, chosen) in self.candidates.iter().zip(choice) {
            let Some(way) = chosen.and_then(|at| candidate.ways.get(at)) else { continue };
            substitutes.push(self.taken_up(&mut items, candidate, way, candidate.why(0, None)));
            let each = labor_of(self.market, way);
            labor = labor.saturating_add(each.saturating_mul(Decimal::from(candidate.count)));
        }
        let (market, alternative) = (self.market, self.takeoff.sides());
        let builder =
            OrderBuilder { market, items: &items, alternative, substitutes: &substitutes, effort: COMPARED };
        let plan = ToBuy::of(&builder, self.takeoff).order(&builder).plan;
        (plan.not_priced, plan.cost.saturating_add(labor))
    }

    /// Takes for each fitting the way whose whole order comes to least, the others as they are chosen so far; what comes
    /// nearest to it.
    fn compare_orders(&self, items: &Items, choice: &mut [Option<usize>]) -> Vec<Option<Instead>> {
        let mut why = vec![None; choice.len()];
        let mut left = ORDERS.min(PIECES / self.takeoff.pieces.len().max(1));
        let mut now: Option<Sum> = None;
        // What must be made up first, then what may spare most.
        let mut promising: Vec<(usize, &Candidate)> = self.candidates.iter().enumerate().collect();
        promising
            .sort_by_key(|(_, one)| (one.is_sold, if one.is_sold { one.against } else { Decimal::ZERO }));
        for (at, candidate) in promising {
            let ways = (0..candidate.ways.len().min(TRIED)).map(Some);
            let all = (candidate.is_sold && !candidate.is_held).then_some(None).into_iter().chain(ways);
            let others: Vec<Option<usize>> = all.filter(|other| *other != choice[at]).collect();
            if others.is_empty() || left <= others.len() {
                continue;
            }
            left -= others.len();
            let first = *now.get_or_insert_with(|| self.order(items, choice));
            let mut sums: Vec<(Sum, Option<usize>)> = vec![(first, choice[at])];
            sums.extend(others.into_iter().map(|other| {
                let mut tried = choice.to_vec();
                tried[at] = other;
                (self.order(items, &tried), other)
            }));
            // The sort is stable: of equal orders the one that adds least by itself stays first.
            sums.sort_by_key(|(sum, _)| *sum);
            let ((best, chosen), (next, other)) = (sums[0], sums[1]);
            (choice[at], now) = (chosen, Some(best));
            why[at] = (best.0 == next.0).then(|| Instead {
                of: other.and_then(|at| candidate.ways.get(at)).map(|way| named(self.market, way)),
                more: next.1 - best.1,
                with_labor: candidate.ways.iter().any(|way| !labor_of(self.market, way).is_zero()),
            });
        }
        why
    }

    /// Takes up the items of a way, and puts its pieces of tube on their runs.
    fn taken_up(&self, items: &mut Items, candidate: &Candidate, way: &Way, why: Why) -> Substitute {
        let (market, takeoff) = (self.market, self.takeoff);
        let ports = |fitting: &Item| written_out(market.catalog.part(fitting.part), fitting.sizes.as_slice());
        let fittings = way.fittings.iter().map(|fitting| (items.id(*fitting), ports(fitting))).collect();
        let of = asked(market, items, way);
        let of = of.into_iter().map(|(item, amount)| (items.id(item), amount)).collect();
        let mut cut = Vec::new();
        for (run, copies) in self.standing(candidate) {
            for stub in &way.stubs {
                if let Some(item) = tube_for(items, takeoff, Some(run), stub) {
                    let (length, part, as_said) = (stub.length, PartOf::Itself, CutLength::default());
                    cut.push(Piece { item, length, run, copies, no_joint: false, part, cut: as_said });
                }
            }
        }
        let (stubs, spigots, threads) = (way.stubs.clone(), way.spigots.clone(), way.threads.clone());
        Substitute {
            item: candidate.item,
            count: candidate.count,
            from_shelf: candidate.served,
            of,
            fittings,
            stubs,
            spigots,
            threads,
            cut,
            why,
        }
    }

    /// The runs where a fitting is made up, and how many on each: in the order of the takeoff, behind those that the shelf
    /// serves. What stands at a place is on the first run that ends there.
    fn standing(&self, candidate: &Candidate) -> Vec<(RunId, u32)> {
        let mut served = candidate.served;
        let mut left = candidate.count;
        let mut runs = Vec::new();
        for line in
            self.takeoff.lines.iter().filter(|line| line.item == candidate.item && line.joint.is_none())
        {
            let from_shelf = line.count.min(served);
            served -= from_shelf;
            let here = (line.count - from_shelf).min(left);
            left -= here;
            let run = match line.subject {
                Subject::Run(run) => run,
                Subject::Place(place) => run_to(self.market, place),
            };
            match u32::try_from(here) {
                Ok(copies) if copies > 0 => runs.push((run, copies)),
                Ok(_) | Err(_) => {}
            }
        }
        runs
    }
}

/// The first run by name that ends at a place; the first of all where none does.
fn run_to(market: &Market<'_>, place: u32) -> RunId {
    let name = market.job.places.get(place as usize).map(|place| fold(&place.name));
    let to = |run: &crate::trade::Run| run.to.as_deref().map(fold);
    let here = |run: &crate::trade::Run| name.is_some() && to(run) == name;
    let runs = market.job.runs.iter().enumerate();
    let first = runs.min_by(|(_, a), (_, b)| here(b).cmp(&here(a)).then_with(|| natural(&a.name, &b.name)));
    RunId(first.and_then(|(at, _)| u32::try_from(at).ok()).unwrap_or(0))
}

/// What a way makes a fitting up from, in words.
fn named(market: &Market<'_>, way: &Way) -> String {
    in_words(market.lexicon, market.catalog, &way.fittings)
}
