//! Rows that nothing can ever use though each of their words is known: a part and a system, or a part and a variant, that do
//! not go together; supports of a tube that there is not; a pattern that asks a column for what it never is.

use super::catalog::Catalog;
use super::judged::Judged;
use super::lexicon::Word;
use super::pattern::Adds;
use super::row::Desk;
use super::run::{LIES, PHASES, SERVICES};
use super::system::SystemId;
use super::words_doubt::Doubt;
use crate::ground::RowAt;
use crate::ground::name::{fold_heading, nearest};

/// Tells all rows whose part is made for none of the systems that the row names.
pub(super) fn rows(judged: &Judged<'_>, desk: &mut Desk) {
    let offers = judged.prices.offers.iter().filter(|offer| !offer.in_error);
    let offers = offers.map(|offer| (offer.row, offer.part, &offer.systems));
    let stock = judged.on_hand.iter().filter(|stock| !stock.in_error);
    let stock = stock.map(|stock| (stock.row, stock.part, &stock.systems));
    let patterns = judged.catalog.patterns.iter().flat_map(|pattern| &pattern.rows);
    let patterns = patterns.filter(|row| !row.in_error).filter_map(|row| match row.adds {
        Adds::Part(part, _) => Some((row.row, part, &row.systems)),
        Adds::Tube(_) | Adds::Nothing => None,
    });
    variants(judged, desk);
    tubes(judged.catalog, desk);
    asked(judged.catalog, desk);
    for (at, part, systems) in offers.chain(stock).chain(patterns) {
        row(at, part, systems, judged.catalog, desk);
    }
}

fn row(at: RowAt, part: Word, systems: &[Word], catalog: &Catalog, desk: &mut Desk) {
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
        let word = desk.lexicon.text(*word);
        if !made_for.contains(&word) {
            made_for.push(word);
        }
    }
    let systems: Vec<&str> = systems.iter().map(|word| desk.lexicon.text(*word)).collect();
    let (part, systems) = (desk.lexicon.text(part).to_owned(), systems.join("; "));
    let made_for = made_for.join("; ");
    desk.doubt(at, "system", Doubt::OtherSystem { part: &part, systems: &systems, made_for: &made_for });
}

/// Offers and stock in a variant that no part of the name has.
fn variants(judged: &Judged<'_>, desk: &mut Desk) {
    let offers = judged.prices.offers.iter().filter(|offer| !offer.in_error);
    let offers = offers.map(|offer| (offer.row, offer.part, offer.variant));
    let stock = judged.on_hand.iter().filter(|stock| !stock.in_error);
    let stock = stock.map(|stock| (stock.row, stock.part, stock.variant));
    let mut told: Vec<(Word, Word)> = Vec::new();
    for (at, part, variant) in offers.chain(stock).filter(|(_, _, variant)| !variant.is_empty()) {
        let called = judged.catalog.parts_called_or_used(part);
        let has = |word: Word| called.iter().any(|id| judged.catalog.part(*id).variant == word);
        // A part without a variant is bought in any; tube has that of its system.
        let any_will_do = !judged.catalog.is_tube(part) && has(Word::EMPTY);
        if called.is_empty() || any_will_do || has(variant) || told.contains(&(part, variant)) {
            continue;
        }
        told.push((part, variant));
        let (part, found) = (desk.lexicon.text(part).to_owned(), desk.lexicon.text(variant).to_owned());
        let names = called.iter().map(|id| desk.lexicon.text(judged.catalog.part(*id).variant));
        let near =
            nearest(&found, names.filter(|name| !name.is_empty())).first().map(|name| (*name).to_owned());
        desk.doubt(
            at,
            "variant",
            Doubt::OtherVariant { part: &part, found: &found, nearest: near.as_deref() },
        );
    }
}

/// Supports of a tube that no system and no size has.
fn tubes(catalog: &Catalog, desk: &mut Desk) {
    let tubes = || {
        let of_systems = catalog.systems.iter().map(|system| system.tube);
        of_systems.chain(catalog.sizes.iter().map(|size| size.tube))
    };
    for rule in catalog.supports.iter().filter(|rule| !tubes().any(|tube| tube == rule.tube)) {
        let found = desk.lexicon.text(rule.tube).to_owned();
        let near = nearest(&found, tubes().map(|tube| desk.lexicon.text(tube)))
            .first()
            .map(|name| (*name).to_owned());
        desk.doubt(rule.row, "tube", Doubt::NoSuchTube { found: &found, nearest: near.as_deref() });
    }
}

/// Values that `only` asks a column for that holds a few words alone.
fn asked(catalog: &Catalog, desk: &mut Desk) {
    let services = SERVICES.map(|(_, word)| word);
    let phases = PHASES.map(|(_, word)| word);
    let lies = LIES.map(|(_, word)| word);
    let closed: [(&str, &[&str]); 3] = [("service", &services), ("phase", &phases), ("lie", &lies)];
    for row in catalog.patterns.iter().flat_map(|pattern| &pattern.rows) {
        for (column, value) in &row.only {
            let (column, value) =
                (desk.lexicon.text(*column).to_owned(), desk.lexicon.text(*value).to_owned());
            let Some((_, words)) = closed.iter().find(|(name, _)| *name == column) else { continue };
            let is_known = words.iter().any(|word| fold_heading(word) == fold_heading(&value));
            if !value.is_empty() && !is_known {
                let known = words.join(", ");
                let doubt = Doubt::NeverHeld { column: &column, found: &value, known: &known };
                desk.doubt(row.row, "only", doubt);
            }
        }
    }
}
