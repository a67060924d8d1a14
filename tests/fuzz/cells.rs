//! The target `cells`: one text in a cell of every kind of column. What it is read as is written by another way of writing
//! and must read back as the same; a text comes out of the file as it went in.

use std::fmt;
use std::fs;

use coilstick::ground::{Date, Length, LengthUnit, Sources};
use coilstick::table::{Column, Further, Got, Holds, Money, Quoted, Record, Shape, read};
use coilstick::trade::Job;
use rust_decimal::Decimal;

use crate::asked::{judge_notices, table_file};
use crate::draw::Draw;
use crate::driver::{Target, folder};
use crate::encoded::Form;
use crate::grid::{made_of_parts, other_characters};
use crate::hard;
use crate::jobs::write_tables;
use crate::seeds::seeds;

/// A text and how its file is written.
pub(crate) struct Input {
    text: String,
    form: Form,
    /// Whether it stands, too, in a job: as breaks, in lists, as names.
    in_a_job: bool,
}

impl fmt::Display for Input {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?} as {:?}", self.text, self.form)
    }
}

pub(crate) const CELLS: Target<Input> = Target {
    name: "cells",
    short: 4_000,
    longest: 60,
    memory: 4 << 20,
    steps: &["was read as words", "was read as something that is no words"],
    least: 25,
    make,
    judge,
};

const fn column(heading: &'static str, holds: Holds) -> Column {
    Column { heading, also: &[], required: false, unless: None, holds, help: "" }
}

/// A column of each kind, after the text itself.
const COLUMNS: [Column; 13] = [
    Column { required: true, ..column("text", Holds::Text) },
    column("length", Holds::Length),
    column("metric", Holds::Length),
    column("lengths", Holds::Lengths),
    column("size", Holds::Size),
    column("sizes", Holds::Size),
    column("count", Holds::Count),
    column("number", Holds::Number),
    column("money", Holds::Number),
    column("percent", Holds::Percent),
    column("discount", Holds::Discount),
    column("day", Holds::Date),
    column("wanted", Holds::YesNo),
];

const SHAPE: Shape = Shape { name: "cells", columns: &COLUMNS, further: Further::Noticed };

/// What a text was read as in each column.
#[derive(Debug)]
struct Cells {
    text: Option<String>,
    length: Got<Length>,
    metric: Got<Length>,
    lengths: Got<Vec<Length>>,
    size: Got<String>,
    sizes: Got<Vec<String>>,
    count: Got<i64>,
    number: Got<Decimal>,
    money: Got<Quoted>,
    percent: Got<Decimal>,
    discount: Got<Vec<Decimal>>,
    day: Got<Date>,
    wanted: Got<bool>,
}

impl Cells {
    fn of(record: &mut Record<'_>) -> Self {
        Self {
            text: record.text(0).map(str::to_owned),
            length: record.length(1),
            metric: record.length(2),
            lengths: record.lengths(3),
            size: record.size(4),
            sizes: record.sizes(5),
            count: record.count(6),
            number: record.number(7),
            money: record.money(8),
            percent: record.percent(9),
            discount: record.discount(10),
            day: record.date(11),
            wanted: record.yes_no(12),
        }
    }

    /// Each value as a text that says it all; nothing where there is none.
    fn written(&self) -> [String; COLUMNS.len()] {
        let list = |texts: Vec<String>, between: &str| texts.join(between);
        [
            self.text.clone().unwrap_or_default(),
            written(&self.length, millimetres),
            written(&self.metric, millimetres),
            written(&self.lengths, |all| list(all.iter().map(millimetres).collect(), "; ")),
            written(&self.size, String::clone),
            written(&self.sizes, |all| list(all.clone(), " x ")),
            written(&self.count, i64::to_string),
            written(&self.number, Decimal::to_string),
            written(&self.money, quoted),
            written(&self.percent, |points| format!("{points} %")),
            written(&self.discount, |all| list(all.iter().map(Decimal::to_string).collect(), "/")),
            written(&self.day, Date::to_string),
            written(&self.wanted, |yes| if *yes { "yes" } else { "no" }.to_owned()),
        ]
    }

