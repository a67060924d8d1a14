//! Sound houses raise no doubt: a thousand generated ones, with prices, hours, tools and terms, of which no figure is out of
//! the ordinary, unlike the others or misspelled.

use std::path::Path;

use coilstick::trade::Job;

use crate::generate::{Wrong, house};

/// What is said of a cell that may have been meant otherwise.
const DOUBTS: [&str; 9] = [
    "out-of-the-ordinary",
    "unlike-the-others",
    "looks-like-another",
    "part-of-another-system",
    "alternate-none",
    "alternate-unnamed",
    "value-elsewhere",
    "beyond-a-house",
    "no-such-figure",
];

const TERMS: &str = "item,for,value\ndate,,2026-03-16\nwater system,,pex-clamp\ncompare with,,copper-solder\noverhead,,OVERHEAD\n\
profit,,PROFIT\ncontingency,,5\nsmall parts,,2\ndelivery,,45\nfee,permit,140\nsales tax,,6.5\nburden,,32\nrate,journeyman,44\n\
rate,helper,27\ncrew,journeyman,1\ncrew,helper,1\nproductivity,,PRODUCTIVITY\ndifficulty,,10\nhours a day,,8\n\
allowance,fitting,5\nallowance,ring,8\nstatic pressure,,62\nkerf,,1/8 in\n";

fn text(path: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap()
}

#[test]
fn a_thousand_sound_houses_raise_no_doubt() {
    let lists = ["fennwick-supply-2026-01-05", "tidegate-plumbing-goods-2026-02-01"];
    let lists = lists.map(|name| text(&format!("price-lists/{name}.csv")));
    let prices = format!("{}{}", lists[0], lists[1].split_once('\n').unwrap().1);
    let (labor, tools) =
        (text("price-lists/invented-hours/labor.csv"), text("price-lists/invented-hours/tools.csv"));
    let mut doubts: Vec<String> = Vec::new();
    for seed in 20_000..21_000 {
        let pick = |some: [&'static str; 3]| some[usize::try_from(seed % 3).unwrap()];
        let terms = TERMS
            .replace("OVERHEAD", pick(["8", "12", "25"]))
            .replace("PROFIT", pick(["10", "15", "20"]))
            .replace("PRODUCTIVITY", pick(["80", "95", "110"]));
        let mut texts = house(seed, Wrong(0));
        texts.retain(|(name, _)| *name != "job");
        texts.push(("job", terms));
        // The lists are the same in all houses: some of these are enough.
        if seed % 40 == 0 {
            texts.push(("prices", prices.clone()));
            texts.push(("labor", labor.clone()));
            texts.push(("tools", tools.clone()));
        }
        let texts: Vec<(&str, &str)> = texts.iter().map(|(name, text)| (*name, text.as_str())).collect();
        let job = Job::from_texts(&texts);
        let of_house = job.notices.iter().filter(|notice| DOUBTS.contains(&notice.kind));
        doubts.extend(of_house.map(|notice| {
            let spot = notice.spots.first().map(ToString::to_string).unwrap_or_default();
            format!("house {seed} {} {spot}: {}", notice.kind, notice.found)
        }));
    }
    assert!(doubts.is_empty(), "{} doubts:\n{}", doubts.len(), doubts[..doubts.len().min(40)].join("\n"));
}
