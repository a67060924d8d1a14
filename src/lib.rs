//! Material takeoff and cost estimate for the plumbing rough-in of houses.
pub mod estimate;
pub mod ground;
pub mod table;
pub mod trade;
pub mod report;
