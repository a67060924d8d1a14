//! Alternates: optional work of a job. A row of `runs` or `places` may name them in its column `alternate`; such a row is
//! not in the base bid. `without NAME` says the other way round that a row of the base is left out where NAME is taken.
//!
//! [`Job::with_alternate`] is the job in which one of them is taken. Nothing is counted here.

use super::job::Job;
use super::lexicon::{Lexicon, Word};
use super::place::PlaceRow;
use super::row::{Desk, Row, nearest_of, parts};
use super::run::Run;
use super::words::Trouble;
use super::words_doubt::Doubt;
use crate::ground::name::{fold, look_alike, natural, nearest};
use crate::ground::{Instead, RowAt};

/// What a row says of alternates.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Scope {
    /// The alternates it belongs to; none: the base bid.
    pub of: Box<[Word]>,
    /// The alternates that leave it out.
    pub without: Box<[Word]>,
}

impl Scope {
    /// Reads a cell: names parted by semicolons, each alone or after `without`. A word for nothing is nothing, told; a
    /// word for yes names no alternate, which is an error.
    pub(super) fn read(row: &mut Row<'_, '_>, column: impl Into<usize>, lexicon: &mut Lexicon) -> Self {
        let column = column.into();
        let (mut of, mut without) = (Vec::new(), Vec::new());
        let text = row.text(column).to_owned();
        for one in parts(&text) {
            let folded = fold(one);
            if NOTHING.contains(&folded.as_str()) {
                row.doubt(column, Doubt::AlternateNone { found: one });
                continue;
            }
            match without_name(one) {
                Some(name) if !name.is_empty() => without.push(lexicon.word(name)),
                None if !NAMELESS.contains(&folded.as_str()) => of.push(lexicon.word(one)),
                Some(_) | None => row.doubt(column, Doubt::AlternateUnnamed { found: one }),
            }
        }
        Self { of: of.into(), without: without.into() }
    }

    /// The cell with one alternate in place of another.
    fn written_with(&self, name: Word, other: &str, lexicon: &Lexicon) -> String {
        let text = |word: Word| if word == name { other } else { lexicon.text(word) };
        let of = self.of.iter().map(|word| text(*word).to_owned());
        let without = self.without.iter().map(|word| format!("without {}", text(*word)));
        of.chain(without).collect::<Vec<_>>().join("; ")
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

/// What people write in the cell of a row that is in the base bid.
const NOTHING: [&str; 13] =
    ["no", "n", "none", "n/a", "na", "n.a.", "-", "--", "0", "base", "base bid", "false", "nil"];

/// What people write in the cell of a row that is optional, without saying which alternate it is.
const NAMELESS: [&str; 13] =
    ["yes", "y", "x", "true", "1", "opt", "opt.", "option", "optional", "alt", "alt.", "alternate", "add"];

/// Words before the name of an alternate that leaves a row out.
const WITHOUT: [&str; 13] = [
    "without",
    "w/o",
    "excluding",
    "excludes",
    "exclude",
    "excluded from",
    "excl.",
    "excl",
    "except",
    "minus",
    "less",
    "not in",
    "deleted by",
];

/// The name behind a word for `without`; empty where the word stands alone.
fn without_name(text: &str) -> Option<&str> {
    WITHOUT.iter().find_map(|word| {
        let (first, name) = text.split_at_checked(word.len())?;
        let parted = name.is_empty() || name.starts_with(char::is_whitespace);
        (parted && first.eq_ignore_ascii_case(word)).then_some(name.trim())
    })
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

/// Names that are probably slips of the pen: one that only leaves work out and that no row belongs to, and one that looks
/// like another that more rows name.
fn doubtful_names(names: &[(Word, RowAt)], runs: &[Run], places: &[PlaceRow], desk: &mut Desk) {
    let of_places = || places.iter().map(|place| (&place.scope, place.row));
    let rows: Vec<(&Scope, RowAt)> =
        runs.iter().map(|run| (&run.scope, run.row)).chain(of_places()).collect();
    let brings = |name: Word| rows.iter().any(|(scope, _)| scope.of.contains(&name));
    let naming = |name: Word| {
        rows.iter().filter(move |(scope, _)| scope.of.contains(&name) || scope.without.contains(&name))
    };
    for (name, row) in names {
        let found = desk.lexicon.text(*name).to_owned();
        let others = || names.iter().map(|(other, _)| *other).filter(|other| other != name);
        let alike = |other: &Word| look_alike(&found, desk.lexicon.text(*other));
        let count = naming(*name).count();
        let more = |other: &Word| {
            let of_other = naming(*other).count();
            of_other > count
                || of_other == count
                    && names.iter().position(|(one, _)| one == other)
                        < names.iter().position(|(one, _)| one == name)
        };
        let bringing: Vec<&str> =
            others().filter(|other| brings(*other)).map(|other| desk.lexicon.text(other)).collect();
        let near = match brings(*name) {
            true => others().find(|other| alike(other) && more(other)).map(|other| desk.lexicon.text(other)),
            false => nearest(&found, bringing.iter().copied())
                .first()
                .copied()
                .or_else(|| share_words(&found, &bringing)),
        };
        let near = near.map(str::to_owned);
        let meant: Vec<(RowAt, String)> = near
            .iter()
            .flat_map(|near| {
                naming(*name).map(|(scope, row)| (*row, scope.written_with(*name, near, &desk.lexicon)))
            })
            .collect();
        let nearest = match nearest_of(&found, bringing.into_iter()) {
            none if none.is_empty() => near.iter().map(|near| format!("\"{near}\"")).collect(),
            some => some,
        };
        let spot = desk.sources.cell(*row, "alternate");
        let notice = match (&near, brings(*name)) {
            (Some(other), true) => {
                Doubt::LookAlike { what: "alternate", found: &found, other, rows: count }.word(vec![spot])
            }
            (Some(_), false) => Trouble::NearAlternate { found: &found, nearest }.word(vec![spot]),
            (None, _) => continue,
        };
        desk.notices.push(notice.or_each(
            meant.into_iter().map(|(row, text)| Instead { spot: desk.sources.cell(row, "alternate"), text }),
        ));
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
