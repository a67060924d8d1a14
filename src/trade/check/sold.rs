//! Parts, sizes, systems and colors that price lists, the stock and held choices name and nothing defines; suppliers that
//! no list names.

use std::collections::{BTreeSet, HashMap, HashSet};

use crate::ground::notice::{Finding, warning};
use crate::ground::{RowAt, SourceId};
use crate::trade::catalog::Catalog;
use crate::trade::lexicon::Word;
use crate::trade::price_list::PriceList;
use crate::trade::reading::findings::row_twice;
use crate::trade::reading::{Reading, unknown};
use crate::trade::sides::Sides;
use crate::trade::supplies::{Held, OnHand, Supplier};

/// The colors in which tube is sold.
const COLORS: [&str; 2] = ["red", "blue"];

/// Parts, sizes, systems and colors of price lists, of the stock and of held choices that nothing defines, each word
/// once. A held choice is checked for its size and color alone: what it holds nothing of is told where all is bought.
pub(in crate::trade) fn sold(
    prices: &PriceList,
    on_hand: &[OnHand],
    held: &mut [Held],
    by_color: bool,
    catalog: &Catalog,
    reading: &mut Reading,
) {
    let colors = COLORS.map(|color| reading.lexicon.word(color));
    let lexicon = &reading.lexicon;
    let sizes: HashSet<Word> = catalog.sizes.iter().map(|size| size.size).collect();
    let offers = prices.offers.iter();
    let offers = offers.map(|row| (row.row, row.part, &*row.sizes, &*row.systems, row.color, None));
    let stock = on_hand.iter();
    let stock = stock.map(|row| (row.row, row.part, &*row.sizes, &*row.systems, row.color, None));
    let kept = held.iter().zip(0..);
    let kept = kept.map(|(row, at)| (row.row, row.part, &*row.sizes, &[][..], row.color, Some(at)));
    let mut rows: Vec<_> = offers.chain(stock).chain(kept).collect();
    rows.sort_by_key(|row| row.0);
    let mut seen: HashSet<(Word, &str)> = HashSet::new();
    let mut held_wrong: Vec<usize> = Vec::new();
    let mut wrong: Vec<(RowAt, &str, Finding)> = Vec::new();
    let mut tell = |row, heading, word, finding: &dyn Fn(&str) -> Finding| {
        if seen.insert((word, heading)) {
            wrong.push((row, heading, finding(lexicon.text(word))));
        }
    };
    for (row, part, of_sizes, systems, color, held_at) in rows {
        let known = part.is_empty() || !catalog.parts_called_or_used(part).is_empty();
        if held_at.is_none() && !known {
            tell(row, "part", part, &|found| unknown::sold_part(found, catalog.part_names(lexicon)));
        }
        // Of a part that is not known nobody asks for its sizes.
        for size in of_sizes.iter().filter(|size| known && !sizes.contains(size)) {
            held_wrong.extend(held_at);
            tell(row, "size", *size, &|found| unknown::sold_size(found, catalog.size_names(lexicon)));
        }
        for system in systems.iter().filter(|system| !catalog.knows_system_or_tube(**system)) {
            tell(row, "system", *system, &|found| unknown::sold_system(found, catalog.system_names(lexicon)));
        }
        // Only of tube that is bought by color does the color decide.
        if by_color && catalog.is_tube(part) && !color.is_empty() && !colors.contains(&color) {
            held_wrong.extend(held_at);
            tell(row, "color", color, &|found| unknown::sold_color(found, COLORS.into_iter()));
        }
    }
    for at in held_wrong {
        held[at].in_error = true;
    }
    for (at, heading, finding) in wrong {
        reading.trouble(at, heading, finding);
    }
}

/// Suppliers that no price list names, and those with two rows in one table.
pub(in crate::trade) fn suppliers(suppliers: &[Supplier], prices: &PriceList, reading: &mut Reading) {
    let sells: BTreeSet<Word> = prices.offers.iter().map(|offer| offer.supplier).collect();
    let mut seen: HashSet<(SourceId, Word)> = HashSet::new();
    for row in suppliers.iter().filter(|row| !row.supplier.is_empty()) {
        let found = reading.lexicon.text(row.supplier).to_owned();
        if !seen.insert((row.row.source, row.supplier)) {
            reading.trouble_of_row(row.row, "supplier", row_twice(&found));
        } else if !sells.is_empty() && !sells.contains(&row.supplier) {
            let names = reading.lexicon.near(sells.iter().copied());
            let finding = unknown::supplier(&found, names);
            reading.trouble(row.row, "supplier", finding);
        }
    }
}

/// Alternatives that held choices name and the job does not have, each name once: such rows hold nothing.
pub(in crate::trade) fn held(held: &mut [Held], sides: &[Sides], reading: &mut Reading) {
    let alternatives: Vec<Word> = sides.iter().map(|sides| sides.name).collect();
    let mut unknown: Vec<(Word, RowAt, usize)> = Vec::new();
    let mut places: HashMap<Word, usize> = HashMap::new();
    let others = |row: &&mut Held| !row.alternative.is_empty() && !alternatives.contains(&row.alternative);
    for row in held.iter_mut().filter(others) {
        row.in_error = true;
        let place = *places.entry(row.alternative).or_insert(unknown.len());
        match unknown.get_mut(place) {
            Some((_, _, more)) => *more += 1,
            None => unknown.push((row.alternative, row.row, 0)),
        }
    }
    for (word, at, more) in unknown {
        let known: Vec<&str> = alternatives.iter().map(|word| reading.lexicon.text(*word)).collect();
        let finding = no_alternative(reading.lexicon.text(word), &known.join(", "), more);
        reading.trouble(at, "alternative", finding);
    }
}

/// Held choices of an alternative that the job does not have; with how many rows more name it.
fn no_alternative(found: &str, known: &str, more: usize) -> Finding {
    let rows = match more {
        0 => "this row holds nothing".to_owned(),
        more => format!("this row and {more} more hold nothing"),
    };
    warning(
        "no-alternative",
        format!("\"{found}\" is no alternative of this job: {rows}"),
        format!("an alternative of the job ({known}), or an empty cell for all of them"),
        "type one of them, leave the cell empty, or name the system in `compare with`",
    )
}
