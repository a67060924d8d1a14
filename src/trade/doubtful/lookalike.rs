//! Names that look like another one of the same job misspelled: areas, levels, places, kinds of places, suppliers, tools.
//! A name that is seldom said beside one that is said more often is told; what was meant is the other name in all its
//! cells. Names that a table defines are judged where they are looked up.

use std::collections::{BTreeMap, BTreeSet};

use super::Judged;
use crate::ground::name::{fold, look_alike};
use crate::ground::notice::Finding;
use crate::ground::{Instead, RowAt, Sources};
use crate::trade::lexicon::Word;
use crate::trade::reading::Reading;
use crate::trade::reading::findings::looks_like_another;
use crate::trade::run::ALWAYS_THERE;

/// One name in one cell.
struct Said<'a> {
    name: &'a str,
    at: RowAt,
    heading: &'static str,
}

/// A name that stands in more rows is meant as it is written.
const SELDOM: usize = 2;
/// So many pairs of names that differ in letters alone are compared in a job: 2,000 names each with each, twice over.
const PAIRS: usize = 8_000_000;

/// Tells all names of a job that look like another one.
pub(super) fn names(judged: &Judged<'_>, reading: &mut Reading) {
    let text = |word: Word| reading.lexicon.text(word);
    let runs = || judged.runs.iter();
    let places = || judged.places.iter();
    let said = |name, at, heading| Said { name, at, heading };

    let areas = runs().map(|run| said(text(run.area), run.row, "area"));
    let areas = areas.chain(places().map(|place| said(text(place.area), place.row, "area")));
    let mut told = Told { sources: &reading.sources, left: PAIRS, list: Vec::new() };
    told.alike("area", areas.collect(), &[]);

    let levels = runs().map(|run| said(text(run.level), run.row, "level"));
    let levels = levels.chain(places().map(|place| said(text(place.level), place.row, "level")));
    told.alike("level", levels.collect(), &[]);

    let of_places = places().map(|place| said(text(place.fixture), place.row, "fixture"));
    let of_runs = runs().map(|run| said(text(run.fixture), run.row, "fixture"));
    let of_hours = judged.labor.iter().map(|row| said(text(row.fixture), row.row, "fixture"));
    let built_in = |at: RowAt| reading.sources.get(at.source).is_some_and(|source| source.built_in);
    let (known, own): (Vec<_>, Vec<_>) =
        judged.catalog.fixtures.iter().partition(|fixture| built_in(fixture.row));
    let known: Vec<&str> = known.into_iter().map(|fixture| text(fixture.fixture)).collect();
    let own = own.into_iter().map(|fixture| said(text(fixture.fixture), fixture.row, "fixture"));
    let all: Vec<Said<'_>> = of_runs.chain(of_places).chain(of_hours).chain(own).collect();
    told.alike("kind of place", all, &known);

    let of_runs: BTreeSet<String> = runs().map(|run| fold(&run.name)).collect();
    let is_place = |said: &Said<'_>| !of_runs.contains(&fold(said.name));
    let ends = runs().filter_map(|run| Some(said(run.to.as_deref()?, run.row, "to")));
    let joined = runs().filter_map(|run| Some(said(run.joins.as_deref()?, run.row, "joins")));
    let named = places().map(|place| said(&place.name, place.row, "place"));
    let said_of_places: Vec<Said<'_>> = ends.chain(joined).chain(named).filter(is_place).collect();
    let (near_always, others) = said_of_places.into_iter().partition(is_near_what_is_always_there);
    told.alike("place", others, &[]);
    told.alike("place", made_once(near_always, judged), &ALWAYS_THERE);

    let sellers = judged.prices.offers.iter().map(|offer| said(text(offer.supplier), offer.row, "supplier"));
    told.alike("supplier", sellers.collect(), &[]);
    let tools = judged.tools.iter().map(|tool| said(&tool.tool, tool.row, "tool"));
    told.alike("tool", tools.collect(), &[]);
    let crew = &judged.settings.crew;
    let members = crew.heads.iter().chain(&crew.rates).map(|one| said(text(one.who), one.row, "for"));
    told.alike("member of the crew", members.collect(), &[]);
    for (at, heading, finding, instead) in told.list {
        reading.trouble_or(at, heading, finding, instead);
    }
}

