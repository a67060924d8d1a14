//! One row of a user's table as the files of this floor read it: cells that hold trade words, and whether the row can
//! be counted on. It asks the door cell by cell; it knows no table by itself.

use std::collections::HashMap;

use rust_decimal::Decimal;

use super::lexicon::{Lexicon, Word};
use super::words::Trouble;
use super::words_doubt::Doubt;
use super::words_reading::ReadingTrouble;
use crate::ground::name::{fold_heading, nearest};
use crate::ground::{Date, Instead, Length, LengthUnit, Notice, RowAt, SourceId, Sources, Spot};
use crate::table::{self, Got, Quoted, Record, Shape, TableFile};

/// What reading a job gathers: its words, its tables, its notices, and the unit of bare lengths.
#[derive(Debug, Default)]
pub(super) struct Desk {
    pub(super) lexicon: Lexicon,
    pub(super) sources: Sources,
    pub(super) notices: Vec<Notice>,
    pub(super) bare: LengthUnit,
    /// The currency of the job; empty before its terms are read.
    pub(super) currency: Box<str>,
}

impl Desk {
    /// Reads a table row by row.
    pub(super) fn read(
        &mut self,
        file: &TableFile,
        shape: &'static Shape,
        mut each: impl FnMut(&mut Row<'_, '_>, &mut Lexicon),
    ) -> Option<SourceId> {
        let Self { lexicon, sources, notices, bare, currency } = self;
        table::read(file, shape, *bare, sources, notices, &mut |record| {
            let mut row = Row { record, shape, currency, wrong: false };
            each(&mut row, lexicon);
        })
    }

    /// Reads a sheet whose headings stand under a title.
    pub(super) fn read_titled(
        &mut self,
        file: &TableFile,
        shape: &'static Shape,
        mut each: impl FnMut(&mut Row<'_, '_>, &mut Lexicon),
    ) -> Option<SourceId> {
        let Self { lexicon, sources, notices, bare, currency } = self;
        table::read_titled(file, shape, *bare, sources, notices, &mut |record| {
            let mut row = Row { record, shape, currency, wrong: false };
            each(&mut row, lexicon);
        })
    }

    /// Takes a notice down about a cell of a row that is already read.
    pub(super) fn trouble(&mut self, at: RowAt, heading: &str, trouble: Trouble<'_>) {
        let spot = self.sources.cell(at, heading);
        self.notices.push(trouble.word(vec![spot]));
    }

    /// Takes down what is doubtful in a cell of a row that is already read.
    pub(super) fn doubt(&mut self, at: RowAt, heading: &str, doubt: Doubt<'_>) {
        let spot = self.sources.cell(at, heading);
        self.notices.push(doubt.word(vec![spot]));
    }
}

/// A row while it is read.
pub(super) struct Row<'r, 'a> {
    record: &'r mut Record<'a>,
    shape: &'static Shape,
    currency: &'r str,
    wrong: bool,
}

impl Row<'_, '_> {
    /// Where it stands.
    pub(super) fn at(&self) -> RowAt {
        self.record.at()
    }

    /// Whether a cell was misread or contradicts another.
    pub(super) fn in_error(&self) -> bool {
        self.wrong || self.record.misread()
    }

    /// Takes a notice down about a cell; an error spoils the row.
    pub(super) fn trouble(&mut self, column: impl Into<usize>, trouble: Trouble<'_>) {
        let heading = self.heading(column.into());
        let spot = self.record.sources().cell(self.at(), heading);
        let notice = trouble.word(vec![spot]);
        self.wrong |= notice.is_error();
        self.record.notice(notice);
    }

    /// Takes down what is doubtful in a cell, with what may have been meant in it; an error spoils the row.
    pub(super) fn doubt(&mut self, column: impl Into<usize>, doubt: Doubt<'_>) {
        let heading = self.heading(column.into());
        let spot = self.record.sources().cell(self.at(), heading);
        self.notice(doubt.word(vec![spot]));
    }

    /// Takes down a notice that is already worded; an error spoils the row.
    pub(super) fn notice(&mut self, notice: Notice) {
        self.wrong |= notice.is_error();
        self.record.notice(notice);
    }

