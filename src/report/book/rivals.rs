//! Offers that a line was not bought from: what it would cost from them at the prices as edited, so that the sheet Order
//! says where another is cheaper now. The sheet Prices has what one pack of each costs, discounts taken off.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use super::id_of;
use super::prices::Listed;
use crate::estimate::buying::{Market, Rival, rivals};
use crate::estimate::order::OfferId;
use crate::report::facts::{OrderRow, Wording, plain};
use crate::trade::Offer;

/// A formula holds 8,192 characters: the dearest that do not fit are not watched.
const MOST: usize = 7_500;

/// What stands for a price that is not reached.
const BEYOND: &str = "1000000000";

/// What is said where another offer is cheaper.
pub(super) const CHEAPER: &str = "another offer is cheaper now: run again";

/// The rivals of every line, by the id of the line.
#[derive(Clone)]
pub(super) struct Rivals {
    of_line: BTreeMap<u32, Vec<Rival>>,
    offers: BTreeSet<OfferId>,
}

impl Rivals {
    /// Of the listed offers those that serve what is bought.
    pub(super) fn of(words: &Wording<'_>, orders: &[OrderRow<'_>], listed: &Listed) -> Self {
        let market = Market::open(words.job);
        let rivals_of = |row: &OrderRow<'_>| {
            let mut all = rivals(&market, words.item(row.line.item), row.line);
            all.retain(|rival| listed.has(rival.offer));
            (row.line_id, all)
        };
        let firsts = orders.iter().filter(|row| row.first && row.pick.is_some());
        let of_line: BTreeMap<u32, Vec<Rival>> =
            firsts.map(rivals_of).filter(|(_, all)| !all.is_empty()).collect();
        let offers = of_line.values().flatten().map(|rival| rival.offer).collect();
        Self { of_line, offers }
    }

    /// Whether an offer is a rival of some line.
    pub(super) fn has(&self, offer: OfferId) -> bool {
        self.offers.contains(&offer)
    }

    /// What the line of a row would cost from the cheapest other offer: the formula, what it comes to, and by how much that
    /// was less than what was chosen as estimated. `to_buy` and `line` are cells of the row.
    pub(super) fn cheapest(
        &self,
        words: &Wording<'_>,
        row: &OrderRow<'_>,
        (to_buy, line): (&str, &str),
    ) -> Option<(String, Decimal, Decimal)> {
        let all = self.of_line.get(&row.line_id)?;
        let mut costs: Vec<String> = Vec::new();
        for rival in all {
            let offer = words.offer(rival.offer)?;
            let packs = match offer.is_whole_length() {
                true => format!("SUMIFS(order_packs,order_line,{line})"),
                false => format!("ROUNDUP(ROUND({to_buy}/{},6),0)", plain(words.pack(offer))),
            };
            let cost = format!("ROUND(ROUND({packs}*{},6),2)", each(rival.offer, offer, &packs));
            if costs.iter().map(String::len).sum::<usize>() + cost.len() > MOST {
                break;
            }
            costs.push(cost);
        }
        let least = all.first()?.costs;
        let saved = (row.line.extended? - least).max(Decimal::ZERO);
        Some((format!("=MIN({})", costs.join(",")), least, saved))
    }
}

/// What one pack costs where so many are bought, by the columns of the sheet Prices.
fn each(id: OfferId, offer: &Offer, packs: &str) -> String {
    let place = format!("MATCH({},price_id,0)", id_of(id.0));
    let base = format!("INDEX(price_each,{place})");
    let reached: String = (1..)
        .zip(offer.breaks_in_reach())
        .map(|(n, (from, _))| format!(",IF({packs}>={from},INDEX(price_each_{n},{place}),{BEYOND})"))
        .collect();
    if reached.is_empty() { base } else { format!("MIN({base}{reached})") }
}
