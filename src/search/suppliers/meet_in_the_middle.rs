//! Meet in the middle: all choices of suppliers near a bound, gone through from both ends of the list of lines. It bounds nothing
//! and ends when its steps are used up. Called by [`super::minimum_order`].
//!
//! How far a choice lies above the bound is the sum of what its lines lie above theirs, what its orders exceed their
//! minimums by and what they are topped up with. The large lines are gone through from the front and the small ones
//! from the back, the side with fewer choices first, until every line belongs to one half. Then each choice of the
//! front is put to those of the back that together with it come near the minimums: they stand in a grid of what they
//! reach. What is still missing is topped up by [`super::top_up`].

use rustc_hash::FxHashMap;

use super::partial_choice::{PartialChoice, without_worse};
use super::shares::{ORDERS, Reach, WHOLE, least, reduced, standing};
use super::top_up::TopUp;
use super::{Quote, Sourcing, Weight, cents, weight};

/// The search of one set of suppliers.
pub(super) struct Halves<'a, 'b> {
    of: &'a Sourcing<'b>,
    open: &'a [bool],
    reach: &'a Reach,
    short: &'a [u64],
    /// The suppliers whose orders must reach something, and what these can be topped up with.
    orders: Vec<usize>,
    top_ups: Vec<TopUp<'a, 'b>>,
    /// Steps left.
    left: u64,
}

/// What was found within a distance.
pub(super) struct Found {
    /// The best choice; nothing where there is none.
    pub(super) lines: Option<Vec<Quote>>,
    /// Whether no other choice within the distance costs less.
    pub(super) least: bool,
}

/// A choice for one line.
#[derive(Clone, Copy)]
struct Choice {
    quote: Quote,
    /// What it lies above the line's least, in parts of a cent.
    above: u128,
}

/// A line, and the choices for it that lie near enough to the bound.
struct Line {
    place: usize,
    choices: Vec<Choice>,
}

/// The lines gone through from one end.
struct Half {
    partials: Vec<PartialChoice>,
    /// The label before and the quote of the line added, by the place of a label.
    made: Vec<(usize, Quote)>,
    /// Its lines, the latest last.
    lines: Vec<usize>,
    /// What all lines that are not its own cost at least by each of the other shares, in parts of a cent.
    rest: Vec<u128>,
}

/// How near choices must lie to the bound, and which are followed.
struct Near {
    /// Above it, in parts of a cent.
    most: u128,
    /// In all, in parts of a cent.
    limit: u128,
    /// Other shares than those of the bound. They tell more of choices that have reached much, or little.
    shares: Vec<Vec<u128>>,
    /// PartialChoices of a half that are followed.
    beam: usize,
    /// Whether partials are dropped that have reached no more than another for no less. What lines can be topped up with
    /// is not looked at then.
    drops: bool,
}

/// Two partials that together are a choice for all lines.
#[derive(Clone)]
struct Met {
    weight: Weight,
    front: usize,
    back: usize,
    /// How far it lies above the bound, in parts of a cent.
    above: u128,
    /// What each order misses, in cents.
    missing: [u64; ORDERS],
    /// Lines of which more is bought to top orders up.
    filled: Vec<(usize, Quote)>,
}

/// The best of all that met.
struct Meeting {
    best: Option<Met>,
    /// How far above the bound the nearest lies whose lines cannot top up its orders for as little as others could.
    doubt: Option<u128>,
}

impl Meeting {
    /// Whether no choice may cost less than the best, or there may be none.
    fn is_sure(&self) -> bool {
        match (&self.best, self.doubt) {
            (_, None) => true,
            (Some(best), Some(doubt)) => best.above <= doubt,
            (None, Some(_)) => false,
        }
    }
}

impl<'a, 'b> Halves<'a, 'b> {
    /// A search of a set of suppliers.
    pub(super) fn new(of: &'a Sourcing<'b>, open: &'a [bool], reach: &'a Reach, short: &'a [u64]) -> Self {
        let orders: Vec<usize> = (0..short.len()).filter(|s| short[*s] > 0).collect();
        let top_ups = orders.iter().map(|seller| TopUp::new(of, *seller)).collect();
        Self { of, open, reach, short, orders, top_ups, left: 0 }
    }

    /// The best choice that costs at most so many cents, with so many steps. Nothing where they are used up.
    pub(super) fn best(&mut self, to: u64, steps: &mut u64) -> Option<Found> {
        self.left = std::mem::take(steps);
        let mut near = self.near(to, usize::MAX)?;
        let (mut quotes, mut meeting) = self.walk(&near)?;
        if !meeting.is_sure() {
            // Others may be topped up for less than those that were followed.
            if let Some(best) = &meeting.best {
                near.most = best.above.saturating_sub(1);
                near.limit = self.reach.value + near.most;
            }
            near.drops = false;
            let (others, again) = self.walk(&near)?;
            if again.best.is_some() {
                (quotes, meeting.best) = (others, again.best);
            }
            meeting.doubt = again.doubt.filter(|_| !self.top_ups.iter().all(TopUp::is_whole));
        }
        *steps = self.left;
        let least = meeting.is_sure();
        Some(Found { lines: meeting.best.map(|_| quotes), least })
    }

