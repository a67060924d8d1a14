//! `help`: how a command is used, the columns of a table or a file, what a word means here. What is written at length is in
//! `manual`, what the built-in tables say of a word in `known`. It prints nothing.

use std::ffi::OsString;

use super::args::{self, Stopped, verbatim};
use super::known::Known;
use super::manual::{self, Section};
use super::told::{Cell, Table, Told, Words};
use super::words::near;
use super::{CouldNot, Outcome, Refusal};
use crate::ground::name::{fold, fold_heading};
use crate::report::{self, OutputFile};
use crate::table::Shape;
use crate::trade::{ITEMS, SHAPES};

/// What is said of a word here, and nothing else is meant by it.
const WORDS: [(&str, &str); 45] = [
    (TOPICS, "what is written at length; `coilstick help` and the word before it prints it"),
    ("job", "one house to price: a folder of CSV tables, or one workbook with a sheet a table"),
    ("run", "one length of tube of one size and service between two points; a row of the run list"),
    ("place", "something runs meet or serve: a fixture, a heater, an outlet box, the main"),
    ("fixture", "the kind of a place that uses water: a sink, a shower"),
    ("service", "what flows: cold, hot, mixed, return, drain, vent"),
    ("main", "where water comes in; it is always there, as sewer, septic and roof are"),
    ("sewer", "what drains empty into, or septic; it is always there"),
    ("roof", "the open air, where vents end; it is always there, and brings the flashing"),
    ("drain", "a run of waste, measured from the sewer up the stream: it joins what it empties into"),
    (
        "vent",
        "a run of air: it joins the drain or vent that it airs, and ends at roof, at another vent or at a place",
    ),
    ("trap", "what keeps the air of the drains out of a room; the drain patterns of fixtures bring it"),
    ("system", "a tube family, a fitting fit and a joint: pex-clamp, copper-solder"),
    ("alternative", "the network with one system given to every run that names none"),
    ("part", "a thing bought: a kind, its openings, a variant"),
    ("port", "one opening of a part: its fit, size and sex"),
    ("joint", "a male end in a socket; it asks for what makes it: a ring; solder and flux; tape on a thread"),
    ("open end", "what is left over; it gets a cap or a plug, unless the opening is closed"),
    ("pattern", "a named way to build a run; each row of it is a rule"),
    ("rule", "one row of a pattern: a part, how many, and what for"),
    ("tail", "the last length of a run, in a smaller size"),
    ("allowance", "percent that you add to what is installed; it is rounded up to whole pieces once"),
    ("waste", "what was bought and not installed"),
    ("need", "what is installed"),
    ("allow", "what the allowance adds to the need"),
    ("buy", "whole packs, coils and sticks"),
    ("left over", "what is bought less what is needed and allowed"),
    ("offer", "one row of a price list: a coil, a stick, a pack, or each"),
    ("phase", "when it is done: underground, rough-in, tie-in, trim"),
    ("area", "a part of the house by which hours and difficulties are told apart"),
    ("takeoff", "what is installed"),
    ("order", "what is bought"),
    ("estimate", "what it costs"),
    ("bid", "what is asked for it"),
    ("markup", "percent of the cost that is added to it; a markup of 25 % is a margin of 20 %"),
    ("margin", "profit in percent of the price; a margin of 20 % is a markup of 25 %"),
    ("held", "choices of offers that a job must keep; estimate writes them into held.csv"),
    ("notice", "something wrong or doubtful in your tables, with its file, sheet and cell"),
    ("incomplete", "something is left out, not priced, or without hours: the sums do not hold everything"),
    ("per C", "a price for a hundred: 41.30 per C"),
    ("per M", "a price for a thousand; of tube it is told apart from a price by the metre"),
    ("ft", "feet of 12 in; lengths are written 12' 6 1/2\", 12 ft 6 in, 12.5 ft"),
    ("in", "inches: 6 1/2\", 6.5 in"),
    ("m", "metres: 3.81 m; the job says `units` if a bare length is one"),
    ("mm", "millimetres: 15 mm, as a length or as the name of a size"),
];

/// The word that lists what is written at length.
const TOPICS: &str = "topics";

