//! What the files say, each thing found once: the words of a result, the rows of orders and takeoffs, the lines of a bid,
//! what goes to suppliers and what the owner is told. No file is written here; `files`, `book` and the command line show it.

pub(crate) mod bid_lines;
pub(in crate::report) mod owner;
pub(in crate::report) mod rows;
pub(in crate::report) mod sent;
pub(crate) mod wording;
