//! `change-order.csv`: one row an item that changed, adds and deducts apart, then the sums. No workbook here.

use rust_decimal::Decimal;

use crate::estimate::revision::{ItemChange, LaborChange, OfSide, Revision, WorkChange};
use crate::report::csv_out::{Table, cents, text};
use crate::report::wording::to_places;
use crate::trade::WorkPer;

const HEADINGS: [&str; 16] = [
    "kind",
    "part",
    "system",
    "size",
    "variant",
    "unit",
    "need before",
    "need now",
    "change",
    "bought before",
    "bought now",
    "cost before",
    "cost now",
    "by quantity",
    "by price",
    "remark",
];

/// The text of the file.
pub(super) fn write(revision: &Revision) -> String {
    let mut table = Table::new(&HEADINGS);
    for item in revision.adds() {
        table.row(cells("add", item));
    }
    for item in revision.deducts() {
        table.row(cells("deduct", item));
    }
    let apart = |item: &&ItemChange| !item.is_add() && !item.is_deduct();
    for item in revision.moved_by_price().into_iter().filter(apart) {
        table.row(cells("price", item));
    }
    for item in revision.not_priced().filter(apart) {
        table.row(cells("not priced", item));
    }
    if let Some(labor) = &revision.labor {
        works(&mut table, labor);
    }
    let totals = &revision.totals;
    let mut sum = |name: &str, quantity: Option<Decimal>, price: Option<Decimal>, remark: &str| {
        let mut row = vec![String::new(); HEADINGS.len()];
        name.clone_into(&mut row[0]);
        row[13] = quantity.map(cents).unwrap_or_default();
        row[14] = price.map(cents).unwrap_or_default();
        remark.clone_into(&mut row[15]);
        table.row(row);
    };
    sum("sum of adds", Some(totals.adds), None, "");
    sum("sum of deducts", Some(totals.deducts), None, "");
    sum("net", Some(totals.quantity()), None, "");
    sum("by prices alone", None, Some(totals.price), "");
    if !totals.unpriced.is_zero() {
        sum("price on one side alone", None, Some(totals.unpriced), "");
    }
    match &revision.labor {
        Some(labor) if labor.cost.is_some() => {
            sum("labor by hours", Some(labor.by_hours), None, "at the old wages, on the sum of the hours");
            if !labor.by_wages.is_zero() {
                sum("labor by wages alone", None, Some(labor.by_wages), "");
            }
            sum("net with labor", Some(totals.quantity() + labor.by_hours), None, "");
        }
        Some(_) | None => sum("labor", None, None, super::NO_LABOR),
    }
    for line in revision.bid.iter().filter(|line| line.old != line.new) {
        let mut row = vec![String::new(); HEADINGS.len()];
        row[0] = format!("bid: {}", line.line);
        let shown = |sum: Decimal, stated: bool| if stated { cents(sum) } else { "not stated".to_owned() };
        row[11] = shown(line.old, line.stated[0]);
        row[12] = shown(line.new, line.stated[1]);
        table.row(row);
    }
    let (old, new) = (&revision.old, &revision.new);
    let mut figure = |name: &str, before: Option<Decimal>, now: Option<Decimal>| {
        let shown = |number: Option<Decimal>| {
            number.map_or_else(|| "not stated".to_owned(), |number| to_places(number, 2))
        };
        let mut row = vec![String::new(); HEADINGS.len()];
        name.clone_into(&mut row[0]);
        (row[11], row[12]) = (shown(before), shown(now));
        table.row(row);
    };
    if old.joints != new.joints {
        figure("joints to make", Some(Decimal::from(old.joints)), Some(Decimal::from(new.joints)));
    }
    if old.hours != new.hours {
        figure("hours of labor", old.hours, new.hours);
    }
    if let Some(tried) = super::tried(revision) {
        let mut row = vec![String::new(); HEADINGS.len()];
        "prices".clone_into(&mut row[0]);
        row[15] = tried;
        table.row(row);
    }
    table.text()
}

/// A row for each kind of work whose hours changed.
fn works(table: &mut Table, labor: &LaborChange) {
    for of in &labor.works {
        let mut row = vec![String::new(); HEADINGS.len()];
        "labor".clone_into(&mut row[0]);
        row[1] = text(&work(of));
        "h".clone_into(&mut row[5]);
        (row[6], row[7], row[8]) =
            (to_places(of.old, 2), to_places(of.new, 2), to_places(of.new - of.old, 2));
        table.row(row);
    }
}

fn cells(kind: &str, item: &ItemChange) -> Vec<String> {
    let named = &item.named;
    let quantity = |side: &Option<OfSide>, of: fn(&OfSide) -> Decimal| {
        to_places(side.as_ref().map_or(Decimal::ZERO, of), 4)
    };
    let cost = |side: &Option<OfSide>| match side {
        Some(side) => side.cost.map_or_else(|| "not priced".to_owned(), cents),
        None => cents(Decimal::ZERO),
    };
    let now = if item.same_prices.is_some() { &item.same_prices } else { &item.new };
    vec![
        kind.to_owned(),
        text(&named.part),
        text(&named.system),
        text(&named.size),
        text(&named.variant),
        text(&named.unit),
        quantity(&item.old, |side| side.need),
        quantity(now, |side| side.need),
        to_places(item.more(), 4),
        quantity(&item.old, |side| side.buy),
        quantity(now, |side| side.buy),
        cost(&item.old),
        cost(&item.new),
        cents(item.by_quantity),
        cents(item.by_price),
        remark(item),
    ]
}

/// What must be said beside an item.
pub(super) fn remark(item: &ItemChange) -> String {
    let mut words = Vec::new();
    if item.at_new_prices {
        words.push("at the new price: the old prices do not name it".to_owned());
    }
    let unpriced = |side: &Option<OfSide>| side.as_ref().is_some_and(|side| side.cost.is_none());
    match (unpriced(&item.old), unpriced(&item.new)) {
        (true, true) => words.push("not priced before and now".to_owned()),
        (true, false) => words.push("not priced before".to_owned()),
        (false, true) => words.push("not priced now".to_owned()),
        (false, false) => {}
    }
    if item.is_covered() && !item.is_not_priced() && !item.at_new_prices {
        words.push(covered(item).to_owned());
    }
    for pack in item.packs().iter().filter(|pack| pack.new < pack.old) {
        let back = match pack.returnable {
            Some(true) => ", may go back unopened",
            Some(false) => ", does not go back",
            None => "",
        };
        let many = to_places(pack.old - pack.new, 4);
        words.push(format!("{many} fewer of {}{back}", pack.offer));
    }
    words.join("; ")
}

/// Why a change of quantity costs nothing.
pub(crate) fn covered(item: &ItemChange) -> &'static str {
    let bought = item.old.as_ref().is_some_and(|side| side.buy > Decimal::ZERO);
    match (item.more() > Decimal::ZERO, bought) {
        (true, true) => "covered by packs bought before",
        (true, false) => "covered by what is on hand",
        (false, _) => "no pack fewer is bought",
    }
}

/// How work is called: `joint, pex-clamp 1/2`, `length of tube 1/2 (pex-clamp)`.
pub(crate) fn work(of: &WorkChange) -> String {
    match of.per {
        WorkPer::Length => format!("length of {}", of.work),
        WorkPer::Part => format!("setting of {}", of.work),
        WorkPer::Joint | WorkPer::Thread | WorkPer::Support | WorkPer::Run | WorkPer::Place => {
            of.work.clone()
        }
    }
}
