//! Lots: offers as they can be bought for one item — whole packs or loose, with the price at every break, and what so
//! many of them cost.
//!
//! Here it is decided whether the unit of an offer fits the unit an item is counted in. Nothing is chosen.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::Market;
use super::price;
use crate::estimate::sold::whole_unit;
use crate::estimate::{Item, OfferId, Pick};
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

/// Why an offer cannot be bought for an item that it names, as a notice says it.
pub(super) type Misfit = &'static str;

const TUBE_WITHOUT_LENGTH: Misfit = "is priced each, and nothing says how much tube that is";
const TUBE_BY_COUNT: Misfit = "is priced by the hundred or thousand, and tube is counted by length";
const PIECES_BY_LENGTH: Misfit = "is sold by length, and the part is counted in pieces";
const PIECES_BY_AMOUNT: Misfit = "is sold by weight or volume, and the part is counted in pieces";
const AMOUNT_BY_OTHER: Misfit = "is sold by pieces or length, and joints consume it by weight or volume";
const OUT_OF_RANGE: Misfit = "has a price, a discount, a break or a pack beyond what can be reckoned with";

impl Lot {
    /// What a lot costs at a number of packs (loose: a quantity).
    pub(super) fn tier(&self, quantity: u64) -> &Tier {
        let reached = self.tiers.iter().rev().find(|tier| quantity >= tier.from);
        reached.unwrap_or(&self.tiers[0])
    }

    /// Whether two needs may cost less together than each by itself: in one pack, or at a break.
    pub(super) fn may_be_shared(&self, is_counted_each: bool) -> bool {
        let is_parted = match self.sold {
            Sold::Packs(holds) => holds != Decimal::ONE || !is_counted_each,
            Sold::Lengths(_) => true,
            Sold::Pieces(_) | Sold::ByLength(_) => false,
        };
        is_parted || self.tiers.len() > 1
    }

    /// How long a coil or stick is; no length for all else.
    pub(super) fn length(&self) -> Length {
        match self.sold {
            Sold::Lengths(length) => length,
            Sold::Packs(_) | Sold::Pieces(_) | Sold::ByLength(_) => Length::ZERO,
        }
    }

    /// What so many whole packs cost, in cents.
    pub(super) fn cents(&self, packs: u64) -> Option<u64> {
        price::cents(self.tier(packs).price)?.checked_mul(packs)
    }

    /// So many packs, or as many as a break asks for where that costs less.
    pub(super) fn up_to_a_break(&self, packs: u64) -> u64 {
        let ups = self.tiers.iter().map(|tier| if packs == 0 { 0 } else { packs.max(tier.from) });
        ups.min_by_key(|packs| (self.cents(*packs).unwrap_or(u64::MAX), *packs)).unwrap_or(packs)
    }

    /// So many of it at the price that this number gets; nothing is left over yet.
    pub(super) fn pick(&self, count: u64, unit: LengthUnit) -> Option<Pick> {
        let tier = self.tier(count);
        let number = Decimal::from(count);
        let (packs, buy, extended) = match self.sold {
            Sold::ByLength(per) => {
                let length = number.checked_mul(Decimal::from(whole_unit(per).nanometres()))?;
                let quantity = length.checked_div(Decimal::from(unit.nanometres()))?;
                let per = Decimal::from(per.nanometres());
                (quantity, quantity, price::of_loose(length, tier.net, per)?)
            }
            Sold::Pieces(per) => (number, number, price::of_loose(number, tier.net, Decimal::from(per))?),
            Sold::Packs(holds) => (number, number.checked_mul(holds)?, price::of_packs(number, tier.price)?),
            Sold::Lengths(length) => {
                let buy = number.checked_mul(length.in_units(unit))?;
                (number, buy, price::of_packs(number, tier.price)?)
            }
        };
        Some(Pick {
            offer: self.offer,
            need: Decimal::ZERO,
            allow: Decimal::ZERO,
            packs: packs.normalize(),
            buy: round_half_away(buy, 10).normalize(),
            left_over: Decimal::ZERO,
            net: tier.net,
            price: tier.price,
            extended,
        })
    }
}

