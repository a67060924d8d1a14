//! Reaching least orders: with the open suppliers fixed, every line goes to one of them, and more may be bought of it
//! than is needed, so that each order reaches its least sum and all together cost least. Called by
//! [`super::sourcing`] for the sets of suppliers where the cheapest places of the lines do not reach it by themselves.
//!
//! **The bound.** A cent bought where an order falls short is worth something; with so much off each cent (a share
//! below the whole, of each supplier its own) the lines part again, and what they cost then with the shares of all
//! least sums added is a bound, whatever the shares. Shares are whole parts of [`WHOLE`], so the bound is exact; good
//! ones are sought supplier by supplier by halving.
//!
//! **The answer.** How far a choice lies above the bound is the sum of what its lines lie above theirs and what its
//! orders exceed their least sums by. So all choices within a small distance are gone through line by line: those that
//! have reached less for more are dropped. Where there is one, the best is least; where there is none, the distance is
//! doubled. Steps are counted; when they are used up, only the most promising choices are followed,
//! and the bound says how far they may be from the least.

use std::collections::BTreeMap;

use super::sourcing::{Quote, Sourcing, Weight, cents, weight};

/// What a cent bought at a supplier may be worth at most is a part of this.
const WHOLE: u128 = 1 << 14;
/// The largest share: a cent bought always costs something.
const LARGEST: u128 = WHOLE - (WHOLE >> 5);
/// Orders that may have to reach a least sum at once.
const ORDERS: usize = 6;
/// Choices that may be looked at for one set of suppliers.
const STEPS: u64 = 3_000_000;
/// Choices that are followed when steps are used up.
const BEAM: usize = 1_500;
/// The first distance from the bound, in cents.
const FIRST: u64 = 24;

/// The bound of a set of suppliers, and the shares that gave it.
pub(super) struct Reach {
    /// No choice costs less, in cents.
    pub(super) bound: u64,
    /// By supplier.
    shares: Vec<u128>,
    /// The bound in parts of a cent.
    value: u128,
}

/// The best choice for a set of suppliers.
pub(super) struct Reached {
    /// Each line's supplier and sum; nothing where no choice was found that costs at most so much.
    pub(super) lines: Option<Vec<Quote>>,
    /// No choice of the set costs less.
    pub(super) bound: u64,
}

/// What an order must still reach, by supplier; zero where nothing is asked.
fn short(of: &Sourcing<'_>, open: &[bool]) -> Vec<u64> {
    let sellers = of.sellers.iter().zip(open);
    let short = sellers.map(|(seller, open)| match open {
        true => seller.least.saturating_sub(seller.held.unwrap_or(0)),
        false => 0,
    });
    short.collect()
}

/// What open suppliers charge and hold whatever is decided, in cents.
fn standing(of: &Sourcing<'_>, open: &[bool]) -> u128 {
    let sellers = of.sellers.iter().zip(open).filter(|(_, open)| **open);
    sellers.map(|(seller, _)| u128::from(seller.fee) + u128::from(seller.held.unwrap_or(0))).sum()
}

/// The bound of a set of suppliers.
pub(super) fn relax(of: &Sourcing<'_>, open: &[bool]) -> Reach {
    let short = short(of, open);
    let mut shares = vec![0_u128; open.len()];
    for _ in 0..3 {
        for seller in (0..open.len()).filter(|s| short[*s] > 0) {
            let (mut low, mut high) = (0, LARGEST);
            while high - low > 1 {
                let middle = u128::midpoint(low, high);
                shares[seller] = middle;
                if bought(of, open, &shares, seller) < u128::from(short[seller]) {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            let at = |share: u128, shares: &mut Vec<u128>| {
                shares[seller] = share;
                value(of, open, shares, &short)
            };
            let (of_low, of_high) = (at(low, &mut shares), at(high, &mut shares));
            if of_low > of_high {
                shares[seller] = low;
            }
        }
    }
    let value = climb(of, open, &mut shares, &short);
    Reach { bound: u64::try_from(value.div_ceil(WHOLE)).unwrap_or(u64::MAX), shares, value }
}

/// Better shares near those found: one or two of them moved at a time, in ever smaller steps. Supplier by supplier
/// alone the search may stop where two would have to move together.
fn climb(of: &Sourcing<'_>, open: &[bool], shares: &mut Vec<u128>, short: &[u64]) -> u128 {
    let asked: Vec<usize> = (0..open.len()).filter(|s| short[*s] > 0).collect();
    let mut best = value(of, open, shares, short);
    let mut step = WHOLE >> 3;
    while step > 0 {
        let mut better = false;
        for one in &asked {
            for other in &asked {
                for (up, other_up) in [(true, true), (true, false), (false, true), (false, false)] {
                    let mut moved = shares.clone();
                    for (seller, up) in
                        [(*one, up), (*other, other_up)].iter().take(1 + usize::from(one != other))
                    {
                        let share = moved[*seller];
                        moved[*seller] =
                            if *up { (share + step).min(LARGEST) } else { share.saturating_sub(step) };
                    }
                    let reached = value(of, open, &moved, short);
                    if reached > best {
                        (best, *shares, better) = (reached, moved, true);
                    }
                }
            }
        }
        if !better {
            step >>= 1;
        }
    }
    best
}

/// What a quote costs in parts of a cent, its share taken off.
fn reduced(shares: &[u128], quote: &Quote) -> u128 {
    (WHOLE - shares[quote.seller]) * u128::from(quote.cents)
}

/// The quote of a line that costs least with its share taken off.
fn least<'q>(quotes: &'q [Quote], open: &[bool], shares: &[u128]) -> Option<&'q Quote> {
    quotes.iter().filter(|quote| open[quote.seller]).min_by_key(|quote| reduced(shares, quote))
}

