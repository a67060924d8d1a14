//! Patterns: named ways to build a run. Each assembly rule is a row of the table `patterns`.

use std::collections::HashMap;

use rust_decimal::Decimal;

use super::catalog::Catalog;
use super::lexicon::{Lexicon, Word};
use super::part::Part;
use super::row::{Desk, Row, nearest_of};
use super::run::{PHASES, Phase};
use super::run_column::{ASKED, RunColumns};
use super::shape::shape;
use super::words::{Named, Trouble};
use crate::ground::name::fold;
use crate::ground::{Length, RowAt};
use crate::table::{Got, TableFile};

shape! {
    /// The table `patterns`.
    PATTERNS = "patterns", Noticed, Column {
        Pattern = "pattern", required, Text, "the name of the pattern";
        Part = "part", optional, Text, "what it adds, by any name of the part; tube adds a piece at an end; empty: nothing, the row only declares the pattern";
        Quantity = "quantity", optional, Number, "how many; for tube a length; empty: 1";
        Per = "per", optional, Text, "what the quantity is for: run, turn, bend, elbow, start, end, both, tap, place, length, or a count column of the run list; empty: run";
        Size = "size", optional, Size, "the size of its openings, one or one for each; empty: the size of the run where it stands";
        Variant = "variant", optional, Text, "which variant of the part";
        Where = "where", optional, Text, "where it stands in line: start, end, or a distance, with a minus from the end";
        Every = "every", optional, Length, "per length: the length of run that asks for one more";
        System = "system" ["systems"], optional, Text, "systems, tube families or fits the row is for, parted by semicolons; empty: all";
        Only = "only", optional, Text, "only runs with these values: column=value, several parted by semicolons";
        Phase = "phase", optional, Text, "when it is installed; empty: with its run";
        LaidIn = "laid in", optional, Text, "the system that its runs are laid in, unless a run names its own: in a row without a part, with the systems that this is instead of in `system`";
        Note = "note", optional, Text, "a note";
    }
}

/// The id of a pattern in the catalog.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PatternId(pub u32);

/// A pattern: its rows in the order written.
#[derive(Debug, Clone)]
pub struct Pattern {
    /// Its name as first written.
    pub name: Box<str>,
    /// Its rows. A pattern may have none: it adds nothing.
    pub rows: Vec<PatternRow>,
}

/// What a row's quantity is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Per {
    /// Once a run.
    Run,
    /// Each 90-degree change.
    Turn,
    /// Each turn taken as a bend.
    Bend,
    /// Each turn that takes an elbow.
    Elbow,
    /// The run's beginning, where no run meets it.
    Start,
    /// The run's end, where no run meets it.
    End,
    /// Each of the two.
    Both,
    /// Each run that ties in between the ends.
    Tap,
    /// The place, once.
    Place,
    /// Each `every` of the run's length begun.
    Length,
    /// So many as a further column of the run list says.
    Column(Word),
}

/// Where a part stands in line of its run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Where {
    /// One least piece inside the beginning.
    Start,
    /// One least piece inside the end.
    End,
    /// At a distance from the beginning; negative from the end.
    At(Length),
}

/// What a pattern row adds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Adds {
    /// So many of a part, by the words written (name, other name, or what the engine uses it as).
    Part(Word, Decimal),
    /// A piece of tube of this length in an end's chain.
    Tube(Length),
    /// Nothing: the row only declares its pattern.
    Nothing,
}

/// One assembly rule.
#[derive(Debug, Clone)]
pub struct PatternRow {
    /// Where it stands.
    pub row: RowAt,
    /// Whether a cell of the row was misread.
    pub in_error: bool,
    /// What it adds.
    pub adds: Adds,
    /// What the quantity is for.
    pub per: Per,
    /// Sizes of its ports; empty: the size of the run where it stands.
    pub sizes: Box<[Word]>,
    /// Which variant of the part.
    pub variant: Word,
    /// Where it stands in line.
    pub stands: Option<Where>,
    /// The length that `per` length goes by.
    pub every: Option<Length>,
    /// Systems or tube families it is for; empty: all.
    pub systems: Box<[Word]>,
    /// Columns of the run and the value each must have, both folded words.
    pub only: Box<[(Word, Word)]>,
    /// The phase it is installed in; nothing: its run's.
    pub phase: Option<Phase>,
    /// The system that runs of the pattern are laid in, where the row is for the one they would have: a spout drop in
    /// copper, whatever the house is of.
    pub laid_in: Option<Word>,
    /// A note, as written.
    pub note: Box<str>,
}

