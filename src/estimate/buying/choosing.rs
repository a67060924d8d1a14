//! Choosing: what every supplier asks for every line is put to [`crate::search::suppliers`], and what comes back is said in
//! suppliers and money. It knows no packs and no pieces. Called by [`super::buy`].

use rust_decimal::Decimal;

use super::{Market, price};
use crate::estimate::item::ItemId;
use crate::estimate::landed::{BuyingPlan, FewSuppliers, OneSupplier, SupplierOrder};
use crate::ground::name::natural;
use crate::search::suppliers::{Quote, Seller, Sourced, Sourcing, Way, source};
use crate::trade::Word;

/// What a supplier asks for a line.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asks {
    pub(super) supplier: Word,
    /// The cheapest there, in cents.
    pub(super) cents: u64,
    /// Nothing costs less there.
    pub(super) bound: u64,
    /// Packs, and loose goods one each.
    pub(super) packs: u64,
}

/// A line that is bought from one of several suppliers.
pub(super) struct Line {
    pub(super) item: ItemId,
    pub(super) asks: Vec<Asks>,
}

/// A line whose choice is held: what is bought at each supplier.
pub(super) struct HeldLine {
    pub(super) item: ItemId,
    pub(super) goods: Vec<(Word, u64)>,
}

/// What is to be bought in one alternative.
pub(super) struct Wanted<'a> {
    pub(super) lines: &'a [Line],
    pub(super) held: &'a [HeldLine],
    /// All ways to buy a line at a supplier that cost no more than so many cents.
    pub(super) ways: &'a dyn Fn(usize, Word, u64) -> Option<Vec<Way>>,
}

/// Where each line is bought, and what it costs there in cents.
#[derive(Clone)]
pub(super) struct Chosen {
    pub(super) lines: Vec<(Word, u64)>,
    /// Goods and fees.
    cents: u64,
    bound: u64,
    open: Vec<bool>,
    /// Whether every order reaches its least sum.
    reached: bool,
}

impl Chosen {
    /// What goods and fees come to; nothing where an order cannot reach its least sum.
    pub(super) fn cost(&self) -> Option<Decimal> {
        self.reached.then(|| price::from_cents(self.cents))
    }
}

/// The suppliers of a job's lines, with what they charge beside their goods.
#[derive(Clone)]
pub(super) struct Sellers {
    names: Vec<Word>,
    terms: Vec<Seller>,
}

impl Sellers {
    /// All that ask for a line or hold one, by name.
    pub(super) fn of(market: &Market<'_>, wanted: &Wanted<'_>) -> Self {
        let text = |word: Word| market.lexicon.text(word);
        let asks = wanted.lines.iter().flat_map(|line| &line.asks).map(|asks| asks.supplier);
        let held = || wanted.held.iter().flat_map(|line| &line.goods);
        let mut names: Vec<Word> = asks.chain(held().map(|(supplier, _)| *supplier)).collect();
        names.sort_by(|a, b| natural(text(*a), text(*b)).then_with(|| a.cmp(b)));
        names.dedup();
        let terms = names.iter().map(|name| {
            let row = market.job.supplier(*name);
            let cents = |sum: Decimal| price::cents(sum).unwrap_or(0);
            let there = held().filter(|(supplier, _)| supplier == name).map(|(_, cents)| *cents);
            Seller {
                fee: row.map_or(0, |row| cents(row.delivery_fee)),
                least: row.map_or(0, |row| cents(row.least_order)),
                held: there.reduce(u64::saturating_add),
            }
        });
        let terms = terms.collect();
        Self { names, terms }
    }

    /// The same, whatever their orders come to.
    pub(super) fn without_least_orders(mut self) -> Self {
        for seller in &mut self.terms {
            seller.least = 0;
        }
        self
    }

    fn place(&self, supplier: Word) -> usize {
        self.names.iter().position(|name| *name == supplier).unwrap_or(0)
    }
}

/// Which number of a quote counts.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum By {
    /// What it costs.
    Cost,
    /// What nothing can cost less than.
    Bound,
}

/// Decides where every line is bought. Where the least orders cannot be reached in any way, they are set aside.
pub(super) fn choose(sellers: &Sellers, wanted: &Wanted<'_>, by: By) -> Chosen {
    let lines = quotes(sellers, wanted, by, |_| true);
    let (sourced, reached) = reached_or_not(sellers, wanted, &lines, usize::MAX);
    let Some(sourced) = sourced else {
        let open = vec![false; sellers.names.len()];
        return Chosen { lines: Vec::new(), cents: 0, bound: 0, open, reached };
    };
    let lines = sourced.lines.iter().map(|quote| (sellers.names[quote.seller], quote.cents)).collect();
    Chosen { lines, cents: sourced.cents, bound: sourced.bound, open: sourced.open, reached }
}

/// What nothing costs less than with at most so many suppliers.
pub(super) fn bound(sellers: &Sellers, wanted: &Wanted<'_>, most: usize) -> Decimal {
    let lines = quotes(sellers, wanted, By::Bound, |_| true);
    let (sourced, _) = reached_or_not(sellers, wanted, &lines, most);
    price::from_cents(sourced.map_or(0, |sourced| sourced.bound))
}

