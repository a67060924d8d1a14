//! The order in which sheets list items, and how an item is called in a sentence.
//!
//! The written rule: class, part name, system, sizes by the order of their tube (then text), variant, color. Names
//! go by their text with the numbers in it by value. Needs, the order and the comparison all list by it.

use std::cmp::Ordering;
use std::collections::HashMap;

use super::{Color, Item, Items};
use crate::ground::name::natural;
use crate::trade::{Catalog, Class, Lexicon, Offer, Word};

/// What one item is sorted by, in the order of the rule. Keys of two jobs sort among each other.
pub(super) struct Key<'a> {
    class: Class,
    name: &'a str,
    system: &'a str,
    sizes: Vec<(u32, &'a str)>,
    variant: &'a str,
    color: Color,
    unit: &'a str,
}

/// The key of every item, by item id.
pub(super) fn keys<'a>(lexicon: &'a Lexicon, catalog: &'a Catalog, items: &Items) -> Vec<Key<'a>> {
    let anywhere = smallest_order_by_size(catalog);
    items.ids().map(|id| key(lexicon, catalog, &anywhere, items.get(id))).collect()
}

/// The place of every item in the order shown, by item id: a smaller number is listed first.
pub(crate) fn ranks(lexicon: &Lexicon, catalog: &Catalog, items: &Items) -> Vec<u32> {
    let keys = keys(lexicon, catalog, items);
    let count = u32::try_from(items.len()).unwrap_or(u32::MAX);
    let mut sorted: Vec<u32> = (0..count).collect();
    sorted.sort_by(|a, b| compare(&keys[*a as usize], &keys[*b as usize]));
    let mut ranks = vec![0; sorted.len()];
    for (rank, id) in (0_u32..).zip(sorted) {
        ranks[id as usize] = rank;
    }
    ranks
}

/// How an item is called in a sentence: `tee 1 x 3/4 x 1/2 (pex-clamp, brass)`.
pub(crate) fn called(lexicon: &Lexicon, catalog: &Catalog, item: &Item) -> String {
    let system = item.system.map_or("", |system| lexicon.text(catalog.system(system).name));
    let more = [system, lexicon.text(item.variant), item.color.word()];
    in_words(&catalog.part(item.part).name, &sizes_text(lexicon, item.sizes.as_slice()), more)
}

/// What an offer is for, in a sentence: `tube 3/4 (copper, type L)`.
pub(super) fn offered(lexicon: &Lexicon, offer: &Offer) -> String {
    let more = offer.systems.iter().chain([&offer.variant, &offer.color]).map(|word| lexicon.text(*word));
    in_words(lexicon.text(offer.part), &sizes_text(lexicon, &offer.sizes), more)
}

fn in_words<'a>(name: &str, sizes: &str, more: impl IntoIterator<Item = &'a str>) -> String {
    let more: Vec<&str> = more.into_iter().filter(|word| !word.is_empty()).collect();
    let sizes = if sizes.is_empty() { String::new() } else { format!(" {sizes}") };
    let more = if more.is_empty() { String::new() } else { format!(" ({})", more.join(", ")) };
    format!("{name}{sizes}{more}")
}

/// Sizes as the trade writes them: `1 x 3/4 x 1/2`.
pub fn sizes_text(lexicon: &Lexicon, sizes: &[Word]) -> String {
    sizes.iter().map(|size| lexicon.text(*size)).collect::<Vec<_>>().join(" x ")
}

fn key<'a>(
    lexicon: &'a Lexicon,
    catalog: &'a Catalog,
    anywhere: &HashMap<Word, u32>,
    item: &Item,
) -> Key<'a> {
    let system = item.system.map(|id| catalog.system(id));
    let order = |size: Word| {
        let of_tube = system.and_then(|system| catalog.order(system.tube, size));
        of_tube.or_else(|| anywhere.get(&size).copied()).unwrap_or(u32::MAX)
    };
    Key {
        class: item.class,
        name: &catalog.part(item.part).name,
        system: system.map_or("", |system| lexicon.text(system.name)),
        sizes: item.sizes.as_slice().iter().map(|size| (order(*size), lexicon.text(*size))).collect(),
        variant: lexicon.text(item.variant),
        color: item.color,
        unit: lexicon.text(item.unit),
    }
}

pub(super) fn compare(a: &Key<'_>, b: &Key<'_>) -> Ordering {
    let by_size = || {
        let pairs = a.sizes.iter().zip(&b.sizes);
        let first =
            pairs.map(|(x, y)| x.0.cmp(&y.0).then_with(|| natural(x.1, y.1))).find(|order| order.is_ne());
        first.unwrap_or_else(|| a.sizes.len().cmp(&b.sizes.len()))
    };
    a.class
        .cmp(&b.class)
        .then_with(|| natural(a.name, b.name))
        .then_with(|| natural(a.system, b.system))
        .then_with(by_size)
        .then_with(|| natural(a.variant, b.variant))
        .then_with(|| a.color.cmp(&b.color))
        .then_with(|| natural(a.unit, b.unit))
}

/// The place of a size in whichever tube has it lowest, for parts that no system is said of.
fn smallest_order_by_size(catalog: &Catalog) -> HashMap<Word, u32> {
    let mut orders = HashMap::new();
    for size in &catalog.sizes {
        if let Some(order) = catalog.order(size.tube, size.size) {
            let lowest = orders.entry(size.size).or_insert(order);
            *lowest = order.min(*lowest);
        }
    }
    orders
}
