//! The coupling iteration: where everything is bought. Tube is quoted; all else is asked for with the couplings that the
//! plans of tube add; suppliers are chosen for all lines together; again, where that choice has other couplings than were
//! asked for. Asking changes nothing: what was asked for last stands in what is decided.

use std::collections::HashMap;

use rust_decimal::Decimal;

use super::ask::{Ask, OrderBuilder, Settled};
use super::choosing::{Asks, By, Chosen, Line, LockedLine, Wanted};
use super::lot::is_counted_each;
use super::shelf::Shelf;
use super::{extra_couplings, parts, price, tube};
use crate::estimate::takeoff::{Need, Piece};
use crate::estimate::{BuyingPlan, Claim, Given, ItemId, OfferId};
use crate::trade::Word;

/// After so many turns the couplings are those of the suppliers chosen: from the second on tube stays where it is.
const TURNS: usize = 5;

/// What an alternative needs.
pub(super) struct Needed {
    pub(super) tubes: Vec<Need>,
    /// All but tube, without what cut plans add.
    pub(super) others: Vec<Need>,
    /// The pieces of every item.
    pub(super) pieces: Vec<Vec<Piece>>,
    /// The place of every item in the order shown.
    pub(super) ranks: Vec<u32>,
}

/// Couplings that the plan of each tube adds, or spares.
pub(super) type Couplings = Vec<(ItemId, i64)>;

/// What is finally decided: each line with what was asked for it, and which suppliers get an order.
pub(super) struct Order<'a> {
    pub(super) lines: Vec<(Ask<'a>, Settled)>,
    /// Couplings that were asked for, and all that they add to each item.
    pub(super) couplings: Couplings,
    pub(super) added: Vec<(ItemId, Decimal)>,
    pub(super) plan: BuyingPlan,
}

impl Order<'_> {
    /// Lines without a price.
    pub(super) fn not_priced(&self) -> usize {
        self.lines.iter().filter(|(_, settled)| settled.line.extended.is_none()).count()
    }
}

/// A need as it is asked for, and what becomes of it before it is known who sells it.
struct Quoted<'a> {
    ask: Ask<'a>,
    quotes: Quotes<'a>,
}

enum Quotes<'a> {
    /// Nothing is left to decide.
    Settled(Box<Settled>),
    Tube(Box<tube::Open<'a>>),
    Parts(Box<parts::Open>),
}

/// All but tube, as it is asked for with so many couplings.
struct Turn<'a> {
    parts: Vec<Quoted<'a>>,
    /// What the plans add to each item.
    added: Vec<(ItemId, Decimal)>,
}

/// Where everything is bought, and what was asked for until that was decided.
struct Decided<'a> {
    couplings: Couplings,
    turn: Turn<'a>,
    chosen: Chosen,
    /// The choice by bounds.
    bound: Chosen,
    /// Whether each tube stayed at the supplier where it was: the bound is only for that.
    stayed: bool,
}

/// Which suppliers lines may be bought from.
#[derive(Default)]
struct May<'s> {
    /// None but these.
    among: Option<&'s [Word]>,
    /// Each tube from the supplier where it is.
    stay: Vec<Option<Word>>,
}

impl May<'_> {
    fn be_from(&self, supplier: Word) -> bool {
        self.among.is_none_or(|among| among.contains(&supplier))
    }

    /// Whether a line may be bought there, by its place; tubes are the first.
    fn be_bought(&self, at: usize, supplier: Word) -> bool {
        let stays_at = self.stay.get(at).copied().flatten();
        self.be_from(supplier) && stays_at.is_none_or(|there| there == supplier)
    }
}

impl<'a> Quoted<'a> {
    fn tube(builder: &OrderBuilder<'a>, need: &Need, pieces: &'a [Piece], shelf: &mut Shelf) -> Self {
        let ask = builder.ask(need, shelf);
        let quotes = match tube::quote(builder, &ask, pieces, shelf) {
            Ok(open) => Quotes::Tube(Box::new(open)),
            Err(settled) => Quotes::Settled(settled),
        };
        Self { ask, quotes }
    }

    fn parts(builder: &OrderBuilder<'a>, need: &Need, shelf: &mut Shelf) -> Self {
        let ask = builder.ask(need, shelf);
        let quotes = match parts::quote(builder, &ask, shelf) {
            Ok(open) => Quotes::Parts(Box::new(open)),
            Err(settled) => Quotes::Settled(settled),
        };
        Self { ask, quotes }
    }

    /// What each supplier asks; nothing where it is settled.
    fn asks(&self) -> Option<Vec<Asks>> {
        match &self.quotes {
            Quotes::Settled(_) => None,
            Quotes::Tube(open) => Some(open.asks()),
            Quotes::Parts(open) => Some(open.asks()),
        }
    }

