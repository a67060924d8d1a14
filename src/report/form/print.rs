//! How a sheet is printed: paper, margins, foot, and a scale that is set here and not left to the printer.

use rust_xlsxwriter::Worksheet;

/// How a sheet lies on paper.
pub(super) struct Laid<'a> {
    /// The widths of the columns that are printed, in characters.
    pub(super) widths: &'a [f64],
    /// A4, else letter.
    pub(super) metric: bool,
    /// Across.
    pub(super) lies: bool,
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
    sheet.set_footer(format!("&L&8 {}&C&8&A&R&8Page &P of &N", foot));
    sheet.set_print_scale(scale(laid));
}

/// The percentage at which columns fit across the paper, at most a hundred.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 10 to 100")]
#[expect(clippy::float_arithmetic, reason = "widths of columns, on no number that is counted")]
pub(super) fn scale(laid: &Laid<'_>) -> u16 {
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
    (room / wide.max(0.1) * 99.5).floor().clamp(10.0, 100.0) as u16
}
