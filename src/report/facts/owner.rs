//! What the owner is told: scope in words and counts, price, tax, fees, alternates, what is not included. No costs, hours,
//! markups or suppliers stand here, so that what is made of it can be given away: the paper Bid, `owner.csv` and
//! `owner.json`. It adds nothing up but places.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use super::bid_lines::BidLine;
use super::parties::lines;
use super::wording::{Wording, plain};
use crate::estimate::alternative::Alternative;
use crate::estimate::order::OrderLine;
use crate::ground::Date;
use crate::ground::name::{fold, natural};
use crate::trade::{Class, Phase, Run, Service, Settings, SumAs, SystemId, Word};

/// What may hurt someone, as far as an owner should know it.
pub(in crate::report) const CAUTIONS: [&str; 4] = [
    "This price rests on a count from a run list. It is no design: the local code, the authority that inspects and a \
     licensed plumber decide.",
    "Water that people drink needs parts certified lead-free. Hot water scalds: the heater and the mixing valves are set \
     as the code asks.",
    "Joints are tested with water and inspected before anything is closed in or buried.",
    "A metal water service may have been the electrical ground of the house: where plastic takes its place, an electrician \
     is asked first.",
];

/// All that the owner is told.
pub(in crate::report) struct Owner {
    pub(in crate::report) job: String,
    pub(in crate::report) date: Option<Date>,
    pub(in crate::report) good_until: Option<Date>,
    pub(in crate::report) currency: String,
    /// Whether the price holds everything.
    pub(in crate::report) complete: bool,
    pub(in crate::report) work: Vec<String>,
    pub(in crate::report) scope: Vec<Served>,
    pub(in crate::report) price: Vec<PriceLine>,
    pub(in crate::report) alternates: Vec<AddOrDeduct>,
    /// What is included, in the bidder's own words.
    pub(in crate::report) included: Vec<String>,
    pub(in crate::report) not_included: Vec<String>,
    pub(in crate::report) payment_terms: Vec<String>,
}

/// Places of one kind in one area that are served.
pub(in crate::report) struct Served {
    pub(in crate::report) level: String,
    pub(in crate::report) area: String,
    pub(in crate::report) fixture: String,
    pub(in crate::report) with: String,
    pub(in crate::report) count: u64,
}

impl Served {
    /// Where it is: `bath, upper`.
    pub(in crate::report) fn room(&self) -> String {
        match (self.level.is_empty(), self.area.is_empty()) {
            (true, true) => "elsewhere".to_owned(),
            (false, false) => format!("{}, {}", self.area, self.level),
            (true, false) => self.area.clone(),
            (false, true) => self.level.clone(),
        }
    }
}

impl AddOrDeduct {
    /// Whether it adds or deducts, in a word.
    pub(in crate::report) fn said(&self) -> &'static str {
        if self.amount.is_some_and(|amount| amount.is_zero()) { "the same" } else { self.word }
    }
}

/// One line of the price.
pub(in crate::report) struct PriceLine {
    pub(in crate::report) name: String,
    pub(in crate::report) amount: Decimal,
    /// Whether it is the whole.
    pub(in crate::report) is_total: bool,
}

/// One alternate.
pub(in crate::report) struct AddOrDeduct {
    pub(in crate::report) name: String,
    /// `add`, `deduct`, or `not priced`.
    pub(in crate::report) word: &'static str,
    /// What it adds or takes off, above zero.
    pub(in crate::report) amount: Option<Decimal>,
}

impl Owner {
    /// Gathers it.
    pub(in crate::report) fn of(words: &Wording<'_>) -> Self {
        let terms = &words.job.settings;
        Self {
            job: words.job_called(),
            date: terms.date,
            good_until: terms.bid.good_until.map(|(date, _)| date),
            currency: terms.currency.to_string(),
            complete: words.estimate.is_complete(),
            work: work(words),
            scope: scope(words),
            price: price(words),
            alternates: alternates(words),
            included: said(&terms.parties.bid.included),
            not_included: not_included(words),
            payment_terms: said(&terms.parties.bid.payment_terms),
        }
    }
}

/// The lines of cells, one after the other.
fn said(cells: &[Box<str>]) -> Vec<String> {
    cells.iter().flat_map(|cell| lines(cell)).collect()
}

/// The work in sentences: lengths by what they are of, water and drains apart.
fn work(words: &Wording<'_>) -> Vec<String> {
    let Some(chosen) = words.estimate.alternatives.first() else { return Vec::new() };
    let mut lengths: BTreeMap<(bool, SystemId), Decimal> = BTreeMap::new();
    for line in &chosen.takeoff.lines {
        let item = words.item(line.item);
        if let (true, Some(service), Some(system)) = (item.is_length(), line.service, item.system) {
            let sum = lengths.entry((!service.is_water(), system)).or_default();
            *sum = sum.saturating_add(words.quantity(line));
        }
    }
    let unit = words.length_unit().abbreviation();
    let of = |is_drain: bool| {
        let mut all: Vec<(Decimal, SystemId)> = lengths
            .iter()
            .filter(|((drain, _), _)| *drain == is_drain)
            .map(|((_, of), sum)| (*sum, *of))
            .collect();
        all.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
        let one = |(sum, system): (Decimal, SystemId)| {
            let length = crate::ground::money::round_up(sum);
            format!("{} {unit} of {}", plain(length), words.system_in_words(system))
        };
        all.into_iter().map(one).collect::<Vec<_>>().join(", ")
    };
    let mut lines = Vec::new();
    for (is_drain, what) in [(false, "the water piping"), (true, "drains and vents")] {
        let of = of(is_drain);
        if !of.is_empty() {
            lines.push(format!("Rough-in of {what}: {of}."));
        }
    }
    let set = set(words, &chosen.order);
    if !set.is_empty() {
        lines.push(format!("Valves, devices and trim that are bought and set with it: {set}."));
    }
    lines
}

