//! Layouts side by side: several jobs, each in its chosen system or in all of them, against the first. A house on
//! manifolds beside the same house on trunks. It estimates nothing.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::Side;
use super::named::Named;
use crate::estimate::installed::joints_to_make;
use crate::estimate::{Alternative, CostLine};
use crate::ground::money::{cents, plain, quantity, signed};
use crate::ground::name::natural;
use crate::trade::Class;

/// One job in one system.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LayoutColumn {
    /// The name of the job, or of its folder.
    pub job: String,
    /// The system.
    pub system: String,
    /// Whether its count is whole.
    pub complete: bool,
}

/// A figure of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Figure {
    /// A sum.
    Money(Decimal),
    /// A number of things.
    Count(i64),
    /// A length, or hours.
    Much(Decimal),
}

impl Figure {
    /// As it is written, in files and on the terminal.
    pub fn shown(&self) -> String {
        self.writer()(self.number())
    }

    /// What it is more than another, with its sign.
    pub fn more_than(&self, first: &Self) -> String {
        signed(self.number() - first.number(), self.writer())
    }

    /// How such a figure is written.
    pub fn writer(&self) -> fn(Decimal) -> String {
        match self {
            Self::Money(_) => cents,
            Self::Count(_) => plain,
            Self::Much(_) => quantity,
        }
    }

    /// The number alone.
    pub fn number(&self) -> Decimal {
        match self {
            Self::Money(number) | Self::Much(number) => *number,
            Self::Count(count) => Decimal::from(*count),
        }
    }
}

/// One line of the table: what it is, and a figure a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LayoutRow {
    /// What the figures are, with their unit.
    pub name: String,
    /// One a column.
    pub cells: Vec<Figure>,
}

/// Layouts side by side.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layouts {
    /// The columns, those of the first job first.
    pub columns: Vec<LayoutColumn>,
    /// The lines.
    pub rows: Vec<LayoutRow>,
    /// Changes of price that are tried.
    pub tried: Vec<Box<str>>,
}

/// A job in one system.
struct Layout<'a> {
    side: Side<'a>,
    of: &'a Alternative,
}

