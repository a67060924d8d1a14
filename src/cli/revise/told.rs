//! A revision on the terminal: adds, deducts, what prices moved, the runs and the bid, each in a few lines. It prints
//! nothing.

use rust_decimal::Decimal;

use crate::cli::narrow::{WIDTH, called, cut, wrapped};
use crate::cli::screen::{Paint, Screen};
use crate::estimate::revision::{ItemChange, OfferWhat, Revision, RunChange, RunWhat};
use crate::ground::money::{self, cents, quantity, signed};
use crate::report::revised::change_order::{from_to, moved_words};
use crate::report::revised::csv::{covered, work};
use crate::report::revised::{NO_LABOR, title, tried};

/// The most lines of a list: the files hold all of it.
const MOST: usize = 16;

/// The lines; `whole` where no file holds the rest.
pub(super) fn told(revision: &Revision, no_files: bool, screen: &Screen) -> Vec<String> {
    let mut lines = vec![screen.paint_result(Paint::Bold, &cut(&title(revision), WIDTH))];
    if let Some(tried) = tried(revision) {
        lines.extend(wrapped("  ", &tried).iter().map(|line| screen.paint_result(Paint::Yellow, line)));
    }
    if revision.is_empty() {
        lines.push("  nothing changed".to_owned());
        return lines;
    }
    let (old, new) = (&revision.old, &revision.new);
    for (when, face) in [("before", old), ("now", new)] {
        if !face.complete {
            lines.push(screen.paint_result(Paint::Red, &format!("  the estimate {when} is incomplete")));
        }
    }
    let day = |revision: &Revision| match (&revision.old.date, &revision.new.date) {
        (Some(old), Some(new)) if old != new => format!("; prices of {old}, now of {new}"),
        _ => String::new(),
    };
    let prices = format!("quantities at the old prices; what prices alone moved is apart{}", day(revision));
    lines.extend(wrapped("  ", &prices));
    let list = List { screen, no_files, currency: &revision.currency };
    let totals = &revision.totals;
    if revision.adds().next().is_some() || revision.deducts().next().is_some() {
        let adds: Vec<&ItemChange> = revision.adds().collect();
        let deducts: Vec<&ItemChange> = revision.deducts().collect();
        lines.extend(list.items("adds", &adds, "sum of adds", totals.adds));
        lines.extend(list.items("deducts", &deducts, "sum of deducts", totals.deducts));
        lines.push(list.sum("net of adds and deducts", totals.quantity()));
    }
    lines.extend(list.labor(revision));
    lines.extend(list.prices(revision));
    lines.extend(list.not_priced(revision));
    lines.extend(list.offers(revision));
    lines.extend(list.runs(&revision.runs));
    if !revision.terms.is_empty() {
        lines.push(list.head("terms of the job"));
        let term = |one: &crate::estimate::revision::Field| {
            format!("  {}: {}", one.heading, from_to(&one.old, &one.new))
        };
        lines.extend(revision.terms.iter().map(term));
    }
    lines.extend(list.bid(revision));
    lines
}

struct List<'a> {
    screen: &'a Screen,
    no_files: bool,
    currency: &'a str,
}

