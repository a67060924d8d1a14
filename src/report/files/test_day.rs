//! `test-day.csv` and the test day of `estimate.json`: what is closed, filled and held for the test of each phase, line by
//! line, of every alternative. It reckons nothing.

use rust_decimal::Decimal;

use crate::checks::{Filled, Opening, Section, Test, TestDay, Top};
use crate::estimate::takeoff::Subject;
use crate::ground::Length;
use crate::report::facts::{Wording, run_end, test_day as told};
use crate::report::form::{AMOUNT, Column, QUANTITY, TEXT, Value, WHOLE, csv, in_both, in_csv, whole};
use crate::trade::{Phase, Side, Word};

/// A line of a test.
#[derive(Clone)]
pub(super) struct Row {
    alternative: usize,
    side: Side,
    phase: Phase,
    /// What the line is: rule, gauge, fill, top, opening, level and so on.
    kind: &'static str,
    what: String,
    size: Word,
    run: String,
    end: &'static str,
    place: String,
    area: Word,
    level: Word,
    count: Option<i64>,
    off: Option<Phase>,
    height: Option<Length>,
    head: Option<Length>,
    psi: Option<Decimal>,
    push: Option<Decimal>,
    gallons: Option<Decimal>,
    pounds: Option<Decimal>,
    minutes: Option<Decimal>,
    note: String,
}

/// A figure with two places.
fn figure(number: Option<Decimal>) -> Value {
    number.map(|number| Value::Places(number, 2)).into()
}

pub(super) const COLUMNS: [Column<Row>; 22] = [
    in_csv("alternative", "the system that it is an alternative of", |w, row| {
        w.alternative(row.alternative).into()
    }),
    in_both(["phase", "phase"], TEXT, "the phase that is tested", |_, row| row.phase.word().into()),
    in_both(["side", "side"], TEXT, "water or drain", |_, row| row.side.word().into()),
    in_both(
        ["row", "row"],
        TEXT,
        "what the row is: rule, gauge, fill, top, an opening (cap, cap still on, tool, sewer end, main, open), level, stack foot, not tested",
        |_, row| row.kind.into(),
    ),
    in_both(["what", "what"], TEXT, "what it is, or what closes it", |_, row| (&row.what).into()),
    in_both(["size", "size"], TEXT, "its size", |w, row| Value::Size(w.word(row.size).to_owned())),
    in_both(["run", "run"], TEXT, "the run", |_, row| (&row.run).into()),
    in_both(["end", "end"], TEXT, "which end of the run", |_, row| row.end.into()),
    in_both(["place", "place"], TEXT, "the place at that end", |_, row| (&row.place).into()),
    in_both(["area", "area"], TEXT, "where it is", |w, row| w.word(row.area).into()),
    in_both(["level", "level"], TEXT, "the floor of the house", |w, row| w.word(row.level).into()),
    in_both(["count", "count"], WHOLE.or_null(), "how many", |_, row| row.count.map(whole).into()),
    in_both(
        ["off before", "off_before"],
        TEXT.or_null(),
        "the phase before whose work it is taken off",
        |_, row| row.off.map(Phase::word).into(),
    ),
    in_both(
        ["height (unit)", "height"],
        QUANTITY.or_null(),
        "how high it is over the beginning of the first run: at the sewer or the main",
        |w, row| row.height.map(|height| Value::Quantity(w.shown(height))).into(),
    ),
    in_both(["head (unit)", "head"], QUANTITY.or_null(), "the water over it", |w, row| {
        row.head.map(|head| Value::Quantity(w.shown(head))).into()
    }),
    in_both(["psi", "psi"], AMOUNT.or_null(), "the pressure at it", |_, row| figure(row.psi)),
    in_both(
        ["push (lb)", "push"],
        AMOUNT.or_null(),
        "what pushes on each cap, in pounds: pressure times the area of the inside",
        |_, row| figure(row.push),
    ),
    in_both(["gallons", "gallons"], AMOUNT.or_null(), "the water to fill in", |_, row| figure(row.gallons)),
    in_both(["pounds", "pounds"], AMOUNT.or_null(), "what that weighs", |_, row| figure(row.pounds)),
    in_both(["minutes", "minutes"], AMOUNT.or_null(), "how long it must hold", |_, row| figure(row.minutes)),
    in_both(
        ["note", "note"],
        TEXT,
        "where a rule stands and how it is known; what is not known",
        |_, row| (&row.note).into(),
    ),
    in_csv("estimate", "complete, or INCOMPLETE", |w, row| w.mark(row.alternative).into()),
];

