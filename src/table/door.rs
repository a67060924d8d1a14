//! Reads one table of any kind: opens it, binds its headings, hands its rows over as records, and takes down what is
//! wrong on the way. The doors below it know files; it knows none.

use std::sync::Arc;

use super::asides::{Asides, Met, Sums, Verdict};
use super::headings::{Bound, bind};
use super::record::{Record, Tally};
use super::row::Row;
use super::words::{CellTrouble, TableTrouble, Trouble};
use super::words_rows::RowTrouble;
use super::{Go, Shape, Sink, TableFile, caps, feed};
use crate::ground::name::fold_heading;
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
///     Column { heading: "run", also: &[], required: true, holds: Holds::Text, help: "its name" },
///     Column { heading: "length", also: &[], required: true, holds: Holds::Length, help: "center to center" },
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
    read_from(file, shape, bare, 0, (sources, notices), each)
}

/// Reads a sheet whose headings stand under a title and what is said below it: within the first rows the headings are
/// the first row that names all required columns. Else as [`read`].
pub fn read_titled(
    file: &TableFile,
    shape: &Shape,
    bare: LengthUnit,
    sources: &mut Sources,
    notices: &mut Vec<Notice>,
    each: &mut dyn FnMut(&mut Record<'_>),
) -> Option<SourceId> {
    read_from(file, shape, bare, caps::TITLE_ROWS, (sources, notices), each)
}

fn read_from(
    file: &TableFile,
    shape: &Shape,
    bare: LengthUnit,
    title_rows: u32,
    (sources, notices): (&mut Sources, &mut Vec<Notice>),
    each: &mut dyn FnMut(&mut Record<'_>),
) -> Option<SourceId> {
    let mut reading = Reading {
        title_rows,
        titled: false,
        shape,
        bare,
        built_in: matches!(file, TableFile::BuiltIn { .. }),
        from_text: file.is_text(),
        file: file.shown(),
        sheet: file.sheet().cloned(),
        sources,
        notices,
        each,
        bound: Bound::default(),
        id: None,
        decimal_commas: false,
        rows: 0,
        cells: 0,
        stray: false,
        troubled: false,
        tally: Tally::default(),
        asides: Asides::default(),
        sums: Sums::default(),
    };
    feed(file, &mut reading);
    reading.tell_asides();
    if reading.id.is_none() && !reading.troubled {
        let needed = shape.columns.iter().filter(|column| column.required).map(|column| column.heading);
        let trouble = match reading.titled {
            true => TableTrouble::MissingHeadings { headings: needed.collect(), table: shape.name },
            false => TableTrouble::Empty { table: shape.name },
        };
        reading.trouble(0, 0, Trouble::Table(trouble));
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
    file: Arc<str>,
    sheet: Option<Arc<str>>,
    sources: &'a mut Sources,
    notices: &'a mut Vec<Notice>,
    each: &'a mut dyn FnMut(&mut Record<'_>),
    bound: Bound,
    id: Option<SourceId>,
    decimal_commas: bool,
    rows: u32,
    cells: u64,
    /// Whether a cell without a heading was noticed already.
    stray: bool,
    /// Whether anything was noticed: then an empty table needs no further word.
    troubled: bool,
    tally: Tally,
    asides: Asides,
    sums: Sums,
}

impl Sink for Reading<'_> {
    fn row(&mut self, number: u32, row: &Row) -> Go {
        let instead = self.sources.instead(&self.file, self.sheet.as_deref(), number);
        let mut instead = instead.map(|cell| (cell.spot.column, cell.text.as_str())).peekable();
        let other = instead.peek().is_some().then(|| row.with(instead));
        self.as_read(number, other.as_ref().unwrap_or(row))
    }

    fn trouble(&mut self, row: u32, column: u32, trouble: Trouble<'_>) {
        self.troubled = true;
        let spot = Spot { file: self.file.clone(), sheet: self.sheet.clone(), row, column };
        self.notices.push(trouble.word(spot));
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
    fn as_read(&mut self, number: u32, row: &Row) -> Go {
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
        self.cells += row.len() as u64;
        if self.rows >= caps::ROWS || self.cells > caps::CELLS {
            let (what, most) = if self.rows >= caps::ROWS {
                ("rows", u64::from(caps::ROWS))
            } else {
                ("cells", caps::CELLS)
            };
            self.trouble(number, 0, Trouble::Table(TableTrouble::Beyond { what, most }));
            return Go::Stop;
        }
        let read = self.bound.columns.iter().flatten().map(|(position, _)| *position);
        let kept = self.bound.further.iter().map(|(_, position)| *position);
        if read.chain(kept).all(|position| row.cell(position).is_empty()) {
            return Go::On;
        }
        self.asides.is_read(number);
        if self.is_sum(number, row) {
            return Go::On;
        }
        let noticed = row.has_noticed() && self.noticed_cells(number, row);
        let mut record = Record {
            at,
            shape: self.shape,
            bound: &self.bound,
            row,
            decimal_commas: self.decimal_commas,
            sources: self.sources,
            notices: self.notices,
            tally: &mut self.tally,
            misread: long || noticed,
        };
        (self.each)(&mut record);
        Go::On
    }

    fn headings(&mut self, number: u32, row: &Row) -> Go {
        if let Some(position) = row.beyond() {
            let trouble = TableTrouble::Beyond { what: "columns", most: caps::COLUMNS as u64 };
            self.trouble(number, column_number(position), Trouble::Table(trouble));
        }
        let (file, sheet, notices) = (&self.file, &self.sheet, &mut *self.notices);
        self.bound = bind(self.shape, row, self.bare, &mut |position, trouble| {
            let mut at = spot(file, sheet, number, 0);
            at.column = position.map_or(0, column_number);
            notices.push(trouble.word(at));
        });
        self.asides.begin(number, row);
        if self.title_rows == 0 {
            self.sums = Sums::of(self.shape, &self.bound);
        }
        self.id = Some(self.sources.add(Source {
            file: self.file.clone(),
            sheet: self.sheet.clone(),
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
        let trouble = if is_sum { RowTrouble::Sum } else { RowTrouble::NamedAsSum };
        self.doubt_row(number, &cells, trouble, !is_sum);
        is_sum
    }

    /// Notices cells of a row, or the row as a whole; a doubtful one may have been meant not to be there.
    fn doubt_row(&mut self, number: u32, columns: &[u32], trouble: RowTrouble<'_>, doubtful: bool) {
        let at = |column| Spot { file: self.file.clone(), sheet: self.sheet.clone(), row: number, column };
        let mut notice = Trouble::Rows(trouble).word(at(columns.first().copied().unwrap_or(0)));
        notice.spots.extend(columns.iter().skip(1).map(|column| at(*column)));
        if doubtful {
            notice.otherwise.push(Instead { spot: at(0), text: String::new() });
        }
        self.notices.push(notice);
    }

    /// Tells what was passed over, and what is read though nobody sees it.
    fn tell_asides(&mut self) {
        let Asides { comments, numbered, headings, .. } = self.asides;
        for (met, trouble) in [
            (comments, RowTrouble::Comments { rows: comments.rows }),
            (numbered, RowTrouble::NumberedComments { rows: numbered.rows }),
            (headings, RowTrouble::HeadingsAgain { rows: headings.rows }),
        ] {
            let Met { rows: 1.., first: (row, column) } = met else { continue };
            let spot = Spot { file: self.file.clone(), sheet: self.sheet.clone(), row, column };
            let notice = Trouble::Rows(trouble).word(spot);
            // Without its mark the row may have been meant.
            let is_name = notice.severity == Severity::Warning;
            self.notices.push(if is_name { notice.or_read(&*self.asides.unmarked) } else { notice });
        }
        if let Some(last) = self.sums.last().cloned() {
            self.doubt_row(last.row, &last.cells, RowTrouble::LikeASum, true);
        }
        self.tell_hidden();
    }

    fn tell_hidden(&mut self) {
        let hidden = std::mem::take(&mut self.asides.hidden);
        if let Some(first) = hidden.first() {
            let (rows, one) = (ranges(&hidden), hidden.len() == 1);
            self.doubt_row(*first, &[], RowTrouble::HiddenRows { rows: &rows, one }, false);
        }
        if self.rows == 0 {
            return;
        }
        let named = self.shape.columns.iter().zip(&self.bound.columns);
        let named = named.filter_map(|(column, place)| place.map(|(position, _)| (column.heading, position)));
        let kept = self.bound.further.iter().map(|(heading, position)| (heading.as_str(), *position));
        for (heading, position) in named.chain(kept) {
            let column = column_number(position);
            if self.asides.hides_column(column) {
                let at = Spot {
                    file: self.file.clone(),
                    sheet: self.sheet.clone(),
                    row: self.asides.headed,
                    column,
                };
                let trouble = RowTrouble::HiddenColumn { heading };
                self.notices.push(Trouble::Rows(trouble).word(at));
            }
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
            let trouble = Trouble::Table(TableTrouble::LongRow { headings: self.bound.width });
            let spot = spot(&self.file, &self.sheet, number, position);
            self.tally.list(self.notices, spot, trouble);
            return true;
        }
        if !self.stray {
            let nameless = self.bound.nameless.iter().copied().find(|p| !row.cell(*p).is_empty());
            if let Some(position) = nameless.or(beyond) {
                self.stray = true;
                self.trouble(number, column_number(position), Trouble::Table(TableTrouble::NoHeading));
            }
        }
        false
    }

    /// Notices cells that are wrong whatever their column holds; whether one of them stands in a column that is read.
    fn noticed_cells(&mut self, number: u32, row: &Row) -> bool {
        let named = self.bound.columns.iter().zip(self.shape.columns);
        let named = named.filter_map(|(place, column)| place.map(|(position, _)| (column.heading, position)));
        let kept = self.bound.further.iter().map(|(heading, position)| (heading.as_str(), *position));
        let mut found = false;
        for (heading, position) in named.chain(kept) {
            let cell = row.cell(position);
            let Some(trouble) = CellTrouble::of(heading, cell) else { continue };
            found = true;
            let spot = spot(&self.file, &self.sheet, number, position);
            self.tally.list(self.notices, spot, Trouble::Cell(trouble));
        }
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

/// Rows in words, at most as many as are read: `5 to 7, 9`.
fn ranges(rows: &[u32]) -> String {
    const MOST: usize = 8;
    let mut list: Vec<(u32, u32)> = Vec::new();
    for row in rows {
        match list.last_mut() {
            Some((_, last)) if *last + 1 == *row => *last = *row,
            Some(_) | None => list.push((*row, *row)),
        }
    }
    let shown = list.iter().take(MOST).map(|(first, last)| match first == last {
        true => first.to_string(),
        false => format!("{first} to {last}"),
    });
    let shown: Vec<String> = shown.collect();
    let more = if list.len() > MOST { " and more" } else { "" };
    format!("{}{more}", shown.join(", "))
}

fn spot(file: &Arc<str>, sheet: &Option<Arc<str>>, row: u32, position: usize) -> Spot {
    Spot { file: file.clone(), sheet: sheet.clone(), row, column: column_number(position) }
}

fn column_number(position: usize) -> u32 {
    u32::try_from(position + 1).unwrap_or(0)
}