impl List<'_> {
    fn head(&self, words: &str) -> String {
        self.screen.paint_result(Paint::Bold, words)
    }

    fn sum(&self, name: &str, sum: Decimal) -> String {
        format!("  {:>12}  {name}, {}", signed(sum, cents), self.currency)
    }

    /// That there is more than is shown.
    fn more(&self, all: usize) -> Option<String> {
        let more = all.checked_sub(MOST).filter(|more| *more > 0)?;
        let where_else = if self.no_files { "; -o DIR writes all of them" } else { "" };
        Some(format!("                and {more} more{where_else}"))
    }

    /// A list under its head: its first lines, and how many more there are.
    fn lines<T>(&self, head: &str, all: &[T], line: impl Fn(&T) -> String) -> Vec<String> {
        let mut lines = vec![self.head(head)];
        lines.extend(all.iter().take(MOST).map(|one| cut(&line(one), WIDTH)));
        lines.extend(self.more(all.len()));
        lines
    }

    fn items(&self, head: &str, items: &[&ItemChange], name: &str, sum: Decimal) -> Vec<String> {
        let mut lines = self.lines(head, items, |item| {
            let amount = match item.is_not_priced() {
                true => "not priced".to_owned(),
                false => signed(item.by_quantity, cents),
            };
            let quantity = format!("{} {}", signed(item.more(), quantity), item.named.unit);
            let why = match item.is_covered() && !item.is_not_priced() {
                true => format!(": {}", covered(item)),
                false => String::new(),
            };
            format!("  {amount:>12}  {quantity:>12}  {}{why}", called(&item.named))
        });
        lines.push(self.sum(name, sum));
        lines
    }

    /// The hours that the change moves, and what they cost at the old wages.
    fn labor(&self, revision: &Revision) -> Vec<String> {
        let Some(labor) = &revision.labor else { return vec![format!("  {}", NO_LABOR)] };
        if labor.works.is_empty() && labor.by_wages.is_zero() {
            return Vec::new();
        }
        let mut lines = self.lines("labor, in hours of one person", &labor.works, |of| {
            format!("  {:>12}  {:>10} h  {}", "", signed(of.new - of.old, cents), work(of))
        });
        let [old, new] = labor.hours;
        lines.push(format!("  {:>12}  {:>10} h  hours moved", "", signed(new - old, cents)));
        match labor.cost {
            Some(_) => {
                lines.push(self.sum("labor moved by hours, at the old wages", labor.by_hours));
                if !labor.by_wages.is_zero() {
                    lines.push(self.sum("labor moved by wages alone", labor.by_wages));
                }
                let net = revision.totals.quantity() + labor.by_hours;
                lines.push(self.sum("net of adds and deducts with labor", net));
            }
            None => lines.push(format!("  {}", NO_LABOR)),
        }
        lines
    }

    fn prices(&self, revision: &Revision) -> Vec<String> {
        let moved = revision.moved_by_price();
        if moved.is_empty() {
            return Vec::new();
        }
        let mut lines = self.lines("moved by prices alone", &moved, |item| {
            let new = item.new.as_ref().and_then(|side| side.cost).unwrap_or_default();
            let points = points(new - item.by_price, new);
            format!("  {:>12}  {points:>12}  {}", signed(item.by_price, cents), called(&item.named))
        });
        lines.push(self.sum("moved by prices alone", revision.totals.price));
        lines
    }

    fn not_priced(&self, revision: &Revision) -> Vec<String> {
        let items: Vec<&ItemChange> = revision.not_priced().collect();
        if items.is_empty() {
            return Vec::new();
        }
        let mut lines = self.lines("not priced, and in no sum", &items, |item| {
            let unpriced = |side: &Option<crate::estimate::revision::OfSide>| {
                side.as_ref().is_some_and(|side| side.cost.is_none())
            };
            let when = match (unpriced(&item.old), unpriced(&item.new)) {
                (true, true) => "before, now",
                (true, false) => "before",
                (false, _) => "now",
            };
            format!("  {when:>12}  {:>12}  {}", "", called(&item.named))
        });
        if !revision.totals.unpriced.is_zero() {
            lines.push(self.sum("with a price on one side alone", revision.totals.unpriced));
        }
        lines
    }

    /// How many offers moved, ran out, came and went.
    fn offers(&self, revision: &Revision) -> Vec<String> {
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
        let told: Vec<String> =
            counts.iter().filter(|(n, _)| *n > 0).map(|(n, word)| format!("{n} {word}")).collect();
        if told.is_empty() {
            return Vec::new();
        }
        let mut lines = vec![self.head("offers of the price lists")];
        lines.push(format!("  {}", told.join(", ")));
        // What was bought and cannot be any more is what to act on.
        let lost = revision.offers.iter().filter(|offer| {
            offer.bought
                && matches!(offer.what, OfferWhat::Gone | OfferWhat::Expired(_) | OfferWhat::NotYet(_))
        });
        for offer in lost.take(MOST) {
            let line =
                format!("  {}: {}, {}, {}", offer.what.word(), offer.called, offer.sold_as, offer.supplier);
            lines.push(cut(&line, WIDTH));
        }
        lines
    }

    fn runs(&self, runs: &[RunChange]) -> Vec<String> {
        if runs.is_empty() {
            return Vec::new();
        }
        let mut lines = vec![self.head("runs")];
        for run in runs.iter().take(MOST) {
            let cells = run.fields.iter().map(|field| match run.what {
                RunWhat::Added => format!("{} {}", field.heading, field.new),
                RunWhat::Dropped => format!("{} {}", field.heading, field.old),
                RunWhat::Changed | RunWhat::Touched => {
                    format!("{} {}", field.heading, from_to(&field.old, &field.new))
                }
            });
            let cells = match run.what {
                RunWhat::Touched => moved_words(&run.moved),
                RunWhat::Added | RunWhat::Dropped => cells.take(5).collect::<Vec<_>>().join(", "),
                RunWhat::Changed => cells.collect::<Vec<_>>().join(", "),
            };
            let place = if run.is_place { "place " } else { "" };
            lines.extend(wrapped(&format!("  {place}{} {}: ", run.name, run.what.word()), &cells));
        }
        lines.extend(self.more(runs.len()));
        lines
    }

    fn bid(&self, revision: &Revision) -> Vec<String> {
        let head = self.head("bid") + &" ".repeat(21);
        let mut lines = vec![format!("{head:24} {:>12} {:>12} {:>12}", "before", "now", "difference")];
        for line in revision.bid.iter().filter(|line| line.is_sum || line.old != line.new) {
            let name = cut(&line.line, 22);
            let shown = |sum: Decimal, stated: bool| match stated {
                true => cents(sum),
                false => "not stated".to_owned(),
            };
            let (old, new) = (shown(line.old, line.stated[0]), shown(line.new, line.stated[1]));
            // What one side does not state is not zero, and is no difference.
            let more = match line.stated {
                [true, true] => signed(line.new - line.old, cents),
                [_, _] => String::new(),
            };
            lines.push(before_and_now(&name, &old, &new, &more));
        }
        for sentence in revision.unlike() {
            lines.extend(
                wrapped("  ", &sentence).iter().map(|line| self.screen.paint_result(Paint::Red, line)),
            );
        }
        if let (Some(old), Some(new)) = (revision.old.hours, revision.new.hours) {
            lines.push(before_and_now("hours of labor", &cents(old), &cents(new), &signed(new - old, cents)));
        }
        if (revision.old.hours.is_some() || revision.new.hours.is_some())
            && !(revision.old.all_hours && revision.new.all_hours)
        {
            lines.push("  some works have no hours: see the labor of each estimate".to_owned());
        }
        let (old, new) = (revision.old.joints, revision.new.joints);
        if old != new {
            let more = format!("{:+}", new - old);
            lines.push(before_and_now("joints to make", &old.to_string(), &new.to_string(), &more));
        }
        lines
    }
}

fn before_and_now(name: &str, old: &str, new: &str, more: &str) -> String {
    format!("  {name:22} {old:>12} {new:>12} {more:>12}").trim_end().to_owned()
}

/// Points of the old sum.
fn points(old: Decimal, new: Decimal) -> String {
    let points = (new - old).checked_mul(Decimal::ONE_HUNDRED).and_then(|more| more.checked_div(old));
    points.map_or_else(String::new, |points| format!("{} %", signed(points, money::points)))
}
