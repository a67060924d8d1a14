//! The lines of a bid as every file of this floor shows them: name, percentage, base, amount, in the order of the
//! arithmetic. It adds nothing up; what a line comes to was decided by the bid.

use rust_decimal::Decimal;

use crate::estimate::alternative::Alternative;
use crate::estimate::bid::Bid;
use crate::trade::{ProfitAs, Settings};

/// A line of a bid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum BidLine {
    Material,
    Labor,
    Tools,
    SmallParts,
    Delivery,
    /// A fee among the direct costs: its place in the list of fees.
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

impl BidLine {
    /// All lines of a job's bid, in the order shown.
    pub(crate) fn all(terms: &Settings) -> Vec<Self> {
        let fees = || terms.bid.fees.iter().enumerate();
        let marked_up = fees().filter(|(_, fee)| fee.marked_up).map(|(i, _)| Self::MarkedUpFee(i));
        let handed_on = fees().filter(|(_, fee)| !fee.marked_up).map(|(i, _)| Self::Fee(i));
        let mut lines = vec![Self::Material, Self::Labor, Self::Tools, Self::SmallParts, Self::Delivery];
        lines.extend(marked_up);
        lines.extend([Self::Direct, Self::Contingency, Self::Overhead, Self::Profit, Self::Price, Self::Tax]);
        lines.extend(handed_on);
        lines.push(Self::Total);
        lines
    }

    /// What it is called.
    pub(crate) fn name(self, terms: &Settings) -> String {
        let fee = |i: usize| terms.bid.fees.get(i).map_or("", |fee| &*fee.name);
        match self {
            Self::Material => "material".to_owned(),
            Self::Labor => "labor".to_owned(),
            Self::Tools => "tools".to_owned(),
            Self::SmallParts => "small parts".to_owned(),
            Self::Delivery => "delivery".to_owned(),
            Self::MarkedUpFee(i) | Self::Fee(i) => format!("fee: {}", fee(i)),
            Self::Direct => "direct cost".to_owned(),
            Self::Contingency => "contingency".to_owned(),
            Self::Overhead => "overhead".to_owned(),
            Self::Profit => "profit".to_owned(),
            Self::Price => "price of the work".to_owned(),
            Self::Tax => "sales tax".to_owned(),
            Self::Total => "bid".to_owned(),
        }
    }

    /// The percentage it is reckoned by.
    pub(crate) fn points(self, terms: &Settings) -> Option<Decimal> {
        self.setting(terms).map(|(_, points)| points)
    }

    /// The same, with the named cell of the workbook that holds it.
    pub(in crate::report) fn setting(self, terms: &Settings) -> Option<(&'static str, Decimal)> {
        match self {
            Self::SmallParts => Some(("small_parts_percent", terms.bid.small_parts)),
            Self::Contingency => Some(("contingency_percent", terms.contingency)),
            Self::Overhead => Some(("overhead_percent", terms.overhead)),
            Self::Profit => Some(("profit_percent", terms.profit)),
            Self::Tax => Some(("sales_tax_percent", terms.sales_tax)),
            Self::Material
            | Self::Labor
            | Self::Tools
            | Self::Delivery
            | Self::MarkedUpFee(_)
            | Self::Direct
            | Self::Price
            | Self::Fee(_)
            | Self::Total => None,
        }
    }

    /// What it comes to.
    pub(crate) fn amount(self, terms: &Settings, bid: &Bid) -> Decimal {
        match self {
            Self::Material => bid.spent.material,
            Self::Labor => bid.spent.labor,
            Self::Tools => bid.spent.tools,
            Self::SmallParts => bid.small_parts,
            Self::Delivery => bid.delivery,
            Self::MarkedUpFee(i) | Self::Fee(i) => {
                terms.bid.fees.get(i).map(|fee| fee.sum).unwrap_or_default()
            }
            Self::Direct => bid.direct,
            Self::Contingency => bid.contingency,
            Self::Overhead => bid.overhead,
            Self::Profit => bid.profit,
            Self::Price => bid.price,
            Self::Tax => bid.tax,
            Self::Total => bid.total,
        }
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
            Self::Tools if !of.tools.stated => "none stated",
            Self::Tools => "bought, rented or shared over jobs",
            Self::SmallParts => "on material",
            Self::Delivery => "the stated sum and the fees of suppliers",
            Self::MarkedUpFee(_) => "as stated; overhead and profit are taken on it",
            Self::Direct => "the lines above",
            Self::Contingency => "on direct cost",
            Self::Overhead => "on direct cost and contingency",
            Self::Profit => match terms.bid.profit_as {
                ProfitAs::Markup => "a MARKUP: points of direct cost, contingency and overhead",
                ProfitAs::Margin => "a MARGIN: points of the price of the work",
            },
            Self::Price => "before tax and fees",
            Self::Tax => "on what is bought, each class at its rate; see Settings",
            Self::Fee(_) => "as stated, handed on without a markup",
            Self::Total => "what is asked for the job",
        }
    }
}
