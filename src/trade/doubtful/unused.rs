//! What users may write down and nothing reckons with yet: one remark for each such column or item. `trade::job` asks
//! when all tables are read; where a later floor comes to use one, its line goes.

use super::Judged;
use crate::ground::RowAt;
use crate::ground::notice::{Finding, remark};
use crate::trade::lexicon::Word;
use crate::trade::reading::Reading;

/// Remarks on what the job's tables hold in vain.
pub(super) fn tell(judged: &Judged<'_>, reading: &mut Reading) {
    let catalog = judged.catalog;
    let slope = reading.lexicon.word("slope");
    let asks = |only: &[(Word, Word)]| only.iter().any(|(column, _)| *column == slope);
    let asked = catalog.patterns.iter().flat_map(|pattern| &pattern.rows).any(|row| asks(&row.only));
    let sloped = judged
        .runs
        .iter()
        .filter(|run| !asked && !run.slope.is_empty() && run.service.is_water())
        .map(|run| run.row);
    tell_one(&sloped.collect::<Vec<_>>(), "slope", "slope", reading);

    let fixtures = &catalog.fixtures;
    let flow = fixtures.iter().filter(|fixture| fixture.flow.is_some()).map(|fixture| fixture.row);
    let heights = fixtures.iter().filter(|fixture| !fixture.heights.is_empty()).map(|fixture| fixture.row);
    let of_catalog: [(&str, Vec<RowAt>); 2] = [("flow", flow.collect()), ("heights", heights.collect())];
    for (heading, mut rows) in of_catalog {
        // The program's own rows are not the user's concern.
        rows.retain(|row| {
            !reading.sources.get(row.source).is_some_and(|source| source.file.starts_with("built-in "))
        });
        tell_one(&rows, heading, heading, reading);
    }
}

fn tell_one(rows: &[RowAt], what: &str, heading: &str, reading: &mut Reading) {
    if let Some(first) = rows.first() {
        reading.trouble(*first, heading, not_used_yet(what, rows.len()));
    }
}

/// A column or an item that is read and used by nothing.
fn not_used_yet(what: &str, rows: usize) -> Finding {
    let more = if rows == 1 { String::new() } else { format!(", in {rows} rows") };
    remark(
        "not-used-yet",
        format!("{what} is read and used by nothing yet{more}"),
        "what an estimate rests on",
        "nothing: it may stay",
    )
}
