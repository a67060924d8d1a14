//! Lengths of pipe: whole nanometres, so that feet, inches, 1/64 in. and millimetres are all exact.
//!
//! Reads what people write (`12' 6 1/2"`, `12 ft 6 in`, `3.81 m`, `12.5` under a heading that names its unit)
//! and writes decimal feet or metres. Every floor uses it; it knows nothing of tables.

use std::borrow::Cow;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::fmt;

use super::money::round_half_away;

/// A length along a run's center line, in whole nanometres (1/64 in. is 396 875 nm).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Length(i64);

/// What a bare number means, and what lengths are shown in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum LengthUnit {
    /// Decimal feet.
    #[default]
    Foot,
    /// Inches.
    Inch,
    /// Metres.
    Metre,
    /// Centimetres.
    Centimetre,
    /// Millimetres.
    Millimetre,
}

impl LengthUnit {
    /// Nanometres in one of this unit.
    pub const fn nanometres(self) -> i64 {
        match self {
            Self::Foot => 304_800_000,
            Self::Inch => 25_400_000,
            Self::Metre => 1_000_000_000,
            Self::Centimetre => 10_000_000,
            Self::Millimetre => 1_000_000,
        }
    }

    /// The unit a word names: `ft`, `feet`, `'`, `in`, `"`, `m`, `cm`, `mm`...
    pub fn from_word(word: &str) -> Option<Self> {
        Some(match word.trim().trim_end_matches('.').to_ascii_lowercase().as_str() {
            "ft" | "foot" | "feet" | "lf" | "'" | "′" | "’" => Self::Foot,
            "in" | "inch" | "inches" | "\"" | "″" | "”" | "''" => Self::Inch,
            "m" | "metre" | "metres" | "meter" | "meters" => Self::Metre,
            "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => Self::Centimetre,
            "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => Self::Millimetre,
            _ => return None,
        })
    }

    /// How the unit is abbreviated: `ft`, `in`, `m`, `cm`, `mm`.
    pub const fn abbreviation(self) -> &'static str {
        match self {
            Self::Foot => "ft",
            Self::Inch => "in",
            Self::Metre => "m",
            Self::Centimetre => "cm",
            Self::Millimetre => "mm",
        }
    }
}

impl Length {
    /// As a person would type it back: `9 ft 6 1/2 in`, `3.81 m`; a decimal where sixteenths do not hold it.
    pub fn as_typed(self, unit: LengthUnit) -> String {
        let sixteenth = LengthUnit::Inch.nanometres() / 16;
        let metric = unit == LengthUnit::Metre;
        let nanometres = self.nanometres();
        if metric || nanometres <= 0 || nanometres % sixteenth != 0 {
            let unit = if metric { LengthUnit::Metre } else { LengthUnit::Foot };
            return format!("{} {}", self.shown(unit).normalize(), unit.abbreviation());
        }
        let (feet, rest) = (nanometres / sixteenth / 192, nanometres / sixteenth % 192);
        let inches = match (rest / 16, rest % 16) {
            (inches, 0) => inches.to_string(),
            (inches, part) => {
                let by = 1 << part.trailing_zeros();
                let fraction = format!("{}/{}", part / by, 16 / by);
                if inches == 0 { fraction } else { format!("{inches} {fraction}") }
            }
        };
        match (feet, rest) {
            (feet, 0) => format!("{feet} ft"),
            (0, _) => format!("{inches} in"),
            (feet, _) => format!("{feet} ft {inches} in"),
        }
    }

    /// No length.
    pub const ZERO: Self = Self(0);
    /// The longest length that is read: 1,000 km, far above any house and far below overflow.
    pub const LONGEST: Self = Self(1_000_000 * LengthUnit::Metre.nanometres());

    /// A length of so many nanometres.
    pub const fn from_nanometres(nanometres: i64) -> Self {
        Self(nanometres)
    }

