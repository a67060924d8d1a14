//! Runs and places of two jobs, matched by name: which were added, dropped and changed, in which cells, and what that
//! did to the count of each.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::Side;
use super::named::{Key, Named};
use crate::estimate::joint_rows;
use crate::estimate::takeoff::{Line, Subject};
use crate::ground::money::round_half_away;
use crate::ground::name::{fold, natural};
use crate::ground::{Length, LengthUnit, Spot};
use crate::trade::{COLUMNS, Cell, Class, Job, Run};

/// What became of a run or a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunWhat {
    /// It was not there before.
    Added,
    /// It is not there now.
    Dropped,
    /// Cells of its row changed.
    Changed,
    /// Its row is the same; what meets it, or how it is built, changed its count.
    Touched,
}

impl RunWhat {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Added => "added",
            Self::Dropped => "dropped",
            Self::Changed => "changed",
            Self::Touched => "counted otherwise",
        }
    }
}

/// A cell before and now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Field {
    /// Its heading.
    pub heading: String,
    /// Before; empty where nothing stood there.
    pub old: String,
    /// Now.
    pub new: String,
}

/// So much more, or with a minus less, of an item.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moved {
    /// The item.
    pub named: Named,
    /// How much.
    pub more: Decimal,
}

/// A run or a place before and now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunChange {
    /// Its name.
    pub name: String,
    /// Whether it is a row of the table `places`.
    pub is_place: bool,
    /// What became of it.
    pub what: RunWhat,
    /// Cells that changed; of an added or dropped run service, size and length.
    pub fields: Vec<Field>,
    /// What it counts more or less of; what joints consume by weight or volume is not listed.
    pub moved: Vec<Moved>,
    /// Its row before.
    pub old: Option<Spot>,
    /// Its row now.
    pub new: Option<Spot>,
}

/// Name, folded; whether it is a place. Runs and places share one name space.
type Whose = (String, bool);

/// Runs and places that changed, by name, runs first.
pub(super) fn changes(old: Side<'_>, new: Side<'_>) -> Vec<RunChange> {
    let unit = new.job.settings.units;
    let (was, is) = (rows(old.job, unit), rows(new.job, unit));
    let (before, now) = (counts(old, unit), counts(new, unit));
    let mut changes = Vec::new();
    let names: std::collections::BTreeSet<&Whose> = was.keys().chain(is.keys()).collect();
    for whose in names {
        let (old_row, new_row) = (was.get(whose), is.get(whose));
        let (what, fields) = match (old_row, new_row) {
            (None, Some(row)) => (RunWhat::Added, fields(None, Some(row))),
            (Some(row), None) => (RunWhat::Dropped, fields(Some(row), None)),
            (old_row, new_row) => match fields(old_row, new_row) {
                none if none.is_empty() => (RunWhat::Touched, none),
                some => (RunWhat::Changed, some),
            },
        };
        let moved = moved(before.get(whose), now.get(whose));
        if what == RunWhat::Touched && moved.is_empty() {
            continue;
        }
        let name = new_row.or(old_row).map_or_else(String::new, |row| row.name.clone());
        let (old, new) = (old_row.map(|row| row.spot.clone()), new_row.map(|row| row.spot.clone()));
        changes.push(RunChange { name, is_place: whose.1, what, fields, moved, old, new });
    }
    changes.sort_by(|a, b| a.is_place.cmp(&b.is_place).then_with(|| natural(&a.name, &b.name)));
    changes
}

/// A row in words.
struct Told {
    name: String,
    spot: Spot,
    cells: Vec<(String, String)>,
}

/// Runs and places of a job by name, optional ones too; of two rows of one name the first.
fn rows(job: &Job, unit: LengthUnit) -> BTreeMap<Whose, Told> {
    let mut rows = BTreeMap::new();
    for run in job.runs.iter().chain(&job.alternates.runs) {
        let told = || Told {
            name: run.name.to_string(),
            spot: job.sources.row(run.row),
            cells: cells(job, run, unit),
        };
        rows.entry((fold(&run.name), false)).or_insert_with(told);
    }
    for place in job.places.iter().chain(&job.alternates.places) {
        let word = |word| job.lexicon.text(word).to_owned();
        let patterns = place.patterns.iter().map(|one| job.lexicon.text(*one)).collect::<Vec<_>>().join("; ");
        let told = || Told {
            name: place.name.to_string(),
            spot: job.sources.row(place.row),
            cells: vec![
                ("fixture".to_owned(), word(place.fixture)),
                ("pattern".to_owned(), patterns),
                ("area".to_owned(), word(place.area)),
                ("level".to_owned(), word(place.level)),
            ],
        };
        rows.entry((fold(&place.name), true)).or_insert_with(told);
    }
    rows
}

