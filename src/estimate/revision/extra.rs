//! What a revision alone buys: packs more, and packs fewer, of each offer, at its price now. What is in both orders is in
//! neither; so an order of only what is added can be sent.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::Side;
use super::named::{Key, Named};
use super::offers::{per, sold};
use crate::estimate::buying::Market;
use crate::estimate::order::{OrderLine, Pick};
use crate::ground::name::natural;
use crate::trade::{Offer, Phase};

/// So many packs of an offer more, or fewer, than before.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Extra {
    /// Who sells it.
    pub supplier: String,
    /// The supplier's own code.
    pub code: String,
    /// The supplier's own words; empty where the list has none.
    pub description: String,
    /// The item.
    pub named: Named,
    /// The first phase that needs it.
    pub phase: Phase,
    /// How many packs more, or with a minus fewer; of loose goods the quantity.
    pub more: Decimal,
    /// What they are: `coil of 100 ft`; of loose goods the unit.
    pub unit: String,
    /// The price of one pack; of loose goods the net price.
    pub price: Decimal,
    /// What the price is for.
    pub per: String,
    /// What they cost, above zero, in cents.
    pub sum: Decimal,
    /// Whether unopened packs may go back, where the list says so.
    pub returnable: Option<bool>,
}

/// An offer of an item, by words that both jobs have.
type Bought = (Key, String);

/// Packs of one offer: how many before, how many now, and the line that says the rest.
#[derive(Default)]
struct Packs {
    old: Decimal,
    new: Decimal,
    said: Option<Extra>,
}

/// Packs that are bought on one side alone, by supplier and then in the order of their names.
pub(super) fn extra(old: Side<'_>, new: Side<'_>) -> Vec<Extra> {
    let mut all: BTreeMap<Bought, Packs> = BTreeMap::new();
    for (side, is_old) in [(old, true), (new, false)] {
        let market = Market::open(side.job);
        for line in side.chosen().map_or(&[][..], |chosen| &chosen.order) {
            let named = Named::of(side.job, side.estimate.items.get(line.item), new.job.settings.units);
            for pick in &line.picks {
                let Some(offer) = side.job.prices.offers.get(pick.offer.0 as usize) else { continue };
                let packs = all.entry((named.key(), market.kept_as(pick.offer))).or_default();
                let count = if is_old { &mut packs.old } else { &mut packs.new };
                *count = count.saturating_add(pick.packs);
                // What is there now is said as it is now.
                packs.said = Some(said(side, new, (line, pick, offer), named.clone()));
            }
        }
    }
    let mut extra: Vec<Extra> = all
        .into_values()
        .filter_map(|packs| {
            let (more, said) = ((packs.new - packs.old).normalize(), packs.said?);
            let each = said.sum;
            let sum = crate::ground::money::to_cents(more.abs().checked_mul(each)?);
            (!more.is_zero()).then_some(Extra { more, sum, ..said })
        })
        .collect();
    extra.sort_by(|a, b| {
        natural(&a.supplier, &b.supplier)
            .then(a.phase.cmp(&b.phase))
            .then_with(|| natural(&a.named.called(), &b.named.called()))
            .then_with(|| natural(&a.unit, &b.unit))
            .then_with(|| a.code.cmp(&b.code))
    });
    extra
}

/// An offer in words; its sum is what one of it costs, not rounded.
fn said(
    side: Side<'_>,
    new: Side<'_>,
    (line, pick, offer): (&OrderLine, &Pick, &Offer),
    named: Named,
) -> Extra {
    let unit = new.job.settings.units;
    let is_loose = offer.is_loose();
    let priced_for = if is_loose { offer.priced_for(side.job.settings.units) } else { Decimal::ONE };
    Extra {
        supplier: side.job.lexicon.text(offer.supplier).to_owned(),
        code: offer.code.to_string(),
        description: offer.description.to_string(),
        phase: line.phase,
        more: Decimal::ZERO,
        unit: if is_loose { named.unit.clone() } else { sold(offer, unit) },
        price: pick.price.normalize(),
        per: if is_loose { per(offer, unit) } else { "each".to_owned() },
        sum: pick.price.checked_div(priced_for).unwrap_or(pick.price),
        returnable: offer.returnable,
        named,
    }
}
