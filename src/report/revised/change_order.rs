//! `change-order.xlsx`: adds and deducts apart with their sums, what prices moved, the runs and cells behind it, and
//! the notices. Costs are values, and all that follows from them is a formula with its result beside it.

use rust_decimal::Decimal;
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook, XlsxError};

use super::prices_moved;
use crate::estimate::revision::{Field, ItemChange, Moved, OfSide, Revision, RunChange, RunWhat};
use crate::ground::{Notice, Spot};
use crate::report::book::look::{Kind, Look, Tone};
use crate::report::book::notes::write_notice;
use crate::report::book::page::{Binding, Page, Paper, column, letters, shown};
use crate::report::wording::to_places;

pub(super) const PART: u16 = 0;
const SYSTEM: u16 = 1;
const SIZE: u16 = 2;
pub(super) const UNIT: u16 = 3;
pub(super) const BEFORE: u16 = 4;
pub(super) const NOW: u16 = 5;
pub(super) const CHANGE: u16 = 6;
const BOUGHT_BEFORE: u16 = 7;
const BOUGHT_NOW: u16 = 8;
pub(super) const COST_BEFORE: u16 = 9;
pub(super) const COST_NOW: u16 = 10;
pub(super) const AMOUNT: u16 = 11;
pub(super) const REMARK: u16 = 12;
pub(super) const ACROSS: u16 = 13;

/// The bytes of the workbook.
pub(super) fn write(revision: &Revision, notices: &[Notice]) -> Result<Vec<u8>, XlsxError> {
    let look = Look::new();
    let name = super::title(revision);
    let foot: String = name.chars().take(80).collect::<String>().replace('&', "&&");
    let tried = super::tried(revision).is_some();
    let binding = Binding { look: &look, foot: &foot, metric: revision.unit != "ft", tried };
    let mut out = Workbook::new();
    out.set_properties(&properties(revision, &name)?);
    let mut names: Vec<(&str, String)> = Vec::new();
    change_order(&mut out, &binding, revision, &name)?;
    runs(&mut out, &binding, revision)?;
    names.push(("prices_moved", prices_moved::write(&mut out, &binding, revision)?));
    write_notices(&mut out, &binding, revision, notices)?;
    for (name, cell) in names {
        out.define_name(name, &cell)?;
    }
    out.save_to_buffer()
}

/// The day of the new job, or a fixed one: the same input gives the same bytes.
fn properties(revision: &Revision, name: &str) -> Result<DocProperties, XlsxError> {
    let date = revision.new.date.as_deref().and_then(crate::ground::Date::read);
    let (year, month, day) = date.map_or((2000, 1, 1), |date| date.parts());
    let created = ExcelDateTime::from_ymd(year.clamp(1900, 9999), month, day)?;
    let title: String = name.chars().take(200).collect();
    Ok(DocProperties::new().set_title(title).set_creation_datetime(&created))
}

fn change_order(
    out: &mut Workbook,
    binding: &Binding<'_>,
    revision: &Revision,
    name: &str,
) -> Result<(), XlsxError> {
    let columns = vec![
        column("part", 24.0, Kind::Text),
        column("system", 13.0, Kind::Text),
        column("size", 15.0, Kind::Text),
        column("unit", 6.0, Kind::Text),
        column("need before", 11.0, Kind::Whole),
        column("need now", 9.0, Kind::Whole),
        column("change", 9.0, Kind::Whole),
        column("bought before", 13.0, Kind::Whole),
        column("bought now", 11.0, Kind::Whole),
        column("cost before", 11.0, Kind::Money),
        column("cost now", 10.0, Kind::Money),
        column(amount_heading(revision), 11.0, Kind::Money),
        column("remark", 38.0, Kind::Wrap),
    ];
    let about = about(revision, name);
    let mut page =
        Page::open(out, binding, "Change order", "Change order", &about, Paper::Landscape, columns)?;
    if let Some(tried) = super::tried(revision) {
        page.paragraph(
            &format!("{tried}. Nothing here is to be ordered or bid by."),
            ACROSS,
            &binding.look.banner,
        )?;
    }
    for banner in incomplete(revision) {
        page.paragraph(&banner, ACROSS, &binding.look.banner)?;
    }
    page.paragraph(super::HOW, ACROSS, &binding.look.paragraph)?;
    page.headings(1)?;
    let adds: Vec<&ItemChange> = revision.adds().collect();
    let deducts: Vec<&ItemChange> = revision.deducts().collect();
    let adds = side(&mut page, binding.look, "Adds", "sum of adds", &adds, revision.totals.adds)?;
    let deducts =
        side(&mut page, binding.look, "Deducts", "sum of deducts", &deducts, revision.totals.deducts)?;
    let net = sums(&mut page, binding.look, revision, adds, deducts)?;
    super::labor_moved::write(&mut page, binding.look, revision, net)?;
    not_priced(&mut page, binding.look, revision)?;
    terms(&mut page, binding.look, revision)?;
    bid(&mut page, binding.look, revision)?;
    page.sheet.set_print_area(0, 0, page.row, REMARK)?;
    Ok(())
}