/// What the lines would buy at one supplier.
fn bought(of: &Sourcing<'_>, open: &[bool], shares: &[u128], seller: usize) -> u128 {
    let there = of.lines.iter().filter_map(|quotes| least(quotes, open, shares));
    there.filter(|quote| quote.seller == seller).map(|quote| u128::from(quote.cents)).sum()
}

/// The bound that shares give, in parts of a cent.
fn value(of: &Sourcing<'_>, open: &[bool], shares: &[u128], short: &[u64]) -> u128 {
    let lines = of.lines.iter().filter_map(|quotes| least(quotes, open, shares));
    let lines: u128 = lines.map(|quote| reduced(shares, quote)).sum();
    let least: u128 = shares.iter().zip(short).map(|(share, short)| share * u128::from(*short)).sum();
    standing(of, open) * WHOLE + lines + least
}

/// The best choice for a set of suppliers that costs at most so many cents.
pub(super) fn reach(of: &Sourcing<'_>, open: &[bool], reach: &Reach, most: u64) -> Reached {
    let short = short(of, open);
    let orders: Vec<usize> = (0..short.len()).filter(|s| short[*s] > 0).collect();
    if orders.len() > ORDERS {
        return Reached { lines: None, bound: reach.bound };
    }
    let most = most.min(ceiling(of, &short));
    let mut walk = Walk { of, open, reach, short: &short, orders: &orders, left: STEPS, whole: true };
    let mut distance = FIRST;
    let mut bound = reach.bound;
    loop {
        let to = reach.bound.saturating_add(distance).min(most);
        if let Some(lines) = walk.go(to, usize::MAX) {
            let sum = lines.iter().map(|quote| u128::from(quote.cents)).sum::<u128>() + standing(of, open);
            let sum = u64::try_from(sum).unwrap_or(u64::MAX);
            return Reached { lines: Some(lines), bound: if walk.whole { sum } else { bound } };
        }
        if walk.left == 0 {
            return Reached { lines: walk.most_promising(distance, most), bound };
        }
        if walk.whole {
            bound = to.saturating_add(1);
        }
        if to == most {
            return Reached { lines: None, bound };
        }
        distance = distance.saturating_add(distance / 2);
    }
}

/// More than any choice that is worth looking at costs: every line at its dearest, and every least sum once more with
/// one line more than it takes.
fn ceiling(of: &Sourcing<'_>, short: &[u64]) -> u64 {
    let dearest = |quotes: &Vec<Quote>| quotes.iter().map(|quote| quote.cents).max().unwrap_or(0);
    let lines = of.lines.iter().fold(0_u64, |sum, quotes| sum.saturating_add(dearest(quotes)));
    let largest = of.lines.iter().map(dearest).max().unwrap_or(0);
    let least = short.iter().fold(0_u64, |sum, one| sum.saturating_add(one.saturating_add(largest)));
    let fees = of
        .sellers
        .iter()
        .fold(0_u64, |sum, seller| sum.saturating_add(seller.fee).saturating_add(seller.held.unwrap_or(0)));
    lines.saturating_add(least).saturating_add(fees)
}

/// A choice for one line.
#[derive(Clone, Copy)]
struct Choice {
    quote: Quote,
    /// What it lies above the line's least, in parts of a cent.
    above: u128,
}

/// A choice for all lines up to one.
#[derive(Clone)]
struct Label {
    /// What each order has reached, up to what it must.
    goods: [u64; ORDERS],
    weight: Weight,
    /// How far it lies above the bound, in parts of a cent.
    above: u128,
    /// Its place among all labels made.
    place: usize,
}

