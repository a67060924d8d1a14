//! What buying finds wrong or doubtful in price lists: every text of these notices stands here.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use super::buying::NotPriced;
use super::buying::building::{Built, Why};
use crate::ground::money::cents;
use crate::ground::notice::in_order;
use crate::ground::{Date, Notice, RowAt, Severity, Spot};
use crate::trade::{Job, Word};

/// Something that buying found.
#[derive(Debug, Clone)]
pub(super) enum Doubt<'a> {
    /// An item has no usable offer.
    NotPriced {
        /// Why.
        reason: NotPriced,
        /// The nearest offers.
        near: Vec<String>,
        /// What sold parts could make it.
        made_of: Option<String>,
    },
    /// An offer was good until a day before the job's.
    Expired(Date),
    /// An offer is good from a day after the job's.
    NotYet(Date),
    /// The unit of an offer does not fit the unit the item is counted in.
    Unit(&'static str),
    /// A break is no cheaper than the price before it.
    OddBreak,
    /// One supplier has two offers for the same thing in the same pack.
    OfferTwice {
        /// Where the first stands.
        first: Spot,
        /// Whether they cost the same.
        one_price: bool,
    },
    /// Packs so odd beside each other that the search for the cheapest would not end.
    PacksTooOdd,
    /// A held offer cannot be bought for the item any more.
    HeldUnusable,
    /// The pieces do not go into the held coils or sticks any more.
    HeldTooFew {
        /// What is bought beside them.
        more: String,
    },
    /// An order does not reach the least sum of its supplier.
    LeastNotReached {
        /// What is bought there.
        goods: Decimal,
        /// The least sum.
        least: Decimal,
    },
    /// More is bought than is needed, so that an order reaches the least sum of its supplier.
    ToppedUp {
        /// What is needed there.
        needed: Decimal,
        /// What was added.
        added: Decimal,
        /// The least sum.
        least: Decimal,
    },
    /// A fitting is built from others.
    BuiltFrom {
        /// What one is built from.
        of: String,
        /// How many, what that adds, and why so.
        built: &'a Built,
    },
    /// The cut plan joins pieces with more (or fewer) couplings than the takeoff has.
    CouplingsByPlan(i64),
}

impl Doubt<'_> {
    /// The notice; `item` is how the item is called.
    pub(super) fn word(&self, item: &str, spots: Vec<Spot>) -> Notice {
        let (severity, kind, found, expected, remedy) = match self {
            Self::NotPriced { reason, near, made_of } => not_priced(item, reason, near, made_of.as_deref()),
            Self::Expired(until) => (
                Severity::Warning,
                "offer-expired",
                format!("this offer for {item} was good until {until} and is not used"),
                "an offer that is good on the day of the job".to_owned(),
                "ask the supplier for a new price and type it with its days, or correct the date of the job"
                    .to_owned(),
            ),
            Self::NotYet(from) => (
                Severity::Warning,
                "offer-not-yet-good",
                format!("this offer for {item} is good only from {from} on and is not used"),
                "an offer that is good on the day of the job".to_owned(),
                "type the price that is good on that day, or correct the date of the job".to_owned(),
            ),
            Self::Unit(why) => (
                Severity::Warning,
                "offer-unit",
                format!("this offer for {item} {why}; it is not used"),
                "tube by the coil, stick or foot with its length; other parts each, by the bag or by the hundred"
                    .to_owned(),
                "correct `sold as`, `pack` and `per` of the row: a coil of 100 ft has `pack` 100 ft".to_owned(),
            ),
            Self::OddBreak => (
                Severity::Warning,
                "break-not-cheaper",
                format!("a break of this offer for {item} is no cheaper than the price before it and is passed over"),
                "breaks with rising numbers and falling prices".to_owned(),
                "correct `breaks`, or leave that one out".to_owned(),
            ),
            Self::OfferTwice { first, one_price } => twice(item, first, *one_price),
            Self::PacksTooOdd => (
                Severity::Remark,
                "packs-not-proven",
                format!("the packs of {item} are too large and odd to try all ways; one kind of pack is bought"),
                "packs that hold a few thousand at most".to_owned(),
                "look whether two kinds of pack together cost less".to_owned(),
            ),
            Self::HeldUnusable => (
                Severity::Warning,
                "held-offer-unusable",
                format!("this offer is held for {item} and cannot be bought for it now; it is left out"),
                "an offer that matches the part, is good on the day and has a fitting unit".to_owned(),
                "drop the row from the table `held`, or correct the offer".to_owned(),
            ),
            Self::HeldTooFew { more } => (
                Severity::Warning,
                "held-lengths-too-few",
                format!(
                    "the pieces of {item} were not found to go into the coils and sticks that are held; bought beside \
                     them: {more}"
                ),
                "as many as the pieces ask for".to_owned(),
                "order what is missing and raise the number in the table `held`; list what you have in `on hand`; or \
                 drop its rows so that the plan is made anew"
                    .to_owned(),
            ),
            Self::BuiltFrom { of, built } => built_from(item, of, built),
            Self::LeastNotReached { goods, least } => (
                Severity::Warning,
                "least-order-not-reached",
                format!(
                    "the order at {item} comes to {} and does not reach its least order of {}",
                    cents(*goods),
                    cents(*least),
                ),
                "an order that the supplier takes".to_owned(),
                "buy more there, leave the supplier's price list out, or correct `least order`".to_owned(),
            ),
            Self::ToppedUp { needed, added, least } => (
                Severity::Remark,
                "order-filled-up",
                format!(
                    "goods for {} are needed at {item}: whole packs or lengths for {} more are bought, so that \
                     its order reaches its least sum of {}",
                    cents(*needed),
                    cents(*added),
                    cents(*least),
                ),
                "an order that the supplier takes".to_owned(),
                "look at what is left over on the order; or correct `least order`".to_owned(),
            ),
            Self::CouplingsByPlan(count) => couplings(item, *count),
        };
        Notice::new(severity, kind, spots, found, expected, remedy)
    }
}

