//! The ground everything stands on: lengths, sizes, money, names, places in a file, notices.
//!
//! Nothing here knows what a run or a price list is; every floor above uses it.

pub(crate) mod date;
pub(crate) mod directory;
pub mod hangs;
pub(crate) mod inert;
pub(crate) mod length;
pub mod money;
pub mod name;
pub mod notice;
pub mod progress;
pub(crate) mod size;
pub(crate) mod spot;
pub(crate) mod threads;

pub use date::Date;
pub use hangs::Hangs;
pub use length::{Length, LengthUnit};
pub use notice::{Notice, Severity};
pub use spot::{Instead, ReadFile, RowAt, Source, SourceId, Sources, Spot, TableName};
