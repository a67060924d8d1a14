//! Alternates: optional work of a job. A row of `runs` or `places` may name them in its column `alternate`; such a row is
//! not in the base bid. `without NAME` says the other way round that a row of the base is left out where NAME is taken.
//!
//! [`Job::with_alternate`] is the job in which one of them is taken. Nothing is counted here.

use super::job::Job;
use super::lexicon::{Lexicon, Word};
use super::place::PlaceRow;
use super::row::{Desk, nearest_of, parts};
use super::run::Run;
use super::words::Trouble;
use crate::ground::RowAt;
use crate::ground::name::{fold, natural};

/// What a row says of alternates.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Scope {
    /// The alternates it belongs to; none: the base bid.
    pub of: Box<[Word]>,
    /// The alternates that leave it out.
    pub without: Box<[Word]>,
}

impl Scope {
    /// Reads a cell: names parted by semicolons, each alone or after `without`.
    pub(super) fn read(text: &str, lexicon: &mut Lexicon) -> Self {
        let (mut of, mut without) = (Vec::new(), Vec::new());
        for one in parts(text) {
            match one.split_once(char::is_whitespace) {
                Some((first, name)) if first.eq_ignore_ascii_case("without") => {
                    without.push(lexicon.word(name));
                }
                Some(_) | None => of.push(lexicon.word(one)),
            }
        }
        Self { of: of.into(), without: without.into() }
    }

    /// Whether the row is in the base bid.
    pub fn is_base(&self) -> bool {
        self.of.is_empty()
    }

    /// Whether the row is there where one alternate is taken.
    pub fn is_with(&self, name: Word) -> bool {
        (self.is_base() || self.of.contains(&name)) && !self.without.contains(&name)
    }
}

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
pub(super) fn part_off(runs: &mut Vec<Run>, places: &mut Vec<PlaceRow>, desk: &mut Desk) -> Alternates {
    let mut alternates = Alternates { names: names(runs, places, &desk.lexicon), ..Alternates::default() };
    if alternates.names.is_empty() {
        return alternates;
    }
    doubtful_names(&alternates.names, runs, places, desk);
    let (base, optional) = std::mem::take(runs).into_iter().partition(|run| run.scope.is_base());
    (*runs, alternates.runs) = (base, optional);
    let (base, optional) = std::mem::take(places).into_iter().partition(|place| place.scope.is_base());
    (*places, alternates.places) = (base, optional);
    joins_optional(runs, &alternates.runs, desk);
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

/// A name that only leaves work out, near to one that brings work, is probably a slip of the pen.
fn doubtful_names(names: &[(Word, RowAt)], runs: &[Run], places: &[PlaceRow], desk: &mut Desk) {
    let scopes = || runs.iter().map(|run| &run.scope).chain(places.iter().map(|place| &place.scope));
    let brings = |name: Word| scopes().any(|scope| scope.of.contains(&name));
    for (name, row) in names.iter().filter(|(name, _)| !brings(*name)) {
        let found = desk.lexicon.text(*name).to_owned();
        let others = names.iter().filter(|(other, _)| brings(*other));
        let nearest = nearest_of(&found, others.map(|(other, _)| desk.lexicon.text(*other)));
        if !nearest.is_empty() {
            desk.trouble(*row, "alternate", Trouble::NearAlternate { found: &found, nearest });
        }
    }
}

/// A run of the base bid cannot join one that is there only where an alternate is taken.
fn joins_optional(base: &mut [Run], optional: &[Run], desk: &mut Desk) {
    let names: Vec<String> = base.iter().map(|run| fold(&run.name)).collect();
    for run in base {
        let Some(joined) = &run.joins else { continue };
        let folded = fold(joined);
        let Some(parent) = optional.iter().find(|parent| fold(&parent.name) == folded) else { continue };
        if names.contains(&folded) {
            continue;
        }
        run.in_error = true;
        let of: Vec<&str> = parent.scope.of.iter().map(|name| desk.lexicon.text(*name)).collect();
        let alternate = of.join("; ");
        desk.trouble(run.row, "joins", Trouble::JoinsOptional { joined, alternate: &alternate });
    }
}

impl Job {
    /// The job in which one alternate is taken: its rows are there, and rows that it leaves out are not. Rows stand as the
    /// tables have them. It compares nothing and holds no choices: these were made for the base.
    pub fn with_alternate(&self, name: Word) -> Self {
        let mut job = self.chosen_alone();
        job.runs.extend(self.alternates.runs.iter().cloned());
        job.runs.retain(|run| run.scope.is_with(name));
        job.runs.sort_by_key(|run| run.row);
        job.places.extend(self.alternates.places.iter().cloned());
        job.places.retain(|place| place.scope.is_with(name));
        job.places.sort_by_key(|place| place.row);
        job
    }

    /// The job without other systems to compare, without choices to keep and without alternates: what an alternate is set
    /// against.
    pub fn chosen_alone(&self) -> Self {
        let mut job = self.clone();
        job.terms.compare_with.clear();
        job.held.clear();
        job.alternates = Alternates::default();
        job
    }
}
