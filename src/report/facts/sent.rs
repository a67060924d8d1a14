//! What goes to suppliers and comes back: the orders of the chosen alternative by supplier and phase, what a request for
//! quotes asks for, what may go back. It groups rows and adds nothing up; sheets, CSV and JSON show what it finds.

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use super::rows::{OrderRow, rank};
use super::wording::{Wording, plain};
use crate::estimate::buying::Market;
use crate::estimate::costing;
use crate::estimate::item::ItemId;
use crate::estimate::order::OfferId;
use crate::estimate::paperwork::delivery_days;
use crate::ground::Length;
use crate::ground::name::natural;
use crate::trade::{Class, Pack, Phase, SoldAs, Word};

/// The order of one phase to one supplier: rows with their ids on the sheet Order.
pub(in crate::report) struct Sent<'r, 'a> {
    pub(in crate::report) supplier: &'a str,
    pub(in crate::report) phase: Phase,
    pub(in crate::report) rows: Vec<(usize, &'r OrderRow<'a>)>,
    /// The delivery fee, which stands with the first order of its supplier.
    pub(in crate::report) fee: Decimal,
}

impl Sent<'_, '_> {
    /// What its goods come to.
    pub(in crate::report) fn goods(&self) -> Decimal {
        self.rows.iter().filter_map(|(_, row)| row.pick).map(|(pick, _)| pick.extended).sum()
    }
}

/// The orders of the chosen alternative: by supplier, then by phase.
pub(in crate::report) fn sent<'r, 'a>(words: &Wording<'a>, orders: &'r [OrderRow<'a>]) -> Vec<Sent<'r, 'a>> {
    let mut rows: Vec<(&'a str, Phase, usize, &OrderRow<'a>)> = (1..)
        .zip(orders)
        .filter(|(_, row)| row.alternative == 0)
        .filter_map(|(id, row)| row.pick.map(|(_, offer)| (words.supplier(offer), row.line.phase, id, row)))
        .collect();
    rows.sort_by(|a, b| natural(a.0, b.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)));
    let mut sent: Vec<Sent<'r, 'a>> = Vec::new();
    for (supplier, phase, id, row) in rows {
        match sent.last_mut() {
            Some(last) if last.supplier == supplier && last.phase == phase => last.rows.push((id, row)),
            last => {
                let is_first = last.is_none_or(|last| last.supplier != supplier);
                let fee = if is_first { fee_of(words, supplier) } else { Decimal::ZERO };
                sent.push(Sent { supplier, phase, rows: vec![(id, row)], fee });
            }
        }
    }
    sent
}

/// What a supplier charges for the delivery of its order.
pub(in crate::report) fn fee_of(words: &Wording<'_>, supplier: &str) -> Decimal {
    let name = words.job.lexicon.find(supplier);
    name.map_or(Decimal::ZERO, |name| costing::delivery_fee(words.job, name))
}

/// The days on which goods of a supplier are needed where there are several and it charges for delivery: the fee is
/// counted once.
pub(in crate::report) fn fee_for_days(words: &Wording<'_>, supplier: &str) -> Option<String> {
    let chosen = words.estimate.alternatives.first().filter(|_| !fee_of(words, supplier).is_zero())?;
    let days = delivery_days(words.job, chosen, words.job.lexicon.find(supplier)?);
    let shown = days.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
    let days = Some(days.len()).filter(|days| *days > 1)?;
    Some(format!("One delivery fee is counted; the goods are needed on {days} days: {shown}."))
}

/// What a request for quotes asks for an item.
pub(in crate::report) struct Asked<'a> {
    pub(in crate::report) item: ItemId,
    pub(in crate::report) with: AskedWith,
    /// Where a store keeps it.
    pub(in crate::report) section: &'a str,
    /// What is to be bought: need and allowance less what is on hand.
    pub(in crate::report) quantity: Decimal,
    /// Of tube, the coils and sticks that a price is asked for: those on sale and those it is customarily sold in.
    pub(in crate::report) lengths: Vec<(SoldAs, Length)>,
    pub(in crate::report) is_priced: bool,
    /// The nearest offers of what nobody sells.
    pub(in crate::report) nearest: Vec<OfferId>,
    /// Of tube that nobody sells yet, what is on hand, in words: only a cut plan can take it off.
    pub(in crate::report) not_taken_off: Option<String>,
}

