//! A paper as a workbook of one sheet: values alone, no formula and no link, at a scale that is set here and not left to the
//! printer. A table stands in the columns of the paper; what is wider runs across them.

use rust_decimal::Decimal;
use rust_xlsxwriter::{Format, Worksheet, XlsxError};

use super::web::ticks;
use super::{BESIDE_A_SIGNATURE, Bar, Block, Cell, Paper, Row, Signs, Table, TableColumn, number, shown};
use crate::ground::inert::{is_changed, would_run};
use crate::report::form::look::{Kind, Look, Tone};
use crate::report::form::page::{Binding, Written, float, lines_needed, written};
use crate::report::form::print::{Laid, lay_on_paper};
use crate::report::form::table::Value;
use crate::report::form::workbook::{bytes_of, new_book, properties};

/// Rows of a table above which its headings stand on every page.
const LONG: usize = 40;

/// The percentage of the width that sender and address have, and that of the names of facts beside them.
const LEFT: u32 = 55;
const NAMES: u32 = 15;

/// The height of a line of type, in points.
const LINE: u32 = 13;

/// The bytes of the file.
pub(super) fn bytes(paper: &Paper) -> Result<Vec<u8>, XlsxError> {
    let mut book = new_book()?;
    book.set_properties(&properties(&paper.title, paper.day)?);
    let look = Look::new();
    let mut sheet = Sheet { sheet: book.add_worksheet(), look: &look, paper, row: 0, has_headings: false };
    sheet.open()?;
    sheet.head()?;
    for banner in &paper.banners {
        sheet.across(banner, &look.banner)?;
    }
    for block in &paper.blocks {
        sheet.block(block)?;
    }
    bytes_of(book)
}

struct Sheet<'a> {
    sheet: &'a mut Worksheet,
    look: &'a Look,
    paper: &'a Paper,
    row: u32,
    /// Whether a table gave its headings to every page.
    has_headings: bool,
}

