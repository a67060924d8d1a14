//! The price of an offer as a person writes it: the sum, its currency, and what it is for, which may stand behind it, in
//! `per`, or as `C` or `M` in `unit`. `price_list` reads the other cells; `pack` knows the words.

use rust_decimal::Decimal;

use super::pack::{self, Kind, Unpriced};
use super::price_list::{Column, PricedPer, SoldAs};
use super::row::Row;
use super::words::Trouble;
use super::words_reading::ReadingTrouble;
use crate::ground::{LengthUnit, RowAt};
use crate::table::{Got, Money, Quoted};

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
        match row.money(Column::Price) {
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
                row.trouble(Column::Price, Trouble::PriceZero);
            }
            Self::Sum(Money { amount, .. }) if amount.is_sign_negative() => {
                row.trouble(Column::Price, Trouble::PriceNegative { found: &amount.to_string() });
            }
            Self::Sum(Money { amount, .. }) => return *amount,
            Self::Empty => row.empty(Column::Price),
            Self::NotOffered | Self::Misread => {}
        }
        Decimal::ZERO
    }

    /// What it is for. Where several cells say it the one nearest to the sum counts, and is doubtful if they part.
    /// `sold` are the ways in which the thing may be sold: the first that the words go with counts.
    pub(super) fn per(
        &self,
        row: &mut Row<'_, '_>,
        kind: Kind,
        sold: &[SoldAs],
        bare: LengthUnit,
    ) -> PricedPer {
        let (amount, behind) = match self {
            Self::Sum(money) => (money.amount, money.per.clone()),
            Self::Empty | Self::NotOffered | Self::Misread => (Decimal::ZERO, String::new()),
        };
        let read = |text: &str| {
            let ways = sold.iter().map(|sold| pack::per(kind, *sold, text, bare));
            ways.reduce(Result::or).unwrap_or(Ok(PricedPer::Each))
        };
        // A unit changes nothing, but for the two that can be meant for the price alone.
        let unit = Some(row.text(Column::Unit)).filter(|unit| ["C", "M"].contains(unit)).unwrap_or("");
        let written = [
            (Column::Price, "price", behind),
            (Column::Per, "per", row.text(Column::Per).to_owned()),
            (Column::Unit, "unit", unit.to_owned()),
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
                    let meant = match of {
                        Column::Price => amount.to_string(),
                        _ => text.clone(),
                    };
                    let trouble = ReadingTrouble::TwoPers { counts, other: &text, heading };
                    row.trouble_or_read(*of, Trouble::Reading(trouble), meant);
                    break;
                }
                Some(_) => {}
            }
        }
        match first {
            Some((.., per)) => per,
            None => read("").unwrap_or(PricedPer::Each),
        }
    }
}

fn unpriced(row: &mut Row<'_, '_>, column: Column, found: &str, why: Unpriced, amount: Decimal) {
    match why {
        Unpriced::Expected(expected) if matches!(column, Column::Price) => {
            row.trouble(column, Trouble::Reading(ReadingTrouble::ForWhat { found, expected }));
        }
        Unpriced::Expected(expected) => row.trouble(column, Trouble::PricePer { found, expected }),
        Unpriced::ThousandOrMetre => {
            let thousandth = (amount / Decimal::ONE_THOUSAND).normalize().to_string();
            let trouble =
                ReadingTrouble::ThousandOrMetre { price: &amount.to_string(), thousandth: &thousandth };
            row.trouble(column, Trouble::Reading(trouble));
        }
    }
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
    pub(super) fn trouble<'a>(&'a self, job: &'a str) -> Option<(RowAt, Trouble<'a>)> {
        let (at, found) = self.first?;
        let trouble = ReadingTrouble::OtherCurrency { found, job, rows: self.rows };
        Some((at, Trouble::Reading(trouble)))
    }
}

/// The lowest and the highest price seen, which the price should lie between.
pub(super) fn range(row: &mut Row<'_, '_>, price: &Price) -> (Option<Decimal>, Option<Decimal>) {
    let (low, high) = (row.sum(Column::Low).value(), row.sum(Column::High).value());
    for (column, heading, price) in [(Column::Low, "low", low), (Column::High, "high", high)] {
        if let Some(price) = price.filter(Decimal::is_sign_negative) {
            row.trouble(column, Trouble::BelowZero { heading, found: &price.to_string() });
        }
    }
    if let (Some(low), Some(high)) = (low, high)
        && low > high
    {
        row.trouble(Column::Low, Trouble::LowAboveHigh { low: &low.to_string(), high: &high.to_string() });
    } else if let Price::Sum(money) = price {
        let beyond = match (low, high) {
            (Some(low), _) if money.amount < low => Some(("below low", low)),
            (_, Some(high)) if money.amount > high => Some(("above high", high)),
            (Some(_) | None, Some(_) | None) => None,
        };
        if let Some((side, bound)) = beyond {
            let (price, bound) = (money.amount.to_string(), bound.to_string());
            let trouble = ReadingTrouble::OutOfRange { price: &price, side, bound: &bound };
            row.trouble(Column::Price, Trouble::Reading(trouble));
        }
    }
    (low, high)
}
