//! `change-order.xlsx`: adds and deducts apart with their sums, what prices moved, the runs and cells behind it, and
//! the notices. Costs are values, and all that follows from them is a formula with its result beside it.

mod prices;

use rust_decimal::Decimal;
use rust_xlsxwriter::{Workbook, XlsxError};

use crate::estimate::revision::{Field, ItemChange, Moved, OfSide, Revision, RunChange, RunWhat};
use crate::ground::{Date, Notice, Spot};
use crate::report::book::notes::{notice_columns, write_notice};
use crate::report::facts::{to_places, with_variant};
use crate::report::form::{
    Binding, Kind, Look, Page, Paper, Tone, Written, bytes_of, column, columns, letters, new_book,
    properties, shown,
};

columns! {
    (currency: &str)
    PART "part", 24.0, Text;
    SYSTEM "system", 13.0, Text;
    SIZE "size", 15.0, Text;
    UNIT "unit", 6.0, Text;
    BEFORE "need before", 11.0, Whole;
    NOW "need now", 9.0, Whole;
    CHANGE "change", 9.0, Whole;
    BOUGHT_BEFORE "bought before", 10.0, Whole;
    BOUGHT_NOW "bought now", 11.0, Whole;
    COST_BEFORE "cost before", 11.0, Money;
    COST_NOW "cost now", 10.0, Money;
    AMOUNT currency, 11.0, Money;
    REMARK "remark", 27.0, Wrap;
}
const ACROSS: u16 = 13;

/// The bytes of the workbook.
pub(super) fn write(revision: &Revision, notices: &[Notice]) -> Result<Vec<u8>, XlsxError> {
    let look = Look::new();
    let name = super::title(revision);
    let foot = Binding::foot(&name);
    let tried = super::tried(revision).is_some();
    let binding = Binding { look: &look, foot: &foot, metric: revision.unit != "ft", tried };
    let mut out = new_book()?;
    let day = revision.new.date.as_deref().and_then(Date::read);
    out.set_properties(&properties(&name, day)?);
    let mut names: Vec<(&str, String)> = Vec::new();
    change_order(&mut out, &binding, revision, &name)?;
    runs(&mut out, &binding, revision)?;
    names.push(("prices_moved", prices::write(&mut out, &binding, revision)?));
    write_notices(&mut out, &binding, revision, notices)?;
    for (name, cell) in names {
        out.define_name(name, &cell)?;
    }
    bytes_of(out)
}

