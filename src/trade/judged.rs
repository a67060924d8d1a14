//! The figures of a job judged against what is ordinary: each that lies outside the limits is told, with what was
//! probably meant where a slip of the pen explains it. Rows judged against each other are for `beside_others`.

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use super::bid_terms::ProfitAs;
use super::catalog::Catalog;
use super::labor::{LaborRow, WorkPer};
use super::lexicon::Word;
use super::on_hand::OnHand;
use super::ordinary::{Figure, Limits};
use super::part::Class;
use super::pattern::{Adds, Per};
use super::price_list::{Offer, Pack, PriceList, SoldAs};
use super::row::Desk;
use super::run::{Lie, Run};
use super::supplier::Supplier;
use super::terms::{MEANT_AS_A_FRACTION, Terms};
use super::tool::ToolRow;
use super::words_doubt::Doubt;
use crate::ground::money::round_half_away;
use crate::ground::{Instead, Length, LengthUnit, RowAt};

/// What of a job is judged.
pub(super) struct Judged<'a> {
    pub(super) terms: &'a Terms,
    pub(super) catalog: &'a Catalog,
    pub(super) runs: &'a [Run],
    pub(super) prices: &'a PriceList,
    pub(super) on_hand: &'a [OnHand],
    pub(super) suppliers: &'a [Supplier],
    pub(super) labor: &'a [LaborRow],
    pub(super) tools: &'a [ToolRow],
}

/// How a figure comes to be written wrongly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Slip {
    /// So many times too large.
    Over(u32),
    /// So many times too small.
    Under(u32),
    /// A factor where points are meant: 1.32 for 32.
    Factor,
    /// A hundred and the points: 132 for 32.
    HundredAndPoints,
}

impl Slip {
    /// What was meant by a figure that was written with this slip.
    pub(super) fn mended(self, written: Decimal) -> Option<Decimal> {
        match self {
            Self::Over(times) => written.checked_div(times.into()),
            Self::Under(times) => written.checked_mul(times.into()),
            Self::Factor if written > Decimal::ONE && written < Decimal::TWO => {
                written.checked_sub(Decimal::ONE)?.checked_mul(Decimal::ONE_HUNDRED)
            }
            Self::HundredAndPoints => written.checked_sub(Decimal::ONE_HUNDRED),
            Self::Factor => None,
        }
        .map(|meant| round_half_away(meant, 4).normalize())
        .filter(|meant| *meant > Decimal::ZERO)
    }
}

/// A decimal point in the wrong place.
const POINT: [Slip; 5] =
    [Slip::Over(10), Slip::Over(100), Slip::Over(1000), Slip::Under(10), Slip::Under(100)];
/// Points that were written as a factor, or with a decimal point in the wrong place.
const POINTS: [Slip; 6] = [
    Slip::Factor,
    Slip::HundredAndPoints,
    Slip::Over(10),
    Slip::Over(100),
    Slip::Under(10),
    Slip::Under(100),
];
/// Minutes where hours are meant.
const HOURS: [Slip; 3] = [Slip::Over(60), Slip::Over(10), Slip::Over(100)];
/// Inches where feet are meant.
const FEET: [Slip; 3] = [Slip::Over(12), Slip::Over(10), Slip::Over(100)];

/// A figure in a cell.
struct Seen<'a> {
    figure: Figure,
    at: RowAt,
    heading: &'a str,
    /// What is judged.
    value: Decimal,
    /// What stands in the cell, where it is not that itself.
    cell: Decimal,
    /// The unit that is typed behind it.
    unit: &'a str,
    slips: &'a [Slip],
}

/// Judges all figures of a job.
pub(super) fn figures(judged: &Judged<'_>, limits: &Limits, desk: &mut Desk) {
    of_terms(judged.terms, limits, desk);
    let fittings = counted_fittings(judged.catalog);
    for run in judged.runs.iter().filter(|run| !run.in_error) {
        of_run(run, limits, desk);
        of_counts(run, &fittings, limits, desk);
    }
    for offer in judged.prices.offers.iter().filter(|offer| !offer.in_error) {
        of_offer(offer, limits, desk);
    }
    of_stock(judged, limits, desk);
    for supplier in judged.suppliers.iter().filter(|supplier| !supplier.in_error) {
        let at = supplier.row;
        plain(Figure::DeliveryFee, at, "delivery fee", supplier.delivery_fee, limits, desk);
        plain(Figure::LeastOrder, at, "least order", supplier.least_order, limits, desk);
    }
    judged.labor.iter().for_each(|row| of_labor(row, limits, desk));
    for tool in judged.tools {
        plain(Figure::ToolPrice, tool.row, "price", tool.price, limits, desk);
        plain(Figure::ToolJobs, tool.row, "jobs", tool.jobs, limits, desk);
        plain(Figure::ToolDays, tool.row, "days", tool.days.unwrap_or_default(), limits, desk);
    }
    for row in judged.catalog.patterns.iter().flat_map(|pattern| &pattern.rows) {
        if let Adds::Part(_, quantity) = row.adds {
            plain(Figure::PatternQuantity, row.row, "quantity", quantity, limits, desk);
        }
    }
}

