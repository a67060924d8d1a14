//! Alternates: optional work of a job. A row of `runs` or `places` that names some in its column `alternate` is not in the
//! base bid. They are taken out of the job here, with what is doubtful in their names. Nothing is counted.

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

use super::lexicon::{Lexicon, Word};
use super::reading::Reading;
use super::reading::findings::looks_like_another;
use super::run::{PlaceRow, Run};
use super::scope::Scope;
use super::shape::type_nearest;
use crate::ground::name::{fold, look_alike, natural, nearest};
use crate::ground::notice::findings;
use crate::ground::{Instead, RowAt};

/// So many names are compared, each with each.
const COMPARED: usize = 100;

/// The optional work of a job.
#[derive(Debug, Clone, Default)]
pub struct Alternates {
    /// Their names in the order of their text, each with the first row that names it.
    pub names: Vec<(Word, RowAt)>,
    /// Runs that are not in the base bid.
    pub runs: Vec<Run>,
    /// Places that are not in the base bid.
    pub places: Vec<PlaceRow>,
}

/// Takes what is not in the base bid out of runs and places.
pub(super) fn part_off(runs: &mut Vec<Run>, places: &mut Vec<PlaceRow>, reading: &mut Reading) -> Alternates {
    let mut alternates = Alternates { names: names(runs, places, &reading.lexicon), ..Alternates::default() };
    if alternates.names.is_empty() {
        return alternates;
    }
    // Nobody prices so many alternates; what is doubtful among them is not sought.
    if alternates.names.len() <= COMPARED {
        doubtful_names(&alternates.names, runs, places, reading);
    }
    let (base, optional) = std::mem::take(runs).into_iter().partition(|run| run.scope.is_base());
    (*runs, alternates.runs) = (base, optional);
    let (base, optional) = std::mem::take(places).into_iter().partition(|place| place.scope.is_base());
    (*places, alternates.places) = (base, optional);
    check_joined(runs, &alternates.runs, reading);
    alternates
}

/// All names, in the order of their text, each with the first row by table that says it.
fn names(runs: &[Run], places: &[PlaceRow], lexicon: &Lexicon) -> Vec<(Word, RowAt)> {
    let rows = runs.iter().map(|run| (&run.scope, run.row));
    let rows = rows.chain(places.iter().map(|place| (&place.scope, place.row)));
    let mut said: Vec<(Word, RowAt)> = rows
        .flat_map(|(scope, row)| scope.of.iter().chain(&scope.without).map(move |name| (*name, row)))
        .collect();
    said.sort_by(|a, b| {
        natural(lexicon.text(a.0), lexicon.text(b.0)).then_with(|| a.0.cmp(&b.0)).then_with(|| a.1.cmp(&b.1))
    });
    said.dedup_by_key(|(name, _)| *name);
    said
}

/// Names that are probably slips of the pen: one that only leaves work out and that no row belongs to, and one that looks
/// like another that more rows name.
fn doubtful_names(names: &[(Word, RowAt)], runs: &[Run], places: &[PlaceRow], reading: &mut Reading) {
    let of_places = places.iter().map(|place| (&place.scope, place.row));
    let mut said = Said { names, rows: BTreeMap::new(), brought: BTreeSet::new() };
    for (scope, row) in runs.iter().map(|run| (&run.scope, run.row)).chain(of_places) {
        let named: BTreeSet<Word> = scope.of.iter().chain(&scope.without).copied().collect();
        named.into_iter().for_each(|name| said.rows.entry(name).or_default().push((scope, row)));
        said.brought.extend(&scope.of);
    }
    for (name, row) in names {
        let near = said.meant_by(*name, *row, &reading.lexicon);
        let Some(other) = near.first() else { continue };
        let found = reading.lexicon.text(*name);
        let finding = match said.brings(*name) {
            true => looks_like_another("alternate", found, other, said.naming(*name).count()),
            false => {
                let near: Vec<&str> = near.iter().map(String::as_str).collect();
                near_alternate(found, &type_nearest(&near, "leave it as a deduct"))
            }
        };
        let cells = said.naming(*name).map(|(scope, row)| Instead {
            spot: reading.sources.cell(*row, "alternate"),
            text: scope.written_with(*name, other, &reading.lexicon),
        });
        let cells: Vec<Instead> = cells.collect();
        reading.trouble_or(*row, "alternate", finding, cells);
    }
}

