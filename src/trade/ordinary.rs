//! What is ordinary in a house: the table of limits beyond which a figure is doubtful. It refuses nothing; what lies
//! outside is read as it is written, and told. Which cells are judged is for `judged`.

use rust_decimal::Decimal;

use super::row::{Desk, nearest_of, pick};
use super::shape::shape;
use super::words_doubt::Doubt;
use crate::ground::RowAt;
use crate::table::TableFile;

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

/// A figure that has limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Figure {
    /// Overhead in points.
    Overhead,
    /// Profit in points of cost.
    Markup,
    /// Profit in points of the price.
    Margin,
    /// Contingency in points.
    Contingency,
    /// Small parts in points.
    SmallParts,
    /// An allowance in points.
    Allowance,
    /// Sales tax in points.
    SalesTax,
    /// Burden in points.
    Burden,
    /// The difficulty of an area in points.
    Difficulty,
    /// Productivity in points.
    Productivity,
    /// The sum for delivery.
    Delivery,
    /// A fee.
    Fee,
    /// Static pressure.
    StaticPressure,
    /// The width of a cut.
    Kerf,
    /// How many work.
    Crew,
    /// Wages an hour.
    Wages,
    /// Hours of a day.
    HoursADay,
    /// One discount of a chain.
    Discount,
    /// The price of a foot of tube.
    TubePrice,
    /// The price of a piece.
    PartPrice,
    /// A price from so many packs on, as a share of the price.
    BreakPrice,
    /// What a coil holds.
    Coil,
    /// What a stick holds.
    Stick,
    /// What a bag holds.
    Bag,
    /// What a supplier charges for an order.
    DeliveryFee,
    /// The least order of a supplier.
    LeastOrder,
    /// Hours of a joint.
    JointHours,
    /// Hours of a thread.
    ThreadHours,
    /// Hours of a foot of tube.
    LengthHours,
    /// Hours of a part.
    PartHours,
    /// Hours of a support.
    SupportHours,
    /// Hours of a run.
    RunHours,
    /// Hours of a place.
    PlaceHours,
    /// The price of a tool.
    ToolPrice,
    /// Over how many jobs a tool is shared.
    ToolJobs,
    /// For how many days a tool is rented.
    ToolDays,
    /// The length of a run in a house.
    RunLength,
    /// The length of a run in the ground or in a slab.
    BuriedLength,
    /// The tail of a run.
    Tail,
    /// The rise of a run.
    Rise,
    /// Turns on a foot of run.
    Turns,
    /// Fittings of one kind that a person counted, on a foot of run.
    CountedFittings,
    /// How many runs a row counts.
    Count,
    /// Pieces on hand.
    StockPieces,
    /// Tube on hand.
    StockTube,
    /// How much a row of a pattern adds.
    PatternQuantity,
}

/// The figures as the table names them.
const FIGURES: [(Figure, &str); 46] = [
    (Figure::Overhead, "overhead"),
    (Figure::Markup, "markup"),
    (Figure::Margin, "margin"),
    (Figure::Contingency, "contingency"),
    (Figure::SmallParts, "small parts"),
    (Figure::Allowance, "allowance"),
    (Figure::SalesTax, "sales tax"),
    (Figure::Burden, "burden"),
    (Figure::Difficulty, "difficulty"),
    (Figure::Productivity, "productivity"),
    (Figure::Delivery, "delivery"),
    (Figure::Fee, "fee"),
    (Figure::StaticPressure, "static pressure"),
    (Figure::Kerf, "kerf"),
    (Figure::Crew, "crew"),
    (Figure::Wages, "wages"),
    (Figure::HoursADay, "hours a day"),
    (Figure::Discount, "discount"),
    (Figure::TubePrice, "price of tube"),
    (Figure::PartPrice, "price of a part"),
    (Figure::BreakPrice, "price at a break"),
    (Figure::Coil, "coil"),
    (Figure::Stick, "stick"),
    (Figure::Bag, "bag"),
    (Figure::DeliveryFee, "delivery fee"),
    (Figure::LeastOrder, "least order"),
    (Figure::JointHours, "hours per joint"),
    (Figure::ThreadHours, "hours per thread"),
    (Figure::LengthHours, "hours per length"),
    (Figure::PartHours, "hours per part"),
    (Figure::SupportHours, "hours per support"),
    (Figure::RunHours, "hours per run"),
    (Figure::PlaceHours, "hours per place"),
    (Figure::ToolPrice, "price of a tool"),
    (Figure::ToolJobs, "jobs of a tool"),
    (Figure::ToolDays, "days of a tool"),
    (Figure::RunLength, "length of a run"),
    (Figure::BuriedLength, "length of a buried run"),
    (Figure::Tail, "tail"),
    (Figure::Rise, "rise"),
    (Figure::Turns, "turns"),
    (Figure::CountedFittings, "counted fittings"),
    (Figure::Count, "count"),
    (Figure::StockPieces, "pieces on hand"),
    (Figure::StockTube, "tube on hand"),
    (Figure::PatternQuantity, "quantity of a pattern"),
];

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

    /// The figure as the table names it.
    pub(super) fn name(self) -> &'static str {
        FIGURES.iter().find(|(figure, _)| *figure == self).map_or("", |(_, name)| *name)
    }
}

/// A row of the table `ordinary`.
#[derive(Debug, Clone)]
pub struct Limit {
    /// Where it stands.
    pub row: RowAt,
    /// Of what.
    pub figure: Figure,
    /// The unit of the limits, in words.
    pub unit: Box<str>,
    /// What is below is told.
    pub low: Option<Decimal>,
    /// What is above is told.
    pub high: Option<Decimal>,
    /// Where it is published.
    pub source: Box<str>,
}

impl Limit {
    /// Whether a figure is ordinary.
    pub(super) fn holds(&self, value: Decimal) -> bool {
        self.low.is_none_or(|low| value >= low) && self.high.is_none_or(|high| value <= high)
    }

    /// What is ordinary, in words: `2 to 40 points`.
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
    pub(super) fn lay(&mut self, file: &TableFile, desk: &mut Desk) {
        let list = &mut self.list;
        desk.read(file, &ORDINARY, |row, _| {
            let what = row.needed(Column::What);
            let Some(figure) = pick(&what, &FIGURES) else {
                if !what.is_empty() {
                    let nearest = nearest_of(&what, FIGURES.iter().map(|(_, name)| *name));
                    row.doubt(Column::What, Doubt::NoSuchFigure { found: &what, nearest });
                }
                return;
            };
            let limit = Limit {
                row: row.at(),
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
