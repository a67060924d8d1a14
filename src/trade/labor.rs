//! Labor: how many hours a joint, a length, a part, a support, a run or a place takes. The program has no hours of its
//! own; every figure is the user's. Which row speaks of which work is for the estimate.

use rust_decimal::Decimal;

use super::catalog::part::Class;
use super::lexicon::Word;
use super::pack;
use super::reading::findings::wrong_value;
use super::reading::{Reading, Row, Text, is_beyond};
use super::shape::{table, words};
use crate::ground::notice::findings;
use crate::ground::{Length, LengthUnit};
use crate::table::TableFile;

table! {
    /// The table `labor`.
    LABOR = "labor", Noticed, Column;
    /// A row of the table `labor`.
    LaborRow given of: (Nearness, LengthUnit) {
        per: WorkPer = "per", required, Text, "what the hours are for: joint, thread, length, part, support, run, place, or job: once for the whole of it";
            |row, at| { row.needed(at); row.choice(at).unwrap_or(WorkPer::Part) };
        hours: Decimal = "hours", required, Number, "hours of one person; 0 where the work is in other rows";
            |row, at| { row.needed(at); row.zero_or_more(at).unwrap_or_default() };
        for_so_many: Decimal = "unit", optional, Text,
            "how much the hours are for: 1, 100 (C) or 1000 (M); per length ft, m or 100 ft; empty: one, or one ft or m as the job says";
            |row, at| for_so_many(row, at, per, of.1);
        part: Word = "part", optional, Text, "per part, length or support: the part, by any of its names; empty: all. Per job: what the work is, such as pressure test";
            |row, at| row.word(at);
        class: Option<Class> = "class", optional, Text,
            "per part: all parts of a class of the table parts: valve, device, trim...";
            |row, at| row.choice(at);
        systems: Box<[Word]> = "system" ["systems"], optional, Text,
            "systems or tube families it is for, parted by semicolons; empty: all";
            |row, at| row.words(at);
        sizes: Box<[Word]> = "size", optional, Size,
            "the size, or a fitting's sizes; one size speaks of all whose first opening has it; empty: all";
            |row, at| row.sizes(at);
        variant: Word = "variant", optional, Text, "the variant: type L; empty: all";
            |row, at| row.word(at);
        fixture: Word = "fixture", optional, Text, "per run or place: the kind of place; empty: all";
            |row, at| row.word(at);
        note: Text = "note" ["notes", "source"], optional, Text, "where the figure is from";
            |row, at| row.kept(at);
    } beside {
        /// Whose table that is.
        nearness: Nearness; |_| of.0;
    }
}

words! {
    /// What hours are for.
    pub enum WorkPer {
        /// A joint of tube.
        Joint = "joint",
        /// A threaded joint.
        Thread = "thread",
        /// A length of tube.
        Length = "length",
        /// A part that is set.
        Part = "part",
        /// A support.
        Support = "support",
        /// A run, whatever its length.
        Run = "run",
        /// A place that runs meet or serve.
        Place = "place",
        /// The whole job, once: the pressure test, demolition.
        Job = "job",
    }
}

/// Whose table a row stands in: the nearer to the job wins where two rows say as much.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Nearness {
    /// A table that jobs share.
    Shared,
    /// A table beside a price list.
    BesidePrices,
    /// The job's own table.
    Own,
}

/// Reads a table of labor; rows in error are left out, with their notices.
pub(super) fn read(file: &TableFile, reading: &mut Reading, nearness: Nearness) -> Vec<LaborRow> {
    let of = (nearness, reading.bare);
    reading.rows(file, &LABOR, |row| {
        let read = LaborRow::read(row, of);
        unread(row, read.per);
        Some(read).filter(|_| !row.in_error())
    })
}

/// Notices cells that change nothing on a row of this kind.
fn unread(row: &mut Row<'_, '_>, per: WorkPer) {
    let part = matches!(per, WorkPer::Length | WorkPer::Part | WorkPer::Support);
    let place = matches!(per, WorkPer::Run | WorkPer::Place);
    let of_tube = !matches!(per, WorkPer::Place | WorkPer::Job);
    let cells = [
        (Column::part, "part", part || per == WorkPer::Job),
        (Column::class, "class", per == WorkPer::Part),
        (Column::systems, "system", of_tube),
        (Column::sizes, "size", of_tube),
        (Column::variant, "variant", part),
        (Column::fixture, "fixture", place),
    ];
    for (column, heading, read) in cells {
        if !read && !row.text(column).is_empty() {
            row.trouble(column, labor_cell_unread(heading, per.word()));
        }
    }
}

/// What the hours are for so many of: `100`, `100 ft`, `m`.
fn for_so_many(row: &mut Row<'_, '_>, at: usize, per: WorkPer, bare: LengthUnit) -> Decimal {
    let text = row.text(at).trim();
    let is_length = per == WorkPer::Length;
    let number_end = text.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len());
    let (number, word) = (&text[..number_end], text[number_end..].trim());
    let number = if number.is_empty() { Some(Decimal::ONE) } else { Decimal::from_str_exact(number).ok() };
    let read = || {
        let sound = |number: &Decimal| *number > Decimal::ZERO && !is_beyond(*number);
        number.filter(sound).and_then(|number| match (is_length, word) {
            (true, "") => Some(number),
            (true, word) => {
                let length = Length::from_decimal(number, LengthUnit::from_word(word)?)?;
                Some(length.in_units(bare)).filter(|length| !length.is_zero())
            }
            (false, "" | "each" | "pieces" | "piece") => Some(number),
            (false, _) => None,
        })
    };
    // A capital M is a thousand; in a job in metres it may be a metre as well, and is refused.
    let in_doubt = is_length && text == "M" && bare != LengthUnit::Foot;
    let many = match pack::hundreds(text) {
        Some(_) if in_doubt => None,
        Some(many) => Some(Decimal::from(many)),
        None => read(),
    };
    if let Some(many) = many {
        return many;
    }
    let expected = if is_length { "ft, m, or a number of them: 100 ft" } else { "a number: 1, 10 or 100" };
    let finding = wrong_value("unit", text, expected);
    row.trouble(at, finding);
    Decimal::ONE
}

findings! {
    /// A cell that changes nothing on a row of hours of its kind.
    fn labor_cell_unread(heading: &str, per: &str) = warning("labor-cell-unread",
        "{heading} is given on a row per {per}, where it changes nothing",
        "no {heading} on a row per {per}",
        "empty {heading}, or correct per");
}
