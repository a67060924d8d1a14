//! What the built-in tables know of a word: closed lists, parts by any of their names and the patterns that bring them,
//! patterns row by row, systems, fixtures. `help` asks it. It prints nothing.

use super::told::{Cell, Table, Told};
use crate::ground::money::quantity;
use crate::ground::name::fold;
use crate::trade::{Adds, CLOSED, Job, Part, Pattern, PatternRow, System, Word};

/// The built-in tables, read.
pub(super) struct Known {
    job: Job,
}

impl Known {
    /// Reads the built-in tables: those of a job that has none of its own.
    pub(super) fn read() -> Self {
        Self { job: Job::from_texts(&[("runs", "run,service,size,length\n")]) }
    }

    /// Tells all that is known of a word.
    pub(super) fn tell(&self, word: &str, told: &mut Told) {
        let wanted = fold(word);
        let tables = [
            ("is_one_of", lists(&wanted)),
            ("parts", self.parts(&wanted)),
            ("systems", self.systems(&wanted)),
            ("fixtures", self.fixtures(&wanted)),
            ("drain_units", self.drain_units(&wanted)),
            ("pattern", self.pattern(&wanted)),
            ("patterns", self.patterns_with(&wanted)),
        ];
        for (key, table) in tables {
            if !table.things.is_empty() {
                if !told.parts.is_empty() {
                    told.gap();
                }
                told.table(key, table);
            }
        }
    }

    /// All words that it knows.
    pub(super) fn names(&self) -> impl Iterator<Item = &str> {
        let catalog = &self.job.catalog;
        let words = CLOSED.iter().flat_map(|list| list.words().map(|(word, _)| word));
        let patterns = catalog.patterns.iter().map(|pattern| &*pattern.name);
        let systems = catalog.systems.iter().map(|system| self.text(system.name));
        let fixtures = catalog.fixtures.iter().map(|fixture| self.text(fixture.fixture));
        let parts = catalog.part_names(&self.job.lexicon);
        words.chain(patterns).chain(parts).chain(systems).chain(fixtures)
    }

    fn text(&self, word: Word) -> &str {
        self.job.lexicon.text(word)
    }

    fn is(&self, wanted: &str, word: Word) -> bool {
        fold(self.text(word)) == wanted
    }

    fn joined(&self, words: &[Word]) -> String {
        words.iter().map(|word| self.text(*word)).collect::<Vec<_>>().join(", ")
    }

    fn parts(&self, wanted: &str) -> Table {
        let called = |part: &&Part| {
            fold(&part.name) == wanted || part.also.iter().any(|other| self.is(wanted, *other))
        };
        let row = |part: &Part| {
            let brings = |pattern: &&Pattern| pattern.rows.iter().any(|row| self.is_of(row, part));
            let patterns: Vec<&str> =
                self.job.catalog.patterns.iter().filter(brings).map(|pattern| &*pattern.name).collect();
            [
                part.name.to_string(),
                self.joined(&part.also),
                part.class.word().to_owned(),
                self.text(part.variant).to_owned(),
                part.note.to_string(),
                patterns.join(", "),
            ]
        };
        let rows = self.job.catalog.parts.iter().filter(called).map(row);
        listed(["part", "also called", "class", "variant", "note", "patterns that bring it"], rows)
    }

    /// Whether a row of a pattern adds a part, by any of its names.
    fn is_of(&self, row: &PatternRow, part: &Part) -> bool {
        match row.adds {
            Adds::Part(word, _) => word == part.word || part.also.contains(&word),
            Adds::Tube(_) | Adds::Nothing => false,
        }
    }

    fn systems(&self, wanted: &str) -> Table {
        let systems = self.job.catalog.systems.iter().filter(|system| self.is(wanted, system.name));
        let row = |system: &System| {
            let of = [system.tube, system.fit, system.joint].map(|word| self.text(word).to_owned());
            let [tube, fit, joint] = of;
            [
                self.text(system.name).to_owned(),
                system.side.word().to_owned(),
                tube,
                fit,
                joint,
                system.in_words.to_string(),
            ]
        };
        listed(["system", "side", "tube", "fit", "joint", "in words"], systems.map(row))
    }

    fn fixtures(&self, wanted: &str) -> Table {
        let fixtures = self.job.catalog.fixtures.iter().filter(|one| self.is(wanted, one.fixture));
        let rows = fixtures.map(|one| [self.text(one.fixture).to_owned(), one.heights.to_string()]);
        listed(["fixture", "heights"], rows)
    }

    fn drain_units(&self, wanted: &str) -> Table {
        let rows = self.job.catalog.drain_units.iter().filter(|row| {
            self.is(wanted, row.fixture) || row.also.iter().any(|other| self.is(wanted, *other))
        });
        let rows = rows.map(|row| {
            [
                self.text(row.fixture).to_owned(),
                self.joined(&row.also),
                self.text(row.family).to_owned(),
                quantity(row.units),
                self.text(row.trap).to_owned(),
            ]
        });
        listed(["fixture", "also called", "code family", "drain units", "trap"], rows)
    }

    /// What a pattern of that name adds, row by row.
    fn pattern(&self, wanted: &str) -> Table {
        let patterns = self.job.catalog.patterns.iter().filter(|pattern| fold(&pattern.name) == wanted);
        // A pattern without rows adds nothing: its name says what the run is.
        let rows = patterns.flat_map(|pattern| {
            let nothing = pattern.rows.is_empty().then_some((pattern, None));
            nothing.into_iter().chain(pattern.rows.iter().map(move |row| (pattern, Some(row))))
        });
        let rows = rows.map(|(pattern, row)| {
            let Some(row) = row else {
                return [&*pattern.name, "nothing", "", "", "", ""].map(str::to_owned);
            };
            let (part, how_many) = match row.adds {
                Adds::Part(part, many) => (self.text(part).to_owned(), quantity(many)),
                Adds::Tube(length) => ("tube".to_owned(), length.to_string()),
                Adds::Nothing => ("nothing".to_owned(), String::new()),
            };
            let per = row.per.word(&self.job.lexicon).to_owned();
            let phase = row.phase.map(|phase| phase.word().to_owned()).unwrap_or_default();
            [pattern.name.to_string(), part, how_many, per, phase, row.note.to_string()]
        });
        listed(["pattern", "adds", "how many", "per", "phase", "note"], rows)
    }

    /// The patterns whose name has the word among others.
    fn patterns_with(&self, wanted: &str) -> Table {
        let has = |pattern: &&Pattern| {
            let name = fold(&pattern.name);
            name != wanted && name.split(' ').any(|word| word == wanted)
        };
        let rows = self.job.catalog.patterns.iter().filter(has).map(|pattern| {
            let notes = pattern.rows.first().map(|row| row.note.to_string());
            [pattern.name.to_string(), notes.unwrap_or_default()]
        });
        listed(["other patterns", "note"], rows)
    }
}

/// The closed lists that have the word, and what it means in each.
fn lists(wanted: &str) -> Table {
    let rows = CLOSED.iter().flat_map(|list| {
        let words = list.words().filter(|(word, _)| fold(word) == wanted);
        words.map(|(word, means)| [word.to_owned(), list.table.to_owned(), list.column.to_owned(), means])
    });
    listed(["word", "table", "column", "means"], rows)
}

fn listed<const N: usize>(heads: [&'static str; N], rows: impl Iterator<Item = [String; N]>) -> Table {
    let text = |text: String| if text.is_empty() { Cell::nothing() } else { Cell::text(text) };
    Table::listed(heads, rows.map(|row| row.into_iter().map(text).collect()).collect())
}
