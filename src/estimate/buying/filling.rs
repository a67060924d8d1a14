//! Filling up: an order that falls short of its supplier's least sum is filled up with more of what is bought there.
//! It knows what more can be had of each line at a supplier, one sum after the other; where lines are bought is decided
//! by [`super::halves`], which calls it.

use super::sourcing::{Quote, Sourcing};

/// The most cents that an order is filled up with.
const WIDEST: u64 = 1 << 18;
/// Up to here it is known what all lines together can come to.
const KNOWN: u64 = 1 << 12;

/// What the order of one supplier can be filled up with.
pub(super) struct Filling {
    seller: usize,
    /// The most that is of use, in cents.
    most: u64,
    /// By line: what more of it costs, sums going up, with the packs it then takes.
    more: Vec<Vec<(u64, u64)>>,
    /// Whether all that can be had is known.
    pub(super) whole: bool,
    /// From each sum on, the least that all lines together can come to.
    least: Vec<Option<u64>>,
}

impl Filling {
    /// What a supplier's order can be filled up with, by so many cents at most.
    pub(super) fn new(of: &Sourcing<'_>, seller: usize, most: u64) -> Self {
        let most = most.min(WIDEST);
        let mut filling = Self { seller, most, more: Vec::new(), whole: true, least: Vec::new() };
        for (line, quotes) in of.lines.iter().enumerate() {
            let quote = quotes.iter().find(|quote| quote.seller == seller);
            let more = quote.map_or_else(Vec::new, |quote| filling.more_of(of, line, quote));
            filling.more.push(more);
        }
        let mut sums = Sums::none(most.min(KNOWN));
        for more in &filling.more {
            sums.add(more);
        }
        filling.least = sums.next();
        filling
    }

    /// What more of a line costs. Where there are too many ways to go through, half as far.
    fn more_of(&mut self, of: &Sourcing<'_>, line: usize, quote: &Quote) -> Vec<(u64, u64)> {
        let mut most = self.most;
        loop {
            if let Some(ways) = (of.ways)(line, quote.seller, quote.cents.saturating_add(most)) {
                let more = ways.into_iter().filter(|way| way.0 > quote.cents);
                return more.map(|(cents, packs)| (cents - quote.cents, packs)).collect();
            }
            self.whole = false;
            most /= 2;
            if most == 0 {
                return Vec::new();
            }
        }
    }

    /// No choice of lines fills up what is missing for less; nothing where none can.
    pub(super) fn at_least(&self, missing: u64) -> Option<u64> {
        let place = usize::try_from(missing).ok()?;
        match self.least.get(place) {
            Some(least) if self.whole => *least,
            _ => (missing <= self.most).then_some(missing),
        }
    }

    /// The least that fills up what is missing with the lines that are bought here, and how far it went through them.
    pub(super) fn least(&self, missing: u64, lines: &[Quote]) -> Option<u64> {
        self.layers(missing, lines).last()?.from(missing)
    }

    /// Adds so many cents to the lines that are bought here, to as few as it needs of the first.
    pub(super) fn fill(&self, cents: u64, lines: &mut [Quote]) {
        let layers = self.layers(cents, lines);
        let mut rest = cents;
        let here: Vec<usize> = self.here(lines).collect();
        for (at, line) in here.into_iter().enumerate().take(layers.len() - 1).rev() {
            if layers[at].has(rest) {
                continue;
            }
            let ways =
                self.more[line].iter().filter(|(more, _)| *more <= rest && layers[at].has(rest - more));
            if let Some((more, packs)) = ways.min_by_key(|(more, packs)| (*packs, *more)) {
                lines[line].cents += more;
                lines[line].packs = *packs;
                rest -= more;
            }
        }
    }

    /// The lines that are bought here and of which more can be had.
    fn here<'q>(&'q self, lines: &'q [Quote]) -> impl Iterator<Item = usize> + 'q {
        (0..lines.len()).filter(|line| lines[*line].seller == self.seller && !self.more[*line].is_empty())
    }

    /// The sums that none, the first, the first two... of the lines come to, until what is wanted is met.
    fn layers(&self, wanted: u64, lines: &[Quote]) -> Vec<Sums> {
        let mut layers = vec![Sums::none(self.most)];
        for line in self.here(lines) {
            let mut sums = layers[layers.len() - 1].clone();
            if sums.has(wanted) {
                break;
            }
            sums.add(&self.more[line]);
            layers.push(sums);
        }
        layers
    }
}

/// Sums up to a largest, a bit each.
#[derive(Clone)]
struct Sums {
    bits: Vec<u64>,
    most: u64,
}

impl Sums {
    /// Nothing but zero.
    fn none(most: u64) -> Self {
        let words = usize::try_from(most / 64).unwrap_or(0) + 1;
        let mut bits = vec![0; words];
        bits[0] = 1;
        Self { bits, most }
    }

    fn has(&self, sum: u64) -> bool {
        let word = usize::try_from(sum / 64).ok().and_then(|word| self.bits.get(word));
        sum <= self.most && word.is_some_and(|word| word >> (sum % 64) & 1 == 1)
    }

    /// One of these more, or none.
    fn add(&mut self, more: &[(u64, u64)]) {
        let before = self.bits.clone();
        for (more, _) in more.iter().filter(|(more, _)| *more <= self.most) {
            let (words, bits) = (usize::try_from(more / 64).unwrap_or(usize::MAX), more % 64);
            for (at, word) in self.bits.iter_mut().enumerate().skip(words) {
                let low = before[at - words] << bits;
                let carried =
                    at.checked_sub(words + 1).filter(|_| bits > 0).map_or(0, |at| before[at] >> (64 - bits));
                *word |= low | carried;
            }
        }
    }

    /// The first sum from one on.
    fn from(&self, sum: u64) -> Option<u64> {
        (sum..=self.most).find(|sum| self.has(*sum))
    }

    /// From each sum on, the first.
    fn next(&self) -> Vec<Option<u64>> {
        let mut next = vec![None; usize::try_from(self.most).unwrap_or(0) + 1];
        let mut last = None;
        for (place, next) in next.iter_mut().enumerate().rev() {
            let sum = place as u64;
            if self.has(sum) {
                last = Some(sum);
            }
            *next = last;
        }
        next
    }
}
