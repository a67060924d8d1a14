//! The chart on the summary: what each system costs installed, parted into material, tools, labor and tax. Its figures are those
//! of the sheet Comparison, and follow them.

use rust_xlsxwriter::{
    Chart, ChartDataLabel, ChartFont, ChartFormat, ChartLegendPosition, ChartSolidFill, ChartType, Color,
    Worksheet,
};

use crate::report::form::{FONT, Written};

/// Where the figures of the chart stand on the sheet Comparison.
pub(super) struct Drawn {
    /// The row of the names of the systems.
    pub(super) heading: u32,
    /// The first of the lines that are added up, and the row of their sum.
    pub(super) lines: (u32, u32),
    /// The first and the last column of systems.
    pub(super) columns: (u16, u16),
}

/// Tints of the accent from dark to light, one a line, and the color of the words on it.
const TINTS: [(u32, u32); 4] =
    [(0x21_5968, 0xFF_FFFF), (0xAE_C9D0, 0x00_0000), (0x4F_7F8C, 0xFF_FFFF), (0xD6_E4E8, 0x00_0000)];

/// How high a row of a sheet is, in points of a screen.
const ROW: u32 = 17;

const WIDTH: u32 = 690;

const fn height(systems: u32) -> u32 {
    110 + 42 * if systems > 6 { 6 } else { systems }
}

/// How many rows the chart of so many systems covers.
pub(super) const fn rows(systems: u32) -> u32 {
    height(systems) / ROW + 1
}

/// Draws it on a sheet, from a row on.
pub(super) fn draw(sheet: &mut Worksheet, at: u32, currency: &str, of: &Drawn) -> Written {
    let font = |size: u32| {
        let mut font = ChartFont::new();
        font.set_name(FONT).set_size(size);
        font
    };
    let (first, last) = of.columns;
    let mut chart = Chart::new(ChartType::BarStacked);
    for (row, (fill, words)) in (of.lines.0..of.lines.1).zip(TINTS) {
        let mut label = ChartDataLabel::new();
        // A part that is nothing has no label.
        label.show_value().set_num_format("#,##0;;").set_font(font(10).set_color(Color::RGB(words)));
        chart
            .add_series()
            .set_name(("Comparison", row, 0))
            .set_categories(("Comparison", of.heading, first, of.heading, last))
            .set_values(("Comparison", row, first, row, last))
            .set_gap(50)
            .set_data_label(&label)
            .set_format(ChartFormat::new().set_solid_fill(ChartSolidFill::new().set_color(Color::RGB(fill))));
    }
    let title =
        if currency.is_empty() { "Installed cost".to_owned() } else { format!("Installed cost, {currency}") };
    chart.title().set_name(title.as_str()).set_font(font(11).set_bold());
    chart.legend().set_position(ChartLegendPosition::Bottom).set_font(&font(10));
    // A bar chart is lying: its first axis is the one of the values.
    chart.x_axis().set_font(&font(10)).set_num_format("#,##0");
    chart.y_axis().set_font(&font(10)).set_reverse();
    chart.set_width(WIDTH).set_height(height(u32::from(last.saturating_sub(first)) + 1));
    sheet.insert_chart_with_offset(at, 0, &chart, 4, 4)?;
    Ok(())
}
