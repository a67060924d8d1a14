//! A revision as it is told: adds, deducts, what prices moved, the runs and the bid, each in a few lines; programs have all of
//! it. It prints nothing.

use rust_decimal::Decimal;

use super::called;
use crate::cli::told::{Cell, Fact, Lies, Paint, Table, Told, Words};
use crate::estimate::revision::{ItemChange, OfSide, OfferWhat, Revision, RunChange, RunWhat};
use crate::ground::money::{cents, quantity, signed};
use crate::report::revised::change_order::{from_to, moved_words};
use crate::report::revised::csv::{covered, work};
use crate::report::revised::{NO_LABOR, title, tried};

/// The most lines of a list: the files hold all of it.
const MOST: usize = 16;

/// What is told of a revision; `no_files` where no file holds the rest.
pub(super) fn told(revision: &Revision, no_files: bool) -> Told {
    let mut told = Told::default();
    told.words("title", Words::new("", title(revision)).painted(Paint::Bold));
    told.value("currency", &*revision.currency);
    if let Some(tried) = tried(revision) {
        told.words("tried", Words::new("  ", tried).painted(Paint::Yellow));
    }
    told.value("changed", !revision.is_empty());
    if revision.is_empty() {
        told.say("  ", "nothing changed");
        return told;
    }
    for (when, key, face) in [("before", "old", &revision.old), ("now", "new", &revision.new)] {
        if !face.complete {
            told.words("", Words::new("  ", format!("the estimate {when} is incomplete")).grave());
        }
        let mut side = Told::default();
        side.value("complete", face.complete);
        side.value("date", face.date.as_ref().map(ToString::to_string));
        side.value("hours", face.hours.map(cents));
        told.group(key, side);
    }
    let day = match (&revision.old.date, &revision.new.date) {
        (Some(old), Some(new)) if old != new => format!("; prices of {old}, now of {new}"),
        _ => String::new(),
    };
    told.say("  ", format!("quantities at the old prices; what prices alone moved is apart{day}"));
    let mut list = List { told, no_files, currency: &revision.currency };
    let totals = &revision.totals;
    if revision.adds().next().is_some() || revision.deducts().next().is_some() {
        let (adds, deducts): (Vec<_>, Vec<_>) = (revision.adds().collect(), revision.deducts().collect());
        list.items("adds", &adds);
        list.sum("sum_of_adds", "sum of adds", totals.adds);
        list.items("deducts", &deducts);
        list.sum("sum_of_deducts", "sum of deducts", totals.deducts);
        list.sum("net", "net of adds and deducts", totals.quantity());
    }
    list.labor(revision);
    list.prices(revision);
    list.not_priced(revision);
    list.offers(revision);
    list.runs(&revision.runs);
    list.terms(revision);
    list.bid(revision);
    list.told
}

/// The width of the column of sums.
const SUMS: usize = 12;

struct List<'a> {
    told: Told,
    no_files: bool,
    currency: &'a str,
}

