//! Below the rows of the sheet Runs: the runs whose way is known, as `draw` projects them, in a chart of lines over the points
//! that stand below it.

use rust_decimal::Decimal;
use rust_xlsxwriter::{
    Chart, ChartDataLabel, ChartEmptyCells, ChartFont, ChartFormat, ChartLegendPosition, ChartLine,
    ChartLineDashType, ChartMarker, ChartType, Color,
};

use super::Book;
use crate::estimate::map;
use crate::ground::inert::written_in_a_sheet;
use crate::report::drawing::{Plotted, plot, tint_of};
use crate::report::form::{Kind, Page, Tone, Written};
use crate::trade::Service;

/// How many rows the chart covers.
const CHART_ROWS: u32 = 31;
/// How many columns are printed.
const ACROSS: u16 = 13;
/// How wide it is, and the least and the most that it is high.
const WIDE: i64 = 900;
const HIGH: (i64, i64) = (260, 560);
/// The most runs that are named in the chart, and the most that are drawn.
const NAMED: usize = 150;
const DRAWN: usize = 5_000;

/// Draws the runs of which the way is known, below the rows of a sheet; nothing where there is none.
pub(super) fn write(page: &mut Page<'_>, book: &Book<'_>, sheet: &str) -> Written {
    let words = &book.words;
    if !words.job.runs.iter().any(|run| run.path.is_some()) {
        return Ok(());
    }
    let map = map(words.job);
    let (width, height, runs) = plot(&map);
    if runs.is_empty() {
        return Ok(());
    }
    page.next();
    page.band("The runs with a path", ACROSS, &book.look().block)?;
    let about = "East is to the right, north to the right and up, up is up. coilstick draw shows all of it, with what is marked.";
    page.put(0, about, &book.look().subtitle)?;
    page.next();
    let chart_row = page.row + 1;
    page.row += CHART_ROWS;
    page.heads(0, ["run", "service", "across", "up"], |at| at > 1)?;
    let mut chart = Chart::new(ChartType::ScatterStraight);
    let mut middles: Vec<(&str, &Plotted)> = Vec::new();
    let mut services = 0;
    for service in Service::ALL {
        let of = |plotted: &&Plotted| words.run(plotted.run).is_some_and(|run| run.service == service);
        let first = page.row;
        for plotted in runs.iter().filter(of).take(DRAWN) {
            for (at, (across, up)) in plotted.points.iter().enumerate() {
                let name = if at == 0 { words.run_name(plotted.run) } else { "" };
                page.texts(0, [name, service.word()], Tone::Muted)?;
                page.number_as(2, Kind::Whole, Decimal::from(*across), Tone::Muted)?;
                page.number_as(3, Kind::Whole, Decimal::from(*up), Tone::Muted)?;
                page.next();
            }
            middles.push((words.run_name(plotted.run), plotted));
            // An empty row parts two lines.
            page.next();
        }
        if page.row == first {
            continue;
        }
        let last = page.row - 2;
        services += 1;
        let mut line = ChartLine::new();
        line.set_color(Color::RGB(tint_of(service))).set_width(1.75);
        match service {
            Service::Vent => line.set_dash_type(ChartLineDashType::Dash),
            Service::Return => line.set_dash_type(ChartLineDashType::RoundDot),
            Service::Cold | Service::Hot | Service::Mixed | Service::Drain => &mut line,
        };
        chart
            .add_series()
            .set_name(service.word())
            .set_categories((sheet, first, 2, last, 2))
            .set_values((sheet, first, 3, last, 3))
            .set_format(ChartFormat::new().set_line(&line))
            .set_marker(ChartMarker::new().set_none());
    }
    middles.truncate(NAMED);
    if !middles.is_empty() {
        page.next();
        page.band("names in the chart", 4, &book.look().band_light)?;
        let first = page.row;
        let mut labels = Vec::new();
        for (name, plotted) in &middles {
            page.text(0, name, Tone::Muted)?;
            page.number_as(2, Kind::Whole, Decimal::from(plotted.middle.0), Tone::Muted)?;
            page.number_as(3, Kind::Whole, Decimal::from(plotted.middle.1), Tone::Muted)?;
            labels.push(ChartDataLabel::new().set_value(&*written_in_a_sheet(name)).to_custom());
            page.next();
        }
        let mut font = ChartFont::new();
        font.set_size(10);
        chart
            .add_series()
            .set_name("names")
            .set_categories((sheet, first, 2, page.row - 1, 2))
            .set_values((sheet, first, 3, page.row - 1, 3))
            .set_format(ChartFormat::new().set_line(ChartLine::new().set_hidden(true)))
            .set_marker(ChartMarker::new().set_none())
            .set_data_label(ChartDataLabel::new().show_value().set_font(&font))
            .set_custom_data_labels(&labels);
        // The names are no service.
        chart.legend().delete_entries(&[services]);
    }
    chart.show_empty_cells_as(ChartEmptyCells::Gaps);
    chart.legend().set_position(ChartLegendPosition::Bottom);
    let [right, top] = [width, height].map(|side| u32::try_from(side.max(1)).unwrap_or(u32::MAX));
    chart.x_axis().set_min(0).set_max(right).set_hidden(true).set_major_gridlines(false);
    chart.y_axis().set_min(0).set_max(top).set_hidden(true).set_major_gridlines(false);
    // Below the lines stands the legend.
    let high = (WIDE * height / width.max(1)).clamp(HIGH.0, HIGH.1) + 40;
    let wide = WIDE.min((HIGH.1 * width / height.max(1)).max(300));
    let [wide, high] = [wide, high].map(|side| u32::try_from(side).unwrap_or(0));
    chart.set_width(wide).set_height(high);
    page.sheet.insert_chart(chart_row, 0, &chart)?;
    // The points are for the chart alone.
    let last = page.last_that_fits();
    page.print_to(chart_row + CHART_ROWS - 2, last)
}
