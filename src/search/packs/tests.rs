//! The search for packs against trying everything, and on needs too large to try.

use super::*;

/// Numbers that look drawn by lot and are the same on every machine.
struct Lot(u64);

impl Lot {
    fn below(&mut self, bound: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % bound
    }
}

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
fn drawn(lot: &mut Lot) -> (Vec<Kind>, Vec<Loose>) {
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
    let mut lot = Lot(7);
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

#[test]
fn setting_most_of_a_large_need_aside_changes_no_sum() {
    let mut lot = Lot(11);
    for round in 0..400 {
        let (kinds, loose) = drawn(&mut lot);
        let need = 500 + lot.below(2_000);
        let found = cover(need, &kinds, &loose).unwrap();
        // The same need in the search alone, nothing set aside.
        let (counts, bought) = search(need, &kinds, &loose).unwrap();
        let whole = finish(need, counts, bought, &kinds, &loose, true).unwrap();
        assert_eq!(found.cents, whole.cents, "round {round}: {need} of {kinds:?} {loose:?}");
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
