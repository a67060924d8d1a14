//! The blank job as one workbook: a sheet a table with drop-downs, help, and a sheet to walk the framing with. Its columns
//! are those of the tables' own definitions. The command `new --workbook` calls [`blank`].

use rust_xlsxwriter::{
    DataValidation, DataValidationErrorStyle, FormatBorder, Formula, IgnoreError, Note, Workbook, Worksheet,
    XlsxError,
};

use super::WriteError;
use crate::ground::LengthUnit;
use crate::ground::name::natural;
use crate::report::form::{
    ACCENT, Binding, Kind, Look, Page, Paper, Tone, Written, bytes_of, column, letters, properties, shown,
};
use crate::table::{Column, Holds};
use crate::trade::{
    Catalog, Class, Had, ITEMS, Job, LISTS, Lie, Phase, SHAPES, Service, Side, SoldAs, WorkPer,
};

/// Rows of a blank table that have drop-downs.
const ROWS: u32 = 1_000;
/// Rows to fill by pencil.
const WALK_ROWS: u32 = 26;

/// The tables of the starter job, in the order in which they are read about.
pub const STARTER: [(&str, &str); 6] = [
    ("job", include_str!("../../templates/starter/job.csv")),
    ("runs", include_str!("../../templates/starter/runs.csv")),
    ("places", include_str!("../../templates/starter/places.csv")),
    ("prices", include_str!("../../templates/starter/prices.csv")),
    ("labor", include_str!("../../templates/starter/labor.csv")),
    ("tools", include_str!("../../templates/starter/tools.csv")),
];

/// Tables of the starter of which nothing is built in, to copy rows from: hours and tools, every row marked invented.
pub(crate) fn invented() -> impl Iterator<Item = (&'static str, &'static str)> {
    STARTER.into_iter().filter(|(name, _)| ["labor", "tools"].contains(name))
}

/// A blank job as one workbook: a sheet a table with drop-downs from the tables that `job` has, help in the headings
/// and on a sheet, and a sheet to print and fill by pencil.
///
/// # Errors
///
/// What the workbook could not hold.
pub fn blank(job: &Job) -> Result<Vec<u8>, WriteError> {
    write_blank(job).map_err(WriteError::Workbook)
}

/// Whether a column holds bare numbers; all else is text, so that no spreadsheet takes a fraction for a day.
const fn is_number(holds: Holds) -> bool {
    matches!(holds, Holds::Count | Holds::Number)
}

/// The headings of a table, each with its help; lengths name their unit.
fn write_headings(sheet: &mut Worksheet, look: &Look, columns: &[Column], unit: &str) -> Written {
    for (at, column) in (0_u16..).zip(columns) {
        let is_length = matches!(column.holds, Holds::Length | Holds::Lengths);
        let unit = if is_length { format!(" ({unit})") } else { String::new() };
        let heading = format!("{}{unit}", column.heading);
        sheet.write_string_with_format(0, at, &heading, &look.heading)?;
        sheet.insert_note(0, at, &note(column))?;
        let number = look.cell(Kind::Percent, Tone::Plain);
        sheet.set_column_format(at, if is_number(column.holds) { number } else { &look.pencil })?;
        sheet.set_column_width(at, width(&heading, column.holds))?;
    }
    Ok(())
}

fn note(column: &Column) -> Note {
    let needed = if column.required { " Needed." } else { "" };
    Note::new(format!("{}.{needed}", column.help)).add_author_prefix(false).set_width(260).set_height(70)
}

fn width(heading: &str, holds: Holds) -> f64 {
    let least = u32::try_from(heading.chars().count()).unwrap_or(8) + 3;
    let usual = match holds {
        Holds::Text => 14,
        Holds::Size | Holds::Date | Holds::Lengths => 12,
        Holds::Length | Holds::Discount => 11,
        Holds::Count | Holds::Number | Holds::Percent | Holds::YesNo => 8,
    };
    f64::from(least.max(usual))
}