/// Helps with a command, a table or a word.
pub(super) fn help(asked: &[String], width: usize) -> Result<Outcome, CouldNot> {
    let word = asked.join(" ");
    let definition = args::definition(width);
    let commands: Vec<&str> = definition.get_subcommands().map(clap::Command::get_name).collect();
    if word.is_empty() || commands.contains(&&*word) {
        return Ok(of_command(&word, width));
    }
    let library = Library::open();
    let told = library.tell(&word);
    if !told.parts.is_empty() {
        return Ok(Outcome::of(told));
    }
    let names: Vec<&str> = commands.into_iter().chain(library.names()).collect();
    let near = near(&word, names.into_iter());
    let why = format!("no command, table, column, file or word is called `{word}`");
    // Where nothing is near, the tables are what most is asked about.
    let tables = || SHAPES.map(|shape| shape.name).join(", ");
    let why = if near.is_empty() { format!("{why}; the tables are {}", tables()) } else { why };
    Err(Refusal::new("no-such-word", why).near(near).into())
}

/// All that is told of words.
struct Library {
    /// What is written at length.
    sections: Vec<Section>,
    /// The files that are written.
    files: Vec<OutputFile>,
    /// The built-in tables.
    known: Known,
}

impl Library {
    fn open() -> Self {
        Self { sections: manual::sections(), files: report::output_files(), known: Known::read() }
    }

    /// All that is told of a word; nothing where nobody knows it.
    fn tell(&self, word: &str) -> Told {
        let (mut told, heading) = (Told::default(), fold_heading(word));
        if let Some((word, means)) = WORDS.iter().find(|(known, _)| fold(known) == fold(word)) {
            told.words("means", Words::new(format!("{word}: "), *means));
        }
        if fold(word) == TOPICS {
            of_topics(&self.sections, &mut told);
        }
        of_sections(self.sections.iter().filter(|section| section.is_asked_by(word)), &mut told);
        let shape = SHAPES.iter().find(|shape| fold_heading(shape.name) == heading);
        if let Some(shape) = shape {
            of_table(shape, &mut told);
        }
        of_columns(&heading, &mut told);
        // A file may be named without its ending where no table is.
        let bare = |name: &'static str| name.strip_suffix(".csv").filter(|_| shape.is_none());
        let is_it = |name: &str| fold_heading(name) == heading;
        if let Some(file) =
            self.files.iter().find(|file| is_it(file.name) || bare(file.name).is_some_and(is_it))
        {
            of_file(file, &mut told);
        }
        of_file_columns(&heading, &self.files, &mut told);
        self.known.tell(word, &mut told);
        told
    }

    /// All words of which something is told.
    fn names(&self) -> impl Iterator<Item = &str> {
        let columns = |shape: &'static Shape| shape.columns.iter().map(|column| column.heading);
        let tables =
            SHAPES.into_iter().flat_map(move |shape| std::iter::once(shape.name).chain(columns(shape)));
        let words = WORDS.iter().map(|(word, _)| *word).chain(ITEMS.iter().map(|item| item.name));
        let written = self.sections.iter().flat_map(|section| section.words.iter().copied());
        let headings =
            |file: &'_ OutputFile| file.columns.iter().map(|(heading, _)| *heading).collect::<Vec<_>>();
        let files = self.files.iter().flat_map(move |file| std::iter::once(file.name).chain(headings(file)));
        tables.chain(words).chain(written).chain(files).chain(self.known.names())
    }
}

/// What is written at length, each with the word that asks for it.
fn of_topics(sections: &[Section], told: &mut Told) {
    let rows = sections.iter().map(|section| vec![Cell::text(section.word()), Cell::text(section.title)]);
    told.table("topics", Table::listed(["help", "what is told"], rows.collect()));
}

/// What is written at length of a word.
fn of_sections<'s>(sections: impl Iterator<Item = &'s Section>, told: &mut Told) {
    let mut all: Vec<Told> = Vec::new();
    for section in sections {
        let mut one = Told::default();
        if !(told.parts.is_empty() && all.is_empty()) {
            one.gap();
        }
        one.parts.extend(section.told().parts);
        all.push(one);
    }
    if !all.is_empty() {
        told.each("sections", all);
    }
}

/// Parts what follows from what was said before.
fn apart(told: &mut Told) {
    if !told.parts.is_empty() {
        told.gap();
    }
}

