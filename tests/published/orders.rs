//! Worked examples of money through the whole program: a job with a price list, its order and its sum. Sources stand in
//! `figures/worked-examples.csv`.

use crate::counting::{Counted, beside, rows};

/// A system by tables alone, whose joints ask for nothing and which needs no supports: tube and fittings are all there is.
const TILE: [(&str, &str); 3] = [
    ("joints", "joint,size,part,amount,unit,per\ndry,,,,,\n"),
    ("systems", "system,side,tube,fit,joint,turns\ntile-dry,water,tile,bell,dry,elbow\n"),
    ("sizes", "tube,size,order\ntile,4,4\n"),
];

/// The order of 171 ft with elbows counted by eye, at prices: part, sum; and the material.
fn order(runs: &str, prices: &str) -> (Vec<(String, String)>, String) {
    let job = "item,value\nwater system,tile-dry\ncompare with,tile-dry\n";
    let mut tables = vec![("job", job), ("runs", runs), ("prices", prices)];
    tables.extend(TILE);
    let counted = Counted::of(&tables);
    let lines =
        counted.file("order.csv").iter().map(|row| (row["part"].clone(), row["extended"].clone())).collect();
    let sums = counted.file("comparison.csv");
    let material = sums.iter().find(|row| row["cost line"] == "material").unwrap();
    (lines, material["tile-dry"].clone())
}

fn line(part: &str, sum: &str) -> (String, String) {
    (part.to_owned(), sum.to_owned())
}

/// Nichols, Estimating (1907-08), in Cyclopedia of Architecture, Carpentry and Building: a drain of 171 ft at 0.20 and
/// 14 bends at 0.30 come to 34.20 + 4.20 = 38.40.
#[test]
fn a_drain_of_nichols_comes_to_his_sum_through_the_whole_program() {
    let published = rows(&beside("figures/worked-examples.csv"));
    let row = published.iter().find(|row| row["id"] == "WE-01").unwrap();
    assert_eq!(row["inputs"], "171 ft drain at 0.20; 14 bends at 0.30");
    assert_eq!(row["published_output"], "34.20; 4.20; total 38.40");
    let runs = "run,service,size,length (ft),pattern,elbows\ndrain,cold,4,171,counted,14\n";
    let prices = "supplier,part,size,price,per\nS,tube,4,0.20,ft\nS,elbow,4,0.30,each\n";
    let (lines, material) = order(runs, prices);
    assert_eq!(lines, [line("tube", "34.20"), line("elbow", "4.20")]);
    assert_eq!(material, "38.40");
}

/// Arithmetic by hand: 171 ft at 0.3149 are 53.8479, 53.85; 30 at 41.30 a hundred are 12.39; together 66.24.
#[test]
fn loose_goods_are_rounded_once_through_the_whole_program() {
    let runs = "run,service,size,length (ft),pattern,elbows\ndrain,cold,4,171,counted,30\n";
    let prices = "supplier,part,size,price,per\nS,tube,4,0.3149,ft\nS,elbow,4,41.30,100\n";
    let (lines, material) = order(runs, prices);
    assert_eq!(lines, [line("tube", "53.85"), line("elbow", "12.39")]);
    assert_eq!(material, "66.24");
}

/// Chain discounts, a textbook exercise: 12.59 less 15 and 10 is 9.63.
#[test]
fn a_chain_discount_comes_to_the_published_net_through_the_whole_program() {
    let runs = "run,service,size,length (ft),pattern,elbows\ndrain,cold,4,10,counted,1\n";
    let prices = "supplier,part,size,price,per,discount\nS,tube,4,1,ft,\nS,elbow,4,12.59,each,15+10\n";
    let (lines, material) = order(runs, prices);
    assert_eq!(lines, [line("tube", "10.00"), line("elbow", "9.63")]);
    assert_eq!(material, "19.63");
}
