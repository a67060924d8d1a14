//! The search for packs against trying everything, and on needs too large to try.

use super::Numbers;
use coilstick::search::packs::{Kind, Loose, combinations, cover};

fn kind(holds: u64, tiers: &[(u64, u64)]) -> Kind {
    Kind { holds, tiers: tiers.to_vec() }
}

/// The least cost by trying every number of every pack, and the loose goods that each leaves to buy.
fn by_trying_everything(need: u64, kinds: &[Kind], loose: &[Loose]) -> Option<u64> {
    fn go(need: u64, rest: u64, kinds: &[Kind], loose: &[Loose], cents: u64, least: &mut Option<u64>) {
        let Some((kind, others)) = kinds.split_first() else {
            let last = match rest {
                0 => Some(0),
                _ => loose
                    .iter()
                    .flat_map(|goods| goods.tiers.iter().map(|(from, _)| goods.cents(rest.max(*from))))
                    .min(),
            };
            if let Some(last) = last {
                let sum = cents + last;
                *least = Some(least.map_or(sum, |l| l.min(sum)));
            }
            return;
        };
        let last_break = kind.tiers.last().unwrap().0;
        for packs in 0..=need.div_ceil(kind.holds).max(last_break) {
            let left = rest.saturating_sub(packs * kind.holds);
            go(need, left, others, loose, cents + kind.cents(packs).unwrap(), least);
        }
    }
    let mut least = None;
    go(need, need, kinds, loose, 0, &mut least);
    least
}

/// Packs whose prices are near each other, so that rests decide; now and then a break, now and then loose goods.
fn drawn(lot: &mut Numbers) -> (Vec<Kind>, Vec<Loose>) {
    let kinds = (0..1 + lot.below(3)).map(|_| {
        let holds = 1 + lot.below(12);
        let price = holds * 10 + lot.below(25);
        let mut tiers = vec![(1, price)];
        if lot.below(3) == 0 {
            tiers.push((2 + lot.below(4), price - lot.below(price / 3 + 1)));
        }
        kind(holds, &tiers)
    });
    let kinds: Vec<Kind> = kinds.collect();
    let mut loose = Vec::new();
    if lot.below(2) == 0 {
        let net = 800 + lot.below(900);
        let mut tiers = vec![(1, net)];
        if lot.below(3) == 0 {
            tiers.push((2 + lot.below(9), net - lot.below(300)));
        }
        loose.push(Loose { tiers, per: 1 });
    }
    (kinds, loose)
}

#[test]
fn the_search_finds_what_trying_everything_finds() {
    let mut lot = Numbers(7);
    for round in 0..4_000 {
        let (kinds, loose) = drawn(&mut lot);
        let need = 1 + lot.below(if kinds.len() > 2 { 25 } else { 70 });
        let found = cover(need, &kinds, &loose).unwrap();
        assert!(found.proven);
        assert_eq!(
            Some(found.cents),
            by_trying_everything(need, &kinds, &loose),
            "round {round}: {need} of {kinds:?} {loose:?} got {found:?}"
        );
    }
}

/// The least cost by a table of all that packs can hold together, up to the need, kind by kind; then the loose goods for
/// what each leaves.
fn by_table(need: u64, kinds: &[Kind], loose: &[Loose]) -> Option<u64> {
    let top = usize::try_from(need).unwrap();
    let mut least: Vec<Option<u64>> = vec![None; top + 1];
    least[0] = Some(0);
    let cheaper = |one: Option<u64>, other: u64| Some(one.map_or(other, |one| one.min(other)));
    for kind in kinds {
        let (before, holds) = (least.clone(), usize::try_from(kind.holds).unwrap());
        let last_break = usize::try_from(kind.tiers.last().unwrap().0).unwrap();
        for (held, cents) in before.iter().enumerate().filter_map(|(held, cents)| Some((held, (*cents)?))) {
            for packs in 1..=last_break.max((top - held).div_ceil(holds)) {
                let to = top.min(held + packs * holds);
                least[to] = cheaper(least[to], cents + kind.cents(packs as u64).unwrap());
            }
        }
    }
    let held = least.iter().enumerate().filter_map(|(held, cents)| Some((top - held, (*cents)?)));
    let ways = held.flat_map(|(rest, cents)| {
        let up = |goods: &Loose| goods.tiers.iter().map(|tier| goods.cents(tier.0.max(rest as u64))).min();
        let with_loose = loose.iter().filter_map(up).map(move |more| cents + more);
        with_loose.chain((rest == 0).then_some(cents)).collect::<Vec<_>>()
    });
    ways.min()
}

