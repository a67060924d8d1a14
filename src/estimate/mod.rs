//! The arithmetic, pure: network, takeoff, cutting, buying, costing, comparison.

pub mod buying;
pub mod comparison;
pub mod costing;
pub mod cutting;
pub mod item;
pub mod needs;
pub mod network;
pub mod order;
pub mod ranking;
pub mod takeoff;
mod words_buying;
