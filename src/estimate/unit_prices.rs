//! Unit prices for extras: what one more of each part, or of each foot of tube, is asked for when it is installed; and
//! one more run like one of the job, by the lines of its own takeoff.
//!
//! | column | what it is |
//! |---|---|
//! | paid | what the order pays for one, on the average of its packs, to 4 places |
//! | material | paid, with the allowance of the class, to 4 places |
//! | joints | what its own joints consume, at their material price, to 4 places |
//! | labor | the hours of the part and of its joints at the rate of the crew, to 4 places; difficulty of areas apart |
//! | direct | (material + joints) with small parts, + labor |
//! | price | direct with contingency, overhead and profit, to cents once |
//! | tax | on material, joints, small parts and labor at their rates, to cents once |
//!
//! Delivery, tools and fees are not in it: one part more asks for none. A foot of tube is asked for without the supports
//! it hangs on, which have prices of their own; a run has them. The sheet Unit prices asks for [`unit_prices`].

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use super::bid::{HUNDRED, points_of};
use super::{Alternative, Item, ItemId, Items, RunId, Substitute, Task};
use crate::estimate::costing::tax_rate;
use crate::estimate::joint_rows::JointRows;
use crate::estimate::needs::needs;
use crate::estimate::takeoff::{Because, JointKind, Line, Subject};
use crate::ground::money::{round_half_away, to_cents, to_net};
use crate::ground::name::natural;
use crate::trade::{Class, Fit, Job, Port, ProfitAs, Side, SystemId, Taxed, Word};

/// More runs than so many are not listed.
const MOST_RUNS: usize = 60;

/// The price of one more.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnitPrice {
    /// What it is.
    pub item: ItemId,
    /// What the order pays for one; of a fitting that is built from others, for what one is built from.
    pub paid: Decimal,
    /// What a fitting is built from: each item with how much of it, to 6 places; empty for what is bought.
    pub built_of: Vec<(ItemId, Decimal)>,
    /// The allowance of its class in points.
    pub allowance: Decimal,
    /// Paid with the allowance.
    pub material: Decimal,
    /// What its joints consume: each item with how much of it, to 6 places.
    pub consumed: Vec<(ItemId, Decimal)>,
    /// What that costs.
    pub joints: Decimal,
    /// The rows of the table labor that its hours come of (indices into `Job::labor`), each with how many times.
    pub work: Vec<(usize, u32)>,
    /// The same hours of one person, at a productivity of 100, to 6 places.
    pub by_table: Decimal,
    /// Hours of one person at the productivity of the crew, to 4 places.
    pub hours: Decimal,
    /// What they cost.
    pub labor: Decimal,
    /// What is asked.
    pub asked: Asked,
    /// Whether all that its joints consume has a price, and its work has hours where labor is stated.
    pub whole: bool,
}

/// What is asked for so much material and labor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Asked {
    /// Material, joints, small parts and labor, to 4 places.
    pub direct: Decimal,
    /// With contingency, overhead and profit, in cents.
    pub price: Decimal,
    /// Sales tax, in cents.
    pub tax: Decimal,
}

/// One more run like one of the job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunPrice {
    /// The run.
    pub run: RunId,
    /// What it is built of, and what ties it in: each item, how much of it to 6 places, and its place among the unit
    /// prices.
    pub built_of: Vec<(ItemId, Decimal, usize)>,
    /// What is asked.
    pub asked: Asked,
}

/// The unit prices of an alternative: parts in the order shown, then runs by name, one of each kind.
pub fn unit_prices(job: &Job, items: &Items, of: &Alternative) -> (Vec<UnitPrice>, Vec<RunPrice>) {
    let mut list: Vec<UnitPrice> = Vec::new();
    for line in &of.order {
        let bought = line.picks.iter().fold(Decimal::ZERO, |sum, pick| sum.saturating_add(pick.buy));
        let paid = line.extended.and_then(|sum| sum.checked_div(bought)).map(to_net);
        list.extend(paid.and_then(|paid| of_paid(job, items, (line.item, line.need), paid)));
    }
    for built in &of.built {
        if list.iter().all(|one| one.item != built.item)
            && let Some((paid, built_of)) = paid_for_built(job, items, built, &list)
            && let Some(one) = of_paid(job, items, (built.item, built.count.into()), paid)
        {
            list.push(UnitPrice { built_of, ..one });
        }
    }
    let place = |one: &UnitPrice| of.order.iter().position(|line| line.item == one.item);
    list.sort_by_key(place);
    let rows = JointRows::of(&job.catalog, &job.lexicon);
    let work = Work { job, items, of, rows };
    let known = list.clone();
    for one in &mut list {
        work.complete(one, &known);
    }
    list.retain(|one| one.asked.price > Decimal::ZERO);
    let runs = work.runs(&list);
    (list, runs)
}