    /// A choice that costs at most so many cents, with so many steps, of each half only so many partials followed.
    pub(super) fn promising(&mut self, to: u64, steps: &mut u64, beam: usize) -> Option<Vec<Quote>> {
        self.left = std::mem::take(steps);
        let near = self.near(to, beam)?;
        let (quotes, meeting) = self.walk(&near)?;
        *steps = self.left;
        meeting.best.map(|_| quotes)
    }

    fn near(&self, to: u64, beam: usize) -> Option<Near> {
        let limit = u128::from(to) * WHOLE;
        let most = limit.checked_sub(self.reach.value)?;
        Some(Near { most, limit, shares: self.other_shares(), beam, drops: true })
    }

    /// Goes through all choices near enough; the quotes of the best. Nothing where steps are used up.
    fn walk(&mut self, near: &Near) -> Option<(Vec<Quote>, Meeting)> {
        let places = 0..self.of.lines.len();
        let mut lines: Vec<Line> =
            places.map(|place| Line { place, choices: self.choices(place, near.most) }).collect();
        // Lines without a choice first, then the large: the small come nearest to what is missing.
        let largest = |line: &Line| line.choices.iter().map(|choice| choice.quote.cents).max();
        lines.sort_by_key(|line| (line.choices.len() > 1, std::cmp::Reverse(largest(line)), line.place));
        let rest: Vec<u128> = near.shares.iter().map(|shares| self.costs(&lines, shares)).collect();
        let (mut front, mut back) = (Half::new(rest.clone()), Half::new(rest));
        let mut between = lines.as_slice();
        while let Some(first) = between.first() {
            let forward = first.choices.len() == 1 || front.partials.len() <= back.partials.len();
            let taken = if forward { between.split_first() } else { between.split_last() };
            let (line, left) = taken?;
            self.add(if forward { &mut front } else { &mut back }, line, near)?;
            between = left;
        }
        let mut quotes = vec![Quote { seller: 0, cents: 0, packs: 0 }; lines.len()];
        let mut top_ups = std::mem::take(&mut self.top_ups);
        for (filling, seller) in top_ups.iter_mut().zip(&self.orders) {
            filling.reach(self.fills(*seller, near.most));
        }
        let meeting = self.meet(&mut front, &mut back, near.most, &mut top_ups);
        self.top_ups = top_ups;
        let meeting = meeting?;
        if let Some(met) = &meeting.best {
            front.trace(met.front, &mut quotes);
            back.trace(met.back, &mut quotes);
            for (line, quote) in &met.filled {
                quotes[*line] = *quote;
            }
        }
        Some((quotes, meeting))
    }

    /// The choices for a line that lie near enough to the bound. Of suppliers whose orders need not reach anything the
    /// cheapest is enough.
    fn choices(&self, line: usize, most: u128) -> Vec<Choice> {
        let (quotes, shares) = (&self.of.lines[line], &self.reach.shares);
        let Some(least) = least(quotes, self.open, shares) else { return Vec::new() };
        let least = reduced(shares, least);
        let is_open = |quote: &&Quote| self.open[quote.seller];
        let (asked, free): (Vec<&Quote>, Vec<&Quote>) =
            quotes.iter().filter(is_open).partition(|quote| self.short[quote.seller] > 0);
        let free = free.into_iter().min_by_key(|quote| weight(quote.cents, quote.packs));
        let quotes = asked.into_iter().chain(free);
        let choices = quotes.map(|quote| Choice { quote: *quote, above: reduced(shares, quote) - least });
        choices.filter(|choice| choice.above <= most).collect()
    }

    /// Each order's share and all of them, somewhat larger and smaller.
    fn other_shares(&self) -> Vec<Vec<u128>> {
        let mut sets: Vec<Vec<u128>> = Vec::new();
        let moved = |share: u128, part: u128| (share * part / 8).min(WHOLE);
        for part in [4, 6, 7, 9, 10, 13] {
            sets.push(self.reach.shares.iter().map(|share| moved(*share, part)).collect());
            for seller in &self.orders {
                let mut shares = self.reach.shares.clone();
                shares[*seller] = moved(shares[*seller], part);
                sets.push(shares);
            }
        }
        sets.dedup();
        sets
    }

