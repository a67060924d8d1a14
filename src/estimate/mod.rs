//! The arithmetic, pure: network, takeoff, cutting, buying, costing, comparison.
pub mod cutting;
