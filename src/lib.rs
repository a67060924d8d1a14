//! Material takeoff and cost estimate for the plumbing rough-in of houses.
pub mod checks;
pub mod cli;
pub mod doubts;
pub mod estimate;
pub mod ground;
pub mod report;
pub mod search;
pub mod table;
pub mod trade;
