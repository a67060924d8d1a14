//! The sheet Settings: allowances by class and markups, each a named cell that the order and the costs read; and the
//! terms of the job as read.

use rust_decimal::Decimal;
use rust_xlsxwriter::Workbook;

use super::{Book, edits};
use crate::estimate::costing;
use crate::report::facts::stated_cell;
use crate::report::form::{Kind, Page, Paper, Tone, Written, column};
use crate::trade::{Class, ProfitAs, SumAs, Taxed};

/// Whether a class has an allowance: devices have none.
pub(super) const fn has_allowance(class: Class) -> bool {
    !matches!(class, Class::Device)
}

/// The allowance of a class, in percent.
pub(super) fn allowance(book: &Book<'_>, class: Class) -> Decimal {
    book.words.job.settings.allowance(class).0
}

/// The name of its cell.
pub(super) fn allowance_name(class: Class) -> String {
    format!("allowance_{}", class.word())
}

/// The formula of the allowance on so much of a part of a class, which stands in a cell.
pub(super) fn allowance_formula(book: &Book<'_>, class: Class, need: &str) -> String {
    let name = allowance_name(class);
    match book.words.job.settings.no_allowance_under(class).is_zero() {
        true => format!("={name}"),
        false => format!("=IF({need}<{},0,{name})", no_allowance_under_name(class)),
    }
}

fn no_allowance_under_name(class: Class) -> String {
    format!("no_allowance_under_{}", class.word())
}

/// The name of the cell of a sales tax rate.
pub(super) fn tax_name(of: Taxed) -> String {
    format!("tax_{}", of.word().replace(' ', "_"))
}

/// The name of the cell of a supplier's delivery fee, by the supplier's id.
pub(super) fn supplier_fee_name(id: usize) -> String {
    format!("supplier_fee_{id}")
}

/// Writes the sheet and names its cells.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let about = "Shaded cells may be changed here: the order, the summary and the comparison follow.";
    let columns = vec![
        column("setting", 46.0, Kind::Text),
        column("percent", 12.0, Kind::Percent),
        column("what it does", 60.0, Kind::Wrap),
    ];
    let mut page = Page::open(out, &book.binding, "Settings", "Settings", about, Paper::Portrait, columns)?;
    page.headings(0)?;
    page.band("Allowances by class", 3, &book.look().band)?;
    let classes: Vec<Class> = Class::ALL.into_iter().filter(|class| has_allowance(*class)).collect();
    for class in classes {
        page.text(0, &format!("{} allowance", class.word()), Tone::Plain)?;
        page.number(1, allowance(book, class), Tone::Input)?;
        page.text(2, what_allowance_does(class), Tone::Muted)?;
        book.name_cell(&allowance_name(class), "Settings", 1, page.row);
        page.next();
    }
    let under = &book.words.job.settings.no_allowance_under;
    for (class, least) in under.iter().filter(|(class, least)| has_allowance(*class) && !least.is_zero()) {
        let words = (&*format!("no {} allowance under", class.word()), "so much of a part in the whole job");
        setting(&mut page, book, &no_allowance_under_name(*class), words, (Kind::Percent, *least))?;
    }
    page.next();
    page.band("Small parts, markups and tax", 3, &book.look().band)?;
    percentages(&mut page, book)?;
    page.next();
    page.band("Sales tax by what it is taken on", 3, &book.look().band)?;
    taxes(&mut page, book)?;
    page.next();
    page.band("Delivery and fees (sums)", 3, &book.look().band)?;
    sums(&mut page, book)?;
    page.next();
    page.band("Settings of the job, as read (a change here changes nothing)", 3, &book.look().band)?;
    for (name, value) in terms(book) {
        page.named(name, Tone::Plain)?;
        page.text(2, &value, Tone::Plain)?;
        page.next();
    }
    page.print_to(page.row, 2)?;
    edits::close(page, book, "Settings")
}

/// One shaded cell with its name.
fn setting(
    page: &mut Page<'_>,
    book: &mut Book<'_>,
    name: &str,
    (words, does): (&str, &str),
    (kind, value): (Kind, Decimal),
) -> Written {
    page.text(0, words, Tone::Plain)?;
    page.number_as(1, kind, value, Tone::Input)?;
    page.text(2, does, Tone::Muted)?;
    book.name_cell(name, "Settings", 1, page.row);
    page.end_fitted(&[(2, does)])
}

/// The words of what a profit is.
const PROFIT_IS: [&str; 2] = ["markup", "margin"];

/// The column behind the sheet in which the choice is a number.
const CHOICE: u16 = 6;

fn percentages(page: &mut Page<'_>, book: &mut Book<'_>) -> Written {
    let terms = &book.words.job.settings;
    let profit =
        "percent of the cost where profit is a markup, of the price of the work where it is a margin";
    for (name, words, does, points) in [
        ("small_parts_percent", "small parts", "on material", terms.bid.small_parts),
        ("contingency_percent", "contingency", "on direct cost", terms.contingency),
        ("overhead_percent", "overhead", "on direct cost and contingency", terms.overhead),
        ("profit_percent", "profit", profit, terms.profit),
    ] {
        setting(page, book, name, (words, does), (Kind::Percent, points))?;
    }
    profit_is(page, book)?;
    let rest = "on all that has no rate of its own below";
    setting(page, book, "sales_tax_percent", ("sales tax", rest), (Kind::Percent, terms.sales_tax))
}

