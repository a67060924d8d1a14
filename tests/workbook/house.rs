//! A small invented house, taken off and bought by the plainest arithmetic there is, so that the workbook can be judged
//! apart from the engine: every line of the run list in full, offers in the order written, larger packs first.

use coilstick::estimate::Estimate;
use coilstick::estimate::item::{Color, Item, ItemId, Items, Sizes};
use coilstick::estimate::network::RunId;
use coilstick::estimate::order::{
    Alternative, Comparison, Cost, CostLine, Cutting, Markup, OfferId, OneSided, OrderLine, Pick, TubePlan,
};
use coilstick::estimate::takeoff::{
    Balance, Because, EndLine, EndMet, Line, Piece, RunEnd, Subject, Takeoff,
};
use coilstick::ground::money::{round_up, to_cents, to_net};
use coilstick::ground::{Length, LengthUnit};
use coilstick::trade::{Class, Job, Offer, Pack, Phase, PricedPer, SoldAs, SystemId, Word};
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
Harbor Pipe (invented),clamp ring,1/2,11.25,pex,,,R50C,,bag,25,pack,,,
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

/// What may differ from the house as written: a person's edits.
#[derive(Debug, Clone, Default)]
pub(crate) struct Edits {
    /// A cell of the table `job`: its line and the line it becomes.
    pub(crate) job: Vec<(&'static str, &'static str)>,
    /// The same in the price list.
    pub(crate) prices: Vec<(&'static str, &'static str)>,
}

/// The job and its estimate, after edits.
pub(crate) fn house(edits: &Edits) -> (Job, Estimate) {
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
    let estimate = estimate(&job);
    (job, estimate)
}

fn d(number: i64) -> Decimal {
    Decimal::from(number)
}

fn estimate(job: &Job) -> Estimate {
    let mut items = Items::default();
    let systems: Vec<SystemId> = ["pex-clamp", "copper-solder"]
        .iter()
        .map(|name| job.catalog.system_named(job.lexicon.find(name).unwrap()).unwrap())
        .collect();
    let takeoffs: Vec<Takeoff> = systems.iter().map(|system| takeoff(job, &mut items, *system)).collect();
    let alternatives: Vec<Alternative> =
        takeoffs.into_iter().map(|takeoff| alternative(job, &items, takeoff)).collect();
    let base = alternatives[0].cost.material;
    let differences = alternatives
        .iter()
        .map(|a| {
            let difference = a.cost.material - base;
            let percent = (d(100) * difference / base)
                .round_dp_with_strategy(1, rust_decimal::RoundingStrategy::MidpointAwayFromZero);
            (difference, Some(percent))
        })
        .collect();
    let feet = |a: &Alternative| {
        a.order.iter().filter(|l| items.get(l.item).is_length()).map(|l| l.need).sum::<Decimal>()
    };
    let one_sided = alternatives[1]
        .order
        .iter()
        .filter(|line| items.get(line.item).class == Class::Fitting)
        .take(3)
        .map(|line| OneSided { alternative: 1, item: line.item, need: line.need })
        .collect();
    let comparison = Comparison {
        sentence: "pex-clamp costs less in material than copper-solder; labor and tools are not in it."
            .to_owned(),
        cheapest: Some(0),
        differences,
        joints: alternatives.iter().map(|a| a.takeoff.joints).collect(),
        feet: alternatives.iter().map(feet).collect(),
        one_sided,
    };
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

fn alternative(job: &Job, items: &Items, takeoff: Takeoff) -> Alternative {
    let mut order: Vec<OrderLine> = Vec::new();
    let mut plans = Vec::new();
    for index in 0..items.len() {
        let id = ItemId(u32::try_from(index).unwrap());
        let lines: Vec<&Line> = takeoff.lines.iter().filter(|line| line.item == id).collect();
        if lines.iter().all(|line| line.count == 0) {
            continue;
        }
        let need: Decimal = lines.iter().map(|line| quantity(job, items, line)).sum();
        let phase = lines.iter().map(|line| line.phase).min().unwrap();
        let class = items.get(id).class;
        let percent = if class == Class::Tube || class == Class::Device {
            Decimal::ZERO
        } else {
            job.terms.allowance(class).0
        };
        let allow = match class {
            Class::Consumable => (need * percent / d(100)).round_dp(6),
            _ if percent.is_zero() => Decimal::ZERO,
            _ => round_up(need * (d(100) + percent) / d(100)) - need,
        };
        let offers = offers(job, items.get(id));
        let picks = if class == Class::Tube {
            let plan = cut(items, &takeoff.pieces, id, offers[0]);
            let count: u64 = plan.iter().map(|cutting| cutting.times).sum();
            let pick = pick(offers[0], Decimal::from(count), need, allow, need + allow);
            plans.push(TubePlan {
                item: id,
                cuttings: plan,
                extra_couplings: 0,
                cost: pick.extended,
                bound: pick.extended,
            });
            vec![pick]
        } else {
            packs(&offers, need, allow)
        };
        let extended = (!picks.is_empty()).then(|| picks.iter().map(|pick| pick.extended).sum());
        order.push(OrderLine {
            item: id,
            phase,
            need,
            allowance: percent,
            allow,
            on_hand: Decimal::ZERO,
            picks,
            extended,
        });
    }
    order.sort_by_key(|line| items.get(line.item).class);
    let cost = cost(job, items, &order);
    Alternative { system: takeoff.system, takeoff, plans, order, cost, notices: Vec::new() }
}

fn quantity(job: &Job, items: &Items, line: &Line) -> Decimal {
    if let Some(joint) = line.joint {
        let joint = &job.catalog.joints[joint as usize];
        return d(line.count) * joint.amount / Decimal::from(joint.per);
    }
    match items.get(line.item).is_length() {
        true => Length::from_nanometres(line.count).in_units(LengthUnit::Foot),
        false => d(line.count),
    }
}

/// The offers for an item, larger packs first.
fn offers<'a>(job: &'a Job, item: &Item) -> Vec<(OfferId, &'a Offer)> {
    let part = job.catalog.part(item.part);
    let mut found: Vec<(OfferId, &Offer)> = (0_u32..)
        .zip(&job.prices.offers)
        .filter(|(_, offer)| offer.part == part.word)
        .filter(|(_, offer)| item.system.is_none_or(|system| job.catalog.takes_in(&offer.systems, system)))
        .filter(|(_, offer)| {
            let (one, other) = (&*offer.sizes, item.sizes.as_slice());
            one == other || (one.len() == 3 && Sizes::of(one, true).as_slice() == other)
        })
        .map(|(id, offer)| (OfferId(id), offer))
        .collect();
    found.sort_by_key(|(_, offer)| std::cmp::Reverse(holds(offer)));
    found
}

