//! One sheet on its way out: title, frozen headings, one row after the other, print set-up. It knows no trade; the
//! sheets of this folder are written with it.

use rust_decimal::Decimal;
use rust_xlsxwriter::{Format, Formula, Url, Workbook, Worksheet, XlsxError};

use super::look::{Kind, Look, Tone};
use super::print::{Laid, MOST_SCALE, ROW_POINTS, lay_on_paper};
use super::watched::Watched;
use crate::ground::inert::{is_changed, kept_on_a_line, would_run, written_in_a_sheet};
use crate::ground::spot::column_letters;
use crate::report::facts::plain;

/// A column of a sheet.
#[derive(Debug, Clone)]
pub(in crate::report) struct SheetColumn {
    pub(in crate::report) heading: String,
    /// In characters.
    pub(in crate::report) width: f64,
    pub(in crate::report) kind: Kind,
}

/// A column by its heading, width and what it holds.
pub(in crate::report) fn column(heading: &str, width: f64, kind: Kind) -> SheetColumn {
    SheetColumn { heading: heading.to_owned(), width, kind }
}

/// What writing cells gives: nothing but what the workbook could not hold.
pub(in crate::report) type Written = Result<(), XlsxError>;

/// The columns of a sheet, each once: the name that its cells and formulas go by, what stands over it, how wide it is and
/// what it holds. It makes a constant for the place of each, and `columns`, which lists them.
macro_rules! columns {
    ($vis:vis ($($given:ident: $of:ty),*) $($name:ident $heading:expr, $width:expr, $kind:ident;)+) => {
        #[allow(non_camel_case_types, clippy::upper_case_acronyms, reason = "each is a column")]
        enum Place { $($name),+ }
        $(
            #[allow(dead_code, reason = "no formula names the column")]
            $vis const $name: u16 = Place::$name as u16;
        )+
        fn columns($($given: $of),*) -> Vec<$crate::report::form::SheetColumn> {
            use $crate::report::form::{Kind, column};
            vec![$(column($heading, $width, Kind::$kind)),+]
        }
    };
}
pub(in crate::report) use columns;

/// How a sheet lies on paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::report) enum Paper {
    Portrait,
    Landscape,
}

/// What all sheets of a workbook share.
#[derive(Clone, Copy)]
pub(in crate::report) struct Binding<'a> {
    pub(in crate::report) look: &'a Look,
    /// What stands at the foot of every page.
    pub(in crate::report) foot: &'a str,
    /// Whether paper is cut in metres.
    pub(in crate::report) metric: bool,
    /// Whether prices are changed for a trial: the title of every sheet says so.
    pub(in crate::report) tried: bool,
}

impl Binding<'_> {
    /// What stands at the foot of the pages of a workbook about something. A footer holds 255 characters in all, and & begins a code in it.
    pub(in crate::report) fn foot(about: &str) -> String {
        kept_on_a_line(about).chars().take(80).collect::<String>().replace('&', "&&")
    }
}

/// One sheet on its way out.
pub(in crate::report) struct Page<'a> {
    pub(in crate::report) sheet: &'a mut Worksheet,
    pub(in crate::report) look: &'a Look,
    /// The row that is written next, counted from 0.
    pub(in crate::report) row: u32,
    pub(in crate::report) columns: Vec<SheetColumn>,
    /// Whether paper is cut in metres.
    pub(super) metric: bool,
    /// Whether the sheet lies across the paper.
    pub(super) lies: bool,
    /// The longest words of each column.
    pub(super) longest: Vec<u32>,
    /// How many points rows are higher than they are without being told, all together.
    pub(super) taller: u32,
    /// Whether it was said how much of it is printed.
    pub(super) is_printed_in_part: bool,
    /// What may be edited, and what follows no edit.
    pub(super) watched: Watched,
}

/// The row number a spreadsheet shows for a row counted from 0.
pub(in crate::report) const fn shown(row: u32) -> u32 {
    row.saturating_add(1)
}

/// The letters over a column counted from 0.
pub(in crate::report) fn letters(column: u16) -> String {
    column_letters(u32::from(column) + 1)
}