fn change_order(out: &mut Workbook, binding: &Binding<'_>, revision: &Revision, name: &str) -> Written {
    let about = about(revision, name);
    let amount = if revision.currency.is_empty() { "amount" } else { &revision.currency };
    let mut page =
        Page::open(out, binding, "Change order", "Change order", &about, Paper::Landscape, columns(amount))?;
    if let Some(tried) = super::tried(revision) {
        let words = format!("{tried}. Nothing here is to be ordered or bid by.");
        page.paragraph(&words, ACROSS, &binding.look.banner)?;
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
    labor(&mut page, binding.look, revision, net)?;
    not_priced(&mut page, binding.look, revision)?;
    terms(&mut page, binding.look, revision)?;
    bid(&mut page, binding.look, revision)?;
    page.print_to(page.row, REMARK)
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
    let guard = page.guard(PART, items.is_empty())?;
    named_row(page, sum, Tone::Total)?;
    let formula = Page::sum(AMOUNT, (first, guard));
    page.formula(AMOUNT, &formula, total, Tone::Total)?;
    let row = page.row;
    page.next();
    page.next();
    Ok(row)
}

/// The difference of two cells of this row, rounded to so many places.
fn difference(page: &Page<'_>, places: u32, now: u16, before: u16) -> String {
    format!("=ROUND({}-{},{places})", page.here(now), page.here(before))
}

/// Where costs before and now stand, and their difference.
const COSTS: [u16; 3] = [COST_BEFORE, COST_NOW, AMOUNT];

/// What something was before and is now, and the difference where both are stated.
fn before_and_now(
    page: &mut Page<'_>,
    [before, now, change]: [u16; 3],
    kind: Kind,
    numbers: [Option<Decimal>; 2],
    tone: Tone,
) -> Written {
    for (column, number) in [before, now].into_iter().zip(numbers) {
        match number {
            Some(number) => page.number_as(column, kind, number, tone)?,
            None => page.text(column, "not stated", Tone::Muted)?,
        }
    }
    let [Some(old), Some(new)] = numbers else { return Ok(()) };
    page.formula_as(change, kind, &difference(page, 2, now, before), new - old, tone)
}

/// A row with a name alone, ruled from side to side.
fn named_row(page: &mut Page<'_>, name: &str, tone: Tone) -> Written {
    page.blanks(0..=REMARK, tone)?;
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
pub(super) fn identity(page: &mut Page<'_>, item: &ItemChange) -> Written {
    let named = &item.named;
    page.texts(PART, [&*with_variant(&named.part, &named.variant), &named.system], Tone::Plain)?;
    page.texts(SIZE, [&*named.size, &named.unit], Tone::Plain)
}

fn line(page: &mut Page<'_>, item: &ItemChange) -> Written {
    let kind = quantity_kind(item);
    identity(page, item)?;
    let quantity =
        |side: &Option<OfSide>, of: fn(&OfSide) -> Decimal| side.as_ref().map_or(Decimal::ZERO, of);
    page.number_as(BEFORE, kind, quantity(&item.old, |side| side.need), Tone::Plain)?;
    page.number_as(NOW, kind, quantity(item.now(), |side| side.need), Tone::Plain)?;
    let change = difference(page, 6, NOW, BEFORE);
    let more = crate::ground::money::round_half_away(item.more(), 6);
    page.formula_as(CHANGE, kind, &change, more, Tone::Plain)?;
    page.number_as(BOUGHT_BEFORE, kind, quantity(&item.old, |side| side.buy), Tone::Plain)?;
    page.number_as(BOUGHT_NOW, kind, quantity(item.now(), |side| side.buy), Tone::Plain)?;
    let remark = super::csv::remark(item);
    if item.is_not_priced() {
        page.blanks([COST_BEFORE, COST_NOW], Tone::Plain)?;
        page.text(AMOUNT, "not priced", Tone::Warn)?;
    } else {
        let before = item.old.as_ref().and_then(|side| side.cost).unwrap_or_default();
        page.number(COST_BEFORE, before, Tone::Plain)?;
        page.number(COST_NOW, before + item.by_quantity, Tone::Plain)?;
        let amount = difference(page, 2, COST_NOW, COST_BEFORE);
        page.formula(AMOUNT, &amount, item.by_quantity, Tone::Plain)?;
    }
    page.text(REMARK, &remark, Tone::Muted)?;
    page.end_fitted(&[(REMARK, &remark)])
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
    let formula = format!("={}+{}", cell(adds), cell(deducts));
    put("net of adds and deducts", Some(formula), totals.quantity(), Tone::Plain)?;
    put("moved by prices alone", Some("=prices_moved".to_owned()), totals.price, Tone::Plain)?;
    put("with a price on one side alone", None, totals.unpriced, Tone::Plain)?;
    put("material before", None, totals.old, Tone::Plain)?;
    let formula = format!("={}+{}+{}+{}", cell(net), cell(net + 1), cell(net + 2), cell(net + 3));
    put("material now", Some(formula), totals.new, Tone::Total)?;
    page.next();
    Ok(net)
}

/// The hours of labor that the change moves, work by work, and what they cost at the old wages; `net` is the row of what
/// adds and deducts of material come to.
fn labor(page: &mut Page<'_>, look: &Look, revision: &Revision, net: u32) -> Written {
    page.band("Labor, in hours of one person", ACROSS, &look.band)?;
    let Some(labor) = &revision.labor else {
        page.paragraph(&sentence(super::NO_LABOR), ACROSS, &look.paragraph)?;
        return page.end();
    };
    let first = page.row;
    for of in &labor.works {
        named_row(page, &super::csv::work(of), Tone::Plain)?;
        page.text(UNIT, "h", Tone::Plain)?;
        let hours = [Some(of.old), Some(of.new)];
        before_and_now(page, [BEFORE, NOW, CHANGE], Kind::Length, hours, Tone::Plain)?;
        page.next();
    }
    let guard = page.guard(PART, labor.works.is_empty())?;
    named_row(page, "hours moved", Tone::Total)?;
    let formula = Page::sum(CHANGE, (first, guard));
    let [before, now] = labor.hours;
    page.formula_as(CHANGE, Kind::Length, &formula, now - before, Tone::Total)?;
    if !labor.whole {
        page.text(REMARK, "some works have no hours", Tone::Total)?;
    }
    page.next();
    let Some([before, now]) = labor.cost else {
        page.paragraph(&sentence(super::NO_LABOR), ACROSS, &look.paragraph)?;
        return page.end();
    };
    // Money is taken on the sum of all hours, so that it is the bid's to the cent.
    named_row(page, "labor moved by hours, at the old wages", Tone::Plain)?;
    let by_hours = page.here(AMOUNT);
    let at_old_wages = before + labor.by_hours;
    before_and_now(page, COSTS, Kind::Money, [Some(before), Some(at_old_wages)], Tone::Plain)?;
    page.next();
    named_row(page, "labor moved by wages alone", Tone::Plain)?;
    before_and_now(page, COSTS, Kind::Money, [Some(at_old_wages), Some(now)], Tone::Plain)?;
    page.next();
    named_row(page, "net of adds and deducts with labor", Tone::Total)?;
    let formula = format!("={}{}+{by_hours}", letters(AMOUNT), shown(net));
    page.formula(AMOUNT, &formula, revision.totals.quantity() + labor.by_hours, Tone::Total)?;
    page.next();
    page.end()
}

/// A remark as a sentence of its own.
fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(char::to_uppercase).into_iter().flatten();
    first.chain(letters).chain(['.']).collect()
}

/// Items that have no price on a side, and are neither added nor dropped.
fn not_priced(page: &mut Page<'_>, look: &Look, revision: &Revision) -> Written {
    let items: Vec<&ItemChange> =
        revision.not_priced().filter(|item| !item.is_add() && !item.is_deduct()).collect();
    if items.is_empty() {
        return Ok(());
    }
    page.band("Not priced, and in no sum", ACROSS, &look.band)?;
    for item in items {
        line(page, item)?;
    }
    page.end()
}

/// What the job says otherwise.
fn terms(page: &mut Page<'_>, look: &Look, revision: &Revision) -> Written {
    if revision.terms.is_empty() {
        return Ok(());
    }
    page.band("Settings of the job that changed", ACROSS, &look.band)?;
    for term in &revision.terms {
        named_row(page, &term.heading, Tone::Plain)?;
        page.text(REMARK, &from_to(&term.old, &term.new), Tone::Plain)?;
        page.next();
    }
    page.end()
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
fn bid(page: &mut Page<'_>, look: &Look, revision: &Revision) -> Written {
    page.band("The bid, line by line", ACROSS, &look.band)?;
    for line in &revision.bid {
        let tone = if line.is_sum { Tone::Total } else { Tone::Plain };
        named_row(page, &line.line, tone)?;
        let stated = |side: usize, sum: Decimal| line.stated[side].then_some(sum);
        let sums = [stated(0, line.old), stated(1, line.new)];
        before_and_now(page, COSTS, Kind::Money, sums, tone)?;
        page.next();
    }
    hours(page, revision)
}

/// Hours of labor, where the jobs state them; what has no hours is said so, never zero.
fn hours(page: &mut Page<'_>, revision: &Revision) -> Written {
    let (old, new) = (&revision.old, &revision.new);
    let joints = |face: &crate::estimate::revision::Face| Decimal::from(face.joints);
    let mut rows = vec![("joints to make", Some(joints(old)), Some(joints(new)), Kind::Whole)];
    if old.hours.is_some() || new.hours.is_some() {
        rows.push(("hours of labor", old.hours, new.hours, Kind::Length));
    }
    for (name, before, now, kind) in rows {
        named_row(page, name, Tone::Muted)?;
        before_and_now(page, COSTS, kind, [before, now], Tone::Muted)?;
        let stated = |face: &crate::estimate::revision::Face| face.hours.is_none() || face.all_hours;
        if kind == Kind::Length && !(stated(old) && stated(new)) {
            page.text(REMARK, "some works have no hours", Tone::Muted)?;
        }
        page.next();
    }
    Ok(())
}

/// Runs and places: what changed in each, and what that did to its count.
fn runs(out: &mut Workbook, binding: &Binding<'_>, revision: &Revision) -> Written {
    let columns = vec![
        column("run", 13.0, Kind::Text),
        column("what", 13.0, Kind::Text),
        column("cell", 12.0, Kind::Text),
        column("before", 24.0, Kind::Wrap),
        column("now", 24.0, Kind::Wrap),
        column("it counts more, or with a minus less, of", 40.0, Kind::Wrap),
        column("row before", 19.0, Kind::Wrap),
        column("row now", 19.0, Kind::Wrap),
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
fn run_rows(page: &mut Page<'_>, run: &RunChange) -> Written {
    let counts = moved_words(&run.moved);
    let spot = |spot: &Option<Spot>| spot.as_ref().map(ToString::to_string).unwrap_or_default();
    let (old, new) = (spot(&run.old), spot(&run.new));
    let whole = |of: fn(&Field) -> &String| {
        let cells = run.fields.iter().map(|field| format!("{} {}", field.heading, of(field)));
        cells.collect::<Vec<_>>().join(", ")
    };
    let cells = |field: &Field| [field.heading.clone(), field.old.clone(), field.new.clone()];
    let rows: Vec<[String; 3]> = match run.what {
        RunWhat::Added => vec![["all of it".to_owned(), String::new(), whole(|field| &field.new)]],
        RunWhat::Dropped => vec![["all of it".to_owned(), whole(|field| &field.old), String::new()]],
        RunWhat::Touched => vec![[String::new(), String::new(), String::new()]],
        RunWhat::Changed => run.fields.iter().map(cells).collect(),
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
        page.end_fitted(&[(3, before), (4, now), (5, cells[0]), (6, cells[1]), (7, cells[2])])?;
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
) -> Written {
    let about = "What is wrong or doubtful in the tables of both jobs. An aid, not a design: local code, the \
                 inspector and a licensed plumber decide.";
    let mut page = Page::open(out, binding, "Notices", "Notices", about, Paper::Landscape, notice_columns())?;
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
