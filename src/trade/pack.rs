//! Packs of a price list: how a thing is sold, what one of it holds, and what the price is for. Only the grammar and
//! what goes with what; `price_list` reads the table.

use rust_decimal::Decimal;

use super::catalog::Catalog;
use super::lexicon::Word;
use super::part::{Class, PartId};
use super::price_list::{Pack, PricedPer, SoldAs};
use super::row::{MOST_COUNTED, is_beyond};
use crate::ground::{Length, LengthUnit};

/// What kind of thing is sold, since that decides what a pack can hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// Tube: packs are lengths.
    Tube,
    /// A consumable: packs are amounts in the unit of its joints row.
    Consumable(Word),
    /// Pieces.
    Pieces,
    /// A part that no table has.
    Unknown,
}

/// The words for how a thing is sold.
pub(super) const SOLD_AS: [(SoldAs, &str); 8] = [
    (SoldAs::Coil, "coil"),
    (SoldAs::Stick, "stick"),
    (SoldAs::Bag, "bag"),
    (SoldAs::Each, "each"),
    (SoldAs::Bag, "box"),
    (SoldAs::Bag, "pack"),
    (SoldAs::Bag, "roll"),
    (SoldAs::Bag, "can"),
];

/// Consumables with the unit that their joints rows count in.
pub(super) fn units(catalog: &Catalog) -> Vec<(PartId, Word)> {
    let rows = catalog.joints.iter();
    rows.flat_map(|joint| catalog.parts_called(joint.part).iter().map(|id| (*id, joint.unit))).collect()
}

/// What kind of thing a word names.
pub(super) fn kind(part: Word, catalog: &Catalog, units: &[(PartId, Word)]) -> Kind {
    let called = catalog.parts_called_or_used(part);
    let Some(first) = called.first() else { return Kind::Unknown };
    match catalog.part(*first).class {
        Class::Tube => Kind::Tube,
        Class::Consumable => {
            let unit = units.iter().find(|(id, _)| called.contains(id)).map(|(_, unit)| *unit);
            unit.map_or(Kind::Pieces, Kind::Consumable)
        }
        Class::Fitting
        | Class::Ring
        | Class::Valve
        | Class::Device
        | Class::Manifold
        | Class::Support
        | Class::Cap
        | Class::Trim
        | Class::Tool => Kind::Pieces,
    }
}

/// So many pieces: `25`, `25 pieces`.
pub(super) fn count(text: &str) -> Option<Pack> {
    let (number, word) = number_and_word(text)?;
    let plain = matches!(word, "" | "each" | "pieces" | "piece" | "pcs" | "pc");
    let pieces: i64 = number.parse().ok()?;
    (plain && pieces > 0 && pieces <= i64::from(MOST_COUNTED)).then_some(Pack::Count(pieces))
}

/// So much of a consumable in the unit its joints count in: a pound is 16 ounces.
pub(super) fn amount(text: &str, unit: &str) -> Option<Pack> {
    let (number, word) = number_and_word(text)?;
    let number = Decimal::from_str_exact(number).ok()?;
    let number = Some(number).filter(|number| *number > Decimal::ZERO && !is_beyond(*number))?;
    let ounces = Decimal::from(16);
    let amount = match (word.trim_end_matches('.'), unit) {
        ("", "each" | "roll") | ("each", "roll") => number,
        (word, unit) if word.eq_ignore_ascii_case(unit) => number,
        (word, unit) if word.strip_suffix('s') == Some(unit) => number,
        ("lb" | "lbs", "oz") => number.checked_mul(ounces)?,
        ("oz", "lb") => number.checked_div(ounces)?,
        _ => return None,
    };
    Some(Pack::Amount(amount))
}

/// Whatever a pack of a part that no table has may hold.
pub(super) fn any(text: &str, bare: LengthUnit) -> Option<Pack> {
    count(text).or_else(|| Length::read(text, bare).map(Pack::Length))
}

fn number_and_word(text: &str) -> Option<(&str, &str)> {
    let text = text.trim();
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len());
    (end > 0).then(|| (&text[..end], text[end..].trim()))
}