type Words = (Severity, &'static str, String, String, String);

fn not_priced(item: &str, reason: &NotPriced, near: &[String], made_of: Option<&str>) -> Words {
    let mut found = match reason {
        NotPriced::NoOffer => format!("nobody sells {item}: it is not priced"),
        NotPriced::NoUsableOffer => format!("no offer for {item} can be used: it is not priced"),
        NotPriced::PieceTooLong(length) => format!(
            "a piece of {item} of {length} must be without a joint, and no length offered is so long: \
             it is not priced"
        ),
        NotPriced::CannotJoin(length) => format!(
            "a piece of {item} of {length} cannot be joined from the lengths offered in parts as long as the shortest \
             joined piece: it is not priced"
        ),
        NotPriced::TooLarge => {
            format!("the quantities or prices of {item} are beyond what is reckoned with: it is not priced")
        }
    };
    if !near.is_empty() {
        found.push_str(&format!("; nearest offers: {}", near.join(", ")));
    }
    let mut remedy = String::from("add a row with its price to the price list");
    if let Some(made_of) = made_of {
        remedy.push_str(&format!("; it could be made from {made_of}"));
    }
    (Severity::Warning, "not-priced", found, "an offer for every part that is needed".to_owned(), remedy)
}

fn built_from(item: &str, of: &str, built: &Built) -> Words {
    let shelf = match built.from_shelf {
        0 => String::new(),
        served => format!(", beside {served} on hand"),
    };
    let found = format!(
        "{} x {item}{shelf}: each is built from {of}, with {}; {}",
        built.count,
        more_joints(built),
        built.why.because()
    );
    let (expected, mut remedy) = match built.why.is_sold {
        _ if built.why.is_held => {
            ("the choice that is held", "drop its row from the table `held` to choose anew")
        }
        true => (
            "the fitting as it is sold, unless `substitutes | cheaper` lets it be built for less",
            "say `substitutes | needed` to buy it as it is sold",
        ),
        false => (
            "an offer for the fitting itself",
            "add a row with the fitting's price, or say `substitutes | none` in the table job",
        ),
    };
    let screwed;
    if !built.threads.is_empty() {
        screwed = format!(
            "see that no male thread of metal goes into plastic, which it may split (common practice); {remedy}"
        );
        remedy = &screwed;
    }
    let remedy = format!("look whether there is room for it; {remedy}");
    (Severity::Warning, "built-from-others", found, expected.to_owned(), remedy)
}

/// What building one fitting adds in joints: `2 joints more`, `1 threaded joint more`.
fn more_joints(built: &Built) -> String {
    let so_many = |count: usize, one: &str, many: &str| match count {
        0 => None,
        1 => Some(format!("1 {one}")),
        count => Some(format!("{count} {many}")),
    };
    let joints = so_many(built.joints(), "joint", "joints");
    let threads = so_many(built.threads.len(), "threaded joint", "threaded joints");
    let all: Vec<String> = joints.into_iter().chain(threads).collect();
    match all.is_empty() {
        true => "no joint more".to_owned(),
        false => format!("{} more", all.join(" and ")),
    }
}

impl Built {
    /// What building one adds in joints, in words.
    pub fn joints_in_words(&self) -> String {
        more_joints(self)
    }
}

impl Why {
    /// Why a fitting is built as it is, in words.
    pub fn because(&self) -> String {
        let with_labor = self.instead.as_ref().is_some_and(|instead| instead.with_labor);
        let order = if with_labor { "the order with labor" } else { "the order" };
        match (&self.instead, self.ways) {
            (_, _) if self.is_held => "it is held so".to_owned(),
            (Some(instead), _) if instead.of.is_none() => {
                format!("bought as it is sold, {order} would come to {} more", cents(instead.more))
            }
            (Some(instead), ways) if instead.more.is_zero() => format!(
                "of {ways} ways one that costs as little as any: {order} would come to the same with {}",
                instead.of.as_deref().unwrap_or_default()
            ),
            (Some(instead), ways) => format!(
                "of {ways} ways the cheapest: {order} would come to {} more with {}",
                cents(instead.more),
                instead.of.as_deref().unwrap_or_default()
            ),
            (None, 1) if !self.is_sold => "what is sold allows no other way".to_owned(),
            (None, 1) => "by itself it adds less to the order than the fitting as it is sold".to_owned(),
            (None, ways) => format!("of {ways} ways the one that by itself adds least to the order"),
        }
    }
}

fn twice(item: &str, first: &Spot, one_price: bool) -> Words {
    let found = match one_price {
        true => format!("this offer for {item} stands in {first} already"),
        false => format!("this offer for {item} stands in {first} at another price; the lower price is used"),
    };
    (
        Severity::Warning,
        "offer-twice",
        found,
        "one row for one pack of one supplier".to_owned(),
        "drop the older row, or give the two their days or codes".to_owned(),
    )
}

fn couplings(item: &str, count: i64) -> Words {
    let number = count.unsigned_abs();
    let couplings = if number == 1 { "coupling" } else { "couplings" };
    let (severity, found) = match count > 0 {
        true => (
            Severity::Warning,
            format!(
                "{item} is sold in shorter lengths than its pieces: the cut plan joins them with {number} \
                 {couplings} that the takeoff does not have"
            ),
        ),
        false => (
            Severity::Remark,
            format!(
                "{item} is sold in longer lengths: the cut plan spares {number} {couplings} of the takeoff"
            ),
        ),
    };
    (
        severity,
        "couplings-by-plan",
        found,
        "lengths sold as the system's stock length says".to_owned(),
        "look at the cut plan; the order counts these couplings and what their joints take".to_owned(),
    )
}

/// Held choices for what no alternative needs; those that a trial took over from another estimate are passed over.
pub(super) fn held_for_nothing(job: &Job, met: &BTreeSet<usize>) -> Option<Notice> {
    let written = |held: &crate::trade::Held| {
        job.sources.get(held.row.source).is_none_or(|source| &*source.file != super::trial::HELD_ELSEWHERE)
    };
    let rows =
        job.held.iter().enumerate().filter(|(at, held)| !held.in_error && !met.contains(at) && written(held));
    let rows: Vec<RowAt> = rows.map(|(_, held)| held.row).collect();
    let found = match rows.len() {
        0 => return None,
        1 => "nothing that the job needs is what this row holds a choice for".to_owned(),
        many => {
            format!("nothing that the job needs is what this row and {} more hold a choice for", many - 1)
        }
    };
    Some(Notice::new(
        Severity::Warning,
        "held-for-nothing",
        rows.iter().take(6).map(|row| job.sources.cell(*row, "part")).collect(),
        found,
        "a part, size and system of the order".to_owned(),
        "correct the row or drop it; what was bought by it already may go back, or on the shelf: list it in `on hand`"
            .to_owned(),
    ))
}

/// What is said of the job with an alternate alone, said so.
pub(super) fn with_the_alternate(job: &Job, name: Word, notice: Notice) -> Notice {
    let found = format!("with the alternate \"{}\": {}", job.lexicon.text(name), notice.found);
    Notice { found, ..notice }
}

/// An alternate beyond those that are priced.
pub(super) fn too_many_alternates(job: &Job, name: Word, row: RowAt) -> Notice {
    let most = super::alternates::MOST;
    Notice::new(
        Severity::Warning,
        "too-many-alternates",
        vec![job.sources.cell(row, "alternate")],
        format!("the alternate \"{}\" is listed and not priced", job.lexicon.text(name)),
        format!("at most {most} alternates in one job"),
        "price the rest in a copy of the job".to_owned(),
    )
}

/// The sums of an alternative are larger than money is counted in.
pub(super) fn beyond_counting(job: &Job) -> Notice {
    Notice::new(
        Severity::Error,
        "sums-too-large",
        run_list(job),
        "the sums of this job do not fit the 28 digits that money is counted in".to_owned(),
        "the prices and quantities of a house".to_owned(),
        "look for a price or a length with too many digits".to_owned(),
    )
}

/// Expired offers of one list, or parts that nobody sells, beyond which they are told in one notice.
const MANY: usize = 8;

/// Notices in order; of a list with many expired offers, and of many parts that nobody sells, the first alone, which says
/// how many there are.
pub(super) fn fewer(notices: Vec<Notice>, job: &Job) -> Vec<Notice> {
    fewer_not_priced(fewer_expired(in_order(notices)), job)
}

/// Where no offer can be used at all that is said instead of every part; of many parts that nobody sells the first alone.
fn fewer_not_priced(mut notices: Vec<Notice>, job: &Job) -> Vec<Notice> {
    let is_not_priced = |notice: &Notice| notice.kind == "not-priced";
    let parts = notices.iter().filter(|notice| is_not_priced(notice)).count();
    if parts > 0 && job.prices.offers.iter().all(|offer| offer.in_error) {
        notices.retain(|notice| !is_not_priced(notice));
        notices.push(nothing_priced(job));
        return in_order(notices);
    }
    if parts > MANY {
        let mut told = false;
        notices.retain_mut(|notice| {
            let is_first = is_not_priced(notice) && !told;
            if is_first {
                notice.found.push_str(&format!(", nor are {} more parts", parts - 1));
                notice.remedy.push_str("; the sheet Order lists all of them as not priced");
            }
            told |= is_first;
            is_first || !is_not_priced(notice)
        });
    }
    notices
}

/// A job without a price list, or with lists of which no row can be used.
fn nothing_priced(job: &Job) -> Notice {
    let (found, remedy) = match job.prices.offers.is_empty() {
        true => (
            "there is no offer in any price list: none of the parts is priced",
            "add a table prices, or name price lists in the item `price list` of the table job; request-for-quote.csv \
             asks for the prices of all parts",
        ),
        false => (
            "no row of the price lists can be used: none of the parts is priced",
            "correct what the notices of the price lists say",
        ),
    };
    Notice::new(
        Severity::Warning,
        "nothing-priced",
        first_file(job),
        found.to_owned(),
        "an offer for every part that is needed".to_owned(),
        remedy.to_owned(),
    )
}

/// The run list as a whole.
fn run_list(job: &Job) -> Vec<Spot> {
    job.runs.first().map(|run| job.sources.row(RowAt { row: 0, ..run.row })).into_iter().collect()
}

/// The table that ought to be looked at, as a whole: the first price list with rows, else the run list.
fn first_file(job: &Job) -> Vec<Spot> {
    let rows = job.prices.offers.iter().map(|offer| offer.row).chain(job.runs.iter().map(|run| run.row));
    rows.take(1).map(|row| job.sources.row(RowAt { row: 0, ..row })).collect()
}

/// Of a list with many expired offers the first alone.
fn fewer_expired(notices: Vec<Notice>) -> Vec<Notice> {
    let list = |notice: &Notice| {
        let spot = notice.spots.first().filter(|_| notice.kind == "offer-expired")?;
        Some((spot.file.clone(), spot.sheet.clone()))
    };
    let mut rows: BTreeMap<_, BTreeSet<u32>> = BTreeMap::new();
    for notice in &notices {
        if let Some(list) = list(notice) {
            rows.entry(list).or_default().insert(notice.spots[0].row);
        }
    }
    rows.retain(|_, rows| rows.len() > MANY);
    let mut told = BTreeSet::new();
    let mut kept = Vec::with_capacity(notices.len());
    for mut notice in notices {
        if let Some(list) = list(&notice)
            && let Some(rows) = rows.get(&list)
        {
            if !told.insert(list) {
                continue;
            }
            notice.found =
                format!("this offer and {} more of this list have expired and are not used", rows.len() - 1);
        }
        kept.push(notice);
    }
    kept
}
