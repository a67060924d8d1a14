//! What buying finds wrong or doubtful, told once of what was finally decided: each notice with its cells. Its texts stand
//! in `findings`. Nothing is decided here.

use std::collections::{BTreeMap, BTreeSet};

use super::ask::{Ask, NotPriced, OrderBuilder, Settled};
use super::assemblies::could_be_made_from;
use super::coupling_iteration::Order;
use super::findings;
use super::lot::Lot;
use crate::estimate::takeoff::{Because, Line, Subject};
use crate::estimate::{BuyingPlan, ItemId, OfferId, RunId, TubePlan};
use crate::ground::name::{IN_A_ROW, in_a_row, natural};
use crate::ground::notice::Finding;
use crate::ground::{Length, Notice, RowAt, Spot};
use crate::trade::{Class, Run};

/// All that is told of an order; `lines` are those of the takeoff.
pub(super) fn notices(builder: &OrderBuilder<'_>, lines: &[Line], order: &Order<'_>) -> Vec<Notice> {
    let examples = examples(builder, lines, order);
    let mut told = Told { builder, examples, offers: BTreeSet::new(), notices: Vec::new() };
    told.substitutes();
    for (ask, settled) in &order.lines {
        told.offers(ask);
        told.locked(ask, settled);
        if let Some(why) = settled.not_priced {
            told.not_priced(ask, why);
        }
        if let Some(plan) = settled.plan.as_ref().filter(|plan| plan.extra_couplings != 0) {
            told.extra_couplings(ask, plan, lines);
        }
    }
    for (ask, settled) in &order.lines {
        if let Some(offer) = settled.too_odd {
            told.offer(ask, offer, None, findings::packs_not_proven(&told.called(ask.id)));
        }
    }
    told.orders(&order.plan);
    findings::fewer(told.notices, builder.market.job)
}

/// By item: the row of a run that needs it, else of a place. What only a made-up fitting or a cut plan asks for is shown
/// by its run.
fn examples(builder: &OrderBuilder<'_>, lines: &[Line], order: &Order<'_>) -> Vec<Option<RowAt>> {
    let job = builder.market.job;
    let mut examples = vec![None; builder.items.len()];
    let mut show = |item: ItemId, row: Option<RowAt>| {
        if let Some(example @ None) = examples.get_mut(item.0 as usize) {
            *example = row;
        }
        examples.get(item.0 as usize).copied().flatten()
    };
    for line in lines.iter().filter(|line| line.count != 0) {
        if let Subject::Run(run) = line.subject {
            show(line.item, job.runs.get(run.index()).map(|run| run.row));
        }
    }
    for line in lines.iter().filter(|line| line.count != 0) {
        if let Subject::Place(place) = line.subject {
            show(line.item, job.places.get(place as usize).map(|place| place.row));
        }
    }
    for one in builder.substitutes {
        let row = show(one.item, None);
        for (item, _) in &one.of {
            show(*item, row);
        }
    }
    let tube = order.couplings.iter().find(|(_, count)| *count != 0);
    let row = tube.and_then(|(tube, _)| show(*tube, None));
    for (item, _) in &order.added {
        show(*item, row);
    }
    examples
}

struct Told<'b, 'a> {
    builder: &'b OrderBuilder<'a>,
    examples: Vec<Option<RowAt>>,
    /// Offers that are told already, so that each is told once.
    offers: BTreeSet<OfferId>,
    notices: Vec<Notice>,
}

impl Told<'_, '_> {
    fn called(&self, item: ItemId) -> String {
        self.builder.market.called(self.builder.items.get(item))
    }

    /// A run or a place that needs an item.
    fn example(&self, item: ItemId) -> Option<Spot> {
        let row = self.examples.get(item.0 as usize).copied().flatten()?;
        Some(self.builder.market.job.sources.row(row))
    }

    /// Tells of cells, and of a run that needs the item.
    fn tell(&mut self, item: ItemId, spots: impl IntoIterator<Item = Spot>, finding: Finding) {
        self.notices.push(finding.at(spots.into_iter().chain(self.example(item))));
    }

    /// Tells of an offer, beside another of the same.
    fn offer(&mut self, ask: &Ask<'_>, offer: OfferId, beside: Option<OfferId>, finding: Finding) {
        if self.offers.insert(offer) {
            let rows = [Some(offer), beside].into_iter().flatten().map(|id| self.builder.market.row(id));
            self.tell(ask.id, rows.collect::<Vec<_>>(), finding);
        }
    }

    /// What is made up from what.
    fn substitutes(&mut self) {
        let market = self.builder.market;
        for one in self.builder.substitutes {
            let of = one.in_words(market.lexicon, market.catalog, self.builder.items);
            self.tell(one.item, [], findings::built_from_others(&self.called(one.item), &of, one));
        }
    }

    /// Offers that are passed over, have breaks that are, or stand there twice. A locked one is used whatever its day.
    fn offers(&mut self, ask: &Ask<'_>) {
        let called = self.called(ask.id);
        for (offer, why) in &ask.passed {
            if ask.locked.choices.iter().all(|choice| choice.lot.offer != *offer) {
                self.offer(ask, *offer, None, findings::passed_over(&called, *why));
            }
        }
        for lot in ask.lots.iter().filter(|lot| lot.odd_break) {
            self.offer(ask, lot.offer, None, findings::break_not_cheaper(&called));
        }
        // As the list has them: it is the later row that is told.
        let mut lots: Vec<&Lot> = ask.lots.iter().collect();
        lots.sort_by_key(|lot| lot.offer);
        for (at, second) in lots.iter().enumerate() {
            if let Some(first) = lots[..at].iter().find(|first| self.is_double(first, second)) {
                let stands = self.builder.market.row(first.offer);
                let finding = findings::offer_twice(&called, &stands, first.tiers == second.tiers);
                self.offer(ask, second.offer, Some(first.offer), finding);
            }
        }
    }