    /// Where a cell stands.
    pub(super) fn spot(&self, column: impl Into<usize>) -> Spot {
        self.record.spot(column.into())
    }

    /// Takes a notice down about a doubtful cell, with what may have been meant in it.
    pub(super) fn trouble_or_read(
        &mut self,
        column: impl Into<usize>,
        trouble: Trouble<'_>,
        meant: impl Into<String>,
    ) {
        let spot = self.record.sources().cell(self.at(), self.heading(column.into()));
        self.record.notice(trouble.word(vec![spot]).or_read(meant));
    }

    /// A row that stands there already, to the letter, and adds to it: it may be there by mistake. `seen` holds the
    /// rows so far.
    pub(super) fn doubt_if_once_more(&mut self, seen: &mut HashMap<String, RowAt>) {
        let cells = 0..self.shape.columns.len();
        let whole: String = cells.flat_map(|column| [self.text(column), "\u{1f}"]).collect();
        let Some(first) = seen.get(&whole).copied() else {
            seen.insert(whole, self.at());
            return;
        };
        let sources = self.record.sources();
        let spots = vec![sources.row(self.at()), sources.row(first)];
        let again = Instead { spot: spots[0].clone(), text: String::new() };
        let trouble = ReadingTrouble::AddsUpTwice { first: &spots[1].to_string() };
        let mut notice = Trouble::Reading(trouble).word(spots);
        notice.otherwise.push(again);
        self.record.notice(notice);
    }

