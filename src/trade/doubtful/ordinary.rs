//! What is ordinary in a house: the table of limits beyond which a figure is doubtful. It refuses nothing; what lies
//! outside is read as it is written, and told. Which cells are judged is for `figures`.

use rust_decimal::Decimal;

use crate::table::TableFile;
use crate::trade::reading::Reading;
use crate::trade::shape::{Words, shape, unknown_names, words};

shape! {
    /// The table `ordinary`.
    ORDINARY = "ordinary", Noticed, Column {
        What = "what", required, Text, "the figure, as the program's own table ordinary names it: overhead, length of a run";
        Unit = "unit", optional, Text, "the unit of its limits, as the program's own table has it; changes nothing";
        Low = "low", optional, Number, "a figure below is told; empty: none is too low";
        High = "high", optional, Number, "a figure above is told; empty: none is too high";
        Source = "source", optional, Text, "where the limits are published";
    }
}

words! {
    /// A figure that has limits, as the table names it.
    pub(super) enum Figure {
        Overhead = "overhead",
        Markup = "markup",
        Margin = "margin",
        Contingency = "contingency",
        SmallParts = "small parts",
        Allowance = "allowance",
        SalesTax = "sales tax",
        Burden = "burden",
        Difficulty = "difficulty",
        Productivity = "productivity",
        Delivery = "delivery",
        Fee = "fee",
        LumpSumLabor = "lump-sum labor",
        StaticPressure = "static pressure",
        Kerf = "kerf",
        Crew = "crew",
        Wages = "wages",
        HoursADay = "hours a day",
        Discount = "discount",
        TubePrice = "price of tube",
        PartPrice = "price of a part",
        BreakPrice = "price at a break",
        Coil = "coil",
        Stick = "stick",
        Bag = "bag",
        DeliveryFee = "delivery fee",
        MinimumOrder = "minimum order" ["least order"],
        JointHours = "hours per joint",
        ThreadHours = "hours per thread",
        LengthHours = "hours per length",
        PartHours = "hours per part",
        SupportHours = "hours per support",
        RunHours = "hours per run",
        PlaceHours = "hours per place",
        JobHours = "hours per job",
        ToolPrice = "price of a tool",
        ToolJobs = "jobs of a tool",
        ToolDays = "days of a tool",
        RunLength = "length of a run",
        BuriedLength = "length of a buried run",
        Tail = "tail",
        Rise = "rise",
        Turns = "turns",
        CountedFittings = "counted fittings",
        Count = "count",
        StockPieces = "pieces on hand",
        StockTube = "tube on hand",
        PatternQuantity = "quantity of a pattern",
    }
}

impl Figure {
    /// Whether it comes in whole numbers alone.
    pub(super) fn is_whole(self) -> bool {
        matches!(
            self,
            Self::Bag
                | Self::ToolJobs
                | Self::ToolDays
                | Self::Turns
                | Self::CountedFittings
                | Self::Count
                | Self::StockPieces
                | Self::StockTube
        )
    }
}

/// A row of the table `ordinary`.
#[derive(Debug, Clone)]
pub(super) struct Limit {
    figure: Figure,
    /// The unit of the limits, in words.
    pub(super) unit: Box<str>,
    /// What is below is told.
    low: Option<Decimal>,
    /// What is above is told.
    high: Option<Decimal>,
    /// Where it is published.
    pub(super) source: Box<str>,
}

impl Limit {
    /// Whether a figure is ordinary.
    pub(super) fn holds(&self, value: Decimal) -> bool {
        self.low.is_none_or(|low| value >= low) && self.high.is_none_or(|high| value <= high)
    }

    /// What is ordinary, in words: `2 to 40 percent`.
    pub(super) fn in_words(&self) -> String {
        let shown = |number: Decimal| number.normalize().to_string();
        let range = match (self.low, self.high) {
            (Some(low), Some(high)) => format!("{} to {}", shown(low), shown(high)),
            (Some(low), None) => format!("{} or more", shown(low)),
            (None, Some(high)) => format!("up to {}", shown(high)),
            (None, None) => String::new(),
        };
        match &*self.unit {
            "" => range,
            unit => format!("{range} {unit}"),
        }
    }
}

/// All limits, the user's rows in place of the program's own.
#[derive(Debug, Clone, Default)]
pub(super) struct Limits {
    list: Vec<Limit>,
}

impl Limits {
    /// Lays the rows of a table over those that are there.
    pub(super) fn lay(&mut self, file: &TableFile, reading: &mut Reading) {
        let list = &mut self.list;
        reading.read(file, &ORDINARY, |row| {
            let what = row.needed_name(Column::What);
            let Some(figure) = Figure::of_word(&what) else {
                if !what.is_empty() {
                    row.trouble(
                        Column::What,
                        no_such_figure(&what, Figure::ALL.into_iter().map(Figure::word)),
                    );
                }
                return;
            };
            let limit = Limit {
                figure,
                unit: row.text(Column::Unit).into(),
                low: row.number(Column::Low).value(),
                high: row.number(Column::High).value(),
                source: row.text(Column::Source).into(),
            };
            if !row.in_error() {
                list.retain(|known| known.figure != figure);
                list.push(limit);
            }
        });
    }

    /// The limits of a figure that lies outside them.
    pub(super) fn outside(&self, figure: Figure, value: Decimal) -> Option<&Limit> {
        self.list.iter().find(|limit| limit.figure == figure && !limit.holds(value))
    }
}

unknown_names! {
    /// A row of limits of a figure that is not looked at.
    fn no_such_figure(found) = warning("no-such-figure",
        "no figure goes by \"{found}\"",
        "a figure as the program's own table ordinary names it",
        "take the row out");
}
