//! The arithmetic, pure: network, takeoff, cutting, buying, costing, comparison.
//!
//! The walk is [`estimate`]: connect; for each alternative: lay, cut, buy, cost; compare. It reads no file and no
//! clock, and cannot fail: what is wrong with a job comes back as notices, and what they touch is left out and listed.

mod accepted;
pub(crate) mod allowances;
pub(crate) mod alternates;
pub(crate) mod alternative;
pub(crate) mod bid;
pub mod buying;
pub(crate) mod comparison;
pub(crate) mod costing;
pub(crate) mod cut_length;
pub(crate) mod ids;
pub(crate) mod installed;
pub(crate) mod item;
pub(crate) mod joint_rows;
pub(crate) mod labor;
pub(crate) mod landed;
mod laying;
pub(crate) mod map;
pub(crate) mod needs;
pub(crate) mod network;
pub(crate) mod order;
pub(crate) mod paperwork;
pub(crate) mod ranking;
pub mod revision;
mod sold;
pub(crate) mod substitute;
pub mod takeoff;
pub(crate) mod task;
pub(crate) mod tie;
pub(crate) mod tooling;
pub mod trial;
pub(crate) mod unit_prices;
pub(crate) mod whole;

pub use allowances::AllowanceCost;
pub use alternates::Alternate;
pub use alternative::Alternative;
pub use bid::{Bid, Spent, bid, both_ways, profit};
pub use comparison::{Comparison, OneSided, RankedBy, compare};
pub use costing::{Cost, cost};
pub use cut_length::{CutLength, Opening, PieceEnd};
pub use ids::{PlaceId, RunEnd, RunId};
pub use installed::Installed;
pub use item::{Color, Item, ItemId, Items};
pub use labor::{Labor, LaborLine};
pub use landed::{BuyingPlan, Claim, Given};
pub use map::{Map, map};
pub use order::{CostLine, CutFor, OfferId, OrderLine, Pick, TubePlan};
pub use ranking::sizes_text;
pub use substitute::{Stub, Substitute};
pub use task::Task;
pub use unit_prices::{UnitPrice, unit_prices};

use std::collections::BTreeSet;

use crate::ground::Notice;
use crate::ground::notice::in_order;
use crate::ground::threads::in_threads;
use crate::trade::{Job, Sides};
use buying::Market;
use laying::Tables;
use network::{Network, Out};
use takeoff::Takeoff;

/// A run that could not be taken off.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// The run.
    pub run: RunId,
    /// Why, as a sentence without its full stop.
    pub why: String,
}

/// A job estimated: every alternative taken off, cut, bought and costed.
#[derive(Debug, Clone)]
pub struct Estimate {
    /// What is counted in it.
    pub items: Items,
    /// The alternatives, the chosen one first.
    pub alternatives: Vec<Alternative>,
    /// All of them side by side.
    pub comparison: Comparison,
    /// What allowances come to in the chosen alternative, by class.
    pub allowances: Vec<AllowanceCost>,
    /// Optional work, each against the base bid, by name.
    pub optional: Vec<Alternate>,
    /// Runs that are in no alternative, by name.
    pub left_out: Vec<LeftOut>,
    /// What is wrong or doubtful in how runs meet, what they are built of and what it costs; what the reading of the
    /// tables found is in `Job::notices`.
    pub notices: Vec<Notice>,
    /// All that is told of the job, in order: what the reading of its tables found and what the estimate did, of which
    /// the job may accept some.
    pub told: Vec<Notice>,
}

/// The whole walk: connect; for each alternative lay, cut, buy, cost; compare. Optional work is walked by itself.
pub fn estimate(job: &Job) -> Estimate {
    let Walked { mut items, mut alternatives, left_out, mut notices } = walk(job);
    let base = alternatives.first().map(|chosen| chosen.cost.bid.clone()).unwrap_or_default();
    let (optional, of_optional) = alternates::price(job, &mut items, &base, &notices, walk);
    notices.extend(of_optional);
    let allowances = allowances::allowance_costs(job, &items, alternatives.first());
    notices.extend(allowances::rounded_up(job, &allowances));
    notices.extend(alternatives.iter().take(1).flat_map(|chosen| paperwork::look_over(job, &items, chosen)));
    let notices = in_order(notices);
    let told = accepted::apply(job, job.notices.iter().chain(&notices).cloned().collect());
    whole::mark(job, &told, &mut alternatives);
    let comparison = comparison::compare(job, &items, &alternatives);
    Estimate { items, alternatives, comparison, allowances, optional, left_out, notices, told }
}

/// A job walked from its runs to the cost of every alternative.
struct Walked {
    items: Items,
    alternatives: Vec<Alternative>,
    left_out: Vec<LeftOut>,
    notices: Vec<Notice>,
}

