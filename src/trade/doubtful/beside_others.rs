//! Rows judged against the other rows of their table: a price beside the other sizes and suppliers of its part, hours
//! beside those of other sizes, a run beside the other runs. Told is only what a slip of the pen explains: a decimal
//! point in the wrong place, minutes for hours, inches for feet. Limits of the trade are for `figures`.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use super::Judged;
use super::figures::{Slip, hours_of_one, unit_price};
use crate::ground::name::fold;
use crate::ground::notice::{Finding, warning};
use crate::ground::{Length, LengthUnit, RowAt};
use crate::trade::catalog::part::Class;
use crate::trade::lexicon::Word;
use crate::trade::reading::Reading;
use crate::trade::run::{Run, Service};

/// A figure of one row among the like.
#[derive(Debug, Clone)]
struct Figure {
    at: RowAt,
    /// Its size in inches, the mean of several; nothing where it has none.
    size: Decimal,
    /// What is compared.
    value: Decimal,
    /// What stands in the cell.
    cell: Decimal,
}

/// Figures that are set beside each other.
struct Among {
    what: &'static str,
    heading: &'static str,
    slips: &'static [Slip],
    /// So many times as far may they lie apart.
    room: u32,
    all: Vec<Figure>,
}

/// More than so many rows must there be of a part in all systems.
const FEW: usize = 3;
/// Of so many neighbors in size at most is a figure judged on each side.
const NEIGHBORS: usize = 24;
/// So many times may the same thing cost elsewhere (common practice: a bag of a hundred beside one piece).
const SAME: u32 = 5;
/// So many times may a smaller size cost what a larger one does.
const SMALLER: u32 = 3;
/// So many times, and by the square of the sizes, may a larger size cost what a smaller one does.
const LARGER: u32 = 4;

/// The order of magnitude of prices and hours.
const SLIPS: [Slip; 4] = [Slip::Over(10), Slip::Under(10), Slip::Over(100), Slip::Under(100)];
const MINUTES: [Slip; 5] =
    [Slip::Over(10), Slip::Under(10), Slip::Over(60), Slip::Over(100), Slip::Under(100)];

/// Tells what stands out among its like.
pub(super) fn figures(judged: &Judged<'_>, reading: &mut Reading) {
    prices(judged, reading);
    hours(judged, reading);
    let runs: Vec<&Run> = judged.runs.iter().filter(|run| !run.in_error).collect();
    lengths(&runs, reading);
}

fn prices(judged: &Judged<'_>, reading: &mut Reading) {
    type Key<'a> = (Word, &'a [Word], Word, bool);
    let mut groups: BTreeMap<Key<'_>, Vec<Figure>> = BTreeMap::new();
    for offer in judged.prices.offers.iter().filter(|offer| !offer.in_error) {
        let Some((is_length, price)) = unit_price(offer) else { continue };
        let net = offer.discount.iter().try_fold(price, |price, percent| {
            price.checked_mul(Decimal::ONE_HUNDRED.checked_sub(*percent)?)?.checked_div(Decimal::ONE_HUNDRED)
        });
        let (Some(value), Some(size)) = (net, mean_size(&offer.sizes, reading)) else { continue };
        let called = judged.catalog.parts_called_or_used(offer.part);
        let part = called.first().map_or(offer.part, |id| judged.catalog.part(*id).word);
        let figure = Figure { at: offer.row, size, value, cell: offer.price };
        groups.entry((part, &offer.systems, offer.variant, is_length)).or_default().push(figure);
    }
    // What has no like of its own is set beside the same part of other systems and variants, with more room.
    let mut alone: BTreeMap<(Word, bool), Vec<Figure>> = BTreeMap::new();
    for ((part, _, _, is_length), group) in &groups {
        alone.entry((*part, *is_length)).or_default().extend(group.iter().cloned());
    }
    let is_alone: BTreeSet<RowAt> =
        groups.values().filter(|group| group.len() == 1).flatten().map(|figure| figure.at).collect();
    let among = |all| Among { what: "price", heading: "price", slips: &SLIPS, room: 1, all };
    groups.into_values().for_each(|group| stand_out(among(group), |_| true, reading));
    for group in alone.into_values().filter(|group| group.len() > FEW) {
        stand_out(Among { room: 2, ..among(group) }, |at| is_alone.contains(&at), reading);
    }
}

