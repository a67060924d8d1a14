//! The rows that the files of this floor share, in the order in which all of them show them: takeoff rows and order
//! rows. It sorts and adds lines up; what a line comes to was decided on the floors below.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::wording::Wording;
use crate::estimate::item::ItemId;
use crate::estimate::order::{OrderLine, Pick, TubePlan};
use crate::estimate::ranking;
use crate::estimate::takeoff::{Line, TakeoffRow};
use crate::ground::name::natural;
use crate::trade::{Offer, Phase, Service, Word};

/// The takeoff rows of an alternative, by phase, service, area and item; and for each line of the takeoff the index of
/// its row.
pub(in crate::report) fn takeoff(
    wording: &Wording<'_>,
    alternative: usize,
    ranks: &[u32],
) -> (Vec<TakeoffRow>, Vec<usize>) {
    type Key = (Phase, Option<Service>, Word, ItemId);
    let Some(alternative) = wording.estimate.alternatives.get(alternative) else {
        return (Vec::new(), Vec::new());
    };
    let lines = &alternative.takeoff.lines;
    let key = |line: &Line| -> Key { (line.phase, line.service, line.area, line.item) };
    let mut sums: BTreeMap<Key, Decimal> = BTreeMap::new();
    for line in lines {
        let sum = sums.entry(key(line)).or_default();
        *sum = sum.saturating_add(wording.quantity(line));
    }
    let mut rows: Vec<TakeoffRow> = sums
        .into_iter()
        .map(|((phase, service, area, item), need)| TakeoffRow { phase, service, area, item, need })
        .collect();
    rows.sort_by(|a, b| by_place(wording, a, b).then_with(|| rank(ranks, a.item).cmp(&rank(ranks, b.item))));
    let index: BTreeMap<Key, usize> =
        rows.iter().enumerate().map(|(i, r)| ((r.phase, r.service, r.area, r.item), i)).collect();
    let of_line = lines.iter().map(|line| index.get(&key(line)).copied().unwrap_or(0)).collect();
    (rows, of_line)
}

fn by_place(wording: &Wording<'_>, a: &TakeoffRow, b: &TakeoffRow) -> Ordering {
    let service = |row: &TakeoffRow| (row.service.is_none(), row.service);
    (a.phase, service(a))
        .cmp(&(b.phase, service(b)))
        .then_with(|| natural(wording.word(a.area), wording.word(b.area)))
}

/// The places of all items in the order of every sheet.
pub(in crate::report) fn ranks(wording: &Wording<'_>) -> Vec<u32> {
    ranking::ranks(&wording.job.lexicon, &wording.job.catalog, &wording.estimate.items)
}

/// The place of an item among all of them.
pub(in crate::report) fn rank(ranks: &[u32], item: ItemId) -> u32 {
    ranks.get(item.0 as usize).copied().unwrap_or(u32::MAX)
}

/// One row of the order: one pick of a line, or a line without any.
#[derive(Debug, Clone, Copy)]
pub(in crate::report) struct OrderRow<'a> {
    /// The index of the alternative.
    pub(in crate::report) alternative: usize,
    /// A number for the line, one for each line of all alternatives, from 1.
    pub(in crate::report) line_id: u32,
    pub(in crate::report) line: &'a OrderLine,
    /// The pick and its offer; nothing where the line is not priced.
    pub(in crate::report) pick: Option<(&'a Pick, &'a Offer)>,
    /// Whether it is the first row of its line.
    pub(in crate::report) first: bool,
    /// Whether it is the last row of its line.
    pub(in crate::report) last: bool,
    /// The cut plan of the line, where it has one.
    pub(in crate::report) plan: Option<&'a TubePlan>,
}