/// The cells of a run that decide its count, by heading; notes do not count.
fn cells(job: &Job, run: &Run, unit: LengthUnit) -> Vec<(String, String)> {
    let text = |cell: Cell<'_>| cell.text(&job.lexicon, unit);
    let known = COLUMNS.iter().filter(|column| column.counts);
    let known = known.map(|column| (column.heading.to_owned(), text((column.cell)(run))));
    let own = run
        .further_columns()
        .filter_map(|column| Some((job.lexicon.text(column).to_owned(), text(run.further(column)?))));
    known.chain(own).collect()
}

/// Cells that differ without regard to case; of a row that one side lacks what it is.
fn fields(old: Option<&Told>, new: Option<&Told>) -> Vec<Field> {
    let of = |row: Option<&Told>, heading: &str| {
        let found = row.and_then(|row| row.cells.iter().find(|(one, _)| fold(one) == fold(heading)));
        found.map_or_else(String::new, |(_, text)| text.clone())
    };
    let headings = new.into_iter().chain(old).flat_map(|row| row.cells.iter().map(|(heading, _)| heading));
    let mut fields: Vec<Field> = Vec::new();
    for heading in headings {
        if !fields.iter().any(|field| field.heading == *heading) {
            let (old, new) = (of(old, heading), of(new, heading));
            fields.push(Field { heading: heading.clone(), old, new });
        }
    }
    fields.retain(|field| fold(&field.old) != fold(&field.new));
    fields
}

/// Sums of one run or place by item, exact where they are counted: what it is, and how much.
type Counts = BTreeMap<Key, (Named, Decimal)>;

/// What each run and place counts in the chosen alternative.
fn counts(side: Side<'_>, unit: LengthUnit) -> BTreeMap<Whose, Counts> {
    let mut all: BTreeMap<Whose, Counts> = BTreeMap::new();
    let Some(chosen) = side.chosen() else { return all };
    let names: Vec<(Named, Key)> = side
        .estimate
        .items
        .ids()
        .map(|id| Named::of(side.job, side.estimate.items.get(id), unit))
        .map(|named| (named.clone(), named.key()))
        .collect();
    for line in &chosen.takeoff.lines {
        let Some((named, key)) = names.get(line.item.0 as usize) else { continue };
        if named.class == Class::Consumable {
            continue;
        }
        let whose = match line.subject {
            Subject::Run(run) => side.job.runs.get(run.index()).map(|run| (fold(&run.name), false)),
            Subject::Place(place) => {
                side.job.places.get(place as usize).map(|place| (fold(&place.name), true))
            }
        };
        let Some(whose) = whose else { continue };
        let of_run = all.entry(whose).or_default();
        let (_, sum) = of_run.entry(key.clone()).or_insert_with(|| (named.clone(), Decimal::ZERO));
        *sum = sum.saturating_add(quantity(side.job, named, line, unit));
    }
    all
}

fn quantity(job: &Job, named: &Named, line: &Line, unit: LengthUnit) -> Decimal {
    let count = Decimal::from(line.count);
    match line.joint {
        Some(row) => joint_rows::amount(&job.catalog, row, count).unwrap_or(count),
        None if named.class == Class::Tube => Length::from_nanometres(line.count).in_units(unit),
        None => count,
    }
}

fn moved(old: Option<&Counts>, new: Option<&Counts>) -> Vec<Moved> {
    let none = Counts::new();
    let (old, new) = (old.unwrap_or(&none), new.unwrap_or(&none));
    let keys: std::collections::BTreeSet<&Key> = old.keys().chain(new.keys()).collect();
    let mut moved: Vec<Moved> = keys
        .into_iter()
        .filter_map(|key| {
            let much = |side: &Counts| side.get(key).map_or(Decimal::ZERO, |(_, much)| *much);
            let (named, _) = new.get(key).or_else(|| old.get(key))?;
            let more = round_half_away(much(new) - much(old), 4).normalize();
            (!more.is_zero()).then(|| Moved { named: named.clone(), more })
        })
        .collect();
    moved.sort_by_key(|one| one.named.class);
    moved
}