struct Walk<'a, 'b> {
    of: &'a Sourcing<'b>,
    open: &'a [bool],
    reach: &'a Reach,
    short: &'a [u64],
    /// The suppliers whose orders must reach something.
    orders: &'a [usize],
    /// Steps left.
    left: u64,
    /// Whether every way to buy more was gone through.
    whole: bool,
}

impl Walk<'_, '_> {
    /// The best choice that costs at most so many cents; only the most promising labels are followed.
    fn go(&mut self, to: u64, beam: usize) -> Option<Vec<Quote>> {
        self.whole = true;
        let most = (u128::from(to) * WHOLE).checked_sub(self.reach.value)?;
        let mut lines: Vec<(usize, Vec<Choice>)> = Vec::new();
        for line in 0..self.of.lines.len() {
            lines.push((line, self.choices(line, most)));
        }
        // Lines without a choice first, then the large: the small fill up what is short.
        let largest = |choices: &[Choice]| choices.iter().map(|choice| choice.quote.cents).max();
        lines.sort_by_key(|(line, choices)| (choices.len() > 1, std::cmp::Reverse(largest(choices)), *line));
        let can_reach = self.can_reach(&lines);
        let others = self.others(&lines);
        let standing = standing(self.of, self.open);
        let limit = u128::from(to) * WHOLE;
        let mut made: Vec<(usize, Quote)> = Vec::new();
        let start = Label { goods: [0; ORDERS], weight: 0, above: 0, place: usize::MAX };
        let mut labels = vec![start];
        for (stage, ((_, choices), after)) in lines.iter().zip(&can_reach).enumerate() {
            let mut next = Vec::new();
            for label in &labels {
                for choice in choices {
                    self.left = self.left.saturating_sub(1);
                    if self.left == 0 {
                        return None;
                    }
                    let Some(mut new) = self.with(label, choice, most) else { continue };
                    let enough =
                        |(at, s): (usize, &usize)| new.goods[at].saturating_add(after[at]) >= self.short[*s];
                    let near =
                        || others.iter().all(|other| self.in_all(&new, other, stage, standing) <= limit);
                    if self.orders.iter().enumerate().all(enough) && near() {
                        new.place = made.len();
                        made.push((label.place, choice.quote));
                        next.push(new);
                    }
                }
            }
            labels = without_worse(next);
            if labels.len() > beam {
                labels.sort_by_key(|label| (label.above, label.weight, label.place));
                labels.truncate(beam);
            }
        }
        let best = labels.into_iter().min_by_key(|label| (label.weight, label.place))?;
        let mut quotes = vec![Quote { seller: 0, cents: 0, packs: 0 }; lines.len()];
        let mut place = best.place;
        for (line, _) in lines.iter().rev() {
            let (from, quote) = made.get(place)?;
            quotes[*line] = *quote;
            place = *from;
        }
        Some(quotes)
    }

    /// A choice found by following the most promising alone, at a distance that is doubled until there is one; with as
    /// many steps again.
    fn most_promising(&mut self, distance: u64, most: u64) -> Option<Vec<Quote>> {
        self.left = STEPS;
        (0..3).find_map(|doubled| {
            let far = self.reach.bound.saturating_add(distance.saturating_mul(1 << doubled)).min(most);
            self.go(far, BEAM)
        })
    }

    /// The choices for a line that lie near enough to the bound.
    fn choices(&mut self, line: usize, most: u128) -> Vec<Choice> {
        let (quotes, shares) = (&self.of.lines[line], &self.reach.shares);
        let Some(least) = least(quotes, self.open, shares) else { return Vec::new() };
        let least = reduced(shares, least);
        let mut choices = Vec::new();
        for quote in quotes.iter().filter(|quote| self.open[quote.seller]) {
            let above = reduced(shares, quote) - least;
            if above > most {
                continue;
            }
            choices.push(Choice { quote: *quote, above });
            if self.short[quote.seller] == 0 {
                continue;
            }
            let part = WHOLE - shares[quote.seller];
            let more = u64::try_from((most - above) / part).unwrap_or(u64::MAX);
            match (self.of.ways)(line, quote.seller, quote.cents.saturating_add(more)) {
                Some(ways) => {
                    for (cents, packs) in ways.into_iter().filter(|way| way.0 > quote.cents) {
                        let above = above + part * u128::from(cents - quote.cents);
                        choices.push(Choice { quote: Quote { seller: quote.seller, cents, packs }, above });
                    }
                }
                None => self.whole = false,
            }
        }
        choices
    }