impl<'a> Page<'a> {
    /// Opens a sheet: its name, a title, what it is for, widths and print set-up. Nothing is frozen yet.
    pub(in crate::report) fn open(
        book: &'a mut Workbook,
        binding: &Binding<'a>,
        name: &str,
        title: &str,
        about: &str,
        paper: Paper,
        columns: Vec<SheetColumn>,
    ) -> Result<Self, XlsxError> {
        let sheet = book.add_worksheet();
        sheet.set_name(name)?;
        for (index, column) in (0_u16..).zip(&columns) {
            sheet.set_column_width(index, column.width)?;
        }
        let lies = paper == Paper::Landscape;
        let longest = vec![0; columns.len()];
        let widths: Vec<f64> = columns.iter().map(|column| column.width).collect();
        let laid = Laid { widths: &widths, metric: binding.metric, lies, most: MOST_SCALE };
        lay_on_paper(sheet, &laid, binding.foot);
        // A formula may give no words: without this they would be cached as 0.
        sheet.set_formula_result_default("");
        let mut page = Self {
            sheet,
            look: binding.look,
            row: 0,
            columns,
            metric: binding.metric,
            lies,
            taller: 0,
            longest,
            is_printed_in_part: false,
            watched: Watched::default(),
        };
        let trial = if binding.tried { "  (NOT REAL PRICES)" } else { "" };
        page.put(0, &format!("{title}{trial}"), &binding.look.title)?;
        page.height(0, 22)?;
        page.row = 1;
        if !about.is_empty() {
            page.put(0, about, &binding.look.subtitle)?;
            page.row = 2;
        }
        Ok(page)
    }

    /// Writes the headings, freezes all above and the first `frozen` columns, and repeats them on every printed page.
    pub(in crate::report) fn headings(&mut self, frozen: u16) -> Written {
        self.row = self.row.saturating_add(1);
        let row = self.row;
        self.heading_row()?;
        self.sheet.set_freeze_panes(self.row, frozen)?;
        self.sheet.set_repeat_rows(row, row)?;
        Ok(())
    }

    /// Writes the headings here and freezes nothing.
    pub(in crate::report) fn heading_row(&mut self) -> Written {
        let used =
            self.columns.iter().rposition(|column| !column.heading.is_empty()).map_or(0, |last| last + 1);
        for (index, column) in (0_u16..).zip(&self.columns[..used]) {
            let left = matches!(column.kind, Kind::Text | Kind::Wrap);
            let format = if left { &self.look.heading } else { &self.look.heading_right };
            self.sheet.write_string_with_format(self.row, index, written(&column.heading), format)?;
        }
        let most = self.most_lines((0..).zip(self.columns[..used].iter().map(|column| &*column.heading)));
        self.set_lines(self.row, most)?;
        self.end()
    }

    /// Goes on to the next row.
    pub(in crate::report) fn next(&mut self) {
        self.row = self.row.saturating_add(1);
    }

    /// Ends a row that is the last thing to be written.
    pub(in crate::report) fn end(&mut self) -> Written {
        self.next();
        Ok(())
    }

    /// Buttons to filter rows by, over columns up to the last; the guard row is left out.
    pub(in crate::report) fn filter(&mut self, (first, guard): (u32, u32), last: u16) -> Written {
        self.sheet.autofilter(first - 1, 0, guard.saturating_sub(1).max(first), last)?;
        Ok(())
    }

    /// Words in a format of their own.
    pub(in crate::report) fn put(&mut self, column: u16, words: &str, format: &Format) -> Written {
        self.sheet.write_string_with_format(self.row, column, written(words), format)?;
        Ok(())
    }

    /// Words.
    pub(in crate::report) fn text(&mut self, column: u16, words: &str, tone: Tone) -> Written {
        let kind = if self.kind(column).is_words() { self.kind(column) } else { Kind::Right };
        let format = if would_run(words) || is_changed(words) {
            self.look.as_text(kind, tone)
        } else {
            self.look.cell(kind, tone)
        };
        if words.is_empty() {
            self.sheet.write_blank(self.row, column, format)?;
        } else {
            self.note_length(column, words);
            self.sheet.write_string_with_format(self.row, column, written(words), format)?;
        }
        Ok(())
    }

    /// Keeps the longest words of a column.
    fn note_length(&mut self, column: u16, words: &str) {
        let length = u32::try_from(words.chars().count()).unwrap_or(u32::MAX);
        if let Some(longest) = self.longest.get_mut(usize::from(column)) {
            *longest = length.max(*longest);
        }
    }

    /// A number, shown as its column says.
    pub(in crate::report) fn number(&mut self, column: u16, number: Decimal, tone: Tone) -> Written {
        self.number_as(column, self.kind(column), number, tone)
    }

