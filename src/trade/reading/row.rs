//! One row of a user's table as the files of this floor read it: cells that hold trade words, and whether the row can
//! be counted on. It asks the door cell by cell; it knows no table by itself.

use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash as _, Hasher as _};

use rust_decimal::Decimal;

use super::findings::{
    below_zero, beyond_a_house, empty_cell, not_a_count, not_a_sum, not_above_zero, other_currency,
    part_of_a_percent, row_once_more, too_many, unknown_word,
};
use super::texts::{Text, Texts};
use super::{or_without_row, worded};
use crate::ground::notice::Finding;
use crate::ground::{Date, Length, LengthUnit, Notice, RowAt, Spot};
use crate::table::{Got, Quoted, Record, Shape};
use crate::trade::lexicon::{Lexicon, Word};
use crate::trade::shape::{Words, pick};

/// A row while it is read.
pub(in crate::trade) struct Row<'r, 'a> {
    pub(super) record: &'r mut Record<'a>,
    pub(super) shape: &'static Shape,
    /// What a bare length is.
    pub(in crate::trade) bare: LengthUnit,
    pub(super) currency: &'r str,
    /// The words of the job.
    pub(in crate::trade) lexicon: &'r mut Lexicon,
    pub(super) texts: &'r mut Texts,
    /// What its notices call a cell by, where that is not the heading.
    pub(in crate::trade) called: Option<String>,
    pub(super) wrong: bool,
}

impl Row<'_, '_> {
    /// Where it stands.
    pub(in crate::trade) fn at(&self) -> RowAt {
        self.record.at()
    }

    /// Whether a cell was misread or contradicts another.
    pub(in crate::trade) fn in_error(&self) -> bool {
        self.wrong || self.record.misread()
    }

    /// Takes a notice down about a cell; an error spoils the row.
    pub(in crate::trade) fn trouble(&mut self, column: impl Into<usize>, finding: Finding) {
        let heading = self.heading(column.into());
        let spot = self.record.sources().cell(self.at(), heading);
        self.notice(worded(finding, [spot]));
    }

    /// The same about a row that may stand there by mistake: without it the job would be another.
    pub(in crate::trade) fn trouble_of_row(&mut self, column: impl Into<usize>, finding: Finding) {
        let heading = self.heading(column.into());
        let spot = self.record.sources().cell(self.at(), heading);
        self.notice(or_without_row(worded(finding, [spot])));
    }

    /// Takes down a notice of several cells; an error spoils the row.
    pub(in crate::trade) fn notice(&mut self, notice: Notice) {
        self.wrong |= notice.is_error();
        self.record.notice(notice);
    }

    /// Where a cell stands.
    pub(in crate::trade) fn spot(&self, column: impl Into<usize>) -> Spot {
        self.record.spot(column.into())
    }

    /// A row that stands there already, to the letter, and adds to it: it may be there by mistake. `seen` holds the
    /// rows so far.
    pub(in crate::trade) fn doubt_if_once_more(&mut self, seen: &mut Seen) {
        let Some(first) = seen.meet((0..self.shape.columns.len()).map(|column| self.text(column)), self.at())
        else {
            return;
        };
        let sources = self.record.sources();
        let (own, first) = (sources.row(self.at()), sources.row(first));
        let finding = row_once_more(&first);
        self.notice(or_without_row(worded(finding, [own, first])));
    }

    /// Reads one of its cells.
    pub(in crate::trade) fn cell<T>(
        &mut self,
        column: impl Into<usize>,
        read: impl FnOnce(&mut Self, usize) -> T,
    ) -> T {
        read(self, column.into())
    }

    /// Finds what goes with its cells.
    pub(in crate::trade) fn beside<T>(&mut self, find: impl FnOnce(&mut Self) -> T) -> T {
        find(self)
    }

