//! What of a sheet a person may edit, and what on it follows no edit. Each shaded cell is held against what was written
//! there, by a formula behind its row; what is as estimated is colored as soon as anything in the workbook was edited.

use rust_decimal::Decimal;
use rust_xlsxwriter::{
    ConditionalFormatFormula, DataValidation, DataValidationRule, Format, Formula, XlsxError,
};

use super::look::{Kind, Tone, WARN};
use super::page::{Page, Written, letters, shown};
use super::watched::Range;

/// The named cell that holds how many inputs of the workbook were edited.
pub(in crate::report) const EDITED: &str = "edited";

/// What is said of figures that follow no edit, as soon as there was one.
pub(in crate::report) const RUN_AGAIN: &str = "made before the edit: run again";

impl Page<'_> {
    /// A number that follows no edit.
    pub(in crate::report) fn as_estimated(&mut self, column: u16, number: Decimal, tone: Tone) -> Written {
        self.as_estimated_as(column, (self.kind(column), number), tone)
    }

    /// The same, shown as `kind` says.
    pub(in crate::report) fn as_estimated_as(
        &mut self,
        column: u16,
        (kind, number): (Kind, Decimal),
        tone: Tone,
    ) -> Written {
        self.watched.as_estimated(self.row, column, column);
        self.number_as(column, kind, number, tone)
    }

    /// Words that name a sum or a state and follow no edit.
    pub(in crate::report) fn words_as_estimated(&mut self, column: u16, words: &str, tone: Tone) -> Written {
        self.watched.as_estimated(self.row, column, column);
        self.text(column, words, tone)
    }

    /// A paragraph that names sums or a state and follows no edit.
    pub(in crate::report) fn paragraph_as_estimated(
        &mut self,
        words: &str,
        across: u16,
        format: &Format,
    ) -> Written {
        if !words.is_empty() {
            self.watched.as_estimated(self.row, 0, across.saturating_sub(1).max(1));
        }
        self.paragraph(words, across, format)
    }

    /// The cell that was just written follows some edits and not others.
    pub(in crate::report) fn follows_in_part(&mut self, column: u16) {
        self.watched.as_estimated(self.row, column, column);
    }

    /// A band over a block of figures that follow no edit; from a column on it says so after one.
    pub(in crate::report) fn band_as_estimated(
        &mut self,
        words: &str,
        (across, said_at): (u16, u16),
        format: &Format,
    ) -> Written {
        let row = self.row;
        self.band(words, across, format)?;
        let said = format.clone().set_font_color(WARN);
        self.say_run_again(row, said_at, &said)
    }

    /// A cell that is empty and says after an edit that what stands beside or below it was made before.
    pub(in crate::report) fn run_again(&mut self, row: u32, column: u16) -> Written {
        let look = self.look;
        self.say_run_again(row, column, &look.run_again)
    }

    fn say_run_again(&mut self, row: u32, column: u16, format: &Format) -> Written {
        let formula = format!("=IF({EDITED}>0,\"{RUN_AGAIN}\",\"\")");
        self.sheet.write_formula_with_format(row, column, Formula::new(formula), format)?;
        Ok(())
    }

    /// Colors the cells of a column, from a row to another, in whose row something holds; `holds` is a formula of the first.
    pub(in crate::report) fn color_where(
        &mut self,
        column: u16,
        (first, last): (u32, u32),
        holds: &str,
    ) -> Written {
        let colored = ConditionalFormatFormula::new().set_rule(holds).set_format(self.look.colored.clone());
        self.sheet.add_conditional_format(first, column, last.max(first), column, &colored)?;
        Ok(())
    }

    /// A shaded cell in which one of a few words is chosen.
    pub(in crate::report) fn choice(&mut self, column: u16, words: &[&str], chosen: &str) -> Written {
        self.watched.input(self.row, column, &format!("\"{chosen}\""));
        self.put(column, chosen, self.look.cell(Kind::Right, Tone::Input))?;
        let list = DataValidation::new().allow_list_strings(words)?;
        self.sheet.add_data_validation(self.row, column, self.row, column, &list)?;
        Ok(())
    }

    /// Where a number is to be typed nothing else is taken.
    fn take_numbers_alone(&mut self) -> Written {
        // No price, percentage or count comes near them; they only part a number from words.
        let any = DataValidationRule::Between(-1e12, 1e12);
        let number = DataValidation::new()
            .allow_decimal_number(any)
            .set_error_title("A number")?
            .set_error_message("Type a number alone, without its unit or sign.")?;
        for (column, first, last) in self.watched.numbers() {
            self.sheet.add_data_validation(first, column, last, column, &number)?;
        }
        Ok(())
    }

    /// Ends a sheet: behind each row with shaded cells a column counts those that were edited, and what follows no edit is
    /// colored as soon as there was one. Gives that column, its first row and its last.
    pub(in crate::report) fn close(mut self) -> Result<(u16, u32, u32), XlsxError> {
        let column = u16::try_from(self.columns.len()).unwrap_or(u16::MAX - 2) + 1;
        let ranges = self.watched.ranges();
        if let Some((row, first, last_row, last)) = ranges.first() {
            let written = |(row, first, last_row, last): &Range| {
                format!("{}{}:{}{}", letters(*first), shown(*row), letters(*last), shown(*last_row))
            };
            let all: Vec<String> = ranges.iter().map(written).collect();
            let colored = ConditionalFormatFormula::new()
                .set_rule(format!("={EDITED}>0").as_str())
                .set_multi_range(all.join(" "))
                .set_format(self.look.colored.clone());
            self.sheet.add_conditional_format(*row, *first, *last_row, *last, &colored)?;
        }
        if !self.is_printed_in_part {
            // What counts edits stands behind what is printed.
            let last = u16::try_from(self.columns.len()).unwrap_or(1).saturating_sub(1);
            self.print_to(self.row, last)?;
        }
        self.take_numbers_alone()?;
        let counts = self.watched.counts();
        let (Some((first, _)), Some((last, _))) = (counts.first(), counts.last()) else {
            return Ok((column, self.row, self.row));
        };
        let rows = (column, *first, *last);
        self.sheet.set_column_width(column - 1, 2)?;
        self.sheet.set_column_width(column, 7)?;
        self.sheet.write_string_with_format(
            first.saturating_sub(1),
            column,
            "edited",
            &self.look.heading_right,
        )?;
        for (row, formula) in counts {
            self.row = row;
            self.formula_as(column, Kind::Percent, &formula, Decimal::ZERO, Tone::Muted)?;
        }
        Ok(rows)
    }
}