/// A figure as it is written.
fn plain(figure: Figure, at: RowAt, heading: &str, value: Decimal, limits: &Limits, desk: &mut Desk) {
    tell(&Seen { figure, at, heading, value, cell: value, unit: "", slips: &POINT }, limits, desk);
}

/// Tells a figure that is not ordinary; whether it is told. Nothing at all is ordinary.
fn tell(seen: &Seen<'_>, limits: &Limits, desk: &mut Desk) -> bool {
    let Some(limit) = limits.outside(seen.figure, seen.value).filter(|_| !seen.value.is_zero()) else {
        return false;
    };
    let fits = |slip: &&Slip| slip.mended(seen.value).is_some_and(|meant| limit.holds(meant));
    let meant = seen.slips.iter().find(fits).and_then(|slip| slip.mended(seen.cell));
    let meant = meant.filter(|meant| !seen.figure.is_whole() || meant.fract().is_zero());
    let meant = meant.map(|meant| format!("{meant}{}", seen.unit));
    let judged = round_half_away(seen.value, 4).normalize();
    let found = match seen.cell == seen.value {
        true => format!("{judged}{}", seen.unit),
        false => format!("{}, {judged} {}", seen.cell.normalize(), limit.unit),
    };
    let (ordinary, source) = (limit.in_words(), limit.source.to_string());
    // What a person counted goes by the column that it stands in.
    let what = if seen.figure == Figure::CountedFittings { seen.heading } else { seen.figure.name() };
    let doubt = Doubt::NotOrdinary { what, found: &found, ordinary: &ordinary, source: &source, meant };
    desk.doubt(seen.at, seen.heading, doubt);
    true
}

fn of_terms(terms: &Terms, limits: &Limits, desk: &mut Desk) {
    let profit = match terms.bid.profit_as {
        ProfitAs::Markup => Figure::Markup,
        ProfitAs::Margin => Figure::Margin,
    };
    let last = |item: &str| terms.rows_of(item).last().copied();
    let mut points: Vec<(Figure, Decimal, Option<RowAt>)> = vec![
        (Figure::Overhead, terms.overhead, last("overhead")),
        (profit, terms.profit, last("profit")),
        (Figure::Contingency, terms.contingency, last("contingency")),
        (Figure::SmallParts, terms.bid.small_parts, last("small parts")),
        (Figure::Burden, terms.crew.burden, last("burden")),
    ];
    // With rates of classes beside it no one knows which row says the general one.
    if let [row] = terms.rows_of("sales tax")[..] {
        points.push((Figure::SalesTax, terms.sales_tax, Some(row)));
    }
    points.extend(terms.allowances.iter().map(|(_, points, row)| (Figure::Allowance, *points, *row)));
    points.extend(terms.crew.difficulty.iter().map(|said| (Figure::Difficulty, said.value, Some(said.row))));
    // Less than half a point is told already, as a fraction.
    points.retain(|(_, points, _)| *points >= MEANT_AS_A_FRACTION);
    points.push((Figure::Productivity, terms.crew.productivity, last("productivity")));
    for (figure, value, row) in points {
        let Some(at) = row else { continue };
        tell(
            &Seen { figure, at, heading: "value", value, cell: value, unit: "", slips: &POINTS },
            limits,
            desk,
        );
    }
    let mut plainly: Vec<(Figure, Decimal, Option<RowAt>)> = vec![
        (Figure::Delivery, terms.bid.delivery, last("delivery")),
        (Figure::StaticPressure, terms.static_pressure.unwrap_or_default(), last("static pressure")),
        (Figure::HoursADay, terms.crew.hours_a_day, last("hours a day")),
    ];
    plainly.extend(terms.crew.heads.iter().map(|said| (Figure::Crew, said.value, Some(said.row))));
    plainly.extend(terms.crew.rates.iter().map(|said| (Figure::Wages, said.value, Some(said.row))));
    plainly.extend(terms.bid.fees.iter().map(|fee| {
        let item = if fee.marked_up { "marked up fee" } else { "fee" };
        (Figure::Fee, fee.sum, terms.rows_for(item, &fee.name).last().copied())
    }));
    for (figure, value, row) in plainly {
        if let Some(at) = row {
            plain(figure, at, "value", value, limits, desk);
        }
    }
    for kerf in &terms.cutting.kerf {
        let value = kerf.width.in_units(LengthUnit::Inch);
        let seen = Seen {
            figure: Figure::Kerf,
            at: kerf.row,
            heading: "value",
            value,
            cell: value,
            unit: " in",
            slips: &[],
        };
        tell(&seen, limits, desk);
    }
}