    /// Whether another reading gave the same values where this one gave any.
    fn judge(&self, again: &Self) {
        same("length", &self.length, &again.length);
        same("metric", &self.metric, &again.metric);
        same("lengths", &self.lengths, &again.lengths);
        same("size", &self.size, &again.size);
        same("sizes", &self.sizes, &again.sizes);
        same("count", &self.count, &again.count);
        same("number", &self.number, &again.number);
        same("money", &self.money, &again.money);
        same("percent", &self.percent, &again.percent);
        same("discount", &self.discount, &again.discount);
        same("day", &self.day, &again.day);
        same("yes or no", &self.wanted, &again.wanted);
    }

    fn has_a_value(&self) -> bool {
        let size_is_no_words = matches!(&self.size, Got::Value(size) if size.bytes().all(|b| b.is_ascii_digit() || b == b'/' || b == b'-'));
        let values = [
            matches!(self.length, Got::Value(_)),
            matches!(self.count, Got::Value(_)),
            matches!(self.number, Got::Value(_)),
            matches!(self.money, Got::Value(_)),
            matches!(self.percent, Got::Value(_)),
            matches!(self.discount, Got::Value(_)),
            matches!(self.day, Got::Value(_)),
            matches!(self.wanted, Got::Value(_)),
            size_is_no_words,
        ];
        values.contains(&true)
    }
}

fn written<T>(got: &Got<T>, write: impl Fn(&T) -> String) -> String {
    match got {
        Got::Value(value) => write(value),
        Got::Empty | Got::Misread => String::new(),
    }
}

fn same<T: PartialEq + fmt::Debug>(what: &str, first: &Got<T>, again: &Got<T>) {
    // What holds words, a size or what a price is for, may look like a text that a guard keeps one, as any text may.
    let alike = || without_guard(&format!("{first:?}")) == without_guard(&format!("{again:?}"));
    if matches!(first, Got::Value(_)) && first != again && !alike() {
        panic!("a {what} reads back as another: {first:?}, {again:?}");
    }
}

/// A length exactly: a nanometre is a millionth of a millimetre.
fn millimetres(length: &Length) -> String {
    format!("{} mm", Decimal::new(length.nanometres(), 6))
}

fn quoted(quoted: &Quoted) -> String {
    match quoted {
        Quoted::None => "n/a".to_owned(),
        Quoted::Sum(Money { amount, currency, per }) => {
            let currency = currency.map(|sign| format!("{sign} ")).unwrap_or_default();
            let per = if per.is_empty() { String::new() } else { format!(" per {per}") };
            format!("{currency}{amount}{per}")
        }
    }
}

fn make(draw: &mut Draw<'_>) -> Input {
    let form = if draw.once_in(2) { Form::of(draw) } else { Form::PLAIN };
    let text = match draw.below(8) {
        0 => draw.one(&hard::CELLS).to_owned(),
        1 => seeds().cell(draw).to_owned(),
        2 => other_characters(seeds().cell(draw), draw),
        3 => other_characters(draw.one(&hard::CELLS), draw),
        4 => (0..draw.below(12)).map(|_| draw.character()).collect(),
        _ => made_of_parts(draw),
    };
    Input { text, form, in_a_job: draw.once_in(512) }
}

/// Reads a row in which each column has one of the texts.
fn row(texts: &[String], form: Form) -> Option<Cells> {
    let headings: Vec<String> = COLUMNS
        .iter()
        .map(|c| if c.heading == "metric" { "metric (mm)" } else { c.heading }.to_owned())
        .collect();
    let path = folder().join("cells.csv");
    fs::write(&path, form.bytes(&form.text(&[headings, texts.to_vec()]))).unwrap();
    let (mut sources, mut notices, mut cells) = (Sources::default(), Vec::new(), None);
    read(&table_file(&path), &SHAPE, LengthUnit::Foot, &mut sources, &mut notices, &mut |record| {
        assert!(cells.is_none(), "two rows were written as one");
        cells = Some(Cells::of(record));
    });
    judge_notices(&notices);
    cells
}

