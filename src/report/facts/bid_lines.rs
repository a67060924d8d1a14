//! The lines of a bid as every file of this floor shows them: name, percentage, base, amount, in the order of the
//! arithmetic. It adds nothing up; what a line comes to was decided by the bid.

use rust_decimal::Decimal;

use crate::estimate::alternative::Alternative;
use crate::estimate::bid::Bid;
use crate::trade::{ProfitAs, Settings, StatedSum, SumAs};

/// A line of a bid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum BidLine {
    Material,
    Labor,
    /// Labor by the lump: its place in the list of stated sums.
    LumpSumLabor(usize),
    Tools,
    SmallParts,
    Delivery,
    /// A fee among the direct costs, likewise.
    MarkedUpFee(usize),
    Direct,
    Contingency,
    Overhead,
    Profit,
    Price,
    Tax,
    /// A fee that is handed on.
    Fee(usize),
    Total,
}

/// The named cell of the workbook that holds a stated sum, by its place in their list.
pub(in crate::report) fn stated_cell(at: usize) -> String {
    format!("stated_{}", at + 1)
}

/// What is said of the profit as a markup and as a margin.
pub(in crate::report) const PROFIT_AS: [&str; 2] = [
    "a MARKUP: percent of direct cost, contingency and overhead",
    "a MARGIN: percent of the price of the work",
];

/// The named cell of a percentage, and the setting that it is.
type Percentage = (&'static str, fn(&Settings) -> Decimal);

impl BidLine {
    /// All lines of a job's bid, in the order shown.
    pub(crate) fn all(terms: &Settings) -> Vec<Self> {
        let stated = |is: SumAs, line: fn(usize) -> Self| {
            let all = terms.bid.sums.iter().enumerate();
            all.filter(move |(_, one)| one.is == is).map(move |(at, _)| line(at))
        };
        let mut lines = vec![Self::Material, Self::Labor];
        lines.extend(stated(SumAs::LumpSumLabor, Self::LumpSumLabor));
        lines.extend([Self::Tools, Self::SmallParts, Self::Delivery]);
        lines.extend(stated(SumAs::MarkedUpFee, Self::MarkedUpFee));
        lines.extend([Self::Direct, Self::Contingency, Self::Overhead, Self::Profit, Self::Price, Self::Tax]);
        lines.extend(stated(SumAs::Fee, Self::Fee));
        lines.push(Self::Total);
        lines
    }

    /// What it is called; its percentage, by the named cell of the workbook that holds it; what it comes to in a bid.
    const fn entry(self) -> (&'static str, Option<Percentage>, fn(&Bid) -> Decimal) {
        match self {
            Self::Material => ("material", None, |bid| bid.spent.material),
            Self::Labor => ("labor", None, |bid| bid.spent.labor),
            Self::Tools => ("tools", None, |bid| bid.spent.tools),
            Self::SmallParts => {
                ("small parts", Some(("small_parts_percent", |of| of.bid.small_parts)), |bid| bid.small_parts)
            }
            Self::Delivery => ("delivery", None, |bid| bid.delivery),
            Self::Direct => ("direct cost", None, |bid| bid.direct),
            Self::Contingency => {
                ("contingency", Some(("contingency_percent", |of| of.contingency)), |bid| bid.contingency)
            }
            Self::Overhead => ("overhead", Some(("overhead_percent", |of| of.overhead)), |bid| bid.overhead),
            Self::Profit => ("profit", Some(("profit_percent", |of| of.profit)), |bid| bid.profit),
            Self::Price => ("price of the work", None, |bid| bid.price),
            Self::Tax => ("sales tax", Some(("sales_tax_percent", |of| of.sales_tax)), |bid| bid.tax),
            Self::Total => ("bid", None, |bid| bid.total),
            // The job names them and says what they are.
            Self::LumpSumLabor(_) => ("lump-sum labor", None, |bid| bid.lump_sum_labor),
            Self::MarkedUpFee(_) => ("fee", None, |bid| bid.marked_up_fees),
            Self::Fee(_) => ("fee", None, |bid| bid.fees),
        }
    }

    /// The sum that the job states for it, with its place in their list.
    pub(crate) fn stated(self, terms: &Settings) -> Option<(usize, &StatedSum)> {
        match self {
            Self::LumpSumLabor(at) | Self::MarkedUpFee(at) | Self::Fee(at) => {
                Some((at, terms.bid.sums.get(at)?))
            }
            Self::Material
            | Self::Labor
            | Self::Tools
            | Self::SmallParts
            | Self::Delivery
            | Self::Direct
            | Self::Contingency
            | Self::Overhead
            | Self::Profit
            | Self::Price
            | Self::Tax
            | Self::Total => None,
        }
    }

    /// What it is called.
    pub(crate) fn name(self, terms: &Settings) -> String {
        let what = self.entry().0;
        self.stated(terms).map_or_else(|| what.to_owned(), |(_, one)| format!("{what}: {}", one.name))
    }

    /// The percentage it is taken by.
    pub(crate) fn points(self, terms: &Settings) -> Option<Decimal> {
        self.setting(terms).map(|(_, points)| points)
    }

    /// The same, with the named cell of the workbook that holds it.
    pub(in crate::report) fn setting(self, terms: &Settings) -> Option<(&'static str, Decimal)> {
        self.entry().1.map(|(cell, of)| (cell, of(terms)))
    }

    /// What it comes to.
    pub(crate) fn amount(self, terms: &Settings, bid: &Bid) -> Decimal {
        self.stated(terms).map_or_else(|| (self.entry().2)(bid), |(_, one)| one.sum)
    }

    /// Whether it is a sum of the lines above it.
    pub(crate) const fn is_sum(self) -> bool {
        matches!(self, Self::Material | Self::Direct | Self::Price | Self::Total)
    }

    /// What it is taken on, in words.
    pub(crate) fn taken_on(self, terms: &Settings, of: &Alternative) -> &'static str {
        match self {
            Self::Material => "what the order comes to",
            Self::Labor if !of.labor.stated => "NOT IN THE BID: the job has no table labor",
            Self::Labor if of.labor.rate.is_none() => "NOT IN THE BID: hours without a rate",
            Self::Labor if !of.labor.has_all_hours() => "NOT WHOLE: some work has no hours",
            Self::Labor => "hours of the table labor at the rate of the crew",
            Self::LumpSumLabor(_) => "as stated, whatever the hours",
            Self::Tools if !of.tools.stated => "none stated",
            Self::Tools => "bought, rented or shared over jobs",
            Self::SmallParts => "on material",
            Self::Delivery => "the stated sum and the fees of suppliers",
            Self::MarkedUpFee(_) => "as stated; overhead and profit are taken on it",
            Self::Direct => "the lines above",
            Self::Contingency => "on direct cost",
            Self::Overhead => "on direct cost and contingency",
            Self::Profit => match terms.bid.profit_as {
                ProfitAs::Markup => PROFIT_AS[0],
                ProfitAs::Margin => PROFIT_AS[1],
            },
            Self::Price => "before tax and fees",
            Self::Tax => "on what is bought, each class at its rate; see Settings",
            Self::Fee(_) => "as stated, handed on without a markup",
            Self::Total => "what is asked for the job",
        }
    }
}