fn hours(judged: &Judged<'_>, reading: &mut Reading) {
    type Key<'a> = (&'a str, Word, &'a str, &'a [Word], Word, Word);
    let mut groups: BTreeMap<Key<'_>, Vec<Figure>> = BTreeMap::new();
    for row in judged.labor {
        let (Some(value), Some(size)) = (hours_of_one(row, reading.bare), mean_size(&row.sizes, reading))
        else {
            continue;
        };
        let class = row.class.map_or("", Class::word);
        let key = (row.per.word(), row.part, class, &*row.systems, row.variant, row.fixture);
        groups.entry(key).or_default().push(Figure { at: row.row, size, value, cell: row.hours });
    }
    for all in groups.into_values() {
        stand_out(
            Among { what: "hours", heading: "hours", slips: &MINUTES, room: 1, all },
            |_| true,
            reading,
        );
    }
}

/// The mean of sizes in inches; nothing where one is no number.
fn mean_size(sizes: &[Word], reading: &Reading) -> Option<Decimal> {
    let inches = |size: &Word| {
        // 1-1/4 is a size; as a length it has a space.
        let text = reading.lexicon.text(*size).replace('-', " ");
        Some(Length::read(&text, LengthUnit::Inch)?.in_units(LengthUnit::Inch))
    };
    let all: Vec<Decimal> = sizes.iter().map(inches).collect::<Option<_>>()?;
    let sum = all.iter().try_fold(Decimal::ZERO, |sum, one| sum.checked_add(*one))?;
    Some(sum.checked_div(all.len().into()).unwrap_or_default())
}

/// Tells the figures of a group that most of the others contradict and would not if a slip were mended.
fn stand_out(among: Among, is_asked: impl Fn(RowAt) -> bool, reading: &mut Reading) {
    let Among { what, heading, slips, room, all: mut group } = among;
    group.retain(|figure| figure.value > Decimal::ZERO);
    group.sort_by(|a, b| a.size.cmp(&b.size).then_with(|| a.at.cmp(&b.at)));
    for (at, figure) in group.iter().enumerate().filter(|(_, figure)| is_asked(figure.at)) {
        let others = || {
            let before = group[..at].iter().rev().take(NEIGHBORS);
            before.chain(group[at + 1..].iter().take(NEIGHBORS))
        };
        let count = others().count();
        let most_fit = |value: Decimal| {
            let fitting = others().filter(|other| fit(figure.size, value, other, room)).count();
            fitting * 4 >= count * 3
        };
        let fitting = others().filter(|other| fit(figure.size, figure.value, other, room)).count();
        // Of two alone the later row is told.
        let is_told = match count {
            0 => false,
            1 => fitting == 0 && others().all(|other| other.at < figure.at),
            _ => fitting * 4 <= count,
        };
        if !is_told {
            continue;
        }
        let fits = |slip: &&Slip| slip.mended(figure.value).is_some_and(most_fit);
        let Some(slip) = slips.iter().find(fits) else { continue };
        let Some(meant) = slip.mended(figure.cell) else { continue };
        let nearest = others().min_by_key(|other| ((other.size - figure.size).abs(), other.at));
        let mut spots = vec![reading.sources.cell(figure.at, heading)];
        spots.extend(nearest.map(|other| reading.sources.cell(other.at, heading)));
        let found = figure.cell.normalize().to_string();
        reading.trouble_of(
            figure.at,
            spots,
            unlike_the_others(what, &found, *slip, count, &meant.to_string()),
        );
    }
}