/// What is bought and named by itself, each with its number: the price holds it, so the owner reads of it.
fn set(words: &Wording<'_>, order: &[OrderLine]) -> String {
    let mut numbers: BTreeMap<&str, Decimal> = BTreeMap::new();
    for line in order.iter().filter(|line| !line.picks.is_empty() || line.on_hand > Decimal::ZERO) {
        let class = words.item(line.item).class;
        if matches!(class, Class::Valve | Class::Device | Class::Manifold | Class::Trim) {
            let sum = numbers.entry(words.part_name(line.item)).or_default();
            *sum = sum.saturating_add(line.need);
        }
    }
    numbers.iter().map(|(part, number)| format!("{part} ({})", plain(*number))).collect::<Vec<_>>().join(", ")
}

/// Where a place is, what it is, and what flows to it.
#[derive(Default)]
struct Place {
    level: Word,
    area: Word,
    fixture: Word,
    services: BTreeSet<Service>,
    copies: u32,
}

/// Places that are served, by level, area and kind.
fn scope(words: &Wording<'_>) -> Vec<Served> {
    let job = words.job;
    let mut places: BTreeMap<String, Place> = BTreeMap::new();
    let left_out: BTreeSet<usize> = words.estimate.left_out.iter().map(|left| left.run.index()).collect();
    for (_, run) in job.runs.iter().enumerate().filter(|(at, _)| !left_out.contains(at)) {
        serve(&mut places, run);
    }
    // What begins at a place serves it too: the hot water of a heater.
    for (_, run) in job.runs.iter().enumerate().filter(|(at, _)| !left_out.contains(at)) {
        if let Some(place) = run.joins.as_deref().and_then(|name| places.get_mut(&fold(name))) {
            place.services.insert(run.service);
        }
    }
    for row in job.places.iter().filter(|row| !row.in_error) {
        let place = places.entry(fold(&row.name)).or_default();
        place.copies = place.copies.max(1);
        let keep = |new: Word, old: Word| if new.is_empty() { old } else { new };
        place.fixture = keep(row.fixture, place.fixture);
        place.area = keep(row.area, place.area);
        place.level = keep(row.level, place.level);
    }
    let mut counted: BTreeMap<(Word, Word, Word, Vec<Service>), u64> = BTreeMap::new();
    let is_served = |place: &&Place| !place.fixture.is_empty() && !place.services.is_empty();
    for place in places.values().filter(is_served) {
        let key = (place.level, place.area, place.fixture, place.services.iter().copied().collect());
        *counted.entry(key).or_default() += u64::from(place.copies);
    }
    let mut rows: Vec<Served> = counted
        .into_iter()
        .map(|((level, area, fixture, services), count)| Served {
            level: words.word(level).to_owned(),
            area: words.word(area).to_owned(),
            fixture: words.word(fixture).to_owned(),
            with: listed(&services),
            count,
        })
        .collect();
    rows.sort_by(|a, b| {
        natural(&a.level, &b.level)
            .then_with(|| natural(&a.area, &b.area))
            .then_with(|| natural(&a.fixture, &b.fixture))
            .then_with(|| a.with.cmp(&b.with))
    });
    rows
}

/// Services as a sentence lists them.
fn listed(services: &[Service]) -> String {
    let services: Vec<&str> = services.iter().map(|one| one.word()).collect();
    match services.split_last() {
        Some((last, [])) => (*last).to_owned(),
        Some((last, all)) => format!("{} and {last}", all.join(", ")),
        None => String::new(),
    }
}

/// A run serves the place it ends at, or by its fixture stands for one of its own.
fn serve(places: &mut BTreeMap<String, Place>, run: &Run) {
    if run.phase() == Phase::TieIn || (run.to.is_none() && run.fixture.is_empty()) || run.copies() == 0 {
        return;
    }
    // A run that only names a fixture serves a place that nobody named.
    let name = run.to.as_deref().map_or_else(|| format!("\u{0}{}", fold(&run.name)), fold);
    let place = places.entry(name).or_default();
    place.copies = place.copies.max(run.copies());
    place.services.insert(run.service);
    if place.fixture.is_empty() {
        (place.fixture, place.area, place.level) = (run.fixture, run.area, run.level);
    }
}