fn finish(sheet: &mut Worksheet, columns: usize) -> Written {
    let last = u16::try_from(columns.max(1) - 1).unwrap_or(u16::MAX);
    sheet.set_freeze_panes(1, 1)?;
    sheet.set_repeat_rows(0, 0)?;
    sheet.set_landscape();
    sheet.set_print_fit_to_pages(1, 0);
    sheet.set_footer("&L&8&A&R&8Page &P of &N");
    // Sizes and lengths are text on purpose.
    sheet.ignore_error_range(1, 0, ROWS, last, IgnoreError::NumberStoredAsText)?;
    Ok(())
}

fn write_blank(job: &Job) -> Result<Vec<u8>, XlsxError> {
    let look = Look::new();
    let mut out = Workbook::new();
    out.set_properties(&properties("", None)?);
    let binding =
        Binding { look: &look, foot: "", metric: job.settings.units == LengthUnit::Metre, tried: false };
    let lists = Lists::of(job);
    write_help(&mut out, &binding)?;
    write_walk(&mut out, &binding, job)?;
    for (name, _) in TABLES {
        let Some(shape) = SHAPES.into_iter().find(|shape| shape.name == name) else { continue };
        let sheet = out.add_worksheet();
        sheet.set_name(name)?;
        write_headings(sheet, &look, shape.columns, job.settings.units.abbreviation())?;
        for (at, column) in (0_u16..).zip(shape.columns) {
            if let Some(list) = lists.for_column(name, column) {
                sheet.add_data_validation(1, at, ROWS, at, &list)?;
            }
        }
        if name == "job" {
            write_items(sheet, &look)?;
        }
        finish(sheet, shape.columns.len())?;
    }
    lists.write(&mut out)?;
    bytes_of(out)
}

/// What the table `job` can say, each with its help beside it; an empty value leaves it unsaid.
fn write_items(sheet: &mut Worksheet, look: &Look) -> Written {
    for (row, item) in (1_u32..).zip(&ITEMS) {
        sheet.write_string_with_format(row, 0, item.name, &look.pencil)?;
        sheet.write_string_with_format(row, 3, item.help(), &look.pencil)?;
    }
    sheet.set_column_width(0, 18)?;
    sheet.set_column_width(2, 24)?;
    sheet.set_column_width(3, 110)?;
    Ok(())
}

/// Words to choose from, each list in a column of a hidden sheet.
struct Lists {
    columns: Vec<(&'static str, Vec<String>)>,
}

impl Lists {
    fn of(job: &Job) -> Self {
        let catalog: &Catalog = &job.catalog;
        let text = |word| job.lexicon.text(word).to_owned();
        let in_order = |mut list: Vec<String>| {
            list.retain(|word| !word.is_empty());
            list.sort_by(|a, b| natural(a, b));
            list.dedup();
            list
        };
        let mut sizes: Vec<_> = catalog.sizes.iter().collect();
        sizes.sort_by(|a, b| a.order.cmp(&b.order).then_with(|| natural(&text(a.size), &text(b.size))));
        let mut size_names: Vec<String> = Vec::new();
        for size in sizes {
            let name = text(size.size);
            if !size_names.contains(&name) {
                size_names.push(name);
            }
        }
        let words = |list: &[&str]| list.iter().map(|word| (*word).to_owned()).collect();
        let columns = vec![
            ("service", Service::ALL.iter().map(|service| service.word().to_owned()).collect()),
            ("size", size_names),
            ("pattern", in_order(catalog.patterns.iter().map(|pattern| pattern.name.to_string()).collect())),
            ("system", in_order(catalog.systems.iter().map(|system| text(system.name)).collect())),
            ("fixture", {
                let of_water = catalog.fixtures.iter().map(|fixture| text(fixture.fixture));
                let of_drains = catalog.drain_units.iter().map(|units| text(units.fixture));
                in_order(of_water.chain(of_drains).collect())
            }),
            ("part", in_order(catalog.parts.iter().map(|part| part.name.to_string()).collect())),
            ("phase", Phase::ALL.iter().map(|phase| phase.word().to_owned()).collect()),
            ("lie", Lie::ALL.iter().map(|lie| lie.word().to_owned()).collect()),
            ("sold as", SoldAs::ALL.iter().map(|sold| sold.word().to_owned()).collect()),
            ("yes", words(&["yes", "no"])),
            ("tee", {
                let meetings =
                    catalog.parts.iter().filter(|part| part.is_meeting() && !part.systems.is_empty());
                let of_drains = meetings.map(|part| part.name.to_string());
                in_order(std::iter::once("bull".to_owned()).chain(of_drains).collect())
            }),
            ("hours for", WorkPer::ALL.iter().map(|per| per.word().to_owned()).collect()),
            ("how", Had::ALL.iter().map(|had| had.word().to_owned()).collect()),
            ("class", Class::ALL.iter().map(|class| class.word().to_owned()).collect()),
        ];
        Self { columns }
    }