/// What a pick costs, its choice locked, where every price of its offer is multiplied; nothing where that cannot be
/// reckoned.
pub(in crate::estimate) fn repriced(
    market: &Market<'_>,
    item: &Item,
    pick: &Pick,
    factor: Decimal,
) -> Option<Decimal> {
    let mut offer = market.offer(pick.offer).clone();
    offer.price = offer.price.checked_mul(factor)?;
    for (_, price) in &mut offer.breaks {
        *price = price.checked_mul(factor)?;
    }
    let lot = lot(market.lexicon, pick.offer, &offer, item).ok()?;
    let unit = market.settings.units;
    let count = match lot.sold {
        Sold::Packs(_) | Sold::Lengths(_) | Sold::Pieces(_) => pick.packs,
        Sold::ByLength(per) => pick.buy.checked_div(whole_unit(per).in_units(unit))?.round(),
    };
    Some(lot.pick(count.to_u64()?, unit)?.extended)
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
        Pack::Length(_) => return Err(OUT_OF_RANGE),
        Pack::Count(_) | Pack::Amount(_) => None,
    };
    match (offer.sold_as, offer.per, length) {
        (_, PricedPer::Many(_), _) => Err(TUBE_BY_COUNT),
        (_, PricedPer::Length(per), _) if per <= Length::ZERO => Err(OUT_OF_RANGE),
        (SoldAs::Each, PricedPer::Length(per), _) => Ok((Sold::ByLength(per), None)),
        (_, _, None) => Err(TUBE_WITHOUT_LENGTH),
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
        Pack::Count(_) => return Err(OUT_OF_RANGE),
        Pack::Length(_) => return Err(PIECES_BY_LENGTH),
        Pack::Amount(_) => return Err(PIECES_BY_AMOUNT),
    };
    let per = match offer.per {
        PricedPer::Each => 1,
        PricedPer::Pack => count.unwrap_or(1),
        PricedPer::Many(many) if many > 0 => many.unsigned_abs(),
        PricedPer::Many(_) => return Err(OUT_OF_RANGE),
        PricedPer::Length(_) => return Err(PIECES_BY_LENGTH),
    };
    match (offer.sold_as, count) {
        (SoldAs::Coil | SoldAs::Stick, _) => Err(PIECES_BY_LENGTH),
        (SoldAs::Each, _) if offer.per != PricedPer::Pack => Ok((Sold::Pieces(per), None)),
        (SoldAs::Each, Some(1) | None) => Ok((Sold::Pieces(1), None)),
        (SoldAs::Each | SoldAs::Bag, count) => {
            let count = Decimal::from(count.unwrap_or(1));
            Ok((Sold::Packs(count), Some((count, Decimal::from(per)))))
        }
    }
}

fn of_amount(offer: &Offer) -> Result<(Sold, Share), Misfit> {
    let Pack::Amount(amount) = offer.pack else { return Err(AMOUNT_BY_OTHER) };
    let holds = round_half_away(amount, 6);
    if holds <= Decimal::ZERO {
        return Err(OUT_OF_RANGE);
    }
    match offer.per {
        PricedPer::Each | PricedPer::Pack => {
            Ok((Sold::Packs(holds.normalize()), Some((Decimal::ONE, Decimal::ONE))))
        }
        PricedPer::Length(_) | PricedPer::Many(_) => Err(AMOUNT_BY_OTHER),
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
        let net = price::net(list, &offer.discount).ok_or(OUT_OF_RANGE)?;
        let price = match share {
            Some((above, below)) => price::of_pack(above, net, below).ok_or(OUT_OF_RANGE)?,
            None => net,
        };
        if price::cents(price).is_none() || net.is_sign_negative() && !net.is_zero() {
            return Err(OUT_OF_RANGE);
        }
        let from = from.to_u64().filter(|from| (1..=1_000_000_000).contains(from));
        let from = from.ok_or(OUT_OF_RANGE)?;
        match tiers.last() {
            Some(last) if from <= last.from || price >= last.price => odd_break = true,
            Some(_) | None => tiers.push(Tier { from, net, price }),
        }
    }
    Ok((tiers, odd_break))
}
