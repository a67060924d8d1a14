//! The sheet Settings: allowances by class and markups, each a named cell that the order and the costs read; and the
//! terms of the job as read.

use rust_decimal::Decimal;
use rust_xlsxwriter::{Workbook, XlsxError};

use super::Book;
use super::look::{Kind, Tone};
use super::page::{Page, Paper, column};
use crate::trade::Class;

/// Whether a class has an allowance: devices have none.
pub(super) const fn has_allowance(class: Class) -> bool {
    match class {
        Class::Device => false,
        Class::Tube
        | Class::Fitting
        | Class::Ring
        | Class::Valve
        | Class::Manifold
        | Class::Support
        | Class::Consumable
        | Class::Cap
        | Class::Trim
        | Class::Tool => true,
    }
}

/// The allowance of a class, in points.
pub(super) fn allowance(book: &Book<'_>, class: Class) -> Decimal {
    book.words.job.terms.allowance(class).0
}

/// The name of its cell.
pub(super) fn allowance_name(class: Class) -> String {
    format!("allowance_{}", class.word())
}

/// The name of the cell of a markup or tax.
pub(super) fn markup_name(markup: &str) -> String {
    format!("{}_percent", markup.replace(' ', "_"))
}

/// Writes the sheet and names its cells.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Result<(), XlsxError> {
    let about = "Shaded cells may be changed here: the order, the summary and the comparison follow.";
    let columns = vec![
        column("setting", 34.0, Kind::Text),
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
    page.next();
    page.band("Markups and tax", 3, &book.look().band)?;
    let markups = book.words.estimate.alternatives.first().map_or(&[][..], |a| &a.cost.markups);
    for markup in markups {
        page.text(0, markup.name, Tone::Plain)?;
        page.number(1, markup.percent, Tone::Input)?;
        page.text(2, super::costs::taken_on(markup.name), Tone::Muted)?;
        book.name_cell(&markup_name(markup.name), "Settings", 1, page.row);
        page.next();
    }
    page.next();
    page.band("Terms of the job, as read (a change here changes nothing)", 3, &book.look().band)?;
    for (name, value) in terms(book) {
        page.text(0, name, Tone::Plain)?;
        page.text(1, "", Tone::Plain)?;
        page.text(2, &value, Tone::Plain)?;
        page.next();
    }
    Ok(())
}

const fn what_allowance_does(class: Class) -> &'static str {
    match class {
        Class::Tube => "for loose tube; a cut plan stands as it was made, whatever is typed here",
        Class::Fitting
        | Class::Ring
        | Class::Valve
        | Class::Device
        | Class::Manifold
        | Class::Support
        | Class::Consumable
        | Class::Cap
        | Class::Trim
        | Class::Tool => "added to the job's total of each part, rounded up once",
    }
}

fn terms(book: &Book<'_>) -> Vec<(&'static str, String)> {
    let terms = &book.words.job.terms;
    let words = &book.words;
    let mut list = vec![
        ("name", terms.name.to_string()),
        ("date", terms.date.map_or("none: validity of prices is not judged".to_owned(), |d| d.to_string())),
        ("currency", terms.currency.to_string()),
        ("water system", words.word(terms.water_system).to_owned()),
        ("drain system", words.word(terms.drain_system).to_owned()),
        ("compared with", words.list(&terms.compare_with)),
        ("lengths in", terms.units.abbreviation().to_owned()),
        ("tube bought by color", if terms.colors { "yes" } else { "no" }.to_owned()),
        (
            "static pressure, psi",
            terms.static_pressure.map(crate::report::wording::plain).unwrap_or_default(),
        ),
        ("code family", terms.code_family.to_string()),
    ];
    list.retain(|(_, value)| !value.is_empty());
    list
}
