//! What alternatives cost installed, which may be ranked, and where copper and plastic tie.

use super::*;
use coilstick::estimate::{Comparison, RankedBy};

/// A run that costs 30.00 in plastic and 60.00 in copper tube, and what stands around it.
const RUNS: &str = "run,service,size,length,lie,area\nA,cold,3/4,40,ground,yard\n";
const PRICES: &str = "supplier,part,size,price,system,sold as,pack,per\n\
    Demo,tube,3/4,30.00,pex,coil,40 ft,pack\n\
    Demo,tube,3/4,30.00,copper,stick,20 ft,pack\n\
    Demo,coupling,3/4,1.50,copper,each,,each\n\
    Demo,solder,,20.00,copper,bag,1 lb,pack\n\
    Demo,flux,,3.00,copper,bag,4 oz,pack\n";
const LABOR: &str = "joint,,,copper,,,,0.25,\njoint,,,pex,,,,0,\nlength,,,,,,,2,100 ft\n";

fn compared(terms: &str, labor: &str, tools: &str) -> (Job, Comparison) {
    let terms = format!("item,for,value\ncolors,,no\n{terms}");
    let labor = format!("{HEADINGS}{labor}");
    let mut texts: Vec<(&str, &str)> = vec![("job", &terms), ("runs", RUNS), ("prices", PRICES)];
    if labor != HEADINGS {
        texts.push(("labor", &labor));
    }
    if !tools.is_empty() {
        texts.push(("tools", tools));
    }
    let job = Job::from_texts(&texts);
    let compared = estimate(&job).comparison;
    (job, compared)
}

#[test]
fn without_wages_and_tools_alternatives_are_ranked_by_material() {
    let (_, of) = compared("", "", "");
    assert_eq!((of.ranked_by, of.cheapest), (RankedBy::Material, Some(0)));
    // 60.00 of sticks, a coupling, a pound of solder, flux.
    assert!(of.sentence.starts_with(
        "pex-clamp comes to USD 30.00 in material, USD 54.50 less than copper-solder (181.7 % of what pex-clamp costs)"
    ));
    assert!(of.sentence.ends_with("; labor and tools are not in it"), "{}", of.sentence);
}

#[test]
fn with_wages_and_tools_they_are_ranked_by_what_they_cost_installed() {
    let tools = "tool,system,how,price\nexpensive tool,pex,bought,90\n";
    let (_, of) = compared("rate,,40\nsales tax,,10\n", LABOR, tools);
    let [pex, copper] = of.installed[..] else { panic!() };
    // Plastic: 30.00, tool 90.00, 40 ft x 2 / 100 = 0.8 h x 40 = 32.00, tax 3.00: 155.00.
    assert_eq!((pex.material, pex.tools, pex.labor, pex.tax), (d("30.00"), d("90"), d("32.00"), d("3.00")));
    assert_eq!((pex.total, pex.hours, pex.joints), (d("155.00"), Some(d("0.80")), 0));
    // Copper: 84.50, two joints at 0.25 and 0.8 h: 1.3 h, 52.00; tax 8.45: 144.95.
    assert_eq!((copper.labor, copper.tax, copper.total), (d("52.00"), d("8.45"), d("144.95")));
    assert_eq!((copper.hours, copper.joints), (Some(d("1.30")), 2));
    assert_eq!((of.ranked_by, of.cheapest), (RankedBy::Installed, Some(1)));
    assert!(
        of.sentence.starts_with(
            "copper-solder comes to USD 144.95 installed (USD 84.50 in material), USD 10.05 less than pex-clamp (6.5 % of what pex-clamp costs)"
        ),
        "{}",
        of.sentence
    );
    assert_eq!(of.installed_differences[1], (d("-10.05"), Some(d("-6.5"))));
}

#[test]
fn copper_and_plastic_tie_at_the_percentage_that_is_said() {
    let tools = "tool,system,how,price\nexpensive tool,pex,bought,90\n";
    let (_, of) = compared("rate,,40\nsales tax,,10\n", LABOR, tools);
    // 10.05 between them; sticks of 60.00 and the tax on them are 66.00: about 15.23 % more.
    let tie = of.tie.unwrap();
    let at = tie.at.unwrap();
    assert_eq!((tie.on, tie.against, at.points), (1, 0, d("15.22")));
    // A stick is sold to the cent: 30.00 x 1.1522 = 34.566, 34.57, and so up to 15.24. 69.14 + 24.50 = 93.64, tax 9.36,
    // labor 52.00.
    assert_eq!((at.total, at.other), (d("155.00"), d("155.00")));
    assert!(of.sentence.contains("copper-solder ties with pex-clamp where copper tube costs 15.22 % more"));
}