/// The lines of the price that an owner sees: what is marked up stands in the price of the work.
fn price(words: &Wording<'_>) -> Vec<PriceLine> {
    let terms = &words.job.settings;
    let Some(chosen) = words.estimate.alternatives.first() else { return Vec::new() };
    let fees = terms.bid.sums.iter().enumerate().filter(|(_, one)| one.is == SumAs::Fee);
    let fees = fees.map(|(at, fee)| (BidLine::Fee(at), format!("{} fee", fee.name)));
    let shown = [BidLine::Price, BidLine::Tax].map(|line| (line, line.name(terms)));
    let total = (BidLine::Total, "price in all".to_owned());
    let line = |(line, name): (BidLine, String)| PriceLine {
        name,
        amount: line.amount(terms, &chosen.cost.bid),
        is_total: line == BidLine::Total,
    };
    let all = shown.into_iter().chain(fees).map(line);
    // A tax that is not taken is said among what is not included.
    let all = all.filter(|line| !line.amount.is_zero());
    all.chain([line(total)]).collect()
}

/// What the bid offers: optional work, and systems that may be had instead where the job says so; each with what it adds or
/// takes off.
fn alternates(words: &Wording<'_>) -> Vec<AddOrDeduct> {
    let estimate = words.estimate;
    let Some(chosen) = estimate.alternatives.first() else { return Vec::new() };
    let offered = words.job.settings.parties.bid.offered.as_ref().map(|(names, _)| names);
    let of = |name: String, difference: Option<Decimal>| AddOrDeduct {
        name,
        word: match difference {
            None => "not priced",
            Some(less) if less.is_sign_negative() && !less.is_zero() => "deduct",
            Some(_) => "add",
        },
        amount: difference.map(|difference| difference.abs()),
    };
    let system_of = |of: &Alternative| match (of.takeoff.drain, chosen.takeoff.drain) {
        (Some(this), Some(chosen)) if this != chosen => this,
        _ => of.system,
    };
    let is_offered = |of: &Alternative| {
        let system = words.job.catalog.system(system_of(of)).name;
        offered.is_some_and(|names| names.contains(&system))
    };
    let others = estimate.alternatives.iter().enumerate().skip(1).filter(|(_, one)| is_offered(one));
    let systems = others.map(|(at, one)| {
        let whole = estimate.comparison.may_differ(at);
        let difference = one.cost.bid.total - chosen.cost.bid.total;
        let name = match (one.takeoff.drain, chosen.takeoff.drain) {
            (Some(this), Some(chosen)) if this != chosen => {
                let (this, chosen) = (words.system_in_words(this), words.system_in_words(chosen));
                format!("drains and vents in {this} instead of {chosen}")
            }
            _ => {
                let (this, chosen) =
                    (words.system_in_words(one.system), words.system_in_words(chosen.system));
                format!("water piping in {this} instead of {chosen}")
            }
        };
        of(name, whole.then_some(difference))
    });
    let named = estimate.optional.iter().filter(|one| offered.is_none_or(|names| names.contains(&one.name)));
    let optional = named.map(|one| {
        let moved = one.moved.as_ref().filter(|_| one.complete);
        let difference = moved.map(|moved| moved.against(&chosen.cost.bid).total);
        of(words.word(one.name).to_owned(), difference)
    });
    systems.chain(optional).collect()
}

/// What the job says, and what its sums show.
fn not_included(words: &Wording<'_>) -> Vec<String> {
    let (job, terms) = (words.job, &words.job.settings);
    let mut lines: Vec<String> = terms.bid.not_included.iter().map(ToString::to_string).collect();
    let Some(chosen) = words.estimate.alternatives.first() else { return lines };
    let mut also = |is: bool, line: &str| {
        if is && !lines.iter().any(|said| fold(said) == fold(line)) {
            lines.push(line.to_owned());
        }
    };
    let drains = job.runs.iter().any(|run| matches!(run.service, Service::Drain | Service::Vent));
    also(!drains, "drains and vents");
    let bid = &chosen.cost.bid;
    let (without_hours, by_the_lump) = (bid.spent.labor.is_zero(), !bid.lump_sum_labor.is_zero());
    also(without_hours && !by_the_lump, "labor: the price is for material alone");
    also(without_hours && by_the_lump, &format!("labor, but for {}", by_the_lump_in_words(terms)));
    also(chosen.cost.bid.tax.is_zero(), "sales tax");
    also(terms.bid.sums.iter().all(|one| one.is == SumAs::LumpSumLabor), "permit and inspection fees");
    let says_so = lines.iter().any(|line| fold(line).contains("fixture"));
    let rest = match says_so {
        true => "whatever this bid does not name",
        false => {
            "fixtures, faucets, heaters and appliances but for the parts named above, and whatever this bid does not name"
        }
    };
    lines.push(rest.to_owned());
    lines
}

/// The labor that is stated by the lump, by name: `demolition, pressure test`.
fn by_the_lump_in_words(terms: &Settings) -> String {
    let of = terms.bid.sums.iter().filter(|one| one.is == SumAs::LumpSumLabor);
    of.map(|one| &*one.name).collect::<Vec<_>>().join(", ")
}
