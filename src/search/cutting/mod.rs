//! Cutting pieces from coils, sticks and offcuts on hand at least cost, with a lower bound that is proven.
//!
//! One dimension and whole numbers only: lengths in any whole unit (nanometres will do), prices in any whole
//! unit of money. It knows nothing of tube, suppliers or tables, keeps no state, reads no clock and prints
//! nothing. The buying plan calls it; so may anything that cuts lengths from lengths.
//!
//! How it works: sticks bought and pieces cut are decided apart. `stock_selection` finds the cheapest set of sticks
//! that meets every inequality known to hold for all plans (the first: enough length in all); `least` tries to
//! pack the pieces into that set: by rule, by `repair` what the rule left over, by dives. Where they do not go
//! in, it learns a new inequality or refuses the set, and asks again. The cheapest set not yet refused is a
//! proven bound all the while, and the first that packs is least. Floats propose inequalities and cuts
//! (`columns`), and whole numbers check all that is claimed.

mod joined;
mod order;
mod whole;

pub use joined::plan_joined;
pub use order::{
    CutOrder, CutPlan, Demand, JoinOrder, JoinedPlan, Layout, NoPlan, Parting, Stock, USUAL_EFFORT,
};
pub use whole::plan;
