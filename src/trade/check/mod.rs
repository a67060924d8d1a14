//! What only several tables together show: names of parts, patterns, systems and sizes that nothing defines, settings that
//! the catalog contradicts.
//!
//! It marks rows in error and takes notices down. How runs meet is the network's.

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use super::catalog::Catalog;
use super::catalog::part::Class;
use super::catalog::port::Fit;
use super::catalog::take_out;
use super::lexicon::Word;
use super::reading::{Reading, unknown};
use super::run::Side;
use super::settings::{ProfitAs, Said, Settings};
use crate::ground::name::natural;
use crate::ground::notice::{Finding, findings};
use crate::ground::{Date, RowAt};
use crate::trade::shape::unknown_names;

mod drains;
mod labor;
mod parties;
mod runs;
mod sold;

pub(super) use drains::drains;
pub(super) use labor::{crew, rows as labor, tools};
pub(super) use parties::parties;
pub(super) use runs::{places, runs};
pub(super) use sold::{held, sold, suppliers};

/// The usual systems of water: each is set against the other unless the job says so.
const USUAL: [&str; 2] = ["pex-clamp", "copper-solder"];

/// Systems of the job: known ones of the right side; what is not is dropped, and what to compare with is never the
/// chosen one.
pub(super) fn settings(settings: &mut Settings, said: &Said, catalog: &Catalog, reading: &mut Reading) {
    let usual = USUAL.map(|name| reading.lexicon.word(name));
    if let Some(at) = said.water
        && !system_of(settings.water_system, Side::Water, at, catalog, reading)
    {
        settings.water_system = usual[0];
    }
    if let Some(at) = said.drain
        && !system_of(settings.drain_system, Side::Drain, at, catalog, reading)
    {
        settings.drain_system = Word::EMPTY;
    }
    match said.compare {
        Some(at) => {
            let is_drain = |word: &Word| {
                catalog.system_named(*word).is_some_and(|id| catalog.system(id).side == Side::Drain)
            };
            let (drains, others) = settings.compare_with.iter().copied().partition(is_drain);
            (settings.compare_drains, settings.compare_with) = (drains, others);
            settings.compare_with.retain(|word| system_of(*word, Side::Water, at, catalog, reading));
        }
        // A system of the user's own is not set against tubes that may not have its sizes unless the job says so.
        None if usual.contains(&settings.water_system) => settings.compare_with = usual.into(),
        None => settings.compare_with = Vec::new(),
    }
    settings.compare_with.retain(|word| *word != settings.water_system);
    settings.compare_drains.retain(|word| *word != settings.drain_system);
    bid(settings, said, catalog, reading);
    let (percent, row) = settings.allowance(Class::Tube);
    if let Some(at) = row.filter(|_| percent > Decimal::ZERO && !said.tube_allowance) {
        reading.trouble(at, "value", allowance_by_plan(percent.normalize()));
    }
    settings.cutting.kerf.retain(|kerf| {
        let known = kerf.of.is_empty() || catalog.system_words().any(|word| word == kerf.of);
        if !known {
            let lexicon = &reading.lexicon;
            let finding = unknown::system_or_tube(lexicon.text(kerf.of), catalog.system_names(lexicon));
            reading.trouble(kerf.row, "for", finding);
        }
        known
    });
    let Some(date) = settings.date else { return };
    for needed in settings.order.needed.iter().filter(|needed| needed.day < date) {
        reading.trouble(needed.row, "value", needed_before_job(needed.day, date));
    }
}

/// What is said of the bid: a margin leaves something for the cost, and parts that are exempt exist.
fn bid(settings: &mut Settings, said: &Said, catalog: &Catalog, reading: &mut Reading) {
    if let Some(at) = said.profit
        && settings.bid.profit_as == ProfitAs::Margin
        && settings.profit >= Decimal::ONE_HUNDRED
    {
        reading.trouble(at, "value", margin_of_all(settings.profit.normalize()));
        settings.profit = Decimal::ZERO;
    }
    if let (Some((until, at)), Some(date)) = (settings.bid.good_until, settings.date)
        && until < date
    {
        reading.trouble(at, "value", bid_ends_before_job(until, date));
    }
    // The order of rows changes nothing.
    settings
        .bid
        .sums
        .sort_by(|a, b| natural(&a.name, &b.name).then_with(|| (a.sum, a.is).cmp(&(b.sum, b.is))));
    settings.bid.not_included.sort_by(|a, b| natural(a, b));
    settings.bid.exempt.retain(|(word, at)| {
        let known = !catalog.parts_called_or_used(*word).is_empty();
        if !known {
            let finding = unknown::part(reading.lexicon.text(*word), catalog.part_names(&reading.lexicon));
            reading.trouble(*at, "for", finding);
        }
        known
    });
}

/// Whether a word names a system of a side; notices where it does not.
fn system_of(word: Word, side: Side, at: RowAt, catalog: &Catalog, reading: &mut Reading) -> bool {
    let found = reading.lexicon.text(word);
    let finding = match catalog.system_named(word).map(|id| catalog.system(id)) {
        Some(system) if system.side == side => return true,
        Some(_) => wrong_side(found, side.word()),
        None => {
            let names = reading.lexicon.near(catalog.systems.iter().map(|system| system.name));
            unknown::system(found, names)
        }
    };
    reading.trouble(at, "value", finding);
    false
}

