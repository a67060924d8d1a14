//! The assembly rules that speak of one run: the rows of its patterns that are meant for it, each with its part.

use super::super::takeoff::Missing;
use super::findings;
use super::resolve::Resolved;
use super::sheet::Sheet;
use crate::estimate::RunId;
use crate::trade::Adds;
use crate::trade::{Catalog, Lexicon, PartId, PatternRow, Run, SystemId, Word};

/// A row that is meant for a run.
#[derive(Clone, Copy)]
pub(super) struct Rule<'j> {
    pub(super) row: &'j PatternRow,
    /// The part; none where the row adds tube.
    pub(super) part: Option<PartId>,
}

/// The pattern that a vent through the roof has unasked, once (rule D13 of drains).
const THROUGH_ROOF: &str = "vent through roof";

/// The rules of a run in the order of its patterns and of their rows. A row in error is left out alone, with a notice;
/// a part that no table has for the system makes the alternative incomplete.
pub(super) fn rules_of<'j>(
    sheet: &mut Sheet<'j, '_>,
    id: RunId,
    resolved: &Resolved,
    through_roof: bool,
) -> Vec<Rule<'j>> {
    let job = sheet.job;
    let run = &job.runs[id.index()];
    let mut rules = Vec::new();
    let unasked = through_roof.then(|| job.lexicon.find(THROUGH_ROOF)).flatten();
    let unasked = unasked.filter(|pattern| !run.patterns.contains(pattern));
    for pattern in run.patterns.iter().copied().chain(unasked) {
        let Some(pattern) = job.catalog.pattern_named(pattern) else { continue };
        for row in &job.catalog.pattern(pattern).rows {
            if let Some(part) = meant(sheet, row, run, id, resolved) {
                rules.push(Rule { row, part });
            }
        }
    }
    rules
}

/// Whether a row is meant for a run, and its part.
fn meant(
    sheet: &mut Sheet<'_, '_>,
    row: &PatternRow,
    run: &Run,
    id: RunId,
    resolved: &Resolved,
) -> Option<Option<PartId>> {
    let job = sheet.job;
    let system = job.catalog.system(resolved.system);
    if row.in_error {
        sheet.leave_out_rule(id, findings::broken_rule(job, row.row, run.row), resolved.system);
        return None;
    }
    if !job.catalog.takes_in(&row.systems, resolved.system) || !row.is_for(run, &job.lexicon) {
        return None;
    }
    match row.adds {
        Adds::Nothing => None,
        Adds::Tube(_) => Some(None),
        Adds::Part(word, _) => {
            let found = job.catalog.part_called(word, row.variant, resolved.system).or_else(|| {
                // A manifold row names the part that begins with its words.
                manifold_named(&job.catalog, &job.lexicon, word, resolved.system)
            });
            if found.is_none() {
                let (part, name) = (job.lexicon.text(word), job.lexicon.text(system.name));
                sheet.warn(findings::unknown_part(job, run.row, row.row, part, name));
                sheet.takeoff.missing.push(Missing {
                    subject: id.into(),
                    what: part.to_owned(),
                    system: resolved.system,
                });
            }
            found.map(Some)
        }
    }
}

/// The manifold that a row's words begin the name of: the one with the fewest openings. Which one serves is chosen
/// where the runs are known.
fn manifold_named(catalog: &Catalog, lexicon: &Lexicon, word: Word, system: SystemId) -> Option<PartId> {
    manifolds(catalog, lexicon, word, system).first().copied()
}

/// All manifolds of that name in a system, those with fewer openings first.
pub(super) fn manifolds(catalog: &Catalog, lexicon: &Lexicon, word: Word, system: SystemId) -> Vec<PartId> {
    let mut found = catalog.manifolds(word, lexicon);
    found.retain(|id| catalog.takes_in(&catalog.part(*id).systems, system));
    found
}
