//! The comparison: all alternatives of a job side by side, the chosen one first.
//!
//! It compares material alone. An alternative that is incomplete, or where a part is not priced, is never ranked; the
//! sentence on top says so. Cost lines stand in [`Cost`](super::order::Cost); here is what is between them.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::item::{Item, ItemId, Items, Sizes};
use super::order::{Alternative, Comparison, OneSided};
use super::ranking::ranks;
use crate::ground::money::{round_half_away, to_cents};
use crate::trade::{Catalog, Job, Lexicon, Word};

/// Compares alternatives, of which the first is the chosen one.
pub fn compare(job: &Job, items: &Items, alternatives: &[Alternative]) -> Comparison {
    let Job { lexicon, catalog, terms, .. } = job;
    let named: Vec<Named<'_>> = alternatives
        .iter()
        .map(|of| Named { name: lexicon.text(catalog.system(of.system).name), of })
        .collect();
    let cheapest = cheapest(&named);
    let chosen = alternatives.first().map_or(Decimal::ZERO, |chosen| chosen.cost.material);
    let difference = |of: &Alternative| {
        let difference = of.cost.material.checked_sub(chosen).unwrap_or(Decimal::ZERO);
        (difference, percent(difference, chosen))
    };
    Comparison {
        sentence: sentence(&named, cheapest, &terms.currency),
        cheapest,
        differences: alternatives.iter().map(difference).collect(),
        joints: alternatives.iter().map(|of| of.takeoff.joints).collect(),
        feet: alternatives.iter().map(|of| feet(items, of)).collect(),
        one_sided: one_sided(lexicon, catalog, items, alternatives),
    }
}

struct Named<'a> {
    name: &'a str,
    of: &'a Alternative,
}

impl Named<'_> {
    fn may_be_ranked(&self) -> bool {
        self.of.cost.complete && self.of.cost.not_priced.is_empty()
    }

    /// Why it is not ranked.
    fn lacks(&self) -> Option<String> {
        let number = self.of.cost.not_priced.len();
        let parts = if number == 1 { "part is" } else { "parts are" };
        match (self.of.cost.complete, number) {
            (true, 0) => None,
            (false, 0) => Some(format!("{} is incomplete", self.name)),
            (true, _) => Some(format!("{number} {parts} not priced in {}", self.name)),
            (false, _) => Some(format!("{} is incomplete and {number} {parts} not priced in it", self.name)),
        }
    }
}

