//! The arithmetic, pure: network, takeoff, cutting, buying, costing, comparison.

pub mod item;
pub mod network;
pub mod order;
pub mod takeoff;