#[test]
fn setting_most_of_a_large_need_aside_changes_no_sum() {
    let mut lot = Numbers(11);
    for round in 0..400 {
        let (kinds, loose) = drawn(&mut lot);
        let need = 500 + lot.below(2_000);
        let found = cover(need, &kinds, &loose).unwrap();
        let least = by_table(need, &kinds, &loose);
        assert_eq!(Some(found.cents), least, "round {round}: {need} of {kinds:?} {loose:?}");
    }
}

#[test]
fn a_need_of_a_million_million_takes_no_more_than_a_small_one() {
    let kinds = [kind(25, &[(1, 999)]), kind(100, &[(1, 3_799)]), kind(7, &[(1, 333)])];
    let loose = [Loose { tiers: vec![(1, 4_900)], per: 1 }];
    let found = cover(1_000_000_000_018, &kinds, &loose).unwrap();
    assert!(found.proven);
    assert_eq!(found.counts[1], 10_000_000_000);
    // 18 more: 7 + 7 and 4 loose are 3.33 + 3.33 + 1.96 = 8.62; all loose 8.82, one of 25 9.99.
    assert_eq!((found.counts[0], found.counts[2], found.loose), (0, 2, Some((0, 4))));
}

#[test]
fn of_equal_sums_the_fewer_packs_win() {
    let kinds = [kind(10, &[(1, 100)]), kind(50, &[(1, 500)])];
    let found = cover(100, &kinds, &[]).unwrap();
    assert_eq!(found.counts, [0, 2]);
}

#[test]
fn a_break_is_reached_by_buying_more_where_that_costs_less() {
    // Nine at 1.00 are 9.00; ten at 0.80 are 8.00.
    let found = cover(9, &[kind(1, &[(1, 100), (10, 80)])], &[]).unwrap();
    assert_eq!((found.counts[0], found.cents), (10, 800));
}

#[test]
fn of_goods_sold_by_the_piece_and_by_the_hundred_the_cheaper_are_taken() {
    let each = Loose { tiers: vec![(1, 1_500)], per: 1 };
    let hundred = |net: u64| Loose { tiers: vec![(1, net)], per: 100 };
    // Ten at 0.15 are 1.50; at 12.00 a hundred 1.20, at 18.00 a hundred 1.80.
    let of_ten = |loose: &[Loose]| cover(10, &[], loose).map(|found| (found.cents, found.loose));
    assert_eq!(of_ten(&[each.clone(), hundred(120_000)]), Some((120, Some((1, 10)))));
    assert_eq!(of_ten(&[hundred(180_000), each]), Some((150, Some((1, 10)))));
}

#[test]
fn packs_too_odd_to_combine_are_still_bought_and_said_to_be_unproven() {
    let kinds = [kind(999_983, &[(1, 100_000)]), kind(1_000_003, &[(1, 100_001)])];
    let found = cover(900_000_000_000, &kinds, &[]).unwrap();
    assert!(!found.proven);
    assert!(found.cents > 0);
}

#[test]
fn nothing_offered_is_nothing() {
    assert_eq!(cover(5, &[], &[]), None);
    assert_eq!(cover(0, &[], &[]).map(|cover| cover.cents), Some(0));
    assert_eq!(cover(u64::MAX, &[kind(1, &[(1, u64::MAX / 2)])], &[]), None);
}

#[test]
fn the_first_way_is_the_cheapest_cover() {
    let kinds =
        [Kind { holds: 100, tiers: vec![(1, 3_000)] }, Kind { holds: 25, tiers: vec![(1, 900), (4, 760)] }];
    let loose = [Loose { tiers: vec![(1, 4_130), (50, 3_900)], per: 1 }];
    for need in 1..180 {
        let best = cover(need, &kinds, &loose).unwrap();
        let all = combinations(need, &kinds, &loose, best.cents + 500).unwrap();
        assert_eq!((all[0].cents, all[0].packs), (best.cents, best.packs), "{need}");
        assert!(all.windows(2).all(|pair| pair[0].cents < pair[1].cents));
    }
}

#[test]
fn more_than_is_needed_is_a_way_too() {
    let kinds = [Kind { holds: 10, tiers: vec![(1, 300)] }];
    let sums: Vec<_> = combinations(11, &kinds, &[], 1_200).unwrap().iter().map(|way| way.cents).collect();
    assert_eq!(sums, [600, 900, 1_200]);
}

#[test]
fn too_many_ways_are_not_gone_through() {
    let kinds = [Kind { holds: 1, tiers: vec![(1, 1)] }, Kind { holds: 1, tiers: vec![(1, 1)] }];
    assert!(combinations(1, &kinds, &[], 1_000_000).is_none());
}