const PERS: [(Per, &str); 10] = [
    (Per::Run, "run"),
    (Per::Turn, "turn"),
    (Per::Bend, "bend"),
    (Per::Elbow, "elbow"),
    (Per::Start, "start"),
    (Per::End, "end"),
    (Per::Both, "both"),
    (Per::Tap, "tap"),
    (Per::Place, "place"),
    (Per::Length, "length"),
];

impl PatternRow {
    /// Whether it stands at an end of a run, in its chain.
    pub fn at_an_end(&self) -> bool {
        matches!(self.per, Per::Start | Per::End | Per::Both)
    }
}

/// Reads a table of patterns over a catalog whose parts are known; rows in error stay in it.
///
/// `columns` are those of the run list; the program's own patterns may ask for more than a run list has.
pub(super) fn read(
    file: &TableFile,
    desk: &mut Desk,
    catalog: &Catalog,
    columns: &RunColumns,
    built_in: bool,
) -> Vec<Pattern> {
    let mut patterns: Vec<Pattern> = Vec::new();
    let mut places: HashMap<Word, usize> = HashMap::new();
    desk.read(file, &PATTERNS, |row, lexicon| {
        let name = row.needed(Column::Pattern);
        if name.is_empty() {
            return;
        }
        let word = lexicon.word(&name);
        let place = *places.entry(word).or_insert_with(|| {
            patterns.push(Pattern { name, rows: Vec::new() });
            patterns.len() - 1
        });
        let mut reading = Reading { row, lexicon, catalog, columns, built_in };
        if let Some(read) = reading.row() {
            patterns[place].rows.push(read);
        }
    });
    patterns
}

/// One row while it is read, with what it may name.
struct Reading<'r, 'b, 'a, 'c> {
    row: &'r mut Row<'b, 'a>,
    lexicon: &'r mut Lexicon,
    catalog: &'c Catalog,
    columns: &'c RunColumns,
    built_in: bool,
}

