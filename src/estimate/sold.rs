//! How an offer is counted: what one pack of it holds, what its price is for, which of its breaks are reached. Buying
//! has lots of its own, in whole numbers; papers show these.

use rust_decimal::Decimal;

use crate::ground::{Length, LengthUnit};
use crate::trade::{Offer, Pack, PricedPer, SoldAs};

/// The unit in whole numbers of which loose tube is cut off: feet where its price is for feet, else metres, else what
/// the price is for.
pub(crate) fn whole_unit(per: Length) -> Length {
    let whole = |unit: LengthUnit| per.nanometres() % unit.nanometres() == 0;
    let unit = [LengthUnit::Foot, LengthUnit::Metre].into_iter().find(|unit| whole(*unit));
    unit.map_or(per, |unit| Length::whole(1, unit))
}

impl Offer {
    /// Whether it is bought loose: any number of pieces, or any whole feet (or metres) of tube.
    pub(crate) fn is_loose(&self) -> bool {
        let loose_pieces = match self.pack {
            Pack::Count(count) => self.per != PricedPer::Pack || count <= 1,
            Pack::Length(_) | Pack::Amount(_) => false,
        };
        self.sold_as == SoldAs::Each && (matches!(self.per, PricedPer::Length(_)) || loose_pieces)
    }

    /// Whether it is a coil or a stick.
    pub(crate) fn is_whole_length(&self) -> bool {
        matches!(self.pack, Pack::Length(_)) && !self.is_loose()
    }

    /// What one pack holds, in the unit the item is counted in; of loose goods the smallest quantity that is sold.
    pub(crate) fn holds(&self, unit: LengthUnit) -> Decimal {
        match (self.is_loose(), self.per, self.pack) {
            (true, PricedPer::Length(per), _) => whole_unit(per).in_units(unit),
            (true, PricedPer::Each | PricedPer::Pack | PricedPer::Many(_), _) => Decimal::ONE,
            (false, _, Pack::Count(count)) => Decimal::from(count),
            (false, _, Pack::Length(length)) => length.in_units(unit),
            (false, _, Pack::Amount(amount)) => amount,
        }
    }

    /// What its price is for, in the same unit. A coil, a stick or a roll is priced each as a whole.
    pub(crate) fn priced_for(&self, unit: LengthUnit) -> Decimal {
        match (self.per, self.pack) {
            (PricedPer::Each, Pack::Count(_)) => Decimal::ONE,
            (PricedPer::Each, Pack::Length(_) | Pack::Amount(_)) | (PricedPer::Pack, _) => self.holds(unit),
            (PricedPer::Length(length), _) => length.in_units(unit),
            (PricedPer::Many(count), _) => Decimal::from(count),
        }
    }

    /// Its breaks that can be reached: each from more packs than the one before.
    pub(crate) fn breaks_in_reach(&self) -> Vec<(i64, Decimal)> {
        let mut breaks: Vec<(i64, Decimal)> = self.breaks.to_vec();
        breaks.sort_by_key(|(from, _)| *from);
        let mut last = 1;
        breaks.retain(|(from, _)| {
            let reached = *from > last;
            last = last.max(*from);
            reached
        });
        breaks
    }

    /// Its price for so many: the least of those that the number reaches.
    pub(crate) fn price_for(&self, count: Decimal) -> Decimal {
        let reached = self.breaks_in_reach().into_iter().filter(|(from, _)| count >= Decimal::from(*from));
        reached.map(|(_, price)| price).fold(self.price, Decimal::min)
    }
}
