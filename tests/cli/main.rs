//! The program used as a person would: by its commands, in a folder of its own, judged by what it prints, writes and
//! says to the shell.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

mod bench;
mod commands;
mod doors;
mod doubts;
mod draw;
mod errors;
mod explained;
mod incomplete;
mod inert;
mod json;
mod mangled;
mod revise;
mod scratch;
mod starter;
mod terminal;
mod widths;
mod words;
