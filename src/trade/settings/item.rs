//! One item of the table `job`: its names, its help, its reader, and a row that says it while it is read.

use rust_decimal::Decimal;

use super::{Column, Said, SaidFor, Settings};
use crate::ground::money::to_cents;
use crate::ground::{Date, Length, LengthUnit};
use crate::table::Got;
use crate::trade::lexicon::{Lexicon, Word};
use crate::trade::reading::Row;
use crate::trade::reading::findings::{empty_cell, one_of, unknown_word, wrong_value};
use crate::trade::shape::{Words, pick};

/// What the table `job` can say.
#[derive(Debug)]
pub struct Item {
    /// Its name.
    pub name: &'static str,
    /// Other names it goes by.
    also: &'static [&'static str],
    /// What `for` names; empty: it is said once for all.
    of: &'static str,
    /// Whether several rows of it add up.
    pub(super) often: bool,
    /// Whether a row of it is read that has no value.
    pub(super) reads_blank: bool,
    help: &'static str,
    left_out: &'static str,
    pub(super) read: fn(&mut ItemRow<'_, '_, '_>),
    /// What it says where two jobs are compared: what stands behind its name, and a text; nothing where that is what is
    /// written.
    pub(super) says: Option<Says>,
    pub(super) is_compared: bool,
}

/// What an item of some settings says.
pub(super) type Says = fn(&Settings, &Lexicon) -> Vec<(String, String)>;

impl Item {
    /// An item that is said once for all: its name, what it says, what goes without saying, how a row of it is read.
    pub(super) const fn new(
        name: &'static str,
        help: &'static str,
        left_out: &'static str,
        read: fn(&mut ItemRow<'_, '_, '_>),
    ) -> Self {
        let (says, is_compared) = (None, true);
        Self {
            name,
            also: &[],
            of: "",
            often: false,
            reads_blank: false,
            help,
            left_out,
            read,
            says,
            is_compared,
        }
    }

    /// It goes by other names too.
    pub(super) const fn also(self, also: &'static [&'static str]) -> Self {
        Self { also, ..self }
    }

    /// It is said of several things, which `for` names.
    pub(super) const fn of(self, of: &'static str) -> Self {
        Self { of, ..self }
    }

    /// Several rows of it add up.
    pub(super) const fn often(self) -> Self {
        Self { often: true, ..self }
    }

    /// A row of it is read even without a value.
    pub(super) const fn even_blank(self) -> Self {
        Self { reads_blank: true, ..self }
    }

    /// It says so much where two jobs are compared.
    pub(super) const fn says(self, says: Says) -> Self {
        Self { says: Some(says), ..self }
    }

    /// It is not compared.
    pub(super) const fn apart(self) -> Self {
        Self { is_compared: false, ..self }
    }

    /// All names it goes by.
    pub(super) fn names(&self) -> impl Iterator<Item = &'static str> {
        std::iter::once(self.name).chain(self.also.iter().copied())
    }

    /// Whether `for` says what it is said for.
    pub(super) const fn takes_for(&self) -> bool {
        !self.of.is_empty()
    }

    /// What it says, and what it is where it is left out.
    pub fn help(&self) -> String {
        match self.left_out {
            "" => self.help.to_owned(),
            left_out => format!("{}; left out: {left_out}", self.help),
        }
    }
}

/// A row of the table `job` while its item is read.
pub(super) struct ItemRow<'i, 'r, 'a> {
    pub(super) item: &'static Item,
    /// What it is said for.
    pub(super) of: &'i str,
    pub(super) row: &'i mut Row<'r, 'a>,
    pub(super) settings: &'i mut Settings,
    pub(super) said: &'i mut Said,
}