fn amount_heading(revision: &Revision) -> &str {
    if revision.currency.is_empty() { "amount" } else { &revision.currency }
}

fn about(revision: &Revision, name: &str) -> String {
    let mut parts = vec![name.to_owned()];
    let (old, new) = (&revision.old, &revision.new);
    let pair = |old: &str, new: &str| if old == new { new.to_owned() } else { format!("{old}, now {new}") };
    parts.push(pair(&old.system, &new.system));
    if let (Some(old), Some(new)) = (&old.date, &new.date) {
        parts.push(pair(old, new));
    }
    parts.retain(|part| !part.is_empty());
    parts.join("  \u{b7}  ")
}

/// That a side does not hold everything.
fn incomplete(revision: &Revision) -> Vec<String> {
    let sides = [("before", &revision.old), ("now", &revision.new)];
    let broken = sides.into_iter().filter(|(_, face)| !face.complete);
    broken
        .map(|(when, _)| {
            format!("INCOMPLETE: the estimate {when} does not hold everything. See the sheet Notices.")
        })
        .chain(revision.unlike())
        .collect()
}

/// One side of the change order; gives the row of its sum.
fn side(
    page: &mut Page<'_>,
    look: &Look,
    name: &str,
    sum: &str,
    items: &[&ItemChange],
    total: Decimal,
) -> Result<u32, XlsxError> {
    page.band(name, ACROSS, &look.band)?;
    let first = page.row;
    for item in items {
        line(page, item)?;
    }
    page.put(PART, if items.is_empty() { "nothing" } else { "insert rows above this line" }, &look.guard)?;
    let guard = page.row;
    page.next();
    named_row(page, sum, Tone::Total)?;
    let letters = letters(AMOUNT);
    let formula = format!("=SUM({letters}{}:{letters}{})", shown(first), shown(guard));
    page.formula(AMOUNT, &formula, total, Tone::Total)?;
    let row = page.row;
    page.next();
    page.next();
    Ok(row)
}

/// A row with a name alone, ruled from side to side.
pub(super) fn named_row(page: &mut Page<'_>, name: &str, tone: Tone) -> Result<(), XlsxError> {
    for column in 0..=REMARK {
        page.text(column, "", tone)?;
    }
    page.text(PART, name, tone)
}

/// How quantities of an item are shown.
pub(super) fn quantity_kind(item: &ItemChange) -> Kind {
    match (item.named.class == crate::trade::Class::Tube, item.named.unit.as_str()) {
        (true, _) => Kind::Length,
        (false, "each") => Kind::Whole,
        (false, _) => Kind::Amount,
    }
}

/// What an item is, in the columns of words that both sheets begin with.
pub(super) fn what(page: &mut Page<'_>, item: &ItemChange) -> Result<(), XlsxError> {
    let named = &item.named;
    let part = match named.variant.is_empty() {
        true => named.part.clone(),
        false => format!("{}, {}", named.part, named.variant),
    };
    page.text(PART, &part, Tone::Plain)?;
    page.text(SYSTEM, &named.system, Tone::Plain)?;
    page.text(SIZE, &named.size, Tone::Plain)?;
    page.text(UNIT, &named.unit, Tone::Plain)
}

