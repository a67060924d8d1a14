//! Terms of the table `job` about cutting and ordering: saw kerf, shortest joined piece, offcuts worth keeping; the
//! reference, address and days that stand on an order. Called by the reading of the table `job` alone.

use super::catalog::Catalog;
use super::lexicon::{Lexicon, Word};
use super::row::{Desk, Row, nearest_of, pick};
use super::run::Phase;
use super::system::System;
use super::terms::Column;
use super::words::{Named, Trouble};
use crate::ground::{Date, Length, LengthUnit, RowAt};

/// How tube is cut.
#[derive(Debug, Clone, Default)]
pub struct CutTerms {
    /// What a cut loses: for a system or a tube family by name, or for all that is handled in sticks.
    pub kerf: Vec<Kerf>,
    /// No part of a piece that is joined may be shorter; zero: the least piece of the system.
    pub shortest_joined: Length,
    /// Offcuts at least so long are worth keeping; nothing: none is listed.
    pub keep_from: Option<Length>,
}

/// What a cut loses.
#[derive(Debug, Clone, Copy)]
pub struct Kerf {
    /// The system, fit or tube family; empty: all that is handled in sticks.
    pub of: Word,
    /// The width of the cut.
    pub width: Length,
    /// The row that says so.
    pub row: RowAt,
}

/// What stands on an order beside the goods.
#[derive(Debug, Clone, Default)]
pub struct OrderTerms {
    /// The buyer's own reference.
    pub reference: Box<str>,
    /// Where goods are sent.
    pub ship_to: Box<str>,
    /// The day goods are needed, for a phase or (nothing) for all without a day of their own.
    pub needed: Vec<Needed>,
}

/// The day goods are needed.
#[derive(Debug, Clone, Copy)]
pub struct Needed {
    /// The phase; nothing: all without a day of their own.
    pub phase: Option<Phase>,
    /// The day.
    pub day: Date,
    /// The row that says so.
    pub row: RowAt,
}

impl CutTerms {
    /// What a cut of a system's tube loses: by the name of the system, else of its fit, else of its tube, else what is
    /// said of all that is handled in sticks. Coils are cut by a cutter that loses nothing unless the job names them.
    pub fn kerf_of(&self, system: &System) -> Length {
        let named = |word: Word| self.kerf.iter().find(|kerf| kerf.of == word);
        let of_sticks = || named(Word::EMPTY).filter(|_| system.stock_length.is_some());
        let found = named(system.name)
            .or_else(|| named(system.fit))
            .or_else(|| named(system.tube))
            .or_else(of_sticks);
        found.map_or(Length::ZERO, |kerf| kerf.width)
    }
}

impl OrderTerms {
    /// The day goods of a phase are needed.
    pub fn needed_for(&self, phase: Phase) -> Option<Date> {
        self.needed_row(phase).map(|needed| needed.day)
    }

    /// The day goods of a phase are needed, with the row that says so.
    pub fn needed_row(&self, phase: Phase) -> Option<&Needed> {
        let row = |of: Option<Phase>| self.needed.iter().find(|needed| needed.phase == of);
        row(Some(phase)).or_else(|| row(None))
    }
}

/// A cut is thinner than this.
const WIDEST: Length = Length::whole(1, LengthUnit::Inch);

/// Reads a row that says what a cut loses.
pub(super) fn kerf(narrowed: &str, row: &mut Row<'_, '_>, lexicon: &mut Lexicon, terms: &mut CutTerms) {
    match length(row) {
        Some(width) if width >= Length::ZERO && width < WIDEST => {
            terms.kerf.push(Kerf { of: lexicon.word(narrowed), width, row: row.at() });
        }
        Some(_) | None => wrong(row, "kerf", "the width of a cut with its unit, below 1 in: 1/8 in or 3 mm"),
    }
}

/// Reads a length that must be above zero.
pub(super) fn above_zero(item: &str, row: &mut Row<'_, '_>) -> Option<Length> {
    let found = length(row).filter(|length| *length > Length::ZERO && *length <= Length::LONGEST);
    if found.is_none() {
        wrong(row, item, "a length with its unit: 12 in or 300 mm");
    }
    found
}

/// A length that says its unit: beside widths in fractions of an inch nobody should have to guess what a bare number is.
fn length(row: &Row<'_, '_>) -> Option<Length> {
    let text = row.text(Column::Value);
    let feet = Length::read(text, LengthUnit::Foot)?;
    (Length::read(text, LengthUnit::Metre) == Some(feet)).then_some(feet)
}

/// Reads a day goods are needed.
pub(super) fn needed(narrowed: &str, row: &mut Row<'_, '_>, terms: &mut OrderTerms) {
    let known = Phase::ALL.map(|phase| (phase, phase.word()));
    let phase = pick(narrowed, &known);
    if phase.is_none() && !narrowed.is_empty() {
        let words = known.map(|(_, word)| word);
        row.trouble(Column::For, Trouble::UnknownWord { heading: "for", found: narrowed, known: &words });
        return;
    }
    if let Some(day) = row.date(Column::Value) {
        terms.needed.push(Needed { phase, day, row: row.at() });
    }
}

fn wrong(row: &mut Row<'_, '_>, item: &str, expected: &str) {
    let found = row.text(Column::Value).to_owned();
    row.trouble(Column::Value, Trouble::WrongValue { item, found: &found, expected });
}

/// Notices goods that are needed before the day of the job.
pub(super) fn check_days(terms: &OrderTerms, date: Option<Date>, desk: &mut Desk) {
    let Some(date) = date else { return };
    for needed in terms.needed.iter().filter(|needed| needed.day < date) {
        let (found, date) = (needed.day.to_string(), date.to_string());
        desk.trouble(needed.row, "value", Trouble::NeededBeforeJob { found: &found, date: &date });
    }
}

/// Drops a kerf whose `for` names no system and no tube, with a notice.
pub(super) fn check(terms: &mut CutTerms, catalog: &Catalog, desk: &mut Desk) {
    let known = |word: Word| {
        word.is_empty()
            || catalog.systems.iter().any(|system| [system.name, system.fit, system.tube].contains(&word))
    };
    for kerf in terms.kerf.iter().filter(|kerf| !known(kerf.of)) {
        let found = desk.lexicon.text(kerf.of).to_owned();
        let nearest = nearest_of(&found, catalog.system_names(&desk.lexicon));
        let trouble = Trouble::UnknownName { what: Named::SystemOrTube, found: &found, nearest };
        desk.trouble(kerf.row, "for", trouble);
    }
    terms.kerf.retain(|kerf| known(kerf.of));
}
