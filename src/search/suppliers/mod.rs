//! Sourcing: which supplier sells which line, so that goods and delivery fees together cost least and every order
//! reaches its supplier's minimum. Whole numbers in, whole numbers out; it knows no parts and no prices of packs.
//!
//! A line is bought from one supplier whole. Which suppliers are open is decided first: with the open suppliers fixed
//! and no minimum order in the way, each line goes where it costs least, so a set of suppliers has an exact cost at
//! once, and a set that is only partly decided has a bound. All sets are tried that their bound does not rule out.
//! Where a minimum order is in the way, `minimum_order` decides the set.
//!
//! Of equal sums the fewer suppliers win, then the fewer packs (loose goods count one each), then the set that comes
//! first when suppliers stand by name, then line by line the first supplier. Where a minimum order is in the way, the
//! packs are those before it is topped up, and it is topped up with more of as few lines as that takes, the first.

mod meet_in_the_middle;
mod minimum_order;
mod partial_choice;
mod shares;
mod top_up;

/// What one supplier asks beside the price of goods, in cents.
#[derive(Debug, Clone, Default)]
pub struct Seller {
    /// Charged once for its order.
    pub fee: u64,
    /// The minimum of its order.
    pub least: u64,
    /// Goods that are bought there whatever is decided here; an order stands even where they cost nothing.
    pub held: Option<u64>,
}

/// The cheapest way to buy one line at one supplier.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Quote {
    /// Which supplier, by its place.
    pub seller: usize,
    /// What it costs.
    pub cents: u64,
    /// Packs, and loose goods one each.
    pub packs: u64,
}

/// One way to buy a line: what it costs and its packs.
pub type Way = (u64, u64);

/// What is to be decided.
pub struct Sourcing<'a> {
    /// Suppliers by name.
    pub sellers: &'a [Seller],
    /// Each line's quotes, by supplier; none empty.
    pub lines: &'a [Vec<Quote>],
    /// All ways to buy a line at a supplier that cost no more than so many cents, the cheapest of each sum once, sums
    /// going up; nothing where they are too many to go through.
    pub ways: &'a dyn Fn(usize, usize, u64) -> Option<Vec<Way>>,
    /// At most so many suppliers.
    pub most: usize,
}

/// Where every line is bought.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sourced {
    /// Goods and fees in cents, held goods with them.
    pub cents: u64,
    /// Nothing can cost less.
    pub bound: u64,
    /// Each line's supplier, what it costs there, and its packs.
    pub lines: Vec<Quote>,
    /// Suppliers with an order.
    pub open: Vec<bool>,
}

/// Sets of suppliers that are looked at, partly decided ones with them. Up to six suppliers have at most 127.
const SETS: u32 = 4_000;

/// Sets in which a minimum order is in the way that may be gone through with many steps.
const HARD: u32 = 3;

/// A sum with what breaks ties between equal ones: cents, then suppliers, then packs, in one number.
pub(super) type Weight = u128;

/// The weight of so many cents and packs.
pub(super) fn weight(cents: u64, packs: u64) -> Weight {
    (u128::from(cents) << 64) + u128::from(packs.min(1 << 40))
}

/// One more supplier, beside equal sums.
const SUPPLIER: Weight = 1 << 56;

/// The cents of a weight.
pub(super) fn cents(weight: Weight) -> u64 {
    u64::try_from(weight >> 64).unwrap_or(u64::MAX)
}

/// Decides where every line is bought; nothing where no set of suppliers can reach its minimum orders, or sell it all.
pub fn source(of: &Sourcing<'_>) -> Option<Sourced> {
    let mut search = Search {
        of,
        open: of.sellers.iter().map(|seller| seller.held.is_some()).collect(),
        closed: vec![false; of.sellers.len()],
        best: None,
        short: Vec::new(),
        left: SETS,
        bound: u64::MAX,
        found: 0,
    };
    if search.opened() > of.most {
        return None;
    }
    search.sets(0);
    search.short_sets();
    let (_, _, mut best) = search.best?;
    best.bound = best.cents.min(search.bound);
    Some(best)
}

struct Search<'a, 'b> {
    of: &'a Sourcing<'b>,
    open: Vec<bool>,
    closed: Vec<bool>,
    /// The best so far, with its weight and the place of its set.
    best: Option<(Weight, u32, Sourced)>,
    /// Sets in which a minimum order is in the way: bound, place, open suppliers.
    short: Vec<(Weight, u32, Vec<bool>)>,
    /// Sets that may still be looked at.
    left: u32,
    /// The least that a set which was not decided may cost.
    bound: u64,
    /// Sets decided so far: the place of the next.
    found: u32,
}

impl Search<'_, '_> {
    fn opened(&self) -> usize {
        self.open.iter().filter(|open| **open).count()
    }

    /// Whether nothing of this weight can be better than what is there.
    fn is_beaten(&self, weight: Weight, place: u32) -> bool {
        self.best.as_ref().is_some_and(|(best, at, _)| (*best, *at) <= (weight, place))
    }

    fn keep(&mut self, weight: Weight, place: u32, sourced: Sourced) {
        if !self.is_beaten(weight, place) {
            self.best = Some((weight, place, sourced));
        }
    }

