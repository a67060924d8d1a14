//! Rounds of asking: tube first, then all else with the couplings that the plans of tube add, then the choice of
//! suppliers for all lines; again, where that choice has other couplings than were asked for. Called by
//! [`super::buy`] once tube is quoted.

use rust_decimal::Decimal;

use super::choosing::{Asks, By, Chosen, HeldLine, Line, Sellers, Wanted, bound, choose, plan};
use super::{Bought, Desk, Doubt, Needed, by_plan, given, pack, price, tube_quotes as tube};
use crate::estimate::item::ItemId;
use crate::estimate::landed::{BuyingPlan, Claim, Given};
use crate::estimate::order::OrderLine;
use crate::trade::Word;

/// After so many rounds the couplings are those of the suppliers chosen: from the second on tube stays where it is.
const ROUNDS: usize = 5;

/// Couplings that the plan of each tube adds, or spares.
type Couplings = Vec<(ItemId, i64)>;

/// All that is asked for in one round.
struct Round<'a> {
    packs: Vec<pack::Quoted<'a>>,
    /// What the plans add to each item.
    sums: Vec<(ItemId, Decimal)>,
}

/// Where everything is bought, and what was asked for until that was decided.
struct Decided<'a> {
    couplings: Couplings,
    round: Round<'a>,
    chosen: Chosen,
    /// The choice by bounds.
    bound: Chosen,
    /// Whether each tube stayed at the supplier where it was: the bound is only for that.
    kept: bool,
}

/// Which suppliers lines may be bought from.
#[derive(Default)]
struct May<'k> {
    /// None but these.
    among: Option<&'k [Word]>,
    /// Each tube from the supplier where it is.
    keep: Option<Vec<Option<Word>>>,
}

impl May<'_> {
    fn be_from(&self, supplier: Word) -> bool {
        self.among.is_none_or(|among| among.contains(&supplier))
    }

    fn bring_tube(&self, at: usize, supplier: Word) -> bool {
        let kept = self.keep.as_ref().and_then(|keep| keep.get(at).copied().flatten());
        self.be_from(supplier) && kept.is_none_or(|kept| kept == supplier)
    }
}

/// Decides where everything is bought, and buys it.
pub(super) fn rounds<'a>(desk: &mut Desk<'a>, mut cut: Vec<tube::Quoted<'a>>, needed: &Needed<'_>) -> Bought {
    let before = desk.before();
    let mut decision = decided(desk, &mut cut, needed, None);
    let mut plan = planned(desk, &cut, &decision);
    let fewest = fewest_couplings(&cut);
    if decision.kept || fewest != decision.couplings {
        // Tube of another supplier might have spared couplings, or cost less where it adds more: nothing costs less than
        // all tube from any supplier with the fewest couplings.
        let bound = desk.aside(&before, |desk| bound_with(desk, &cut, needed, &fewest, usize::MAX));
        plan.bound = plan.bound.min(bound);
    }
    if cut.iter().any(couplings_part) {
        desk.aside(&before, |desk| few_suppliers(desk, &mut cut, needed, &mut plan));
        if let Some(few) = cheaper_few(&plan) {
            desk.back_to(&before);
            decision = decided(desk, &mut cut, needed, Some(&few));
            plan = BuyingPlan {
                bound: plan.bound,
                with_one: plan.with_one,
                with_two: plan.with_two,
                ..planned(desk, &cut, &decision)
            };
        }
    }
    let is_filled = is_least_as_filled_up(desk, &cut, &decision, &plan);
    let Decided { round, chosen, .. } = decision;
    plan.given.extend(needed.given.iter().copied().chain(given::with_tube(&cut)));
    plan.given.extend((!held_lines(desk, &cut, &round).is_empty()).then_some(Given::Held));
    plan.given.extend(is_filled.then_some(Given::Filled));
    plan.given.sort_unstable();
    notice_orders(desk, &plan);
    let mut at = chosen.lines.into_iter();
    let mut bought = Bought {
        order: Vec::new(),
        plans: Vec::new(),
        plan,
        built: Vec::new(),
        held: Default::default(),
        notices: Vec::new(),
    };
    let by_building = |item: ItemId| {
        needed.by_building.iter().find(|(one, _)| *one == item).map_or(Decimal::ZERO, |one| one.1)
    };
    for quoted in cut {
        let (line, plan) = match quoted {
            tube::Quoted::Settled(settled) => *settled,
            tube::Quoted::Open(open) => {
                let (supplier, cents) = at.next().unwrap_or((Word::EMPTY, 0));
                open.settle(desk, supplier, cents)
            }
        };
        bought.order.push(OrderLine { by_plan: by_building(line.item), ..line });
        bought.plans.extend(plan);
    }
    for quoted in round.packs {
        let line = match quoted {
            pack::Quoted::Settled(line) => *line,
            pack::Quoted::Open(open) => {
                let (supplier, cents) = at.next().unwrap_or((Word::EMPTY, 0));
                open.settle(desk, supplier, cents)
            }
        };
        let by_plan = round.sums.iter().find(|(item, _)| *item == line.item);
        let by_plan = by_plan.map_or(Decimal::ZERO, |(_, sum)| *sum) + by_building(line.item);
        bought.order.push(OrderLine { by_plan, ..line });
    }
    bought.plan.not_priced = bought.order.iter().filter(|line| line.extended.is_none()).count();
    bought
}