/// Whether profit is a markup or a margin: a word is chosen, and formulas ask for a number.
fn profit_is(page: &mut Page<'_>, book: &mut Book<'_>) -> Written {
    let [markup, margin] = PROFIT_IS;
    let is_margin = book.words.job.settings.bid.profit_as == ProfitAs::Margin;
    page.text(0, "profit is a", Tone::Plain)?;
    page.choice(1, &PROFIT_IS, if is_margin { margin } else { markup })?;
    page.text(2, "a markup on the cost, or a margin of the price: 20 of 100 is 25 on 80", Tone::Muted)?;
    let formula = format!("=IF({}=\"{margin}\",1,0)", page.here(1));
    page.formula_as(CHOICE, Kind::Whole, &formula, Decimal::from(u8::from(is_margin)), Tone::Muted)?;
    book.name_cell("profit_is_margin", "Settings", CHOICE, page.row);
    page.end()
}

/// The rates: one that is said by itself is a value, one that follows the general rate a formula.
fn taxes(page: &mut Page<'_>, book: &mut Book<'_>) -> Written {
    let terms = &book.words.job.settings;
    for of in Taxed::all() {
        let rate = terms.bid.tax_rate(of, terms.sales_tax);
        let said = terms.bid.tax_rates.iter().any(|(one, _)| *one == of) || terms.bid.untaxed.contains(&of);
        let own = said || !of.by_the_general_rate();
        page.text(0, &taxed_words(of), Tone::Plain)?;
        match own {
            true => page.number(1, rate, Tone::Input)?,
            false => page.formula(1, "=sales_tax_percent", rate, Tone::Input)?,
        }
        page.text(2, taxed_note(of), Tone::Muted)?;
        book.name_cell(&tax_name(of), "Settings", 1, page.row);
        page.next();
    }
    Ok(())
}

fn taxed_words(of: Taxed) -> String {
    if let Taxed::Class(class) = of {
        return format!("tax on {} parts", class.word());
    }
    format!("tax on {}", of.word())
}

const fn taxed_note(of: Taxed) -> &'static str {
    match of {
        Taxed::Class(_) => "on what is bought of the class; exempt parts are taxed at 0",
        Taxed::SmallParts => "on the small-parts allowance",
        Taxed::Labor => "not taxed unless the job says so",
        Taxed::Tools => "on tools and one-offs; not taxed unless the job says so",
        Taxed::Delivery => "not taxed unless the job says so",
    }
}

fn sums(page: &mut Page<'_>, book: &mut Book<'_>) -> Written {
    let job = book.words.job;
    let stated = ("delivery", "beside the fees of suppliers");
    setting(page, book, "delivery_stated", stated, (Kind::Money, job.settings.bid.delivery))?;
    for (id, supplier) in (1..).zip(book.suppliers.clone()) {
        let fee = job.lexicon.find(supplier).map(|word| costing::delivery_fee(job, word)).unwrap_or_default();
        let words = (&*format!("delivery fee of {supplier}"), "once, where the order buys from it");
        setting(page, book, &supplier_fee_name(id), words, (Kind::Money, fee))?;
    }
    for (place, stated) in job.settings.bid.sums.iter().enumerate() {
        let (what, does) = match stated.is {
            SumAs::LumpSumLabor => ("lump-sum labor", "a direct cost, whatever the hours; taxed as labor"),
            SumAs::MarkedUpFee => ("fee", "a direct cost, marked up"),
            SumAs::Fee => ("fee", "handed on after profit"),
        };
        let words = (&*format!("{what}: {}", stated.name), does);
        setting(page, book, &stated_cell(place), words, (Kind::Money, stated.sum))?;
    }
    Ok(())
}

const fn what_allowance_does(class: Class) -> &'static str {
    if matches!(class, Class::Tube) {
        "for loose tube; a cut plan stays as it was made, whatever is typed here"
    } else {
        "added to the job's total of each part, rounded up once"
    }
}

fn terms(book: &Book<'_>) -> Vec<(&'static str, String)> {
    let terms = &book.words.job.settings;
    let words = &book.words;
    let mut list = vec![
        ("name", terms.name.to_string()),
        ("date", terms.date.map_or("none: dates of prices are not checked".to_owned(), |d| d.to_string())),
        ("currency", terms.currency.to_string()),
        ("water system", words.word(terms.water_system).to_owned()),
        ("drain system", words.word(terms.drain_system).to_owned()),
        ("compared with", words.list(&terms.compare_with)),
        ("lengths in", terms.units.abbreviation().to_owned()),
        ("tube bought by color", if terms.colors { "yes" } else { "no" }.to_owned()),
        (
            "static pressure, psi",
            terms.static_pressure.map(crate::report::facts::wording::plain).unwrap_or_default(),
        ),
        ("code family", terms.code_family.to_string()),
    ];
    list.retain(|(_, value)| !value.is_empty());
    list
}
