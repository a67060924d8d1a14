//! `change-order.csv`: one row an item that changed, adds and deducts apart, then the sums. No workbook here.

use rust_decimal::Decimal;

use crate::estimate::revision::{Face, ItemChange, LaborChange, OfSide, Revision, WorkChange};
use crate::ground::money::{quantity, to_hundredths};
use crate::report::form::{Said, Table, Value};
use crate::report::mark_of;
use crate::trade::WorkPer;

/// A column: its heading, what it says, its cell of an item, its cell of any other row.
type Column = (&'static str, &'static str, fn(&ItemChange) -> Value, fn(&Row<'_>) -> Value);

/// The first column.
const KIND: Said =
    ("kind", "add, deduct, price, not priced, labor, a sum, a line of the bid, or a figure of the whole");

/// The last column.
const MARK: Said =
    ("estimate", "complete, or INCOMPLETE: something is left out or not priced on one of the two sides");

/// The columns between.
const COLUMNS: [Column; 15] = [
    (
        "part",
        "what it is; in other rows the work or the line of the bid",
        |item| (&item.named.part).into(),
        |row| row.part.into(),
    ),
    ("system", "the system it is for", |item| (&item.named.system).into(), |_| Value::Nothing),
    ("size", "its sizes", |item| Value::Size(item.named.size.clone()), |_| Value::Nothing),
    ("variant", "its variant and color", |item| (&item.named.variant).into(), |_| Value::Nothing),
    ("unit", "the unit it is counted in", |item| (&item.named.unit).into(), |row| row.unit.into()),
    (
        "need before",
        "what was installed; of labor hours",
        |item| of(&item.old, |side| side.need),
        |row| row.much(row.need[0]),
    ),
    (
        "need now",
        "what is installed now",
        |item| of(item.now(), |side| side.need),
        |row| row.much(row.need[1]),
    ),
    (
        "change",
        "how much more, or with a minus less",
        |item| Value::Quantity(item.more()),
        |row| row.much(row.change),
    ),
    (
        "bought before",
        "what was bought, whole packs",
        |item| of(&item.old, |side| side.buy),
        |_| Value::Nothing,
    ),
    ("bought now", "what is bought now", |item| of(item.now(), |side| side.buy), |_| Value::Nothing),
    (
        "cost before",
        "what it cost at the old prices",
        |item| cost(&item.old),
        |row| row.cost[0].map(Value::Cents).into(),
    ),
    (
        "cost now",
        "what it costs at the new prices",
        |item| cost(&item.new),
        |row| row.cost[1].map(Value::Cents).into(),
    ),
    (
        "by quantity",
        "what the change of quantity comes to, at the old prices",
        |item| Value::Cents(item.by_quantity),
        |row| row.by_quantity.map(Value::Cents).into(),
    ),
    (
        "by price",
        "what prices alone moved, at the new quantities",
        |item| Value::Cents(item.by_price),
        |row| row.by_price.map(Value::Cents).into(),
    ),
    (
        "remark",
        "what must be said beside it: covered by packs, may go back, not priced",
        |item| remark(item).into(),
        |row| row.remark.into(),
    ),
];

/// A quantity of a side; zero where the item is not there.
fn of(side: &Option<OfSide>, of: fn(&OfSide) -> Decimal) -> Value {
    Value::Quantity(side.as_ref().map_or(Decimal::ZERO, of))
}

/// What a side costs. What has no price on it is in no sum; the remark says so.
fn cost(side: &Option<OfSide>) -> Value {
    side.as_ref().map_or(Some(Decimal::ZERO), |side| side.cost).map(Value::Cents).into()
}

/// What a row can say; what it does not say is empty.
#[derive(Default)]
struct Row<'a> {
    kind: &'a str,
    part: &'a str,
    unit: &'a str,
    need: [Option<Decimal>; 2],
    change: Option<Decimal>,
    cost: [Option<Decimal>; 2],
    by_quantity: Option<Decimal>,
    by_price: Option<Decimal>,
    remark: &'a str,
}

impl Row<'_> {
    /// Hours are written as hours are everywhere, with two places.
    fn much(&self, number: Option<Decimal>) -> Value {
        number.map(if self.unit == "h" { Value::Cents } else { Value::Quantity }).into()
    }
}

