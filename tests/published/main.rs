//! Figures that others published, each with its source beside it. Nobody may regenerate them.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

mod bathroom;
mod bid;
mod checks;
mod counting;
mod drains;
mod field_study;
mod houses;
mod labor;
mod money;
mod orders;
mod solder;
mod supports;
mod take_outs;
mod test_day;
mod volume;
