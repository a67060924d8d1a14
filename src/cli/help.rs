//! `help`: how a command is used, the columns of a table, or what a word means here; what the built-in tables say of a word
//! is in `known`. It prints nothing.

use std::ffi::OsString;

use super::args::{self, Stopped, verbatim};
use super::known::Known;
use super::told::{Cell, Table, Told};
use super::words::near;
use super::{CouldNot, Outcome, Refusal};
use crate::ground::name::{fold, fold_heading};
use crate::table::Shape;
use crate::trade::{ITEMS, SHAPES};

/// What is said of a word here, and nothing else is meant by it.
const WORDS: [(&str, &str); 44] = [
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

/// Helps with a command, a table or a word.
pub(super) fn help(asked: &[String], width: usize) -> Result<Outcome, CouldNot> {
    let word = asked.join(" ");
    let definition = args::definition(width);
    let commands: Vec<&str> = definition.get_subcommands().map(clap::Command::get_name).collect();
    if word.is_empty() || commands.contains(&&*word) {
        return Ok(of_command(&word, width));
    }
    let heading = fold_heading(&word);
    let mut told = Told::default();
    if let Some(shape) = SHAPES.iter().find(|shape| fold_heading(shape.name) == heading) {
        of_table(shape, &mut told);
        return Ok(Outcome::of(told));
    }
    if let Some((word, means)) = WORDS.iter().find(|(known, _)| fold(known) == fold(&word)) {
        told.words("means", super::told::Words::new(format!("{word}: "), *means));
    }
    of_columns(&heading, &mut told);
    let known = Known::read();
    known.tell(&word, &mut told);
    if told.parts.is_empty() {
        let columns = SHAPES.iter().flat_map(|shape| shape.columns.iter().map(|column| column.heading));
        let items = ITEMS.iter().map(|item| item.name);
        let names = commands.iter().copied().chain(SHAPES.iter().map(|shape| shape.name));
        let names = names.chain(WORDS.iter().map(|(word, _)| *word)).chain(columns).chain(items);
        let near = near(&word, names.chain(known.names()).collect::<Vec<_>>().into_iter());
        let tables: Vec<&str> = SHAPES.iter().map(|shape| shape.name).collect();
        let why = format!("no command, table, column or word is called `{word}`");
        // Where nothing is near, the tables are what most is asked about.
        let why = if near.is_empty() { format!("{why}; the tables are {}", tables.join(", ")) } else { why };
        return Err(Refusal::new("no-such-word", why).near(near).into());
    }
    Ok(Outcome::of(told))
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
        told.table("stands_in", Table::listed(["table", "column", "what it says"], rows));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_word_is_a_command_or_a_table_and_each_is_found() {
        for (word, _) in WORDS {
            assert!(help(&[word.to_owned()], 80).is_ok(), "{word}");
        }
        for shape in SHAPES {
            let outcome = help(&[shape.name.to_owned()], 80).ok().unwrap();
            assert!(outcome.told.parts.iter().any(|(key, _)| *key == "columns"), "{}", shape.name);
        }
    }
}
