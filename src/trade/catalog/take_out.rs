//! The table `take-outs`: how far the end of a tube stops from the center of the fitting that it stands in. Runs are measured
//! center to center; a piece between two fittings is cut shorter by the take-out of each. The program has no figures of its
//! own: of wrought copper none can be set (ASME B16.22-2018, section 7: processes vary, ask the maker), so the user measures.

use super::Catalog;
use super::drains::filled;
use super::part::PartId;
use super::system::SystemId;
use crate::ground::notice::{Finding, findings};
use crate::ground::{Length, LengthUnit};
use crate::table::TableFile;
use crate::trade::lexicon::{Lexicon, Word};
use crate::trade::reading::findings::below_zero;
use crate::trade::reading::{Reading, Row, Text, unknown};
use crate::trade::shape::{table, words};

words! {
    /// Which opening of a fitting.
    pub enum Way {
        /// One of the two that go straight through, or along a turn.
        Run = "run",
        /// The one in which another run ties in.
        Branch = "branch",
    }
}

table! {
    /// The table `take-outs`.
    TAKE_OUTS = "take-outs", Noticed, Column;
    /// A row of the table `take-outs`. An empty cell fits anything.
    TakeOut {
        part: Word = "part", required, Text, "the fitting or valve that the tube stands in, by any of its names";
            |row, at| { row.needed(at); row.word(at) };
        size: Word = "size", optional, Size, "the size of the opening; empty: every size without a row of its own";
            |row, at| row.size(at).unwrap_or_default();
        opening: Option<Way> = "opening", optional, Text, "run or branch; empty: any";
            |row, at| row.choice(at);
        fitting: Box<[Word]> = "fitting" ["fitting sizes"], optional, Size,
            "all sizes of the fitting, where that matters: 3/4 x 3/4 x 1/2; empty: any";
            |row, at| row.sizes(at);
        system: Word = "system", optional, Text, "the system, tube family or fit of the opening; empty: any";
            |row, at| row.word(at);
        take_out: Length = "take-out" ["takeout", "take out"], required, Length,
            "from the center of the fitting to where the end of the tube stops in that opening, with its unit: 7/8 in";
            take_out;
        source: Text = "source" ["note"], optional, Text, "where the figure is published, or who measured it";
            |row, at| row.kept(at);
    } beside {
        /// The sizes of the fitting as one word.
        fitting_word: Word; |row| {
            let sizes: Vec<&str> = fitting.iter().map(|size| row.lexicon.text(*size)).collect();
            row.lexicon.word(&sizes.join(" x "))
        };
    }
}

/// Reads a table of take-outs; rows in error are left out with a notice.
pub(super) fn read(file: &TableFile, reading: &mut Reading) -> Vec<TakeOut> {
    reading.rows(file, &TAKE_OUTS, |row| Some(TakeOut::read(row)).filter(|_| !row.in_error()))
}

/// A length with its unit, zero or more. A bare number would be feet or meters, and no take-out is that long.
fn take_out(row: &mut Row<'_, '_>, at: usize) -> Length {
    row.needed(at);
    let Some(length) = row.length(at).value() else { return Length::ZERO };
    // What reads alike in two units names its own; what reads otherwise than in the job's has it from the heading.
    let in_unit = [row.bare, LengthUnit::Inch].map(|unit| row.length_in(at, unit).value());
    if in_unit[0] == Some(length) && in_unit[1] != Some(length) {
        let written = row.text(at).to_owned();
        row.trouble(at, bare_take_out(&written));
    } else if length < Length::ZERO {
        row.trouble(at, below_zero("take-out", length));
    }
    length
}

/// Names that rows of the table give: parts, sizes and systems that nothing defines, and branches of parts that have none.
/// Such rows take nothing out.
pub(in crate::trade) fn check(catalog: &mut Catalog, reading: &mut Reading) {
    let rows = std::mem::take(&mut catalog.take_outs);
    let kept = rows.into_iter().filter(|row| {
        let wrong = unknown_names(row, catalog, &reading.lexicon);
        let is_right = wrong.is_empty();
        for (heading, finding) in wrong {
            reading.trouble(row.row, heading, finding);
        }
        is_right
    });
    catalog.take_outs = kept.collect();
}

fn unknown_names(row: &TakeOut, catalog: &Catalog, lexicon: &Lexicon) -> Vec<(&'static str, Finding)> {
    let mut wrong = Vec::new();
    let parts = catalog.parts_called_or_used(row.part);
    if parts.is_empty() {
        wrong.push(("part", unknown::part(lexicon.text(row.part), catalog.part_names(lexicon))));
    } else if row.opening == Some(Way::Branch) && !parts.iter().any(|id| catalog.part(*id).is_meeting()) {
        wrong.push(("opening", no_branch(lexicon.text(row.part))));
    }
    let sizes = row.fitting.iter().map(|size| ("fitting", size)).chain([("size", &row.size)]);
    for (heading, size) in sizes.filter(|(_, size)| !size.is_empty() && !catalog.knows_size(**size)) {
        wrong.push((heading, unknown::size(lexicon.text(*size), catalog.size_names(lexicon))));
    }
    if !row.system.is_empty() && !catalog.knows_system_or_tube(row.system) {
        let names = catalog.system_names(lexicon);
        wrong.push(("system", unknown::system_or_tube(lexicon.text(row.system), names)));
    }
    wrong
}

impl Catalog {
    /// The row that speaks of an opening of a part: its size, which one it is, the sizes of all openings, the system whose
    /// opening it is. Of several rows the one with the most cells filled, of those the last.
    pub fn take_out(
        &self,
        part: PartId,
        (system, size): (SystemId, Word),
        way: Way,
        fitting: &[Word],
    ) -> Option<u32> {
        let weight = |row: &TakeOut| {
            self.parts_called_or_used(row.part).contains(&part).then_some(())?;
            filled(&[
                (!row.size.is_empty()).then_some(row.size == size),
                row.opening.map(|one| one == way),
                (!row.fitting.is_empty()).then_some(*row.fitting == *fitting),
                (!row.system.is_empty()).then(|| self.takes_in(&[row.system], system)),
            ])
        };
        let all = (0_u32..).zip(&self.take_outs).filter_map(|(at, row)| Some((weight(row)?, at)));
        all.max().map(|(_, at)| at)
    }
}

findings! {
    /// A take-out without a unit.
    fn bare_take_out(found: &str) = error("bare-take-out",
        "take-out is \"{found}\", without a unit",
        "a length with its unit: 7/8 in, 22 mm",
        "type the unit behind the number, or inches or millimeters in the heading: take-out (in)");

    /// A branch of a part in which no run ties in.
    fn no_branch(part: &str) = error("no-branch",
        "opening is branch, and {part} has none",
        "run, or nothing where all openings are alike",
        "type run, or leave opening empty");
}