/// Asks and decides until the couplings asked for are those of the suppliers chosen, of all suppliers or of some.
fn decided<'a>(
    desk: &mut Desk<'a>,
    cut: &mut [tube::Quoted<'a>],
    needed: &Needed<'_>,
    among: Option<&[Word]>,
) -> Decided<'a> {
    let before = desk.before();
    let mut may = May { among, keep: None };
    let mut couplings = couplings_at(cut, &cheapest_apart(cut, &may));
    let mut round = ask(desk, needed, &couplings);
    let (mut chosen, mut bound) = decide(desk, cut, &round, &may);
    for _ in 1..ROUNDS {
        let at = suppliers_of_tube(cut, &chosen);
        let now = couplings_at(cut, &at);
        if now == couplings {
            break;
        }
        couplings = now;
        desk.back_to(&before);
        round = ask(desk, needed, &couplings);
        may.keep = Some(at);
        (chosen, bound) = decide(desk, cut, &round, &may);
    }
    Decided { couplings, round, chosen, bound, kept: may.keep.is_some() }
}

/// Whether a proof rests on how orders are filled up to their least sums: more of the coils and sticks of a plan may be
/// bought, and nothing is known of other plans that cost more. Where the least sums set aside give the same bound, it does
/// not.
fn is_least_as_filled_up(
    desk: &Desk<'_>,
    cut: &[tube::Quoted<'_>],
    of: &Decided<'_>,
    plan: &BuyingPlan,
) -> bool {
    let open = cut.iter().filter_map(|quoted| match quoted {
        tube::Quoted::Open(open) => Some(open),
        tube::Quoted::Settled(_) => None,
    });
    let asked =
        |supplier: Word| desk.market.job.supplier(supplier).is_some_and(|row| !row.least_order.is_zero());
    let mut sellers = open.flat_map(|open| &open.offers);
    if plan.claim() != Claim::Least || !sellers.any(|offer| asked(offer.supplier)) {
        return false;
    }
    let (held, lines) = (held_lines(desk, cut, &of.round), lines(cut, &of.round, &May::default()));
    let wanted = Wanted { lines: &lines, held: &held, ways: &|_, _, _| None };
    bound(&Sellers::of(desk.market, &wanted).without_least_orders(), &wanted, usize::MAX) < plan.cost
}

/// The plan of what was decided.
fn planned(desk: &Desk<'_>, cut: &[tube::Quoted<'_>], of: &Decided<'_>) -> BuyingPlan {
    let (held, lines) = (held_lines(desk, cut, &of.round), lines(cut, &of.round, &May::default()));
    let ways = |line: usize, supplier: Word, cents: u64| ways(cut, &of.round, line, supplier, cents);
    let wanted = Wanted { lines: &lines, held: &held, ways: &ways };
    plan(&Sellers::of(desk.market, &wanted), &wanted, &of.chosen, &of.bound)
}

