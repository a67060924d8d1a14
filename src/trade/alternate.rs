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
    let of_places = places.iter().map(|place| (&place.scope, place.row));
    let rows = runs.iter().map(|run| (&run.scope, run.row)).chain(of_places).collect();
    let said = Said { names, rows };
    for (name, row) in names {
        let Some((other, nearest)) = said.meant_by(*name, *row, &desk.lexicon) else { continue };
        let found = desk.lexicon.text(*name).to_owned();
        let spots = vec![desk.sources.cell(*row, "alternate")];
        let rows = said.naming(*name).count();
        let notice = match said.brings(*name) {
            true => Doubt::LookAlike { what: "alternate", found: &found, other: &other, rows }.word(spots),
            false => Trouble::NearAlternate { found: &found, nearest }.word(spots),
        };
        let cells = said.naming(*name).map(|(scope, row)| Instead {
            spot: desk.sources.cell(*row, "alternate"),
            text: scope.written_with(*name, &other, &desk.lexicon),
        });
        let notice = notice.or_each(cells);
        desk.notices.push(notice);
    }
}

/// What the rows of a job say of alternates.
struct Said<'a> {
    names: &'a [(Word, RowAt)],
    rows: Vec<(&'a Scope, RowAt)>,
}

impl<'a> Said<'a> {
    /// Whether a row belongs to an alternate.
    fn brings(&self, name: Word) -> bool {
        self.rows.iter().any(|(scope, _)| scope.of.contains(&name))
    }

    /// The rows that name an alternate.
    fn naming(&self, name: Word) -> impl Iterator<Item = &(&'a Scope, RowAt)> {
        self.rows.iter().filter(move |(scope, _)| scope.of.contains(&name) || scope.without.contains(&name))
    }

    /// The alternate that was probably meant by a name, and all that are near, as a remedy says them.
    fn meant_by(&self, name: Word, row: RowAt, lexicon: &Lexicon) -> Option<(String, String)> {
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
                .map(|(other, _)| (lexicon.text(*other).to_owned(), String::new()));
        }
        let bringing = others().filter(|(other, _)| self.brings(*other));
        let bringing: Vec<&str> = bringing.map(|(other, _)| lexicon.text(*other)).collect();
        if let Some(near) = nearest(found, bringing.iter().copied()).first() {
            return Some(((*near).to_owned(), nearest_of(found, bringing.iter().copied())));
        }
        share_words(found, &bringing).map(|near| (near.to_owned(), format!("\"{near}\"")))
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
