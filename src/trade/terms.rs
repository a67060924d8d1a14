//! The terms of a job: what the table `job` says, item by item.

use rust_decimal::Decimal;

use super::crew::{Crew, SaidFor};
use super::lexicon::{Lexicon, Word};
use super::part::Class;
use super::row::{Desk, Row, nearest_of, parts, pick};
use super::shape::shape;
use super::system::{TURNS, TurnsAs};
use super::words::Trouble;
use crate::ground::name::fold;
use crate::ground::{Date, LengthUnit, RowAt};
use crate::table::{Got, TableFile};

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
    /// Added for what cannot be foreseen, in points of material.
    pub contingency: Decimal,
    /// Overhead in points.
    pub overhead: Decimal,
    /// Profit as a markup, in points.
    pub profit: Decimal,
    /// Sales tax in points of material.
    pub sales_tax: Decimal,
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

/// What the table `job` can say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum Item {
    Name,
    Date,
    Currency,
    WaterSystem,
    DrainSystem,
    CompareWith,
    Allowance,
    Contingency,
    Overhead,
    Profit,
    SalesTax,
    StaticPressure,
    CodeFamily,
    TurnsInPlastic,
    Colors,
    Units,
    PriceList,
    Tables,
    TubeAllowance,
    Substitutes,
    Crew,
    Rate,
    Burden,
    Productivity,
    Difficulty,
    HoursADay,
}

/// The items of the table `job`, each with its help and what it is where it is left out.
pub const ITEMS: [(&str, &str); 26] = [
    ("name", "the name of the job; left out: nothing"),
    ("date", "the day prices must be good on, as 2026-03-01; left out: validity is not judged"),
    ("currency", "shown beside sums; left out: USD"),
    ("water system", "the system of water runs that name none; left out: pex-clamp"),
    ("drain system", "the system of drain runs that name none; left out: none"),
    (
        "compare with",
        "systems to compare it with, parted by semicolons; none: compare with nothing; left out: of pex-clamp and copper-solder the other, for any other system none",
    ),
    (
        "allowance",
        "points added to what is counted of a class, named in for; left out: 0. Beside a cut plan the allowance of \
         tube is what `tube allowance` says",
    ),
    ("contingency", "points of material for what cannot be foreseen; left out: 0"),
    ("overhead", "points for overhead; left out: 0"),
    ("profit", "points of markup; left out: 0"),
    ("sales tax", "points of material; left out: 0"),
    ("static pressure", "static pressure in psi; left out: not stated"),
    ("code family", "the code that the authority goes by; left out: not stated"),
    ("turns in plastic", "bend or elbow, in tube that bends; left out: bend"),
    ("colors", "yes to buy tube red for hot and blue for cold where it is sold so; left out: yes"),
    ("units", "ft or m: what a bare length is, and what lengths are shown in; left out: ft"),
    (
        "price list",
        "a file or folder of price lists, from the folder of the job; several rows, or parted by semicolons",
    ),
    (
        "tables",
        "a folder of tables shared by jobs, from the folder of the job; several rows, or parted by semicolons",
    ),
    (
        "substitutes",
        "which fittings are built from others: needed (those nobody sells), cheaper (those too that cost less built), \
         none; left out: needed",
    ),
    ("tube allowance", "what becomes of it beside a cut plan: plan, piece or end; left out: plan"),
    (
        "crew",
        "how many work, of each kind named in for; left out: one person, or one of each that has a rate",
    ),
    ("rate", "wages an hour, of the kind named in for; left out: labor is counted in hours and not priced"),
    ("burden", "points on wages for taxes, insurance and the like; left out: 0"),
    ("productivity", "points: at 80 an hour of the table labor takes 1.25; left out: 100"),
    ("difficulty", "points added to the hours in the area named in for; left out: 0"),
    ("hours a day", "hours that the crew works in a day; left out: 8"),
];

const KNOWN: [(Item, &str); 31] = [
    (Item::Name, "name"),
    (Item::Date, "date"),
    (Item::Currency, "currency"),
    (Item::WaterSystem, "water system"),
    (Item::DrainSystem, "drain system"),
    (Item::CompareWith, "compare with"),
    (Item::Allowance, "allowance"),
    (Item::Contingency, "contingency"),
    (Item::Overhead, "overhead"),
    (Item::Profit, "profit"),
    (Item::Profit, "markup"),
    (Item::SalesTax, "sales tax"),
    (Item::SalesTax, "tax"),
    (Item::StaticPressure, "static pressure"),
    (Item::CodeFamily, "code family"),
    (Item::TurnsInPlastic, "turns in plastic"),
    (Item::Colors, "colors"),
    (Item::Units, "units"),
    (Item::PriceList, "price list"),
    (Item::PriceList, "price lists"),
    (Item::Tables, "tables"),
    (Item::TubeAllowance, "tube allowance"),
    (Item::Substitutes, "substitutes"),
    (Item::Crew, "crew"),
    (Item::Rate, "rate"),
    (Item::Rate, "rate per hour"),
    (Item::Rate, "wages"),
    (Item::Burden, "burden"),
    (Item::Productivity, "productivity"),
    (Item::Difficulty, "difficulty"),
    (Item::HoursADay, "hours a day"),
];

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
            turns_in_plastic: TurnsAs::Bend,
            colors: true,
            units: LengthUnit::Foot,
            static_pressure: None,
            code_family: Box::default(),
            tube_allowance: TubeAllowance::Plan,
            substitutes: Substitutes::Needed,
            crew: Crew::default(),
        }
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
        if row.text(Column::Value).is_empty() {
            return;
        }
        let for_each = matches!(item, Item::Allowance | Item::Crew | Item::Rate | Item::Difficulty);
        if !for_each && !narrowed.is_empty() {
            row.trouble(Column::For, Trouble::ForUnused { item: &text, found: &narrowed });
        }
        let key = (item, lexicon.word(&narrowed));
        if !matches!(item, Item::PriceList | Item::Tables) {
            if said.seen.contains(&key) {
                let key = format!("{text} {narrowed}");
                row.trouble(Column::Item, Trouble::RowTwice { key: key.trim() });
            }
            said.seen.push(key);
        }
        take(item, &narrowed, row, lexicon, terms, said);
    });
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
            let none = lexicon.word("none");
            for word in row.words(Column::Value, lexicon) {
                if word != none && !terms.compare_with.contains(&word) {
                    terms.compare_with.push(word);
                }
            }
            said.compare = Some(row.at());
        }
        Item::Allowance => take_allowance(narrowed, row, terms),
        Item::Contingency => terms.contingency = points(row, "contingency"),
        Item::Overhead => terms.overhead = points(row, "overhead"),
        Item::Profit => terms.profit = points(row, "profit"),
        Item::SalesTax => terms.sales_tax = points(row, "sales tax"),
        Item::StaticPressure => {
            let number = fold(&value);
            let number = number.strip_suffix("psi").unwrap_or(&number).trim();
            terms.static_pressure = Decimal::from_str_exact(number).ok().filter(|psi| *psi > Decimal::ZERO);
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
        Item::TubeAllowance => {
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
            Some(points) if points > Decimal::ZERO && points <= Decimal::ONE_THOUSAND => {
                terms.crew.productivity = points;
            }
            Some(_) => wrong(row, "productivity", "points above 0 and up to 1000"),
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
    points
}
