//! The settings of a job: what the table `job` says. Its items are one list, an entry each, with their names, their help, how
//! they are read and how two jobs are compared by them: a new item is an entry here, and its field. `read` goes through the
//! table; what is said of the bid, of the crew and of cutting and ordering has a file each.

use std::collections::HashSet;

use rust_decimal::Decimal;

use super::catalog::part::Class;
use super::catalog::system::TurnsAs;
use super::lexicon::{Lexicon, Word};
use super::reading::{is_beyond, parts};
use super::shape::{Words, pick, shape, words};
use crate::ground::name::fold;
use crate::ground::{Date, Length, LengthUnit, RowAt};
use crate::table::Got;

mod bid;
mod crew;
mod drains;
mod item;
mod orders;
mod parties;
mod read;

pub use bid::{BidSettings, ProfitAs, StatedSum, SumAs, Taxed};
pub use crew::{Crew, SaidFor};
pub use drains::SlopeFor;
pub use item::Item;
use item::ItemRow;
pub use orders::{CutSettings, Kerf, OrderSettings};
pub use parties::{BidPaper, Customer, Firm, OrderNumber, OrderPaper, Parties};
pub(super) use read::read;

shape! {
    /// The table `job`.
    JOB = "job", Noticed, Column {
        Item = "item", required, Text, "what it sets: name, date, water system, allowance, price list...";
        For = "for", optional, Text, "what it is for: allowance, for fitting, 5";
        Value = "value", required, Text, "the value";
        Note = "note", optional, Text, "a note";
    }
}

words! {
    /// What becomes of the tube allowance where a cut plan stands.
    #[derive(Default)]
    pub enum TubeAllowance {
        /// The plan replaces it: nothing is added.
        #[default]
        Plan = "plan",
        /// A percentage on each piece.
        Piece = "piece",
        /// Spare length at the end: a percentage of the sum, cut as one more piece or more.
        End = "end",
    }
}

words! {
    /// Which fittings are built from others that are sold.
    #[derive(Default)]
    pub enum Substitutes {
        /// Those that nobody sells.
        #[default]
        Needed = "needed",
        /// Those too that cost less when they are built.
        Cheaper = "cheaper",
        /// None.
        None = "none",
    }
}

/// A row that accepts one notice. Which notice it is, is found where all of them are known, in the estimate.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Accepted {
    /// The kind of the notice, as written.
    pub kind: Box<str>,
    /// Its cell, or the name it speaks of, as written.
    pub what: Box<str>,
    /// The row that says so.
    pub row: RowAt,
}

