//! An output folder holds one whole set of files whatever ends a run: each operation on the disk fails in turn, the real
//! program is killed, other programs and other people have files there. Nothing that somebody wrote is ever lost.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

mod desk;
mod foreign;
mod hostile;
mod inputs;
mod kills;
mod limits;
#[path = "../cli/scratch.rs"]
mod scratch;
mod stopped;
