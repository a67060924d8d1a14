//! The sheet Used: the lines of the chosen order once more, to be filled in on site with what was really used. What
//! follows from it is formulas; what nobody filled in has no number. The table `used` of the floor below reads it back.

use rust_decimal::Decimal;
use rust_xlsxwriter::{DataValidation, DataValidationRule, Workbook};

use super::Book;
use crate::estimate::revision::Side;
use crate::estimate::revision::variance::{LineVariance, lines};
use crate::report::facts::OrderRow;
use crate::report::form::{Kind, Page, Paper, Tone, Written, columns};
use crate::trade::used::SHEET;
use crate::trade::{Class, TubeAllowance};

columns! {
    ()
    LINE "line", 5.0, Whole;
    PART "part", 22.0, Text;
    SIZE "size", 22.0, Text;
    SYSTEM "system", 13.0, Text;
    VARIANT "variant", 9.0, Text;
    UNIT "unit", 6.0, Text;
    NEED "need", 9.0, Whole;
    BOUGHT "bought", 9.0, Whole;
    USED "used", 10.0, Whole;
    NOTE "note", 22.0, Text;
    AGAINST_NEED "against need", 12.0, Whole;
    POINTS "percent", 9.0, Percent;
    AGAINST_BOUGHT "against bought", 14.0, Whole;
    GAP "", 2.0, Text;
    FILLED "filled", 7.0, Percent;
    CLASS "class id", 7.0, Percent;
    ORDER_LINE "order line", 7.0, Percent;
    JOB "job", 16.0, Text;
}

/// What stands where there is no number, and why it is no zero.
const NO_NUMBER: &str = "-";

/// Writes the sheet.
pub(super) fn write(out: &mut Workbook, book: &mut Book<'_>) -> Written {
    let about = "Write what was really used, in the unit of the line; leave empty what nobody counted. Then: coilstick \
                 revise JOB THIS-FILE.";
    let mut page = Page::open(out, &book.binding, SHEET, "Used", about, Paper::Landscape, columns())?;
    page.headings(PART + 1)?;
    let first = page.row;
    let side = Side { job: book.words.job, estimate: book.words.estimate };
    let all = lines(side);
    let groups = groups(&all);
    for line in &all {
        write_line(&mut page, book, line, &groups)?;
    }
    let guard = page.guard(PART, false)?;
    let number = DataValidation::new()
        .allow_decimal_number(DataValidationRule::GreaterThanOrEqualTo(0.0))
        .set_error_title("What was used")?
        .set_error_message("Type a number in the unit of the line, or leave it empty.")?;
    if guard > first {
        page.sheet.add_data_validation(first, USED, guard - 1, USED, &number)?;
    }
    page.next();
    let names = [
        ("used_need", NEED),
        ("used_bought", BOUGHT),
        ("used_used", USED),
        ("used_filled", FILLED),
        ("used_class", CLASS),
    ];
    book.names(SHEET, (first, guard), &names);
    by_class(&mut page, book, &groups)?;
    page.print_to(page.row, AGAINST_BOUGHT)
}

/// Classes and units of the lines, in the order of classes; the id of one is its place here, from 1.
fn groups(lines: &[LineVariance]) -> Vec<(Class, String)> {
    let mut groups: Vec<(Class, String)> =
        lines.iter().map(|line| (line.named.class, line.named.unit.clone())).collect();
    groups.sort();
    groups.dedup();
    groups
}

fn kind(class: Class, unit: &str) -> Kind {
    match (class, unit) {
        (Class::Tube, _) => Kind::Length,
        (_, unit) if unit.eq_ignore_ascii_case("each") => Kind::Whole,
        (_, _) => Kind::Amount,
    }
}

fn write_line(
    page: &mut Page<'_>,
    book: &Book<'_>,
    line: &LineVariance,
    groups: &[(Class, String)],
) -> Written {
    let named = &line.named;
    let kind = kind(named.class, &named.unit);
    page.sheet.set_row_height(page.row, 16)?;
    page.number(LINE, Decimal::from(line.line), Tone::Muted)?;
    for (at, words) in [
        (PART, &named.part),
        (SIZE, &named.size),
        (SYSTEM, &named.system),
        (VARIANT, &named.variant),
        (UNIT, &named.unit),
    ] {
        page.text(at, words, Tone::Plain)?;
    }
    let order_line = page.here(ORDER_LINE);
    let need = format!("=INDEX(order_need,MATCH({order_line},order_line,0))");
    page.formula_as(NEED, kind, &need, line.need, Tone::Plain)?;
    let bought =
        format!("=SUMIFS(order_buy,order_line,{order_line})+SUMIFS(order_shelf,order_line,{order_line})");
    page.formula_as(BOUGHT, kind, &bought, line.bought, Tone::Plain)?;
    page.sheet.write_blank(page.row, USED, page.look.cell(kind, Tone::Input))?;
    page.text(NOTE, "", Tone::Input)?;
    let (need, bought, used) = (page.here(NEED), page.here(BOUGHT), page.here(USED));
    let empty = format!("=IF({used}=\"\",\"{NO_NUMBER}\",");
    no_number(page, AGAINST_NEED, kind, &format!("{empty}ROUND({used}-{need},6))"))?;
    let points = format!("{empty}IF({need}=0,\"{NO_NUMBER}\",ROUND(ROUND(({used}-{need})*100/{need},6),1)))");
    no_number(page, POINTS, Kind::Percent, &points)?;
    no_number(page, AGAINST_BOUGHT, kind, &format!("{empty}ROUND({used}-{bought},6))"))?;
    page.formula(FILLED, &format!("=IF({used}=\"\",0,1)"), Decimal::ZERO, Tone::Muted)?;
    let group = groups.iter().position(|(class, unit)| (*class, unit) == (named.class, &named.unit));
    page.number(CLASS, Decimal::from(group.unwrap_or(0) + 1), Tone::Muted)?;
    page.number(ORDER_LINE, Decimal::from(order_line_id(book, line.line)), Tone::Muted)?;
    page.text(JOB, &book.words.job.settings.name, Tone::Muted)?;
    page.end()
}

