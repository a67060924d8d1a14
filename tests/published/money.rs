//! Worked examples of money: discounts, prices by the foot and the hundred, allowances.

use coilstick::estimate::buying::price::{allowance, net, of_loose, of_pack};
use coilstick::ground::money::to_cents;
use rust_decimal::Decimal;

fn d(text: &str) -> Decimal {
    Decimal::from_str_exact(text).unwrap()
}

fn loose(quantity: &str, price: &str, per: &str) -> Decimal {
    let net = net(d(price), &[]).unwrap();
    of_loose(d(quantity), net, d(per)).unwrap()
}

/// Nichols, Estimating (1907-08), in Cyclopedia of Architecture, Carpentry and Building: a drain of 171 ft at 0.20 and
/// 14 bends at 0.30 come to 34.20 + 4.20 = 38.40.
#[test]
fn nichols_drain_and_bends() {
    let (drain, bends) = (loose("171", "0.20", "1"), loose("14", "0.30", "1"));
    assert_eq!((drain, bends, drain + bends), (d("34.20"), d("4.20"), d("38.40")));
}

/// Nichols, as above: 1,380 bricks at 20.00 per thousand are 27.60, with an iron cover at 3.00 30.60.
#[test]
fn nichols_cesspool_bricks_by_the_thousand() {
    let bricks = loose("1380", "20.00", "1000");
    assert_eq!((bricks, bricks + d("3.00")), (d("27.60"), d("30.60")));
}

/// Nichols, as above: 7,560 bricks at 20.00 per thousand 151.20, 3 at 30.00 90.00, 26 ft at 0.35 9.10, 36 ft at 0.30
/// 10.80, 68 ft at 0.30 20.40; together 281.50.
#[test]
fn nichols_chimney_by_the_thousand_each_and_the_foot() {
    let lines = [
        ("7560", "20.00", "1000", "151.20"),
        ("3", "30.00", "1", "90.00"),
        ("26", "0.35", "1", "9.10"),
        ("36", "0.30", "1", "10.80"),
        ("68", "0.30", "1", "20.40"),
    ];
    let mut total = Decimal::ZERO;
    for (quantity, price, per, sum) in lines {
        assert_eq!(loose(quantity, price, per), d(sum));
        total += loose(quantity, price, per);
    }
    assert_eq!(total, d("281.50"));
}

/// Chain discounts by the complement method, a textbook exercise: list 12.59 less 15 and 10 leaves 76.5 %, 9.63.
#[test]
fn textbook_chain_discount_of_fifteen_and_ten() {
    assert_eq!(net(d("100"), &[d("15"), d("10")]), Some(d("76.5")));
    let net = net(d("12.59"), &[d("15"), d("10")]).unwrap();
    assert_eq!(net, d("9.6314"));
    assert_eq!(to_cents(net), d("9.63"));
    assert_eq!(of_pack(Decimal::ONE, net, Decimal::ONE), Some(d("9.63")));
}

/// Chain discounts, a textbook exercise: list 140.00 less 20 and 15 leaves 95.20 (20 + 15 at once would leave 91.00).
#[test]
fn textbook_chain_discount_of_twenty_and_fifteen() {
    assert_eq!(net(d("140.00"), &[d("20"), d("15")]), Some(d("95.20")));
}

/// Arithmetic by hand, no source: 171 ft at 0.3149 are 53.8479, 53.85; 30 at 41.30 per hundred are 12.39. A price of
/// four places that is rounded to cents first (0.31) would come to 53.01.
#[test]
fn prices_by_the_foot_and_the_hundred_are_rounded_once_at_the_sum() {
    assert_eq!(loose("171", "0.3149", "1"), d("53.85"));
    assert_eq!(loose("30", "41.30", "100"), d("12.39"));
}

/// Arithmetic by hand, no source: with 10 % 100 are 110, not 111 (what a float makes of 100 x 1.1), and 105 are 116.
#[test]
fn an_allowance_is_rounded_up_once_and_a_whole_number_stays() {
    assert_eq!(allowance(d("100"), d("10")), Some(d("10")));
    assert_eq!(allowance(d("105"), d("10")), Some(d("11")));
}
