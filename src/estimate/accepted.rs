//! Notices that the job accepts: the rows `accept` of the table `job`, applied at one point to all that is said of a job,
//! before anything shows it. Called by the walk; its verb is [`apply`].

use crate::ground::name::{fold, fold_heading, nearest};
use crate::ground::notice::{Finding, in_order, warning};
use crate::ground::{Notice, Spot};
use crate::trade::{Accepted, Job};

/// All that is said of a job, in order: what it accepts as a remark, and a warning for each row that accepts nothing.
pub(super) fn apply(job: &Job, said: Vec<Notice>) -> Vec<Notice> {
    let (mut told, unused) = applied(job, said);
    if unused.is_empty() {
        return told;
    }
    told.extend(unused);
    in_order(told)
}

/// A part of what is said of a job, in order: what it accepts as a remark. A row that accepts nothing of it may be meant for
/// the rest.
pub(super) fn apply_to_part(job: &Job, said: Vec<Notice>) -> Vec<Notice> {
    applied(job, said).0
}

/// What is said, in order and with what the job accepts as a remark, and a warning for each row that accepts nothing.
fn applied(job: &Job, said: Vec<Notice>) -> (Vec<Notice>, Vec<Notice>) {
    let mut told = in_order(said);
    let mut unused = Vec::new();
    for row in &job.settings.accepted {
        let cell = |heading: &str| job.sources.cell(row.row, heading);
        match meant(job, row, &told) {
            Ok(found) => found.into_iter().for_each(|at| told[at].accept(cell("value"))),
            Err((heading, why)) => unused.push(why.at([cell(heading)])),
        }
    }
    (told, unused)
}

/// The notices that a row means: all of its kind that go to the cell, or to the one cell where its name is spoken of.
/// Else the cell of the row that is to blame, and why it accepts nothing.
fn meant(job: &Job, row: &Accepted, told: &[Notice]) -> Result<Vec<usize>, (&'static str, Finding)> {
    let (kind, what) = (row.kind.to_string(), row.what.to_string());
    for (heading, text) in [("for", &kind), ("value", &what)] {
        if text.is_empty() {
            return Err((heading, empty(heading)));
        }
    }
    let of_kind: Vec<usize> =
        (0..told.len()).filter(|at| fold_heading(told[*at].kind) == fold_heading(&kind)).collect();
    if of_kind.is_empty() {
        return Err(("for", unknown_kind(&kind, &near_kinds(&kind, told))));
    }
    let stands = |of: &[usize]| {
        let mut spots: Vec<Spot> = of.iter().filter_map(|at| told[*at].spots.first().cloned()).collect();
        spots.dedup();
        spots
    };
    let at_cell = |at: &usize| told[*at].spots.first().is_some_and(|spot| is_cell(&what, spot));
    let mut found: Vec<usize> = of_kind.iter().copied().filter(at_cell).collect();
    if found.is_empty() {
        found = of_kind.iter().copied().filter(|at| speaks_of(job, &told[*at], &what)).collect();
    }
    let cells = stands(&found);
    if found.is_empty() {
        return Err(("value", speaks_of_nothing(&kind, &what, &stands(&of_kind))));
    }
    if let Some(error) = found.iter().find(|at| told[**at].is_error()) {
        return Err(("value", is_an_error(&kind, told[*error].spots.first())));
    }
    if cells.len() > 1 {
        return Err(("value", several(&kind, &what, &cells)));
    }
    Ok(found)
}

/// Kinds of the job's notices that are spelt like one, as they are written.
fn near_kinds(kind: &str, told: &[Notice]) -> Vec<String> {
    let wanted = fold(kind).replace(' ', "-");
    let kinds = told.iter().filter(|notice| !notice.is_error()).map(|notice| notice.kind);
    nearest(&wanted, kinds).into_iter().map(str::to_owned).collect()
}

/// Whether words name a cell: `prices.csv:D7`, `runs!J5`, `prices D7`, `lodge.xlsx runs!C7`, `runs.csv` of a whole table.
fn is_cell(words: &str, spot: &Spot) -> bool {
    let plain = |text: &str| -> String {
        let kept = text.chars().filter(|c| !c.is_whitespace() && !['!', ':', '$', '\'', '"'].contains(c));
        kept.flat_map(char::to_lowercase).collect()
    };
    let file = spot.file.rsplit(['/', '\\']).next().unwrap_or(&spot.file);
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    let tables = match &spot.sheet {
        Some(sheet) => vec![sheet.to_string(), format!("{}{sheet}", spot.file), format!("{file}{sheet}")],
        None => vec![spot.file.to_string(), file.to_owned(), stem.to_owned()],
    };
    let (wanted, address) = (plain(words), spot.address());
    tables.iter().any(|table| {
        wanted == plain(&format!("{table}{address}"))
            || (!address.is_empty() && wanted == plain(&format!("{address}{table}")))
    })
}

/// Whether a notice speaks of a name: its row is that of the run or place, its text has the name, or it stands at an
/// address that is given without its table.
fn speaks_of(job: &Job, notice: &Notice, what: &str) -> bool {
    let wanted = fold(what);
    let first = notice.spots.first();
    let on_row = |row: crate::ground::RowAt| {
        first.is_some_and(|spot| Spot { column: 0, ..spot.clone() } == job.sources.row(row))
    };
    let runs = job.runs.iter().chain(&job.alternates.runs);
    runs.filter(|run| fold(&run.name) == wanted).any(|run| on_row(run.row))
        || job.places.iter().filter(|place| fold(&place.name) == wanted).any(|place| on_row(place.row))
        || names(&fold(&notice.found), &wanted)
        || first.is_some_and(|spot| spot.column > 0 && spot.address().eq_ignore_ascii_case(what.trim()))
}