/// The unit price of an item, of which the job needs so much and of which it is known what is paid.
fn of_paid(job: &Job, items: &Items, (id, need): (ItemId, Decimal), paid: Decimal) -> Option<UnitPrice> {
    let allowance = job.settings.added_to(items.get(id).class, need);
    let material = points_of(HUNDRED + allowance, paid).map(to_net)?;
    Some(UnitPrice {
        item: id,
        paid,
        built_of: Vec::new(),
        allowance,
        material,
        consumed: Vec::new(),
        joints: Decimal::ZERO,
        work: Vec::new(),
        by_table: Decimal::ZERO,
        hours: Decimal::ZERO,
        labor: Decimal::ZERO,
        asked: Asked::default(),
        whole: true,
    })
}

/// What is paid for all that one fitting is built from, and what that is; nothing where something in it has no price.
fn paid_for_built(
    job: &Job,
    items: &Items,
    built: &Substitute,
    known: &[UnitPrice],
) -> Option<(Decimal, Vec<(ItemId, Decimal)>)> {
    let mut of: Vec<(ItemId, Decimal)> = built.of.clone();
    for stub in &built.stubs {
        // Of pieces on several runs the tube of the first is asked for.
        let is_its = |item: ItemId| items.get(item).sizes.as_slice() == [stub.size];
        let cut = built.cut.iter().find(|piece| is_its(piece.item) && piece.length == stub.length)?;
        of.push((cut.item, stub.length.in_units(job.settings.units)));
    }
    let mut sum = Decimal::ZERO;
    for (item, amount) in &mut of {
        *amount = round_half_away(*amount, 6);
        let paid = known.iter().find(|one| one.item == *item)?.paid;
        sum = sum.checked_add(amount.checked_mul(paid)?)?;
    }
    Some((to_net(sum), of))
}

/// What one more of something is worked out from.
struct Work<'a> {
    job: &'a Job,
    items: &'a Items,
    of: &'a Alternative,
    rows: JointRows,
}

