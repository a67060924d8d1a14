//! `explain` of hours and money: which lines make a sum, each with the cell it comes from. It prints nothing and adds
//! nothing up: what a line comes to was decided before.

use rust_decimal::Decimal;

use super::Figure;
use crate::cli::told::Cell;
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
pub(super) fn told(words: &Wording<'_>, of: &Alternative, sum: Sum) -> Vec<Figure> {
    match sum {
        Sum::Cost(line) => material(words, of, line),
        Sum::Allowances => allowance_lines(words),
        Sum::Hours => hours(words, &of.labor.lines.iter().collect::<Vec<_>>()),
        Sum::Bid(line) => bid(words, of, line),
    }
}

/// A column of sums is ruled off above what it comes to.
fn together(sum: Decimal, what: &str) -> [Figure; 2] {
    [Figure::rule(), Figure::money(sum, what)]
}

/// Cells of the table job that say an item.
fn said(words: &Wording<'_>, item: &str) -> Vec<String> {
    cells(words, &words.job.settings.rows_of(item))
}

fn cells(words: &Wording<'_>, rows: &[RowAt]) -> Vec<String> {
    rows.iter().map(|row| words.job.sources.cell(*row, "value").to_string()).collect()
}

/// What is bought of one line of material.
fn material(words: &Wording<'_>, of: &Alternative, line: CostLine) -> Vec<Figure> {
    let mut told = Vec::new();
    for order in of.order.iter().filter(|order| CostLine::of(words.item(order.item).class) == line) {
        let name = words.item_name(order.item);
        for pick in &order.picks {
            let Some(offer) = words.offer(pick.offer) else { continue };
            let (packs, sold) = (quantity(pick.packs), words.sold_as(offer));
            let cell = words.job.sources.cell(offer.row, "price");
            let supplier = words.supplier(offer);
            let what = format!("{name}: {packs} x {sold}, {supplier}");
            told.push(Figure::money(pick.extended, what).at(cell));
        }
        if order.extended.is_none() {
            told.push(Figure::new(Cell::instead("not priced"), "", name));
        }
    }
    let place = CostLine::ALL.iter().position(|one| *one == line).unwrap_or(0);
    told.extend(together(of.cost.lines[place], &format!("{}: the sum of these lines", line.word())));
    told
}

/// Lines of labor, each with the row of hours that speaks of it.
pub(super) fn hours(words: &Wording<'_>, lines: &[&LaborLine]) -> Vec<Figure> {
    let job = words.job;
    let Some(table) = &job.labor else { return vec![Figure::words("the job has no table labor")] };
    let mut told: Vec<Figure> = lines.iter().map(|line| hours_of(words, line)).collect();
    let sum: Decimal = lines.iter().filter_map(|line| line.hours).sum();
    let what = "hours of one person; each line is rounded to 0.01 once";
    told.extend([Figure::rule(), Figure::new(Cell::cents(sum), "h", what)]);
    let crew = &job.settings.crew;
    if crew.productivity != Decimal::ONE_HUNDRED {
        let points = crew.productivity.normalize();
        let what = format!("productivity {points} % in all of them");
        told.push(Figure::words(what).said_in(said(words, "productivity")));
    }
    if table.is_empty() {
        told.push(Figure::words("the table labor has no rows"));
    }
    told
}

fn hours_of(words: &Wording<'_>, line: &LaborLine) -> Figure {
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
            Figure::new(Cell::cents(hours), "h", format!("{what}: {each}{harder}")).at(cell)
        }
        None => Figure::new(Cell::instead("no hours"), "", what),
    }
}

