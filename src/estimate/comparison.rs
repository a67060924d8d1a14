//! The comparison: all alternatives of a job side by side, the chosen one first.
//!
//! Where the job has wages or tools they are ranked by what they cost installed, else by material. An alternative that is
//! incomplete, where a part or a tool is not priced, or where work has no hours, is never ranked; the sentence on top
//! says so. Cost lines stand in [`Cost`](super::order::Cost); here is what is between them.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::installed::install;
use super::item::Sizes;
use super::ranking::ranks;
use super::tie::{Tie, tie};
use super::whole::{self, Lack};
use super::{Alternative, Installed, Item, ItemId, Items};
use crate::ground::LengthUnit;
use crate::ground::money::{in_currency, points, round_half_away};
use crate::trade::{Catalog, Job, Lexicon, Word};

/// A part that one alternative has and another has not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OneSided {
    /// The alternative, by its index.
    pub alternative: usize,
    /// The item.
    pub item: ItemId,
    /// How much of it.
    pub need: Decimal,
}

/// What alternatives are ranked by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RankedBy {
    /// Total material: the job has neither wages nor tools.
    Material,
    /// What they cost installed.
    Installed,
}

/// All alternatives side by side, the chosen one first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Comparison {
    /// One sentence: which costs less in material and installed, by how much, and what is not in it.
    pub sentence: String,
    /// The cheapest complete alternative, if any may be ranked.
    pub cheapest: Option<usize>,
    /// Material of each against the chosen one: difference and percentage (one place).
    pub differences: Vec<(Decimal, Option<Decimal>)>,
    /// What they are ranked by.
    pub ranked_by: RankedBy,
    /// What each costs installed.
    pub installed: Vec<Installed>,
    /// What each costs installed against the chosen one: difference and percentage (one place).
    pub installed_differences: Vec<(Decimal, Option<Decimal>)>,
    /// Where copper and plastic tie.
    pub tie: Option<Tie>,
    /// Tube length, by alternative (in the job's unit, 4 places).
    pub feet: Vec<Decimal>,
    /// Parts that only one side has.
    pub one_sided: Vec<OneSided>,
}

impl Comparison {
    /// Whether all of an alternative is counted and priced: only then may its sums be held against others.
    pub fn is_whole(&self, alternative: usize) -> bool {
        self.installed.get(alternative).is_some_and(|of| of.whole)
    }

    /// Whether a difference from the chosen alternative is one between whole sums.
    pub fn may_differ(&self, alternative: usize) -> bool {
        self.is_whole(0) && self.is_whole(alternative)
    }
}

/// Compares alternatives, of which the first is the chosen one.
pub fn compare(job: &Job, items: &Items, alternatives: &[Alternative]) -> Comparison {
    let Job { lexicon, catalog, .. } = job;
    let priced = |of: &Alternative| of.labor.rate.is_some() || of.tools.stated;
    let ranked_by = if alternatives.iter().any(priced) { RankedBy::Installed } else { RankedBy::Material };
    let named: Vec<Named<'_>> = alternatives
        .iter()
        .map(|of| {
            let name = lexicon.text(of.name);
            Named { name, of, installed: install(job, items, of), ranked_by }
        })
        .collect();
    let ranked = ranked(&named);
    let cheapest = if ranked.len() > 1 { ranked.first().copied() } else { None };
    let installed: Vec<Installed> = named.iter().map(|named| named.installed).collect();
    let tie = tie(job, items, alternatives, &installed, &ranked);
    let against_chosen = |sums: &dyn Fn(usize) -> Decimal| {
        (0..alternatives.len())
            .map(|at| {
                let difference = sums(at).checked_sub(sums(0)).unwrap_or(Decimal::ZERO);
                (difference, percent(difference, sums(0)))
            })
            .collect()
    };
    Comparison {
        sentence: sentence(job, &named, &ranked, tie.as_ref()),
        cheapest,
        differences: against_chosen(&|at| alternatives[at].cost.material),
        installed_differences: against_chosen(&|at| installed[at].total),
        ranked_by,
        installed,
        tie,
        feet: alternatives.iter().map(|of| feet(items, of, job.settings.units)).collect(),
        one_sided: one_sided(lexicon, catalog, items, alternatives),
    }
}