/// One or two suppliers that cost less than what was decided among all, if there are such: couplings were asked for one
/// after the other.
fn cheaper_few(plan: &BuyingPlan) -> Option<Vec<Word>> {
    let one = plan.with_one.iter().filter_map(|one| Some((one.landed?, vec![one.supplier])));
    let two = plan.with_two.iter().map(|two| (two.landed, two.suppliers.clone()));
    let few = one.chain(two).min_by(|a, b| a.0.cmp(&b.0));
    few.filter(|(landed, _)| *landed < plan.cost).map(|(_, suppliers)| suppliers)
}

/// What fewer suppliers come to, with the couplings of their own tube.
fn few_suppliers<'a>(
    desk: &mut Desk<'a>,
    cut: &mut [tube::Quoted<'a>],
    needed: &Needed<'_>,
    plan: &mut BuyingPlan,
) {
    let before = desk.before();
    let mut from = |desk: &mut Desk<'a>, among: &[Word]| {
        desk.back_to(&before);
        decided(desk, cut, needed, Some(among)).chosen.cost()
    };
    for one in plan.with_one.iter_mut().filter(|one| one.landed.is_some()) {
        one.landed = from(desk, &[one.supplier]);
    }
    let Some(two) = &mut plan.with_two else { return };
    if let Some(cost) = from(desk, &two.suppliers) {
        two.landed = cost;
    }
    desk.back_to(&before);
    let bound = bound_with(desk, cut, needed, &fewest_couplings(cut), 2);
    two.bound = bound.min(two.landed);
}

/// Asks for all but tube, with what so many couplings add.
fn ask<'a>(desk: &mut Desk<'a>, needed: &Needed<'_>, couplings: &Couplings) -> Round<'a> {
    let sums = by_plan::by_plan(desk.market, desk.items, couplings);
    let mut needs = needed.others.clone();
    by_plan::with_plans(&mut needs, &sums, needed.tubes);
    // What only a plan asks for is shown by the run of its tube.
    let joined = couplings.iter().find(|(_, count)| *count != 0);
    let example = joined.and_then(|(tube, _)| desk.examples.get(tube.0 as usize).copied().flatten());
    for (item, _) in &sums {
        if let Some(run @ None) = desk.examples.get_mut(item.0 as usize) {
            *run = example;
        }
    }
    needs.sort_by_key(|need| needed.ranks[need.item.0 as usize]);
    let items = desk.items;
    let mut packs = Vec::with_capacity(needs.len());
    for need in &needs {
        let ask = desk.ask(need, items.get(need.item));
        packs.push(pack::quote(desk, ask));
    }
    Round { packs, sums }
}