/// The cheapest of those that may be ranked, if there are two: alone, nothing is cheapest. Of equals the first.
fn cheapest(named: &[Named<'_>]) -> Option<usize> {
    let ranked: Vec<usize> = (0..named.len()).filter(|at| named[*at].may_be_ranked()).collect();
    match ranked.len() {
        0 | 1 => None,
        _ => ranked.into_iter().min_by_key(|at| (named[*at].of.cost.material, *at)),
    }
}

/// Which costs less in material, by how much, in points of the dearer one; and what is not in it.
fn sentence(named: &[Named<'_>], cheapest: Option<usize>, currency: &str) -> String {
    const NOT_IN_IT: &str = "labor and tools are not in it yet";
    let lacks: Vec<String> = named.iter().filter_map(Named::lacks).collect();
    let material = |named: &Named<'_>| money(currency, named.of.cost.material);
    if let [only] = named {
        let lacks = lacks.first().map_or(String::new(), |lacks| format!(" ({lacks})"));
        return format!(
            "{} is the only alternative and comes to {} in material{lacks}; {NOT_IN_IT}",
            only.name,
            material(only)
        );
    }
    let Some(at) = cheapest else {
        let lacks = if lacks.is_empty() { String::new() } else { format!(": {}", lacks.join(", ")) };
        return format!("No alternative can be called cheaper{lacks}; {NOT_IN_IT}");
    };
    let best = &named[at];
    let others = named.iter().enumerate().filter(|(other, named)| *other != at && named.may_be_ranked());
    let others: Vec<String> = others.map(|(_, other)| against(best, other, currency)).collect();
    let lacks = match lacks.is_empty() {
        true => String::new(),
        false => format!("; not ranked: {}", lacks.join(", ")),
    };
    format!(
        "{} comes to {} in material, {}{lacks}; {NOT_IN_IT}",
        best.name,
        material(best),
        others.join(", ")
    )
}

fn against(best: &Named<'_>, other: &Named<'_>, currency: &str) -> String {
    let (less, more) = (best.of.cost.material, other.of.cost.material);
    let difference = more.checked_sub(less).unwrap_or(Decimal::ZERO);
    if difference.is_zero() {
        return format!("the same as {}", other.name);
    }
    let share = percent(difference, more).map_or(String::new(), |share| format!(" ({share} %)"));
    format!("{}{share} less than {}", money(currency, difference), other.name)
}

fn money(currency: &str, sum: Decimal) -> String {
    let sum = to_cents(sum);
    if currency.is_empty() { format!("{sum:.2}") } else { format!("{currency} {sum:.2}") }
}

/// So many points of a base, to one place.
fn percent(part: Decimal, base: Decimal) -> Option<Decimal> {
    let points = part.checked_mul(Decimal::ONE_HUNDRED)?.checked_div(base)?;
    Some(round_half_away(points, 1).normalize())
}

/// The length of all tube, to 4 places of the job's unit.
fn feet(items: &Items, alternative: &Alternative) -> Decimal {
    let tube = alternative.order.iter().filter(|line| items.get(line.item).is_length());
    let sum = tube.fold(Decimal::ZERO, |sum, line| sum.checked_add(line.need).unwrap_or(Decimal::MAX));
    round_half_away(sum, 4)
}

/// What one alternative needs of a part, if any, and the item it is shown by.
type OfOne = Option<(ItemId, Decimal)>;

/// Parts that some alternatives need and others do not, whatever their system, variant and color: by alternative, in
/// the order shown.
fn one_sided(
    lexicon: &Lexicon,
    catalog: &Catalog,
    items: &Items,
    alternatives: &[Alternative],
) -> Vec<OneSided> {
    let ranks = ranks(lexicon, catalog, items);
    let key = |item: &Item| -> (Word, Sizes) { (catalog.part(item.part).word, item.sizes) };
    // By part and sizes: how much of it each alternative needs, and the item it is shown by.
    let mut needs: BTreeMap<(Word, Sizes), Vec<OfOne>> = BTreeMap::new();
    for (at, alternative) in alternatives.iter().enumerate() {
        for line in &alternative.order {
            let of_all =
                needs.entry(key(items.get(line.item))).or_insert_with(|| vec![None; alternatives.len()]);
            let (item, sum) = of_all[at].unwrap_or((line.item, Decimal::ZERO));
            of_all[at] = Some((item, sum.checked_add(line.need).unwrap_or(Decimal::MAX)));
        }
    }
    let mut one_sided = Vec::new();
    for of_all in needs.values().filter(|of_all| of_all.iter().any(Option::is_none)) {
        for (alternative, of_one) in of_all.iter().enumerate() {
            if let Some((item, need)) = *of_one {
                one_sided.push(OneSided { alternative, item, need });
            }
        }
    }
    one_sided.sort_by_key(|side| (side.alternative, ranks[side.item.0 as usize]));
    one_sided
}

#[cfg(test)]
mod tests {
    use super::super::buying::fixture::{House, d};
    use super::super::costing::cost;
    use super::*;
    use crate::trade::{Class, SystemId};

    /// The same house at two prices, in two systems that differ by name only.
    fn alternatives(house: &mut House, complete: [bool; 2]) -> Vec<Alternative> {
        let mut copper = house.catalog.systems[0].clone();
        copper.name = house.lexicon.word("copper-solder");
        house.catalog.systems.push(copper);
        house.index();
        let elbow = house.item("elbow", &["3/4"], Class::Fitting, "");
        let ring = house.item("clamp ring", &["3/4"], Class::Ring, "");
        house.need(elbow, 10);
        house.offer("Invented Supply", "elbow", &["3/4"], "2.00");
        house.offer("Invented Supply", "clamp ring", &["3/4"], "0.25");
        let mut all = Vec::new();
        for (system, complete) in complete.into_iter().enumerate() {
            if system == 1 {
                house.need(ring, 20);
            }
            let bought = house.buy();
            let cost = cost(&house.items, &house.terms, &bought.order, complete).unwrap();
            let system = SystemId(u32::try_from(system).unwrap());
            let takeoff = house.takeoff();
            let (plans, order, notices) = (bought.plans, bought.order, bought.notices);
            let (labor, tools) = Default::default();
            all.push(Alternative {
                system,
                takeoff,
                plans,
                order,
                buying: bought.plan,
                built: bought.built,
                cost,
                labor,
                tools,
                notices,
            });
        }
        all
    }

    fn compared(complete: [bool; 2]) -> (Comparison, House) {
        let mut house = House::new();
        let all = alternatives(&mut house, complete);
        (compare(&house.job, &house.items, &all), house)
    }

    #[test]
    fn the_sentence_says_which_costs_less_and_by_how_much() {
        let (comparison, _) = compared([true, true]);
        assert_eq!(
            comparison.sentence,
            "pex-clamp comes to USD 20.00 in material, USD 5.00 (20 %) less than copper-solder; \
             labor and tools are not in it yet"
        );
        assert_eq!(comparison.cheapest, Some(0));
        assert_eq!(comparison.differences, [(d("0"), Some(d("0"))), (d("5"), Some(d("25")))]);
    }

    #[test]
    fn an_incomplete_alternative_is_never_the_cheapest() {
        let (comparison, _) = compared([false, true]);
        assert_eq!(comparison.cheapest, None);
        assert_eq!(
            comparison.sentence,
            "No alternative can be called cheaper: pex-clamp is incomplete; labor and tools are not in it yet"
        );
    }

    #[test]
    fn parts_of_one_side_are_listed_with_what_is_needed() {
        let (comparison, house) = compared([true, true]);
        let [side] = &comparison.one_sided[..] else { panic!("{:?}", comparison.one_sided) };
        assert_eq!((side.alternative, side.need), (1, d("20")));
        let item = house.items.get(side.item);
        assert_eq!(&*house.catalog.part(item.part).name, "clamp ring");
    }
}
