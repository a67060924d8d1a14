//! Turns the numbers of a workbook into the text a person would see: the only file of the door where a number is a
//! float, and only until it is text. It knows number formats; it does no arithmetic on floats.

use std::sync::Arc;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::around::Around;
use super::row::Kind;
use crate::ground::Date;

/// How a workbook shows a number.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) enum Format {
    /// As a number.
    #[default]
    Number,
    /// As a percentage.
    Percent,
    /// As a day, perhaps with its time.
    Day,
    /// As a month and a year.
    MonthYear,
    /// As a time of day or a span of time.
    Time,
    /// As a number with a unit, a currency or a scale around it.
    Around(Arc<Around>),
}

impl Format {
    /// The format of a number by its id, where the id is one that every workbook knows (ECMA-376, part 1, 18.8.30).
    pub(super) fn built_in(id: u32) -> Self {
        match id {
            9 | 10 => Self::Percent,
            14..=16 | 22 | 27..=31 | 34..=36 | 50..=54 | 57 | 58 => Self::Day,
            17 | 55 | 56 => Self::MonthYear,
            18..=21 | 32 | 33 | 45..=47 => Self::Time,
            _ => Self::Number,
        }
    }

    /// The format a code describes: `0.0%`, `d-mmm`, `mmm-yy`, `[h]:mm`.
    pub(super) fn of_code(code: &str) -> Self {
        if code.eq_ignore_ascii_case("general") {
            return Self::Number;
        }
        let (mut day, mut month, mut year, mut clock, mut percent) = (false, false, false, false, false);
        let mut characters = code.chars();
        while let Some(character) = characters.next() {
            match character.to_ascii_lowercase() {
                // The first section alone: the others are for negative numbers, zero and text.
                ';' => break,
                '\\' | '_' | '*' => _ = characters.next(),
                '"' => _ = characters.by_ref().find(|c| *c == '"'),
                '[' => {
                    let inside: String = characters.by_ref().take_while(|c| *c != ']').take(40).collect();
                    clock |= !inside.is_empty()
                        && inside.chars().all(|c| matches!(c, 'h' | 'm' | 's' | 'H' | 'M' | 'S'));
                }
                'd' => day = true,
                'm' => month = true,
                'y' => year = true,
                'h' | 's' => clock = true,
                '%' => percent = true,
                _ => {}
            }
        }
        match (day || year, month, clock) {
            (true, _, _) if !day => Self::MonthYear,
            (true, _, _) | (false, true, false) => Self::Day,
            (false, _, true) => Self::Time,
            (false, false, false) if percent => Self::Percent,
            (false, false, false) => match Around::of_code(code) {
                around if around.is_nothing() => Self::Number,
                around => Self::Around(Arc::new(around)),
            },
        }
    }
}

/// The kind and text of a number under its format. `from_1904` is the workbook's other way to count days.
pub(super) fn shown(number: f64, format: &Format, from_1904: bool) -> (Kind, String) {
    let Some(plain) = shortest(number) else { return (Kind::Fault, "#NUM!".to_owned()) };
    let as_number = |plain: String| (Kind::Number, plain);
    match format {
        Format::Number => as_number(plain),
        Format::Percent => match points(&plain) {
            Some(points) => (Kind::Percent, points),
            None => as_number(plain),
        },
        Format::Day | Format::MonthYear => match day(&plain, from_1904) {
            Some(day) if *format == Format::Day => (Kind::Day, day.to_string()),
            Some(day) => (Kind::MonthYear, day.to_string()),
            // Below the first day stands a time; beyond the last one a number that no day can show.
            None => (Kind::Time, clock(&plain).unwrap_or(plain)),
        },
        Format::Time => (Kind::Time, clock(&plain).unwrap_or(plain)),
        Format::Around(around) if around.otherwise => (Kind::Scaled, plain),
        Format::Around(around) => (Kind::Shown, format!("{}{plain}{}", around.before, around.behind)),
    }
}

