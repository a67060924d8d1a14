//! The corner of the classical cutting instances: what proves the last of them and hardly ever a house. Of 600
//! generated houses 599 are proven without it; of the textbook families it proves what nothing else here does. It is
//! asked last, after the linear program and repair, so that a house does not pay for it. Called by `least`.

mod diving;
mod exhaustive;

pub(super) use diving::dive;
pub(super) use exhaustive::{Decided, decide};
