//! The terms of a job: what the table `job` says, item by item.

use rust_decimal::Decimal;

use super::accepted::Accepted;
use super::bid_terms::BidTerms;
use super::crew::{Crew, SaidFor};
use super::lexicon::{Lexicon, Word};
use super::order_terms::{self, CutTerms, OrderTerms};
use super::part::Class;
use super::row::{Desk, Row, is_beyond, nearest_of, parts, pick};
use super::shape::shape;
use super::system::{TURNS, TurnsAs};
use super::words::Trouble;
use super::words_doubt::Doubt;
use crate::ground::name::fold;
use crate::ground::{Date, Instead, LengthUnit, RowAt};
use crate::table::{Got, TableFile};

mod items;
mod of_bid;

pub use items::ITEMS;
pub(super) use items::taking_for;
use items::{Item, KNOWN, PROFIT_AS};
use of_bid::{sum, take_exempt, take_fee, take_tax};

shape! {
    /// The table `job`.
    JOB = "job", Noticed, Column {
        Item = "item", required, Text, "what is said: name, date, water system, allowance, price list...";
        For = "for", optional, Text, "what it is said for: allowance, for fitting, 5";
        Value = "value", required, Text, "what is said of it";
        Note = "note", optional, Text, "a note";
    }
}

/// What the table `job` says; what it leaves out has the value a first job needs.
#[derive(Debug, Clone)]
pub struct Terms {
    /// The name of the job.
    pub name: Box<str>,
    /// The day prices must be good on; without it validity is not judged.
    pub date: Option<Date>,
    /// The currency, as written before or after sums: `USD`.
    pub currency: Box<str>,
    /// The system of water runs that name none.
    pub water_system: Word,
    /// The system of drain runs that name none.
    pub drain_system: Word,
    /// The systems to compare it with, in the order written.
    pub compare_with: Vec<Word>,
    /// Allowance by class, in points, with the row that says so.
    pub allowances: Vec<(Class, Decimal, Option<RowAt>)>,
    /// Added for what cannot be foreseen, in points of direct cost.
    pub contingency: Decimal,
    /// Overhead in points of direct cost and contingency.
    pub overhead: Decimal,
    /// Profit in points: a markup or a margin, as [`BidTerms::profit_as`] says.
    pub profit: Decimal,
    /// Sales tax in points, on all that has no rate of its own.
    pub sales_tax: Decimal,
    /// What else is said of the bid.
    pub bid: BidTerms,
    /// Turns in systems that bend: nothing where the system decides.
    pub turns_in_plastic: TurnsAs,
    /// Whether tube is bought by color where the system sells it so.
    pub colors: bool,
    /// What a bare length is, and what lengths are shown in.
    pub units: LengthUnit,
    /// Static pressure in psi, if stated.
    pub static_pressure: Option<Decimal>,
    /// Code family, as written.
    pub code_family: Box<str>,
    /// What becomes of the tube allowance beside a cut plan.
    pub tube_allowance: TubeAllowance,
    /// Which fittings are built from others.
    pub substitutes: Substitutes,
    /// Who works and what an hour costs.
    pub crew: Crew,
    /// How tube is cut.
    pub cutting: CutTerms,
    /// What stands on an order.
    pub order: OrderTerms,
    /// Notices that are accepted.
    pub accepted: Vec<Accepted>,
    /// Where each item stands: its first name, what it is said for or else how it is written, its row.
    pub(super) rows: Vec<(&'static str, Box<str>, RowAt)>,
}

/// What becomes of the tube allowance where a cut plan stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TubeAllowance {
    /// The plan replaces it: nothing is added.
    Plan,
    /// A percentage on each piece.
    Piece,
    /// Spare length at the end: a percentage of the sum, cut as one more piece or more.
    End,
}

/// Which fittings are built from others that are sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Substitutes {
    /// Those that nobody sells.
    Needed,
    /// Those too that cost less when they are built.
    Cheaper,
    /// None.
    None,
}

