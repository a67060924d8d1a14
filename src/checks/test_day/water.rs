//! What standing water does: its pressure by its head, its push on a round cap, its weight. Decimal throughout; nothing is
//! rounded before it is shown.

use rust_decimal::Decimal;

use crate::ground::{Length, LengthUnit};

/// The ratio of the circumference of a circle to its diameter, 3.1415926535897932384626433833.
const PI: Decimal = Decimal::from_parts(0x41B6_5F29, 0x0B14_3885, 0x6582_A536, false, 28);

/// Cubic inches of a gallon.
const GALLON: Decimal = Decimal::from_parts(231, 0, 0, false, 0);

/// Inches of a foot.
const FOOT: Decimal = Decimal::from_parts(12, 0, 0, false, 0);

/// The water of a test, by the psi of each foot of its head.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Standing(pub(super) Decimal);

impl Standing {
    /// Psi under so much water.
    pub(super) fn psi(self, head: Length) -> Option<Decimal> {
        head.in_units(LengthUnit::Foot).checked_mul(self.0)
    }

    /// Pounds of so many gallons: a cubic inch weighs what an inch of head presses on a square inch.
    pub(super) fn pounds(self, gallons: Decimal) -> Option<Decimal> {
        gallons.checked_mul(GALLON)?.checked_mul(self.0)?.checked_div(FOOT)
    }
}

/// Square inches within a round tube of an inside diameter.
fn square_inches(inside: Length) -> Option<Decimal> {
    let radius = inside.in_units(LengthUnit::Inch).checked_div(Decimal::TWO)?;
    PI.checked_mul(radius.checked_mul(radius)?)
}

/// Pounds with which a pressure pushes on a cap of an inside diameter.
pub(super) fn push(psi: Decimal, inside: Length) -> Option<Decimal> {
    psi.checked_mul(square_inches(inside)?)
}

/// Gallons in so much tube of an inside diameter.
pub(super) fn gallons(length: Length, inside: Length) -> Option<Decimal> {
    let inches = length.in_units(LengthUnit::Inch);
    square_inches(inside)?.checked_mul(inches)?.checked_div(GALLON)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pi_has_its_digits() {
        // 29 digits of it, from memory; a circle 2 in. across holds pi square inches.
        assert_eq!(PI.to_string(), "3.1415926535897932384626433833");
        assert_eq!(square_inches(Length::whole(2, LengthUnit::Inch)), Some(PI));
    }
}
