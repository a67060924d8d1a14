//! Generated buying plans of tube whose prices have breaks: the same from the same seed. Each is a job of two sizes of
//! tube and a few parts from three suppliers as CSV texts; what is asked stands in `solver/README.md`. All names and
//! prices are invented.

use std::fmt::Write as _;

use crate::generated::{Generated, Numbers, money};

/// The tables of one job: those of every generated job, its job items and its runs.
pub(crate) struct OfTube {
    pub(crate) job: String,
    pub(crate) runs: String,
    pub(crate) of: Generated,
}

/// The job of a seed.
pub(crate) fn generated_tube(seed: u64) -> OfTube {
    let mut numbers = Numbers::new(seed.wrapping_mul(104_729).wrapping_add(5));
    let kerf = numbers.one_of(&["0 in", "1/8 in"]);
    let mut made = OfTube {
        job: format!(
            "item,for,value\ndate,,2026-03-01\nwater system,,copper-solder\ncompare with,,none\n\
             kerf,copper-solder,{kerf}\n"
        ),
        runs: "run,service,size,length (in),pattern,count\n".to_owned(),
        of: Generated {
            patterns: "pattern,part,quantity,per\n".to_owned(),
            parts: "part,ports,class\n".to_owned(),
            prices: "supplier,part,size,price,sold as,pack,per,discount,breaks,good until\n".to_owned(),
            suppliers: "supplier,delivery fee,least order\n".to_owned(),
            on_hand: "part,size,quantity,length (ft)\n".to_owned(),
        },
    };
    let mut dear = Vec::new();
    for supplier in ['A', 'B', 'C'] {
        let fee = numbers.one_of(&[0, 0, 15, 40]);
        let least = numbers.one_of(&[0, 0, 0, 150, 300, 500]);
        writeln!(made.of.suppliers, "Supplier {supplier},{fee},{least}").unwrap();
        dear.push(96 + numbers.below(10));
    }
    for (size, price) in [("1/2", 95), ("3/4", 160)] {
        pieces(&mut made.runs, &mut numbers, size);
        if numbers.below(4) == 0 {
            let (number, feet) = (1 + numbers.below(3), numbers.one_of(&[4, 7, 10, 16]));
            writeln!(made.of.on_hand, "tube,{size},{number},{feet}").unwrap();
        }
        let always = numbers.below(3);
        for (place, supplier) in ['A', 'B', 'C'].into_iter().enumerate() {
            if place as u64 == always || numbers.below(4) > 0 {
                tube(&mut made.of.prices, &mut numbers, (supplier, size), price * dear[place] / 100);
            }
        }
    }
    parts(&mut made.of, &mut numbers);
    made
}

/// Pieces of one size: a few lengths, several of each, none longer than the shortest stick that everybody sells.
fn pieces(runs: &mut String, numbers: &mut Numbers, size: &str) {
    let lengths = 3 + numbers.below(5);
    for at in 0..lengths {
        let inches = 14 + numbers.below(106);
        let count = 1 + numbers.below(9);
        let name = size.replace('/', "-");
        writeln!(runs, "R{name} {at},cold,{size},{inches},all of it,{count}").unwrap();
    }
}

/// What one supplier asks for a size of tube of so many cents a foot: sticks of one to three lengths, most with breaks.
fn tube(prices: &mut String, numbers: &mut Numbers, (supplier, size): (char, &str), foot: u64) {
    let all = [10, 12, 20];
    let first = numbers.below(3);
    let sorts = 1 + numbers.below(3);
    for at in 0..sorts {
        let feet = all[usize::try_from((first + at) % 3).unwrap()];
        let price = foot * feet * (94 + numbers.below(14)) / 100;
        let discount = numbers.one_of(&["", "", "10", "25+15"]);
        let from = 2 + numbers.below(5);
        let further = from + 2 + numbers.below(8);
        let breaks = match numbers.below(5) {
            0 => String::new(),
            1 | 2 => format!("{from}: {}", money(price * (86 + numbers.below(10)) / 100)),
            _ => format!("{from}: {}; {further}: {}", money(price * 94 / 100), money(price * 85 / 100)),
        };
        writeln!(
            prices,
            "Supplier {supplier},tube,{size},{},stick,{feet} ft,pack,{discount},{breaks},2026-12-31",
            money(price)
        )
        .unwrap();
    }
}

/// Some parts sold each or by the bag.
fn parts(of: &mut Generated, numbers: &mut Numbers) {
    for part in 1..=8 {
        let quantity = 1 + numbers.below(2);
        writeln!(of.parts, "part {part:03},,device").unwrap();
        writeln!(of.patterns, "all of it,part {part:03},{quantity},run").unwrap();
        let price = 20 + numbers.below(90);
        for supplier in ['A', 'B', 'C'] {
            let own = price * (85 + numbers.below(31)) / 100;
            let breaks = match numbers.below(3) {
                0 => format!("10: {}", money(own * 92 / 100)),
                _ => String::new(),
            };
            let own = money(own);
            writeln!(of.prices, "Supplier {supplier},part {part:03},,{own},each,,each,,{breaks},2026-12-31")
                .unwrap();
        }
    }
}
