//! What was really used against what was needed and bought, line by line and by class, and the allowance that would
//! have covered it beside the one that was used. What nobody wrote down has no number. It reads no file.

use std::collections::BTreeMap;

use rust_decimal::{Decimal, RoundingStrategy};

use super::Side;
use super::named::{Key, Named};
use crate::estimate::OrderLine;
use crate::ground::money::round_half_away;
use crate::ground::name::fold;
use crate::ground::notice::{Finding, error, findings, in_order, warning};
use crate::ground::{Notice, RowAt, Spot};
use crate::trade::used::Filled;
use crate::trade::{Class, TubeAllowance, Used};

/// One line of the order and what was used of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LineVariance {
    /// The number of the line, as the workbook writes it.
    pub line: u32,
    /// The item.
    pub named: Named,
    /// What is installed by the estimate.
    pub need: Decimal,
    /// What was bought, and what the shelf gave.
    pub bought: Decimal,
    /// The allowance that was used, in points.
    pub allowance: Decimal,
    /// What was used; nothing where nobody wrote it down.
    pub used: Option<Decimal>,
    /// What somebody wrote beside it.
    pub note: String,
}

impl LineVariance {
    /// Used against need, where both are known.
    pub fn against_need(&self) -> Option<Decimal> {
        self.used.map(|used| used - self.need)
    }

    /// Used against what was bought.
    pub fn against_bought(&self) -> Option<Decimal> {
        self.used.map(|used| used - self.bought)
    }

    /// Used against need in points of the need, to one place.
    pub fn points(&self) -> Option<Decimal> {
        let more = self.against_need()?.checked_mul(Decimal::ONE_HUNDRED)?;
        more.checked_div(self.need).map(|points| round_half_away(points, 1).normalize())
    }

    /// The allowance that would have covered it: points of the need, up to the next tenth; zero where none was wanted.
    pub fn covering(&self) -> Option<Decimal> {
        covering(self.need, self.used?)
    }
}

/// Lines of one class and unit that are filled in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClassVariance {
    /// The class.
    pub class: Class,
    /// The unit its sums are in.
    pub unit: String,
    /// How many lines it has.
    pub lines: usize,
    /// How many of them are filled in: the sums are over these.
    pub filled: usize,
    /// What they need.
    pub need: Decimal,
    /// What was bought for them.
    pub bought: Decimal,
    /// What was used of them.
    pub used: Decimal,
    /// The allowance the job says, in points; nothing for tube that a cut plan is made for.
    pub allowance: Option<Decimal>,
    /// The allowance that would have covered all of them together, in points.
    pub covering: Option<Decimal>,
    /// The allowance that would have covered each of them by itself.
    pub covering_each: Option<Decimal>,
}

/// A filled workbook against its estimate.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Variance {
    /// The name of the job.
    pub job: String,
    /// The chosen system.
    pub system: String,
    /// All lines of the order, in its order.
    pub lines: Vec<LineVariance>,
    /// Classes with a filled line, in the order of classes.
    pub classes: Vec<ClassVariance>,
    /// What is wrong or doubtful in the workbook.
    pub notices: Vec<Notice>,
}

/// The lines of the sheet `Used`: one for each line of the order of the chosen alternative, numbered from 1.
pub fn lines(side: Side<'_>) -> Vec<LineVariance> {
    let order = side.chosen().map_or(&[][..], |chosen| &chosen.order);
    let unit = side.job.settings.units;
    let line = |(line, of): (u32, &OrderLine)| LineVariance {
        line,
        named: Named::of(side.job, side.estimate.items.get(of.item), unit),
        need: of.need.normalize(),
        bought: (of.picks.iter().map(|pick| pick.buy).sum::<Decimal>() + of.on_hand).normalize(),
        allowance: of.allowance,
        used: None,
        note: String::new(),
    };
    (1..).zip(order).map(line).collect()
}

/// Holds a filled workbook against the estimate of its job.
pub fn variance(side: Side<'_>, filled: &Filled) -> Variance {
    let mut lines = lines(side);
    let job = side.job.settings.name.to_string();
    let system = side.chosen().map_or("", |chosen| side.job.lexicon.text(chosen.name));
    let mut desk = Desk::of(&lines, filled);
    let compared = desk.same_job(&job);
    if compared {
        desk.take(&mut lines);
    }
    let (classes, system) = (classes(side, &lines), system.to_owned());
    let notices = in_order(filled.notices.iter().cloned().chain(desk.notices).collect());
    // Of another job nothing is shown, not even its needs.
    let lines = if compared { lines } else { Vec::new() };
    Variance { job, system, lines, classes, notices }
}

