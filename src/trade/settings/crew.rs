//! The crew of a job and what an hour of it costs, as the table `job` says: heads, rates, burden, productivity, the
//! difficulty of areas. Only what is said; the hours are reckoned in the estimate.

use rust_decimal::Decimal;

use crate::ground::RowAt;
use crate::trade::lexicon::Word;

/// Something said of one person of the crew, or of one area.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SaidFor {
    /// Who, or where; empty: all.
    pub who: Word,
    /// How many, how much, or how many percent.
    pub value: Decimal,
    /// The row that says so.
    pub row: RowAt,
}

/// What the table `job` says of the crew.
#[derive(Debug, Clone)]
pub struct Crew {
    /// How many of each; empty: one person, or one of each that has a rate.
    pub heads: Vec<SaidFor>,
    /// Wages an hour, of each or of all.
    pub rates: Vec<SaidFor>,
    /// What comes on wages, in percent.
    pub burden: Decimal,
    /// In percent: at 80 an hour of the table takes 1.25.
    pub productivity: Decimal,
    /// Percent that areas add to the hours there.
    pub difficulty: Vec<SaidFor>,
    /// Hours that the crew works in a day.
    pub hours_a_day: Decimal,
}

impl Default for Crew {
    fn default() -> Self {
        Self {
            heads: Vec::new(),
            rates: Vec::new(),
            burden: Decimal::ZERO,
            productivity: Decimal::ONE_HUNDRED,
            difficulty: Vec::new(),
            hours_a_day: Decimal::from(8),
        }
    }
}

/// One kind of person in the crew.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Member {
    /// Who; empty where the job names nobody.
    pub who: Word,
    /// How many.
    pub heads: Decimal,
    /// Wages an hour, if any are said.
    pub rate: Option<Decimal>,
}

impl Crew {
    /// Who works, in the order written: with the wages said for each, or for all.
    pub fn members(&self) -> Vec<Member> {
        let rate = |who: Word| {
            let own = self.rates.iter().rev().find(|rate| rate.who == who);
            own.or_else(|| self.rates.iter().rev().find(|rate| rate.who.is_empty())).map(|rate| rate.value)
        };
        let listed = if self.heads.is_empty() { &self.rates } else { &self.heads };
        let mut members: Vec<Member> = Vec::new();
        for one in listed {
            let heads = if self.heads.is_empty() { Decimal::ONE } else { one.value };
            let member = Member { who: one.who, heads, rate: rate(one.who) };
            match members.iter_mut().find(|known| known.who == one.who) {
                Some(known) => *known = member,
                None => members.push(member),
            }
        }
        if members.is_empty() {
            members.push(Member { who: Word::EMPTY, heads: Decimal::ONE, rate: None });
        }
        members
    }

    /// The percentage that an area adds to the hours there.
    pub fn difficulty_of(&self, area: Word) -> Decimal {
        let own = self.difficulty.iter().rev().find(|said| said.who == area && !area.is_empty());
        let all = || self.difficulty.iter().rev().find(|said| said.who.is_empty());
        own.or_else(all).map_or(Decimal::ZERO, |said| said.value)
    }
}
