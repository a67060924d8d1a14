//! Names in runs and places that other tables must know, and the further columns that patterns count by.

use std::collections::{HashMap, HashSet};

use rust_decimal::Decimal;

use crate::ground::RowAt;
use crate::ground::notice::{Finding, findings};
use crate::trade::catalog::Catalog;
use crate::trade::catalog::part::Class;
use crate::trade::catalog::pattern::{PatternRow, Per};
use crate::trade::lexicon::{Lexicon, Word};
use crate::trade::reading::findings::too_many;
use crate::trade::reading::{MOST_COUNTED, Reading, unknown};
use crate::trade::run::{PlaceRow, RUNS, Run, RunColumns, tail_not_smaller};
use crate::trade::shape::unknown_names;

/// Names in runs that other tables must know: patterns, systems, sizes; and the count columns that patterns ask for.
pub(in crate::trade) fn runs(
    runs: &mut [Run],
    catalog: &Catalog,
    columns: &RunColumns,
    reading: &mut Reading,
) {
    let asked = counted_columns(catalog);
    unread_columns(&asked, catalog, columns, reading);
    let mut told = HashMap::new();
    for run in runs {
        let unknown = unknown_words(run, catalog, &reading.lexicon, &mut told);
        if unknown.is_empty() {
            tail_is_smaller(run, catalog, reading);
        }
        let wrong = unknown.into_iter().chain(uncounted(run, &asked, &reading.lexicon));
        for (heading, finding) in wrong.collect::<Vec<_>>() {
            run.in_error = true;
            reading.trouble(run.row, &heading, finding);
        }
        if !run.in_error {
            unread_counts(run, &asked, catalog, reading);
        }
    }
}

/// Words of a run that no other table has, with their columns. What is said of a word is put together once: a run list
/// says the same few words again and again.
fn unknown_words(
    run: &Run,
    catalog: &Catalog,
    lexicon: &Lexicon,
    told: &mut HashMap<(&'static str, Word), Finding>,
) -> Vec<(String, Finding)> {
    let text = |word: Word| lexicon.text(word);
    let mut wrong = Vec::new();
    let mut tell = |heading: &'static str, word, finding: &dyn Fn(&str) -> Finding| {
        let finding = told.entry((heading, word)).or_insert_with(|| finding(text(word)));
        wrong.push((heading.to_owned(), finding.clone()));
    };
    for word in run.patterns.iter().filter(|word| catalog.pattern_named(**word).is_none()) {
        let names = || lexicon.near_texts(catalog.patterns.iter().map(|pattern| &*pattern.name));
        tell("pattern", *word, &|found| unknown::pattern(found, names()));
    }
    let own = catalog.system_named(run.system);
    if !run.system.is_empty() && own.is_none() {
        let names = || lexicon.near(catalog.systems.iter().map(|system| system.name));
        tell("system", run.system, &|found| unknown::system(found, names()));
    }
    for (heading, size) in [("size", run.size), ("reduce to", run.reduce_to.unwrap_or_default())] {
        let known = match own {
            Some(system) => catalog.order(catalog.system(system).tube, size).is_some(),
            None => catalog.is_tube_size(size),
        };
        if !known && !size.is_empty() {
            tell(heading, size, &|found| unknown::size(found, catalog.size_names(lexicon)));
        }
    }
    let variants = || catalog.parts.iter().filter(|part| part.class == Class::Tube).map(|part| part.variant);
    if !run.variant.is_empty() && !catalog.is_tube_variant(run.variant) {
        tell("variant", run.variant, &|found| unknown::variant(found, lexicon.near(variants())));
    }
    wrong
}

/// Cells of a run that stand under a count column and are no count, with their columns.
fn uncounted(run: &Run, asked: &HashSet<Word>, lexicon: &Lexicon) -> Vec<(String, Finding)> {
    let text = |word: Word| lexicon.text(word);
    let counts = run.counts.iter().filter(|(column, _)| asked.contains(column));
    let numbers = counts.filter_map(|(column, number)| {
        let is_count = !number.is_sign_negative() && number.fract().is_zero();
        match (is_count, *number > Decimal::from(MOST_COUNTED)) {
            (_, true) => Some((*column, too_many(text(*column), number))),
            (false, false) => Some((*column, not_counted(text(*column), &number.to_string()))),
            (true, false) => None,
        }
    });
    let words = run.words.iter().filter(|(column, _)| asked.contains(column));
    let words = words.map(|(column, words)| (*column, not_counted(text(*column), text(*words))));
    numbers.chain(words).map(|(column, finding)| (text(column).to_owned(), finding)).collect()
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
        let patterns = match counting[..] {
            [one] => format!("the pattern {one}"),
            _ => format!("one of the patterns {}", counting.join(", ")),
        };
        reading.trouble(run.row, &heading, count_not_read(&heading, number.normalize(), &patterns));
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
    rows.filter_map(|row| if let Per::Column(word) = row.per { Some(word) } else { None }).collect()
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
        let at = RowAt { source: further.source, row: 1 };
        let spot = reading.sources.cell(at, &further.folded);
        reading.trouble_of(at, [spot], finding);
    }
}

/// Patterns of places.
pub(in crate::trade) fn places(places: &mut [PlaceRow], catalog: &Catalog, reading: &mut Reading) {
    for place in places {
        for word in place.patterns.iter().filter(|word| catalog.pattern_named(**word).is_none()) {
            place.in_error = true;
            let names = catalog.patterns.iter().map(|pattern| &*pattern.name);
            let names = reading.lexicon.near_texts(names);
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

    /// A number under a count column of a run that no row of its own patterns reads; the patterns that count by the column.
    fn count_not_read(heading: &str, found: Decimal, patterns: &str) = warning("count-not-read",
        "{heading} is {found}, and no pattern of this run reads it: nothing is counted for it",
        "{patterns}, which counts by {heading}",
        "type it in `pattern` behind a semicolon, or empty the cell");
}