/// What something is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::report) enum AskedWith {
    /// The base bid.
    Base,
    /// Another alternative, by its place: what the base bid does not need.
    System(usize),
    /// An alternate: what it needs more.
    Alternate(Word),
}

impl AskedWith {
    /// What stands over its lines: nothing over those of the base bid.
    pub(in crate::report) fn heading(self, words: &Wording<'_>) -> String {
        match self {
            Self::Base => String::new(),
            Self::System(index) => {
                format!("Only if it is piped otherwise: {}", words.alternative_in_words(index))
            }
            Self::Alternate(name) => format!("More with the alternate: {}", words.word(name)),
        }
    }

    /// The same in a cell: `bid`, a system, an alternate.
    pub(in crate::report) fn word(self, words: &Wording<'_>) -> String {
        match self {
            Self::Base => "bid".to_owned(),
            Self::System(index) => format!("system {}", words.alternative(index)),
            Self::Alternate(name) => format!("alternate {}", words.word(name)),
        }
    }
}

/// What suppliers are asked for: the whole need of the chosen alternative by section of the store, then what the others need
/// beside it, then what alternates need more. What is on hand is not asked for.
pub(in crate::report) fn asked<'a>(
    words: &Wording<'a>,
    orders: &[OrderRow<'a>],
    ranks: &[u32],
) -> Vec<Asked<'a>> {
    let market = Market::open(words.job);
    let mut all = of_alternative(&market, words, orders, 0);
    sort(ranks, &mut all);
    let mut known: BTreeSet<ItemId> = all.iter().map(|one| one.item).collect();
    for index in 1..words.estimate.alternatives.len() {
        let mut more = of_alternative(&market, words, orders, index);
        more.retain(|one| known.insert(one.item));
        sort(ranks, &mut more);
        all.append(&mut more);
    }
    for one in &words.estimate.optional {
        let needs = one.needs.iter();
        let asked = |(item, quantity): &(ItemId, Decimal)| {
            let nearest = if market.offers_for(words.item(*item)).is_empty() {
                market.nearest(words.item(*item))
            } else {
                Vec::new()
            };
            Asked {
                is_priced: nearest.is_empty(),
                nearest,
                with: AskedWith::Alternate(one.name),
                ..asked_of(&market, words, *item, *quantity)
            }
        };
        let mut more: Vec<Asked<'a>> = needs.map(asked).collect();
        sort(ranks, &mut more);
        all.append(&mut more);
    }
    all
}

fn asked_of<'a>(market: &Market<'_>, words: &Wording<'a>, item: ItemId, quantity: Decimal) -> Asked<'a> {
    Asked {
        item,
        with: AskedWith::Base,
        section: words.word(words.part(item).section),
        quantity,
        lengths: lengths(market, words, item),
        is_priced: true,
        nearest: Vec::new(),
        not_taken_off: None,
    }
}

/// The whole need of an alternative.
fn of_alternative<'a>(
    market: &Market<'_>,
    words: &Wording<'a>,
    orders: &[OrderRow<'a>],
    index: usize,
) -> Vec<Asked<'a>> {
    let firsts = orders.iter().filter(|row| row.alternative == index && row.first);
    let bought = firsts.filter(|row| row.pick.is_some() || row.is_not_priced() || row.line.is_spared());
    bought
        .map(|row| {
            let item = row.line.item;
            // A fitting that is made up from others is asked for: who sells it may have a price; and who sells shorter sticks
            // than the plan goes by has the couplings for them.
            let quantity = row.line.to_buy() + row.built(words) + row.spared(words);
            let nearest = if row.is_not_priced() { market.nearest(words.item(item)) } else { Vec::new() };
            Asked {
                with: if index == 0 { AskedWith::Base } else { AskedWith::System(index) },
                is_priced: !row.is_not_priced(),
                nearest,
                not_taken_off: not_taken_off(market, words, row),
                ..asked_of(market, words, item, quantity)
            }
        })
        .collect()
}

fn sort(ranks: &[u32], asked: &mut [Asked<'_>]) {
    asked.sort_by(|a, b| {
        let (x, y) = (a.section, b.section);
        x.is_empty()
            .cmp(&y.is_empty())
            .then_with(|| natural(x, y))
            .then_with(|| rank(ranks, a.item).cmp(&rank(ranks, b.item)))
    });
}

impl Asked<'_> {
    /// The fewest coils or sticks of a length that hold the need, cut without loss.
    pub(in crate::report) fn fewest(&self, length: Decimal) -> Decimal {
        let number = self.quantity.checked_div(length).unwrap_or_default();
        crate::ground::money::round_up(number).normalize()
    }
}

