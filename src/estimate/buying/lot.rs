//! Lots: offers as they can be bought for one item — whole packs or loose, with the price at every break.
//!
//! Here it is decided whether the unit of an offer fits the unit an item is counted in. Nothing is chosen.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::price;
use crate::estimate::item::Item;
use crate::estimate::order::OfferId;
use crate::ground::money::round_half_away;
use crate::ground::{Length, LengthUnit};
use crate::trade::{Class, Lexicon, Offer, Pack, PricedPer, SoldAs, Word};

/// An offer that can be bought for an item.
#[derive(Debug, Clone)]
pub(super) struct Lot {
    pub(super) offer: OfferId,
    pub(super) supplier: Word,
    pub(super) sold: Sold,
    /// Whether it is a coil, which is cut to the inch.
    pub(super) coil: bool,
    /// Prices from so many packs (loose: pieces or units of length) on; the first from 1, going down.
    pub(super) tiers: Vec<Tier>,
    /// Whether a break of the offer is no cheaper than what is before it, and so passed over.
    pub(super) odd_break: bool,
}

/// How much is had at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sold {
    /// Whole packs that hold so much, in the unit of the item (millionths are the finest).
    Packs(Decimal),
    /// Whole coils or sticks of so much tube.
    Lengths(Length),
    /// Any number; the price is for so many.
    Pieces(u64),
    /// Any length in whole units; the price is for so much.
    ByLength(Length),
}

/// A price from so many on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Tier {
    pub(super) from: u64,
    /// Net price, 4 places, in the unit quoted.
    pub(super) net: Decimal,
    /// The price of a whole pack in cents; the net price of loose goods.
    pub(super) price: Decimal,
}

/// Why an offer cannot be bought for an item that it names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Misfit {
    /// Tube priced each or by the pack, and no length says how much that is.
    TubeWithoutLength,
    /// Tube priced by the hundred.
    TubeByCount,
    /// Pieces priced or packed by length.
    PiecesByLength,
    /// Pieces sold by weight, volume...
    PiecesByAmount,
    /// What is counted by weight, volume... sold by pieces or length.
    AmountByOther,
    /// A price or a pack below zero, of nothing, or beyond what is reckoned with.
    OutOfRange,
}

impl Misfit {
    /// What is said of it in a notice.
    pub(super) const fn found(self) -> &'static str {
        match self {
            Self::TubeWithoutLength => "is priced each, and nothing says how much tube that is",
            Self::TubeByCount => "is priced by the hundred or thousand, and tube is counted by length",
            Self::PiecesByLength => "is sold by length, and the part is counted in pieces",
            Self::PiecesByAmount => "is sold by weight or volume, and the part is counted in pieces",
            Self::AmountByOther => "is sold by pieces or length, and joints consume it by weight or volume",
            Self::OutOfRange => "has a price, a discount, a break or a pack beyond what can be reckoned with",
        }
    }
}

impl Lot {
    /// What a lot costs at a number of packs (loose: a quantity).
    pub(super) fn tier(&self, quantity: u64) -> &Tier {
        let reached = self.tiers.iter().rev().find(|tier| quantity >= tier.from);
        reached.unwrap_or(&self.tiers[0])
    }

    /// What one pack holds in the unit shown; one of that unit for loose goods.
    pub(super) fn holds(&self, unit: LengthUnit) -> Decimal {
        match self.sold {
            Sold::Packs(holds) => holds,
            Sold::Lengths(length) => length.in_units(unit),
            Sold::Pieces(_) | Sold::ByLength(_) => Decimal::ONE,
        }
    }
}

/// Reads an offer as a lot for an item that it matches.
pub(super) fn lot(lexicon: &Lexicon, id: OfferId, offer: &Offer, item: &Item) -> Result<Lot, Misfit> {
    let (sold, share) = match (item.is_length(), is_counted_each(lexicon, item)) {
        (true, _) => of_tube(offer)?,
        (false, true) => of_pieces(offer)?,
        (false, false) => of_amount(offer)?,
    };
    let (tiers, odd_break) = tiers(offer, share)?;
    let coil = offer.sold_as == SoldAs::Coil;
    Ok(Lot { offer: id, supplier: offer.supplier, sold, coil, tiers, odd_break })
}

/// Whether an item is counted in pieces, and not by weight, volume...
pub(super) fn is_counted_each(lexicon: &Lexicon, item: &Item) -> bool {
    let each = || lexicon.text(item.unit).eq_ignore_ascii_case("each");
    item.unit.is_empty() || (item.class != Class::Consumable && each())
}