/// Names that look like another: the first cell of each, what is to be said, and what its cells would be read as.
struct Told<'a> {
    sources: &'a Sources,
    /// How many pairs may still be compared.
    left: usize,
    list: Vec<(RowAt, &'static str, Finding, Vec<Instead>)>,
}

impl Told<'_> {
    /// Tells the names of one kind that look like another, which more rows say or a table defines.
    fn alike(&mut self, what: &str, said: Vec<Said<'_>>, known: &[&str]) {
        let mut names: BTreeMap<String, Vec<Said<'_>>> = BTreeMap::new();
        for one in said.into_iter().filter(|one| !one.name.is_empty()) {
            names.entry(fold(one.name)).or_default().push(one);
        }
        for name in known {
            names.entry(fold(name)).or_default();
        }
        let known: BTreeSet<String> = known.iter().map(|name| fold(name)).collect();
        let is_known = |name: &str| known.contains(name);
        // Names that differ in a number are never alike.
        let mut groups: BTreeMap<Vec<&str>, Vec<&str>> = BTreeMap::new();
        for name in names.keys() {
            let numbers = name.split(|c: char| !c.is_numeric()).filter(|number| !number.is_empty()).collect();
            groups.entry(numbers).or_default().push(name);
        }
        for group in groups.into_values() {
            let pairs = group.len().saturating_mul(group.len() - 1);
            if pairs > self.left {
                continue;
            }
            self.left -= pairs;
            for name in &group {
                let Some(rows) = names.get(*name) else { continue };
                let Some(first) = rows.first().filter(|_| rows.len() <= SELDOM && !is_known(name)) else {
                    continue;
                };
                let stands_before = |other: &[Said<'_>]| {
                    other.len() > rows.len()
                        || other.len() == rows.len() && other.first().is_some_and(|one| one.at < first.at)
                };
                let is_meant = |other: &&&str| {
                    is_known(other) || names.get(**other).is_some_and(|rows| stands_before(rows))
                };
                let likely = || group.iter().filter(|other| near(name, other) && look_alike(name, other));
                let defined = likely().find(|other| is_known(other));
                let Some(other) = defined.or_else(|| likely().find(is_meant)) else { continue };
                let shown = names.get(*other).and_then(|rows| rows.first()).map_or(*other, |one| one.name);
                let instead = rows.iter().map(|one| Instead {
                    spot: self.sources.cell(one.at, one.heading),
                    text: shown.to_owned(),
                });
                let instead: Vec<Instead> = instead.collect();
                let finding = looks_like_another(what, first.name, shown, rows.len());
                self.list.push((first.at, first.heading, finding, instead));
            }
        }
    }
}

/// Whether a name may be one of the places that are always there, misspelled: the roof, the sewer.
fn is_near_what_is_always_there(said: &Said<'_>) -> bool {
    ALWAYS_THERE.iter().any(|name| near(&fold(said.name), name) && look_alike(said.name, name))
}

/// The names that one run alone makes places of, in `to` or by its fixture: no row of places and no other run has them. What
/// joins a name that nothing has is in error, and told there.
fn made_once<'a>(said: Vec<Said<'a>>, judged: &Judged<'_>) -> Vec<Said<'a>> {
    let mut rows: BTreeMap<String, usize> = BTreeMap::new();
    for one in &said {
        *rows.entry(fold(one.name)).or_default() += 1;
    }
    let is_bare = |at: RowAt| judged.runs.iter().any(|run| run.row == at && run.fixture.is_empty());
    let is_place = |one: &Said<'_>| match one.heading {
        "to" => true,
        "joins" => !is_bare(one.at),
        _ => false,
    };
    said.into_iter().filter(|one| rows.get(&fold(one.name)) == Some(&1) && is_place(one)).collect()
}

/// Whether it is worth to compare two names letter by letter: a slip leaves the first or the last letter.
fn near(a: &str, b: &str) -> bool {
    a.len().abs_diff(b.len()) <= 4
        && (a.chars().next() == b.chars().next() || a.chars().last() == b.chars().last())
}
