//! What buying finds wrong or doubtful in price lists and locked choices: each notice is one function here, and where there
//! are many of a kind they become one. `notices` says where each stands.

use std::collections::{BTreeMap, BTreeSet};

use super::ask::NotPriced;
use super::matching::Passed;
use crate::estimate::Substitute;
use crate::estimate::landed::SupplierOrder;
use crate::ground::money::cents;
use crate::ground::notice::{Finding, findings, in_order, remark, warning};
use crate::ground::{Notice, RowAt, Spot};
use crate::trade::{Held, Job};

/// Where choices stand that were taken over from another estimate, in place of a file.
pub(in crate::estimate) const HELD_ELSEWHERE: &str = "--hold";

/// An item has no usable offer; `near` are the nearest, `made_from` is what sold parts could make it.
pub(super) fn not_priced(item: &str, why: NotPriced, near: &[String], made_from: Option<&str>) -> Finding {
    let mut found = match why {
        NotPriced::NoOffer => format!("nobody sells {item}"),
        NotPriced::NoUsableOffer => format!("no offer for {item} can be used"),
        NotPriced::PieceTooLong(length) => {
            format!("a piece of {item} of {length} must be without a joint, and no length offered is so long")
        }
        NotPriced::CannotJoin(length) => format!(
            "a piece of {item} of {length} cannot be joined from the lengths offered in parts as long as the shortest \
             joined piece"
        ),
        NotPriced::TooLarge => {
            format!("the quantities or prices of {item} are beyond what is reckoned with")
        }
    };
    found.push_str(": it is not priced");
    if !near.is_empty() {
        found.push_str(&format!("; nearest offers: {}", near.join(", ")));
    }
    let mut remedy = String::from("add a row with its price to the price list");
    if let Some(made_from) = made_from {
        remedy.push_str(&format!("; it could be made from {made_from}"));
    }
    warning("not-priced", found, "an offer for every part that is needed", remedy)
}

/// An offer names an item and is not used.
pub(super) fn passed_over(item: &str, why: Passed) -> Finding {
    match why {
        Passed::Expired(until) => warning(
            "offer-expired",
            format!("this offer for {item} was good until {until} and is not used"),
            "an offer that is good on the day of the job",
            "ask the supplier for a new price and type it with its days, or correct the date of the job",
        ),
        Passed::NotYet(from) => warning(
            "offer-not-yet-good",
            format!("this offer for {item} is good only from {from} on and is not used"),
            "an offer that is good on the day of the job",
            "type the price that is good on that day, or correct the date of the job",
        ),
        Passed::Unit(misfit) => warning(
            "offer-unit",
            format!("this offer for {item} {misfit}; it is not used"),
            "tube by the coil, stick or foot with its length; other parts each, by the bag or by the hundred",
            "correct `sold as`, `pack` and `per` of the row: a coil of 100 ft has `pack` 100 ft",
        ),
    }
}

/// One supplier has two offers for the same thing in the same pack.
pub(super) fn offer_twice(item: &str, first: &Spot, one_price: bool) -> Finding {
    let price = if one_price { " already" } else { " at another price; the lower price is used" };
    warning(
        "offer-twice",
        format!("this offer for {item} stands in {first}{price}"),
        "one row for one pack of one supplier",
        "drop the older row, or give the two their days or codes",
    )
}

/// Locked choices speak of what no alternative needs; those that a trial took over from another estimate are passed over.
pub(in crate::estimate) fn held_for_nothing(job: &Job, met: &BTreeSet<usize>) -> Option<Notice> {
    let written =
        |held: &Held| job.sources.get(held.row.source).is_none_or(|source| &*source.file != HELD_ELSEWHERE);
    let rows =
        job.held.iter().enumerate().filter(|(at, held)| !held.in_error && !met.contains(at) && written(held));
    let rows: Vec<RowAt> = rows.map(|(_, held)| held.row).collect();
    let this = match rows.len() {
        0 => return None,
        1 => "this row holds".to_owned(),
        many => format!("this row and {} more hold", many - 1),
    };
    let finding = warning(
        "held-for-nothing",
        format!("nothing that the job needs is what {this} a choice for"),
        "a part, size and system of the order",
        "correct the row or drop it; what was bought by it already may go back, or on the shelf: list it in `on hand`",
    );
    Some(finding.at(rows.iter().take(6).map(|row| job.sources.cell(*row, "part"))))
}

/// An order does not reach the minimum of its supplier.
pub(super) fn least_order_not_reached(supplier: &str, order: &SupplierOrder) -> Finding {
    let (goods, least) = (cents(order.goods), cents(order.minimum_order));
    warning(
        "least-order-not-reached",
        format!("the order at {supplier} comes to {goods} and does not reach its minimum order of {least}"),
        "an order that the supplier takes",
        "buy more there, leave the supplier's price list out, or correct `minimum order`",
    )
}

