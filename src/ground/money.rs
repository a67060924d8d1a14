//! Money and its rounding: decimal, half away from zero, in one place; and how sums, prices, lengths and points are
//! written, one way for every file and for the terminal.
//!
//! `rust_decimal` rounds half to even unless it is told otherwise, and cuts off what `{:.2}` does not show; nothing else
//! in the crate rounds, and nothing else writes a decimal with so many places.

use rust_decimal::{Decimal, RoundingStrategy};

/// The largest sum of one kind that is reckoned with. What is made of such sums fits a decimal number.
pub(crate) const MOST: Decimal = Decimal::from_parts(0xA764_0000, 0x0DE0_B6B3, 0, false, 0);

/// Rounds to so many places, half away from zero, as a clerk and a spreadsheet's ROUND do.
pub fn round_half_away(number: Decimal, places: u32) -> Decimal {
    number.round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero)
}

/// To cents, half away from zero. The inner rounding to 6 places is the workbook's `ROUND(ROUND(x, 6), 2)`, so that
/// the program and an independent recalculation part at no tie.
pub fn to_cents(number: Decimal) -> Decimal {
    round_half_away(round_half_away(number, 6), 2)
}

/// To the 4 places of a net price, with the same inner rounding.
pub(crate) fn to_net(number: Decimal) -> Decimal {
    round_half_away(round_half_away(number, 6), 4)
}

/// To 0.01 of an hour or a day, with the same inner rounding.
pub(crate) fn to_hundredths(number: Decimal) -> Decimal {
    to_cents(number)
}

/// Up to a whole number: `ROUNDUP(ROUND(x, 6), 0)`, so that 100 with 10 % is 110 and not 111.
pub fn round_up(number: Decimal) -> Decimal {
    round_half_away(number, 6).round_dp_with_strategy(0, RoundingStrategy::AwayFromZero)
}

/// A number without the zeros that nobody writes: `12.5`, `100`.
pub(crate) fn plain(number: Decimal) -> String {
    number.normalize().to_string()
}

/// A number to at most so many places, without zeros behind.
pub(crate) fn to_places(number: Decimal, places: u32) -> String {
    plain(round_half_away(number, places))
}

/// The places of a quantity or a length.
pub(crate) const QUANTITY_PLACES: u32 = 4;

/// A quantity or a length: at most four places, `76.0833`, `100`.
pub(crate) fn quantity(number: Decimal) -> String {
    to_places(number, QUANTITY_PLACES)
}

/// Points of a percentage: at most two places, `33.1`, `7.25`.
pub(crate) fn points(number: Decimal) -> String {
    to_places(number, 2)
}

/// A sum, also one of hours or days: two places always, `1045.20`.
pub(crate) fn cents(sum: Decimal) -> String {
    fixed(to_cents(sum), 2)
}

/// A price or a wage: two places, and up to four where it has them, `26.10`, `0.3149`.
pub(crate) fn price(net: Decimal) -> String {
    let net = to_net(net).normalize();
    let places = net.scale().max(2);
    fixed(net, places)
}

/// A sum in a sentence: `USD 1045.20`.
pub(crate) fn in_currency(currency: &str, sum: Decimal) -> String {
    if currency.is_empty() { cents(sum) } else { format!("{currency} {}", cents(sum)) }
}

/// A number as it was written, with a plus before what is more than nothing.
pub(crate) fn signed(number: Decimal, written: fn(Decimal) -> String) -> String {
    let plus = if number > Decimal::ZERO { "+" } else { "" };
    format!("{plus}{}", written(number))
}

/// A number that is rounded already, with so many places; nothing has no sign.
fn fixed(rounded: Decimal, places: u32) -> String {
    let number = if rounded.is_zero() { Decimal::ZERO } else { rounded };
    let places = usize::try_from(places).unwrap_or(2);
    format!("{number:.places$}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn d(text: &str) -> Decimal {
        Decimal::from_str_exact(text).unwrap()
    }

    #[test]
    fn ties_go_away_from_zero() {
        assert_eq!(to_cents(d("1.005")), d("1.01"));
        assert_eq!(to_cents(d("-1.005")), d("-1.01"));
        assert_eq!(to_net(d("0.00005")), d("0.0001"));
    }

    #[test]
    fn a_hundred_and_ten_percent_is_a_hundred_and_ten() {
        assert_eq!(round_up(d("100") * d("1.1")), d("110"));
        assert_eq!(round_up(d("105") * d("1.1")), d("116"));
    }

    #[test]
    fn figures_are_rounded_and_not_cut_off() {
        assert_eq!(quantity(d("100.9896")), "100.9896");
        assert_eq!(quantity(d("100.98996")), "100.99");
        assert_eq!((points(d("19.99")), points(d("19.996"))), ("19.99".to_owned(), "20".to_owned()));
        assert_eq!((cents(d("26.1")), cents(d("-0.004"))), ("26.10".to_owned(), "0.00".to_owned()));
        assert_eq!((price(d("26.1")), price(d("0.3149"))), ("26.10".to_owned(), "0.3149".to_owned()));
        assert_eq!(
            (signed(d("19.995"), cents), signed(d("0"), cents)),
            ("+20.00".to_owned(), "0.00".to_owned())
        );
        assert_eq!(in_currency("USD", d("1045.2")), "USD 1045.20");
    }
}
