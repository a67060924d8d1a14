//! The price of an offer as a person writes it: the sum, its currency, and what it is for, which may stand behind it, in
//! `per`, or as `C` or `M` in `unit`. `price_list` reads the other cells; `pack` knows the words.

use rust_decimal::Decimal;

use super::Column;
use crate::ground::RowAt;
use crate::ground::notice::{Finding, findings};
use crate::table::{Got, Money, Quoted};
use crate::trade::pack::{self, Kind, PricedPer, SoldAs, Unpriced};
use crate::trade::reading::Row;
use crate::trade::reading::findings::{negative_price, other_currency};

/// What stands in the cell of a price.
#[derive(Debug)]
pub(super) enum Price {
    /// Nothing.
    Empty,
    /// Words that there is none.
    NotOffered,
    /// A sum.
    Sum(Money),
    /// What is no price; the notice is taken down.
    Misread,
}

impl Price {
    /// Reads the cell.
    pub(super) fn of(row: &mut Row<'_, '_>) -> Self {
        match row.money(Column::price) {
            Got::Empty => Self::Empty,
            Got::Value(Quoted::None) => Self::NotOffered,
            Got::Value(Quoted::Sum(money)) => Self::Sum(money),
            Got::Misread => Self::Misread,
        }
    }

    /// The sum. A price of nothing is more often a forgotten price than a gift: it is an error.
    pub(super) fn sum(&self, row: &mut Row<'_, '_>) -> Decimal {
        match self {
            Self::Sum(Money { amount, .. }) if amount.is_zero() => {
                row.trouble(Column::price, price_zero());
            }
            Self::Sum(Money { amount, .. }) if amount.is_sign_negative() => {
                row.trouble(Column::price, negative_price(amount));
            }
            Self::Sum(Money { amount, .. }) => return *amount,
            Self::Empty => row.empty(Column::price),
            Self::NotOffered | Self::Misread => {}
        }
        Decimal::ZERO
    }

    /// What it is for. Where several cells say it the one nearest to the sum counts, and is doubtful if they part.
    /// `sold` are the ways in which the thing may be sold: the first that the words go with counts.
    pub(super) fn per(&self, row: &mut Row<'_, '_>, kind: Kind, sold: &[SoldAs]) -> PricedPer {
        let bare = row.bare;
        let (amount, behind) = match self {
            Self::Sum(money) => (money.amount, money.per.clone()),
            Self::Empty | Self::NotOffered | Self::Misread => (Decimal::ZERO, String::new()),
        };
        let read = |text: &str| {
            let ways = sold.iter().map(|sold| pack::per(kind, *sold, text, bare));
            ways.reduce(Result::or).unwrap_or(Ok(PricedPer::Each))
        };
        // A unit changes nothing, but for the two that can be meant for the price alone.
        let unit = Some(row.text(Column::unit)).filter(|unit| ["C", "M"].contains(unit)).unwrap_or("");
        let written = [
            (Column::price, "price", behind),
            (Column::per, "per", row.text(Column::per).to_owned()),
            (Column::unit, "unit", unit.to_owned()),
        ];
        let mut first: Option<(Column, String, PricedPer)> = None;
        for (column, heading, text) in written.into_iter().filter(|(.., text)| !text.is_empty()) {
            let per = match read(&text) {
                Ok(per) => per,
                Err(why) => {
                    unpriced(row, column, &text, why, amount);
                    return PricedPer::Each;
                }
            };
            match &first {
                None => first = Some((column, text, per)),
                Some((of, counts, known)) if *known != per => {
                    let is_price = matches!(of, Column::price);
                    let meant = if is_price { amount.to_string() } else { text.clone() };
                    row.trouble(*of, two_pers(counts, &text, heading).meaning(meant));
                    break;
                }
                Some(_) => {}
            }
        }
        match first {
            Some((of, text, per)) => {
                if pack::is_doubtful_metre(kind, &text, bare) {
                    let thousandth = (amount / Decimal::ONE_THOUSAND).normalize();
                    row.trouble(of, metre_among_feet(amount, thousandth));
                }
                per
            }
            None => read("").unwrap_or(PricedPer::Each),
        }
    }
}

