//! How much of a sheet is printed, at which scale, and how wide its columns are where it is not. The scales themselves are
//! `print`'s.

use super::look::Kind;
use super::page::{Page, Written};
use super::print::{LEAST_SCALE, Laid, MOST_SCALE, ROW_POINTS, fits_across, scale, tall_scale};

impl Page<'_> {
    /// What is printed: all from the first cell to a row and a column; on one page where that leaves type that can be read.
    pub(in crate::report) fn print_to(&mut self, row: u32, column: u16) -> Written {
        let across = self.print_scale(column);
        let points = row.saturating_add(1).saturating_mul(ROW_POINTS).saturating_add(self.taller);
        let on_one = tall_scale(points, self.metric, self.lies).min(across);
        self.is_printed_in_part = true;
        self.sheet.set_print_scale(if on_one >= LEAST_SCALE { on_one } else { across });
        self.sheet.set_print_area(0, 0, row, column)?;
        Ok(())
    }

    /// The last column that fits across the paper where type can still be read.
    pub(in crate::report) fn last_that_fits(&self) -> u16 {
        let widths: Vec<f64> = self.columns.iter().map(|column| column.width).collect();
        let many = (1..=widths.len()).rev().find(|many| {
            widths.get(..*many).is_some_and(|widths| {
                fits_across(&Laid { widths, metric: self.metric, lies: self.lies, most: MOST_SCALE })
            })
        });
        u16::try_from(many.unwrap_or(1)).unwrap_or(1).saturating_sub(1)
    }

    /// The scale at which columns up to one fit across the paper.
    fn print_scale(&self, column: u16) -> u16 {
        let printed = self.columns.iter().take(usize::from(column) + 1);
        let widths: Vec<f64> = printed.map(|column| column.width).collect();
        scale(&Laid { widths: &widths, metric: self.metric, lies: self.lies, most: MOST_SCALE })
    }

    /// Makes columns of words wide enough for the longest of them, up to so many characters. For sheets that are looked at and not
    /// printed: what is printed has the widths of its paper.
    pub(in crate::report) fn widen(&mut self, most: u32) -> Written {
        for (at, (column, longest)) in (0_u16..).zip(self.columns.iter_mut().zip(&self.longest)) {
            // Words have wider letters than digits here and there.
            let needed = f64::from((*longest).min(most).saturating_add(2));
            if matches!(column.kind, Kind::Text) && needed > column.width {
                column.width = needed;
                self.sheet.set_column_width(at, needed)?;
            }
        }
        Ok(())
    }
}
