//! Reading jobs: what becomes of rows, of tables over tables, and of mistakes.

#![allow(clippy::unwrap_used, clippy::wildcard_enum_match_arm, reason = "a test fails by it")]

mod built_in;
mod examples;
mod like;
mod limits;
mod long_list;
mod mangled;
mod merging;
mod otherwise;
mod prices;
mod run_list;
mod workbooks;
