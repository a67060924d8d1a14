//! What the files say, each thing found once: the words of a result, the rows of orders and takeoffs, the lines of a bid,
//! what goes to suppliers, what is cut at the bench and what the owner is told. No file is written here; `files`, `book` and the command line show it.

pub(crate) mod allowances;
mod bid_lines;
pub(crate) mod cuts;
mod owner;
pub(super) mod parties;
pub(super) mod rows;
mod sent;
pub(super) mod test_day;
pub(crate) mod wording;

pub(crate) use bid_lines::BidLine;
pub(super) use bid_lines::{PROFIT_AS, stated_cell};
pub(super) use owner::{AddOrDeduct, CAUTIONS, Owner, PriceLine, Served};
pub(super) use rows::{OrderRow, rank};
pub(super) use sent::{Asked, Back, Sent, asked, back, fee_for_days, fee_of, sent};
pub(crate) use wording::{Wording, rule_of};
pub(super) use wording::{end_met, plain, run_end, said_of_prices, service, to_places, with_variant};
