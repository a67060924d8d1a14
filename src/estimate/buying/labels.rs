//! Labels: what a choice for some of the lines has come to, and which of many need not be followed. Called by
//! [`super::halves`].

use std::collections::BTreeMap;

use super::reaching::ORDERS;
use super::sourcing::Weight;

/// A choice for the lines of a half.
#[derive(Clone)]
pub(super) struct Label {
    /// What each order has reached, up to what it must.
    pub(super) goods: [u64; ORDERS],
    pub(super) weight: Weight,
    /// How far it lies above the bound, in parts of a cent.
    pub(super) above: u128,
    /// Its place among all labels of its half.
    pub(super) place: usize,
}

/// Labels without those that have reached no more than another for no less: of two orders a staircase tells, of more
/// one for each of what the others have reached.
pub(super) fn without_worse(mut labels: Vec<Label>) -> Vec<Label> {
    labels.sort_by(|a, b| {
        let by_goods = || b.goods.cmp(&a.goods);
        a.weight.cmp(&b.weight).then_with(by_goods).then(a.place.cmp(&b.place))
    });
    let Some(one) = labels.first().map(|label| label.goods) else { return labels };
    let mut apart = (0..ORDERS).filter(|order| labels.iter().any(|label| label.goods[*order] != one[*order]));
    let (first, second) = (apart.next().unwrap_or(0), apart.next().unwrap_or(1));
    let mut kept: Vec<Label> = Vec::with_capacity(labels.len());
    let mut stairs: BTreeMap<[u64; ORDERS], BTreeMap<u64, u64>> = BTreeMap::new();
    for label in labels {
        let mut others = label.goods;
        (others[first], others[second]) = (0, 0);
        let stairs = stairs.entry(others).or_default();
        let (step, reached) = (label.goods[first], label.goods[second]);
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
        kept.push(label);
    }
    kept
}
