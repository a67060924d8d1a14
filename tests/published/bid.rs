//! Markup against margin, tax and the rounding of a bid: identities and worked figures.

use coilstick::estimate::{Spent, bid, both_ways, profit};
use coilstick::trade::{Class, Job, ProfitAs, Settings, StatedSum, SumAs, Taxed};
use rust_decimal::Decimal;

fn d(text: &str) -> Decimal {
    Decimal::from_str_exact(text).unwrap()
}

fn terms() -> Settings {
    Job::from_texts(&[("runs", "run,service,size,length\nA,cold,1/2,10\n")]).settings
}

/// So much that is taxed, all of it fittings.
fn taxable(sum: &str) -> [Decimal; Class::ALL.len()] {
    Class::ALL.map(|class| if class == Class::Fitting { d(sum) } else { Decimal::ZERO })
}

/// Arithmetic identity: a cost of 80.00 and a price of 100.00 are a markup of 25 % and a margin of 20 %.
#[test]
fn a_markup_of_twenty_five_is_a_margin_of_twenty() {
    assert_eq!(profit(d("25"), ProfitAs::Markup, d("80.00")), Some(d("20.00")));
    assert_eq!(profit(d("20"), ProfitAs::Margin, d("80.00")), Some(d("20.00")));
    assert_eq!(both_ways(d("25"), ProfitAs::Markup), Some((d("25"), d("20"))));
    assert_eq!(both_ways(d("20"), ProfitAs::Margin), Some((d("25"), d("20"))));
}

/// Arithmetic identity, markup = margin / (1 - margin): the pairs that the trade keeps as a table (common practice).
#[test]
fn each_margin_has_its_markup() {
    for (margin, markup) in [
        ("0", "0"),
        ("10", "11.11"),
        ("15", "17.65"),
        ("25", "33.33"),
        ("33.33", "49.99"),
        ("50", "100"),
        ("75", "300"),
    ] {
        assert_eq!(both_ways(d(margin), ProfitAs::Margin), Some((d(markup), d(margin))), "{margin}");
    }
    for (markup, margin) in [("10", "9.09"), ("15", "13.04"), ("20", "16.67"), ("50", "33.33"), ("100", "50")]
    {
        assert_eq!(both_ways(d(markup), ProfitAs::Markup), Some((d(markup), d(margin))), "{markup}");
    }
}

/// Arithmetic identity: price = cost / (1 - margin), for every whole margin and many costs, to the cent.
#[test]
fn cost_over_one_less_the_margin_is_the_price() {
    for margin in 0..100_i64 {
        for cents in [1_i64, 99, 8_000, 123_457, 98_765_432] {
            let (cost, margin) = (Decimal::new(cents, 2), Decimal::from(margin));
            let price = cost + profit(margin, ProfitAs::Margin, cost).unwrap();
            let exact = cost / (Decimal::ONE - margin / Decimal::ONE_HUNDRED);
            assert!((price - exact).abs() <= d("0.005000001"), "{cost} at {margin}: {price} against {exact}");
        }
    }
}

#[test]
fn a_margin_of_all_of_the_price_is_no_price() {
    assert_eq!(profit(d("100"), ProfitAs::Margin, d("80")), None);
    assert_eq!(both_ways(d("100"), ProfitAs::Margin), None);
    assert_eq!(profit(d("100"), ProfitAs::Markup, d("80")), Some(d("80")));
}

/// By hand, no source. Material 1,000.00; labor 600.00; tools 40.00; small parts 2 % of 1,000.00: 20.00; delivery 35.00 +
/// 45.00: 80.00; bond 100.00 marked up. Direct 1,840.00. Contingency 5 %: 92.00. Overhead 12.5 % of 1,932.00: 241.50.
/// Cost 2,173.50; a margin of 15 %: 2,173.50 x 15 / 85 = 383.558..., 383.56. Price 2,557.06. Tax: 7.25 % of 900.00 (100.00
/// of the material is exempt) 65.25, of small parts 1.45, 3 % of labor 18.00: 84.70. Permit 185.00. Bid 2,826.76.
#[test]
fn a_bid_worked_by_hand() {
    let mut terms = terms();
    (terms.contingency, terms.overhead, terms.profit, terms.sales_tax) =
        (d("5"), d("12.5"), d("15"), d("7.25"));
    let fee = |name: &str, sum: &str, is| StatedSum { name: name.into(), sum: d(sum), is };
    terms.bid.profit_as = ProfitAs::Margin;
    terms.bid.small_parts = d("2");
    terms.bid.delivery = d("35.00");
    terms.bid.tax_rates = vec![(Taxed::Labor, d("3"))];
    terms.bid.sums = vec![fee("bond", "100.00", SumAs::MarkedUpFee), fee("permit", "185.00", SumAs::Fee)];
    let spent = Spent {
        material: d("1000.00"),
        taxable: taxable("900.00"),
        labor: d("600.00"),
        tools: d("40.00"),
        supplier_fees: d("45.00"),
    };
    let bid = bid(&terms, spent).unwrap();
    let lines =
        [bid.small_parts, bid.delivery, bid.marked_up_fees, bid.direct, bid.contingency, bid.overhead];
    assert_eq!(lines, ["20.00", "80.00", "100.00", "1840.00", "92.00", "241.50"].map(d));
    assert_eq!(
        [bid.profit, bid.price, bid.tax, bid.fees, bid.total],
        ["383.56", "2557.06", "84.70", "185.00", "2826.76"].map(d)
    );
    // As a markup the same points are less: 15 % of 2,173.50 is 326.025, half away from zero 326.03.
    terms.bid.profit_as = ProfitAs::Markup;
    assert_eq!(coilstick::estimate::bid(&terms, spent).unwrap().profit, d("326.03"));
}

/// Common practice: each line is rounded once on its base and sums are sums of rounded lines, so that a sheet adds up. A
/// tax of 8.25 % on three goods at 0.33 each is 0.0817 on 0.99, 0.08; line by line it would be 3 x 0.03 = 0.09.
#[test]
fn a_tax_is_rounded_once_on_its_base() {
    let mut terms = terms();
    terms.sales_tax = d("8.25");
    let bid =
        bid(&terms, Spent { material: d("0.99"), taxable: taxable("0.99"), ..Spent::default() }).unwrap();
    assert_eq!((bid.tax, bid.total), (d("0.08"), d("1.07")));
}
