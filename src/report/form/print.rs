//! How a sheet is printed: paper, margins, foot, and a scale that is set here and not left to the printer.

use rust_xlsxwriter::{Worksheet, XlsxError};

/// How a sheet lies on paper.
pub(super) struct Laid<'a> {
    /// The widths of the columns that are printed, in characters.
    pub(super) widths: &'a [f64],
    /// A4, else letter.
    pub(super) metric: bool,
    /// Across.
    pub(super) lies: bool,
    /// The largest percentage.
    pub(super) most: u16,
}

/// Margins at the sides, in inches.
const MARGIN: f64 = 0.4;

/// Sets paper, margins, a foot for each page, and a scale at which the columns fit across.
pub(super) fn lay_on_paper(sheet: &mut Worksheet, laid: &Laid<'_>, foot: &str) {
    match laid.lies {
        true => sheet.set_landscape(),
        false => sheet.set_portrait(),
    };
    sheet.set_paper_size(if laid.metric { 9 } else { 1 });
    sheet.set_margins(MARGIN, MARGIN, 0.5, 0.6, 0.3, 0.3);
    sheet.set_screen_gridlines(false);
    // A space parts the size of the type from a name that begins with a digit.
    sheet.set_footer(format!("&L&10 {}&C&10&A&R&10Page &P of &N", foot));
    sheet.set_print_scale(scale(laid));
}

/// The percentage at which columns are printed. Where type would be too small to be read, what does not fit stands on a page
/// beside.
pub(super) fn scale(laid: &Laid<'_>) -> u16 {
    across(laid).clamp(LEAST_SCALE, laid.most)
}

/// Whether columns fit across the paper in type that can be read.
pub(super) fn fits_across(laid: &Laid<'_>) -> bool {
    across(laid) >= LEAST_SCALE
}

/// The percentage at which columns fit across the paper.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 1 to 1000")]
#[expect(clippy::float_arithmetic, reason = "widths of columns, on no number that is counted")]
fn across(laid: &Laid<'_>) -> u16 {
    let inches = match (laid.metric, laid.lies) {
        (false, false) => 8.5,
        (false, true) => 11.0,
        (true, false) => 8.27,
        (true, true) => 11.69,
    };
    // A digit of the type is 5.56 points wide, and a column has five points of a screen beside its digits; some programs
    // round a digit down to the screen's points, which is less.
    let wide: f64 = laid.widths.iter().map(|width| (width + 5.0 / 7.0) * 5.56 / 72.0).sum();
    let room = inches - 2.0 * MARGIN;
    (room / wide.max(0.1) * 99.5).floor().clamp(1.0, 1000.0) as u16
}

/// Sheets of many rows are printed at so many in a hundred at most: type of ten points is eight and a half.
pub(super) const MOST_SCALE: u16 = 85;

/// How high a row is, in points, in the type of all workbooks.
pub(super) const ROW_POINTS: u32 = 13;

/// At it type of ten points, the smallest on a sheet, is a little above seven.
pub(super) const LEAST_SCALE: u16 = 72;

/// The percentage at which so many points fit down the paper, at most a hundred.
pub(super) fn tall_scale(points: u32, metric: bool, lies: bool) -> u16 {
    // Hundredths of an inch, less margins and room for the foot.
    let paper = match (metric, lies) {
        (_, true) if metric => 827,
        (_, true) => 850,
        (true, false) => 1_169,
        (false, false) => 1_100,
    };
    let room = (paper - 120) * 72;
    u16::try_from((room / points.max(1)).clamp(1, 100)).unwrap_or(100)
}

/// The last cell that any sheet has; nothing stands there.
const NOWHERE: (u32, u16) = (1_048_575, 16_383);

/// Keeps a sheet off paper where all of a workbook is printed: what is printed of it is a cell in which nothing stands.
pub(in crate::report) fn keep_off_paper(sheet: &mut Worksheet) -> Result<(), XlsxError> {
    sheet.set_print_area(NOWHERE.0, NOWHERE.1, NOWHERE.0, NOWHERE.1)?;
    Ok(())
}
