//! Families of cutting instances made by published recipes, or to the scale of a house, from fixed seeds: the same
//! instances on every machine. Shared by the cutting tests and the bench.
//!
//! Sources of the recipes: uniform and triplets, E. Falkenauer, "A hybrid grouping genetic algorithm for bin
//! packing", Journal of Heuristics 2 (1996); sets 1 to 3, A. Scholl, R. Klein, C. Juergens, "BISON: a fast hybrid
//! procedure for exactly solving the one-dimensional bin packing problem", Computers & Operations Research 24
//! (1997); narrow, P. Schwerin and G. Waescher, "The bin-packing problem: a problem generator and some numerical
//! experiments with FFD packing and MTP", International Transactions in Operational Research 4 (1997); cutting
//! stock, T. Gau and G. Waescher, "CUTGEN1", European Journal of Operational Research 84 (1995); three lengths,
//! M. Monaci, "Algorithms for packing and scheduling problems", thesis, Bologna (2002). Recalled from memory.

use super::reading::Instance;
use coilstick::search::cutting::{Demand, Stock};

/// A family, and the least cost where the recipe fixes it.
pub(crate) struct Family {
    /// What it is called in the printed counts.
    pub(crate) name: &'static str,
    /// Its instances.
    pub(crate) instances: Vec<(Instance, Option<u64>)>,
}

/// Numbers that look random and are the same always (splitmix64).
pub(crate) struct Dice(u64);