/// What the table `job` says beside the settings: where other tables are, and rows that other tables must judge.
#[derive(Debug, Default)]
pub(super) struct Said {
    /// Price lists and shared tables: the row, the item, the path as written.
    pub(super) price_lists: Vec<(RowAt, Box<str>)>,
    pub(super) tables: Vec<(RowAt, Box<str>)>,
    /// Rows that name systems.
    pub(super) water: Option<RowAt>,
    pub(super) drain: Option<RowAt>,
    pub(super) compare: Option<RowAt>,
    /// The row that says the profit.
    pub(super) profit: Option<RowAt>,
    /// Whether all systems that are priced are compared.
    pub(super) compare_priced: bool,
    /// Whether the job says what becomes of the tube allowance.
    pub(super) tube_allowance: bool,
    /// Items that stand there, each once.
    seen: HashSet<(&'static str, Word)>,
}

/// What the table `job` says; what it leaves out has the value a first job needs.
#[derive(Debug, Clone, Default)]
pub struct Settings {
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
    /// The drain systems to compare it with, in the order written.
    pub compare_drains: Vec<Word>,
    /// Allowance by class, in percent, with the row that says so.
    pub allowances: Vec<(Class, Decimal, Option<RowAt>)>,
    /// By class, how much of a part must be needed for its allowance to be added; classes that are not named: any.
    pub no_allowance_under: Vec<(Class, Decimal)>,
    /// Added for what cannot be foreseen, in percent of direct cost.
    pub contingency: Decimal,
    /// Overhead in percent of direct cost and contingency.
    pub overhead: Decimal,
    /// Profit in percent: a markup or a margin, as [`BidSettings::profit_as`] says.
    pub profit: Decimal,
    /// Sales tax in percent, on all that has no rate of its own.
    pub sales_tax: Decimal,
    /// What else is said of the bid.
    pub bid: BidSettings,
    /// Turns in systems that bend: nothing where the system decides.
    pub turns_in_plastic: TurnsAs,
    /// Whether tube is bought by color where the system sells it so.
    pub colors: bool,
    /// What a bare length is, and what lengths are shown in.
    pub units: LengthUnit,
    /// The fall of drains that name none, with the size it is for and whether larger ones are meant too; none: of all.
    pub slopes: Vec<SlopeFor>,
    /// How far two ways to one point may part across; nothing: 3 ft.
    pub closing: Option<Length>,
    /// Static pressure in psi, if stated.
    pub static_pressure: Option<Decimal>,
    /// Code family, as written.
    pub code_family: Box<str>,
    /// Temperature of the water of tests, in degrees Fahrenheit.
    pub water_temperature: Decimal,
    /// What becomes of the tube allowance beside a cut plan.
    pub tube_allowance: TubeAllowance,
    /// Which fittings are built from others.
    pub substitutes: Substitutes,
    /// Who works and what an hour costs.
    pub crew: Crew,
    /// How tube is cut.
    pub cutting: CutSettings,
    /// What stands on an order.
    pub order: OrderSettings,
    /// Who bids, for whom, who buys and signs.
    pub parties: Parties,
    /// Notices that are accepted.
    pub accepted: Vec<Accepted>,
    /// Where each item stands: its first name, what it is said for or else how it is written, its row.
    pub(super) rows: Vec<(&'static str, Box<str>, RowAt)>,
    /// Each item as it is written: its first name, what it is for and its value.
    pub(super) written: Vec<(&'static str, Box<str>)>,
}

/// Writes the items of the table `job` from one list of entries: the name and other names, what `for` names, whether
/// several rows add up (`often`), whether a row of it is read that has no value (`even_blank`), its help, what it is
/// where it is left out, how a row of it is read, and what it says where two jobs are compared, if that is not what is
/// written (`apart`: it is not compared).
macro_rules! items {
    ($($name:literal $([$($also:literal),+])? $(for $of:literal)? $(, $way:ident)*: $help:literal, $left_out:literal;
        $read:expr $(=> $says:expr)?;)+) => {
        /// The items of the table `job`, in the order in which documents list them.
        pub static ITEMS: [Item; [$($name),+].len()] = [$(
            Item::new($name, $help, $left_out, $read)$(.also(&[$($also),+]))?$(.of($of))?$(.$way())*$(.says($says))?,
        )+];
    };
}

items! {
    "name", apart: "the name of the job", "nothing";
        |it| it.settings.name = it.value();
    "date": "the day prices must be good on, as 2026-03-01", "validity is not judged";
        |it| it.settings.date = it.date()
            => |of, _| one(of.date.map(|day| day.to_string()).unwrap_or_default());
    "currency": "shown beside sums", "USD";
        |it| it.settings.currency = it.value()
            => |of, _| one(&of.currency);
    "water system": "the system of water runs that name none", "pex-clamp";
        |it| {
            it.settings.water_system = it.word();
            it.said.water = Some(it.row.at());
        }
            => |of, lexicon| one(lexicon.text(of.water_system));
    "drain system": "the system of drain runs that name none", "none";
        |it| {
            it.settings.drain_system = it.word();
            it.said.drain = Some(it.row.at());
        }
            => |of, lexicon| one(lexicon.text(of.drain_system));
    "compare with":
        "systems of water or of drains to compare it with, parted by semicolons: each changes one side and keeps the other; none: compare with nothing; priced: every water system whose tube the price lists have in all sizes of the run list", "of pex-clamp and copper-solder the other, for any other system none";
        compare_with;
    "allowance" for "a class":
        "percent added to what is counted of a class, named in for",
            "0. Beside a cut plan the allowance of tube is what `tube allowance` says";
        allowance
            => |of, _| of.allowances.iter().map(|(class, much, _)| (format!(", {}", class.word()), percent(*much))).collect();
    "no allowance under" ["none under"] for "a class":
        "no allowance on a part of the class named in for of which the whole job needs fewer: 10. A single fitting stays one",
            "0: on all";
        no_allowance_under
            => |of, _| of.no_allowance_under.iter().map(|(class, least)| (format!(", {}", class.word()), least.normalize().to_string())).collect();
    "small parts" ["small parts allowance"]: "percent of material for small parts that nobody counts", "0";
        |it| it.settings.bid.small_parts = it.percent()
            => |of, _| one(percent(of.bid.small_parts));
    "delivery": "a sum for delivery, beside the delivery fees of the table suppliers", "0";
        |it| it.settings.bid.delivery = it.sum("delivery")
            => |of, _| one(of.bid.delivery.normalize());
    "contingency": "percent of direct cost for what cannot be foreseen", "0";
        |it| it.settings.contingency = it.percent()
            => |of, _| one(percent(of.contingency));
    "overhead": "percent of direct cost and contingency", "0";
        |it| it.settings.overhead = it.percent()
            => |of, _| one(percent(of.overhead));
    "profit" ["markup", "margin"]: "percent for profit", "0";
        |it| {
            it.settings.profit = it.percent();
            it.said.profit = Some(it.row.at());
            // "margin 20" says in one row what "profit 20" and "profit as margin" say in two.
            let named = ProfitAs::of_word(it.row.text(Column::Item));
            it.settings.bid.profit_as = named.unwrap_or(it.settings.bid.profit_as);
        }
            => |of, _| one(percent(of.profit));
    "profit as":
        "markup: a share of the cost (25 on 80 is 20); margin: a share of the price before tax and fees (20 of 100 is 20)", "markup";
        |it| it.settings.bid.profit_as = it.choice().unwrap_or(it.settings.bid.profit_as)
            => |of, _| one(of.bid.profit_as.word());
    "sales tax" ["tax"] for "a class, or labor, tools or delivery":
        "percent of what material and small parts cost; in for a class, or labor, tools or delivery, which are taxed only where they are named", "0";
        bid::sales_tax
            => |of, _| vec![(String::new(), percent(of.sales_tax)), (" by class".to_owned(), of.bid.tax_rates_in_words())];
    "tax exempt" for "a class or a part on which no sales tax is taken":
        "yes for a class or a part, named in for, on which no sales tax is taken", "none";
        bid::tax_exempt;
    "fee" ["fees", "permit", "permit fee", "inspection", "inspection fee",
        "bond"] for "what the fee is for: permit, inspection, bond", often:
        "a sum that is handed on after profit, named in for: permit, inspection, bond; several rows", "none";
        |it| bid::stated_sum(it, SumAs::Fee);
    "marked up fee" for "what the fee is for: permit, inspection, bond", often:
        "the same among the direct costs, with overhead and profit taken on it", "none";
        |it| bid::stated_sum(it, SumAs::MarkedUpFee);
    "lump-sum labor" ["lump sum labor"] for "what the work is: pressure test, demolition, inspection", often:
        "a sum for labor that goes by no hours, named in for: pressure test, demolition, inspection; several rows. It is a direct cost and taxed as labor", "none";
        |it| bid::stated_sum(it, SumAs::LumpSumLabor);
    "bid good until": "the last day the bid is good, as 2026-04-30", "the owner's page gives none";
        |it| it.settings.bid.good_until = it.date().map(|day| (day, it.row.at()));
    "not included", often: "what the owner is told is not in the price; several rows", "what the sums show";
        |it| it.settings.bid.not_included.extend(parts(&it.value()).map(Box::from));
    "firm" ["company"]: "who bids and buys: the name on every paper", "the paper names none";
        |it| it.settings.parties.firm.name = it.value();
    "firm address": "its address; lines parted by semicolons", "nothing";
        |it| it.settings.parties.firm.address = it.value();
    "firm phone" ["firm telephone"]: "its telephone", "nothing";
        |it| it.settings.parties.firm.phone = it.value();
    "firm mail" ["firm email"]: "its mail address", "nothing";
        |it| it.settings.parties.firm.mail = it.value();
    "licence" ["license", "licence number", "license number"]: "the number of its licence", "nothing";
        |it| it.settings.parties.firm.licence = it.value();
    "tax number" ["tax id"]: "its tax number", "nothing";
        |it| it.settings.parties.firm.tax_number = it.value();
    "customer" ["owner"]: "for whom the house is piped", "nothing";
        |it| it.settings.parties.customer.name = it.value();
    "customer address" ["owner address"]: "the customer's address; lines parted by semicolons", "nothing";
        |it| it.settings.parties.customer.address = it.value();
    "customer contact" ["owner contact", "customer phone"]: "the customer's telephone or mail address", "nothing";
        |it| it.settings.parties.customer.contact = it.value();
    "site" ["site address"]: "where the house stands; lines parted by semicolons", "nothing";
        |it| it.settings.parties.site = it.value();
    "bid number": "the number of the bid", "nothing";
        |it| it.settings.parties.bid.number = it.value();
    "bid date": "the day of the bid, as 2026-03-01", "the date of the job";
        |it| it.settings.parties.bid.date = it.date();
    "change order number" ["change order"]: "the number of the change order, of a job that is revised", "nothing";
        |it| it.settings.parties.bid.change_number = it.value();
    "payment terms" ["terms"], often: "when the bid is paid: half at the start, half when the test holds; several rows; the lines of one cell, parted by semicolons, keep their order", "nothing";
        |it| it.settings.parties.bid.payment_terms.push(it.value());
    "included", often: "what the price includes, in your own words; several rows; the lines of one cell, parted by semicolons, keep their order", "what the sums show";
        |it| it.settings.parties.bid.included.push(it.value());
    "offered alternates" ["offered"]:
        "alternates, and systems that are compared, that the bid offers, parted by semicolons; none; all", "all alternates of the run list";
        parties::offered;
    "signed by" ["signs"]: "who signs for the firm: name, title", "an empty line";
        |it| it.settings.parties.bid.signed_by = it.value();
    "order number" ["purchase order"] for "a supplier":
        "the number of the order; of the supplier named in for, or of all: then -1, -2 is added", "nothing";
        parties::order_number;
    "order date": "the day of the orders and requests, as 2026-03-01", "the date of the job";
        |it| it.settings.parties.order.date = it.date();
    "buyer" ["ordered by"]: "who buys", "nothing";
        |it| it.settings.parties.order.buyer = it.value();
    "buyer contact" ["buyer phone"]: "telephone or mail address of who buys", "nothing";
        |it| it.settings.parties.order.buyer_contact = it.value();
    "quote by": "the last day on which quotes are wanted, as 2026-03-01", "nothing";
        |it| it.settings.parties.order.quote_by = it.date();
    "static pressure": "static pressure in psi where the water comes in: what its lines are tested with, and for checks", "it is not judged";
        static_pressure;
    "code family": "the code that the authority goes by, for checks, for tests and for what fixtures send into the drains: IRC, UPC, or your own by tables", "IRC";
        |it| it.settings.code_family = it.value();
    "water temperature": "degrees Fahrenheit of the water that is filled in for tests", "60";
        |it| {
            let number = it.above_zero("degrees Fahrenheit: a number above zero");
            it.settings.water_temperature = number.unwrap_or(it.settings.water_temperature);
        };
    "slope" for "a size, or a size and larger":
        "fall of drains that name none: 1/4 (inches a foot), 2 %; in for a size, or a size and larger: 3 and larger", "1/4 in a foot";
        drains::slope
            => |of, lexicon| of.slopes.iter().map(|slope| (slope.heading(lexicon), slope.slope.shown())).collect();
    "closing": "how far two ways to one point may part across the plan before it is told, with its unit: 3 ft", "3 ft";
        |it| it.settings.closing = it.length_above_zero();
    "turns in plastic": "bend or elbow, in tube that bends", "bend";
        |it| it.settings.turns_in_plastic = it.choice().unwrap_or(it.settings.turns_in_plastic)
            => |of, _| one(of.turns_in_plastic.word());
    "colors": "yes to buy tube red for hot and blue for cold where it is sold so", "yes";
        |it| it.settings.colors = it.row.yes_no(Column::Value).unwrap_or(true)
            => |of, _| one(if of.colors { "yes" } else { "no" });
    "units": "ft or m: what a bare length is, and what lengths are shown in", "ft";
        |it| match LengthUnit::from_word(&it.value()) {
            Some(unit @ (LengthUnit::Foot | LengthUnit::Metre)) => it.settings.units = unit,
            Some(_) | None => it.wrong("ft or m"),
        };
    "price list" ["price lists"], often, apart:
        "a file or folder of price lists, from the folder of the job; several rows, or parted by semicolons", "";
        |it| it.said.price_lists.extend(parts(&it.value()).map(|path| (it.row.at(), path.into())));
    "tables", often, apart:
        "a folder of tables shared by jobs, from the folder of the job; several rows, or parted by semicolons", "";
        |it| it.said.tables.extend(parts(&it.value()).map(|path| (it.row.at(), path.into())));
    "substitutes":
        "which fittings are made up from others: needed (those nobody sells), cheaper (also those that cost less that way), none", "needed";
        |it| it.settings.substitutes = it.choice().unwrap_or(it.settings.substitutes);
    "tube allowance": "what becomes of it beside a cut plan: plan, piece or end", "plan";
        |it| {
            it.said.tube_allowance = true;
            it.settings.tube_allowance = it.choice().unwrap_or(it.settings.tube_allowance);
        }
            => |of, _| one(of.tube_allowance.word());
    "crew" for "a kind of person": "how many work, of each kind named in for", "one person, or one of each that has a rate";
        |it| {
            let heads = it.above_zero("how many work: a number above zero");
            it.put_for(heads, |settings| &mut settings.crew.heads);
        }
            => |of, lexicon| one(said(&of.crew.heads, lexicon));
    "rate" ["rate per hour", "wages"] for "a kind of person": "wages an hour, of the kind named in for",
        "labor is counted in hours and not priced";
        |it| {
            let rate = it.above_zero("wages an hour above zero");
            it.put_for(rate, |settings| &mut settings.crew.rates);
        }
            => |of, lexicon| one(said(&of.crew.rates, lexicon));
    "burden": "percent on wages for taxes, insurance and the like", "0";
        |it| it.settings.crew.burden = it.percent()
            => |of, _| one(percent(of.crew.burden));
    "productivity": "in percent: at 80 an hour of the table labor takes 1.25", "100";
        |it| match it.row.percent(Column::Value) {
            Some(percent) if percent >= LEAST_PRODUCTIVITY && percent <= Decimal::ONE_THOUSAND => {
                it.settings.crew.productivity = percent;
            }
            Some(_) => it.wrong("a percentage from 0.1 to 1000"),
            None => {}
        }
            => |of, _| one(percent(of.crew.productivity));
    "difficulty" for "an area": "percent added to the hours in the area named in for", "0";
        |it| {
            let percent = Some(it.percent());
            it.put_for(percent, |settings| &mut settings.crew.difficulty);
        }
            => |of, lexicon| one(said(&of.crew.difficulty, lexicon));
    "hours a day": "hours that the crew works in a day", "8";
        |it| {
            let hours = it.above_zero("a number of hours above zero");
            it.settings.crew.hours_a_day = hours.unwrap_or(it.settings.crew.hours_a_day);
        };
    "kerf" for "a system or tube":
        "what a saw cut loses, with its unit: 1/8 in. Of all that is handled in sticks, or of the system or tube named in for", "nothing";
        orders::kerf;
    "shortest joined piece": "no part of a piece that is joined is shorter, with its unit: 12 in",
        "the least piece of the system";
        |it| it.settings.cutting.shortest_joined = it.length_above_zero().unwrap_or_default();
    "keep offcuts from": "offcuts so long or longer are listed as worth keeping: 3 ft", "none is listed";
        |it| it.settings.cutting.keep_from = it.length_above_zero();
    "job reference" ["reference"]: "your own number on the orders", "nothing";
        |it| it.settings.order.reference = it.value();
    "ship to": "where the goods go, on the orders", "nothing";
        |it| it.settings.order.ship_to = it.value();
    "needed" ["date needed"] for "a phase":
        "the day goods are needed, of the phase named in for or of all, as 2026-03-01", "no day";
        orders::needed;
    "accept" for "a kind of notice", often, even_blank, apart:
        "a warning that is accepted becomes a remark: in for its kind, as value its cell (prices.csv:D7, runs!J5) or the name it is about; several rows; an error cannot be accepted", "none";
        |it| {
            let accepted = Accepted { kind: it.of.into(), what: it.value(), row: it.row.at() };
            it.settings.accepted.push(accepted);
        };
}

/// What one item says.
fn one(text: impl ToString) -> Vec<(String, String)> {
    vec![(String::new(), text.to_string())]
}

fn percent(much: Decimal) -> String {
    format!("{} %", much.normalize())
}

fn said(list: &[SaidFor], lexicon: &Lexicon) -> String {
    let one =
        |said: &SaidFor| format!("{} {}", lexicon.text(said.who), said.value.normalize()).trim().to_owned();
    list.iter().map(one).collect::<Vec<_>>().join("; ")
}

/// The item of a name.
pub(super) fn named(text: &str) -> Option<&'static Item> {
    let known: Vec<(&Item, &str)> =
        ITEMS.iter().flat_map(|item| item.names().map(move |name| (item, name))).collect();
    pick(text, &known)
}

fn compare_with(it: &mut ItemRow<'_, '_, '_>) {
    let (none, priced) = (it.row.lexicon.word("none"), it.row.lexicon.word("priced"));
    let with = &mut it.settings.compare_with;
    with.clear();
    for word in it.row.words(Column::Value) {
        it.said.compare_priced |= word == priced;
        if word != none && word != priced && !with.contains(&word) {
            with.push(word);
        }
    }
    it.said.compare = Some(it.row.at());
}

fn allowance(it: &mut ItemRow<'_, '_, '_>) {
    let Some(class) = it.said_for(Class::KNOWN) else {
        it.unknown_for(&Class::all_words());
        return;
    };
    let (percent, row) = (it.percent(), it.row.at());
    for (_, old, from) in it.settings.allowances.iter_mut().filter(|(one, ..)| *one == class) {
        (*old, *from) = (percent, Some(row));
    }
}

fn no_allowance_under(it: &mut ItemRow<'_, '_, '_>) {
    let Some(class) = it.said_for(Class::KNOWN) else {
        it.unknown_for(&Class::all_words());
        return;
    };
    match it.row.number(Column::Value) {
        Got::Value(least) if !least.is_sign_negative() && !is_beyond(least) => {
            let under = &mut it.settings.no_allowance_under;
            under.retain(|(one, _)| *one != class);
            under.push((class, least));
        }
        Got::Value(_) | Got::Empty => it.wrong("a number from 0, such as 10"),
        Got::Misread => {}
    }
}

fn static_pressure(it: &mut ItemRow<'_, '_, '_>) {
    let number = fold(&it.value());
    let number = number.strip_suffix("psi").unwrap_or(&number).trim();
    let above = |psi: &Decimal| *psi > Decimal::ZERO && !is_beyond(*psi);
    it.settings.static_pressure = Decimal::from_str_exact(number).ok().filter(above);
    if it.settings.static_pressure.is_none() {
        it.wrong("a pressure in psi above zero");
    }
}

/// Below, an hour would take a thousand.
const LEAST_PRODUCTIVITY: Decimal = Decimal::from_parts(1, 0, 0, false, 1);
