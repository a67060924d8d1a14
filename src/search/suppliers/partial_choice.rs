//! Partial choices: what a choice for some of the lines has come to, and which of many need not be followed. Called by
//! [`super::meet_in_the_middle`].

use std::collections::BTreeMap;

use super::Weight;
use super::shares::ORDERS;

/// A choice for the lines of a half.
#[derive(Clone)]
pub(super) struct PartialChoice {
    /// What each order has reached, up to what it must.
    pub(super) goods: [u64; ORDERS],
    pub(super) weight: Weight,
    /// How far it lies above the bound, in parts of a cent.
    pub(super) above: u128,
    /// Its place among all partials of its half.
    pub(super) place: usize,
}

/// PartialChoices without those that have reached no more than another for no less: of two orders a staircase tells, of more
/// one for each of what the others have reached.
pub(super) fn without_worse(mut partials: Vec<PartialChoice>) -> Vec<PartialChoice> {
    partials.sort_by(|a, b| {
        let by_goods = || b.goods.cmp(&a.goods);
        a.weight.cmp(&b.weight).then_with(by_goods).then(a.place.cmp(&b.place))
    });
    let Some(one) = partials.first().map(|partial| partial.goods) else { return partials };
    let mut apart =
        (0..ORDERS).filter(|order| partials.iter().any(|partial| partial.goods[*order] != one[*order]));
    let (first, second) = (apart.next().unwrap_or(0), apart.next().unwrap_or(1));
    let mut kept: Vec<PartialChoice> = Vec::with_capacity(partials.len());
    let mut stairs: BTreeMap<[u64; ORDERS], BTreeMap<u64, u64>> = BTreeMap::new();
    for partial in partials {
        let mut others = partial.goods;
        (others[first], others[second]) = (0, 0);
        let stairs = stairs.entry(others).or_default();
        let (step, reached) = (partial.goods[first], partial.goods[second]);
        if stairs.range(step..).next().is_some_and(|(_, known)| *known >= reached) {
            continue;
        }
        // The stairs go down: lower steps that reach no more are taken away.
        while let Some((lower, _)) = stairs.range(..=step).next_back().filter(|(_, known)| **known <= reached)
        {
            let lower = *lower;
            stairs.remove(&lower);
        }
        stairs.insert(step, reached);
        kept.push(partial);
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Which of some partials are kept, by what each of two orders has reached and for how much.
    fn kept(partials: &[(u64, u64, Weight)]) -> Vec<usize> {
        let partial = |(place, &(one, other, weight)): (usize, &(u64, u64, Weight))| {
            let mut goods = [0; ORDERS];
            (goods[0], goods[1]) = (one, other);
            PartialChoice { goods, weight, above: 0, place }
        };
        let partials = partials.iter().enumerate().map(partial).collect();
        without_worse(partials).iter().map(|partial| partial.place).collect()
    }

    #[test]
    fn a_choice_that_reached_less_for_more_is_dropped_whichever_of_the_cheaper_stands_beside_it() {
        // The third reached less than the second in both orders, though more than the first in one.
        assert_eq!(kept(&[(10, 5, 1), (20, 8, 2), (5, 7, 3)]), [0, 1]);
        // Here no other reached as much in the second order.
        assert_eq!(kept(&[(10, 5, 1), (20, 4, 2), (5, 7, 3)]), [0, 1, 2]);
        // The second takes nothing away from the first, which has reached more of the other order.
        assert_eq!(kept(&[(10, 9, 1), (20, 8, 2), (5, 9, 3)]), [0, 1]);
    }
}