/// The lines of an estimate by their names, and the rows of the workbook that are matched to them.
struct Desk<'a> {
    filled: &'a Filled,
    /// By row of the workbook: the line it is.
    of_row: Vec<Option<usize>>,
    /// Rows that are a line of the estimate and say the same need.
    alike: usize,
    names: Vec<String>,
    notices: Vec<Notice>,
}

impl<'a> Desk<'a> {
    fn of(lines: &[LineVariance], filled: &'a Filled) -> Self {
        let mut by_key: BTreeMap<Key, usize> = BTreeMap::new();
        for (at, line) in lines.iter().enumerate() {
            by_key.entry(line.named.key()).or_insert(at);
        }
        let of_row = filled.rows.iter().map(|row| {
            let tube = |at: &usize| lines[*at].named.class == Class::Tube;
            let by_text = by_key.get(&key(row, &fold(&row.unit))).copied();
            // A length may be written in another unit than the job's: the words before it are enough.
            let by_text = by_text.or_else(|| by_key.get(&key(row, "")).copied().filter(tube));
            let numbered = row.line.and_then(|line| usize::try_from(line).ok()?.checked_sub(1));
            let same = |at: &usize| {
                lines
                    .get(*at)
                    .is_some_and(|line| by_text.is_some_and(|by| lines[by].named.key() == line.named.key()))
            };
            numbered.filter(same).or(by_text)
        });
        let of_row: Vec<Option<usize>> = of_row.collect();
        let same_need =
            |row: &Used, at: usize| row.need.is_none_or(|need| need_moved(need, &lines[at]).is_none());
        let pairs = filled.rows.iter().zip(&of_row);
        let alike = pairs.filter(|(row, at)| at.is_some_and(|at| same_need(row, at))).count();
        let names = lines.iter().map(|line| called(&line.named.called(), &line.named.system)).collect();
        Self { filled, of_row, alike, names, notices: Vec::new() }
    }

    /// Whether the workbook may be held against this job: it says so, or most of its lines are the job's with their needs.
    fn same_job(&mut self, job: &str) -> bool {
        let rows = &self.filled.rows;
        // A row that somebody added by hand says nothing of its job.
        let other = rows.iter().find(|row| !row.job.is_empty() && fold(&row.job) != fold(job));
        let matched = self.alike;
        if let Some(row) = other {
            let finding = other_job(&row.job, job, matched, rows.len());
            let holds = !finding.is_error();
            self.notices.push(finding.at([self.filled.sources.cell(row.row, "job")]));
            return holds;
        }
        true
    }

    /// Takes what was used over to the lines.
    fn take(&mut self, lines: &mut [LineVariance]) {
        let mut first: BTreeMap<usize, RowAt> = BTreeMap::new();
        let mut any = false;
        for (row, of_row) in self.filled.rows.iter().zip(self.of_row.clone()) {
            let Some(at) = of_row else {
                self.unknown(row);
                continue;
            };
            let line = &mut lines[at];
            any |= row.used.is_some();
            let moved = row.need.filter(|_| row.used.is_some() && fold(&row.unit) == fold(&line.named.unit));
            if let Some((then, now)) = moved.and_then(|then| need_moved(then, line)) {
                let finding = need_has_moved(&self.names[at], &then, &now);
                self.notices.push(finding.at([self.filled.sources.cell(row.row, "need")]));
            }
            if let (Some(before), Some(_)) = (first.get(&at), row.used) {
                let first = self.filled.sources.cell(*before, "used");
                let finding = line_twice(&self.names[at], &first);
                self.notices.push(finding.at([self.filled.sources.cell(row.row, "used"), first]));
                continue;
            }
            if row.used.is_some() {
                first.insert(at, row.row);
                line.used = row.used.map(|used| used.normalize());
            }
            if !row.note.is_empty() {
                line.note = row.note.to_string();
            }
        }
        if !any
            && !self.filled.rows.is_empty()
            && !self.notices.iter().chain(&self.filled.notices).any(Notice::is_error)
        {
            let spots = self.filled.rows.first().map(|row| self.filled.sources.cell(row.row, "used"));
            self.notices.push(nothing_filled().at(spots));
        }
    }

    /// A filled row that is no line of the estimate.
    fn unknown(&mut self, row: &Used) {
        if row.used.is_none() {
            return;
        }
        let mut name = row.part.to_string();
        if !row.sizes.is_empty() {
            name.push_str(&format!(" {}", row.sizes.join(" x ")));
        }
        if !row.variant.is_empty() {
            name.push_str(&format!(", {}", row.variant));
        }
        let name = if name.trim().is_empty() { "such part".to_owned() } else { called(&name, &row.system) };
        let numbered = row.line.and_then(|line| usize::try_from(line).ok()?.checked_sub(1));
        let of_number = numbered.and_then(|at| self.names.get(at)).cloned();
        let spots = [self.filled.sources.cell(row.row, "part"), self.filled.sources.cell(row.row, "used")];
        self.notices.push(unknown_line(&name, of_number).at(spots));
    }
}

