//! What users may write down and nothing reckons with yet: one remark for each such column or item. `trade::job` asks
//! when all tables are read; where a later floor comes to use one, its line goes.

use super::built_in;
use super::catalog::Catalog;
use super::lexicon::Word;
use super::row::Desk;
use super::run::Run;
use super::terms::Terms;
use super::words::Trouble;
use super::words_reading::ReadingTrouble;
use crate::ground::RowAt;

/// Remarks on what the job's tables hold in vain.
pub(super) fn tell(terms: &Terms, runs: &[Run], catalog: &Catalog, desk: &mut Desk) {
    for (item, is_read) in
        [("static pressure", terms.static_pressure.is_some()), ("code family", !terms.code_family.is_empty())]
    {
        let rows = if is_read { terms.rows_of(item) } else { Vec::new() };
        tell_one(&rows, item, "value", desk);
    }
    let slope = desk.lexicon.word("slope");
    let asks = |only: &[(Word, Word)]| only.iter().any(|(column, _)| *column == slope);
    let asked = catalog.patterns.iter().flat_map(|pattern| &pattern.rows).any(|row| asks(&row.only));
    let sloped = runs.iter().filter(|run| !asked && !run.slope.is_empty()).map(|run| run.row);
    tell_one(&sloped.collect::<Vec<_>>(), "slope", "slope", desk);

    let taken = catalog.parts.iter().filter(|part| part.take_out.is_some()).map(|part| part.row);
    let fixtures = &catalog.fixtures;
    let units = fixtures.iter().filter(|fixture| fixture.units.is_some()).map(|fixture| fixture.row);
    let flow = fixtures.iter().filter(|fixture| fixture.flow.is_some()).map(|fixture| fixture.row);
    let heights = fixtures.iter().filter(|fixture| !fixture.heights.is_empty()).map(|fixture| fixture.row);
    let of_catalog: [(&str, Vec<RowAt>); 4] = [
        ("take-out", taken.collect()),
        ("units", units.collect()),
        ("flow", flow.collect()),
        ("heights", heights.collect()),
    ];
    for (heading, mut rows) in of_catalog {
        // The program's own rows are not the user's concern.
        rows.retain(|row| {
            !desk.sources.get(row.source).is_some_and(|source| built_in::is_shown_as(&source.file))
        });
        tell_one(&rows, heading, heading, desk);
    }
}

fn tell_one(rows: &[RowAt], what: &str, heading: &str, desk: &mut Desk) {
    if let Some(first) = rows.first() {
        let trouble = ReadingTrouble::Unused { what, rows: rows.len() };
        desk.trouble(*first, heading, Trouble::Reading(trouble));
    }
}