    /// Whether two offers of one supplier are the same but for price and days.
    fn is_double(&self, first: &Lot, second: &Lot) -> bool {
        let [one, other] = [first, second].map(|lot| self.builder.market.offer(lot.offer));
        first.supplier == second.supplier
            && first.sold == second.sold
            && one.code == other.code
            && one.systems == other.systems
            && one.variant == other.variant
            && one.color == other.color
    }

    /// Locked choices that cannot be bought now, and locked lengths that are too few.
    fn locked(&mut self, ask: &Ask<'_>, settled: &Settled) {
        let (market, called) = (self.builder.market, self.called(ask.id));
        let (job, sources) = (market.job, &market.job.sources);
        for (row, _) in &ask.locked.lost {
            self.tell(ask.id, [sources.row(job.held[*row].row)], findings::held_offer_unusable(&called));
        }
        if !settled.beside_locked.is_empty() {
            let more = settled.beside_locked.iter();
            let more = more.map(|(offer, more)| format!("{more} x {}", market.kept_as(*offer)));
            let more = more.collect::<Vec<_>>().join(" and ");
            let cells = ask.locked.choices.iter().map(|one| sources.cell(job.held[one.row].row, "packs"));
            self.tell(ask.id, cells, findings::held_lengths_too_few(&called, &more));
        }
    }

    /// An item that is not priced: what comes near it, and what could make it.
    fn not_priced(&mut self, ask: &Ask<'_>, why: NotPriced) {
        let market = self.builder.market;
        let near = market.nearest(ask.item);
        let called = |id: &OfferId| format!("{}{}", market.offer_called(*id), market.why_not(*id, ask.item));
        let mut called: Vec<String> = near.iter().map(called).collect();
        called.dedup();
        let made_from = could_be_made_from(market, ask.item);
        let finding = findings::not_priced(&self.called(ask.id), why, &called, made_from.as_deref());
        let spots = self.example(ask.id).into_iter().chain(near.iter().map(|id| market.row(*id)));
        self.notices.push(finding.at(spots));
    }

    /// Couplings that a cut plan adds or spares, with the runs in which they are; where no run has them by itself, any run
    /// of the tube.
    fn extra_couplings(&mut self, ask: &Ask<'_>, plan: &TubePlan, lines: &[Line]) {
        let job = self.builder.market.job;
        let mut added: BTreeMap<RunId, i64> = BTreeMap::new();
        let coupling_of = |line: &&Line| {
            let item = self.builder.items.get(line.item);
            let is_coupling = line.because == Because::Split && item.class == Class::Fitting;
            is_coupling && (item.system, item.sizes) == (ask.item.system, ask.item.sizes)
        };
        // A coupling has no color: those of the other tube of its size are of runs in which this one does not lie.
        let lies: BTreeSet<Subject> =
            lines.iter().filter(|line| line.item == ask.id).map(|line| line.subject).collect();
        for line in lines.iter().filter(coupling_of).filter(|line| lies.contains(&line.subject)) {
            if let Subject::Run(run) = line.subject {
                *added.entry(run).or_default() -= line.count;
            }
        }
        for joined in &plan.joined {
            let parts: u64 = joined.parts.iter().map(|(_, many)| *many).sum();
            let couplings = joined.copies.saturating_mul(parts.saturating_sub(1));
            *added.entry(joined.run).or_default() += i64::try_from(couplings).unwrap_or(i64::MAX);
        }
        let is_so = |more: i64| more.signum() == plan.extra_couplings.signum();
        let mut runs: Vec<&Run> = added
            .into_iter()
            .filter(|(_, more)| is_so(*more))
            .filter_map(|(run, _)| job.runs.get(run.index()))
            .collect();
        runs.sort_by(|a, b| natural(&a.name, &b.name));
        let names = in_a_row(runs.iter().map(|run| &*run.name));
        let is_as_cut = plan.taken_out > Length::ZERO;
        let finding =
            findings::couplings_by_plan(&self.called(ask.id), plan.extra_couplings, is_as_cut, &names);
        let mut spots: Vec<Spot> = runs.iter().take(IN_A_ROW).map(|run| job.sources.row(run.row)).collect();
        if spots.is_empty() {
            spots.extend(self.example(ask.id));
        }
        self.notices.push(finding.at(spots));
    }

    /// Orders that do not reach the minimum of their supplier, and those that are topped up to it.
    fn orders(&mut self, plan: &BuyingPlan) {
        let market = self.builder.market;
        for order in &plan.suppliers {
            let mut supplier = market.lexicon.text(order.supplier).to_owned();
            // Only the order of the chosen alternative is given.
            let alternative = self.builder.alternative.name;
            if market.job.sides.first().is_some_and(|chosen| chosen.name != alternative) {
                supplier = format!("{supplier} in {}", market.lexicon.text(alternative));
            }
            let finding = match (order.met, order.topped_up.is_zero()) {
                (true, true) => continue,
                (true, false) => findings::order_filled_up(&supplier, order),
                (false, _) => findings::least_order_not_reached(&supplier, order),
            };
            let row = market.job.supplier(order.supplier);
            self.notices.push(finding.at(row.map(|row| market.job.sources.row(row.row))));
        }
    }
}
