//! Who stands on a paper: the lines of the firm, of the customer and of a supplier, as the job says them. What is not said
//! leaves no line.

use crate::trade::{Customer, Firm, Job};

/// The lines of a cell: they are parted by semicolons.
pub(in crate::report) fn lines(cell: &str) -> impl Iterator<Item = String> {
    cell.split(';').map(str::trim).filter(|line| !line.is_empty()).map(str::to_owned)
}

/// The same on one line.
pub(in crate::report) fn on_a_line(cell: &str) -> String {
    lines(cell).collect::<Vec<_>>().join(", ")
}

/// The lines of the firm.
pub(in crate::report) fn firm(firm: &Firm) -> Vec<String> {
    let licence = lines(&firm.licence).map(|number| format!("Licence {number}"));
    let tax = lines(&firm.tax_number).map(|number| format!("Tax number {number}"));
    let reached: Vec<String> = lines(&firm.phone).chain(lines(&firm.mail)).collect();
    let known: Vec<String> = licence.chain(tax).collect();
    let all = [on_a_line(&firm.name), on_a_line(&firm.address), reached.join(", "), known.join(", ")];
    all.into_iter().filter(|line| !line.is_empty()).collect()
}

/// The lines of the customer.
pub(in crate::report) fn customer(customer: &Customer) -> Vec<String> {
    let all = [&customer.name, &customer.address, &customer.contact].map(|cell| on_a_line(cell));
    all.into_iter().filter(|line| !line.is_empty()).collect()
}

/// The lines of a supplier, by its name.
pub(in crate::report) fn supplier(job: &Job, name: &str) -> Vec<String> {
    let mut all = vec![name.to_owned()];
    if let Some(row) = row_of(job, name) {
        all.extend([on_a_line(row.address.as_ref()), on_a_line(row.contact.as_ref())]);
        all.retain(|line| !line.is_empty());
    }
    all
}

/// The number under which a supplier knows the buyer.
pub(in crate::report) fn account(job: &Job, name: &str) -> String {
    row_of(job, name).map(|row| row.account.to_string()).unwrap_or_default()
}

/// The row of the table suppliers that speaks of one: the last that names it goes before those of shared tables.
fn row_of<'a>(job: &'a Job, name: &str) -> Option<&'a crate::trade::Supplier> {
    let word = job.lexicon.find(name)?;
    job.suppliers.iter().rev().find(|row| row.supplier == word)
}