impl Dice {
    /// Begins a row of numbers.
    pub(crate) fn new(seed: u64) -> Self {
        Dice(seed.wrapping_mul(0x2545_F491_4F6C_DD1D))
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number from `low` to `high`, both included.
    pub(crate) fn between(&mut self, low: u64, high: u64) -> u64 {
        low + self.next() % (high - low + 1)
    }
}

fn one_length(name: String, length: u64, pieces: impl IntoIterator<Item = u64>) -> Instance {
    let demands = pieces.into_iter().map(|length| Demand { length, count: 1 }).collect();
    Instance { name, stocks: vec![Stock { length, price: 1, available: None }], demands }
}

/// Pieces uniform in [20, 100], stock 150.
pub(crate) fn uniform(n: u64, seeds: u64) -> Vec<(Instance, Option<u64>)> {
    let make = |seed| {
        let mut dice = Dice::new(1000 * n + seed);
        (one_length(format!("uniform {n} {seed}"), 150, (0..n).map(|_| dice.between(20, 100))), None)
    };
    (0..seeds).map(make).collect()
}

/// Three pieces fill a stick of 1000 without waste: the least is known.
pub(crate) fn triplets(n: u64, seeds: u64) -> Vec<(Instance, Option<u64>)> {
    let make = |seed| {
        let mut dice = Dice::new(2_000_000 + 1000 * n + seed);
        let mut pieces = Vec::new();
        for _ in 0..n / 3 {
            let first = dice.between(380, 490);
            let second = dice.between(250, (1000 - first).div_ceil(2) - 1);
            pieces.extend([first, second, 1000 - first - second]);
        }
        (one_length(format!("triplets {n} {seed}"), 1000, pieces), Some(n / 3))
    };
    (0..seeds).map(make).collect()
}

/// Scholl's first set: stock 100, 120, 150; pieces from [1, 100], [20, 100], [30, 100].
pub(crate) fn set_1(seeds: u64) -> Vec<(Instance, Option<u64>)> {
    let mut all = Vec::new();
    for n in [50, 100, 200, 500] {
        for stock in [100, 120, 150] {
            for low in [1, 20, 30] {
                for seed in 0..seeds {
                    let mut dice = Dice::new(3_000_000 + n * 1_000_003 + stock * 1009 + low * 101 + seed);
                    let pieces = (0..n).map(|_| dice.between(low, 100));
                    all.push((one_length(format!("set 1: {n} {stock} {low} {seed}"), stock, pieces), None));
                }
            }
        }
    }
    all
}

/// Scholl's second set: stock 1000; pieces about a third to a ninth of it, 20 to 90 % more or less.
pub(crate) fn set_2(seeds: u64) -> Vec<(Instance, Option<u64>)> {
    let mut all = Vec::new();
    for n in [50, 100, 200, 500] {
        for part in [3, 5, 7, 9] {
            for spread in [20, 50, 90] {
                for seed in 0..seeds {
                    let mut dice = Dice::new(4_000_000 + n * 1_000_003 + part * 1009 + spread * 101 + seed);
                    let mean = 1000 / part;
                    let (low, high) = (mean - mean * spread / 100, mean + mean * spread / 100);
                    let pieces = (0..n).map(|_| dice.between(low, high));
                    all.push((one_length(format!("set 2: {n} {part} {spread} {seed}"), 1000, pieces), None));
                }
            }
        }
    }
    all
}

/// Scholl's third set: stock 100000, 200 pieces in [20000, 35000].
pub(crate) fn set_3(seeds: u64) -> Vec<(Instance, Option<u64>)> {
    let make = |seed| {
        let mut dice = Dice::new(5_000_000 + seed);
        (one_length(format!("set 3: {seed}"), 100_000, (0..200).map(|_| dice.between(20_000, 35_000))), None)
    };
    (0..seeds).map(make).collect()
}

/// Pieces of nearly one length: stock 1000, pieces in [150, 200].
pub(crate) fn narrow(n: u64, seeds: u64) -> Vec<(Instance, Option<u64>)> {
    let make = |seed| {
        let mut dice = Dice::new(6_000_000 + 1000 * n + seed);
        (one_length(format!("narrow {n} {seed}"), 1000, (0..n).map(|_| dice.between(150, 200))), None)
    };
    (0..seeds).map(make).collect()
}

/// Many equal pieces: stock 1000, 10 to 40 lengths up to a share of it, 10 or 100 of each on average.
pub(crate) fn cutting_stock(seeds: u64) -> Vec<(Instance, Option<u64>)> {
    let mut all = Vec::new();
    for sorts in [10, 20, 40] {
        for high in [200, 500, 800] {
            for mean in [10, 100] {
                for seed in 0..seeds {
                    let mut dice = Dice::new(7_000_000 + sorts * 1_000_003 + high * 1009 + mean * 101 + seed);
                    let demands = (0..sorts)
                        .map(|_| Demand {
                            length: dice.between(10, high),
                            count: dice.between(1, 2 * mean - 1),
                        })
                        .collect();
                    let stocks = vec![Stock { length: 1000, price: 1, available: None }];
                    all.push((
                        Instance { name: format!("stock {sorts} {high} {mean} {seed}"), stocks, demands },
                        None,
                    ));
                }
            }
        }
    }
    all
}

/// Stock 100, 120 and 150 at a price for its length, pieces from [1, 100], [20, 100], [50, 100].
pub(crate) fn three_lengths(seeds: u64) -> Vec<(Instance, Option<u64>)> {
    let mut all = Vec::new();
    for n in [25, 50, 100, 200, 500] {
        for low in [1, 20, 50] {
            for seed in 0..seeds {
                let mut dice = Dice::new(8_000_000 + n * 1_000_003 + low * 101 + seed);
                let stocks =
                    [100, 120, 150].map(|length| Stock { length, price: length, available: None }).to_vec();
                let demands = (0..n).map(|_| Demand { length: dice.between(low, 100), count: 1 }).collect();
                all.push((
                    Instance { name: format!("three lengths {n} {low} {seed}"), stocks, demands },
                    None,
                ));
            }
        }
    }
    all
}

/// What a house buys from. All prices are invented.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shelf {
    /// Coils of 100, 300 and 500 ft, in inches.
    Coils,
    /// Sticks of 5, 10 and 20 ft, in quarters of an inch.
    Sticks,
    /// Sticks and coils together, in inches.
    Both,
    /// Sticks, and offcuts of them on hand, in quarters of an inch.
    Offcuts,
}

/// A house's tube of one size: most pieces short, some long.
pub(crate) fn house(shelf: Shelf, n: u64, seed: u64) -> Instance {
    let mut dice = Dice::new(9_000_000 + 7919 * n + 101 * shelf as u64 + seed);
    let stock = |(length, price): (u64, u64)| Stock { length, price, available: None };
    let (mut stocks, low, high): (Vec<Stock>, u64, u64) = match shelf {
        Shelf::Coils => ([(1200, 4075), (3600, 11_390), (6000, 17_925)].map(stock).to_vec(), 60, 840),
        Shelf::Sticks => ([(240, 1315), (480, 2190), (960, 4045)].map(stock).to_vec(), 16, 950),
        Shelf::Both => (
            [(120, 583), (240, 1105), (600, 2419), (1200, 4225), (3600, 11_310), (6000, 17_500)]
                .map(stock)
                .to_vec(),
            48,
            720,
        ),
        Shelf::Offcuts => ([(480, 2190), (960, 4045)].map(stock).to_vec(), 16, 470),
    };
    if shelf == Shelf::Offcuts {
        let offcut = |_| Stock { length: dice.between(60, 400), price: 0, available: Some(1) };
        stocks.extend((0..n / 10).map(offcut).collect::<Vec<_>>());
    }
    let demands = (0..n)
        .map(|_| {
            let top = if dice.between(0, 3) == 0 { high } else { low + (high - low) / 3 };
            Demand { length: dice.between(low, top), count: 1 }
        })
        .collect();
    Instance { name: format!("house {shelf:?} {n} {seed}"), stocks, demands }
}