/// Which cell is wrong, and what was expected there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wrong {
    /// The pack.
    Pack(&'static str),
    /// How it is sold.
    SoldAs(&'static str),
}

/// How a thing is sold and what one of it holds, where the cells go together; else what was expected.
pub(super) fn sold(
    kind: Kind,
    said: Option<SoldAs>,
    held: Option<Pack>,
    text: &str,
) -> Result<(SoldAs, Pack), Wrong> {
    let written = !text.is_empty();
    use Wrong::{Pack as NoPack, SoldAs as NoWay};
    match kind {
        Kind::Tube => match (said, held) {
            (Some(sold @ (SoldAs::Coil | SoldAs::Stick)), Some(Pack::Length(length)))
                if length > Length::ZERO =>
            {
                Ok((sold, Pack::Length(length)))
            }
            (Some(SoldAs::Each) | None, None) if !written => {
                Ok((SoldAs::Each, Pack::Length(Length::whole(1, LengthUnit::Foot))))
            }
            (Some(SoldAs::Coil | SoldAs::Stick), _) => {
                Err(NoPack("the length of one coil or stick, such as 100 ft"))
            }
            (Some(SoldAs::Bag), _) => Err(NoWay("coil, stick or each for tube")),
            (Some(SoldAs::Each), _) => Err(NoPack("no pack for tube sold each, by any length")),
            (None, _) => Err(NoWay("coil or stick for tube with a pack")),
        },
        Kind::Consumable(_) => match (said, held) {
            (Some(SoldAs::Coil | SoldAs::Stick), _) => Err(NoWay("bag or each for what is no tube")),
            (_, Some(amount)) => Ok((SoldAs::Bag, amount)),
            (_, None) if !written => Ok((SoldAs::Bag, Pack::Amount(Decimal::ONE))),
            (_, None) => {
                Err(NoPack("an amount in the unit that the table joints counts it in, such as 1 lb"))
            }
        },
        Kind::Pieces => match (said, held) {
            (Some(SoldAs::Coil | SoldAs::Stick), _) => Err(NoWay("bag or each for what is no tube")),
            (Some(SoldAs::Each), Some(Pack::Count(1))) => Ok((SoldAs::Each, Pack::Count(1))),
            (Some(SoldAs::Each) | None, None) if !written => Ok((SoldAs::Each, Pack::Count(1))),
            (Some(SoldAs::Each), Some(_)) => Err(NoWay("bag for what comes in a pack")),
            (Some(SoldAs::Bag) | None, Some(pack)) => Ok((SoldAs::Bag, pack)),
            (Some(SoldAs::Bag | SoldAs::Each) | None, None) => {
                Err(NoPack("how many pieces a pack holds, such as 25"))
            }
        },
        Kind::Unknown => Ok((said.unwrap_or(SoldAs::Each), held.unwrap_or(Pack::Count(1)))),
    }
}

/// What a price is for; an empty cell is the pack of what is sold in packs, and one piece or one foot of what is loose.
pub(super) fn per(kind: Kind, sold: SoldAs, text: &str, bare: LengthUnit) -> Result<PricedPer, &'static str> {
    let word = text.trim().to_ascii_lowercase();
    let pack = match (kind, sold) {
        (Kind::Tube, SoldAs::Each) => PricedPer::Length(Length::whole(1, one_of(bare))),
        (_, SoldAs::Each) => PricedPer::Each,
        (_, SoldAs::Coil | SoldAs::Stick | SoldAs::Bag) => PricedPer::Pack,
    };
    match (kind, word.as_str()) {
        (_, "") => Ok(pack),
        (_, "pack" | "coil" | "stick" | "bag" | "box" | "roll" | "can") if sold != SoldAs::Each => {
            Ok(PricedPer::Pack)
        }
        // A coil or a roll is one piece; of loose tube "each" would say nothing of its length.
        (Kind::Tube, "each") if sold == SoldAs::Each => Err(
            "ft, m or a length such as 100 ft; or a coil or stick in `sold as`, with its length in `pack`",
        ),
        (Kind::Tube | Kind::Consumable(_), "each") => Ok(pack),
        (Kind::Tube, text) => {
            let text = text.trim_end_matches('.');
            let length = match LengthUnit::from_word(text) {
                Some(unit) => Some(Length::whole(1, unit)),
                None if text.bytes().all(|b| b.is_ascii_digit()) => None,
                None => Length::read(text, bare),
            };
            match length {
                Some(length) if length > Length::ZERO => Ok(PricedPer::Length(length)),
                Some(_) | None => Err("each, pack, ft, m or a length such as 100 ft"),
            }
        }
        (Kind::Consumable(_), _) => Err("each or pack"),
        (Kind::Pieces | Kind::Unknown, "each" | "piece" | "1") => Ok(PricedPer::Each),
        (Kind::Pieces | Kind::Unknown, "hundred") => Ok(PricedPer::Many(100)),
        (Kind::Pieces | Kind::Unknown, "thousand") => Ok(PricedPer::Many(1000)),
        (Kind::Pieces | Kind::Unknown, number) => match number.parse::<i64>() {
            Ok(many) if many > 0 && many <= i64::from(MOST_COUNTED) => Ok(PricedPer::Many(many)),
            Ok(_) | Err(_) => Err("each, pack, 100 or 1000"),
        },
    }
}