/// What the table `job` says beside the terms: where other tables are, and rows that other tables must judge.
#[derive(Debug, Default)]
pub(super) struct Said {
    /// Price lists and shared tables: the row, the item, the path as written.
    pub(super) price_lists: Vec<(RowAt, Box<str>)>,
    pub(super) tables: Vec<(RowAt, Box<str>)>,
    /// Rows that name systems.
    pub(super) water: Option<RowAt>,
    pub(super) drain: Option<RowAt>,
    pub(super) compare: Option<RowAt>,
    /// The row that says the points of profit.
    pub(super) profit: Option<RowAt>,
    /// Whether all systems that are priced are compared.
    pub(super) compare_priced: bool,
    /// Whether the job says what becomes of the tube allowance.
    pub(super) tube_allowance: bool,
    /// Items that stand there, each once.
    seen: Vec<(Item, Word)>,
}

impl Terms {
    /// The terms of a job that says nothing.
    pub(super) fn unsaid(lexicon: &mut Lexicon) -> Self {
        Self {
            name: Box::default(),
            date: None,
            currency: Box::from("USD"),
            water_system: lexicon.word("pex-clamp"),
            drain_system: Word::EMPTY,
            compare_with: Vec::new(),
            allowances: Class::ALL.map(|class| (class, Decimal::ZERO, None)).into(),
            contingency: Decimal::ZERO,
            overhead: Decimal::ZERO,
            profit: Decimal::ZERO,
            sales_tax: Decimal::ZERO,
            bid: BidTerms::default(),
            turns_in_plastic: TurnsAs::Bend,
            colors: true,
            units: LengthUnit::Foot,
            static_pressure: None,
            code_family: Box::default(),
            tube_allowance: TubeAllowance::Plan,
            substitutes: Substitutes::Needed,
            crew: Crew::default(),
            cutting: CutTerms::default(),
            order: OrderTerms::default(),
            accepted: Vec::new(),
            rows: Vec::new(),
        }
    }

    /// The rows of the table `job` that say an item: `overhead`, `fee`.
    pub fn rows_of(&self, item: &str) -> Vec<RowAt> {
        self.rows.iter().filter(|(one, ..)| *one == item).map(|(.., row)| *row).collect()
    }

    /// The rows that say an item for something: `fee` for `permit`.
    pub fn rows_for(&self, item: &str, what: &str) -> Vec<RowAt> {
        let is_it = |(one, named, _): &&(&str, Box<str>, RowAt)| *one == item && fold(named) == fold(what);
        self.rows.iter().filter(is_it).map(|(.., row)| *row).collect()
    }

    /// The allowance of a class in points, and the row that says so.
    pub fn allowance(&self, class: Class) -> (Decimal, Option<RowAt>) {
        let found = self.allowances.iter().find(|(one, _, _)| *one == class);
        found.map_or((Decimal::ZERO, None), |(_, points, row)| (*points, *row))
    }
}