/// Decides for all lines, by cost and by bound. Plans of tube that one of the two would use are made in earnest, until
/// both use only such.
fn decide(
    desk: &Desk<'_>,
    cut: &mut [tube::Quoted<'_>],
    round: &Round<'_>,
    may: &May<'_>,
) -> (Chosen, Chosen) {
    let held = held_lines(desk, cut, round);
    loop {
        let lines = lines(cut, round, may);
        let (chosen, bound) = {
            let ways = |line: usize, supplier: Word, cents: u64| ways(cut, round, line, supplier, cents);
            let wanted = Wanted { lines: &lines, held: &held, ways: &ways };
            let sellers = Sellers::of(desk.market, &wanted);
            let chosen = choose(&sellers, &wanted, By::Cost);
            // Where every cost is proven, the choice by bounds is the same.
            let proven = lines.iter().flat_map(|line| &line.asks).all(|asks| asks.bound == asks.cents);
            let bound = if proven { chosen.clone() } else { choose(&sellers, &wanted, By::Bound) };
            (chosen, bound)
        };
        let mut improved = false;
        for chosen in [&chosen, &bound] {
            let mut at = chosen.lines.iter();
            for quoted in cut.iter_mut() {
                if let tube::Quoted::Open(open) = quoted
                    && let Some((supplier, _)) = at.next()
                {
                    improved |= open.plan_in_earnest(*supplier);
                }
            }
        }
        if !improved {
            return (chosen, bound);
        }
    }
}

/// What nothing costs less than, with so many couplings, tube from any supplier and at most so many suppliers.
fn bound_with(
    desk: &mut Desk<'_>,
    cut: &[tube::Quoted<'_>],
    needed: &Needed<'_>,
    couplings: &Couplings,
    most: usize,
) -> Decimal {
    let round = ask(desk, needed, couplings);
    let held = held_lines(desk, cut, &round);
    let lines = lines(cut, &round, &May::default());
    let ways = |line: usize, supplier: Word, cents: u64| ways(cut, &round, line, supplier, cents);
    let wanted = Wanted { lines: &lines, held: &held, ways: &ways };
    bound(&Sellers::of(desk.market, &wanted), &wanted, most)
}

/// The lines that are open: tube, then all else; from suppliers that they may be bought from.
fn lines(cut: &[tube::Quoted<'_>], round: &Round<'_>, may: &May<'_>) -> Vec<Line> {
    let mut lines = Vec::new();
    for (at, quoted) in cut.iter().enumerate() {
        let tube::Quoted::Open(open) = quoted else { continue };
        let offers = open.offers.iter().filter(|of| may.bring_tube(at, of.supplier));
        let asks = offers.map(|of| Asks {
            supplier: of.supplier,
            cents: of.cents(),
            bound: of.bound(),
            packs: of.count(),
        });
        lines.push(Line { item: open.item(), asks: asks.collect() });
    }
    for quoted in &round.packs {
        let pack::Quoted::Open(open) = quoted else { continue };
        let offers = open.offers.iter().filter(|of| may.be_from(of.supplier));
        let asks = offers.map(|of| Asks {
            supplier: of.supplier,
            cents: of.cover.cents,
            bound: of.bound,
            packs: of.cover.packs,
        });
        lines.push(Line { item: open.ask.id, asks: asks.collect() });
    }
    lines
}

/// All ways to buy a line at a supplier; of tube its plan, and more of what is offered there beside it.
fn ways(
    cut: &[tube::Quoted<'_>],
    round: &Round<'_>,
    line: usize,
    supplier: Word,
    cents: u64,
) -> Option<Vec<(u64, u64)>> {
    let of_tube = || {
        cut.iter().filter_map(|quoted| match quoted {
            tube::Quoted::Open(open) => Some(open),
            tube::Quoted::Settled(_) => None,
        })
    };
    let tubes = of_tube().count();
    let open = round.packs.iter().filter_map(|quoted| match quoted {
        pack::Quoted::Open(open) => Some(open),
        pack::Quoted::Settled(_) => None,
    });
    match line.checked_sub(tubes) {
        None => of_tube().nth(line)?.ways(supplier, cents),
        Some(at) => open.into_iter().nth(at)?.ways(supplier, cents),
    }
}

/// Lines that are bought already, because their choice is held.
fn held_lines(desk: &Desk<'_>, cut: &[tube::Quoted<'_>], round: &Round<'_>) -> Vec<HeldLine> {
    let of_tube = cut.iter().filter_map(|quoted| match quoted {
        tube::Quoted::Settled(settled) => Some(&settled.0),
        tube::Quoted::Open(_) => None,
    });
    let of_packs = round.packs.iter().filter_map(|quoted| match quoted {
        pack::Quoted::Settled(line) => Some(&**line),
        pack::Quoted::Open(_) => None,
    });
    let lines = of_tube.chain(of_packs).filter(|line| !line.picks.is_empty());
    let goods = |line: &OrderLine| HeldLine {
        item: line.item,
        goods: line
            .picks
            .iter()
            .map(|pick| (desk.market.offer(pick.offer).supplier, price::cents(pick.extended).unwrap_or(0)))
            .collect(),
    };
    lines.map(goods).collect()
}

/// The supplier of each tube that is open, as chosen.
fn suppliers_of_tube(cut: &[tube::Quoted<'_>], chosen: &Chosen) -> Vec<Option<Word>> {
    let mut at = chosen.lines.iter();
    let mut of = |quoted: &tube::Quoted<'_>| match quoted {
        tube::Quoted::Open(_) => at.next().map(|(supplier, _)| *supplier),
        tube::Quoted::Settled(_) => None,
    };
    cut.iter().map(&mut of).collect()
}

/// The cheapest supplier of each tube by itself: of equal sums the one with fewer lengths, then the first by name.
fn cheapest_apart(cut: &[tube::Quoted<'_>], may: &May<'_>) -> Vec<Option<Word>> {
    let of = |quoted: &tube::Quoted<'_>| match quoted {
        tube::Quoted::Open(open) => {
            let offers = open.offers.iter().filter(|of| may.be_from(of.supplier));
            offers.min_by_key(|of| (of.with_joints(), of.count())).map(|of| of.supplier)
        }
        tube::Quoted::Settled(_) => None,
    };
    cut.iter().map(of).collect()
}

/// What the plans add where each tube is bought at a supplier.
fn couplings_at(cut: &[tube::Quoted<'_>], at: &[Option<Word>]) -> Couplings {
    couplings(cut, |index, open| {
        let mut offers = open.couplings();
        offers
            .find(|(supplier, _)| at.get(index).copied().flatten() == Some(*supplier))
            .map(|(_, count)| count)
    })
}

/// Whether the plans of a tube add more couplings at one supplier than at another.
fn couplings_part(quoted: &tube::Quoted<'_>) -> bool {
    let tube::Quoted::Open(open) = quoted else { return false };
    let counts = || open.couplings().map(|(_, count)| count);
    counts().min() != counts().max()
}

/// The fewest that the plan of any supplier adds.
fn fewest_couplings(cut: &[tube::Quoted<'_>]) -> Couplings {
    couplings(cut, |_, open| open.couplings().map(|(_, count)| count).min())
}

fn couplings(cut: &[tube::Quoted<'_>], of_open: impl Fn(usize, &tube::Open<'_>) -> Option<i64>) -> Couplings {
    let of = |(index, quoted): (usize, &tube::Quoted<'_>)| match quoted {
        tube::Quoted::Open(open) => (open.item(), of_open(index, open).unwrap_or(0)),
        tube::Quoted::Settled(settled) => {
            (settled.0.item, settled.1.as_ref().map_or(0, |plan| plan.extra_couplings))
        }
    };
    cut.iter().enumerate().map(of).collect()
}

/// Takes down orders that do not reach the least sum of their supplier, and those that were filled up to it.
fn notice_orders(desk: &mut Desk<'_>, plan: &BuyingPlan) {
    for order in &plan.suppliers {
        let doubt = match (order.met, order.topped_up.is_zero()) {
            (true, true) => continue,
            (true, false) => Doubt::ToppedUp {
                needed: order.goods - order.topped_up,
                added: order.topped_up,
                least: order.least_order,
            },
            (false, _) => Doubt::LeastNotReached { goods: order.goods, least: order.least_order },
        };
        let rows = desk.market.job.suppliers.iter().rev();
        let row = rows.filter(|row| !row.in_error).find(|row| row.supplier == order.supplier);
        let spots = row.map(|row| desk.market.job.sources.row(row.row)).into_iter().collect();
        let mut supplier = desk.market.lexicon.text(order.supplier).to_owned();
        // Only the order of the chosen alternative is given.
        let alternative = desk.market.catalog.system(desk.alternative).name;
        if alternative != desk.market.terms.water_system {
            supplier = format!("{supplier} in {}", desk.market.lexicon.text(alternative));
        }
        desk.notices.push(doubt.word(&supplier, spots));
    }
}