fn unpriced(row: &mut Row<'_, '_>, column: Column, found: &str, why: Unpriced, amount: Decimal) {
    let finding = match why {
        Unpriced::Expected(expected) if matches!(column, Column::price) => unread_price_for(found, expected),
        Unpriced::Expected(expected) => unread_price_per(found, expected),
        Unpriced::ThousandOrMetre => thousand_or_metre(amount, (amount / Decimal::ONE_THOUSAND).normalize()),
    };
    row.trouble(column, finding);
}

/// Prices of one list in another currency than the job's.
#[derive(Debug, Default)]
pub(super) struct OtherCurrency {
    first: Option<(RowAt, &'static str)>,
    rows: usize,
}

impl OtherCurrency {
    /// Takes the currency of a price down.
    pub(super) fn meet(&mut self, price: &Price, row: &Row<'_, '_>) {
        if let Price::Sum(money) = price
            && let Some(found) = money.currency.filter(|_| !money.may_be_in(row.currency()))
        {
            self.first.get_or_insert((row.at(), found));
            self.rows += 1;
        }
    }

    /// What is to be said of them.
    pub(super) fn finding(&self, job: &str) -> Option<(RowAt, Finding)> {
        let (at, found) = self.first?;
        Some((at, other_currency(found, job, self.rows)))
    }
}

/// The lowest and the highest price seen, which the price should lie between.
pub(super) fn range(row: &mut Row<'_, '_>, price: &Price, low: Option<Decimal>, high: Option<Decimal>) {
    if let (Some(low), Some(high)) = (low, high)
        && low > high
    {
        row.trouble(Column::low, low_above_high(low, high));
    } else if let Price::Sum(money) = price {
        let beyond = match (low, high) {
            (Some(low), _) if money.amount < low => Some(("below low", low)),
            (_, Some(high)) if money.amount > high => Some(("above high", high)),
            (Some(_) | None, Some(_) | None) => None,
        };
        if let Some((side, bound)) = beyond {
            row.trouble(Column::price, price_out_of_range(money.amount, side, bound));
        }
    }
}

findings! {
    /// A price of nothing.
    fn price_zero() = error("price-zero",
        "price is 0",
        "a price above zero",
        "type the price, or take the row out: what has no price is listed as not priced");

    /// The lowest price is above the highest.
    fn low_above_high(low: Decimal, high: Decimal) = error("low-above-high",
        "low is {low} and high is {high}",
        "low at most as high as high",
        "exchange the two");

    /// A price below the lowest or above the highest seen.
    fn price_out_of_range(price: Decimal, side: &str, bound: Decimal) = warning("price-out-of-range",
        "price is {price}, {side} {bound}",
        "a price from low to high",
        "correct the price, or low and high if it was seen");

    /// Two cells that say what a price is for.
    fn two_pers(counts: &str, other: &str, heading: &str) = warning("two-pers",
        "this price is read per {counts}, and {heading} says {other}",
        "one word for what a price is for",
        "type what the price is for in per, and the price alone in its cell");

    /// What a price is for, in no known word, or not as the thing is sold.
    fn unread_price_per(found: &str, expected: &str) = error("unread-price-per",
        "per is \"{found}\"",
        "{expected}",
        "type what the price is for");

    /// What a price is for, behind it in its cell, in no known word.
    fn unread_price_for(found: &str, expected: &str) = error("unread-price-for",
        "price is for \"{found}\"",
        "{expected}",
        "type the price alone here, and what it is for in per");

    /// `m` on tube in a job in feet: a metre, or a thousand.
    fn metre_among_feet(price: Decimal, thousandth: Decimal) = warning("metre-among-feet",
        "the price is {price} per m, which is read as a metre, and lengths are in feet here: {thousandth} a foot if it is a thousand feet",
        "ft for a foot, C or M for a hundred or a thousand of them",
        "type M in per if a thousand feet are meant, 1 m if it is a metre");

    /// `M` on tube in a job in metres: a thousand, or a metre.
    fn thousand_or_metre(price: Decimal, thousandth: Decimal) = error("thousand-or-metre",
        "the price is {price} per M, and lengths are in metres here: {thousandth} a metre if M is a thousand, {price} a metre if it is a metre",
        "m for a metre, 1000 m for a thousand of them",
        "type m or 1000 m in per");
}
