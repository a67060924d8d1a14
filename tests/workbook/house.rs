//! A small invented house, taken off by the plainest arithmetic there is, so that the workbook can be judged apart
//! from the network; bought, costed and compared by the program.

use coilstick::estimate::Estimate;
use coilstick::estimate::buying::{Held, Kept, Market, Tables, buy};
use coilstick::estimate::comparison::compare;
use coilstick::estimate::costing::cost;
use coilstick::estimate::item::{Color, Item, ItemId, Items, Sizes};
use coilstick::estimate::network::RunId;
use coilstick::estimate::order::Alternative;
use coilstick::estimate::takeoff::{
    Balance, Because, EndLine, EndMet, Line, Piece, RunEnd, Subject, Takeoff,
};
use coilstick::ground::LengthUnit;
use coilstick::ground::money::round_up;
use coilstick::trade::{Job, Phase, SystemId, Word};
use rust_decimal::Decimal;

const JOB: &str = "\
item,for,value,note
name,,Lodge on Alder Lane & annex,invented
date,,2026-03-01,
currency,,USD,
water system,,pex-clamp,
compare with,,copper-solder,
allowance,fitting,5,
allowance,ring,10,
allowance,support,5,
allowance,consumable,10,
contingency,,3,
overhead,,10,
profit,,8,
sales tax,,7.25,
";

const RUNS: &str = "\
run,service,size,length,pattern,joins,at,to,turns,rise,area,fixture,note
C1,cold,1,34' 6\",,main,,,2,,crawl space,,=HYPERLINK(\"x\")
C2,cold,3/4,28,tank heater,C1,20,heater,3,4,utility,tank heater,
C3,cold,1/2,12' 3 1/2\",fixture supply,C1,28,hall lavatory,1,2,hall bath,lavatory,
C4,cold,1/2,18.25,fixture supply,C1,31,kitchen sink,2,2,kitchen,kitchen sink,
C10,cold,3/4,22,,C1,,,1,,crawl space,,
C11,cold,1/2,9,fixture supply,C10,12,hall closet,1,2,hall bath,water closet,
C12,cold,1/2,14' 6\",washer box,C10,,laundry box,2,3,laundry,washer,
H1,hot,3/4,40,tank heater,heater,,,2,-4,crawl space,,
H2,hot,1/2,11,fixture supply,H1,22,hall lavatory 2,1,2,hall bath,lavatory,
H3,hot,1/2,16.5,fixture supply,H1,30,kitchen sink 2,2,2,kitchen,kitchen sink,+note
H4,hot,1/2,13,,H1,,,2,3,laundry,,
";

const PRICES: &str = "\
supplier,part,size,price,system,variant,color,code,description,sold as,pack,per,discount,breaks,good until
Harbor Pipe (invented),tube,1,92.5,pex,,,T100,tube 1 in,coil,100 ft,pack,10,,2026-12-31
Harbor Pipe (invented),tube,1/2,0.3149,pex,,,T50,tube 1/2 in,coil,100 ft,ft,10+5,,2026-12-31
Harbor Pipe (invented),tube,3/4,0.52,pex,,,T75,tube 3/4 in,coil,100 ft,ft,10+5,,2026-12-31
Harbor Pipe (invented),tube,1,3.41,copper,type L,,L100,,stick,20 ft,ft,,,
Harbor Pipe (invented),tube,3/4,2.11,copper,type L,,L75,,stick,20 ft,ft,,,
Harbor Pipe (invented),tube,1/2,1.28,copper,type L,,L50,,stick,10 ft,ft,,,
Harbor Pipe (invented),tee,1 x 1 x 3/4,4.185,pex,,,F11,,each,,each,,,
Harbor Pipe (invented),tee,1 x 1 x 1/2,3.95,pex,,,F12,,each,,each,,,
Harbor Pipe (invented),tee,3/4 x 3/4 x 1/2,2.35,pex,,,F13,,each,,each,25+15,10: 2.10,
Harbor Pipe (invented),stub-out,1/2,41.30,,,,S50,,each,,100,,,
Harbor Pipe (invented),clamp ring,1/2,8.00,pex,,,R50C,,bag,30,pack,,,
Harbor Pipe (invented),clamp ring,1/2,3.05,pex,,,R50X,,bag,10,pack,,,
Harbor Pipe (invented),clamp ring,3/4,3.65,pex,,,R75X,,bag,10,pack,,,
Harbor Pipe (invented),clamp ring,1,4.85,pex,,,R10X,,bag,10,pack,,,
Harbor Pipe (invented),ball valve,3/4,12.4,,,,V75,,each,,each,,,
Mill Supply (invented),elbow,1/2,0.62,copper,,,E50,,each,,each,,25: 0.55,
Mill Supply (invented),elbow,3/4,1.31,copper,,,E75,,each,,each,,,
Mill Supply (invented),elbow,1,3.02,copper,,,E100,,each,,each,,,
Mill Supply (invented),tee,1 x 1 x 1/2,6.10,copper,,,,,each,,each,,,
Mill Supply (invented),tee,3/4 x 3/4 x 1/2,3.2,copper,,,,,each,,each,,,
Mill Supply (invented),solder,,29.9,copper,,,,,bag,1 lb,pack,,,
Mill Supply (invented),tube strap,1/2,14.75,copper,,,,,bag,100,pack,,,
Mill Supply (invented),tube strap,3/4,18.2,copper,,,,,bag,100,pack,,,
Mill Supply (invented),tube strap,1,23.6,copper,,,,,bag,100,pack,,,
Mill Supply (invented),tube clip,1/2,9.8,pex,,,,,bag,100,pack,,,
Mill Supply (invented),tube clip,3/4,11.6,pex,,,,,bag,100,pack,,,
Mill Supply (invented),tube clip,1,13.1,pex,,,,,bag,100,pack,,,
";