/// The bytes of the file.
pub(super) fn write(words: &Wording<'_>, day: &TestDay) -> Vec<u8> {
    csv::table(words, &COLUMNS, (0..day.alternatives.len()).flat_map(|at| rows(words, day, at)))
}

/// The lines of an alternative.
pub(super) fn rows(words: &Wording<'_>, day: &TestDay, alternative: usize) -> Vec<Row> {
    let tests = day.alternatives.get(alternative).into_iter().flatten();
    tests.flat_map(|test| of_test(words, day, test, Row::of(alternative, test))).collect()
}

fn of_test(words: &Wording<'_>, day: &TestDay, test: &Test, bare: Row) -> Vec<Row> {
    let line = |kind, what: String| Row { kind, what, ..bare.clone() };
    let mut rows: Vec<Row> = Vec::new();
    for way in &test.ways {
        let (minutes, note) = (way.rule.minutes, told::known(words, &way.rule));
        let head = way.rule.head;
        rows.push(Row { psi: way.psi, head, minutes, note, ..line("rule", told::way(words, way)) });
    }
    if test.ways.is_empty() {
        rows.push(line("rule", told::NOT_JUDGED.to_owned()));
    }
    rows.push(Row { psi: test.shows, ..line("gauge", told::gauge(words, test)) });
    let fill = |of: &Filled, what: &str| Row {
        gallons: Some(of.gallons),
        pounds: of.pounds,
        note: told::not_known(words, &of.not_known).unwrap_or_default(),
        ..line("fill", what.to_owned())
    };
    rows.push(fill(&test.filled, "all that is filled"));
    rows.push(fill(&test.laid, "of it in what this phase laid"));
    rows.extend(test.sections.iter().map(|of| Row {
        run: words.run_name(of.root).to_owned(),
        height: height_of(of),
        psi: of.most_psi,
        note: told::unmeasured(words, day, test.side, of).unwrap_or_default(),
        ..line("top", told::top(words, day, test, of))
    }));
    rows.extend(test.openings.iter().map(|of| Row {
        size: of.size,
        run: if let Subject::Run(run) = of.subject { words.run_name(run).to_owned() } else { String::new() },
        end: of.end.map_or("", run_end),
        place: of.place.as_deref().unwrap_or_default().to_owned(),
        area: of.area,
        level: of.level,
        count: Some(of.count),
        ..measured(of, line(told::shuts_kind(of.shuts), told::shuts(words, of)))
    }));
    rows.extend(test.marks.iter().map(|mark| {
        let (kind, run, level) = match mark.of {
            crate::checks::MarkOf::Level(level) => ("level", String::new(), level),
            crate::checks::MarkOf::StackFoot(run) => {
                ("stack foot", words.run_name(run).to_owned(), Word::EMPTY)
            }
        };
        let what = told::mark(words, mark.of);
        Row { run, level, height: Some(mark.height), head: mark.head, psi: mark.psi, ..line(kind, what) }
    }));
    rows.extend(told::apart(words, test).map(|what| line("not tested", what)));
    rows
}

/// How high a section is filled.
fn height_of(section: &Section) -> Option<Length> {
    match section.top {
        Top::Open { height, .. } | Top::Pipe { height, .. } => Some(height),
        Top::Held { .. } | Top::NotKnown(_) => None,
    }
}

fn measured(of: &Opening, row: Row) -> Row {
    Row { off: of.off, height: of.height, head: of.head, psi: of.psi, push: of.push, ..row }
}

impl Row {
    /// A line of a test that says nothing yet.
    fn of(alternative: usize, test: &Test) -> Self {
        Self {
            alternative,
            side: test.side,
            phase: test.phase,
            kind: "",
            what: String::new(),
            size: Word::EMPTY,
            run: String::new(),
            end: "",
            place: String::new(),
            area: Word::EMPTY,
            level: Word::EMPTY,
            count: None,
            off: None,
            height: None,
            head: None,
            psi: None,
            push: None,
            gallons: None,
            pounds: None,
            minutes: None,
            note: String::new(),
        }
    }
}
