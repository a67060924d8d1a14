//! Fuzz targets: plain functions over bytes, each with what must hold whatever the bytes are. The bytes say which example
//! is taken and what is done to it (`arbitrary`), so that most of what is tried gets past the door.
//!
//! `cargo test --test fuzz` takes a short turn of each, from a fixed seed. The long one, of one target:
//!
//! ```text
//! FUZZ=10000000 cargo test --profile fuzz --test fuzz cells -- --nocapture
//! FUZZ=1000000  cargo test --profile fuzz --test fuzz tables -- --nocapture
//! FUZZ=100000   cargo test --profile fuzz --test fuzz workbooks -- --nocapture
//! FUZZ=20000    cargo test --profile fuzz --test fuzz jobs -- --nocapture
//! ```
//!
//! `FUZZ_SEED=7` draws others, `FUZZ_FIRST=20405` begins with that number. What fails is made smaller and kept in `tests/fuzz/found`, from where every run tries it
//! again; a driver that is led by coverage can call [`driver::Target::run`] with bytes of its own.
#![allow(clippy::unwrap_used, reason = "a test fails by it")]
#![allow(clippy::print_stdout, reason = "a long run says how far it got")]

mod asked;
mod cells;
mod draw;
mod driver;
mod encoded;
mod grid;
mod hard;
mod jobs;
mod package;
mod seeds;
mod tables;
mod truths;
mod workbooks;

/// Counts what is allocated, so that no input may ask for more than its target allows.
#[global_allocator]
static MEMORY: peak_alloc::PeakAlloc = peak_alloc::PeakAlloc;

#[test]
fn cells_read_back_as_they_are_written() {
    driver::drive(&cells::CELLS);
}

#[test]
fn tables_of_any_bytes_give_rows_and_notices() {
    driver::drive(&tables::TABLES);
}

#[test]
fn workbooks_of_any_bytes_give_rows_and_notices() {
    driver::drive(&workbooks::WORKBOOKS);
}

#[test]
fn whole_jobs_keep_what_is_always_true() {
    driver::drive(&jobs::JOBS);
}
