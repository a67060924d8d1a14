//! Reads cutting instances written as text, in the three forms that published collections and this folder use, and orders
//! with pieces that are joined.
//! Shared by the cutting tests and the bench that runs instance files.

use coilstick::search::cutting::{CutOrder, Demand, JoinOrder, Stock};

/// An instance: what can be bought and what is wanted.
#[derive(Debug, Clone)]
pub(crate) struct Instance {
    /// Where it comes from.
    pub(crate) name: String,
    /// Sticks and coils.
    pub(crate) stocks: Vec<Stock>,
    /// Pieces.
    pub(crate) demands: Vec<Demand>,
}

/// So many of a kind mean any number of it.
const UNLIMITED: u64 = 1_000_000;

/// Reads one of: kinds, `length availability price` each, piece kinds, `length demand` each; piece kinds, stock
/// length, `length demand` each; pieces, stock length, one `length` each. One length of stock has the price 1.
pub(crate) fn read(name: &str, text: &str) -> Option<Instance> {
    let rows: Vec<Vec<u64>> = text
        .lines()
        .map(|line| line.split_whitespace().map(|word| word.parse().ok()).collect::<Option<Vec<u64>>>())
        .filter(|row| row.as_ref().is_none_or(|row| !row.is_empty()))
        .collect::<Option<_>>()?;
    let first = usize::try_from(*rows.first()?.first()?).ok()?;
    let one_length = rows.get(1)?.len() == 1;
    let mut stocks = Vec::new();
    let pieces = if one_length {
        stocks.push(Stock { length: rows[1][0], price: 1, available: None });
        rows.get(2..)?.get(..first)?
    } else {
        for row in rows.get(1..)?.get(..first)? {
            let &[length, available, price] = row.as_slice() else { return None };
            stocks.push(Stock { length, price, available: Some(available).filter(|&n| n < UNLIMITED) });
        }
        let after = rows.get(1 + first..)?;
        let count = usize::try_from(*after.first()?.first()?).ok()?;
        after.get(1..)?.get(..count)?
    };
    let demand =
        |row: &Vec<u64>| Some(Demand { length: *row.first()?, count: row.get(1).copied().unwrap_or(1) });
    let demands = pieces.iter().map(demand).collect::<Option<_>>()?;
    Some(Instance { name: name.to_owned(), stocks, demands })
}

/// An order with pieces that are joined.
#[derive(Debug, Clone, Default)]
pub(crate) struct Asked {
    /// Sticks and offcuts.
    pub(crate) stocks: Vec<Stock>,
    /// Pieces that stay whole.
    pub(crate) demands: Vec<Demand>,
    /// Pieces that are joined.
    pub(crate) long: Vec<Demand>,
    /// What a cut loses.
    pub(crate) kerf: u64,
    /// No part is shorter.
    pub(crate) shortest: u64,
    /// What a joint costs.
    pub(crate) joint: u64,
}

impl Asked {
    /// As the planner wants it.
    pub(crate) fn order(&self, effort: u64) -> JoinOrder<'_> {
        let whole = CutOrder { stocks: &self.stocks, demands: &self.demands, kerf: self.kerf, effort };
        JoinOrder { whole, long: &self.long, shortest: self.shortest, joint: self.joint }
    }
}

/// Reads orders with pieces that are joined, each with its name. A row is a word and its numbers: `order NAME` begins an
/// order; `kerf`, `joint` (the price of one) and `shortest` (no part is shorter) have one number, 0 if the row is
/// missing; `stock LENGTH PRICE NUMBER` with `any` for any number; `piece LENGTH COUNT`; `long LENGTH COUNT`. Lines
/// that begin with `#` are passed over.
pub(crate) fn read_joined(text: &str) -> Option<Vec<(String, Asked)>> {
    let mut orders: Vec<(String, Asked)> = Vec::new();
    for line in text.lines() {
        let words: Vec<&str> = line.split_whitespace().collect();
        let Some((&word, rest)) = words.split_first().filter(|(word, _)| !word.starts_with('#')) else {
            continue;
        };
        if word == "order" {
            orders.push(((*rest.first()?).to_owned(), Asked::default()));
            continue;
        }
        let asked = &mut orders.last_mut()?.1;
        let number = |at: usize| rest.get(at)?.parse::<u64>().ok();
        let demand = || Some(Demand { length: number(0)?, count: number(1)? });
        match word {
            "kerf" => asked.kerf = number(0)?,
            "joint" => asked.joint = number(0)?,
            "shortest" => asked.shortest = number(0)?,
            "stock" => {
                let available = if rest.get(2) == Some(&"any") { None } else { Some(number(2)?) };
                asked.stocks.push(Stock { length: number(0)?, price: number(1)?, available });
            }
            "piece" => asked.demands.push(demand()?),
            "long" => asked.long.push(demand()?),
            _ => return None,
        }
    }
    (!orders.is_empty()).then_some(orders)
}
