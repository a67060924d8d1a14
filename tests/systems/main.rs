//! Every built-in water system and pattern: whole by tables, priced by the demo price lists, and meeting every other. Beside them a
//! system of somebody's own, in millimetres, by a few rows.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

mod house;
mod pairs;
mod patterns;
mod whole;