fn line(page: &mut Page<'_>, item: &ItemChange) -> Result<(), XlsxError> {
    let kind = quantity_kind(item);
    what(page, item)?;
    let now = if item.same_prices.is_some() { &item.same_prices } else { &item.new };
    let quantity =
        |side: &Option<OfSide>, of: fn(&OfSide) -> Decimal| side.as_ref().map_or(Decimal::ZERO, of);
    page.number_as(BEFORE, kind, quantity(&item.old, |side| side.need), Tone::Plain)?;
    page.number_as(NOW, kind, quantity(now, |side| side.need), Tone::Plain)?;
    let change = format!("=ROUND({}-{},6)", page.here(NOW), page.here(BEFORE));
    page.formula_as(
        CHANGE,
        kind,
        &change,
        crate::ground::money::round_half_away(item.more(), 6),
        Tone::Plain,
    )?;
    page.number_as(BOUGHT_BEFORE, kind, quantity(&item.old, |side| side.buy), Tone::Plain)?;
    page.number_as(BOUGHT_NOW, kind, quantity(now, |side| side.buy), Tone::Plain)?;
    let remark = super::csv::remark(item);
    if item.is_not_priced() {
        for column in [COST_BEFORE, COST_NOW] {
            page.text(column, "", Tone::Plain)?;
        }
        page.text(AMOUNT, "not priced", Tone::Warn)?;
    } else {
        let before = item.old.as_ref().and_then(|side| side.cost).unwrap_or_default();
        page.number(COST_BEFORE, before, Tone::Plain)?;
        page.number(COST_NOW, before + item.by_quantity, Tone::Plain)?;
        let amount = format!("=ROUND({}-{},2)", page.here(COST_NOW), page.here(COST_BEFORE));
        page.formula(AMOUNT, &amount, item.by_quantity, Tone::Plain)?;
    }
    page.text(REMARK, &remark, Tone::Muted)?;
    let row = page.row;
    page.fit_row(row, &[(REMARK, &remark)])?;
    page.next();
    Ok(())
}

/// From the two sums to the material now.
fn sums(
    page: &mut Page<'_>,
    look: &Look,
    revision: &Revision,
    adds: u32,
    deducts: u32,
) -> Result<u32, XlsxError> {
    let totals = &revision.totals;
    page.band("Together", ACROSS, &look.band)?;
    let cell = |row: u32| format!("{}{}", letters(AMOUNT), shown(row));
    let net = page.row;
    let mut put = |name: &str, formula: Option<String>, sum: Decimal, tone: Tone| {
        named_row(page, name, tone)?;
        match formula {
            Some(formula) => page.formula(AMOUNT, &formula, sum, tone)?,
            None => page.number(AMOUNT, sum, tone)?,
        }
        page.next();
        Ok::<(), XlsxError>(())
    };
    put(
        "net of adds and deducts",
        Some(format!("={}+{}", cell(adds), cell(deducts))),
        totals.quantity(),
        Tone::Plain,
    )?;
    put("moved by prices alone", Some("=prices_moved".to_owned()), totals.price, Tone::Plain)?;
    put("with a price on one side alone", None, totals.unpriced, Tone::Plain)?;
    put("material before", None, totals.old, Tone::Plain)?;
    let formula = format!("={}+{}+{}+{}", cell(net), cell(net + 1), cell(net + 2), cell(net + 3));
    put("material now", Some(formula), totals.new, Tone::Total)?;
    page.next();
    Ok(net)
}

/// Items that have no price on a side, and are neither added nor dropped.
fn not_priced(page: &mut Page<'_>, look: &Look, revision: &Revision) -> Result<(), XlsxError> {
    let items: Vec<&ItemChange> =
        revision.not_priced().filter(|item| !item.is_add() && !item.is_deduct()).collect();
    if items.is_empty() {
        return Ok(());
    }
    page.band("Not priced, and in no sum", ACROSS, &look.band)?;
    for item in items {
        line(page, item)?;
    }
    page.next();
    Ok(())
}

