//! Choosing: what every supplier asks for every line is put to [`crate::search::suppliers`], and what comes back is said in
//! suppliers and money. It knows no packs and no pieces. Called by the coupling iteration.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::{Market, price};
use crate::estimate::landed::{FewSuppliers, OneSupplier, SupplierOrder};
use crate::estimate::{BuyingPlan, ItemId};
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

/// A line whose choice is locked: what is bought at each supplier, in cents.
pub(super) struct LockedLine {
    pub(super) item: ItemId,
    pub(super) goods: Vec<(Word, u64)>,
}

/// All ways to buy a line at a supplier that cost no more than so many cents.
type Ways<'a> = Box<dyn Fn(usize, Word, u64) -> Option<Vec<Way>> + 'a>;

/// What is to be bought in one alternative, and from whom it may be: the suppliers that ask for a line or sell a locked
/// one, by name, with what they charge beside their goods.
pub(super) struct Wanted<'a> {
    pub(super) lines: Vec<Line>,
    pub(super) locked: Vec<LockedLine>,
    ways: Ways<'a>,
    suppliers: Vec<Word>,
    sellers: Vec<Seller>,
    /// The place of each supplier.
    places: BTreeMap<Word, usize>,
}

/// Where each line is bought, and what it costs there in cents.
#[derive(Clone)]
pub(super) struct Chosen {
    pub(super) lines: Vec<(Word, u64)>,
    /// Goods and fees.
    cents: u64,
    bound: u64,
    open: Vec<bool>,
    /// Whether every order reaches its minimum.
    reached: bool,
}