/// The id that the sheet Order gives the line.
fn order_line_id(book: &Book<'_>, line: u32) -> u32 {
    let index = usize::try_from(line).unwrap_or(1).saturating_sub(1);
    let chosen = book.words.estimate.alternatives.first();
    let wanted = chosen.and_then(|chosen| chosen.order.get(index));
    let is_it = |row: &&OrderRow<'_>| wanted.is_some_and(|wanted| std::ptr::eq(wanted, row.line));
    let row = book.orders.iter().filter(|row| row.alternative == 0).find(is_it);
    row.map_or(0, |row| row.line_id)
}

/// A formula that has no number yet.
fn no_number(page: &mut Page<'_>, column: u16, kind: Kind, formula: &str) -> Written {
    let format = page.look.cell(kind, Tone::Muted).clone().set_align(rust_xlsxwriter::FormatAlign::Right);
    let formula = rust_xlsxwriter::Formula::new(formula).set_result(NO_NUMBER);
    page.sheet.write_formula_with_format(page.row, column, formula, &format)?;
    Ok(())
}

/// Sums by class and unit over the lines that are filled in, and the allowance beside them.
fn by_class(page: &mut Page<'_>, book: &Book<'_>, groups: &[(Class, String)]) -> Written {
    let look = book.look();
    // The column of line numbers stays empty below the lines: what stands there is read back.
    for column in PART..=AGAINST_BOUGHT {
        page.put(column, "", &look.block)?;
    }
    page.put(PART, "By class, over the lines that are filled in", &look.block)?;
    page.next();
    let words = [
        "class",
        "",
        "",
        "",
        "unit",
        "need",
        "bought",
        "",
        "lines filled in",
        "used",
        "percent",
        "allowance",
    ];
    page.heads(PART, words, |at| at >= NEED)?;
    let planned = book.words.job.settings.tube_allowance == TubeAllowance::Plan;
    for (id, (class, unit)) in (1_u32..).zip(groups) {
        let kind = kind(*class, unit);
        page.blanks(PART..=AGAINST_BOUGHT, Tone::Plain)?;
        page.text(PART, class.word(), Tone::Plain)?;
        page.text(UNIT, unit, Tone::Plain)?;
        let sum = |of: &str| format!("=SUMIFS({of},used_class,{id},used_filled,1)");
        page.formula_as(NEED, kind, &sum("used_need"), Decimal::ZERO, Tone::Plain)?;
        page.formula_as(BOUGHT, kind, &sum("used_bought"), Decimal::ZERO, Tone::Plain)?;
        let filled = format!("=COUNTIFS(used_class,{id},used_filled,1)");
        page.formula_as(NOTE, Kind::Whole, &filled, Decimal::ZERO, Tone::Plain)?;
        page.formula_as(AGAINST_NEED, kind, &sum("used_used"), Decimal::ZERO, Tone::Plain)?;
        let (need, used) = (page.here(NEED), page.here(AGAINST_NEED));
        let points = format!("=IF({need}=0,\"{NO_NUMBER}\",ROUND(ROUND(({used}-{need})*100/{need},6),1))");
        no_number(page, POINTS, Kind::Percent, &points)?;
        match (planned && *class == Class::Tube, super::settings::has_allowance(*class)) {
            (true, _) => page.text(AGAINST_BOUGHT, "cut plan", Tone::Muted)?,
            (false, true) => {
                let name = super::settings::allowance_name(*class);
                let points = super::settings::allowance(book, *class);
                page.formula_as(AGAINST_BOUGHT, Kind::Percent, &format!("={name}"), points, Tone::Muted)?;
            }
            (false, false) => page.text(AGAINST_BOUGHT, NO_NUMBER, Tone::Muted)?,
        }
        page.next();
    }
    let words = "Percent: how much more than the need was used. An allowance of that percentage would have covered it.";
    page.put(PART, words, &look.subtitle)?;
    page.end()
}
