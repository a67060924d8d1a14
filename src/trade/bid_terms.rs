//! What the table `job` says of the bid beside the percentages that stand in [`Terms`](super::Terms): sums, taxes by
//! class, fees, what the owner is told. It holds and answers; the reading is in `terms`, the arithmetic in
//! `estimate::bid`.

use rust_decimal::Decimal;

use super::lexicon::Word;
use super::part::Class;
use crate::ground::{Date, RowAt};

/// How the points of profit are meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ProfitAs {
    /// A share of what the work costs: 25 points on 80 are 20.
    #[default]
    Markup,
    /// A share of the price before tax and fees: 20 points of 100 are 20.
    Margin,
}

impl ProfitAs {
    /// The word for it in the table `job`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Markup => "markup",
            Self::Margin => "margin",
        }
    }
}

/// What a sales tax may be taken on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Taxed {
    /// Material of a class.
    Class(Class),
    /// The small-parts allowance.
    SmallParts,
    /// Labor.
    Labor,
    /// Tools and one-offs.
    Tools,
    /// Delivery.
    Delivery,
}

impl Taxed {
    /// All of them in the order shown: the classes, then the rest.
    pub fn all() -> impl Iterator<Item = Self> {
        let rest = [Self::SmallParts, Self::Labor, Self::Tools, Self::Delivery];
        Class::ALL.into_iter().map(Self::Class).chain(rest)
    }

    /// The word for it in `for`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Class(class) => class.word(),
            Self::SmallParts => "small parts",
            Self::Labor => "labor",
            Self::Tools => "tools",
            Self::Delivery => "delivery",
        }
    }

    /// Whether the rate said for all is taken on it: on what stays in the house. Labor, tools and delivery are taxed
    /// only where the job says so.
    pub const fn by_the_general_rate(self) -> bool {
        match self {
            Self::Class(_) | Self::SmallParts => true,
            Self::Labor | Self::Tools | Self::Delivery => false,
        }
    }
}

/// A fee of the job: permit, inspection, bond.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fee {
    /// What it is for.
    pub name: Box<str>,
    /// The sum.
    pub sum: Decimal,
    /// Whether it stands among the direct costs, where contingency, overhead and profit are taken on it; else it is
    /// handed on as it is, after profit.
    pub marked_up: bool,
}

/// What the table `job` says of the bid.
#[derive(Debug, Clone, Default)]
pub struct BidTerms {
    /// Small parts that nobody counts, in points of material.
    pub small_parts: Decimal,
    /// A sum for delivery, beside the fees of suppliers.
    pub delivery: Decimal,
    /// How the points of profit are meant.
    pub profit_as: ProfitAs,
    /// Rates of sales tax that are said by class.
    pub tax_rates: Vec<(Taxed, Decimal)>,
    /// Classes, or labor and the like, on which no sales tax is taken, whatever rate is said.
    pub untaxed: Vec<Taxed>,
    /// Parts on which no sales tax is taken, by their words, with the row that says so.
    pub exempt: Vec<(Word, RowAt)>,
    /// Fees, by name.
    pub fees: Vec<Fee>,
    /// The last day on which the bid stands, and the row that says so.
    pub good_until: Option<(Date, RowAt)>,
    /// What the owner is told is not in the price, by its text.
    pub not_included: Vec<Box<str>>,
}

impl BidTerms {
    /// The rate of sales tax on something, in points: none where it is exempt, else as said for it, else the rate said for
    /// all where that is taken on it.
    pub fn tax_rate(&self, of: Taxed, general: Decimal) -> Decimal {
        if self.untaxed.contains(&of) {
            return Decimal::ZERO;
        }
        let said = self.tax_rates.iter().rev().find(|(one, _)| *one == of).map(|(_, rate)| *rate);
        said.unwrap_or(if of.by_the_general_rate() { general } else { Decimal::ZERO })
    }
}
