//! The solvers: which sticks and which cuts, which suppliers, which packs. Whole numbers in, whole numbers out; they
//! know nothing of plumbing, use no other floor, keep no state and read no clock. `estimate::buying` calls them.
//!
//! **Why there are solvers of our own.** What a house costs hangs on three choices that interlock: which lengths are cut
//! into which pieces, which supplier gets which line, which packs hold a need. The rules of thumb were measured on
//! generated houses against the proven least. First fit, the longest piece first, costs 0.15 to 0.8 % more tube, 6 % where
//! one stick length is sold, up to 70 a house. Buying line by line, whoever is cheapest, costs 3.5 % more (median), for
//! fees and minimum orders are not seen. And an estimate says *least* only where it is proven.
//!
//! **What was tried instead.** A general integer program in plain Rust proved none of 20 houses in the time allowed; the
//! one that would needs a C++ tool chain, which this project does not ask of anybody.
//!
//! **What each part buys**, on 600 generated houses (half of them with a saw), each part left out by itself:
//!
//! | part | without it |
//! |---|---|
//! | `cutting`, the linear program (`columns`, `simplex`, `knapsack`) | 351 of 360 proven instead of all |
//! | `cutting`, `repair` of packings | a large house with a saw takes up to 71 s instead of 0.1 s |
//! | `cutting`, `classical` (diving, exhaustive search) | 599 of 600 proven; it is there for the textbook instances |
//!
//! Effort is counted in steps, never in seconds, so that every machine gives the same plan.

pub mod cutting;
mod effort;
pub mod packs;
mod sums;
pub mod suppliers;

#[cfg(test)]
pub(crate) use effort::Dice;
use std::ops::Rem;

/// The greatest common measure of two whole numbers.
fn gcd<T: Copy + Default + PartialEq + Rem<Output = T>>(a: T, b: T) -> T {
    if b == T::default() { a } else { gcd(b, a % b) }
}
