//! The ground everything stands on: lengths, sizes, money, names, places in a file, notices.
//!
//! Nothing here knows what a run or a price list is; every floor above uses it.

pub mod date;
pub mod hangs;
pub mod inert;
pub mod length;
pub mod money;
pub mod name;
pub mod notice;
pub mod size;
pub mod spot;
pub(crate) mod threads;

pub use date::Date;
pub use hangs::Hangs;
pub use length::{Length, LengthUnit};
pub use notice::{Notice, Severity};
pub use spot::{Instead, RowAt, SourceId, Sources, Spot};
