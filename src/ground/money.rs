//! Money and its rounding: decimal, half away from zero, in one place.
//!
//! `rust_decimal` rounds half to even unless it is told otherwise; nothing else in the crate rounds.

use rust_decimal::{Decimal, RoundingStrategy};

/// The largest sum of one kind that is reckoned with. What is made of such sums fits a decimal number.
pub const MOST: Decimal = Decimal::from_parts(0xA764_0000, 0x0DE0_B6B3, 0, false, 0);

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
pub fn to_net(number: Decimal) -> Decimal {
    round_half_away(round_half_away(number, 6), 4)
}

/// To 0.01 of an hour or a day, with the same inner rounding.
pub fn to_hundredths(number: Decimal) -> Decimal {
    to_cents(number)
}

/// Up to a whole number: `ROUNDUP(ROUND(x, 6), 0)`, so that 100 with 10 % is 110 and not 111.
pub fn round_up(number: Decimal) -> Decimal {
    round_half_away(number, 6).round_dp_with_strategy(0, RoundingStrategy::AwayFromZero)
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
}