/// What houses buy from.
pub(crate) const SHELVES: [Shelf; 4] = [Shelf::Coils, Shelf::Sticks, Shelf::Both, Shelf::Offcuts];

/// House jobs of all shelves, 20 to 1000 pieces.
pub(crate) fn houses(seeds: u64) -> Vec<(Instance, Option<u64>)> {
    SHELVES.into_iter().flat_map(|shelf| houses_of(shelf, seeds)).collect()
}

/// House jobs of one shelf, 20 to 1000 pieces.
fn houses_of(shelf: Shelf, seeds: u64) -> Vec<(Instance, Option<u64>)> {
    let sizes = [20, 35, 50, 75, 100, 150, 200, 400, 1000];
    sizes.into_iter().flat_map(|n| (0..seeds).map(move |seed| (house(shelf, n, seed), None))).collect()
}

/// House jobs of one shelf with more than 200 pieces, of other seeds.
pub(crate) fn large_houses(shelf: Shelf, seeds: u64) -> Vec<(Instance, Option<u64>)> {
    let sizes = [201, 250, 300, 450, 650, 1000];
    sizes.into_iter().flat_map(|n| (0..seeds).map(move |seed| (house(shelf, n, 50 + seed), None))).collect()
}

/// House jobs with a saw: pieces a sixteenth short of the quarter inch, each cut an eighth, which is added to pieces and
/// sticks.
pub(crate) fn with_a_saw(houses: Vec<(Instance, Option<u64>)>) -> Vec<Instance> {
    let saw = |(house, _): (Instance, Option<u64>)| Instance {
        name: format!("{} with a saw", house.name),
        stocks: house.stocks.iter().map(|stock| Stock { length: 4 * stock.length + 2, ..*stock }).collect(),
        demands: house.demands.iter().map(|d| Demand { length: 4 * d.length - 1 + 2, ..*d }).collect(),
    };
    houses.into_iter().map(saw).collect()
}

/// Sticks broken at random into two to five pieces: no plan has waste, and the least is known. Hard, as triplets are.
pub(crate) fn broken(sticks: u64, stock: u64, seeds: u64) -> Vec<(Instance, Option<u64>)> {
    let make = |seed| {
        let mut dice = Dice::new(11_000_000 + 1009 * sticks + stock + seed);
        let mut pieces = Vec::new();
        for _ in 0..sticks {
            let mut rest = stock;
            for _ in 0..dice.between(1, 4) {
                let piece = dice.between(rest / 5, rest / 2).max(1);
                pieces.push(piece);
                rest -= piece;
            }
            pieces.push(rest);
        }
        (one_length(format!("broken {sticks} {stock} {seed}"), stock, pieces), Some(sticks))
    };
    (0..seeds).map(make).collect()
}

/// Long and short pieces of any length up to four fifths of the stock: stock 1000, 160 to 200 pieces.
pub(crate) fn wide(n: u64, seeds: u64) -> Vec<(Instance, Option<u64>)> {
    let make = |seed| {
        let mut dice = Dice::new(12_000_000 + 1000 * n + seed);
        (one_length(format!("wide {n} {seed}"), 1000, (0..n).map(|_| dice.between(1, 800))), None)
    };
    (0..seeds).map(make).collect()
}

/// Two stock lengths at a price for their length, many equal pieces.
pub(crate) fn two_lengths(seeds: u64) -> Vec<(Instance, Option<u64>)> {
    let mut all = Vec::new();
    for sorts in [10, 25, 50] {
        for (short, long) in [(240, 480), (300, 500), (370, 990)] {
            for seed in 0..seeds {
                let mut dice = Dice::new(13_000_000 + sorts * 1_000_003 + long * 1009 + seed);
                let stocks =
                    [short, long].map(|length| Stock { length, price: length, available: None }).to_vec();
                let demands = (0..sorts)
                    .map(|_| Demand { length: dice.between(20, short - 1), count: dice.between(1, 9) })
                    .collect();
                all.push((
                    Instance { name: format!("two lengths {sorts} {short} {long} {seed}"), stocks, demands },
                    None,
                ));
            }
        }
    }
    all
}