    /// A number, shown as `kind` says.
    pub(in crate::report) fn number_as(
        &mut self,
        column: u16,
        kind: Kind,
        number: Decimal,
        tone: Tone,
    ) -> Written {
        if tone == Tone::Input {
            self.watched.input(self.row, column, &plain(number));
        }
        let format = self.look.cell(kind, tone);
        self.sheet.write_number_with_format(self.row, column, float(number), format)?;
        Ok(())
    }

    /// A formula with the result that we have for it.
    pub(in crate::report) fn formula(
        &mut self,
        column: u16,
        formula: &str,
        result: Decimal,
        tone: Tone,
    ) -> Written {
        self.formula_as(column, self.kind(column), formula, result, tone)
    }

    /// A formula with the result that we have for it, shown as `kind` says.
    pub(in crate::report) fn formula_as(
        &mut self,
        column: u16,
        kind: Kind,
        formula: &str,
        result: Decimal,
        tone: Tone,
    ) -> Written {
        if tone == Tone::Input {
            self.watched.input(self.row, column, formula);
        }
        let formula = Formula::new(formula).set_result(float(result).to_string());
        let format = self.look.cell(kind, tone);
        self.sheet.write_formula_with_format(self.row, column, formula, format)?;
        Ok(())
    }

    /// A formula that gives words, or none.
    pub(in crate::report) fn formula_words(
        &mut self,
        column: u16,
        formula: &str,
        result: &str,
        tone: Tone,
    ) -> Written {
        let formula = Formula::new(formula).set_result(result);
        let format = self.look.cell(Kind::Text, tone);
        self.sheet.write_formula_with_format(self.row, column, formula, format)?;
        Ok(())
    }

    /// A link to a cell of another sheet.
    pub(in crate::report) fn link(&mut self, column: u16, sheet: &str, row: u32, words: &str) -> Written {
        self.note_length(column, words);
        let target = Url::new(format!("internal:'{sheet}'!A{}", shown(row))).set_text(written(words));
        self.sheet.write_url_with_format(self.row, column, target, &self.look.link)?;
        Ok(())
    }

    /// A band over a group of rows, across so many columns.
    pub(in crate::report) fn band(&mut self, words: &str, across: u16, format: &Format) -> Written {
        for column in 1..across {
            self.sheet.write_blank(self.row, column, format)?;
        }
        self.put(0, words, format)?;
        self.end()
    }

    /// A paragraph across so many columns, as high as its words need.
    pub(in crate::report) fn paragraph(&mut self, words: &str, across: u16, format: &Format) -> Written {
        if words.is_empty() {
            return Ok(());
        }
        let last = across.saturating_sub(1).max(1);
        self.sheet.merge_range(self.row, 0, self.row, last, written(words).as_str(), format)?;
        let room = self.room(across);
        let lines: u32 = words.lines().map(|line| lines_needed(line, room)).sum();
        self.height(self.row, lines.clamp(1, 30) * 13 + 3)?;
        self.end()
    }

    /// Makes a row so many points high.
    fn height(&mut self, row: u32, points: u32) -> Written {
        self.sheet.set_row_height(row, points)?;
        self.taller = self.taller.saturating_add(points.saturating_sub(ROW_POINTS));
        Ok(())
    }

    /// Empty cells, ruled as their columns are.
    pub(in crate::report) fn blanks(
        &mut self,
        columns: impl IntoIterator<Item = u16>,
        tone: Tone,
    ) -> Written {
        columns.into_iter().try_for_each(|column| self.text(column, "", tone))
    }

