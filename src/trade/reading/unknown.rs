//! Names that no row of another table has, each kind of name one function. Each takes the names that there are, and
//! tells the nearest of them.

use crate::ground::notice::{Finding, error, warning};
use crate::ground::size::{fraction_of_day, nearest_sizes, run_together};
use crate::trade::shape::{type_nearest, unknown_names};

unknown_names! {
    /// A pattern.
    pub(crate) fn pattern(found) = error("unknown-pattern",
        "the pattern \"{found}\" is not known",
        "a pattern of the table patterns",
        "give it a row of its own there");

    /// A part, in a table that decides the count.
    pub(crate) fn part(found) = error("unknown-part",
        "the part \"{found}\" is not known",
        "a part of the table parts, by any of its names",
        "give it a row of its own there") meant;

    /// A part of a price list or of the stock: it counts nothing by itself.
    pub(crate) fn sold_part(found) = warning("unknown-sold-part",
        "the part \"{found}\" is not known",
        "a part of the table parts, by any of its names",
        "leave it if nothing of this job uses it") meant;

    /// A system.
    pub(crate) fn system(found) = error("unknown-system",
        "the system \"{found}\" is not known",
        "a system of the table systems",
        "give it a row of its own there");

    /// A system or a tube family.
    pub(crate) fn system_or_tube(found) = error("unknown-system",
        "the system \"{found}\" is not known",
        "a system of the table systems, a tube family or a fit",
        "give it a row of its own there");

    /// A system or a tube family of a price list.
    pub(crate) fn sold_system(found) = warning("unknown-sold-system",
        "the system \"{found}\" is not known",
        "a system of the table systems, a tube family or a fit",
        "leave it if nothing of this job uses it");

    /// A color of a price list, of the stock or of a held choice.
    pub(crate) fn sold_color(found) = warning("unknown-sold-color",
        "the color \"{found}\" is not known",
        "red or blue, or nothing where any color will do",
        "type red or blue, or leave it if nothing of this job uses it") meant;

    /// A column of the run list that a pattern asks.
    pub(crate) fn column(found) = error("unknown-column-asked",
        "the column \"{found}\" is not known",
        "a column of the run list",
        "add the column, or take the word out");

    /// A joint.
    pub(crate) fn joint(found) = error("unknown-joint",
        "the joint \"{found}\" is not known",
        "a joint of the table joints",
        "give it a row of its own there") meant;

    /// A variant of a part.
    pub(crate) fn variant(found) = error("unknown-variant",
        "the variant \"{found}\" is not known",
        "a variant that the part has",
        "give the variant a row of its own in the table parts") meant;

    /// A supplier, in the table of what suppliers charge.
    pub(crate) fn supplier(found) = warning("unknown-supplier",
        "the supplier \"{found}\" is not known",
        "a supplier of the price lists, as they name it",
        "leave it if its price list is not used here") meant;
}

/// A size.
pub(crate) fn size<'a>(found: &str, names: impl Iterator<Item = &'a str>) -> Finding {
    let text = format!("the size \"{found}\" is not known");
    error(
        "unknown-size",
        text,
        "a size of the table sizes",
        type_size(found, names, "give it a row of its own there"),
    )
}

/// A size of a price list, of the stock or of a held choice.
pub(crate) fn sold_size<'a>(found: &str, names: impl Iterator<Item = &'a str>) -> Finding {
    let remedy = type_size(found, names, "leave it if nothing of this job uses it");
    warning(
        "unknown-sold-size",
        format!("the size \"{found}\" is not known"),
        "a size of the table sizes",
        remedy,
    )
}

/// What to do about a size that no table has.
fn type_size<'a>(found: &str, names: impl Iterator<Item = &'a str>, otherwise: &str) -> String {
    let names: Vec<&str> = names.collect();
    let parted = run_together(found).map(|size| {
        let typed = format!("type {size}, with a space or a hyphen before the fraction");
        if names.contains(&size.as_str()) { typed } else { format!("{typed}, or {otherwise}") }
    });
    let near = || type_nearest(&nearest_sizes(found, names.iter().copied()), otherwise);
    parted.or_else(|| of_day(found)).unwrap_or_else(near)
}

/// What to do about a size that a spreadsheet made a day of.
fn of_day(found: &str) -> Option<String> {
    let fraction = fraction_of_day(found)?;
    Some(format!("type {fraction} where a spreadsheet made a day of it, and format the column as Text"))
}
