//! `explain` of hours and money: which lines make a sum, each with the cell it comes from. It prints nothing and adds
//! nothing up: what a line comes to was decided before.

use rust_decimal::Decimal;

use crate::estimate::AllowanceCost;
use crate::estimate::alternative::Alternative;
use crate::estimate::labor::LaborLine;
use crate::estimate::order::CostLine;
use crate::ground::RowAt;
use crate::ground::money::{cents, price, quantity};
use crate::ground::name::fold;
use crate::report::facts::{BidLine, Wording, allowances};
use crate::trade::{Class, Taxed, WorkPer};

/// A sum that may be asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sum {
    /// A line of material: tube, fittings...
    Cost(CostLine),
    /// A line of the bid.
    Bid(BidLine),
    /// The hours of labor.
    Hours,
    /// What allowances come to in money.
    Allowances,
}

/// The sums of a job and what they are called.
pub(super) fn all(words: &Wording<'_>) -> Vec<(String, Sum)> {
    let terms = &words.job.settings;
    let material = CostLine::ALL.into_iter().map(|line| (line.word().to_owned(), Sum::Cost(line)));
    let bid = BidLine::all(terms).into_iter().map(|line| (line.name(terms), Sum::Bid(line)));
    let rest = [("hours", Sum::Hours), ("allowances", Sum::Allowances)];
    material.chain(bid).chain(rest.map(|(name, sum)| (name.to_owned(), sum))).collect()
}

/// The sum that some words ask for: `overhead`, `cost of tube`, `fee: permit`, `permit`; `supports` for supports, plates,
/// insulation; `allowance` for allowances.
pub(super) fn asked_for(words: &Wording<'_>, text: &str) -> Option<Sum> {
    let wanted = fold(text);
    let wanted = wanted.strip_prefix("cost of ").unwrap_or(&wanted);
    let is_it = |name: &str| {
        let name = fold(name);
        let first = name.split(',').next();
        let stated = name.split_once(": ").map(|(_, of)| of);
        name == wanted
            || name.strip_suffix('s') == Some(wanted)
            || stated == Some(wanted)
            || first == Some(wanted)
    };
    all(words).into_iter().find(|(name, _)| is_it(name)).map(|(_, sum)| sum)
}

/// The kinds of work that some words ask for: `joint`, `joint, pex-clamp 1/2`, `hours of tube 3/4`.
pub(super) fn work_asked_for<'a>(words: &Wording<'_>, of: &'a Alternative, text: &str) -> Vec<&'a LaborLine> {
    let wanted = fold(text);
    let wanted = wanted.strip_prefix("hours of ").unwrap_or(&wanted);
    let is_it = |line: &&LaborLine| {
        let name = fold(&words.task(&line.task));
        let begins = name.strip_prefix(wanted).is_some_and(|rest| rest.starts_with([',', ':', ' ']));
        name == wanted || begins || line.per.word() == wanted
    };
    of.labor.lines.iter().filter(is_it).collect()
}

/// What a sum is called at the head of its block.
pub(super) fn name(words: &Wording<'_>, sum: Sum) -> String {
    match sum {
        Sum::Cost(line) => format!("cost of {}", line.word()),
        Sum::Bid(line) => line.name(&words.job.settings),
        Sum::Hours => "hours of labor".to_owned(),
        Sum::Allowances => "what allowances come to".to_owned(),
    }
}

/// The lines that make a sum.
pub(super) fn told(words: &Wording<'_>, of: &Alternative, sum: Sum) -> Vec<String> {
    match sum {
        Sum::Cost(line) => material(words, of, line),
        Sum::Allowances => allowance_lines(words),
        Sum::Hours => hours(words, &of.labor.lines.iter().collect::<Vec<_>>()),
        Sum::Bid(line) => bid(words, of, line),
    }
}

fn money(sum: Decimal, what: &str) -> String {
    beside(&cents(sum), what)
}

/// What is said behind the column of sums.
fn beside(sum: &str, what: &str) -> String {
    format!("  {sum:>12}  {what}")
}

/// A column of sums is ruled off above what it comes to.
fn together(sum: Decimal, what: &str) -> [String; 2] {
    [format!("  {:>12}", "------------"), money(sum, what)]
}

/// Cells of the table job that say an item, in brackets.
fn said(words: &Wording<'_>, item: &str) -> String {
    bracketed(words, &words.job.settings.rows_of(item))
}

fn bracketed(words: &Wording<'_>, rows: &[RowAt]) -> String {
    let cell = |row: &RowAt| words.job.sources.cell(*row, "value").to_string();
    let cells: Vec<String> = rows.iter().map(cell).collect();
    if cells.is_empty() { "  [not in the job]".to_owned() } else { format!("  [{}]", cells.join(", ")) }
}