impl Work<'_> {
    /// Adds joints and labor, and what is asked.
    fn complete(&self, one: &mut UnitPrice, known: &[UnitPrice]) {
        let item = self.items.get(one.item);
        let joints = self.joints(item);
        let mut taxed = tax_on(self.job, item, one.material);
        let mut cost = Decimal::ZERO;
        let (consumed, is_whole) = self.consumed(&joints);
        one.whole &= is_whole;
        for (consumed, amount) in consumed {
            match known.iter().find(|other| other.item == consumed) {
                Some(other) => {
                    let sum = amount.saturating_mul(other.material);
                    cost = cost.saturating_add(sum);
                    taxed = taxed.saturating_add(tax_on(self.job, self.items.get(consumed), sum));
                    one.consumed.push((consumed, amount));
                }
                None => one.whole = false,
            }
        }
        one.joints = to_net(cost);
        // What is built is the work of its parts and of the joints between them.
        let built = self.of.built.iter().find(|built| built.item == one.item && !one.built_of.is_empty());
        let of_part = match built {
            Some(built) => {
                built.fittings.iter().map(|(id, _)| Task::Item(*id)).chain(built.tasks()).collect()
            }
            None => vec![Task::Item(one.item)],
        };
        let tasks = of_part.into_iter().chain(joints.iter().map(Joint::task));
        let mut hours = Decimal::ZERO;
        let mut worked = false;
        for task in tasks {
            if let Some((rule, of_task)) = self.hours(task) {
                hours = hours.saturating_add(of_task);
                match one.work.iter_mut().find(|(known, _)| *known == rule) {
                    Some((_, times)) => *times += 1,
                    None => one.work.push((rule, 1)),
                }
                worked = true;
            }
        }
        let asks_for_work = !matches!(item.class, Class::Ring | Class::Consumable);
        one.by_table = round_half_away(hours, 6);
        let slower = one.by_table.checked_mul(HUNDRED);
        let hours = slower.and_then(|hours| hours.checked_div(self.job.settings.crew.productivity));
        one.whole &= hours.is_some();
        one.hours = to_net(hours.unwrap_or_default());
        one.whole &= worked || !self.of.labor.stated || !asks_for_work;
        one.labor = to_net(one.hours.saturating_mul(self.rate()));
        let asked = asked(self.job, one.material.saturating_add(one.joints), one.labor, taxed);
        one.whole &= asked.is_some();
        one.asked = asked.unwrap_or_default();
    }

    fn rate(&self) -> Decimal {
        self.of.labor.rate.unwrap_or_default()
    }

    /// The row of the table labor that speaks of a piece of work, and its hours at a productivity of 100.
    fn hours(&self, task: Task) -> Option<(usize, Decimal)> {
        let line = self.of.labor.lines.iter().find(|line| line.task == task)?;
        let rule = line.rule?;
        let row = self.job.labor.as_ref()?.get(rule)?;
        Some((rule, row.hours.checked_div(row.for_so_many)?))
    }

    /// The joints that the openings of a part make, each with the joint of its own: an opening that names a system, a tube
    /// or a fit is joined so, whatever the part stands on.
    fn joints(&self, item: &Item) -> Vec<Joint> {
        let catalog = &self.job.catalog;
        let part = catalog.part(item.part);
        let sizes = item.sizes.as_slice();
        let of = item.system.unwrap_or(self.of.system);
        let own = if catalog.takes_in(&part.systems, of) { of } else { self.meant(&part.systems, of) };
        let mut sized = 0;
        let mut list = Vec::new();
        // A part of both sides of the house is listed in the sizes of one.
        let has = |side: Side| part.ports.iter().any(|port| port.side() == Some(side));
        let listed = Side::ALL.into_iter().all(has).then(|| catalog.system(of).side);
        let is_listed = |port: &&Port| listed.is_none() || port.side().is_none() || port.side() == listed;
        for port in part.ports.iter().filter(|port| !port.site).filter(is_listed) {
            // Sizes are written as short as they can be: one for all openings, or one an opening in reading order.
            let at = if sizes.len() == 1 { 0 } else { sized.min(sizes.len().saturating_sub(1)) };
            let size = port.size.or_else(|| sizes.get(at).copied());
            sized += usize::from(port.size.is_none());
            let Some(size) = size else { continue };
            match port.fit {
                Fit::Joint(None) => list.push(Joint { kind: JointKind::Tube, system: own, size }),
                Fit::Joint(Some(word)) => {
                    let system = if catalog.takes_in(&[word], of) { of } else { self.meant(&[word], of) };
                    list.push(Joint { kind: JointKind::Tube, system, size });
                }
                Fit::Thread(_) => list.push(Joint { kind: JointKind::Thread, system: of, size }),
                Fit::TubeEnd(_) | Fit::Compression | Fit::Closed | Fit::ClosedTubeEnd => {}
            }
        }
        list
    }

    /// Of the systems that words take in the first that is laid in the alternative, else the first.
    fn meant(&self, words: &[Word], otherwise: SystemId) -> SystemId {
        let balance = &self.of.takeoff.balance;
        let is_laid = |system: &SystemId| balance.iter().any(|of| of.system == *system && of.male > 0);
        let mut systems = self.job.catalog.systems_of(words);
        let laid = self.job.catalog.systems_of(words).find(is_laid);
        laid.or_else(|| systems.next()).unwrap_or(otherwise)
    }

    /// What joints consume, by item, to 6 places; and whether all of it is among the items of the job.
    fn consumed(&self, joints: &[Joint]) -> (Vec<(ItemId, Decimal)>, bool) {
        let mut sums: Vec<(ItemId, Decimal)> = Vec::new();
        let mut is_whole = true;
        for joint in joints {
            let of = (joint.system, joint.size);
            for (item, amount) in self.rows.asks(&self.job.catalog, joint.kind, of, 1) {
                let Some(item) = self.items.find(&item) else {
                    is_whole = false;
                    continue;
                };
                match sums.iter_mut().find(|(known, _)| *known == item) {
                    Some((_, sum)) => *sum = sum.saturating_add(amount),
                    None => sums.push((item, amount)),
                }
            }
        }
        (sums.into_iter().map(|(item, sum)| (item, round_half_away(sum, 6))).collect(), is_whole)
    }

    /// One run of each kind, by name: pattern, service, size, tail, fixture.
    fn runs(&self, known: &[UnitPrice]) -> Vec<RunPrice> {
        let runs = &self.job.runs;
        let mut order: Vec<usize> = (0..runs.len()).collect();
        order.sort_by(|a, b| natural(&runs[*a].name, &runs[*b].name));
        let mut kinds = BTreeSet::new();
        let mut list = Vec::new();
        for at in order {
            let run = &runs[at];
            let kind = (&run.patterns, run.service, run.size, run.reduce_to, run.fixture, run.system);
            let id = RunId(u32::try_from(at).unwrap_or(u32::MAX));
            if run.fixture.is_empty() || run.copies() != 1 || list.len() >= MOST_RUNS || kinds.contains(&kind)
            {
                continue;
            }
            if let Some(price) = self.run(id, known) {
                kinds.insert(kind);
                list.push(price);
            }
        }
        list
    }

    /// What a run is built of and what ties it in; nothing where a part of it has no price.
    fn run(&self, id: RunId, known: &[UnitPrice]) -> Option<RunPrice> {
        let ties_in = |because: Because| {
            let all = [Because::Tee(id), Because::Reducer(id), Because::Turning(id), Because::Seam(id)];
            all.contains(&because)
        };
        let own = |line: &&Line| line.subject == Subject::Run(id) || ties_in(line.because);
        let lines: Vec<Line> = self.of.takeoff.lines.iter().filter(own).copied().collect();
        let needs = needs(&self.job.catalog, self.items, self.job.settings.units, &lines);
        let (mut material, mut labor, mut taxed) = (Decimal::ZERO, Decimal::ZERO, Decimal::ZERO);
        let mut built_of = Vec::new();
        for need in needs.iter().filter(|need| !need.quantity.is_zero()) {
            let at = known.iter().position(|one| one.item == need.item)?;
            let (one, amount) = (&known[at], round_half_away(need.quantity, 6));
            let sum = amount.checked_mul(one.material)?;
            material = material.checked_add(sum)?;
            labor = labor.checked_add(amount.checked_mul(one.labor)?)?;
            taxed = taxed.checked_add(tax_on(self.job, self.items.get(one.item), sum))?;
            built_of.push((need.item, amount, at));
        }
        let asked = asked(self.job, to_net(material), to_net(labor), taxed)?;
        (!built_of.is_empty()).then_some(RunPrice { run: id, built_of, asked })
    }
}