/// What the job says otherwise.
fn terms(page: &mut Page<'_>, look: &Look, revision: &Revision) -> Result<(), XlsxError> {
    if revision.terms.is_empty() {
        return Ok(());
    }
    page.band("Settings of the job that changed", ACROSS, &look.band)?;
    for term in &revision.terms {
        named_row(page, &term.heading, Tone::Plain)?;
        page.text(REMARK, &from_to(&term.old, &term.new), Tone::Plain)?;
        page.next();
    }
    page.next();
    Ok(())
}

/// `12 ft, now 14 ft`.
pub(crate) fn from_to(old: &str, new: &str) -> String {
    match (old.is_empty(), new.is_empty()) {
        (true, _) => format!("now {new}"),
        (false, true) => format!("{old}, now nothing"),
        (false, false) => format!("{old}, now {new}"),
    }
}

/// The bid line by line.
fn bid(page: &mut Page<'_>, look: &Look, revision: &Revision) -> Result<(), XlsxError> {
    page.band("The bid, line by line", ACROSS, &look.band)?;
    for line in &revision.bid {
        let tone = if line.is_sum { Tone::Total } else { Tone::Plain };
        named_row(page, &line.line, tone)?;
        for (column, sum, stated) in
            [(COST_BEFORE, line.old, line.stated[0]), (COST_NOW, line.new, line.stated[1])]
        {
            match stated {
                true => page.number(column, sum, tone)?,
                false => page.text(column, "not stated", Tone::Muted)?,
            }
        }
        if line.stated == [true, true] {
            let formula = format!("=ROUND({}-{},2)", page.here(COST_NOW), page.here(COST_BEFORE));
            page.formula(AMOUNT, &formula, line.new - line.old, tone)?;
        }
        page.next();
    }
    hours(page, revision)
}

/// Hours of labor, where the jobs state them; what has no hours is said so, never zero.
fn hours(page: &mut Page<'_>, revision: &Revision) -> Result<(), XlsxError> {
    let (old, new) = (&revision.old, &revision.new);
    let joints = |face: &crate::estimate::revision::Face| Decimal::from(face.joints);
    let mut rows = vec![("joints to make", Some(joints(old)), Some(joints(new)), Kind::Whole)];
    if old.hours.is_some() || new.hours.is_some() {
        rows.push(("hours of labor", old.hours, new.hours, Kind::Length));
    }
    for (name, before, now, kind) in rows {
        named_row(page, name, Tone::Muted)?;
        for (column, number) in [(COST_BEFORE, before), (COST_NOW, now)] {
            match number {
                Some(number) => page.number_as(column, kind, number, Tone::Muted)?,
                None => page.text(column, "not stated", Tone::Muted)?,
            }
        }
        if let (Some(before), Some(now)) = (before, now) {
            let formula = format!("=ROUND({}-{},2)", page.here(COST_NOW), page.here(COST_BEFORE));
            page.formula_as(AMOUNT, kind, &formula, now - before, Tone::Muted)?;
        }
        let stated = |face: &crate::estimate::revision::Face| face.hours.is_none() || face.all_hours;
        if kind == Kind::Length && !(stated(old) && stated(new)) {
            page.text(REMARK, "some works have no hours", Tone::Muted)?;
        }
        page.next();
    }
    Ok(())
}

/// Runs and places: what changed in each, and what that did to its count.
fn runs(out: &mut Workbook, binding: &Binding<'_>, revision: &Revision) -> Result<(), XlsxError> {
    let columns = vec![
        column("run", 16.0, Kind::Text),
        column("what", 16.0, Kind::Text),
        column("cell", 14.0, Kind::Text),
        column("before", 28.0, Kind::Wrap),
        column("now", 28.0, Kind::Wrap),
        column("it counts more, or with a minus less, of", 46.0, Kind::Wrap),
        column("row before", 22.0, Kind::Wrap),
        column("row now", 22.0, Kind::Wrap),
    ];
    let about = "Runs and places by name. Solder, flux, cement and tape are on the change order alone.";
    let mut page = Page::open(out, binding, "Runs", "Runs", about, Paper::Landscape, columns)?;
    page.headings(1)?;
    for run in &revision.runs {
        run_rows(&mut page, run)?;
    }
    if revision.runs.is_empty() {
        page.put(0, "No run and no place changed.", &binding.look.subtitle)?;
    }
    Ok(())
}