#[test]
fn at_the_tie_the_totals_differ_by_less_than_a_hundredth_of_a_point_moves() {
    for (rate, tool) in [("31", "12"), ("57.5", "140"), ("44", "61.37"), ("12", "75")] {
        let terms = format!("rate,,{rate}\nsales tax,,6.5\n");
        let tools = format!("tool,system,how,price\na tool,pex,bought,{tool}\n");
        let (job, of) = compared(&terms, LABOR, &tools);
        let tie = of.tie.unwrap().at.unwrap();
        // The same job with its copper tube at that percentage, read and estimated again.
        let factor = d("1") + tie.points / d("100");
        let again = |factor: Decimal| {
            let mut job = job.clone();
            for offer in &mut job.prices.offers {
                if offer.systems.iter().any(|word| job.lexicon.text(*word) == "copper")
                    && job.lexicon.text(offer.part) == "tube"
                {
                    offer.price *= factor;
                }
            }
            let installed = estimate(&job).comparison.installed;
            installed[1].total - installed[0].total
        };
        assert_eq!(again(factor), tie.total - tie.other, "{rate} {tool}");
        let step = d("0.0001");
        assert!(again(factor).abs() <= again(factor + step).abs().max(again(factor - step).abs()));
        assert!(again(factor - step * d("2")) < d("0") && again(factor + step * d("2")) >= d("0"));
    }
}

#[test]
fn of_many_systems_copper_is_set_against_the_cheapest_other() {
    let prices = format!(
        "{PRICES}Demo,tube,3/4,29.00,cpvc,stick,20 ft,pack\nDemo,coupling,3/4,1.00,cpvc,each,,each\n\
        Demo,cement,,1.00,cpvc,bag,1 pint,pack\nDemo,primer,,1.00,cpvc,bag,1 pint,pack\n"
    );
    let texts =
        [("job", "item,for,value\ncolors,,no\ncompare with,,priced\n"), ("runs", RUNS), ("prices", &prices)];
    let job = Job::from_texts(&texts);
    let of = estimate(&job).comparison;
    let named = |at: usize| job.lexicon.text(job.catalog.system(job.sides[at].water).tube);
    let tie = of.tie.unwrap();
    assert_eq!((named(tie.on), named(tie.against)), ("copper", "pex"));
}

#[test]
fn where_no_price_makes_them_tie_that_is_said() {
    let (_, of) = compared("rate,,400\n", LABOR, "");
    assert_eq!(of.tie.map(|tie| tie.at), Some(None));
    assert!(
        of.sentence.contains("no price of copper tube makes copper-solder tie with pex-clamp"),
        "{}",
        of.sentence
    );
}

#[test]
fn an_alternative_without_hours_for_all_work_is_not_ranked() {
    let (_, of) = compared("rate,,40\n", "joint,,,pex,,,,0,\nlength,,,,,,,2,100 ft\n", "");
    assert_eq!(of.cheapest, None);
    assert_eq!(of.installed.iter().map(|of| of.whole).collect::<Vec<_>>(), [true, false]);
    assert!(
        of.sentence.starts_with(
            "No alternative can be called cheaper: 1 line of work has no hours in copper-solder"
        ),
        "{}",
        of.sentence
    );
}

#[test]
fn hours_without_wages_are_counted_and_not_in_the_sums() {
    let (_, of) = compared("", LABOR, "");
    assert_eq!(of.ranked_by, RankedBy::Material);
    assert_eq!(of.installed[1].hours, Some(d("1.30")));
    assert!(of.sentence.ends_with("labor is counted in hours and not in it, tools are not in it"));
}

#[test]
fn all_systems_whose_tube_is_priced_are_compared_where_the_job_says_so() {
    let (job, _) = compared("compare with,,priced\n", "", "");
    let named = |job: &Job| -> Vec<String> {
        job.settings.compare_with.iter().map(|word| job.lexicon.text(*word).to_owned()).collect()
    };
    assert!(named(&job).contains(&"copper-solder".to_owned()), "{:?}", named(&job));
    // No tube of 1/2 is on sale: nothing is covered.
    let runs = "run,service,size,length\nA,cold,1/2,40\n";
    let texts = [("job", "item,for,value\ncompare with,,priced\n"), ("runs", runs), ("prices", PRICES)];
    assert_eq!(named(&Job::from_texts(&texts)), Vec::<String>::new());
    // What is named beside it is compared in any case.
    let texts = [
        ("job", "item,for,value\ncompare with,,copper-solder; priced\n"),
        ("runs", runs),
        ("prices", PRICES),
    ];
    assert_eq!(named(&Job::from_texts(&texts)), ["copper-solder"]);
}