impl List<'_> {
    fn sum(&mut self, key: &'static str, name: &str, sum: Decimal) {
        let label = format!("  {:>SUMS$}  ", signed(sum, cents));
        self.told.say(label, format!("{name}, {}", self.currency));
        self.told.value(key, cents(sum));
    }

    /// A list under its head: people see its first lines, and how many more there are.
    fn list(
        &mut self,
        key: &'static str,
        head: &str,
        facts: &[(&'static str, &str)],
        things: Vec<Vec<Cell>>,
    ) {
        self.told.head(head);
        let elsewhere = if self.no_files { "; -o DIR writes all of them" } else { "" };
        let lies = Lies::Down { headed: false, most: Some((MOST, elsewhere.to_owned())) };
        let facts = facts.iter().map(|(key, head)| Fact::new(key, *head)).collect();
        self.told.table(key, Table { facts, things, lies });
    }

    fn items(&mut self, name: &'static str, items: &[&ItemChange]) {
        let of = |item: &&ItemChange| {
            let amount = match item.is_not_priced() {
                true => Cell::instead("not priced"),
                false => Cell::more(item.by_quantity, cents),
            };
            let more = Cell::more(item.more(), quantity).with(&format!(" {}", item.named.unit));
            let why = match item.is_covered() && !item.is_not_priced() {
                true => Cell::text(covered(item)),
                false => Cell::nothing(),
            };
            let before = if why.shown.is_empty() { "" } else { ": " };
            let shown = Cell::text(format!("{}{before}{}", called(&item.named), why.shown));
            let [unit, part, system] =
                [&item.named.unit, &item.named.called(), &item.named.system].map(Cell::text);
            vec![amount, more, unit, part, system, why, shown]
        };
        let facts = [
            ("amount", "amount"),
            ("quantity", "quantity"),
            ("unit", ""),
            ("part", ""),
            ("system", ""),
            ("why", ""),
            ("", "part"),
        ];
        self.list(name, name, &facts, items.iter().map(of).collect());
    }

    /// The hours that the change moves, and what they cost at the old wages.
    fn labor(&mut self, revision: &Revision) {
        let Some(labor) = &revision.labor else { return self.told.say("  ", NO_LABOR) };
        if labor.works.is_empty() && labor.by_wages.is_zero() {
            return;
        }
        let works = labor.works.iter();
        let works = works.map(|of| vec![Cell::more(of.new - of.old, cents).with(" h"), Cell::text(work(of))]);
        let facts = [("hours", "hours"), ("work", "work")];
        self.list("labor", "labor, in hours of one person", &facts, works.collect());
        let [old, new] = labor.hours;
        self.told.say(format!("  {:>10} h  ", signed(new - old, cents)), "hours moved");
        self.told.value("hours", cents(new - old));
        if labor.cost.is_none() {
            return self.told.say("  ", NO_LABOR);
        }
        self.sum("labor_by_hours", "labor moved by hours, at the old wages", labor.by_hours);
        if !labor.by_wages.is_zero() {
            self.sum("labor_by_wages", "labor moved by wages alone", labor.by_wages);
        }
        let net = revision.totals.quantity() + labor.by_hours;
        self.sum("net_with_labor", "net of adds and deducts with labor", net);
    }

    fn prices(&mut self, revision: &Revision) {
        let moved = revision.moved_by_price();
        if moved.is_empty() {
            return;
        }
        let of = |item: &&ItemChange| {
            let new = item.new.as_ref().and_then(|side| side.cost).unwrap_or_default();
            let points = Cell::more_points(points(new - item.by_price, new)).with(" %");
            vec![Cell::more(item.by_price, cents), points, Cell::text(called(&item.named))]
        };
        let facts = [("amount", "amount"), ("percent", "percent"), ("part", "part")];
        self.list("by_prices", "moved by prices alone", &facts, moved.iter().map(of).collect());
        self.sum("sum_by_prices", "moved by prices alone", revision.totals.price);
    }

    fn not_priced(&mut self, revision: &Revision) {
        let items: Vec<&ItemChange> = revision.not_priced().collect();
        if items.is_empty() {
            return;
        }
        let of = |item: &&ItemChange| {
            let unpriced = |side: &Option<OfSide>| side.as_ref().is_some_and(|side| side.cost.is_none());
            let when = match (unpriced(&item.old), unpriced(&item.new)) {
                (true, true) => "before, now",
                (true, false) => "before",
                (false, _) => "now",
            };
            vec![Cell::text(when), Cell::text(called(&item.named))]
        };
        let things = items.iter().map(of).collect();
        self.list("not_priced", "not priced, and in no sum", &[("when", "when"), ("part", "part")], things);
        if !revision.totals.unpriced.is_zero() {
            self.sum("unpriced", "with a price on one side alone", revision.totals.unpriced);
        }
    }

    /// How many offers moved, ran out, came and went; what was bought and cannot be any more is what to act on.
    fn offers(&mut self, revision: &Revision) {
        let count =
            |is: fn(&OfferWhat) -> bool| revision.offers.iter().filter(|offer| is(&offer.what)).count();
        let counts = [
            (count(|what| matches!(what, OfferWhat::Moved { .. })), "moved"),
            (count(|what| matches!(what, OfferWhat::Breaks)), "with other breaks"),
            (count(|what| matches!(what, OfferWhat::Expired(_))), "expired"),
            (count(|what| matches!(what, OfferWhat::NotYet(_))), "not yet good"),
            (count(|what| matches!(what, OfferWhat::New)), "new"),
            (count(|what| matches!(what, OfferWhat::Gone)), "gone"),
        ];
        let some: Vec<String> =
            counts.iter().filter(|(n, _)| *n > 0).map(|(n, word)| format!("{n} {word}")).collect();
        if some.is_empty() {
            return;
        }
        self.told.head("offers of the price lists");
        self.told.words("offers", Words::new("  ", some.join(", ")));
        let lost = revision.offers.iter().filter(|offer| {
            offer.bought
                && matches!(offer.what, OfferWhat::Gone | OfferWhat::Expired(_) | OfferWhat::NotYet(_))
        });
        let lost: Vec<String> = lost
            .map(|offer| {
                format!("{}: {}, {}, {}", offer.what.word(), offer.called, offer.sold_as, offer.supplier)
            })
            .collect();
        lost.iter().take(MOST).for_each(|line| self.told.say("  ", line));
        self.more(lost.len());
        self.told.value("offers_lost", lost);
    }

    /// That there is more than is shown.
    fn more(&mut self, all: usize) {
        if let Some(more) = all.checked_sub(MOST).filter(|more| *more > 0) {
            let elsewhere = if self.no_files { "; -o DIR writes all of them" } else { "" };
            self.told.say("  ", format!("and {more} more{elsewhere}"));
        }
    }

    fn runs(&mut self, runs: &[RunChange]) {
        if runs.is_empty() {
            return;
        }
        self.told.head("runs");
        let mut all = Vec::new();
        for (at, run) in runs.iter().enumerate() {
            let cells = run.fields.iter().map(|field| match run.what {
                RunWhat::Added => format!("{} {}", field.heading, field.new),
                RunWhat::Dropped => format!("{} {}", field.heading, field.old),
                RunWhat::Changed | RunWhat::Touched => {
                    format!("{} {}", field.heading, from_to(&field.old, &field.new))
                }
            });
            let cells: Vec<String> = cells.collect();
            let shown = match run.what {
                RunWhat::Touched => moved_words(&run.moved),
                RunWhat::Added | RunWhat::Dropped => {
                    cells.iter().take(5).cloned().collect::<Vec<_>>().join(", ")
                }
                RunWhat::Changed => cells.join(", "),
            };
            let place = if run.is_place { "place " } else { "" };
            let mut one = Told::default();
            if at < MOST {
                one.say(format!("  {place}{} {}: ", run.name, run.what.word()), shown);
            }
            one.value("name", &*run.name);
            one.value("place", run.is_place);
            one.value("what", run.what.word());
            one.value("cells", cells);
            one.value("moved", moved_words(&run.moved));
            all.push(one);
        }
        self.told.each("runs", all);
        self.more(runs.len());
    }

    fn terms(&mut self, revision: &Revision) {
        if revision.terms.is_empty() {
            return;
        }
        self.told.head("terms of the job");
        let terms = revision.terms.iter().map(|one| {
            let mut told = Told::default();
            told.say(format!("  {}: ", one.heading), from_to(&one.old, &one.new));
            told.value("item", &*one.heading);
            told.value("old", &*one.old);
            told.value("new", &*one.new);
            told
        });
        self.told.each("terms", terms.collect());
    }

    fn bid(&mut self, revision: &Revision) {
        let mut rows = Vec::new();
        for line in revision.bid.iter().filter(|line| line.is_sum || line.old != line.new) {
            // What one side does not state is not zero, and is no difference.
            let shown = |sum: Decimal, stated: bool| match stated {
                true => Cell::cents(sum),
                false => Cell::instead("not stated"),
            };
            let (old, new) = (shown(line.old, line.stated[0]), shown(line.new, line.stated[1]));
            let more = match line.stated {
                [true, true] => Cell::more(line.new - line.old, cents),
                [_, _] => Cell::nothing(),
            };
            rows.push((&*line.line, [old, new, more]));
        }
        if let (Some(old), Some(new)) = (revision.old.hours, revision.new.hours) {
            let more = Cell::more(new - old, cents);
            rows.push(("hours of labor", [Cell::cents(old), Cell::cents(new), more]));
        }
        let (old, new) = (revision.old.joints, revision.new.joints);
        if old != new {
            let more = Cell { shown: format!("{:+}", new - old), ..Cell::count(new - old) };
            rows.push(("joints to make", [Cell::count(old), Cell::count(new), more]));
        }
        // People read a column a side, programs an object a line.
        let mut table = Table::across("", ["before", "now", "difference"].map(str::to_owned));
        rows.iter().for_each(|(name, cells)| table.row("", name, cells.clone()));
        self.told.head("bid");
        self.told.table("", table);
        let facts = [("line", ""), ("old", ""), ("new", ""), ("difference", "")];
        let facts = facts.map(|(key, head)| Fact::new(key, head)).into();
        let things = rows.into_iter().map(|(name, [old, new, more])| vec![Cell::text(name), old, new, more]);
        let lies = Lies::Down { headed: false, most: None };
        self.told.table("bid", Table { facts, things: things.collect(), lies });
        for sentence in revision.unlike() {
            self.told.words("", Words::new("  ", sentence).grave());
        }
        if (revision.old.hours.is_some() || revision.new.hours.is_some())
            && !(revision.old.all_hours && revision.new.all_hours)
        {
            self.told.say("  ", "some works have no hours: see the labor of each estimate");
        }
    }
}

/// How much more than the old sum, in percent of it.
fn points(old: Decimal, new: Decimal) -> Option<Decimal> {
    (new - old).checked_mul(Decimal::ONE_HUNDRED)?.checked_div(old)
}
