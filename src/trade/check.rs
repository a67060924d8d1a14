//! What only several tables together show: names of parts, patterns, systems and sizes that nothing defines.
//!
//! It marks rows in error and takes notices down. How runs meet is the network's.

use std::collections::{HashMap, HashSet};

use rust_decimal::Decimal;

use super::bid_terms::ProfitAs;
use super::catalog::Catalog;
use super::held::Held;
use super::lexicon::{Lexicon, Word};
use super::on_hand::OnHand;
use super::part::{Class, Fit};
use super::pattern::{PatternRow, Per};
use super::place::PlaceRow;
use super::price_list::PriceList;
use super::row::{Desk, MOST_COUNTED, nearest_of};
use super::run::Run;
use super::run_column::RunColumns;
use super::supplier::Supplier;
use super::system::Side;
use super::terms::{Said, Terms};
use super::words::{Named, Trouble};
use super::words_doubt::Doubt;
use super::words_runs;
use crate::ground::name::natural;
use crate::ground::{RowAt, Spot};

/// Systems of the job: known ones of the right side; what is not is dropped, and what to compare with is never the
/// chosen one.
pub(super) fn terms(terms: &mut Terms, said: &Said, catalog: &Catalog, desk: &mut Desk) {
    let usual = ["pex-clamp", "copper-solder"].map(|name| desk.lexicon.word(name));
    if let Some(at) = said.water
        && !system_of(terms.water_system, Side::Water, at, catalog, desk)
    {
        terms.water_system = usual[0];
    }
    if let Some(at) = said.drain
        && !system_of(terms.drain_system, Side::Drain, at, catalog, desk)
    {
        terms.drain_system = Word::EMPTY;
    }
    match said.compare {
        Some(at) => terms.compare_with.retain(|word| system_of(*word, Side::Water, at, catalog, desk)),
        // A system of the user's own is not set against tubes that may not have its sizes unless the job says so.
        None if usual.contains(&terms.water_system) => terms.compare_with = usual.into(),
        None => terms.compare_with = Vec::new(),
    }
    terms.compare_with.retain(|word| *word != terms.water_system);
    bid(terms, said, catalog, desk);
    let (points, row) = terms.allowance(Class::Tube);
    if let Some(at) = row.filter(|_| points > Decimal::ZERO && !said.tube_allowance) {
        let points = points.normalize().to_string();
        desk.trouble(at, "value", Trouble::AllowanceByPlan { points: &points });
    }
    super::order_terms::check(&mut terms.cutting, catalog, desk);
    super::order_terms::check_days(&terms.order, terms.date, desk);
}

/// What is said of the bid: a margin leaves something for the cost, and parts that are exempt exist.
fn bid(terms: &mut Terms, said: &Said, catalog: &Catalog, desk: &mut Desk) {
    if let Some(at) = said.profit
        && terms.bid.profit_as == ProfitAs::Margin
        && terms.profit >= Decimal::ONE_HUNDRED
    {
        let found = terms.profit.normalize().to_string();
        desk.trouble(at, "value", Trouble::MarginOfAll { found: &found });
        terms.profit = Decimal::ZERO;
    }
    if let (Some((until, at)), Some(date)) = (terms.bid.good_until, terms.date)
        && until < date
    {
        let (found, date) = (until.to_string(), date.to_string());
        desk.trouble(at, "value", Trouble::BidEndsBeforeJob { found: &found, date: &date });
    }
    // The order of rows changes nothing.
    terms.bid.fees.sort_by(|a, b| natural(&a.name, &b.name).then_with(|| a.sum.cmp(&b.sum)));
    terms.bid.not_included.sort_by(|a, b| natural(a, b));
    terms.bid.exempt.retain(|(word, at)| {
        let known = !catalog.parts_called_or_used(*word).is_empty();
        if !known {
            let found = desk.lexicon.text(*word).to_owned();
            let nearest = nearest_name(&found, Named::Part, catalog, &[], &desk.lexicon);
            desk.trouble(*at, "for", Trouble::UnknownName { what: Named::Part, found: &found, nearest });
        }
        known
    });
}

