//! Prices: from what an offer says to what is paid. Net prices, prices of whole packs, sums of loose goods, allowances.
//!
//! Every rounding of a price stands here. The workbook repeats it in formulas, so each step is one that a spreadsheet
//! has. Nothing is chosen here.

use rust_decimal::Decimal;

use crate::ground::money::{round_half_away, round_up, to_cents, to_net};

const HUNDRED: Decimal = Decimal::ONE_HUNDRED;

/// The net price: a list price less chained discounts in points, each on what the one before leaves, to 4 places at
/// the end. Nothing where it does not fit 28 digits.
///
/// ```
/// use coilstick::estimate::buying::price::net;
/// use rust_decimal::Decimal;
/// let list = Decimal::new(140_00, 2);
/// assert_eq!(net(list, &[Decimal::from(20), Decimal::from(15)]), Some(Decimal::new(95_20, 2)));
/// ```
pub fn net(list: Decimal, discounts: &[Decimal]) -> Option<Decimal> {
    let mut price = list;
    for discount in discounts {
        price = price.checked_mul(HUNDRED.checked_sub(*discount)?)?.checked_div(HUNDRED)?;
    }
    Some(to_net(price).normalize())
}

/// The price of one whole coil, stick or bag in cents: what it holds x net / what the price is for.
pub fn of_pack(holds: Decimal, net: Decimal, per: Decimal) -> Option<Decimal> {
    of_loose(holds, net, per)
}

/// The sum of loose goods in cents: quantity x net / what the price is for (1 ft, 1 piece, 100, 1000).
pub fn of_loose(quantity: Decimal, net: Decimal, per: Decimal) -> Option<Decimal> {
    let sum = quantity.checked_mul(net)?.checked_div(per)?;
    Some(to_cents(sum))
}

/// So many packs at so much each, in cents.
pub fn of_packs(packs: Decimal, pack_price: Decimal) -> Option<Decimal> {
    Some(to_cents(packs.checked_mul(pack_price)?))
}

/// What an allowance in points adds to a need of pieces (or of loose tube): the two together are rounded up once, so
/// that 100 and 10 % is 110, and 105 and 10 % is 116. No allowance adds nothing.
pub fn allowance(need: Decimal, percent: Decimal) -> Option<Decimal> {
    if percent <= Decimal::ZERO {
        return Some(Decimal::ZERO);
    }
    let together = round_up(with_percent(need, percent)?);
    Some(together.checked_sub(need)?.max(Decimal::ZERO).normalize())
}

/// What an allowance adds to a need that is no number of pieces (an amount of solder, lengths in a cut plan): nothing
/// is rounded up, packs and sticks do that.
pub fn allowance_of_amount(need: Decimal, percent: Decimal) -> Option<Decimal> {
    if percent <= Decimal::ZERO {
        return Some(Decimal::ZERO);
    }
    let more = need.checked_mul(percent)?.checked_div(HUNDRED)?;
    Some(round_half_away(more, 6).normalize())
}

/// A number and so many points of it.
pub fn with_percent(number: Decimal, percent: Decimal) -> Option<Decimal> {
    number.checked_mul(HUNDRED.checked_add(percent)?)?.checked_div(HUNDRED)
}

/// Cents as a whole number; nothing for negative prices and for prices of a thousand million and above.
pub(super) fn cents(price: Decimal) -> Option<u64> {
    use rust_decimal::prelude::ToPrimitive;
    let cents = to_cents(price).checked_mul(HUNDRED)?.to_u64()?;
    (price >= Decimal::ZERO && cents < 100_000_000_000).then_some(cents)
}

/// Money of a whole number of cents.
pub(super) fn from_cents(cents: u64) -> Decimal {
    Decimal::from(cents) / HUNDRED
}

#[cfg(test)]
mod tests {
    use super::super::tests::fixture::d;
    use super::*;

    #[test]
    fn no_allowance_adds_nothing_even_to_a_fraction() {
        assert_eq!(allowance(d("100.5"), d("0")), Some(d("0")));
        assert_eq!(allowance(d("100.5"), d("10")), Some(d("10.5")));
    }

    #[test]
    fn a_hundred_percent_off_is_free_and_more_is_refused_as_cents() {
        assert_eq!(net(d("10"), &[d("100")]), Some(d("0")));
        assert_eq!(cents(d("-0.01")), None);
    }

    #[test]
    fn what_does_not_fit_is_nothing_and_no_panic() {
        assert_eq!(net(Decimal::MAX, &[d("10")]), None);
        assert_eq!(of_loose(Decimal::MAX, d("2"), d("1")), None);
        assert_eq!(of_loose(d("1"), d("2"), d("0")), None);
        assert_eq!(allowance(Decimal::MAX, d("10")), None);
    }
}
