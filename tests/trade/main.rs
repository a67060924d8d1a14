//! Reading jobs: what becomes of rows, of tables over tables, and of mistakes.

mod built_in;
mod merging;