fn judge(input: &Input) -> usize {
    let cells = row(&vec![input.text.clone(); COLUMNS.len()], input.form);
    if input.in_a_job {
        in_a_job(&input.text);
    }
    let Some(cells) = cells else { return 0 };
    judge_text(input, cells.text.as_deref());
    let again = row(&cells.written(), Form::PLAIN);
    if cells.has_a_value() {
        cells.judge(again.as_ref().expect("a row of values reads back"));
    }
    if let Got::Value(length) = cells.length {
        judge_length(length);
    }
    usize::from(cells.text.is_some()) + usize::from(cells.has_a_value())
}

/// A text comes out as it went in, but for the spaces around it and what a guard that keeps it a text is made of: a text
/// of somebody's own may look like one.
fn judge_text(input: &Input, read: Option<&str>) {
    if let Some(read) = read
        && input.form.is_exact()
    {
        let written = &input.text;
        assert_eq!(without_guard(read), without_guard(written), "{written:?} came out as {read:?}");
    }
}

/// A text without what a guard is made of.
fn without_guard(text: &str) -> String {
    let is_guard = |c: char| matches!(c, '\'' | '"') || c.is_whitespace();
    text.chars().filter(|c| !is_guard(*c)).collect()
}

/// A length as a person would type it reads back as itself in sixteenths, and else to the last place that is shown.
fn judge_length(length: Length) {
    for (unit, near) in [(LengthUnit::Foot, 15_240), (LengthUnit::Metre, 50_000)] {
        let typed = length.as_typed(unit);
        let again = Length::read(&typed, unit).unwrap_or_else(|| panic!("{typed} is no length"));
        let off = length.checked_sub(again).unwrap().abs().nanometres();
        let in_sixteenths = length.nanometres() % (LengthUnit::Inch.nanometres() / 16) == 0;
        let exact = unit == LengthUnit::Foot && in_sixteenths && length > Length::ZERO;
        assert!(off <= if exact { 0 } else { near }, "{typed} is off by {off} nanometres");
    }
}

/// The text where a job reads it as breaks, as a list, as a name of runs, of places, of patterns and of parts.
fn in_a_job(text: &str) {
    let rows = |heads: &[&str], cells: &[&str]| {
        [heads, cells].map(|row| row.iter().map(|cell| (*cell).to_owned()).collect()).to_vec()
    };
    let heads = ["supplier", "part", "size", "price", "sold as", "pack", "per", "breaks", "system"];
    let prices = rows(&heads, &["Invented Supply", "tee", "1/2", "1.00", text, text, text, text, text]);
    let heads =
        ["run", "service", "size", "length", "joins", "at", "to", "pattern", "path", "turns at", "only"];
    let mut runs = rows(&heads, &["A", "cold", "1/2", "10", "", "", "", "", "", "", ""]);
    runs.extend(
        rows(&[], &[text, "cold", "1/2", "10", text, text, text, text, text, text, text]).split_off(1),
    );
    let parts = rows(&["part", "ports", "class", "used as"], &[text, text, "fitting", text]);
    let heads = ["pattern", "part", "quantity", "per", "where", "every", "only"];
    let patterns = rows(&heads, &[text, text, text, text, text, text, text]);
    let job = rows(&["item", "for", "value"], &[text, text, text]);
    let tables = [("prices", prices), ("runs", runs), ("parts", parts), ("patterns", patterns), ("job", job)];
    let tables = tables.map(|(name, rows)| (name, Form::PLAIN.bytes(&Form::PLAIN.text(&rows))));
    let read = Job::read(&write_tables(&tables)).expect("there is a run list");
    judge_notices(&read.notices);
    for offer in &read.prices.offers {
        assert!(offer.breaks.windows(2).all(|pair| pair[0].0 < pair[1].0), "{:?}", offer.breaks);
    }
}
