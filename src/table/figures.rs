//! Reads numbers as people write them, strictly, and says what to type instead where one is refused. It knows texts and
//! no cells; [`super::Record`] asks it.

use std::borrow::Cow;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::ground::Date;

/// A plain decimal number: digits, one point, a sign. `1e5`, `1,000`, `1_000` and `NaN` are refused.
pub(super) fn decimal(text: &str) -> Option<Decimal> {
    let plain =
        !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'+'));
    if plain { Decimal::from_str_exact(text).ok() } else { None }
}

/// A whole number; `12.0` is 12.
pub(super) fn whole(text: &str) -> Option<i64> {
    if let Ok(count) = text.parse() {
        return Some(count);
    }
    let number = decimal(text)?;
    if number.fract().is_zero() { number.to_i64() } else { None }
}

/// A percentage in points: `10`, `10 %`.
pub(super) fn percent(text: &str) -> Option<Decimal> {
    decimal(text.strip_suffix('%').unwrap_or(text).trim())
}

/// Chained percentages: `25+15`, `25/15`, `25 % + 15 %`.
pub(super) fn discount(text: &str) -> Option<Vec<Decimal>> {
    text.split(['+', '/']).map(|one| percent(one.trim())).collect()
}

/// Yes or no.
pub(super) fn yes_no(text: &str) -> Option<bool> {
    let is = |words: &[&str]| words.iter().any(|word| text.eq_ignore_ascii_case(word));
    if is(&["yes", "y", "x", "true", "1"]) {
        Some(true)
    } else if is(&["no", "n", "false", "0"]) {
        Some(false)
    } else {
        None
    }
}

/// The text with decimal points for decimal commas. Nothing where a point could part thousands: `1.500` in a file whose
/// decimal mark is the comma.
pub(super) fn with_points(text: &str) -> Option<Cow<'_, str>> {
    let bytes = text.as_bytes();
    let digit = |at: Option<usize>| at.and_then(|at| bytes.get(at)).is_some_and(u8::is_ascii_digit);
    let mut pointed = None;
    for (at, byte) in bytes.iter().enumerate() {
        let between = digit(at.checked_sub(1)) && digit(Some(at + 1));
        match byte {
            b',' if between => {
                pointed.get_or_insert_with(|| text.to_owned()).replace_range(at..=at, ".");
            }
            b'.' if between => {
                let whole = bytes.get(..at)?.iter().rev().take_while(|b| b.is_ascii_digit()).count();
                let places = bytes.get(at + 1..)?.iter().take_while(|b| b.is_ascii_digit()).count();
                let leading_zero = bytes.get(at - whole) == Some(&b'0');
                if places == 3 && whole <= 3 && !leading_zero {
                    return None;
                }
            }
            _ => {}
        }
    }
    Some(pointed.map_or(Cow::Borrowed(text), Cow::Owned))
}

/// The plain number that a text probably means, as it should be typed: without currency, thousands, exponent or words.
pub(super) fn plain_form(text: &str) -> Option<String> {
    let text = text.trim();
    let bare: String =
        text.chars().filter(|c| !matches!(c, '$' | '€' | '£' | '¥' | '\'' | '_' | ' ' | '\u{a0}')).collect();
    let digits_end = bare
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+')))
        .unwrap_or(bare.len());
    let (number, words) = bare.split_at(digits_end);
    if let Some(exponent) = words.strip_prefix(['e', 'E'])
        && exponent.parse::<i32>().is_ok()
    {
        return Decimal::from_scientific(&bare).ok().map(|n| n.normalize().to_string());
    }
    if !words.chars().all(|c| c.is_alphabetic() || matches!(c, '.' | '%' | '/')) {
        return None;
    }
    let plain = if number.contains(',') {
        let mut groups = number.split(',');
        let first = groups.next()?;
        let rest: Vec<&str> = groups.collect();
        let (last, middle) = rest.split_last()?;
        let thousands = (1..=3).contains(&first.trim_start_matches(['-', '+']).len())
            && middle.iter().all(|g| g.len() == 3)
            && last.split('.').next().is_some_and(|g| g.len() == 3);
        match (thousands, rest.len()) {
            (true, _) => number.replace(',', ""),
            (false, 1) if !number.contains('.') => number.replace(',', "."),
            (false, _) if number.rfind(',') > number.rfind('.') && rest.len() == 1 => {
                number.replace('.', "").replace(',', ".")
            }
            (false, _) => return None,
        }
    } else {
        number.to_owned()
    };
    decimal(&plain).map(|n| n.to_string())
}

/// The fraction that a spreadsheet probably made this day of: `1/2` of 2 January, the smaller number above; `1/32` where
/// the day is shown as month and year alone.
pub(super) fn fraction_typed(day: Date, month_and_year: bool) -> String {
    let (year, month, day) = day.parts();
    if month_and_year {
        return format!("{month}/{}", year % 100);
    }
    format!("{}/{}", month.min(day), month.max(day))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_plain_numbers_are_numbers() {
        for text in ["1e5", "1,000", "1_000", "NaN", "inf", "", " ", "0x10", "1 000", "--1"] {
            assert_eq!(decimal(text), None, "{text}");
        }
        assert_eq!(decimal("12.50").map(|d| d.to_string()).as_deref(), Some("12.50"));
        assert_eq!(whole("12.0"), Some(12));
        assert_eq!(whole("12.5"), None);
        assert_eq!(discount("25 % + 15").map(|d| d.len()), Some(2));
    }

    #[test]
    fn a_refused_number_says_what_to_type() {
        for (text, typed) in [
            ("$12.50", "12.50"),
            ("1,000", "1000"),
            ("1,234,567.89", "1234567.89"),
            ("12,5", "12.5"),
            ("1.234,5", "1234.5"),
            ("1e5", "100000"),
            ("3 ea", "3"),
            ("€ 7", "7"),
            ("1'000", "1000"),
        ] {
            assert_eq!(plain_form(text).as_deref(), Some(typed), "{text}");
        }
        for text in ["NaN", "", "n/a", "1,2,3", "-"] {
            assert_eq!(plain_form(text), None, "{text}");
        }
    }

    #[test]
    fn decimal_commas_become_points_and_thousands_are_refused() {
        assert_eq!(with_points("12,5 ft").as_deref(), Some("12.5 ft"));
        assert_eq!(with_points("12' 6,5\"").as_deref(), Some("12' 6.5\""));
        assert_eq!(with_points("1.5").as_deref(), Some("1.5"));
        assert_eq!(with_points("0.125").as_deref(), Some("0.125"));
        assert_eq!(with_points("1.500"), None);
        assert_eq!(with_points("1.234,5"), None);
    }

    #[test]
    fn a_day_gives_back_the_fraction_that_was_typed() {
        let day = |y, m, d| Date::new(y, m, d).unwrap();
        assert_eq!(fraction_typed(day(2026, 1, 2), false), "1/2");
        // The same fraction typed where the day is written first.
        assert_eq!(fraction_typed(day(2026, 2, 1), false), "1/2");
        assert_eq!(fraction_typed(day(2026, 3, 4), false), "3/4");
        assert_eq!(fraction_typed(day(1932, 1, 1), true), "1/32");
    }
}
