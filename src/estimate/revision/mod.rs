//! The revision: what changed between two estimates, and what each change costs. Items, runs and offers are matched by
//! their names, whatever the order of rows and whichever words either job uses.
//!
//! Three estimates stand side by side: the old one; the new runs **at the old prices**; the new one. What lies between
//! the first two is moved by quantities, what lies between the last two by prices, and the two together are the whole
//! difference, item by item, to the cent. An item that the old prices do not name is taken at the new ones. What has no
//! price on one of the two sides is in no effect: it stands by itself, so that nothing costs zero by accident.
//!
//! It estimates nothing; the command line calls [`revise`], and [`variance`] for what was really used.

mod bid;
mod extra;
mod items;
mod labor;
pub mod layouts;
mod named;
mod offers;
mod runs;
mod terms;
pub mod variance;

use rust_decimal::Decimal;

pub use bid::ALTERNATE;
pub use extra::Extra;
pub use items::{ItemChange, OfSide, PackChange, PackOf, What};
pub use labor::{LaborChange, WorkChange};
pub use named::Named;
pub use offers::{OfferChange, OfferWhat};
pub use runs::{Field, Moved, RunChange, RunWhat};

use super::bid::Bid;
use super::installed::joints_to_make;
use super::{Alternative, Estimate};
use crate::trade::Job;

/// A job and its estimate.
#[derive(Debug, Clone, Copy)]
pub struct Side<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its estimate.
    pub estimate: &'a Estimate,
}

impl<'a> Side<'a> {
    /// The alternative that is chosen; nothing where none could be taken off.
    pub fn chosen(self) -> Option<&'a Alternative> {
        self.estimate.alternatives.first()
    }
}

/// What stands over one side.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Face {
    /// The name of the job.
    pub name: String,
    /// The day its prices are judged on.
    pub date: Option<String>,
    /// The chosen system.
    pub system: String,
    /// Whether its count is whole.
    pub complete: bool,
    /// Its items without a price.
    pub not_priced: usize,
    /// Joints to make.
    pub joints: i64,
    /// Hours of labor of one person; nothing where the job states none.
    pub hours: Option<Decimal>,
    /// Whether hours are stated for all the work.
    pub all_hours: bool,
    /// Whether the job states its tools.
    pub tools: bool,
    /// Changes of price that are tried in it and stand in no list.
    pub tried: Vec<Box<str>>,
}

/// One line of the bid on both sides.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BidChange {
    /// What it is: a cost line, a markup, the bid.
    pub line: String,
    /// Before.
    pub old: Decimal,
    /// Now.
    pub new: Decimal,
    /// Whether it is a sum of others.
    pub is_sum: bool,
    /// Whether the jobs before and now say anything of it: what is not stated is not zero.
    pub stated: [bool; 2],
}

/// What the changes of all items come to: `quantity + price + unpriced = new material - old material`, exactly.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Totals {
    /// Items that more is needed of, at the old prices.
    pub adds: Decimal,
    /// Items that less is needed of, at the old prices; zero or below.
    pub deducts: Decimal,
    /// What the prices alone moved, at the new quantities.
    pub price: Decimal,
    /// What came into the sums or left them because an item has a price on one side alone.
    pub unpriced: Decimal,
    /// Material before.
    pub old: Decimal,
    /// Material now.
    pub new: Decimal,
}

impl Totals {
    /// Adds and deducts together.
    pub fn quantity(&self) -> Decimal {
        self.adds + self.deducts
    }
}

/// What changed from one estimate to another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Revision {
    /// The job before.
    pub old: Face,
    /// The job now.
    pub new: Face,
    /// The currency of both.
    pub currency: String,
    /// The unit lengths are in: that of the new job.
    pub unit: &'static str,
    /// All items of either side, in the order shown; those without any change among them.
    pub items: Vec<ItemChange>,
    /// Runs and places that changed, or whose count changed, by name.
    pub runs: Vec<RunChange>,
    /// Settings of the job that changed.
    pub terms: Vec<Field>,
    /// Offers that moved, came or went, the largest effect first.
    pub offers: Vec<OfferChange>,
    /// What it does to labor; nothing where one of the jobs states none.
    pub labor: Option<LaborChange>,
    /// The bid, line by line.
    pub bid: Vec<BidChange>,
    /// The bids before and now; nothing is asked where nothing could be taken off.
    pub bids: [Bid; 2],
    /// Packs that one of the two orders alone has.
    pub extra: Vec<Extra>,
    /// What it comes to.
    pub totals: Totals,
}