fn of_run(run: &Run, limits: &Limits, desk: &mut Desk) {
    let feet = |length: Length| length.abs().in_units(LengthUnit::Foot);
    let figure = match run.lie {
        Lie::Framing => Figure::RunLength,
        Lie::Slab | Lie::Ground => Figure::BuriedLength,
    };
    let lengths = [
        (figure, "length", feet(run.length)),
        (Figure::Tail, "tail", feet(run.tail.unwrap_or_default())),
        (Figure::Rise, "rise", feet(run.rise)),
    ];
    for (figure, heading, value) in lengths {
        let sign = if heading == "rise" && run.rise < Length::ZERO { -Decimal::ONE } else { Decimal::ONE };
        let seen = Seen { figure, at: run.row, heading, value, cell: value, unit: " ft", slips: &FEET };
        // A fall keeps its sign: nothing is said to be meant for it.
        let seen = if sign.is_sign_negative() { Seen { slips: &[], ..seen } } else { seen };
        tell(&seen, limits, desk);
    }
    plain(Figure::Count, run.row, "count", run.copies().into(), limits, desk);
    for (heading, turns) in [("turns", run.turns.unwrap_or(0)), ("offsets", run.offsets)] {
        let per_foot = Decimal::from(turns).checked_div(feet(run.length)).unwrap_or_default();
        if turns > FEW_TURNS {
            let seen = Seen {
                figure: Figure::Turns,
                at: run.row,
                heading,
                value: per_foot,
                cell: turns.into(),
                unit: "",
                slips: if turns % 10 == 0 { &[Slip::Over(10)] } else { &[] },
            };
            tell(&seen, limits, desk);
        }
    }
}

/// The columns that count fittings or caps by rows of patterns.
fn counted_fittings(catalog: &Catalog) -> BTreeSet<Word> {
    let rows = catalog.patterns.iter().flat_map(|pattern| &pattern.rows);
    let columns = rows.filter_map(|row| {
        let (Per::Column(column), Adds::Part(part, _)) = (row.per, &row.adds) else { return None };
        let id = catalog.parts_called_or_used(*part).first()?;
        matches!(catalog.part(*id).class, Class::Fitting | Class::Cap).then_some(column)
    });
    columns.collect()
}

/// What a person counted on a run, set against its length.
fn of_counts(run: &Run, fittings: &BTreeSet<Word>, limits: &Limits, desk: &mut Desk) {
    for (column, number) in run.counts.iter().filter(|(column, _)| fittings.contains(column)) {
        let feet = run.length.abs().in_units(LengthUnit::Foot);
        let per_foot = number.checked_div(feet).unwrap_or_default();
        if *number > FEW_FITTINGS {
            let heading = desk.lexicon.text(*column).to_owned();
            let seen = Seen {
                figure: Figure::CountedFittings,
                at: run.row,
                heading: &heading,
                value: per_foot,
                cell: *number,
                unit: "",
                slips: &[Slip::Over(10), Slip::Over(12)],
            };
            tell(&seen, limits, desk);
        }
    }
}

/// So many fittings of one kind may stand on any length (common practice: a manifold of home runs, a bank of fixtures).
const FEW_FITTINGS: Decimal = Decimal::TEN;

/// So many turns may stand on any length (common practice: around a beam or a duct).
const FEW_TURNS: u32 = 6;

/// What an offer asks for one piece or one foot, before discounts, and whether it is a foot.
pub(super) fn unit_price(offer: &Offer) -> Option<(bool, Decimal)> {
    use super::price_list::PricedPer;
    let feet = |length: Length| length.in_units(LengthUnit::Foot);
    let (is_length, units) = match (offer.per, offer.pack) {
        (PricedPer::Length(length), _) => (true, feet(length)),
        (PricedPer::Each | PricedPer::Pack, Pack::Length(length)) => (true, feet(length)),
        (PricedPer::Each, Pack::Count(_)) => (false, Decimal::ONE),
        (PricedPer::Pack, Pack::Count(pieces)) => (false, pieces.into()),
        (PricedPer::Many(pieces), Pack::Count(_)) => (false, pieces.into()),
        (PricedPer::Each | PricedPer::Pack | PricedPer::Many(_), Pack::Amount(amount)) => (false, amount),
        (PricedPer::Many(_), Pack::Length(_)) => return None,
    };
    Some((is_length, offer.price.checked_div(units)?))
}

