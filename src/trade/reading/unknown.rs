//! Names that no row of another table has, each kind of name one function. Each takes the names that there are, and
//! tells the nearest of them.

use super::findings::{meaning_nearest, type_nearest};
use crate::ground::name::nearest;
use crate::ground::notice::{Finding, error, warning};
use crate::ground::size::fraction_of_day;

const A_PART: &str = "a part of the table parts, by any of its names";
const A_SYSTEM_OR_TUBE: &str = "a system of the table systems, a tube family or a fit";
const ITS_OWN_ROW: &str = "give it a row of its own there";
const LEAVE_IT: &str = "leave it if nothing of this job uses it";

fn not_known(noun: &str, found: &str) -> String {
    format!("the {noun} \"{found}\" is not known")
}

/// A pattern.
pub(crate) fn pattern<'a>(found: &str, names: impl Iterator<Item = &'a str>) -> Finding {
    let remedy = type_nearest(&nearest(found, names), ITS_OWN_ROW);
    error("unknown-pattern", not_known("pattern", found), "a pattern of the table patterns", remedy)
}

/// A part, in a table that decides the count.
pub(crate) fn part<'a>(found: &str, names: impl Iterator<Item = &'a str>) -> Finding {
    let near = nearest(found, names);
    let remedy = type_nearest(&near, ITS_OWN_ROW);
    meaning_nearest(error("unknown-part", not_known("part", found), A_PART, remedy), &near)
}

/// A part of a price list or of the stock: it counts nothing by itself.
pub(crate) fn sold_part<'a>(found: &str, names: impl Iterator<Item = &'a str>) -> Finding {
    let near = nearest(found, names);
    let remedy = type_nearest(&near, LEAVE_IT);
    meaning_nearest(warning("unknown-sold-part", not_known("part", found), A_PART, remedy), &near)
}

/// A system.
pub(crate) fn system<'a>(found: &str, names: impl Iterator<Item = &'a str>) -> Finding {
    let remedy = type_nearest(&nearest(found, names), ITS_OWN_ROW);
    error("unknown-system", not_known("system", found), "a system of the table systems", remedy)
}

/// A system or a tube family.
pub(crate) fn system_or_tube<'a>(found: &str, names: impl Iterator<Item = &'a str>) -> Finding {
    let remedy = type_nearest(&nearest(found, names), ITS_OWN_ROW);
    error("unknown-system", not_known("system", found), A_SYSTEM_OR_TUBE, remedy)
}

/// A system or a tube family of a price list.
pub(crate) fn sold_system<'a>(found: &str, names: impl Iterator<Item = &'a str>) -> Finding {
    let remedy = type_nearest(&nearest(found, names), LEAVE_IT);
    warning("unknown-sold-system", not_known("system", found), A_SYSTEM_OR_TUBE, remedy)
}

/// A size.
pub(crate) fn size<'a>(found: &str, names: impl Iterator<Item = &'a str>) -> Finding {
    let remedy = of_day(found).unwrap_or_else(|| type_nearest(&nearest(found, names), ITS_OWN_ROW));
    error("unknown-size", not_known("size", found), "a size of the table sizes", remedy)
}

/// A size of a price list, of the stock or of a held choice.
pub(crate) fn sold_size<'a>(found: &str, names: impl Iterator<Item = &'a str>) -> Finding {
    let remedy = of_day(found).unwrap_or_else(|| type_nearest(&nearest(found, names), LEAVE_IT));
    warning("unknown-sold-size", not_known("size", found), "a size of the table sizes", remedy)
}

/// What to do about a size that a spreadsheet made a day of.
fn of_day(found: &str) -> Option<String> {
    let fraction = fraction_of_day(found)?;
    Some(format!("type {fraction} where a spreadsheet made a day of it, and format the column as Text"))
}

/// A color of the same.
pub(crate) fn sold_color<'a>(found: &str, names: impl Iterator<Item = &'a str>) -> Finding {
    let near = nearest(found, names);
    let remedy = type_nearest(&near, "type red or blue, or leave it if nothing of this job uses it");
    let expected = "red or blue, or nothing where any color will do";
    meaning_nearest(warning("unknown-sold-color", not_known("color", found), expected, remedy), &near)
}

/// A column of the run list that a pattern asks.
pub(crate) fn column<'a>(found: &str, names: impl Iterator<Item = &'a str>) -> Finding {
    let remedy = type_nearest(&nearest(found, names), "add the column, or take the word out");
    error("unknown-column-asked", not_known("column", found), "a column of the run list", remedy)
}

/// A joint.
pub(crate) fn joint<'a>(found: &str, names: impl Iterator<Item = &'a str>) -> Finding {
    let near = nearest(found, names);
    let remedy = type_nearest(&near, ITS_OWN_ROW);
    let finding = error("unknown-joint", not_known("joint", found), "a joint of the table joints", remedy);
    meaning_nearest(finding, &near)
}

/// A variant of a part.
pub(crate) fn variant<'a>(found: &str, names: impl Iterator<Item = &'a str>) -> Finding {
    let near = nearest(found, names);
    let remedy = type_nearest(&near, "give the variant a row of its own in the table parts");
    let finding =
        error("unknown-variant", not_known("variant", found), "a variant that the part has", remedy);
    meaning_nearest(finding, &near)
}

/// A supplier, in the table of what suppliers charge.
pub(crate) fn supplier<'a>(found: &str, names: impl Iterator<Item = &'a str>) -> Finding {
    let near = nearest(found, names);
    let remedy = type_nearest(&near, "leave it if its price list is not used here");
    let expected = "a supplier of the price lists, as they name it";
    meaning_nearest(warning("unknown-supplier", not_known("supplier", found), expected, remedy), &near)
}
