//! Patterns: named ways to build a run. Each assembly rule is a row of the table `patterns`.

use std::collections::HashMap;

use rust_decimal::Decimal;

use super::Catalog;
use super::part::Part;
use crate::ground::Length;
use crate::ground::name::{fold, nearest};
use crate::ground::notice::{Finding, error, findings};
use crate::table::{Got, TableFile};
use crate::trade::lexicon::{Lexicon, Word};
use crate::trade::reading::findings::{not_above_zero, one_of};
use crate::trade::reading::{Reading, Row, Text, parts, unknown};
use crate::trade::run::Side;
use crate::trade::run::{Phase, Run, RunColumns};
use crate::trade::shape::{pick, table, type_nearest};

table! {
    /// The table `patterns`.
    PATTERNS = "patterns", Noticed, Column first {
        pattern = "pattern", required, Text, "the name of the pattern";
        part = "part", optional, Text, "what it adds, by any name of the part; tube adds a piece at an end; empty: nothing, the row only declares the pattern";
    };
    /// A row of a pattern: one rule.
    PatternRow(in_error) given asked: &Asked<'_> {
        adds: Adds = "quantity", optional, Number, "how many; for tube a length; empty: 1";
            |row, at| asked.adds(row, at);
        per: Per = "per", optional, Text,
            "what the quantity is for: run, turn, bend, elbow, start, end, both, tap, place, length, or a count column of the run list; empty: run";
            |row, at| asked.per(row, at);
        sizes: Box<[Word]> = "size", optional, Size,
            "the size of its openings, one or one for each; empty: the size of the run there";
            |row, at| asked.sizes(row, at);
        variant: Word = "variant", optional, Text, "which variant of the part";
            |row, at| row.word(at);
        stands: Option<Where> = "where", optional, Text,
            "its place in line: start, end, or a distance, with a minus from the end";
            stands;
        every: Option<Length> = "every", optional, Length, "per length: the length of run that asks for one more";
            |row, at| row.positive_length(at);
        systems: Box<[Word]> = "system" ["systems"], optional, Text,
            "systems, tube families or fits the row is for, parted by semicolons; empty: all";
            |row, at| asked.systems(row, at);
        only: Box<[(Word, Word)]> = "only", optional, Text,
            "only runs with these values: column=value, several parted by semicolons";
            |row, at| asked.only(row, at);
        phase: Option<Phase> = "phase", optional, Text, "when it is installed; empty: with its run";
            |row, at| row.choice(at);
        laid_in: Option<Word> = "laid in", optional, Text,
            "the system that its runs are laid in, unless a run names its own: in a row without a part, with the systems that this is instead of in `system`";
            |row, at| asked.laid_in(row, at);
        side: Option<Side> = "side", optional, Text, "drain: its pattern is of drains and vents alone; once is enough in a pattern";
            |row, at| row.choice(at);
        note: Text = "note", optional, Text, "a note";
            |row, at| row.kept(at);
    }
}

/// The id of a pattern in the catalog.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PatternId(pub u32);

/// A pattern: its rows in the order written.
#[derive(Debug, Clone)]
pub struct Pattern {
    /// Its name as first written.
    pub name: Text,
    /// The side of the house that it is of alone, where a row says so.
    pub side: Option<Side>,
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

    /// Whether a run has the values that the row asks for in `only`.
    pub fn is_for(&self, run: &Run, lexicon: &Lexicon) -> bool {
        self.only.iter().all(|(column, value)| run.holds(*column, *value, lexicon))
    }
}

impl Per {
    /// The word for it: of a further column its heading.
    pub fn word(self, lexicon: &Lexicon) -> &str {
        if let Self::Column(column) = self {
            return lexicon.text(column);
        }
        PERS.iter().find(|(per, _)| *per == self).map_or("", |(_, word)| *word)
    }
}