/// What a file is, and its columns.
fn of_file(file: &OutputFile, told: &mut Told) {
    apart(told);
    told.head(format!("the file {}", file.name));
    let mut of = Told::default();
    of.value("name", file.name);
    of.words("about", Words::new("  ", file.about));
    of.words("command", Words::new("  written by: ", format!("coilstick {}", file.command)));
    if !file.columns.is_empty() {
        let row =
            |(heading, help): &(&'static str, &'static str)| vec![Cell::text(*heading), Cell::text(*help)];
        let rows = file.columns.iter().map(row).collect();
        of.table("columns", Table::listed(["column", "what it says"], rows));
    }
    told.group("file", of);
}

/// The columns of files that have a heading.
fn of_file_columns(heading: &str, files: &[OutputFile], told: &mut Told) {
    let columns = files.iter().flat_map(|file| file.columns.iter().map(move |column| (file.name, column)));
    let rows = columns.filter(|(_, (name, _))| fold_heading(name) == heading);
    let rows: Vec<Vec<Cell>> =
        rows.map(|(file, (name, help))| [file, *name, *help].map(Cell::text).into()).collect();
    if !rows.is_empty() {
        apart(told);
        told.table("stands_in_files", Table::listed(["file", "column", "what it says"], rows));
    }
}

/// The help of a command, or of the whole program, as its flag shows it.
fn of_command(name: &str, width: usize) -> Outcome {
    let words = ["coilstick", name, "--help"].into_iter().filter(|word| !word.is_empty());
    match args::read(&words.map(OsString::from).collect::<Vec<_>>(), width) {
        Err(Stopped::Shown(text)) => verbatim(text.render().to_string().as_bytes()),
        Ok(_) | Err(Stopped::Wrong { .. }) => Outcome::of(Told::default()),
    }
}

/// The columns of a table; of the job also what it can say.
fn of_table(shape: &Shape, told: &mut Told) {
    apart(told);
    told.head(format!("the table {}", shape.name));
    told.value("table", shape.name);
    let rows = shape.columns.iter().map(|column| {
        let also = if column.also.is_empty() {
            String::new()
        } else {
            format!(" (also {})", column.also.join(", "))
        };
        let heading = Cell::text(column.heading);
        let needed = Cell::yes_or(column.required, "");
        vec![heading, needed, Cell::text(column.holds.words()), Cell::text(format!("{}{also}", column.help))]
    });
    told.table("columns", Table::listed(["column", "needed", "holds", "what it says"], rows.collect()));
    if shape.name == crate::trade::JOB.name {
        told.gap();
        told.head("what its items say");
        let rows = ITEMS.iter().map(|item| vec![Cell::text(item.name), Cell::text(item.help())]);
        told.table("items", Table::listed(["item", "what it says"], rows.collect()));
    }
}

/// Where a heading or an item of the job stands, and what it says.
fn of_columns(heading: &str, told: &mut Told) {
    let is_it = |name: &&str| fold_heading(name) == heading;
    let columns =
        SHAPES.iter().flat_map(|shape| shape.columns.iter().map(move |column| (shape.name, column)));
    let columns = columns.filter(|(_, column)| is_it(&column.heading) || column.also.iter().any(is_it));
    let items = ITEMS.iter().filter(|item| is_it(&item.name)).map(|item| ("job", item.name, item.help()));
    let columns = columns.map(|(table, column)| (table, column.heading, column.help.to_owned()));
    let rows: Vec<Vec<Cell>> = columns
        .chain(items)
        .map(|(table, name, help)| vec![Cell::text(table), Cell::text(name), Cell::text(help)])
        .collect();
    if !rows.is_empty() {
        apart(told);
        told.table("stands_in", Table::listed(["table", "column", "what it says"], rows));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_that_is_suggested_is_told() {
        let library = Library::open();
        let names: Vec<&str> = library.names().collect();
        assert!(names.len() > 600, "{}", names.len());
        for word in names {
            assert!(!library.tell(word).parts.is_empty(), "{word}");
        }
        assert!(library.tell("zeppelin").parts.is_empty());
    }

    #[test]
    fn each_table_file_and_topic_is_told_whole() {
        let library = Library::open();
        let keys = |word: &str| library.tell(word).parts.into_iter().map(|(key, _)| key).collect::<Vec<_>>();
        for shape in SHAPES {
            assert!(keys(shape.name).contains(&"columns"), "{}", shape.name);
        }
        for file in &library.files {
            assert!(keys(file.name).contains(&"file"), "{}", file.name);
        }
        for section in &library.sections {
            for word in &section.words {
                assert!(keys(word).contains(&"sections"), "{word}");
            }
        }
    }
}