/// Whether a word names a system of a side; notices where it does not.
fn system_of(word: Word, side: Side, at: RowAt, catalog: &Catalog, desk: &mut Desk) -> bool {
    let found = desk.lexicon.text(word).to_owned();
    match catalog.system_named(word).map(|id| catalog.system(id)) {
        Some(system) if system.side == side => true,
        Some(_) => {
            let side = match side {
                Side::Water => "water",
                Side::Drain => "drain",
            };
            desk.trouble(at, "value", Trouble::WrongSide { found: &found, side });
            false
        }
        None => {
            let names = catalog.systems.iter().map(|system| desk.lexicon.text(system.name));
            let nearest = nearest_of(&found, names);
            desk.trouble(at, "value", Trouble::UnknownName { what: Named::System, found: &found, nearest });
            false
        }
    }
}

/// Names that rows of the catalog give to each other.
pub(super) fn catalog(catalog: &mut Catalog, joints: &[Word], desk: &mut Desk) {
    let mut wrong: Vec<(RowAt, &str, Named, Word)> = Vec::new();
    for part in &mut catalog.parts {
        let systems: Vec<Word> = part.systems.to_vec();
        let is_system = |word: &Word| {
            catalog.systems.iter().any(|system| [system.name, system.tube, system.fit].contains(word))
        };
        let unknown = |word: &Word| !is_system(word) && !catalog.sizes.iter().any(|size| size.tube == *word);
        for word in systems.into_iter().filter(unknown) {
            part.in_error = true;
            wrong.push((part.row, "system", Named::SystemOrTube, word));
        }
        let named = part.ports.iter().filter_map(|port| match port.fit {
            Fit::Joint(system) | Fit::TubeEnd(system) => system,
            Fit::Thread(_) | Fit::Compression | Fit::Closed | Fit::ClosedTubeEnd => None,
        });
        for word in named.filter(|word| !is_system(word)) {
            part.in_error = true;
            wrong.push((part.row, "ports", Named::System, word));
        }
    }
    for system in catalog.systems.iter().filter(|system| !joints.contains(&system.joint)) {
        wrong.push((system.row, "joint", Named::Joint, system.joint));
    }
    for joint in catalog.joints.iter().filter(|joint| catalog.parts_called(joint.part).is_empty()) {
        wrong.push((joint.row, "part", Named::Part, joint.part));
    }
    for rule in catalog.supports.iter().filter(|rule| catalog.parts_called(rule.part).is_empty()) {
        wrong.push((rule.row, "part", Named::Part, rule.part));
    }
    for (at, heading, what, word) in wrong {
        let found = desk.lexicon.text(word).to_owned();
        let nearest = nearest_name(&found, what, catalog, joints, &desk.lexicon);
        desk.trouble(at, heading, Trouble::UnknownName { what, found: &found, nearest });
    }
    for system in &catalog.systems {
        if !catalog.sizes.iter().any(|size| size.tube == system.tube) {
            let tube = desk.lexicon.text(system.tube).to_owned();
            let nearest = nearest_of(&tube, catalog.sizes.iter().map(|size| desk.lexicon.text(size.tube)));
            desk.trouble(system.row, "tube", Trouble::NoSizes { tube: &tube, nearest });
        }
    }
}

fn nearest_name(found: &str, what: Named, catalog: &Catalog, joints: &[Word], lexicon: &Lexicon) -> String {
    match what {
        Named::Part | Named::SoldPart => nearest_of(found, catalog.part_names(lexicon)),
        Named::System => nearest_of(found, catalog.systems.iter().map(|system| lexicon.text(system.name))),
        Named::SystemOrTube | Named::SoldSystem => nearest_of(found, catalog.system_names(lexicon)),
        Named::SoldColor => nearest_of(found, COLORS.into_iter()),
        Named::Size | Named::SoldSize => nearest_of(found, catalog.size_names(lexicon)),
        Named::Joint => nearest_of(found, joints.iter().map(|joint| lexicon.text(*joint))),
        Named::Pattern => nearest_of(found, catalog.patterns.iter().map(|pattern| &*pattern.name)),
        Named::Variant => {
            let tube = catalog.parts.iter().filter(|part| part.class == Class::Tube);
            nearest_of(found, tube.map(|part| lexicon.text(part.variant)))
        }
        Named::Column | Named::Supplier => String::new(),
    }
}