/// The best choice, and whether it reaches all least orders.
fn reached_or_not(
    sellers: &Sellers,
    wanted: &Wanted<'_>,
    lines: &[Vec<Quote>],
    most: usize,
) -> (Option<Sourced>, bool) {
    let sourced = solve(sellers, &sellers.terms, lines, wanted, most);
    if sourced.is_some() {
        return (sourced, true);
    }
    let aside = sellers.clone().without_least_orders();
    (solve(sellers, &aside.terms, lines, wanted, most), false)
}

fn quotes(sellers: &Sellers, wanted: &Wanted<'_>, by: By, of: impl Fn(usize) -> bool) -> Vec<Vec<Quote>> {
    let quote = |asks: &Asks| {
        let cents = if by == By::Cost { asks.cents } else { asks.bound };
        Quote { seller: sellers.place(asks.supplier), cents, packs: asks.packs }
    };
    let lines = wanted.lines.iter().map(|line| {
        let mut quotes: Vec<Quote> = line.asks.iter().map(quote).filter(|quote| of(quote.seller)).collect();
        quotes.sort_by_key(|quote| quote.seller);
        quotes
    });
    lines.collect()
}

fn solve(
    sellers: &Sellers,
    terms: &[Seller],
    lines: &[Vec<Quote>],
    wanted: &Wanted<'_>,
    most: usize,
) -> Option<Sourced> {
    let ways = |line: usize, seller: usize, cents: u64| (wanted.ways)(line, sellers.names[seller], cents);
    source(&Sourcing { sellers: terms, lines, ways: &ways, most })
}

/// The buying plan of what was chosen; `bound` is the choice by bounds.
pub(super) fn plan(sellers: &Sellers, wanted: &Wanted<'_>, chosen: &Chosen, bound: &Chosen) -> BuyingPlan {
    let mut goods: Vec<u64> = sellers.terms.iter().map(|seller| seller.held.unwrap_or(0)).collect();
    let mut topped = vec![0_u64; goods.len()];
    for (line, (supplier, cents)) in wanted.lines.iter().zip(&chosen.lines) {
        let place = sellers.place(*supplier);
        goods[place] = goods[place].saturating_add(*cents);
        let least =
            line.asks.iter().find(|asks| asks.supplier == *supplier).map_or(*cents, |asks| asks.cents);
        topped[place] = topped[place].saturating_add(cents.saturating_sub(least));
    }
    let orders = (0..goods.len()).filter(|place| chosen.open[*place]).map(|place| SupplierOrder {
        supplier: sellers.names[place],
        goods: price::from_cents(goods[place]),
        fee: price::from_cents(sellers.terms[place].fee),
        least_order: price::from_cents(sellers.terms[place].least),
        met: goods[place] >= sellers.terms[place].least,
        topped_up: price::from_cents(topped[place]),
    });
    BuyingPlan {
        suppliers: orders.collect(),
        cost: price::from_cents(chosen.cents),
        bound: price::from_cents(bound.bound.min(chosen.cents)),
        given: Vec::new(),
        not_priced: 0,
        with_one: (0..goods.len()).map(|place| with_one(sellers, wanted, place)).collect(),
        with_two: with_two(sellers, wanted),
    }
}

/// All from one supplier.
fn with_one(sellers: &Sellers, wanted: &Wanted<'_>, place: usize) -> OneSupplier {
    let supplier = sellers.names[place];
    let elsewhere = wanted.held.iter().filter(|line| line.goods.iter().any(|(name, _)| *name != supplier));
    let unsold = wanted.lines.iter().filter(|line| line.asks.iter().all(|asks| asks.supplier != supplier));
    let lacks: Vec<ItemId> = elsewhere.map(|line| line.item).chain(unsold.map(|line| line.item)).collect();
    let sourced = lacks.is_empty().then(|| {
        let lines = quotes(sellers, wanted, By::Cost, |seller| seller == place);
        solve(sellers, &sellers.terms, &lines, wanted, 1)
    });
    OneSupplier { supplier, landed: sourced.flatten().map(|sourced| price::from_cents(sourced.cents)), lacks }
}

/// The least with at most two suppliers.
fn with_two(sellers: &Sellers, wanted: &Wanted<'_>) -> Option<FewSuppliers> {
    let lines = quotes(sellers, wanted, By::Cost, |_| true);
    let sourced = solve(sellers, &sellers.terms, &lines, wanted, 2)?;
    let by_bound = quotes(sellers, wanted, By::Bound, |_| true);
    let bound = match by_bound == lines {
        true => sourced.bound,
        false => solve(sellers, &sellers.terms, &by_bound, wanted, 2).map_or(0, |least| least.bound),
    };
    let open = sellers.names.iter().zip(&sourced.open).filter(|(_, open)| **open);
    Some(FewSuppliers {
        suppliers: open.map(|(name, _)| *name).collect(),
        landed: price::from_cents(sourced.cents),
        bound: price::from_cents(bound.min(sourced.cents)),
    })
}