/// Any shelf: two to eight lengths at prices of their own, the longer mostly cheaper for the foot, some lengths
/// scarce; pieces of few or many lengths, singly or by the dozen.
pub(crate) fn any_shelf(seeds: u64) -> Vec<(Instance, Option<u64>)> {
    let make = |seed| {
        let mut dice = Dice::new(10_000_000 + seed);
        let unit = [1, 12, 64][dice.between(0, 2) as usize];
        let mut stocks: Vec<Stock> = (0..dice.between(2, 8))
            .map(|_| {
                let feet = [5, 8, 10, 12, 16, 20, 50, 100, 250, 300, 500, 1000][dice.between(0, 11) as usize];
                let price = feet * dice.between(70, 110) * (1000 - 40 * u64::from(feet.ilog2())) / 1000;
                let available = (dice.between(0, 4) == 0).then(|| dice.between(1, 6));
                Stock { length: feet * unit, price, available }
            })
            .collect();
        stocks.push(Stock { length: 20 * unit, price: 2000, available: None });
        let most = [1, 1, 12][dice.between(0, 2) as usize];
        let low = unit.div_ceil(2);
        let high = [6, 12, 20][dice.between(0, 2) as usize] * unit;
        let demands = (0..dice.between(5, 150))
            .map(|_| Demand { length: dice.between(low, high), count: dice.between(1, most) })
            .collect();
        (Instance { name: format!("any shelf {seed}"), stocks, demands }, None)
    };
    (0..seeds).map(make).collect()
}

/// All families at full size.
pub(crate) fn all() -> Vec<Family> {
    let mut all = house_families();
    all.extend(classical_families());
    all
}

/// Houses by shelf, without and with a saw, of all sizes and those above 200 pieces alone.
fn house_families() -> Vec<Family> {
    let names = [
        ["house coils", "house coils, saw", "large house coils", "large house coils, saw"],
        ["house sticks", "house sticks, saw", "large house sticks", "large house sticks, saw"],
        ["house both", "house both, saw", "large house both", "large house both, saw"],
        ["house offcuts", "house offcuts, saw", "large house offcuts", "large house offcuts, saw"],
    ];
    let sawn = |houses| with_a_saw(houses).into_iter().map(|house| (house, None)).collect();
    let of = |(shelf, names): (Shelf, [&'static str; 4])| {
        let all = [
            houses_of(shelf, 5),
            sawn(houses_of(shelf, 5)),
            large_houses(shelf, 5),
            sawn(large_houses(shelf, 5)),
        ];
        names.into_iter().zip(all).map(|(name, instances)| Family { name, instances }).collect::<Vec<_>>()
    };
    SHELVES.into_iter().zip(names).flat_map(of).collect()
}

fn classical_families() -> Vec<Family> {
    vec![
        Family { name: "uniform 120", instances: uniform(120, 20) },
        Family { name: "uniform 250", instances: uniform(250, 20) },
        Family { name: "uniform 500", instances: uniform(500, 20) },
        Family { name: "uniform 1000", instances: uniform(1000, 20) },
        Family { name: "triplets 60", instances: triplets(60, 20) },
        Family { name: "triplets 120", instances: triplets(120, 20) },
        Family { name: "triplets 249", instances: triplets(249, 20) },
        Family { name: "triplets 501", instances: triplets(501, 20) },
        Family { name: "set 1", instances: set_1(20) },
        Family { name: "set 2", instances: set_2(10) },
        Family { name: "set 3", instances: set_3(10) },
        Family { name: "narrow 100", instances: narrow(100, 100) },
        Family { name: "narrow 120", instances: narrow(120, 100) },
        Family { name: "cutting stock", instances: cutting_stock(10) },
        Family { name: "three lengths", instances: three_lengths(10) },
        Family { name: "any shelf", instances: any_shelf(300) },
        Family { name: "broken 40", instances: broken(40, 1000, 10) },
        Family { name: "broken 67", instances: broken(67, 2500, 10) },
        Family { name: "wide 160", instances: wide(160, 14) },
        Family { name: "wide 200", instances: wide(200, 14) },
        Family { name: "two lengths", instances: two_lengths(10) },
    ]
}
