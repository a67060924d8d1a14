//! The words of what is doubtful in papers: orders, price lists and the bid. Every text of these notices stands here.

use rust_decimal::Decimal;

use crate::ground::money::cents;
use crate::ground::{Date, Notice, Severity, Spot};

/// Something doubtful in the papers of an alternative whose sums are right.
pub(super) enum Paper {
    /// Tube is bought by the foot.
    ByTheFoot {
        /// The first of it.
        called: String,
        /// How many more.
        more: usize,
    },
    /// Prices end before goods are needed.
    PriceEndsBeforeNeeded {
        /// Lines of the order.
        lines: usize,
        /// The last day of their prices.
        until: Date,
        /// The day they are needed.
        needed: Date,
    },
    /// Prices end before the bid does.
    PriceEndsBeforeBid {
        /// Lines of the order.
        lines: usize,
        /// The first last day among them.
        until: Date,
        /// The last day of the bid.
        bid: Date,
    },
    /// One delivery fee is counted for goods of several days.
    OneFee {
        /// Who sells.
        supplier: String,
        /// The fee.
        fee: Decimal,
        /// The days.
        days: Vec<Date>,
    },
}

impl Paper {
    /// The notice.
    pub(super) fn word(&self, spots: Vec<Spot>) -> Notice {
        let (kind, found, expected, remedy) = match self {
            Self::ByTheFoot { called, more } => (
                "no-cut-plan",
                match more {
                    0 => format!("{called} is bought by the foot: it has no cut plan"),
                    more => format!("{called} and {more} more are bought by the foot: they have no cut plan"),
                },
                "offers of coils or sticks with their lengths".to_owned(),
                "ask what coils or sticks it comes in, as request-for-quote.csv does: `sold as` coil, `pack` 100 ft"
                    .to_owned(),
            ),
            Self::PriceEndsBeforeNeeded { lines, until, needed } => (
                "price-ends-before-needed",
                format!("{} {until}, and the goods are needed on {needed}", ends(*lines)),
                "prices that are good on the day the goods are delivered".to_owned(),
                format!("order by {until}, or ask for prices that are good until {needed}"),
            ),
            Self::PriceEndsBeforeBid { lines, until, bid } => (
                "price-ends-before-bid",
                format!("the bid is good until {bid}; {} {until} or soon after", ends(*lines)),
                "a bid that ends with the prices it is made of".to_owned(),
                format!("let the bid end on {until}, or ask for prices that are good until {bid}"),
            ),
            Self::OneFee { supplier, fee, days } => (
                "one-fee-counted",
                format!(
                    "one delivery fee of {} is counted for {supplier}, whose goods are needed on {} days: {}",
                    cents(*fee),
                    days.len(),
                    days.iter().map(Date::to_string).collect::<Vec<_>>().join(", ")
                ),
                "a fee for each delivery that is charged".to_owned(),
                "ask for one delivery, or add the fees of the others as the item delivery of the table job".to_owned(),
            ),
        };
        Notice::new(Severity::Remark, kind, spots, found, expected, remedy)
    }
}

fn ends(lines: usize) -> String {
    match lines {
        1 => "the price of one line of the order ends on".to_owned(),
        lines => format!("the prices of {lines} lines of the order end on"),
    }
}