impl<'c> Reading<'_, '_, '_, 'c> {
    /// The row; nothing where it only declares its pattern.
    fn row(&mut self) -> Option<PatternRow> {
        let laid_in = self.laid_in();
        if self.row.text(Column::Part).is_empty() {
            return laid_in.map(|system| self.laid_row(system));
        }
        let word = self.row.word(Column::Part, self.lexicon);
        let variant = self.row.word(Column::Variant, self.lexicon);
        let part = self.part(word, variant);
        let per = self.per();
        let tube = self.catalog.is_tube(word);
        let adds = if tube { self.tube() } else { self.quantity(word, part) };
        let stands = self.stands();
        let sizes = self.row.sizes(Column::Size, self.lexicon);
        self.check_sizes(&sizes, part);
        let read = PatternRow {
            row: self.row.at(),
            in_error: false,
            adds,
            per,
            sizes,
            variant,
            stands,
            every: self.row.positive_length(Column::Every),
            systems: self.systems(),
            only: self.only(),
            phase: self.row.one_of(Column::Phase, &PHASES).value(),
            laid_in,
            note: self.row.text(Column::Note).into(),
        };
        self.check(&read, part, tube);
        let in_error = self.row.in_error() || part.is_some_and(|part| part.in_error);
        Some(PatternRow { in_error, ..read })
    }

    /// The system that runs of the pattern are laid in.
    fn laid_in(&mut self) -> Option<Word> {
        let word = self.row.word(Column::LaidIn, self.lexicon);
        if word.is_empty() {
            return None;
        }
        if self.catalog.system_named(word).is_none() {
            let found = self.lexicon.text(word);
            let names = self.catalog.systems.iter().map(|system| self.lexicon.text(system.name));
            let nearest = nearest_of(found, names);
            self.row.trouble(Column::LaidIn, Trouble::UnknownName { what: Named::System, found, nearest });
        }
        Some(word)
    }

    /// A row that adds nothing and says what its runs are laid in.
    fn laid_row(&mut self, system: Word) -> PatternRow {
        let (systems, only) = (self.systems(), self.only());
        PatternRow {
            row: self.row.at(),
            in_error: self.row.in_error(),
            adds: Adds::Nothing,
            per: Per::Run,
            sizes: Box::default(),
            variant: Word::EMPTY,
            stands: None,
            every: None,
            systems,
            only,
            phase: None,
            laid_in: Some(system),
            note: self.row.text(Column::Note).into(),
        }
    }

    /// The part a word and a variant name in any system: the one that its openings are judged by.
    fn part(&mut self, word: Word, variant: Word) -> Option<&'c Part> {
        let begun;
        let called = match self.catalog.parts_called_or_used(word) {
            [] => {
                begun = self.catalog.manifolds(word, self.lexicon);
                begun.as_slice()
            }
            called => called,
        };
        let found = self.row.text(Column::Part).to_owned();
        let Some(first) = called.first() else {
            let nearest = nearest_of(&found, self.catalog.part_names(self.lexicon));
            self.row
                .trouble(Column::Part, Trouble::UnknownName { what: Named::Part, found: &found, nearest });
            return None;
        };
        let of_variant = called.iter().find(|id| self.catalog.part(**id).variant == variant);
        if of_variant.is_none() && !variant.is_empty() {
            let known = called.iter().map(|id| self.lexicon.text(self.catalog.part(*id).variant));
            let nearest = nearest_of(self.lexicon.text(variant), known);
            let found = self.lexicon.text(variant);
            self.row.trouble(Column::Variant, Trouble::UnknownName { what: Named::Variant, found, nearest });
        }
        Some(self.catalog.part(*of_variant.unwrap_or(first)))
    }

    fn per(&mut self) -> Per {
        let text = self.row.text(Column::Per).to_owned();
        if text.is_empty() {
            return Per::Run;
        }
        if let Some(per) = super::row::pick(&text, &PERS) {
            return per;
        }
        if let Some(column) = self.columns.further(&text) {
            return Per::Column(column);
        }
        if !self.built_in && !self.stood_already(&text) {
            let known = PERS.map(|(_, word)| word);
            let names = known.iter().copied().chain(self.columns.further_names(self.lexicon));
            let nearest = nearest_of(&text, names);
            self.row.trouble(Column::Per, Trouble::UnknownPer { found: &text, known: &known, nearest });
        }
        Per::Column(self.lexicon.word(&text))
    }

    /// Whether a pattern of this name that stands already (a built-in one, copied to be changed) counts by this column:
    /// it may ask for columns that only some run lists have.
    fn stood_already(&self, column: &str) -> bool {
        let name = fold(self.row.text(Column::Pattern));
        let column = self.lexicon.find(column).map(Per::Column);
        let namesake = self.catalog.patterns.iter().find(|pattern| fold(&pattern.name) == name);
        namesake.is_some_and(|pattern| pattern.rows.iter().any(|row| Some(row.per) == column))
    }

    fn tube(&mut self) -> Adds {
        match self.row.length(Column::Quantity) {
            Got::Value(length) if length <= Length::ZERO => {
                let found = &length.to_string();
                self.row.trouble(Column::Quantity, Trouble::NotPositive { heading: "quantity", found });
                Adds::Tube(length)
            }
            Got::Value(length) => Adds::Tube(length),
            Got::Empty => {
                self.row.trouble(Column::Quantity, Trouble::TubeWithoutLength);
                Adds::Tube(Length::ZERO)
            }
            Got::Misread => Adds::Tube(Length::ZERO),
        }
    }

    fn quantity(&mut self, word: Word, part: Option<&Part>) -> Adds {
        let quantity = self.row.positive(Column::Quantity).unwrap_or(Decimal::ONE);
        if !quantity.fract().is_zero()
            && let Some(part) = part
            && !part.ports.is_empty()
        {
            let trouble = Trouble::PartOfAPart { part: &part.name, found: &quantity.to_string() };
            self.row.trouble(Column::Quantity, trouble);
        }
        Adds::Part(word, quantity)
    }

    fn stands(&mut self) -> Option<Where> {
        let text = self.row.text(Column::Where);
        if text.is_empty() {
            None
        } else if text.eq_ignore_ascii_case("start") {
            Some(Where::Start)
        } else if text.eq_ignore_ascii_case("end") {
            Some(Where::End)
        } else {
            self.row.length(Column::Where).value().map(Where::At)
        }
    }

    fn check_sizes(&mut self, sizes: &[Word], part: Option<&Part>) {
        for size in sizes {
            if !self.catalog.knows_size(*size) {
                let found = self.lexicon.text(*size);
                let nearest = nearest_of(found, self.catalog.size_names(self.lexicon));
                self.row.trouble(Column::Size, Trouble::UnknownName { what: Named::Size, found, nearest });
            }
        }
        if let Some(part) = part
            && sizes.len() > 1
            && sizes.len() != part.ports.len()
        {
            let trouble =
                Trouble::SizesAndPorts { part: &part.name, sizes: sizes.len(), ports: part.ports.len() };
            self.row.trouble(Column::Size, trouble);
        }
    }

    fn systems(&mut self) -> Box<[Word]> {
        let systems = self.row.words(Column::System, self.lexicon);
        for word in systems.iter().filter(|word| !self.catalog.knows_system_or_tube(**word)) {
            let found = self.lexicon.text(*word);
            let nearest = nearest_of(found, self.catalog.system_names(self.lexicon));
            self.row
                .trouble(Column::System, Trouble::UnknownName { what: Named::SystemOrTube, found, nearest });
        }
        systems
    }

    fn only(&mut self) -> Box<[(Word, Word)]> {
        let text = self.row.text(Column::Only).to_owned();
        let mut pairs = Vec::new();
        for one in super::row::parts(&text) {
            let Some((column, value)) = one.split_once('=') else {
                self.row.trouble(Column::Only, Trouble::OnlyForm { found: one });
                continue;
            };
            let (column, value) = (column.trim(), value.trim());
            match self.columns.asked(column, self.lexicon) {
                Some(word) => {
                    let value = self.columns.value(column, value);
                    pairs.push((word, self.lexicon.word(&value)));
                }
                None if self.built_in => pairs.push((self.lexicon.word(column), self.lexicon.word(value))),
                None => {
                    let names = ASKED.iter().copied().chain(self.columns.further_names(self.lexicon));
                    let nearest = nearest_of(column, names);
                    let trouble = Trouble::UnknownName { what: Named::Column, found: column, nearest };
                    self.row.trouble(Column::Only, trouble);
                }
            }
        }
        pairs.into()
    }

    /// What the cells of the row say against each other.
    fn check(&mut self, read: &PatternRow, part: Option<&Part>, tube: bool) {
        let per = match read.per {
            Per::Column(word) => self.lexicon.text(word).to_owned(),
            known => PERS
                .iter()
                .find(|(per, _)| *per == known)
                .map_or_else(String::new, |(_, word)| (*word).into()),
        };
        let placed = !self.row.text(Column::Where).is_empty();
        if tube && placed {
            self.row.trouble(Column::Where, Trouble::WhereOnTube);
        } else if tube && !read.at_an_end() {
            self.row.trouble(Column::Per, Trouble::TubeAway { per: &per });
        } else if placed && read.at_an_end() {
            self.row.trouble(Column::Where, Trouble::WhereAtEnd { per: &per });
        }
        if let Some(part) = part
            && !tube
            && !placed
            && !part.ports.is_empty()
            && matches!(read.per, Per::Run | Per::Tap | Per::Length)
        {
            self.row.trouble(Column::Part, Trouble::Nowhere { part: &part.name, per: &per });
        }
        let every = !self.row.text(Column::Every).is_empty();
        if read.per == Per::Length && !every {
            self.row.trouble(Column::Per, Trouble::NoEvery);
        } else if read.per != Per::Length && every {
            self.row.trouble(Column::Every, Trouble::EveryUnused { per: &per });
        }
    }
}