    /// Decides the suppliers from one on, each open first: sets with the first names come first.
    fn sets(&mut self, from: usize) {
        let full = self.opened() >= self.of.most;
        let may = |s: usize| self.open[s] || (!full && !self.closed[s]);
        let Some((weight, lines)) = apart(self.of, &may, &self.open) else { return };
        if self.is_beaten(weight, self.found) {
            return;
        }
        if self.left == 0 {
            self.bound = self.bound.min(cents(weight));
            return;
        }
        self.left -= 1;
        let next = (from..self.open.len()).find(|s| !full && !self.open[*s] && self.sells(*s));
        let Some(next) = next else {
            return self.decided(weight, lines);
        };
        self.open[next] = true;
        self.sets(next + 1);
        self.open[next] = false;
        self.closed[next] = true;
        self.sets(next + 1);
        self.closed[next] = false;
    }

    fn sells(&self, seller: usize) -> bool {
        self.of.lines.iter().flatten().any(|quote| quote.seller == seller)
    }

    /// A whole set: its cost is exact unless a minimum order is in the way.
    fn decided(&mut self, weight: Weight, lines: Vec<Quote>) {
        let place = self.found;
        self.found += 1;
        let goods = goods(self.of, &lines);
        let is_short = |s: usize| self.open[s] && goods[s] < self.of.sellers[s].least;
        if (0..goods.len()).any(is_short) {
            self.short.push((weight, place, self.open.clone()));
            return;
        }
        let sourced = sourced(self.of, lines, self.open.clone());
        self.keep(weight, place, sourced);
    }

    /// The sets in which a minimum order is in the way, the most promising first.
    fn short_sets(&mut self) {
        let mut short = std::mem::take(&mut self.short);
        short.sort_by_key(|(weight, place, _)| (*weight, *place));
        let mut bounded: Vec<(u64, u32, Vec<bool>, shares::Reach)> = Vec::new();
        for (weight, place, open) in short {
            if !self.is_beaten(weight, place) {
                let reach = shares::relax(self.of, &open);
                bounded.push((reach.bound.max(cents(weight)), place, open, reach));
            }
        }
        bounded.sort_by_key(|(bound, place, ..)| (*bound, *place));
        let mut hard = HARD;
        for (bound, place, open, reach) in bounded {
            let most = self.best.as_ref().map_or(u64::MAX, |(_, _, best)| best.cents);
            if bound > most {
                continue;
            }
            let reached = minimum_order::reach(self.of, &open, &reach, most, &mut hard);
            self.bound = self.bound.min(reached.bound);
            if let Some(lines) = reached.lines {
                let sourced = sourced(self.of, lines, open);
                let weight = weight_of(self.of, &sourced);
                self.keep(weight, place, sourced);
            }
        }
    }
}

/// Every line where it costs least among the suppliers that may be open, and the weight of that with the fees of
/// those that are; nothing where a line has no supplier.
fn apart(of: &Sourcing<'_>, may: &dyn Fn(usize) -> bool, open: &[bool]) -> Option<(Weight, Vec<Quote>)> {
    let mut sum = standing(of, open);
    let mut lines = Vec::with_capacity(of.lines.len());
    for quotes in of.lines {
        let best = quotes.iter().filter(|quote| may(quote.seller));
        let best = best.min_by_key(|quote| weight(quote.cents, quote.packs))?;
        sum = sum.checked_add(weight(best.cents, best.packs))?;
        lines.push(*best);
    }
    Some((sum, lines))
}

/// The weight of open suppliers: their fees and what is held there.
fn standing(of: &Sourcing<'_>, open: &[bool]) -> Weight {
    let sellers = of.sellers.iter().zip(open).filter(|(_, open)| **open);
    sellers.map(|(seller, _)| SUPPLIER + weight(seller.fee, 0) + weight(seller.held.unwrap_or(0), 0)).sum()
}

/// What is bought at each supplier, held goods with it.
pub(super) fn goods(of: &Sourcing<'_>, lines: &[Quote]) -> Vec<u64> {
    let mut goods: Vec<u64> = of.sellers.iter().map(|seller| seller.held.unwrap_or(0)).collect();
    for quote in lines {
        goods[quote.seller] = goods[quote.seller].saturating_add(quote.cents);
    }
    goods
}

fn sourced(of: &Sourcing<'_>, lines: Vec<Quote>, mut open: Vec<bool>) -> Sourced {
    // A supplier that nothing is bought from has no order.
    for (s, open) in open.iter_mut().enumerate() {
        *open = of.sellers[s].held.is_some() || lines.iter().any(|quote| quote.seller == s);
    }
    let sum = cents(standing(of, &open));
    let sum = lines.iter().fold(sum, |sum, quote| sum.saturating_add(quote.cents));
    Sourced { cents: sum, bound: 0, lines, open }
}

fn weight_of(of: &Sourcing<'_>, sourced: &Sourced) -> Weight {
    let lines = sourced.lines.iter().map(|quote| weight(quote.cents, quote.packs));
    standing(of, &sourced.open) + lines.sum::<Weight>()
}