/// Reads a table `job` into terms.
pub(super) fn read(file: &TableFile, desk: &mut Desk, terms: &mut Terms, said: &mut Said) {
    desk.read(file, &JOB, |row, lexicon| {
        row.needed(Column::Item);
        let text = row.text(Column::Item).to_owned();
        let mut narrowed = row.text(Column::For).to_owned();
        let item = pick(&text, &KNOWN).or_else(|| {
            // "allowance fitting" says in one cell what "allowance" for "fitting" says in two.
            let class = text.to_ascii_lowercase().strip_prefix("allowance ").map(str::to_owned)?;
            narrowed = class;
            Some(Item::Allowance)
        });
        let Some(item) = item else {
            if !text.is_empty() {
                let nearest = nearest_of(&text, ITEMS.iter().map(|(item, _)| *item));
                row.trouble(Column::Item, Trouble::UnknownItem { found: &text, nearest });
            }
            return;
        };
        // A row that accepts nothing is told as such; where all is empty it says nothing.
        if row.is_blank(Column::Value) && (item != Item::Accept || narrowed.is_empty()) {
            value_elsewhere(row, item, &text);
            return;
        }
        if !item.takes_for() && !narrowed.is_empty() {
            row.trouble(Column::For, Trouble::ForUnused { item: &text, found: &narrowed });
        }
        let key = (item, lexicon.word(&narrowed));
        if !item.may_stand_often() {
            if said.seen.contains(&key) {
                let key = format!("{text} {narrowed}");
                row.trouble(Column::Item, Trouble::RowTwice { key: key.trim() });
            }
            said.seen.push(key);
        }
        let named = KNOWN.iter().find(|(one, _)| *one == item);
        let label = if narrowed.is_empty() { &text } else { &narrowed };
        terms.rows.extend(named.map(|(_, name)| (*name, label.as_str().into(), row.at())));
        take(item, &narrowed, row, lexicon, terms, said);
    });
}

/// A row without a value whose value stands beside it: under `for` where nothing is said for anything, or a number
/// where none belongs.
fn value_elsewhere(row: &mut Row<'_, '_>, item: Item, written: &str) {
    let is_number = |text: &str| {
        let bare = text.trim_start_matches('$').trim_end_matches('%').trim();
        Decimal::from_str_exact(bare).is_ok()
    };
    let cells = [
        (Column::For, "for", !item.takes_for() || is_number(row.text(Column::For))),
        (Column::Note, "note", is_number(row.text(Column::Note))),
    ];
    for (column, heading, is_value) in cells {
        let found = row.text(column).to_owned();
        if is_value && !found.is_empty() {
            let gone = Instead { spot: row.spot(column), text: String::new() };
            let doubt = Doubt::ValueElsewhere { item: written, found: &found, heading };
            let notice = doubt.word(vec![row.spot(Column::Value), row.spot(column)]);
            row.notice(notice.or_each([gone]));
            return;
        }
    }
}

