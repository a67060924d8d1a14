//! Reads cutting instances written as text, in the three forms that published collections and this folder use.
//! Shared by the cutting tests and the bench that runs instance files.

use coilstick::estimate::cutting::{Demand, Stock};

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