    /// Words side by side from a column on.
    pub(in crate::report) fn texts<'w>(
        &mut self,
        from: u16,
        words: impl IntoIterator<Item = &'w str>,
        tone: Tone,
    ) -> Written {
        (from..).zip(words).try_for_each(|(column, words)| self.text(column, words, tone))
    }

    /// The name of a row over its first two columns.
    pub(in crate::report) fn named(&mut self, name: &str, tone: Tone) -> Written {
        self.texts(0, [name, ""], tone)
    }

    /// A named row with a cell of each of a list, side by side from a column on.
    pub(in crate::report) fn side_by_side<T>(
        &mut self,
        name: &str,
        tone: Tone,
        (first, list): (u16, impl IntoIterator<Item = T>),
        mut cell: impl FnMut(&mut Self, u16, T) -> Written,
    ) -> Written {
        self.named(name, tone)?;
        for (column, one) in (first..).zip(list) {
            cell(self, column, one)?;
        }
        self.end()
    }

    /// Headings of a block within the sheet from a column on; those of `numbers` stand over numbers.
    pub(in crate::report) fn heads<'w>(
        &mut self,
        from: u16,
        words: impl IntoIterator<Item = &'w str>,
        numbers: impl Fn(u16) -> bool,
    ) -> Written {
        let look = self.look;
        for (column, words) in (from..).zip(words) {
            self.put(column, words, if numbers(column) { &look.heading_right } else { &look.heading })?;
        }
        self.end()
    }

    /// The row over a sum, above which rows may be inserted, or where nothing stands; gives where it is.
    pub(in crate::report) fn guard(&mut self, column: u16, nothing: bool) -> Result<u32, XlsxError> {
        let words = if nothing { "nothing" } else { "insert rows above this line" };
        self.put(column, words, &self.look.guard)?;
        self.next();
        Ok(self.row - 1)
    }

    /// The sum of a column over some rows.
    pub(in crate::report) fn sum(column: u16, (first, last): (u32, u32)) -> String {
        let letters = letters(column);
        format!("=SUM({letters}{}:{letters}{})", shown(first), shown(last))
    }

    /// Ends a row that is as high as its longest cell of words.
    pub(in crate::report) fn end_fitted(&mut self, cells: &[(u16, &str)]) -> Written {
        self.fit_row(self.row, cells)?;
        self.end()
    }

    /// Makes the row that was just written high enough for its longest cell of words.
    pub(in crate::report) fn fit_row(&mut self, row: u32, cells: &[(u16, &str)]) -> Written {
        let most = self.most_lines(cells.iter().copied());
        self.set_lines(row, most)
    }

    /// Lines that the longest of some cells of words takes in its column.
    fn most_lines<'w>(&self, cells: impl Iterator<Item = (u16, &'w str)>) -> u32 {
        let lines = cells.map(|(column, words)| {
            let width = self.columns.get(usize::from(column)).map_or(10, |c| characters(c.width));
            lines_needed(words, width)
        });
        lines.max().unwrap_or(1).clamp(1, 12)
    }

    fn set_lines(&mut self, row: u32, lines: u32) -> Written {
        if lines > 1 {
            self.height(row, lines * 13 + 2)?;
        }
        Ok(())
    }

    /// Characters that fit across so many columns.
    fn room(&self, across: u16) -> u32 {
        self.columns.iter().take(usize::from(across)).map(|c| characters(c.width)).sum::<u32>().max(10)
    }

    /// The cell of this row in a column, as a formula names it.
    pub(in crate::report) fn here(&self, column: u16) -> String {
        format!("{}{}", letters(column), shown(self.row))
    }

    /// What a column holds.
    pub(in crate::report) fn kind(&self, column: u16) -> Kind {
        self.columns.get(usize::from(column)).map_or(Kind::Text, |c| c.kind)
    }
}

/// The nearest number a spreadsheet can hold.
pub(in crate::report) fn float(number: Decimal) -> f64 {
    // Read back from its digits: the conversion of the decimal type itself may be off in the last place.
    plain(number).parse().unwrap_or_default()
}

/// Words as a cell holds them: inert, and at most 32,767 characters.
pub(in crate::report) fn written(words: &str) -> String {
    let mut words = written_in_a_sheet(words).into_owned();
    if let Some((end, _)) = words.char_indices().nth(32_000) {
        words.truncate(end);
    }
    words
}

pub(in crate::report) fn lines_needed(words: &str, width: u32) -> u32 {
    // Widths are counted in digits, and words run a little narrower.
    let room = (width * 23 / 20).max(4);
    let (mut lines, mut used) = (1_u32, 0_u32);
    for word in words.split_whitespace() {
        let length = u32::try_from(word.chars().count()).unwrap_or(u32::MAX);
        let beside = used.saturating_add(u32::from(used > 0)).saturating_add(length);
        if beside <= room {
            used = beside;
            continue;
        }
        lines = lines.saturating_add(u32::from(used > 0));
        // A word that is longer than a line goes on in the next.
        lines = lines.saturating_add(length.saturating_sub(1) / room);
        used = length.saturating_sub(1) % room + 1;
    }
    lines
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "widths are small and positive")]
fn characters(width: f64) -> u32 {
    width as u32
}
