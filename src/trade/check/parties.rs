//! Names that the items of papers give: suppliers that get an order number, alternates that a bid offers.

use crate::ground::notice::findings;
use crate::trade::alternates::Alternates;
use crate::trade::lexicon::Word;
use crate::trade::price_list::PriceList;
use crate::trade::reading::{Reading, unknown};
use crate::trade::settings::Settings;
use crate::trade::shape::unknown_names;

/// Drops what no price list and no run list knows, with notices; lines of several rows stand in the order of their text.
pub(in crate::trade) fn parties(
    settings: &mut Settings,
    alternates: &Alternates,
    prices: &PriceList,
    reading: &mut Reading,
) {
    settings.parties.bid.payment_terms.sort();
    settings.parties.bid.included.sort();
    let sells: Vec<Word> = prices.offers.iter().map(|offer| offer.supplier).collect();
    settings.parties.order.numbers.retain(|number| {
        let known = number.supplier.is_empty() || sells.is_empty() || sells.contains(&number.supplier);
        if !known {
            let names = reading.lexicon.near(sells.iter().copied());
            let finding = unknown::supplier(reading.lexicon.text(number.supplier), names);
            reading.trouble(number.row, "for", finding);
        }
        known
    });
    let Some((offered, at)) = &mut settings.parties.bid.offered else { return };
    let compared = settings.compare_with.iter().chain(&settings.compare_drains).copied();
    let known: Vec<Word> = alternates.names.iter().map(|(name, _)| *name).chain(compared).collect();
    offered.retain(|word| {
        let is_known = known.contains(word);
        if !is_known {
            let found = reading.lexicon.text(*word).to_owned();
            let finding = match known.is_empty() {
                true => nothing_to_offer(&found),
                false => unknown_alternate(&found, reading.lexicon.near(known.iter().copied())),
            };
            reading.trouble(*at, "value", finding);
        }
        is_known
    });
}

unknown_names! {
    /// An alternate that the bid is to offer and the job does not have.
    fn unknown_alternate(found) = error("unknown-alternate",
        "\"{found}\" is neither an alternate of the run list nor a system that is compared",
        "the name of an alternate, or of a system of compare with",
        "name it in the column alternate of its runs, or take it out");
}

findings! {
    /// An alternate that the bid is to offer, of a job that has none.
    fn nothing_to_offer(found: &str) = error("unknown-alternate",
        "the bid is to offer \"{found}\", and the job has no alternate and compares no system",
        "the name of an alternate, or of a system of compare with",
        "name it in the column alternate of its runs, or take the row out");
}