impl<'a> OrderRow<'a> {
    /// The offer that is picked.
    pub(in crate::report) fn offer(&self) -> Option<&'a Offer> {
        self.pick.map(|(_, offer)| offer)
    }

    /// What so many are ordered of: of what is loose the unit, else the coil, stick or pack.
    pub(in crate::report) fn ordered_as(&self, words: &Wording<'_>, offer: &Offer) -> String {
        if self.is_loose() { words.unit(self.line.item).to_owned() } else { words.sold_as(offer) }
    }

    /// How many are ordered: of what is loose how much, else packs, coils or sticks.
    pub(in crate::report) fn ordered(&self, pick: &Pick) -> Decimal {
        if self.is_loose() { pick.buy } else { pick.packs }
    }

    /// Whether the number of packs is a choice: larger packs, and coils and sticks, which a cut plan counts. The number
    /// of the smallest packs follows from what is needed.
    pub(in crate::report) fn is_choice(&self) -> bool {
        self.offer().is_some_and(|offer| !self.last || offer.is_whole_length())
    }

    /// Whether more of the smallest packs are bought than cover what the larger leave: a break makes that cheaper, or an
    /// order must reach the minimum order of its supplier. That number is a choice too.
    pub(in crate::report) fn is_more_than_fewest(&self, wording: &Wording<'_>) -> bool {
        let more = |(pick, offer): (&Pick, &Offer)| {
            let holds = wording.pack(offer);
            pick.count(offer, holds) > self.line.fewest(holds)
        };
        self.last && !self.is_choice() && self.pick.is_some_and(more)
    }

    /// The need of the row before what is on hand is taken off, which stands with the first row of a line: over all rows
    /// of a line it comes to the need of the line.
    pub(in crate::report) fn need(&self) -> Decimal {
        self.share(self.line.need, |pick| pick.need)
    }

    /// The allowance of the row, likewise.
    pub(in crate::report) fn allow(&self) -> Decimal {
        self.share(self.line.allow, |pick| pick.allow)
    }

    /// Later rows have what their packs cover, the first all the rest.
    fn share(&self, whole: Decimal, of: fn(&Pick) -> Decimal) -> Decimal {
        match self.pick {
            Some((pick, _)) if !self.first => of(pick),
            Some(_) | None => whole - self.line.picks.iter().skip(1).map(of).sum::<Decimal>(),
        }
    }

    /// How many of it are made up from other fittings.
    pub(in crate::report) fn built(&self, wording: &Wording<'_>) -> Decimal {
        let of = wording.estimate.alternatives.get(self.alternative);
        of.map(|of| of.made_up(self.line.item)).unwrap_or_default()
    }

    /// Whether all of it is made up from other fittings.
    pub(in crate::report) fn is_built(&self, wording: &Wording<'_>) -> bool {
        self.line.is_spared() && !self.built(wording).is_zero()
    }

    /// How many the takeoff has that longer sticks than it goes by spare, where none is left to buy.
    pub(in crate::report) fn spared(&self, wording: &Wording<'_>) -> Decimal {
        if self.line.is_spared() { -self.line.by_plan - self.built(wording) } else { Decimal::ZERO }
    }

    /// What becomes of the line, in the word of the column `status`.
    pub(in crate::report) fn status(&self, wording: &Wording<'_>) -> &'static str {
        match (self.pick, self.line.extended) {
            (Some(_), _) => "bought",
            (None, Some(_)) if self.is_built(wording) => "built",
            (None, Some(_)) if self.line.is_spared() => "spared by the cut plan",
            (None, Some(_)) if self.line.on_hand > Decimal::ZERO => "on hand",
            (None, Some(_)) => "nothing to buy",
            (None, None) => "not priced",
        }
    }

    /// Whether the line has no price: it is in no sum.
    pub(in crate::report) fn is_not_priced(&self) -> bool {
        self.line.extended.is_none()
    }

    /// Whether it is bought loose: any number, priced by the quantity.
    pub(in crate::report) fn is_loose(&self) -> bool {
        self.offer().is_some_and(Offer::is_loose)
    }
}

/// The rows of the order of all alternatives: by alternative and supplier, what is not priced last, else as the order
/// stands.
pub(in crate::report) fn order<'a>(wording: &Wording<'a>) -> Vec<OrderRow<'a>> {
    let mut rows = Vec::new();
    let mut line_id = 0_u32;
    for (index, alternative) in wording.estimate.alternatives.iter().enumerate() {
        let mut lines: Vec<(&OrderLine, Option<&str>)> = alternative
            .order
            .iter()
            .map(|line| {
                let offer = line.picks.first().and_then(|pick| wording.offer(pick.offer));
                (line, offer.map(|offer| wording.supplier(offer)))
            })
            .collect();
        lines.sort_by(|a, b| match (a.1, b.1) {
            (Some(x), Some(y)) => natural(x, y),
            (x, y) => x.is_none().cmp(&y.is_none()),
        });
        for (line, _) in lines {
            line_id = line_id.saturating_add(1);
            let plan = alternative.plans.iter().find(|p| p.item == line.item && !p.cuttings.is_empty());
            let picks: Vec<_> =
                line.picks.iter().filter_map(|pick| Some((pick, wording.offer(pick.offer)?))).collect();
            let base =
                OrderRow { alternative: index, line_id, line, pick: None, first: true, last: true, plan };
            if picks.is_empty() {
                rows.push(base);
            }
            for (i, pick) in picks.iter().enumerate() {
                let (first, last) = (i == 0, i + 1 == picks.len());
                rows.push(OrderRow { pick: Some(*pick), first, last, ..base });
            }
        }
    }
    rows
}
