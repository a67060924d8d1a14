//! The fall of a drain as people write it: `1/4` (inches a foot), `1/4 in/ft`, `2 %`, `20 mm/m` (rule D5 of drains).

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::ground::money::round_half_away;
use crate::ground::{Length, LengthUnit};

/// So much down for so much along.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Slope(Decimal);

impl Slope {
    /// A quarter of an inch a foot, where neither the run nor the job says another (common practice).
    pub(in crate::trade) fn usual() -> Self {
        Self(Decimal::ONE / Decimal::from(48))
    }

    /// Reads a slope; a bare number is inches a foot. Nothing where the text is none, or steeper than half upright.
    pub(in crate::trade) fn read(text: &str) -> Option<Self> {
        let text = text.trim().to_lowercase();
        let ratio = if let Some(number) = text.strip_suffix('%') {
            Decimal::from_str_exact(number.trim()).ok()?.checked_div(Decimal::ONE_HUNDRED)?
        } else {
            let (down, along) = match text.rsplit_once("per").or_else(|| text.rsplit_once('/')) {
                Some((down, along)) if LengthUnit::from_word(along).is_some() => {
                    (down, LengthUnit::from_word(along)?)
                }
                Some(_) | None => (text.as_str(), LengthUnit::Foot),
            };
            let bare = if along == LengthUnit::Metre { LengthUnit::Millimetre } else { LengthUnit::Inch };
            let down = Length::read(down.trim(), bare)?;
            Decimal::from(down.nanometres()).checked_div(Decimal::from(along.nanometres()))?
        };
        (!ratio.is_sign_negative() && ratio <= Decimal::ONE).then_some(Self(ratio))
    }

    /// So many inches a foot; nothing where that is steeper than half upright.
    pub fn of_inches_a_foot(inches: Decimal) -> Option<Self> {
        let ratio = inches.checked_div(Decimal::from(12))?;
        (!ratio.is_sign_negative() && ratio <= Decimal::ONE).then_some(Self(ratio))
    }

    /// The same in whole percent, as codes write it beside their inches: 1/4 in a foot is 2 percent.
    #[must_use]
    pub fn in_whole_percent(self) -> Self {
        Self((self.0 * Decimal::ONE_HUNDRED).trunc() / Decimal::ONE_HUNDRED)
    }

    /// How far level pipe of a length falls, to the nanometre.
    pub fn fall(self, along: Length) -> Length {
        let fall = self.0.checked_mul(Decimal::from(along.nanometres())).map(|fall| round_half_away(fall, 0));
        Length::from_nanometres(fall.and_then(|fall| fall.to_i64()).unwrap_or(0))
    }

    /// In inches a foot: `1/4`, or a decimal where eighths do not hold it.
    pub fn shown(self) -> String {
        let inches = round_half_away(self.0 * Decimal::from(12), 4).normalize();
        let eighths = inches * Decimal::from(8);
        match eighths.to_i64().filter(|_| eighths.fract().is_zero()) {
            Some(eighths @ 1..8) => {
                let by = 1 << eighths.trailing_zeros();
                format!("{}/{}", eighths / by, 8 / by)
            }
            Some(_) | None => inches.to_string(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slope_is_read_as_people_write_it() {
        for text in ["1/4", "0.25", "1/4 in/ft", "1/4\" per foot", "1/4 in per ft", "¼"] {
            assert_eq!(Slope::read(text).map(Slope::shown).as_deref(), Some("1/4"), "{text}");
        }
        assert_eq!(Slope::read("20 mm/m"), Slope::read("2 %"));
        assert_eq!(Slope::read("2%").map(Slope::shown).as_deref(), Some("0.24"));
        for text in ["", "steep", "-1/4", "13", "2 % or so"] {
            assert_eq!(Slope::read(text), None, "{text}");
        }
    }

    #[test]
    fn forty_feet_at_a_quarter_inch_fall_ten_inches() {
        let forty = Length::whole(40, LengthUnit::Foot);
        assert_eq!(Slope::usual().fall(forty), Length::whole(10, LengthUnit::Inch));
        assert_eq!(
            Slope::read("1/8").map(|slope| slope.fall(forty)),
            Some(Length::whole(5, LengthUnit::Inch))
        );
    }
}