    /// All ways to buy it at a supplier that cost no more than so many cents; of tube its plan, and more of what is
    /// offered there beside it.
    fn ways(&self, supplier: Word, most: u64) -> Option<Vec<(u64, u64)>> {
        match &self.quotes {
            Quotes::Settled(_) => None,
            Quotes::Tube(open) => open.ways(supplier, most),
            Quotes::Parts(open) => open.ways(supplier, most),
        }
    }

    /// What is bought already, because its choice is locked.
    fn locked(&self, builder: &OrderBuilder<'_>) -> Option<LockedLine> {
        let Quotes::Settled(settled) = &self.quotes else { return None };
        let goods = settled.line.picks.iter().map(|pick| {
            (builder.market.offer(pick.offer).supplier, price::cents(pick.extended).unwrap_or(0))
        });
        (goods.len() > 0).then(|| LockedLine { item: self.ask.id, goods: goods.collect() })
    }

    /// The couplings that the plan of a tube adds at each supplier, or as it is settled.
    fn couplings(&self) -> Vec<(Option<Word>, i64)> {
        match &self.quotes {
            Quotes::Settled(settled) => {
                vec![(None, settled.plan.as_ref().map_or(0, |plan| plan.extra_couplings))]
            }
            Quotes::Tube(open) => open.couplings().map(|(name, count)| (Some(name), count)).collect(),
            Quotes::Parts(_) => Vec::new(),
        }
    }

    /// The line as it is bought; `choices` are those of the lines that are open, in their order.
    fn settle(self, choices: &mut impl Iterator<Item = (Word, u64)>) -> (Ask<'a>, Settled) {
        let mut choice = || choices.next().unwrap_or((Word::EMPTY, 0));
        let settled = match self.quotes {
            Quotes::Settled(settled) => *settled,
            Quotes::Tube(open) => open.settle(choice()),
            Quotes::Parts(open) => open.settle(choice()),
        };
        (self.ask, settled)
    }
}

/// Decides where everything is bought, and buys it.
pub(super) fn iterate<'a>(builder: &OrderBuilder<'a>, needed: &'a Needed) -> Order<'a> {
    let mut shelf = Shelf::of(builder.market);
    let pieces = |need: &Need| &*needed.pieces[need.item.0 as usize];
    let tubes = needed.tubes.iter().map(|need| Quoted::tube(builder, need, pieces(need), &mut shelf));
    let mut tubes: Vec<Quoted<'a>> = tubes.collect();
    let iteration = Iteration { builder, needed, shelf };
    let (decided, plan) = iteration.decide(&mut tubes);
    let Decided { couplings, turn: Turn { parts, added }, chosen, .. } = decided;
    let mut choices = chosen.lines.into_iter();
    let lines = tubes.into_iter().chain(parts).map(|quoted| quoted.settle(&mut choices)).collect();
    Order { lines, couplings, added, plan }
}

/// What the iteration turns on: the builder, what is needed, and the shelf once tube is quoted.
struct Iteration<'b, 'a> {
    builder: &'b OrderBuilder<'a>,
    needed: &'a Needed,
    shelf: Shelf,
}