/// Names in runs that other tables must know: patterns, systems, sizes; and the count columns that patterns ask for.
pub(super) fn runs(runs: &mut [Run], catalog: &Catalog, columns: &RunColumns, desk: &mut Desk) {
    let asked = counted_columns(catalog);
    unread_columns(&asked, catalog, columns, desk);
    // Each word is looked up once: a run list says the same few words again and again.
    let mut known_patterns: HashSet<Word> = HashSet::new();
    let mut nearest: HashMap<(&str, Word), String> = HashMap::new();
    for run in runs {
        let mut wrong: Vec<(&str, Named, Word)> = Vec::new();
        for word in &run.patterns {
            if !known_patterns.contains(word) {
                if catalog.pattern_named(*word).is_some() {
                    known_patterns.insert(*word);
                } else {
                    wrong.push(("pattern", Named::Pattern, *word));
                }
            }
        }
        let own = catalog.system_named(run.system);
        if !run.system.is_empty() && own.is_none() {
            wrong.push(("system", Named::System, run.system));
        }
        for (heading, size) in [("size", Some(run.size)), ("reduce to", run.reduce_to)] {
            let Some(size) = size.filter(|size| !size.is_empty()) else { continue };
            let known = match own {
                Some(system) => catalog.order(catalog.system(system).tube, size).is_some(),
                None => catalog.sizes.iter().any(|known| known.size == size),
            };
            if !known {
                wrong.push((heading, Named::Size, size));
            }
        }
        let tube = || catalog.parts.iter().filter(|part| part.class == Class::Tube);
        if !run.variant.is_empty() && !tube().any(|part| part.variant == run.variant) {
            wrong.push(("variant", Named::Variant, run.variant));
        }
        let none_wrong = wrong.is_empty();
        for (heading, what, word) in wrong {
            run.in_error = true;
            let found = desk.lexicon.text(word).to_owned();
            let nearest = nearest
                .entry((heading, word))
                .or_insert_with(|| nearest_name(&found, what, catalog, &[], &desk.lexicon))
                .clone();
            desk.trouble(run.row, heading, Trouble::UnknownName { what, found: &found, nearest });
        }
        if none_wrong {
            tail_is_smaller(run, catalog, desk);
        }
        let numbers =
            run.counts.iter().filter(|(_, number)| number.is_sign_negative() || !number.fract().is_zero());
        let mut uncounted: Vec<(Word, String)> =
            numbers.map(|(column, number)| (*column, number.to_string())).collect();
        uncounted
            .extend(run.words.iter().map(|(column, words)| (*column, desk.lexicon.text(*words).to_owned())));
        let beyond = run
            .counts
            .iter()
            .filter(|(column, number)| asked.contains(column) && *number > Decimal::from(MOST_COUNTED));
        for (column, number) in beyond {
            run.in_error = true;
            let (heading, found) = (desk.lexicon.text(*column).to_owned(), number.to_string());
            let most = "a whole number up to 1000000";
            desk.doubt(run.row, &heading, Doubt::BeyondAHouse { heading: &heading, found: &found, most });
        }
        for (column, found) in uncounted.iter().filter(|(column, _)| asked.contains(column)) {
            run.in_error = true;
            let heading = desk.lexicon.text(*column).to_owned();
            desk.trouble(run.row, &heading, Trouble::CountColumn { heading: &heading, found });
        }
        if !run.in_error {
            unread_counts(run, &asked, catalog, desk);
        }
    }
}

/// Notices the counts of a run under columns that some pattern counts by, and none of its own. A row that is only for
/// another system reads them too: that is what it is for.
fn unread_counts(run: &Run, asked: &HashSet<Word>, catalog: &Catalog, desk: &mut Desk) {
    for (column, number) in run.counts.iter().filter(|(column, _)| asked.contains(column)) {
        let mut own = run.patterns.iter().filter_map(|name| catalog.pattern_named(*name));
        let reads = |row: &PatternRow| {
            row.per == Per::Column(*column) && (row.in_error || row.is_for(run, &desk.lexicon))
                || row.only.iter().any(|(asked, _)| asked == column)
        };
        if number.is_zero() || own.any(|id| catalog.pattern(id).rows.iter().any(reads)) {
            continue;
        }
        let counts = |row: &PatternRow| row.per == Per::Column(*column);
        let reading: Vec<&str> = catalog
            .patterns
            .iter()
            .filter(|pattern| pattern.rows.iter().any(counts))
            .map(|pattern| &*pattern.name)
            .collect();
        let heading = desk.lexicon.text(*column);
        let spot = desk.sources.cell(run.row, heading);
        let found = number.normalize().to_string();
        desk.notices.push(words_runs::count_unread(spot, heading, &found, &reading));
    }
}