/// Loose tube is priced by the foot, or by the metre where lengths are metric.
fn one_of(bare: LengthUnit) -> LengthUnit {
    match bare {
        LengthUnit::Foot | LengthUnit::Inch => LengthUnit::Foot,
        LengthUnit::Metre | LengthUnit::Centimetre | LengthUnit::Millimetre => LengthUnit::Metre,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pack_of_flux_in_pounds_is_counted_in_ounces() {
        assert_eq!(amount("1 lb", "oz"), Some(Pack::Amount(Decimal::from(16))));
        assert_eq!(amount("8 oz", "lb"), Some(Pack::Amount(Decimal::new(5, 1))));
        assert_eq!(amount("1 lb", "lb"), Some(Pack::Amount(Decimal::ONE)));
        assert_eq!(amount("2", "roll"), Some(Pack::Amount(Decimal::TWO)));
        for text in ["", "1", "0 lb", "1 gal", "lb"] {
            assert_eq!(amount(text, "lb"), None, "{text}");
        }
    }

    #[test]
    fn pieces_are_counted_in_whole_packs_above_zero() {
        assert_eq!(count("25"), Some(Pack::Count(25)));
        assert_eq!(count("25 pcs"), Some(Pack::Count(25)));
        for text in ["0", "2.5", "25 ft", "-3", "box"] {
            assert_eq!(count(text), None, "{text}");
        }
    }

    #[test]
    fn a_price_is_for_the_pack_where_nothing_else_is_said() {
        let ft = LengthUnit::Foot;
        let foot = PricedPer::Length(Length::whole(1, ft));
        assert_eq!(per(Kind::Tube, SoldAs::Coil, "", ft), Ok(PricedPer::Pack));
        assert_eq!(per(Kind::Tube, SoldAs::Coil, "each", ft), Ok(PricedPer::Pack));
        assert_eq!(per(Kind::Tube, SoldAs::Coil, "ft", ft), Ok(foot));
        assert_eq!(per(Kind::Tube, SoldAs::Each, "", ft), Ok(foot));
        assert_eq!(per(Kind::Pieces, SoldAs::Bag, "", ft), Ok(PricedPer::Pack));
        assert_eq!(per(Kind::Pieces, SoldAs::Bag, "hundred", ft), Ok(PricedPer::Many(100)));
        assert_eq!(per(Kind::Pieces, SoldAs::Each, "", ft), Ok(PricedPer::Each));
        assert!(per(Kind::Pieces, SoldAs::Each, "ft", ft).is_err());
        assert!(per(Kind::Pieces, SoldAs::Each, "0", ft).is_err());
        assert!(per(Kind::Tube, SoldAs::Coil, "100", ft).is_err());
    }
}