struct Named<'a> {
    name: &'a str,
    of: &'a Alternative,
    installed: Installed,
    ranked_by: RankedBy,
}

impl Named<'_> {
    /// What it is ranked by.
    fn sum(&self) -> Decimal {
        match self.ranked_by {
            RankedBy::Material => self.of.cost.material,
            RankedBy::Installed => self.installed.total,
        }
    }

    /// Why it is not ranked; nothing where it may be.
    fn lacks(&self, job: &Job) -> Option<String> {
        if self.installed.whole {
            return None;
        }
        let mut lacks: Vec<String> = Vec::new();
        for lack in whole::lacks(job, self.of) {
            let place = if lacks.is_empty() { self.name } else { "it" };
            match lack {
                Lack::NotCounted => lacks.push(format!("{} is incomplete", self.name)),
                // Such a count is incomplete, which is said.
                Lack::Missing(_) => {}
                Lack::NotPriced(count, _) => {
                    lacks.push(format!("{} in {place}", Lack::NotPriced(count, usize::MAX).words()));
                }
                Lack::NoRuns
                | Lack::NothingTakenOff
                | Lack::LeftOut(_)
                | Lack::Errors(_)
                | Lack::Uncounted(_)
                | Lack::Tools(_)
                | Lack::NoHours(_)
                | Lack::NoWages
                | Lack::TooLarge => lacks.push(format!("{} in {place}", lack.words())),
            }
        }
        if lacks.is_empty() {
            lacks.push(format!("the sums of {} are too large", self.name));
        }
        Some(lacks.join(" and "))
    }
}