    /// The drop-down of a column. It warns and lets other words through: a user's own patterns, lists with `;`.
    fn for_column(&self, table: &str, column: &Column) -> Option<DataValidation> {
        let name = match (column.heading, column.holds) {
            (_, Holds::YesNo) => "yes",
            ("reduce to", _) => "size",
            ("size", _) if table != "runs" => return None,
            ("per", _) if table == "labor" => "hours for",
            ("pattern", _) if table == "patterns" => return None,
            (heading, _) => heading,
        };
        let at = self.columns.iter().position(|(list, _)| *list == name)?;
        let (_, words) = &self.columns[at];
        if words.is_empty() {
            return None;
        }
        let letters = letters(u16::try_from(at).ok()?);
        let last = shown(u32::try_from(words.len()).ok()?);
        let range = Formula::new(format!("={LISTS}!${letters}$2:${letters}${last}"));
        let list = DataValidation::new()
            .allow_list_formula(range)
            .set_error_style(DataValidationErrorStyle::Information)
            .set_error_title("Not in the list")
            .ok()?;
        list.set_error_message("Other words are taken too: several with ; between, or your own.").ok()
    }

    fn write(&self, out: &mut Workbook) -> Written {
        let sheet = out.add_worksheet();
        // Hidden sheets are passed over when the job is read.
        sheet.set_name(LISTS)?.set_hidden(true);
        for (at, (name, words)) in (0_u16..).zip(&self.columns) {
            sheet.write_string(0, at, *name)?;
            for (row, word) in (1_u32..).zip(words) {
                sheet.write_string(row, at, word)?;
            }
        }
        Ok(())
    }
}

/// The tables of a blank job, each with what it holds.
const TABLES: [(&str, &str); 9] = [
    ("job", "name, date, systems, allowances, markups"),
    ("runs", "the run list: needed"),
    ("places", "what is where, if the runs do not say it"),
    ("prices", "what suppliers ask: needed for a cost"),
    ("labor", "hours of your own: needed for labor in the sums"),
    ("tools", "tools and one-offs by system"),
    ("patterns", "ways of your own to build a run"),
    ("on hand", "what is on the shelf already"),
    ("suppliers", "delivery fees and minimum orders"),
];

const HELP: [&str; 9] = [
    "Each sheet is a table; its first row holds the headings. Rest the pointer on a heading for help. Columns that you \
     do not need may stay empty or go; columns of your own are left alone.",
    "Only the sheets \"runs\" and \"prices\" are needed. The sheet \"job\" says which system is priced and what it is \
     compared with.",
    "A run is one length of tube of one size and service between two points, measured center to center along its middle.",
    "The column \"joins\" names the run or place that a run ties into, toward the main; \"at\" says how far along it, and \
     empty means at its end. The first run joins \"main\".",
    "The column \"to\" names the place where a run ends: a fixture, a heater, a box. \"fixture\" says what it is.",
    "The column \"pattern\" says how a run is built; its drop-down lists the patterns that are built in. \"turns\" are \
     90-degree changes between its ends; \"rise\" is how much of its length goes up (with a minus: down).",
    "Sizes are written as the trade writes them: 1/2, 3/4, 1-1/4. Lengths may be 12' 6 1/2\", 12.5 or 3.81 m. The columns \
     are formatted as text, so that no fraction becomes a day.",
    "Print the sheet \"Walk\", fill it by pencil at the framing, and type it into \"runs\".",
    "What the program counts and prices is an aid, not a design: the local code, the authority that inspects and a \
     licensed plumber decide.",
];

fn write_help(out: &mut Workbook, binding: &Binding<'_>) -> Written {
    let columns = vec![column("", 50.0, Kind::Wrap), column("", 50.0, Kind::Wrap)];
    let about = "One house to price, in one workbook.";
    let mut page =
        Page::open(out, binding, "Help", "How to fill this workbook", about, Paper::Portrait, columns)?;
    page.next();
    for words in HELP {
        page.paragraph(words, 2, &binding.look.paragraph)?;
    }
    page.next();
    page.band("The tables", 2, &binding.look.block)?;
    for (name, what) in TABLES {
        page.link(0, name, 0, name)?;
        page.text(1, what, Tone::Muted)?;
        page.next();
    }
    Ok(())
}

/// The sheet to print and fill at the framing: one landscape page.
fn write_walk(out: &mut Workbook, binding: &Binding<'_>, job: &Job) -> Written {
    let columns = [
        ("run", 8.0),
        ("service", 8.0),
        ("size", 7.0),
        ("length", 10.0),
        ("path", 20.0),
        ("pattern", 16.0),
        ("joins", 10.0),
        ("at", 9.0),
        ("to (place)", 16.0),
        ("turns", 6.0),
        ("rise", 8.0),
        ("area", 14.0),
        ("note", 16.0),
    ];
    let columns: Vec<_> = columns.map(|(heading, width)| column(heading, width, Kind::Text)).into();
    let across = u16::try_from(columns.len()).unwrap_or(12);
    let about = "House ______________________________   Walked by ____________________   Date ______________   \
                 Page ____ of ____";
    let mut page = Page::open(out, binding, "Walk", "Walk sheet", about, Paper::Landscape, columns)?;
    page.sheet.set_print_fit_to_pages(1, 1);
    page.sheet.set_row_height(1, 24)?;
    page.headings(0)?;
    let line = binding.look.pencil.clone().set_border(FormatBorder::Thin).set_border_color(ACCENT);
    for _ in 0..WALK_ROWS {
        for column in 0..across {
            page.sheet.write_blank(page.row, column, &line)?;
        }
        page.sheet.set_row_height(page.row, 21)?;
        page.next();
    }
    let patterns = |of_drains: bool| {
        let all =
            job.catalog.patterns.iter().filter(|pattern| (pattern.side == Some(Side::Drain)) == of_drains);
        let mut names: Vec<&str> = all.map(|pattern| &*pattern.name).collect();
        names.sort_by(|a, b| natural(a, b));
        names.join(", ")
    };
    page.next();
    for words in [
        "Measure center to center along the middle of the run. joins: the run or place it ties into, toward the main; at: \
         how far along it (empty: at its end). turns: 90-degree changes between its ends. rise: up, or with a minus down."
            .to_owned(),
        "path, instead of length, turns and rise: each leg with its bearing, as E 12, up 3, N 2 (N NE E SE S SW W NW up down; \
         north is where you say). Drains and vents: begin at the sewer and measure up the stream."
            .to_owned(),
        format!("service: {}.", Service::ALL.map(Service::word).join(", ")),
        format!("pattern: {}.", patterns(false)),
        format!("pattern of drains and vents: {}.", patterns(true)),
    ] {
        page.paragraph(&words, across, &binding.look.subtitle_wrapped)?;
    }
    Ok(())
}