/// A line of the bid: the lines it is the sum of, or its points and what they are taken on.
fn bid(words: &Wording<'_>, of: &Alternative, line: BidLine) -> Vec<Figure> {
    let terms = &words.job.settings;
    let bid = &of.cost.bid;
    let amount = line.amount(terms, bid);
    let one = |line: BidLine| {
        let points = line.points(terms).map(|points| format!(", {} %", points.normalize()));
        let what =
            format!("{}{}: {}", line.name(terms), points.unwrap_or_default(), line.taken_on(terms, of));
        Figure::money(line.amount(terms, bid), what)
    };
    let all = BidLine::all(terms);
    let until = |last: BidLine| all.iter().position(|one| *one == last).unwrap_or(0);
    let sum_of = |lines: &[BidLine]| {
        let mut told: Vec<Figure> = lines.iter().map(|line| one(*line)).collect();
        told.extend(together(amount, &line.name(terms)));
        told
    };
    let share = |base: Decimal, of_what: &str, item: &str| {
        let points = line.points(terms).unwrap_or_default().normalize();
        let name = line.name(terms);
        let what = format!("{name}: {points} % of {}, {of_what}", cents(base));
        vec![Figure::money(amount, what).said_in(said(words, item))]
    };
    match line {
        BidLine::Material => {
            let lines = CostLine::ALL.iter().zip(of.cost.lines);
            let mut told: Vec<Figure> = lines.map(|(line, sum)| Figure::money(sum, line.word())).collect();
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
fn sum_cells(words: &Wording<'_>, item: &str) -> Option<Figure> {
    (!words.job.settings.rows_of(item).is_empty()).then(|| Figure::words(item).said_in(said(words, item)))
}

fn labor(words: &Wording<'_>, of: &Alternative) -> Vec<Figure> {
    let mut told = hours(words, &of.labor.lines.iter().collect::<Vec<_>>());
    let labor = &of.labor;
    match labor.rate {
        Some(rate) => {
            let rate = price(rate);
            told.push(Figure::words(format!("x {rate} an hour: the mean wages of the crew, burden and all")));
            told.extend(["crew", "rate", "burden"].into_iter().filter_map(|item| sum_cells(words, item)));
            told.push(Figure::money(labor.cost, "labor: the sum of the hours at that rate, to cents once"));
        }
        None => told.push(Figure::words("no wages are stated: labor is in no sum")),
    }
    told
}

fn tools(words: &Wording<'_>, of: &Alternative) -> Vec<Figure> {
    let Some(table) = &words.job.tools else { return vec![Figure::words("the job has no table tools")] };
    let mut told = Vec::new();
    for line in &of.tools.lines {
        let Some(row) = table.get(line.tool) else { continue };
        let cell = words.job.sources.cell(row.row, "price");
        let what = format!("{}, for {}", row.tool, words.system(line.system));
        let cost = line.cost.map_or_else(|| Cell::instead("not priced"), Cell::cents);
        told.push(Figure::new(cost, "", what).at(cell));
    }
    told.extend(together(of.tools.cost, "tools"));
    told
}

fn delivery(words: &Wording<'_>, of: &Alternative) -> Vec<Figure> {
    let job = words.job;
    let stated = Figure::money(job.settings.bid.delivery, "stated");
    let mut told = vec![stated.said_in(said(words, "delivery"))];
    for order in &of.buying.suppliers {
        let row = job.supplier(order.supplier);
        let mut one = Figure::money(order.fee, format!("{}, once", words.word(order.supplier)));
        one.cells.extend(row.map(|row| job.sources.cell(row.row, "delivery fee").to_string()));
        told.push(one);
    }
    told.extend(together(of.cost.bid.delivery, "delivery"));
    told
}

/// What the allowance of each class comes to in the chosen system, with its cells.
fn allowance_lines(words: &Wording<'_>) -> Vec<Figure> {
    let terms = &words.job.settings;
    let costs = &words.estimate.allowances;
    let of_class = |one: &AllowanceCost| {
        let class = one.class.word();
        let rows = ["allowance", "no allowance under"].map(|item| terms.rows_for(item, class)).concat();
        let what = format!("{class} at {} %: {}", one.percent.normalize(), allowances::comes_to(one));
        Figure::money(one.adds(), what).said_in(cells(words, &rows))
    };
    let mut told: Vec<Figure> = costs.iter().map(of_class).collect();
    told.extend(together(costs.iter().map(AllowanceCost::adds).sum(), "allowances, in material"));
    told
}

/// A sum that the job states, with its cells.
fn stated(words: &Wording<'_>, line: BidLine, amount: Decimal) -> Vec<Figure> {
    let terms = &words.job.settings;
    let rows = line.stated(terms).map(|(_, one)| terms.rows_for(one.is.item(), &one.name));
    vec![Figure::money(amount, line.name(terms)).said_in(cells(words, &rows.unwrap_or_default()))]
}

/// The tax class by class, not rounded, and what that comes to.
fn tax(words: &Wording<'_>, of: &Alternative) -> Vec<Figure> {
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
        told.push(Figure::words(format!("{rate} % of {}, {}", cents(base), what.word())));
    }
    told.extend(sum_cells(words, "sales tax"));
    told.extend(sum_cells(words, "tax exempt"));
    told.extend(together(of.cost.bid.tax, "sales tax: the sum of these, to cents once"));
    told
}