/// Sets jobs side by side; each comes with the name of its folder. Lengths are in the unit of the first.
///
/// # Errors
///
/// That the jobs are in different currencies, or one could not be taken off.
pub fn side_by_side(jobs: &[(String, Side<'_>)], all_systems: bool) -> Result<Layouts, String> {
    let Some((_, first)) = jobs.first() else { return Err("no job is named".to_owned()) };
    let currency = &first.job.settings.currency;
    let mut layouts = Vec::new();
    let mut columns = Vec::new();
    for (folder, side) in jobs {
        if side.job.settings.currency != *currency {
            return Err(format!(
                "one job is in {currency} and another in {}; sums of two currencies are not compared",
                side.job.settings.currency
            ));
        }
        if side.estimate.alternatives.is_empty() {
            return Err(format!("{folder} could not be taken off in any system"));
        }
        let shown = if all_systems { usize::MAX } else { 1 };
        for (index, of) in side.estimate.alternatives.iter().enumerate().take(shown) {
            let name = &side.job.settings.name;
            columns.push(LayoutColumn {
                job: called(jobs, folder, name),
                system: side.job.lexicon.text(of.name).to_owned(),
                complete: side.estimate.comparison.is_whole(index),
            });
            layouts.push(Layout { side: *side, of });
        }
    }
    let mut rows = costs(&layouts, currency);
    rows.extend(counts(&layouts, first));
    rows.extend(work(&layouts, currency));
    rows.push(row(&format!("bid, {currency}"), &layouts, |one| Figure::Money(one.of.cost.bid.total)));
    let tried = first.job.prices.tried.clone();
    Ok(Layouts { columns, rows, tried })
}

/// A job by its name; by its folder too where another has the same name, or it has none.
fn called(jobs: &[(String, Side<'_>)], folder: &str, name: &str) -> String {
    match jobs.iter().filter(|(_, side)| *side.job.settings.name == *name).count() {
        _ if name.is_empty() => folder.to_owned(),
        1 => name.to_owned(),
        _ => format!("{name} ({folder})"),
    }
}

fn row(name: &str, layouts: &[Layout<'_>], cell: impl Fn(&Layout<'_>) -> Figure) -> LayoutRow {
    LayoutRow { name: name.to_owned(), cells: layouts.iter().map(cell).collect() }
}

fn costs(layouts: &[Layout<'_>], currency: &str) -> Vec<LayoutRow> {
    let mut rows: Vec<LayoutRow> = CostLine::ALL
        .iter()
        .map(|line| row(line.word(), layouts, |one| Figure::Money(one.of.cost.lines[*line as usize])))
        .collect();
    rows.push(row(&format!("material, {currency}"), layouts, |one| Figure::Money(one.of.cost.material)));
    let not_priced = |one: &Layout<'_>| i64::try_from(one.of.cost.not_priced.len()).unwrap_or(i64::MAX);
    rows.push(row("parts not priced", layouts, |one| Figure::Count(not_priced(one))));
    rows
}

/// Hours, labor and tools, where any of the jobs states them.
fn work(layouts: &[Layout<'_>], currency: &str) -> Vec<LayoutRow> {
    let mut rows = Vec::new();
    if layouts.iter().any(|one| one.of.labor.stated) {
        rows.push(row("hours of labor", layouts, |one| Figure::Much(one.of.labor.hours)));
        let without = |one: &Layout<'_>| match one.of.labor.stated {
            true => i64::try_from(one.of.labor.without_hours().count()).unwrap_or(i64::MAX),
            false => i64::try_from(one.of.takeoff.lines.len()).unwrap_or(i64::MAX),
        };
        rows.push(row("works without hours", layouts, |one| Figure::Count(without(one))));
        rows.push(row(&format!("labor, {currency}"), layouts, |one| Figure::Money(one.of.labor.cost)));
    }
    if layouts.iter().any(|one| one.of.tools.stated) {
        rows.push(row(&format!("tools, {currency}"), layouts, |one| Figure::Money(one.of.tools.cost)));
    }
    rows
}

/// Joints, bends, runs and tube by size.
fn counts(layouts: &[Layout<'_>], first: &Side<'_>) -> Vec<LayoutRow> {
    let runs = |one: &Layout<'_>| {
        let out = one.side.estimate.left_out.len();
        i64::try_from(one.side.job.runs.len().saturating_sub(out)).unwrap_or(i64::MAX)
    };
    let mut rows = vec![
        row("joints to make", layouts, |one| Figure::Count(joints_to_make(one.of))),
        row("turns taken as bends", layouts, |one| Figure::Count(one.of.takeoff.bends)),
        row("runs", layouts, |one| Figure::Count(runs(one))),
    ];
    let unit = first.job.settings.units;
    let by_size: Vec<BTreeMap<String, Decimal>> = layouts.iter().map(|one| tube(one, unit)).collect();
    rows.push(LayoutRow {
        name: format!("tube, {}", unit.abbreviation()),
        cells: by_size.iter().map(|sizes| Figure::Much(sizes.values().sum())).collect(),
    });
    let mut sizes: Vec<&String> = by_size.iter().flat_map(BTreeMap::keys).collect();
    sizes.sort_by(|a, b| by_order(layouts, a, b));
    sizes.dedup();
    for size in sizes {
        rows.push(LayoutRow {
            name: format!("  {size}, {}", unit.abbreviation()),
            cells: by_size.iter().map(|of| Figure::Much(of.get(size).copied().unwrap_or_default())).collect(),
        });
    }
    rows
}

/// Sizes from small to large by the first layout's tables; what they lack by its text.
fn by_order(layouts: &[Layout<'_>], a: &str, b: &str) -> std::cmp::Ordering {
    let order = |size: &str| {
        let job = layouts.first()?.side.job;
        let word = job.lexicon.find(size)?;
        job.catalog
            .sizes
            .iter()
            .filter(|one| one.size == word)
            .find_map(|one| job.catalog.order(one.tube, word))
    };
    order(a)
        .is_none()
        .cmp(&order(b).is_none())
        .then_with(|| order(a).cmp(&order(b)))
        .then_with(|| natural(a, b))
}

/// Tube to install, by size, whatever its system, variant and color.
fn tube(one: &Layout<'_>, unit: crate::ground::LengthUnit) -> BTreeMap<String, Decimal> {
    let own = one.side.job.settings.units;
    let mut sizes: BTreeMap<String, Decimal> = BTreeMap::new();
    for line in &one.of.order {
        let named = Named::of(one.side.job, one.side.estimate.items.get(line.item), unit);
        if named.class == Class::Tube {
            let told = line.need * Decimal::from(own.nanometres()) / Decimal::from(unit.nanometres());
            *sizes.entry(named.size).or_default() += told;
        }
    }
    sizes
}