/// The rows of one run: a changed one has a row a cell, an added or dropped one all its cells in one.
fn run_rows(page: &mut Page<'_>, run: &RunChange) -> Result<(), XlsxError> {
    let counts = moved_words(&run.moved);
    let spot = |spot: &Option<Spot>| spot.as_ref().map(ToString::to_string).unwrap_or_default();
    let (old, new) = (spot(&run.old), spot(&run.new));
    let whole = |of: fn(&Field) -> &String| {
        let cells = run.fields.iter().map(|field| format!("{} {}", field.heading, of(field)));
        cells.collect::<Vec<_>>().join(", ")
    };
    let rows: Vec<[String; 3]> = match run.what {
        RunWhat::Added => vec![["all of it".to_owned(), String::new(), whole(|field| &field.new)]],
        RunWhat::Dropped => vec![["all of it".to_owned(), whole(|field| &field.old), String::new()]],
        RunWhat::Touched => vec![[String::new(), String::new(), String::new()]],
        RunWhat::Changed => run
            .fields
            .iter()
            .map(|field| [field.heading.clone(), field.old.clone(), field.new.clone()])
            .collect(),
    };
    for (at, [heading, before, now]) in rows.iter().enumerate() {
        let tone = if at == 0 { Tone::Plain } else { Tone::Muted };
        page.text(0, &run.name, tone)?;
        let place = if run.is_place { "place " } else { "" };
        let kind = format!("{place}{}", run.what.word());
        page.text(1, if at == 0 { &kind } else { "" }, tone)?;
        for (column, words) in (2_u16..).zip([heading, before, now]) {
            page.text(column, words, Tone::Plain)?;
        }
        let cells = if at == 0 { [&*counts, &*old, &*new] } else { ["", "", ""] };
        for (column, words) in (5_u16..).zip(cells) {
            page.text(column, words, Tone::Muted)?;
        }
        let row = page.row;
        page.fit_row(row, &[(3, before), (4, now), (5, cells[0]), (6, cells[1]), (7, cells[2])])?;
        page.next();
    }
    Ok(())
}

/// `+2 ft tube 1/2, red; -1 elbow 1/2`.
pub(crate) fn moved_words(moved: &[Moved]) -> String {
    let one = |moved: &Moved| {
        let sign = if moved.more.is_sign_positive() { "+" } else { "" };
        let unit = match moved.named.unit.as_str() {
            "each" => String::new(),
            unit => format!("{unit} "),
        };
        format!("{sign}{} {unit}{}", to_places(moved.more, 2), moved.named.called())
    };
    moved.iter().map(one).collect::<Vec<_>>().join("; ")
}

fn write_notices(
    out: &mut Workbook,
    binding: &Binding<'_>,
    revision: &Revision,
    notices: &[Notice],
) -> Result<(), XlsxError> {
    let columns = vec![
        column("weight", 9.0, Kind::Text),
        column("where", 26.0, Kind::Wrap),
        column("found", 46.0, Kind::Wrap),
        column("expected", 34.0, Kind::Wrap),
        column("what to do", 40.0, Kind::Wrap),
    ];
    let about = "What is wrong or doubtful in the tables of both jobs. An aid, not a design: local code, the \
                 inspector and a licensed plumber decide.";
    let mut page = Page::open(out, binding, "Notices", "Notices", about, Paper::Landscape, columns)?;
    page.headings(0)?;
    if let Some(tried) = super::tried(revision) {
        page.band(&tried, 5, &binding.look.banner)?;
    }
    for notice in notices {
        write_notice(&mut page, notice)?;
    }
    if notices.is_empty() {
        page.put(0, "Nothing to report.", &binding.look.subtitle)?;
    }
    Ok(())
}