/// Those that may be ranked, the cheapest first; of equals the first.
fn ranked(named: &[Named<'_>]) -> Vec<usize> {
    let mut ranked: Vec<usize> = (0..named.len()).filter(|at| named[*at].installed.whole).collect();
    ranked.sort_by_key(|at| (named[*at].sum(), *at));
    ranked
}

/// Which costs less, in material and installed, by how much in points of the chosen one; where copper and plastic tie;
/// and what is not in it.
fn sentence(job: &Job, named: &[Named<'_>], ranked: &[usize], tie: Option<&Tie>) -> String {
    let currency = &*job.settings.currency;
    let not_in_it = not_in_it(named).map_or(String::new(), |words| format!("; {words}"));
    let lacks: Vec<String> = named.iter().filter_map(|one| one.lacks(job)).collect();
    if let [only] = named {
        let lacks = lacks.first().map_or(String::new(), |lacks| format!(" ({lacks})"));
        let (name, sums) = (only.name, sums(currency, only));
        return format!("{name} is the only alternative and comes to {sums}{lacks}{not_in_it}");
    }
    let [at, others @ ..] = ranked else {
        let lacks = if lacks.is_empty() { String::new() } else { format!(": {}", lacks.join(", ")) };
        return format!("No alternative can be called cheaper{lacks}{not_in_it}");
    };
    if others.is_empty() {
        return format!("No alternative can be called cheaper: {}{not_in_it}", lacks.join(", "));
    }
    let best = &named[*at];
    let against = |other: &usize| against(&named[0], best, &named[*other], currency);
    let others: Vec<String> = match others {
        // Of many the next and the last are named.
        [next, _, _, .., last] => {
            vec![format!("{}, the next", against(next)), format!("and {}, the dearest", against(last))]
        }
        few => few.iter().map(against).collect(),
    };
    let lacks = match lacks.is_empty() {
        true => String::new(),
        false => format!("; not ranked: {}", lacks.join(", ")),
    };
    let tied = tie.map_or(String::new(), |tie| format!("; {}", tied(job, named, tie)));
    format!("{} comes to {}, {}{tied}{lacks}{not_in_it}", best.name, sums(currency, best), others.join(", "))
}

/// What one comes to.
fn sums(currency: &str, named: &Named<'_>) -> String {
    let material = in_currency(currency, named.of.cost.material);
    match named.ranked_by {
        RankedBy::Material => format!("{material} in material"),
        RankedBy::Installed => {
            format!("{} installed ({material} in material)", in_currency(currency, named.installed.total))
        }
    }
}

fn tied(job: &Job, named: &[Named<'_>], tie: &Tie) -> String {
    let (on, against) = (named[tie.on].name, named[tie.against].name);
    let tube = job.lexicon.text(tie.tube);
    let Some(at) = tie.at else {
        return format!("no price of {tube} tube makes {on} tie with {against}");
    };
    let points = points(at.points.abs());
    let change = match at.points.cmp(&Decimal::ZERO) {
        std::cmp::Ordering::Less => format!("where {tube} tube costs {points} % less"),
        std::cmp::Ordering::Equal => format!("as {tube} tube is priced"),
        std::cmp::Ordering::Greater => format!("where {tube} tube costs {points} % more"),
    };
    format!("{on} ties with {against} {change}")
}

/// What is in no sum.
fn not_in_it(named: &[Named<'_>]) -> Option<&'static str> {
    let of = |test: fn(&Alternative) -> bool| named.iter().any(|named| test(named.of));
    let (labor, tools) = (of(|of| of.labor.rate.is_some()), of(|of| of.tools.stated));
    match (labor, of(|of| of.labor.stated), tools) {
        (true, _, true) => None,
        (true, _, false) => Some("tools are not in it"),
        (false, true, true) => Some("labor is counted in hours and not in it"),
        (false, true, false) => Some("labor is counted in hours and not in it, tools are not in it"),
        (false, false, true) => Some("labor is not in it"),
        (false, false, false) => Some("labor and tools are not in it"),
    }
}

/// What one costs less than another, also in percent of the chosen one: the base of every percentage of a difference.
fn against(chosen: &Named<'_>, best: &Named<'_>, other: &Named<'_>, currency: &str) -> String {
    let (less, more) = (best.sum(), other.sum());
    let difference = more.checked_sub(less).unwrap_or(Decimal::ZERO);
    if difference.is_zero() {
        return format!("the same as {}", other.name);
    }
    let share = percent(difference, chosen.sum()).filter(|_| chosen.installed.whole);
    let share =
        share.map_or(String::new(), |share| format!(" ({} % of what {} costs)", points(share), chosen.name));
    format!("{} less than {}{share}", in_currency(currency, difference), other.name)
}

/// So many points of a base, to one place.
fn percent(part: Decimal, base: Decimal) -> Option<Decimal> {
    let points = part.checked_mul(Decimal::ONE_HUNDRED)?.checked_div(base)?;
    Some(round_half_away(points, 1).normalize())
}

/// The length of all tube center to center, to 4 places of the job's unit.
fn feet(items: &Items, alternative: &Alternative, unit: LengthUnit) -> Decimal {
    let tube = alternative.order.iter().filter(|line| items.get(line.item).is_length());
    let taken_out = alternative.plans.iter().map(|plan| plan.taken_out.in_units(unit));
    let all = tube.map(|line| line.need).chain(taken_out);
    round_half_away(all.fold(Decimal::ZERO, |sum, one| sum.checked_add(one).unwrap_or(Decimal::MAX)), 4)
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
    use super::super::buying::tests::fixture::{House, d};
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
            let cost = cost(&house.job, &house.items, &bought.order, Default::default(), complete).unwrap();
            let system = SystemId(u32::try_from(system).unwrap());
            let takeoff = house.takeoff();
            let (plans, order, notices) = (bought.plans, bought.order, bought.notices);
            let (labor, tools) = Default::default();
            all.push(Alternative {
                name: house.job.catalog.system(system).name,
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
            "pex-clamp comes to USD 20.00 in material, USD 5.00 less than copper-solder (25 % of what pex-clamp costs); \
             labor and tools are not in it"
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
            "No alternative can be called cheaper: pex-clamp is incomplete; labor and tools are not in it"
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
