//! Packs of a price list: how a thing is sold, what one of it holds, and what the price is for. Only the grammar and
//! what goes with what; `price_list` reads the table.

use rust_decimal::Decimal;

use super::lexicon::Word;
use super::reading::{MOST_COUNTED, is_beyond};
use super::shape::{Words, words};
use crate::ground::{Length, LengthUnit};

words! {
    /// How a thing is sold.
    pub enum SoldAs {
        /// A coil of tube.
        Coil = "coil",
        /// A stick of tube.
        Stick = "stick",
        /// A bag, box or roll of so many.
        Bag = "bag" ["box", "pack", "roll", "can"],
        /// Loose: any number or length.
        Each = "each",
    }
}

/// What one of it holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pack {
    /// So many pieces.
    Count(i64),
    /// So much tube.
    Length(Length),
    /// So much of a consumable, in the unit of its joints row (a 1 lb roll).
    Amount(Decimal),
}

/// What the price is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PricedPer {
    /// One piece.
    Each,
    /// One pack, coil or stick.
    Pack,
    /// One foot (or metre) of tube.
    Length(Length),
    /// So many pieces: a hundred, a thousand.
    Many(i64),
}

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

/// So many pieces: `25`, `25 pieces`, `bag of 25`, `25 per box`, `C`.
pub(super) fn count(text: &str) -> Option<Pack> {
    if let Some(pieces) = hundreds(text.trim()) {
        return Some(Pack::Count(pieces));
    }
    let (number, word) = number_and_word(of_a_pack(text))?;
    let word = word.to_ascii_lowercase();
    let word = word.strip_prefix('/').or_else(|| word.strip_prefix("per ")).unwrap_or(&word).trim();
    let plain = matches!(word, "" | "each" | "ea" | "pieces" | "piece" | "pcs" | "pc") || is_bag(word);
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

/// Words for what holds several pieces.
fn is_bag(word: &str) -> bool {
    SoldAs::KNOWN.contains(&(SoldAs::Bag, word))
}

/// What a pack holds, without the word for the pack before it: `bag of 25`.
fn of_a_pack(text: &str) -> &str {
    match text.trim().split_once(" of ") {
        Some((word, held)) if is_bag(&word.trim().to_ascii_lowercase()) => held.trim(),
        Some(_) | None => text,
    }
}

/// A hundred or a thousand by its capital letter: of tube also with the unit of length, `CFT`, `M ft`.
pub(super) fn hundreds(text: &str) -> Option<i64> {
    match text {
        "C" => Some(100),
        "M" => Some(1000),
        _ => None,
    }
}

/// Whether a text is a hundred or a thousand by its capital letter.
pub(super) fn is_many(text: &str) -> bool {
    many_feet(text.trim()).is_some()
}

/// So many of what tube is measured in, and whether the text names feet.
fn many_feet(text: &str) -> Option<(i64, bool)> {
    if let Some(many) = hundreds(text) {
        return Some((many, false));
    }
    let (letter, unit) = text.split_at_checked(1)?;
    let is_feet = ["FT", "LF", "ft", "lf", "'"].contains(&unit.trim().trim_end_matches('.'));
    hundreds(letter).filter(|_| is_feet).map(|many| (many, true))
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

/// Why what a price is for cannot be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unpriced {
    /// What was expected.
    Expected(&'static str),
    /// `M` where lengths are in metres: a thousand, or a metre.
    ThousandOrMetre,
}

/// What a price is for; an empty cell is the pack of what is sold in packs, and one piece or one foot of what is loose.
/// `C` and `M` in capitals are a hundred and a thousand of what is sold; `m` is a metre in lower case alone.
pub(super) fn per(kind: Kind, sold: SoldAs, text: &str, bare: LengthUnit) -> Result<PricedPer, Unpriced> {
    let text = without_per(text);
    let word = text.to_ascii_lowercase();
    let pack = match (kind, sold) {
        (Kind::Tube, SoldAs::Each) => PricedPer::Length(Length::whole(1, one_of(bare))),
        (_, SoldAs::Each) => PricedPer::Each,
        (_, SoldAs::Coil | SoldAs::Stick | SoldAs::Bag) => PricedPer::Pack,
    };
    let is_each = matches!(word.trim_end_matches('.'), "each" | "ea" | "piece" | "pc");
    match (kind, word.as_str()) {
        (_, "") => Ok(pack),
        (_, "pack" | "coil" | "stick" | "bag" | "box" | "roll" | "can") if sold != SoldAs::Each => {
            Ok(PricedPer::Pack)
        }
        // A coil or a roll is one piece; of loose tube "each" would say nothing of its length.
        (Kind::Tube, _) if is_each && sold == SoldAs::Each => Err(Unpriced::Expected(
            "ft, m or a length such as 100 ft; or a coil or stick in `sold as`, with its length in `pack`",
        )),
        (Kind::Tube | Kind::Consumable(_), _) if is_each => Ok(pack),
        (Kind::Tube, _) => per_length(text, bare).map(PricedPer::Length),
        (Kind::Consumable(_), _) => Err(Unpriced::Expected("each or pack")),
        (Kind::Pieces | Kind::Unknown, _) if is_each => Ok(PricedPer::Each),
        (Kind::Pieces | Kind::Unknown, "1") => Ok(PricedPer::Each),
        (Kind::Pieces | Kind::Unknown, "hundred") => Ok(PricedPer::Many(100)),
        (Kind::Pieces | Kind::Unknown, "thousand") => Ok(PricedPer::Many(1000)),
        (Kind::Pieces | Kind::Unknown, number) => match hundreds(text).or_else(|| number.parse().ok()) {
            Some(many) if many > 0 && many <= i64::from(MOST_COUNTED) => Ok(PricedPer::Many(many)),
            Some(_) | None => Err(Unpriced::Expected("each, pack, 100 (C) or 1000 (M)")),
        },
    }
}

/// The text without a first `per` or `/`.
fn without_per(text: &str) -> &str {
    let text = text.trim();
    let is_per = text.get(..4).is_some_and(|head| head.eq_ignore_ascii_case("per "));
    match text.strip_prefix('/') {
        Some(rest) => rest.trim(),
        None if is_per => text.get(4..).unwrap_or("").trim(),
        None => text,
    }
}

/// Whether a price of tube is for a metre by a letter that may as well mean a thousand: `m` where lengths are in feet.
pub(super) fn is_doubtful_metre(kind: Kind, text: &str, bare: LengthUnit) -> bool {
    kind == Kind::Tube && one_of(bare) == LengthUnit::Foot && without_per(text) == "m"
}

/// A length that tube is priced by.
fn per_length(text: &str, bare: LengthUnit) -> Result<Length, Unpriced> {
    const EXPECTED: Unpriced = Unpriced::Expected("each, pack, ft, m, C, M or a length such as 100 ft");
    let unit = one_of(bare);
    let many = match text.to_ascii_lowercase().as_str() {
        "hundred" => Some((100, false)),
        "thousand" => Some((1000, false)),
        _ => many_feet(text),
    };
    if let Some((many, of_feet)) = many {
        if unit == LengthUnit::Metre && text == "M" {
            return Err(Unpriced::ThousandOrMetre);
        }
        return Ok(Length::whole(many, if of_feet { LengthUnit::Foot } else { unit }));
    }
    // A capital M behind a number is neither a metre nor a thousand for sure.
    let in_doubt = text.strip_suffix('M').is_some_and(|number| !number.contains(char::is_alphabetic));
    let length = match LengthUnit::from_word(text) {
        Some(unit) => Some(Length::whole(1, unit)),
        None if in_doubt || text.bytes().all(|b| b.is_ascii_digit()) => None,
        None => Length::read(text, bare),
    };
    length.filter(|length| *length > Length::ZERO).ok_or(EXPECTED)
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