impl ItemRow<'_, '_, '_> {
    /// Its value as written.
    pub(super) fn value(&self) -> Box<str> {
        self.row.text(Column::Value).into()
    }

    /// Its value as a word of the job.
    pub(super) fn word(&mut self) -> Word {
        self.row.word(Column::Value)
    }

    /// A day.
    pub(super) fn date(&mut self) -> Option<Date> {
        self.row.date(Column::Value)
    }

    /// Takes down that its value is not what belongs there.
    pub(super) fn wrong(&mut self, expected: &str) {
        self.wrong_of(self.item.name, expected);
    }

    fn wrong_of(&mut self, what: &str, expected: &str) {
        let finding = wrong_value(what, self.row.text(Column::Value), expected);
        self.row.trouble(Column::Value, finding);
    }

    /// One of a closed list of words.
    pub(super) fn choice<T: Words>(&mut self) -> Option<T> {
        let chosen = T::of_word(self.row.text(Column::Value));
        if chosen.is_none() {
            self.wrong(&one_of(&T::all_words()));
        }
        chosen
    }

    /// A percentage from 0 to 1000.
    pub(super) fn percent(&mut self) -> Decimal {
        let percent = self.row.percent(Column::Value).unwrap_or_default();
        if percent < Decimal::ZERO || percent > Decimal::ONE_THOUSAND {
            self.wrong("a percentage from 0 to 1000");
            return Decimal::ZERO;
        }
        self.row.doubt_a_fraction(Column::Value, self.item.name, percent);
        percent
    }

    /// A sum of money from zero up, in cents.
    pub(super) fn sum(&mut self, what: &str) -> Decimal {
        let sum = self.row.number(Column::Value).value().unwrap_or_default();
        if sum.is_sign_negative() || to_cents(sum) != sum {
            self.wrong_of(what, "a sum in whole cents, from 0");
            return Decimal::ZERO;
        }
        sum
    }

    /// A number above zero; nothing where it is not, with its notice.
    pub(super) fn above_zero(&mut self, expected: &str) -> Option<Decimal> {
        match self.row.number(Column::Value) {
            Got::Value(number) if number > Decimal::ZERO => Some(number),
            Got::Value(_) | Got::Empty => {
                self.wrong(expected);
                None
            }
            Got::Misread => None,
        }
    }

    /// A length that says its unit: beside widths in fractions of an inch nobody should have to guess what a bare number is.
    pub(super) fn length(&self) -> Option<Length> {
        let text = self.row.text(Column::Value);
        let feet = Length::read(text, LengthUnit::Foot)?;
        (Length::read(text, LengthUnit::Metre) == Some(feet)).then_some(feet)
    }

    /// The same, above zero, with its notice where it is not.
    pub(super) fn length_above_zero(&mut self) -> Option<Length> {
        let found = self.length().filter(|length| *length > Length::ZERO && *length <= Length::LONGEST);
        if found.is_none() {
            self.wrong("a length with its unit: 12 in or 300 mm");
        }
        found
    }

    /// Which of some things it is said for: "fittings" is as good as "fitting".
    pub(super) fn said_for<T: Copy>(&self, known: &[(T, &'static str)]) -> Option<T> {
        pick(self.of, known).or_else(|| pick(self.of.trim_end_matches('s'), known))
    }

    /// Takes down that it is said for none of some things.
    pub(super) fn unknown_for(&mut self, known: &[&str]) {
        self.row.trouble(Column::For, unknown_word("for", self.of, known));
    }

    /// Takes down that it does not say what it is for.
    pub(super) fn needs_for(&mut self) {
        self.row.trouble(Column::For, empty_cell("for", self.item.of));
    }

    /// What is said of one person or one area, where it could be read. Of two rows for one the last counts.
    pub(super) fn put_for(&mut self, value: Option<Decimal>, list: fn(&mut Settings) -> &mut Vec<SaidFor>) {
        let Some(value) = value else { return };
        let (who, row) = (self.row.lexicon.word(self.of), self.row.at());
        let list = list(self.settings);
        list.retain(|said| said.who != who);
        list.push(SaidFor { who, value, row });
    }
}
