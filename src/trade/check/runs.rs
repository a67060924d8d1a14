//! Names in runs and places that other tables must know, and the further columns that patterns count by.

use std::collections::{HashMap, HashSet};

use rust_decimal::Decimal;

use crate::ground::notice::{Finding, warning};
use crate::ground::{RowAt, Spot};
use crate::trade::catalog::Catalog;
use crate::trade::catalog::part::Class;
use crate::trade::catalog::pattern::{PatternRow, Per};
use crate::trade::lexicon::Word;
use crate::trade::reading::findings::too_many;
use crate::trade::reading::{MOST_COUNTED, Reading, unknown};
use crate::trade::run::{PlaceRow, RUNS, Run, RunColumns, tail_not_smaller};
use crate::trade::shape::{findings, unknown_names};

/// Names in runs that other tables must know: patterns, systems, sizes; and the count columns that patterns ask for.
pub(in crate::trade) fn runs(
    runs: &mut [Run],
    catalog: &Catalog,
    columns: &RunColumns,
    reading: &mut Reading,
) {
    let asked = counted_columns(catalog);
    unread_columns(&asked, catalog, columns, reading);
    // Each word is looked up once: a run list says the same few words again and again.
    let mut known_patterns: HashSet<Word> = HashSet::new();
    let mut told: HashMap<(&str, Word), Finding> = HashMap::new();
    let lexicon = reading.lexicon.clone();
    let text = |word: Word| lexicon.text(word);
    for run in runs {
        let mut wrong: Vec<(&str, Finding)> = Vec::new();
        let mut unknown = |heading, word, finding: &dyn Fn() -> Finding| {
            wrong.push((heading, told.entry((heading, word)).or_insert_with(finding).clone()));
        };
        for word in &run.patterns {
            if known_patterns.contains(word) {
                continue;
            }
            match catalog.pattern_named(*word) {
                Some(_) => {
                    known_patterns.insert(*word);
                }
                None => unknown("pattern", *word, &|| {
                    unknown::pattern(text(*word), catalog.patterns.iter().map(|pattern| &*pattern.name))
                }),
            }
        }
        let own = catalog.system_named(run.system);
        if !run.system.is_empty() && own.is_none() {
            unknown("system", run.system, &|| {
                unknown::system(text(run.system), catalog.systems.iter().map(|system| text(system.name)))
            });
        }
        for (heading, size) in [("size", Some(run.size)), ("reduce to", run.reduce_to)] {
            let Some(size) = size.filter(|size| !size.is_empty()) else { continue };
            let known = match own {
                Some(system) => catalog.order(catalog.system(system).tube, size).is_some(),
                None => catalog.sizes.iter().any(|known| known.size == size),
            };
            if !known {
                unknown(heading, size, &|| unknown::size(text(size), catalog.size_names(&lexicon)));
            }
        }
        let variants =
            || catalog.parts.iter().filter(|part| part.class == Class::Tube).map(|part| part.variant);
        if !run.variant.is_empty() && !variants().any(|variant| variant == run.variant) {
            unknown("variant", run.variant, &|| unknown::variant(text(run.variant), variants().map(text)));
        }
        if wrong.is_empty() {
            tail_is_smaller(run, catalog, reading);
        }
        for (heading, finding) in wrong {
            run.in_error = true;
            reading.trouble(run.row, heading, finding);
        }
        let numbers = run.counts.iter().filter(|(column, _)| asked.contains(column));
        let wrong = numbers.filter_map(|(column, number)| {
            let heading = text(*column);
            let is_count = !number.is_sign_negative() && number.fract().is_zero();
            match (is_count, *number > Decimal::from(MOST_COUNTED)) {
                (_, true) => Some((heading, too_many(heading, number))),
                (false, false) => Some((heading, not_counted(heading, &number.to_string()))),
                (true, false) => None,
            }
        });
        let words = run.words.iter().filter(|(column, _)| asked.contains(column));
        let words = words.map(|(column, words)| (text(*column), not_counted(text(*column), text(*words))));
        for (heading, finding) in wrong.chain(words).collect::<Vec<_>>() {
            run.in_error = true;
            reading.trouble(run.row, heading, finding);
        }
        if !run.in_error {
            unread_counts(run, &asked, catalog, reading);
        }
    }
}