/// Connects; for each alternative lays, cuts, buys, costs.
fn walk(job: &Job) -> Walked {
    let TakenOff { network, mut items, takeoffs, left_out, mut notices } = take_off(job);
    let market = Market::open(job);
    let whole = left_out.is_empty() && !job.notices.iter().chain(&notices).any(Notice::is_error);
    let mut alternatives = Vec::new();
    let built: Vec<_> =
        takeoffs.iter().map(|takeoff| buying::make_up(&market, &mut items, takeoff)).collect();
    let asked: Vec<_> = takeoffs.iter().zip(&built).collect();
    let all_bought =
        in_threads(&asked, |(takeoff, built)| buying::buy(&market, &items, takeoff, (*built).clone()));
    let met: BTreeSet<usize> = all_bought.iter().flat_map(|bought| &bought.held).copied().collect();
    notices.extend(buying::held_for_nothing(job, &met));
    for (takeoff, bought) in takeoffs.into_iter().zip(all_bought) {
        notices.extend(bought.notices.iter().cloned());
        let (order, plans, buying, built) = (bought.order, bought.plans, bought.plan, bought.built);
        let asked = labor::Asked {
            job,
            network: &network,
            items: &items,
            takeoff: &takeoff,
            plans: &plans,
            built: &built,
            order: &order,
        };
        let labor = labor::reckon(&asked);
        let tools = tooling::equip(job, &items, &takeoff, &labor);
        notices.extend(labor.notices.iter().chain(&tools.notices).cloned());
        let spent = (labor.cost, tools.cost);
        let fits = !labor.notices.iter().chain(&tools.notices).any(Notice::is_error);
        let complete = whole && fits && takeoff.missing.is_empty();
        let cost = costing::cost(job, &items, &order, spent, complete).unwrap_or_else(|| {
            notices.push(costing::sums_too_large(job));
            Cost::nothing()
        });
        let (name, system) = (takeoff.name, takeoff.system);
        let own = bought.notices;
        alternatives.push(Alternative {
            name,
            system,
            takeoff,
            plans,
            order,
            buying,
            built,
            cost,
            labor,
            tools,
            notices: own,
        });
    }
    Walked { items, alternatives, left_out, notices }
}

/// The network of a job and what is installed in each of its alternatives.
#[derive(Debug, Clone)]
pub struct TakenOff {
    /// How runs meet.
    pub network: Network,
    /// What is counted.
    pub items: Items,
    /// One takeoff an alternative, the chosen system first.
    pub takeoffs: Vec<Takeoff>,
    /// Runs that are in no takeoff, by name.
    pub left_out: Vec<LeftOut>,
    /// What is wrong or doubtful in how runs meet and what they are built of.
    pub notices: Vec<Notice>,
}

/// Takes a job off in all its alternatives.
///
/// A run in error in one alternative is out of all: the network is connected and laid again without such runs until
/// no alternative finds another. Errors are kept from every turn, doubts from the last.
pub fn take_off(job: &Job) -> TakenOff {
    let tables = Tables::of(job);
    let (mut barred, mut errors) = laying::cannot_be_built(job, &tables);
    loop {
        let network = network::connect(job, &barred);
        let (laid, items) = lay_all(job, &network, &tables);
        let found: Vec<RunId> = laid.iter().flat_map(|(_, barred)| barred).copied().collect();
        let said = network.notices.iter().chain(laid.iter().flat_map(|(takeoff, _)| &takeoff.notices));
        if found.is_empty() {
            let notices = in_order(errors.into_iter().chain(said.cloned()).collect());
            let takeoffs = laid.into_iter().map(|(takeoff, _)| takeoff).collect();
            let left_out = left_out(job, &network);
            return TakenOff { network, items, takeoffs, left_out, notices };
        }
        errors.extend(said.filter(|notice| notice.is_error()).cloned());
        barred.extend(found);
    }
}

/// Lays every alternative, each in a thread of its own with items of its own; then the items become one list, in the
/// order of the alternatives, so that threads change nothing.
fn lay_all(job: &Job, network: &Network, tables: &Tables) -> (Vec<(Takeoff, Vec<RunId>)>, Items) {
    let lay = |sides: Sides| {
        let mut items = Items::default();
        let (takeoff, barred) = laying::lay(job, network, tables, sides, &mut items);
        (takeoff, barred, items)
    };
    let laid = in_threads(&job.sides, |sides| lay(*sides));
    let mut items = Items::default();
    let merged = laid.into_iter().map(|(mut takeoff, barred, own)| {
        takeoff.renumber(&items.take_in(&own));
        (takeoff, barred)
    });
    (merged.collect(), items)
}

/// The runs that are left out, by name, each with the reason.
fn left_out(job: &Job, network: &Network) -> Vec<LeftOut> {
    let runs = network.order.iter().filter_map(|run| network.out[run.index()].map(|out| (*run, out)));
    runs.map(|(run, out)| LeftOut { run, why: why_out(job, out) }).collect()
}

/// Why a run is left out, as a sentence without its full stop.
fn why_out(job: &Job, out: Out) -> String {
    match out {
        Out::Error => "it is in error".to_owned(),
        Out::Joins(parent) => format!("it joins {}, which is left out", job.runs[parent.index()].name),
    }
}