fn not_taken_off(market: &Market<'_>, words: &Wording<'_>, row: &OrderRow<'_>) -> Option<String> {
    let item = words.item(row.line.item);
    if !row.is_not_priced() || item.class != Class::Tube {
        return None;
    }
    let one = |(length, number): &(Length, Decimal)| {
        format!("{} x {}", plain(*number), words.length_words(*length))
    };
    let there: Vec<String> = market.lengths_on_hand(item).iter().map(one).collect();
    (!there.is_empty()).then(|| format!("on hand, not taken off yet: {}", there.join(", ")))
}

/// The coils and sticks of a tube that suppliers are asked for, coils first, the shorter first.
fn lengths(market: &Market<'_>, words: &Wording<'_>, id: ItemId) -> Vec<(SoldAs, Length)> {
    let item = words.item(id);
    if item.class != Class::Tube {
        return Vec::new();
    }
    let on_sale = market.offers_for(item).into_iter().filter_map(|id| words.offer(id));
    let on_sale = on_sale.filter_map(|offer| match (offer.sold_as, offer.pack) {
        (sold @ (SoldAs::Coil | SoldAs::Stick), Pack::Length(length)) => Some((sold, length)),
        (SoldAs::Coil | SoldAs::Stick | SoldAs::Bag | SoldAs::Each, _) => None,
    });
    let system = item.system.map(|system| words.job.catalog.system(system));
    let customary = system.into_iter().flat_map(|system| system.sold_in.iter().copied());
    let mut list: Vec<(SoldAs, Length)> = on_sale.chain(customary).collect();
    list.sort_unstable();
    list.dedup();
    list
}

/// Packs that may go back unopened: the smallest pack of a line whose offer says so.
pub(in crate::report) struct Back<'r, 'a> {
    pub(in crate::report) row: &'r OrderRow<'a>,
    pub(in crate::report) row_id: usize,
    /// Coils or sticks that the cut plan opens; nothing where packs are opened one after the other.
    pub(in crate::report) cut: Option<u64>,
    /// Whole packs left when need and allowance are used up.
    pub(in crate::report) surely: Decimal,
    /// Whole packs left when nothing of the allowance is used.
    pub(in crate::report) at_most: Decimal,
}

impl Back<'_, '_> {
    /// What the packs that may go back cost, in cents.
    pub(in crate::report) fn worth(&self, words: &Wording<'_>) -> Decimal {
        let Some((pick, offer)) = self.row.pick else { return Decimal::ZERO };
        let priced_for = if self.row.is_loose() { words.per(offer) } else { Decimal::ONE };
        pick.worth(self.at_most, priced_for)
    }
}

/// The packs of the chosen alternative that may go back, in the order of the orders. Loose tube is cut for the buyer and
/// never goes back.
pub(in crate::report) fn back<'r, 'a>(words: &Wording<'a>, orders: &'r [OrderRow<'a>]) -> Vec<Back<'r, 'a>> {
    let rows = (1..).zip(orders).filter(|(_, row)| row.alternative == 0 && row.last);
    let mut found = Vec::new();
    for (row_id, row) in rows {
        let Some((pick, offer)) = row.pick else { continue };
        let tube = words.item(row.line.item).class == Class::Tube;
        if offer.returnable != Some(true) || (tube && row.plan.is_none()) {
            continue;
        }
        let of_offer = |cutting: &&crate::estimate::order::Cutting| cutting.offer == Some(pick.offer);
        let plan = row.plan.filter(|_| tube);
        let cut = plan.map(|plan| plan.cuttings.iter().filter(of_offer).map(|c| c.times).sum());
        let bought = row.line.bought();
        let need = (row.line.need - row.line.on_hand).max(Decimal::ZERO);
        let whole = |left| pick.left_whole(left, words.pack(offer));
        let (surely, at_most) = match cut {
            Some(cut) => {
                let left = (pick.packs - Decimal::from(cut)).max(Decimal::ZERO);
                (left, left)
            }
            None => (whole(bought - row.line.to_buy()), whole(bought - need)),
        };
        found.push(Back { row, row_id, cut, surely, at_most });
    }
    found
}
