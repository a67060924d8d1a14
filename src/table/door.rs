//! Reads one table of any kind: opens it, binds its headings, hands its rows over as records, and takes down what is
//! wrong on the way. The doors below it know files; it knows none.

use super::asides::{self, Asides, Met, Sums, Verdict};
use super::ask;
use super::headings::{Bound, bind, missing_columns, not_the_table};
use super::limits::reached;
use super::record::{NoResults, Record};
use super::row::{Kind, Row};
use super::{Budget, Doors, Further, Go, Shape, Sink, TableFile, caps, feed};
use crate::ground::name::fold_heading;
use crate::ground::notice::{Finding, findings};
use crate::ground::progress::{self, Work};
use crate::ground::spot::{RowAt, Source, SourceId};
use crate::ground::{Instead, LengthUnit, Notice, Severity, Sources, Spot};

/// Reads a table and hands over one record a row; blank rows are passed over. Gives the table's id, or nothing where no
/// heading could be read.
///
/// The headings are the first row that is not blank. A table without one of its required columns is not read at all: one
/// notice says so. `bare` is the unit of lengths whose heading names none.
///
/// ```
/// use coilstick::ground::{LengthUnit, Sources};
/// use coilstick::table::{Column, Further, Holds, Shape, TableFile, read};
///
/// const COLUMNS: [Column; 2] = [
///     Column { heading: "run", also: &[], required: true, unless: None, holds: Holds::Text, help: "its name" },
///     Column { heading: "length", also: &[], required: true, unless: None, holds: Holds::Length, help: "along" },
/// ];
/// const RUNS: Shape = Shape { name: "runs", columns: &COLUMNS, further: Further::Noticed };
///
/// let file = TableFile::BuiltIn { name: "runs", text: "Length (in),Run\n30,A1\nlong,A2\n" };
/// let (mut sources, mut notices, mut feet) = (Sources::default(), Vec::new(), Vec::new());
/// read(&file, &RUNS, LengthUnit::Foot, &mut sources, &mut notices, &mut |record| {
///     feet.extend(record.length(1).value().map(|length| length.to_string()));
/// });
/// assert_eq!(feet, ["2.5 ft"]);
/// assert_eq!(notices[0].spots[0].to_string(), "runs:A3");
/// ```
pub fn read(
    file: &TableFile,
    shape: &Shape,
    bare: LengthUnit,
    sources: &mut Sources,
    notices: &mut Vec<Notice>,
    each: &mut dyn FnMut(&mut Record<'_>),
) -> Option<SourceId> {
    let (budget, doors) = (&mut Budget::default(), &mut Doors::default());
    read_from(file, shape, bare, false, Taking { sources, notices, budget, doors }, each)
}

/// What the tables of one job are read into.
pub(crate) struct Taking<'a> {
    /// The tables read so far.
    pub(crate) sources: &'a mut Sources,
    /// What is wrong so far.
    pub(crate) notices: &'a mut Vec<Notice>,
    /// How much is read, and may be.
    pub(crate) budget: &'a mut Budget,
    /// What is kept from table to table.
    pub(crate) doors: &'a mut Doors,
}