    /// A length of so many whole units.
    pub const fn whole(count: i64, unit: LengthUnit) -> Self {
        Self(count * unit.nanometres())
    }

    /// The nanometres in it.
    pub const fn nanometres(self) -> i64 {
        self.0
    }

    /// Its size without its sign.
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// The sum, or nothing where it does not fit.
    pub fn checked_add(self, other: Self) -> Option<Self> {
        self.0.checked_add(other.0).map(Self)
    }

    /// The difference, or nothing where it does not fit.
    pub fn checked_sub(self, other: Self) -> Option<Self> {
        self.0.checked_sub(other.0).map(Self)
    }

    /// A decimal number of units, to the nearest nanometre, half away from zero; nothing above [`Length::LONGEST`].
    pub fn from_decimal(number: Decimal, unit: LengthUnit) -> Option<Self> {
        let nanometres = number.checked_mul(Decimal::from(unit.nanometres()))?;
        let length = Self(round_half_away(nanometres, 0).to_i64()?);
        (length.abs() <= Self::LONGEST).then_some(length)
    }

    /// The exact number of units, to at most 28 digits.
    pub fn in_units(self, unit: LengthUnit) -> Decimal {
        Decimal::from(self.0) / Decimal::from(unit.nanometres())
    }

    /// The number of units as shown: four decimal places, half away from zero.
    pub fn shown(self, unit: LengthUnit) -> Decimal {
        round_half_away(self.in_units(unit), 4)
    }

    /// Reads what a person wrote; `bare` is the unit of a number that names none.
    ///
    /// `12' 6 1/2"`, `12 ft 6 in`, `12'6`, `12.5`, `6-1/2"`, `6½"`, `3.81 m`, `-2 ft`. Nothing where the text is not a
    /// length.
    pub fn read(text: &str, bare: LengthUnit) -> Option<Self> {
        let plain = plain_fractions(text);
        let text = plain.trim();
        let (negative, body) = match text.strip_prefix('-') {
            Some(rest) => (true, rest.trim_start()),
            None => (false, text.strip_prefix('+').unwrap_or(text)),
        };
        let mut total = Self::ZERO;
        let mut rest = body;
        let mut last: Option<LengthUnit> = None;
        while !rest.is_empty() {
            let (number, after) = take_number(rest)?;
            // Behind feet a number without a unit is inches: 12'6.
            let bare = if last == Some(LengthUnit::Foot) { LengthUnit::Inch } else { bare };
            let (unit, after) = take_unit(after, bare)?;
            // Units go down in size: feet, then inches; a bare number stands alone.
            if last.is_some_and(|larger| larger.nanometres() <= unit.nanometres()) {
                return None;
            }
            total = total.checked_add(Self::from_decimal(number, unit)?)?;
            last = Some(unit);
            rest = after.trim_start_matches([' ', '\u{a0}', ',']);
            if let Some(joined) = rest.strip_prefix('-') {
                rest = joined.trim_start();
                if rest.is_empty() {
                    return None;
                }
            }
        }
        last?;
        (total <= Self::LONGEST).then_some(if negative { Self(-total.0) } else { total })
    }
}

/// The text with fractions of one character written out, as programs put them in while one types: `6½` is `6 1/2`.
pub(super) fn plain_fractions(text: &str) -> Cow<'_, str> {
    if text.is_ascii() {
        return Cow::Borrowed(text);
    }
    let mut plain = String::with_capacity(text.len());
    for character in text.chars() {
        let fraction = match character {
            '½' => "1/2",
            '¼' => "1/4",
            '¾' => "3/4",
            '⅛' => "1/8",
            '⅜' => "3/8",
            '⅝' => "5/8",
            '⅞' => "7/8",
            '\u{2044}' => "/",
            other => {
                plain.push(other);
                continue;
            }
        };
        if fraction.len() > 1 && plain.ends_with(|c: char| c.is_ascii_digit()) {
            plain.push(' ');
        }
        plain.push_str(fraction);
    }
    Cow::Owned(plain)
}