    /// After each line: what the lines behind it can bring to each order at most.
    fn can_reach(&self, lines: &[(usize, Vec<Choice>)]) -> Vec<[u64; ORDERS]> {
        let mut after = vec![[0_u64; ORDERS]; lines.len()];
        let mut sum = [0_u64; ORDERS];
        for (at, (_, choices)) in lines.iter().enumerate().rev() {
            after[at] = sum;
            for (order, seller) in self.orders.iter().enumerate() {
                let there = choices.iter().filter(|choice| choice.quote.seller == *seller);
                let most = there.map(|choice| choice.quote.cents).max().unwrap_or(0);
                sum[order] = sum[order].saturating_add(most);
            }
        }
        after
    }

    /// Other shares: each order's and all of them, somewhat larger and smaller; with what the lines behind each line
    /// cost at least by them. They tell more of choices that have reached much, or little.
    fn others(&self, lines: &[(usize, Vec<Choice>)]) -> Vec<(Vec<u128>, Vec<u128>)> {
        let mut sets: Vec<Vec<u128>> = Vec::new();
        let moved = |share: u128, part: u128| (share * part / 8).min(LARGEST);
        for part in [4, 6, 7, 9, 10, 13] {
            sets.push(self.reach.shares.iter().map(|share| moved(*share, part)).collect());
            for seller in self.orders {
                let mut shares = self.reach.shares.clone();
                shares[*seller] = moved(shares[*seller], part);
                sets.push(shares);
            }
        }
        sets.dedup();
        let behind = |shares: Vec<u128>| {
            let mut behind = vec![0; lines.len()];
            let mut sum = 0;
            for (at, (line, _)) in lines.iter().enumerate().rev() {
                behind[at] = sum;
                sum += least(&self.of.lines[*line], self.open, &shares)
                    .map_or(0, |quote| reduced(&shares, quote));
            }
            (shares, behind)
        };
        sets.into_iter().map(behind).collect()
    }

    /// What all costs at least after a choice, by other shares, in parts of a cent.
    fn in_all(&self, label: &Label, other: &(Vec<u128>, Vec<u128>), stage: usize, standing: u128) -> u128 {
        let (shares, behind) = other;
        let paid = (standing + u128::from(cents(label.weight))) * WHOLE;
        let missing = self.orders.iter().enumerate().map(|(order, seller)| {
            shares[*seller] * u128::from(self.short[*seller].saturating_sub(label.goods[order]))
        });
        paid + behind[stage] + missing.sum::<u128>()
    }

    /// A label with one more choice; nothing where that lies too far above the bound.
    fn with(&self, label: &Label, choice: &Choice, most: u128) -> Option<Label> {
        let mut new = label.clone();
        new.above += choice.above;
        let quote = choice.quote;
        if let Some(order) = self.orders.iter().position(|seller| *seller == quote.seller) {
            let reached = new.goods[order].saturating_add(quote.cents);
            let kept = reached.min(self.short[quote.seller]);
            // What an order exceeds its least sum by had a share taken off for nothing.
            new.above += self.reach.shares[quote.seller] * u128::from(reached - kept);
            new.goods[order] = kept;
        }
        new.weight += weight(quote.cents, quote.packs);
        (new.above <= most).then_some(new)
    }
}

/// Labels without those that have reached no more than another for no less: of two orders a staircase tells, of more
/// one for each of what the others have reached.
fn without_worse(mut labels: Vec<Label>) -> Vec<Label> {
    labels.sort_by(|a, b| {
        let by_goods = || b.goods.cmp(&a.goods);
        a.weight.cmp(&b.weight).then_with(by_goods).then(a.place.cmp(&b.place))
    });
    let Some(one) = labels.first().map(|label| label.goods) else { return labels };
    let mut apart = (0..ORDERS).filter(|order| labels.iter().any(|label| label.goods[*order] != one[*order]));
    let (first, second) = (apart.next().unwrap_or(0), apart.next().unwrap_or(1));
    let mut kept: Vec<Label> = Vec::with_capacity(labels.len());
    let mut stairs: BTreeMap<[u64; ORDERS], BTreeMap<u64, u64>> = BTreeMap::new();
    for label in labels {
        let mut others = label.goods;
        (others[first], others[second]) = (0, 0);
        let stairs = stairs.entry(others).or_default();
        let (step, reached) = (label.goods[first], label.goods[second]);
        if stairs.range(step..).next().is_some_and(|(_, known)| *known >= reached) {
            continue;
        }
        // The stairs go down: lower steps that reach no more are taken away.
        while let Some((lower, _)) = stairs.range(..=step).next_back().filter(|(_, known)| **known <= reached)
        {
            let lower = *lower;
            stairs.remove(&lower);
        }
        stairs.insert(step, reached);
        kept.push(label);
    }
    kept
}