/// Takes one item up.
fn take(
    item: Item,
    narrowed: &str,
    row: &mut Row<'_, '_>,
    lexicon: &mut Lexicon,
    terms: &mut Terms,
    said: &mut Said,
) {
    let value: Box<str> = row.text(Column::Value).into();
    match item {
        Item::Name => terms.name = value,
        Item::Date => terms.date = row.date(Column::Value),
        Item::Currency => terms.currency = value,
        Item::WaterSystem => {
            terms.water_system = lexicon.word(&value);
            said.water = Some(row.at());
        }
        Item::DrainSystem => {
            terms.drain_system = lexicon.word(&value);
            said.drain = Some(row.at());
        }
        Item::CompareWith => {
            terms.compare_with.clear();
            let (none, priced) = (lexicon.word("none"), lexicon.word("priced"));
            for word in row.words(Column::Value, lexicon) {
                said.compare_priced |= word == priced;
                if word != none && word != priced && !terms.compare_with.contains(&word) {
                    terms.compare_with.push(word);
                }
            }
            said.compare = Some(row.at());
        }
        Item::Allowance => take_allowance(narrowed, row, terms),
        Item::Contingency => terms.contingency = points(row, "contingency"),
        Item::Overhead => terms.overhead = points(row, "overhead"),
        Item::Profit => {
            terms.profit = points(row, "profit");
            said.profit = Some(row.at());
            // "margin 20" says in one row what "profit 20" and "profit as margin" say in two.
            terms.bid.profit_as = pick(row.text(Column::Item), &PROFIT_AS).unwrap_or(terms.bid.profit_as);
        }
        Item::ProfitAs => match pick(&value, &PROFIT_AS) {
            Some(profit_as) => terms.bid.profit_as = profit_as,
            None => wrong(row, "profit as", "markup or margin"),
        },
        Item::SalesTax => take_tax(narrowed, row, terms),
        Item::TaxExempt => take_exempt(narrowed, row, lexicon, terms),
        Item::SmallParts => terms.bid.small_parts = points(row, "small parts"),
        Item::Delivery => terms.bid.delivery = sum(row, "delivery"),
        Item::Fee => take_fee(narrowed, row, terms, false),
        Item::MarkedUpFee => take_fee(narrowed, row, terms, true),
        Item::GoodUntil => terms.bid.good_until = row.date(Column::Value).map(|day| (day, row.at())),
        Item::NotIncluded => terms.bid.not_included.extend(parts(&value).map(Box::from)),
        Item::StaticPressure => {
            let number = fold(&value);
            let number = number.strip_suffix("psi").unwrap_or(&number).trim();
            let above = |psi: &Decimal| *psi > Decimal::ZERO && !is_beyond(*psi);
            terms.static_pressure = Decimal::from_str_exact(number).ok().filter(above);
            if terms.static_pressure.is_none() {
                wrong(row, "static pressure", "a pressure in psi above zero");
            }
        }
        Item::CodeFamily => terms.code_family = value,
        Item::TurnsInPlastic => match pick(&value, &TURNS) {
            Some(turns) => terms.turns_in_plastic = turns,
            None => wrong(row, "turns in plastic", "bend or elbow"),
        },
        Item::Colors => terms.colors = row.yes_no(Column::Value).unwrap_or(true),
        Item::Units => match LengthUnit::from_word(&value) {
            Some(unit @ (LengthUnit::Foot | LengthUnit::Metre)) => terms.units = unit,
            Some(_) | None => wrong(row, "units", "ft or m"),
        },
        Item::PriceList => said.price_lists.extend(parts(&value).map(|path| (row.at(), path.into()))),
        Item::Tables => said.tables.extend(parts(&value).map(|path| (row.at(), path.into()))),
        Item::Substitutes => {
            let known = [
                (Substitutes::Needed, "needed"),
                (Substitutes::Cheaper, "cheaper"),
                (Substitutes::None, "none"),
            ];
            match pick(&value, &known) {
                Some(substitutes) => terms.substitutes = substitutes,
                None => wrong(row, "substitutes", "needed, cheaper or none"),
            }
        }
        Item::Kerf => order_terms::kerf(narrowed, row, lexicon, &mut terms.cutting),
        Item::ShortestJoined => {
            let length = order_terms::above_zero("shortest joined piece", row);
            terms.cutting.shortest_joined = length.unwrap_or_default();
        }
        Item::KeepFrom => terms.cutting.keep_from = order_terms::above_zero("keep offcuts from", row),
        Item::Reference => terms.order.reference = value,
        Item::ShipTo => terms.order.ship_to = value,
        Item::Needed => order_terms::needed(narrowed, row, &mut terms.order),
        Item::Accept => {
            terms.accepted.push(Accepted { kind: narrowed.into(), what: value, row: row.at() });
        }
        Item::TubeAllowance => {
            said.tube_allowance = true;
            let known =
                [(TubeAllowance::Plan, "plan"), (TubeAllowance::Piece, "piece"), (TubeAllowance::End, "end")];
            match pick(&value, &known) {
                Some(allowance) => terms.tube_allowance = allowance,
                None => wrong(row, "tube allowance", "plan, piece or end"),
            }
        }
        Item::Crew => {
            let heads = above_zero(row, "crew", "how many work: a number above zero");
            said_for(&mut terms.crew.heads, lexicon.word(narrowed), heads, row.at());
        }
        Item::Rate => {
            let rate = above_zero(row, "rate", "wages an hour above zero");
            said_for(&mut terms.crew.rates, lexicon.word(narrowed), rate, row.at());
        }
        Item::Burden => terms.crew.burden = points(row, "burden"),
        Item::Productivity => match row.percent(Column::Value) {
            Some(points) if points >= LEAST_PRODUCTIVITY && points <= Decimal::ONE_THOUSAND => {
                terms.crew.productivity = points;
            }
            Some(_) => wrong(row, "productivity", "points from 0.1 to 1000"),
            None => {}
        },
        Item::Difficulty => {
            let points = points(row, "difficulty");
            said_for(&mut terms.crew.difficulty, lexicon.word(narrowed), Some(points), row.at());
        }
        Item::HoursADay => {
            let hours = above_zero(row, "hours a day", "a number of hours above zero");
            terms.crew.hours_a_day = hours.unwrap_or(terms.crew.hours_a_day);
        }
    }
}