    /// What lines cost at least by some shares, in parts of a cent.
    fn costs(&self, lines: &[Line], shares: &[u128]) -> u128 {
        let least = |line: &Line| least(&self.of.lines[line.place], self.open, shares);
        lines.iter().filter_map(least).map(|quote| reduced(shares, quote)).sum()
    }

    /// Adds a line to a half. Nothing when steps are used up.
    fn add(&mut self, half: &mut Half, line: &Line, near: &Near) -> Option<()> {
        for (rest, shares) in half.rest.iter_mut().zip(&near.shares) {
            *rest -= self.costs(std::slice::from_ref(line), shares);
        }
        half.lines.push(line.place);
        let mut next = Vec::new();
        for label in &half.partials {
            for choice in &line.choices {
                self.left = self.left.checked_sub(1)?;
                let mut new = self.with(label, choice);
                if new.above <= near.most && self.is_near(&new, &half.rest, near) {
                    new.place = half.made.len();
                    half.made.push((label.place, choice.quote));
                    next.push(new);
                }
            }
        }
        half.partials = if near.drops { without_worse(next) } else { next };
        if half.partials.len() > near.beam {
            half.partials.sort_by_key(|label| (label.above, label.weight, label.place));
            half.partials.truncate(near.beam);
        }
        Some(())
    }

    /// A label with one more choice.
    fn with(&self, label: &PartialChoice, choice: &Choice) -> PartialChoice {
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
        new
    }

    /// Whether by all other shares too a label may lie near enough.
    fn is_near(&self, label: &PartialChoice, rest: &[u128], near: &Near) -> bool {
        let paid = (standing(self.of, self.open) + u128::from(cents(label.weight))) * WHOLE;
        near.shares.iter().zip(rest).all(|(shares, rest)| {
            let missing = self.orders.iter().zip(&label.goods).map(|(seller, goods)| {
                shares[*seller] * u128::from(self.short[*seller].saturating_sub(*goods))
            });
            paid + rest + missing.sum::<u128>() <= near.limit
        })
    }

    /// The most that an order is topped up with so far above the bound, in cents.
    fn fills(&self, seller: usize, most: u128) -> u64 {
        let fills = most.checked_div(WHOLE - self.reach.shares[seller]);
        fills.and_then(|cents| u64::try_from(cents).ok()).unwrap_or(u64::MAX)
    }

    /// The most that an order exceeds its least sum by so far above the bound, in cents.
    fn exceeds(&self, seller: usize, most: u128) -> u64 {
        let exceeds = most.checked_div(self.reach.shares[seller]);
        exceeds.and_then(|cents| u64::try_from(cents).ok()).unwrap_or(u64::MAX)
    }

    /// Puts every label of the front to those of the back. Nothing where steps are used up.
    fn meet(
        &mut self,
        front: &mut Half,
        back: &mut Half,
        most: u128,
        top_ups: &mut [TopUp<'_, '_>],
    ) -> Option<Meeting> {
        front.partials.sort_by_key(|label| (label.above, label.weight, label.place));
        back.partials.sort_by_key(|label| (label.above, label.weight, label.place));
        let grid = Grid::new(self, &back.partials, most);
        let mut meeting = Meeting { best: None, doubt: None };
        let (mut most, mut left) = (most, std::mem::take(&mut self.left));
        let mut quotes = vec![Quote { seller: 0, cents: 0, packs: 0 }; self.of.lines.len()];
        for one in &front.partials {
            if one.above > most {
                break;
            }
            for cell in grid.cells(self, one, most) {
                for other in cell {
                    left = left.checked_sub(1)?;
                    if one.above + other.above > most {
                        break;
                    }
                    let mut met = self.together(one, other, top_ups);
                    if met.above > most {
                        continue;
                    }
                    if met.is_short() {
                        // To be filled up it must cost less than the best so far.
                        if meeting.best.as_ref().is_some_and(|best| cents(best.weight) <= cents(met.weight)) {
                            continue;
                        }
                        left = left.checked_sub(self.of.lines.len() as u64)?;
                        front.trace(one.place, &mut quotes);
                        back.trace(other.place, &mut quotes);
                        let nearest = met.above;
                        let filled = met.fill_up(top_ups, &quotes, &mut left);
                        if filled.is_none() && left == 0 {
                            return None;
                        }
                        if filled.is_none() || met.above > nearest {
                            meeting.doubt = Some(meeting.doubt.map_or(nearest, |doubt| doubt.min(nearest)));
                        }
                        if filled.is_none() || met.above > most {
                            continue;
                        }
                    }
                    if meeting.best.as_ref().is_none_or(|best| met.rank() < best.rank()) {
                        most = met.above;
                        meeting.best = Some(met);
                    }
                }
            }
        }
        self.left = left;
        Some(meeting)
    }

