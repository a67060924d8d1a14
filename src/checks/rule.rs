//! One check: what it saw, the rule it was held against, and how it came out.

use rust_decimal::Decimal;

use crate::ground::{Length, LengthUnit, Notice, RowAt, Severity, Spot};
use crate::trade::{CheckOf, CodeRule, Job, RuleUnit};

/// How a check came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// It is not as the rule asks.
    Fails,
    /// No rule speaks of it, or the job does not say enough.
    NotJudged,
    /// It is as the rule asks.
    Holds,
}

impl Verdict {
    /// The word for it in every table.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Fails => "fails",
            Self::NotJudged => "not judged",
            Self::Holds => "holds",
        }
    }
}

/// The rule that a check was held against.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rule {
    /// The code family.
    pub family: String,
    /// The section, with the edition where it is said.
    pub section: String,
    /// Where it is published.
    pub source: String,
    /// How well it is known; empty where the row does not say it.
    pub status: &'static str,
    /// Its row.
    pub row: RowAt,
}

/// Something that was checked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Check {
    /// What it looks at.
    pub of: CheckOf,
    /// How it came out.
    pub verdict: Verdict,
    /// The run or place that it speaks of, by name.
    pub what: String,
    /// What it saw, a sentence without its full stop.
    pub saw: String,
    /// What the rule asks; where it is not judged, why.
    pub asks: String,
    /// What would satisfy it; nothing where it holds.
    pub remedy: String,
    /// The cells it speaks of; the first is where to go.
    pub spots: Vec<Spot>,
    /// The rule; nothing where none speaks of it.
    pub rule: Option<Rule>,
}

/// Why a check without a row is not judged.
const NO_RULE: &str = "no rule here";

impl Rule {
    /// Its name: `IRC: 2021 Table P3105.1`.
    pub fn called(&self) -> String {
        match &*self.section {
            "" => self.family.clone(),
            section => format!("{}: {section}", self.family),
        }
    }
}

impl Check {
    /// It as something to mark in a picture: a warning at its cells.
    pub fn marked(&self) -> Notice {
        let rule = self.rule.as_ref().map(|rule| format!(" ({})", rule.called())).unwrap_or_default();
        let (found, asks) = (self.saw.clone(), format!("{}{rule}", self.asks));
        let kind = self.of.word();
        Notice::new(Severity::Warning, kind, self.spots.clone(), found, asks, self.remedy.clone())
    }

    /// All its cells, parted by semicolons.
    pub fn cells(&self) -> String {
        self.spots.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
    }

    /// Its first cell, where to go.
    pub fn cell(&self) -> String {
        self.spots.first().map(ToString::to_string).unwrap_or_default()
    }

    /// Whether it is not judged for want of a rule.
    pub fn lacks_rule(&self) -> bool {
        self.verdict == Verdict::NotJudged && self.rule.is_none() && self.asks == NO_RULE
    }
}

/// What a check saw, before it is held against a rule.
#[derive(Debug, Clone)]
pub(super) struct Seen {
    pub(super) of: CheckOf,
    pub(super) what: String,
    pub(super) saw: String,
    pub(super) spots: Vec<Spot>,
}

impl Seen {
    pub(super) fn new(of: CheckOf, what: &str, saw: impl Into<String>, spot: Spot) -> Self {
        Self { of, what: what.to_owned(), saw: saw.into(), spots: vec![spot] }
    }

    /// The same, with another cell that it speaks of.
    pub(super) fn and(mut self, spot: Spot) -> Self {
        self.spots.push(spot);
        self
    }

    fn judged(self, verdict: Verdict, asks: String, remedy: String, rule: Option<Rule>) -> Check {
        let Self { of, what, saw, spots } = self;
        Check { of, verdict, what, saw, asks, remedy, spots, rule }
    }

    /// Not judged, and why.
    pub(super) fn unknown(self, why: impl Into<String>) -> Check {
        self.judged(Verdict::NotJudged, why.into(), String::new(), None)
    }

    /// Held against a rule: not judged where there is none.
    pub(super) fn against(
        self,
        job: &Job,
        rule: Option<&CodeRule>,
        holds: impl FnOnce(&CodeRule) -> bool,
        remedy: impl Into<String>,
    ) -> Check {
        let Some(rule) = rule else { return self.unknown(NO_RULE) };
        let holds = holds(rule);
        self.by(of_row(job, rule), asks(rule), holds, remedy)
    }

    /// Held against a rule of any table, with what that asks in words.
    pub(super) fn by(self, rule: Rule, asks: String, holds: bool, remedy: impl Into<String>) -> Check {
        match holds {
            true => self.judged(Verdict::Holds, asks, String::new(), Some(rule)),
            false => self.judged(Verdict::Fails, asks, remedy.into(), Some(rule)),
        }
    }
}

/// The rule of a row.
pub(super) fn of_row(job: &Job, row: &CodeRule) -> Rule {
    let section = [&*row.edition, &*row.section].join(" ").trim().to_owned();
    Rule {
        family: job.lexicon.text(row.family).to_owned(),
        section,
        source: row.source.to_string(),
        status: row.status.map_or("", |status| status.word()),
        row: row.row,
    }
}

/// What a row asks, in words: `20 units at most`.
pub(super) fn asks(row: &CodeRule) -> String {
    let unit = row.unit.map_or("", RuleUnit::word);
    match row.value.filter(|_| !matches!(row.unit, Some(RuleUnit::Needed))) {
        Some(value) if value == Decimal::ONE => {
            format!("1 {}", unit.replace("units", "unit").replace("diameters", "diameter"))
        }
        Some(value) => format!("{} {unit}", value.normalize()),
        None => unit.to_owned(),
    }
}

/// The length of a row's figure, in the unit of its kind.
pub(super) fn length(row: &CodeRule) -> Option<Length> {
    let unit = match row.unit? {
        RuleUnit::MostFeet | RuleUnit::Needed => LengthUnit::Foot,
        RuleUnit::MostInches | RuleUnit::LeastInches | RuleUnit::LeastSlope | RuleUnit::AllowedForFixture => {
            LengthUnit::Inch
        }
        RuleUnit::MostUnits
        | RuleUnit::MostPsi
        | RuleUnit::MostDiameters
        | RuleUnit::LeastOfDrain
        | RuleUnit::Allowed
        | RuleUnit::Never => return None,
    };
    Length::from_decimal(row.value?, unit)
}

/// Whether a row allows so many units.
pub(super) fn carries(row: &CodeRule, units: Decimal) -> bool {
    match row.unit {
        Some(RuleUnit::Allowed) => true,
        Some(RuleUnit::Never) => false,
        _ => row.value.is_none_or(|most| units <= most),
    }
}

/// The diameter that a nominal size names: `1-1/2` is an inch and a half.
pub(super) fn diameter(job: &Job, size: crate::trade::Word) -> Option<Length> {
    Length::read(job.lexicon.text(size), LengthUnit::Inch)
}

/// Drainage units as they are said.
pub(super) fn units_said(units: Decimal) -> String {
    format!("{} drainage unit{}", said(units), if units == Decimal::ONE { "" } else { "s" })
}

/// A number as it is said: without needless zeros.
pub(super) fn said(number: Decimal) -> String {
    number.normalize().to_string()
}