fn take_allowance(narrowed: &str, row: &mut Row<'_, '_>, terms: &mut Terms) {
    let known = Class::ALL.map(|class| (class, class.word()));
    // "allowance for fittings" is as good as "allowance for fitting".
    let class = pick(narrowed, &known).or_else(|| pick(narrowed.trim_end_matches('s'), &known));
    let Some(class) = class else {
        let words = known.map(|(_, word)| word);
        row.trouble(Column::For, Trouble::UnknownWord { heading: "for", found: narrowed, known: &words });
        return;
    };
    let points = points(row, "allowance");
    for (one, old, from) in &mut terms.allowances {
        if *one == class {
            (*old, *from) = (points, Some(row.at()));
        }
    }
}

/// Takes up what is said of one person or one area. Of two rows for one the last counts.
fn said_for(list: &mut Vec<SaidFor>, who: Word, value: Option<Decimal>, row: RowAt) {
    let Some(value) = value else { return };
    list.retain(|said| said.who != who);
    list.push(SaidFor { who, value, row });
}

/// A number above zero; nothing where it is not, with its notice.
fn above_zero(row: &mut Row<'_, '_>, item: &str, expected: &str) -> Option<Decimal> {
    match row.number(Column::Value) {
        Got::Value(number) if number > Decimal::ZERO => Some(number),
        Got::Value(_) | Got::Empty => {
            wrong(row, item, expected);
            None
        }
        Got::Misread => None,
    }
}

fn wrong(row: &mut Row<'_, '_>, item: &str, expected: &str) {
    let found = row.text(Column::Value).to_owned();
    row.trouble(Column::Value, Trouble::WrongValue { item, found: &found, expected });
}

/// Points from 0 to 1000.
fn points(row: &mut Row<'_, '_>, item: &str) -> Decimal {
    let points = row.percent(Column::Value).unwrap_or_default();
    if points < Decimal::ZERO || points > Decimal::ONE_THOUSAND {
        wrong(row, item, "points from 0 to 1000");
        return Decimal::ZERO;
    }
    part_of_a_point(row, item, points);
    points
}

/// 0.07 is more often seven in a hundred than seven in ten thousand: it is read as written, and said so. A workbook's
/// fraction and a cell with its own `%` are read as what they show.
fn part_of_a_point(row: &mut Row<'_, '_>, item: &str, points: Decimal) {
    let found = row.text(Column::Value).to_owned();
    let is_plain = Decimal::from_str_exact(&found).is_ok_and(|written| written == points);
    if is_plain && points > Decimal::ZERO && points < MEANT_AS_A_FRACTION {
        let meant = (points * Decimal::ONE_HUNDRED).normalize().to_string();
        row.trouble(Column::Value, Trouble::PartOfAPoint { item, found: &found, points: &meant });
    }
}

/// Below, an hour would take a thousand.
const LEAST_PRODUCTIVITY: Decimal = Decimal::from_parts(1, 0, 0, false, 1);

/// Points below this are doubtful: half a point of contingency is said now and then, less is not.
pub(super) const MEANT_AS_A_FRACTION: Decimal = Decimal::from_parts(5, 0, 0, false, 1);