/// What is bought of one line of material.
fn material(words: &Wording<'_>, of: &Alternative, line: CostLine) -> Vec<String> {
    let mut told = Vec::new();
    for order in of.order.iter().filter(|order| CostLine::of(words.item(order.item).class) == line) {
        let name = words.item_name(order.item);
        for pick in &order.picks {
            let Some(offer) = words.offer(pick.offer) else { continue };
            let (packs, sold) = (quantity(pick.packs), words.sold_as(offer));
            let cell = words.job.sources.cell(offer.row, "price");
            let supplier = words.supplier(offer);
            told.push(money(pick.extended, &format!("{name}: {packs} x {sold}, {supplier}  [{cell}]")));
        }
        if order.extended.is_none() {
            told.push(beside("not priced", &name));
        }
    }
    let place = CostLine::ALL.iter().position(|one| *one == line).unwrap_or(0);
    told.extend(together(of.cost.lines[place], &format!("{}: the sum of these lines", line.word())));
    told
}

/// Lines of labor, each with the row of hours that speaks of it.
pub(super) fn hours(words: &Wording<'_>, lines: &[&LaborLine]) -> Vec<String> {
    let job = words.job;
    let Some(table) = &job.labor else { return vec!["  the job has no table labor".to_owned()] };
    let mut told: Vec<String> = lines.iter().map(|line| hours_of(words, line)).collect();
    let sum: Decimal = lines.iter().filter_map(|line| line.hours).sum();
    told.push(format!("  {:>12}", "------------"));
    told.push(format!("  {:>10} h  hours of one person; each line is rounded to 0.01 once", cents(sum)));
    let crew = &job.settings.crew;
    if crew.productivity != Decimal::ONE_HUNDRED {
        let points = crew.productivity.normalize();
        let where_said = said(words, "productivity");
        told.push(beside("", &format!("productivity {points} % in all of them{where_said}")));
    }
    if table.is_empty() {
        told.push("  the table labor has no rows".to_owned());
    }
    told
}

fn hours_of(words: &Wording<'_>, line: &LaborLine) -> String {
    let job = words.job;
    let unit = if line.per == WorkPer::Length { words.length_unit().abbreviation() } else { "x" };
    let area = match (line.by_plan, words.word(line.area)) {
        (true, _) => ", by the cut plan".to_owned(),
        (false, "") => String::new(),
        (false, area) => format!(", {area}"),
    };
    let what =
        format!("{} {unit} {}, {}{area}", quantity(line.quantity), words.task(&line.task), line.phase.word());
    let row = line.rule.and_then(|rule| job.labor.as_ref()?.get(rule));
    match row.zip(line.hours) {
        Some((row, hours)) => {
            let cell = job.sources.cell(row.row, "hours");
            let each = match row.for_so_many == Decimal::ONE {
                true => format!("{} h each", row.hours.normalize()),
                false => format!("{} h for {}", row.hours.normalize(), row.for_so_many.normalize()),
            };
            let harder = match line.difficulty.is_zero() {
                true => String::new(),
                false => format!(", {} % harder there", line.difficulty.normalize()),
            };
            format!("  {:>10} h  {what}: {each}{harder}  [{cell}]", cents(hours))
        }
        None => beside("no hours", &what),
    }
}

/// A line of the bid: the lines it is the sum of, or its points and what they are taken on.
fn bid(words: &Wording<'_>, of: &Alternative, line: BidLine) -> Vec<String> {
    let terms = &words.job.settings;
    let bid = &of.cost.bid;
    let amount = line.amount(terms, bid);
    let one = |line: BidLine| {
        let points = line.points(terms).map(|points| format!(", {} %", points.normalize()));
        money(
            line.amount(terms, bid),
            &format!("{}{}: {}", line.name(terms), points.unwrap_or_default(), line.taken_on(terms, of)),
        )
    };
    let all = BidLine::all(terms);
    let until = |last: BidLine| all.iter().position(|one| *one == last).unwrap_or(0);
    let sum_of = |lines: &[BidLine]| {
        let mut told: Vec<String> = lines.iter().map(|line| one(*line)).collect();
        told.extend(together(amount, &line.name(terms)));
        told
    };
    let share = |base: Decimal, of_what: &str, item: &str| {
        let points = line.points(terms).unwrap_or_default().normalize();
        let name = line.name(terms);
        vec![money(amount, &format!("{name}: {points} % of {}, {of_what}{}", cents(base), said(words, item)))]
    };
    match line {
        BidLine::Material => {
            let lines = CostLine::ALL.iter().zip(of.cost.lines);
            let mut told: Vec<String> = lines.map(|(line, sum)| money(sum, line.word())).collect();
            told.extend(together(amount, "material"));
            told
        }
        BidLine::Labor => labor(words, of),
        BidLine::Tools => tools(words, of),
        BidLine::SmallParts => share(bid.spent.material, "material", "small parts"),
        BidLine::Delivery => delivery(words, of),
        BidLine::LumpSumLabor(_) | BidLine::MarkedUpFee(_) | BidLine::Fee(_) => stated(words, line, amount),
        BidLine::Direct => sum_of(&all[..until(BidLine::Direct)]),
        BidLine::Contingency => share(bid.direct, "direct cost", "contingency"),
        BidLine::Overhead => share(bid.direct + bid.contingency, "direct cost and contingency", "overhead"),
        BidLine::Profit => {
            let mut told = share(bid.cost(), line.taken_on(terms, of), "profit");
            told.extend(sum_cells(words, "profit as"));
            told
        }
        BidLine::Price => sum_of(&all[until(BidLine::Direct)..until(BidLine::Price)]),
        BidLine::Tax => tax(words, of),
        BidLine::Total => sum_of(&all[until(BidLine::Price)..until(BidLine::Total)]),
    }
}