/// A table that knows the mark of its rows.
struct Out {
    table: Table,
    mark: &'static str,
}

impl Out {
    fn row(&mut self, row: &Row<'_>) {
        self.put(row.kind, COLUMNS.map(|(.., cell)| cell(row)));
    }

    fn items<'i>(&mut self, kind: &str, items: impl IntoIterator<Item = &'i ItemChange>) {
        items.into_iter().for_each(|item| self.put(kind, COLUMNS.map(|(_, _, cell, _)| cell(item))));
    }

    fn put(&mut self, kind: &str, cells: [Value; 15]) {
        self.table.row([kind.into()].into_iter().chain(cells).chain([self.mark.into()]));
    }
}

/// What the columns of the file say.
pub(super) fn columns() -> Vec<Said> {
    [KIND].into_iter().chain(COLUMNS.map(|(heading, help, ..)| (heading, help))).chain([MARK]).collect()
}

/// The bytes of the file.
pub(super) fn write(revision: &Revision) -> Vec<u8> {
    let headings = columns().into_iter().map(|(heading, _)| heading);
    let mut out = Out { table: Table::new(headings), mark: mark_of(super::is_whole(revision)) };
    out.items("add", revision.adds());
    out.items("deduct", revision.deducts());
    let apart = |item: &&ItemChange| !item.is_add() && !item.is_deduct();
    out.items("price", revision.moved_by_price().into_iter().filter(apart));
    out.items("not priced", revision.not_priced().filter(apart));
    if let Some(labor) = &revision.labor {
        works(&mut out, labor);
    }
    sums(&mut out, revision);
    for line in revision.bid.iter().filter(|line| line.old != line.new) {
        let stated = |at: usize, sum: Decimal| line.stated[at].then_some(sum);
        out.row(&Row {
            kind: "bid",
            part: &line.line,
            cost: [stated(0, line.old), stated(1, line.new)],
            remark: not_stated(line.stated),
            ..Row::default()
        });
    }
    let (old, new) = (&revision.old, &revision.new);
    let mut figure = |name: &str, unit: &str, need: [Option<Decimal>; 2]| {
        let change = need[0].zip(need[1]).map(|(before, now)| now - before);
        let remark = not_stated(need.map(|one| one.is_some()));
        out.row(&Row { kind: name, unit, need, change, remark, ..Row::default() });
    };
    if old.joints != new.joints {
        figure("joints to make", "each", [old, new].map(|face| Some(Decimal::from(face.joints))));
    }
    if old.hours != new.hours {
        let hours = |face: &Face| face.hours.map(to_hundredths);
        figure("hours of labor", "h", [hours(old), hours(new)]);
    }
    out.row(&Row { kind: "prices", remark: &super::prices(revision), ..Row::default() });
    out.table.bytes()
}

/// Which side says nothing of a line.
fn not_stated(stated: [bool; 2]) -> &'static str {
    match stated {
        [true, true] => "",
        [false, true] => "not stated before",
        [true, false] => "not stated now",
        [false, false] => "not stated before and now",
    }
}

/// What quantities, prices and labor come to.
fn sums(out: &mut Out, revision: &Revision) {
    let totals = &revision.totals;
    let mut sum = |kind: &str, by_quantity: Option<Decimal>, by_price: Option<Decimal>, remark: &str| {
        out.row(&Row { kind, by_quantity, by_price, remark, ..Row::default() });
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
}

/// A row for each kind of work whose hours changed.
fn works(out: &mut Out, labor: &LaborChange) {
    for of in &labor.works {
        let hours = [of.old, of.new, of.new - of.old].map(to_hundredths);
        let [before, now, change] = hours.map(Some);
        let part = work(of);
        out.row(&Row {
            kind: "labor",
            part: &part,
            unit: "h",
            need: [before, now],
            change,
            ..Row::default()
        });
    }
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
        let many = quantity(pack.old - pack.new);
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
        WorkPer::Joint
        | WorkPer::Thread
        | WorkPer::Support
        | WorkPer::Run
        | WorkPer::Place
        | WorkPer::Job => of.work.clone(),
    }
}
