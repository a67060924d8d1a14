//! The arithmetic, pure: network, takeoff, cutting, buying, costing, comparison.

mod cycles;
pub mod item;
mod names;
pub mod network;
pub mod order;
pub mod takeoff;
mod words;