    fn heading(&self, column: usize) -> &'static str {
        self.shape.columns.get(column).map_or("", |c| c.heading)
    }

    /// Words as written, spaces around them gone; the empty text where nothing stands.
    pub(super) fn text(&self, column: impl Into<usize>) -> &str {
        self.record.text(column.into()).unwrap_or("")
    }

    /// Whether nothing stands in a cell, not even what cannot be read.
    pub(super) fn is_blank(&self, column: impl Into<usize>) -> bool {
        self.record.is_blank(column.into())
    }

    /// A name that may be left out.
    pub(super) fn name(&self, column: impl Into<usize>) -> Option<Box<str>> {
        self.record.text(column.into()).map(Box::from)
    }

    /// Words that must be there.
    pub(super) fn needed(&mut self, column: impl Into<usize>) -> Box<str> {
        let column = column.into();
        let text: Box<str> = self.text(column).into();
        if text.is_empty() {
            self.empty(column);
        }
        text
    }

    /// Notices that a needed cell is empty.
    pub(super) fn empty(&mut self, column: impl Into<usize>) {
        let column = column.into();
        let (heading, help) = self.shape.columns.get(column).map_or(("", ""), |c| (c.heading, c.help));
        self.trouble(column, Trouble::EmptyCell { heading, help });
    }

    /// A word of the lexicon.
    pub(super) fn word(&self, column: impl Into<usize>, lexicon: &mut Lexicon) -> Word {
        self.record.text(column.into()).map_or(Word::EMPTY, |text| lexicon.word(text))
    }

    /// Several words parted by `;`.
    pub(super) fn words(&self, column: impl Into<usize>, lexicon: &mut Lexicon) -> Box<[Word]> {
        let Some(text) = self.record.text(column.into()) else { return Box::default() };
        parts(text).map(|one| lexicon.word(one)).collect()
    }

    /// One of a closed list of trade words.
    pub(super) fn one_of<T: Copy>(
        &mut self,
        column: impl Into<usize>,
        known: &[(T, &'static str)],
    ) -> Got<T> {
        let column = column.into();
        let Some(text) = self.record.text(column) else { return Got::Empty };
        if let Some(value) = pick(text, known) {
            return Got::Value(value);
        }
        let found = text.to_owned();
        let words: Vec<&str> = known.iter().map(|(_, word)| *word).collect();
        let trouble = Trouble::UnknownWord { heading: self.heading(column), found: &found, known: &words };
        self.trouble(column, trouble);
        Got::Misread
    }

    /// A size as a word in its one form.
    pub(super) fn size(&mut self, column: impl Into<usize>, lexicon: &mut Lexicon) -> Option<Word> {
        self.record.size(column.into()).value().map(|size| lexicon.word(&size))
    }

    /// The sizes of a fitting.
    pub(super) fn sizes(&mut self, column: impl Into<usize>, lexicon: &mut Lexicon) -> Box<[Word]> {
        let sizes = self.record.sizes(column.into()).value().unwrap_or_default();
        sizes.iter().map(|size| lexicon.word(size)).collect()
    }

    /// The sizes of a fitting, each in its one form.
    pub(super) fn sizes_in_words(&mut self, column: impl Into<usize>) -> Vec<String> {
        self.record.sizes(column.into()).value().unwrap_or_default()
    }

    /// A length.
    pub(super) fn length(&mut self, column: impl Into<usize>) -> Got<Length> {
        self.record.length(column.into())
    }

    /// A length that must be above zero where one is given.
    pub(super) fn positive_length(&mut self, column: impl Into<usize>) -> Option<Length> {
        let column = column.into();
        let length = self.length(column).value()?;
        if length <= Length::ZERO {
            self.trouble(
                column,
                Trouble::NotPositive { heading: self.heading(column), found: &length.to_string() },
            );
        }
        Some(length)
    }

    /// Several lengths.
    pub(super) fn lengths(&mut self, column: impl Into<usize>) -> Vec<Length> {
        self.record.lengths(column.into()).value().unwrap_or_default()
    }

    /// A whole number, zero or more.
    pub(super) fn count(&mut self, column: impl Into<usize>) -> Option<u32> {
        let column = column.into();
        let count = self.record.count(column).value()?;
        match u32::try_from(count) {
            Ok(count) if count <= MOST_COUNTED => Some(count),
            Ok(_) => {
                let (heading, found) = (self.heading(column), count.to_string());
                let most = "a whole number up to 1000000";
                self.doubt(column, Doubt::BeyondAHouse { heading, found: &found, most });
                None
            }
            Err(_) => {
                self.trouble(
                    column,
                    Trouble::NotACount { heading: self.heading(column), found: &count.to_string() },
                );
                None
            }
        }
    }

    /// A decimal number.
    pub(super) fn number(&mut self, column: impl Into<usize>) -> Got<Decimal> {
        let column = column.into();
        let number = self.record.number(column);
        self.of_a_house(column, number)
    }

    /// A number that no house asks for is told, and not read.
    fn of_a_house(&mut self, column: usize, number: Got<Decimal>) -> Got<Decimal> {
        match number {
            Got::Value(beyond) if is_beyond(beyond) => {
                // A cell of the table `job` is called by its item.
                let of_job = self.shape.name == super::terms::JOB.name;
                let heading =
                    if of_job { self.text(0_usize).to_owned() } else { self.heading(column).to_owned() };
                let (heading, found) = (heading.as_str(), beyond.normalize().to_string());
                let most = "a number up to 1000000000, and no less than a millionth part of one";
                self.doubt(column, Doubt::BeyondAHouse { heading, found: &found, most });
                Got::Misread
            }
            number @ (Got::Value(_) | Got::Empty | Got::Misread) => number,
        }
    }

    /// A sum of money, or words that there is none, as people write them into price lists.
    pub(super) fn money(&mut self, column: impl Into<usize>) -> Got<Quoted> {
        let column = column.into();
        let money = self.record.money(column);
        if let Got::Value(Quoted::Sum(sum)) = &money
            && let Got::Misread = self.of_a_house(column, Got::Value(sum.amount))
        {
            return Got::Misread;
        }
        money
    }

    /// One of several sums of a cell.
    pub(super) fn money_in(&self, text: &str) -> Option<Quoted> {
        self.record.money_in(text)
    }

    /// The currency of the job.
    pub(super) fn currency(&self) -> &str {
        self.currency
    }

    /// A plain sum of money, for nothing but one; words for none are nothing.
    pub(super) fn sum(&mut self, column: impl Into<usize>) -> Got<Decimal> {
        let column = column.into();
        let money = match self.money(column) {
            Got::Value(Quoted::Sum(money)) => money,
            Got::Value(Quoted::None) | Got::Empty => return Got::Empty,
            Got::Misread => return Got::Misread,
        };
        if !["", "each", "ea"].contains(&&*money.per) {
            let (heading, found) = (self.heading(column), self.text(column).to_owned());
            let trouble = ReadingTrouble::NotASum { heading, found: &found };
            self.trouble(column, Trouble::Reading(trouble));
            return Got::Misread;
        }
        if let Some(found) = money.currency.filter(|_| !money.may_be_in(self.currency)) {
            let trouble = ReadingTrouble::OtherCurrency { found, job: self.currency, rows: 1 };
            self.trouble(column, Trouble::Reading(trouble));
        }
        Got::Value(money.amount)
    }

    /// A number that must be above zero where one is given.
    pub(super) fn positive(&mut self, column: impl Into<usize>) -> Option<Decimal> {
        let column = column.into();
        let number = self.number(column).value()?;
        if number <= Decimal::ZERO {
            self.trouble(
                column,
                Trouble::NotPositive { heading: self.heading(column), found: &number.to_string() },
            );
        }
        Some(number)
    }

    /// A number that must not be below zero where one is given.
    pub(super) fn zero_or_more(&mut self, column: impl Into<usize>) -> Option<Decimal> {
        let column = column.into();
        let number = self.number(column).value()?;
        if number < Decimal::ZERO {
            let heading = self.heading(column);
            self.trouble(column, Trouble::BelowZero { heading, found: &number.to_string() });
        }
        Some(number)
    }

    /// A percentage in points.
    pub(super) fn percent(&mut self, column: impl Into<usize>) -> Option<Decimal> {
        let column = column.into();
        let points = self.record.percent(column);
        self.of_a_house(column, points).value()
    }

    /// Chained percentages.
    pub(super) fn discount(&mut self, column: impl Into<usize>) -> Vec<Decimal> {
        self.record.discount(column.into()).value().unwrap_or_default()
    }

    /// A day.
    pub(super) fn date(&mut self, column: impl Into<usize>) -> Option<Date> {
        self.record.date(column.into()).value()
    }

    /// Yes or no.
    pub(super) fn yes_no(&mut self, column: impl Into<usize>) -> Option<bool> {
        self.record.yes_no(column.into()).value()
    }

    /// Numbers under further headings.
    pub(super) fn further(&self, lexicon: &mut Lexicon) -> Box<[(Word, Decimal)]> {
        self.record.further().into_iter().map(|(heading, number)| (lexicon.word(heading), number)).collect()
    }

    /// Words under further headings.
    pub(super) fn further_words(&self, lexicon: &mut Lexicon) -> Box<[(Word, Word)]> {
        let cells = self.record.further_words().into_iter();
        cells.map(|(heading, text)| (lexicon.word(heading), lexicon.word(text))).collect()
    }
}

/// The most pieces, turns or runs that one cell counts: no house has so many, and no sum of them overflows.
pub(super) const MOST_COUNTED: u32 = 1_000_000;

/// Whether a figure is beyond any house: above it, or so near to nothing that it can only be a slip. Sums and products of
/// what is within it fit.
pub(super) fn is_beyond(number: Decimal) -> bool {
    const MOST: Decimal = Decimal::from_parts(1_000_000_000, 0, 0, false, 0);
    const LEAST: Decimal = Decimal::from_parts(1, 0, 0, false, 6);
    let size = number.abs();
    size > MOST || !size.is_zero() && size < LEAST
}

/// The entries of a list parted by `;`, empty ones left out.
pub(super) fn parts(text: &str) -> impl Iterator<Item = &str> {
    text.split(';').map(str::trim).filter(|one| !one.is_empty())
}

/// The meaning of a trade word, without regard to case, spaces and hyphens.
pub(super) fn pick<T: Copy>(text: &str, known: &[(T, &'static str)]) -> Option<T> {
    let plain = known.iter().find(|(_, word)| word.eq_ignore_ascii_case(text));
    plain
        .or_else(|| {
            let folded = fold_heading(text);
            known.iter().find(|(_, word)| fold_heading(word) == folded)
        })
        .map(|(value, _)| *value)
}

/// The nearest of some words to one that nothing has, as the remedy says it.
pub(super) fn nearest_of<'a>(wanted: &str, names: impl Iterator<Item = &'a str>) -> String {
    let near = nearest(wanted, names);
    match near.as_slice() {
        [] => String::new(),
        some => some.iter().map(|name| format!("\"{name}\"")).collect::<Vec<_>>().join(" or "),
    }
}