/// The shortest decimal that is this number, at most 15 digits of it: what a spreadsheet shows. A typed number is given
/// back as typed; of a calculated 0.30000000000000004 the dust goes.
fn shortest(number: f64) -> Option<String> {
    if !number.is_finite() {
        return None;
    }
    let plain = number.to_string();
    if plain.bytes().filter(u8::is_ascii_digit).count() <= 15 {
        return Some(if plain == "-0" { "0".to_owned() } else { plain });
    }
    let rounded: f64 = format!("{number:.14e}").parse().ok()?;
    Some(rounded.to_string())
}

fn points(plain: &str) -> Option<String> {
    let points = Decimal::from_str_exact(plain).ok()?.checked_mul(Decimal::ONE_HUNDRED)?;
    Some(format!("{}%", points.normalize()))
}

fn day(plain: &str, from_1904: bool) -> Option<Date> {
    let serial: i64 = plain.split('.').next()?.parse().ok()?;
    // 1904-01-01 is day 0 there and day 1462 here.
    Date::from_serial(if from_1904 { serial.checked_add(1_462)? } else { serial })
}

fn clock(plain: &str) -> Option<String> {
    let minutes = Decimal::from_str_exact(plain).ok()?.checked_mul(Decimal::from(1_440))?;
    let minutes = crate::ground::money::round_half_away(minutes, 0).to_i64()?;
    Some(format!("{}:{:02}", minutes / 60, (minutes % 60).abs()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn format_codes_say_what_a_number_is_shown_as() {
        for (code, format) in [
            ("General", Format::Number),
            ("# ?/?", Format::Number),
            ("#,##0.00_);[Red](#,##0.00)", Format::Number),
            ("0.00E+00", Format::Number),
            ("0%", Format::Percent),
            ("d-mmm", Format::Day),
            ("[$-409]d\\-mmm;@", Format::Day),
            ("m/d/yy h:mm", Format::Day),
            ("mmm-yy", Format::MonthYear),
            ("yyyy", Format::MonthYear),
            ("[h]:mm", Format::Time),
            ("h:mm AM/PM", Format::Time),
            ("mm:ss", Format::Time),
        ] {
            assert_eq!(Format::of_code(code), format, "{code}");
        }
    }

    #[test]
    fn numbers_are_shown_as_they_were_typed() {
        for (number, text) in [
            (12.0, "12"),
            (0.5, "0.5"),
            (0.285, "0.285"),
            (-0.0, "0"),
            (0.300_000_000_000_000_04, "0.3"),
            (0.333_333_333_333_333_3, "0.333333333333333"),
            (1e21, "1000000000000000000000"),
            (123_456_789_012_345.0, "123456789012345"),
        ] {
            assert_eq!(shown(number, &Format::Number, false), (Kind::Number, text.to_owned()));
        }
        let unit = |code| Format::of_code(code);
        assert_eq!(shown(31.0, &unit("0\" in\""), false), (Kind::Shown, "31 in".to_owned()));
        assert_eq!(shown(7.1, &unit("$0.00"), false), (Kind::Shown, "$7.1".to_owned()));
        assert_eq!(shown(31_000.0, &unit("#,##0,"), false), (Kind::Scaled, "31000".to_owned()));
        assert_eq!(shown(f64::NAN, &Format::Number, false).0, Kind::Fault);
    }

    #[test]
    fn percentages_days_and_times_are_shown_as_a_spreadsheet_shows_them() {
        assert_eq!(shown(0.07, &Format::Percent, false), (Kind::Percent, "7%".to_owned()));
        assert_eq!(shown(46_024.0, &Format::Day, false), (Kind::Day, "2026-01-02".to_owned()));
        assert_eq!(shown(44_562.0, &Format::Day, true), (Kind::Day, "2026-01-02".to_owned()));
        assert_eq!(shown(0.5, &Format::Time, false), (Kind::Time, "12:00".to_owned()));
        assert_eq!(shown(0.25, &Format::Day, false), (Kind::Time, "6:00".to_owned()));
    }
}