impl Sheet<'_> {
    fn open(&mut self) -> Written {
        self.sheet.set_name(&self.paper.title)?;
        // Tenths, by their digits: no arithmetic is done in floats.
        let widths: Vec<f64> =
            self.paper.grid.iter().map(|tenths| float(Decimal::new((*tenths).into(), 1))).collect();
        for (at, width) in (0_u16..).zip(&widths) {
            self.sheet.set_column_width(at, *width)?;
        }
        let foot = Binding::foot(&self.paper.foot);
        let laid = Laid { widths: &widths, metric: self.paper.metric, lies: self.paper.lies, most: 100 };
        lay_on_paper(self.sheet, &laid, &foot);
        // The name of the sheet stands on top of it.
        self.sheet.set_footer(format!("&L&10 {foot}&R&10Page &P of &N"));
        Ok(())
    }

    /// The last column.
    fn last(&self) -> u16 {
        u16::try_from(self.paper.grid.len()).unwrap_or(1).saturating_sub(1)
    }

    /// How many characters fit into some columns.
    fn room(&self, first: u16, last: u16) -> u32 {
        let widths = self.paper.grid.iter().take(usize::from(last) + 1).skip(usize::from(first));
        widths.map(|tenths| u32::from(*tenths)).sum::<u32>() / 10
    }

    /// Words in some columns of this row.
    fn words(&mut self, (first, last): (u16, u16), words: &str, format: &Format) -> Written {
        let words = written(words);
        if first < last {
            self.sheet.merge_range(self.row, first, self.row, last, &words, format)?;
        } else if words.is_empty() {
            self.sheet.write_blank(self.row, first, format)?;
        } else {
            self.sheet.write_string_with_format(self.row, first, words, format)?;
        }
        Ok(())
    }

    /// Ends a row of so many lines.
    fn end(&mut self, lines: u32) -> Written {
        if lines > 1 {
            self.sheet.set_row_height(self.row, lines.min(30) * LINE + 3)?;
        }
        self.row += 1;
        Ok(())
    }

    /// A paragraph across the whole paper.
    fn across(&mut self, words: &str, format: &Format) -> Written {
        let room = self.room(0, self.last());
        let lines = words.lines().map(|line| lines_needed(line, room)).sum();
        self.words((0, self.last()), words, format)?;
        self.end(lines)
    }

    /// The title; who sends it and who gets it on the left, numbers and days on the right.
    fn head(&mut self) -> Written {
        let look = self.look;
        self.sheet.set_row_height(0, 24)?;
        let title = self.paper.title.as_str();
        self.words((0, self.last()), title, &look.title)?;
        self.row = 1;
        self.words((0, self.last()), &self.paper.about, &look.subtitle)?;
        self.row = 3;
        let (left, middle) = self.parted();
        let muted = look.cell(Kind::Text, Tone::Muted);
        let mut lines: Vec<(&str, &Format)> = Vec::new();
        for (at, line) in self.paper.from.iter().enumerate() {
            lines.push((line, if at == 0 { &look.strong } else { &look.line }));
        }
        if !self.paper.to.1.is_empty() {
            lines.extend((!lines.is_empty()).then_some(("", &look.line)));
            lines.push((self.paper.to.0, &look.subtitle));
            lines.extend(self.paper.to.1.iter().map(|line| (line.as_str(), &look.line)));
        }
        let facts: Vec<(&str, &str)> = self.paper.known_facts().collect();
        for at in 0..lines.len().max(facts.len()) {
            if let Some((words, format)) = lines.get(at) {
                self.words((0, left), words, format)?;
            }
            let mut most = 1;
            if let Some((name, value)) = facts.get(at) {
                self.words((left + 1, middle), name, muted)?;
                self.words((middle + 1, self.last()), value, look.cell(Kind::Wrap, Tone::Plain))?;
                let room = self.room(middle + 1, self.last());
                most = value.lines().map(|line| lines_needed(line, room)).sum::<u32>();
            }
            self.end(most)?;
        }
        self.row += 1;
        Ok(())
    }

    /// The last column of the left side, and that of the names on the right.
    fn parted(&self) -> (u16, u16) {
        let whole: u32 = self.paper.grid.iter().map(|tenths| u32::from(*tenths)).sum();
        let reaching = |percent: u32| {
            let mut sum = 0;
            let at = self.paper.grid.iter().position(|tenths| {
                sum += u32::from(*tenths);
                sum * 100 >= percent * whole
            });
            u16::try_from(at.unwrap_or(0)).unwrap_or(0)
        };
        let last = self.last();
        let left = reaching(LEFT).min(last.saturating_sub(2));
        (left, reaching(LEFT + NAMES).clamp(left + 1, last.saturating_sub(1).max(left + 1)))
    }

    fn block(&mut self, block: &Block) -> Written {
        let look = self.look;
        match block {
            Block::Heading(words) => {
                self.row += 1;
                self.words((0, self.last()), words, &look.block)?;
                self.end(1)
            }
            Block::Words(words) => self.across(words, &look.paragraph),
            Block::List(lines) => {
                lines.iter().try_for_each(|line| self.across(&format!("\u{2022} {line}"), &look.paragraph))
            }
            Block::Table(table) => self.table(table),
            Block::Bars(bars) => self.bars(bars),
            Block::Sign(all) => self.sign(all),
        }
    }

    fn table(&mut self, table: &Table) -> Written {
        let look = self.look;
        let places = places(&table.columns);
        if table.columns.iter().any(|column| !column.heading.is_empty()) {
            let mut lines = 1;
            for (column, place) in table.columns.iter().zip(&places) {
                let left = matches!(column.kind, Kind::Text | Kind::Wrap);
                let format = if left { &look.heading } else { &look.heading_right };
                self.words(*place, &column.heading, format)?;
                lines = lines.max(lines_needed(&column.heading, self.room(place.0, place.1)));
            }
            if table.rows.len() > LONG && !self.has_headings {
                self.sheet.set_repeat_rows(self.row, self.row)?;
                self.has_headings = true;
            }
            self.end(lines)?;
        }
        for row in &table.rows {
            match row {
                Row::Band(words) => {
                    self.words((0, self.last()), words, &look.band)?;
                    self.end(1)?;
                }
                Row::Cells(cells) => self.cells(&table.columns, &places, cells, Tone::Plain)?,
                Row::Sum(cells) => self.cells(&table.columns, &places, cells, Tone::Total)?,
            }
        }
        Ok(())
    }

    fn cells(
        &mut self,
        columns: &[TableColumn],
        places: &[(u16, u16)],
        cells: &[Cell],
        tone: Tone,
    ) -> Written {
        let mut lines = 1;
        for ((column, place), cell) in columns.iter().zip(places).zip(cells) {
            let muted = if tone == Tone::Plain { Tone::Muted } else { tone };
            match cell {
                Cell::Of(value) => self.value(*place, value, (column.kind, tone))?,
                Cell::Muted(value) => self.value(*place, value, (column.kind, muted))?,
                Cell::Fill => self.words(*place, "", &self.look.pencil)?,
                Cell::Tick(of) => self.words(*place, &ticks(of), self.look.cell(Kind::Middle, tone))?,
            }
            if let Cell::Of(Value::Text(words) | Value::Size(words))
            | Cell::Muted(Value::Text(words) | Value::Size(words)) = cell
                && column.kind == Kind::Wrap
            {
                lines = lines.max(lines_needed(words, self.room(place.0, place.1)));
            }
        }
        self.end(lines)
    }

    fn value(&mut self, place: (u16, u16), value: &Value, (kind, tone): (Kind, Tone)) -> Written {
        let Some(number) = number(value) else {
            let words = shown(value);
            let kind = if kind.is_words() { kind } else { Kind::Right };
            let as_text = would_run(&words) || is_changed(&words);
            let format = if as_text { self.look.as_text(kind, tone) } else { self.look.cell(kind, tone) };
            return self.words(place, &words, format);
        };
        let format = self.look.cell(kind, tone);
        if place.0 < place.1 {
            self.sheet.merge_range(self.row, place.0, self.row, place.1, "", format)?;
        }
        self.sheet.write_number_with_format(self.row, place.0, float(number), format)?;
        Ok(())
    }

    /// Bars as cells, each at its scale.
    fn bars(&mut self, bars: &[Bar]) -> Written {
        let look = self.look;
        let all = i128::from(self.paper.grid.len() as u64);
        let cells = |length: i64, scale: i64| -> u16 {
            let scale = i128::from(scale.max(1));
            let share = (i128::from(length) * all * 2 + scale) / (scale * 2);
            u16::try_from(share.clamp(0, all)).unwrap_or(0)
        };
        let laid: Vec<(u16, Vec<u16>)> = bars
            .iter()
            .map(|bar| {
                let mut end = 0_i64;
                let ends = bar.parts.iter().map(|(length, _)| {
                    end = end.saturating_add(*length);
                    cells(end, bar.scale)
                });
                (cells(bar.length, bar.scale).max(1), ends.collect())
            })
            .collect();
        for (bar, (whole, ends)) in bars.iter().zip(laid) {
            self.row += 1;
            self.across(&bar.words, &look.strong)?;
            let mut from = 0;
            for ((at, (_, words)), end) in bar.parts.iter().enumerate().zip(ends) {
                if end > from {
                    // Words that find no room are in the list below.
                    let fits = words.chars().count() <= self.room(from, end - 1) as usize;
                    self.words((from, end - 1), if fits { words } else { "" }, &look.bar_words[at % 2])?;
                }
                from = end.max(from);
            }
            for at in from..whole {
                self.sheet.write_blank(self.row, at, &look.bar_left)?;
            }
            self.sheet.set_row_height(self.row, 18)?;
            self.row += 1;
        }
        Ok(())
    }

    /// Lines to sign, one below the other.
    fn sign(&mut self, all: &[Signs]) -> Written {
        let look = self.look;
        let last = self.last();
        let third = |n: u16| (last + 1) * n / 3;
        for one in all {
            self.row += 1;
            self.words((0, last), &one.of, &look.strong)?;
            self.end(1)?;
            self.sheet.set_row_height(self.row, 30)?;
            for (n, what) in (0_u16..).zip(BESIDE_A_SIGNATURE) {
                let words = if n == 1 { one.name.as_str() } else { "" };
                self.words((third(n), third(n + 1).saturating_sub(1).max(third(n))), words, &look.to_sign)?;
                self.row += 1;
                self.words((third(n), third(n + 1).saturating_sub(1).max(third(n))), what, &look.subtitle)?;
                self.row -= 1;
            }
            self.row += 2;
        }
        Ok(())
    }
}

/// The first and the last column of the sheet that each column of a table takes.
fn places(columns: &[TableColumn]) -> Vec<(u16, u16)> {
    let mut from = 0;
    columns
        .iter()
        .map(|column| {
            let place = (from, from + column.span.max(1) - 1);
            from = place.1 + 1;
            place
        })
        .collect()
}
