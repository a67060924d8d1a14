//! The test sheet, to take along: for each test the rules, what is closed and what is read, the order of the work, cautions
//! and lines to sign; of the chosen alternative. It adds nothing up.

use rust_decimal::Decimal;

use super::Desk;
use crate::checks::{Mark, Opening, Shuts, Test};
use crate::ground::Length;
use crate::ground::money::round_half_away;
use crate::report::facts::{parties, test_day as told};
use crate::report::form::paper::{Block, Cell, Paper, Row, Signs, Table, over};
use crate::report::form::{Kind, Value, whole};

const GRID: [u16; 10] = [50, 70, 190, 90, 330, 120, 90, 90, 80, 100];

/// So many sections of one test are told one by one.
const SECTIONS: usize = 4;

pub(super) fn paper(desk: &Desk<'_>) -> Option<Paper> {
    let tests = desk.gathered.test_day.alternatives.first().filter(|tests| !tests.is_empty())?;
    let terms = &desk.words.job.settings;
    let mut paper = desk.sheet("test-sheet", "Test sheet", &GRID);
    paper.facts = vec![
        ("site", parties::on_a_line(&terms.parties.site)),
        ("customer", parties::lines(&terms.parties.customer.name).next().unwrap_or_default()),
        ("code family", desk.gathered.test_day.family.to_string()),
    ];
    let estimate = desk.words.estimate;
    let missing = estimate.alternatives.first().is_some_and(|of| !of.takeoff.missing.is_empty());
    if missing || !estimate.left_out.is_empty() {
        paper.banners.push(
            "THIS LIST IS NOT COMPLETE: something is left out of the count, and its openings are not here."
                .to_owned(),
        );
    }
    for test in tests {
        one(&mut paper, desk, test);
    }
    paper.blocks.push(Block::Heading("The order of the work".to_owned()));
    let order = told::of_sides(&told::ORDER, tests);
    paper.blocks.extend((1..).zip(order).map(|(at, words)| Block::Words(format!("{at}. {words}"))));
    paper.blocks.push(Block::Heading("Cautions".to_owned()));
    let cautions = told::of_sides(&told::TEST_CAUTIONS, tests).map(str::to_owned);
    paper.blocks.push(Block::List(cautions.collect()));
    paper.blocks.push(Block::Heading("Held".to_owned()));
    paper.blocks.push(Block::Table(held(tests)));
    paper.blocks.push(Block::Sign(vec![
        Signs { of: "Tested by".to_owned(), name: String::new() },
        Signs { of: "Seen by the inspector".to_owned(), name: String::new() },
    ]));
    Some(paper)
}

/// One test: what is asked, what is closed, what is read.
fn one(paper: &mut Paper, desk: &Desk<'_>, test: &Test) {
    let (words, day) = (&desk.words, &desk.gathered.test_day);
    paper.blocks.push(Block::Heading(told::title(test)));
    let ways = test.ways.iter();
    let ways = ways.map(|way| format!("{} ({})", told::way(words, way), told::known(words, &way.rule)));
    let ways = ways.collect::<Vec<_>>().join(". ");
    let asked = if ways.is_empty() { told::NOT_JUDGED } else { &*ways };
    let mut said = vec![format!("Rules: {asked}.")];
    for section in test.sections.iter().take(SECTIONS) {
        said.push(told::top(words, day, test, section));
        said.extend(told::unmeasured(words, day, test.side, section));
    }
    let more = test.sections.len().saturating_sub(SECTIONS);
    if more > 0 {
        said.push(format!("{more} more parts that are tested by themselves stand in test-day.csv."));
    }
    said.push(format!("To fill: {}", told::fill(words, test)));
    said.push(format!("Gauge: {}", told::gauge(words, test)));
    said.extend(told::apart(words, test));
    paper.blocks.extend(said.into_iter().map(Block::Words));
    let unit = words.length_unit().abbreviation();
    let columns = vec![
        over("", 1, Kind::Middle),
        over("how many", 1, Kind::Whole),
        over("closed by", 1, Kind::Wrap),
        over("size", 1, Kind::Wrap),
        over("where", 1, Kind::Wrap),
        over("off before", 1, Kind::Text),
        over(&format!("height ({unit})"), 1, Kind::Length),
        over(&format!("head ({unit})"), 1, Kind::Length),
        over("psi", 1, Kind::Percent),
        over("push on each (lb)", 1, Kind::Percent),
    ];
    let openings = test.openings.iter().map(|opening| opening_row(desk, opening));
    let rows = openings.chain(test.marks.iter().map(|mark| mark_row(desk, mark))).collect();
    paper.blocks.push(Block::Table(Table { columns, rows }));
}

fn opening_row(desk: &Desk<'_>, of: &Opening) -> Row {
    let words = &desk.words;
    let open = matches!(of.shuts, Shuts::StaysOpen);
    let mut cells: Vec<Cell> = vec![
        if open { Cell::Of(Value::Nothing) } else { Cell::Tick(&[""]) },
        whole(of.count).into(),
        told::shuts(words, of).into(),
        Value::Size(words.word(of.size).to_owned()).into(),
        told::place(words, of).into(),
        of.off.map(|phase| phase.word()).into(),
    ];
    cells.extend(figures(desk, (of.height, of.head), of.psi));
    cells.push(rounded(of.push, 0));
    Row::Cells(cells)
}

fn mark_row(desk: &Desk<'_>, of: &Mark) -> Row {
    let nothing = || Cell::Of(Value::Nothing);
    let mut cells = vec![nothing(), nothing(), Cell::Muted(told::mark(&desk.words, of.of).into())];
    cells.extend([nothing(), nothing(), nothing()]);
    cells.extend(figures(desk, (Some(of.height), of.head), of.psi));
    cells.push(nothing());
    Row::Cells(cells)
}

/// Height, head and pressure: a hundredth of a foot, a tenth of a psi.
fn figures(
    desk: &Desk<'_>,
    (height, head): (Option<Length>, Option<Length>),
    psi: Option<Decimal>,
) -> [Cell; 3] {
    let length = |length: Option<Length>| rounded(length.map(|length| desk.words.length(length)), 2);
    [length(height), length(head), rounded(psi, 1)]
}

fn rounded(number: Option<Decimal>, places: u32) -> Cell {
    number.map(|number| Value::Quantity(round_half_away(number, places))).into()
}

/// A row for each test, to be filled in by pen.
fn held(tests: &[Test]) -> Table {
    let columns = vec![
        over("test", 4, Kind::Text),
        over("date, from and to", 1, Kind::Text),
        over("pressure at first", 2, Kind::Text),
        over("pressure at last", 3, Kind::Text),
    ];
    let row = |test: &Test| Row::Cells(vec![told::title(test).into(), Cell::Fill, Cell::Fill, Cell::Fill]);
    Table { columns, rows: tests.iter().map(row).collect() }
}
