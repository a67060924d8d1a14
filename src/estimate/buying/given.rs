//! What a bound takes as it is: what was decided before the order was bought, or is bought by rule. A plan that is proven
//! is least only with that. Called by [`super::buy`] and its rounds; it decides nothing.

use super::lot::Sold;
use super::matching::describes;
use super::{Market, tube_quotes as tube};
use crate::estimate::item::Items;
use crate::estimate::landed::Given;
use crate::estimate::takeoff::Need;
use crate::trade::{Class, MeantFor, Substitutes};

/// What is given before anything is bought: how fittings are built, and which line takes what is on hand.
pub(super) fn beforehand(market: &Market<'_>, items: &Items, needs: &[Need], is_built: bool) -> Vec<Given> {
    let mut given = Vec::new();
    // Where what is sold may be built as well, buying it was a choice among the same ways.
    let fittings = || needs.iter().any(|need| items.get(need.item).class == Class::Fitting);
    if is_built || (market.terms.substitutes == Substitutes::Cheaper && fittings()) {
        given.push(Given::Built);
    }
    let fits_several = |stock: &crate::trade::OnHand| {
        let meant_for = MeantFor { systems: &stock.systems, variant: stock.variant, color: stock.color };
        let fits = needs.iter().filter(|need| {
            let item = items.get(need.item);
            stock.length.is_some() == item.is_length()
                && describes(market, stock.part, &stock.sizes, &meant_for, item)
        });
        fits.count() > 1
    };
    if market.job.on_hand.iter().any(|stock| !stock.in_error && fits_several(stock)) {
        given.push(Given::Shelf);
    }
    given
}

/// What is given with the tubes that are quoted.
pub(super) fn with_tube(cut: &[tube::Quoted<'_>]) -> Vec<Given> {
    let mut given = Vec::new();
    if cut.iter().any(is_joined) {
        given.push(Given::Joined);
    }
    if cut.iter().any(is_in_two_ways) {
        given.push(Given::Loose);
    }
    given
}

fn is_joined(quoted: &tube::Quoted<'_>) -> bool {
    match quoted {
        tube::Quoted::Open(open) => open.offers.iter().any(tube::OfSupplier::is_joined),
        tube::Quoted::Settled(settled) => settled.1.as_ref().is_some_and(|plan| !plan.joined.is_empty()),
    }
}

/// Whether a supplier sells it both in lengths and loose.
fn is_in_two_ways(quoted: &tube::Quoted<'_>) -> bool {
    let tube::Quoted::Open(open) = quoted else { return false };
    let loose = |of: &tube::OfSupplier| of.lots.iter().any(|lot| matches!(lot.sold, Sold::ByLength(_)));
    let whole = |of: &tube::OfSupplier| of.lots.iter().any(|lot| matches!(lot.sold, Sold::Lengths(_)));
    open.offers.iter().any(|of| loose(of) && whole(of))
}
