//! What an inspector asks: test day. Every rule is a row of a table; nothing here is counted, bought or drawn.

mod test_day;

pub use test_day::{
    Filled, Mark, MarkOf, Opening, Section, Shuts, Test, TestDay, Top, Unknown, WayToTest, test_day,
};