fn of_offer(offer: &Offer, limits: &Limits, desk: &mut Desk) {
    let at = offer.row;
    for one in &offer.discount {
        let slips: &[Slip] = if offer.discount.len() == 1 { &POINT } else { &[] };
        let figure = Figure::Discount;
        tell(
            &Seen { figure, at, heading: "discount", value: *one, cell: *one, unit: "", slips },
            limits,
            desk,
        );
    }
    if let Some((is_length, value)) = unit_price(offer) {
        let figure = if is_length { Figure::TubePrice } else { Figure::PartPrice };
        tell(
            &Seen { figure, at, heading: "price", value, cell: offer.price, unit: "", slips: &POINT },
            limits,
            desk,
        );
    }
    let held = match (offer.sold_as, offer.pack) {
        (SoldAs::Coil, Pack::Length(length)) => {
            Some((Figure::Coil, length.in_units(LengthUnit::Foot), " ft"))
        }
        (SoldAs::Stick, Pack::Length(length)) => {
            Some((Figure::Stick, length.in_units(LengthUnit::Foot), " ft"))
        }
        (_, Pack::Count(pieces)) => Some((Figure::Bag, pieces.into(), "")),
        (SoldAs::Bag | SoldAs::Each, Pack::Length(_)) | (_, Pack::Amount(_)) => None,
    };
    if let Some((figure, value, unit)) = held {
        tell(&Seen { figure, at, heading: "pack", value, cell: value, unit, slips: &POINT }, limits, desk);
    }
    for (_, price) in &offer.breaks {
        let Some(value) = price.checked_div(offer.price) else { continue };
        let seen = Seen {
            figure: Figure::BreakPrice,
            at,
            heading: "breaks",
            value,
            cell: value,
            unit: "",
            slips: &[],
        };
        if tell(&seen, limits, desk) {
            break;
        }
    }
}

fn of_stock(judged: &Judged<'_>, limits: &Limits, desk: &mut Desk) {
    for stock in judged.on_hand.iter().filter(|stock| !stock.in_error) {
        let feet =
            stock.length.and_then(|length| stock.quantity.checked_mul(length.in_units(LengthUnit::Foot)));
        let (figure, value) = match feet {
            Some(feet) => (Figure::StockTube, feet),
            None => (Figure::StockPieces, stock.quantity),
        };
        let (at, cell) = (stock.row, stock.quantity);
        tell(&Seen { figure, at, heading: "quantity", value, cell, unit: "", slips: &POINT }, limits, desk);
    }
}

fn of_labor(row: &LaborRow, limits: &Limits, desk: &mut Desk) {
    let figure = match row.per {
        WorkPer::Joint => Figure::JointHours,
        WorkPer::Thread => Figure::ThreadHours,
        WorkPer::Length => Figure::LengthHours,
        WorkPer::Part => Figure::PartHours,
        WorkPer::Support => Figure::SupportHours,
        WorkPer::Run => Figure::RunHours,
        WorkPer::Place => Figure::PlaceHours,
    };
    let Some(value) = hours_of_one(row, desk.bare) else { return };
    let seen =
        Seen { figure, at: row.row, heading: "hours", value, cell: row.hours, unit: "", slips: &HOURS };
    // Hours of a hundred feet without their unit are hours of one.
    let of_hundred = value.checked_div(Decimal::ONE_HUNDRED);
    let unit = desk.sources.cell(row.row, "unit");
    let forgotten = row.per == WorkPer::Length
        && row.for_so_many == Decimal::ONE
        && unit.column > 0
        && limits.outside(figure, value).is_some()
        && of_hundred.is_some_and(|hours| limits.outside(figure, hours).is_none());
    if forgotten {
        let before = desk.notices.len();
        tell(&Seen { slips: &[], ..seen }, limits, desk);
        let text = format!("100 {}", desk.bare.abbreviation());
        for notice in &mut desk.notices[before..] {
            notice.otherwise.push(Instead { spot: unit.clone(), text: text.clone() });
        }
    } else {
        tell(&seen, limits, desk);
    }
}

/// The hours of one piece of work, or of one foot.
pub(super) fn hours_of_one(row: &LaborRow, bare: LengthUnit) -> Option<Decimal> {
    let one = row.hours.checked_div(row.for_so_many)?;
    match row.per {
        WorkPer::Length => {
            let feet = Length::whole(1, bare).in_units(LengthUnit::Foot);
            one.checked_div(feet)
        }
        WorkPer::Joint
        | WorkPer::Thread
        | WorkPer::Part
        | WorkPer::Support
        | WorkPer::Run
        | WorkPer::Place => Some(one),
    }
}