/// Names that rows of the catalog give to each other.
pub(super) fn catalog(catalog: &mut Catalog, reading: &mut Reading) {
    let mut wrong: Vec<(RowAt, &str, Finding)> = Vec::new();
    let lexicon = &reading.lexicon;
    let mut in_error: Vec<usize> = Vec::new();
    let systems: BTreeSet<Word> = catalog.system_words().collect();
    for (place, part) in catalog.parts.iter().enumerate() {
        for word in part.systems.iter().filter(|word| !catalog.knows_system_or_tube(**word)) {
            in_error.push(place);
            let finding = unknown::system_or_tube(lexicon.text(*word), catalog.system_names(lexicon));
            wrong.push((part.row, "system", finding));
        }
        let named = part.ports.iter().filter_map(|port| match port.fit {
            Fit::Joint(system) | Fit::TubeEnd(system) => system,
            Fit::Thread(_) | Fit::Compression | Fit::Closed | Fit::ClosedTubeEnd => None,
        });
        for word in named.filter(|word| !systems.contains(word)) {
            in_error.push(place);
            let names = lexicon.near(catalog.systems.iter().map(|system| system.name));
            wrong.push((part.row, "ports", unknown::system(lexicon.text(word), names)));
        }
    }
    let tubes: BTreeSet<Word> = catalog.sizes.iter().map(|size| size.tube).collect();
    let joints: BTreeSet<Word> = catalog.joint_names.iter().copied().collect();
    for system in &catalog.systems {
        if !joints.contains(&system.joint) {
            let names = lexicon.near(catalog.joint_names.iter().copied());
            wrong.push((system.row, "joint", unknown::joint(lexicon.text(system.joint), names)));
        }
        if !tubes.contains(&system.tube) {
            let names = lexicon.near(catalog.sizes.iter().map(|size| size.tube));
            wrong.push((system.row, "tube", tube_without_sizes(lexicon.text(system.tube), names)));
        }
    }
    let joints = catalog.joints.iter().map(|joint| (joint.row, joint.part));
    let supports = catalog.supports.iter().map(|rule| (rule.row, rule.part));
    for (row, part) in joints.chain(supports).filter(|(_, part)| catalog.parts_called(*part).is_empty()) {
        wrong.push((row, "part", unknown::part(lexicon.text(part), catalog.part_names(lexicon))));
    }
    let meetings = catalog
        .meetings
        .iter()
        .flat_map(|row| [(row.row, "part", row.part), (row.row, "branch part", row.branch_part)]);
    let turnings = catalog.turnings.iter().map(|row| (row.row, "part", row.part));
    let is_unknown = |word: Word| !word.is_empty() && catalog.parts_called_or_used(word).is_empty();
    for (row, heading, part) in meetings.chain(turnings).filter(|(.., part)| is_unknown(*part)) {
        wrong.push((row, heading, unknown::part(lexicon.text(part), catalog.part_names(lexicon))));
    }
    for (at, heading, finding) in wrong {
        reading.trouble(at, heading, finding);
    }
    for place in in_error {
        catalog.parts[place].in_error = true;
    }
    take_out::check(catalog, reading);
}

findings! {
    /// A system of the wrong side of the house.
    fn wrong_side(found: &str, side: &str) = error("wrong-side",
        "\"{found}\" is not a {side} system",
        "a system whose side is {side}",
        "name a {side} system, or correct its side in the table systems");

    /// Goods that are needed before the day of the job.
    fn needed_before_job(found: Date, date: Date) = warning("needed-before-job",
        "goods are needed on {found}, and the day of the job is {date}",
        "a day on or after the date of the job, which is the day prices are taken on",
        "correct the day, or the item date");

    /// A bid that ends before the day of the job.
    fn bid_ends_before_job(found: Date, date: Date) = warning("bid-ends-before-job",
        "the bid is good until {found}, and the day of the job is {date}",
        "a last day on or after the date of the job",
        "correct the day, or the item date");

    /// A profit that is all of the price.
    fn margin_of_all(found: Decimal) = error("margin-of-all",
        "profit is a margin of {found}",
        "a margin below 100: it is a share of the price, and some of the price is cost",
        "type a smaller margin, or say profit as markup");

    /// An allowance of tube that the cut plan replaces.
    fn allowance_by_plan(percent: Decimal) = remark("allowance-by-plan",
        "allowance for tube is {percent}, and a cut plan replaces it: only loose tube takes it",
        "tube allowance beside it, which says what becomes of it",
        "add a row tube allowance: end for spare length, piece for a share on each piece, plan for none");
}

unknown_names! {
    /// A tube that no size belongs to.
    fn tube_without_sizes(found) = error("tube-without-sizes",
        "the tube \"{found}\" has no sizes",
        "a tube of the table sizes",
        "give it its rows in the table sizes");
}