/// As [`read`], of a sheet whose headings may stand under a title and what is said below it (`titled`): within the first
/// rows the headings are the first row that names all required columns.
pub(crate) fn read_from(
    file: &TableFile,
    shape: &Shape,
    bare: LengthUnit,
    titled: bool,
    into: Taking<'_>,
    each: &mut dyn FnMut(&mut Record<'_>),
) -> Option<SourceId> {
    let Taking { sources, notices, budget, doors } = into;
    let limits = budget.limits;
    sources.opens(&file.spot().file);
    let mut reading = Reading {
        title_rows: if titled { caps::TITLE_ROWS } else { 0 },
        titled: false,
        shape,
        bare,
        built_in: matches!(file, TableFile::BuiltIn { .. }),
        from_text: file.is_text(),
        elsewhere: file.is_elsewhere(),
        whole: file.spot(),
        sources,
        notices,
        budget,
        each,
        bound: Bound::default(),
        id: None,
        decimal_commas: false,
        rows: 0,
        stray: false,
        troubled: false,
        no_results: NoResults::default(),
        asides: Asides::default(),
        sums: Sums::default(),
    };
    feed(file, &limits, doors, &mut reading);
    reading.tell_asides();
    if reading.id.is_none() && !reading.troubled {
        let needed = shape.columns.iter().filter(|column| column.required).map(|column| column.heading);
        let finding = match reading.titled {
            true => missing_columns(&needed.collect::<Vec<_>>(), shape.name),
            false => empty_table(shape.name),
        };
        reading.tell(0, 0, finding);
    }
    reading.id
}

struct Reading<'a> {
    /// Up to this row a row without all required headings is a title.
    title_rows: u32,
    /// Whether such a row was passed over.
    titled: bool,
    shape: &'a Shape,
    bare: LengthUnit,
    built_in: bool,
    from_text: bool,
    /// Whether it may be any file: of what is no such table nothing is repeated.
    elsewhere: bool,
    /// The whole table.
    whole: Spot,
    sources: &'a mut Sources,
    notices: &'a mut Vec<Notice>,
    budget: &'a mut Budget,
    each: &'a mut dyn FnMut(&mut Record<'_>),
    bound: Bound,
    id: Option<SourceId>,
    decimal_commas: bool,
    rows: u32,
    /// Whether a cell without a heading was noticed already.
    stray: bool,
    /// Whether anything was noticed: then an empty table needs no further word.
    troubled: bool,
    no_results: NoResults,
    asides: Asides,
    sums: Sums,
}

impl Sink for Reading<'_> {
    fn row(&mut self, number: u32, row: &Row) -> Go {
        let instead = self.sources.instead(&self.whole, number);
        let mut instead = instead.map(|cell| (cell.spot.column, cell.text.as_str())).peekable();
        let other = instead.peek().is_some().then(|| row.with(instead));
        self.as_read(number, other.as_ref().unwrap_or(row))
    }

    fn tell(&mut self, row: u32, column: u32, finding: Finding) {
        self.troubled = true;
        // A place of what is no such table would be drawn, cells and all.
        let shown = !self.elsewhere || self.bound.usable;
        let at = self.at(if shown { row } else { 0 }, column);
        self.list(finding.at([at]));
    }

    fn decimal_commas(&mut self, there_are: bool) {
        self.decimal_commas = there_are;
    }

    fn hide_row(&mut self, row: u32) {
        self.asides.hide_row(row);
    }

    fn hide_columns(&mut self, from: u32, to: u32) {
        self.asides.hide_columns(from, to);
    }
}

