//! Tube at one supplier: coils and sticks by the cut plan, or loose by its length, whichever costs less; or the coils and
//! sticks that are locked, and the cheapest more of the same suppliers where the pieces do not go into them.
//!
//! All coils and sticks of one supplier go into one plan; loose tube has no plan and takes the allowance.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::breaks::in_lengths;
use super::plan::{Asked, Offered, Sale, plan_at};
use crate::estimate::OfferId;
use crate::estimate::buying::ask::{Ask, NotPriced};
use crate::estimate::buying::lot::{Lot, Sold};
use crate::estimate::buying::price;
use crate::estimate::sold::whole_unit;
use crate::ground::money::round_up;
use crate::trade::Word;

/// What a supplier offers: all in coils and sticks, or all loose.
pub(super) fn of_supplier(asked: &Asked<'_>, lots: &[Lot], effort: u64) -> Result<Offered, NotPriced> {
    let (whole, loose): (Vec<Lot>, Vec<Lot>) =
        lots.iter().cloned().partition(|lot| matches!(lot.sold, Sold::Lengths(_)));
    let mut best: Result<Offered, NotPriced> = Err(NotPriced::NoUsableOffer);
    let loosely = loose.iter().map(|lot| by_length(asked, lot).ok_or(NotPriced::TooLarge));
    let planned = (!whole.is_empty()).then(|| in_lengths(asked, &whole, effort));
    for offered in planned.into_iter().chain(loosely) {
        best = match (best, offered) {
            (Ok(best), Ok(new)) => {
                let bound = best.bound.min(new.bound);
                let better = (new.sum(), new.count()) < (best.sum(), best.count());
                Ok(Offered { bound, ..if better { new } else { best } })
            }
            (Ok(best), Err(_)) => Ok(best),
            (Err(_), offered) => offered,
        };
    }
    best
}

/// Loose tube: its length and the allowance, in whole feet or metres.
fn by_length(asked: &Asked<'_>, lot: &Lot) -> Option<Offered> {
    let Sold::ByLength(per) = lot.sold else { return None };
    let whole = Decimal::from(whole_unit(per).nanometres());
    // The allowance is rounded up once, as everywhere: then the order's sums meet.
    let allow = price::allowance(asked.line.need, asked.line.allowance)?;
    let wanted = asked.line.need.checked_add(allow)?.checked_sub(shelf_length(asked))?;
    let wanted = wanted.max(Decimal::ZERO).checked_mul(Decimal::from(asked.unit.nanometres()))?;
    let quantity = round_up(wanted.checked_div(whole)?).to_u64()?;
    let per = Decimal::from(per.nanometres());
    let cents = |quantity: u64| {
        let length = Decimal::from(quantity).checked_mul(whole)?;
        price::cents(price::of_loose(length, lot.tier(quantity).net, per)?)
    };
    let ups = lot.tiers.iter().map(|tier| if quantity == 0 { 0 } else { quantity.max(tier.from) });
    let (cents, quantity) = ups.filter_map(|quantity| Some((cents(quantity)?, quantity))).min()?;
    // Loose tube keeps the couplings of the takeoff.
    let joining = u64::try_from(asked.of_takeoff).ok()?.checked_mul(asked.joint)?;
    let bound = cents.checked_add(joining)?;
    Some(Offered { cents, joining, bound, picks: vec![(lot.clone(), quantity)], cut: None })
}

/// All of the shelf in the unit shown.
pub(super) fn shelf_length(asked: &Asked<'_>) -> Decimal {
    let sum = asked.shelf.iter().fold(0_i128, |sum, (length, number)| {
        sum.saturating_add(i128::from(length.nanometres()).saturating_mul(i128::from(*number)))
    });
    let sum = Decimal::try_from_i128_with_scale(sum, 0).unwrap_or(Decimal::MAX);
    sum / Decimal::from(asked.unit.nanometres())
}

/// What is offered with locked coils and sticks: what is bought, and which lengths of it stand beside the locked ones.
type Locked = Result<(Offered, Vec<(OfferId, u64)>), NotPriced>;

/// The coils and sticks that are locked, and how the pieces are cut from them and from what is on the shelf.
pub(super) fn locked(asked: &Asked<'_>, ask: &Ask<'_>) -> Locked {
    let mut sales: Vec<Sale> = Vec::new();
    for choice in &ask.locked.choices {
        if matches!(choice.lot.sold, Sold::ByLength(_)) {
            let loose = by_length(asked, &choice.lot).ok_or(NotPriced::TooLarge)?;
            return Ok((loose, Vec::new()));
        }
        sales.push(Sale { held: choice.packs, all: true, ..Sale::free(&choice.lot) });
    }
    if sales.iter().all(|sale| sale.held.is_none()) {
        // Offers are locked and their number is left open: the plan says how many.
        let lots: Vec<Lot> = sales.into_iter().map(|sale| sale.lot).collect();
        return Ok((of_supplier(asked, &lots, asked.effort)?, Vec::new()));
    }
    let suppliers: Vec<Word> = sales.iter().map(|sale| sale.lot.supplier).collect();
    let free: Vec<Lot> = ask.lots.iter().filter(|lot| suppliers.contains(&lot.supplier)).cloned().collect();
    let (offered, beside) = match plan_at(asked, &sales, asked.effort) {
        Ok(offered) => (offered, Vec::new()),
        Err(_) => with_more(asked, &sales, &free)?,
    };
    // The bound is that of a free choice at the same supplier.
    let bound =
        |effort: u64| of_supplier(asked, &free, effort).map_or(0, |free| free.bound.min(offered.sum()));
    let bound = match bound(0) {
        quick if quick == offered.sum() => quick,
        _ => bound(asked.effort),
    };
    Ok((Offered { bound, ..offered }, beside))
}

/// What is locked, and the cheapest more that takes in all pieces.
fn with_more(asked: &Asked<'_>, locked: &[Sale], free: &[Lot]) -> Locked {
    // What is locked is bought in any case: in the plan it costs nothing, and only what is more has its price.
    let mut sales: Vec<Sale> = locked.to_vec();
    for sale in sales.iter_mut().filter(|sale| sale.held.is_some()) {
        sale.price = Decimal::ZERO;
    }
    let whole = |lot: &&Lot| matches!(lot.sold, Sold::Lengths(_));
    sales.extend(free.iter().filter(whole).map(Sale::free));
    // An offer that is out of date is good for what was bought by it, and for more where nothing else is offered.
    if free.iter().filter(whole).count() == 0 {
        sales.extend(locked.iter().map(|sale| Sale::free(&sale.lot)));
    }
    let offered = plan_at(asked, &sales, asked.effort)?;
    let number_locked = |lot: &Lot| {
        let of_lot = locked.iter().filter(|sale| sale.lot.offer == lot.offer);
        of_lot.fold(0_u64, |sum, sale| sum.saturating_add(sale.held.unwrap_or(0)))
    };
    let more = offered.picks.iter().map(|(lot, count)| (lot.offer, count.saturating_sub(number_locked(lot))));
    let beside = more.filter(|(_, more)| *more > 0).collect();
    Ok((offered, beside))
}