impl Chosen {
    /// What goods and fees come to; nothing where an order cannot reach its minimum.
    pub(super) fn cost(&self) -> Option<Decimal> {
        self.reached.then(|| price::from_cents(self.cents))
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

impl<'a> Wanted<'a> {
    pub(super) fn of(
        market: &Market<'_>,
        lines: Vec<Line>,
        locked: Vec<LockedLine>,
        ways: impl Fn(usize, Word, u64) -> Option<Vec<Way>> + 'a,
    ) -> Self {
        let text = |word: Word| market.lexicon.text(word);
        let asks = lines.iter().flat_map(|line| &line.asks).map(|asks| asks.supplier);
        let goods = || locked.iter().flat_map(|line| &line.goods);
        let mut suppliers: Vec<Word> = asks.chain(goods().map(|(supplier, _)| *supplier)).collect();
        suppliers.sort_by(|a, b| natural(text(*a), text(*b)).then_with(|| a.cmp(b)));
        suppliers.dedup();
        let sellers = suppliers.iter().map(|name| {
            let row = market.job.supplier(*name);
            let cents = |sum: Decimal| price::cents(sum).unwrap_or(0);
            let there = goods().filter(|(supplier, _)| supplier == name).map(|(_, cents)| *cents);
            Seller {
                fee: row.map_or(0, |row| cents(row.delivery_fee)),
                least: row.map_or(0, |row| cents(row.minimum_order)),
                held: there.reduce(u64::saturating_add),
            }
        });
        let sellers = sellers.collect();
        let places = suppliers.iter().enumerate().map(|(place, name)| (*name, place)).collect();
        Self { ways: Box::new(ways), suppliers, sellers, places, lines, locked }
    }

    /// The sellers, whatever their orders come to.
    fn without_minimums(&self) -> Vec<Seller> {
        self.sellers.iter().map(|seller| Seller { least: 0, ..seller.clone() }).collect()
    }

    fn place(&self, supplier: Word) -> usize {
        self.places.get(&supplier).copied().unwrap_or(0)
    }

    /// Whether every cost is proven: then the choice by bounds is the same.
    pub(super) fn is_proven(&self) -> bool {
        self.lines.iter().flat_map(|line| &line.asks).all(|asks| asks.bound == asks.cents)
    }

    /// Decides where every line is bought. Where the minimum orders cannot be reached in any way, they are set aside.
    pub(super) fn choose(&self, by: By) -> Chosen {
        let (sourced, reached) = self.reached_or_not(by, usize::MAX);
        let Some(sourced) = sourced else {
            let open = vec![false; self.suppliers.len()];
            return Chosen { lines: Vec::new(), cents: 0, bound: 0, open, reached };
        };
        let lines = sourced.lines.iter().map(|quote| (self.suppliers[quote.seller], quote.cents)).collect();
        Chosen { lines, cents: sourced.cents, bound: sourced.bound, open: sourced.open, reached }
    }

    /// What nothing costs less than with at most so many suppliers.
    pub(super) fn bound(&self, most: usize) -> Decimal {
        bound_of(self.reached_or_not(By::Bound, most).0)
    }

    /// What nothing costs less than, were there no minimum orders.
    pub(super) fn bound_without_minimums(&self) -> Decimal {
        let lines = self.quotes(By::Bound, |_| true);
        bound_of(self.solve(&self.without_minimums(), &lines, usize::MAX))
    }

    /// The best choice, and whether it reaches all minimum orders.
    fn reached_or_not(&self, by: By, most: usize) -> (Option<Sourced>, bool) {
        let lines = self.quotes(by, |_| true);
        match self.solve(&self.sellers, &lines, most) {
            Some(sourced) => (Some(sourced), true),
            None => (self.solve(&self.without_minimums(), &lines, most), false),
        }
    }

    fn quotes(&self, by: By, of: impl Fn(usize) -> bool) -> Vec<Vec<Quote>> {
        let quote = |asks: &Asks| {
            let cents = if by == By::Cost { asks.cents } else { asks.bound };
            Quote { seller: self.place(asks.supplier), cents, packs: asks.packs }
        };
        let lines = self.lines.iter().map(|line| {
            let mut quotes: Vec<Quote> =
                line.asks.iter().filter(|asks| of(self.place(asks.supplier))).map(quote).collect();
            quotes.sort_by_key(|quote| quote.seller);
            quotes
        });
        lines.collect()
    }

    fn solve(&self, sellers: &[Seller], lines: &[Vec<Quote>], most: usize) -> Option<Sourced> {
        let ways = |line: usize, seller: usize, cents: u64| (self.ways)(line, self.suppliers[seller], cents);
        source(&Sourcing { sellers, lines, ways: &ways, most })
    }

    /// The buying plan of what was chosen; `bound` is the choice by bounds.
    pub(super) fn plan(&self, chosen: &Chosen, bound: &Chosen) -> BuyingPlan {
        let mut goods: Vec<u64> = self.sellers.iter().map(|seller| seller.held.unwrap_or(0)).collect();
        let mut topped = vec![0_u64; goods.len()];
        for (line, (supplier, cents)) in self.lines.iter().zip(&chosen.lines) {
            let place = self.place(*supplier);
            goods[place] = goods[place].saturating_add(*cents);
            let least = line.asks.iter().find(|asks| asks.supplier == *supplier);
            let least = least.map_or(*cents, |asks| asks.cents);
            topped[place] = topped[place].saturating_add(cents.saturating_sub(least));
        }
        let all = || 0..self.suppliers.len();
        let orders = all().filter(|place| chosen.open[*place]).map(|place| SupplierOrder {
            supplier: self.suppliers[place],
            goods: price::from_cents(goods[place]),
            fee: price::from_cents(self.sellers[place].fee),
            minimum_order: price::from_cents(self.sellers[place].least),
            met: goods[place] >= self.sellers[place].least,
            topped_up: price::from_cents(topped[place]),
        });
        BuyingPlan {
            suppliers: orders.collect(),
            cost: price::from_cents(chosen.cents),
            bound: price::from_cents(bound.bound.min(chosen.cents)),
            given: Vec::new(),
            not_priced: 0,
            with_one: all().map(|place| self.with_one(place)).collect(),
            with_two: self.with_two(),
        }
    }

    /// All from one supplier.
    fn with_one(&self, place: usize) -> OneSupplier {
        let supplier = self.suppliers[place];
        let elsewhere =
            self.locked.iter().filter(|line| line.goods.iter().any(|(name, _)| *name != supplier));
        let unsold = self.lines.iter().filter(|line| line.asks.iter().all(|asks| asks.supplier != supplier));
        let lacks: Vec<ItemId> =
            elsewhere.map(|line| line.item).chain(unsold.map(|line| line.item)).collect();
        let sourced = lacks.is_empty().then(|| {
            let lines = self.quotes(By::Cost, |seller| seller == place);
            self.solve(&self.sellers, &lines, 1)
        });
        let landed = sourced.flatten().map(|sourced| price::from_cents(sourced.cents));
        OneSupplier { supplier, landed, lacks }
    }

    /// The least with at most two suppliers.
    fn with_two(&self) -> Option<FewSuppliers> {
        let lines = self.quotes(By::Cost, |_| true);
        let sourced = self.solve(&self.sellers, &lines, 2)?;
        let by_bound = self.quotes(By::Bound, |_| true);
        let bound = match by_bound == lines {
            true => sourced.bound,
            false => self.solve(&self.sellers, &by_bound, 2).map_or(0, |least| least.bound),
        };
        let open = self.suppliers.iter().zip(&sourced.open).filter(|(_, open)| **open);
        Some(FewSuppliers {
            suppliers: open.map(|(name, _)| *name).collect(),
            landed: price::from_cents(sourced.cents),
            bound: price::from_cents(bound.min(sourced.cents)),
        })
    }
}

fn bound_of(sourced: Option<Sourced>) -> Decimal {
    price::from_cents(sourced.map_or(0, |sourced| sourced.bound))
}