/// That an item of the job has a say, where it stands.
fn sum_cells(words: &Wording<'_>, item: &str) -> Option<String> {
    (!words.job.settings.rows_of(item).is_empty())
        .then(|| format!("  {:>12}  {item}{}", "", said(words, item)))
}

fn labor(words: &Wording<'_>, of: &Alternative) -> Vec<String> {
    let mut told = hours(words, &of.labor.lines.iter().collect::<Vec<_>>());
    let labor = &of.labor;
    match labor.rate {
        Some(rate) => {
            let rate = price(rate);
            told.push(beside("", &format!("x {rate} an hour: the mean wages of the crew, burden and all")));
            told.extend(["crew", "rate", "burden"].into_iter().filter_map(|item| sum_cells(words, item)));
            told.push(money(labor.cost, "labor: the sum of the hours at that rate, to cents once"));
        }
        None => told.push(beside("", "no wages are stated: labor is in no sum")),
    }
    told
}

fn tools(words: &Wording<'_>, of: &Alternative) -> Vec<String> {
    let Some(table) = &words.job.tools else { return vec!["  the job has no table tools".to_owned()] };
    let mut told = Vec::new();
    for line in &of.tools.lines {
        let Some(row) = table.get(line.tool) else { continue };
        let cell = words.job.sources.cell(row.row, "price");
        let what = format!("{}, for {}  [{cell}]", row.tool, words.system(line.system));
        told.push(match line.cost {
            Some(cost) => money(cost, &what),
            None => beside("not priced", &what),
        });
    }
    told.extend(together(of.tools.cost, "tools"));
    told
}

fn delivery(words: &Wording<'_>, of: &Alternative) -> Vec<String> {
    let job = words.job;
    let mut told = vec![money(job.settings.bid.delivery, &format!("stated{}", said(words, "delivery")))];
    for order in &of.buying.suppliers {
        let row = job.supplier(order.supplier);
        let cell = row.map(|row| format!("  [{}]", job.sources.cell(row.row, "delivery fee")));
        let what = format!("{}, once{}", words.word(order.supplier), cell.unwrap_or_default());
        told.push(money(order.fee, &what));
    }
    told.extend(together(of.cost.bid.delivery, "delivery"));
    told
}

/// What the allowance of each class comes to in the chosen system, with its cells.
fn allowance_lines(words: &Wording<'_>) -> Vec<String> {
    let terms = &words.job.settings;
    let costs = &words.estimate.allowances;
    let mut told: Vec<String> = costs
        .iter()
        .map(|one| {
            let class = one.class.word();
            let rows =
                [terms.rows_for("allowance", class), terms.rows_for("no allowance under", class)].concat();
            let (percent, more) = (one.percent.normalize(), allowances::comes_to(one));
            let what = format!("{class} at {percent} %: {more}{}", bracketed(words, &rows));
            money(one.adds(), &what)
        })
        .collect();
    told.extend(together(costs.iter().map(AllowanceCost::adds).sum(), "allowances, in material"));
    told
}

/// A sum that the job states, with its cells.
fn stated(words: &Wording<'_>, line: BidLine, amount: Decimal) -> Vec<String> {
    let terms = &words.job.settings;
    let rows = line.stated(terms).map(|(_, one)| terms.rows_for(one.is.item(), &one.name));
    vec![money(amount, &format!("{}{}", line.name(terms), bracketed(words, &rows.unwrap_or_default())))]
}

/// The tax class by class, not rounded, and what that comes to.
fn tax(words: &Wording<'_>, of: &Alternative) -> Vec<String> {
    let (terms, spent) = (&words.job.settings, &of.cost.bid.spent);
    let material = Class::ALL.into_iter().zip(spent.taxable).map(|(class, sum)| (Taxed::Class(class), sum));
    let rest = [
        (Taxed::SmallParts, of.cost.bid.small_parts),
        (Taxed::Labor, spent.labor + of.cost.bid.lump_sum_labor),
        (Taxed::Tools, spent.tools),
        (Taxed::Delivery, of.cost.bid.delivery),
    ];
    let mut told = Vec::new();
    for (what, base) in material.chain(rest).filter(|(_, base)| !base.is_zero()) {
        let rate = terms.bid.tax_rate(what, terms.sales_tax).normalize();
        told.push(beside("", &format!("{rate} % of {}, {}", cents(base), what.word())));
    }
    told.extend(sum_cells(words, "sales tax"));
    told.extend(sum_cells(words, "tax exempt"));
    told.extend(together(of.cost.bid.tax, "sales tax: the sum of these, to cents once"));
    told
}
