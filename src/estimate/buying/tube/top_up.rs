//! Top-up: more of a tube than its plan asks for. Where an order must reach its supplier's minimum, one more coil or
//! stick may be the cheapest way, and tube is used on the next house. The plan stays as it is; what is more is not
//! opened. Called by [`super::Open`].

use std::collections::BTreeMap;

use super::plan::Offered;
use crate::estimate::buying::lot::{Lot, Sold};

/// So many more of each coil or stick at most: an order is topped up with a few lengths, not with a store of them.
const MORE: u64 = 4;
/// Combinations that are looked at for one tube at one supplier.
const STEPS: u32 = 20_000;

/// Coils and sticks of each lot, the longest first.
pub(super) type Picks = Vec<(Lot, u64)>;

/// Every way to buy what a plan asks for and up to [`MORE`] more of each coil and stick of its supplier that costs no more
/// than `most`, one of each sum (the one with fewest lengths, of these the first), sums going up. Loose tube is cut to what
/// is needed. Nothing where there are too many ways.
pub(super) fn more(offered: &Offered, lots: &[Lot], most: u64) -> Option<Vec<(u64, Picks)>> {
    let planned = |lot: &Lot| {
        let of_lot = offered.picks.iter().filter(|(picked, _)| picked.offer == lot.offer);
        of_lot.map(|(_, count)| *count).sum::<u64>()
    };
    let mut lots: Vec<&Lot> = lots.iter().filter(|lot| matches!(lot.sold, Sold::Lengths(_))).collect();
    lots.sort_by_key(|lot| std::cmp::Reverse(lot.length()));
    if offered.cut.is_none() {
        return Some(Vec::from_iter((offered.cents <= most).then(|| (offered.cents, offered.picks.clone()))));
    }
    let mut left = STEPS;
    // By the numbers of the lots gone through; of the others it is what the plan opens.
    let mut ways: Vec<(u64, Vec<u64>)> = vec![(offered.cents, Vec::new())];
    for lot in &lots {
        let first = planned(lot);
        let mut longer = Vec::new();
        for (sum, counts) in ways {
            let others = sum.saturating_sub(lot.cents(first)?);
            for count in first..=first.saturating_add(MORE) {
                left = left.checked_sub(1)?;
                // Where one costs too much, a break may make more of them cheaper again.
                let sum = others.saturating_add(lot.cents(count)?);
                if sum <= most {
                    longer.push((sum, [&counts[..], &[count]].concat()));
                }
            }
        }
        ways = longer;
    }
    let picks = |counts: Vec<u64>| {
        let some = lots.iter().zip(counts).filter(|(_, count)| *count > 0);
        some.map(|(lot, count)| ((*lot).clone(), count)).collect()
    };
    let mut found: BTreeMap<u64, Picks> = BTreeMap::new();
    for (sum, counts) in ways {
        let picks = picks(counts);
        if found.get(&sum).is_none_or(|known| number(&picks) < number(known)) {
            found.insert(sum, picks);
        }
    }
    Some(found.into_iter().collect())
}

/// How many coils and sticks, or units of loose tube.
pub(super) fn number(picks: &Picks) -> u64 {
    picks.iter().fold(0, |sum, (_, count)| sum.saturating_add(*count))
}

#[cfg(test)]
mod tests {
    use crate::estimate::buying::tests::fixture::{House, d};
    use crate::trade::{Class, SoldAs};

    /// A house of one tube at a supplier whose order must reach so much.
    fn house(least: &str) -> House {
        let mut house = House::new();
        let tube = house.item("tube", &["3/4"], Class::Tube, "");
        house.tube(tube, "90", 1, false);
        house.length("Invented Supply", "3/4", SoldAs::Coil, 100, "40.00");
        house.length("Invented Supply", "3/4", SoldAs::Stick, 20, "9.00");
        house.supplier("Invented Supply", "0", least);
        house
    }

    #[test]
    fn one_more_length_fills_an_order_up_and_stays_whole() {
        // A coil at 40.00 holds the piece. To reach 45.00 a stick is added, 49.00; to reach 55.00 two, 58.00; to reach
        // 70.00 neither four sticks, 76.00, nor two coils, 80.00, but four sticks are least.
        for (least, sum, buy) in
            [("40", "40", "100"), ("45", "49", "120"), ("55", "58", "140"), ("70", "76", "180")]
        {
            let bought = house(least).buy();
            let line = &bought.order[0];
            assert_eq!((line.extended, bought.plan.cost), (Some(d(sum)), d(sum)), "{least}");
            assert_eq!(line.picks.iter().map(|pick| pick.buy).sum::<rust_decimal::Decimal>(), d(buy));
            let left: rust_decimal::Decimal = line.picks.iter().map(|pick| pick.left_over).sum();
            assert_eq!(left, d(buy) - d("90"));
            // The plan is as it was, and least.
            assert_eq!((bought.plans[0].cost, bought.plans[0].bound), (d("40"), d("40")));
        }
    }

    #[test]
    fn what_more_than_a_few_lengths_would_take_is_not_reached() {
        let bought = house("400").buy();
        assert_eq!(bought.order[0].extended, Some(d("40")));
        assert_eq!(bought.notices[0].kind, "least-order-not-reached");
    }
}