/// Whether a figure of a size and another row can both be right: a larger size costs at least about as much, and not more
/// than the square of the sizes explains.
fn fit(size: Decimal, value: Decimal, other: &Figure, room: u32) -> bool {
    let within = |most: Option<Decimal>, found: Decimal| most.is_none_or(|most| found <= most);
    let times = |value: Decimal, times: u32| value.checked_mul(Decimal::from(times * room));
    if size == other.size || size.is_zero() || other.size.is_zero() {
        return within(times(value, SAME), other.value) && within(times(other.value, SAME), value);
    }
    let ((small, of_small), (large, of_large)) = if size < other.size {
        ((size, value), (other.size, other.value))
    } else {
        ((other.size, other.value), (size, value))
    };
    let ratio = large.checked_div(small);
    let square = ratio.and_then(|ratio| ratio.checked_mul(ratio));
    let most = square.and_then(|square| of_small.checked_mul(square)).and_then(|most| times(most, LARGER));
    within(most, of_large) && within(times(of_large, SMALLER), of_small)
}

/// So many other runs must there be.
const OTHER_RUNS: usize = 5;
/// So many times the middle of the others, and so many times half the longest of them, is told.
const TIMES_THE_MIDDLE: i64 = 10;
const HALVES_OF_THE_LONGEST: i64 = 8;
/// So many halves of the longest other run of the house is told.
const HALVES_OF_ALL: i64 = 5;
/// A run that is no longer is no doubt.
const SHORT: Length = Length::whole(40, LengthUnit::Foot);

/// Runs that are many times as long as all others of their service and size: inches that were read as feet. What others
/// join is a trunk, and may well be long.
fn lengths(runs: &[&Run], reading: &mut Reading) {
    let joined: BTreeSet<String> = runs.iter().filter_map(|run| run.joins.as_deref()).map(fold).collect();
    let mut groups: BTreeMap<(Service, Word), Vec<&Run>> = BTreeMap::new();
    for run in runs {
        groups.entry((run.service, run.size)).or_default().push(run);
    }
    let mut all: Vec<Length> = runs.iter().map(|run| run.length).collect();
    all.sort_unstable();
    let next_of_all = all.iter().rev().nth(1).copied().unwrap_or_default();
    for mut group in groups.into_values().filter(|group| group.len() > OTHER_RUNS) {
        group.sort_by_key(|run| (run.length, run.row));
        let Some((longest, others)) = group.split_last() else { continue };
        let (middle, next) = (others[others.len() / 2].length, others[others.len() - 1].length);
        let above = |length: Length, halves: i64| {
            let most = length.nanometres().checked_mul(halves).map(|most| most / 2);
            most.is_some_and(|most| longest.length.nanometres() >= most)
        };
        let far = above(middle, 2 * TIMES_THE_MIDDLE)
            && above(next, HALVES_OF_THE_LONGEST)
            && above(next_of_all, HALVES_OF_ALL);
        let is_trunk = joined.contains(&fold(&longest.name));
        if longest.length <= SHORT || !far || is_trunk {
            continue;
        }
        let feet = longest.length.in_units(LengthUnit::Foot);
        let Some(meant) = Slip::Over(12).mended(feet) else { continue };
        let spots = vec![
            reading.sources.cell(longest.row, "length"),
            reading.sources.cell(others[others.len() - 1].row, "length"),
        ];
        let (found, meant) = (longest.length.to_string(), format!("{meant} ft"));
        reading.trouble_of(
            longest.row,
            spots,
            unlike_the_others("length", &found, Slip::Over(12), others.len(), &meant),
        );
    }
}

/// A figure that the other rows contradict, unless it is a slip of the pen.
fn unlike_the_others(what: &str, found: &str, slip: Slip, others: usize, meant: &str) -> Finding {
    let far = match slip {
        Slip::Over(times) => format!("about {times} times"),
        Slip::Under(10) => "about a tenth of".to_owned(),
        Slip::Under(100) => "about a hundredth of".to_owned(),
        Slip::Under(times) => format!("about one in {times} of"),
        Slip::Factor | Slip::HundredAndMore => "not".to_owned(),
    };
    let lead = match others {
        1 => "the other row leads".to_owned(),
        others => format!("{others} other rows lead"),
    };
    warning(
        "unlike-the-others",
        format!("{what} is {found}, {far} what {lead} to expect"),
        "a figure in line with those of its like",
        format!("type {meant} if that is meant, or leave it"),
    )
    .meaning(meant)
}
