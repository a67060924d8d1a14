//! What only several tables together show of labor and tools: rows that no work can match, rows that say the same, a
//! crew whose wages are not said.

use std::collections::HashSet;

use super::catalog::Catalog;
use super::crew::Crew;
use super::labor::{LaborRow, WorkPer};
use super::lexicon::{Lexicon, Word};
use super::part::{Class, PartId};
use super::place::PlaceRow;
use super::row::{Desk, nearest_of};
use super::run::Run;
use super::tool::ToolRow;
use super::words::{Named, Trouble};
use crate::ground::RowAt;

/// Rows of hours: names that nothing defines, rows that no work can match, rows that say the same.
pub(super) fn rows(rows: &[LaborRow], catalog: &Catalog, desk: &mut Desk) {
    let mut seen: HashSet<(Word, bool)> = HashSet::new();
    for row in rows {
        let known = row.part.is_empty() || !catalog.parts_called_or_used(row.part).is_empty();
        if seen.insert((row.part, true)) && !known {
            let found = desk.lexicon.text(row.part).to_owned();
            let nearest = nearest_of(&found, catalog.part_names(&desk.lexicon));
            let trouble = Trouble::UnknownName { what: Named::SoldPart, found: &found, nearest };
            desk.trouble(row.row, "part", trouble);
        }
        systems(row.row, &row.systems, catalog, &mut seen, desk);
        if known && let Some((heading, why)) = never(row, catalog, &desk.lexicon) {
            desk.trouble(row.row, heading, Trouble::LaborNever { why: &why });
        }
    }
    for (at, row) in rows.iter().enumerate() {
        if let Some(first) = rows[..at].iter().find(|first| says_as_much(first, row, catalog)) {
            let first = desk.sources.row(first.row).to_string();
            desk.trouble(row.row, "per", Trouble::LaborTwice { first: &first });
        }
    }
}

/// Tools: systems that nothing defines.
pub(super) fn tools(tools: &[ToolRow], catalog: &Catalog, desk: &mut Desk) {
    let mut seen = HashSet::new();
    for tool in tools {
        systems(tool.row, &tool.systems, catalog, &mut seen, desk);
    }
}

/// Systems and tube families that nothing defines, each word once.
fn systems(
    at: RowAt,
    systems: &[Word],
    catalog: &Catalog,
    seen: &mut HashSet<(Word, bool)>,
    desk: &mut Desk,
) {
    for system in systems {
        if seen.insert((*system, false)) && !catalog.knows_system_or_tube(*system) {
            let found = desk.lexicon.text(*system).to_owned();
            let nearest = nearest_of(&found, catalog.system_names(&desk.lexicon));
            desk.trouble(
                at,
                "system",
                Trouble::UnknownName { what: Named::SoldSystem, found: &found, nearest },
            );
        }
    }
}

/// Why no work can match a row, and the cell to look at.
fn never(row: &LaborRow, catalog: &Catalog, lexicon: &Lexicon) -> Option<(&'static str, String)> {
    let called = catalog.parts_called_or_used(row.part);
    let class = |id: &PartId| catalog.part(*id).class;
    let fits = |id: &PartId| match row.per {
        WorkPer::Length => class(id) == Class::Tube,
        WorkPer::Support => class(id) == Class::Support,
        WorkPer::Part => elsewhere(class(id)).is_none() && row.class.is_none_or(|said| said == class(id)),
        WorkPer::Joint | WorkPer::Thread | WorkPer::Run | WorkPer::Place => true,
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
    let of_class = |part: &super::part::Part| match row.per {
        WorkPer::Length => part.class == Class::Tube,
        WorkPer::Support => part.class == Class::Support,
        WorkPer::Joint | WorkPer::Thread | WorkPer::Part | WorkPer::Run | WorkPer::Place => true,
    };
    let mut variants = catalog
        .parts
        .iter()
        .zip(0_u32..)
        .filter(|(part, id)| of_class(part) && (called.is_empty() || called.contains(&PartId(*id))));
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

/// Whether two rows of equally near tables say as much of some same work.
fn says_as_much(a: &LaborRow, b: &LaborRow, catalog: &Catalog) -> bool {
    let parts = |row: &LaborRow| catalog.parts_called_or_used(row.part);
    let same_part =
        a.part == b.part || (!a.part.is_empty() && parts(a).iter().any(|id| parts(b).contains(id)));
    let share = a.systems.iter().any(|system| b.systems.contains(system));
    a.nearness == b.nearness
        && a.per == b.per
        && same_part
        && a.class == b.class
        && a.sizes == b.sizes
        && a.variant == b.variant
        && a.fixture == b.fixture
        && (a.systems.is_empty() && b.systems.is_empty() || share)
}

/// The crew: wages that are not said, wages of nobody, wages without hours, areas that nothing stands in.
pub(super) fn crew(crew: &Crew, has_labor: bool, runs: &[Run], places: &[PlaceRow], desk: &mut Desk) {
    if !has_labor {
        let said = crew.heads.first().map(|said| (said.row, "crew"));
        if let Some((row, item)) = said.or_else(|| crew.rates.first().map(|said| (said.row, "rate"))) {
            desk.trouble(row, "item", Trouble::CrewWithoutLabor { item });
        }
        return;
    }
    let members = crew.members();
    for head in &crew.heads {
        if members.iter().any(|member| member.who == head.who && member.rate.is_none()) {
            let who = named(desk, head.who);
            desk.trouble(head.row, "for", Trouble::NoRate { who: &who });
        }
    }
    for rate in crew.rates.iter().filter(|rate| !rate.who.is_empty()) {
        if !members.iter().any(|member| member.who == rate.who) {
            let who = named(desk, rate.who);
            desk.trouble(rate.row, "for", Trouble::RateOfNobody { who: &who });
        }
    }
    let areas: Vec<Word> =
        runs.iter().map(|run| run.area).chain(places.iter().map(|place| place.area)).collect();
    for said in crew.difficulty.iter().filter(|said| !said.who.is_empty() && !areas.contains(&said.who)) {
        let found = desk.lexicon.text(said.who).to_owned();
        let nearest = nearest_of(&found, areas.iter().map(|area| desk.lexicon.text(*area)));
        desk.trouble(said.row, "for", Trouble::NoSuchArea { found: &found, nearest });
    }
}

fn named(desk: &Desk, who: Word) -> String {
    let who = desk.lexicon.text(who);
    if who.is_empty() { "one person".to_owned() } else { who.to_owned() }
}