/// A joint that an opening makes.
struct Joint {
    kind: JointKind,
    system: SystemId,
    size: Word,
}

impl Joint {
    /// Making it, as work.
    fn task(&self) -> Task {
        let (system, size) = (self.system, self.size);
        match self.kind {
            JointKind::Tube | JointKind::Compression => Task::Joint { system, size },
            JointKind::Thread => Task::Thread { system, size },
        }
    }
}

/// Sales tax on a sum of an item, not rounded.
fn tax_on(job: &Job, item: &Item, sum: Decimal) -> Decimal {
    points_of(tax_rate(job, item), sum).unwrap_or_default()
}

/// What is asked for so much material and labor, with the tax on the material as it is, not rounded.
fn asked(job: &Job, material: Decimal, labor: Decimal, material_tax: Decimal) -> Option<Asked> {
    let terms = &job.settings;
    let small_parts = points_of(terms.bid.small_parts, material)?;
    let direct = to_net(material.checked_add(small_parts)?.checked_add(labor)?);
    let with = |points: Decimal, sum: Decimal| points_of(HUNDRED.checked_add(points)?, sum);
    let cost = with(terms.overhead, with(terms.contingency, direct)?)?;
    let price = match terms.bid.profit_as {
        ProfitAs::Markup => with(terms.profit, cost)?,
        ProfitAs::Margin => cost.checked_mul(HUNDRED)?.checked_div(HUNDRED.checked_sub(terms.profit)?)?,
    };
    let rate = |of: Taxed| terms.bid.tax_rate(of, terms.sales_tax);
    let beside = points_of(rate(Taxed::SmallParts), small_parts)?
        .checked_add(points_of(rate(Taxed::Labor), labor)?)?;
    Some(Asked { direct, price: to_cents(price), tax: to_cents(material_tax.checked_add(beside)?) })
}