/// More is bought than is needed, so that an order reaches the minimum of its supplier.
pub(super) fn order_filled_up(supplier: &str, order: &SupplierOrder) -> Finding {
    let (needed, added) = (cents(order.goods - order.topped_up), cents(order.topped_up));
    remark(
        "order-filled-up",
        format!(
            "goods for {needed} are needed at {supplier}: whole packs or lengths for {added} more are bought, so that its \
             order reaches its minimum of {}",
            cents(order.minimum_order)
        ),
        "an order that the supplier takes",
        "look at what is left over on the order; or correct `minimum order`",
    )
}

/// A fitting is made up from others; `of` says from what.
pub(super) fn built_from_others(item: &str, of: &str, made_up: &Substitute) -> Finding {
    let shelf = match made_up.from_shelf {
        0 => String::new(),
        served => format!(", beside {served} on hand"),
    };
    let (expected, remedy) = match made_up.why.is_sold {
        _ if made_up.why.is_held => {
            ("the choice that is held", "take its row out of the table `held` to choose again")
        }
        true => (
            "the fitting as it is sold, unless `substitutes | cheaper` lets it be made up for less",
            "say `substitutes | needed` to buy it as it is sold",
        ),
        false => (
            "an offer for the fitting itself",
            "add a row with the fitting's price, or say `substitutes | none` in the table job",
        ),
    };
    let screwed = match made_up.threads.is_empty() {
        true => "",
        false => "see that no male thread of metal goes into plastic, which it may split (common practice); ",
    };
    warning(
        "built-from-others",
        format!(
            "{} x {item}{shelf}: each is made up from {of}, with {}; {}",
            made_up.count,
            made_up.joints_in_words(),
            made_up.why.because()
        ),
        expected,
        format!("look whether there is room for it; {screwed}{remedy}"),
    )
}

/// The cut plan joins pieces with more (or fewer) couplings than the takeoff has.
pub(super) fn couplings_by_plan(item: &str, extra: i64, is_as_cut: bool, runs: &str) -> Finding {
    let couplings = match extra.unsigned_abs() {
        1 => "1 coupling".to_owned(),
        many => format!("{many} couplings"),
    };
    let runs = if runs.is_empty() { String::new() } else { format!(", in {runs}") };
    let expected = "lengths sold as the system's stock length says";
    let remedy = "look at the cut plan; the order counts these couplings and what their joints take";
    if extra > 0 {
        let found = format!(
            "{item} is sold in shorter lengths than its pieces: the cut plan joins them with {couplings} that the takeoff \
             does not have{runs}"
        );
        return warning("couplings-by-plan", found, expected, remedy);
    }
    let why = if is_as_cut { "is cut less than center to center, or sold" } else { "is sold" };
    let found =
        format!("{item} {why} in longer lengths: the cut plan spares {couplings} of the takeoff{runs}");
    remark("couplings-by-plan", found, expected, remedy)
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
    let finding = warning("nothing-priced", found, "an offer for every part that is needed", remedy);
    // The table that ought to be looked at, as a whole: the first price list with rows, else the run list, else the first.
    let mut rows = job.prices.offers.iter().map(|offer| offer.row).chain(job.runs.iter().map(|run| run.row));
    let source = rows.next().map(|row| row.source).or_else(|| job.sources.first_of_the_job());
    finding.at(source.map(|source| job.sources.row(RowAt { source, row: 0 })))
}

/// Of a list with many expired offers the first alone.
fn fewer_expired(mut notices: Vec<Notice>) -> Vec<Notice> {
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
    notices.retain_mut(|notice| {
        let Some(rows) = list(notice).and_then(|list| rows.get_mut(&list)) else { return true };
        // Once it is told of a list, none of its rows is left.
        let rows = std::mem::take(rows).len();
        if rows > 0 {
            let more = rows - 1;
            notice.found = format!("this offer and {more} more of this list have expired and are not used");
        }
        rows > 0
    });
    notices
}

findings! {
    /// A break is no cheaper than the price before it.
    pub(super) fn break_not_cheaper(item: &str) = warning("break-not-cheaper",
        "a break of this offer for {item} is no cheaper than the price before it and is passed over",
        "breaks with rising numbers and falling prices",
        "correct `breaks`, or leave that one out");

    /// Packs so odd beside each other that the search for the cheapest would not end.
    pub(super) fn packs_not_proven(item: &str) = remark("packs-not-proven",
        "the packs of {item} are too large and odd to try all ways; one kind of pack is bought",
        "packs that hold a few thousand at most",
        "look whether two kinds of pack together cost less");

    /// A locked offer cannot be bought for the item any more.
    pub(super) fn held_offer_unusable(item: &str) = warning("held-offer-unusable",
        "this offer is held for {item} and cannot be bought for it now; it is left out",
        "an offer that matches the part, is good on the day and has a fitting unit",
        "drop the row from the table `held`, or correct the offer");

    /// The pieces do not go into the locked coils or sticks any more; `more` is bought beside them.
    pub(super) fn held_lengths_too_few(item: &str, more: &str) = warning("held-lengths-too-few",
        "the pieces of {item} were not found to go into the coils and sticks that are held; bought beside them: {more}",
        "as many as the pieces ask for",
        "order what is missing and raise the number in the table `held`; list what you have in `on hand`; or drop its \
         rows so that the plan is made anew");
}
