//! Generated buying plans: the same from the same seed. Each is a job of 200 parts and 5 suppliers as CSV texts; the
//! text that says what is asked stands in `solver/README.md`. All names and prices are invented.
//!
//! `BUYING_DUMP=FOLDER cargo test --test buying` writes them where the solver's script reads them.

use std::fmt::Write as _;

/// A row of numbers that is the same every time.
pub(crate) struct Numbers(u64);

impl Numbers {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// From 0 to below a limit.
    pub(crate) fn below(&mut self, limit: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % limit
    }

    pub(crate) fn one_of<T: Copy>(&mut self, of: &[T]) -> T {
        of[usize::try_from(self.below(of.len() as u64)).unwrap()]
    }
}

/// The tables of one job.
pub(crate) struct Generated {
    pub(crate) patterns: String,
    pub(crate) parts: String,
    pub(crate) prices: String,
    pub(crate) suppliers: String,
    pub(crate) on_hand: String,
}

/// The job that is the same for all: its day, and one run that brings every part.
pub(crate) const JOB: &str = "item,value\ndate,2026-03-01\ncompare with,none\n";
/// Its run; its tube and caps are sold by nobody.
pub(crate) const RUNS: &str = "run,service,size,length (ft),pattern\nC1,cold,1/2,10,all of it\n";

/// The job of a seed.
pub(crate) fn generated(seed: u64) -> Generated {
    let mut numbers = Numbers(seed.wrapping_mul(7_919).wrapping_add(17));
    let all_sell_all = seed.is_multiple_of(4);
    let mut of = Generated {
        patterns: "pattern,part,quantity,per\n".to_owned(),
        parts: "part,ports,class\n".to_owned(),
        prices: "supplier,part,size,price,sold as,pack,per,discount,breaks,good until\n".to_owned(),
        suppliers: "supplier,delivery fee,least order\n".to_owned(),
        on_hand: "part,size,quantity\n".to_owned(),
    };
    let mut dear = Vec::new();
    for supplier in 'A'..='E' {
        let fee = numbers.one_of(&[0, 20, 45, 80, 150]);
        let least = numbers.one_of(&[0, 0, 200, 500, 900, 1_600]);
        writeln!(of.suppliers, "Supplier {supplier},{fee},{least}").unwrap();
        dear.push(96 + numbers.below(14));
    }
    for part in 1..=200 {
        let need = numbers.one_of(&[1, 1, 2, 3, 4, 6, 9, 14, 30, 70]) + numbers.below(3);
        writeln!(of.parts, "part {part:03},,device").unwrap();
        writeln!(of.patterns, "all of it,part {part:03},{need},run").unwrap();
        if numbers.below(10) == 0 {
            writeln!(of.on_hand, "part {part:03},,{}", 1 + numbers.below(5)).unwrap();
        }
        // In cents: dearer where few are needed.
        let price = (20 + numbers.below(300)) * numbers.below(16).max(1) / (need / 4 + 1) + 15;
        let always = numbers.below(5);
        for (place, supplier) in ('A'..='E').enumerate() {
            let own = dear[place] * (85 + numbers.below(31));
            let price = (price * own / 10_000).max(5);
            if all_sell_all || place as u64 == always || numbers.below(5) > 0 {
                offers(&mut of.prices, &mut numbers, (supplier, part), price, all_sell_all);
            }
        }
    }
    of
}

/// Cents as money.
pub(crate) fn money(cents: u64) -> String {
    format!("{}.{:02}", cents / 100, cents % 100)
}

/// What one supplier asks for a part of so many cents or so: loose, in bags, or both.
fn offers(
    prices: &mut String,
    numbers: &mut Numbers,
    (supplier, part): (char, u32),
    price: u64,
    sells_all: bool,
) {
    let way = numbers.below(4);
    let discount = numbers.one_of(&["", "", "10", "25+15", "5+5+2"]);
    if way != 1 {
        let by_hundred = numbers.below(4) == 0;
        let (list, per) = if by_hundred { (price * 97, "100") } else { (price, "each") };
        let breaks = match numbers.below(3) {
            0 => format!("10: {}; 40: {}", money(list * 92 / 100), money(list * 85 / 100)),
            _ => String::new(),
        };
        let until =
            if numbers.below(20) == 0 && (way == 0 || !sells_all) { "2026-02-28" } else { "2026-12-31" };
        writeln!(
            prices,
            "Supplier {supplier},part {part:03},,{},each,,{per},{discount},{breaks},{until}",
            money(list)
        )
        .unwrap();
    }
    if way == 0 || way == 1 {
        let held = numbers.one_of(&[5, 10, 25, 50]);
        let list = price * held * (82 + numbers.below(12)) / 100;
        let breaks = match numbers.below(3) {
            0 => format!("3: {}", money(list * 90 / 100)),
            _ => String::new(),
        };
        writeln!(
            prices,
            "Supplier {supplier},part {part:03},,{},bag,{held},pack,{discount},{breaks},2026-12-31",
            money(list)
        )
        .unwrap();
    }
}
