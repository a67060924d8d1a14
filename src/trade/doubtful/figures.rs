//! The figures of a job judged against what is ordinary: each that lies outside the limits is told, with what was
//! probably meant where a slip of the pen explains it. Rows judged against each other are for `beside_others`.

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use super::Judged;
use super::ordinary::{Figure, Limits};
use crate::ground::money::round_half_away;
use crate::ground::notice::{Finding, warning};
use crate::ground::{Instead, Length, LengthUnit, RowAt};
use crate::trade::catalog::Catalog;
use crate::trade::catalog::part::Class;
use crate::trade::catalog::pattern::{Adds, Per};
use crate::trade::labor::{LaborRow, WorkPer};
use crate::trade::lexicon::Word;
use crate::trade::pack::{Pack, PricedPer, SoldAs};
use crate::trade::price_list::Offer;
use crate::trade::reading::{MEANT_AS_A_FRACTION, Reading};
use crate::trade::run::{Lie, Run};
use crate::trade::settings::{ProfitAs, Settings, SumAs};

/// How a figure comes to be written wrongly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Slip {
    /// So many times too large.
    Over(u32),
    /// So many times too small.
    Under(u32),
    /// A factor where a percentage is meant: 1.32 for 32.
    Factor,
    /// A hundred and the percentage: 132 for 32.
    HundredAndMore,
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
            Self::HundredAndMore => written.checked_sub(Decimal::ONE_HUNDRED),
            Self::Factor => None,
        }
        .map(|meant| round_half_away(meant, 4).normalize())
        .filter(|meant| *meant > Decimal::ZERO)
    }
}

/// A decimal point in the wrong place.
const POINT: [Slip; 5] =
    [Slip::Over(10), Slip::Over(100), Slip::Over(1000), Slip::Under(10), Slip::Under(100)];
/// A percentage that was written as a factor, or with a decimal point in the wrong place.
const PERCENT: [Slip; 6] =
    [Slip::Factor, Slip::HundredAndMore, Slip::Over(10), Slip::Over(100), Slip::Under(10), Slip::Under(100)];
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

impl<'a> Seen<'a> {
    /// A figure as it is written, in which a decimal point may be misplaced.
    const fn of(figure: Figure, at: RowAt, heading: &'a str, value: Decimal) -> Self {
        Self { figure, at, heading, value, cell: value, unit: "", slips: &POINT }
    }

    /// The same, where another number stands in the cell.
    const fn cell(self, cell: Decimal) -> Self {
        Self { cell, ..self }
    }

    /// The same, typed with a unit.
    const fn unit(self, unit: &'a str) -> Self {
        Self { unit, ..self }
    }

    /// The same, written with other slips.
    const fn slips(self, slips: &'a [Slip]) -> Self {
        Self { slips, ..self }
    }
}

/// Judges all figures of a job.
pub(super) fn figures(judged: &Judged<'_>, limits: &Limits, reading: &mut Reading) {
    let mut look = Look { limits, reading };
    look.settings(judged.settings);
    let fittings = counted_fittings(judged.catalog);
    for run in judged.runs.iter().filter(|run| !run.in_error) {
        look.run(run);
        look.counts(run, &fittings);
    }
    for offer in judged.prices.offers.iter().filter(|offer| !offer.in_error) {
        look.offer(offer);
    }
    look.stock(judged);
    for supplier in judged.suppliers.iter().filter(|supplier| !supplier.in_error) {
        look.at(Seen::of(Figure::DeliveryFee, supplier.row, "delivery fee", supplier.delivery_fee));
        look.at(Seen::of(Figure::MinimumOrder, supplier.row, "minimum order", supplier.minimum_order));
    }
    judged.labor.iter().for_each(|row| look.labor(row));
    for tool in judged.tools {
        look.at(Seen::of(Figure::ToolPrice, tool.row, "price", tool.price));
        look.at(Seen::of(Figure::ToolJobs, tool.row, "jobs", tool.jobs));
        look.at(Seen::of(Figure::ToolDays, tool.row, "days", tool.days.unwrap_or_default()));
    }
    for row in judged.catalog.patterns.iter().flat_map(|pattern| &pattern.rows) {
        if let Adds::Part(_, quantity) = row.adds {
            look.at(Seen::of(Figure::PatternQuantity, row.row, "quantity", quantity));
        }
    }
}

/// What figures are set against, and where doubts are told.
struct Look<'a> {
    limits: &'a Limits,
    reading: &'a mut Reading,
}