/// Reads a table of patterns over a catalog whose parts are known; rows in error stay in it.
///
/// `columns` are those of the run list; the program's own patterns may ask for more than a run list has.
pub(super) fn read(
    file: &TableFile,
    reading: &mut Reading,
    catalog: &Catalog,
    columns: &RunColumns,
    built_in: bool,
) -> Vec<Pattern> {
    let mut patterns: Vec<Pattern> = Vec::new();
    let mut places: HashMap<Word, usize> = HashMap::new();
    let stood = catalog.patterns.iter().map(|pattern| (fold(&pattern.name), pattern)).collect();
    reading.read(file, &PATTERNS, |row| {
        let name = row.needed_name(Column::pattern);
        if name.is_empty() {
            return;
        }
        let place = *places.entry(row.lexicon.word(&name)).or_insert_with(|| {
            patterns.push(Pattern { name, side: None, rows: Vec::new() });
            patterns.len() - 1
        });
        let side = row.choice(Column::side);
        patterns[place].side = patterns[place].side.or(side);
        let read = Asked { catalog, columns, stood: &stood, built_in, tube: false, part: None }.row(row);
        patterns[place].rows.extend(read);
    });
    patterns
}

/// What a row is read with: what it may name, and the part that it names.
pub(super) struct Asked<'c> {
    catalog: &'c Catalog,
    columns: &'c RunColumns,
    /// The patterns of the tables before, by their folded names.
    stood: &'c HashMap<String, &'c Pattern>,
    built_in: bool,
    tube: bool,
    part: Option<&'c Part>,
}

impl<'c> Asked<'c> {
    /// The row; nothing where it only declares its pattern.
    fn row(mut self, row: &mut Row<'_, '_>) -> Option<PatternRow> {
        let word = row.word(Column::part);
        if word.is_empty() && row.is_blank(Column::laid_in) {
            return None;
        }
        if !word.is_empty() {
            let variant = row.word(Column::variant);
            self.part = self.part(row, word, variant);
            self.tube = self.catalog.is_tube(word);
        }
        let mut read = PatternRow::read(row, &self);
        if read.adds != Adds::Nothing {
            self.check(row, &read);
        }
        read.in_error = row.in_error() || self.part.is_some_and(|part| part.in_error);
        Some(read)
    }

    /// The system that runs of the pattern are laid in.
    fn laid_in(&self, row: &mut Row<'_, '_>, at: usize) -> Option<Word> {
        let word = Some(row.word(at)).filter(|word| !word.is_empty())?;
        if self.catalog.system_named(word).is_none() {
            let names = row.lexicon.near(self.catalog.systems.iter().map(|system| system.name));
            row.trouble(at, unknown::system(row.lexicon.text(word), names));
        }
        Some(word)
    }