    /// Two partials together, each order topped up with what that takes at least;
    fn together(&self, one: &PartialChoice, other: &PartialChoice, top_ups: &[TopUp<'_, '_>]) -> Met {
        let mut met = Met {
            weight: one.weight + other.weight,
            front: one.place,
            back: other.place,
            above: one.above + other.above,
            missing: [0; ORDERS],
            filled: Vec::new(),
        };
        for (order, seller) in self.orders.iter().enumerate() {
            let reached = one.goods[order].saturating_add(other.goods[order]);
            let (share, least) = (self.reach.shares[*seller], self.short[*seller]);
            if reached < least {
                met.missing[order] = least - reached;
                let fills = top_ups[order].at_least(least - reached);
                met.weight += weight(fills, 0);
                met.above += WHOLE * u128::from(fills) - share * u128::from(least - reached);
            } else {
                met.above += share * u128::from(reached - least);
            }
        }
        met
    }
}

impl Met {
    /// Equal sums: the fewer packs, then the one that comes first.
    fn rank(&self) -> (Weight, usize, usize) {
        (self.weight, self.front, self.back)
    }

    fn is_short(&self) -> bool {
        self.missing.iter().any(|missing| *missing > 0)
    }

    /// Fills its orders up with more of the lines bought there; nothing where these do not come to so much, or where
    /// steps are used up: then none is left.
    fn fill_up(&mut self, top_ups: &mut [TopUp<'_, '_>], lines: &[Quote], left: &mut u64) -> Option<()> {
        for (filling, missing) in top_ups.iter_mut().zip(self.missing).filter(|(_, missing)| *missing > 0) {
            let filled = filling.fill(missing, lines, left)?;
            let further = filled.cents - filling.at_least(missing);
            self.above += WHOLE * u128::from(further);
            self.weight += weight(further, 0);
            self.filled.extend(filled.lines);
        }
        Some(())
    }
}

impl Half {
    /// No lines yet.
    fn new(rest: Vec<u128>) -> Self {
        let start = PartialChoice { goods: [0; ORDERS], weight: 0, above: 0, place: usize::MAX };
        Self { partials: vec![start], made: Vec::new(), lines: Vec::new(), rest }
    }

    /// Writes down the quotes that led to a label.
    fn trace(&self, mut place: usize, quotes: &mut [Quote]) {
        for line in self.lines.iter().rev() {
            let (before, quote) = self.made[place];
            quotes[*line] = quote;
            place = before;
        }
    }
}

/// The partials of the back by what they have reached. A cell is as wide as an order may miss or exceed its least sum, so
/// that two cells of each order hold all that can meet a label of the front.
struct Grid<'l> {
    widths: [u64; ORDERS],
    cells: FxHashMap<[u64; ORDERS], Vec<&'l PartialChoice>>,
}

impl<'l> Grid<'l> {
    fn new(halves: &Halves<'_, '_>, back: &'l [PartialChoice], most: u128) -> Self {
        let mut widths = [u64::MAX; ORDERS];
        for (width, seller) in widths.iter_mut().zip(&halves.orders) {
            let (fills, exceeds) = (halves.fills(*seller, most), halves.exceeds(*seller, most));
            *width = fills.saturating_add(exceeds).saturating_add(1);
        }
        let mut cells: FxHashMap<[u64; ORDERS], Vec<&PartialChoice>> = FxHashMap::default();
        for label in back {
            let cell = std::array::from_fn(|order| label.goods[order] / widths[order]);
            cells.entry(cell).or_default().push(label);
        }
        Self { widths, cells }
    }

    /// The cells whose partials may meet one of the front, each with the nearest first.
    fn cells(
        &self,
        halves: &Halves<'_, '_>,
        one: &PartialChoice,
        most: u128,
    ) -> impl Iterator<Item = &[&'l PartialChoice]> {
        let (mut low, mut high) = ([0; ORDERS], [0; ORDERS]);
        for (order, seller) in halves.orders.iter().enumerate() {
            let (missing, left) = (halves.short[*seller] - one.goods[order], most - one.above);
            low[order] = missing.saturating_sub(halves.fills(*seller, left)) / self.widths[order];
            high[order] = missing.saturating_add(halves.exceeds(*seller, left)) / self.widths[order];
        }
        let corners = (0..1_usize << ORDERS).filter_map(move |corner| {
            let is_upper = |order: usize| corner >> order & 1 == 1;
            let is_there = (0..ORDERS).all(|order| !is_upper(order) || low[order] < high[order]);
            is_there
                .then(|| std::array::from_fn(|order| if is_upper(order) { high[order] } else { low[order] }))
        });
        corners.filter_map(|cell| self.cells.get(&cell)).map(Vec::as_slice)
    }
}