/// A tail is of a smaller size in every tube that has both sizes; of equal sizes the row itself is noticed.
fn tail_is_smaller(run: &mut Run, catalog: &Catalog, desk: &mut Desk) {
    let Some(tail) = run.reduce_to.filter(|tail| *tail != run.size) else { return };
    let mut larger = catalog.systems.iter().filter_map(|system| {
        let (size, tail) = (catalog.order(system.tube, run.size)?, catalog.order(system.tube, tail)?);
        Some(tail > size)
    });
    if larger.next().is_some_and(|first| first && larger.all(|each| each)) {
        run.in_error = true;
        let (tail, size) = (desk.lexicon.text(tail).to_owned(), desk.lexicon.text(run.size).to_owned());
        desk.trouble(run.row, "reduce to", Trouble::TailNotSmaller { tail: &tail, size: &size });
    }
}

/// The further columns that patterns count by.
fn counted_columns(catalog: &Catalog) -> HashSet<Word> {
    let rows = catalog.patterns.iter().flat_map(|pattern| &pattern.rows);
    rows.filter_map(|row| match row.per {
        Per::Column(word) => Some(word),
        Per::Run
        | Per::Turn
        | Per::Bend
        | Per::Elbow
        | Per::Start
        | Per::End
        | Per::Both
        | Per::Tap
        | Per::Place
        | Per::Length => None,
    })
    .collect()
}

/// Notices each further column that no pattern names, once.
fn unread_columns(counted: &HashSet<Word>, catalog: &Catalog, columns: &RunColumns, desk: &mut Desk) {
    let rows = || catalog.patterns.iter().flat_map(|pattern| &pattern.rows);
    let asked = |word: Word| rows().any(|row| row.only.iter().any(|(column, _)| *column == word));
    for further in columns.iter().filter(|further| !counted.contains(&further.word) && !asked(further.word)) {
        let found = desk.lexicon.text(further.word).to_owned();
        let names = super::run::RUNS.columns.iter().map(|column| column.heading);
        // Sorted: the nearest names come in one order.
        let mut counts: Vec<&str> = counted.iter().map(|word| desk.lexicon.text(*word)).collect();
        counts.sort_unstable();
        let nearest = nearest_of(&found, names.chain(counts));
        let mut spot: Spot = desk.sources.cell(RowAt { source: further.source, row: 1 }, &further.folded);
        spot.row = 1;
        desk.notices.push(Trouble::UnreadColumn { found: &found, nearest }.word(vec![spot]));
    }
}

/// Patterns of places.
pub(super) fn places(places: &mut [PlaceRow], catalog: &Catalog, desk: &mut Desk) {
    for place in places {
        for word in place.patterns.iter().filter(|word| catalog.pattern_named(**word).is_none()) {
            place.in_error = true;
            let found = desk.lexicon.text(*word).to_owned();
            let nearest = nearest_name(&found, Named::Pattern, catalog, &[], &desk.lexicon);
            let trouble = Trouble::UnknownName { what: Named::Pattern, found: &found, nearest };
            desk.trouble(place.row, "pattern", trouble);
        }
    }
}

/// The colors in which tube is sold.
const COLORS: [&str; 2] = ["red", "blue"];

