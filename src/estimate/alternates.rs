//! Alternates: what each piece of optional work adds to the bid or takes off it.
//!
//! Nothing is apportioned: the job is walked once more with the alternate taken, and once without any, both in the chosen
//! system alone and with free choices; what lies between moves the base bid, and percentages, tax and fees are taken on
//! the moved sums as on any other. So that packs, price breaks and delivery are those of the whole job, two alternates
//! together may come to a little less or more than the two apart. [`super::super::estimate`] calls `price`.

use std::collections::BTreeMap;

use super::costing::sums_too_large;
use super::whole::is_whole;
use super::{Bid, Spent, bid};
use super::{ItemId, Items, Walked};
use crate::ground::notice::warning;
use crate::ground::{Notice, RowAt};
use crate::trade::{Job, Run, Word};
use rust_decimal::Decimal;

/// More than so many alternates are listed and not priced: each is a walk of the whole job.
pub(crate) const MOST: usize = 12;

/// One alternate, priced.
#[derive(Debug, Clone)]
pub struct Alternate {
    /// Its name.
    pub name: Word,
    /// The first row that names it.
    pub row: RowAt,
    /// Runs it brings, as indices into `Job::alternates.runs`.
    pub brings: Vec<usize>,
    /// Runs of the base it leaves out, as indices into `Job::runs`.
    pub leaves_out: Vec<usize>,
    /// What it moves; nothing where it is not priced: beyond a dozen alternates, or the sums do not fit.
    pub moved: Option<Moved>,
    /// What it needs more than the base bid, allowances among it, in the order of items.
    pub needs: Vec<(ItemId, Decimal)>,
    /// Whether the count with it is whole and every part has its price.
    pub complete: bool,
}

/// What an alternate moves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moved {
    /// What is spent without it, in the chosen system alone.
    pub from: Spent,
    /// What is spent with it.
    pub to: Spent,
    /// The bid with it.
    pub bid: Bid,
}

/// What an alternate adds to the bid, or with a minus takes off it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Difference {
    /// Material.
    pub material: Decimal,
    /// Labor and tools.
    pub labor: Decimal,
    /// Sales tax.
    pub tax: Decimal,
    /// All of it, what percentages add among it.
    pub total: Decimal,
}

impl Moved {
    /// What it adds to a bid, or takes off it.
    pub fn against(&self, base: &Bid) -> Difference {
        let (with, without) = (&self.bid, base);
        Difference {
            material: with.spent.material - without.spent.material,
            labor: with.spent.labor + with.spent.tools - without.spent.labor - without.spent.tools,
            tax: with.tax - without.tax,
            total: with.total - without.total,
        }
    }
}

/// Prices the alternates of a job against its base bid, by walking the job with each; with what that finds wrong or
/// doubtful that the base has not.
pub(in crate::estimate) fn price(
    job: &Job,
    items: &mut Items,
    base: &Bid,
    said: &[Notice],
    walk: impl Fn(&Job) -> Walked + Sync,
) -> (Vec<Alternate>, Vec<Notice>) {
    let names = &job.alternates.names;
    if names.is_empty() {
        return (Vec::new(), Vec::new());
    }
    let mut jobs = vec![job.chosen_alone()];
    jobs.extend(names.iter().take(MOST).map(|(name, _)| job.with_alternate(*name)));
    let mut walked = super::in_threads(&jobs, walk).into_iter();
    let Some(alone) = walked.next() else { return (Vec::new(), Vec::new()) };
    let mut notices = Vec::new();
    let mut priced = Vec::new();
    for (name, row) in names {
        let mut alternate = listed(job, *name, *row);
        if let Some(with) = walked.next() {
            let spent = |walked: &Walked| walked.alternatives.first().map(|chosen| chosen.cost.bid.spent);
            alternate.needs = needs_more(items, &alone, &with);
            alternate.complete = is_whole(job, &alone) && is_whole(job, &with);
            alternate.moved = spent(&alone).zip(spent(&with)).and_then(|(from, to)| {
                Some(Moved { from, to, bid: bid(&job.settings, base.spent.moved(from, to)?)? })
            });
            if alternate.moved.is_none() {
                notices.push(sums_too_large(job));
            }
            let known =
                |notice: &Notice| said.iter().any(|one| one.kind == notice.kind && one.found == notice.found);
            let own = with.notices.into_iter().filter(|notice| !known(notice));
            notices.extend(own.map(|notice| with_the_alternate(job, *name, notice)));
        } else {
            notices.push(too_many_alternates(job, *name, *row));
        }
        priced.push(alternate);
    }
    (priced, notices)
}

/// What one walk of the job buys more of than another; items that only it has are taken in.
fn needs_more(items: &mut Items, alone: &Walked, with: &Walked) -> Vec<(ItemId, Decimal)> {
    let order = |walked: &Walked, ids: &[ItemId]| -> Vec<(ItemId, Decimal)> {
        let lines = walked.alternatives.iter().take(1).flat_map(|chosen| &chosen.order);
        lines.filter_map(|line| Some((*ids.get(line.item.0 as usize)?, line.to_buy()))).collect()
    };
    let (ids_alone, ids_with) = (items.take_in(&alone.items), items.take_in(&with.items));
    let mut needs: BTreeMap<ItemId, Decimal> = BTreeMap::new();
    for (item, quantity) in order(with, &ids_with) {
        *needs.entry(item).or_default() += quantity;
    }
    for (item, quantity) in order(alone, &ids_alone) {
        *needs.entry(item).or_default() -= quantity;
    }
    needs.into_iter().filter(|(_, more)| *more > Decimal::ZERO).collect()
}

/// What is said of the job with an alternate alone, said so.
fn with_the_alternate(job: &Job, name: Word, notice: Notice) -> Notice {
    let found = format!("with the alternate \"{}\": {}", job.lexicon.text(name), notice.found);
    Notice { found, ..notice }
}

/// An alternate beyond those that are priced.
fn too_many_alternates(job: &Job, name: Word, row: RowAt) -> Notice {
    let finding = warning(
        "too-many-alternates",
        format!("the alternate \"{}\" is listed and not priced", job.lexicon.text(name)),
        format!("at most {MOST} alternates in one job"),
        "price the rest in a copy of the job",
    );
    finding.at([job.sources.cell(row, "alternate")])
}

fn listed(job: &Job, name: Word, row: RowAt) -> Alternate {
    let of = |runs: &[Run], is: &dyn Fn(&Run) -> bool| -> Vec<usize> {
        let mut found: Vec<usize> = (0..runs.len()).filter(|at| is(&runs[*at])).collect();
        found.sort_by(|a, b| crate::ground::name::natural(&runs[*a].name, &runs[*b].name));
        found
    };
    Alternate {
        name,
        row,
        brings: of(&job.alternates.runs, &|run| run.scope.is_with(name)),
        leaves_out: of(&job.runs, &|run| !run.scope.is_with(name)),
        moved: None,
        needs: Vec::new(),
        complete: false,
    }
}