/// The tables of the house as written.
pub(crate) fn tables() -> [(&'static str, &'static str); 3] {
    [("job", JOB), ("runs", RUNS), ("prices", PRICES)]
}

/// What may differ from the house as written: a person's edits.
#[derive(Debug, Clone, Default)]
pub(crate) struct Edits {
    /// A cell of the table `job`: its line and the line it becomes.
    pub(crate) job: Vec<(&'static str, &'static str)>,
    /// The same in the price list.
    pub(crate) prices: Vec<(&'static str, &'static str)>,
}

/// The job and its estimate, after edits, with the choices of each alternative that are held.
pub(crate) fn house(edits: &Edits, held: &[Vec<Held>]) -> (Job, Estimate) {
    let replaced = |text: &str, edits: &[(&str, &str)]| {
        edits.iter().fold(text.to_owned(), |text, (old, new)| {
            assert!(text.contains(old), "{old} is in the table");
            text.replace(old, new)
        })
    };
    let (job, prices) = (replaced(JOB, &edits.job), replaced(PRICES, &edits.prices));
    let job = Job::from_texts(&[("job", &job), ("runs", RUNS), ("prices", &prices)]);
    for notice in job.notices.iter().filter(|notice| notice.is_error()) {
        panic!("{notice:?}");
    }
    let estimate = estimate(&job, held);
    (job, estimate)
}

fn d(number: i64) -> Decimal {
    Decimal::from(number)
}

pub(crate) fn estimate(job: &Job, held: &[Vec<Held>]) -> Estimate {
    let mut items = Items::default();
    let systems: Vec<SystemId> = ["pex-clamp", "copper-solder"]
        .iter()
        .map(|name| job.catalog.system_named(job.lexicon.find(name).unwrap()).unwrap())
        .collect();
    let takeoffs: Vec<Takeoff> = systems.iter().map(|system| takeoff(job, &mut items, *system)).collect();
    let alternatives: Vec<Alternative> = (0..)
        .zip(takeoffs)
        .map(|(index, takeoff)| alternative(job, &items, takeoff, held.get(index).map_or(&[], Vec::as_slice)))
        .collect();
    let comparison = compare(&job.lexicon, &job.catalog, &items, &job.terms, &alternatives);
    Estimate { items, alternatives, comparison, left_out: Vec::new(), notices: job.notices.clone() }
}

