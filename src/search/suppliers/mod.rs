//! Sourcing: which supplier sells which line, so that goods and delivery fees together cost least and every order
//! reaches its supplier's minimum. Whole numbers in, whole numbers out; it knows no parts and no prices of packs.
//!
//! A line is bought from one supplier whole. Which suppliers are open is decided first (`sets`): with the open suppliers
//! fixed and no minimum order in the way, each line goes where it costs least, so a set of suppliers has an exact cost at
//! once, and one that is only partly decided has a bound (`ascent`). Sets are never gone through one by one: those of the
//! lowest bound are parted until none is left below the best. Where a minimum order is in the way, `minimum_order` decides
//! the set. Steps are counted; where they are used up, the lowest bound that is left says how far from least it may be.
//!
//! Of equal sums the fewer suppliers win, then the fewer packs (loose goods count one each), then the set that comes
//! first when suppliers stand by name, then line by line the first supplier. Where a minimum order is in the way, the
//! packs are those before it is topped up, and it is topped up with more of as few lines as that takes, the first.

mod ascent;
mod dominated;
mod meet_in_the_middle;
mod minimum_order;
mod partial_choice;
mod sets;
mod shares;
mod top_up;
mod within;

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

/// Beyond this, in cents, nothing is decided: weights would not hold it.
const MOST: u64 = 1 << 60;

/// Decides where every line is bought; nothing where no set of suppliers can reach its minimum orders, or sell it all.
pub fn source(of: &Sourcing<'_>) -> Option<Sourced> {
    let sums = of.sellers.iter().flat_map(|seller| [seller.fee, seller.least, seller.held.unwrap_or(0)]);
    let dearest = |quotes: &Vec<Quote>| quotes.iter().map(|quote| quote.cents).max().unwrap_or(0);
    let sums = sums.chain(of.lines.iter().map(dearest));
    let all = sums.fold(0_u64, u64::saturating_add);
    (all < MOST).then(|| sets::best(of))?
}

/// The weight of open suppliers: their fees and what is held there.
fn standing(sellers: &[Seller], open: &[bool]) -> Weight {
    let sellers = sellers.iter().zip(open).filter(|(_, open)| **open);
    sellers.map(|(seller, _)| SUPPLIER + weight(seller.fee, 0) + weight(seller.held.unwrap_or(0), 0)).sum()
}

/// What is bought at each supplier, held goods with it.
fn goods(sellers: &[Seller], lines: &[Quote]) -> Vec<u64> {
    let mut goods: Vec<u64> = sellers.iter().map(|seller| seller.held.unwrap_or(0)).collect();
    for quote in lines {
        goods[quote.seller] = goods[quote.seller].saturating_add(quote.cents);
    }
    goods
}