impl<'a> Iteration<'_, 'a> {
    /// Decides among all suppliers, or among a few that cost less; with the plan of that.
    fn decide(&self, tubes: &mut [Quoted<'a>]) -> (Decided<'a>, BuyingPlan) {
        let mut decided = self.decided(tubes, None);
        let mut plan = self.planned(tubes, &decided);
        let fewest = fewest_couplings(tubes);
        if decided.stayed || fewest != decided.couplings {
            // Tube of another supplier might have spared couplings, or cost less where it adds more: nothing costs less
            // than all tube from any supplier with the fewest couplings.
            plan.bound = plan.bound.min(self.bound_with(tubes, &fewest, usize::MAX));
        }
        if tubes.iter().any(couplings_part) {
            self.few_suppliers(tubes, &mut plan);
            if let Some(few) = cheaper_few(&plan) {
                decided = self.decided(tubes, Some(&few));
                plan = BuyingPlan {
                    bound: plan.bound,
                    with_one: plan.with_one,
                    with_two: plan.with_two,
                    ..self.planned(tubes, &decided)
                };
            }
        }
        plan.given = self.given(tubes, &decided, &plan);
        (decided, plan)
    }

    /// Asks and chooses until the couplings asked for are those of the suppliers chosen, of all suppliers or of some.
    fn decided(&self, tubes: &mut [Quoted<'a>], among: Option<&[Word]>) -> Decided<'a> {
        let mut may = May { among, stay: Vec::new() };
        let mut couplings = couplings_at(tubes, &cheapest_apart(tubes, &may));
        let mut turn = self.ask(&couplings);
        let (mut chosen, mut bound) = self.choose(tubes, &turn, &may);
        for _ in 1..TURNS {
            let at = suppliers_of_tube(tubes, &chosen);
            let now = couplings_at(tubes, &at);
            if now == couplings {
                break;
            }
            couplings = now;
            turn = self.ask(&couplings);
            may.stay = at;
            (chosen, bound) = self.choose(tubes, &turn, &may);
        }
        Decided { couplings, turn, chosen, bound, stayed: !may.stay.is_empty() }
    }

    /// Asks for all but tube, with what so many couplings add.
    fn ask(&self, couplings: &Couplings) -> Turn<'a> {
        let builder = self.builder;
        let added = extra_couplings::added(builder.market, builder.items, couplings);
        let mut needs = self.needed.others.clone();
        extra_couplings::add_to_needs(&mut needs, &added, &self.needed.tubes);
        needs.sort_by_key(|need| self.needed.ranks[need.item.0 as usize]);
        let mut shelf = self.shelf.clone();
        let parts = needs.iter().map(|need| Quoted::parts(builder, need, &mut shelf)).collect();
        Turn { parts, added }
    }

    /// All lines and who may sell them.
    fn wanted<'q>(&self, tubes: &'q [Quoted<'a>], turn: &'q Turn<'a>, may: &May<'_>) -> Wanted<'q> {
        let all = || tubes.iter().chain(&turn.parts);
        let line = |(at, quoted): (usize, &Quoted<'a>)| {
            let asks = quoted.asks()?.into_iter().filter(|asks| may.be_bought(at, asks.supplier));
            Some(Line { item: quoted.ask.id, asks: asks.collect() })
        };
        let lines = all().enumerate().filter_map(line).collect();
        let locked = all().filter_map(|quoted| quoted.locked(self.builder)).collect();
        let open: Vec<_> = all().filter(|quoted| !matches!(quoted.quotes, Quotes::Settled(_))).collect();
        Wanted::of(self.builder.market, lines, locked, move |line, supplier, most| {
            open.get(line)?.ways(supplier, most)
        })
    }

    /// Chooses for all lines, by cost and by bound. Plans of tube that one of the two would use are made in earnest, until
    /// both use only such.
    fn choose(&self, tubes: &mut [Quoted<'a>], turn: &Turn<'a>, may: &May<'_>) -> (Chosen, Chosen) {
        loop {
            let (chosen, bound) = {
                let wanted = self.wanted(tubes, turn, may);
                let chosen = wanted.choose(By::Cost);
                let bound = if wanted.is_proven() { chosen.clone() } else { wanted.choose(By::Bound) };
                (chosen, bound)
            };
            let mut improved = false;
            for chosen in [&chosen, &bound] {
                let at = suppliers_of_tube(tubes, chosen);
                for (quoted, supplier) in tubes.iter_mut().zip(at) {
                    if let (Quotes::Tube(open), Some(supplier)) = (&mut quoted.quotes, supplier) {
                        improved |= open.plan_in_earnest(supplier);
                    }
                }
            }
            if !improved {
                return (chosen, bound);
            }
        }
    }

    /// The plan of what was decided.
    fn planned(&self, tubes: &[Quoted<'a>], of: &Decided<'a>) -> BuyingPlan {
        self.wanted(tubes, &of.turn, &May::default()).plan(&of.chosen, &of.bound)
    }

    /// What nothing costs less than, with so many couplings, tube from any supplier and at most so many suppliers.
    fn bound_with(&self, tubes: &[Quoted<'a>], couplings: &Couplings, most: usize) -> Decimal {
        self.wanted(tubes, &self.ask(couplings), &May::default()).bound(most)
    }

    /// What fewer suppliers come to, with the couplings of their own tube.
    fn few_suppliers(&self, tubes: &mut [Quoted<'a>], plan: &mut BuyingPlan) {
        for one in plan.with_one.iter_mut().filter(|one| one.landed.is_some()) {
            one.landed = self.decided(tubes, Some(&[one.supplier])).chosen.cost();
        }
        let Some(two) = &mut plan.with_two else { return };
        if let Some(cost) = self.decided(tubes, Some(&two.suppliers)).chosen.cost() {
            two.landed = cost;
        }
        two.bound = self.bound_with(tubes, &fewest_couplings(tubes), 2).min(two.landed);
    }

    /// What the bound takes as it is: a plan that is proven is least only with that.
    fn given(&self, tubes: &[Quoted<'a>], of: &Decided<'a>, plan: &BuyingPlan) -> Vec<Given> {
        let open = || {
            tubes.iter().filter_map(|quoted| match &quoted.quotes {
                Quotes::Tube(open) => Some(open),
                Quotes::Settled(_) | Quotes::Parts(_) => None,
            })
        };
        let is_joined = |quoted: &Quoted<'a>| match &quoted.quotes {
            Quotes::Settled(settled) => settled.plan.as_ref().is_some_and(|plan| !plan.joined.is_empty()),
            Quotes::Tube(open) => open.is_joined(),
            Quotes::Parts(_) => false,
        };
        // More of the coils and sticks of a plan may be bought, and nothing is known of other plans that cost more. Where
        // the bound is the same without minimum orders, the proof does not rest on how orders are topped up.
        let asks_a_minimum = |supplier: Word| {
            self.builder.market.job.supplier(supplier).is_some_and(|row| !row.minimum_order.is_zero())
        };
        let wanted = self.wanted(tubes, &of.turn, &May::default());
        let is_topped_up = plan.claim() == Claim::Least
            && open().flat_map(|open| open.asks()).any(|asks| asks_a_minimum(asks.supplier))
            && wanted.bound_without_minimums() < plan.cost;
        let given = [
            (Given::Locked, !wanted.locked.is_empty()),
            (Given::Joined, tubes.iter().any(is_joined)),
            (Given::Loose, open().any(|open| open.is_in_two_ways())),
            (Given::Apart, self.shares_an_offer(tubes.iter().chain(&of.turn.parts))),
            (Given::ToppedUp, is_topped_up),
        ];
        given.into_iter().filter(|(_, is_so)| *is_so).map(|(given, _)| given).collect()
    }

    /// Whether two lines are open to one offer that would cost less for both together.
    fn shares_an_offer<'q>(&self, quoted: impl Iterator<Item = &'q Quoted<'a>>) -> bool
    where
        'a: 'q,
    {
        let is_open = |quoted: &&Quoted<'_>| !matches!(quoted.quotes, Quotes::Settled(_));
        let mut line_of: HashMap<OfferId, ItemId> = HashMap::new();
        quoted.filter(is_open).any(|Quoted { ask, .. }| {
            let is_each = is_counted_each(self.builder.market.lexicon, ask.item);
            let mut shared = ask.lots.iter().filter(|lot| lot.may_be_shared(is_each));
            shared.any(|lot| *line_of.entry(lot.offer).or_insert(ask.id) != ask.id)
        })
    }
}

/// One or two suppliers that cost less than what was decided among all, if there are such: couplings were asked for one
/// after the other.
fn cheaper_few(plan: &BuyingPlan) -> Option<Vec<Word>> {
    let one = plan.with_one.iter().filter_map(|one| Some((one.landed?, vec![one.supplier])));
    let two = plan.with_two.iter().map(|two| (two.landed, two.suppliers.clone()));
    let few = one.chain(two).min_by(|a, b| a.0.cmp(&b.0));
    few.filter(|(landed, _)| *landed < plan.cost).map(|(_, suppliers)| suppliers)
}

/// The supplier of each tube that is open, as chosen.
fn suppliers_of_tube(tubes: &[Quoted<'_>], chosen: &Chosen) -> Vec<Option<Word>> {
    let mut at = chosen.lines.iter().map(|(supplier, _)| *supplier);
    let of = |quoted: &Quoted<'_>| match quoted.quotes {
        Quotes::Tube(_) | Quotes::Parts(_) => at.next(),
        Quotes::Settled(_) => None,
    };
    tubes.iter().map(of).collect()
}

/// The cheapest supplier of each tube by itself.
fn cheapest_apart(tubes: &[Quoted<'_>], may: &May<'_>) -> Vec<Option<Word>> {
    let of = |quoted: &Quoted<'_>| match &quoted.quotes {
        Quotes::Tube(open) => open.cheapest(|supplier| may.be_from(supplier)),
        Quotes::Settled(_) | Quotes::Parts(_) => None,
    };
    tubes.iter().map(of).collect()
}

/// What the plans add where each tube is bought at a supplier.
fn couplings_at(tubes: &[Quoted<'_>], at: &[Option<Word>]) -> Couplings {
    let of = |(quoted, at): (&Quoted<'_>, &Option<Word>)| {
        let mut counts = quoted.couplings().into_iter();
        (quoted.ask.id, counts.find(|(supplier, _)| supplier == at).map_or(0, |(_, count)| count))
    };
    tubes.iter().zip(at).map(of).collect()
}

/// Whether the plans of a tube add more couplings at one supplier than at another.
fn couplings_part(quoted: &Quoted<'_>) -> bool {
    quoted.couplings().windows(2).any(|pair| pair[0].1 != pair[1].1)
}

/// The fewest that the plan of any supplier adds.
fn fewest_couplings(tubes: &[Quoted<'_>]) -> Couplings {
    let fewest = |quoted: &Quoted<'_>| quoted.couplings().into_iter().map(|(_, count)| count).min();
    tubes.iter().map(|quoted| (quoted.ask.id, fewest(quoted).unwrap_or(0))).collect()
}