/// Tube, a tee where a run joins another at a distance, rings or solder, elbows, stub-outs, supports.
fn takeoff(job: &Job, items: &mut Items, system: SystemId) -> Takeoff {
    let mut lines = Vec::new();
    let mut pieces = Vec::new();
    let mut ends = Vec::new();
    let mut joints = 0;
    let mut bends = 0;
    let bends_here = job.catalog.system(system).turns == coilstick::trade::TurnsAs::Bend;
    for (index, run) in (0_u32..).zip(&job.runs) {
        let id = RunId(index);
        let mut add = |lines: &mut Vec<Line>, word: &str, sizes: &[Word], count, because, joint, phase| {
            let item = item(job, items, system, word, sizes);
            let (service, area) = (Some(run.service), run.area);
            lines.push(Line { item, count, joint, subject: Subject::Run(id), because, service, phase, area });
            item
        };
        let rough = Phase::RoughIn;
        let tube =
            add(&mut lines, "tube", &[run.size], run.length.nanometres(), Because::Length, None, rough);
        let mut made = 0_i64;
        let turns = i64::from(run.turns.unwrap_or(0));
        if bends_here {
            bends += turns;
        } else if turns > 0 {
            add(&mut lines, "elbow", &[run.size], turns, Because::Turn, None, rough);
            made += 2 * turns;
        }
        let parent = run
            .joins
            .as_deref()
            .and_then(|name| (0_u32..).zip(&job.runs).find(|(_, parent)| &*parent.name == name));
        if let (Some((at, parent)), Some(_)) = (parent, run.at) {
            let sizes = [parent.size, parent.size, run.size];
            let item = item(job, items, system, "tee", &sizes);
            let (service, area) = (Some(run.service), run.area);
            let because = Because::Tee(id);
            lines.push(Line {
                item,
                count: 1,
                joint: None,
                subject: Subject::Run(RunId(at)),
                because,
                service,
                phase: rough,
                area,
            });
            made += 3;
        } else {
            ends.push(EndLine {
                run: id,
                end: RunEnd::Start,
                met: if index == 0 { EndMet::OnSite } else { EndMet::Elsewhere },
                size: run.size,
                service: run.service,
                phase: rough,
                copies: 1,
            });
        }
        let mut add = |lines: &mut Vec<Line>, word: &str, sizes: &[Word], count, because, joint, phase| {
            let item = item(job, items, system, word, sizes);
            let (service, area) = (Some(run.service), run.area);
            lines.push(Line { item, count, joint, subject: Subject::Run(id), because, service, phase, area });
        };
        for pattern in &run.patterns {
            let pattern = job.catalog.pattern(job.catalog.pattern_named(*pattern).unwrap());
            for rule in &pattern.rows {
                let coilstick::trade::Adds::Part(part, count) = rule.adds else { continue };
                let word = job.lexicon.text(part).to_owned();
                if ["stub-out", "ball valve", "supply stop"].contains(&&*word) {
                    let count = i64::try_from(count).unwrap();
                    let phase = rule.phase.unwrap_or(rough);
                    add(&mut lines, &word, &[run.size], count, Because::Rule(rule.row), None, phase);
                    made += 2;
                }
            }
        }
        let clips = i64::try_from(round_up(run.length.in_units(LengthUnit::Foot) / d(4))).unwrap();
        let clip = if bends_here { "tube clip" } else { "tube strap" };
        add(&mut lines, clip, &[run.size], clips, Because::Spacing, None, rough);
        if bends_here {
            add(&mut lines, "clamp ring", &[run.size], made, Because::Between, None, rough);
        } else {
            let joint = (0_u32..)
                .zip(&job.catalog.joints)
                .find(|(_, j)| job.lexicon.text(j.part) == "solder" && j.size == run.size)
                .map(|(i, _)| i);
            add(&mut lines, "solder", &[], made, Because::Between, joint, rough);
        }
        joints += made;
        pieces.push(Piece { item: tube, length: run.length, run: id, copies: 1, no_joint: false });
    }
    let balance = vec![Balance {
        system,
        size: job.runs[0].size,
        male: joints + 3,
        filled: joints,
        on_site: 1,
        elsewhere: 2,
        declared: 0,
    }];
    Takeoff { system, lines, pieces, ends, balance, missing: Vec::new(), bends, joints, notices: Vec::new() }
}

fn item(job: &Job, items: &mut Items, system: SystemId, word: &str, sizes: &[Word]) -> ItemId {
    let found = job.lexicon.find(word).unwrap();
    let variant = if word == "tube" { job.catalog.system(system).variant } else { Word::EMPTY };
    let part = job.catalog.part_called(found, variant, system).unwrap();
    let of = job.catalog.part(part);
    let takes = of.takes_system() || !of.systems.is_empty();
    let unit = if word == "solder" { job.lexicon.find("lb").unwrap() } else { Word::EMPTY };
    items.id(Item {
        part,
        system: takes.then_some(system),
        sizes: Sizes::of(sizes, word == "tee"),
        variant,
        color: Color::None,
        class: of.class,
        unit,
    })
}

fn alternative(job: &Job, items: &Items, takeoff: Takeoff, held: &[Held]) -> Alternative {
    let market = Market::open(Tables {
        lexicon: &job.lexicon,
        catalog: &job.catalog,
        sources: &job.sources,
        runs: &job.runs,
        prices: &job.prices,
        terms: &job.terms,
    });
    let bought = buy(&market, items, &takeoff, &Kept { held, on_hand: &[] });
    let cost = cost(items, &job.terms, &bought.order, true).unwrap();
    Alternative {
        system: takeoff.system,
        takeoff,
        plans: bought.plans,
        order: bought.order,
        cost,
        notices: bought.notices,
    }
}

/// The choices of an order, to be held by another run.
pub(crate) fn choices(alternative: &Alternative) -> Vec<Held> {
    let picks = alternative.order.iter().flat_map(|line| line.picks.iter().map(|pick| (line.item, pick)));
    picks.map(|(item, pick)| Held { item, offer: pick.offer, packs: pick.packs }).collect()
}
