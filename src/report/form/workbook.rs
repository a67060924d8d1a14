//! A workbook as a whole: its typeface, what it says of itself, its bytes. Its sheets are `page`'s.

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, XlsxError};

use super::look::FONT;
use crate::ground::Date;
use crate::ground::inert::kept_on_a_line;
use crate::ground::threads::can_start;

/// A workbook without sheets, in the typeface of all of them: widths of columns and heights of rows are reckoned in it, and
/// few machines have the one that goes without saying.
///
/// # Errors
///
/// None: the type and its sizes are known to the crate.
pub(in crate::report) fn new_book() -> Result<Workbook, XlsxError> {
    /// The height of a row and the width of a column of this type, in points of a screen.
    const ROW_AND_COLUMN: (u32, u32) = (17, 64);
    let mut book = Workbook::new();
    let format = Format::new().set_font_name(FONT).set_font_size(10);
    book.set_default_format(&format, ROW_AND_COLUMN.0, ROW_AND_COLUMN.1)?;
    Ok(book)
}

/// The bytes of a workbook. Its sheets are put together in a thread each, by a crate that ends the program where one
/// cannot be started: so that is seen to before.
///
/// # Errors
///
/// What the workbook could not hold, or that the machine starts no more threads.
pub(in crate::report) fn bytes_of(mut book: Workbook) -> Result<Vec<u8>, XlsxError> {
    if !can_start(book.worksheets().len()) {
        let why =
            "no more threads can be started: end other programs, or raise the limit of processes or memory";
        return Err(XlsxError::IoError(std::io::Error::other(why)));
    }
    book.save_to_buffer()
}

/// What a workbook says of itself: the day of its job, or a fixed one, so that the same input gives the same bytes.
pub(in crate::report) fn properties(title: &str, day: Option<Date>) -> Result<DocProperties, XlsxError> {
    let (year, month, day) = day.map_or((2000, 1, 1), |day| day.parts());
    // A spreadsheet knows no day before 1900.
    let created = ExcelDateTime::from_ymd(year.clamp(1900, 9999), month, day)?;
    let title: String = kept_on_a_line(title).chars().take(200).collect();
    Ok(DocProperties::new().set_title(title).set_creation_datetime(&created))
}
