//! What only several tables together show of labor and tools: rows that no work can match, rows that say the same, a
//! crew whose wages are not said.

use std::collections::{HashMap, HashSet};

use crate::ground::RowAt;
use crate::ground::notice::findings;
use crate::trade::catalog::Catalog;
use crate::trade::catalog::part::{Class, Part, PartId};
use crate::trade::labor::{LaborRow, Nearness, WorkPer};
use crate::trade::lexicon::{Lexicon, Word};
use crate::trade::reading::{Reading, unknown};
use crate::trade::run::{PlaceRow, Run};
use crate::trade::settings::Crew;
use crate::trade::shape::unknown_names;
use crate::trade::tool::ToolRow;

/// Rows of hours: names that nothing defines, rows that no work can match, rows that say the same.
pub(in crate::trade) fn rows(rows: &[LaborRow], catalog: &Catalog, reading: &mut Reading) {
    let mut seen = HashSet::new();
    for row in rows {
        // What is done once for the whole job is no part.
        let is_part = row.per != WorkPer::Job && !row.part.is_empty();
        let known = !is_part || !catalog.parts_called_or_used(row.part).is_empty();
        if seen.insert((row.part, true)) && !known {
            let names = catalog.part_names(&reading.lexicon);
            let finding = unknown::sold_part(reading.lexicon.text(row.part), names);
            reading.trouble(row.row, "part", finding);
        }
        systems(row.row, &row.systems, catalog, &mut seen, reading);
        if known
            && row.per != WorkPer::Job
            && let Some((heading, why)) = never(row, catalog, &reading.lexicon)
        {
            reading.trouble(row.row, heading, labor_never(&why));
        }
    }
    let mut said = HashMap::new();
    for (at, row) in rows.iter().enumerate() {
        let all = says(row, catalog);
        let before = all.iter().filter_map(|one| said.get(one).copied()).min();
        if let Some(first) = before.and_then(|first: usize| rows.get(first)) {
            let finding = labor_twice(&reading.sources.row(first.row).to_string());
            reading.trouble_of_row(row.row, "per", finding);
        }
        for one in all {
            said.entry(one).or_insert(at);
        }
    }
}

/// Tools: systems that nothing defines.
pub(in crate::trade) fn tools(tools: &[ToolRow], catalog: &Catalog, reading: &mut Reading) {
    let mut seen = HashSet::new();
    for tool in tools {
        systems(tool.row, &tool.systems, catalog, &mut seen, reading);
    }
}

/// Systems and tube families that nothing defines, each word once.
fn systems(
    at: RowAt,
    systems: &[Word],
    catalog: &Catalog,
    seen: &mut HashSet<(Word, bool)>,
    reading: &mut Reading,
) {
    for system in systems {
        if seen.insert((*system, false)) && !catalog.knows_system_or_tube(*system) {
            let names = catalog.system_names(&reading.lexicon);
            let finding = unknown::sold_system(reading.lexicon.text(*system), names);
            reading.trouble(at, "system", finding);
        }
    }
}

/// Why no work can match a row, and the cell to look at.
fn never(row: &LaborRow, catalog: &Catalog, lexicon: &Lexicon) -> Option<(&'static str, String)> {
    let called = catalog.parts_called_or_used(row.part);
    let class = |id: &PartId| catalog.part(*id).class;
    let is_set = |part: &Part| match row.per {
        WorkPer::Length => part.class == Class::Tube,
        WorkPer::Support => part.class == Class::Support,
        WorkPer::Joint | WorkPer::Thread | WorkPer::Part | WorkPer::Run | WorkPer::Place | WorkPer::Job => {
            true
        }
    };
    let fits = |id: &PartId| {
        let of_class = elsewhere(class(id)).is_none() && row.class.is_none_or(|said| said == class(id));
        is_set(catalog.part(*id)) && (row.per != WorkPer::Part || of_class)
    };
    if !called.is_empty() && !called.iter().any(fits) {
        let (part, class) = (lexicon.text(row.part), class(&called[0]).word());
        return Some(("part", format!("the class of {part} is {class}")));
    }
    if let Some(why) = row.class.and_then(elsewhere) {
        return Some(("class", why.to_owned()));
    }
    let tubes = catalog.systems.iter().filter(|system| {
        row.systems.is_empty() || row.systems.contains(&system.name) || row.systems.contains(&system.tube)
    });
    let tubes: Vec<Word> = tubes.map(|system| system.tube).collect();
    if let Some(size) = row.sizes.iter().find(|size| {
        let of_tube = tubes.iter().any(|tube| catalog.order(*tube, **size).is_some());
        let of_part = row.per != WorkPer::Joint && row.per != WorkPer::Length && catalog.knows_size(**size);
        !of_tube && !of_part && !tubes.is_empty()
    }) {
        return Some(("size", format!("no tube of its systems has the size {}", lexicon.text(*size))));
    }
    let mut variants = catalog
        .parts
        .iter()
        .zip(0_u32..)
        .filter(|(part, id)| is_set(part) && (called.is_empty() || called.contains(&PartId(*id))));
    let reads_variant = matches!(row.per, WorkPer::Length | WorkPer::Part | WorkPer::Support);
    if reads_variant && !row.variant.is_empty() && !variants.any(|(part, _)| part.variant == row.variant) {
        return Some(("variant", format!("no such part has the variant {}", lexicon.text(row.variant))));
    }
    None
}