    /// The part a word and a variant name in any system: the one that its openings are judged by.
    fn part(&self, row: &mut Row<'_, '_>, word: Word, variant: Word) -> Option<&'c Part> {
        let lexicon = &*row.lexicon;
        let begun;
        let called = match self.catalog.parts_called_or_used(word) {
            [] => {
                begun = self.catalog.manifolds(word, lexicon);
                begun.as_slice()
            }
            called => called,
        };
        let Some(first) = called.first() else {
            let finding = unknown::part(row.text(Column::part), self.catalog.part_names(lexicon));
            row.trouble(Column::part, finding);
            return None;
        };
        let of_variant = called.iter().find(|id| self.catalog.part(**id).variant == variant);
        if of_variant.is_none() && !variant.is_empty() {
            let known = lexicon.near(called.iter().map(|id| self.catalog.part(*id).variant));
            row.trouble(Column::variant, unknown::variant(lexicon.text(variant), known));
        }
        Some(self.catalog.part(*of_variant.unwrap_or(first)))
    }

    fn per(&self, row: &mut Row<'_, '_>, at: usize) -> Per {
        let text = row.text(at).to_owned();
        if text.is_empty() {
            return Per::Run;
        }
        if let Some(per) = pick(&text, &PERS) {
            return per;
        }
        if let Some(column) = self.columns.further(&text) {
            return Per::Column(column);
        }
        if !self.built_in && !self.stood_already(row, &text) {
            let further = row.lexicon.near_texts(self.columns.further_names(row.lexicon));
            row.trouble(at, unknown_per(&text, further));
        }
        Per::Column(row.lexicon.word(&text))
    }

    /// Whether a pattern of this name that stands already (a built-in one, copied to be changed) counts by this column:
    /// it may ask for columns that only some run lists have.
    fn stood_already(&self, row: &Row<'_, '_>, column: &str) -> bool {
        let name = fold(row.text(Column::pattern));
        let column = row.lexicon.find(column).map(Per::Column);
        self.stood.get(&name).is_some_and(|pattern| pattern.rows.iter().any(|row| Some(row.per) == column))
    }

    fn adds(&self, row: &mut Row<'_, '_>, at: usize) -> Adds {
        let word = row.word(Column::part);
        if word.is_empty() {
            return Adds::Nothing;
        }
        if !self.tube {
            let quantity = row.positive(at).unwrap_or(Decimal::ONE);
            let with_openings = self.part.filter(|part| !part.ports.is_empty());
            if let Some(part) = with_openings.filter(|_| !quantity.fract().is_zero()) {
                row.trouble(at, part_of_a_part(&part.name, quantity));
            }
            return Adds::Part(word, quantity);
        }
        let length = row.length(at);
        match length {
            Got::Value(length) if length <= Length::ZERO => {
                row.trouble(at, not_above_zero("quantity", length))
            }
            Got::Empty => row.trouble(at, tube_without_length()),
            Got::Value(_) | Got::Misread => {}
        }
        Adds::Tube(length.value().unwrap_or_default())
    }

    fn sizes(&self, row: &mut Row<'_, '_>, at: usize) -> Box<[Word]> {
        let sizes = row.sizes(at);
        for size in sizes.iter().filter(|size| !self.catalog.knows_size(**size)) {
            let lexicon = &*row.lexicon;
            let finding = unknown::size(lexicon.text(*size), self.catalog.size_names(lexicon));
            row.trouble(at, finding);
        }
        if let Some(part) = self.part
            && sizes.len() > 1
            && sizes.len() != part.ports.len()
        {
            row.trouble(at, sizes_and_ports(&part.name, part.ports.len(), sizes.len()));
        }
        sizes
    }

    fn systems(&self, row: &mut Row<'_, '_>, at: usize) -> Box<[Word]> {
        let systems = row.words(at);
        for word in systems.iter().filter(|word| !self.catalog.knows_system_or_tube(**word)) {
            let lexicon = &*row.lexicon;
            let finding = unknown::system_or_tube(lexicon.text(*word), self.catalog.system_names(lexicon));
            row.trouble(at, finding);
        }
        systems
    }

    fn only(&self, row: &mut Row<'_, '_>, at: usize) -> Box<[(Word, Word)]> {
        let text = row.text(at).to_owned();
        let mut pairs = Vec::new();
        for one in parts(&text) {
            let Some((column, value)) = one.split_once('=') else {
                row.trouble(at, only_form(one));
                continue;
            };
            let (column, value) = (column.trim(), value.trim());
            match self.columns.asked(column, row.lexicon) {
                Some(word) => {
                    let value = self.columns.value(column, value);
                    pairs.push((word, row.lexicon.word(&value)));
                }
                None if self.built_in => {
                    pairs.push((row.lexicon.word(column), row.lexicon.word(value)));
                }
                None => {
                    let finding = unknown::column(column, self.columns.names_asked(row.lexicon));
                    row.trouble(at, finding);
                }
            }
        }
        pairs.into()
    }

    /// What the cells of the row say against each other.
    fn check(&self, row: &mut Row<'_, '_>, read: &PatternRow) {
        let (part, tube) = (self.part, self.tube);
        let per = read.per.word(row.lexicon).to_owned();
        let placed = !row.text(Column::stands).is_empty();
        if tube && placed {
            row.trouble(Column::stands, where_on_tube());
        } else if tube && !read.at_an_end() {
            row.trouble(Column::per, tube_not_at_an_end(&per));
        } else if placed && read.at_an_end() {
            row.trouble(Column::stands, where_at_end(&per));
        }
        if let Some(part) = part
            && !tube
            && !placed
            && !part.ports.is_empty()
            && matches!(read.per, Per::Run | Per::Tap | Per::Length)
        {
            row.trouble(Column::part, part_nowhere(&part.name, &per));
        }
        let every = !row.text(Column::every).is_empty();
        if read.per == Per::Length && !every {
            row.trouble(Column::per, length_without_every());
        } else if read.per != Per::Length && every {
            row.trouble(Column::every, every_unused(&per));
        }
    }
}

