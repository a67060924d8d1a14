//! Rows that nothing can ever use though each of their words is known: a part and a system, or a part and a variant, that do
//! not go together; supports of a tube that there is not; a pattern that asks a column for what it never is.

use std::collections::HashSet;

use super::Judged;
use crate::ground::RowAt;
use crate::ground::name::fold_heading;
use crate::ground::notice::findings;
use crate::trade::catalog::Catalog;
use crate::trade::catalog::pattern::Adds;
use crate::trade::catalog::system::SystemId;
use crate::trade::lexicon::Word;
use crate::trade::reading::Reading;
use crate::trade::run::{Lie, Phase, Service};
use crate::trade::shape::{Words, unknown_names};

/// Tells all rows whose part is made for none of the systems that the row names.
pub(super) fn rows(judged: &Judged<'_>, reading: &mut Reading) {
    let offers = judged.prices.offers.iter().filter(|offer| !offer.in_error);
    let offers = offers.map(|offer| (offer.row, offer.part, &offer.systems));
    let stock = judged.on_hand.iter().filter(|stock| !stock.in_error);
    let stock = stock.map(|stock| (stock.row, stock.part, &stock.systems));
    let patterns = judged.catalog.patterns.iter().flat_map(|pattern| &pattern.rows);
    let patterns = patterns.filter(|row| !row.in_error).filter_map(|row| match row.adds {
        Adds::Part(part, _) => Some((row.row, part, &row.systems)),
        Adds::Tube(_) | Adds::Nothing => None,
    });
    variants(judged, reading);
    tubes(judged.catalog, reading);
    asked(judged.catalog, reading);
    for (at, part, systems) in offers.chain(stock).chain(patterns) {
        row(at, part, systems, judged.catalog, reading);
    }
}

fn row(at: RowAt, part: Word, systems: &[Word], catalog: &Catalog, reading: &mut Reading) {
    let called = catalog.parts_called_or_used(part);
    let all = || (0_u32..).zip(&catalog.systems).map(|(id, _)| SystemId(id));
    let said: Vec<SystemId> = all().filter(|system| catalog.takes_in(systems, *system)).collect();
    if systems.is_empty() || called.is_empty() || said.is_empty() {
        return;
    }
    let made =
        |system: SystemId| called.iter().any(|id| catalog.takes_in(&catalog.part(*id).systems, system));
    if said.iter().any(|system| made(*system)) {
        return;
    }
    let mut made_for: Vec<&str> = Vec::new();
    for word in called.iter().flat_map(|id| &catalog.part(*id).systems) {
        let word = reading.lexicon.text(*word);
        if !made_for.contains(&word) {
            made_for.push(word);
        }
    }
    let systems: Vec<&str> = systems.iter().map(|word| reading.lexicon.text(*word)).collect();
    let part = reading.lexicon.text(part);
    let finding = part_of_another_system(part, &systems.join("; "), &made_for.join("; "));
    reading.trouble(at, "system", finding);
}

/// Offers and stock in a variant that no part of the name has.
fn variants(judged: &Judged<'_>, reading: &mut Reading) {
    let offers = judged.prices.offers.iter().filter(|offer| !offer.in_error);
    let offers = offers.map(|offer| (offer.row, offer.part, offer.variant));
    let stock = judged.on_hand.iter().filter(|stock| !stock.in_error);
    let stock = stock.map(|stock| (stock.row, stock.part, stock.variant));
    let mut told: HashSet<(Word, Word)> = HashSet::new();
    for (at, part, variant) in offers.chain(stock).filter(|(_, _, variant)| !variant.is_empty()) {
        let called = judged.catalog.parts_called_or_used(part);
        let has = |word: Word| called.iter().any(|id| judged.catalog.part(*id).variant == word);
        // A part without a variant is bought in any; tube has that of its system.
        let any_will_do = !judged.catalog.is_tube(part) && has(Word::EMPTY);
        if called.is_empty() || any_will_do || has(variant) || told.contains(&(part, variant)) {
            continue;
        }
        told.insert((part, variant));
        let names = called.iter().map(|id| reading.lexicon.text(judged.catalog.part(*id).variant));
        let names = names.filter(|name| !name.is_empty());
        let finding = unknown_sold_variant(reading.lexicon.text(part), reading.lexicon.text(variant), names);
        reading.trouble(at, "variant", finding);
    }
}

/// Supports of a tube that no system and no size has.
fn tubes(catalog: &Catalog, reading: &mut Reading) {
    let tubes = || {
        let of_systems = catalog.systems.iter().map(|system| system.tube);
        of_systems.chain(catalog.sizes.iter().map(|size| size.tube))
    };
    let known: HashSet<Word> = tubes().collect();
    for rule in catalog.supports.iter().filter(|rule| !known.contains(&rule.tube)) {
        let names = reading.lexicon.near(tubes());
        let finding = unknown_tube(reading.lexicon.text(rule.tube), names);
        reading.trouble(rule.row, "tube", finding);
    }
}

/// Values that `only` asks a column for that holds a few words alone.
fn asked(catalog: &Catalog, reading: &mut Reading) {
    let closed =
        [("service", Service::all_words()), ("phase", Phase::all_words()), ("lie", Lie::all_words())];
    for row in catalog.patterns.iter().flat_map(|pattern| &pattern.rows) {
        for (column, value) in &row.only {
            let (column, value) = (reading.lexicon.text(*column), reading.lexicon.text(*value));
            let Some((_, words)) = closed.iter().find(|(name, _)| *name == column) else { continue };
            let is_known = words.iter().any(|word| fold_heading(word) == fold_heading(value));
            if !value.is_empty() && !is_known {
                let finding = only_never(column, value, &words.join(", "));
                reading.trouble(row.row, "only", finding);
            }
        }
    }
}

findings! {
    /// A row whose part is made for none of its systems.
    fn part_of_another_system(part: &str, systems: &str, made_for: &str) = warning("part-of-another-system",
        "{part} is given for {systems} and is made for {made_for}: nothing will use this row",
        "a system that the part is made for, or an empty cell",
        "type {made_for}, or the part that is meant");

    /// A value asked for in `only` that its column never has.
    fn only_never(column: &str, found: &str, known: &str) = warning("only-never",
        "only asks {column} for \"{found}\", which it never is: nothing will use this row",
        "{known}",
        "type one of these words behind {column}=");
}

unknown_names! {
    /// A row of what is sold or on hand in a variant that its part does not have.
    fn unknown_sold_variant(part, found) = warning("unknown-sold-variant",
        "no {part} has the variant \"{found}\": nothing will use this row",
        "a variant of the part in the table parts, or an empty cell",
        "empty the cell") meant;

    /// Supports of a tube that no system and no size has.
    fn unknown_tube(found) = warning("unknown-tube",
        "no system and no size has the tube \"{found}\": nothing will use this row",
        "a tube family of the table sizes",
        "take the row out") meant;
}