/// Why a row per part cannot speak of a class.
fn elsewhere(class: Class) -> Option<&'static str> {
    match class {
        Class::Tube => Some("tube has its hours per length"),
        Class::Support => Some("supports have theirs per support"),
        Class::Ring | Class::Consumable => Some("what joints consume has its hours per joint"),
        Class::Fitting
        | Class::Valve
        | Class::Device
        | Class::Manifold
        | Class::Cap
        | Class::Trim
        | Class::Tool => None,
    }
}

/// A work that a row speaks of: whose table it is, what the hours are for, which part, in which system, and what narrows
/// it. Two rows that share one say as much of it.
type Work<'r> =
    (Nearness, &'static str, (Option<PartId>, Word), Word, Option<&'static str>, &'r [Word], [Word; 2]);

/// All works that a row speaks of.
fn says<'r>(row: &'r LaborRow, catalog: &Catalog) -> Vec<Work<'r>> {
    let called = catalog.parts_called_or_used(row.part).iter();
    let called = called.filter(|_| !row.part.is_empty()).map(|id| (Some(*id), Word::EMPTY));
    let parts: Vec<(Option<PartId>, Word)> = called.chain([(None, row.part)]).collect();
    let systems = if row.systems.is_empty() { &[Word::EMPTY][..] } else { &row.systems[..] };
    let class = row.class.map(Class::word);
    let narrows = [row.variant, row.fixture];
    let of = |part| systems.iter().map(move |system| (part, *system));
    let all = parts.into_iter().flat_map(of);
    all.map(|(part, system)| (row.nearness, row.per.word(), part, system, class, &*row.sizes, narrows))
        .collect()
}

/// The crew: wages that are not said, wages of nobody, wages without hours, areas that nothing stands in.
pub(in crate::trade) fn crew(
    crew: &Crew,
    has_labor: bool,
    runs: &[Run],
    places: &[PlaceRow],
    reading: &mut Reading,
) {
    if !has_labor {
        let said = crew.heads.first().map(|said| (said.row, "crew"));
        if let Some((row, item)) = said.or_else(|| crew.rates.first().map(|said| (said.row, "rate"))) {
            reading.trouble(row, "item", crew_without_labor(item));
        }
        return;
    }
    let members = crew.members();
    for head in &crew.heads {
        if members.iter().any(|member| member.who == head.who && member.rate.is_none()) {
            reading.trouble(head.row, "for", no_rate(named(reading, head.who)));
        }
    }
    for rate in crew.rates.iter().filter(|rate| !rate.who.is_empty()) {
        if !members.iter().any(|member| member.who == rate.who) {
            reading.trouble(rate.row, "for", rate_of_nobody(named(reading, rate.who)));
        }
    }
    let areas: Vec<Word> =
        runs.iter().map(|run| run.area).chain(places.iter().map(|place| place.area)).collect();
    for said in crew.difficulty.iter().filter(|said| !said.who.is_empty() && !areas.contains(&said.who)) {
        let names = areas.iter().map(|area| reading.lexicon.text(*area));
        let finding = no_such_area(reading.lexicon.text(said.who), names);
        reading.trouble(said.row, "for", finding);
    }
}

fn named(reading: &Reading, who: Word) -> &str {
    match reading.lexicon.text(who) {
        "" => "one person",
        who => who,
    }
}

findings! {
    /// A row of hours that says as much as another.
    fn labor_twice(first: &str) = warning("labor-twice",
        "this row says as much as {first} of the same work; the later row counts",
        "one row that says the most of each work",
        "take out the row that is not meant, or say more in it");

    /// A row of hours that no work can match.
    fn labor_never(why: &str) = warning("labor-never",
        "no work can match this row: {why}",
        "a row of hours that speaks of something that can be installed",
        "correct the row, or take it out");

    /// Somebody of the crew has no wages.
    fn no_rate(who: &str) = warning("no-rate",
        "{who} is in the crew and has no rate: labor is counted in hours and not priced",
        "a rate for each of the crew, or one for all",
        "add a row: rate, for {who}, wages an hour");

    /// Wages of somebody who is not in the crew.
    fn rate_of_nobody(who: &str) = warning("rate-of-nobody",
        "a rate is given for {who}, who is not in the crew",
        "rates of those who work",
        "add a row: crew, for {who}, how many; or take the rate out");

    /// Wages, or a crew, without hours.
    fn crew_without_labor(item: &str) = warning("crew-without-labor",
        "{item} is given and the job has no hours: labor is not in the sums",
        "a table labor",
        "add a table labor with hours of your own");
}

unknown_names! {
    /// An area that no run and no place has.
    fn no_such_area(found) = warning("no-such-area",
        "no run and no place is in the area \"{found}\"",
        "an area of the run list or of the table places",
        "take the row out") meant;
}
