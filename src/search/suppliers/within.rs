//! The order as a set of suppliers sees it: these alone, in their order, with their quotes alone. What is decided there is
//! said in the places of all suppliers again.

use super::{Quote, Seller, Sourcing, Way, Weight};
use super::{SUPPLIER, goods, standing, weight};

/// A set of suppliers and their quotes.
pub(super) struct Within {
    /// The place of each among all suppliers.
    pub(super) places: Vec<usize>,
    sellers: Vec<Seller>,
    lines: Vec<Vec<Quote>>,
}

/// A set of suppliers that some of the set were dropped from.
pub(super) enum Fewer {
    /// Dropping any other costs more, and every order reaches its minimum: the set, its lines and its weight.
    Enough(Weight, Vec<bool>, Vec<Quote>),
    /// They do not sell all lines, or their orders do not reach their minimums and none can be dropped.
    None,
}

impl Within {
    /// The order within a set.
    pub(super) fn of(of: &Sourcing<'_>, open: &[bool]) -> Self {
        let places: Vec<usize> = (0..open.len()).filter(|s| open[*s]).collect();
        let mut inside = vec![usize::MAX; open.len()];
        places.iter().enumerate().for_each(|(new, old)| inside[*old] = new);
        let within = |quotes: &Vec<Quote>| {
            let some = quotes.iter().filter(|quote| open[quote.seller]);
            some.map(|quote| Quote { seller: inside[quote.seller], ..*quote }).collect()
        };
        let sellers = places.iter().map(|s| of.sellers[*s].clone()).collect();
        Self { places, sellers, lines: of.lines.iter().map(within).collect() }
    }

    /// Quotes there are.
    pub(super) fn quotes(&self) -> u64 {
        self.lines.iter().map(|quotes| quotes.len() as u64).sum()
    }

    /// Does something with the order within the set.
    pub(super) fn with<T>(&self, of: &Sourcing<'_>, work: impl FnOnce(&Sourcing<'_>) -> T) -> T {
        let ways = |line: usize, seller: usize, cents: u64| -> Option<Vec<Way>> {
            (of.ways)(line, self.places[seller], cents)
        };
        work(&Sourcing { sellers: &self.sellers, lines: &self.lines, ways: &ways, most: of.most })
    }

    /// Lines in the places of all suppliers.
    pub(super) fn outside(&self, lines: Vec<Quote>) -> Vec<Quote> {
        lines.into_iter().map(|quote| Quote { seller: self.places[quote.seller], ..quote }).collect()
    }

    /// Drops suppliers one by one: while that costs less the one that spares most, then where an order falls short of its
    /// minimum, or the suppliers are too many, the one that costs least to drop.
    pub(super) fn drop_some(&self, of: &Sourcing<'_>) -> Fewer {
        let mut stay = vec![true; self.places.len()];
        loop {
            let Some((lines, costs)) = first_and_second(&self.lines, &stay) else { return Fewer::None };
            let goods = goods(&self.sellers, &lines);
            let short = |s: usize| stay[s] && goods[s] < self.sellers[s].least;
            let spared = |s: usize| SUPPLIER + weight(self.sellers[s].fee, 0);
            let may_go = |s: &usize| stay[*s] && self.sellers[*s].held.is_none() && costs[*s] < Weight::MAX;
            let all = || (0..stay.len()).filter(may_go);
            let sparing = all().filter(|s| spared(*s) > costs[*s]);
            let next = sparing.max_by_key(|s| (spared(*s) - costs[*s], *s));
            let must = stay.iter().filter(|stays| **stays).count() > of.most;
            let next = next.or_else(|| {
                let forced = all().filter(|s| must || short(*s));
                forced.min_by_key(|s| (costs[*s].saturating_sub(spared(*s)), std::cmp::Reverse(*s)))
            });
            match next {
                Some(next) => stay[next] = false,
                None if must || (0..stay.len()).any(short) => return Fewer::None,
                None => {
                    let weights = lines.iter().map(|quote| weight(quote.cents, quote.packs));
                    let sum = standing(&self.sellers, &stay) + weights.sum::<Weight>();
                    let mut open = vec![false; of.sellers.len()];
                    self.places.iter().zip(&stay).for_each(|(place, stays)| open[*place] = *stays);
                    return Fewer::Enough(sum, open, self.outside(lines));
                }
            }
        }
    }
}

/// Every line where it costs least, and what all lines of each supplier cost more at the next; the most there is where
/// nobody else sells one of them. Nothing where a line has no supplier.
fn first_and_second(lines: &[Vec<Quote>], stay: &[bool]) -> Option<(Vec<Quote>, Vec<Weight>)> {
    let mut costs: Vec<Weight> = vec![0; stay.len()];
    let mut bought = Vec::with_capacity(lines.len());
    for quotes in lines {
        let (mut first, mut second): (Option<(Weight, &Quote)>, Weight) = (None, Weight::MAX);
        for quote in quotes.iter().filter(|quote| stay[quote.seller]) {
            let new = weight(quote.cents, quote.packs);
            match first {
                Some((least, _)) if least <= new => second = second.min(new),
                Some((least, _)) => (first, second) = (Some((new, quote)), least),
                None => first = Some((new, quote)),
            }
        }
        let (least, quote) = first?;
        let cost = &mut costs[quote.seller];
        *cost = if second == Weight::MAX { Weight::MAX } else { cost.saturating_add(second - least) };
        bought.push(*quote);
    }
    Some((bought, costs))
}