/// Whether a text has a name by whole words: not `tee 3/4 x 3/4` in `tee 3/4 x 3/4 x 1/2`.
fn names(text: &str, name: &str) -> bool {
    let inside = |c: char| c.is_alphanumeric() || ['-', '/'].contains(&c);
    !name.is_empty()
        && text.match_indices(name).any(|(at, found)| {
            let (front, back) = (&text[..at], &text[at + found.len()..]);
            !front.ends_with(inside) && !back.starts_with(inside) && !back.starts_with(" x ")
        })
}

const ACCEPTS_NOTHING: &str = "accepts-nothing";
const A_NOTICE: &str = "the kind of a notice in for, and its cell or the name that it speaks of as value";

/// The most cells that a remedy names.
const CELLS: usize = 3;

/// One of the cells of a row that accepts is empty: for, or value.
fn empty(heading: &str) -> Finding {
    let found = format!("nothing is accepted by this row: {heading} is empty");
    let remedy = "type the kind of the notice and its cell, as they stand beside each other";
    warning(ACCEPTS_NOTHING, found, A_NOTICE, remedy)
}

/// Nothing of the kind is said of the job; with what comes near it.
fn unknown_kind(kind: &str, nearest: &[String]) -> Finding {
    let nearest: Vec<String> = nearest.iter().map(|one| format!("\"{one}\"")).collect();
    let remedy = match nearest.is_empty() {
        true => "take the row out, or type the kind of a notice as it stands beside its cell".to_owned(),
        false => format!("type {} if that is meant, or take the row out", nearest.join(" or ")),
    };
    let found = format!("nothing is accepted by this row: the job has no notice of the kind \"{kind}\"");
    warning(ACCEPTS_NOTHING, found, A_NOTICE, remedy)
}

/// Nothing of the kind speaks of the cell or name; with where the kind stands.
fn speaks_of_nothing(kind: &str, what: &str, stands: &[Spot]) -> Finding {
    let found =
        format!("nothing is accepted by this row: no notice of the kind \"{kind}\" speaks of \"{what}\"");
    let remedy = format!("type where one stands, {}, or take the row out", cells(stands));
    warning(ACCEPTS_NOTHING, found, A_NOTICE, remedy)
}

/// Several notices of the kind speak of the name, at these cells.
fn several(kind: &str, what: &str, stands: &[Spot]) -> Finding {
    let number = stands.len();
    let found = format!(
        "nothing is accepted by this row: {number} notices of the kind \"{kind}\" speak of \"{what}\""
    );
    let expected = "a row for each notice that is accepted, by its cell";
    warning(ACCEPTS_NOTHING, found, expected, format!("type the cell: {}", cells(stands)))
}

/// What is to be accepted is an error, which stands there.
fn is_an_error(kind: &str, at: Option<&Spot>) -> Finding {
    let at = at.map(|spot| format!(" at {spot}")).unwrap_or_default();
    warning(
        "error-not-accepted",
        format!("\"{kind}\"{at} is an error, and an error cannot be accepted"),
        "a warning or a remark: what is in error is in no sum",
        "mend what the error says, and take this row out",
    )
}

/// `prices.csv:D7, prices.csv:D9 or 4 more`.
fn cells(spots: &[Spot]) -> String {
    let named: Vec<String> = spots.iter().take(CELLS).map(ToString::to_string).collect();
    match spots.len().saturating_sub(CELLS) {
        0 => named.join(" or "),
        more => format!("{} or {more} more", named.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_is_named_in_any_way_that_people_write_it() {
        let spot = |file: &str, sheet: Option<&str>, row, column| Spot {
            file: file.into(),
            sheet: sheet.map(Into::into),
            row,
            column,
        };
        let prices = spot("lists/prices.csv", None, 7, 4);
        for words in ["lists/prices.csv:D7", "prices.csv:d7", "prices D7", "prices!$D$7", "D7 prices"] {
            assert!(is_cell(words, &prices), "{words}");
        }
        for words in ["D7", "prices.csv:D71", "prices", "runs D7"] {
            assert!(!is_cell(words, &prices), "{words}");
        }
        let sheet = spot("lodge.xlsx", Some("runs"), 5, 10);
        assert!(is_cell("runs!J5", &sheet) && is_cell("lodge.xlsx runs!J5", &sheet));
        assert!(is_cell("runs.csv", &spot("runs.csv", None, 0, 0)));
        assert!(is_cell("runs row 3", &spot("runs.csv", None, 3, 0)));
    }

    #[test]
    fn a_name_is_found_by_whole_words() {
        assert!(names("nobody sells tee 3/4 x 3/4 x 1/2", "tee 3/4 x 3/4 x 1/2"));
        assert!(!names("nobody sells tee 3/4 x 3/4 x 1/2", "tee 3/4 x 3/4"));
        assert!(!names("c12 joins c1-2", "c1") && names("the run \"c1\" joins", "c1"));
    }
}