/// Where a part is in line.
fn stands(row: &mut Row<'_, '_>, at: usize) -> Option<Where> {
    match row.text(at).to_ascii_lowercase().as_str() {
        "" => None,
        "start" => Some(Where::Start),
        "end" => Some(Where::End),
        _ => row.length(at).value().map(Where::At),
    }
}

/// What a quantity is for, in no known word.
fn unknown_per<'a>(found: &'a str, further: impl Iterator<Item = &'a str>) -> Finding {
    let known = PERS.map(|(_, word)| word);
    let near = nearest(found, known.into_iter().chain(further));
    error(
        "unknown-per",
        format!("per is \"{found}\""),
        format!("{}, or a count column of the run list", one_of(&known)),
        type_nearest(&near, "add the column to the run list, or type one of these words"),
    )
}

findings! {
    /// An `only` that is not `column=value`.
    fn only_form(found: &str) = error("only-form",
        "only is \"{found}\"",
        "column=value, several parted by semicolons",
        "type for example service=hot");

    /// A `where` on tube, which has no place in line.
    fn where_on_tube() = error("where-on-tube",
        "where is given on tube",
        "tube per start, end or both, without where",
        "empty where");

    /// A `where` on a part that stands at an end.
    fn where_at_end(per: &str) = error("where-at-end",
        "where is given on a part per {per}",
        "where only on a part in line",
        "empty where, or type run in per");

    /// Tube whose piece has no length.
    fn tube_without_length() = error("tube-without-length",
        "quantity is empty on tube",
        "the length of the piece, such as 6 in",
        "type the length in quantity");

    /// Tube per anything but an end.
    fn tube_not_at_an_end(per: &str) = error("tube-not-at-an-end",
        "tube is given per {per}",
        "tube per start, end or both",
        "type start, end or both in per; for a longer run type a longer length");

    /// A part with openings that stands nowhere.
    fn part_nowhere(part: &str, per: &str) = error("part-nowhere",
        "{part} has openings and is given per {per} without where",
        "a place in line for what cuts the tube",
        "type start, end or a distance in where");

    /// Openings that come in fractions.
    fn part_of_a_part(part: &str, found: Decimal) = error("part-of-a-part",
        "quantity is {found} of {part}, which has openings",
        "a whole number",
        "type a whole number");

    /// `per length` without `every`.
    fn length_without_every() = error("length-without-every",
        "per is length and every is empty",
        "the length of run that asks for one more",
        "type a length in every");

    /// `every` without `per length`.
    fn every_unused(per: &str) = warning("every-unused",
        "every is given on a row per {per}, where it changes nothing",
        "every only with per length",
        "empty every, or type length in per");

    /// Sizes that do not go with the ports of the part.
    fn sizes_and_ports(part: &str, ports: usize, sizes: usize) = error("sizes-and-ports",
        "{part} has {ports} openings and {sizes} sizes are given",
        "one size, or one for each opening in the order of ports",
        "type one size, or leave size empty for the size of the run");
}