impl Reading<'_> {
    /// Takes a notice down, unless there are too many of its kind.
    fn list(&mut self, notice: Notice) {
        // Before its headings a table has no number of its own.
        let table = self.id.unwrap_or(SourceId(u16::MAX));
        self.budget.list(table, self.notices, notice);
    }

    fn as_read(&mut self, number: u32, row: &Row) -> Go {
        // The program's own tables are read whatever else a job holds.
        if !self.built_in
            && !row.is_blank()
            && let Some(finding) = self.budget.take(row.len(), row.text_bytes())
        {
            self.tell(number, 0, finding);
            return Go::Stop;
        }
        let is_aside = self.asides.is_comment(number, row)
            || (self.id.is_some() && self.asides.is_headings(number, row));
        if is_aside {
            return Go::On;
        }
        let Some(source) = self.id else {
            if row.is_blank() {
                return Go::On;
            }
            if number <= self.title_rows && !names_all(self.shape, row) {
                self.titled = true;
                return Go::On;
            }
            return self.headings(number, row);
        };
        let long = self.stray_cells(number, row);
        if row.is_blank() {
            return Go::On;
        }
        let at = RowAt { source, row: number };
        self.rows += 1;
        if self.bound.read(self.shape).all(|(_, position)| row.cell(position).is_empty()) {
            return Go::On;
        }
        self.asides.is_read(number);
        if self.is_sum(number, row) {
            return Go::On;
        }
        let asks = self.shape.further != Further::Passed;
        let noticed = asks && row.has_noticed() && self.noticed_cells(number, row);
        let mut record = Record {
            at,
            shape: self.shape,
            bound: &self.bound,
            row,
            decimal_commas: self.decimal_commas,
            sources: self.sources,
            notices: self.notices,
            budget: self.budget,
            no_results: &mut self.no_results,
            misread: long || noticed,
        };
        (self.each)(&mut record);
        progress::done(Work::Rows, 1);
        Go::On
    }

    fn headings(&mut self, number: u32, row: &Row) -> Go {
        if let Some(position) = row.beyond() {
            let most = self.budget.limits.columns;
            self.tell(
                number,
                column_number(position),
                reached("the columns right of here are not read", "columns", most),
            );
        }
        let mut told = Vec::new();
        self.bound =
            bind(self.shape, row, self.bare, &mut |position, finding| told.push((position, finding)));
        let missing = std::mem::take(&mut self.bound.missing);
        if self.elsewhere && !missing.is_empty() {
            told = vec![(None, not_the_table(&missing, self.shape.name))];
        } else if !missing.is_empty() {
            told.push((None, missing_columns(&missing, self.shape.name)));
        }
        for (position, finding) in told {
            self.tell(number, position.map_or(0, column_number), finding);
        }
        self.asides.begin(number, row);
        if self.title_rows == 0 {
            self.sums = Sums::of(self.shape, &self.bound);
        }
        self.id = Some(self.sources.add(Source {
            file: self.whole.file.clone(),
            sheet: self.whole.sheet.clone(),
            built_in: self.built_in,
            headings: std::mem::take(&mut self.bound.found),
        }));
        if self.bound.usable { Go::On } else { Go::Stop }
    }

    /// Whether a row is the sum of rows above, and no row; one that is only named so is read, and doubtful.
    fn is_sum(&mut self, number: u32, row: &Row) -> bool {
        let (is_sum, cells) = match self.sums.meet(number, row, self.decimal_commas) {
            Verdict::Row => return false,
            Verdict::Sum(cells) => (true, cells),
            Verdict::NamedSo(cells) => (false, cells),
        };
        let spots = cells.iter().map(|column| self.at(number, *column));
        let notice = match is_sum {
            true => asides::sum_row().at(spots),
            false => asides::named_as_sum().at(spots).or_each([self.without(number)]),
        };
        self.list(notice);
        is_sum
    }

    fn at(&self, row: u32, column: u32) -> Spot {
        Spot { row, column, ..self.whole.clone() }
    }

    /// The table as it is without a row.
    fn without(&self, row: u32) -> Instead {
        Instead { spot: self.at(row, 0), text: String::new() }
    }

    /// Tells what was passed over, and what is read though nobody sees it.
    fn tell_asides(&mut self) {
        self.tell_no_results();
        if self.elsewhere && !self.bound.usable {
            return;
        }
        let Asides { comments, numbered, headings, .. } = self.asides;
        for (met, finding) in [
            (comments, asides::comment_rows as fn(u32) -> Finding),
            (numbered, asides::comment_or_name),
            (headings, asides::headings_again),
        ] {
            let Met { rows: rows @ 1.., first: (row, column) } = met else { continue };
            let notice = finding(rows).at([self.at(row, column)]);
            // Without its mark the row may have been meant.
            let is_name = notice.severity == Severity::Warning;
            self.notices.push(if is_name { notice.or_read(&*self.asides.unmarked) } else { notice });
        }
        if let Some(last) = self.sums.last() {
            let spots = last.cells.iter().map(|column| self.at(last.row, *column));
            let notice = asides::like_a_sum().at(spots).or_each([self.without(last.row)]);
            self.notices.push(notice);
        }
        self.tell_hidden();
    }

    fn tell_hidden(&mut self) {
        let hidden = std::mem::take(&mut self.asides.hidden);
        if let Some(first) = hidden.first() {
            self.notices.push(asides::hidden_rows(&hidden).at([self.at(*first, 0)]));
        }
        if self.rows == 0 {
            return;
        }
        for (heading, position) in self.bound.read(self.shape) {
            let column = column_number(position);
            if self.asides.hides_column(column) {
                let at = self.at(self.asides.headed, column);
                self.notices.push(asides::hidden_column(heading).at([at]));
            }
        }
    }

    /// Tells of formulas whose results are needed and were not saved, once a table.
    fn tell_no_results(&mut self) {
        let NoResults { cells, first } = std::mem::take(&mut self.no_results);
        if let Some((heading, _)) = first.first() {
            let finding = ask::no_results(heading, cells);
            let notice = finding.at(first.iter().map(|(_, spot)| spot.clone()));
            self.list(notice);
        }
    }

    /// Notices cells that stand under no heading: in a workbook once, as a remark of the user's own; in a CSV file each
    /// row that is longer than the headings, since a separator inside a cell has moved its cells.
    fn stray_cells(&mut self, number: u32, row: &Row) -> bool {
        let beyond =
            (self.bound.width..row.len()).find(|position| !row.cell(*position).is_empty()).or(row.beyond());
        if self.from_text
            && let Some(position) = beyond
        {
            let spot = self.at(number, column_number(position));
            self.list(long_row(self.bound.width).at([spot]));
            return true;
        }
        if !self.stray {
            let nameless = self.bound.nameless.iter().copied().find(|p| !row.cell(*p).is_empty());
            if let Some(position) = nameless.or(beyond) {
                self.stray = true;
                self.tell(number, column_number(position), no_heading());
            }
        }
        false
    }

    /// Notices cells that are wrong whatever their column holds; whether one of them stands in a column that is read.
    fn noticed_cells(&mut self, number: u32, row: &Row) -> bool {
        let mut found = false;
        let mut told = Vec::new();
        for (heading, position) in self.bound.read(self.shape) {
            let spot = self.at(number, column_number(position));
            let cell = row.cell(position);
            if cell.kind == Kind::NoResult {
                found = true;
                self.no_results.meet(heading, || spot);
            } else if let Some(finding) = ask::of_any_column(heading, cell) {
                found = true;
                told.push(finding.at([spot]));
            }
        }
        told.into_iter().for_each(|notice| self.list(notice));
        found
    }
}

/// Whether a row names every required column of a shape.
fn names_all(shape: &Shape, row: &Row) -> bool {
    let named = |column: &super::Column| {
        (0..row.len()).any(|at| fold_heading(row.cell(at).text) == fold_heading(column.heading))
    };
    shape.columns.iter().filter(|column| column.required).all(named)
}

fn column_number(position: usize) -> u32 {
    u32::try_from(position + 1).unwrap_or(0)
}

findings! {
    /// Nothing stands in a table.
    fn empty_table(table: &str) = warning("empty-table",
        "nothing stands in the table {table}",
        "headings in its first row",
        "fill it, or take it out");

    /// A row of a CSV file with more cells than there are headings.
    fn long_row(headings: usize) = error("long-row",
        "the row has more cells than there are headings",
        "{headings} cells at most",
        "put a cell that holds a separator into quotation marks");

    /// A cell that stands under no heading.
    fn no_heading() = warning("no-heading",
        "the cell stands under no heading and is not read",
        "a heading over each column that is to be read",
        "type a heading over it, or leave it as your own");
}