/// The workbook was written for another job; how many of its lines this estimate has.
fn other_job(found: &str, job: &str, matched: usize, lines: usize) -> Finding {
    let named = |name: &str| match name {
        "" => "a job without a name".to_owned(),
        name => format!("the job \"{name}\""),
    };
    let found = format!(
        "the workbook was written for {}, and this is {}; {matched} of its {lines} lines are those of this estimate",
        named(found),
        named(job)
    );
    let expected = "the workbook of this job, in the system that is chosen";
    let remedy = "name the job that the workbook was written for";
    match matched * 2 >= lines {
        true => warning("used-of-another-name", found, expected, remedy),
        false => error("used-of-another-job", format!("{found}; nothing is compared"), expected, remedy),
    }
}

/// A filled line that the estimate has not; with what the line of its number is now.
fn unknown_line(called: &str, of_number: Option<String>) -> Finding {
    let now = of_number.map(|now| format!("; the line of this number is {now}")).unwrap_or_default();
    warning(
        "used-unknown-line",
        format!("the estimate has no {called}{now}"),
        "part, size, system and variant as the workbook wrote them",
        "put back what the line said, or leave `used` empty; what was bought besides belongs in a note",
    )
}

/// A need as the workbook says it and as the line has it, where they differ.
fn need_moved(then: Decimal, line: &LineVariance) -> Option<(String, String)> {
    let [then, now] = [then, line.need].map(|need| round_half_away(need, 4).normalize());
    (then != now).then(|| (then.to_string(), now.to_string()))
}

fn called(name: &str, system: &str) -> String {
    if system.is_empty() { name.to_owned() } else { format!("{name} ({system})") }
}

fn key(row: &Used, unit: &str) -> Key {
    let size = row.sizes.join(" x ");
    (fold(&row.part), fold(&size), fold(&row.system), fold(&row.variant), unit.to_owned())
}

/// Points of a need, up to the next tenth, that reach what was used.
fn covering(need: Decimal, used: Decimal) -> Option<Decimal> {
    if used <= need {
        return Some(Decimal::ZERO);
    }
    let points = (used - need).checked_mul(Decimal::ONE_HUNDRED)?.checked_div(need)?;
    let points = round_half_away(points, 6);
    Some(points.round_dp_with_strategy(1, RoundingStrategy::AwayFromZero).normalize())
}

/// Sums by class and unit over the lines that are filled in.
fn classes(side: Side<'_>, lines: &[LineVariance]) -> Vec<ClassVariance> {
    let mut classes: BTreeMap<(Class, &str), ClassVariance> = BTreeMap::new();
    for line in lines {
        let Named { class, unit, .. } = &line.named;
        let of_class = classes.entry((*class, unit)).or_insert_with(|| ClassVariance {
            class: *class,
            unit: unit.clone(),
            lines: 0,
            filled: 0,
            need: Decimal::ZERO,
            bought: Decimal::ZERO,
            used: Decimal::ZERO,
            allowance: allowance(side, *class),
            covering: None,
            covering_each: Some(Decimal::ZERO),
        });
        of_class.lines += 1;
        let Some(used) = line.used else { continue };
        of_class.filled += 1;
        of_class.need += line.need;
        of_class.bought += line.bought;
        of_class.used += used;
        of_class.covering_each = of_class.covering_each.zip(line.covering()).map(|(most, one)| most.max(one));
    }
    let filled = classes.into_values().filter(|one| one.filled > 0);
    filled.map(|one| ClassVariance { covering: covering(one.need, one.used), ..one }).collect()
}

/// The allowance of a class; nothing for tube whose cut plan replaces it.
fn allowance(side: Side<'_>, class: Class) -> Option<Decimal> {
    let planned = class == Class::Tube && side.job.settings.tube_allowance == TubeAllowance::Plan;
    (!planned).then(|| side.job.settings.added(class))
}

findings! {
    /// No line of the workbook is filled in.
    fn nothing_filled() = warning("used-nothing-filled",
        "no line says how much was used",
        "numbers under the heading used",
        "write down what was used, in the unit of each line; leave empty what nobody counted");

    /// An item on two lines that are filled; the first stands there.
    fn line_twice(called: &str, first: &Spot) = warning("used-line-twice",
        "{called} is filled in {first} already; this line is not taken",
        "one line for each item",
        "add the two up on one line and leave the other empty");

    /// The estimate needs another quantity than when the workbook was written.
    fn need_has_moved(called: &str, then: &str, now: &str) = warning("used-need-moved",
        "the workbook was written when {called} needed {then}; the estimate needs {now} now",
        "the job as it was built",
        "compare with the job as it was when the workbook was written, or read the variance with that in mind");
}
