//! What the table `job` says of cutting and ordering: saw kerf, shortest joined piece, offcuts worth keeping; the
//! reference, address and days that stand on an order.

use super::item::ItemRow;
use crate::ground::{Date, Length, LengthUnit, RowAt};
use crate::trade::catalog::system::System;
use crate::trade::lexicon::Word;
use crate::trade::run::Phase;
use crate::trade::shape::Words;

/// How tube is cut.
#[derive(Debug, Clone, Default)]
pub struct CutSettings {
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
pub struct OrderSettings {
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

impl CutSettings {
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

impl OrderSettings {
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

/// What a cut loses.
pub(super) fn kerf(it: &mut ItemRow<'_, '_, '_>) {
    match it.length() {
        Some(width) if width >= Length::ZERO && width < WIDEST => {
            let kerf = Kerf { of: it.row.lexicon.word(it.of), width, row: it.row.at() };
            it.settings.cutting.kerf.push(kerf);
        }
        Some(_) | None => it.wrong("the width of a cut with its unit, below 1 in: 1/8 in or 3 mm"),
    }
}

/// The day goods are needed.
pub(super) fn needed(it: &mut ItemRow<'_, '_, '_>) {
    let phase = Phase::of_word(it.of);
    if phase.is_none() && !it.of.is_empty() {
        it.unknown_for(&Phase::all_words());
        return;
    }
    if let Some(day) = it.date() {
        it.settings.order.needed.push(Needed { phase, day, row: it.row.at() });
    }
}