impl Look<'_> {
    /// Tells a figure that is not ordinary; whether it is told. Nothing at all is ordinary.
    fn at(&mut self, seen: Seen<'_>) -> bool {
        let Some(limit) = self.limits.outside(seen.figure, seen.value).filter(|_| !seen.value.is_zero())
        else {
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
        let ordinary = match &*limit.source {
            "" => format!("{}, as the table ordinary has it", limit.in_words()),
            source => format!("{} ({source})", limit.in_words()),
        };
        // What a person counted goes by the column that it stands in.
        let what = if seen.figure == Figure::CountedFittings { seen.heading } else { seen.figure.word() };
        self.reading.trouble(seen.at, seen.heading, out_of_the_ordinary(what, &found, ordinary, meant));
        true
    }

    fn settings(&mut self, settings: &Settings) {
        let profit = match settings.bid.profit_as {
            ProfitAs::Markup => Figure::Markup,
            ProfitAs::Margin => Figure::Margin,
        };
        let last = |item: &str| settings.rows_of(item).last().copied();
        let mut percentages: Vec<(Figure, Decimal, Option<RowAt>)> = vec![
            (Figure::Overhead, settings.overhead, last("overhead")),
            (profit, settings.profit, last("profit")),
            (Figure::Contingency, settings.contingency, last("contingency")),
            (Figure::SmallParts, settings.bid.small_parts, last("small parts")),
            (Figure::Burden, settings.crew.burden, last("burden")),
        ];
        // With rates of classes beside it no one knows which row says the general one.
        if let [row] = settings.rows_of("sales tax")[..] {
            percentages.push((Figure::SalesTax, settings.sales_tax, Some(row)));
        }
        let allowances = settings.allowances.iter();
        percentages.extend(allowances.map(|(_, percent, row)| (Figure::Allowance, *percent, *row)));
        let areas = settings.crew.difficulty.iter();
        percentages.extend(areas.map(|said| (Figure::Difficulty, said.value, Some(said.row))));
        // Less than half a percent is told already, as a fraction.
        percentages.retain(|(_, percent, _)| *percent >= MEANT_AS_A_FRACTION);
        percentages.push((Figure::Productivity, settings.crew.productivity, last("productivity")));
        for (figure, value, row) in percentages {
            let Some(at) = row else { continue };
            self.at(Seen::of(figure, at, "value", value).slips(&PERCENT));
        }
        let mut plainly: Vec<(Figure, Decimal, Option<RowAt>)> = vec![
            (Figure::Delivery, settings.bid.delivery, last("delivery")),
            (Figure::StaticPressure, settings.static_pressure.unwrap_or_default(), last("static pressure")),
            (Figure::HoursADay, settings.crew.hours_a_day, last("hours a day")),
        ];
        plainly.extend(settings.crew.heads.iter().map(|said| (Figure::Crew, said.value, Some(said.row))));
        plainly.extend(settings.crew.rates.iter().map(|said| (Figure::Wages, said.value, Some(said.row))));
        plainly.extend(settings.bid.sums.iter().map(|of| {
            let figure = if of.is == SumAs::LumpSumLabor { Figure::LumpSumLabor } else { Figure::Fee };
            (figure, of.sum, settings.rows_for(of.is.item(), &of.name).last().copied())
        }));
        for (figure, value, row) in plainly {
            let Some(at) = row else { continue };
            self.at(Seen::of(figure, at, "value", value));
        }
        for kerf in &settings.cutting.kerf {
            let width = kerf.width.in_units(LengthUnit::Inch);
            self.at(Seen::of(Figure::Kerf, kerf.row, "value", width).unit(" in").slips(&[]));
        }
    }

    fn run(&mut self, run: &Run) {
        let feet = |length: Length| length.abs().in_units(LengthUnit::Foot);
        let figure = match run.lie {
            Lie::Framing => Figure::RunLength,
            Lie::Slab | Lie::Ground => Figure::BuriedLength,
        };
        let (length, tail) = (feet(run.length), feet(run.tail.unwrap_or_default()));
        // A fall keeps its sign: nothing is said to be meant for it.
        let of_rise: &[Slip] = if run.rise < Length::ZERO { &[] } else { &FEET };
        self.at(Seen::of(figure, run.row, "length", length).unit(" ft").slips(&FEET));
        self.at(Seen::of(Figure::Tail, run.row, "tail", tail).unit(" ft").slips(&FEET));
        self.at(Seen::of(Figure::Rise, run.row, "rise", feet(run.rise)).unit(" ft").slips(of_rise));
        self.at(Seen::of(Figure::Count, run.row, "count", run.copies().into()));
        for (heading, turns) in [("turns", run.turns.unwrap_or(0)), ("offsets", run.offsets)] {
            let per_foot = Decimal::from(turns).checked_div(length).unwrap_or_default();
            let slips: &[Slip] = if turns % 10 == 0 { &[Slip::Over(10)] } else { &[] };
            if turns > FEW_TURNS {
                self.at(Seen::of(Figure::Turns, run.row, heading, per_foot).cell(turns.into()).slips(slips));
            }
        }
    }

    /// What a person counted on a run, set against its length.
    fn counts(&mut self, run: &Run, fittings: &BTreeSet<Word>) {
        let counts = run.counts.iter().filter(|(column, _)| fittings.contains(column));
        for (column, number) in counts.filter(|(_, number)| *number > FEW_FITTINGS) {
            let feet = run.length.abs().in_units(LengthUnit::Foot);
            let per_foot = number.checked_div(feet).unwrap_or_default();
            let heading = self.reading.text(*column);
            let seen = Seen::of(Figure::CountedFittings, run.row, &heading, per_foot).cell(*number);
            self.at(seen.slips(&[Slip::Over(10), Slip::Over(12)]));
        }
    }

    fn offer(&mut self, offer: &Offer) {
        let at = offer.row;
        for one in &offer.discount {
            let slips: &[Slip] = if offer.discount.len() == 1 { &POINT } else { &[] };
            self.at(Seen::of(Figure::Discount, at, "discount", *one).slips(slips));
        }
        if let Some((is_length, value)) = unit_price(offer) {
            let figure = if is_length { Figure::TubePrice } else { Figure::PartPrice };
            self.at(Seen::of(figure, at, "price", value).cell(offer.price));
        }
        let feet = |length: Length| length.in_units(LengthUnit::Foot);
        let held = match (offer.sold_as, offer.pack) {
            (SoldAs::Coil, Pack::Length(length)) => Some((Figure::Coil, feet(length), " ft")),
            (SoldAs::Stick, Pack::Length(length)) => Some((Figure::Stick, feet(length), " ft")),
            (_, Pack::Count(pieces)) => Some((Figure::Bag, pieces.into(), "")),
            (SoldAs::Bag | SoldAs::Each, Pack::Length(_)) | (_, Pack::Amount(_)) => None,
        };
        if let Some((figure, value, unit)) = held {
            self.at(Seen::of(figure, at, "pack", value).unit(unit));
        }
        for (_, price) in &offer.breaks {
            let Some(value) = price.checked_div(offer.price) else { continue };
            if self.at(Seen::of(Figure::BreakPrice, at, "breaks", value).slips(&[])) {
                break;
            }
        }
    }

    fn stock(&mut self, judged: &Judged<'_>) {
        for stock in judged.on_hand.iter().filter(|stock| !stock.in_error) {
            let length = stock.length.map(|length| length.in_units(LengthUnit::Foot));
            let (figure, value) = match length.and_then(|feet| stock.quantity.checked_mul(feet)) {
                Some(feet) => (Figure::StockTube, feet),
                None => (Figure::StockPieces, stock.quantity),
            };
            self.at(Seen::of(figure, stock.row, "quantity", value).cell(stock.quantity));
        }
    }

    fn labor(&mut self, row: &LaborRow) {
        let figure = match row.per {
            WorkPer::Joint => Figure::JointHours,
            WorkPer::Thread => Figure::ThreadHours,
            WorkPer::Length => Figure::LengthHours,
            WorkPer::Part => Figure::PartHours,
            WorkPer::Support => Figure::SupportHours,
            WorkPer::Run => Figure::RunHours,
            WorkPer::Place => Figure::PlaceHours,
            WorkPer::Job => Figure::JobHours,
        };
        let Some(value) = hours_of_one(row, self.reading.bare) else { return };
        let seen = Seen::of(figure, row.row, "hours", value).cell(row.hours).slips(&HOURS);
        // Hours of a hundred feet without their unit are hours of one.
        let of_hundred = value.checked_div(Decimal::ONE_HUNDRED);
        let unit = self.reading.sources.cell(row.row, "unit");
        let forgotten = row.per == WorkPer::Length
            && row.for_so_many == Decimal::ONE
            && unit.column > 0
            && self.limits.outside(figure, value).is_some()
            && of_hundred.is_some_and(|hours| self.limits.outside(figure, hours).is_none());
        if !forgotten {
            self.at(seen);
            return;
        }
        let before = self.reading.notices.len();
        self.at(seen.slips(&[]));
        let text = format!("100 {}", self.reading.bare.abbreviation());
        for notice in &mut self.reading.notices[before..] {
            notice.otherwise.push(Instead { spot: unit.clone(), text: text.clone() });
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

/// So many fittings of one kind may stand on any length (common practice: a manifold of home runs, a bank of fixtures).
const FEW_FITTINGS: Decimal = Decimal::TEN;

/// So many turns may stand on any length (common practice: around a beam or a duct).
const FEW_TURNS: u32 = 6;

/// What an offer asks for one piece or one foot, before discounts, and whether it is a foot.
pub(super) fn unit_price(offer: &Offer) -> Option<(bool, Decimal)> {
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

/// The hours of one piece of work, or of one foot.
pub(super) fn hours_of_one(row: &LaborRow, bare: LengthUnit) -> Option<Decimal> {
    let one = row.hours.checked_div(row.for_so_many)?;
    if row.per != WorkPer::Length {
        return Some(one);
    }
    one.checked_div(Length::whole(1, bare).in_units(LengthUnit::Foot))
}

/// A figure outside its limits, and what was probably meant.
fn out_of_the_ordinary(what: &str, found: &str, ordinary: String, meant: Option<String>) -> Finding {
    let finding =
        |remedy: String| warning("out-of-the-ordinary", format!("{what} is {found}"), ordinary, remedy);
    match meant {
        Some(meant) => finding(format!("type {meant} if that is meant, or leave it")).meaning(meant),
        None => finding("look at it once more, or leave it".to_owned()),
    }
}