impl Revision {
    /// Whether nothing changed at all.
    pub fn is_empty(&self) -> bool {
        self.items.iter().all(|item| item.what() == What::Same)
            && self.runs.is_empty()
            && self.terms.is_empty()
            && self.offers.is_empty()
            && self.old.hours == self.new.hours
            && self.labor.as_ref().is_none_or(|labor| labor.works.is_empty() && labor.by_wages.is_zero())
            && self.bid.iter().all(|line| line.old == line.new)
    }

    /// Why the two bids do not hold the same: labor or tools that one of the jobs alone states.
    pub fn unlike(&self) -> Vec<String> {
        let pairs = [
            ("labor", self.old.hours.is_some(), self.new.hours.is_some()),
            ("the tools", self.old.tools, self.new.tools),
        ];
        let told = pairs.into_iter().filter(|(_, old, new)| old != new).map(|(what, old, _)| {
            let (with, without) = if old { ("before", "now") } else { ("now", "before") };
            format!(
                "the job {with} states {what} and the job {without} does not: their bids do not hold the same"
            )
        });
        told.collect()
    }

    /// Items that more is needed of.
    pub fn adds(&self) -> impl Iterator<Item = &ItemChange> {
        self.items.iter().filter(|item| item.is_add())
    }

    /// Items that less is needed of.
    pub fn deducts(&self) -> impl Iterator<Item = &ItemChange> {
        self.items.iter().filter(|item| item.is_deduct())
    }

    /// Items that prices moved, the largest effect first; of equals as the items stand.
    pub fn moved_by_price(&self) -> Vec<&ItemChange> {
        let mut moved: Vec<&ItemChange> = self.items.iter().filter(|item| !item.by_price.is_zero()).collect();
        moved.sort_by_key(|item| std::cmp::Reverse(item.by_price.abs()));
        moved
    }

    /// Items that have no price on one side or on both.
    pub fn not_priced(&self) -> impl Iterator<Item = &ItemChange> {
        self.items.iter().filter(|item| item.is_not_priced())
    }
}

/// Sets two estimates against each other. `same_prices` is the new job at the old prices.
pub fn revise(old: Side<'_>, same_prices: Side<'_>, new: Side<'_>) -> Revision {
    let items = items::changes(old, same_prices, new);
    let mut totals = Totals { old: material(old), new: material(new), ..Totals::default() };
    for item in &items {
        match item.is_deduct() {
            true => totals.deducts += item.by_quantity,
            false => totals.adds += item.by_quantity,
        }
        totals.price += item.by_price;
        totals.unpriced += item.by_unpriced;
    }
    Revision {
        old: face(old),
        new: face(new),
        currency: new.job.settings.currency.to_string(),
        unit: new.job.settings.units.abbreviation(),
        offers: offers::changes(old, new),
        runs: runs::changes(old, new),
        terms: terms::changes(old.job, new.job),
        labor: labor::change(old, new),
        bid: bid::changes(old, new),
        bids: [old, new].map(|side| side.chosen().map(|chosen| chosen.cost.bid.clone()).unwrap_or_default()),
        extra: extra::extra(old, new),
        items,
        totals,
    }
}

fn material(side: Side<'_>) -> Decimal {
    side.chosen().map_or(Decimal::ZERO, |chosen| chosen.cost.material)
}

fn face(side: Side<'_>) -> Face {
    let Side { job, .. } = side;
    let chosen = side.chosen();
    let system = chosen.map_or("", |chosen| job.lexicon.text(chosen.name));
    Face {
        name: job.settings.name.to_string(),
        date: job.settings.date.map(|date| date.to_string()),
        system: system.to_owned(),
        complete: side.estimate.is_complete(),
        not_priced: chosen.map_or(0, |chosen| chosen.cost.not_priced.len()),
        joints: chosen.map_or(0, joints_to_make),
        hours: chosen.filter(|chosen| chosen.labor.stated).map(|chosen| chosen.labor.hours),
        all_hours: chosen.is_some_and(|chosen| chosen.labor.has_all_hours()),
        tools: chosen.is_some_and(|chosen| chosen.tools.stated),
        tried: job.prices.tried.clone(),
    }
}
