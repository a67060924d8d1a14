//! Tube whose coils and sticks are held: the pieces are cut from exactly those, and from what is on the shelf. Where
//! they do not go in, the cheapest more of the same suppliers is bought with them, and a notice says what was missing.
//! Called by [`super::tube_quotes`].

use super::lot::{Lot, Sold};
use super::tube::{Asked, Offered, Sale, by_length, of_supplier, plan_at};
use super::{Desk, Doubt, NotPriced};
use crate::trade::Word;

/// The coils and sticks that are held, and how the pieces are cut from them.
pub(super) fn held(desk: &mut Desk<'_>, asked: &Asked<'_>) -> Result<Offered, NotPriced> {
    let mut sales: Vec<Sale> = Vec::new();
    for held in &asked.ask.held {
        let Some(lot) = held.lot.clone() else { continue };
        if matches!(lot.sold, Sold::ByLength(_)) {
            return by_length(asked, &lot).ok_or(NotPriced::TooLarge);
        }
        sales.push(Sale { held: held.packs, all: true, ..Sale::free(&lot) });
    }
    if sales.iter().all(|sale| sale.held.is_none()) {
        // Offers are held and their number is left open: the plan says how many.
        let lots: Vec<Lot> = sales.into_iter().map(|sale| sale.lot).collect();
        return of_supplier(asked, &lots, asked.effort);
    }
    let suppliers: Vec<Word> = sales.iter().map(|sale| sale.lot.supplier).collect();
    let free: Vec<Lot> =
        asked.ask.lots.iter().filter(|lot| suppliers.contains(&lot.supplier)).cloned().collect();
    let offered = match plan_at(asked, &sales, asked.effort) {
        Ok(offered) => offered,
        Err(_) => with_more(desk, asked, &sales, &free)?,
    };
    // The bound is that of a free choice at the same supplier.
    let bound =
        |effort: u64| of_supplier(asked, &free, effort).map_or(0, |free| free.bound.min(offered.sum()));
    let bound = match bound(0) {
        quick if quick == offered.sum() => quick,
        _ => bound(asked.effort),
    };
    Ok(Offered { bound, ..offered })
}

/// What is held, and the cheapest more that takes in all pieces.
fn with_more(
    desk: &mut Desk<'_>,
    asked: &Asked<'_>,
    held: &[Sale],
    free: &[Lot],
) -> Result<Offered, NotPriced> {
    // What is held is bought in any case: in the plan it costs nothing, and only what is more has its price.
    let mut sales: Vec<Sale> = held.to_vec();
    for sale in sales.iter_mut().filter(|sale| sale.held.is_some()) {
        sale.price = rust_decimal::Decimal::ZERO;
    }
    let whole = |lot: &&Lot| matches!(lot.sold, Sold::Lengths(_));
    sales.extend(free.iter().filter(whole).map(Sale::free));
    // An offer that is out of date is good for what was bought by it, and for more where nothing else is offered.
    if free.iter().filter(whole).count() == 0 {
        sales.extend(held.iter().map(|sale| Sale::free(&sale.lot)));
    }
    let offered = plan_at(asked, &sales, asked.effort)?;
    let number_held = |lot: &Lot| {
        let of_lot = held.iter().filter(|sale| sale.lot.offer == lot.offer);
        of_lot.fold(0_u64, |sum, sale| sum.saturating_add(sale.held.unwrap_or(0)))
    };
    let more = offered.picks.iter().filter_map(|(lot, count)| {
        let more = count.saturating_sub(number_held(lot));
        (more > 0).then(|| format!("{more} x {}", desk.market.kept_as(lot.offer)))
    });
    let more = more.collect::<Vec<_>>().join(" and ");
    if !more.is_empty() {
        let job = desk.market.job;
        let rows = asked.ask.held.iter().map(|held| job.sources.cell(job.held[held.row].row, "packs"));
        let spots = rows.chain(desk.example(asked.ask.id)).collect();
        desk.notice(asked.ask.id, spots, &Doubt::HeldTooFew { more });
    }
    Ok(offered)
}