/// What of the quoted unit one pack is: its price is net x above / below. Nothing for loose goods, whose price is the
/// net price.
type Share = Option<(Decimal, Decimal)>;

fn of_tube(offer: &Offer) -> Result<(Sold, Share), Misfit> {
    let length = match offer.pack {
        Pack::Length(length) if length > Length::ZERO && length <= Length::LONGEST => Some(length),
        Pack::Length(_) => return Err(Misfit::OutOfRange),
        Pack::Count(_) | Pack::Amount(_) => None,
    };
    match (offer.sold_as, offer.per, length) {
        (_, PricedPer::Many(_), _) => Err(Misfit::TubeByCount),
        (_, PricedPer::Length(per), _) if per <= Length::ZERO => Err(Misfit::OutOfRange),
        (SoldAs::Each, PricedPer::Length(per), _) => Ok((Sold::ByLength(per), None)),
        (_, _, None) => Err(Misfit::TubeWithoutLength),
        (_, PricedPer::Length(per), Some(length)) => {
            let (above, below) = (Decimal::from(length.nanometres()), Decimal::from(per.nanometres()));
            Ok((Sold::Lengths(length), Some((above, below))))
        }
        (_, PricedPer::Each | PricedPer::Pack, Some(length)) => {
            Ok((Sold::Lengths(length), Some((Decimal::ONE, Decimal::ONE))))
        }
    }
}

fn of_pieces(offer: &Offer) -> Result<(Sold, Share), Misfit> {
    let count = match offer.pack {
        Pack::Count(count) if count > 0 => Some(count.unsigned_abs()),
        Pack::Count(_) => return Err(Misfit::OutOfRange),
        Pack::Length(_) => return Err(Misfit::PiecesByLength),
        Pack::Amount(_) => return Err(Misfit::PiecesByAmount),
    };
    let per = match offer.per {
        PricedPer::Each => 1,
        PricedPer::Pack => count.unwrap_or(1),
        PricedPer::Many(many) if many > 0 => many.unsigned_abs(),
        PricedPer::Many(_) => return Err(Misfit::OutOfRange),
        PricedPer::Length(_) => return Err(Misfit::PiecesByLength),
    };
    match (offer.sold_as, count) {
        (SoldAs::Coil | SoldAs::Stick, _) => Err(Misfit::PiecesByLength),
        (SoldAs::Each, _) if offer.per != PricedPer::Pack => Ok((Sold::Pieces(per), None)),
        (SoldAs::Each, Some(1) | None) => Ok((Sold::Pieces(1), None)),
        (SoldAs::Each | SoldAs::Bag, count) => {
            let count = Decimal::from(count.unwrap_or(1));
            Ok((Sold::Packs(count), Some((count, Decimal::from(per)))))
        }
    }
}

fn of_amount(offer: &Offer) -> Result<(Sold, Share), Misfit> {
    let Pack::Amount(amount) = offer.pack else { return Err(Misfit::AmountByOther) };
    let holds = round_half_away(amount, 6);
    if holds <= Decimal::ZERO {
        return Err(Misfit::OutOfRange);
    }
    match offer.per {
        PricedPer::Each | PricedPer::Pack => {
            Ok((Sold::Packs(holds.normalize()), Some((Decimal::ONE, Decimal::ONE))))
        }
        PricedPer::Length(_) | PricedPer::Many(_) => Err(Misfit::AmountByOther),
    }
}

/// The price at every break. A break that is no cheaper than what is before it is passed over: it could only be meant
/// otherwise.
fn tiers(offer: &Offer, share: Share) -> Result<(Vec<Tier>, bool), Misfit> {
    let mut written: Vec<(i64, Decimal)> = offer.breaks.to_vec();
    written.sort_by_key(|(from, _)| *from);
    let mut tiers: Vec<Tier> = Vec::new();
    let mut odd_break = false;
    for (from, list) in std::iter::once((1, offer.price)).chain(written) {
        let net = price::net(list, &offer.discount).ok_or(Misfit::OutOfRange)?;
        let price = match share {
            Some((above, below)) => price::of_pack(above, net, below).ok_or(Misfit::OutOfRange)?,
            None => net,
        };
        if price::cents(price).is_none() || net.is_sign_negative() && !net.is_zero() {
            return Err(Misfit::OutOfRange);
        }
        let from = from.to_u64().filter(|from| (1..=1_000_000_000).contains(from));
        let from = from.ok_or(Misfit::OutOfRange)?;
        match tiers.last() {
            Some(last) if from <= last.from || price >= last.price => odd_break = true,
            Some(_) | None => tiers.push(Tier { from, net, price }),
        }
    }
    Ok((tiers, odd_break))
}