    fn heading(&self, column: usize) -> &'static str {
        self.shape.columns.get(column).map_or("", |c| c.heading)
    }

    /// Words as written, spaces around them gone; the empty text where nothing stands.
    pub(in crate::trade) fn text(&self, column: impl Into<usize>) -> &str {
        self.record.text(column.into()).unwrap_or("")
    }

    /// Whether nothing stands in a cell, not even what cannot be read.
    pub(in crate::trade) fn is_blank(&self, column: impl Into<usize>) -> bool {
        self.record.is_blank(column.into())
    }

    /// A name that may be left out.
    pub(in crate::trade) fn name(&mut self, column: impl Into<usize>) -> Option<Text> {
        self.record.name(column.into()).map(|text| self.texts.kept(text))
    }

    /// Words as written, to keep.
    pub(in crate::trade) fn kept(&mut self, column: impl Into<usize>) -> Text {
        self.texts.kept(self.record.text(column.into()).unwrap_or(""))
    }

    /// A name that must be there.
    pub(in crate::trade) fn needed_name(&mut self, column: impl Into<usize>) -> Text {
        let column = column.into();
        self.needed(column);
        self.name(column).unwrap_or_default()
    }

    /// Notices where nothing stands in a cell that must be filled.
    pub(in crate::trade) fn needed(&mut self, column: impl Into<usize>) {
        let column = column.into();
        if self.text(column).is_empty() {
            self.empty(column);
        }
    }

    /// Notices that a needed cell is empty.
    pub(in crate::trade) fn empty(&mut self, column: impl Into<usize>) {
        let column = column.into();
        let (heading, help) = self.shape.columns.get(column).map_or(("", ""), |c| (c.heading, c.help));
        self.trouble(column, empty_cell(heading, help));
    }

    /// A word of the lexicon.
    pub(in crate::trade) fn word(&mut self, column: impl Into<usize>) -> Word {
        self.record.name(column.into()).map_or(Word::EMPTY, |text| self.lexicon.word(text))
    }

    /// The same however long it is: a price list says much that nothing of the job uses.
    pub(in crate::trade) fn word_of_any_length(&mut self, column: impl Into<usize>) -> Word {
        self.record.text(column.into()).map_or(Word::EMPTY, |text| self.lexicon.word(text))
    }

    /// Several words parted by `;`.
    pub(in crate::trade) fn words(&mut self, column: impl Into<usize>) -> Box<[Word]> {
        let Some(text) = self.record.name(column.into()) else { return Box::default() };
        parts(text).map(|one| self.lexicon.word(one)).collect()
    }

    /// One of a closed list of trade words.
    pub(in crate::trade) fn choice<T: Words>(&mut self, column: impl Into<usize>) -> Option<T> {
        self.one_of(column, T::KNOWN)
    }

    /// One of some words.
    pub(in crate::trade) fn one_of<T: Copy>(
        &mut self,
        column: impl Into<usize>,
        known: &[(T, &'static str)],
    ) -> Option<T> {
        let column = column.into();
        let found = self.record.text(column)?.to_owned();
        let value = pick(&found, known);
        if value.is_none() {
            let words: Vec<&str> = known.iter().map(|(_, word)| *word).collect();
            self.trouble(column, unknown_word(self.heading(column), &found, &words));
        }
        value
    }

    /// Several of a closed list of trade words, parted by `;`.
    pub(in crate::trade) fn choices<T: Words>(&mut self, column: impl Into<usize>) -> Box<[T]> {
        let column = column.into();
        let text = self.text(column).to_owned();
        let mut chosen = Vec::new();
        for one in parts(&text) {
            match T::of_word(one) {
                Some(word) => chosen.push(word),
                None => self.trouble(column, unknown_word(self.heading(column), one, &T::all_words())),
            }
        }
        chosen.into()
    }

    /// A size as a word in its one form.
    pub(in crate::trade) fn size(&mut self, column: impl Into<usize>) -> Option<Word> {
        self.record.size(column.into()).value().map(|size| self.lexicon.word(&size))
    }

    /// The sizes of a fitting.
    pub(in crate::trade) fn sizes(&mut self, column: impl Into<usize>) -> Box<[Word]> {
        let sizes = self.record.sizes(column.into()).value().unwrap_or_default();
        sizes.iter().map(|size| self.lexicon.word(size)).collect()
    }

    /// The sizes of a fitting, each in its one form.
    pub(in crate::trade) fn sizes_in_words(&mut self, column: impl Into<usize>) -> Vec<String> {
        self.record.sizes(column.into()).value().unwrap_or_default()
    }

    /// Whether a cell is a formula whose result was not saved.
    pub(in crate::trade) fn lacks_result(&self, column: impl Into<usize>) -> bool {
        self.record.lacks_result(column.into())
    }

    /// Tells of a cell that is needed and cannot be read whatever it should hold; see [`crate::table::Further::Passed`].
    pub(in crate::trade) fn tell_noticed(&mut self, column: impl Into<usize>) {
        self.record.tell_noticed(column.into());
    }

    /// A length whose bare numbers are in a unit of the row's own.
    pub(in crate::trade) fn length_in(&mut self, column: impl Into<usize>, unit: LengthUnit) -> Got<Length> {
        self.record.length_in(column.into(), unit)
    }

    /// A length.
    pub(in crate::trade) fn length(&mut self, column: impl Into<usize>) -> Got<Length> {
        self.record.length(column.into())
    }

    /// Words that hold lengths, with the unit of those that name none.
    pub(in crate::trade) fn measured(&mut self, column: impl Into<usize>) -> Got<(String, LengthUnit)> {
        self.record.measured(column.into())
    }

    /// A length that must be above zero where one is given.
    pub(in crate::trade) fn positive_length(&mut self, column: impl Into<usize>) -> Option<Length> {
        let column = column.into();
        let length = self.length(column).value()?;
        if length <= Length::ZERO {
            self.trouble(column, not_above_zero(self.heading(column), length));
        }
        Some(length)
    }

    /// Several lengths.
    pub(in crate::trade) fn lengths(&mut self, column: impl Into<usize>) -> Vec<Length> {
        self.record.lengths(column.into()).value().unwrap_or_default()
    }

    /// A whole number, zero or more.
    pub(in crate::trade) fn count(&mut self, column: impl Into<usize>) -> Option<u32> {
        let column = column.into();
        let count = self.record.count(column).value()?;
        match u32::try_from(count) {
            Ok(count) if count <= MOST_COUNTED => Some(count),
            Ok(_) => {
                self.trouble(column, too_many(self.heading(column), count));
                None
            }
            Err(_) => {
                self.trouble(column, not_a_count(self.heading(column), count));
                None
            }
        }
    }

    /// A decimal number.
    pub(in crate::trade) fn number(&mut self, column: impl Into<usize>) -> Got<Decimal> {
        let column = column.into();
        let number = self.record.number(column);
        self.of_a_house(column, number)
    }

    /// A number that no house asks for is told, and not read.
    fn of_a_house(&mut self, column: usize, number: Got<Decimal>) -> Got<Decimal> {
        match number {
            Got::Value(beyond) if is_beyond(beyond) => {
                let called = self.called.clone().unwrap_or_else(|| self.heading(column).to_owned());
                let most = "a number up to 1000000000, and no less than a millionth part of one";
                self.trouble(column, beyond_a_house(&called, beyond.normalize(), most));
                Got::Misread
            }
            number @ (Got::Value(_) | Got::Empty | Got::Misread) => number,
        }
    }

    /// A sum of money, or words that there is none, as people write them into price lists.
    pub(in crate::trade) fn money(&mut self, column: impl Into<usize>) -> Got<Quoted> {
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
    pub(in crate::trade) fn money_in(&self, text: &str) -> Option<Quoted> {
        self.record.money_in(text)
    }

    /// The currency of the job.
    pub(in crate::trade) fn currency(&self) -> &str {
        self.currency
    }

    /// A plain sum of money, for nothing but one; words for none are nothing.
    pub(in crate::trade) fn sum(&mut self, column: impl Into<usize>) -> Got<Decimal> {
        let column = column.into();
        let money = match self.money(column) {
            Got::Value(Quoted::Sum(money)) => money,
            Got::Value(Quoted::None) | Got::Empty => return Got::Empty,
            Got::Misread => return Got::Misread,
        };
        if !["", "each", "ea"].contains(&&*money.per) {
            self.trouble(column, not_a_sum(self.heading(column), self.text(column)));
            return Got::Misread;
        }
        if let Some(found) = money.currency.filter(|_| !money.may_be_in(self.currency)) {
            self.trouble(column, other_currency(found, self.currency, 1));
        }
        Got::Value(money.amount)
    }

    /// A plain sum of money that must not be below zero.
    pub(in crate::trade) fn sum_from_zero(&mut self, column: impl Into<usize>) -> Option<Decimal> {
        let column = column.into();
        let sum = self.sum(column).value()?;
        if sum.is_sign_negative() {
            self.trouble(column, below_zero(self.heading(column), sum));
        }
        Some(sum)
    }

    /// A number that must be above zero where one is given.
    pub(in crate::trade) fn positive(&mut self, column: impl Into<usize>) -> Option<Decimal> {
        let column = column.into();
        let number = self.number(column).value()?;
        if number <= Decimal::ZERO {
            self.trouble(column, not_above_zero(self.heading(column), number));
        }
        Some(number)
    }

    /// A number that must not be below zero where one is given.
    pub(in crate::trade) fn zero_or_more(&mut self, column: impl Into<usize>) -> Option<Decimal> {
        let column = column.into();
        let number = self.number(column).value()?;
        if number < Decimal::ZERO {
            self.trouble(column, below_zero(self.heading(column), number));
        }
        Some(number)
    }

    /// A percentage.
    pub(in crate::trade) fn percent(&mut self, column: impl Into<usize>) -> Option<Decimal> {
        let column = column.into();
        let percent = self.record.percent(column);
        self.of_a_house(column, percent).value()
    }

    /// 0.07 is more often seven in a hundred than seven in ten thousand: it is read as written, and said so. A workbook's
    /// fraction and a cell with its own `%` are read as what they show.
    pub(in crate::trade) fn doubt_a_fraction(
        &mut self,
        column: impl Into<usize>,
        item: &str,
        percent: Decimal,
    ) {
        let column = column.into();
        let written = self.text(column).to_owned();
        let is_plain = Decimal::from_str_exact(&written).is_ok_and(|written| written == percent);
        if is_plain && percent > Decimal::ZERO && percent < MEANT_AS_A_FRACTION {
            let meant = (percent * Decimal::ONE_HUNDRED).normalize().to_string();
            self.trouble(column, part_of_a_percent(item, &written, &meant));
        }
    }

    /// Chained percentages.
    pub(in crate::trade) fn discount(&mut self, column: impl Into<usize>) -> Vec<Decimal> {
        self.record.discount(column.into()).value().unwrap_or_default()
    }

    /// A day.
    pub(in crate::trade) fn date(&mut self, column: impl Into<usize>) -> Option<Date> {
        self.record.date(column.into()).value()
    }

    /// Yes or no.
    pub(in crate::trade) fn yes_no(&mut self, column: impl Into<usize>) -> Option<bool> {
        self.record.yes_no(column.into()).value()
    }

    /// Numbers under further headings.
    pub(in crate::trade) fn further(&mut self) -> Box<[(Word, Decimal)]> {
        let cells = self.record.further().into_iter();
        cells.map(|(heading, number)| (self.lexicon.word(heading), number)).collect()
    }

    /// Words under further headings.
    pub(in crate::trade) fn further_words(&mut self) -> Box<[(Word, Word)]> {
        let cells = self.record.further_words().into_iter();
        cells.map(|(heading, text)| (self.lexicon.word(heading), self.lexicon.word(text))).collect()
    }
}

/// The rows of a table so far, each by a mark of its cells alone: whole rows of text would be kept twice.
#[derive(Debug, Default)]
pub(in crate::trade) struct Seen {
    rows: HashMap<(u64, u64), RowAt>,
}

impl Seen {
    /// Takes a row down; the first one with the same cells.
    fn meet<'t>(&mut self, cells: impl Iterator<Item = &'t str>, at: RowAt) -> Option<RowAt> {
        // Two marks of 64 bits: of a million rows no two that differ have both by chance.
        let mut marks = [DefaultHasher::new(), DefaultHasher::new()];
        marks[1].write_u8(1);
        for cell in cells {
            marks.iter_mut().for_each(|mark| cell.hash(mark));
        }
        let [one, other] = marks.map(|mark| mark.finish());
        let first = *self.rows.entry((one, other)).or_insert(at);
        (first != at).then_some(first)
    }
}

/// A percentage below this is doubtful: half a percent of contingency is said now and then, less is not.
pub(in crate::trade) const MEANT_AS_A_FRACTION: Decimal = Decimal::from_parts(5, 0, 0, false, 1);

/// The most pieces, turns or runs that one cell counts: no house has so many, and no sum of them overflows.
pub(in crate::trade) const MOST_COUNTED: u32 = 1_000_000;

/// Whether a figure is beyond any house: above it, or so near to nothing that it can only be a slip. Sums and products of
/// what is within it fit.
pub(in crate::trade) fn is_beyond(number: Decimal) -> bool {
    const MOST: Decimal = Decimal::from_parts(1_000_000_000, 0, 0, false, 0);
    const LEAST: Decimal = Decimal::from_parts(1, 0, 0, false, 6);
    let size = number.abs();
    size > MOST || !size.is_zero() && size < LEAST
}

/// The entries of a list parted by `;`, empty ones left out.
pub(in crate::trade) fn parts(text: &str) -> impl Iterator<Item = &str> {
    text.split(';').map(str::trim).filter(|one| !one.is_empty())
}