fn holds(offer: &Offer) -> Decimal {
    match offer.pack {
        Pack::Count(count) => d(count),
        Pack::Length(length) => length.in_units(LengthUnit::Foot),
        Pack::Amount(amount) => amount,
    }
}

fn packs(offers: &[(OfferId, &Offer)], need: Decimal, allow: Decimal) -> Vec<Pick> {
    let Some((smallest, larger)) = offers.split_last() else { return Vec::new() };
    let mut rest = need + allow;
    let mut picks = Vec::new();
    for offer in larger {
        let count = (rest / holds(offer.1)).trunc();
        if !count.is_zero() {
            picks.push(pick(*offer, count, need, allow, rest.min(count * holds(offer.1))));
            rest -= count * holds(offer.1);
        }
    }
    let count = round_up(rest / holds(smallest.1));
    picks.push(pick(*smallest, count, need, allow, rest));
    picks
}

/// So many packs of an offer, of which `wanted` is needed.
fn pick(
    (id, offer): (OfferId, &Offer),
    packs: Decimal,
    need: Decimal,
    allow: Decimal,
    wanted: Decimal,
) -> Pick {
    let reached = offer.breaks.iter().filter(|(from, _)| packs >= d(*from)).map(|(_, price)| *price);
    let list = reached.min().unwrap_or(offer.price);
    let net = to_net(offer.discount.iter().fold(list, |price, off| price * (d(100) - off) / d(100)));
    let buy = packs * holds(offer);
    let per = match offer.per {
        PricedPer::Each => Decimal::ONE,
        PricedPer::Pack => holds(offer),
        PricedPer::Length(length) => length.in_units(LengthUnit::Foot),
        PricedPer::Many(many) => d(many),
    };
    let (price, extended) = match offer.sold_as {
        SoldAs::Each => (net, to_cents(buy * net / per)),
        SoldAs::Coil | SoldAs::Stick | SoldAs::Bag => {
            let price = to_cents(net * holds(offer) / per);
            (price, to_cents(packs * price))
        }
    };
    Pick {
        offer: id,
        need: need.min(wanted),
        allow,
        packs,
        buy,
        left_over: buy - wanted,
        net,
        price,
        extended,
    }
}

/// Pieces in the order of the runs, each from the first length that has room; longer ones start a new length.
fn cut(items: &Items, pieces: &[Piece], item: ItemId, (offer, stock): (OfferId, &Offer)) -> Vec<Cutting> {
    assert!(items.get(item).is_length());
    let Pack::Length(length) = stock.pack else { panic!("tube is sold by length") };
    let mut cuttings: Vec<Cutting> = Vec::new();
    for piece in pieces.iter().filter(|piece| piece.item == item) {
        let mut left = piece.length;
        while left > Length::ZERO {
            let one = left.min(length);
            left = left.checked_sub(one).unwrap();
            let cutting = match cuttings.iter_mut().find(|c| c.left >= one) {
                Some(cutting) => cutting,
                None => {
                    cuttings.push(Cutting { offer, times: 1, length, pieces: Vec::new(), left: length });
                    cuttings.last_mut().unwrap()
                }
            };
            cutting.pieces.push((one, 1, vec![piece.run]));
            cutting.left = cutting.left.checked_sub(one).unwrap();
        }
    }
    cuttings
}

fn cost(job: &Job, items: &Items, order: &[OrderLine]) -> Cost {
    let mut lines = [Decimal::ZERO; 5];
    for line in order {
        let at = CostLine::ALL.iter().position(|l| *l == CostLine::of(items.get(line.item).class)).unwrap();
        lines[at] += line.extended.unwrap_or_default();
    }
    let material: Decimal = lines.iter().sum();
    let mut markups: Vec<Markup> = Vec::new();
    for (name, percent) in [
        ("contingency", job.terms.contingency),
        ("overhead", job.terms.overhead),
        ("profit", job.terms.profit),
    ] {
        let base = material + markups.iter().map(|m| m.amount).sum::<Decimal>();
        markups.push(Markup { name, percent, base, amount: to_cents(base * percent / d(100)) });
    }
    let (percent, base) = (job.terms.sales_tax, material);
    markups.push(Markup { name: "sales tax", percent, base, amount: to_cents(base * percent / d(100)) });
    let bid = material + markups.iter().map(|m| m.amount).sum::<Decimal>();
    let share = (d(100) * (lines[1] + lines[2]) / lines[0])
        .round_dp_with_strategy(1, rust_decimal::RoundingStrategy::MidpointAwayFromZero);
    Cost {
        lines,
        material,
        not_priced: order.iter().filter(|l| l.extended.is_none()).map(|l| l.item).collect(),
        complete: true,
        markups,
        bid,
        fittings_share: Some(share),
    }
}