/// What the rows of a job say of alternates.
struct Said<'a> {
    names: &'a [(Word, RowAt)],
    /// The rows that name each.
    rows: BTreeMap<Word, Vec<(&'a Scope, RowAt)>>,
    /// Those that some row belongs to.
    brought: BTreeSet<Word>,
}

impl<'a> Said<'a> {
    /// Whether a row belongs to an alternate.
    fn brings(&self, name: Word) -> bool {
        self.brought.contains(&name)
    }

    /// The rows that name an alternate.
    fn naming(&self, name: Word) -> std::slice::Iter<'_, (&'a Scope, RowAt)> {
        self.rows.get(&name).map_or(&[][..], Vec::as_slice).iter()
    }

    /// The alternates that were probably meant by a name, the likeliest first.
    fn meant_by(&self, name: Word, row: RowAt, lexicon: &Lexicon) -> Vec<String> {
        let found = lexicon.text(name);
        let others = || self.names.iter().filter(|(other, _)| *other != name);
        if self.brings(name) {
            let count = self.naming(name).count();
            let is_meant = |(other, first): &&(Word, RowAt)| {
                let of_other = self.naming(*other).count();
                look_alike(found, lexicon.text(*other))
                    && (of_other > count || of_other == count && *first < row)
            };
            return others()
                .find(is_meant)
                .map(|(other, _)| lexicon.text(*other).to_owned())
                .into_iter()
                .collect();
        }
        let bringing = others().filter(|(other, _)| self.brings(*other));
        let bringing: Vec<&str> = bringing.map(|(other, _)| lexicon.text(*other)).collect();
        let near = match nearest(found, bringing.iter().copied()) {
            none if none.is_empty() => share_words(found, &bringing).into_iter().collect(),
            near => near,
        };
        near.into_iter().map(str::to_owned).collect()
    }
}

/// The first name all of whose words are in another, or that has all words of it: `softener` and `water softener`.
fn share_words<'a>(found: &str, names: &[&'a str]) -> Option<&'a str> {
    let words = |name: &str| fold(name).split_whitespace().map(str::to_owned).collect::<Vec<_>>();
    let found = words(found);
    let all_in = |some: &[String], others: &[String]| some.iter().all(|word| others.contains(word));
    names.iter().copied().find(|name| {
        let name = words(name);
        all_in(&found, &name) || all_in(&name, &found)
    })
}

/// A run of the base bid cannot join one that is there only where an alternate is taken.
fn check_joined(base: &mut [Run], optional: &[Run], reading: &mut Reading) {
    let names: HashSet<String> = base.iter().map(|run| fold(&run.name)).collect();
    let mut parents: HashMap<String, &Run> = HashMap::new();
    for parent in optional {
        parents.entry(fold(&parent.name)).or_insert(parent);
    }
    for run in base {
        let Some(joined) = &run.joins else { continue };
        let folded = fold(joined);
        let Some(parent) = parents.get(&folded).filter(|_| !names.contains(&folded)) else { continue };
        run.in_error = true;
        let of: Vec<&str> = parent.scope.of.iter().map(|name| reading.lexicon.text(*name)).collect();
        let finding = joins_optional(joined, &of.join("; "));
        reading.trouble(run.row, "joins", finding);
    }
}

findings! {
    /// A run of the base bid that joins one that is not in it.
    fn joins_optional(joined: &str, alternate: &str) = error("joins-optional",
        "it is in the base bid and joins \"{joined}\", which is only in the alternate \"{alternate}\"",
        "a run that is there whenever what it joins is",
        "type {alternate} in its cell alternate, or let it join a run of the base bid");

    /// An alternate that only leaves work out, near to one that brings some.
    fn near_alternate(found: &str, remedy: &str) = warning("near-alternate",
        "no row belongs to the alternate \"{found}\": it only leaves work out",
        "an alternate that some row belongs to, or one that is a deduct",
        "{remedy}");
}