/// Takes a whole, decimal, fractional or mixed number off the front: `12`, `12.5`, `1/2`, `6 1/2`, `6-1/2`.
fn take_number(text: &str) -> Option<(Decimal, &str)> {
    let (first, rest) = take_plain(text)?;
    if let Some(after) = rest.strip_prefix('/') {
        let (below, rest) = take_plain(after)?;
        return Some((divide(first, below)?, rest));
    }
    // A mixed number: a whole one, a space or hyphen, then a fraction.
    if let Some(after) = rest.strip_prefix([' ', '-', '\u{a0}'])
        && let Some((above, rest)) = take_plain(after.trim_start())
        && let Some(after) = rest.strip_prefix('/')
    {
        let (below, rest) = take_plain(after)?;
        return Some((first.checked_add(divide(above, below)?)?, rest));
    }
    Some((first, rest))
}

fn divide(above: Decimal, below: Decimal) -> Option<Decimal> {
    if !above.fract().is_zero() || !below.fract().is_zero() {
        return None;
    }
    above.checked_div(below)
}

fn take_plain(text: &str) -> Option<(Decimal, &str)> {
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len());
    let (digits, rest) = text.split_at(end);
    Some((Decimal::from_str_exact(digits).ok()?, rest))
}

/// Takes a unit off the front, or the bare unit where the text ends after the number.
fn take_unit(text: &str, bare: LengthUnit) -> Option<(LengthUnit, &str)> {
    let text = text.trim_start();
    if text.is_empty() {
        return Some((bare, text));
    }
    let end = if text.starts_with("''") {
        2
    } else if text.starts_with(['\'', '"', '′', '″', '’', '”']) {
        text.chars().next()?.len_utf8()
    } else {
        let word = text.find(|c: char| !c.is_alphabetic()).unwrap_or(text.len());
        if text[word..].starts_with('.') { word + 1 } else { word }
    };
    let (word, rest) = text.split_at(end);
    Some((LengthUnit::from_word(word)?, rest))
}

impl fmt::Display for Length {
    /// Decimal feet, as a person would read them back: `12.5 ft`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ft", self.shown(LengthUnit::Foot).normalize())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inches(text: &str) -> Option<Decimal> {
        Length::read(text, LengthUnit::Foot).map(|l| l.in_units(LengthUnit::Inch).normalize())
    }

    #[test]
    fn feet_and_inches_read_as_a_tape_reads() {
        for (text, expected) in [
            ("12' 6 1/2\"", "150.5"),
            ("12 ft 6 in", "150"),
            ("12.5", "150"),
            ("12'-6 1/2\"", "150.5"),
            ("12' - 6\"", "150"),
            ("6-1/2\"", "6.5"),
            ("1/2 in.", "0.5"),
            ("3.81 m", "150"),
            ("38 mm", "1.4960629921259842519685039370"),
            ("-2 ft", "-24"),
            ("12'6", "150"),
            ("12' 6 1/2", "150.5"),
            ("6½\"", "6.5"),
            ("12′ 6⅝″", "150.625"),
            ("1\u{2044}2 in", "0.5"),
        ] {
            assert_eq!(inches(text), Decimal::from_str_exact(expected).ok(), "{text}");
        }
    }

    #[test]
    fn a_sixty_fourth_of_an_inch_is_a_whole_number_of_nanometres() {
        assert_eq!(Length::read("1/64\"", LengthUnit::Foot), Some(Length::from_nanometres(396_875)));
    }

    #[test]
    fn what_is_no_length_is_refused() {
        for text in [
            "",
            "x",
            "12 6",
            "6\" 12'",
            "1/0 ft",
            "12 furlongs",
            "1e5",
            "--3",
            "12' -",
            "1.5/2\"",
            "99999999999 m",
        ] {
            assert_eq!(Length::read(text, LengthUnit::Foot), None, "{text}");
        }
    }
}