/// Notices the counts of a run under columns that some pattern counts by, and none of its own. A row that is only for
/// another system reads them too: that is what it is for.
fn unread_counts(run: &Run, asked: &HashSet<Word>, catalog: &Catalog, reading: &mut Reading) {
    for (column, number) in run.counts.iter().filter(|(column, _)| asked.contains(column)) {
        let mut own = run.patterns.iter().filter_map(|name| catalog.pattern_named(*name));
        let reads = |row: &PatternRow| {
            row.per == Per::Column(*column) && (row.in_error || row.is_for(run, &reading.lexicon))
                || row.only.iter().any(|(asked, _)| asked == column)
        };
        if number.is_zero() || own.any(|id| catalog.pattern(id).rows.iter().any(reads)) {
            continue;
        }
        let counts = |row: &PatternRow| row.per == Per::Column(*column);
        let counting = catalog.patterns.iter().filter(|pattern| pattern.rows.iter().any(counts));
        let counting: Vec<&str> = counting.map(|pattern| &*pattern.name).collect();
        let heading = reading.text(*column);
        reading.trouble(run.row, &heading, count_not_read(&heading, number.normalize(), &counting));
    }
}

/// A tail is of a smaller size in every tube that has both sizes; of equal sizes the row itself is noticed.
fn tail_is_smaller(run: &mut Run, catalog: &Catalog, reading: &mut Reading) {
    let Some(tail) = run.reduce_to.filter(|tail| *tail != run.size) else { return };
    let mut larger = catalog.systems.iter().filter_map(|system| {
        let (size, tail) = (catalog.order(system.tube, run.size)?, catalog.order(system.tube, tail)?);
        Some(tail > size)
    });
    if larger.next().is_some_and(|first| first && larger.all(|each| each)) {
        run.in_error = true;
        let finding = tail_not_smaller(reading.lexicon.text(tail), reading.lexicon.text(run.size));
        reading.trouble(run.row, "reduce to", finding);
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
fn unread_columns(counted: &HashSet<Word>, catalog: &Catalog, columns: &RunColumns, reading: &mut Reading) {
    let rows = || catalog.patterns.iter().flat_map(|pattern| &pattern.rows);
    let asked = |word: Word| rows().any(|row| row.only.iter().any(|(column, _)| *column == word));
    for further in columns.iter().filter(|further| !counted.contains(&further.word) && !asked(further.word)) {
        let names = RUNS.columns.iter().map(|column| column.heading);
        // Sorted: the nearest names come in one order.
        let mut counts: Vec<&str> = counted.iter().map(|word| reading.lexicon.text(*word)).collect();
        counts.sort_unstable();
        let finding = unread_column(reading.lexicon.text(further.word), names.chain(counts));
        let mut spot: Spot = reading.sources.cell(RowAt { source: further.source, row: 1 }, &further.folded);
        spot.row = 1;
        reading.trouble_of([spot], finding);
    }
}

/// Patterns of places.
pub(in crate::trade) fn places(places: &mut [PlaceRow], catalog: &Catalog, reading: &mut Reading) {
    for place in places {
        for word in place.patterns.iter().filter(|word| catalog.pattern_named(**word).is_none()) {
            place.in_error = true;
            let names = catalog.patterns.iter().map(|pattern| &*pattern.name);
            let finding = unknown::pattern(reading.lexicon.text(*word), names);
            reading.trouble(place.row, "pattern", finding);
        }
    }
}

unknown_names! {
    /// Further columns of the run list that no pattern names.
    fn unread_column(found) = warning("unread-column",
        "the column \"{found}\" is not read",
        "a column of the run list, or one that a pattern names",
        "leave it as your own, or name it in a pattern") meant;
}

findings! {
    /// What stands under a count column and cannot be counted.
    fn not_counted(heading: &str, found: &str) = error("not-a-count",
        "{heading} is \"{found}\"",
        "a whole number, zero or more",
        "type how many there are");
}

/// A number under a count column of a run that no row of its own patterns reads; the patterns that count by the column.
fn count_not_read(heading: &str, found: Decimal, counting: &[&str]) -> Finding {
    let patterns = match counting {
        [one] => format!("the pattern {one}"),
        several => format!("one of the patterns {}", several.join(", ")),
    };
    warning(
        "count-not-read",
        format!("{heading} is {found}, and no pattern of this run reads it: nothing is counted for it"),
        format!("{patterns}, which counts by {heading}"),
        "type it in `pattern` behind a semicolon, or empty the cell",
    )
}