/// Parts, sizes, systems and colors of price lists, of the stock and of held choices that nothing defines, each word
/// once. A held choice is checked for its size and color alone: what it holds nothing of is told where all is bought.
pub(super) fn sold(
    prices: &PriceList,
    on_hand: &[OnHand],
    held: &mut [Held],
    by_color: bool,
    catalog: &Catalog,
    desk: &mut Desk,
) {
    let colors: Vec<Word> = COLORS.iter().map(|color| desk.lexicon.word(color)).collect();
    let sizes: HashSet<Word> = catalog.sizes.iter().map(|size| size.size).collect();
    let offers = prices
        .offers
        .iter()
        .map(|offer| (offer.row, offer.part, &*offer.sizes, &*offer.systems, offer.color, None));
    let stock = on_hand
        .iter()
        .map(|stock| (stock.row, stock.part, &*stock.sizes, &*stock.systems, stock.color, None));
    let kept = held
        .iter()
        .enumerate()
        .map(|(at, row)| (row.row, row.part, &*row.sizes, &[][..], row.color, Some(at)));
    let mut rows: Vec<_> = offers.chain(stock).chain(kept).collect();
    rows.sort_by_key(|row| row.0);
    let mut seen: HashSet<(Word, &str)> = HashSet::new();
    let mut held_wrong: Vec<usize> = Vec::new();
    for (row, part, of_sizes, systems, color, held_at) in rows {
        let known = part.is_empty() || !catalog.parts_called_or_used(part).is_empty();
        if held_at.is_none() && !known && seen.insert((part, "part")) {
            sold_name(row, "part", Named::SoldPart, part, catalog, desk);
        }
        // Of a part that is not known nobody asks for its sizes.
        for size in of_sizes.iter().filter(|size| known && !sizes.contains(size)) {
            held_wrong.extend(held_at);
            if seen.insert((*size, "size")) {
                sold_name(row, "size", Named::SoldSize, *size, catalog, desk);
            }
        }
        for system in systems {
            if seen.insert((*system, "system")) && !catalog.knows_system_or_tube(*system) {
                sold_name(row, "system", Named::SoldSystem, *system, catalog, desk);
            }
        }
        // Only of tube that is bought by color does the color decide.
        if by_color && catalog.is_tube(part) && !color.is_empty() && !colors.contains(&color) {
            held_wrong.extend(held_at);
            if seen.insert((color, "color")) {
                sold_name(row, "color", Named::SoldColor, color, catalog, desk);
            }
        }
    }
    for at in held_wrong {
        held[at].in_error = true;
    }
}

/// Suppliers that no price list names, and those with two rows in one table.
pub(super) fn suppliers(suppliers: &[Supplier], prices: &PriceList, desk: &mut Desk) {
    let sells: HashSet<Word> = prices.offers.iter().map(|offer| offer.supplier).collect();
    for (at, row) in suppliers.iter().enumerate().filter(|(_, row)| !row.supplier.is_empty()) {
        let found = desk.lexicon.text(row.supplier).to_owned();
        if suppliers[..at]
            .iter()
            .any(|other| other.supplier == row.supplier && other.row.source == row.row.source)
        {
            desk.trouble(row.row, "supplier", Trouble::RowTwice { key: &found });
        } else if !sells.is_empty() && !sells.contains(&row.supplier) {
            let names = prices.offers.iter().map(|offer| desk.lexicon.text(offer.supplier));
            let nearest = nearest_of(&found, names);
            let trouble = Trouble::UnknownName { what: Named::Supplier, found: &found, nearest };
            desk.trouble(row.row, "supplier", trouble);
        }
    }
}

/// Alternatives that held choices name and the job does not have, each name once: such rows hold nothing.
pub(super) fn held(held: &mut [Held], terms: &Terms, desk: &mut Desk) {
    let alternatives: Vec<Word> =
        std::iter::once(terms.water_system).chain(terms.compare_with.iter().copied()).collect();
    let mut unknown: Vec<(Word, RowAt, usize)> = Vec::new();
    let others = |row: &&mut Held| !row.alternative.is_empty() && !alternatives.contains(&row.alternative);
    for row in held.iter_mut().filter(others) {
        row.in_error = true;
        match unknown.iter_mut().find(|(word, _, _)| *word == row.alternative) {
            Some((_, _, more)) => *more += 1,
            None => unknown.push((row.alternative, row.row, 0)),
        }
    }
    for (word, at, more) in unknown {
        let found = desk.lexicon.text(word).to_owned();
        let known: Vec<&str> = alternatives.iter().map(|word| desk.lexicon.text(*word)).collect();
        let known = known.join(", ");
        desk.trouble(at, "alternative", Trouble::NoAlternative { found: &found, known: &known, more });
    }
}

fn sold_name(row: RowAt, heading: &str, what: Named, word: Word, catalog: &Catalog, desk: &mut Desk) {
    let found = desk.lexicon.text(word).to_owned();
    let nearest = nearest_name(&found, what, catalog, &[], &desk.lexicon);
    desk.trouble(row, heading, Trouble::UnknownName { what, found: &found, nearest });
}
